//! Pack or block (rule 12 of takeoff): packing by thickness and length as entered; solid blocking by the clear bays of a
//! run, with its nails.
//!
//! A packing that names a post's landing takes the place of what the landing's check asks for; that is the post's matter.
//!
//! Source: IRC Table R602.3(1) for the nails of blocks (see `tables::fastening`); the rest is common practice, no published
//! source.
//!
//! Example: one row between joists 1 to 4, 1 3/4 thick at 16 on centre: 3 blocks of 14 1/4 in; with 8d common (2 an end)
//! 3 × 2 × 2 = 12 nails.

use std::collections::BTreeSet;

use uuid::Uuid;

use super::inputs::{fastener_class, must_have, nail, stick_class, treatment};
use super::joists::joists;
use super::piece::{by_count, cut_sum, inches, size_of, stick};
use super::{Class, Need, Serves, StickClass, Takeoff, result, sum};
use crate::record::{Job, Record};
use crate::tables::fastening::Connection;
use crate::units::Length;

/// The needs of packing or blocking.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let blocking = change.says("pack", "blocking");
    let word = if blocking { "Block" } else { "Packing" };
    let size = size_of(change, "nominal");
    let waits = size.map_or(word.to_owned(), |size| format!("{word}, {size}"));
    let size = must_have(size, change.id, "nominal", "the size", &waits, out);
    let class =
        size.and_then(|size| stick_class(job, change, &size, treatment(change), &waits, out));
    if blocking {
        push_blocks(job, change, class.as_ref(), &waits, out);
    } else {
        push_packing(job, change, class.as_ref(), &waits, out);
    }
}

fn push_packing(
    job: &Job,
    change: &Record,
    class: Option<&StickClass>,
    waits: &str,
    out: &mut Takeoff,
) {
    let count = change.number("count");
    let count = must_have(count, change.id, "count", "how many pieces", waits, out);
    let length = change.length("length");
    let text = "the length of each piece";
    let length = must_have(length, change.id, "length", text, waits, out);
    let (Some(class), Some(count), Some(length)) = (class, count, length) else {
        return;
    };
    let ripped = change.length("thickness");
    let ripped = ripped.map_or(String::new(), |thickness| {
        format!(", ripped to {thickness}")
    });
    let on_end = if change.says("on_end", "yes") {
        ", on end, grain upright"
    } else {
        ""
    };
    let title = format!("{waits}{ripped}{on_end}");
    let note = match change.to("landing") {
        Some(post) => format!("as entered, under {}", job.name(post)),
        None => "as entered".to_owned(),
    };
    let mut need = stick("packing", &title, class, count, length, "PK");
    need.serves = Serves::NotThinnerNorNarrower;
    need.sums = vec![
        sum("Pieces", count.to_string(), &note),
        sum("Length of each", inches(length), note),
        cut_sum(job, length, None),
    ];
    out.needs.push(need);
}

/// Blocks of one length.
struct Blocks {
    length: Length,
    bays: i64,
    between: Vec<String>,
    readings: BTreeSet<Uuid>,
    held: Option<String>,
}

fn push_blocks(
    job: &Job,
    change: &Record,
    class: Option<&StickClass>,
    waits: &str,
    out: &mut Takeoff,
) {
    let id = change.id;
    let rows = must_have(
        change.number("rows"),
        id,
        "rows",
        "how many rows",
        waits,
        out,
    );
    let first = change.number("first");
    let text = "from which joist of the run";
    let first = must_have(first, id, "first", text, waits, out);
    let last = change.number("last");
    let last = must_have(last, id, "last", "to which joist of the run", waits, out);
    let run = change.to("run").and_then(|run| job.get(run));
    let run = must_have(
        run,
        id,
        "run",
        "between the joists of which run",
        waits,
        out,
    );
    let connection = Connection::BridgingOrBlockingToJoist;
    let own = Some("nail_blocking");
    let nail = nail(job, change, own, "nail_blocking", connection, waits, out);
    let bays = run
        .zip(first.zip(last))
        .and_then(|(run, range)| bays(job, run, range, waits, out));
    let (Some(rows), Some(groups)) = (rows, bays) else {
        return;
    };
    if let Some(class) = class {
        for (n, group) in groups.iter().enumerate() {
            out.needs.push(blocks(job, class, waits, rows, (n, group)));
        }
    }
    let total: i64 = rows * groups.iter().map(|group| group.bays).sum::<i64>();
    let Some((nail, each)) = nail.and_then(|row| Some((row.nail, i64::from(row.count?)))) else {
        return;
    };
    let nails = total * 2 * each;
    if nails > 0 {
        let class = Class::Fastener(fastener_class(job, &nail.text()));
        let mut need = by_count("nail", "Nail, block to joist", class, nails);
        let note = format!("{total} blocks × 2 ends × {each}");
        need.sums.push(result("Nails", nails.to_string(), note));
        need.readings = readings_of(&groups);
        out.needs.push(need);
    }
}

fn blocks(
    job: &Job,
    class: &StickClass,
    title: &str,
    rows: i64,
    (n, group): (usize, &Blocks),
) -> Need {
    let count = rows * group.bays;
    let mut need = stick(
        &format!("block.{}", n + 1),
        title,
        class,
        count,
        group.length,
        "BK",
    );
    need.serves = Serves::NotThinnerNorNarrower;
    need.held.clone_from(&group.held);
    need.readings = group.readings.iter().copied().collect();
    need.sums = vec![
        sum("Bays", group.bays.to_string(), group.between.join(", ")),
        sum(
            "Blocks",
            count.to_string(),
            format!("{rows} rows × {} bays", group.bays),
        ),
        sum("Clear bay", inches(group.length), "face to face"),
        cut_sum(job, group.length, need.held.as_ref()),
    ];
    need
}

/// The clear bays between these joists of the run, face to face, grouped by length from the first bay on.
fn bays(
    job: &Job,
    run: &Record,
    (first, last): (i64, i64),
    waits: &str,
    out: &mut Takeoff,
) -> Option<Vec<Blocks>> {
    let all = joists(job, run, waits, out)?;
    // Touching joists count as one, by their lowest number: the one that is named may stand for it.
    let (low, high) = (first.min(last), first.max(last));
    let numbers = all.iter().map(|joist| i64::from(joist.number));
    let low = numbers.filter(|number| *number <= low).max().unwrap_or(low);
    let within: Vec<_> = all
        .iter()
        .filter(|joist| (low..=high).contains(&i64::from(joist.number)))
        .collect();
    let mut groups: Vec<Blocks> = Vec::new();
    for pair in within.windows(2) {
        let length = pair[1].near() - pair[0].far();
        let between = format!("{} to {}", pair[0].number, pair[1].number);
        let readings = pair[0].readings.union(&pair[1].readings).copied();
        let held = pair[0].held.clone().or_else(|| pair[1].held.clone());
        match groups.iter_mut().find(|group| group.length == length) {
            Some(group) => {
                group.bays += 1;
                group.between.push(between);
                group.readings.extend(readings);
                group.held = group.held.take().or(held);
            }
            None => groups.push(Blocks {
                length,
                bays: 1,
                between: vec![between],
                readings: readings.collect(),
                held,
            }),
        }
    }
    Some(groups)
}

fn readings_of(groups: &[Blocks]) -> Vec<Uuid> {
    let all = groups
        .iter()
        .flat_map(|group| group.readings.iter().copied());
    all.collect::<BTreeSet<_>>().into_iter().collect()
}

#[cfg(test)]
mod tests;
