//! Which of our columns a supplier's headings are: as chosen on the page, as chosen for this supplier before, or by our
//! own names. And how the file writes its figures.

use scantling_takeoff::record::choices::LEAVE_OUT;
use scantling_takeoff::record::{Field, Kind, Record, registry};

use super::dialect::Table;
use super::price_cell::Figures;

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
    table
        .heads
        .iter()
        .enumerate()
        .map(|(at, head)| {
            let example = table
                .rows
                .iter()
                .filter_map(|row| row.cells.get(at))
                .find(|cell| !cell.is_empty())
                .cloned()
                .unwrap_or_default();
            let heading = if head.is_empty() {
                format!("column {}", at + 1)
            } else {
                head.replace('\n', " ")
            };
            let is = chosen(at).unwrap_or_else(|| {
                remembered(supplier, &heading)
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

fn remembered(supplier: Option<&Record>, heading: &str) -> Option<String> {
    let supplier = supplier?;
    supplier
        .texts("csv_headings")
        .into_iter()
        .zip(supplier.texts("csv_columns"))
        .find(|(known, _)| known.to_lowercase() == heading.to_lowercase())
        .map(|(_, column)| column.to_owned())
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
            .or_else(|| looks_like_commas(table))
            .or_else(|| before("csv_decimal").map(is_comma))
            .unwrap_or(false),
        bare: here("csv_bare")
            .or_else(|| bare_of(columns).map(str::to_owned))
            .or_else(|| before("csv_bare"))
            .unwrap_or_default(),
    }
}

/// Whether more figures end in a comma and one or two digits than in a point and such: spreadsheets save 4.30 as 4,3. None
/// where as many do.
fn looks_like_commas(table: &Table) -> Option<bool> {
    let of_figures = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    let ends = |mark: char| {
        table
            .rows
            .iter()
            .flat_map(|row| &row.cells)
            .filter(|cell| cell.chars().all(of_figures))
            .filter(|cell| {
                cell.rsplit_once(mark)
                    .is_some_and(|(_, cents)| matches!(cents.len(), 1 | 2))
            })
            .count()
    };
    let (commas, points) = (ends(','), ends('.'));
    (commas != points).then_some(commas > points)
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
        assert_eq!((read.decimal_comma, read.bare.as_str()), (true, "feet"));
        let (table, columns) = of("length;price\n8;4.15\n");
        let read = figures(&table, &columns, None, |_| None);
        assert_eq!((read.decimal_comma, read.bare.as_str()), (false, ""));
    }
}
