//! The studs of one shored side on one storey: from what they are cut, how they are fitted, and how far one leans.
//!
//! Source: common practice, no published source.

use uuid::Uuid;

use super::super::heights::Height;
use super::super::inputs::{Read, miss, must_have, read};
use super::super::piece::{by_count, cut_sum, is_length, stick};
use super::super::{Class, Fact, Fill, Finding, Sum, Takeoff, Verdict, result, sum};
use super::pieces::temporary;
use super::run::Run;
use super::{Shore, Stand, inches};
use crate::record::{Spot, What};
use crate::units::Length;

/// What a pair of wedges takes up.
const WEDGED: Length = Length::from_64ths(16);
/// How much longer a driven stud is.
const DRIVEN: Length = Length::from_64ths(4);
/// Wedges where they are used, then studs with a reading of their own, then the rest.
pub(super) fn push_studs(shore: &Shore, stand: &Stand, run: &Run, out: &mut Takeoff) {
    let Some(fit) = fit(shore, out) else { return };
    if fit.wedges {
        let class = Class::Sundry {
            name: "pair of shoring wedges".to_owned(),
            unit: "each".to_owned(),
        };
        let title = stand.title("Pair of wedges");
        let mut need = by_count(&stand.slot("wedges"), &title, class, run.studs);
        need.sums.push(run.sum.clone());
        need.sums.push(run.studs_sum.clone());
        let note = "a pair for each stud";
        need.sums.push(result("Pairs", run.studs.to_string(), note));
        need.readings = run.wall.iter().map(|read| read.reading).collect();
        out.needs.push(need);
    }
    let between = between_plates(shore, stand);
    let mut rest = run.studs;
    for n in 1..=u32::try_from(run.studs).unwrap_or(0) {
        let own = between.iter().filter(|(spot, _)| spot.number == n);
        let Some((_, read)) = own.min_by_key(|(_, read)| read.value) else {
            continue;
        };
        rest -= 1;
        let slot = format!("{}.own.{n}", stand.slot("stud"));
        let label = format!("Plate to plate, stud {n}");
        let clear = clear_of(shore, &label, read);
        push_stud(shore, stand, run, (&slot, 1, Some(n)), (&clear, &fit), out);
    }
    if rest == 0 {
        return;
    }
    let least = between.iter().min_by_key(|(_, read)| read.value);
    let clear = match least {
        Some((_, read)) => Some(clear_of(shore, "Plate to plate, the least read", read)),
        None => clear_by_height(shore, stand, out),
    };
    if let Some(clear) = clear {
        let slot = stand.slot("stud");
        push_stud(shore, stand, run, (&slot, rest, None), (&clear, &fit), out);
    }
}

/// From plate to plate: what a stud's length starts from.
struct Clear {
    length: Length,
    sums: Vec<Sum>,
    readings: Vec<Uuid>,
    held: Option<String>,
}

/// Readings between the shoring plates of this side and storey. Where one side alone stands, they need not name it. Of
/// several that name one stud, the least counts.
fn between_plates(shore: &Shore, stand: &Stand) -> Vec<(Spot, Read)> {
    let here = |spot: &Spot| {
        spot.what == What::BetweenPlates
            && stand.places.contains(&spot.place)
            && (spot.side == stand.side || (shore.one_side && spot.side.is_empty()))
    };
    shore
        .job
        .measured_of(shore.change.id)
        .filter(|(spot, _)| here(spot))
        .filter_map(|(spot, _)| Some((spot.clone(), read(shore.job, spot)?)))
        .collect()
}

fn clear_of(shore: &Shore, label: &str, read: &Read) -> Clear {
    Clear {
        length: read.value,
        sums: vec![sum(label, inches(read.value), shore.change.name())],
        readings: vec![read.reading],
        held: read.held.clone(),
    }
}

