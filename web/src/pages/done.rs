//! A change done, as a filled form: which sticks it took, what is left of each, what it used; and a shore struck: what
//! came back. The person corrects and saves.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The kind of entry, and what its button says.
    pub does: (&'static str, &'static str),
    /// The heading over counted things, and the name of their field.
    pub counted: (&'static str, &'static str),
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// What is wrong.
    pub problems: Vec<String>,
    /// Sticks and panels.
    pub sticks: Vec<Stick>,
    /// Counted things.
    pub counts: Vec<Count>,
    /// Lumber that came out.
    pub back: Vec<Back>,
    /// What is to be said: needs that were never listed.
    pub said: String,
    /// The note, as it was sent where the form comes back.
    pub note: String,
}

/// A stick that the change took.
#[derive(Clone, Debug)]
pub struct Stick {
    /// Its id or item, as posted.
    pub value: String,
    /// In yard words, with its pieces.
    pub words: String,
    /// What is left of it, as a length; empty for nothing worth keeping.
    pub offcut: String,
}

/// A counted thing that the change used.
#[derive(Clone, Debug)]
pub struct Count {
    /// Its item, as posted.
    pub value: String,
    /// In words.
    pub words: String,
    /// How many.
    pub used: String,
}

/// Lumber that came out.
#[derive(Clone, Debug)]
pub struct Back {
    /// Its item, as posted.
    pub value: String,
    /// In words.
    pub words: String,
    /// Each long.
    pub length: String,
    /// How many are kept.
    pub count: String,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "As the record has it. Put right what was different, then save." }
        @for problem in &view.problems { p class="err" role="alert" { (problem) } }
        form method="post" action=(view.action) data-kind=(view.does.0) id="done" {
            @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
            div class="acts" { button class="btn main" { (view.does.1) } }
            @if !view.sticks.is_empty() {
                h2 { "Sticks and panels taken" span class="n" { (view.sticks.len()) } }
                ul class="rows" { @for (at, stick) in view.sticks.iter().enumerate() { li { (stick_row(at, stick)) } } }
            }
            @if !view.counts.is_empty() {
                h2 { (view.counted.0) span class="n" { (view.counts.len()) } }
                ul class="rows" { @for (at, count) in view.counts.iter().enumerate() { li { (count_row(at, count, view.counted.1)) } } }
            }
            @if !view.back.is_empty() {
                h2 { "Came out, kept" span class="n" { (view.back.len()) } }
                p class="small" { "Only what is called sound and nail-free. Nought for the rest." }
                ul class="rows" { @for (at, back) in view.back.iter().enumerate() { li { (back_row(at, back)) } } }
            }
            @if !view.said.is_empty() { p class="small" { (view.said) } }
            label for="done-note" { "Note" }
            textarea id="done-note" name="note" rows="2" { (view.note) }
            div class="acts" { button class="btn" { (view.does.1) } }
        }
    };
    shell(&view.shell, &main)
}

fn stick_row(at: usize, stick: &Stick) -> Markup {
    html! {
        input type="hidden" name="stick" value=(stick.value);
        label for={ "off-" (at) } { (stick.words) }
        p class="hint" { "Left of it, if it is kept" }
        input id={ "off-" (at) } name="offcut" type="text" autocapitalize="off" autocorrect="off" spellcheck="false" autocomplete="off" value=(stick.offcut);
    }
}

fn count_row(at: usize, count: &Count, name: &str) -> Markup {
    html! {
        input type="hidden" name="item" value=(count.value);
        label for={ "used-" (at) } { (count.words) }
        input id={ "used-" (at) } name=(name) type="text" inputmode="numeric" autocomplete="off" value=(count.used);
    }
}

fn back_row(at: usize, back: &Back) -> Markup {
    html! {
        input type="hidden" name="back" value=(back.value);
        label for={ "back-" (at) } { (back.words) ": how many are kept" }
        input id={ "back-" (at) } name="back_count" type="text" inputmode="numeric" autocomplete="off" value=(back.count);
        label for={ "back-l-" (at) } { "Each long" }
        input id={ "back-l-" (at) } name="back_length" type="text" autocapitalize="off" autocorrect="off" spellcheck="false" autocomplete="off" value=(back.length);
    }
}
