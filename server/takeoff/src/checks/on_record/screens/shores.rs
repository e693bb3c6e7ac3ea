//! Screens of shores: studs and plates of each side, and the floor or the planks under them.
//!
//! Dead and full live load of the joists that the shore carries. Source: as `screening::shore` says.

use super::super::shore::{as_cut, side_of_slot};
use super::super::sizes::{condition, field, greatest, joined, least, old_wood};
use super::super::{Check, CheckKind};
use super::with_walls;
use crate::checks::load_path::areas;
use crate::checks::load_path::links::{self, joist_centres};
use crate::checks::load_path::members::{self, ShoreSide, shore_sides, spacing_of};
use crate::checks::screening::member::{Known, LineLoad};
use crate::checks::screening::pad::{Pad, PadOf, Plan};
use crate::checks::screening::post::AxialLoad;
use crate::checks::screening::shore::Shore;
use crate::checks::screening::tributary::{joists_running_over, line_running_over, over, shared};
use crate::checks::screening::wood::{Moisture, Wood};
use crate::checks::screening::{self, Basis, Screened, beam, between, pad as pads};
use crate::checks::{Finding, Measurement};
use crate::needs::{self, side_words};
use crate::record::settings::{SHORE_STUD, SHORE_TOP_PLIES, SPACING};
use crate::record::{Job, Kind, Record, Spot, What};
use crate::tables::loads::Soil;
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::{Length, Section, parse_nominal};

/// Each side of a shore.
pub(crate) fn shore(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let wall = change.to("wall").and_then(|id| job.get(id));
    let sides = shore_sides(job, change);
    if sides.is_empty() {
        let found = Finding::cant_tell(&[joists_held(job, change)], super::PATH_SOURCE);
        out.push(Check::of(
            CheckKind::ShoreScreen,
            change,
            change.name(),
            found,
        ));
    }
    for one in sides {
        let (run, side) = (one.run, one.side);
        let words = wall.map_or_else(String::new, |wall| side_words(job, wall, side));
        let name = format!("{}, {words}", change.name());
        let height = stud_height(job, change, side, false);
        let spacing = field(run, "spacing", "spacing");
        let model = side_of(job, change, (name.clone(), height), spacing, one.loads());
        let found = screening::shore::screen(&model);
        let check = Check::screened(CheckKind::ShoreScreen, change, found);
        out.push(check.about_all([run.id]));
        if !change.all_to("below").is_empty() {
            let found = screening::shore::screen(&below(job, change, &name, &one));
            let check = Check::screened(CheckKind::ShoreScreen, change, found);
            out.push(check.about_all([run.id]));
        }
    }
}

/// The same side on the storey below: what comes down from above, and of the floor between what its joists bring to the
/// shore where its line crosses them, by the three-moment theorem. Floors further down aren't in the record.
fn below(job: &Job, change: &Record, name: &str, one: &ShoreSide<'_>) -> Shore {
    let mut loads = one.loads();
    let named = change.to("floor_joists").and_then(|id| job.get(id));
    let mut spacing = Measurement::missing("spacing of the floor joists under it");
    match named {
        Some(named) => {
            let floor = floor_of_side(job, change, named, one.side);
            spacing = field(floor, "spacing", "spacing");
            loads.extend(of_floor(job, change, floor));
        }
        None => loads.push(LineLoad::unknown(format!(
            "the floor under {}: its joists",
            change.name()
        ))),
    }
    let mut storeys: Vec<_> = change
        .all_to("below")
        .into_iter()
        .filter_map(|room| Some(job.get(room)?.to("storey")))
        .collect();
    storeys.sort_unstable();
    storeys.dedup();
    if storeys.len() > 1 {
        loads.push(LineLoad::unknown(format!(
            "the floors further down under {}, by an engineer’s word",
            change.name()
        )));
    }
    let height = stud_height(job, change, one.side, true);
    side_of(
        job,
        change,
        (format!("{name}, below"), height),
        spacing,
        loads,
    )
}

