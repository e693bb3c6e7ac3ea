//! Which packs to buy: the cheapest that hold a count, then the fewest.
//!
//! Boxes, bags and pounds are mixed freely. A line of a receipt books whole pieces, so the pounds of one row are counted
//! down together: 2 lb of 45.5 are 91, but 1 lb of 45.5 and 1 lb of another row's 30.5 are 45 and 30. Counts are in steps:
//! the largest share of a piece, or number of pieces, that measures every pack.
//!
//! The mix is found exactly by a table over the count. The table stays short whatever the count: where packs of one row
//! hold a common multiple of their own size and of the best pack's (the least price for a piece), best packs in their
//! stead cost no more and are no more packs. So of every other row there are fewer than that, and all that lies beyond is
//! best packs. Source: common practice, no published source.

use std::cmp::{Ordering, Reverse};

use super::prices::Offer;
use crate::units::Money;

/// The table has at most so many cells, one for each step and row of the price book. Where sizes have so little in common
/// that more would be needed, more best packs are taken first: the cover holds then, and is no dearer than packs of one row
/// alone, but a mix may be cheaper.
const CELLS: usize = 1_000_000;

/// A row of the price book as the table sees it.
#[derive(Clone, Copy, Debug)]
struct Pack<'a> {
    offer: &'a Offer,
    /// What it holds, in steps.
    size: i64,
    /// In cents; zero where no row has a price.
    price: i64,
}

/// The cheapest packs that hold so many pieces, then the fewest: which offer, and how many of it, the largest first. Rows
/// without a price only where none has one; then the fewest packs. Empty where no row says how many are in one.
pub(super) fn cover<'a>(offers: &[&'a Offer], pieces: i64) -> Vec<(&'a Offer, i64)> {
    cover_within(offers, pieces, CELLS)
}

fn cover_within<'a>(offers: &[&'a Offer], pieces: i64, cells: usize) -> Vec<(&'a Offer, i64)> {
    let (packs, step) = packs(offers);
    // Steps to a piece where a step is a share of one.
    let lot = if step.rem_euclid(10) == 0 {
        1
    } else {
        10_i64.div_euclid(step)
    };
    let wanted = up(pieces.saturating_mul(10), step);
    let cost = |counts: &[i64]| -> (i128, i64) {
        let priced = packs.iter().zip(counts);
        let cents = priced.map(|(pack, n)| i128::from(pack.price) * i128::from(*n));
        (cents.sum(), counts.iter().sum())
    };
    let alone = (0..packs.len()).map(|only| {
        let mut counts = vec![0; packs.len()];
        counts[only] = up(wanted, packs[only].size);
        counts
    });
    let Some(counts) = alone
        .chain(mixed(&packs, lot, wanted, cells))
        .min_by_key(|counts| cost(counts))
    else {
        return Vec::new();
    };
    packs
        .iter()
        .zip(counts)
        .filter(|(_, count)| *count > 0)
        .map(|(pack, count)| (pack.offer, count))
        .collect()
}

/// The rows worth a look, the largest first, and the step in tenths of a piece. A row that is no larger than another and
/// no cheaper isn't.
fn packs<'a>(offers: &[&'a Offer]) -> (Vec<Pack<'a>>, i64) {
    let known = |offer: &&&Offer| offer.per_tenths.is_some_and(|per| per > 0);
    let is_priced = offers
        .iter()
        .filter(known)
        .any(|offer| offer.price.is_some());
    let mut packs: Vec<Pack<'a>> = offers
        .iter()
        .filter(known)
        .filter(|offer| offer.price.is_some() || !is_priced)
        .filter_map(|offer| {
            Some(Pack {
                offer,
                size: offer.per_tenths?,
                price: offer.price.map_or(0, Money::as_cents),
            })
        })
        .collect();
    packs.sort_by_key(|pack| (Reverse(pack.size), pack.price));
    let mut least = i64::MAX;
    packs.retain(|pack| {
        let cheaper = pack.price < least;
        least = least.min(pack.price);
        cheaper
    });
    let common = packs.iter().fold(0, |step, pack| divisor(step, pack.size));
    let step = if common.rem_euclid(10) == 0 {
        common.max(10)
    } else {
        divisor(common, 10)
    };
    for pack in &mut packs {
        pack.size = pack.size.div_euclid(step);
    }
    (packs, step)
}

