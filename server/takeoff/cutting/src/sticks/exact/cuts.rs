//! Rounding cuts: rows that every whole solution keeps and the broken one at hand does not.
//!
//! A cut is a sum of rows, each times a multiplier that is not below zero, with all coefficients rounded up and then the
//! right side too. The multipliers are whole numbers over a power of two, so a cut holds exactly, whatever the floats
//! that proposed them. Cuts may build on cuts.
//!
//! Source: Gomory 1958; Chvátal 1973.

use super::simplex::{Column, PARTS, Simplex};

/// Multipliers come in this many parts of one.
const CUT_PARTS: i64 = 1 << 16;

/// No coefficient of a cut is above this.
const LARGEST: i64 = 1 << 14;

/// A row that says: the sum is at least so much.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Cut {
    /// What each row is multiplied by, in parts.
    weights: Vec<i64>,
    /// Least sum.
    pub(super) least: i64,
}

impl Cut {
    /// The coefficient of any column of the same rows; nothing if it is too large.
    pub(super) fn coefficient(&self, column: &Column) -> Option<i32> {
        let weighted: i64 = column
            .entries
            .iter()
            .map(|&(row, factor)| {
                self.weights
                    .get(row)
                    .map_or(0, |weight| weight * i64::from(factor))
            })
            .sum();
        let coefficient = -(-weighted).div_euclid(CUT_PARTS);
        i32::try_from(coefficient)
            .ok()
            .filter(|_| coefficient.abs() <= LARGEST)
    }

    /// The coefficients that are not zero, with the positions of their columns; nothing if one is too large.
    pub(super) fn coefficients(&self, columns: &[Column]) -> Option<Vec<(usize, i32)>> {
        let mut all: Vec<(usize, i32)> = Vec::new();
        for (at, column) in columns.iter().enumerate() {
            let coefficient = self.coefficient(column)?;
            if coefficient != 0 {
                all.push((at, coefficient));
            }
        }
        Some(all)
    }
}

/// The deepest cuts that the present solution breaks, at most `most`.
pub(super) fn cuts(lp: &Simplex, most: usize) -> Vec<Cut> {
    let values = lp.values();
    let mut found: Vec<(i128, Cut)> = Vec::new();
    for multipliers in lp.broken_rows(2 * most, CUT_PARTS) {
        for turned in [false, true] {
            if let Some((depth, cut)) = cut_of(lp, &values, &multipliers, turned) {
                found.push((depth, cut));
            }
        }
    }
    found.sort_by(|a, b| b.cmp(a));
    found.dedup();
    found.into_iter().take(most).map(|(_, cut)| cut).collect()
}

/// The cut of these multipliers and how deep it goes, if it is broken by the present values.
fn cut_of(lp: &Simplex, values: &[i64], multipliers: &[i64], turned: bool) -> Option<(i128, Cut)> {
    // A row that binds at its greatest value goes in turned around: minus the sum is at least minus that value.
    let mut weights: Vec<i64> = Vec::with_capacity(multipliers.len());
    let mut right: i128 = 0;
    for (row, &multiplier) in multipliers.iter().enumerate() {
        if lp.is_loose(row) {
            weights.push(0);
            continue;
        }
        let (low, high) = lp.row_bounds()[row];
        let at_most = lp.is_at_most(row);
        let towards = if at_most == turned {
            multiplier
        } else {
            -multiplier
        };
        let weight = towards.rem_euclid(CUT_PARTS);
        right += i128::from(weight) * i128::from(if at_most { -high } else { low });
        weights.push(if at_most { -weight } else { weight });
    }
    let least = i64::try_from(-(-right).div_euclid(i128::from(CUT_PARTS))).ok()?;
    let cut = Cut { weights, least };
    let (mut sum, mut square): (i128, i128) = (0, 1);
    for (column, &value) in lp.columns().iter().zip(values) {
        let coefficient = i128::from(cut.coefficient(column)?);
        sum += coefficient * i128::from(value);
        square += coefficient * coefficient * i128::from(value.clamp(1 << 12, PARTS));
    }
    let short = i128::from(least) * i128::from(PARTS) - sum;
    if short < i128::from(PARTS >> 6) {
        return None;
    }
    Some(((short * short * 1_000).div_euclid(square), cut))
}
