//! The buy list of a week: tick off what was bought as listed, and close the receipt; the way to the yard; print.

use maud::{Markup, html};
use scantling_takeoff::units::TaxRate;

use crate::layout::{Page, Shell, page as shell};
use crate::parts::buy_row::{BuyRow, buy_row};
use crate::parts::photo::{PhotoForm, photo_button};
use crate::parts::rows::{Tab, tabs};
use crate::parts::verdict::{Grave, Verdict, verdict};
use crate::parts::waiting::waiting as waiting_here;

/// What the page shows.
#[derive(Clone, Debug)]
pub struct View<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// Every week, the chosen one current, and two together.
    pub weeks: Vec<Tab>,
    /// Lines still to buy.
    pub to_buy: Vec<BuyRow>,
    /// Lines bought, or served from on hand.
    pub settled: Vec<BuyRow>,
    /// Pieces that nothing known holds, a sentence each: they are on no line.
    pub unmet: Vec<String>,
    /// Needs that can't be listed yet: what waits, what it needs, where that is recorded.
    pub waits: Vec<(String, String, String)>,
    /// The total in words: `$385.53 with tax, without 1 unpriced line`.
    pub total: String,
    /// What this phone's own sum starts from.
    pub till: Till,
    /// This phone's open slips, the one at the till first.
    pub slips: Vec<Slip>,
    /// Yards that this phone has no slip of here.
    pub begins: Vec<Begun>,
    /// Open slips of other phones: where each is, whose yard's, who holds it. They are not added up.
    pub elsewhere: Vec<(String, String, String)>,
    /// Why a tick was refused; empty where none was.
    pub refused: String,
    /// CSV, text, print.
    pub yard: [String; 3],
    /// The page of yard orders, with the weeks.
    pub order: String,
    /// The page that joins weeks into one trip.
    pub trip: String,
    /// The CSV of each supplier, where there are several: where it is, whose.
    pub yards: Vec<(String, String)>,
    /// What is to be said under them.
    pub said: String,
    /// Where the list as it was kept is, and its words; none where no list is kept.
    pub kept: Option<(String, String)>,
}

/// What the phone adds waiting bookings to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Till {
    /// What stands on this phone's open slips, in cents without tax.
    pub cents: i64,
    /// The job's tax.
    pub tax: Option<TaxRate>,
}

/// An open slip, with the form that closes it by its printed total.
#[derive(Clone, Debug)]
pub struct Slip {
    /// Whose it is: `North Yard`.
    pub supplier: String,
    /// What is ticked on it, with tax: `$234.74`.
    pub ticked: String,
    /// Where the form posts.
    pub action: String,
    /// Its hidden inputs.
    pub hidden: Vec<(String, String)>,
    /// What was typed, where it was refused.
    pub typed: String,
    /// Why it was refused.
    pub problem: Option<String>,
}

/// A slip that is not begun here: what was ticked away from the server may be on its way.
#[derive(Clone, Debug)]
pub struct Begun {
    /// Whose, and the form that closes it.
    pub slip: Slip,
    /// The photo of its paper.
    pub photo: PhotoForm,
}

/// Draws it.
pub fn page(view: &View<'_>) -> Page {
    let main = html! {
        div class="hd" { h1 { "Buy list" } p class="sub" { "A tick: bought as listed." } }
        (tabs("Work week", &view.weeks))
        @if !view.refused.is_empty() { p class="err" role="alert" { (view.refused) } }
        div class="two lean" {
            div {
                @if !view.unmet.is_empty() { (unmet(&view.unmet)) }
                h2 { "Still to buy" @if !view.settled.is_empty() { a href="#bought" { "Bought" } } span class="n" { (lines(view.to_buy.len())) } }
                @if view.to_buy.is_empty() { p class="small" { "Nothing left to buy for this." } }
                @else { ul class="rows" { @for row in &view.to_buy { (buy_row(row)) } } }
                @if !view.waits.is_empty() { (waits(view)) }
                (slips(view))
            }
            div {
                @if !view.settled.is_empty() {
                    h2 id="bought" { "Bought or on hand" span class="n" { (lines(view.settled.len())) } }
                    ul class="rows" { @for row in &view.settled { (buy_row(row)) } }
                }
                h2 id="yard" { "To the yard" }
                div class="acts" {
                    a class="btn" href=(view.order) { "Order" }
                    a class="btn" href=(view.yard[0]) { "CSV for the yard" }
                    @for (href, name) in &view.yards { a class="btn" href=(href) { "CSV for " (name) } }
                    a class="btn" href=(view.yard[1]) { "Text to paste" }
                    a class="btn" href=(view.yard[2]) { "Print" }
                    a class="btn" href=(view.trip) { "One trip for several weeks" }
                }
                @if !view.said.is_empty() { p class="small" { (view.said) } }
                @if let Some((href, words)) = &view.kept { div class="acts" { a class="btn" href=(href) { (words) } } }
            }
        }
    };
    let mut with_till = view.shell.clone();
    with_till.bar.class = "till";
    with_till.bar.more = Some(till(view));
    shell(&with_till, &main)
}

fn lines(n: usize) -> String {
    if n == 1 {
        "1 line".to_owned()
    } else {
        format!("{n} lines")
    }
}

/// Pieces on no line, said where the list starts.
fn unmet(all: &[String]) -> Markup {
    let word = match all.len() {
        1 => "1 piece is on no line".to_owned(),
        n => format!("{n} pieces are on no line"),
    };
    let text = html! { @for (at, piece) in all.iter().enumerate() { @if at > 0 { br; } (piece) } };
    verdict(&Verdict {
        grave: Grave::Look,
        word: &word,
        text,
    })
}

