//! Which of our columns a supplier's headings are: as chosen on the page, as chosen for this supplier before, or by our
//! own names. And how the file writes its figures.

use std::collections::BTreeMap;

use scantling_takeoff::record::choices::LEAVE_OUT;
use scantling_takeoff::record::{Field, FieldType, Kind, Record, registry};

use super::dialect::Table;
use super::price_cell::{self, Figures};

/// A heading of the file and what it is here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Column {
    /// As the file has it; `column 4` where it has none.
    pub(crate) heading: String,
    /// A field of the price book, `leave_out`, or nothing where nobody said.
    pub(crate) is: String,
    /// Its first cell with something in it.
    pub(crate) example: String,
}

impl Column {
    /// The field that it is.
    pub(crate) fn field(&self) -> Option<&'static Field> {
        registry::fields_of(Kind::Price)
            .iter()
            .find(|field| field.name == self.is)
    }
}

/// The columns: as `chosen` on the page, in the order of the file; where nobody chose, by memory and by name.
pub(crate) fn columns(
    table: &Table,
    supplier: Option<&Record>,
    chosen: impl Fn(usize) -> Option<String>,
) -> Vec<Column> {
    let headings: Vec<String> = table
        .heads
        .iter()
        .enumerate()
        .map(|(at, head)| {
            if head.is_empty() {
                format!("column {}", at + 1)
            } else {
                head.replace('\n', " ")
            }
        })
        .collect();
    let numbered = numbered(headings.iter().map(String::as_str));
    let heads = table.heads.iter().zip(headings).zip(numbered);
    heads
        .enumerate()
        .map(|(at, ((head, heading), nth))| {
            let example = table
                .rows
                .iter()
                .filter_map(|row| row.cells.get(at))
                .find(|cell| !cell.is_empty())
                .cloned()
                .unwrap_or_default();
            let is = chosen(at).unwrap_or_else(|| {
                remembered(supplier, &nth)
                    .or_else(|| by_name(&heading).map(str::to_owned))
                    .or_else(|| {
                        (head.is_empty() && example.is_empty()).then(|| LEAVE_OUT.to_owned())
                    })
                    .unwrap_or_default()
            });
            Column {
                heading,
                is,
                example,
            }
        })
        .collect()
}

/// A heading in small letters, and how many of the same stand before it: two columns of one heading are told apart.
pub(crate) type Nth = (String, usize);

/// Headings in their order, each told from the others.
pub(crate) fn numbered<'a>(headings: impl IntoIterator<Item = &'a str>) -> Vec<Nth> {
    let mut seen: BTreeMap<String, usize> = BTreeMap::new();
    headings
        .into_iter()
        .map(|heading| {
            let heading = heading.to_lowercase();
            let before = seen.entry(heading.clone()).or_default();
            let nth = (heading, *before);
            *before += 1;
            nth
        })
        .collect()
}

/// What a supplier's headings were the last time: each heading, told from the others, with its column.
pub(crate) fn known_of(supplier: &Record) -> Vec<(Nth, (&str, &str))> {
    let headings = supplier.texts("csv_headings");
    let columns = supplier.texts("csv_columns");
    let pairs = headings.iter().copied().zip(columns);
    numbered(headings.iter().copied())
        .into_iter()
        .zip(pairs)
        .collect()
}

fn remembered(supplier: Option<&Record>, nth: &Nth) -> Option<String> {
    known_of(supplier?)
        .into_iter()
        .find(|(known, _)| known == nth)
        .map(|(_, (_, column))| column.to_owned())
}

fn by_name(heading: &str) -> Option<&'static str> {
    let said = heading.to_lowercase().replace('_', " ");
    registry::fields_of(Kind::Price)
        .iter()
        .find(|field| field.name.replace('_', " ") == said || field.label.to_lowercase() == said)
        .map(|field| field.name)
}

/// How the file writes its figures: as chosen on the page, else by what its cells and headings look like, else as
/// remembered.
pub(crate) fn figures(
    table: &Table,
    columns: &[Column],
    supplier: Option<&Record>,
    chosen: impl Fn(&str) -> Option<String>,
) -> Figures {
    let here = |name: &str| chosen(name).filter(|word| !word.is_empty());
    let before = |name: &str| supplier.and_then(|one| one.text(name)).map(str::to_owned);
    let is_comma = |word: String| word == "comma";
    Figures {
        decimal_comma: here("csv_decimal")
            .map(is_comma)
            .or_else(|| looks_like_commas(table, columns))
            .or_else(|| before("csv_decimal").map(is_comma)),
        bare: here("csv_bare")
            .or_else(|| bare_of(columns).map(str::to_owned))
            .or_else(|| before("csv_bare"))
            .unwrap_or_default(),
    }
}

/// Whether more figures show a decimal comma than a decimal point: `4,3`, `0,625`, `1.234,500`. None where as many do, and
/// so where every figure can be thousands as well: `1,250`.
fn looks_like_commas(table: &Table, columns: &[Column]) -> Option<bool> {
    let shown = |mark: char| {
        figures_of(table, columns)
            .filter(|cell| price_cell::mark_of(cell) == Some(mark))
            .count()
    };
    let (commas, points) = (shown(','), shown('.'));
    (commas != points).then_some(commas > points)
}

/// The word of `DECIMAL` for a comma, or a point.
pub(crate) fn decimal_word(is_comma: bool) -> &'static str {
    if is_comma { "comma" } else { "point" }
}

