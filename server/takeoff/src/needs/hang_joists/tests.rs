//! Joists and hangers worked out by hand. The hangers are invented.

use super::super::testing::{Entry, counts, id, job, missing, need, reversed, takeoff};
use super::super::{Class, Fill, Takeoff, Verdict};
use crate::record::{Job, Kind};

type Fields<'a> = &'a [(&'a str, &'a str)];

const JOB: Entry<'static> = ("job", "job", &[("species", "Hem-Fir"), ("grade", "No.2")]);
/// From 12 to 12 + 139 3/4 + 7 = 158 3/4; 9 1/4 deep.
const BEAM: Entry<'static> = (
    "set_beam",
    "beam",
    &[
        ("wall", "@D"),
        ("nominal", "2x10"),
        ("plies", "3"),
        ("from", "12"),
        ("bearing_start", "3 1/2"),
        ("bearing_end", "3 1/2"),
    ],
);
const CLEAR: Fields = &[
    ("of", "@beam"),
    ("what", "clear_between_posts"),
    ("raw", "139 3/4"),
];
const HANGER: Entry<'static> = (
    "hardware",
    "H1",
    &[
        ("type", "hanger"),
        ("seat", "1 13/16"),
        ("height_from", "5 1/2"),
        ("height_to", "5 1/2"),
        ("carrying_fastener", "Hanger nail  1 1/2"),
        ("carrying_count", "8"),
        ("carried_fastener", "hanger nail 1 1/2"),
        ("carried_count", "6"),
    ],
);

/// A run of twelve at 16, and its readings: thickness, depth, place of the first centre.
struct Run {
    name: &'static str,
    fields: Vec<(&'static str, &'static str)>,
    readings: Vec<Vec<(&'static str, &'static str)>>,
}

impl Run {
    fn new(
        name: &'static str,
        of: &'static str,
        over_wall: &'static str,
        first: &'static str,
        section: (&'static str, &'static str),
    ) -> Self {
        let reading = |what, raw| vec![("of", of), ("what", what), ("raw", raw)];
        Self {
            name,
            fields: vec![
                ("piece", "joist"),
                ("spacing", "16"),
                ("count", "12"),
                ("measured_to", "centre"),
                ("measured_from", "@D"),
                ("over_wall", over_wall),
            ],
            readings: vec![
                reading("thickness", section.0),
                reading("depth", section.1),
                reading("place", first),
            ],
        }
    }

    fn entries(&self) -> Vec<Entry<'_>> {
        let words = match self.name {
            "dining" => ["d1", "d2", "d3"],
            _ => ["k1", "k2", "k3"],
        };
        let readings = words.iter().zip(&self.readings);
        let readings = readings.map(|(word, fields)| ("reading", *word, &fields[..]));
        let mut all: Vec<Entry> = readings.collect();
        all.push(("run", self.name, &self.fields[..]));
        all
    }
}

fn kitchen() -> Run {
    Run::new("kitchen", "@kitchen", "lapped", "16", ("1 3/4", "5 3/4"))
}

fn dining() -> Run {
    Run::new("dining", "@dining", "lapped", "13", ("1 3/4", "5 3/4"))
}

fn hung(fields: Fields, runs: &[Run], others: &[Entry]) -> Job {
    let mut all: Vec<(&str, &str)> = vec![("beam", "@beam")];
    all.retain(|(name, _)| fields.iter().all(|(other, _)| other != name));
    all.extend(runs.iter().map(|run| match run.name {
        "dining" => ("runs", "@dining"),
        _ => ("runs", "@kitchen"),
    }));
    all.extend_from_slice(fields);
    let mut entries = vec![JOB, ("wall", "D", &[]), BEAM];
    entries.push(("reading", "c1", CLEAR));
    entries.push(("reading", "c2", CLEAR));
    entries.extend(runs.iter().flat_map(Run::entries));
    entries.extend_from_slice(others);
    entries.push(("hang_joists", "hang", &all));
    job(&entries)
}

