//! The contract's rules one by one, on a house with one line.

use super::house::House;
use crate::checks::hold_points::{
    About, Ask, Condition, Event, Fix, GateState, Move, Releasing, Stands, gates, in_the_way,
    looked_at, looked_at_that_day, may_happen,
};
use crate::needs::Fill;
use crate::needs::testing::id;
use crate::record::{Kind, Record};

/// A line as far as its shore: papers in, shore signed and standing.
fn shored() -> House {
    let mut house = House::line();
    house.papers();
    assert!(house.skip(id("shore"), Event::Start, Ask::BeamOnSite));
    house.sign("shore", Event::Start);
    assert_eq!(house.go(id("shore"), Move::Done), Ok(()));
    house.heights("wall", "ceiling_height", "96");
    house.heights("shore", "under_load", "96 1/8");
    house
}

fn struts_out(house: &mut House) {
    house.set("struts", "temporary_path", "Planks on edge");
    assert!(house.skip(id("struts"), Event::Out, Ask::StrutPhoto));
    house.sign("struts", Event::Out);
    assert_eq!(house.go(id("struts"), Move::UnderWay), Ok(()));
}

/// Up to a first cut that is signed off.
fn cut_signed() -> House {
    let mut house = shored();
    struts_out(&mut house);
    house.sign("cut", Event::BreakFinish);
    house.sign("cut", Event::Start);
    assert_eq!(house.go(id("cut"), Move::UnderWay), Ok(()));
    assert!(house.skip(id("cut"), Event::FirstCut, Ask::Agreed));
    house.sign("cut", Event::FirstCut);
    house
}

#[test]
fn boarding_sundries_blocks_and_sisters_wait_for_nothing() {
    let house = House::of(&[
        ("job", "job", &[("name", "Elm")]),
        ("wall", "wall", &[]),
        (
            "run",
            "joists",
            &[("piece", "joist"), ("spacing", "16"), ("count", "9")],
        ),
        (
            "board",
            "board",
            &[
                ("surface", "wall"),
                ("wall", "@wall"),
                ("across", "96"),
                ("along", "96"),
                ("panel", "@job"),
            ],
        ),
        (
            "sundry",
            "bags",
            &[("item", "bag"), ("unit", "each"), ("count", "4")],
        ),
        (
            "pack",
            "blocks",
            &[("pack", "blocking"), ("nominal", "2x8"), ("run", "@joists")],
        ),
        (
            "sister",
            "sister",
            &[
                ("member", "@joists"),
                ("nominal", "2x8"),
                ("length", "96"),
                ("cuts_old", "no"),
            ],
        ),
    ]);
    for word in ["board", "bags", "blocks", "sister"] {
        assert_eq!(house.gates(id(word)), [], "{word}");
    }
}

#[test]
fn a_take_out_goes_gate_by_gate_and_the_first_cut_waits_for_the_shore() {
    let mut house = House::line();
    let refused = house.go(id("cut"), Move::UnderWay).unwrap_err();
    assert!(refused.contains("Lead paint: built 1924"), "{refused}");
    house.papers();
    house.sign("cut", Event::BreakFinish);
    house.sign("cut", Event::Start);
    assert_eq!(house.go(id("cut"), Move::UnderWay), Ok(()));
    let refused = house.go(id("cut"), Move::Done).unwrap_err();
    assert!(
        refused.contains("Shoring stands: shore does not stand yet"),
        "{refused}"
    );
    assert!(!house.skip(id("cut"), Event::FirstCut, Ask::Shoring));
}

#[test]
fn a_cut_is_signed_once_all_stands_and_then_it_may_be_done() {
    let mut house = cut_signed();
    assert_eq!(house.go(id("cut"), Move::Done), Ok(()));
    assert_eq!(house.state("cut", Event::FirstCut), GateState::Released);
}

