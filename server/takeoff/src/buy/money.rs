//! Money: planned, ordered, bought, returned and spent, by week, by supplier and by change.
//!
//! - A receipt's tax is on the sum of its lines, once, half a cent up in size, then the sign; it is laid on the lines by
//!   their extensions (what goes back takes its tax back), whole cents by the largest remainder, ties by the line's id. So
//!   everything comes to the total of the receipts, to the cent.
//! - A line's money is its changes' by the shares that were fixed when it was booked: first the line, then its tax, whole
//!   cents by the largest remainder, ties by the change's id, no change first. Extras and what is over are no change's.
//! - A line belongs to the first of the weeks that it answers.
//! - Planned is the last list that was kept before anything was bought or ordered for its weeks, else the first kept one,
//!   with tax at the job's rate. What a list of one of its weeks had planned already is not planned again.
//! - Ordered is what the orders said when they were sent, with tax at the job's rate; of one that was called off or
//!   revised, what came with it. It is its changes' as the kept list of its weeks has the item.
//! - Lines without a price are counted, never zero; a line that several changes share is counted at each.
//!
//! Source: common practice, no published source.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::item::Item;
use super::ledger::{KeptLine, KeptList, Share};
use super::order_line::order_lines;
use super::receipt::{extension, receipt_sums};
use crate::record::{Job, Kind, Record};
use crate::units::Money;

/// What one row of the page says.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Amounts {
    /// The kept lists, with tax.
    pub planned: Money,
    /// Orders sent and not cancelled, with tax.
    pub ordered: Money,
    /// Lines bought, before tax.
    pub bought: Money,
    /// Lines returned, before tax; not below zero.
    pub returned: Money,
    /// Tax of both.
    pub tax: Money,
    /// Lines bought or returned without a price.
    pub unpriced: usize,
    /// Lines planned without a price.
    pub planned_unpriced: usize,
    /// Lines ordered without a price.
    pub ordered_unpriced: usize,
}

impl Amounts {
    /// Receipts with tax, less returns.
    pub fn spent(&self) -> Money {
        self.bought - self.returned + self.tax
    }
}

/// Everything that was planned and spent.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct MoneySums {
    /// By work week; none: lines that answer no week.
    pub weeks: BTreeMap<Option<u32>, Amounts>,
    /// By supplier; none: receipts and lists without one.
    pub suppliers: BTreeMap<Option<Uuid>, Amounts>,
    /// By change; none: extras, what is over, what has no pieces.
    pub changes: BTreeMap<Option<Uuid>, Amounts>,
    /// All of it.
    pub total: Amounts,
}

impl MoneySums {
    /// The row of a week, a supplier or a change.
    pub fn of(&self, of: MoneyOf) -> Amounts {
        let row = match of {
            MoneyOf::Week(week) => self.weeks.get(&week),
            MoneyOf::Supplier(supplier) => self.suppliers.get(&supplier),
            MoneyOf::Change(change) => self.changes.get(&change),
        };
        row.copied().unwrap_or_default()
    }

    fn add(&mut self, week: Option<u32>, supplier: Option<Uuid>, more: &Amounts) {
        add(self.weeks.entry(week).or_default(), more);
        add(self.suppliers.entry(supplier).or_default(), more);
        add(&mut self.total, more);
    }
}

/// What was planned, ordered and spent in a job.
pub fn money(job: &Job) -> MoneySums {
    let mut sums = MoneySums::default();
    for receipt in job.all(Kind::Receipt) {
        of_receipt(job, receipt, &mut sums);
    }
    planned(job, &mut sums);
    ordered(job, &mut sums);
    sums
}

/// What a row of the money page is about; none: lines that answer no week, have no supplier, are no change's.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum MoneyOf {
    /// A work week.
    Week(Option<u32>),
    /// A supplier.
    Supplier(Option<Uuid>),
    /// A change.
    Change(Option<Uuid>),
}

/// A receipt's line with its tax, or the part of it that is one change's.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SpentLine {
    /// The receipt.
    pub receipt: Uuid,
    /// Its line; none for a receipt of tax alone.
    pub line: Option<Uuid>,
    /// What it comes to: bought, returned, tax, unpriced.
    pub of: Amounts,
}

