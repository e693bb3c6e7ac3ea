//! The ledger of a job: rows on hand, the movements behind them, and the pieces that each stick and panel keeps.
//!
//! On hand changes by movements alone; they are added, never edited. A row is one stick or one panel. What an entry does
//! to the ledger is a list of [`Effect`]s, worked out once in `entries` and then applied as it is. Source: common
//! practice, no published source.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::item::Item;
use crate::units::Length;

/// A piece of a change: which need of it, and which of that need's like pieces, from 0.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct PieceKey {
    /// The change.
    pub change: Uuid,
    /// Which need of it.
    pub slot: String,
    /// Which of that need's pieces, from 0.
    pub index: u32,
}

/// Where a piece lies on a panel, from the corner where both are zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Place {
    /// Where it begins along the strength axis.
    pub x: Length,
    /// Where it begins across it.
    pub y: Length,
    /// How far it reaches along the strength axis.
    pub along: Length,
    /// How far it reaches across it.
    pub across: Length,
}

/// One stick or one panel. It is here unless `gone` or `listed` says otherwise.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct StockRow {
    /// Its id, made from the entry that brought it.
    pub id: Uuid,
    /// What it is: a stick or a panel.
    pub item: Item,
    /// Uncut, as the yard sold it: the end trim still comes off.
    pub whole: bool,
    /// Came out of the house.
    pub salvage: bool,
    /// Salvage that was called sound and nail-free; true for what is new.
    pub sound: bool,
    /// Where it lies; empty where nobody said.
    pub lies: String,
    /// The entry that brought it.
    pub from: Uuid,
    /// The weeks that it was bought or kept for; none for what is free.
    #[serde(default)]
    pub weeks: Vec<u32>,
    /// Bought for the waste of these weeks.
    #[serde(default)]
    pub waste: bool,
    /// Not here: a stick of a list that was kept when something else was bought from it. It has moved nothing yet.
    #[serde(default)]
    pub listed: bool,
    /// The pieces that it keeps, in cutting order. They stay when it is gone, as history.
    #[serde(default)]
    pub pieces: Vec<PieceKey>,
    /// Where each of these pieces lies on a panel; empty for a stick.
    #[serde(default)]
    pub places: Vec<Place>,
    /// Used, returned, counted away, or struck from a kept list.
    #[serde(default)]
    pub gone: bool,
    /// The done change that took it.
    #[serde(default)]
    pub taken_by: Option<Uuid>,
    /// The row that it is an offcut of.
    #[serde(default)]
    pub cut_from: Option<Uuid>,
    /// The done or struck change that gave it back.
    #[serde(default)]
    pub given_by: Option<Uuid>,
}

impl StockRow {
    /// Whether it is on hand.
    pub fn is_here(&self) -> bool {
        !self.gone && !self.listed
    }
}

/// Why something came or went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// A line of a receipt.
    Bought,
    /// A take-out, or salvage added by hand.
    Salvaged,
    /// A change marked done.
    Used,
    /// An offcut of a done change, or a temporary piece that was struck.
    GivenBack,
    /// A count by hand.
    Counted,
    /// Takes back the movements of one entry.
    Reversed,
}

/// One movement: never edited.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Movement {
    /// What moved.
    pub item: Item,
    /// Its row; none for what is counted without rows, and for a stick that was used before it was booked.
    pub row: Option<Uuid>,
    /// How many came (above zero) or went (below). Fasteners in pieces.
    pub count: i64,
    /// Why.
    pub cause: Cause,
    /// The weeks that it was bought for; else none.
    #[serde(default)]
    pub weeks: Vec<u32>,
    /// The change that used it or gave it back.
    #[serde(default)]
    pub change: Option<Uuid>,
    /// The entry behind it.
    pub entry: Uuid,
    /// What that entry is about: the receipt line, the thing on hand, the change.
    pub about: Uuid,
    /// The entry that it takes back.
    #[serde(default)]
    pub reverses: Option<Uuid>,
}

/// What an entry does to the ledger, one step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Effect {
    /// The row of this id is now so.
    Put(StockRow),
    /// This moved.
    Move(Movement),
}

/// What is on hand, what moved, and which pieces each stick keeps.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ledger {
    /// Every stick and panel there ever was, by id.
    pub rows: BTreeMap<Uuid, StockRow>,
    /// Every movement, in the order in which they arrived.
    pub movements: Vec<Movement>,
}

impl Ledger {
    /// Applies what an entry does.
    pub fn apply(&mut self, effects: &[Effect]) {
        for effect in effects {
            match effect {
                Effect::Put(row) => {
                    self.rows.insert(row.id, row.clone());
                }
                Effect::Move(movement) => self.movements.push(movement.clone()),
            }
        }
    }

