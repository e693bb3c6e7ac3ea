//! The form of a change that is done, filled with what the plan says: sticks, offcuts, counts, and what came out.
//!
//! The person corrects it; what is sent counts as it comes (`entries`). Source: common practice, no published source.

use uuid::Uuid;

use super::basis::Basis;
use super::counted::{counts, used_by};
use super::cut_list::marks;
use super::entries::{Used, fitting};
use super::item::Item;
use super::ledger::{PieceKey, Place};
use super::plan::Plan;
use crate::needs::{Class, StickClass, Treatment};
use crate::record::Job;
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::{Length, Nominal, Section};

/// The form of a change that is done.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct DoneForm {
    /// The sticks and panels with a piece of it.
    pub sticks: Vec<DoneStick>,
    /// What it uses of nails, hardware and sundries, with waste.
    pub counts: Vec<Used>,
    /// Lumber that comes out and can be kept once it is called sound and nail-free.
    pub back: Vec<(Item, i64)>,
}

/// A stick or panel of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DoneStick {
    /// What the entry names: the row's id, or the item's text where it isn't booked yet.
    pub key: String,
    /// Whether it is booked and here.
    pub is_here: bool,
    /// What it is.
    pub item: Item,
    /// Where it lies.
    pub lies: String,
    /// The pieces of this change on it, with their marks.
    pub pieces: Vec<(PieceKey, String)>,
    /// The pieces of other changes on it: they stay on what is left.
    pub others: Vec<PieceKey>,
    /// What is left of it and kept, as the form writes it: `50 1/2`, a panel's `30 x 48` across × along; empty: scrap.
    pub offcut: String,
    /// The same as an item.
    pub left: Option<Item>,
}

/// The form of a change, filled; empty for what is no change.
pub fn done_form(job: &Job, change: Uuid) -> DoneForm {
    form_of(&Basis::of(job), change)
}

/// The same from a basis.
pub(super) fn form_of(basis: &Basis<'_>, change: Uuid) -> DoneForm {
    let Some(counted) = basis.change(change) else {
        return DoneForm::default();
    };
    let plan = Plan::of(basis, &[]);
    let marks = marks(basis);
    let is_mine = |keys: &[PieceKey]| keys.iter().any(|key| key.change == change);
    let stick = |key: String,
                 is_here: bool,
                 item: &Item,
                 whole: bool,
                 lies: &str,
                 keys: &[PieceKey],
                 places: &[Place]| {
        let (mine, others): (Vec<PieceKey>, Vec<PieceKey>) =
            keys.iter().cloned().partition(|key| key.change == change);
        let left = rest(basis, item, whole, keys, places, change, &others);
        DoneStick {
            key,
            is_here,
            item: item.clone(),
            lies: lies.to_owned(),
            offcut: left.as_ref().map_or(String::new(), written),
            left,
            pieces: mine
                .into_iter()
                .map(|key| {
                    let mark = marks.get(&key).cloned().unwrap_or_default();
                    (key, mark)
                })
                .collect(),
            others,
        }
    };
    let mut sticks: Vec<DoneStick> = plan
        .rows
        .iter()
        .filter(|(_, planned)| is_mine(&planned.pieces))
        .map(|(id, planned)| {
            let row = &basis.ledger.rows[id];
            stick(
                id.to_string(),
                row.is_here(),
                &row.item,
                row.whole,
                &row.lies,
                &planned.pieces,
                &planned.places,
            )
        })
        .collect();
    sticks.extend(
        plan.sets
            .iter()
            .flat_map(|set| &set.to_buy)
            .filter(|planned| is_mine(&planned.pieces))
            .map(|planned| {
                let key = planned
                    .listed
                    .map_or_else(|| planned.item.to_key(), |id| id.to_string());
                stick(
                    key,
                    false,
                    &planned.item,
                    true,
                    "",
                    &planned.pieces,
                    &planned.places,
                )
            }),
    );
    let used = counts(basis)
        .into_iter()
        .filter(|(_, by_change)| by_change.contains_key(&change))
        .flat_map(|(item, by_change)| {
            let used = used_by(basis, &item, &by_change, change);
            stand_ins(basis, item, used)
        })
        .collect();
    let back = counted
        .takeoff
        .salvage
        .iter()
        .filter_map(|salvage| {
            let size = Section {
                thickness: salvage.thickness,
                depth: salvage.depth,
            };
            let class = StickClass {
                nominal: named(size)?,
                dressed: size,
                species: String::new(),
                grade: String::new(),
                treatment: Treatment::None,
            };
            let item = Item::Stick {
                class,
                length: salvage.length,
            };
            Some((item, salvage.count))
        })
        .collect();
    DoneForm {
        sticks,
        counts: used,
        back,
    }
}

/// What is used of an item: what is here of itself, then what was bought instead of it, the rest of itself.
fn stand_ins(basis: &Basis<'_>, item: Item, used: i64) -> Vec<Used> {
    let mut here = basis.ledger.serving_by_item(&item).into_iter();
    let own = here.next().map_or(0, |(_, count)| count.max(0));
    let mut rest = (used - own).max(0);
    let others: Vec<Used> = here
        .filter_map(|(other, count)| {
            let count = count.min(rest).max(0);
            rest -= count;
            (count > 0).then(|| Used {
                item: other,
                count,
                instead_of: Some(item.clone()),
            })
        })
        .collect();
    let others_count: i64 = others.iter().map(|used| used.count).sum();
    let mut all = vec![Used {
        item,
        count: used - others_count,
        instead_of: None,
    }];
    all.retain(|own| own.count > 0 || others.is_empty());
    all.extend(others);
    all
}

