//! What a lead carpenter expects where it is shored again on the storeys below.

use super::*;

/// A house of three storeys, the wall on the upper floor. The cellar has two rooms, 84 and 81 high.
const STOREYS: [Entry<'static>; 12] = [
    (
        "storey",
        "cellar",
        &[("name", "Cellar floor"), ("level", "0")],
    ),
    (
        "storey",
        "ground",
        &[("name", "Ground floor"), ("level", "1")],
    ),
    (
        "storey",
        "upper",
        &[("name", "Upper floor"), ("level", "2")],
    ),
    ("room", "bed", &[("name", "Bedroom"), ("storey", "@upper")]),
    (
        "room",
        "dining",
        &[("name", "Dining room"), ("storey", "@ground")],
    ),
    (
        "room",
        "workshop",
        &[("name", "Workshop"), ("storey", "@cellar")],
    ),
    (
        "room",
        "coal",
        &[("name", "Coal cellar"), ("storey", "@cellar")],
    ),
    ("room", "loose", &[("name", "Back room")]),
    (
        "reading",
        "w1",
        &[
            ("of", "@workshop"),
            ("what", "ceiling_height"),
            ("raw", "84"),
        ],
    ),
    (
        "reading",
        "w2",
        &[
            ("of", "@workshop"),
            ("what", "ceiling_height"),
            ("raw", "84"),
        ],
    ),
    (
        "reading",
        "c1",
        &[("of", "@coal"), ("what", "ceiling_height"), ("raw", "81")],
    ),
    (
        "reading",
        "c2",
        &[("of", "@coal"), ("what", "ceiling_height"), ("raw", "81")],
    ),
];

/// A wall of the bedroom, shored on its side alone.
fn upstairs(fields: &[(&str, &str)], more: &[Entry]) -> Job {
    let mut own = vec![("wall", "@wall"), ("sides", "a"), ("one_side_word", "Ines")];
    own.extend_from_slice(fields);
    let wall = [("name", "Wall D"), ("room_a", "@bed")];
    let mut all = vec![JOB, ("wall", "wall", &wall[..]), ("shore", "shore", &own)];
    all.extend_from_slice(&READINGS);
    all.extend_from_slice(&STOREYS);
    all.extend_from_slice(more);
    job(&all)
}

fn below(got: &Takeoff) -> Vec<(&str, i64)> {
    let all = got.needs.iter().filter(|need| need.slot.contains("stud."));
    all.filter(|need| need.slot.starts_with("below"))
        .map(|need| (&need.slot[..], need.count))
        .collect()
}

fn asked(got: &Takeoff) -> Vec<&str> {
    let all = missing(got).into_iter();
    all.filter(|(_, waits)| *waits == "Shoring below")
        .map(|(text, _)| text)
        .collect()
}

#[test]
fn two_rooms_on_one_storey_are_one_shore_by_the_heights_of_both() {
    let rooms = [
        ("below", "@workshop"),
        ("below", "@coal"),
        ("below", "@dining"),
        ("below", "@coal"),
    ];
    let dining = [("of", "@dining"), ("what", "ceiling_height"), ("raw", "96")];
    let dining: [Entry; 2] = [("reading", "d1", &dining), ("reading", "d2", &dining)];
    let job = upstairs(&rooms, &dining);
    let got = takeoff(&job, "shore");
    assert_eq!(missing(&got), []);
    assert_eq!(
        below(&got),
        [("below.1.stud.a", 11), ("below.2.stud.a", 11)]
    );
    assert_eq!(cut(&got, "below.1.stud.a"), "91 1/4"); // 96 − 1 1/2 − 3 − 1/4
    assert_eq!(cut(&got, "below.2.stud.a"), "76 1/4"); // the least, 81 − 1 1/2 − 3 − 1/4
    assert_eq!(cut(&got, "below.2.brace.a"), "110 3/4"); // the greatest: √(72² + 84²) = 110.63
    assert_eq!(
        need(&got, "below.2.stud.a").title,
        "Shoring stud, Bedroom side, below in Coal cellar and Workshop"
    );
    assert_eq!(got, takeoff(&reversed(&job), "shore"));
    let turned: Vec<_> = rooms.iter().rev().copied().collect();
    assert_eq!(got, takeoff(&upstairs(&turned, &dining), "shore"));
}

