//! Checks of what is on record: the job's readings and fields put into each check, and what it says as plain data.
//!
//! One file for each group of checks; this one lists them once. What a check judges by is in [`fit`](super::fit) and
//! [`screening`](super::screening), what comes down where in [`load_path`](super::load_path). Not here: hold points, pages.
//! Source: none of its own; each check names its.

mod agreed;
mod beam;
mod hangers;
pub(crate) mod heights;
mod landing;
mod meets;
mod screens;
mod shore;
pub(crate) mod sizes;

use uuid::Uuid;

use super::screening::screened::{LeastDepth, Ratio, Screened, Sensitivity};
use super::{CAUTION, Figure, Finding, Verdict};
use crate::needs::{Fill, Sum};
use crate::record::{Job, Kind, Record};

pub(crate) use landing::axes as landing_axes;
pub use landing::{Asked, lies, packing_asked};
pub(crate) use landing::{lands_on, packs_under};
pub(crate) use meets::short_side;

macro_rules! kinds {
    ($( $variant:ident $name:literal $title:literal $structural:literal; )+) => {
        /// What is checked, in the order of pages.
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
        pub enum CheckKind {
            $( #[doc = $title] $variant, )+
        }

        impl CheckKind {
            /// Every kind.
            pub const ALL: &'static [Self] = &[ $( Self::$variant, )+ ];

            /// Its name in files and addresses.
            pub const fn name(self) -> &'static str {
                match self { $( Self::$variant => $name, )+ }
            }

            /// Its heading.
            pub const fn title(self) -> &'static str {
                match self { $( Self::$variant => $title, )+ }
            }

            /// Whether it says something of strength, and so bears the caution line.
            pub const fn is_structural(self) -> bool {
                match self { $( Self::$variant => $structural, )+ }
            }
        }
    };
}

kinds! {
    LoadPath "load_path" "Load path" true;
    Landing "landing" "What it lands on" true;
    BeamScreen "beam" "Screen of the beam" true;
    PostScreen "post" "Screen of the post" true;
    MemberScreen "carrying_member" "Screen of what carries it" true;
    PadScreen "pad" "Screen of the pad" true;
    JoistScreen "joists" "Screen of the joists" true;
    HangerScreen "hanger_load" "Screen of the hanger" true;
    ShoreScreen "shore" "Screen of the shore" true;
    ShoreFooting "shore_footing" "What carries the shore" true;
    BeamBearing "beam_bearing" "Bearing of the beam" true;
    HangerFit "hanger_fit" "Hanger on the joist" false;
    OldAndNew "old_and_new" "Old against new" false;
    WayIn "way_in" "Way in for the beam" false;
    Shrinkage "shrinkage" "Green timber" false;
    OverCut "over_cut" "Snug, not jacked" false;
    CeilingHeights "ceiling_heights" "Ceiling heights" false;
    AgreedReadings "agreed_readings" "Readings to cut by" false;
}

/// What a check of the record says.
#[derive(Clone, Debug, PartialEq)]
pub struct Check {
    /// What is checked.
    pub kind: CheckKind,
    /// Of which change.
    pub change: Uuid,
    /// Its work week.
    pub week: u32,
    /// What it is about: the change or the members.
    pub of: Vec<Uuid>,
    /// What it is about, in words: `Post 2`.
    pub about: String,
    /// What it says.
    pub verdict: Verdict,
    /// In a sentence or two.
    pub sentence: String,
    /// The arithmetic.
    pub sums: Vec<Sum>,
    /// Each check of a screen with its own arithmetic, the worst first.
    pub parts: Vec<Part>,
    /// What to measure or record, where it can't tell yet.
    pub measure: Vec<String>,
    /// Where the first of that is recorded, if that can be told.
    pub fill: Option<Fill>,
    /// What else it says: which inputs matter, the least depth that passes.
    pub says: Vec<String>,
    /// The readings that it rests on.
    pub readings: Vec<Uuid>,
    /// The figures used.
    pub figures: Vec<Figure>,
    /// Where the rule is from.
    pub source: String,
}

/// One check of a screen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Part {
    /// What and where: `bearing, start`.
    pub title: String,
    /// Demand over capacity, two decimals: `0.72`.
    pub ratio: String,
    /// What it says by itself.
    pub verdict: Verdict,
    /// Under which loads: `D + L`.
    pub under: String,
    /// The arithmetic.
    pub sums: Vec<Sum>,
    /// What of it is from memory.
    pub from_memory: Vec<String>,
}

