//! What a lead carpenter expects of a plate, worked by hand.

use proptest::prelude::*;

use super::super::testing::{
    Entry, counts, cuts, id, inches, job, missing, need, reversed, takeoff,
};
use super::super::{Class, FastenerClass, Takeoff, Treatment, Verdict};
use super::Plate;
use crate::record::Job;
use crate::units::Length;

const JOB: Entry<'static> = (
    "job",
    "job",
    &[
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("longest_stick", "12'"),
        ("nail_top_splice", "16d common"),
        ("nail_top_to_top", "16d common"),
        ("nail_bottom", "16d common"),
    ],
);
const WALL: Entry<'static> = ("wall", "wall", &[("name", "Wall D")]);
const LENGTH: &[(&str, &str)] = &[("of", "@wall"), ("what", "length"), ("raw", "240")];
const STRAP: Entry<'static> = ("hardware", "tie", &[("type", "strap")]);
const SPLICE: Entry<'static> = ("hardware", "splicer", &[("type", "splice_plate")]);

fn plate(fields: &[(&str, &str)]) -> Job {
    let mut all = vec![("wall", "@wall"), ("nominal", "2x4")];
    all.extend_from_slice(fields);
    job(&[
        JOB,
        WALL,
        ("reading", "l1", LENGTH),
        ("reading", "l2", LENGTH),
        STRAP,
        SPLICE,
        ("plate", "plate", &all),
    ])
}

fn of(job: &Job) -> Takeoff {
    let got = takeoff(job, "plate");
    assert_eq!(got, takeoff(&reversed(job), "plate"));
    got
}

#[test]
fn a_joint_24_or_more_from_the_others_is_lapped_and_the_rest_is_nailed_by_spacing() {
    let job = plate(&[
        ("plate", "top_upper"),
        ("from", "40"),
        ("to", "184"),
        ("other_joints", "96"),
        ("other_joints", "16"),
    ]);
    let got = of(&job);
    assert_eq!(cuts(&got), [("plate", 1, "144".to_owned())]);
    // 40 is 24 from 16, 184 is 88 from 96: 2 × 2 × 8; q = 144 − 48 = 96: up(6) + 1 − 2
    assert_eq!(counts(&got), [("nail.splice", 32), ("nail.plate", 5)]);
    assert_eq!(missing(&got), []);
    assert_eq!(got.findings, []);
    let piece = need(&got, "plate");
    assert_eq!(
        (&piece.title[..], piece.mark),
        ("Upper top plate, 2×4", Some("PL"))
    );
    assert_eq!(piece.held, None);
    assert_eq!(need(&got, "nail.plate").readings, [id("l2")]);
    let sums = &need(&got, "nail.splice").sums;
    assert_eq!(sums[0].note, "24 from the other plate’s nearest joint");
    assert_eq!(sums[2].note, "2 joints × 2 sides × 8");
}

#[test]
fn a_joint_that_is_nearer_takes_a_splice_plate_and_nothing_off() {
    let job = plate(&[
        ("plate", "top_lower"),
        ("from", "0"),
        ("to", "240"),
        ("other_joints", "120 1/64"),
        ("splice_plate", "@splicer"),
    ]);
    let got = of(&job);
    let pieces = [
        ("plate", 1, "144".to_owned()),
        ("plate.rest", 1, "96".to_owned()),
    ];
    assert_eq!(cuts(&got), pieces);
    // the joint at 144 is 23 63/64 from the other; q = 240: up(15) + 1 − 1
    let want = [
        ("splice_plate", 1),
        ("nail.splice_plate", 12),
        ("nail.plate", 15),
    ];
    assert_eq!(counts(&got), want);
    assert_eq!(
        need(&got, "splice_plate").class,
        Class::Hardware { row: id("splicer") }
    );
    assert_eq!(
        need(&got, "nail.splice_plate").class,
        Class::Fastener(FastenerClass::new("8d common", ""))
    );
}

#[test]
fn a_near_joint_without_a_splice_plate_chosen_waits_for_it() {
    let job = plate(&[
        ("plate", "top_upper"),
        ("from", "0"),
        ("to", "240"),
        ("other_joints", "150"),
    ]);
    let got = of(&job);
    assert_eq!(
        missing(&got),
        [("splice plate for a near joint", "Splice plates")]
    );
    assert_eq!(
        counts(&got),
        [("nail.splice_plate", 12), ("nail.plate", 15)]
    );
}

#[test]
fn nails_by_spacing_never_fall_below_none() {
    // 30 long, two joints: q = 30 − 48, so 0; 0 + 1 − 2, so none
    let job = plate(&[
        ("plate", "top_upper"),
        ("from", "100"),
        ("to", "130"),
        ("other_joints", "10"),
    ]);
    assert_eq!(counts(&of(&job)), [("nail.splice", 32)]);
}

#[test]
fn without_joints_of_the_other_plate_all_are_lapped_and_that_is_said() {
    let got = of(&plate(&[
        ("plate", "top_upper"),
        ("from", "0"),
        ("to", "100"),
    ]));
    // one joint, at 100; q = 76: up(4.75) + 1 − 1
    assert_eq!(counts(&got), [("nail.splice", 16), ("nail.plate", 5)]);
    assert_eq!(got.findings.len(), 1);
    assert_eq!(got.findings[0].verdict, Verdict::Said);
    assert!(
        got.findings[0]
            .text
            .starts_with("No joint of the other plate")
    );
}

