//! What comes out with a wall, worked by hand.

use super::super::testing::{Entry, id, inches, job, missing, reversed, takeoff};
use super::super::{Fill, Takeoff, Verdict};
use crate::record::{Job, Kind};

const JOB: Entry<'static> = (
    "job",
    "job",
    &[("payload_lb", "1000"), ("payload_cu_yd", "2.5")],
);
const WALL: Entry<'static> = (
    "wall",
    "wall",
    &[
        ("name", "Wall D"),
        ("studs", "10"),
        ("top_plates", "2"),
        ("bottom_plates", "1"),
    ],
);
const OUT: Entry<'static> = ("take_out", "out", &[("wall", "@wall")]);
const READINGS: [Entry<'static>; 5] = [
    (
        "reading",
        "l",
        &[("of", "@wall"), ("what", "length"), ("raw", "144")],
    ),
    (
        "reading",
        "h",
        &[("of", "@wall"), ("what", "ceiling_height"), ("raw", "96")],
    ),
    (
        "reading",
        "t",
        &[
            ("of", "@wall"),
            ("what", "stud_thickness"),
            ("raw", "1 3/4"),
        ],
    ),
    (
        "reading",
        "d",
        &[("of", "@wall"), ("what", "stud_depth"), ("raw", "3 3/4")],
    ),
    (
        "reading",
        "p",
        &[
            ("of", "@wall"),
            ("what", "plate_thickness"),
            ("raw", "1 7/8"),
        ],
    ),
];
const PLASTER: [Entry<'static>; 2] = [
    (
        "layer",
        "pa",
        &[
            ("of", "@wall"),
            ("on", "side_a"),
            ("material", "plaster on wood lath"),
            ("thickness", "7/8"),
            ("psf", "10"),
        ],
    ),
    (
        "layer",
        "pb",
        &[
            ("of", "@wall"),
            ("on", "side_b"),
            ("material", "plaster on wood lath"),
            ("thickness", "7/8"),
            ("psf", "10"),
        ],
    ),
];
const DOOR: Entry<'static> = (
    "opening",
    "door",
    &[
        ("wall", "@wall"),
        ("from", "40"),
        ("width", "30"),
        ("height", "80"),
    ],
);

fn house(more: &[Entry]) -> Job {
    let mut all = vec![JOB, WALL];
    all.extend_from_slice(&READINGS);
    all.extend_from_slice(&PLASTER);
    all.extend_from_slice(more);
    job(&all)
}

/// Title, count and length of what is kept.
fn kept(takeoff: &Takeoff) -> Vec<(&str, i64, String)> {
    let all = takeoff.salvage.iter();
    all.map(|kept| (&kept.title[..], kept.count, kept.length.to_string()))
        .collect()
}

fn facts(takeoff: &Takeoff) -> Vec<(&str, i64, &str)> {
    let all = takeoff.facts.iter();
    all.map(|fact| (fact.name, fact.number, &fact.value[..]))
        .collect()
}

#[test]
fn a_whole_wall_gives_its_studs_its_plates_and_its_rubble() {
    let job = house(&[DOOR, OUT]);
    let got = takeoff(&job, "out");
    // studs: 96 − 3 × 1 7/8 = 90 3/8, less 2; plates: 144 less 2
    assert_eq!(
        kept(&got),
        [
            ("Stud", 10, "88 3/8".to_owned()),
            ("Top plate", 2, "142".to_owned()),
            ("Bottom plate", 1, "142".to_owned()),
        ]
    );
    let (stud, plate) = (&got.salvage[0], &got.salvage[1]);
    assert_eq!(
        (stud.thickness, stud.depth),
        (inches("1 3/4"), inches("3 3/4"))
    );
    assert_eq!(
        (plate.thickness, plate.depth),
        (inches("1 7/8"), inches("3 3/4"))
    );
    // a side 144 × 96 − 30 × 80 = 11,424 sq in; both × 7/8 = 19,992 cu in; × 1.5 ÷ 46,656 = 0.643 cu yd;
    // 22,848 ÷ 144 × 10 = 1,586.67 lb; by weight 1.59 loads, by volume 0.26
    assert_eq!(
        facts(&got),
        [
            ("rubble_cu_yd_tenths", 7, "0.7 cu yd"),
            ("rubble_lb", 1587, "1,587 lb"),
            ("trips", 2, "2"),
        ]
    );
    assert_eq!((&got.needs[..], &got.missing[..]), (&[][..], &[][..]));
    assert_eq!(got, takeoff(&reversed(&job), "out"));
}

