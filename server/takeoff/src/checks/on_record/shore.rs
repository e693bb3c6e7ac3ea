//! A shore: its studs, and what carries it; the ceiling heights beside it are in `heights`.
//!
//! A stud counts by its longest reading as cut, its place by the least.
//! Source: as the checks themselves say.

use uuid::Uuid;

use super::sizes::{field, least};
use super::{Check, CheckKind, heights, screens};
use crate::checks::fit::over_cut::{Fit, shoring_stud};
use crate::checks::fit::shoring::{Floor, Footing, Line, Screen, StandsOn, Support, footing};
use crate::checks::screening::Screened;
use crate::checks::{Measurement, load_path};
use crate::needs;
use crate::record::{Job, Kind, Record, Spot, What};
use crate::units::Length;

/// Studs, footing and heights.
pub(super) fn checks(job: &Job, shore: &Record, out: &mut Vec<Check>) {
    studs(job, shore, out);
    let name = shore.name();
    let (on, screen) = stands_on(job, shore);
    let found = footing(&Footing {
        shore: name.to_owned(),
        along_joists_above: along_joists_above(job, shore),
        on,
    });
    let mut check = Check::of(CheckKind::ShoreFooting, shore, name, found);
    if let Some(screen) = screen {
        check = check.with_screen(screen);
    }
    out.push(check);
    heights::checks(job, shore, out);
}

/// How longer than its place a stud of that fit is cut.
fn fit_of(shore: &Record) -> (Fit, Length) {
    match shore.text("fit") {
        Some("driven") => (Fit::Driven, Length::from_64ths(4)),
        Some("leaning") => {
            let lean = shore.length("lean").unwrap_or(Length::ZERO);
            (Fit::Leaning, lean)
        }
        _ => (Fit::Wedged, Length::from_64ths(-16)),
    }
}

fn studs(job: &Job, shore: &Record, out: &mut Vec<Check>) {
    let takeoff = needs::of_change(job, shore);
    let (fit, over) = fit_of(shore);
    for need in takeoff.needs.iter().filter(|need| need.mark == Some("ST")) {
        let Some(cut) = need.cut else { continue };
        let of = |what: &str, value| Measurement {
            what: format!("{what}, {}", need.title),
            value: Some(value),
            agreed: need.held.is_none(),
            readings: need.readings.clone(),
            fill: None,
        };
        let clear = of(
            "its place",
            cut - over - narrower(job, shore, &need.readings),
        );
        let as_cut = as_cut(job, shore, side_of_slot(&need.slot));
        let cut = as_cut.unwrap_or_else(|| of("its cut length", cut));
        let found = shoring_stud(&need.title, fit, &cut, &clear);
        out.push(Check::of(
            CheckKind::OverCut,
            shore,
            need.title.clone(),
            found,
        ));
    }
}

/// The longest reading of a side's studs as they are cut, else of the shore's; `None` where none is read.
pub(super) fn as_cut(job: &Job, shore: &Record, side: &str) -> Option<Measurement> {
    let of_shore = Spot::of(shore.id, What::AsCut);
    let read = job
        .measured(&of_shore.clone().side(side))
        .or_else(|| job.measured(&of_shore))?;
    Some(Measurement::greatest("as it is cut", Some(read)))
}

/// By how much the least reading of a place is less than the one that counts, for what is cut by these.
fn narrower(job: &Job, shore: &Record, cut_by: &[Uuid]) -> Length {
    job.measured_of(shore.id)
        .filter(|(_, read)| cut_by.contains(&read.counts))
        .filter_map(|(_, read)| {
            let least = read.all.iter().map(|taken| taken.value).min()?;
            Some(read.value - least)
        })
        .max()
        .unwrap_or(Length::ZERO)
}

/// The side of a need's slot: `stud.a`, `below.1.stud.b.own.3`.
pub(super) fn side_of_slot(slot: &str) -> &str {
    slot.split('.')
        .find(|part| matches!(*part, "a" | "b"))
        .unwrap_or("")
}

