//! Screens a beam or a joist: bending, shear, sag, bearing, under every combination of loads, its own weight added.
//!
//! One or two spans, sawn or built up of plies beside each other. Braced sideways where joists hold its top edge or its
//! depth is at most twice its thickness; else it is to be looked at. What is missing is said, and nothing guessed.
//! Source: NDS 3.2 to 3.5 and 3.10, IRC R301.7; bounds and the rule for what isn't known are conservative practice.

mod prepared;
mod worse;

use uuid::Uuid;

use self::prepared::prepare;
use self::worse::INPUTS;
use super::bending::Model;
use super::combination::LoadKind;
use super::measures::{length_down, pounds_up};
use super::member::{Known, Member, On};
use super::screened::{Gathered, LeastDepth, PASS_TO, Screened, most_sensitive};
use super::wood::Wood;
use crate::checks::{Measurement, missing};
use crate::needs::{Sum, sum};
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::{Length, Nominal, Pounds};

/// Longer clear spans are not covered.
pub const LONGEST_SPAN: Length = Length::feet(20);

/// Screens a beam or a joist.
pub fn screen(member: &Member) -> Screened {
    let mut found = Gathered {
        measure: unknown(member),
        looks: looks(member),
        readings: readings(member),
        ..Gathered::default()
    };
    let prepared = if found.measure.is_empty() {
        prepare(member)
    } else {
        None
    };
    match prepared {
        Some(Ok((model, figures))) => {
            found.ratios = model.ratios();
            found.sums = shared_sums(member, &model);
            found.sensitivity = most_sensitive(&model, INPUTS, Model::greatest);
            found.least_depth = Some(least_depth(member));
            found.figures = figures;
        }
        Some(Err(why)) => found.measure.push(why),
        None => {}
    }
    found.conclude(&member.name)
}

/// The reaction at a support, the first being 0, under every combination; nothing where something is missing.
pub fn reactions(member: &Member, support: usize) -> Vec<(&'static str, f64)> {
    if !unknown(member).is_empty() || support >= member.bearings.len() {
        return Vec::new();
    }
    match prepare(member) {
        Some(Ok((model, _))) => model.reactions(support),
        _ => Vec::new(),
    }
}

/// What each kind of load brings to a support, the first being 0, its own weight among the dead load; nothing where
/// something is missing. Rounded up to a hundredth of a pound.
pub fn reactions_by_kind(member: &Member, support: usize) -> Vec<(LoadKind, Pounds)> {
    if !unknown(member).is_empty() || support >= member.bearings.len() {
        return Vec::new();
    }
    match prepare(member) {
        Some(Ok((model, _))) => model
            .reactions_by_kind(support)
            .into_iter()
            .map(|(kind, load)| (kind, pounds_up(load)))
            .collect(),
        _ => Vec::new(),
    }
}

/// How far it sags under dead load alone, creep left out, down to 1/64 in; `None` where something is missing.
pub fn dead_sag(member: &Member) -> Option<Length> {
    if !unknown(member).is_empty() {
        return None;
    }
    match prepare(member) {
        Some(Ok((model, _))) => Some(length_down(model.dead_sag())),
        _ => None,
    }
}

/// What stands in the way of working it out.
fn unknown(member: &Member) -> Vec<String> {
    let mut lengths: Vec<&Measurement> = vec![&member.thickness, &member.depth];
    lengths.extend(&member.clear);
    for bearing in &member.bearings {
        lengths.push(&bearing.length);
        lengths.extend(&bearing.width);
    }
    let mut all = missing(&lengths);
    all.extend(off_the_beam(member));
    let no_length = |one: &&&Measurement| one.value.is_some_and(|value| value < Length::ZERO);
    all.extend(
        lengths
            .iter()
            .filter(no_length)
            .map(|one| format!("{} read again: it is below zero", one.what)),
    );
    all.extend(
        [&member.thickness, &member.depth]
            .into_iter()
            .chain(&member.clear)
            .filter(|one| one.value == Some(Length::ZERO))
            .map(|one| format!("{} read again: it is zero", one.what)),
    );
    for bearing in &member.bearings {
        if bearing.on == On::NotKnown || bearing.on == On::Wood(Vec::new()) {
            all.push(format!("what its {} bears on", bearing.place));
        }
    }
    let line = member
        .line_loads
        .iter()
        .map(|one| (one.load.is_none(), &one.what));
    let point = member
        .point_loads
        .iter()
        .map(|one| (one.load.is_none(), &one.what));
    all.extend(
        line.chain(point)
            .filter(|(gone, _)| *gone)
            .map(|(_, what)| format!("the load of {what}")),
    );
    all.extend(no_load(member));
    all.extend(member.condition.hinders());
    if !(1..=2).contains(&member.clear.len())
        || member.bearings.len() != member.clear.len() + 1
        || member.plies == 0
    {
        all.push("its plies, and one or two spans with a bearing at each support".to_owned());
    }
    let long = |span: &&Measurement| span.value.is_some_and(|value| value > LONGEST_SPAN);
    if let Some(span) = member.clear.iter().find(long) {
        all.push(format!(
            "an engineer: {} is over 20 ft, which this screen doesn’t cover",
            span.what
        ));
    }
    all
}

/// A beam without a load isn't one that passes; a stretch that ends where it begins carries nothing.
fn no_load(member: &Member) -> Vec<String> {
    if member.line_loads.is_empty() && member.point_loads.is_empty() {
        return vec!["what it carries".to_owned()];
    }
    member
        .line_loads
        .iter()
        .filter(|line| line.stretch.is_some_and(|(from, to)| to <= from))
        .map(|line| format!("the stretch of {} read again", line.what))
        .collect()
}

