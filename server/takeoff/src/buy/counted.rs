//! Nails, hardware and sundries: what each week needs with waste, and what on hand serves it. The packs in which the rest
//! is bought are found in `packs`.
//!
//! With W(x) = x and its waste, up to a whole one, a week needs what W says of it and all earlier weeks less what W says
//! of the earlier ones: so waste is rounded once for each class. Done changes count in this; what they used is taken as
//! brought and used, so a change that is done as its form shows moves no other week's figure. What was bought for a week
//! serves it first; the rest serves the weeks in order. Source: common practice, no published source.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::basis::Basis;
use super::item::Item;
use super::plan::Plan;
use crate::units::Permille;

/// What the weeks need of one counted item.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Share {
    /// Pieces that are needed still, waste included.
    pub(super) needed: i64,
    /// Of these, on hand.
    pub(super) from_on_hand: i64,
    /// Of these, ordered and on their way.
    pub(super) from_ordered: i64,
    /// Before waste, done ones too.
    pub(super) plain: i64,
    /// The same of all weeks solved before.
    pub(super) before: i64,
}

impl Share {
    /// What is to be bought, in pieces.
    pub(super) fn short(&self) -> i64 {
        self.needed - self.from_on_hand - self.from_ordered
    }
}

/// The waste factor of a counted item.
pub(super) fn factor(basis: &Basis<'_>, item: &Item) -> Permille {
    match item {
        Item::Fastener { .. } => basis.settings.waste_fastener,
        Item::Hardware { .. } => basis.settings.waste_hardware,
        _ => Permille(0),
    }
}

/// What a change calls for of each counted item.
pub(super) fn counts(basis: &Basis<'_>) -> BTreeMap<Item, BTreeMap<Uuid, i64>> {
    let mut all: BTreeMap<Item, BTreeMap<Uuid, i64>> = BTreeMap::new();
    for change in &basis.changes {
        for need in change.takeoff.needs.iter().filter(|need| need.count > 0) {
            if let Some(item) = Item::counted(&need.class) {
                *all.entry(item)
                    .or_default()
                    .entry(change.takeoff.change)
                    .or_default() += need.count;
            }
        }
    }
    all
}

/// What each set of the plan needs of an item, in the plan's order.
pub(super) fn shares(
    basis: &Basis<'_>,
    plan: &Plan,
    item: &Item,
    counts: &BTreeMap<Uuid, i64>,
) -> Vec<Share> {
    let with = factor(basis, item);
    let sum = |weeks: &[u32], done_only: bool| -> i64 {
        basis
            .changes
            .iter()
            .filter(|c| weeks.contains(&c.takeoff.week) && (c.done || !done_only))
            .filter_map(|c| counts.get(&c.takeoff.change))
            .sum()
    };
    let (mut before, mut demands) = (0, Vec::new());
    for set in &plan.sets {
        let (all, done) = (sum(&set.weeks, false), sum(&set.weeks, true));
        demands.push(Demand {
            full: with.on_top_up(before + all) - with.on_top_up(before),
            used: with.on_top_up(before + done) - with.on_top_up(before),
            plain: all,
            before,
        });
        before += all;
    }
    let here = serve(basis, plan, item, &demands, false);
    let with_ordered = serve(basis, plan, item, &demands, true);
    demands
        .into_iter()
        .zip(here.into_iter().zip(with_ordered))
        .map(|(demand, (here, with_ordered))| {
            let needed = demand.full - demand.used;
            let from_on_hand = needed - needed.min(demand.full - here);
            let from_either = needed - needed.min(demand.full - with_ordered);
            Share {
                needed,
                from_on_hand,
                from_ordered: (from_either - from_on_hand).max(0),
                plain: demand.plain,
                before: demand.before,
            }
        })
        .collect()
}

struct Demand {
    full: i64,
    used: i64,
    plain: i64,
    before: i64,
}

/// What each set gets of all that was ever brought, and of what is ordered besides: first what was bought or ordered for
/// it, then the rest in order.
fn serve(
    basis: &Basis<'_>,
    plan: &Plan,
    item: &Item,
    demands: &[Demand],
    ordered: bool,
) -> Vec<i64> {
    let used: i64 = demands.iter().map(|demand| demand.used).sum();
    let on_its_way = if ordered {
        basis.ledger.ordered(item)
    } else {
        0
    };
    let mut left = (basis.ledger.serving(item) + used + on_its_way).max(0);
    let mut pools: BTreeMap<&[u32], i64> = BTreeMap::new();
    for movement in &basis.ledger.movements {
        if movement.serves() == item && movement.cause.is_buying() && !movement.weeks.is_empty() {
            *pools.entry(&movement.weeks).or_default() += movement.count;
        }
    }
    for line in basis
        .ledger
        .orders
        .iter()
        .filter(|line| ordered && line.item == *item)
    {
        *pools.entry(&line.weeks).or_default() += line.count;
    }
    let mut served = vec![0; demands.len()];
    for just in [true, false] {
        for (set, (demand, served)) in plan.sets.iter().zip(demands.iter().zip(&mut served)) {
            for (weeks, pool) in &mut pools {
                let its = if just {
                    set.weeks == *weeks
                } else {
                    set.weeks.iter().any(|week| weeks.contains(week))
                };
                if its {
                    let take = (demand.full - *served).min(*pool).min(left).max(0);
                    *pool -= take;
                    left -= take;
                    *served += take;
                }
            }
        }
    }
    for (demand, served) in demands.iter().zip(&mut served) {
        let take = (demand.full - *served).min(left).max(0);
        left -= take;
        *served += take;
    }
    served
}

/// What a change uses as its form shows it: what the class needs with it less what it needs without it, behind all of
/// the earlier weeks and what is done of its own.
pub(super) fn used_by(
    basis: &Basis<'_>,
    item: &Item,
    counts: &BTreeMap<Uuid, i64>,
    change: Uuid,
) -> i64 {
    let Some(week) = basis.change(change).map(|c| c.takeoff.week) else {
        return 0;
    };
    let before: i64 = basis
        .changes
        .iter()
        .filter(|c| c.takeoff.change != change)
        .filter(|c| c.takeoff.week < week || (c.takeoff.week == week && c.done))
        .filter_map(|c| counts.get(&c.takeoff.change))
        .sum();
    let with = factor(basis, item);
    let own = counts.get(&change).copied().unwrap_or(0);
    with.on_top_up(before + own) - with.on_top_up(before)
}

/// Pieces in so many of an offer, down to a whole piece: so many are sure to be there.
pub(super) fn pieces_in(per_tenths: i64, count: i64) -> i64 {
    (per_tenths * count).div_euclid(10)
}

/// Pieces in so many of an offer as they are booked, up to a whole piece: pounds that are booked one by one come to what
/// they are together.
pub(super) fn pieces_booked(per_tenths: i64, count: i64) -> i64 {
    -(-per_tenths * count).div_euclid(10)
}