/// A shore runs along its wall: joists that run away from that wall are crossed.
fn along_joists_above(job: &Job, shore: &Record) -> Option<bool> {
    let wall = shore.to("wall")?;
    let above: Vec<&Record> = job
        .all(Kind::Run)
        .filter(|run| load_path::links::bears_on(run, wall))
        .collect();
    if above.iter().any(|run| run.says("direction", "along")) {
        return Some(true);
    }
    let crossed = above.iter().any(|run| run.says("direction", "away"));
    crossed.then_some(false)
}

/// What it stands on, and the screen that decides.
fn stands_on(job: &Job, shore: &Record) -> (StandsOn, Option<Screened>) {
    match (shore.text("stands_on"), shore.text("ground")) {
        (Some("floor"), _) => on_floor(job, shore),
        (_, Some("slab")) => (StandsOn::Slab, None),
        (_, Some("soil")) => {
            let screen = screens::shore_pad(job, shore);
            let has_planks =
                shore.number("planks_a_side") > Some(0) && shore.text("plank").is_some();
            let lacks = || {
                if has_planks {
                    return screens::joists_held(job, shore);
                }
                let name = shore.name();
                format!("the planks under {name}: how many a side, of which size")
            };
            (StandsOn::Soil(says(screen.as_ref(), lacks)), screen)
        }
        _ => (StandsOn::NotKnown, None),
    }
}

fn on_floor(job: &Job, shore: &Record) -> (StandsOn, Option<Screened>) {
    let line = line(job, shore);
    let of_joists = match line {
        Line::Across => screens::shored_floor(job, shore, false),
        Line::AlongOrBay { planked: true } => screens::shored_floor(job, shore, true),
        Line::AlongOrBay { planked: false } | Line::NotKnown => None,
    };
    let over = shore.to("over").and_then(|id| job.get(id));
    let of_support = over.and_then(|over| screens::shored_support(job, shore, over));
    let support = over.map(|over| {
        let screened = says(of_support.as_ref(), || support_lacks(job, over));
        support(job, shore, over, screened)
    });
    let near = support.as_ref().is_some_and(Support::is_near);
    let floor = Floor {
        support,
        line,
        screened: says(of_joists.as_ref(), || screens::joists_held(job, shore)),
    };
    let decides = if near { of_support } else { of_joists };
    (StandsOn::Floor(Box::new(floor)), decides)
}

/// What a screen says; what lacks where there is none.
fn says(screen: Option<&Screened>, lacks: impl FnOnce() -> String) -> Screen {
    screen.map_or_else(|| Err(lacks()), |screen| Ok(screen.verdict))
}

/// What to record where what is below a shore isn't screened.
fn support_lacks(job: &Job, over: &Record) -> String {
    let name = over.name();
    if over.kind != Kind::Wall {
        return format!("an engineer’s word on {name}: it does not run along the shore");
    }
    match over.to("stands_on") {
        Some(below) => format!("an engineer’s word on {name} and {}", job.name(below)),
        None => format!("what {name} stands on"),
    }
}

fn support(job: &Job, shore: &Record, over: &Record, screened: Screen) -> Support {
    let joists = shore.to("floor_joists").and_then(|id| job.get(id));
    let depth = match joists {
        Some(joists) => least(job, joists, 0, What::Depth),
        None => Measurement::missing(format!("the floor joists under {}", shore.name())),
    };
    Support {
        name: over.name().to_owned(),
        away: field(shore, "over_away", "from its line to what is below"),
        joist_depth: depth,
        reaches_soil: load_path::links::reaches_ground(job, over.id),
        screened,
    }
}

fn line(job: &Job, shore: &Record) -> Line {
    let joists = shore.to("floor_joists").and_then(|id| job.get(id));
    let of_wall = shore.to("wall");
    match joists {
        Some(joists) if of_wall.is_some() && joists.to("measured_from") == of_wall => {
            match joists.text("direction") {
                Some("away") => Line::Across,
                Some("along") => Line::AlongOrBay {
                    planked: shore.says("planked", "yes"),
                },
                _ => Line::NotKnown,
            }
        }
        _ => Line::NotKnown,
    }
}
