//! Random jobs and random orders of entries.

use std::collections::BTreeMap;

use proptest::prelude::*;
use uuid::Uuid;

use super::house::House;
use crate::checks::hold_points::{
    Ask, CanSkip, Event, Fix, Move, Releasing, Stands, gates, in_the_way, stands,
};
use crate::needs::Fill;
use crate::needs::testing::{Entry, id};
use crate::record::choices::PLACES;
use crate::record::{Kind, Record, Value, What};
use crate::units::Length;

const WALLS: [&str; 2] = ["@wall.1", "@wall.2"];
const BEARING: [&str; 3] = ["yes", "no", "not_known"];
const HEIGHTS: [What; 2] = [What::CeilingHeight, What::UnderLoad];
const SERVICE: [&str; 4] = ["not_looked", "none", "live", "safe"];

/// Two walls on two storeys, joists on them, a sheet in the price book: nothing planned.
fn bare_house(pick: &mut impl FnMut(usize) -> usize) -> House {
    let mut house = House::of(&[
        ("job", "job", &[("name", "Elm")]),
        ("storey", "cellar", &[("level", "0")]),
        ("storey", "ground", &[("level", "1")]),
        ("room", "room.1", &[("storey", "@ground")]),
        ("room", "room.2", &[("storey", "@cellar")]),
    ]);
    for (at, wall) in ["wall.2", "wall.1"].into_iter().enumerate() {
        let room = ["@room.2", "@room.1"][at];
        let fields = [
            ("room_a", room),
            ("bearing", BEARING[pick(3)]),
            ("electric", SERVICE[pick(4)]),
            ("gas", SERVICE[pick(4)]),
            ("stands_on", "@wall.2"),
        ];
        // The upper wall stands on the lower one, or nobody has said.
        let n = if at == 1 && pick(2) == 1 { 5 } else { 4 };
        house.add(&("wall", wall, &fields[..n]));
        // The lead traced it and found nothing.
        if pick(2) == 1 {
            house.paper_for(id(wall), "not_bearing", "not_there");
        }
    }
    house.add(&("supplier", "yard", &[("name", "Ferry Yard")]));
    let sheet = [
        ("supplier", "@yard"),
        ("section", "panel"),
        ("panel", "plywood"),
        ("thickness", "3/4"),
        ("along", "96"),
        ("across", "48"),
    ];
    house.add(&("price", "sheet", &sheet));
    for at in 0..2 {
        let on = [WALLS[pick(2)], "@room.1"][pick(2).min(1)];
        let fields = [
            ("piece", "joist"),
            ("spacing", "16"),
            ("count", "5"),
            ("start_at", on),
            ("room", "@room.2"),
        ];
        let n = if on == "@room.1" { 3 } else { 5 };
        house.add(&("run", ["run.1", "run.2"][at], &fields[..n]));
    }
    house
}

