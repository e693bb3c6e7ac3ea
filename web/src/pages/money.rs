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
                (total(view))
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

fn total(view: &View<'_>) -> Markup {
    html! {
        h2 { "In all" }
        table {
            tbody {
                @for (label, amount, without) in &view.total {
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
