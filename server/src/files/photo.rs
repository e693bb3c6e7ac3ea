//! A photo's picture, as it was kept, or word that it is lost.

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_db::{Found, Who};
use scantling_takeoff::record::Kind;
use uuid::Uuid;

use crate::error::HttpError;
use crate::pages::things;
use crate::state::State;

/// Sends it. Its type is the one that it was found to be, never what somebody said; its address never holds another.
pub(crate) async fn send(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = job
        .get(id)
        .filter(|record| record.kind == Kind::Photo)
        .ok_or(HttpError::NotFound)?;
    things::may_see(&job, record, &who)?;
    let picture = state
        .read(move |tx| scantling_db::pictures(tx, job_id))
        .await?
        .remove(&id)
        .ok_or(HttpError::NoPicture)?;
    let sha256 = picture.sha256.clone();
    match state.pictures(move |all| all.read(&sha256)).await? {
        Found::Whole(bytes) => Ok(HttpResponse::Ok()
            .content_type(picture.r#type)
            .insert_header((
                header::CACHE_CONTROL,
                "private, max-age=31536000, immutable",
            ))
            .body(bytes)),
        Found::Damaged => {
            tracing::error!(job.id = %job_id, photo.id = %id, "a picture is damaged");
            Err(HttpError::DamagedPicture)
        }
        Found::Missing => Err(HttpError::NoPicture),
    }
}
