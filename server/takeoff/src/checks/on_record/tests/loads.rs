//! What comes down where, and that nothing of it is lost on the way: figures worked by hand.

use super::super::CheckKind;
use super::pieces::{FLOOR, FLOOR_READ, LOW, LOW_READ, SHORE, with};
use super::{change, house, of_kind, the};
use crate::checks::Verdict;
use crate::checks::load_path::members;
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::member::{Member, On};
use crate::needs::testing::Entry;
use crate::record::Job;
use crate::tables::Confidence;
use crate::units::{Length, Plf};

/// Hundredths of a pound a foot of a kind of load along a member.
fn along(member: &Member, kind: LoadKind) -> i64 {
    let all = member.line_loads.iter().filter(|load| load.kind == kind);
    all.map(|load| load.load.map_or(0, Plf::as_hundredths))
        .sum()
}

fn shored(
    fields: &[(&'static str, &'static str)],
    read: &[(&'static str, &'static str, &str)],
    besides: &[Entry],
) -> Job {
    let on_floor = [("stands_on", "floor"), ("floor_joists", "@floor")];
    let shore = with(SHORE, &[&on_floor[..], fields].concat());
    let mut all: Vec<Entry> = besides.to_vec();
    all.extend([LOW, FLOOR, ("shore", "shore", &shore)]);
    let mut readings = FLOOR_READ.to_vec();
    readings.extend(read);
    house(&[], &[], &readings, &all)
}

#[test]
fn a_girder_below_is_screened_with_both_lines_of_the_shore_that_stands_on_it() {
    // Each side: plaster 8 psf + joists 1.77 + attic 20 = 29.77 psf. Joists of 8 ft and 7 ft, the shore 2 1/2 ft off.
    // First side: before the cut as three spans of 5 1/2, 5 and 4 1/2 ft: M1 = −2.978 w, M2 = −2.060 w,
    // R = (2.75 + 0.5415 + 2.5 + 0.1836) w = 5.975 w, more than 8²/(2 × 5 1/2) = 5.818 w. Other side: 7²/(2 × 4 1/2) =
    // 5.444 w. Together 11.419 ft × 29.77 = 339.9 lb/ft.
    let over = [("over", "@low girder"), ("over_away", "2")];
    let job = shored(&over, &LOW_READ, &[]);
    let low =
        members::under_shore(&job, change(&job, "shore"), change(&job, "low girder")).unwrap();
    let all = along(&low, LoadKind::Dead) + along(&low, LoadKind::Live);
    assert!((33_980..=34_010).contains(&all), "{all}");
    // (28.33 + 0.26) lb/in × 174.3² ÷ 8 = 108,500 lb-in ÷ 16.41 in³ = 6,610 psi of 900 × 1.2 = 1,080: 6.1.
    let check = the(&job, "shore", CheckKind::ShoreFooting);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    let bending = check.parts.iter().find(|part| part.title == "bending");
    let ratio: f64 = bending.unwrap().ratio.parse().unwrap();
    assert!((6.0..6.25).contains(&ratio), "{ratio}");
    assert!(!check.sums.is_empty() && !check.figures.is_empty() && !check.readings.is_empty());
    // The same of 6 3/4 × 9 5/8 over 80 in: 28.8 × 81² ÷ 8 = 23,700 ÷ 104.2 = 227 psi.
    let mut strong = LOW_READ;
    strong[0].2 = "6 3/4";
    strong[1].2 = "9 5/8";
    strong[6].2 = "80";
    let job = shored(&over, &strong, &[]);
    let check = the(&job, "shore", CheckKind::ShoreFooting);
    assert_ne!(check.verdict, Verdict::Stop, "{}", check.sentence);
    // Without a grade it is at most to be looked at, and a size that is not read makes it "can't tell yet".
    let job = shored(&over, &strong[1..], &[]);
    let check = the(&job, "shore", CheckKind::ShoreFooting);
    assert_eq!(check.verdict, Verdict::CantTellYet);
    assert!(
        check
            .measure
            .iter()
            .any(|one| one.contains("thickness of low girder")),
        "{:?}",
        check.measure
    );
}

#[test]
fn on_planks_each_of_three_joists_takes_a_third_of_the_line_all_along() {
    // Own: boards 5 + joists 1.91 + living 40 = 46.9 psf × 16/12 = 62.6 lb/ft. The worse side's line, 5.975 × 29.77 = 177.9,
    // a third 59.3. 121.9 ÷ 12 × (144 + 0.7)² ÷ 8 = 26,590 lb-in ÷ 13.14 in³ = 2,023 psi of 900 × 1.2 × 1.15 = 1,242:
    // 1.63.
    let along = [("planked", "yes")];
    let job = shored(&along, &[], &[]);
    let check = the(&job, "shore", CheckKind::ShoreFooting);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    let bending = check.parts.iter().find(|part| part.title == "bending");
    let ratio: f64 = bending.unwrap().ratio.parse().unwrap();
    assert!((1.60..1.66).contains(&ratio), "{ratio}");
    assert!(!check.sums.is_empty() && !check.figures.is_empty() && !check.readings.is_empty());
}

