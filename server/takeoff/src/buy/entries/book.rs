//! Books a line of a receipt, and takes one back.
//!
//! A stick that is booked takes the pieces of the line's next planned stick, first those with pieces, then those for
//! waste; what is over is free. The plan of its week and of the earlier ones is kept with it. What was used before it was
//! booked is filled first.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::counted::pieces_in;
use super::super::item::Item;
use super::super::ledger::{Cause, Effect, Ledger, Movement, StockRow};
use super::super::plan::Plan;
use super::keep::Writer;
use super::{Values, item, number, problem, text};
use crate::record::{FieldProblem, Op};

/// A line of a receipt.
#[derive(Clone, Debug)]
pub(crate) struct Booking {
    pub(crate) entry: Uuid,
    pub(crate) about: Uuid,
    pub(crate) item: Item,
    /// Pieces, sticks, sheets.
    pub(crate) count: i64,
    pub(crate) weeks: Vec<u32>,
}

pub(super) fn read(
    basis: &Basis<'_>,
    op: &Op,
    values: &Values,
) -> Result<Vec<Effect>, FieldProblem> {
    let item = item("item", text(values, "item").unwrap_or(""))?;
    if text(values, "price_by") == Some("foot") && !matches!(item, Item::Stick { .. }) {
        return Err(problem(
            "price_by",
            "Only a stick is priced by the foot. Leave this empty, and write the price of one.",
        ));
    }
    let count = number(values, "count").unwrap_or(0);
    let mut weeks: Vec<u32> = values
        .get("weeks")
        .into_iter()
        .flatten()
        .filter_map(|value| u32::try_from(value.number?).ok())
        .collect();
    weeks.sort_unstable();
    weeks.dedup();
    let per = number(values, "per").filter(|_| !item.has_rows());
    let booking = Booking {
        entry: op.op_id,
        about: op.entity_id,
        item,
        count: pieces_in(per.unwrap_or(10), count),
        weeks,
    };
    Ok(book(basis, &booking))
}

pub(crate) fn book(basis: &Basis<'_>, booking: &Booking) -> Vec<Effect> {
    let Booking { item, weeks, .. } = booking;
    let mut out = Writer::new(booking.entry, booking.about);
    let bought = |out: &Writer, row, count| Movement {
        weeks: weeks.clone(),
        ..out.movement(item, row, count, Cause::Bought)
    };
    let rowless = if item.has_rows() {
        basis.ledger.missing(item).min(booking.count)
    } else {
        booking.count
    };
    if rowless > 0 {
        let movement = bought(&out, None, rowless);
        out.moved(movement);
    }
    let plan = Plan::of(basis, weeks);
    let at = plan.sets.iter().position(|set| set.weeks == *weeks);
    let set = at.and_then(|at| Some((at, plan.sets.get(at)?)));
    let mut planned = set
        .iter()
        .flat_map(|(at, set)| {
            set.to_buy
                .iter()
                .enumerate()
                .map(|(which, stick)| ((*at, which), stick))
        })
        .filter(|(_, stick)| stick.item == *item);
    let mut taken = BTreeSet::new();
    for _ in rowless..booking.count {
        let mut row = match planned.next() {
            Some((which, stick)) => {
                taken.insert(which);
                out.row_of(basis, stick, weeks)
            }
            None => out.row(item.clone(), is_whole(item)),
        };
        row.listed = false;
        row.from = booking.entry;
        let movement = bought(&out, Some(row.id), 1);
        out.put(row);
        out.moved(movement);
    }
    if let Some((at, _)) = set {
        out.keep_rows(basis, &plan, at, &BTreeSet::new());
        out.keep_lists(basis, &plan, at, &taken);
    }
    out.effects
}

/// Takes a booking back: its rows go back to the list that they were of, or go; what was used meanwhile is missing then.
pub(crate) fn reverse(
    ledger: &Ledger,
    entry: Uuid,
    about: Uuid,
) -> Result<Vec<Effect>, FieldProblem> {
    if ledger.is_taken_back(about) {
        return Err(problem(
            "",
            "This line was taken back already. Nothing moved.",
        ));
    }
    let mut out = Writer::new(entry, about);
    let lines = ledger
        .movements
        .iter()
        .filter(|m| m.about == about && m.cause == Cause::Bought && !ledger.is_reversed(m.entry));
    for line in lines {
        let row = line
            .row
            .and_then(|id| ledger.rows.get(&id))
            .filter(|row| row.is_here());
        if let Some(row) = row {
            // Only the pieces of its own weeks go back to the list: no later week counts on a stick that isn't there.
            let back = StockRow {
                listed: !row.pieces.is_empty(),
                gone: row.pieces.is_empty(),
                ..row.clone()
            };
            out.put(back);
        }
        out.moved(Movement {
            row: row.map(|row| row.id),
            count: -line.count,
            cause: Cause::Reversed,
            entry,
            reverses: Some(line.entry),
            ..line.clone()
        });
    }
    if out.effects.is_empty() {
        return Err(problem(
            "",
            "Nothing was booked by this line. Nothing moved.",
        ));
    }
    Ok(out.effects)
}

/// Whether an item is of a size that is sold: every stick is taken as uncut, a panel where it is a whole sheet.
fn is_whole(item: &Item) -> bool {
    match item {
        Item::Panel {
            class,
            along,
            across,
        } => (*along, *across) == (class.along, class.across),
        _ => true,
    }
}
