//! The whole job as a job file.

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use uuid::Uuid;

use crate::error::HttpError;
use crate::state::State;

/// Sends it.
pub(crate) async fn send(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let id = *job;
    let file = state
        .read(move |tx| scantling_db::export(tx, id))
        .await?
        .ok_or(HttpError::NotFound)?;
    Ok(HttpResponse::Ok()
        .content_type("application/json")
        .insert_header((
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"job.json\"",
        ))
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .body(scantling_db::to_json(&file)))
}