/// The receipts' lines that a row's bought, returned, tax and spent are made of, to the cent; receipts by their day, then
/// in the order in which they were begun.
pub fn spent_on(job: &Job, of: MoneyOf) -> Vec<SpentLine> {
    let mut receipts: Vec<&Record> = job.all(Kind::Receipt).collect();
    receipts.sort_by_key(|receipt| (receipt.text("day"), &receipt.at, receipt.id));
    let parts = receipts
        .into_iter()
        .flat_map(|receipt| parts_of(job, receipt));
    parts
        .filter_map(|part| {
            let amounts = match of {
                MoneyOf::Week(week) => (part.week == week).then_some(part.of),
                MoneyOf::Supplier(supplier) => (part.supplier == supplier).then_some(part.of),
                MoneyOf::Change(change) => part.changes.get(&change).copied(),
            };
            amounts.map(|of| SpentLine {
                receipt: part.receipt,
                line: part.line,
                of,
            })
        })
        .collect()
}

/// The kept lists that a row's planned is made of, and what each has in it.
pub fn planned_on(job: &Job, of: MoneyOf) -> Vec<(&KeptList, Amounts)> {
    let lists = planned_lists(job);
    let all = lists.iter().enumerate().map(|(at, list)| {
        let mut sums = MoneySums::default();
        planned_after(job, list, &lists[..at], &mut sums);
        (*list, sums.of(of))
    });
    all.filter(|(_, amounts)| *amounts != Amounts::default())
        .collect()
}

/// The orders that a row's ordered is made of, and what each has in it.
pub fn ordered_on(job: &Job, of: MoneyOf) -> Vec<(&Record, Amounts)> {
    let revised = revised(job);
    let all = job.all(Kind::Order).map(|order| {
        let mut sums = MoneySums::default();
        ordered_once(job, order, &revised, &mut sums);
        (order, sums.of(of))
    });
    all.filter(|(_, amounts)| *amounts != Amounts::default())
        .collect()
}

/// A receipt's line with its tax, and whose it is.
struct Part {
    receipt: Uuid,
    line: Option<Uuid>,
    week: Option<u32>,
    supplier: Option<Uuid>,
    of: Amounts,
    changes: BTreeMap<Option<Uuid>, Amounts>,
}

fn of_receipt(job: &Job, receipt: &Record, sums: &mut MoneySums) {
    for part in parts_of(job, receipt) {
        sums.add(part.week, part.supplier, &part.of);
        for (change, of) in &part.changes {
            add(sums.changes.entry(*change).or_default(), of);
        }
    }
}

fn parts_of(job: &Job, receipt: &Record) -> Vec<Part> {
    let receipt_sum = receipt_sums(job, receipt);
    let supplier = receipt.to("supplier");
    let mut all = Vec::new();
    let sized: Vec<(Uuid, Money)> = receipt_sum
        .lines
        .iter()
        .filter_map(|(line, extension)| Some((*line, (*extension)?)))
        .collect();
    let taxes = tax_by_line(receipt_sum.tax.unwrap_or(Money::ZERO), &sized);
    for (id, extension) in &receipt_sum.lines {
        let Some(line) = job.get(*id) else { continue };
        let week = line.weeks().first().copied();
        let tax = taxes.get(id).copied().unwrap_or(Money::ZERO);
        let shares = job.ledger.shares.get(id).map_or(&[][..], Vec::as_slice);
        let by_change = by_share(extension.unwrap_or(Money::ZERO), shares);
        let tax_by_change = by_share(tax, shares);
        let changes = by_change.into_iter().map(|(change, part)| {
            let tax = tax_by_change.get(&change).copied().unwrap_or(Money::ZERO);
            (change, amounts(extension.map(|_| part), tax))
        });
        all.push(Part {
            receipt: receipt.id,
            line: Some(*id),
            week,
            supplier,
            of: amounts(*extension, tax),
            changes: changes.collect(),
        });
    }
    // A receipt of tax alone, as typed.
    if sized.is_empty()
        && let Some(tax) = receipt_sum.tax.filter(|tax| *tax != Money::ZERO)
    {
        let week = receipt.number("week").and_then(|n| u32::try_from(n).ok());
        let of = amounts(Some(Money::ZERO), tax);
        all.push(Part {
            receipt: receipt.id,
            line: None,
            week,
            supplier,
            of,
            changes: BTreeMap::from([(None, of)]),
        });
    }
    all
}