/// Whether nothing says the decimal mark, and a figure needs it.
pub(crate) fn needs_mark(table: &Table, columns: &[Column], figures: &Figures) -> bool {
    figures.decimal_comma.is_none()
        && figures_of(table, columns)
            .any(|cell| price_cell::could_be_two(price_cell::without_currency(cell)))
}

/// The cells that may be figures: those of every column that isn't known to be of words.
fn figures_of<'a>(table: &'a Table, columns: &'a [Column]) -> impl Iterator<Item = &'a String> {
    let may_be = |column: &Column| {
        column.field().is_none_or(|field| {
            matches!(
                field.kind,
                FieldType::Money
                    | FieldType::Count { .. }
                    | FieldType::Decimal { .. }
                    | FieldType::Length { .. }
            )
        })
    };
    table.rows.iter().flat_map(move |row| {
        let cells = row.cells.iter().zip(columns);
        cells.filter_map(move |(cell, column)| may_be(column).then_some(cell))
    })
}

/// What the heading of the lengths says that they are in: `Length (ft)`.
fn bare_of(columns: &[Column]) -> Option<&'static str> {
    let heading = columns
        .iter()
        .find(|column| column.is == "length")
        .map_or_else(String::new, |column| column.heading.to_lowercase());
    let has = |word: &str| {
        heading
            .split(|c: char| !c.is_alphabetic())
            .any(|part| part == word)
    };
    if has("ft") || has("feet") {
        Some("feet")
    } else if has("in") || has("inches") {
        Some("inches")
    } else if has("mm") {
        Some("millimetres")
    } else {
        None
    }
}

/// What is wrong with the choice: a heading that nobody said anything of, a column chosen twice.
pub(crate) fn problems(columns: &[Column]) -> Vec<String> {
    let mut problems = Vec::new();
    for (at, column) in columns.iter().enumerate() {
        let place = format!("Row 1, column {} ({})", at + 1, column.heading);
        if column.is == LEAVE_OUT {
            continue;
        }
        match column.field() {
            None => problems.push(format!(
                "{place}: this is no column that is known here. Choose which it is, or leave it out."
            )),
            Some(field) => {
                let before = columns.iter().take(at).position(|other| other.is == column.is);
                if let Some(before) = before {
                    problems.push(format!(
                        "{place}: {} is column {} already. Choose another, or leave one out.",
                        field.label,
                        before + 1
                    ));
                }
            }
        }
    }
    problems
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::files::dialect;

    #[test]
    fn a_book_whose_figures_all_have_three_digits_behind_the_mark_is_asked_about() {
        for (rows, mark, needs) in [
            ("FR-1;1,250\nFR-2;2,375", None, true),
            ("FR-1;$1,250\nFR-2;2,375", None, true),
            // The first price can be no thousands.
            ("FR-1;0,625\nFR-2;1,250", Some(true), false),
            ("FR-1;0.625\nFR-2;1.250", Some(false), false),
            ("FR-1;4\nFR-2;5", None, false),
            // An item number is no figure.
            ("1.250;4\n1.375;5", None, false),
        ] {
            let (table, columns) = of(&format!("item_number;price\n{rows}\n"));
            let read = figures(&table, &columns, None, |_| None);
            assert_eq!(read.decimal_comma, mark, "{rows}");
            assert_eq!(needs_mark(&table, &columns, &read), needs, "{rows}");
        }
    }

    #[test]
    fn headings_that_are_the_same_are_told_by_their_order() {
        let nth = |heading: &str, n| (heading.to_owned(), n);
        assert_eq!(
            numbered(["Price", "SKU", "PRICE", "price"]),
            [
                nth("price", 0),
                nth("sku", 0),
                nth("price", 1),
                nth("price", 2)
            ]
        );
    }

    fn of(text: &str) -> (Table, Vec<Column>) {
        let table = dialect::table(text, "semicolon").unwrap();
        let columns = columns(&table, None, |_| None);
        (table, columns)
    }

    #[test]
    fn our_names_and_our_labels_are_known_and_others_are_asked_about() {
        let (_, columns) = of("item_number;Nominal size;Preis;;\nFR-1;2x4;4,15;;\n");
        let is: Vec<&str> = columns.iter().map(|column| column.is.as_str()).collect();
        assert_eq!(is, ["item_number", "nominal", "", "leave_out", "leave_out"]);
        assert_eq!(problems(&columns).len(), 1);
        assert!(problems(&columns)[0].starts_with("Row 1, column 3 (Preis)"));
    }

    #[test]
    fn one_column_is_chosen_once() {
        let (_, columns) = of("price;Price\n4,15;4,20\n");
        assert_eq!(
            problems(&columns),
            [
                "Row 1, column 2 (Price): Price is column 1 already. Choose another, or leave one out."
            ]
        );
    }

    #[test]
    fn the_decimal_mark_is_seen_and_the_lengths_heading_is_read() {
        let (table, mut columns) = of("Length (ft);price\n8;4,15\n10;1.205,35\n");
        "length".clone_into(&mut columns[0].is);
        let read = figures(&table, &columns, None, |_| None);
        assert_eq!(
            (read.decimal_comma, read.bare.as_str()),
            (Some(true), "feet")
        );
        let (table, columns) = of("length;price\n8;4.15\n");
        let read = figures(&table, &columns, None, |_| None);
        assert_eq!((read.decimal_comma, read.bare.as_str()), (Some(false), ""));
    }
}
