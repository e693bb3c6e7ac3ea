//! The house: rooms, then walls and framing, and the form for a new room of four walls.

use maud::html;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::form::{Form, form};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// One sentence under the heading.
    pub sub: String,
    /// Walls, then members and runs.
    pub framing: Vec<Row>,
    /// The rooms.
    pub rooms: Vec<Row>,
    /// Storeys.
    pub storeys: Vec<Row>,
    /// Adds a room of four walls.
    pub add: Form<'a>,
    /// Where other things are added: where to, words.
    pub more: Vec<(String, String)>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "House" }
        p class="sub" { (view.sub) }
        div class="two lean" {
            div {
                h2 id="rooms" { "Rooms" span class="n" { (view.rooms.len()) } }
                (rows(&view.rooms, "No room yet. Its four walls come with it."))
                h2 id="framing" { "Walls and framing" span class="n" { (view.framing.len()) } }
                (rows(&view.framing, "No wall yet."))
                @if !view.storeys.is_empty() { h2 { "Storeys" span class="n" { (view.storeys.len()) } } (rows(&view.storeys, "")) }
                div class="acts" { @for (href, words) in &view.more { a class="btn" href=(href) { (words) } } }
            }
            section class="sheet" id="add" aria-labelledby="add-h" {
                h2 id="add-h" { "Add a room" }
                (form(&view.add))
            }
        }
    };
    shell(&view.shell, &main)
}