/// By the least agreed ceiling height, less planks and plates. Held while another height there isn't agreed.
fn clear_by_height(shore: &Shore, stand: &Stand, out: &mut Takeoff) -> Option<Clear> {
    let waits = stand.title("Shoring studs");
    let agreed = |height: &&Height| height.read.held.is_none();
    let least = stand
        .heights
        .iter()
        .filter(agreed)
        .min_by_key(|height| height.read.value);
    let Some(least) = least else {
        let spot = stand
            .heights
            .iter()
            .min_by_key(|height| height.read.value)
            .map_or(&stand.at, |height| &height.spot);
        let text = format!(
            "an agreed ceiling height, {}, or plate to plate",
            stand.words
        );
        miss(out, &text, &waits, Fill::Reading(spot.clone()));
        return None;
    };
    let plank = if shore.planks == 0 {
        Length::ZERO
    } else if let Some(plank) = &shore.plank {
        plank.dressed.thickness
    } else {
        let fill = Fill::Field {
            of: shore.change.id,
            field: "plank",
        };
        miss(out, "the planks’ thickness", &waits, fill);
        return None;
    };
    let (value, plate) = (least.read.value, shore.thickness);
    let mut sums = vec![sum(
        "Ceiling height, the least that is agreed",
        inches(value),
        least.place(shore.job),
    )];
    if shore.planks > 0 {
        let note = "one layer under the bottom plate";
        sums.push(sum("− planks", inches(plank), note));
    }
    sums.push(sum("− bottom plate", inches(plate), ""));
    let note = match shore.top_plies {
        1 => String::new(),
        n => format!("{n} of {plate}"),
    };
    let top = plate * shore.top_plies;
    sums.push(sum("− top plate", inches(top), note));
    Some(Clear {
        length: value - plank - plate - top,
        sums,
        readings: vec![least.read.reading],
        held: stand.heights.iter().find_map(|h| h.read.held.clone()),
    })
}

/// How the studs are fitted.
struct Fit {
    add: Length,
    sum: Sum,
    wedges: bool,
    leaning: bool,
}

fn fit(shore: &Shore, out: &mut Takeoff) -> Option<Fit> {
    let change = shore.change;
    let fit = match change.text("fit") {
        Some("driven") => Fit {
            add: DRIVEN,
            sum: sum("+ driven fit", inches(DRIVEN), "plumb; snug, not jacked"),
            wedges: false,
            leaning: false,
        },
        Some("leaning") => {
            let text = "how much longer the leaning studs are";
            let lean = change.length("lean");
            let lean = must_have(lean, change.id, "lean", text, "Shoring studs", out)?;
            Fit {
                add: lean,
                sum: sum("+ leaning", inches(lean), "as recorded"),
                wedges: false,
                leaning: true,
            }
        }
        _ => Fit {
            add: -WEDGED,
            sum: sum(
                "− wedges",
                inches(WEDGED),
                "a pair of wedges a stud; snug, not jacked",
            ),
            wedges: true,
            leaning: false,
        },
    };
    Some(fit)
}

fn push_stud(
    shore: &Shore,
    stand: &Stand,
    run: &Run,
    (slot, count, own): (&str, i64, Option<u32>),
    (clear, fit): (&Clear, &Fit),
    out: &mut Takeoff,
) {
    let title = stand.title("Shoring stud");
    let cut = clear.length + fit.add;
    let read_at = Spot::of(shore.change.id, What::BetweenPlates)
        .side(stand.side)
        .place(stand.places.first().map_or("", String::as_str))
        .number(own.unwrap_or(0));
    if !is_length(cut, read_at, &title, out) {
        return;
    }
    if fit.leaning {
        push_lean(&title, own, cut, clear.length, out);
    }
    let Some(class) = &shore.class else { return };
    let mut need = temporary(stick(slot, &title, class, count, cut, "ST"));
    need.readings.clone_from(&clear.readings);
    need.held.clone_from(&clear.held);
    if own.is_none() {
        need.readings
            .extend(run.wall.iter().map(|read| read.reading));
        need.sums.push(run.sum.clone());
        need.sums.push(run.studs_sum.clone());
        if count < run.studs {
            let note = "the others have their own reading";
            need.sums
                .push(sum("Of this length", count.to_string(), note));
        }
    }
    need.sums.extend(clear.sums.iter().cloned());
    need.sums.push(fit.sum.clone());
    need.sums.push(cut_sum(shore.job, cut, need.held.as_ref()));
    out.needs.push(need);
}

/// How far a longer stud leans, up to 1/64: √(cut² − clear²). It is looked at.
fn push_lean(title: &str, own: Option<u32>, cut: Length, clear: Length, out: &mut Takeoff) {
    let square = |length: Length| i128::from(length.as_64ths()).pow(2);
    let beyond = square(cut) - square(clear);
    let root = beyond.isqrt();
    let up = root + i128::from(root * root < beyond);
    let number = i64::try_from(up).expect("shorter than the stud");
    let which = own.map_or(String::new(), |n| format!(", stud {n}"));
    let lean = Length::from_64ths(number);
    out.facts.push(Fact {
        name: "lean_64",
        title: format!("Lean, {title}{which}"),
        value: inches(lean),
        number,
        sums: vec![result(
            "Lean",
            inches(lean),
            format!("√({cut}² − {clear}²), up to 1/64"),
        )],
    });
    out.findings.push(Finding {
        verdict: Verdict::Look,
        text: format!(
            "{title}{which}: {cut} in long between plates {clear} apart, it leans {lean} in. Wedge it plumb, or look at it with the engineer."
        ),
    });
}
