//! A yard order: a draft whose counts are put right and sent; a sent one, as it was sent, with what came of it. And its
//! paper: a page that needs nothing else, kept to the byte.

use maud::{DOCTYPE, Markup, html};

use super::buy_list::PrintLine;
use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{FieldView, Form, form, one_field};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// How it stands, in a sentence or two.
    pub sub: String,
    /// Its earlier and later revisions: where to, their words.
    pub kin: Vec<(String, String)>,
    /// What is wrong with a form as a whole.
    pub problems: Vec<String>,
    /// Its lines.
    pub body: Body<'a>,
    /// What else can be done, each behind a fold: its words, its form.
    pub folds: Vec<(String, Form<'a>)>,
}

/// A draft, or an order that was sent.
#[derive(Clone, Debug)]
pub enum Body<'a> {
    /// Not sent yet.
    Draft(Draft),
    /// As it was sent.
    Sent(Box<Sent<'a>>),
}

/// The form that sends a draft.
#[derive(Clone, Debug)]
pub struct Draft {
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// The lines.
    pub lines: Vec<DraftLine>,
    /// The total in words.
    pub total: String,
    /// What is said where there are no lines.
    pub empty: String,
    /// Lines of its weeks' list that are not on it: its supplier's, and those that nobody sells.
    pub left: Vec<Row>,
}

/// A line of a draft.
#[derive(Clone, Debug)]
pub struct DraftLine {
    /// The line as it would be sent: the name and the text of its hidden input.
    pub hidden: (String, String),
    /// How many, with the item as label.
    pub count: FieldView,
    /// What it comes to.
    pub extension: String,
    /// By when to order, for what.
    pub said: String,
}

/// An order that was sent.
#[derive(Clone, Debug)]
pub struct Sent<'a> {
    /// The lines: what, with what became of it; their extensions.
    pub lines: Vec<Row>,
    /// The total in words.
    pub total: String,
    /// CSV, text, print; none of a draft that was dropped.
    pub papers: Option<[String; 3]>,
    /// The form that books what came.
    pub came: Option<Came>,
    /// What the list says now: what, from how many to how many.
    pub differences: Vec<Row>,
    /// The form that makes the next revision.
    pub revise: Option<Form<'a>>,
    /// Its receipts.
    pub receipts: Vec<Row>,
}

/// The form that books what came.
#[derive(Clone, Debug)]
pub struct Came {
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// Line by line: what, its fields, and where something that came instead is booked.
    pub lines: Vec<(String, Vec<FieldView>, String)>,
    /// The receipt's own fields.
    pub receipt: Vec<FieldView>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { (view.sub) }
        @if !view.kin.is_empty() { div class="acts" { @for (href, words) in &view.kin { a class="btn" href=(href) { (words) } } } }
        @for problem in &view.problems { p class="err" role="alert" { (problem) } }
        @match &view.body {
            Body::Draft(body) => (draft(body)),
            Body::Sent(body) => (sent(body)),
        }
        @for (words, one) in &view.folds {
            details id={ (one.id) "-fold" } open[!one.problems.is_empty()] { summary class="btn" { (words) } (form(one)) }
        }
    };
    shell(&view.shell, &main)
}

fn hidden(all: &[(String, String)]) -> Markup {
    html! { @for (name, value) in all { input type="hidden" name=(name) value=(value); } }
}

fn draft(body: &Draft) -> Markup {
    html! {
        h2 { "Lines" span class="n" { (body.lines.len()) } }
        @if body.lines.is_empty() { p { (body.empty) } }
        @else {
            form method="post" action=(body.action) id="send" data-kind="order.send" data-online="1" {
                (hidden(&body.hidden))
                ul class="rows" { @for line in &body.lines { li { (draft_line(line)) } } }
                p { b { (body.total) } }
                p class="small" { "Once it is sent it stays as it was. What changes later makes the next revision." }
                div class="acts" {
                    button class="btn" name="add_up" value="yes" { "Add up" }
                    button class="btn main" { "Send order" }
                }
            }
        }
        @if !body.left.is_empty() {
            h2 id="left" { "On the list, not on this order" span class="n" { (body.left.len()) } }
            (rows(&body.left, ""))
        }
    }
}

