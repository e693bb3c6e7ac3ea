//! Forms that change a thing: only what differs from what the form showed goes into the entry.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::record::{FieldProblem, Kind, Record, registry};
use uuid::Uuid;

use super::compose::{self, Frame, Posted};
use super::price_dates::dated;
use super::save::{Saved, changed_meanwhile, gone, next_of, save};
use crate::error::{HttpError, refused, see};
use crate::pages::things;
use crate::state::State;

/// A thing's changed fields.
pub(crate) async fn thing(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid)>,
    body: web::Form<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let kind = Kind::named(&kind).ok_or(HttpError::NotFound)?;
    let edits = registry::edits(kind).ok_or(HttpError::NotFound)?;
    let job = state.job(job_id).await?;
    // Also a thing that was taken out since the form was opened: what was typed comes back.
    let record = job
        .ever(id)
        .filter(|record| record.kind == kind)
        .ok_or(HttpError::NotFound)?;
    let posted = dated(kind, Posted(body.into_inner()));
    let otherwise = if kind == Kind::Job {
        format!("/jobs/{job_id}")
    } else {
        format!("/jobs/{job_id}/{kind}/{id}")
    };
    let Some(entry) = compose::editing(edits, id, &posted, &Frame::of(&posted, job_id, &who))
    else {
        return Ok(see(&next_of(&posted, &otherwise)));
    };
    match save(&state, vec![entry], &who).await? {
        Saved::Done => Ok(see(&next_of(&posted, &otherwise))),
        Saved::Conflict(problems) => {
            let fresh = state.job(job_id).await?;
            let record = fresh.ever(id).ok_or(HttpError::NotFound)?;
            let problems = match &record.gone {
                Some(because) => vec![gone(because)],
                None => problems
                    .into_iter()
                    .filter_map(|problem| standing(record, &posted, problem))
                    .collect(),
            };
            if problems.is_empty() {
                return Ok(see(&next_of(&posted, &otherwise)));
            }
            Ok(refused(
                things::edit_page(&state, &fresh, record, (&posted, Some(&posted)), problems)
                    .await?,
            ))
        }
        Saved::Refused(problems) | Saved::Before(problems) => Ok(refused(
            things::edit_page(&state, &job, record, (&posted, Some(&posted)), problems).await?,
        )),
    }
}

/// A conflict by what stands now, which may be later than what it was about, as where the same form comes twice; none where
/// what was typed stands.
fn standing(record: &Record, posted: &Posted, problem: FieldProblem) -> Option<FieldProblem> {
    let stands = record.texts(&problem.field).join(", ");
    let typed = posted.all(&problem.field);
    let typed: Vec<&str> = typed.iter().map(|text| text.trim()).collect();
    let typed = typed.join(", ");
    (stands != typed).then(|| FieldProblem {
        message: changed_meanwhile(&stands, &typed),
        ..problem
    })
}
