//! Classes of need: what may serve what.

use std::fmt;

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use crate::units::{Length, Nominal, Section};

/// The class of a need, and of what serves it. One key everywhere.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Class {
    /// A stick of lumber.
    Stick(StickClass),
    /// A panel.
    Panel(PanelClass),
    /// A nail or a screw.
    Fastener(FastenerClass),
    /// A row of the job's hardware table.
    Hardware {
        /// The row.
        row: Uuid,
    },
    /// Anything else.
    Sundry {
        /// Its name.
        name: String,
        /// Its unit, a word of the price book: `each`, `roll`.
        unit: String,
    },
}

/// A stick's class: nominal name, dressed size, species, grade, treatment.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct StickClass {
    /// Nominal name.
    pub nominal: Nominal,
    /// Dressed size.
    pub dressed: Section,
    /// Species.
    pub species: String,
    /// Grade.
    pub grade: String,
    /// Treatment.
    pub treatment: Treatment,
}

/// Treated or not.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Treatment {
    /// Untreated.
    None,
    /// Pressure treated.
    Treated,
}

/// A panel's class: kind, thickness and the sheet's size.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PanelClass {
    /// Kind: `plywood subfloor`.
    pub panel: String,
    /// Thickness.
    pub thickness: Length,
    /// The sheet along its strength axis.
    pub along: Length,
    /// The sheet across it.
    pub across: Length,
}

/// A fastener's class: type with length and shank in its canonical text, and coating.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct FastenerClass {
    /// `16d common`, `screw 3 in`.
    pub what: String,
    /// `bright` where nothing else is recorded.
    pub coating: String,
}

impl FastenerClass {
    /// From a text as typed: spaces folded, lower case, `×` for a multiplication sign between figures.
    pub fn new(what: &str, coating: &str) -> Self {
        let fold = |text: &str| {
            text.split_whitespace()
                .collect::<Vec<_>>()
                .join(" ")
                .to_lowercase()
        };
        let coating = fold(coating);
        Self {
            what: fold(what),
            coating: if coating.is_empty() {
                "bright".to_owned()
            } else {
                coating
            },
        }
    }
}

/// In yard words, without a length: `2×10 Hem-Fir No.2`.
impl fmt::Display for StickClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {} {}", self.nominal, self.species, self.grade)?;
        if self.treatment == Treatment::Treated {
            f.write_str(", treated")?;
        }
        Ok(())
    }
}

/// In yard words: `plywood subfloor 23/32 in, 48 × 96`.
impl fmt::Display for PanelClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} {} in, {} × {}",
            self.panel, self.thickness, self.across, self.along
        )
    }
}

/// In yard words: `16d common`, `screw 3 in, coated`.
impl fmt::Display for FastenerClass {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.what)?;
        if self.coating != "bright" {
            write!(f, ", {}", self.coating)?;
        }
        Ok(())
    }
}
