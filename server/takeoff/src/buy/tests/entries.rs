//! Entries by example, through the job's record, as a carpenter would expect them.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::super::{
    Cause, Effect, Item, Ledger, buy_list, cut_list, done_form, effects, receipt_sums,
};
use crate::needs::FastenerClass;
use crate::record::{FieldProblem, Job, Kind, Op, OpKind, Record, op, registry};
use crate::units::{Length, Money, Units};

pub(super) const JOB: u128 = 1;
pub(super) const YARD: u128 = 2;
pub(super) const BLOCKS: u128 = 10;
pub(super) const MORE: u128 = 11;

/// A thing as it was typed.
pub(super) fn thing(id: u128, kind: Kind, typed: &[(&str, &str)]) -> Record {
    let add = registry::adds(kind).unwrap();
    let values = op::read(add, &fields(typed), Units::Us).unwrap();
    Record {
        id: Uuid::from_u128(id),
        kind,
        fields: values
            .into_iter()
            .map(|(name, values)| (name.to_owned(), values))
            .collect(),
        by: Uuid::nil(),
        at: String::new(),
        state: if kind.is_change() { "planned" } else { "" }.to_owned(),
        gone: None,
        clock_off_s: None,
    }
}

fn fields(typed: &[(&str, &str)]) -> BTreeMap<String, Vec<String>> {
    let mut fields: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (name, text) in typed {
        fields
            .entry((*name).to_owned())
            .or_default()
            .push((*text).to_owned());
    }
    fields
}

pub(super) fn uuid(id: u128) -> String {
    Uuid::from_u128(id).to_string()
}

/// Blocks of 2×4, 14 1/2 in long: this many in week 1, that many in week 2.
fn records(first: &str, second: &str) -> Vec<Record> {
    let blocks = |id, week, count| {
        thing(
            id,
            Kind::Pack,
            &[
                (
                    "name",
                    if id == BLOCKS {
                        "Blocks"
                    } else {
                        "More blocks"
                    },
                ),
                ("week", week),
                ("pack", "packing"),
                ("nominal", "2x4"),
                ("count", count),
                ("length", "14 1/2"),
            ],
        )
    };
    let price = |id, length, cents| {
        thing(
            id,
            Kind::Price,
            &[
                ("supplier", &uuid(YARD)),
                ("section", "stick"),
                ("nominal", "2x4"),
                ("species", "Hem-Fir"),
                ("grade", "No.2"),
                ("length", length),
                ("sold_by", "each"),
                ("price", cents),
                ("item_number", "24-96"),
            ],
        )
    };
    vec![
        thing(
            JOB,
            Kind::Job,
            &[
                ("name", "Mill Street"),
                ("species", "Hem-Fir"),
                ("grade", "No.2"),
                ("tax", "6.25"),
            ],
        ),
        thing(
            YARD,
            Kind::Supplier,
            &[("name", "Hill Yard"), ("lead_days", "3")],
        ),
        thing(3, Kind::Week, &[("number", "1"), ("start", "2026-10-12")]),
        price(4, "8'", "4.28"),
        price(5, "10'", "5.35"),
        blocks(BLOCKS, "1", first),
        blocks(MORE, "2", second),
    ]
}

pub(super) struct House {
    pub(super) records: Vec<Record>,
    pub(super) ledger: Ledger,
    entries: u128,
}

impl House {
    pub(super) fn new(first: &str, second: &str) -> Self {
        Self {
            records: records(first, second),
            ledger: Ledger::default(),
            entries: 1_000,
        }
    }

    pub(super) fn job(&self) -> Job {
        Job::new(
            Uuid::from_u128(JOB),
            self.records.clone(),
            self.ledger.clone(),
        )
    }

    /// Writes an entry as typed, and what it does.
    pub(super) fn write(
        &mut self,
        kind: &str,
        about: u128,
        typed: &[(&str, &str)],
    ) -> Result<Vec<Effect>, FieldProblem> {
        self.entries += 1;
        let entry = Op {
            op_id: Uuid::from_u128(self.entries),
            author: Uuid::nil(),
            device: Uuid::nil(),
            job_id: Uuid::from_u128(JOB),
            kind: kind.to_owned(),
            entity_id: Uuid::from_u128(about),
            fields: fields(typed),
            base: BTreeMap::new(),
            device_time: String::new(),
            tz_offset_min: None,
            blobs: Vec::new(),
            depends: Vec::new(),
            replaces: None,
            clock_off_s: None,
        };
        let kind_of = OpKind::named(kind).unwrap();
        let values = op::read(kind_of, &entry.fields, Units::Us).unwrap();
        let moved = effects(&self.job(), &entry, &values)?;
        self.ledger.apply(&moved);
        assert_eq!(self.ledger.verify(), Ok(()));
        for record in &mut self.records {
            if record.id == entry.entity_id {
                match kind {
                    "change.done" => "done".clone_into(&mut record.state),
                    "change.undone" => "planned".clone_into(&mut record.state),
                    "order.send" | "order.status" | "order.cancel" => {
                        let all = values.iter();
                        let written = all.map(|(name, all)| ((*name).to_owned(), all.clone()));
                        record.fields.extend(written);
                    }
                    _ => {}
                }
            }
        }
        if kind == "bought.add" {
            self.records.push(thing(about, Kind::Bought, typed));
        }
        Ok(moved)
    }

