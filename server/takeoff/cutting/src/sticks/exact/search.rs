//! The order in which the methods are tried, each until cost and bound meet: simple packers, relaxation, dives, stick
//! counts, all patterns inside the gap; then fewest sticks at that cost.

use super::branch::{self, Goal};
use super::budget::Budget;
use super::counts::by_counts;
use super::dive::{WAYS, dive};
use super::fullest::fullest;
use super::greedy;
use super::knapsack::all_fills;
use super::master::{Bound, Master, Relaxed};
use super::problem::{Counts, Pattern, Plan, Problem};
use super::threes::by_threes;
use super::{Proof, WorkLimits};

/// A list of patterns is searched up to this length at once.
const LIST_AT_ONCE: usize = 1_500;

/// Lists longer than this are not searched.
const LONGEST_LIST: usize = 24_000;

/// Steps for filling sticks by threes before the relaxation.
const STEPS_FOR_THREES: u64 = 4_000_000;

/// What a search came to.
pub(super) struct Found {
    pub(super) plan: Option<Plan>,
    /// No plan costs less.
    pub(super) bound: i64,
    pub(super) proof: Proof,
    /// No plan of this cost has fewer sticks; known only where the cost is proven.
    pub(super) fewest: Option<i64>,
    pub(super) nodes: usize,
}

/// Least cost, then fewest sticks. `first` is a plan to begin with.
pub(super) fn least(
    problem: &Problem,
    first: Option<Plan>,
    limits: &WorkLimits,
    budget: &mut Budget<'_>,
) -> Found {
    let most: Vec<i64> = (0..problem.kinds.len())
        .map(|kind| problem.most_of(kind))
        .collect();
    let simple = greedy::best_plan(problem, &problem.counts, &most);
    let plan = first
        .into_iter()
        .chain(simple)
        .chain(fullest(problem, budget))
        .min_by_key(|plan| plan.rank(problem));
    let mut search = Search {
        problem,
        found: Found {
            plan,
            bound: 0,
            proof: Proof::None,
            fewest: None,
            nodes: 0,
        },
        seen: None,
    };
    if problem.counts.is_empty() {
        search.found.plan = Some(Plan { sticks: Vec::new() });
        search.found.proof = Proof::Relaxation;
        search.found.fewest = Some(0);
        return search.found;
    }
    if problem.sizes.len() > limits.most_sizes || problem.kinds.len() > limits.most_kinds {
        return search.found;
    }
    search.run(most, limits, budget);
    if search.is_closed() && budget.goes_on() {
        search.fewest_sticks(limits, budget);
    }
    search.found
}

struct Search<'a> {
    problem: &'a Problem,
    found: Found,
    /// The relaxation's best bound, which lists of patterns are made by.
    seen: Option<Bound>,
}

