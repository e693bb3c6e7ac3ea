//! A shore that is shored again below: judged by what the lowest stands on, the joists between in bearing.

use super::super::{Check, CheckKind};
use super::pieces::{FLOOR, FLOOR_READ, LOW, LOW_READ, SHORE, with};
use super::{change, house, the};
use crate::checks::Verdict;
use crate::checks::hold_points::{About, Ask, Event, Fix, Stands, gates};
use crate::needs::testing::{Entry, id};

/// The floor's joists run across the shore's line, 24 in off the girder; more than their depth of 7 1/4.
fn footing(more: &[(&'static str, &'static str)]) -> Check {
    let floor = with(FLOOR, &[("direction", "away"), ("start_at", "@low girder")]);
    let on_floor = [
        ("stands_on", "floor"),
        ("floor_joists", "@floor"),
        ("over", "@low girder"),
        ("over_away", "24"),
    ];
    let shore = with(SHORE, &[&on_floor[..], more].concat());
    let mut read = FLOOR_READ.to_vec();
    read.extend(LOW_READ);
    let all = [
        LOW,
        ("run", "floor", &floor[..]),
        ("shore", "shore", &shore),
    ];
    the(
        &house(&[], &[], &read, &all),
        "shore",
        CheckKind::ShoreFooting,
    )
}

const BELOW: (&str, &str) = ("below", "@under");
const SOIL: [(&str, &str); 3] = [
    ("ground", "soil"),
    ("planks_a_side", "2"),
    ("plank", "2x12"),
];

fn ratio(check: &Check, title: &str) -> f64 {
    let part = check.parts.iter().find(|part| part.title == title);
    part.unwrap_or_else(|| panic!("no {title} in {check:#?}"))
        .ratio
        .parse()
        .unwrap()
}

#[test]
fn with_a_shore_under_it_the_joists_between_do_not_bend_by_it() {
    // Alone on the joists: 177.9 lb/ft × 16/12 = 237 lb, 24 in off the end of 144: 237 × 24 × 120/144 = 4,740 lb-in, and
    // their own 62.6 lb/ft.
    let alone = footing(&[]);
    assert!(alone.parts.iter().any(|part| part.title == "bending"));
    // Shored again, on a slab: 755 lb/ft × 16/12 = 1,006 lb on 1 1/2 × 3 1/2 in at 625 psi = 3,281 lb: 0.31.
    let slab = footing(&[BELOW, ("ground", "slab")]);
    assert_eq!(slab.verdict, Verdict::Pass, "{}", slab.sentence);
    assert!(
        slab.sentence.contains("shore, below stands on a slab"),
        "{}",
        slab.sentence
    );
    let crushed = ratio(&slab, "bearing, joist between plates");
    assert!((0.30..=0.32).contains(&crushed), "{crushed}");
    assert!(slab.parts.iter().all(|part| part.title != "bending"));
}

#[test]
fn the_lowest_shore_on_soil_is_screened_as_a_pad_with_the_floor_between() {
    let lower = footing(&[&[BELOW][..], &SOIL].concat());
    // From above 177.9, with the floor between 755 lb/ft, on two planks of 11 1/4 in = 1.875 ft: 403 psf and more with the
    // planks' own; sand takes 2,000 (IRC Table R401.4.1): 0.20.
    assert_eq!(lower.verdict, Verdict::Pass, "{}", lower.sentence);
    let on_soil = ratio(&lower, "pressure on the soil");
    assert!((0.19..0.22).contains(&on_soil), "{on_soil}");
    // Its planks, or what it stands on, not recorded: it can't be told, and is no way down to the ground.
    for (more, asks) in [
        (&[BELOW, ("ground", "soil")][..], "the planks under shore"),
        (&[BELOW], "what shore, below stands on: a slab or soil"),
    ] {
        let check = footing(more);
        assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
        assert!(
            check.measure.iter().any(|one| one.contains(asks)),
            "{:?}",
            check.measure
        );
    }
}

#[test]
fn a_floor_above_the_storey_that_is_named_still_bends() {
    // The attic isn't below the first floor: nothing stands under the joists.
    let check = footing(&[("below", "@attic"), ("ground", "slab")]);
    assert!(
        check.parts.iter().any(|part| part.title == "bending"),
        "{check:#?}"
    );
}

#[test]
fn a_shore_whose_studs_do_not_pass_is_not_put_up_without_the_engineers_word() {
    // 120 in high: 120 − 1 1/2 − 3 = 115 1/2 in ÷ 1 1/2 = 77, more than 75. 96 in high: 61.
    let carries = |high: &str, word: Option<&str>| {
        let shore = with(SHORE, &[("stands_on", "ground"), ("ground", "slab")]);
        let read = [
            ("@middle", "ceiling_height", high),
            ("@middle", "length", "160"),
        ];
        let says = ["of", "about", "says", "who"];
        let said = ["@shore", "engineer", word.unwrap_or(""), "Ann"];
        let said: Vec<(&str, &str)> = says.into_iter().zip(said).collect();
        let mut all: Vec<Entry> = vec![("shore", "shore", &shore)];
        if word.is_some() {
            all.push(("word", "word", &said));
        }
        let job = house(&[], &[], &read, &all);
        let all = gates(&job, change(&job, "shore"));
        let start = all.into_iter().find(|gate| gate.event == Event::Start);
        let all = start.unwrap().conditions;
        all.into_iter()
            .find(|one| one.ask == Ask::CarriesShore)
            .unwrap()
    };
    let stands = |high, word| carries(high, word).state;
    assert_eq!(stands("96", None), Stands::Yes);
    let stop = carries("120", None);
    assert_eq!(stop.state, Stands::No);
    assert!(
        stop.why.contains("does not pass this screen"),
        "{}",
        stop.why
    );
    assert_eq!(stop.fix, Some(Fix::Paper(About::Engineer, id("shore"))));
    assert_eq!(stands("120", Some("not_required")), Stands::No);
    assert_eq!(stands("120", Some("in_hand")), Stands::Yes);
}
