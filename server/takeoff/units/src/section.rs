//! Sections of sticks: as measured (`Section`) and as named at the yard (`Nominal`).
//!
//! What size a nominal name is dressed to stands in `tables::ps20`, not here.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::scan::Fault;
use super::{Length, LengthError, NumberError, Units, parse_length};

/// A measured or dressed cross-section, as the piece stands: thickness across, depth up and down.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub struct Section {
    /// The side across.
    pub thickness: Length,
    /// The side up and down.
    pub depth: Length,
}

/// `1 3/4 × 5 3/4`, in inches.
impl fmt::Display for Section {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} × {}", self.thickness, self.depth)
    }
}

/// Reads a section, `1 3/4 x 5 3/4`: two lengths above zero with x, X or × between, thickness first.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_section(text: &str, units: Units) -> Result<Section, LengthError> {
    let example = match units {
        Units::Us => "1 3/4 x 5 3/4",
        Units::Metric => "45 x 145",
    };
    let fault = |at, problem: String| LengthError {
        at,
        text: text.to_owned(),
        problem,
        example: example.to_owned(),
    };
    let (first, second) = sides(text);
    let side = |from: usize, side: &str| match parse_length(side, units) {
        Ok(length) if length > Length::ZERO => Ok(length),
        Ok(_) => Err(fault(
            from + 1 + blanks(side),
            "a side is more than zero".to_owned(),
        )),
        Err(error) => Err(fault(from + error.at, error.problem)),
    };
    let thickness = side(0, first)?;
    let Some((from, second)) = second else {
        let end = text.trim_end().chars().count() + 1;
        return Err(fault(end, "the second side is missing".to_owned()));
    };
    let depth = side(from, second)?;
    Ok(Section { thickness, depth })
}

/// A size as the yard names it, the smaller side first: `2×10`, `5/4×6`.
///
/// Thickness in whole inches to 24, or 1/2, 3/4, 5/4, 6/4, 7/4; width in whole inches to 24. Stored as `2x10`; ordered by
/// thickness, then width.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Nominal {
    thickness_quarters: u8,
    width_inches: u8,
}

impl Nominal {
    /// From quarter inches of thickness and whole inches of width, the smaller first; for tables that are known to be
    /// right: nothing is checked here.
    pub const fn quarters(thickness_quarters: u8, width_inches: u8) -> Self {
        Self {
            thickness_quarters,
            width_inches,
        }
    }

    /// Reads it, as [`parse_nominal`] does.
    ///
    /// # Errors
    /// The place of the first wrong character, and why.
    pub fn parse(text: &str) -> Result<Self, NumberError> {
        parse_nominal(text)
    }

    /// The nominal thickness: 1 1/4 in for 5/4.
    pub const fn thickness(self) -> Length {
        Length::from_64ths(16 * self.thickness_quarters as i64)
    }

    /// The nominal width, the larger side.
    pub const fn width(self) -> Length {
        Length::inches(self.width_inches as i64)
    }

    /// As stored and as typed: `2x10`, `5/4x6`.
    pub fn text(self) -> String {
        self.to_string().replace('×', "x")
    }
}

/// As printed: `2×10`, `5/4×6`.
impl fmt::Display for Nominal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let quarters = self.thickness_quarters;
        match quarters {
            2 => f.write_str("1/2")?,
            _ if quarters.is_multiple_of(4) => write!(f, "{}", quarters >> 2)?,
            _ => write!(f, "{quarters}/4")?,
        }
        write!(f, "×{}", self.width_inches)
    }
}

impl From<Nominal> for String {
    fn from(nominal: Nominal) -> Self {
        nominal.text()
    }
}

impl TryFrom<String> for Nominal {
    type Error = NumberError;
    fn try_from(text: String) -> Result<Self, NumberError> {
        parse_nominal(&text)
    }
}

/// Reads a nominal size: `2x10`, `2 x 10`, `2×10`, `5/4x6`.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_nominal(text: &str) -> Result<Nominal, NumberError> {
    const EXAMPLE: &str = "2x10 or 5/4x6";
    let fault = |at, problem| NumberError::new(text, Fault::new(at, problem, EXAMPLE));
    let (first, second) = sides(text);
    let at = 1 + blanks(first);
    let thickness_quarters = match first.trim() {
        "1/2" => 2,
        "3/4" => 3,
        "5/4" => 5,
        "6/4" => 6,
        "7/4" => 7,
        whole => {
            4 * side_in_inches(whole).map_err(|beyond| {
                let problem = "a nominal thickness is 1 to 24, or 1/2, 3/4, 5/4, 6/4 or 7/4";
                fault(at + beyond, problem)
            })?
        }
    };
    let Some((from, second)) = second else {
        let end = text.trim_end().chars().count() + 1;
        return Err(fault(end, "the second side is missing"));
    };
    let at = from + 1 + blanks(second);
    let width_inches = side_in_inches(second.trim())
        .map_err(|beyond| fault(at + beyond, "a nominal width is 1 to 24 whole inches"))?;
    if u16::from(thickness_quarters) > 4 * u16::from(width_inches) {
        return Err(fault(at, "the smaller side is named first"));
    }
    Ok(Nominal {
        thickness_quarters,
        width_inches,
    })
}

