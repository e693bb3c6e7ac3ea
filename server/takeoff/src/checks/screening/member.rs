//! A beam or a joist as the screen takes it in: sizes, wood, spans, bearings and loads, each as recorded or missing.
//!
//! How it is worked out is in `bending`; what goes into it from a job's record is the caller's business.

use crate::checks::Measurement;
use crate::tables::loads::{BOARD_SAG, FLOOR_SAG, OTHER_SAG, PLASTER_SAG, SagLimit};
use crate::units::{Length, Plf, Pounds};

use super::basis::Basis;
use super::combination::LoadKind;
use super::wood::Wood;

/// A bending member on two or three supports.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Member {
    /// Its name, as sentences have it: `Beam 1`.
    pub name: String,
    /// The thickness of one ply; of old wood the least reading.
    pub thickness: Measurement,
    /// Its depth; of old wood the least reading.
    pub depth: Measurement,
    /// Plies beside each other.
    pub plies: u32,
    /// What it is made of.
    pub wood: Wood,
    /// The clear spans, one or two, from its start.
    pub clear: Vec<Measurement>,
    /// Its bearings, one more than spans, from its start.
    pub bearings: Vec<Bearing>,
    /// Loads along it, its own weight not among them.
    pub line_loads: Vec<LineLoad>,
    /// Loads at places.
    pub point_loads: Vec<PointLoad>,
    /// Three or more alike under sheathing, at most 24 in apart.
    pub repetitive: bool,
    /// Whether joists or sheathing hold its top edge.
    pub top_edge: Known,
    /// What sags with it.
    pub carries: Carries,
    /// Whether it was looked at and found whole.
    pub condition: Condition,
    /// Joists hang on one face alone of a built-up beam.
    pub hangers_on_one_face: bool,
}

/// Yes, no, or nobody has said.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Known {
    /// Yes.
    Yes,
    /// No.
    No,
    /// Nobody has said.
    NotKnown,
}

/// Whether a member was looked at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Condition {
    /// Looked at, and whole; or new.
    Sound,
    /// A notch, hole, split or decay is noted.
    Noted(String),
    /// Not recorded.
    NotRecorded,
}

impl Condition {
    /// What stands in the way of screening it.
    pub(crate) fn hinders(&self) -> Option<String> {
        match self {
            Self::Sound => None,
            Self::Noted(what) => Some(format!(
                "an engineer’s word on its condition ({})",
                what.trim()
            )),
            Self::NotRecorded => {
                Some("its condition looked at and recorded: notches, holes, splits, decay".into())
            }
        }
    }
}

/// What a member carries that mustn't crack.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Carries {
    /// A floor.
    Floor,
    /// A plastered ceiling alone.
    Plaster,
    /// A boarded ceiling alone.
    Board,
    /// Neither floor nor ceiling.
    Neither,
    /// Not known: taken as plaster.
    NotKnown,
}

impl Carries {
    /// The most sag under live load.
    pub const fn limit(self) -> SagLimit {
        match self {
            Self::Floor => FLOOR_SAG,
            Self::Plaster | Self::NotKnown => PLASTER_SAG,
            Self::Board => BOARD_SAG,
            Self::Neither => OTHER_SAG,
        }
    }
}

/// What a member bears on at a support.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bearing {
    /// Where: `start`, `end`, `middle post`.
    pub place: String,
    /// Along the member: how long it bears.
    pub length: Measurement,
    /// Across it, where that is less than its thickness.
    pub width: Option<Measurement>,
    /// On what.
    pub on: On,
}

/// What is under a bearing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum On {
    /// Wood: every piece between, subfloor included; the weakest counts.
    Wood(Vec<Wood>),
    /// Masonry or concrete: the member's own wood counts.
    Masonry,
    /// A hanger: screened by `hanger`; the member's own wood counts here.
    Hanger,
    /// Nobody has said.
    NotKnown,
}

/// A load along a member.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LineLoad {
    /// What it is: `floor above, living room`.
    pub what: String,
    /// Its kind.
    pub kind: LoadKind,
    /// How much; `None` where a layer, the snow or a span isn't known.
    pub load: Option<Plf>,
    /// What it is at least, where it isn't known: enough to see that a member doesn't pass.
    pub at_least: Option<Plf>,
    /// From and to, from the inside face of the first support; `None`: the whole of it.
    pub stretch: Option<(Length, Length)>,
    /// What it was worked out from.
    pub basis: Basis,
}

impl LineLoad {
    /// One of which nobody knows how much it is: what it takes to tell.
    pub(crate) fn unknown(what: String) -> Self {
        Self {
            what,
            kind: LoadKind::Dead,
            load: None,
            at_least: None,
            stretch: None,
            basis: Basis::default(),
        }
    }
}

/// A load at a place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PointLoad {
    /// What it is: `post above`.
    pub what: String,
    /// Its kind.
    pub kind: LoadKind,
    /// How much; `None` where it isn't known.
    pub load: Option<Pounds>,
    /// From the inside face of the first support.
    pub at: Measurement,
    /// What it was worked out from.
    pub basis: Basis,
}
