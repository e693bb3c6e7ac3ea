//! Figures that a result used, each with its edition and how far it was seen.
//!
//! What figures there are stands in `tables`, not here.

use crate::tables::Confidence;

/// A published figure that a result rests on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Figure {
    /// What: `Fb, Hem-Fir No.2`.
    pub what: String,
    /// The figure with its unit: `850 psi`.
    pub value: String,
    /// The standard, table and edition.
    pub source: String,
    /// How far it was seen.
    pub confidence: Confidence,
}

impl Figure {
    /// A figure.
    pub fn new(
        what: impl Into<String>,
        value: impl Into<String>,
        source: impl Into<String>,
        confidence: Confidence,
    ) -> Self {
        Self {
            what: what.into(),
            value: value.into(),
            source: source.into(),
            confidence,
        }
    }
}

/// Adds a figure once.
pub(crate) fn add(all: &mut Vec<Figure>, figure: Figure) {
    if !all.contains(&figure) {
        all.push(figure);
    }
}
