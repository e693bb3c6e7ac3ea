//! PS 20, American Softwood Lumber Standard: what a nominal size is dressed to, dry and green.
//!
//! Boards, dimension and timbers; no siding, flooring or worked lumber. As-found sections are measured, never looked up:
//! old lumber is often full size, and thicker than this.
//! Source: PS 20 table of nominal and minimum dressed sizes, as reproduced; seen. Editions before about 2010 gave
//! timbers of 7 in and more only 1/2 in off, green (from memory).

use crate::units::{Length, Nominal, Section};

/// Whether lumber is surfaced dry (19 % moisture at most) or green.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Seasoning {
    /// Surfaced dry.
    Dry,
    /// Surfaced green.
    Green,
}

/// The least dressed size of a nominal size; the thickness is the smaller side, as named.
///
/// `None` where PS 20 has no such board or dimension size. Each side of a timber (5 in and thicker) goes by its own rule.
/// Source: PS 20; verified.
pub fn dressed(nominal: Nominal, seasoning: Seasoning) -> Option<Section> {
    let (thickness, width) = (nominal.thickness(), nominal.width());
    if is_timber(nominal) {
        return Some(Section {
            thickness: timber_side(thickness, seasoning),
            depth: timber_side(width, seasoning),
        });
    }
    let (_, dry, green, _) = *THIN
        .iter()
        .find(|(named, _, _, widths)| *named == thickness && widths.contains(&width))?;
    Some(match seasoning {
        Seasoning::Dry => Section {
            thickness: dry,
            depth: dry_width(width),
        },
        Seasoning::Green => Section {
            thickness: green,
            depth: green_width(width),
        },
    })
}

/// What a size is sold as where nothing is recorded: dry to 4 in thick, green from 5 in.
///
/// Source: common practice, no published source.
pub fn default_seasoning(nominal: Nominal) -> Seasoning {
    if is_timber(nominal) {
        Seasoning::Green
    } else {
        Seasoning::Dry
    }
}

/// The sizes that a yard commonly has, in the order of a pick list.
///
/// Source: common practice, no published source; every one of them is a PS 20 size.
pub fn common_nominals() -> impl Iterator<Item = Nominal> {
    COMMON.iter().flat_map(|(quarters, widths)| {
        widths
            .iter()
            .map(|width| Nominal::quarters(*quarters, *width))
    })
}

const COMMON: [(u8, &[u8]); 7] = [
    (4, &[2, 3, 4, 6, 8, 10, 12]),
    (5, &[4, 6]),
    (8, &[2, 3, 4, 6, 8, 10, 12]),
    (12, &[4, 6, 8, 10, 12]),
    (16, &[4, 6, 8, 10, 12]),
    (24, &[6, 8, 10, 12]),
    (32, &[8, 10, 12]),
];

const fn inches<const N: usize>(n: [i64; N]) -> [Length; N] {
    let mut widths = [Length::ZERO; N];
    let mut index = 0;
    while index < N {
        widths[index] = Length::inches(n[index]);
        index += 1;
    }
    widths
}

/// Boards and dimension: nominal thickness, dressed dry and green, and the nominal widths that there are.
const THIN: [(Length, Length, Length, &[Length]); 5] = [
    (
        Length::inches(1),
        Length::inches_64(0, 48),
        Length::inches_64(0, 50),
        &inches([2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]),
    ),
    (
        Length::inches_64(1, 16),
        Length::inches(1),
        Length::inches_64(1, 2),
        &inches([2, 3, 4, 6, 8, 10, 12]),
    ),
    (
        Length::inches(2),
        Length::inches_64(1, 32),
        Length::inches_64(1, 36),
        &inches([2, 3, 4, 5, 6, 8, 10, 12, 14, 16]),
    ),
    (
        Length::inches(3),
        Length::inches_64(2, 32),
        Length::inches_64(2, 36),
        &inches([3, 4, 5, 6, 8, 10, 12, 14, 16]),
    ),
    (
        Length::inches(4),
        Length::inches_64(3, 32),
        Length::inches_64(3, 36),
        &inches([4, 5, 6, 8, 10, 12, 14, 16]),
    ),
];

/// Boards and dimension, dry: 1/2 in off to 7 in wide, 3/4 in off from 8 in.
fn dry_width(width: Length) -> Length {
    if width < Length::inches(8) {
        width - Length::from_64ths(32)
    } else {
        width - Length::from_64ths(48)
    }
}

/// Boards and dimension, green: 7/16 in off to 4 in wide, 3/8 in off to 7 in, 1/2 in off from 8 in.
fn green_width(width: Length) -> Length {
    if width < Length::inches(5) {
        width - Length::from_64ths(28)
    } else if width < Length::inches(8) {
        width - Length::from_64ths(24)
    } else {
        width - Length::from_64ths(32)
    }
}

/// A side of a timber: green 1/2 in off; dry 1/2 in off to 6 in, 3/4 in to 15 in, 1 in from 16 in.
fn timber_side(nominal: Length, seasoning: Seasoning) -> Length {
    let off = match seasoning {
        Seasoning::Green => 32,
        Seasoning::Dry if nominal < Length::inches(7) => 32,
        Seasoning::Dry if nominal < Length::inches(16) => 48,
        Seasoning::Dry => 64,
    };
    nominal - Length::from_64ths(off)
}

fn is_timber(nominal: Nominal) -> bool {
    nominal.thickness() >= Length::inches(5)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::parse_nominal;

    fn size(text: &str, seasoning: Seasoning) -> Option<String> {
        dressed(parse_nominal(text).unwrap(), seasoning).map(|section| section.to_string())
    }

    #[test]
    fn a_two_by_ten_is_dressed_thicker_green_than_dry() {
        assert_eq!(size("2x10", Seasoning::Dry).unwrap(), "1 1/2 × 9 1/4");
        assert_eq!(size("2x10", Seasoning::Green).unwrap(), "1 9/16 × 9 1/2");
    }

    #[test]
    fn each_side_of_a_timber_goes_by_its_own_rule() {
        assert_eq!(size("6x16", Seasoning::Dry).unwrap(), "5 1/2 × 15");
        assert_eq!(size("6x8", Seasoning::Green).unwrap(), "5 1/2 × 7 1/2");
        assert_eq!(size("16x18", Seasoning::Dry).unwrap(), "15 × 17");
    }

    #[test]
    fn a_size_that_the_standard_lacks_has_no_dressed_size() {
        for text in ["2x7", "5/4x5", "1x14", "1/2x6", "7/4x6", "4x24"] {
            assert_eq!(size(text, Seasoning::Dry), None, "{text}");
        }
    }

    #[test]
    fn lumber_is_dry_to_four_inches_thick_and_green_from_five() {
        let seasoning = |text| default_seasoning(parse_nominal(text).unwrap());
        assert_eq!(seasoning("2x12"), Seasoning::Dry);
        assert_eq!(seasoning("4x12"), Seasoning::Dry);
        assert_eq!(seasoning("5x5"), Seasoning::Green);
    }

    #[test]
    fn every_size_of_the_pick_list_is_a_standard_size_listed_once_in_order() {
        let all: Vec<_> = common_nominals().collect();
        assert!(all.is_sorted_by(|a, b| a < b));
        for nominal in all {
            assert!(dressed(nominal, Seasoning::Dry).is_some(), "{nominal}");
        }
    }
}
