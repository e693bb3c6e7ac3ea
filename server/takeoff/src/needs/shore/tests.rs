//! What a lead carpenter expects of a shore, worked by hand.

use super::super::testing::{
    Entry, counts, cuts, id, inches, job, missing, need, reversed, takeoff,
};
use super::super::{Class, Fill, Serves, Takeoff, Verdict};
use crate::record::{Job, Spot, What};

mod below;

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("shore_screw", "screw 3 in"),
        ("longest_stick", "16'"),
    ],
);
const WALL: Entry<'static> = ("wall", "wall", &[("name", "Wall D")]);

/// Two readings of a ceiling height that agree, then the wall's length, twice.
const READINGS: [Entry<'static>; 4] = [
    (
        "reading",
        "h1",
        &[
            ("of", "@wall"),
            ("what", "ceiling_height"),
            ("place", "zero end"),
            ("raw", "105 7/8"),
        ],
    ),
    (
        "reading",
        "h2",
        &[
            ("of", "@wall"),
            ("what", "ceiling_height"),
            ("place", "zero end"),
            ("raw", "105 7/8"),
        ],
    ),
    (
        "reading",
        "l1",
        &[("of", "@wall"), ("what", "length"), ("raw", "147 1/4")],
    ),
    (
        "reading",
        "l2",
        &[("of", "@wall"), ("what", "length"), ("raw", "147 1/4")],
    ),
];
/// The middle is read once, and higher.
const MIDDLE: Entry<'static> = (
    "reading",
    "m1",
    &[
        ("of", "@wall"),
        ("what", "ceiling_height"),
        ("place", "middle"),
        ("raw", "106 1/8"),
    ],
);

/// A shore of wall D with these fields and these records more.
fn shore(fields: &[(&str, &str)], more: &[Entry]) -> Job {
    let mut own = vec![("wall", "@wall")];
    own.extend_from_slice(fields);
    let mut all = vec![JOB, WALL, ("shore", "shore", &own[..])];
    all.extend_from_slice(&READINGS);
    all.extend_from_slice(more);
    job(&all)
}

fn cut(takeoff: &Takeoff, slot: &str) -> String {
    need(takeoff, slot).cut.unwrap().to_string()
}

#[test]
fn both_sides_of_a_wall_are_shored_along_the_whole_room() {
    let job = shore(
        &[
            ("to", "139 3/4"),
            ("top_plies", "1"),
            ("fit", "driven"),
            ("planks_a_side", "1"),
            ("plank", "2x10"),
        ],
        &[MIDDLE],
    );
    let got = takeoff(&job, "shore");
    // R: 139 3/4 + 24 is past the room's 147 1/4. Stud: 105 7/8 − 1 1/2 − 1 1/2 − 1 1/2 + 1/16.
    // Brace: √(72² + 106 1/8²) = 128.24. Plates: a bottom and a top one.
    let text = |slot, n, cut: &str| (slot, n, cut.to_owned());
    assert_eq!(
        cuts(&got),
        [
            text("plank.a", 1, "147 1/4"),
            text("plate.a", 2, "147 1/4"),
            text("stud.a", 11, "101 7/16"),
            text("brace.a", 2, "128 1/4"),
            text("plank.b", 1, "147 1/4"),
            text("plate.b", 2, "147 1/4"),
            text("stud.b", 11, "101 7/16"),
            text("brace.b", 2, "128 1/4"),
        ]
    );
    assert_eq!(
        need(&got, "brace.a").cut.unwrap().feet_inches(),
        "10' 8 1/4\""
    );
    // 6 × 11 + 2 braces × 2 × (down(72 ÷ 16) + 1)
    assert_eq!(counts(&got), [("screw.a", 86), ("screw.b", 86)]);
    assert_eq!(missing(&got), []);
    let sticks = got.needs.iter().filter(|need| need.cut.is_some());
    for stick in sticks {
        assert!(stick.temporary, "{} comes back", stick.slot);
        assert_eq!(stick.serves, Serves::NotThinnerNorNarrower);
        assert!(stick.in_waste);
    }
    assert!(!need(&got, "screw.a").temporary);
    assert_eq!(got, takeoff(&reversed(&job), "shore"));
}

