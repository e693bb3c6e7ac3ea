//! Nails of framing connections: the rows of IRC Table R602.3(1) that this job's rules use, one for each nail.
//!
//! A count goes with its nail; another nail has another row or none. Panels and gypsum board stand in `panel_fastening`,
//! hangers in the job's own hardware table. The roof strut is no code row.
//! Source: IRC 2018 and 2021 Table R602.3(1) as carried by permit sheets, IBC Table 2304.10.1 and Washington's WAC
//! 246-359-340 where verified or partial; the rest from memory.

use super::Confidence::{self, Memory, Partial, Verified};
use super::nail::Nail;
use super::nail::NailType::{Box, Common};
use crate::units::Length;

/// A connection that is nailed by the schedule.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Connection {
    /// Along a built-up beam, each layer.
    BuiltupBeamLines,
    /// At the ends and splices of a built-up beam, each layer.
    BuiltupBeamEnds,
    /// A plate to a stud's end, by toe nails.
    StudToPlateToe,
    /// Stud to stud, not in a braced panel.
    StudToStud,
    /// A lap splice of a double top plate, each side of the joint.
    TopPlateSplice,
    /// The upper top plate to the lower.
    TopPlateToTopPlate,
    /// A bottom plate to the floor.
    BottomPlateToFloor,
    /// Bridging or blocking to a joist, each end.
    BridgingOrBlockingToJoist,
    /// A roof strut to what it bears, each end: a working assumption, no code row.
    RoofStrutToRafter,
    /// A joist to a sill, plate or girder.
    JoistToSill,
    /// Top plates lapping at corners and crossings.
    PlateCornerLap,
    /// Ceiling joists lapping over a partition.
    CeilingJoistLap,
}

/// One way to nail a connection.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FasteningRow {
    /// The nail that the figures are for.
    pub nail: Nail,
    /// How many at each place, where the row counts.
    pub count: Option<u32>,
    /// How far apart, where the row spaces.
    pub spacing: Option<Length>,
    /// How and where they go.
    pub location: &'static str,
    /// The edition that has the row.
    pub edition: &'static str,
    /// How far the row was seen.
    pub confidence: Confidence,
}

impl Connection {
    /// Every connection.
    pub const ALL: [Self; 12] = [
        Self::BuiltupBeamLines,
        Self::BuiltupBeamEnds,
        Self::StudToPlateToe,
        Self::StudToStud,
        Self::TopPlateSplice,
        Self::TopPlateToTopPlate,
        Self::BottomPlateToFloor,
        Self::BridgingOrBlockingToJoist,
        Self::RoofStrutToRafter,
        Self::JoistToSill,
        Self::PlateCornerLap,
        Self::CeilingJoistLap,
    ];

    /// Its name in rules, settings and storage.
    pub const fn name(self) -> &'static str {
        match self {
            Self::BuiltupBeamLines => "builtup_beam_lines",
            Self::BuiltupBeamEnds => "builtup_beam_ends",
            Self::StudToPlateToe => "stud_to_plate_toe",
            Self::StudToStud => "stud_to_stud",
            Self::TopPlateSplice => "top_plate_splice",
            Self::TopPlateToTopPlate => "top_plate_to_top_plate",
            Self::BottomPlateToFloor => "bottom_plate_to_floor",
            Self::BridgingOrBlockingToJoist => "bridging_or_blocking_to_joist",
            Self::RoofStrutToRafter => "roof_strut_to_rafter",
            Self::JoistToSill => "joist_to_sill",
            Self::PlateCornerLap => "plate_corner_lap",
            Self::CeilingJoistLap => "ceiling_joist_lap",
        }
    }

    /// The connection of that name.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|known| known.name() == name)
    }

    /// What is nailed to what, in plain words.
    pub const fn title(self) -> &'static str {
        match self {
            Self::BuiltupBeamLines => "plies of a built-up beam, along it",
            Self::BuiltupBeamEnds => "plies of a built-up beam, at its ends",
            Self::StudToPlateToe => "stud to plate, toe nails",
            Self::StudToStud => "stud to stud",
            Self::TopPlateSplice => "top plate splice, each side of the joint",
            Self::TopPlateToTopPlate => "upper top plate to lower",
            Self::BottomPlateToFloor => "bottom plate to floor",
            Self::BridgingOrBlockingToJoist => "block to joist, each end",
            Self::RoofStrutToRafter => "roof strut, each end",
            Self::JoistToSill => "joist to sill, plate or girder",
            Self::PlateCornerLap => "top plates lapped at a corner",
            Self::CeilingJoistLap => "ceiling joists lapped over a wall",
        }
    }

    /// The nails that it can be made with, as in the schedule.
    pub const fn rows(self) -> &'static [FasteningRow] {
        match self {
            Self::BuiltupBeamLines => BUILTUP_BEAM_LINES,
            Self::BuiltupBeamEnds => BUILTUP_BEAM_ENDS,
            Self::StudToPlateToe => STUD_TO_PLATE_TOE,
            Self::StudToStud => STUD_TO_STUD,
            Self::TopPlateSplice => TOP_PLATE_SPLICE,
            Self::TopPlateToTopPlate => TOP_PLATE_TO_TOP_PLATE,
            Self::BottomPlateToFloor => BOTTOM_PLATE_TO_FLOOR,
            Self::BridgingOrBlockingToJoist => BRIDGING_OR_BLOCKING_TO_JOIST,
            Self::RoofStrutToRafter => ROOF_STRUT_TO_RAFTER,
            Self::JoistToSill => JOIST_TO_SILL,
            Self::PlateCornerLap => PLATE_CORNER_LAP,
            Self::CeilingJoistLap => CEILING_JOIST_LAP,
        }
    }
}

