//! Panels: pieces on free sheets and parts that are here, then on sheets to buy.
//!
//! What a standing sheet leaves is not offered until its change is done and gives it back.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::super::item::Item;
use super::super::ledger::{PieceKey, Place};
use super::solve::Solver;
use super::{Planned, Unmet};
use crate::cutting::panels::{ForSale, OnHand, Packing, Patch, Placed, pack_panels};
use crate::needs::{Class, PanelClass};
use crate::units::Length;

impl Solver<'_> {
    pub(super) fn solve_panels(&mut self) {
        let mut by_class: BTreeMap<PanelClass, Vec<PieceKey>> = BTreeMap::new();
        for change in &self.basis.changes {
            if self.sets[self.at].contains(&change.takeoff.week) {
                for need in &change.takeoff.needs {
                    if let Class::Panel(class) = &need.class {
                        by_class.entry(class.clone()).or_default();
                    }
                }
            }
        }
        for key in self.open() {
            if let Class::Panel(class) = &self.pieces[&key].need.class {
                by_class.entry(class.clone()).or_default().push(key);
            }
        }
        for keys in by_class.values() {
            self.put_on_sheets(keys, 0, false);
            let flexible: Vec<PieceKey> = keys
                .iter()
                .filter(|key| self.pieces[*key].is_flexible())
                .cloned()
                .collect();
            self.put_on_sheets(&flexible, 1, false);
            self.put_on_sheets(keys, 0, true);
        }
        for (class, keys) in by_class {
            self.buy_sheets(&class, &keys);
            self.waste_of_panels(&class);
        }
    }

    fn put_on_sheets(&mut self, keys: &[PieceKey], rank: u8, waste: bool) {
        let mut groups: BTreeMap<u32, Vec<PieceKey>> = BTreeMap::new();
        for key in keys.iter().filter(|key| !self.placed.contains(*key)) {
            let week = if waste { self.pieces[key].week() } else { 0 };
            groups.entry(week).or_default().push(key.clone());
        }
        for (week, keys) in groups {
            let sheets: Vec<OnHand<Uuid>> = self
                .free_sheets(&keys[0], rank, waste)
                .into_iter()
                .filter(|sheet| !waste || self.rows[&sheet.id].weeks.contains(&week))
                .collect();
            // What is here is given out as the cheapest trip wants it: with what would be bought for the rest in view.
            self.pack_on_sheets(&keys, &sheets, &self.sold_for_panel(&keys[0]), true);
        }
    }

    pub(super) fn free_sheets(&self, key: &PieceKey, rank: u8, waste: bool) -> Vec<OnHand<Uuid>> {
        let piece = &self.pieces[key];
        self.rows
            .iter()
            .filter(|(_, plan)| plan.offered && plan.waste == waste && plan.pieces.is_empty())
            .map(|(id, _)| &self.basis.ledger.rows[id])
            .filter(|row| piece.served_by(row) == Some(rank))
            .filter_map(|row| match row.item {
                Item::Panel { along, across, .. } => Some(OnHand {
                    id: row.id,
                    along,
                    across,
                }),
                _ => None,
            })
            .collect()
    }

    /// What the yard sells for a piece's class: the one sheet.
    fn sold_for_panel(&self, key: &PieceKey) -> Vec<ForSale> {
        match &self.pieces[key].need.class {
            Class::Panel(class) => vec![self.sold_sheet(class)],
            _ => Vec::new(),
        }
    }

    fn sold_sheet(&self, class: &PanelClass) -> ForSale {
        let (prices, item) = (&self.basis.prices, Item::sheet(class.clone()));
        let offer = prices.offer_for(&item);
        ForSale {
            along: class.along,
            across: class.across,
            price: offer.and_then(|offer| offer.price),
            limit: offer.and_then(|offer| self.still_at_yard(offer, prices.at_yard(&item))),
        }
    }

    /// Packs pieces on these sheets, with what could be bought for the others in view; keeps it only if all fit, or if `part`
    /// is enough. Says whether anything was kept.
    pub(super) fn pack_on_sheets(
        &mut self,
        keys: &[PieceKey],
        sheets: &[OnHand<Uuid>],
        sold: &[ForSale],
        part: bool,
    ) -> bool {
        if sheets.is_empty() {
            return false;
        }
        let packing = self.pack(keys, sheets, sold);
        let all_fit = packing.unmet.is_empty() && packing.to_buy.is_empty();
        if !part && !all_fit {
            return false;
        }
        let weeks = self.sets[self.at].clone();
        for cut in packing.on_hand {
            let row = self.rows.get_mut(&cut.id).expect("only rows were offered");
            if row.weeks.is_empty() {
                row.weeks.clone_from(&weeks);
            }
            let (pieces, places) = laid(cut.placed);
            self.placed.extend(pieces.iter().cloned());
            row.pieces = pieces;
            row.places = places;
        }
        true
    }

    fn buy_sheets(&mut self, class: &PanelClass, keys: &[PieceKey]) {
        let rest: Vec<PieceKey> = keys
            .iter()
            .filter(|key| !self.placed.contains(*key))
            .cloned()
            .collect();
        if rest.is_empty() {
            return;
        }
        let item = Item::sheet(class.clone());
        let packing = self.pack(&rest, &[], &[self.sold_sheet(class)]);
        for sheet in packing.to_buy {
            let (pieces, places) = laid(sheet.placed);
            self.to_buy.push(Planned {
                listed: None,
                item: item.clone(),
                pieces,
                places,
                left: Length::ZERO,
                waste: false,
            });
        }
        for patch in packing.unmet {
            let holds =
                |along: Length, across: Length| along <= class.along && across <= class.across;
            let too_few = holds(patch.along, patch.across)
                || (patch.turn && holds(patch.across, patch.along));
            self.unmet.push(Unmet {
                piece: patch.label,
                length: patch.along,
                class: Class::Panel(class.clone()),
                longest: class.along,
                too_few,
            });
        }
        self.placed.extend(rest);
    }

    fn waste_of_panels(&mut self, class: &PanelClass) {
        let Some(mut figures) = self.figures_of_panels(class) else {
            return;
        };
        let area = class.along.as_64ths() * class.across.as_64ths();
        // Of a sheet that the yard has no more of none is left to buy for waste either.
        while area > 0 && !figures.holds() && self.sold_sheet(class).limit != Some(0) {
            figures.sum.there += area;
            figures.sum.more += 1;
            self.to_buy.push(Planned {
                listed: None,
                item: Item::sheet(class.clone()),
                pieces: Vec::new(),
                places: Vec::new(),
                left: Length::ZERO,
                waste: true,
            });
        }
        self.waste.push(figures.sum);
    }

    fn pack(
        &self,
        keys: &[PieceKey],
        on_hand: &[OnHand<Uuid>],
        sold: &[ForSale],
    ) -> Packing<PieceKey, Uuid> {
        let patches: Vec<Patch<PieceKey>> = keys
            .iter()
            .map(|key| {
                let piece = &self.pieces[key];
                Patch {
                    label: key.clone(),
                    along: piece.length,
                    across: piece.across,
                    turn: piece.need.turn,
                }
            })
            .collect();
        pack_panels(&patches, on_hand, sold, self.basis.settings.kerf)
    }
}

/// The pieces of a sheet with their places, in the same order.
pub(in crate::buy) fn laid(placed: Vec<Placed<PieceKey>>) -> (Vec<PieceKey>, Vec<Place>) {
    placed
        .into_iter()
        .map(|piece| {
            let place = Place {
                x: piece.at.x,
                y: piece.at.y,
                along: piece.at.along,
                across: piece.at.across,
            };
            (piece.patch.label, place)
        })
        .unzip()
}
