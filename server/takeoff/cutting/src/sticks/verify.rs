//! A second look at a plan of sticks, worked out from the input alone.
//!
//! It shares nothing with the packer on purpose: it walks along each stick with the saw. It does not ask whether the
//! plan is a good one, but that it can be cut, that on-hand sticks are used as far as they go, and that the money is right.

use std::collections::BTreeMap;

use super::{ForSale, OnHand, Packing, Piece, Settings};
use scantling_units::{Length, Money};

/// Checks that a packing answers its input.
///
/// Every piece is cut once or unmet; each stick holds its pieces with kerfs and trim, and its leftover and dust are
/// right; sticks on hand exist and are cut once; sticks to buy are for sale at that price; cost and bound agree; no
/// piece is bought for or unmet that an on-hand leftover holds; no length without a price is bought for nothing but
/// pieces that fit a priced one. Takes about as long as sorting the pieces.
///
/// # Errors
/// Says which stick or sum is wrong and by how much. A failed check is a mistake in the packer, not in the input.
pub fn verify_sticks<L: Ord + Clone, S: Ord + Clone>(
    pieces: &[Piece<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    settings: Settings,
    packing: &Packing<L, S>,
) -> Result<(), String> {
    let kerf = settings.kerf.max(Length::ZERO);
    let trim = settings.trim.max(Length::ZERO);

    let unmet = packing.unmet.iter().map(|(label, length)| (label, *length));
    let in_cuts = packing.on_hand.iter().flat_map(|cut| &cut.pieces);
    let in_bought = packing.to_buy.iter().flat_map(|stick| &stick.pieces);
    let mut placed: Vec<(&L, Length)> = in_cuts
        .chain(in_bought)
        .map(|piece| (&piece.label, piece.length))
        .chain(unmet)
        .collect();
    let mut asked: Vec<(&L, Length)> = pieces
        .iter()
        .map(|piece| (&piece.label, piece.length))
        .collect();
    placed.sort();
    asked.sort();
    if placed != asked {
        return Err(format!(
            "The plan has {} pieces where {} are asked for, or other ones.",
            placed.len(),
            asked.len()
        ));
    }

    let mut stock: BTreeMap<(&S, Length, Length), usize> = BTreeMap::new();
    for stick in on_hand {
        let off = if stick.whole { trim } else { Length::ZERO };
        *stock.entry((&stick.id, stick.usable, off)).or_default() += 1;
    }
    let mut most_left = Length::ZERO;
    for (at, cut) in packing.on_hand.iter().enumerate() {
        let name = format!("On-hand stick {}", at + 1);
        match stock.get_mut(&(&cut.id, cut.length, cut.trim)) {
            Some(n) if *n > 0 => *n -= 1,
            _ => {
                return Err(format!(
                    "{name}, {} long, is not there or is cut twice.",
                    cut.length
                ));
            }
        }
        saw(
            &name,
            cut.length - cut.trim,
            &cut.pieces,
            kerf,
            cut.leftover,
            cut.dust,
        )?;
        most_left = most_left.max(cut.leftover);
    }
    for (&(_, usable, off), _) in stock.iter().filter(|&(_, &n)| n > 0) {
        most_left = most_left.max(usable - off);
    }

    let sold = |length: Length| for_sale.iter().filter(move |row| row.length == length);
    let good = |price: &Money| *price >= Money::ZERO;
    let longest = |rows: &mut dyn Iterator<Item = &ForSale>| {
        rows.map(|row| row.length - trim)
            .max()
            .unwrap_or(Length::ZERO)
    };
    let endless = |row: &&ForSale| row.price.as_ref().is_some_and(good) && row.limit.is_none();
    let longest_priced = longest(&mut for_sale.iter().filter(endless));
    let mut counts: BTreeMap<(Length, Option<Money>), i64> = BTreeMap::new();
    let (mut cost, mut unpriced) = (Money::ZERO, false);
    for (at, stick) in packing.to_buy.iter().enumerate() {
        let name = format!("Stick {} to buy", at + 1);
        if sold(stick.length).next().is_none() || stick.trim != trim {
            return Err(format!(
                "{name}, {} long, is not for sale or wrongly trimmed.",
                stick.length
            ));
        }
        let price = stick.price;
        if !sold(stick.length).any(|row| row.price.filter(good) == price) {
            return Err(format!("{name}, {} long, has a wrong price.", stick.length));
        }
        *counts.entry((stick.length, price)).or_default() += 1;
        saw(
            &name,
            stick.length - trim,
            &stick.pieces,
            kerf,
            stick.leftover,
            stick.dust,
        )?;
        if price.is_none()
            && stick
                .pieces
                .iter()
                .all(|piece| piece.length <= longest_priced)
        {
            return Err(format!(
                "{name} has no price, and priced ones hold its pieces."
            ));
        }
        if stick.pieces.iter().any(|piece| piece.length <= most_left) {
            return Err(format!(
                "{name} holds a piece that fits on hand, where {most_left} is left."
            ));
        }
        cost = cost + price.unwrap_or(Money::ZERO);
        unpriced |= price.is_none();
    }
    if (cost, unpriced) != (packing.cost, packing.unpriced) {
        return Err(format!(
            "The sticks to buy cost {cost}, not {}.",
            packing.cost
        ));
    }
    if packing.lower_bound > cost {
        return Err(format!(
            "The bound {} is above the cost {cost}.",
            packing.lower_bound
        ));
    }

    let mut still = Length::ZERO;
    for row in for_sale {
        let price = row.price.filter(good);
        let mut same = sold(row.length).filter(|row| row.price.filter(good) == price);
        let most = same.try_fold(0_i64, |sum, row| {
            row.limit.map(|limit| sum.saturating_add(limit.max(0)))
        });
        let taken = counts.get(&(row.length, price)).copied().unwrap_or(0);
        if most.is_some_and(|most| taken > most) {
            return Err(format!(
                "{taken} sticks {} long are bought, more than there are.",
                row.length
            ));
        }
        if most.is_none_or(|most| taken < most) {
            still = still.max(row.length - trim);
        }
    }
    let longest_held = most_left.max(still);
    if let Some((_, length)) = packing
        .unmet
        .iter()
        .find(|(_, length)| *length > Length::ZERO && *length <= longest_held)
    {
        return Err(format!(
            "A piece {length} long is unmet where {longest_held} is there."
        ));
    }
    Ok(())
}

/// Walks along one stick: piece, kerf, piece, and what is left behind the last.
fn saw<L: Ord>(
    name: &str,
    length: Length,
    pieces: &[Piece<L>],
    kerf: Length,
    leftover: Length,
    dust: Length,
) -> Result<(), String> {
    let mut at = Length::ZERO;
    let mut before: Option<&Piece<L>> = None;
    for piece in pieces {
        if let Some(longer) = before {
            at += kerf;
            if longer.length < piece.length
                || (longer.length == piece.length && longer.label > piece.label)
            {
                return Err(format!("{name} is not in cutting order."));
            }
        }
        if piece.length <= Length::ZERO {
            return Err(format!("{name} holds a piece without length."));
        }
        at += piece.length;
        before = Some(piece);
    }
    if before.is_none() || at > length {
        return Err(format!(
            "{name} is empty, or needs {at} where it has {length}."
        ));
    }
    let rest = length - at;
    let right = if rest < kerf {
        (Length::ZERO, rest)
    } else {
        (rest - kerf, Length::ZERO)
    };
    if right != (leftover, dust) {
        return Err(format!(
            "{name} has {rest} behind its last piece, not {leftover} and {dust} of dust."
        ));
    }
    Ok(())
}