/// What a floor brings to a shore that stands under it, with the walls that stand on it.
fn of_floor(job: &Job, change: &Record, floor: &Record) -> Vec<LineLoad> {
    let span = greatest(job, floor, 0, What::Span);
    let at = crosses_at(job, change, floor, 0);
    let mut all = areas::on_joists(job, floor);
    all.push(areas::of_themselves(job, floor));
    let walls = walls_on_floor(job, change, floor, (&span, &at));
    all.into_iter()
        .map(|area| {
            let parts = span.value.zip(at.value);
            let load = area.load.zip(parts);
            let lacking = [&span, &at].into_iter().find(|one| one.value.is_none());
            LineLoad {
                what: match lacking {
                    Some(lacking) => format!("{}: {}", area.what, lacking.what),
                    None => area.what,
                },
                kind: area.kind,
                load: load.map(|(load, (span, at))| joists_running_over(at, span - at, load)),
                at_least: None,
                stretch: None,
                basis: Basis::of(&[&span, &at]).and(&area.basis),
            }
        })
        .chain(walls)
        .collect()
}

/// What the walls that stand across a floor's joists bring to a shore under them; along one of them, or not said how, it
/// can't be told. The wall that the shore is for brings its own weight there: what is on it comes down by the shore.
fn walls_on_floor(
    job: &Job,
    change: &Record,
    floor: &Record,
    (span, at): (&Measurement, &Measurement),
) -> Vec<LineLoad> {
    let mut all = Vec::new();
    for wall in members::walls_on(job, floor.id) {
        let name = wall.name();
        let Some(stands) = members::crosses(wall) else {
            let what = format!("{name}: {}", members::how_it_stands(wall, floor));
            all.push(LineLoad::unknown(what));
            continue;
        };
        let lines = if change.to("wall") == Some(wall.id) {
            vec![members::wall_itself(job, wall)]
        } else {
            members::wall_line(job, wall)
        };
        let lacking = [&stands, span, at]
            .into_iter()
            .find(|one| one.value.is_none());
        all.extend(lines.into_iter().map(|line| {
            let places = span.value.zip(at.value).zip(stands.value);
            let load = line.load.zip(places);
            let load = load.and_then(|(load, ((span, at), stands))| {
                line_running_over(at, span, (load, stands))
            });
            let what = match lacking {
                Some(lacking) => format!("{}: {}", line.what, lacking.what),
                None if load.is_none() && line.load.is_some() => {
                    format!(
                        "{}: a place between the ends of {}",
                        line.what,
                        floor.name()
                    )
                }
                None => line.what,
            };
            LineLoad {
                what,
                load,
                basis: Basis::of(&[span, at, &stands]).and(&line.basis),
                ..line
            }
        }));
    }
    all
}

/// What to record where no joists are that a shore holds up.
pub(crate) fn joists_held(job: &Job, shore: &Record) -> String {
    let wall = shore.to("wall").map_or("its wall", |wall| job.name(wall));
    format!("the joists that bear on {wall}, each run with the room under it")
}

fn stud_section(job: &Job, change: &Record) -> Option<Section> {
    let text = change
        .text("stud")
        .or_else(|| job.record().and_then(|job| job.text("shore_stud")))
        .unwrap_or(SHORE_STUD);
    let size = parse_nominal(text).ok()?;
    dressed(size, default_seasoning(size))
}

fn side_of(
    job: &Job,
    change: &Record,
    (name, height): (String, Measurement),
    joist_spacing: Measurement,
    line_loads: Vec<LineLoad>,
) -> Shore {
    let section = stud_section(job, change);
    let given = |what: &str, length: Option<Length>| match length {
        Some(length) => Measurement::agreed(what, length),
        None => Measurement::missing(what),
    };
    let small = section.map(|one| one.thickness.min(one.depth));
    let wide = section.map(|one| one.thickness.max(one.depth));
    let number = |own: &str, of_job: &str, usual: i64| {
        let found = change
            .number(own)
            .or_else(|| job.record().and_then(|job| job.number(of_job)));
        u32::try_from(found.unwrap_or(usual)).unwrap_or(0)
    };
    Shore {
        name,
        stud_thickness: given("thickness of the shoring studs", small),
        stud_depth: given("depth of the shoring studs", wide),
        height,
        brace: None,
        stud_spacing: given(
            "spacing of the shoring studs",
            Some(stud_spacing(job, change)),
        ),
        joist_spacing,
        joists_over_studs: Known::NotKnown,
        plate_thickness: given("thickness of the plates", small),
        plate_width: given("width of the plates", wide),
        plate_plies: number("top_plies", "shore_top_plies", SHORE_TOP_PLIES),
        past_end_stud: None,
        wood: wood(job, change),
        line_loads,
    }
}