/// A job of two walls on two storeys with a random handful of changes on them.
fn job_of(choices: &[u8]) -> House {
    let mut choices = choices.iter().copied().cycle();
    let mut pick = |n: usize| usize::from(choices.next().unwrap_or(0)).rem_euclid(n);
    let mut house = bare_house(&mut pick);
    for at in 0..(2 + pick(8)) {
        let word = format!("change {at}");
        let week = ["1", "2", "3"][pick(3)];
        let wall = WALLS[pick(2)];
        let sides = ["both", "a"][pick(2)];
        let stand = ["wall", "lands_on"][pick(2)];
        let on = ["ground", "floor", "floor"][pick(3)];
        let beam = format!("@change {}", pick(at + 1));
        let is_beam = house
            .records
            .get(&id(beam.trim_start_matches('@')))
            .is_some_and(|one| one.kind == Kind::SetBeam);
        let lands = ["floor", "through", "passes"][pick(3)];
        let run = ["@run.1", "@run.2"][pick(2)];
        let cuts = ["yes", "no"][pick(2)];
        let said = 1 - pick(2);
        let entry: Entry = match pick(11) {
            0 => (
                "shore",
                &word,
                &[
                    ("week", week),
                    ("wall", wall),
                    ("sides", sides),
                    ("stands_on", on),
                    ("below", "@room.2"),
                ],
            ),
            1 => ("take_out", &word, &[("week", week), ("wall", wall)]),
            2 => (
                "plate",
                &word,
                &[
                    ("week", week),
                    ("wall", wall),
                    ("plate", "top_upper"),
                    ("from", "0"),
                    ("to", "96"),
                    ("nominal", "2x4"),
                ],
            ),
            3 => (
                "struts",
                &word,
                &[("week", week), ("count", "2"), (stand, wall)],
            ),
            4 => (
                "set_beam",
                &word,
                &[
                    ("week", week),
                    ("wall", wall),
                    ("nominal", "2x10"),
                    ("plies", "2"),
                ],
            ),
            5 if is_beam => (
                "set_post",
                &word,
                &[
                    ("week", week),
                    ("under", &beam),
                    ("nominal", "4x4"),
                    ("lands", lands),
                ],
            ),
            6 if is_beam => (
                "hang_joists",
                &word,
                &[("week", week), ("beam", &beam), ("runs", run)],
            ),
            7 => (
                "patch_floor",
                &word,
                &[
                    ("week", week),
                    ("across", "48"),
                    ("along", "48"),
                    ("panel", "@sheet"),
                    ("run", run),
                ],
            ),
            8 => (
                "studs",
                &word,
                &[
                    ("week", week),
                    ("stud", "king"),
                    ("count", "2"),
                    ("wall", wall),
                    ("nominal", "2x4"),
                    ("cuts_old", cuts),
                ][..5 + said],
            ),
            9 => (
                "sister",
                &word,
                &[
                    ("week", week),
                    ("member", run),
                    ("nominal", "2x8"),
                    ("length", "96"),
                    ("cuts_old", cuts),
                ][..4 + said],
            ),
            _ => (
                "board",
                &word,
                &[
                    ("week", week),
                    ("surface", "ceiling"),
                    ("across", "48"),
                    ("along", "48"),
                    ("panel", "@sheet"),
                    ("run", run),
                    ("wall", wall),
                ],
            ),
        };
        house.add(&entry);
    }
    house
}

fn text(text: &str) -> Vec<Value> {
    vec![Value {
        text: text.to_owned(),
        number: None,
        to: None,
    }]
}

/// What a lead can do about something that doesn't stand, by what the page offers; a shore or a paper more, a field filled.
fn mend(house: &mut House, fix: &Fix, n: &mut u32) {
    *n += 1;
    let word = format!("mend {n}");
    match fix {
        Fix::Paper(about, of) => {
            let says = about.may_say()[0];
            house.paper_for(*of, about.name(), says);
        }
        Fix::PlanShore(wall) => {
            let wall = wall.to_string();
            house.add(&(
                "shore",
                &word,
                &[("wall", &wall), ("sides", "both"), ("stands_on", "ground")],
            ));
        }
        Fix::Photo(of) => {
            let of = of.to_string();
            house.add(&("photo", &word, &[("of", &of)]));
        }
        Fix::Fill(Fill::Field { of, field }) => {
            let said = match *field {
                "electric" | "water" | "gas" | "duct" => "safe",
                "stands_on" => "ground",
                "bearing" => "yes",
                "cuts_old" => ["yes", "no"][usize::from(n.is_multiple_of(2))],
                other => other,
            };
            if *field == "shored_by" {
                let mut all = house.records.values();
                let shore = all.find(|one| {
                    one.kind == Kind::Shore && one.state != "dropped" && !one.says("struck", "yes")
                });
                // The shores on record are all struck: one is planned for it.
                match shore.map(|one| one.id) {
                    Some(shore) => {
                        let to = Value {
                            text: shore.to_string(),
                            number: None,
                            to: Some(shore),
                        };
                        let sister = house.records.get_mut(of).expect("it is asked of it");
                        sister.fields.insert("shored_by".to_owned(), vec![to]);
                    }
                    None => mend(house, &Fix::Fill(Fill::Thing(Kind::Shore)), n),
                }
                return;
            }
            if let Some(record) = house.records.get_mut(of) {
                match *field {
                    "below" => record.fields.insert("stands_on".to_owned(), text("ground")),
                    _ => record.fields.insert((*field).to_owned(), text(said)),
                };
            }
        }
        Fix::Fill(Fill::Thing(Kind::Shore)) => {
            let wall = id("wall.1");
            mend(house, &Fix::PlanShore(wall), n);
        }
        Fix::Fill(Fill::Thing(Kind::Wall)) => {
            for run in ["run.1", "run.2"] {
                let bare = house
                    .records
                    .get(&id(run))
                    .is_some_and(|one| one.to("start_at").is_none());
                if bare {
                    house.set(run, "start_at", "@wall.1");
                }
            }
        }
        // A height is read at all three points of its side; the ceiling hasn't moved.
        Fix::Fill(Fill::Reading(spot)) if HEIGHTS.contains(&spot.what) => {
            for place in PLACES {
                let word = format!("{word} {place}");
                house.add(&(
                    "reading",
                    &word,
                    &[
                        ("of", &spot.of.to_string()),
                        ("what", spot.what.name()),
                        ("side", &spot.side),
                        ("place", place),
                        ("raw", "96"),
                    ],
                ));
            }
        }
        Fix::Fill(_) | Fix::Finish(_) | Fix::Begin(_) | Fix::Strike(_) | Fix::Buy(_) => {}
    }
}

