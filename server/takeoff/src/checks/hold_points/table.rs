//! The table of hold points, as data: which event of which change waits, for what, and from where the rule is.
//!
//! Who releases is the lead, everywhere; the engineer's and the inspector's words come in as papers that the lead enters.
//! Source of every row without one: common practice, no published source.

use super::Effect;
use crate::record::Kind;

macro_rules! asks {
    ($( $variant:ident $name:literal $title:literal $sort:ident $skip:ident; )+) => {
        /// One thing that must stand. Only ever added to: the names are stored.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum Ask {
            $( #[doc = $title] $variant, )+
        }

        /// Stored words and shown words, for a field's choices.
        pub const ASKS: &[(&str, &str)] = &[ $( ($name, $title), )+ ];

        impl Ask {
            /// All of them.
            pub const ALL: &'static [Self] = &[ $( Self::$variant, )+ ];

            /// Its stored word.
            pub const fn name(self) -> &'static str {
                match self { $( Self::$variant => $name, )+ }
            }

            /// Its shown words.
            pub const fn title(self) -> &'static str {
                match self { $( Self::$variant => $title, )+ }
            }

            /// What tells whether it stands.
            pub const fn sort(self) -> Sort {
                match self { $( Self::$variant => Sort::$sort, )+ }
            }

            /// Whether the lead may skip it, with a written reason.
            pub const fn skip(self) -> CanSkip {
                match self { $( Self::$variant => CanSkip::$skip, )+ }
            }
        }
    };
}

/// What tells whether something stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sort {
    /// The record: readings, fields, states of other changes.
    Record,
    /// A paper or somebody's word, entered by the lead.
    Paper,
    /// What only somebody who looks can say: ticked with the release.
    Seen,
}

/// Whether something may be skipped.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CanSkip {
    /// By the lead, with a written reason; it stays visible.
    WithReason,
    /// Never: services, shoring, hangers, and what is a tick anyway.
    Never,
}

asks! {
    LeadPaint "lead_paint" "Lead paint" Paper WithReason;
    Asbestos "asbestos" "Asbestos" Paper WithReason;
    Services "services" "Services in the wall looked at and made safe" Record Never;
    ServicesSeen "services_seen" "What runs through it is looked at and made safe" Seen Never;
    Bearing "bearing" "Whether it carries, who says so, from what" Record WithReason;
    BeamOnSite "beam_on_site" "The beam is on site" Record WithReason;
    CarriesShore "carries_shore" "What the shore stands on" Record Never;
    FloorClosed "floor_closed" "No floor under it is open" Record Never;
    UnderShore "under_shore" "No shore stands on it" Record Never;
    Engineer "engineer" "Engineer’s word" Paper WithReason;
    Permit "permit" "Permit" Paper WithReason;
    Shoring "shoring" "Shoring stands" Record Never;
    ShoringSeen "shoring_seen" "Shoring snug and plumb, on every side and storey, looked at today" Seen Never;
    Landings "landings" "What the posts land on" Record WithReason;
    Carried "carried" "Roof struts are out, on their own path" Record Never;
    CarriedSeen "carried_seen" "What the cut leaves unsupported is carried" Seen Never;
    Agreed "agreed" "The cut’s readings agree" Record WithReason;
    Replacement "replacement" "Beam, posts and hangers are planned by then" Record WithReason;
    CatchSeen "catch_seen" "No later change needs the piece to catch or tie something" Seen Never;
    LookedAgain "looked_again" "Looked at again under load" Seen Never;
    HeightsUnderLoad "heights_under_load" "Ceiling heights within 1/8 in" Record Never;
    TemporaryPath "temporary_path" "Their load has its own path meanwhile" Record Never;
    PathSeen "path_seen" "That path stands, and is not the ceiling joists" Seen Never;
    MarkedSeen "marked_seen" "Each strut is marked and measured" Seen Never;
    StrutPhoto "strut_photo" "A photo of them as they stand" Record WithReason;
    BeamBears "beam_bears" "The beam bears on its posts" Record Never;
    SetSeen "set_seen" "45° or steeper, 4 ft apart at most, on bearing" Seen Never;
    PeopleSeen "people_seen" "People enough for its weight, one calls the moves" Seen Never;
    Posts "posts" "Its posts are set" Record WithReason;
    Packing "packing" "All packing is set" Record WithReason;
    PlumbSeen "plumb_seen" "Posts plumb and tied" Seen Never;
    Hangers "hangers" "All joists of it are hung" Record Never;
    HangersSeen "hangers_seen" "Each hanger fastened as its sheet says, count against count" Seen Never;
    StrutsBack "struts_back" "Roof struts are back" Record Never;
    TiedSeen "tied_seen" "Posts tied, storeys from the top down, nobody under it" Seen Never;
    Inspection "inspection" "Inspection" Paper WithReason;
    TopDown "top_down" "No shore stands above it" Record Never;
    NothingLeans "nothing_leans" "Nothing open leans on it" Record Never;
    Photos "photos" "A photo of every connection" Record WithReason;
    CutsOld "cuts_old" "Whether old framing is cut for it" Record Never;
    ReachSeen "reach_seen" "Packing that is only planned can be reached without this cut" Seen Never;
    HeightsAfter "heights_after" "Ceiling heights after striking" Record WithReason;
}