/// The row of a connection for a nail; `None` where the schedule doesn't allow that nail.
pub fn row(connection: Connection, nail: Nail) -> Option<&'static FasteningRow> {
    connection.rows().iter().find(|row| row.nail == nail)
}

const COMMON_8D: Nail = Nail::named(Common, 8, Length::inches_64(2, 32), 131);
const COMMON_16D: Nail = Nail::named(Common, 16, Length::inches_64(3, 32), 162);
const COMMON_20D: Nail = Nail::named(Common, 20, Length::inches(4), 192);
const BOX_8D: Nail = Nail::named(Box, 8, Length::inches_64(2, 32), 113);
const BOX_10D: Nail = Nail::named(Box, 10, Length::inches(3), 128);
const BOX_16D: Nail = Nail::named(Box, 16, Length::inches_64(3, 32), 135);
const PLAIN_3_131: Nail = Nail::plain(Length::inches(3), 131);

const fn entry(
    nail: Nail,
    count: Option<u32>,
    spacing: Option<Length>,
    location: &'static str,
    edition: &'static str,
    confidence: Confidence,
) -> FasteningRow {
    FasteningRow {
        nail,
        count,
        spacing,
        location,
        edition,
        confidence,
    }
}

const BUILTUP_BEAM_LINES: &[FasteningRow] = &[
    entry(
        COMMON_20D,
        None,
        Some(Length::inches(32)),
        "face nail at top and bottom, staggered on opposite sides",
        "IRC 2018/2021",
        Verified,
    ),
    entry(
        BOX_10D,
        None,
        Some(Length::inches(24)),
        "face nail at top and bottom, staggered on opposite sides",
        "IRC 2018/2021",
        Memory,
    ),
    entry(
        PLAIN_3_131,
        None,
        Some(Length::inches(24)),
        "face nail at top and bottom, staggered on opposite sides",
        "IRC 2018/2021",
        Memory,
    ),
];

const BUILTUP_BEAM_ENDS: &[FasteningRow] = &[
    entry(
        COMMON_20D,
        Some(2),
        None,
        "face nail",
        "IRC 2018/2021",
        Verified,
    ),
    entry(BOX_10D, Some(3), None, "face nail", "IRC 2018/2021", Memory),
    entry(
        PLAIN_3_131,
        Some(3),
        None,
        "face nail",
        "IRC 2018/2021",
        Memory,
    ),
];