/// As the takeoff sets them: of the change, else the job's, else the usual one.
fn stud_spacing(job: &Job, change: &Record) -> Length {
    let of_job = || job.record().and_then(|job| job.length("spacing"));
    let own = change.length("spacing").or_else(of_job);
    own.unwrap_or(SPACING)
}

fn wood(job: &Job, change: &Record) -> Wood {
    let species = change.text("species").or(job.settings.species.as_deref());
    let grade = change.text("grade").or(job.settings.grade.as_deref());
    Wood::read(species, grade, Moisture::Dry)
}

/// The longest stud of a side, as the takeoff cuts it or as it was read, whichever is longer.
fn stud_height(job: &Job, change: &Record, side: &str, is_below: bool) -> Measurement {
    let takeoff = needs::of_change(job, change);
    let longest = takeoff
        .needs
        .iter()
        .filter(|need| need.mark == Some("ST") && side_of_slot(&need.slot) == side)
        .filter(|need| need.slot.starts_with("below.") == is_below)
        .max_by_key(|need| need.cut);
    let what = "length of the shoring studs";
    let planned = match longest {
        Some(need) => Measurement {
            what: what.to_owned(),
            value: need.cut,
            agreed: need.held.is_none(),
            readings: need.readings.clone(),
            fill: None,
        },
        None => Measurement::missing(what),
    };
    match as_cut(job, change, side) {
        Some(read) if read.value > planned.value => Measurement {
            what: what.to_owned(),
            ..read
        },
        _ => planned,
    }
}

/// What the floor joists under a shore say with its load, the worst joist of the run under the worse side. Across them each
/// joist takes its own share where the line crosses it, as far from its support as recorded; on planks across three each
/// takes a third of the line all along. `None` where the shore stands on no joists that are recorded.
pub(crate) fn shored_floor(job: &Job, change: &Record, planked: bool) -> Option<Screened> {
    let named = change.to("floor_joists").and_then(|id| job.get(id))?;
    let mut worst: Option<Screened> = None;
    for side in shore_sides(job, change) {
        let floor = floor_of_side(job, change, named, side.side);
        for number in unlike(job, floor) {
            let mut joist = members::joist(job, floor, number, &which(floor, number));
            let at = crosses_at(job, change, floor, number);
            for load in side.loads() {
                let what = format!("{}: {}", change.name(), load.what);
                if planked {
                    joist.member.line_loads.push(LineLoad {
                        what: format!("{what}, a third of it"),
                        load: load.load.map(|line| shared(line, 3)),
                        ..load
                    });
                } else {
                    joist.member.point_loads.push(members::point(
                        &what,
                        load.kind,
                        load.load.map(|line| over(line, spacing_of(floor))),
                        at.clone(),
                        load.basis,
                    ));
                }
            }
            let found = with_walls(job, floor, &joist);
            if worst.as_ref().is_none_or(|known| worse(&found, known)) {
                worst = Some(found);
            }
        }
    }
    worst
}

fn worse(one: &Screened, other: &Screened) -> bool {
    let greatest = |screened: &Screened| screened.greatest().unwrap_or(0.0);
    one.verdict
        .cmp(&other.verdict)
        .then(greatest(one).total_cmp(&greatest(other)))
        .is_gt()
}

fn which(floor: &Record, number: u32) -> String {
    match number {
        0 => floor.name().to_owned(),
        number => format!("number {number} of {}", floor.name()),
    }
}

/// The joists under a side of a shore: those that carry its room's floor and bear on the same girder or wall below, else
/// the ones that are named.
fn floor_of_side<'a>(job: &'a Job, change: &Record, named: &'a Record, side: &str) -> &'a Record {
    let wall = change.to("wall").and_then(|id| job.get(id));
    let room = wall.and_then(|wall| wall.to(if side == "b" { "room_b" } else { "room_a" }));
    if room.is_none() || named.to("carries") == room {
        return named;
    }
    let over = change.to("over");
    job.all(Kind::Run)
        .find(|run| {
            run.to("carries") == room && over.is_some_and(|over| links::bears_on(run, over))
        })
        .unwrap_or(named)
}

