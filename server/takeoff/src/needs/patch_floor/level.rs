//! What lies between a subfloor and its joists: adhesive, and strips that bring it level with the floor as found.
//!
//! Source: common practice, no published source.

use super::super::filler::{Strip, push_strip};
use super::super::inputs::{must_read, read, setting};
use super::super::outline::Span;
use super::super::panels::Sheet;
use super::super::piece::{by_count, inches};
use super::super::{Class, Fact, Finding, Takeoff, Verdict, result, sum};
use super::Patch;
use crate::checks::fit::TOUCHING;
use crate::record::settings::ADHESIVE_TUBE;
use crate::record::{Job, Record, Spot, What};
use crate::units::Length;

const FOOT: Length = Length::feet(1);

fn floor_spot(change: &Record) -> Spot {
    Spot::of(change.id, What::FloorThickness)
}

/// How the panel meets the floor as found: proud of it stops.
pub(super) fn check(job: &Job, change: &Record, sheet: &Sheet, out: &mut Takeoff) {
    let waits = "Filler strips, or whether it stands proud";
    let text = "the floor as found, its thickness";
    let Some(floor) = must_read(job, floor_spot(change), text, waits, out) else {
        return;
    };
    let panel = sheet.class.thickness;
    let over = floor.value - panel;
    out.facts.push(Fact {
        name: "floor_over_panel",
        title: "Floor as found over the panel".to_owned(),
        value: inches(over),
        number: over.as_64ths(),
        sums: vec![
            sum("Floor as found", inches(floor.value), change.name()),
            sum("− panel", inches(panel), sheet.class.panel.clone()),
            result("Over", inches(over), ""),
        ],
    });
    if over < -TOUCHING {
        out.findings.push(Finding {
            verdict: Verdict::Stop,
            text: format!(
                "A panel of {panel} stands {} proud of the floor as found, {}. Choose a thinner one.",
                inches(-over),
                inches(floor.value)
            ),
        });
    }
}

/// Adhesive by the tube: every joist inside, and the outline.
pub(super) fn push_adhesive(patch: &Patch, out: &mut Takeoff) {
    if !patch.change.says("adhesive", "yes") {
        return;
    }
    let Patch { job, change, .. } = patch;
    let tube = setting(job, change, "adhesive_tube", "adhesive_tube", ADHESIVE_TUBE);
    let inside = inside(patch);
    let uprights = patch.outline.uprights();
    let along: Length = uprights.iter().map(|edge| edge.levels.length()).sum();
    let across = patch.outline.flats();
    let all = inside + along + across;
    let class = Class::Sundry {
        name: "subfloor adhesive".to_owned(),
        unit: "tube".to_owned(),
    };
    let tubes = all.div_up(tube);
    let mut need = by_count("adhesive", "Adhesive", class, tubes);
    need.sums = vec![
        sum("On joists inside", inches(inside), ""),
        sum("+ edges along the joists", inches(along), ""),
        sum("+ edges across", inches(across), ""),
        result(
            "Tubes",
            tubes.to_string(),
            format!(
                "up({all} ÷ {tube}): a tube serves {} ft",
                tube.div_down(FOOT)
            ),
        ),
    ];
    need.readings = patch.laid.readings();
    out.needs.push(need);
}

/// Strips on every joist under the patch, where the floor as found is higher than the panel.
pub(super) fn push_filler(patch: &Patch, out: &mut Takeoff) {
    let Some(floor) = read(patch.job, &floor_spot(patch.change)) else {
        return;
    };
    let thickness = floor.value - patch.laid.sheet.class.thickness;
    if thickness <= TOUCHING {
        return;
    }
    let inside = inside(patch);
    let edges: Length = patch
        .outline
        .uprights()
        .iter()
        .filter(|edge| {
            let at = if edge.starts {
                edge.at + patch.laid.gap
            } else {
                edge.at - patch.laid.gap
            };
            patch.laid.holds(at, edge.starts).is_some()
        })
        .map(|edge| edge.levels.length())
        .sum();
    let mut readings = patch.laid.readings();
    readings.push(floor.reading);
    let strip = Strip {
        slot: "filler",
        title: "Filler strip on joists",
        size: format!("{thickness} in"),
        along: inside + edges,
        sums: vec![
            sum(
                "Floor as found − panel",
                inches(thickness),
                format!("{} − {}", floor.value, patch.laid.sheet.class.thickness),
            ),
            sum("On joists inside", inches(inside), ""),
            sum(
                "+ joists under outer edges",
                inches(edges),
                "blocks and cleats are set to level",
            ),
        ],
        held: floor.held,
        readings,
    };
    push_strip(strip, out);
}

/// The joists inside, each as far as the patch goes.
fn inside(patch: &Patch) -> Length {
    let gap = patch.laid.gap;
    let bands = patch.outline.bands().iter();
    let each = bands.flat_map(|band| band.spans.iter().map(|span| (band.levels.length(), *span)));
    each.map(|(along, span)| {
        let panel = Span {
            from: span.from + gap,
            to: span.to - gap,
        };
        let joists = patch.laid.inside(panel, [true, true]).len();
        along * i64::try_from(joists).unwrap_or(0)
    })
    .sum()
}
