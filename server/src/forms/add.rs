//! Forms that add a thing.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::checks::hold_points::Event;
use scantling_takeoff::record::{FieldProblem, Job, Kind, OpKind, Role};
use scantling_web::layout::Main;
use uuid::Uuid;

use super::compose::{self, Frame, Posted};
use super::save::{Saved, next_of, save};
use super::view::{self, Draft};
use crate::clock;
use crate::error::{HttpError, refused, see};
use crate::pages::{hold, shell};
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// A new job.
pub(crate) async fn job(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let posted = Posted(body.into_inner());
    let kind = compose::add_kind(Kind::Job).ok_or(HttpError::Broken("the registry has no job"))?;
    let job_id = posted.id("entity_id");
    let mut frame = Frame::of(&posted, job_id, &who);
    frame.job_id = job_id;
    let mut entries = compose::adding(kind, &posted, &frame, None);
    if let Some(from) = posted
        .typed("copy_from")
        .and_then(|text| Uuid::parse_str(text).ok())
    {
        let other = state.job(from).await?;
        entries.extend(super::buy::copied_book(&other, &frame));
    }
    match save(&state, entries, &who).await? {
        Saved::Done => Ok(see(&format!("/jobs/{job_id}"))),
        Saved::Conflict(problems) | Saved::Refused(problems) => {
            let view = crate::pages::jobs::view(&state, posted, problems).await?;
            Ok(refused(scantling_web::pages::jobs::page(&view)))
        }
        Saved::Before(problems) => {
            let view = crate::pages::jobs::view(&state, posted.into_another(), problems).await?;
            Ok(refused(scantling_web::pages::jobs::page(&view)))
        }
    }
}

/// A new thing in a job.
pub(crate) async fn thing(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind) = path.into_inner();
    let kind = Kind::named(&kind)
        .filter(|kind| *kind != Kind::Job)
        .ok_or(HttpError::NotFound)?;
    let adds = compose::add_kind(kind).ok_or(HttpError::NotFound)?;
    let job = state.job(job_id).await?;
    let posted = Posted(body.into_inner());
    let frame = Frame::of(&posted, job_id, &who);
    let entries = compose::adding(adds, &posted, &frame, Some(&job));
    let entity = entries
        .first()
        .map_or(frame.op_id, |entry| entry.op.entity_id);
    match save(&state, entries, &who).await? {
        Saved::Done => Ok(see(&after(&posted, job_id, kind, entity))),
        Saved::Conflict(problems) if kind == Kind::Hold => {
            // What was wanted is on record as not signed off; the next try is another entry.
            hold_again(&state, job_id, &posted.into_another(), &problems, who.role).await
        }
        Saved::Refused(problems) if kind == Kind::Hold => {
            hold_again(&state, job_id, &posted, &problems, who.role).await
        }
        Saved::Conflict(problems) | Saved::Refused(problems) => {
            Ok(refused(page(&job, adds, &posted, problems)))
        }
        Saved::Before(problems) if kind == Kind::Hold => {
            hold_again(&state, job_id, &posted.into_another(), &problems, who.role).await
        }
        Saved::Before(problems) => Ok(refused(page(&job, adds, &posted.into_another(), problems))),
    }
}

/// The page of a hold point as the record stands now, with what is wrong.
async fn hold_again(
    state: &State,
    job_id: Uuid,
    posted: &Posted,
    problems: &[FieldProblem],
    role: Role,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(job_id).await?;
    let names = state.read(scantling_db::people).await?;
    let change = posted
        .typed("of")
        .and_then(|text| Uuid::parse_str(text).ok())
        .and_then(|id| job.get(id));
    let event = posted.typed("event").and_then(Event::named);
    let asked = hold::Asked {
        role,
        sent: Some(posted),
        problems,
    };
    let again = change
        .zip(event)
        .and_then(|(change, event)| hold::page(&job, change, event, &names, &asked));
    let adds = compose::add_kind(Kind::Hold).ok_or(HttpError::NotFound)?;
    Ok(refused(again.unwrap_or_else(|| {
        page(&job, adds, posted, problems.to_vec())
    })))
}

/// A saved reading is read back where it was asked for; another thing opens its own page.
fn after(posted: &Posted, job_id: Uuid, kind: Kind, entity: Uuid) -> String {
    let own = match kind {
        Kind::Layer | Kind::Opening | Kind::Note | Kind::Reading => {
            let of = posted
                .typed("of")
                .or_else(|| posted.typed("wall"))
                .unwrap_or("");
            format!("/jobs/{job_id}?of={of}")
        }
        Kind::Room => format!("/jobs/{job_id}/house"),
        Kind::Price => format!("/jobs/{job_id}/prices"),
        Kind::Stock => format!("/jobs/{job_id}/on-hand"),
        Kind::Word | Kind::Event | Kind::Hold | Kind::Skip => format!("/jobs/{job_id}/holds"),
        Kind::Supplier | Kind::Hardware | Kind::Week | Kind::Storey => {
            format!("/jobs/{job_id}/{kind}")
        }
        _ => format!("/jobs/{job_id}/{kind}/{entity}"),
    };
    let next = next_of(posted, &own);
    if kind == Kind::Reading {
        let (path, anchor) = next
            .split_once('#')
            .map_or((next.as_str(), String::new()), |(path, anchor)| {
                (path, format!("#{anchor}"))
            });
        let joint = if path.contains('?') { '&' } else { '?' };
        return format!("{path}{joint}saved={entity}{anchor}");
    }
    next
}

/// The form on a page of its own, as typed, with what is wrong.
fn page(
    job: &Job,
    adds: &'static OpKind,
    posted: &Posted,
    problems: Vec<FieldProblem>,
) -> scantling_web::Page {
    let next = posted.first("next").unwrap_or("").to_owned();
    let draft = Draft {
        job: Some(job),
        problems,
        id: "add".to_owned(),
        next,
        save: shell::save_words(adds.kind),
        main: Main::Yes,
        filled: posted.clone(),
    };
    let of = posted
        .typed("of")
        .and_then(|text| Uuid::parse_str(text).ok())
        .and_then(|id| job.get(id));
    let (title, form) = match (adds.kind, of) {
        (Kind::Reading, Some(of)) => (
            format!("Measure {}", of.name()),
            view::measuring(job, of, draft),
        ),
        (Kind::Note, Some(of)) => (
            format!("Note on {}", of.name()),
            view::noting(job, of.id, draft),
        ),
        _ => (
            shell::add_words(adds.kind),
            view::adding(adds, Some(job.id), draft),
        ),
    };
    shell::form_page(
        job,
        &title,
        "",
        form,
        Some(shell::refused_note()),
        clock::today(),
    )
}
