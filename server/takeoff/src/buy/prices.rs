//! The price book as the planner reads it: who sells what, by what unit, at what price.
//!
//! Several rows that sell one thing are told apart by price alone: the cheapest wins, and a row without a price counts
//! only where none has one. Source: common practice, no published source.

use std::cmp::Reverse;

use uuid::Uuid;

use super::item::Item;
use crate::needs::{Class, FastenerClass, PanelClass, StickClass, Treatment, hardware_in_one};
use crate::record::{Job, Kind, Record};
use crate::tables::nail::parse_nail;
use crate::tables::nails::{nail_row, nail_row_of_size};
use crate::tables::ps20::{Seasoning, default_seasoning, dressed};
use crate::units::{Length, Money, Nominal, decimal_text};

/// A row of the price book.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The row.
    pub row: Uuid,
    /// What it sells.
    pub item: Item,
    /// The name of its row of the hardware table; empty for what isn't hardware.
    pub hardware: String,
    /// The supplier's name; empty where none stands.
    pub supplier: String,
    /// The supplier's id; none where none stands.
    pub supplier_id: Option<Uuid>,
    /// The unit, a word of the price book: `each`, `box`, `lb`.
    pub sold_by: String,
    /// Pieces in each one sold, in tenths; none where a pack's or a pound's count isn't known.
    pub per_tenths: Option<i64>,
    /// Its price; of a stick that is sold by the foot the price of that stick, half a cent up.
    pub price: Option<Money>,
    /// The price of a foot, of a stick that is sold so. What a line comes to is worked out from this.
    pub a_foot: Option<Money>,
    /// The supplier's item number.
    pub item_number: Option<String>,
    /// Days from order to here.
    pub lead_days: Option<i64>,
    /// How many of it one trip finds at the yard; none: as many as wanted.
    pub at_yard: Option<i64>,
}

impl Offer {
    /// The unit in words: `each`, `box of 250`, `roll of 250 ft`, `lb`; `ft` for a stick that is sold by the foot.
    pub fn unit(&self) -> String {
        match (&self.item, self.per_tenths) {
            (Item::Stick { .. }, _) if self.is_by_the_foot() => "ft".to_owned(),
            (Item::Stick { .. }, _) => "each".to_owned(),
            (item, Some(per)) if per != 10 && self.sold_by != "lb" => {
                let of = match item {
                    Item::Sundry { unit, .. } if unit == "foot" => " ft",
                    Item::Sundry { unit, .. } if unit == "lb" => " lb",
                    _ => "",
                };
                format!("{} of {}{of}", self.sold_by, decimal_text(per, 1))
            }
            _ => self.sold_by.clone(),
        }
    }

    /// Whether a whole stick or sheet, or one of a counted thing, is what it sells.
    pub(super) fn sells(&self, item: &Item) -> bool {
        match (&self.item, item) {
            (
                Item::Stick { class, length },
                Item::Stick {
                    class: wanted,
                    length: long,
                },
            ) => length == long && same_stick(class, wanted),
            (sold, wanted) => sold == wanted,
        }
    }

    /// Whether it is a stick whose price is for a foot of it.
    pub fn is_by_the_foot(&self) -> bool {
        self.sold_by == "foot" && matches!(self.item, Item::Stick { .. })
    }

    /// The price of one unit, a foot of a stick that is sold so.
    pub fn unit_price(&self) -> Option<Money> {
        if self.is_by_the_foot() {
            self.a_foot
        } else {
            self.price
        }
    }

    /// What so many come to.
    pub fn extension(&self, count: i64) -> Option<Money> {
        match (&self.item, self.a_foot) {
            (Item::Stick { length, .. }, Some(a_foot)) => Some(by_the_foot(a_foot, *length, count)),
            _ => Some(self.price? * count),
        }
    }
}

/// Every row of the price book, in an order that is always the same: cheapest first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PriceBook {
    /// The rows.
    pub offers: Vec<Offer>,
}

impl PriceBook {
    /// Reads it from the job's record.
    pub fn of(job: &Job) -> Self {
        Self::new(
            job.all(Kind::Price)
                .filter_map(|row| offer(job, row))
                .collect(),
        )
    }

    /// From rows in any order.
    pub fn new(mut offers: Vec<Offer>) -> Self {
        offers.sort_by(|a, b| {
            let key = |o: &Offer| {
                (
                    o.price.is_none(),
                    o.price,
                    o.supplier.clone(),
                    o.item_number.clone(),
                    o.row,
                )
            };
            key(a).cmp(&key(b))
        });
        Self { offers }
    }

