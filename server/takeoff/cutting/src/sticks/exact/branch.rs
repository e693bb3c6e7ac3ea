//! Branch and bound over a list of patterns that is known to be complete.
//!
//! Each node's bound is worked out in whole numbers from the duals that the floats propose, so a node is closed by
//! proof. Nodes are split on how many sticks there are, of a kind, that hold a size, or that hold a size so many times.

mod split;

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::budget::Budget;
use super::cuts::cuts;
use super::dive::tidied;
use super::greedy;
use super::problem::{Counts, Pattern, Plan, Problem};
use super::simplex::{Bounds, Column, Ended, FAR, PARTS, Simplex, Snapshot, Standing};
use split::Split;

/// Values this near to a whole number, in parts, are taken for it when a node is split.
const NEARLY: i64 = PARTS >> 13;

/// What a search is to make least.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Goal {
    /// Cents.
    Cost,
    /// Sticks, at no more cents than this.
    Sticks {
        /// Cents.
        at_most: i64,
    },
}

/// How a search ended.
pub(super) struct Searched {
    /// The best plan that beats what was to be beaten.
    pub(super) plan: Option<Plan>,
    /// No plan made of these patterns has less than this (cents or sticks).
    pub(super) bound: i64,
    /// Nodes looked at.
    pub(super) nodes: usize,
}

/// Looks for the best plan made of `list` with less than `beat` (cents or sticks).
pub(super) fn search(
    problem: &Problem,
    list: &[(usize, Counts)],
    goal: Goal,
    beat: i64,
    most_nodes: usize,
    budget: &mut Budget<'_>,
) -> Searched {
    let mut tree = Tree::new(problem, list, goal, beat);
    let bound = tree.run(most_nodes, budget);
    Searched {
        plan: tree.plan,
        bound: bound.min(tree.beat),
        nodes: tree.nodes,
    }
}

#[derive(Clone, Copy, Debug)]
enum Change {
    Row(usize, Bounds),
    Column(usize, Bounds),
}

struct Node {
    changes: Vec<Change>,
    snapshot: Snapshot,
}

struct Tree<'a> {
    problem: &'a Problem,
    goal: Goal,
    /// Only less than this is of interest.
    beat: i64,
    /// All amounts are multiples of this.
    step: i64,
    scale: i64,
    lp: Simplex,
    patterns: Vec<Pattern>,
    split_rows: BTreeMap<Split, usize>,
    /// Changes now in force, with the bounds from before.
    undo: Vec<Change>,
    plan: Option<Plan>,
    nodes: usize,
}

impl<'a> Tree<'a> {
    fn new(problem: &'a Problem, list: &[(usize, Counts)], goal: Goal, beat: i64) -> Self {
        let unit = match goal {
            Goal::Cost => problem.dearest(),
            Goal::Sticks { .. } => 1,
        };
        let mut lp = Simplex::new(unit);
        let (rows, kinds) = (problem.sizes.len(), problem.kinds.len());
        for &count in &problem.counts {
            lp.add_row((count, FAR), &[]);
        }
        for kind in &problem.kinds {
            lp.add_row((0, kind.limit.unwrap_or(FAR)), &[]);
        }
        lp.add_row((0, FAR), &[]);
        if let Goal::Sticks { at_most } = goal {
            lp.add_row((0, at_most), &[]);
        }
        let mut tree = Self {
            problem,
            goal,
            beat,
            step: if goal == Goal::Cost { problem.step } else { 1 },
            scale: if goal == Goal::Cost {
                problem.scale
            } else {
                1 << 24
            },
            lp,
            patterns: Vec::new(),
            split_rows: BTreeMap::new(),
            undo: Vec::new(),
            plan: None,
            nodes: 0,
        };
        for kind in 0..kinds {
            tree.split_rows.insert(Split::Kind(kind), rows + kind);
        }
        tree.split_rows.insert(Split::Sticks, rows + kinds);
        for (kind, counts) in list {
            let price = problem.kinds[*kind].price;
            let mut entries: Vec<(usize, i32)> = counts
                .iter()
                .map(|&(row, n)| (row, i32::try_from(n).unwrap_or(i32::MAX)))
                .collect();
            entries.push((rows + kind, 1));
            entries.push((rows + kinds, 1));
            if let (Goal::Sticks { .. }, Ok(price)) = (goal, i32::try_from(price))
                && price != 0
            {
                entries.push((rows + kinds + 1, price));
            }
            let useful = counts
                .iter()
                .map(|&(row, n)| -(-problem.counts[row]).div_euclid(n))
                .max()
                .unwrap_or(0);
            tree.lp.add_column(Column {
                cost: if goal == Goal::Cost { price } else { 1 },
                entries,
                bounds: (0, useful.min(problem.most_of(*kind))),
            });
            tree.patterns.push(Pattern {
                kind: *kind,
                counts: counts.clone(),
            });
        }
        tree
    }

