//! What a node is split on: counts of sticks that are not whole, tried ahead and the best taken.

use std::collections::{BTreeMap, BTreeSet};

use super::super::budget::Budget;
use super::super::simplex::{Bounds, Ended, FAR, PARTS};
use super::{Change, NEARLY, Tree};

/// Rows made for splitting, at most.
const MOST_SPLIT_ROWS: usize = 60;

/// Pivots of one look ahead.
const PIVOTS_AHEAD: usize = 40;

/// Sticks that are counted where a node is split.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Split {
    /// All.
    Sticks,
    /// Of one kind.
    Kind(usize),
    /// That hold a size at least so many times, of one kind or of all.
    Holds {
        kind: Option<usize>,
        row: usize,
        times: i64,
    },
    /// That hold both sizes.
    Both(usize, usize),
    /// Of one pattern.
    One(usize),
}

impl Tree<'_> {
    /// The row or column that a split narrows, made if it is not there yet; the bounds are those now in force.
    pub(super) fn split_change(&mut self, split: Split) -> Change {
        if let Split::One(column) = split {
            return Change::Column(column, self.pool.columns()[column].bounds);
        }
        if let Some(&row) = self.split_rows.get(&split) {
            return Change::Row(row, self.lp.row_bounds()[row]);
        }
        let members = self.members(split);
        let row = self.add_row((0, FAR), &members);
        self.split_rows.insert(split, row);
        Change::Row(row, (0, FAR))
    }

    /// The same for a look ahead: a row that is not there yet comes into the program alone.
    fn split_ahead(&mut self, split: Split) -> Change {
        if matches!(split, Split::One(_)) || self.split_rows.contains_key(&split) {
            return self.split_change(split);
        }
        let holding = (0..self.active.len()).filter(|&at| self.is_member(split, self.active[at]));
        let members: Vec<(usize, i32)> = holding.map(|at| (at, 1)).collect();
        Change::Row(self.lp.add_row((0, FAR), &members), (0, FAR))
    }

    pub(super) fn narrowed(at: Change, value: i64, up: bool) -> Change {
        let narrow = |(low, high): Bounds| {
            let whole = value.div_euclid(PARTS);
            if up {
                (low.max(whole + 1), high)
            } else {
                (low, high.min(whole))
            }
        };
        match at {
            Change::Row(row, bounds) => Change::Row(row, narrow(bounds)),
            Change::Column(column, bounds) => Change::Column(column, narrow(bounds)),
        }
    }

    fn members(&self, split: Split) -> Vec<(usize, i32)> {
        let holding = (0..self.patterns.len()).filter(|&column| self.is_member(split, column));
        holding.map(|column| (column, 1)).collect()
    }

    fn is_member(&self, split: Split, column: usize) -> bool {
        let pattern = &self.patterns[column];
        let holds = |row: usize| {
            pattern
                .counts
                .binary_search_by_key(&row, |&(row, _)| row)
                .map_or(0, |at| pattern.counts[at].1)
        };
        match split {
            Split::Sticks => true,
            Split::Kind(kind) => pattern.kind == kind,
            Split::Holds { kind, row, times } => {
                kind.is_none_or(|kind| pattern.kind == kind) && holds(row) >= times
            }
            Split::Both(a, b) => holds(a) > 0 && holds(b) > 0,
            Split::One(own) => column == own,
        }
    }

    /// What to split on, and its value in parts; nothing where all values are whole.
    pub(super) fn choose(&mut self, depth: usize, budget: &mut Budget<'_>) -> Option<(Split, i64)> {
        let candidates = self.candidates(if depth < 3 { 10 } else { 5 });
        if candidates.len() <= 1 {
            return candidates.into_iter().next();
        }
        let standing = self.lp.standing();
        let mut best: Option<(i128, usize)> = None;
        for (at, &(split, value)) in candidates.iter().enumerate() {
            let had = matches!(split, Split::One(_)) || self.split_rows.contains_key(&split);
            let change = self.split_ahead(split);
            let with_row = (!had).then(|| self.lp.standing());
            let mut bounds = [0_i128; 2];
            for (up, bound) in [false, true].into_iter().zip(&mut bounds) {
                let before = self.force(Self::narrowed(change, value, up));
                let ended = self.lp.dual(Some(self.limit()), PIVOTS_AHEAD, budget);
                let most = i128::from(self.beat) * i128::from(PARTS);
                *bound = match ended {
                    Ended::NoSolution | Ended::AboveLimit => most,
                    Ended::Optimal | Ended::Unfinished => self.lp.cost_in_parts().min(most),
                };
                self.force(before);
                self.lp.take_up(with_row.as_ref().unwrap_or(&standing));
            }
            if !had {
                self.lp.pop_row(&standing);
            }
            let (less, more) = (bounds[0].min(bounds[1]), bounds[0].max(bounds[1]));
            let score = less * 5 + more;
            if best.is_none_or(|(so_far, _)| score > so_far) {
                best = Some((score, at));
            }
            if !budget.goes_on() {
                break;
            }
        }
        best.map(|(_, at)| candidates[at])
    }

    /// Counts of sticks that are not whole now, the most promising of each sort.
    fn candidates(&self, most: usize) -> Vec<(Split, i64)> {
        let mut sums: BTreeMap<Split, i64> = BTreeMap::new();
        for (column, value) in self.values() {
            if value <= 0 {
                continue;
            }
            let pattern = &self.patterns[column];
            let mut add = |split: Split| *sums.entry(split).or_default() += value;
            add(Split::Sticks);
            add(Split::Kind(pattern.kind));
            add(Split::One(column));
            for (at, &(row, n)) in pattern.counts.iter().enumerate() {
                for times in 1..=n.min(8) {
                    add(Split::Holds {
                        kind: None,
                        row,
                        times,
                    });
                    add(Split::Holds {
                        kind: Some(pattern.kind),
                        row,
                        times,
                    });
                }
                for &(other, _) in &pattern.counts[at + 1..] {
                    add(Split::Both(row, other));
                }
            }
        }
        let full = self.split_rows.len() >= MOST_SPLIT_ROWS;
        let mut sorts: [Vec<(i64, Split, i64)>; 5] = Default::default();
        for (split, value) in sums {
            let part = value.rem_euclid(PARTS);
            if part.min(PARTS - part) <= NEARLY {
                continue;
            }
            let sort = match split {
                Split::Sticks | Split::Kind(_) => 0,
                Split::Holds { kind: Some(_), .. } => 1,
                Split::Holds { kind: None, .. } => 2,
                Split::Both(..) => 3,
                Split::One(_) => 4,
            };
            if full && !matches!(split, Split::One(_)) && !self.split_rows.contains_key(&split) {
                continue;
            }
            sorts[sort].push(((part * 2 - PARTS).abs(), split, value));
        }
        let shares = [
            most,
            most.div_euclid(3),
            most.div_euclid(3),
            most.div_euclid(3),
            1,
        ];
        let mut chosen: Vec<(Split, i64)> = Vec::new();
        let mut seen: BTreeSet<Split> = BTreeSet::new();
        for (sort, share) in sorts.iter_mut().zip(shares) {
            sort.sort_unstable();
            for &(_, split, value) in sort.iter().take(share) {
                if chosen.len() < most && seen.insert(split) {
                    chosen.push((split, value));
                }
            }
        }
        chosen
    }
}
