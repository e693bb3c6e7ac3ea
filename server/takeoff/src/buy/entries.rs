//! What an entry does to the ledger, worked out once from the job as it stands before it.
//!
//! Receipt lines, changes done, undone and struck, and what is on hand by hand; other entries move nothing. Work that
//! was done is booked as it was said: an item may go below zero. New rows get ids made from the entry's, so the same
//! entry makes the same rows everywhere.

mod afresh;
mod book;
mod done;
mod keep;
mod order;
mod stock;
mod undo;

use std::collections::BTreeMap;

use super::basis::Basis;
use super::item::Item;
use super::ledger::{Effect, Ledger};
use super::on_order::{OrderState, order_state};
use crate::record::job::weeks_of;
use crate::record::{FieldProblem, Job, Op, Value};

#[cfg(test)]
pub(super) use afresh::afresh as plan_afresh;
pub use afresh::{AfreshPreview, MovedLine, afresh_preview};
#[cfg(test)]
pub(super) use book::{Booking, GoingBack, book, go_back};
pub(super) use book::{ordered_rows, reverse};
pub use done::Used;
pub(super) use done::fitting;
#[cfg(test)]
pub(super) use done::{Came, Doing, Stick, Taken, begun, done};
#[cfg(test)]
pub(super) use order::{Wanted, order as send_order};
pub(super) use order::{cancel, released};
pub(super) use stock::Counting;
#[cfg(test)]
pub(super) use stock::counted_by_hand;
pub(super) use undo::{strike, undo};

/// An entry's fields, each read once (see `record::op::read`).
pub type Values = BTreeMap<&'static str, Vec<Value>>;

/// What an entry does to the ledger of the job as it stands before it.
///
/// # Errors
/// What can't be so: a change that is done already, a booking that was taken back, an offcut that another change used.
pub fn effects(job: &Job, op: &Op, values: &Values) -> Result<Vec<Effect>, FieldProblem> {
    let ledger = &job.ledger;
    match op.kind.as_str() {
        "bought.add" => book::read(&Basis::of(job), op, values),
        "bought.reverse" => {
            let is_out = |order| {
                job.get(order).is_some_and(|order| {
                    let state = order_state(job, order);
                    !matches!(state, OrderState::CalledOff | OrderState::TakenOver)
                })
            };
            reverse(ledger, op.op_id, op.entity_id, is_out)
        }
        "order.send" => order::send(&Basis::of(job), op, values),
        "order.short" => order::short(ledger, op, values),
        "order.cancel" => Ok(cancel(ledger, op.op_id, op.entity_id)),
        "week.afresh" => Ok(afresh::effects(job, op)),
        "change.done" => done::read(job, op, values),
        "change.undone" => {
            if job
                .get(op.entity_id)
                .is_none_or(|change| change.state != "done")
            {
                return Err(FieldProblem::new(
                    "",
                    format!("{} is not done.", job.name(op.entity_id)),
                ));
            }
            undo(ledger, op.op_id, op.entity_id, |id| job.name(id).to_owned())
        }
        "change.struck" => {
            let mut back = Vec::new();
            for (key, count) in pairs(values, "item", "back")? {
                back.push((key, count));
            }
            Ok(strike(op.op_id, op.entity_id, &back))
        }
        "stock.add" => stock::add(job, op, values),
        "stock.edit" => Ok(stock::edit(ledger, op, values)),
        "stock.count" => stock::count(&Basis::of(job), op, values),
        _ => Ok(Vec::new()),
    }
}

/// Sticks and panels are rows of their own: at most so many come by one figure.
const MOST_ROWS: i64 = 2_000;

/// Refuses a figure that is a slip of the finger.
fn few_enough(field: &str, item: &Item, count: i64) -> Result<(), FieldProblem> {
    if item.has_rows() && count > MOST_ROWS {
        return Err(FieldProblem::new(
            field,
            format!(
                "{count} at once is more than the {MOST_ROWS} that one line takes. Look at the figure; what is more goes on another line."
            ),
        ));
    }
    Ok(())
}

fn text<'a>(values: &'a Values, field: &str) -> Option<&'a str> {
    values
        .get(field)?
        .first()
        .map(|value| value.text.as_str())
        .filter(|text| !text.is_empty())
}

fn number(values: &Values, field: &str) -> Option<i64> {
    values.get(field)?.first()?.number
}

/// The weeks of a list field, in order.
fn weeks(values: &Values) -> Vec<u32> {
    weeks_of(values.get("weeks").map_or(&[], Vec::as_slice))
}

/// The texts of a list field, blanks too.
fn texts<'a>(values: &'a Values, field: &str) -> Vec<&'a str> {
    values
        .get(field)
        .map(|all| all.iter().map(|value| value.text.as_str()).collect())
        .unwrap_or_default()
}

fn item(field: &str, text: &str) -> Result<Item, FieldProblem> {
    Item::from_key(text).map_err(|error| FieldProblem::new(field, error.to_string()))
}

/// Items with counts from two lists side by side; a blank item or count is left out.
fn pairs(values: &Values, items: &str, counts: &str) -> Result<Vec<(Item, i64)>, FieldProblem> {
    let counted = texts(values, counts);
    let mut all = Vec::new();
    for (at, key) in texts(values, items).into_iter().enumerate() {
        let count = counted.get(at).copied().unwrap_or("");
        if key.is_empty() || count.is_empty() {
            continue;
        }
        let count = whole(counts, count)?;
        if count > 0 {
            let item = item(items, key)?;
            few_enough(counts, &item, count)?;
            all.push((item, count));
        }
    }
    Ok(all)
}

fn whole(field: &str, text: &str) -> Result<i64, FieldProblem> {
    crate::units::parse_count(text)
        .map(i64::from)
        .map_err(|error| FieldProblem::new(field, error.to_string()))
}

/// What the record says of an item that was counted by hand: of all of it, or of what is salvage, `yes`, or isn't, `no`.
pub fn on_record(ledger: &Ledger, item: &Item, salvage: Option<&str>) -> i64 {
    Counting::said(salvage).on_hand(ledger, item)
}
