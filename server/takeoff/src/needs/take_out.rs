//! Take out a wall (rule 2 of takeoff): studs and plates that can be kept, the rubble, and the trips that it takes.
//!
//! Nothing here is bought: all figures are salvage and facts. Salvage is offered at as-found section and its length − 1 in
//! for each nailed end; that someone calls it sound and nail-free comes later. Studs: as counted on the change, else as
//! counted in the wall if it comes out whole, else up(L/s) + 1. Rubble: each side's area between from and to, less its
//! openings, times its layers; rounded up at the end only. A side without a layer counts as bare only where the wall is
//! recorded bare there; else rubble waits for its layers. Of several ceiling heights on a side the one without a place counts, else the greatest; stud lengths go by the least.
//! Whether the wall may come out is a hold point, not here.
//!
//! Source: the layers' own weights as recorded (loads.md has usual ones); loose factor and trips are common practice, no
//! published source.
//!
//! Example: 144 × 96 in of wall less a door of 30 × 80 is 11,424 sq in a side; plaster 7/8 in at 10 psf on both:
//! 19,992 cu in × 1.5 ÷ 46,656 = 0.64, so 0.7 cu yd; 22,848 ÷ 144 × 10 = 1,586.7, so 1,587 lb.

mod rubble;

use super::heights::{heights_of, must_have_length, must_have_wall, room_at};
use super::inputs::{Read, miss, must_have, must_read, read};
use super::piece::inches;
use super::{Fill, Salvage, Sum, Takeoff, result, sum};
use crate::record::{Job, Record, Spot, What};
use crate::units::Length;

/// What a nailed end costs of a piece that is kept.
const NAILED_END: Length = Length::inches(1);
/// What comes out with a wall.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let Some(wall) = must_have_wall(job, change, out) else {
        return;
    };
    let Some(stretch) = stretch(job, change, wall, out) else {
        return;
    };
    if !change.says("salvage", "no") {
        keep_studs(job, change, wall, &stretch, out);
        keep_plates(job, change, wall, &stretch, out);
    }
    rubble::push_rubble(job, change, wall, &stretch, out);
}

/// From where to where the wall comes out, from its zero end.
struct Stretch {
    from: Length,
    to: Length,
    whole: bool,
}

impl Stretch {
    fn length(&self) -> Length {
        self.to - self.from
    }
}

fn stretch(job: &Job, change: &Record, wall: &Record, out: &mut Takeoff) -> Option<Stretch> {
    let from = change.length("from").unwrap_or(Length::ZERO);
    let wall_length = read(job, &Spot::of(wall.id, What::Length)).map(|read| read.value);
    let to = match change.length("to") {
        Some(to) => to,
        None => must_have_length(job, wall, change.name(), out)?.value,
    };
    if to <= from {
        let fill = Fill::Field {
            of: change.id,
            field: "to",
        };
        let text = format!("an end past its start ({from} to {to} in)");
        miss(out, &text, change.name(), fill);
        return None;
    }
    let to_the_end = change.length("to").is_none() || wall_length == Some(to);
    Some(Stretch {
        from,
        to,
        whole: from == Length::ZERO && to_the_end,
    })
}

fn keep_studs(job: &Job, change: &Record, wall: &Record, stretch: &Stretch, out: &mut Takeoff) {
    let waits = "Studs to keep";
    let mut sums = Vec::new();
    let count = stud_count(job, change, wall, stretch, &mut sums);
    let thickness = section_side(job, wall, What::StudThickness, waits, out);
    let depth = section_side(job, wall, What::StudDepth, waits, out);
    let length = stud_length(job, wall, waits, &mut sums, out);
    let (Some(thickness), Some(depth), Some(found)) = (thickness, depth, length) else {
        return;
    };
    let length = found - NAILED_END * 2;
    if length <= Length::ZERO {
        return;
    }
    sums.push(result(
        "Each, kept",
        length.echo(job.settings.units),
        format!("{found} − 1 at each nailed end, 2 ends"),
    ));
    out.salvage.push(Salvage {
        title: "Stud".to_owned(),
        thickness: thickness.value,
        depth: depth.value,
        length,
        count,
        sums,
    });
}

