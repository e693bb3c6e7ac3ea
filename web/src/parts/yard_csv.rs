//! A supplier's yard CSV on its page: the first lines as a table, and the ways to the file, its columns and its prices.

use maud::{Markup, html};

/// What it shows.
#[derive(Clone, Debug)]
pub struct YardCsv {
    /// Whose and of when: `Week 2, 7 lines`.
    pub of: String,
    /// The headings and the first lines, cell by cell.
    pub rows: Vec<Vec<String>>,
    /// What is said under them.
    pub said: String,
    /// Where the file is; none where there is no line.
    pub file: Option<String>,
    /// Where its columns are chosen; none for whom that is not.
    pub columns: Option<String>,
    /// Where its price book is taken in; likewise.
    pub prices: Option<String>,
}

/// Draws it.
pub fn yard_csv(view: &YardCsv) -> Markup {
    html! {
        h2 id="csv" { "CSV for this yard" span class="n" { (view.of) } }
        div class="wide" tabindex="0" role="region" aria-label="First lines of the CSV" {
            table {
                @for (at, row) in view.rows.iter().enumerate() {
                    tr { @for cell in row { @if at == 0 { th scope="col" { (cell) } } @else { td { (cell) } } } }
                }
            }
        }
        p class="small" { (view.said) }
        div class="acts" {
            @if let Some(href) = &view.file { a class="btn" href=(href) { "CSV for the yard" } }
            @if let Some(href) = &view.columns { a class="btn" href=(href) { "Choose its columns" } }
            @if let Some(href) = &view.prices { a class="btn" href=(href) { "Its prices from a CSV" } }
        }
    }
}
