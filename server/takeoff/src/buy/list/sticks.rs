//! Lines of sticks and panels: one for each item that is bought, or lies here for these weeks.

use std::collections::{BTreeMap, BTreeSet};

use super::super::basis::{Basis, Piece};
use super::super::item::Item;
use super::super::ledger::PieceKey;
use super::super::plan::{Plan, Planned};
use super::{BuyLine, priced};
use crate::needs::{Class, result, sum};
use crate::units::{Permille, decimal_text};

#[derive(Default)]
struct Share<'p> {
    here: i64,
    ordered: i64,
    to_buy: i64,
    waste: i64,
    spared: i64,
    pieces: Vec<&'p PieceKey>,
}

pub(super) fn lines(basis: &Basis<'_>, plan: &Plan, at: usize) -> Vec<BuyLine> {
    let set = &plan.sets[at];
    let pieces = basis.pieces();
    let mut shares: BTreeMap<Item, Share<'_>> = BTreeMap::new();
    for id in &set.from_rows {
        let row = &basis.ledger.rows[id];
        let share = shares.entry(row.item.clone()).or_default();
        share.here += i64::from(row.is_here());
        share.ordered += i64::from(!row.is_here());
        share.pieces.extend(&plan.rows[id].pieces);
    }
    for Planned {
        item,
        pieces,
        waste,
        listed,
        ..
    } in &set.to_buy
    {
        let share = shares.entry(item.clone()).or_default();
        share.to_buy += 1;
        share.waste += i64::from(*waste);
        share.spared += i64::from(listed.is_some_and(|id| plan.spared.contains(&id)));
        share.pieces.extend(pieces);
    }
    // What was bought for these weeks and is used by now stays on the list as history.
    for item in basis.ledger.items() {
        if item.has_rows() && basis.ledger.bought_for(item, &set.weeks) > 0 {
            shares.entry(item.clone()).or_default();
        }
    }
    shares
        .into_iter()
        .map(|(item, share)| {
            let offer = basis.prices.offer_for_so_many(&item, share.to_buy);
            let mut line = priced(basis, &item, offer, share.to_buy);
            line.needed = share.here + share.ordered + share.to_buy;
            line.from_on_hand = share.here;
            line.from_ordered = share.ordered;
            line.short = share.to_buy;
            line.spared = share.spared;
            // New ones never exceed that; what stands on the list may.
            let there = basis.prices.at_yard(&item);
            let still = offer.and_then(|offer| basis.still_at_yard(offer, there, &set.weeks));
            if let Some(n) = still.filter(|&n| share.to_buy > n) {
                let said = format!(
                    "the yard has {n} more of these for this trip: plan afresh, or ask for more."
                );
                line.note = match line.note.as_str() {
                    "" => said,
                    note => format!("{}. {}", note.trim_end_matches('.'), said),
                };
            }
            line.bought = basis.ledger.bought_for(&item, &set.weeks);
            line.waste = set
                .waste
                .iter()
                .find(|waste| waste.class == item.class() && share.waste > 0)
                .cloned();
            explain(&mut line, &share, &pieces);
            line
        })
        .collect()
}

fn explain(line: &mut BuyLine, share: &Share<'_>, pieces: &BTreeMap<PieceKey, Piece<'_>>) {
    // Each need with how many of its pieces come from these sticks, in working order.
    let mut needs: BTreeMap<usize, (&Piece<'_>, i64)> = BTreeMap::new();
    let mut wanted = BTreeSet::new();
    for key in &share.pieces {
        let Some(piece) = pieces.get(*key) else {
            continue;
        };
        let first = PieceKey {
            index: 0,
            ..(*key).clone()
        };
        let order = pieces.get(&first).map_or(piece.order, |piece| piece.order);
        needs.entry(order).or_insert((piece, 0)).1 += 1;
        wanted.insert((order, key.change));
    }
    for (piece, count) in needs.values() {
        let size = match piece.need.class {
            Class::Panel(_) => format!("{} × {}", piece.across, piece.length),
            _ => piece.length.feet_inches(),
        };
        line.why.push(sum(
            piece.need.title.clone(),
            count.to_string(),
            format!("{} · cut {size}", piece.change.name),
        ));
    }
    for (_, change) in wanted {
        if !line.changes.contains(&change) {
            line.changes.push(change);
        }
    }
    if share.here > 0 {
        line.why
            .push(sum("sticks of it on hand", format!("− {}", share.here), ""));
    }
    if share.ordered > 0 {
        line.why.push(sum(
            "ordered, on the way",
            format!("− {}", share.ordered),
            "",
        ));
    }
    if let Some(waste) = &line.waste {
        let figure = |n: i64| match waste.class {
            // Square inches, down; lengths in inches.
            Class::Panel(_) => format!("{} sq in", n.div_euclid(64 * 64)),
            _ => format!("{} in", crate::units::Length::from_64ths(n)),
        };
        let Permille(factor) = waste.factor;
        let times = decimal_text(1000 + i64::from(factor), 3);
        line.why.push(sum(
            "spare, for waste",
            share.waste.to_string(),
            format!(
                "cut {} × {times}; with the spare there are {}",
                figure(waste.needed),
                figure(waste.there)
            ),
        ));
    }
    line.why.push(result("to buy", line.to_buy.to_string(), ""));
}
