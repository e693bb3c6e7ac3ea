//! One sentence on a page of its own, with a way on: what isn't there, isn't allowed, or broke.

use maud::html;

use crate::layout::{Page, Shell, page as shell};

/// What the page says.
#[derive(Clone, Debug)]
pub struct View {
    /// Its heading.
    pub title: String,
    /// What is so, then what to do.
    pub text: String,
    /// The way on: where to, its words.
    pub way: (String, String),
}

/// Draws it.
pub fn page(view: &View) -> Page {
    let main = html! {
        h1 { (view.title) }
        p { (view.text) }
        div class="acts" { a class="btn" href=(view.way.0) { (view.way.1) } }
    };
    shell(&Shell::plain(&view.title), &main)
}
