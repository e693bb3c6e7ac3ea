//! The photos of a job by week, room or change, and the form that adds one; or that form alone, where it was refused.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::photo::{Photo, PhotoForm, gallery, photo_form};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// The ways to lay it out.
    pub by: Vec<Way>,
    /// The photos, each group under its heading.
    pub groups: Vec<(String, Vec<Photo>)>,
    /// Adds one; none for who may not.
    pub form: Option<PhotoForm>,
}

/// A way to lay the gallery out.
#[derive(Clone, Debug)]
pub struct Way {
    /// Where to.
    pub href: String,
    /// Its words.
    pub words: &'static str,
    /// Whether it is this one.
    pub here: bool,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let is_refused = view.shell.note.is_some();
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        div class="two lean" {
            @if !is_refused { div { (groups(view)) } }
            @if let Some(adds) = &view.form {
                section class="sheet" id="add-photo" aria-labelledby="add-h" { h2 id="add-h" { "Add a photo" } (photo_form(adds)) }
            }
        }
    };
    shell(&view.shell, &main)
}

fn groups(view: &View<'_>) -> Markup {
    html! {
        nav class="acts" aria-label="How the photos are laid out" {
            @for way in &view.by {
                a class="btn" href=(way.href) aria-current=[way.here.then_some("true")] { (way.words) }
            }
        }
        @if view.groups.is_empty() { p class="sub" { "No photo yet." } }
        @for (heading, photos) in &view.groups {
            h2 { (heading) span class="n" { (photos.len()) } }
            (gallery(photos))
        }
    }
}
