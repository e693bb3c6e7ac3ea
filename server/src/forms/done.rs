//! A change marked done, and a shore struck: the figures as the person leaves them.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::record::{Job, OpKind, Record};
use scantling_web::Page;
use uuid::Uuid;

use super::compose::{self, Frame, Posted};
use super::save::save;
use crate::error::{HttpError, refused, see};
use crate::pages::done;
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// Books a change as done.
pub(crate) async fn save_done(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    book(
        &state,
        &who,
        path.into_inner(),
        Posted(body.into_inner()),
        "change.done",
        done::page,
    )
    .await
}

/// Books a shore as struck.
pub(crate) async fn save_struck(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    book(
        &state,
        &who,
        path.into_inner(),
        Posted(body.into_inner()),
        "change.struck",
        done::struck_page,
    )
    .await
}

type PageOf = fn(&Job, &Record, Option<&Posted>, Vec<String>) -> Page;

async fn book(
    state: &State,
    who: &Who,
    (job_id, kind, id): (Uuid, String, Uuid),
    posted: Posted,
    does: &'static str,
    page: PageOf,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(job_id).await?;
    let record = done::change(&job, &kind, id)?;
    let does = OpKind::named(does).ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    let entry =
        Frame::of(&posted, job_id, who).entry(does.name, id, "", compose::fields(does, &posted));
    match save(state, vec![entry], who).await?.or_problems() {
        Ok(()) => Ok(see(&format!("/jobs/{job_id}"))),
        Err(problems) => {
            let problems = problems
                .into_iter()
                .map(|problem| problem.message)
                .collect();
            Ok(refused(page(&job, record, Some(&posted), problems)))
        }
    }
}
