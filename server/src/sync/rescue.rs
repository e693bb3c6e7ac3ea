//! Entries that a phone saved to a file: taken in as if it had sent them, under its own name and device.

use std::collections::BTreeMap;

use actix_multipart::Multipart;
use actix_web::{FromRequest as _, HttpMessage as _, HttpRequest, HttpResponse, web};
use data_encoding::BASE64;
use futures_util::TryStreamExt as _;
use scantling_db::{Clock, Who};
use scantling_takeoff::record::Role;
use scantling_web::pages::rescue::{self, Came, View};
use serde::Deserialize;
use serde_json::Value;
use uuid::Uuid;

use super::ops::Sitting;
use super::wire::{Item, PROTOCOL, Told};
use super::{Refusal, pictures};
use crate::clock;
use crate::error::{HttpError, html, refused};
use crate::passes::{ENTRIES_BYTES, Passes};
use crate::state::State;

/// What a phone keeps beside an entry and doesn't send.
const OWN: [&str; 5] = ["state", "tries", "result", "sent_at", "words"];

/// What a phone wrote.
#[derive(Deserialize)]
struct File {
    protocol: u32,
    #[serde(default)]
    device_id: Option<Uuid>,
    ops: Vec<Value>,
    #[serde(default)]
    blobs: BTreeMap<Uuid, Kept>,
}

#[derive(Deserialize)]
struct Kept {
    r#type: String,
    base64: String,
}

/// The form.
pub(crate) async fn show() -> HttpResponse {
    html(rescue::page(&View::default()))
}

/// Takes a file in.
pub(crate) async fn take(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    request: HttpRequest,
    body: Multipart,
) -> Result<HttpResponse, HttpError> {
    let said = |problem: String| {
        refused(rescue::page(&View {
            problem: Some(problem),
            came: None,
        }))
    };
    let bytes = receive(body).await?;
    let file: File = match scantling_db::read_json(&bytes) {
        Ok(file) => file,
        Err(error) => {
            return Ok(said(format!(
                "This is no file that a phone’s list of entries wrote: {error}. Save it there again."
            )));
        }
    };
    if file.protocol != PROTOCOL {
        return Ok(said(format!(
            "The file is of protocol {}; this server speaks {PROTOCOL}.",
            file.protocol
        )));
    }
    let importer = who.into_inner();
    let mut came = Came::default();
    for (number, value) in (1..).zip(file.ops) {
        let words = format!("Entry {number}");
        match one(&state, &request, importer, file.device_id, value).await {
            Ok(told) if told.replayed && told.status != "rejected" => came.n_known += 1,
            Ok(told) if matches!(told.status.as_str(), "applied" | "conflict") => came.n_new += 1,
            Ok(told) => came.refused.push((words, told.message.unwrap_or_default())),
            Err(why) => came.refused.push((words, why.to_string())),
        }
    }
    // From here on as the importer again.
    request.extensions_mut().insert(importer);
    for (id, kept) in file.blobs {
        let Ok(bytes) = BASE64.decode(kept.base64.as_bytes()) else {
            came.refused
                .push((format!("Picture {id}"), "It can’t be read.".to_owned()));
            continue;
        };
        let entry = state
            .read(move |tx| scantling_db::photo_entry(tx, id))
            .await?
            .filter(|entry| may_bring(importer, entry.author));
        let Some(entry) = entry else {
            continue;
        };
        match pictures::keep(&state, entry, (bytes, kept.r#type)).await {
            Ok(kept) if kept.is_new => came.n_pictures += 1,
            Ok(_) => {}
            Err(why) => came
                .refused
                .push((format!("Picture {id}"), why.to_string())),
        }
    }
    Ok(html(rescue::page(&View {
        problem: None,
        came: Some(came),
    })))
}

/// One entry, as its author on its device: one's own, or as lead anybody's who is known here.
async fn one(
    state: &web::Data<State>,
    request: &HttpRequest,
    importer: Who,
    device: Option<Uuid>,
    mut value: Value,
) -> Result<Told, Refusal> {
    if let Some(all) = value.as_object_mut() {
        all.retain(|name, _| !OWN.contains(&name.as_str()));
    }
    let item: Item = serde_json::from_value(value)
        .map_err(|error| Refusal::BadRequest(format!("It can’t be read: {error}.")))?;
    let device = item
        .device_id
        .or(device)
        .ok_or_else(|| Refusal::BadRequest("It doesn’t say of which phone it is.".to_owned()))?;
    let author = item.author;
    let (people, known, before) = state
        .read(move |tx| {
            let known = scantling_db::devices(tx)?;
            Ok((
                scantling_db::people(tx)?,
                known.into_iter().find(|one| one.id == device),
                scantling_db::clock_of(tx, device)?,
            ))
        })
        .await?;
    let person = people
        .get(&author)
        .filter(|_| known.is_some_and(|device| device.person == author))
        .filter(|_| may_bring(importer, author))
        .ok_or_else(|| {
            Refusal::BadRequest(
                "It is of somebody, or of a phone, that is not known here. A lead takes in what others wrote.".to_owned(),
            )
        })?;
    if person.role < Role::Crew {
        return Err(HttpError::NotAllowed(Role::Crew).into());
    }
    let who = Who {
        person: author,
        role: person.role,
        device,
    };
    request.extensions_mut().insert(who);
    let who = web::ReqData::<Who>::extract(request)
        .await
        .map_err(|_| HttpError::Broken("whose entry it is was lost"))?;
    // How far its clock was off is known from when it last sent, if it ever did.
    let skew_s = before.as_ref().map_or(0, |(_, clock)| clock.skew_s);
    let before: Option<Clock> = before.map(|(_, clock)| clock);
    let received_at = clock::now();
    let written = scantling_db::written(&item.device_time, skew_s, &received_at, before.as_ref())
        .ok_or_else(|| Refusal::BadRequest("Its time can’t be read.".to_owned()))?;
    let mut sitting = Sitting::new(state, &who, &people);
    sitting.take(&item, &written, skew_s, &received_at).await
}

/// Whether somebody may take in what this author wrote: one's own, or as lead anybody's.
fn may_bring(importer: Who, author: Uuid) -> bool {
    importer.role == Role::Lead || importer.person == author
}

/// Reads the file off the wire.
async fn receive(mut body: Multipart) -> Result<Vec<u8>, HttpError> {
    let broken =
        |_| HttpError::BadInput("The file did not arrive whole. Choose it again.".to_owned());
    let mut bytes = Vec::new();
    while let Some(mut part) = body.try_next().await.map_err(broken)? {
        let is_file = part.name() == Some("file");
        while let Some(chunk) = part.try_next().await.map_err(broken)? {
            if bytes.len() + chunk.len() > ENTRIES_BYTES {
                return Err(HttpError::TooLarge(Passes::Entries.words()));
            }
            if is_file {
                bytes.extend_from_slice(&chunk);
            }
        }
    }
    Ok(bytes)
}
