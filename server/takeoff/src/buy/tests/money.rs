//! Tax, rounding and whose money it is, by cases worked by hand; the arithmetic stands beside each.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::super::ledger::{Ledger, Share};
use super::super::{
    Amounts, Item, MoneySums, OrderLine, afresh_preview, bought_twice, differences, left_over,
    money, receipt_sums,
};
use super::entries::{BLOCKS, House, JOB, MORE, YARD, stud, thing, uuid};
use crate::needs::Class;
use crate::record::{Job, Kind, Record};
use crate::units::{Length, Money};

pub(super) const FIRST: u128 = 21;
pub(super) const SECOND: u128 = 22;
pub(super) const THIRD: u128 = 23;
const SLIP: u128 = 50;

/// A job with slips of paper: the supplier's, with what was typed on each, and their lines.
pub(super) struct Paper {
    pub(super) records: Vec<Record>,
    pub(super) ledger: Ledger,
}

impl Paper {
    pub(super) fn at_tax(tax: &str) -> Self {
        let job: &[(&str, &str)] = if tax.is_empty() {
            &[("name", "Mill Street")]
        } else {
            &[("name", "Mill Street"), ("tax", tax)]
        };
        let mut records = vec![
            thing(JOB, Kind::Job, job),
            thing(YARD, Kind::Supplier, &[("name", "Hill Yard")]),
        ];
        for (id, week) in [(FIRST, "1"), (SECOND, "2"), (THIRD, "2")] {
            let typed = [
                ("name", "Rope"),
                ("week", week),
                ("item", "rope"),
                ("unit", "each"),
                ("count", "1"),
            ];
            records.push(thing(id, Kind::Sundry, &typed));
        }
        Self {
            records,
            ledger: Ledger::default(),
        }
    }

    pub(super) fn slip(&mut self, id: u128, typed: &[(&str, &str)]) {
        self.records.push(thing(id, Kind::Receipt, typed));
    }

    /// A line: how many, at how much, and what else was said; for these changes by weight.
    pub(super) fn line(
        &mut self,
        slip: u128,
        id: u128,
        typed: &[(&str, &str)],
        shares: &[(Option<u128>, i64)],
    ) {
        let rope = Item::Sundry {
            name: "rope".to_owned(),
            unit: "each".to_owned(),
        };
        let (receipt, item) = (uuid(slip), rope.to_key());
        let mut all = vec![("receipt", receipt.as_str()), ("item", item.as_str())];
        all.extend(typed);
        for (name, usual) in [("weeks", "1"), ("count", "1")] {
            if !typed.iter().any(|(n, _)| *n == name) {
                all.push((name, usual));
            }
        }
        self.records.push(thing(id, Kind::Bought, &all));
        let shares = shares
            .iter()
            .map(|(change, weight)| Share {
                change: change.map(Uuid::from_u128),
                weight: *weight,
            })
            .collect();
        self.ledger.shares.insert(Uuid::from_u128(id), shares);
    }

    pub(super) fn job(&self) -> Job {
        Job::new(
            Uuid::from_u128(JOB),
            self.records.clone(),
            self.ledger.clone(),
        )
    }

    fn money(&self) -> MoneySums {
        money(&self.job())
    }
}

fn cents(money: Money) -> i64 {
    money.as_cents()
}

/// Spent by change, in cents; 0 stands for no change.
fn by_change(sums: &MoneySums) -> BTreeMap<u128, i64> {
    let of = |change: &Option<Uuid>| change.map_or(0, |id| id.as_u128());
    sums.changes
        .iter()
        .map(|(change, row)| (of(change), cents(row.spent())))
        .collect()
}

fn at(price: &str) -> [(&str, &str); 1] {
    [("price", price)]
}

const BACK: (&str, &str) = ("way", "returned");

