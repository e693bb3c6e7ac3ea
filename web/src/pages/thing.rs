//! One thing of the record: what is known of it, its readings and notes, and the forms that add to it.

use std::collections::BTreeMap;

use maud::{Markup, html};
use scantling_takeoff::needs::Sum;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::calc::calc;
use crate::parts::form::{Form, form};
use crate::parts::photo::{Photo, Photos, Picture, photos, picture};
use crate::parts::reading_row::{ReadingRow, reading_row};
use crate::parts::rows::{Row, one_row};
use crate::parts::waiting::waiting;
use crate::parts::yard_csv::{YardCsv, yard_csv};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// One or two sentences under the heading.
    pub sub: String,
    /// Adds a reading; none where nothing can be measured.
    pub measure: Option<Form<'a>>,
    /// Its readings.
    pub readings: Vec<ReadingRow<'a>>,
    /// Fields that are filled: label, value.
    pub facts: Vec<(String, String)>,
    /// Sections of other things that belong to it: heading, rows, what is said where there are none, a form that adds.
    pub parts: Vec<Part<'a>>,
    /// What a receipt comes to, step by step.
    pub sums: Vec<Sum>,
    /// Where the paper says something else: the sentence; else empty.
    pub differs: String,
    /// A supplier's yard CSV.
    pub csv: Option<YardCsv>,
    /// Its notes.
    pub notes: Vec<NoteRow>,
    /// Adds a note.
    pub note: Option<Form<'a>>,
    /// What a photo shows.
    pub picture: Option<Photo>,
    /// Its photos; none for what no photo can be of.
    pub photos: Option<Photos>,
    /// Takes a photo out of the record.
    pub remove: Option<Form<'a>>,
    /// Where its history is.
    pub history: String,
    /// Where it is changed.
    pub edit: Option<String>,
    /// Where all its readings are listed, with the form that withdraws one.
    pub all_readings: Option<String>,
}

/// A section of things that belong to it.
#[derive(Clone, Debug)]
pub struct Part<'a> {
    /// Its heading.
    pub heading: String,
    /// Its anchor.
    pub anchor: String,
    /// The things.
    pub rows: Vec<Row>,
    /// By a row's id: the words of a fold under it, and the form in it.
    pub acts: BTreeMap<String, (String, Form<'a>)>,
    /// What is said where there are none.
    pub empty: String,
    /// A form that adds one.
    pub form: Option<Form<'a>>,
    /// The words on the fold that holds the form.
    pub add: String,
}

/// A note.
#[derive(Clone, Debug)]
pub struct NoteRow {
    /// What it says.
    pub text: String,
    /// Who and when.
    pub by: String,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        @if !view.sub.is_empty() { p class="sub" { (view.sub) } }
        @if let Some(photo) = &view.picture { (shown(photo)) }
        div class="two lean" {
            div {
                @if let Some(measure) = &view.measure {
                    section class="sheet" id="add" aria-labelledby="add-h" { h2 id="add-h" { "Add a reading" } (form(measure)) }
                }
                @if let Some(csv) = &view.csv { (yard_csv(csv)) }
                @for part in &view.parts { (section(part)) }
                @if !view.sums.is_empty() { h2 id="sums" { "What it comes to" } (calc(&view.sums)) }
                @if !view.differs.is_empty() { p class="small bad" { (view.differs) } }
            }
            div {
                @if view.measure.is_some() { (readings(view)) }
                (what_is_known(view))
                (notes(view))
                @if let Some(all) = &view.photos { (photos(all)) }
                @if let Some(remove) = &view.remove { details { summary class="btn" { "Take it out of the record" } (form(remove)) } }
            }
        }
    };
    shell(&view.shell, &main)
}

/// The picture of a photo, as large as the page; a press shows it alone.
fn shown(photo: &Photo) -> Markup {
    html! {
        figure {
            @match &photo.picture {
                Picture::Shown(shown) => {
                    a class="shot" href=(shown.full) { (picture(photo)) }
                    @if let Some(file) = &shown.file { (original(file)) }
                }
                Picture::NotHere => (picture(photo)),
                Picture::Original(file) => {
                    p { (picture(photo)) }
                    p class="small" { "Not every browser shows such a picture. Where and when it was taken is blanked in it." }
                    @if let Some(file) = file { (original(file)) } @else { p class="small" { "Only a lead gets the file." } }
                }
            }
            figcaption { (photo.by) }
        }
    }
}

fn original(file: &str) -> Markup {
    html! { div class="acts" { a class="btn" href=(file) download { "Original, as a file" } } }
}

fn section(part: &Part<'_>) -> Markup {
    html! {
        h2 id=(part.anchor) { (part.heading) span class="n" { (part.rows.len()) } }
        @if part.rows.is_empty() { p class="small" { (part.empty) } }
        @else {
            ul class="rows" {
                @for row in &part.rows {
                    li data-entity-id=[(!row.id.is_empty()).then_some(&row.id)] {
                        (one_row(row))
                        @if let Some((words, act)) = part.acts.get(&row.id) { details { summary class="btn" { (words) } (form(act)) } }
                    }
                }
            }
        }
        @if let Some(adds) = &part.form {
            (waiting(adds.kind))
            details id={ (part.anchor) "-add" } { summary class="btn" { (part.add) } (form(adds)) }
        }
    }
}

fn readings(view: &View<'_>) -> Markup {
    html! {
        h2 id="read" { "Readings" span class="n" { (view.readings.len()) } }
        @if view.readings.is_empty() { p class="small" { "Nothing measured yet." } }
        @else { ul class="rows" { @for row in &view.readings { (reading_row(row)) } } }
        (waiting("reading.add"))
        @if let Some(href) = &view.all_readings { div class="acts" { a class="btn" href=(href) { "All readings, one by one" } } }
    }
}

fn what_is_known(view: &View<'_>) -> Markup {
    html! {
        h2 { "On record" }
        @if !view.facts.is_empty() {
            table { tbody { @for (label, value) in &view.facts { tr { td { (label) } td class="r wrap" { (value) } } } } }
        }
        div class="acts" {
            @if let Some(edit) = &view.edit { a class="btn" href=(edit) { "Change it" } }
            a class="btn" href=(view.history) { "History" }
        }
    }
}

fn notes(view: &View<'_>) -> Markup {
    if view.note.is_none() && view.notes.is_empty() {
        return html! {};
    }
    html! {
        h2 id="notes" { "Notes" span class="n" { (view.notes.len()) } }
        @if !view.notes.is_empty() {
            ul class="rows" { @for note in &view.notes { li { p { (note.text) } p class="small" { (note.by) } } } }
        }
        (waiting("note.add"))
        @if let Some(adds) = &view.note { details { summary class="btn" { "Note" } (form(adds)) } }
    }
}
