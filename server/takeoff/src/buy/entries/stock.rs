//! On hand by hand: what is added, corrected and counted.

use std::cmp::Reverse;

use uuid::Uuid;

use super::super::basis::Basis;
use super::super::item::Item;
use super::super::ledger::{Cause, Effect, Ledger, Movement, StockRow};
use super::super::plan::Plan;
use super::keep::Writer;
use super::{Values, few_enough, item, number, text};
use crate::needs::{FastenerClass, PanelClass, StickClass, Treatment};
use crate::record::{FieldProblem, Job, Op};
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::{Length, Nominal, Section};

/// Adds what is here: salvage as salvaged, the rest as counted. A stick's own thickness and depth count, else PS 20.
pub(super) fn add(job: &Job, op: &Op, values: &Values) -> Result<Vec<Effect>, FieldProblem> {
    let salvage = text(values, "salvage") == Some("yes");
    let item = added(job, values, salvage)?;
    let count = number(values, "count").unwrap_or(0);
    few_enough("count", &item, count)?;
    let cause = if salvage {
        Cause::Salvaged
    } else {
        Cause::Counted
    };
    let mut out = Writer::new(op.op_id, op.entity_id);
    if !item.has_rows() {
        let movement = out.movement(&item, None, count, cause);
        out.moved(movement);
        return Ok(out.effects);
    }
    let gap = job.ledger.missing(&item).min(count);
    if gap > 0 {
        let movement = out.movement(&item, None, gap, cause);
        out.moved(movement);
    }
    for _ in gap..count {
        let whole = !salvage && job_sells(job, &item);
        let mut row = out.row(item.clone(), whole);
        row.salvage = salvage;
        row.sound = !salvage || text(values, "sound") == Some("yes");
        text(values, "lies").unwrap_or("").clone_into(&mut row.lies);
        let movement = out.movement(&item, Some(row.id), 1, cause);
        out.put(row);
        out.moved(movement);
    }
    Ok(out.effects)
}

/// Whether it is of a size that is sold, so uncut.
fn job_sells(job: &Job, item: &Item) -> bool {
    match item {
        Item::Stick { length, .. } => length.up_to(Length::feet(1)) == *length,
        _ => super::super::prices::PriceBook::of(job)
            .offer_for(item)
            .is_some(),
    }
}

/// Says of what was added by hand whether it is salvage, sound, and where it lies.
pub(super) fn edit(ledger: &Ledger, op: &Op, values: &Values) -> Vec<Effect> {
    let mut out = Writer::new(op.op_id, op.entity_id);
    let rows = ledger
        .movements
        .iter()
        .filter(|m| m.about == op.entity_id && m.count > 0)
        .filter_map(|m| ledger.rows.get(&m.row?));
    for row in rows {
        let mut new = row.clone();
        if values.contains_key("salvage") {
            new.salvage = text(values, "salvage") == Some("yes");
        }
        if values.contains_key("salvage") || values.contains_key("sound") {
            let said = text(values, "sound").map_or(row.salvage && row.sound, |word| word == "yes");
            new.sound = !new.salvage || said;
        }
        if values.contains_key("lies") {
            text(values, "lies").unwrap_or("").clone_into(&mut new.lies);
        }
        if new != *row {
            out.put(new);
        }
    }
    out.effects
}

pub(super) fn count(
    basis: &Basis<'_>,
    op: &Op,
    values: &Values,
) -> Result<Vec<Effect>, FieldProblem> {
    let item = item("item", text(values, "item").unwrap_or(""))?;
    let counted = number(values, "counted").unwrap_or(0);
    let of = Counting::said(text(values, "salvage"));
    let saw = number(values, "saw").unwrap_or_else(|| of.on_hand(basis.ledger, &item));
    few_enough("counted", &item, counted)?;
    Ok(counted_by_hand(
        basis,
        (op.op_id, op.entity_id),
        &item,
        of,
        counted - saw,
    ))
}

/// Which of the like sticks or panels were counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Counting {
    /// All of them.
    All,
    /// Those that aren't salvage.
    Bought,
    /// Salvage alone.
    Salvage,
}

impl Counting {
    /// As the entry's field says it.
    pub(in crate::buy) fn said(salvage: Option<&str>) -> Self {
        match salvage {
            Some("yes") => Self::Salvage,
            Some("") | None => Self::All,
            Some(_) => Self::Bought,
        }
    }

    fn includes(self, row: &StockRow) -> bool {
        match self {
            Self::All => true,
            Self::Bought => !row.salvage,
            Self::Salvage => row.salvage,
        }
    }

    /// What the record says of those; what is missing is missing of what isn't salvage.
    pub(in crate::buy) fn on_hand(self, ledger: &Ledger, item: &Item) -> i64 {
        let like = ledger.here().filter(|row| row.item == *item && row.salvage);
        let salvage = i64::try_from(like.count()).unwrap_or(i64::MAX);
        match self {
            Self::All => ledger.on_hand(item),
            Self::Bought => ledger.on_hand(item) - salvage,
            Self::Salvage => salvage,
        }
    }

    /// Whether what is found beyond the record is salvage: where that was counted, or nothing else is here.
    fn finds_salvage(self, ledger: &Ledger, item: &Item) -> bool {
        match self {
            Self::All => {
                let mut like = ledger.here().filter(|row| row.item == *item).peekable();
                like.peek().is_some() && like.all(|row| row.salvage)
            }
            Self::Bought => false,
            Self::Salvage => true,
        }
    }
}