#[test]
fn tax_is_on_the_receipt_and_not_on_each_line() {
    let mut paper = Paper::at_tax("6.25");
    paper.slip(SLIP, &[]);
    for (line, change) in [(60, FIRST), (61, SECOND), (62, THIRD)] {
        paper.line(SLIP, line, &at("0.10"), &[(Some(change), 1)]);
    }
    // A line at a time: 0.10 × 6.25 % = 0.00625, 0.01 each, 0.03 in all. The receipt: 0.30 × 6.25 % = 0.01875: 0.02.
    // On the lines 2 ÷ 3 of a cent each: three equal remainders, the two first lines by id have a cent.
    let sums = paper.money();
    assert_eq!((cents(sums.total.tax), cents(sums.total.spent())), (2, 32));
    assert_eq!(
        by_change(&sums),
        BTreeMap::from([(FIRST, 11), (SECOND, 11), (THIRD, 10)])
    );
}

#[test]
fn at_five_percent_the_receipt_is_two_cents_and_its_lines_would_be_three() {
    let mut paper = Paper::at_tax("5");
    paper.slip(SLIP, &[]);
    for line in [60, 61, 62] {
        paper.line(SLIP, line, &at("0.10"), &[(Some(FIRST), 1)]);
    }
    // A line at a time: 0.10 × 5 % = 0.005, 0.01 each. The receipt: 0.30 × 5 % = 0.015: 0.02.
    assert_eq!(cents(paper.money().total.tax), 2);
    // +0.10 − 0.34 = −0.24 on one slip, × 6.25 % = −0.015: −0.02.
    let mut paper = Paper::at_tax("6.25");
    paper.slip(SLIP, &[]);
    paper.line(SLIP, 60, &at("0.10"), &[(Some(FIRST), 1)]);
    paper.line(SLIP, 61, &[("price", "0.34"), BACK], &[(Some(SECOND), 1)]);
    let sums = paper.money();
    assert_eq!(
        (cents(sums.total.tax), cents(sums.total.spent())),
        (-2, -26)
    );
    assert_eq!(by_change(&sums).values().sum::<i64>(), -26);
}

#[test]
fn half_a_cent_goes_up_in_size_bought_and_returned() {
    // 6.25 %: 0.24 → 0.015, 0.02; 0.08 → 0.005, 0.01. 5 %: 1.10 → 0.055, 0.06; 0.30 → 0.015, 0.02; 1.09 → 0.0545, 0.05.
    for (rate, price, tax) in [
        ("6.25", "0.24", 2),
        ("6.25", "0.08", 1),
        ("5", "1.10", 6),
        ("5", "0.30", 2),
        ("5", "1.09", 5),
    ] {
        let mut paper = Paper::at_tax("");
        paper.slip(SLIP, &[("tax", rate)]);
        paper.line(SLIP, 60, &at(price), &[(Some(FIRST), 1)]);
        assert_eq!(cents(paper.money().total.tax), tax, "{rate} % of {price}");
        paper.slip(SLIP + 1, &[("tax", rate)]);
        paper.line(SLIP + 1, 61, &[("price", price), BACK], &[(Some(FIRST), 1)]);
        let sums = paper.money();
        assert_eq!(cents(sums.total.tax), 0, "back goes what came");
        assert_eq!(by_change(&sums), BTreeMap::from([(FIRST, 0)]));
        assert_eq!(sums.total.bought, sums.total.returned);
    }
}

#[test]
fn on_one_slip_what_goes_back_takes_its_tax_back() {
    let mut paper = Paper::at_tax("6.25");
    paper.slip(SLIP, &[("supplier", &uuid(YARD))]);
    paper.line(SLIP, 60, &at("100"), &[(Some(FIRST), 1)]);
    let back = [("price", "10"), ("count", "4"), ("weeks", "2"), BACK];
    paper.line(SLIP, 61, &back, &[(Some(SECOND), 1)]);
    // 100.00 − 40.00 = 60.00; × 6.25 % = 3.75, of which 3.75 × 100 ÷ 60 = 6.25 and 3.75 × −40 ÷ 60 = −2.50.
    let sums = paper.money();
    assert_eq!(
        by_change(&sums),
        BTreeMap::from([(FIRST, 10_625), (SECOND, -4_250)])
    );
    let yard = sums.suppliers[&Some(Uuid::from_u128(YARD))];
    assert_eq!(
        [yard.bought, yard.returned, yard.tax, yard.spent()].map(cents),
        [10_000, 4_000, 375, 6_375]
    );
    let weeks: Vec<_> = sums
        .weeks
        .iter()
        .map(|(w, row)| (*w, cents(row.spent())))
        .collect();
    assert_eq!(weeks, [(Some(1), 10_625), (Some(2), -4_250)]);
}

