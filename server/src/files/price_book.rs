//! What a supplier's price book would change: rows that are new, prices that change, rows that stay, rows that the file
//! doesn't name and that are left as they are.
//!
//! A row is found in the book by the supplier's item number, else by what it says of the thing: section, size, grade,
//! length. It may change what it costs and how it is ordered, never what it is. Every error is said with its row and
//! column; all rows are taken, or none. Nothing is written here.

use std::collections::{BTreeMap, BTreeSet};

use scantling_takeoff::record::check::check;
use scantling_takeoff::record::{Job, Kind, Record, Value, registry};
use scantling_takeoff::units::Money;
use uuid::Uuid;

use super::dialect::{Row, Table};
use super::price_cell::{self, Figures};
use super::price_match::{self, Column};
use crate::forms::compose::{Entry, Frame};

/// At most so many errors are listed; how many more there are is said.
pub(crate) const LISTED: usize = 50;
/// Fields that a row may change in the book; the others say which row it is.
const CHANGES: [&str; 8] = [
    "price",
    "item_number",
    "lead_days",
    "at_yard",
    "note",
    "per_lb",
    "price_day",
    "source",
];
/// What a new row must say of itself, by section.
const MUST: [(&str, &[&str]); 5] = [
    ("panel", &["panel", "thickness", "along", "across"]),
    ("fastener", &["fastener"]),
    ("hardware", &["hardware"]),
    ("stick", &["nominal", "length"]),
    ("sundry", &["name"]),
];

/// What a file is read with.
#[derive(Clone, Debug)]
pub(crate) struct Reading<'a> {
    /// The supplier, where the file has no column for it.
    pub(crate) supplier: Option<&'a Record>,
    /// The columns.
    pub(crate) columns: &'a [Column],
    /// How it writes figures.
    pub(crate) figures: &'a Figures,
    /// The date of its prices, where it has no column for it.
    pub(crate) day: &'a str,
    /// Where they are from, likewise.
    pub(crate) source: &'a str,
}

/// What would change.
#[derive(Clone, Debug, Default)]
pub(crate) struct Plan {
    /// New rows: what would be typed.
    pub(crate) new: Vec<New>,
    /// Rows of the book that change.
    pub(crate) changed: Vec<Changed>,
    /// How many rows are in the book just so.
    pub(crate) same: usize,
    /// Rows of the supplier's in the book that the file doesn't name.
    pub(crate) left: Vec<Uuid>,
    /// What is wrong, the first [`LISTED`] of it; nothing can be saved then.
    pub(crate) problems: Vec<String>,
    /// How much more is wrong.
    pub(crate) more: usize,
    /// What would be written; edits without the revisions that they rest on.
    pub(crate) entries: Vec<Entry>,
}

/// A new row.
#[derive(Clone, Debug)]
pub(crate) struct New {
    /// What it is, in its own words.
    pub(crate) words: String,
    /// Its price.
    pub(crate) price: Option<Money>,
    /// The supplier's item number.
    pub(crate) number: String,
}

/// A row that changes.
#[derive(Clone, Debug)]
pub(crate) struct Changed {
    /// The row of the book.
    pub(crate) id: Uuid,
    /// Its price before.
    pub(crate) old: Option<Money>,
    /// Its price then; none where the price stays.
    pub(crate) new: Option<Money>,
    /// What else changes: label, then.
    pub(crate) others: Vec<(String, String)>,
}

/// A row's cells as read, by field.
type Cells = BTreeMap<&'static str, Cell>;

/// A cell as read.
struct Cell {
    /// Its column in the file, from 0.
    at: usize,
    /// As a person would have typed it.
    typed: String,
    /// As its field read that.
    value: Value,
}

