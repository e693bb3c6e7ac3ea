//! Lists of patterns: complete for every plan up to a cost, searched whole.

use super::super::Proof;
use super::super::branch::{self, Goal};
use super::super::budget::Budget;
use super::super::knapsack::all_fills;
use super::super::master::Bound;
use super::super::problem::{Counts, Problem};
use super::Search;

/// How often a list that is too long is made for less of the gap.
const SHORTENINGS: usize = 8;

impl Search<'_> {
    /// Searches the patterns that a cheaper plan can use: all, or where these are more than `longest` those nearest to the
    /// bound, which then hold most of what a good plan is made of. Says whether the gap is closed.
    pub(super) fn list_best(
        &mut self,
        longest: usize,
        nodes: usize,
        budget: &mut Budget<'_>,
    ) -> bool {
        if self.is_closed() {
            return true;
        }
        let (Some(bound), Some(cost)) = (self.seen.clone(), self.cost()) else {
            return false;
        };
        let mut reach = self.scaled(cost - self.problem.step) - bound.scaled;
        let mut list = patterns_within(self.problem, &bound, reach, longest, budget);
        for _ in 0..SHORTENINGS {
            if list.is_some() || reach <= 0 || !budget.goes_on() {
                break;
            }
            reach = (reach * 5).div_euclid(8);
            list = patterns_within(self.problem, &bound, reach, longest, budget);
        }
        let Some(list) = list else {
            return false;
        };
        let searched = branch::search(self.problem, &list, &bound, Goal::Cost, cost, nodes, budget);
        self.found.nodes += searched.nodes;
        if let Some(plan) = searched.plan {
            self.take(plan);
        }
        // A cheaper plan of other patterns costs more than what the list is complete for.
        let beyond = self
            .complete_for(&bound, reach)
            .saturating_add(self.problem.step);
        self.raise(searched.bound.min(beyond), Proof::Search);
        self.is_closed()
    }

    fn scaled(&self, cents: i64) -> i128 {
        i128::from(cents) * i128::from(self.problem.scale)
    }

    /// The cost up to which every plan is made of patterns within `reach` of the bound.
    fn complete_for(&self, bound: &Bound, reach: i128) -> i64 {
        let cents = (bound.scaled + reach).div_euclid(i128::from(self.problem.scale));
        let step = i128::from(self.problem.step);
        i64::try_from(cents.div_euclid(step) * step).unwrap_or(i64::MAX)
    }

    /// Searches all patterns inside the gap, or as many steps of the gap as lists of at most `longest` patterns reach.
    pub(super) fn list_upwards(&mut self, longest: usize, nodes: usize, budget: &mut Budget<'_>) {
        let Some(bound) = self.seen.clone() else {
            return;
        };
        loop {
            let Some(cost) = self.cost() else {
                return;
            };
            if self.is_closed() {
                return;
            }
            let whole = self.scaled(cost - self.problem.step) - bound.scaled;
            let least = self.scaled(self.found.bound) - bound.scaled;
            let mut reach = whole;
            let list = loop {
                if let Some(list) = patterns_within(self.problem, &bound, reach, longest, budget) {
                    break list;
                }
                // Halfway back to the least step that would raise the bound at all.
                let next = least + (reach - least).div_euclid(2);
                if !budget.goes_on() || reach <= least || next >= reach {
                    return;
                }
                reach = next;
            };
            let ceiling = self.complete_for(&bound, reach);
            let beat = cost.min(ceiling.saturating_add(self.problem.step));
            let searched =
                branch::search(self.problem, &list, &bound, Goal::Cost, beat, nodes, budget);
            self.found.nodes += searched.nodes;
            if let Some(plan) = searched.plan {
                self.take(plan);
            }
            let before = self.found.bound;
            self.raise(searched.bound, Proof::Search);
            if self.is_closed() {
                return;
            }
            if self.found.bound <= before || searched.bound < beat {
                return;
            }
        }
    }
}

/// Every pattern that a plan within `reach` of the bound can use; nothing if there are more than `most`.
pub(in super::super) fn patterns_within(
    problem: &Problem,
    bound: &Bound,
    reach: i128,
    most: usize,
    budget: &mut Budget<'_>,
) -> Option<Vec<(usize, Counts)>> {
    let floors: Vec<i64> = problem
        .kinds
        .iter()
        .zip(&bound.best)
        .map(|(kind, &best)| {
            let over = i128::from(best).max(i128::from(kind.price) * i128::from(problem.scale));
            i64::try_from((over - reach).max(0)).unwrap_or(i64::MAX)
        })
        .collect();
    all_fills(problem, &bound.worths, &floors, most, budget)
}