fn hangers(takeoff: &Takeoff) -> i64 {
    let all = takeoff.needs.iter();
    all.filter(|need| matches!(need.class, Class::Hardware { .. }))
        .map(|need| need.count)
        .sum()
}

fn texts(takeoff: &Takeoff) -> Vec<(Verdict, &str)> {
    let all = takeoff.findings.iter();
    all.map(|finding| (finding.verdict, &finding.text[..]))
        .collect()
}

#[test]
fn lapped_joists_get_a_hanger_each_side_at_their_own_places() {
    let job = hung(&[], &[kitchen(), dining()], &[HANGER]);
    let got = takeoff(&job, "hang");
    // kitchen 16 … 144: 9; dining 13 … 157: 10
    let slot = format!("hanger.{}", id("H1"));
    assert_eq!(
        counts(&got),
        [(&slot[..], 19), ("fastener.hanger nail 1 1/2", 19 * 14)]
    );
    let hanger = need(&got, &slot);
    assert_eq!(hanger.class, Class::Hardware { row: id("H1") });
    let lines: Vec<(&str, &str, &str)> = hanger
        .sums
        .iter()
        .map(|sum| (&sum.label[..], &sum.value[..], &sum.note[..]))
        .collect();
    assert_eq!(
        lines,
        [
            ("dining", "10", "10 joists × 1, 1 3/4 × 5 3/4 as found"),
            ("kitchen", "9", "9 joists × 1, 1 3/4 × 5 3/4 as found"),
            ("Hangers", "19", "seat 1 13/16 in"),
        ]
    );
    // thickness, depth and place of both, and the beam's length
    assert_eq!(hanger.readings.len(), 7);
    let fasteners = need(&got, "fastener.hanger nail 1 1/2");
    assert_eq!(fasteners.sums[0].note, "19 × 8, by the sheet of H1");
    assert_eq!((&missing(&got)[..], &texts(&got)[..]), (&[][..], &[][..]));
    assert_eq!(got, takeoff(&reversed(&job), "hang"));
}

#[test]
fn a_joist_cut_on_both_sides_needs_two_hangers() {
    let ways = [("lapped", 9), ("continuous", 18), ("ends", 9)];
    for (over_wall, want) in ways {
        let run = Run::new("kitchen", "@kitchen", over_wall, "16", ("1 3/4", "5 3/4"));
        let got = takeoff(&hung(&[], &[run], &[HANGER]), "hang");
        assert_eq!(hangers(&got), want, "{over_wall}");
    }
}

#[test]
fn a_joist_partly_past_the_end_waits_for_the_lead() {
    let run = || Run::new("kitchen", "@kitchen", "lapped", "14", ("1 3/4", "5 3/4"));
    let got = takeoff(&hung(&[], &[run()], &[HANGER]), "hang");
    // 14 … 142 are within; the tenth, 157 1/8 to 158 7/8, is past 158 3/4
    assert_eq!(hangers(&got), 9);
    assert_eq!(
        texts(&got),
        [(
            Verdict::Look,
            "Joist 10 of kitchen, 157 1/8 to 158 7/8 in, is partly past the end of beam (12 to 158 3/4 in): \
             neither cut nor hung. Record whether it is hung or left."
        )]
    );
    for (word, want) in [("hang", 10), ("leave", 9)] {
        let got = takeoff(&hung(&[("partly", word)], &[run()], &[HANGER]), "hang");
        assert_eq!((hangers(&got), texts(&got).len()), (want, 0), "{word}");
    }
}

#[test]
fn a_joist_flush_with_the_beam_s_end_is_within_and_one_that_just_touches_is_not() {
    // first centre 12 7/8: its near face at 12, as the beam; the tenth's far face at 157 3/4
    for (first, hung_there, looked_at) in [("12 7/8", 10, 0), ("11 1/8", 9, 1), ("11", 9, 0)] {
        let run = Run::new("kitchen", "@kitchen", "lapped", first, ("1 3/4", "5 3/4"));
        let got = takeoff(&hung(&[], &[run], &[HANGER]), "hang");
        assert_eq!(
            (hangers(&got), texts(&got).len()),
            (hung_there, looked_at),
            "{first}"
        );
    }
}