#[test]
fn the_worst_joist_of_a_run_counts_under_a_shore() {
    // 2×12 joists carry it; number 3, 5 in deep as found, doesn't.
    let planked = [("planked", "yes")];
    let deep = [("@floor", "depth", "11 1/4")];
    let low: Entry = (
        "reading",
        "low one",
        &[
            ("of", "@floor"),
            ("what", "depth"),
            ("number", "3"),
            ("raw", "5"),
        ],
    );
    let of = |besides: &[Entry]| {
        let on_floor = [("stands_on", "floor"), ("floor_joists", "@floor")];
        let shore = with(SHORE, &[&on_floor[..], &planked].concat());
        let mut all = besides.to_vec();
        all.extend([FLOOR, ("shore", "shore", &shore)]);
        let mut read: Vec<_> = FLOOR_READ.to_vec();
        read[1] = deep[0];
        the(
            &house(&[], &[], &read, &all),
            "shore",
            CheckKind::ShoreFooting,
        )
    };
    assert_eq!(of(&[]).verdict, Verdict::Pass, "{}", of(&[]).sentence);
    assert_eq!(of(&[low]).verdict, Verdict::Stop);
}

#[test]
fn across_the_joists_a_shore_needs_the_support_that_its_distance_is_from() {
    let across = with(FLOOR, &[("direction", "away")]);
    let across: Entry = ("run", "floor", &across);
    let shore: Entry = (
        "shore",
        "shore",
        &[
            ("wall", "@middle"),
            ("stands_on", "floor"),
            ("floor_joists", "@floor"),
            ("over_away", "2"),
        ],
    );
    let job = house(&[], &[], &FLOOR_READ, &[across, shore]);
    let check = the(&job, "shore", CheckKind::ShoreFooting);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    assert!(
        check
            .measure
            .iter()
            .any(|one| one.contains("which girder or wall floor bears on")),
        "{:?}",
        check.measure
    );
}

/// A wall of 8 ft upon the middle wall, with 14 ft joists of the attic on it.
const UPPER: Entry<'static> = (
    "wall",
    "upper",
    &[("room_a", "@attic"), ("stands_on", "@middle")],
);
const UPPER_JOISTS: Entry<'static> = (
    "run",
    "upper joists",
    &[
        ("piece", "ceiling_joist"),
        ("room", "@kitchen"),
        ("carries", "@attic"),
        ("spacing", "16"),
        ("count", "9"),
        ("over_wall", "ends"),
        ("start_at", "@upper"),
        ("end_on", "masonry"),
    ],
);
const UPPER_READ: [(&str, &str, &str); 4] = [
    ("@upper", "stud_length", "96"),
    ("@upper joists", "thickness", "1 1/2"),
    ("@upper joists", "depth", "5 1/2"),
    ("@upper joists", "span", "168"),
];

#[test]
fn a_wall_on_the_wall_that_comes_out_comes_down_on_the_beam_in_its_line() {
    let bare = house(&[], &[], &[], &[]);
    let before = members::beam(&bare, change(&bare, "beam"));
    let job = house(&[], &[], &UPPER_READ, &[UPPER, UPPER_JOISTS]);
    let after = members::beam(&job, change(&job, "beam"));
    // Live: 20 psf × 14 ÷ 2 ft = 140 lb/ft more.
    let live = along(&after, LoadKind::Live) - along(&before, LoadKind::Live);
    assert_eq!(live, 14_000);
    // Dead: the wall 6 psf × 8 ft = 48; plaster 8 psf × 7 ft = 56; joists 1 1/2 × 5 1/2 of 36.7 lb/cu ft: 2.11 lb/ft each
    // 16 in = 1.58 psf × 7 = 11.1: 115.1 lb/ft more.
    let dead = along(&after, LoadKind::Dead) - along(&before, LoadKind::Dead);
    assert!((11_500..=11_520).contains(&dead), "{dead}");
    // And the chain says so: nobody has recorded it on the beam.
    let check = the(&job, "take out", CheckKind::LoadPath);
    assert_eq!(check.verdict, Verdict::Look, "{}", check.sentence);
    assert!(check.sentence.contains("upper"), "{}", check.sentence);
    let check = the(&job, "beam", CheckKind::LoadPath);
    assert!(check.sentence.contains("upper"), "{}", check.sentence);
}