#[test]
fn a_wall_that_carries_nothing_needs_the_leads_word_and_nothing_that_bears_on_it() {
    let mut house = House::line();
    house.add(&("wall", "other", &[]));
    house.set("joists", "start_at", "@other");
    for (word, field) in [
        ("struts", "wall"),
        ("post.1", "lands_on"),
        ("post.2", "lands_on"),
    ] {
        house.set(word, field, "@other");
    }
    let cuts = |house: &House| {
        let gates = house.gates(id("cut"));
        gates.iter().any(|gate| gate.event == Event::FirstCut)
    };
    house.set("wall", "bearing", "no");
    assert!(cuts(&house), "the crew’s no alone");
    house.add(&(
        "word",
        "traced",
        &[
            ("of", "@wall"),
            ("about", "not_bearing"),
            ("says", "not_there"),
            ("who", "Ann"),
        ],
    ));
    assert!(!cuts(&house), "with the lead’s word");
    // Each link of support says otherwise, whatever it is of.
    house.add(&("wall", "upper", &[]));
    for (word, field) in [
        ("joists", "start_at"),
        ("struts", "lands_on"),
        ("struts", "wall"),
        ("upper", "stands_on"),
        ("post.1", "lands_on"),
        ("shore", "over"),
    ] {
        house.set(word, field, "@wall");
        assert!(cuts(&house), "{word}");
        let start = house.gate("cut", Event::Start);
        let says = format!("{word} bears on it");
        assert!(start.conditions[0].why.contains(&says), "{start:#?}");
        assert_eq!(start.conditions[0].state, Stands::No);
        house.set(word, field, "@other");
        assert!(!cuts(&house), "{word} elsewhere");
    }
    house.set("wall", "bearing", "not_known");
    assert!(cuts(&house), "not known counts as yes");
}

#[test]
fn a_release_reopens_by_undo_and_by_what_changes_under_it() {
    let changes: [fn(&mut House); 11] = [
        |house| house.set("beam", "eng_depth", "11 1/4"),
        |house| house.set("shore", "sides", "a"),
        |house| house.set("post.2", "place", "144"),
        |house| house.set("cut", "from", "12"),
        |house| house.set("cut", "week", "2"),
        |house| house.paper("permit", "in_hand"),
        // What a landing rests on: where the post stands across, on what, and the readings of it.
        |house| house.set("post.1", "across", "1/16"),
        |house| house.set("post.1", "lands_on", "@joists"),
        |house| {
            let more = [("of", "@wall"), ("what", "plate_depth"), ("raw", "5 9/16")];
            house.add(&("reading", "plate again", &more));
        },
        // What bears on the wall that is cut.
        |house| house.add(&("wall", "upper", &[("stands_on", "@wall")])),
        |house| {
            let more = [("count", "2"), ("lands_on", "@wall"), ("week", "2")];
            house.add(&("struts", "more struts", &more));
        },
    ];
    for (at, change) in changes.into_iter().enumerate() {
        let mut house = cut_signed();
        assert_eq!(house.state("cut", Event::FirstCut), GateState::Released);
        change(&mut house);
        let reopened = matches!(house.state("cut", Event::FirstCut), GateState::Reopened(_));
        assert!(reopened, "change {at}");
        assert!(house.go(id("cut"), Move::Done).is_err(), "change {at}");
    }
    let mut house = shored();
    let hold = house.sign("cut", Event::Start);
    house.remove(hold);
    assert_eq!(house.state("cut", Event::Start), GateState::Ready);
}

#[test]
fn taking_back_the_newest_release_does_not_bring_an_older_one_back() {
    let mut house = shored();
    house.sign("cut", Event::Start);
    let newest = house.sign("cut", Event::Start);
    house.remove(newest);
    assert_eq!(house.state("cut", Event::Start), GateState::Ready);
}

#[test]
fn a_cut_that_is_made_says_so_when_the_engineers_section_changes_while_the_shore_stands() {
    let mut house = cut_signed();
    assert_eq!(house.go(id("cut"), Move::Done), Ok(()));
    house.set("beam", "eng_depth", "9 1/4");
    let job = house.job();
    let all = gates(&job, job.get(id("cut")).unwrap());
    let passed = in_the_way(&all, Move::Done);
    assert_eq!(passed.len(), 1);
    assert_eq!(passed[0].state, GateState::Reopened(vec![Ask::Engineer]));
}

#[test]
fn a_release_on_what_was_seen_before_something_changed_does_not_count() {
    let mut house = shored();
    struts_out(&mut house);
    assert!(house.skip(id("cut"), Event::FirstCut, Ask::Agreed));
    let seen = house.seen(id("cut"), Event::FirstCut);
    house.paper("engineer", "in_hand");
    let (told, _) = house.release(id("cut"), Event::FirstCut, &seen);
    let Releasing::Differs(differs) = told else {
        panic!("{told:?}");
    };
    assert_eq!(differs.len(), 1);
    assert_eq!(differs[0].0, Ask::Engineer);
    assert_eq!(house.state("cut", Event::FirstCut), GateState::Ready);
}

