//! The simplex method for sheets that together hold what is asked, with the inverse of the basis.
//!
//! What it does not do: give exact answers. Its numbers have a fixed point and are rounded down.
//!
//! Source: Dantzig and Orchard-Hays, "The product form for the inverse in the simplex method", Mathematical Tables and
//! Other Aids to Computation 8 (1954), 64 to 67; textbook method.

/// Digits behind the point.
const DIGITS: u32 = 32;

/// One, with its digits behind the point.
pub(super) const ONE: i64 = 1 << DIGITS;

/// No pivot is smaller.
const LEAST: i64 = ONE >> 16;

/// Columns in the basis, and what is used of each.
pub(super) struct Master {
    /// By column of the basis, its row of the inverse, and behind that how much of it is used.
    inverse: Vec<Vec<i64>>,
    costs: Vec<i64>,
}

impl Master {
    /// Each row asks for so much; at first each has a column of its own, at such a cost.
    pub(super) fn new(asked: &[u64], costs: Vec<i64>) -> Self {
        let n = asked.len();
        let row = |(at, &asked): (usize, &u64)| {
            let mut row = vec![0; n + 1];
            row[at] = ONE;
            row[n] = i64::try_from(asked).unwrap_or(i64::MAX).saturating_mul(ONE);
            row
        };
        Self {
            inverse: asked.iter().enumerate().map(row).collect(),
            costs,
        }
    }

    /// What one more of each row's demand would cost.
    pub(super) fn duals(&self) -> Vec<i64> {
        (0..self.costs.len()).map(|row| self.weighed(row)).collect()
    }

    /// What all columns used cost.
    pub(super) fn cost(&self) -> i64 {
        self.weighed(self.costs.len())
    }

    fn weighed(&self, row: usize) -> i64 {
        let each = self.inverse.iter().zip(&self.costs);
        each.map(|(own, &cost)| times(own[row], cost))
            .fold(0, i64::saturating_add)
    }

    /// Takes a column of rows and numbers in for the one that it uses up first; says whether there is one.
    pub(super) fn enter(&mut self, column: &[(usize, i64)], cost: i64) -> bool {
        let n = self.costs.len();
        let sum = |own: &Vec<i64>| {
            let each = column.iter().map(|&(row, n)| own[row].saturating_mul(n));
            each.fold(0, i64::saturating_add)
        };
        let uses: Vec<i64> = self.inverse.iter().map(sum).collect();
        let mut out: Option<usize> = None;
        for at in (0..n).filter(|&at| uses[at] > LEAST) {
            let sooner = |known: usize| {
                let reach = |one: usize, other: usize| {
                    i128::from(self.inverse[one][n].max(0)) * i128::from(uses[other])
                };
                (reach(at, known), uses[known]) < (reach(known, at), uses[at])
            };
            if out.is_none_or(sooner) {
                out = Some(at);
            }
        }
        let Some(out) = out else {
            return false;
        };
        let mut new = std::mem::take(&mut self.inverse[out]);
        for value in &mut new {
            *value = over(*value, uses[out]);
        }
        for (own, &uses) in self.inverse.iter_mut().zip(&uses) {
            if uses != 0 {
                for (value, new) in own.iter_mut().zip(&new) {
                    *value = value.saturating_sub(times(uses, *new));
                }
            }
        }
        self.inverse[out] = new;
        self.costs[out] = cost;
        true
    }
}

fn times(a: i64, b: i64) -> i64 {
    i64::try_from((i128::from(a) * i128::from(b)) >> DIGITS).unwrap_or(0)
}

fn over(a: i64, b: i64) -> i64 {
    i64::try_from((i128::from(a) << DIGITS).div_euclid(b.into())).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::{Master, ONE};

    /// Seven of one and five of the other; a sheet holds two of the first, or one of each.
    #[test]
    fn sheets_share_their_cost_out() {
        let mut master = Master::new(&[7, 5], vec![ONE, ONE]);
        assert_eq!(master.cost(), 12 * ONE);
        assert!(master.enter(&[(0, 2)], ONE));
        assert!(master.enter(&[(0, 1), (1, 1)], ONE));
        // Five of each together, and one sheet with the two firsts that are left.
        assert_eq!(master.cost(), 6 * ONE);
        assert_eq!(master.duals(), [ONE >> 1, ONE >> 1]);
        assert!(!master.enter(&[], ONE), "nothing goes for an empty sheet");
    }
}
