//! What the record feeds into each check, against figures worked by hand.

use super::super::{CheckKind, of_job};
use super::pieces::{FLOOR, with};
use super::{change, house, of_kind, the};
use crate::checks::load_path::members::{self, reaction};
use crate::checks::screening::combination::LoadKind;
use crate::checks::{CAUTION, Verdict};
use crate::needs::testing::{Entry, cuts, takeoff};
use crate::units::Plf;

#[test]
fn half_of_each_side_comes_down_on_the_beam_by_kind_of_load() {
    let job = house(&[], &[], &[], &[]);
    let beam = members::beam(&job, change(&job, "beam"));
    let of = |kind: LoadKind| -> i64 {
        let all = beam.line_loads.iter().filter(|load| load.kind == kind);
        all.map(|load| load.load.map_or(0, Plf::as_hundredths))
            .sum()
    };
    // Live: an attic with storage, 20 psf × (8 + 7) ÷ 2 ft = 150 lb/ft (IRC R301.5).
    assert_eq!(of(LoadKind::Live), 15_000);
    // Dead: plaster 8 psf × 7 1/2 ft = 60, and the joists: 1 3/4 × 5 3/4 = 10.06 in² × 33.6 lb/cu ft ÷ 144 = 2.35 lb/ft
    // each 16 in = 1.77 psf × 7 1/2 ft = 13.3: 73.3 lb/ft.
    assert!(
        (7_320..=7_335).contains(&of(LoadKind::Dead)),
        "{}",
        of(LoadKind::Dead)
    );
    // A post takes half: the clear 96 1/2 in and half the bearing that is needed, under 3 1/2 in each: 602 to 650 lb live.
    let on_post = reaction(&job, change(&job, "post 1"));
    let live = on_post
        .iter()
        .find(|(kind, _)| *kind == LoadKind::Live)
        .unwrap();
    let live = live.1.as_hundredths();
    assert!((60_300..=62_600).contains(&live), "{live}");
}

#[test]
fn a_whole_record_passes_where_the_sums_do_and_bears_the_caution_line() {
    let job = house(&[], &[], &[], &[]);
    for (word, kind) in [
        ("beam", CheckKind::BeamScreen),
        ("beam", CheckKind::LoadPath),
        ("post 1", CheckKind::PostScreen),
        ("post 1", CheckKind::Landing),
        ("post 1", CheckKind::MemberScreen),
        ("low post", CheckKind::PadScreen),
    ] {
        let check = the(&job, word, kind);
        assert_eq!(check.verdict, Verdict::Pass, "{check:#?}");
        assert_eq!(check.caution(), Some(CAUTION));
        assert!(!check.readings.is_empty() || kind == CheckKind::LoadPath);
    }
    for check in of_job(&job) {
        assert!(!check.sentence.contains(" safe"), "{}", check.sentence);
        assert!(!check.sentence.contains("approve"), "{}", check.sentence);
        says_no_verdict(&check);
    }
}

/// The verdict is data: whoever shows it puts its word before the sentence.
fn says_no_verdict(check: &super::Check) {
    for word in ["Pass", "Look", "Can’t tell", "can’t tell", "Stop"] {
        assert!(!check.sentence.starts_with(word), "{}", check.sentence);
    }
}

#[test]
fn every_figure_of_a_screen_says_where_it_is_from_and_how_far_it_was_seen() {
    let job = house(&[], &[], &[], &[]);
    let check = the(&job, "beam", CheckKind::BeamScreen);
    let attic = check.figures.iter().find(|one| one.what.contains("attic"));
    assert_eq!(attic.unwrap().source, "IRC 2018 Table R301.5");
    assert!(check.figures.iter().any(|one| one.what.starts_with("Fb")));
    assert!(check.figures.iter().all(|one| !one.source.is_empty()));
    assert_eq!(
        check.says.len(),
        3,
        "two inputs and the least depth: {:?}",
        check.says
    );
}

#[test]
fn a_grade_that_nobody_judged_is_the_weakest_and_says_so() {
    let job = house(&[("ceiling a", "judged_by", "")], &[], &[], &[]);
    let all = of_kind(&job, "hang", CheckKind::JoistScreen);
    let check = all
        .iter()
        .find(|one| one.about.starts_with("ceiling a"))
        .unwrap();
    assert!(
        check
            .sentence
            .contains("its grade is not known, and the weakest listed was taken"),
        "{}",
        check.sentence
    );
    let weakest = check.figures.iter().find(|one| one.what.starts_with("Fb"));
    assert_eq!(weakest.unwrap().what, "Fb, Douglas Fir-Larch No.3");
}

