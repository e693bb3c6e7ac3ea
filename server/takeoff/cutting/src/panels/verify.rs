//! A second look at a plan of panels, worked out from the input alone.
//!
//! It shares nothing with the packer on purpose: it takes each sheet apart with the saw. It does not ask whether the
//! plan is a good one, but that it can be cut and that the money is right.

use std::collections::BTreeMap;

use super::{ForSale, OnHand, Packing, Patch, Placed, Rectangle};
use scantling_units::{Length, Money};

/// Checks that a packing answers its input.
///
/// Every patch is cut once or unmet; it has its sides and is turned only where it may be; straight cuts from edge to
/// edge, a kerf wide, take all patches and the leftover of a sheet apart, so none overlap; sheets on hand exist and are
/// cut once; sheets to buy are for sale at that price; cost and bound agree; no patch is bought for or unmet that an
/// on-hand leftover holds; no sheet without a price is bought for nothing but patches that fit a priced one.
///
/// # Errors
/// Says which sheet or sum is wrong. A failed check is a mistake in the packer, not in the input.
pub fn verify_panels<L: Ord + Clone, S: Ord + Clone>(
    patches: &[Patch<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    kerf: Length,
    packing: &Packing<L, S>,
) -> Result<(), String> {
    let kerf = kerf.max(Length::ZERO);
    let in_cuts = packing.on_hand.iter().flat_map(|cut| &cut.placed);
    let in_bought = packing.to_buy.iter().flat_map(|sheet| &sheet.placed);
    let mut found: Vec<&Patch<L>> = in_cuts
        .chain(in_bought)
        .map(|placed| &placed.patch)
        .chain(&packing.unmet)
        .collect();
    let mut asked: Vec<&Patch<L>> = patches.iter().collect();
    found.sort();
    asked.sort();
    if found != asked {
        return Err(format!(
            "The plan has {} patches where {} are asked for, or other ones.",
            found.len(),
            asked.len()
        ));
    }

    let mut stock: BTreeMap<(&S, Length, Length), usize> = BTreeMap::new();
    for sheet in on_hand {
        *stock
            .entry((&sheet.id, sheet.along, sheet.across))
            .or_default() += 1;
    }
    let mut left: Vec<(Length, Length)> = Vec::new();
    for (at, cut) in packing.on_hand.iter().enumerate() {
        let name = format!("On-hand sheet {}", at + 1);
        match stock.get_mut(&(&cut.id, cut.along, cut.across)) {
            Some(n) if *n > 0 => *n -= 1,
            _ => return Err(format!("{name} is not there or is cut twice.")),
        }
        saw(
            &name,
            (cut.along, cut.across),
            &cut.placed,
            cut.leftover,
            kerf,
        )?;
        left.extend(cut.leftover.map(|rest| (rest.along, rest.across)));
    }
    let untouched = stock.iter().filter(|&(_, &n)| n > 0);
    left.extend(untouched.map(|(&(_, along, across), _)| (along, across)));
    left.sort_unstable();
    left.dedup();
    let fits_on_hand = |patch: &Patch<L>| left.iter().any(|&sides| holds(sides, patch));

    let (mut cost, mut unpriced) = (Money::ZERO, false);
    let mut counts: BTreeMap<(Sides, Option<Money>), i64> = BTreeMap::new();
    for (at, sheet) in packing.to_buy.iter().enumerate() {
        let name = format!("Sheet {} to buy", at + 1);
        let rows = || {
            for_sale
                .iter()
                .filter(|row| (row.along, row.across) == (sheet.along, sheet.across))
        };
        let price = sheet.price;
        if !rows().any(|row| price_of(row) == price) {
            return Err(format!("{name} is not for sale at its price."));
        }
        *counts
            .entry(((sheet.along, sheet.across), price))
            .or_default() += 1;
        saw(
            &name,
            (sheet.along, sheet.across),
            &sheet.placed,
            sheet.leftover,
            kerf,
        )?;
        if price.is_none()
            && sheet
                .placed
                .iter()
                .all(|placed| fits_priced(for_sale, &placed.patch))
        {
            return Err(format!(
                "{name} has no price, and priced ones hold its patches."
            ));
        }
        if sheet
            .placed
            .iter()
            .any(|placed| fits_on_hand(&placed.patch))
        {
            return Err(format!("{name} holds a patch that fits on hand."));
        }
        cost = cost + price.unwrap_or(Money::ZERO);
        unpriced |= price.is_none();
    }
    if (cost, unpriced) != (packing.cost, packing.unpriced) {
        return Err(format!(
            "The sheets to buy cost {cost}, not {}.",
            packing.cost
        ));
    }
    if packing.lower_bound > cost {
        return Err(format!(
            "The bound {} is above the cost {cost}.",
            packing.lower_bound
        ));
    }
    let still = still_for_sale(for_sale, &counts)?;
    let fits_for_sale = |patch: &Patch<L>| still.iter().any(|&sides| holds(sides, patch));
    let sound = |patch: &&Patch<L>| patch.along > Length::ZERO && patch.across > Length::ZERO;
    let mut unmet = packing.unmet.iter().filter(sound);
    if unmet.any(|patch| fits_for_sale(patch) || fits_on_hand(patch)) {
        return Err("A patch is unmet that a sheet would hold.".to_owned());
    }
    Ok(())
}

type Sides = (Length, Length);

fn price_of(row: &ForSale) -> Option<Money> {
    row.price.filter(|&price| price >= Money::ZERO)
}

/// The sizes of which one more could be bought.
fn still_for_sale(
    for_sale: &[ForSale],
    counts: &BTreeMap<(Sides, Option<Money>), i64>,
) -> Result<Vec<Sides>, String> {
    let mut still = Vec::new();
    for row in for_sale {
        let key = ((row.along, row.across), price_of(row));
        let mut same = for_sale
            .iter()
            .filter(|row| ((row.along, row.across), price_of(row)) == key);
        let most = same.try_fold(0_i64, |sum, row| {
            row.limit.map(|limit| sum.saturating_add(limit.max(0)))
        });
        let taken = counts.get(&key).copied().unwrap_or(0);
        if most.is_some_and(|most| taken > most) {
            return Err(format!(
                "{taken} sheets {} by {} are bought, more than there are.",
                row.along, row.across
            ));
        }
        if most.is_none_or(|most| taken < most) {
            still.push(key.0);
        }
    }
    Ok(still)
}

fn holds<L>((along, across): Sides, patch: &Patch<L>) -> bool {
    (patch.along <= along && patch.across <= across)
        || (patch.turn && patch.across <= along && patch.along <= across)
}

fn fits_priced<L>(for_sale: &[ForSale], patch: &Patch<L>) -> bool {
    for_sale
        .iter()
        .filter(|row| price_of(row).is_some() && row.limit.is_none())
        .any(|row| holds((row.along, row.across), patch))
}

/// Checks the patches of one sheet, then cuts it up.
fn saw<L: Ord>(
    name: &str,
    (along, across): (Length, Length),
    placed: &[Placed<L>],
    leftover: Option<Rectangle>,
    kerf: Length,
) -> Result<(), String> {
    if placed.is_empty() {
        return Err(format!("{name} has no patches."));
    }
    for (
        at,
        Placed {
            at: lying,
            patch,
            turned,
        },
    ) in placed.iter().enumerate()
    {
        let sides = if *turned {
            (patch.across, patch.along)
        } else {
            (patch.along, patch.across)
        };
        if sides != (lying.along, lying.across) || (*turned && !patch.turn) {
            return Err(format!(
                "{name}: patch {} has other sides than asked for.",
                at + 1
            ));
        }
    }
    let mut all: Vec<Rectangle> = placed
        .iter()
        .map(|placed| placed.at)
        .chain(leftover)
        .collect();
    let inside = |lying: &Rectangle| {
        lying.x >= Length::ZERO
            && lying.y >= Length::ZERO
            && lying.along > Length::ZERO
            && lying.across > Length::ZERO
            && lying.x + lying.along <= along
            && lying.y + lying.across <= across
    };
    if !all.iter().all(inside) {
        return Err(format!(
            "{name}: a patch or the leftover reaches over the edge."
        ));
    }
    if !comes_apart(&mut all, kerf) {
        return Err(format!(
            "{name} can't be cut up by straight cuts from edge to edge."
        ));
    }
    Ok(())
}

/// Where a rectangle begins and how far it reaches, one way or the other.
type Side = fn(&Rectangle) -> (Length, Length);

/// Whether cuts from edge to edge, each a kerf wide, part these rectangles until each is alone.
fn comes_apart(all: &mut [Rectangle], kerf: Length) -> bool {
    if all.len() < 2 {
        return true;
    }
    let along_x: Side = |lying| (lying.x, lying.along);
    let along_y: Side = |lying| (lying.y, lying.across);
    for side in [along_x, along_y] {
        all.sort_by_key(side);
        let mut end = Length::ZERO;
        let mut starts: Vec<usize> = Vec::new();
        for (at, lying) in all.iter().enumerate() {
            let (start, length) = side(lying);
            if at == 0 || start >= end + kerf {
                starts.push(at);
            }
            end = end.max(start + length);
        }
        if starts.len() > 1 {
            let ends = starts.iter().skip(1).copied().chain([all.len()]);
            return starts
                .iter()
                .zip(ends)
                .all(|(&from, to)| comes_apart(&mut all[from..to], kerf));
        }
    }
    false
}
