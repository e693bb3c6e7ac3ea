//! The hold points of a job: what is next, then each open change with its chain as a picture and a list.

use maud::{Markup, html};
use scantling_takeoff::checks::COMES_FIRST;

use crate::drawing::hold_chain::{Notch, hold_chain};
use crate::layout::{Page, Shell, page as shell};
use crate::parts::hold::{HoldRow, hold_rows};
use crate::parts::rows::{ChangeRow, Row, change_row, rows};
use crate::parts::verdict::{Grave, Verdict, verdict};
use crate::parts::waiting::waiting_sign_offs;

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// What is next: heading, why, where to and the words; none where nothing is held.
    pub next: Option<(String, String, (String, String))>,
    /// Holds that reopened after work went past them, in a sentence each.
    pub stops: Vec<String>,
    /// Shores that stand: each with its keeper, and that nothing is stored there.
    pub standing: Vec<Row>,
    /// Open changes with their chains.
    pub chains: Vec<Chain>,
    /// Papers and words on record.
    pub papers: Vec<Row>,
    /// Where a paper is entered; none for who may not.
    pub add_paper: Option<String>,
    /// Releases that did not count, with what differed.
    pub refused: Vec<Row>,
}

/// A change with its chain.
#[derive(Clone, Debug)]
pub struct Chain {
    /// The change.
    pub change: ChangeRow,
    /// Its hold points as a picture.
    pub notches: Vec<Notch>,
    /// The same as a list.
    pub rows: Vec<HoldRow>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Hold points" }
        p class="sub" { "What must stand, and be signed off by the lead, before it is begun, cut, loaded or struck." }
        p class="caut" { b { (COMES_FIRST) } " A sign-off here approves nothing: your engineer, your building department and the maker’s sheet decide (OSHA 29 CFR 1926.850)." }
        (waiting_sign_offs())
        @for stop in &view.stops {
            (verdict(&Verdict { grave: Grave::Stop, word: "Stop. Shore it, call the lead", text: html! { (stop) } }))
        }
        @if let Some((heading, text, way)) = &view.next {
            section class="sheet next" aria-labelledby="nx" {
                span class="lbl" { "Next" }
                h2 id="nx" { (heading) }
                p class="hint" { (text) }
                a class="btn main" href=(way.0) { (way.1) }
            }
        } @else { p { "No change that cuts, opens, carries or covers is open." } }
        @if !view.standing.is_empty() {
            h2 id="standing" { "Shoring that stands" span class="n" { (view.standing.len()) } }
            (rows(&view.standing, ""))
        }
        @for (at, chain) in view.chains.iter().enumerate() { (one(at, chain)) }
        (papers(view))
        @if !view.refused.is_empty() {
            h2 id="refused" { "Did not count" span class="n" { (view.refused.len()) } }
            (rows(&view.refused, ""))
        }
    };
    shell(&view.shell, &main)
}

fn one(at: usize, chain: &Chain) -> Markup {
    html! {
        h2 { (chain.change.name) span class="n" { (chain.rows.len()) } }
        ul class="rows" { li { (change_row(&chain.change)) } }
        div class="two" {
            figure { (hold_chain(at, &chain.change.name, &chain.notches)) }
            div { (hold_rows(&chain.rows)) }
        }
    }
}

fn papers(view: &View<'_>) -> Markup {
    html! {
        h2 id="papers" { "Papers and words" span class="n" { (view.papers.len()) } }
        (rows(&view.papers, "None yet: engineer, permit, inspection, lead, asbestos."))
        @if let Some(href) = &view.add_paper { div class="acts" { a class="btn" href=(href) { "Enter a paper" } } }
    }
}
