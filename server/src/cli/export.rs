//! `scantling export`: a job of a data folder as a job file.

use std::path::PathBuf;

use scantling_db::Db;
use uuid::Uuid;

use super::{Failed, write_out};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling export --data elm-street --out elm-street.json
  scantling export --data jobs --job \"Elm Street 12\" | scantling takeoff - --weeks 2";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The data folder.
    #[arg(long, default_value = "scantling-data")]
    data: PathBuf,
    /// Which job, by id or by name; not needed where there is one alone.
    #[arg(long)]
    job: Option<String>,
    /// Where to write it; standard output where nothing is said.
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
    let text = scantling_db::to_json(&file);
    match &arguments.out {
        None => write_out(text.as_bytes()),
        Some(path) => std::fs::write(path, text).map_err(|error| Failed::File {
            path: path.clone(),
            why: error.to_string(),
        }),
    }
}

fn names(jobs: &[scantling_db::JobLine]) -> String {
    jobs.iter()
        .map(|job| format!("{} ({})", job.name, job.id))
        .collect::<Vec<_>>()
        .join(", ")
}
