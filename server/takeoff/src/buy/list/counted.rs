//! Lines of nails, hardware and sundries: one for each pack that is bought.

use super::super::basis::Basis;
use super::super::counted::{counts, factor, pieces_in, shares};
use super::super::packs::cover;
use super::super::plan::Plan;
use super::super::prices::needs_count;
use super::{BuyLine, priced};
use crate::needs::{result, sum};
use crate::units::{Permille, decimal_text};

pub(super) fn lines(basis: &Basis<'_>, plan: &Plan, at: usize) -> Vec<BuyLine> {
    let set = &plan.sets[at];
    let mut lines = Vec::new();
    for (item, by_change) in counts(basis) {
        let share = &shares(basis, plan, &item, &by_change)[at];
        let bought = basis.ledger.bought_for(&item, &set.weeks);
        if share.plain == 0 && bought == 0 {
            continue;
        }
        let mut why = Vec::new();
        let mut changes = Vec::new();
        for change in &basis.changes {
            let takeoff = &change.takeoff;
            let Some(count) = by_change.get(&takeoff.change) else {
                continue;
            };
            if !set.weeks.contains(&takeoff.week) {
                continue;
            }
            changes.push(takeoff.change);
            let note = if change.done { "done" } else { "" };
            why.push(sum(change.name.clone(), count.to_string(), note));
        }
        let Permille(waste) = factor(basis, &item);
        if waste > 0 {
            let note = if share.before > 0 {
                format!(
                    "waste is rounded once, behind {} of earlier weeks",
                    share.before
                )
            } else {
                String::new()
            };
            let times = decimal_text(1000 + i64::from(waste), 3);
            why.push(sum(
                format!("× {times}, up, less what is done"),
                share.needed.to_string(),
                note,
            ));
        }
        if share.from_on_hand > 0 {
            why.push(sum("on hand", format!("− {}", share.from_on_hand), ""));
        }
        if share.from_ordered > 0 {
            why.push(sum(
                "ordered, on the way",
                format!("− {}", share.from_ordered),
                "",
            ));
        }
        let offers = basis.prices.counted(&item);
        let packs = if share.short() > 0 {
            cover(&offers, share.short())
        } else {
            Vec::new()
        };
        let (mut from_on_hand, mut rest) = (share.from_on_hand, share.short());
        let mut from_ordered = share.from_ordered;
        let mut own = Vec::new();
        for (offer, count) in packs {
            let mut line = priced(basis, &item, Some(offer), count);
            line.short = pieces_in(line.per_tenths, count).min(rest);
            rest -= line.short;
            own.push(line);
        }
        if own.is_empty() {
            // On hand already, or nobody sells it, or nobody said how many are in one.
            let offer = offers.first().copied();
            let known = offer.filter(|offer| offer.per_tenths.is_some() || share.short() == 0);
            let mut line = priced(basis, &item, known, share.short());
            if share.short() == 0 {
                "each".clone_into(&mut line.unit);
                line.per_tenths = 10;
            } else if let Some(offer) = offer {
                line.note = needs_count(offer);
            }
            line.short = share.short();
            own.push(line);
        }
        for mut line in own {
            line.from_on_hand = std::mem::take(&mut from_on_hand);
            line.from_ordered = std::mem::take(&mut from_ordered);
            line.needed = line.from_on_hand + line.from_ordered + line.short;
            line.bought = bought;
            line.changes.clone_from(&changes);
            line.why.clone_from(&why);
            line.why.push(result(
                format!("to buy, {}", line.unit),
                line.to_buy.to_string(),
                "",
            ));
            lines.push(line);
        }
    }
    lines
}
