//! A swap at the yard: another length, grade, size or kind than the line that it answers, and whether it serves.
//!
//! What doesn't serve is said with the piece that it fails, and can be recorded all the same: such a piece is back on the
//! list. Not less: as long, as thick, as deep, a grade that is ranked no lower, treated where treated is asked. Another
//! species serves by the person's word, but not for beams and posts: there the engineer's word is waited for. Source:
//! the order of grades is that of `tables::density`; the rest is common practice, no published source.

use std::cmp::Ordering;

use uuid::Uuid;

use super::basis::{Basis, Piece};
use super::item::Item;
use super::ledger::PieceKey;
use super::plan::Plan;
use crate::needs::{Class, StickClass, Treatment};
use crate::record::Job;
use crate::tables::density::Grade;
use crate::units::Length;

/// Why an item doesn't serve a piece though a person chose it, whatever its length; none where it may.
pub(super) fn misfit(piece: &Piece<'_>, item: &Item) -> Option<String> {
    match (&piece.need.class, item) {
        (Class::Stick(wanted), Item::Stick { class, .. }) => {
            lesser(wanted, class, !piece.need.in_waste)
        }
        (Class::Panel(wanted), Item::Panel { class, .. }) if class.panel != wanted.panel => {
            Some(format!("{} is not {}", class.panel, wanted.panel))
        }
        (Class::Panel(wanted), Item::Panel { class, .. }) => (class.thickness < wanted.thickness)
            .then(|| {
                format!(
                    "{} in is thinner than {} in",
                    class.thickness, wanted.thickness
                )
            }),
        _ => Some("it is another kind of thing".to_owned()),
    }
}

fn lesser(wanted: &StickClass, class: &StickClass, carries: bool) -> Option<String> {
    let (ours, theirs) = (class.dressed, wanted.dressed);
    if ours.thickness < theirs.thickness {
        return Some(format!(
            "{} in is thinner than {} in",
            ours.thickness, theirs.thickness
        ));
    }
    if ours.depth < theirs.depth {
        return Some(format!(
            "{} in is narrower than {} in",
            ours.depth, theirs.depth
        ));
    }
    if wanted.treatment == Treatment::Treated && class.treatment == Treatment::None {
        return Some("it is not treated".to_owned());
    }
    if class.grade != wanted.grade {
        let ranked = Grade::from_name(&class.grade)
            .zip(Grade::from_name(&wanted.grade))
            .and_then(|(ours, theirs)| ours.compare(theirs));
        match ranked {
            Some(Ordering::Less) => {
                return Some(format!("{} is weaker than {}", class.grade, wanted.grade));
            }
            None if carries => {
                return Some(format!(
                    "{} and {} can’t be ranked: ask the engineer",
                    class.grade, wanted.grade
                ));
            }
            _ => {}
        }
    }
    (carries && class.species != wanted.species).then(|| {
        format!(
            "{} is another species than {}: it waits for the engineer’s word",
            class.species, wanted.species
        )
    })
}

/// The pieces, in this order, that an item holds by a person's word: as far as they fit.
pub(super) fn kept_by(
    basis: &Basis<'_>,
    item: &Item,
    whole: bool,
    keys: &[PieceKey],
) -> Vec<PieceKey> {
    let pieces = basis.pieces();
    let serving: Vec<PieceKey> = keys
        .iter()
        .filter(|key| {
            pieces
                .get(*key)
                .is_some_and(|piece| misfit(piece, item).is_none())
        })
        .cloned()
        .collect();
    super::entries::fitting(basis, &usable(basis, item, whole), &serving).0
}

/// What of an item is cut from: a whole stick less the end trim.
pub(super) fn usable(basis: &Basis<'_>, item: &Item, whole: bool) -> Item {
    match item {
        Item::Stick { class, length } if whole => Item::Stick {
            class: class.clone(),
            length: (*length - basis.settings.trim).max(Length::ZERO),
        },
        other => other.clone(),
    }
}

/// What is to be said of a swap before it is booked: a sentence for each piece that it doesn't serve.
pub fn swap_problems(
    job: &Job,
    weeks: &[u32],
    asked: &Item,
    item: &Item,
    count: i64,
) -> Vec<String> {
    if !asked.has_rows() {
        return of_counted(job, asked, item);
    }
    let basis = Basis::of(job);
    let plan = Plan::of(&basis, weeks);
    let planned = plan
        .of_week(weeks.first().copied().unwrap_or(0))
        .into_iter()
        .flat_map(|set| &set.to_buy)
        .filter(|stick| stick.item == *asked)
        .take(usize::try_from(count).unwrap_or(0))
        .map(|stick| stick.pieces.clone());
    not_served(job, &basis, item, planned)
}

/// The same of what an order still brings.
pub fn swap_problems_of_order(
    job: &Job,
    order: Uuid,
    asked: &Item,
    item: &Item,
    count: i64,
) -> Vec<String> {
    if !asked.has_rows() {
        return of_counted(job, asked, item);
    }
    let basis = Basis::of(job);
    let plan = Plan::of(&basis, &[]);
    let rows = super::entries::ordered_rows(basis.ledger, Some(order), asked);
    let kept = rows
        .into_iter()
        .take(usize::try_from(count).unwrap_or(0))
        .map(|row| {
            let planned = plan.rows.get(&row.id);
            planned.map_or_else(|| row.pieces.clone(), |planned| planned.pieces.clone())
        });
    not_served(job, &basis, item, kept)
}

/// What is counted serves by somebody's word alone.
fn of_counted(job: &Job, asked: &Item, item: &Item) -> Vec<String> {
    let (ours, theirs) = (item.words(job), asked.words(job));
    match (asked, item) {
        (Item::Fastener { .. }, Item::Fastener { .. }) => vec![format!(
            "{ours} holds otherwise than {theirs}: it serves only where the engineer or the nailing schedule says so."
        )],
        (Item::Hardware { .. }, Item::Hardware { .. }) => vec![format!(
            "{ours} carries otherwise than {theirs}: it serves only by its maker’s sheet and the engineer’s word."
        )],
        _ if asked.section() == item.section() => Vec::new(),
        _ => vec![format!("{ours} is another kind of thing than {theirs}.")],
    }
}

/// A sentence for each piece that an item in the place of these sticks doesn't hold.
fn not_served(
    job: &Job,
    basis: &Basis<'_>,
    item: &Item,
    sticks: impl Iterator<Item = Vec<PieceKey>>,
) -> Vec<String> {
    let pieces = basis.pieces();
    let mut said = Vec::new();
    for stick in sticks {
        let held = kept_by(basis, item, true, &stick);
        for key in stick.iter().filter(|key| !held.contains(key)) {
            let Some(piece) = pieces.get(key) else {
                continue;
            };
            let why = misfit(piece, item)
                .unwrap_or_else(|| format!("it is too short for {}", piece.length.feet_inches()));
            let text = format!(
                "{} does not serve {} ({}): {why}.",
                item.words(job),
                piece.need.title,
                piece.change.name
            );
            if !said.contains(&text) {
                said.push(text);
            }
        }
    }
    said
}
