//! Take out roof struts and re-set them (rule 9 of takeoff): each new length from its own reading.
//!
//! The old strut serves if its length as found − 1 in (1/2 trimmed at each end) reaches the new one: then no stick is
//! needed, but its nails are. A strut under 45° (rise less than run, by its own readings, else by those of the row) or
//! over 96 in is looked at. What carries the roof meanwhile is a hold point, not here.
//!
//! An old strut that wasn't measured doesn't serve. Source: 45° and 8 ft from IRC R802.4.5 (loads.md); nails a working
//! assumption (see `tables::fastening`); the trim is common practice, no published source.
//!
//! Example: new 82 3/8 in, old 83 7/16 in: 83 7/16 − 1 = 82 7/16 reaches it, the old one goes back.

use super::inputs::{Read, fastener_class, must_have, must_read, nail, read, stick_class};
use super::piece::{by_count, cut_sum, inches, is_length, size_of, stick};
use super::{Class, Fact, Fill, Finding, Sum, Takeoff, Treatment, Verdict, inputs, result, sum};
use crate::record::{Job, Record, Spot, What};
use crate::tables::fastening::Connection;
use crate::units::Length;

/// What is trimmed off an old strut, both ends together.
const TRIMMED: Length = Length::inches(1);
/// The longest strut without a brace of its own.
const LONGEST: Length = Length::inches(96);

/// The needs of a change that re-sets roof struts.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let count = change.number("count");
    let text = "how many struts";
    let Some(count) = must_have(count, change.id, "count", text, change.name(), out) else {
        return;
    };
    for n in 1..=u32::try_from(count).unwrap_or(0) {
        let waits = format!("Roof strut {n}");
        let spot = Spot::of(change.id, What::StrutLength).number(n);
        let text = format!("new length of strut {n}, point to point");
        if let Some(new) = must_read(job, spot.clone(), &text, &waits, out)
            && is_length(new.value, spot, &waits, out)
        {
            push_strut(job, change, n, &new, out);
            if new.value > LONGEST {
                let text = format!(
                    "Strut {n} is {}, over 8 ft unbraced. Brace it, or ask the engineer.",
                    new.value.feet_inches()
                );
                push_look(text, out);
            }
        }
        look_at_slope(job, change, n, &waits, out);
    }
    push_nails(job, change, count, out);
}

/// The old one as a fact if it serves, else a new stick.
fn push_strut(job: &Job, change: &Record, n: u32, new: &Read, out: &mut Takeoff) {
    let old = read(job, &Spot::of(change.id, What::OldStrutLength).number(n));
    let mut sums = old.iter().map(|old| old_sum(n, old)).collect::<Vec<_>>();
    if let Some(old) = &old
        && old.value - TRIMMED >= new.value
    {
        let usable = old.value - TRIMMED;
        let why = old.held.as_ref().or(new.held.as_ref());
        sums.push(sum("New length", inches(new.value), "point to point"));
        sums.push(result(
            "Old strut, trimmed",
            inches(usable),
            why.map_or("long enough", |held| held),
        ));
        out.facts.push(Fact {
            name: "old_strut_goes_back_64",
            title: format!("Old strut {n} goes back"),
            value: inches(usable),
            number: usable.as_64ths(),
            sums,
        });
        return;
    }
    let waits = format!("Roof strut {n}");
    let size = size_of(change, "nominal");
    let text = "the size of the new struts";
    let Some(size) = must_have(size, change.id, "nominal", text, &waits, out) else {
        return;
    };
    let Some(class) = stick_class(job, change, &size, Treatment::None, &waits, out) else {
        return;
    };
    let title = format!("{waits}, {size}");
    let mut need = stick(&format!("strut.{n}"), &title, &class, 1, new.value, "RS");
    need.held.clone_from(&new.held);
    need.readings.push(new.reading);
    if let Some(old) = &old {
        need.readings.push(old.reading);
        if need.held.is_none() {
            need.held.clone_from(&old.held);
        }
    }
    sums.push(sum(
        "New length, point to point",
        inches(new.value),
        format!("{}: strut {n}", change.name()),
    ));
    sums.push(cut_sum(job, new.value, need.held.as_ref()));
    need.sums = sums;
    out.needs.push(need);
}

