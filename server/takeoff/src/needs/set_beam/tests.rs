//! Beams worked out by hand.

use super::super::testing::{
    Entry, counts, cuts, id, inches, job, missing, need, reversed, takeoff,
};
use super::super::{Class, FastenerClass, Fill, Takeoff, Verdict};
use crate::record::Job;

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("nail_builtup_lines", "10d box"),
        ("nail_builtup_ends", "10d box"),
    ],
);
const CLEAR: &[(&str, &str)] = &[
    ("of", "@beam"),
    ("what", "clear_between_posts"),
    ("raw", "139 3/4"),
];
const FIRST: Entry<'static> = ("reading", "r1", CLEAR);
const AGAIN: Entry<'static> = ("reading", "r2", CLEAR);
const POST_1: Entry<'static> = (
    "set_post",
    "Post 1",
    &[("under", "@beam"), ("nominal", "4x6")],
);
const POST_2: Entry<'static> = (
    "set_post",
    "Post 2",
    &[("under", "@beam"), ("nominal", "4x6")],
);

/// A beam of three 2×10, with these fields beside.
fn beam(fields: &[(&str, &str)], others: &[Entry]) -> Job {
    let mut all = vec![("nominal", "2x10"), ("plies", "3")];
    all.retain(|(name, _)| fields.iter().all(|(other, _)| other != name));
    all.extend_from_slice(fields);
    let mut entries = others.to_vec();
    entries.push(("set_beam", "beam", &all));
    job(&entries)
}

fn fact(takeoff: &Takeoff, name: &str) -> i64 {
    let fact = takeoff.facts.iter().find(|fact| fact.name == name);
    fact.unwrap_or_else(|| panic!("no {name}")).number
}

fn verdicts(takeoff: &Takeoff) -> Vec<Verdict> {
    takeoff
        .findings
        .iter()
        .map(|finding| finding.verdict)
        .collect()
}

#[test]
fn three_plies_between_two_posts_are_cut_to_bear_on_both() {
    let job = beam(&[("set", "flush")], &[JOB, FIRST, AGAIN, POST_1, POST_2]);
    let got = takeoff(&job, "beam");
    // 139 3/4 + 3 1/2 + 3 1/2
    assert_eq!(cuts(&got), [("ply", 3, "146 3/4".to_owned())]);
    // 18 a joint: 2 × (up(146.75 ÷ 24) − 1 = 6) + 2 × 3; two joints
    assert_eq!(counts(&got), [("nail", 36)]);
    assert_eq!(
        need(&got, "nail").class,
        Class::Fastener(FastenerClass::new("10d box", ""))
    );
    assert_eq!(
        need(&got, "nail").sums.last().unwrap().note,
        "18 per ply joint × 2"
    );
    let ply = need(&got, "ply");
    assert_eq!(
        (ply.mark, ply.crown_up, ply.in_waste),
        (Some("BM"), true, false)
    );
    assert_eq!(
        (ply.held.as_ref(), &ply.readings[..]),
        (None, &[id("r2")][..])
    );
    let values: Vec<&str> = ply.sums.iter().map(|sum| &sum.value[..]).collect();
    assert_eq!(values[..3], ["139 3/4 in", "3 1/2 in", "3 1/2 in"]);
    // half of 4 1/2, and 1/8
    assert_eq!(fact(&got, "cut_back_64"), inches("2 3/8").as_64ths());
    // 1.5 × 9.25 × 146.75 ÷ 1728 × 29.2 = 34.4 lb a ply
    assert_eq!((fact(&got, "weight_lb"), fact(&got, "people")), (35, 1));
    assert_eq!((&missing(&got)[..], &got.findings[..]), (&[][..], &[][..]));
    assert_eq!(got, takeoff(&reversed(&job), "beam"));
}

#[test]
fn a_beam_raised_whole_weighs_all_its_plies() {
    let all = [JOB, FIRST, POST_1, POST_2];
    let got = takeoff(
        &beam(&[("raised_whole", "yes"), ("set", "below")], &all),
        "beam",
    );
    // 4.5 × 9.25 × 146.75 ÷ 1728 × 29.2 = 103.2; up(104 ÷ 50)
    assert_eq!((fact(&got, "weight_lb"), fact(&got, "people")), (104, 3));
    assert!(got.facts.iter().all(|fact| fact.name != "cut_back_64"));
    assert_eq!(missing(&got), []);
    // one reading alone
    assert!(
        need(&got, "ply")
            .held
            .as_ref()
            .unwrap()
            .contains("read once")
    );
}

#[test]
fn a_solid_green_timber_has_no_nails_and_weighs_more() {
    let fields = [
        ("nominal", "6x10"),
        ("plies", "1"),
        ("set", "flush"),
        ("clearance", "1/4"),
        ("species", "Western Larch"),
        ("bearing_start", "5 1/2"),
        ("bearing_end", "3"),
    ];
    let got = takeoff(&beam(&fields, &[JOB, FIRST, AGAIN]), "beam");
    assert_eq!(cuts(&got), [("ply", 1, "148 1/4".to_owned())]);
    assert_eq!(counts(&got), []);
    // green 5 1/2 × 9 1/2: 5.5 × 9.5 × 148.25 ÷ 1728 × 36.7 × 1.2 = 197.4
    assert_eq!((fact(&got, "weight_lb"), fact(&got, "people")), (198, 4));
    assert_eq!(fact(&got, "cut_back_64"), inches("3").as_64ths());
    assert_eq!(missing(&got), []);
}

