//! Common, box and sinker nails from 6d to 20d: length, shank and how many weigh a pound.
//!
//! Counts are computed, head and all, from steel at 0.2836 lb/cu in and a head 0.35 shank diameter thick: 7 to 11 %
//! under the handbook's, which match the bare shank, so a purchase errs on the side of a nail too many.
//! Source: sizes of the Wood Handbook's table and the code's nail call-outs where verified, else ASTM F1667 from memory;
//! head diameters from memory.

use super::Confidence::{self, Memory, Verified};
use super::nail::Nail;
use super::nail::NailType::{self, Box, Common, Sinker};
use crate::units::Length;

/// One nail of the table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct NailRow {
    /// Type, penny, length and shank.
    pub nail: Nail,
    /// How many weigh a pound, head and all, in tenths.
    pub tenths_per_lb: i64,
    /// How far length and shank were seen; the count is computed from them.
    pub confidence: Confidence,
}

/// The nail of that type and penny.
pub fn nail_row(kind: NailType, penny: u8) -> Option<&'static NailRow> {
    NAILS
        .iter()
        .find(|row| row.nail.name() == Some((kind, penny)))
}

/// The first nail, common before box before sinker, of that length and shank (in 1/1000 in).
pub fn nail_row_of_size(length: Length, shank_thousandths: u16) -> Option<&'static NailRow> {
    NAILS.iter().find(|row| {
        row.nail.length() == length && row.nail.shank_thousandths() == shank_thousandths
    })
}

/// Pounds of so many nails, up to a whole pound; `tenths_per_lb` above zero.
pub fn pounds_up(count: u32, tenths_per_lb: i64) -> i64 {
    up(i64::from(count) * 10, tenths_per_lb)
}

/// Hundredths of a pound of so many nails, up to a whole hundredth; `tenths_per_lb` above zero.
pub fn hundredths_of_lb_up(count: u32, tenths_per_lb: i64) -> i64 {
    up(i64::from(count) * 1000, tenths_per_lb)
}

fn up(n: i64, by: i64) -> i64 {
    -(-n).div_euclid(by)
}

const fn row(
    kind: NailType,
    penny: u8,
    length: Length,
    shank_thousandths: u16,
    tenths_per_lb: i64,
    confidence: Confidence,
) -> NailRow {
    NailRow {
        nail: Nail::named(kind, penny, length, shank_thousandths),
        tenths_per_lb,
        confidence,
    }
}

/// Every nail of the table, by type and penny: type, penny, length, shank in 1/1000 in, tenths a pound.
pub static NAILS: [NailRow; 22] = [
    row(Common, 6, Length::inches(2), 113, 1584, Verified),
    row(Common, 7, Length::inches_64(2, 16), 113, 1424, Memory),
    row(Common, 8, Length::inches_64(2, 32), 131, 965, Verified),
    row(Common, 9, Length::inches_64(2, 48), 131, 884, Memory),
    row(Common, 10, Length::inches(3), 148, 635, Verified),
    row(Common, 12, Length::inches_64(3, 16), 148, 589, Verified),
    row(Common, 16, Length::inches_64(3, 32), 162, 455, Verified),
    row(Common, 20, Length::inches(4), 192, 283, Verified),
    row(Box, 6, Length::inches(2), 99, 2036, Memory),
    row(Box, 7, Length::inches_64(2, 16), 99, 1832, Memory),
    row(Box, 8, Length::inches_64(2, 32), 113, 1268, Verified),
    row(Box, 10, Length::inches(3), 128, 839, Verified),
    row(Box, 12, Length::inches_64(3, 16), 128, 779, Memory),
    row(Box, 16, Length::inches_64(3, 32), 135, 647, Verified),
    row(Box, 20, Length::inches(4), 148, 473, Memory),
    row(Sinker, 6, Length::inches_64(1, 56), 92, 2546, Memory),
    row(Sinker, 7, Length::inches_64(2, 8), 99, 1953, Memory),
    row(Sinker, 8, Length::inches_64(2, 24), 113, 1355, Memory),
    row(Sinker, 10, Length::inches_64(2, 56), 120, 1004, Memory),
    row(Sinker, 12, Length::inches_64(3, 8), 135, 729, Memory),
    row(Sinker, 16, Length::inches_64(3, 16), 148, 581, Memory),
    row(Sinker, 20, Length::inches_64(3, 48), 177, 356, Memory),
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nails_are_found_by_name_and_by_size() {
        let common = nail_row(Common, 16).unwrap();
        assert_eq!(common.nail.length(), Length::inches_64(3, 32));
        assert_eq!(common.nail.shank_thousandths(), 162);
        assert_eq!(common.tenths_per_lb, 455);
        assert_eq!(
            nail_row_of_size(Length::inches(3), 148),
            nail_row(Common, 10)
        );
        assert_eq!(nail_row(Box, 9), None);
        assert_eq!(nail_row_of_size(Length::inches(3), 131), None);
    }

    #[test]
    fn pounds_go_up() {
        // 16d common, 45.5 a pound
        assert_eq!(pounds_up(455, 455), 10);
        assert_eq!(pounds_up(456, 455), 11);
        assert_eq!(pounds_up(0, 455), 0);
        assert_eq!(hundredths_of_lb_up(455, 455), 1000);
        assert_eq!(hundredths_of_lb_up(1, 455), 3); // 0.022 lb
    }
}
