//! A form on a page of its own: to add or change a thing, or refused and filled as typed.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::caution::{With, caution};
use crate::parts::form::{Form, form};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// One sentence under the heading.
    pub sub: String,
    /// The caution that goes with it.
    pub caution: Option<With>,
    /// The form.
    pub form: Form<'a>,
    /// Where the history of what it changes is.
    pub history: Option<String>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        @if !view.sub.is_empty() { p class="sub" { (view.sub) } }
        @if let Some(with) = view.caution { (caution(with)) }
        (form(&view.form))
        @if let Some(history) = &view.history { div class="acts" { a class="btn" href=(history) { "History" } } }
    };
    shell(&view.shell, &main)
}
