//! Screens of what is on record, and the load path that feeds them.
//!
//! How members and their loads are read is in `load_path::members`. Source: as the screens say.

mod shores;

use super::hangers::{alike, which};
use super::{Check, CheckKind};
use crate::checks::load_path::chain::{on_the_wall, path_below, path_of};
use crate::checks::load_path::links::{carriers, unplaced};
use crate::checks::load_path::members::how_it_stands;
use crate::checks::load_path::{State, Step, members};
use crate::checks::screening::hanger::{Hanger, HangerSeat};
use crate::checks::screening::joist::Joist;
use crate::checks::screening::tributary::over;
use crate::checks::screening::{self, Screened, beam as beams, joist as joist_screen};
use crate::checks::{Finding, Verdict};
use crate::needs::{SeatFit, on_beam};
use crate::record::{Job, Kind, Record};
use crate::units::{Length, Pounds};

pub(super) use shores::{
    joists_between, joists_held, shore, shore_pad, shored_floor, shored_support,
};

const PATH_SOURCE: &str = "links of the record; common practice, no published source";

/// The load path of a beam, of a wall that comes out, of struts.
pub(super) fn path(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let steps: Vec<Step> = match change.kind {
        Kind::SetBeam => path_of(job, change).steps().cloned().collect(),
        Kind::TakeOut => change
            .to("wall")
            .map(|wall| on_the_wall(job, wall))
            .unwrap_or_default(),
        _ => path_below(job, change),
    };
    if steps.is_empty() && change.kind == Kind::TakeOut {
        let wall = change.to("wall").and_then(|id| job.get(id));
        if wall.is_some_and(|wall| wall.says("bearing", "no")) {
            return;
        }
    }
    let of: Vec<_> = steps.iter().filter_map(|step| step.of).collect();
    let found = judge(change.name(), &steps);
    out.push(Check::of(CheckKind::LoadPath, change, change.name(), found).about_all(of));
}

fn judge(name: &str, steps: &[Step]) -> Finding {
    let of = |state| -> Vec<String> {
        let all = steps.iter().filter(|step| step.state == state);
        let mut words: Vec<String> = all.map(|step| step.words.clone()).collect();
        words.dedup();
        words
    };
    let (missing, unknown, inferred) =
        (of(State::Missing), of(State::NotKnown), of(State::Inferred));
    if !missing.is_empty() {
        let says = format!("The load path has a gap: {}.", missing.join("; "));
        let mut found = Finding::new(Verdict::Stop, says, PATH_SOURCE);
        found.measure = unknown;
        return found;
    }
    if steps.is_empty() {
        let needs = [format!("what bears on {name} and on what it bears")];
        return Finding::cant_tell(&needs, PATH_SOURCE);
    }
    if !unknown.is_empty() {
        return Finding::cant_tell(&unknown, PATH_SOURCE);
    }
    let words: Vec<String> = steps.iter().map(|step| step.words.clone()).collect();
    if !inferred.is_empty() {
        let says = format!(
            "Nobody has recorded it, but by where they lie the load goes by {}.",
            inferred.join(", ")
        );
        return Finding::new(Verdict::Look, says, PATH_SOURCE);
    }
    let says = format!("Every link of it is on record: {}.", words.join(", "));
    Finding::new(Verdict::Pass, says, PATH_SOURCE)
}

/// The screen of a new beam.
pub(super) fn beam(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let member = members::beam(job, change);
    let found = beams::screen(&member);
    out.push(Check::screened(CheckKind::BeamScreen, change, found));
}

/// The screen of a post, and of the members and pads that carry it.
pub(super) fn post(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let model = members::post(job, change);
    let found = screening::post::screen(&model);
    out.push(Check::screened(CheckKind::PostScreen, change, found));
    for (carrier, _) in carriers(job, change) {
        if carrier.says_piece("pad") {
            let found = screening::pad::screen(&members::pad(job, carrier));
            let check = Check::screened(CheckKind::PadScreen, change, found);
            out.push(check.about_all([carrier.id]));
        } else if carrier.kind == Kind::Member {
            let found = beams::screen(&members::beam(job, carrier));
            let check = Check::screened(CheckKind::MemberScreen, change, found);
            out.push(check.about_all([carrier.id]));
        }
    }
}

/// What the screen of a member says with all that stands on it; of joists on a floor it can't be told here.
pub(super) fn carrier_verdict(job: &Job, carrier: &Record) -> Option<Verdict> {
    match carrier.kind {
        Kind::Member if carrier.says_piece("pad") => {
            Some(screening::pad::screen(&members::pad(job, carrier)).verdict)
        }
        Kind::Member => Some(beams::screen(&members::beam(job, carrier)).verdict),
        _ => None,
    }
}

/// A joist's screen with the walls that stand on its run.
fn with_walls(job: &Job, run: &Record, joist: &Joist) -> Screened {
    tried_with_walls(job, run, joist, joist_screen::screen)
}

