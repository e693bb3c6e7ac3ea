//! The takeoff of a job as a JSON document: needs, cut list or buy list. The structs are the documentation of its keys.
//!
//! Lengths are whole 1/64 in (`…_64`), money whole cents (`…_cents`), both exact; words beside them are for people. Lists
//! stand in working order, keys in the order below, so the same job gives the same bytes. `null` is "not recorded" or "not
//! of this kind". Computes nothing: the core does.

mod buy_list;
mod cut_list;
mod needs;

pub(crate) use buy_list::buy_list_document;
pub(crate) use cut_list::cut_list_document;
pub(crate) use needs::needs_document;

use scantling_takeoff::buy::Item;
use scantling_takeoff::needs::{Class, Fill, Missing, Sum, Treatment};
use scantling_takeoff::record::Job;
use serde::Serialize;
use uuid::Uuid;

use crate::pages::shell;

/// The whole document.
#[derive(Debug, Serialize)]
pub(crate) struct Document<'a, Body> {
    job: Named<'a>,
    /// The work weeks that were asked for.
    weeks: &'a [u32],
    /// `needs`, `cut-list` or `buy-list`: which of the bodies follows.
    show: &'static str,
    #[serde(flatten)]
    body: Body,
}

#[derive(Debug, Serialize)]
struct Named<'a> {
    id: Uuid,
    name: &'a str,
}

/// A class, by its section.
#[derive(Debug, Serialize)]
#[serde(untagged)]
enum ClassParts<'a> {
    Stick {
        nominal: String,
        thickness_64: i64,
        depth_64: i64,
        species: String,
        grade: String,
        treatment: Treatment,
    },
    Panel {
        panel: String,
        thickness_64: i64,
        along_64: i64,
        across_64: i64,
    },
    Fastener {
        fastener: String,
        coating: String,
    },
    Hardware {
        /// The row of the job's hardware table.
        row: Uuid,
        name: &'a str,
    },
    Sundry {
        name: String,
        unit: String,
    },
}

/// A line of arithmetic.
#[derive(Debug, Serialize)]
struct Step {
    label: String,
    value: String,
    /// Where it comes from, or nothing.
    note: String,
    /// Whether it is a result.
    result: bool,
}

/// Something that isn't recorded yet. Where it is to be recorded: `of` and `what` for a reading (with `side`, `place`
/// and `number` where they are asked), `of` and `field` for a field, `add` for a thing.
#[derive(Debug, Default, Serialize)]
struct Lacks<'a> {
    text: &'a str,
    /// What waits for it.
    waits: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    of: Option<Uuid>,
    #[serde(skip_serializing_if = "Option::is_none")]
    what: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    side: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    number: Option<u32>,
    #[serde(skip_serializing_if = "Option::is_none")]
    field: Option<&'static str>,
    /// A kind of thing that is to be added.
    #[serde(skip_serializing_if = "Option::is_none")]
    add: Option<&'static str>,
    /// The change that waits.
    #[serde(skip_serializing_if = "Option::is_none")]
    change: Option<Uuid>,
}

/// The section of a class, a word of the price book.
pub(crate) fn section(class: &Class) -> &'static str {
    match class {
        Class::Stick(_) => "stick",
        Class::Panel(_) => "panel",
        Class::Fastener(_) => "fastener",
        Class::Hardware { .. } => "hardware",
        Class::Sundry { .. } => "sundry",
    }
}

fn document<'a, Body>(
    job: &'a Job,
    weeks: &'a [u32],
    show: &'static str,
    body: Body,
) -> Document<'a, Body> {
    let job = Named {
        id: job.id,
        name: shell::name(job),
    };
    Document {
        job,
        weeks,
        show,
        body,
    }
}

fn parts(job: &Job, class: Class) -> ClassParts<'_> {
    match class {
        Class::Stick(class) => ClassParts::Stick {
            nominal: class.nominal.text(),
            thickness_64: class.dressed.thickness.as_64ths(),
            depth_64: class.dressed.depth.as_64ths(),
            species: class.species,
            grade: class.grade,
            treatment: class.treatment,
        },
        Class::Panel(class) => ClassParts::Panel {
            panel: class.panel,
            thickness_64: class.thickness.as_64ths(),
            along_64: class.along.as_64ths(),
            across_64: class.across.as_64ths(),
        },
        Class::Fastener(class) => ClassParts::Fastener {
            fastener: class.what,
            coating: class.coating,
        },
        Class::Hardware { row } => ClassParts::Hardware {
            row,
            name: job.name(row),
        },
        Class::Sundry { name, unit } => ClassParts::Sundry { name, unit },
    }
}

fn steps(sums: &[Sum]) -> Vec<Step> {
    sums.iter()
        .map(|sum| Step {
            label: sum.label.clone(),
            value: sum.value.clone(),
            note: sum.note.clone(),
            result: sum.result,
        })
        .collect()
}

fn lacks(missing: &Missing, change: Option<Uuid>) -> Lacks<'_> {
    let said = Lacks {
        text: &missing.text,
        waits: &missing.waits,
        change,
        ..Lacks::default()
    };
    let filled = |text: &String| (!text.is_empty()).then(|| text.clone());
    match &missing.fill {
        Fill::Reading(spot) => Lacks {
            of: Some(spot.of),
            what: Some(spot.what.name()),
            side: filled(&spot.side),
            place: filled(&spot.place),
            number: (spot.number > 0).then_some(spot.number),
            ..said
        },
        Fill::Field { of, field } => Lacks {
            of: Some(*of),
            field: Some(field),
            ..said
        },
        Fill::Thing(kind) => Lacks {
            add: Some(kind.name()),
            ..said
        },
    }
}

/// A stick's length, or a panel's side along the strength axis and the one across.
fn size_of(item: &Item) -> (Option<i64>, Option<i64>) {
    match item {
        Item::Stick { length, .. } => (Some(length.as_64ths()), None),
        Item::Panel { along, across, .. } => (Some(along.as_64ths()), Some(across.as_64ths())),
        Item::Fastener { .. } | Item::Hardware { .. } | Item::Sundry { .. } => (None, None),
    }
}
