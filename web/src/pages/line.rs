//! One line of a list, told in full: its figures and where each comes from, and what can be done about it: bought as
//! listed or as something else, taken back to the yard.

use maud::{Markup, html};
use scantling_takeoff::needs::Sum;

use crate::layout::{Main, Page, Shell, page as shell};
use crate::parts::calc::calc;
use crate::parts::form::{FieldView, one_field};
use crate::parts::rows::{Row, rows};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// `Work week 2`.
    pub sub: String,
    /// That it was bought twice; empty where it was not.
    pub said: String,
    /// Needed = on hand + ordered + to buy; bought beside it.
    pub figures: Vec<Sum>,
    /// Why so many.
    pub why: Vec<Sum>,
    /// The needs behind it, each to its change.
    pub needs: Vec<Row>,
    /// What is here, and what it is kept for.
    pub here: Vec<Row>,
    /// What moved it besides receipts.
    pub moves: Vec<Row>,
    /// The orders that bring it.
    pub orders: Vec<Row>,
    /// The receipt lines of it.
    pub receipts: Vec<Row>,
    /// The forms.
    pub forms: Vec<Act>,
}

/// Something that can be done, with its form.
#[derive(Clone, Debug)]
pub struct Act {
    /// Its anchor.
    pub id: &'static str,
    /// Its heading.
    pub title: &'static str,
    /// One sentence.
    pub sub: String,
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// Its fields.
    pub fields: Vec<FieldView>,
    /// What is wrong, or to be said before it is recorded.
    pub problems: Vec<String>,
    /// Where something was said: the words of the box that records it all the same.
    pub anyway: Option<&'static str>,
    /// What its button says.
    pub save: &'static str,
    /// Whether it is the page's main action.
    pub main: Main,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { (view.sub) }
        @if !view.said.is_empty() { p class="small bad" { (view.said) } }
        div class="two lean" {
            div {
                h2 { "Figures" }
                (calc(&view.figures))
                @for act in &view.forms { (one_act(act)) }
            }
            div {
                @if !view.why.is_empty() { h2 { "Why" } (calc(&view.why)) }
                (part("Needed for", &view.needs, "No change wants it."))
                (part("Here", &view.here, "None is here."))
                @if !view.orders.is_empty() { (part("Ordered", &view.orders, "")) }
                (part("Receipts", &view.receipts, "None was bought."))
                @if !view.moves.is_empty() { (part("Used and counted", &view.moves, "")) }
            }
        }
    };
    shell(&view.shell, &main)
}

fn part(title: &str, all: &[Row], empty: &str) -> Markup {
    html! {
        h2 id=(title.to_lowercase().replace(' ', "-")) { (title) @if !all.is_empty() { span class="n" { (all.len()) } } }
        (rows(all, empty))
    }
}

/// Draws a form with its heading.
pub fn one_act(act: &Act) -> Markup {
    let class = match act.main {
        Main::Yes => "btn main",
        Main::No => "btn",
    };
    html! {
        section class="sheet" aria-labelledby={ (act.id) "-h" } {
            h2 id={ (act.id) "-h" } { (act.title) }
            p class="small" { (act.sub) }
            form method="post" action=(act.action) id=(act.id) data-kind="bought.add" {
                @for (name, value) in &act.hidden { input type="hidden" name=(name) value=(value); }
                @for problem in &act.problems { p class="err" role="alert" { (problem) } }
                @for field in &act.fields { (one_field(act.id, field)) }
                @if let Some(words) = act.anyway {
                    div class="pick" {
                        label for={ (act.id) "-anyway" } {
                            input type="checkbox" id={ (act.id) "-anyway" } name="anyway" value="yes";
                            span { (words) }
                        }
                    }
                }
                div class="acts" { button class=(class) { (act.save) } }
            }
        }
    }
}
