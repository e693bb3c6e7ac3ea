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
use super::basis::Basis;
use super::bending::Model;
use super::combination::LoadKind;
use super::measures::{length_down, pounds_up};
use super::member::{Known, Member, On};
use super::screened::{Gathered, LeastDepth, PASS_TO, Screened, most_sensitive};
use super::wood::{Told, Wood};
use crate::checks::{Measurement, Verdict, missing};
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
    if !found.measure.is_empty() {
        if stands_in_the_way(member).is_empty() {
            stop_by_what_is_known(member, &mut found);
        }
        return found.conclude(&member.name);
    }
    match prepare(member) {
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

/// Where loads alone aren't known: what is known of them, and what they are at least, may be too much already. What isn't
/// known only adds to it.
fn stop_by_what_is_known(member: &Member, found: &mut Gathered) {
    let Some(Ok((model, figures))) = prepare(member) else {
        return;
    };
    let ratios = model.ratios();
    if ratios.iter().all(|ratio| ratio.verdict() != Verdict::Stop) {
        return;
    }
    found.ratios = ratios;
    found.sums = shared_sums(member, &model);
    found.sensitivity = most_sensitive(&model, INPUTS, Model::greatest);
    found.figures = figures;
    found.looks.push(format!(
        "that is by what is known of its loads alone; not known is {}",
        found.measure.join("; ")
    ));
}

/// What a member and its loads rest on, for what they bring to the member below.
pub(crate) fn basis(member: &Member) -> Basis {
    Basis::of(&lengths(member)).and(&Basis::of_loads(&member.line_loads, &member.point_loads))
}

/// What stands in the way of working out what it brings down.
pub(crate) fn lacks(member: &Member) -> Vec<String> {
    unknown(member)
}

/// The lengths of the member itself.
fn lengths(member: &Member) -> Vec<&Measurement> {
    let mut all: Vec<&Measurement> = vec![&member.thickness, &member.depth];
    all.extend(&member.clear);
    for bearing in &member.bearings {
        all.push(&bearing.length);
        all.extend(&bearing.width);
    }
    all
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
    let mut all = stands_in_the_way(member);
    let line = member
        .line_loads
        .iter()
        .map(|one| (one.load.is_none(), &one.what));
    let point = member
        .point_loads
        .iter()
        .map(|one| (one.load.is_none(), &one.what));
    for (_, what) in line.chain(point).filter(|(gone, _)| *gone) {
        let load = format!("the load of {what}");
        if !all.contains(&load) {
            all.push(load);
        }
    }
    all
}

/// That, loads that aren't known left aside.
fn stands_in_the_way(member: &Member) -> Vec<String> {
    let lengths = lengths(member);
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
    // A load that isn't known has no place to read yet.
    let loads = member
        .point_loads
        .iter()
        .filter(|load| load.load.is_some())
        .map(|load| &load.at);
    let mut all: Vec<String> = loads
        .filter_map(|at| match at.value {
            None => Some(at.what.clone()),
            Some(value) if value < before || value > far => {
                Some(format!("{} read again: it is beyond its end", at.what))
            }
            Some(_) => None,
        })
        .collect();
    all.dedup();
    all
}

/// What makes it at most to be looked at.
fn looks(member: &Member) -> Vec<String> {
    let mut all: Vec<String> = unknown_wood(&member.wood);
    let basis = basis(member);
    let mut lengths = basis.measurements();
    let places = member.point_loads.iter().map(|load| &load.at);
    lengths.extend(places);
    all.extend(not_agreed(&lengths));
    all.extend(
        member
            .bearings
            .iter()
            // Its own wood is said already.
            .filter_map(|one| unknown_under(&one.place, &one.on, Some(&member.wood))),
    );
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

/// What is said of wood under a seat whose species isn't known: the weakest listed is taken for it.
pub(crate) fn unknown_under(place: &str, on: &On, own: Option<&Wood>) -> Option<String> {
    let On::Wood(pieces) = on else { return None };
    let is_unknown = |one: &Wood| one.species == Told::NotKnown && Some(one) != own;
    pieces.iter().any(is_unknown).then(|| {
        format!("the species of what its {place} bears on is not known, and the weakest listed was taken")
    })
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
    let mut all: Vec<String> = Vec::new();
    for one in lengths
        .iter()
        .filter(|one| one.value.is_some() && !one.agreed)
    {
        let why = format!("{} isn’t agreed by two readings", one.what);
        if !all.contains(&why) {
            all.push(why);
        }
    }
    all
}

fn readings(member: &Member) -> Vec<Uuid> {
    let mut all = basis(member).readings();
    let places = member.point_loads.iter().map(|load| &load.at);
    all.extend(places.flat_map(|one| one.readings.iter().copied()));
    all
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