/// Reads the table.
pub(crate) fn plan(table: &Table, reading: &Reading<'_>, job: &Job, frame: &Frame) -> Plan {
    let mut plan = Plan {
        problems: price_match::problems(reading.columns),
        ..Plan::default()
    };
    let book = Book::of(job, reading);
    let mut taken: BTreeMap<Uuid, usize> = BTreeMap::new();
    let mut added: BTreeMap<Vec<String>, usize> = BTreeMap::new();
    let mut suppliers: BTreeSet<Uuid> = reading.supplier.iter().map(|one| one.id).collect();
    for row in &table.rows {
        let (cells, wrong) = read_cells(row, reading, job);
        suppliers.extend(cells.get("supplier").and_then(|cell| cell.value.to));
        if !wrong.is_empty() {
            plan.problems.extend(wrong);
            continue;
        }
        let found = match book.find(&cells, reading, row) {
            Ok(found) => found,
            Err(why) => {
                plan.problems.push(why);
                continue;
            }
        };
        if let Some(why) = found.map_or_else(|| lacks(&cells, reading, row), |_| None) {
            plan.problems.push(why);
            continue;
        }
        if found.is_none() {
            let said = as_sold(&cells, reading, row);
            if !said.is_empty() {
                plan.problems.extend(said);
                continue;
            }
        }
        let before = match found {
            Some(record) => taken.insert(record.id, row.number),
            None => added.insert(identity(&cells), row.number),
        };
        if let Some(before) = before {
            plan.problems.push(format!(
                "Row {}: this is the same thing as row {before}. Leave one of them out.",
                row.number
            ));
        }
        match found {
            Some(record) => change(&mut plan, record, &cells, reading, frame, row),
            None => add(&mut plan, &cells, reading, frame, row),
        }
    }
    plan.left = job
        .all(Kind::Price)
        .filter(|record| {
            record
                .to("supplier")
                .is_some_and(|of| suppliers.contains(&of))
        })
        .map(|record| record.id)
        .filter(|id| !taken.contains_key(id))
        .collect();
    plan.more = plan.problems.len().saturating_sub(LISTED);
    plan.problems.truncate(LISTED);
    plan
}

fn read_cells(row: &Row, reading: &Reading<'_>, job: &Job) -> (Cells, Vec<String>) {
    let (mut cells, mut wrong) = (Cells::new(), Vec::new());
    for (at, (column, cell)) in reading.columns.iter().zip(&row.cells).enumerate() {
        let Some(field) = column.field().filter(|_| !cell.is_empty()) else {
            continue;
        };
        let read = price_cell::plain(field, cell, reading.figures, job).and_then(|typed| {
            let value = field.read(&typed, job.settings.units)?;
            Ok(Cell { at, typed, value })
        });
        match read {
            Ok(cell) => {
                cells.entry(field.name).or_insert(cell);
            }
            Err(why) => wrong.push(format!("{}: {why}", place(row, at, column))),
        }
    }
    (cells, wrong)
}

fn place(row: &Row, at: usize, column: &Column) -> String {
    format!("Row {}, column {} ({})", row.number, at + 1, column.heading)
}

/// A value as it is compared: what it names, its number, or its text in small letters.
fn compared(field: &str, value: Option<&Value>) -> String {
    match value {
        Some(Value { to: Some(id), .. }) => id.to_string(),
        Some(Value {
            number: Some(n), ..
        }) => n.to_string(),
        Some(value) if !value.text.is_empty() => value.text.to_lowercase(),
        // What an empty field means.
        _ => match field {
            "treatment" => "none",
            "sold_by" => "each",
            _ => "",
        }
        .to_owned(),
    }
}

/// What a row of the file says in a field, as it is compared. A blank section is the one that a new row would be given.
fn said(cells: &Cells, field: &str) -> String {
    match cells.get(field) {
        None if field == "section" => section_of(cells).unwrap_or("").to_owned(),
        cell => compared(field, cell.map(|cell| &cell.value)),
    }
}

/// What a new row says of the thing, with the supplier's number.
fn identity(cells: &Cells) -> Vec<String> {
    let own = cells
        .keys()
        .filter(|field| !CHANGES.contains(field) || **field == "item_number");
    std::iter::once(&"section")
        .chain(own.filter(|field| **field != "section"))
        .map(|field| format!("{field}={}", said(cells, field)))
        .collect()
}

/// The price book, ready to be asked which row a file's row is.
struct Book<'a> {
    by_number: BTreeMap<(Uuid, String), Vec<&'a Record>>,
    by_identity: BTreeMap<Vec<String>, Vec<&'a Record>>,
    /// The fields by which rows are told apart: those that the file has.
    fields: Vec<&'static str>,
}

impl<'a> Book<'a> {
    fn of(job: &'a Job, reading: &Reading<'_>) -> Self {
        let fields: Vec<&'static str> = registry::fields_of(Kind::Price)
            .iter()
            .map(|field| field.name)
            .filter(|name| {
                !CHANGES.contains(name)
                    && *name != "supplier"
                    && reading.columns.iter().any(|column| column.is == *name)
            })
            .collect();
        let mut book = Self {
            by_number: BTreeMap::new(),
            by_identity: BTreeMap::new(),
            fields,
        };
        for record in job.all(Kind::Price) {
            let Some(supplier) = record.to("supplier") else {
                continue;
            };
            if let Some(number) = record.text("item_number") {
                let key = (supplier, number.to_lowercase());
                book.by_number.entry(key).or_default().push(record);
            }
            let key = book.key(supplier, |name| compared(name, value_of(record, name)));
            book.by_identity.entry(key).or_default().push(record);
        }
        book
    }

