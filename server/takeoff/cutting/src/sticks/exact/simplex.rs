//! A linear program over whole-number columns, solved in floats by the bounded simplex method.
//!
//! This is the one file of the core with floats, and nothing it says is taken as true. It proposes: duals come out
//! rounded to whole numbers, values as parts of 2^20, and whatever is claimed from them is worked out again in whole
//! numbers by who asked. Minimizes cost over columns and rows with bounds on both.
//!
//! Source: the bounded primal and dual simplex methods (Dantzig 1963; Lemke 1954), with an explicit inverse and the
//! two-pass ratio test of Harris 1973.

#![expect(
    clippy::float_arithmetic,
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    reason = "the relaxation only proposes; every claim is proved in whole numbers elsewhere"
)]

mod inverse;
mod matrix;
mod method;

pub(super) use matrix::{Bounds, Column, Matrix};

/// Stands for no bound.
pub(super) const FAR: i64 = 1 << 40;

/// Values of columns come in this many parts of one.
pub(super) const PARTS: i64 = 1 << 20;

/// Multipliers of rounding cuts stay below this, whatever the floats did.
const MOST_MULTIPLIER: i64 = 1 << 40;
const PIVOTS_BETWEEN_FRESH_STARTS: usize = 120;
const DUAL_SLACK: f64 = 1e-9;
const PRIMAL_SLACK: f64 = 1e-8;
const SMALLEST_PIVOT: f64 = 1e-8;

/// How a run of the method ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Ended {
    /// The least cost, as far as floats can tell.
    Optimal,
    /// The duals already give a cost above the limit that was set.
    AboveLimit,
    /// No solution; the duals have been moved along the ray that shows it.
    NoSolution,
    /// Too many pivots, or the budget is spent: the duals are whatever they were.
    Unfinished,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Lower,
    Upper,
    Basic,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Variable {
    Column(usize),
    /// The sum of a row, as a variable of its own with coefficient -1 there.
    Row(usize),
}

/// A place to come back to, in full: no work, but as much memory as the inverse.
pub(super) struct Standing {
    snapshot: Snapshot,
    inverse: Vec<f64>,
    basic_values: Vec<f64>,
    duals: Vec<f64>,
    reduced: Vec<f64>,
    pivots: usize,
}

impl Standing {
    /// The part that can be kept for many.
    pub(super) fn into_snapshot(self) -> Snapshot {
        self.snapshot
    }
}

/// A place to come back to by working everything out again.
#[derive(Clone)]
pub(super) struct Snapshot {
    basis: Vec<Variable>,
    columns: Vec<Place>,
    rows: Vec<Place>,
}

/// The program and where its solution stands.
#[derive(Clone)]
pub(super) struct Simplex {
    matrix: Matrix,
    row_bounds: Vec<Bounds>,
    column_places: Vec<Place>,
    row_places: Vec<Place>,
    basis: Vec<Variable>,
    /// Inverse of the basis, row after row.
    inverse: Vec<f64>,
    basic_values: Vec<f64>,
    duals: Vec<f64>,
    reduced: Vec<f64>,
    /// Costs are divided by this.
    unit: f64,
    pivots: usize,
    values_stale: bool,
    duals_stale: bool,
}

impl Simplex {
    /// An empty program whose costs are about as large as `unit`.
    pub(super) fn new(unit: i64) -> Self {
        Self {
            matrix: Matrix::default(),
            row_bounds: Vec::new(),
            column_places: Vec::new(),
            row_places: Vec::new(),
            basis: Vec::new(),
            inverse: Vec::new(),
            basic_values: Vec::new(),
            duals: Vec::new(),
            reduced: Vec::new(),
            unit: unit.max(1) as f64,
            pivots: 0,
            values_stale: true,
            duals_stale: true,
        }
    }

    /// All columns.
    pub(super) fn columns(&self) -> &[Column] {
        self.matrix.columns()
    }

    /// Bounds of all rows.
    pub(super) fn row_bounds(&self) -> &[Bounds] {
        &self.row_bounds
    }