    /// Runs until nothing is open, or as far as it goes; gives the least bound of what is still open.
    fn run(&mut self, most_nodes: usize, budget: &mut Budget<'_>) -> i64 {
        let Some(root) = self.solve(usize::MAX, budget) else {
            return self.beat;
        };
        let root = self.cut(root, budget);
        let Some(root) = root else {
            return self.beat;
        };
        let mut open: BTreeMap<(i64, usize), Node> = BTreeMap::new();
        let mut names = 0;
        let mut current: Option<(i64, Vec<Change>)> = Some((root, Vec::new()));
        loop {
            open.retain(|&(bound, _), _| bound < self.beat);
            let (bound, changes) = if let Some(current) = current.take() {
                current
            } else {
                let Some(((bound, _), node)) = open.pop_first() else {
                    return self.beat;
                };
                self.undo_all();
                for &change in &node.changes {
                    self.apply(change);
                }
                self.lp.restore(&node.snapshot);
                let Some(again) = self.solve(usize::MAX, budget) else {
                    continue;
                };
                (bound.max(again), node.changes)
            };
            self.nodes += 1;
            let floor = open
                .first_key_value()
                .map_or(bound, |(key, _)| key.0.min(bound));
            if self.nodes > most_nodes || !budget.goes_on() {
                return floor;
            }
            self.round();
            if bound >= self.beat {
                continue;
            }
            let depth = changes.len();
            let Some((split, value)) = self.choose(depth, budget) else {
                // All values are whole, and yet the plan they make is no better: only floats say that. Leave it open.
                return floor;
            };
            let at = self.split_change(split);
            let standing = self.lp.standing();
            let mut children: Vec<(i64, Vec<Change>, Standing)> = Vec::new();
            for up in [false, true] {
                let change = Self::narrowed(at, value, up);
                let before = self.force(change);
                if let Some(child) = self.solve(usize::MAX, budget) {
                    self.round();
                    if child.max(bound) < self.beat {
                        let list = changes.iter().copied().chain([change]).collect();
                        children.push((child.max(bound), list, self.lp.standing()));
                    }
                }
                self.force(before);
                self.lp.take_up(&standing);
            }
            children.sort_by_key(|child| child.0);
            let mut children = children.into_iter();
            if let Some((bound, list, standing)) = children.next() {
                let last = *list.last().expect("a child has the change that made it");
                self.apply(last);
                self.lp.take_up(&standing);
                current = Some((bound, list));
            }
            for (bound, changes, standing) in children {
                let snapshot = standing.into_snapshot();
                names += 1;
                open.insert((bound, names), Node { changes, snapshot });
            }
        }
    }

    /// Solves the program as it stands; its proven bound, or nothing if that is not below what is to be beaten.
    fn solve(&mut self, pivots: usize, budget: &mut Budget<'_>) -> Option<i64> {
        let pivots = pivots.min(400 + 10 * self.lp.row_bounds().len());
        let ended = self.lp.dual(Some(self.limit()), pivots, budget);
        let bound = self.amount_at_least(self.proven(&mut Vec::new()));
        if bound < self.beat && ended == Ended::NoSolution {
            // The ray was not clear enough in whole numbers: nothing is known of this node but what was known before.
            return Some(0);
        }
        (bound < self.beat).then_some(bound)
    }

    /// Above this, in parts, a node is of no interest: a quarter of a step above the last amount that is.
    fn limit(&self) -> i128 {
        let step = i128::from(self.step);
        (i128::from(self.beat) - step) * i128::from(PARTS) + step * i128::from(PARTS >> 2)
    }

    fn amount_at_least(&self, scaled: i128) -> i64 {
        let unit = i128::from(self.scale) * i128::from(self.step);
        let amount = -(-scaled).div_euclid(unit) * i128::from(self.step);
        i64::try_from(amount.max(0)).unwrap_or(i64::MAX)
    }

    /// The bound that the present duals prove, times scale, in whole numbers; and each column's reduced cost.
    ///
    /// For any duals: what a solution costs is the duals times its row sums and the reduced costs times its values, and
    /// each of these is at least what its bounds allow.
    fn proven(&self, reduced: &mut Vec<i128>) -> i128 {
        let mut duals = self.lp.duals(self.scale);
        let mut sum: i128 = 0;
        for (dual, &(low, high)) in duals.iter_mut().zip(self.lp.row_bounds()) {
            if (*dual > 0 && low <= -FAR) || (*dual < 0 && high >= FAR) {
                *dual = 0;
            }
            let worst = match (*dual).cmp(&0) {
                Ordering::Greater => low,
                Ordering::Less => high,
                Ordering::Equal => 0,
            };
            sum += i128::from(*dual) * i128::from(worst);
        }
        for column in self.lp.columns() {
            let mut left = i128::from(column.cost) * i128::from(self.scale);
            for &(row, factor) in &column.entries {
                left -= i128::from(duals[row]) * i128::from(factor);
            }
            let (low, high) = column.bounds;
            sum += left * i128::from(if left > 0 { low } else { high });
            reduced.push(left);
        }
        sum
    }

