//! The hold points of a job, and what other pages say of them.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::checks::hold_points::{
    Event, Gate, GateState, Move, Stands, gates, in_the_way, not_released, standing_shores,
};
use scantling_takeoff::record::{Job, Kind, Record, Role};
use scantling_web::drawing::hold_chain::{Notch, NotchIs};
use scantling_web::pages::holds::{self, Chain};
use scantling_web::parts::hold::{HoldIs, HoldRow};
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::{rows, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let names = state.read(scantling_db::people).await?;
    let open: Vec<(&Record, Vec<Gate>)> = job
        .changes()
        .into_iter()
        .filter(|change| change.state != "dropped")
        .map(|change| (change, gates(&job, change)))
        .filter(|(_, gates)| gates.iter().any(|gate| gate.state != GateState::Past))
        .collect();
    let here = format!("/jobs/{}", job.id);
    let view = holds::View {
        next: open.iter().find_map(|(change, gates)| {
            let gate = next_of(gates)?;
            Some((
                format!("{}: {}", gate.event.title(), change.name()),
                said(gate, &names),
                (gate_href(&job, change, gate.event), "Open it".to_owned()),
            ))
        }),
        stops: open
            .iter()
            .filter_map(|(change, gates)| stop(change, gates))
            .collect(),
        standing: standing_shores(&job)
            .into_iter()
            .map(|shore| standing_row(&job, shore))
            .collect(),
        chains: open
            .iter()
            .map(|(change, gates)| Chain {
                change: rows::change(&job, change),
                notches: notches(gates, &names),
                rows: hold_rows(&job, change, gates, &names),
            })
            .collect(),
        papers: job.all(Kind::Word).map(|word| paper(&job, word)).collect(),
        add_paper: (who.role >= Role::Lead).then(|| format!("{here}/word#add")),
        refused: job
            .changes()
            .into_iter()
            .flat_map(|change| not_released(&job, change.id))
            .map(|hold| refused(&job, hold, &names))
            .collect(),
        shell: shell::shell(&job, "Hold points", "/holds", clock::today()),
    };
    Ok(html(holds::page(&view)))
}

/// The first hold point that the work waits at.
pub(crate) fn next_of(gates: &[Gate]) -> Option<&Gate> {
    gates
        .iter()
        .find(|gate| !gate.is_open() && gate.before != Move::EachTime)
}

/// The page of a hold point.
pub(crate) fn gate_href(job: &Job, change: &Record, event: Event) -> String {
    format!(
        "/jobs/{}/{}/{}/hold/{}",
        job.id,
        change.kind,
        change.id,
        event.name()
    )
}

/// Hold points as rows.
pub(crate) fn hold_rows(
    job: &Job,
    change: &Record,
    gates: &[Gate],
    names: &things::People,
) -> Vec<HoldRow> {
    gates
        .iter()
        .map(|gate| HoldRow {
            href: gate_href(job, change, gate.event),
            name: gate.event.title().to_owned(),
            is: is(gate),
            said: said(gate, names),
            skipped: gate
                .conditions
                .iter()
                .filter_map(|one| match &one.state {
                    Stands::Skipped { by, reason, .. } => Some(format!(
                        "{}: skipped by {}: {reason}",
                        one.ask.title(),
                        things::person(names, *by)
                    )),
                    _ => None,
                })
                .collect(),
        })
        .collect()
}

/// How a hold point stands, for its row.
pub(crate) fn is(gate: &Gate) -> HoldIs {
    match gate.state {
        GateState::Held => HoldIs::Held,
        GateState::Ready => HoldIs::Ready,
        GateState::Released => HoldIs::Released,
        GateState::Reopened(_) => HoldIs::Reopened,
        GateState::Past => HoldIs::Past,
    }
}

/// What is lacking, or who released and when.
pub(crate) fn said(gate: &Gate, names: &things::People) -> String {
    let released = gate.release.as_ref().map(|release| {
        let by = things::person(names, release.by);
        let note = if release.note.is_empty() {
            String::new()
        } else {
            format!(". {}", release.note)
        };
        format!("{by}, {}{note}", clock::stamp_minute(&release.at))
    });
    match &gate.state {
        GateState::Held => {
            let lacks: Vec<String> = gate
                .lacks()
                .map(|one| format!("{}: {}", one.ask.title(), one.why))
                .collect();
            format!("{}.", lacks.join("; "))
        }
        GateState::Ready => "All stands. The lead signs it off.".to_owned(),
        GateState::Released => released.unwrap_or_default(),
        GateState::Reopened(changed) => {
            let titles: Vec<&str> = changed.iter().map(|ask| ask.title()).collect();
            format!("Changed since it was signed off: {}.", titles.join(", "))
        }
        GateState::Past => released.unwrap_or_else(|| "no sign-off on record".to_owned()),
    }
}

