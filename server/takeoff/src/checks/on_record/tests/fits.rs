//! Fit checks through the record where readings differ, points lack, or what carries isn't all known.

use super::super::CheckKind;
use super::pieces::{SHORE, with};
use super::{change, house, of_kind, the};
use crate::checks::Verdict;
use crate::checks::load_path::links::{Straight, straight_below};
use crate::needs::Fill;
use crate::needs::testing::{Entry, id};
use crate::record::{Job, Spot, What};

/// A reading as a record has it.
fn read<'a>(of: &'a str, what: &'a str, raw: &'a str) -> [(&'a str, &'a str); 3] {
    [("of", of), ("what", what), ("raw", raw)]
}

#[test]
fn a_post_as_cut_goes_by_its_place_less_what_its_cap_takes_up() {
    // 96 in to the seat, 1 1/2 in of cap: 94 1/2 in.
    let cap =
        |takes_up: &'static str| -> [(&str, &str); 2] { [("type", "cap"), ("takes_up", takes_up)] };
    let of = |cap: &[(&str, &str)], as_cut: &'static str, with: &str| {
        let cap: Entry = ("hardware", "cap", cap);
        let otherwise = [
            ("post 1", "cap", "@cap"),
            ("post 1", "read_with_hardware", with),
        ];
        let job = house(&otherwise, &[], &[("@post 1", "as_cut", as_cut)], &[cap]);
        the(&job, "post 1", CheckKind::OverCut)
    };
    let long = of(&cap("1 1/2"), "95", "");
    assert_eq!(long.verdict, Verdict::Stop, "{}", long.sentence);
    assert!(long.sentence.contains("1/2 in longer than its place"));
    assert_eq!(of(&cap("1 1/2"), "94 1/2", "").verdict, Verdict::Pass);
    assert_eq!(of(&cap("1 1/2"), "94 5/8", "").verdict, Verdict::Pass);
    // Read with the cap in place, 96 in is its place: 94 1/2 in doesn't touch.
    assert_eq!(of(&cap("1 1/2"), "96", "yes").verdict, Verdict::Pass);
    let short = of(&cap("1 1/2"), "94 1/2", "yes");
    assert_eq!(short.verdict, Verdict::Look, "{}", short.sentence);
    // What the cap takes up isn't recorded.
    let unknown = of(&cap("")[..1], "94 1/2", "");
    assert_eq!(unknown.verdict, Verdict::CantTellYet);
    assert!(unknown.measure[0].contains("cap seat"), "{unknown:#?}");
}

#[test]
fn a_post_read_twice_as_cut_goes_by_the_longer_reading() {
    let (first, second) = (
        read("@post 1", "as_cut", "96 1/16"),
        read("@post 1", "as_cut", "97"),
    );
    for pair in [["cut 1", "cut 2"], ["cut 2", "cut 1"]] {
        let all = [("cut 1", &first[..]), ("cut 2", &second[..])];
        let taken: Vec<Entry> = pair
            .iter()
            .map(|word| all.iter().find(|(one, _)| one == word).unwrap())
            .map(|(word, fields)| ("reading", *word, *fields))
            .collect();
        let check = the(&house(&[], &[], &[], &taken), "post 1", CheckKind::OverCut);
        assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
        assert!(check.sentence.contains("1 in longer than its place"));
    }
}

