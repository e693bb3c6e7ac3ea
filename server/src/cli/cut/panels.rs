//! Panels answered by the core's packer, with the order of cuts read off where the patches lie.

use std::collections::BTreeMap;

use scantling_takeoff::cutting::panels::{
    ForSale, OnHand, Packing, Patch, Placed as InPlace, pack_panels,
};
use scantling_takeoff::units::{Length, Money};

use super::answer::{Axis, CutTree, PanelRow, Placed, UnmetPatch};
use super::instance::Panels;

/// No side is above this.
const LONGEST: i64 = 1_000_000_000;

/// There are no more patches than this.
const MOST_PATCHES: i64 = 100_000;

/// What came out.
pub(super) struct Cut {
    pub(super) plan: Vec<PanelRow>,
    pub(super) unmet: Vec<UnmetPatch>,
    pub(super) cost: i64,
    pub(super) lower_bound: i64,
    /// Whether cost and bound meet, or it is certain that a patch fits no sheet.
    pub(super) proven: bool,
}

type Plan = Packing<(), usize>;

/// Packs one instance.
///
/// # Errors
/// Says which figure is out of its range.
pub(super) fn solve(instance: &Panels) -> Result<Cut, String> {
    check(instance)?;
    let patches: Vec<Patch<()>> = instance
        .patches
        .iter()
        .flat_map(|patch| {
            (0..patch.count).map(|_| Patch {
                label: (),
                along: Length::from_64ths(patch.along),
                across: Length::from_64ths(patch.across),
                turn: patch.rotate,
            })
        })
        .collect();
    let on_hand: Vec<OnHand<usize>> = instance
        .stock
        .iter()
        .enumerate()
        .filter(|(_, sheet)| sheet.price == 0)
        .flat_map(|(row, sheet)| {
            let most = i64::try_from(patches.len()).unwrap_or(i64::MAX);
            (0..sheet.limit.unwrap_or(most).min(most)).map(move |_| OnHand {
                id: row,
                along: Length::from_64ths(sheet.along),
                across: Length::from_64ths(sheet.across),
            })
        })
        .collect();
    let kerf = Length::from_64ths(instance.kerf);
    let mut sold: Vec<usize> = (0..instance.stock.len())
        .filter(|&row| instance.stock[row].price > 0 && instance.stock[row].limit != Some(0))
        .collect();
    let mut lower_bound = None;
    loop {
        let for_sale: Vec<ForSale> = sold
            .iter()
            .map(|&row| ForSale {
                along: Length::from_64ths(instance.stock[row].along),
                across: Length::from_64ths(instance.stock[row].across),
                price: Some(Money::from_cents(instance.stock[row].price)),
            })
            .collect();
        let packing = pack_panels(&patches, &on_hand, &for_sale, kerf);
        // The bound without limits holds with them, too.
        let bound = *lower_bound.get_or_insert(packing.lower_bound.as_cents());
        let Some(over) = over_its_limit(instance, &sold, &packing) else {
            return Ok(answer(instance, &packing, bound));
        };
        sold.retain(|&row| row != over);
    }
}

/// A sheet of which the plan takes more than there are.
fn over_its_limit(instance: &Panels, sold: &[usize], packing: &Plan) -> Option<usize> {
    sold.iter().copied().find(|&row| {
        let sheet = &instance.stock[row];
        let used = packing
            .to_buy
            .iter()
            .filter(|one| {
                (one.along.as_64ths(), one.across.as_64ths()) == (sheet.along, sheet.across)
            })
            .count();
        sheet
            .limit
            .is_some_and(|limit| i64::try_from(used).unwrap_or(i64::MAX) > limit)
    })
}

