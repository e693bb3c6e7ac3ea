//! Add studs (rule 8 of takeoff): king, jack, cripple and plain studs, each between standing pieces.
//!
//! Cut = the reading from plate (or header) to plate − the fit. Toe nails at both ends; a jack is nailed to its king as
//! well. A stud that was read by its number is a need of its own; the others go by the reading without a number. Where they
//! are less deep than the old ones, filler strips: see `filler`. What holds a header up, and whether a stud carries enough,
//! is not here.
//!
//! Source: IRC Table R602.3(1) for the nails (see `tables::fastening`); the rest is common practice, no published source.
//!
//! Example: 2 jacks, header to plate 81 1/2 in, fit 0, 16d box toe nails (3) and 16d common to the king at 24 in:
//! cut 81 1/2 in, 2 × 2 × 3 = 12 toe nails, 2 × (up(81 1/2 ÷ 24) + 1) = 10 nails to the king.

use super::filler::{Face, push_filler};
use super::inputs::{Read, must_have, must_read, nail, read, setting, stick_class};
use super::piece::{by_count, cut_sum, inches, is_length, size_of, stick};
use super::{Class, StickClass, Takeoff, Treatment, inputs, result, sum};
use crate::record::{Job, Record, Spot, What};
use crate::tables::fastening::Connection;
use crate::units::Length;

/// The needs of a change that adds studs.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let (word, mark_words) = kind_words(change);
    let size = size_of(change, "nominal");
    let waits = match &size {
        Some(size) => format!("{mark_words}, {size}"),
        None => mark_words.to_owned(),
    };
    let size = must_have(
        size,
        change.id,
        "nominal",
        "the size of the studs",
        &waits,
        out,
    );
    let treatment = if change.says("treatment", "treated") {
        Treatment::Treated
    } else {
        Treatment::None
    };
    let class = size.and_then(|size| stick_class(job, change, &size, treatment, &waits, out));
    let count = must_have(
        change.number("count"),
        change.id,
        "count",
        "how many studs",
        &waits,
        out,
    )
    .unwrap_or(0);
    let groups = groups(job, change, count, &waits, out);
    let fit = setting(job, change, "fit", "stud_fit", Length::ZERO);

    let mut cuts = Vec::new();
    for group in &groups {
        let cut = group.read.value - fit;
        if is_length(cut, group.spot.clone(), &waits, out) {
            cuts.push((group, cut));
        }
    }
    if let Some(class) = &class {
        for (group, cut) in &cuts {
            push_studs(job, change, class, &waits, (group, *cut, fit), out);
        }
        let pieces: Vec<(i64, Length)> = cuts
            .iter()
            .map(|(group, cut)| (group.count, *cut))
            .collect();
        push_filler(job, change, class, Face::Depth, &pieces, out);
    }
    push_toe_nails(job, change, count, &waits, out);
    if word == "jack" {
        push_king_nails(job, change, &cuts, &waits, out);
    }
}

/// Studs of one length: which, and the reading that they go by.
struct Group {
    slot: String,
    count: i64,
    spot: Spot,
    read: Read,
}

/// Studs with a reading of their own first, by number; then the rest.
fn groups(job: &Job, change: &Record, count: i64, waits: &str, out: &mut Takeoff) -> Vec<Group> {
    let spot = Spot::of(change.id, What::PlateToPlate);
    let mut groups = Vec::new();
    for n in 1..=u32::try_from(count).unwrap_or(0) {
        let spot = spot.clone().number(n);
        if let Some(read) = read(job, &spot) {
            groups.push(Group {
                slot: format!("stud.own.{n}"),
                count: 1,
                spot,
                read,
            });
        }
    }
    let rest = count - i64::try_from(groups.len()).unwrap_or(count);
    if rest > 0
        && let Some(read) = must_read(job, spot.clone(), "plate (or header) to plate", waits, out)
    {
        groups.push(Group {
            slot: "stud".to_owned(),
            count: rest,
            spot,
            read,
        });
    }
    groups
}

