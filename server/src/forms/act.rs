//! Forms for what else happens to a thing: withdrawn with a reason, moved to a state, struck, reversed.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::record::Kind;
use scantling_web::layout::Main;
use uuid::Uuid;

use super::compose::{self, Frame, Posted};
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
        for field in ["item", "saw"] {
            if let Some(text) = posted.first(field).map(str::to_owned) {
                posted.0.push((format!("fixed.{field}"), text));
            }
        }
    }
    let frame = Frame::of(&posted, job_id, &who);
    let entry = frame.entry(does.name, id, "", compose::fields(does, &posted));
    let (problems, posted) = match save(&state, vec![entry], &who).await? {
        Saved::Done => {
            return Ok(see(&next_of(
                &posted,
                &format!("/jobs/{job_id}/{kind}/{id}"),
            )));
        }
        Saved::Conflict(problems) | Saved::Refused(problems) => (problems, posted),
        Saved::Before(problems) => (problems, posted.into_another()),
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
