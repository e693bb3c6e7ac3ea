//! Packing that fills a gap in a bearing: whole 2× pieces, one 2× ripped to the rest, or sheet.
//!
//! On end, grain upright, full joist depth, down to bearing. What needs packing is `landing`'s business.
//! Source: common practice, no published source.

use std::fmt;

use super::TOUCHING;
use crate::units::Length;

/// A dressed 2×.
const WHOLE: Length = Length::inches_64(1, 32);
/// The thinnest that a 2× is ripped to.
const RIPPED_FROM: Length = Length::from_64ths(32);
const QUARTER: Length = Length::from_64ths(16);
const EIGHTH: Length = Length::from_64ths(8);

/// Where a gap is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gap {
    /// Between one solid and the post's edge: packing may stick out by a hair.
    AtTheEdge,
    /// Between two members: packing must go in.
    BetweenTwo,
}

/// What packing is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Packing {
    /// How thick it is, all together.
    pub thickness: Length,
    /// Whole 2× pieces.
    pub whole: i64,
    /// One 2× ripped to this.
    pub ripped: Option<Length>,
    /// Layers of 1/4 in sheet.
    pub quarters: i64,
    /// Layers of 1/8 in sheet.
    pub eighths: i64,
}

/// The packing of a gap: to the nearest 1/8 in, half up at an edge and half down between two members.
///
/// `None` where no such packing comes within 1/16 in of the gap: it is thinner than the thinnest sheet by more than that.
pub fn packing(gap: Length, place: Gap) -> Option<Packing> {
    let half = match place {
        Gap::AtTheEdge => Length::from_64ths(4),
        Gap::BetweenTwo => Length::from_64ths(3),
    };
    let thickness = EIGHTH * (gap + half).div_down(EIGHTH);
    if thickness < EIGHTH || (thickness - gap).abs() > TOUCHING {
        return None;
    }
    let whole = thickness.div_down(WHOLE);
    let rest = thickness - WHOLE * whole;
    let ripped = (rest >= RIPPED_FROM).then_some(rest);
    let sheet = if ripped.is_some() { Length::ZERO } else { rest };
    let quarters = sheet.div_down(QUARTER);
    let eighths = (sheet - QUARTER * quarters).div_down(EIGHTH);
    Some(Packing {
        thickness,
        whole,
        ripped,
        quarters,
        eighths,
    })
}

/// `2 3/4 in: one 2×, one 2× ripped to 1 1/4`.
impl fmt::Display for Packing {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut parts = Vec::new();
        if self.whole > 0 {
            parts.push(format!("{} whole 2×", self.whole));
        }
        if let Some(ripped) = self.ripped {
            parts.push(format!("one 2× ripped to {ripped}"));
        }
        if self.quarters > 0 {
            parts.push(format!("{} of 1/4 in sheet", self.quarters));
        }
        if self.eighths > 0 {
            parts.push(format!("{} of 1/8 in sheet", self.eighths));
        }
        write!(f, "{} in: {}", self.thickness, parts.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::units::{Units, parse_length};

    #[test]
    fn packing_is_whole_pieces_then_a_ripped_one_or_sheet() {
        for (gap, place, words) in [
            ("1 1/2", Gap::AtTheEdge, "1 1/2 in: 1 whole 2×"),
            ("1 3/8", Gap::AtTheEdge, "1 3/8 in: one 2× ripped to 1 3/8"),
            (
                "2 3/4",
                Gap::AtTheEdge,
                "2 3/4 in: 1 whole 2×, one 2× ripped to 1 1/4",
            ),
            (
                "1 7/8",
                Gap::AtTheEdge,
                "1 7/8 in: 1 whole 2×, 1 of 1/4 in sheet, 1 of 1/8 in sheet",
            ),
            ("1/2", Gap::AtTheEdge, "1/2 in: one 2× ripped to 1/2"),
            ("3/16", Gap::AtTheEdge, "1/4 in: 1 of 1/4 in sheet"),
            ("3/16", Gap::BetweenTwo, "1/8 in: 1 of 1/8 in sheet"),
            ("13/64", Gap::BetweenTwo, "1/4 in: 1 of 1/4 in sheet"),
        ] {
            let gap = parse_length(gap, Units::Us).unwrap();
            assert_eq!(packing(gap, place).unwrap().to_string(), words);
        }
        assert_eq!(packing(Length::from_64ths(3), Gap::AtTheEdge), None);
    }

    proptest! {
        #[test]
        fn packing_lands_within_a_sixteenth_or_says_it_cannot(gap in 1_i64..2_000, between in any::<bool>()) {
            let gap = Length::from_64ths(gap);
            let place = if between { Gap::BetweenTwo } else { Gap::AtTheEdge };
            match packing(gap, place) {
                None => prop_assert!(gap <= TOUCHING),
                Some(packing) => {
                    prop_assert!((packing.thickness - gap).abs() <= TOUCHING);
                    let made = WHOLE * packing.whole
                        + packing.ripped.unwrap_or(Length::ZERO)
                        + QUARTER * packing.quarters
                        + EIGHTH * packing.eighths;
                    prop_assert_eq!(made, packing.thickness);
                    prop_assert!(packing.ripped.is_none_or(|ripped| ripped >= RIPPED_FROM && ripped < WHOLE));
                }
            }
        }
    }
}
