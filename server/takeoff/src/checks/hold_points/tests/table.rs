//! The table itself: its words are those of the registry, and no rule waits for itself.

use std::collections::{BTreeMap, BTreeSet};

use crate::checks::hold_points::table::ROWS;
use crate::checks::hold_points::{About, Ask, CanSkip, Event, Move, Sort};
use crate::record::Kind;
use crate::record::choices::{HOLD_EVENT, WORD_ABOUT, WORD_SAYS};

#[test]
fn events_and_words_are_those_that_the_registry_stores() {
    let stored: Vec<&str> = HOLD_EVENT.iter().map(|(word, _)| *word).collect();
    let ours: Vec<&str> = Event::ALL.iter().map(|event| event.name()).collect();
    assert_eq!(stored, ours);
    for (word, _) in WORD_ABOUT {
        let about = About::named(word).unwrap_or_else(|| panic!("{word} is about nothing"));
        for says in about.may_say() {
            assert!(WORD_SAYS.iter().any(|(word, _)| word == says), "{says}");
        }
    }
}

/// checks.md §2: services, shoring and hangers can't be skipped; what is ticked isn't skipped but looked at.
#[test]
fn services_shoring_and_hangers_are_never_skipped() {
    for ask in [
        Ask::Services,
        Ask::ServicesSeen,
        Ask::Shoring,
        Ask::ShoringSeen,
        Ask::CarriesShore,
        Ask::Hangers,
        Ask::HangersSeen,
    ] {
        assert_eq!(ask.skip(), CanSkip::Never, "{ask:?}");
    }
    for ask in Ask::ALL.iter().filter(|ask| ask.sort() == Sort::Seen) {
        assert_eq!(ask.skip(), CanSkip::Never, "{ask:?}");
    }
}

#[test]
fn every_row_asks_for_something_once_and_only_changes_have_rows() {
    for row in ROWS {
        let each: BTreeSet<Ask> = row.asks.iter().copied().collect();
        assert_eq!(each.len(), row.asks.len(), "{:?}", row.event);
        assert!(!row.asks.is_empty() && !row.source.is_empty());
        assert!(row.kinds.iter().all(|kind| kind.is_change()));
    }
}

/// What must have happened before something that is asked for stands.
///
/// A floor that is open under a shore that starts is no edge: it can be put back to planned, too.
fn waits_for(ask: Ask) -> &'static [(Kind, Move)] {
    match ask {
        Ask::Shoring => &[(Kind::Shore, Move::Done)],
        Ask::Carried => &[(Kind::Struts, Move::UnderWay)],
        Ask::BeamBears => &[(Kind::SetBeam, Move::Done), (Kind::SetPost, Move::Done)],
        Ask::Posts => &[(Kind::SetPost, Move::Done)],
        Ask::Packing => &[(Kind::Pack, Move::Done)],
        Ask::Hangers => &[(Kind::HangJoists, Move::Done)],
        Ask::StrutsBack => &[(Kind::Struts, Move::Done)],
        Ask::NothingLeans => &[
            (Kind::TakeOut, Move::Done),
            (Kind::Plate, Move::Done),
            (Kind::Studs, Move::Done),
            (Kind::Sister, Move::Done),
            (Kind::HangJoists, Move::Done),
        ],
        Ask::UnderShore | Ask::HeightsAfter => &[(Kind::Shore, Move::Struck)],
        _ => &[],
    }
}

#[test]
fn no_rule_waits_for_itself() {
    let mut before: BTreeMap<(Kind, Move), BTreeSet<(Kind, Move)>> = BTreeMap::new();
    for kind in Kind::CHANGES {
        before.entry((kind, Move::UnderWay)).or_default();
        before
            .entry((kind, Move::Done))
            .or_default()
            .insert((kind, Move::UnderWay));
        before
            .entry((kind, Move::Struck))
            .or_default()
            .insert((kind, Move::Done));
    }
    for row in ROWS {
        // What is looked at each time stands before the last cut, too.
        let to = match row.before {
            Move::EachTime => Move::Done,
            before => before,
        };
        for kind in row.kinds {
            let all = before.entry((*kind, to)).or_default();
            all.extend(row.asks.iter().flat_map(|ask| waits_for(*ask)));
        }
    }
    // Takes away what waits for nothing, again and again: a cycle stays.
    while let Some(free) = before
        .iter()
        .find(|(_, waits)| waits.is_empty())
        .map(|(step, _)| *step)
    {
        before.remove(&free);
        for waits in before.values_mut() {
            waits.remove(&free);
        }
    }
    assert_eq!(before, BTreeMap::new(), "these wait for each other");
}
