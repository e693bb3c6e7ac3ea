//! What bears on walls by itself, and by which end joists hang: nothing of it is lost.

use super::super::{Check, CheckKind};
use super::pieces::{FLOOR, FLOOR_READ, LOW, LOW_READ, SHORE, with};
use super::{change, house, of_kind};
use crate::checks::Verdict;
use crate::checks::load_path::members;
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::member::{LineLoad, On};
use crate::needs::testing::Entry;
use crate::units::Plf;

/// A beam as found that bears on this wall with its start.
fn found_beam(on: &'static str) -> Vec<(&'static str, &'static str)> {
    vec![
        ("piece", "beam"),
        ("room", "@attic"),
        ("start_at", on),
        ("end_on", "masonry"),
    ]
}

const UPPER: Entry<'static> = (
    "wall",
    "upper",
    &[("room_a", "@attic"), ("stands_on", "@low girder")],
);

fn asks(loads: &[LineLoad], what: &str) -> bool {
    loads
        .iter()
        .any(|load| load.load.is_none() && load.what.contains(what))
}

#[test]
fn a_beam_or_a_post_on_a_wall_is_asked_for_by_what_carries_the_wall() {
    let of = |besides: &[Entry]| {
        let mut read = LOW_READ.to_vec();
        read.push(("@upper", "stud_length", "96"));
        let mut all = vec![LOW, UPPER];
        all.extend(besides);
        let job = house(&[], &[], &read, &all);
        members::beam(&job, change(&job, "low girder")).line_loads
    };
    // The wall alone: 6 psf × 8 ft = 48 lb/ft, known.
    let bare = of(&[]);
    assert!(bare.iter().all(|load| load.load.is_some()), "{bare:#?}");
    assert_eq!(bare[0].load, Some(Plf::whole(48)));
    let beam = found_beam("@upper");
    let with_beam = of(&[("member", "old beam", &beam)]);
    assert!(
        asks(&with_beam, "old beam, which bears on upper"),
        "{with_beam:#?}"
    );
    // A plate of the wall brings nothing of its own.
    let plate = [("piece", "plate"), ("start_at", "@upper")];
    assert_eq!(of(&[("member", "plate", &plate)]), bare);
    let post = [
        ("under", "@girder"),
        ("nominal", "4x6"),
        ("lands_on", "@upper"),
    ];
    let with_post = of(&[("set_post", "high post", &post)]);
    assert!(
        asks(&with_post, "high post, which bears on upper"),
        "{with_post:#?}"
    );
}

#[test]
fn a_shore_asks_for_beams_and_posts_that_bear_on_its_wall() {
    let of = |besides: &[Entry]| {
        let shore = with(SHORE, &[("stands_on", "ground"), ("ground", "slab")]);
        let mut all: Vec<Entry> = besides.to_vec();
        all.push(("shore", "shore", &shore));
        let read = [
            ("@middle", "ceiling_height", "96"),
            ("@middle", "length", "160"),
        ];
        of_kind(
            &house(&[], &[], &read, &all),
            "shore",
            CheckKind::ShoreScreen,
        )
    };
    assert!(
        of(&[])
            .iter()
            .all(|one| one.verdict != Verdict::CantTellYet)
    );
    let beam = found_beam("@middle");
    let post = [
        ("under", "@girder"),
        ("nominal", "4x6"),
        ("lands_on", "@middle"),
        ("place", "40"),
    ];
    for besides in [
        ("member", "old beam", &beam[..]),
        ("set_post", "high post", &post[..]),
    ] {
        let sides = of(&[besides]);
        assert_eq!(sides.len(), 2);
        for side in sides {
            assert_eq!(side.verdict, Verdict::CantTellYet, "{}", side.sentence);
            let what = format!("{}, which bears on middle", besides.1);
            assert!(
                side.measure.iter().any(|one| one.contains(&what)),
                "{side:#?}"
            );
        }
    }
    // The new beam's own posts stand on what is left of it only once it is out.
    let own = [
        ("under", "@beam"),
        ("nominal", "4x6"),
        ("lands_on", "@middle"),
        ("place", "60"),
    ];
    let sides = of(&[("set_post", "own post", &own)]);
    assert!(sides.iter().all(|one| one.verdict != Verdict::CantTellYet));
}