#[test]
fn a_stretch_counts_its_own_studs_and_only_the_door_in_it() {
    let stretch: Entry = (
        "take_out",
        "out",
        &[
            ("wall", "@wall"),
            ("from", "48"),
            ("to", "112"),
            ("nailed_ends", "0"),
        ],
    );
    let got = takeoff(&house(&[DOOR, stretch]), "out");
    // 64 long at 16: up(4) + 1 = 5, the wall's own count is for all of it; plates cut free at both ends
    assert_eq!(
        kept(&got),
        [
            ("Stud", 5, "88 3/8".to_owned()),
            ("Top plate", 2, "64".to_owned()),
            ("Bottom plate", 1, "64".to_owned()),
        ]
    );
    // a side 64 × 96 − (70 − 48) × 80 = 4,384 sq in; 2 × 4,384 ÷ 144 × 10 = 608.9 lb; × 7/8 × 1.5 ÷ 46,656 = 0.247
    assert_eq!(facts(&got)[0].1, 3);
    assert_eq!(facts(&got)[1].1, 609);
    assert_eq!(facts(&got)[2].1, 1);
}

#[test]
fn counted_studs_and_read_lengths_win_over_figures() {
    let counted: Entry = (
        "take_out",
        "out",
        &[
            ("wall", "@wall"),
            ("from", "48"),
            ("to", "112"),
            ("studs", "7"),
        ],
    );
    let length: Entry = (
        "reading",
        "sl",
        &[("of", "@wall"), ("what", "stud_length"), ("raw", "91")],
    );
    let got = takeoff(&house(&[counted, length]), "out");
    assert_eq!(kept(&got)[0], ("Stud", 7, "89".to_owned()));
    let none: Entry = ("take_out", "out", &[("wall", "@wall"), ("salvage", "no")]);
    assert_eq!(kept(&takeoff(&house(&[none]), "out")), []);
}

#[test]
fn figures_are_rounded_at_the_end_and_exact_ones_stay() {
    // 46.656 × 1000 ÷ 1.5: a volume of exactly 0.1 cu yd loose; a hair more is 0.2
    let rubble = |thickness: &str| {
        let layer = [
            ("of", "@w"),
            ("on", "side_a"),
            ("material", "plaster"),
            ("thickness", thickness),
            ("psf", "14.4"),
        ];
        let job = job(&[
            (
                "job",
                "job",
                &[
                    ("payload_lb", "216"),
                    ("payload_cu_yd", "0.1"),
                    ("rubble_factor", "1"),
                ],
            ),
            (
                "wall",
                "w",
                &[("top_plates", "0"), ("bottom_plates", "0"), ("bare", "b")],
            ),
            (
                "reading",
                "l",
                &[("of", "@w"), ("what", "length"), ("raw", "48")],
            ),
            (
                "reading",
                "h",
                &[("of", "@w"), ("what", "ceiling_height"), ("raw", "97 1/4")],
            ),
            ("layer", "x", &layer),
            ("take_out", "out", &[("wall", "@w"), ("salvage", "no")]),
        ]);
        let got = takeoff(&job, "out");
        assert_eq!(missing(&got), []);
        facts(&got).iter().map(|fact| fact.1).collect::<Vec<_>>()
    };
    // 48 × 97 1/4 = 4,668 sq in × 1 in = 0.10005 cu yd; 4,668 ÷ 144 × 14.4 = 466.8 lb, 2.16 loads of 216
    assert_eq!(rubble("1"), [2, 467, 3]);
    // × 63/64: 0.09849 cu yd; the weight stays
    assert_eq!(rubble("63/64"), [1, 467, 3]);
    // × 4: 0.4002 cu yd are 5 loads of 0.1, more than by weight
    assert_eq!(rubble("4"), [5, 467, 5]);
}

