//! The standing plan: which piece comes from which stick, and what is bought for the rest.
//!
//! A stick that is here keeps its pieces, and so does a stick of a list from which something was bought. Only pieces
//! without a stick are solved: on what is free, on what standing sticks leave, then on what is sold. Weeks are solved in
//! order, each by itself; weeks that are to be bought together are solved together, at the place of the first of them.
//! A later week doesn't use what a stick that isn't bought yet would leave.
//!
//! Nothing is written here: an entry keeps a plan (`entries`). Source: common practice, no published source.

mod panels;
mod solve;
mod spared;
mod sticks;
mod waste;

pub(super) use panels::laid;
pub(super) use solve::{behind, usable};

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::basis::Basis;
use super::item::Item;
use super::ledger::{PieceKey, Place, StockRow};
use crate::needs::Class;
use crate::units::{Length, Permille};

/// Which stick comes from where, for every week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// The sticks and panels that are here, with what they keep and what the plan puts on them.
    pub rows: BTreeMap<Uuid, RowPlan>,
    /// What each week, or the weeks bought together, take; in the order in which they were solved.
    pub sets: Vec<Solved>,
    /// Sticks of kept lists that the plan no longer needs: a piece of them is gone.
    pub dissolved: BTreeSet<Uuid>,
    /// Sticks of kept lists that stay on their list though what is free here holds their pieces: planning afresh takes them
    /// off. Looked for only by [`Plan::with_spared`].
    pub spared: BTreeSet<Uuid>,
}

/// What becomes of a row that is here.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RowPlan {
    /// Its pieces in cutting order: those it keeps, then those of this plan.
    pub pieces: Vec<PieceKey>,
    /// Where they lie on a panel; empty for a stick.
    pub places: Vec<Place>,
    /// The weeks that hold it; none where it is free.
    pub weeks: Vec<u32>,
    /// A stick's usable length behind its last piece, the kerf of that cut off.
    pub left: Length,
    /// Whether it waits for the waste of its weeks.
    pub waste: bool,
    /// Whether pieces without a stick may go on it.
    pub offered: bool,
}

/// One stick or sheet to buy.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Planned {
    /// Its row where a list was kept; none for what this plan adds.
    pub listed: Option<Uuid>,
    /// What to buy.
    pub item: Item,
    /// Its pieces in cutting order; none on one that is bought for waste.
    pub pieces: Vec<PieceKey>,
    /// Where they lie on a panel; empty for a stick.
    pub places: Vec<Place>,
    /// A stick's usable length behind its last piece.
    pub left: Length,
    /// Bought for waste.
    pub waste: bool,
}

/// What a week, or weeks bought together, take.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Solved {
    /// The weeks.
    pub weeks: Vec<u32>,
    /// The rows here that hold a piece of these weeks, or wait for their waste.
    pub from_rows: BTreeSet<Uuid>,
    /// What to buy: by item; of one item first sticks with pieces, then those for waste.
    pub to_buy: Vec<Planned>,
    /// Waste by class.
    pub waste: Vec<WasteSum>,
    /// Pieces that nothing known holds.
    pub unmet: Vec<Unmet>,
}

/// The two figures of takeoff's waste rule for one class.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WasteSum {
    /// The class.
    pub class: Class,
    /// N: cut lengths of the weeks' pieces, done ones too, in 1/64 in; areas of panels in square inches × 64 × 64.
    pub needed: i64,
    /// B: whole lengths (areas) of the sticks that hold them or lie by for them, with those bought for waste.
    pub there: i64,
    /// The waste factor.
    pub factor: Permille,
    /// How many more are bought for it.
    pub more: i64,
}

/// A piece that nothing known holds.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unmet {
    /// The piece.
    pub piece: PieceKey,
    /// Its length.
    pub length: Length,
    /// What it is of.
    pub class: Class,
    /// The longest that is known; zero where nothing is.
    pub longest: Length,
    /// Whether what is sold would hold it, but the yard has too few for one trip.
    pub too_few: bool,
}

impl RowPlan {
    /// Whether nothing is kept for it and nothing lies on it.
    fn is_free(&self) -> bool {
        self.offered && !self.waste && self.pieces.is_empty()
    }
}

impl Plan {
    /// A row with those of its pieces that are on it still: not what a dropped change left there.
    pub(super) fn still_on(&self, row: &StockRow) -> StockRow {
        let planned = self.rows.get(&row.id);
        let stands = |key: &PieceKey| planned.is_some_and(|plan| plan.pieces.contains(key));
        let on_it = |at: &usize| stands(&row.pieces[*at]);
        let kept: Vec<usize> = (0..row.pieces.len()).filter(on_it).collect();
        StockRow {
            pieces: kept.iter().map(|at| row.pieces[*at].clone()).collect(),
            places: kept
                .iter()
                .filter_map(|at| row.places.get(*at).copied())
                .collect(),
            ..row.clone()
        }
    }

    /// What keeps a row from leaving, to sort by: free ones come first, then those for waste, then those with pieces.
    pub(super) fn keeps(&self, row: &StockRow) -> (bool, bool) {
        self.rows
            .get(&row.id)
            .map_or((false, false), |plan| (!plan.pieces.is_empty(), plan.waste))
    }

    /// The plan of all weeks; those of `together` (in any order, or none) are solved as one.
    pub fn of(basis: &Basis<'_>, together: &[u32]) -> Self {
        solve::solve(basis, together)
    }

    /// The same, and which sticks of kept lists what is free here would spare.
    pub fn with_spared(basis: &Basis<'_>, together: &[u32]) -> Self {
        solve::solve_with_spared(basis, together)
    }

    /// What the set of weeks with this week takes.
    pub fn of_week(&self, week: u32) -> Option<&Solved> {
        self.sets.iter().find(|set| set.weeks.contains(&week))
    }
}
