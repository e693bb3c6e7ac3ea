//! Scantling's pure core: what can be recorded, what each change needs, how it is cut, bought and kept on hand.
//!
//! It computes and nothing else: no files, no network, no clock, no threads, no floating point in lengths, counts or
//! money. The same record gives the same answer, whatever the order in which it was entered. Text for people stays in
//! `web`, but for the arithmetic of a need and the messages of what can't be read.
//!
//! | folder | what it holds |
//! | --- | --- |
//! | [`units`], a crate of its own | lengths in 1/64 in, money in cents, and how people write them |
//! | [`tables`] | published figures, one file a source |
//! | [`record`] | what can be recorded: the registry of entries, and the job read from them |
//! | [`needs`] | one file per kind of change: what it calls for, with the arithmetic |
//! | [`cutting`], a crate of its own | pieces into sticks and panels |
//! | [`checks`] | does it fit, is it roughly strong enough |
//! | [`buy`] | on hand, the standing plan, waste, the buy list, receipts |

// `checks::screening` alone expects floats, with its reason; tests/tidy.rs sees to that.
#![deny(clippy::float_arithmetic, clippy::integer_division)]

pub mod buy;
pub mod checks;
pub mod needs;
pub mod record;
pub mod tables;

pub use scantling_cutting as cutting;
pub use scantling_units as units;
