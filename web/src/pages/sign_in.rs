//! Signing in with the one-time code that the server's console prints.

use maud::html;

use crate::layout::{Page, Shell, page as shell};

/// What the page shows.
#[derive(Clone, Debug, Default)]
pub struct View {
    /// What was wrong with the code that was typed.
    pub problem: Option<String>,
    /// The code as typed.
    pub code: String,
}

/// Draws it.
pub fn page(view: &View) -> Page {
    let invalid = view.problem.is_some().then_some("true");
    let main = html! {
        h1 { "Sign in" }
        p class="sub" { "Type eight digits, once for each phone. The lead gets them for you: Crew and phones, Let a phone in. The lead’s own first ones stand on the console where Scantling runs; Enter there gives fresh ones." }
        // shown in a tab of an iPhone or iPad alone
        p class="caut tab" { b { "Add to Home Screen first." } " In Safari: Share, then Add to Home Screen. Open Scantling by its icon, and sign in there: a tab has a memory of its own, and what waits in it may be dropped after seven days without a visit." }
        form method="post" action="/sign-in" data-code="1" data-online="1" {
            label for="code" { "Code" }
            input id="code" name="code" type="text" inputmode="numeric" autocomplete="one-time-code" value=(view.code) aria-invalid=[invalid] aria-describedby=[invalid.map(|_| "code-e")] required;
            @if let Some(problem) = &view.problem { p class="err" id="code-e" role="alert" { (problem) } }
            div class="acts" { button class="btn main" { "Sign in" } }
        }
    };
    shell(&Shell::plain("Sign in"), &main)
}
