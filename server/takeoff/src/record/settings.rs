//! The job's settings: what was recorded, else takeoff's table of defaults.
//!
//! Source of every default: common practice, no published source.

use super::job::Record;
use crate::units::{Length, Permille, TaxRate, Units};

/// Spacing of studs and joists.
pub const SPACING: Length = Length::inches(16);
/// Two readings agree within this.
pub const TOLERANCE: Length = Length::from_64ths(4);
/// Saw kerf.
pub const KERF: Length = Length::from_64ths(8);
/// Keep length of an offcut.
pub const KEEP_LENGTH: Length = Length::inches(24);
/// Shoring off the wall's face.
pub const SHORE_OFF: Length = Length::inches(30);
/// Shoring beyond the opening.
pub const SHORE_BEYOND: Length = Length::inches(24);
/// Shoring stud, brace and plates.
pub const SHORE_STUD: &str = "2x4";
/// Shoring top plates, plies.
pub const SHORE_TOP_PLIES: i64 = 2;
/// Brace run.
pub const BRACE_RUN: Length = Length::inches(72);
/// Braces a side.
pub const BRACES_A_SIDE: i64 = 2;
/// Post over-cut where there is neither cap nor base.
pub const POST_OVER_CUT: Length = Length::from_64ths(8);
/// Panel gap.
pub const PANEL_GAP: Length = Length::from_64ths(8);
/// Cleat and block section.
pub const CLEAT: &str = "2x4";
/// A tube of adhesive serves.
pub const ADHESIVE_TUBE: Length = Length::feet(30);
/// Sister fasteners.
pub const SISTER_FASTENER: &str = "10d common";
/// Rows of sister fasteners.
pub const SISTER_ROWS: i64 = 2;
/// Spacing of sister fasteners.
pub const SISTER_SPACING: Length = Length::inches(16);
/// Beam clearance at a cut joist.
pub const BEAM_CLEARANCE: Length = Length::from_64ths(8);
/// Loose rubble, in tenths of the solid volume.
pub const RUBBLE_TENTHS: i64 = 15;

/// The job's settings, defaults filled in.
#[derive(Clone, Debug, PartialEq)]
pub struct Settings {
    /// Units of the job.
    pub units: Units,
    /// The usual species of new lumber.
    pub species: Option<String>,
    /// The usual grade of new lumber.
    pub grade: Option<String>,
    /// Sales tax; none recorded: `None`.
    pub tax: Option<TaxRate>,
    /// Waste of sticks (default 10 %).
    pub waste_stick: Permille,
    /// Waste of panels (default 5 %).
    pub waste_panel: Permille,
    /// Waste of fasteners (default 5 %).
    pub waste_fastener: Permille,
    /// Waste of hardware (default 0).
    pub waste_hardware: Permille,
    /// Two readings agree within this.
    pub tolerance: Length,
    /// Saw kerf.
    pub kerf: Length,
    /// End trim, both ends together, once for each whole stick.
    pub trim: Length,
    /// The longest stick that can be carried in.
    pub longest_stick: Option<Length>,
    /// Keep length of an offcut.
    pub keep_length: Length,
    /// Spacing of studs and joists.
    pub spacing: Length,
}

impl Settings {
    /// Reads them from the job's own record.
    pub fn read(job: &Record) -> Self {
        let length = |name, default| job.length(name).unwrap_or(default);
        let permille = |name, default| {
            Permille(
                job.number(name)
                    .and_then(|n| u32::try_from(n).ok())
                    .unwrap_or(default),
            )
        };
        Self {
            units: if job.text("units") == Some("metric") {
                Units::Metric
            } else {
                Units::Us
            },
            species: job.text("species").map(str::to_owned),
            grade: job.text("grade").map(str::to_owned),
            tax: job
                .number("tax")
                .and_then(|n| u32::try_from(n).ok())
                .map(TaxRate),
            waste_stick: permille("waste_stick", 100),
            waste_panel: permille("waste_panel", 50),
            waste_fastener: permille("waste_fastener", 50),
            waste_hardware: permille("waste_hardware", 0),
            tolerance: length("tolerance", TOLERANCE),
            kerf: length("kerf", KERF),
            trim: length("trim", Length::ZERO),
            longest_stick: job.length("longest_stick"),
            keep_length: length("keep_length", KEEP_LENGTH),
            spacing: length("spacing", SPACING),
        }
    }
}
