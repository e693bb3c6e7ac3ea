//! A length in whole 64ths of an inch.
//!
//! What it does not do: read what people type (that is `parse`), and divide without a word for the rounding.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub, SubAssign};

use serde::{Deserialize, Serialize};

/// A length in whole 1/64 in; may be negative as a difference.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Length(i64);

impl Length {
    /// No length.
    pub const ZERO: Self = Self(0);

    /// From 64ths of an inch.
    pub const fn from_64ths(n: i64) -> Self {
        Self(n)
    }

    /// From whole inches.
    pub const fn inches(n: i64) -> Self {
        Self(n * 64)
    }

    /// From whole inches and 64ths: `Length::inches_64(3, 32)` is 3 1/2 in.
    pub const fn inches_64(inches: i64, n_64: i64) -> Self {
        Self(inches * 64 + n_64)
    }

    /// From whole feet.
    pub const fn feet(n: i64) -> Self {
        Self(n * 12 * 64)
    }

    /// In 64ths of an inch.
    pub const fn as_64ths(self) -> i64 {
        self.0
    }

    /// How many `step`s it takes to reach this length: the quotient rounded up. `step` must be above zero.
    pub fn div_up(self, step: Self) -> i64 {
        -(-self.0).div_euclid(step.0)
    }

    /// How many whole `step`s fit: the quotient rounded down. `step` must be above zero.
    pub fn div_down(self, step: Self) -> i64 {
        self.0.div_euclid(step.0)
    }

    /// Half of it, to 1/64, an odd 64th going down ("halves down").
    pub fn half_down(self) -> Self {
        Self(self.0.div_euclid(2))
    }

    /// Up to the next whole multiple of `step`. `step` must be above zero.
    pub fn up_to(self, step: Self) -> Self {
        Self(self.div_up(step) * step.0)
    }

    /// Its size without its sign.
    pub fn abs(self) -> Self {
        Self(self.0.abs())
    }
}

impl Add for Length {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Length {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl AddAssign for Length {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl SubAssign for Length {
    fn sub_assign(&mut self, other: Self) {
        self.0 -= other.0;
    }
}

impl Neg for Length {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Length {
    type Output = Self;
    fn mul(self, n: i64) -> Self {
        Self(self.0 * n)
    }
}

impl Sum for Length {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

/// Bare inches with a fraction in lowest terms: `83 5/8`, `0`, `-1/16`.
impl fmt::Display for Length {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        let (whole, mut top, mut bottom) = (size >> 6, size & 63, 64_u64);
        while top != 0 && top & 1 == 0 {
            top >>= 1;
            bottom >>= 1;
        }
        match (whole, top) {
            (_, 0) => write!(f, "{sign}{whole}"),
            (0, _) => write!(f, "{sign}{top}/{bottom}"),
            _ => write!(f, "{sign}{whole} {top}/{bottom}"),
        }
    }
}
