//! Laws 3 and 5 over a crew's random weeks, with entries as they are typed: lists booked, swaps, extras, returns, lines
//! taken back, orders that come in part or not at all, counts, changes done and undone, plans made afresh.

use std::collections::BTreeMap;

use proptest::prelude::*;
use uuid::Uuid;

use super::super::{BuyLine, Item, MoneySums, OrderLine, buy_list, money};
use super::entries::{BLOCKS, House, MORE, YARD, thing, uuid};
use super::laws::cases;
use super::money_law::tax_on;
use super::site::shown;
use crate::record::Kind;
use crate::units::{Money, decimal_text};

const OTHER_YARD: u128 = 8;
const ROPE: u128 = 12;
const CHANGES: [u128; 3] = [BLOCKS, MORE, ROPE];

/// A slip: its id, whose it is, what was typed about tax, and what that comes to on a sum: a rate in 1/1000 %, or cents.
type Slip = (
    u128,
    Option<u128>,
    Option<(&'static str, &'static str)>,
    Tax,
);

#[derive(Clone, Copy)]
enum Tax {
    Rate(i64),
    Cents(i64),
}

/// The job's rate is 6.25 %.
const SLIPS: [Slip; 4] = [
    (50, Some(YARD), None, Tax::Rate(6_250)),
    (51, Some(OTHER_YARD), Some(("tax", "5")), Tax::Rate(5_000)),
    (52, None, Some(("tax_typed", "1.37")), Tax::Cents(137)),
    (53, Some(YARD), Some(("tax", "0")), Tax::Rate(0)),
];

/// A line of a slip as it was typed: count × price in cents, below zero for what went back; none without a price.
#[derive(Clone)]
struct Line {
    id: u128,
    slip: usize,
    week: u32,
    cents: Option<i64>,
    is_taken_back: bool,
}

struct Crew {
    house: House,
    ids: u128,
    lines: Vec<Line>,
    orders: Vec<(u128, u32)>,
}

impl Crew {
    fn new(first: &str, second: &str) -> Self {
        let mut house = House::new(first, second);
        let rope = [
            ("name", "Rope"),
            ("week", "2"),
            ("item", "rope"),
            ("unit", "each"),
            ("count", "3"),
        ];
        let other = uuid(OTHER_YARD);
        let price = [
            ("supplier", other.as_str()),
            ("section", "sundry"),
            ("name", "rope"),
            ("sold_by", "each"),
            ("price", "3.33"),
        ];
        house.records.extend([
            thing(OTHER_YARD, Kind::Supplier, &[("name", "Creek Yard")]),
            thing(9, Kind::Price, &price),
            thing(ROPE, Kind::Sundry, &rope),
        ]);
        for (id, supplier, tax, _) in SLIPS {
            let supplier = supplier.map(uuid);
            let of = supplier.as_deref().map(|id| ("supplier", id));
            let typed: Vec<(&str, &str)> = of.into_iter().chain(tax).collect();
            house.records.push(thing(id, Kind::Receipt, &typed));
        }
        Self {
            house,
            ids: 10_000,
            lines: Vec::new(),
            orders: Vec::new(),
        }
    }

    fn next(&mut self) -> u128 {
        self.ids += 1;
        self.ids
    }

    fn listed(&self, week: u32) -> Vec<BuyLine> {
        let list = buy_list(&self.house.job(), &[week]);
        list.lines
            .into_iter()
            .filter(|line| line.to_buy > 0)
            .collect()
    }

    /// Books a line of a slip; refused or not, what was typed stays typed.
    fn bought(
        &mut self,
        slip: usize,
        week: u32,
        cents: Option<i64>,
        count: i64,
        typed: &[(&str, &str)],
    ) {
        let id = self.next();
        let (receipt, weeks) = (uuid(SLIPS[slip].0), week.to_string());
        let (count_text, price) = (count.to_string(), cents.map(|cents| decimal_text(cents, 2)));
        let mut all = vec![
            ("receipt", receipt.as_str()),
            ("weeks", weeks.as_str()),
            ("count", count_text.as_str()),
        ];
        all.extend(price.as_deref().map(|price| ("price", price)));
        all.extend(typed);
        let is_back = typed.contains(&("way", "returned"));
        if self.house.write("bought.add", id, &all).is_ok() {
            let sign = if is_back { -1 } else { 1 };
            self.lines.push(Line {
                id,
                slip,
                week,
                cents: cents.map(|cents| sign * cents * count),
                is_taken_back: false,
            });
        }
    }

