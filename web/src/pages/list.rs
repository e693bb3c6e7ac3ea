//! Things of one kind: their rows, and the form that adds one.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::caution::{With, caution};
use crate::parts::form::{Form, form};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// One sentence under the heading.
    pub sub: String,
    /// The things.
    pub rows: Vec<Row>,
    /// What is said where there are none.
    pub empty: String,
    /// What the form adds: `Add a wall`.
    pub add: String,
    /// The form.
    pub form: Form<'a>,
    /// Whether the form stands before the things: where adding is what people come for.
    pub first: First,
    /// The caution that goes with it.
    pub caution: Option<With>,
}

/// What stands first.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum First {
    /// The things.
    Things,
    /// The form.
    Form,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        @if !view.sub.is_empty() { p class="sub" { (view.sub) } }
        @if let Some(with) = view.caution { (caution(with)) }
        div class="two lean" {
            @if view.first == First::Form { (sheet(view)) div { (rows(&view.rows, &view.empty)) } }
            @else { div { (rows(&view.rows, &view.empty)) } (sheet(view)) }
        }
    };
    shell(&view.shell, &main)
}

fn sheet(view: &View<'_>) -> Markup {
    html! {
        section class="sheet" id="add" aria-labelledby="add-h" {
            h2 id="add-h" { (view.add) }
            (form(&view.form))
        }
    }
}
