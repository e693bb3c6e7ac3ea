//! Cautions: short, in place, one thought each. They defer to the engineer, the local code and the maker's sheet.
//!
//! Sources (of the rules behind them, the words are our own): OSHA 29 CFR 1926.850, EPA 40 CFR 745 Subpart E, EPA
//! guidance on asbestos, IRC R802.4.5, NIOSH lifting, makers' instructions by IRC R106.1.2.

use maud::{Markup, html};
use scantling_takeoff::record::Kind;

/// What a caution goes with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct With {
    /// The kind of change.
    pub kind: Kind,
    /// The year that the house was built, if it is known.
    pub year_built: Option<i64>,
}

/// The caution that goes with a kind of change, for a house of that year; nothing where there is none.
pub fn caution(with: With) -> Markup {
    let With { kind, year_built } = with;
    let (lead, text) = match kind {
        Kind::Shore => (
            "Shore before cutting.",
            "Every side where joists lose their support, on each storey, down to solid ground. Snug, not jacked (OSHA 1926.850).",
        ),
        Kind::TakeOut => (
            "It carries load until somebody has traced it above and below.",
            "Shut off and make safe what runs through it. The engineer and the permit come first (OSHA 1926.850; local code).",
        ),
        Kind::SetBeam => (
            "Weigh it before you lift it.",
            "About 51 lb is the most for one person at best (NIOSH). People enough, one calls the moves. The engineer’s section decides, not this list.",
        ),
        Kind::SetPost => (
            "The load goes all the way to the ground.",
            "Post, what it lands on, girder, pad: your engineer and your building department decide.",
        ),
        Kind::HangJoists => (
            "Hangers need their own fasteners.",
            "Every hole that the maker’s sheet asks for (IRC R106.1.2). No deck screws.",
        ),
        Kind::Struts => (
            "Roof struts carry the roof.",
            "Another path for their load first. Step on joists or planks only (IRC R802.4.5).",
        ),
        Kind::PatchFloor => (
            "Cover and fasten down every hole in a floor.",
            "Nothing is stored on a floor that is opened or shored (OSHA 1926.501, 1926.250).",
        ),
        Kind::Plate | Kind::Studs | Kind::Sister | Kind::Pack => (
            "Nobody stands under what is being cut.",
            "Your engineer and the local code decide, not this list.",
        ),
        _ => return html! {},
    };
    html! {
        p class="caut" { b { (lead) } " " (text) }
        @if let Some(year) = year_built { (old_house(kind, year)) }
    }
}

fn old_house(kind: Kind, year: i64) -> Markup {
    let opens = matches!(
        kind,
        Kind::TakeOut
            | Kind::Shore
            | Kind::HangJoists
            | Kind::Board
            | Kind::PatchFloor
            | Kind::Plate
            | Kind::Studs
    );
    html! {
        @if opens && year < 1978 {
            p class="caut" {
                b { "Built " (year) ": assume lead paint, and asbestos in old plaster, tile and fill." }
                " Have it looked at before it is disturbed (EPA, OSHA). Wet it, contain it."
            }
        }
        @if kind == Kind::Struts && year <= 1980 {
            p class="caut" {
                b { "Loose fill in the attic may be vermiculite: assume asbestos." }
                " Leave it and keep out until a result says otherwise (EPA)."
            }
        }
    }
}
