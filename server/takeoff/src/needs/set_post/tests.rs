//! What a carpenter expects of a post, worked by hand.

use super::super::testing::{
    Entry, counts, cuts, id, inches, job, missing, need, reversed, takeoff,
};
use super::super::{Class, FastenerClass, Fill, Treatment, Verdict};
use crate::record::{Job, Kind, Spot, What};

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("nail_stud_toe", "16d box"),
    ],
);
const BEAM: Entry<'static> = (
    "set_beam",
    "beam",
    &[("name", "Beam 1"), ("nominal", "2x10"), ("plies", "3")],
);
const CAP: Entry<'static> = (
    "hardware",
    "cap",
    &[
        ("name", "Cap A"),
        ("type", "cap"),
        ("takes_up", "1/8"),
        ("carrying_fastener", "16d common"),
        ("carrying_count", "4"),
        ("carried_fastener", "10d common"),
        ("carried_count", "6"),
    ],
);
const BASE: Entry<'static> = (
    "hardware",
    "base",
    &[
        ("name", "Base B"),
        ("type", "base"),
        ("takes_up", "1"),
        ("carrying_count", "0"),
        ("carried_fastener", "10d common"),
        ("carried_count", "8"),
    ],
);

/// A 4×6 post with these fields, its reading taken twice.
fn post(fields: &[(&str, &str)], more: &[Entry]) -> Job {
    let mut post = vec![("name", "Post 2"), ("under", "@beam"), ("nominal", "4x6")];
    post.extend_from_slice(fields);
    let reading = [
        ("of", "@post"),
        ("what", "landing_to_seat"),
        ("raw", "107 11/16"),
    ];
    let mut all = vec![
        JOB,
        BEAM,
        CAP,
        BASE,
        ("set_post", "post", &post[..]),
        ("reading", "r1", &reading[..]),
        ("reading", "r2", &reading[..]),
    ];
    all.extend_from_slice(more);
    job(&all)
}

#[test]
fn a_bare_post_is_cut_an_eighth_over_and_toe_nailed_at_both_ends() {
    let job = post(&[("stands_on", "wood")], &[]);
    let got = takeoff(&job, "post");
    assert_eq!(cuts(&got), [("post", 1, "107 13/16".to_owned())]); // 8' 11 13/16"
    assert_eq!(counts(&got), [("nail.toe", 6)]); // 2 ends × 3 of 16d box
    let post = need(&got, "post");
    assert_eq!(post.title, "Post 2, 4×6");
    assert_eq!((post.in_waste, post.mark), (false, Some("PO")));
    assert_eq!((&post.held, &post.readings[..]), (&None, &[id("r2")][..]));
    let last = post.sums.last().unwrap();
    assert_eq!(last.label, "Cut");
    assert!(last.value.starts_with("8' 11 13/16\""), "{}", last.value);
    assert_eq!(missing(&got), []);
    assert_eq!(got, takeoff(&reversed(&job), "post"));
}

#[test]
fn hardware_at_either_end_ends_the_over_cut_and_takes_its_height() {
    for (fields, cut, nails) in [
        (&[("cap", "@cap")][..], "107 9/16", Some(3)),
        (&[("base", "@base")], "106 11/16", Some(3)),
        (&[("cap", "@cap"), ("base", "@base")], "106 9/16", None),
        (
            &[
                ("cap", "@cap"),
                ("base", "@base"),
                ("read_with_hardware", "yes"),
            ],
            "107 11/16",
            None,
        ),
        // an over-cut of its own is for bare ends only
        (
            &[("cap", "@cap"), ("over_cut", "1/16")],
            "107 9/16",
            Some(3),
        ),
        (&[("over_cut", "1/16")], "107 3/4", Some(6)),
    ] {
        let got = takeoff(&post(fields, &[]), "post");
        assert_eq!(need(&got, "post").cut, Some(inches(cut)), "{fields:?}");
        let toe = counts(&got)
            .into_iter()
            .find(|(slot, _)| *slot == "nail.toe");
        assert_eq!(toe.map(|(_, nails)| nails), nails, "{fields:?}");
    }
}

#[test]
fn a_cap_and_a_base_bring_their_own_fasteners() {
    let got = takeoff(&post(&[("cap", "@cap"), ("base", "@base")], &[]), "post");
    assert_eq!(
        counts(&got),
        [
            ("cap", 1),
            ("cap.carrying", 4),
            ("cap.carried", 6),
            ("base", 1),
            ("base.carried", 8)
        ]
    );
    assert_eq!(need(&got, "cap").class, Class::Hardware { row: id("cap") });
    let nail = FastenerClass::new("16d common", "");
    assert_eq!(need(&got, "cap.carrying").class, Class::Fastener(nail));
}

#[test]
fn hardware_without_its_height_or_schedule_is_asked_for() {
    let bare_cap: Entry = ("hardware", "bare", &[("name", "Cap C"), ("type", "cap")]);
    let got = takeoff(
        &post(&[("cap", "@bare"), ("stands_on", "wood")], &[bare_cap]),
        "post",
    );
    assert_eq!(cuts(&got), []);
    assert_eq!(counts(&got), [("cap", 1), ("nail.toe", 3)]);
    assert_eq!(
        missing(&got),
        [
            ("seat of the cap, Cap C", "Post 2, 4×6"),
            (
                "how many fasteners Cap C takes into the carrying member",
                "Fasteners, Cap C"
            ),
            (
                "how many fasteners Cap C takes into the carried member",
                "Fasteners, Cap C"
            ),
        ]
    );
    let fill = Fill::Field {
        of: id("bare"),
        field: "takes_up",
    };
    assert_eq!(got.missing[0].fill, fill);
}