    /// Marks a change done as its form shows.
    pub(super) fn do_as_shown(&mut self, change: u128) {
        let form = done_form(&self.job(), Uuid::from_u128(change));
        let used: Vec<(Item, String)> = form
            .counts
            .into_iter()
            .map(|used| (used.item, used.count.to_string()))
            .collect();
        let keys: Vec<String> = used.iter().map(|(item, _)| item.to_key()).collect();
        let mut typed = Vec::new();
        for stick in &form.sticks {
            typed.push(("stick", stick.key.as_str()));
            typed.push(("offcut", stick.offcut.as_str()));
        }
        for (key, (_, used)) in keys.iter().zip(&used) {
            typed.push(("item", key.as_str()));
            typed.push(("used", used.as_str()));
        }
        self.write("change.done", change, &typed).unwrap();
    }

    fn still_to_buy(&self, week: u32) -> Vec<(String, i64)> {
        buy_list(&self.job(), &[week])
            .lines
            .into_iter()
            .filter(|line| line.to_buy > 0)
            .map(|line| (line.words, line.to_buy))
            .collect()
    }
}

pub(super) fn stud(length: Length, house: &House) -> Item {
    let list = buy_list(&house.job(), &[1]);
    let Some(Item::Stick { class, .. }) = list.lines.into_iter().next().map(|line| line.item)
    else {
        panic!("no stick is listed");
    };
    Item::Stick { class, length }
}

#[test]
fn ten_blocks_take_two_eight_foot_sticks_and_say_why() {
    // Six of 14 1/2 in with five kerfs are 87 5/8 in: six to an 8 ft stick. 10 × 14 1/2 × 1.1 = 159 1/2 in, there are 192.
    let house = House::new("10", "2");
    let list = buy_list(&house.job(), &[1]);
    let line = &list.lines[0];
    assert_eq!(line.words, "2×4 Hem-Fir No.2, 8 ft");
    assert_eq!((line.needed, line.from_on_hand, line.to_buy), (2, 0, 2));
    assert_eq!(line.extension, Some(Money::from_cents(856)));
    assert_eq!(list.total, Money::from_cents(856));
    assert_eq!(list.tax, Some(Money::from_cents(54)));
    assert_eq!(line.changes, [Uuid::from_u128(BLOCKS)]);
    assert_eq!(line.supplier.as_deref(), Some("Hill Yard"));
    assert_eq!(line.lead_days, Some(3));
    let ordered = house.job().get(Uuid::from_u128(3)).unwrap().number("start");
    assert_eq!(line.order_by, ordered.map(|day| day - 3));
    assert_eq!(line.why[0].value, "10");
    // A later week uses nothing of what isn't bought yet: under four pieces ask for no waste.
    assert_eq!(
        house.still_to_buy(2),
        [("2×4 Hem-Fir No.2, 8 ft".to_owned(), 1)]
    );
}

#[test]
fn a_line_booked_is_bought_once_and_taken_back_once() {
    let mut house = House::new("10", "1");
    let key = stud(Length::feet(8), &house).to_key();
    let line = [
        ("receipt", uuid(20)),
        ("item", key.clone()),
        ("weeks", "1".to_owned()),
        ("count", "2".to_owned()),
        ("price", "4.28".to_owned()),
    ];
    let typed: Vec<(&str, &str)> = line.iter().map(|(n, t)| (*n, t.as_str())).collect();
    let moved = house.write("bought.add", 21, &typed).unwrap();
    assert_eq!(house.still_to_buy(1), []);
    let item = Item::from_key(&key).unwrap();
    assert_eq!(house.ledger.on_hand(&item), 2);
    assert!(moved.iter().any(|effect| matches!(
        effect,
        Effect::Move(movement) if movement.cause == Cause::Bought && movement.weeks == [1]
    )));
    house.records.push(thing(
        20,
        Kind::Receipt,
        &[("supplier", &uuid(YARD)), ("total", "9.20")],
    ));
    let job = house.job();
    let sums = receipt_sums(&job, job.get(Uuid::from_u128(20)).unwrap());
    assert_eq!(sums.total, Money::from_cents(856 + 54));
    assert_eq!(sums.difference, Some(Money::from_cents(10)));

    house.write("bought.reverse", 21, &[]).unwrap();
    assert_eq!(house.ledger.on_hand(&item), 0);
    assert_eq!(
        house.still_to_buy(1),
        [("2×4 Hem-Fir No.2, 8 ft".to_owned(), 2)]
    );
    let again = house.write("bought.reverse", 21, &[]).unwrap_err();
    assert!(again.message.contains("taken back already"), "{again:?}");
}

