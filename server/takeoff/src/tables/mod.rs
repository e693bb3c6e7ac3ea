//! Published figures as constants, one file a source, with edition and confidence.
//!
//! Rules of this job's own stand beside the need they serve, not here. The tests under `tests/published/` hold these
//! tables against copies of the figures as gathered.

pub mod adjustment_factors;
pub mod density;
pub mod design_values;
pub mod fastening;
pub mod loads;
pub mod nail;
pub mod nails;
pub mod panel_fastening;
pub mod ps20;

/// How far a figure was seen in a publication.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Confidence {
    /// The figure was read in a publication.
    Verified,
    /// Part of the row was read, for example the spacing; the rest is from memory.
    Partial,
    /// Worked out from figures that were read.
    Computed,
    /// Not seen. Look it up in the printed standard before relying on it.
    Memory,
    /// Not from a publication: somebody of the job entered it, from a sheet, a scale or a map.
    Entered,
}

impl Confidence {
    /// The word for it in the published copies and on pages.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Verified => "verified",
            Self::Partial => "partial",
            Self::Computed => "computed",
            Self::Memory => "memory",
            Self::Entered => "as entered",
        }
    }
}
