//! Taking in entries that a phone saved to a file, since it could not send them.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};

/// What the page shows.
#[derive(Clone, Debug, Default)]
pub struct View {
    /// What was wrong with the file.
    pub problem: Option<String>,
    /// What became of its entries.
    pub came: Option<Came>,
}

/// What became of a file's entries.
#[derive(Clone, Debug, Default)]
pub struct Came {
    /// How many are in the record now by this file.
    pub n_new: usize,
    /// How many were there before.
    pub n_known: usize,
    /// How many pictures came.
    pub n_pictures: usize,
    /// Those that are not in: what they are, why.
    pub refused: Vec<(String, String)>,
}

/// Draws it.
pub fn page(view: &View) -> Page {
    let error = view.problem.is_some().then_some("file-e");
    let main = html! {
        a class="up" href="/crew" { "Crew and phones" }
        h1 { "Entries from a file" }
        p class="sub" { "For a phone that reached this server by another address: on it, open the list of entries to send and save them to a file. What is here already does no harm." }
        @if let Some(came) = &view.came { (told(came)) }
        form method="post" action="/import" enctype="multipart/form-data" data-online="1" {
            label for="file" { "File" }
            input id="file" name="file" type="file" accept="application/json,.json" required aria-describedby=[error] aria-invalid=[error.map(|_| "true")];
            @if let Some(problem) = &view.problem { p class="err" id="file-e" role="alert" { (problem) } }
            div class="acts" { button class="btn main" { "Take them in" } }
        }
    };
    shell(&Shell::plain("Entries from a file"), &main)
}

fn told(came: &Came) -> Markup {
    html! {
        section class="sheet" role="status" aria-label="What came" {
            p { b { (came.n_new) } " taken in, " b { (came.n_known) } " were here already, " b { (came.n_pictures) } " pictures." }
            @if !came.refused.is_empty() {
                p class="err" { (came.refused.len()) " not taken:" }
                ul class="rows" { @for (what, why) in &came.refused { li { b { (what) } p { (why) } } } }
            }
        }
    }
}
