//! What is known of pictures whose bytes have arrived: one row each, written once, after the bytes are on disk.
//!
//! An entry names its picture when it is written; the row says that the bytes are here, and under which hash.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Row, Transaction};
use scantling_takeoff::record::{Op, Picture};
use uuid::Uuid;

use crate::Error;
use crate::error::{failed, uuid};

/// Writes that the picture of a photo's entry is here. The entry must be in the record and name it; its bytes must be on
/// disk. The same again does nothing.
///
/// # Errors
/// [`Error::Stored`] where the entry names no such picture, its figures can't be right, or another one came under its id;
/// those of SQLite.
pub fn add_picture(tx: &Transaction<'_>, op: &Op, picture: &Picture) -> Result<(), Error> {
    let named = op.kind == "photo.add" && op.blobs.iter().any(|b| b.blob_id == picture.blob_id);
    let known = find(tx, picture.blob_id)?;
    if !named || !picture.is_sound() || known.as_ref().is_some_and(|known| known != picture) {
        return Err(Error::Stored {
            what: "picture",
            value: picture.blob_id.to_string(),
        });
    }
    if known.is_some() {
        return Ok(());
    }
    tx.execute(
        "INSERT INTO blob (id, job_id, photo_id, sha256, type, size_bytes, width_px, height_px)
         VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        (
            picture.blob_id.to_string(),
            op.job_id.to_string(),
            op.entity_id.to_string(),
            &picture.sha256,
            &picture.r#type,
            picture.size,
            picture.width,
            picture.height,
        ),
    )
    .map_err(failed("store a picture"))?;
    Ok(())
}

/// The pictures of a job that are here, by the photo that they belong to.
///
/// # Errors
/// Those of SQLite.
pub fn pictures(tx: &Transaction<'_>, job_id: Uuid) -> Result<BTreeMap<Uuid, Picture>, Error> {
    let doing = "read the pictures of a job";
    let mut statement = tx
        .prepare_cached(
            "SELECT id, sha256, type, size_bytes, width_px, height_px, photo_id
             FROM blob
             WHERE job_id = ?1
             ORDER BY id",
        )
        .map_err(failed(doing))?;
    let mut rows = statement
        .query([job_id.to_string()])
        .map_err(failed(doing))?;
    let mut all = BTreeMap::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let photo: String = row.get(6).map_err(failed(doing))?;
        all.insert(uuid(&photo)?, picture_of(row)?);
    }
    Ok(all)
}

/// How much room photos take already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct PhotoUse {
    /// Photos that the device sent on the day.
    pub of_day: i64,
    /// Pictures of the job.
    pub n_of_job: i64,
    /// Bytes of the job's pictures.
    pub of_job: i64,
}

/// How many photos a device sent on a day (`2026-10-12`, UTC, by when they came), and what the job's pictures take.
///
/// # Errors
/// Those of SQLite.
pub fn photo_use(
    tx: &Transaction<'_>,
    job_id: Uuid,
    device: Uuid,
    day: &str,
) -> Result<PhotoUse, Error> {
    let doing = "add up what photos take";
    let of_day = tx
        .prepare_cached(
            "SELECT count(*)
             FROM op
             WHERE device_id = ?1 AND kind = 'photo.add' AND outcome = 'applied' AND substr(received_at, 1, 10) = ?2",
        )
        .and_then(|mut statement| statement.query_row((device.to_string(), day), |row| row.get(0)))
        .map_err(failed(doing))?;
    let (n_of_job, of_job) = tx
        .prepare_cached("SELECT count(*), coalesce(sum(size_bytes), 0) FROM blob WHERE job_id = ?1")
        .and_then(|mut statement| {
            statement.query_row([job_id.to_string()], |row| Ok((row.get(0)?, row.get(1)?)))
        })
        .map_err(failed(doing))?;
    Ok(PhotoUse {
        of_day,
        n_of_job,
        of_job,
    })
}

/// The picture of this id, if it is here.
pub(crate) fn find(tx: &Transaction<'_>, blob_id: Uuid) -> Result<Option<Picture>, Error> {
    tx.prepare_cached(
        "SELECT id, sha256, type, size_bytes, width_px, height_px FROM blob WHERE id = ?1",
    )
    .and_then(|mut statement| {
        statement
            .query_row([blob_id.to_string()], |row| Ok(picture_of(row)))
            .optional()
    })
    .map_err(failed("look up a picture"))?
    .transpose()
}

fn picture_of(row: &Row<'_>) -> Result<Picture, Error> {
    let read = || {
        Ok((
            row.get::<_, String>(0)?,
            row.get(1)?,
            row.get(2)?,
            row.get(3)?,
            row.get(4)?,
            row.get(5)?,
        ))
    };
    let (id, sha256, r#type, size, width, height) = read().map_err(failed("read a picture"))?;
    Ok(Picture {
        blob_id: uuid(&id)?,
        sha256,
        r#type,
        size,
        width,
        height,
    })
}
