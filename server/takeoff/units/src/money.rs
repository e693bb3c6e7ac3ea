//! Money in whole cents.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, Mul, Neg, Sub};

use serde::{Deserialize, Serialize};

/// An amount in whole cents of the job's currency (US dollars are printed).
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize,
)]
#[serde(transparent)]
pub struct Money(i64);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(0);

    /// From cents.
    pub const fn from_cents(n: i64) -> Self {
        Self(n)
    }

    /// In cents.
    pub const fn as_cents(self) -> i64 {
        self.0
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0 + other.0)
    }
}

impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0 - other.0)
    }
}

impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}

impl Mul<i64> for Money {
    type Output = Self;
    fn mul(self, n: i64) -> Self {
        Self(self.0 * n)
    }
}

impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(all: I) -> Self {
        all.fold(Self::ZERO, Add::add)
    }
}

/// `$1,234.50`, `-$0.05`.
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let sign = if self.0 < 0 { "-" } else { "" };
        let size = self.0.unsigned_abs();
        let (dollars, cents) = (size.div_euclid(100).to_string(), size.rem_euclid(100));
        write!(f, "{sign}$")?;
        for (at, digit) in dollars.char_indices() {
            if at > 0 && (dollars.len() - at).rem_euclid(3) == 0 {
                f.write_str(",")?;
            }
            write!(f, "{digit}")?;
        }
        write!(f, ".{cents:02}")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn money_is_printed_with_thousands_and_keeps_its_sign_under_a_dollar() {
        for (cents, printed) in [
            (0, "$0.00"),
            (123_450, "$1,234.50"),
            (100_000_000, "$1,000,000.00"),
            (99_999, "$999.99"),
            (-5, "-$0.05"),
            (-123_456, "-$1,234.56"),
        ] {
            assert_eq!(Money::from_cents(cents).to_string(), printed);
        }
    }
}
