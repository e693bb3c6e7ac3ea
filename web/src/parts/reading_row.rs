//! A row of a thing's readings: what, the length that counts, its state in words and sign.

use maud::{Markup, html};
use scantling_takeoff::record::{Agreement, Measured};
use scantling_takeoff::units::Units;

use super::sign::{Sign, sign};

/// A row.
#[derive(Clone, Debug)]
pub struct ReadingRow<'a> {
    /// What and where.
    pub what: String,
    /// What counts.
    pub measured: &'a Measured,
    /// The readings as shown, oldest first: `105 3/8 Ann, Sep 9`.
    pub taken: Vec<String>,
    /// Where a press on Measure leads.
    pub measure: String,
    /// Units of the job.
    pub units: Units,
}

/// Draws it.
pub fn reading_row(row: &ReadingRow<'_>) -> Markup {
    let (mark, word) = match row.measured.state {
        Agreement::Agreed => (Sign::Tick, "Agreed"),
        Agreement::Single => (Sign::Single, "Read once: measure again"),
        Agreement::Disputed => (Sign::Again, "Differ: measure again"),
    };
    let bad = (row.measured.state == Agreement::Disputed).then_some("bad");
    html! {
        li {
            div class="row rd" {
                b { (row.what) }
                span class={ "val " (bad.unwrap_or("")) } { (row.measured.value.feet_inches()) }
                span class="s" {
                    (row.measured.value.echo(row.units))
                    span class="s" { (row.taken.join(" · ")) }
                    span class={ "st " (bad.unwrap_or("")) } { (sign(mark)) (word) }
                }
                a class="btn" href=(row.measure) aria-label={ "Measure: " (row.what) } { "Measure" }
            }
        }
    }
}
