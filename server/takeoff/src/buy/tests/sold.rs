//! By what unit things are sold, by example: sticks by the foot, boxes without a count, rolls that count in feet.

use uuid::Uuid;

use super::super::list::list_of;
use super::super::{BuyLine, Ledger, PriceBook, buy_list, extension};
use super::entries::{thing, uuid};
use super::site::{bare, planned_change};
use crate::needs::Class;
use crate::record::{Job, Kind, Record};
use crate::units::{Length, Money};

const YARD: u128 = 2;
const HANGER: u128 = 3;

/// A job with a yard and these things; ids from 10.
fn job(things: &[(Kind, &[(&str, &str)])]) -> Job {
    let mut records = vec![
        thing(
            1,
            Kind::Job,
            &[
                ("name", "Mill Street"),
                ("species", "Hem-Fir"),
                ("grade", "No.2"),
            ],
        ),
        thing(YARD, Kind::Supplier, &[("name", "Hill Yard")]),
        thing(
            HANGER,
            Kind::Hardware,
            &[("name", "Old hanger"), ("type", "hanger")],
        ),
    ];
    let yard = uuid(YARD);
    for (at, (kind, typed)) in things.iter().enumerate() {
        let mut typed = typed.to_vec();
        if *kind == Kind::Price {
            typed.push(("supplier", &yard));
        }
        records.push(thing(10 + at as u128, *kind, &typed));
    }
    Job::new(Uuid::from_u128(1), records, Ledger::default())
}

/// Unit, how many to buy, what they come to in cents.
fn sold(lines: &[BuyLine]) -> Vec<(&str, i64, Option<i64>)> {
    lines
        .iter()
        .map(|line| {
            (
                line.unit.as_str(),
                line.to_buy,
                line.extension.map(Money::as_cents),
            )
        })
        .collect()
}

#[test]
fn sticks_by_the_foot_are_rounded_once_a_line() {
    // Ten of 90 in, each from a stick of 92 5/8 in. 900 in × 1.1 = 990 in, ten sticks are 926 1/4 in: eleven.
    // 11 × 92 5/8 in = 1,018 7/8 in = 84.90625 ft, × 0.58 = 49.245625: 49.25. A stick is 4.476875: 11 × 4.48 were 49.28.
    let job = job(&[
        (
            Kind::Price,
            &[
                ("section", "stick"),
                ("nominal", "2x4"),
                ("species", "Hem-Fir"),
                ("grade", "No.2"),
                ("length", "92 5/8"),
                ("sold_by", "foot"),
                ("price", "0.58"),
            ],
        ),
        (
            Kind::Pack,
            &[
                ("name", "Blocks"),
                ("week", "1"),
                ("pack", "packing"),
                ("nominal", "2x4"),
                ("count", "10"),
                ("length", "90"),
            ],
        ),
    ]);
    let list = buy_list(&job, &[1]);
    assert_eq!(sold(&list.lines), [("ft", 11, Some(4_925))]);
    let line = &list.lines[0];
    assert_eq!(line.unit_price, Some(Money::from_cents(58)));
    assert_eq!(line.by_the_foot, Some(Length::inches_64(1_018, 56)));
    assert_eq!(list.total, Money::from_cents(4_925));

    let booked = |price: &str, by: &str| -> Record {
        let key = line.item.to_key();
        let receipt = uuid(40);
        let typed = [
            ("receipt", receipt.as_str()),
            ("item", &key),
            ("weeks", "1"),
            ("count", "11"),
            ("price", price),
            ("price_by", by),
        ];
        thing(41, Kind::Bought, &typed)
    };
    assert_eq!(
        extension(&booked("0.58", "foot")),
        Some(Money::from_cents(4_925))
    );
    // Without a word the price is for one stick.
    assert_eq!(
        extension(&booked("4.48", "")),
        Some(Money::from_cents(4_928))
    );
}