#[test]
fn through_a_floor_it_stands_on_squash_blocks_a_sixteenth_over_the_joists() {
    let depth: Entry = (
        "reading",
        "d1",
        &[("of", "@floor"), ("what", "depth"), ("raw", "7 5/8")],
    );
    let floor: Entry = (
        "run",
        "floor",
        &[("piece", "joist"), ("spacing", "16"), ("count", "9")],
    );
    let fields = [
        ("lands", "through"),
        ("floor", "@floor"),
        ("stands_on", "wood"),
    ];
    let got = takeoff(&post(&fields, &[floor, depth]), "post");
    let blocks = need(&got, "squash");
    assert_eq!((blocks.count, blocks.cut), (4, Some(inches("7 11/16")))); // up(5 1/2 ÷ 1 1/2)
    assert!(blocks.held.as_ref().unwrap().contains("read once"));
    let Class::Stick(class) = &blocks.class else {
        panic!("blocks are lumber");
    };
    assert_eq!(class.nominal.text(), "2x4"); // 3 1/2 is not narrower than the post's 3 1/2
    assert_eq!(blocks.mark, Some("PK"));

    // a 6×6, green, 5 1/2 both ways: 4 of 2×6
    let mut six = fields.to_vec();
    six.push(("nominal", "6x6"));
    let post_6x6: Vec<(&str, &str)> = [("name", "Post 2"), ("under", "@beam")]
        .into_iter()
        .chain(six)
        .collect();
    let got = takeoff(
        &job(&[JOB, BEAM, floor, depth, ("set_post", "post", &post_6x6)]),
        "post",
    );
    let Class::Stick(class) = &need(&got, "squash").class else {
        panic!("blocks are lumber");
    };
    assert_eq!(
        (need(&got, "squash").count, class.nominal.text()),
        (4, "2x6".to_owned())
    );
}

#[test]
fn squash_blocks_wait_for_the_joists_and_their_depth() {
    let got = takeoff(
        &post(&[("lands", "through"), ("stands_on", "wood")], &[]),
        "post",
    );
    assert_eq!(
        missing(&got),
        [(
            "the floor joists that it lands on",
            "Squash blocks, Post 2, 4×6"
        )]
    );
    assert_eq!(cuts(&got).len(), 1); // the post itself still counts
}

#[test]
fn on_concrete_it_is_treated_or_on_a_base() {
    let stops = |fields: &[(&str, &str)]| {
        let got = takeoff(&post(fields, &[]), "post");
        let all = got.findings.iter();
        all.filter(|finding| finding.verdict == Verdict::Stop)
            .count()
    };
    assert_eq!(stops(&[("stands_on", "concrete")]), 1);
    assert_eq!(stops(&[("stands_on", "concrete"), ("base", "@base")]), 0);
    assert_eq!(
        stops(&[("stands_on", "concrete"), ("treatment", "treated")]),
        0
    );
    assert_eq!(stops(&[("stands_on", "wood")]), 0);
    let treated = post(&[("treatment", "treated")], &[]);
    let got = takeoff(&treated, "post");
    let Class::Stick(class) = &need(&got, "post").class else {
        panic!("a post is lumber");
    };
    assert_eq!(class.treatment, Treatment::Treated);
}

#[test]
fn a_landing_that_no_packing_names_is_said_to_be_unchecked() {
    let said = |packs: &[Entry], state: &str| {
        let job = post(&[("stands_on", "wood")], packs);
        let mut all: Vec<crate::record::Record> = job.records().cloned().collect();
        for record in &mut all {
            if record.kind == Kind::Pack {
                record.state = state.to_owned();
            }
        }
        let got = takeoff(&Job::new(job.id, all, job.ledger), "post");
        let all = got.findings.into_iter();
        all.map(|finding| (finding.verdict, finding.text))
            .collect::<Vec<_>>()
    };
    let unchecked = vec![(
        Verdict::Said,
        "What carries Post 2, and what packing centres it, can’t be told: record what it lands on, or plan the packing as a change that names Post 2."
            .to_owned(),
    )];
    let packing =
        |post: &'static str| [("pack", "packing"), ("nominal", "2x10"), ("landing", post)];
    let (under, elsewhere) = (packing("@post"), packing("@other"));
    let under: Entry = ("pack", "pack", &under);
    let elsewhere: Entry = ("pack", "pack", &elsewhere);
    assert_eq!(said(&[], "planned"), unchecked);
    assert_eq!(said(&[under], "planned"), []);
    assert_eq!(said(&[under], "done"), []);
    assert_eq!(said(&[under], "dropped"), unchecked);
    assert_eq!(said(&[elsewhere], "planned"), unchecked);
}

#[test]
fn a_post_without_its_reading_has_no_length() {
    let got = takeoff(
        &job(&[
            JOB,
            BEAM,
            (
                "set_post",
                "post",
                &[("name", "Post 1"), ("under", "@beam"), ("nominal", "4x6")],
            ),
        ]),
        "post",
    );
    assert_eq!(cuts(&got), []);
    assert_eq!(
        missing(&got),
        [
            ("what it lands on to the seat", "Post 1, 4×6"),
            (
                "what it stands on, wood or concrete",
                "Post 1, 4×6: whether it must be treated or on a base"
            ),
        ]
    );
    let spot = Spot::of(id("post"), What::LandingToSeat);
    assert_eq!(got.missing[0].fill, Fill::Reading(spot));
    assert_eq!(counts(&got), [("nail.toe", 6)]);
}
