//! Hold points at the one way in: moves refused, releases that count and that don't, files that load what they hold.

use scantling_takeoff::checks::hold_points::{Event, GateState, gates, seen};
use scantling_takeoff::record::choices::PLACES;
use scantling_takeoff::record::{Job, Op};

use super::{based, by, crew, db, house, id, op, people, send, send_all};
use crate::{Applied, Db, Mode, export, import, read_job};

fn job(db: &Db) -> Job {
    db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap().0
}

/// A release by the lead on what the record says now.
pub(super) fn released(db: &Db, change: &str, event: &str, word: &str) -> Op {
    let job = job(db);
    let of = job.get(id(change)).unwrap();
    let base = seen(&job, of, Event::named(event).unwrap());
    let base: Vec<(&str, i64)> = base.iter().map(|(name, rev)| (&name[..], *rev)).collect();
    let fields = [("of", &id(change).to_string()[..]), ("event", event)];
    based(op("hold.release", word, &fields), &base)
}

/// The engineer's word on the shore: no joist is measured here, so the record can't tell what carries it.
pub(super) fn engineer_on_shore() -> Op {
    let shore = id("shore").to_string();
    let fields = [
        ("of", &shore[..]),
        ("about", "engineer"),
        ("says", "in_hand"),
        ("who", "The engineer"),
    ];
    op("word.add", "word.shore", &fields)
}

fn shored() -> Db {
    let db = db();
    send_all(&db, &house());
    let wall = id("wall").to_string();
    let shore = [
        ("name", "Shore"),
        ("week", "1"),
        ("wall", &wall[..]),
        ("stands_on", "ground"),
    ];
    send_all(
        &db,
        &[op("shore.add", "shore", &shore), engineer_on_shore()],
    );
    db
}

fn said(answer: &Applied) -> String {
    match answer {
        Applied::Rejected { problems, .. } => problems[0].message.clone(),
        other => panic!("{other:?}"),
    }
}

fn state(db: &Db) -> GateState {
    let job = job(db);
    let all = gates(&job, job.get(id("shore")).unwrap());
    all.into_iter()
        .find(|gate| gate.event == Event::Start)
        .unwrap()
        .state
}

#[test]
fn a_change_goes_no_further_than_its_hold_points() {
    let db = shored();
    for entry in [
        op("change.state", "shore", &[("state", "under_way")]),
        by(crew(), op("change.done", "shore", &[])),
    ] {
        let said = said(&send(&db, &entry));
        assert!(
            said.contains("Shore is held. Start: all stands, not released yet."),
            "{said}"
        );
    }
    let by_crew = by(crew(), released(&db, "shore", "start", "by crew"));
    assert!(said(&send(&db, &by_crew)).contains("Only a lead"));
    send_all(&db, &[released(&db, "shore", "start", "signed")]);
    send_all(
        &db,
        &[op(
            "change.state",
            "shore",
            &[("state", "under_way"), ("reason", "now")],
        )],
    );
}

#[test]
fn a_release_on_what_was_seen_before_is_a_conflict_and_does_not_count() {
    let db = shored();
    let early = released(&db, "shore", "start", "early");
    let edit = based(
        op("shore.edit", "shore", &[("sides", "a")]),
        &[("sides", 0)],
    );
    send_all(&db, &[edit]);
    let answer = send(&db, &early);
    let Applied::Conflict { conflicts, .. } = &answer else {
        panic!("{answer:?}");
    };
    assert_eq!(conflicts.len(), 1);
    assert_eq!(conflicts[0].field, "carries_shore");
    assert_eq!(state(&db), GateState::Ready);
    let hold = job(&db).ever(id("early")).unwrap().gone.clone().unwrap();
    assert!(
        hold.starts_with("Not released. What the shore stands on"),
        "{hold}"
    );
    // The same again, as a phone sends it: the same answer, nothing done.
    assert!(matches!(send(&db, &early), Applied::Replayed { .. }));
    assert_eq!(state(&db), GateState::Ready);
}

#[test]
fn nobody_writes_what_stood_by_hand() {
    let db = shored();
    let mut forged = released(&db, "shore", "start", "forged");
    forged
        .fields
        .insert("stood".to_owned(), vec!["carries_shore 1".to_owned()]);
    assert!(said(&send(&db, &forged)).contains("What stood is written by the record itself"));
}

#[test]
fn shoring_is_struck_past_its_hold_point_alone_and_stands_again_when_it_is_not_done() {
    let db = shored();
    send_all(
        &db,
        &[
            released(&db, "shore", "start", "signed"),
            op("change.done", "shore", &[]),
        ],
    );
    let strike = op("change.struck", "shore", &[]);
    let said = said(&send(&db, &strike));
    assert!(said.contains("Struck: Inspection"), "{said}");
    let of = id("shore").to_string();
    let skip = [
        ("of", &of[..]),
        ("event", "struck"),
        ("condition", "inspection"),
        ("reason", "Looks on Monday"),
    ];
    send_all(&db, &[op("hold.skip", "skipped", &skip)]);
    let mut signed = released(&db, "shore", "struck", "down");
    signed.fields.insert(
        "seen".to_owned(),
        vec!["hangers_seen".to_owned(), "tied_seen".to_owned()],
    );
    send_all(
        &db,
        &[signed, op("change.struck", "shore", &[("note", "down")])],
    );
    assert!(job(&db).get(id("shore")).unwrap().says("struck", "yes"));
    send_all(&db, &[op("change.undone", "shore", &[])]);
    assert!(!job(&db).get(id("shore")).unwrap().says("struck", "yes"));
}

