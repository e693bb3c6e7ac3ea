//! New pieces that meet old ones: sisters, plates, studs, panels.
//!
//! Source: common practice, no published source.

use uuid::Uuid;

use super::sizes::{least, new_piece};
use super::{Check, CheckKind};
use crate::buy::Item;
use crate::checks::Measurement;
use crate::checks::fit::TOUCHING;
use crate::checks::fit::old_and_new::{Meeting, Side, old_and_new};
use crate::record::{Job, Kind, Record, What};
use crate::units::Length;

/// A change's new piece against what it meets.
pub(super) fn checks(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let Some((old, sides)) = sides(job, change) else {
        return;
    };
    let meeting = Meeting {
        what: format!("{} and {old}", change.name()),
        salvaged: salvaged(job, &sides),
        sides,
    };
    let found = old_and_new(&meeting);
    out.push(Check::of(
        CheckKind::OldAndNew,
        change,
        change.name(),
        found,
    ));
}

/// A side in which a new piece is smaller than the old one that it meets, by more than touches.
pub(crate) struct Short {
    /// By how much.
    pub(crate) by: Length,
    /// The new piece's.
    pub(crate) new: Length,
    /// The old one's.
    pub(crate) old: Length,
    /// What was read of the old one, in words.
    pub(crate) old_what: String,
    /// Whether what was read is agreed.
    pub(crate) agreed: bool,
    /// The readings.
    pub(crate) readings: Vec<Uuid>,
}

/// The side of that name (`thickness`, `depth`), where the new piece is short in it.
pub(crate) fn short_side(job: &Job, change: &Record, name: &str) -> Option<Short> {
    let (_, sides) = sides(job, change)?;
    let Side { new, old, .. } = sides.into_iter().find(|side| side.name == name)?;
    let (of_new, of_old) = (new.value?, old.value?);
    let by = of_old - of_new;
    let mut readings = [new.readings, old.readings].concat();
    readings.sort_unstable();
    readings.dedup();
    (by > TOUCHING).then_some(Short {
        by,
        new: of_new,
        old: of_old,
        old_what: old.what,
        agreed: new.agreed && old.agreed,
        readings,
    })
}

/// What it meets, in words, and the sides that must match; nothing where it meets nothing old.
fn sides(job: &Job, change: &Record) -> Option<(String, Vec<Side>)> {
    match change.kind {
        Kind::Sister => {
            let old = change.to("member").and_then(|id| job.get(id))?;
            let number = change.number("number").and_then(|n| u32::try_from(n).ok());
            let number = number.unwrap_or(0);
            let name = match number {
                0 => old.name().to_owned(),
                n => format!("number {n} of {}", old.name()),
            };
            let of = |what| least(job, old, number, what);
            Some((
                name,
                lumber(job, change, of(What::Thickness), of(What::Depth)),
            ))
        }
        Kind::Plate => of_wall(job, change, What::PlateThickness, What::PlateDepth),
        Kind::Studs => of_wall(job, change, What::StudThickness, What::StudDepth),
        Kind::PatchFloor => panel(job, change, What::FloorThickness, "the old floor"),
        Kind::Board => panel(job, change, What::OldThickness, "the old board"),
        _ => None,
    }
}

fn of_wall(
    job: &Job,
    change: &Record,
    thickness: What,
    depth: What,
) -> Option<(String, Vec<Side>)> {
    let wall = change.to("wall").and_then(|id| job.get(id))?;
    let of = |what| least(job, wall, 0, what);
    let sides = lumber(job, change, of(thickness), of(depth));
    Some((format!("what stands in {}", wall.name()), sides))
}

fn lumber(job: &Job, change: &Record, thickness: Measurement, depth: Measurement) -> Vec<Side> {
    let new = new_piece(job, change);
    vec![
        Side {
            name: "thickness",
            new: new.thickness,
            old: thickness,
        },
        Side {
            name: "depth",
            new: new.depth,
            old: depth,
        },
    ]
}

fn panel(job: &Job, change: &Record, old: What, words: &str) -> Option<(String, Vec<Side>)> {
    let price = change.to("panel").and_then(|id| job.get(id))?;
    let what = format!("thickness of {}", price.name());
    let new = match price.length("thickness") {
        Some(length) => Measurement::agreed(what, length),
        None => Measurement::missing(what),
    };
    let side = Side {
        name: "thickness",
        new,
        old: least(job, change, 0, old),
    };
    Some((words.to_owned(), vec![side]))
}

/// A salvaged stick on hand that is alike in both sides, in words.
fn salvaged(job: &Job, sides: &[Side]) -> Option<String> {
    let [thickness, depth] = sides else {
        return None;
    };
    let (thickness, depth) = (thickness.old.value?, depth.old.value?);
    let alike = |one: Length, old: Length| (one - old).abs() <= TOUCHING;
    let rows = job.ledger.rows.values();
    rows.filter(|row| row.is_here() && row.salvage && row.sound)
        .find_map(|row| match &row.item {
            Item::Stick { class, length }
                if alike(class.dressed.thickness, thickness)
                    && alike(class.dressed.depth, depth) =>
            {
                Some(format!(
                    "a salvaged {}, {}",
                    class.dressed,
                    length.feet_inches()
                ))
            }
            _ => None,
        })
}
