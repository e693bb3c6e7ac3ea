//! Forms for what else happens to a thing: withdrawn with a reason, moved to a state, struck, reversed.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{Item, on_record};
use scantling_takeoff::record::{FieldProblem, Job, Kind};
use scantling_web::layout::Main;
use uuid::Uuid;

use super::compose::{self, Entry, Frame, Posted};
use super::save::{Saved, next_of, save};
use super::view::{self, Draft};
use crate::clock;
use crate::error::{HttpError, refused, see};
use crate::pages::{on_hand, shell};
use crate::state::State;

/// What is done by a form of its own alone: the papers of an order are made here and never sent in.
const OWN_FORM: [&str; 1] = ["order.send"];

/// Does it.
pub(crate) async fn thing(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid, String)>,
    body: web::Form<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id, act) = path.into_inner();
    let kind = Kind::named(&kind).ok_or(HttpError::NotFound)?;
    let does = compose::act_kind(kind, &act)
        .filter(|does| !OWN_FORM.contains(&does.name))
        .ok_or(HttpError::NotFound)?;
    let job = state.job(job_id).await?;
    let counts = does.name == "stock.count";
    let counted = on_hand::counted(id);
    let record = job
        .ever(id)
        .or(counts.then_some(&counted))
        .filter(|record| record.kind == kind)
        .ok_or(HttpError::NotFound)?;
    let mut posted = Posted(body.into_inner());
    if counts {
        // What is counted, and the figure that was seen, are no one's to type.
        for field in ["item", "saw", "salvage"] {
            if let Some(text) = posted.first(field).map(str::to_owned) {
                posted.0.push((format!("fixed.{field}"), text));
            }
        }
    }
    let frame = Frame::of(&posted, job_id, &who);
    let entry = frame.entry(does.name, id, "", compose::fields(does, &posted));
    let moved = if counts && !is_written(&state, std::slice::from_ref(&entry)).await? {
        moved_meanwhile(&job, &posted)
    } else {
        None
    };
    let (problems, posted) = if let Some((now, problem)) = moved {
        posted.0.retain(|(name, _)| !name.ends_with("saw"));
        posted.0.push(("fixed.saw".to_owned(), now));
        (vec![problem], posted)
    } else {
        match save(&state, vec![entry], &who).await? {
            Saved::Done => {
                let here = format!("/jobs/{job_id}/{kind}/{id}");
                return Ok(see(&next_of(&posted, &here)));
            }
            Saved::Conflict(problems) | Saved::Refused(problems) => (problems, posted),
            Saved::Before(problems) => (problems, posted.into_another()),
        }
    };
    let draft = Draft {
        job: Some(&job),
        problems,
        id: "act".to_owned(),
        next: posted.first("next").unwrap_or("").to_owned(),
        save: "Save".to_owned(),
        main: Main::Yes,
        filled: posted,
    };
    let form = view::acting(does, &act, record, draft, job_id);
    Ok(refused(shell::form_page(
        &job,
        record.name(),
        "",
        form,
        Some(shell::refused_note()),
        clock::today(),
    )))
}

/// Where the record says another figure than the one that the count saw: that figure, and what to do. A count that wasn't
/// typed on a page names none, or fixes its difference to the one it saw.
fn moved_meanwhile(job: &Job, posted: &Posted) -> Option<(String, FieldProblem)> {
    let item = Item::from_key(posted.first("item")?).ok()?;
    let saw: i64 = posted.first("saw")?.trim().parse().ok()?;
    let now = on_record(&job.ledger, &item, posted.first("salvage"));
    (now != saw).then(|| {
        let problem = FieldProblem::new("counted", again_words(now, saw));
        // Below zero the record's own figure counts when it is saved.
        let saw = if now < 0 {
            String::new()
        } else {
            now.to_string()
        };
        (saw, problem)
    })
}

/// That the record moved under a count.
pub(crate) fn again_words(now: i64, then: i64) -> String {
    format!(
        "The record says {now} by now; this form was opened at {then}. Count again, then save what is here."
    )
}

/// Whether one of these entries was written already: the same form again.
pub(crate) async fn is_written(state: &State, entries: &[Entry]) -> Result<bool, HttpError> {
    let ids: Vec<Uuid> = entries.iter().map(|entry| entry.op.op_id).collect();
    let written = state
        .read(move |tx| scantling_db::written_at(tx, &ids))
        .await?;
    Ok(!written.is_empty())
}