#[test]
fn joists_measured_from_another_wall_are_shifted_to_the_beam_s() {
    let other: Entry = ("wall", "B", &[]);
    let from_b = || {
        let mut run = kitchen();
        run.fields.retain(|(name, _)| *name != "measured_from");
        run.fields.push(("measured_from", "@B"));
        run
    };
    let got = takeoff(&hung(&[], &[from_b()], &[HANGER, other]), "hang");
    assert_eq!(got.needs, []);
    assert_eq!(
        missing(&got),
        [(
            "where the joists’ wall stands, from the beam’s zero end",
            "Joist hangers"
        )]
    );
    // 100 + 16, 32, 48: 116, 132, 148
    let got = takeoff(
        &hung(&[("runs_zero", "100")], &[from_b()], &[HANGER, other]),
        "hang",
    );
    assert_eq!(hangers(&got), 3);
    // not recorded: as the beam
    let mut run = kitchen();
    run.fields.retain(|(name, _)| *name != "measured_from");
    assert_eq!(hangers(&takeoff(&hung(&[], &[run], &[HANGER]), "hang")), 9);
}

#[test]
fn a_beam_that_is_already_there_goes_by_its_readings() {
    let beam: Entry = ("member", "old", &[("piece", "beam"), ("wall", "@D")]);
    let fields = |what, raw| [("of", "@old"), ("what", what), ("raw", raw)];
    let (place, length) = (fields("place", "20"), fields("length", "40"));
    let (thick, depth) = (fields("thickness", "3"), fields("depth", "7"));
    let of_beam = [("beam", "@old")];
    let others = [
        HANGER,
        beam,
        ("reading", "b1", &place[..]),
        ("reading", "b2", &length[..]),
        ("reading", "b3", &thick[..]),
        ("reading", "b4", &depth[..]),
    ];
    let got = takeoff(&hung(&of_beam, &[kitchen()], &others), "hang");
    // from 20 to 60: 32 and 48
    assert_eq!(hangers(&got), 2);
    let got = takeoff(&hung(&of_beam, &[kitchen()], &others[..4]), "hang");
    let waits = "Joist hangers";
    assert_eq!(
        missing(&got),
        [("the thickness of old", waits), ("the depth of old", waits)]
    );
}

#[test]
fn what_is_not_recorded_is_asked_for() {
    let mut run = kitchen();
    run.fields.retain(|(name, _)| *name != "over_wall");
    run.readings.remove(1); // the depth
    let bare: Entry = ("set_beam", "bare", &[("nominal", "2x10"), ("plies", "3")]);
    let got = takeoff(&hung(&[], &[run], &[HANGER]), "hang");
    let waits = "Joist hangers";
    assert_eq!(
        missing(&got),
        [
            (
                "whether kitchen laps, runs through or ends at the wall",
                waits
            ),
            ("the depth of kitchen as found", waits),
        ]
    );
    let got = takeoff(
        &hung(&[("beam", "@bare")], &[kitchen()], &[HANGER, bare]),
        "hang",
    );
    assert_eq!(
        missing(&got),
        [
            ("the beam’s start, from the zero end", waits),
            ("clear between the posts", waits),
            ("the bearing at its start, or the post under it", waits),
            ("the bearing at its end, or the post under it", waits),
        ]
    );
}

#[test]
fn a_hanger_without_its_schedule_is_bought_and_its_fasteners_asked_for() {
    let bare: Entry = (
        "hardware",
        "H2",
        &[
            ("type", "hanger"),
            ("seat", "1 13/16"),
            ("height_from", "5"),
            ("height_to", "5"),
            ("carrying_fastener", "screw 1 1/2"),
            ("carrying_count", "4"),
        ],
    );
    let got = takeoff(&hung(&[], &[kitchen()], &[bare]), "hang");
    let slot = format!("hanger.{}", id("H2"));
    assert_eq!(counts(&got), [(&slot[..], 9), ("fastener.screw 1 1/2", 36)]);
    assert_eq!(
        missing(&got),
        [(
            "fastener schedule of H2, into the carried member, from its sheet",
            "Hanger fasteners"
        )]
    );
    let field = "carried_fastener";
    assert_eq!(
        got.missing[0].fill,
        Fill::Field {
            of: id("H2"),
            field
        }
    );
}

