//! The record of one change for engineer or inspector, to print: readings, photos, checks, hold points, lines to sign.

use maud::{Markup, html};
use scantling_takeoff::checks::load_path::Path;
use scantling_takeoff::checks::{CAUTION, COMES_FIRST};

use super::checks::not_covered;
use crate::drawing::load_path::load_path;
use crate::layout::{Page, Shell, page as shell};
use crate::parts::check_row::{CheckRow, check_row};
use crate::parts::photo::Picture;
use crate::parts::sign::state_word;

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The job, its address, the day.
    pub said: Vec<(String, String)>,
    /// The change's state, as stored.
    pub state: String,
    /// Fields that are filled: label, value.
    pub known: Vec<(String, String)>,
    /// Its checks, in working order, opened.
    pub checks: Vec<CheckRow<'a>>,
    /// Its hold points: event, how it stands and who released.
    pub holds: Vec<(String, String)>,
    /// The load path that it belongs to.
    pub path: Option<Path>,
    /// Every reading that it rests on: of what, value as read, by whom and when, its state.
    pub readings: Vec<ReadingLine>,
    /// Its photos: the picture where it is here, caption, who and when.
    pub photos: Vec<(Picture, String, String)>,
    /// Its notes: text, who and when.
    pub notes: Vec<(String, String)>,
}

/// A reading of the record.
#[derive(Clone, Debug)]
pub struct ReadingLine {
    /// Of what.
    pub what: String,
    /// As it was typed.
    pub typed: String,
    /// Who and when.
    pub by: String,
    /// Agreed, single or disputed.
    pub state: String,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { "Record for engineer and inspector. " (state_word(&view.state)) "." }
        p class="caut" { (CAUTION) " " (COMES_FIRST) }
        table { tbody {
            @for (label, value) in view.said.iter().chain(&view.known) { tr { td { (label) } td class="r wrap" { (value) } } }
        } }
        h2 { "Checks" span class="n" { (view.checks.len()) } }
        @if view.checks.is_empty() { p class="small" { "Nothing of this change is checked." } }
        @else { ul class="rows" { @for row in &view.checks { li { (check_row(row)) } } } }
        @if let Some(path) = &view.path { h2 { "Load path" } (load_path("path", path)) }
        (not_covered())
        @if !view.holds.is_empty() {
            h2 { "Hold points" span class="n" { (view.holds.len()) } }
            table { tbody { @for (event, said) in &view.holds { tr { td { (event) } td class="wrap" { (said) } } } } }
        }
        h2 { "Readings" span class="n" { (view.readings.len()) } }
        (readings(&view.readings))
        h2 { "Photos" span class="n" { (view.photos.len()) } }
        (photos(&view.photos))
        @if !view.notes.is_empty() {
            h2 { "Notes" span class="n" { (view.notes.len()) } }
            ul class="rows" { @for (text, by) in &view.notes { li { p { (text) } p class="small" { (by) } } } }
        }
        (signatures())
    };
    shell(&view.shell, &main)
}

fn readings(all: &[ReadingLine]) -> Markup {
    html! {
        @if all.is_empty() { p class="small" { "No reading yet." } }
        @else {
            div class="wide" tabindex="0" role="region" aria-label="Readings" { table {
                thead { tr { th scope="col" { "Of what" } th scope="col" { "As read" } th scope="col" { "Who, when" } } }
                tbody { @for one in all {
                    tr { td class="wrap" { (one.what) } td { (one.typed) br; (one.state) } td class="wrap" { (one.by) } }
                } }
            } }
        }
    }
}

fn photos(all: &[(Picture, String, String)]) -> Markup {
    html! {
        @if all.is_empty() { p class="small" { "No photo yet." } }
        @for (picture, caption, by) in all {
            figure {
                @if let Picture::Shown(shown) = picture {
                    img src=(shown.src) width=(shown.width) height=(shown.height) alt=(caption);
                }
                figcaption class="small" {
                    @if !caption.is_empty() { (caption) ". " }
                    (by)
                    @match picture {
                        Picture::Shown(_) => {},
                        Picture::Original(_) => ". Kept as the phone made it: not shown here.",
                        Picture::NotHere => ". The picture has not arrived yet.",
                    }
                }
            }
        }
    }
}

/// Lines to be signed on paper.
fn signatures() -> Markup {
    html! {
        h2 { "To be signed" }
        table { tbody {
            @for who in ["Lead", "Engineer", "Inspector"] {
                tr { td { (who) } td { p class="small" { "Name, date, signature" } p class="rule" {} } }
            }
        } }
    }
}