#[test]
fn a_wall_on_a_wall_that_comes_out_without_a_beam_in_its_line_is_a_gap() {
    let job = house(&[("beam", "wall", "")], &[], &UPPER_READ, &[UPPER]);
    let check = the(&job, "take out", CheckKind::LoadPath);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    assert!(
        check
            .sentence
            .contains("upper stands on middle, which comes out, and no change catches it"),
        "{}",
        check.sentence
    );
}

#[test]
fn a_shore_takes_the_wall_upstairs_by_the_lever_of_the_cut_joists() {
    // 48 lb/ft at the cut end of joists of 8 ft, the shore 2 1/2 ft off: × 8/5.5 = 69.8 lb/ft.
    let shore: Entry = ("shore", "shore", &[("wall", "@middle")]);
    let job = house(&[], &[], &UPPER_READ[..1], &[UPPER, shore]);
    let sides = members::shore_sides(&job, change(&job, "shore"));
    let first = sides.iter().find(|side| side.side == "a").unwrap();
    assert_eq!(first.above.len(), 1);
    let load = first.above[0].load.unwrap().as_hundredths();
    assert!((6_981..=6_983).contains(&load), "{load}");
}

#[test]
fn a_wall_on_the_joists_is_never_left_out() {
    // A plastered wall of 92 in: 20 × 92 ÷ 12 = 153 lb/ft along one joist of 5 3/4 in over 96 in: 153 ÷ 12 × 97² ÷ 8 =
    // 15,000 lb-in ÷ 9.64 in³ = 1,560 psi by itself, of 900 × 1.3 × 1.15 = 1,346. Across it would pass.
    let wall: Entry = (
        "wall",
        "partition",
        &[("room_a", "@attic"), ("stands_on", "@ceiling a")],
    );
    let plaster: Entry = (
        "layer",
        "its plaster",
        &[
            ("of", "@partition"),
            ("on", "side_a"),
            ("material", "plaster on wood lath"),
            ("thickness", "7/8"),
            ("psf", "8"),
        ],
    );
    let high = [("@partition", "stud_length", "92")];
    let job = house(&[], &[], &high, &[wall, plaster]);
    let of_a = |job: &Job, kind| {
        let all = of_kind(job, "hang", kind);
        let mut all = all.into_iter();
        all.find(|one| one.about.contains("ceiling a")).unwrap()
    };
    let bare = house(&[], &[], &[], &[]);
    let before = of_a(&bare, CheckKind::JoistScreen);
    assert_ne!(before.verdict, Verdict::Stop, "{}", before.sentence);
    assert_ne!(before.verdict, Verdict::CantTellYet);
    let after = of_a(&job, CheckKind::JoistScreen);
    assert_eq!(after.verdict, Verdict::CantTellYet, "{}", after.sentence);
    assert!(after.sentence.contains("partition"), "{}", after.sentence);
    // How much of it comes down on the beam hangs on where it stands, and both say what to enter.
    let beam = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(beam.verdict, Verdict::CantTellYet, "{}", beam.sentence);
    let asks = "partition: whether it runs across ceiling a or along one of them";
    for check in [&after, &beam] {
        let all = &check.measure;
        assert!(all.iter().any(|one| one.contains(asks)), "{all:?}");
    }
}