fn push_studs(
    job: &Job,
    change: &Record,
    class: &StickClass,
    title: &str,
    (group, cut, fit): (&Group, Length, Length),
    out: &mut Takeoff,
) {
    let mut need = stick(&group.slot, title, class, group.count, cut, "ST");
    need.held.clone_from(&group.read.held);
    need.readings.push(group.read.reading);
    let from = format!("{}: {}", change.name(), group.spot);
    need.sums.push(sum(
        "Plate (or header) to plate",
        inches(group.read.value),
        from,
    ));
    need.sums
        .push(sum("− fit", inches(fit), "so that it goes in"));
    need.sums.push(cut_sum(job, cut, need.held.as_ref()));
    out.needs.push(need);
}

fn push_toe_nails(job: &Job, change: &Record, count: i64, waits: &str, out: &mut Takeoff) {
    let connection = Connection::StudToPlateToe;
    let own = Some("nail_toe");
    let Some(row) = nail(job, change, own, "nail_stud_toe", connection, waits, out) else {
        return;
    };
    let each = i64::from(row.count.unwrap_or(0));
    let nails = count * 2 * each;
    if nails == 0 {
        return;
    }
    let class = inputs::fastener_class(job, &row.nail.text());
    let title = format!("Nail, {}", connection.title());
    let mut need = by_count("nail.toe", &title, Class::Fastener(class), nails);
    let note = format!("{count} × 2 ends × {each}");
    need.sums.push(result("Nails", nails.to_string(), note));
    out.needs.push(need);
}

/// Jack to king, along each jack. They wait for every length.
fn push_king_nails(
    job: &Job,
    change: &Record,
    cuts: &[(&Group, Length)],
    waits: &str,
    out: &mut Takeoff,
) {
    let connection = Connection::StudToStud;
    let own = Some("nail_king");
    let row = nail(
        job,
        change,
        own,
        "nail_stud_to_stud",
        connection,
        waits,
        out,
    );
    let Some((row, spacing)) = row.and_then(|row| Some((row, row.spacing?))) else {
        return;
    };
    let mut need = by_count(
        "nail.king",
        "Nail, jack to king",
        Class::Fastener(inputs::fastener_class(job, &row.nail.text())),
        0,
    );
    for (group, cut) in cuts {
        let each = cut.div_up(spacing) + 1;
        need.count += group.count * each;
        need.readings.push(group.read.reading);
        need.sums.push(sum(
            format!("{} of {}", group.count, inches(*cut)),
            (group.count * each).to_string(),
            format!("{} × (up({cut} ÷ {spacing}) + 1)", group.count),
        ));
    }
    if need.count > 0 {
        let total = need.count.to_string();
        need.sums.push(result("Nails", total, ""));
        out.needs.push(need);
    }
}

