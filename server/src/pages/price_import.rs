//! The page on which a supplier's headings are matched, with what would change.

use scantling_takeoff::record::choices::{self, LEAVE_OUT};
use scantling_takeoff::record::{Job, Kind, Record, registry};
use scantling_takeoff::units::Money;
use scantling_web::Page;
use scantling_web::layout::Note;
use scantling_web::pages::price_import as view;
use scantling_web::parts::form::{FieldView, Input};
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::{prices, shell};
use crate::clock;
use crate::files::price_book::{Changed, New, Plan};
use crate::files::price_cell::Figures;
use crate::files::price_match::{Column, decimal_word};

/// At most so many rows of a sort are shown.
const SHOWN: usize = 200;

/// A file that was looked at.
pub(crate) struct Looked<'a> {
    /// The supplier, where one was chosen.
    pub(crate) supplier: Option<&'a Record>,
    /// The columns.
    pub(crate) columns: Vec<Column>,
    /// How it writes figures.
    pub(crate) figures: Figures,
    /// A word of `SEPARATOR`.
    pub(crate) separator: String,
    /// The date of its prices.
    pub(crate) day: String,
    /// Where they are from.
    pub(crate) source: String,
    /// Its name; empty for pasted rows.
    pub(crate) file_name: String,
    /// Its text.
    pub(crate) text: String,
    /// Whether the decimal mark has to be chosen: a figure can be two things.
    pub(crate) needs_mark: bool,
    /// How many rows it has.
    pub(crate) rows: usize,
    /// The op id of the form.
    pub(crate) op_id: Uuid,
    /// A sign of what would be written, by which a save knows that this was seen.
    pub(crate) seen: Uuid,
}

/// The page.
pub(crate) fn page(job: &Job, looked: &Looked<'_>, plan: &Plan, note: Option<Note>) -> Page {
    let title = looked.supplier.map_or_else(
        || "Prices from a CSV".to_owned(),
        |supplier| format!("Prices of {}", supplier.name()),
    );
    let mut shell = shell::shell(job, &title, "/prices", clock::today());
    shell.note = note;
    let hidden = [
        ("op_id", looked.op_id.to_string()),
        ("seen", looked.seen.to_string()),
        ("file_name", looked.file_name.clone()),
        ("text", looked.text.clone()),
    ];
    let name = if looked.file_name.is_empty() {
        "Pasted"
    } else {
        &looked.file_name
    };
    let view = view::View {
        up: (format!("/jobs/{}/prices", job.id), "Price book".to_owned()),
        sub: format!("{name}, {}", counted(looked.rows, "row")),
        action: format!("/jobs/{}/prices", job.id),
        hidden: hidden
            .into_iter()
            .map(|(name, value)| (name.to_owned(), value))
            .collect(),
        problems: plan.problems.clone(),
        more: plan.more,
        about: about(job, looked),
        columns: looked
            .columns
            .iter()
            .enumerate()
            .map(|(at, column)| asked(at, column))
            .collect(),
        written: written(looked),
        new: part(&plan.new, new_row),
        changed: part(&plan.changed, |one| changed_row(job, one)),
        left: part(&plan.left, |id| left_row(job, *id)),
        same: plan.same,
        shell,
    };
    view::page(&view)
}

/// `1 row`, `42 rows`.
fn counted(n: usize, what: &str) -> String {
    if n == 1 {
        format!("1 {what}")
    } else {
        format!("{n} {what}s")
    }
}

fn part<T>(all: &[T], row: impl Fn(&T) -> Row) -> view::Part {
    view::Part {
        count: all.len(),
        rows: all.iter().take(SHOWN).map(row).collect(),
    }
}

fn new_row(new: &New) -> Row {
    Row {
        name: new.words.clone(),
        second: new.number.clone(),
        value: new
            .price
            .map_or_else(|| "no price".to_owned(), |price| price.to_string()),
        ..Row::default()
    }
}

fn changed_row(job: &Job, changed: &Changed) -> Row {
    let mut row = job
        .get(changed.id)
        .map_or_else(Row::default, |record| prices::row(job, record));
    let mut second: Vec<String> = changed
        .others
        .iter()
        .map(|(label, then)| format!("{label}: {then}"))
        .collect();
    match (changed.old, changed.new) {
        (Some(old), Some(new)) => {
            second.insert(0, format!("{old} → {new}"));
            row.value = difference(new - old);
        }
        (None, Some(new)) => {
            second.insert(0, "no price before".to_owned());
            row.value = new.to_string();
        }
        _ => row.value = String::new(),
    }
    row.second = second.join(" · ");
    row
}

/// `+$0.15`, `-$0.15`.
fn difference(by: Money) -> String {
    if by < Money::ZERO {
        by.to_string()
    } else {
        format!("+{by}")
    }
}

fn left_row(job: &Job, id: Uuid) -> Row {
    job.get(id)
        .map_or_else(Row::default, |record| prices::row(job, record))
}

/// A pick of suppliers.
pub(crate) fn pick_supplier(job: &Job, chosen: Option<Uuid>) -> FieldView {
    let all = job
        .all(Kind::Supplier)
        .map(|one| (one.id.to_string(), one.name().to_owned()))
        .collect();
    let chosen = chosen.map_or_else(String::new, |id| id.to_string());
    let mut view = FieldView::by_hand("supplier", "Supplier", Input::One(all), chosen);
    "Left empty where a column of the file says it.".clone_into(&mut view.hint);
    view
}

fn about(job: &Job, looked: &Looked<'_>) -> Vec<FieldView> {
    let supplier = pick_supplier(job, looked.supplier.map(|one| one.id));
    let day = FieldView::by_hand("day", "Date of the prices", Input::Day, looked.day.clone());
    let mut source = FieldView::by_hand(
        "source",
        "Where they are from",
        Input::Line,
        looked.source.clone(),
    );
    "A quote’s number, or the file.".clone_into(&mut source.hint);
    vec![supplier, day, source]
}

fn asked(at: usize, column: &Column) -> FieldView {
    let mut all = vec![(LEAVE_OUT.to_owned(), "Leave it out".to_owned())];
    all.extend(
        registry::fields_of(Kind::Price)
            .iter()
            .map(|field| (field.name.to_owned(), field.label.to_owned())),
    );
    let mut view = FieldView::by_hand(
        &format!("column.{at}"),
        &column.heading,
        Input::One(all),
        column.is.clone(),
    );
    if !column.example.is_empty() {
        view.hint = format!("As in {:.60}", column.example);
    }
    view.required = true;
    view
}

fn written(looked: &Looked<'_>) -> Vec<FieldView> {
    let pairs = |of: choices::Choices| {
        Input::One(
            of.iter()
                .map(|(stored, shown)| ((*stored).to_owned(), (*shown).to_owned()))
                .collect(),
        )
    };
    let decimal = looked.figures.decimal_comma.map_or("", decimal_word);
    let mut all = vec![
        FieldView::by_hand(
            "separator",
            "Between the columns",
            pairs(choices::SEPARATOR),
            looked.separator.clone(),
        ),
        FieldView::by_hand(
            "csv_decimal",
            "Decimal mark",
            pairs(choices::DECIMAL),
            decimal.to_owned(),
        ),
        FieldView::by_hand(
            "csv_bare",
            "Lengths sold without a unit are in",
            pairs(choices::BARE_LENGTH),
            looked.figures.bare.clone(),
        ),
    ];
    for (view, is_required) in all.iter_mut().zip([true, looked.needs_mark]) {
        view.required = is_required;
    }
    all
}