#[test]
fn a_wall_across_joists_loads_each_at_its_place_and_both_of_their_supports() {
    // 6 psf × 92 in = 46 lb/ft, 2 ft from the start of joists of 8 ft at 16 in: 61.3 lb on each, and on the beam at their
    // start 46 × 6/8 = 34.5 lb/ft.
    let of = |how: &[(&'static str, &'static str)]| {
        let mut wall = vec![("room_a", "@attic"), ("stands_on", "@ceiling a")];
        wall.extend(how);
        let high = [("@partition", "stud_length", "92")];
        house(&[], &[], &high, &[("wall", "partition", &wall)])
    };
    let job = of(&[("stands_how", "across"), ("stands_at", "24")]);
    let on_beam = |job: &Job| along(&members::beam(job, change(job, "beam")), LoadKind::Dead);
    let bare = house(&[], &[], &[], &[]);
    assert_eq!(on_beam(&job) - on_beam(&bare), 3_450);
    let of_a = |job: &Job| {
        let all = of_kind(job, "hang", CheckKind::JoistScreen);
        let mut all = all.into_iter();
        all.find(|one| one.about.contains("ceiling a")).unwrap()
    };
    let check = of_a(&job);
    assert_ne!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    let point = check
        .sums
        .iter()
        .find(|sum| sum.label.contains("partition"));
    let point = point.unwrap();
    assert_eq!(point.value, "61.34 lb");
    assert!(point.note.contains("24 in from the support"), "{point:?}");
    let beam = the(&job, "beam", CheckKind::BeamScreen);
    assert_ne!(beam.verdict, Verdict::CantTellYet, "{}", beam.sentence);
    // Along one of them: all of it on that one; which one isn't known, so neither is what comes down on the beam.
    let job = of(&[("stands_how", "along")]);
    let sums = of_a(&job).sums;
    assert!(
        sums.iter()
            .any(|sum| sum.label.contains("partition") && sum.value == "46 lb/ft"),
        "{sums:?}"
    );
    let beam = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(beam.verdict, Verdict::CantTellYet, "{}", beam.sentence);
    assert!(
        beam.sentence.contains("an engineer’s word on it"),
        "{}",
        beam.sentence
    );
    // Its place not read: it can't be told what comes down.
    let job = of(&[("stands_how", "across")]);
    let beam = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(beam.verdict, Verdict::CantTellYet, "{}", beam.sentence);
    assert!(
        beam.measure
            .iter()
            .any(|one| one.contains("from the joists’ start to its middle, partition")),
        "{:?}",
        beam.measure
    );
}

#[test]
fn a_shore_takes_a_wall_that_stands_across_its_joists_and_asks_for_the_walls_thickness() {
    // 46 lb/ft, 2 ft from the cut end of joists of 8 ft, the shore 2 1/2 ft off: 46 × 6/5.5 = 50.18 lb/ft.
    let across = [
        ("room_a", "@attic"),
        ("stands_on", "@ceiling a"),
        ("stands_how", "across"),
        ("stands_at", "24"),
    ];
    let high = [("@partition", "stud_length", "92")];
    let of = |how: usize, but: &[(&str, &str)]| {
        let wall: Entry = ("wall", "partition", &across[..how]);
        let shore = with(SHORE, &[("stands_on", "ground"), ("ground", "slab")]);
        house(&[], but, &high, &[wall, ("shore", "shore", &shore)])
    };
    let job = of(4, &[]);
    let sides = members::shore_sides(&job, change(&job, "shore"));
    let first = sides.iter().find(|side| side.side == "a").unwrap();
    let wall = first
        .joists
        .iter()
        .find(|load| load.what.contains("partition"));
    let load = wall.unwrap().load.unwrap().as_hundredths();
    assert!((5_018..=5_019).contains(&load), "{load}");
    let screens = |job: &Job| of_kind(job, "shore", CheckKind::ShoreScreen);
    let asks = |job: &Job, what: &str| {
        screens(job)
            .iter()
            .filter(|one| one.verdict == Verdict::CantTellYet)
            .any(|one| one.measure.iter().any(|one| one.contains(what)))
    };
    // Not said how it stands, or the wall's thickness not read: it can't be told.
    assert!(asks(
        &of(2, &[]),
        "partition: whether it runs across ceiling a"
    ));
    let job = of(4, &[("@middle", "thickness")]);
    assert!(asks(&job, "thickness of middle"), "{:#?}", screens(&job));
}

#[test]
fn the_shore_on_the_storey_below_takes_the_floor_between_too() {
    // From above 5.975 ft × 29.77 psf = 177.9 lb/ft. The floor's joists of 12 ft cross it 2 ft from the girder: (2 + 10)/2 +
    // (2³ + 10³)/(8 × 2 × 10) = 12.3 ft × (boards 5 + joists 1.91 + living 40) = 577: 755 lb/ft, × 16/12 = 1,006 lb a stud.
    let across = with(FLOOR, &[("direction", "away"), ("start_at", "@low girder")]);
    let of = |joists: &'static str, below: &[(&'static str, &'static str)]| {
        let on_floor = [
            ("stands_on", "floor"),
            ("floor_joists", joists),
            ("over", "@low girder"),
            ("over_away", "24"),
        ];
        let shore = with(SHORE, &[&on_floor[..], below].concat());
        let mut read = FLOOR_READ.to_vec();
        read.extend(LOW_READ);
        read.push(("@middle", "ceiling_height", "96"));
        read.push(("@middle", "length", "160"));
        read.push(("@under", "ceiling_height", "84"));
        let all = [LOW, ("run", "floor", &across), ("shore", "shore", &shore)];
        let job = house(&[], &[], &read, &all);
        of_kind(&job, "shore", CheckKind::ShoreScreen)
    };
    assert_eq!(of("@floor", &[]).len(), 2);
    let all = of("@floor", &[("below", "@under")]);
    assert_eq!(all.len(), 4);
    let low = all
        .iter()
        .find(|one| one.about.contains("kitchen") && one.about.ends_with("below"));
    let low = low.unwrap();
    let buckling = low.parts.iter().find(|part| part.title == "buckling");
    let buckling = buckling.unwrap_or_else(|| panic!("{low:#?}"));
    let load = &buckling.sums[0].value;
    let load: f64 = load.trim_end_matches(" lb").parse().unwrap();
    assert!((1_000.0..1_025.0).contains(&load), "{load}");
    // Its joists not recorded: it can't be told.
    let all = of("", &[("below", "@under")]);
    let low = all.iter().find(|one| one.about.ends_with("below")).unwrap();
    assert_eq!(low.verdict, Verdict::CantTellYet, "{}", low.sentence);
}

