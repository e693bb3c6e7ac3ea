//! `scantling import`: a job file, or a zip with its pictures, into a data folder.

use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use scantling_db::{Db, Error, ImportError, Mode};
use scantling_takeoff::record::JobFile;

use super::{Failed, read_file, say};
use crate::clock;
use crate::files::job_zip::{self, LIMITS, Zipped};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling import elm-street.json --data elm-street
  scantling import elm-street.zip --data elm-street
  scantling import --copy elm-street.json --data elm-street
A file that can't be taken changes nothing; the message names the entry, its kind, the field, and why.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The job file, or a job's zip; `-` is standard input, for a job file alone.
    file: PathBuf,
    /// The data folder; made if it isn't there.
    #[arg(long, default_value = "scantling-data")]
    data: PathBuf,
    /// As a copy with ids of its own, beside a job that is there.
    #[arg(long)]
    copy: bool,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    let (file, zipped) = read(&arguments.file)?;
    let mode = if arguments.copy {
        Mode::Copy {
            new: clock::new_id(),
        }
    } else {
        Mode::Same
    };
    if !arguments.data.exists() {
        // So that a file that can't be taken leaves no folder behind either.
        let file = file.clone();
        Db::in_memory()?.write(move |tx| scantling_db::import(tx, &file, mode))?;
    }
    let db = crate::folder::open(&arguments.data)?;
    let pictures = db.pictures().cloned();
    let done = match db.write(move |tx| {
        let done = scantling_db::import(tx, &file, mode)?;
        // The job's entries are not committed yet: pictures are on disk before what names them.
        if let (Some(zipped), Some(pictures)) = (zipped, &pictures) {
            zipped.keep(pictures)?;
        }
        Ok(done)
    }) {
        Err(Error::Import(ImportError::There(id))) => {
            return Err(Failed::ThereAlready(format!(
                "job {id} is in {} already; nothing was changed. Take it as a copy with --copy, or into another folder \
                 with --data.",
                arguments.data.display()
            )));
        }
        done => done?,
    };
    let jobs = db.read(scantling_db::jobs)?;
    let name = jobs
        .iter()
        .find(|job| job.id == done.job_id)
        .map_or("", |job| job.name.as_str());
    say(&format!(
        "Taken: {name}, {} entries, as job {}",
        done.n_entries, done.job_id
    ))
}

/// The job, and the zip that it came in, if it came in one.
fn read(path: &Path) -> Result<(JobFile, Option<Zipped>), Failed> {
    if is_zip(path) {
        let zipped = job_zip::open(path, LIMITS).map_err(|why| Failed::JobFile(why.to_string()))?;
        return Ok((zipped.file.clone(), Some(zipped)));
    }
    let text = read_file(path)?;
    let file =
        scantling_db::from_json(&text).map_err(|error| Failed::JobFile(error.to_string()))?;
    Ok((file, None))
}

/// Whether a file is a zip: by its name, or by what zips begin with.
fn is_zip(path: &Path) -> bool {
    let mut head = [0; 2];
    let begins = File::open(path).and_then(|mut file| file.read_exact(&mut head));
    begins.is_ok()
        && (&head == b"PK"
            || path
                .extension()
                .is_some_and(|end| end.eq_ignore_ascii_case("zip")))
}