#[test]
fn a_change_with_its_own_factor_and_vehicle_goes_by_those() {
    let own: Entry = (
        "take_out",
        "out",
        &[
            ("wall", "@wall"),
            ("rubble_factor", "2"),
            ("payload_lb", "500"),
            ("payload_cu_yd", "0.2"),
        ],
    );
    let numbers = |entry| -> Vec<i64> {
        let got = takeoff(&house(&[entry]), "out");
        facts(&got).iter().map(|fact| fact.1).collect()
    };
    // 13,824 sq in × 7/8 on both sides: 24,192 cu in × 1.5 ÷ 46,656 = 0.78; × 2: 1.04 cu yd, 5.2 loads of 0.2
    let (usual, own) = (numbers(OUT), numbers(own));
    assert_eq!((usual[0], own[0]), (8, 11));
    assert_eq!(usual[1], own[1]);
    assert_eq!(own[2], 6);
}

#[test]
fn a_layer_without_a_weight_holds_back_the_pounds_alone() {
    let tile: Entry = (
        "layer",
        "tile",
        &[
            ("of", "@wall"),
            ("on", "side_b"),
            ("material", "tile"),
            ("thickness", "3/8"),
        ],
    );
    let got = takeoff(&house(&[tile, OUT]), "out");
    // 13,824 × (7/8 + 7/8 + 3/8) × 1.5 ÷ 46,656 = 0.944
    assert_eq!(facts(&got), [("rubble_cu_yd_tenths", 10, "1.0 cu yd")]);
    assert_eq!(
        missing(&got),
        [("weight of tile, psf", "Rubble, weight and trips")]
    );
    let fill = Fill::Field {
        of: id("tile"),
        field: "psf",
    };
    assert_eq!(got.missing[0].fill, fill);
}

#[test]
fn a_side_without_layers_holds_the_rubble_back_until_it_is_recorded_as_bare() {
    let wall = |bare: &[&'static str]| {
        let mut fields = WALL.2.to_vec();
        fields.extend(bare.iter().map(|side| ("bare", *side)));
        let mut all = vec![JOB, ("wall", "wall", &fields[..]), OUT, DOOR, PLASTER[0]];
        all.extend_from_slice(&READINGS);
        takeoff(&job(&all), "out")
    };
    let got = wall(&[]);
    assert_eq!(facts(&got), []);
    assert_eq!(
        missing(&got),
        [(
            "the layers on the other side of Wall D, or in Wall D’s own record that it is bare there",
            "Rubble"
        )]
    );
    assert_eq!(got.missing[0].fill, Fill::Thing(Kind::Layer));
    assert_eq!(kept(&got).len(), 3); // the lumber still counts
    // one side, 11,424 sq in × 7/8 × 1.5 ÷ 46,656 = 0.321 cu yd; 11,424 ÷ 144 × 10 = 793.3 lb, one load
    let got = wall(&["b"]);
    assert_eq!(missing(&got), []);
    let figures: Vec<i64> = facts(&got).iter().map(|fact| fact.1).collect();
    assert_eq!(figures, [4, 794, 1]);
    assert_eq!(got.findings, []);
    // bare and yet covered: what is there counts
    let got = wall(&["a", "b"]);
    let figures: Vec<i64> = facts(&got).iter().map(|fact| fact.1).collect();
    assert_eq!(figures, [4, 794, 1]);
    let looks: Vec<(Verdict, &str)> = got
        .findings
        .iter()
        .map(|finding| (finding.verdict, &finding.text[..]))
        .collect();
    assert_eq!(
        looks,
        [(
            Verdict::Look,
            "Wall D is recorded as bare on the first side, and has layers there: they are counted. Look which is so."
        )]
    );
}

