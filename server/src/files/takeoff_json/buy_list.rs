//! The joint buy list of some weeks as JSON.

use scantling_takeoff::buy::{BuyLine, BuyList};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::{Length, Money};
use serde::Serialize;

use super::{ClassParts, Document, Lacks, Named, Step, document, lacks, parts, size_of, steps};

/// What to buy for the weeks together.
#[derive(Debug, Serialize)]
pub(crate) struct BuyListBody<'a> {
    /// Lumber, panels, fasteners, hardware, sundries.
    lines: Vec<Line<'a>>,
    /// Of the lines with a price, without tax.
    total_cents: i64,
    /// At the job's rate.
    tax_cents: Option<i64>,
    /// Lines to buy without a price.
    unpriced: usize,
    /// What no stick or sheet known holds, in words.
    unmet: Vec<String>,
    /// What isn't recorded yet: such needs are not on the list.
    missing: Vec<Lacks<'a>>,
}

#[derive(Debug, Serialize)]
struct Line<'a> {
    section: &'static str,
    item: String,
    class: ClassParts<'a>,
    /// A stick's length; a panel's side along the strength axis.
    length_64: Option<i64>,
    /// A panel's other side.
    across_64: Option<i64>,
    /// Sticks, sheets or pieces, waste included; so are the next three.
    needed: i64,
    from_on_hand: i64,
    from_ordered: i64,
    short: i64,
    /// Booked for these weeks so far.
    bought: i64,
    /// In the unit sold; sticks in sticks, by the foot too.
    to_buy: i64,
    /// What the price is for.
    unit: String,
    /// Of sticks sold by the foot: how long what is to be bought is together.
    by_the_foot_64: Option<i64>,
    /// Pieces in one sold, in tenths.
    per_tenths: i64,
    unit_price_cents: Option<i64>,
    extension_cents: Option<i64>,
    supplier: Option<String>,
    item_number: Option<String>,
    lead_days: Option<i64>,
    /// The last day to order on, `2026-10-14`.
    order_by: Option<String>,
    /// The changes that want it.
    changes: Vec<Named<'a>>,
    arithmetic: Vec<Step>,
    /// Used before it was booked.
    not_booked: i64,
    /// `no price`, or nothing.
    note: String,
}

/// The joint buy list of the weeks.
pub(crate) fn buy_list_document<'a>(
    job: &'a Job,
    weeks: &'a [u32],
    list: &'a BuyList,
) -> Document<'a, BuyListBody<'a>> {
    let body = BuyListBody {
        lines: list.lines.iter().map(|line| line_of(job, line)).collect(),
        total_cents: list.total.as_cents(),
        tax_cents: list.tax.map(Money::as_cents),
        unpriced: list.unpriced,
        unmet: list.unmet.clone(),
        missing: list
            .missing
            .iter()
            .map(|(change, missing)| lacks(missing, Some(*change)))
            .collect(),
    };
    document(job, weeks, "buy-list", body)
}

fn line_of<'a>(job: &'a Job, line: &BuyLine) -> Line<'a> {
    let (length_64, across_64) = size_of(&line.item);
    Line {
        section: line.item.section(),
        item: line.words.clone(),
        class: parts(job, line.item.class()),
        length_64,
        across_64,
        needed: line.needed,
        from_on_hand: line.from_on_hand,
        from_ordered: line.from_ordered,
        short: line.short,
        bought: line.bought,
        to_buy: line.to_buy,
        unit: line.unit.clone(),
        by_the_foot_64: line.by_the_foot.map(Length::as_64ths),
        per_tenths: line.per_tenths,
        unit_price_cents: line.unit_price.map(Money::as_cents),
        extension_cents: line.extension.map(Money::as_cents),
        supplier: line.supplier.clone(),
        item_number: line.item_number.clone(),
        lead_days: line.lead_days,
        order_by: line
            .order_by
            .and_then(|day| i32::try_from(day).ok())
            .and_then(|day| time::Date::from_julian_day(day).ok())
            .map(|day| day.to_string()),
        changes: line
            .changes
            .iter()
            .map(|id| Named {
                id: *id,
                name: job.name(*id),
            })
            .collect(),
        arithmetic: steps(&line.why),
        not_booked: line.missing,
        note: line.note.clone(),
    }
}
