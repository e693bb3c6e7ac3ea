//! Least cost for sticks, proven where it can be.
//!
//! One [`Instance`] is one class of pieces, what the yard sells for it and what lies on hand. [`solve`] gives the cheapest
//! plan found and a lower bound on cost that holds exactly; where the two meet no plan is cheaper, and the answer says
//! how that was proven. Of equal cost it looks for fewest sticks, then least on-hand length begun, then the longest single
//! leftover; the last two by rules of thumb. Work is counted in steps, never by a clock.
//!
//! What it does not do: group by class, know of labels or marks, or write text for people. Every bound is worked out in
//! whole numbers; floats only propose (`exact/simplex.rs`).

mod answer;
mod branch;
mod budget;
mod counts;
mod cuts;
mod dive;
mod fullest;
mod greedy;
mod instance;
mod knapsack;
mod master;
mod part;
mod polish;
mod problem;
mod refill;
mod rounded;
mod search;
mod simplex;
#[cfg(test)]
mod tests;
mod threes;
mod unmet;

use std::collections::BTreeMap;

use answer::rows_of;
pub use answer::{Answer, Proof, Row, stands_up};
use budget::Budget;
pub use instance::{DEAREST, Demand, Instance, LONGEST, MOST_PIECES, Refused, Stock};
use instance::{check, merged_demand, merged_stock, problem_of};
use problem::{Plan, Problem};

/// How much work may be done, in counted steps.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct WorkLimits {
    /// All steps. One takes two to three nanoseconds on an ordinary machine; more where an instance is so small that setting
    /// it up outweighs the steps, and as much more as the machine is busy with something else.
    pub steps: u64,
    /// Steps for making the sticks fewer once the cost is proven.
    pub steps_for_sticks: u64,
    /// Nodes of one search.
    pub nodes: usize,
    /// Different lengths of pieces beyond which only the simple packers run.
    pub most_sizes: usize,
    /// Different stocks beyond which only the simple packers run.
    pub most_kinds: usize,
}

impl WorkLimits {
    /// So much work as takes about as many milliseconds at three nanoseconds a step: seldom longer, so that a clock set to the
    /// same time is the last stop that it is meant to be.
    pub const fn about(milliseconds: u64) -> Self {
        Self {
            steps: milliseconds.saturating_mul(300_000),
            steps_for_sticks: milliseconds.saturating_mul(20_000),
            nodes: 200_000,
            most_sizes: 500,
            most_kinds: 200,
        }
    }
}

/// Finds the cheapest plan.
///
/// `stop_now` is asked now and then; it is for a last limit by the clock, which the core has not. The order of the rows
/// changes nothing.
///
/// # Errors
/// Where a figure is below zero or absurdly large; says which.
pub fn solve(
    instance: &Instance,
    limits: &WorkLimits,
    stop_now: &mut dyn FnMut() -> bool,
) -> Result<Answer, Refused> {
    check(instance)?;
    let stock = merged_stock(instance);
    let mut budget = Budget::new(limits.steps, stop_now);
    let (met, too_long) = merged_demand(instance, &stock);
    let problem = problem_of(instance, &stock, &met);
    let (found, unmet, certain) = find(&problem, limits, &mut budget);
    let mut left_out: BTreeMap<i64, i64> = too_long;
    for (&size, &n) in problem.sizes.iter().zip(&unmet) {
        if n > 0 {
            *left_out.entry(size - instance.kerf).or_default() += n;
        }
    }
    let mut plan = found.plan.unwrap_or(Plan { sticks: Vec::new() });
    polish::polish(&problem, &mut plan, &mut budget);
    let cost = plan.cost(&problem);
    let answer = Answer {
        sticks: plan.count(),
        sticks_proven: found.fewest == Some(plan.count()),
        cost,
        lower_bound: found.bound.min(cost),
        proven: if left_out.is_empty() {
            found.bound >= cost
        } else {
            certain
        },
        proof: found.proof,
        plan: rows_of(instance, &stock, &problem, &plan),
        unmet: left_out
            .into_iter()
            .rev()
            .map(|(length, count)| Demand { length, count })
            .collect(),
        nodes: found.nodes,
        steps: budget.spent(),
        stopped: budget.was_stopped(),
    };
    debug_assert_eq!(stands_up(instance, &answer), Ok(()));
    Ok(answer)
}

/// The named baseline: the best plan of the simple packers, which cut longest first and open the next stick by one rule.
/// Nothing if these leave a piece unmet, or the instance is refused.
///
/// Source: first-fit decreasing is a textbook method.
pub fn longest_first_plan(instance: &Instance) -> Option<Vec<Row>> {
    check(instance).ok()?;
    let stock = merged_stock(instance);
    let (met, too_long) = merged_demand(instance, &stock);
    if !too_long.is_empty() {
        return None;
    }
    let problem = problem_of(instance, &stock, &met);
    let plan = greedy::best_plan(&problem, &problem.counts, &problem.most())?;
    Some(rows_of(instance, &stock, &problem, &plan))
}

/// What that costs.
pub fn longest_first(instance: &Instance) -> Option<i64> {
    let rows = longest_first_plan(instance)?;
    Some(rows.iter().map(|row| row.price * row.times).sum())
}

/// A plan for as much as can be met; what is not; and whether that is certain.
fn find(
    problem: &Problem,
    limits: &WorkLimits,
    budget: &mut Budget<'_>,
) -> (search::Found, Vec<i64>, bool) {
    let none = vec![0; problem.sizes.len()];
    if problem.is_always_possible()
        || greedy::best_plan(problem, &problem.counts, &problem.most()).is_some()
    {
        return (search::least(problem, None, limits, budget), none, true);
    }
    // With sticks from nowhere that cost 1 where all others cost nothing, the least cost is zero if and only if all fits.
    let longest = problem.kinds.last().map_or(0, |kind| kind.room);
    let any = unmet::WithMore::new(problem, &[(longest, 1)]);
    let (mut real, mut unmet, bound) = any.least(None, 2, limits, budget);
    let certain = bound >= 1;
    if unmet.iter().all(|&n| n == 0) {
        return (
            search::least(problem, Some(real), limits, budget),
            none,
            true,
        );
    }
    // Then each size costs its length where it comes from nowhere, so that as little as can be is unmet.
    if problem.kinds.len() + problem.sizes.len() <= limits.most_kinds {
        let sizes: Vec<(i64, i64)> = problem.sizes.iter().map(|&size| (size, size)).collect();
        let each = unmet::WithMore::new(problem, &sizes);
        let first = each.plan_of(&real, &unmet);
        (real, unmet, _) = each.least(Some(first), 4, limits, budget);
    }
    polish::squeeze_in(problem, &mut real, &mut unmet);
    // Least cost for what is met.
    let counts: Vec<i64> = problem
        .counts
        .iter()
        .zip(&unmet)
        .map(|(&all, &less)| all - less)
        .collect();
    let kept: Vec<usize> = (0..counts.len()).filter(|&row| counts[row] > 0).collect();
    let less = Problem {
        sizes: kept.iter().map(|&row| problem.sizes[row]).collect(),
        counts: kept.iter().map(|&row| counts[row]).collect(),
        ..problem.clone()
    };
    let first = real.renamed(
        |kind| kind,
        |row| {
            kept.binary_search(&row)
                .expect("a placed piece is of a size that is kept")
        },
    );
    let mut found = search::least(&less, Some(first), limits, budget);
    found.plan = found
        .plan
        .map(|plan| plan.renamed(|kind| kind, |row| kept[row]));
    (found, unmet, certain)
}
