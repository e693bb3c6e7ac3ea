//! The form that adds a photo: one picture a post, read off the wire, cut down to what is kept, on disk before its entry.

use actix_multipart::Multipart;
use actix_web::{HttpResponse, web};
use futures_util::TryStreamExt;
use scantling_db::{PhotoUse, Who};
use scantling_takeoff::record::job_file::{JOB_PICTURE_BYTES, JOB_PICTURES};
use scantling_takeoff::record::op::Blob;
use scantling_takeoff::record::{FieldProblem, Job, Kind, Picture, registry};
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::parts::photo::Camera;
use uuid::Uuid;

use super::buy::receipt_of_paper;
use super::compose::{self, Entry, Frame, PART_BYTES, Posted};
use super::save::{Saved, next_of, save, save_with};
use crate::clock;
use crate::error::{HttpError, no_room, refused, see};
use crate::files::picture;
use crate::pages::photos;
use crate::passes::Passes;
use crate::state::State;

/// At most so many photos of one phone a day.
const PHOTOS_A_DAY: i64 = 500;
/// What to do where a job is full.
const ASK: &str = "Ask the lead: a new job has room, and this one’s zip keeps what is here.";
/// At most so many letters of why a photo was refused are said again.
const WHY: usize = 400;
/// What is said where a body is broken off.
const BROKEN: &str = "The photo did not arrive whole. Choose it again and send it.";

/// A file of a form.
struct Sent {
    bytes: Vec<u8>,
    /// As what it was declared.
    media_type: Option<String>,
}

/// Adds one.
pub(crate) async fn add(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    body: Multipart,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let (posted, sent) = receive(body).await?;
    if let (true, Some(why)) = (sent.bytes.is_empty(), posted.first("kept")) {
        // A refused photo that is to be put right: its picture is on the phone, and goes with what is saved from here.
        let why: String = why.chars().take(WHY).collect();
        return Ok(page(&job, &posted, &[FieldProblem::new("", why)]));
    }
    let kept = web::block(move || picture::read(&sent.bytes, sent.media_type.as_deref()))
        .await
        .map_err(|_| HttpError::Broken("a thread that looks at pictures ended"))?;
    let kept = match kept {
        Ok(kept) => kept,
        Err(why) => {
            return Ok(page(
                &job,
                &posted,
                &[FieldProblem::new("file", why.to_string())],
            ));
        }
    };
    let (media_type, width, height) = (kept.format.media_type(), kept.width, kept.height);
    let size = u32::try_from(kept.bytes.len()).unwrap_or(u32::MAX);
    let job_id = job.id;
    if let Some(full) = room_for(&state, job_id, who.device, size).await? {
        let drawn = form_page(&job, &posted, &[FieldProblem::new("file", full)]);
        return Ok(no_room(drawn));
    }
    let sha256 = state.pictures(move |all| all.keep(&kept.bytes)).await?;

    let frame = Frame::of(&posted, job.id, &who);
    let entity_id = posted.id("entity_id");
    let picture = Picture {
        blob_id: Uuid::new_v5(&frame.op_id, b"picture"),
        sha256,
        r#type: media_type.to_owned(),
        size,
        width,
        height,
    };
    let known = state
        .read(move |tx| scantling_db::pictures(tx, job_id))
        .await?
        .remove(&entity_id);
    if known.is_some_and(|known| known != picture) {
        let text =
            "Another photo was saved by this form. Choose this one again; Save keeps it too.";
        let posted = posted.into_another();
        return Ok(page(
            &job,
            &posted,
            &[FieldProblem::new("file", text.to_owned())],
        ));
    }
    let mut entries = Vec::new();
    let posted = with_paper(&state, (&job, &who), posted, &frame, &mut entries).await?;
    let adds = registry::adds(Kind::Photo).ok_or(HttpError::Broken("the registry has no photo"))?;
    let mut entry = frame.entry(adds.name, entity_id, "", compose::fields(adds, &posted));
    entry.op.blobs = vec![Blob {
        blob_id: picture.blob_id,
        r#type: picture.r#type.clone(),
        size: u64::from(size),
    }];
    entries.push(entry);
    let saved = save_with(&state, entries, &who, move |tx, ops| {
        ops.iter()
            .filter(|op| op.kind == adds.name)
            .try_for_each(|op| scantling_db::add_picture(tx, op, &picture))
    })
    .await?;
    match saved {
        Saved::Done => Ok(see(&next_of(
            &posted,
            &format!("/jobs/{job_id}/photo/{entity_id}"),
        ))),
        Saved::Conflict(problems) | Saved::Refused(problems) => Ok(page(&job, &posted, &problems)),
        Saved::Before(problems) => Ok(page(&job, &posted.into_another(), &problems)),
    }
}

/// A photo of paper from the buy list names a yard and not a receipt: away from the server there may be none yet.
async fn with_paper(
    state: &State,
    of: (&Job, &Who),
    mut posted: Posted,
    frame: &Frame,
    entries: &mut Vec<Entry>,
) -> Result<Posted, HttpError> {
    if posted.first("of").is_none() && posted.first("receipt_id").is_some() {
        let receipt = receipt_of_paper(state, of, &posted, frame, entries).await?;
        posted.0.push(("of".to_owned(), receipt.to_string()));
    }
    Ok(posted)
}

