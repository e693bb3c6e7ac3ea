//! Solves week after week: what stands first, then pieces without a stick.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::basis::{Basis, Piece};
use super::super::item::Item;
use super::super::ledger::{PieceKey, StockRow};
use super::super::swap;
use super::{Plan, Planned, RowPlan, Solved, Unmet, WasteSum};
use crate::needs::Class;
use crate::units::Length;

pub(super) struct Solver<'a> {
    pub(super) basis: &'a Basis<'a>,
    pub(super) pieces: BTreeMap<PieceKey, Piece<'a>>,
    pub(super) placed: BTreeSet<PieceKey>,
    pub(super) rows: BTreeMap<Uuid, RowPlan>,
    /// Sticks of kept lists that stand, by id.
    pub(super) listed: BTreeMap<Uuid, Planned>,
    pub(super) dissolved: BTreeSet<Uuid>,
    pub(super) sets: Vec<Vec<u32>>,
    /// Of the set being solved.
    pub(super) at: usize,
    pub(super) to_buy: Vec<Planned>,
    pub(super) waste: Vec<WasteSum>,
    pub(super) unmet: Vec<Unmet>,
}

pub(super) fn solve(basis: &Basis<'_>, together: &[u32]) -> Plan {
    let (solver, sets) = solved(basis, together);
    Plan {
        rows: solver.rows,
        sets,
        dissolved: solver.dissolved,
        spared: BTreeSet::new(),
    }
}

/// The same, with what of the kept lists is spared.
pub(super) fn solve_with_spared(basis: &Basis<'_>, together: &[u32]) -> Plan {
    let (solver, sets) = solved(basis, together);
    Plan {
        rows: solver.rows.clone(),
        dissolved: solver.dissolved.clone(),
        spared: solver.spared(&sets),
        sets,
    }
}

fn solved<'a>(basis: &'a Basis<'a>, together: &[u32]) -> (Solver<'a>, Vec<Solved>) {
    let mut solver = Solver {
        basis,
        pieces: basis.pieces(),
        placed: BTreeSet::new(),
        rows: BTreeMap::new(),
        listed: BTreeMap::new(),
        dissolved: BTreeSet::new(),
        sets: sets(basis, together),
        at: 0,
        to_buy: Vec::new(),
        waste: Vec::new(),
        unmet: Vec::new(),
    };
    solver.stand();
    let mut all = Vec::new();
    for at in 0..solver.sets.len() {
        solver.at = at;
        solver.solve_sticks();
        solver.solve_panels();
        let mut to_buy = std::mem::take(&mut solver.to_buy);
        to_buy.extend(
            solver
                .listed_of(at)
                .into_iter()
                .filter_map(|id| solver.listed.get(&id).cloned()),
        );
        // Sticks of a kept list first, then new ones by their pieces: the order in which a booking fills them.
        to_buy.sort_by(|a, b| {
            let key = |p: &Planned| {
                (
                    p.item.clone(),
                    p.waste,
                    p.listed.is_none(),
                    p.pieces.clone(),
                    p.listed,
                )
            };
            key(a).cmp(&key(b))
        });
        all.push(Solved {
            weeks: solver.sets[at].clone(),
            from_rows: BTreeSet::new(),
            to_buy,
            waste: std::mem::take(&mut solver.waste),
            unmet: std::mem::take(&mut solver.unmet),
        });
    }
    for (at, set) in all.iter_mut().enumerate() {
        set.from_rows = solver
            .rows
            .iter()
            .filter(|(_, row)| {
                row.pieces
                    .iter()
                    .any(|key| solver.set_of_piece(key) == Some(at))
                    || (row.waste
                        && row.pieces.is_empty()
                        && solver.first_set(&row.weeks) == Some(at))
            })
            .map(|(id, _)| *id)
            .collect();
    }
    (solver, all)
}

/// The sets of weeks in the order in which they are solved: every week known to a change or a row, and those asked for.
fn sets(basis: &Basis<'_>, together: &[u32]) -> Vec<Vec<u32>> {
    let mut joint = together.to_vec();
    joint.sort_unstable();
    joint.dedup();
    let mut weeks: BTreeSet<u32> = basis.weeks().into_iter().collect();
    weeks.extend(basis.ledger.rows.values().flat_map(|row| &row.weeks));
    let mut sets: Vec<Vec<u32>> = weeks
        .into_iter()
        .filter(|week| !joint.contains(week))
        .map(|week| vec![week])
        .collect();
    if !joint.is_empty() {
        sets.push(joint);
    }
    sets.sort();
    sets
}

