//! Yard orders as they stand: what each line brought and still brings, the state that follows from it, what a draft asks
//! for, and where the list says something else by now.
//!
//! What a sent order said stays as it was; nothing here changes it. Source: common practice, no published source.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::basis::Basis;
use super::counted::pieces_booked;
use super::entries::released;
use super::item::Item;
use super::kept::{Difference, differences};
use super::list::{BuyLine, BuyList, list_on};
use super::order_line::{OrderLine, order_lines};
use crate::needs;
use crate::record::{Job, Kind, Record};

/// How an order stands. What came of it is worked out, whatever was said of it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OrderState {
    /// Not sent yet.
    Draft,
    /// Sent; nothing came.
    Sent,
    /// The yard said yes; nothing came.
    Confirmed,
    /// Some came, some is still to come.
    PartReceived,
    /// Some came, and nothing is still to come.
    Received,
    /// Nothing came, and nothing is still to come.
    NothingCame,
    /// Called off.
    CalledOff,
    /// A later revision was sent.
    TakenOver,
}

impl OrderState {
    /// Whether something may still come with it.
    pub fn is_open(self) -> bool {
        matches!(self, Self::Sent | Self::Confirmed | Self::PartReceived)
    }
}

/// A line of a sent order with what became of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderedLine {
    /// As it was sent.
    pub line: OrderLine,
    /// So many came, in the unit sold, down.
    pub came: i64,
    /// So many are still to come, in the unit sold, up.
    pub to_come: i64,
    /// The same in sticks, sheets or pieces.
    pub to_come_pieces: i64,
    /// So many went back to the list, in the unit sold, down.
    pub back: i64,
}

/// The revision of an order: 1 where it says none.
pub fn order_revision(order: &Record) -> i64 {
    order.number("revision").unwrap_or(1)
}

/// The later revision that took an order over: the first that was sent.
pub fn taken_over_by(job: &Job, order: Uuid) -> Option<&Record> {
    job.all(Kind::Order)
        .filter(|later| later.to("revises") == Some(order) && later.text("sent").is_some())
        .min_by_key(|later| (later.text("sent"), later.at.as_str(), later.id))
}

/// How an order stands.
pub fn order_state(job: &Job, order: &Record) -> OrderState {
    let said = match order.text("status") {
        None => return OrderState::Draft,
        Some("cancelled") => return OrderState::CalledOff,
        Some(said) => said,
    };
    if taken_over_by(job, order.id).is_some() {
        return OrderState::TakenOver;
    }
    let left = ordered_lines(job, order)
        .iter()
        .any(|line| line.to_come_pieces > 0);
    let came = came(job, order.id);
    let some = came.by_pack.values().chain(came.otherwise.values());
    match (some.into_iter().any(|n| *n > 0), left) {
        (true, true) => OrderState::PartReceived,
        (true, false) => OrderState::Received,
        (false, false) => OrderState::NothingCame,
        (false, true) if said == "confirmed" => OrderState::Confirmed,
        (false, true) => OrderState::Sent,
    }
}

/// The lines of a sent order with what became of each. What came is of the line that is sold so; what came in another pack,
/// or instead of an item, is of its lines in their order.
pub fn ordered_lines(job: &Job, order: &Record) -> Vec<OrderedLine> {
    let mut came = came(job, order.id);
    let lines = order_lines(order);
    let as_sold: Vec<i64> = lines
        .iter()
        .map(|line| {
            let here = came.by_pack.entry((line.item.clone(), line.per_tenths));
            let here = here.or_default();
            let got = (*here).min(line.count).max(0);
            *here -= got;
            got
        })
        .collect();
    for ((item, per_tenths), left) in came.by_pack {
        *came.otherwise.entry(item).or_default() += pieces_booked(per_tenths, left);
    }
    let mut open: BTreeMap<Item, i64> = BTreeMap::new();
    lines
        .into_iter()
        .zip(as_sold)
        .map(|(line, as_sold)| {
            let (all, got) = (line.pieces(), pieces_booked(line.per_tenths, as_sold));
            let open = open
                .entry(line.item.clone())
                .or_insert_with(|| job.ledger.ordered_by(order.id, &line.item));
            let to_come = (all - got).min(*open).max(0);
            *open -= to_come;
            let here = came.otherwise.entry(line.item.clone()).or_default();
            let more = (*here).min(all - got - to_come).max(0);
            *here -= more;
            let back = (all - got - more - to_come).max(0);
            let down = |pieces: i64| (pieces * 10).div_euclid(line.per_tenths);
            // Part of a pack is a pack still, but for pounds: there a piece may be lost in rounding.
            let per = line.per_tenths;
            let units = if per % 10 == 0 {
                (to_come * 10 + per - 1).div_euclid(per)
            } else {
                (to_come * 20 + per).div_euclid(2 * per)
            };
            OrderedLine {
                came: as_sold + down(more),
                to_come: units,
                to_come_pieces: to_come,
                back: down(back),
                line,
            }
        })
        .collect()
}

