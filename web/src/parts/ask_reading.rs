//! A field for one reading that is wanted, with its Save beside it: two presses and one field.

use maud::{Markup, html};

use crate::layout::Main;

/// A wanted reading.
#[derive(Clone, Debug)]
pub struct AskReading {
    /// Unique on the page; the input's id.
    pub id: String,
    /// The id of the heading that names it.
    pub labelled_by: String,
    /// Where it posts.
    pub action: String,
    /// Hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// One sentence under the field.
    pub hint: String,
    /// Whether Save is the page's main action.
    pub main: Main,
}

/// Draws it.
pub fn ask_reading(ask: &AskReading) -> Markup {
    let class = match ask.main {
        Main::Yes => "btn main",
        Main::No => "btn",
    };
    let hint = format!("{}-h", ask.id);
    html! {
        form method="post" action=(ask.action) data-kind="reading.add" {
            @for (name, value) in &ask.hidden { input type="hidden" name=(name) value=(value); }
            div class="one" {
                input id=(ask.id) name="raw" type="text" autocapitalize="off" autocorrect="off" spellcheck="false" autocomplete="off" enterkeyhint="done" data-length="1" required aria-labelledby=(ask.labelled_by) aria-describedby=[(!ask.hint.is_empty()).then_some(&hint)];
                button class=(class) { "Save" }
            }
            output class="echo" for=(ask.id) {}
            @if !ask.hint.is_empty() { p class="hint" id=(hint) { (ask.hint) } }
        }
    }
}
