//! Loads along beams and girders: half spans of joists, walls that stand on them, struts' feet.
//!
//! Source: tributary halves; joists that run through over a wall put ten eighths there (three-moment theorem).

use uuid::Uuid;

use super::super::areas;
use super::super::links::{bears_on, hung_on};
use super::{long_of, point, still_bears, struts_on, walls_on};
use crate::checks::Measurement;
use crate::checks::on_record::sizes::old_wood;
use crate::checks::on_record::sizes::{counting, field, greatest, joined, least};
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::joist::AreaLoad;
use crate::checks::screening::member::{LineLoad, PointLoad};
use crate::checks::screening::tributary::{
    joists_ending, joists_running_over, over, partition_along, shore_line, strut, weight_along,
};
use crate::record::settings::{SHORE_OFF, SPACING};
use crate::record::{Job, Kind, Record, What};
use crate::tables::loads::{PARTITION, PLASTERED_PARTITION};
use crate::units::{Length, Plf, Section};

/// What stands on a member.
pub(crate) struct LoadsOn {
    pub(crate) line_loads: Vec<LineLoad>,
    pub(crate) point_loads: Vec<PointLoad>,
}

/// The runs that bear on a member: those recorded on it, and on a new beam those that a change hangs there.
pub(super) fn runs_on<'a>(job: &'a Job, beam: &Record) -> Vec<&'a Record> {
    job.all(Kind::Run)
        .filter(|run| {
            if beam.kind == Kind::SetBeam {
                let below = beam.says("set", "below")
                    && beam.to("wall").is_some_and(|wall| bears_on(run, wall));
                hung_on(job, run.id) == Some(beam.id) || below
            } else {
                bears_on(run, beam.id) && hung_on(job, run.id).is_none_or(|other| other == beam.id)
            }
        })
        .filter(|run| !run.says("piece", "stud"))
        .collect()
}

/// Joists and struts on a new beam.
pub(super) fn on_new_beam(job: &Job, beam: &Record, runs: &[&Record]) -> LoadsOn {
    let through = beam.says("set", "below");
    let line_loads = runs
        .iter()
        .flat_map(|run| from_run(job, run, through))
        .collect();
    let from = field(beam, "from", "its start, from the zero end");
    let [start, _] = super::bearings_of(job, beam);
    let face = joined(
        format!("first face under {}", beam.name()),
        &[&from, &start],
        |all| all[0] + all[1],
    );
    let long = long_of(job, beam);
    let end = joined("its end", &[&from, &long], |all| all[0] + all[1]);
    let point_loads = struts_on(job, beam.id)
        .flat_map(|struts| from_struts(job, struts, &face, &end))
        .collect();
    LoadsOn {
        line_loads,
        point_loads,
    }
}

/// Joists, walls with what bears on them, and struts on a member as found.
pub(super) fn on_found(job: &Job, member: &Record, runs: &[&Record]) -> LoadsOn {
    let mut line_loads: Vec<LineLoad> = runs
        .iter()
        .flat_map(|run| from_run(job, run, run.says("over_wall", "continuous")))
        .collect();
    let mut point_loads = Vec::new();
    let start = counting(job, member, 0, What::Start);
    let first = least(job, member, 0, What::BearingStart);
    let face = joined("first face", &[&start, &first], |all| all[0] + all[1]);
    let length = counting(job, member, 0, What::Length);
    let end = joined("its end", &[&start, &length], |all| all[0] + all[1]);
    for wall in walls_on(job, member.id) {
        line_loads.push(of_wall(job, wall));
        let above = job
            .all(Kind::Run)
            .filter(|run| bears_on(run, wall.id) && still_bears(job, run, wall.id));
        for run in above.filter(|run| !run.says("piece", "stud")) {
            line_loads.extend(from_run(job, run, run.says("over_wall", "continuous")));
        }
        for struts in struts_on(job, wall.id) {
            point_loads.extend(from_struts(job, struts, &face, &end));
        }
    }
    for struts in struts_on(job, member.id) {
        point_loads.extend(from_struts(job, struts, &face, &end));
    }
    LoadsOn {
        line_loads,
        point_loads,
    }
}

