//! Screens of what is on record, and the load path that feeds them.
//!
//! How members and their loads are read is in `load_path::members`. Source: as the screens say.

mod shores;

use super::hangers::{alike, which};
use super::{Check, CheckKind};
use crate::checks::load_path::chain::{on_the_wall, path_of};
use crate::checks::load_path::links::{carriers, changes};
use crate::checks::load_path::{State, Step, areas, members};
use crate::checks::screening::hanger::{Hanger, HangerSeat};
use crate::checks::screening::{self, beam as beams, joist as joist_screen};
use crate::checks::{Finding, Verdict};
use crate::needs::{SeatFit, on_beam};
use crate::record::{Job, Kind, Record};
use crate::units::{Length, Pounds};

pub(super) use shores::{shore, shore_pad_verdict, shored_floor_verdict};

const PATH_SOURCE: &str = "links of the record; common practice, no published source";

/// The load path of a beam, of a wall that comes out, of struts.
pub(super) fn path(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let steps: Vec<Step> = match change.kind {
        Kind::SetBeam => path_of(job, change).steps().cloned().collect(),
        Kind::TakeOut => change
            .to("wall")
            .map(|wall| on_the_wall(job, wall))
            .unwrap_or_default(),
        _ => struts_path(job, change),
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

fn struts_path(job: &Job, struts: &Record) -> Vec<Step> {
    use crate::checks::load_path::links::{On, supports};
    supports(job, struts)
        .into_iter()
        .map(|on| match on {
            On::Thing(id, _) => Step {
                of: Some(id),
                words: job.name(id).to_owned(),
                state: State::Recorded,
            },
            On::Ground(words) => Step {
                of: None,
                words,
                state: State::Recorded,
            },
            On::NotKnown(words) => Step {
                of: None,
                words,
                state: State::NotKnown,
            },
            On::Nothing(words) => Step {
                of: None,
                words,
                state: State::Missing,
            },
        })
        .collect()
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
            "Look: nobody has recorded it, but by where they lie the load goes by {}.",
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
    let mut check = Check::screened(CheckKind::BeamScreen, change, beams::screen(&member));
    for run in hung_runs(job, change) {
        add_figures(&mut check, areas::figures(job, run));
    }
    for struts in members::struts_on(job, change.id) {
        if let Some(rafters) = struts.to("rafters").and_then(|id| job.get(id)) {
            add_figures(&mut check, areas::on_roof(job, rafters).1);
        }
    }
    out.push(check);
}

fn hung_runs<'a>(job: &'a Job, beam: &Record) -> Vec<&'a Record> {
    changes(job, Kind::HangJoists)
        .filter(|hang| hang.to("beam") == Some(beam.id))
        .flat_map(|hang| hang.all_to("runs"))
        .filter_map(|id| job.get(id))
        .collect()
}

fn add_figures(check: &mut Check, figures: Vec<screening::Figure>) {
    for figure in figures {
        if !check.figures.contains(&figure) {
            check.figures.push(figure);
        }
    }
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

/// Hung joists on their new spans, and their hangers; joists that are alike are said once.
pub(super) fn joists(job: &Job, change: &Record, out: &mut Vec<Check>) {
    for group in alike(job, &on_beam(job, change)) {
        let one = group[0];
        let name = which(&group);
        let joist = members::joist(job, one.run, one.number, &name);
        let found = joist_screen::screen(&joist);
        let mut check =
            Check::screened(CheckKind::JoistScreen, change, found).about_all([one.run.id]);
        add_figures(&mut check, areas::figures(job, one.run));
        out.push(check);
        let Some(row) = one.hanger else { continue };
        let load = row.number("load_lb").map(Pounds::whole);
        let found = screening::hanger::screen(&Hanger {
            name: format!("{} on {name}", row.name()),
            reactions: beams::reactions(&joist_screen::as_member(&joist), 0),
            sheet_load: load,
            sheet: row.text("sheet").unwrap_or("not named").to_owned(),
            seat: match one.fit {
                Some(SeatFit::Shimmed) => HangerSeat::Shimmed,
                Some(SeatFit::Planed) => HangerSeat::Planed,
                Some(SeatFit::AsFound) | None => HangerSeat::AsItIs,
            },
        });
        let check = Check::screened(CheckKind::HangerScreen, change, found);
        out.push(check.about_all([one.run.id, row.id]));
    }
}

/// How far the beam in the line of a wall sags under dead load.
pub(super) fn dead_load_sag(job: &Job, wall: uuid::Uuid) -> Option<Length> {
    changes(job, Kind::SetBeam)
        .find(|beam| beam.to("wall") == Some(wall))
        .and_then(|beam| beams::dead_sag(&members::beam(job, beam)))
}