fn old_sum(n: u32, old: &Read) -> Sum {
    let note = format!("strut {n}, {} as found − 1/2 at each end", old.value);
    sum("Old strut, trimmed", inches(old.value - TRIMMED), note)
}

/// Looks at a strut that leans more than it stands.
fn look_at_slope(job: &Job, change: &Record, n: u32, waits: &str, out: &mut Takeoff) {
    let of = |what: What| {
        let row = Spot::of(change.id, what);
        read(job, &row.clone().number(n)).or_else(|| read(job, &row))
    };
    let (rise, run) = (of(What::Rise), of(What::Flat));
    if let (Some(rise), Some(run)) = (&rise, &run) {
        if rise.value < run.value {
            let text = format!(
                "Strut {n} stands under 45°: it rises {} in {} in on the flat. Set its foot nearer, or ask the engineer.",
                inches(rise.value),
                run.value
            );
            push_look(text, out);
        }
        return;
    }
    for (found, what, text) in [
        (rise.is_some(), What::Rise, "rise"),
        (run.is_some(), What::Flat, "run (on the flat)"),
    ] {
        if !found {
            let spot = Spot::of(change.id, what).number(n);
            let text = format!("{text} of strut {n}");
            let waits = format!("{waits}: whether it stands at 45° or steeper");
            inputs::miss(out, &text, &waits, Fill::Reading(spot));
        }
    }
}

fn push_look(text: String, out: &mut Takeoff) {
    out.findings.push(Finding {
        verdict: Verdict::Look,
        text,
    });
}

