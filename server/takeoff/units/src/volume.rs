//! Board feet, and the slope of a brace: products and roots of lengths, in whole numbers.
//!
//! Weights, which want a species, stand in `tables::density`.

use super::{Length, Nominal};

/// Board feet of a stick, in hundredths of a board foot, halves up.
///
/// Nominal thickness (at least 1 in) × nominal width (in) × length (ft) ÷ 12.
/// Source: the rule as in the US Army course EN5155; thickness under 1 in counting as 1 in from memory of PS 20.
///
/// ```
/// use scantling_units::{Length, board_feet, parse_nominal};
/// assert_eq!(board_feet(parse_nominal("2x10")?, Length::feet(16)), 2667);
/// # Ok::<(), scantling_units::NumberError>(())
/// ```
pub fn board_feet(nominal: Nominal, length: Length) -> i64 {
    let inch = Length::inches(1);
    let thickness = i128::from(nominal.thickness().max(inch).as_64ths());
    let width = i128::from(nominal.width().as_64ths());
    let size = thickness * width * i128::from(length.as_64ths()) * 100;
    // 64ths cubed into square inches times feet, by 12.
    let foot = i128::from(Length::feet(1).as_64ths());
    let board_foot = 64 * 64 * 12 * foot;
    let rounded = (2 * size + board_foot).div_euclid(2 * board_foot);
    i64::try_from(rounded)
        .expect("a nominal size is at most 24 × 24, so only its length could be too long")
}

/// √(a² + b²) up to the next whole multiple of `step`, which must be above zero; exact.
///
/// Source: Pythagoras; how far up is the caller's rule.
pub fn sqrt_up_to(a: Length, b: Length, step: Length) -> Length {
    let square = |side: Length| u128::from(side.as_64ths().unsigned_abs()).pow(2);
    let sum = square(a) + square(b);
    let root = sum.isqrt();
    let up = root + u128::from(root * root < sum);
    let up =
        i64::try_from(up).expect("two sides within the bounds of a length have a root within i64");
    Length::from_64ths(up).up_to(step)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::parse_nominal;
    use super::*;

    #[test]
    fn board_feet_go_by_the_nominal_size_to_a_hundredth() {
        for (size, feet, hundredths) in [
            ("2x4", 8, 533),
            ("2x10", 16, 2667),
            ("3x8", 10, 2000),
            ("1/2x6", 10, 500), // counts as 1 in
            ("5/4x6", 8, 500),
            ("6x8", 12, 4800),
        ] {
            let got = board_feet(parse_nominal(size).unwrap(), Length::feet(feet));
            assert_eq!(got, hundredths, "{size} of {feet} ft");
        }
        // 1x1 of 0.06 ft is half a hundredth of a board foot
        let half = Length::from_64ths(46);
        assert_eq!(board_feet(parse_nominal("1x1").unwrap(), half), 0);
        assert_eq!(
            board_feet(parse_nominal("2x3").unwrap(), Length::from_64ths(192)),
            13
        ); // 12.5
    }

    #[test]
    fn a_brace_goes_up_to_the_next_eighth() {
        let eighth = Length::from_64ths(8);
        assert_eq!(
            sqrt_up_to(Length::inches(72), Length::inches(96), eighth),
            Length::inches(120)
        );
        // 72 run, 97 1/4 high: 121.002… in
        let brace = sqrt_up_to(Length::inches(72), Length::inches_64(97, 16), eighth);
        assert_eq!(brace, Length::inches_64(121, 8));
    }

    proptest! {
        #[test]
        fn a_root_is_the_least_multiple_that_reaches(a in 0_i64..8_000_000, b in 0_i64..8_000_000, step in 1_i64..100) {
            let root = sqrt_up_to(Length::from_64ths(a), Length::from_64ths(b), Length::from_64ths(step));
            let square = |n: i64| i128::from(n).pow(2);
            let sum = square(a) + square(b);
            prop_assert_eq!(root.as_64ths().rem_euclid(step), 0);
            prop_assert!(square(root.as_64ths()) >= sum);
            prop_assert!(root == Length::ZERO || square(root.as_64ths() - step) < sum);
        }
    }
}
