//! `scantling import`: a job file into a data folder.

use std::path::PathBuf;

use scantling_db::{Db, Error, ImportError, Mode};

use super::{Failed, read_file, say};
use crate::clock;

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling import elm-street.json --data elm-street
  scantling import --copy elm-street.json --data elm-street
A file that can't be taken changes nothing; the message names the entry, its kind, the field, and why.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The job file; `-` is standard input.
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
    let text = read_file(&arguments.file)?;
    let file =
        scantling_db::from_json(&text).map_err(|error| Failed::JobFile(error.to_string()))?;
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
    let done = match db.write(move |tx| scantling_db::import(tx, &file, mode)) {
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
