//! Hang joists on a beam (rule 4 of takeoff): which joists cross it, a hanger for each cut end, and the hangers' fasteners.
//!
//! A joist crosses where its thickness touches the beam's length, bearings included. One that is partly past the end is
//! neither cut nor hung until it is recorded which. Which hanger takes which joist stands in `choose`. A hanger chosen by
//! hand serves the joists that it fits as found; recorded to be shimmed or planed, it serves those that no hanger fits.
//!
//! Source: common practice, no published source; fasteners by the maker's sheet alone.
//!
//! Example: 9 joists of 1 3/4 × 5 3/4, lapped over the wall, within the beam: 9 hangers with a seat of 1 13/16; with 14
//! fasteners each, 126.

mod choose;
mod count;

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use self::choose::{Hanger, Joint, best, offers};
pub(crate) use self::choose::{PLANE, PLAY, SHIM, hardware_in_one};
use self::count::{Fit, Hung, push_full_size, push_hangers, push_shims};
use super::inputs::{miss, must_have, must_read};
use super::joists::{Joist, depth, joists};
use super::piece::inches;
use super::{Fill, Finding, Takeoff, Verdict, beam};
use crate::record::job::natural;
use crate::record::{Job, Kind, Record, Spot, What};
use crate::units::Length;

const WAITS: &str = "Joist hangers";

/// The needs of hanging joists.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let ends = ends_of(job, change, out);
    hang(job, change, &ends, out);
}

/// The cut ends of every joist of the change that crosses its beam.
fn ends_of<'a>(job: &'a Job, change: &Record, out: &mut Takeoff) -> Vec<End<'a>> {
    let mut ends = Vec::new();
    let on = change.to("beam").and_then(|on| job.get(on));
    let on = must_have(on, change.id, "beam", "the beam", WAITS, out);
    let Some(lie) = on.and_then(|on| Lie::of(job, on, out)) else {
        return ends;
    };
    let mut runs: Vec<&Record> = change
        .all_to("runs")
        .into_iter()
        .filter_map(|run| job.get(run))
        .collect();
    runs.sort_by_key(|run| run.id);
    runs.dedup_by_key(|run| run.id);
    runs.sort_by_key(|run| natural(run.name()));
    must_have(runs.first(), change.id, "runs", "the joists", WAITS, out);
    for run in runs {
        cut_ends(job, change, &lie, run, &mut ends, out);
    }
    ends
}

/// Where a beam lies along its wall, and how deep it is.
struct Lie {
    walls: Vec<Uuid>,
    name: String,
    from: Length,
    to: Length,
    depth: Length,
    readings: BTreeSet<Uuid>,
}

impl Lie {
    fn of(job: &Job, on: &Record, out: &mut Takeoff) -> Option<Self> {
        if on.kind == Kind::SetBeam {
            let text = "the beam’s start, from the zero end";
            let from = must_have(on.length("from"), on.id, "from", text, WAITS, out);
            let length = beam::length(job, on, WAITS, out);
            let section = beam::section(job, on, WAITS, out);
            let (from, length, section) = (from?, length?, section?);
            return Some(Self {
                walls: on.to("wall").into_iter().collect(),
                name: on.name().to_owned(),
                from,
                to: from + length.value,
                depth: section.depth,
                readings: length.readings.into_iter().collect(),
            });
        }
        let name = on.name();
        let mut of = |what, text: &str| {
            let text = format!("{text} of {name}");
            must_read(job, Spot::of(on.id, what), &text, WAITS, out)
        };
        let place = of(What::Place, "the place");
        let length = of(What::Length, "the length");
        let thickness = of(What::Thickness, "the thickness");
        let depth = of(What::Depth, "the depth");
        let (place, length, thickness, depth) = (place?, length?, thickness?, depth?);
        let read = [&place, &length, &thickness, &depth];
        Some(Self {
            walls: [on.to("measured_from"), on.to("wall")]
                .into_iter()
                .flatten()
                .collect(),
            name: name.to_owned(),
            from: place.value,
            to: place.value + length.value,
            depth: depth.value,
            readings: read.iter().map(|read| read.reading).collect(),
        })
    }
}

/// A joist that hangs on a beam, with the hanger that it gets.
pub(crate) struct OnBeam<'a> {
    /// Its run, or the member that it is.
    pub(crate) run: &'a Record,
    /// Its number in the run; 0 for a member by itself.
    pub(crate) number: u32,
    /// The hanger: the one that fits, else the one chosen by hand.
    pub(crate) hanger: Option<&'a Record>,
    /// What makes it fit, where something does.
    pub(crate) fit: Option<SeatFit>,
}

