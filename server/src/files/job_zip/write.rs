//! Out: one file after the other, with one picture in memory at a time.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::io::{self, Write};
use std::rc::Rc;

use scantling_db::{Found, Pictures, to_json};
use scantling_takeoff::record::{Entry, JobFile, OpKind, Picture};
use thiserror::Error;
use uuid::Uuid;
use zip::result::ZipError;
use zip::write::{SimpleFileOptions, StreamWriter};
use zip::{CompressionMethod, DateTime, ZipWriter};

use super::{JOB, JOB_BYTES, LIMITS, PART_BYTES, README, SAYS, parts};

/// What brings a picture back.
pub(crate) const MEND: &str =
    "A zip of this job that holds it brings it back: scantling import FILE.zip --data FOLDER";

/// Why a job's zip can't be written, or not to its end. A photo is said by [`photo_words`].
#[derive(Debug, Error)]
pub(crate) enum Unwritten {
    /// A photo's bytes are not here.
    #[error("{0} is not in the data folder, so the zip would not be whole. {MEND}")]
    Missing(String),
    /// A photo's bytes are not what was kept.
    #[error("{0} is damaged, so the zip would not be whole. {MEND}")]
    Damaged(String),
    /// Nothing could take it in again.
    #[error("the job has {0}; a zip may have {1}")]
    TooMuch(String, String),
    /// The store.
    #[error(transparent)]
    Db(#[from] scantling_db::Error),
    /// Where it is written to.
    #[error("the zip could not be written")]
    Io(#[from] io::Error),
}

impl From<ZipError> for Unwritten {
    fn from(error: ZipError) -> Self {
        Self::Io(error.into())
    }
}

/// Each picture once, by its name in the zip.
fn pictures_of(file: &JobFile) -> BTreeMap<String, &Picture> {
    let named = |picture: &'_ Picture| {
        let end = picture.extension().unwrap_or("bin");
        format!("photos/{}.{end}", picture.sha256)
    };
    file.pictures
        .iter()
        .map(|picture| (named(picture), picture))
        .collect()
}

/// Whether a job's zip can be written, before its first byte is: each picture is there and whole, and it can come in
/// again.
///
/// # Errors
/// What is missing or too much.
pub(crate) fn check(file: &JobFile, pictures: &Pictures) -> Result<(), Unwritten> {
    let all = pictures_of(file);
    let further = parts(file);
    let n = 2 + all.len() + further.len();
    if n > LIMITS.entries {
        let may = format!("{}", LIMITS.entries);
        return Err(Unwritten::TooMuch(format!("{n} files"), may));
    }
    let size = |bytes: usize| u64::try_from(bytes).unwrap_or(u64::MAX);
    let json = size(to_json(file).len());
    let of_parts = || further.iter().map(|part| size(part.bytes.len()));
    let of_pictures: u64 = all.values().map(|one| u64::from(one.size)).sum();
    let bytes = json + of_parts().sum::<u64>() + of_pictures;
    let longest = of_parts().max().unwrap_or(0);
    let figures = [
        (bytes, LIMITS.bytes, ""),
        (json, JOB_BYTES, " in its job file"),
        (longest, PART_BYTES, " in a paper of an order"),
    ];
    for (bytes, may, of) in figures {
        let megabytes = |bytes: u64| format!("{} MB", bytes.div_ceil(1_000_000));
        if bytes > may {
            let has = format!("{}{of}", megabytes(bytes));
            return Err(Unwritten::TooMuch(has, megabytes(may)));
        }
    }
    for picture in all.values() {
        whole(file, picture, pictures)?;
    }
    Ok(())
}

/// A picture's bytes, their hash worked out anew.
fn whole(file: &JobFile, picture: &Picture, pictures: &Pictures) -> Result<Vec<u8>, Unwritten> {
    let words = || photo_words(file, picture);
    match pictures.read_anew(&picture.sha256)? {
        Found::Whole(bytes) => Ok(bytes),
        Found::Damaged => Err(Unwritten::Damaged(words())),
        Found::Missing => Err(Unwritten::Missing(words())),
    }
}

/// Which photo a picture is: what it is of, the day it was added, its hash, as in `the photo of Wall D of 2026-10-12
/// (picture 0123…)`.
pub(crate) fn photo_words(file: &JobFile, picture: &Picture) -> String {
    let names = |entry: &&Entry| {
        let blobs = &mut entry.blobs.iter();
        entry.kind == "photo.add" && blobs.any(|blob| blob.blob_id == picture.blob_id)
    };
    let photo = file.entries.iter().find(names);
    let text = |entry: &Entry, field: &str| entry.fields.get(field)?.first().cloned();
    let of = photo
        .and_then(|entry| Uuid::parse_str(&text(entry, "of")?).ok())
        .and_then(|id| {
            let about = || file.entries.iter().filter(|entry| entry.entity_id == id);
            let name = about()
                .filter_map(|entry| text(entry, "name"))
                .rfind(|name| !name.is_empty());
            let kind = || {
                let kind = OpKind::named(&about().next()?.kind)?.kind;
                Some(format!("a {}", kind.title().to_lowercase()))
            };
            name.or_else(kind)
        });
    let day = photo.and_then(|entry| entry.device_time.as_deref()?.get(..10));
    let mut words = "the photo".to_owned();
    for part in [of.as_deref(), day].into_iter().flatten() {
        words.push_str(" of ");
        words.push_str(part);
    }
    format!("{words} (picture {})", picture.sha256)
}

/// Writes it. Where this fails, what was written has no directory at its end, so that nothing takes it for whole.
///
/// # Errors
/// A picture that is missing or damaged; what the writer says.
pub(crate) fn write(out: impl Write, file: &JobFile, pictures: &Pictures) -> Result<(), Unwritten> {
    let is_broken = Rc::new(Cell::new(false));
    let mut zip = ZipWriter::new_stream(Breakable {
        out,
        is_broken: Rc::clone(&is_broken),
    });
    let written = fill(&mut zip, file, pictures);
    is_broken.set(written.is_err());
    written?;
    zip.finish()?.into_inner().flush()?;
    Ok(())
}

/// Takes what is written and drops it once it is broken: a zip's writer that goes ends the zip as if it were whole.
struct Breakable<W> {
    out: W,
    is_broken: Rc<Cell<bool>>,
}

impl<W: Write> Write for Breakable<W> {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        if self.is_broken.get() {
            Ok(bytes.len())
        } else {
            self.out.write(bytes)
        }
    }

    fn flush(&mut self) -> io::Result<()> {
        self.out.flush()
    }
}

fn fill<W: Write>(
    zip: &mut ZipWriter<StreamWriter<W>>,
    file: &JobFile,
    pictures: &Pictures,
) -> Result<(), Unwritten> {
    let options = SimpleFileOptions::default()
        .compression_method(CompressionMethod::Stored)
        .last_modified_time(DateTime::default())
        .unix_permissions(0o644);
    zip.start_file(README, options)?;
    zip.write_all(SAYS.as_bytes())?;
    zip.start_file(JOB, options)?;
    zip.write_all(to_json(file).as_bytes())?;
    for part in parts(file) {
        zip.start_file(part.name, options)?;
        zip.write_all(&part.bytes)?;
    }
    for (name, picture) in pictures_of(file) {
        // Looked at again: it may have been damaged since.
        let bytes = whole(file, picture, pictures)?;
        zip.start_file(name, options)?;
        zip.write_all(&bytes)?;
    }
    Ok(())
}
