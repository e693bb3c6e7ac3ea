//! The order in which the methods are tried, each until cost and bound meet: simple packers, refilling of equal sticks,
//! relaxation, dives, stick counts, all patterns inside the gap; then fewest sticks at that cost.

mod lists;

use std::collections::BTreeSet;

use super::branch::{self, Goal};
use super::budget::Budget;
use super::counts::{Worth, by_counts, by_length};
use super::dive::{WAYS, dive};
use super::fullest::fullest;
use super::greedy;
use super::master::{Bound, Master, Relaxed};
use super::part::{Lot, improved};
use super::problem::{Pattern, Plan, Problem, scale_for};
use super::refill::refilled;
use super::rounded::bound_by_rounding;
use super::threes::{by_threes, is_of_threes};
use super::{Proof, WorkLimits};
pub(super) use lists::patterns_within;

/// A list of patterns is searched up to this length at once, with so many nodes.
const LIST_AT_ONCE: usize = 1_500;
const NODES_AT_ONCE: usize = 40;

/// Lists longer than this are not searched.
const LONGEST_LIST: usize = 200_000;

/// Steps that the first round counts with at least.
const LEAST_OF_A_ROUND: u64 = 6_000_000;

/// How long a list and how many nodes each round has.
const ROUNDS: [(usize, usize); 5] = [
    (LIST_AT_ONCE, NODES_AT_ONCE),
    (12_000, 100),
    (60_000, 200),
    (200_000, 1_000),
    (200_000, 10_000),
];

/// Prices are below this where a stick costs a little more for each, so that duals still tell them apart.
const DEAREST_AT_A_SURCHARGE: i64 = 1 << 36;

/// Steps for filling sticks by threes before the relaxation.
const STEPS_FOR_THREES: u64 = 4_000_000;

/// Steps for refilling pairs of sticks before the relaxation, at most, and after the first dive.
const MOST_STEPS_FOR_REFILLING: u64 = 40_000_000;
const STEPS_FOR_REFILLING_AFTER: u64 = 8_000_000;

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
    let simple = greedy::best_plan(problem, &problem.counts, &problem.most());
    let plan = first
        .into_iter()
        .chain(simple)
        .chain(fullest(problem, budget))
        .min_by_key(|plan| plan.rank(problem));
    let mut search = Search::new(problem, plan);
    if problem.counts.is_empty() {
        search.found.plan = Some(Plan { sticks: Vec::new() });
        search.found.proof = Proof::Relaxation;
        search.found.fewest = Some(0);
        return search.found;
    }
    if problem.sizes.len() > limits.most_sizes || problem.kinds.len() > limits.most_kinds {
        search.raise(problem.cost_by_length(), Proof::Relaxation);
        return search.found;
    }
    search.run(limits, budget);
    if search.is_closed() && budget.goes_on() {
        search.fewest_sticks(limits, budget);
    }
    search.found
}

/// A plan for a part of a larger problem, from `first` on: cost alone counts, and only little work is done.
pub(super) fn least_of_part(
    problem: &Problem,
    first: Plan,
    steps: u64,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    let mut search = Search::new(problem, Some(first));
    let old = budget.lower_to(steps);
    search.look_briefly(budget);
    budget.restore(old);
    search.found.plan
}

