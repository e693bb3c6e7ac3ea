//! Every reading of a thing, also the withdrawn, each with the form that withdraws it.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{Form, form};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The readings, newest first.
    pub rows: Vec<ReadingOne<'a>>,
}

/// A reading.
#[derive(Clone, Debug)]
pub struct ReadingOne<'a> {
    /// What and where.
    pub what: String,
    /// What was read.
    pub length: String,
    /// As typed.
    pub typed: String,
    /// How, who, when.
    pub by: String,
    /// Why it was withdrawn, if it was.
    pub gone: Option<String>,
    /// The form that withdraws it.
    pub withdraw: Option<Form<'a>>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { "Readings" }
        p class="sub" { "Readings are only ever added. A slip is withdrawn with a reason, and stays here." }
        @if view.rows.is_empty() { p { "Nothing measured yet." } }
        ul class="rows" {
            @for row in &view.rows {
                li {
                    div class="row rd" {
                        b { (row.what) }
                        span class="val" { (row.length) }
                        span class="s" { "typed " q { (row.typed) } " · " (row.by) }
                    }
                    @if let Some(why) = &row.gone { p class="small" { "Withdrawn: " (why) } }
                    @if let Some(withdraw) = &row.withdraw { details { summary class="btn" { "Withdraw" } (form(withdraw)) } }
                }
            }
        }
    };
    shell(&view.shell, &main)
}
