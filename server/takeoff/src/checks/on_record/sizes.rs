//! Sizes, wood and condition as the record has them, in the form that checks take in.
//!
//! Old wood counts by its least reading, a span by its greatest; a new piece as delivered if that was read, else as
//! dressed. What isn't recorded stays missing. Source: PS 20 for dressed sizes; the rest is common practice.

use crate::checks::Measurement;
use crate::checks::screening::member::{Condition, Known};
use crate::checks::screening::wood::{Moisture, Wood};
use crate::needs::{Fill, beam_lumber, size_of};
use crate::record::{Job, Record, Spot, What};
use crate::tables::ps20::Seasoning;
use crate::units::Length;

/// The least standing reading of a dimension; of one of a run its own, else the run's.
pub(crate) fn least(job: &Job, of: &Record, number: u32, what: What) -> Measurement {
    read(job, of, number, what, Measurement::least)
}

/// The greatest standing reading.
pub(crate) fn greatest(job: &Job, of: &Record, number: u32, what: What) -> Measurement {
    read(job, of, number, what, Measurement::greatest)
}

/// The reading that counts.
pub(crate) fn counting(job: &Job, of: &Record, number: u32, what: What) -> Measurement {
    read(job, of, number, what, Measurement::counting)
}

/// The greatest reading of a run's span past what it bears on, where it goes on: its span on the other side.
pub(crate) fn greatest_past(job: &Job, run: &Record) -> Measurement {
    let spot = Spot::of(run.id, What::Span).side("b");
    let what = format!("span of {} on the other side", run.name());
    Measurement::greatest(what, job.measured(&spot)).filled_by(Fill::Reading(spot))
}

fn read(
    job: &Job,
    of: &Record,
    number: u32,
    what: What,
    take: fn(String, Option<&crate::record::Measured>) -> Measurement,
) -> Measurement {
    let own = Spot::of(of.id, what).number(number);
    let of_all = Spot::of(of.id, what);
    let measured = job.measured(&own).or_else(|| job.measured(&of_all));
    let which = if number > 0 {
        format!("{} of number {number}, {}", lower(what.title()), of.name())
    } else {
        format!("{} of {}", lower(what.title()), of.name())
    };
    take(which, measured).filled_by(Fill::Reading(of_all))
}

fn lower(title: &str) -> String {
    let mut letters = title.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_lowercase().chain(letters).collect()
    })
}

/// A length that stands in a field: it is given, not measured.
pub(crate) fn field(of: &Record, field: &'static str, what: &str) -> Measurement {
    let what = format!("{what}, {}", of.name());
    match of.length(field) {
        Some(length) => Measurement::agreed(what, length),
        None => Measurement::missing(what).filled_by(Fill::Field { of: of.id, field }),
    }
}

/// Two measurements added, or taken from one another: both must be there, and both agreed.
pub(crate) fn joined(
    what: impl Into<String>,
    all: &[&Measurement],
    value: impl FnOnce(&[Length]) -> Length,
) -> Measurement {
    let lengths: Option<Vec<Length>> = all.iter().map(|one| one.value).collect();
    let mut readings: Vec<_> = all
        .iter()
        .flat_map(|one| one.readings.iter().copied())
        .collect();
    readings.sort_unstable();
    readings.dedup();
    match lengths {
        Some(lengths) => Measurement {
            what: what.into(),
            value: Some(value(&lengths)),
            agreed: all.iter().all(|one| one.agreed),
            readings,
            fill: None,
        },
        None => Measurement {
            readings,
            fill: all
                .iter()
                .find(|one| one.value.is_none())
                .and_then(|one| one.fill.clone()),
            ..Measurement::missing(
                all.iter()
                    .filter(|one| one.value.is_none())
                    .map(|one| one.what.as_str())
                    .collect::<Vec<_>>()
                    .join(", "),
            )
        },
    }
}

/// A new piece's section: as delivered if it was read, else dressed.
pub(crate) struct NewPiece {
    /// The thickness of one ply.
    pub(crate) thickness: Measurement,
    /// Its depth.
    pub(crate) depth: Measurement,
    /// What it is made of.
    pub(crate) wood: Wood,
}

/// The new piece that a change sets, from its nominal size.
pub(crate) fn new_piece(job: &Job, change: &Record) -> NewPiece {
    let lumber = size_of(change, "nominal").and_then(|size| beam_lumber(job, change, size));
    let name = change.name();
    let of = |what, side: &str, dressed: Option<Length>| {
        let read = least(job, change, 0, what);
        if read.value.is_some() {
            return read;
        }
        let missing = || {
            let (of, field) = (change.id, "nominal");
            let what = format!("a size with a dressed {side} for {name}");
            Measurement::missing(what).filled_by(Fill::Field { of, field })
        };
        let given = |length| Measurement::agreed(format!("{side} of {name}, dressed"), length);
        dressed.map_or_else(missing, given)
    };
    let section = lumber.as_ref().map(|lumber| lumber.section);
    let moisture = match lumber.as_ref().map(|lumber| lumber.seasoning) {
        Some(Seasoning::Green) => Moisture::Green,
        _ => Moisture::Dry,
    };
    let species = change.text("species").or(job.settings.species.as_deref());
    let grade = change.text("grade").or(job.settings.grade.as_deref());
    NewPiece {
        thickness: of(
            What::NewThickness,
            "thickness",
            section.map(|one| one.thickness),
        ),
        depth: of(What::NewDepth, "depth", section.map(|one| one.depth)),
        wood: Wood::read(species, grade, moisture),
    }
}

/// The wood of a member or run as found. A grade that nobody judged isn't known.
pub(crate) fn old_wood(of: &Record) -> Wood {
    let moisture = match of.text("moisture") {
        Some("dry") => Moisture::Dry,
        Some("wet") => Moisture::Wet,
        _ => Moisture::NotKnown,
    };
    let grade = of.text("grade").filter(|_| of.text("judged_by").is_some());
    Wood::read(of.text("species"), grade, moisture)
}

/// Whether a member or run was looked at. A text without the word for it is something noted.
pub(crate) fn condition(of: &Record) -> Condition {
    match (of.text("looked_at"), of.text("condition")) {
        (Some("sound"), _) => Condition::Sound,
        (Some("not_looked"), _) | (None, None) => Condition::NotRecorded,
        (_, Some(text)) => Condition::Noted(text.to_owned()),
        (Some(_), None) => Condition::Noted("not said what".to_owned()),
    }
}

/// Yes, no, or nobody has said.
pub(crate) fn known(of: &Record, field: &str) -> Known {
    match of.text(field) {
        Some("yes") => Known::Yes,
        Some(_) => Known::No,
        None => Known::NotKnown,
    }
}
