//! Fasteners of subfloor panels and gypsum ceilings: how far apart at panel edges and in between.
//!
//! Framing connections stand in `fastening`. Where a row names a nail, screws take the same spacing by common practice;
//! gypsum board has rows of its own for screws.
//! Source: IRC Table R602.3(1), panel rows of editions 2009 to 2018 as on a permit sheet; APA E30 (2011); for gypsum IRC
//! Table R702.3.5, ASTM C840 and GA-216. What wasn't seen is marked.

use super::Confidence::{self, Memory, Partial, Verified};
use crate::units::Length;

/// What a panel is, and how thick.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PanelUse {
    /// Subfloor, 3/8 to 1/2 in.
    SubfloorToHalf,
    /// Subfloor, 19/32 to 1 in.
    SubfloorToOne,
    /// Subfloor, 19/32 to 3/4 in, with the deformed nail of the 2021 code.
    SubfloorDeformedNail,
    /// Subfloor, 1 1/8 to 1 1/4 in.
    SubfloorOverOne,
    /// Combined subfloor and underlayment, to 3/4 in.
    CombinationToThreeQuarters,
    /// Combined subfloor and underlayment, 7/8 to 1 in.
    CombinationToOne,
    /// Combined subfloor and underlayment, 1 1/8 to 1 1/4 in.
    CombinationOverOne,
    /// A glued floor of one layer, to 3/4 in.
    GluedToThreeQuarters,
    /// Plywood underlayment over 1/2 in, on a subfloor.
    UnderlaymentOverHalf,
    /// Gypsum ceiling, 1/2 in.
    GypsumCeilingHalf,
    /// Gypsum ceiling, 5/8 in.
    GypsumCeilingFiveEighths,
}

/// One way to fasten a panel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PanelRow {
    /// The fastener that the spacings are for.
    pub fastener: &'static str,
    /// Spacing at supported panel edges.
    pub edges: Length,
    /// Spacing at supports in between.
    pub field: Length,
    /// The edition that has the row.
    pub edition: &'static str,
    /// How far the row was seen.
    pub confidence: Confidence,
}

impl PanelUse {
    /// Every use.
    pub const ALL: [Self; 11] = [
        Self::SubfloorToHalf,
        Self::SubfloorToOne,
        Self::SubfloorDeformedNail,
        Self::SubfloorOverOne,
        Self::CombinationToThreeQuarters,
        Self::CombinationToOne,
        Self::CombinationOverOne,
        Self::GluedToThreeQuarters,
        Self::UnderlaymentOverHalf,
        Self::GypsumCeilingHalf,
        Self::GypsumCeilingFiveEighths,
    ];

