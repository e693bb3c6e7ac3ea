//! The ledger of a job: rows on hand, the movements behind them, and the pieces that each stick and panel keeps.
//!
//! On hand changes by movements alone; they are added, never edited. A row is one stick or one panel. What an entry does
//! to the ledger is a list of [`Effect`]s, worked out once in `entries` and then applied as it is. Source: common
//! practice, no published source.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use uuid::Uuid;

use super::item::Item;
use crate::needs::Class;
use crate::units::{Length, Money};

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
    /// The order that it comes with: it isn't here yet, but is planned on as if it were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub ordered: Option<Uuid>,
    /// Bought instead of something else: by that person's word it serves the pieces that it keeps, whatever its class.
    #[serde(default, skip_serializing_if = "is_no")]
    pub swapped: bool,
}

impl StockRow {
    /// Whether it is on hand.
    pub fn is_here(&self) -> bool {
        self.stands() && self.ordered.is_none()
    }

    /// Whether it is on hand or on its way: what the plan cuts from.
    pub fn stands(&self) -> bool {
        !self.gone && !self.listed
    }
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde asks for it")]
fn is_no(flag: &bool) -> bool {
    !flag
}

/// Why something came or went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Cause {
    /// A line of a receipt.
    Bought,
    /// A line of a receipt that went back.
    Returned,
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

impl Cause {
    /// Bought, returned, or one of these taken back: such a movement bears the weeks that it answers.
    pub fn is_buying(self) -> bool {
        matches!(self, Self::Bought | Self::Returned | Self::Reversed)
    }
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
    /// Bought instead of this, or used in its place: what is needed of that counts it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub instead_of: Option<Item>,
}

impl Movement {
    /// What is needed of this item counts it.
    pub fn serves(&self) -> &Item {
        self.instead_of.as_ref().unwrap_or(&self.item)
    }
}

/// So many were ordered, or no longer are: received, short, cancelled. Never edited.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ordered {
    /// The order.
    pub order: Uuid,
    /// What of.
    pub item: Item,
    /// Its row, for a stick or a panel.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub row: Option<Uuid>,
    /// How many more (above zero) or fewer (below). Fasteners in pieces.
    pub count: i64,
    /// The weeks that it was ordered for.
    pub weeks: Vec<u32>,
    /// The entry behind it.
    pub entry: Uuid,
}

/// A week's list as it was when something was first bought or ordered from it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptList {
    /// The week, or the weeks bought together.
    pub weeks: Vec<u32>,
    /// 1 at first, one more each time that it is kept anew.
    pub revision: u32,
    /// The entry that kept it.
    pub entry: Uuid,
    /// Its lines.
    pub lines: Vec<KeptLine>,
    /// What each change called for.
    pub needs: Vec<KeptNeed>,
    /// Whether something had been bought or ordered for these weeks by then: it says what was left to buy, not what was
    /// planned.
    #[serde(default, skip_serializing_if = "is_no")]
    pub begun: bool,
}

/// A line of it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptLine {
    /// What.
    pub item: Item,
    /// The unit it was sold by: `each`, `box of 250`.
    pub unit: String,
    /// Pieces in each one sold, in tenths.
    pub per_tenths: i64,
    /// Sticks, sheets or pieces needed, waste included.
    pub needed: i64,
    /// Of these, on hand or ordered then.
    pub from_on_hand: i64,
    /// Ordered for these weeks then, and still to come: more than is needed, too.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub from_ordered: i64,
    /// Bought for these weeks by then, less what went back.
    #[serde(default, skip_serializing_if = "is_zero")]
    pub bought: i64,
    /// To be bought, in the unit sold.
    pub to_buy: i64,
    /// Price of one sold, then.
    pub unit_price: Option<Money>,
    /// What they came to then.
    #[serde(default)]
    pub extension: Option<Money>,
    /// Whose price it was.
    #[serde(default)]
    pub supplier: String,
    /// The same by id, since a supplier may get another name; none where nobody sold it, and in lists kept before ids were.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub supplier_id: Option<Uuid>,
    /// The changes that wanted it, by how much (see [`LineShare`]).
    pub shares: Vec<Share>,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "as serde asks for it")]
fn is_zero(n: &i64) -> bool {
    *n == 0
}

/// A need of a change, as it was when the list was kept.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct KeptNeed {
    /// The change.
    pub change: Uuid,
    /// Which need of it.
    pub slot: String,
    /// In words.
    pub title: String,
    /// How many.
    pub count: i64,
    /// What it is of; unknown on a list that was kept before this was.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub of: Option<Class>,
    /// Cut length; a panel piece's side along.
    #[serde(default)]
    pub cut: Option<Length>,
    /// A panel piece's side across.
    #[serde(default)]
    pub across: Option<Length>,
}

/// How much of something is a change's: its weight beside the others'; no change: extras, and what is over.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Share {
    /// The change.
    pub change: Option<Uuid>,
    /// Its weight.
    pub weight: i64,
}

/// Which changes a line of a receipt was bought for: fixed when it is booked, so that money stays where it was.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LineShare {
    /// The line.
    pub line: Uuid,
    /// The changes, by id; no change first.
    pub shares: Vec<Share>,
}

/// What an entry does to the ledger, one step.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Effect {
    /// The row of this id is now so.
    Put(StockRow),
    /// This moved.
    Move(Movement),
    /// This was ordered, or no longer is.
    Order(Ordered),
    /// A list is kept.
    Keep(KeptList),
    /// A line's money is these changes'.
    Share(LineShare),
}

