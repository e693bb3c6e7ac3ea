//! Rates: waste factors in permille, tax in thousandths of a percent.

use serde::{Deserialize, Serialize};

use super::Money;

/// A share in permille: 100 is 10 %.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct Permille(pub u32);

impl Permille {
    /// `n` with this share on top, rounded up to a whole number: 172 with 5 % is 181.
    pub fn on_top_up(self, n: i64) -> i64 {
        -(-n * (1000 + i64::from(self.0))).div_euclid(1000)
    }
}

/// A tax rate in thousandths of a percent: 6250 is 6.25 %.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(transparent)]
pub struct TaxRate(pub u32);

impl TaxRate {
    /// The tax on an amount: the size rounded half up to a cent, then the sign set.
    ///
    /// Source: common practice, no published source.
    pub fn on(self, amount: Money) -> Money {
        let cents = i128::from(amount.as_cents().unsigned_abs()) * i128::from(self.0);
        let rounded = (cents + 50_000).div_euclid(100_000);
        let size = i64::try_from(rounded).unwrap_or(i64::MAX);
        Money::from_cents(if amount < Money::ZERO { -size } else { size })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_share_on_top_goes_up_to_a_whole_one() {
        assert_eq!(Permille(50).on_top_up(172), 181); // 180.6
        assert_eq!(Permille(100).on_top_up(100), 110);
        assert_eq!(Permille(0).on_top_up(7), 7);
        assert_eq!(Permille(1).on_top_up(1), 2);
    }

    #[test]
    fn half_a_cent_of_tax_goes_up_in_size() {
        let tax = |rate, cents| TaxRate(rate).on(Money::from_cents(cents)).as_cents();
        assert_eq!(tax(6250, 10_000), 625);
        assert_eq!(tax(5000, 110), 6); // 5.5
        assert_eq!(tax(5000, -110), -6);
        assert_eq!(tax(5000, 109), 5);
    }
}