#[test]
fn by_the_defaults_studs_are_wedged_under_two_top_plates() {
    let got = takeoff(&shore(&[], &[]), "shore");
    assert_eq!(cut(&got, "stud.a"), "101 1/8"); // 105 7/8 − 1 1/2 − 3 − 1/4
    assert_eq!(need(&got, "plate.a").count, 3);
    assert_eq!(
        counts(&got),
        [
            ("wedges.a", 11),
            ("screw.a", 86),
            ("wedges.b", 11),
            ("screw.b", 86)
        ]
    );
    let Class::Sundry { name, unit } = &need(&got, "wedges.a").class else {
        panic!("wedges are a sundry");
    };
    assert_eq!((&name[..], &unit[..]), ("pair of shoring wedges", "each"));
    let marks = ["plate.a", "stud.a", "brace.a"].map(|slot| need(&got, slot).mark);
    assert_eq!(marks, [Some("PL"), Some("ST"), Some("BR")]);
}

#[test]
fn a_height_that_is_not_agreed_lets_us_buy_but_not_cut() {
    let got = takeoff(&shore(&[], &[MIDDLE]), "shore");
    let stud = need(&got, "stud.a");
    assert_eq!(stud.cut, Some(inches("101 1/8"))); // by the agreed one
    assert!(stud.held.as_ref().unwrap().contains("middle"));
    assert_eq!(stud.sums.last().unwrap().label, "To buy by");
    assert!(need(&got, "brace.a").held.is_some()); // goes by the middle
    assert_eq!(need(&got, "plate.a").held, None);
    let agreed = takeoff(&shore(&[], &[]), "shore");
    assert_eq!(need(&agreed, "stud.a").held, None);
    assert_eq!(need(&agreed, "stud.a").readings, [id("h2"), id("l2")]);
}

#[test]
fn without_an_agreed_height_studs_wait_and_the_rest_counts() {
    let job = job(&[
        JOB,
        WALL,
        (
            "shore",
            "shore",
            &[
                ("wall", "@wall"),
                ("to", "100"),
                ("sides", "a"),
                ("one_side_word", "Ines"),
                ("side_a_to", "100"),
            ],
        ),
        MIDDLE,
    ]);
    let got = takeoff(&job, "shore");
    assert_eq!(
        missing(&got),
        [(
            "an agreed ceiling height, first side, or plate to plate",
            "Shoring studs, first side"
        )]
    );
    let spot = Spot::of(id("wall"), What::CeilingHeight).place("middle");
    assert_eq!(got.missing[0].fill, Fill::Reading(spot)); // measure that one again
    let slots: Vec<&str> = got.needs.iter().map(|need| &need.slot[..]).collect();
    assert_eq!(slots, ["plate.a", "wedges.a", "brace.a", "screw.a"]);
    assert_eq!(need(&got, "wedges.a").count, 8); // up(100 ÷ 16) + 1; the one at 96 ends at 96 3/4, before 98 1/2
}

#[test]
fn without_any_height_braces_wait_too() {
    let job = job(&[
        JOB,
        WALL,
        (
            "shore",
            "shore",
            &[
                ("wall", "@wall"),
                ("to", "100"),
                ("side_a_to", "124"),
                ("side_b_to", "110"),
            ],
        ),
    ]);
    let got = takeoff(&job, "shore");
    let brace = ("ceiling height, other side", "Brace, other side");
    assert!(missing(&got).contains(&brace), "{:?}", missing(&got));
    let lengths = [cut(&got, "plate.a"), cut(&got, "plate.b")];
    assert_eq!(lengths, ["124", "110"]); // each side's own walls
}

