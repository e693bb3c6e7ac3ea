//! The cut list over random small jobs, and what is claimed of its cost.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::super::basis::Basis;
use super::super::cut_list::{CutStick, list_of};
use super::super::item::Item;
use super::super::least_cost::{Cheapness, LeastCost, least_costs};
use super::super::ledger::{Ledger, Place};
use super::super::plan::Plan;
use super::laws::cases;
use super::site::{Site, bare, book_of, lay, planned_change, site, stick};
use crate::units::{Length, Money};

/// Marks run from the zero end with trim and kerfs counted, and the last of them, its kerf and what is left make the stick.
fn marks_add_up(stick: &CutStick, kerf: Length) {
    let Item::Stick { length, .. } = &stick.item else {
        return;
    };
    let mut at = stick.trim;
    for piece in &stick.pieces {
        assert_eq!(piece.ends_at, at + piece.length, "{stick:?}");
        at = piece.ends_at + kerf;
    }
    if stick.left > Length::ZERO {
        assert_eq!(at + stick.left, *length, "{stick:?}");
    } else {
        assert!(at - kerf <= *length, "{stick:?}");
    }
}

/// Pieces of a sheet lie on it, none on another, and straight cuts free them.
fn lies_well(stick: &CutStick) {
    let Item::Panel { along, across, .. } = &stick.item else {
        return;
    };
    let places: Vec<Place> = stick
        .pieces
        .iter()
        .filter_map(|piece| piece.place)
        .collect();
    assert_eq!(places.len(), stick.pieces.len());
    for (at, place) in places.iter().enumerate() {
        assert!(place.x >= Length::ZERO && place.x + place.along <= *along);
        assert!(place.y >= Length::ZERO && place.y + place.across <= *across);
        for other in &places[..at] {
            assert!(
                place.x >= other.x + other.along
                    || other.x >= place.x + place.along
                    || place.y >= other.y + other.across
                    || other.y >= place.y + place.across,
                "{place:?} on {other:?}"
            );
        }
    }
    assert!(stick.sawing.is_some(), "{stick:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..cases() })]

    #[test]
    fn marks_add_up_and_the_patterns_hold_every_piece_once(site in site()) {
        let basis = site.basis();
        for week in basis.weeks() {
            let list = list_of(&basis, week);
            for stick in &list.sticks {
                marks_add_up(stick, site.settings.kerf);
                lies_well(stick);
            }
            let mut seen = BTreeSet::new();
            for pattern in list.patterns() {
                let each: usize = pattern.runs().iter().map(|run| run.marks.len()).sum();
                prop_assert_eq!(each, pattern.first().pieces.len());
                for piece in pattern.runs().iter().flat_map(|run| &run.pieces) {
                    prop_assert!(seen.insert(piece.key.clone()), "{:?} twice", piece.key);
                }
            }
            let wanted = basis.pieces().into_iter().filter(|(_, piece)| piece.week() == week);
            let wanted: BTreeSet<_> = wanted.map(|(key, _)| key).collect();
            let found = seen.intersection(&wanted).count();
            prop_assert_eq!(found + list.unmet.len(), wanted.len());
        }
    }

    /// Where nothing is on hand the plans of single weeks are one way of cutting for all weeks, so no bound is above them.
    #[test]
    fn no_bound_is_above_what_the_weeks_cost_apart(site in site()) {
        let site = Site { ledger: Ledger::default(), ..site };
        let basis = site.basis();
        let weeks = basis.weeks();
        let single = Plan::of(&basis, &[]);
        let apart: Vec<LeastCost> = weeks.iter().flat_map(|week| least_costs(&basis, &single, &[*week])).collect();
        for joined in least_costs(&basis, &Plan::of(&basis, &weeks), &weeks) {
            let own = || apart.iter().filter(|class| class.class == joined.class);
            prop_assert!(joined.least <= joined.cost);
            if joined.unpriced == 0 && own().all(|class| class.unpriced == 0) {
                let cost: Money = own().map(|class| class.cost).sum();
                prop_assert!(joined.least <= cost, "{:?} of {:?}", joined, own().collect::<Vec<_>>());
                prop_assert!(joined.open() > Money::ZERO || joined.cost <= cost, "{:?}", joined);
            }
        }
    }
}

fn of_week(site: &Site, week: u32) -> Vec<LeastCost> {
    let basis: Basis<'_> = site.basis();
    least_costs(&basis, &Plan::of(&basis, &[]), &[week])
}

#[test]
fn what_is_bought_for_waste_is_named_and_is_no_part_of_the_proof() {
    // Four of 90 in from 8 ft sticks at $4.00: 4 × 90 × 1.1 = 396 in, four sticks are 384 in: one more for waste.
    let site = bare(
        vec![planned_change(0, 1, &[(0, 4, 90, 0, 0)])],
        book_of(1, &[50; 10]),
    );
    let list = list_of(&site.basis(), 1);
    assert_eq!(list.sticks.len(), 4);
    let [spare] = list.spare.as_slice() else {
        panic!("{:?}", list.spare);
    };
    assert_eq!(
        (&spare.item, spare.here, spare.to_buy),
        (&stick("2x4", Length::feet(8)), 0, 1)
    );
    let all = Cheapness::of(&list.least);
    assert_eq!(
        (all.cost, all.open, all.saved),
        (Money::from_cents(1_600), Money::ZERO, Money::ZERO)
    );
}

#[test]
fn a_free_stick_counts_as_a_way_to_cut_for_nothing() {
    // Two of 40 in, and one of 50 in lies here: it holds one, an 8 ft stick at $4.00 the other.
    let mut site = bare(
        vec![planned_change(0, 1, &[(0, 2, 40, 0, 4)])],
        book_of(1, &[50; 10]),
    );
    lay(&mut site, (0, 1, 50, false));
    let [class] = of_week(&site, 1).try_into().unwrap();
    assert_eq!(
        (class.count, class.cost, class.least),
        (1, Money::from_cents(400), Money::from_cents(400))
    );
    assert_eq!(class.longest_first, Some((Money::from_cents(400), 1)));
    assert_eq!(class.saved(), None);
}

#[test]
fn nothing_is_claimed_of_what_has_no_price() {
    let site = bare(
        vec![planned_change(0, 1, &[(0, 1, 40, 0, 4)])],
        book_of(1, &[0; 10]),
    );
    let [class] = of_week(&site, 1).try_into().unwrap();
    assert_eq!(
        (class.unpriced, class.least, class.longest_first),
        (1, Money::ZERO, None)
    );
    assert_eq!(Cheapness::of(&[class]).unpriced, 1);
}
