//! How cheap the sticks and sheets to be bought are: what no way of cutting costs less than, and what cutting longest
//! first would cost.
//!
//! Looked at are the pieces on what is to be bought and those that this plan puts on free sticks of their own class; what
//! was given a stick before keeps it, and what salvage or another size serves stays there. What is bought for waste comes
//! after and is left out. A class with something to buy that has no price isn't compared.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::basis::{Basis, Piece};
use super::item::Item;
use super::ledger::PieceKey;
use super::plan::{Plan, Planned, Solved, behind, usable};
use crate::cutting::panels::{self, Patch, pack_panels, simple_panels};
use crate::cutting::sticks::{self, Settings as Saw, pack_sticks};
use crate::needs::{Class, PanelClass, StickClass};
use crate::units::{Length, Money};

/// How cheap what is to be bought of one class is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeastCost {
    /// The class.
    pub class: Class,
    /// What is to be bought of it for pieces, in sticks or sheets.
    pub count: i64,
    /// What that costs; without what has no price.
    pub cost: Money,
    /// What is to be bought without a price: then nothing is claimed.
    pub unpriced: i64,
    /// No way of cutting these pieces from what is here and what is sold costs less.
    pub least: Money,
    /// What cutting longest first costs, with how many sticks or sheets; none where it doesn't cut all.
    pub longest_first: Option<(Money, i64)>,
    /// Whether some of it stands on a kept list, with its pieces.
    pub stands: bool,
    /// Whether there is a way of cutting all of it anew that costs `least`.
    pub reached: bool,
}

/// Why another way of cutting might cost less.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum WhyOpen {
    /// What stands on a kept list keeps its pieces until that is planned afresh.
    Stands,
    /// A cheaper way is known, but pieces that few sticks serve get theirs first.
    FewFirst,
    /// The search ended before it could tell.
    NotTold,
}

/// The same of several classes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Cheapness {
    /// What is to be bought, of classes that have a price.
    pub cost: Money,
    /// At most so much could be saved by another way of cutting; nothing: no cheaper way exists.
    pub open: Money,
    /// So much less than cutting longest first.
    pub saved: Money,
    /// So many fewer sticks or sheets than that; below nothing: more.
    pub fewer: i64,
    /// Sticks and sheets without a price: nothing is claimed of their classes.
    pub unpriced: i64,
}

impl LeastCost {
    /// At most so much could be saved by another way of cutting.
    pub fn open(&self) -> Money {
        self.cost - self.least.min(self.cost)
    }

    /// Why that much is open; none where nothing is, or nothing is claimed.
    pub fn why_open(&self) -> Option<WhyOpen> {
        if self.unpriced > 0 || self.open() == Money::ZERO {
            return None;
        }
        Some(match (self.stands, self.reached) {
            (true, _) => WhyOpen::Stands,
            (false, true) => WhyOpen::FewFirst,
            (false, false) => WhyOpen::NotTold,
        })
    }

    /// What is saved against cutting longest first, with how many fewer sticks or sheets; nothing where that saves nothing.
    pub fn saved(&self) -> Option<(Money, i64)> {
        let (cost, count) = self.longest_first?;
        (self.unpriced == 0 && cost > self.cost).then(|| (cost - self.cost, count - self.count))
    }
}

impl Cheapness {
    /// What is open in tenths of a per cent of the cost, rounded up; 0 where nothing is.
    pub fn open_permille(&self) -> i64 {
        let (open, cost) = (self.open.as_cents(), self.cost.as_cents().max(1));
        (open * 1000 + cost - 1).div_euclid(cost)
    }

    /// Of these classes together.
    pub fn of(classes: &[LeastCost]) -> Self {
        let mut all = Self::default();
        for class in classes {
            all.unpriced += class.unpriced;
            if class.unpriced > 0 {
                continue;
            }
            all.cost = all.cost + class.cost;
            all.open = all.open + class.open();
            let (saved, fewer) = class.saved().unwrap_or_default();
            all.saved = all.saved + saved;
            all.fewer += fewer;
        }
        all
    }
}

