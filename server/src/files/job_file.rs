//! The whole job as a job file, and with its pictures as a zip.

use std::io::{self, BufWriter, Write};

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use tokio::sync::mpsc::{Sender, channel};
use uuid::Uuid;

use super::job_zip::{self, Unwritten};
use crate::error::HttpError;
use crate::state::State;

/// Bytes of a zip that go out at once, and how many such pieces wait for a slow reader.
const PIECE: usize = 64 * 1024;
const PIECES: usize = 8;

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

/// Sends it with its pictures, piece by piece. What can be seen to be missing is said before the first piece; a picture
/// that turns out to be damaged breaks the answer off, so that nobody takes it for whole.
pub(crate) async fn send_zip(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let id = *job;
    let file = state
        .read(move |tx| scantling_db::export(tx, id))
        .await?
        .ok_or(HttpError::NotFound)?;
    let pictures = state.pictures(|all| Ok(all.clone())).await?;
    let (file, pictures) = web::block(move || {
        job_zip::check(&file, &pictures)?;
        Ok((file, pictures))
    })
    .await
    .map_err(|_| HttpError::Broken("a thread that looks at a zip ended"))?
    .map_err(|why| unwritten(&why))?;
    let (pieces, mut told) = channel(PIECES);
    // A thread of its own: it waits for whoever reads, and those that answer must not.
    std::thread::Builder::new()
        .name("zip".to_owned())
        .spawn(move || {
            let out = BufWriter::with_capacity(PIECE, Pieces(pieces.clone()));
            if let Err(why) = job_zip::write(out, &file, &pictures) {
                // Without the words of what a photo is of: names are not for the log.
                let why = match why {
                    Unwritten::Missing(_) => "a picture is missing".to_owned(),
                    Unwritten::Damaged(_) => "a picture is damaged".to_owned(),
                    other => other.to_string(),
                };
                tracing::error!(job.id = %id, "a job's zip was broken off: {why}");
                let _the_reader_may_have_gone =
                    pieces.blocking_send(Err(io::Error::other("the zip was broken off")));
            }
        })
        .map_err(|_| HttpError::Broken("a thread that writes a zip could not be started"))?;
    let stream = futures_util::stream::poll_fn(move |context| told.poll_recv(context));
    Ok(HttpResponse::Ok()
        .content_type("application/zip")
        .insert_header((
            header::CONTENT_DISPOSITION,
            "attachment; filename=\"job.zip\"",
        ))
        .insert_header((header::CACHE_CONTROL, "no-store"))
        // Its pictures are compressed already.
        .insert_header(header::ContentEncoding::Identity)
        .streaming(stream))
}

fn unwritten(why: &Unwritten) -> HttpError {
    HttpError::NoZip(why.to_string())
}

/// Where a zip's writer puts what it writes.
struct Pieces(Sender<io::Result<web::Bytes>>);

impl Write for Pieces {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0
            .blocking_send(Ok(web::Bytes::copy_from_slice(bytes)))
            .map_err(|_| io::Error::from(io::ErrorKind::BrokenPipe))?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}
