//! An answer as it goes out, and a second look at it that shares nothing with the search.

use std::collections::BTreeMap;

use super::instance::{Demand, Instance, Stock};
use super::problem::{Plan, Problem};

/// What proves the bound.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Proof {
    /// Nothing: no plan costs less than nothing.
    None,
    /// The relaxation by patterns, or what never bounds higher: the length of all, or rounded lengths.
    Relaxation,
    /// All vectors of stick counts that are cheaper are struck out.
    StickCounts,
    /// All patterns inside the gap were searched.
    Search,
}

/// Sticks alike.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Row {
    /// Whole length of the stick.
    pub length: i64,
    /// Its trim.
    pub trim: i64,
    /// Cents of one.
    pub price: i64,
    /// How many.
    pub times: i64,
    /// Piece lengths, longest first.
    pub cuts: Vec<i64>,
}

/// A plan, and what is known about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Answer {
    /// Longest sticks first, then dearest.
    pub plan: Vec<Row>,
    /// Pieces that no stick is left for, longest first.
    pub unmet: Vec<Demand>,
    /// Cents of the plan.
    pub cost: i64,
    /// No plan for the pieces that are met costs less.
    pub lower_bound: i64,
    /// Where pieces are unmet: that no plan meets them all. Else: that no plan costs less.
    pub proven: bool,
    /// How the bound was proven.
    pub proof: Proof,
    /// Sticks cut.
    pub sticks: i64,
    /// Whether it is proven that no plan of this cost has fewer sticks.
    pub sticks_proven: bool,
    /// Nodes of all searches.
    pub nodes: usize,
    /// Steps of work.
    pub steps: u64,
    /// Whether the caller stopped it, so that another run may come out otherwise.
    pub stopped: bool,
}

pub(super) fn rows_of(
    instance: &Instance,
    stock: &[Stock],
    problem: &Problem,
    plan: &Plan,
) -> Vec<Row> {
    let mut rows: Vec<Row> = plan
        .sticks
        .iter()
        .map(|(pattern, times)| {
            let from = &stock[problem.kinds[pattern.kind].stock];
            let cuts = pattern.counts.iter().flat_map(|&(row, n)| {
                let length = problem.sizes[row] - instance.kerf;
                (0..n).map(move |_| length)
            });
            Row {
                length: from.length,
                trim: from.trim,
                price: from.price,
                times: *times,
                cuts: cuts.collect(),
            }
        })
        .collect();
    rows.sort_by(|a, b| {
        (b.length, b.price, &b.cuts, a.trim).cmp(&(a.length, a.price, &a.cuts, b.trim))
    });
    rows
}

/// Works an answer out again from the instance alone: counts, fit with kerf and trim, limits, sum, bound.
///
/// # Errors
/// Says what is wrong. That is a mistake in the search, not in the instance.
pub fn stands_up(instance: &Instance, answer: &Answer) -> Result<(), String> {
    let mut open: BTreeMap<i64, i64> = BTreeMap::new();
    for demand in &instance.demand {
        *open.entry(demand.length).or_default() += demand.count;
    }
    for demand in &answer.unmet {
        *open.entry(demand.length).or_default() -= demand.count;
    }
    let mut used: BTreeMap<(i64, i64, i64), i64> = BTreeMap::new();
    let (mut cost, mut sticks) = (0, 0);
    for row in &answer.plan {
        let n = i64::try_from(row.cuts.len()).unwrap_or(i64::MAX);
        let sum: i64 = row.cuts.iter().sum();
        if n == 0 || row.times < 1 || sum + (n - 1) * instance.kerf > row.length - row.trim {
            return Err(format!(
                "A stick {} long does not hold its {n} pieces.",
                row.length
            ));
        }
        for &length in &row.cuts {
            *open.entry(length).or_default() -= row.times;
        }
        *used.entry((row.length, row.trim, row.price)).or_default() += row.times;
        cost += row.price * row.times;
        sticks += row.times;
    }
    if let Some((length, n)) = open.iter().find(|(_, n)| **n != 0) {
        return Err(format!(
            "{n} pieces {length} long are missing, or that many too many."
        ));
    }
    for ((length, trim, price), n) in used {
        let mut there = instance
            .stock
            .iter()
            .filter(|stock| (stock.length, stock.trim, stock.price) == (length, trim, price));
        let there = there.try_fold(0_i64, |sum, stock| {
            stock.limit.map(|limit| sum.saturating_add(limit))
        });
        if there.is_some_and(|there| there < n) {
            return Err(format!(
                "{n} sticks {length} long are cut, more than there are."
            ));
        }
    }
    if (cost, sticks) != (answer.cost, answer.sticks) || answer.lower_bound > cost {
        return Err(format!(
            "The sticks cost {cost} and not {}, or the bound is above that.",
            answer.cost
        ));
    }
    Ok(())
}