/// The stored word, and what such a stud is called.
fn kind_words(change: &Record) -> (&str, &'static str) {
    let word = change.text("stud").unwrap_or("plain");
    let words = match word {
        "king" => "King stud",
        "jack" => "Jack stud",
        "cripple" => "Cripple stud",
        _ => "Stud",
    };
    (word, words)
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Entry, inches};
    use super::super::testing::{counts, cuts, id, job, missing, need, reversed, takeoff};
    use super::super::{Class, FastenerClass};

    const JOB: Entry<'static> = (
        "job",
        "job",
        &[
            ("species", "Hem-Fir"),
            ("grade", "No.2"),
            ("nail_stud_toe", "16d box"),
            ("nail_stud_to_stud", "16d common"),
        ],
    );
    const JACKS: Entry<'static> = (
        "studs",
        "jacks",
        &[("stud", "jack"), ("count", "2"), ("nominal", "2x4")],
    );

    fn reading<'a>(word: &'a str, fields: &'a [(&'a str, &'a str)]) -> Entry<'a> {
        ("reading", word, fields)
    }

    #[test]
    fn two_jacks_are_cut_to_the_header_and_nailed_to_their_kings() {
        let fields: &[(&str, &str)] = &[
            ("of", "@jacks"),
            ("what", "plate_to_plate"),
            ("raw", "81 1/2"),
        ];
        let job = job(&[JOB, JACKS, reading("r1", fields), reading("r2", fields)]);
        let got = takeoff(&job, "jacks");
        assert_eq!(cuts(&got), [("stud", 2, "81 1/2".to_owned())]);
        // toe: 2 studs × 2 ends × 3 of 16d box; to the king: 2 × (up(81.5 ÷ 24) + 1 = 5) of 16d common
        assert_eq!(counts(&got), [("nail.toe", 12), ("nail.king", 10)]);
        assert_eq!(
            need(&got, "nail.king").class,
            Class::Fastener(FastenerClass::new("16d common", ""))
        );
        assert_eq!(missing(&got), []);
        let stud = need(&got, "stud");
        assert_eq!((stud.held.clone(), stud.mark), (None, Some("ST")));
        assert_eq!(stud.readings, [id("r2")]);
        assert_eq!(stud.title, "Jack stud, 2×4");
        assert_eq!(got, takeoff(&reversed(&job), "jacks"));
    }

    #[test]
    fn a_reading_taken_once_holds_the_cut_and_a_fit_comes_off() {
        let job = job(&[
            JOB,
            (
                "studs",
                "king",
                &[
                    ("stud", "king"),
                    ("count", "1"),
                    ("nominal", "2x6"),
                    ("fit", "1/16"),
                ],
            ),
            reading(
                "r1",
                &[
                    ("of", "@king"),
                    ("what", "plate_to_plate"),
                    ("raw", "92 5/8"),
                ],
            ),
        ]);
        let got = takeoff(&job, "king");
        let stud = need(&got, "stud");
        assert_eq!(stud.cut, Some(inches("92 9/16")));
        assert!(stud.held.as_ref().unwrap().contains("read once"));
        assert_eq!(stud.sums.last().unwrap().label, "To buy by");
        assert_eq!(counts(&got), [("nail.toe", 6)]); // a king has no king
    }

    #[test]
    fn a_stud_with_its_own_reading_has_its_own_length() {
        let job = job(&[
            JOB,
            (
                "studs",
                "cripples",
                &[("stud", "cripple"), ("count", "3"), ("nominal", "2x4")],
            ),
            reading(
                "r1",
                &[
                    ("of", "@cripples"),
                    ("what", "plate_to_plate"),
                    ("number", "2"),
                    ("raw", "14 1/8"),
                ],
            ),
            reading(
                "r2",
                &[
                    ("of", "@cripples"),
                    ("what", "plate_to_plate"),
                    ("raw", "14"),
                ],
            ),
        ]);
        let want = [
            ("stud.own.2", 1, "14 1/8".to_owned()),
            ("stud", 2, "14".to_owned()),
        ];
        assert_eq!(cuts(&takeoff(&job, "cripples")), want);
    }

    #[test]
    fn without_a_reading_or_a_nail_the_rest_still_counts() {
        let bare = job(&[
            ("job", "job", &[("species", "Hem-Fir"), ("grade", "No.2")]),
            JACKS,
        ]);
        let got = takeoff(&bare, "jacks");
        assert_eq!(got.needs, []);
        let waits = "Jack stud, 2×4";
        assert_eq!(
            missing(&got),
            [
                ("plate (or header) to plate", waits),
                ("nail for stud to plate, toe nails", waits),
                ("nail for stud to stud", waits),
            ]
        );
        let nailed = job(&[JOB, JACKS]);
        assert_eq!(counts(&takeoff(&nailed, "jacks")), [("nail.toe", 12)]);
    }
}
