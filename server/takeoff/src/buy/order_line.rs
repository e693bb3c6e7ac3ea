//! A line of a yard order as it was sent: one text in the entry, read back for good.

use super::counted::pieces_booked;
use super::item::{Item, ItemError, join, split};
use super::list::BuyLine;
use super::prices::by_the_foot;
use crate::record::Record;
use crate::units::{Length, Money};

/// A line of an order as it was sent.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OrderLine {
    /// What.
    pub item: Item,
    /// In yard words, then.
    pub words: String,
    /// How many, in the unit sold; sticks in sticks, by the foot too.
    pub count: i64,
    /// The unit.
    pub unit: String,
    /// Pieces in each one sold, in tenths.
    pub per_tenths: i64,
    /// Price of one, then; of a foot of a stick, where the unit is `ft`.
    pub price: Option<Money>,
    /// What it comes to, then.
    pub extension: Option<Money>,
    /// The supplier’s item number.
    pub number: String,
}

/// The most that a line orders, in the unit sold: as many as a line of a receipt takes.
const MOST: i64 = 100_000;
/// The most pieces in one sold, in tenths.
const MOST_TENTHS: i64 = 1_000_000;
/// The most that a line comes to: the dearest price, as often as can be.
const MOST_CENTS: i64 = 1_000_000_000 * MOST;

/// A whole number from 0 up to a bound.
fn up_to(text: &str, most: i64) -> Option<i64> {
    let read = text.parse::<u64>().ok()?;
    i64::try_from(read).ok().filter(|n| *n <= most)
}

impl OrderLine {
    /// A line of a list as it is to be ordered.
    pub fn of(line: &BuyLine) -> Self {
        Self {
            item: line.item.clone(),
            words: line.words.clone(),
            count: line.to_buy,
            unit: line.unit.clone(),
            per_tenths: line.per_tenths,
            price: line.unit_price,
            extension: line.extension,
            number: line.item_number.clone().unwrap_or_default(),
        }
    }

    /// The same with so many, and what they come to: a stick by the foot half a cent up.
    pub fn with_count(self, count: i64) -> Self {
        let extension = self
            .price
            .map(|price| match (&self.item, self.length_sold()) {
                (Item::Stick { length, .. }, Some(_)) => by_the_foot(price, *length, count),
                _ => price * count,
            });
        Self {
            count,
            extension,
            ..self
        }
    }

    /// Of sticks sold by the foot: how long they are together.
    pub fn length_sold(&self) -> Option<Length> {
        match &self.item {
            Item::Stick { length, .. } if self.unit == "ft" => Some(*length * self.count),
            _ => None,
        }
    }

    /// How many sticks, sheets or pieces it orders.
    pub fn pieces(&self) -> i64 {
        if self.item.has_rows() {
            self.count
        } else {
            pieces_booked(self.per_tenths, self.count)
        }
    }

    /// Its one text, read back by [`OrderLine::from_text`]: parts with `;` between, money in cents.
    pub fn to_text(&self) -> String {
        let cents =
            |money: Option<Money>| money.map_or(String::new(), |m| m.as_cents().to_string());
        join(&[
            &self.item.to_key(),
            &self.words,
            &self.count.to_string(),
            &self.unit,
            &self.per_tenths.to_string(),
            &cents(self.price),
            &cents(self.extension),
            &self.number,
        ])
    }

    /// Reads the text of [`OrderLine::to_text`].
    ///
    /// # Errors
    /// A text that is no such line.
    pub fn from_text(text: &str) -> Result<Self, ItemError> {
        let wrong = || ItemError(text.to_owned());
        let parts = split(text);
        let [item, words, count, unit, per, price, extension, number] = parts.as_slice() else {
            return Err(wrong());
        };
        let cents = |text: &str| -> Result<Option<Money>, ItemError> {
            if text.is_empty() {
                return Ok(None);
            }
            up_to(text, MOST_CENTS)
                .map(|cents| Some(Money::from_cents(cents)))
                .ok_or_else(wrong)
        };
        let whole = |text: &str, most| up_to(text, most).ok_or_else(wrong);
        Ok(Self {
            item: Item::from_key(item)?,
            words: words.clone(),
            count: whole(count, MOST)?,
            unit: unit.clone(),
            per_tenths: whole(per, MOST_TENTHS)?.max(1),
            price: cents(price)?,
            extension: cents(extension)?,
            number: number.clone(),
        })
    }
}

/// The lines of an order as it was sent; none of a draft.
pub fn order_lines(order: &Record) -> Vec<OrderLine> {
    order
        .texts("line")
        .into_iter()
        .filter_map(|text| OrderLine::from_text(text).ok())
        .collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn any_line_comes_back(words in "[^ \\p{C}]([^\\p{C}]*[^ \\p{C}])?", number in "[^\\p{C}]*", count in 1_u16.., cents in prop::option::of(0_u32..)) {
            let price = cents.map(|cents| Money::from_cents(i64::from(cents)));
            let line = OrderLine {
                item: Item::Sundry { name: words.clone(), unit: "each".to_owned() },
                words,
                count: i64::from(count),
                unit: "box of 250".to_owned(),
                per_tenths: 2_500,
                price,
                extension: price,
                number,
            };
            prop_assert_eq!(OrderLine::from_text(&line.to_text()), Ok(line));
        }
    }
}
