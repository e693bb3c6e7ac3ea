//! Hangers on the joists that they are for, as found: one check for each run and size.
//!
//! Which hanger a joist gets is the takeoff's choice (`needs::hang_joists`). Source: as the check itself says.

use super::screens::unplaced_of;
use super::sizes::{field, greatest, least};
use super::{Check, CheckKind};
use crate::checks::fit::hanger::{HangerFit, hanger};
use crate::checks::{Finding, Measurement};
use crate::needs::{OnBeam, on_beam};
use crate::record::{Job, Record, What};

/// Hanger fit of every joist of the change; joists that are alike are said once.
pub(super) fn checks(job: &Job, change: &Record, out: &mut Vec<Check>) {
    let all = on_beam(job, change);
    if all.is_empty() {
        let needs = ["the joists that cross the beam, with their places and sizes".to_owned()];
        let found = Finding::cant_tell(&needs, "common practice, no published source");
        out.push(Check::of(
            CheckKind::HangerFit,
            change,
            change.name(),
            found,
        ));
        return;
    }
    for (run, what) in unplaced_of(job, change) {
        let found = Finding::cant_tell(&[what], "common practice, no published source");
        let check = Check::of(CheckKind::HangerFit, change, run.name(), found);
        out.push(check.about_all([run.id]));
    }
    for alike in alike(job, &all) {
        let one = alike[0];
        let name = which(&alike);
        let found = fit_of(job, one, &name);
        let kind = CheckKind::HangerFit;
        out.push(Check::of(kind, change, name, found).about_all([one.run.id]));
    }
}

type Take = fn(&Job, &Record, u32, What) -> Measurement;

/// Joists of one run, one size and one hanger, in the order in which they first come.
pub(super) fn alike<'a>(job: &Job, all: &'a [OnBeam<'a>]) -> Vec<Vec<&'a OnBeam<'a>>> {
    let size = |one: &OnBeam, what| {
        let of = |take: Take| take(job, one.run, one.number, what).value;
        [of(least), of(greatest)]
    };
    let mut groups: Vec<Vec<&OnBeam>> = Vec::new();
    for one in all {
        let known = groups.iter_mut().find(|group| {
            let other = group[0];
            other.run.id == one.run.id
                && other.hanger.map(|row| row.id) == one.hanger.map(|row| row.id)
                && size(other, What::Thickness) == size(one, What::Thickness)
                && size(other, What::Depth) == size(one, What::Depth)
        });
        match known {
            Some(group) => group.push(one),
            None => groups.push(vec![one]),
        }
    }
    groups
}

/// In words: `Ceiling joists, Kitchen, 1 to 4, 6 to 9`.
pub(super) fn which(group: &[&OnBeam]) -> String {
    let run = group[0].run.name();
    let numbers: Vec<u32> = group.iter().map(|one| one.number).collect();
    if numbers == [0] {
        return run.to_owned();
    }
    let mut stretches: Vec<(u32, u32)> = Vec::new();
    for n in numbers {
        match stretches.last_mut() {
            Some((_, last)) if *last + 1 == n => *last = n,
            _ => stretches.push((n, n)),
        }
    }
    let words: Vec<String> = stretches
        .into_iter()
        .map(|(from, to)| {
            if from == to {
                from.to_string()
            } else {
                format!("{from} to {to}")
            }
        })
        .collect();
    format!("{run}, {}", words.join(", "))
}

fn fit_of(job: &Job, one: &OnBeam, name: &str) -> Finding {
    let Some(row) = one.hanger else {
        let needs = [format!("a hanger for {name}: none of the table fits")];
        return Finding::cant_tell(&needs, "common practice, no published source");
    };
    let of = |what: &str, field_name: &'static str| -> Measurement { field(row, field_name, what) };
    let shim_ok = row.says("shim_ok", "yes");
    let plane_ok = row.says("plane_ok", "yes");
    hanger(&HangerFit {
        name: format!("{} on {name}", row.name()),
        thickness: least(job, one.run, one.number, What::Thickness),
        thickest: greatest(job, one.run, one.number, What::Thickness),
        depth: least(job, one.run, one.number, What::Depth),
        deepest: greatest(job, one.run, one.number, What::Depth),
        seat: of("seat", "seat"),
        height_from: of("for a joist depth from", "height_from"),
        height_to: of("height", "height_to"),
        shim_ok,
        plane_ok,
    })
}
