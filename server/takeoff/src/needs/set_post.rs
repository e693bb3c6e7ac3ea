//! Set a post (rule 5 of takeoff): its cut, cap and base with their own fasteners, toe nails at bare ends, squash blocks.
//!
//! Cut = reading from what it lands on to the seat + over-cut (driven in tight; 0 where either end has hardware) − what
//! cap and base take up, unless the reading was taken with them in place. Through a floor: squash blocks on end, of the
//! narrowest 2× that is not narrower than the post's shorter face, as deep as the joists + 1/16. It lands on the floor's
//! top unless recorded otherwise. The packing that its landing asks for is in `packing`; what carries it, and its load, are
//! checks (`checks::on_record`): until that is recorded, it is said.
//!
//! Source: IRC Table R602.3(1) for toe nails (see `tables::fastening`), PS 20 for sizes; cap and base from the maker's
//! sheet as people entered it; the rest is common practice, no published source.
//!
//! Example: 107 11/16 in to the seat, no hardware: + 1/8, cut 107 13/16 in. 4×6 through a floor of 7 5/8 in joists:
//! up(5 1/2 ÷ 1 1/2) = 4 blocks of 2×4, cut 7 11/16 in.

mod packing;

use super::inputs::{Read, fastener_class, must_have, must_read, nail, setting, stick_class};
use super::piece::{by_count, cut_sum, inches, is_length, size_of, stick};
use super::{
    Class, Fill, Finding, Serves, StickClass, Sum, Takeoff, Treatment, Verdict, inputs, result, sum,
};
use crate::checks::load_path::links::carriers;
use crate::record::settings::POST_OVER_CUT;
use crate::record::{Job, Kind, Record, Spot, What};
use crate::tables::fastening::Connection;
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::{Length, Nominal, Section, parse_nominal};

/// A squash block stands this much over the joists, so that the block and not the joist takes the load.
const SQUASH_OVER: Length = Length::from_64ths(4);
/// Widths that a 2× comes in.
const WIDTHS: [&str; 6] = ["2x4", "2x6", "2x8", "2x10", "2x12", "2x14"];

/// The needs of a change that sets a post.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let size = size_of(change, "nominal");
    let waits = match &size {
        Some(size) => format!("{}, {size}", change.name()),
        None => change.name().to_owned(),
    };
    let size = must_have(
        size,
        change.id,
        "nominal",
        "the size of the post",
        &waits,
        out,
    );
    let treated = change.says("treatment", "treated");
    let treatment = if treated {
        Treatment::Treated
    } else {
        Treatment::None
    };
    let class = size.and_then(|size| stick_class(job, change, &size, treatment, &waits, out));
    let ends = [("cap", "Post cap"), ("base", "Post base")];
    let hardware = ends.map(|(field, _)| change.to(field).and_then(|id| job.get(id)));

    push_post(job, change, class.as_ref(), hardware, &waits, out);
    for ((slot, title), row) in ends.into_iter().zip(hardware) {
        if let Some(row) = row {
            push_hardware(job, slot, title, row, out);
        }
    }
    let bare = hardware.iter().filter(|row| row.is_none()).count();
    push_toe_nails(job, change, bare, &waits, out);
    if change.says("lands", "through") {
        push_squash_blocks(job, change, class.map(|class| class.dressed), &waits, out);
    }
    packing::push_packing(job, change, &waits, out);
    let on_base = hardware[1].is_some();
    if !treated && !on_base {
        look_at_ground(change, &waits, out);
    }
    say_unchecked(job, change, out);
}

