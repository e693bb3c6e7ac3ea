//! Loads along beams and girders: half spans of joists, walls that stand on them with all on top, struts' feet.
//!
//! Source: tributary halves; joists that run through over a wall or a beam by the three-moment theorem.

use uuid::Uuid;

use super::super::areas;
use super::super::chain::{State, on_the_wall};
use super::super::links::{beam_in_line, bears_on, beside, carriers, changes, comes_out, hung_on};
use super::axial::brings_a_load;
use super::{Follow, crosses, long_of, point, still_bears, struts_on, walls_on};
use crate::checks::Measurement;
use crate::checks::on_record::sizes::old_wood;
use crate::checks::on_record::sizes::{counting, field, greatest, greatest_past, joined, least};
use crate::checks::screening::Basis;
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::joist::AreaLoad;
use crate::checks::screening::member::{LineLoad, PointLoad};
use crate::checks::screening::tributary::{
    by_the_lever, joists_ending, joists_running_over, joists_running_over_at_least, over,
    partition_along, strut, weight_along,
};
use crate::record::{Job, Kind, Record, What};
use crate::tables::loads::{PARTITION, PLASTERED_PARTITION};
use crate::units::{Length, Plf, Section};

/// What stands on a member.
#[derive(Default)]
pub(crate) struct LoadsOn {
    pub(crate) line_loads: Vec<LineLoad>,
    pub(crate) point_loads: Vec<PointLoad>,
}

/// How joists pass what they bear on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Passes {
    /// They end or lap there.
    Ending,
    /// They run through over it.
    Through,
    /// Nobody has said.
    NotKnown,
}

/// Whether a run or a single piece bears on a beam: recorded on it, hung there by a change, or on the wall in whose line a
/// new beam is set below. Hung, one end hangs; its other end bears where it did.
pub(super) fn is_on(job: &Job, piece: &Record, beam: &Record) -> bool {
    let hung = hung_on(job, piece.id);
    if hung == Some(beam.id) {
        return true;
    }
    if beam.kind == Kind::SetBeam {
        return hung.is_none()
            && beam.says("set", "below")
            && beam.to("wall").is_some_and(|wall| bears_on(piece, wall));
    }
    let left = if hangs_by_its_end(job, piece) {
        "start_at"
    } else {
        "end_at"
    };
    bears_on(piece, beam.id) && (hung.is_none() || piece.to(left) == Some(beam.id))
}

/// Whether a piece that a change hangs hangs with its end: that stands at the wall of the beam, and its start doesn't.
pub(crate) fn hangs_by_its_end(job: &Job, piece: &Record) -> bool {
    let beam = hung_on(job, piece.id).and_then(|id| job.get(id));
    beam.is_some_and(|beam| meets_with_its_end(piece, beam))
}

/// Whether a piece meets a beam with its end, and not with its start: recorded on the beam, or on the wall in whose line a
/// new beam is set.
pub(super) fn meets_with_its_end(piece: &Record, beam: &Record) -> bool {
    let of_line = (beam.kind == Kind::SetBeam)
        .then(|| beam.to("wall"))
        .flatten();
    ends_at(piece, beam.id) || of_line.is_some_and(|wall| ends_at(piece, wall))
}

/// The runs that bear on a member: those recorded on it, and on a new beam those that a change hangs there.
pub(super) fn runs_on<'a>(job: &'a Job, beam: &Record, follow: Follow<'_>) -> Vec<&'a Record> {
    beside(job, beam)
        .into_iter()
        .filter(|run| run.kind == Kind::Run && is_on(job, run, beam))
        .filter(|run| !run.says("piece", "stud") && !follow.leaves_out(run.id))
        .collect()
}

