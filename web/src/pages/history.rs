//! What became of a thing, newest first: what was done, by whom, when, from which phone, and what was there before.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words; where to is empty for a thing that is not in the record any more.
    pub up: (String, String),
    /// What the history is of.
    pub of: String,
    /// The steps, newest first.
    pub steps: Vec<Step>,
}

/// A step.
#[derive(Clone, Debug)]
pub struct Step {
    /// What was done: `Changed`.
    pub what: String,
    /// To what, where it isn't the thing itself: a receipt's line.
    pub to: String,
    /// Who, when, from which phone.
    pub by: String,
    /// What it changed.
    pub changed: Vec<Changed>,
    /// Papers that it kept.
    pub papers: Option<Papers>,
    /// What was wanted and not done, since somebody else had been there: label, what was wanted, what stood.
    pub kept: Vec<(String, String, String)>,
    /// What is to be said besides, or nothing.
    pub said: String,
}

/// Papers that a step kept.
#[derive(Clone, Debug)]
pub struct Papers {
    /// `Papers of revision 2`.
    pub words: String,
    /// Each: where it is, `CSV, 2 kB`.
    pub all: Vec<(String, String)>,
}

/// A field that a step changed.
#[derive(Clone, Debug)]
pub struct Changed {
    /// Its label.
    pub label: String,
    /// What it says since; empty where it was emptied.
    pub now: String,
    /// What it said before; empty where it was empty.
    pub before: String,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "What was written about " (view.of) ", newest first. Nothing is ever written over." }
        ul class="rows" { @for step in &view.steps { li { (one(step)) } } }
    };
    shell(&view.shell, &main)
}

fn one(step: &Step) -> Markup {
    html! {
        h2 class="step" { (step.what) @if !step.to.is_empty() { ": " (step.to) } }
        p class="small" { (step.by) }
        @if !step.said.is_empty() { p class="small" { (step.said) } }
        @if !step.changed.is_empty() {
            table { tbody { @for changed in &step.changed { tr { td { (changed.label) } td class="r wrap" { (values(changed)) } } } } }
        }
        @if let Some(papers) = &step.papers {
            h3 { (papers.words) }
            div class="acts" { @for (href, words) in &papers.all { a class="btn" href=(href) { (words) } } }
        }
        @for (label, yours, stood) in &step.kept {
            p class="small" { (label) ": wanted " q { (yours) } ", but somebody had changed it to " q { (stood) } ". That stands; both were kept." }
        }
    }
}

fn values(changed: &Changed) -> Markup {
    html! {
        @if changed.now.is_empty() { "nothing" } @else { b { (changed.now) } }
        @if !changed.before.is_empty() { span class="s" { "before: " (changed.before) } }
    }
}