const STUD_TO_PLATE_TOE: &[FasteningRow] = &[
    entry(BOX_8D, Some(4), None, "toe nail", "IRC 2018/2021", Partial),
    entry(BOX_16D, Some(3), None, "toe nail", "IRC 2018/2021", Partial),
    entry(
        COMMON_8D,
        Some(4),
        None,
        "toe nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(BOX_10D, Some(4), None, "toe nail", "IRC 2018/2021", Partial),
    entry(
        PLAIN_3_131,
        Some(4),
        None,
        "toe nail",
        "IRC 2018/2021",
        Partial,
    ),
];

const STUD_TO_STUD: &[FasteningRow] = &[
    entry(
        COMMON_16D,
        None,
        Some(Length::inches(24)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        BOX_10D,
        None,
        Some(Length::inches(16)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        PLAIN_3_131,
        None,
        Some(Length::inches(16)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
];

const TOP_PLATE_SPLICE: &[FasteningRow] = &[
    entry(
        COMMON_16D,
        Some(8),
        None,
        "face nail within the 24 in lap, each side",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        BOX_16D,
        Some(12),
        None,
        "face nail within the 24 in lap, each side",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        BOX_10D,
        Some(12),
        None,
        "face nail within the 24 in lap, each side",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        PLAIN_3_131,
        Some(12),
        None,
        "face nail within the 24 in lap, each side",
        "IRC 2018/2021",
        Partial,
    ),
];

const TOP_PLATE_TO_TOP_PLATE: &[FasteningRow] = &[
    entry(
        COMMON_16D,
        None,
        Some(Length::inches(16)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        BOX_10D,
        None,
        Some(Length::inches(12)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        PLAIN_3_131,
        None,
        Some(Length::inches(12)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
];

const BOTTOM_PLATE_TO_FLOOR: &[FasteningRow] = &[
    entry(
        COMMON_16D,
        None,
        Some(Length::inches(16)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        BOX_16D,
        None,
        Some(Length::inches(12)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        PLAIN_3_131,
        None,
        Some(Length::inches(12)),
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
];

const BRIDGING_OR_BLOCKING_TO_JOIST: &[FasteningRow] = &[
    entry(BOX_10D, Some(2), None, "toe nail", "IRC 2018/2021", Partial),
    entry(
        COMMON_8D,
        Some(2),
        None,
        "toe nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        PLAIN_3_131,
        Some(2),
        None,
        "toe nail",
        "IRC 2018/2021",
        Partial,
    ),
];

const ROOF_STRUT_TO_RAFTER: &[FasteningRow] = &[
    entry(
        COMMON_16D,
        Some(2),
        None,
        "end or face nail at each end, plus cleat where the strut lands",
        "none (see R802.5.1 / R802.4.5 for the strut itself)",
        Memory,
    ),
    entry(
        BOX_10D,
        Some(3),
        None,
        "end or face nail at each end, plus cleat where the strut lands",
        "none (see R802.5.1 / R802.4.5 for the strut itself)",
        Memory,
    ),
];

const JOIST_TO_SILL: &[FasteningRow] = &[
    entry(
        BOX_8D,
        Some(4),
        None,
        "toe nail",
        "IRC 2018 item 21",
        Verified,
    ),
    entry(
        COMMON_8D,
        Some(3),
        None,
        "toe nail",
        "IRC 2018 item 21",
        Verified,
    ),
    entry(
        BOX_10D,
        Some(3),
        None,
        "toe nail",
        "IRC 2018 item 21",
        Verified,
    ),
    entry(
        PLAIN_3_131,
        Some(3),
        None,
        "toe nail",
        "IRC 2018 item 21",
        Verified,
    ),
];

const PLATE_CORNER_LAP: &[FasteningRow] = &[
    entry(
        BOX_10D,
        Some(3),
        None,
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        COMMON_16D,
        Some(2),
        None,
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
    entry(
        PLAIN_3_131,
        Some(3),
        None,
        "face nail",
        "IRC 2018/2021",
        Partial,
    ),
];

const CEILING_JOIST_LAP: &[FasteningRow] = &[
    entry(
        BOX_10D,
        Some(4),
        None,
        "face nail",
        "IRC 2018 item 3",
        Verified,
    ),
    entry(
        COMMON_16D,
        Some(3),
        None,
        "face nail",
        "IRC 2018 item 3",
        Verified,
    ),
    entry(
        PLAIN_3_131,
        Some(4),
        None,
        "face nail",
        "IRC 2018 item 3",
        Verified,
    ),
];

#[cfg(test)]
mod tests {
    use super::super::nail::parse_nail;
    use super::super::nails::nail_row;
    use super::*;

    #[test]
    fn every_row_counts_or_spaces_and_names_its_nail_once() {
        for connection in Connection::ALL {
            assert_eq!(Connection::from_name(connection.name()), Some(connection));
            for entry in connection.rows() {
                assert!(entry.count.is_some() ^ entry.spacing.is_some(), "{entry:?}");
                assert_eq!(row(connection, entry.nail), Some(entry));
            }
        }
    }

    #[test]
    fn a_named_nail_of_the_schedule_is_that_of_the_nail_table() {
        for entry in Connection::ALL.into_iter().flat_map(Connection::rows) {
            if let Some((kind, penny)) = entry.nail.name() {
                assert_eq!(nail_row(kind, penny).unwrap().nail, entry.nail);
            }
        }
    }

    #[test]
    fn a_count_goes_with_its_nail() {
        let ends = |nail| row(Connection::BuiltupBeamEnds, parse_nail(nail).unwrap());
        assert_eq!(ends("20d common").unwrap().count, Some(2));
        assert_eq!(ends("10d box").unwrap().count, Some(3));
        assert_eq!(ends("10d common"), None);
    }
}
