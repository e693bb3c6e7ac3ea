//! Ruled rows: a name left, a value right; a row that leads on has its name underlined.

use maud::{Markup, html};

use super::sign::{state_stick, state_word};

/// A row that leads on.
#[derive(Clone, Debug, Default)]
pub struct Row {
    /// Where to; empty for a row that leads nowhere.
    pub href: String,
    /// Its name.
    pub name: String,
    /// Its second line.
    pub second: String,
    /// A second line about something wrong.
    pub wrong: String,
    /// The value at the right.
    pub value: String,
    /// The thing's id, for scripts.
    pub id: String,
    /// Whether it counts no more: its name and value are struck.
    pub struck: bool,
}

/// Draws rows; `empty` is said where there are none.
pub fn rows(all: &[Row], empty: &str) -> Markup {
    html! {
        @if all.is_empty() { p class="small" { (empty) } }
        @else { ul class="rows" { @for row in all { li data-entity-id=[(!row.id.is_empty()).then_some(&row.id)] { (one_row(row)) } } } }
    }
}

/// Draws one row, without its list item.
pub fn one_row(row: &Row) -> Markup {
    html! {
        @if row.href.is_empty() { div class="row" { (inside(row)) } }
        @else { a class="row" href=(row.href) { (inside(row)) } }
    }
}

/// The same on a page with something typed on it: each opens in a tab beside it, which the page says in words.
pub fn rows_beside(all: &[Row], empty: &str) -> Markup {
    html! {
        @if all.is_empty() { p class="small" { (empty) } }
        @else { ul class="rows" { @for row in all { li { a class="row" href=(row.href) target="_blank" { (inside(row)) } } } } }
    }
}

fn inside(row: &Row) -> Markup {
    html! {
        span {
            b { @if row.struck { s { (row.name) } } @else { (row.name) } }
            @if !row.second.is_empty() { span class="s" { (row.second) } }
            @if !row.wrong.is_empty() { span class="s bad" { (row.wrong) } }
        }
        @if !row.value.is_empty() { span class="val" { @if row.struck { s { (row.value) } } @else { (row.value) } } }
    }
}

/// A change in a list, with its state as a stick and a word.
#[derive(Clone, Debug)]
pub struct ChangeRow {
    /// Its page.
    pub href: String,
    /// Its name.
    pub name: String,
    /// Its state, as stored.
    pub state: String,
    /// What is said of it after its state.
    pub said: String,
}

/// Draws it, without its list item.
pub fn change_row(row: &ChangeRow) -> Markup {
    html! {
        a class="row ic" href=(row.href) {
            (state_stick(&row.state))
            span { b { (row.name) } span class="s" { (state_word(&row.state)) ". " (row.said) } }
        }
    }
}

/// Links over the weeks, one of them current.
#[derive(Clone, Debug)]
pub struct Tab {
    /// Where to.
    pub href: String,
    /// Its words.
    pub text: String,
    /// Whether it is the current one.
    pub here: crate::layout::Here,
}

/// Draws them.
pub fn tabs(label: &str, all: &[Tab]) -> Markup {
    html! {
        @if !all.is_empty() {
            ul class="weeks" aria-label=(label) {
                @for tab in all {
                    li { a href=(tab.href) aria-current=[(tab.here == crate::layout::Here::Yes).then_some("true")] { (tab.text) } }
                }
            }
        }
    }
}
