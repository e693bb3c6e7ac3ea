//! Planning afresh: what isn't bought, ordered or cut is dissolved, so that the next plan starts from what is here.
//!
//! Sticks of kept lists go; what lies here and wasn't bought for a week loses its pieces. What was bought or ordered keeps
//! them. Source: common practice, no published source.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::item::Item;
use super::super::kept;
use super::super::ledger::{Cause, Effect, Ledger, StockRow};
use super::super::list::list_of;
use super::super::plan::Plan;
use super::keep::Writer;
use crate::record::{Job, Op};
use crate::units::Money;

/// What planning afresh would do to what is still to buy in the open weeks.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AfreshPreview {
    /// What the lists of the open weeks come to now, before tax; lines without a price are not in it.
    pub before: Money,
    /// What they would come to.
    pub after: Money,
    /// The lines that would change, by week and item.
    pub moved: Vec<MovedLine>,
}

/// A line that would change.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MovedLine {
    /// Its week.
    pub week: u32,
    /// What.
    pub item: Item,
    /// How it is sold.
    pub unit: String,
    /// Still to buy now, in the unit sold.
    pub was: i64,
    /// Still to buy then.
    pub now: i64,
}

impl AfreshPreview {
    /// What it would save; below zero where it would cost more.
    pub fn saves(&self) -> Money {
        self.before - self.after
    }
}

/// Plans afresh on a copy of the ledger, and compares the lists of all weeks that are not closed. Nothing is written.
pub fn afresh_preview(job: &Job) -> AfreshPreview {
    let basis = Basis::of(job);
    let mut ledger = basis.ledger.clone();
    ledger.apply(&afresh(&basis, Uuid::nil(), Uuid::nil()));
    let then = basis.on(&ledger);
    let mut preview = AfreshPreview {
        before: Money::ZERO,
        after: Money::ZERO,
        moved: Vec::new(),
    };
    for week in basis.weeks() {
        if job.is_closed(week) {
            continue;
        }
        let (now, then) = (list_of(&basis, &[week]), list_of(&then, &[week]));
        preview.before = preview.before + now.total;
        preview.after = preview.after + then.total;
        let mut lines: BTreeMap<(Item, String), (i64, i64)> = BTreeMap::new();
        for line in now.lines {
            lines.entry((line.item, line.unit)).or_default().0 += line.to_buy;
        }
        for line in then.lines {
            lines.entry((line.item, line.unit)).or_default().1 += line.to_buy;
        }
        let moved = lines.into_iter().filter(|(_, (was, now))| was != now);
        preview
            .moved
            .extend(moved.map(|((item, unit), (was, now))| MovedLine {
                week,
                item,
                unit,
                was,
                now,
            }));
    }
    preview
}

pub(super) fn effects(job: &Job, op: &Op) -> Vec<Effect> {
    afresh(&Basis::of(job), op.op_id, op.entity_id)
}

/// The lists that were kept are kept again, each as its next revision.
pub(crate) fn afresh(basis: &Basis<'_>, entry: Uuid, about: Uuid) -> Vec<Effect> {
    let mut out = Writer::new(entry, about);
    for row in loosened(basis.ledger) {
        out.put(row);
    }
    let mut ledger = basis.ledger.clone();
    ledger.apply(&out.effects);
    let basis = basis.on(&ledger);
    let plan = Plan::of(&basis, &[]);
    let kept: BTreeSet<&Vec<u32>> = ledger.kept.iter().map(|list| &list.weeks).collect();
    let last = plan.sets.iter().rposition(|set| {
        kept.iter()
            .any(|weeks| set.weeks.iter().all(|week| weeks.contains(week)))
    });
    if let Some(last) = last {
        out.keep_rows(&basis, &plan, last, &BTreeSet::new());
        out.keep_lists(&basis, &plan, last, &BTreeSet::new());
    }
    for weeks in kept {
        let kept_anew = kept::list_to_keep(&basis, weeks, entry);
        out.effects.extend(kept_anew.map(Effect::Keep));
    }
    out.effects
}

/// Rows with what is loose taken off them: what planning afresh dissolves.
fn loosened(ledger: &Ledger) -> Vec<StockRow> {
    let bought = |row: &StockRow| {
        ledger
            .movements
            .iter()
            .any(|m| m.row == Some(row.id) && m.cause == Cause::Bought)
    };
    ledger
        .rows
        .values()
        .filter_map(|row| {
            if row.listed && !row.gone {
                return Some(StockRow {
                    gone: true,
                    ..row.clone()
                });
            }
            let free = row.is_here() && !row.pieces.is_empty() && !bought(row);
            free.then(|| StockRow {
                pieces: Vec::new(),
                places: Vec::new(),
                weeks: Vec::new(),
                ..row.clone()
            })
        })
        .collect()
}
