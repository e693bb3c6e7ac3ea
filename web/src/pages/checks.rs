//! All checks of a job or a week by change, the worst first, with the load path drawn.

use maud::{Markup, html};
use scantling_takeoff::checks::load_path::Path;
use scantling_takeoff::checks::screening::NOT_COVERED;
use scantling_takeoff::checks::{CAUTION, COMES_FIRST, Verdict};

use crate::drawing::load_path::load_path;
use crate::layout::{Page, Shell, page as shell};
use crate::parts::check_row::{CheckRow, check_row, sign_of, word};
use crate::parts::rows::{Tab, tabs};
use crate::parts::sign::sign;

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// All weeks, and each.
    pub weeks: Vec<Tab>,
    /// How many of each verdict, the worst first.
    pub counts: Vec<(Verdict, usize)>,
    /// Changes with their checks, the worst first.
    pub changes: Vec<OfChange<'a>>,
    /// Load paths.
    pub paths: Vec<Path>,
}

/// A change with its checks.
#[derive(Clone, Debug)]
pub struct OfChange<'a> {
    /// Its page.
    pub href: String,
    /// Its name.
    pub name: String,
    /// Its kind and week, in words.
    pub said: String,
    /// Where its record to print is.
    pub record: String,
    /// What its checks say at worst.
    pub worst: Verdict,
    /// Its checks, the worst first.
    pub checks: Vec<CheckRow<'a>>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Checks" }
        p class="sub" { "Does it fit, and is it roughly strong enough. Nothing here approves anything." }
        p class="caut" { (CAUTION) " " (COMES_FIRST) }
        (tabs("Work week", &view.weeks))
        (counts(&view.counts))
        @if view.changes.is_empty() { p class="small" { "Nothing to check yet: plan a change first." } }
        @for one in &view.changes { (of_change(one)) }
        @if !view.paths.is_empty() {
            h2 id="path" { "Load path" span class="n" { (view.paths.len()) } }
            @for (n, path) in view.paths.iter().enumerate() { (load_path(&format!("path-{n}"), path)) }
        }
        (not_covered())
    };
    shell(&view.shell, &main)
}

/// What no screen covers.
pub fn not_covered() -> Markup {
    html! {
        details {
            summary class="more" { "Not covered by any screen" }
            ul class="small" { @for one in NOT_COVERED { li { (one) } } }
        }
    }
}

fn counts(all: &[(Verdict, usize)]) -> Markup {
    html! {
        p { @for (at, (verdict, n)) in all.iter().enumerate() {
            @if at > 0 { " · " } (sign(sign_of(*verdict))) " " (n) " " (verdict.words())
        } }
    }
}

fn of_change(one: &OfChange<'_>) -> Markup {
    html! {
        h2 { (one.name) span class="n" { (word(one.worst)) } }
        p class="small" { (one.said) " " a href=(one.href) { "The change" } ". " a href=(one.record) { "Record to print" } "." }
        ul class="rows" { @for row in &one.checks { li { (check_row(row)) } } }
    }
}