    /// Its name in the schedule.
    pub const fn name(self) -> &'static str {
        match self {
            Self::SubfloorToHalf => "subfloor_3/8_to_1/2",
            Self::SubfloorToOne => "subfloor_19/32_to_1",
            Self::SubfloorDeformedNail => "subfloor_19/32_to_3/4_2021",
            Self::SubfloorOverOne => "subfloor_1-1/8_to_1-1/4",
            Self::CombinationToThreeQuarters => "combo_floor_to_3/4",
            Self::CombinationToOne => "combo_floor_7/8_to_1",
            Self::CombinationOverOne => "combo_floor_1-1/8_to_1-1/4",
            Self::GluedToThreeQuarters => "glued_floor_to_3/4",
            Self::UnderlaymentOverHalf => "underlayment_over_1/2",
            Self::GypsumCeilingHalf => "gypsum_ceiling_1/2",
            Self::GypsumCeilingFiveEighths => "gypsum_ceiling_5/8",
        }
    }

    /// What the panel is, in plain words.
    pub const fn title(self) -> &'static str {
        match self {
            Self::SubfloorToHalf => "subfloor, 3/8 to 1/2 in",
            Self::SubfloorToOne => "subfloor, 19/32 to 1 in",
            Self::SubfloorDeformedNail => "subfloor, 19/32 to 3/4 in, deformed nails",
            Self::SubfloorOverOne => "subfloor, 1 1/8 to 1 1/4 in",
            Self::CombinationToThreeQuarters => "subfloor and underlayment in one, to 3/4 in",
            Self::CombinationToOne => "subfloor and underlayment in one, 7/8 to 1 in",
            Self::CombinationOverOne => "subfloor and underlayment in one, 1 1/8 to 1 1/4 in",
            Self::GluedToThreeQuarters => "glued floor of one layer, to 3/4 in",
            Self::UnderlaymentOverHalf => "plywood underlayment over 1/2 in",
            Self::GypsumCeilingHalf => "gypsum ceiling, 1/2 in",
            Self::GypsumCeilingFiveEighths => "gypsum ceiling, 5/8 in",
        }
    }

    /// The fasteners that it can have.
    pub const fn rows(self) -> &'static [PanelRow] {
        match self {
            Self::SubfloorToHalf => const { &[floor("6d common 2 x 0.113", 6, IRC, Verified)] },
            Self::SubfloorToOne => const { &[floor("8d common 2-1/2 x 0.131", 6, IRC, Verified)] },
            Self::SubfloorDeformedNail => {
                const {
                    &[floor(
                        "deformed nail 2-3/8 x 0.113 (alternative to 8d common)",
                        6,
                        "IRC 2021",
                        Memory,
                    )]
                }
            }
            Self::SubfloorOverOne => {
                const {
                    &[floor(
                        "10d common 3 x 0.148, or 8d deformed 2-1/2 x 0.131",
                        6,
                        IRC,
                        Verified,
                    )]
                }
            }
            Self::CombinationToThreeQuarters => {
                const {
                    &[floor(
                        "6d deformed 2 x 0.120, or 8d common 2-1/2 x 0.131",
                        6,
                        IRC,
                        Verified,
                    )]
                }
            }
            Self::CombinationToOne => {
                const {
                    &[floor(
                        "8d common 2-1/2 x 0.131, or 8d deformed 2-1/2 x 0.120",
                        6,
                        IRC,
                        Partial,
                    )]
                }
            }
            Self::CombinationOverOne => {
                const {
                    &[floor(
                        "10d common 3 x 0.148, or 8d deformed 2-1/2 x 0.120",
                        6,
                        IRC,
                        Memory,
                    )]
                }
            }
            Self::GluedToThreeQuarters => {
                const {
                    &[floor(
                        "6d ring- or screw-shank",
                        12,
                        "APA E30 (2011)",
                        Partial,
                    )]
                }
            }
            Self::UnderlaymentOverHalf => {
                const {
                    &[floor(
                        "ring- or screw-shank, 0.099 in shank",
                        6,
                        "APA E30 (2011) Table 14",
                        Verified,
                    )]
                }
            }
            Self::GypsumCeilingHalf => {
                const {
                    &[
                        gypsum("13 ga 1-3/8 in, or 0.098 x 1-1/4 annular, or 4d cooler", 7),
                        gypsum(GYPSUM_SCREW, 12),
                    ]
                }
            }
            Self::GypsumCeilingFiveEighths => {
                const {
                    &[
                        gypsum("13 ga 1-5/8 in, or 0.098 x 1-3/8 annular, or 6d cooler", 7),
                        gypsum(GYPSUM_SCREW, 12),
                    ]
                }
            }
        }
    }
}

/// Screws of a gypsum ceiling, edges and field alike: 12 in apart.
///
/// Source: IRC Table R702.3.5, ASTM C840, GA-216; the spacing seen.
pub const GYPSUM_SCREW_SPACING: Length = Length::inches(12);

/// Screws or nails of a floor panel at its supported edges: 6 in apart.
///
/// Source: IRC 2009 to 2018 Table R602.3(1), panel rows; verified for nails, screws by common practice.
pub const FLOOR_EDGE_SPACING: Length = Length::inches(6);

/// Screws or nails of a floor panel at supports between its edges: 12 in apart.
///
/// Source: IRC 2009 to 2018 Table R602.3(1), panel rows; verified for nails, screws by common practice.
pub const FLOOR_FIELD_SPACING: Length = Length::inches(12);

const IRC: &str = "IRC 2009 to 2018";
const GYPSUM_SCREW: &str = "Type W or S screw, 5/8 in or more into wood";

const fn floor(
    fastener: &'static str,
    edge_inches: i64,
    edition: &'static str,
    confidence: Confidence,
) -> PanelRow {
    PanelRow {
        fastener,
        edges: Length::inches(edge_inches),
        field: FLOOR_FIELD_SPACING,
        edition,
        confidence,
    }
}

const fn gypsum(fastener: &'static str, inches: i64) -> PanelRow {
    PanelRow {
        fastener,
        edges: Length::inches(inches),
        field: Length::inches(inches),
        edition: "IRC Table R702.3.5; ASTM C840; GA-216",
        confidence: Partial,
    }
}