#[test]
fn a_box_of_hangers_without_a_count_says_what_it_needs() {
    let hanger = uuid(HANGER);
    let row = |per_pack: &'static str| {
        job(&[(
            Kind::Price,
            &[
                ("section", "hardware"),
                ("hardware", &hanger),
                ("sold_by", "box"),
                ("per_pack", per_pack),
                ("price", "24.00"),
            ],
        )])
    };
    let lines = |job: &Job| {
        let mut change = planned_change(0, 1, &[(9, 1, 1, 0, 0)]);
        change.takeoff.needs[0].class = Class::Hardware {
            row: Uuid::from_u128(HANGER),
        };
        change.takeoff.needs[0].count = 12;
        let site = bare(vec![change], PriceBook::of(job));
        list_of(&site.basis(), &[1]).lines
    };
    let unknown = lines(&row(""));
    assert_eq!(unknown[0].note, "needs: count in a box of Old hanger");
    assert_eq!(sold(&unknown), [("each", 12, None)]);
    // 12 from boxes of 10: two.
    assert_eq!(sold(&lines(&row("10"))), [("box of 10", 2, Some(4_800))]);
}

/// 300 ft of joint tape in week 1, and who sells it.
fn tape(rows: &[&[(&'static str, &'static str)]]) -> Job {
    let mut all: Vec<(Kind, Vec<(&str, &str)>)> = vec![(
        Kind::Sundry,
        vec![
            ("name", "Tape"),
            ("week", "1"),
            ("item", "joint tape"),
            ("unit", "foot"),
            ("count", "300"),
        ],
    )];
    for row in rows {
        let mut typed = vec![("section", "sundry"), ("name", "joint tape")];
        typed.extend_from_slice(row);
        all.push((Kind::Price, typed));
    }
    let all: Vec<(Kind, &[(&str, &str)])> = all.iter().map(|(k, t)| (*k, t.as_slice())).collect();
    job(&all)
}

#[test]
fn a_roll_that_counts_in_feet_serves_what_is_needed_by_the_foot() {
    let roll: &[(&str, &str)] = &[
        ("sold_by", "roll"),
        ("per_pack", "250"),
        ("pack_of", "foot"),
        ("price", "6.00"),
    ];
    let by_the_foot: &[(&str, &str)] = &[("sold_by", "foot"), ("price", "0.04")];
    let lines = |job: &Job| buy_list(job, &[1]).lines;
    // up(300 ÷ 250) = 2.
    assert_eq!(
        sold(&lines(&tape(&[roll]))),
        [("roll of 250 ft", 2, Some(1_200))]
    );
    // A roll and 50 ft are 6.00 + 2.00; two rolls cost 12.00, 300 ft as much.
    assert_eq!(
        sold(&lines(&tape(&[by_the_foot, roll]))),
        [("roll of 250 ft", 1, Some(600)), ("foot", 50, Some(200))]
    );
}

#[test]
fn a_roll_that_does_not_say_how_long_it_is_says_what_it_needs() {
    let roll: &[(&str, &str)] = &[("sold_by", "roll"), ("pack_of", "foot"), ("price", "6.00")];
    let list = buy_list(&tape(&[roll]), &[1]);
    assert_eq!(list.lines[0].note, "needs: count in a roll of joint tape");
    // A roll of 250 that doesn't say feet is 250 single things, and no tape by the foot.
    let singles: &[(&str, &str)] = &[("sold_by", "roll"), ("per_pack", "250"), ("price", "6.00")];
    let list = buy_list(&tape(&[singles]), &[1]);
    assert_eq!(list.lines[0].note, "not in the price book");
}

#[test]
fn what_a_bucket_serves_in_square_feet_serves_compound() {
    // Compound is needed by the square foot served, one by one: 500 ÷ 450, up, are two buckets.
    let job = job(&[
        (
            Kind::Sundry,
            &[
                ("name", "Compound"),
                ("week", "1"),
                ("item", "joint compound, area served"),
                ("unit", "each"),
                ("count", "500"),
            ],
        ),
        (
            Kind::Price,
            &[
                ("section", "sundry"),
                ("name", "joint compound, area served"),
                ("sold_by", "box"),
                ("per_pack", "450"),
                ("price", "19.00"),
            ],
        ),
    ]);
    assert_eq!(
        sold(&buy_list(&job, &[1]).lines),
        [("box of 450", 2, Some(3_800))]
    );
}
