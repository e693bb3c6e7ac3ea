//! A verdict: a stroke above and below, a sign, a word, one sentence.

use maud::{Markup, html};

use super::sign::{Sign, sign};

/// How grave, and so how it is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Grave {
    /// Look at it.
    Look,
    /// Stop.
    Stop,
    /// Not known yet.
    Wait,
    /// Fine.
    Pass,
}

/// A verdict.
#[derive(Clone, Debug)]
pub struct Verdict<'a> {
    /// How grave.
    pub grave: Grave,
    /// Its word: `Don’t cut yet`.
    pub word: &'a str,
    /// One sentence, and perhaps links.
    pub text: Markup,
}

/// Draws it.
pub fn verdict(view: &Verdict<'_>) -> Markup {
    let (class, drawn) = match view.grave {
        Grave::Look => ("v look", Sign::Look),
        Grave::Stop => ("v stop", Sign::Stop),
        Grave::Wait => ("v wait", Sign::Wait),
        Grave::Pass => ("v pass", Sign::Pass),
    };
    html! { div class=(class) { (sign(drawn)) p { b { (view.word) } " " (view.text) } } }
}
