//! Lengths as people type them on a phone.

use thiserror::Error;

use super::Length;

/// What a bare number means, and what is echoed first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Feet and inches; a bare number is inches.
    #[default]
    Us,
    /// Metric; a bare number is millimetres.
    Metric,
}

/// Why a text is no length, and where.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[error("Can't read this length at character {at} of {text}: {problem}, as in {example}")]
pub struct LengthError {
    /// The place of the first wrong character, counted from 1 in characters; one past the end where something is missing.
    pub at: usize,
    /// The text as typed.
    pub text: String,
    /// What is wrong and what was expected.
    pub problem: String,
    /// A text that can be read.
    pub example: String,
}

/// Reads a length.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_length(text: &str, units: Units) -> Result<Length, LengthError> {
    let _ = units;
    text.trim()
        .parse::<i64>()
        .map(Length::inches)
        .map_err(|_| LengthError {
            at: 1,
            text: text.to_owned(),
            problem: "being written".to_owned(),
            example: "7' 3 3/8\"".to_owned(),
        })
}