/// How a joist is made to fit its hanger.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum SeatFit {
    /// As it is.
    AsFound,
    /// With a shim.
    Shimmed,
    /// Planed.
    Planed,
}

/// Every joist that a change hangs, with its hanger, in the order of runs and places.
pub(crate) fn on_beam<'a>(job: &'a Job, change: &Record) -> Vec<OnBeam<'a>> {
    let mut unsaid = super::of_nothing(change);
    let by_hand = change.to("hanger").and_then(|row| job.get(row));
    ends_of(job, change, &mut unsaid)
        .into_iter()
        .map(|end| {
            let chosen = choose(job, change, end.joint, &mut unsaid);
            OnBeam {
                run: end.run,
                number: end.number,
                hanger: chosen.map(|(hanger, _)| hanger.row).or(by_hand),
                fit: chosen.map(|(_, fit)| match fit {
                    Fit::AsFound => SeatFit::AsFound,
                    Fit::Shim(_) => SeatFit::Shimmed,
                    Fit::Plane(_) => SeatFit::Planed,
                }),
            }
        })
        .collect()
}

/// Cut ends of one joist that are hung.
struct End<'a> {
    run: &'a Record,
    number: u32,
    hangers: i64,
    joint: Joint,
    readings: BTreeSet<Uuid>,
}

/// The cut ends of a run on this beam; what is partly past its end is looked at.
fn cut_ends<'a>(
    job: &Job,
    change: &Record,
    lie: &Lie,
    run: &'a Record,
    ends: &mut Vec<End<'a>>,
    out: &mut Takeoff,
) {
    let name = run.name();
    let shift = shift(change, lie, run, out);
    let each = match run.text("over_wall") {
        Some("continuous") => Some(2),
        Some(_) => Some(1),
        None => {
            let text = format!("whether {name} laps, runs through or ends at the wall");
            let (of, field) = (run.id, "over_wall");
            miss(out, &text, WAITS, Fill::Field { of, field });
            None
        }
    };
    let all = joists(job, run, WAITS, out);
    let (Some(shift), Some(all)) = (shift, all) else {
        return;
    };
    for joist in all {
        if !is_hung(change, lie, run, &joist, shift, out) {
            continue;
        }
        let depth = depth(job, run, joist.number, WAITS, out);
        let (Some(each), Some(depth)) = (each, depth) else {
            continue;
        };
        let mut readings = joist.readings;
        readings.insert(depth.reading);
        readings.extend(&lie.readings);
        ends.push(End {
            run,
            number: joist.number,
            hangers: each,
            joint: Joint {
                thickness: joist.thickness,
                depth: depth.value,
                beam_depth: lie.depth,
            },
            readings,
        });
    }
}

/// What brings a joist's place into the beam's measure: nothing where both go from the same wall or the joists' wall isn't
/// recorded, else where that wall stands.
fn shift(change: &Record, lie: &Lie, run: &Record, out: &mut Takeoff) -> Option<Length> {
    match run.to("measured_from") {
        Some(wall) if !lie.walls.contains(&wall) => must_have(
            change.length("runs_zero"),
            change.id,
            "runs_zero",
            "where the joists’ wall stands, from the beam’s zero end",
            WAITS,
            out,
        ),
        _ => Some(Length::ZERO),
    }
}

/// Whether a joist is cut and hung; one that is partly past the beam's end only if that is recorded.
fn is_hung(
    change: &Record,
    lie: &Lie,
    run: &Record,
    joist: &Joist,
    shift: Length,
    out: &mut Takeoff,
) -> bool {
    let (near, far) = (joist.near() + shift, joist.far() + shift);
    if far < lie.from || near > lie.to {
        return false;
    }
    if near >= lie.from && far <= lie.to {
        return true;
    }
    if let Some(word) = change.text("partly") {
        return word == "hang";
    }
    let which = match joist.number {
        0 => run.name().to_owned(),
        number => format!("Joist {number} of {}", run.name()),
    };
    let past = format!(
        "is partly past the end of {} ({} to {} in)",
        lie.name, lie.from, lie.to
    );
    out.findings.push(Finding {
        verdict: Verdict::Look,
        text: format!(
            "{which}, {near} to {far} in, {past}: neither cut nor hung. Record whether it is hung or left."
        ),
    });
    false
}

/// Chooses a hanger for every end, and counts them by hanger.
fn hang(job: &Job, change: &Record, ends: &[End], out: &mut Takeoff) {
    let mut alike: BTreeMap<Joint, Hung> = BTreeMap::new();
    for end in ends {
        alike.entry(end.joint).or_default().add(end);
    }
    let mut chosen = Vec::new();
    for (joint, hung) in alike {
        match choose(job, change, joint, out) {
            Some((hanger, fit)) => chosen.push((hanger, fit, hung)),
            None if change.to("hanger").is_none() && is_full_size(job, joint) => {
                push_full_size(joint, &hung, out);
            }
            None => {}
        }
    }
    push_hangers(job, &chosen, out);
    push_shims(&chosen, out);
}

