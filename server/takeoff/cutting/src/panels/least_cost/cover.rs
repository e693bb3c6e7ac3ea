//! Whether given sheets hold everything, answered for good: a search over the sets that one sheet can hold.
//!
//! What it does not do: choose how many sheets to buy (`counts.rs` does).
//!
//! Source: depth-first search with a memory of what failed and with sums as bounds, textbook methods. Only sets that
//! can't take one more of the remaining pieces need be tried: what lies on other sheets could be moved over.

use super::counts::Counts;
use super::model::Model;
use super::rows::Row;
use super::sets::Sets;
use super::table::Table;
use super::tree::Node;
use super::work::Work;

/// Rows asked at each step, at most.
const MOST_ROWS: usize = 24;

/// The answer for one choice of sheets.
pub(super) enum Cover {
    /// Kinds with their cuts.
    Found(Vec<(usize, Node)>),
    Impossible,
    /// The work ran out first.
    Unknown,
}

/// A row whose sums for each kind are the most that any set really comes to.
struct Sharp {
    weights: Vec<i64>,
    holds: Vec<i128>,
}

/// What one search goes by and remembers.
struct Search<'a> {
    model: &'a Model,
    sets: &'a Sets,
    rows: &'a [Sharp],
    failed: Table,
    /// What one sheet of each kind adds to the key of a state.
    sheet_steps: Vec<u128>,
    end: u64,
}

/// What is still to be placed, and on what.
#[derive(Clone)]
struct State {
    pieces: Vec<u8>,
    sheets: Vec<u64>,
    pieces_key: u128,
}

/// All choices of one model are asked here, so that the sums are worked out once.
pub(super) struct Covers<'a> {
    model: &'a Model,
    sets: &'a Sets,
    rows: Vec<Sharp>,
}

impl<'a> Covers<'a> {
    pub(super) fn new(model: &'a Model, sets: &'a Sets, rows: &[Row], work: &mut Work<'_>) -> Self {
        let sharp = |row: &Row| {
            let mut holds = vec![0_i128; model.kinds.len()];
            for set in 0..sets.len() {
                let counts = sets.counts(set);
                let sum: i128 = counts
                    .iter()
                    .zip(&row.weights)
                    .map(|(&n, &weight)| i128::from(n) * i128::from(weight))
                    .sum();
                for (kind, most) in holds.iter_mut().enumerate() {
                    if sum > *most && sets.fits(set, kind) {
                        *most = sum;
                    }
                }
            }
            Sharp {
                weights: row.weights.clone(),
                holds,
            }
        };
        let every = rows.len().div_ceil(MOST_ROWS).max(1);
        let rows: Vec<Sharp> = rows.iter().step_by(every).map(sharp).collect();
        work.spend(u64::try_from(sets.len() * rows.len() * 8).unwrap_or(u64::MAX));
        Self { model, sets, rows }
    }

    /// Whether these sheets hold everything.
    pub(super) fn ask(&self, counts: &Counts, share: u64, work: &mut Work<'_>) -> Cover {
        let n = self.model.pieces.len();
        let all: Vec<u8> = self
            .model
            .pieces
            .iter()
            .map(|piece| u8::try_from(piece.count).unwrap_or(u8::MAX))
            .collect();
        let pieces_key: u128 = (0..n)
            .map(|at| u128::from(all[at]) * self.sets.step(at))
            .sum();
        let mut sheet_steps = Vec::new();
        let mut step = pieces_key + 1;
        for &count in counts {
            sheet_steps.push(step);
            let Some(more) = step.checked_mul(u128::from(count) + 1) else {
                return Cover::Unknown;
            };
            step = more;
        }
        let mut search = Search {
            model: self.model,
            sets: self.sets,
            rows: &self.rows,
            failed: Table::new(),
            sheet_steps,
            end: work.used().saturating_add(share),
        };
        let state = State {
            pieces: all,
            sheets: counts.clone(),
            pieces_key,
        };
        let mut plan = Vec::new();
        match search.place(&state, &mut plan, work) {
            None => Cover::Unknown,
            Some(false) => Cover::Impossible,
            Some(true) => Cover::Found(
                plan.into_iter()
                    .map(|(kind, set)| (kind, self.sets.node(set, &self.model.kinds[kind])))
                    .collect(),
            ),
        }
    }
}

impl Search<'_> {
    /// Places the first piece that is left, in every way; none if the work ran out.
    fn place(
        &mut self,
        state: &State,
        plan: &mut Vec<(usize, usize)>,
        work: &mut Work<'_>,
    ) -> Option<bool> {
        let Some(first) = state.pieces.iter().position(|&n| n > 0) else {
            return Some(true);
        };
        if !work.spend(16) || work.used() > self.end {
            return None;
        }
        if !self.rows.iter().all(|row| row.allows(state)) {
            return Some(false);
        }
        let key = self.key(state);
        if self.failed.get(key).is_some() {
            return Some(false);
        }
        let mut ways = Vec::new();
        if let Some(start) = self.sets.with(None, first) {
            self.ways(state, start, first, &mut ways, work);
        }
        // The fullest sheets first.
        ways.sort_unstable();
        for (_, kind, set) in ways {
            let mut next = state.clone();
            next.sheets[kind] -= 1;
            next.pieces_key -= self.sets.key(set);
            for (left, n) in next.pieces.iter_mut().zip(self.sets.counts(set)) {
                *left -= n;
            }
            plan.push((kind, set));
            if self.place(&next, plan, work)? {
                return Some(true);
            }
            plan.pop();
        }
        self.failed.insert(key, 0);
        Some(false)
    }

    /// Every set of remaining pieces from this one on, with each kind that holds it and nothing more.
    fn ways(
        &self,
        state: &State,
        set: usize,
        last: usize,
        found: &mut Vec<(i64, usize, usize)>,
        work: &mut Work<'_>,
    ) {
        let counts = self.sets.counts(set);
        work.spend(4);
        let mut full = !0_u64;
        for (piece, (held, left)) in counts.iter().zip(&state.pieces).enumerate() {
            if held >= left {
                continue;
            }
            let Some(more) = self.sets.with(Some(set), piece) else {
                continue;
            };
            full &= !self.sets.kinds_that_hold(more);
            if piece >= last {
                self.ways(state, more, piece, found, work);
            }
        }
        for kind in 0..self.model.kinds.len() {
            if state.sheets[kind] > 0 && (full >> kind) & 1 == 1 && self.sets.fits(set, kind) {
                let filled: i64 = counts
                    .iter()
                    .zip(&self.model.pieces)
                    .map(|(&n, piece)| i64::from(n) * piece.area())
                    .sum();
                found.push((self.model.kinds[kind].area() - filled, kind, set));
            }
        }
    }

    fn key(&self, state: &State) -> u128 {
        let sheets = state.sheets.iter().zip(&self.sheet_steps);
        sheets.fold(state.pieces_key, |sum, (&n, &step)| {
            sum + u128::from(n) * step
        })
    }
}

impl Sharp {
    /// Whether the sheets left hold the pieces left, as far as this sum tells.
    fn allows(&self, state: &State) -> bool {
        let asked: i128 = state
            .pieces
            .iter()
            .zip(&self.weights)
            .map(|(&n, &weight)| i128::from(n) * i128::from(weight))
            .sum();
        let held: i128 = state
            .sheets
            .iter()
            .zip(&self.holds)
            .map(|(&n, &holds)| i128::from(n) * holds)
            .sum();
        asked <= held
    }
}