fn amounts(extension: Option<Money>, tax: Money) -> Amounts {
    let sum = extension.unwrap_or(Money::ZERO);
    Amounts {
        bought: sum.max(Money::ZERO),
        returned: (-sum).max(Money::ZERO),
        tax,
        unpriced: usize::from(extension.is_none()),
        ..Amounts::default()
    }
}

fn add(row: &mut Amounts, more: &Amounts) {
    row.planned = row.planned + more.planned;
    row.ordered = row.ordered + more.ordered;
    row.bought = row.bought + more.bought;
    row.returned = row.returned + more.returned;
    row.tax = row.tax + more.tax;
    row.unpriced += more.unpriced;
    row.planned_unpriced += more.planned_unpriced;
    row.ordered_unpriced += more.ordered_unpriced;
}

/// A receipt's tax on its lines. Where bought and returned lines nearly cancel out, or a typed tax is of the other sign, it
/// goes by the sizes without their signs.
fn tax_by_line(tax: Money, lines: &[(Uuid, Money)]) -> BTreeMap<Uuid, Money> {
    let sum: Money = lines.iter().map(|(_, extension)| *extension).sum();
    let (tax_cents, sum_cents) = (i128::from(tax.as_cents()), i128::from(sum.as_cents()));
    let signed = tax_cents * sum_cents >= 0 && tax_cents.abs() <= sum_cents.abs() && sum_cents != 0;
    let weights: Vec<(Uuid, i128)> = lines
        .iter()
        .map(|(id, extension)| {
            let cents = i128::from(extension.as_cents());
            let weight = if !signed {
                cents.abs()
            } else if sum_cents < 0 {
                -cents
            } else {
                cents
            };
            (*id, weight)
        })
        .collect();
    split(tax, &weights)
}

/// An amount over changes by their shares; without shares all of it is no change's.
pub(super) fn by_share(amount: Money, shares: &[Share]) -> BTreeMap<Option<Uuid>, Money> {
    let weights: Vec<(Option<Uuid>, i128)> = shares
        .iter()
        .map(|share| (share.change, i128::from(share.weight)))
        .collect();
    if weights.iter().all(|(_, weight)| *weight == 0) {
        return BTreeMap::from([(None, amount)]);
    }
    split(amount, &weights)
}

/// Splits an amount by weights whose sum is above zero, whole cents by the largest remainder, ties by key: each part is the
/// exact one, down to a whole cent of its size, and the cents that are left go to the largest remainders. Sizes are split,
/// then the sign is set.
fn split<K: Ord + Copy>(amount: Money, weights: &[(K, i128)]) -> BTreeMap<K, Money> {
    let sum: i128 = weights.iter().map(|(_, weight)| weight).sum();
    if sum <= 0 {
        let first = weights.iter().map(|(key, _)| *key).min();
        let mut all: BTreeMap<K, Money> =
            weights.iter().map(|(key, _)| (*key, Money::ZERO)).collect();
        if let Some(first) = first {
            all.insert(first, amount);
        }
        return all;
    }
    let cents = i128::from(amount.as_cents());
    let (size, sign) = (cents.abs(), cents.signum());
    let mut parts: Vec<(K, i128, i128)> = weights
        .iter()
        .map(|(key, weight)| {
            let exact = size * weight;
            (*key, exact.div_euclid(sum), exact.rem_euclid(sum))
        })
        .collect();
    let given: i128 = parts.iter().map(|(_, part, _)| part).sum();
    parts.sort_by(|a, b| b.2.cmp(&a.2).then(a.0.cmp(&b.0)));
    let left = usize::try_from(size - given).unwrap_or(0);
    for part in parts.iter_mut().take(left) {
        part.1 += 1;
    }
    let mut all = BTreeMap::new();
    for (key, part, _) in parts {
        let part = Money::from_cents(i64::try_from(part * sign).unwrap_or(i64::MAX));
        let entry = all.entry(key).or_insert(Money::ZERO);
        *entry = *entry + part;
    }
    all
}