/// The temporary pieces of a change, which come back as they stand when it is struck.
pub fn struck_form(job: &Job, change: Uuid) -> Vec<(Item, i64)> {
    struck_of(&Basis::of(job), change)
}

/// The same from a basis.
pub(super) fn struck_of(basis: &Basis<'_>, change: Uuid) -> Vec<(Item, i64)> {
    let Some(counted) = basis.change(change) else {
        return Vec::new();
    };
    let mut back: Vec<(Item, i64)> = Vec::new();
    for need in counted.takeoff.needs.iter().filter(|need| need.temporary) {
        let item = match (&need.class, need.cut, need.across) {
            (Class::Stick(class), Some(length), _) => Item::Stick {
                class: class.clone(),
                length,
            },
            (Class::Panel(class), Some(along), Some(across)) => Item::Panel {
                class: class.clone(),
                along,
                across,
            },
            _ => continue,
        };
        match back.iter_mut().find(|(known, _)| *known == item) {
            Some((_, count)) => *count += need.count,
            None => back.push((item, need.count)),
        }
    }
    back.sort();
    back
}

/// What is left of a stick once the pieces of this change are cut from it, if it is kept: it is as long as the keep
/// length, or pieces of other changes lie on it.
fn rest(
    basis: &Basis<'_>,
    item: &Item,
    whole: bool,
    keys: &[PieceKey],
    places: &[Place],
    change: Uuid,
    others: &[PieceKey],
) -> Option<Item> {
    let (pieces, settings) = (basis.pieces(), basis.settings);
    match item {
        Item::Stick { class, length } => {
            let trim = if whole { settings.trim } else { Length::ZERO };
            let cut: Length = keys
                .iter()
                .filter(|key| key.change == change)
                .filter_map(|key| pieces.get(key))
                .map(|piece| piece.length + settings.kerf)
                .sum();
            let left = *length - trim - cut;
            let kept = left > Length::ZERO && (left >= settings.keep_length || !others.is_empty());
            kept.then(|| Item::Stick {
                class: class.clone(),
                length: left,
            })
        }
        Item::Panel {
            class,
            along,
            across,
        } => {
            let part = |along: Length, across: Length| Item::Panel {
                class: class.clone(),
                along,
                across,
            };
            let holds = |part: &Item| fitting(basis, part, others).0.len() == others.len();
            let of = |mine: bool| {
                keys.iter()
                    .zip(places)
                    .filter(move |(key, _)| (key.change == change) == mine)
                    .map(|(_, place)| *place)
            };
            let kerf = settings.kerf;
            let mut parts = Vec::new();
            // The strips behind the pieces of this change, one way and the other.
            let (mut x, mut y) = (Length::ZERO, Length::ZERO);
            for place in of(true) {
                x = x.max(place.x + place.along + kerf);
                y = y.max(place.y + place.across + kerf);
            }
            parts.push(part(*along - x, *across));
            parts.push(part(*along, *across - y));
            parts.retain(|part| is_kept(part, settings.keep_length) && holds(part));
            if parts.is_empty() && !others.is_empty() {
                // No straight cut parts them: the rectangle around the other changes' pieces.
                let (mut ends, mut starts) = ((Length::ZERO, Length::ZERO), (*along, *across));
                for place in of(false) {
                    starts = (starts.0.min(place.x), starts.1.min(place.y));
                    ends = (
                        ends.0.max(place.x + place.along),
                        ends.1.max(place.y + place.across),
                    );
                }
                let around = part(ends.0 - starts.0, ends.1 - starts.1);
                parts.push(if holds(&around) { around } else { item.clone() });
            }
            parts.into_iter().max_by_key(|part| match part {
                Item::Panel { along, across, .. } => along.as_64ths() * across.as_64ths(),
                _ => 0,
            })
        }
        _ => None,
    }
}

/// Whether a rest of a panel is kept: each side at least the keep length.
fn is_kept(part: &Item, keep: Length) -> bool {
    match part {
        Item::Panel { along, across, .. } => {
            *along > Length::ZERO && *across > Length::ZERO && (*along).min(*across) >= keep
        }
        _ => false,
    }
}

fn written(left: &Item) -> String {
    match left {
        Item::Stick { length, .. } => length.to_string(),
        Item::Panel { along, across, .. } => format!("{across} x {along}"),
        _ => String::new(),
    }
}

/// The nominal size whose dressed section comes nearest to one as found, none of it thinner or narrower where there is
/// such a one: 1 3/4 × 5 3/4 is called 2×6.
fn named(size: Section) -> Option<Nominal> {
    let off = |nominal: Nominal| {
        [Seasoning::Dry, Seasoning::Green]
            .into_iter()
            .filter_map(|seasoning| dressed(nominal, seasoning))
            .map(|table| {
                (table.thickness - size.thickness).abs() + (table.depth - size.depth).abs()
            })
            .min()
    };
    (1..=12)
        .flat_map(|t| (t.max(2)..=16).map(move |w| format!("{t}x{w}")))
        .filter_map(|text| Nominal::parse(&text).ok())
        .filter_map(|nominal| Some((off(nominal)?, nominal)))
        .min()
        .map(|(_, nominal)| nominal)
}
