//! A receipt's arithmetic: extensions, tax once on the sum, and the difference to what is printed.
//!
//! Source: common practice, no published source.

use uuid::Uuid;

use super::item::Item;
use super::prices::by_the_foot;
use crate::record::{Job, Kind, Record};
use crate::units::Money;

/// What a receipt comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReceiptSums {
    /// Each line that stands, by name and id, with its extension; none without a price.
    pub lines: Vec<(Uuid, Option<Money>)>,
    /// The extensions.
    pub sum: Money,
    /// Lines without a price: the sum is without them.
    pub unpriced: usize,
    /// Tax as typed, else at the receipt's rate, else at the job's; none where there is neither. Below zero where more
    /// goes back than comes: a slip prints what is paid back without a sign.
    pub tax: Option<Money>,
    /// Sum and tax.
    pub total: Money,
    /// The total as printed, if typed; with the sign of what it comes to.
    pub printed: Option<Money>,
    /// Printed less computed: said, never spread.
    pub difference: Option<Money>,
}

/// What a receipt comes to; lines that were taken back are not among it.
pub fn receipt_sums(job: &Job, receipt: &Record) -> ReceiptSums {
    let lines: Vec<(Uuid, Option<Money>)> = job
        .all(Kind::Bought)
        .filter(|line| line.to("receipt") == Some(receipt.id))
        .filter(|line| !job.ledger.is_taken_back(line.id))
        .map(|line| (line.id, extension(line)))
        .collect();
    let sum: Money = lines.iter().filter_map(|(_, extension)| *extension).sum();
    let rate = receipt
        .number("tax")
        .and_then(|n| u32::try_from(n).ok())
        .map(crate::units::TaxRate)
        .or(job.settings.tax);
    let as_paid = |typed: Money| if sum < Money::ZERO { -typed } else { typed };
    let tax = receipt
        .money("tax_typed")
        .map(as_paid)
        .or_else(|| rate.map(|rate| rate.on(sum)));
    let total = sum + tax.unwrap_or(Money::ZERO);
    let printed = receipt.money("total").map(as_paid);
    ReceiptSums {
        unpriced: lines
            .iter()
            .filter(|(_, extension)| extension.is_none())
            .count(),
        lines,
        sum,
        tax,
        total,
        printed,
        difference: printed.map(|printed| printed - total),
    }
}

/// Count × price of a receipt's line, or count × length × price where the price is for a foot of the stick, half a cent
/// up; below zero for what went back; none without a price.
pub fn extension(line: &Record) -> Option<Money> {
    let (price, count) = (line.money("price")?, line.number("count")?);
    let size = match line.text("item").map(Item::from_key) {
        Some(Ok(Item::Stick { length, .. })) if line.says("price_by", "foot") => {
            by_the_foot(price, length, count)
        }
        _ => price * count,
    };
    Some(if line.says("way", "returned") {
        -size
    } else {
        size
    })
}
