//! Readings: of what, where, and which of several counts (the twice-taken rule).
//!
//! Readings are only ever added. Source of the rule: common practice, no published source.

use std::fmt;

use uuid::Uuid;

use super::kind::Kind;
use crate::units::Length;

macro_rules! whats {
    ($( $variant:ident $name:literal $title:literal [$($kind:ident)*]; )+) => {
        /// What a reading measures. Only ever added to: the names are stored.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum What {
            $( #[doc = $title] $variant, )+
        }

        impl What {
            /// Everything that can be measured.
            pub const ALL: &'static [Self] = &[ $( Self::$variant, )+ ];

            /// Stored words and shown words, for a field's choices.
            pub const CHOICES: &'static [(&'static str, &'static str)] = &[ $( ($name, $title), )+ ];

            /// Its stored word.
            pub const fn name(self) -> &'static str {
                match self { $( Self::$variant => $name, )+ }
            }

            /// Its shown words.
            pub const fn title(self) -> &'static str {
                match self { $( Self::$variant => $title, )+ }
            }

            /// The kinds of things that have it.
            pub const fn of(self) -> &'static [Kind] {
                match self { $( Self::$variant => &[ $( Kind::$kind ),* ], )+ }
            }
        }
    };
}

whats! {
    Length "length" "Length" [Wall Room Member Run Stock];
    Width "width" "Width" [Room Member];
    CeilingHeight "ceiling_height" "Ceiling height" [Room Wall];
    Thickness "thickness" "Thickness" [Wall Member Run Stock];
    Depth "depth" "Depth" [Member Run Stock];
    StudThickness "stud_thickness" "Stud thickness" [Wall];
    StudDepth "stud_depth" "Stud depth" [Wall];
    StudLength "stud_length" "Stud length" [Wall];
    StudSpacing "stud_spacing" "Stud spacing" [Wall];
    PlateThickness "plate_thickness" "Plate thickness" [Wall];
    PlateDepth "plate_depth" "Plate width" [Wall];
    Place "place" "First place from the wall" [Member Run];
    Span "span" "Span" [Member Run];
    BearingStart "bearing_start" "Bearing at its start" [Member Run];
    BearingEnd "bearing_end" "Bearing at its end" [Member Run];
    Rise "rise" "Rise" [Member Run Struts];
    Flat "flat" "Run, on the flat" [Member Run Struts];
    BetweenPlates "between_plates" "Shoring stud: plate to plate" [Shore];
    ClearBetweenPosts "clear_between_posts" "Clear between the posts" [SetBeam];
    LandingToSeat "landing_to_seat" "What it lands on to the seat" [SetPost];
    PlateToPlate "plate_to_plate" "Plate (or header) to plate" [Studs];
    StrutLength "strut_length" "New strut, point to point" [Struts];
    OldStrutLength "old_strut_length" "Old strut, as found" [Struts];
    FloorThickness "floor_thickness" "Floor as found, thickness" [PatchFloor];
    OldThickness "old_thickness" "Old board, thickness" [Board];
    Gap "gap" "Gap as found" [Sister Pack];
    UnderLoad "under_load" "Ceiling height, under load" [Shore];
    AfterStriking "after_striking" "Ceiling height, after striking" [Shore];
    ClearAtFloor "clear_at_floor" "Way in: clear at the floor" [SetBeam];
    ClearAtSeat "clear_at_seat" "Way in: clear at the height of the seats" [SetBeam];
    NewThickness "new_thickness" "New piece as delivered, thickness" [SetBeam SetPost Sister Plate Studs];
    NewDepth "new_depth" "New piece as delivered, depth" [SetBeam SetPost Sister Plate Studs];
    AsCut "as_cut" "As it is cut" [SetPost Shore];
    Start "start" "Its start, from the zero end" [Member];
    PlaceAcross "place_across" "Place across, from the line that the girder is measured from" [Member];
}

impl What {
    /// The thing of that stored word.
    pub fn named(name: &str) -> Option<Self> {
        Self::ALL.iter().copied().find(|what| what.name() == name)
    }

    /// What can be measured of such a thing, in the order of the list.
    pub fn for_kind(kind: Kind) -> impl Iterator<Item = Self> {
        Self::ALL
            .iter()
            .copied()
            .filter(move |what| what.of().contains(&kind))
    }
}

