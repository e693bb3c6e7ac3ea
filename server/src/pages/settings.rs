//! The job's settings: the form that changes its own record.

use actix_web::{HttpResponse, web};
use uuid::Uuid;

use super::things;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let record = job.record().ok_or(HttpError::NotFound)?;
    Ok(html(
        things::edit_page(&state, &job, record, (&Posted::default(), None), Vec::new()).await?,
    ))
}
