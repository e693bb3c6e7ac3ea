//! Ceiling heights that count on a side of a wall or in a room, and how long a wall is.
//!
//! Which of several heights a rule goes by (the least, the greatest) is the rule's matter.

use uuid::Uuid;

use super::inputs::{Read, must_read, read};
use super::{Fill, Takeoff};
use crate::record::{Job, Record, Spot, What};

/// A ceiling height that counts, and where it was read.
#[derive(Clone, Debug)]
pub(crate) struct Height {
    /// Where.
    pub(crate) spot: Spot,
    /// What counts there.
    pub(crate) read: Read,
}

impl Height {
    /// Where it was read, in words: `Wall D: Ceiling height, side a, middle`.
    pub(crate) fn place(&self, job: &Job) -> String {
        format!("{}: {}", job.name(self.spot.of), self.spot)
    }
}

/// All ceiling heights that count on a side of a wall: the wall's own of that side or of none, then those of the side's
/// room.
pub(crate) fn heights_at(job: &Job, wall: &Record, side: &str) -> Vec<Height> {
    let mut all = heights_of(job, wall.id);
    all.retain(|height| height.spot.side.is_empty() || height.spot.side == side);
    if let Some(room) = room_at(wall, side) {
        all.extend(heights_of(job, room));
    }
    all
}

/// All ceiling heights that count of a room or a wall, in the order of their places.
pub(crate) fn heights_of(job: &Job, of: Uuid) -> Vec<Height> {
    job.measured_of(of)
        .filter(|(spot, _)| spot.what == What::CeilingHeight)
        .filter_map(|(spot, _)| {
            Some(Height {
                spot: spot.clone(),
                read: read(job, spot)?,
            })
        })
        .collect()
}

/// The room on a side of a wall.
pub(crate) fn room_at(wall: &Record, side: &str) -> Option<Uuid> {
    wall.to(if side == "b" { "room_b" } else { "room_a" })
}

/// A side of a wall in words: `Dining room side`, else `first side`, `other side`.
pub(crate) fn side_words(job: &Job, wall: &Record, side: &str) -> String {
    match room_at(wall, side).and_then(|room| job.get(room)) {
        Some(room) => format!("{} side", room.name()),
        None if side == "b" => "other side".to_owned(),
        None => "first side".to_owned(),
    }
}

/// The wall that a change is about; where it was taken out of the record, says so.
pub(crate) fn must_have_wall<'a>(
    job: &'a Job,
    change: &Record,
    out: &mut Takeoff,
) -> Option<&'a Record> {
    let wall = change.to("wall").and_then(|id| job.get(id));
    if wall.is_none() {
        let fill = Fill::Field {
            of: change.id,
            field: "wall",
        };
        super::inputs::miss(out, "the wall", change.name(), fill);
    }
    wall
}

/// How long a wall is; where it wasn't read, says so.
pub(crate) fn must_have_length(
    job: &Job,
    wall: &Record,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Read> {
    let text = format!("the length of {}", wall.name());
    must_read(job, Spot::of(wall.id, What::Length), &text, waits, out)
}
