//! What a carpenter expects of a patch, drawn and counted by hand.

use super::super::testing::{
    Entry, counts, cuts, id, inches, job, missing, need, reversed, takeoff,
};
use super::super::{Class, FastenerClass, PanelClass, Serves, Takeoff, Verdict};
use super::fasten::Fixed;
use crate::buy::{Item, buy_list};
use crate::record::Job;

type Fields<'a> = &'a [(&'a str, &'a str)];

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("longest_stick", "16'"),
        ("floor_screw", "screw 2 1/2 in"),
        ("nail_blocking", "8d common"),
    ],
);
const YARD: Entry<'static> = ("supplier", "yard", &[]);
const SQUARE: Fields = &[("edge", "square")];
const GROOVED: Fields = &[("edge", "tongue_and_groove"), ("cover", "47 1/2")];
const RUN: Entry<'static> = (
    "run",
    "joists",
    &[
        ("piece", "joist"),
        ("spacing", "16"),
        ("count", "9"),
        ("measured_to", "centre"),
    ],
);
const PLACE: Fields = &[("of", "@joists"), ("what", "place"), ("raw", "20")];
const THICK: Fields = &[("of", "@joists"), ("what", "thickness"), ("raw", "1 1/2")];
const FLOOR: Fields = &[
    ("of", "@patch"),
    ("what", "floor_thickness"),
    ("raw", "23/32"),
];
/// From joist 1 to joist 8, 112 across.
const PATCH: Fields = &[
    ("across", "112"),
    ("along", "96"),
    ("starts_at", "20"),
    ("panel", "@panel"),
    ("run", "@joists"),
];