#[test]
fn a_post_that_misses_more_than_half_of_its_girder_stops_and_asks_for_packing() {
    // Girder from 3 1/8; the post from 0 to 5 1/2: 2 3/8 in of it bears, 43 %; 3 1/8 in is packed with two 2× and 1/8.
    let off = [("@girder", "place", "3 1/8")];
    let otherwise = [("post 1", "across", "0")];
    let job = house(&otherwise, &[("@girder", "place")], &off, &[]);
    let check = the(&job, "post 1", CheckKind::Landing);
    assert_eq!(check.verdict, Verdict::Stop);
    assert_eq!(check.sums[0].note, "43 % of the post");
    assert!(
        check
            .sentence
            .contains("3 1/8 in has no bearing across the member"),
        "{}",
        check.sentence
    );
    // Two 2×4 on end, as deep as the girder, and a piece of 1/8 sheet: the 2×4 is not narrower than the post's 3 1/2.
    let got = takeoff(&job, "post 1");
    let packing: Vec<_> = cuts(&got)
        .into_iter()
        .filter(|(slot, ..)| slot.starts_with("packing"))
        .collect();
    assert_eq!(packing, [("packing.1.whole", 2, "9 5/8".to_owned())]);
    assert!(
        got.needs
            .iter()
            .any(|need| need.slot == "packing.1.sheet.1_8")
    );
    // A packing that names the landing takes the place of all that.
    let pack: Entry = (
        "pack",
        "pack",
        &[
            ("pack", "packing"),
            ("nominal", "2x6"),
            ("count", "2"),
            ("landing", "@post 1"),
        ],
    );
    let job = house(&otherwise, &[("@girder", "place")], &off, &[pack]);
    let got = takeoff(&job, "post 1");
    assert!(
        !got.needs
            .iter()
            .any(|need| need.slot.starts_with("packing"))
    );
    // Planned, it is not set: still a stop.
    assert_eq!(
        the(&job, "post 1", CheckKind::Landing).verdict,
        Verdict::Stop
    );
}

#[test]
fn a_strut_on_a_wall_that_comes_out_is_a_gap_and_on_the_beam_it_is_counted() {
    let struts = |on| [("count", "2"), ("nominal", "2x4"), ("lands_on", on)];
    let on_wall = struts("@middle");
    let job = house(&[], &[], &[], &[("struts", "struts", &on_wall)]);
    for word in ["beam", "take out", "struts"] {
        let check = the(&job, word, CheckKind::LoadPath);
        assert_eq!(check.verdict, Verdict::Stop, "{word}: {}", check.sentence);
        assert!(
            check
                .sentence
                .contains("struts land on middle, which comes out")
        );
    }
    let on_beam = struts("@beam");
    let job = house(&[], &[], &[], &[("struts", "struts", &on_beam)]);
    assert_eq!(
        the(&job, "struts", CheckKind::LoadPath).verdict,
        Verdict::Pass
    );
    // What they bring isn't known yet: the beam's screen says so, and no other way round.
    let check = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    assert!(check.measure.iter().any(|one| one.contains("struts")));
}

#[test]
fn joists_on_a_wall_that_comes_out_are_a_gap_until_a_change_hangs_them() {
    let job = house(&[("hang", "runs", "@ceiling a")], &[], &[], &[]);
    let check = the(&job, "take out", CheckKind::LoadPath);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    assert!(check.sentence.contains("ceiling b bears on middle"));
}

#[test]
fn a_post_on_a_floor_with_nothing_under_it_is_a_gap() {
    let otherwise = [
        ("post 1", "lands_on", ""),
        ("post 1", "lands", "floor"),
        ("post 1", "floor", "@floor"),
    ];
    let floor = with(FLOOR, &[("direction", "away"), ("start_at", "@girder")]);
    let floor: Entry = ("run", "floor", &floor);
    let on = |place| {
        let job = house(
            &otherwise,
            &[("@girder", "place")],
            &[("@girder", "place", place)],
            &[floor],
        );
        the(&job, "beam", CheckKind::LoadPath)
    };
    // The girder stands 20 in from the wall's face: the post lands between.
    let check = on("20");
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    assert!(check.sentence.contains("nothing stands straight below"));
    assert_ne!(on("0").verdict, Verdict::Stop);
}

#[test]
fn a_hanger_chosen_by_hand_that_is_too_narrow_stops() {
    let low: Entry = (
        "hardware",
        "narrow",
        &[
            ("type", "hanger"),
            ("seat", "1 9/16"),
            ("height_from", "4 1/2"),
            ("height_to", "5"),
        ],
    );
    let otherwise = [("hang", "hanger", "@narrow"), ("hanger", "seat", "1 1/2")];
    let job = house(&otherwise, &[], &[], &[low]);
    let all = of_kind(&job, "hang", CheckKind::HangerFit);
    assert!(
        all.iter().all(|one| one.verdict == Verdict::Stop),
        "{all:#?}"
    );
    assert!(
        all[0]
            .sentence
            .contains("too narrow, the joist is 3/16 in thicker")
    );
    let job = house(&[], &[], &[], &[]);
    let all = of_kind(&job, "hang", CheckKind::HangerFit);
    assert!(
        all.iter().all(|one| one.verdict == Verdict::Pass),
        "{all:#?}"
    );
}

#[test]
fn old_wood_is_screened_only_once_it_was_looked_at() {
    for (field, text, says) in [
        ("looked_at", "", "its condition looked at and recorded"),
        ("looked_at", "noted", "an engineer’s word on its condition"),
    ] {
        let job = house(&[("girder", field, text)], &[], &[], &[]);
        let check = the(&job, "post 1", CheckKind::MemberScreen);
        assert_eq!(check.verdict, Verdict::CantTellYet);
        assert!(
            check.measure.iter().any(|one| one.contains(says)),
            "{check:#?}"
        );
    }
}
