//! Set a beam (rule 3 of takeoff): its plies, the nails between them, how far joists are cut back, its weight, and how it
//! stands to the engineer's section.
//!
//! How long it is stands in `beam`. Whether it carries, fits through the door or bears enough is the checks' matter.
//!
//! Source: IRC Table R602.3(1) for the nails (see `tables::fastening`), AWC data for the weight (see `tables::density`);
//! the rest is common practice, no published source.
//!
//! Example: three 2×10, L 146 3/4 in. With 10d box each ply joint takes 2 × (up(146 3/4 ÷ 24) − 1) + 2 × 3 = 18 nails; two
//! joints: 36.

mod engineer;

use super::beam::{self, BeamLength, Lumber};
use super::inputs::{fastener_class, must_have, nail, setting, stick_class, treatment};
use super::piece::{by_count, cut_sum, inches, size_of, stick};
use super::{Class, Fact, Takeoff, result, sum};
use crate::record::settings::BEAM_CLEARANCE;
use crate::record::{Job, Record};
use crate::tables::density::{Species, UNKNOWN_TENTHS_LB_PER_CU_FT, weight_up};
use crate::tables::fastening::Connection;
use crate::tables::ps20::Seasoning;
use crate::units::{Length, Section};

/// The needs of a change that sets a beam.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let Some(size) = size_of(change, "nominal") else {
        beam::miss_size(change, change.name(), out);
        return;
    };
    let waits = format!("Beam ply, {size}");
    let plies = must_have(
        beam::plies(change),
        change.id,
        "plies",
        "the plies",
        &waits,
        out,
    );
    let length = beam::length(job, change, &waits, out);
    let class = stick_class(job, change, &size, treatment(change), &waits, out);
    if let (Some(class), Some(plies), Some(length)) = (class, plies, &length) {
        let mut need = stick("ply", &waits, &class, plies, length.value, "BM");
        need.crown_up = true;
        need.in_waste = false;
        need.held.clone_from(&length.held);
        need.readings.clone_from(&length.readings);
        need.sums.clone_from(&length.sums);
        need.sums
            .push(cut_sum(job, length.value, need.held.as_ref()));
        out.needs.push(need);
    }
    let Some(plies) = plies else {
        return;
    };
    push_nails(job, change, plies, length.as_ref(), out);
    let Some(lumber) = beam::lumber(job, change, size) else {
        return; // said by the class
    };
    push_cut_back(job, change, plies, lumber.section, out);
    if let Some(length) = &length {
        push_weight(change, plies, &lumber, length.value, out);
    }
    engineer::compare(job, change, plies, lumber.section, out);
}

/// Nails between the plies, for each of the p − 1 joints: two lines along it and the ends. One need for each nail.
fn push_nails(
    job: &Job,
    change: &Record,
    plies: i64,
    length: Option<&BeamLength>,
    out: &mut Takeoff,
) {
    let joints = plies - 1;
    if joints < 1 {
        return;
    }
    let waits = "Nails between the plies";
    let (lines, ends) = (Connection::BuiltupBeamLines, Connection::BuiltupBeamEnds);
    let (own_lines, own_ends) = (Some("nail_lines"), Some("nail_ends"));
    let lines = nail(
        job,
        change,
        own_lines,
        "nail_builtup_lines",
        lines,
        waits,
        out,
    );
    let ends = nail(job, change, own_ends, "nail_builtup_ends", ends, waits, out);

    let along = lines.zip(length).and_then(|(row, length)| {
        let (spacing, long) = (row.spacing?, length.value);
        let each = 2 * (long.div_up(spacing) - 1).max(0);
        let note = format!("2 × (up({long} ÷ {spacing}) − 1)");
        let mut need = by_count(
            "nail.lines",
            "Nail between the plies, along them",
            Class::Fastener(fastener_class(job, &row.nail.text())),
            each,
        );
        need.readings.clone_from(&length.readings);
        need.sums
            .push(sum("Along a ply joint", each.to_string(), note));
        Some(need)
    });
    let at_ends = ends.and_then(|row| {
        let count = i64::from(row.count?);
        let mut need = by_count(
            "nail.ends",
            "Nail between the plies, at their ends",
            Class::Fastener(fastener_class(job, &row.nail.text())),
            2 * count,
        );
        let note = format!("2 ends × {count}");
        need.sums.push(sum(
            "At the ends of a ply joint",
            (2 * count).to_string(),
            note,
        ));
        Some(need)
    });
    let needs = match (along, at_ends) {
        (Some(mut along), Some(at_ends)) if along.class == at_ends.class => {
            "nail".clone_into(&mut along.slot);
            "Nail between the plies".clone_into(&mut along.title);
            along.count += at_ends.count;
            along.sums.extend(at_ends.sums);
            vec![along]
        }
        (along, at_ends) => along.into_iter().chain(at_ends).collect(),
    };
    for mut need in needs {
        let note = format!("{} per ply joint × {joints}", need.count);
        need.count *= joints;
        need.sums
            .push(result("Nails", need.count.to_string(), note));
        if need.count > 0 {
            out.needs.push(need);
        }
    }
}

