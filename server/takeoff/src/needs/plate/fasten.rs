//! What holds a plate: splice nails and splice plates at its end joints, nails by spacing, straps over cuts.
//!
//! Which joint is near stands in `plate`.
//!
//! Source: IRC R602.3.2, R602.6.1 (from memory), Table R602.3(1) for the nails (see `tables::fastening`).

use super::super::inputs::{fastener_class, must_have, nail};
use super::super::piece::{by_count, inches};
use super::super::{Class, Sum, Takeoff, result, sum};
use super::{Joint, LAP, Plate};
use crate::record::{Job, Record};
use crate::tables::fastening::{Connection, FasteningRow};
use crate::units::Length;

/// Nails on each side of a joint in a splice plate.
///
/// Source: IRC R602.3.2.
const SPLICE_PLATE_NAILS: i64 = 6;
/// The nail of a splice plate, unless another is recorded.
///
/// Source: IRC R602.3.2.
const SPLICE_PLATE_NAIL: &str = "8d common";
/// Nails on each side of a cut in its strap.
///
/// Source: IRC R602.6.1, from memory.
const STRAP_NAILS: i64 = 8;
/// The nail of a strap, unless another is recorded.
///
/// Source: IRC R602.6.1, from memory.
const STRAP_NAIL: &str = "10d common";

pub(super) fn push_double(
    job: &Job,
    change: &Record,
    plate: &Plate,
    joints: &[Joint],
    out: &mut Takeoff,
) {
    let (near, far): (Vec<&Joint>, Vec<&Joint>) = joints.iter().partition(|joint| joint.is_near());
    let lapped = i64::try_from(far.len()).unwrap_or(0);
    let all = i64::try_from(joints.len()).unwrap_or(0);
    if lapped > 0 {
        let connection = Connection::TopPlateSplice;
        let (own, of_job) = (Some("nail_splice"), "nail_top_splice");
        let waits = "Nails, top plate splice";
        let row = nail(job, change, own, of_job, connection, waits, out);
        if let Some((row, each)) = row.and_then(|row| Some((row, i64::from(row.count?)))) {
            let note = format!("{lapped} joints × 2 sides × {each}");
            let sums = far.iter().map(|joint| joint.line()).collect();
            push_nails(
                job,
                "nail.splice",
                connection,
                row,
                (lapped * 2 * each, note),
                sums,
                out,
            );
            add_readings(&far, out);
        }
    }
    push_splice_plates(job, change, &near, out);

    let connection = Connection::TopPlateToTopPlate;
    let (own, of_job) = (Some("nail_plate"), "nail_top_to_top");
    let waits = "Nails, plate to plate";
    let row = nail(job, change, own, of_job, connection, waits, out);
    let Some((row, spacing)) = row.and_then(|row| Some((row, row.spacing?))) else {
        return;
    };
    let rest = (plate.length() - LAP * lapped).max(Length::ZERO);
    let nails = (rest.div_up(spacing) + 1 - all).max(0);
    let sums = vec![
        sum(
            "Plate",
            inches(plate.length()),
            format!("from {} to {}", plate.from, plate.to),
        ),
        sum(
            "Rest q",
            inches(rest),
            format!(
                "{} − {lapped} spliced joints × {LAP}, not below 0",
                plate.length()
            ),
        ),
    ];
    let note = format!("up({rest} ÷ {spacing}) + 1 − {all} joints, not below 0");
    push_nails(job, "nail.plate", connection, row, (nails, note), sums, out);
    add_readings(&joints.iter().collect::<Vec<_>>(), out);
}

/// The readings that these joints rest on, added to the need pushed last.
fn add_readings(joints: &[&Joint], out: &mut Takeoff) {
    if let Some(need) = out.needs.last_mut() {
        need.readings = joints
            .iter()
            .flat_map(|joint| joint.readings.clone())
            .collect();
    }
}