fn stud_count(
    job: &Job,
    change: &Record,
    wall: &Record,
    stretch: &Stretch,
    sums: &mut Vec<Sum>,
) -> i64 {
    if let Some(n) = change.number("studs") {
        sums.push(sum("Studs", n.to_string(), "counted, those that come out"));
        return n;
    }
    if let Some(n) = wall.number("studs").filter(|_| stretch.whole) {
        let note = format!("counted, all of {}", wall.name());
        sums.push(sum("Studs", n.to_string(), note));
        return n;
    }
    let spacing = wall
        .length("spacing")
        .or_else(|| Some(read(job, &Spot::of(wall.id, What::StudSpacing))?.value))
        .filter(|spacing| *spacing > Length::ZERO)
        .unwrap_or(job.settings.spacing);
    let n = stretch.length().div_up(spacing) + 1;
    let note = format!("not counted: up({} ÷ {spacing}) + 1", stretch.length());
    sums.push(sum("Studs", n.to_string(), note));
    n
}

/// The studs' length as read, else the least ceiling height less the plates.
fn stud_length(
    job: &Job,
    wall: &Record,
    waits: &str,
    sums: &mut Vec<Sum>,
    out: &mut Takeoff,
) -> Option<Length> {
    let spot = Spot::of(wall.id, What::StudLength);
    if let Some(read) = read(job, &spot) {
        sums.push(sum("Stud length", inches(read.value), wall.name()));
        return Some(read.value);
    }
    let mut heights = heights_of(job, wall.id);
    for side in ["a", "b"] {
        if let Some(room) = room_at(wall, side) {
            heights.extend(heights_of(job, room));
        }
    }
    let Some(least) = heights.iter().min_by_key(|height| height.read.value) else {
        let text = format!("stud length, or a ceiling height of {}", wall.name());
        miss(out, &text, waits, Fill::Reading(spot));
        return None;
    };
    let top = plates(wall, "top_plates", "how many top plates", waits, out);
    let bottom = plates(wall, "bottom_plates", "how many bottom plates", waits, out);
    let thickness = plate_side(job, wall, What::PlateThickness, waits, out);
    let (plates, thickness) = (top? + bottom?, thickness?.value);
    sums.push(sum(
        "Ceiling height, the least",
        inches(least.read.value),
        least.place(job),
    ));
    let note = format!("{plates} plates of {thickness}");
    sums.push(sum("− plates", inches(thickness * plates), note));
    Some(least.read.value - thickness * plates)
}

fn keep_plates(job: &Job, change: &Record, wall: &Record, stretch: &Stretch, out: &mut Takeoff) {
    let waits = "Plates to keep";
    let thickness = plate_side(job, wall, What::PlateThickness, waits, out);
    let depth = plate_side(job, wall, What::PlateDepth, waits, out);
    let ends = change.number("nailed_ends").unwrap_or(2);
    let length = stretch.length() - NAILED_END * ends;
    for (title, field, text) in [
        ("Top plate", "top_plates", "how many top plates"),
        ("Bottom plate", "bottom_plates", "how many bottom plates"),
    ] {
        let count = plates(wall, field, text, waits, out).unwrap_or(0);
        if let (Some(thickness), Some(depth)) = (&thickness, &depth)
            && count > 0
            && length > Length::ZERO
        {
            let note = format!("{} − 1 at each nailed end, {ends} ends", stretch.length());
            out.salvage.push(Salvage {
                title: title.to_owned(),
                thickness: thickness.value,
                depth: depth.value,
                length,
                count,
                sums: vec![
                    sum(
                        title,
                        count.to_string(),
                        format!("recorded, {}", wall.name()),
                    ),
                    result("Each, kept", length.echo(job.settings.units), note),
                ],
            });
        }
    }
}

fn plates(
    wall: &Record,
    field: &'static str,
    text: &str,
    waits: &str,
    out: &mut Takeoff,
) -> Option<i64> {
    let text = format!("{text} {} has", wall.name());
    must_have(wall.number(field), wall.id, field, &text, waits, out)
}

fn section_side(
    job: &Job,
    wall: &Record,
    what: What,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Read> {
    let text = format!("{} of {}", what.title().to_lowercase(), wall.name());
    must_read(job, Spot::of(wall.id, what), &text, waits, out)
}

/// A plate's side as read, else the stud's.
fn plate_side(
    job: &Job,
    wall: &Record,
    what: What,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Read> {
    let of_stud = match what {
        What::PlateThickness => What::StudThickness,
        _ => What::StudDepth,
    };
    read(job, &Spot::of(wall.id, what))
        .or_else(|| read(job, &Spot::of(wall.id, of_stud)))
        .or_else(|| section_side(job, wall, what, waits, out))
}

#[cfg(test)]
mod tests;