#[test]
fn a_shoring_stud_goes_by_its_longest_reading_as_cut_and_the_least_of_its_place() {
    // 96 in of height less 1 1/2 and 3 in of plates: 91 1/2 in; driven 1/16 over it, 91 9/16 in.
    let of = |as_cut: &str, place: &str| {
        let on_slab = [
            ("fit", "driven"),
            ("stands_on", "ground"),
            ("ground", "slab"),
        ];
        let shore = with(SHORE, &on_slab);
        let taken = [
            ("@middle", "ceiling_height", "96"),
            ("@middle", "length", "160"),
            ("@shore", "as_cut", "91 9/16"),
        ];
        let on_a = |raw| {
            let mut all = read("@shore", "between_plates", raw).to_vec();
            all.push(("side", "a"));
            all
        };
        // The odd reading is the newest: what counts are the two before it, which agree.
        let cut = read("@shore", "as_cut", as_cut);
        let (usual, odd) = (on_a("91 1/2"), on_a(place));
        let besides: [Entry; 5] = [
            ("shore", "shore", &shore),
            ("reading", "cut", &cut),
            ("reading", "place 1", &usual),
            ("reading", "place 2", &usual),
            ("reading", "place 3", &odd),
        ];
        house(&[], &[], &taken, &besides)
    };
    let verdicts = |job: &Job| {
        let mut all: Vec<Verdict> = of_kind(job, "shore", CheckKind::OverCut)
            .iter()
            .map(|one| one.verdict)
            .collect();
        all.dedup();
        all
    };
    assert_eq!(verdicts(&of("91 9/16", "91 1/2")), [Verdict::Pass]);
    let long = of("91 3/4", "91 1/2");
    assert_eq!(verdicts(&long), [Verdict::Stop]);
    // Side a's place is read 1/4 in less once; side b has a place of its own.
    let odd = verdicts(&of("91 9/16", "91 1/4"));
    assert_eq!(odd, [Verdict::Stop, Verdict::Pass]);
    // And it is screened as long: 91.75 ÷ 1.5 = 61.2, against 61.0 as it is planned.
    let screens = of_kind(&long, "shore", CheckKind::ShoreScreen);
    let slender = screens[0]
        .parts
        .iter()
        .find(|one| one.title == "slenderness");
    let slender = &slender.unwrap().sums[0];
    assert!(slender.value.starts_with("61.2"), "{slender:?}");
}

#[test]
fn a_post_and_a_way_in_go_by_the_least_reading_of_their_place() {
    // Twice 96 in, then 95 3/4: what counts is 96, and 96 1/8 in is 3/8 longer than the least.
    let odd = read("@post 1", "landing_to_seat", "95 3/4");
    let of = |besides: &[Entry]| the(&house(&[], &[], &[], besides), "post 1", CheckKind::OverCut);
    assert_eq!(of(&[]).verdict, Verdict::Pass);
    let check = of(&[("reading", "odd", &odd)]);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    assert!(check.sentence.contains("3/8 in longer than its place"));
    // 96 1/2 in clear and 3 1/2 in on each post: 103 1/2 in, 11 1/4 deep: 104.1 in tilted.
    let clear = [
        ("@beam", "clear_at_floor", "105"),
        ("@beam", "clear_at_seat", "105"),
    ];
    let odd = read("@beam", "clear_at_floor", "103");
    let of = |besides: &[Entry]| the(&house(&[], &[], &clear, besides), "beam", CheckKind::WayIn);
    assert_eq!(of(&[]).verdict, Verdict::Pass, "{}", of(&[]).sentence);
    let check = of(&[("reading", "odd", &odd)]);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
}

#[test]
fn a_hanger_is_too_narrow_for_the_thickest_reading_of_its_joists() {
    // 1 13/16 in of seat; 1 3/4 in twice, and 2 in once: 3/16 in too narrow.
    let thick = read("@ceiling a", "thickness", "2");
    let job = house(&[], &[], &[], &[("reading", "thick", &thick)]);
    let all = of_kind(&job, "hang", CheckKind::HangerFit);
    let on = |run: &str| all.iter().find(|one| one.about.starts_with(run)).unwrap();
    assert_eq!(on("ceiling a").verdict, Verdict::Stop);
    let says = "too narrow, the joist is 3/16 in thicker than its seat";
    assert!(on("ceiling a").sentence.contains(says), "{all:#?}");
    assert_eq!(on("ceiling b").verdict, Verdict::Pass);
}

