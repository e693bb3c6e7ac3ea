//! Equal sticks, each filled as full as the pieces left can fill it.
//!
//! Where sticks hold a handful of pieces of many lengths, that often takes no more sticks than the length of all pieces
//! does, and nothing else need be searched. It proves nothing; it finds plans.
//!
//! Source: Gupta and Ho, "A new heuristic algorithm for the one-dimensional bin-packing problem", Production Planning and
//! Control 10 (1999), 598 to 603; here each stick begins with the longest piece left, and the search for its fill ends
//! after so many looks.

use std::collections::BTreeMap;

use super::budget::Budget;
use super::problem::{Pattern, Plan, Problem};

/// Looks at one stick, at most.
const LOOKS_A_STICK: usize = 4_000;

/// Pieces on one stick, at most: it goes one deeper with each.
const MOST_ON_A_STICK: i64 = 100;

/// A plan of sticks filled so; nothing where there is more than one kind, or a limit.
pub(super) fn fullest(problem: &Problem, budget: &mut Budget<'_>) -> Option<Plan> {
    let [kind] = &problem.kinds[..] else {
        return None;
    };
    let shortest = problem.sizes.last().copied()?;
    if kind.limit.is_some() || kind.room.div_euclid(shortest) > MOST_ON_A_STICK {
        return None;
    }
    let mut open = problem.counts.clone();
    let mut sticks: BTreeMap<Pattern, i64> = BTreeMap::new();
    while let Some(first) = open.iter().position(|&n| n > 0) {
        open[first] -= 1;
        let mut walk = Walk {
            sizes: &problem.sizes,
            open: &mut open,
            held: vec![first],
            best: vec![first],
            best_left: i64::MAX,
            looks: 0,
        };
        walk.from(first, kind.room - problem.sizes[first]);
        let (held, looks) = (walk.best, walk.looks);
        open[first] += 1;
        let pattern = Pattern::of_rows(held);
        let times = pattern
            .counts
            .iter()
            .map(|&(row, n)| open[row].div_euclid(n))
            .min()
            .unwrap_or(1);
        for &(row, n) in &pattern.counts {
            open[row] -= n * times;
        }
        *sticks.entry(pattern).or_default() += times;
        if !budget.spend(8 * looks + problem.sizes.len()) {
            return None;
        }
    }
    Some(Plan {
        sticks: sticks.into_iter().collect(),
    })
}

/// The search for the fullest fill of one stick, longest pieces first.
struct Walk<'a> {
    sizes: &'a [i64],
    open: &'a mut [i64],
    held: Vec<usize>,
    best: Vec<usize>,
    best_left: i64,
    looks: usize,
}

impl Walk<'_> {
    fn from(&mut self, row: usize, left: i64) {
        if left < self.best_left {
            self.best_left = left;
            self.best.clone_from(&self.held);
        }
        // Sizes descend: these are the ones that still go in.
        let fits = self.sizes.partition_point(|&size| size > left);
        for row in fits.max(row)..self.sizes.len() {
            self.looks += 1;
            if self.best_left == 0 || self.looks > LOOKS_A_STICK {
                return;
            }
            if self.open[row] > 0 {
                self.open[row] -= 1;
                self.held.push(row);
                self.from(row, left - self.sizes[row]);
                self.held.pop();
                self.open[row] += 1;
            }
        }
    }
}
