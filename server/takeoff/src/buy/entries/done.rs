//! A change marked done: the figures of the form as they came.
//!
//! Each stick leaves; what is left of it, if a length is given, comes back as a row of its own with the other changes'
//! pieces that were on it. A stick that wasn't booked yet is used all the same: its item is missing until the receipt is
//! booked. Nothing is recomputed or clamped.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::item::Item;
use super::super::ledger::{Cause, Effect, Ledger, Movement, PieceKey, Place, StockRow};
use super::super::plan::{Plan, Planned};
use super::keep::Writer;
use super::{Values, few_enough, item, texts, whole};
use crate::cutting::panels::{OnHand, Patch, pack_panels};
use crate::record::{FieldProblem, Job, Op};
use crate::units::{Length, parse_length, parse_section};

/// What the form of a done change said.
#[derive(Clone, Debug)]
pub(crate) struct Doing {
    pub(crate) entry: Uuid,
    pub(crate) change: Uuid,
    pub(crate) sticks: Vec<Stick>,
    pub(crate) used: Vec<Used>,
    pub(crate) came: Vec<Came>,
}

/// A stick or panel that was taken, and what was left of it.
#[derive(Clone, Debug)]
pub(crate) struct Stick {
    pub(crate) taken: Taken,
    pub(crate) offcut: Option<Item>,
}

/// Which stick was taken.
#[derive(Clone, Debug)]
pub(crate) enum Taken {
    /// A row of the ledger.
    Row(Uuid),
    /// One of the plan that wasn't booked yet.
    Item(Item),
}

/// What was used of something that is counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Used {
    /// What was used.
    pub item: Item,
    /// How many.
    pub count: i64,
    /// In place of what the change called for; none where it is that.
    pub instead_of: Option<Item>,
}

impl Used {
    /// Its one text in forms and entries: the item's, or both items' where one stood in for the other.
    pub fn to_key(&self) -> String {
        match &self.instead_of {
            Some(asked) => Item::instead_key(&self.item, asked),
            None => self.item.to_key(),
        }
    }
}

/// What was used, with how many: two lists side by side.
fn used(values: &Values) -> Result<Vec<Used>, FieldProblem> {
    let counts = texts(values, "used");
    let mut all = Vec::new();
    for (at, key) in texts(values, "item").into_iter().enumerate() {
        let count = counts.get(at).copied().unwrap_or("");
        if key.is_empty() || count.is_empty() {
            continue;
        }
        let count = whole("used", count)?;
        let (item, instead_of) = Item::from_used_key(key)
            .map_err(|error| FieldProblem::new("item", error.to_string()))?;
        if count > 0 {
            all.push(Used {
                item,
                count,
                instead_of,
            });
        }
    }
    Ok(all)
}

/// Lumber that came out of the house and is kept.
#[derive(Clone, Debug)]
pub(crate) struct Came {
    pub(crate) item: Item,
    pub(crate) count: i64,
}

pub(super) fn read(job: &Job, op: &Op, values: &Values) -> Result<Vec<Effect>, FieldProblem> {
    let name = job.name(op.entity_id);
    match job.get(op.entity_id) {
        Some(change) if change.state == "done" => {
            return Err(FieldProblem::new("", format!("{name} is done already.")));
        }
        Some(_) => {}
        None => return Err(FieldProblem::new("", "This change is not in the record.")),
    }
    let units = job.settings.units;
    let length = |field: &str, text: &str| {
        let read = parse_length(text, units)
            .map_err(|error| FieldProblem::new(field, error.to_string()))?;
        if read > Length::ZERO {
            Ok(read)
        } else {
            Err(FieldProblem::new(
                field,
                "A length is more than zero. Leave it empty where nothing is left.",
            ))
        }
    };
    let offcuts = texts(values, "offcut");
    let mut sticks = Vec::new();
    for (at, key) in texts(values, "stick").into_iter().enumerate() {
        if key.is_empty() {
            continue;
        }
        let (taken, of) = if let Ok(id) = Uuid::parse_str(key) {
            let Some(row) = job.ledger.rows.get(&id) else {
                return Err(FieldProblem::new(
                    "stick",
                    format!("{key} is no stick of this job. Choose one from the list."),
                ));
            };
            match begun(&job.ledger, id, op.entity_id) {
                Some(left) => (Taken::Row(left.id), left.item.clone()),
                None => (Taken::Row(id), row.item.clone()),
            }
        } else {
            let of = item("stick", key)?;
            (Taken::Item(of.clone()), of)
        };
        let offcut = match offcuts.get(at).copied().unwrap_or("") {
            "" => None,
            text => Some(match of {
                Item::Panel { class, .. } => {
                    let rest = parse_section(text, units)
                        .map_err(|error| FieldProblem::new("offcut", error.to_string()))?;
                    Item::Panel {
                        class,
                        along: rest.depth,
                        across: rest.thickness,
                    }
                }
                Item::Stick { class, .. } => Item::Stick {
                    class,
                    length: length("offcut", text)?,
                },
                other => other,
            }),
        };
        still_holds(job, &taken, key, offcut.as_ref())?;
        sticks.push(Stick { taken, offcut });
    }
    let (lengths, counts) = (texts(values, "back_length"), texts(values, "back_count"));
    let mut came = Vec::new();
    for (at, key) in texts(values, "back").into_iter().enumerate() {
        let count = counts.get(at).copied().unwrap_or("");
        if key.is_empty() || count.is_empty() {
            continue;
        }
        let mut kept = item("back", key)?;
        let typed = lengths.get(at).copied().unwrap_or("");
        if let Item::Stick { length: long, .. } = &mut kept
            && !typed.is_empty()
        {
            *long = length("back_length", typed)?;
        }
        let count = whole("back_count", count)?;
        few_enough("back_count", &kept, count)?;
        came.push(Came { item: kept, count });
    }
    let doing = Doing {
        entry: op.op_id,
        change: op.entity_id,
        sticks,
        used: used(values)?,
        came,
    };
    Ok(done(&Basis::of(job), &doing))
}

