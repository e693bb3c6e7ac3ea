//! From the core's exact units to floats and back, and a root that gives the same bits on every machine.
//!
//! Inches, pounds, pounds per inch and pounds per square inch are what all screening computes in.

use crate::units::{Length, Plf, Pounds, Psf};

/// Inches of a length.
pub(crate) fn inches(length: Length) -> f64 {
    whole(length.as_64ths()) / 64.0
}

/// A length down to 1/64 in.
pub(crate) fn length_down(inches: f64) -> Length {
    let n_64 = (inches * 64.0).floor().clamp(0.0, 1e9);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a whole number between 0 and a billion"
    )]
    let n_64 = n_64 as i64;
    Length::from_64ths(n_64)
}

/// Pounds per square foot.
pub(crate) fn psf(load: Psf) -> f64 {
    whole(load.as_hundredths()) / 100.0
}

/// Pounds per inch of a load in pounds per foot.
pub(crate) fn per_inch(load: Plf) -> f64 {
    whole(load.as_hundredths()) / 1200.0
}

/// Pounds.
pub(crate) fn pounds(load: Pounds) -> f64 {
    whole(load.as_hundredths()) / 100.0
}

/// Pounds per foot, to a hundredth up: a load is never rounded to the lighter side.
pub(crate) fn plf_up(pounds_per_foot: f64) -> Plf {
    let hundredths = (pounds_per_foot * 100.0 - 1e-6).ceil().clamp(0.0, 1e12);
    #[expect(
        clippy::cast_possible_truncation,
        reason = "a whole number between 0 and a trillion"
    )]
    let hundredths = hundredths as i64;
    Plf::from_hundredths(hundredths)
}

/// Pounds, to a hundredth up.
pub(crate) fn pounds_up(pounds: f64) -> Pounds {
    Pounds::from_hundredths(plf_up(pounds).as_hundredths())
}

/// A whole number as a float; exact to 2^53, far beyond every length and load of a house.
pub(crate) fn whole(n: i64) -> f64 {
    let high = i32::try_from(n.div_euclid(1 << 31)).unwrap_or(i32::MAX);
    let low = u32::try_from(n.rem_euclid(1 << 31)).unwrap_or(0);
    f64::from(high) * 2_147_483_648.0 + f64::from(low)
}

/// The n-th root of a number from 0 up, by Newton's method: only the four operations, so that every machine gives the
/// same bits (the platform's own power function need not).
pub(crate) fn root(x: f64, n: u8) -> f64 {
    if x <= 0.0 {
        return 0.0;
    }
    let degree = f64::from(n);
    let mut guess = if x > 1.0 { x } else { 1.0 };
    for _ in 0..2_000 {
        let power = (1..n).fold(1.0, |power, _| power * guess);
        let next = guess - (guess - x / power) / degree;
        if next >= guess {
            break;
        }
        guess = next;
    }
    guess
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_root_to_its_power_is_the_number() {
        for (x, n) in [
            (8.0, 3),
            (0.5, 9),
            (6_644_672.0, 3),
            (12.0 / 13.5, 9),
            (1.0, 2),
        ] {
            let power = (0..n).fold(1.0, |power, _| power * root(x, n));
            assert!((power / x - 1.0).abs() < 1e-13, "{x} {n} {power}");
        }
        assert!(root(0.0, 3).abs() < f64::MIN_POSITIVE);
    }

    #[test]
    fn whole_numbers_and_units_turn_into_floats_exactly() {
        for n in [0_i64, 1, -1, 640, -5_000_000_000, 9_007_199_254_740_991] {
            assert_eq!(format!("{:.0}", whole(n)), n.to_string());
        }
        assert!((inches(Length::inches_64(9, 16)) - 9.25).abs() < 1e-15);
        assert!((per_inch(Plf::whole(60)) - 5.0).abs() < 1e-15);
        assert_eq!(length_down(9.999), Length::inches_64(9, 63));
        assert_eq!(plf_up(875.001), Plf::from_hundredths(87_501));
        assert_eq!(plf_up(875.0), Plf::whole(875));
    }
}