/// What the receipts of an order brought, by the item that was ordered.
#[derive(Default)]
struct CameOf {
    /// Of the item itself, in the unit sold, by how many tenths of a piece come in one.
    by_pack: BTreeMap<(Item, i64), i64>,
    /// Instead of it, in pieces.
    otherwise: BTreeMap<Item, i64>,
}

fn came(job: &Job, order: Uuid) -> CameOf {
    let mut all = CameOf::default();
    let lines = job.all(Kind::Bought).filter(|line| {
        line.to("order") == Some(order)
            && !line.says("way", "returned")
            && !job.ledger.is_taken_back(line.id)
    });
    for line in lines {
        let key = |field| line.text(field).and_then(|key| Item::from_key(key).ok());
        let count = line.number("count").unwrap_or(0);
        let per = line.number("per").unwrap_or(10);
        match (key("instead_of"), key("item")) {
            (Some(asked), _) if asked.has_rows() => {
                *all.otherwise.entry(asked).or_default() += count;
            }
            (Some(asked), _) => {
                *all.otherwise.entry(asked).or_default() += pieces_booked(per, count);
            }
            (None, Some(item)) => {
                let per = if item.has_rows() { 10 } else { per };
                *all.by_pack.entry((item, per)).or_default() += count;
            }
            (None, None) => {}
        }
    }
    all
}

/// What a draft asks its supplier for, with how many as the list has it: the lines of its weeks at that supplier's price.
/// A revision also keeps what the order that it revises still brings, at the price of then, where that is wanted still.
pub fn draft_lines(job: &Job, draft: &Record) -> Vec<BuyLine> {
    asked_for(
        job,
        draft.to("supplier"),
        &draft.weeks(),
        draft.to("revises"),
    )
}

fn asked_for(
    job: &Job,
    supplier: Option<Uuid>,
    weeks: &[u32],
    revises: Option<Uuid>,
) -> Vec<BuyLine> {
    let name = supplier.map_or("", |id| job.name(id));
    let old = revises.and_then(|id| job.get(id));
    let ledger = match old {
        Some(old) => released(&job.ledger, old.id),
        None => job.ledger.clone(),
    };
    let basis = Basis {
        ledger: &ledger,
        ..Basis::of(job)
    };
    let standing = old.map_or_else(Vec::new, |old| ordered_lines(job, old));
    list_on(job, &basis, weeks)
        .lines
        .into_iter()
        .filter(|line| line.to_buy > 0)
        .filter_map(|line| {
            if line.supplier.as_deref() == Some(name) {
                return Some(line);
            }
            let then = standing
                .iter()
                .find(|then| then.to_come > 0 && is_same(&then.line, &line))?;
            Some(as_ordered(&line, then, name))
        })
        .collect()
}

fn is_same(ordered: &OrderLine, line: &BuyLine) -> bool {
    (&ordered.item, ordered.per_tenths) == (&line.item, line.per_tenths)
}

/// A line that another supplier sells by now, at the price that it was ordered at.
fn as_ordered(line: &BuyLine, then: &OrderedLine, supplier: &str) -> BuyLine {
    let then = then.line.clone().with_count(line.to_buy.min(then.to_come));
    listed(&then, supplier, line)
}