fn push_post(
    job: &Job,
    change: &Record,
    class: Option<&StickClass>,
    hardware: [Option<&Record>; 2],
    waits: &str,
    out: &mut Takeoff,
) {
    let spot = Spot::of(change.id, What::LandingToSeat);
    let text = "what it lands on to the seat";
    let read = must_read(job, spot.clone(), text, waits, out);
    let taken = taken_up(change, hardware, waits, out);
    let (Some(read), Some(mut taken), Some(class)) = (read, taken, class) else {
        return;
    };
    let bare = hardware.iter().all(Option::is_none);
    let over = if bare {
        setting(job, change, "over_cut", "post_over_cut", POST_OVER_CUT)
    } else {
        Length::ZERO
    };
    let cut = read.value + over - taken.length;
    if !is_length(cut, spot, waits, out) {
        return;
    }
    let mut need = stick("post", waits, class, 1, cut, "PO");
    need.in_waste = false;
    need.held.clone_from(&read.held);
    need.readings.push(read.reading);
    let note = format!("{}: {}", change.name(), What::LandingToSeat.title());
    need.sums.push(sum(
        "What it lands on to the seat",
        inches(read.value),
        note,
    ));
    let note = if bare {
        "driven in tight"
    } else {
        "none with a cap or a base"
    };
    need.sums.push(sum("+ over-cut", inches(over), note));
    need.sums.append(&mut taken.sums);
    need.sums.push(cut_sum(job, cut, need.held.as_ref()));
    out.needs.push(need);
}

/// What cap and base take off the post's length.
struct Taken {
    length: Length,
    sums: Vec<Sum>,
}

/// `None` where a cap or a base takes up what isn't recorded.
fn taken_up(
    change: &Record,
    hardware: [Option<&Record>; 2],
    waits: &str,
    out: &mut Takeoff,
) -> Option<Taken> {
    let mut taken = Taken {
        length: Length::ZERO,
        sums: Vec::new(),
    };
    if change.says("read_with_hardware", "yes") {
        let note = "the reading was taken with cap and base in place";
        taken
            .sums
            .push(sum("− cap and base", inches(Length::ZERO), note));
        return Some(taken);
    }
    let mut whole = true;
    for (row, label, text) in [
        (hardware[0], "− cap seat", "seat of the cap"),
        (hardware[1], "− base height", "height of the base"),
    ] {
        let Some(row) = row else { continue };
        let text = format!("{text}, {}", row.name());
        let length = row.length("takes_up");
        match must_have(length, row.id, "takes_up", &text, waits, out) {
            Some(length) => {
                taken.length += length;
                taken.sums.push(sum(label, inches(length), row.name()));
            }
            None => whole = false,
        }
    }
    whole.then_some(taken)
}

/// The cap or base itself, and its own fasteners into what carries and what is carried.
fn push_hardware(job: &Job, slot: &str, title: &str, row: &Record, out: &mut Takeoff) {
    let mut need = by_count(slot, title, Class::Hardware { row: row.id }, 1);
    need.sums.push(result(title, "1", "one at that end"));
    out.needs.push(need);
    for (fastener, count, part, into) in [
        (
            "carrying_fastener",
            "carrying_count",
            "carrying",
            "the carrying member",
        ),
        (
            "carried_fastener",
            "carried_count",
            "carried",
            "the carried member",
        ),
    ] {
        let waits = format!("Fasteners, {}", row.name());
        let text = format!("how many fasteners {} takes into {into}", row.name());
        let Some(n) = must_have(row.number(count), row.id, count, &text, &waits, out) else {
            continue;
        };
        if n == 0 {
            continue;
        }
        let text = format!("the fastener of {} into {into}", row.name());
        let what = must_have(row.text(fastener), row.id, fastener, &text, &waits, out);
        if let Some(what) = what {
            let class = Class::Fastener(fastener_class(job, what));
            let title = format!("{what}, {} into {into}", row.name());
            let mut need = by_count(&format!("{slot}.{part}"), &title, class, n);
            let note = format!("as the sheet of {} says", row.name());
            need.sums.push(result("Fasteners", n.to_string(), note));
            out.needs.push(need);
        }
    }
}

fn push_toe_nails(job: &Job, change: &Record, bare: usize, waits: &str, out: &mut Takeoff) {
    let ends = i64::try_from(bare).unwrap_or(0);
    if ends == 0 {
        return;
    }
    let (own, connection) = (Some("nail_toe"), Connection::StudToPlateToe);
    let Some(row) = nail(job, change, own, "nail_stud_toe", connection, waits, out) else {
        return;
    };
    let each = i64::from(row.count.unwrap_or(0));
    if each > 0 {
        let class = Class::Fastener(fastener_class(job, &row.nail.text()));
        let title = format!("Nail, {}", connection.title());
        let mut need = by_count("nail.toe", &title, class, ends * each);
        let note = format!("{ends} bare × {each}");
        need.sums
            .push(result("Nails", (ends * each).to_string(), note));
        out.needs.push(need);
    }
}

