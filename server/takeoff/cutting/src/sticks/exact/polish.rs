//! What is done to a plan at the end, at no cost and no stick more: less on-hand length begun, longer single leftovers.
//! Rules of thumb, which prove nothing.
//!
//! Source: Scantling's own order of goals; moving pieces so that one leftover grows is common practice.

use std::collections::BTreeMap;

use super::budget::Budget;
use super::greedy::swap_for_cheaper;
use super::problem::{Counts, Pattern, Plan, Problem};

/// Sticks beyond which leftovers are left as they are.
const MOST_STICKS: i64 = 120;

/// Steps for the longest single leftover.
const STEPS_FOR_LONGEST: u64 = 1_000_000;

/// Sums of pieces that two sticks are shared out by, at most.
const MOST_SUMS: usize = 4_000;

/// Sticks beyond which unmet pieces are not tried one by one.
const MOST_TO_SQUEEZE: i64 = 5_000;

/// Puts unmet pieces where they still fit, longest first: on sticks that are cut, then on sticks not yet used.
pub(super) fn squeeze_in(problem: &Problem, plan: &mut Plan, unmet: &mut [i64]) {
    if plan.count() > MOST_TO_SQUEEZE {
        return;
    }
    let mut sticks: Vec<Pattern> = Vec::new();
    let mut left = problem.most();
    for (pattern, n) in plan.sticks.drain(..) {
        left[pattern.kind] -= n;
        sticks.extend((0..n).map(|_| pattern.clone()));
    }
    for (row, missing) in unmet.iter_mut().enumerate() {
        while *missing > 0 {
            let size = problem.sizes[row];
            let room = |stick: &Pattern| room(problem, stick);
            let on = sticks
                .iter()
                .enumerate()
                .filter(|(_, stick)| room(stick) >= size)
                .min_by_key(|(at, stick)| (room(stick), *at))
                .map(|(at, _)| at);
            if let Some(at) = on {
                add(&mut sticks[at], row);
            } else {
                let kinds = (0..left.len())
                    .filter(|&kind| left[kind] > 0 && problem.kinds[kind].room >= size);
                let Some(kind) = kinds.min_by_key(|&kind| (problem.kinds[kind].price, kind)) else {
                    break;
                };
                left[kind] -= 1;
                sticks.push(Pattern {
                    kind,
                    counts: vec![(row, 1)],
                });
            }
            *missing -= 1;
        }
    }
    *plan = counted(sticks);
}

/// Less on-hand length begun, then longer single leftovers; cost and sticks stay.
pub(super) fn polish(problem: &Problem, plan: &mut Plan, budget: &mut Budget<'_>) {
    swap_for_cheaper(problem, &problem.most(), plan);
    if plan.count() > MOST_STICKS || !budget.goes_on() {
        return;
    }
    let mut sticks: Vec<Pattern> = Vec::new();
    for (pattern, n) in plan.sticks.drain(..) {
        sticks.extend((0..n).map(|_| pattern.clone()));
    }
    // The emptiest stick gives what it can to the others, so that it ends with more left or gives longer for shorter.
    let mut done: Vec<bool> = vec![false; sticks.len()];
    for nth in 0..sticks.len() {
        let giver = (0..sticks.len()).filter(|&at| !done[at]).max_by_key(|&at| {
            let stick = &sticks[at];
            (room(problem, stick), std::cmp::Reverse(stick))
        });
        let Some(giver) = giver else {
            break;
        };
        done[giver] = true;
        // The longest single leftover is worth more work than the others.
        let old = budget.lower_to(STEPS_FOR_LONGEST);
        while nth == 0 && gives_most(problem, &mut sticks, giver, budget) {}
        budget.restore(old);
        while budget.spend(sticks.len() * 16) && gives_one(problem, &mut sticks, giver, &done) {}
    }
    *plan = counted(sticks);
}

fn room(problem: &Problem, stick: &Pattern) -> i64 {
    problem.kinds[stick.kind].room - problem.used(&stick.counts)
}

