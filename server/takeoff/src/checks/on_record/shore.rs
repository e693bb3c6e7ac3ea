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
    match shore.text("stands_on") {
        Some("floor") => match stack(job, shore) {
            Some(stack) => stacked(job, shore, stack),
            None => on_floor(job, shore),
        },
        _ => on_ground(job, shore, false),
    }
}

/// A shore on the ground, or the lowest one under it.
fn on_ground(job: &Job, shore: &Record, is_lowest: bool) -> (StandsOn, Option<Screened>) {
    match shore.text("ground") {
        Some("slab") => (StandsOn::Slab, None),
        Some("soil") => {
            let screen = screens::shore_pad(job, shore, is_lowest);
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

/// How far down a shore is shored again.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Stack {
    /// On every storey, down to the lowest.
    ToTheGround,
    /// Not on every one.
    NotAllTheWay,
}

/// Where a shore on a floor is shored again on the storey straight under it; `None` where it isn't, or storeys aren't
/// recorded.
fn stack(job: &Job, shore: &Record) -> Option<Stack> {
    let level = |room: Uuid| job.get(job.get(room)?.to("storey")?)?.number("level");
    let wall = job.get(shore.to("wall")?)?;
    let own = ["room_a", "room_b"]
        .into_iter()
        .filter_map(|side| level(wall.to(side)?))
        .max()?;
    let mut under: Vec<i64> = job
        .all(Kind::Storey)
        .filter_map(|storey| storey.number("level"))
        .filter(|level| *level < own)
        .collect();
    under.sort_unstable();
    let named: Vec<i64> = shore
        .all_to("below")
        .into_iter()
        .filter_map(level)
        .collect();
    if !named.contains(under.last()?) {
        return None;
    }
    let every = under.iter().all(|level| named.contains(level));
    Some(if every {
        Stack::ToTheGround
    } else {
        Stack::NotAllTheWay
    })
}

/// The lowest shore by what it stands on; the joists between two pass the load on across their grain, they don't bend by it.
fn stacked(job: &Job, shore: &Record, stack: Stack) -> (StandsOn, Option<Screened>) {
    let name = shore.name();
    let (between, of_joists) = match line(job, shore) {
        Line::Across => {
            let screen = screens::joists_between(job, shore);
            let lacks = || screens::joists_held(job, shore);
            (says(screen.as_ref(), lacks), screen)
        }
        Line::AlongOrBay { .. } => {
            let needs = format!(
                "an engineer’s word on {name}: it runs along the floor joists between it and the shore below"
            );
            (Err(needs), None)
        }
        Line::NotKnown => {
            let needs = format!("whether {name} stands across the floor joists or along them");
            (Err(needs), None)
        }
    };
    let (lowest, of_lowest) = match stack {
        Stack::ToTheGround => on_ground(job, shore, true),
        Stack::NotAllTheWay => {
            let needs = format!(
                "an engineer’s word on {name}: the shore below stands on a floor under which no shore is named"
            );
            (StandsOn::Soil(Err(needs)), None)
        }
    };
    let decides = match (of_joists, of_lowest) {
        (Some(joists), Some(lowest)) if lowest.verdict < joists.verdict => Some(joists),
        (joists, lowest) => lowest.or(joists),
    };
    let lowest = Box::new(lowest);
    (StandsOn::Stacked { between, lowest }, decides)
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
