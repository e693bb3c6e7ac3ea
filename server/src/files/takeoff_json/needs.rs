//! The needs of the weeks' changes as JSON.

use scantling_takeoff::needs::{Fact, Finding, Need, Salvage, Takeoff, Verdict};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Length;
use serde::Serialize;
use uuid::Uuid;

use super::{ClassParts, Document, Lacks, Step, document, lacks, parts, section, steps};

/// What each change calls for.
#[derive(Debug, Serialize)]
pub(crate) struct NeedsBody<'a> {
    /// Changes that aren't done or dropped: by week, kind, name.
    changes: Vec<ChangeNeeds<'a>>,
}

#[derive(Debug, Serialize)]
struct ChangeNeeds<'a> {
    id: Uuid,
    name: &'a str,
    /// The kind of change, a word of the job file: `shore`.
    kind: &'static str,
    week: u32,
    needs: Vec<Needed<'a>>,
    missing: Vec<Lacks<'a>>,
    facts: Vec<Figure>,
    findings: Vec<Said>,
    salvage: Vec<Kept>,
}

#[derive(Debug, Serialize)]
struct Needed<'a> {
    /// Which need of its change; the same after every edit.
    slot: String,
    /// `stick`, `panel`, `fastener`, `hardware` or `sundry`.
    section: &'static str,
    title: String,
    class: ClassParts<'a>,
    count: i64,
    /// A stick's cut length; a panel piece's side along the strength axis.
    cut_64: Option<i64>,
    /// A panel piece's other side.
    across_64: Option<i64>,
    /// The letters of the mark on its pieces.
    mark: Option<&'static str>,
    /// Comes back whole when struck.
    temporary: bool,
    crown_up: bool,
    /// Why not to cut by it yet.
    held: Option<String>,
    /// The change's id.
    change: Uuid,
    arithmetic: Vec<Step>,
    /// Ids of the readings that it rests on.
    readings: Vec<Uuid>,
}

/// A figure that isn't bought.
#[derive(Debug, Serialize)]
struct Figure {
    name: &'static str,
    title: String,
    value: String,
    /// In the unit that `name` ends in.
    number: i64,
    arithmetic: Vec<Step>,
}

#[derive(Debug, Serialize)]
struct Said {
    /// `said`, `look` or `stop`.
    verdict: &'static str,
    text: String,
}

/// Lumber that comes out and can be kept.
#[derive(Debug, Serialize)]
struct Kept {
    title: String,
    thickness_64: i64,
    depth_64: i64,
    length_64: i64,
    count: i64,
    arithmetic: Vec<Step>,
}

/// The needs of the weeks' changes.
pub(crate) fn needs_document<'a>(
    job: &'a Job,
    weeks: &'a [u32],
    takeoffs: &'a [Takeoff],
) -> Document<'a, NeedsBody<'a>> {
    let changes = takeoffs
        .iter()
        .map(|takeoff| ChangeNeeds {
            id: takeoff.change,
            name: job.name(takeoff.change),
            kind: takeoff.kind.name(),
            week: takeoff.week,
            needs: takeoff
                .needs
                .iter()
                .map(|need| needed(job, takeoff.change, need))
                .collect(),
            missing: takeoff.missing.iter().map(|m| lacks(m, None)).collect(),
            facts: takeoff.facts.iter().map(figure).collect(),
            findings: takeoff.findings.iter().map(said).collect(),
            salvage: takeoff.salvage.iter().map(kept).collect(),
        })
        .collect();
    document(job, weeks, "needs", NeedsBody { changes })
}

fn needed<'a>(job: &'a Job, change: Uuid, need: &Need) -> Needed<'a> {
    Needed {
        slot: need.slot.clone(),
        section: section(&need.class),
        title: need.title.clone(),
        class: parts(job, need.class.clone()),
        count: need.count,
        cut_64: need.cut.map(Length::as_64ths),
        across_64: need.across.map(Length::as_64ths),
        mark: need.mark,
        temporary: need.temporary,
        crown_up: need.crown_up,
        held: need.held.clone(),
        change,
        arithmetic: steps(&need.sums),
        readings: need.readings.clone(),
    }
}

fn figure(fact: &Fact) -> Figure {
    Figure {
        name: fact.name,
        title: fact.title.clone(),
        value: fact.value.clone(),
        number: fact.number,
        arithmetic: steps(&fact.sums),
    }
}

fn said(finding: &Finding) -> Said {
    Said {
        verdict: match finding.verdict {
            Verdict::Said => "said",
            Verdict::Look => "look",
            Verdict::Stop => "stop",
        },
        text: finding.text.clone(),
    }
}

fn kept(salvage: &Salvage) -> Kept {
    Kept {
        title: salvage.title.clone(),
        thickness_64: salvage.thickness.as_64ths(),
        depth_64: salvage.depth.as_64ths(),
        length_64: salvage.length.as_64ths(),
        count: salvage.count,
        arithmetic: steps(&salvage.sums),
    }
}