/// A whole number of inches from 1 to 24, or how far into the text the first wrong character is.
fn side_in_inches(text: &str) -> Result<u8, usize> {
    if let Some(wrong) = text.chars().position(|c| !c.is_ascii_digit()) {
        return Err(wrong);
    }
    match text.parse() {
        Ok(inches @ 1..=24) => Ok(inches),
        _ => Err(0),
    }
}

/// The text before the first x, and that after it with how many characters stand before it.
fn sides(text: &str) -> (&str, Option<(usize, &str)>) {
    match text.split_once(['x', 'X', '×']) {
        Some((first, second)) => (first, Some((first.chars().count() + 1, second))),
        None => (text, None),
    }
}

/// How many blank characters a text begins with.
fn blanks(text: &str) -> usize {
    text.chars().take_while(|c| c.is_whitespace()).count()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn a_section_is_two_lengths_thickness_first() {
        for (text, printed) in [
            ("1 3/4 x 5 3/4", "1 3/4 × 5 3/4"),
            ("1-3/4X5-3/4", "1 3/4 × 5 3/4"),
            ("1.75\" × 5.75\"", "1 3/4 × 5 3/4"),
            ("44.45mm x 5¾", "1 3/4 × 5 3/4"),
            ("5 1/2 x 3 1/2", "5 1/2 × 3 1/2"),
        ] {
            assert_eq!(parse_section(text, Units::Us).unwrap().to_string(), printed);
        }
        let metric = parse_section("38 x 140", Units::Metric).unwrap();
        assert_eq!(metric.thickness, Length::inches_64(1, 32));
    }

    #[test]
    fn a_wrong_section_is_refused_at_its_place() {
        for (text, at) in [
            ("", 1),
            ("1 3/4", 6),
            ("1 3/4 ", 6),
            ("1 3/4 x", 8),
            ("x 5", 1),
            ("1 3/5 x 5", 5),
            ("1 3/4 x 5 3/5", 13),
            ("0 x 5", 1),
            ("1 3/4 x -5", 9),
            ("1 x 2 x 3", 7),
        ] {
            let error = parse_section(text, Units::Us).unwrap_err();
            assert_eq!(error.at, at, "{error}");
        }
    }

    #[test]
    fn a_nominal_size_is_printed_with_a_cross_and_stored_with_an_x() {
        for (text, printed, stored) in [
            ("2x10", "2×10", "2x10"),
            (" 2 X 10 ", "2×10", "2x10"),
            ("2×10", "2×10", "2x10"),
            ("5/4 x 6", "5/4×6", "5/4x6"),
            ("1/2x6", "1/2×6", "1/2x6"),
            ("6x8", "6×8", "6x8"),
            ("24x24", "24×24", "24x24"),
        ] {
            let nominal = parse_nominal(text).unwrap();
            assert_eq!(
                (nominal.to_string().as_str(), nominal.text().as_str()),
                (printed, stored)
            );
        }
    }

    #[test]
    fn sizes_are_ordered_as_a_yard_lists_them() {
        let mut sizes: Vec<_> = ["2x10", "2x4", "10x10", "5/4x6", "1x12"]
            .map(|text| parse_nominal(text).unwrap())
            .into();
        sizes.sort_unstable();
        let listed: Vec<_> = sizes.iter().map(|size| size.text()).collect();
        assert_eq!(listed, ["1x12", "5/4x6", "2x4", "2x10", "10x10"]);
    }

    #[test]
    fn a_wrong_nominal_size_is_refused_at_its_place() {
        for (text, at) in [
            ("", 1),
            ("2", 2),
            ("2x", 3),
            ("x10", 1),
            ("2x1o", 4),
            ("0x4", 1),
            ("2x25", 3),
            ("9/4x6", 2),
            ("10 x 2", 6),
            ("2x4x8", 4),
            ("-2x4", 1),
        ] {
            let error = parse_nominal(text).unwrap_err();
            assert_eq!(error.at, at, "{error}");
        }
        assert_eq!(
            parse_nominal("10x2").unwrap_err().to_string(),
            "Can't read this at character 4 of 10x2: the smaller side is named first, as in 2x10 or 5/4x6"
        );
    }

    proptest! {
        #[test]
        fn a_printed_section_reads_back(t in 1_i64..2_000, d in 1_i64..2_000) {
            let section = Section { thickness: Length::from_64ths(t), depth: Length::from_64ths(d) };
            prop_assert_eq!(parse_section(&section.to_string(), Units::Us), Ok(section));
        }

        #[test]
        fn a_printed_nominal_size_reads_back(t in 1_u8..=24, more in 0_u8..=23) {
            let nominal = Nominal { thickness_quarters: 4 * t, width_inches: (t + more).min(24) };
            prop_assert_eq!(parse_nominal(&nominal.to_string()), Ok(nominal));
            prop_assert_eq!(parse_nominal(&nominal.text()), Ok(nominal));
        }

        #[test]
        fn no_text_panics_a_reader_and_the_place_is_inside_it_or_one_past(text in "[0-9 /x×'½-]{0,16}|.*") {
            let places = [
                parse_section(&text, Units::Us).err().map(|error| error.at),
                parse_nominal(&text).err().map(|error| error.at),
            ];
            for at in places.into_iter().flatten() {
                prop_assert!((1..=text.chars().count() + 1).contains(&at), "{} of {:?}", at, text);
            }
        }
    }
}
