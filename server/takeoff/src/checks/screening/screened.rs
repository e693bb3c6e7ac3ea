//! What a screen gives back: each check's demand over its capacity, the one that governs, a verdict with its sentence, and
//! what it rests on.
//!
//! Plain data for pages, files and prints. Source of the verdict's bounds: working assumption, no published source.

use uuid::Uuid;

use super::figure::Figure;
use crate::checks::{CAUTION, Verdict};
use crate::needs::Sum;
use crate::tables::Confidence;
use crate::units::{Length, Nominal};

/// To this ratio a check passes.
pub const PASS_TO: f64 = 0.90;
/// To this ratio it is to be looked at; above it, stop.
pub const LOOK_TO: f64 = 1.0;

/// What is checked.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Check {
    /// Bending between supports.
    Bending,
    /// Bending over a support that it runs over.
    BendingOverPost,
    /// Horizontal shear.
    Shear,
    /// Sag under live load.
    LiveSag,
    /// Sag under all load, with creep.
    TotalSag,
    /// Bearing at an end or a support.
    Bearing,
    /// Compression along the grain, with buckling.
    Buckling,
    /// Slenderness.
    Slenderness,
    /// Bending of a plate between studs.
    PlateBending,
    /// Shear of a plate.
    PlateShear,
    /// Pressure on the soil.
    Soil,
    /// A hanger's load.
    Hanger,
}

impl Check {
    /// In words, at the start of a sentence's part.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Bending => "bending",
            Self::BendingOverPost => "bending over the middle post",
            Self::Shear => "shear",
            Self::LiveSag => "sag under live load",
            Self::TotalSag => "sag under all load",
            Self::Bearing => "bearing",
            Self::Buckling => "buckling",
            Self::Slenderness => "slenderness",
            Self::PlateBending => "bending of the plate",
            Self::PlateShear => "shear of the plate",
            Self::Soil => "pressure on the soil",
            Self::Hanger => "the hanger",
        }
    }
}

/// One check's demand over its capacity.
#[derive(Clone, Debug, PartialEq)]
pub struct Ratio {
    /// What is checked.
    pub check: Check,
    /// Where, if there are several: `start`.
    pub place: String,
    /// What is asked of it.
    pub demand: f64,
    /// What it may take.
    pub capacity: f64,
    /// The unit of both.
    pub unit: &'static str,
    /// Under which loads.
    pub under: &'static str,
    /// The arithmetic; the last line is the ratio.
    pub sums: Vec<Sum>,
    /// What of it is from memory, in words: `Fb`.
    pub from_memory: Vec<String>,
}

impl Ratio {
    /// Demand over capacity; without a capacity it is beyond every bound.
    pub fn ratio(&self) -> f64 {
        if self.capacity > 0.0 {
            self.demand / self.capacity
        } else {
            f64::INFINITY
        }
    }

    /// Its verdict by itself. Slenderness has a bound and no reserve to keep: up to it is a pass.
    pub fn verdict(&self) -> Verdict {
        let ratio = self.ratio();
        let pass_to = match self.check {
            Check::Slenderness => LOOK_TO,
            _ => PASS_TO,
        };
        if ratio <= pass_to {
            Verdict::Pass
        } else if ratio <= LOOK_TO {
            Verdict::Look
        } else {
            Verdict::Stop
        }
    }

    /// What and where, in words: `bearing, start`.
    pub fn title(&self) -> String {
        if self.place.is_empty() {
            self.check.words().to_owned()
        } else {
            format!("{}, {}", self.check.words(), self.place)
        }
    }
}

/// How much an input matters: the governing ratio when it is a tenth worse.
#[derive(Clone, Debug, PartialEq)]
pub struct Sensitivity {
    /// Which input, and how it is changed: `clear span a tenth longer`.
    pub input: &'static str,
    /// The greatest ratio as it is.
    pub from: f64,
    /// The greatest ratio with that input a tenth worse.
    pub to: f64,
}

impl Sensitivity {
    /// In one sentence.
    pub fn sentence(&self) -> String {
        format!(
            "With the {} the greatest ratio goes from {:.2} to {:.2}.",
            self.input, self.from, self.to
        )
    }
}

/// The least depth that passes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeastDepth {
    /// It passes from this size on, of that thickness, grade and plies.
    From(Nominal, Length),
    /// None to nominal 16 passes.
    NoneTo16,
}

/// What a screen found.
#[derive(Clone, Debug, PartialEq)]
pub struct Screened {
    /// Of what.
    pub name: String,
    /// What it says.
    pub verdict: Verdict,
    /// In a sentence or two, the verdict’s word left to whoever shows it.
    pub sentence: String,
    /// Every check, the worst first.
    pub ratios: Vec<Ratio>,
    /// Arithmetic that all checks share: spans, loads.
    pub sums: Vec<Sum>,
    /// What to measure or record, where it can't tell yet.
    pub measure: Vec<String>,
    /// Why it is at most to be looked at.
    pub looks: Vec<String>,
    /// The two inputs that matter most.
    pub sensitivity: Vec<Sensitivity>,
    /// The least passing depth, for beams and joists.
    pub least_depth: Option<LeastDepth>,
    /// The figures used.
    pub figures: Vec<Figure>,
    /// The readings that it rests on.
    pub readings: Vec<Uuid>,
}

impl Screened {
    /// The check that governs.
    pub fn governing(&self) -> Option<&Ratio> {
        self.ratios.first()
    }

