//! A better plan by freeing some sticks of the one at hand and solving these alone, again and again.
//!
//! A small problem is solved in little time, and what a large plan loses is lost on some of its sticks: mostly on those
//! that hold less than they are worth by the relaxation. It proves nothing; it finds plans.
//!
//! Source: Shaw, "Using constraint programming and local search methods to solve vehicle routing problems", CP 1998, 417 to
//! 431 (large neighbourhood search).

use std::collections::BTreeMap;

use super::budget::Budget;
use super::master::Bound;
use super::problem::{Kind, Pattern, Plan, Problem};
use super::search::least_of_part;

/// Pieces freed at first, and at most.
const FEWEST_PIECES: i64 = 24;
const MOST_PIECES: i64 = 60;

/// Tries in a row that may fail before more pieces are freed.
const TRIES: usize = 8;

/// Steps of one try.
const STEPS_A_TRY: u64 = 2_500_000;

/// Sticks beyond which a plan is left as it is.
const MOST_STICKS: i64 = 5_000;

/// No stick counts as losing more than this.
const MOST_LOST: i64 = 1 << 48;

/// The plan after as many tries as the steps allow, or once its cost is `enough`.
pub(super) fn improved(
    problem: &Problem,
    mut plan: Plan,
    bound: &Bound,
    enough: i64,
    lot: &mut Lot,
    budget: &mut Budget<'_>,
) -> Plan {
    if plan.count() > MOST_STICKS {
        return plan;
    }
    let mut pieces = FEWEST_PIECES;
    let mut failed = 0;
    while plan.cost(problem) > enough && budget.spend(2_000 + 100 * plan.sticks.len()) {
        let freed = freed(&plan, bound, pieces, lot);
        match solved_again(problem, &plan, &freed, budget) {
            Some(better) => {
                plan = better;
                failed = 0;
            }
            None => failed += 1,
        }
        if failed >= TRIES {
            failed = 0;
            pieces = if pieces >= MOST_PIECES {
                FEWEST_PIECES
            } else {
                pieces + pieces.div_euclid(4)
            };
        }
    }
    plan
}

/// How many of each row of the plan are freed: about so many pieces' sticks, drawn by lot, some by what they lose and some
/// not.
fn freed(plan: &Plan, bound: &Bound, pieces: i64, lot: &mut Lot) -> Vec<i64> {
    // Of each stick its row, what it loses and what it holds.
    let mut left: Vec<(usize, i64, i64)> = Vec::new();
    for (at, (pattern, n)) in plan.sticks.iter().enumerate() {
        let counts = pattern.counts.iter();
        let worth: i64 = counts.map(|&(row, n)| bound.worths[row] * n).sum();
        let loss = (bound.best[pattern.kind] - worth).clamp(0, MOST_LOST) + 1;
        let held = pattern.counts.iter().map(|&(_, n)| n).sum();
        left.extend((0..*n).map(|_| (at, loss, held)));
    }
    let mut freed = vec![0; plan.sticks.len()];
    let mut so_far = 0;
    let by_loss = lot.below(4) + 1;
    while so_far < pieces && !left.is_empty() {
        let at = if lot.below(4) < by_loss {
            let mut drawn = lot.below(left.iter().map(|&(_, loss, _)| loss).sum());
            let hit = left.iter().position(|&(_, loss, _)| {
                drawn -= loss;
                drawn < 0
            });
            hit.unwrap_or(0)
        } else {
            lot.one_of(left.len())
        };
        let (row, _, held) = left.swap_remove(at);
        freed[row] += 1;
        so_far += held;
    }
    freed
}

/// The plan with the freed sticks replaced by cheaper ones, if there are any.
fn solved_again(
    problem: &Problem,
    plan: &Plan,
    freed: &[i64],
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    let mut counts = vec![0; problem.sizes.len()];
    let mut left: Vec<Option<i64>> = problem.kinds.iter().map(|kind| kind.limit).collect();
    let mut kept: BTreeMap<Pattern, i64> = BTreeMap::new();
    let mut before = Plan { sticks: Vec::new() };
    for ((pattern, n), &free) in plan.sticks.iter().zip(freed) {
        left[pattern.kind] = left[pattern.kind].map(|left| left - (n - free));
        if free > 0 {
            for &(row, each) in &pattern.counts {
                counts[row] += each * free;
            }
            before.sticks.push((pattern.clone(), free));
        }
        if *n > free {
            kept.insert(pattern.clone(), n - free);
        }
    }
    let rows: Vec<usize> = (0..counts.len()).filter(|&row| counts[row] > 0).collect();
    let kinds: Vec<usize> = (0..left.len())
        .filter(|&kind| left[kind] != Some(0))
        .collect();
    let pieces: i64 = counts.iter().sum();
    let kind_left = |&kind: &usize| Kind {
        limit: left[kind].filter(|&left| left < pieces),
        ..problem.kinds[kind]
    };
    let part = Problem {
        kinds: kinds.iter().map(kind_left).collect(),
        sizes: rows.iter().map(|&row| problem.sizes[row]).collect(),
        counts: rows.iter().map(|&row| counts[row]).collect(),
        ..*problem
    };
    let cost = before.cost(problem);
    let place = |all: &[usize], one: usize| {
        all.binary_search(&one)
            .expect("what a freed stick is and holds is in the part")
    };
    let first = before.renamed(|kind| place(&kinds, kind), |row| place(&rows, row));
    let found = least_of_part(&part, first, STEPS_A_TRY, budget)?;
    if found.cost(&part) >= cost {
        return None;
    }
    for (pattern, n) in found.renamed(|kind| kinds[kind], |row| rows[row]).sticks {
        *kept.entry(pattern).or_default() += n;
    }
    Some(Plan {
        sticks: kept.into_iter().collect(),
    })
}

/// Lots that come out the same each time.
///
/// Source: Marsaglia, "Xorshift RNGs", Journal of Statistical Software 8 (2003), 14.
pub(super) struct Lot(u64);

impl Lot {
    pub(super) fn new() -> Self {
        Self(0x9E37_79B9_7F4A_7C15)
    }

    /// One of the whole numbers from zero on below `n`.
    pub(super) fn below(&mut self, n: i64) -> i64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        i64::try_from(self.0 >> 1).unwrap_or(0).rem_euclid(n.max(1))
    }

    /// One of so many positions.
    pub(super) fn one_of(&mut self, n: usize) -> usize {
        usize::try_from(self.below(i64::try_from(n).unwrap_or(i64::MAX))).unwrap_or(0)
    }
}
