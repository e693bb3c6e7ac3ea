//! Checks: does it fit, and is it roughly strong enough. No check approves anything; each says what to look at.
//!
//! `fit` is geometry from readings, in whole numbers. `screening` is hand calculation of strength, and the one place of
//! the core that may use floats. Both take plain inputs; `load_path` says from the record what comes down where, and
//! `on_record` feeds both. `hold_points` says what must stand before an event, and who released it; pages are elsewhere. A missing input is "can't tell yet" with what to measure, never a pass.

pub mod fit;
pub mod hold_points;
pub mod load_path;
mod measurement;
pub mod on_record;
pub mod screening;

pub use measurement::Measurement;
pub(crate) use on_record::fits_of_change;
pub use on_record::{Check, CheckKind, of_change, of_job, worst};
pub use screening::Figure;

use uuid::Uuid;

use crate::needs::{Fill, Sum};

/// What stands beside every structural figure, on pages, in prints and in exports.
pub const CAUTION: &str = "Screening only. Your engineer, your building department and the hardware maker’s sheet decide.";

/// What stands once with each set of cautions, in the words of the contract.
pub const COMES_FIRST: &str = "Local code and licensed practice come first.";

/// What a check says, the mildest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// It passes this check.
    Pass,
    /// Look at it.
    Look,
    /// Something that it rests on isn't recorded.
    CantTellYet,
    /// Stop.
    Stop,
}

impl Verdict {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Pass => "pass",
            Self::Look => "look",
            Self::CantTellYet => "can’t tell yet",
            Self::Stop => "stop",
        }
    }
}

/// What a fit check found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// What it says.
    pub verdict: Verdict,
    /// In one sentence, the verdict’s word left to whoever shows it.
    pub sentence: String,
    /// The arithmetic.
    pub sums: Vec<Sum>,
    /// What to measure or record, where it can't tell yet.
    pub measure: Vec<String>,
    /// Where the first of that is recorded, if that can be told.
    pub fill: Option<Fill>,
    /// The readings that it rests on.
    pub readings: Vec<Uuid>,
    /// Where the rule is from.
    pub source: &'static str,
}

impl Finding {
    /// A finding with its sentence.
    pub fn new(verdict: Verdict, sentence: impl Into<String>, source: &'static str) -> Self {
        Self {
            verdict,
            sentence: sentence.into(),
            sums: Vec::new(),
            measure: Vec::new(),
            fill: None,
            readings: Vec::new(),
            source,
        }
    }

    /// "Can't tell yet", with what to measure, each once.
    pub fn cant_tell(measure: &[String], source: &'static str) -> Self {
        let mut once: Vec<String> = Vec::new();
        for what in measure {
            if !once.contains(what) {
                once.push(what.clone());
            }
        }
        let sentence = format!("Needs {}.", once.join(", "));
        Self {
            measure: once,
            ..Self::new(Verdict::CantTellYet, sentence, source)
        }
    }

    /// The same with its arithmetic.
    pub fn with_sums(self, sums: Vec<Sum>) -> Self {
        Self { sums, ..self }
    }

    /// The same, resting on these measurements.
    pub fn resting_on(mut self, measurements: &[&Measurement]) -> Self {
        let all = measurements.iter().flat_map(|one| one.readings.iter());
        self.readings.extend(all.copied());
        self.readings.sort_unstable();
        self.readings.dedup();
        let lacking = measurements.iter().find(|one| one.value.is_none());
        self.fill = self.fill.or(lacking.and_then(|one| one.fill.clone()));
        self
    }
}

/// What is missing of these measurements, in words.
pub(crate) fn missing(measurements: &[&Measurement]) -> Vec<String> {
    measurements
        .iter()
        .filter(|one| one.value.is_none())
        .map(|one| one.what.clone())
        .collect()
}