/// Joists, walls and struts on a new beam.
pub(super) fn on_new_beam(
    job: &Job,
    beam: &Record,
    runs: &[&Record],
    follow: Follow<'_>,
) -> LoadsOn {
    let from = field(beam, "from", "its start, from the zero end");
    let [start, _] = super::bearings_of(job, beam);
    let face = joined(
        format!("first face under {}", beam.name()),
        &[&from, &start],
        |all| all[0] + all[1],
    );
    let long = long_of(job, beam);
    let end = joined("its end", &[&from, &long], |all| all[0] + all[1]);
    let mut all = LoadsOn::default();
    for run in runs {
        // Cut for a flush beam, joists end there.
        let passes = if beam.says("set", "below") {
            passes(run)
        } else {
            Passes::Ending
        };
        all.line_loads.extend(from_run(job, run, passes));
        walls_on_run(job, run, meets_with_its_end(run, beam), passes, &mut all);
    }
    // What stood on the wall in whose line it is set stands on it once that comes out; where nothing of the plan catches a
    // thing, nobody knows what of it comes down here.
    if let Some(wall) = beam.to("wall").filter(|wall| comes_out(job, *wall)) {
        let gaps = on_the_wall(job, wall).into_iter();
        let gaps = gaps.filter(|step| step.state == State::Missing);
        all.line_loads.extend(gaps.map(|step| {
            let name = step.of.map_or(step.words, |of| job.name(of).to_owned());
            LineLoad::unknown(format!("{name}, which no change catches"))
        }));
        for upper in walls_on(job, wall) {
            wall_and_above(job, upper, &face, &end, follow, &mut all);
        }
    }
    for struts in struts_on(job, beam.id) {
        all.point_loads
            .extend(from_struts(job, struts, &face, &end));
    }
    all
}

/// Joists, walls with what bears on them, and struts on a member as found.
pub(super) fn on_found(
    job: &Job,
    member: &Record,
    runs: &[&Record],
    follow: Follow<'_>,
) -> LoadsOn {
    let start = counting(job, member, 0, What::Start);
    let first = least(job, member, 0, What::BearingStart);
    let face = joined("first face", &[&start, &first], |all| all[0] + all[1]);
    let length = counting(job, member, 0, What::Length);
    let end = joined("its end", &[&start, &length], |all| all[0] + all[1]);
    let mut all = LoadsOn::default();
    for run in runs {
        all.line_loads.extend(from_run(job, run, passes(run)));
        let at_end = ends_at(run, member.id);
        walls_on_run(job, run, at_end, passes(run), &mut all);
    }
    for wall in walls_on(job, member.id) {
        wall_and_above(job, wall, &face, &end, follow, &mut all);
    }
    for struts in struts_on(job, member.id) {
        all.point_loads
            .extend(from_struts(job, struts, &face, &end));
    }
    all
}

/// How deep walls stand on walls: deeper than any house.
const STOREYS: u8 = 6;

/// A wall with the joists that bear on it, the struts that land on it and the walls that stand on it. What a beam in its
/// line takes once it comes out is that beam's.
fn wall_and_above(
    job: &Job,
    wall: &Record,
    face: &Measurement,
    end: &Measurement,
    follow: Follow<'_>,
    all: &mut LoadsOn,
) {
    wall_of_storey(job, wall, (face, end), follow, STOREYS, all);
}

fn wall_of_storey(
    job: &Job,
    wall: &Record,
    lies: (&Measurement, &Measurement),
    follow: Follow<'_>,
    storeys: u8,
    all: &mut LoadsOn,
) {
    let Some(above) = storeys.checked_sub(1) else {
        return;
    };
    if follow.leaves_out(wall.id) {
        return;
    }
    all.line_loads.push(of_wall(job, wall));
    let runs = job.all(Kind::Run).filter(|run| {
        bears_on(run, wall.id) && still_bears(job, run, wall.id) && !follow.leaves_out(run.id)
    });
    for run in runs.filter(|run| !run.says("piece", "stud")) {
        all.line_loads.extend(from_run(job, run, passes(run)));
        let at_end = ends_at(run, wall.id);
        walls_on_run(job, run, at_end, passes(run), all);
    }
    for struts in struts_on(job, wall.id) {
        all.point_loads
            .extend(from_struts(job, struts, lies.0, lies.1));
    }
    all.line_loads.extend(untold_on(job, wall, follow));
    let caught = comes_out(job, wall.id) && beam_in_line(job, wall.id).is_some();
    if !caught {
        for upper in walls_on(job, wall.id) {
            wall_of_storey(job, upper, lies, follow, above, all);
        }
    }
}

