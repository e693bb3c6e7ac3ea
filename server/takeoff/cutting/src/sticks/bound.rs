//! What sticks cost at least.
//!
//! What it does not do: look at single lengths. It counts the length that must be bought, so it is far below the cost
//! where pieces of about half a stick leave long rests. Integers only, so the bound holds exactly.

use super::fill::Kind;
use crate::up_to_a_sum_of;
use scantling_units::{Length, Money};

/// What the pieces that fit a priced stick cost at least, by length alone: all of every on-hand stick is taken off, and
/// all that sticks without a price could hold beside the pieces that call for them.
pub(super) fn lower_bound(
    sizes: &[Length],
    on_hand: &[Length],
    priced: &[Kind],
    longest_unpriced: Length,
) -> Money {
    let Some(longest) = priced.last().map(|kind| kind.room) else {
        return Money::ZERO;
    };
    let (long, short) = sizes.split_at(sizes.partition_point(|&size| size > longest));
    let Some(&shortest) = short.last() else {
        return Money::ZERO;
    };
    let beside: Length = long
        .iter()
        .map(|&size| (longest_unpriced - size).max(Length::ZERO))
        .max()
        .map_or(Length::ZERO, |most| {
            most * i64::try_from(long.len()).unwrap_or(i64::MAX)
        });
    let free: Length = on_hand
        .iter()
        .copied()
        .filter(|&room| room >= shortest)
        .sum();
    let needed = short.iter().copied().sum::<Length>() - free - beside;
    if needed <= Length::ZERO {
        return Money::ZERO;
    }
    let by_length = priced
        .iter()
        .map(|kind| {
            let whole = i128::from(needed.as_64ths()) * i128::from(kind.weight);
            -(-whole).div_euclid(i128::from(kind.room.as_64ths()))
        })
        .min()
        .and_then(|cents| i64::try_from(cents).ok())
        .unwrap_or(0);
    let by_count = needed.div_up(longest) * priced[0].weight;
    up_to_a_sum_of(
        priced.iter().map(|kind| kind.weight),
        by_length.max(by_count),
    )
}