#[test]
fn a_tax_as_printed_stands_in_place_of_the_rate() {
    let mut paper = Paper::at_tax("6.25");
    paper.slip(SLIP, &[("tax", "5"), ("tax_typed", "7.01")]);
    paper.line(SLIP, 60, &at("100"), &[(Some(FIRST), 1)]);
    paper.line(SLIP, 61, &at("0.50"), &[(Some(SECOND), 1)]);
    // 7.01 × 100.00 ÷ 100.50 = 6.975…: 6.97 and the cent; 7.01 × 0.50 ÷ 100.50 = 0.0348…: 0.03.
    let sums = paper.money();
    assert_eq!(
        by_change(&sums),
        BTreeMap::from([(FIRST, 10_698), (SECOND, 53)])
    );
    assert_eq!(cents(sums.total.spent()), 10_751);
}

#[test]
fn a_slip_that_only_gives_back_counts_what_is_typed_on_it_against() {
    let mut paper = Paper::at_tax("6.25");
    paper.slip(SLIP, &[("tax_typed", "2.50"), ("total", "42.50")]);
    paper.line(SLIP, 60, &[("price", "40"), BACK], &[(Some(FIRST), 1)]);
    let job = paper.job();
    let sums = receipt_sums(&job, job.get(Uuid::from_u128(SLIP)).unwrap());
    assert_eq!(
        [sums.sum, sums.total].map(cents),
        [-4_000, -4_250],
        "−40.00 − 2.50"
    );
    assert_eq!(sums.difference.map(cents), Some(0), "as printed");
    assert_eq!(by_change(&money(&job)), BTreeMap::from([(FIRST, -4_250)]));
}

#[test]
fn a_tax_on_nothing_is_not_lost() {
    // Ten came and ten went back on one slip, with a tax typed all the same: half of it on each.
    let mut paper = Paper::at_tax("");
    paper.slip(SLIP, &[("tax_typed", "0.31")]);
    paper.line(SLIP, 60, &at("10"), &[(Some(FIRST), 1)]);
    paper.line(SLIP, 61, &[("price", "10"), BACK], &[(Some(SECOND), 1)]);
    assert_eq!(
        by_change(&paper.money()),
        BTreeMap::from([(FIRST, 1_016), (SECOND, -985)])
    );
    // A slip without a line, a delivery fee's tax.
    paper.slip(SLIP + 1, &[("tax_typed", "1.20"), ("week", "3")]);
    let sums = paper.money();
    assert_eq!(cents(sums.weeks[&Some(3)].spent()), 120);
    assert_eq!(by_change(&sums)[&0], 120);
}

#[test]
fn a_line_of_a_joint_list_is_its_changes_by_their_weight_and_the_first_weeks() {
    let mut paper = Paper::at_tax("5");
    paper.slip(SLIP, &[]);
    let typed = [("price", "10"), ("weeks", "2"), ("weeks", "1")];
    paper.line(SLIP, 60, &typed, &[(Some(FIRST), 100), (Some(SECOND), 200)]);
    // 10.00 ÷ 3 = 3.33 1/3 and 6.66 2/3: the second has the cent. Tax 0.50: 0.16 2/3 and 0.33 1/3: the first has it.
    let sums = paper.money();
    assert_eq!(
        by_change(&sums),
        BTreeMap::from([(FIRST, 333 + 17), (SECOND, 667 + 33)])
    );
    assert_eq!(sums.weeks.keys().collect::<Vec<_>>(), [&Some(1)]);
}

