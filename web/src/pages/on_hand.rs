//! On hand: sticks, panels, fasteners, hardware, sundries that are here, what they are kept for, and counting by hand.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{Form, form};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// Section by section: its name, its lines.
    pub sections: Vec<(String, Vec<Line<'a>>)>,
    /// Adds something that is here: salvage, leftovers.
    pub add: Form<'a>,
}

/// Like things as one line.
#[derive(Clone, Debug)]
pub struct Line<'a> {
    /// What.
    pub item: String,
    /// Its page.
    pub href: String,
    /// Where from, where it lies, what it is kept for.
    pub said: String,
    /// Something wrong: below zero, not called sound.
    pub wrong: String,
    /// Where what is written of it is changed, and the words.
    pub more: Option<(String, &'static str)>,
    /// How many are here.
    pub count: String,
    /// Corrects the count.
    pub recount: Form<'a>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "On hand" }
        p class="sub" { "What is here already comes off the buy list first." }
        div class="two lean" {
            div {
                @if view.sections.is_empty() { p { "Nothing is here yet. What is bought comes here by itself." } }
                @for (name, lines) in &view.sections {
                    h2 { (name) span class="n" { (lines.len()) } }
                    ul class="rows" { @for line in lines { li { (one(line)) } } }
                }
            }
            section class="sheet" id="add" aria-labelledby="add-h" {
                h2 id="add-h" { "Add what is here" }
                (form(&view.add))
            }
        }
    };
    shell(&view.shell, &main)
}

fn one(line: &Line<'_>) -> Markup {
    html! {
        div class="row" {
            span {
                b { (line.item) }
                @if !line.said.is_empty() { span class="s" { (line.said) } }
                @if !line.wrong.is_empty() { span class="s bad" { (line.wrong) } }
            }
            span class="val" { (line.count) }
        }
        div class="acts" {
            @if !line.href.is_empty() { a class="btn" href=(line.href) aria-label={ "Where from …: " (line.item) } { "Where from …" } }
            @if let Some((href, words)) = &line.more { a class="btn" href=(href) aria-label={ (words) ": " (line.item) } { (words) } }
            details { summary class="btn" { "Count" } (form(&line.recount)) }
        }
    }
}