/// Blocks on end under a post that goes through a floor: flat ones shrink.
fn push_squash_blocks(
    job: &Job,
    change: &Record,
    post: Option<Section>,
    waits: &str,
    out: &mut Takeoff,
) {
    let waits = format!("Squash blocks, {waits}");
    let text = "the floor joists that it lands on";
    let floor = change.to("floor").and_then(|id| job.get(id));
    let depth = must_have(floor, change.id, "floor", text, &waits, out).and_then(|floor| {
        let text = format!("the depth of {}", floor.name());
        let read = must_read(job, Spot::of(floor.id, What::Depth), &text, &waits, out)?;
        Some((floor, read))
    });
    let (Some((floor, depth)), Some(post)) = (depth, post) else {
        return;
    };
    let (long, short) = (
        post.thickness.max(post.depth),
        post.thickness.min(post.depth),
    );
    let block = WIDTHS.iter().find_map(|name| {
        let size = parse_nominal(name).ok()?;
        Some((size, dressed(size, Seasoning::Dry)?)).filter(|(_, block)| block.depth >= short)
    });
    let text = format!("a 2× not narrower than {}", inches(short));
    let block = must_have(block, change.id, "nominal", &text, &waits, out);
    if let Some((size, section)) = block {
        push_blocks(
            job,
            change,
            (size, section),
            (long, short),
            (floor, &depth),
            out,
        );
    }
}

fn push_blocks(
    job: &Job,
    change: &Record,
    (size, block): (Nominal, Section),
    (long, short): (Length, Length),
    (floor, depth): (&Record, &Read),
    out: &mut Takeoff,
) {
    let title = format!("Squash block under {}, {size}", change.name());
    let Some(class) = stick_class(job, change, &size, Treatment::None, &title, out) else {
        return;
    };
    // A post that is ordered green doesn't make its blocks so.
    let class = if change.text("seasoning").is_some() {
        StickClass {
            dressed: block,
            ..class
        }
    } else {
        class
    };
    let cut = depth.value + SQUASH_OVER;
    let count = long.div_up(block.thickness);
    let mut need = stick("squash", &title, &class, count, cut, "PK");
    need.serves = Serves::NotThinnerNorNarrower;
    need.held.clone_from(&depth.held);
    need.readings.push(depth.reading);
    need.sums.push(sum(
        "Blocks",
        count.to_string(),
        format!(
            "up({long} ÷ {}) under the post’s {long} in; {size} for its {short} in",
            block.thickness
        ),
    ));
    let note = format!("{}, as found", floor.name());
    need.sums
        .push(sum("Joist depth", inches(depth.value), note));
    let note = "so that the blocks take the load; on end, grain upright";
    need.sums
        .push(sum("+ over the joists", inches(SQUASH_OVER), note));
    need.sums.push(cut_sum(job, cut, need.held.as_ref()));
    out.needs.push(need);
}

/// An untreated post without a base: stops on concrete, and asks where that isn't recorded.
fn look_at_ground(change: &Record, waits: &str, out: &mut Takeoff) {
    match change.text("stands_on") {
        Some("concrete") => out.findings.push(Finding {
            verdict: Verdict::Stop,
            text: format!(
                "{} stands on concrete or masonry, untreated and without a base. Order it treated, or set it on a stand-off base.",
                change.name()
            ),
        }),
        Some(_) => {}
        None => inputs::miss(
            out,
            "what it stands on, wood or concrete",
            &format!("{waits}: whether it must be treated or on a base"),
            Fill::Field {
                of: change.id,
                field: "stands_on",
            },
        ),
    }
}

/// Says that what carries it isn't recorded, unless a packing that isn't dropped is planned or done under this post.
fn say_unchecked(job: &Job, change: &Record, out: &mut Takeoff) {
    let packed = job
        .all(Kind::Pack)
        .any(|pack| pack.to("landing") == Some(change.id) && pack.state != "dropped");
    if !packed && carriers(job, change).is_empty() {
        out.findings.push(Finding {
            verdict: Verdict::Said,
            text: format!(
                "What carries {0}, and what packing centres it, can’t be told: record what it lands on, or plan the packing as a change that names {0}.",
                change.name()
            ),
        });
    }
}

#[cfg(test)]
mod tests;
