//! Many fillings one after the other, each a small change of the one before: what is no worse is kept.
//!
//! What it does not do: prove anything. The moves are drawn by lot from a seed, so the same job takes the same way.
//!
//! Source: local search with sideways steps and restarts, a textbook method.

use super::best::Best;
use super::filling::{Filling, Fit, Opening, Recipe, Score, Split};
use super::model::{Kind, Model, Piece};
use super::tree::Node;
use super::work::{Lots, Work};

/// Fillings without gain before the search starts from elsewhere.
const PATIENCE: usize = 4_000;

/// What pieces are ordered by.
type Key = fn(&Piece) -> (i64, i64);

/// A search among fillings of one model.
pub(super) struct Climb<'a> {
    model: &'a Model,
    filling: Filling<'a>,
    lots: Lots,
    /// The recipe that did best so far, whatever it was asked to reach.
    first: Option<(Score, Recipe)>,
}

/// What a search is after.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Aim {
    /// Every piece on the sheets given; it ends once that is reached.
    AllPlaced,
    /// Less cost, then fewer sheets.
    LessCost,
    /// Fewer cuts at the same cost on as many sheets.
    FewerCuts,
}

impl Recipe {
    /// One small change.
    pub(super) fn change(&mut self, lots: &mut Lots) {
        let n = self.order.len();
        let (one, two) = (lots.below(n), lots.below(n));
        match lots.below(20) {
            0..=8 => {
                self.order.swap(one, two);
                self.splits.swap(one, two);
            }
            9..=13 => {
                let (low, high) = (one.min(two), one.max(two));
                if one < two {
                    self.order[low..=high].rotate_left(1);
                    self.splits[low..=high].rotate_left(1);
                } else {
                    self.order[low..=high].rotate_right(1);
                    self.splits[low..=high].rotate_right(1);
                }
            }
            14..=18 => self.splits[one] = Split::ALL[lots.below(4)],
            _ => {
                self.fit = Fit::ALL[lots.below(4)];
                self.opening = Opening::ALL[lots.below(3)];
                self.free_first = lots.below(2) == 0;
            }
        }
    }
}

impl<'a> Climb<'a> {
    pub(super) fn new(model: &'a Model) -> Self {
        Self {
            model,
            filling: Filling::new(model),
            lots: Lots::new(1),
            first: None,
        }
    }

    /// The sheets, as many as there are of each kind, filled in the best way known, and what finds no place.
    pub(super) fn filled(&mut self, most: &[u64]) -> (Vec<(usize, Node)>, Vec<u32>) {
        if let Some((_, recipe)) = &self.first {
            self.filling.fill(recipe, most);
        }
        (self.filling.whole_sheets(), self.filling.unmet.clone())
    }

    /// Tries the plain orders with every way of fitting, cutting and opening.
    pub(super) fn start(&mut self, best: &mut Best, work: &mut Work<'_>) {
        let most = self.model.most();
        let openings = if self.model.kinds.len() > 1 {
            &Opening::ALL[..]
        } else {
            &Opening::ALL[..1]
        };
        let has_free = self.model.kinds.iter().any(Kind::is_free);
        for split in Split::ALL {
            for fit in Fit::ALL {
                for order in self.orders() {
                    for &opening in openings {
                        for free_first in [true, false] {
                            if self.first.is_some() && !work.goes_on() {
                                return;
                            }
                            if !free_first && !has_free {
                                continue;
                            }
                            let recipe = Recipe {
                                splits: vec![split; order.len()],
                                order: order.clone(),
                                fit,
                                opening,
                                free_first,
                            };
                            let score = self.try_out(&recipe, &most, best, work);
                            if self.first.as_ref().is_none_or(|(known, _)| score < *known) {
                                self.first = Some((score, recipe));
                            }
                        }
                    }
                }
            }
        }
    }

    /// Searches with at most so many sheets of each kind until the work of this share is done. Says whether all pieces
    /// found a place on them.
    pub(super) fn search(
        &mut self,
        aim: Aim,
        most: &[u64],
        share: u64,
        best: &mut Best,
        work: &mut Work<'_>,
    ) -> bool {
        let end = work.used().saturating_add(share);
        let start = self.first.as_ref().map(|(_, recipe)| recipe.clone());
        let Some(start) = start.filter(|recipe| !recipe.order.is_empty()) else {
            return false;
        };
        let mut at = start;
        let mut here = self.try_out(&at, most, best, work);
        let mut cuts = self.filling.n_cuts();
        let (mut since, mut top) = (0, (here, at.clone()));
        let mut next = at.clone();
        while work.goes_on() && work.used() < end && !(aim == Aim::AllPlaced && here.unmet == 0) {
            next.clone_from(&at);
            next.change(&mut self.lots);
            let score = self.try_out(&next, most, best, work);
            let now_cuts = self.filling.n_cuts();
            let no_worse = match aim {
                Aim::FewerCuts => {
                    (score.unmet, score.cost, score.sheets, now_cuts)
                        <= (here.unmet, here.cost, here.sheets, cuts)
                }
                Aim::AllPlaced | Aim::LessCost => score <= here,
            };
            since += 1;
            if no_worse {
                if score < here || now_cuts < cuts {
                    since = 0;
                }
                std::mem::swap(&mut at, &mut next);
                (here, cuts) = (score, now_cuts);
                if here < top.0 {
                    top = (here, at.clone());
                }
            }
            if since > PATIENCE {
                since = 0;
                at = self.elsewhere(&top.1);
                here = self.try_out(&at, most, best, work);
                cuts = self.filling.n_cuts();
            }
        }
        if aim == Aim::LessCost {
            self.first = Some(top);
        }
        here.unmet == 0
    }

    fn try_out(
        &mut self,
        recipe: &Recipe,
        most: &[u64],
        best: &mut Best,
        work: &mut Work<'_>,
    ) -> Score {
        let score = self.filling.fill(recipe, most);
        work.spend(self.filling.looks);
        best.offer(&self.filling, &score);
        score
    }

    /// A recipe some way off the best, or a new one.
    fn elsewhere(&mut self, top: &Recipe) -> Recipe {
        let mut recipe = top.clone();
        let n = recipe.order.len();
        match self.lots.below(4) {
            0 => {
                let orders = self.orders();
                recipe
                    .order
                    .clone_from(&orders[self.lots.below(orders.len())]);
                let split = Split::ALL[self.lots.below(4)];
                recipe.splits.fill(split);
                recipe.fit = Fit::ALL[self.lots.below(4)];
            }
            1 => {
                for last in (1..n).rev() {
                    recipe.order.swap(last, self.lots.below(last + 1));
                }
            }
            _ => {
                for _ in 0..3 + n.div_euclid(8) {
                    recipe.change(&mut self.lots);
                }
            }
        }
        recipe
    }

    /// Biggest area first, longest side first, and by each side.
    fn orders(&self) -> [Vec<u32>; 4] {
        let pieces = &self.model.pieces;
        let keys: [Key; 4] = [
            |piece| (piece.area(), piece.w),
            |piece| (piece.w.max(piece.h), piece.area()),
            |piece| (piece.w, piece.area()),
            |piece| (piece.h, piece.area()),
        ];
        keys.map(|key| {
            let mut all: Vec<usize> = (0..pieces.len()).collect();
            all.sort_by_key(|&at| (std::cmp::Reverse(key(&pieces[at])), at));
            let each = all.into_iter().flat_map(|at| {
                let n = usize::try_from(pieces[at].count).unwrap_or(usize::MAX);
                std::iter::repeat_n(u32::try_from(at).unwrap_or(u32::MAX), n)
            });
            each.collect()
        })
    }
}
