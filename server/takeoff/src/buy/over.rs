//! What was bought for a week and no week wants: named when the week is closed, as what could go back.
//!
//! A stick or sheet that is here uncut, was bought for the week, holds no piece of the standing plan and waits for no
//! waste; of counted things, what is beyond all that the weeks still need, as far as it was bought for the week. Source:
//! common practice, no published source.

use std::collections::BTreeMap;

use super::basis::Basis;
use super::counted::{counts, shares};
use super::item::Item;
use super::ledger::Cause;
use super::plan::Plan;
use crate::record::Job;

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