#[test]
fn ties_go_to_no_change_first_and_then_by_id() {
    for (price, shares, expected) in [
        (
            "0.05",
            vec![(Some(FIRST), 1), (Some(SECOND), 1)],
            vec![(FIRST, 3), (SECOND, 2)],
        ),
        (
            "0.05",
            vec![(Some(SECOND), 1), (Some(FIRST), 1)],
            vec![(FIRST, 3), (SECOND, 2)],
        ),
        (
            "0.05",
            vec![(Some(FIRST), 1), (None, 1)],
            vec![(0, 3), (FIRST, 2)],
        ),
        (
            "1",
            vec![(None, 1), (Some(FIRST), 1), (Some(SECOND), 1)],
            vec![(0, 34), (FIRST, 33), (SECOND, 33)],
        ),
        ("2", vec![], vec![(0, 200)]),
    ] {
        let mut paper = Paper::at_tax("");
        paper.slip(SLIP, &[]);
        paper.line(SLIP, 60, &at(price), &shares);
        assert_eq!(
            by_change(&paper.money()),
            expected.into_iter().collect(),
            "{price} {shares:?}"
        );
    }
}

#[test]
fn a_line_without_a_price_is_counted_and_adds_nothing() {
    let mut paper = Paper::at_tax("5");
    paper.slip(SLIP, &[("supplier", &uuid(YARD))]);
    paper.line(SLIP, 60, &at("2"), &[(Some(FIRST), 1)]);
    paper.line(SLIP, 61, &[("count", "7")], &[(Some(SECOND), 1)]);
    let sums = paper.money();
    let yard = sums.suppliers[&Some(Uuid::from_u128(YARD))];
    let second = sums.changes[&Some(Uuid::from_u128(SECOND))];
    for (row, spent) in [
        (sums.total, 210),
        (yard, 210),
        (sums.weeks[&Some(1)], 210),
        (second, 0),
    ] {
        assert_eq!((row.unpriced, cents(row.spent())), (1, spent));
    }
    assert_eq!(sums.changes[&Some(Uuid::from_u128(FIRST))].unpriced, 0);
}

fn booked(house: &mut House, line: u128, count: &str, weeks: &[&str]) {
    let eight = stud(Length::feet(8), house).to_key();
    let slip = uuid(SLIP);
    let mut typed = vec![
        ("receipt", slip.as_str()),
        ("item", eight.as_str()),
        ("count", count),
        ("price", "4.28"),
    ];
    typed.extend(weeks.iter().map(|week| ("weeks", *week)));
    house.write("bought.add", line, &typed).unwrap();
}

pub(super) fn house(first: &str, second: &str) -> House {
    let mut house = House::new(first, second);
    house.records.push(thing(SLIP, Kind::Receipt, &[]));
    house
}

#[test]
fn planned_is_the_list_before_anything_was_bought_and_planning_afresh_keeps_it() {
    let mut house = house("12", "12");
    booked(&mut house, 60, "1", &["1"]);
    // 12 blocks of 14 1/2 in, 6 from a stick of 8 ft: 2 sticks at 4.28 = 8.56; × 6.25 % = 0.535: 0.54. One of them bought: 4.28 + 0.2675: 0.27.
    let planned = |house: &House| money(&house.job()).weeks[&Some(1)];
    let row = planned(&house);
    assert_eq!([row.planned, row.spent()].map(cents), [910, 455]);
    house.write("week.afresh", 3, &[]).unwrap();
    assert_eq!(house.ledger.kept_of(&[1]).unwrap().revision, 2);
    assert!(house.ledger.kept_of(&[1]).unwrap().begun);
    assert_eq!(cents(planned(&house).planned), 910);
}

