//! `scantling export`: a job of a data folder as a job file, or with its pictures as a zip.

use std::fs::File;
use std::io::{self, BufWriter};
use std::path::{Path, PathBuf};

use scantling_db::Db;
use scantling_takeoff::record::JobFile;
use uuid::Uuid;

use super::{Failed, write_out};
use crate::files::job_zip::{self, Unwritten};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling export --data elm-street --out elm-street.json
  scantling export --data elm-street --out elm-street.zip
  scantling export --data jobs --job \"Elm Street 12\" | scantling takeoff - --weeks 2
A file whose name ends in .zip gets the pictures too.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The data folder.
    #[arg(long, default_value = "scantling-data")]
    data: PathBuf,
    /// Which job, by id or by name; not needed where there is one alone.
    #[arg(long)]
    job: Option<String>,
    /// Where to write it; standard output where nothing is said. A name that ends in .zip: with its pictures.
    #[arg(long, short)]
    out: Option<PathBuf>,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    if !arguments.data.is_dir() {
        return Err(Failed::File {
            path: arguments.data.clone(),
            why: "there is no such folder. Name the data folder with --data.".to_owned(),
        });
    }
    let db = Db::open_reader(&arguments.data)?;
    let jobs = db.read(scantling_db::jobs)?;
    let id = match (&arguments.job, jobs.as_slice()) {
        (Some(asked), _) => {
            let by_id = Uuid::parse_str(asked).ok();
            let mut found = jobs
                .iter()
                .filter(|job| Some(job.id) == by_id || job.name == *asked);
            match (found.next(), found.next()) {
                (Some(one), None) => one.id,
                (Some(_), Some(_)) => {
                    return Err(Failed::Usage(format!(
                        "{asked} is the name of several jobs. Say which by its id."
                    )));
                }
                (None, _) => {
                    return Err(Failed::Usage(format!(
                        "there is no job {asked} in {}. {}",
                        arguments.data.display(),
                        match jobs.as_slice() {
                            [] => "It has none.".to_owned(),
                            jobs => format!("It has: {}", names(jobs)),
                        }
                    )));
                }
            }
        }
        (None, [one]) => one.id,
        (None, []) => {
            return Err(Failed::Usage(format!(
                "there is no job in {}",
                arguments.data.display()
            )));
        }
        (None, _) => {
            return Err(Failed::Usage(format!(
                "there are several jobs, say which with --job: {}",
                names(&jobs)
            )));
        }
    };
    let file = db
        .read(move |tx| scantling_db::export(tx, id))?
        .ok_or_else(|| Failed::Usage("the job is gone".to_owned()))?;
    if let Some(path) = arguments.out.as_deref().filter(|path| is_zip(path)) {
        return write_zip(path, &file, &db);
    }
    let text = scantling_db::to_json(&file);
    match &arguments.out {
        None => write_out(text.as_bytes()),
        Some(path) => std::fs::write(path, text).map_err(|error| Failed::File {
            path: path.clone(),
            why: error.to_string(),
        }),
    }
}

fn is_zip(path: &Path) -> bool {
    path.extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("zip"))
}

/// Writes a zip beside its place, then gives it its name: a file of that name is whole.
fn write_zip(path: &Path, file: &JobFile, db: &Db) -> Result<(), Failed> {
    let failed = |why: String| Failed::File {
        path: path.to_owned(),
        why,
    };
    let pictures = db
        .pictures()
        .ok_or_else(|| failed("there is no folder of pictures".to_owned()))?;
    let part = path.with_extension("zip.part");
    let written = job_zip::check(file, pictures).and_then(|()| {
        let mut out = BufWriter::new(File::create(&part)?);
        job_zip::write(&mut out, file, pictures)?;
        out.into_inner()
            .map_err(io::IntoInnerError::into_error)?
            .sync_all()?;
        Ok(std::fs::rename(&part, path)?)
    });
    if written.is_err() {
        let _it_may_never_have_been_made = std::fs::remove_file(&part);
    }
    written.map_err(|why| match why {
        Unwritten::Db(error) => Failed::Db(error),
        Unwritten::Missing(_) | Unwritten::Damaged(_) => Failed::Damaged(why.to_string()),
        Unwritten::Io(error) => failed(error.to_string()),
        Unwritten::TooMuch(..) => failed(why.to_string()),
    })
}

fn names(jobs: &[scantling_db::JobLine]) -> String {
    jobs.iter()
        .map(|job| format!("{} ({})", job.name, job.id))
        .collect::<Vec<_>>()
        .join(", ")
}
