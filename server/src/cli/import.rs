//! `scantling import`: a job file, or a zip with its pictures, into a data folder.

use std::collections::BTreeSet;
use std::fs::File;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use scantling_db::{Db, Error, Found, ImportError, Imported, Mode, Pictures, Tx};
use scantling_takeoff::record::JobFile;
use uuid::Uuid;

use super::{Failed, read_file, say};
use crate::clock;
use crate::files::job_zip::{self, LIMITS, MEND, Zipped};

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
    let done = match db.write(move |tx| take(tx, &file, mode, zipped, pictures.as_ref())) {
        Err(Error::Import(ImportError::There(id))) => {
            return Err(Failed::ThereAlready(format!(
                "job {id} is in {} already; nothing was changed. Take it as a copy with --copy, or into another folder \
                 with --data.",
                arguments.data.display()
            )));
        }
        done => done?,
    };
    let (done, missing) = match done {
        Done::Taken(done, missing) => (done, missing),
        Done::Filled(id, n, missing) => {
            say(&format!(
                "Job {id} is in {} already and stays as it is; pictures brought back: {n}",
                arguments.data.display()
            ))?;
            return say_missing(missing);
        }
    };
    let jobs = db.read(scantling_db::jobs)?;
    let name = jobs
        .iter()
        .find(|job| job.id == done.job_id)
        .map_or("", |job| job.name.as_str());
    say(&format!(
        "Taken: {name}, {} entries, as job {}",
        done.n_entries, done.job_id
    ))?;
    say_missing(missing)
}

/// What came of it.
enum Done {
    /// The job, and how many of its pictures are not here.
    Taken(Imported, usize),
    /// The job was there: pictures that were missing or damaged came in, and so many are still.
    Filled(Uuid, usize, usize),
}

/// Takes the job in with its pictures. Of a job that is there, the pictures alone that it lacks.
fn take(
    tx: &Tx<'_>,
    file: &JobFile,
    mode: Mode,
    zipped: Option<Zipped>,
    pictures: Option<&Pictures>,
) -> Result<Done, Error> {
    let (there, done) = match (scantling_db::import(tx, file, mode), &zipped) {
        (Ok(done), _) => (done.job_id, Some(done)),
        (Err(Error::Import(ImportError::There(id))), Some(_)) => (id, None),
        (Err(error), _) => return Err(error),
    };
    // The job's entries are not committed yet: pictures are on disk before what names them.
    let lacks = lacking(tx, there, pictures)?;
    let held: BTreeSet<String> = zipped
        .iter()
        .flat_map(Zipped::hashes)
        .filter(|sha256| lacks.contains(*sha256))
        .cloned()
        .collect();
    if let (Some(zipped), Some(pictures)) = (zipped, pictures) {
        zipped.keep(pictures, &held)?;
    }
    let missing = lacks.len() - held.len();
    match done {
        Some(done) => Ok(Done::Taken(done, missing)),
        None if held.is_empty() => Err(ImportError::There(there).into()),
        None => Ok(Done::Filled(there, held.len(), missing)),
    }
}

/// The hashes of a job's pictures that are not in the data folder, or damaged there.
fn lacking(tx: &Tx<'_>, job: Uuid, pictures: Option<&Pictures>) -> Result<BTreeSet<String>, Error> {
    let mut lacks = BTreeSet::new();
    for picture in scantling_db::pictures(tx, job)?.into_values() {
        let found = pictures.map_or(Ok(Found::Missing), |all| all.read_anew(&picture.sha256))?;
        if !matches!(found, Found::Whole(_)) {
            lacks.insert(picture.sha256);
        }
    }
    Ok(lacks)
}

fn say_missing(n: usize) -> Result<(), Failed> {
    if n == 0 {
        return Ok(());
    }
    say(&format!(
        "Pictures that are not here: {n}. Without them the job can't leave in a zip. {MEND}"
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