#[test]
fn what_one_list_planned_a_joint_list_does_not_plan_again() {
    let mut house = house("12", "12");
    booked(&mut house, 60, "1", &["1"]);
    booked(&mut house, 61, "1", &["1", "2"]);
    // Each week 2 sticks of 8 ft: 8.56 and 0.54 of tax; the joint list lacks one of week 1's and both of week 2's.
    let sums = money(&house.job());
    assert_eq!(cents(sums.total.planned), 1_820, "{sums:?}");
    let planned = |id: u128| cents(sums.changes[&Some(Uuid::from_u128(id))].planned);
    assert_eq!([planned(BLOCKS), planned(MORE)], [910, 910]);
}

#[test]
fn done_and_undone_money_is_as_it_was() {
    let mut house = house("12", "12");
    booked(&mut house, 60, "2", &["1"]);
    booked(&mut house, 61, "3", &["2"]);
    let before = money(&house.job());
    house.do_as_shown(BLOCKS);
    assert_eq!(money(&house.job()), before);
    house.write("change.undone", BLOCKS, &[]).unwrap();
    assert_eq!(money(&house.job()), before);
    // 3 where the list wanted 2: two thirds are the blocks' of week 2, the third is no change's. 3 × 4.28 = 12.84.
    let spent = by_change(&before);
    // All five: 21.40, tax 1.3375: 1.34, by extension 0.536 and 0.804: 0.54 and 0.80.
    assert_eq!(spent[&BLOCKS], 856 + 54);
    assert_eq!(spent[&MORE], 856 + 53);
    assert_eq!(spent[&0], 428 + 27);
}

#[test]
fn an_order_is_counted_as_it_was_sent_and_called_off_as_far_as_it_came() {
    let mut house = house("12", "12");
    let eight = stud(Length::feet(8), &house);
    let line = OrderLine {
        item: eight.clone(),
        words: "2×4, 8 ft".to_owned(),
        count: 2,
        unit: "each".to_owned(),
        per_tenths: 10,
        price: Some(Money::from_cents(428)),
        extension: Some(Money::from_cents(856)),
        number: String::new(),
    };
    let unpriced = OrderLine {
        price: None,
        extension: None,
        ..line.clone()
    };
    let (line, unpriced) = (line.to_text(), unpriced.to_text());
    let order = 70;
    house.records.push(thing(
        order,
        Kind::Order,
        &[("supplier", &uuid(YARD)), ("weeks", "1")],
    ));
    let sent = [
        ("weeks", "1"),
        ("status", "sent"),
        ("sent", "2026-10-08"),
        ("line", &line),
        ("line", &unpriced),
    ];
    assert_eq!(money(&house.job()).total.ordered, Money::ZERO, "a draft");
    house.write("order.send", order, &sent).unwrap();
    // 8.56 × 6.25 % = 0.535: 0.54.
    let sums = money(&house.job());
    let blocks = sums.changes[&Some(Uuid::from_u128(BLOCKS))];
    let yard = sums.suppliers[&Some(Uuid::from_u128(YARD))];
    for row in [sums.total, blocks, yard, sums.weeks[&Some(1)]] {
        assert_eq!((cents(row.ordered), row.ordered_unpriced), (910, 1));
    }
    // One came, 4.28 and 0.2675: 0.27; then it was called off.
    let typed = [
        ("receipt", &*uuid(SLIP)),
        ("item", &eight.to_key()),
        ("count", "1"),
        ("price", "4.28"),
        ("weeks", "1"),
        ("order", &uuid(order)),
    ];
    house.write("bought.add", 60, &typed).unwrap();
    assert_eq!(cents(money(&house.job()).total.ordered), 910);
    let off = [("status", "cancelled"), ("reason", "late")];
    house.write("order.cancel", order, &off).unwrap();
    assert_eq!(cents(money(&house.job()).total.ordered), 455);
}

#[test]
fn what_no_week_wants_of_what_was_bought_is_named() {
    let mut house = house("12", "12");
    booked(&mut house, 60, "5", &["1"]);
    // Week 1 wants 2 sticks, week 2 takes 2 of the 3 that are over: one could go back.
    let eight = stud(Length::feet(8), &house);
    assert_eq!(left_over(&house.job(), 1), [(eight, 1)]);
    assert_eq!(left_over(&house.job(), 2), []);
}

