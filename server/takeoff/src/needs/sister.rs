//! Sister a member (rule 10 of takeoff): the new piece beside the old, its fasteners, and what packs it.
//!
//! The length is as entered. It is packed to the gap as found along its whole length (whole pieces, and one ripped to the
//! rest) and, where it is shallower than the old piece, at each end that bears by old − new depth. Whether it carries is
//! the checks' matter.
//!
//! Source: common practice, no published source; sizes by PS 20.
//!
//! Example: a 2×6 (5 1/2 deep), 54 in long, beside a joist 5 3/4 deep: 2 rows × (up(54 ÷ 16) + 1) = 10 of 10d common;
//! 1/4 in of packing at each bearing.

use super::inputs::{
    counted, fastener, must_have, must_read, read, setting, stick_class, treatment,
};
use super::piece::{by_count, cut_sum, inches, size_of, stick};
use super::{Class, Finding, Need, Serves, StickClass, Takeoff, Verdict, inputs, result, sum};
use crate::record::settings::{SISTER_FASTENER, SISTER_ROWS, SISTER_SPACING};
use crate::record::{Job, Record, Spot, What};
use crate::units::Length;

/// The least lap past damage.
const LAP: Length = Length::inches(24);

/// The needs of a sister.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let size = size_of(change, "nominal");
    let size = must_have(size, change.id, "nominal", "the size", change.name(), out);
    let waits = size.map_or("Sister".to_owned(), |size| format!("Sister, {size}"));
    let length = change.length("length");
    let length = must_have(length, change.id, "length", "the length", &waits, out);
    let class =
        size.and_then(|size| stick_class(job, change, &size, treatment(change), &waits, out));
    let of = change.to("member");
    let of = must_have(of, change.id, "member", "beside which member", &waits, out);
    if let (Some(class), Some(length)) = (&class, length) {
        let mut need = stick("sister", &waits, class, 1, length, "SI");
        need.crown_up = true;
        let beside = of.map_or("", |of| job.name(of));
        need.sums.push(sum(
            "Length",
            inches(length),
            format!("as entered, beside {beside}"),
        ));
        need.sums.push(cut_sum(job, length, None));
        out.needs.push(need);
    }
    if let Some(length) = length {
        push_fasteners(job, change, length, out);
        look_at_the_laps(change, length, out);
    }
    if let (Some(class), Some(length)) = (&class, length) {
        push_gap(job, change, class, length, out);
    }
    if let (Some(class), Some(of)) = (&class, of.and_then(|of| job.get(of))) {
        push_bearings(job, change, class, of, out);
    }
}

/// Rows × (up(L/s) + 1).
fn push_fasteners(job: &Job, change: &Record, length: Length, out: &mut Takeoff) {
    let class = fastener(
        job,
        change,
        "fastener",
        "sister_fastener",
        Some(SISTER_FASTENER),
        "the fastener of the sister",
        "Fasteners of the sister",
        out,
    );
    let Some(class) = class else { return };
    let rows = counted(job, change, "rows", "sister_rows", SISTER_ROWS);
    let spacing = setting(job, change, "spacing", "sister_spacing", SISTER_SPACING);
    let in_a_row = length.div_up(spacing) + 1;
    let count = rows * in_a_row;
    let mut need = by_count(
        "fastener",
        "Fastener of the sister",
        Class::Fastener(class),
        count,
    );
    need.sums = vec![
        sum(
            "In a row",
            in_a_row.to_string(),
            format!("up({length} ÷ {spacing}) + 1"),
        ),
        result(
            "Fasteners",
            count.to_string(),
            format!("{rows} rows × {in_a_row}"),
        ),
    ];
    out.needs.push(need);
}

/// Looks where it laps less than 24 in past the damage, each end on its own, if damage is recorded.
fn look_at_the_laps(change: &Record, length: Length, out: &mut Takeoff) {
    let ends = [change.length("damage_from"), change.length("damage_to")];
    if ends == [None, None] {
        return;
    }
    let waits = "Lap past the damage";
    let from = must_have(
        change.length("from"),
        change.id,
        "from",
        "the sister’s start, from the member’s start",
        waits,
        out,
    );
    let names = [
        ("damage_from", "where the damage begins", "start"),
        ("damage_to", "where the damage ends", "end"),
    ];
    for ((field, text, end), damage) in names.into_iter().zip(ends) {
        let damage = must_have(damage, change.id, field, text, waits, out);
        let (Some(from), Some(damage)) = (from, damage) else {
            continue;
        };
        let lap = if end == "start" {
            damage - from
        } else {
            from + length - damage
        };
        if lap < LAP {
            out.findings.push(Finding {
                verdict: Verdict::Look,
                text: format!(
                    "At its {end} the sister laps {} past the damage, less than {}. Take a longer one, or move it.",
                    inches(lap),
                    inches(LAP)
                ),
            });
        }
    }
}