#[test]
fn a_stud_with_its_own_reading_is_cut_by_it_and_the_others_by_the_least() {
    let own = |number| {
        [
            ("of", "@shore"),
            ("what", "between_plates"),
            ("side", "a"),
            ("number", number),
        ]
    };
    let (third, fourth) = (own("3"), own("4"));
    let (mut third, mut fourth) = (third.to_vec(), fourth.to_vec());
    third.push(("raw", "101 1/2"));
    fourth.push(("raw", "101 3/8"));
    let readings: [Entry; 4] = [
        ("reading", "p1", &third),
        ("reading", "p2", &third),
        ("reading", "p3", &fourth),
        ("reading", "p4", &fourth),
    ];
    let job = shore(&[], &readings);
    let got = takeoff(&job, "shore");
    let own: Vec<(&str, i64, String)> = cuts(&got)
        .into_iter()
        .filter(|(slot, ..)| slot.starts_with("stud"))
        .collect();
    assert_eq!(
        own,
        [
            ("stud.a.own.3", 1, "101 1/4".to_owned()),
            ("stud.a.own.4", 1, "101 1/8".to_owned()),
            ("stud.a", 9, "101 1/8".to_owned()), // the least: 101 3/8 − 1/4
            ("stud.b", 11, "101 1/8".to_owned()), // by the ceiling
        ]
    );
    assert_eq!(need(&got, "stud.a.own.3").readings, [id("p2")]);
    assert_eq!(need(&got, "wedges.a").count, 11);
}

#[test]
fn a_leaning_stud_says_how_far_it_leans() {
    // half an inch over 90 leans 9 1/2
    let plates = [
        ("of", "@shore"),
        ("what", "between_plates"),
        ("side", "a"),
        ("raw", "90"),
    ];
    let leaning = [
        ("fit", "leaning"),
        ("lean", "1/2"),
        ("sides", "a"),
        ("one_side_word", "Ines"),
    ];
    let got = takeoff(&shore(&leaning, &[("reading", "p", &plates)]), "shore");
    assert_eq!(cut(&got, "stud.a"), "90 1/2");
    let fact = &got.facts[0];
    assert_eq!((fact.name, fact.number), ("lean_64", 9 * 64 + 32));
    assert_eq!(fact.value, "9 1/2 in");
    let look = got.findings.iter().find(|f| f.verdict == Verdict::Look);
    assert!(look.unwrap().text.contains("leans 9 1/2 in"));
    assert_eq!(counts(&got), [("screw.a", 86)]); // no wedges

    let how_much = takeoff(&shore(&[("fit", "leaning")], &[]), "shore");
    assert_eq!(
        missing(&how_much),
        [("how much longer the leaning studs are", "Shoring studs")]
    );
    assert!(
        cuts(&how_much)
            .iter()
            .all(|(slot, ..)| !slot.starts_with("stud"))
    );
}

#[test]
fn one_side_alone_needs_a_word() {
    let got = takeoff(&shore(&[("sides", "b")], &[]), "shore");
    assert_eq!(
        missing(&got),
        [(
            "who says that the joists run through and none is cut, or both sides",
            "Shoring on the other side"
        )]
    );
    assert!(cuts(&got).iter().all(|(slot, ..)| slot.contains(".b")));
    let said = shore(&[("sides", "b"), ("one_side_word", "Ines, Oct 12")], &[]);
    assert_eq!(missing(&takeoff(&said, "shore")), []);
}

const HOUSE: [Entry<'static>; 6] = [
    ("storey", "cellar", &[("level", "0")]),
    ("storey", "ground", &[("level", "1")]),
    (
        "room",
        "dining",
        &[("name", "Dining room"), ("storey", "@ground")],
    ),
    (
        "room",
        "under",
        &[("name", "Cellar"), ("storey", "@cellar")],
    ),
    (
        "reading",
        "u1",
        &[("of", "@under"), ("what", "ceiling_height"), ("raw", "84")],
    ),
    (
        "reading",
        "u2",
        &[("of", "@under"), ("what", "ceiling_height"), ("raw", "84")],
    ),
];

/// The same wall in a dining room over a cellar.
fn over_a_cellar(fields: &[(&str, &str)]) -> Job {
    let mut own = vec![("wall", "@wall"), ("sides", "a"), ("one_side_word", "Ines")];
    own.extend_from_slice(fields);
    let mut all = vec![
        JOB,
        (
            "wall",
            "wall",
            &[("name", "Wall D"), ("room_a", "@dining")][..],
        ),
        ("shore", "shore", &own[..]),
    ];
    all.extend_from_slice(&READINGS);
    all.extend_from_slice(&HOUSE);
    job(&all)
}

