//! Week 1 as it was bought: an order that came short, a swap for what it lacked, a box too many and a spare that went back.
//!
//! By hand, before tax: ordered two 2×8 of 10 ft at 11.20, one of 12 ft at 13.55, a 4×6 of 8 ft at 21.90, a box of 10d at
//! 12.40, a pound of 8d at 3.70 and a base at 23.75, together 97.70; one 2×8 of 10 ft less came, 86.50. On the way back two
//! anchors at 3.15, two rolls at 21.50, a 2×8 of 12 ft at 14.60 and a box of masks at 17.80, together 81.70; the box and
//! that stick went back, together 32.40. Tax of 6.5 % on each slip: 5.62, 5.31 and 2.11 less.

use std::collections::BTreeMap;

use scantling_takeoff::buy::{
    Amounts, Item, OrderState, buy_list, left_over, money, order_state, ordered_lines, receipt_sums,
};
use scantling_takeoff::record::{Job, Kind, Record};
use scantling_takeoff::units::{Length, Money};
use uuid::Uuid;

use super::MONDAY;
use crate::{log, row};

fn job() -> Job {
    log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY).job()
}

fn cents(cents: i64) -> Money {
    Money::from_cents(cents)
}

fn item(line: &Record, field: &str) -> Item {
    Item::from_key(line.text(field).unwrap()).unwrap()
}

/// The feet of a 2×8.
fn feet_of_2x8(item: &Item) -> i64 {
    let Item::Stick { class, length } = item else {
        panic!("{item:?} is no stick");
    };
    assert_eq!(class.nominal.to_string(), "2×8");
    length.as_64ths() / Length::feet(1).as_64ths()
}

#[test]
fn the_bigger_yard_s_part_of_the_list_was_ordered_and_one_stick_of_it_did_not_come() {
    let job = job();
    let orders: Vec<&Record> = job.all(Kind::Order).collect();
    let [order] = orders.as_slice() else {
        panic!("{} orders", orders.len());
    };
    assert_eq!(order_state(&job, order), OrderState::Received);
    assert_eq!(order.text("sent"), Some("2026-03-06"), "the Friday before");
    let lines = ordered_lines(&job, order);
    let counts: Vec<(&str, i64, i64, i64, i64)> = lines
        .iter()
        .map(|line| {
            let of = (line.line.number.as_str(), line.line.count);
            (of.0, of.1, line.came, line.back, line.to_come)
        })
        .collect();
    assert_eq!(
        counts,
        [
            ("FR-2x8-10", 2, 1, 1, 0),
            ("FR-2x8-12", 1, 1, 0, 0),
            ("FR-4x6-8", 1, 1, 0, 0),
            ("FR-311", 1, 1, 0, 0),
            ("FR-308", 1, 1, 0, 0),
            ("FR-940", 1, 1, 0, 0),
        ]
    );
    let ordered: Money = lines.iter().filter_map(|line| line.line.extension).sum();
    assert_eq!(ordered, cents(9770));
    let receipt = job.get(row::id("receipt.ferry")).unwrap();
    assert_eq!(receipt.to("order"), Some(order.id));
}

#[test]
fn what_did_not_come_was_bought_longer_at_the_other_yard() {
    let job = job();
    let swaps: Vec<&Record> = job
        .all(Kind::Bought)
        .filter(|line| line.text("instead_of").is_some())
        .collect();
    let [swap] = swaps.as_slice() else {
        panic!("{} swaps", swaps.len());
    };
    assert_eq!(feet_of_2x8(&item(swap, "instead_of")), 10);
    assert_eq!(feet_of_2x8(&item(swap, "item")), 12);
    assert_eq!(swap.number("count"), Some(1));
    assert_eq!(swap.to("receipt"), Some(row::id("receipt.cobble")));
    let left = buy_list(&job, &[1]).lines;
    assert!(left.iter().all(|line| line.to_buy == 0), "{left:?}");
    // It stood in for the spare of that list, and was not needed: it went back.
    let spare = item(swap, "item");
    assert_eq!(job.ledger.on_hand(&spare), 0);
    assert!(left_over(&job, 1).iter().all(|(item, _)| *item != spare));
}

#[test]
fn spent_is_what_the_slips_say_less_what_went_back() {
    let job = job();
    let slips: BTreeMap<&str, (usize, Money)> =
        ["receipt.ferry", "receipt.cobble", "receipt.cobble.back"]
            .into_iter()
            .map(|word| {
                let sums = receipt_sums(&job, job.get(row::id(word)).unwrap());
                assert_eq!(sums.difference, Some(Money::ZERO), "{word}");
                (word, (sums.lines.len(), sums.total))
            })
            .collect();
    assert_eq!(
        slips,
        BTreeMap::from([
            ("receipt.ferry", (6, cents(9212))),
            ("receipt.cobble", (4, cents(8701))),
            ("receipt.cobble.back", (2, cents(-3451))),
        ])
    );
    let sums = money(&job);
    let week = sums.weeks.get(&Some(1)).unwrap();
    // Planned: what was ordered, and 6.30 and 43.00 of the other yard; with tax.
    let by_hand = Amounts {
        planned: cents(15_656),
        ordered: cents(10_405),
        bought: cents(16_820),
        returned: cents(3240),
        tax: cents(882),
        ..Amounts::default()
    };
    assert_eq!(*week, by_hand);
    assert_eq!(week.spent(), cents(14_462));
    assert_eq!(
        (sums.total.spent(), sums.total.returned),
        (week.spent(), week.returned)
    );
    let mut returned = job
        .all(Kind::Bought)
        .filter(|line| line.says("way", "returned"))
        .map(|line| item(line, "item"));
    let masks = returned
        .find(|item| matches!(item, Item::Sundry { .. }))
        .unwrap();
    assert_eq!(job.ledger.on_hand(&masks), 1, "the box from the shed");
}
