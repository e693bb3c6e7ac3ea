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
    #[must_use]
    pub fn half_down(self) -> Self {
        Self(self.0.div_euclid(2))
    }

    /// Up to the next whole multiple of `step`. `step` must be above zero.
    #[must_use]
    pub fn up_to(self, step: Self) -> Self {
        Self(self.div_up(step) * step.0)
    }

    /// Its size without its sign.
    #[must_use]
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_over_a_length_round_the_way_they_say() {
        let (run, spacing) = (Length::inches(144), Length::inches(16));
        assert_eq!((run.div_up(spacing), run.div_down(spacing)), (9, 9));
        let longer = run + Length::from_64ths(1);
        assert_eq!((longer.div_up(spacing), longer.div_down(spacing)), (10, 9));
        let below = -longer;
        assert_eq!((below.div_up(spacing), below.div_down(spacing)), (-9, -10));
        assert_eq!(
            longer.up_to(Length::from_64ths(8)),
            Length::inches_64(144, 8)
        );
        assert_eq!(run.up_to(spacing), run);
    }

    #[test]
    fn half_of_an_odd_64th_goes_down() {
        assert_eq!(Length::from_64ths(97).half_down(), Length::from_64ths(48));
        assert_eq!(Length::from_64ths(-97).half_down(), Length::from_64ths(-49));
    }

    #[test]
    fn bare_inches_are_printed_in_lowest_terms_with_their_sign() {
        for (n, printed) in [
            (0, "0"),
            (64, "1"),
            (48, "3/4"),
            (-4, "-1/16"),
            (5352, "83 5/8"),
            (-65, "-1 1/64"),
        ] {
            assert_eq!(Length::from_64ths(n).to_string(), printed);
        }
    }
}