#[test]
fn different_nails_along_and_at_the_ends_are_two_needs() {
    let fields = [
        ("nail_lines", "20d common"),
        ("plies", "2"),
        ("set", "below"),
    ];
    let got = takeoff(&beam(&fields, &[JOB, FIRST, AGAIN, POST_1, POST_2]), "beam");
    // 2 × (up(146.75 ÷ 32) − 1 = 4); 2 × 3
    assert_eq!(counts(&got), [("nail.lines", 8), ("nail.ends", 6)]);
}

#[test]
fn what_is_not_recorded_is_asked_for_and_the_rest_counts() {
    let bare: Entry = ("job", "job", &[("nail_builtup_ends", "10d box")]);
    let got = takeoff(&beam(&[], &[bare]), "beam");
    let ply = "Beam ply, 2×10";
    let nails = "Nails between the plies";
    assert_eq!(
        missing(&got),
        [
            ("clear between the posts", ply),
            ("the bearing at its start, or the post under it", ply),
            ("the bearing at its end, or the post under it", ply),
            ("the species of new lumber", ply),
            ("nail for plies of a built-up beam, along it", nails),
            (
                "whether the beam is flush with the joists or below them",
                "Cut-back of the joists"
            ),
        ]
    );
    assert!(matches!(got.missing[0].fill, Fill::Reading(_)));
    assert_eq!(counts(&got), [("nail.ends", 12)]);
}

#[test]
fn the_bearing_at_each_end_is_that_of_the_post_there() {
    let post = |word, place, nominal| -> (&str, [(&str, &str); 3]) {
        (
            word,
            [("under", "@beam"), ("place", place), ("nominal", nominal)],
        )
    };
    let wide = post("Post 1", "160", "6x6");
    let slim = post("Post 2", "12", "4x4");
    let middle = post("Post 3", "80", "8x8");
    let entry = |post: &'static str, fields| ("set_post", post, fields);
    let posts = [
        entry(wide.0, &wide.1[..]),
        entry(slim.0, &slim.1[..]),
        entry(middle.0, &middle.1[..]),
    ];
    let bearings = |others: &[Entry], fields: &[(&str, &str)]| {
        let got = takeoff(&beam(fields, others), "beam");
        let ply = got.needs.iter().find(|need| need.slot == "ply");
        let sums = ply.map_or(&[][..], |need| &need.sums);
        let found: Vec<String> = sums
            .iter()
            .skip(1)
            .take(2)
            .map(|s| s.value.clone())
            .collect();
        (
            found,
            got.missing
                .iter()
                .filter(|m| m.text.contains("bearing"))
                .count(),
        )
    };
    let all = [JOB, FIRST, AGAIN, posts[0], posts[1], posts[2]];
    let both = vec!["3 1/2 in".to_owned(), "5 1/2 in".to_owned()];
    assert_eq!(bearings(&all, &[]), (both, 0));
    // one post, at the far end: the start is asked for
    let one = [JOB, FIRST, AGAIN, posts[0]];
    let known = vec!["4 in".to_owned(), "5 1/2 in".to_owned()];
    let fields = [("from", "12"), ("bearing_start", "4")];
    assert_eq!(bearings(&one, &fields), (known, 0));
    assert_eq!(bearings(&one, &[("from", "12")]), (vec![], 1));
    // nobody can tell at which end it stands
    assert_eq!(bearings(&one, &[]), (vec![], 2));
    // unlike posts without a place
    let loose: Entry = (
        "set_post",
        "Post 4",
        &[("under", "@beam"), ("nominal", "6x6")],
    );
    assert_eq!(bearings(&[JOB, FIRST, POST_1, loose], &[]), (vec![], 2));
}

/// Fields of the engineer's section, and what is found.
type Case<'a> = (&'a [(&'a str, &'a str)], &'a [Verdict]);

#[test]
fn less_than_the_engineer_says_is_a_stop_and_more_is_said() {
    use Verdict::{Look, Said, Stop};
    let cases: &[Case] = &[
        (
            &[
                ("eng_thickness", "1 1/2"),
                ("eng_depth", "9 1/4"),
                ("eng_plies", "3"),
            ],
            &[],
        ),
        (&[("eng_thickness", "1 3/4")], &[Stop]),
        (&[("eng_depth", "11 1/4")], &[Stop]),
        (&[("eng_plies", "4")], &[Stop]),
        (
            &[("eng_plies", "2"), ("eng_depth", "11 1/4")],
            &[Stop, Said],
        ),
        (&[("eng_depth", "7 1/4")], &[Said]),
        (&[("eng_grade", "No.2")], &[]),
        (&[("eng_grade", "No.1")], &[Stop]),
        (&[("eng_grade", "No.3")], &[Said]),
        (&[("eng_grade", "Construction")], &[Look]),
        (&[("eng_grade", "Stud"), ("grade", "No.3")], &[]),
        (&[("eng_grade", "2400f"), ("grade", "2400f")], &[]),
        (&[("eng_species", "Hem-Fir")], &[]),
        (&[("eng_species", "Spruce-Pine-Fir")], &[Stop]),
        (
            &[
                ("eng_species", "Southern Pine"),
                ("eng_word", "Hem-Fir will do, Oct 3"),
            ],
            &[Said],
        ),
    ];
    for (fields, want) in cases {
        let got = takeoff(&beam(fields, &[JOB, FIRST, AGAIN, POST_1, POST_2]), "beam");
        let mut verdicts = verdicts(&got);
        verdicts.sort_by(|a, b| b.cmp(a));
        assert_eq!(&verdicts[..], *want, "{fields:?}: {:?}", got.findings);
    }
}
