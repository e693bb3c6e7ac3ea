//! What each change calls for, with the arithmetic that led to it: one file per kind of change.
//!
//! Each file has one function of the shelf's one signature, `fn(&Job, &Record, &mut Takeoff)`; this file lists them once.
//! What is missing is said, never guessed, and the rest still counts. What becomes of a need (on hand, cut, bought) is in
//! `buy`. Checks and hold points are not here.

mod beam;
mod board;
mod class;
mod filler;
mod hang_joists;
mod heights;
mod inputs;
mod joists;
mod outline;
mod pack;
mod panels;
mod patch_floor;
mod piece;
mod plate;
mod set_beam;
mod set_post;
mod shore;
mod sister;
mod struts;
mod studs;
mod sundry;
mod take_out;
#[cfg(test)]
pub(crate) mod testing;

pub(crate) use beam::{bearings as beam_bearings, long as beam_long, lumber as beam_lumber};
pub use class::{Class, FastenerClass, PanelClass, StickClass, Treatment};
pub(crate) use hang_joists::{
    OnBeam, PLANE as SEAT_PLANE, PLAY as SEAT_PLAY, SHIM as SEAT_SHIM, SeatFit, hardware_in_one,
    on_beam,
};
pub(crate) use heights::side_words;
pub(crate) use joists::joists;
pub(crate) use piece::size_of;
pub use sundry::usual;

use uuid::Uuid;

use crate::record::{Job, Kind, Record, Spot};
use crate::units::Length;

/// The takeoff of one change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Takeoff {
    /// The change.
    pub change: Uuid,
    /// Its kind.
    pub kind: Kind,
    /// Its work week.
    pub week: u32,
    /// What it needs, in working order.
    pub needs: Vec<Need>,
    /// What is not recorded yet, and what waits for it.
    pub missing: Vec<Missing>,
    /// Figures that are not bought: weight, people, rubble, cut-back.
    pub facts: Vec<Fact>,
    /// What has to be looked at, or stops.
    pub findings: Vec<Finding>,
    /// What comes out and can be kept.
    pub salvage: Vec<Salvage>,
}

/// One thing that a change calls for: like pieces of one length, an area, a count.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// Which need of its change: `stud.a`; the same after every edit, so that a stick can keep its pieces.
    pub slot: String,
    /// What it is, in the trade's words: `Shoring stud, first side`.
    pub title: String,
    /// Its class.
    pub class: Class,
    /// How many pieces; a fastener's or a sundry's count.
    pub count: i64,
    /// A stick's cut length; a panel piece's side along the strength axis.
    pub cut: Option<Length>,
    /// A panel piece's side across the strength axis.
    pub across: Option<Length>,
    /// Whether a panel piece may be turned.
    pub turn: bool,
    /// Two letters for the mark on the piece: `ST`; none for what isn't marked.
    pub mark: Option<&'static str>,
    /// What may serve it from on hand.
    pub serves: Serves,
    /// Comes back whole when struck.
    pub temporary: bool,
    /// Crown up.
    pub crown_up: bool,
    /// Whether it counts for the waste of sticks (takeoff.md: pieces of beams and posts don't).
    pub in_waste: bool,
    /// Why it may be bought by, but not cut by yet: a reading that is single or disputed.
    pub held: Option<String>,
    /// The arithmetic, line by line; the last is the result.
    pub sums: Vec<Sum>,
    /// The readings that it rests on.
    pub readings: Vec<Uuid>,
}

/// What may serve a need from on hand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Serves {
    /// The same class only.
    SameClass,
    /// Temporary pieces, blocking and packing: also salvage and other sizes, not thinner nor narrower.
    NotThinnerNorNarrower,
}

/// A line of arithmetic.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sum {
    /// What: `Run length R`.
    pub label: String,
    /// The figure in words: `147 1/4 in`.
    pub value: String,
    /// Where it comes from, or nothing.
    pub note: String,
    /// Whether a rule is drawn above: a result.
    pub result: bool,
}

/// Something that is not recorded yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Missing {
    /// After "needs: ", as in `what it lands on to the seat`.
    pub text: String,
    /// What waits for it: `Post 1, 4×6`.
    pub waits: String,
    /// Where it is to be recorded.
    pub fill: Fill,
}

