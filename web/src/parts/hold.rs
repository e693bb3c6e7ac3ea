//! Hold points as rows: the event, how it stands in words and sign, what is lacking or who released.

use maud::{Markup, html};

use super::sign::{Sign, sign};

/// A hold point in a list.
#[derive(Clone, Debug)]
pub struct HoldRow {
    /// Its page.
    pub href: String,
    /// `First cut`.
    pub name: String,
    /// How it stands.
    pub is: HoldIs,
    /// What is lacking, or who released and when.
    pub said: String,
    /// What was skipped, with who and why.
    pub skipped: Vec<String>,
}

/// How a hold point stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum HoldIs {
    /// Something is lacking.
    Held,
    /// All stands; not released yet.
    Ready,
    /// Released.
    Released,
    /// Released once, and something changed since.
    Reopened,
    /// Behind the change.
    Past,
}

impl HoldIs {
    /// In a word.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Held => "Held",
            Self::Ready => "Ready to sign off",
            Self::Released => "Signed off",
            Self::Reopened => "Reopened: stop",
            Self::Past => "Behind us",
        }
    }

    const fn sign(self) -> Sign {
        match self {
            Self::Held => Sign::Wait,
            Self::Ready => Sign::Look,
            Self::Released => Sign::Pass,
            Self::Reopened => Sign::Stop,
            Self::Past => Sign::Tick,
        }
    }
}

/// Draws hold points in their order.
pub fn hold_rows(all: &[HoldRow]) -> Markup {
    html! { ul class="rows" { @for row in all { li { (hold_row(row)) } } } }
}

fn hold_row(row: &HoldRow) -> Markup {
    let bad = (row.is == HoldIs::Reopened).then_some("bad");
    html! {
        a class="row" href=(row.href) {
            span {
                b { (row.name) }
                " " span class={ "st " (bad.unwrap_or("")) } { (sign(row.is.sign())) (row.is.word()) }
                @if !row.said.is_empty() { span class="s" { (row.said) } }
                @for one in &row.skipped { span class="s" { s { (one) } } }
            }
        }
    }
}