/// What is on hand, what moved, and which pieces each stick keeps.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Ledger {
    /// Every stick and panel there ever was, by id.
    pub rows: BTreeMap<Uuid, StockRow>,
    /// Every movement, in the order in which they arrived.
    pub movements: Vec<Movement>,
    /// What was ordered and no longer is, in the order in which it arrived.
    #[serde(default)]
    pub orders: Vec<Ordered>,
    /// The lists that were kept, in the order in which they were.
    #[serde(default)]
    pub kept: Vec<KeptList>,
    /// Which changes each line of a receipt was bought for.
    #[serde(default)]
    pub shares: BTreeMap<Uuid, Vec<Share>>,
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
                Effect::Order(ordered) => self.orders.push(ordered.clone()),
                Effect::Keep(list) => self.kept.push(list.clone()),
                Effect::Share(share) => {
                    self.shares.insert(share.line, share.shares.clone());
                }
            }
        }
    }

    /// How many of an item are on hand: the sum of its movements. May be below zero.
    pub fn on_hand(&self, item: &Item) -> i64 {
        self.sum(|movement| movement.item == *item)
    }

    /// How many are on hand for what is needed of an item: those of it, less what was bought of it instead of something
    /// else, and what was bought of something else instead of it.
    pub fn serving(&self, item: &Item) -> i64 {
        self.sum(|movement| movement.serves() == item)
    }

    /// What is on hand for an item, by what it really is: the item itself first, then what was bought instead of it.
    pub fn serving_by_item(&self, item: &Item) -> Vec<(Item, i64)> {
        let mut all: BTreeMap<&Item, i64> = BTreeMap::new();
        for movement in self.movements.iter().filter(|m| m.serves() == item) {
            *all.entry(&movement.item).or_default() += movement.count;
        }
        let own = all.remove(item).unwrap_or(0);
        let mut out = vec![(item.clone(), own)];
        out.extend(all.into_iter().map(|(item, count)| (item.clone(), count)));
        out
    }

    /// So many of a counted item leave: by what they were bought instead of, none for the item itself. First what stood in
    /// for `first`, then the item's own, then the rest; what is more than there is, is the item's own.
    pub(super) fn leaving(
        &self,
        item: &Item,
        first: Option<&Item>,
        count: i64,
    ) -> Vec<(Option<Item>, i64)> {
        let mut here: BTreeMap<Option<&Item>, i64> = BTreeMap::new();
        for movement in self.movements.iter().filter(|m| m.item == *item) {
            *here.entry(movement.instead_of.as_ref()).or_default() += movement.count;
        }
        let mut order: Vec<(Option<&Item>, i64)> = here.into_iter().collect();
        order.sort_by_key(|(of, _)| (first.is_none() || *of != first, *of));
        let (mut left, mut own, mut out) = (count, 0, Vec::new());
        for (of, there) in order {
            let taken = there.min(left).max(0);
            left -= taken;
            match of {
                None => own += taken,
                Some(of) if taken > 0 => out.push((Some(of.clone()), taken)),
                Some(_) => {}
            }
        }
        if own + left > 0 {
            out.push((None, own + left));
        }
        out
    }

    /// How many of an item are ordered and haven't come.
    pub fn ordered(&self, item: &Item) -> i64 {
        self.orders
            .iter()
            .filter(|ordered| ordered.item == *item)
            .map(|ordered| ordered.count)
            .sum()
    }

    /// How many of an item are ordered for these very weeks and still to come.
    pub fn ordered_for(&self, item: &Item, weeks: &[u32]) -> i64 {
        self.orders
            .iter()
            .filter(|ordered| ordered.item == *item && ordered.weeks == weeks)
            .map(|ordered| ordered.count)
            .sum()
    }

    /// How many of an item one order still brings.
    pub fn ordered_by(&self, order: Uuid, item: &Item) -> i64 {
        self.orders
            .iter()
            .filter(|ordered| ordered.order == order && ordered.item == *item)
            .map(|ordered| ordered.count)
            .sum()
    }

    /// The kept list of these weeks that stands: the last one.
    pub fn kept_of(&self, weeks: &[u32]) -> Option<&KeptList> {
        self.kept.iter().rev().find(|list| list.weeks == weeks)
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

    /// Whether anything was bought or ordered for any of these weeks so far.
    pub fn has_begun(&self, weeks: &[u32]) -> bool {
        let ours = |of: &[u32]| of.iter().any(|week| weeks.contains(week));
        self.movements
            .iter()
            .any(|m| m.cause == Cause::Bought && ours(&m.weeks))
            || self.orders.iter().any(|order| ours(&order.weeks))
    }

    /// Everything that ever moved, in the lists' order.
    pub fn items(&self) -> BTreeSet<&Item> {
        self.movements
            .iter()
            .map(|movement| &movement.item)
            .collect()
    }

    /// The rows that are here or on their way, by id.
    pub fn standing(&self) -> impl Iterator<Item = &StockRow> {
        self.rows.values().filter(|row| row.stands())
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
                && movement.cause.is_buying()
                && movement.weeks.iter().any(|week| weeks.contains(week))
        })
    }

    /// How many of an item, or of what was bought instead of it, were bought for these very weeks, less what went back and
    /// what was taken back.
    pub fn bought_as(&self, item: &Item, weeks: &[u32]) -> i64 {
        self.sum(|movement| {
            movement.instead_of.as_ref().unwrap_or(&movement.item) == item
                && movement.cause.is_buying()
                && movement.weeks == weeks
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
        let mut on_order: BTreeMap<Uuid, i64> = BTreeMap::new();
        for ordered in &self.orders {
            if let Some(row) = ordered.row {
                *on_order.entry(row).or_default() += ordered.count;
            }
        }
        for row in self.rows.values() {
            let n = on_order.get(&row.id).copied().unwrap_or(0);
            if n != i64::from(row.ordered.is_some()) {
                problems.push(format!(
                    "{} of row {}: ordered {n} times.",
                    row.item, row.id
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
            instead_of: None,
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