#[test]
fn what_is_to_be_looked_at_must_be_ticked() {
    let house = shored();
    let base = house.seen(id("beam"), Event::Raised);
    let job = house.job();
    let beam = job.get(id("beam")).unwrap();
    let told = super::super::releasing(&job, beam, Event::Raised, &[], &base);
    let Releasing::Refused(problem) = told else {
        panic!("{told:?}");
    };
    assert_eq!(problem.field, "seen");
}

#[test]
fn a_shore_is_struck_last_and_its_gates_are_behind_it_then() {
    let mut house = cut_signed();
    assert_eq!(house.go(id("cut"), Move::Done), Ok(()));
    assert!(house.go(id("shore"), Move::Struck).is_err());
    house.sign("hang", Event::BreakFinish);
    assert!(house.skip(id("hang"), Event::FirstCut, Ask::Agreed));
    house.sign("hang", Event::FirstCut);
    house.sign("beam", Event::Raised);
    for post in ["post.1", "post.2"] {
        assert_eq!(house.go(id(post), Move::Done), Ok(()));
    }
    house.sign("beam", Event::FirstLoad);
    assert_eq!(house.go(id("beam"), Move::Done), Ok(()));
    assert_eq!(house.go(id("hang"), Move::Done), Ok(()));
    let refused = house.go(id("shore"), Move::Struck).unwrap_err();
    assert!(refused.contains("struts are still out"), "{refused}");
    house.sign("struts", Event::Back);
    assert_eq!(house.go(id("struts"), Move::Done), Ok(()));
    for (word, event) in [("cut", Event::FirstCut), ("shore", Event::Start)] {
        assert_eq!(house.state(word, event), GateState::Released, "{word}");
    }
    house.sign("shore", Event::Struck);
    assert_eq!(house.go(id("shore"), Move::Struck), Ok(()));
    assert_eq!(house.state("shore", Event::Struck), GateState::Past);
    assert_eq!(house.state("cut", Event::FirstCut), GateState::Past);
}

#[test]
fn a_later_house_needs_no_result_for_lead_and_asbestos() {
    let mut house = House::line();
    let lacks = |house: &House| {
        let gate = house.gate("cut", Event::BreakFinish);
        let lacks: Vec<Ask> = gate.lacks().map(|one| one.ask).collect();
        lacks
    };
    assert_eq!(lacks(&house), [Ask::LeadPaint, Ask::Asbestos]);
    // 1978 is the first year without lead paint (40 CFR 745.83), 1980 the last with asbestos presumed (1926.1101).
    for (year, expected) in [
        (1977, vec![Ask::LeadPaint, Ask::Asbestos]),
        (1978, vec![Ask::Asbestos]),
        (1980, vec![Ask::Asbestos]),
        (1981, Vec::new()),
    ] {
        let record = house.records.get_mut(&id("job")).unwrap();
        record.fields.get_mut("year_built").unwrap()[0].number = Some(year);
        assert_eq!(lacks(&house), expected, "{year}");
    }
    house
        .records
        .get_mut(&id("job"))
        .unwrap()
        .fields
        .remove("year_built");
    assert_eq!(lacks(&house), [Ask::LeadPaint, Ask::Asbestos], "not known");
}

#[test]
fn a_skip_stays_visible_and_comes_right_later_without_reopening() {
    let mut house = House::line();
    house.papers();
    assert!(house.skip(id("shore"), Event::Start, Ask::BeamOnSite));
    house.sign("shore", Event::Start);
    let beam = house.records.get_mut(&id("beam")).unwrap();
    "under_way".clone_into(&mut beam.state);
    let gate = house.gate("shore", Event::Start);
    assert_eq!(gate.state, GateState::Released);
    assert!(
        matches!(&gate.conditions[0].state, Stands::Skipped { reason, .. } if reason == "by word of mouth")
    );
}

#[test]
fn a_floor_is_not_opened_while_a_shore_stands_on_it() {
    let mut house = shored();
    house.set("shore", "stands_on", "floor");
    house.add(&(
        "patch_floor",
        "patch",
        &[
            ("across", "48"),
            ("along", "48"),
            ("panel", "@job"),
            ("run", "@joists"),
        ],
    ));
    let refused = house.go(id("patch"), Move::UnderWay).unwrap_err();
    assert!(
        refused.contains("No shore stands on it: shore stands on it"),
        "{refused}"
    );
    let record = house.records.get_mut(&id("shore")).unwrap();
    let yes = crate::record::Value {
        text: "yes".to_owned(),
        number: None,
        to: None,
    };
    record.fields.insert("struck".to_owned(), vec![yes]);
    let gates = house.gates(id("patch"));
    assert!(gates.iter().all(|gate| gate.event == Event::BreakFinish));
}

