//! The cut list of a week: from which stick each piece comes, with its mark.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::rows::{Tab, tabs};
use crate::parts::verdict::{Grave, Verdict, verdict};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// Every week, the chosen one current.
    pub weeks: Vec<Tab>,
    /// `Kerf 1/8 in.`
    pub sub: String,
    /// Why some pieces are held; empty where none is.
    pub held: String,
    /// Sticks and panels, like ones together.
    pub sticks: Vec<Stick>,
    /// Pieces that nothing sold is long enough for.
    pub unmet: Vec<String>,
}

/// A stick or panel, or several alike.
#[derive(Clone, Debug)]
pub struct Stick {
    /// `3 of 2×10 Hem-Fir No.2, 14 ft`.
    pub heading: String,
    /// `To buy. Drop 1' 9 1/8": scrap.`
    pub said: String,
    /// Its pieces in cutting order.
    pub pieces: Vec<Piece>,
}

/// A piece.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Its mark.
    pub mark: String,
    /// To the nearest 1/16, or `measure` where it is held.
    pub length: String,
    /// Exactly, in inches.
    pub exact: String,
    /// What it is.
    pub what: String,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Cut list" }
        p class="sub" { (view.sub) }
        (tabs("Work week", &view.weeks))
        @if !view.held.is_empty() {
            (verdict(&Verdict { grave: Grave::Stop, word: "Don’t cut yet", text: html! { (view.held) } }))
        }
        p class="caut" { b { "Nothing is cut before what replaces it stands." } " Check for nails; support both sides of the cut." }
        @if view.sticks.is_empty() { p { "Nothing to cut this week." } }
        @else { h2 { "Sticks" span class="n" { (view.sticks.len()) } } }
        ul class="rows cuts" { @for stick in &view.sticks { li { (one(stick)) } } }
        @for line in &view.unmet { p class="bad" { (line) } }
    };
    shell(&view.shell, &main)
}

fn one(stick: &Stick) -> Markup {
    html! {
        h3 { (stick.heading) }
        p class="small" { (stick.said) }
        ul class="pc" {
            @for piece in &stick.pieces {
                li {
                    span class="mk" { (piece.mark) }
                    b { span class="len" { (piece.length) } }
                    span class="len" { (piece.exact) }
                    span class="s" { (piece.what) }
                }
            }
        }
    }
}
