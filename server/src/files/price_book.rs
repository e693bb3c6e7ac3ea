//! A price book from a CSV: the column names are the registry's field names, suppliers and hardware go by their names.
//!
//! A row that names what the book has already changes its price and what else differs; another adds a row. Every error is
//! said with its row and column; all rows are taken, or none.

use std::collections::BTreeMap;

use scantling_takeoff::record::check::check;
use scantling_takeoff::record::{FieldType, Job, Kind, Record, op, registry};
use uuid::Uuid;

use crate::forms::compose::{Entry, Frame};

/// At most so many rows.
const ROWS: usize = 20_000;
/// At most so many errors are listed.
const LISTED: usize = 50;
/// Fields that a row may change in the book; the others say which row it is.
const CHANGES: [&str; 5] = ["price", "item_number", "lead_days", "note", "per_lb"];

/// The columns in words, for the page.
pub(crate) fn columns() -> String {
    registry::fields_of(Kind::Price)
        .iter()
        .map(|field| field.name)
        .collect::<Vec<_>>()
        .join(", ")
}

/// Reads the file into entries.
///
/// # Errors
/// Every problem, with row and column.
pub(crate) fn read(file: &[u8], job: &Job, frame: &Frame) -> Result<Vec<Entry>, Vec<String>> {
    let text = std::str::from_utf8(file).map_err(|error| {
        vec![format!(
            "Byte {} is no UTF-8. Save the file as CSV, UTF-8.",
            error.valid_up_to() + 1
        )]
    })?;
    let text = text.strip_prefix('\u{feff}').unwrap_or(text);
    let mut reader = csv::ReaderBuilder::new()
        .trim(csv::Trim::All)
        .from_reader(text.as_bytes());
    let heads = reader
        .headers()
        .map_err(|error| vec![csv_problem(&error)])?
        .clone();
    let fields = registry::fields_of(Kind::Price);
    let mut problems = Vec::new();
    for (at, head) in heads.iter().enumerate() {
        if !fields.iter().any(|field| field.name == head) {
            problems.push(format!(
                "Row 1, column {}: {head} is no column of the price book. It has {}.",
                at + 1,
                columns()
            ));
        }
        if heads.iter().filter(|other| *other == head).count() > 1 {
            problems.push(format!("Row 1, column {}: {head} comes twice.", at + 1));
        }
    }
    let mut entries = Vec::new();
    let adds = registry::adds(Kind::Price)
        .ok_or_else(|| vec!["The registry has no prices.".to_owned()])?;
    let mut rows = 0;
    for (at, row) in reader.records().enumerate() {
        rows += 1;
        if !problems.is_empty() && problems.len() >= LISTED {
            problems.push("There may be more.".to_owned());
            break;
        }
        if at >= ROWS {
            problems.push(format!("More than {ROWS} rows. Send it in parts."));
            break;
        }
        let row = match row {
            Ok(row) => row,
            Err(error) => {
                problems.push(csv_problem(&error));
                break;
            }
        };
        let mut typed: BTreeMap<String, Vec<String>> = BTreeMap::new();
        for (column, (head, cell)) in heads.iter().zip(row.iter()).enumerate() {
            if cell.is_empty() {
                continue;
            }
            let Some(field) = fields.iter().find(|field| field.name == head) else {
                continue;
            };
            match named(job, field.kind, cell) {
                Ok(text) => {
                    typed.insert(head.to_owned(), vec![text]);
                }
                Err(why) => problems.push(format!(
                    "Row {}, column {} ({head}): {why}",
                    at + 2,
                    column + 1
                )),
            }
        }
        let read = op::read(adds, &typed, job.settings.units);
        let found = match read {
            Ok(values) => check(Kind::Price, &values),
            Err(found) => found,
        };
        for problem in found {
            let column = heads
                .iter()
                .position(|head| head == problem.field)
                .map_or_else(String::new, |n| format!(", column {}", n + 1));
            problems.push(format!(
                "Row {}{column} ({}): {}",
                at + 2,
                problem.field,
                problem.message
            ));
        }
        entries.extend(entry(job, frame, at, typed));
    }
    if rows == 0 && problems.is_empty() {
        problems.push(
            "The file has no rows. The first row holds the column names, each further row a price."
                .to_owned(),
        );
    }
    if problems.is_empty() {
        Ok(entries)
    } else {
        Err(problems)
    }
}

fn csv_problem(error: &csv::Error) -> String {
    let row = error
        .position()
        .map_or_else(String::new, |place| format!("Row {}: ", place.line()));
    match error.kind() {
        csv::ErrorKind::UnequalLengths {
            expected_len, len, ..
        } => {
            format!(
                "{row}{len} columns where the first row has {expected_len}. Is a comma in a text without quotes?"
            )
        }
        _ => format!("{row}{error}"),
    }
}

/// A supplier or a hardware row by its name, as an id; other cells as they are.
fn named(job: &Job, kind: FieldType, cell: &str) -> Result<String, String> {
    let FieldType::Ref(kinds) = kind else {
        return Ok(cell.to_owned());
    };
    if Uuid::parse_str(cell).is_ok() {
        return Ok(cell.to_owned());
    }
    let mut found = kinds
        .iter()
        .flat_map(|kind| job.all(*kind))
        .filter(|record| record.name().eq_ignore_ascii_case(cell));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one.id.to_string()),
        (Some(_), Some(_)) => Err(format!("{cell} is the name of several. Rename one.")),
        (None, _) => {
            let word = kinds
                .first()
                .map_or("thing", |kind| kind.title())
                .to_lowercase();
            Err(format!("there is no {word} {cell}. Add it first."))
        }
    }
}

/// The entry of a row: a change of a row that is there, a new row, or nothing where all is the same.
fn entry(
    job: &Job,
    frame: &Frame,
    at: usize,
    typed: BTreeMap<String, Vec<String>>,
) -> Option<Entry> {
    let part = format!("row.{at}");
    let text_of = |name: &str| {
        typed
            .get(name)
            .and_then(|all| all.first())
            .map_or("", String::as_str)
    };
    let same = |record: &Record| {
        registry::fields_of(Kind::Price)
            .iter()
            .filter(|field| !CHANGES.contains(&field.name))
            .all(|field| {
                record
                    .text(field.name)
                    .unwrap_or("")
                    .eq_ignore_ascii_case(text_of(field.name))
            })
    };
    let Some(record) = job.all(Kind::Price).find(|record| same(record)) else {
        return Some(frame.entry(
            "price.add",
            Uuid::new_v5(&frame.op_id, format!("{part}.id").as_bytes()),
            &part,
            typed,
        ));
    };
    let changed: BTreeMap<String, Vec<String>> = CHANGES
        .iter()
        .filter(|name| {
            typed.contains_key(**name) && record.text(name).unwrap_or("") != text_of(name)
        })
        .map(|name| ((*name).to_owned(), vec![text_of(name).to_owned()]))
        .collect();
    (!changed.is_empty()).then(|| frame.entry("price.edit", record.id, &part, changed))
}