#[test]
fn a_plan_made_afresh_is_looked_at_first() {
    let mut house = house("12", "12");
    assert_eq!(afresh_preview(&house.job()).moved, []);
    booked(&mut house, 60, "1", &["2"]);
    let before = house.ledger.clone();
    let preview = afresh_preview(&house.job());
    assert_eq!(house.ledger, before, "nothing is written");
    let total = |house: &House| -> Money {
        let lists = [1, 2].map(|week| super::super::buy_list(&house.job(), &[week]).total);
        lists.into_iter().sum()
    };
    assert_eq!(preview.before, total(&house));
    house.write("week.afresh", 3, &[]).unwrap();
    assert_eq!(preview.after, total(&house));
}

/// Blocks of another length, of another size or in another week.
fn other_blocks(house: &mut House, id: u128, typed: [(&str, &str); 4]) {
    let mut all = vec![("pack", "packing"), ("name", "Blocks")];
    all.extend(typed);
    house
        .records
        .retain(|record| record.id != Uuid::from_u128(id));
    house.records.push(thing(id, Kind::Pack, &all));
}

#[test]
fn a_stick_is_its_pieces_changes_by_their_lengths() {
    let mut house = house("1", "1");
    for (id, length) in [(BLOCKS, "60"), (MORE, "30")] {
        let typed = [
            ("week", "1"),
            ("nominal", "2x4"),
            ("count", "1"),
            ("length", length),
        ];
        other_blocks(&mut house, id, typed);
    }
    booked(&mut house, 60, "1", &["1"]);
    // 4.28 × 60 ÷ 90 = 2.853, × 30 ÷ 90 = 1.427. Tax 0.2675: 0.27, 0.18 and 0.09.
    assert_eq!(
        by_change(&money(&house.job())),
        BTreeMap::from([(BLOCKS, 285 + 18), (MORE, 143 + 9)])
    );
}

#[test]
fn what_is_bought_twice_is_said_after_planning_afresh_too() {
    let mut house = house("12", "12");
    let eight = stud(Length::feet(8), &house);
    let twice = |house: &House| bought_twice(&house.job(), &[1], &eight);
    booked(&mut house, 60, "1", &["1"]);
    house.write("week.afresh", 3, &[]).unwrap();
    assert_eq!(twice(&house), None);
    booked(&mut house, 61, "1", &["1"]);
    assert_eq!(twice(&house), None, "as listed");
    booked(&mut house, 62, "1", &["1"]);
    assert_eq!(twice(&house), Some((3, 2)));
}

#[test]
fn a_kept_list_says_that_a_change_is_of_another_size_now() {
    let mut house = house("12", "12");
    booked(&mut house, 60, "1", &["1"]);
    let typed = [
        ("week", "1"),
        ("nominal", "2x6"),
        ("count", "12"),
        ("length", "14 1/2"),
    ];
    other_blocks(&mut house, BLOCKS, typed);
    let kept = house.ledger.kept_of(&[1]).unwrap().clone();
    let said: Vec<(String, String)> = differences(&house.job(), &kept)
        .into_iter()
        .filter_map(|one| one.of)
        .filter_map(|(was, now)| match (was, now) {
            (Class::Stick(was), Class::Stick(now)) => Some((was.to_string(), now.to_string())),
            _ => None,
        })
        .collect();
    let words = ("2×4 Hem-Fir No.2".to_owned(), "2×6 Hem-Fir No.2".to_owned());
    assert_eq!(said, [words]);
}

#[test]
fn spent_is_bought_less_returned_with_tax() {
    let row = Amounts {
        bought: Money::from_cents(1_000),
        returned: Money::from_cents(300),
        tax: Money::from_cents(44),
        ..Amounts::default()
    };
    assert_eq!(cents(row.spent()), 744);
}