    /// The ratio of the check that governs.
    pub fn greatest(&self) -> Option<f64> {
        self.governing().map(Ratio::ratio)
    }

    /// The ratio of a check, the greatest where there are several.
    pub fn ratio_of(&self, check: Check) -> Option<f64> {
        let of_check = self.ratios.iter().filter(|ratio| ratio.check == check);
        of_check.map(Ratio::ratio).max_by(f64::total_cmp)
    }

    /// What stands beside it wherever it is shown.
    pub const fn caution(&self) -> &'static str {
        CAUTION
    }
}

/// What a screen has gathered before it concludes.
#[derive(Clone, Debug, Default)]
pub(crate) struct Gathered {
    pub(crate) ratios: Vec<Ratio>,
    pub(crate) sums: Vec<Sum>,
    pub(crate) measure: Vec<String>,
    pub(crate) looks: Vec<String>,
    pub(crate) stops: Vec<String>,
    pub(crate) sensitivity: Vec<Sensitivity>,
    pub(crate) least_depth: Option<LeastDepth>,
    pub(crate) figures: Vec<Figure>,
    pub(crate) readings: Vec<Uuid>,
}

impl Gathered {
    /// The verdict and its sentence: the worst of all, and "can't tell yet" as long as something is missing.
    pub(crate) fn conclude(mut self, name: &str) -> Screened {
        self.ratios.sort_by(|a, b| {
            let by_ratio = b.ratio().total_cmp(&a.ratio());
            b.verdict().cmp(&a.verdict()).then(by_ratio)
        });
        self.readings.sort_unstable();
        self.readings.dedup();
        let (verdict, sentence) = self.says(name);
        Screened {
            name: name.to_owned(),
            verdict,
            sentence,
            ratios: self.ratios,
            sums: self.sums,
            measure: self.measure,
            looks: self.looks,
            sensitivity: self.sensitivity,
            least_depth: self.least_depth,
            figures: self.figures,
            readings: self.readings,
        }
    }

    fn says(&self, name: &str) -> (Verdict, String) {
        let worst = self.ratios.first();
        let ratio = worst.map_or(Verdict::CantTellYet, Ratio::verdict);
        if ratio == Verdict::Stop || !self.stops.is_empty() {
            let mut why = self.stops.clone();
            why.extend(
                worst
                    .filter(|worst| worst.verdict() == Verdict::Stop)
                    .map(amount),
            );
            let mut sentence = format!("{name} does not pass this screen: {}.", why.join("; "));
            if !self.looks.is_empty() {
                sentence = format!("{sentence} Besides, {}.", self.looks.join("; "));
            }
            return (Verdict::Stop, sentence + &memory(worst));
        }
        if !self.measure.is_empty() {
            let sentence = format!("{name} needs {}.", self.measure.join("; "));
            return (Verdict::CantTellYet, sentence);
        }
        let Some(worst) = worst else {
            let sentence = format!("Nothing of {name} could be worked out.");
            return (Verdict::CantTellYet, sentence);
        };
        let memory = memory(Some(worst));
        if !self.looks.is_empty() {
            let looks = self.looks.join("; ");
            let sentence = format!("{name}: {looks}. The most is {}.", amount(worst));
            return (Verdict::Look, sentence + &memory);
        }
        if ratio == Verdict::Look {
            let sentence = format!("{name}: little is left over, {}.", amount(worst));
            return (Verdict::Look, sentence + &memory);
        }
        let sentence = format!("{name} passes this screen: the most is {}.", amount(worst));
        (Verdict::Pass, sentence + &memory)
    }
}

/// `bending at 0.72 of what it may be, under D + L`.
fn amount(ratio: &Ratio) -> String {
    if ratio.ratio().is_infinite() {
        return format!("{} has nothing to take it", ratio.title());
    }
    format!(
        "{} at {:.2} of what it may be, under {}",
        ratio.title(),
        ratio.ratio(),
        ratio.under
    )
}

fn memory(ratio: Option<&Ratio>) -> String {
    match ratio {
        Some(ratio) if !ratio.from_memory.is_empty() => {
            format!(" From memory: {}.", ratio.from_memory.join(", "))
        }
        _ => String::new(),
    }
}

/// The names of those figures that are from memory.
pub(crate) fn names_from_memory(seen: &[(&str, Confidence)]) -> Vec<String> {
    seen.iter()
        .filter(|(_, confidence)| *confidence == Confidence::Memory)
        .map(|(name, _)| (*name).to_owned())
        .collect()
}

/// How an input is made a tenth worse.
pub(crate) type Worse<M> = (&'static str, fn(&mut M));

/// The two inputs that raise the greatest ratio most when each by itself is a tenth worse.
pub(crate) fn most_sensitive<M: Clone>(
    model: &M,
    inputs: &[Worse<M>],
    greatest: impl Fn(&M) -> f64,
) -> Vec<Sensitivity> {
    let from = greatest(model);
    let mut all: Vec<Sensitivity> = inputs
        .iter()
        .map(|(input, worsen)| {
            let mut worse = model.clone();
            worsen(&mut worse);
            Sensitivity {
                input,
                from,
                to: greatest(&worse),
            }
        })
        .filter(|one| one.to > from)
        .collect();
    all.sort_by(|a, b| b.to.total_cmp(&a.to));
    all.truncate(2);
    all
}
