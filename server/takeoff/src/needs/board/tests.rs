//! What a carpenter expects of a boarded ceiling or wall, counted by hand.

use super::super::testing::{
    Entry, counts, cuts, id, inches, job, missing, need, reversed, takeoff,
};
use super::super::{Class, FastenerClass, Takeoff, Verdict};
use crate::record::Job;

type Fields<'a> = &'a [(&'a str, &'a str)];

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("longest_stick", "16'"),
        ("board_screw", "screw 1 1/4 in"),
    ],
);
const YARD: Entry<'static> = ("supplier", "yard", &[]);
const PANEL: Entry<'static> = (
    "price",
    "panel",
    &[
        ("supplier", "@yard"),
        ("section", "panel"),
        ("panel", "gypsum board"),
        ("thickness", "1/2"),
        ("along", "96"),
        ("across", "48"),
    ],
);
const WALL: Entry<'static> = ("wall", "wall", &[]);
const RUN: Entry<'static> = (
    "run",
    "joists",
    &[
        ("piece", "ceiling_joist"),
        ("spacing", "24"),
        ("count", "8"),
        ("measured_to", "centre"),
    ],
);
const CEILING: Fields = &[
    ("surface", "ceiling"),
    ("across", "120"),
    ("along", "96"),
    ("panel", "@panel"),
];

fn board(fields: Fields, others: &[Entry]) -> Job {
    let mut all = vec![JOB, YARD, PANEL, WALL, RUN];
    all.push(("board", "board", fields));
    all.extend_from_slice(others);
    job(&all)
}

fn of(job: &Job) -> Takeoff {
    let got = takeoff(job, "board");
    assert_eq!(got, takeoff(&reversed(job), "board"));
    got
}

fn ceiling(more: Fields, others: &[Entry]) -> Takeoff {
    of(&board(&[CEILING, more].concat(), others))
}

fn pieces(takeoff: &Takeoff) -> Vec<(i64, String, String)> {
    let panels = takeoff.needs.iter().filter_map(|need| {
        let (along, across) = (need.cut?, need.across?);
        Some((need.count, along.to_string(), across.to_string()))
    });
    panels.collect()
}

fn piece(count: i64, along: &str, across: &str) -> (i64, String, String) {
    (count, along.to_owned(), across.to_owned())
}

fn old(raw: &str) -> [(&str, &str); 3] {
    [("of", "@board"), ("what", "old_thickness"), ("raw", raw)]
}

#[test]
fn a_gypsum_ceiling_is_screwed_at_12_on_every_support_and_taped_all_round() {
    let got = ceiling(&[("tape", "yes")], &[]);
    let want = [
        piece(1, "96", "48"),
        piece(1, "80", "48"),
        piece(1, "40", "48"),
        piece(1, "24", "48"),
    ];
    assert_eq!(pieces(&got), want);
    // supports crossed: 96: 7, 80: 6; from 80 to 120: 80, 96, 112, 120; from 96 to 120: 96, 112, 120
    // screws 20 × (up(48 ÷ 12) + 1); tape 120 + 2 × 48 + 2 × (120 + 96) = 648 in; 80 sq ft
    assert_eq!(
        counts(&got),
        [("screw", 100), ("tape", 54), ("compound", 80)]
    );
    assert_eq!(missing(&got), []);
    let screw = FastenerClass::new("screw 1 1/4 in", "");
    assert_eq!(need(&got, "screw").class, Class::Fastener(screw));
    let verdicts: Vec<_> = got.findings.iter().map(|finding| finding.verdict).collect();
    assert_eq!(verdicts, [Verdict::Said]);
    assert!(
        got.findings[0]
            .text
            .starts_with("The old board’s thickness isn’t read")
    );
    assert_eq!(counts(&ceiling(&[], &[])), [("screw", 100)]);
}

