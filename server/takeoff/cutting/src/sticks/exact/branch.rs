//! Branch and bound over a list of patterns that is known to be complete.
//!
//! Few patterns of a long list are ever of use, so the program holds a part of it, and the rest waits in a pool: the same
//! rows, looked through for what would lower the cost after each solution. Each node's bound is worked out in whole numbers
//! with all patterns of the pool, from the duals that the floats propose, so a node is closed by proof. Nodes are split on
//! how many sticks there are, of a kind, that hold a size, or that hold a size so many times.

mod split;

use std::cmp::Ordering;
use std::collections::BTreeMap;

use super::budget::Budget;
use super::cuts::cuts;
use super::dive::tidied;
use super::greedy;
use super::master::Bound;
use super::problem::{Counts, Pattern, Plan, Problem};
use super::simplex::{Bounds, Column, Ended, FAR, Matrix, PARTS, Simplex, Snapshot, Standing};
use split::Split;

/// Values this near to a whole number, in parts, are taken for it when a node is split.
const NEARLY: i64 = PARTS >> 13;

/// So many columns are in the program at first; others come in as they are wanted, so many at once.
const ACTIVE_AT_FIRST: usize = 1_200;
const ACTIVE_AT_ONCE: usize = 150;

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

/// Looks for the best plan made of `list` (inside the gap of the bound `by`) with less than `beat` (cents or sticks).
pub(super) fn search(
    problem: &Problem,
    list: &[(usize, Counts)],
    by: &Bound,
    goal: Goal,
    beat: i64,
    most_nodes: usize,
    budget: &mut Budget<'_>,
) -> Searched {
    let mut tree = Tree::new(problem, list, by, goal, beat);
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
    /// All patterns, and a column for each. Whatever is claimed is worked out with all of them.
    patterns: Vec<Pattern>,
    pool: Matrix,
    /// The program, with the columns that were of use so far, the same rows as the pool, and for each column its place there.
    lp: Simplex,
    active: Vec<usize>,
    /// For each column of the pool its place in the program.
    place: Vec<Option<usize>>,
    split_rows: BTreeMap<Split, usize>,
    /// Changes now in force, with the bounds from before.
    undo: Vec<Change>,
    plan: Option<Plan>,
    nodes: usize,
}

