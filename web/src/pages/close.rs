//! Closing a week: one page, step by step, each of which can be left as it is; one button at the end.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{FieldView, one_field};
use crate::parts::rows::{Row, rows_beside};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// `Week 2`.
    pub week: String,
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// What is wrong with the whole.
    pub problems: Vec<String>,
    /// What is here, to be counted.
    pub counts: Vec<Count>,
    /// Why the counts differ.
    pub reason: FieldView,
    /// Changes that are not done.
    pub changes: Vec<Change>,
    /// Shoring that stands.
    pub shores: Vec<Row>,
    /// Who looks after it.
    pub keeper: FieldView,
    /// Orders that are out.
    pub orders: Vec<Row>,
    /// Planned, ordered, spent: label, amount, what it leaves out.
    pub money: Vec<(&'static str, String, String)>,
    /// What could go back to the yard.
    pub over: Vec<Row>,
    /// The next week, and what it finds on hand; none where no week follows.
    pub next: Option<(String, Vec<Row>)>,
    /// A note.
    pub note: FieldView,
}

/// Something here, to be counted.
#[derive(Clone, Debug)]
pub struct Count {
    /// Its item, as posted.
    pub item: String,
    /// The figure that the record has; empty where it is below zero.
    pub saw: String,
    /// Something to be said: below zero.
    pub wrong: String,
    /// The field.
    pub field: FieldView,
}

/// A change that is not done.
#[derive(Clone, Debug)]
pub struct Change {
    /// Its id, as posted.
    pub id: String,
    /// The revision of its week that was seen.
    pub rev: String,
    /// Its page.
    pub href: String,
    /// Its name.
    pub name: String,
    /// Its state in words.
    pub state: &'static str,
    /// What becomes of it.
    pub to: FieldView,
    /// Why it is dropped.
    pub why: FieldView,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "What you leave as it is stays as it is. Counts can be saved by themselves; all else is saved with the button at the end." }
        p class="small" { "A row pressed on this page opens in a tab beside it, so what is typed here stays. Back to “" (view.up.1) "” or the index leaves this page: save first." }
        @for problem in &view.problems { p class="err" role="alert" { (problem) } }
        form method="post" action=(view.action) id="close" data-kind="week.close" data-online="1" {
            @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
            (counts(view))
            (changes(view))
            (shores(view))
            h2 id="orders" { "4. Orders still open" span class="n" { (view.orders.len()) } }
            (rows_beside(&view.orders, "No order is out."))
            @if !view.orders.is_empty() { p class="small" { "Skip it: they stay on their way, and the next week’s plan counts on them." } }
            (money(view))
            (over(view))
            (next(view))
            h2 id="end" { "Close it" }
            (one_field("close", &view.note))
            p class="small" { "Changes of a closed week can still be edited and marked done. The lead can open it again." }
            div class="acts" { button class="btn main" { "Close " (view.week.to_lowercase()) } }
        }
    };
    shell(&view.shell, &main)
}

fn counts(view: &View<'_>) -> Markup {
    html! {
        h2 id="count" { "1. Count what is left" span class="n" { (view.counts.len()) } }
        @if view.counts.is_empty() { p class="small" { "Nothing is here by the record." } }
        @else {
            p class="small" { "Each field has what the record says. Only a figure that you change is written. Skip it: the record stands." }
            ul class="rows" { @for (at, count) in view.counts.iter().enumerate() { li { (count_row(at, count)) } } }
            (one_field("close", &view.reason))
            div class="acts" { button class="btn" name="do" value="counts" { "Save counts" } }
            p class="small" { "Saves the counts alone. The week stays open, and what is typed below stays here." }
        }
    }
}

fn count_row(at: usize, count: &Count) -> Markup {
    html! {
        input type="hidden" name="item" value=(count.item);
        input type="hidden" name="saw" value=(count.saw);
        @if !count.wrong.is_empty() { p class="small bad" { (count.wrong) } }
        (one_field(&format!("c{at}"), &count.field))
    }
}

fn changes(view: &View<'_>) -> Markup {
    html! {
        h2 id="changes" { "2. Changes not done" span class="n" { (view.changes.len()) } }
        @if view.changes.is_empty() { p class="small" { "Every change of this week is done." } }
        @else {
            p class="small" { "Each to another week, or dropped with a reason. Skip it: it stays in this week, not done." }
            ul class="rows" { @for (at, change) in view.changes.iter().enumerate() { li { (change_row(at, change)) } } }
        }
    }
}

fn change_row(at: usize, change: &Change) -> Markup {
    let id = format!("h{at}");
    html! {
        a class="row" href=(change.href) target="_blank" { span { b { (change.name) } span class="s" { (change.state) "." } } }
        input type="hidden" name="change" value=(change.id);
        input type="hidden" name="rev" value=(change.rev);
        (one_field(&id, &change.to))
        (one_field(&id, &change.why))
    }
}

fn shores(view: &View<'_>) -> Markup {
    html! {
        h2 id="shores" { "3. Shoring that stands over the gap" span class="n" { (view.shores.len()) } }
        (rows_beside(&view.shores, "No shoring is standing."))
        @if !view.shores.is_empty() || view.keeper.problem.is_some() {
            p class="small" { "Strike it only once what replaces it stands. Skip it: it stays, and somebody looks after it." }
            (one_field("close", &view.keeper))
        }
    }
}

fn money(view: &View<'_>) -> Markup {
    html! {
        h2 id="money" { "5. Planned against spent" }
        table {
            tbody {
                @for (label, amount, without) in &view.money {
                    tr { td { (label) @if !without.is_empty() { span class="s bad" { (without) } } } td class="r" { b { (amount) } } }
                }
            }
        }
    }
}

fn over(view: &View<'_>) -> Markup {
    html! {
        h2 id="over" { "6. What could go back" span class="n" { (view.over.len()) } }
        (rows_beside(&view.over, "Everything that was bought for this week is used or wanted."))
        @if !view.over.is_empty() { p class="small" { "Bought for this week, and wanted by none. Skip it: it stays on hand." } }
    }
}

fn next(view: &View<'_>) -> Markup {
    html! {
        @if let Some((week, finds)) = &view.next {
            h2 id="next" { "7. What " (week) " finds on hand" span class="n" { (finds.len()) } }
            (rows_beside(finds, "Nothing that it needs is here."))
        } @else {
            h2 id="next" { "7. What the next week finds on hand" }
            p class="small" { "No week follows this one." }
        }
    }
}
