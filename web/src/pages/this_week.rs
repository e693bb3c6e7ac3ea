//! This week: what is next, what may not be cut, the change at hand, what is missing, what is still to buy.

use maud::{Markup, html};
use scantling_takeoff::checks::{CAUTION, COMES_FIRST};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::ask_reading::{AskReading, ask_reading};
use crate::parts::buy_row::{BuyRow, buy_row};
use crate::parts::caution::{With, caution};
use crate::parts::form::{Form, form};
use crate::parts::photo::{PhotoForm, photo_button};
use crate::parts::rows::{ChangeRow, Row, Tab, change_row, one_row, rows, tabs};
use crate::parts::sign::{state_stick, state_word};
use crate::parts::verdict::{Grave, Verdict, verdict};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// `Tue Oct 14 · week of Oct 13`.
    pub when: String,
    /// Every week, this one current.
    pub weeks: Vec<Tab>,
    /// What is next.
    pub next: Next,
    /// What may not be cut yet, and why; or that nothing is held.
    pub cut: Cut,
    /// Shores that stand: nothing is stored on their floors, and who keeps them.
    pub standing: Vec<Row>,
    /// The change at hand.
    pub hand: Option<Hand<'a>>,
    /// A caution that goes with it.
    pub caution: Option<With>,
    /// Readings that are missing or to be measured again, but for the one that is next.
    pub measure: Vec<Wanted>,
    /// Other inputs that changes miss: what waits, where it is filled.
    pub inputs: Vec<(String, String)>,
    /// Whether the reader is of the crew: a guest sees nothing of buying, and adds nothing.
    pub is_crew: bool,
    /// The first lines still to buy.
    pub buy: Vec<BuyRow>,
    /// How many of how many lines.
    pub buy_count: String,
    /// Where the whole list is, and its words.
    pub all_lines: (String, String),
    /// Where the CSV is.
    pub csv: String,
    /// What the total leaves out.
    pub buy_note: String,
    /// What the checks of this week say; empty where nothing is checked.
    pub checks: Vec<Row>,
    /// Changes of this week.
    pub changes: Vec<ChangeRow>,
    /// Where a change is planned.
    pub plan: String,
    /// Weeks that can be closed: where, the words.
    pub close: Vec<(String, String)>,
}

/// What is next.
#[derive(Clone, Debug)]
pub enum Next {
    /// A reading, asked for here and now.
    Reading {
        /// `Measure post 1`.
        heading: String,
        /// The field.
        ask: AskReading,
    },
    /// A page to go to.
    Go {
        /// `Plan a change`.
        heading: String,
        /// One sentence.
        text: String,
        /// Where to, and the button's words.
        way: (String, String),
    },
}

/// What may be cut.
#[derive(Clone, Debug)]
pub struct Cut {
    /// How grave.
    pub grave: Grave,
    /// `Don’t cut yet`.
    pub word: String,
    /// Which, and why.
    pub text: String,
    /// Where to read more, and the words; or nothing.
    pub more: Option<(String, String)>,
}

/// The change at hand, with what can be done to it here.
#[derive(Clone, Debug)]
pub struct Hand<'a> {
    /// Its row.
    pub row: ChangeRow,
    /// Adds a photo.
    pub photo: PhotoForm,
    /// Adds a note.
    pub note: Form<'a>,
    /// Where it is marked done; none while a hold point keeps it from that.
    pub done: Option<String>,
    /// The hold point that it waits at: where it is, what it waits for.
    pub held: Option<(String, String)>,
    /// Starts it, where it isn't under way.
    pub start: Option<Form<'a>>,
}

/// A reading that is wanted.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// What.
    pub heading: String,
    /// What is wrong: two readings differ; or nothing.
    pub wrong: String,
    /// What waits for it.
    pub waits: String,
    /// The field.
    pub ask: AskReading,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        div class="hd" { h1 { "This week" } p class="sub" { (view.when) } }
        div class="two" {
            div { (left(view)) }
            div { (right(view)) }
        }
        (tabs("Work week", &view.weeks))
    };
    shell(&view.shell, &main)
}