/// How cheap what these weeks buy is, class by class; classes of which nothing is to be bought are left out.
pub(super) fn least_costs(basis: &Basis<'_>, plan: &Plan, weeks: &[u32]) -> Vec<LeastCost> {
    let Some(at) = plan.sets.iter().position(|set| set.weeks == weeks) else {
        return Vec::new();
    };
    let set = &plan.sets[at];
    let with_pieces = set.to_buy.iter().filter(|stick| !stick.pieces.is_empty());
    let classes: BTreeSet<Class> = with_pieces.map(|stick| stick.item.class()).collect();
    let pieces = basis.pieces();
    classes
        .into_iter()
        .map(|class| {
            let looked = Looked {
                basis,
                plan,
                at,
                pieces: &pieces,
                class: &class,
            };
            looked.least_cost(set)
        })
        .collect()
}

/// A class of a set of weeks.
struct Looked<'a> {
    basis: &'a Basis<'a>,
    plan: &'a Plan,
    at: usize,
    pieces: &'a std::collections::BTreeMap<PieceKey, Piece<'a>>,
    class: &'a Class,
}

/// What is free of a class, with the pieces that the plan puts there in these weeks.
struct Free {
    id: Uuid,
    item: Item,
    /// A stick's length to cut from; a whole stick with its trim.
    usable: Length,
    whole: bool,
    placed: Vec<PieceKey>,
}

