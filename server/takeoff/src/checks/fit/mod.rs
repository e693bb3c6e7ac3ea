//! Does it fit: geometry from readings, in whole 64ths of an inch.
//!
//! One file a check. Each gives a verdict, one sentence, the arithmetic and the readings that it rests on; where one is
//! missing it can't tell yet. Strength is `screening`'s business.
//! Source: common practice, no published source, but where a file names one.

pub mod agreed;
pub mod beam;
pub mod hanger;
pub mod heights;
pub mod landing;
pub mod old_and_new;
pub mod over_cut;
pub mod packing;
pub mod shoring;

use crate::units::Length;

/// Pieces that are so near touch each other, and sizes that differ by no more are alike.
pub const TOUCHING: Length = Length::from_64ths(4);
