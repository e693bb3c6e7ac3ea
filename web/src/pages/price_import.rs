//! A supplier's price book on its way in: what each heading is, and what would change. Saved are all rows, or none.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{FieldView, one_field};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// `prices.csv, 42 rows`.
    pub sub: String,
    /// Where it posts.
    pub action: String,
    /// Hidden inputs, the file's text among them.
    pub hidden: Vec<(String, String)>,
    /// What is wrong, row by row.
    pub problems: Vec<String>,
    /// How much more is wrong than is listed.
    pub more: usize,
    /// Supplier, date, source.
    pub about: Vec<FieldView>,
    /// What each heading is.
    pub columns: Vec<FieldView>,
    /// How the file is written.
    pub written: Vec<FieldView>,
    /// New rows.
    pub new: Part,
    /// Rows that change.
    pub changed: Part,
    /// Rows of the book that the file doesn't name.
    pub left: Part,
    /// How many rows stay as they are.
    pub same: usize,
}

/// Rows of one sort: how many, and the first of them.
#[derive(Clone, Debug, Default)]
pub struct Part {
    /// How many there are.
    pub count: usize,
    /// Those that are shown.
    pub rows: Vec<Row>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { (view.sub) }
        form method="post" action=(view.action) enctype="multipart/form-data" id="match" data-kind="price.add" data-online="1" {
            @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
            div class="two lean" {
                div { @if view.problems.is_empty() { (changes(view)) } @else { (problems(view)) } }
                div { (columns(view)) }
            }
        }
    };
    shell(&view.shell, &main)
}

fn problems(view: &View<'_>) -> Markup {
    html! {
        section id="csv-e" role="alert" {
            h2 { "Not yet" span class="n" { (view.problems.len() + view.more) } }
            p { "Nothing is saved. Put this right, here or in the file, then look again." }
            ul class="rows" { @for problem in &view.problems { li { p class="err" { (problem) } } } }
            @if view.more > 0 { p { "… and " (view.more) " more. The first " (view.problems.len()) " are listed." } }
        }
    }
}

fn changes(view: &View<'_>) -> Markup {
    let all = view.new.count + view.changed.count;
    html! {
        h2 { "What would change" span class="n" { (all) } }
        @if all == 0 { p { "Nothing: the price book says all this already." } }
        (part("Prices that change", &view.changed))
        (part("New rows", &view.new))
        p { (view.same) @if view.same == 1 { " row stays" } @else { " rows stay" } " as in the price book." }
        @if view.left.count > 0 {
            details {
                summary class="btn" { (view.left.count) " in the book that the file does not name" }
                p class="small" { "They are left as they are." }
                (shown(&view.left))
            }
        }
        div class="acts" {
            button class="btn main" name="do" value="save" {
                @if all == 0 { "Done" } @else if all == 1 { "Save 1 price" } @else { "Save " (all) " prices" }
            }
        }
    }
}

fn part(heading: &str, part: &Part) -> Markup {
    html! {
        @if part.count > 0 { h3 { (heading) ": " (part.count) } (shown(part)) }
    }
}

fn shown(part: &Part) -> Markup {
    html! {
        (rows(&part.rows, ""))
        @if part.count > part.rows.len() { p class="small" { "And " (part.count - part.rows.len()) " more." } }
    }
}

fn columns(view: &View<'_>) -> Markup {
    html! {
        h2 { "Whose, and of when" }
        @for field in &view.about { (one_field("match", field)) }
        h2 { "What each heading is" span class="n" { (view.columns.len()) } }
        @for field in &view.columns { (one_field("match", field)) }
        h2 { "How it is written" }
        @for field in &view.written { (one_field("match", field)) }
        div class="acts" { button class="btn" name="do" value="look" { "Look again" } }
    }
}