fn left(view: &View<'_>) -> Markup {
    let more = html! {
        (view.cut.text)
        @if let Some((href, words)) = &view.cut.more { " " a href=(href) { (words) } "." }
    };
    html! {
        (next(&view.next))
        (verdict(&Verdict { grave: view.cut.grave, word: &view.cut.word, text: more }))
        @for row in &view.standing { ul class="rows" { li { (one_row(row)) } } }
        @if let Some(at_hand) = &view.hand { (hand(at_hand, &view.plan, view.is_crew)) }
        @if let Some(with) = view.caution { (caution(with)) }
        @if !view.measure.is_empty() {
            h2 id="miss" { "Measure" span class="n" { (view.measure.len()) } }
            ul class="rows" { @for wanted in &view.measure { li { (want(wanted)) } } }
        }
        @if !view.inputs.is_empty() {
            h2 id="inputs" { "Not on record yet" span class="n" { (view.inputs.len()) } }
            ul class="rows" { @for (text, href) in &view.inputs { li { a class="row" href=(href) { span { b { (text) } } } } } }
        }
    }
}

fn next(next: &Next) -> Markup {
    html! {
        section class="sheet next" aria-labelledby="nx" {
            span class="lbl" { "Next" }
            @match next {
                Next::Reading { heading, ask } => { h2 id="nx" { (heading) } (ask_reading(ask)) }
                Next::Go { heading, text, way } => {
                    h2 id="nx" { (heading) }
                    p class="hint" { (text) }
                    a class="btn main" href=(way.0) { (way.1) }
                }
            }
        }
    }
}

fn hand(at_hand: &Hand<'_>, plan: &str, is_crew: bool) -> Markup {
    let row = &at_hand.row;
    html! {
        h2 id="hand" { "Change at hand" @if is_crew { a class="n" href=(plan) { "Plan another" } } }
        ul class="rows" {
            li {
                a class="row ic" href=(row.href) {
                    (state_stick(&row.state))
                    span { b { (row.name) } span class="s" { (state_word(&row.state)) ". " (row.said) } }
                }
                @if let Some((href, words)) = &at_hand.held { div class="acts" { a class="btn" href=(href) { (words) } } }
                @if is_crew {
                    div class="acts" {
                        @if let Some(start) = &at_hand.start { (form(start)) }
                        (photo_button(&at_hand.photo, "Photo", ""))
                        details { summary class="btn" { "Note" } (form(&at_hand.note)) }
                        @if let Some(done) = &at_hand.done { a class="btn far" href=(done) { "Done" } }
                    }
                }
            }
        }
    }
}

fn want(wanted: &Wanted) -> Markup {
    html! {
        h3 id=(wanted.ask.labelled_by) { (wanted.heading) }
        @if !wanted.wrong.is_empty() || !wanted.waits.is_empty() {
            p class="small" { @if !wanted.wrong.is_empty() { b class="bad" { (wanted.wrong) } " " } (wanted.waits) }
        }
        (ask_reading(&wanted.ask))
    }
}

fn right(view: &View<'_>) -> Markup {
    html! {
        @if view.is_crew {
            h2 id="buy" { "Still to buy" span class="n" { (view.buy_count) } }
            @if !view.buy.is_empty() { ul class="rows" { @for row in &view.buy { (buy_row(row)) } } }
            div class="acts" { a class="btn" href=(view.all_lines.0) { (view.all_lines.1) } a class="btn" href=(view.csv) { "CSV for the yard" } }
            @if !view.buy_note.is_empty() { p class="small" { (view.buy_note) } }
        }
        @if !view.checks.is_empty() {
            h2 id="checks" { "Checks" span class="n" { (view.checks.len() - 1) " stop" } }
            (rows(&view.checks, ""))
            p class="caut" { (CAUTION) @if view.caution.is_none_or(With::is_quiet) { " " (COMES_FIRST) } }
        }
        h2 id="ch" { "Changes this week" span class="n" { (view.changes.len()) } }
        @if view.changes.is_empty() { p class="small" { "Nothing planned for this week yet." } }
        @else { ul class="rows" { @for row in &view.changes { li { (change_row(row)) } } } }
        @if view.is_crew {
            div class="acts" {
                a class="btn" href=(view.plan) { "Plan a change" }
                @for (href, words) in &view.close { a class="btn" href=(href) { (words) } }
            }
        }
    }
}