/// Adds one whose picture comes by itself, from a phone that was away: the entry alone.
pub(crate) async fn announce(
    state: &State,
    who: &Who,
    job_id: Uuid,
    fields: Vec<(String, String)>,
    blobs: &[Blob],
) -> Result<HttpResponse, HttpError> {
    let job = state.job(job_id).await?;
    let posted = Posted(fields);
    let adds = registry::adds(Kind::Photo).ok_or(HttpError::Broken("the registry has no photo"))?;
    let frame = Frame::of(&posted, job_id, who);
    let entity_id = posted.id("entity_id");
    let mut entries = Vec::new();
    let posted = with_paper(state, (&job, who), posted, &frame, &mut entries).await?;
    let mut entry = frame.entry(adds.name, entity_id, "", compose::fields(adds, &posted));
    entry.op.blobs = blobs.to_vec();
    entries.push(entry);
    match save(state, entries, who).await?.or_problems() {
        Ok(()) => Ok(see(&next_of(
            &posted,
            &format!("/jobs/{job_id}/photo/{entity_id}"),
        ))),
        Err(problems) => Ok(page(&job, &posted, &problems)),
    }
}

/// What is said where there is no room for a picture of this size from this phone today.
pub(crate) async fn room_for(
    state: &State,
    job_id: Uuid,
    device: Uuid,
    size: u32,
) -> Result<Option<String>, HttpError> {
    let day = clock::now().get(..10).unwrap_or("").to_owned();
    let used = state
        .read(move |tx| scantling_db::photo_use(tx, job_id, device, &day))
        .await?;
    Ok(over(used, size))
}

/// What is said where photos have taken all the room that they may.
fn over(used: PhotoUse, size: u32) -> Option<String> {
    if used.of_day >= PHOTOS_A_DAY {
        return Some(format!(
            "Not saved: this phone sent {PHOTOS_A_DAY} photos today, the most in a day. Send this one tomorrow, or from another phone."
        ));
    }
    let may = i64::try_from(JOB_PICTURE_BYTES).unwrap_or(i64::MAX);
    if used.of_job + i64::from(size) > may {
        return Some(format!(
            "Not saved: the photos of this job take {} of {} MB. {ASK}",
            used.of_job / 1_000_000,
            may / 1_000_000
        ));
    }
    if used.n_of_job >= i64::from(JOB_PICTURES) {
        return Some(format!(
            "Not saved: this job has {JOB_PICTURES} photos, the most that a job keeps. {ASK}"
        ));
    }
    None
}

/// Reads the fields and the file off the wire.
async fn receive(mut body: Multipart) -> Result<(Posted, Sent), HttpError> {
    let mut posted = Posted::default();
    let mut sent = Sent {
        bytes: Vec::new(),
        media_type: None,
    };
    let mut of_fields = 0;
    let photo_limit = Passes::Picture.bytes();
    let broken = |_| HttpError::BadInput(BROKEN.to_owned());
    while let Some(mut part) = body.try_next().await.map_err(broken)? {
        let name = part.name().unwrap_or("").to_owned();
        let media_type = part.content_type().map(|of| of.essence_str().to_owned());
        let mut bytes = Vec::new();
        of_fields += PART_BYTES + name.len();
        if of_fields > Passes::Form.bytes() {
            return Err(HttpError::TooLarge(Passes::Form.words()));
        }
        while let Some(chunk) = part.try_next().await.map_err(broken)? {
            if name == "file" {
                if bytes.len() + chunk.len() > photo_limit {
                    return Err(HttpError::TooLarge(Passes::Photo.words()));
                }
            } else {
                of_fields += chunk.len();
                if of_fields > Passes::Form.bytes() {
                    return Err(HttpError::TooLarge(Passes::Form.words()));
                }
            }
            bytes.extend_from_slice(&chunk);
        }
        if name != "file" {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            posted.0.push((name, text));
        } else if sent.bytes.is_empty() {
            sent = Sent { bytes, media_type };
        } else if !bytes.is_empty() {
            return Err(HttpError::BadInput(
                "Two pictures came at once. Send one at a time.".to_owned(),
            ));
        }
    }
    Ok((posted, sent))
}

/// The form on a page of its own, with what is wrong. The picture has to be chosen again: a browser doesn't send it back.
fn page(job: &Job, posted: &Posted, problems: &[FieldProblem]) -> HttpResponse {
    refused(form_page(job, posted, problems))
}

fn form_page(job: &Job, posted: &Posted, problems: &[FieldProblem]) -> Page {
    let form = photos::form(job, posted, "add", (Camera::OrLibrary, Main::Yes), problems);
    let of = posted
        .typed("of")
        .and_then(|text| Uuid::parse_str(text).ok())
        .and_then(|id| job.get(id));
    photos::form_page(job, of, form)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_phones_day_and_a_jobs_room_end() {
        let used = |of_day, n_of_job, of_job| PhotoUse {
            of_day,
            n_of_job,
            of_job,
        };
        let may = i64::try_from(JOB_PICTURE_BYTES).unwrap();
        let most = i64::from(JOB_PICTURES);
        assert_eq!(over(used(499, most - 1, may - 1), 1), None);
        assert!(over(used(500, 0, 0), 1).is_some_and(|text| text.contains("500 photos today")));
        let full = over(used(0, 0, may - 9), 10);
        assert!(full.is_some_and(|text| text.contains("19999 of 20000 MB")));
        let full = over(used(0, most, 0), 1);
        assert!(full.is_some_and(|text| text.contains("has 50000 photos")));
    }
}