/// Shares the pieces of the giver and of one other stick out anew, so that the giver keeps least: with the stick where that
/// is least of all. Says whether it keeps less than before.
fn gives_most(
    problem: &Problem,
    sticks: &mut [Pattern],
    giver: usize,
    budget: &mut Budget<'_>,
) -> bool {
    let mut best: Option<(i64, usize, Counts)> = None;
    for at in (0..sticks.len()).filter(|&at| at != giver) {
        if !budget.goes_on() {
            break;
        }
        let mut both = sticks[giver].counts.clone();
        both.extend(sticks[at].counts.iter().copied());
        let held = problem.kinds[sticks[at].kind].room;
        let most = fullest_of(problem, &both, held, budget);
        let gain = problem.used(&most) - problem.used(&sticks[at].counts);
        let is_all = problem.used(&most) == problem.used(&both);
        if gain > 0 && !is_all && best.as_ref().is_none_or(|(known, _, _)| gain > *known) {
            best = Some((gain, at, most));
        }
    }
    let Some((_, at, most)) = best else {
        return false;
    };
    let mut kept: BTreeMap<usize, i64> = BTreeMap::new();
    for &(row, n) in sticks[giver].counts.iter().chain(&sticks[at].counts) {
        *kept.entry(row).or_default() += n;
    }
    for &(row, n) in &most {
        *kept.entry(row).or_default() -= n;
    }
    sticks[giver].counts = kept.into_iter().filter(|&(_, n)| n > 0).collect();
    sticks[at].counts = most;
    true
}

/// The pieces that fill so much room best; of many sums only some are looked at.
fn fullest_of(problem: &Problem, pieces: &Counts, held: i64, budget: &mut Budget<'_>) -> Counts {
    // Each sum with the sum that it was made from, and by which row.
    let mut sums: BTreeMap<i64, Option<(i64, usize)>> = BTreeMap::from([(0, None)]);
    for &(row, n) in pieces {
        for _ in 0..n {
            if sums.len() > MOST_SUMS {
                break;
            }
            budget.spend(sums.len() * 4);
            let size = problem.sizes[row];
            let more: Vec<i64> = sums
                .keys()
                .copied()
                .filter(|sum| sum + size <= held && !sums.contains_key(&(sum + size)))
                .collect();
            sums.extend(more.into_iter().map(|sum| (sum + size, Some((sum, row)))));
        }
    }
    let mut rows = Vec::new();
    let mut at = sums.keys().next_back().copied().unwrap_or(0);
    while let Some(&Some((before, row))) = sums.get(&at) {
        rows.push(row);
        at = before;
    }
    Pattern::of_rows(rows).counts
}

/// Moves one piece from the giver to the fullest stick that holds it, or trades it for a shorter one there.
fn gives_one(problem: &Problem, sticks: &mut [Pattern], giver: usize, done: &[bool]) -> bool {
    let mut best: Option<(i64, i64, usize, usize, Option<usize>)> = None;
    for (at, stick) in sticks.iter().enumerate() {
        if at == giver || done[at] {
            continue;
        }
        let free = room(problem, stick);
        for &(row, _) in &sticks[giver].counts {
            let size = problem.sizes[row];
            let mut offer = |back: Option<usize>, gain: i64| {
                if gain > 0 && gain <= free {
                    let key = (gain, gain - free, at, row, back);
                    if best.is_none_or(|best| (key.0, key.1) > (best.0, best.1)) {
                        best = Some(key);
                    }
                }
            };
            // A stick that gave away all would be no stick; the count is proven or as good as found.
            if sticks[giver].counts.len() > 1 || sticks[giver].counts[0].1 > 1 {
                offer(None, size);
            }
            for &(back, _) in &stick.counts {
                offer(Some(back), size - problem.sizes[back]);
            }
        }
    }
    let Some((_, _, at, row, back)) = best else {
        return false;
    };
    remove(&mut sticks[giver], row);
    add(&mut sticks[at], row);
    if let Some(back) = back {
        remove(&mut sticks[at], back);
        add(&mut sticks[giver], back);
    }
    true
}

fn add(stick: &mut Pattern, row: usize) {
    match stick.counts.binary_search_by_key(&row, |&(row, _)| row) {
        Ok(at) => stick.counts[at].1 += 1,
        Err(at) => stick.counts.insert(at, (row, 1)),
    }
}

fn remove(stick: &mut Pattern, row: usize) {
    if let Ok(at) = stick.counts.binary_search_by_key(&row, |&(row, _)| row) {
        stick.counts[at].1 -= 1;
        if stick.counts[at].1 == 0 {
            stick.counts.remove(at);
        }
    }
}

fn counted(sticks: Vec<Pattern>) -> Plan {
    let mut counts: BTreeMap<Pattern, i64> = BTreeMap::new();
    for stick in sticks {
        *counts.entry(stick).or_default() += 1;
    }
    Plan {
        sticks: counts.into_iter().collect(),
    }
}
