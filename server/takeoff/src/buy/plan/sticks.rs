//! Sticks: pieces on what is here, class by class, then what the yard sells.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::super::item::Item;
use super::super::ledger::PieceKey;
use super::super::prices::{Offer, PriceBook};
use super::solve::{Solver, behind, usable};
use super::{Planned, Unmet};
use crate::cutting::sticks::{
    Cut as OnHandCut, ForSale, OnHand, Packing, Piece as Cut, Settings as Saw, pack_sticks,
};
use crate::needs::{Class, StickClass};
use crate::units::Length;

/// How what isn't in the price book is bought: by cut length, up to the next even foot.
pub(super) const STEP: Length = Length::feet(2);

impl Solver<'_> {
    /// Pieces that only their own class serves go first; then those that salvage and other sizes serve too: on their own
    /// class, on salvage, on other sizes. What is kept for waste comes after the rest. Then the rest is bought, with what was
    /// put on free rows of the class looked at once more.
    pub(super) fn solve_sticks(&mut self) {
        let mut by_class: BTreeMap<StickClass, Vec<PieceKey>> = BTreeMap::new();
        for key in self.open() {
            if let Class::Stick(class) = &self.pieces[&key].need.class {
                by_class.entry(class.clone()).or_default().push(key);
            }
        }
        for flexible in [false, true] {
            for keys in by_class.values() {
                let these: Vec<PieceKey> = keys
                    .iter()
                    .filter(|key| self.pieces[*key].is_flexible() == flexible)
                    .cloned()
                    .collect();
                for rank in 0..3 {
                    self.put_on_rows(&these, rank, false);
                }
                self.put_on_rows(&these, 0, true);
            }
        }
        let mut classes: Vec<StickClass> = by_class.keys().cloned().collect();
        for (class, keys) in by_class {
            self.buy_sticks(&class, &keys);
        }
        for id in self.listed_of(self.at) {
            if let Item::Stick { class, .. } = &self.listed[&id].item {
                classes.push(class.clone());
            }
        }
        for change in &self.basis.changes {
            if self.sets[self.at].contains(&change.takeoff.week) {
                classes.extend(
                    change
                        .takeoff
                        .needs
                        .iter()
                        .filter_map(|need| match &need.class {
                            Class::Stick(class) => Some(class.clone()),
                            _ => None,
                        }),
                );
            }
        }
        classes.sort();
        classes.dedup();
        for class in classes {
            self.waste_of_sticks(&class);
        }
    }

    /// Puts pieces that have no stick on rows that serve them so well (0 best), or on the waste sticks of their weeks.
    fn put_on_rows(&mut self, keys: &[PieceKey], rank: u8, waste: bool) {
        // A waste stick serves its own weeks alone, so pieces of one week go together there.
        let mut groups: BTreeMap<u32, Vec<PieceKey>> = BTreeMap::new();
        for key in keys.iter().filter(|key| !self.placed.contains(*key)) {
            let week = if waste { self.pieces[key].week() } else { 0 };
            groups.entry(week).or_default().push(key.clone());
        }
        for (week, keys) in groups {
            let on_hand: Vec<OnHand<Uuid>> = self
                .rows
                .iter()
                .filter(|(_, plan)| plan.offered && plan.waste == waste)
                .filter(|(_, plan)| !waste || plan.weeks.contains(&week))
                .filter(|(id, _)| {
                    self.pieces[&keys[0]].served_by(&self.basis.ledger.rows[*id]) == Some(rank)
                })
                .filter_map(|(id, _)| self.offer_of(*id))
                .collect();
            // What is on hand is given out as the cheapest trip wants it: with what would be bought for the rest in view.
            self.pack_on(&keys, &on_hand, &self.sold_for(&keys[0]), true);
        }
    }

    /// What the yard sells for a piece's class.
    fn sold_for(&self, key: &PieceKey) -> Vec<ForSale> {
        match &self.pieces[key].need.class {
            Class::Stick(class) => self.sold(class),
            _ => Vec::new(),
        }
    }

    /// The same, of a class: with what the yard still has for this trip.
    fn sold(&self, class: &StickClass) -> Vec<ForSale> {
        self.offers(class)
            .into_iter()
            .map(|(length, offer, there)| ForSale {
                length,
                price: offer.price,
                limit: self.still_at_yard(offer, there),
            })
            .collect()
    }

    /// The longest piece that a stick which is sold, at the yard now or not, and can be carried in holds.
    pub(super) fn longest_sold(&self, class: &StickClass) -> Option<Length> {
        let settings = self.basis.settings;
        let lengths = self.basis.prices.lengths(class);
        lengths
            .filter(|length| settings.longest_stick.is_none_or(|most| *length <= most))
            .map(|length| length - settings.trim)
            .max()
    }

    /// Whether such a stick holds a piece.
    fn is_sold_for(&self, class: &StickClass, piece: Length) -> bool {
        self.longest_sold(class).is_some_and(|most| piece <= most)
    }

    fn offers(&self, class: &StickClass) -> Vec<(Length, &Offer, Option<i64>)> {
        let longest = self.basis.settings.longest_stick;
        self.basis.prices.sticks(class, longest)
    }

    /// How many more of it this trip can have, of so many at the yard, beside what is on its list; none: as many as wanted.
    pub(super) fn still_at_yard(&self, offer: &Offer, there: Option<i64>) -> Option<i64> {
        let there = self
            .basis
            .still_at_yard(offer, there, &self.sets[self.at])?;
        let listed = self.listed_of(self.at);
        let listed = listed.iter().map(|id| &self.listed[id]);
        let taken = listed
            .chain(&self.to_buy)
            .filter(|stick| offer.sells(&stick.item));
        Some((there - i64::try_from(taken.count()).unwrap_or(i64::MAX)).max(0))
    }

    pub(super) fn offer_of(&self, id: Uuid) -> Option<OnHand<Uuid>> {
        let (row, plan) = (&self.basis.ledger.rows[&id], &self.rows[&id]);
        let Item::Stick { length, .. } = row.item else {
            return None;
        };
        let whole = row.whole && plan.pieces.is_empty();
        let usable = if whole { length } else { plan.left };
        (usable > Length::ZERO).then_some(OnHand { id, usable, whole })
    }

    /// Packs pieces on these rows, with what could be bought for the others in view; keeps it only if all fit, or if `part`
    /// is enough. Says whether anything was kept.
    pub(super) fn pack_on(
        &mut self,
        keys: &[PieceKey],
        on_hand: &[OnHand<Uuid>],
        sold: &[ForSale],
        part: bool,
    ) -> bool {
        if on_hand.is_empty() {
            return false;
        }
        let packing = pack_sticks(&self.cuts(keys), on_hand, sold, self.saw());
        let all_fit = packing.unmet.is_empty() && packing.to_buy.is_empty();
        if !part && !all_fit {
            return false;
        }
        for cut in packing.on_hand {
            self.put_on_row(cut);
        }
        true
    }

    /// Puts pieces on a row that was offered.
    fn put_on_row(&mut self, cut: OnHandCut<Uuid, PieceKey>) {
        let week_set = &self.sets[self.at];
        let row = self.rows.get_mut(&cut.id).expect("only rows were offered");
        if row.weeks.is_empty() {
            row.weeks.clone_from(week_set);
        }
        row.left = cut.leftover;
        for piece in cut.pieces {
            self.placed.insert(piece.label.clone());
            row.pieces.push(piece.label);
        }
    }

    fn buy_sticks(&mut self, class: &StickClass, keys: &[PieceKey]) {
        let rest: Vec<PieceKey> = keys
            .iter()
            .filter(|key| !self.placed.contains(*key))
            .cloned()
            .collect();
        if rest.is_empty() {
            return;
        }
        let settings = self.basis.settings;
        let in_book = self.basis.prices.lengths(class).next().is_some();
        let sold = self.sold(class);
        // Sticks of a kept list of these weeks are bought on the same trip, so what they leave serves too.
        let listed: Vec<OnHand<Uuid>> = self
            .listed_of(self.at)
            .into_iter()
            .map(|id| (id, &self.listed[&id]))
            .filter(|(_, stick)| stick.item.class() == Class::Stick(class.clone()))
            .filter(|(_, stick)| stick.left > Length::ZERO)
            .map(|(id, stick)| OnHand {
                id,
                usable: stick.left,
                whole: false,
            })
            .collect();
        let mut packing = pack_sticks(&self.cuts(&rest), &listed, &sold, self.saw());
        if let Some(cheaper) = self.packed_again(&rest, keys, (&listed, &sold), &packing) {
            packing = cheaper;
        }
        for cut in packing.on_hand {
            let Some(stick) = self.listed.get_mut(&cut.id) else {
                self.put_on_row(cut);
                continue;
            };
            stick.left = cut.leftover;
            stick
                .pieces
                .extend(cut.pieces.into_iter().map(|piece| piece.label));
        }
        for stick in packing.to_buy {
            self.to_buy.push(Planned {
                listed: None,
                item: Item::Stick {
                    class: class.clone(),
                    length: stick.length,
                },
                pieces: stick.pieces.into_iter().map(|piece| piece.label).collect(),
                places: Vec::new(),
                left: stick.leftover,
                waste: false,
            });
        }
        let known = self.longest_sold(class).unwrap_or(Length::ZERO);
        let longest = known.max(packing.longest_on_hand).max(Length::ZERO);
        for (piece, length) in packing.unmet {
            if in_book {
                self.unmet.push(Unmet {
                    piece,
                    length,
                    class: Class::Stick(class.clone()),
                    longest,
                    too_few: self.is_sold_for(class, length),
                });
            } else {
                let long = (length + settings.trim).up_to(STEP);
                self.to_buy.push(Planned {
                    listed: None,
                    item: Item::Stick {
                        class: class.clone(),
                        length: long,
                    },
                    pieces: vec![piece],
                    places: Vec::new(),
                    left: behind(long - settings.trim, length, settings.kerf),
                    waste: false,
                });
            }
        }
        self.placed.extend(rest);
    }

    /// Packs what is bought for together with what was just put on rows of the class: that was chosen kind by kind, and all
    /// at once more pieces may be held, or less be bought. If so, these rows are without those pieces again, and the packing
    /// has them.
    fn packed_again(
        &mut self,
        rest: &[PieceKey],
        keys: &[PieceKey],
        (listed, sold): (&[OnHand<Uuid>], &[ForSale]),
        before: &Packing<PieceKey, Uuid>,
    ) -> Option<Packing<PieceKey, Uuid>> {
        let full = self.rows.clone();
        let own: Vec<Uuid> = full
            .iter()
            .filter(|(id, plan)| {
                let row = &self.basis.ledger.rows[*id];
                plan.offered && !plan.waste && self.pieces[&keys[0]].served_by(row) == Some(0)
            })
            .map(|(id, _)| *id)
            .collect();
        let mut all = rest.to_vec();
        for id in &own {
            all.extend(self.taken_off(*id, keys));
        }
        if all.len() > rest.len() {
            let mut on_hand = listed.to_vec();
            on_hand.extend(own.iter().filter_map(|id| self.offer_of(*id)));
            let packing = pack_sticks(&self.cuts(&all), &on_hand, sold, self.saw());
            let worth = |of: &Packing<PieceKey, Uuid>| {
                (of.unmet.len(), of.unpriced, of.cost, of.to_buy.len())
            };
            if worth(&packing) < worth(before) {
                return Some(packing);
            }
        }
        self.rows = full;
        None
    }

    /// Takes those of these pieces off a row that are on it; it is free again where it held no other.
    fn taken_off(&mut self, id: Uuid, keys: &[PieceKey]) -> Vec<PieceKey> {
        let (row, settings) = (&self.basis.ledger.rows[&id], self.basis.settings);
        let plan = self.rows.get_mut(&id).expect("it was looked up");
        let (off, kept) = std::mem::take(&mut plan.pieces)
            .into_iter()
            .partition(|key| keys.contains(key));
        plan.pieces = kept;
        let kept = plan.pieces.iter().filter_map(|key| self.pieces.get(key));
        plan.left = kept.fold(usable(row, settings.trim), |left, piece| {
            behind(left, piece.length, settings.kerf)
        });
        if plan.pieces.is_empty() {
            plan.weeks.clear();
        }
        off
    }

    fn waste_of_sticks(&mut self, class: &StickClass) {
        let Some(mut figures) = self.figures_of_sticks(class) else {
            return;
        };
        while !figures.holds() {
            let mut offers = self.offers(class);
            offers.retain(|(_, offer, there)| self.still_at_yard(offer, *there) != Some(0));
            // Where the yard has no more that is long enough, none is bought: a shorter one would serve no need.
            let is_left = offers.iter().any(|(length, ..)| *length >= figures.longest);
            if !is_left && self.is_sold_for(class, figures.longest) {
                break;
            }
            let length = PriceBook::for_waste(&offers, figures.longest)
                .unwrap_or_else(|| figures.longest.up_to(STEP));
            figures.sum.there += length.as_64ths();
            figures.sum.more += 1;
            self.to_buy.push(Planned {
                listed: None,
                item: Item::Stick {
                    class: class.clone(),
                    length,
                },
                pieces: Vec::new(),
                places: Vec::new(),
                left: length - self.basis.settings.trim,
                waste: true,
            });
        }
        self.waste.push(figures.sum);
    }

    fn cuts(&self, keys: &[PieceKey]) -> Vec<Cut<PieceKey>> {
        keys.iter()
            .map(|key| Cut {
                label: key.clone(),
                length: self.pieces[key].length,
            })
            .collect()
    }

    fn saw(&self) -> Saw {
        Saw {
            kerf: self.basis.settings.kerf,
            trim: self.basis.settings.trim,
        }
    }
}