    /// Adds a row with these coefficients of the columns that are there; gives its position.
    pub(super) fn add_row(&mut self, bounds: Bounds, coefficients: &[(usize, i32)]) -> usize {
        let (row, old) = (self.row_bounds.len(), self.basis.len());
        let mut last = vec![0.0; old + 1];
        for (at, &variable) in self.basis.iter().enumerate() {
            let Variable::Column(column) = variable else {
                continue;
            };
            let Ok(found) = coefficients.binary_search_by_key(&column, |&(column, _)| column)
            else {
                continue;
            };
            let factor = f64::from(coefficients[found].1);
            for (sum, part) in last.iter_mut().zip(&self.inverse[at * old..(at + 1) * old]) {
                *sum += factor * part;
            }
        }
        last[old] = -1.0;
        let mut inverse = Vec::with_capacity((old + 1) * (old + 1));
        for at in 0..old {
            inverse.extend_from_slice(&self.inverse[at * old..(at + 1) * old]);
            inverse.push(0.0);
        }
        inverse.extend(last);
        self.inverse = inverse;
        self.matrix.add_row(coefficients);
        self.row_bounds.push(bounds);
        self.row_places.push(Place::Basic);
        self.basis.push(Variable::Row(row));
        self.duals.push(0.0);
        self.values_stale = true;
        row
    }

    /// Takes the last row away again and goes back to where it stood before the row was there.
    pub(super) fn pop_row(&mut self, standing: &Standing) {
        self.matrix.pop_row();
        self.row_bounds.pop();
        self.take_up(standing);
    }

    /// Where the solution stands, with all that was worked out for it.
    pub(super) fn standing(&mut self) -> Standing {
        self.refresh();
        Standing {
            snapshot: self.snapshot(),
            inverse: self.inverse.clone(),
            basic_values: self.basic_values.clone(),
            duals: self.duals.clone(),
            reduced: self.reduced.clone(),
            pivots: self.pivots,
        }
    }

    /// Goes back to where it stood; rows have to be the same, bounds are as they are now, and columns that have come since
    /// are as if just added.
    pub(super) fn take_up(&mut self, standing: &Standing) {
        self.basis.clone_from(&standing.snapshot.basis);
        self.column_places.clone_from(&standing.snapshot.columns);
        self.row_places.clone_from(&standing.snapshot.rows);
        self.inverse.clone_from(&standing.inverse);
        self.basic_values.clone_from(&standing.basic_values);
        self.duals.clone_from(&standing.duals);
        self.reduced.clone_from(&standing.reduced);
        self.pivots = standing.pivots;
        for at in self.column_places.len()..self.columns().len() {
            let column = &self.columns()[at];
            let sum: f64 = column
                .entries
                .iter()
                .map(|&(row, factor)| self.duals[row] * f64::from(factor))
                .sum();
            let reduced = column.cost as f64 / self.unit - sum;
            self.reduced.push(reduced);
            self.column_places.push(Place::Lower);
        }
        self.values_stale = true;
        self.duals_stale = false;
    }

    /// Adds a column at its lower bound; gives its position.
    pub(super) fn add_column(&mut self, column: Column) -> usize {
        let mut reduced = column.cost as f64 / self.unit;
        for &(row, factor) in &column.entries {
            reduced -= self.duals[row] * f64::from(factor);
        }
        if column.bounds.0 != 0 {
            self.values_stale = true;
        }
        self.column_places.push(Place::Lower);
        self.reduced.push(reduced);
        self.matrix.add_column(column)
    }

    /// Sets what a column may be.
    pub(super) fn bound_column(&mut self, column: usize, bounds: Bounds) {
        if self.columns()[column].bounds == bounds {
            return;
        }
        self.matrix.bound_column(column, bounds);
        if self.column_places[column] != Place::Basic {
            self.values_stale = true;
        }
    }