fn waits(view: &View<'_>) -> Markup {
    html! {
        (verdict(&Verdict { grave: Grave::Wait, word: "Not on this list yet", text: html! { "No length is guessed. The rest is counted." } }))
        ul class="rows" {
            @for (waits, needs, href) in &view.waits {
                li { a class="row" href=(href) { span { b { (waits) } span class="s" { "Needs: " (needs) } } } }
            }
        }
    }
}

/// The open slips of this phone but for the one at the till, each with its form; and who else has one open.
fn slips(view: &View<'_>) -> Markup {
    html! {
        @if let [_, others @ ..] = view.slips.as_slice() && !others.is_empty() {
            h2 id="slips" { "Also open on this phone" span class="n" { (others.len()) } }
            ul class="rows" {
                @for (at, slip) in others.iter().enumerate() {
                    @let id = format!("tot-{at}");
                    li {
                        p id={ (id) "-h" } { b { (slip.supplier) } " · ticked " (slip.ticked) }
                        (problem(slip, &id))
                        (receipt(slip, &id, "Total $", "Save"))
                    }
                }
            }
        }
        @if !view.begins.is_empty() {
            details class="more" open[view.begins.iter().any(|one| one.slip.problem.is_some())] {
                summary class="btn" { "Receipt of what was ticked away from the server" }
                ul class="rows" {
                    @for (at, one) in view.begins.iter().enumerate() {
                        @let id = format!("new-{at}");
                        li {
                            p id={ (id) "-h" } { b { (one.slip.supplier) } (problem(&one.slip, &id)) }
                            (receipt(&one.slip, &id, "Total $", "Save"))
                            (photo_button(&one.photo, "Photo of the paper", &one.slip.supplier))
                        }
                    }
                }
            }
            (waiting_here("receipt.edit photo.add"))
        }
        @if !view.elsewhere.is_empty() {
            p class="small" id="elsewhere" {
                "Also open, not added here: "
                @for (at, (href, supplier, holder)) in view.elsewhere.iter().enumerate() {
                    @if at > 0 { "; " }
                    a href=(href) { (supplier) } " (" (holder) ")"
                }
                "."
            }
        }
    }
}

fn problem(slip: &Slip, id: &str) -> Markup {
    html! { @if let Some(problem) = &slip.problem { span class="err" role="alert" id={ (id) "-e" } { " " (problem) } } }
}

fn receipt(slip: &Slip, id: &str, label: &str, save: &str) -> Markup {
    html! {
        form class="rec" method="post" action=(slip.action) data-kind="receipt.edit" {
            @for (name, value) in &slip.hidden { input type="hidden" name=(name) value=(value); }
            label for=(id) { (label) span class="vh" { ", " (slip.supplier) } }
            input id=(id) name="total" type="text" inputmode="decimal" autocomplete="off" size="5" value=(slip.typed) aria-describedby={ (id) "-h" @if slip.problem.is_some() { " " (id) "-e" } } aria-invalid=[slip.problem.as_ref().map(|_| "true")];
            button class="btn main" { (save) span class="vh" { ", " (slip.supplier) } }
        }
    }
}

fn till(view: &View<'_>) -> Markup {
    html! {
        @match view.slips.as_slice() {
            [] => p class="sum" { b { (view.total) } (waiting(view.till)) },
            [slip, others @ ..] => {
                p class="sum" {
                    b id="tot-h" { "Ticked " (slip.ticked) ", " (slip.supplier) }
                    @if !others.is_empty() { " · " a href="#slips" { (others.len()) " more open" } }
                    " · to buy " span class="small" { (view.total) }
                    (waiting(view.till))
                    (problem(slip, "tot"))
                }
                (receipt(slip, "tot", "Receipt total $", "Save receipt"))
            }
        }
    }
}

/// Where the phone writes what is ticked once what waits on it is added.
fn waiting(till: Till) -> Markup {
    html! { span data-till=(till.cents) data-tax=(till.tax.map_or(0, |tax| tax.0)) hidden {} }
}

/// What the print page shows.
#[derive(Clone, Debug)]
pub struct PrintView<'a> {
    /// Its shell.
    pub shell: Shell<'a>,
    /// `Work week 3`.
    pub weeks: String,
    /// Section by section: its name, its lines.
    pub sections: Vec<(String, Vec<PrintLine>)>,
    /// The total in words.
    pub total: String,
    /// The way back.
    pub back: String,
}

/// A line on paper.
#[derive(Clone, Debug)]
pub struct PrintLine {
    /// How many, with the unit.
    pub count: String,
    /// The item.
    pub item: String,
    /// Unit price.
    pub price: String,
    /// Extension.
    pub extension: String,
}

/// Draws the print page.
pub fn print_page(view: &PrintView<'_>) -> Page {
    let main = html! {
        a class="up" href=(view.back) { "Buy list" }
        h1 { "Buy list" }
        p class="sub" { (view.weeks) }
        p { button class="btn" data-print="1" hidden { "Print" } }
        @for (section, lines) in &view.sections {
            h2 { (section) span class="n" { (lines.len()) } }
            div class="wide" tabindex="0" role="region" aria-label=(section) {
                table {
                    thead { tr { th { "How many" } th { "Item" } th class="r" { "Each" } th class="r" { "In all" } } }
                    tbody { @for line in lines { tr { td { (line.count) } td { (line.item) } td class="r" { (line.price) } td class="r" { (line.extension) } } } }
                }
            }
        }
        p { b { (view.total) } }
        p class="small" { "Lengths rest on readings taken on site. Hardware needs the fasteners of its maker’s sheet." }
    };
    shell(&view.shell, &main)
}
