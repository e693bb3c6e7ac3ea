//! The inverse of the basis, and what is worked out with it: values, duals and reduced costs.

use super::{PIVOTS_BETWEEN_FRESH_STARTS, Place, Simplex, Variable};

impl Simplex {
    pub(super) fn refresh(&mut self) {
        if self.pivots >= PIVOTS_BETWEEN_FRESH_STARTS || self.duals_stale {
            self.fresh_start();
        } else if self.values_stale {
            self.work_out_values();
        }
    }

    /// The inverse times the column of a variable.
    pub(super) fn through_inverse(&self, variable: Variable) -> Vec<f64> {
        let m = self.basis.len();
        let mut out = vec![0.0; m];
        match variable {
            Variable::Column(column) => {
                let entries = &self.columns()[column].entries;
                for (at, sum) in out.iter_mut().enumerate() {
                    let inverse = &self.inverse[at * m..(at + 1) * m];
                    *sum = entries
                        .iter()
                        .map(|&(row, factor)| inverse[row] * f64::from(factor))
                        .sum();
                }
            }
            Variable::Row(row) => {
                for (at, sum) in out.iter_mut().enumerate() {
                    *sum = -self.inverse[at * m + row];
                }
            }
        }
        out
    }

    /// The variable `entering` takes the place of the basic variable of `row`, `step` away from its bound.
    pub(super) fn pivot(
        &mut self,
        row: usize,
        entering: Variable,
        column: &[f64],
        step: f64,
        leaves_at: Place,
        along: Option<&[f64]>,
    ) {
        let computed;
        let along = if let Some(along) = along {
            along
        } else {
            computed = self.row_along(row);
            &computed
        };
        let value = self.value_outside(entering) + step;
        let dual_step = self.reduced_of(entering) / column[row];
        let m = self.basis.len();
        for (reduced, slope) in self.reduced.iter_mut().zip(along) {
            *reduced -= dual_step * slope;
        }
        for (dual, multiplier) in self
            .duals
            .iter_mut()
            .zip(&self.inverse[row * m..(row + 1) * m])
        {
            *dual += dual_step * multiplier;
        }
        for (basic, slope) in self.basic_values.iter_mut().zip(column) {
            *basic -= slope * step;
        }
        let leaving = self.basis[row];
        if let Variable::Column(left) = leaving {
            self.reduced[left] = -dual_step;
        }
        if let Variable::Column(entered) = entering {
            self.reduced[entered] = 0.0;
        }
        self.set_place(leaving, leaves_at);
        self.set_place(entering, Place::Basic);
        self.basis[row] = entering;
        self.basic_values[row] = value;
        self.eliminate(row, column);
        self.pivots += 1;
        if self.pivots >= PIVOTS_BETWEEN_FRESH_STARTS {
            self.fresh_start();
        }
    }

    /// Turns the inverse so that `column` becomes the unit column of `row`.
    pub(super) fn eliminate(&mut self, row: usize, column: &[f64]) {
        let m = column.len();
        let pivot = column[row];
        let mut own: Vec<f64> = self.inverse[row * m..(row + 1) * m].to_vec();
        for multiplier in &mut own {
            *multiplier /= pivot;
        }
        for (at, &slope) in column.iter().enumerate() {
            if at == row || slope == 0.0 {
                continue;
            }
            for (multiplier, own) in self.inverse[at * m..(at + 1) * m].iter_mut().zip(&own) {
                *multiplier -= slope * own;
            }
        }
        self.inverse[row * m..(row + 1) * m].copy_from_slice(&own);
    }

    /// Works out inverse, values and duals from the basis alone. A column that has become dependent leaves the basis.
    pub(super) fn fresh_start(&mut self) {
        let m = self.row_bounds.len();
        let wanted: Vec<Variable> = self.basis.clone();
        self.inverse = vec![0.0; m * m];
        let mut holder: Vec<Option<Variable>> = vec![None; m];
        for at in 0..m {
            self.inverse[at * m + at] = -1.0;
        }
        self.basis = (0..m).map(Variable::Row).collect();
        let mut columns: Vec<usize> = Vec::new();
        for &variable in &wanted {
            match variable {
                Variable::Row(row) => holder[row] = Some(variable),
                Variable::Column(column) => columns.push(column),
            }
        }
        columns.sort_by_key(|&column| (self.columns()[column].entries.len(), column));
        for column in columns {
            let through = self.through_inverse(Variable::Column(column));
            let mut best: Option<(usize, f64)> = None;
            for (row, &slope) in through.iter().enumerate() {
                if holder[row].is_none()
                    && best.is_none_or(|(_, so_far)| slope.abs() > so_far.abs())
                {
                    best = Some((row, slope));
                }
            }
            match best {
                Some((row, slope)) if slope.abs() > 1e-9 => {
                    self.eliminate(row, &through);
                    self.basis[row] = Variable::Column(column);
                    holder[row] = Some(Variable::Column(column));
                }
                _ => self.column_places[column] = Place::Lower,
            }
        }
        for (place, held) in self.row_places.iter_mut().zip(&holder) {
            if held.is_none() {
                *place = Place::Basic;
            }
        }
        self.pivots = 0;
        self.duals_stale = false;
        self.work_out_duals();
        self.work_out_values();
    }

    pub(super) fn work_out_duals(&mut self) {
        let m = self.basis.len();
        self.duals = vec![0.0; m];
        for (at, &variable) in self.basis.iter().enumerate() {
            if let Variable::Column(column) = variable {
                let cost = self.columns()[column].cost as f64 / self.unit;
                for (dual, multiplier) in self
                    .duals
                    .iter_mut()
                    .zip(&self.inverse[at * m..(at + 1) * m])
                {
                    *dual += cost * multiplier;
                }
            }
        }
        self.work_out_reduced();
    }

    pub(super) fn work_out_reduced(&mut self) {
        for (at, column) in self.matrix.columns().iter().enumerate() {
            let mut reduced = column.cost as f64 / self.unit;
            for &(row, factor) in &column.entries {
                reduced -= self.duals[row] * f64::from(factor);
            }
            self.reduced[at] = if self.column_places[at] == Place::Basic {
                0.0
            } else {
                reduced
            };
        }
    }

    pub(super) fn work_out_values(&mut self) {
        let m = self.basis.len();
        let mut sums = vec![0.0; m];
        for (at, column) in self.matrix.columns().iter().enumerate() {
            let value = match self.column_places[at] {
                Place::Basic => continue,
                Place::Lower => column.bounds.0,
                Place::Upper => column.bounds.1,
            };
            if value != 0 {
                for &(row, factor) in &column.entries {
                    sums[row] -= f64::from(factor) * value as f64;
                }
            }
        }
        for (row, sum) in sums.iter_mut().enumerate() {
            if self.row_places[row] != Place::Basic {
                *sum += self.value_outside(Variable::Row(row));
            }
        }
        self.basic_values = self
            .inverse
            .chunks_exact(m.max(1))
            .map(|inverse| inverse.iter().zip(&sums).map(|(a, b)| a * b).sum())
            .collect();
        self.values_stale = false;
    }
}
