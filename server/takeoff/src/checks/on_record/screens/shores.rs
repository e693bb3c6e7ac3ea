//! Screens of shores: studs and plates of each side, and the floor or the planks under them.
//!
//! Dead and full live load of the joists that the shore carries. Source: as `screening::shore` says.

use super::super::sizes::field;
use super::super::{Check, CheckKind};
use crate::checks::load_path::links::joist_centres;
use crate::checks::load_path::members::{self, shore_lines, spacing_of};
use crate::checks::screening::joist as joist_screen;
use crate::checks::screening::member::{Known, LineLoad};
use crate::checks::screening::pad::{Pad, PadOf, Plan};
use crate::checks::screening::post::AxialLoad;
use crate::checks::screening::shore::Shore;
use crate::checks::screening::tributary::over;
use crate::checks::screening::wood::{Moisture, Wood};
use crate::checks::screening::{self, pad as pads};
use crate::checks::{Measurement, Verdict};
use crate::needs::{self, side_words};
use crate::record::settings::{SHORE_STUD, SHORE_TOP_PLIES, SPACING};
use crate::record::{Job, Record};
use crate::tables::loads::Soil;
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::{Length, Section, parse_nominal};

/// Each side of a shore.
pub(crate) fn shore(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let lines = shore_lines(job, change);
    let wall = change.to("wall").and_then(|id| job.get(id));
    for (side, run, line_loads) in lines {
        let words = wall.map_or_else(String::new, |wall| side_words(job, wall, side));
        let name = format!("{}, {words}", change.name());
        let model = side_of(job, change, name, run, side, line_loads);
        let found = screening::shore::screen(&model);
        let check = Check::screened(CheckKind::ShoreScreen, change, found);
        out.push(check.about_all([run.id]));
    }
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
    name: String,
    run: &Record,
    side: &str,
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
        height: stud_height(job, change, side),
        brace: None,
        stud_spacing: given(
            "spacing of the shoring studs",
            Some(
                change.length("spacing").unwrap_or(
                    job.record()
                        .and_then(|job| job.length("spacing"))
                        .unwrap_or(SPACING),
                ),
            ),
        ),
        joist_spacing: field(run, "spacing", "spacing"),
        joists_over_studs: Known::NotKnown,
        plate_thickness: given("thickness of the plates", small),
        plate_width: given("width of the plates", wide),
        plate_plies: number("top_plies", "shore_top_plies", SHORE_TOP_PLIES),
        past_end_stud: None,
        wood: wood(job, change),
        line_loads,
    }
}

fn wood(job: &Job, change: &Record) -> Wood {
    let species = change.text("species").or(job.settings.species.as_deref());
    let grade = change.text("grade").or(job.settings.grade.as_deref());
    Wood::read(species, grade, Moisture::Dry)
}

/// The longest stud of a side, as the takeoff cuts it.
fn stud_height(job: &Job, change: &Record, side: &str) -> Measurement {
    let slot = format!("stud.{side}");
    let takeoff = needs::of_change(job, change);
    let longest = takeoff
        .needs
        .iter()
        .filter(|need| need.slot == slot || need.slot.starts_with(&format!("{slot}.")))
        .max_by_key(|need| need.cut);
    let what = "length of the shoring studs";
    match longest {
        Some(need) => Measurement {
            what: what.to_owned(),
            value: need.cut,
            agreed: need.held.is_none(),
            readings: need.readings.clone(),
        },
        None => Measurement::missing(what),
    }
}

/// What the floor joists under a shore say with its load: as far from their support as recorded, each joist its own share,
/// on planks across three a third of what stands on all three.
pub(crate) fn shored_floor_verdict(job: &Job, change: &Record) -> Option<Verdict> {
    let floor = change.to("floor_joists").and_then(|id| job.get(id))?;
    let at = field(change, "over_away", "from its line to what is below");
    at.value?;
    let numbers = joist_centres(job, floor);
    let number = numbers.first().map_or(0, |(number, _)| *number);
    let mut worst: Option<Verdict> = None;
    for (_, _, loads) in shore_lines(job, change) {
        let mut joist = members::joist(job, floor, number, floor.name());
        for load in &loads {
            joist.member.point_loads.push(members::point(
                &format!("{}: {}", change.name(), load.what),
                load.kind,
                load.load.map(|line| over(line, spacing_of(floor))),
                at.clone(),
            ));
        }
        let verdict = joist_screen::screen(&joist).verdict;
        worst = Some(worst.map_or(verdict, |known| known.max(verdict)));
    }
    worst
}

/// What the planks of a shore on soil say, screened as a pad a stud's distance long.
pub(crate) fn shore_pad_verdict(job: &Job, change: &Record) -> Option<Verdict> {
    let planks = change.number("planks_a_side").filter(|n| *n > 0)?;
    let size = parse_nominal(change.text("plank")?).ok()?;
    let plank = dressed(size, default_seasoning(size))?;
    let spacing = change.length("spacing").unwrap_or(SPACING);
    let soil = job.record().and_then(|job| job.text("soil"));
    let mut worst: Option<Verdict> = None;
    for (_, _, loads) in shore_lines(job, change) {
        let given = |what: &str, length| Measurement::agreed(what, length);
        let verdict = pads::screen(&Pad {
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
                })
                .collect(),
            projection: None,
        })
        .verdict;
        worst = Some(worst.map_or(verdict, |known| known.max(verdict)));
    }
    worst
}