#[test]
fn edges_that_meet_new_work_are_taped_with_that_work() {
    let more = [
        ("tape", "yes"),
        ("new_edges", "start"),
        ("new_edges", "far"),
    ];
    // 648 − 96 − 120 = 432 in
    assert_eq!(need(&ceiling(&more, &[]), "tape").count, 36);
    // a 64th over a foot is another foot
    let fields = [("tape", "yes"), ("surface", "ceiling"), ("panel", "@panel")];
    let more = [
        ("across", "48 1/64"),
        ("along", "48"),
        ("new_edges", "start"),
        ("new_edges", "end"),
    ];
    let got = of(&board(&[&fields[..], &more].concat(), &[]));
    assert_eq!(need(&got, "tape").count, 9);
    assert_eq!(need(&got, "compound").count, 17);
}

#[test]
fn joists_that_were_measured_are_the_supports() {
    let place: Fields = &[("of", "@joists"), ("what", "place"), ("raw", "10")];
    let thick: Fields = &[("of", "@joists"), ("what", "thickness"), ("raw", "1 1/2")];
    let others = [
        ("reading", "p1", place),
        ("reading", "p2", place),
        ("reading", "t1", thick),
        ("reading", "t2", thick),
    ];
    let more = [("run", "@joists"), ("starts_at", "0")];
    // joists at 10, 34, 58, 82, 106: a panel of 96 ends at 82, a joist sooner at 58
    let got = ceiling(&more, &others);
    let want = [
        piece(1, "82", "48"),
        piece(1, "62", "48"),
        piece(1, "58", "48"),
        piece(1, "38", "48"),
    ];
    assert_eq!(pieces(&got), want);
    // crossed: 10, 34, 58, 82; 58, 82, 106; 10, 34, 58; 82, 106; no joist at 0 nor at 120
    assert_eq!(counts(&got), [("screw", (4 + 3 + 3 + 2) * 5)]);
    assert_eq!(need(&got, "screw").readings.len(), 2);
    let want = [
        "No support is recorded at the start (0 in): the board’s edge there needs one. Frame one in, or record it.",
        "No support is recorded at the far end (120 in): the board’s edge there needs one. Frame one in, or record it.",
    ];
    assert_eq!(bare_ends(&got), want);

    let got = ceiling(&[("run", "@joists")], &others);
    let text = "where its edge is, in the measure of what is under it";
    assert_eq!(missing(&got), [(text, "Joints and screws of the board")]);
    assert_eq!(got.needs, []);
}

/// What is said of ends without a support.
fn bare_ends(takeoff: &Takeoff) -> Vec<&str> {
    let texts = takeoff.findings.iter().map(|finding| &finding.text[..]);
    texts
        .filter(|text| text.starts_with("No support"))
        .collect()
}

#[test]
fn a_joist_at_an_end_of_the_board_is_crossed_there_and_furred() {
    let thick: Fields = &[("of", "@joists"), ("what", "thickness"), ("raw", "1 1/2")];
    let place: Fields = &[("of", "@joists"), ("what", "place"), ("raw", "10")];
    let reading = old("1 1/4");
    let others = [
        ("reading", "p1", place),
        ("reading", "p2", place),
        ("reading", "t1", thick),
        ("reading", "t2", thick),
        ("reading", "o1", &reading[..]),
        ("reading", "o2", &reading[..]),
    ];
    let at = |starts_at| {
        let fields = [
            ("surface", "ceiling"),
            ("across", "72"),
            ("along", "48"),
            ("panel", "@panel"),
            ("run", "@joists"),
            ("starts_at", starts_at),
            ("strip", "1x3"),
        ];
        let got = of(&board(&fields, &others));
        let bare: Vec<String> = bare_ends(&got).into_iter().map(str::to_owned).collect();
        (need(&got, "screw").count, need(&got, "strip").count, bare)
    };
    // one piece of 72 × 48, 5 screws a line; joists of 1 1/2 at 10, 34, 58, 82 …: from centre to centre 4 of them
    assert_eq!(at("10"), (20, 4, vec![]));
    // 9 1/4 to 81 1/4: the face of the one at 10 is flush with the start and all of it under the board; the one at 82
    // begins at the end (81 1/4) and has nothing under it
    let (screws, strips, bare) = at("9 1/4");
    assert_eq!((screws, strips), (15, 3));
    assert_eq!(bare.len(), 1);
    assert!(bare[0].starts_with("No support is recorded at the far end (72 in)"));
    // 9 17/64 to 81 17/64: 1/64 of it is under the board
    assert_eq!(at("9 17/64"), (20, 4, vec![]));
    // 10 3/4 to 82 3/4: the one at 10 ends where the board starts, the one at 82 is flush with its end
    let (screws, strips, bare) = at("10 3/4");
    assert_eq!((screws, strips), (15, 3));
    assert!(bare.len() == 1 && bare[0].starts_with("No support is recorded at the start (0 in)"));
}