/// What a closed hold point waits for, in a few words.
pub(crate) fn in_short(gate: &Gate) -> String {
    let mut lacks = gate.lacks();
    match (lacks.next(), lacks.count()) {
        (None, _) => "the lead signs it off.".to_owned(),
        (Some(one), 0) => format!("needs {}.", one.ask.title().to_lowercase()),
        (Some(one), n) => format!("needs {}, {n} more.", one.ask.title().to_lowercase()),
    }
}

fn notches(gates: &[Gate], names: &things::People) -> Vec<Notch> {
    let next = next_of(gates).map(|gate| gate.event);
    gates
        .iter()
        .map(|gate| Notch {
            name: gate.event.title().to_owned(),
            is: match gate.state {
                GateState::Reopened(_) => NotchIs::Reopened,
                GateState::Released => NotchIs::Released,
                GateState::Past => NotchIs::Past,
                _ if Some(gate.event) == next => NotchIs::Next,
                _ => NotchIs::Closed,
            },
            initials: gate
                .release
                .as_ref()
                .map_or_else(String::new, |one| initials(&things::person(names, one.by))),
            skipped: gate
                .conditions
                .iter()
                .any(|one| matches!(one.state, Stands::Skipped { .. })),
        })
        .collect()
}

/// The first letter of each of the first three words of a name.
fn initials(name: &str) -> String {
    name.split_whitespace()
        .take(3)
        .filter_map(|word| word.chars().next())
        .collect()
}

/// A hold that reopened after work went past it, or that work went past without, in a sentence; of a change's gates.
pub(crate) fn stop(change: &Record, gates: &[Gate]) -> Option<String> {
    let at = match change.state.as_str() {
        "under_way" => Move::UnderWay,
        "done" => Move::Done,
        _ => return None,
    };
    let passed = in_the_way(gates, at);
    let first = passed.first()?;
    Some(format!(
        "{} went past “{}”: {}",
        change.name(),
        first.event.title(),
        match &first.state {
            GateState::Reopened(changed) => {
                let titles: Vec<&str> = changed.iter().map(|ask| ask.title()).collect();
                format!("changed since: {}.", titles.join(", "))
            }
            // That one goes by the day, and by what the record shows.
            _ if first.before == Move::EachTime => said(first, &things::People::default()),
            _ => "no sign-off stands on record.".to_owned(),
        }
    ))
}

/// A shore that stands, with its keeper.
pub(crate) fn standing_row(job: &Job, shore: &Record) -> Row {
    let of_week = job
        .all(Kind::Week)
        .filter(|week| {
            week.says("closed", "yes") && week.number("number") >= Some(i64::from(shore.week()))
        })
        .filter_map(|week| week.text("keeper"))
        .last();
    let keeper = shore.text("keeper").or(of_week);
    Row {
        href: format!("/jobs/{}/{}/{}", job.id, shore.kind, shore.id),
        name: format!("{}: store nothing on its floors", shore.name()),
        second: keeper.map_or_else(
            || "Nobody is named who keeps it over a gap.".to_owned(),
            |keeper| format!("Kept by {keeper}"),
        ),
        ..Row::default()
    }
}

/// A paper as a row.
fn paper(job: &Job, word: &Record) -> Row {
    let of = word.to("of").map_or("", |of| job.name(of));
    let paper = word
        .text("paper")
        .map_or_else(String::new, |paper| format!(", {paper}"));
    Row {
        href: format!("/jobs/{}/word/{}", job.id, word.id),
        name: rows::title(job, word),
        second: format!(
            "{}: {}{paper}. For {of}",
            rows::choice(word, "says"),
            word.text("who").unwrap_or("")
        ),
        ..Row::default()
    }
}

fn refused(job: &Job, hold: &Record, names: &things::People) -> Row {
    let of = hold.to("of").map_or("", |of| job.name(of));
    Row {
        name: format!("{}: {of}", rows::choice(hold, "event")),
        second: format!(
            "{}, {}",
            things::person(names, hold.by),
            clock::stamp_minute(&hold.at)
        ),
        wrong: hold.gone.clone().unwrap_or_default(),
        ..Row::default()
    }
}