#[test]
fn a_shore_on_soil_says_what_to_enter_of_its_planks() {
    let shore = with(SHORE, &[("stands_on", "ground"), ("ground", "soil")]);
    let job = house(&[], &[], &[], &[("shore", "shore", &shore)]);
    let check = the(&job, "shore", CheckKind::ShoreFooting);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    assert_eq!(
        check.measure,
        ["the planks under shore: how many a side, of which size"]
    );
}

#[test]
fn a_single_joist_is_asked_for_its_spacing_and_carries_by_it() {
    // 20 psf of attic × 16 in = 26.67 lb/ft, over 8 ft: half of it at its start, 106.7 lb of live load.
    let read = [
        ("@single", "thickness", "1 3/4"),
        ("@single", "depth", "5 3/4"),
        ("@single", "place", "60"),
        ("@single", "span", "96"),
        ("@single", "bearing_end", "3 1/2"),
    ];
    let job = house(&[], &[], &read, &[SINGLE, HANG_SINGLE]);
    let check = the(&job, "hang single", CheckKind::JoistScreen);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    let asks = "spacing on centre, single";
    assert!(
        check.measure.iter().any(|one| one.contains(asks)),
        "{:?}",
        check.measure
    );
    let apart = with(SINGLE, &[("spacing", "16")]);
    let single: Entry = ("member", "single", &apart);
    let job = house(&[], &[], &read, &[single, HANG_SINGLE]);
    let check = the(&job, "hang single", CheckKind::JoistScreen);
    assert_ne!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    let beam = members::beam(&job, change(&job, "beam"));
    let live: i64 = beam
        .point_loads
        .iter()
        .filter(|load| load.kind == LoadKind::Live && load.what.contains("single"))
        .map(|load| load.load.unwrap().as_hundredths())
        .sum();
    assert!((10_600..=10_900).contains(&live), "{live}");
}

/// A single joist that ends on the middle wall.
const SINGLE: Entry<'static> = (
    "member",
    "single",
    &[
        ("piece", "ceiling_joist"),
        ("room", "@kitchen"),
        ("measured_from", "@middle"),
        ("measured_to", "near_face"),
        ("direction", "away"),
        ("over_wall", "ends"),
        ("carries", "@attic"),
        ("start_at", "@middle"),
        ("end_on", "masonry"),
        ("looked_at", "sound"),
    ],
);
const HANG_SINGLE: Entry<'static> = (
    "hang_joists",
    "hang single",
    &[("beam", "@beam"), ("runs", "@single")],
);

#[test]
fn a_single_joist_that_hangs_is_asked_for_by_the_beam() {
    let read = [
        ("@single", "thickness", "1 3/4"),
        ("@single", "depth", "5 3/4"),
        ("@single", "place", "60"),
    ];
    let job = house(&[], &[], &read, &[SINGLE, HANG_SINGLE]);
    let beam = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(beam.verdict, Verdict::CantTellYet, "{}", beam.sentence);
    assert!(
        beam.measure
            .iter()
            .any(|one| one.contains("single, which bears on it: span of single")),
        "{:?}",
        beam.measure
    );
    // Without its place it is still there, in every check, and the load path isn't whole.
    let job = house(&[], &[], &read[..2], &[SINGLE, HANG_SINGLE]);
    for (word, kind) in [
        ("hang single", CheckKind::JoistScreen),
        ("hang single", CheckKind::HangerScreen),
        ("take out", CheckKind::LoadPath),
    ] {
        let check = the(&job, word, kind);
        assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
        assert!(
            check
                .sentence
                .contains("the place and thickness of single, where it meets beam"),
            "{}",
            check.sentence
        );
    }
    let fits = of_kind(&job, "hang single", CheckKind::HangerFit);
    assert!(fits.iter().all(|one| one.verdict == Verdict::CantTellYet));
}

