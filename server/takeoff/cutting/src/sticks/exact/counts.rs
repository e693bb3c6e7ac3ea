//! Proof by stick counts: how many of each kind could be bought below the cost of the best plan at all.
//!
//! All vectors of counts that hold what the pieces are worth, by some duals, are walked through, window after window of
//! cost from the bound up. One that the relaxation cannot fill is struck out, and its duals strike out most of those that
//! follow; of the few that it leaves, dives and all patterns inside the vector's own small gap tell whether they can be
//! filled. Where no vector is left, the plan at hand is the cheapest.

use std::cmp::{Ordering, Reverse};
use std::ops::RangeInclusive;

use super::branch::{self, Goal};
use super::budget::Budget;
use super::dive::{WAYS, dive};
use super::knapsack::best_fills;
use super::master::{Bound, Master, Relaxed};
use super::problem::{Kind, Pattern, Plan, Problem};
use super::search::patterns_within;

/// Vectors that are neither struck out nor filled before it gives up.
const MOST_DOUBTS: usize = 3;

/// Patterns that a vector left by the relaxation is searched with, and nodes of that search, at most.
const MOST_PATTERNS: usize = 60_000;
const MOST_NODES: usize = 200;

/// Steps for what the length of all pieces costs at least.
const STEPS_BY_LENGTH: u64 = 300_000;

/// What the counts have shown.
pub(super) struct Counted {
    /// A cheaper plan, if one was found.
    pub(super) plan: Option<Plan>,
    /// No plan costs less.
    pub(super) bound: i64,
}

/// What pieces are worth, and what each kind holds of it at most: what strikes out vectors.
#[derive(Clone, Debug)]
pub(super) struct Worth {
    wanted: i128,
    held: Vec<i64>,
    /// Of the bought kinds from each on, the one that holds most for its price; none at the end.
    best_from: Vec<Option<usize>>,
}

impl Worth {
    /// What is still to be held beside these counts.
    fn left(&self, vector: &[i64]) -> i128 {
        let held = self.held.iter().zip(vector);
        let held: i128 = held
            .map(|(&held, &n)| i128::from(held) * i128::from(n))
            .sum();
        self.wanted - held
    }
}

/// A cost from `least` to `most` that no vector of counts is below, by the length that it holds alone.
pub(super) fn by_length(
    problem: &Problem,
    least: i64,
    most: i64,
    worths: &mut Vec<Worth>,
    budget: &mut Budget<'_>,
) -> i64 {
    let unit = problem.scale.min(1 << 10);
    let lengths = problem.sizes.iter();
    let lengths: Vec<i64> = lengths.map(|&size| size.saturating_mul(unit)).collect();
    let Some(length) = worth_of(problem, &lengths, budget) else {
        return least;
    };
    worths.push(length);
    let old = budget.lower_to(STEPS_BY_LENGTH);
    let mut proven = least;
    let mut window = (most - least).div_euclid(16);
    while proven < most && budget.goes_on() {
        let to = proven.saturating_add(window).min(most - problem.step);
        let mut walk = Walk::new(problem, None, worths, proven);
        if walk.from(0, to, 0, budget) {
            proven = above(problem, to);
            window = window.saturating_mul(2).saturating_add(problem.step);
        } else if window == 0 {
            break;
        } else {
            window = window.div_euclid(8);
        }
    }
    budget.restore(old);
    proven
}

/// Strikes out vectors of counts from `least` up to the cost of `best`; what strikes them out is kept in `worths`.
pub(super) fn by_counts(
    root: &Master<'_>,
    bound: &Bound,
    least: i64,
    best: &Plan,
    worths: &mut Vec<Worth>,
    budget: &mut Budget<'_>,
) -> Counted {
    let problem = root.problem;
    let mut proven = least;
    if worths.len() < 2 {
        worths.extend(worth_of(problem, &bound.worths, budget));
    }
    let cost = best.cost(problem);
    let mut window = (cost - least).div_euclid(16);
    while proven < cost && budget.goes_on() {
        let most = proven.saturating_add(window).min(cost - problem.step);
        let mut walk = Walk::new(problem, Some((root, best)), worths, proven);
        let ended = walk.from(0, most, 0, budget);
        let doubt = walk.doubts.iter().min().copied();
        let plan = walk.plan;
        if ended {
            let next = above(problem, most);
            proven = proven.max(doubt.map_or(next, |doubt| doubt.min(next)));
        }
        if plan.is_some() || !ended || doubt.is_some() {
            return Counted {
                plan,
                bound: proven,
            };
        }
        window = window.saturating_mul(2).saturating_add(problem.step);
    }
    Counted {
        plan: None,
        bound: proven,
    }
}