impl Check {
    /// What stands beside it wherever it is shown; nothing where it says nothing of strength.
    pub fn caution(&self) -> Option<&'static str> {
        self.kind.is_structural().then_some(CAUTION)
    }

    /// From a fit check.
    pub(crate) fn of(
        kind: CheckKind,
        change: &Record,
        about: impl Into<String>,
        found: Finding,
    ) -> Self {
        Self {
            kind,
            change: change.id,
            week: change.week(),
            of: vec![change.id],
            about: about.into(),
            verdict: found.verdict,
            sentence: found.sentence,
            sums: found.sums,
            parts: Vec::new(),
            measure: found.measure,
            fill: found.fill,
            says: Vec::new(),
            readings: found.readings,
            figures: Vec::new(),
            source: found.source.to_owned(),
        }
    }

    /// From a screen.
    pub(crate) fn screened(kind: CheckKind, change: &Record, screen: Screened) -> Self {
        let says = says_of(&screen);
        Self {
            kind,
            change: change.id,
            week: change.week(),
            of: vec![change.id],
            about: screen.name,
            verdict: screen.verdict,
            sentence: screen.sentence,
            sums: screen.sums,
            parts: screen.ratios.iter().map(Part::of).collect(),
            measure: screen.measure,
            fill: None,
            says,
            readings: screen.readings,
            figures: screen.figures,
            source: "NDS and IRC where they speak, else conservative practice".to_owned(),
        }
    }

    /// The same with the arithmetic, readings and figures of the screen that decides it, and what that still needs.
    pub(crate) fn with_screen(mut self, screen: Screened) -> Self {
        self.says.extend(says_of(&screen));
        self.parts.extend(screen.ratios.iter().map(Part::of));
        self.sums.extend(screen.sums);
        self.measure.extend(screen.measure);
        self.readings.extend(screen.readings);
        self.readings.sort_unstable();
        self.readings.dedup();
        self.figures.extend(screen.figures);
        self
    }

    /// The same, about these things too.
    pub(crate) fn about_all(mut self, things: impl IntoIterator<Item = Uuid>) -> Self {
        for thing in things {
            if !self.of.contains(&thing) {
                self.of.push(thing);
            }
        }
        self
    }
}

impl Part {
    fn of(ratio: &Ratio) -> Self {
        let amount = ratio.ratio();
        Self {
            title: ratio.title(),
            ratio: if amount.is_infinite() {
                "nothing takes it".to_owned()
            } else {
                format!("{amount:.2}")
            },
            verdict: ratio.verdict(),
            under: ratio.under.to_owned(),
            sums: ratio.sums.clone(),
            from_memory: ratio.from_memory.clone(),
        }
    }
}

fn says_of(screen: &Screened) -> Vec<String> {
    let inputs = screen.sensitivity.iter().map(Sensitivity::sentence);
    inputs.chain(screen.least_depth.map(least_depth)).collect()
}

fn least_depth(least: LeastDepth) -> String {
    match least {
        LeastDepth::From(nominal, depth) => {
            format!("The least depth that passes this screen is {depth} in, {nominal}.")
        }
        LeastDepth::NoneTo16 => {
            "No depth up to nominal 16 in passes this screen in that thickness.".to_owned()
        }
    }
}

/// Every check of every change that isn't dropped, in working order.
pub fn of_job(job: &Job) -> Vec<Check> {
    job.changes()
        .into_iter()
        .filter(|change| change.state != "dropped")
        .flat_map(|change| of_change(job, change))
        .collect()
}

/// Every check of one change, in the order of [`CheckKind`].
pub fn of_change(job: &Job, change: &Record) -> Vec<Check> {
    let (fits, others) = checks_of(change.kind);
    let mut out = run(job, change, fits);
    out.extend(run(job, change, others));
    out.sort_by_key(|check| check.kind);
    out
}

/// Its fit checks alone: no screen is worked out.
pub(crate) fn fits_of_change(job: &Job, change: &Record) -> Vec<Check> {
    run(job, change, checks_of(change.kind).0)
}

/// The screens of a shore's own studs and plates, each side and storey.
pub(crate) fn shore_screens(job: &Job, shore: &Record) -> Vec<Check> {
    run(job, shore, &[screens::shore])
}

fn run(job: &Job, change: &Record, checks: &[CheckOf]) -> Vec<Check> {
    let mut out = Vec::new();
    for check in checks {
        check(job, change, &mut out);
    }
    out
}

/// The worst verdict of these; a pass where there are none.
pub fn worst(checks: &[Check]) -> Verdict {
    let all = checks.iter().map(|check| check.verdict);
    all.max().unwrap_or(Verdict::Pass)
}

type CheckOf = fn(&Job, &Record, &mut Vec<Check>);

/// The one list of checks by kind of change: whether it fits, and what screens or readings say.
fn checks_of(kind: Kind) -> (&'static [CheckOf], &'static [CheckOf]) {
    match kind {
        Kind::Shore => (&[shore::checks], &[screens::shore, agreed::checks]),
        Kind::TakeOut | Kind::Struts => (&[], &[screens::path, agreed::checks]),
        Kind::SetBeam => (
            &[beam::checks],
            &[screens::path, screens::beam, agreed::checks],
        ),
        Kind::SetPost => (&[landing::checks], &[screens::post, agreed::checks]),
        Kind::HangJoists => (&[hangers::checks], &[screens::joists, agreed::checks]),
        Kind::Sister | Kind::Plate | Kind::Studs => (&[meets::checks], &[agreed::checks]),
        Kind::PatchFloor | Kind::Board => (&[meets::checks], &[]),
        _ => (&[], &[]),
    }
}

#[cfg(test)]
mod tests;