pub(crate) fn done(basis: &Basis<'_>, doing: &Doing) -> Vec<Effect> {
    let mut out = Writer::new(doing.entry, doing.change);
    let plan = Plan::of(basis, &[]);
    let (mut rows, mut bought) = (BTreeSet::new(), BTreeSet::new());
    let mut panels = false;
    for stick in &doing.sticks {
        let taken = match &stick.taken {
            Taken::Row(id) => take_row(basis, &plan, *id, &mut rows),
            Taken::Item(_) => None,
        };
        let taken = taken.or_else(|| {
            take_planned(
                basis,
                &plan,
                doing.change,
                &stick.taken,
                &mut bought,
                &mut out,
            )
        });
        let item = match (&taken, &stick.taken) {
            (Some(row), _) => row.item.clone(),
            (None, Taken::Item(item)) => item.clone(),
            (None, Taken::Row(id)) => basis.ledger.rows[id].item.clone(),
        };
        panels |= matches!(item, Item::Panel { .. });
        let here = taken.as_ref().filter(|row| row.is_here()).map(|row| row.id);
        let used = out.movement(&item, here, -1, Cause::Used);
        out.moved(Movement {
            change: Some(doing.change),
            ..used
        });
        if let Some(offcut) = &stick.offcut {
            give_back(basis, doing.change, taken.as_ref(), offcut, &mut out);
        }
        if let Some(mut row) = taken {
            if row.weeks.is_empty() {
                row.weeks
                    .extend(basis.change(doing.change).map(|c| c.takeoff.week));
            }
            row.gone = true;
            row.taken_by = Some(doing.change);
            out.put(row);
        }
    }
    for used in &doing.used {
        let movement = out.movement(&used.item, None, -used.count, Cause::Used);
        out.moved(Movement {
            change: Some(doing.change),
            instead_of: used.instead_of.clone(),
            ..movement
        });
    }
    for came in &doing.came {
        for _ in 0..came.count {
            let mut row = out.row(came.item.clone(), false);
            row.salvage = true;
            let movement = out.movement(&came.item, Some(row.id), 1, Cause::Salvaged);
            out.put(row);
            out.moved(Movement {
                change: Some(doing.change),
                ..movement
            });
        }
    }
    // What stays on the rows is kept, so that no other piece moves. Where the change frees what others couldn't use
    // before, or used what wasn't bought, what is to buy keeps its pieces, too.
    let last = plan.sets.len().saturating_sub(1);
    if !plan.sets.is_empty() && !doing.sticks.is_empty() {
        out.keep_rows(basis, &plan, last, &rows);
    }
    if !plan.sets.is_empty()
        && (!bought.is_empty() || panels || frees_waste(basis, &plan, doing.change))
    {
        out.keep_sticks(basis, &plan, last, &bought);
    }
    out.effects
}

/// What is left of a stick that another change began meanwhile, with a piece of this change on it: a stick already begun
/// gives its offcut instead.
pub(crate) fn begun(ledger: &Ledger, id: Uuid, change: Uuid) -> Option<&StockRow> {
    ledger.rows.get(&id).filter(|row| row.taken_by.is_some())?;
    ledger.here().find(|row| {
        let mut from = row.cut_from;
        while let Some(parent) = from.filter(|parent| *parent != id) {
            from = ledger.rows.get(&parent).and_then(|row| row.cut_from);
        }
        from == Some(id) && row.pieces.iter().any(|key| key.change == change)
    })
}

/// What is said to be left of a stick that was begun meanwhile can't be longer than what there was of it.
fn still_holds(
    job: &Job,
    taken: &Taken,
    key: &str,
    offcut: Option<&Item>,
) -> Result<(), FieldProblem> {
    let (Taken::Row(id), Some(Item::Stick { length, .. })) = (taken, offcut) else {
        return Ok(());
    };
    let Some(Item::Stick { length: there, .. }) = job.ledger.rows.get(id).map(|row| &row.item)
    else {
        return Ok(());
    };
    if id.to_string() == key || length <= there {
        return Ok(());
    }
    Err(FieldProblem::new(
        "offcut",
        format!(
            "This stick was begun meanwhile: {there} of it was here. Less than that is left; measure it again."
        ),
    ))
}

