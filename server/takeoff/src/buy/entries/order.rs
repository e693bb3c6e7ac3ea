//! A yard order sent, short or cancelled: what the ledger then counts as on its way.
//!
//! Sticks and panels that are ordered are rows with the pieces of the list that they were ordered from; the plan cuts from
//! them as if they were here. A revision takes over what the order that it revises still brings. Source: common practice,
//! no published source.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::item::Item;
use super::super::ledger::{Effect, Ledger};
use super::super::order_line::OrderLine;
use super::super::plan::Plan;
use super::book::{is_whole, ordered_rows, weeks_of};
use super::keep::Writer;
use super::{Values, pairs, texts, weeks};
use crate::record::{FieldProblem, Op};

/// A line of an order, in pieces.
#[derive(Clone, Debug)]
pub(crate) struct Wanted {
    pub(crate) item: Item,
    pub(crate) pieces: i64,
}

pub(super) fn send(
    basis: &Basis<'_>,
    op: &Op,
    values: &Values,
) -> Result<Vec<Effect>, FieldProblem> {
    let mut lines = Vec::new();
    for text in texts(values, "line") {
        let line = OrderLine::from_text(text)
            .map_err(|error| FieldProblem::new("line", error.to_string()))?;
        super::few_enough("line", &line.item, line.pieces())?;
        lines.push(Wanted {
            pieces: line.pieces(),
            item: line.item,
        });
    }
    if lines.iter().all(|line| line.pieces == 0) {
        return Err(FieldProblem::new(
            "line",
            "Nothing is on the order. Write how many of at least one line.",
        ));
    }
    let revises = values.get("revises").and_then(|all| all.first()?.to);
    Ok(order(
        basis,
        op.op_id,
        op.entity_id,
        &weeks(values),
        revises,
        &lines,
    ))
}

pub(crate) fn order(
    basis: &Basis<'_>,
    entry: Uuid,
    order: Uuid,
    weeks: &[u32],
    revises: Option<Uuid>,
    lines: &[Wanted],
) -> Vec<Effect> {
    let mut out = Writer::new(entry, order);
    let mut ledger = basis.ledger.clone();
    if let Some(old) = revises {
        release_all(&ledger, old, &mut out);
        ledger.apply(&out.effects);
    }
    let basis = basis.on(&ledger);
    let plan = Plan::of(&basis, weeks);
    let at = plan.sets.iter().position(|set| set.weeks == *weeks);
    let mut taken = BTreeSet::new();
    for line in lines {
        if !line.item.has_rows() {
            if line.pieces > 0 {
                out.order(order, &line.item, None, line.pieces, weeks);
            }
            continue;
        }
        let mut planned = at
            .and_then(|at| Some((at, plan.sets.get(at)?)))
            .into_iter()
            .flat_map(|(at, set)| {
                set.to_buy
                    .iter()
                    .enumerate()
                    .map(move |(which, stick)| ((at, which), stick))
            })
            .filter(|(_, stick)| stick.item == line.item);
        for _ in 0..line.pieces {
            let mut row = match planned.next() {
                Some((which, stick)) => {
                    taken.insert(which);
                    out.row_of(&basis, stick, weeks)
                }
                None => out.row(line.item.clone(), is_whole(&line.item)),
            };
            row.listed = false;
            row.from = entry;
            row.ordered = Some(order);
            out.order(order, &line.item, Some(row.id), 1, weeks);
            out.put(row);
        }
    }
    if let Some(at) = at {
        out.keep_rows(&basis, &plan, at, &BTreeSet::new());
        out.keep_lists(&basis, &plan, at, &taken);
    }
    out.effects
}

/// So many of these are not coming: they are back on the list.
pub(super) fn short(
    ledger: &Ledger,
    op: &Op,
    values: &Values,
) -> Result<Vec<Effect>, FieldProblem> {
    let mut out = Writer::new(op.op_id, op.entity_id);
    for (item, count) in pairs(values, "item", "back")? {
        let brings = ledger.ordered_by(op.entity_id, &item);
        if count > brings {
            return Err(FieldProblem::new(
                "back",
                format!("The order still brings {brings} of {item}, not {count}."),
            ));
        }
        release(ledger, op.entity_id, &item, count, &mut out);
    }
    Ok(out.effects)
}

/// Nothing of it comes any more.
pub(crate) fn cancel(ledger: &Ledger, entry: Uuid, order: Uuid) -> Vec<Effect> {
    let mut out = Writer::new(entry, order);
    release_all(ledger, order, &mut out);
    out.effects
}

/// The ledger as it would be if nothing of an order came any more.
pub(crate) fn released(ledger: &Ledger, order: Uuid) -> Ledger {
    let mut out = ledger.clone();
    out.apply(&cancel(ledger, Uuid::nil(), order));
    out
}

fn release_all(ledger: &Ledger, order: Uuid, out: &mut Writer) {
    let mut items: Vec<&Item> = ledger
        .orders
        .iter()
        .filter(|line| line.order == order)
        .map(|line| &line.item)
        .collect();
    items.sort();
    items.dedup();
    for item in items {
        let brings = ledger.ordered_by(order, item);
        release(ledger, order, item, brings, out);
    }
}

/// Sticks without pieces first, then those for waste; the pieces of the rest are back on the list.
fn release(ledger: &Ledger, order: Uuid, item: &Item, count: i64, out: &mut Writer) {
    if !item.has_rows() {
        if count > 0 {
            out.order(order, item, None, -count, &weeks_of(ledger, order, item));
        }
        return;
    }
    let mut rows = ordered_rows(ledger, Some(order), item);
    rows.reverse();
    rows.extend(
        ledger
            .rows
            .values()
            .filter(|row| row.gone && row.ordered == Some(order) && row.item == *item),
    );
    for row in rows.into_iter().take(usize::try_from(count).unwrap_or(0)) {
        out.not_coming(order, row);
    }
}