/// One thing that can be measured, at one place: readings with the same spot are readings of the same thing.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Spot {
    /// Of which thing.
    pub of: Uuid,
    /// What of it.
    pub what: What,
    /// On which side of a wall, `a` or `b`; or nothing.
    pub side: String,
    /// Where along it, in lower case; or nothing.
    pub place: String,
    /// Which one of a run or row, from 1; 0 for the run itself.
    pub number: u32,
}

impl Spot {
    /// What of the thing as such: no side, place or number.
    pub fn of(of: Uuid, what: What) -> Self {
        Self {
            of,
            what,
            side: String::new(),
            place: String::new(),
            number: 0,
        }
    }

    /// The same of the n-th of a run, from 1.
    pub fn number(self, number: u32) -> Self {
        Self { number, ..self }
    }

    /// The same on a side.
    pub fn side(self, side: &str) -> Self {
        Self {
            side: side.to_owned(),
            ..self
        }
    }

    /// The same at a place.
    pub fn place(self, place: &str) -> Self {
        Self {
            place: place.trim().to_lowercase(),
            ..self
        }
    }
}

/// In words, without the thing's name: `Ceiling height, side b, middle`.
impl fmt::Display for Spot {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.what.title())?;
        if !self.side.is_empty() {
            write!(f, ", side {}", self.side)?;
        }
        if !self.place.is_empty() {
            write!(f, ", {}", self.place)?;
        }
        if self.number > 0 {
            write!(f, ", number {}", self.number)?;
        }
        Ok(())
    }
}

/// One reading that stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Taken {
    /// Its id.
    pub id: Uuid,
    /// When it was taken, UTC, RFC 3339: sorts as text.
    pub at: String,
    /// How far the clock that `at` is from was off, in seconds, where it can't be relied on.
    pub clock_off_s: Option<i64>,
    /// Whether by tape or laser; by eye it never agrees with another.
    pub by_tape: bool,
    /// What was read.
    pub value: Length,
}

/// Whether a reading was confirmed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Agreement {
    /// The newest agrees with another.
    Agreed,
    /// The newest agrees with none of the others.
    Disputed,
    /// There is one alone.
    Single,
}

impl Agreement {
    /// Whether a cut may go by it.
    pub fn is_agreed(self) -> bool {
        self == Self::Agreed
    }
}

/// What counts of all readings of one spot.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Measured {
    /// The length that counts.
    pub value: Length,
    /// The reading that counts.
    pub counts: Uuid,
    /// The state, by the newest reading.
    pub state: Agreement,
    /// Every reading that stands, oldest first.
    pub all: Vec<Taken>,
}

/// Judges the readings of one spot: the newest that agrees with any other counts, else the newest; the state goes by the
/// newest. Two readings agree if both are by tape or laser and differ by at most `tolerance`. `None` where there is none.
///
/// A reading whose time can't be relied on is a reading, but never by itself displaces the one that counts: where it
/// disagrees, measure again.
///
/// Source: common practice, no published source.
pub fn judge(mut all: Vec<Taken>, tolerance: Length) -> Option<Measured> {
    all.sort_by(|a, b| (&a.at, a.id).cmp(&(&b.at, b.id)));
    let agrees = |one: &Taken| {
        one.by_tape
            && all.iter().any(|other| {
                other.id != one.id && other.by_tape && (other.value - one.value).abs() <= tolerance
            })
    };
    let newest = all.last()?;
    let doubtful = |one: &&Taken| one.clock_off_s.is_some();
    let newest_sure = all.iter().rev().find(|one| !doubtful(one));
    let counts = all
        .iter()
        .rev()
        .find(|one| agrees(one) && !doubtful(one))
        .or_else(|| all.iter().rev().find(|one| agrees(one)))
        .or(newest_sure)
        .unwrap_or(newest);
    // Nobody knows whether a doubtful one is the newest: each must agree.
    let last = newest_sure.unwrap_or(newest);
    let all_agree = agrees(last) && all.iter().filter(doubtful).all(agrees);
    let state = if all_agree {
        Agreement::Agreed
    } else if all.len() == 1 {
        Agreement::Single
    } else {
        Agreement::Disputed
    };
    Some(Measured {
        value: counts.value,
        counts: counts.id,
        state,
        all: all.clone(),
    })
}
