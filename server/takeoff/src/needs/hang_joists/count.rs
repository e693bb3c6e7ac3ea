//! Hangers, their fasteners and their shims, counted by row of the hardware table.
//!
//! Which row takes which joist is decided before. Source: the hanger row's own schedule, never a stand-in.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::inputs::{fastener_class, miss};
use super::super::piece::{by_count, inches};
use super::super::{Class, Fact, FastenerClass, Fill, Need, Takeoff, result, sum};
use super::End;
use super::choose::{Hanger, Joint, PLAY};
use crate::record::job::natural;
use crate::record::{Job, Record};
use crate::units::Length;

/// What makes a joist fit its hanger.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fit {
    /// Nothing.
    AsFound,
    /// A shim of this thickness.
    Shim(Length),
    /// So much planed off.
    Plane(Length),
}

/// A name in its order, then the id.
type Name = (Vec<(String, u64)>, Uuid);

/// Cut ends that get the same hanger.
#[derive(Default)]
pub(super) struct Hung {
    count: i64,
    lines: BTreeMap<(Joint, Name), Line>,
    readings: BTreeSet<Uuid>,
}

/// Those of one run and one section.
struct Line {
    name: String,
    joists: i64,
    each: i64,
}

impl Hung {
    /// One joist's ends more.
    pub(super) fn add(&mut self, end: &End) {
        let name = (natural(end.run.name()), end.run.id);
        let line = self.lines.entry((end.joint, name)).or_insert_with(|| Line {
            name: end.run.name().to_owned(),
            joists: 0,
            each: end.hangers,
        });
        line.joists += 1;
        self.count += end.hangers;
        self.readings.extend(&end.readings);
    }
}

/// A hanger, what makes it fit, and the ends that get it.
pub(super) type Chosen<'a> = (Hanger<'a>, Fit, Hung);

/// Hangers by row of the table, and their fasteners by class.
pub(super) fn push_hangers(job: &Job, chosen: &[Chosen], out: &mut Takeoff) {
    let mut of_row: BTreeMap<(Length, Name), (&Record, Vec<&Hung>)> = BTreeMap::new();
    for (hanger, _, hung) in chosen {
        let row = hanger.row;
        let key = (hanger.seat, (natural(row.name()), row.id));
        let (_, all) = of_row.entry(key).or_insert((row, Vec::new()));
        all.push(hung);
    }
    let mut fasteners: BTreeMap<FastenerClass, Need> = BTreeMap::new();
    for ((seat, _), (row, all)) in of_row {
        let hangers = all.iter().map(|hung| hung.count).sum();
        let mut need = by_count(
            &format!("hanger.{}", row.id),
            &format!("Joist hanger, {}", row.name()),
            Class::Hardware { row: row.id },
            hangers,
        );
        let readings: BTreeSet<Uuid> = all
            .iter()
            .flat_map(|hung| &hung.readings)
            .copied()
            .collect();
        need.readings = readings.iter().copied().collect();
        for ((joint, _), line) in all.iter().flat_map(|hung| &hung.lines) {
            need.sums.push(sum(
                &line.name,
                (line.joists * line.each).to_string(),
                format!(
                    "{} joists × {}, {} × {} as found",
                    line.joists, line.each, joint.thickness, joint.depth
                ),
            ));
        }
        need.sums.push(result(
            "Hangers",
            hangers.to_string(),
            format!("seat {}", inches(seat)),
        ));
        for (class, each, into) in schedule(job, row, out) {
            let count = each * hangers;
            let title = format!("Hanger fastener, {class}");
            let slot = format!("fastener.{class}");
            let all = fasteners
                .entry(class.clone())
                .or_insert_with(|| by_count(&slot, &title, Class::Fastener(class), 0));
            all.count += count;
            all.sums.push(sum(
                format!("Into the {into}"),
                count.to_string(),
                format!("{} × {each}, by the sheet of {}", hangers, row.name()),
            ));
            all.readings.extend(&readings);
        }
        out.needs.push(need);
    }
    for mut need in fasteners.into_values() {
        need.readings.sort_unstable();
        need.readings.dedup();
        let count = need.count.to_string();
        need.sums.push(result("Fasteners", count, ""));
        out.needs.push(need);
    }
}

