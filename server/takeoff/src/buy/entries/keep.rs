//! Keeps a plan: rows that are here keep the pieces that it puts on them, and its sticks to buy become a kept list.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::item::Item;
use super::super::kept;
use super::super::ledger::{Cause, Effect, Movement, Ordered, PieceKey, StockRow};
use super::super::plan::{Plan, Planned};

/// Collects what an entry does.
pub(super) struct Writer {
    pub(super) entry: Uuid,
    pub(super) about: Uuid,
    made: u32,
    pub(super) effects: Vec<Effect>,
}

impl Writer {
    pub(super) fn new(entry: Uuid, about: Uuid) -> Self {
        Self {
            entry,
            about,
            made: 0,
            effects: Vec::new(),
        }
    }

    /// The id of this entry's next row: the same for the same entry.
    pub(super) fn next_id(&mut self) -> Uuid {
        let id = Uuid::new_v5(&self.entry, &self.made.to_be_bytes());
        self.made += 1;
        id
    }

    pub(super) fn put(&mut self, row: StockRow) {
        self.effects.push(Effect::Put(row));
    }

    /// A movement of this entry; weeks and change are set by the caller where there are any.
    pub(super) fn movement(
        &self,
        item: &Item,
        row: Option<Uuid>,
        count: i64,
        cause: Cause,
    ) -> Movement {
        Movement {
            item: item.clone(),
            row,
            count,
            cause,
            weeks: Vec::new(),
            change: None,
            entry: self.entry,
            about: self.about,
            reverses: None,
            instead_of: None,
        }
    }

    pub(super) fn moved(&mut self, movement: Movement) {
        self.effects.push(Effect::Move(movement));
    }

    /// What an order brings, or no longer does.
    pub(super) fn order(
        &mut self,
        order: Uuid,
        item: &Item,
        row: Option<Uuid>,
        count: i64,
        weeks: &[u32],
    ) {
        self.effects.push(Effect::Order(Ordered {
            order,
            item: item.clone(),
            row,
            count,
            weeks: weeks.to_vec(),
            entry: self.entry,
        }));
    }

    /// A row that an order doesn't bring any more: with pieces it is on its list again, else it is gone.
    pub(super) fn not_coming(&mut self, order: Uuid, row: &StockRow) {
        self.order(order, &row.item, Some(row.id), -1, &row.weeks);
        self.put(StockRow {
            ordered: None,
            listed: row.gone || !row.pieces.is_empty(),
            gone: row.gone || row.pieces.is_empty(),
            ..row.clone()
        });
    }

    /// A new row of this entry, free and here.
    pub(super) fn row(&mut self, item: Item, whole: bool) -> StockRow {
        StockRow {
            id: self.next_id(),
            item,
            whole,
            salvage: false,
            sound: true,
            lies: String::new(),
            from: self.entry,
            weeks: Vec::new(),
            waste: false,
            listed: false,
            pieces: Vec::new(),
            places: Vec::new(),
            gone: false,
            taken_by: None,
            cut_from: None,
            given_by: None,
            ordered: None,
            swapped: false,
        }
    }

    /// The row of a stick to buy, not here yet.
    pub(super) fn row_of(&mut self, basis: &Basis<'_>, stick: &Planned, weeks: &[u32]) -> StockRow {
        let known = stick
            .listed
            .and_then(|id| basis.ledger.rows.get(&id).cloned());
        let mut row = known.unwrap_or_else(|| self.row(stick.item.clone(), true));
        row.pieces.clone_from(&stick.pieces);
        row.places.clone_from(&stick.places);
        row.weeks = weeks.to_vec();
        row.waste = stick.waste;
        row.listed = true;
        row
    }

    /// Rows that are here keep what the sets up to this one put on them; those of `but` are written by the caller.
    pub(super) fn keep_rows(
        &mut self,
        basis: &Basis<'_>,
        plan: &Plan,
        last: usize,
        but: &BTreeSet<Uuid>,
    ) {
        for (id, planned) in plan.rows.iter().filter(|(id, _)| !but.contains(*id)) {
            let row = &basis.ledger.rows[id];
            let (mut kept, mut more) = (row.clone(), false);
            kept.pieces.clear();
            kept.places.clear();
            for (at, key) in planned.pieces.iter().enumerate() {
                let stands = row.pieces.contains(key);
                if stands || set_of(basis, plan, key).is_some_and(|set| set <= last) {
                    more |= !stands;
                    kept.pieces.push(key.clone());
                    kept.places.extend(planned.places.get(at).copied());
                }
            }
            if more {
                kept.weeks.clone_from(&planned.weeks);
                kept.waste = planned.waste;
                self.put(kept);
            }
        }
    }

    /// What the sets up to this one buy becomes a kept list; sticks of `but` (which set, which of its sticks) are written
    /// by the caller.
    pub(super) fn keep_lists(
        &mut self,
        basis: &Basis<'_>,
        plan: &Plan,
        last: usize,
        but: &BTreeSet<(usize, usize)>,
    ) {
        for set in plan.sets.iter().take(last + 1) {
            if basis.ledger.kept_of(&set.weeks).is_none() {
                let kept_now = kept::list_to_keep(basis, &set.weeks, self.entry);
                self.effects.extend(kept_now.map(Effect::Keep));
            }
        }
        self.keep_sticks(basis, plan, last, but);
    }

    /// What the sets up to this one buy with pieces on it keeps them; sticks of `but` are written by the caller. What a
    /// kept list no longer needs goes.
    pub(super) fn keep_sticks(
        &mut self,
        basis: &Basis<'_>,
        plan: &Plan,
        last: usize,
        but: &BTreeSet<(usize, usize)>,
    ) {
        for (at, set) in plan.sets.iter().enumerate().take(last + 1) {
            for (which, stick) in set.to_buy.iter().enumerate() {
                if !stick.waste && !but.contains(&(at, which)) {
                    let row = self.row_of(basis, stick, &set.weeks);
                    if basis.ledger.rows.get(&row.id) != Some(&row) {
                        self.put(row);
                    }
                }
            }
        }
        for row in plan
            .dissolved
            .iter()
            .filter_map(|id| basis.ledger.rows.get(id))
        {
            self.put(StockRow {
                gone: true,
                ..row.clone()
            });
        }
    }
}

fn set_of(basis: &Basis<'_>, plan: &Plan, key: &PieceKey) -> Option<usize> {
    let week = basis.change(key.change)?.takeoff.week;
    plan.sets.iter().position(|set| set.weeks.contains(&week))
}
