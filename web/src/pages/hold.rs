//! One hold point: what must stand, what helps where it doesn't, and the forms of who releases.

use maud::{Markup, html};

use crate::layout::{Page, Shell, page as shell};
use crate::parts::caution::{With, caution};
use crate::parts::form::{Form, form};
use crate::parts::hold::HoldIs;
use crate::parts::photo::{PhotoForm, photo_button};
use crate::parts::sign::{Sign, sign};
use crate::parts::verdict::{Grave, Verdict, verdict};
use crate::parts::waiting::waiting_sign_offs;

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// The way back: where to, its words.
    pub up: (String, String),
    /// `Take out the wall, work week 2.`
    pub sub: String,
    /// How it stands.
    pub is: HoldIs,
    /// What that means, in a sentence.
    pub said: String,
    /// The caution that goes with the change.
    pub caution: With,
    /// What must stand.
    pub conditions: Vec<ConditionRow>,
    /// Adds a photo of the change; none for who may not.
    pub photo: Option<PhotoForm>,
    /// The release; none for who may not, or where nothing is to be released.
    pub release: Option<ReleaseForm>,
    /// Writes the event down; none for who may not.
    pub event: Option<(String, String)>,
    /// Takes the release back.
    pub undo: Option<Form<'a>>,
    /// Where the rule is from.
    pub source: &'static str,
}

/// A condition.
#[derive(Clone, Debug)]
pub struct ConditionRow {
    /// `Permit`.
    pub title: &'static str,
    /// How it stands.
    pub is: ConditionIs,
    /// Why.
    pub why: String,
    /// Where it is put right: where to, the words.
    pub fix: Option<(String, String)>,
    /// Where the lead skips it.
    pub skip: Option<String>,
    /// Takes a skip back: where the skip is.
    pub unskip: Option<String>,
}

/// How a condition stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ConditionIs {
    /// It stands.
    Stands,
    /// It doesn't.
    Lacks,
    /// To be looked at and ticked.
    ToBeSeen,
    /// Skipped with a reason.
    Skipped,
}

/// The form that releases.
#[derive(Clone, Debug)]
pub struct ReleaseForm {
    /// Where it posts.
    pub action: String,
    /// Hidden inputs: ids, the event, the revision of each condition.
    pub hidden: Vec<(String, String)>,
    /// Ticks: stored word, words, whether it was ticked when the form comes back.
    pub ticks: Vec<(&'static str, String, bool)>,
    /// The change's photos: stored, shown.
    pub photos: Vec<(String, String)>,
    /// The note as it was typed.
    pub note: String,
    /// What is wrong.
    pub problems: Vec<String>,
    /// What its button says; none where it is held and can't be released.
    pub save: Option<String>,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let (grave, word) = match view.is {
        HoldIs::Held => (Grave::Stop, "Not yet"),
        HoldIs::Ready => (Grave::Look, "Not signed off yet"),
        HoldIs::Released => (Grave::Pass, "Signed off"),
        HoldIs::Reopened => (Grave::Stop, "Reopened: stop"),
        HoldIs::Past => (Grave::Pass, "Behind us"),
    };
    let main = html! {
        a class="up" href=(view.up.0) { (view.up.1) }
        h1 { (view.shell.title) }
        p class="sub" { (view.sub) }
        (verdict(&Verdict { grave, word, text: html! { (view.said) } }))
        (waiting_sign_offs())
        h2 { "What must stand" span class="n" { (view.conditions.len()) } }
        ul class="rows" { @for row in &view.conditions { li { (condition(row)) } } }
        p class="small" { "Source: " (view.source) "." }
        (caution(view.caution))
        p class="caut" { "A sign-off here approves nothing." }
        @if let Some(photo) = &view.photo { h2 { "Photo" } (photo_button(photo, "Photo", "")) }
        @if let Some(releasing) = &view.release { (release(releasing)) }
        @if view.event.is_some() || view.undo.is_some() {
            h2 { "Afterwards" }
            div class="acts" {
                @if let Some((href, words)) = &view.event { a class="btn" href=(href) { (words) } }
                @if let Some(undo) = &view.undo { details { summary class="btn" { "Take the sign-off back" } (form(undo)) } }
            }
        }
    };
    shell(&view.shell, &main)
}

fn condition(row: &ConditionRow) -> Markup {
    let (drawn, word) = match row.is {
        ConditionIs::Stands => (Sign::Pass, "Stands"),
        ConditionIs::Lacks => (Sign::Stop, "Not yet"),
        ConditionIs::ToBeSeen => (Sign::Look, "To be looked at"),
        ConditionIs::Skipped => (Sign::Single, "Skipped"),
    };
    let bad = (row.is == ConditionIs::Lacks).then_some("bad");
    html! {
        div class="row" {
            span {
                b { (row.title) }
                " " span class={ "st " (bad.unwrap_or("")) } { (sign(drawn)) (word) }
                @if !row.why.is_empty() { span class="s" { (row.why) } }
            }
        }
        @if row.fix.is_some() || row.skip.is_some() || row.unskip.is_some() {
            div class="acts" {
                @if let Some((href, words)) = &row.fix { a class="btn" href=(href) { (words) } }
                @if let Some(href) = &row.skip { a class="btn" href=(href) aria-label={ "Skip, with a reason: " (row.title) } { "Skip, with a reason" } }
                @if let Some(href) = &row.unskip { a class="btn" href=(href) aria-label={ "Look at the skip: " (row.title) } { "Look at the skip" } }
            }
        }
    }
}

fn release(view: &ReleaseForm) -> Markup {
    html! {
        h2 id="release" { "Sign off" }
        @for problem in &view.problems { p class="err" role="alert" { (problem) } }
        @if let Some(save) = &view.save {
            form method="post" action=(view.action) data-kind="hold.release" id="hold" {
                @for (name, value) in &view.hidden { input type="hidden" name=(name) value=(value); }
                @if !view.ticks.is_empty() {
                    fieldset class="seen" {
                        legend { "Looked at today, by me" }
                        div class="pick" {
                            @for (stored, words, ticked) in &view.ticks {
                                label { input type="checkbox" name="seen" value=(stored) checked[*ticked]; span { (words) } }
                            }
                        }
                    }
                }
                @if !view.photos.is_empty() {
                    label for="hold-photo" { "Photo that goes with it" }
                    select id="hold-photo" name="photo" { option value="" { "" } @for (stored, shown) in &view.photos { option value=(stored) { (shown) } } }
                }
                label for="hold-note" { "Note" }
                textarea id="hold-note" name="note" rows="2" { (view.note) }
                div class="acts" { button class="btn main" { (save) } }
            }
        } @else { p class="held" { "It can be signed off once all of the above stands." } }
    }
}
