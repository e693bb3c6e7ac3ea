//! Cautions: short, in place, one thought each. They defer to the engineer, the local code and the maker's sheet.
//!
//! Sources (of the rules behind them, the words are our own): OSHA 29 CFR 1926.850, EPA 40 CFR 745 Subpart E, EPA
//! guidance on asbestos, IRC R802.4.5, R403 and R407, NIOSH lifting, makers' instructions by IRC R106.1.2. A year that isn't
//! recorded counts as old, as it does at the hold points.

use maud::{Markup, html};
use scantling_takeoff::checks::COMES_FIRST;
use scantling_takeoff::checks::hold_points::table::{ROWS, Row};
use scantling_takeoff::checks::hold_points::{Ask, Event};
use scantling_takeoff::record::Kind;

/// What a caution goes with.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct With {
    /// The kind of change.
    pub kind: Kind,
    /// The year that the house was built, if it is known.
    pub year_built: Option<i64>,
}

impl With {
    /// Whether no caution goes with it.
    pub fn is_quiet(self) -> bool {
        caution(self).0.is_empty()
    }
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
            "Post, what it lands on, girder, pad (IRC R407, R403): your engineer and your building department decide.",
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
            "Keep people out from below, one calls the moves (OSHA 1926.20). Your engineer decides, not this list.",
        ),
        Kind::Board => (
            "Two people to a sheet.",
            "About 51 lb is the most for one person at best (NIOSH). Leave connections open until they are looked at.",
        ),
        _ => return html! {},
    };
    html! {
        p class="caut" { b { (lead) } " " (text) " " @if asks_services(kind) { (SERVICES) " " } (COMES_FIRST) }
        (old_house(kind, year_built))
    }
}

/// Beside what breaks into old finish; of a wall that comes out its own words say it.
const SERVICES: &str = "Look for wires, pipes and ducts before you open it, and make them safe.";

/// Whether a hold point of this kind asks for services, as far as its own words don't.
fn asks_services(kind: Kind) -> bool {
    let asks =
        |row: &Row| row.asks.contains(&Ask::Services) || row.asks.contains(&Ask::ServicesSeen);
    kind != Kind::TakeOut
        && ROWS
            .iter()
            .any(|row| row.kinds.contains(&kind) && asks(row))
}

/// Whether a hold point of this kind stands before finish is broken.
fn breaks_finish(kind: Kind) -> bool {
    ROWS.iter()
        .any(|row| row.event == Event::BreakFinish && row.kinds.contains(&kind))
}

/// Lead paint before 1978 (40 CFR 745.83), asbestos to 1980 (OSHA 1926.1101, from memory).
fn old_house(kind: Kind, year: Option<i64>) -> Markup {
    let opens = breaks_finish(kind) || matches!(kind, Kind::Shore | Kind::Board | Kind::Sister);
    let built = match year {
        Some(year) => format!("Built {year}"),
        None => "Year built not recorded".to_owned(),
    };
    let (lead, asbestos) = (
        year.is_none_or(|year| year < 1978),
        year.is_none_or(|year| year <= 1980),
    );
    html! {
        @if opens && asbestos {
            p class="caut" {
                b { (built) ": assume " @if lead { "lead paint, and " } "asbestos in old plaster, tile and fill." }
                " Have it looked at before it is disturbed (EPA, OSHA). Wet it, contain it."
            }
        }
        @if kind == Kind::Struts && asbestos {
            p class="caut" {
                b { "Loose fill in the attic may be vermiculite: assume asbestos." }
                " Leave it and keep out until a result says otherwise (EPA)."
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn said(kind: Kind, year_built: Option<i64>) -> String {
        caution(With { kind, year_built }).into_string()
    }

    #[test]
    fn every_change_that_opens_a_house_says_once_what_comes_first_and_names_an_agency() {
        for kind in Kind::CHANGES {
            let all = said(kind, Some(1990));
            if kind == Kind::Sundry {
                assert_eq!(all, "");
                continue;
            }
            assert_eq!(all.matches(COMES_FIRST).count(), 1, "{kind}: {all}");
            let named = ["OSHA", "NIOSH", "IRC", "EPA"];
            assert!(named.iter().any(|agency| all.contains(agency)), "{all}");
            assert!(
                !all.contains("asbestos") && !all.contains("lead paint"),
                "{all}"
            );
        }
    }

    #[test]
    fn lead_and_asbestos_go_by_the_year_and_a_year_not_recorded_is_old() {
        // 1978 is the first year without lead paint, 1980 the last with asbestos presumed.
        for kind in [Kind::TakeOut, Kind::Board, Kind::Plate] {
            for (year, lead, asbestos) in [
                (Some(1977), true, true),
                (Some(1978), false, true),
                (Some(1980), false, true),
                (Some(1981), false, false),
                (None, true, true),
            ] {
                let all = said(kind, year);
                assert_eq!(all.contains("lead paint"), lead, "{year:?}: {all}");
                assert_eq!(all.contains("asbestos"), asbestos, "{year:?}: {all}");
            }
        }
        assert!(said(Kind::Struts, None).contains("vermiculite"));
    }

    #[test]
    fn what_hold_points_ask_before_finish_is_broken_is_cautioned_of_too() {
        // The rows of the table, said again by hand; a sister and a shore open old finish where they cut or stand.
        for kind in Kind::CHANGES.iter().copied() {
            let opens = matches!(
                kind,
                Kind::TakeOut
                    | Kind::Plate
                    | Kind::Studs
                    | Kind::HangJoists
                    | Kind::SetPost
                    | Kind::PatchFloor
            );
            let all = said(kind, None);
            let safe = all.contains("make safe") || all.contains("make them safe");
            assert_eq!(safe, opens, "{kind}: {all}");
            let old = opens || matches!(kind, Kind::Shore | Kind::Board | Kind::Sister);
            assert_eq!(all.contains("assume lead paint"), old, "{kind}: {all}");
        }
    }
}