/// Half a run's span of everything on it, along what it bears on; a rafter's roof likewise.
fn from_run(job: &Job, run: &Record, through: bool) -> Vec<LineLoad> {
    let is_rafter = run.says("piece", "rafter");
    let span = if is_rafter {
        greatest(job, run, 0, What::Flat).value
    } else {
        greatest(job, run, 0, What::Span).value
    };
    let mut all: Vec<AreaLoad> = if is_rafter {
        areas::on_roof(job, run).0
    } else {
        areas::on_joists(job, run)
    };
    if !is_rafter {
        all.push(areas::of_themselves(job, run));
    }
    all.into_iter()
        .map(|area| {
            let load = area.load.zip(span).map(|(load, span)| {
                if through {
                    joists_running_over(span, span, load)
                } else {
                    joists_ending(span, Length::ZERO, load)
                }
            });
            let what = match (area.load, span) {
                (Some(_), None) => format!("{}: the span of {}", area.what, run.name()),
                _ => area.what,
            };
            LineLoad {
                what,
                kind: area.kind,
                load,
                stretch: None,
            }
        })
        .collect()
}

/// A wall's own weight along what it stands on: 20 psf of wall plastered, else 6.
fn of_wall(job: &Job, wall: &Record) -> LineLoad {
    let plastered = job
        .all(Kind::Layer)
        .filter(|layer| layer.to("of") == Some(wall.id))
        .any(|layer| {
            layer
                .text("material")
                .is_some_and(|one| one.contains("plaster"))
        });
    let weight = if plastered {
        PLASTERED_PARTITION
    } else {
        PARTITION
    };
    let height = greatest(job, wall, 0, What::StudLength).value.or_else(|| {
        job.measured_of(wall.id)
            .filter(|(spot, _)| spot.what == What::CeilingHeight)
            .map(|(_, measured)| measured.value)
            .max()
    });
    LineLoad {
        what: match height {
            Some(_) => format!("{}, {}", wall.name(), weight.of),
            None => format!("{}: its height", wall.name()),
        },
        kind: LoadKind::Dead,
        load: height.map(|height| partition_along(height, weight.psf)),
        stretch: None,
    }
}

/// Struts' feet: the roof on each side of the purlin to half, times their distance; the purlin's own weight besides.
fn from_struts(
    job: &Job,
    struts: &Record,
    face: &Measurement,
    end: &Measurement,
) -> Vec<PointLoad> {
    let name = struts.name();
    let purlin = struts.to("purlin").and_then(|id| job.get(id));
    let rafters = struts.to("rafters").and_then(|id| job.get(id));
    let spacing = field(struts, "spacing", "spacing");
    let first = field(struts, "first", "the first foot, from the zero end");
    let count = struts.number("count").unwrap_or(1).max(1);
    let (Some(purlin), Some(rafters)) = (purlin, rafters) else {
        let what = format!("{name}: the purlin and the rafters on it");
        return vec![point(
            &what,
            LoadKind::Dead,
            None,
            Measurement::agreed("", Length::ZERO),
        )];
    };
    let whole = greatest(job, rafters, 0, What::Flat).value;
    let low = greatest(job, purlin, 0, What::Flat).value;
    let runs = whole
        .zip(low)
        .map(|(whole, low)| [low, (whole - low).max(Length::ZERO)]);
    let through = !struts.says("run_through", "no");
    let mut loads: Vec<(String, LoadKind, Option<_>)> = areas::on_roof(job, rafters)
        .0
        .into_iter()
        .map(|area| {
            let load = match (area.load, runs, spacing.value) {
                (Some(load), Some(runs), Some(spacing)) => {
                    Some(strut(spacing, runs, load, through))
                }
                _ => None,
            };
            let what = match (area.load, runs) {
                (Some(_), None) => format!(
                    "{name}: the run of {} and of {}, on the flat",
                    rafters.name(),
                    purlin.name()
                ),
                _ => format!("{name}: {}", area.what),
            };
            (what, area.kind, load)
        })
        .collect();
    loads.push((
        format!("{name}: own weight of {}", purlin.name()),
        LoadKind::Dead,
        weight_of(job, purlin)
            .zip(spacing.value)
            .map(|(weight, spacing)| over(weight, spacing)),
    ));
    let mut all = Vec::new();
    for n in 0..count {
        let mut at = joined(
            format!("place of foot {} of {name}", n + 1),
            &[&first, &spacing, face],
            |lengths| lengths[0] + lengths[1] * n - lengths[2],
        );
        // A foot past the end stands on something else: its place is asked for again there.
        if at.value.zip(end.value).is_none() {
            at.value = None;
        }
        for (what, kind, load) in &loads {
            all.push(point(what, *kind, *load, at.clone()));
        }
    }
    all
}

