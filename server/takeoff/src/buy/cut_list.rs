//! The cut list of a week: each stick with its pieces in cutting order, marked, and what is left of it.
//!
//! Marks are the week, the need's two letters and a running number in working order; done changes keep their numbers.
//! Source of the marks: common practice, no published source.

mod pattern;

use std::collections::BTreeMap;

use uuid::Uuid;

pub use pattern::{Pattern, Run};

use super::basis::{Basis, Piece};
use super::item::Item;
use super::least_cost::{LeastCost, least_costs};
use super::ledger::{PieceKey, Place};
use super::list::say;
use super::plan::Plan;
use crate::cutting::panels::{Rectangle, Sawing, sawing};
use crate::record::Job;
use crate::units::Length;

/// What to cut in a week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutList {
    /// The week.
    pub week: u32,
    /// Sticks and panels with a piece of this week: those here or ordered first, then those to buy, each in item order.
    pub sticks: Vec<CutStick>,
    /// Sticks and sheets that lie by for waste, or are bought for it: nothing is cut from them as long as all goes well.
    pub spare: Vec<Spare>,
    /// How cheap what is still to buy is, class by class; without what is bought for waste.
    pub least: Vec<LeastCost>,
    /// Pieces that no stick or sheet known holds, said.
    pub unmet: Vec<String>,
}

/// Like sticks or sheets for waste.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Spare {
    /// What they are.
    pub item: Item,
    /// Of these, here or ordered.
    pub here: i64,
    /// Of these, still to buy.
    pub to_buy: i64,
}

/// A stick or panel to cut from.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutStick {
    /// Its row, if it is here or ordered.
    pub row: Option<Uuid>,
    /// Ordered, and not here yet.
    pub ordered: bool,
    /// What it is.
    pub item: Item,
    /// Where it lies.
    pub lies: String,
    /// Whether the end trim comes off first.
    pub trim: Length,
    /// Its pieces in cutting order.
    pub pieces: Vec<CutPiece>,
    /// A stick's rest behind the last piece, the kerf of its cut off.
    pub left: Length,
    /// Whether what is left is kept: a stick's rest at least the keep length, the biggest rest of a panel both ways.
    pub keep: bool,
    /// A panel's cuts in order; none of a stick, and of a panel that straight cuts don't take apart.
    pub sawing: Option<Sawing>,
}

impl CutStick {
    /// The biggest of a panel's rests.
    pub fn biggest_rest(&self) -> Option<Rectangle> {
        let rests = self.sawing.iter().flat_map(|sawing| &sawing.rests).copied();
        rests.max_by_key(|rest| (rest.along.as_64ths() * rest.across.as_64ths(), rest.along))
    }
}

/// A piece of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutPiece {
    /// Which piece.
    pub key: PieceKey,
    /// What is written on it: `3-ST1`; empty for what isn't marked.
    pub mark: String,
    /// What it is: `Shoring stud, first side`.
    pub title: String,
    /// The change that it is of.
    pub change: Uuid,
    /// Its week.
    pub week: u32,
    /// Its cut length; a panel piece's side along the strength axis.
    pub length: Length,
    /// A panel piece's side across it; zero for a stick's.
    pub across: Length,
    /// The mark on the stick from its zero end where this piece ends, kerfs and trim before it counted; zero on a panel.
    pub ends_at: Length,
    /// Where it lies on a panel.
    pub place: Option<Place>,
    /// Crown up.
    pub crown_up: bool,
    /// Why not to cut it yet.
    pub held: Option<String>,
}

/// The cut list of a week, each week planned by itself in order.
pub fn cut_list(job: &Job, week: u32) -> CutList {
    list_of(&Basis::of(job), week)
}

/// The same from a basis.
pub(super) fn list_of(basis: &Basis<'_>, week: u32) -> CutList {
    let plan = Plan::of(basis, &[]);
    let (pieces, marks) = (basis.pieces(), marks(basis));
    let cutting = Cutting {
        basis,
        pieces: &pieces,
        marks: &marks,
    };
    let is_of_week = |keys: &[PieceKey]| {
        keys.iter()
            .any(|key| pieces.get(key).is_some_and(|piece| piece.week() == week))
    };
    let mut sticks: Vec<CutStick> = plan
        .rows
        .iter()
        .filter(|(_, planned)| is_of_week(&planned.pieces))
        .map(|(id, planned)| {
            let row = &basis.ledger.rows[id];
            let from = Source {
                row: Some(*id),
                item: &row.item,
                whole: row.whole,
                lies: &row.lies,
            };
            cutting.stick(&from, &planned.pieces, &planned.places, planned.left)
        })
        .collect();
    sticks.sort_by(|a, b| (&a.item, a.row).cmp(&(&b.item, b.row)));
    let to_buy = plan.sets.iter().flat_map(|set| &set.to_buy);
    sticks.extend(
        to_buy
            .filter(|stick| is_of_week(&stick.pieces))
            .map(|stick| {
                let from = Source {
                    row: None,
                    item: &stick.item,
                    whole: true,
                    lies: "",
                };
                cutting.stick(&from, &stick.pieces, &stick.places, stick.left)
            }),
    );
    let unmet = plan.of_week(week).map_or_else(Vec::new, |set| {
        set.unmet.iter().map(|piece| say(basis, piece)).collect()
    });
    CutList {
        week,
        sticks,
        spare: spare(basis, &plan, week),
        least: least_costs(basis, &plan, &[week]),
        unmet,
    }
}