struct Search<'a> {
    problem: &'a Problem,
    found: Found,
    /// The relaxation's best bound, which lists of patterns are made by.
    seen: Option<Bound>,
    /// What struck out vectors of stick counts.
    struck_by: Vec<Worth>,
    /// What parts of a plan are drawn by.
    lot: Lot,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, plan: Option<Plan>) -> Self {
        Self {
            problem,
            found: Found {
                plan,
                bound: 0,
                proof: Proof::None,
                fewest: None,
                nodes: 0,
            },
            seen: None,
            struck_by: Vec::new(),
            lot: Lot::new(),
        }
    }

    fn run(&mut self, limits: &WorkLimits, budget: &mut Budget<'_>) {
        self.fill_by_threes(budget);
        let nearly_full = self.close_equal_sticks(budget);
        if self.is_closed() {
            return;
        }
        let Some(mut master) = self.relax(nearly_full, budget) else {
            return;
        };
        self.refill(2 * self.steps_for_refilling(), budget);
        self.dive(&master, 1, budget);
        self.refill(STEPS_FOR_REFILLING_AFTER, budget);
        if !self.relax_whole(&mut master, budget) {
            return;
        }
        // Much is closed so at once, above all many short pieces to a stick; a list of their patterns would only be long.
        let few = budget.spent().saturating_mul(6).saturating_add(4_000_000);
        self.count_sticks(&master, few.min(budget.left().div_euclid(4)), budget);
        if self.list_best(LIST_AT_ONCE, NODES_AT_ONCE.min(limits.nodes), budget) {
            return;
        }
        self.dive(&master, WAYS.len(), budget);
        // Each round about doubles the work done so far. A better plan makes lists shorter and vectors of counts fewer.
        for (longest, nodes) in ROUNDS {
            let so_far = budget.spent().max(LEAST_OF_A_ROUND);
            let share = so_far.min(budget.left().div_euclid(8));
            self.count_sticks(&master, share, budget);
            if self.list_best(longest, nodes.min(limits.nodes), budget) {
                return;
            }
            self.improve_parts(share.div_euclid(4), budget);
        }
        let half = budget.left().div_euclid(2);
        let old = budget.lower_to(half);
        self.list_upwards(LONGEST_LIST, limits.nodes, budget);
        budget.restore(old);
        self.improve_parts(budget.left().div_euclid(2), budget);
        self.list_upwards(LONGEST_LIST, limits.nodes, budget);
    }

    /// The relaxation, all dives from there, and one list of patterns.
    fn look_briefly(&mut self, budget: &mut Budget<'_>) {
        if let Some(master) = self.relax(BTreeSet::new(), budget) {
            self.dive(&master, WAYS.len(), budget);
            self.list_best(LIST_AT_ONCE, NODES_AT_ONCE, budget);
        }
    }

    /// Solves the relaxation, which starts from the plan at hand and from `more`; gives it where it leaves anything open.
    fn relax(&mut self, more: BTreeSet<Pattern>, budget: &mut Budget<'_>) -> Option<Master<'a>> {
        let problem = self.problem;
        let most = problem.most();
        let known = self.found.plan.iter().flat_map(|plan| &plan.sticks);
        let mut first: Vec<Pattern> = known.map(|(pattern, _)| pattern.clone()).collect();
        first.extend(more);
        let mut master = Master::new(problem, most, first);
        self.see(&master);
        if self.is_closed() {
            return None;
        }
        // No relaxation is worth more than what is known already, once its cost is down to that.
        if let Some(cost) = self.cost() {
            let known = self.found.bound;
            let bound = by_length(problem, known, cost, &mut self.struck_by, budget);
            self.raise(bound, Proof::StickCounts);
        }
        let enough = Some(self.found.bound);
        let relaxed = master.solve_down_to(enough, self.cost(), true, budget);
        self.see(&master);
        let open = !self.is_closed() && relaxed != Relaxed::Beaten && budget.goes_on();
        open.then_some(master)
    }

    /// Solves a relaxation to its end that was only solved as far as was enough, and dives from there; says whether
    /// anything is still open.
    fn relax_whole(&mut self, master: &mut Master<'a>, budget: &mut Budget<'_>) -> bool {
        if self.is_closed() {
            return false;
        }
        let before = master.patterns.len();
        let relaxed = master.solve(self.cost(), true, budget);
        self.see(master);
        if self.is_closed() || relaxed == Relaxed::Beaten || !budget.goes_on() {
            return false;
        }
        if master.patterns.len() > before {
            self.dive(master, 1, budget);
        }
        true
    }

    /// Keeps the bound of the relaxation.
    fn see(&mut self, master: &Master<'_>) {
        self.seen.clone_from(&master.bound);
        if let Some(bound) = &master.bound {
            self.raise(self.problem.cents_at_least(bound.scaled), Proof::Relaxation);
        }
    }

    /// Looks for a cheaper plan by solving parts of the one at hand again.
    fn improve_parts(&mut self, steps: u64, budget: &mut Budget<'_>) {
        if let (Some(plan), Some(bound), false) =
            (self.found.plan.clone(), &self.seen, self.is_closed())
        {
            let old = budget.lower_to(steps);
            let better = improved(
                self.problem,
                plan,
                bound,
                self.found.bound,
                &mut self.lot,
                budget,
            );
            budget.restore(old);
            self.take(better);
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

    /// Where all sticks are equal, what often closes all with no relaxation: a bound and fewer sticks. Gives what nearly full
    /// sticks held on the way.
    fn close_equal_sticks(&mut self, budget: &mut Budget<'_>) -> BTreeSet<Pattern> {
        if let (Some(cost), [kind]) = (self.cost(), &self.problem.kinds[..])
            && kind.limit.is_none()
            && kind.price > 0
        {
            let most = cost.div_euclid(kind.price);
            let sticks = bound_by_rounding(self.problem, kind.room, most, budget);
            self.raise(sticks * kind.price, Proof::Relaxation);
            return self.refill(self.steps_for_refilling(), budget);
        }
        BTreeSet::new()
    }

    /// About what a relaxation takes, and little where it takes little.
    fn steps_for_refilling(&self) -> u64 {
        let sizes = u64::try_from(self.problem.sizes.len()).unwrap_or(u64::MAX);
        sizes.saturating_pow(3).min(MOST_STEPS_FOR_REFILLING)
    }

    /// Looks for a plan of fewer sticks where all are equal and hold more than three pieces. Gives what nearly full sticks held
    /// on the way.
    fn refill(&mut self, steps: u64, budget: &mut Budget<'_>) -> BTreeSet<Pattern> {
        let mut kept = BTreeSet::new();
        let (Some(plan), [kind], false) =
            (&self.found.plan, &self.problem.kinds[..], self.is_closed())
        else {
            return kept;
        };
        if is_of_threes(self.problem) {
            return kept;
        }
        let enough = self.found.bound.div_euclid(kind.price.max(1));
        // what proves comes after it, and needs most of what is set for the whole search
        let old = budget.lower_to(steps.min(budget.left().div_euclid(8)));
        let better = refilled(self.problem, plan, enough, &mut self.lot, &mut kept, budget);
        budget.restore(old);
        if let Some(better) = better {
            self.take(better);
        }
        kept
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
        let Some(bound) = self.seen.clone() else {
            return;
        };
        let old = budget.lower_to(steps);
        while let (Some(plan), false) = (self.found.plan.clone(), self.is_closed()) {
            let counted = by_counts(
                master,
                &bound,
                self.found.bound,
                &plan,
                &mut self.struck_by,
                budget,
            );
            self.raise(counted.bound, Proof::StickCounts);
            let Some(better) = counted.plan else {
                break;
            };
            self.take(better);
        }
        budget.restore(old);
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
        if count <= problem.fewest_by_length() {
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
            let searched = branch::search(
                problem,
                &list,
                &bound,
                goal,
                count,
                limits.nodes.min(400),
                budget,
            );
            self.found.nodes += searched.nodes;
            if let Some(plan) = searched.plan {
                self.take(plan);
            }
            let count = self.found.plan.as_ref().map(Plan::count);
            self.found.fewest = count.filter(|&count| searched.bound >= count);
        }
        if self.found.fewest.is_none() {
            self.fewer_at_a_surcharge(budget);
        }
        budget.restore(old);
    }

    /// Looks for fewer sticks at the proven cost by another problem: each stick costs a little more, so little that all of
    /// it is less than the least step between two costs.
    fn fewer_at_a_surcharge(&mut self, budget: &mut Budget<'_>) {
        let Some(plan) = self.found.plan.clone() else {
            return;
        };
        let (step, count) = (self.problem.step, plan.count());
        let cost = plan.cost(self.problem).div_euclid(step);
        let Some(dearest) = self
            .problem
            .dearest()
            .div_euclid(step)
            .checked_mul(count + 1)
            .filter(|&dearest| dearest < DEAREST_AT_A_SURCHARGE)
        else {
            return;
        };
        let mut priced = self.problem.clone();
        for kind in &mut priced.kinds {
            kind.price = kind.price.div_euclid(step) * (count + 1) + 1;
        }
        priced.step = 1;
        priced.scale = scale_for(dearest + 1);
        let mut second = Search::new(&priced, Some(plan));
        // No cost below the proven one is possible, and no fewer sticks than the length of all takes.
        second.found.bound = cost * (count + 1) + priced.fewest_by_length();
        second.look_briefly(budget);
        let is_fewest = second.is_closed();
        if let Some(better) = second.found.plan {
            self.take(better);
        }
        let count = self.found.plan.as_ref().map(Plan::count);
        self.found.fewest = count.filter(|_| is_fewest);
    }
}
