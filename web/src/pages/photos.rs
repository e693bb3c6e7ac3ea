//! The photos of a job as rows, and the form that adds one; or that form alone, where it was refused.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::photo::{PhotoForm, photo_form};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The photos.
    pub rows: Vec<Row>,
    /// Adds one; none for who may not.
    pub form: Option<PhotoForm>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let is_refused = view.shell.note.is_some();
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        div class="two lean" {
            @if !is_refused { div { (rows(&view.rows, "No photo yet.")) } }
            @if let Some(adds) = &view.form {
                section class="sheet" id="add-photo" aria-labelledby="add-h" { h2 id="add-h" { "Add a photo" } (photo_form(adds)) }
            }
        }
    };
    shell(&view.shell, &main)
}
