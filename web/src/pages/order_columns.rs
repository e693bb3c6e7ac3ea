//! Which columns a supplier's CSV has: each of ours with its place and heading, and how the file is written.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{FieldView, one_field};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// Problems that belong to no field.
    pub problems: Vec<String>,
    /// Each column: what it is, its place, its heading.
    pub columns: Vec<(String, FieldView, FieldView)>,
    /// How the file is written.
    pub written: Vec<FieldView>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "Give each column that this yard wants a place; the others stay out. With none, the CSV has all of ours." }
        form method="post" action=(view.action) id="columns" data-kind="supplier.edit" {
            @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
            @for problem in &view.problems { p class="err" role="alert" { (problem) } }
            div class="two lean" {
                div {
                    h2 { "Columns" }
                    ul class="rows" {
                        @for (what, place, heading) in &view.columns {
                            li { fieldset { legend { (what) } div class="one" { (one_field("columns", heading)) (one_field("columns", place)) } } }
                        }
                    }
                }
                div {
                    h2 { "The file" }
                    @for field in &view.written { (one_field("columns", field)) }
                    div class="acts" { button class="btn main" { "Save columns" } }
                }
            }
        }
    };
    shell(&view.shell, &main)
}