fn answer(instance: &Panels, packing: &Plan, bound: i64) -> Cut {
    let mut rows: BTreeMap<(i64, i64, i64, Vec<Placed>), i64> = BTreeMap::new();
    let on_hand = packing
        .on_hand
        .iter()
        .map(|cut| (cut.along, cut.across, 0, &cut.placed));
    let bought = packing.to_buy.iter().map(|sheet| {
        let price = sheet.price.map_or(0, Money::as_cents);
        (sheet.along, sheet.across, price, &sheet.placed)
    });
    for (along, across, price, placed) in on_hand.chain(bought) {
        let mut placed: Vec<Placed> = placed.iter().map(in_place).collect();
        placed.sort_unstable();
        *rows
            .entry((along.as_64ths(), across.as_64ths(), price, placed))
            .or_default() += 1;
    }
    let plan = rows
        .into_iter()
        .rev()
        .map(|((along, across, price, placed), times)| {
            let sheet = Placed {
                x: 0,
                y: 0,
                along,
                across,
            };
            let cuts = tree(sheet, &placed, instance.kerf);
            PanelRow {
                along,
                across,
                price,
                times,
                placed,
                cuts,
            }
        })
        .collect();
    let mut unmet: BTreeMap<(i64, i64), i64> = BTreeMap::new();
    for patch in &packing.unmet {
        *unmet
            .entry((patch.along.as_64ths(), patch.across.as_64ths()))
            .or_default() += 1;
    }
    let cost = packing.cost.as_cents();
    let fits_none = packing
        .unmet
        .iter()
        .any(|patch| !fits_some(instance, patch));
    Cut {
        plan,
        proven: if packing.unmet.is_empty() {
            cost == bound
        } else {
            fits_none
        },
        unmet: unmet
            .into_iter()
            .rev()
            .map(|((along, across), count)| UnmetPatch {
                along,
                across,
                count,
            })
            .collect(),
        cost,
        lower_bound: bound.min(cost),
    }
}

fn in_place(placed: &InPlace<()>) -> Placed {
    Placed {
        x: placed.at.x.as_64ths(),
        y: placed.at.y.as_64ths(),
        along: placed.at.along.as_64ths(),
        across: placed.at.across.as_64ths(),
    }
}

fn fits_some(instance: &Panels, patch: &Patch<()>) -> bool {
    let (along, across) = (patch.along.as_64ths(), patch.across.as_64ths());
    instance
        .stock
        .iter()
        .filter(|sheet| sheet.limit != Some(0))
        .any(|sheet| {
            (along <= sheet.along && across <= sheet.across)
                || (patch.turn && across <= sheet.along && along <= sheet.across)
        })
}

/// The cuts that take these patches out of what is at hand. Whichever straight cut comes first, the parts can still be
/// cut if the whole could.
fn tree(hand: Placed, placed: &[Placed], kerf: i64) -> Vec<CutTree> {
    let whole = |one: &Placed| *one == hand;
    if placed.is_empty() || (placed.len() == 1 && whole(&placed[0])) {
        return Vec::new();
    }
    let ends = |axis: Axis, one: &Placed| match axis {
        Axis::Along => (one.x, one.x + one.along),
        Axis::Across => (one.y, one.y + one.across),
    };
    for axis in [Axis::Along, Axis::Across] {
        let (_, far) = ends(axis, &hand);
        let mut marks: Vec<i64> = placed
            .iter()
            .map(|one| ends(axis, one).1)
            .filter(|&mark| mark < far)
            .collect();
        marks.sort_unstable();
        marks.dedup();
        for at in marks {
            if !placed
                .iter()
                .all(|one| ends(axis, one).1 <= at || ends(axis, one).0 >= at + kerf)
            {
                continue;
            }
            let (first, second): (Vec<Placed>, Vec<Placed>) =
                placed.iter().partition(|one| ends(axis, one).1 <= at);
            let (mut low, mut high) = (hand, hand);
            match axis {
                Axis::Along => {
                    low.along = at - hand.x;
                    high.x = at + kerf;
                    high.along = hand.x + hand.along - high.x;
                }
                Axis::Across => {
                    low.across = at - hand.y;
                    high.y = at + kerf;
                    high.across = hand.y + hand.across - high.y;
                }
            }
            return vec![CutTree {
                axis,
                at,
                before: tree(low, &first, kerf),
                after: tree(high, &second, kerf),
            }];
        }
    }
    Vec::new()
}

fn check(instance: &Panels) -> Result<(), String> {
    let within = |what: &str, value: i64, least: i64, most: i64| {
        if (least..=most).contains(&value) {
            Ok(())
        } else {
            Err(format!(
                "{what} is {value}; it has to be from {least} to {most}"
            ))
        }
    };
    within("the kerf", instance.kerf, 0, LONGEST)?;
    for sheet in &instance.stock {
        within("a sheet's side", sheet.along.min(sheet.across), 1, LONGEST)?;
        within("a sheet's side", sheet.along.max(sheet.across), 1, LONGEST)?;
        within("a price", sheet.price, 0, LONGEST)?;
        within("a limit", sheet.limit.unwrap_or(0), 0, i64::MAX)?;
    }
    let mut patches: i64 = 0;
    for patch in &instance.patches {
        within("a patch's side", patch.along.min(patch.across), 1, LONGEST)?;
        within("a patch's side", patch.along.max(patch.across), 1, LONGEST)?;
        within("a count", patch.count, 0, i64::MAX)?;
        patches = patches.saturating_add(patch.count);
    }
    within("the number of patches", patches, 0, MOST_PATCHES)
}
