//! Simple packers: one stick after the other, longest size first.
//!
//! They give the search its first plan, fill what a dive has left over, and are the baseline "longest first" that a
//! plan's savings are told against. First-fit decreasing is a textbook method.

use std::collections::BTreeMap;

use super::problem::{Counts, Pattern, Plan, Problem};

/// How the next stick is chosen among those that hold the longest size left.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Opening {
    /// Least price for the length that it is filled with.
    CheapestForWhatItHolds,
    /// Least price for its length.
    CheapestForItsLength,
    /// The longest.
    Longest,
    /// The shortest that holds it.
    Shortest,
}

/// All ways of opening.
pub(super) const OPENINGS: [Opening; 4] = [
    Opening::CheapestForWhatItHolds,
    Opening::CheapestForItsLength,
    Opening::Longest,
    Opening::Shortest,
];

/// A plan, and what no stick was left for, a count for each size.
pub(super) struct Packed {
    pub(super) plan: Plan,
    pub(super) unmet: Vec<i64>,
}

/// Packs what is open into so many of each kind.
pub(super) fn pack(problem: &Problem, open: &[i64], limits: &[i64], opening: Opening) -> Packed {
    let (mut open, mut left) = (open.to_vec(), limits.to_vec());
    let mut unmet = vec![0; open.len()];
    let mut sticks: BTreeMap<Pattern, i64> = BTreeMap::new();
    let mut row = 0;
    while row < open.len() {
        if open[row] <= 0 {
            row += 1;
            continue;
        }
        let holding = (0..problem.kinds.len())
            .filter(|&kind| problem.kinds[kind].room >= problem.sizes[row] && left[kind] > 0);
        let room = |kind: usize| problem.kinds[kind].room;
        let chosen = match opening {
            Opening::Longest => holding.max_by_key(|&kind| (room(kind), std::cmp::Reverse(kind))),
            Opening::Shortest => holding.min_by_key(|&kind| (room(kind), kind)),
            Opening::CheapestForItsLength => {
                holding.min_by(|&a, &b| dearness(problem, (a, room(a)), (b, room(b))))
            }
            Opening::CheapestForWhatItHolds => holding
                .map(|kind| (kind, problem.used(&filled(problem, &open, kind, row))))
                .min_by(|&a, &b| dearness(problem, a, b))
                .map(|(kind, _)| kind),
        };
        let Some(kind) = chosen else {
            unmet[row] = open[row];
            open[row] = 0;
            continue;
        };
        let counts = filled(problem, &open, kind, row);
        let times = counts
            .iter()
            .map(|&(row, n)| open[row].div_euclid(n))
            .min()
            .unwrap_or(1)
            .min(left[kind]);
        for &(row, n) in &counts {
            open[row] -= n * times;
        }
        left[kind] -= times;
        *sticks.entry(Pattern { kind, counts }).or_default() += times;
    }
    let mut plan = Plan {
        sticks: sticks.into_iter().collect(),
    };
    swap_for_cheaper(problem, limits, &mut plan);
    Packed { plan, unmet }
}

/// The best of all ways of opening; nothing if some piece is left over in each.
pub(super) fn best_plan(problem: &Problem, open: &[i64], limits: &[i64]) -> Option<Plan> {
    // Looking into every kind for every stick takes too long where both sizes and kinds are very many.
    let many = problem.kinds.len() * problem.sizes.len() > 20_000;
    OPENINGS
        .into_iter()
        .filter(|&opening| !(many && opening == Opening::CheapestForWhatItHolds))
        .map(|opening| pack(problem, open, limits, opening))
        .filter(|packed| packed.unmet.iter().all(|&n| n == 0))
        .map(|packed| packed.plan)
        .min_by_key(|plan| plan.rank(problem))
}

/// Puts each stick's pieces on the cheapest stick that holds them: fullest first, so that limits serve those in need.
pub(super) fn swap_for_cheaper(problem: &Problem, limits: &[i64], plan: &mut Plan) {
    let mut left = limits.to_vec();
    let mut sticks: BTreeMap<Pattern, i64> = BTreeMap::new();
    let mut old: Vec<(i64, Pattern, i64)> = plan
        .sticks
        .drain(..)
        .map(|(pattern, n)| (problem.used(&pattern.counts), pattern, n))
        .collect();
    old.sort_by(|a, b| (b.0, &a.1).cmp(&(a.0, &b.1)));
    // Every stick keeps a claim on its own kind until its turn has come.
    for (_, pattern, n) in &old {
        left[pattern.kind] -= n;
    }
    for (used, pattern, mut n) in old {
        left[pattern.kind] += n;
        while n > 0 {
            let kind = (0..problem.kinds.len())
                .filter(|&kind| problem.kinds[kind].room >= used && left[kind] > 0)
                .min_by_key(|&kind| {
                    let to = problem.kinds[kind];
                    (to.price, to.begun, to.room, kind)
                })
                .unwrap_or(pattern.kind);
            let times = n.min(left[kind]).max(1);
            left[kind] -= times;
            n -= times;
            let counts = pattern.counts.clone();
            *sticks.entry(Pattern { kind, counts }).or_default() += times;
        }
    }
    plan.sticks = sticks.into_iter().collect();
}

/// Longest sizes first from `row` on, at least one of that row.
fn filled(problem: &Problem, open: &[i64], kind: usize, row: usize) -> Counts {
    let mut room = problem.kinds[kind].room;
    let mut counts = Counts::new();
    for (at, &size) in problem.sizes.iter().enumerate().skip(row) {
        if open[at] > 0 && size <= room {
            let n = open[at].min(room.div_euclid(size));
            counts.push((at, n));
            room -= n * size;
        }
    }
    counts
}

fn dearness(
    problem: &Problem,
    (a, in_a): (usize, i64),
    (b, in_b): (usize, i64),
) -> std::cmp::Ordering {
    let across =
        |kind: usize, other: i64| i128::from(problem.kinds[kind].price) * i128::from(other);
    across(a, in_b)
        .cmp(&across(b, in_a))
        .then(in_b.cmp(&in_a))
        .then(a.cmp(&b))
}