/// Where a shore's line crosses a floor joist, from the inside face of the joist's first support: as far from the end that
/// bears on what is below as the line is from that.
fn crosses_at(job: &Job, change: &Record, floor: &Record, number: u32) -> Measurement {
    let away = field(change, "over_away", "from its line to what is below");
    match change.to("over") {
        Some(over) if floor.to("start_at") == Some(over) => away,
        Some(over) if floor.to("end_at") == Some(over) => {
            let span = greatest(job, floor, number, What::Span);
            let what = format!("place of {} on {}", change.name(), floor.name());
            joined(what, &[&span, &away], |both| both[0] - both[1])
        }
        _ => Measurement::missing(format!(
            "which girder or wall {} bears on below {}, and how far its line is from that",
            floor.name(),
            change.name()
        )),
    }
}

/// One number of each sort of joist in a run: alike in thickness, depth, span and bearing. 0 where they aren't placed.
fn unlike(job: &Job, floor: &Record) -> Vec<u32> {
    const SIZES: [What; 5] = [
        What::Thickness,
        What::Depth,
        What::Span,
        What::BearingStart,
        What::BearingEnd,
    ];
    let mut numbers: Vec<u32> = joist_centres(job, floor)
        .into_iter()
        .map(|(number, _)| number)
        .collect();
    if numbers.is_empty() {
        numbers.push(0);
    }
    let mut seen = Vec::new();
    numbers.retain(|number| {
        let sizes = SIZES.map(|what| {
            let own = Spot::of(floor.id, what).number(*number);
            job.measured(&own).map(|measured| measured.all.clone())
        });
        let is_new = !seen.contains(&sizes);
        if is_new {
            seen.push(sizes);
        }
        is_new
    });
    numbers
}

/// What the floor joists between a shore and the one below it say in bearing, the worst sort of joist of the worse side.
pub(crate) fn joists_between(job: &Job, change: &Record) -> Option<Screened> {
    let named = change.to("floor_joists").and_then(|id| job.get(id))?;
    let mut worst: Option<Screened> = None;
    for side in shore_sides(job, change) {
        let floor = floor_of_side(job, change, named, side.side);
        let model = below(job, change, change.name(), &side);
        for number in unlike(job, floor) {
            let found = between::screen(&between::Between {
                name: which(floor, number),
                thickness: least(job, floor, number, What::Thickness),
                plate_width: model.plate_width.clone(),
                spacing: field(floor, "spacing", "spacing"),
                woods: vec![old_wood(floor), model.wood.clone()],
                condition: condition(floor),
                line_loads: model.line_loads.clone(),
            });
            if worst.as_ref().is_none_or(|known| worse(&found, known)) {
                worst = Some(found);
            }
        }
    }
    worst
}

/// What the planks of a shore on soil say, or of the lowest one below it, screened as a pad a stud's distance long, the worse
/// side.
pub(crate) fn shore_pad(job: &Job, change: &Record, is_lowest: bool) -> Option<Screened> {
    let planks = change.number("planks_a_side").filter(|n| *n > 0)?;
    let size = parse_nominal(change.text("plank")?).ok()?;
    let plank = dressed(size, default_seasoning(size))?;
    let spacing = stud_spacing(job, change);
    let soil = job.record().and_then(|job| job.text("soil"));
    let mut worst: Option<Screened> = None;
    for side in shore_sides(job, change) {
        let given = |what: &str, length| Measurement::agreed(what, length);
        let loads = if is_lowest {
            below(job, change, change.name(), &side).line_loads
        } else {
            side.loads()
        };
        let found = pads::screen(&Pad {
            name: change.name().to_owned(),
            plan: Plan::Rectangle {
                length: given("a stud’s distance", spacing),
                width: given("width of the planks", plank.depth * planks),
            },
            thickness: given("thickness of the planks", plank.thickness),
            of: PadOf::Wood,
            soil: soil.and_then(Soil::from_name).unwrap_or(Soil::NotKnown),
            loads: loads
                .into_iter()
                .map(|load| AxialLoad {
                    what: load.what,
                    kind: load.kind,
                    load: load.load.map(|line| over(line, spacing)),
                    basis: load.basis,
                })
                .collect(),
            projection: None,
        });
        if worst.as_ref().is_none_or(|known| worse(&found, known)) {
            worst = Some(found);
        }
    }
    worst
}

/// What the girder or wall below a shore says with its load; of a wall what that stands on.
pub(crate) fn shored_support(job: &Job, change: &Record, below: &Record) -> Option<Screened> {
    members::under_shore(job, change, below).map(|member| beam::screen(&member))
}