#[test]
fn it_is_shored_again_in_the_room_below_to_that_rooms_height() {
    let job = over_a_cellar(&[("below", "@under")]);
    let got = takeoff(&job, "shore");
    assert_eq!(missing(&got), []);
    let slots: Vec<&str> = got.needs.iter().map(|need| &need.slot[..]).collect();
    assert_eq!(
        slots,
        [
            "plate.a",
            "wedges.a",
            "stud.a",
            "brace.a",
            "screw.a",
            "below.1.plate.a",
            "below.1.wedges.a",
            "below.1.stud.a",
            "below.1.brace.a",
            "below.1.screw.a",
        ]
    );
    assert_eq!(cut(&got, "below.1.stud.a"), "79 1/4"); // 84 − 1 1/2 − 3 − 1/4
    assert_eq!(cut(&got, "below.1.plate.a"), "147 1/4");
    assert_eq!(cut(&got, "below.1.brace.a"), "110 3/4"); // √(72² + 84²) = 110.63
    assert_eq!(
        need(&got, "below.1.stud.a").title,
        "Shoring stud, Dining room side, below in Cellar"
    );
    assert_eq!(got, takeoff(&reversed(&job), "shore"));
}

#[test]
fn what_is_below_is_asked_for_unless_it_stands_on_the_ground() {
    let asks = |fields: &[(&str, &str)]| {
        let got = takeoff(&over_a_cellar(fields), "shore");
        missing(&got)
            .iter()
            .any(|(text, _)| text.starts_with("the room below"))
    };
    assert!(asks(&[]));
    assert!(!asks(&[("stands_on", "ground")]));
    assert!(asks(&[("stands_on", "floor")]));
    assert!(!asks(&[("stands_on", "floor"), ("below", "@under")]));
    let ground = over_a_cellar(&[("stands_on", "ground"), ("below", "@under")]);
    let ground = takeoff(&ground, "shore");
    assert!(
        cuts(&ground)
            .iter()
            .all(|(slot, ..)| !slot.starts_with("below"))
    );
}

#[test]
fn a_plate_longer_than_can_be_had_is_joined_and_one_of_unknown_length_is_said() {
    let long = [
        ("to", "250"),
        ("sides", "a"),
        ("one_side_word", "Ines"),
        ("side_a_to", "300"),
    ];
    let got = takeoff(&shore(&long, &[]), "shore");
    // R 274; the longest 16 ft = 192: joined once at 16 × 12, 82 left; 1 bottom and 2 top plates
    assert_eq!(cut(&got, "plate.a.long"), "192");
    assert_eq!(cut(&got, "plate.a"), "82");
    let counts = ["plate.a.long", "plate.a"].map(|slot| need(&got, slot).count);
    assert_eq!(counts, [3, 3]);
    let said: Vec<&str> = got.findings.iter().map(|f| &f.text[..]).collect();
    assert_eq!(
        said,
        [
            "The run on the first side ends at the zero end of Wall D. Record where the room’s wall stands if it goes on."
        ]
    );

    let unknown = job(&[
        (
            "job",
            "job",
            &[
                ("species", "Hem-Fir"),
                ("grade", "No.2"),
                ("shore_screw", "screw 3 in"),
            ],
        ),
        WALL,
        (
            "shore",
            "shore",
            &[
                ("wall", "@wall"),
                ("to", "250"),
                ("side_a_from", "0"),
                ("side_a_to", "300"),
                ("side_b_from", "0"),
                ("side_b_to", "300"),
            ],
        ),
    ]);
    let got = takeoff(&unknown, "shore");
    assert_eq!(cut(&got, "plate.a"), "274");
    let verdicts: Vec<Verdict> = got.findings.iter().map(|finding| finding.verdict).collect();
    assert_eq!(verdicts, [Verdict::Said]); // once, not for each side
}