fn weight_of(job: &Job, piece: &Record) -> Option<Plf> {
    let thickness = least(job, piece, 0, What::Thickness).value?;
    let depth = least(job, piece, 0, What::Depth).value?;
    Some(weight_along(Section { thickness, depth }, &old_wood(piece)))
}

/// What the joists put on a shore's line, each side by itself: loads along it by kind, with the run.
pub(crate) fn shore_lines<'a>(
    job: &'a Job,
    shore: &Record,
) -> Vec<(&'static str, &'a Record, Vec<LineLoad>)> {
    let Some(wall) = shore.to("wall").and_then(|id| job.get(id)) else {
        return Vec::new();
    };
    let side_of = |run: &Record| side_of_run(wall, run);
    let runs: Vec<&Record> = job
        .all(Kind::Run)
        .filter(|run| bears_on(run, wall.id) && side_of(run).is_some())
        .collect();
    let off = off(job, wall);
    runs.iter()
        .filter_map(|run| {
            let side = side_of(run)?;
            let shored = match shore.text("sides") {
                Some(one @ ("a" | "b")) => one == side,
                _ => true,
            };
            if !shored {
                return None;
            }
            let long = greatest(job, run, 0, What::Span).value;
            let other = runs
                .iter()
                .find(|other| side_of(other).is_some_and(|one| one != side))
                .and_then(|other| greatest(job, other, 0, What::Span).value)
                .map(|other| (other, off));
            let mut areas = areas::on_joists(job, run);
            areas.push(areas::of_themselves(job, run));
            let loads = areas
                .into_iter()
                .map(|area| LineLoad {
                    load: area
                        .load
                        .zip(long)
                        .and_then(|(load, long)| shore_line(long, off, other, load)),
                    what: if long.is_none() {
                        format!("{}: the span of {}", area.what, run.name())
                    } else {
                        area.what
                    },
                    kind: area.kind,
                    stretch: None,
                })
                .collect();
            Some((side, *run, loads))
        })
        .collect()
}

/// On which side of a wall a run lies: by the room under it.
fn side_of_run(wall: &Record, run: &Record) -> Option<&'static str> {
    let room: Uuid = run.to("room")?;
    if wall.to("room_a") == Some(room) {
        Some("a")
    } else if wall.to("room_b") == Some(room) {
        Some("b")
    } else {
        None
    }
}

/// From the joists' cut end to the shore: off the wall's face, and half the wall's thickness where that is known.
fn off(job: &Job, wall: &Record) -> Length {
    let face = job
        .record()
        .and_then(|job| job.length("shore_off"))
        .unwrap_or(SHORE_OFF);
    let half = greatest(job, wall, 0, What::Thickness).value;
    face + half.map_or(Length::ZERO, Length::half_down)
}

/// The distance of the joists under a shore, else the usual one.
pub(crate) fn spacing_of(run: &Record) -> Length {
    run.length("spacing").unwrap_or(SPACING)
}
