//! A need: how many, what, and behind a press the arithmetic, the readings and where it comes from.

use maud::{Markup, html};
use scantling_takeoff::needs::{Class, Need};

use super::calc::calc;
use super::verdict::{Grave, Verdict, verdict};

/// A need with where it comes from and what serves it.
#[derive(Clone, Debug)]
pub struct NeedRow<'a> {
    /// The need.
    pub need: &'a Need,
    /// What of it comes from where, in short: `4 here, 2 to buy`; or nothing.
    pub served: String,
    /// The same in full, a line for each kind of stick.
    pub from: Vec<String>,
    /// Its marks: `3-ST1 … 11`; or nothing.
    pub marks: String,
    /// The readings that it rests on, as links: where to, what.
    pub readings: Vec<(String, String)>,
    /// The change that wants it: where to, name, what is said.
    pub change: Option<(String, String, String)>,
    /// Its hardware row's name, where it is hardware.
    pub hardware: String,
}

/// Draws it, without its list item.
pub fn need_row(row: &NeedRow<'_>) -> Markup {
    let need = row.need;
    html! {
        details {
            summary class="need" {
                b { (need.count) }
                span { b class="c" { (need.title) } span class="s" { (second_line(row)) } }
            }
            (calc(&need.sums))
            @if let Some(held) = &need.held {
                (verdict(&Verdict { grave: Grave::Stop, word: "Don’t cut by this", text: html! { (held) } }))
            }
            @if !row.from.is_empty() {
                ul class="small" aria-label="Where its pieces come from" { @for line in &row.from { li { (line) } } }
            }
            @if let Some((href, name, said)) = &row.change {
                ul class="rows" { li { a class="row" href=(href) { span { b { (name) } span class="s" { (said) } } } } }
            }
            @if !row.marks.is_empty() { p class="small" { "Marks " span class="mk" { (row.marks) } } }
            @if !row.readings.is_empty() {
                p class="small" { "Readings: " @for (at, (href, what)) in row.readings.iter().enumerate() { @if at > 0 { " · " } a href=(href) { (what) } } }
            }
            @if need.temporary { p class="small" { "Temporary: comes back whole when the shoring is struck." } }
        }
    }
}

fn second_line(row: &NeedRow<'_>) -> String {
    let need = row.need;
    let mut parts = Vec::new();
    match &need.class {
        Class::Stick(class) => {
            parts.push(class.to_string());
            if let Some(cut) = need.cut {
                let word = if need.held.is_some() {
                    "bought by"
                } else {
                    "cut"
                };
                parts.push(format!("{word} {}", cut.feet_inches()));
            }
        }
        Class::Panel(class) => {
            parts.push(class.to_string());
            if let (Some(along), Some(across)) = (need.cut, need.across) {
                parts.push(format!("{along} × {across}"));
            }
        }
        Class::Fastener(class) => parts.push(class.to_string()),
        Class::Hardware { .. } => parts.push(row.hardware.clone()),
        Class::Sundry { unit, .. } => parts.push(unit.clone()),
    }
    if need.crown_up {
        parts.push("crown up".to_owned());
    }
    if need.temporary {
        parts.push("temporary".to_owned());
    }
    if !row.served.is_empty() {
        parts.push(row.served.clone());
    }
    parts.join(" · ")
}
