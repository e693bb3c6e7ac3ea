//! The waste rule's two figures: N, what the weeks cut, and B, what it is cut from.
//!
//! Done changes count as if they weren't: their pieces in N, the rows that they took in B, and not what came back of
//! those. What was struck counts in B where pieces of these weeks lie on it, and not otherwise: its own pieces and the
//! sticks that they came from count already. Beams and posts leave both. Source: common practice, no published source.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::basis::Piece;
use super::super::item::Item;
use super::super::ledger::{PieceKey, StockRow};
use super::WasteSum;
use super::solve::Solver;
use crate::needs::{Class, PanelClass, StickClass};
use crate::units::{Length, Permille};

/// Fewer pieces of a stick's class than this ask for no waste.
const FEWEST: usize = 4;

#[derive(Clone, Debug)]
pub(super) struct Figures {
    pub(super) sum: WasteSum,
    /// The longest need; for panels not used.
    pub(super) longest: Length,
}

impl Figures {
    /// Whether what is there covers the needs and their waste.
    pub(super) fn holds(&self) -> bool {
        let factor = 1000 + i128::from(self.sum.factor.0);
        i128::from(self.sum.there) * 1000 >= i128::from(self.sum.needed) * factor
    }
}

impl Solver<'_> {
    /// The figures of a class of sticks for the set at hand; none where no waste is asked for.
    pub(super) fn figures_of_sticks(&self, class: &StickClass) -> Option<Figures> {
        let class = Class::Stick(class.clone());
        let all = self.of_class(&class);
        if all.len() < FEWEST {
            return None;
        }
        let factor = self.basis.settings.waste_stick;
        self.figures(
            &class,
            &all,
            factor,
            |piece| piece.length.as_64ths(),
            |item| match item {
                Item::Stick { length, .. } => length.as_64ths(),
                _ => 0,
            },
        )
    }

    /// The figures of a class of panels, by area.
    pub(super) fn figures_of_panels(&self, class: &PanelClass) -> Option<Figures> {
        let class = Class::Panel(class.clone());
        let all = self.of_class(&class);
        let factor = self.basis.settings.waste_panel;
        let area = |along: Length, across: Length| along.as_64ths() * across.as_64ths();
        self.figures(
            &class,
            &all,
            factor,
            |piece| area(piece.length, piece.across),
            |item| match item {
                Item::Panel { along, across, .. } => area(*along, *across),
                _ => 0,
            },
        )
    }

    /// Every piece of the class in these weeks, done ones too; without those that nothing holds, and those that salvage
    /// or another class serves. None once all are done: no more is cut.
    fn of_class(&self, class: &Class) -> Vec<(&PieceKey, &Piece<'_>)> {
        let longest = self.longest_known(class);
        let (taken, elsewhere) = (self.taken(), self.served_elsewhere(class));
        let all: Vec<_> = self
            .pieces
            .iter()
            .filter(|(_, piece)| {
                piece.need.class == *class && self.sets[self.at].contains(&piece.week())
            })
            .filter(|(key, _)| !elsewhere.contains(key))
            .filter(|(key, piece)| {
                if piece.change.done {
                    taken.contains(key) || longest.is_none_or(|most| piece.length <= most)
                } else {
                    !self.unmet.iter().any(|unmet| unmet.piece == **key)
                }
            })
            .collect();
        if all.iter().all(|(_, piece)| piece.change.done) {
            return Vec::new();
        }
        all
    }

    /// The longest that is sold of a class; none where that sets no bound.
    fn longest_known(&self, class: &Class) -> Option<Length> {
        match class {
            Class::Stick(class) => self.longest_sold(class),
            Class::Panel(class) => Some(class.along),
            _ => None,
        }
    }

    /// The pieces of rows that done changes took.
    fn taken(&self) -> BTreeSet<&PieceKey> {
        let rows = self.basis.ledger.rows.values();
        rows.filter(|row| row.gone && row.taken_by.is_some())
            .flat_map(|row| &row.pieces)
            .collect()
    }

    fn figures(
        &self,
        class: &Class,
        all: &[(&PieceKey, &Piece<'_>)],
        factor: Permille,
        size: impl Fn(&Piece<'_>) -> i64,
        size_of: impl Fn(&Item) -> i64,
    ) -> Option<Figures> {
        let counted: Vec<&Piece<'_>> = all
            .iter()
            .filter(|(_, piece)| piece.need.in_waste)
            .map(|(_, piece)| *piece)
            .collect();
        let shortest = counted.iter().map(|piece| size(piece)).min()?;
        let listed = self.listed_of(self.at);
        let to_buy = self
            .to_buy
            .iter()
            .chain(listed.iter().filter_map(|id| self.listed.get(id)))
            .filter(|stick| stick.item.class() == *class && self.in_waste(&stick.pieces))
            .map(|stick| size_of(&stick.item));
        let rows = self
            .basis
            .ledger
            .rows
            .values()
            .filter(|row| row.item.class() == *class && !row.salvage)
            .filter(|row| self.lies_by(row, |row| size_of(&row.item) >= shortest))
            .map(|row| size_of(&row.item));
        Some(Figures {
            longest: counted.iter().map(|piece| piece.length).max()?,
            sum: WasteSum {
                class: class.clone(),
                needed: counted.iter().map(|piece| size(piece)).sum(),
                there: to_buy.chain(rows).sum(),
                factor,
                more: 0,
            },
        })
    }

    /// Whether a row counts in B, and none that it was cut from does.
    fn lies_by(&self, row: &StockRow, long_enough: impl Fn(&StockRow) -> bool) -> bool {
        let mut parent = row.cut_from;
        while let Some(from) = parent.and_then(|id| self.basis.ledger.rows.get(&id)) {
            if self.counts(from, &long_enough) {
                return false;
            }
            parent = from.cut_from;
        }
        let struck = row.cut_from.is_none() && self.is_done_from_here(row.given_by);
        (!struck || self.is_in_use(row)) && self.counts(row, &long_enough)
    }

    /// Whether a piece of the weeks at hand lies on a row, or lay on it when a done change took it.
    fn is_in_use(&self, row: &StockRow) -> bool {
        let pieces = self
            .rows
            .get(&row.id)
            .map_or(&row.pieces, |plan| &plan.pieces);
        pieces
            .iter()
            .any(|key| self.set_of_piece(key) == Some(self.at))
    }

    /// Here, or taken by a change of these or later weeks or from what was held for these; not held for earlier weeks
    /// alone; long enough, or held for these weeks; and not a beam's or a post's stick.
    fn counts(&self, row: &StockRow, long_enough: impl Fn(&StockRow) -> bool) -> bool {
        let is_ours = |weeks: &[u32]| weeks.iter().any(|week| self.sets[self.at].contains(week));
        let (weeks, pieces) = match self.rows.get(&row.id) {
            Some(plan) => (&plan.weeks, &plan.pieces),
            None if !row.gone || row.taken_by.is_none() => return false,
            None if self.is_done_from_here(row.taken_by) || is_ours(&row.weeks) => {
                (&row.weeks, &row.pieces)
            }
            None => return false,
        };
        !self.is_earlier(weeks) && self.in_waste(pieces) && (long_enough(row) || is_ours(weeks))
    }

    /// Whether a change is done, and of the weeks at hand or later ones.
    fn is_done_from_here(&self, change: Option<Uuid>) -> bool {
        change
            .and_then(|id| self.basis.change(id))
            .filter(|change| change.done)
            .and_then(|change| self.set_of(change.takeoff.week))
            .is_some_and(|at| at >= self.at)
    }

    /// Whether a stick with these pieces counts: those of these and earlier weeks aren't all a beam's or a post's. Later
    /// weeks' pieces don't matter: they may come and go.
    fn in_waste(&self, keys: &[PieceKey]) -> bool {
        let mut own = keys
            .iter()
            .filter(|key| self.set_of_piece(key).is_some_and(|at| at <= self.at))
            .filter_map(|key| self.pieces.get(key))
            .peekable();
        own.peek().is_none() || own.any(|piece| piece.need.in_waste)
    }

    /// The pieces that salvage or another class serves: they ask for no waste of their own.
    fn served_elsewhere(&self, class: &Class) -> BTreeSet<&PieceKey> {
        self.basis
            .ledger
            .rows
            .values()
            .filter(|row| row.salvage || row.item.class() != *class)
            .flat_map(|row| match self.rows.get(&row.id) {
                Some(plan) => plan.pieces.as_slice(),
                None if row.gone && row.taken_by.is_some() => row.pieces.as_slice(),
                None => &[],
            })
            .collect()
    }
}
