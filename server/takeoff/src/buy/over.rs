//! What was bought for a week and no week wants: named when the week is closed, as what could go back. And what was
//! bought beyond what a kept list asked for: bought twice.
//!
//! A stick or sheet that is here uncut, was bought for the week, holds no piece of the standing plan and waits for no
//! waste; of counted things, what is beyond all that the weeks still need, as far as it was bought for the week. Source:
//! common practice, no published source.

use std::collections::BTreeMap;

use super::basis::Basis;
use super::counted::{counts, pieces_booked, shares};
use super::item::Item;
use super::ledger::{Cause, KeptLine, KeptList};
use super::list::buy_list;
use super::plan::Plan;
use crate::record::{Job, Kind};

/// The items that were bought for this week and are wanted by none, in sticks, sheets or pieces.
pub fn left_over(job: &Job, week: u32) -> Vec<(Item, i64)> {
    let basis = Basis::of(job);
    let plan = Plan::of(&basis, &[]);
    let mut all = sticks(&basis, &plan, week);
    all.extend(counted(&basis, &plan, week));
    all.into_iter().filter(|(_, count)| *count > 0).collect()
}

fn sticks(basis: &Basis<'_>, plan: &Plan, week: u32) -> BTreeMap<Item, i64> {
    let mut all = BTreeMap::new();
    let bought = |row| {
        let mut movements = basis.ledger.movements.iter();
        movements.any(|m| m.row == Some(row) && m.cause == Cause::Bought && m.weeks.contains(&week))
    };
    for row in basis.ledger.here().filter(|row| row.whole && !row.salvage) {
        let is_wanted = plan
            .rows
            .get(&row.id)
            .map_or(!row.pieces.is_empty() || row.waste, |planned| {
                !planned.pieces.is_empty() || planned.waste
            });
        if !is_wanted && bought(row.id) {
            *all.entry(row.item.clone()).or_default() += 1;
        }
    }
    all
}

fn counted(basis: &Basis<'_>, plan: &Plan, week: u32) -> BTreeMap<Item, i64> {
    let (ledger, wanted) = (basis.ledger, counts(basis));
    let items = ledger.items().into_iter().filter(|item| !item.has_rows());
    items
        .map(|item| {
            let kept: i64 = wanted.get(item).map_or(0, |by_change| {
                let shares = shares(basis, plan, item, by_change);
                shares.iter().map(|share| share.from_on_hand).sum()
            });
            let here = ledger.on_hand(item).min(ledger.serving(item));
            let over = (here - kept).min(ledger.bought_for(item, &[week]));
            (item.clone(), over)
        })
        .collect()
}

/// Where more was bought for these weeks than their kept list asked for: what was bought as listed or instead, less what
/// went back, and what the list asked for, with what had been bought before it was kept, in sticks, sheets or pieces. What
/// came with an order counts as asked for, as far as it was on its way when the list was kept. None where the list by now
/// needs more than it did then.
pub fn bought_twice(job: &Job, weeks: &[u32], item: &Item) -> Option<(i64, i64)> {
    let lines = |list: &KeptList| -> Vec<KeptLine> {
        let lines = list.lines.iter().filter(|line| line.item == *item);
        lines.cloned().collect()
    };
    let lists = job.ledger.kept.iter().filter(|list| list.weeks == weeks);
    let lines: Vec<KeptLine> = lists.map(lines).rfind(|lines| !lines.is_empty())?;
    let key = item.to_key();
    let arrived: i64 = job
        .all(Kind::Bought)
        .filter(|line| line.to("order").is_some() && !line.says("way", "returned"))
        .filter(|line| line.text("instead_of").or(line.text("item")) == Some(key.as_str()))
        .filter(|line| line.weeks() == weeks && !job.ledger.is_taken_back(line.id))
        .map(|line| {
            let per = line.number("per").filter(|_| !item.has_rows());
            pieces_booked(per.unwrap_or(10), line.number("count").unwrap_or(0))
        })
        .sum();
    let first = lines.first()?;
    let to_buy: i64 = lines
        .iter()
        .map(|line| pieces_booked(line.per_tenths, line.to_buy))
        .sum();
    let asked = to_buy + first.bought + arrived.min(first.from_ordered);
    let bought = job.ledger.bought_as(item, weeks);
    // Pounds that are ticked one by one are rounded one by one.
    let by_weight = lines
        .iter()
        .any(|line| line.per_tenths % 10 != 0 && (bought - asked) * 10 < line.per_tenths);
    if bought <= asked || by_weight {
        return None;
    }
    let list = buy_list(job, weeks);
    let mut now = list.lines.iter().filter(|line| line.item == *item);
    now.all(|line| line.needed <= first.needed)
        .then_some((bought, asked))
}
