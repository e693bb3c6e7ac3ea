//! Crew and phones: who may do what, which phones are theirs, letting one in and shutting one out.

use maud::{Markup, html};

use crate::drawing::qr::Qr;
use crate::layout::{Note, Page, Shell, page as shell};
use crate::parts::form::{Form, form};

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Those whom this person may see.
    pub people: Vec<Person<'a>>,
    /// A code that was just made.
    pub code: Option<Code<'a>>,
    /// The form that lets a phone in; the lead's.
    pub let_in: Option<Form<'a>>,
    /// Whether wrong codes have shut signing in: the lead's form that opens it.
    pub open: Option<Form<'a>>,
    /// The form that shuts out every phone but this one.
    pub shut_others: Option<Form<'a>>,
    /// The form that signs this phone out.
    pub sign_out: Form<'a>,
    /// A banner.
    pub note: Option<Note>,
}

/// Somebody, and their phones.
#[derive(Clone, Debug)]
pub struct Person<'a> {
    /// Their name.
    pub name: String,
    /// What they may, in words.
    pub may: &'static str,
    /// Their phones, those that are in first.
    pub phones: Vec<Phone<'a>>,
    /// The form that changes name and role; the lead's.
    pub edit: Option<Form<'a>>,
}

/// A phone.
#[derive(Clone, Debug)]
pub struct Phone<'a> {
    /// Its name.
    pub name: String,
    /// When last seen, what waits on it, or since when it is shut out.
    pub says: String,
    /// Whether it is the one that looks at this page.
    pub is_this: bool,
    /// The form that gives it another name.
    pub rename: Option<Form<'a>>,
    /// The form that shuts it out.
    pub shut_out: Option<Form<'a>>,
}

/// A code that lets one phone in.
#[derive(Clone, Debug)]
pub struct Code<'a> {
    /// Its eight digits.
    pub digits: String,
    /// For whom.
    pub who: String,
    /// The link that carries it, and its QR code.
    pub link: (String, Qr<'a>),
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        h1 { "Crew and phones" }
        @if let Some(code) = &view.code { (fresh(code)) }
        @if let Some(open) = &view.open {
            p class="err" role="alert" { "Too many wrong codes came: signing in is shut." }
            (form(open))
        }
        @for person in &view.people { (one(person)) }
        @if let Some(let_in) = &view.let_in {
            h2 id="let-in" { "Let a phone in" }
            p class="sub" { "Makes a code for one phone, good for ten minutes. A phone is set up first: " a href="/setup" { "Set up a phone" } "." }
            (form(let_in))
        }
        div class="acts" { a class="btn" href="/import" { "Take in entries from a file" } }
        h2 { "This phone" }
        (form(&view.sign_out))
        @if let Some(shut) = &view.shut_others { (form(shut)) }
    };
    shell(
        &Shell {
            note: view.note.clone(),
            ..Shell::plain("Crew and phones")
        },
        &main,
    )
}

fn fresh(code: &Code<'_>) -> Markup {
    html! {
        section class="sheet next" id="code" {
            h2 { "For " (code.who) }
            p class="digits" { (code.digits) }
            p { "On that phone: open the page to sign in and type these digits, or point its camera here. Good once, for ten minutes." }
            figure class="code" { (code.link.1.draw()) figcaption { (code.link.0) } }
            p class="small" { "On an iPhone, type the digits in the app on the home screen: the camera opens Safari, which keeps a memory of its own." }
        }
    }
}

fn one(person: &Person<'_>) -> Markup {
    html! {
        h2 { (person.name) }
        p class="sub" { (person.may) }
        @if person.phones.is_empty() { p class="sub" { "No phone yet." } }
        @else {
            ul class="rows" {
                @for phone in &person.phones {
                    li {
                        h3 { (phone.name) @if phone.is_this { " (this one)" } }
                        p class="small" { (phone.says) }
                        @if phone.rename.is_some() || phone.shut_out.is_some() {
                            details class="more" {
                                summary class="btn" { "Change" span class="vh" { " " (phone.name) } }
                                @if let Some(rename) = &phone.rename { (form(rename)) }
                                @if let Some(shut) = &phone.shut_out { (form(shut)) }
                            }
                        }
                    }
                }
            }
        }
        @if let Some(edit) = &person.edit {
            details class="more" {
                summary class="btn" { "Change name or role" span class="vh" { " of " (person.name) } }
                (form(edit))
            }
        }
    }
}
