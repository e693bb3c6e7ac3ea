//! Packing and blocking worked out by hand.

use super::super::Serves;
use super::super::testing::{Entry, counts, cuts, job, missing, need, reversed, takeoff};
use crate::record::Job;

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("nail_blocking", "8d common"),
    ],
);
const RUN: Entry<'static> = (
    "run",
    "kitchen",
    &[
        ("piece", "joist"),
        ("spacing", "16"),
        ("count", "6"),
        ("measured_to", "centre"),
    ],
);
const THICK: &[(&str, &str)] = &[("of", "@kitchen"), ("what", "thickness"), ("raw", "1 3/4")];
const PLACE: &[(&str, &str)] = &[("of", "@kitchen"), ("what", "place"), ("raw", "16")];
const READ: [Entry<'static>; 4] = [
    ("reading", "t1", THICK),
    ("reading", "t2", THICK),
    ("reading", "p1", PLACE),
    ("reading", "p2", PLACE),
];
const BLOCKS: &[(&str, &str)] = &[
    ("pack", "blocking"),
    ("nominal", "2x4"),
    ("run", "@kitchen"),
    ("first", "2"),
    ("last", "5"),
    ("rows", "2"),
];

fn with(change: Entry, others: &[Entry]) -> Job {
    let mut entries = others.to_vec();
    entries.push(change);
    job(&entries)
}

#[test]
fn packing_is_cut_as_entered() {
    let fields = [
        ("pack", "packing"),
        ("nominal", "4x6"),
        ("count", "2"),
        ("length", "7 5/8"),
        ("thickness", "1 3/8"),
        ("on_end", "yes"),
        ("landing", "@Post 2"),
    ];
    let post: Entry = (
        "set_post",
        "Post 2",
        &[("under", "@beam"), ("nominal", "4x6")],
    );
    let job = with(("pack", "packing", &fields), &[JOB, post]);
    let got = takeoff(&job, "packing");
    assert_eq!(cuts(&got), [("packing", 2, "7 5/8".to_owned())]);
    let packing = need(&got, "packing");
    assert_eq!(
        packing.title,
        "Packing, 4×6, ripped to 1 3/8, on end, grain upright"
    );
    assert_eq!(
        (packing.mark, packing.serves, packing.held.as_ref()),
        (Some("PK"), Serves::NotThinnerNorNarrower, None)
    );
    assert_eq!(packing.sums[0].note, "as entered, under Post 2");
    assert_eq!(missing(&got), []);
    assert_eq!(got, takeoff(&reversed(&job), "packing"));
}

#[test]
fn packing_without_a_length_says_so() {
    let fields = [("pack", "packing"), ("nominal", "2x6")];
    let got = takeoff(&with(("pack", "packing", &fields), &[JOB]), "packing");
    let waits = "Packing, 2×6";
    assert_eq!(
        missing(&got),
        [
            ("how many pieces", waits),
            ("the length of each piece", waits)
        ]
    );
    assert_eq!(got.needs, []);
}

#[test]
fn blocks_fill_the_clear_bays_in_every_row() {
    let mut all = vec![JOB, RUN];
    all.extend(READ);
    let job = with(("pack", "blocks", BLOCKS), &all);
    let got = takeoff(&job, "blocks");
    // joists 2 to 5: 3 bays of 16 − 1 3/4, 2 rows; 6 blocks × 2 ends × 2 of 8d common
    assert_eq!(cuts(&got), [("block.1", 6, "14 1/4".to_owned())]);
    assert_eq!(counts(&got), [("nail", 24)]);
    let block = need(&got, "block.1");
    assert_eq!(
        (
            block.mark,
            block.serves,
            block.held.as_ref(),
            block.readings.len()
        ),
        (Some("BK"), Serves::NotThinnerNorNarrower, None, 2)
    );
    assert_eq!(block.sums[0].note, "2 to 3, 3 to 4, 4 to 5");
    assert_eq!(missing(&got), []);
    assert_eq!(got, takeoff(&reversed(&job), "blocks"));
}

#[test]
fn a_joist_that_stands_off_its_place_makes_blocks_of_other_lengths() {
    let off: &[(&str, &str)] = &[
        ("of", "@kitchen"),
        ("what", "place"),
        ("number", "3"),
        ("raw", "49"),
    ];
    let mut all = vec![JOB, RUN, ("reading", "off", off)];
    all.extend(READ);
    let got = takeoff(&with(("pack", "blocks", BLOCKS), &all), "blocks");
    // centres 32, 49, 64, 80
    assert_eq!(
        cuts(&got),
        [
            ("block.1", 2, "15 1/4".to_owned()),
            ("block.2", 2, "13 1/4".to_owned()),
            ("block.3", 2, "14 1/4".to_owned()),
        ]
    );
    assert_eq!(counts(&got), [("nail", 24)]);
    assert!(
        need(&got, "block.1")
            .held
            .as_ref()
            .unwrap()
            .contains("read once")
    );
    assert!(need(&got, "block.3").held.is_none());
}

#[test]
fn blocking_without_its_joists_says_what_it_needs() {
    let fields = [("pack", "blocking"), ("nominal", "2x4")];
    let bare: Entry = ("job", "job", &[("species", "Hem-Fir"), ("grade", "No.2")]);
    let got = takeoff(&with(("pack", "blocks", &fields), &[bare]), "blocks");
    let waits = "Block, 2×4";
    assert_eq!(
        missing(&got),
        [
            ("how many rows", waits),
            ("from which joist of the run", waits),
            ("to which joist of the run", waits),
            ("between the joists of which run", waits),
            ("nail for block to joist, each end", waits),
        ]
    );
    // without a nail the blocks still count
    let mut all = vec![bare, RUN];
    all.extend(READ);
    let got = takeoff(&with(("pack", "blocks", BLOCKS), &all), "blocks");
    assert_eq!(cuts(&got), [("block.1", 6, "14 1/4".to_owned())]);
    assert_eq!(counts(&got), []);
}

#[test]
fn a_range_that_begins_at_the_second_of_two_touching_joists_keeps_its_first_bay() {
    let beside: &[(&str, &str)] = &[
        ("of", "@kitchen"),
        ("what", "place"),
        ("number", "3"),
        ("raw", "33 3/4"),
    ];
    let fields: &[(&str, &str)] = &[
        ("pack", "blocking"),
        ("nominal", "2x4"),
        ("run", "@kitchen"),
        ("first", "3"),
        ("last", "5"),
        ("rows", "1"),
    ];
    let mut all = vec![JOB, RUN, ("reading", "beside", beside)];
    all.extend(READ);
    let got = takeoff(&with(("pack", "blocks", fields), &all), "blocks");
    // joists 2 and 3 as one, 31 1/8 to 34 5/8; then 64 and 80: bays to 63 1/8 and from 64 7/8 to 79 1/8
    assert_eq!(
        cuts(&got),
        [
            ("block.1", 1, "28 1/2".to_owned()),
            ("block.2", 1, "14 1/4".to_owned()),
        ]
    );
    assert_eq!(counts(&got), [("nail", 8)]);
}