/// A line of an order as a line of the list, with the days and changes of the list's own.
fn listed(ordered: &OrderLine, supplier: &str, of: &BuyLine) -> BuyLine {
    BuyLine {
        words: ordered.words.clone(),
        unit: ordered.unit.clone(),
        by_the_foot: ordered.length_sold(),
        to_buy: ordered.count,
        unit_price: ordered.price,
        extension: ordered.extension,
        supplier: Some(supplier.to_owned()),
        item_number: Some(ordered.number.clone()).filter(|number| !number.is_empty()),
        ..of.clone()
    }
}

/// The lines of an order as a list, for its papers: each as it is to be sent, with its order-by day and its changes from
/// the list of now; a line that the list doesn't have has neither.
pub fn as_list(job: &Job, order: &Record, lines: &[OrderLine]) -> BuyList {
    let name = order.to("supplier").map_or("", |id| job.name(id));
    let asked = draft_lines(job, order);
    let lines: Vec<BuyLine> = lines
        .iter()
        .map(|line| {
            let of = asked.iter().find(|one| is_same(line, one));
            of.map_or_else(
                || {
                    listed(
                        line,
                        name,
                        &BuyLine::alone(line.item.clone(), line.per_tenths),
                    )
                },
                |of| listed(line, name, of),
            )
        })
        .collect();
    let total = lines.iter().filter_map(|line| line.extension).sum();
    BuyList {
        weeks: order.weeks(),
        unpriced: lines
            .iter()
            .filter(|line| line.to_buy > 0 && line.extension.is_none())
            .count(),
        tax: job.settings.tax.map(|rate| rate.on(total)),
        total,
        lines,
        unmet: Vec::new(),
        missing: Vec::new(),
    }
}

/// A line of an order that isn't what the list asks for now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderDifference {
    /// In yard words.
    pub words: String,
    /// The unit sold.
    pub unit: String,
    /// How many the order still brings, in the unit sold; 0: new.
    pub was: i64,
    /// How many are wanted of it now; 0: gone.
    pub now: i64,
    /// What changed since the list was kept; nothing where more or fewer were ordered than the list asked for.
    pub because: Vec<Difference>,
}

/// Where the list of its weeks asks this supplier for something else than a sent order still brings: in the order's own
/// order, then what is new.
pub fn order_differences(job: &Job, order: &Record) -> Vec<OrderDifference> {
    let weeks = order.weeks();
    let asked = asked_for(job, order.to("supplier"), &weeks, Some(order.id));
    let sent = ordered_lines(job, order);
    let changed = job
        .ledger
        .kept_of(&weeks)
        .map_or_else(Vec::new, |kept| differences(job, kept));
    let mut all = Vec::new();
    for then in &sent {
        let now = asked.iter().find(|line| is_same(&then.line, line));
        let n = now.map_or(0, |line| line.to_buy);
        if n != then.to_come {
            all.push(OrderDifference {
                words: then.line.words.clone(),
                unit: then.line.unit.clone(),
                was: then.to_come,
                now: n,
                because: because(job, &then.line.item, &changed),
            });
        }
    }
    for line in &asked {
        if !sent.iter().any(|then| is_same(&then.line, line)) {
            all.push(OrderDifference {
                words: line.words.clone(),
                unit: line.unit.clone(),
                was: 0,
                now: line.to_buy,
                because: because(job, &line.item, &changed),
            });
        }
    }
    all
}

/// The differences that are about things of an item's class; of a need that is gone the class is not known any more.
fn because(job: &Job, item: &Item, changed: &[Difference]) -> Vec<Difference> {
    let class = item.class();
    changed
        .iter()
        .filter(|difference| {
            let Some(change) = job.get(difference.change) else {
                return true;
            };
            if let Some((was, now)) = &difference.of {
                return *was == class || *now == class;
            }
            let mut same = needs::of_change(job, change)
                .needs
                .into_iter()
                .filter(|need| need.title == difference.title)
                .peekable();
            same.peek().is_none() || same.any(|need| need.class == class)
        })
        .cloned()
        .collect()
}