/// A splice plate over each of these joints, and its nails.
pub(super) fn push_splice_plates(job: &Job, change: &Record, joints: &[&Joint], out: &mut Takeoff) {
    let count = i64::try_from(joints.len()).unwrap_or(0);
    if count == 0 {
        return;
    }
    let lines: Vec<Sum> = joints.iter().map(|joint| joint.line()).collect();
    let single = change.says("plate", "top_single");
    let text = if single {
        "splice plate for a joint of a single plate"
    } else {
        "splice plate for a near joint"
    };
    let row = change.to("splice_plate").and_then(|row| job.get(row));
    let row = must_have(row, change.id, "splice_plate", text, "Splice plates", out);
    if let Some(row) = row {
        let class = Class::Hardware { row: row.id };
        let mut need = by_count("splice_plate", row.name(), class, count);
        need.sums.clone_from(&lines);
        let note = if single {
            "a joint each"
        } else {
            "a near joint each"
        };
        need.sums
            .push(result("Splice plates", count.to_string(), note));
        out.needs.push(need);
        add_readings(joints, out);
    }
    let nail = change.text("splice_nail").unwrap_or(SPLICE_PLATE_NAIL);
    let class = Class::Fastener(fastener_class(job, nail));
    let nails = count * 2 * SPLICE_PLATE_NAILS;
    let mut need = by_count("nail.splice_plate", "Nail, splice plate", class, nails);
    need.sums = lines;
    let note = format!("{count} × {SPLICE_PLATE_NAILS} on each side");
    need.sums.push(result("Nails", nails.to_string(), note));
    out.needs.push(need);
    add_readings(joints, out);
}

pub(super) fn push_bottom(job: &Job, change: &Record, plate: &Plate, out: &mut Takeoff) {
    let connection = Connection::BottomPlateToFloor;
    let own = Some("nail_bottom");
    let waits = "Nails, bottom plate";
    let row = nail(job, change, own, "nail_bottom", connection, waits, out);
    let Some((row, spacing)) = row.and_then(|row| Some((row, row.spacing?))) else {
        return;
    };
    let length = plate.length();
    let nails = length.div_up(spacing) + 1;
    let note = format!("up({length} ÷ {spacing}) + 1");
    let from_to = format!("from {} to {}", plate.from, plate.to);
    let sums = vec![sum("Plate", inches(length), from_to)];
    push_nails(
        job,
        "nail.bottom",
        connection,
        row,
        (nails, note),
        sums,
        out,
    );
}

fn push_nails(
    job: &Job,
    slot: &str,
    connection: Connection,
    row: &FasteningRow,
    (count, note): (i64, String),
    sums: Vec<Sum>,
    out: &mut Takeoff,
) {
    if count == 0 {
        return;
    }
    let class = Class::Fastener(fastener_class(job, &row.nail.text()));
    let title = format!("Nail, {}", connection.title());
    let mut need = by_count(slot, &title, class, count);
    need.sums = sums;
    need.sums.push(result("Nails", count.to_string(), note));
    out.needs.push(need);
}

/// A strap over each place that is cut more than half through, and its nails.
pub(super) fn push_straps(job: &Job, change: &Record, waits: &str, out: &mut Takeoff) {
    let cuts = change.number("cuts").unwrap_or(0);
    if cuts == 0 {
        return;
    }
    let row = change.to("strap").and_then(|row| job.get(row));
    let text = "the strap over a cut of more than half the plate’s width";
    let row = must_have(row, change.id, "strap", text, waits, out);
    if let Some(row) = row {
        let class = Class::Hardware { row: row.id };
        let mut need = by_count("strap", row.name(), class, cuts);
        let note = "cut more than half through, one each";
        need.sums.push(result("Straps", cuts.to_string(), note));
        out.needs.push(need);
    }
    let nail = change.text("strap_nail").unwrap_or(STRAP_NAIL);
    let class = Class::Fastener(fastener_class(job, nail));
    let nails = cuts * 2 * STRAP_NAILS;
    let mut need = by_count("nail.strap", "Nail, strap", class, nails);
    let note = format!("{cuts} × {STRAP_NAILS} on each side");
    need.sums.push(result("Nails", nails.to_string(), note));
    out.needs.push(need);
}
