//! What waits on this phone: the row that the page's script fills, and the lists that it goes into.
//!
//! All of it is hidden until the script has something to put there. A list names the kinds of entry that it is for; one
//! that names none takes the rest of the page's own.

use maud::{Markup, html};

/// The states of an entry that is kept on the phone, each with its sign. The words are the script's.
const SIGNS: [(&str, &str); 4] = [
    (
        "queued",
        "M12 6.5V12l3.5 2.5M12 2a10 10 0 1 1 0 20 10 10 0 1 1 0-20",
    ),
    ("sent", "M4 12.5l5.5 5.5L20 6"),
    ("rejected", "M2.5 2.5h19v19h-19zM12 7v6M12 16.8v.2"),
    ("conflict", "M3 8h13l-4-4M21 16H8l4 4"),
];

/// A list for entries of these kinds (`reading.add`, several with spaces between) that wait on this phone.
pub fn waiting(kinds: &str) -> Markup {
    html! { ul class="rows" data-waiting=(kinds) hidden {} }
}

/// The list for sign-offs that wait on this phone: until they are sent, nobody else goes by them.
pub fn waiting_sign_offs() -> Markup {
    html! {
        section data-waits="1" hidden aria-labelledby="signs-h" {
            h2 id="signs-h" { "Waiting: not released for anyone else" }
            p class="small" { "A sign-off counts once the server has taken it, and only if all still stands as it was seen." }
            (waiting("hold.release"))
        }
        (waiting("hold.skip event.add word.add"))
    }
}

/// The list for whatever waits and has no list of its own on the page.
pub fn others() -> Markup {
    html! {
        section data-waits="1" hidden aria-labelledby="waits-h" {
            h2 id="waits-h" { "On this phone" }
            (waiting(""))
        }
    }
}

/// The row, with holes for what was typed, what it is about and its state.
pub fn template() -> Markup {
    html! {
        template id="waiting-row" {
            li {
                div class="row rd" {
                    span {
                        b data-f="what" {}
                        span class="s" data-f="of" {}
                        span class="st" {
                            @for (state, path) in SIGNS { svg class="i" viewBox="0 0 24 24" aria-hidden="true" data-for=(state) { path d=(path) {} } }
                            span data-f="state" {}
                        }
                    }
                    img data-photo="1" alt="" hidden;
                }
            }
        }
    }
}