/// What is left to be done of a change.
fn next_move(house: &House, of: Uuid) -> Option<Move> {
    let record = &house.records[&of];
    match record.state.as_str() {
        "planned" => Some(Move::UnderWay),
        "under_way" => Some(Move::Done),
        _ if stands(record) => Some(Move::Struck),
        _ => None,
    }
}

/// One round of a lead who wants everything finished; says whether anything is left.
fn round(house: &mut House, n: &mut u32) -> bool {
    let mut is_left = false;
    for of in house.changes() {
        let Some(to) = next_move(house, of) else {
            continue;
        };
        is_left = true;
        let job = house.job();
        let all = job.get(of).map_or_else(Vec::new, |one| gates(&job, one));
        for gate in in_the_way(&all, to) {
            for one in gate.conditions.iter().filter(|one| one.state == Stands::No) {
                match (one.ask.skip(), &one.fix) {
                    (CanSkip::WithReason, _) if one.ask != Ask::Bearing => {
                        house.skip(of, gate.event, one.ask);
                    }
                    (_, Some(fix)) => mend(house, fix, n),
                    (_, None) => {}
                }
            }
            let base = house.seen(of, gate.event);
            house.release(of, gate.event, &base);
        }
        let _may_still_wait_for_another = house.go(of, to);
    }
    is_left
}

/// A plain restatement for the cut of [`House::line`]: what must be so, looked up without the table.
#[derive(Clone, Debug, PartialEq)]
struct Plain {
    shore_stands: bool,
    struts_out: bool,
    engineer: Option<Uuid>,
    permit: Option<Uuid>,
    section: Vec<String>,
    sides: Option<String>,
    places: Vec<Option<String>>,
    is_still: bool,
}

impl Plain {
    fn of(house: &House) -> Self {
        let said = |word: &str, field: &str| {
            let values = house.records[&id(word)].fields.get(field);
            values
                .and_then(|all| all.first())
                .map(|value| value.text.clone())
        };
        let newest = |about: &str| {
            let words = house.records.values().filter(|one| {
                one.kind == Kind::Word
                    && one.gone.is_none()
                    && one.fields["about"][0].text == about
                    && one.to("of") == Some(id("job"))
            });
            words.max_by_key(|one| one.at.clone()).map(|one| one.id)
        };
        let state = |word: &str| house.records[&id(word)].state.clone();
        Self {
            shore_stands: state("shore") == "done" && said("shore", "struck").is_none(),
            struts_out: matches!(state("struts").as_str(), "under_way" | "done"),
            engineer: newest("engineer"),
            permit: newest("permit"),
            section: ["eng_depth", "nominal"]
                .iter()
                .filter_map(|field| said("beam", field))
                .collect(),
            sides: said("shore", "sides"),
            places: vec![said("post.1", "place"), said("post.2", "place")],
            is_still: newest_height(house) <= Some(Length::inches_64(96, 8)),
        }
    }

