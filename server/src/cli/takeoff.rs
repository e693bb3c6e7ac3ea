//! `scantling takeoff`: needs, cut list or buy list of a job file, with no server.
//!
//! The file goes into a store in memory by the one way in, so it is checked as an import is; the core computes the rest.

use std::path::PathBuf;

use scantling_db::Db;
use scantling_takeoff::buy::{BuyList, buy_list};
use scantling_takeoff::needs::needs;
use scantling_takeoff::record::{Job, Kind, Record};

use super::{Failed, read_file, write_out};
use crate::files::ways::Ways;
use crate::files::{takeoff_csv, takeoff_json, takeoff_text, yard_order};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling takeoff elm-street.json --weeks 2
  scantling takeoff elm-street.json --weeks 2,3 --show buy-list --format csv > yard.csv
  scantling takeoff elm-street.json --weeks 2 --show buy-list --format csv --supplier \"North Yard\" > order.csv
  scantling export --data elm-street | scantling takeoff - --show cut-list --format json

Several weeks of a buy list are bought together: one list. Needs and cut lists go week by week. In JSON, lengths are whole
1/64 in (keys that end in _64) and money is whole cents (_cents). What isn't recorded yet is said as \"needs: …\", never
guessed.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The job file; `-` is standard input.
    file: PathBuf,
    /// Which work weeks, with commas between; where nothing is said, every week that has a change.
    #[arg(long, value_name = "N,N", value_delimiter = ',', value_parser = clap::value_parser!(u32).range(1..=99))]
    weeks: Vec<u32>,
    /// What to show.
    #[arg(long, value_enum, default_value_t = Show::Needs)]
    show: Show,
    /// In which form.
    #[arg(long, value_enum, default_value_t = Format::Text)]
    format: Format,
    /// Of a buy list as CSV: this supplier's lines alone, in its own columns.
    #[arg(long, value_name = "NAME")]
    supplier: Option<String>,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Show {
    /// What each change calls for, with the arithmetic.
    Needs,
    /// From which stick each piece comes, with its mark.
    CutList,
    /// What is still to buy, on hand off first.
    BuyList,
}

#[derive(Clone, Copy, Debug, clap::ValueEnum)]
enum Format {
    /// A list to read.
    Text,
    /// RFC 4180; of a buy list, the yard's columns.
    Csv,
    /// Everything, with exact figures.
    Json,
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    let job = job_of(&read_file(&arguments.file)?)?;
    let mut weeks = if arguments.weeks.is_empty() {
        job.changes().iter().map(|change| change.week()).collect()
    } else {
        arguments.weeks.clone()
    };
    weeks.sort_unstable();
    weeks.dedup();
    let list = || buy_list(&job, &weeks);
    let takeoffs = || match weeks.as_slice() {
        [] => Vec::new(),
        weeks => needs(&job, weeks),
    };
    let out = match (arguments.show, arguments.format) {
        (Show::Needs, Format::Text) => {
            takeoff_text::needs_text(&job, &weeks, &takeoffs()).into_bytes()
        }
        (Show::Needs, Format::Csv) => {
            takeoff_csv::needs_csv(&job, &takeoffs()).map_err(|error| no_csv(&error))?
        }
        (Show::Needs, Format::Json) => {
            json(&takeoff_json::needs_document(&job, &weeks, &takeoffs()))
        }
        (Show::CutList, Format::Text) => takeoff_text::cut_list_text(&job, &weeks).into_bytes(),
        (Show::CutList, Format::Csv) => {
            takeoff_csv::cut_list_csv(&job, &weeks).map_err(|error| no_csv(&error))?
        }
        (Show::CutList, Format::Json) => json(&takeoff_json::cut_list_document(&job, &weeks)),
        (Show::BuyList, Format::Text) => buy_list_text(&job, &weeks).into_bytes(),
        (Show::BuyList, Format::Csv) => yard_csv(&job, list(), arguments.supplier.as_deref())?,
        (Show::BuyList, Format::Json) => {
            json(&takeoff_json::buy_list_document(&job, &weeks, &list()))
        }
    };
    write_out(&out)
}

/// A buy list as CSV: ours, or a supplier's own.
fn yard_csv(job: &Job, mut list: BuyList, supplier: Option<&str>) -> Result<Vec<u8>, Failed> {
    let Some(name) = supplier else {
        return yard_order::csv_of(job, &list).map_err(|error| no_csv(&error));
    };
    let suppliers: Vec<&Record> = job.all(Kind::Supplier).collect();
    let Some(of) = suppliers.iter().find(|one| one.name() == name) else {
        let known: Vec<&str> = suppliers.iter().map(|one| one.name()).collect();
        return Err(Failed::Usage(format!(
            "there is no supplier {name}. The job has: {}",
            known.join(", ")
        )));
    };
    list.lines
        .retain(|line| line.supplier.as_deref() == Some(name));
    yard_order::csv_as(job, &list, &Ways::of(of)).map_err(|error| no_csv(&error))
}

/// A buy list as text.
pub(super) fn buy_list_text(job: &Job, weeks: &[u32]) -> String {
    yard_order::text_of(job, &buy_list(job, weeks))
}

/// The job of a job file's text, checked as an import checks it.
pub(super) fn job_of(text: &str) -> Result<Job, Failed> {
    let file = scantling_db::from_json(text).map_err(|error| Failed::JobFile(error.to_string()))?;
    let id = file.job_id;
    let db = Db::in_memory()?;
    db.write(move |tx| scantling_db::import(tx, &file, scantling_db::Mode::Same))?;
    db.read(move |tx| scantling_db::read_job(tx, id))?
        .map(|(job, _)| job)
        .ok_or_else(|| Failed::JobFile("the file holds no job".to_owned()))
}

fn json(document: &impl serde::Serialize) -> Vec<u8> {
    let mut text = serde_json::to_vec_pretty(document)
        .expect("a document of texts, whole numbers and lists is JSON");
    text.push(b'\n');
    text
}

fn no_csv(error: &impl std::fmt::Display) -> Failed {
    Failed::File {
        path: "standard output".into(),
        why: error.to_string(),
    }
}
