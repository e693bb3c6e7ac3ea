//! What no change catches, and what stands on what comes out: the load path says it, and so does every screen on its way.

use super::super::CheckKind;
use super::{change, house, of_kind, the};
use crate::checks::Verdict;
use crate::checks::load_path::members;
use crate::checks::screening::member::On;
use crate::checks::screening::wood::Told;
use crate::needs::testing::Entry;

/// A joist that ends on the middle wall, which comes out, and that no change hangs.
const UNCAUGHT: Entry<'static> = (
    "member",
    "hatch joist",
    &[
        ("piece", "ceiling_joist"),
        ("room", "@kitchen"),
        ("carries", "@attic"),
        ("start_at", "@middle"),
        ("end_on", "masonry"),
    ],
);

#[test]
fn a_beam_does_not_pass_while_something_on_its_wall_is_caught_by_no_change() {
    let of = |besides: &[Entry]| {
        the(
            &house(&[], &[], &[], besides),
            "beam",
            CheckKind::BeamScreen,
        )
    };
    assert_eq!(of(&[]).verdict, Verdict::Pass, "{}", of(&[]).sentence);
    let check = of(&[UNCAUGHT]);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    let asks = "hatch joist, which no change catches";
    assert!(
        check.measure.iter().any(|one| one.contains(asks)),
        "{check:#?}"
    );
}

#[test]
fn struts_go_by_the_whole_path_of_what_they_land_on() {
    let struts = [("count", "2"), ("nominal", "2x4"), ("lands_on", "@beam")];
    let struts: Entry = ("struts", "struts", &struts);
    let of = |besides: &[Entry]| {
        let mut all = besides.to_vec();
        all.push(struts);
        the(&house(&[], &[], &[], &all), "struts", CheckKind::LoadPath)
    };
    let whole = of(&[]);
    assert_eq!(whole.verdict, Verdict::Pass, "{}", whole.sentence);
    for link in ["beam", "post 1", "girder", "low post", "pad"] {
        assert!(whole.sentence.contains(link), "{link}: {}", whole.sentence);
    }
    let gap = of(&[UNCAUGHT]);
    assert_eq!(gap.verdict, Verdict::Stop, "{}", gap.sentence);
    assert!(
        gap.sentence.contains("hatch joist bears on middle"),
        "{}",
        gap.sentence
    );
}

#[test]
fn a_post_on_a_wall_that_comes_out_from_under_it_is_a_gap() {
    // The wall comes out from 12 to 120.
    let at = |place: &str| {
        let upper = [
            ("under", "@beam"),
            ("nominal", "4x6"),
            ("place", place),
            ("across", "0"),
            ("lands", "floor"),
            ("lands_on", "@middle"),
        ];
        house(&[], &[], &[], &[("set_post", "third", &upper)])
    };
    let job = at("60");
    for (word, kind) in [
        ("take out", CheckKind::LoadPath),
        ("beam", CheckKind::LoadPath),
    ] {
        let check = the(&job, word, kind);
        assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
        let says = "third lands on middle, which comes out";
        assert!(check.sentence.contains(says), "{}", check.sentence);
    }
    let landing = of_kind(&job, "third", CheckKind::Landing);
    assert!(
        landing
            .iter()
            .all(|one| one.verdict >= Verdict::CantTellYet),
        "{landing:#?}"
    );
    // From 120 on the wall stays: 3 1/2 in of post from 120 stand on it, from 119 they don't.
    let stops = |place| the(&at(place), "take out", CheckKind::LoadPath).verdict == Verdict::Stop;
    assert!(!stops("120") && stops("119"));
    // Under a beam of another wall, where it stands isn't known: it counts as on what comes out.
    let other = [
        ("under", "@girder"),
        ("nominal", "4x6"),
        ("place", "120"),
        ("lands_on", "@middle"),
    ];
    let otherwise = [("girder", "measured_from", "")];
    let job = house(&otherwise, &[], &[], &[("set_post", "third", &other)]);
    let check = the(&job, "take out", CheckKind::LoadPath);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
}

#[test]
fn an_end_on_wood_with_a_bearing_of_its_own_takes_the_weakest_listed() {
    let on = |otherwise: &[(&str, &str, &str)]| {
        let job = house(otherwise, &[], &[], &[]);
        let seats = members::beam(&job, change(&job, "beam")).bearings;
        match &seats[0].on {
            On::Wood(pieces) => pieces[0].species.clone(),
            other => panic!("{other:?}"),
        }
    };
    let wood = ("beam", "start_on", "wood");
    assert!(matches!(on(&[wood]), Told::Listed(_)));
    assert!(matches!(on(&[]), Told::Listed(_)));
    let own = [wood, ("beam", "bearing_start", "3 1/2")];
    assert_eq!(on(&own), Told::NotKnown);
}