#[test]
fn heights_ask_for_points_one_to_three_of_each_side_that_the_shore_stands_on() {
    let points: Vec<(String, String, String)> = ["a", "b"]
        .into_iter()
        .flat_map(|side| ["zero end", "middle", "far end"].map(|place| (side, place)))
        .flat_map(|(side, place)| {
            [("@middle", "ceiling_height"), ("@shore", "under_load")]
                .map(|(of, what)| (format!("{of}|{what}"), side.to_owned(), place.to_owned()))
        })
        .collect();
    let told = |n: usize, sides: &str| {
        let shore = [("wall", "@middle"), ("sides", sides)];
        let fields: Vec<Vec<(&str, &str)>> = points[..n]
            .iter()
            .map(|(of, side, place)| {
                let (of, what) = of.split_once('|').unwrap();
                let mut all = read(of, what, "96").to_vec();
                all.extend([("side", &side[..]), ("place", &place[..])]);
                all
            })
            .collect();
        let words: Vec<String> = (0..n).map(|n| format!("height {n}")).collect();
        let mut besides: Vec<Entry> = vec![("shore", "shore", &shore)];
        besides.extend(
            words
                .iter()
                .zip(&fields)
                .map(|(word, fields)| ("reading", &word[..], &fields[..])),
        );
        let job = house(&[], &[], &[], &besides);
        the(&job, "shore", CheckKind::CeilingHeights)
    };
    let one = told(2, "both");
    assert_eq!(one.verdict, Verdict::CantTellYet, "{}", one.sentence);
    assert!(
        one.measure
            .iter()
            .any(|one| one.contains("far end, side b"))
    );
    assert_eq!(told(6, "a").verdict, Verdict::Pass);
    assert_eq!(told(6, "both").verdict, Verdict::CantTellYet);
    assert_eq!(told(11, "both").verdict, Verdict::CantTellYet);
    let all = told(12, "both");
    assert_eq!(all.verdict, Verdict::Pass, "{}", all.sentence);
}

#[test]
fn one_carrier_that_is_solid_below_does_not_clear_another() {
    // The girder has the low post straight under it; the strip beside it has nothing, and no screen of it can be told.
    let strip: Entry = (
        "member",
        "strip",
        &[
            ("piece", "beam"),
            ("measured_from", "@middle"),
            ("measured_to", "near_face"),
            ("direction", "along"),
        ],
    );
    let sizes = [
        ("@strip", "thickness", "1 1/2"),
        ("@strip", "place", "6 3/4"),
        ("@strip", "start", "0"),
        ("@strip", "length", "100"),
    ];
    let girders = ["@girder", "@strip"].map(|on| id(&on[1..]));
    let mut job = house(&[], &[], &sizes, &[strip]);
    assert_eq!(
        the(&job, "post 1", CheckKind::Landing).verdict,
        Verdict::Pass
    );
    let records = job.records().cloned().map(|mut record| {
        if record.id == id("post 1") {
            let on = girders.map(|to| crate::record::Value {
                text: to.to_string(),
                number: None,
                to: Some(to),
            });
            record.fields.insert("lands_on".to_owned(), on.to_vec());
        }
        record
    });
    job = Job::new(job.id, records.collect(), crate::buy::Ledger::default());
    let check = the(&job, "post 1", CheckKind::Landing);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    assert!(
        check
            .measure
            .iter()
            .any(|one| one.contains("the screen of what it lands on"))
    );
}

