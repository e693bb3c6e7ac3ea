//! What two people wrote into one field at once: both answers, and who settles it.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{Form, form};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// Each that nobody has settled.
    pub all: Vec<Differs<'a>>,
}

/// A field with two answers.
#[derive(Clone, Debug)]
pub struct Differs<'a> {
    /// Its anchor.
    pub id: String,
    /// Of which thing: where it is, its name.
    pub of: (String, String),
    /// Which field.
    pub field: String,
    /// What stands, and who wrote it when.
    pub stands: Answer,
    /// What was wanted, and who wanted it when.
    pub wanted: Answer,
    /// Puts what was wanted in its place; none for who may not.
    pub take: Option<Form<'a>>,
    /// Lets what stands stand; none for who may not.
    pub keep: Option<Form<'a>>,
}

/// One of the two.
#[derive(Clone, Debug)]
pub struct Answer {
    /// As typed; may be empty.
    pub text: String,
    /// Who and when.
    pub by: String,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { "Two answers" }
        p class="sub" { "Two people changed the same thing at once. The one that came first stands until somebody settles it; nothing was overwritten." }
        @if view.all.is_empty() { p { "Nothing is open." } }
        @for one in &view.all { (differs(one)) }
    };
    shell(&view.shell, &main)
}

fn differs(one: &Differs<'_>) -> Markup {
    html! {
        section class="sheet" id=(one.id) {
            h2 { a href=(one.of.0) { (one.of.1) } ": " (one.field) }
            (answer("Stands", &one.stands))
            @if let Some(keep) = &one.keep { (form(keep)) }
            (answer("Differs", &one.wanted))
            @if let Some(take) = &one.take { (form(take)) }
        }
    }
}

fn answer(lead: &str, one: &Answer) -> Markup {
    html! {
        p {
            span class="lbl" { (lead) }
            @if one.text.is_empty() { "empty" } @else { b { (one.text) } }
            span class="s" { (one.by) }
        }
    }
}
