//! What this phone has not sent yet: the page is the same for everyone, its script fills it from the phone's database.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};

/// Draws it.
pub fn page() -> Page {
    let main = html! {
        h1 { "To send" }
        p class="sub" { "What is entered stays on this phone until the server has it." }
        noscript { p { "Scripts are off here: nothing is kept on this phone, and each form goes straight to the server." } }
        div id="box" hidden {
            // shown in a tab of an iPhone or iPad alone
            p class="caut tab" { b { "This is a tab." } " What waits here may be dropped after seven days without a visit. Send it, or save it to a file; then open Scantling by its icon on the Home Screen." }
            p data-f="last" {}
            div class="acts" {
                button class="btn main" type="button" data-do="send" { "Send now" }
                button class="btn" type="button" data-do="file" { "Save unsent entries to a file" }
                a class="btn" href="/" { "Jobs" }
            }
            h2 { "Entries" span class="n" data-f="count" {} }
            p class="small" data-f="none" { "Nothing waits." }
            ul class="rows" data-entries="1" {}
            (row_acts())
            h2 { "This phone" }
            p class="small" data-f="room" {}
            p class="small" { "Photos go smaller than the camera made them. Originals take longer to send; the server takes the place out of them." }
            div class="pick" {
                label { input type="checkbox" id="whole" data-do="whole"; span { "Keep original photos" } }
            }
            (sign_out())
        }
    };
    shell(&Shell::plain("To send"), &main)
}

/// What can be done to an entry that a person has to look at: shown as far as it fits.
fn row_acts() -> Markup {
    html! {
        template id="entry-acts" {
            p class="small bad" data-f="why" {}
            p class="small" data-f="theirs" {}
            div class="acts" {
                button class="btn" type="button" data-do="fix" { "Fix it" }
                button class="btn" type="button" data-do="mine" { "Use mine" }
                button class="btn" type="button" data-do="theirs" { "Keep theirs" }
                button class="btn lose" type="button" data-do="discard" { "Discard" }
            }
        }
    }
}

fn sign_out() -> Markup {
    html! {
        form method="post" action="/sign-out" data-online="1" {
            div class="acts" { button class="btn" { "Sign out" } }
        }
    }
}
