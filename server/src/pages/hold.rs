//! One hold point of a change, with the forms of who releases it.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::checks::hold_points::{
    CanSkip, Condition, Event, Fix, Gate, GateState, Sort, Stands, gates, looked_at,
};
use scantling_takeoff::record::{FieldProblem, Job, Kind, OpKind, Record, Role};
use scantling_web::Page;
use scantling_web::layout::{Main, Note};
use scantling_web::pages::hold::{self, ConditionIs, ConditionRow, ReleaseForm};
use scantling_web::parts::caution::With;
use scantling_web::parts::form::Form;
use scantling_web::parts::hold::HoldIs;
use time::Date;
use uuid::Uuid;

use super::{change, holds, photos, rows, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid, String)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id, event) = path.into_inner();
    let job = state.job(job_id).await?;
    let names = state.read(scantling_db::people).await?;
    let record = super::done::change(&job, &kind, id)?;
    let event = Event::named(&event).ok_or(HttpError::NotFound)?;
    let asked = Asked {
        role: who.role,
        sent: None,
        problems: &[],
    };
    page(&job, record, event, &names, &asked)
        .map(html)
        .ok_or(HttpError::NotFound)
}

/// Who looks, and what was sent where a form comes back.
pub(crate) struct Asked<'a> {
    pub(crate) role: Role,
    pub(crate) sent: Option<&'a Posted>,
    pub(crate) problems: &'a [FieldProblem],
}

/// It; none where the change has no such hold point.
pub(crate) fn page(
    job: &Job,
    record: &Record,
    event: Event,
    names: &things::People,
    asked: &Asked<'_>,
) -> Option<Page> {
    let all = gates(job, record);
    let gate = all.iter().find(|gate| gate.event == event)?;
    let up = format!("/jobs/{}/{}/{}", job.id, record.kind, record.id);
    let here = holds::gate_href(job, record, event);
    let title = format!("{}: {}", event.title(), record.name());
    let mut shell = shell::shell(job, &title, "/holds", clock::today());
    shell.note = match asked.problems {
        [] => None,
        // Whoever has no form here has the reason in the banner.
        [first, ..] if asked.role < Role::Lead => Some(Note {
            text: first.message.clone(),
            ..shell::refused_note()
        }),
        _ => Some(shell::refused_note()),
    };
    let is = holds::is(gate);
    let (is_lead, is_crew) = (asked.role >= Role::Lead, asked.role >= Role::Crew);
    let view = hold::View {
        up: (format!("{up}#holds"), record.name().to_owned()),
        sub: format!("{}, work week {}.", record.kind.title(), record.week()),
        is,
        said: said(job, record, gate, names),
        caution: With {
            kind: record.kind,
            year_built: things::year_built(job),
        },
        conditions: gate
            .conditions
            .iter()
            .map(|one| condition(job, (record, gate), one, (names, asked.role)))
            .collect(),
        photo: is_crew.then(|| photos::button(job, record.id, "hold-shot", &here)),
        release: (is_lead && !matches!(is, HoldIs::Released | HoldIs::Past))
            .then(|| release(job, record, gate, asked)),
        event: (is_crew && gate.is_open() && gate.state != GateState::Past)
            .then(|| event_form(job, record, event, &up)),
        undo: gate
            .release
            .as_ref()
            .filter(|_| is_lead && gate.state != GateState::Past)
            .and_then(|release| undo(job, release.hold, &here)),
        source: gate.source,
        shell,
    };
    Some(hold::page(&view))
}

fn said(job: &Job, record: &Record, gate: &Gate, names: &things::People) -> String {
    let said = holds::said(gate, names);
    if gate.event != Event::NextCut {
        return said;
    }
    let day = looked_at(job, record).and_then(|(day, by)| {
        let day = Date::from_julian_day(i32::try_from(day).ok()?).ok()?;
        Some((day, things::person(names, by)))
    });
    match day {
        Some((day, by)) if day == clock::today() => format!("Looked at today by {by}. {said}"),
        Some((day, by)) => format!(
            "Looked at last on {} by {by}: look again before the next cut. {said}",
            clock::day_words(day)
        ),
        None => format!("Not looked at again yet. {said}"),
    }
}

fn condition(
    job: &Job,
    (record, gate): (&Record, &Gate),
    one: &Condition,
    (names, role): (&things::People, Role),
) -> ConditionRow {
    let is = match &one.state {
        Stands::Yes => ConditionIs::Stands,
        Stands::No => ConditionIs::Lacks,
        Stands::ToBeSeen => ConditionIs::ToBeSeen,
        Stands::Skipped { .. } => ConditionIs::Skipped,
    };
    let here = holds::gate_href(job, record, gate.event);
    let why = match &one.state {
        Stands::Skipped { by, at, reason, .. } => format!(
            "{}, {}: {reason}",
            things::person(names, *by),
            clock::stamp_minute(at)
        ),
        _ => change::capital(&one.why),
    };
    let lead = role >= Role::Lead;
    ConditionRow {
        title: one.ask.title(),
        is,
        why,
        fix: one
            .fix
            .as_ref()
            .filter(|_| role >= Role::Crew)
            .and_then(|fix| fixed_at(job, fix, &here, lead)),
        skip: (lead && is == ConditionIs::Lacks && one.ask.skip() == CanSkip::WithReason).then(
            || {
                format!(
                    "/jobs/{}/skip?of={}&event={}&condition={}&next={}#add",
                    job.id,
                    record.id,
                    gate.event.name(),
                    one.ask.name(),
                    things::query(&here)
                )
            },
        ),
        unskip: match &one.state {
            Stands::Skipped { skip, .. } => Some(format!("/jobs/{}/skip/{skip}", job.id)),
            _ => None,
        },
    }
}