/// The lists that say what was planned: of each week, or weeks bought together, one, in the order in which they were kept.
fn planned_lists(job: &Job) -> Vec<&KeptList> {
    let mut all: Vec<&KeptList> = Vec::new();
    for list in &job.ledger.kept {
        match all.iter_mut().find(|known| known.weeks == list.weeks) {
            Some(known) if !list.begun => *known = list,
            Some(_) => {}
            None => all.push(list),
        }
    }
    all
}

fn planned(job: &Job, sums: &mut MoneySums) {
    let lists = planned_lists(job);
    for (at, list) in lists.iter().enumerate() {
        planned_after(job, list, &lists[..at], sums);
    }
}

/// What a list plans besides what the earlier ones of its weeks had planned.
fn planned_after(job: &Job, list: &KeptList, earlier: &[&KeptList], sums: &mut MoneySums) {
    let before: Vec<&KeptList> = earlier
        .iter()
        .copied()
        .filter(|other| other.weeks.iter().any(|week| list.weeks.contains(week)))
        .collect();
    planned_by(job, list, &before, sums);
}

/// The changes whose part of an item these lists have planned.
fn planned_already(before: &[&KeptList], item: &Item) -> BTreeSet<Uuid> {
    before
        .iter()
        .flat_map(|list| &list.lines)
        .filter(|line| line.item == *item)
        .flat_map(|line| &line.shares)
        .filter_map(|share| share.change)
        .collect()
}

fn planned_by(job: &Job, list: &KeptList, before: &[&KeptList], sums: &mut MoneySums) {
    let week = list.weeks.first().copied();
    let supplier_of = |line: &KeptLine| {
        let mut all = job.all(Kind::Supplier);
        let by_name = || {
            all.find(|supplier| !line.supplier.is_empty() && supplier.name() == line.supplier)
                .map(|supplier| supplier.id)
        };
        line.supplier_id.or_else(by_name)
    };
    // Each line with its changes' parts, without those that were planned before.
    let mut own: Vec<(usize, BTreeMap<Option<Uuid>, Money>)> = Vec::new();
    for (at, line) in list.lines.iter().enumerate() {
        let known = planned_already(before, &line.item);
        let is_new = |change: &Option<Uuid>| change.is_none_or(|change| !known.contains(&change));
        match line.extension {
            Some(extension) => {
                let mut parts = by_share(extension, &line.shares);
                parts.retain(|change, _| is_new(change));
                if !parts.is_empty() {
                    own.push((at, parts));
                }
            }
            None if line.to_buy > 0 => {
                let mut changes: BTreeSet<Option<Uuid>> =
                    line.shares.iter().map(|share| share.change).collect();
                if changes.is_empty() {
                    changes.insert(None);
                }
                changes.retain(is_new);
                let one = Amounts {
                    planned_unpriced: 1,
                    ..Amounts::default()
                };
                if !changes.is_empty() {
                    sums.add(week, supplier_of(line), &one);
                }
                for change in changes {
                    add(sums.changes.entry(change).or_default(), &one);
                }
            }
            None => {}
        }
    }
    let of_line = |parts: &BTreeMap<Option<Uuid>, Money>| parts.values().copied().sum::<Money>();
    let sum: Money = own.iter().map(|(_, parts)| of_line(parts)).sum();
    let tax = job.settings.tax.map_or(Money::ZERO, |rate| rate.on(sum));
    let sized: Vec<(usize, i128)> = own
        .iter()
        .map(|(at, parts)| (*at, i128::from(of_line(parts).as_cents())))
        .collect();
    let taxes = split(tax, &sized);
    for (at, parts) in own {
        let tax = taxes.get(&at).copied().unwrap_or(Money::ZERO);
        let planned = |planned| Amounts {
            planned,
            ..Amounts::default()
        };
        let supplier = supplier_of(&list.lines[at]);
        sums.add(week, supplier, &planned(of_line(&parts) + tax));
        let weights: Vec<(Option<Uuid>, i128)> = parts
            .iter()
            .map(|(change, part)| (*change, i128::from(part.as_cents())))
            .collect();
        let by_change = split(tax, &weights);
        for (change, part) in parts {
            let tax = by_change.get(&change).copied().unwrap_or(Money::ZERO);
            let row = sums.changes.entry(change).or_default();
            add(row, &planned(part + tax));
        }
    }
}