#[test]
fn a_single_plate_has_a_splice_plate_at_every_joint_and_no_plate_to_nail_to() {
    let job = plate(&[
        ("plate", "top_single"),
        ("from", "40"),
        ("to", "184"),
        ("splice_plate", "@splicer"),
        ("splice_nail", "8d box"),
    ]);
    let got = of(&job);
    assert_eq!(
        counts(&got),
        [("splice_plate", 2), ("nail.splice_plate", 24)]
    );
    assert_eq!(
        need(&got, "nail.splice_plate").class,
        Class::Fastener(FastenerClass::new("8d box", ""))
    );
    assert_eq!(got.findings, []);
}

#[test]
fn a_bottom_plate_is_nailed_by_spacing_alone_and_is_treated_on_concrete() {
    let fields = [("plate", "bottom"), ("from", "20"), ("to", "120")];
    let on = |ground| plate(&[&fields[..], &[("stands_on", ground)]].concat());
    for (ground, treatment) in [("wood", Treatment::None), ("concrete", Treatment::Treated)] {
        let got = of(&on(ground));
        // up(100 ÷ 16) + 1
        assert_eq!(counts(&got), [("nail.bottom", 8)]);
        let Class::Stick(class) = &need(&got, "plate").class else {
            panic!("no stick");
        };
        assert_eq!(class.treatment, treatment);
        assert_eq!(got.findings.len(), usize::from(ground == "concrete"));
    }
    let got = of(&plate(&fields));
    let wait = ("what it stands on, wood or concrete", "Bottom plate, 2×4");
    assert_eq!(missing(&got), [wait]);
    assert_eq!(cuts(&got), []);
    assert_eq!(counts(&got), [("nail.bottom", 8)]);
}

#[test]
fn a_plate_cut_more_than_half_through_takes_a_strap_with_eight_nails_on_each_side() {
    let fields = [
        ("plate", "top_upper"),
        ("from", "0"),
        ("to", "240"),
        ("other_joints", "60"),
        ("cuts", "2"),
    ];
    let got = of(&plate(&[&fields[..], &[("strap", "@tie")]].concat()));
    assert_eq!(counts(&got)[..2], [("strap", 2), ("nail.strap", 32)]);
    assert_eq!(
        need(&got, "nail.strap").class,
        Class::Fastener(FastenerClass::new("10d common", ""))
    );
    let got = of(&plate(&fields));
    let text = "the strap over a cut of more than half the plate’s width";
    assert_eq!(missing(&got), [(text, "Upper top plate, 2×4")]);
    assert_eq!(counts(&got)[0], ("nail.strap", 32));
}

#[test]
fn what_is_not_recorded_is_said_and_the_rest_counts() {
    let fields: &[(&str, &str)] = &[
        ("wall", "@wall"),
        ("plate", "top_upper"),
        ("from", "0"),
        ("to", "40"),
        ("nominal", "2x4"),
    ];
    let lumber = (
        "job",
        "job",
        &[("species", "Hem-Fir"), ("grade", "No.2")][..],
    );
    let got = of(&job(&[lumber, WALL, ("plate", "plate", fields)]));
    assert_eq!(cuts(&got), [("plate", 1, "40".to_owned())]);
    let want = [
        (
            "nail for top plate splice, each side of the joint",
            "Nails, top plate splice",
        ),
        ("nail for upper top plate to lower", "Nails, plate to plate"),
    ];
    assert_eq!(missing(&got), want);
    let said: Vec<&str> = got.findings.iter().map(|f| &f.text[..]).collect();
    assert!(said[0].starts_with("How long 2×4 Hem-Fir No.2 is sold"));
    assert_eq!(
        said[1],
        "The length of Wall D isn’t read: an end joint at 40 is counted."
    );
    let fields = [
        &fields[..3],
        &[("to", "20"), ("from", "20"), ("nominal", "2x4")],
    ]
    .concat();
    let fields: Vec<_> = fields.into_iter().filter(|f| *f != ("from", "0")).collect();
    let got = of(&job(&[lumber, WALL, ("plate", "plate", &fields)]));
    assert_eq!(missing(&got)[0].0, "an end past its start (20 to 20 in)");
    assert_eq!(got.needs, []);
}

proptest! {
    #[test]
    fn pieces_add_up_to_the_plate_and_none_is_longer_than_the_longest(
        from in 0_i64..5_000, length in 1_i64..40_000, most in 1_i64..20_000,
    ) {
        let plate = Plate {
            from: Length::from_64ths(from),
            to: Length::from_64ths(from + length),
            most: Some(Length::from_64ths(most)),
        };
        let (whole, rest) = plate.pieces();
        prop_assert_eq!(Length::from_64ths(most) * whole + rest, plate.length());
        prop_assert!(rest > inches("0") && rest <= Length::from_64ths(most));
        prop_assert_eq!(i64::try_from(plate.internal_joints().len()).unwrap(), whole);
        prop_assert!(plate.internal_joints().iter().all(|at| *at > plate.from && *at < plate.to));
    }
}