/// The cheapest mix, then the fewest packs: how many of each row. None where there is nothing to mix.
fn mixed(packs: &[Pack<'_>], lot: i64, wanted: i64, cells: usize) -> Option<Vec<i64>> {
    if packs.len() < 2 {
        return None;
    }
    let (which, best) = packs.iter().enumerate().min_by(|a, b| by_rate(a.1, b.1))?;
    // What the other rows hold together at most: of each less than a common multiple.
    let others = packs
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != which)
        .map(|(_, pack)| multiple(multiple(best.size, pack.size), lot).saturating_sub(pack.size))
        .fold(0, i64::saturating_add);
    // Best packs come by whole pieces, so that what the table adds to them is counted down by itself.
    let by = lot.div_euclid(divisor(lot, best.size));
    let first = wanted
        .saturating_sub(others)
        .max(0)
        .div_euclid(best.size)
        .div_euclid(by)
        * by;
    let most = i64::try_from(cells.div_euclid(packs.len())).unwrap_or(i64::MAX);
    let least = up(up((wanted - most).max(0), best.size), by) * by;
    let first = first.max(least);
    let rest = usize::try_from((wanted - first * best.size).max(0)).ok()?;
    let mut counts = table(packs, usize::try_from(lot).ok()?, rest)?;
    counts[which] += first;
    Some(counts)
}

/// Which has the lower price for a piece; of two alike the larger.
fn by_rate(a: &Pack<'_>, b: &Pack<'_>) -> Ordering {
    let rate = |pack: &Pack<'_>, other: &Pack<'_>| i128::from(pack.price) * i128::from(other.size);
    rate(a, b).cmp(&rate(b, a)).then(b.size.cmp(&a.size))
}

