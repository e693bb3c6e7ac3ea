//! Sums that no sheet can exceed: each gives every piece a weight and every kind of sheet the most that it can hold.
//!
//! What it does not do: look at shapes beyond the two sides, or decide how many sheets to buy (`counts.rs` does).
//!
//! Source: Fekete and Schepers, "A general framework for bounds for higher-dimensional orthogonal packing problems",
//! Mathematical Methods of Operations Research 60 (2004), 311 to 329: sides may be replaced by values that never add up
//! to more than the whole's. Here each such function f also keeps f(a) + f(b) <= f(a + b) beyond the sheet it was made
//! for, so that one weight serves sheets of all sizes, and so that the sum holds for cuts from edge to edge: cutting a
//! sheet into a and b shares out f(a + b) and never adds to it.

use std::collections::BTreeSet;

use super::model::{Kind, Model, Piece};

/// Rows kept for each kind of sheet.
const KEPT: usize = 40;

/// Side values looked at along each side, at most.
const MOST_STEPS: usize = 160;

/// Kinds of sheet that sides are measured against, at most.
const MOST_WHOLES: usize = 5;

/// Weights worked out in all, at most.
const MOST_WEIGHTS: u64 = 6_000_000;

/// One sum: what the pieces weigh, and what each kind holds at most.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Row {
    /// By piece.
    pub(super) weights: Vec<i64>,
    /// By kind.
    pub(super) holds: Vec<i64>,
    /// Of all pieces together.
    pub(super) asked: i128,
}

/// A function of a side, with f(a) + f(b) <= f(a + b).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Step {
    /// Below `drop` nothing, above `whole - drop` the whole, between them the side itself; beyond the whole as many
    /// wholes as could lie there and what is left.
    Drop { drop: i64, whole: i64 },
    /// `parts` of the side over the whole, rounded up, less one.
    Share { parts: i64, whole: i64 },
}

impl Step {
    fn of(self, side: i64) -> i64 {
        match self {
            Self::Share { parts, whole } => (parts * side - 1).div_euclid(whole).max(0),
            Self::Drop { drop, whole } => {
                // The shortest side that counts as a whole: never longer than the whole, so one more of them is no loss.
                let full = whole - drop + 1;
                let left = side.rem_euclid(full);
                side.div_euclid(full) * whole + if left >= drop { left } else { 0 }
            }
        }
    }
}

