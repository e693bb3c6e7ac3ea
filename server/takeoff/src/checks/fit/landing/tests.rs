//! Posts over joists, girders and packing.

use proptest::prelude::*;

use super::*;
use crate::units::{Units, parse_length};

fn length(text: &str) -> Length {
    parse_length(text, Units::Us).unwrap()
}

fn axis(near: Length, size: Length, solids: &[(Length, Length)]) -> Axis {
    Axis {
        way: Way::Across,
        near: Measurement::agreed("near face of the post", near),
        size: Measurement::agreed("size of the post", size),
        solids: solids
            .iter()
            .enumerate()
            .map(|(n, (near, size))| Solid {
                name: format!("joist {}", n + 1),
                near: Measurement::agreed("near face of the joist", *near),
                size: Measurement::agreed("thickness of the joist", *size),
            })
            .collect(),
    }
}

fn on(near: &str, size: &str, solids: &[(&str, &str)]) -> Landing {
    let solids: Vec<_> = solids.iter().map(|(a, b)| (length(a), length(b))).collect();
    Landing {
        post: "Post 2".to_owned(),
        axes: vec![axis(length(near), length(size), &solids)],
        below: Below::Solid("girder 1".to_owned()),
    }
}

#[test]
fn a_post_that_is_off_its_joist_by_more_than_half_stops_with_its_packing() {
    // A 3 1/2 post from 20, a joist 1 3/4 thick from 21 3/4 … 23 1/2: half of the post hangs over its near side.
    let found = landing(&on("20", "3 1/2", &[("21 3/4", "1 3/4")]));
    assert_eq!(found.verdict, Verdict::Stop);
    assert_eq!(
        found.sentence,
        "Post 2 lands on joist 1; 1 3/4 in has no bearing across the member: pack it with 1 3/4 in: 1 whole 2×, \
         1 of 1/4 in sheet, on end, grain upright, down to bearing."
    );
    assert!(found.sums[0].note.starts_with("50 %"));
}

#[test]
fn packing_that_is_set_joins_the_joist() {
    let packed = on("20", "3 1/2", &[("21 3/4", "1 3/4"), ("20 1/16", "1 5/8")]);
    assert_eq!(landing(&packed).verdict, Verdict::Pass);
}

#[test]
fn a_sixteenth_without_bearing_is_no_gap_and_a_64th_more_is() {
    let verdict = |size| landing(&on("20", size, &[("20", "3 1/2")])).verdict;
    assert_eq!(verdict("3 9/16"), Verdict::Pass);
    assert_eq!(verdict("3 37/64"), Verdict::Stop);
}

#[test]
fn off_centre_by_more_than_a_sixth_of_a_girder_is_looked_at_across_alone() {
    // A girder 5 1/2 wide from 10: its sixth is 11/12 in.
    let at = |near| on(near, "1 1/2", &[("10", "5 1/2")]);
    assert_eq!(landing(&at("12")).verdict, Verdict::Pass);
    assert_eq!(landing(&at("12 58/64")).verdict, Verdict::Pass);
    assert_eq!(landing(&at("12 59/64")).verdict, Verdict::Look);
    let mut along = at("13");
    along.axes[0].way = Way::Along;
    assert_eq!(landing(&along).verdict, Verdict::Pass);
}

#[test]
fn a_gap_between_two_joists_is_packed_to_go_in() {
    let found = bears(&axis(
        length("20"),
        length("5 1/2"),
        &[
            (length("19"), length("1 3/4")),
            (length("23 15/16"), length("1 3/4")),
        ],
    ))
    .unwrap();
    let hole = &found.gaps[0];
    assert_eq!((hole.gap, hole.place), (length("3 3/16"), Gap::BetweenTwo));
    assert_eq!(hole.packing.unwrap().thickness, length("3 1/8"));
    assert_eq!(found.percent, 42); // 2 5/16 of 5 1/2
}