#[test]
fn an_event_is_written_down_only_past_its_own_gate_and_looking_again_always() {
    let house = shored();
    let job = house.job();
    let cut = job.get(id("cut")).unwrap();
    assert!(may_happen(&job, cut, Event::FirstCut).is_err());
    assert_eq!(may_happen(&job, cut, Event::NextCut), Ok(()));
    assert_eq!(looked_at(&job, cut), None);
}

/// What a move into done and writing down a look say; nothing where they may.
fn told(house: &House) -> [Option<String>; 2] {
    let job = house.job();
    let cut = job.get(id("cut")).unwrap();
    let moves = super::super::may_move(cut, &gates(&job, cut), Move::Done);
    [moves, may_happen(&job, cut, Event::NextCut)].map(Result::err)
}

fn says(told: &[Option<String>; 2], words: &str) -> bool {
    told.iter()
        .all(|one| one.as_ref().is_some_and(|one| one.contains(words)))
}

#[test]
fn a_next_cut_takes_the_height_at_every_point_read_again_under_load() {
    let mut house = House::line();
    house.papers();
    assert!(house.skip(id("shore"), Event::Start, Ask::BeamOnSite));
    house.sign("shore", Event::Start);
    assert_eq!(house.go(id("shore"), Move::Done), Ok(()));
    struts_out(&mut house);
    house.sign("cut", Event::BreakFinish);
    house.sign("cut", Event::Start);
    assert_eq!(house.go(id("cut"), Move::UnderWay), Ok(()));
    assert!(house.skip(id("cut"), Event::FirstCut, Ask::Agreed));
    // The first cut takes no height under load yet.
    house.sign("cut", Event::FirstCut);
    assert!(!house.skip(id("cut"), Event::NextCut, Ask::HeightsUnderLoad));
    let before = told(&house);
    let lacks = "no height to go by at wall: Ceiling height, side a, zero end";
    assert!(says(&before, lacks), "{before:?}");
    house.heights("wall", "ceiling_height", "96");
    let unread = told(&house);
    let lacks = "not read again yet at shore: Ceiling height, under load, side a, zero end";
    assert!(says(&unread, lacks), "{unread:?}");
    for (at, place) in ["zero end", "middle", "far end"].into_iter().enumerate() {
        house.height("shore", "under_load", ("a", place), "96 1/8");
        let side_b = at == 2;
        let left = if side_b { "side b, zero end" } else { "side a" };
        assert!(says(&told(&house), left), "{place}: {:?}", told(&house));
    }
    for place in ["zero end", "middle", "far end"] {
        house.height("shore", "under_load", ("b", place), "95 7/8");
    }
    assert_eq!(told(&house), [None, None]);
    assert_eq!(house.go(id("cut"), Move::Done), Ok(()));
}

#[test]
fn half_an_inch_under_load_holds_the_cut_and_reopens_its_release_until_it_is_read_within_an_eighth()
{
    let mut house = cut_signed();
    assert_eq!(told(&house), [None, None]);
    house.height("shore", "under_load", ("a", "middle"), "96 1/2");
    let moved = told(&house);
    let words = "at the middle, side a it went up by 1/2 in under load";
    assert!(says(&moved, words), "{moved:?}");
    let state = house.state("cut", Event::FirstCut);
    assert_eq!(state, GateState::Reopened(vec![Ask::Shoring]));
    assert!(house.go(id("cut"), Move::Done).is_err());
    // Eased and read again, twice as any reading: then it goes on.
    house.height("shore", "under_load", ("a", "middle"), "96 1/16");
    house.height("shore", "under_load", ("a", "middle"), "96 1/16");
    assert_eq!(house.go(id("cut"), Move::Done), Ok(()));
}

