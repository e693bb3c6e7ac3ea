//! Changes in working order, week by week; and the kinds that can be planned.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::rows::{ChangeRow, Row, change_row, rows};

/// What the list of changes shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// Each week: its number in words, its changes.
    pub weeks: Vec<(String, Vec<ChangeRow>)>,
    /// Where a change is planned.
    pub plan: String,
}

/// Draws the list.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Changes" }
        p class="sub" { "In working order. Done and dropped ones need nothing more." }
        @if view.weeks.is_empty() { p { "Nothing planned yet." } }
        @for (week, changes) in &view.weeks {
            h2 { (week) span class="n" { (changes.len()) } }
            ul class="rows" { @for row in changes { li { (change_row(row)) } } }
        }
        div class="acts" { a class="btn main" href=(view.plan) { "Plan a change" } }
    };
    shell(&view.shell, &main)
}

/// What the page with the kinds shows.
#[derive(Clone, Debug)]
pub struct PlanView<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The kinds, in working order.
    pub kinds: Vec<Row>,
}

/// Draws the page with the kinds.
pub fn plan_page(view: &PlanView<'_>) -> Page {
    let main = html! {
        h1 { "Plan a change" }
        p class="sub" { "In working order. Nothing is cut before what replaces it stands." }
        (rows(&view.kinds, ""))
    };
    shell(&view.shell, &main)
}
