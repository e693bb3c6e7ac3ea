//! Several weeks in one trip: what that saves against a trip a week, what then lies around and for how long, what the
//! vehicle carries.

use maud::{Markup, html};

use crate::layout::{Here, Page, Shell, page as shell};
use crate::parts::verdict::{Grave, Verdict, verdict};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// Where the form of weeks leads to.
    pub action: String,
    /// The weeks to choose from: number, `Week 3 · Oct 27 to Oct 31`, whether it is chosen.
    pub weeks: Vec<(u32, String, Here)>,
    /// The answer; none where fewer than two weeks are chosen.
    pub answer: Option<Answer>,
}

/// What a trip comes to.
#[derive(Clone, Debug)]
pub struct Answer {
    /// `$24.10 less`.
    pub word: String,
    /// The rest of it, a sentence.
    pub said: String,
    /// Each list: `Week 3 alone`, total, sticks, sheets; the last is all in one trip.
    pub sums: Vec<[String; 4]>,
    /// Why lists are not joined, or what the sums leave out; empty where nothing is to be said.
    pub notes: Vec<String>,
    /// The buy lists to take along: where, its words.
    pub lists: Vec<(String, String)>,
    /// What lies by, week by week.
    pub lying: Vec<Lying>,
    /// What it weighs, a sentence.
    pub weight: String,
    /// The loads, where it doesn't go in one: `Load 1, 480 lb`, what is on it.
    pub loads: Vec<(String, Vec<String>)>,
}

/// What lies by for a later week.
#[derive(Clone, Debug)]
pub struct Lying {
    /// `For week 4`.
    pub title: String,
    /// `28 days`; empty where the days aren't known.
    pub days: String,
    /// For how long and through which gaps, a sentence.
    pub said: String,
    /// What: `6 of 2×4 Hem-Fir No.2, 8 ft`, and how: `whole`, `begun: its rest waits`.
    pub what: Vec<(String, &'static str)>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { "One trip for several weeks" }
        form method="get" action=(view.action) {
            fieldset {
                legend { "Buy together" }
                div class="pick" {
                    @for (number, words, chosen) in &view.weeks {
                        label { input type="checkbox" name="week" value=(number) checked[*chosen == Here::Yes]; span { (words) } }
                    }
                }
            }
            div class="acts" { button class="btn main" { "Work it out" } }
        }
        @match &view.answer {
            Some(answer) => (worked_out(answer)),
            None => p { "Choose two weeks or more." },
        }
    };
    shell(&view.shell, &main)
}

fn worked_out(answer: &Answer) -> Markup {
    html! {
        (verdict(&Verdict { grave: Grave::Pass, word: &answer.word, text: html! { (answer.said) } }))
        div class="wide" tabindex="0" role="region" aria-label="Together and apart" {
            table {
                thead { tr { th scope="col" { "Bought" } th scope="col" class="r" { "Cost" } th scope="col" class="r" { "Sticks" } th scope="col" class="r" { "Sheets" } } }
                tbody { @for [name, total, sticks, sheets] in &answer.sums { tr { th scope="row" { (name) } td class="r" { (total) } td class="r" { (sticks) } td class="r" { (sheets) } } } }
            }
        }
        @for note in &answer.notes { p class="small" { (note) } }
        div class="acts" { @for (href, words) in &answer.lists { a class="btn" href=(href) { (words) } } }
        @if !answer.lying.is_empty() {
            h2 id="lying" { "What lies around" }
            p class="caut" { b { "Nothing is stored on a floor that is opened or shored." } " Flat, off the ground, dry, out of the way." }
            @for later in &answer.lying { (lying(later)) }
        }
        h2 id="load" { "On the vehicle" }
        p { (answer.weight) }
        @for (title, items) in &answer.loads {
            h3 { (title) }
            ul class="rows" { @for item in items { li { (item) } } }
        }
    }
}

fn lying(later: &Lying) -> Markup {
    html! {
        h3 { (later.title) @if !later.days.is_empty() { " · " (later.days) } }
        @if !later.said.is_empty() { p class="small" { (later.said) } }
        @if later.what.is_empty() { p class="small" { "Nothing is bought ahead for it." } }
        @else { ul class="rows" { @for (what, how) in &later.what { li { span class="row" { b { (what) } span class="val" { (how) } } } } } }
    }
}