/// Hangers for full-size joists that no row of the table takes, nor could be made to: to be asked for by seat and height.
/// Their fasteners are their own sheet's, and so wait for it.
pub(super) fn push_full_size(joint: Joint, hung: &Hung, out: &mut Takeoff) {
    let seat = format!("{} to {}", joint.thickness, joint.thickness + PLAY);
    let height = Length::from_64ths(-(-joint.depth.as_64ths() * 3).div_euclid(5));
    let name =
        format!("joist hanger for full-size lumber, seat {seat} in, {height} in high or more");
    let class = Class::Sundry {
        name: name.clone(),
        unit: "each".to_owned(),
    };
    let slot = format!("hanger.full.{}x{}", joint.thickness, joint.depth);
    let mut need = by_count(&slot, &name, class, hung.count);
    need.readings = hung.readings.iter().copied().collect();
    need.sums = vec![
        sum(
            "Joist as found",
            format!("{} × {} in", joint.thickness, joint.depth),
            "no hanger of the table takes it, with shims or planing neither",
        ),
        sum(
            "Seat",
            format!("{seat} in"),
            "as thick as the joist, and 1/8 more at most",
        ),
        sum(
            "Height",
            inches(height),
            "six tenths of the joist’s depth or more",
        ),
        result("Hangers", hung.count.to_string(), "one for each cut end"),
    ];
    out.needs.push(need);
}

/// The hanger's own schedule: class, how many, into which member. A part that isn't filled in is said; never a stand-in.
fn schedule(job: &Job, row: &Record, out: &mut Takeoff) -> Vec<(FastenerClass, i64, &'static str)> {
    let parts = [
        ("carrying_fastener", "carrying_count", "carrying member"),
        ("carried_fastener", "carried_count", "carried member"),
    ];
    let mut schedule = Vec::new();
    for (fastener, count, into) in parts {
        match (row.text(fastener), row.number(count)) {
            (_, Some(0)) => {}
            (Some(what), Some(each)) => schedule.push((fastener_class(job, what), each, into)),
            (what, _) => {
                let text = format!(
                    "fastener schedule of {}, into the {into}, from its sheet",
                    row.name()
                );
                let of = row.id;
                let field = if what.is_none() { fastener } else { count };
                miss(out, &text, "Hanger fasteners", Fill::Field { of, field });
            }
        }
    }
    schedule
}

/// Shims to buy, and what is planed off.
pub(super) fn push_shims(chosen: &[Chosen], out: &mut Takeoff) {
    let mut made: BTreeMap<Fit, (i64, BTreeSet<Uuid>)> = BTreeMap::new();
    for (_, fit, hung) in chosen {
        let (count, readings) = made.entry(*fit).or_default();
        *count += hung.count;
        readings.extend(&hung.readings);
    }
    for (fit, (count, readings)) in made {
        match fit {
            Fit::AsFound => {}
            Fit::Shim(thick) => {
                let name = format!("hanger shim {}", inches(thick));
                let class = Class::Sundry {
                    name,
                    unit: "each".to_owned(),
                };
                let title = format!("Hanger shim, {}", inches(thick));
                let mut need = by_count(&format!("shim.{thick}"), &title, class, count);
                need.readings = readings.into_iter().collect();
                let note = format!("one a hanger, seat − joist = {}", inches(thick));
                need.sums.push(result("Shims", count.to_string(), note));
                out.needs.push(need);
            }
            Fit::Plane(off) => out.facts.push(Fact {
                name: "plane_64",
                title: "Plane off the joist at its hanger".to_owned(),
                value: format!("{} at {count} ends", inches(off)),
                number: off.as_64ths(),
                sums: vec![result(
                    "Joist − seat",
                    inches(off),
                    format!("at {count} ends; the sheet allows it"),
                )],
            }),
        }
    }
}
