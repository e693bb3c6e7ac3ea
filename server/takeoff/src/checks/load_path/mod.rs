//! The load path: what bears on what, from the roof down to the ground, and what comes down it.
//!
//! Links are recorded, or inferred from positions; a link that is missing is a gap, one that isn't known stays so.
//! Not here: whether a piece is strong enough (`screening`), drawings (`web`).
//! Source: tributary areas and statics; live loads IRC R301.5; the rest is common practice, no published source.

pub mod areas;
pub mod chain;
pub mod links;
pub mod members;

pub use chain::{Path, State, Step, paths};
