//! An instance as it comes in, what is refused of it, and the problem that it makes.

use std::collections::BTreeMap;

use thiserror::Error;

use super::problem::{Kind, Problem};

/// No length is above this, in 64ths or whatever unit the instance is in.
pub const LONGEST: i64 = 1_000_000_000;

/// No price is above this, in cents.
pub const DEAREST: i64 = 1_000_000_000;

/// There are no more pieces than this.
pub const MOST_PIECES: i64 = 1_000_000;

/// A stick length that can be had.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Stock {
    /// Whole length, trim included.
    pub length: i64,
    /// Lost once per stick, both ends together.
    pub trim: i64,
    /// Cents of one; zero on hand.
    pub price: i64,
    /// How many there are; none: as many as wanted.
    pub limit: Option<i64>,
}

/// Pieces of one length.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Demand {
    /// Cut length.
    pub length: i64,
    /// How many.
    pub count: i64,
}

/// One problem.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Instance {
    /// What can be had, in any order.
    pub stock: Vec<Stock>,
    /// What is wanted, in any order.
    pub demand: Vec<Demand>,
    /// Lost at every cut.
    pub kerf: i64,
}

/// Why an instance can't be taken.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum Refused {
    /// A figure outside its range.
    #[error("{what} is {value}; it has to be from {least} to {most}")]
    OutOfRange {
        /// Which.
        what: &'static str,
        /// What it is.
        value: i64,
        /// Least allowed.
        least: i64,
        /// Greatest allowed.
        most: i64,
    },
    /// More pieces than are taken at once.
    #[error("there are more than {MOST_PIECES} pieces")]
    TooManyPieces,
}

pub(super) fn check(instance: &Instance) -> Result<(), Refused> {
    let within = |what: &'static str, value: i64, least: i64, most: i64| {
        if (least..=most).contains(&value) {
            Ok(())
        } else {
            Err(Refused::OutOfRange {
                what,
                value,
                least,
                most,
            })
        }
    };
    within("the kerf", instance.kerf, 0, LONGEST)?;
    for stock in &instance.stock {
        within("a stock length", stock.length, 0, LONGEST)?;
        within("the trim", stock.trim, 0, LONGEST)?;
        within("a price", stock.price, 0, DEAREST)?;
        within("a limit", stock.limit.unwrap_or(0), 0, i64::MAX)?;
    }
    let mut pieces: i64 = 0;
    for demand in &instance.demand {
        within("a piece's length", demand.length, 1, LONGEST)?;
        within("a count", demand.count, 0, i64::MAX)?;
        pieces = pieces.saturating_add(demand.count);
    }
    if pieces > MOST_PIECES {
        return Err(Refused::TooManyPieces);
    }
    Ok(())
}

/// Rows of one length, trim and price put together.
pub(super) fn merged_stock(instance: &Instance) -> Vec<Stock> {
    let mut rows: BTreeMap<(i64, i64, i64), Option<i64>> = BTreeMap::new();
    for stock in &instance.stock {
        let key = (stock.length, stock.trim, stock.price);
        rows.entry(key)
            .and_modify(|limit| {
                *limit = limit.zip(stock.limit).map(|(a, b)| a.saturating_add(b));
            })
            .or_insert(stock.limit);
    }
    rows.into_iter()
        .map(|((length, trim, price), limit)| Stock {
            length,
            trim,
            price,
            limit,
        })
        .collect()
}

/// Counts by length: of what some stick holds, and of what none does.
pub(super) fn merged_demand(
    instance: &Instance,
    stock: &[Stock],
) -> (BTreeMap<i64, i64>, BTreeMap<i64, i64>) {
    let longest = stock
        .iter()
        .filter(|stock| stock.limit != Some(0))
        .map(|stock| stock.length - stock.trim)
        .max()
        .unwrap_or(0);
    let (mut met, mut too_long) = (BTreeMap::new(), BTreeMap::new());
    for demand in instance.demand.iter().filter(|demand| demand.count > 0) {
        let to = if demand.length <= longest {
            &mut met
        } else {
            &mut too_long
        };
        *to.entry(demand.length).or_default() += demand.count;
    }
    (met, too_long)
}

pub(super) fn problem_of(
    instance: &Instance,
    stock: &[Stock],
    met: &BTreeMap<i64, i64>,
) -> Problem {
    let kinds = stock
        .iter()
        .enumerate()
        .map(|(at, stock)| Kind {
            room: stock.length - stock.trim + instance.kerf,
            price: stock.price,
            limit: stock.limit,
            begun: if stock.price == 0 { stock.length } else { 0 },
            stock: at,
        })
        .collect();
    let sizes = met
        .keys()
        .rev()
        .map(|length| length + instance.kerf)
        .collect();
    let counts = met.values().rev().copied().collect();
    Problem::new(kinds, sizes, counts)
}