    /// Sets what the sum of a row may be.
    pub(super) fn bound_row(&mut self, row: usize, bounds: Bounds) {
        if self.row_bounds[row] == bounds {
            return;
        }
        self.row_bounds[row] = bounds;
        if self.row_places[row] == Place::Lower && bounds.0 <= -FAR {
            self.row_places[row] = Place::Upper;
        }
        if self.row_places[row] == Place::Upper && bounds.1 >= FAR {
            self.row_places[row] = Place::Lower;
        }
        self.values_stale = true;
    }

    /// The duals as whole numbers: cost per unit of each row, times `scale`.
    pub(super) fn duals(&self, scale: i64) -> Vec<i64> {
        let most = (1_i64 << 50) as f64;
        let factor = self.unit * scale as f64;
        self.duals
            .iter()
            .map(|dual| (dual * factor).round().clamp(-most, most) as i64)
            .collect()
    }

    /// The values of all columns in parts of one.
    pub(super) fn values(&self) -> Vec<i64> {
        let mut values: Vec<i64> = self
            .columns()
            .iter()
            .zip(&self.column_places)
            .map(|(column, place)| match place {
                Place::Upper => column.bounds.1 * PARTS,
                _ => column.bounds.0 * PARTS,
            })
            .collect();
        for (&variable, &value) in self.basis.iter().zip(&self.basic_values) {
            if let Variable::Column(column) = variable {
                // Floats that broke down say anything; what is made of them has to be a value all the same.
                let (low, high) = self.columns()[column].bounds;
                let parts = (value * PARTS as f64).round() as i64;
                values[column] = parts.clamp(low * PARTS, high * PARTS);
            }
        }
        values
    }

    /// The cost of the present values in parts of one, as far as floats can tell.
    pub(super) fn cost_in_parts(&self) -> i128 {
        let most = (1_i128 << 100) as f64;
        (self.objective() * self.unit * PARTS as f64).clamp(-most, most) as i128
    }

    /// The cost of the present values, rounded up to the whole, as far as floats can tell.
    pub(super) fn cost(&self) -> i64 {
        (self.objective() * self.unit - 1e-6).ceil() as i64
    }

    /// For each row of the inverse that belongs to a column with a broken value, nearest to a half first: its
    /// multipliers in `parts` of one, rounded down. What a rounding cut can be made of.
    pub(super) fn broken_rows(&self, most: usize, parts: i64) -> Vec<Vec<i64>> {
        let m = self.basis.len();
        let mut broken: Vec<(i64, usize)> = Vec::new();
        for (at, &variable) in self.basis.iter().enumerate() {
            let part = self.basic_values[at] - self.basic_values[at].floor();
            let from_half = ((part - 0.5).abs() * PARTS as f64) as i64;
            if matches!(variable, Variable::Column(_)) && from_half < (PARTS >> 1) - (PARTS >> 3) {
                broken.push((from_half, at));
            }
        }
        broken.sort_unstable();
        broken
            .into_iter()
            .take(most)
            .map(|(_, at)| {
                self.inverse[at * m..(at + 1) * m]
                    .iter()
                    .map(|&multiplier| {
                        let whole = (multiplier * parts as f64 + 1e-3).floor() as i64;
                        whole.clamp(-MOST_MULTIPLIER, MOST_MULTIPLIER)
                    })
                    .collect()
            })
            .collect()
    }

    /// Whether the sum of a row stands at its greatest value.
    pub(super) fn is_at_most(&self, row: usize) -> bool {
        self.row_places[row] == Place::Upper
    }

    /// Keeps these columns alone; those in the basis stay in any case. Gives the old position of each that stays.
    pub(super) fn keep_columns(&mut self, keep: impl Fn(usize) -> bool) -> Vec<usize> {
        let stay: Vec<usize> = (0..self.columns().len())
            .filter(|&at| keep(at) || self.column_places[at] == Place::Basic)
            .collect();
        let mut new_place = vec![usize::MAX; self.columns().len()];
        for (new, &old) in stay.iter().enumerate() {
            new_place[old] = new;
        }
        self.matrix.keep_columns(&stay);
        self.column_places = stay.iter().map(|&at| self.column_places[at]).collect();
        self.reduced = stay.iter().map(|&at| self.reduced[at]).collect();
        for variable in &mut self.basis {
            if let Variable::Column(column) = variable {
                *column = new_place[*column];
            }
        }
        self.values_stale = true;
        stay
    }

