//! The two methods themselves: which variable leaves, which enters, how far.

use super::super::budget::Budget;
use super::{
    Bounds, DUAL_SLACK, Ended, FAR, PARTS, PRIMAL_SLACK, Place, SMALLEST_PIVOT, Simplex, Variable,
};

impl Simplex {
    /// Lowers infeasibility until there is none, keeping the duals good: after bounds or rows have changed. Stops where
    /// the duals give a cost of `limit` (in parts) or more.
    pub(in super::super) fn dual(
        &mut self,
        limit: Option<i128>,
        most_pivots: usize,
        budget: &mut Budget<'_>,
    ) -> Ended {
        self.refresh();
        self.turn_to_good_sides();
        let limit = limit.map(|limit| limit as f64 / PARTS as f64 / self.unit);
        let mut objective = self.objective();
        for _ in 0..most_pivots {
            if limit.is_some_and(|limit| objective >= limit) {
                return Ended::AboveLimit;
            }
            let Some((row, target)) = self.most_broken() else {
                return Ended::Optimal;
            };
            let m = self.basis.len();
            if !budget.spend((m * m).div_euclid(4) + 8 * self.columns().len()) {
                return Ended::Unfinished;
            }
            let up = target > self.basic_values[row];
            let along = self.row_along(row);
            let Some((entering, slope)) = self.dual_ratio(row, up, &along) else {
                self.move_along_ray(row, target, up, limit.map(|limit| limit - objective));
                return Ended::NoSolution;
            };
            let column = self.through_inverse(entering);
            if (column[row] - slope).abs() > 1e-6 * (1.0 + slope.abs()) {
                if self.pivots == 0 {
                    return Ended::Unfinished;
                }
                self.fresh_start();
                self.turn_to_good_sides();
                objective = self.objective();
                continue;
            }
            let step = (self.basic_values[row] - target) / column[row];
            objective += self.reduced_of(entering) * step;
            let leaves_at = if up { Place::Lower } else { Place::Upper };
            self.pivot(row, entering, &column, step, leaves_at, Some(&along));
        }
        Ended::Unfinished
    }

    /// Lowers the cost from values that keep all bounds: after columns have been added.
    pub(in super::super) fn primal(
        &mut self,
        most_pivots: usize,
        budget: &mut Budget<'_>,
    ) -> Ended {
        self.refresh();
        let mut flat = 0;
        for _ in 0..most_pivots {
            let Some((entering, up)) = self.best_entering(flat > 200) else {
                return Ended::Optimal;
            };
            let m = self.basis.len();
            if !budget.spend((m * m).div_euclid(4) + 4 * self.columns().len()) {
                return Ended::Unfinished;
            }
            let column = self.through_inverse(entering);
            let sign = if up { 1.0 } else { -1.0 };
            let (low, high) = self.bounds_of(entering);
            let mut step = if high >= FAR || low <= -FAR {
                f64::INFINITY
            } else {
                (high - low) as f64
            };
            let mut leaving: Option<(usize, Place)> = None;
            let mut size = 0.0;
            for (at, &slope) in column.iter().enumerate() {
                let change = -slope * sign;
                if change.abs() < SMALLEST_PIVOT {
                    continue;
                }
                let (low, high) = self.bounds_of(self.basis[at]);
                let room = if change > 0.0 {
                    if high >= FAR {
                        continue;
                    }
                    high as f64 - self.basic_values[at]
                } else {
                    if low <= -FAR {
                        continue;
                    }
                    self.basic_values[at] - low as f64
                };
                let most = room.max(0.0) / change.abs();
                if most < step - 1e-10 || (most < step + 1e-10 && change.abs() > size) {
                    step = most.min(step);
                    size = change.abs();
                    leaving = Some((
                        at,
                        if change > 0.0 {
                            Place::Upper
                        } else {
                            Place::Lower
                        },
                    ));
                }
            }
            if step.is_infinite() {
                return Ended::Unfinished;
            }
            flat = if step > 1e-9 { 0 } else { flat + 1 };
            if let Some((row, leaves_at)) = leaving {
                self.pivot(row, entering, &column, step * sign, leaves_at, None);
            } else {
                for (value, slope) in self.basic_values.iter_mut().zip(&column) {
                    *value -= slope * step * sign;
                }
                self.set_place(entering, if up { Place::Upper } else { Place::Lower });
            }
        }
        Ended::Unfinished
    }

    /// Puts variables outside the basis on the bound where their reduced cost is good, if they have one there.
    fn turn_to_good_sides(&mut self) {
        let mut turned = false;
        for at in 0..self.columns().len() {
            let (low, high) = self.columns()[at].bounds;
            let better = match self.column_places[at] {
                Place::Lower if self.reduced[at] < -DUAL_SLACK && high < FAR && high > low => {
                    Place::Upper
                }
                Place::Upper if self.reduced[at] > DUAL_SLACK && high > low => Place::Lower,
                place => place,
            };
            turned |= better != self.column_places[at];
            self.column_places[at] = better;
        }
        for at in 0..self.row_bounds.len() {
            let (low, high) = self.row_bounds[at];
            let better = match self.row_places[at] {
                Place::Lower if self.duals[at] < -DUAL_SLACK && high < FAR && high > low => {
                    Place::Upper
                }
                Place::Upper if self.duals[at] > DUAL_SLACK && low > -FAR && high > low => {
                    Place::Lower
                }
                place => place,
            };
            turned |= better != self.row_places[at];
            self.row_places[at] = better;
        }
        if turned {
            self.work_out_values();
        }
    }

