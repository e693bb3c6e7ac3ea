//! A new beam's bearings, its way in, and green timber.
//!
//! Source: as the checks themselves say.

use super::sizes::{counting, new_piece};
use super::{Check, CheckKind};
use crate::checks::Measurement;
use crate::checks::fit::beam::{BearsOn, WayIn, bearing, shrinkage, way_in};
use crate::checks::load_path::links::posts_under;
use crate::checks::screening::wood::Moisture;
use crate::needs::{beam_bearings, beam_long, size_of};
use crate::record::{Job, Record, What};

/// Bearing at each end, the way in, and what green timber loses.
pub(super) fn checks(job: &Job, change: &Record, out: &mut Vec<Check>) {
    for (end, length) in ["start", "end"].into_iter().zip(ends(job, change)) {
        let name = format!("{}’s {end}", change.name());
        let on = bears_on(job, change, end);
        let found = bearing(&name, &length, on);
        out.push(Check::of(CheckKind::BeamBearing, change, name, found));
    }
    let piece = new_piece(job, change);
    let length = match beam_long(job, change) {
        Some((value, readings, agreed)) => Measurement {
            what: format!("length of {}", change.name()),
            value: Some(value),
            agreed,
            readings,
        },
        None => Measurement::missing(format!("length of {}", change.name())),
    };
    let found = way_in(&WayIn {
        beam: change.name().to_owned(),
        at_floor: counting(job, change, 0, What::ClearAtFloor),
        at_seat: counting(job, change, 0, What::ClearAtSeat),
        length,
        depth: piece.depth,
    });
    out.push(Check::of(CheckKind::WayIn, change, change.name(), found));
    if piece.wood.moisture == Moisture::Green
        && let Some(found) = size_of(change, "nominal").and_then(shrinkage)
    {
        out.push(Check::of(
            CheckKind::Shrinkage,
            change,
            change.name(),
            found,
        ));
    }
}

/// What an end bears on: as recorded; else wood where a post is set under it.
fn bears_on(job: &Job, beam: &Record, end: &str) -> BearsOn {
    let field = if end == "start" { "start_on" } else { "end_on" };
    match beam.text(field) {
        Some("wood" | "hanger") => BearsOn::Wood,
        Some("masonry") => BearsOn::Masonry,
        None if has_post(job, beam, end) => BearsOn::Wood,
        _ => BearsOn::NotKnown,
    }
}

/// Whether a post is set under an end. One alone is under the end that its size gives the bearing of.
fn has_post(job: &Job, beam: &Record, end: &str) -> bool {
    let of_end = usize::from(end != "start");
    match posts_under(job, beam.id).len() {
        0 => false,
        1 => {
            let field = ["bearing_start", "bearing_end"][of_end];
            beam.length(field).is_none() && beam_bearings(job, beam)[of_end].1.is_some()
        }
        _ => true,
    }
}

/// The beam's bearings at its start and end, as recorded or by the posts that are set under it.
pub(super) fn ends(job: &Job, beam: &Record) -> [Measurement; 2] {
    beam_bearings(job, beam).map(|(end, found)| {
        let what = format!("bearing of {} at {end}", beam.name());
        match found {
            Some((length, _)) => Measurement::agreed(what, length),
            None => Measurement::missing(what),
        }
    })
}