fn patch(edge: Fields, fields: Fields, places: &[&'static str], floor: &str) -> Job {
    let panel = [
        &[
            ("supplier", "@yard"),
            ("section", "panel"),
            ("panel", "plywood subfloor"),
            ("thickness", "23/32"),
            ("along", "96"),
            ("across", "48"),
        ],
        edge,
    ]
    .concat();
    let floor = [&FLOOR[..2], &[("raw", floor)]].concat();
    let mut all: Vec<Entry> = vec![JOB, YARD, RUN, ("price", "panel", &panel)];
    all.extend([("reading", "t1", THICK), ("reading", "t2", THICK)]);
    all.extend(places.iter().map(|word| ("reading", *word, PLACE)));
    all.extend([("reading", "f1", &floor[..]), ("reading", "f2", &floor)]);
    all.push(("patch_floor", "patch", fields));
    job(&all)
}

fn of(job: &Job) -> Takeoff {
    let got = takeoff(job, "patch");
    assert_eq!(got, takeoff(&reversed(job), "patch"));
    got
}

/// PATCH with other fields in place of its own of that name.
fn with(fields: Fields<'_>) -> Vec<(&str, &str)> {
    let own = PATCH
        .iter()
        .filter(|(name, _)| !fields.iter().any(|(f, _)| f == name));
    own.chain(fields).copied().collect()
}

fn square(fields: Fields) -> Takeoff {
    of(&patch(SQUARE, &with(fields), &["p1", "p2"], "23/32"))
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

#[test]
fn a_patch_of_two_courses_is_cut_screwed_and_blocked() {
    let got = square(&[]);
    let want = [
        piece(1, "95 13/16", "48"),
        piece(1, "79 13/16", "47 5/8"),
        piece(1, "31 13/16", "47 5/8"),
        piece(1, "15 13/16", "48"),
    ];
    assert_eq!(pieces(&got), want);
    // 95 13/16 × 48, 5 inside: 18 + 30 + 15 = 63; 79 13/16, 4 inside: 18 + 26 + 12 = 56;
    // 31 13/16, 1 inside: 18 + 10 + 3 = 31; 15 13/16, none inside: 18 + 4 = 22
    // 3 rows of 7 blocks, 2 nails an end
    assert_eq!(
        counts(&got),
        [("screw", 63 + 56 + 31 + 22), ("nail.block", 84)]
    );
    let block = need(&got, "block.928");
    assert_eq!((block.count, block.cut), (21, Some(inches("14 1/2"))));
    assert_eq!(
        (block.mark, block.serves),
        (Some("BK"), Serves::NotThinnerNorNarrower)
    );
    assert_eq!(missing(&got), []);
    assert_eq!(got.findings, []);

    let first = &got.needs[0];
    let class = PanelClass {
        panel: "plywood subfloor".to_owned(),
        thickness: inches("23/32"),
        along: inches("96"),
        across: inches("48"),
    };
    assert_eq!(first.class, Class::Panel(class));
    assert_eq!((first.mark, first.turn), (Some("SF"), false));
    assert_eq!(
        (first.held.clone(), &first.readings),
        (None, &sorted(&["p2", "t2"]))
    );
    let screw = FastenerClass::new("screw 2 1/2 in", "");
    assert_eq!(need(&got, "screw").class, Class::Fastener(screw));
    let sums: Vec<_> = first
        .sums
        .iter()
        .map(|s| (&s.value[..], &s.note[..]))
        .collect();
    let want = [
        ("2", "2 × 48 and 3 gaps of 1/8 cover 96"),
        (
            "1/8 to 95 15/16 in",
            "the gap of 1/8 at the edge, joist 7 at 96 − 1/16",
        ),
        ("1/8 to 48 1/8 in", "edge to next course"),
        ("95 13/16 × 48 in", "strength axis first"),
    ];
    assert_eq!(sums, want);
}

fn sorted(words: &[&str]) -> Vec<uuid::Uuid> {
    let mut all: Vec<_> = words.iter().map(|word| id(word)).collect();
    all.sort();
    all
}

#[test]
fn a_whole_panel_nailed_at_two_ends_and_in_the_field_takes_43_38_or_33_nails() {
    // worked example C: joists at 16, 19.2 and 24, nothing on the long edges between joists
    let nails = |inside| {
        let fixed = Fixed {
            across: inches("96"),
            along: inches("48"),
            inside,
            blocked: [false, false],
        };
        fixed.screws()
    };
    assert_eq!([nails(5), nails(4), nails(3)], [43, 38, 33]);
}

#[test]
fn a_tongue_and_groove_joint_has_no_blocks_and_a_screw_at_each_joist_instead() {
    let fields = with(&[("along", "95 3/8"), ("outer", "unblocked")]);
    let got = of(&patch(GROOVED, &fields, &["p1", "p2"], "23/32"));
    // 95 3/8 − 3 gaps is two courses of 47 1/2
    let want = [
        piece(1, "95 13/16", "47 1/2"),
        piece(1, "79 13/16", "47 1/2"),
        piece(1, "31 13/16", "47 1/2"),
        piece(1, "15 13/16", "47 1/2"),
    ];
    assert_eq!(pieces(&got), want);
    // 18 + 2 × 5 + 15, 18 + 2 × 4 + 12, 18 + 2 × 1 + 3, 18
    assert_eq!(counts(&got), [("screw", 43 + 38 + 23 + 18)]);

    let got = of(&patch(GROOVED, PATCH, &["p1", "p2"], "23/32"));
    // 96: three courses, the last 96 − 1/2 − 95 = 1/2; outer edges blocked: 2 rows of 7
    assert_eq!(need(&got, "block.928").count, 14);
    assert!(pieces(&got).contains(&piece(1, "95 13/16", "1/2")));
}

#[test]
fn joints_recorded_as_unblocked_are_like_tongue_and_groove() {
    let got = square(&[("joints", "unblocked")]);
    assert_eq!(need(&got, "block.928").count, 14);
    // an edge each: 15 less, 5 more; 13 and 4; 5 and 1; 2 and 0
    assert_eq!(need(&got, "screw").count, 172 - 10 - 9 - 4 - 2);
}

#[test]
fn joints_recorded_as_unblocked_do_not_wait_for_the_panels_edge() {
    let fields = with(&[("joints", "unblocked")]);
    let got = of(&patch(&[], &fields, &["p1", "p2"], "23/32"));
    assert_eq!(
        need(&got, "screw").count,
        need(&square(&[("joints", "unblocked")]), "screw").count
    );
    assert_eq!(missing(&got), []);
}

#[test]
fn an_edge_with_less_than_half_an_inch_of_wood_gets_a_cleat() {
    // the joist's far face is 1 1/2 ÷ 2 − 1/8 past the edge; less the gap: 1/2 exactly
    assert!(!slots(&square(&[("starts_at", "20 1/8")])).contains(&"cleat.6144"));
    let got = square(&[("starts_at", "20 9/64")]);
    let cleat = need(&got, "cleat.6144");
    assert_eq!((cleat.count, cleat.cut), (1, Some(inches("96"))));
    // 2 × up(96 ÷ 12)
    assert_eq!(need(&got, "screw.cleat").count, 16);
    assert_eq!(got.findings, []);
    // 4 in past the joist there is nothing to hold a cleat
    let got = square(&[("starts_at", "25")]);
    assert_eq!(got.findings[0].verdict, Verdict::Look);
    assert!(got.findings[0].text.contains("the edge at 0 in"));
}

fn slots(takeoff: &Takeoff) -> Vec<&str> {
    takeoff.needs.iter().map(|need| &need.slot[..]).collect()
}

#[test]
fn adhesive_follows_every_joist_and_the_edges() {
    // (6 inside + 2) × 96 + 2 × 112 = 992 in, 30 ft a tube
    assert_eq!(need(&square(&[("adhesive", "yes")]), "adhesive").count, 3);
}

#[test]
fn the_floor_as_found_is_filled_up_to_or_stops_the_panel() {
    let at = |floor| of(&patch(SQUARE, PATCH, &["p1", "p2"], floor));
    for level in ["21/32", "23/32", "25/32"] {
        let got = at(level);
        assert!(
            got.findings.is_empty() && !slots(&got).contains(&"filler"),
            "{level}"
        );
    }
    let got = at("51/64");
    // 8 joists × 96 in
    let filler = need(&got, "filler");
    assert_eq!(filler.count, 64);
    let class = Class::Sundry {
        name: "filler strip 5/64 in".to_owned(),
        unit: "foot".to_owned(),
    };
    assert_eq!(filler.class, class);
    let got = at("41/64");
    assert_eq!(got.findings[0].verdict, Verdict::Stop);
    assert_eq!(
        got.findings[0].text,
        "A panel of 23/32 stands 5/64 in proud of the floor as found, 41/64 in. Choose a thinner one."
    );
    assert_eq!(
        (got.facts[0].name, got.facts[0].number),
        ("floor_over_panel", -5)
    );
}

#[test]
fn a_stepped_patch_is_cut_at_the_step_and_blocked_along_it() {
    let got = square(&[
        ("across", "96"),
        ("along", "60"),
        ("corners", "0,0; 96,0; 96,30; 40,30; 40,60; 0,60"),
        ("adhesive", "yes"),
    ]);
    let want = [
        piece(1, "95 3/4", "29 3/4"),
        piece(1, "39 3/4", "18 1/8"),
        piece(1, "39 3/4", "11 5/8"),
    ];
    assert_eq!(pieces(&got), want);
    // 12 + 30 + 10, 10 + 12 + 2, 6 + 12 + 0
    assert_eq!(need(&got, "screw").count, 52 + 24 + 18);
    // rows: 6 at 0, 6 at the step, 3 at the joint, 3 at 60
    assert_eq!(need(&got, "block.928").count, 18);
    // the step’s own edge, 30 long
    assert_eq!(need(&got, "cleat.1920").count, 1);
    // 5 × 30 + 2 × 30 inside, 120 along, 192 across: 522 in
    assert_eq!(need(&got, "adhesive").count, 2);
}

/// A patch of 96 × 60 with a step, 40 wide on one side of it: blocks, and what is said.
fn stepped(panel: Fields, corners: &str, outer: &str) -> (i64, Takeoff) {
    let own = [
        ("across", "96"),
        ("along", "60"),
        ("corners", corners),
        ("outer", outer),
    ];
    let fields = with(&own);
    let got = of(&patch(panel, &fields, &["p1", "p2"], "23/32"));
    (need(&got, "block.928").count, got)
}

#[test]
fn a_step_in_the_gap_of_two_courses_is_blocked_as_joint_and_as_edge_each_in_its_part() {
    // joists at 0, 16 … 96; the courses’ gap: 48 1/8 to 48 1/4. Rows on the wide side 6 bays, on the narrow one 3; at the
    // step the joint has 3 (to 40), the outline 4 (from 40, the bay that 40 is in again): one row of 6
    for step in ["48 1/8", "48 3/16", "48 1/4"] {
        let wide_first = format!("0,0; 96,0; 96,{step}; 40,{step}; 40,60; 0,60");
        let narrow_first = format!("0,0; 40,0; 40,{step}; 96,{step}; 96,60; 0,60");
        for corners in [wide_first, narrow_first] {
            assert_eq!(
                stepped(SQUARE, &corners, "blocked").0,
                6 + 6 + 3,
                "{corners}"
            );
            // the joint alone
            assert_eq!(stepped(SQUARE, &corners, "unblocked").0, 3, "{corners}");
        }
    }
    // tongue and groove of 47 1/2: the gap is 47 5/8 to 47 3/4, the joint has no blocks
    for step in ["47 5/8", "47 11/16", "47 3/4"] {
        let wide_first = format!("0,0; 96,0; 96,{step}; 40,{step}; 40,60; 0,60");
        let narrow_first = format!("0,0; 40,0; 40,{step}; 96,{step}; 96,60; 0,60");
        for corners in [wide_first, narrow_first] {
            assert_eq!(
                stepped(GROOVED, &corners, "blocked").0,
                6 + 4 + 3,
                "{corners}"
            );
        }
    }
}

#[test]
fn a_step_in_the_gap_of_two_courses_is_screwed_as_a_joint() {
    let corners = "0,0; 96,0; 96,48 3/16; 40,48 3/16; 40,60; 0,60";
    let (_, got) = stepped(SQUARE, corners, "blocked");
    // to 48 3/16 − 1/8 = 48 1/16; from 48 1/4
    assert_eq!(
        pieces(&got),
        [piece(1, "95 3/4", "47 15/16"), piece(1, "39 3/4", "11 5/8")]
    );
    // 2 × (8 + 1) + 2 × (16 − 1) + 5 × (4 − 1); 2 × (2 + 1) + 2 × (7 − 1) + 2 × (1 − 1)
    assert_eq!(need(&got, "screw").count, 63 + 18);
    assert_eq!(left_out(&got), Vec::<&str>::new());
    let corners = "0,0; 96,0; 96,47 11/16; 40,47 11/16; 40,60; 0,60";
    let (_, got) = stepped(GROOVED, corners, "blocked");
    // 47 7/16 and 12 1/8 wide: 18 + 15 + 5 + 5 × 3; 2 × (3 + 1) + 2 + 6 + 2 × (2 − 1)
    assert_eq!(need(&got, "screw").count, 53 + 18);
}

#[test]
fn a_step_beside_the_gap_of_two_courses_makes_no_strip_and_keeps_its_blocks() {
    // the first course reaches to 48 1/8
    for (corners, said) in [
        ("0,0; 96,0; 96,48; 40,48; 40,60; 0,60", 1),
        ("0,0; 40,0; 40,48; 96,48; 96,60; 0,60", 0),
        // in the second course, which starts at 48 1/4
        ("0,0; 96,0; 96,48 3/8; 40,48 3/8; 40,60; 0,60", 0),
        ("0,0; 40,0; 40,48 3/8; 96,48 3/8; 96,60; 0,60", 1),
    ] {
        let (blocks, got) = stepped(SQUARE, corners, "blocked");
        assert_eq!(blocks, 6 + 6 + 3, "{corners}");
        let panels: i64 = pieces(&got).iter().map(|piece| piece.0).sum();
        assert_eq!(panels, 2, "{corners}");
        assert_eq!(left_out(&got).len(), said, "{corners}");
    }
    let (_, got) = stepped(SQUARE, "0,0; 96,0; 96,48; 40,48; 40,60; 0,60", "blocked");
    let text = "A strip from 1/8 to 39 7/8 in across and 48 to 48 1/8 in along is left out: it is no wider than the gap of 1/8. The joint there stands that much wider; move the edge if it is to close.";
    assert_eq!(left_out(&got), [text]);
}

/// What is said of strips left out.
fn left_out(takeoff: &Takeoff) -> Vec<&str> {
    let said = takeoff.findings.iter();
    said.filter(|finding| finding.verdict == Verdict::Said)
        .map(|finding| &finding.text[..])
        .collect()
}

#[test]
fn a_piece_past_a_step_has_its_own_outer_edge() {
    // 112 wide to 30, then 40 wide; the first course’s joint at 96: the second piece’s far edge is outline alone
    let got = square(&[
        ("along", "60"),
        ("corners", "0,0; 112,0; 112,30; 40,30; 40,60; 0,60"),
        ("joints", "unblocked"),
    ]);
    // 95 13/16 × 29 3/4, 5 inside: 2 × 6 + 15 + 5 + 5 × 2; 15 13/16 × 29 3/4, none inside: 2 × 6 + 2 × 2;
    // 39 3/4 × 18 1/8, 2 inside: 2 × 5 + 2 × 2 + 2 × 1; 39 3/4 × 11 5/8, 2 inside: 2 × 3 + 2 + 6 + 0
    assert_eq!(need(&got, "screw").count, 42 + 16 + 16 + 14);
    // 7 at 0, the step’s outer part from 40: bays at 32, 48 … 96: 5; 3 at 60
    assert_eq!(need(&got, "block.928").count, 15);
}

#[test]
fn the_gap_and_the_tube_of_a_patch_win_over_the_jobs() {
    let got = square(&[("across", "96"), ("panel_gap", "0"), ("adhesive", "yes")]);
    assert_eq!(pieces(&got), [piece(2, "96", "48")]);
    // 5 × 96 inside, 2 × 96 along, 2 × 96 across: 864 in; 30 ft a tube, then 20
    assert_eq!(need(&got, "adhesive").count, 3);
    let got = square(&[
        ("across", "96"),
        ("adhesive", "yes"),
        ("adhesive_tube", "20'"),
    ]);
    assert_eq!(need(&got, "adhesive").count, 4);
}

#[test]
fn a_joint_on_a_joist_whose_place_was_read_once_is_bought_by_but_not_cut_by() {
    let got = of(&patch(SQUARE, PATCH, &["p1"], "23/32"));
    assert!(got.needs[0].held.as_ref().unwrap().contains("read once"));
    assert_eq!(got.needs[0].sums.last().unwrap().label, "To buy by");
    let small = with(&[("across", "96")]);
    let got = of(&patch(SQUARE, &small, &["p1"], "23/32"));
    // a piece from edge to edge rests on no joist's place
    assert_eq!(pieces(&got)[0], piece(1, "95 3/4", "48"));
    assert_eq!(got.needs[0].held, None);
}

#[test]
fn a_course_without_a_joist_to_end_on_stops() {
    // a patch that starts past the last joist
    let got = square(&[("starts_at", "160")]);
    assert_eq!(cuts(&got), []);
    assert_eq!(got.findings[0].verdict, Verdict::Stop);
    assert!(
        got.findings[0]
            .text
            .starts_with("Course 1 has nothing within")
    );
}

#[test]
fn a_row_that_is_no_panel_is_not_laid() {
    let tiny = [("edge", "square"), ("cover", "1/64")];
    let got = of(&patch(&tiny, PATCH, &["p1", "p2"], "23/32"));
    assert_eq!(
        missing(&got),
        [("a panel of 12 in or more each way", "Subfloor pieces")]
    );
    assert_eq!(got.needs, []);
}

#[test]
fn what_is_not_recorded_is_said_and_the_rest_counts() {
    let got = of(&patch(&[], PATCH, &["p1", "p2"], "23/32"));
    let text = "whether the panel’s long edges are square or tongue and groove";
    assert_eq!(missing(&got), [(text, "Screws and blocks at its joints")]);
    assert_eq!(pieces(&got).len(), 4);
    assert_eq!(counts(&got), [("nail.block", 56)]);

    let bare: Vec<_> = with(&[("across", "96")])
        .into_iter()
        .filter(|f| f.0 != "starts_at")
        .collect();
    let got = of(&patch(SQUARE, &bare, &["p1", "p2"], "23/32"));
    let text = "where its edge is, in the measure of what is under it";
    assert_eq!(
        missing(&got),
        [(text, "Joints, screws and blocks of the subfloor")]
    );
    assert_eq!(
        pieces(&got),
        [piece(1, "95 3/4", "48"), piece(1, "95 3/4", "47 5/8")]
    );

    let got = square(&[("corners", "0,0; 96,0; 0,96")]);
    assert_eq!(
        missing(&got)[0].0,
        "four corners or more, with edges across or along alone"
    );
    assert_eq!(cuts(&got), []);
}

/// A floor of one course of panels with nothing on its long edges, joists at this spacing, no gap.
fn open_edges(spacing: &str, fields: Fields) -> Job {
    let run = [
        ("piece", "joist"),
        ("spacing", spacing),
        ("count", "12"),
        ("measured_to", "centre"),
    ];
    let panel = [
        ("supplier", "@yard"),
        ("section", "panel"),
        ("panel", "plywood subfloor"),
        ("thickness", "23/32"),
        ("along", "96"),
        ("across", "48"),
        ("edge", "square"),
    ];
    let patch = [
        &[
            ("starts_at", "20"),
            ("panel", "@panel"),
            ("run", "@joists"),
            ("joints", "unblocked"),
            ("outer", "unblocked"),
            ("panel_gap", "0"),
        ],
        fields,
    ]
    .concat();
    let whole = [JOB.2, &[("waste_panel", "0")]].concat();
    job(&[
        ("job", "job", &whole),
        YARD,
        ("run", "joists", &run),
        ("price", "panel", &panel),
        ("reading", "t1", THICK),
        ("reading", "t2", THICK),
        ("reading", "p1", PLACE),
        ("reading", "p2", PLACE),
        ("reading", "f1", FLOOR),
        ("reading", "f2", FLOOR),
        ("patch_floor", "patch", &patch),
    ])
}

#[test]
fn own_case_c_of_the_reference_counts_the_nails_of_one_panel() {
    // Joists at 16 in: 43; 19.2 in: 38; 24 in: 33. 6 in at the two ends, 12 in in the field, nothing on the long edges.
    for (spacing, nails) in [("16", 43), ("19.2", 38), ("24", 33)] {
        let one: Fields = &[("across", "96"), ("along", "48")];
        let got = of(&open_edges(spacing, one));
        assert_eq!(pieces(&got), [piece(1, "96", "48")]);
        assert_eq!(need(&got, "screw").count, nails, "at {spacing}");
    }
}

#[test]
fn own_case_d_of_the_reference_takes_six_sheets_before_waste() {
    // 12 ft of three courses, 14 ft of 1.75 sheets each: 168 ÷ 32 = 5.25, up to 6.
    let floor: Fields = &[("across", "168"), ("along", "144")];
    let built = open_edges("16", floor);
    let list = buy_list(&built, &[1]);
    let sheets = list
        .lines
        .iter()
        .filter(|line| matches!(line.item, Item::Panel { .. }));
    assert_eq!(sheets.map(|line| line.to_buy).sum::<i64>(), 6);
}