#[test]
fn joists_that_hang_by_their_end_bring_that_ends_share_and_bear_at_their_start() {
    // 6 psf × 92 in = 46 lb/ft, 2 ft from the start of joists of 8 ft: 46 × 6/8 = 34.5 at the start, 46 × 2/8 = 11.5 at the
    // end.
    let wall: Entry = (
        "wall",
        "partition",
        &[
            ("room_a", "@attic"),
            ("stands_on", "@ceiling a"),
            ("stands_how", "across"),
            ("stands_at", "24"),
        ],
    );
    let of = |by_end: bool, besides: &[Entry]| {
        let turned = [
            ("ceiling a", "start_at", ""),
            ("ceiling a", "start_on", "masonry"),
            ("ceiling a", "end_at", "@middle"),
        ];
        let otherwise = if by_end { &turned[..] } else { &[] };
        let read = [
            ("@partition", "stud_length", "92"),
            ("@ceiling a", "bearing_start", "3"),
        ];
        house(otherwise, &[], &read, besides)
    };
    let brings = |by_end| {
        let dead = |besides: &[Entry]| -> i64 {
            let job = of(by_end, besides);
            let beam = members::beam(&job, change(&job, "beam"));
            let all = beam.line_loads.iter();
            let all = all.filter(|load| load.kind == LoadKind::Dead);
            all.map(|load| load.load.map_or(0, Plf::as_hundredths))
                .sum()
        };
        dead(&[wall]) - dead(&[])
    };
    assert_eq!(brings(false), 3_450);
    assert_eq!(brings(true), 1_150);
    let job = of(true, &[]);
    let joist = members::joist(&job, change(&job, "ceiling a"), 0, "ceiling a");
    let [start, end] = &joist.member.bearings[..] else {
        panic!("{:#?}", joist.member.bearings)
    };
    assert_eq!((&start.on, &end.on), (&On::Masonry, &On::Hanger));
    // And the hanger takes the end's share: across at 16 in, 46 × 16/12 = 61.3 lb × 2/8 = 15.3 lb, not 46.
    let hanger = |by_end| {
        let all = of_kind(&of(by_end, &[wall]), "hang", CheckKind::HangerScreen);
        let one = all.into_iter().find(|one| one.about.contains("ceiling a"));
        let ratio: f64 = one.unwrap().parts[0].ratio.parse().unwrap();
        ratio * 900.0
    };
    let less = hanger(false) - hanger(true);
    assert!((20.0..41.0).contains(&less), "{less}");
}

#[test]
fn a_shore_takes_the_reading_that_brings_the_most() {
    // 48 lb/ft at the cut, the shore 2 1/2 ft off: × 8/5.5 = 69.82; of joists of 6 ft × 6/3.5 = 82.29. The joists
    // themselves bring the most by the longer span.
    let upper: Entry = (
        "wall",
        "upper",
        &[("room_a", "@attic"), ("stands_on", "@middle")],
    );
    let shore: Entry = ("shore", "shore", &[("wall", "@middle")]);
    let shorter = [("of", "@ceiling a"), ("what", "span"), ("raw", "72")];
    let of = |besides: &[Entry]| {
        let mut all = vec![upper, shore];
        all.extend(besides);
        let read = [("@upper", "stud_length", "96")];
        let job = house(&[], &[], &read, &all);
        let sides = members::shore_sides(&job, change(&job, "shore"));
        let first = sides.iter().find(|side| side.side == "a").unwrap();
        let joists: Option<Plf> = first.joists.iter().map(|load| load.load).sum();
        (first.above[0].load.unwrap(), joists.unwrap())
    };
    let (above, joists) = of(&[]);
    assert_eq!(above, Plf::from_hundredths(6_982));
    let (more, unmoved) = of(&[("reading", "short", &shorter)]);
    assert_eq!(more, Plf::from_hundredths(8_229));
    assert_eq!(unmoved, joists);
}

#[test]
fn the_shore_below_takes_the_walls_that_stand_on_the_floor_between() {
    // Joists of 12 ft, the shore's line 2 ft from their start; 46 lb/ft across them 4 ft from it, so 8 ft from the far end
    // of the span of 10: M = 46 × 8 × (10² − 8²) ÷ (2 × 10 × 12) = 55.2; R = 46 × 8/10 + 55.2 × (1/2 + 1/10) = 69.92 lb/ft,
    // × 16/12 = 93.2 lb a stud.
    let floor = with(FLOOR, &[("direction", "away"), ("start_at", "@low girder")]);
    let of = |how: Option<&[(&'static str, &'static str)]>| {
        let shore = [
            ("stands_on", "floor"),
            ("floor_joists", "@floor"),
            ("over", "@low girder"),
            ("over_away", "24"),
            ("below", "@under"),
        ];
        let shore = with(SHORE, &shore);
        let mut wall = vec![("room_a", "@kitchen"), ("stands_on", "@floor")];
        wall.extend(how.into_iter().flatten());
        let mut all = vec![
            LOW,
            ("run", "floor", &floor[..]),
            ("shore", "shore", &shore),
        ];
        if how.is_some() {
            all.push(("wall", "closet", &wall));
        }
        let mut read = FLOOR_READ.to_vec();
        read.extend(LOW_READ);
        read.extend([
            ("@middle", "ceiling_height", "96"),
            ("@middle", "length", "160"),
            ("@under", "ceiling_height", "84"),
            ("@closet", "stud_length", "92"),
        ]);
        read.retain(|(of, ..)| how.is_some() || *of != "@closet");
        let job = house(&[], &[], &read, &all);
        let mut low = of_kind(&job, "shore", CheckKind::ShoreScreen);
        low.retain(|one| one.about.ends_with("below"));
        low.remove(0)
    };
    let stud = |check: &Check| -> f64 {
        let part = check.parts.iter().find(|part| part.title == "buckling");
        let part = part.unwrap_or_else(|| panic!("{check:#?}"));
        part.sums[0].value.trim_end_matches(" lb").parse().unwrap()
    };
    let across = [("stands_how", "across"), ("stands_at", "48")];
    let more = stud(&of(Some(&across))) - stud(&of(None));
    assert!((93.0..93.5).contains(&more), "{more}");
    // Along a joist, not said how, or where no joist is: it can't be told.
    for how in [
        &[("stands_how", "along")][..],
        &[],
        &[("stands_how", "across"), ("stands_at", "150")],
    ] {
        let check = of(Some(how));
        assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
        assert!(
            check.measure.iter().any(|one| one.contains("closet")),
            "{check:#?}"
        );
    }
}
