//! What is shown for a page that is not saved on the phone while the server is out of reach: the saved ones, by script.

use maud::html;

use crate::layout::{Page, Shell, page as shell};

/// Draws it.
pub fn page() -> Page {
    let main = html! {
        h1 { "Not on this phone" }
        p class="sub" { "The server is out of reach, and this page is not saved here. Entries are kept on this phone." }
        div class="acts" { a class="btn" href="/outbox" { "To send" } }
        h2 { "Saved on this phone" span class="n" data-f="count" {} }
        ul class="rows" id="saved" {}
    };
    shell(&Shell::plain("Not on this phone"), &main)
}
