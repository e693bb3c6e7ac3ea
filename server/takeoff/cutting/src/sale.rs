//! Rows that sell a size: those at one price as one, with how many there are.

use std::collections::BTreeMap;

use scantling_units::Money;

/// A size for sale: its price, if there is one, and how many there are; none: as many as wanted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Sold {
    pub(crate) price: Option<Money>,
    pub(crate) limit: Option<i64>,
}

/// The rows by size and price, those at one price counted together, those that there are none of left out. A price below
/// zero is none.
pub(crate) fn together<K: Ord + Copy>(rows: impl Iterator<Item = (K, Sold)>) -> Vec<(K, Sold)> {
    let mut known: BTreeMap<(K, Option<Money>), Option<i64>> = BTreeMap::new();
    for (size, row) in rows {
        let price = row.price.filter(|&price| price >= Money::ZERO);
        let limit = row.limit.map(|limit| limit.max(0));
        if limit != Some(0) {
            known
                .entry((size, price))
                .and_modify(|all| *all = all.zip(limit).map(|(a, b)| a.saturating_add(b)))
                .or_insert(limit);
        }
    }
    known
        .into_iter()
        .map(|((size, price), limit)| (size, Sold { price, limit }))
        .collect()
}