    /// The lengths of a class that are sold, that the yard has any of and that can be carried in: the cheapest row of each, and
    /// how many of the length there are; none: as many as wanted.
    pub(super) fn sticks(
        &self,
        class: &StickClass,
        longest: Option<Length>,
    ) -> Vec<(Length, &Offer, Option<i64>)> {
        let mut found: Vec<(Length, &Offer, Option<i64>)> = Vec::new();
        for offer in self.offers.iter().filter(|offer| offer.at_yard != Some(0)) {
            let Item::Stick {
                class: sold,
                length,
            } = &offer.item
            else {
                continue;
            };
            if !same_stick(sold, class) || longest.is_some_and(|most| *length > most) {
                continue;
            }
            match found.iter_mut().find(|(known, ..)| known == length) {
                // A line is bought by one row, so rows aren't added up.
                Some((.., there)) => *there = there.zip(offer.at_yard).map(|(a, b)| a.max(b)),
                None => found.push((*length, offer, offer.at_yard)),
            }
        }
        found.sort_by_key(|(length, ..)| *length);
        found
    }

    /// How many of a whole stick or sheet the best stocked row has; none: as many as wanted, or it isn't in the book.
    pub(super) fn at_yard(&self, item: &Item) -> Option<i64> {
        let rows = self.offers.iter().filter(|offer| offer.sells(item));
        let there: Option<Vec<i64>> = rows.map(|offer| offer.at_yard).collect();
        there?.into_iter().max()
    }

    /// The lengths of a class that are sold, at the yard now or not.
    pub(super) fn lengths(&self, class: &StickClass) -> impl Iterator<Item = Length> {
        let of = |offer: &Offer| match &offer.item {
            Item::Stick {
                class: sold,
                length,
            } if same_stick(sold, class) => Some(*length),
            _ => None,
        };
        self.offers.iter().filter_map(of)
    }

    /// The row that sells a whole stick or sheet, or one of a counted thing: the cheapest that the yard has any of, else the
    /// cheapest.
    pub fn offer_for(&self, item: &Item) -> Option<&Offer> {
        self.offer_for_so_many(item, 1)
    }

    /// The row that sells so many: the cheapest of which there are enough for one trip, else the one of which there are most.
    pub fn offer_for_so_many(&self, item: &Item, count: i64) -> Option<&Offer> {
        let mut rows = self.offers.iter().filter(|offer| offer.sells(item));
        let first = rows.clone().next();
        let most = self.at_yard(item).unwrap_or(i64::MAX);
        let enough = count.min(most).max(1);
        rows.find(|offer| offer.at_yard.is_none_or(|n| n >= enough))
            .or(first)
    }

    /// The rows that sell a counted thing.
    pub(super) fn counted(&self, item: &Item) -> Vec<&Offer> {
        self.offers
            .iter()
            .filter(|offer| match (&offer.item, item) {
                (
                    Item::Sundry { name, unit },
                    Item::Sundry {
                        name: wanted,
                        unit: by,
                    },
                ) => name.to_lowercase() == wanted.to_lowercase() && unit == by,
                (sold, wanted) => sold == wanted,
            })
            .collect()
    }

    /// The stick to buy for waste: the cheapest not shorter than the longest need, of equal price the longer; without any
    /// that long, the longest.
    pub(super) fn for_waste(
        offers: &[(Length, &Offer, Option<i64>)],
        longest_need: Length,
    ) -> Option<Length> {
        let long_enough = |priced: bool| {
            offers
                .iter()
                .filter(move |(length, offer, _)| {
                    *length >= longest_need && offer.price.is_some() == priced
                })
                .min_by_key(|(length, offer, _)| match offer.price {
                    Some(price) => (price.as_cents(), Reverse(length.as_64ths())),
                    None => (length.as_64ths(), Reverse(0)),
                })
        };
        long_enough(true)
            .or_else(|| long_enough(false))
            .or_else(|| offers.iter().max_by_key(|(length, ..)| *length))
            .map(|(length, ..)| *length)
    }
}

/// Whether two classes are the same at the yard: the price book knows no dressed size but by its seasoning.
fn same_stick(sold: &StickClass, wanted: &StickClass) -> bool {
    (sold.nominal, &sold.species, &sold.grade, sold.treatment)
        == (
            wanted.nominal,
            &wanted.species,
            &wanted.grade,
            wanted.treatment,
        )
}