#[test]
fn planks_need_a_size_and_come_off_the_studs() {
    let got = takeoff(&shore(&[("planks_a_side", "2")], &[]), "shore");
    let texts: Vec<&str> = missing(&got).iter().map(|(text, _)| *text).collect();
    assert_eq!(
        texts,
        [
            "the size of the planks",
            "the planks’ thickness",
            "the planks’ thickness"
        ]
    );
    let sized = shore(&[("planks_a_side", "2"), ("plank", "2x10")], &[]);
    let got = takeoff(&sized, "shore");
    assert_eq!(need(&got, "plank.a").count, 2);
    assert_eq!(cut(&got, "stud.a"), "99 5/8"); // one plank's thickness: they lie side by side
    // 105 7/8 − 1 1/2 − 1 1/2 − 3 − 1/4
    let sums = &need(&got, "stud.a").sums;
    let at = sums.iter().position(|sum| sum.label == "− planks").unwrap();
    let (planks, plate) = (&sums[at], &sums[at + 1]);
    assert_eq!(planks.value, "1 1/2 in");
    assert_eq!(planks.note, "one layer under the bottom plate");
    assert_eq!(
        (&plate.label[..], &plate.value[..]),
        ("− bottom plate", "1 1/2 in")
    );
}

#[test]
fn a_plate_is_joined_within_what_the_end_trim_leaves_of_the_longest_stick() {
    let long = [
        ("to", "250"),
        ("sides", "a"),
        ("one_side_word", "Ines"),
        ("side_a_to", "300"),
    ];
    let mut all: Vec<crate::record::Record> = shore(&long, &[]).records().cloned().collect();
    all.retain(|record| record.id != id("job"));
    let mut fields = JOB.2.to_vec();
    fields.push(("trim", "1"));
    all.extend(job(&[("job", "job", &fields)]).records().cloned());
    let got = takeoff(
        &Job::new(id("job"), all, crate::buy::Ledger::default()),
        "shore",
    );
    // R 274; 192 − 1 trim = 191: joined at 16 × down(191 ÷ 16) = 16 × 11 = 176, and 274 − 176 = 98 left
    assert_eq!(cut(&got, "plate.a.long"), "176");
    assert_eq!(cut(&got, "plate.a"), "98");
    let note = &need(&got, "plate.a.long").sums[1].note;
    assert_eq!(note, "16 × down(191 ÷ 16): the longest is 192 − 1 trim");
}

/// What is said of where a run ends.
fn ends_said(fields: &[(&str, &str)]) -> Vec<String> {
    let got = takeoff(&shore(fields, &[]), "shore");
    let all = got.findings.into_iter().map(|finding| {
        assert_eq!(finding.verdict, Verdict::Said);
        finding.text
    });
    all.collect()
}

#[test]
fn a_run_that_stops_at_the_walls_own_end_says_so() {
    let side = [("sides", "a"), ("one_side_word", "Ines")];
    let with = |more: &[(&'static str, &'static str)]| ends_said(&[&side[..], more].concat());
    // the wall is 147 1/4: 24 + 24 and 123 1/4 + 24 just stay within it
    assert_eq!(with(&[("from", "24"), ("to", "123 1/4")]), [""; 0]);
    assert_eq!(
        with(&[("from", "23 63/64"), ("to", "123 1/4")]),
        [
            "The run on the first side ends at the zero end of Wall D. Record where the room’s wall stands if it goes on."
        ]
    );
    assert_eq!(
        with(&[("from", "24"), ("to", "123 17/64")]),
        [
            "The run on the first side ends at the far end of Wall D. Record where the room’s wall stands if it goes on."
        ]
    );
    let both = "The run on the first side ends at both ends of Wall D. Record where the room’s walls stand if it goes on.";
    assert_eq!(with(&[]), [both]);
    assert_eq!(
        with(&[("side_a_from", "0"), ("side_a_to", "147 1/4")]),
        [""; 0]
    );
    // each side by its own walls
    assert_eq!(
        ends_said(&[("side_a_from", "0"), ("side_b_to", "147 1/4")]),
        [
            "The run on the first side ends at the far end of Wall D. Record where the room’s wall stands if it goes on.",
            "The run on the other side ends at the zero end of Wall D. Record where the room’s wall stands if it goes on.",
        ]
    );
}

