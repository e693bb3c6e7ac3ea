//! Real lists are bought at a cost that is proven to be the least, not only at a good one.

use std::collections::BTreeMap;

use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use uuid::Uuid;

use super::super::basis::Basis;
use super::super::item::Item;
use super::super::least_cost::{Cheapness, least_costs};
use super::super::plan::Plan;
use super::site::site;
use crate::cutting::sticks::{ForSale, OnHand, Packing, Piece, Settings as Saw, pack_sticks};
use crate::needs::{Class, StickClass};
use crate::units::{Length, Money};

/// Houses drawn, always the same.
const HOUSES: usize = 100;

/// All sticks of these weeks, class by class, from what lies free and what has a price.
fn packings(basis: &Basis<'_>, weeks: &[u32]) -> Vec<Packing<usize, Uuid>> {
    let mut by_class: BTreeMap<&StickClass, Vec<Piece<usize>>> = BTreeMap::new();
    let pieces = basis.pieces();
    for piece in pieces.values() {
        if let Class::Stick(class) = &piece.need.class
            && weeks.contains(&piece.week())
        {
            by_class.entry(class).or_default().push(Piece {
                label: piece.order,
                length: piece.length,
            });
        }
    }
    let settings = basis.settings;
    let saw = Saw {
        kerf: settings.kerf,
        trim: settings.trim,
    };
    let pack = |(class, pieces): (&StickClass, Vec<Piece<usize>>)| {
        let own = Class::Stick(class.clone());
        let rows = basis.ledger.rows.values();
        let free = rows.filter(|row| row.item.class() == own && row.pieces.is_empty());
        let on_hand: Vec<OnHand<Uuid>> = free
            .filter_map(|row| match row.item {
                Item::Stick { length, .. } => Some(OnHand {
                    id: row.id,
                    usable: length,
                    whole: row.whole,
                }),
                _ => None,
            })
            .collect();
        let offers = basis.prices.sticks(class, settings.longest_stick);
        let sold: Vec<ForSale> = offers
            .into_iter()
            .filter(|(_, offer)| offer.price.is_some())
            .map(|(length, offer)| ForSale {
                length,
                price: offer.price,
            })
            .collect();
        pack_sticks(&pieces, &on_hand, &sold, saw)
    };
    by_class.into_iter().map(pack).collect()
}

#[test]
fn the_sticks_of_a_hundred_random_houses_are_proven_week_by_week_and_together() {
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(ProptestConfig::default(), rng);
    let (mut bought, mut cheaper) = (0, 0);
    for _ in 0..HOUSES {
        let house = site().new_tree(&mut runner).expect("it is drawn").current();
        let basis = house.basis();
        let all: Vec<u32> = basis.weeks();
        for weeks in all.iter().map(|week| vec![*week]).chain([all.clone()]) {
            for packing in packings(&basis, &weeks) {
                assert!(packing.is_proven(), "{house:?}{packing:?}");
                assert!(packing.cost <= packing.longest_first);
                bought += usize::from(packing.cost > Money::ZERO);
                cheaper += usize::from(packing.cost < packing.longest_first);
            }
        }
    }
    assert!(bought >= HOUSES, "hardly anything was bought: {bought}");
    assert!(cheaper > 0, "cutting longest first did as well everywhere");
}

#[test]
fn the_lists_of_a_hundred_random_houses_leave_nothing_to_save_week_by_week_and_together() {
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(ProptestConfig::default(), rng);
    let mut bought = 0;
    for _ in 0..HOUSES {
        let house = site().new_tree(&mut runner).expect("it is drawn").current();
        let basis = house.basis();
        let all: Vec<u32> = basis.weeks();
        for weeks in all.iter().map(|week| vec![*week]).chain([all.clone()]) {
            let together = if weeks.len() > 1 { &weeks[..] } else { &[] };
            let found = least_costs(&basis, &Plan::of(&basis, together), &weeks);
            let cheap = Cheapness::of(&found);
            assert_eq!(cheap.open, Money::ZERO, "{weeks:?} {found:?} {house:?}");
            bought += usize::from(cheap.cost > Money::ZERO);
        }
    }
    assert!(bought >= HOUSES, "hardly anything was bought: {bought}");
}

/// By hand: longest first, each on the rest with least left, puts both 40 in on one stick and buys for a 30 in.
#[test]
fn what_is_on_hand_is_given_out_with_what_would_be_bought_in_view() {
    let length = |inches: i64| Length::inches(inches);
    let saw = Saw {
        kerf: Length::ZERO,
        trim: Length::ZERO,
    };
    let pieces: Vec<Piece<u8>> = [(0, 40), (1, 40), (2, 30), (3, 30), (4, 30), (5, 30)]
        .map(|(label, inches)| Piece {
            label,
            length: length(inches),
        })
        .to_vec();
    let rest = |id: u8, inches: i64| OnHand {
        id,
        usable: length(inches),
        whole: false,
    };
    let on_hand = [rest(1, 100), rest(2, 100)];
    let sold = [ForSale {
        length: length(96),
        price: Some(Money::from_cents(400)),
    }];
    let packing = pack_sticks(&pieces, &on_hand, &sold, saw);
    // 40 + 30 + 30 are 100, twice.
    assert_eq!(packing.longest_first, Money::from_cents(400));
    assert_eq!((packing.cost, packing.to_buy.len()), (Money::ZERO, 0));
    assert!(packing.is_proven());
}
