//! Numbers that know their unit, and how people write them.

#![deny(clippy::float_arithmetic, clippy::integer_division)]

mod length;
mod load;
mod money;
mod numbers;
mod parse;
mod print;
mod rate;
mod scan;
mod section;
mod volume;

pub use length::Length;
pub use load::{Plf, Pounds, Psf};
pub use money::Money;
pub use numbers::{
    NumberError, decimal_text, parse_count, parse_decimal, parse_money, parse_permille,
    parse_tax_rate,
};
pub use parse::{LengthError, Units, parse_length};
pub use rate::{Permille, TaxRate};
pub use section::{Nominal, Section, parse_nominal, parse_section};
pub use volume::{board_feet, sqrt_up_to};