/// Single members and posts that bear on a wall: nobody has said how a wall spreads what they bring, so that it can't be
/// told. What a change hangs on a beam once the wall comes out bears there.
fn untold_on(job: &Job, wall: &Record, follow: Follow<'_>) -> Vec<LineLoad> {
    untold(job, wall, |one| {
        still_bears(job, one, wall.id) && !follow.leaves_out(one.id)
    })
}

/// The same while a wall still stands: what a change hangs later bears on it, too.
pub(super) fn untold_while_it_stands(job: &Job, wall: &Record) -> Vec<LineLoad> {
    untold(job, wall, |_| true)
}

/// Posts of a beam in the wall's own line are left out: they wait for it to come out.
fn untold(job: &Job, wall: &Record, bears: impl Fn(&Record) -> bool) -> Vec<LineLoad> {
    let members = job
        .bearing_on(wall.id)
        .filter(|piece| piece.kind == Kind::Member && brings_a_load(piece) && bears(piece));
    let is_own = |post: &Record| {
        let beam = post.to("under").and_then(|id| job.get(id));
        beam.is_some_and(|beam| beam.kind == Kind::SetBeam && beam.to("wall") == Some(wall.id))
    };
    let posts = changes(job, Kind::SetPost).filter(|post| {
        let on = carriers(job, post);
        on.iter().any(|(one, _)| one.id == wall.id) && !is_own(post)
    });
    members
        .chain(posts)
        .map(|one| LineLoad::unknown(format!("{}, which bears on {}", one.name(), wall.name())))
        .collect()
}

/// Whether joists bear on this with their end, and not with their start.
fn ends_at(run: &Record, on: Uuid) -> bool {
    run.to("end_at") == Some(on) && run.to("start_at") != Some(on)
}

/// Walls that stand on a run of joists, for what the joists' start or end bears on: across joists that end there each end
/// takes its share by the lever, P (L − a)/L at the start and P a/L at the end. Else it can't be told.
fn walls_on_run(job: &Job, run: &Record, at_end: bool, passes: Passes, all: &mut LoadsOn) {
    for wall in walls_on(job, run.id) {
        let at = crosses(wall);
        // The longer span puts more on the start, the shorter on the end.
        let span = if at_end {
            least(job, run, 0, What::Span)
        } else {
            greatest(job, run, 0, What::Span)
        };
        let name = wall.name();
        let lever = match (&at, passes) {
            (None, _) => Err(format!("{name}: {}", how_it_stands(wall, run))),
            (Some(_), Passes::Through) => Err(format!(
                "{name}, by an engineer’s word: {} run through over what they bear on",
                run.name()
            )),
            (Some(_), Passes::NotKnown) => Err(format!(
                "{name}: whether {} ends there, laps or runs through",
                run.name()
            )),
            (Some(at), Passes::Ending) => match (at.value, span.value) {
                (Some(a), Some(long)) => Ok(if at_end { (a, long) } else { (long - a, long) }),
                (None, _) => Err(format!("{name}: {}", at.what)),
                (_, None) => Err(format!("{name}: {}", span.what)),
            },
        };
        match lever {
            Ok((arm, long)) => {
                let basis = Basis::of(&[&span]);
                let lines = along_wall(job, wall).0;
                all.line_loads
                    .extend(lines.into_iter().map(|load| LineLoad {
                        load: load.load.and_then(|load| by_the_lever(load, arm, long)),
                        basis: basis.clone().and(&load.basis),
                        ..load
                    }));
            }
            Err(what) => all.point_loads.push(not_told(&what)),
        }
    }
}

