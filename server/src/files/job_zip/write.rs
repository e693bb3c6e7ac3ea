//! Out: one file after the other, with one picture in memory at a time.

use std::cell::Cell;
use std::collections::BTreeMap;
use std::io::{self, Write};
use std::rc::Rc;

use scantling_db::{Found, Pictures, to_json};
use scantling_takeoff::record::{JobFile, Picture};
use thiserror::Error;
use zip::result::ZipError;
use zip::write::{SimpleFileOptions, StreamWriter};
use zip::{CompressionMethod, DateTime, ZipWriter};

use super::{JOB, LIMITS, README, SAYS, parts};

/// Why a job's zip can't be written, or not to its end.
#[derive(Debug, Error)]
pub(crate) enum Unwritten {
    /// A picture's bytes are not here.
    #[error("the picture {0} is not in the data folder, so the zip would not be whole")]
    Missing(String),
    /// A picture's bytes are not what was kept.
    #[error("the picture {0} is damaged, so the zip would not be whole")]
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

/// Whether a job's zip can be written, before its first byte is: each picture is there, and it can come in again.
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
    let json = u64::try_from(to_json(file).len()).unwrap_or(u64::MAX);
    let mut bytes = json;
    for part in &further {
        bytes += u64::try_from(part.bytes.len()).unwrap_or(u64::MAX);
    }
    for picture in all.values() {
        bytes += u64::from(picture.size);
        match pictures.size(&picture.sha256) {
            None => return Err(Unwritten::Missing(picture.sha256.clone())),
            Some(size) if size != u64::from(picture.size) => {
                return Err(Unwritten::Damaged(picture.sha256.clone()));
            }
            Some(_) => {}
        }
    }
    if bytes > LIMITS.bytes {
        let megabytes = |bytes: u64| format!("{} MB", bytes.div_ceil(1_000_000));
        return Err(Unwritten::TooMuch(
            megabytes(bytes),
            megabytes(LIMITS.bytes),
        ));
    }
    Ok(())
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
        let bytes = match pictures.read(&picture.sha256)? {
            Found::Whole(bytes) => bytes,
            Found::Damaged => return Err(Unwritten::Damaged(picture.sha256.clone())),
            Found::Missing => return Err(Unwritten::Missing(picture.sha256.clone())),
        };
        zip.start_file(name, options)?;
        zip.write_all(&bytes)?;
    }
    Ok(())
}
