//! The price book: its rows, a row by hand, and the way in for a supplier's CSV.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{FieldView, Form, form, one_field};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The rows, section by section.
    pub sections: Vec<(String, Vec<Row>)>,
    /// A row by hand.
    pub form: Option<Form<'a>>,
    /// Where a CSV is sent.
    pub upload: String,
    /// Whose CSV it is: a pick of suppliers.
    pub supplier: Option<FieldView>,
    /// Rows that were pasted and could not be read.
    pub pasted: String,
    /// What was wrong with the CSV, row by row.
    pub problems: Vec<String>,
    /// Hidden inputs of the upload.
    pub hidden: Vec<(String, String)>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Price book" }
        p class="sub" { "What suppliers sell. A row without a price is bought only for what fits nothing priced." }
        @if !view.problems.is_empty() {
            section id="csv-e" role="alert" {
                h2 { "Nothing of the CSV was taken" }
                ul class="rows" { @for problem in &view.problems { li { p class="err" { (problem) } } } }
            }
        }
        div class="two lean" {
            div {
                @if view.sections.is_empty() { p { "No price yet." } }
                @for (name, all) in &view.sections { h2 { (name) span class="n" { (all.len()) } } (rows(all, "")) }
            }
            div {
                section class="sheet" id="add" aria-labelledby="add-h" { h2 id="add-h" { "Add a price" } @if let Some(adds) = &view.form { (form(adds)) } }
                section id="csv" aria-labelledby="csv-h" {
                    h2 id="csv-h" { "From a CSV" }
                    form method="post" action=(view.upload) enctype="multipart/form-data" id="csv-form" data-kind="price.add" data-online="1" {
                        @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
                        @if let Some(supplier) = &view.supplier { (one_field("csv", supplier)) }
                        label for="csv-f" { "File" }
                        p class="hint" id="csv-h2" { "Its first row holds the headings, by any name: the next page asks what each is, and shows what would change before anything is saved." }
                        input id="csv-f" name="file" type="file" accept=".csv,.tsv,.txt,text/csv" aria-describedby="csv-h2";
                        label for="csv-p" { "Or its rows, pasted" }
                        textarea id="csv-p" name="pasted" rows="3" autocomplete="off" spellcheck="false" { (view.pasted) }
                        div class="acts" { button class="btn" { "Look at the prices" } }
                    }
                }
            }
        }
    };
    shell(&view.shell, &main)
}