/// Packing between the sister and the member, along its whole length.
fn push_gap(job: &Job, change: &Record, class: &StickClass, length: Length, out: &mut Takeoff) {
    let waits = "Packing of the sister";
    let spot = Spot::of(change.id, What::Gap);
    let text = "the gap between the member and the sister, as found";
    let Some(gap) = must_read(job, spot, text, waits, out) else {
        return;
    };
    if gap.value <= Length::ZERO {
        return;
    }
    let whole = gap.value.div_down(class.dressed.thickness);
    let rest = gap.value - class.dressed.thickness * whole;
    let pieces = whole + i64::from(rest > Length::ZERO);
    let made_of = match (whole, rest > Length::ZERO) {
        (0, _) => format!("ripped to {rest}"),
        (_, true) => format!("{whole} whole, 1 ripped to {rest}"),
        (_, false) => format!("{whole} whole"),
    };
    let mut need = packing(
        "packing.gap",
        &format!("Packing, {made_of}"),
        class,
        pieces,
        length,
    );
    need.held = gap.held;
    need.readings.push(gap.reading);
    need.sums = vec![
        sum("Gap as found", inches(gap.value), made_of),
        cut_sum(job, length, need.held.as_ref()),
    ];
    out.needs.push(need);
}

/// Packing under a shallower sister, one piece at each end that bears; a deeper one is looked at.
fn push_bearings(
    job: &Job,
    change: &Record,
    class: &StickClass,
    member: &Record,
    out: &mut Takeoff,
) {
    let ends = match change.number("bearings").unwrap_or(2) {
        0 => return,
        1 => {
            let text = "the sister’s start, from the member’s start";
            let waits = "Packing at the bearing";
            let from = change.length("from");
            let from = must_have(from, change.id, "from", text, waits, out);
            match from {
                Some(Length::ZERO) => &[What::BearingStart][..],
                Some(_) => &[What::BearingEnd][..],
                None => return,
            }
        }
        _ => &[What::BearingStart, What::BearingEnd][..],
    };
    let waits = "Packing at the bearings";
    let number = change
        .number("number")
        .and_then(|number| u32::try_from(number).ok())
        .unwrap_or(0);
    let text = format!("the depth of {} as found", member.name());
    let Some(old) = of_member(job, member, number, What::Depth, &text, waits, out) else {
        return;
    };
    let new = class.dressed.depth;
    let thick = old.value - new;
    if thick < Length::ZERO {
        out.findings.push(Finding {
            verdict: Verdict::Look,
            text: format!(
                "The sister is {} deep, the old piece {}. Rip it by {}.",
                inches(new),
                inches(old.value),
                inches(-thick)
            ),
        });
    }
    if thick <= Length::ZERO {
        return;
    }
    for what in ends {
        let (slot, end) = match what {
            What::BearingStart => ("packing.start", "start"),
            _ => ("packing.end", "end"),
        };
        let text = format!("the bearing of {} at its {end}", member.name());
        let Some(bearing) = of_member(job, member, number, *what, &text, waits, out) else {
            continue;
        };
        let title = format!("Packing at the {end}, {thick} thick");
        let mut need = packing(slot, &title, class, 1, bearing.value);
        need.held = old.held.clone().or(bearing.held);
        need.readings = vec![old.reading, bearing.reading];
        need.sums = vec![
            sum("Old depth, as found", inches(old.value), member.name()),
            sum("− new depth", inches(new), class.to_string()),
            sum("Thickness", inches(thick), "ripped or planed to"),
            sum("Length of the bearing", inches(bearing.value), what.title()),
            cut_sum(job, bearing.value, need.held.as_ref()),
        ];
        out.needs.push(need);
    }
}

/// A piece's own reading, else that of the whole run, else what is missing.
fn of_member(
    job: &Job,
    member: &Record,
    number: u32,
    what: What,
    text: &str,
    waits: &str,
    out: &mut Takeoff,
) -> Option<inputs::Read> {
    let spot = Spot::of(member.id, what);
    let own = read(job, &spot.clone().number(number));
    own.or_else(|| must_read(job, spot, text, waits, out))
}

fn packing(slot: &str, title: &str, class: &StickClass, count: i64, length: Length) -> Need {
    Need {
        serves: Serves::NotThinnerNorNarrower,
        ..stick(slot, title, class, count, length, "PK")
    }
}

#[cfg(test)]
mod tests;
