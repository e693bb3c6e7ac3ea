//! The house: rooms, then walls, runs and members, each a jump away, and the form for a new room of four walls.

use maud::html;

use crate::layout::{Here, Page, Shell, page as shell};
use crate::parts::form::{Form, form};
use crate::parts::rows::{Row, Tab, rows, tabs};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// One sentence under the heading.
    pub sub: String,
    /// Walls.
    pub walls: Vec<Row>,
    /// Like members at a spacing.
    pub runs: Vec<Row>,
    /// Single members.
    pub members: Vec<Row>,
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
    // walls are said to be missing; what else there is none of is left out
    let parts = [
        ("walls", "Walls", &view.walls),
        ("runs", "Runs", &view.runs),
        ("members", "Members", &view.members),
        ("storeys", "Storeys", &view.storeys),
    ];
    let parts: Vec<_> = parts
        .into_iter()
        .filter(|(id, _, all)| *id == "walls" || !all.is_empty())
        .collect();
    let jumps: Vec<Tab> = parts
        .iter()
        .map(|(id, title, _)| Tab {
            href: format!("#{id}"),
            text: (*title).to_owned(),
            here: Here::No,
        })
        .collect();
    let main = html! {
        h1 { "House" }
        p class="sub" { (view.sub) }
        (tabs("On this page", &jumps))
        div class="two lean" {
            div {
                h2 id="rooms" { "Rooms" span class="n" { (view.rooms.len()) } }
                (rows(&view.rooms, "No room yet. Its four walls come with it."))
                @for (id, title, all) in parts { h2 id=(id) { (title) span class="n" { (all.len()) } } (rows(all, "No wall yet.")) }
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