    /// Something that people do, by a number that says what and to which.
    fn act(&mut self, (what, which, count): (u8, usize, i64)) {
        let week = if which & 1 == 0 { 1 } else { 2 };
        let slip = (which >> 1).rem_euclid(SLIPS.len());
        let at = which >> 3;
        let list = self.listed(week);
        let line = (!list.is_empty()).then(|| list[at.rem_euclid(list.len())].clone());
        let priced = |cents: i64| (count != 3).then_some(cents);
        match (what, line) {
            (0..=2, Some(line)) => {
                let (key, per) = (line.item.to_key(), decimal_text(line.per_tenths, 1));
                let cents = line.unit_price.map(Money::as_cents);
                let count = line.to_buy.min(count);
                let typed = [("item", key.as_str()), ("per", per.as_str())];
                self.bought(slip, week, cents, count, &typed);
            }
            (3, Some(line)) => {
                if let Item::Stick { class, length } = &line.item {
                    let other = Item::Stick {
                        class: class.clone(),
                        length: *length + crate::units::Length::feet(4) * (count - 2),
                    };
                    let (key, asked) = (other.to_key(), line.item.to_key());
                    let typed = [("item", key.as_str()), ("instead_of", asked.as_str())];
                    self.bought(slip, week, priced(619), line.to_buy.min(count), &typed);
                }
            }
            (4, _) => {
                let typed = [("item", "sundry;rope;each")];
                self.bought(slip, week, priced(333), count, &typed);
            }
            (5 | 6, _) => self.back(at, slip, week, priced(428), count),
            (7, _) => self.take_back(at),
            (8, Some(_)) => self.order(week, &list, count),
            (9, _) => self.comes(at, slip, count),
            (10, _) => self.call_off(at),
            (11, _) => self.count(at, count - 2),
            (12, _) => {
                self.house.write("week.afresh", 3, &[]).unwrap();
            }
            _ => {
                let change = CHANGES[at.rem_euclid(CHANGES.len())];
                if self.is_done(change) {
                    // An offcut of it may have been used since.
                    let _done_still = self.house.write("change.undone", change, &[]);
                } else {
                    self.house.do_as_shown(change);
                }
            }
        }
    }

    fn here(&self, at: usize) -> Option<Item> {
        let all: Vec<&Item> = self.house.ledger.items().into_iter().collect();
        let here: Vec<&&Item> = all
            .iter()
            .filter(|item| self.house.ledger.on_hand(item) > 0)
            .collect();
        (!here.is_empty()).then(|| (**here[at.rem_euclid(here.len())]).clone())
    }

    fn back(&mut self, at: usize, slip: usize, week: u32, cents: Option<i64>, count: i64) {
        if let Some(item) = self.here(at) {
            let count = self.house.ledger.on_hand(&item).min(count);
            let key = item.to_key();
            let typed = [("item", key.as_str()), ("way", "returned")];
            self.bought(slip, week, cents, count, &typed);
        }
    }

    fn take_back(&mut self, at: usize) {
        let lines = self.lines.len().max(1);
        if let Some(line) = self.lines.get_mut(at.rem_euclid(lines)) {
            line.is_taken_back |= self.house.write("bought.reverse", line.id, &[]).is_ok();
        }
    }

    fn order(&mut self, week: u32, list: &[BuyLine], count: i64) {
        let (id, yard, weeks) = (self.next(), uuid(YARD), week.to_string());
        self.house.records.push(thing(
            id,
            Kind::Order,
            &[("supplier", &yard), ("weeks", &weeks)],
        ));
        let lines: Vec<String> = list
            .iter()
            .map(|line| {
                OrderLine::of(line)
                    .with_count(line.to_buy.min(count))
                    .to_text()
            })
            .collect();
        let mut typed = vec![
            ("weeks", weeks.as_str()),
            ("status", "sent"),
            ("sent", "2026-10-08"),
        ];
        typed.extend(lines.iter().map(|line| ("line", line.as_str())));
        self.house.write("order.send", id, &typed).unwrap();
        self.orders.push((id, week));
    }

    fn comes(&mut self, at: usize, slip: usize, count: i64) {
        let orders = self.orders.len().max(1);
        let Some((id, week)) = self.orders.get(at.rem_euclid(orders)).copied() else {
            return;
        };
        let items: Vec<Item> = self.house.ledger.items().into_iter().cloned().collect();
        let ordered = |item: &Item| self.house.ledger.ordered_by(Uuid::from_u128(id), item);
        if let Some(item) = items.iter().find(|item| ordered(item) > 0) {
            let (key, order) = (item.to_key(), uuid(id));
            let typed = [("item", key.as_str()), ("order", order.as_str())];
            self.bought(slip, week, Some(431), ordered(item).min(count), &typed);
        }
    }

    fn call_off(&mut self, at: usize) {
        let orders = self.orders.len().max(1);
        if let Some((id, _)) = self.orders.get(at.rem_euclid(orders)).copied() {
            let off = [("status", "cancelled"), ("reason", "late")];
            self.house.write("order.cancel", id, &off).unwrap();
        }
    }