#[test]
fn what_is_not_recorded_is_asked_for_and_the_rest_counts() {
    let bare = job(&[WALL, ("shore", "shore", &[("wall", "@wall")])]);
    let got = takeoff(&bare, "shore");
    assert_eq!(
        missing(&got),
        [
            (
                "the species of new lumber",
                "Shoring studs, plates and braces"
            ),
            ("the screw for shoring", "Screws, shoring"),
            ("the length of Wall D", "shore"),
        ]
    );
    let mut all = vec![WALL, ("shore", "shore", &[("wall", "@wall")][..])];
    all.extend_from_slice(&READINGS);
    let got = takeoff(&job(&all), "shore");
    assert_eq!(counts(&got), [("wedges.a", 11), ("wedges.b", 11)]);
}

#[test]
fn places_that_leave_no_run_are_asked_for_again() {
    for fields in [
        &[("from", "60"), ("to", "40")][..],
        &[
            ("from", "60"),
            ("to", "80"),
            ("side_a_to", "30"),
            ("side_b_to", "30"),
        ],
    ] {
        let got = takeoff(&shore(fields, &[]), "shore");
        assert_eq!(got.needs, []);
        assert!(missing(&got)[0].0.starts_with("places that leave a run"));
    }
}

#[test]
fn a_ceiling_lower_than_the_plates_leaves_no_stud() {
    let low = [
        ("of", "@shore"),
        ("what", "between_plates"),
        ("side", "a"),
        ("raw", "1/4"),
    ];
    let got = takeoff(&shore(&[], &[("reading", "p", &low)]), "shore");
    assert!(cuts(&got).iter().all(|(slot, ..)| *slot != "stud.a"));
    assert!(
        missing(&got)[0]
            .0
            .starts_with("a reading that leaves a length")
    );
}

#[test]
fn readings_between_plates_belong_to_their_side_and_storey() {
    let between = |fields: &[(&'static str, &'static str)]| {
        let mut all = vec![("of", "@shore"), ("what", "between_plates")];
        all.extend_from_slice(fields);
        all
    };
    // one side alone: a reading needn't name it; below: the room is the place
    let (upper, lower) = (
        between(&[("raw", "101")]),
        between(&[
            ("side", "a"),
            ("place", "Cellar"),
            ("number", "2"),
            ("raw", "79"),
        ]),
    );
    let job = over_a_cellar(&[("below", "@under")]);
    let mut all: Vec<crate::record::Record> = job.records().cloned().collect();
    let more = super::super::testing::job(&[("reading", "p", &upper), ("reading", "q", &lower)]);
    all.extend(more.records().cloned());
    let job = Job::new(job.id, all, job.ledger);
    let got = takeoff(&job, "shore");
    assert_eq!(cut(&got, "stud.a"), "100 3/4");
    assert_eq!(cut(&got, "below.1.stud.a.own.2"), "78 3/4");
    assert_eq!(need(&got, "below.1.stud.a").count, 10);
    // on two sides such a reading belongs to neither
    let both = shore(&[], &[("reading", "p", &upper)]);
    assert_eq!(cut(&takeoff(&both, "shore"), "stud.a"), "101 1/8");
}

#[test]
fn a_run_that_goes_by_a_wall_read_once_holds_its_plates() {
    let mut all = vec![JOB, WALL, ("shore", "shore", &[("wall", "@wall")][..])];
    all.extend_from_slice(&READINGS[..3]);
    let got = takeoff(&job(&all), "shore");
    let plate = need(&got, "plate.a");
    assert!(plate.held.as_ref().unwrap().contains("Length is read once"));
    assert_eq!(plate.readings, [id("l1")]);
    // with both ends of the run recorded, the wall's length plays no part
    all[2].2 = &[
        ("wall", "@wall"),
        ("to", "100"),
        ("side_a_to", "147 1/4"),
        ("side_b_to", "147 1/4"),
    ];
    let got = takeoff(&job(&all), "shore");
    assert_eq!(need(&got, "plate.a").held, None);
    assert_eq!(cut(&got, "plate.a"), "124"); // 100 + 24; nothing is gained before zero
}