#[test]
fn nothing_below_stops_unless_the_member_passes() {
    let mut post = on("20", "1 1/2", &[("20", "1 1/2")]);
    let mut verdict = |below| {
        post.below = below;
        landing(&post).verdict
    };
    assert_eq!(verdict(Below::Nothing(Some(Verdict::Pass))), Verdict::Pass);
    assert_eq!(verdict(Below::Nothing(Some(Verdict::Look))), Verdict::Stop);
    assert_eq!(verdict(Below::Nothing(None)), Verdict::CantTellYet);
    assert_eq!(verdict(Below::NotKnown), Verdict::CantTellYet);
    assert_eq!(landing(&on("20", "1 1/2", &[])).verdict, Verdict::Stop);
}

#[test]
fn a_place_that_is_not_recorded_is_asked_for() {
    let mut post = on("20", "1 1/2", &[("20", "1 1/2")]);
    post.axes[0].near = Measurement::missing("near face of post 2");
    let found = landing(&post);
    assert_eq!(found.verdict, Verdict::CantTellYet);
    assert_eq!(found.measure, ["near face of post 2"]);
}

proptest! {
    #[test]
    fn moving_a_post_towards_the_middle_of_its_bearing_never_lowers_the_verdict(
        size in 32_i64..500, wide in 32_i64..900, off in -800_i64..800, step in 0_i64..800,
        beside in 1_i64..200, other in 8_i64..300, has_other in any::<bool>(),
    ) {
        // One bearing from 0, perhaps another beside it; the post's centre `off` from the first's middle, then nearer by
        // `step`, not past the middle. Sizes of unlike parity have no common middle to the 64th.
        prop_assume!((wide - size).rem_euclid(2) == 0);
        let nearer = off.signum() * (off.abs() - step).max(0);
        let of = |off: i64| {
            let near = Length::from_64ths((wide - size + 2 * off).div_euclid(2));
            let mut solids = vec![(Length::ZERO, Length::from_64ths(wide))];
            if has_other {
                solids.push((Length::from_64ths(wide + 4 + beside), Length::from_64ths(other)));
            }
            bears(&axis(near, Length::from_64ths(size), &solids)).unwrap()
        };
        // Its bearing is the first one: a post on the other alone is not moved towards its own.
        let (before, after) = (of(off), of(nearer));
        let on_the_other = has_other && off > 0 && before.nearest.from > Length::ZERO;
        prop_assume!(!on_the_other);
        prop_assert!(after.verdict() <= before.verdict());
        prop_assert!(has_other || after.overlap >= before.overlap);
    }

    #[test]
    fn set_packing_closes_its_gap(size in 64_i64..400, wide in 64_i64..400, off in 1_i64..300) {
        // The joist begins `off` inside the post and reaches past its far edge.
        prop_assume!(off < size && off + wide >= size && off > 4);
        let post = |solids: &[(Length, Length)]| bears(&axis(Length::ZERO, Length::from_64ths(size), solids)).unwrap();
        let joist = (Length::from_64ths(off), Length::from_64ths(wide));
        let bare = post(&[joist]);
        prop_assert_eq!(bare.gaps.len(), 1);
        let packing = bare.gaps[0].packing.unwrap();
        let set = (joist.0 - packing.thickness, packing.thickness);
        prop_assert!(post(&[joist, set]).gaps.is_empty());
    }

    #[test]
    fn the_order_of_solids_does_not_matter(solids in prop::collection::vec((0_i64..600, 1_i64..200), 0..5), near in 0_i64..600) {
        let mut solids: Vec<_> = solids.into_iter().map(|(a, b)| (Length::from_64ths(a), Length::from_64ths(b))).collect();
        let of = |solids: &[(Length, Length)]| {
            let found = bears(&axis(Length::from_64ths(near), Length::inches(4), solids)).unwrap();
            (found.overlap, found.verdict(), found.gaps)
        };
        let one = of(&solids);
        solids.reverse();
        prop_assert_eq!(one, of(&solids));
    }
}