/// The least cost above this that sums of these prices can come to.
fn above(problem: &Problem, cents: i64) -> i64 {
    (cents.div_euclid(problem.step).saturating_add(1)).saturating_mul(problem.step)
}

/// What came of one vector.
enum Tried {
    /// The relaxation cannot fill it, by these worths.
    Beaten(Vec<i64>),
    /// No patterns fill it.
    Searched,
    Filled(Plan),
    InDoubt,
}

/// Tries to fill a vector that costs `price`, or to show that it can't be: by the relaxation, by dives, by all patterns.
fn tried(
    root: &Master<'_>,
    price: i64,
    vector: Vec<i64>,
    best: &Plan,
    budget: &mut Budget<'_>,
) -> Tried {
    let problem = root.problem;
    let next = price + problem.step;
    let patterns = root
        .patterns
        .iter()
        .flatten()
        .filter(|pattern| vector[pattern.kind] > 0)
        .cloned()
        .collect::<Vec<Pattern>>();
    let mut master = Master::new(problem, vector, patterns);
    match master.solve(Some(next), true, budget) {
        Relaxed::Beaten => {
            return match master.bound.take() {
                Some(bound) => Tried::Beaten(bound.worths),
                None => Tried::InDoubt,
            };
        }
        Relaxed::Cut => return Tried::InDoubt,
        Relaxed::Whole | Relaxed::Enough => {}
    }
    for way in WAYS {
        if let Some(plan) = dive(&master, way, Some(best), price, budget)
            && plan.cost(problem) <= price
        {
            return Tried::Filled(plan);
        }
    }
    let Some(bound) = master.bound.take() else {
        return Tried::InDoubt;
    };
    let mut limited = problem.clone();
    for (kind, &limit) in limited.kinds.iter_mut().zip(&master.limits) {
        kind.limit = Some(limit);
    }
    let reach = i128::from(price) * i128::from(problem.scale) - bound.scaled;
    let list = patterns_within(&limited, &bound, reach, MOST_PATTERNS, budget);
    let Some(list) = list else {
        return Tried::InDoubt;
    };
    let searched = branch::search(
        &limited,
        &list,
        &bound,
        Goal::Cost,
        next,
        MOST_NODES,
        budget,
    );
    match searched.plan {
        Some(plan) => Tried::Filled(plan),
        None if searched.bound >= next => Tried::Searched,
        None => Tried::InDoubt,
    }
}

/// What all pieces are worth, and the most that each kind holds.
fn worth_of(problem: &Problem, worths: &[i64], budget: &mut Budget<'_>) -> Option<Worth> {
    let targets = vec![-1; problem.kinds.len()];
    let fills = best_fills(problem, worths, &problem.counts, &targets, 1, budget)?;
    let held: Vec<i64> = fills
        .iter()
        .map(|fills| fills.first().map_or(0, |fill| fill.worth))
        .collect();
    let wanted = worths
        .iter()
        .zip(&problem.counts)
        .map(|(&worth, &count)| i128::from(worth) * i128::from(count))
        .sum();
    let mut best_from: Vec<Option<usize>> = vec![None];
    for kind in bought(problem).into_iter().rev() {
        let over = |a: usize, b: usize| i128::from(held[a]) * i128::from(problem.kinds[b].price);
        let best = best_from.last().copied().flatten();
        best_from.push(Some(
            best.filter(|&best| over(best, kind) >= over(kind, best))
                .unwrap_or(kind),
        ));
    }
    best_from.reverse();
    Some(Worth {
        wanted,
        held,
        best_from,
    })
}

/// The kinds that are bought, in the order in which their counts are chosen: those with a limit first, since what is left
/// then can be held at one rate; then dearest first.
fn bought(problem: &Problem) -> Vec<usize> {
    let mut bought: Vec<usize> = (0..problem.kinds.len())
        .filter(|&kind| problem.kinds[kind].price > 0)
        .collect();
    bought.sort_by_key(|&kind| {
        let Kind { limit, price, .. } = problem.kinds[kind];
        (limit.is_none(), Reverse(price), kind)
    });
    bought
}