#[test]
fn a_wall_that_is_bare_on_both_sides_leaves_no_rubble_and_asks_for_no_vehicle() {
    let fields = [WALL.2, &[("bare", "a"), ("bare", "b")]].concat();
    let mut all = vec![("wall", "wall", &fields[..]), OUT];
    all.extend_from_slice(&READINGS);
    let got = takeoff(&job(&all), "out");
    assert_eq!(missing(&got), []);
    let figures: Vec<(&str, i64)> = facts(&got).iter().map(|fact| (fact.0, fact.1)).collect();
    assert_eq!(figures, [("rubble_cu_yd_tenths", 0), ("rubble_lb", 0)]);
}

#[test]
fn of_several_heights_on_a_side_the_greatest_counts_for_rubble_and_the_least_for_studs() {
    let place = |word, place, raw| {
        [
            ("of", "@w"),
            ("what", "ceiling_height"),
            ("side", "a"),
            ("place", place),
            ("raw", raw),
        ]
        .map(|field| (word, field))
    };
    let fields = |entry: [(&'static str, (&'static str, &'static str)); 5]| entry.map(|(_, f)| f);
    let (low, high) = (
        fields(place("low", "zero end", "95")),
        fields(place("high", "far end", "96")),
    );
    let mut all: Vec<Entry> = vec![
        (
            "wall",
            "w",
            &[("top_plates", "1"), ("bottom_plates", "1"), ("bare", "b")],
        ),
        (
            "reading",
            "l",
            &[("of", "@w"), ("what", "length"), ("raw", "144")],
        ),
        (
            "reading",
            "t",
            &[("of", "@w"), ("what", "stud_thickness"), ("raw", "2")],
        ),
        (
            "reading",
            "d",
            &[("of", "@w"), ("what", "stud_depth"), ("raw", "4")],
        ),
        (
            "layer",
            "x",
            &[
                ("of", "@w"),
                ("on", "side_a"),
                ("material", "board"),
                ("thickness", "1"),
                ("psf", "3"),
            ],
        ),
        ("take_out", "out", &[("wall", "@w")]),
    ];
    all.push(("reading", "low", &low));
    all.push(("reading", "high", &high));
    let got = takeoff(&job(&all), "out");
    assert_eq!(kept(&got)[0], ("Stud", 10, "89".to_owned())); // 95 − 2 × 2 − 2; plates as thick as studs
    assert_eq!(facts(&got)[1].1, 288); // 144 × 96 ÷ 144 × 3; the bare side adds nothing
    let texts: Vec<&str> = missing(&got).iter().map(|(text, _)| *text).collect();
    assert_eq!(
        texts,
        ["the vehicle’s payload, lb", "the vehicle’s load, cu yd"]
    );
}

#[test]
fn a_wall_with_nothing_recorded_says_what_it_needs() {
    let bare = job(&[
        ("wall", "w", &[("name", "Wall D")]),
        ("take_out", "out", &[("wall", "@w")]),
    ]);
    assert_eq!(
        missing(&takeoff(&bare, "out")),
        [("the length of Wall D", "out")]
    );
    let long = job(&[
        ("wall", "w", &[("name", "Wall D")]),
        (
            "reading",
            "l",
            &[("of", "@w"), ("what", "length"), ("raw", "144")],
        ),
        ("take_out", "out", &[("wall", "@w")]),
    ]);
    let got = takeoff(&long, "out");
    let texts: Vec<&str> = missing(&got).iter().map(|(text, _)| *text).collect();
    assert_eq!(
        texts,
        [
            "stud thickness of Wall D",
            "stud depth of Wall D",
            "stud length, or a ceiling height of Wall D",
            "plate thickness of Wall D",
            "plate width of Wall D",
            "how many top plates Wall D has",
            "how many bottom plates Wall D has",
            "the layers on the first side of Wall D, or in Wall D’s own record that it is bare there",
            "the layers on the other side of Wall D, or in Wall D’s own record that it is bare there",
        ]
    );
    assert_eq!(got.missing.last().unwrap().fill, Fill::Thing(Kind::Layer));
    let backwards = house(&[(
        "take_out",
        "out",
        &[("wall", "@wall"), ("from", "60"), ("to", "48")],
    )]);
    let got = takeoff(&backwards, "out");
    assert_eq!(
        missing(&got),
        [("an end past its start (60 to 48 in)", "out")]
    );
}