/// Where something missing is recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Fill {
    /// As a reading.
    Reading(Spot),
    /// As a field of a thing (a change, the job, a wall).
    Field {
        /// Of which thing.
        of: Uuid,
        /// The field's name in the registry.
        field: &'static str,
    },
    /// As another thing, to be added.
    Thing(Kind),
}

/// A figure that is not bought.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Fact {
    /// A stable name for files: `weight_lb`.
    pub name: &'static str,
    /// What: `Weight`.
    pub title: String,
    /// The figure with its unit: `212 lb`.
    pub value: String,
    /// The figure as a whole number in the unit that `name` ends in (1/64 in for lengths, tenths for `_tenths`).
    pub number: i64,
    /// The arithmetic.
    pub sums: Vec<Sum>,
}

/// Something to look at.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Finding {
    /// How grave.
    pub verdict: Verdict,
    /// What is so, then what to do.
    pub text: String,
}

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    /// Worth saying.
    Said,
    /// Look at it.
    Look,
    /// Stop.
    Stop,
}

/// Lumber that comes out and can be kept once it is called sound and nail-free.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Salvage {
    /// What: `Stud`.
    pub title: String,
    /// As-found thickness.
    pub thickness: Length,
    /// As-found depth.
    pub depth: Length,
    /// Usable length of each.
    pub length: Length,
    /// How many.
    pub count: i64,
    /// The arithmetic.
    pub sums: Vec<Sum>,
}

/// A line of arithmetic that is not the result.
pub fn sum(label: impl Into<String>, value: impl Into<String>, note: impl Into<String>) -> Sum {
    Sum {
        label: label.into(),
        value: value.into(),
        note: note.into(),
        result: false,
    }
}

/// A line of arithmetic that is a result.
pub fn result(label: impl Into<String>, value: impl Into<String>, note: impl Into<String>) -> Sum {
    Sum {
        label: label.into(),
        value: value.into(),
        note: note.into(),
        result: true,
    }
}

/// The takeoff of every change of the chosen weeks that still needs something, in working order. An empty choice is all
/// weeks. Planned, ready and under way count; done and dropped don't.
pub fn needs(job: &Job, weeks: &[u32]) -> Vec<Takeoff> {
    job.changes()
        .into_iter()
        .filter(|change| weeks.is_empty() || weeks.contains(&change.week()))
        .filter(|change| !matches!(change.state.as_str(), "done" | "dropped"))
        .map(|change| of_change(job, change))
        .collect()
}

/// The takeoff of one change, whatever its state.
pub fn of_change(job: &Job, change: &Record) -> Takeoff {
    let mut out = of_nothing(change);
    if let Some(takeoff) = takeoff_of(change.kind) {
        takeoff(job, change, &mut out);
    }
    out
}

/// The takeoff of a change before anything is in it.
pub(crate) fn of_nothing(change: &Record) -> Takeoff {
    Takeoff {
        change: change.id,
        kind: change.kind,
        week: change.week(),
        needs: Vec::new(),
        missing: Vec::new(),
        facts: Vec::new(),
        findings: Vec::new(),
        salvage: Vec::new(),
    }
}

type TakeoffOf = fn(&Job, &Record, &mut Takeoff);

/// The one list of kinds: a kind of change more is a file here and a line below.
fn takeoff_of(kind: Kind) -> Option<TakeoffOf> {
    let takeoff: TakeoffOf = match kind {
        Kind::Shore => shore::takeoff,
        Kind::TakeOut => take_out::takeoff,
        Kind::Struts => struts::takeoff,
        Kind::SetBeam => set_beam::takeoff,
        Kind::SetPost => set_post::takeoff,
        Kind::Pack => pack::takeoff,
        Kind::HangJoists => hang_joists::takeoff,
        Kind::Sister => sister::takeoff,
        Kind::Plate => plate::takeoff,
        Kind::Studs => studs::takeoff,
        Kind::PatchFloor => patch_floor::takeoff,
        Kind::Board => board::takeoff,
        Kind::Sundry => sundry::takeoff,
        _ => return None,
    };
    Some(takeoff)
}