#[test]
fn readings_between_plates_below_go_by_any_room_of_that_storey() {
    let between = |place, number, raw| {
        [
            ("of", "@shore"),
            ("what", "between_plates"),
            ("side", "a"),
            ("place", place),
            ("number", number),
            ("raw", raw),
        ]
    };
    let (coal, workshop, again) = (
        between("coal cellar", "2", "76"),
        between("Workshop", "3", "79"),
        between("Workshop", "2", "75"),
    );
    let rooms = [
        ("below", "@workshop"),
        ("below", "@coal"),
        ("below_word", "Ines"),
    ];
    let readings: [Entry; 2] = [("reading", "p", &coal), ("reading", "q", &workshop)];
    let got = takeoff(&upstairs(&rooms, &readings), "shore");
    assert_eq!(
        below(&got),
        [
            ("below.2.stud.a.own.2", 1),
            ("below.2.stud.a.own.3", 1),
            ("below.2.stud.a", 9)
        ]
    );
    assert_eq!(cut(&got, "below.2.stud.a.own.2"), "75 3/4");
    assert_eq!(cut(&got, "below.2.stud.a.own.3"), "78 3/4");
    assert_eq!(cut(&got, "below.2.stud.a"), "75 3/4"); // the least read
    // one stud read under both rooms’ names: the lesser
    let twice: [Entry; 2] = [("reading", "p", &coal), ("reading", "q", &again)];
    let got = takeoff(&upstairs(&rooms, &twice), "shore");
    assert_eq!(cut(&got, "below.2.stud.a.own.2"), "74 3/4");
}

#[test]
fn each_storey_below_without_a_room_is_asked_for_by_its_name() {
    let asked = |fields: &[(&str, &str)]| {
        let got = takeoff(&upstairs(fields, &[]), "shore");
        asked(&got)
            .into_iter()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    assert_eq!(
        asked(&[]),
        [
            "the room below in Ground floor, where it is shored again, or that it stands on the ground",
            "the room below in Cellar floor, where it is shored again, or that it stands on the ground",
        ]
    );
    let word =
        "the room below in Cellar floor, where it is shored again, or who says that it isn’t";
    assert_eq!(asked(&[("below", "@dining")]), [word]);
    assert_eq!(asked(&[("below", "@dining"), ("below", "@coal")]), [""; 0]);
    assert_eq!(asked(&[("stands_on", "ground")]), [""; 0]);
    let got = takeoff(&upstairs(&[("below", "@dining")], &[]), "shore");
    let missing = got.missing.iter().find(|missing| missing.text == word);
    let fill = Fill::Field {
        of: id("shore"),
        field: "below",
    };
    assert_eq!(missing.unwrap().fill, fill);
}

#[test]
fn a_room_keeps_its_slots_when_the_storey_over_it_is_named_too() {
    let got = takeoff(&upstairs(&[("below", "@coal")], &[]), "shore");
    assert_eq!(below(&got), [("below.2.stud.a", 11)]);
    let both = [("below", "@coal"), ("below", "@dining")];
    let got = takeoff(&upstairs(&both, &[]), "shore");
    assert_eq!(below(&got), [("below.2.stud.a", 11)]); // the dining room’s height isn’t read
    assert_eq!(need(&got, "below.1.plate.a").count, 3);
}

#[test]
fn who_says_that_a_storey_below_needs_none_ends_the_question_and_is_said() {
    let fields = [
        ("below", "@dining"),
        ("below_word", "Ines, after the engineer’s letter of Oct 12"),
    ];
    let got = takeoff(&upstairs(&fields, &[]), "shore");
    assert_eq!(asked(&got), [""; 0]);
    let said: Vec<&str> = got.findings.iter().map(|f| &f.text[..]).collect();
    let text =
        "Not shored again below in Cellar floor: Ines, after the engineer’s letter of Oct 12.";
    assert!(said.contains(&text), "{said:?}");
    // nothing left to say it of
    let all = [("below", "@dining"), ("below", "@coal"), fields[1]];
    let got = takeoff(&upstairs(&all, &[]), "shore");
    assert!(
        got.findings
            .iter()
            .all(|f| !f.text.starts_with("Not shored"))
    );
}

#[test]
fn a_room_below_without_a_storey_counts_by_itself_and_its_storey_is_asked_for() {
    let got = takeoff(
        &upstairs(&[("below", "@loose"), ("below", "@dining")], &[]),
        "shore",
    );
    assert_eq!(need(&got, "below.1.plate.a").count, 3);
    assert_eq!(need(&got, "below.3.plate.a").count, 3); // after the cellar, for which it may stand
    assert_eq!(asked(&got), ["the storey of Back room"]);
    let missing = &got.missing.iter().find(|m| m.waits == "Shoring below");
    let fill = Fill::Field {
        of: id("loose"),
        field: "storey",
    };
    assert_eq!(missing.unwrap().fill, fill);
}

#[test]
fn not_knowing_the_walls_storey_any_room_below_will_do() {
    let elsewhere = |fields: &[(&str, &str)]| {
        let mut own = vec![("wall", "@wall"), ("sides", "a"), ("one_side_word", "Ines")];
        own.extend_from_slice(fields);
        let mut all = vec![JOB, WALL, ("shore", "shore", &own[..])];
        all.extend_from_slice(&READINGS);
        all.extend_from_slice(&STOREYS);
        let got = takeoff(&job(&all), "shore");
        asked(&got)
            .into_iter()
            .map(str::to_owned)
            .collect::<Vec<_>>()
    };
    let any = "the room below, where it is shored again, or that it stands on the ground";
    assert_eq!(elsewhere(&[]), [any]);
    assert_eq!(elsewhere(&[("below", "@coal")]), [""; 0]);
    assert_eq!(elsewhere(&[("below_word", "Ines")]), [""; 0]);
}