/// A screen of a joist or its hanger with the walls that stand on the joist's run: across them a load at its place on each,
/// along them all of it on one. Where nobody has said which, it is tried as a load all along one joist, which is more than
/// it brings across them wherever it stands, from a span of two distances on. What passes with that passes; what passes
/// only without it can't be told.
///
/// Across: P = w·s at a place, greatest moment wsL/4 and reaction ws; along: wL²/8 and wL/2, more from L = 2s on.
fn tried_with_walls(
    job: &Job,
    run: &Record,
    joist: &Joist,
    screen: impl Fn(&Joist) -> Screened,
) -> Screened {
    let without = screen(joist);
    let walls: Vec<&Record> = members::walls_on(job, run.id).collect();
    if walls.is_empty() || matches!(without.verdict, Verdict::Stop | Verdict::CantTellYet) {
        return without;
    }
    let mut with = joist.clone();
    let mut untold: Vec<&Record> = Vec::new();
    for wall in walls {
        let lines = members::wall_line(job, wall);
        match members::crosses(wall).filter(|at| at.value.is_some()) {
            Some(at) => {
                let spacing = joist.spacing.value;
                let points = lines.into_iter().map(|line| {
                    let load = line.load.zip(spacing);
                    let load = load.map(|(load, spacing)| over(load, spacing));
                    members::point(&line.what, line.kind, load, at.clone(), line.basis)
                });
                with.member.point_loads.extend(points);
            }
            None if wall.says("stands_how", "along") => with.member.line_loads.extend(lines),
            None => untold.push(wall),
        }
    }
    let told = screen(&with);
    if untold.is_empty() || matches!(told.verdict, Verdict::Stop | Verdict::CantTellYet) {
        return told;
    }
    for wall in &untold {
        with.member.line_loads.extend(members::wall_line(job, wall));
    }
    let mut found = screen(&with);
    let span = joist.member.clear.first().and_then(|one| one.value);
    let two = joist.spacing.value.map(|spacing| spacing * 2);
    let covers_across = span.zip(two).is_some_and(|(span, two)| span >= two);
    if found.verdict == Verdict::Stop || !covers_across {
        let asks = |wall: &&Record| format!("{}: {}", wall.name(), how_it_stands(wall, run));
        let asks: Vec<String> = untold.iter().map(asks).collect();
        let needs = format!("{}; all of it along one joist is too much", asks.join("; "));
        found.sentence = format!("{} needs {needs}.", found.name);
        found.verdict = Verdict::CantTellYet;
        found.measure.push(needs);
    }
    found
}

/// Hung joists on their new spans, and their hangers; joists that are alike are said once.
pub(super) fn joists(job: &Job, change: &Record, out: &mut Vec<Check>) {
    for (run, what) in unplaced_of(job, change) {
        for kind in [CheckKind::JoistScreen, CheckKind::HangerScreen] {
            let found = Finding::cant_tell(std::slice::from_ref(&what), PATH_SOURCE);
            out.push(Check::of(kind, change, run.name(), found).about_all([run.id]));
        }
    }
    for group in alike(job, &on_beam(job, change)) {
        let one = group[0];
        let name = which(&group);
        let joist = members::joist(job, one.run, one.number, &name);
        let found = with_walls(job, one.run, &joist);
        let check = Check::screened(CheckKind::JoistScreen, change, found);
        out.push(check.about_all([one.run.id]));
        let Some(row) = one.hanger else { continue };
        let load = row.number("load_lb").map(Pounds::whole);
        let hangs_at = usize::from(members::hangs_by_its_end(job, one.run));
        let hanger = |joist: &Joist| {
            let member = joist_screen::as_member(joist);
            screening::hanger::screen(&Hanger {
                name: format!("{} on {name}", row.name()),
                reactions: beams::reactions(&member, hangs_at),
                basis: beams::basis(&member),
                sheet_load: load,
                sheet: row.text("sheet").unwrap_or("not named").to_owned(),
                seat: match one.fit {
                    Some(SeatFit::Shimmed) => HangerSeat::Shimmed,
                    Some(SeatFit::Planed) => HangerSeat::Planed,
                    Some(SeatFit::AsFound) | None => HangerSeat::AsItIs,
                },
            })
        };
        let found = tried_with_walls(job, one.run, &joist, hanger);
        let check = Check::screened(CheckKind::HangerScreen, change, found);
        out.push(check.about_all([one.run.id, row.id]));
    }
}

/// Joists that a change hangs without a place on record, each with what to record.
pub(super) fn unplaced_of<'a>(job: &'a Job, change: &Record) -> Vec<(&'a Record, String)> {
    let runs = change.all_to("runs");
    let runs = runs.into_iter().filter_map(|id| job.get(id));
    runs.filter_map(|run| Some((run, unplaced(job, run)?)))
        .collect()
}

/// How far a beam that a change sets sags under dead load.
pub(super) fn dead_load_sag(job: &Job, beam: &Record) -> Option<Length> {
    beams::dead_sag(&members::beam(job, beam))
}