#[test]
fn heights_after_striking_are_judged_at_every_point_and_may_be_skipped_with_a_reason() {
    let mut house = shored();
    for word in ["hang", "beam", "post.1", "post.2", "struts", "cut"] {
        let record = house.records.get_mut(&id(word)).unwrap();
        record.state = if word == "hang" { "done" } else { "dropped" }.to_owned();
    }
    let board = [
        ("surface", "ceiling"),
        ("across", "48"),
        ("along", "48"),
        ("panel", "@job"),
        ("run", "@joists"),
        ("wall", "@wall"),
    ];
    house.add(&("board", "board", &board));
    let after = |house: &House| {
        let gate = house.gate("board", Event::ClosedUp);
        let one = |one: &&Condition| one.ask == Ask::HeightsAfter;
        let found = gate.conditions.iter().find(one).unwrap();
        (found.state.clone(), found.why.clone())
    };
    assert!(after(&house).1.contains("still stands"));
    house.set("shore", "struck", "yes");
    let (state, why) = after(&house);
    assert_eq!(state, Stands::No);
    assert!(why.contains("after striking, zero end, side a"), "{why}");
    // Without a beam nothing sags: 1/8 in down at most, at each of the six points.
    house.heights("shore", "after_striking", "95 7/8");
    assert_eq!(after(&house).0, Stands::Yes, "{}", after(&house).1);
    house.height("shore", "after_striking", ("b", "far end"), "95 1/2");
    let (state, why) = after(&house);
    assert_eq!(state, Stands::No);
    assert!(why.contains("far end, side b it came down 1/2 in"), "{why}");
    assert!(house.skip(id("board"), Event::ClosedUp, Ask::HeightsAfter));
    assert!(matches!(after(&house).0, Stands::Skipped { .. }));
}

#[test]
fn on_a_later_day_a_cut_goes_on_only_once_its_shoring_was_looked_at_that_day() {
    let mut house = cut_signed();
    let may = |house: &House, moment: &str, offset| {
        let job = house.job();
        let cut = job.get(id("cut")).unwrap();
        looked_at_that_day(&job, cut, &gates(&job, cut), (moment, offset))
    };
    assert_eq!(may(&house, "2026-10-14T23:30:00.000Z", 0), Ok(()));
    let said = may(&house, "2026-10-15T07:00:00.000Z", 0).unwrap_err();
    assert!(
        said.contains("not looked at on this day") && said.contains("Next cut, each morning"),
        "{said}"
    );
    // The day is that of the clock on site: five hours behind UTC the first cut was released in the evening before.
    assert_eq!(may(&house, "2026-10-14T04:30:00.000Z", -300), Ok(()));
    assert!(may(&house, "2026-10-14T23:30:00.000Z", -300).is_err());
    house.add(&(
        "event",
        "look",
        &[("day", "2026-10-15"), ("event", "next_cut"), ("of", "@cut")],
    ));
    // The heights under load are those of the day before.
    let said = may(&house, "2026-10-15T07:00:00.000Z", 0).unwrap_err();
    assert!(
        said.contains(
            "not read on this day at shore: Ceiling height, under load, side a, zero end"
        ),
        "{said}"
    );
    let under_load =
        |one: &&mut Record| one.kind == Kind::Reading && one.says("what", "under_load");
    let mut all: Vec<&mut Record> = house.records.values_mut().filter(under_load).collect();
    let (last, others) = all.split_last_mut().unwrap();
    for one in others {
        "2026-10-15T06:00:00.000Z".clone_into(&mut one.at);
    }
    let last = last.id;
    assert!(may(&house, "2026-10-15T07:00:00.000Z", 0).is_err());
    let last = house.records.get_mut(&last).unwrap();
    "2026-10-15T06:00:00.000Z".clone_into(&mut last.at);
    assert_eq!(may(&house, "2026-10-15T07:00:00.000Z", 0), Ok(()));
    assert!(may(&house, "2026-10-16T07:00:00.000Z", 0).is_err());
    // With no shore left in its line there is nothing to look at.
    house.set("shore", "struck", "yes");
    assert_eq!(may(&house, "2026-10-16T07:00:00.000Z", 0), Ok(()));
}

