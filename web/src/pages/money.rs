//! Money: planned, ordered, spent and returned, in all and by week, supplier and change.

use maud::{Markup, html};

use crate::drawing::week_bars::{WeekBar, week_bars};
use crate::layout::{Page, Shell, page as shell};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// All of it: label, amount, what it leaves out.
    pub total: Vec<(&'static str, String, String)>,
    /// The weeks as bars.
    pub bars: Vec<WeekBar>,
    /// Heading, rows, what is said where there are none, what is to be explained.
    pub groups: Vec<Group>,
    /// The rule for tax and rounding, a sentence each.
    pub rule: &'static [&'static str],
    /// Where all receipts are.
    pub receipts: String,
}

/// What the page of one row of it shows.
#[derive(Clone, Debug)]
pub struct OfView<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The page of what it is about: where to, its words.
    pub about: Option<(String, String)>,
    /// Label, amount, what it leaves out.
    pub total: Vec<(&'static str, String, String)>,
    /// The receipts, or their lines, that bought, returned, tax and spent are made of.
    pub receipts: Vec<Row>,
    /// The lists that planned is made of.
    pub planned: Vec<Row>,
    /// The orders that ordered is made of.
    pub ordered: Vec<Row>,
}

/// A way to divide it.
#[derive(Clone, Debug)]
pub struct Group {
    /// `By week`.
    pub heading: &'static str,
    /// Its rows.
    pub rows: Vec<Row>,
    /// What is to be explained; or nothing.
    pub said: &'static str,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Money" }
        p class="sub" { "With tax. What went back is taken off." }
        div class="two" {
            div {
                (total("In all", &view.total))
                div class="acts" { a class="btn" href=(view.receipts) { "All receipts" } }
                @if !view.bars.is_empty() {
                    h2 id="bars" { "Planned and spent" }
                    figure {
                        (week_bars(&view.bars))
                        figcaption { "Outline: planned. Filled: spent." }
                    }
                }
                h2 id="rule" { "Tax and rounding" }
                @for sentence in view.rule { p class="small" { (sentence) } }
            }
            div { @for group in &view.groups { (one(group)) } }
        }
    };
    shell(&view.shell, &main)
}

/// Draws the page of one row.
pub fn of_page(view: &OfView<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "With tax. What went back is taken off." }
        @if let Some((href, words)) = &view.about { div class="acts" { a class="btn" href=(href) { "Page of " (words) } } }
        div class="two" {
            div {
                (total("What it comes to", &view.total))
                (made_of("receipts", "On receipts", &view.receipts, "Nothing was bought for it yet."))
            }
            div {
                (made_of("planned", "Planned by", &view.planned, "No list was kept for it."))
                (made_of("ordered", "Ordered by", &view.ordered, "Nothing was ordered for it."))
            }
        }
    };
    shell(&view.shell, &main)
}

fn made_of(id: &str, heading: &str, all: &[Row], empty: &str) -> Markup {
    html! { h2 id=(id) { (heading) span class="n" { (all.len()) } } (rows(all, empty)) }
}

fn total(heading: &str, all: &[(&'static str, String, String)]) -> Markup {
    html! {
        h2 { (heading) }
        table {
            tbody {
                @for (label, amount, without) in all {
                    tr { td { (label) @if !without.is_empty() { span class="s bad" { (without) } } } td class="r" { b { (amount) } } }
                }
            }
        }
    }
}

fn one(group: &Group) -> Markup {
    html! {
        h2 { (group.heading) span class="n" { (group.rows.len()) } }
        (rows(&group.rows, "Nothing planned, ordered or spent yet."))
        @if !group.said.is_empty() { p class="small" { (group.said) } }
    }
}
