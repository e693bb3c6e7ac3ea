//! Checks: does it fit, and is it roughly strong enough. No check approves anything; each says what to look at.
//!
//! `screening` is hand calculation of strength, and the one place of the core that may use floats. Checks take plain inputs, so that a job's record can feed them; hold points, the load path
//! and pages are elsewhere. A missing input is "can't tell yet" with what to measure, never a pass.

mod measurement;
pub mod screening;

pub use measurement::Measurement;

/// What stands beside every structural figure, on pages, in prints and in exports.
pub const CAUTION: &str = "Screening only. Your engineer, your building department and the hardware maker’s sheet decide.";

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

/// What is missing of these measurements, in words.
pub(crate) fn missing(measurements: &[&Measurement]) -> Vec<String> {
    measurements
        .iter()
        .filter(|one| one.value.is_none())
        .map(|one| one.what.clone())
        .collect()
}