    fn key(&self, supplier: Uuid, value: impl Fn(&str) -> String) -> Vec<String> {
        let own = self.fields.iter().map(|name| value(name));
        std::iter::once(supplier.to_string()).chain(own).collect()
    }

    /// The row of the book that a row of the file is; none for a new one.
    fn find(
        &self,
        cells: &Cells,
        reading: &Reading<'_>,
        row: &Row,
    ) -> Result<Option<&'a Record>, String> {
        let own = cells.get("supplier").and_then(|cell| cell.value.to);
        let Some(supplier) = own.or(reading.supplier.map(|one| one.id)) else {
            return Ok(None);
        };
        let number = cells
            .get("item_number")
            .map(|cell| cell.value.text.to_lowercase());
        let numbered = number
            .clone()
            .and_then(|number| self.by_number.get(&(supplier, number)));
        let says_what = self
            .fields
            .iter()
            .any(|name| !matches!(*name, "section" | "sold_by") && cells.contains_key(name));
        let alike = says_what
            .then(|| {
                let key = self.key(supplier, |name| said(cells, name));
                self.by_identity.get(&key)
            })
            .flatten();
        if let Some(numbered) = numbered {
            return match numbered.as_slice() {
                [one] => self.fits(one, cells, reading, row).map(|()| Some(*one)),
                several => match several
                    .iter()
                    .filter(|one| alike.is_some_and(|all| all.iter().any(|a| a.id == one.id)))
                    .collect::<Vec<_>>()
                    .as_slice()
                {
                    [one] => Ok(Some(**one)),
                    _ => Err(format!(
                        "Row {}: {} rows of the price book have this item number. Give each its own there.",
                        row.number,
                        several.len()
                    )),
                },
            };
        }
        // A row of another number is another thing, unless the file says all of it.
        let whole = lacks(cells, reading, row).is_none();
        let alike: Vec<&&'a Record> = alike
            .into_iter()
            .flatten()
            .filter(|record| whole || number.is_none() || record.text("item_number").is_none())
            .collect();
        match alike.as_slice() {
            [] => Ok(None),
            [one] => Ok(Some(**one)),
            several => Err(format!(
                "Row {}: {} rows of the price book fit this. Add a column that tells them apart, or the item number.",
                row.number,
                several.len()
            )),
        }
    }

    /// Whether a row of the book with the file's item number is the same thing.
    fn fits(
        &self,
        record: &Record,
        cells: &Cells,
        reading: &Reading<'_>,
        row: &Row,
    ) -> Result<(), String> {
        for name in self.fields.iter().filter(|name| **name != "name") {
            let Some(Cell { at, value, .. }) = cells.get(name) else {
                continue;
            };
            let there = value_of(record, name);
            if compared(name, Some(value)) != compared(name, there) {
                let is = there.map_or("nothing", |value| value.text.as_str());
                let at_column = reading
                    .columns
                    .get(*at)
                    .map_or_else(String::new, |column| place(row, *at, column));
                return Err(format!(
                    "{at_column}: item {} is {is} in the price book and {} here. Leave this column out, or change the book’s row first.",
                    record.text("item_number").unwrap_or(""),
                    value.text
                ));
            }
        }
        Ok(())
    }
}

fn value_of<'r>(record: &'r Record, name: &str) -> Option<&'r Value> {
    record.fields.get(name).and_then(|values| values.first())
}

/// The section of a new row: as it says, else by what it has.
fn section_of(cells: &Cells) -> Option<&str> {
    match cells.get("section") {
        Some(cell) => Some(cell.value.text.as_str()),
        None => MUST
            .iter()
            .find(|(_, must)| must.first().is_some_and(|first| cells.contains_key(first)))
            .map(|(section, _)| *section),
    }
}

