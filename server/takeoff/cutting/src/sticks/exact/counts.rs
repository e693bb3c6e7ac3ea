//! Proof by stick counts: how many of each kind could be bought below the cost of the best plan at all.
//!
//! All vectors of counts that hold what the pieces are worth, by some duals, are listed from the cheapest up. One that
//! the relaxation cannot fill is struck out, and its duals strike out others; the first that is filled is the least
//! cost. Where no vector is left, the plan at hand is. This closes jobs of many short pieces, where patterns are too many.

use super::budget::Budget;
use super::dive::{WAYS, dive};
use super::knapsack::best_fills;
use super::master::{Bound, Master, Relaxed};
use super::problem::{Pattern, Plan, Problem};

/// Vectors listed at once, at most.
const MOST_VECTORS: usize = 4_000;

/// Vectors that are neither struck out nor filled before it gives up.
const MOST_DOUBTS: usize = 3;

/// What the counts have shown.
pub(super) struct Counted {
    /// A cheaper plan, if one was found.
    pub(super) plan: Option<Plan>,
    /// No plan costs less.
    pub(super) bound: i64,
}

/// What pieces are worth, and what each kind holds of it at most.
struct Worth {
    wanted: i128,
    held: Vec<i64>,
}

/// Strikes out vectors of counts from `bound` up to the cost of `best`.
pub(super) fn by_counts(
    root: &Master<'_>,
    bound: &Bound,
    least: i64,
    best: &Plan,
    budget: &mut Budget<'_>,
) -> Counted {
    let problem = root.problem;
    let nothing = Counted {
        plan: None,
        bound: least,
    };
    let Some(first) = worth_of(problem, &bound.worths, budget) else {
        return nothing;
    };
    let unit = problem.scale.min(1 << 10);
    let by_length: Vec<i64> = problem
        .sizes
        .iter()
        .map(|&size| size.saturating_mul(unit))
        .collect();
    let mut worths = vec![first];
    if let Some(length) = worth_of(problem, &by_length, budget) {
        worths.push(length);
    }
    let cost = best.cost(problem);
    let Some(mut vectors) = vectors(problem, &worths, cost - problem.step, budget) else {
        return nothing;
    };
    vectors.sort();
    let mut proven = least;
    let mut doubts = 0;
    for (price, vector) in vectors {
        if worths.iter().any(|worth| !holds(worth, &vector)) {
            continue;
        }
        if doubts == 0 {
            proven = proven.max(price);
        }
        if !budget.goes_on() || doubts >= MOST_DOUBTS {
            return Counted {
                plan: None,
                bound: proven,
            };
        }
        let patterns = root
            .patterns
            .iter()
            .flatten()
            .filter(|pattern| vector[pattern.kind] > 0)
            .cloned()
            .collect::<Vec<Pattern>>();
        let mut master = Master::new(problem, vector, patterns);
        match master.solve(Some(price + problem.step), true, budget) {
            Relaxed::Beaten => {
                let refuting = master
                    .bound
                    .take()
                    .map(|bound| bound.worths)
                    .unwrap_or_default();
                if let Some(worth) = worth_of(problem, &refuting, budget) {
                    worths.push(worth);
                }
                continue;
            }
            Relaxed::Cut => {
                return Counted {
                    plan: None,
                    bound: proven,
                };
            }
            Relaxed::Whole => {}
        }
        for way in WAYS {
            if let Some(plan) = dive(&master, way, Some(best), price, budget)
                && plan.cost(problem) <= price
            {
                return Counted {
                    plan: Some(plan),
                    bound: proven,
                };
            }
        }
        doubts += 1;
    }
    Counted {
        plan: None,
        bound: if doubts == 0 { cost } else { proven },
    }
}

/// What all pieces are worth, and the most that each kind holds.
fn worth_of(problem: &Problem, worths: &[i64], budget: &mut Budget<'_>) -> Option<Worth> {
    let targets = vec![-1; problem.kinds.len()];
    let fills = best_fills(problem, worths, &problem.counts, &targets, 1, budget)?;
    let held = fills
        .iter()
        .map(|fills| fills.first().map_or(0, |fill| fill.worth))
        .collect();
    let wanted = worths
        .iter()
        .zip(&problem.counts)
        .map(|(&worth, &count)| i128::from(worth) * i128::from(count))
        .sum();
    Some(Worth { wanted, held })
}

fn holds(worth: &Worth, vector: &[i64]) -> bool {
    let held: i128 = worth
        .held
        .iter()
        .zip(vector)
        .map(|(&held, &n)| i128::from(held) * i128::from(n))
        .sum();
    held >= worth.wanted
}

/// All vectors that cost at most `most` and hold what is wanted, with their cost. Free kinds are taken as far as they go.
/// Nothing if there are too many.
fn vectors(
    problem: &Problem,
    worths: &[Worth],
    most: i64,
    budget: &mut Budget<'_>,
) -> Option<Vec<(i64, Vec<i64>)>> {
    let mut vector = vec![0; problem.kinds.len()];
    let mut left: Vec<i128> = worths.iter().map(|worth| worth.wanted).collect();
    let mut bought: Vec<usize> = Vec::new();
    for (kind, stick) in problem.kinds.iter().enumerate() {
        if stick.price > 0 {
            bought.push(kind);
            continue;
        }
        vector[kind] = problem.most_of(kind);
        for (left, worth) in left.iter_mut().zip(worths) {
            *left -= i128::from(worth.held[kind]) * i128::from(vector[kind]);
        }
    }
    bought.sort_by_key(|&kind| (std::cmp::Reverse(problem.kinds[kind].price), kind));
    let mut walk = Walk {
        problem,
        worths,
        bought: &bought,
        vector,
        found: Vec::new(),
    };
    walk.from(0, most, 0, &left, budget).then_some(walk.found)
}

struct Walk<'a> {
    problem: &'a Problem,
    worths: &'a [Worth],
    bought: &'a [usize],
    vector: Vec<i64>,
    found: Vec<(i64, Vec<i64>)>,
}

impl Walk<'_> {
    /// Goes on from the bought kind `at` with so many cents to spend; says whether it came to its end.
    fn from(
        &mut self,
        at: usize,
        most: i64,
        spent: i64,
        left: &[i128],
        budget: &mut Budget<'_>,
    ) -> bool {
        if !budget.spend(200 * self.worths.len()) {
            return false;
        }
        let reaches = left.iter().zip(self.worths).all(|(&left, worth)| {
            left <= 0
                || self.bought[at..].iter().any(|&kind| {
                    let price = i128::from(self.problem.kinds[kind].price);
                    left * price <= i128::from(worth.held[kind]) * i128::from(most)
                })
        });
        if !reaches {
            return true;
        }
        let Some(&kind) = self.bought.get(at) else {
            if self.found.len() >= MOST_VECTORS {
                return false;
            }
            self.found.push((spent, self.vector.clone()));
            return true;
        };
        let price = self.problem.kinds[kind].price;
        let most_here = most.div_euclid(price).min(self.problem.most_of(kind));
        for n in 0..=most_here {
            self.vector[kind] = n;
            let less: Vec<i128> = left
                .iter()
                .zip(self.worths)
                .map(|(&left, worth)| left - i128::from(worth.held[kind]) * i128::from(n))
                .collect();
            if !self.from(at + 1, most - n * price, spent + n * price, &less, budget) {
                return false;
            }
        }
        self.vector[kind] = 0;
        true
    }
}