/// The least cost and number of packs for every count of steps up to this one, a row at a time: how many of each row are
/// taken in the end. `wanted` comes by whole lots.
fn table(packs: &[Pack<'_>], lot: usize, wanted: usize) -> Option<Vec<i64>> {
    let mut least = vec![(i64::MAX, i64::MAX); wanted + 1];
    least[0] = (0, 0);
    let mut by_pack: Vec<Vec<u32>> = Vec::new();
    for pack in packs {
        let size = usize::try_from(pack.size).ok()?;
        let (mut with, mut taken) = (vec![(0, 0); wanted + 1], vec![0_u32; wanted + 1]);
        for at in 1..=wanted {
            let without = least[at.next_multiple_of(lot)];
            let before = at.saturating_sub(size);
            let (cost, count): (i64, i64) = with[before];
            let one_more = (cost.saturating_add(pack.price), count.saturating_add(1));
            (with[at], taken[at]) = if one_more < without {
                (one_more, taken[before] + 1)
            } else {
                (without, 0)
            };
        }
        least = with;
        by_pack.push(taken);
    }
    let mut counts = vec![0; packs.len()];
    let mut left = wanted;
    for (at, taken) in by_pack.iter().enumerate().rev() {
        let count = taken[left];
        counts[at] = i64::from(count);
        let size = usize::try_from(packs[at].size).ok()?;
        left = left
            .saturating_sub(size.saturating_mul(usize::try_from(count).ok()?))
            .next_multiple_of(lot);
    }
    Some(counts)
}

fn up(n: i64, by: i64) -> i64 {
    -(-n).div_euclid(by)
}

fn divisor(a: i64, b: i64) -> i64 {
    if b == 0 {
        a
    } else {
        divisor(b, a.rem_euclid(b))
    }
}

/// The least common multiple.
fn multiple(a: i64, b: i64) -> i64 {
    a.div_euclid(divisor(a, b)).saturating_mul(b)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;
    use uuid::Uuid;

    use super::super::counted::pieces_in;
    use super::super::item::Item;
    use super::*;
    use crate::needs::FastenerClass;

    /// Tenths of a piece and cents for each row.
    fn offers(rows: &[(i64, Option<i64>)]) -> Vec<Offer> {
        rows.iter()
            .enumerate()
            .map(|(at, (per, cents))| Offer {
                row: Uuid::from_u128(at as u128),
                item: Item::Fastener {
                    class: FastenerClass::new("16d common", ""),
                },
                hardware: String::new(),
                supplier: String::new(),
                supplier_id: None,
                sold_by: "box".to_owned(),
                per_tenths: Some(*per),
                price: cents.map(Money::from_cents),
                a_foot: None,
                item_number: None,
                lead_days: None,
                at_yard: None,
            })
            .collect()
    }

    /// What is bought: tenths in one and how many; with cost, packs and pieces booked.
    fn bought(rows: &[Offer], pieces: i64, cells: usize) -> (Vec<(i64, i64)>, (i64, i64), i64) {
        let all: Vec<&Offer> = rows.iter().collect();
        let packs: Vec<(i64, i64, i64)> = cover_within(&all, pieces, cells)
            .into_iter()
            .map(|(offer, count)| {
                let cents = offer.price.map_or(0, Money::as_cents);
                (offer.per_tenths.unwrap(), count, cents)
            })
            .collect();
        (
            packs.iter().map(|(per, count, _)| (*per, *count)).collect(),
            (
                packs.iter().map(|(_, count, cents)| count * cents).sum(),
                packs.iter().map(|(_, count, _)| count).sum(),
            ),
            packs
                .iter()
                .map(|(per, count, _)| pieces_in(*per, *count))
                .sum(),
        )
    }

    #[test]
    fn boxes_and_pounds_are_mixed() {
        // A box of 250 at 12.00, a box of 60 at 4.00, a pound of 45.5 at 3.50. 291: 250 + 45 are 295 at 15.50; 250 + 60
        // cost 16.00, two boxes of 250 cost 24.00. 296 is one more than 295: 250 + 60.
        let rows = offers(&[(2_500, Some(1_200)), (600, Some(400)), (455, Some(350))]);
        assert_eq!(bought(&rows, 291, CELLS).0, [(2_500, 1), (455, 1)]);
        assert_eq!(bought(&rows, 296, CELLS).0, [(2_500, 1), (600, 1)]);
    }

    #[test]
    fn pounds_of_two_rows_are_counted_down_each() {
        // 45.5 at 3.50 and 30.5 at 2.00: 45 + 30 = 75 at 5.50. 76 is not 45.5 + 30.5: three of 30.5 are 91 at 6.00.
        let rows = offers(&[(455, Some(350)), (305, Some(200))]);
        assert_eq!(bought(&rows, 75, CELLS).0, [(455, 1), (305, 1)]);
        assert_eq!(bought(&rows, 76, CELLS).0, [(305, 3)]);
    }

    #[test]
    fn a_hundred_million_nails_are_counted_at_once() {
        // 400,000 boxes of 250 hold just as many, and a nail is cheapest in them: 4.8 cents against 6.7 and 7.7.
        let rows = offers(&[(2_500, Some(1_200)), (600, Some(400)), (455, Some(350))]);
        assert_eq!(bought(&rows, 100_000_000, CELLS).0, [(2_500, 400_000)]);
        // One more: a pound at 3.50.
        assert_eq!(
            bought(&rows, 100_000_001, CELLS).0,
            [(2_500, 400_000), (455, 1)]
        );
    }

    #[test]
    fn rows_without_a_price_count_where_none_has_one() {
        let rows = offers(&[(600, None), (2_500, None)]);
        assert_eq!(bought(&rows, 260, CELLS).0, [(2_500, 2)]);
        let rows = offers(&[(600, Some(400)), (2_500, None)]);
        assert_eq!(bought(&rows, 260, CELLS).0, [(600, 5)]);
        assert_eq!(bought(&[], 260, CELLS).0, []);
    }

    /// The least cost, then the fewest packs, by trying every count of all rows but the last, which fills the rest.
    fn by_trying(rows: &[(i64, i64)], pieces: i64, so_far: (i64, i64)) -> (i64, i64) {
        let ((per, cents), others) = (rows[0], &rows[1..]);
        let most = up(pieces.max(0) * 10, per);
        let cost = |n: i64| (so_far.0 + n * cents, so_far.1 + n);
        if others.is_empty() {
            return cost(most);
        }
        (0..=most)
            .map(|n| by_trying(others, pieces - pieces_in(per, n), cost(n)))
            .min()
            .unwrap()
    }

    proptest! {
        #![proptest_config(ProptestConfig {
            failure_persistence: None,
            ..ProptestConfig::default()
        })]

        #[test]
        fn packs_are_the_cheapest_then_the_fewest(
            rows in prop::collection::vec((5_i64..=60, 1_i64..=30), 1..=3), tens in any::<bool>(), pieces in 1_i64..=60,
        ) {
            let rows: Vec<(i64, i64)> = rows
                .into_iter()
                .map(|(per, cents)| (if tens { per * 10 } else { per }, cents))
                .collect();
            let priced: Vec<_> = rows.iter().map(|(per, cents)| (*per, Some(*cents))).collect();
            let (_, cost, there) = bought(&offers(&priced), pieces, CELLS);
            prop_assert!(there >= pieces);
            prop_assert_eq!(cost, by_trying(&rows, pieces, (0, 0)));
        }

        #[test]
        fn a_table_that_is_too_short_still_covers(
            rows in prop::collection::vec((1_i64..=5_000, 1_i64..=3_000), 1..=4), pieces in 1_i64..=100_000, cells in 1_usize..=400,
        ) {
            let priced: Vec<_> = rows.iter().map(|(per, cents)| (*per, Some(*cents))).collect();
            let (_, cost, there) = bought(&offers(&priced), pieces, cells);
            prop_assert!(there >= pieces);
            for (per, cents) in rows {
                prop_assert!(cost.0 <= cents * up(pieces * 10, per));
            }
        }
    }
}
