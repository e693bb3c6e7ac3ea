//! The checks of a job as a JSON document. The structs are the documentation of its keys; the schema beside it
//! (`check_schema`) says the same for others.
//!
//! Checks stand in working order, keys in the order below, so the same job gives the same bytes. Computes nothing.

use scantling_takeoff::checks::on_record::Part;
use scantling_takeoff::checks::screening::NOT_COVERED;
use scantling_takeoff::checks::{CAUTION, COMES_FIRST, Check, Figure, Verdict};
use scantling_takeoff::needs::Sum;
use scantling_takeoff::record::Job;
use serde::Serialize;
use uuid::Uuid;

use crate::pages::shell;

/// The word of a verdict in files.
pub(crate) const fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "pass",
        Verdict::Look => "look",
        Verdict::CantTellYet => "cant_tell_yet",
        Verdict::Stop => "stop",
    }
}

#[derive(Debug, Serialize)]
struct Document<'a> {
    format: &'static str,
    version: u32,
    job: Named<'a>,
    caution: String,
    not_covered: [&'static str; 8],
    checks: Vec<One<'a>>,
}

#[derive(Debug, Serialize)]
struct Named<'a> {
    id: Uuid,
    name: &'a str,
}

#[derive(Debug, Serialize)]
struct One<'a> {
    kind: &'static str,
    change: Named<'a>,
    week: u32,
    about: &'a str,
    of: Vec<Named<'a>>,
    verdict: &'static str,
    sentence: &'a str,
    /// The caution line, on every check that says something of strength.
    caution: Option<&'static str>,
    measure: &'a [String],
    sums: Vec<Line<'a>>,
    parts: Vec<OfScreen<'a>>,
    says: &'a [String],
    figures: Vec<Used<'a>>,
    readings: &'a [Uuid],
    source: &'a str,
}

#[derive(Debug, Serialize)]
struct Line<'a> {
    label: &'a str,
    value: &'a str,
    note: &'a str,
}

#[derive(Debug, Serialize)]
struct OfScreen<'a> {
    title: &'a str,
    /// Demand over capacity, two decimals; words where nothing takes it.
    ratio: &'a str,
    verdict: &'static str,
    under: &'a str,
    from_memory: &'a [String],
    sums: Vec<Line<'a>>,
}

#[derive(Debug, Serialize)]
struct Used<'a> {
    what: &'a str,
    value: &'a str,
    source: &'a str,
    confidence: &'static str,
}

/// The document's bytes.
pub(crate) fn document(job: &Job, all: &[Check]) -> Vec<u8> {
    let document = Document {
        format: "scantling-checks",
        version: 1,
        job: Named {
            id: job.id,
            name: shell::name(job),
        },
        caution: format!("{CAUTION} {COMES_FIRST}"),
        not_covered: NOT_COVERED,
        checks: all.iter().map(|check| one(job, check)).collect(),
    };
    let mut text = serde_json::to_vec_pretty(&document)
        .expect("a document of texts, whole numbers and lists is JSON");
    text.push(b'\n');
    text
}

fn one<'a>(job: &'a Job, check: &'a Check) -> One<'a> {
    let named = |id: &Uuid| Named {
        id: *id,
        name: job.name(*id),
    };
    One {
        kind: check.kind.name(),
        change: named(&check.change),
        week: check.week,
        about: &check.about,
        of: check.of.iter().map(named).collect(),
        verdict: word(check.verdict),
        sentence: &check.sentence,
        caution: check.caution(),
        measure: &check.measure,
        sums: lines(&check.sums),
        parts: check.parts.iter().map(part).collect(),
        says: &check.says,
        figures: check.figures.iter().map(used).collect(),
        readings: &check.readings,
        source: &check.source,
    }
}

fn lines(all: &[Sum]) -> Vec<Line<'_>> {
    all.iter()
        .map(|sum| Line {
            label: &sum.label,
            value: &sum.value,
            note: &sum.note,
        })
        .collect()
}

fn part(part: &Part) -> OfScreen<'_> {
    OfScreen {
        title: &part.title,
        ratio: &part.ratio,
        verdict: word(part.verdict),
        under: &part.under,
        from_memory: &part.from_memory,
        sums: lines(&part.sums),
    }
}

fn used(figure: &Figure) -> Used<'_> {
    Used {
        what: &figure.what,
        value: &figure.value,
        source: &figure.source,
        confidence: figure.confidence.name(),
    }
}