/// Where something that doesn't stand is put right, for who may: address and words.
pub(crate) fn fixed_at(job: &Job, fix: &Fix, next: &str, lead: bool) -> Option<(String, String)> {
    let page = |id: Uuid, end: &str| {
        let kind = job.get(id).map_or("wall", |one| one.kind.name());
        format!("/jobs/{}/{kind}/{id}{end}", job.id)
    };
    Some(match fix {
        Fix::Fill(fill) => (change::fill_href(job, fill), "Record it".to_owned()),
        Fix::Paper(about, of) if lead => (
            format!(
                "/jobs/{}/word?of={of}&about={}&next={}#add",
                job.id,
                about.name(),
                things::query(next)
            ),
            "Enter it".to_owned(),
        ),
        Fix::Paper(..) => return None,
        Fix::Finish(id) | Fix::Begin(id) | Fix::Strike(id) => {
            (page(*id, ""), format!("Go to {}", job.name(*id)))
        }
        Fix::PlanShore(wall) => (
            format!("/jobs/{}/shore?wall={wall}#add", job.id),
            "Plan a shore".to_owned(),
        ),
        Fix::Buy(id) => (
            format!(
                "/jobs/{}/buy-list?week={}",
                job.id,
                job.get(*id).map_or(1, Record::week)
            ),
            "Buy list".to_owned(),
        ),
        Fix::Photo(id) => (page(*id, "#photos"), format!("Photo of {}", job.name(*id))),
    })
}

fn release(job: &Job, record: &Record, gate: &Gate, asked: &Asked<'_>) -> ReleaseForm {
    let filled = asked.sent.cloned().unwrap_or_default();
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("entity_id".to_owned(), filled.id("entity_id").to_string()),
        ("of".to_owned(), record.id.to_string()),
        ("event".to_owned(), gate.event.name().to_owned()),
        (
            "next".to_owned(),
            format!("/jobs/{}/{}/{}#holds", job.id, record.kind, record.id),
        ),
    ];
    if let (false, Some(op)) = (asked.problems.is_empty(), filled.typed("op_id")) {
        hidden.push(("replaces".to_owned(), op.to_owned()));
    }
    for one in &gate.conditions {
        hidden.push((format!("base.{}", one.ask.name()), one.rev.to_string()));
    }
    let ticked = filled.all("seen");
    let lacks = gate.lacks().next().is_some();
    ReleaseForm {
        action: format!("/jobs/{}/hold", job.id),
        hidden,
        ticks: gate
            .conditions
            .iter()
            .filter(|one| one.ask.sort() == Sort::Seen)
            .map(|one| {
                let words = if one.why.is_empty() {
                    one.ask.title().to_owned()
                } else {
                    format!("{}: {}", one.ask.title(), one.why)
                };
                let was = ticked.iter().any(|word| word == one.ask.name());
                (one.ask.name(), words, was)
            })
            .collect(),
        photos: job
            .all(Kind::Photo)
            .filter(|photo| photo.to("of") == Some(record.id))
            .map(|photo| (photo.id.to_string(), rows::title(job, photo)))
            .collect(),
        note: filled.first("note").unwrap_or("").to_owned(),
        problems: asked.problems.iter().map(|p| p.message.clone()).collect(),
        save: (!lacks).then(|| format!("Sign off: {}", gate.event.title().to_lowercase())),
    }
}

/// Where an event is written down, and the words.
fn event_form(job: &Job, record: &Record, event: Event, next: &str) -> (String, String) {
    let words = match event {
        Event::NextCut => "Write down: looked at again".to_owned(),
        _ => format!("Write down: {}", event.title().to_lowercase()),
    };
    let href = format!(
        "/jobs/{}/event?of={}&event={}&next={}#add",
        job.id,
        record.id,
        event.name(),
        things::query(next)
    );
    (href, words)
}

fn undo(job: &Job, hold: Uuid, next: &str) -> Option<Form<'static>> {
    let kind = OpKind::named("hold.undo")?;
    let draft = Draft {
        job: Some(job),
        filled: Posted::default(),
        problems: Vec::new(),
        id: "undo".to_owned(),
        next: next.to_owned(),
        save: "Take it back".to_owned(),
        main: Main::No,
    };
    Some(view::acting(kind, "undo", job.get(hold)?, draft, job.id))
}