    /// Keeps these rows alone; those that bind stay in any case. Gives the old position of each that stays.
    pub(super) fn keep_rows(&mut self, keep: impl Fn(usize) -> bool) -> Vec<usize> {
        let stay: Vec<usize> = (0..self.row_bounds.len())
            .filter(|&at| keep(at) || self.row_places[at] != Place::Basic)
            .collect();
        let mut new_place = vec![usize::MAX; self.row_bounds.len()];
        for (new, &old) in stay.iter().enumerate() {
            new_place[old] = new;
        }
        self.matrix.keep_rows(&stay);
        self.row_bounds = stay.iter().map(|&at| self.row_bounds[at]).collect();
        self.row_places = stay.iter().map(|&at| self.row_places[at]).collect();
        self.basis.retain(
            |variable| !matches!(variable, Variable::Row(row) if new_place[*row] == usize::MAX),
        );
        for variable in &mut self.basis {
            if let Variable::Row(row) = variable {
                *row = new_place[*row];
            }
        }
        self.fresh_start();
        stay
    }

    /// Whether the variable of a row is in the basis: the row does not bind.
    pub(super) fn is_loose(&self, row: usize) -> bool {
        self.row_places[row] == Place::Basic
    }

    /// Where the solution stands.
    pub(super) fn snapshot(&self) -> Snapshot {
        Snapshot {
            basis: self.basis.clone(),
            columns: self.column_places.clone(),
            rows: self.row_places.clone(),
        }
    }

    /// Goes back to a snapshot; rows and columns that have come since are as if just added.
    pub(super) fn restore(&mut self, snapshot: &Snapshot) {
        self.basis.clone_from(&snapshot.basis);
        self.column_places.clone_from(&snapshot.columns);
        self.column_places
            .resize(self.columns().len(), Place::Lower);
        self.row_places.clone_from(&snapshot.rows);
        for row in self.row_places.len()..self.row_bounds.len() {
            self.row_places.push(Place::Basic);
            self.basis.push(Variable::Row(row));
        }
        self.fresh_start();
    }

    fn objective(&self) -> f64 {
        let mut sum = 0.0;
        for (column, place) in self.columns().iter().zip(&self.column_places) {
            let at = match place {
                Place::Lower => column.bounds.0,
                Place::Upper => column.bounds.1,
                Place::Basic => 0,
            };
            if at != 0 {
                sum += column.cost as f64 * at as f64;
            }
        }
        for (&variable, &value) in self.basis.iter().zip(&self.basic_values) {
            if let Variable::Column(column) = variable {
                sum += self.columns()[column].cost as f64 * value;
            }
        }
        sum / self.unit
    }

    fn bounds_of(&self, variable: Variable) -> Bounds {
        match variable {
            Variable::Column(column) => self.columns()[column].bounds,
            Variable::Row(row) => self.row_bounds[row],
        }
    }

    fn place_of(&self, variable: Variable) -> Place {
        match variable {
            Variable::Column(column) => self.column_places[column],
            Variable::Row(row) => self.row_places[row],
        }
    }

    fn set_place(&mut self, variable: Variable, place: Place) {
        match variable {
            Variable::Column(column) => self.column_places[column] = place,
            Variable::Row(row) => self.row_places[row] = place,
        }
    }

    fn reduced_of(&self, variable: Variable) -> f64 {
        match variable {
            Variable::Column(column) => self.reduced[column],
            Variable::Row(row) => self.duals[row],
        }
    }

    fn value_outside(&self, variable: Variable) -> f64 {
        let (low, high) = self.bounds_of(variable);
        match self.place_of(variable) {
            Place::Lower => low as f64,
            Place::Upper => high as f64,
            Place::Basic => 0.0,
        }
    }
}