/// A row that is here, with what the plan puts on it.
fn take_row(
    basis: &Basis<'_>,
    plan: &Plan,
    id: Uuid,
    rows: &mut BTreeSet<Uuid>,
) -> Option<StockRow> {
    let planned = plan.rows.get(&id)?;
    if !rows.insert(id) {
        return None;
    }
    let mut row = basis.ledger.rows[&id].clone();
    row.pieces.clone_from(&planned.pieces);
    row.places.clone_from(&planned.places);
    row.weeks.clone_from(&planned.weeks);
    Some(row)
}

/// A stick that the plan buys, with a piece of this change on it; it becomes a row of a kept list.
fn take_planned(
    basis: &Basis<'_>,
    plan: &Plan,
    change: Uuid,
    taken: &Taken,
    bought: &mut BTreeSet<(usize, usize)>,
    out: &mut Writer,
) -> Option<StockRow> {
    let wanted = |stick: &Planned| match taken {
        Taken::Row(id) => stick.listed == Some(*id),
        Taken::Item(item) => {
            stick.item == *item && stick.pieces.iter().any(|key| key.change == change)
        }
    };
    let (at, which, stick) = plan
        .sets
        .iter()
        .enumerate()
        .flat_map(|(at, set)| {
            set.to_buy
                .iter()
                .enumerate()
                .map(move |(which, stick)| (at, which, stick))
        })
        .find(|(at, which, stick)| wanted(stick) && !bought.contains(&(*at, *which)))?;
    bought.insert((at, which));
    Some(out.row_of(basis, stick, &plan.sets[at].weeks))
}

/// What was left comes back, with the other changes' pieces that were on it and fit.
fn give_back(
    basis: &Basis<'_>,
    change: Uuid,
    from: Option<&StockRow>,
    offcut: &Item,
    out: &mut Writer,
) {
    let mut row = out.row(offcut.clone(), false);
    row.given_by = Some(change);
    if let Some(from) = from {
        row.cut_from = Some(from.id);
        row.salvage = from.salvage;
        row.sound = from.sound;
        row.lies.clone_from(&from.lies);
        let others: Vec<PieceKey> = from
            .pieces
            .iter()
            .filter(|key| key.change != change)
            .cloned()
            .collect();
        (row.pieces, row.places) = fitting(basis, offcut, &others);
        if !row.pieces.is_empty() {
            row.weeks.clone_from(&from.weeks);
        }
    }
    let movement = out.movement(offcut, Some(row.id), 1, Cause::GivenBack);
    out.put(row);
    out.moved(Movement {
        change: Some(change),
        ..movement
    });
}

/// The pieces that fit on what was left: a stick's in cutting order, a panel's where they lie now.
pub(crate) fn fitting(
    basis: &Basis<'_>,
    offcut: &Item,
    keys: &[PieceKey],
) -> (Vec<PieceKey>, Vec<Place>) {
    let pieces = basis.pieces();
    let (kerf, mut fit) = (basis.settings.kerf, Vec::new());
    match offcut {
        Item::Stick { length, .. } => {
            let mut left = *length;
            for key in keys {
                if let Some(piece) = pieces.get(key).filter(|piece| piece.length <= left) {
                    left = super::super::plan::behind(left, piece.length, kerf);
                    fit.push(key.clone());
                }
            }
            (fit, Vec::new())
        }
        Item::Panel { along, across, .. } => {
            let patches: Vec<Patch<PieceKey>> = keys
                .iter()
                .filter_map(|key| {
                    let piece = pieces.get(key)?;
                    Some(Patch {
                        label: key.clone(),
                        along: piece.length,
                        across: piece.across,
                        turn: piece.need.turn,
                    })
                })
                .collect();
            let sheet = OnHand {
                id: (),
                along: *along,
                across: *across,
            };
            let packing = pack_panels(&patches, &[sheet], &[], kerf);
            packing
                .on_hand
                .into_iter()
                .next()
                .map_or((Vec::new(), Vec::new()), |cut| {
                    super::super::plan::laid(cut.placed)
                })
        }
        _ => (fit, Vec::new()),
    }
}

/// Whether a stick that lies by for waste is free once this change is done.
fn frees_waste(basis: &Basis<'_>, plan: &Plan, change: Uuid) -> bool {
    plan.rows.iter().any(|(id, planned)| {
        let class = basis.ledger.rows[id].item.class();
        planned.waste
            && !basis.changes.iter().any(|c| {
                !c.done
                    && c.takeoff.change != change
                    && planned.weeks.contains(&c.takeoff.week)
                    && c.takeoff.needs.iter().any(|need| need.class == class)
            })
    })
}