#[test]
fn work_done_before_its_receipt_is_missing_until_it_is_booked() {
    let mut house = House::new("10", "1");
    let item = stud(Length::feet(8), &house);
    house.do_as_shown(BLOCKS);
    assert_eq!(house.ledger.on_hand(&item), -2);
    assert_eq!(house.ledger.missing(&item), 2);
    let again = house.write("change.done", BLOCKS, &[]).unwrap_err();
    assert_eq!(again.message, "Blocks is done already.");
    let key = item.to_key();
    house
        .write(
            "bought.add",
            21,
            &[
                ("receipt", &uuid(20)),
                ("item", &key),
                ("weeks", "1"),
                ("count", "3"),
            ],
        )
        .unwrap();
    assert_eq!(
        (house.ledger.on_hand(&item), house.ledger.missing(&item)),
        (1, 0)
    );
}

#[test]
fn an_offcut_that_another_change_used_since_keeps_the_first_one_done() {
    let mut house = House::new("4", "1");
    let key = stud(Length::feet(8), &house).to_key();
    house
        .write(
            "bought.add",
            21,
            &[
                ("receipt", &uuid(20)),
                ("item", &key),
                ("weeks", "1"),
                ("count", "1"),
            ],
        )
        .unwrap();
    // Four of 14 1/2 and four kerfs leave 37 1/2 in, and the block of week 2 comes from it.
    house.do_as_shown(BLOCKS);
    assert_eq!(house.still_to_buy(2), []);
    let list = cut_list(&house.job(), 2);
    assert_eq!(
        list.sticks[0].item.to_string(),
        "2×4 Hem-Fir No.2, 37 1/2 in"
    );
    house.do_as_shown(MORE);
    let kept = house.write("change.undone", BLOCKS, &[]).unwrap_err();
    assert!(kept.message.contains("More blocks"), "{kept:?}");
    house.write("change.undone", MORE, &[]).unwrap();
    house.write("change.undone", BLOCKS, &[]).unwrap();
    assert_eq!(house.ledger.on_hand(&Item::from_key(&key).unwrap()), 1);
}

#[test]
fn a_count_by_hand_fixes_the_difference_to_what_it_saw() {
    let mut house = House::new("1", "1");
    let nails = Item::Fastener {
        class: FastenerClass::new("16d common", ""),
    };
    house
        .write(
            "stock.add",
            30,
            &[
                ("section", "fastener"),
                ("fastener", "16d common"),
                ("count", "200"),
            ],
        )
        .unwrap();
    let key = nails.to_key();
    house
        .write(
            "stock.count",
            30,
            &[
                ("item", &key),
                ("saw", "180"),
                ("counted", "150"),
                ("reason", "Box was open"),
            ],
        )
        .unwrap();
    assert_eq!(house.ledger.on_hand(&nails), 170);
}

#[test]
fn salvage_serves_packing_once_it_is_called_sound() {
    let mut house = House::new("4", "1");
    house
        .write(
            "stock.add",
            30,
            &[
                ("section", "stick"),
                ("nominal", "2x4"),
                ("thickness", "1 3/4"),
                ("depth", "3 3/4"),
                ("length", "8'"),
                ("count", "1"),
                ("salvage", "yes"),
            ],
        )
        .unwrap();
    assert_eq!(house.still_to_buy(1).len(), 1);
    house
        .write("stock.edit", 30, &[("sound", "yes"), ("salvage", "yes")])
        .unwrap();
    assert_eq!(house.still_to_buy(1), []);
}

#[test]
fn the_order_of_the_records_changes_nothing() {
    let house = House::new("10", "7");
    let mut turned = House::new("10", "7");
    turned.records.reverse();
    for week in [1, 2] {
        assert_eq!(
            buy_list(&house.job(), &[week]),
            buy_list(&turned.job(), &[week])
        );
        assert_eq!(cut_list(&house.job(), week), cut_list(&turned.job(), week));
    }
    assert_eq!(
        buy_list(&house.job(), &[2, 1]),
        buy_list(&turned.job(), &[1, 2])
    );
}

#[test]
fn the_same_entry_makes_the_same_rows() {
    let (mut one, mut other) = (House::new("10", "7"), House::new("10", "7"));
    other.records.reverse();
    let key = stud(Length::feet(8), &one).to_key();
    let (receipt, typed) = (uuid(20), [("weeks", "1"), ("count", "2")]);
    let mut all = vec![("receipt", receipt.as_str()), ("item", key.as_str())];
    all.extend(typed);
    assert_eq!(
        one.write("bought.add", 21, &all),
        other.write("bought.add", 21, &all)
    );
}