impl Looked<'_> {
    fn least_cost(&self, set: &Solved) -> LeastCost {
        let bought: Vec<&Planned> = set
            .to_buy
            .iter()
            .filter(|stick| stick.item.class() == *self.class && !stick.pieces.is_empty())
            .collect();
        let alike = |item: &Item| bought.iter().filter(|stick| stick.item == *item).count();
        let prices: Vec<Option<Money>> = bought
            .iter()
            .map(|stick| self.price(&stick.item, alike(&stick.item)))
            .collect();
        let free = self.free();
        let keys: Vec<PieceKey> = bought
            .iter()
            .flat_map(|stick| &stick.pieces)
            .chain(free.iter().flat_map(|row| &row.placed))
            .cloned()
            .collect();
        let mut found = LeastCost {
            class: self.class.clone(),
            count: i64::try_from(bought.len()).unwrap_or(i64::MAX),
            cost: prices.iter().flatten().copied().sum(),
            unpriced: prices.iter().map(|price| i64::from(price.is_none())).sum(),
            least: Money::ZERO,
            longest_first: None,
            stands: bought.iter().any(|stick| stick.listed.is_some()),
            reached: false,
        };
        if found.unpriced == 0 {
            match self.class {
                Class::Stick(class) => self.of_sticks(class, &keys, &free, &mut found),
                Class::Panel(class) => self.of_panels(class, &keys, &free, &mut found),
                _ => {}
            }
        }
        found
    }

    /// What one of so many costs now; none of a stick that can't be bought or carried in any more, as one of an old list may be.
    fn price(&self, item: &Item, count: usize) -> Option<Money> {
        let count = i64::try_from(count).unwrap_or(i64::MAX);
        let offer = self.basis.prices.offer_for_so_many(item, count)?;
        let longest = self.basis.settings.longest_stick;
        match item {
            Item::Stick { length, .. } if longest.is_some_and(|most| *length > most) => None,
            _ => offer.price,
        }
    }

    /// What of this class was free when these weeks were planned: not salvage, not kept for waste.
    fn free(&self) -> Vec<Free> {
        let rows = self.plan.rows.iter();
        rows.filter(|(_, planned)| planned.offered && !planned.waste)
            .filter_map(|(id, planned)| {
                let row = &self.basis.ledger.rows[id];
                if row.item.class() != *self.class || row.salvage {
                    return None;
                }
                let set_of = |key: &PieceKey| {
                    let week = self.pieces.get(key)?.week();
                    self.plan
                        .sets
                        .iter()
                        .position(|set| set.weeks.contains(&week))
                };
                let is_placed = |key: &PieceKey| !row.pieces.contains(key);
                let (placed, before): (Vec<&PieceKey>, Vec<&PieceKey>) = planned
                    .pieces
                    .iter()
                    .filter(|key| !is_placed(key) || set_of(key).is_none_or(|at| at <= self.at))
                    .partition(|key| is_placed(key) && set_of(key) == Some(self.at));
                let is_panel = matches!(row.item, Item::Panel { .. });
                if is_panel && !before.is_empty() {
                    return None;
                }
                let mut left = usable(row, self.basis.settings.trim);
                for piece in before.iter().filter_map(|key| self.pieces.get(*key)) {
                    left = behind(left, piece.length, self.basis.settings.kerf);
                }
                let whole = row.whole && before.is_empty();
                let usable = match &row.item {
                    Item::Stick { length, .. } if whole => *length,
                    _ => left,
                };
                (is_panel || usable > Length::ZERO).then(|| Free {
                    id: *id,
                    item: row.item.clone(),
                    usable,
                    whole,
                    placed: placed.into_iter().cloned().collect(),
                })
            })
            .collect()
    }

    fn of_sticks(
        &self,
        class: &StickClass,
        keys: &[PieceKey],
        free: &[Free],
        found: &mut LeastCost,
    ) {
        let settings = self.basis.settings;
        let cuts: Vec<sticks::Piece<&PieceKey>> = keys
            .iter()
            .map(|label| sticks::Piece {
                label,
                length: self.pieces[label].length,
            })
            .collect();
        let on_hand: Vec<sticks::OnHand<Uuid>> = free
            .iter()
            .map(|row| sticks::OnHand {
                id: row.id,
                usable: row.usable,
                whole: row.whole,
            })
            .collect();
        let offers = self.basis.prices.sticks(class, settings.longest_stick);
        let weeks = &self.plan.sets[self.at].weeks;
        let sold: Vec<sticks::ForSale> = offers
            .into_iter()
            .filter(|(_, offer, _)| offer.price.is_some())
            .map(|(length, offer, there)| sticks::ForSale {
                length,
                price: offer.price,
                limit: self.basis.still_at_yard(offer, there, weeks),
            })
            .collect();
        let saw = Saw {
            kerf: settings.kerf,
            trim: settings.trim,
        };
        let packing = pack_sticks(&cuts, &on_hand, &sold, saw);
        if packing.unmet.is_empty() {
            found.least = packing.lower_bound;
            found.reached = packing.is_proven();
        }
        found.longest_first = sticks::longest_first(&cuts, &on_hand, &sold, saw);
    }

    fn of_panels(
        &self,
        class: &PanelClass,
        keys: &[PieceKey],
        free: &[Free],
        found: &mut LeastCost,
    ) {
        let kerf = self.basis.settings.kerf;
        let patches: Vec<Patch<&PieceKey>> = keys
            .iter()
            .map(|label| {
                let piece = &self.pieces[label];
                Patch {
                    label,
                    along: piece.length,
                    across: piece.across,
                    turn: piece.need.turn,
                }
            })
            .collect();
        let on_hand: Vec<panels::OnHand<Uuid>> = free
            .iter()
            .filter_map(|row| match row.item {
                Item::Panel { along, across, .. } => Some(panels::OnHand {
                    id: row.id,
                    along,
                    across,
                }),
                _ => None,
            })
            .collect();
        let (prices, item) = (&self.basis.prices, Item::sheet(class.clone()));
        let (offer, there) = (prices.offer_for(&item), prices.at_yard(&item));
        let weeks = &self.plan.sets[self.at].weeks;
        let sold = [panels::ForSale {
            along: class.along,
            across: class.across,
            price: offer.and_then(|offer| offer.price),
            limit: offer.and_then(|offer| self.basis.still_at_yard(offer, there, weeks)),
        }];
        let packing = pack_panels(&patches, &on_hand, &sold, kerf);
        if packing.unmet.is_empty() {
            found.least = packing.lower_bound;
            found.reached = packing.is_proven();
        }
        let simple = simple_panels(&patches, &on_hand, &sold, kerf);
        found.longest_first = simple.unmet.is_empty().then(|| {
            let count = i64::try_from(simple.to_buy.len()).unwrap_or(i64::MAX);
            (simple.cost, count)
        });
    }
}