/// The strongest rows, the plain area first; no more than so many weights are worked out.
pub(super) fn rows(model: &Model, most: u64) -> Vec<Row> {
    if model.pieces.is_empty() || model.kinds.is_empty() {
        return Vec::new();
    }
    let across: Vec<i64> = model.kinds.iter().map(|kind| kind.h).collect();
    let along: Vec<i64> = model.kinds.iter().map(|kind| kind.w).collect();
    // What is bought matters most, then the biggest of what is on hand.
    let mut wholes: Vec<&Kind> = model.kinds.iter().collect();
    wholes.sort_by_key(|kind| (kind.is_free(), -kind.area(), kind.price));
    wholes.truncate(MOST_WHOLES);
    let judged: Vec<usize> = (0..model.kinds.len())
        .filter(|&at| wholes.contains(&&model.kinds[at]))
        .collect();
    let turning = || model.pieces.iter().filter(|piece| piece.turn);
    let sides = |fixed: fn(&Piece) -> i64| -> BTreeSet<i64> {
        let own = model.pieces.iter().map(fixed);
        own.chain(turning().flat_map(|piece| [piece.w, piece.h]))
            .collect()
    };
    let weights = usize::try_from(most.min(MOST_WEIGHTS)).unwrap_or(0);
    let room = weights
        .div_euclid(model.pieces.len() + model.kinds.len())
        .isqrt();
    let most = room.min(MOST_STEPS);
    let steps_along = steps(
        &sides(|piece| piece.w),
        wholes.iter().map(|kind| kind.w),
        most,
    );
    let steps_across = steps(
        &sides(|piece| piece.h),
        wholes.iter().map(|kind| kind.h),
        most,
    );
    let table = |steps: &[Step], sides: &[i64]| -> Vec<Vec<i64>> {
        steps
            .iter()
            .map(|step| sides.iter().map(|&side| step.of(side)).collect())
            .collect()
    };
    let (w, h): (Vec<i64>, Vec<i64>) = model.pieces.iter().map(|piece| (piece.w, piece.h)).unzip();
    let (along_w, along_h) = (table(&steps_along, &w), table(&steps_along, &h));
    let (across_w, across_h) = (table(&steps_across, &w), table(&steps_across, &h));
    let (held_along, held_across) = (table(&steps_along, &along), table(&steps_across, &across));

    let mut best: Vec<BTreeSet<(i128, usize, usize)>> = vec![BTreeSet::new(); judged.len()];
    let weigh = |a: usize, b: usize, n: usize| {
        let straight = along_w[a][n] * across_h[b][n];
        if model.pieces[n].turn {
            straight.min(along_h[a][n] * across_w[b][n])
        } else {
            straight
        }
    };
    let asked = |a: usize, b: usize| -> i128 {
        (0..model.pieces.len())
            .map(|n| i128::from(weigh(a, b, n)) * i128::from(model.pieces[n].count.min(1 << 40)))
            .sum()
    };
    for (a, along) in held_along.iter().enumerate() {
        for (b, across) in held_across.iter().enumerate() {
            let sum = asked(a, b);
            for (&kind, kept) in judged.iter().zip(&mut best) {
                let holds = i128::from(along[kind]) * i128::from(across[kind]);
                let ratio = sum
                    .checked_mul(1 << 16)
                    .map_or(0, |top| top.div_euclid(holds.max(1)));
                let weak = kept.last().is_some_and(|&(worst, ..)| -ratio >= worst);
                if kept.len() < KEPT || !weak {
                    kept.insert((-ratio, a, b));
                }
                if kept.len() > KEPT {
                    kept.pop_last();
                }
            }
        }
    }
    let chosen: BTreeSet<(usize, usize)> = best
        .into_iter()
        .flatten()
        .map(|(_, a, b)| (a, b))
        .chain([(0, 0)])
        .collect();
    chosen
        .into_iter()
        .map(|(a, b)| Row {
            weights: (0..model.pieces.len()).map(|n| weigh(a, b, n)).collect(),
            holds: (0..model.kinds.len())
                .map(|kind| held_along[a][kind] * held_across[b][kind])
                .collect(),
            asked: asked(a, b),
        })
        .collect()
}

/// The functions to try on one side: the side itself first, then shares, then what drops short sides.
fn steps(sides: &BTreeSet<i64>, wholes: impl Iterator<Item = i64>, most: usize) -> Vec<Step> {
    let wholes: Vec<i64> = wholes.collect();
    let plain = Step::Drop {
        drop: 1,
        whole: wholes.iter().copied().max().unwrap_or(1),
    };
    let mut all = vec![plain];
    // Far longer sides than the whole would give values too great to multiply.
    let longest = sides
        .last()
        .copied()
        .into_iter()
        .chain(wholes.iter().copied())
        .max();
    let near = |whole: i64| longest.unwrap_or(0).div_euclid(whole) < 1 << 20;
    for &whole in wholes.iter().filter(|&&whole| near(whole)) {
        all.extend((2..=8).map(|parts| Step::Share { parts, whole }));
    }
    for &whole in &wholes {
        let half = whole.div_euclid(2);
        let drops = sides.iter().rev().copied().filter(|&side| side <= half);
        all.extend(
            [half]
                .into_iter()
                .chain(drops)
                .filter(|&drop| drop > 0)
                .map(|drop| Step::Drop { drop, whole }),
        );
    }
    let mut seen = BTreeSet::new();
    all.retain(|&step| seen.insert(step));
    all.truncate(most.max(1));
    all
}

#[cfg(test)]
mod tests {
    use super::Step;

    /// The law that the bound rests on, for every pair of sides up to twice the sheet.
    #[test]
    fn no_step_gives_two_parts_more_than_the_whole() {
        for whole in 1..30_i64 {
            let drops = (1..=whole.div_euclid(2)).map(|drop| Step::Drop { drop, whole });
            let shares = (2..=8).map(|parts| Step::Share { parts, whole });
            for step in drops.chain(shares) {
                for a in 1..40 {
                    for b in 1..40 {
                        assert!(
                            step.of(a) + step.of(b) <= step.of(a + b),
                            "{step:?} {a} {b}"
                        );
                    }
                }
            }
        }
    }
}
