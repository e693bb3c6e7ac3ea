//! A picture that comes after the entry that names it: judged, cut down to what is kept, on disk before its row.

use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse, web};
use futures_util::StreamExt as _;
use scantling_db::{PhotoEntry, Who};
use scantling_takeoff::record::{Op, Picture};
use serde_json::json;
use uuid::Uuid;

use super::Refusal;
use crate::error::HttpError;
use crate::files::picture;
use crate::forms::photo::room_for;
use crate::passes::Passes;
use crate::state::State;

/// Takes one in. The same again is answered the same, and changes nothing.
pub(crate) async fn put(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    id: web::Path<Uuid>,
    request: HttpRequest,
    body: web::Payload,
) -> Result<HttpResponse, Refusal> {
    let (id, author) = (*id, who.person);
    let media_type = request
        .headers()
        .get(header::CONTENT_TYPE)
        .and_then(|value| value.to_str().ok())
        .unwrap_or("")
        .to_owned();
    if !media_type.starts_with("image/") {
        return Err(Refusal::BadType);
    }
    let entry = state
        .read(move |tx| scantling_db::photo_entry(tx, id))
        .await?
        .filter(|entry| entry.author == author)
        .ok_or(Refusal::UnknownBlob)?;
    let bytes = read(body).await?;
    let kept = keep(&state, entry, (bytes, media_type)).await?;
    let mut answer = if kept.is_new {
        HttpResponse::Created()
    } else {
        HttpResponse::Ok()
    };
    Ok(answer
        .insert_header((header::CACHE_CONTROL, "no-store"))
        .json(json!({ "sha256": kept.sha256, "size": kept.size })))
}

/// A picture that is here now.
pub(super) struct Kept {
    /// Whether it came just now.
    pub(super) is_new: bool,
    sha256: String,
    size: u32,
}

/// Judges a picture, keeps what is kept of it, and writes that it is here.
pub(super) async fn keep(
    state: &State,
    entry: PhotoEntry,
    (bytes, media_type): (Vec<u8>, String),
) -> Result<Kept, Refusal> {
    let kept = web::block(move || picture::read(&bytes, Some(&media_type)))
        .await
        .map_err(|_| HttpError::Broken("a thread that looks at pictures ended"))?
        .map_err(|why| Refusal::BadPicture(why.to_string()))?;
    let size = u32::try_from(kept.bytes.len()).unwrap_or(u32::MAX);
    if let Some(full) = room_for(state, entry.job_id, entry.device, size).await? {
        return Err(Refusal::NoRoom(full));
    }
    let (r#type, width, height) = (kept.format.media_type().to_owned(), kept.width, kept.height);
    let sha256 = state.pictures(move |all| all.keep(&kept.bytes)).await?;
    let picture = Picture {
        blob_id: entry.picture.blob_id,
        sha256: sha256.clone(),
        r#type,
        size,
        width,
        height,
    };
    let named = Op {
        op_id: entry.op_id,
        job_id: entry.job_id,
        kind: "photo.add".to_owned(),
        entity_id: entry.photo,
        blobs: vec![entry.picture],
        ..Op::default()
    };
    let is_new = state
        .write(move |tx| {
            let known = scantling_db::pictures(tx, named.job_id)?.remove(&named.entity_id);
            match known {
                Some(known) if known == picture => Ok(Some(false)),
                Some(_) => Ok(None),
                None => scantling_db::add_picture(tx, &named, &picture).map(|()| Some(true)),
            }
        })
        .await?
        .ok_or(Refusal::BlobDiffers)?;
    Ok(Kept {
        is_new,
        sha256,
        size,
    })
}

async fn read(mut body: web::Payload) -> Result<Vec<u8>, Refusal> {
    let limit = Passes::Picture.bytes();
    let mut bytes = Vec::new();
    while let Some(chunk) = body.next().await {
        let chunk = chunk.map_err(|_| {
            Refusal::BadRequest("The picture did not arrive whole. Send it again.".to_owned())
        })?;
        if bytes.len() + chunk.len() > limit {
            return Err(HttpError::TooLarge(Passes::Picture.words()).into());
        }
        bytes.extend_from_slice(&chunk);
    }
    Ok(bytes)
}