/// The walk through all vectors that cost from `least` to the most given, and hold what is wanted by all worths. Free kinds
/// are taken as far as they go.
struct Walk<'a, 'p> {
    problem: &'p Problem,
    /// What vectors are filled by, and the best plan so far; none: the walk ends at the first vector.
    fill_by: Option<(&'a Master<'p>, &'a Plan)>,
    worths: &'a mut Vec<Worth>,
    bought: Vec<usize>,
    /// Counts so far, none of what is still to come.
    vector: Vec<i64>,
    least: i64,
    /// What the vectors cost of which nothing came.
    doubts: Vec<i64>,
    plan: Option<Plan>,
}

impl<'a, 'p> Walk<'a, 'p> {
    fn new(
        problem: &'p Problem,
        fill_by: Option<(&'a Master<'p>, &'a Plan)>,
        worths: &'a mut Vec<Worth>,
        least: i64,
    ) -> Self {
        let vector = (0..problem.kinds.len()).map(|kind| match problem.kinds[kind].price {
            0 => problem.most_of(kind),
            _ => 0,
        });
        Self {
            problem,
            fill_by,
            worths,
            bought: bought(problem),
            vector: vector.collect(),
            least,
            doubts: Vec::new(),
            plan: None,
        }
    }

    /// Goes on from the bought kind `at` with so many cents to spend; says whether it came to its end.
    fn from(&mut self, at: usize, most: i64, spent: i64, budget: &mut Budget<'_>) -> bool {
        if !budget.spend(10) {
            return false;
        }
        let Some(&kind) = self.bought.get(at) else {
            // Worths that have come since the range above was worked out are asked here.
            let holds = self
                .worths
                .iter()
                .all(|worth| worth.left(&self.vector) <= 0);
            return !holds || spent < self.least || self.try_to_fill(spent, budget);
        };
        let price = self.problem.kinds[kind].price;
        let mut n = 0;
        let mut known = 0;
        let mut range = 0..=0;
        loop {
            // New worths make the range smaller on the way.
            if known < self.worths.len() || n == 0 {
                known = self.worths.len();
                self.vector[kind] = 0;
                range = self.range(at, most, spent);
                budget.spend(known * self.vector.len());
                n = n.max(*range.start());
            }
            if n > *range.end() {
                break;
            }
            self.vector[kind] = n;
            if !self.from(at + 1, most - n * price, spent + n * price, budget) {
                return false;
            }
            n += 1;
        }
        self.vector[kind] = 0;
        true
    }

    /// How many of the bought kind `at` leave, by every worth, enough to spend on what is still to be held then.
    fn range(&self, at: usize, most: i64, spent: i64) -> RangeInclusive<i64> {
        let problem = self.problem;
        let kind = self.bought[at];
        let price = i128::from(problem.kinds[kind].price);
        let is_last = at + 1 == self.bought.len();
        let mut low: i128 = 0;
        if is_last {
            low = -i128::from(spent - self.least).div_euclid(price);
        }
        let mut high = i128::from(most)
            .div_euclid(price)
            .min(i128::from(problem.most_of(kind)));
        for worth in self.worths.iter() {
            let left = worth.left(&self.vector);
            let held = i128::from(worth.held[kind]);
            // The rest is held at best by the kind that holds most for its price: (left - n held) * p <= h * (most - n price).
            let rest = worth.best_from[at + 1..].first().copied().flatten();
            let (h, p) = rest.map_or((0, 1), |rest| {
                (
                    i128::from(worth.held[rest]),
                    i128::from(problem.kinds[rest].price),
                )
            });
            let more = h * i128::from(most) - left * p;
            let each = h * price - held * p;
            match each.cmp(&0) {
                Ordering::Greater => high = high.min(more.div_euclid(each)),
                Ordering::Less => low = low.max(-more.div_euclid(-each)),
                Ordering::Equal if more < 0 => high = -1,
                Ordering::Equal => {}
            }
            if low > high {
                break;
            }
        }
        let whole = |n: i128| i64::try_from(n).unwrap_or(i64::MAX);
        whole(low.max(0))..=whole(high.max(-1))
    }

    /// Strikes the vector out or fills it; says whether to go on.
    fn try_to_fill(&mut self, price: i64, budget: &mut Budget<'_>) -> bool {
        let Some((root, best)) = self.fill_by else {
            return false;
        };
        match tried(root, price, self.vector.clone(), best, budget) {
            Tried::Beaten(refuting) => {
                self.worths
                    .extend(worth_of(self.problem, &refuting, budget));
            }
            Tried::Searched => {}
            Tried::Filled(plan) => {
                self.plan = Some(plan);
                return false;
            }
            Tried::InDoubt => self.doubts.push(price),
        }
        budget.goes_on() && self.doubts.len() < MOST_DOUBTS
    }
}
