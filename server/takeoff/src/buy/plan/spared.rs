//! Which sticks of kept lists what is free here would spare. They stay on their list until it is planned afresh: a list that
//! changed with every stick that comes in would ask other weeks for more, and could not be bought as it was read.
//!
//! What a stick with pieces leaves doesn't count, nor a free one that a later week's plan takes. Source: common practice, no
//! published source.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use uuid::Uuid;

use super::solve::Solver;
use super::{RowPlan, Solved};
use crate::needs::Class;

impl Solver<'_> {
    /// The sticks and sheets of kept lists whose pieces all fit on what is free here, so that waste asks for no other.
    pub(super) fn spared(mut self, solved: &[Solved]) -> BTreeSet<Uuid> {
        let mut spared = BTreeSet::new();
        if self.listed.is_empty() || !self.rows.values().any(RowPlan::is_free) {
            return spared;
        }
        for (at, set) in solved.iter().enumerate() {
            self.at = at;
            self.to_buy = set
                .to_buy
                .iter()
                .filter(|stick| stick.listed.is_none())
                .cloned()
                .collect();
            let mut ids = self.listed_of(at);
            ids.sort_by_key(|id| Reverse((self.listed[id].item.clone(), *id)));
            // One that goes brings another stick into the waste's figures, so one that had to stay may go then.
            while let Some(next) = ids.iter().position(|id| self.spares(*id)) {
                spared.insert(ids.remove(next));
            }
        }
        spared
    }

    /// Whether what is free holds the pieces of this one; they lie there then.
    fn spares(&mut self, id: Uuid) -> bool {
        let Some(listed) = self.listed.get(&id).cloned() else {
            return false;
        };
        let rows = self.rows.clone();
        let (first, class) = (&listed.pieces[0], listed.item.class());
        let packed = if matches!(class, Class::Panel(_)) {
            let free = self.free_sheets(first, 0, false);
            self.pack_on_sheets(&listed.pieces, &free, &[], false)
        } else {
            let free: Vec<_> = self
                .rows
                .iter()
                .filter(|(_, plan)| plan.is_free())
                .filter(|(id, _)| {
                    self.pieces[first].served_by(&self.basis.ledger.rows[*id]) == Some(0)
                })
                .filter_map(|(id, _)| self.offer_of(*id))
                .collect();
            self.pack_on(&listed.pieces, &free, &[], false)
        };
        if !packed {
            return false;
        }
        self.listed.remove(&id);
        let figures = match &class {
            Class::Stick(class) => self.figures_of_sticks(class),
            Class::Panel(class) => self.figures_of_panels(class),
            _ => None,
        };
        let holds = figures.is_none_or(|figures| figures.holds());
        if !holds {
            self.rows = rows;
            self.listed.insert(id, listed);
        }
        holds
    }
}
