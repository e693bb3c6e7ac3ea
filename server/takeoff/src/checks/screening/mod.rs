//! Structural screening: rough strength by hand calculation, to catch mistakes and to talk to the engineer.
//!
//! It never approves. Two ways in: *table span* ([`table_span`]) reads published span tables back; the *screens*
//! ([`beam`], [`joist`], [`post`], [`shore`], [`pad`], [`hanger`]) take loads as they come down the house.
//! Floats are allowed here and nowhere else in the core: strength is a ratio of stresses, roots and powers included, and
//! nothing is bought or cut by it. Only the four operations and square roots are used, so every machine gives the same bits.
//! Source: NDS and IRC where they speak, else conservative practice, said beside each rule.

#![expect(
    clippy::float_arithmetic,
    reason = "stress over strength is no length, count or money: nothing is cut, bought or paid by it"
)]

mod across_grain;
pub mod adjusted;
pub mod basis;
pub mod beam;
mod bending;
pub mod between;
pub mod column;
pub mod combination;
pub mod continuous;
pub mod figure;
pub mod hanger;
pub mod joist;
mod measures;
pub mod member;
pub mod pad;
pub mod post;
pub mod rectangle;
pub mod screened;
pub mod shore;
pub mod span;
pub mod table_span;
pub mod tributary;
pub mod wood;

pub use basis::Basis;
pub use figure::Figure;
pub use screened::Screened;

/// What no screen covers; said beside every result.
pub const NOT_COVERED: [&str; 8] = [
    "wind, earthquake and uplift",
    "lateral bracing",
    "notched or damaged members",
    "engineered lumber without the maker’s values",
    "snow drift",
    "spans over 20 ft",
    "connections and ply fastening",
    "settling of footings",
];

#[cfg(test)]
mod tests;