#[test]
fn what_cant_be_told_holds_and_of_a_shore_the_engineers_word_on_it_lets_go_on() {
    let told = |house: &House, word: &str, event, ask| {
        let gate = house.gate(word, event);
        let one = gate.conditions.iter().find(|one| one.ask == ask).unwrap();
        (one.state.clone(), one.why.clone())
    };
    let carries = |house: &House| told(house, "shore", Event::Start, Ask::CarriesShore);
    let mut house = House::line();
    assert_eq!(carries(&house).0, Stands::Yes);
    let word = house.records.values().find(|one| one.kind == Kind::Word);
    house.remove(word.unwrap().id);
    house.papers(); // the engineer's word on the job is none on the shore
    let (state, why) = carries(&house);
    assert_eq!(state, Stands::No);
    assert!(why.starts_with("needs "), "{why}");
    house.paper_for(id("shore"), "engineer", "not_required");
    assert_eq!(
        carries(&house).0,
        Stands::No,
        "that none is required says nothing of the floor"
    );
    house.paper_for(id("shore"), "engineer", "in_hand");
    assert_eq!(carries(&house).0, Stands::Yes);

    let lands = |house: &House| told(house, "cut", Event::FirstCut, Ask::Landings);
    assert_eq!(lands(&house).0, Stands::Yes);
    house.remove(id("plate"));
    let (state, why) = lands(&house);
    assert_eq!(state, Stands::No);
    assert!(why.contains(": needs "), "{why}");
}

#[test]
fn a_sister_that_cuts_old_framing_is_held_by_the_shore_that_it_names() {
    let mut house = shored();
    house.add(&(
        "sister",
        "sister",
        &[
            ("member", "@joists"),
            ("nominal", "2x8"),
            ("length", "96"),
            ("cuts_old", "yes"),
        ],
    ));
    let shoring = |house: &House| {
        let gate = house.gate("sister", Event::FirstCut);
        let one = gate.conditions.iter().find(|one| one.ask == Ask::Shoring);
        let one = one.unwrap();
        (one.state.clone(), one.why.clone(), one.fix.clone())
    };
    let (state, why, fix) = shoring(&house);
    assert_eq!(state, Stands::No);
    assert_eq!(why, "which shore carries it meanwhile is not recorded");
    let (of, field) = (id("sister"), "shored_by");
    assert_eq!(fix, Some(Fix::Fill(Fill::Field { of, field })));
    assert!(!house.skip(id("sister"), Event::FirstCut, Ask::Shoring));
    house.set("sister", "shored_by", "@shore");
    assert_eq!(shoring(&house).0, Stands::Yes);
    house.skip(id("sister"), Event::FirstCut, Ask::Agreed);
    house.sign("sister", Event::FirstCut);
    assert_eq!(house.go(id("sister"), Move::UnderWay), Ok(()));
    // While it is cut, that shore isn't struck, and on the next day it is looked at first.
    let gate = house.gate("shore", Event::Struck);
    let leans = gate.lacks().find(|one| one.ask == Ask::NothingLeans);
    assert!(leans.is_some_and(|one| one.why == "sister is under way"));
    assert!(
        house
            .gates(id("sister"))
            .iter()
            .any(|gate| gate.event == Event::NextCut)
    );
    // The ceiling moves, the shore is struck: its release reopens.
    for (of, field, to) in [("shore", "struck", "yes"), ("shore", "stud", "2x6")] {
        let mut other = house.clone();
        other.set(of, field, to);
        let state = other.state("sister", Event::FirstCut);
        assert!(
            matches!(state, GateState::Reopened(_)),
            "{field}: {state:?}"
        );
    }
    let mut moved = house.clone();
    moved.height("shore", "under_load", ("a", "middle"), "96 1/2");
    assert_eq!(shoring(&moved).0, Stands::No);
}

#[test]
fn a_shore_along_another_wall_does_not_carry_what_a_sister_cuts() {
    let mut house = shored();
    house.add(&("wall", "other", &[("room_a", "@kitchen")]));
    house.add(&(
        "shore",
        "other shore",
        &[
            ("wall", "@other"),
            ("sides", "both"),
            ("stands_on", "ground"),
        ],
    ));
    let other = house.records.get_mut(&id("other shore")).unwrap();
    other.state = "done".to_owned();
    house.add(&(
        "sister",
        "sister",
        &[
            ("member", "@joists"),
            ("nominal", "2x8"),
            ("length", "96"),
            ("cuts_old", "yes"),
            ("shored_by", "@other shore"),
        ],
    ));
    let shoring = |house: &House| {
        let gate = house.gate("sister", Event::FirstCut);
        let one = gate.conditions.iter().find(|one| one.ask == Ask::Shoring);
        let one = one.unwrap();
        (one.state.clone(), one.why.clone(), one.fix.clone())
    };
    let (state, why, fix) = shoring(&house);
    assert_eq!(state, Stands::No, "{why}");
    assert!(
        why.contains("other shore is along other, and joists isn’t recorded to bear on that"),
        "{why}"
    );
    assert_eq!(fix, Some(Fix::Paper(About::Engineer, id("sister"))));
    // A word for the whole job doesn't say it of this sister.
    house.paper("engineer", "in_hand");
    assert_eq!(shoring(&house).0, Stands::No);
    let mut named = house.clone();
    named.set("sister", "shored_by", "@shore");
    assert_eq!(shoring(&named).0, Stands::Yes);
    house.paper_for(id("sister"), "engineer", "in_hand");
    assert_eq!(shoring(&house).0, Stands::Yes);
}

