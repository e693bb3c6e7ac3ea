//! A supplier's way with the yard CSV: which of our columns, in which order, under which headings, and how it is written.
//!
//! What was chosen stands in fields of the supplier; whoever chose nothing gets ours: every column, commas, a decimal
//! point.

use scantling_takeoff::record::{Record, choices};

/// How a CSV is written.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Ways {
    /// The columns in order: a word of `ORDER_COLUMNS`, its heading.
    pub(crate) columns: Vec<(String, String)>,
    /// What stands between the columns.
    pub(crate) separator: u8,
    /// Whether a comma stands before the cents.
    pub(crate) decimal_comma: bool,
    /// Whether the file begins with a byte order mark, which old spreadsheets need to see that it is UTF-8.
    pub(crate) bom: bool,
}

impl Ways {
    /// Our own: every column under its own word.
    pub(crate) fn ours() -> Self {
        Self {
            columns: choices::ORDER_COLUMNS
                .iter()
                .map(|(word, _)| ((*word).to_owned(), (*word).to_owned()))
                .collect(),
            separator: b',',
            decimal_comma: false,
            bom: false,
        }
    }

    /// A supplier's, as far as it was chosen.
    pub(crate) fn of(supplier: &Record) -> Self {
        let chosen: Vec<(String, String)> = supplier
            .texts("order_columns")
            .into_iter()
            .zip(supplier.texts("order_headings"))
            .map(|(column, heading)| (column.to_owned(), heading.to_owned()))
            .filter(|(column, _)| !column.is_empty())
            .collect();
        let ours = Self::ours();
        Self {
            columns: if chosen.is_empty() {
                ours.columns
            } else {
                chosen
            },
            separator: separator(supplier.text("order_separator").unwrap_or("comma")),
            decimal_comma: supplier.says("order_decimal", "comma"),
            bom: supplier.says("order_bom", "yes"),
        }
    }

    /// A number of ours with this way's decimal mark.
    pub(crate) fn number(&self, plain: &str) -> String {
        if self.decimal_comma {
            plain.replace('.', ",")
        } else {
            plain.to_owned()
        }
    }

    /// How the file's name ends.
    pub(crate) fn extension(&self) -> &'static str {
        if self.separator == b'\t' {
            "tsv"
        } else {
            "csv"
        }
    }

    /// Its media type.
    pub(crate) fn media_type(&self) -> &'static str {
        if self.separator == b'\t' {
            "text/tab-separated-values; charset=utf-8"
        } else {
            "text/csv; charset=utf-8"
        }
    }
}

/// The byte of a word of `SEPARATOR`; a comma for others.
pub(crate) fn separator(word: &str) -> u8 {
    match word {
        "semicolon" => b';',
        "tab" => b'\t',
        _ => b',',
    }
}