/// Places of loads that aren't recorded, or lie beyond its ends.
fn off_the_beam(member: &Member) -> Vec<String> {
    let of = |one: &Measurement| one.value.unwrap_or(Length::ZERO);
    let clear: Length = member.clear.iter().map(of).sum();
    let seats: Vec<Length> = member.bearings.iter().map(|one| of(&one.length)).collect();
    let before = -seats.first().copied().unwrap_or(Length::ZERO);
    let far = clear + seats.iter().skip(1).copied().sum();
    let loads = member.point_loads.iter().map(|load| &load.at);
    loads
        .filter_map(|at| match at.value {
            None => Some(at.what.clone()),
            Some(value) if value < before || value > far => {
                Some(format!("{} read again: it is beyond its end", at.what))
            }
            Some(_) => None,
        })
        .collect()
}

/// What makes it at most to be looked at.
fn looks(member: &Member) -> Vec<String> {
    let mut all: Vec<String> = unknown_wood(&member.wood);
    let mut lengths = vec![&member.thickness, &member.depth];
    lengths.extend(&member.clear);
    lengths.extend(member.bearings.iter().map(|bearing| &bearing.length));
    all.extend(not_agreed(&lengths));
    let section = member.thickness.value.zip(member.depth.value);
    let slender = section
        .is_some_and(|(thickness, depth)| depth > thickness * (2 * i64::from(member.plies.max(1))));
    if slender && member.top_edge != Known::Yes {
        all.push("nothing is recorded that holds its top edge sideways".to_owned());
    }
    if member.hangers_on_one_face && member.plies > 1 {
        all.push(
            "joists hang on one face alone: the engineer says how the plies are fastened".into(),
        );
    }
    all
}

/// What is said of wood that isn't known.
pub(crate) fn unknown_wood(wood: &Wood) -> Vec<String> {
    wood.unknown()
        .into_iter()
        .map(|what| format!("its {what} is not known, and the weakest listed was taken"))
        .collect()
}

/// What is said of lengths that don't stand on two readings.
pub(crate) fn not_agreed(lengths: &[&Measurement]) -> Vec<String> {
    lengths
        .iter()
        .filter(|one| one.value.is_some() && !one.agreed)
        .map(|one| format!("{} isn’t agreed by two readings", one.what))
        .collect()
}

fn readings(member: &Member) -> Vec<Uuid> {
    let mut all: Vec<&Measurement> = vec![&member.thickness, &member.depth];
    all.extend(&member.clear);
    for bearing in &member.bearings {
        all.push(&bearing.length);
        all.extend(&bearing.width);
    }
    all.extend(member.point_loads.iter().map(|load| &load.at));
    all.iter()
        .flat_map(|one| one.readings.iter().copied())
        .collect()
}

fn shared_sums(member: &Member, model: &Model) -> Vec<Sum> {
    let mut all = vec![sum(
        "Section",
        format!(
            "{:.2} × {:.2} in",
            model.section.thickness, model.section.depth
        ),
        match member.plies {
            1 => "one ply".to_owned(),
            plies => format!("{plies} plies"),
        },
    )];
    for (clear, design) in member.clear.iter().zip(model.design_spans()) {
        let value = clear.value.unwrap_or(Length::ZERO);
        all.push(sum(
            clear.what.clone(),
            format!("{value} in"),
            "clear".to_owned(),
        ));
        all.push(sum(
            "Design span",
            format!("{design:.1} in"),
            "clear + half the bearing needed at each end",
        ));
    }
    for line in &member.line_loads {
        if let Some(load) = line.load {
            all.push(sum(line.what.clone(), load.to_string(), line.kind.words()));
        }
    }
    let weight = model.section.area() / 144.0 * member.wood.density();
    all.push(sum(
        "Its own weight",
        format!("{weight:.1} lb/ft"),
        format!("{:.1} lb/cu ft", member.wood.density()),
    ));
    for point in &member.point_loads {
        if let Some((load, at)) = point.load.zip(point.at.value) {
            all.push(sum(
                point.what.clone(),
                load.to_string(),
                format!("{}, {at} in from the support", point.kind.words()),
            ));
        }
    }
    all
}

/// The nominal thickness of a ply as found: the least that is not thinner.
fn nominal_thickness(thickness: Length) -> Option<u8> {
    (2..=16).find(|n| thickness <= Length::inches(i64::from(*n)))
}

/// The least PS 20 depth of that thickness, grade and plies that passes, to nominal 16.
///
/// Bearing under a deeper beam grows by its own weight alone, so a beam that fails there passes at no depth.
fn least_depth(member: &Member) -> LeastDepth {
    const WIDTHS: [u8; 9] = [3, 4, 5, 6, 8, 10, 12, 14, 16];
    let Some(thick) = member.thickness.value.and_then(nominal_thickness) else {
        return LeastDepth::NoneTo16;
    };
    for width in WIDTHS.into_iter().filter(|width| *width >= thick) {
        let nominal = Nominal::quarters(4 * thick, width);
        let Some(section) = dressed(nominal, default_seasoning(nominal)) else {
            continue;
        };
        let mut other = member.clone();
        other.depth.value = Some(section.depth);
        if let Some(Ok((model, _))) = prepare(&other)
            && model.greatest() <= PASS_TO
        {
            return LeastDepth::From(nominal, section.depth);
        }
    }
    LeastDepth::NoneTo16
}
