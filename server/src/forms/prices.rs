//! A price book from a CSV with our own column names: every row is taken, or none.

use std::collections::BTreeMap;

use actix_multipart::Multipart;
use actix_web::{HttpResponse, web};
use futures_util::TryStreamExt;
use scantling_db::Who;
use uuid::Uuid;

use super::compose::{Frame, Posted};
use super::save::{Saved, save};
use crate::error::{HttpError, refused, see};
use crate::files::price_book;
use crate::pages::prices;
use crate::state::State;

/// At most so many bytes of a CSV.
const CSV_LIMIT: usize = 5 * 1024 * 1024;

/// Reads the file and applies its rows.
pub(crate) async fn import(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    mut body: Multipart,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let mut posted = Posted::default();
    let mut file = Vec::new();
    let broken = |_| {
        HttpError::BadInput(
            "The file did not arrive whole. Choose it again and send it.".to_owned(),
        )
    };
    while let Some(mut part) = body.try_next().await.map_err(broken)? {
        let name = part.name().unwrap_or("").to_owned();
        let mut bytes = Vec::new();
        while let Some(chunk) = part.try_next().await.map_err(broken)? {
            if bytes.len() + chunk.len() > CSV_LIMIT {
                return Err(HttpError::TooLarge("5 MB for a CSV"));
            }
            bytes.extend_from_slice(&chunk);
        }
        if name == "file" {
            file = bytes;
        } else {
            posted
                .0
                .push((name, String::from_utf8_lossy(&bytes).into_owned()));
        }
    }
    let frame = Frame::of(&posted, job.id, &who);
    let mut entries = match price_book::read(&file, &job, &frame) {
        Ok(entries) => entries,
        Err(problems) => return Ok(refused(prices::page(&job, problems))),
    };
    let edited: Vec<Uuid> = entries
        .iter()
        .filter(|entry| entry.op.kind == "price.edit")
        .map(|entry| entry.op.entity_id)
        .collect();
    let revs = state
        .read(move |tx| {
            edited
                .into_iter()
                .map(|id| Ok((id, scantling_db::revs_of(tx, id)?)))
                .collect::<Result<BTreeMap<_, _>, _>>()
        })
        .await?;
    for entry in entries
        .iter_mut()
        .filter(|entry| entry.op.kind == "price.edit")
    {
        let names: Vec<String> = entry.op.fields.keys().cloned().collect();
        for name in names {
            let rev = revs
                .get(&entry.op.entity_id)
                .and_then(|fields| fields.get(&name))
                .map_or(0, |field| field.rev);
            entry.op.base.insert(name, rev);
        }
    }
    match save(&state, entries, &who).await? {
        Saved::Done => Ok(see(&format!("/jobs/{}/prices", job.id))),
        Saved::Conflict(problems) | Saved::Refused(problems) | Saved::Before(problems) => {
            Ok(refused(prices::page(
                &job,
                problems
                    .into_iter()
                    .map(|problem| problem.message)
                    .collect(),
            )))
        }
    }
}