impl Search<'_> {
    fn run(&mut self, most: Vec<i64>, limits: &WorkLimits, budget: &mut Budget<'_>) {
        let first: Vec<Pattern> = self
            .found
            .plan
            .iter()
            .flat_map(|plan| plan.sticks.iter().map(|(pattern, _)| pattern.clone()))
            .collect();
        self.fill_by_threes(budget);
        let mut master = Master::new(self.problem, most, first);
        if let Some(bound) = &master.bound {
            self.raise(self.problem.cents_at_least(bound.scaled), Proof::Relaxation);
        }
        if self.is_closed() {
            self.seen = master.bound.clone();
            return;
        }
        let beat = self.cost();
        let relaxed = master.solve(beat, true, budget);
        self.seen = master.bound.clone();
        if let Some(bound) = &master.bound {
            self.raise(self.problem.cents_at_least(bound.scaled), Proof::Relaxation);
        }
        if self.is_closed() || relaxed == Relaxed::Beaten || !budget.goes_on() {
            return;
        }
        self.dive(&master, 1, budget);
        // Many short pieces to a stick are closed so at once; a list of their patterns would only be long.
        let few = budget.spent().saturating_mul(2).saturating_add(500_000);
        self.count_sticks(&master, few.min(budget.left().div_euclid(4)), budget);
        if self.is_closed() || self.list(LIST_AT_ONCE, 40, limits, budget) {
            return;
        }
        self.dive(&master, WAYS.len(), budget);
        if self.is_closed() {
            return;
        }
        self.count_sticks(&master, budget.left().div_euclid(4), budget);
        if !self.is_closed() {
            self.list(LONGEST_LIST, limits.nodes, limits, budget);
        }
    }

    /// Looks for a plan of no more sticks than the length of all pieces takes, where a stick holds three at most.
    fn fill_by_threes(&mut self, budget: &mut Budget<'_>) {
        let Some(kind) = self.problem.kinds.first() else {
            return;
        };
        let sticks = -(-self.problem.length()).div_euclid(i128::from(kind.room));
        let sticks = i64::try_from(sticks).unwrap_or(i64::MAX);
        if let Some(plan) = by_threes(self.problem, sticks, STEPS_FOR_THREES, budget) {
            self.take(plan);
        }
    }

    fn cost(&self) -> Option<i64> {
        self.found.plan.as_ref().map(|plan| plan.cost(self.problem))
    }

    fn is_closed(&self) -> bool {
        self.cost().is_some_and(|cost| cost <= self.found.bound)
    }

    fn raise(&mut self, bound: i64, by: Proof) {
        if bound > self.found.bound {
            self.found.bound = bound;
            self.found.proof = by;
        } else if self.found.proof == Proof::None && self.is_closed() {
            self.found.proof = by;
        }
    }

    fn take(&mut self, plan: Plan) {
        if self
            .found
            .plan
            .as_ref()
            .is_none_or(|known| plan.rank(self.problem) < known.rank(self.problem))
        {
            self.found.plan = Some(plan);
        }
    }

    /// Strikes out what could be bought for less, in so many steps.
    fn count_sticks(&mut self, master: &Master<'_>, steps: u64, budget: &mut Budget<'_>) {
        let (Some(plan), Some(bound)) = (self.found.plan.clone(), self.seen.clone()) else {
            return;
        };
        if self.is_closed() {
            return;
        }
        let old = budget.lower_to(steps);
        let counted = by_counts(master, &bound, self.found.bound, &plan, budget);
        budget.restore(old);
        if let Some(better) = counted.plan {
            self.take(better);
        }
        self.raise(counted.bound, Proof::StickCounts);
    }

    fn dive(&mut self, master: &Master<'_>, ways: usize, budget: &mut Budget<'_>) {
        for way in WAYS.into_iter().take(ways) {
            if self.is_closed() {
                return;
            }
            if let Some(plan) = dive(
                master,
                way,
                self.found.plan.as_ref(),
                self.found.bound,
                budget,
            ) {
                self.take(plan);
            }
        }
    }

    /// Searches all patterns inside the gap, or as many steps of the gap as lists of at most `longest` patterns reach.
    /// Says whether the gap is closed.
    fn list(
        &mut self,
        longest: usize,
        nodes: usize,
        limits: &WorkLimits,
        budget: &mut Budget<'_>,
    ) -> bool {
        let Some(bound) = self.seen.clone() else {
            return false;
        };
        let scaled = |cents: i64| i128::from(cents) * i128::from(self.problem.scale);
        loop {
            let Some(cost) = self.cost() else {
                return false;
            };
            if self.is_closed() {
                return true;
            }
            let whole = scaled(cost - self.problem.step) - bound.scaled;
            let least = scaled(self.found.bound) - bound.scaled;
            let mut reach = whole;
            let list = loop {
                if let Some(list) = patterns_within(self.problem, &bound, reach, longest, budget) {
                    break list;
                }
                // Halfway back to the least step that would raise the bound at all.
                let next = least + (reach - least).div_euclid(2);
                if !budget.goes_on() || reach <= least || next >= reach {
                    return false;
                }
                reach = next;
            };
            // Complete for every plan that costs no more than this.
            let ceiling =
                i64::try_from((bound.scaled + reach).div_euclid(i128::from(self.problem.scale)))
                    .unwrap_or(i64::MAX)
                    .div_euclid(self.problem.step)
                    * self.problem.step;
            let beat = cost.min(ceiling.saturating_add(self.problem.step));
            let searched = branch::search(
                self.problem,
                &list,
                Goal::Cost,
                beat,
                nodes.min(limits.nodes),
                budget,
            );
            self.found.nodes += searched.nodes;
            if let Some(plan) = searched.plan {
                self.take(plan);
            }
            let before = self.found.bound;
            self.raise(searched.bound, Proof::Search);
            if self.is_closed() {
                return true;
            }
            if self.found.bound <= before || searched.bound < beat {
                return false;
            }
        }
    }

    /// Fewest sticks at the proven cost.
    fn fewest_sticks(&mut self, limits: &WorkLimits, budget: &mut Budget<'_>) {
        let Some(plan) = self.found.plan.clone() else {
            return;
        };
        let problem = self.problem;
        let (cost, count) = (plan.cost(problem), plan.count());
        let price = problem.kinds[0].price;
        if price > 0 && problem.kinds.iter().all(|kind| kind.price == price) {
            self.found.fewest = Some(count);
            return;
        }
        let longest = problem.kinds.last().map_or(1, |kind| kind.room);
        if i128::from(count - 1) * i128::from(longest) < problem.length() {
            self.found.fewest = Some(count);
            return;
        }
        let Some(bound) = self.seen.clone() else {
            return;
        };
        let share = limits.steps_for_sticks.min(budget.left());
        let old = budget.lower_to(share);
        let reach = i128::from(cost) * i128::from(problem.scale) - bound.scaled;
        if let Some(list) = patterns_within(problem, &bound, reach, LIST_AT_ONCE * 4, budget) {
            let goal = Goal::Sticks { at_most: cost };
            let searched =
                branch::search(problem, &list, goal, count, limits.nodes.min(400), budget);
            self.found.nodes += searched.nodes;
            if let Some(plan) = searched.plan {
                self.take(plan);
            }
            let count = self.found.plan.as_ref().map(Plan::count);
            self.found.fewest = count.filter(|&count| searched.bound >= count);
        }
        budget.restore(old);
    }
}

/// Every pattern that a plan within `reach` of the bound can use; nothing if there are more than `most`.
fn patterns_within(
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