/// A count by hand, by its difference to the figure that it saw: what is more comes (what is missing first; salvage is
/// sound where all of its like is), what is less goes: free rows first, of like ones the newest.
pub(crate) fn counted_by_hand(
    basis: &Basis<'_>,
    (entry, about): (Uuid, Uuid),
    item: &Item,
    of: Counting,
    difference: i64,
) -> Vec<Effect> {
    let ledger = basis.ledger;
    let mut out = Writer::new(entry, about);
    if !item.has_rows() {
        if difference > 0 {
            let movement = out.movement(item, None, difference, Cause::Counted);
            out.moved(movement);
        }
        for (instead_of, count) in ledger.leaving(item, None, -difference) {
            let movement = out.movement(item, None, -count, Cause::Counted);
            out.moved(Movement {
                instead_of,
                ..movement
            });
        }
        return out.effects;
    }
    if difference > 0 {
        let salvage = of.finds_salvage(ledger, item);
        let like: Vec<&StockRow> = ledger
            .here()
            .filter(|row| row.item == *item && row.salvage)
            .collect();
        let sound = !salvage || (!like.is_empty() && like.iter().all(|row| row.sound));
        let missing = if of == Counting::Salvage {
            0
        } else {
            ledger.missing(item)
        };
        let gap = missing.min(difference);
        if gap > 0 {
            let movement = out.movement(item, None, gap, Cause::Counted);
            out.moved(movement);
        }
        for _ in gap..difference {
            let row = StockRow {
                salvage,
                sound,
                ..out.row(item.clone(), false)
            };
            let movement = out.movement(item, Some(row.id), 1, Cause::Counted);
            out.put(row);
            out.moved(movement);
        }
        return out.effects;
    }
    let mut rows: Vec<&StockRow> = ledger
        .here()
        .filter(|row| row.item == *item && of.includes(row))
        .collect();
    let plan = Plan::of(basis, &[]);
    let age = |row: &StockRow| ledger.movements.iter().rposition(|m| m.row == Some(row.id));
    rows.sort_by_key(|row| (plan.keeps(row), Reverse(age(row)), row.id));
    let mut rows = rows.into_iter();
    for _ in 0..-difference {
        let row = rows.next();
        let movement = out.movement(item, row.map(|row| row.id), -1, Cause::Counted);
        out.moved(movement);
        if let Some(row) = row {
            out.put(StockRow {
                gone: true,
                ..row.clone()
            });
        }
    }
    out.effects
}

fn added(job: &Job, values: &Values, salvage: bool) -> Result<Item, FieldProblem> {
    let must = |field: &'static str, of: &str| {
        text(values, field)
            .ok_or_else(|| FieldProblem::new(field, format!("{of} is empty. Write it.")))
    };
    let length = |field: &'static str, of: &str| {
        number(values, field)
            .map(Length::from_64ths)
            .ok_or_else(|| FieldProblem::new(field, format!("{of} is empty. Write it like 8'.")))
    };
    match text(values, "section").unwrap_or("") {
        "stick" => {
            let nominal = Nominal::parse(must("nominal", "Nominal size")?)
                .map_err(|error| FieldProblem::new("nominal", error.to_string()))?;
            let table = dressed(nominal, default_seasoning(nominal));
            let side = |field: &'static str, of: Option<Length>| {
                number(values, field)
                    .map(Length::from_64ths)
                    .or(of)
                    .ok_or_else(|| {
                        FieldProblem::new(
                            field,
                            format!("PS 20 has no size for {nominal}. Write its {field}."),
                        )
                    })
            };
            let usual = |field: &str, of: Option<&String>| {
                text(values, field)
                    .map(str::to_owned)
                    .or_else(|| of.filter(|_| !salvage).cloned())
                    .unwrap_or_default()
            };
            Ok(Item::Stick {
                class: StickClass {
                    nominal,
                    dressed: Section {
                        thickness: side("thickness", table.map(|size| size.thickness))?,
                        depth: side("depth", table.map(|size| size.depth))?,
                    },
                    species: usual("species", job.settings.species.as_ref()),
                    grade: usual("grade", job.settings.grade.as_ref()),
                    treatment: if text(values, "treatment") == Some("treated") {
                        Treatment::Treated
                    } else {
                        Treatment::None
                    },
                },
                length: length("length", "Length")?,
            })
        }
        "panel" => Ok(Item::sheet(PanelClass {
            panel: must("panel", "Panel")?.to_owned(),
            thickness: length("thickness", "Thickness")?,
            along: length("along", "Panel, along its strength axis")?,
            across: length("across", "Panel, across it")?,
        })),
        "fastener" => {
            let usual = job.record().and_then(|record| record.text("coating"));
            Ok(Item::Fastener {
                class: FastenerClass::new(
                    must("fastener", "Fastener")?,
                    text(values, "coating").or(usual).unwrap_or(""),
                ),
            })
        }
        "hardware" => values
            .get("hardware")
            .and_then(|all| all.first()?.to)
            .map(|row| Item::Hardware { row })
            .ok_or_else(|| {
                FieldProblem::new(
                    "hardware",
                    "Row of the hardware table is empty. Choose one.",
                )
            }),
        _ => Ok(Item::Sundry {
            name: must("name", "Name")?.to_owned(),
            unit: text(values, "unit").unwrap_or("each").to_owned(),
        }),
    }
}
