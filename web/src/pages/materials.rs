//! Materials: what the changes of a week call for, each line open to its arithmetic.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::need_row::{NeedRow, need_row};
use crate::parts::rows::{Tab, tabs};
use crate::parts::verdict::{Grave, Verdict, verdict};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// Every week, the chosen one current.
    pub weeks: Vec<Tab>,
    /// The changes, in working order.
    pub changes: Vec<OfChange<'a>>,
}

/// The needs of one change.
#[derive(Clone, Debug)]
pub struct OfChange<'a> {
    /// Its page.
    pub href: String,
    /// Its name.
    pub name: String,
    /// Its needs.
    pub needs: Vec<NeedRow<'a>>,
    /// What is missing: what waits, after "needs: ", where it is filled.
    pub missing: Vec<(String, String, String)>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let waits: usize = view.changes.iter().map(|change| change.missing.len()).sum();
    let half = view.changes.len().div_ceil(2);
    let main = html! {
        h1 { "Materials" }
        p class="sub" { "What the changes call for, with the sums, in working order. Open a line to see why this many." }
        (tabs("Work week", &view.weeks))
        @if view.changes.is_empty() { p { "Nothing planned for this week needs material." } }
        div class="two lean" {
            div { @for change in view.changes.iter().take(half) { (of_change(change)) } }
            div {
                @for change in view.changes.iter().skip(half) { (of_change(change)) }
                @if waits > 0 {
                    (verdict(&Verdict { grave: Grave::Wait, word: "Waits for a reading or an entry", text: html! { (waits) " in all. No length is guessed. The rest is counted." } }))
                }
            }
        }
    };
    shell(&view.shell, &main)
}

fn of_change(change: &OfChange<'_>) -> Markup {
    html! {
        h2 { a href=(change.href) { (change.name) } }
        @if change.needs.is_empty() && change.missing.is_empty() { p class="small" { "Needs nothing." } }
        ul class="rows" {
            @for row in &change.needs { li { (need_row(row)) } }
            @for (waits, needs, href) in &change.missing {
                li { h3 { (waits) } p class="small" { "Needs: " (needs) } div class="acts" { a class="btn" href=(href) { "Record it" } } }
            }
        }
    }
}