/// A joist 1 7/8 × 5 3/4, and seats on both sides of it.
fn thick(fields: Fields, wide: Fields, narrow: Fields) -> Takeoff {
    let heights = [("type", "hanger"), ("height_from", "5"), ("height_to", "5")];
    let schedule = [("carrying_count", "0"), ("carried_count", "0")];
    let of = |own: &[(&'static str, &'static str)]| [&heights[..], &schedule, own].concat();
    let leak = |fields: Fields| -> Vec<(&'static str, &'static str)> {
        let word = |text: &str| {
            [
                "seat", "2 1/16", "2 7/16", "1 13/16", "1 11/16", "shim_ok", "plane_ok", "yes",
                "no",
            ]
            .into_iter()
            .find(|known| *known == text)
            .expect("a word of this test")
        };
        fields
            .iter()
            .map(|(name, text)| (word(name), word(text)))
            .collect()
    };
    let (wide, narrow) = (of(&leak(wide)), of(&leak(narrow)));
    let run = Run::new("kitchen", "@kitchen", "lapped", "16", ("1 7/8", "5 3/4"));
    let others = [
        ("hardware", "Wide", &wide[..]),
        ("hardware", "Narrow", &narrow[..]),
    ];
    takeoff(&hung(fields, &[run], &others), "hang")
}

const WIDE: Fields = &[("seat", "2 1/16"), ("shim_ok", "yes")];
const NARROW: Fields = &[("seat", "1 13/16"), ("plane_ok", "yes")];

#[test]
fn where_no_hanger_fits_both_ways_are_offered_the_wider_first() {
    let none = "a hanger chosen by hand; no hanger fits 1 7/8 × 5 3/4 as found";
    let wider = "next wider Wide, seat 2 1/16, with shims 3/16";
    let narrower = "next narrower Narrow, seat 1 13/16, planing 1/16";
    let cases = [
        (
            WIDE,
            NARROW,
            format!("{none}: {wider}, or {narrower}; choose one"),
        ),
        (
            &[("seat", "2 1/16")],
            NARROW,
            format!("{none}: {narrower}; choose one"),
        ),
        (
            WIDE,
            &[("seat", "1 11/16"), ("plane_ok", "yes")],
            format!("{none}: {wider}; choose one"),
        ),
    ];
    for (wide, narrow, want) in cases {
        let got = thick(&[], wide, narrow);
        assert_eq!(
            (missing(&got), hangers(&got)),
            (vec![(&want[..], "Joist hangers")], 0)
        );
        let field = "hanger";
        assert_eq!(
            got.missing[0].fill,
            Fill::Field {
                of: id("hang"),
                field
            }
        );
    }
    let got = thick(
        &[],
        &[("seat", "2 7/16"), ("shim_ok", "yes")],
        &[("seat", "1 13/16")],
    );
    let want = format!("{none}, nor with shims or planing; add one to the hardware table");
    assert_eq!(missing(&got), [(&want[..], "Joist hangers")]);
    assert_eq!(got.missing[0].fill, Fill::Thing(Kind::Hardware));
    // Asked for by seat and height instead: t to t + 1/8, six tenths of the depth.
    let full: Vec<_> = got
        .needs
        .iter()
        .filter(|need| need.slot.starts_with("hanger.full."))
        .collect();
    assert_eq!(full.len(), 1, "{:?}", got.needs);
    assert!(full[0].count > 0);
    assert!(
        full[0]
            .title
            .starts_with("joist hanger for full-size lumber, seat ")
    );
}

