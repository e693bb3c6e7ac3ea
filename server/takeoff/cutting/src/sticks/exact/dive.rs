//! Dives: from broken numbers of sticks to whole ones, by fixing some and solving the rest again.
//!
//! Whole parts are fixed at once; where there are none, one pattern is rounded up. After each step new patterns may
//! come in, and the simple packers try to finish what is open. A dive proves nothing; it finds plans.

use std::collections::BTreeMap;

use super::budget::Budget;
use super::greedy;
use super::master::{Master, Relaxed};
use super::problem::{Pattern, Plan, Problem};
use super::simplex::{FAR, PARTS};
use super::threes::by_threes;

/// A part above this is near to the next whole number.
const NEAR: i64 = 734_003;

/// The last sticks of a dive are filled by threes once no more pieces than this are open, in so many steps.
const LAST_PIECES: i64 = 100;
const STEPS_FOR_THE_LAST: u64 = 1_500_000;

/// Which pattern a dive rounds up.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Way {
    /// The one nearest to its next whole number.
    Nearest,
    /// All that are near to theirs, as far as they go together.
    Several,
    /// The fullest of those above a half, else the nearest.
    Fullest,
    /// The one with the longest piece that is open.
    Longest,
}

/// All ways, the best one first.
pub(super) const WAYS: [Way; 4] = [Way::Several, Way::Nearest, Way::Longest, Way::Fullest];

/// Dives once from a solved relaxation; gives the best plan found on the way, if it beats `best`.
///
/// `enough` is a cost that no plan can beat: the dive ends when it is reached.
pub(super) fn dive(
    root: &Master<'_>,
    way: Way,
    best: Option<&Plan>,
    enough: i64,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    let problem = root.problem;
    let mut master = root.clone();
    let mut fixed: BTreeMap<usize, i64> = BTreeMap::new();
    let mut found: Option<Plan> = None;
    loop {
        let to_beat = found.as_ref().or(best).map(|plan| plan.rank(problem));
        if to_beat.is_some_and(|rank| rank.0 <= enough) && found.is_some() {
            return found;
        }
        let steps = choose(&master, way, &fixed);
        if steps.is_empty() {
            return found;
        }
        let mut moved = false;
        for (column, n) in steps {
            moved |= fix(&mut master, &mut fixed, column, n);
        }
        if !moved {
            return found;
        }
        if let Some(plan) = finish(&master, &fixed, enough, budget)
            && to_beat.is_none_or(|rank| plan.rank(problem) < rank)
        {
            found = Some(plan);
        }
        if master.open.iter().all(|&n| n <= 0) || !budget.goes_on() {
            return found;
        }
        settle(&mut master, &fixed);
        if master.solve_down_to(Some(enough), None, false, budget) == Relaxed::Cut {
            return found;
        }
        let known = found.as_ref().or(best).map(|plan| plan.cost(problem));
        // Nothing cheaper lies below, as far as floats can tell; a dive may give up on that.
        if known.is_some_and(|cost| master.lp.cost() > cost) {
            return found;
        }
    }
}

/// Columns and how many more of each to fix.
fn choose(master: &Master<'_>, way: Way, fixed: &BTreeMap<usize, i64>) -> Vec<(usize, i64)> {
    let problem = master.problem;
    let mut whole: Vec<(usize, i64)> = Vec::new();
    let mut broken: Vec<(i64, usize)> = Vec::new();
    for (column, value) in master.lp.values().into_iter().enumerate() {
        let Some(pattern) = &master.patterns[column] else {
            continue;
        };
        let most = problem.most_of(pattern.kind);
        let more = value - fixed.get(&column).copied().unwrap_or(0) * PARTS;
        let parts = (more + 16).div_euclid(PARTS);
        if parts > 0 {
            whole.push((column, parts.min(most)));
        }
        if more > 16 {
            broken.push(((more + 16).rem_euclid(PARTS), column));
        }
    }
    if !whole.is_empty() {
        return whole;
    }
    broken.sort_by_key(|&(part, column)| (std::cmp::Reverse(part), column));
    let pattern = |column: usize| {
        master.patterns[column]
            .as_ref()
            .expect("only patterns were kept")
    };
    let rest = |column: usize| {
        problem.kinds[pattern(column).kind].room - problem.used(&pattern(column).counts)
    };
    let chosen = match way {
        Way::Nearest => broken.first().copied(),
        Way::Several => {
            let near = broken.iter().filter(|(part, _)| *part > NEAR);
            let several: Vec<(usize, i64)> = near.map(|&(_, column)| (column, 1)).collect();
            if several.len() > 1 {
                return several;
            }
            broken.first().copied()
        }
        Way::Fullest => broken
            .iter()
            .filter(|(part, _)| *part * 2 > PARTS)
            .min_by_key(|&&(part, column)| (rest(column), std::cmp::Reverse(part), column))
            .or(broken.first())
            .copied(),
        Way::Longest => broken
            .iter()
            .min_by_key(|&&(part, column)| {
                let first = pattern(column).counts.first().map(|&(row, _)| row);
                (first, std::cmp::Reverse(part), column)
            })
            .copied(),
    };
    chosen.map(|(_, column)| (column, 1)).into_iter().collect()
}

