//! Kept lists: what a week's list said when something was first bought or ordered from it, and what changed since.
//!
//! A list is kept with its lines, prices and needs, and the changes that its money is for. It is never rewritten; planning
//! afresh makes the next revision. Source: common practice, no published source.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::basis::{Basis, Piece};
use super::counted::counts;
use super::item::Item;
use super::ledger::{KeptLine, KeptList, KeptNeed, PieceKey, Share};
use super::list::{BuyLine, list_in};
use super::plan::{Plan, Planned, Solved};
use crate::needs::Class;
use crate::record::Job;
use crate::units::Length;

/// A whole stick in shares.
const WHOLE: i64 = 1_000_000_000;

/// The list of these weeks as it is to be kept; none where nothing is on it.
pub(super) fn list_to_keep(basis: &Basis<'_>, weeks: &[u32], entry: Uuid) -> Option<KeptList> {
    let plan = Plan::of(basis, weeks);
    let list = list_in(basis, &plan, weeks);
    let set = plan.sets.iter().find(|set| set.weeks == weeks)?;
    let lines: Vec<KeptLine> = list
        .lines
        .iter()
        .filter(|line| line.needed > 0)
        .map(|line| kept_line(basis, set, line))
        .collect();
    let needs = needs_of(basis, weeks);
    if lines.is_empty() && needs.is_empty() {
        return None;
    }
    let before = basis
        .ledger
        .kept
        .iter()
        .filter(|list| list.weeks == weeks)
        .count();
    Some(KeptList {
        weeks: weeks.to_vec(),
        revision: u32::try_from(before).unwrap_or(0) + 1,
        entry,
        lines,
        needs,
        begun: basis.ledger.has_begun(weeks),
    })
}

fn kept_line(basis: &Basis<'_>, set: &Solved, line: &BuyLine) -> KeptLine {
    let shares = if line.item.has_rows() {
        let sticks = set.to_buy.iter().filter(|stick| stick.item == line.item);
        of_sticks(basis, &set.weeks, sticks)
    } else {
        of_counted(basis, &set.weeks, &line.item)
    };
    KeptLine {
        item: line.item.clone(),
        unit: line.unit.clone(),
        per_tenths: line.per_tenths,
        needed: line.needed,
        from_on_hand: line.from_on_hand + line.from_ordered,
        from_ordered: basis.ledger.ordered_for(&line.item, &set.weeks),
        bought: basis.ledger.bought_as(&line.item, &set.weeks),
        to_buy: line.to_buy,
        unit_price: line.unit_price,
        extension: line.extension,
        supplier: line.supplier.clone().unwrap_or_default(),
        supplier_id: supplier_id(basis, line),
        shares,
    }
}

/// Whose price a line has, by id.
fn supplier_id(basis: &Basis<'_>, line: &BuyLine) -> Option<Uuid> {
    let name = line.supplier.as_deref()?;
    let mut offers = basis.prices.offers.iter();
    offers
        .find(|offer| offer.item == line.item && offer.supplier == name)
        .and_then(|offer| offer.supplier_id)
}

fn needs_of(basis: &Basis<'_>, weeks: &[u32]) -> Vec<KeptNeed> {
    basis
        .changes
        .iter()
        .filter(|change| weeks.contains(&change.takeoff.week))
        .flat_map(|change| {
            change.takeoff.needs.iter().map(|need| KeptNeed {
                change: change.takeoff.change,
                slot: need.slot.clone(),
                title: need.title.clone(),
                count: need.count,
                of: Some(need.class.clone()),
                cut: need.cut,
                across: need.across,
            })
        })
        .collect()
}

/// The changes that some sticks or sheets are for: each one's pieces by length or area, one for waste by all pieces of its
/// class, one without either no change's.
pub(super) fn of_sticks<'p>(
    basis: &Basis<'_>,
    weeks: &[u32],
    sticks: impl Iterator<Item = &'p Planned>,
) -> Vec<Share> {
    let pieces = basis.pieces();
    let mut all = BTreeMap::new();
    for stick in sticks {
        let of = if stick.pieces.is_empty() && stick.waste {
            of_class(&pieces, weeks, &stick.item.class())
        } else {
            of_pieces(&pieces, &stick.pieces)
        };
        add(&mut all, of);
    }
    shares(all)
}

/// So many more without a piece.
pub(super) fn with_over(mut shares: Vec<Share>, over: i64) -> Vec<Share> {
    if over > 0 {
        match shares.iter_mut().find(|share| share.change.is_none()) {
            Some(share) => share.weight += over * WHOLE,
            None => shares.insert(
                0,
                Share {
                    change: None,
                    weight: over * WHOLE,
                },
            ),
        }
    }
    shares
}

/// The changes of these weeks that want a counted item, by how many.
pub(super) fn of_counted(basis: &Basis<'_>, weeks: &[u32], item: &Item) -> Vec<Share> {
    let all = counts(basis);
    let mut of = BTreeMap::new();
    for change in &basis.changes {
        let count = all
            .get(item)
            .and_then(|by_change| by_change.get(&change.takeoff.change));
        if let Some(count) = count
            && weeks.contains(&change.takeoff.week)
        {
            *of.entry(Some(change.takeoff.change)).or_default() += count;
        }
    }
    shares(of)
}

