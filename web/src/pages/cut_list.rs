//! The cut list of a week: stick by stick what to cut, drawn to scale, with the mark of each piece and of each line.

use maud::{Markup, html};

use crate::drawing::{panel, stick};
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
    /// What may be cut, and what waits.
    pub sections: Vec<Section>,
    /// What lies by for waste, or is bought for it: a line each.
    pub spare: Vec<String>,
    /// How cheap what is to be bought is, a sentence each.
    pub cost: Vec<String>,
    /// Pieces that nothing sold is long enough for.
    pub unmet: Vec<String>,
}

/// Patterns under one heading.
#[derive(Clone, Debug)]
pub struct Section {
    /// `May be cut when here`.
    pub title: &'static str,
    /// `9 in all`.
    pub count: String,
    /// Its patterns.
    pub patterns: Vec<Pattern>,
}

/// Sticks or sheets that are all cut alike.
#[derive(Clone, Debug)]
pub struct Pattern {
    /// `3 of 2×10 Hem-Fir No.2, 14 ft`.
    pub heading: String,
    /// `To buy. Drop 1' 9 1/8": scrap.`
    pub said: String,
    /// To scale.
    pub drawing: Drawn,
    /// A panel's straight cuts in order, a sentence each.
    pub cuts: Vec<String>,
    /// Its pieces in cutting order.
    pub pieces: Vec<Piece>,
    /// Why some of them are held, a sentence each.
    pub held: Vec<String>,
}

/// What is drawn of a pattern.
#[derive(Clone, Debug)]
pub enum Drawn {
    /// A stick.
    Stick(stick::Stick),
    /// A sheet.
    Panel(panel::Panel),
}

/// Equal pieces, one behind the other on each stick.
#[derive(Clone, Debug)]
pub struct Piece {
    /// Their marks.
    pub mark: String,
    /// To the nearest 1/16, or `measure` where it is held.
    pub length: String,
    /// Exactly, in inches.
    pub exact: String,
    /// `2 from each. Strike at 6' 3 5/8" and 12' 7 3/8".`; empty for a lone first piece.
    pub strike: String,
    /// What each is: marks where there are several kinds, what it is.
    pub what: Vec<What>,
}

/// What some of them are.
#[derive(Clone, Debug)]
pub struct What {
    /// Their marks, where the row has pieces of several needs.
    pub marks: String,
    /// `Shoring plate, kitchen side, crown up ↑`.
    pub what: String,
    /// The change's page; empty where it isn't known.
    pub href: String,
    /// The change's name.
    pub change: String,
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
        p class="caut" { b { "Nothing is cut before what replaces it stands." } " Check for nails before each cut; hold both sides so that the blade can’t pinch." }
        @if view.sections.is_empty() { p { "Nothing to cut this week." } }
        @else { p { button class="btn" data-print="1" hidden { "Print" } } }
        @for section in &view.sections {
            h2 { (section.title) span class="n" { (section.count) } }
            ul class="rows cuts" { @for pattern in &section.patterns { li { (one(pattern)) } } }
        }
        @for line in &view.unmet { p class="bad" { (line) } }
        @if !view.spare.is_empty() {
            h2 id="spare" { "Spare, for waste" }
            ul { @for line in &view.spare { li { (line) } } }
            p class="small" { "Not to be cut as long as all goes well: for crook, checks and a spoiled cut." }
        }
        @if !view.sections.is_empty() {
            p class="small" id="cost" {
                @for line in &view.cost { (line) " " }
                "Drawn to one scale. Marks run from the zero end, the black diamond, with every kerf before them counted; cut behind the mark. Hatched is scrap."
            }
        }
    };
    shell(&view.shell, &main)
}

fn one(pattern: &Pattern) -> Markup {
    html! {
        h3 { (pattern.heading) }
        p class="small" { (pattern.said) }
        figure { @match &pattern.drawing { Drawn::Stick(of) => (stick::stick(of)), Drawn::Panel(of) => (panel::panel(of)) } }
        @if !pattern.cuts.is_empty() { ol class="steps" { @for cut in &pattern.cuts { li { (cut) } } } }
        ul class="pc" { @for piece in &pattern.pieces { li { (row(piece)) } } }
        @for held in &pattern.held { p class="held" { (held) } }
    }
}

fn row(piece: &Piece) -> Markup {
    // A mark breaks between ranges, not at its hyphen.
    let mark = piece.mark.replace('-', "\u{2011}");
    html! {
        span class="mk" { (mark) }
        b { span class="len" { (piece.length) } }
        span class="len" { (piece.exact) }
        @if !piece.strike.is_empty() { b class="s" { (piece.strike) } }
        @for what in &piece.what {
            span class="s" {
                @if !what.marks.is_empty() { b { (what.marks) } " " }
                (what.what) ". "
                @if what.href.is_empty() { (what.change) } @else { a href=(what.href) { (what.change) } }
            }
        }
    }
}
