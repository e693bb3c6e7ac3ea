//! A check: what it says, and behind a press its arithmetic, the readings and the figures it rests on.
//!
//! Whatever says something of strength bears the caution line. No check approves anything.

use maud::{Markup, html};
use scantling_takeoff::checks::fit::landing::Landing;
use scantling_takeoff::checks::on_record::Part;
use scantling_takeoff::checks::{Check, Figure, Verdict};

use super::calc::calc;
use super::sign::{Sign, sign};
use crate::drawing::landing::landing;

/// A check with where it leads.
#[derive(Clone, Debug)]
pub struct CheckRow<'a> {
    /// The check.
    pub check: &'a Check,
    /// The things that it is about: where to, name.
    pub of: Vec<(String, String)>,
    /// The readings that it rests on, as links: where to, what.
    pub readings: Vec<(String, String)>,
    /// Where the first thing that lacks is recorded.
    pub record: Option<String>,
    /// The landing that is drawn, where it is one.
    pub landing: Option<Landing>,
    /// Whether it stands open: on the record that is printed.
    pub open: bool,
}

/// The word of a verdict, at the start of a sentence.
pub const fn word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Pass => "Passes this check",
        Verdict::Look => "Look",
        Verdict::CantTellYet => "Can’t tell yet",
        Verdict::Stop => "Stop",
    }
}

/// The sign of a verdict.
pub const fn sign_of(verdict: Verdict) -> Sign {
    match verdict {
        Verdict::Pass => Sign::Pass,
        Verdict::Look => Sign::Look,
        Verdict::CantTellYet => Sign::Wait,
        Verdict::Stop => Sign::Stop,
    }
}

/// Draws it, without its list item.
pub fn check_row(row: &CheckRow<'_>) -> Markup {
    let check = row.check;
    html! {
        details open[row.open] {
            summary class="need" {
                b { (sign(sign_of(check.verdict))) }
                span {
                    b class="c" { (check.kind.title()) ": " (check.about) }
                    span class=(if check.verdict == Verdict::Stop { "s bad" } else { "s" }) { b { (word(check.verdict)) ". " } (check.sentence) }
                }
            }
            @if let Some(lies) = &row.landing { (landing(&format!("landing-{}", check.change), lies)) }
            @if !check.measure.is_empty() { (measure(&check.measure, row.record.as_deref())) }
            @if !check.sums.is_empty() { (calc(&check.sums)) }
            @for part in &check.parts { (one_part(part)) }
            @for says in &check.says { p class="small" { (says) } }
            @if !check.figures.is_empty() { (figures(&check.figures)) }
            p class="small" { "Rule: " (check.source) "." }
            @if !row.of.is_empty() { p class="small" { "About: " (links(&row.of)) } }
            @if !row.readings.is_empty() { p class="small" { "Readings: " (links(&row.readings)) } }
            @if let Some(caution) = check.caution() { p class="caut" { (caution) } }
        }
    }
}

fn links(all: &[(String, String)]) -> Markup {
    html! { @for (at, (href, what)) in all.iter().enumerate() { @if at > 0 { " · " } a href=(href) { (what) } } }
}

fn measure(all: &[String], record: Option<&str>) -> Markup {
    html! {
        p { b { "Measure or record" } }
        ul class="small" { @for one in all { li { (one) } } }
        @if let Some(href) = record { div class="acts" { a class="btn" href=(href) { "Record it" } } }
    }
}

fn one_part(part: &Part) -> Markup {
    html! {
        details {
            summary class="need" {
                b { (sign(sign_of(part.verdict))) }
                span {
                    b class="c" { (part.title) }
                    span class="s" { (part.ratio) " of what it may be, under " (part.under) }
                    @if !part.from_memory.is_empty() { span class="s" { "From memory: " (part.from_memory.join(", ")) } }
                }
            }
            (calc(&part.sums))
        }
    }
}

/// Figures with their edition and how far each was seen.
fn figures(all: &[Figure]) -> Markup {
    html! {
        details {
            summary class="more" { "Figures used, with edition: " (all.len()) }
            ul class="rows" {
                @for figure in all {
                    li {
                        div class="row" {
                            span { b { (figure.what) } span class="s" { (figure.source) ", " (figure.confidence.name()) } }
                            span class="val" { (figure.value) }
                        }
                    }
                }
            }
        }
    }
}
