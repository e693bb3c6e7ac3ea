//! The list of a week as it was kept, beside what is bought since and what changed; and planning afresh.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{Form, form};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The lists that hold the week.
    pub lists: Vec<List>,
    /// What planning afresh would do.
    pub afresh: Afresh<'a>,
}

/// A kept list.
#[derive(Clone, Debug)]
pub struct List {
    /// `Week 2, revision 1`.
    pub heading: String,
    /// When and why it was kept.
    pub said: String,
    /// Its lines.
    pub lines: Vec<Line>,
    /// What it came to then.
    pub total: String,
    /// What is needed otherwise now, each with the change that causes it.
    pub differences: Vec<Row>,
}

/// A line of it.
#[derive(Clone, Debug)]
pub struct Line {
    /// What, in yard words.
    pub item: String,
    /// What it came to then; or `no price`.
    pub extension: String,
    /// `Needed 4 · on hand 1 · to buy 3 at $4.28`.
    pub then: String,
    /// `Bought since: 2`.
    pub since: String,
}

/// What planning afresh would do.
#[derive(Clone, Debug)]
pub struct Afresh<'a> {
    /// What it would save: one sentence.
    pub saves: String,
    /// The lines that move: what, from how many to how many.
    pub moved: Vec<Row>,
    /// Does it; none where nothing would move.
    pub form: Option<Form<'a>>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "A list is kept when something is first bought or ordered from it." }
        @if view.lists.is_empty() { p { "No list of this week is kept yet: nothing was bought or ordered from it. The buy list is the plan." } }
        @for one in &view.lists { (list(one)) }
        (afresh(&view.afresh))
    };
    shell(&view.shell, &main)
}

fn list(list: &List) -> Markup {
    html! {
        div class="two" {
            div {
                h2 { (list.heading) span class="n" { (list.total) } }
                p class="small" { (list.said) }
                ul class="rows" { @for one in &list.lines { li { (line(one)) } } }
            }
            div {
                h2 { "Changed since" span class="n" { (list.differences.len()) } }
                (rows(&list.differences, "What its changes call for is as it was."))
            }
        }
    }
}

fn line(line: &Line) -> Markup {
    html! {
        div class="row" {
            span { b { (line.item) } span class="s" { (line.then) } span class="s" { (line.since) } }
            span class="val" { (line.extension) }
        }
    }
}

fn afresh(afresh: &Afresh<'_>) -> Markup {
    html! {
        h2 id="afresh" { "Plan afresh" span class="n" { (afresh.moved.len()) } }
        p { (afresh.saves) }
        @if !afresh.moved.is_empty() { (rows(&afresh.moved, "")) }
        p class="small" { "What is bought, ordered or cut keeps its pieces. Everything else is put on sticks anew, in all open weeks." }
        @if let Some(does) = &afresh.form { (form(does)) }
    }
}