#[test]
fn a_girder_whose_end_is_on_a_pad_is_counted_there() {
    // Neither its sizes nor what it carries are recorded: what its end brings can't be told.
    let ends: Entry = (
        "member",
        "other girder",
        &[
            ("piece", "girder"),
            ("room", "@under"),
            ("start_at", "@pad"),
            ("end_on", "masonry"),
        ],
    );
    let job = house(&[], &[], &[], &[ends]);
    let check = the(&job, "low post", CheckKind::PadScreen);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    assert!(
        check
            .measure
            .iter()
            .any(|one| one.contains("other girder, which bears on it")),
        "{:?}",
        check.measure
    );
}

#[test]
fn a_girders_end_brings_half_its_load_to_the_pad() {
    // 2×8 joists of 12 ft on it, living 40 psf × 6 ft = 240 lb/ft live. Girder of 80 in clear on 4 in of masonry and pad:
    // live reaction 240 × (80 + about 1) ÷ 24 = 800 to 825 lb.
    let girder = with(LOW, &[("start_at", "@pad"), ("top_held", "")]);
    let girder: Entry = ("member", "low girder", &girder);
    let mut read = FLOOR_READ.to_vec();
    read.extend(LOW_READ);
    read.retain(|(of, what, _)| (*of, *what) != ("@low girder", "span"));
    read.push(("@low girder", "span", "80"));
    let on_it = with(FLOOR, &[("start_at", "@low girder")]);
    let job = house(&[], &[], &read, &[girder, ("run", "floor", &on_it)]);
    let pad = members::pad(&job, change(&job, "pad"));
    let live: i64 = pad
        .loads
        .iter()
        .filter(|load| load.kind == LoadKind::Live && load.what.contains("low girder"))
        .map(|load| load.load.unwrap().as_hundredths())
        .sum();
    assert!((80_000..=82_500).contains(&live), "{live}");
}

#[test]
fn a_span_that_was_read_once_caps_every_screen_that_its_load_comes_down_on() {
    let once: Entry = (
        "reading",
        "once",
        &[("of", "@ceiling a"), ("what", "span"), ("raw", "96")],
    );
    let job = house(&[], &[("@ceiling a", "span")], &[], &[once]);
    for (word, kind) in [
        ("beam", CheckKind::BeamScreen),
        ("post 1", CheckKind::PostScreen),
        ("post 1", CheckKind::MemberScreen),
        ("low post", CheckKind::PadScreen),
    ] {
        let check = the(&job, word, kind);
        assert_eq!(check.verdict, Verdict::Look, "{}", check.sentence);
        assert!(
            check
                .sentence
                .contains("span of ceiling a isn’t agreed by two readings"),
            "{}",
            check.sentence
        );
        assert!(check.readings.contains(&crate::needs::testing::id("once")));
    }
}

#[test]
fn a_grade_that_is_not_known_is_said_of_what_stops_too() {
    let otherwise = [("beam", "nominal", "2x6"), ("job", "grade", "")];
    let job = house(&otherwise, &[], &[], &[]);
    let check = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    assert!(
        check
            .sentence
            .contains("its grade is not known, and the weakest listed was taken"),
        "{}",
        check.sentence
    );
}

/// Joists that run through over the middle wall, under which a beam is set.
fn under_slung(over_wall: &str, span: &str, besides: &[Entry]) -> Job {
    let otherwise = [
        ("beam", "set", "below"),
        ("hang", "runs", "@ceiling b"),
        ("ceiling a", "over_wall", over_wall),
    ];
    let more = [("@ceiling a", "span", span)];
    house(&otherwise, &[("@ceiling a", "span")], &more, besides)
}

fn live_of_a(job: &Job) -> Option<i64> {
    let beam = members::beam(job, change(job, "beam"));
    let all = beam.line_loads.iter().filter(|load| {
        load.kind == LoadKind::Live
            && load
                .basis
                .lengths
                .iter()
                .any(|one| one.what.contains("span of ceiling a"))
    });
    all.map(|load| load.load.map(Plf::as_hundredths)).sum()
}

