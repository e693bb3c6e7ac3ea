//! The relaxation by patterns: broken numbers of sticks, patterns found as they are wanted, and a bound that is a proof.
//!
//! A row for each size (at least what is demanded) and one for each kind (no more than there are). New patterns come
//! from a knapsack over whole-number duals; so does the bound, which holds whatever the floats did: for any duals at
//! all, the cost of a plan is at least what its pieces are worth, less what any stick can hold above its price.
//!
//! Source: Gilmore and Gomory 1961 and 1963; the bound is the Lagrangian one, and its scaled form Farley's (1990).

use super::budget::Budget;
use super::knapsack::best_fills;
use super::problem::{Counts, Pattern, Problem};
use super::simplex::{Column, Ended, FAR, Simplex};

/// Fills added for each kind in one round; more where few kinds serve many sizes.
const FILLS_A_ROUND: usize = 3;

/// A bound on cost, and what proves it.
#[derive(Clone, Debug)]
pub(super) struct Bound {
    /// Cents times scale; no plan costs less.
    pub(super) scaled: i128,
    /// What one of each size is worth, cents times scale, none below zero.
    pub(super) worths: Vec<i64>,
    /// Worth of the best fill of each kind, or its price where none is above that.
    pub(super) best: Vec<i64>,
}

/// How a relaxation ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Relaxed {
    /// Solved.
    Whole,
    /// Its cost is down to what was said to be enough.
    Enough,
    /// The bound has reached the cost that was to be beaten.
    Beaten,
    /// The budget was spent, or the floats failed: the bound stands, the rest is as it happened to be.
    Cut,
}

/// The relaxation.
#[derive(Clone)]
pub(super) struct Master<'a> {
    pub(super) problem: &'a Problem,
    pub(super) lp: Simplex,
    /// The pattern of each column; none for a piece left unmet.
    pub(super) patterns: Vec<Option<Pattern>>,
    /// Demand still open, and what knapsacks may hold.
    pub(super) open: Vec<i64>,
    /// How many of each kind may be used.
    pub(super) limits: Vec<i64>,
    /// The best bound of the whole problem so far; of use only while nothing is fixed.
    pub(super) bound: Option<Bound>,
    known: std::collections::BTreeSet<Pattern>,
}

impl<'a> Master<'a> {
    /// With these patterns to begin with.
    pub(super) fn new(
        problem: &'a Problem,
        limits: Vec<i64>,
        first: impl IntoIterator<Item = Pattern>,
    ) -> Self {
        let dearest = problem.dearest().max(1);
        let mut lp = Simplex::new(dearest);
        for &count in &problem.counts {
            lp.add_row((count, FAR), &[]);
        }
        for (kind, &limit) in limits.iter().enumerate() {
            let free = problem.kinds[kind].limit.is_none() && limit >= problem.pieces();
            lp.add_row((0, if free { FAR } else { limit }), &[]);
        }
        let mut master = Self {
            problem,
            lp,
            patterns: Vec::new(),
            open: problem.counts.clone(),
            limits,
            bound: None,
            known: std::collections::BTreeSet::new(),
        };
        for kind in &problem.kinds {
            let bound = bound_by_length(problem, &master.limits, kind.price, kind.room);
            if master
                .bound
                .as_ref()
                .is_none_or(|known| known.scaled < bound.scaled)
            {
                master.bound = Some(bound);
            }
        }
        for row in 0..problem.sizes.len() {
            master.patterns.push(None);
            master.lp.add_column(Column {
                cost: dearest * 4,
                entries: vec![(row, 1)],
                bounds: (0, FAR),
            });
        }
        for pattern in first {
            master.add(pattern);
        }
        master
    }

    /// Adds a pattern, unless it is there.
    pub(super) fn add(&mut self, pattern: Pattern) -> bool {
        if !self.known.insert(pattern.clone()) {
            return false;
        }
        let mut entries: Vec<(usize, i32)> = pattern
            .counts
            .iter()
            .map(|&(row, n)| (row, i32::try_from(n).unwrap_or(i32::MAX)))
            .collect();
        entries.push((self.problem.sizes.len() + pattern.kind, 1));
        self.lp.add_column(Column {
            cost: self.problem.kinds[pattern.kind].price,
            entries,
            // No bound of its own: its dual would be missing from the worths that prove the bound.
            bounds: (0, FAR),
        });
        self.patterns.push(Some(pattern));
        true
    }