impl<'a> Tree<'a> {
    fn new(
        problem: &'a Problem,
        list: &[(usize, Counts)],
        by: &Bound,
        goal: Goal,
        beat: i64,
    ) -> Self {
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
            pool: Matrix::default(),
            active: Vec::new(),
            place: Vec::new(),
            split_rows: BTreeMap::new(),
            undo: Vec::new(),
            plan: None,
            nodes: 0,
        };
        for kind in 0..kinds {
            tree.split_rows.insert(Split::Kind(kind), rows + kind);
        }
        tree.split_rows.insert(Split::Sticks, rows + kinds);
        for _ in 0..tree.lp.row_bounds().len() {
            tree.pool.add_row(&[]);
        }
        let mut losses: Vec<(i64, usize)> = Vec::new();
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
            let worth: i64 = counts.iter().map(|&(row, n)| by.worths[row] * n).sum();
            losses.push((by.best[*kind] - worth, losses.len()));
            tree.pool.add_column(Column {
                cost: if goal == Goal::Cost { price } else { 1 },
                entries,
                bounds: (0, useful.min(problem.most_of(*kind))),
            });
            tree.patterns.push(Pattern {
                kind: *kind,
                counts: counts.clone(),
            });
        }
        tree.place = vec![None; tree.patterns.len()];
        losses.sort_unstable();
        for &(_, column) in losses.iter().take(ACTIVE_AT_FIRST) {
            tree.activate(column);
        }
        tree
    }

    /// Puts a column of the pool into the program.
    fn activate(&mut self, column: usize) {
        if self.place[column].is_none() {
            self.place[column] = Some(self.active.len());
            self.active.push(column);
            self.lp.add_column(self.pool.columns()[column].clone());
        }
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
    ///
    /// Columns that would lower the cost come in from the pool until there are none.
    fn solve(&mut self, pivots: usize, budget: &mut Budget<'_>) -> Option<i64> {
        let pivots = pivots.min(400 + 10 * self.lp.row_bounds().len());
        let mut ended = self.lp.dual(Some(self.limit()), pivots, budget);
        let mut best: i128 = 0;
        loop {
            let (proven, reduced) = self.proven(budget);
            best = best.max(proven);
            let bound = self.amount_at_least(best);
            if bound >= self.beat {
                return None;
            }
            let wanted = self.wanted(&reduced);
            if wanted.is_empty() || !budget.goes_on() {
                // A ray may not be clear enough in whole numbers: then nothing is known but what was known before.
                return Some(if ended == Ended::NoSolution { 0 } else { bound });
            }
            for column in wanted {
                self.activate(column);
            }
            if ended == Ended::Optimal {
                ended = self.lp.primal(pivots, budget);
            }
            if ended != Ended::Optimal {
                ended = self.lp.dual(Some(self.limit()), pivots, budget);
            }
        }
    }

    /// Columns outside the program whose reduced costs are below zero, by more than the floats' noise; the lowest.
    fn wanted(&self, reduced: &[i64]) -> Vec<usize> {
        let noise = 16 + ((self.unit() * self.scale) >> 28);
        let mut wanted: Vec<(i64, usize)> = Vec::new();
        for (at, (&reduced, place)) in reduced.iter().zip(&self.place).enumerate() {
            if reduced < -noise && place.is_none() && self.pool.columns()[at].bounds.1 > 0 {
                wanted.push((reduced, at));
            }
        }
        wanted.sort_unstable();
        wanted.truncate(ACTIVE_AT_ONCE);
        wanted.into_iter().map(|(_, at)| at).collect()
    }

    /// What a column costs at most.
    fn unit(&self) -> i64 {
        match self.goal {
            Goal::Cost => self.problem.dearest(),
            Goal::Sticks { .. } => 1,
        }
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
    fn proven(&self, budget: &mut Budget<'_>) -> (i128, Vec<i64>) {
        let rows = self.pool.rows();
        budget.spend(rows.iter().map(|row| row.entries.len()).sum());
        // Any duals will do, so they are kept small enough that no sum below leaves 64 bits.
        let share = (1_i64 << 61).div_euclid(i64::try_from(rows.len()).unwrap_or(i64::MAX).max(1));
        let costs = self.pool.columns().iter();
        let mut reduced: Vec<i64> = costs.map(|column| column.cost * self.scale).collect();
        let mut sum: i128 = 0;
        let duals = self.lp.duals(self.scale);
        for ((&dual, &(low, high)), row) in duals.iter().zip(self.lp.row_bounds()).zip(rows) {
            let most = share.div_euclid(row.largest.max(1));
            let dual = dual.clamp(-most, most);
            let worst = match dual.cmp(&0) {
                Ordering::Greater => low,
                Ordering::Less => high,
                Ordering::Equal => continue,
            };
            if worst.abs() >= FAR {
                continue;
            }
            sum += i128::from(dual) * i128::from(worst);
            for &(column, factor) in &row.entries {
                reduced[column as usize] -= dual * i64::from(factor);
            }
        }
        for (&left, column) in reduced.iter().zip(self.pool.columns()) {
            let (low, high) = column.bounds;
            let worst = if left > 0 { low } else { high };
            if worst != 0 {
                sum += i128::from(left) * i128::from(worst);
            }
        }
        (sum, reduced)
    }

    /// Adds rounding cuts to the root as long as they raise the bound, and drops patterns that no better plan can use.
    fn cut(&mut self, mut bound: i64, budget: &mut Budget<'_>) -> Option<i64> {
        let fixed_rows = self.lp.row_bounds().len();
        let mut best = self.proven(budget).0;
        let mut flat = 0;
        for _ in 0..60 {
            self.round();
            self.drop_columns(budget);
            let found = cuts(&self.lp, 12);
            if found.is_empty() || !budget.goes_on() {
                break;
            }
            for cut in found {
                // Earlier ones of this round come after the rows that this one was made of.
                if let Some(all) = cut.coefficients(self.pool.columns()) {
                    self.add_row((cut.least, FAR), &all);
                }
            }
            bound = self.solve(usize::MAX, budget)?.max(bound);
            let now = self.proven(budget).0;
            let to_go = i128::from(self.beat - self.step) * i128::from(self.scale) - best;
            if (now - best) * 50 < to_go {
                flat += 1;
            } else {
                flat = 0;
            }
            best = best.max(now);
            if self.lp.row_bounds().len() > fixed_rows + 20 {
                self.keep_rows(fixed_rows);
            }
            if flat >= 4 {
                break;
            }
        }
        self.keep_rows(fixed_rows);
        bound = self.solve(usize::MAX, budget)?.max(bound);
        self.drop_columns(budget);
        Some(bound)
    }

    /// Adds a row with these coefficients of the columns of the pool.
    fn add_row(&mut self, bounds: Bounds, all: &[(usize, i32)]) -> usize {
        self.pool.add_row(all);
        let mut active: Vec<(usize, i32)> = all
            .iter()
            .filter_map(|&(column, factor)| Some((self.place[column]?, factor)))
            .collect();
        active.sort_unstable();
        self.lp.add_row(bounds, &active)
    }

    /// Drops the rows from `first` on that do not bind.
    fn keep_rows(&mut self, first: usize) {
        let stay = self.lp.keep_rows(|row| row < first);
        self.pool.keep_rows(&stay);
    }

    /// Drops patterns that, used once, bring the bound to what is to be beaten.
    fn drop_columns(&mut self, budget: &mut Budget<'_>) {
        let (bound, reduced) = self.proven(budget);
        let most = i128::from(self.beat - self.step) * i128::from(self.scale) - bound;
        if most < 0 {
            return;
        }
        let of_use = |column: usize| i128::from(reduced[column]) <= most;
        let active = self.lp.keep_columns(|at| of_use(self.active[at]));
        let kept: Vec<usize> = active.iter().map(|&at| self.active[at]).collect();
        let mut in_program = vec![None; self.patterns.len()];
        for (at, &column) in kept.iter().enumerate() {
            in_program[column] = Some(at);
        }
        let stay: Vec<usize> = (0..self.patterns.len())
            .filter(|&column| in_program[column].is_some() || of_use(column))
            .collect();
        self.place = stay.iter().map(|&column| in_program[column]).collect();
        self.active = vec![0; kept.len()];
        for (column, at) in self.place.iter().enumerate() {
            if let Some(at) = *at {
                self.active[at] = column;
            }
        }
        self.patterns = stay.iter().map(|&at| self.patterns[at].clone()).collect();
        self.pool.keep_columns(&stay);
    }

    /// The columns of the pool that are not zero now, with their values in parts; columns ascending.
    fn values(&self) -> Vec<(usize, i64)> {
        let values = self.lp.values().into_iter();
        let mut values: Vec<(usize, i64)> = values
            .zip(&self.active)
            .filter(|&(value, _)| value != 0)
            .map(|(value, &column)| (column, value))
            .collect();
        values.sort_unstable();
        values
    }

    /// Makes a plan of the present values: whole parts, and the rest packed simply. Keeps it if it beats what there is.
    fn round(&mut self) {
        let mut open = self.problem.counts.clone();
        let mut limits = self.problem.most();
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
        for (column, value) in self.values() {
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
                let before = self.pool.columns()[column].bounds;
                self.pool.bound_column(column, bounds);
                if let Some(at) = self.place[column] {
                    self.lp.bound_column(at, bounds);
                }
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
