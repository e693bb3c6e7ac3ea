//! Numbers that know their unit, and how people write them.

mod length;
mod money;
mod parse;
mod rate;

pub use length::Length;
pub use money::Money;
pub use parse::{LengthError, Units, parse_length};
pub use rate::{Permille, TaxRate};