/// What people call a field of the price book.
fn label(name: &'static str) -> &'static str {
    registry::fields_of(Kind::Price)
        .iter()
        .find(|field| field.name == name)
        .map_or(name, |field| field.label)
}

/// What can't be sold as a new row says: a stick by the bundle.
fn as_sold(cells: &Cells, reading: &Reading<'_>, row: &Row) -> Vec<String> {
    let values: BTreeMap<&'static str, Vec<Value>> = cells
        .iter()
        .map(|(name, cell)| (*name, vec![cell.value.clone()]))
        .collect();
    let at = |field: &str| {
        let cell = cells.iter().find(|(name, _)| **name == field);
        cell.and_then(|(_, cell)| Some(place(row, cell.at, reading.columns.get(cell.at)?)))
            .unwrap_or_else(|| format!("Row {}", row.number))
    };
    check(Kind::Price, &values)
        .into_iter()
        .map(|problem| format!("{}: {}", at(&problem.field), problem.message))
        .collect()
}

/// What a new row lacks, as a sentence.
fn lacks(cells: &Cells, reading: &Reading<'_>, row: &Row) -> Option<String> {
    if !cells.contains_key("supplier") && reading.supplier.is_none() {
        return Some(format!(
            "Row {}: whose price is it? Choose the supplier.",
            row.number
        ));
    }
    let what = cells.get("item_number").map_or_else(
        || "this row".to_owned(),
        |cell| format!("item {}", cell.value.text),
    );
    let Some(section) = section_of(cells) else {
        return Some(format!(
            "Row {}: {what} is not in the price book, and no column says what it is. Add {}, or leave the row out.",
            row.number,
            label("nominal")
        ));
    };
    let missing: Vec<&str> = MUST
        .iter()
        .filter(|(of, _)| *of == section)
        .flat_map(|(_, must)| must.iter())
        .filter(|name| !cells.contains_key(*name))
        .map(|name| label(name))
        .collect();
    (!missing.is_empty()).then(|| {
        format!(
            "Row {}: {what} is not in the price book; as a new row it needs {}.",
            row.number,
            missing.join(", ")
        )
    })
}

fn add(plan: &mut Plan, cells: &Cells, reading: &Reading<'_>, frame: &Frame, row: &Row) {
    let section = section_of(cells).unwrap_or("").to_owned();
    let mut words: Vec<&str> = Vec::new();
    for name in [
        "name",
        "nominal",
        "species",
        "grade",
        "panel",
        "thickness",
        "fastener",
        "length",
    ] {
        words.extend(cells.get(name).map(|cell| cell.value.text.as_str()));
    }
    let number = cells
        .get("item_number")
        .map_or_else(String::new, |cell| cell.value.text.clone());
    plan.new.push(New {
        words: if words.is_empty() {
            format!("Row {}", row.number)
        } else {
            words.join(" ")
        },
        price: price_of(cells),
        number,
    });
    let mut typed: BTreeMap<String, Vec<String>> = cells
        .iter()
        .map(|(name, cell)| ((*name).to_owned(), vec![cell.typed.clone()]))
        .collect();
    let mut put = |name: &str, text: &str| {
        if !text.is_empty() {
            typed
                .entry(name.to_owned())
                .or_insert_with(|| vec![text.to_owned()]);
        }
    };
    put("section", &section);
    if let Some(supplier) = reading.supplier {
        put("supplier", &supplier.id.to_string());
    }
    if cells.contains_key("price") {
        put("price_day", reading.day);
        put("source", reading.source);
    }
    let part = format!("row.{}", row.number);
    plan.entries.push(frame.entry(
        "price.add",
        Uuid::new_v5(&frame.op_id, format!("{part}.id").as_bytes()),
        &part,
        typed,
    ));
}

fn price_of(cells: &Cells) -> Option<Money> {
    cells
        .get("price")
        .and_then(|cell| cell.value.number)
        .map(Money::from_cents)
}

fn change(
    plan: &mut Plan,
    record: &Record,
    cells: &Cells,
    reading: &Reading<'_>,
    frame: &Frame,
    row: &Row,
) {
    let mut changed: BTreeMap<String, Vec<String>> = BTreeMap::new();
    let mut others = Vec::new();
    let fields = registry::fields_of(Kind::Price)
        .iter()
        .filter(|field| CHANGES.contains(&field.name));
    for field in fields {
        let Some(Cell { typed, value, .. }) = cells.get(field.name) else {
            continue;
        };
        if compared(field.name, Some(value)) == compared(field.name, value_of(record, field.name)) {
            continue;
        }
        changed.insert(field.name.to_owned(), vec![typed.clone()]);
        if field.name != "price" {
            others.push((field.label.to_owned(), typed.clone()));
        }
    }
    if changed.is_empty() {
        plan.same += 1;
        return;
    }
    let new = changed
        .contains_key("price")
        .then(|| price_of(cells))
        .flatten();
    if new.is_some() {
        for (name, text) in [("price_day", reading.day), ("source", reading.source)] {
            let there = record.text(name).unwrap_or("");
            if !cells.contains_key(name) && !text.is_empty() && there != text {
                changed.insert(name.to_owned(), vec![text.to_owned()]);
            }
        }
    }
    plan.changed.push(Changed {
        id: record.id,
        old: record.money("price"),
        new,
        others,
    });
    let part = format!("row.{}", row.number);
    plan.entries
        .push(frame.entry("price.edit", record.id, &part, changed));
}