    /// How often these counts go into what is open, without anything left over.
    pub(super) fn most_more(&self, counts: &Counts) -> i64 {
        counts
            .iter()
            .map(|&(row, n)| self.open[row].div_euclid(n))
            .min()
            .unwrap_or(0)
    }

    /// Solves, finding patterns as they are wanted. Stops where the bound reaches `beat`, if that is given. While
    /// nothing is fixed (`whole`) the bound is kept.
    pub(super) fn solve(
        &mut self,
        beat: Option<i64>,
        whole: bool,
        budget: &mut Budget<'_>,
    ) -> Relaxed {
        self.solve_down_to(None, beat, whole, budget)
    }

    /// The same, but ends also where the cost is down to `enough`: the bound is then not all that it could be.
    pub(super) fn solve_down_to(
        &mut self,
        enough: Option<i64>,
        beat: Option<i64>,
        whole: bool,
        budget: &mut Budget<'_>,
    ) -> Relaxed {
        if self.lp.dual(None, 20_000, budget) != Ended::Optimal {
            return Relaxed::Cut;
        }
        loop {
            if self.lp.primal(20_000, budget) != Ended::Optimal {
                return Relaxed::Cut;
            }
            if enough.is_some_and(|enough| self.lp.cost() <= enough) {
                return Relaxed::Enough;
            }
            let Some(found) = self.price(whole, budget) else {
                return Relaxed::Cut;
            };
            if whole
                && let (Some(beat), Some(bound)) = (beat, &self.bound)
                && self.problem.cents_at_least(bound.scaled) >= beat
            {
                return Relaxed::Beaten;
            }
            let mut grew = false;
            for pattern in found {
                grew |= self.add(pattern);
            }
            if !grew {
                return Relaxed::Whole;
            }
        }
    }

    /// New patterns that lower the cost, by the present duals; keeps the bound that these prove.
    fn price(&mut self, whole: bool, budget: &mut Budget<'_>) -> Option<Vec<Pattern>> {
        let problem = self.problem;
        let rows = problem.sizes.len();
        let duals = self.lp.duals(problem.scale);
        let longest = problem.kinds.last().map_or(0, |kind| kind.room);
        let top = problem.dearest().max(1) * problem.scale * 8;
        let worths: Vec<i64> = (0..rows)
            .map(|row| {
                let most = longest.div_euclid(problem.sizes[row]).clamp(1, 1 << 10);
                duals[row].clamp(0, top.div_euclid(most).max(1) * 8)
            })
            .collect();
        let priced: Vec<i64> = problem
            .kinds
            .iter()
            .map(|kind| kind.price * problem.scale)
            .collect();
        let targets: Vec<i64> = (0..priced.len())
            .map(|kind| priced[kind] - duals[rows + kind].min(0))
            .collect();
        let fills = best_fills(
            problem,
            &worths,
            &self.open,
            &targets,
            FILLS_A_ROUND + rows.div_euclid(8 * problem.kinds.len().max(1)),
            budget,
        )?;
        if whole {
            let best: Vec<i64> = fills
                .iter()
                .zip(&targets)
                .map(|(fills, &target)| fills.first().map_or(target, |fill| fill.worth.max(target)))
                .collect();
            self.keep_bound(worths, &best);
        }
        // Reduced costs this near to zero are the floats' noise.
        let noise = problem.dearest().max(1) * problem.scale.div_euclid(1 << 20).max(0) + 2;
        let mut found = Vec::new();
        for (kind, fills) in fills.into_iter().enumerate() {
            for fill in fills {
                if fill.worth > targets[kind] + noise {
                    let counts = self.topped_up(kind, &fill.counts);
                    found.push(Pattern { kind, counts });
                }
            }
        }
        Some(found)
    }

    /// Fills what is left with the longest sizes that still fit.
    fn topped_up(&self, kind: usize, counts: &Counts) -> Counts {
        top_up(self.problem, &self.open, kind, counts)
    }

