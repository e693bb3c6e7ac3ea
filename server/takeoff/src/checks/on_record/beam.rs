//! A new beam's bearings, its way in, and green timber.
//!
//! A way in counts by its least reading, the beam's depth by its greatest.
//! Source: as the checks themselves say.

use super::sizes::{greatest, least, new_piece};
use super::{Check, CheckKind};
use crate::checks::fit::beam::{BearsOn, WayIn, bearing, shrinkage, way_in};
use crate::checks::load_path::members::{bearings_of, bears_on, long_of};
use crate::checks::screening::member::On;
use crate::checks::screening::wood::Moisture;
use crate::needs::size_of;
use crate::record::{Job, Record, What};

/// Bearing at each end, the way in, and what green timber loses.
pub(super) fn checks(job: &Job, change: &Record, out: &mut Vec<Check>) {
    for (end, length) in ["start", "end"].into_iter().zip(bearings_of(job, change)) {
        let name = format!("{}’s {end}", change.name());
        let on = match bears_on(job, change, end) {
            On::Wood(_) | On::Hanger => BearsOn::Wood,
            On::Masonry => BearsOn::Masonry,
            On::NotKnown => BearsOn::NotKnown,
        };
        let found = bearing(&name, &length, on);
        out.push(Check::of(CheckKind::BeamBearing, change, name, found));
    }
    let piece = new_piece(job, change);
    let read = greatest(job, change, 0, What::NewDepth);
    let depth = if read.value.is_some() {
        read
    } else {
        piece.depth
    };
    let found = way_in(&WayIn {
        beam: change.name().to_owned(),
        at_floor: least(job, change, 0, What::ClearAtFloor),
        at_seat: least(job, change, 0, What::ClearAtSeat),
        length: long_of(job, change),
        depth,
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