#[test]
fn a_beam_takes_no_load_while_a_post_asks_for_packing_that_nobody_planned() {
    let mut house = House::line();
    let packing = |house: &House, word: &str, event| {
        let gate = house.gate(word, event);
        let one = gate.conditions.iter().find(|one| one.ask == Ask::Packing);
        let one = one.unwrap();
        (one.state.clone(), one.why.clone())
    };
    for (word, event) in [("beam", Event::FirstLoad), ("shore", Event::Struck)] {
        assert_eq!(packing(&house, word, event).0, Stands::Yes);
    }
    // The plate is 5 1/2 in and so is the post across: from 1 in on, 1 in of it has no bearing.
    house.set("post.1", "across", "1");
    for (word, event) in [("beam", Event::FirstLoad), ("shore", Event::Struck)] {
        let (state, why) = packing(&house, word, event);
        assert_eq!(state, Stands::No);
        assert!(why.contains("1 in has no bearing"), "{why}");
    }
    // Where it stands isn't recorded: whether it takes any can't be told.
    house
        .records
        .get_mut(&id("post.1"))
        .unwrap()
        .fields
        .remove("across");
    let (state, why) = packing(&house, "beam", Event::FirstLoad);
    assert_eq!(state, Stands::No);
    assert!(why.contains("needs its near face"), "{why}");
}

#[test]
fn copies_of_a_job_under_other_ids_have_the_same_revisions() {
    let house = cut_signed();
    let before = house.seen(id("cut"), Event::FirstCut);
    let map = |id: uuid::Uuid| uuid::Uuid::new_v5(&uuid::Uuid::NAMESPACE_URL, id.as_bytes());
    let mut records: Vec<Record> = house.records.values().cloned().collect();
    for record in &mut records {
        record.id = map(record.id);
        for value in record.fields.values_mut().flatten() {
            if let Some(to) = value.to {
                value.to = Some(map(to));
                value.text = map(to).to_string();
            }
        }
    }
    let job = crate::record::Job::new(map(id("job")), records, crate::buy::Ledger::default());
    let cut = job.get(map(id("cut"))).unwrap();
    let gates = gates(&job, cut);
    let gate = gates
        .iter()
        .find(|gate| gate.event == Event::FirstCut)
        .unwrap();
    assert_eq!(gate.state, GateState::Released);
    for one in &gate.conditions {
        assert_eq!(before.get(one.ask.name()), Some(&one.rev), "{:?}", one.ask);
    }
}

/// How the landings of the cut stand, and whether reaching planned packing is to be ticked.
fn landings(house: &House) -> (Stands, String, bool) {
    let gate = house.gate("cut", Event::FirstCut);
    let of = |ask| gate.conditions.iter().find(move |one| one.ask == ask);
    let found = of(Ask::Landings).unwrap();
    (
        found.state.clone(),
        found.why.clone(),
        of(Ask::ReachSeen).is_some(),
    )
}