impl Ask {
    /// The one of that stored word.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|ask| ask.name() == name)
    }
}

/// An event of a change that waits. The names are stored (`record::choices::HOLD_EVENT`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Event {
    /// Plaster, tile, texture, fill is broken.
    BreakFinish,
    /// Work on it starts.
    Start,
    /// The first stud, plate or joist is cut or removed. Stripping finish isn't.
    FirstCut,
    /// Each next cut, each morning, each return after a gap.
    NextCut,
    /// Struts come out.
    Out,
    /// Struts go back.
    Back,
    /// The beam goes up.
    Raised,
    /// The beam takes load.
    FirstLoad,
    /// Shoring comes down.
    Struck,
    /// Connections are covered.
    ClosedUp,
}

impl Event {
    /// All of them, in working order.
    pub const ALL: [Self; 10] = [
        Self::BreakFinish,
        Self::Start,
        Self::FirstCut,
        Self::NextCut,
        Self::Out,
        Self::Back,
        Self::Raised,
        Self::FirstLoad,
        Self::Struck,
        Self::ClosedUp,
    ];

    /// Its stored word.
    pub const fn name(self) -> &'static str {
        match self {
            Self::BreakFinish => "break_finish",
            Self::Start => "start",
            Self::FirstCut => "first_cut",
            Self::NextCut => "next_cut",
            Self::Out => "out",
            Self::Back => "back",
            Self::Raised => "raised",
            Self::FirstLoad => "first_load",
            Self::Struck => "struck",
            Self::ClosedUp => "closed_up",
        }
    }

    /// What people call it.
    pub const fn title(self) -> &'static str {
        match self {
            Self::BreakFinish => "Breaking finish",
            Self::Start => "Start",
            Self::FirstCut => "First cut",
            Self::NextCut => "Next cut, each morning",
            Self::Out => "Out",
            Self::Back => "Back",
            Self::Raised => "Raised",
            Self::FirstLoad => "First load",
            Self::Struck => "Struck",
            Self::ClosedUp => "Closed up",
        }
    }

    /// The one of that stored word.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|event| event.name() == name)
    }
}

/// A move of a change that a gate stands before; a later one passes all gates of the earlier ones.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Move {
    /// Into under way.
    UnderWay,
    /// Into done.
    Done,
    /// A shore that stands is struck.
    Struck,
    /// No move of its own: looked at again each time.
    EachTime,
}

/// A row of the table.
#[derive(Clone, Copy, Debug)]
pub struct Row {
    /// The event.
    pub event: Event,
    /// Of changes of these kinds.
    pub kinds: &'static [Kind],
    /// Where they do this.
    pub effect: Effect,
    /// Before which move.
    pub before: Move,
    /// What must stand.
    pub asks: &'static [Ask],
    /// Where the rule is from.
    pub source: &'static str,
}

const PRACTICE: &str = "common practice, no published source";
const FINISH: &str = "EPA 40 CFR 745 Subpart E; OSHA 29 CFR 1926.1101; OSHA 29 CFR 1926.850(c)";
const CUT: &str = "OSHA 29 CFR 1926.850(a), (b); IRC R105 (from memory)";

const CUT_ASKS: &[Ask] = &[
    Ask::Engineer,
    Ask::Permit,
    Ask::Shoring,
    Ask::Landings,
    Ask::Carried,
    Ask::Agreed,
    Ask::Replacement,
    Ask::ReachSeen,
    Ask::ShoringSeen,
    Ask::CarriedSeen,
    Ask::CatchSeen,
];

