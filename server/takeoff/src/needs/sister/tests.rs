//! Sisters worked out by hand.

use super::super::testing::{Entry, counts, cuts, job, missing, need, reversed, takeoff};
use super::super::{Class, FastenerClass, Serves, Takeoff, Verdict};
use crate::record::Job;

const JOB: Entry<'static> = ("job", "job", &[("species", "Hem-Fir"), ("grade", "No.2")]);
const RUN: Entry<'static> = (
    "run",
    "kitchen",
    &[("piece", "joist"), ("spacing", "16"), ("count", "12")],
);
const DEPTH: &[(&str, &str)] = &[("of", "@kitchen"), ("what", "depth"), ("raw", "5 3/4")];
const START: &[(&str, &str)] = &[
    ("of", "@kitchen"),
    ("what", "bearing_start"),
    ("raw", "3 1/2"),
];
const END: &[(&str, &str)] = &[("of", "@kitchen"), ("what", "bearing_end"), ("raw", "2")];
const NO_GAP: &[(&str, &str)] = &[("of", "@sister"), ("what", "gap"), ("raw", "0")];

fn readings() -> Vec<Entry<'static>> {
    let all = [("d", DEPTH), ("s", START), ("e", END), ("g", NO_GAP)];
    let twice = all.into_iter().flat_map(|(word, fields)| {
        let again: &str = match word {
            "d" => "d2",
            "s" => "s2",
            "e" => "e2",
            _ => "g2",
        };
        [("reading", word, fields), ("reading", again, fields)]
    });
    twice.collect()
}

/// A 2×6, 54 in long, beside joist 4 of the kitchen, with these fields beside and these things.
fn sister(fields: &[(&str, &str)], others: &[Entry]) -> Job {
    let usual = [
        ("member", "@kitchen"),
        ("number", "4"),
        ("nominal", "2x6"),
        ("length", "54"),
    ];
    let mut all = usual.to_vec();
    all.retain(|(name, _)| fields.iter().all(|(other, _)| other != name));
    all.extend_from_slice(fields);
    let mut entries = vec![JOB, RUN];
    entries.extend_from_slice(others);
    entries.push(("sister", "sister", &all));
    job(&entries)
}

fn looks(takeoff: &Takeoff) -> Vec<&str> {
    let all = takeoff.findings.iter();
    all.filter(|finding| finding.verdict == Verdict::Look)
        .map(|finding| &finding.text[..])
        .collect()
}

#[test]
fn a_shallower_sister_is_packed_at_both_bearings() {
    let job = sister(&[], &readings());
    let got = takeoff(&job, "sister");
    assert_eq!(
        cuts(&got),
        [
            ("sister", 1, "54".to_owned()),
            ("packing.start", 1, "3 1/2".to_owned()),
            ("packing.end", 1, "2".to_owned()),
        ]
    );
    // 2 rows × (up(54 ÷ 16) + 1 = 5)
    assert_eq!(counts(&got), [("fastener", 10)]);
    assert_eq!(
        need(&got, "fastener").class,
        Class::Fastener(FastenerClass::new("10d common", ""))
    );
    let new = need(&got, "sister");
    assert_eq!(
        (new.mark, new.crown_up, new.serves),
        (Some("SI"), true, Serves::SameClass)
    );
    let packing = need(&got, "packing.start");
    assert_eq!(packing.title, "Packing at the start, 1/4 thick");
    assert_eq!(
        (
            packing.mark,
            packing.serves,
            packing.readings.len(),
            packing.held.as_ref()
        ),
        (Some("PK"), Serves::NotThinnerNorNarrower, 2, None)
    );
    assert_eq!((&missing(&got)[..], &got.findings[..]), (&[][..], &[][..]));
    assert_eq!(got, takeoff(&reversed(&job), "sister"));
}

#[test]
fn the_joist_s_own_depth_goes_before_the_run_s() {
    let own: &[(&str, &str)] = &[
        ("of", "@kitchen"),
        ("what", "depth"),
        ("number", "4"),
        ("raw", "5 5/8"),
    ];
    let mut all = readings();
    all.push(("reading", "own", own));
    let got = takeoff(&sister(&[], &all), "sister");
    let packing = need(&got, "packing.end");
    assert_eq!(packing.title, "Packing at the end, 1/8 thick");
    assert!(packing.held.as_ref().unwrap().contains("read once"));
}

#[test]
fn a_deeper_sister_is_to_be_ripped() {
    let got = takeoff(&sister(&[("nominal", "2x8")], &readings()), "sister");
    // 7 1/4 − 5 3/4
    assert_eq!(
        looks(&got),
        ["The sister is 7 1/4 in deep, the old piece 5 3/4 in. Rip it by 1 1/2 in."]
    );
    assert_eq!(cuts(&got).len(), 1);
}

