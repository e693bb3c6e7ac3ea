//! Ceiling heights beside a shore: points 1 to 3 of each side that it stands on, before, under load and after striking.
//!
//! A point of the wall that was read without a side counts for both. Heights elsewhere along the wall are judged once they
//! were read again, and not asked for. Where the newest reading disagrees with the one that counts, the one that moved
//! further is gone by. Source: common practice, no published source.

use uuid::Uuid;

use super::{Check, CheckKind, screens};
use crate::checks::fit::heights::{MOVED, Point, after_striking, under_load};
use crate::checks::load_path::links::beam_in_line;
use crate::checks::{Finding, Measurement};
use crate::record::choices::PLACES;
use crate::record::{Job, Measured, Record, Spot, What};
use crate::units::Length;

/// A point beside a shore: where it is read, and both its heights.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct HeightAt {
    /// Where the height to go by is read: of the wall.
    pub(crate) before: Spot,
    /// Where the height now is read: of the shore.
    pub(crate) now: Spot,
    /// Both heights.
    pub(crate) point: Point,
}

impl HeightAt {
    /// The first of its readings that lacks.
    pub(crate) fn lacks(&self) -> Option<&Spot> {
        if self.point.before.value.is_none() {
            return Some(&self.before);
        }
        self.point.now.value.is_none().then_some(&self.now)
    }

    /// Whether it went up or down by more than under load it may.
    pub(crate) fn moved_under_load(&self) -> bool {
        let (before, now) = (self.point.before.value, self.point.now.value);
        before
            .zip(now)
            .is_some_and(|(before, now)| (now - before).abs() > MOVED)
    }
}

/// Heights under load from the moment that the shore is begun, after striking from the moment that it is struck or that one
/// is read.
pub(super) fn checks(job: &Job, shore: &Record, out: &mut Vec<Check>) {
    let is_read = |what| job.measured_of(shore.id).any(|(spot, _)| spot.what == what);
    let kind = CheckKind::CeilingHeights;
    let struck = shore.says("struck", "yes");
    let is_up = matches!(shore.state.as_str(), "under_way" | "done") && !struck;
    if is_read(What::UnderLoad) || is_up {
        let found = of_shore_under_load(job, shore);
        out.push(Check::of(kind, shore, "Under load", found));
    }
    if is_read(What::AfterStriking) || struck {
        let found = of_shore_after_striking(job, shore);
        out.push(Check::of(kind, shore, "After striking", found));
    }
}

/// Heights under load against before, at every point beside a shore.
pub(crate) fn of_shore_under_load(job: &Job, shore: &Record) -> Finding {
    under_load(&of_points(points(job, shore, What::UnderLoad)))
}

/// Heights after striking against before. In a line without a beam nothing sags.
pub(crate) fn of_shore_after_striking(job: &Job, shore: &Record) -> Finding {
    let points = of_points(points(job, shore, What::AfterStriking));
    let sag = shore.to("wall").and_then(|wall| sag(job, wall));
    after_striking(&points, sag)
}

fn of_points(points: Vec<HeightAt>) -> Vec<Point> {
    points.into_iter().map(|one| one.point).collect()
}

fn sag(job: &Job, wall: Uuid) -> Option<Length> {
    match beam_in_line(job, wall) {
        Some(beam) => screens::dead_load_sag(job, beam),
        None => Some(Length::ZERO),
    }
}

/// Points 1 to 3 of each side that a shore stands on, then what else was read again.
pub(crate) fn points(job: &Job, shore: &Record, what: What) -> Vec<HeightAt> {
    let Some(wall) = shore.to("wall") else {
        return Vec::new();
    };
    let sides: &[&str] = match shore.text("sides") {
        Some("a") => &["a"],
        Some("b") => &["b"],
        _ => &["a", "b"],
    };
    let mut all: Vec<HeightAt> = Vec::new();
    for side in sides {
        for place in PLACES {
            let one = at(job, (wall, shore.id), what, side, place);
            if !all.contains(&one) {
                all.push(one);
            }
        }
    }
    for (spot, _) in job.measured_of(shore.id) {
        let is_new = spot.what == what && !all.iter().any(|one| one.now == *spot);
        let one = at(job, (wall, shore.id), what, &spot.side, &spot.place);
        if is_new && one.point.before.value.is_some() {
            all.push(one);
        }
    }
    all
}

/// A point of a side: its own readings, else those of the same place without a side.
fn at(job: &Job, (wall, shore): (Uuid, Uuid), what: What, side: &str, place: &str) -> HeightAt {
    let spot = |of, what| {
        let own = Spot::of(of, what).side(side).place(place);
        let bare = Spot::of(of, what).place(place);
        if job.measured(&own).is_none() && job.measured(&bare).is_some() {
            bare
        } else {
            own
        }
    };
    let before = spot(wall, What::CeilingHeight);
    let now = spot(shore, what);
    let words = if now.side.is_empty() {
        now.place.clone()
    } else {
        format!("{}, side {}", now.place, now.side)
    };
    let height = Measurement::counting(format!("height before, {words}"), job.measured(&before));
    let what = format!("{}, {words}", what.title().to_lowercase());
    HeightAt {
        point: Point {
            now: furthest(what, job.measured(&now), height.value),
            before: height,
            place: words,
        },
        before,
        now,
    }
}

/// The reading that counts; where the newest disagrees with it, that of the two that is further from what was before.
fn furthest(what: String, measured: Option<&Measured>, before: Option<Length>) -> Measurement {
    let mut counts = Measurement::counting(what, measured);
    let newest = measured.and_then(|measured| measured.all.last());
    if let (Some(newest), Some(value), Some(before)) = (newest, counts.value, before)
        && (newest.value - before).abs() > (value - before).abs()
        && !counts.agreed
    {
        counts.value = Some(newest.value);
    }
    counts
}
