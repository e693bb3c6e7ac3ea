//! Loads on houses, limits on sag, least bearing, and what soil carries.
//!
//! Loads in pounds per square foot (hundredths, see [`Psf`]). Snow is the place's own and isn't here; nor are wind and
//! earthquake. The adopted local code wins.
//! Source: IRC 2018 Tables R301.5, R301.6, R301.7, R401.4.1 and R502.6 and the sources named at each figure; seen but
//! where it says memory.

use super::Confidence::{self, Memory, Verified};
use super::density::UNKNOWN_TENTHS_LB_PER_CU_FT;
use crate::units::{Length, Psf};

/// A load with its source.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Load {
    /// What it is of, in the words of the published copy.
    pub of: &'static str,
    /// The load.
    pub psf: Psf,
    /// The table or publication.
    pub source: &'static str,
    /// How far it was seen.
    pub confidence: Confidence,
}

const fn load(of: &'static str, psf: i64, source: &'static str, confidence: Confidence) -> Load {
    Load {
        of,
        psf: Psf::whole(psf),
        source,
        confidence,
    }
}

const R301_5: &str = "IRC 2018 Table R301.5";

/// Rooms other than sleeping rooms.
pub const LIVING: Load = load("rooms other than sleeping rooms", 40, R301_5, Verified);
/// Sleeping rooms.
pub const SLEEPING: Load = load("sleeping rooms", 30, R301_5, Verified);
/// Attics with storage, and attics of which it isn't known.
pub const ATTIC_STORAGE: Load = load("attic with limited storage", 20, R301_5, Verified);
/// Attics without storage, under [`ATTIC_CLEAR_HEIGHT`] in the clear; not combined with roof loads.
pub const ATTIC: Load = load(
    "attic without storage (clear height under 42 in)",
    10,
    R301_5,
    Verified,
);
/// Attics with a fixed stair.
pub const HABITABLE_ATTIC: Load = load(
    "habitable attic, or attic with a fixed stair",
    30,
    R301_5,
    Verified,
);
/// Decks.
pub const DECK: Load = load("decks", 40, R301_5, Verified);
/// A roof without snow, to 4 in 12.
pub const ROOF: Load = load(
    "roof live load, no snow, slope up to 4 in 12, under 200 sq ft",
    20,
    "IRC 2018 Table R301.6",
    Memory,
);
/// Every live load above.
pub const LIVE_LOADS: [Load; 7] = [
    LIVING,
    SLEEPING,
    ATTIC_STORAGE,
    ATTIC,
    HABITABLE_ATTIC,
    DECK,
    ROOF,
];
/// From this clear height on an attic is one with storage.
pub const ATTIC_CLEAR_HEIGHT: Length = Length::inches(42);

/// A framed partition boarded on both sides, for each square foot of it.
pub const PARTITION: Load = load(
    "interior partition 2x4, 1/2 gypsum both sides (per sq ft of wall)",
    6,
    "HUD Residential Structural Design Guide, Table 3.2",
    Verified,
);
/// An old partition plastered on both sides, for each square foot of it.
pub const PLASTERED_PARTITION: Load = load(
    "old stud partition, plastered both sides (per sq ft of wall)",
    20,
    "a handbook of the Kidder era",
    Verified,
);

/// The most sag, as a part of the span.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SagLimit {
    /// Of what, in the words of the published copy.
    pub of: &'static str,
    /// 360 for L/360.
    pub part: u32,
    /// How far it was seen.
    pub confidence: Confidence,
}

const fn sag(of: &'static str, part: u32) -> SagLimit {
    SagLimit {
        of,
        part,
        confidence: Verified,
    }
}

/// Where the limits on sag under live load stand.
pub const SAG_SOURCE: &str = "IRC 2018 Table R301.7";
/// Floors.
pub const FLOOR_SAG: SagLimit = sag("floors", 360);
/// Under plaster.
pub const PLASTER_SAG: SagLimit = sag("ceilings with plaster or stucco (brittle) finish", 360);
/// Under gypsum board.
pub const BOARD_SAG: SagLimit = sag("ceilings with gypsum board (flexible) finish", 240);
/// Steep rafters without a ceiling.
pub const RAFTER_SAG: SagLimit = sag(
    "rafters steeper than 3 in 12, no finished ceiling attached",
    180,
);
/// All other structural members.
pub const OTHER_SAG: SagLimit = sag("all other structural members", 240);
/// Every limit above.
pub const SAG_LIMITS: [SagLimit; 5] = [FLOOR_SAG, PLASTER_SAG, BOARD_SAG, RAFTER_SAG, OTHER_SAG];
/// Under the whole load, lasting load with its creep; IBC Table 1604.3, seen.
pub const TOTAL_SAG: SagLimit = sag("total load", 240);

/// Least bearing on wood or metal, IRC R502.6; verified.
pub const BEARING_ON_WOOD: Length = Length::inches_64(1, 32);
/// Least bearing on masonry or concrete, IRC R502.6; verified.
pub const BEARING_ON_MASONRY: Length = Length::inches(3);

/// Least thickness of a spread footing, IRC R403.1.1; verified.
pub const FOOTING_THICKNESS: Length = Length::inches(6);
/// A plain footing's least projection, IRC R403.1.1; verified.
pub const FOOTING_PROJECTION: Length = Length::inches(2);

/// Soil as the record has it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Soil {
    /// Not known: taken for the weakest of the table, and said so.
    NotKnown,
    /// Crystalline bedrock.
    Rock,
    /// Sedimentary and foliated rock.
    SoftRock,
    /// Sandy gravel, gravel.
    Gravel,
    /// Sand, silty or clayey sand or gravel.
    Sand,
    /// Clay, silt.
    Clay,
    /// Fill.
    Fill,
    /// Peat, organic soil.
    Peat,
}

impl Soil {
    /// Every soil.
    pub const ALL: [Self; 8] = [
        Self::NotKnown,
        Self::Rock,
        Self::SoftRock,
        Self::Gravel,
        Self::Sand,
        Self::Clay,
        Self::Fill,
        Self::Peat,
    ];

    /// Its stored word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NotKnown => "not_known",
            Self::Rock => "rock",
            Self::SoftRock => "soft_rock",
            Self::Gravel => "gravel",
            Self::Sand => "sand",
            Self::Clay => "clay",
            Self::Fill => "fill",
            Self::Peat => "peat",
        }
    }

    /// The soil of that stored word.
    pub fn from_name(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|soil| soil.name() == name)
    }

    /// What it carries without tests; `None` for fill and peat, which only tests can tell.
    pub const fn bearing(self) -> Option<Psf> {
        let psf = match self {
            Self::Rock => 12_000,
            Self::SoftRock => 4_000,
            Self::Gravel => 3_000,
            Self::Sand => 2_000,
            Self::Clay | Self::NotKnown => 1_500,
            Self::Fill | Self::Peat => return None,
        };
        Some(Psf::whole(psf))
    }
}

/// Where the soil figures stand; seen.
pub const SOIL_SOURCE: &str = "IRC 2018 Table R401.4.1";

/// Concrete, in pounds a cubic foot; from memory.
pub const CONCRETE_LB_PER_CU_FT: i64 = 150;
/// Wood of unknown species, in tenths of a pound a cubic foot.
pub const WOOD_TENTHS_LB_PER_CU_FT: i64 = UNKNOWN_TENTHS_LB_PER_CU_FT;
