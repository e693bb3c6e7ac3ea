//! Fewest sticks where all are equal, by rounded lengths.
//!
//! A function of the length under which no stick holds more than one whole bounds the number of sticks from below: the sum
//! over all pieces, rounded up. Two kinds of such functions are combined: pieces too long to share a stick with one of some
//! length count as a whole stick and shorter ones as nothing; and lengths are rounded down to parts of a stick, where one
//! part more than the stick has would not fit.
//!
//! Source: Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", Mathematical Programming 91
//! (2001), 11 to 31: the functions U and u; the first alone gives the bound of Martello and Toth.

use super::budget::Budget;
use super::problem::Problem;

/// Parts of a stick, at most, that lengths are rounded to.
const MOST_PARTS: i64 = 10;

/// No plan has fewer sticks than this; no more than `enough` is looked for.
pub(super) fn bound_by_rounding(
    problem: &Problem,
    room: i64,
    enough: i64,
    budget: &mut Budget<'_>,
) -> i64 {
    let up = |length: i128, whole: i128| {
        i64::try_from(-(-length).div_euclid(whole.max(1))).unwrap_or(i64::MAX)
    };
    let mut best = up(problem.length(), i128::from(room));
    let lengths = problem.sizes.iter().copied();
    let shorter_than_half = lengths.filter(|&size| size.saturating_mul(2) <= room);
    for least in std::iter::once(0).chain(shorter_than_half) {
        for parts in 0..=MOST_PARTS {
            if best >= enough || !budget.spend(4 * problem.sizes.len()) {
                return best;
            }
            let sum: i128 = problem
                .sizes
                .iter()
                .zip(&problem.counts)
                .map(|(&size, &n)| i128::from(n) * rounded(size, room, least, parts))
                .sum();
            best = best.max(up(sum, i128::from(room) * i128::from(parts.max(1))));
        }
    }
    best
}

/// A length as so many parts of the room each times the room; with no parts the length itself.
fn rounded(size: i64, room: i64, least: i64, parts: i64) -> i128 {
    let length = if size > room - least {
        room
    } else if size < least {
        0
    } else {
        size
    };
    let (length, room, parts) = (i128::from(length), i128::from(room), i128::from(parts));
    let more = length * (parts + 1);
    if parts == 0 {
        length
    } else if more.rem_euclid(room) == 0 {
        length * parts
    } else {
        more.div_euclid(room) * room
    }
}