fn draft_line(line: &DraftLine) -> Markup {
    html! {
        input type="hidden" name=(line.hidden.0) value=(line.hidden.1);
        (one_field("send", &line.count))
        p class="small last" { span { (line.said) } b class="c" { (line.extension) } }
    }
}

fn sent(body: &Sent<'_>) -> Markup {
    html! {
        div class="two lean" {
            div {
                h2 { "Lines" span class="n" { (body.lines.len()) } }
                (rows(&body.lines, "Nothing was on it."))
                p { b { (body.total) } }
                @if let Some([csv, text, print]) = &body.papers {
                    h2 id="papers" { "As it was sent" }
                    div class="acts" {
                        a class="btn" href=(csv) { "CSV" }
                        a class="btn" href=(text) { "Text" }
                        a class="btn" href=(print) { "Print" }
                    }
                }
                @if !body.receipts.is_empty() {
                    h2 id="receipts" { "Receipts" span class="n" { (body.receipts.len()) } }
                    (rows(&body.receipts, ""))
                }
            }
            div {
                @if let Some(form) = &body.came { (came(form)) }
                @if body.came.is_some() || !body.differences.is_empty() { (differences(body)) }
            }
        }
    }
}

fn came(body: &Came) -> Markup {
    html! {
        section class="sheet" aria-labelledby="came-h" {
            h2 id="came-h" { "What came" }
            p class="small" { "Where something else came instead, book that first, in a page of its own beside this one. It goes on this phone’s open slip of that yard: leave it out of the total here." }
            form method="post" action=(body.action) id="came" data-kind="receipt.add" {
                (hidden(&body.hidden))
                @for (words, fields, swap) in &body.lines {
                    fieldset {
                        legend { (words) }
                        @for field in fields { (one_field("came", field)) }
                        a class="btn" href=(swap) target="_blank" { "Something else came" }
                    }
                }
                fieldset { legend { "The receipt" } @for field in &body.receipt { (one_field("came", field)) } }
                div class="acts" { button class="btn main" { "Save what came" } }
            }
        }
    }
}

fn differences(body: &Sent<'_>) -> Markup {
    html! {
        h2 id="differences" { "The list now" span class="n" { (body.differences.len()) } }
        (rows(&body.differences, "The list asks for nothing else than what is still to come."))
        @if let Some(revise) = &body.revise { (form(revise)) }
    }
}

/// What an order's paper shows.
#[derive(Clone, Debug)]
pub struct Paper {
    /// The job.
    pub job: String,
    /// `Order to North Yard`.
    pub title: String,
    /// Revision, weeks, day.
    pub sub: String,
    /// Section by section: its name, its lines.
    pub sections: Vec<(String, Vec<PaperLine>)>,
    /// The total in words.
    pub total: String,
}

/// A line of it.
#[derive(Clone, Debug)]
pub struct PaperLine {
    /// How many, what, each, in all.
    pub line: PrintLine,
    /// The supplier's item number.
    pub number: String,
}

/// Draws the paper: a whole page without style sheet, script or link, so that it reads the same for good.
pub fn paper(view: &Paper) -> String {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width,initial-scale=1";
                title { (view.title) " · " (view.job) }
            }
            body {
                main {
                    h1 { (view.title) }
                    p { (view.job) br; (view.sub) }
                    @for (section, lines) in &view.sections {
                        h2 { (section) }
                        table border="1" cellpadding="4" cellspacing="0" width="100%" {
                            thead { tr { th scope="col" { "How many" } th scope="col" { "Item" } th scope="col" { "Each" } th scope="col" { "In all" } } }
                            tbody { @for line in lines { (paper_line(line)) } }
                        }
                    }
                    p { b { (view.total) } }
                }
            }
        }
    };
    markup.into_string()
}

fn paper_line(of: &PaperLine) -> Markup {
    html! {
        tr {
            td { (of.line.count) }
            td { (of.line.item) @if !of.number.is_empty() { br; (of.number) } }
            td align="right" { (of.line.price) }
            td align="right" { (of.line.extension) }
        }
    }
}
