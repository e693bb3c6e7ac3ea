//! The takeoff of a job as CSV (RFC 4180, CRLF, formula cells made harmless): needs, and cut lists.
//!
//! The buy list's CSV is the yard order's (`yard_order`). Lengths stand in whole 1/64 in beside the words. Computes
//! nothing.

use scantling_takeoff::buy::{Item, cut_list};
use scantling_takeoff::needs::{Need, Sum, Takeoff};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Length;

use super::takeoff_json::section;
use super::takeoff_text::class_words;
use super::yard_order::harmless;

/// The columns of the needs. A row of the section `missing` says in `held` what is to be recorded first.
const NEEDS: [&str; 15] = [
    "week",
    "change",
    "kind",
    "section",
    "title",
    "class",
    "count",
    "cut",
    "cut_64",
    "across_64",
    "mark",
    "temporary",
    "crown_up",
    "held",
    "arithmetic",
];

/// The columns of the cut list: a row a piece; `stick` numbers the week's sticks. Where a piece of a panel lies is measured
/// from the corner where both are zero, along the strength axis and across it.
const CUTS: [&str; 18] = [
    "week",
    "stick",
    "on_hand",
    "item",
    "lies",
    "mark",
    "title",
    "change",
    "cut",
    "cut_64",
    "across_64",
    "ends_at_64",
    "along_from_64",
    "across_from_64",
    "crown_up",
    "held",
    "left_64",
    "keep",
];

/// A row a need, and a row for each thing that is missing.
pub(crate) fn needs_csv(job: &Job, takeoffs: &[Takeoff]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = writer();
    writer.write_record(NEEDS)?;
    for takeoff in takeoffs {
        let head = [
            takeoff.week.to_string(),
            harmless(job.name(takeoff.change)),
            takeoff.kind.name().to_owned(),
        ];
        for need in &takeoff.needs {
            writer.write_record(head.iter().chain(&need_cells(job, need)))?;
        }
        for missing in &takeoff.missing {
            let mut cells = vec![String::new(); NEEDS.len() - head.len()];
            "missing".clone_into(&mut cells[0]);
            cells[1] = harmless(&missing.waits);
            cells[10] = harmless(&format!("needs {}", missing.text));
            writer.write_record(head.iter().chain(&cells))?;
        }
    }
    finish(writer)
}

/// A row a piece.
pub(crate) fn cut_list_csv(job: &Job, weeks: &[u32]) -> Result<Vec<u8>, csv::Error> {
    let mut writer = writer();
    writer.write_record(CUTS)?;
    for week in weeks {
        for (number, stick) in (1..).zip(cut_list(job, *week).sticks) {
            let is_panel = matches!(stick.item, Item::Panel { .. });
            for piece in &stick.pieces {
                let number: u32 = number;
                writer.write_record([
                    week.to_string(),
                    number.to_string(),
                    yes_no(stick.row.is_some() && !stick.ordered),
                    harmless(&stick.item.words(job)),
                    harmless(&stick.lies),
                    harmless(&piece.mark),
                    harmless(&piece.title),
                    harmless(job.name(piece.change)),
                    match (&piece.held, is_panel) {
                        (Some(_), _) => "measure".to_owned(),
                        (None, true) => format!("{} x {}", piece.length, piece.across),
                        (None, false) => piece.length.feet_inches(),
                    },
                    piece.length.as_64ths().to_string(),
                    maybe(is_panel.then_some(piece.across)),
                    maybe((!is_panel).then_some(piece.ends_at)),
                    maybe(piece.place.map(|place| place.x)),
                    maybe(piece.place.map(|place| place.y)),
                    yes_no(piece.crown_up),
                    harmless(piece.held.as_deref().unwrap_or("")),
                    stick.left.as_64ths().to_string(),
                    yes_no(stick.keep),
                ])?;
            }
        }
    }
    finish(writer)
}

fn need_cells(job: &Job, need: &Need) -> [String; 12] {
    [
        section(&need.class).to_owned(),
        harmless(&need.title),
        harmless(&class_words(job, &need.class)),
        need.count.to_string(),
        need.cut.map_or_else(String::new, Length::feet_inches),
        maybe(need.cut),
        maybe(need.across),
        need.mark.unwrap_or("").to_owned(),
        yes_no(need.temporary),
        yes_no(need.crown_up),
        harmless(need.held.as_deref().unwrap_or("")),
        harmless(
            &need
                .sums
                .iter()
                .map(in_words)
                .collect::<Vec<_>>()
                .join("; "),
        ),
    ]
}

fn in_words(sum: &Sum) -> String {
    if sum.note.is_empty() {
        format!("{}: {}", sum.label, sum.value)
    } else {
        format!("{}: {} ({})", sum.label, sum.value, sum.note)
    }
}

fn yes_no(is: bool) -> String {
    if is { "yes" } else { "no" }.to_owned()
}

fn maybe(length: Option<Length>) -> String {
    length.map_or_else(String::new, |length| length.as_64ths().to_string())
}

fn writer() -> csv::Writer<Vec<u8>> {
    csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new())
}

fn finish(writer: csv::Writer<Vec<u8>>) -> Result<Vec<u8>, csv::Error> {
    writer
        .into_inner()
        .map_err(|error| csv::Error::from(error.into_error()))
}
