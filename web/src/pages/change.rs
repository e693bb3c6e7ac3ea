//! One change: its state, what it lacks, what it needs with the arithmetic, its readings and notes.

use maud::{Markup, html};
use scantling_takeoff::checks::CAUTION;
use scantling_takeoff::needs::{Fact, Finding, Salvage, Verdict as Found};

use super::thing::NoteRow;
use crate::layout::{Page, Shell, page as shell};
use crate::parts::ask_reading::{AskReading, ask_reading};
use crate::parts::calc::calc;
use crate::parts::caution::{With, caution};
use crate::parts::check_row::{CheckRow, check_row};
use crate::parts::form::{Form, form};
use crate::parts::hold::{HoldRow, hold_rows};
use crate::parts::need_row::{NeedRow, need_row};
use crate::parts::photo::{Photos, photos};
use crate::parts::reading_row::{ReadingRow, reading_row};
use crate::parts::rows::{Row, one_row, rows};
use crate::parts::sign::{state_stick, state_word};
use crate::parts::verdict::{Grave, Verdict, verdict};
use crate::parts::waiting::waiting_sign_offs;

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// Its checks, the worst first, and where its record to print is.
    pub checks: (Vec<CheckRow<'a>>, String),
    /// The way back: where to, its words.
    pub up: (String, String),
    /// What it is, in one sentence.
    pub sub: String,
    /// Its state, as stored.
    pub state: String,
    /// The caution that goes with it.
    pub caution: With,
    /// Readings that it lacks: heading, what waits, the field.
    pub missing: Vec<(String, String, AskReading)>,
    /// Other inputs that it lacks: what, where it is filled.
    pub inputs: Vec<(String, String)>,
    /// What it needs.
    pub needs: Vec<NeedRow<'a>>,
    /// Figures that are not bought.
    pub facts: &'a [Fact],
    /// What is to be looked at.
    pub findings: &'a [Finding],
    /// What comes out.
    pub salvage: &'a [Salvage],
    /// Adds a reading.
    pub measure: Option<Form<'a>>,
    /// Whether the address asks for one reading: its form stands open.
    pub asks_reading: bool,
    /// Its readings.
    pub readings: Vec<ReadingRow<'a>>,
    /// Fields that are filled: label, value.
    pub known: Vec<(String, String)>,
    /// What was planned, ordered and spent for it; none where there is nothing, or it is not for who looks.
    pub money: Vec<Row>,
    /// Where its history is.
    pub history: String,
    /// Where it is changed.
    pub edit: Option<String>,
    /// Its hold points.
    pub holds: Vec<HoldRow>,
    /// Where work went past a hold point that doesn't stand: what is so.
    pub stop: Option<String>,
    /// What its hold points keep it from, in a sentence each: where to read more.
    pub held: Vec<(String, String)>,
    /// That nothing is stored on the floors of a shore that stands, and who keeps it.
    pub standing: Option<Row>,
    /// Forms that move its state, and where it is marked done.
    pub moves: Vec<Form<'a>>,
    /// Where it is marked done.
    pub done: Option<String>,
    /// Where a shore that stands is struck.
    pub struck: Option<String>,
    /// Its notes.
    pub notes: Vec<NoteRow>,
    /// Adds a note.
    pub note: Form<'a>,
    /// Its photos.
    pub photos: Option<Photos>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { (view.sub) " " span class="st" { (state_stick(&view.state)) (state_word(&view.state)) } }
        @if let Some(stop) = &view.stop {
            (verdict(&Verdict { grave: Grave::Stop, word: "Stop. Shore it, call the lead", text: html! { (stop) } }))
        }
        @for finding in view.findings { (found(finding)) }
        @if let Some(row) = &view.standing { ul class="rows" { li { (one_row(row)) } } }
        (caution(view.caution))
        div class="two" {
            div {
                @if !view.missing.is_empty() || !view.inputs.is_empty() { (lacking(view)) }
                (checks(view))
                (needs(view))
            }
            div { (record(view)) }
        }
    };
    shell(&view.shell, &main)
}

fn found(finding: &Finding) -> Markup {
    let (grave, word) = match finding.verdict {
        Found::Stop => (Grave::Stop, "Stop"),
        Found::Look => (Grave::Look, "Look"),
        Found::Said => return html! { p class="small" { (finding.text) } },
    };
    verdict(&Verdict {
        grave,
        word,
        text: html! { (finding.text) },
    })
}

