//! What an order's lines say came and is still to come, in the unit sold; by hand. A pound of 16d common is 45.5 nails:
//! `tests/published/data/nails.csv`, by shank and head.

use uuid::Uuid;

use super::super::{OrderLine, OrderState, order_state, ordered_lines};
use super::entries::{House, YARD, thing, uuid};
use super::money::house;
use super::site::nails;
use crate::record::Kind;

const ORDER: u128 = 70;
const SLIP: &str = "00000000-0000-0000-0000-000000000032";

/// How many came and are still to come of each line, and how the order stands.
type Stands = (Vec<(i64, i64)>, OrderState);

/// A house with an order of 16d common: so many of each pack, in tenths of a piece.
fn ordered(packs: &[(i64, i64)]) -> House {
    let mut house = house("12", "12");
    let lines: Vec<String> = packs
        .iter()
        .map(|(count, per_tenths)| {
            let line = OrderLine {
                item: nails(),
                words: "16d common".to_owned(),
                count: *count,
                unit: "each".to_owned(),
                per_tenths: *per_tenths,
                price: None,
                extension: None,
                number: String::new(),
            };
            line.to_text()
        })
        .collect();
    let yard = uuid(YARD);
    house.records.push(thing(
        ORDER,
        Kind::Order,
        &[("supplier", &yard), ("weeks", "1")],
    ));
    let mut sent = vec![("weeks", "1"), ("status", "sent"), ("sent", "2026-10-08")];
    sent.extend(lines.iter().map(|line| ("line", line.as_str())));
    house.write("order.send", ORDER, &sent).unwrap();
    house
}

fn comes(house: &mut House, line: u128, count: &str, per: &str) {
    let (order, item) = (uuid(ORDER), nails().to_key());
    let typed = [
        ("receipt", SLIP),
        ("item", item.as_str()),
        ("count", count),
        ("per", per),
        ("weeks", "1"),
        ("order", order.as_str()),
    ];
    house.write("bought.add", line, &typed).unwrap();
}

fn stands(house: &House) -> Stands {
    let job = house.job();
    let order = job.get(Uuid::from_u128(ORDER)).unwrap();
    let lines = ordered_lines(&job, order);
    let figures = lines.iter().map(|line| (line.came, line.to_come)).collect();
    (figures, order_state(&job, order))
}

#[test]
fn pounds_come_by_the_pound_whatever_they_round_to_in_nails() {
    // 2 lb are 91 nails; a pound by itself is booked as 45, so one nail of them never comes.
    let mut house = ordered(&[(2, 455)]);
    assert_eq!(stands(&house), (vec![(0, 2)], OrderState::Sent));
    comes(&mut house, 60, "1", "45.5");
    assert_eq!(stands(&house), (vec![(1, 1)], OrderState::PartReceived));
    comes(&mut house, 61, "1", "45.5");
    assert_eq!(stands(&house), (vec![(2, 0)], OrderState::Received));
    assert_eq!(house.ledger.ordered(&nails()), 0);
}

#[test]
fn each_pack_of_an_item_comes_on_its_own_line() {
    let mut house = ordered(&[(2, 2_500), (1, 600)]);
    comes(&mut house, 60, "1", "250");
    let state = OrderState::PartReceived;
    assert_eq!(stands(&house), (vec![(1, 1), (0, 1)], state));
    comes(&mut house, 61, "1", "60");
    assert_eq!(stands(&house), (vec![(1, 1), (1, 0)], state));
    comes(&mut house, 62, "1", "250");
    assert_eq!(stands(&house), (vec![(2, 0), (1, 0)], OrderState::Received));
}

#[test]
fn pounds_that_go_back_one_by_one_leave_nothing_missing() {
    // Two pounds are 91 nails; one goes back as 46, the other as the 45 that are here.
    let mut house = house("12", "12");
    let item = nails().to_key();
    for (line, way, count, left) in [
        (60, "bought", "2", 91),
        (61, "returned", "1", 45),
        (62, "returned", "1", 0),
    ] {
        let typed = [
            ("receipt", SLIP),
            ("item", item.as_str()),
            ("way", way),
            ("count", count),
            ("per", "45.5"),
            ("weeks", "1"),
        ];
        house.write("bought.add", line, &typed).unwrap();
        assert_eq!(house.ledger.on_hand(&nails()), left);
    }
}