    fn all_stands(&self) -> bool {
        self.shore_stands
            && self.struts_out
            && self.engineer.is_some()
            && self.permit.is_some()
            && self.sides.as_deref() == Some("both")
            && self.is_still
    }
}

/// The newest height under load in the middle of the first side.
fn newest_height(house: &House) -> Option<Length> {
    let is_there = |one: &&Record| {
        one.kind == Kind::Reading
            && one.says("what", "under_load")
            && one.says("side", "a")
            && one.says("place", "middle")
    };
    let all = house.records.values().filter(is_there);
    all.max_by_key(|one| one.at.clone())?.length("raw")
}

/// Everything that may come, in any order: also forms that were opened earlier and come late.
#[derive(Clone, Debug)]
enum Step {
    Move(usize, Move),
    Open(usize),
    Send(usize),
    SendNow(usize),
    Undo(usize),
    Paper(usize),
    Withdraw(usize),
    Edit(usize),
    Height(usize),
}

const GATES: [(&str, Event); 6] = [
    ("shore", Event::Start),
    ("struts", Event::Out),
    ("cut", Event::BreakFinish),
    ("cut", Event::Start),
    ("cut", Event::FirstCut),
    ("shore", Event::Struck),
];
const MOVES: [&str; 3] = ["shore", "struts", "cut"];
const EDITS: [(&str, &str, &str); 6] = [
    ("beam", "eng_depth", "9 1/4"),
    ("beam", "eng_depth", "11 1/4"),
    ("shore", "sides", "a"),
    ("shore", "sides", "both"),
    ("post.1", "place", "2"),
    ("post.1", "place", "0"),
];

const HEIGHTS_READ: [&str; 3] = ["96", "96 1/8", "96 1/2"];

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let to = prop_oneof![Just(Move::UnderWay), Just(Move::Done), Just(Move::Struck)];
    let one = prop_oneof![
        3 => (0..MOVES.len(), to).prop_map(|(at, to)| Step::Move(at, to)),
        1 => (0..GATES.len()).prop_map(Step::Open),
        2 => (0..8_usize).prop_map(Step::Send),
        4 => (0..GATES.len()).prop_map(Step::SendNow),
        1 => (0..8_usize).prop_map(Step::Undo),
        2 => (0..5_usize).prop_map(Step::Paper),
        1 => (0..8_usize).prop_map(Step::Withdraw),
        1 => (0..EDITS.len()).prop_map(Step::Edit),
        1 => (0..HEIGHTS_READ.len()).prop_map(Step::Height),
    ];
    prop::collection::vec(one, 1..60)
}