    fn count(&mut self, at: usize, difference: i64) {
        if let Some(item) = self.here(at) {
            let (key, saw) = (item.to_key(), self.house.ledger.on_hand(&item));
            let (id, counted) = (self.next(), (saw + difference).max(0).to_string());
            let saw = saw.to_string();
            let typed = [
                ("item", key.as_str()),
                ("saw", saw.as_str()),
                ("counted", counted.as_str()),
                ("reason", "by hand"),
            ];
            self.house.write("stock.count", id, &typed).unwrap();
        }
    }

    fn is_done(&self, change: u128) -> bool {
        let id = Uuid::from_u128(change);
        let mut records = self.house.records.iter();
        records.any(|record| record.id == id && record.state == "done")
    }

    /// On hand by item, the weeks' lists, money.
    fn state(&self) -> State {
        let job = self.house.job();
        let items = self.house.ledger.items();
        let on_hand = items.into_iter().cloned();
        (
            on_hand
                .map(|item| (item.clone(), self.house.ledger.on_hand(&item)))
                .filter(|(_, count)| *count != 0)
                .collect(),
            [1, 2].map(|week| shown(&buy_list(&job, &[week]))).to_vec(),
            money(&job),
        )
    }

    /// What each slip comes to in cents, lines and tax.
    fn paper(&self) -> BTreeMap<usize, i64> {
        let mut all = BTreeMap::new();
        for (at, (_, _, _, tax)) in SLIPS.into_iter().enumerate() {
            let sum: i64 = self
                .lines
                .iter()
                .filter(|line| line.slip == at && !line.is_taken_back)
                .filter_map(|line| line.cents)
                .sum();
            let tax = match tax {
                Tax::Rate(rate) => tax_on(sum, rate),
                Tax::Cents(cents) if sum < 0 => -cents,
                Tax::Cents(cents) => cents,
            };
            all.insert(at, sum + tax);
        }
        all
    }

    /// Law 5, against the slips as they were typed.
    fn money_adds_up(&self) {
        let sums = money(&self.house.job());
        let paper = self.paper();
        let all: i64 = paper.values().sum();
        assert_eq!(sums.total.spent().as_cents(), all, "all");
        let spent = |rows: Vec<i64>| rows.into_iter().sum::<i64>();
        assert_eq!(
            spent(
                sums.weeks
                    .values()
                    .map(|row| row.spent().as_cents())
                    .collect()
            ),
            all,
            "weeks"
        );
        assert_eq!(
            spent(
                sums.changes
                    .values()
                    .map(|row| row.spent().as_cents())
                    .collect()
            ),
            all,
            "changes"
        );
        for yard in [None, Some(YARD), Some(OTHER_YARD)] {
            let of = |at: &usize| SLIPS[*at].1 == yard;
            let wanted: i64 = paper
                .iter()
                .filter(|(at, _)| of(at))
                .map(|(_, cents)| cents)
                .sum();
            let row = sums.suppliers.get(&yard.map(Uuid::from_u128));
            assert_eq!(
                row.map_or(0, |row| row.spent().as_cents()),
                wanted,
                "supplier {yard:?}"
            );
        }
        for week in [1, 2] {
            let of_week = |sign: i64| -> i64 {
                let lines = self
                    .lines
                    .iter()
                    .filter(|line| line.week == week && !line.is_taken_back);
                lines
                    .filter_map(|line| line.cents)
                    .map(|cents| (sign * cents).max(0))
                    .sum()
            };
            let row = sums.weeks.get(&Some(week)).copied().unwrap_or_default();
            let said = (row.bought.as_cents(), row.returned.as_cents());
            assert_eq!(said, (of_week(1), of_week(-1)), "week {week} before tax");
        }
    }
}

type State = (BTreeMap<Item, i64>, Vec<Vec<Shown>>, MoneySums);
type Shown = (String, i64, i64, i64, Option<Money>);

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn whatever_a_crew_does_spent_is_what_the_slips_come_to(
        first in 1_u32..14, second in 1_u32..14, acts in prop::collection::vec((0_u8..=15, any::<usize>(), 1_i64..=4), 1..14),
    ) {
        let mut crew = Crew::new(&first.to_string(), &second.to_string());
        for one in acts {
            crew.act(one);
            crew.money_adds_up();
        }
    }

    #[test]
    fn done_and_undone_again_everything_is_as_it_was(
        first in 1_u32..14, second in 1_u32..14, acts in prop::collection::vec((0_u8..=15, any::<usize>(), 1_i64..=4), 1..14),
    ) {
        let mut crew = Crew::new(&first.to_string(), &second.to_string());
        for one in acts {
            crew.act(one);
        }
        for change in CHANGES {
            if !crew.is_done(change) {
                let before = crew.state();
                crew.house.do_as_shown(change);
                crew.house.write("change.undone", change, &[]).unwrap();
                prop_assert_eq!(&before, &crew.state(), "{}", change);
            }
        }
    }
}