/// What to enter about a wall on joists, so that it can be told what it brings.
pub(crate) fn how_it_stands(wall: &Record, run: &Record) -> String {
    match wall.text("stands_how") {
        Some("along") => format!(
            "an engineer’s word on it, since it stands along one joist of {}",
            run.name()
        ),
        _ => format!(
            "whether it runs across {} or along one of them, and how far from their start, entered at the wall",
            run.name()
        ),
    }
}

/// A load of which nobody knows how much it is, nor where: what it takes to tell.
fn not_told(what: &str) -> PointLoad {
    let at = Measurement::agreed("", Length::ZERO);
    point(what, LoadKind::Dead, None, at, Basis::default())
}

fn passes(run: &Record) -> Passes {
    match run.text("over_wall") {
        Some("continuous") => Passes::Through,
        Some(_) => Passes::Ending,
        None if run.says("piece", "rafter") => Passes::Ending,
        None => Passes::NotKnown,
    }
}

/// Half a run's span of everything on it, along what it bears on; a rafter's roof likewise. Where the run goes on beyond
/// what it bears on, its span there counts too: until it is read, only the least is known.
fn from_run(job: &Job, run: &Record, passes: Passes) -> Vec<LineLoad> {
    let is_rafter = run.says("piece", "rafter");
    let span = if is_rafter {
        greatest(job, run, 0, What::Flat)
    } else {
        greatest(job, run, 0, What::Span)
    };
    let past = greatest_past(job, run);
    let mut all: Vec<AreaLoad> = if is_rafter {
        areas::on_roof(job, run)
    } else {
        areas::on_joists(job, run)
    };
    if !is_rafter {
        all.push(areas::of_themselves(job, run));
    }
    all.into_iter()
        .map(|area| {
            let known = area.load.zip(span.value);
            let (load, at_least) = match (known, passes, past.value) {
                (None, ..) => (None, None),
                (Some((load, span)), Passes::Ending, _) => {
                    (Some(joists_ending(span, Length::ZERO, load)), None)
                }
                (Some((load, span)), Passes::Through, Some(past)) => {
                    (Some(joists_running_over(span, past, load)), None)
                }
                (Some((load, span)), Passes::Through, None) => {
                    (None, Some(joists_running_over_at_least(span, load)))
                }
                (Some((load, span)), Passes::NotKnown, _) => {
                    (None, Some(joists_ending(span, Length::ZERO, load)))
                }
            };
            let what = match (known, passes) {
                (None, _) if area.load.is_some() => format!("{}: {}", area.what, span.what),
                (Some(_), Passes::Through) if load.is_none() => {
                    format!("{}: {}", area.what, past.what)
                }
                (Some(_), Passes::NotKnown) => format!(
                    "{}: whether {} ends there, laps or runs through",
                    area.what,
                    run.name()
                ),
                _ => area.what,
            };
            let lengths: &[&Measurement] = match passes {
                Passes::Through => &[&span, &past],
                _ => &[&span],
            };
            LineLoad {
                what,
                kind: area.kind,
                load,
                at_least,
                stretch: None,
                basis: Basis::of(lengths).and(&area.basis),
            }
        })
        .collect()
}

/// What a square foot of this wall weighs: 20 psf plastered, else 6.
pub(super) fn weight_of_wall(job: &Job, wall: &Record) -> crate::tables::loads::Load {
    let plastered = job
        .all(Kind::Layer)
        .filter(|layer| layer.to("of") == Some(wall.id))
        .any(|layer| {
            layer
                .text("material")
                .is_some_and(|one| one.contains("plaster"))
        });
    if plastered {
        PLASTERED_PARTITION
    } else {
        PARTITION
    }
}