/// What lies by for the week's waste, or is bought for it.
fn spare(basis: &Basis<'_>, plan: &Plan, week: u32) -> Vec<Spare> {
    let mut all: BTreeMap<&Item, (i64, i64)> = BTreeMap::new();
    for (id, row) in &plan.rows {
        if row.waste && row.pieces.is_empty() && row.weeks.contains(&week) {
            all.entry(&basis.ledger.rows[id].item).or_default().0 += 1;
        }
    }
    for stick in plan.of_week(week).into_iter().flat_map(|set| &set.to_buy) {
        if stick.waste {
            all.entry(&stick.item).or_default().1 += 1;
        }
    }
    all.into_iter()
        .map(|(item, (here, to_buy))| Spare {
            item: item.clone(),
            here,
            to_buy,
        })
        .collect()
}

/// What every stick of the list is made with.
struct Cutting<'a> {
    basis: &'a Basis<'a>,
    pieces: &'a BTreeMap<PieceKey, Piece<'a>>,
    marks: &'a BTreeMap<PieceKey, String>,
}

/// What is cut.
struct Source<'a> {
    row: Option<Uuid>,
    item: &'a Item,
    whole: bool,
    lies: &'a str,
}

impl Cutting<'_> {
    fn stick(
        &self,
        from: &Source<'_>,
        keys: &[PieceKey],
        places: &[Place],
        left: Length,
    ) -> CutStick {
        let settings = self.basis.settings;
        let is_stick = matches!(from.item, Item::Stick { .. });
        let trim = if from.whole && is_stick {
            settings.trim
        } else {
            Length::ZERO
        };
        let mut at = trim;
        let pieces: Vec<CutPiece> = keys
            .iter()
            .enumerate()
            .filter_map(|(n, key)| {
                let piece = self.pieces.get(key)?;
                let place = places.get(n).copied();
                let ends_at = if place.is_some() {
                    Length::ZERO
                } else {
                    at + piece.length
                };
                at += piece.length + settings.kerf;
                Some(cut_piece(key, piece, self.marks.get(key), ends_at, place))
            })
            .collect();
        let mut stick = CutStick {
            row: from.row,
            ordered: from
                .row
                .is_some_and(|id| !self.basis.ledger.rows[&id].is_here()),
            item: from.item.clone(),
            lies: from.lies.to_owned(),
            trim,
            sawing: sawn(from.item, &pieces, settings.kerf),
            pieces,
            left,
            keep: is_stick && left >= settings.keep_length,
        };
        if let Some(rest) = stick.biggest_rest() {
            stick.keep = rest.along.min(rest.across) >= settings.keep_length;
        }
        stick
    }
}

/// The cuts of a panel.
fn sawn(item: &Item, pieces: &[CutPiece], kerf: Length) -> Option<Sawing> {
    let Item::Panel { along, across, .. } = item else {
        return None;
    };
    let lying: Vec<Rectangle> = pieces
        .iter()
        .filter_map(|piece| piece.place)
        .map(|place| Rectangle {
            x: place.x,
            y: place.y,
            along: place.along,
            across: place.across,
        })
        .collect();
    sawing((*along, *across), &lying, kerf)
}

/// The marks of each need's pieces in these weeks, by change and slot; done changes too.
pub fn marks_of(job: &Job, weeks: &[u32]) -> BTreeMap<(Uuid, String), Vec<String>> {
    let basis = Basis::of(job);
    let pieces = basis.pieces();
    let mut of_needs: BTreeMap<(Uuid, String), Vec<String>> = BTreeMap::new();
    for (key, mark) in marks(&basis) {
        if pieces
            .get(&key)
            .is_some_and(|piece| weeks.contains(&piece.week()))
        {
            of_needs
                .entry((key.change, key.slot))
                .or_default()
                .push(mark);
        }
    }
    of_needs
}

fn cut_piece(
    key: &PieceKey,
    piece: &Piece<'_>,
    mark: Option<&String>,
    ends_at: Length,
    place: Option<Place>,
) -> CutPiece {
    CutPiece {
        key: key.clone(),
        mark: mark.cloned().unwrap_or_default(),
        title: piece.need.title.clone(),
        change: key.change,
        week: piece.week(),
        length: piece.length,
        across: piece.across,
        ends_at,
        place,
        crown_up: piece.need.crown_up,
        held: piece.need.held.clone(),
    }
}

/// What is written on each piece.
pub(super) fn marks(basis: &Basis<'_>) -> BTreeMap<PieceKey, String> {
    let pieces = basis.pieces();
    let mut in_order: Vec<(&PieceKey, &Piece<'_>)> = pieces.iter().collect();
    in_order.sort_by_key(|(_, piece)| piece.order);
    let mut running: BTreeMap<(u32, &str), u32> = BTreeMap::new();
    let mut marks = BTreeMap::new();
    for (key, piece) in in_order {
        if let Some(letters) = piece.need.mark {
            let n = running.entry((piece.week(), letters)).or_default();
            *n += 1;
            marks.insert(key.clone(), format!("{}-{letters}{n}", piece.week()));
        }
    }
    marks
}
