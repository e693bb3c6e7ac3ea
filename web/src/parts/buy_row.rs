//! A line of the buy list: a tick for "bought as listed", the item, its price, and why this many.

use maud::{Markup, html};
use scantling_takeoff::needs::Sum;

use super::calc::calc;
use super::sign::{Sign, sign};
use super::waiting::waiting;

/// A line.
#[derive(Clone, Debug)]
pub struct BuyRow {
    /// Its anchor.
    pub id: String,
    /// The item in yard words.
    pub item: String,
    /// `5 sticks at $7.98`.
    pub how_many: String,
    /// The extension, or `no price`.
    pub price: String,
    /// The question that opens it: `Why 5?`.
    pub why: String,
    /// The arithmetic.
    pub sums: Vec<Sum>,
    /// The changes that want it: where to, name.
    pub changes: Vec<(String, String)>,
    /// Its page: each figure in full; swap and return. Empty where there is none.
    pub more: String,
    /// The tick's form: where it posts and its hidden inputs, among them `cents`: what it adds to the slip, without tax;
    /// none where it can't be booked.
    pub tick: Option<(String, Vec<(String, String)>)>,
    /// Where its bookings are seen, if they are all on receipts that were saved: the list takes those back no more.
    pub on_saved: String,
    /// Whether it is bought already.
    pub bought: Bought,
    /// What is needed, on hand, bought: shares of the bar in percent.
    pub bar: Option<Bar>,
    /// `Need 4 · on hand 2`.
    pub counts: String,
    /// `buy 2`.
    pub to_buy: String,
    /// Something to be said: bought twice, 2 missing, order by.
    pub said: String,
    /// Something wrong.
    pub wrong: String,
}

/// Whether a line is bought.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Bought {
    /// It is.
    Yes,
    /// Not yet.
    No,
}

/// The bar of needed, on hand and bought, in percent of needed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bar {
    /// On hand.
    pub hand: u8,
    /// Bought.
    pub got: u8,
}

/// Draws it, with its list item.
pub fn buy_row(row: &BuyRow) -> Markup {
    html! {
        li id=(row.id) {
            div class="buy" {
                (tick(row))
                details {
                    summary {
                        b { (row.item) }
                        b class="r" { (row.price) }
                        span class="s" { (row.how_many) }
                        span class="s r" { u { (row.why) } }
                    }
                    (calc(&row.sums))
                    @if !row.changes.is_empty() {
                        p class="small" { "For " @for (at, (href, name)) in row.changes.iter().enumerate() { @if at > 0 { " · " } a href=(href) { (name) } } }
                    }
                }
            }
            @if !row.more.is_empty() { a class="more" href=(row.more) aria-label={ "Swap, return, or where it comes from: " (row.item) } { "Swap, return …" } }
            @if let Some(share) = row.bar { (bar(share)) }
            @if !row.counts.is_empty() { p class="small last" { span { (row.counts) } b class="c" { (row.to_buy) } } }
            @if !row.said.is_empty() { p class="small" { (row.said) } }
            @if !row.wrong.is_empty() { p class="small bad" { (row.wrong) } }
            @if row.tick.is_some() { (waiting("bought")) }
        }
    }
}

fn tick(row: &BuyRow) -> Markup {
    let pressed = match row.bought {
        Bought::Yes => "true",
        Bought::No => "false",
    };
    html! {
        @if let Some((action, hidden)) = &row.tick {
            form method="post" action=(action) data-kind=(if action.ends_with("/reverse") { "bought.reverse" } else { "bought.add" }) {
                @for (name, value) in hidden { input type="hidden" name=(name) value=(value); }
                button class="tick" aria-pressed=(pressed) aria-label={ (match row.bought { Bought::Yes => "Take back the booking: ", Bought::No => "Bought as listed: " }) (row.item) ", " (row.how_many) } { (sign(Sign::Tick)) }
            }
        } @else if !row.on_saved.is_empty() {
            a class="tick got" href=(row.on_saved) aria-label={ "Bought, on a saved receipt: " (row.item) } { (sign(Sign::Tick)) }
        } @else { span {} }
    }
}

fn bar(share: Bar) -> Markup {
    let todo = 100_u8.saturating_sub(share.hand).saturating_sub(share.got);
    html! {
        svg class="bars" viewBox="0 0 100 16" preserveAspectRatio="none" aria-hidden="true" {
            path d="M0 0V16M100 0V16" {}
            @if share.hand > 0 { rect class="hand" x="0" y="4" width=(share.hand) height="9" {} }
            @if share.got > 0 { rect class="got" x=(share.hand) y="4" width=(share.got) height="9" {} }
            @if todo > 0 { rect class="todo" x=(share.hand + share.got) y="4" width=(todo) height="9" {} }
        }
    }
}
