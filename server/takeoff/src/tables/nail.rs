//! A nail by name: type and penny, or its bare size.
//!
//! Counts per pound stand in `nails`, how many a connection takes in `fastening`.

use std::fmt;

use serde::{Deserialize, Serialize};

use super::nails::nail_row;
use crate::units::{Length, NumberError, Units, parse_decimal, parse_length};

/// A kind of nail that is named by its penny.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NailType {
    /// Common: the thickest shank.
    Common,
    /// Box: thinner than a common nail of the same penny.
    Box,
    /// Sinker: thinner and shorter than a common nail of the same penny.
    Sinker,
}

impl NailType {
    /// Every type, thickest shank first.
    pub const ALL: [Self; 3] = [Self::Common, Self::Box, Self::Sinker];

    /// The word for it.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Common => "common",
            Self::Box => "box",
            Self::Sinker => "sinker",
        }
    }
}

/// A nail with its length and shank: `10d common`, or `3 x 0.131 nail` where only the size is named.
///
/// Stored as those texts. Never one for another at the same count: a schedule's count goes with its nail.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Nail {
    named: Option<(NailType, u8)>,
    length: Length,
    shank_thousandths: u16,
}

impl Nail {
    pub(super) const fn named(
        kind: NailType,
        penny: u8,
        length: Length,
        shank_thousandths: u16,
    ) -> Self {
        Self {
            named: Some((kind, penny)),
            length,
            shank_thousandths,
        }
    }

    pub(super) const fn plain(length: Length, shank_thousandths: u16) -> Self {
        Self {
            named: None,
            length,
            shank_thousandths,
        }
    }

    /// Its length under the head.
    pub const fn length(self) -> Length {
        self.length
    }

    /// The diameter of its shank, in 1/1000 in.
    pub const fn shank_thousandths(self) -> u16 {
        self.shank_thousandths
    }

    /// Its type and penny, where it has a name.
    pub const fn name(self) -> Option<(NailType, u8)> {
        self.named
    }

    /// As stored: `16d common`, `3 x 0.131 nail`.
    pub fn text(self) -> String {
        match self.named {
            Some((kind, penny)) => format!("{penny}d {}", kind.name()),
            None => self.to_string().replace('×', "x"),
        }
    }
}

/// As printed: `10d common, 3 × 0.148`, `3 × 0.131 nail`.
impl fmt::Display for Nail {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            length,
            shank_thousandths,
            ..
        } = self;
        match self.named {
            Some((kind, penny)) => {
                write!(
                    f,
                    "{penny}d {}, {length} × 0.{shank_thousandths:03}",
                    kind.name()
                )
            }
            None => write!(f, "{length} × 0.{shank_thousandths:03} nail"),
        }
    }
}

impl From<Nail> for String {
    fn from(nail: Nail) -> Self {
        nail.text()
    }
}

impl TryFrom<String> for Nail {
    type Error = NumberError;
    fn try_from(text: String) -> Result<Self, NumberError> {
        parse_nail(&text)
    }
}

/// Reads a nail as stored or as printed: `16d common`, `10d box, 3 × 0.128`, `3 x 0.131 nail`.
///
/// A named nail is one of `nails`; a bare size is up to 12 in long with a shank under 1 in.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_nail(text: &str) -> Result<Nail, NumberError> {
    let fault = |at, problem: &str| NumberError {
        at,
        text: text.to_owned(),
        problem: problem.to_owned(),
        example: "16d common or 3 x 0.131 nail".to_owned(),
    };
    if let Some((length, rest)) = text.split_once(['x', '×'])
        && let Some(shank) = rest.trim_end().strip_suffix("nail")
    {
        let from = length.chars().count() + 1;
        let length =
            parse_length(length, Units::Us).map_err(|error| fault(error.at, &error.problem))?;
        if length <= Length::ZERO || length > Length::feet(1) {
            return Err(fault(1, "a nail is more than 0 and at most 12 in long"));
        }
        let shank =
            parse_decimal(shank, 3).map_err(|error| fault(from + error.at, &error.problem))?;
        return match u16::try_from(shank) {
            Ok(shank @ 1..=999) => Ok(Nail::plain(length, shank)),
            _ => Err(fault(
                from + 1,
                "a shank is more than 0 and less than 1 in across",
            )),
        };
    }
    let name = text.split(',').next().unwrap_or_default();
    let nail = name.split_once("d ").and_then(|(penny, kind)| {
        let kind = NailType::ALL
            .into_iter()
            .find(|known| known.name() == kind.trim())?;
        Some(nail_row(kind, penny.trim().parse().ok()?)?.nail)
    });
    match nail {
        Some(nail) if name == text || nail.to_string() == text => Ok(nail),
        Some(_) => Err(fault(
            name.chars().count() + 1,
            "that is not this nail's size",
        )),
        None => Err(fault(
            1,
            "no such nail is known; a nail has its penny and type, or its length and shank",
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::super::nails::NAILS;
    use super::*;

    #[test]
    fn every_nail_reads_back_from_what_is_stored_and_what_is_printed() {
        let plain = Nail::plain(Length::inches(3), 131);
        let short = Nail::plain(Length::inches_64(2, 24), 99);
        for nail in NAILS.iter().map(|row| row.nail).chain([plain, short]) {
            assert_eq!(parse_nail(&nail.text()), Ok(nail));
            assert_eq!(parse_nail(&nail.to_string()), Ok(nail));
        }
    }

    #[test]
    fn a_nail_is_printed_with_its_length_and_shank() {
        let common = parse_nail("10d common").unwrap();
        assert_eq!(common.to_string(), "10d common, 3 × 0.148");
        let plain = parse_nail("3 x 0.131 nail").unwrap();
        assert_eq!(plain.to_string(), "3 × 0.131 nail");
        assert_eq!(plain.text(), "3 x 0.131 nail");
    }

    #[test]
    fn what_names_no_known_nail_is_refused_at_its_place() {
        for (text, at) in [
            ("", 1),
            ("16d", 1),
            ("11d common", 1),
            ("16d finish", 1),
            ("9d box", 1),
            ("16d common, 3 × 0.148", 11),
            ("0 x 0.131 nail", 1),
            ("3 1/3 x 0.131 nail", 5),
            ("3 x 1.131 nail", 4),
            ("3 x 0.1311 nail", 10),
        ] {
            let error = parse_nail(text).unwrap_err();
            assert_eq!(error.at, at, "{error}");
        }
    }
}
