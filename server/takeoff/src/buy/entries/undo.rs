//! A done change undone, and temporary work struck.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::item::Item;
use super::super::ledger::{Cause, Effect, Ledger, Movement, StockRow};
use super::keep::Writer;
use crate::record::FieldProblem;

/// Reverses what a done change moved: its sticks come back with their pieces, its offcuts and what came out of it go.
///
/// # Errors
/// Another change has used such an offcut since; it is undone first.
pub(crate) fn undo(
    ledger: &Ledger,
    entry: Uuid,
    change: Uuid,
    name: impl Fn(Uuid) -> String,
) -> Result<Vec<Effect>, FieldProblem> {
    let mut out = Writer::new(entry, change);
    let moved: Vec<&Movement> = ledger
        .movements
        .iter()
        .filter(|m| m.about == change && m.reverses.is_none() && !ledger.is_reversed(m.entry))
        .collect();
    let given: Vec<&StockRow> = moved
        .iter()
        .filter(|m| m.count > 0)
        .filter_map(|m| ledger.rows.get(&m.row?))
        .collect();
    for row in &given {
        if let Some(other) = row.taken_by {
            return Err(FieldProblem::new(
                "",
                format!(
                    "{} of it was used since by {}. Undo that one first.",
                    row.item,
                    name(other)
                ),
            ));
        }
    }
    let mut unbooked: BTreeSet<Uuid> = ledger
        .rows
        .values()
        .filter(|row| row.gone && row.taken_by == Some(change))
        .filter(|row| row.listed || row.ordered.is_some())
        .map(|row| row.id)
        .collect();
    let mut still: BTreeMap<&Item, i64> = BTreeMap::new();
    for movement in moved {
        let reversal = |row| Movement {
            row,
            count: -movement.count,
            cause: Cause::Reversed,
            entry,
            reverses: Some(movement.entry),
            ..movement.clone()
        };
        let row = movement.row.and_then(|id| ledger.rows.get(&id));
        match row {
            Some(row) if movement.count > 0 => {
                // Counted away since: it is gone already.
                if row.is_here() {
                    out.put(StockRow {
                        gone: true,
                        ..row.clone()
                    });
                    out.moved(reversal(Some(row.id)));
                }
            }
            // Its booking was taken back meanwhile, and no other came for it: it goes back to the list.
            Some(row)
                if was_taken_back(ledger, row)
                    && is_missing(&mut still, ledger, &movement.item) =>
            {
                out.put(super::book::left(&back(row, &given, ledger, change)));
                out.moved(reversal(None));
            }
            Some(row) => {
                out.put(back(row, &given, ledger, change));
                out.moved(reversal(Some(row.id)));
            }
            None if movement.item.has_rows() => {
                let mine = unbooked
                    .iter()
                    .copied()
                    .find(|id| ledger.rows[id].item == movement.item);
                // Booked meanwhile: then the stick is here; else it goes back to the list.
                let is_booked = !is_missing(&mut still, ledger, &movement.item);
                let row = if let Some(id) = mine {
                    unbooked.remove(&id);
                    let mut row = back(&ledger.rows[&id], &given, ledger, change);
                    if row.ordered.is_some() && is_booked {
                        // A receipt that named no order brought one: that one is here, the order's still comes.
                        out.put(row);
                        Some(out.row(movement.item.clone(), true))
                    } else {
                        row.listed = row.ordered.is_none() && !is_booked;
                        Some(row)
                    }
                } else {
                    is_booked.then(|| out.row(movement.item.clone(), true))
                };
                out.moved(reversal(
                    row.as_ref().filter(|_| is_booked).map(|row| row.id),
                ));
                if let Some(row) = row {
                    out.put(row);
                }
            }
            None => out.moved(reversal(None)),
        }
    }
    Ok(out.effects)
}

/// Whether the line that brought a row was taken back.
fn was_taken_back(ledger: &Ledger, row: &StockRow) -> bool {
    let mut movements = ledger.movements.iter().rev();
    let brought = movements.find(|m| m.row == Some(row.id) && m.cause == Cause::Bought);
    brought.is_some_and(|m| ledger.is_reversed(m.entry))
}

/// Whether one more of an item is missing than was seen, which is counted as seen then.
fn is_missing<'a>(seen: &mut BTreeMap<&'a Item, i64>, ledger: &Ledger, item: &'a Item) -> bool {
    let seen = seen.entry(item).or_default();
    let is_missing = ledger.missing(item) > *seen;
    *seen += i64::from(is_missing);
    is_missing
}

/// A taken row as it was, with what its offcut got since.
fn back(row: &StockRow, given: &[&StockRow], ledger: &Ledger, change: Uuid) -> StockRow {
    let mut row = StockRow {
        gone: false,
        taken_by: None,
        ..row.clone()
    };
    if let Item::Stick { .. } = row.item {
        for offcut in given
            .iter()
            .filter(|o| o.is_here() && o.item.class() == row.item.class())
        {
            let shares = offcut.pieces.iter().any(|key| row.pieces.contains(key));
            if shares && ledger.rows[&offcut.id].given_by == Some(change) {
                let more: Vec<_> = offcut
                    .pieces
                    .iter()
                    .filter(|key| !row.pieces.contains(*key))
                    .cloned()
                    .collect();
                row.pieces.extend(more);
            }
        }
    }
    row
}

/// Temporary pieces come back as they stand.
pub(crate) fn strike(entry: Uuid, change: Uuid, pieces: &[(Item, i64)]) -> Vec<Effect> {
    let mut out = Writer::new(entry, change);
    for (item, count) in pieces {
        if !item.has_rows() {
            let movement = out.movement(item, None, *count, Cause::GivenBack);
            out.moved(Movement {
                change: Some(change),
                ..movement
            });
            continue;
        }
        for _ in 0..*count {
            let mut row = out.row(item.clone(), false);
            row.given_by = Some(change);
            let movement = out.movement(item, Some(row.id), 1, Cause::GivenBack);
            out.put(row);
            out.moved(Movement {
                change: Some(change),
                ..movement
            });
        }
    }
    out.effects
}
