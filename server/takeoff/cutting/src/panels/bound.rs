//! What sheets cost at least.
//!
//! What it does not do: look at the shapes. It counts the area that must be bought. Integers only, so the bound holds
//! exactly.

use super::area;
use super::fill::{Kind, Need, Room};
use crate::up_to_a_sum_of;
use scantling_units::Money;

/// What the patches that fit a priced sheet cost at least, by area alone: the area of every on-hand sheet is taken off,
/// and all that sheets without a price could hold beside the patches that call for them.
pub(super) fn lower_bound(needs: &[Need], on_hand: &[Room], kinds: &[Kind]) -> Money {
    let priced = |kind: &&Kind| kind.price.is_some();
    let fits_priced = |need: &&Need| {
        kinds
            .iter()
            .filter(priced)
            .any(|kind| need.ways_into(kind.room).next().is_some())
    };
    let of = |room: Room| area(room.w, room.h);
    let needed: i128 = needs
        .iter()
        .filter(fits_priced)
        .map(|need| of(need.room))
        .sum();
    let held: i128 = on_hand
        .iter()
        .filter(|&&room| {
            needs
                .iter()
                .any(|need| need.ways_into(room).next().is_some())
        })
        .map(|&room| of(room))
        .sum();
    let beside: i128 = needs
        .iter()
        .filter(|need| !fits_priced(need))
        .map(|need| {
            let into = kinds
                .iter()
                .filter(|kind| need.ways_into(kind.room).next().is_some());
            into.map(|kind| of(kind.room)).max().unwrap_or(0)
        })
        .sum();
    let rest = needed - held - beside;
    if rest <= 0 {
        return Money::ZERO;
    }
    let weighed = kinds
        .iter()
        .filter_map(|kind| Some((of(kind.room), kind.price?.as_cents())));
    let sizes: Vec<(i128, i128)> = weighed
        .filter(|&(size, _)| size > 0)
        .map(|(size, cents)| (size, cents.into()))
        .collect();
    let up = |top: i128, bottom: i128| -(-top).div_euclid(bottom);
    let by_area = sizes
        .iter()
        .map(|&(size, cents)| up(rest * cents, size))
        .min();
    let by_count = sizes.iter().map(|&(size, _)| size).max().map(|largest| {
        up(rest, largest) * sizes.iter().map(|&(_, cents)| cents).min().unwrap_or(0)
    });
    let cents = by_area
        .max(by_count)
        .and_then(|cents| i64::try_from(cents).ok());
    let asked = kinds
        .iter()
        .filter_map(|kind| kind.price)
        .map(Money::as_cents);
    up_to_a_sum_of(asked, cents.unwrap_or(0))
}
