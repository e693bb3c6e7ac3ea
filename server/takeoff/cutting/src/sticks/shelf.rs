//! What the yard sells, as the search weighs it: cents, and more than all cents for a length without a price.
//!
//! A length without a price is bought only where no other way serves, and then as little of it as can be: each weighs more
//! than all priced sticks together, by its length. Source: takeoff's rule; the weights are Scantling's own.

use super::exact::DEAREST;
use super::{ForSale, Settings};
use crate::common_divisor;
use crate::sale::{Sold, together};
use scantling_units::{Length, Money};

/// A stick length for sale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    /// As sold.
    pub(super) length: Length,
    /// Price, if there is one.
    pub(super) price: Option<Money>,
    /// How many there are; none: as many as wanted.
    pub(super) limit: Option<i64>,
    /// Less trim, plus one kerf.
    pub(super) room: Length,
    /// What is kept least: cents, or far more of them where there is no price.
    pub(super) weight: i64,
}

/// Every length for sale, shortest first.
pub(super) struct Shelf {
    pub(super) kinds: Vec<Kind>,
}

impl Shelf {
    /// What there is any of, weighed for so many pieces.
    pub(super) fn new(for_sale: &[ForSale], saw: Settings, pieces: usize) -> Self {
        let rows = for_sale.iter().filter(|row| row.length > saw.trim);
        let sold = |row: &ForSale| Sold {
            price: row.price,
            limit: row.limit,
        };
        let kinds = together(rows.map(|row| (row.length, sold(row)))).into_iter();
        let kinds = kinds.map(|(length, Sold { price, limit })| Kind {
            length,
            price,
            limit,
            room: length - saw.trim + saw.kerf,
            weight: price.map_or(0, |price| price.as_cents().min(DEAREST)),
        });
        let mut shelf = Self {
            kinds: kinds.collect(),
        };
        shelf.weigh(i64::try_from(pieces).unwrap_or(i64::MAX));
        shelf
    }

    /// Weighs what has no price, and leaves out what a priced length always stands in for.
    fn weigh(&mut self, pieces: i64) {
        let endless = self.kinds.iter();
        let endless = endless.filter(|kind| kind.price.is_some() && kind.limit.is_none());
        let held = endless.map(|kind| kind.room).max().unwrap_or(Length::ZERO);
        self.kinds
            .retain(|kind| kind.price.is_some() || kind.room > held);
        let dearest = self.kinds.iter().map(|kind| kind.weight).max().unwrap_or(0);
        // No plan has more sticks than pieces.
        let above_all = pieces
            .saturating_mul(dearest)
            .saturating_add(1)
            .min(DEAREST);
        let unpriced = |kind: &&mut Kind| kind.price.is_none();
        let (mut unit, mut longest) = (0, 1);
        for kind in self.kinds.iter_mut().filter(unpriced) {
            unit = common_divisor(unit, kind.length.as_64ths());
            longest = longest.max(kind.length.as_64ths());
        }
        // Where that many weights don't go into one figure, lengths are told apart less finely.
        let most = DEAREST.div_euclid(above_all);
        let unit = unit.max(1).max(-(-longest).div_euclid(most));
        for kind in self.kinds.iter_mut().filter(unpriced) {
            kind.weight = above_all * -(-kind.length.as_64ths()).div_euclid(unit);
        }
    }

    /// The longest room that there is.
    pub(super) fn longest(&self) -> Length {
        self.kinds.last().map_or(Length::ZERO, |kind| kind.room)
    }
}
