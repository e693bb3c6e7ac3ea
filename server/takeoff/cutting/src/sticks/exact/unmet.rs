//! What is left unmet where not all can be cut: pieces on sticks from nowhere, which cost something where all others cost
//! nothing.
//!
//! What it does not do: weigh one piece against another but by length.

use super::budget::Budget;
use super::problem::{Kind, Pattern, Plan, Problem};
use super::{WorkLimits, search};

/// A problem with sticks from nowhere beside the real ones.
pub(super) struct WithMore<'a> {
    real: &'a Problem,
    problem: Problem,
    /// The stock numbers from here on are sticks from nowhere.
    nowhere: usize,
}

impl<'a> WithMore<'a> {
    /// With so many rooms and their prices, as many of each as wanted.
    pub(super) fn new(real: &'a Problem, rooms: &[(i64, i64)]) -> Self {
        let mut kinds = real.kinds.clone();
        for kind in &mut kinds {
            kind.price = 0;
        }
        let nowhere = kinds.iter().map(|kind| kind.stock + 1).max().unwrap_or(0);
        kinds.extend(
            rooms
                .iter()
                .zip(nowhere..)
                .map(|(&(room, price), stock)| Kind {
                    room,
                    price,
                    limit: None,
                    begun: 0,
                    stock,
                }),
        );
        Self {
            real,
            problem: Problem::new(kinds, real.sizes.clone(), real.counts.clone()),
            nowhere,
        }
    }

    /// A plan of it: these sticks, and each unmet piece on the shortest stick from nowhere that holds it.
    pub(super) fn plan_of(&self, real: &Plan, unmet: &[i64]) -> Plan {
        let kind_of = |stock: usize| {
            let mut kinds = self.problem.kinds.iter();
            kinds.position(|kind| kind.stock == stock)
        };
        let cut = real.sticks.iter().filter_map(|(pattern, n)| {
            let kind = kind_of(self.real.kinds[pattern.kind].stock)?;
            let counts = pattern.counts.clone();
            Some((Pattern { kind, counts }, *n))
        });
        let rows = unmet.iter().enumerate().filter(|&(_, &n)| n > 0);
        let missing = rows.filter_map(|(row, &n)| {
            let mut kinds = self.problem.kinds.iter();
            let size = self.problem.sizes[row];
            let kind = kinds.position(|kind| kind.stock >= self.nowhere && kind.room >= size)?;
            let counts = vec![(row, 1)];
            Some((Pattern { kind, counts }, n))
        });
        Plan {
            sticks: cut.chain(missing).collect(),
        }
    }

    /// The cheapest plan found with one `share`th of the work left: what is cut from real sticks, what is not, and what all
    /// that is not costs at least.
    pub(super) fn least(
        &self,
        first: Option<Plan>,
        share: u64,
        limits: &WorkLimits,
        budget: &mut Budget<'_>,
    ) -> (Plan, Vec<i64>, i64) {
        let old = budget.lower_to(budget.left().div_euclid(share));
        let found = search::least(&self.problem, first, limits, budget);
        budget.restore(old);
        let mut unmet = vec![0; self.real.sizes.len()];
        let mut sticks = Vec::new();
        let plan = found.plan.unwrap_or(Plan { sticks: Vec::new() });
        for (pattern, n) in plan.sticks {
            let stock = self.problem.kinds[pattern.kind].stock;
            let mut kinds = self.real.kinds.iter();
            match kinds.position(|kind| kind.stock == stock) {
                Some(kind) => sticks.push((Pattern { kind, ..pattern }, n)),
                None => {
                    for &(row, each) in &pattern.counts {
                        unmet[row] += each * n;
                    }
                }
            }
        }
        (Plan { sticks }, unmet, found.bound)
    }
}