/// Every row, in working order.
pub const ROWS: &[Row] = &[
    Row {
        event: Event::BreakFinish,
        kinds: &[Kind::TakeOut, Kind::Plate, Kind::Studs],
        effect: Effect::BreaksFinish,
        before: Move::UnderWay,
        asks: &[Ask::LeadPaint, Ask::Asbestos, Ask::Services],
        source: FINISH,
    },
    Row {
        event: Event::BreakFinish,
        kinds: &[Kind::HangJoists, Kind::SetPost, Kind::PatchFloor],
        effect: Effect::BreaksFinish,
        before: Move::UnderWay,
        asks: &[Ask::LeadPaint, Ask::Asbestos, Ask::ServicesSeen],
        source: FINISH,
    },
    Row {
        event: Event::Start,
        kinds: &[Kind::TakeOut],
        effect: Effect::Always,
        before: Move::UnderWay,
        asks: &[Ask::Bearing],
        source: "OSHA 29 CFR 1926.850(a)",
    },
    Row {
        event: Event::Start,
        kinds: &[Kind::Shore],
        effect: Effect::Always,
        before: Move::UnderWay,
        asks: &[Ask::BeamOnSite, Ask::CarriesShore, Ask::FloorClosed],
        source: PRACTICE,
    },
    Row {
        event: Event::Start,
        kinds: &[Kind::PatchFloor],
        effect: Effect::OpensUnderShore,
        before: Move::UnderWay,
        asks: &[Ask::UnderShore],
        source: PRACTICE,
    },
    Row {
        event: Event::FirstCut,
        kinds: &[Kind::TakeOut],
        effect: Effect::CutsCarrying,
        before: Move::Done,
        asks: CUT_ASKS,
        source: CUT,
    },
    Row {
        event: Event::FirstCut,
        kinds: &[Kind::HangJoists],
        effect: Effect::CutsCarrying,
        before: Move::UnderWay,
        asks: CUT_ASKS,
        source: CUT,
    },
    Row {
        event: Event::FirstCut,
        kinds: &[Kind::Plate, Kind::Studs],
        effect: Effect::CutsCarrying,
        before: Move::UnderWay,
        asks: &[
            Ask::CutsOld,
            Ask::Engineer,
            Ask::Permit,
            Ask::Shoring,
            Ask::Agreed,
            Ask::ShoringSeen,
            Ask::CarriedSeen,
            Ask::CatchSeen,
        ],
        source: CUT,
    },
    // What a sister is set beside bears on girders as often as on walls: it names the shore that carries it.
    Row {
        event: Event::FirstCut,
        kinds: &[Kind::Sister],
        effect: Effect::CutsCarrying,
        before: Move::UnderWay,
        asks: &[
            Ask::CutsOld,
            Ask::Engineer,
            Ask::Permit,
            Ask::Shoring,
            Ask::Agreed,
            Ask::ShoringSeen,
            Ask::CarriedSeen,
            Ask::CatchSeen,
        ],
        source: CUT,
    },
    Row {
        event: Event::NextCut,
        kinds: &[
            Kind::TakeOut,
            Kind::HangJoists,
            Kind::Plate,
            Kind::Studs,
            Kind::Sister,
        ],
        effect: Effect::CutsCarrying,
        before: Move::EachTime,
        asks: &[Ask::HeightsUnderLoad, Ask::LookedAgain],
        source: PRACTICE,
    },
    Row {
        event: Event::Out,
        kinds: &[Kind::Struts],
        effect: Effect::Always,
        before: Move::UnderWay,
        asks: &[
            Ask::Asbestos,
            Ask::TemporaryPath,
            Ask::StrutPhoto,
            Ask::PathSeen,
            Ask::MarkedSeen,
        ],
        source: "IRC R802.4.5; EPA guidance on vermiculite in attics",
    },
    Row {
        event: Event::Back,
        kinds: &[Kind::Struts],
        effect: Effect::Always,
        before: Move::Done,
        asks: &[Ask::BeamBears, Ask::SetSeen],
        source: "IRC R802.4.5",
    },
    Row {
        event: Event::Raised,
        kinds: &[Kind::SetBeam],
        effect: Effect::Always,
        before: Move::UnderWay,
        asks: &[Ask::PeopleSeen],
        source: "NIOSH revised lifting equation; common practice",
    },
    Row {
        event: Event::FirstLoad,
        kinds: &[Kind::SetBeam],
        effect: Effect::Always,
        before: Move::Done,
        asks: &[Ask::Posts, Ask::Packing, Ask::PlumbSeen],
        source: PRACTICE,
    },
    Row {
        event: Event::Struck,
        kinds: &[Kind::Shore],
        effect: Effect::Always,
        before: Move::Struck,
        asks: &[
            Ask::BeamBears,
            Ask::Packing,
            Ask::Hangers,
            Ask::StrutsBack,
            Ask::NothingLeans,
            Ask::TopDown,
            Ask::Inspection,
            Ask::HangersSeen,
            Ask::TiedSeen,
        ],
        source: "IRC R502.6, R106.1.2 (from memory); common practice",
    },
    Row {
        event: Event::ClosedUp,
        kinds: &[Kind::Board],
        effect: Effect::CoversConnections,
        before: Move::UnderWay,
        asks: &[Ask::Photos, Ask::HeightsAfter, Ask::Inspection],
        source: PRACTICE,
    },
];