impl Solver<'_> {
    pub(super) fn set_of(&self, week: u32) -> Option<usize> {
        self.sets.iter().position(|set| set.contains(&week))
    }

    pub(super) fn first_set(&self, weeks: &[u32]) -> Option<usize> {
        weeks.iter().filter_map(|week| self.set_of(*week)).min()
    }

    pub(super) fn set_of_piece(&self, key: &PieceKey) -> Option<usize> {
        self.set_of(self.pieces.get(key)?.week())
    }

    /// Whether every one of these weeks is solved before the set at hand.
    pub(super) fn is_earlier(&self, weeks: &[u32]) -> bool {
        !weeks.is_empty()
            && weeks
                .iter()
                .all(|week| self.set_of(*week).is_some_and(|at| at < self.at))
    }

    /// The standing sticks of kept lists that the set with the earliest of their pieces takes.
    pub(super) fn listed_of(&self, at: usize) -> Vec<Uuid> {
        self.listed
            .iter()
            .filter(|(_, stick)| {
                stick
                    .pieces
                    .iter()
                    .filter_map(|key| self.set_of_piece(key))
                    .min()
                    == Some(at)
            })
            .map(|(id, _)| *id)
            .collect()
    }

    /// The pieces of the set at hand that have no stick, in working order.
    pub(super) fn open(&self) -> Vec<PieceKey> {
        let mut open: Vec<(usize, &PieceKey)> = self
            .pieces
            .iter()
            .filter(|(key, piece)| {
                !piece.change.done
                    && self.sets[self.at].contains(&piece.week())
                    && !self.placed.contains(*key)
            })
            .map(|(key, piece)| (piece.order, key))
            .collect();
        open.sort();
        open.into_iter().map(|(_, key)| key.clone()).collect()
    }

    /// What stands: rows that are here keep the pieces that still exist and fit; a stick of a kept list stands while all
    /// of its pieces do.
    fn stand(&mut self) {
        let ledger = self.basis.ledger;
        let mut free: BTreeMap<&Item, i64> = BTreeMap::new();
        for row in ledger.standing() {
            let mut plan = RowPlan {
                pieces: Vec::new(),
                places: Vec::new(),
                weeks: Vec::new(),
                left: usable(row, self.basis.settings.trim),
                waste: false,
                offered: true,
            };
            self.keep_pieces(row, &mut plan);
            plan.waste = row.waste && self.is_needed(&row.item.class(), &row.weeks);
            if plan.waste || !plan.pieces.is_empty() {
                plan.weeks = self.weeks_of(row, &plan.pieces);
            } else if row.is_here() {
                // What is missing was used before it was booked: so many free ones aren't there for another.
                let seen = free.entry(&row.item).or_default();
                *seen += 1;
                plan.offered = *seen > ledger.missing(&row.item);
            }
            self.rows.insert(row.id, plan);
        }
        for row in ledger.rows.values().filter(|row| row.listed && !row.gone) {
            let mut plan = RowPlan {
                pieces: Vec::new(),
                places: Vec::new(),
                weeks: row.weeks.clone(),
                left: usable(row, self.basis.settings.trim),
                waste: false,
                offered: false,
            };
            self.keep_pieces(row, &mut plan);
            if plan.pieces.len() == row.pieces.len() && !plan.pieces.is_empty() {
                let stick = Planned {
                    listed: Some(row.id),
                    item: row.item.clone(),
                    pieces: plan.pieces,
                    places: plan.places,
                    left: plan.left,
                    waste: false,
                };
                self.listed.insert(row.id, stick);
            } else {
                for key in &plan.pieces {
                    self.placed.remove(key);
                }
                self.dissolved.insert(row.id);
            }
        }
    }

    /// The weeks that a stick is for: those that it was bought for; where the change of its first piece was moved to another
    /// week, those of its pieces.
    fn weeks_of(&self, row: &StockRow, pieces: &[PieceKey]) -> Vec<u32> {
        let mut weeks: Vec<u32> = pieces
            .iter()
            .filter_map(|key| self.pieces.get(key))
            .map(Piece::week)
            .collect();
        match weeks.first() {
            Some(first) if row.cut_from.is_none() && !row.weeks.contains(first) => {
                weeks.sort_unstable();
                weeks.dedup();
                weeks
            }
            _ => row.weeks.clone(),
        }
    }

    fn keep_pieces(&mut self, row: &StockRow, plan: &mut RowPlan) {
        let kerf = self.basis.settings.kerf;
        for (at, key) in row.pieces.iter().enumerate() {
            let Some(piece) = self.pieces.get(key) else {
                continue;
            };
            let serves = piece.served_by(row).is_some()
                || (row.swapped && swap::misfit(piece, &row.item).is_none());
            if piece.change.done || !serves || self.placed.contains(key) {
                continue;
            }
            if let Item::Panel { .. } = row.item {
                let Some(place) = row.places.get(at) else {
                    continue;
                };
                let lying = (piece.length, piece.across) == (place.along, place.across);
                let turned =
                    piece.need.turn && (piece.across, piece.length) == (place.along, place.across);
                if !lying && !turned {
                    continue;
                }
                plan.places.push(*place);
            } else if piece.length <= plan.left {
                plan.left = behind(plan.left, piece.length, kerf);
            } else {
                continue;
            }
            plan.pieces.push(key.clone());
            self.placed.insert(key.clone());
        }
    }

    /// Whether a change of these weeks that isn't done needs the class.
    fn is_needed(&self, class: &Class, weeks: &[u32]) -> bool {
        self.basis.changes.iter().any(|change| {
            !change.done
                && weeks.contains(&change.takeoff.week)
                && change.takeoff.needs.iter().any(|need| need.class == *class)
        })
    }
}

/// What a stick offers to its first piece.
pub(in crate::buy) fn usable(row: &StockRow, trim: Length) -> Length {
    match &row.item {
        Item::Stick { length, .. } if row.whole => (*length - trim).max(Length::ZERO),
        Item::Stick { length, .. } => *length,
        _ => Length::ZERO,
    }
}

/// What is left behind a piece, the kerf of its cut off; a rest under the kerf is dust.
pub(in crate::buy) fn behind(left: Length, piece: Length, kerf: Length) -> Length {
    (left - piece - kerf).max(Length::ZERO)
}