#[test]
fn a_chosen_hanger_is_shimmed_or_planed_to() {
    let got = thick(&[("hanger", "@Wide"), ("hanger_fit", "shim")], WIDE, NARROW);
    let slot = format!("hanger.{}", id("Wide"));
    assert_eq!(counts(&got), [(&slot[..], 9), ("shim.3/16", 9)]);
    let class = Class::Sundry {
        name: "hanger shim 3/16 in".to_owned(),
        unit: "each".to_owned(),
    };
    assert_eq!(need(&got, "shim.3/16").class, class);
    let got = thick(
        &[("hanger", "@Narrow"), ("hanger_fit", "plane")],
        WIDE,
        NARROW,
    );
    assert_eq!(hangers(&got), 9);
    let fact = &got.facts[0];
    assert_eq!(
        (fact.name, fact.number, &fact.value[..]),
        ("plane_64", 4, "1/16 in at 9 ends")
    );
    let got = thick(&[("hanger", "@Wide")], WIDE, NARROW);
    assert_eq!(
        missing(&got),
        [(
            "whether the joist is shimmed or planed for Wide",
            "Joist hangers"
        )]
    );
}

#[test]
fn a_chosen_hanger_beyond_what_its_sheet_allows_is_a_stop() {
    let wide_no: Fields = &[("seat", "2 1/16"), ("shim_ok", "no")];
    let too_wide: Fields = &[("seat", "2 7/16"), ("shim_ok", "yes")];
    let narrow_no: Fields = &[("seat", "1 13/16")];
    let too_narrow: Fields = &[("seat", "1 11/16"), ("plane_ok", "yes")];
    let cases = [
        (
            wide_no,
            NARROW,
            "@Wide",
            "shim",
            "its sheet isn’t recorded to allow shims",
        ),
        (
            too_wide,
            NARROW,
            "@Wide",
            "shim",
            "the shim would be 9/16 in, over 1/2",
        ),
        (
            WIDE,
            NARROW,
            "@Narrow",
            "shim",
            "its seat is no wider than the joist",
        ),
        (
            WIDE,
            narrow_no,
            "@Narrow",
            "plane",
            "its sheet isn’t recorded to allow planing",
        ),
        (
            WIDE,
            too_narrow,
            "@Narrow",
            "plane",
            "3/16 in would come off the joist, over 1/8",
        ),
        (
            WIDE,
            NARROW,
            "@Wide",
            "plane",
            "its seat is no narrower than the joist",
        ),
        (WIDE, NARROW, "@Wide", "as_is", "its seat is 2 1/16 in"),
    ];
    for (wide, narrow, hanger, fit, why) in cases {
        let got = thick(&[("hanger", hanger), ("hanger_fit", fit)], wide, narrow);
        let want = format!(
            "{} can’t take a joist of 1 7/8 × 5 3/4: {why}. Choose another hanger.",
            &hanger[1..]
        );
        assert_eq!(texts(&got), [(Verdict::Stop, &want[..])]);
        assert_eq!(got.needs, []);
    }
}

#[test]
fn a_thicker_joist_of_the_run_gets_its_own_hanger() {
    let own: Fields = &[
        ("of", "@kitchen"),
        ("what", "thickness"),
        ("number", "3"),
        ("raw", "1 15/16"),
    ];
    let wide: Entry = (
        "hardware",
        "H2",
        &[
            ("type", "hanger"),
            ("seat", "2"),
            ("height_from", "5"),
            ("height_to", "5"),
            ("carrying_fastener", "hanger nail 1 1/2"),
            ("carrying_count", "10"),
            ("carried_count", "0"),
        ],
    );
    let others = [HANGER, wide, ("reading", "own", own)];
    let got = takeoff(&hung(&[], &[kitchen()], &others), "hang");
    let (first, second) = (
        format!("hanger.{}", id("H1")),
        format!("hanger.{}", id("H2")),
    );
    assert_eq!(
        counts(&got),
        [
            (&first[..], 8),
            (&second[..], 1),
            ("fastener.hanger nail 1 1/2", 8 * 14 + 10),
        ]
    );
}
