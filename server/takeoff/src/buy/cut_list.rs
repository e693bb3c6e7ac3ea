//! The cut list of a week: each stick with its pieces in cutting order, marked, and what is left of it.
//!
//! Marks are the week, the need's two letters and a running number in working order; done changes keep their numbers.
//! Source of the marks: common practice, no published source.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::basis::{Basis, Piece};
use super::item::Item;
use super::ledger::{PieceKey, Place};
use super::list::say;
use super::plan::Plan;
use crate::record::Job;
use crate::units::Length;

/// What to cut in a week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CutList {
    /// The week.
    pub week: u32,
    /// Sticks and panels with a piece of this week: those here or ordered first, then those to buy, each in item order.
    pub sticks: Vec<CutStick>,
    /// Pieces that no stick or sheet known holds, said.
    pub unmet: Vec<String>,
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
    /// Whether that is kept: at least the keep length.
    pub keep: bool,
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
    let basis = Basis::of(job);
    let plan = Plan::of(&basis, &[]);
    let (pieces, marks) = (basis.pieces(), marks(&basis));
    let settings = basis.settings;
    let is_of_week = |keys: &[PieceKey]| {
        keys.iter()
            .any(|key| pieces.get(key).is_some_and(|piece| piece.week() == week))
    };
    let cut = |row: Option<Uuid>,
               item: &Item,
               whole: bool,
               lies: &str,
               keys: &[PieceKey],
               places: &[Place],
               left: Length| {
        let trim = if whole && matches!(item, Item::Stick { .. }) {
            settings.trim
        } else {
            Length::ZERO
        };
        let mut at = trim;
        let pieces = keys
            .iter()
            .enumerate()
            .filter_map(|(n, key)| {
                let piece = pieces.get(key)?;
                let place = places.get(n).copied();
                let ends_at = if place.is_some() {
                    Length::ZERO
                } else {
                    at + piece.length
                };
                at += piece.length + settings.kerf;
                Some(cut_piece(key, piece, marks.get(key), ends_at, place))
            })
            .collect();
        CutStick {
            row,
            ordered: row.is_some_and(|id| !basis.ledger.rows[&id].is_here()),
            item: item.clone(),
            lies: lies.to_owned(),
            trim,
            pieces,
            left,
            keep: left >= settings.keep_length,
        }
    };
    let mut sticks: Vec<CutStick> = plan
        .rows
        .iter()
        .filter(|(_, planned)| is_of_week(&planned.pieces))
        .map(|(id, planned)| {
            let row = &basis.ledger.rows[id];
            cut(
                Some(*id),
                &row.item,
                row.whole,
                &row.lies,
                &planned.pieces,
                &planned.places,
                planned.left,
            )
        })
        .collect();
    sticks.sort_by(|a, b| (&a.item, a.row).cmp(&(&b.item, b.row)));
    sticks.extend(
        plan.sets
            .iter()
            .flat_map(|set| &set.to_buy)
            .filter(|stick| is_of_week(&stick.pieces))
            .map(|stick| {
                cut(
                    None,
                    &stick.item,
                    true,
                    "",
                    &stick.pieces,
                    &stick.places,
                    stick.left,
                )
            }),
    );
    let unmet = plan.of_week(week).map_or_else(Vec::new, |set| {
        set.unmet.iter().map(|piece| say(&basis, piece)).collect()
    });
    CutList {
        week,
        sticks,
        unmet,
    }
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