/// Both ends of every strut, old or new.
fn push_nails(job: &Job, change: &Record, count: i64, out: &mut Takeoff) {
    let (own, connection) = (Some("nail_strut"), Connection::RoofStrutToRafter);
    let waits = "Nails, roof struts";
    let Some(row) = nail(job, change, own, "nail_strut", connection, waits, out) else {
        return;
    };
    let each = i64::from(row.count.unwrap_or(0));
    let nails = count * 2 * each;
    if nails > 0 {
        let class = Class::Fastener(fastener_class(job, &row.nail.text()));
        let title = format!("Nail, {}", connection.title());
        let mut need = by_count("nail.strut", &title, class, nails);
        let note = format!("{count} × 2 ends × {each}");
        need.sums.push(result("Nails", nails.to_string(), note));
        out.needs.push(need);
    }
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Entry, counts, cuts, id, inches, job, missing, need};
    use super::super::testing::{reversed, takeoff};
    use super::super::{Fill, Verdict};
    use crate::record::{Spot, What};

    const JOB: Entry<'static> = (
        "job",
        "job",
        &[
            ("species", "Hem-Fir"),
            ("grade", "No.2"),
            ("nail_strut", "10d box"),
        ],
    );

    /// One strut with these readings, each taken twice.
    fn one_strut(readings: &[(&str, &str)]) -> crate::record::Job {
        let words: Vec<String> = (0..readings.len() * 2).map(|n| format!("r{n}")).collect();
        let fields: Vec<[(&str, &str); 4]> = readings
            .iter()
            .flat_map(|reading| [reading, reading])
            .map(|(what, raw)| {
                [
                    ("of", "@struts"),
                    ("what", *what),
                    ("number", "1"),
                    ("raw", *raw),
                ]
            })
            .collect();
        let mut entries: Vec<Entry> = vec![
            JOB,
            ("struts", "struts", &[("count", "1"), ("nominal", "2x4")]),
        ];
        for (word, fields) in words.iter().zip(&fields) {
            entries.push(("reading", word, fields));
        }
        job(&entries)
    }

    #[test]
    fn an_old_strut_an_inch_longer_goes_back_and_is_nailed() {
        let job = one_strut(&[
            ("strut_length", "82 3/8"),
            ("old_strut_length", "83 3/8"),
            ("rise", "60"),
            ("flat", "56"),
        ]);
        let got = takeoff(&job, "struts");
        assert_eq!(cuts(&got), []);
        assert_eq!(counts(&got), [("nail.strut", 6)]); // 2 ends × 3 of 10d box
        let fact = &got.facts[0];
        assert_eq!(fact.title, "Old strut 1 goes back");
        assert_eq!(fact.number, inches("82 3/8").as_64ths());
        assert_eq!((&got.missing[..], &got.findings[..]), (&[][..], &[][..]));
        assert_eq!(got, takeoff(&reversed(&job), "struts"));
    }

    #[test]
    fn an_old_strut_a_sixteenth_short_of_that_does_not_serve() {
        let job = one_strut(&[("strut_length", "82 3/8"), ("old_strut_length", "83 5/16")]);
        let got = takeoff(&job, "struts");
        assert_eq!(cuts(&got), [("strut.1", 1, "82 3/8".to_owned())]);
        let strut = need(&got, "strut.1");
        assert_eq!((strut.mark, &strut.held), (Some("RS"), &None));
        assert_eq!(strut.sums[0].value, "82 5/16 in");
        assert_eq!(got.facts, []);
    }

    #[test]
    fn a_strut_flatter_than_45_degrees_or_over_8_feet_is_looked_at() {
        let looks = |readings: &[(&str, &str)]| {
            let got = takeoff(&one_strut(readings), "struts");
            let all = got.findings.iter();
            all.filter(|finding| finding.verdict == Verdict::Look)
                .count()
        };
        let steep =
            |rise, length| looks(&[("strut_length", length), ("rise", rise), ("flat", "60")]);
        assert_eq!(steep("60", "84 7/8"), 0);
        assert_eq!(steep("59 15/16", "84 7/8"), 1);
        assert_eq!(steep("75", "96"), 0);
        assert_eq!(steep("75", "96 1/16"), 1);
        assert_eq!(steep("59", "96 1/16"), 2);
    }

    #[test]
    fn each_strut_waits_for_its_own_reading() {
        let job = job(&[
            JOB,
            ("struts", "struts", &[("count", "2"), ("nominal", "2x4")]),
            (
                "reading",
                "r1",
                &[
                    ("of", "@struts"),
                    ("what", "strut_length"),
                    ("number", "2"),
                    ("raw", "70"),
                ],
            ),
            (
                "reading",
                "rise",
                &[("of", "@struts"), ("what", "rise"), ("raw", "50")],
            ),
            (
                "reading",
                "flat",
                &[("of", "@struts"), ("what", "flat"), ("raw", "40")],
            ),
        ]);
        let got = takeoff(&job, "struts");
        assert_eq!(cuts(&got), [("strut.2", 1, "70".to_owned())]);
        assert!(need(&got, "strut.2").held.is_some()); // read once
        assert_eq!(
            missing(&got),
            [("new length of strut 1, point to point", "Roof strut 1")]
        );
        let spot = Spot::of(id("struts"), What::StrutLength).number(1);
        assert_eq!(got.missing[0].fill, Fill::Reading(spot));
        assert_eq!(counts(&got), [("nail.strut", 12)]);
    }

    #[test]
    fn without_a_size_a_nail_and_a_slope_all_three_are_asked_for() {
        let bare = job(&[
            ("struts", "struts", &[("count", "1")]),
            (
                "reading",
                "r1",
                &[
                    ("of", "@struts"),
                    ("what", "strut_length"),
                    ("number", "1"),
                    ("raw", "70"),
                ],
            ),
        ]);
        let got = takeoff(&bare, "struts");
        let texts: Vec<&str> = got.missing.iter().map(|m| &m.text[..]).collect();
        assert_eq!(
            texts,
            [
                "the size of the new struts",
                "rise of strut 1",
                "run (on the flat) of strut 1",
                "nail for roof strut, each end"
            ]
        );
        assert_eq!(got.needs, []);
    }
}