/// Orders that were sent, by what they said then; of one that was called off, or that a later revision took over, what
/// came with it.
fn ordered(job: &Job, sums: &mut MoneySums) {
    let revised = revised(job);
    for order in job.all(Kind::Order) {
        ordered_once(job, order, &revised, sums);
    }
}

/// Orders that a later revision took over.
fn revised(job: &Job) -> BTreeSet<Uuid> {
    job.all(Kind::Order)
        .filter(|order| order.text("sent").is_some())
        .filter_map(|order| order.to("revises"))
        .collect()
}

fn ordered_once(job: &Job, order: &Record, revised: &BTreeSet<Uuid>, sums: &mut MoneySums) {
    let lines: Vec<(Item, Option<Money>)> = if is_out(order) && !revised.contains(&order.id) {
        order_lines(order)
            .into_iter()
            .map(|line| (line.item, line.extension))
            .collect()
    } else {
        came_with(job, order)
    };
    ordered_by(job, order, &lines, sums);
}

/// What an order brought, as its receipts have it.
fn came_with(job: &Job, order: &Record) -> Vec<(Item, Option<Money>)> {
    job.all(Kind::Bought)
        .filter(|line| line.to("order") == Some(order.id) && !line.says("way", "returned"))
        .filter(|line| !job.ledger.is_taken_back(line.id))
        .filter_map(|line| {
            let item = line.text("instead_of").or(line.text("item"))?;
            Some((Item::from_key(item).ok()?, extension(line)))
        })
        .collect()
}

fn ordered_by(job: &Job, order: &Record, lines: &[(Item, Option<Money>)], sums: &mut MoneySums) {
    let (week, supplier) = (order.weeks().first().copied(), order.to("supplier"));
    let sum: Money = lines.iter().filter_map(|(_, extension)| *extension).sum();
    let tax = job.settings.tax.map_or(Money::ZERO, |rate| rate.on(sum));
    let sized: Vec<(usize, i128)> = lines
        .iter()
        .enumerate()
        .filter_map(|(at, (_, extension))| Some((at, i128::from((*extension)?.as_cents()))))
        .collect();
    let taxes = split(tax, &sized);
    for (at, (item, extension)) in lines.iter().enumerate() {
        let tax = taxes.get(&at).copied().unwrap_or(Money::ZERO);
        let of = |ordered: Money| Amounts {
            ordered,
            ordered_unpriced: usize::from(extension.is_none()),
            ..Amounts::default()
        };
        let own = extension.unwrap_or(Money::ZERO);
        sums.add(week, supplier, &of(own + tax));
        let shares = shares_kept(job, order, item);
        let by_change = by_share(tax, shares);
        for (change, part) in by_share(own, shares) {
            let tax = by_change.get(&change).copied().unwrap_or(Money::ZERO);
            add(sums.changes.entry(change).or_default(), &of(part + tax));
        }
    }
}

/// The changes of an item as the first kept list of an order's weeks has it.
fn shares_kept<'a>(job: &'a Job, order: &Record, item: &Item) -> &'a [Share] {
    let weeks: Vec<u32> = order.fields.get("weeks").map_or_else(Vec::new, |all| {
        let numbers = all.iter().filter_map(|value| value.number);
        numbers.filter_map(|n| u32::try_from(n).ok()).collect()
    });
    job.ledger
        .kept
        .iter()
        .filter(|list| list.weeks.iter().any(|week| weeks.contains(week)))
        .flat_map(|list| &list.lines)
        .find(|line| line.item == *item && !line.shares.is_empty())
        .map_or(&[], |line| line.shares.as_slice())
}

/// Whether an order was sent and not called off.
fn is_out(order: &Record) -> bool {
    order
        .text("status")
        .is_some_and(|status| status != "cancelled")
}