/// Runs the steps; gives how often the cut was released and made.
fn run(steps: &[Step]) -> Result<(usize, usize), TestCaseError> {
    let mut house = House::line();
    house.set("struts", "temporary_path", "Planks on edge");
    house.heights("wall", "ceiling_height", "96");
    house.heights("shore", "under_load", "96");
    for (word, event, ask) in [
        ("shore", Event::Start, Ask::BeamOnSite),
        ("struts", Event::Out, Ask::StrutPhoto),
        ("cut", Event::FirstCut, Ask::Agreed),
    ] {
        house.skip(id(word), event, ask);
    }
    let mut opened: Vec<(usize, BTreeMap<String, i64>)> = Vec::new();
    let mut holds: Vec<(usize, Uuid, Plain)> = Vec::new();
    let mut papers: Vec<Uuid> = Vec::new();
    let (mut released, mut made) = (0, 0);
    for step in steps {
        let sent = match step {
            Step::Send(at) => opened.get(*at).cloned(),
            Step::SendNow(at) => Some((*at, house.seen(id(GATES[*at].0), GATES[*at].1))),
            _ => None,
        };
        if let Some((at, base)) = sent {
            let (word, event) = GATES[at];
            let (told, hold) = house.release(id(word), event, &base);
            if told == Releasing::Released {
                let plain = Plain::of(&house);
                if event == Event::FirstCut {
                    prop_assert!(plain.all_stands(), "released on {plain:?}");
                    released += 1;
                }
                holds.push((at, hold, plain));
            }
        }
        match step {
            Step::Open(at) => opened.push((*at, house.seen(id(GATES[*at].0), GATES[*at].1))),
            Step::Undo(at) => {
                if let Some((_, hold, _)) = holds.get(*at) {
                    house.remove(*hold);
                }
            }
            Step::Paper(at) => {
                let all = ["engineer", "permit", "inspection", "lead_paint", "asbestos"];
                let says = if *at < 3 { "in_hand" } else { "contained" };
                house.paper(all[*at], says);
                let newest = house.records.values().filter(|one| one.kind == Kind::Word);
                papers.extend(newest.max_by_key(|one| one.at.clone()).map(|one| one.id));
            }
            Step::Withdraw(at) => {
                if let Some(paper) = papers.get(*at) {
                    house.remove(*paper);
                }
            }
            Step::Edit(at) => {
                let (word, field, said) = EDITS[*at];
                house.set(word, field, said);
            }
            Step::Height(at) => {
                house.height("shore", "under_load", ("a", "middle"), HEIGHTS_READ[*at]);
            }
            Step::Move(at, to) => {
                let word = MOVES[*at];
                let before = Plain::of(&house);
                if house.go(id(word), *to).is_err() {
                    continue;
                }
                if word == "cut" && *to == Move::Done {
                    made += 1;
                    let newest = holds
                        .iter()
                        .rev()
                        .find(|(at, ..)| GATES[*at].1 == Event::FirstCut);
                    let Some((_, hold, then)) = newest else {
                        return Err(TestCaseError::fail("cut without a release"));
                    };
                    prop_assert!(
                        house.records[hold].gone.is_none(),
                        "its release was taken back"
                    );
                    prop_assert!(before.all_stands(), "cut on {before:?}");
                    prop_assert_eq!(then, &before, "something changed since");
                }
            }
            Step::Send(_) | Step::SendNow(_) => {}
        }
    }
    Ok((released, made))
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn every_job_can_be_finished_by_what_its_lead_can_do(choices in prop::collection::vec(any::<u8>(), 40..120)) {
        let mut house = job_of(&choices);
        let mut n = 0;
        let mut is_left = true;
        for _ in 0..40 {
            is_left = round(&mut house, &mut n);
            if !is_left {
                break;
            }
        }
        let left: Vec<String> = house
            .changes()
            .into_iter()
            .filter_map(|of| Some((of, next_move(&house, of)?)))
            .map(|(of, to)| {
                let job = house.job();
                let why = job.get(of).map_or_else(String::new, |one| {
                    crate::checks::hold_points::may_move(one, &gates(&job, one), to).err().unwrap_or_default()
                });
                format!("{:?} {to:?}: {why}", house.kind(of))
            })
            .collect();
        prop_assert!(!is_left, "stuck: {left:#?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_order_of_entries_opens_the_cut_early(steps in steps()) {
        run(&steps)?;
    }
}

#[test]
fn the_search_for_an_early_cut_also_finds_the_right_way() {
    let mut steps: Vec<Step> = (0..5).map(Step::Paper).collect();
    steps.extend([
        Step::SendNow(0),
        Step::Move(0, Move::Done),
        Step::SendNow(1),
        Step::Move(1, Move::UnderWay),
        Step::SendNow(2),
        Step::SendNow(3),
        Step::SendNow(4),
        Step::Move(2, Move::Done),
    ]);
    assert_eq!(run(&steps).unwrap(), (1, 1));
    // The same with the engineer's section changed in between: not made.
    let at = steps.len() - 1;
    steps.insert(at, Step::Edit(0));
    assert_eq!(run(&steps).unwrap(), (1, 0));
    // And with the ceiling half an inch up.
    steps[at] = Step::Height(2);
    assert_eq!(run(&steps).unwrap(), (1, 0));
}