#[test]
fn a_piece_wholly_in_an_opening_falls_out_and_one_that_is_cut_stays() {
    let fields = [
        ("surface", "wall"),
        ("wall", "@wall"),
        ("across", "192"),
        ("along", "96"),
        ("panel", "@panel"),
        ("starts_at", "10"),
        ("screw_spacing", "16"),
        ("tape", "yes"),
    ];
    // the lower course: 0 to 96, 96 to 192; the upper: 0 to 80, 80 to 176, 176 to 192
    let opening = |from, width, sill: Option<&'static str>| {
        let mut all = vec![
            ("wall", "@wall"),
            ("from", from),
            ("width", width),
            ("height", "49"),
        ];
        all.extend(sill.map(|sill| ("sill", sill)));
        all
    };
    let hole = opening("186", "20", Some("47"));
    let got = of(&board(&fields, &[("opening", "window", &hole)]));
    let want = [piece(3, "96", "48"), piece(1, "80", "48")];
    assert_eq!(pieces(&got), want);
    // 7 + 7, 6 + 7 supports × (up(48 ÷ 16) + 1)
    assert_eq!(need(&got, "screw").count, 27 * 4);
    // between courses 80 + 16 + 80, pieces 48 + 48, edges 96 + 48, 192 + 176: 784 in
    assert_eq!(need(&got, "tape").count, 66);
    // 192 × 96 − 16 × 49 = 17,648 sq in: 122.6
    assert_eq!(need(&got, "compound").count, 123);

    let hole = opening("187", "20", Some("47"));
    let got = of(&board(&fields, &[("opening", "window", &hole)]));
    assert!(pieces(&got).contains(&piece(1, "16", "48")));

    let hole = opening("186", "20", None);
    let got = of(&board(&fields, &[("opening", "window", &hole)]));
    let text = "the sill above the floor (0 for a door) of Opening";
    assert_eq!(missing(&got)[0].1, "Board pieces");
    assert!(missing(&got)[0].0.starts_with(&text[..20]));
    assert!(pieces(&got).contains(&piece(1, "16", "48")));
}

#[test]
fn board_thinner_than_the_old_is_furred_at_every_support() {
    let reading = old("1 1/4");
    let others = [
        ("reading", "o1", &reading[..]),
        ("reading", "o2", &reading[..]),
    ];
    let got = ceiling(&[("strip", "1x3")], &others);
    // supports at 0, 16 … 112 and 120: 9 strips along them; 1×3 is 3/4 thick as sold
    assert_eq!(cuts(&got).last().unwrap(), &("strip", 9, "96".to_owned()));
    assert_eq!(got.findings, []);
    assert_eq!(need(&got, "strip").readings, [id("o2")]);
    assert_eq!(need(&got, "strip").cut, Some(inches("96")));

    let got = ceiling(&[], &others);
    assert_eq!(
        missing(&got),
        [("the size of the furring strips", "Furring strips")]
    );
    let reading = old("1");
    let others = [("reading", "o1", &reading[..])];
    let got = ceiling(&[("strip", "1x3")], &others);
    assert_eq!(got.findings[0].verdict, Verdict::Look);
    let reading = old("1/2");
    let others = [("reading", "o1", &reading[..])];
    assert_eq!(ceiling(&[], &others).findings, []);
}

#[test]
fn without_a_spacing_in_the_schedule_or_a_screw_the_rest_counts() {
    let fields = [
        &[("surface", "wall"), ("wall", "@wall"), ("tape", "yes")],
        &CEILING[1..],
    ]
    .concat();
    let got = of(&board(&fields, &[]));
    let text =
        "how far apart the screws are; the schedule has gypsum ceilings of 1/2 and 5/8 alone";
    assert_eq!(missing(&got), [(text, "Screws, board")]);
    assert_eq!(counts(&got), [("tape", 54), ("compound", 80)]);
}
