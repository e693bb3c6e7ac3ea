//! A row of the scenario: plain data, its ids and days. How rows become entries stands in `log`; what the rows say stands in the other files.
//!
//! Source: none; plain data.

use scantling_takeoff::record::op::Typed;
use time::{Date, Duration};
use uuid::Uuid;

/// The namespace of the demo's ids.
const NAMESPACE: Uuid = Uuid::from_u128(0x8d0c_6a54_71f3_4b0e_9a2c_5e1f_d7b3_4c68);

/// One entry before it has ids: its kind, the word of the thing it is about, its fields as typed. A text that begins with
/// `@` names the thing of that word.
pub(crate) struct Row {
    /// The kind of entry: `wall.add`.
    pub(crate) op: String,
    /// The word that the thing's id is made from.
    pub(crate) word: String,
    /// Name and text of each field; a list's name comes again.
    pub(crate) fields: Vec<(String, String)>,
}

/// Rows that were typed one after the other, a minute apart.
pub(crate) struct Part {
    /// The day, counted from the Monday of week 2; below zero: before it.
    pub(crate) day: i64,
    /// The hour, UTC, of the first.
    pub(crate) hour: usize,
    /// The rows.
    pub(crate) rows: Vec<Row>,
}

/// Plain data: kind of entry, word, fields.
pub(crate) type Plain<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

/// A row from plain data; an empty text is left out.
pub(crate) fn row((op, word, fields): &Plain) -> Row {
    Row {
        op: (*op).to_owned(),
        word: (*word).to_owned(),
        fields: fields
            .iter()
            .filter(|(_, text)| !text.is_empty())
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
            .collect(),
    }
}

/// Rows from plain data.
pub(crate) fn rows(plain: &[Plain]) -> Vec<Row> {
    plain.iter().map(row).collect()
}

/// The cells of a table: a line a row, `|` between cells.
pub(crate) fn cells<const N: usize>(table: &str) -> impl Iterator<Item = [&str; N]> {
    table
        .lines()
        .filter(|line| !line.trim().is_empty())
        .map(|line| {
            let mut row = [""; N];
            for (at, cell) in line.split('|').enumerate() {
                row[at] = cell.trim();
            }
            row
        })
}

/// Rows from a table: the first line has the fields' names, the column `word` the words; `same` goes on every row.
pub(crate) fn table(op: &str, same: &[(&str, &str)], table: &str) -> Vec<Row> {
    let mut lines = table.lines().filter(|line| !line.trim().is_empty());
    let names: Vec<&str> = lines
        .next()
        .unwrap_or("")
        .split('|')
        .map(str::trim)
        .collect();
    lines
        .map(|line| {
            let texts: Vec<&str> = line.split('|').map(str::trim).collect();
            let of = |name: &str| names.iter().position(|other| *other == name);
            let word = of("word").and_then(|at| texts.get(at)).unwrap_or(&"");
            let mut fields = same.to_vec();
            let typed = names.iter().copied().zip(texts.iter().copied());
            fields.extend(typed.filter(|(name, _)| *name != "word"));
            row(&(op, word, &fields))
        })
        .collect()
}

/// The id of a word.
pub(crate) fn id(word: &str) -> Uuid {
    Uuid::new_v5(&NAMESPACE, word.as_bytes())
}

/// The Monday of a day's week.
pub(crate) fn monday_of(day: Date) -> Date {
    day.saturating_sub(Duration::days(i64::from(
        day.weekday().number_days_from_monday(),
    )))
}

/// A day, counted from a Monday, as the registry reads it: `2026-10-14`.
pub(crate) fn day(monday: Date, days: i64) -> String {
    let day = monday.saturating_add(Duration::days(days));
    format!(
        "{:04}-{:02}-{:02}",
        day.year(),
        u8::from(day.month()),
        day.day()
    )
}

/// A moment by the device's clock: the day counted from a Monday, minutes of it.
pub(crate) fn stamp(monday: Date, days: i64, minutes: usize) -> String {
    format!(
        "{}T{:02}:{:02}:00.000Z",
        day(monday, days),
        minutes.div_euclid(60),
        minutes.rem_euclid(60)
    )
}

/// The fields as an entry has them, ids for words.
pub(crate) fn typed(row: &Row) -> Typed {
    let mut typed = Typed::new();
    for (name, text) in &row.fields {
        let text = match text.strip_prefix('@') {
            Some(word) => id(word).to_string(),
            None => text.clone(),
        };
        typed.entry(name.clone()).or_default().push(text);
    }
    typed
}