#[test]
fn a_cut_goes_on_the_day_after_only_once_its_shoring_was_looked_at() {
    let db = shored();
    let (wall, plate) = (id("wall").to_string(), id("plate").to_string());
    let services = [
        ("electric", "safe"),
        ("water", "none"),
        ("gas", "none"),
        ("duct", "none"),
    ];
    let unread = services.map(|(name, _)| (name, 0));
    let cut = [
        ("name", "Plate"),
        ("week", "1"),
        ("wall", &wall[..]),
        ("plate", "top_upper"),
        ("from", "0"),
        ("to", "48"),
        ("nominal", "2x4"),
    ];
    send_all(
        &db,
        &[
            released(&db, "shore", "start", "signed"),
            op("change.done", "shore", &[]),
            based(op("wall.edit", "wall", &services), &unread),
            op("plate.add", "plate", &cut),
        ],
    );
    for (event, condition) in [
        ("break_finish", "lead_paint"),
        ("break_finish", "asbestos"),
        ("first_cut", "engineer"),
        ("first_cut", "permit"),
        ("first_cut", "agreed"),
    ] {
        let skip = [
            ("of", &plate[..]),
            ("event", event),
            ("condition", condition),
            ("reason", "Said by word of mouth"),
        ];
        send_all(&db, &[op("hold.skip", condition, &skip)]);
    }
    let mut first = released(&db, "plate", "first_cut", "cut");
    let seen = ["shoring_seen", "carried_seen", "catch_seen"];
    first
        .fields
        .insert("seen".to_owned(), seen.map(str::to_owned).to_vec());
    // Both were signed off the day before.
    let mut finish = released(&db, "plate", "break_finish", "finish");
    for release in [&mut finish, &mut first] {
        release.device_time = crate::moment::after(&release.device_time, -86_400_000).unwrap();
    }
    send_all(&db, &[finish, first]);
    // The ceiling at points 1 to 3 of both sides, before and under load: without that it goes no further today, either.
    let unread = said(&send(&db, &op("change.done", "plate", &[])));
    assert!(unread.contains("no height to go by"), "{unread}");
    for (of, what) in [("wall", "ceiling_height"), ("shore", "under_load")] {
        for (side, place) in ["a", "b"]
            .into_iter()
            .flat_map(|side| PLACES.iter().map(move |place| (side, *place)))
        {
            let of = id(of).to_string();
            let fields = [
                ("of", &of[..]),
                ("what", what),
                ("side", side),
                ("place", place),
                ("raw", "96"),
                ("by", "tape"),
            ];
            let word = format!("{what} {side} {place}");
            send_all(&db, &[op("reading.add", &word, &fields)]);
        }
    }
    let done = |word: &str| op("change.done", "plate", &[("note", word)]);
    let unseen = said(&send(&db, &done("too early")));
    assert!(unseen.contains("was not looked at on this day"), "{unseen}");
    let day = &done("").device_time[..10];
    let look = [("of", &plate[..]), ("event", "next_cut"), ("day", day)];
    send_all(&db, &[op("event.add", "look", &look), done("looked at")]);
    assert_eq!(job(&db).get(id("plate")).unwrap().state, "done");
}

#[test]
fn what_can_not_be_skipped_is_refused() {
    let db = shored();
    let of = id("shore").to_string();
    for (condition, words) in [
        ("carries_shore", "can’t be skipped"),
        ("permit", "doesn’t wait for"),
    ] {
        let skip = [
            ("of", &of[..]),
            ("event", "start"),
            ("condition", condition),
            ("reason", "no"),
        ];
        let said = said(&send(&db, &op("hold.skip", condition, &skip)));
        assert!(said.contains(words), "{said}");
    }
}

#[test]
fn a_job_file_loads_what_it_holds_and_one_by_hand_is_asked() {
    let db = shored();
    let early = released(&db, "shore", "start", "early");
    send_all(
        &db,
        &[based(
            op("shore.edit", "shore", &[("sides", "a")]),
            &[("sides", 0)],
        )],
    );
    send(&db, &early);
    send_all(
        &db,
        &[
            released(&db, "shore", "start", "signed"),
            op("change.done", "shore", &[]),
        ],
    );
    let file = db.read(|tx| export(tx, id("house"))).unwrap().unwrap();
    let other = Db::in_memory().unwrap();
    other.write(people).unwrap();
    let back = file.clone();
    let came = other
        .write(move |tx| import(tx, &back, Mode::Same))
        .unwrap();
    assert_eq!(came.n_conflicts, 1);
    assert_eq!(state(&other), GateState::Released);
    // A copy under other ids keeps its releases too.
    let copy = file.clone();
    let new = id("another");
    let came = other
        .write(move |tx| import(tx, &copy, Mode::Copy { new }))
        .unwrap();
    assert_eq!(came.n_conflicts, 1);
    // Without the release it still loads: it was asked when it was written.
    let mut without = file.clone();
    without.entries.retain(|entry| entry.kind != "hold.release");
    let third = Db::in_memory().unwrap();
    third.write(people).unwrap();
    let whole = without.clone();
    third
        .write(move |tx| import(tx, &whole, Mode::Same))
        .unwrap();
    // By hand, it is asked.
    for entry in &mut without.entries {
        entry.op_id = None;
        entry.base.clear();
        entry.effects = None;
    }
    let fourth = Db::in_memory().unwrap();
    fourth.write(people).unwrap();
    let refused = fourth
        .write(move |tx| import(tx, &without, Mode::Same))
        .unwrap_err();
    assert!(refused.to_string().contains("Shore is held"), "{refused}");
}