fn offer(job: &Job, row: &Record) -> Option<Offer> {
    let supplier = row.to("supplier").and_then(|id| job.get(id));
    let sold_by = row.text("sold_by").unwrap_or("each").to_owned();
    let pack = row.number("per_pack").map(|n| n * 10);
    let (mut price, mut a_foot) = (row.money("price"), None);
    let mut hardware = String::new();
    let (item, per_tenths) = match row.text("section")? {
        "stick" => {
            let length = row.length("length")?;
            match sold_by.as_str() {
                "each" => {}
                "foot" => {
                    a_foot = price;
                    price = price.map(|a_foot| by_the_foot(a_foot, length, 1));
                }
                // The price of a bundle is not that of a stick.
                _ => price = None,
            }
            let class = stick_class(row)?;
            (Item::Stick { class, length }, Some(10))
        }
        "panel" => {
            let class = PanelClass {
                panel: row.text("panel")?.to_owned(),
                thickness: row.length("thickness")?,
                along: row.length("along")?,
                across: row.length("across")?,
            };
            if !["each", "sheet"].contains(&sold_by.as_str()) {
                price = None;
            }
            (Item::sheet(class), Some(10))
        }
        "fastener" => {
            let class =
                FastenerClass::new(row.text("fastener")?, row.text("coating").unwrap_or(""));
            let per = match sold_by.as_str() {
                "each" => Some(10),
                "lb" => row.number("per_lb").or_else(|| tenths_in_a_pound(&class)),
                _ => pack,
            };
            (Item::Fastener { class }, per)
        }
        "hardware" => {
            let of = row.to("hardware")?;
            job.name(of).clone_into(&mut hardware);
            (Item::Hardware { row: of }, hardware_in_one(row))
        }
        "sundry" => {
            let (unit, per) = sundry_unit(row, &sold_by);
            let item = Item::Sundry {
                name: row.text("name")?.to_owned(),
                unit,
            };
            (item, per)
        }
        _ => return None,
    };
    Some(Offer {
        row: row.id,
        item,
        hardware,
        supplier: supplier.map_or(String::new(), |s| s.name().to_owned()),
        supplier_id: supplier.map(|s| s.id),
        sold_by,
        per_tenths: per_tenths.filter(|per| *per > 0),
        price,
        a_foot,
        item_number: row.text("item_number").map(str::to_owned),
        lead_days: row
            .number("lead_days")
            .or_else(|| supplier.and_then(|s| s.number("lead_days"))),
        at_yard: row.number("at_yard"),
    })
}

/// The unit that a sundry's row serves, and how many of it are in one sold, in tenths: a roll of 250 that counts in feet
/// serves what is needed by the foot. A pack that doesn't say what it counts in is for what is counted one by one, and
/// one without a count is the unit itself: a roll serves what is needed by the roll.
fn sundry_unit(row: &Record, sold_by: &str) -> (String, Option<i64>) {
    let pack = row.number("per_pack").map(|n| n * 10);
    if sold_by == "each" {
        return ("each".to_owned(), Some(10));
    }
    match (row.text("pack_of").filter(|of| *of != sold_by), pack) {
        (Some(of), pack) => (of.to_owned(), pack),
        (None, Some(pack)) => ("each".to_owned(), Some(pack)),
        (None, None) => (sold_by.to_owned(), Some(10)),
    }
}

fn stick_class(row: &Record) -> Option<StickClass> {
    let nominal = Nominal::parse(row.text("nominal")?).ok()?;
    let seasoning = match row.text("seasoning") {
        Some("green") => Seasoning::Green,
        Some(_) => Seasoning::Dry,
        None => default_seasoning(nominal),
    };
    Some(StickClass {
        nominal,
        dressed: dressed(nominal, seasoning)?,
        species: row.text("species").unwrap_or("").to_owned(),
        grade: row.text("grade").unwrap_or("").to_owned(),
        treatment: if row.says("treatment", "treated") {
            Treatment::Treated
        } else {
            Treatment::None
        },
    })
}

/// What so many sticks come to at a price for the foot: count × length × price, rounded once; its size half a cent up.
pub(super) fn by_the_foot(a_foot: Money, length: Length, count: i64) -> Money {
    let foot = i128::from(Length::feet(1).as_64ths());
    let cents = i128::from(a_foot.as_cents()) * i128::from(length.as_64ths()) * i128::from(count);
    let size = (2 * cents.abs() + foot).div_euclid(2 * foot);
    Money::from_cents(i64::try_from(size * cents.signum()).unwrap_or(i64::MAX))
}

/// Nails in a pound by the table, in tenths, head and all; none for what is no nail of the table.
fn tenths_in_a_pound(class: &FastenerClass) -> Option<i64> {
    let nail = parse_nail(&class.what).ok()?;
    let row = match nail.name() {
        Some((kind, penny)) => nail_row(kind, penny),
        None => nail_row_of_size(nail.length(), nail.shank_thousandths()),
    };
    row.map(|row| row.tenths_per_lb)
}

/// What is said where no count in a pound or a pack is known: `needs: count in a pound of screw 3 in`.
pub(super) fn needs_count(offer: &Offer) -> String {
    let of = match offer.item.class() {
        Class::Fastener(class) => class.to_string(),
        Class::Hardware { .. } => offer.hardware.clone(),
        _ => offer.item.to_string(),
    };
    let unit = if offer.sold_by == "lb" {
        "pound"
    } else {
        &offer.sold_by
    };
    format!("needs: count in a {unit} of {of}")
}
