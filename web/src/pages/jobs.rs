//! The jobs, and the form for a new one.

use maud::html;

use crate::layout::{Note, Page, Shell, page as shell};
use crate::parts::form::{Form, form};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// The jobs.
    pub jobs: Vec<Row>,
    /// The form for a new one; none for whoever may start none.
    pub add: Option<Form<'a>>,
    /// A banner.
    pub note: Option<Note>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Jobs" }
        @if !view.jobs.is_empty() { (rows(&view.jobs, "")) }
        @else if view.add.is_some() { p class="sub" { "A job is one house. Name it; then come its rooms and walls." } }
        @else { p class="sub" { "No job here yet. The lead starts one." } }
        div class="acts" { a class="btn" href="/crew" { "Crew and phones" } }
        @if let Some(add) = &view.add {
            h2 id="add" { "New job" }
            (form(add))
        }
    };
    shell(
        &Shell {
            note: view.note.clone(),
            ..Shell::plain("Jobs")
        },
        &main,
    )
}