/// How far every joist within a flush beam's length is cut back from the beam's centreline.
fn push_cut_back(job: &Job, change: &Record, plies: i64, ply: Section, out: &mut Takeoff) {
    let waits = "Cut-back of the joists";
    let set = must_have(
        change.text("set"),
        change.id,
        "set",
        "whether the beam is flush with the joists or below them",
        waits,
        out,
    );
    if set != Some("flush") {
        return;
    }
    let clearance = setting(job, change, "clearance", "beam_clearance", BEAM_CLEARANCE);
    let thickness = ply.thickness * plies;
    let half = thickness.half_down();
    let back = half + clearance;
    out.facts.push(Fact {
        name: "cut_back_64",
        title: waits.to_owned(),
        value: format!("{} a side, from the beam’s centreline", inches(back)),
        number: back.as_64ths(),
        sums: vec![
            sum(
                "Half the beam’s thickness",
                inches(half),
                format!("{plies} × {} ÷ 2", ply.thickness),
            ),
            sum(
                "+ clearance",
                inches(clearance),
                "the hanger’s sheet may want less",
            ),
            result("Cut back a side", inches(back), "from its centreline"),
        ],
    });
}

/// Weight and people: of a ply, or of the whole beam where it is one piece or raised whole.
fn push_weight(change: &Record, plies: i64, lumber: &Lumber, length: Length, out: &mut Takeoff) {
    let whole = plies == 1 || change.says("raised_whole", "yes");
    let section = Section {
        thickness: lumber.section.thickness * if whole { plies } else { 1 },
        depth: lumber.section.depth,
    };
    let known = lumber.species.as_deref().and_then(Species::from_name);
    let pounds = weight_up(section, length, known, lumber.seasoning);
    let density = known.map_or(UNKNOWN_TENTHS_LB_PER_CU_FT, Species::tenths_lb_per_cu_ft);
    let per_foot = format!(
        "{}.{} lb/cu ft",
        density.div_euclid(10),
        density.rem_euclid(10)
    );
    let species = match (known, &lumber.species) {
        (Some(species), _) => species.name().to_owned(),
        (None, Some(name)) => format!("{name}: weight not on record, taken as the heaviest"),
        (None, None) => "species not recorded, taken as the heaviest".to_owned(),
    };
    let green = match lumber.seasoning {
        Seasoning::Dry => "",
        Seasoning::Green => ", green × 1.2",
    };
    let title = if whole { "Weight" } else { "Weight of a ply" };
    let weight = result(
        title,
        format!("{pounds} lb"),
        format!("{section} × {length} ÷ 1728 × {per_foot}{green}, up"),
    );
    out.facts.push(Fact {
        name: "weight_lb",
        title: title.to_owned(),
        value: format!("{pounds} lb"),
        number: pounds,
        sums: vec![sum("Density", per_foot, species), weight],
    });
    let people = -(-pounds).div_euclid(50);
    let title = if whole {
        "People to raise it"
    } else {
        "People to raise a ply"
    };
    out.facts.push(Fact {
        name: "people",
        title: title.to_owned(),
        value: people.to_string(),
        number: people,
        sums: vec![result(
            title,
            people.to_string(),
            format!("up({pounds} ÷ 50)"),
        )],
    });
}

#[cfg(test)]
mod tests;