#[test]
fn a_landing_that_cannot_be_told_leads_to_the_reading_or_the_field_that_lacks() {
    let reading = |of: &str, what| Some(Fill::Reading(Spot::of(id(of), what)));
    let field = |of: &str, field| Some(Fill::Field { of: id(of), field });
    let of = |otherwise: &[(&str, &str, &str)], but: &[(&str, &str)], post: &str| {
        let check = the(&house(otherwise, but, &[], &[]), post, CheckKind::Landing);
        assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
        check.fill
    };
    for (name, what, post) in [
        ("place", What::Place, "post 1"),
        ("thickness", What::Thickness, "post 1"),
        // What is straight below hangs on where the girder lies.
        ("start", What::Start, "post 2"),
        ("length", What::Length, "post 2"),
    ] {
        let got = of(&[], &[("@girder", name)], post);
        assert_eq!(got, reading("girder", what), "{name}");
    }
    let got = of(&[], &[("@pad", "place_across")], "low post");
    assert_eq!(got, reading("pad", What::PlaceAcross));
    for (thing, name) in [("girder", "measured_to"), ("post 1", "across")] {
        assert_eq!(of(&[(thing, name, "")], &[], "post 1"), field(thing, name));
    }
}

#[test]
fn a_girders_end_in_a_hanger_is_nothing_solid_below() {
    // The girder ends at 170, 4 in of it on what bears it; post 2 stands from 166 1/2 on.
    let below = |on: &'static str| {
        let otherwise = [("post 2", "place", "166 1/2"), ("girder", "end_on", on)];
        let job = house(&otherwise, &[], &[], &[]);
        straight_below(&job, change(&job, "post 2"), change(&job, "girder"))
    };
    assert!(matches!(below("masonry"), Straight::Solid(_)));
    assert!(matches!(below("wood"), Straight::Solid(_)));
    for on in ["hanger", "not_known", ""] {
        assert_eq!(below(on), Straight::Nothing, "{on}");
    }
}

#[test]
fn a_beams_end_bears_three_inches_on_masonry_and_what_it_bears_on_is_asked() {
    let of = |start_on: &str, posts: bool| {
        let mut otherwise = vec![
            ("beam", "bearing_start", "2"),
            ("beam", "bearing_end", "3"),
            ("beam", "start_on", start_on),
            ("beam", "end_on", start_on),
        ];
        if !posts {
            otherwise.extend([
                ("post 1", "under", "@girder"),
                ("post 2", "under", "@girder"),
            ]);
        }
        let job = house(&otherwise, &[], &[], &[]);
        let all = of_kind(&job, "beam", CheckKind::BeamBearing);
        [all[0].clone(), all[1].clone()].map(|one| (one.verdict, one.measure))
    };
    let verdicts = |start_on: &str, posts| of(start_on, posts).map(|one| one.0);
    // 2 in and 3 in: on wood 1 1/2 is the least, on masonry 3 (IRC R502.6).
    assert_eq!(verdicts("wood", false), [Verdict::Pass, Verdict::Pass]);
    assert_eq!(verdicts("masonry", false), [Verdict::Stop, Verdict::Pass]);
    assert_eq!(verdicts("masonry", true), [Verdict::Stop, Verdict::Pass]);
    // Posts are set under both ends: wood, unless somebody says otherwise.
    assert_eq!(verdicts("", true), [Verdict::Pass, Verdict::Pass]);
    for start_on in ["", "not_known"] {
        let [start, end] = of(start_on, false);
        assert_eq!(
            (start.0, end.0),
            (Verdict::CantTellYet, Verdict::CantTellYet)
        );
        assert_eq!(start.1, ["what beam’s start bears on"]);
    }
}

#[test]
fn runs_that_all_hang_on_one_side_of_the_wall_hang_on_one_face() {
    let of = |room: &str| {
        let job = house(&[("ceiling b", "room", room)], &[], &[], &[]);
        the(&job, "beam", CheckKind::BeamScreen)
    };
    // Kitchen and sewing room, on either side of the wall.
    assert_eq!(of("@sewing").verdict, Verdict::Pass);
    // Both in the kitchen: the plies' fastening is the engineer's.
    let check = of("@kitchen");
    assert_eq!(check.verdict, Verdict::Look, "{}", check.sentence);
}