#[test]
fn joists_that_run_over_a_beam_bring_by_both_their_spans() {
    let past = [
        ("of", "@ceiling a"),
        ("what", "span"),
        ("side", "b"),
        ("raw", "168"),
    ];
    let past: [Entry; 2] = [("reading", "past 1", &past), ("reading", "past 2", &past)];
    // Spans of 10 and 14 ft: (10 + 14)/2 + (10³ + 14³)/(8 × 10 × 14) = 12 + 3.343 = 15.343 ft × 20 psf = 306.9 lb/ft,
    // against 12 1/2 ft for twice the one of 10.
    let job = under_slung("continuous", "120", &past);
    assert_eq!(live_of_a(&job), Some(30_686));
    // Lapped they end there: 20 psf × 5 ft.
    assert_eq!(live_of_a(&under_slung("lapped", "120", &[])), Some(10_000));
    // The other span not read, or not said whether they run through: it can't be told, and never passes.
    for (over_wall, asks) in [
        ("continuous", "span of ceiling a on the other side"),
        ("", "whether ceiling a ends there, laps or runs through"),
    ] {
        let job = under_slung(over_wall, "120", &[]);
        let check = the(&job, "beam", CheckKind::BeamScreen);
        assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
        assert!(
            check.measure.iter().any(|one| one.contains(asks)),
            "{:?}",
            check.measure
        );
    }
}

#[test]
fn what_joists_bring_at_least_may_be_too_much_already() {
    // 18 ft of them run over a 2×4 of one ply: at least 1.028 × 18 × 20 psf = 370 lb/ft live, over 96 in. Whatever their other
    // span, 370 ÷ 12 × 97² ÷ 8 = 36,300 lb-in ÷ 3.06 in³ is far too much.
    let otherwise = [
        ("beam", "set", "below"),
        ("beam", "nominal", "2x4"),
        ("beam", "plies", "1"),
        ("hang", "runs", "@ceiling b"),
        ("ceiling a", "over_wall", "continuous"),
    ];
    let more = [("@ceiling a", "span", "216")];
    let job = house(&otherwise, &[("@ceiling a", "span")], &more, &[]);
    let check = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(check.verdict, Verdict::Stop, "{}", check.sentence);
    assert!(
        check
            .sentence
            .contains("by what is known of its loads alone"),
        "{}",
        check.sentence
    );
}

#[test]
fn every_figure_of_a_load_comes_down_with_it_and_what_was_typed_says_so() {
    let job = house(&[], &[], &[], &[]);
    for (word, kind) in [
        ("beam", CheckKind::BeamScreen),
        ("post 1", CheckKind::PostScreen),
        ("post 1", CheckKind::MemberScreen),
        ("low post", CheckKind::PadScreen),
    ] {
        let check = the(&job, word, kind);
        for (what, confidence) in [
            ("attic with limited storage", Confidence::Verified),
            (
                "weight of plaster on wood lath, ceiling of kitchen",
                Confidence::Entered,
            ),
            ("weight of wood, Douglas Fir-Larch", Confidence::Verified),
        ] {
            let figure = check.figures.iter().find(|one| one.what == what);
            let figure = figure.unwrap_or_else(|| panic!("no {what} in {check:#?}"));
            assert_eq!(figure.confidence, confidence);
        }
        let has_cd = check.figures.iter().any(|one| one.what == "CD, live load");
        assert!(has_cd || kind == CheckKind::PadScreen, "{word} {kind:?}");
    }
    let shore = with(SHORE, &[("stands_on", "ground"), ("ground", "slab")]);
    let shore: Entry = ("shore", "shore", &shore);
    let between = [
        ("@middle", "ceiling_height", "96"),
        ("@middle", "length", "160"),
    ];
    let job = house(&[], &[], &between, &[shore]);
    let sides = of_kind(&job, "shore", CheckKind::ShoreScreen);
    assert_eq!(sides.len(), 2);
    for check in sides {
        assert_ne!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
        for what in [
            "attic with limited storage",
            "c of a sawn column",
            "FcE",
            "the most le/d while building",
            "CD, live load",
        ] {
            assert!(
                check.figures.iter().any(|one| one.what == what),
                "{what}: {check:#?}"
            );
        }
        assert!(
            check
                .says
                .iter()
                .filter(|says| says.starts_with("With the "))
                .count()
                == 2,
            "{:?}",
            check.says
        );
    }
    let hangers = of_kind(&job, "hang", CheckKind::HangerScreen);
    let hanger = &hangers[0];
    let load = hanger
        .figures
        .iter()
        .find(|one| one.what == "hanger’s load");
    assert_eq!(load.unwrap().confidence, Confidence::Entered);
    assert_eq!(hanger.says.len(), 2, "{:?}", hanger.says);
}

