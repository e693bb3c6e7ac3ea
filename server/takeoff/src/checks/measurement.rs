//! A length that a check rests on: what it is of, the value if there is one, and whether it was taken twice.
//!
//! Which reading counts is the record's rule (`record::reading`), not this file's.

use uuid::Uuid;

use crate::needs::Fill;
use crate::record::Measured;
use crate::units::Length;

/// A length as a check takes it in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measurement {
    /// What it is, so that one knows what to measure: `depth of joist 4`.
    pub what: String,
    /// The length; `None` where it isn't recorded.
    pub value: Option<Length>,
    /// Whether it stands on two readings that agree, or is given and not measured (a nominal size).
    pub agreed: bool,
    /// The readings that it rests on.
    pub readings: Vec<Uuid>,
    /// Where it is recorded, while it isn't.
    pub fill: Option<Fill>,
}

impl Measurement {
    /// A length that was read twice and agrees, or is given: a nominal size's, an engineer's.
    pub fn agreed(what: impl Into<String>, value: Length) -> Self {
        Self {
            what: what.into(),
            value: Some(value),
            agreed: true,
            readings: Vec::new(),
            fill: None,
        }
    }

    /// One that isn't recorded.
    pub fn missing(what: impl Into<String>) -> Self {
        Self {
            what: what.into(),
            value: None,
            agreed: false,
            readings: Vec::new(),
            fill: None,
        }
    }

    /// The same, recorded there.
    #[must_use]
    pub(crate) fn filled_by(self, fill: Fill) -> Self {
        let fill = self.value.is_none().then_some(fill);
        Self { fill, ..self }
    }

    /// The reading of a spot that counts.
    pub fn counting(what: impl Into<String>, measured: Option<&Measured>) -> Self {
        Self::of(what, measured, |measured| measured.value)
    }

    /// The least reading of a spot that stands: for the size of old wood, and the bearing that it has.
    pub fn least(what: impl Into<String>, measured: Option<&Measured>) -> Self {
        let least = |measured: &Measured| {
            let all = measured.all.iter().map(|taken| taken.value);
            all.min().unwrap_or(measured.value)
        };
        Self::of(what, measured, least)
    }

    /// The greatest reading of a spot that stands: for a span.
    pub fn greatest(what: impl Into<String>, measured: Option<&Measured>) -> Self {
        let greatest = |measured: &Measured| {
            let all = measured.all.iter().map(|taken| taken.value);
            all.max().unwrap_or(measured.value)
        };
        Self::of(what, measured, greatest)
    }

    fn of(
        what: impl Into<String>,
        measured: Option<&Measured>,
        value: impl Fn(&Measured) -> Length,
    ) -> Self {
        Self {
            what: what.into(),
            value: measured.map(value),
            agreed: measured.is_some_and(|measured| measured.state.is_agreed()),
            readings: measured.map_or_else(Vec::new, |measured| {
                measured.all.iter().map(|taken| taken.id).collect()
            }),
            fill: None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::record::reading::{Taken, judge};

    #[test]
    fn old_wood_counts_by_its_least_reading_and_a_span_by_its_greatest() {
        let taken = |n: u128, inches| Taken {
            id: Uuid::from_u128(n),
            at: format!("2026-05-0{n}T08:00:00Z"),
            clock_off_s: None,
            by_tape: true,
            value: Length::inches_64(inches, 0),
        };
        let measured = judge(vec![taken(1, 9), taken(2, 10), taken(3, 8)], Length::ZERO);
        let depth = |m: Measurement| (m.value.map(Length::as_64ths), m.agreed, m.readings.len());
        let of = || measured.as_ref();
        assert_eq!(
            depth(Measurement::least("depth", of())),
            (Some(512), false, 3)
        );
        assert_eq!(
            depth(Measurement::greatest("span", of())),
            (Some(640), false, 3)
        );
        assert_eq!(
            depth(Measurement::counting("depth", of())),
            (Some(512), false, 3)
        );
        assert_eq!(depth(Measurement::least("depth", None)), (None, false, 0));
    }
}