    /// The basic variable furthest outside its bounds, for how steep its row is, and the bound it should go to.
    fn most_broken(&self) -> Option<(usize, f64)> {
        let m = self.basis.len();
        let mut worst = 0.0;
        let mut found = None;
        for (at, &value) in self.basic_values.iter().enumerate() {
            let (low, high) = self.bounds_of(self.basis[at]);
            let (below, above) = (low as f64 - value, value - high as f64);
            let short = below.max(above);
            if short <= PRIMAL_SLACK {
                continue;
            }
            let inverse = &self.inverse[at * m..(at + 1) * m];
            let square: f64 = inverse
                .iter()
                .map(|multiplier| multiplier * multiplier)
                .sum();
            let steepness = short * short / square.max(1e-12);
            if steepness > worst {
                worst = steepness;
                found = Some((
                    at,
                    if below > above {
                        low as f64
                    } else {
                        high as f64
                    },
                ));
            }
        }
        found
    }

    /// The row of the inverse times each column; of those in the basis nobody asks.
    pub(super) fn row_along(&self, row: usize) -> Vec<f64> {
        let m = self.basis.len();
        let mut along = vec![0.0; self.columns().len()];
        for (&multiplier, row) in self.inverse[row * m..(row + 1) * m]
            .iter()
            .zip(self.matrix.rows())
        {
            if multiplier != 0.0 {
                for &(column, factor) in &row.entries {
                    along[column as usize] += multiplier * f64::from(factor);
                }
            }
        }
        along
    }

    /// Which variable enters for the basic variable of `row`, and its slope there; Harris's two passes.
    fn dual_ratio(&self, row: usize, up: bool, along: &[f64]) -> Option<(Variable, f64)> {
        let m = self.basis.len();
        let inverse = &self.inverse[row * m..(row + 1) * m];
        let sign = if up { -1.0 } else { 1.0 };
        let fits = |place: Place, slope: f64| match place {
            Place::Lower => slope * sign > SMALLEST_PIVOT,
            Place::Upper => slope * sign < -SMALLEST_PIVOT,
            Place::Basic => false,
        };
        let mut usable: Vec<(Variable, f64, f64)> = Vec::new();
        let mut most = f64::INFINITY;
        let mut offer = |variable: Variable, slope: f64, reduced: f64, (low, high): Bounds| {
            if low < high {
                usable.push((variable, slope, reduced.abs()));
                most = most.min((reduced.abs() + DUAL_SLACK) / slope.abs());
            }
        };
        for (at, (&slope, &place)) in along.iter().zip(&self.column_places).enumerate() {
            if fits(place, slope) {
                let bounds = self.columns()[at].bounds;
                offer(Variable::Column(at), slope, self.reduced[at], bounds);
            }
        }
        for (at, (&multiplier, &place)) in inverse.iter().zip(&self.row_places).enumerate() {
            if fits(place, -multiplier) {
                offer(
                    Variable::Row(at),
                    -multiplier,
                    self.duals[at],
                    self.row_bounds[at],
                );
            }
        }
        let mut best: Option<(Variable, f64)> = None;
        for &(variable, slope, reduced) in &usable {
            if reduced / slope.abs() <= most
                && best.is_none_or(|(_, so_far)| slope.abs() > so_far.abs())
            {
                best = Some((variable, slope));
            }
        }
        best
    }

    fn best_entering(&self, lowest_first: bool) -> Option<(Variable, bool)> {
        let mut worst = DUAL_SLACK;
        let mut found = None;
        let columns = (0..self.columns().len()).map(Variable::Column);
        let rows = (0..self.row_bounds.len()).map(Variable::Row);
        for variable in columns.chain(rows) {
            let (low, high) = self.bounds_of(variable);
            if low == high {
                continue;
            }
            let reduced = self.reduced_of(variable);
            let (gain, up) = match self.place_of(variable) {
                Place::Lower => (-reduced, true),
                Place::Upper => (reduced, false),
                Place::Basic => continue,
            };
            if gain > worst {
                found = Some((variable, up));
                if lowest_first {
                    break;
                }
                worst = gain;
            }
        }
        found
    }

    /// Moves the duals along the ray that shows that `row` cannot reach `target`, so far that they pass the limit.
    fn move_along_ray(&mut self, row: usize, target: f64, up: bool, to_limit: Option<f64>) {
        let m = self.basis.len();
        let short = (target - self.basic_values[row]).abs().max(1e-9);
        let length = (to_limit.unwrap_or(1.0).max(0.0) + 1.0) * 1.01 / short;
        let sign = if up { -length } else { length };
        for (dual, multiplier) in self
            .duals
            .iter_mut()
            .zip(&self.inverse[row * m..(row + 1) * m])
        {
            *dual += sign * multiplier;
        }
        self.duals_stale = true;
    }
}
