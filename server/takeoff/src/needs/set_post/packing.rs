//! The packing that a post's landing asks for, as needs of the post: whole 2×, one ripped, sheet.
//!
//! Each piece stands on end, grain upright, as long as what the post lands on is deep, and is not narrower than the post's
//! other side. A packing that names this post's landing, planned or done, takes the place of all of it.
//! How thick the packing is, is the check's word (`checks::fit::packing`). Source: common practice, no published source.
//!
//! Example: 3 in of a 4×6 post's foot has no bearing beside a girder 9 5/8 in deep: two whole 2×4, cut 9 5/8 in.

use super::super::inputs::{Read, must_have, must_read, stick_class};
use super::super::piece::{by_count, cut_sum, inches, stick};
use super::super::{Class, Serves, Takeoff, Treatment, result, sum};
use super::WIDTHS;
use crate::checks::fit::packing::{Gap, Packing};
use crate::checks::load_path::links::carriers;
use crate::checks::on_record::{Asked, packing_asked, packs_under};
use crate::record::{Job, Record, Spot, What};
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::{Length, Nominal, parse_nominal};

/// What the landing asks for.
pub(super) fn push_packing(job: &Job, change: &Record, waits: &str, out: &mut Takeoff) {
    if packs_under(job, change).next().is_some() {
        return;
    }
    let asked = packing_asked(job, change);
    let filled: Vec<(&Asked, Packing)> = asked
        .iter()
        .filter_map(|one| Some((one, one.hole.packing?)))
        .collect();
    if filled.is_empty() {
        return;
    }
    let waits = format!("Packing under {waits}");
    let carrier = carriers(job, change).into_iter().next();
    let Some((carrier, _)) = carrier else { return };
    let text = format!("the depth of {}", carrier.name());
    let spot = Spot::of(carrier.id, What::Depth);
    let Some(depth) = must_read(job, spot, &text, &waits, out) else {
        return;
    };
    for (n, (asked, packing)) in filled.into_iter().enumerate() {
        push_one(
            job,
            change,
            (n + 1, asked, packing),
            (carrier, &depth),
            &waits,
            out,
        );
    }
}

fn push_one(
    job: &Job,
    change: &Record,
    (n, asked, packing): (usize, &Asked, Packing),
    (carrier, depth): (&Record, &Read),
    waits: &str,
    out: &mut Takeoff,
) {
    let text = format!("a 2× not narrower than {}", inches(asked.other_side));
    let size = must_have(
        narrowest(asked.other_side),
        change.id,
        "nominal",
        &text,
        waits,
        out,
    );
    let class = size.and_then(|size| stick_class(job, change, &size, Treatment::None, waits, out));
    let ripped = packing.ripped.map(|thickness| (1, Some(thickness)));
    let whole = (packing.whole > 0).then_some((packing.whole, None));
    if let (Some(class), Some(size)) = (class, size) {
        for (count, ripped) in whole.into_iter().chain(ripped) {
            let (slot, how) = match ripped {
                None => ("whole", String::new()),
                Some(thickness) => ("ripped", format!(", ripped to {thickness}")),
            };
            let title = format!("Packing under {}, {size}{how}, on end", change.name());
            let slot = format!("packing.{n}.{slot}");
            let mut need = stick(&slot, &title, &class, count, depth.value, "PK");
            need.serves = Serves::NotThinnerNorNarrower;
            need.held.clone_from(&depth.held);
            need.readings.push(depth.reading);
            need.sums = gap_sums(asked, packing);
            let note = format!("{}, as found; on end, grain upright", carrier.name());
            need.sums.push(sum(
                "As deep as what it lands on",
                inches(depth.value),
                note,
            ));
            need.sums
                .push(cut_sum(job, depth.value, need.held.as_ref()));
            out.needs.push(need);
        }
    }
    for (layers, thickness) in [(packing.quarters, "1/4"), (packing.eighths, "1/8")] {
        if layers > 0 {
            let class = Class::Sundry {
                name: format!("packing sheet {thickness} in"),
                unit: "each".to_owned(),
            };
            let title = format!("Packing under {}, sheet {thickness} in", change.name());
            let slot = format!("packing.{n}.sheet.{}", thickness.replace('/', "_"));
            let mut need = by_count(&slot, &title, class, layers);
            need.sums = gap_sums(asked, packing);
            let size = format!(
                "each {} × {}",
                inches(asked.other_side),
                inches(depth.value)
            );
            need.sums
                .push(result("Pieces of sheet", layers.to_string(), size));
            out.needs.push(need);
        }
    }
}

fn gap_sums(asked: &Asked, packing: Packing) -> Vec<super::super::Sum> {
    let rounding = match asked.hole.place {
        Gap::AtTheEdge => "to the nearest 1/8, half up",
        Gap::BetweenTwo => "to the nearest 1/8, half down: it must go in",
    };
    vec![
        sum(
            "Without bearing",
            inches(asked.hole.gap),
            "the landing’s check",
        ),
        sum("Packing", inches(packing.thickness), rounding),
        sum("Made of", packing.to_string(), "whole 2× first"),
    ]
}

/// The narrowest 2× that is not narrower than this, dry.
fn narrowest(side: Length) -> Option<Nominal> {
    WIDTHS.iter().find_map(|name| {
        let nominal = parse_nominal(name).ok()?;
        let section = dressed(nominal, Seasoning::Dry)?;
        (section.depth >= side).then_some(nominal)
    })
}
