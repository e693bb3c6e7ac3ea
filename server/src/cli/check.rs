//! `scantling check`: the checks of a job file, with no server.
//!
//! The file is checked as an import is; the core computes the rest.

use std::path::PathBuf;

use scantling_takeoff::checks::{self, Check, Verdict};

use super::takeoff::job_of;
use super::{Failed, read_file, write_out};
use crate::files::{check_json, check_text};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling check elm-street.json
  scantling check elm-street.json --weeks 2 --format json > checks.json
  scantling export --data elm-street | scantling check -

Exit codes of its own: 0 every check passes, or is to be looked at · 12 at least one stops · 13 none stops, and at least one
can't be told yet. What is printed is the same in each case. The JSON is described by: scantling schema --of checks
Screening only. Your engineer, your building department and the hardware maker's sheet decide.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The job file; `-` is standard input.
    file: PathBuf,
    /// Which work weeks, with commas between; where nothing is said, all.
    #[arg(long, value_name = "N,N", value_delimiter = ',', value_parser = clap::value_parser!(u32).range(1..=99))]
    weeks: Vec<u32>,
    /// In which form.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Format {
    /// A list to read.
    Text,
    /// Everything, with exact figures.
    Json,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    let job = job_of(&read_file(&arguments.file)?)?;
    let mut all = checks::of_job(&job);
    let weeks = &arguments.weeks;
    all.retain(|check| weeks.is_empty() || weeks.contains(&check.week));
    let out = match arguments.format {
        Format::Text => check_text::text(&job, &all).into_bytes(),
        Format::Json => check_json::document(&job, &all),
    };
    write_out(&out)?;
    let n = |verdict| {
        let of = |check: &&Check| check.verdict == verdict;
        all.iter().filter(of).count()
    };
    match (n(Verdict::Stop), n(Verdict::CantTellYet)) {
        (0, 0) => Ok(()),
        (0, n) => Err(Failed::CantTell(n)),
        (n, _) => Err(Failed::Stops(n)),
    }
}
