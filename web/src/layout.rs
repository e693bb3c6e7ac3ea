//! The one shell of every page: title block, tape, page, bar, index.

use maud::{DOCTYPE, Markup, html};
use scantling_takeoff::units::Units;

use crate::assets;
use crate::parts::{pad, waiting};

/// A whole page, ready to send.
#[derive(Clone, Debug)]
pub struct Page(pub String);

/// What surrounds a page's own part.
#[derive(Clone, Debug)]
pub struct Shell<'a> {
    /// The page's name, for the browser's tab.
    pub title: &'a str,
    /// The job that it belongs to, if any.
    pub job: Option<JobHead<'a>>,
    /// A sentence under the tape: what was saved, what is wrong.
    pub note: Option<Note>,
    /// The next step of the weekly round from here: where to, its words.
    pub after: Option<(String, String)>,
    /// The bar at the bottom.
    pub bar: Bar,
    /// The index's entries.
    pub index: Vec<IndexGroup>,
}

impl<'a> Shell<'a> {
    /// The shell of a page that belongs to no job.
    pub fn plain(title: &'a str) -> Self {
        Self {
            title,
            job: None,
            note: None,
            after: None,
            bar: Bar::default(),
            index: Vec::new(),
        }
    }
}

/// The job in the title block.
#[derive(Clone, Debug)]
pub struct JobHead<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its page, this week.
    pub href: String,
    /// `Week 3 of 4`.
    pub week: String,
    /// What a bare number means in its lengths, for the page's script.
    pub units: Units,
}

/// A banner.
#[derive(Clone, Debug)]
pub struct Note {
    /// Whether it is about something wrong.
    pub bad: Wrong,
    /// What is so, in bold.
    pub lead: String,
    /// The rest.
    pub text: String,
}

/// Whether a banner is about something wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Wrong {
    /// All is well.
    No,
    /// Something is wrong.
    Yes,
}

/// The bar at the bottom.
#[derive(Clone, Debug, Default)]
pub struct Bar {
    /// Its class: `hops` on this week, `till` on the buy list, `form` where it leads to a field.
    pub class: &'static str,
    /// Links beside "Index".
    pub links: Vec<BarLink>,
    /// More in it, as the buy list's receipt.
    pub more: Option<Markup>,
}

/// A link in the bar.
#[derive(Clone, Debug)]
pub struct BarLink {
    /// Where to.
    pub href: String,
    /// Its words.
    pub text: String,
    /// Whether it is the page's main action.
    pub main: Main,
}

/// Whether a button is the page's main action.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Main {
    /// The one blue button.
    Yes,
    /// A plain one.
    No,
}

/// A group of the index.
#[derive(Clone, Debug)]
pub struct IndexGroup {
    /// Its name.
    pub name: &'static str,
    /// Its links.
    pub links: Vec<IndexLink>,
}

/// A link of the index, with one fact.
#[derive(Clone, Debug)]
pub struct IndexLink {
    /// Where to.
    pub href: String,
    /// Its name.
    pub name: &'static str,
    /// One fact.
    pub fact: String,
    /// Whether it is this page.
    pub here: Here,
}

/// Whether a link leads to the page that it is on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Here {
    /// This page.
    Yes,
    /// Another.
    No,
}

/// A page that stands alone, without the way to others and without the outbox: what comes before any of them is reached.
pub fn alone(title: &str, main: &Markup) -> Page {
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            (head(&format!("{title} · Scantling"), None))
            body {
                header class="title" { p { b { "Scantling" } span { (title) } } }
                div class="tape" aria-hidden="true" {}
                main id="main" { (main) }
            }
        }
    };
    Page(markup.into_string())
}

fn head(title: &str, script: Option<&str>) -> Markup {
    html! {
        head {
            meta charset="utf-8";
            meta name="viewport" content="width=device-width,initial-scale=1,viewport-fit=cover";
            title { (title) }
            link rel="stylesheet" href=(assets::url("style.css"));
            link rel="icon" href=(assets::url("icon.svg")) type="image/svg+xml";
            link rel="apple-touch-icon" href=(assets::url("icon-192.png"));
            @if let Some(script) = script {
                link rel="manifest" href="/manifest.webmanifest";
                script type="module" src=(assets::url(script)) {}
            }
            meta name="theme-color" content="#fdfcf9";
        }
    }
}

/// Puts a page's own part into the shell.
pub fn page(shell: &Shell<'_>, main: &Markup) -> Page {
    let title = match &shell.job {
        Some(job) => format!("{} · {}", shell.title, job.name),
        None => format!("{} · Scantling", shell.title),
    };
    let markup = html! {
        (DOCTYPE)
        html lang="en" {
            (head(&title, Some("app.js")))
            body data-units=[shell.job.as_ref().filter(|job| job.units == Units::Metric).map(|_| "metric")] {
                a class="skip" href="#main" { "Skip to the page" }
                header class="title" {
                    @match &shell.job {
                        Some(job) => a href=(job.href) { b { (job.name) } span { (job.week) } },
                        None => a href="/" { b { "Scantling" } span { "Jobs" } },
                    }
                    a href="/outbox" data-outbox hidden { b {} span {} }
                    a href="/" { b { "Jobs" } }
                    a href="/help" { b { "Help" } }
                }
                div class="tape" aria-hidden="true" {}
                div class="notes" {
                    (said())
                    @if let Some(note) = &shell.note { (banner(note)) }
                }
                main id="main" {
                    (main)
                    @if shell.job.is_some() { (waiting::others()) }
                    @if let Some((href, words)) = &shell.after { p class="small nx" { "Next in the round: " a href=(href) { (words) } } }
                }
                (bar(&shell.bar, &shell.index))
                @if !shell.index.is_empty() { (index(&shell.index)) }
                (waiting::template())
                @if shell.job.is_some() { (pad::pad()) }
            }
        }
    };
    Page(markup.into_string())
}

/// Lines that the page's script fills: what became of an entry, whether the server is in reach; and what went wrong.
fn said() -> Markup {
    html! {
        @for role in ["status", "alert"] { div class="say" role=(role) hidden {} }
    }
}

fn banner(note: &Note) -> Markup {
    let (class, role) = match note.bad {
        Wrong::Yes => ("note bad", "alert"),
        Wrong::No => ("note", "status"),
    };
    html! { div class=(class) role=(role) { span { b { (note.lead) } " " (note.text) } } }
}

fn bar(bar: &Bar, index: &[IndexGroup]) -> Markup {
    if index.is_empty() && bar.links.is_empty() && bar.more.is_none() {
        return html! {};
    }
    html! {
        section class={ "bar " (bar.class) } aria-label="To do here" {
            @if bar.more.is_some() { (bar.more.clone().unwrap_or_default()) }
            @if !index.is_empty() { a class="btn pg" href="#index" { "Index" } }
            @for link in &bar.links {
                a class=[Some(match link.main { Main::Yes => "btn main", Main::No => "btn" })] href=(link.href) { (link.text) }
            }
        }
    }
}

fn index(groups: &[IndexGroup]) -> Markup {
    html! {
        nav id="index" aria-label="Index" {
            h2 { "Index" }
            @for group in groups {
                h3 { (group.name) }
                ul {
                    @for link in &group.links {
                        li { (index_link(link)) }
                    }
                }
            }
        }
    }
}

fn index_link(link: &IndexLink) -> Markup {
    let current = (link.here == Here::Yes).then_some("page");
    html! { a href=(link.href) aria-current=[current] { (link.name) span { (link.fact) } } }
}
