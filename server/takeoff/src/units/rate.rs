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