    /// How many of an item are on hand: the sum of its movements. May be below zero.
    pub fn on_hand(&self, item: &Item) -> i64 {
        self.sum(|movement| movement.item == *item)
    }

    /// How many were used or taken away before they were booked: 2 reads "2 missing: book the receipt or count".
    pub fn missing(&self, item: &Item) -> i64 {
        let known = if item.has_rows() {
            self.sum(|movement| movement.item == *item && movement.row.is_none())
        } else {
            self.on_hand(item)
        };
        (-known).max(0)
    }

    /// Everything that ever moved, in the lists' order.
    pub fn items(&self) -> BTreeSet<&Item> {
        self.movements
            .iter()
            .map(|movement| &movement.item)
            .collect()
    }

    /// The rows that are here, by id.
    pub fn here(&self) -> impl Iterator<Item = &StockRow> {
        self.rows.values().filter(|row| row.is_here())
    }

    /// Whether the movements of an entry were taken back.
    pub fn is_reversed(&self, entry: Uuid) -> bool {
        self.movements
            .iter()
            .any(|movement| movement.reverses == Some(entry))
    }

    /// Whether everything that the entries about a thing moved was taken back: a receipt line that was reversed.
    pub fn is_taken_back(&self, about: Uuid) -> bool {
        let mut own = self
            .movements
            .iter()
            .filter(|movement| movement.about == about && movement.reverses.is_none())
            .peekable();
        own.peek().is_some() && own.all(|movement| self.is_reversed(movement.entry))
    }

    /// How many of an item were bought for any of these weeks, less what was taken back.
    pub fn bought_for(&self, item: &Item, weeks: &[u32]) -> i64 {
        self.sum(|movement| {
            movement.item == *item
                && matches!(movement.cause, Cause::Bought | Cause::Reversed)
                && movement.weeks.iter().any(|week| weeks.contains(week))
        })
    }

    /// Compares the rows with the movements: each row that is here has moved once in all, each other one not at all, and
    /// what moved without a row never comes to more than nothing.
    ///
    /// # Errors
    /// A sentence for each difference.
    pub fn verify(&self) -> Result<(), Vec<String>> {
        let mut by_row: BTreeMap<Uuid, i64> = BTreeMap::new();
        let mut rowless: BTreeMap<&Item, i64> = BTreeMap::new();
        let mut problems = Vec::new();
        for movement in self.movements.iter().filter(|m| m.item.has_rows()) {
            match movement.row {
                Some(row) => {
                    *by_row.entry(row).or_default() += movement.count;
                    if self.rows.get(&row).is_none_or(|r| r.item != movement.item) {
                        problems.push(format!(
                            "{} moved by row {row}, which is something else or not there.",
                            movement.item
                        ));
                    }
                }
                None => *rowless.entry(&movement.item).or_default() += movement.count,
            }
        }
        for row in self.rows.values() {
            let moved = by_row.get(&row.id).copied().unwrap_or(0);
            if moved != i64::from(row.is_here()) {
                problems.push(format!(
                    "{} of row {}: the row is {}, its movements come to {moved}.",
                    row.item,
                    row.id,
                    if row.is_here() { "here" } else { "not here" }
                ));
            }
        }
        for (item, count) in rowless {
            if count > 0 {
                problems.push(format!("{item}: {count} came without a row."));
            }
        }
        if problems.is_empty() {
            Ok(())
        } else {
            Err(problems)
        }
    }

    fn sum(&self, of: impl Fn(&Movement) -> bool) -> i64 {
        self.movements
            .iter()
            .filter(|movement| of(movement))
            .map(|movement| movement.count)
            .sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nails(count: i64, cause: Cause) -> Movement {
        Movement {
            item: Item::Fastener {
                class: crate::needs::FastenerClass::new("16d common", ""),
            },
            row: None,
            count,
            cause,
            weeks: Vec::new(),
            change: None,
            entry: Uuid::nil(),
            about: Uuid::nil(),
            reverses: None,
        }
    }

    #[test]
    fn on_hand_is_the_sum_of_what_moved() {
        let mut ledger = Ledger::default();
        ledger.apply(&[
            Effect::Move(nails(250, Cause::Bought)),
            Effect::Move(nails(-181, Cause::Used)),
        ]);
        let item = nails(0, Cause::Counted).item;
        assert_eq!((ledger.on_hand(&item), ledger.missing(&item)), (69, 0));
        ledger.apply(&[Effect::Move(nails(-71, Cause::Used))]);
        assert_eq!((ledger.on_hand(&item), ledger.missing(&item)), (-2, 2));
        assert_eq!(ledger.verify(), Ok(()));
    }
}