    /// Adds rounding cuts to the root as long as they raise the bound, and drops patterns that no better plan can use.
    fn cut(&mut self, mut bound: i64, budget: &mut Budget<'_>) -> Option<i64> {
        let fixed_rows = self.lp.row_bounds().len();
        let mut best = self.proven(&mut Vec::new());
        let mut flat = 0;
        for _ in 0..60 {
            self.round();
            self.drop_columns();
            let found = cuts(&self.lp, 12);
            if found.is_empty() || !budget.goes_on() {
                break;
            }
            for cut in found {
                self.lp.add_row((cut.least, FAR), &cut.coefficients);
            }
            bound = self.solve(usize::MAX, budget)?.max(bound);
            let now = self.proven(&mut Vec::new());
            let to_go = i128::from(self.beat - self.step) * i128::from(self.scale) - best;
            if (now - best) * 50 < to_go {
                flat += 1;
            } else {
                flat = 0;
            }
            best = best.max(now);
            if self.lp.row_bounds().len() > fixed_rows + 20 {
                self.lp.keep_rows(|row| row < fixed_rows);
            }
            if flat >= 4 {
                break;
            }
        }
        self.lp.keep_rows(|row| row < fixed_rows);
        bound = self.solve(usize::MAX, budget)?.max(bound);
        self.drop_columns();
        Some(bound)
    }

    /// Drops patterns that, used once, bring the bound to what is to be beaten.
    fn drop_columns(&mut self) {
        let mut reduced = Vec::new();
        let bound = self.proven(&mut reduced);
        let most = i128::from(self.beat - self.step) * i128::from(self.scale) - bound;
        if most < 0 {
            return;
        }
        let stay = self.lp.keep_columns(|column| reduced[column] <= most);
        self.patterns = stay.iter().map(|&at| self.patterns[at].clone()).collect();
    }

    /// Makes a plan of the present values: whole parts, and the rest packed simply. Keeps it if it beats what there is.
    fn round(&mut self) {
        let mut open = self.problem.counts.clone();
        let mut limits: Vec<i64> = (0..self.problem.kinds.len())
            .map(|kind| self.problem.most_of(kind))
            .collect();
        let mut sticks: Vec<(Pattern, i64)> = Vec::new();
        let mut broken: Vec<(i64, usize)> = Vec::new();
        let take = |column: usize,
                    n: i64,
                    open: &mut Vec<i64>,
                    limits: &mut Vec<i64>,
                    sticks: &mut Vec<(Pattern, i64)>| {
            let pattern = &self.patterns[column];
            for &(row, each) in &pattern.counts {
                open[row] = (open[row] - each * n).max(0);
            }
            limits[pattern.kind] -= n;
            sticks.push((pattern.clone(), n));
        };
        for (column, value) in self.lp.values().into_iter().enumerate() {
            let whole = (value + NEARLY).div_euclid(PARTS);
            let whole = whole.min(limits[self.patterns[column].kind]);
            if whole > 0 {
                take(column, whole, &mut open, &mut limits, &mut sticks);
            }
            let part = (value + NEARLY).rem_euclid(PARTS);
            if part > 2 * NEARLY {
                broken.push((part, column));
            }
        }
        broken.sort_by_key(|&(part, column)| (std::cmp::Reverse(part), column));
        for (part, column) in broken {
            let pattern = &self.patterns[column];
            let fits = pattern.counts.iter().all(|&(row, each)| open[row] >= each);
            if part * 2 > PARTS && fits && limits[pattern.kind] > 0 {
                take(column, 1, &mut open, &mut limits, &mut sticks);
            }
        }
        let Some(rest) = greedy::best_plan(self.problem, &open, &limits) else {
            return;
        };
        let plan = tidied(self.problem, sticks.into_iter().chain(rest.sticks));
        let amount = match self.goal {
            Goal::Cost => plan.cost(self.problem),
            Goal::Sticks { at_most } if plan.cost(self.problem) <= at_most => plan.count(),
            Goal::Sticks { .. } => return,
        };
        if amount < self.beat {
            self.beat = amount;
            self.plan = Some(plan);
        }
    }

    fn apply(&mut self, change: Change) {
        let before = self.force(change);
        self.undo.push(before);
    }

    /// Sets bounds; gives those from before.
    fn force(&mut self, change: Change) -> Change {
        match change {
            Change::Row(row, bounds) => {
                let before = self.lp.row_bounds()[row];
                self.lp.bound_row(row, bounds);
                Change::Row(row, before)
            }
            Change::Column(column, bounds) => {
                let before = self.lp.columns()[column].bounds;
                self.lp.bound_column(column, bounds);
                Change::Column(column, before)
            }
        }
    }

    fn undo_all(&mut self) {
        while let Some(before) = self.undo.pop() {
            self.force(before);
        }
    }
}