/// Whether neither shims nor planing would make any hanger of the table take a joist.
fn is_full_size(job: &Job, joint: Joint) -> bool {
    offers(job, joint).iter().all(Option::is_none)
}

/// The hanger for a joist and what makes it fit; if there is none, says what to do.
fn choose<'a>(
    job: &'a Job,
    change: &Record,
    joint: Joint,
    out: &mut Takeoff,
) -> Option<(Hanger<'a>, Fit)> {
    let by_hand = change.to("hanger").and_then(|row| job.get(row));
    let fit = change.text("hanger_fit");
    let as_found = |hanger| (hanger, Fit::AsFound);
    if let Some(hanger) = by_hand.and_then(Hanger::of)
        && hanger.fits(joint)
        && matches!(fit, None | Some("as_is"))
    {
        return Some(as_found(hanger));
    }
    if let Some(hanger) = best(job, joint) {
        return Some(as_found(hanger));
    }
    if let Some(row) = by_hand {
        return made_to_fit(change, row, fit, joint, out);
    }
    offer(job, change, joint, out);
    None
}

/// The hanger chosen by hand for a joist that nothing fits: shimmed or planed as recorded, within what its sheet allows.
fn made_to_fit<'a>(
    change: &Record,
    row: &'a Record,
    fit: Option<&str>,
    joint: Joint,
    out: &mut Takeoff,
) -> Option<(Hanger<'a>, Fit)> {
    let name = row.name();
    let Some(hanger) = Hanger::of(row) else {
        let text = format!("seat and heights of {name}, from its sheet");
        let (of, field) = (row.id, "seat");
        miss(out, &text, WAITS, Fill::Field { of, field });
        return None;
    };
    let text = format!("whether the joist is shimmed or planed for {name}");
    let fit = must_have(fit, change.id, "hanger_fit", &text, WAITS, out)?;
    let (over, under) = (hanger.seat - joint.thickness, joint.thickness - hanger.seat);
    let why = match fit {
        _ if !hanger.takes_height(joint) => "its heights don’t take this joist and beam".to_owned(),
        "shim" if hanger.may_be_shimmed(joint) => return Some((hanger, Fit::Shim(over))),
        "plane" if hanger.may_be_planed_to(joint) => return Some((hanger, Fit::Plane(under))),
        "shim" if over <= Length::ZERO => "its seat is no wider than the joist".to_owned(),
        "shim" if over > SHIM => format!("the shim would be {}, over {SHIM}", inches(over)),
        "shim" => "its sheet isn’t recorded to allow shims".to_owned(),
        "plane" if under <= Length::ZERO => "its seat is no narrower than the joist".to_owned(),
        "plane" if under > PLANE => {
            format!("{} would come off the joist, over {PLANE}", inches(under))
        }
        "plane" => "its sheet isn’t recorded to allow planing".to_owned(),
        _ => format!("its seat is {}", inches(hanger.seat)),
    };
    out.findings.push(Finding {
        verdict: Verdict::Stop,
        text: format!(
            "{name} can’t take a joist of {} × {}: {why}. Choose another hanger.",
            joint.thickness, joint.depth
        ),
    });
    None
}

/// Offers the next wider with a shim and the next narrower with planing, the wider first.
fn offer(job: &Job, change: &Record, joint: Joint, out: &mut Takeoff) {
    let [wider, narrower] = offers(job, joint);
    let mut ways = Vec::new();
    if let Some(hanger) = wider {
        let shim = hanger.seat - joint.thickness;
        ways.push(format!(
            "next wider {}, seat {}, with shims {shim}",
            hanger.row.name(),
            hanger.seat
        ));
    }
    if let Some(hanger) = narrower {
        let off = joint.thickness - hanger.seat;
        ways.push(format!(
            "next narrower {}, seat {}, planing {off}",
            hanger.row.name(),
            hanger.seat
        ));
    }
    let found = format!(
        "a hanger chosen by hand; no hanger fits {} × {} as found",
        joint.thickness, joint.depth
    );
    if ways.is_empty() {
        let text = format!("{found}, nor with shims or planing; add one to the hardware table");
        miss(out, &text, WAITS, Fill::Thing(Kind::Hardware));
    } else {
        let text = format!("{found}: {}; choose one", ways.join(", or "));
        let (of, field) = (change.id, "hanger");
        miss(out, &text, WAITS, Fill::Field { of, field });
    }
}

#[cfg(test)]
mod tests;