#[test]
fn packing_that_is_planned_by_the_cut_lets_it_go_on_once_its_reach_is_ticked() {
    let mut house = shored();
    struts_out(&mut house);
    assert_eq!(landings(&house).0, Stands::Yes);
    // A 4×6 is 5 1/2 in across and so is the plate: from 1 in on, 1 in of it has no bearing.
    house.set("post.1", "across", "1");
    let (state, why, reach) = landings(&house);
    assert_eq!((state, reach), (Stands::No, false));
    assert!(why.contains("1 in has no bearing"), "{why}");
    // Packing of an inch, a week after the cut: still held.
    let pack = [
        ("pack", "packing"),
        ("nominal", "2x6"),
        ("count", "1"),
        ("thickness", "1"),
        ("landing", "@post.1"),
        ("week", "2"),
    ];
    house.add(&("pack", "pack", &pack));
    let (state, _, reach) = landings(&house);
    assert_eq!((state, reach), (Stands::No, false));
    // In the cut's own week: it may go on, and whether it can be reached without the cut is ticked.
    house.set("pack", "week", "1");
    let (state, why, reach) = landings(&house);
    assert_eq!((state, reach), (Stands::Yes, true), "{why}");
    assert_eq!(why, "recorded for each post, with pack planned");
    assert!(house.skip(id("cut"), Event::FirstCut, Ask::Agreed));
    let base = house.seen(id("cut"), Event::FirstCut);
    let job = house.job();
    let told = |ticked: &[Ask]| {
        let cut = job.get(id("cut")).unwrap();
        super::super::releasing(&job, cut, Event::FirstCut, ticked, &base)
    };
    let ticked = [Ask::ShoringSeen, Ask::CarriedSeen, Ask::CatchSeen];
    assert!(matches!(told(&ticked), Releasing::Refused(_)));
    house.papers();
    house.sign("cut", Event::FirstCut);
    // That it is set by then is progress: the release stands.
    "done".clone_into(&mut house.records.get_mut(&id("pack")).unwrap().state);
    assert_eq!(house.state("cut", Event::FirstCut), GateState::Released);
    assert!(!landings(&house).2);
    // Too thin for the gap, it fills nothing.
    house.set("pack", "thickness", "1/4");
    assert_eq!(landings(&house).0, Stands::No);
}

#[test]
fn a_way_in_that_is_not_cleared_points_at_the_reading_that_clears_it() {
    let mut house = House::line();
    let fix = |house: &House| {
        let gate = house.gate("shore", Event::Start);
        let on_site = gate.conditions.into_iter().next().unwrap();
        assert_eq!((on_site.ask, on_site.state), (Ask::BeamOnSite, Stands::No));
        match on_site.fix {
            Some(Fix::Fill(Fill::Reading(spot))) => spot.what.name(),
            fix => panic!("{fix:?}: {}", on_site.why),
        }
    };
    // Posts of 4×6 at both ends: 140 in clear and 7 in of bearing.
    for (what, raw) in [
        ("clear_between_posts", "140"),
        ("clear_at_floor", "146"),
        ("clear_at_seat", "145"),
    ] {
        assert_eq!(fix(&house), what);
        let fields = [("of", "@beam"), ("what", what), ("raw", raw)];
        house.add(&("reading", what, &fields));
    }
    // 147 in is longer than either: the lesser is read again once an end is left out.
    assert_eq!(fix(&house), "clear_at_seat");
}

#[test]
fn studs_and_sisters_cut_what_carries_unless_it_is_said_that_they_dont() {
    let mut house = House::line();
    let studs = [
        ("stud", "king"),
        ("count", "2"),
        ("wall", "@wall"),
        ("nominal", "2x4"),
    ];
    let sister = [("member", "@joists"), ("nominal", "2x8"), ("length", "96")];
    house.add(&("studs", "studs", &studs));
    house.add(&("sister", "sister", &sister));
    for word in ["studs", "sister"] {
        // Not said: one question, which can't be skipped, and nothing else.
        let gate = house.gate(word, Event::FirstCut);
        let asks: Vec<Ask> = gate.conditions.iter().map(|one| one.ask).collect();
        assert_eq!(asks, [Ask::CutsOld], "{word}");
        assert!(!house.skip(id(word), Event::FirstCut, Ask::CutsOld));
        let refused = house.go(id(word), Move::UnderWay).unwrap_err();
        assert!(refused.contains("until then it counts as cut"), "{refused}");
        // Said that some is: as any first cut.
        house.set(word, "cuts_old", "yes");
        let gate = house.gate(word, Event::FirstCut);
        let lacks: Vec<Ask> = gate.lacks().map(|one| one.ask).collect();
        assert!(lacks.contains(&Ask::Engineer), "{word}: {lacks:?}");
        assert!(lacks.contains(&Ask::Shoring), "{word}: {lacks:?}");
        assert!(house.go(id(word), Move::UnderWay).is_err());
        house.set(word, "cuts_old", "no");
        assert_eq!(house.gates(id(word)), [], "{word}");
    }
    // In a wall that carries nothing, by the lead's word, there is nothing to ask.
    house.add(&("wall", "other", &[("bearing", "no")]));
    house.paper_for(id("other"), "not_bearing", "not_there");
    house.set("studs", "wall", "@other");
    house.set("studs", "cuts_old", "yes");
    assert_eq!(house.gates(id("studs")), []);
}