/// Of so many that were bought, those that the list wanted are its changes', the rest no change's.
pub(super) fn counted_with_over(wanted_by: Vec<Share>, wanted: i64, bought: i64) -> Vec<Share> {
    let wanted = wanted.clamp(0, bought);
    let sum: i64 = wanted_by.iter().map(|share| share.weight).sum();
    if sum == 0 || wanted == 0 {
        return vec![Share {
            change: None,
            weight: 1,
        }];
    }
    let mut all: BTreeMap<Option<Uuid>, i64> = wanted_by
        .into_iter()
        .map(|share| (share.change, share.weight * wanted))
        .collect();
    let over = bought - wanted;
    if over > 0 {
        *all.entry(None).or_default() += over * sum;
    }
    shares(all)
}

type ByChange = BTreeMap<Option<Uuid>, i64>;

fn of_pieces(pieces: &BTreeMap<PieceKey, Piece<'_>>, keys: &[PieceKey]) -> ByChange {
    let mut sizes = ByChange::new();
    for (key, piece) in keys.iter().filter_map(|key| Some((key, pieces.get(key)?))) {
        *sizes.entry(Some(key.change)).or_default() += size(piece);
    }
    whole(sizes)
}

fn of_class(pieces: &BTreeMap<PieceKey, Piece<'_>>, weeks: &[u32], class: &Class) -> ByChange {
    let mut sizes = ByChange::new();
    for (key, piece) in pieces {
        if weeks.contains(&piece.week()) && piece.need.class == *class {
            *sizes.entry(Some(key.change)).or_default() += size(piece);
        }
    }
    whole(sizes)
}

fn size(piece: &Piece<'_>) -> i64 {
    let along = piece.length.as_64ths();
    match piece.need.class {
        Class::Panel(_) => along * piece.across.as_64ths(),
        _ => along,
    }
}

/// Sizes as parts of one whole stick: down, what is left over to the first.
fn whole(sizes: ByChange) -> ByChange {
    let sum: i64 = sizes.values().sum();
    if sum <= 0 {
        return ByChange::from([(None, WHOLE)]);
    }
    let mut parts: ByChange = sizes
        .into_iter()
        .map(|(change, size)| {
            let part = i128::from(size) * i128::from(WHOLE);
            let part = part.div_euclid(i128::from(sum));
            (change, i64::try_from(part).unwrap_or(WHOLE))
        })
        .collect();
    let rest = WHOLE - parts.values().sum::<i64>();
    if let Some(first) = parts.values_mut().next() {
        *first += rest;
    }
    parts
}

fn add(all: &mut ByChange, more: ByChange) {
    for (change, weight) in more {
        *all.entry(change).or_default() += weight;
    }
}

fn shares(all: ByChange) -> Vec<Share> {
    all.into_iter()
        .filter(|(_, weight)| *weight > 0)
        .map(|(change, weight)| Share { change, weight })
        .collect()
}

/// A need that isn't what the kept list said.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Difference {
    /// The change that causes it.
    pub change: Uuid,
    /// What is needed: `Shoring stud, first side`.
    pub title: String,
    /// How many the kept list had; 0: new.
    pub was: i64,
    /// How many are needed now; 0: gone.
    pub now: i64,
    /// Its size then, where it differs now.
    pub was_size: Option<Length>,
    /// Its size now.
    pub size: Option<Length>,
    /// What it was of and what it is of now, where that differs.
    pub of: Option<(Class, Class)>,
}

/// What the changes of a kept list's weeks call for now, where it differs from what was kept; done changes as if not
/// done.
pub fn differences(job: &Job, kept: &KeptList) -> Vec<Difference> {
    let now = needs_of(&Basis::of(job), &kept.weeks);
    let key = |need: &KeptNeed| (need.change, need.slot.clone());
    let was: BTreeMap<_, &KeptNeed> = kept.needs.iter().map(|need| (key(need), need)).collect();
    let is: BTreeMap<_, &KeptNeed> = now.iter().map(|need| (key(need), need)).collect();
    let mut all = Vec::new();
    for need in &now {
        let before = was.get(&key(need));
        let of = before.and_then(|before| Some((before.of.clone()?, need.of.clone()?)));
        let of = of.filter(|(was, now)| was != now);
        let same = before.is_some_and(|before| {
            (before.count, before.cut, before.across) == (need.count, need.cut, need.across)
                && of.is_none()
        });
        if !same {
            all.push(Difference {
                change: need.change,
                title: need.title.clone(),
                was: before.map_or(0, |before| before.count),
                now: need.count,
                was_size: before.and_then(|before| before.cut),
                size: need.cut,
                of,
            });
        }
    }
    for need in &kept.needs {
        if !is.contains_key(&key(need)) {
            all.push(Difference {
                change: need.change,
                title: need.title.clone(),
                was: need.count,
                now: 0,
                was_size: need.cut,
                size: None,
                of: None,
            });
        }
    }
    all
}
