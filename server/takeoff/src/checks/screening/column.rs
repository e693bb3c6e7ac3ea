//! Stability of a column: how much of its crushing strength it keeps.
//!
//! Sawn columns, pinned at both ends (Ke 1). Source: NDS 3.7.1; verified.

use crate::tables::adjustment_factors::{BUCKLING, SAWN_COLUMN};

/// `FcE`, the buckling stress of a column of slenderness le/d, psi.
pub fn buckling_stress(emin: f64, slenderness: f64) -> f64 {
    BUCKLING.value * emin / (slenderness * slenderness)
}

/// Cp of a sawn column: with q = FcE/Fc* and a = (1 + q)/2c, it is a − √(a² − q/c).
pub fn stability_factor(buckling: f64, fc_star: f64) -> f64 {
    let c = SAWN_COLUMN.value;
    let q = buckling / fc_star;
    let a = (1.0 + q) / (2.0 * c);
    a - (a * a - q / c).max(0.0).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stocky_column_keeps_its_strength_and_a_slender_one_goes_by_euler() {
        assert!(stability_factor(1e9, 1500.0) > 0.999);
        let slender = buckling_stress(580_000.0, 50.0);
        assert!((slender - 190.7).abs() < 0.05); // 0.822 × 580,000 ÷ 2,500
        let kept = stability_factor(slender, 1500.0) * 1500.0;
        assert!(kept < slender && kept > 0.95 * slender);
    }

    #[test]
    fn a_longer_column_is_never_stronger() {
        let mut last = f64::INFINITY;
        for n in 1..=60 {
            let kept = stability_factor(buckling_stress(510_000.0, f64::from(n)), 1322.5);
            assert!(kept <= last, "{n}");
            last = kept;
        }
    }
}
