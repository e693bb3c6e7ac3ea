//! A photo's picture: what is shown is made anew, as plain JPEG; the file as it was kept is a lead's, for the record.

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_db::{Found, Who};
use scantling_takeoff::record::{Kind, Picture};
use uuid::Uuid;

use super::shrink::{Size, shrink};
use crate::error::HttpError;
use crate::pages::things;
use crate::state::State;

/// What is under its address never changes.
const FOR_GOOD: &str = "private, max-age=31536000, immutable";

/// Sends the file as it was kept, without where and when it was taken. It is a file to be saved, and no page's picture:
/// nothing here has looked at what its pixels are. Its address never holds another.
pub(crate) async fn original(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, id) = path.into_inner();
    let picture = described(&state, &who, job_id, id).await?;
    let bytes = whole(&state, &picture.sha256, job_id, id).await?;
    let ends = picture.extension().unwrap_or("bin");
    Ok(HttpResponse::Ok()
        .content_type("application/octet-stream")
        .insert_header((header::CACHE_CONTROL, FOR_GOOD))
        .insert_header((
            header::CONTENT_DISPOSITION,
            format!("attachment; filename=\"photo.{ends}\""),
        ))
        .body(bytes))
}

/// Sends a copy in full size.
pub(crate) async fn full(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    copy(&state, &who, path.into_inner(), Size::Full).await
}

/// Sends a small copy, for rows and galleries.
pub(crate) async fn small(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    copy(&state, &who, path.into_inner(), Size::Small).await
}

/// Sends a copy as large as a screen.
pub(crate) async fn screen(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    copy(&state, &who, path.into_inner(), Size::Screen).await
}

/// A copy, made where there is none yet.
async fn copy(
    state: &State,
    who: &Who,
    (job_id, id): (Uuid, Uuid),
    size: Size,
) -> Result<HttpResponse, HttpError> {
    let picture = described(state, who, job_id, id).await?;
    if picture.is_original() {
        return Err(HttpError::NoCopy);
    }
    // most pictures are no larger than a screen: their phones shrank them
    let is_small = picture.width.max(picture.height) <= Size::Screen.side();
    let size = if is_small && size == Size::Full {
        Size::Screen
    } else {
        size
    };
    let (sha256, pixels) = (picture.sha256.clone(), size.side());
    let found = state.pictures(move |all| all.copy(&sha256, pixels)).await?;
    if let Some(bytes) = found {
        return Ok(kept(bytes));
    }
    let bytes = whole(state, &picture.sha256, job_id, id).await?;
    let one_at_a_time = state.decoding().await?;
    // whoever asked may be gone before it is made: the next one waits for it all the same
    let made = web::block(move || {
        let _until_it_is_made = one_at_a_time;
        shrink(&bytes, size)
    })
    .await
    .map_err(|_| HttpError::Broken("a thread that makes copies ended"))?;
    match made {
        // as large as the picture itself: asked for seldom, made each time
        Ok(bytes) if size == Size::Full => Ok(kept(bytes)),
        Ok(bytes) => {
            let (sha256, copied) = (picture.sha256, bytes.clone());
            // A copy that can't be kept is made again next time.
            if let Err(error) = state
                .pictures(move |all| all.keep_copy(&sha256, pixels, &copied))
                .await
            {
                tracing::warn!("a copy of a picture was not kept: {error}");
            }
            Ok(kept(bytes))
        }
        Err(why) => {
            tracing::warn!(job.id = %job_id, photo.id = %id, "no copy can be made: {why}");
            Err(HttpError::NoCopy)
        }
    }
}

fn kept(bytes: Vec<u8>) -> HttpResponse {
    HttpResponse::Ok()
        .content_type("image/jpeg")
        .insert_header((header::CACHE_CONTROL, FOR_GOOD))
        .body(bytes)
}

/// What is known of a photo's picture, for who may see it.
async fn described(state: &State, who: &Who, job_id: Uuid, id: Uuid) -> Result<Picture, HttpError> {
    let job = state.job(job_id).await?;
    let record = job
        .get(id)
        .filter(|record| record.kind == Kind::Photo)
        .ok_or(HttpError::NotFound)?;
    things::may_see(&job, record, who)?;
    state
        .read(move |tx| scantling_db::pictures(tx, job_id))
        .await?
        .remove(&id)
        .ok_or(HttpError::NoPicture)
}

/// Its bytes, or word that they are lost.
async fn whole(state: &State, sha256: &str, job_id: Uuid, id: Uuid) -> Result<Vec<u8>, HttpError> {
    let sha256 = sha256.to_owned();
    match state.pictures(move |all| all.read(&sha256)).await? {
        Found::Whole(bytes) => Ok(bytes),
        Found::Damaged => {
            tracing::error!(job.id = %job_id, photo.id = %id, "a picture is damaged");
            Err(HttpError::DamagedPicture)
        }
        Found::Missing => Err(HttpError::NoPicture),
    }
}