fn lacking(view: &View<'_>) -> Markup {
    html! {
        h2 id="miss" { "Not on record yet" span class="n" { (view.missing.len() + view.inputs.len()) } }
        ul class="rows" {
            @for (heading, waits, ask) in &view.missing {
                li { h3 id=(ask.labelled_by) { (heading) } p class="small" { (waits) } (ask_reading(ask)) }
            }
            @for (text, href) in &view.inputs { li { a class="row" href=(href) { span { b { (text) } } } } }
        }
    }
}

fn checks(view: &View<'_>) -> Markup {
    let (all, record) = &view.checks;
    html! {
        h2 id="checks" { "Checks" span class="n" { (all.len()) } }
        @if all.iter().any(|row| row.check.kind.is_structural()) { p class="caut" { (CAUTION) } }
        @if all.is_empty() { p class="small" { "Nothing of this kind of change is checked." } }
        @else { ul class="rows" { @for row in all { li { (check_row(row)) } } } }
        div class="acts" { a class="btn" href=(record) { "Record to print" } }
    }
}

fn needs(view: &View<'_>) -> Markup {
    html! {
        h2 id="needs" { "Needs" span class="n" { (view.needs.len()) } }
        @if view.needs.is_empty() { p class="small" { "Nothing to buy or cut." } }
        @else { ul class="rows" { @for row in &view.needs { li { (need_row(row)) } } } }
        @if !view.facts.is_empty() { ul class="rows" { @for fact in view.facts { li { (one_fact(fact)) } } } }
        @if !view.salvage.is_empty() {
            h2 { "Comes out" span class="n" { (view.salvage.len()) } }
            p class="small" { "To keep once it is called sound and nail-free." }
            ul class="rows" {
                @for piece in view.salvage {
                    li {
                        details {
                            summary class="need" {
                                b { (piece.count) }
                                span { b class="c" { (piece.title) } span class="s" { (piece.thickness) " × " (piece.depth) ", " (piece.length.feet_inches()) } }
                            }
                            (calc(&piece.sums))
                        }
                    }
                }
            }
        }
    }
}

fn record(view: &View<'_>) -> Markup {
    html! {
        @if !view.holds.is_empty() {
            h2 id="holds" { "Hold points" span class="n" { (view.holds.len()) } }
            (hold_rows(&view.holds))
            (waiting_sign_offs())
        }
        h2 { "State" }
        @for (href, text) in &view.held { p class="held" { (text) " " a href=(href) { "Look at it" } } }
        div class="acts" {
            @for moves in &view.moves { (form(moves)) }
            @if let Some(done) = &view.done { a class="btn far" href=(done) { "Done" } }
            @if let Some(struck) = &view.struck { a class="btn far" href=(struck) { "Struck" } }
        }
        @if view.measure.is_some() || !view.readings.is_empty() {
            h2 id="read" { "Readings" span class="n" { (view.readings.len()) } }
            @if !view.readings.is_empty() { ul class="rows" { @for row in &view.readings { (reading_row(row)) } } }
            @if let Some(measure) = &view.measure { details id="add" open[view.asks_reading] { summary class="btn" { "Add a reading" } (form(measure)) } }
        }
        h2 { "As planned" }
        table { tbody { @for (label, value) in &view.known { tr { td { (label) } td class="r wrap" { (value) } } } } }
        div class="acts" {
            @if let Some(edit) = &view.edit { a class="btn" href=(edit) { "Change it" } }
            a class="btn" href=(view.history) { "History" }
        }
        @if !view.money.is_empty() { h2 id="money" { "Money" } (rows(&view.money, "")) }
        h2 id="notes" { "Notes" span class="n" { (view.notes.len()) } }
        @if !view.notes.is_empty() {
            ul class="rows" { @for note in &view.notes { li { p { (note.text) } p class="small" { (note.by) } } } }
        }
        details { summary class="btn" { "Note" } (form(&view.note)) }
        @if let Some(all) = &view.photos { (photos(all)) }
    }
}

fn one_fact(fact: &Fact) -> Markup {
    html! {
        details {
            summary class="need" { b {} span { b class="c" { (fact.title) } span class="s" { (fact.value) } } }
            (calc(&fact.sums))
        }
    }
}