#[test]
fn a_gap_is_packed_along_the_whole_sister() {
    for (raw, pieces, title) in [
        ("3/4", 1, "Packing, ripped to 3/4"),
        ("1 1/2", 1, "Packing, 1 whole"),
        ("2 1/8", 2, "Packing, 1 whole, 1 ripped to 5/8"),
    ] {
        let gap = [("of", "@sister"), ("what", "gap"), ("raw", raw)];
        let all: Vec<Entry> = readings()
            .into_iter()
            .filter(|(_, word, _)| !word.starts_with('g'))
            .chain([("reading", "gap", &gap[..])])
            .collect();
        let got = takeoff(&sister(&[("bearings", "0")], &all), "sister");
        let packing = need(&got, "packing.gap");
        assert_eq!((packing.count, &packing.title[..]), (pieces, title));
        assert_eq!(packing.cut, need(&got, "sister").cut);
        assert!(packing.held.is_some());
    }
}

#[test]
fn one_end_that_bears_is_packed_where_the_sister_lies() {
    let ends = |from| {
        let got = takeoff(
            &sister(&[("bearings", "1"), ("from", from)], &readings()),
            "sister",
        );
        let slots = got.needs.iter().filter(|need| need.mark == Some("PK"));
        slots.map(|need| need.slot.clone()).collect::<Vec<_>>()
    };
    assert_eq!(ends("0"), ["packing.start"]);
    assert_eq!(ends("60"), ["packing.end"]);
    let got = takeoff(&sister(&[("bearings", "1")], &readings()), "sister");
    assert_eq!(
        missing(&got),
        [(
            "the sister’s start, from the member’s start",
            "Packing at the bearing"
        )]
    );
}

#[test]
fn a_sister_laps_two_feet_past_the_damage_at_each_end() {
    let found = |from, damage_from, damage_to| {
        let fields = [
            ("from", from),
            ("damage_from", damage_from),
            ("damage_to", damage_to),
            ("bearings", "0"),
        ];
        looks(&takeoff(&sister(&fields, &readings()), "sister")).len()
    };
    assert_eq!(found("10", "34", "40"), 0); // 24 and 10 + 54 − 40
    assert_eq!(found("10", "33 15/16", "40"), 1);
    assert_eq!(found("10", "34", "40 1/16"), 1);
    assert_eq!(found("10", "20", "60"), 2);
    assert_eq!(found("10", "4", "60"), 2); // begins inside the damage
    let got = takeoff(&sister(&[("damage_from", "30")], &readings()), "sister");
    assert_eq!(
        missing(&got),
        [
            (
                "the sister’s start, from the member’s start",
                "Lap past the damage"
            ),
            ("where the damage ends", "Lap past the damage"),
        ]
    );
}

#[test]
fn rows_spacing_and_fastener_can_be_changed_here_or_for_the_job() {
    let of_job: Entry = (
        "job",
        "job",
        &[
            ("species", "Hem-Fir"),
            ("grade", "No.2"),
            ("sister_rows", "3"),
            ("sister_spacing", "12"),
            ("sister_fastener", "screw 3 in"),
        ],
    );
    let mut all = readings();
    all.push(of_job);
    let got = takeoff(&sister(&[], &all), "sister");
    // 3 × (up(54 ÷ 12) + 1)
    assert_eq!(counts(&got), [("fastener", 18)]);
    let class = Class::Fastener(FastenerClass::new("screw 3 in", ""));
    assert_eq!(need(&got, "fastener").class, class);
    let got = takeoff(&sister(&[("rows", "1"), ("spacing", "9")], &all), "sister");
    assert_eq!(counts(&got), [("fastener", 7)]);
}

#[test]
fn what_was_not_read_is_asked_for_and_the_sister_still_counts() {
    let got = takeoff(&sister(&[], &[]), "sister");
    assert_eq!(cuts(&got), [("sister", 1, "54".to_owned())]);
    assert_eq!(
        missing(&got),
        [
            (
                "the gap between the member and the sister, as found",
                "Packing of the sister"
            ),
            ("the depth of kitchen as found", "Packing at the bearings"),
        ]
    );
    let depth = [("reading", "d", DEPTH), ("reading", "g", NO_GAP)];
    let got = takeoff(&sister(&[], &depth), "sister");
    assert_eq!(
        missing(&got),
        [
            (
                "the bearing of kitchen at its start",
                "Packing at the bearings"
            ),
            (
                "the bearing of kitchen at its end",
                "Packing at the bearings"
            ),
        ]
    );
}