    /// The better of the two bounds that these worths prove, if it is better than what is known.
    fn keep_bound(&mut self, worths: Vec<i64>, best: &[i64]) {
        let problem = self.problem;
        let bound = proven_bound(problem, &self.limits, worths, best.to_vec());
        if self
            .bound
            .as_ref()
            .is_none_or(|known| known.scaled < bound.scaled)
        {
            self.bound = Some(bound);
        }
    }
}

/// The Lagrangian bound of these worths, where no fill of a kind is worth more than `best`; or, if that is better, the
/// one of the worths lowered until no stick sold without limit holds more than its price.
pub(super) fn proven_bound(
    problem: &Problem,
    limits: &[i64],
    worths: Vec<i64>,
    best: Vec<i64>,
) -> Bound {
    let plain = value_of(problem, limits, &worths, &best);
    let mut ratio = (1_i128, 1_i128);
    for (kind, &worth) in best.iter().enumerate() {
        let price = i128::from(problem.kinds[kind].price) * i128::from(problem.scale);
        if problem.kinds[kind].limit.is_none() && price * ratio.1 < i128::from(worth) * ratio.0 {
            ratio = (price, i128::from(worth));
        }
    }
    let mut bound = Bound {
        scaled: plain,
        worths,
        best,
    };
    if ratio.0 < ratio.1 && ratio.0 > 0 {
        // What each kind's best fill is worth then is at most the same share of what it was.
        let lowered = |worth: &i64| {
            i64::try_from((i128::from(*worth) * ratio.0).div_euclid(ratio.1)).unwrap_or(0)
        };
        let worths: Vec<i64> = bound.worths.iter().map(lowered).collect();
        let best: Vec<i64> = bound
            .best
            .iter()
            .map(|worth| {
                i64::try_from(-(-i128::from(*worth) * ratio.0).div_euclid(ratio.1))
                    .unwrap_or(i64::MAX)
            })
            .collect();
        let scaled = value_of(problem, limits, &worths, &best);
        if scaled > bound.scaled {
            bound = Bound {
                scaled,
                worths,
                best,
            };
        }
    }
    bound
}

/// The bound where each size is worth its share of the length of a stick at this price, so that no fill of any kind is
/// worth more than its whole room.
fn bound_by_length(problem: &Problem, limits: &[i64], price: i64, room: i64) -> Bound {
    let share = |length: i64, up: i128| {
        let whole = i128::from(length) * i128::from(price) * i128::from(problem.scale);
        let parts = (whole + up * (i128::from(room) - 1)).div_euclid(i128::from(room));
        i64::try_from(parts).unwrap_or(i64::MAX)
    };
    let worths: Vec<i64> = problem.sizes.iter().map(|&size| share(size, 0)).collect();
    let best: Vec<i64> = problem
        .kinds
        .iter()
        .map(|kind| share(kind.room, 1).max(kind.price * problem.scale))
        .collect();
    proven_bound(problem, limits, worths, best)
}

fn value_of(problem: &Problem, limits: &[i64], worths: &[i64], best: &[i64]) -> i128 {
    let pieces: i128 = worths
        .iter()
        .zip(&problem.counts)
        .map(|(&worth, &count)| i128::from(worth) * i128::from(count))
        .sum();
    let above: i128 = problem
        .kinds
        .iter()
        .zip(best)
        .zip(limits)
        .map(|((kind, &best), &limit)| {
            let over = i128::from(best) - i128::from(kind.price) * i128::from(problem.scale);
            over.max(0) * i128::from(limit)
        })
        .sum();
    pieces - above
}

/// Fills what a pattern leaves with the longest sizes that still fit, no more of each than `open`.
pub(super) fn top_up(problem: &Problem, open: &[i64], kind: usize, counts: &Counts) -> Counts {
    let mut held = vec![0; problem.sizes.len()];
    for &(row, n) in counts {
        held[row] = n;
    }
    let mut room = problem.kinds[kind].room - problem.used(counts);
    for (row, &size) in problem.sizes.iter().enumerate() {
        let more = (open[row] - held[row]).min(room.div_euclid(size)).max(0);
        held[row] += more;
        room -= more * size;
    }
    held.into_iter()
        .enumerate()
        .filter(|&(_, n)| n > 0)
        .collect()
}