/// Fixes so many more of a column as still go in; says whether any did.
fn fix(master: &mut Master<'_>, fixed: &mut BTreeMap<usize, i64>, column: usize, n: i64) -> bool {
    let pattern = master.patterns[column]
        .clone()
        .expect("only patterns are fixed");
    // One that covers more than is open is still a stick; what is too much is left out in the end.
    let n = n.min(master.limits[pattern.kind]);
    if n <= 0 || !pattern.counts.iter().any(|&(row, _)| master.open[row] > 0) {
        return false;
    }
    let n = if pattern
        .counts
        .iter()
        .all(|&(row, each)| master.open[row] >= each)
    {
        n.min(master.most_more(&pattern.counts))
    } else {
        1
    };
    for &(row, each) in &pattern.counts {
        master.open[row] = (master.open[row] - each * n).max(0);
    }
    master.limits[pattern.kind] -= n;
    *fixed.entry(column).or_default() += n;
    n > 0
}

/// Tells the program what is fixed and how much more of each pattern still goes in.
fn settle(master: &mut Master<'_>, fixed: &BTreeMap<usize, i64>) {
    for column in 0..master.patterns.len() {
        let Some(pattern) = master.patterns[column].clone() else {
            master.lp.bound_column(column, (0, FAR));
            continue;
        };
        let n = fixed.get(&column).copied().unwrap_or(0);
        let goes_in = master.limits[pattern.kind] > 0 && master.most_more(&pattern.counts) > 0;
        let most = if goes_in { FAR } else { n };
        master.lp.bound_column(column, (n, most));
    }
}

/// The fixed sticks and the open pieces packed simply, if all go in.
fn finish(
    master: &Master<'_>,
    fixed: &BTreeMap<usize, i64>,
    enough: i64,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    let problem = master.problem;
    let rest = the_last_by_threes(master, fixed, enough, budget)
        .or_else(|| greedy::best_plan(problem, &master.open, &master.limits))?;
    let held = fixed.iter().map(|(&column, &n)| {
        let pattern = master.patterns[column]
            .clone()
            .expect("only patterns are fixed");
        (pattern, n)
    });
    Some(tidied(problem, held.chain(rest.sticks)))
}

/// The last open pieces on no more sticks than make a plan that is good enough.
fn the_last_by_threes(
    master: &Master<'_>,
    fixed: &BTreeMap<usize, i64>,
    enough: i64,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    if master.open.iter().sum::<i64>() > LAST_PIECES {
        return None;
    }
    let last = Problem {
        counts: master.open.clone(),
        ..master.problem.clone()
    };
    let price = last.kinds.first()?.price.max(1);
    let sticks = enough.div_euclid(price) - fixed.values().sum::<i64>();
    by_threes(&last, sticks, STEPS_FOR_THE_LAST, budget)
}

/// A plan of these sticks, with what they hold too much of left out and each on the cheapest stick that holds the rest.
pub(super) fn tidied(problem: &Problem, sticks: impl IntoIterator<Item = (Pattern, i64)>) -> Plan {
    let mut too_many: Vec<i64> = problem.counts.iter().map(|&count| -count).collect();
    let sticks: Vec<(Pattern, i64)> = sticks.into_iter().collect();
    for (pattern, n) in &sticks {
        for &(row, each) in &pattern.counts {
            too_many[row] += each * n;
        }
    }
    let mut merged: BTreeMap<Pattern, i64> = BTreeMap::new();
    for (pattern, n) in sticks {
        if pattern.counts.iter().all(|&(row, _)| too_many[row] <= 0) {
            *merged.entry(pattern).or_default() += n;
            continue;
        }
        for _ in 0..n {
            let mut less = pattern.clone();
            for (row, each) in &mut less.counts {
                let off = too_many[*row].clamp(0, *each);
                too_many[*row] -= off;
                *each -= off;
            }
            less.counts.retain(|&(_, each)| each > 0);
            if !less.counts.is_empty() {
                *merged.entry(less).or_default() += 1;
            }
        }
    }
    let mut plan = Plan {
        sticks: merged.into_iter().collect(),
    };
    greedy::swap_for_cheaper(problem, &problem.most(), &mut plan);
    plan
}