/// How high a wall is: its studs' length, else the greatest ceiling height beside it.
fn height_of_wall(job: &Job, wall: &Record) -> Measurement {
    let studs = greatest(job, wall, 0, What::StudLength);
    if studs.value.is_some() {
        return studs;
    }
    let what = format!("height of {}", wall.name());
    let highest = job
        .measured_of(wall.id)
        .filter(|(spot, _)| spot.what == What::CeilingHeight)
        .max_by_key(|(_, measured)| measured.value);
    Measurement::greatest(what, highest.map(|(_, measured)| measured))
}

/// A wall's own weight along what it stands on.
pub(super) fn of_wall(job: &Job, wall: &Record) -> LineLoad {
    let weight = weight_of_wall(job, wall);
    let height = height_of_wall(job, wall);
    LineLoad {
        what: match height.value {
            Some(_) => format!("{}, {}", wall.name(), weight.of),
            None => format!("{}: its height", wall.name()),
        },
        kind: LoadKind::Dead,
        load: height
            .value
            .map(|height| partition_along(height, weight.psf)),
        at_least: None,
        stretch: None,
        basis: Basis::of(&[&height]).with(areas::figure(&weight)),
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
        return vec![not_told(&what)];
    };
    let whole = greatest(job, rafters, 0, What::Flat);
    let low = greatest(job, purlin, 0, What::Flat);
    let runs = whole
        .value
        .zip(low.value)
        .map(|(whole, low)| [low, (whole - low).max(Length::ZERO)]);
    let through = !struts.says("run_through", "no");
    let mut loads: Vec<(String, LoadKind, Option<_>, Basis)> = areas::on_roof(job, rafters)
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
            let basis = Basis::of(&[&whole, &low, &spacing]).and(&area.basis);
            (what, area.kind, load, basis)
        })
        .collect();
    let thickness = least(job, purlin, 0, What::Thickness);
    let depth = least(job, purlin, 0, What::Depth);
    loads.push((
        format!("{name}: own weight of {}", purlin.name()),
        LoadKind::Dead,
        weight_of(purlin, &thickness, &depth)
            .zip(spacing.value)
            .map(|(weight, spacing)| over(weight, spacing)),
        Basis::of(&[&thickness, &depth, &spacing]).with_weight_of(&old_wood(purlin)),
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
        for (what, kind, load, basis) in &loads {
            all.push(point(what, *kind, *load, at.clone(), basis.clone()));
        }
    }
    all
}

fn weight_of(piece: &Record, thickness: &Measurement, depth: &Measurement) -> Option<Plf> {
    let (thickness, depth) = (thickness.value?, depth.value?);
    Some(weight_along(Section { thickness, depth }, &old_wood(piece)))
}

/// What a wall and all that stands and bears on it put along what carries it, for a shore: struts that land on it aren't
/// spread, so their share isn't known.
pub(super) fn along_wall(job: &Job, wall: &Record) -> (Vec<LineLoad>, Vec<Uuid>) {
    let mut all = LoadsOn::default();
    let nowhere = Measurement::missing("its place");
    wall_and_above(job, wall, &nowhere, &nowhere, Follow::all(), &mut all);
    let mut lines = all.line_loads;
    let mut spread: Vec<String> = all.point_loads.into_iter().map(|one| one.what).collect();
    spread.dedup();
    let unknown = |what| LineLoad::unknown(format!("{what}, along the shore"));
    lines.extend(spread.into_iter().map(unknown));
    let ids = walls_on(job, wall.id).map(|upper| upper.id);
    (lines, ids.chain([wall.id]).collect())
}

/// Runs that bear on a wall from neither of its rooms, such as rafters, along it.
pub(super) fn along_of_run(job: &Job, run: &Record) -> Vec<LineLoad> {
    from_run(job, run, passes(run))
}