#[test]
fn a_foot_bears_on_every_piece_between_the_weakest_of_them_counting() {
    // Through the floor on the girder alone: one piece. On the floor's top: its boards too, of a species nobody knows.
    let job = house(&[], &[], &[], &[]);
    let pieces = |job: &Job| match &members::post(job, change(job, "post 1")).ends[1].on {
        On::Wood(pieces) => pieces.len(),
        _ => 0,
    };
    assert_eq!(pieces(&job), 1);
    let job = house(&[("post 1", "lands", "floor")], &[], &[], &[]);
    assert_eq!(pieces(&job), 2);
    // 4×6 on its foot: 3 1/2 × 5 1/2 in at 405 psi, the least listed, and not the girder's 625: 7,796 lb.
    let check = the(&job, "post 1", CheckKind::PostScreen);
    assert_eq!(check.verdict, Verdict::Look, "{}", check.sentence);
    assert!(
        check
            .sentence
            .contains("the species of what its foot bears on is not known"),
        "{}",
        check.sentence
    );
    let foot = check
        .parts
        .iter()
        .find(|part| part.title == "bearing, foot");
    let allowed = foot.unwrap().sums.iter().find(|sum| sum.label == "Allowed");
    assert_eq!(allowed.unwrap().value, "7796 lb");
}

#[test]
fn the_screen_of_a_beam_bears_on_what_the_record_says_and_asks_where_it_says_nothing() {
    let on = |otherwise: &[(&str, &str, &str)]| {
        let job = house(otherwise, &[], &[], &[]);
        let seats = members::beam(&job, change(&job, "beam")).bearings;
        [seats[0].on.clone(), seats[1].on.clone()]
    };
    // Posts are set under both ends.
    assert!(on(&[]).iter().all(|on| matches!(on, On::Wood(_))));
    let masonry = on(&[("beam", "start_on", "masonry")]);
    assert!(matches!(masonry, [On::Masonry, On::Wood(_)]), "{masonry:?}");
    assert_eq!(on(&[("beam", "end_on", "not_known")])[1], On::NotKnown);
    // Without posts nothing is known of what it bears on, though its bearings are given.
    let bare = [
        ("post 1", "under", "@girder"),
        ("post 2", "under", "@girder"),
        ("beam", "bearing_start", "3 1/2"),
        ("beam", "bearing_end", "3 1/2"),
    ];
    assert_eq!(on(&bare), [On::NotKnown, On::NotKnown]);
    let job = house(&bare, &[], &[], &[]);
    let check = the(&job, "beam", CheckKind::BeamScreen);
    assert_eq!(check.verdict, Verdict::CantTellYet, "{}", check.sentence);
    for end in ["what its start bears on", "what its end bears on"] {
        assert!(check.measure.iter().any(|one| one == end), "{end}");
    }
}

#[test]
fn a_seat_of_unknown_wood_takes_the_weakest_listed_and_says_so() {
    // The joists' far ends bear on wood that nobody named: 405 psi, the least listed Fc⊥ (NDS Supplement), not the joists'
    // own 625.
    let job = house(&[], &[], &[], &[]);
    let says =
        "the species of what its end bears on is not known, and the weakest listed was taken";
    for check in of_kind(&job, "hang", CheckKind::JoistScreen) {
        assert_eq!(check.verdict, Verdict::Look, "{}", check.sentence);
        assert!(check.sentence.contains(says), "{}", check.sentence);
        assert!(
            check.figures.iter().any(|one| one.value == "405 psi"),
            "{:?}",
            check.figures
        );
    }
    // A wall whose plate somebody judged.
    let plate: Entry = ("wall", "far", &[("species", "Douglas Fir-Larch")]);
    let otherwise = [
        ("ceiling a", "end_at", "@far"),
        ("ceiling b", "end_at", "@far"),
    ];
    let job = house(&otherwise, &[], &[], &[plate]);
    for check in of_kind(&job, "hang", CheckKind::JoistScreen) {
        assert!(!check.sentence.contains(says), "{}", check.sentence);
    }
}

#[test]
fn a_pad_says_how_far_it_sticks_out() {
    // The pad from 3 to 27 along, 0 to 24 across; the post from 12 to 17 1/2, 9 1/4 to 14 3/4: 9, 9 1/2, 9 1/4, 9 1/4.
    let job = house(&[], &[], &[], &[]);
    let pad = members::pad(&job, change(&job, "pad"));
    assert_eq!(
        pad.projection,
        Some([Length::inches(9), Length::inches_64(9, 32)])
    );
    // At the pad's edge: 1 in is left on one side, and 17 1/2 on the other is more than its 10 in of thickness.
    let job = house(&[("low post", "across", "1")], &[], &[], &[]);
    let check = the(&job, "low post", CheckKind::PadScreen);
    assert_eq!(check.verdict, Verdict::Look, "{}", check.sentence);
    assert!(
        check
            .sentence
            .contains("it sticks out 1 in, less than 2 in")
    );
    assert!(
        check
            .sentence
            .contains("it sticks out 17 1/2 in, more than its thickness")
    );
}
