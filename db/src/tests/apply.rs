//! One entry at a time: once, checked, field by field.

use proptest::prelude::*;
use scantling_takeoff::record::{Kind, Op, Spot, What};
use scantling_takeoff::units::Length;

use super::{based, by, crew, db, house, id, lead, op, send, send_all};
use crate::{Applied, Code, Db, apply_all, conflicts, job_rev, jobs, read_job, revs_of, to_json};

fn problem(answer: &Applied) -> (Code, String, String) {
    let Applied::Rejected { code, problems } = answer else {
        panic!("{answer:?}");
    };
    let first = problems.first().unwrap();
    (*code, first.field.clone(), first.message.clone())
}

fn rev(db: &Db, thing: &str, field: &str) -> i64 {
    let entity = id(thing);
    db.read(|tx| revs_of(tx, entity)).unwrap()[field].rev
}

fn typed(db: &Db, thing: &str, field: &str) -> Vec<String> {
    let entity = id(thing);
    db.read(|tx| revs_of(tx, entity)).unwrap()[field]
        .typed
        .clone()
}

#[test]
fn a_house_comes_back_as_it_was_recorded() {
    let db = db();
    send_all(&db, &house());
    let (job, rev) = db
        .read(|tx| read_job(tx, id("house")))
        .unwrap()
        .expect("the job is there");
    assert_eq!(rev, 6);
    assert_eq!(job.name(id("wall")), "Wall D");
    assert_eq!(job.settings.tax.map(|tax| tax.0), Some(6_250));
    let run = job.get(id("run")).unwrap();
    assert_eq!(run.length("spacing"), Some(Length::inches(16)));
    assert_eq!(run.to("measured_from"), Some(id("wall")));
    assert_eq!(run.by, lead().person);
    let depth = job.measured(&Spot::of(id("run"), What::Depth)).unwrap();
    assert_eq!(depth.value, Length::inches_64(5, 40));
    let list = db.read(jobs).unwrap();
    assert_eq!((list[0].name.as_str(), list[0].rev), ("Elm Street", 6));
    assert_eq!(db.read(|tx| job_rev(tx, id("nowhere"))).unwrap(), None);
}

#[test]
fn the_same_entry_again_does_nothing_and_gives_the_first_answer() {
    let db = db();
    send_all(&db, &house());
    let again = Op {
        device_time: "2026-11-26T00:00:00.000Z".to_owned(),
        ..house()[2].clone()
    };
    let Applied::Replayed { of } = send(&db, &again) else {
        panic!("not replayed");
    };
    assert!(matches!(*of, Applied::New { seq: 3, .. }));
    assert_eq!(db.read(|tx| job_rev(tx, id("house"))).unwrap(), Some(6));
}

#[test]
fn another_entry_under_the_same_id_is_refused_and_changes_nothing() {
    let db = db();
    send_all(&db, &house());
    let mut other = house()[2].clone();
    other
        .fields
        .insert("name".to_owned(), vec!["Wall E".to_owned()]);
    assert_eq!(problem(&send(&db, &other)).0, Code::OpIdReused);
    assert_eq!(typed(&db, "wall", "name"), ["Wall D"]);
}

#[test]
fn a_refused_entry_is_refused_the_same_way_again() {
    let db = db();
    send_all(&db, &house());
    let wall = id("wall").to_string();
    let bad = op(
        "reading.add",
        "third",
        &[
            ("of", &wall),
            ("what", "length"),
            ("by", "tape"),
            ("raw", "12x"),
        ],
    );
    let first = send(&db, &bad);
    let (code, field, message) = problem(&first);
    assert_eq!((code, field.as_str()), (Code::Invalid, "raw"));
    assert!(message.contains("at character 3"), "{message}");
    assert_eq!(
        send(&db, &bad),
        Applied::Replayed {
            of: Box::new(first)
        }
    );
}

#[test]
fn what_names_a_refused_thing_waits_and_goes_in_once_it_is_there() {
    let db = db();
    send_all(&db, &house());
    let bad = op("wall.add", "wall e", &[("name", "")]);
    problem(&send(&db, &bad));
    let wall = id("wall e").to_string();
    let opening = op(
        "opening.add",
        "door",
        &[("wall", &wall), ("width", "32"), ("height", "80")],
    );
    assert_eq!(send(&db, &opening), Applied::Blocked { by: bad.op_id });
    let fixed = Op {
        replaces: Some(bad.op_id),
        ..op("wall.add", "wall e", &[("name", "Wall E")])
    };
    send_all(&db, &[fixed, opening]);
}

#[test]
fn roles_kinds_jobs_and_ids_are_checked_by_name() {
    let db = db();
    send_all(&db, &house());
    let cases = [
        (op("wall.paint", "wall", &[]), Code::UnknownKind),
        (by(crew(), op("wall.remove", "wall", &[])), Code::NotAllowed),
        (
            Op {
                job_id: id("elsewhere"),
                ..op("wall.add", "w", &[("name", "W")])
            },
            Code::UnknownJob,
        ),
        (op("wall.edit", "run", &[("name", "W")]), Code::BadId),
        (op("wall.edit", "nothing", &[("name", "W")]), Code::BadId),
        (op("wall.add", "run", &[("name", "W")]), Code::BadId),
    ];
    for (op, code) in cases {
        assert_eq!(problem(&send(&db, &op)).0, code, "{op:?}");
    }
    let forged = Op {
        author: crew().person,
        ..op("wall.add", "w2", &[("name", "W")])
    };
    let answer = db
        .write(move |tx| crate::apply(tx, &forged, &lead(), super::NOW))
        .unwrap();
    assert_eq!(problem(&answer).0, Code::NotAllowed);
}

#[test]
fn references_must_stand_in_this_job_and_be_of_a_kind_that_fits() {
    let db = db();
    send_all(&db, &house());
    let mut other = op("job.add", "barn", &[("name", "Barn")]);
    other.job_id = id("barn");
    let mut stall = op("wall.add", "stall", &[("name", "Stall")]);
    stall.job_id = id("barn");
    send_all(&db, &[other, stall]);
    send_all(&db, &[op("wall.add", "old", &[("name", "Old")])]);
    send_all(
        &db,
        &[op("wall.remove", "old", &[("reason", "counted twice")])],
    );
    for (to, why) in [
        ("nothing", "not in the record"),
        ("stall", "another job"),
        ("run", "can't be a run"),
        ("old", "taken out"),
    ] {
        let wall = id(to).to_string();
        let shore = op(
            "shore.add",
            &format!("shore {to}"),
            &[("name", "Shore"), ("week", "1"), ("wall", &wall)],
        );
        let (code, field, message) = problem(&send(&db, &shore));
        assert_eq!((code, field.as_str()), (Code::Invalid, "wall"));
        assert!(message.contains(why), "{message}");
    }
}

#[test]
fn a_dimension_that_a_thing_does_not_have_is_named() {
    let db = db();
    send_all(&db, &house());
    let wall = id("wall").to_string();
    let reading = op(
        "reading.add",
        "third",
        &[
            ("of", &wall),
            ("what", "span"),
            ("by", "tape"),
            ("raw", "12"),
        ],
    );
    let (_, field, message) = problem(&send(&db, &reading));
    assert_eq!(field, "what");
    assert!(
        message.starts_with("A wall has no span to measure."),
        "{message}"
    );
}

#[test]
fn two_edits_of_one_field_keep_both_and_the_other_field_goes_in() {
    let db = db();
    send_all(&db, &house());
    send_all(
        &db,
        &[based(
            op("wall.edit", "wall", &[("name", "Wall North")]),
            &[("name", 1)],
        )],
    );
    let late = by(
        crew(),
        based(
            op("wall.edit", "wall", &[("name", "Wall 4"), ("studs", "11")]),
            &[("name", 1), ("studs", 0)],
        ),
    );
    let Applied::Conflict {
        revs,
        conflicts: kept,
        ..
    } = send(&db, &late)
    else {
        panic!("no conflict");
    };
    assert_eq!(revs.get("studs"), Some(&1));
    assert_eq!(kept.len(), 1);
    assert_eq!((kept[0].base_rev, kept[0].server_rev), (1, 2));
    assert_eq!(kept[0].server_value, ["Wall North"]);
    assert_eq!(kept[0].by, lead().person);
    assert_eq!(typed(&db, "wall", "name"), ["Wall North"]);
    let open = db.read(|tx| conflicts(tx, id("house"))).unwrap();
    assert_eq!((open.len(), open[0].by), (1, crew().person));
    assert_eq!(open[0].yours, ["Wall 4"]);

    let mine = based(
        op("wall.edit", "wall", &[("name", "Wall 4")]),
        &[("name", 2)],
    );
    send_all(&db, &[mine]);
    assert_eq!(typed(&db, "wall", "name"), ["Wall 4"]);
    assert_eq!(db.read(|tx| conflicts(tx, id("house"))).unwrap(), []);
}

#[test]
fn saying_again_what_stands_settles_a_conflict() {
    let db = db();
    send_all(&db, &house());
    let late = based(
        op("wall.edit", "wall", &[("name", "Wall 4")]),
        &[("name", 0)],
    );
    assert!(matches!(send(&db, &late), Applied::Conflict { .. }));
    let theirs = based(
        op("wall.edit", "wall", &[("name", "Wall D")]),
        &[("name", 1)],
    );
    send_all(&db, &[theirs]);
    assert_eq!(db.read(|tx| conflicts(tx, id("house"))).unwrap(), []);
    assert_eq!(typed(&db, "wall", "name"), ["Wall D"]);
}

#[test]
fn an_equal_value_on_an_old_revision_is_no_conflict() {
    let db = db();
    send_all(&db, &house());
    let same = based(
        op("wall.edit", "wall", &[("name", "Wall D")]),
        &[("name", 7)],
    );
    send_all(&db, &[same]);
    assert_eq!(rev(&db, "wall", "name"), 1);
}

#[test]
fn an_emptied_field_keeps_its_revision_and_has_no_value() {
    let db = db();
    send_all(&db, &house());
    let empty = based(
        op("wall.edit", "wall", &[("bearing", "")]),
        &[("bearing", 1)],
    );
    send_all(&db, &[empty]);
    assert_eq!(rev(&db, "wall", "bearing"), 2);
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    assert_eq!(job.get(id("wall")).unwrap().text("bearing"), None);
}

#[test]
fn lengths_that_stay_are_not_read_again_when_the_job_turns_metric() {
    let db = db();
    send_all(&db, &house());
    send_all(
        &db,
        &[based(
            op("job.edit", "house", &[("units", "metric")]),
            &[("units", 0)],
        )],
    );
    let edit = based(
        op("run.edit", "run", &[("spacing", "16"), ("count", "10")]),
        &[("spacing", 1), ("count", 1)],
    );
    send_all(&db, &[edit]);
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    let run = job.get(id("run")).unwrap();
    assert_eq!(run.length("spacing"), Some(Length::inches(16)));
    assert_eq!(run.number("count"), Some(10));
}

#[test]
fn what_is_done_to_a_thing_that_was_taken_out_is_a_conflict_and_is_kept() {
    let db = db();
    send_all(&db, &house());
    send_all(
        &db,
        &[op("run.remove", "run", &[("reason", "it is a wall")])],
    );
    let late = by(
        crew(),
        based(op("run.edit", "run", &[("count", "8")]), &[("count", 1)]),
    );
    let Applied::Conflict { entity_deleted, .. } = send(&db, &late) else {
        panic!("no conflict");
    };
    assert_eq!(entity_deleted.as_deref(), Some("it is a wall"));
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    assert!(job.get(id("run")).is_none());
    assert_eq!(job.ever(id("run")).unwrap().number("count"), Some(9));
}

#[test]
fn a_week_comes_once_and_fields_must_fit_each_other() {
    let db = db();
    send_all(&db, &house());
    send_all(&db, &[op("week.add", "one", &[("number", "1")])]);
    let twice = op("week.add", "other", &[("number", "1")]);
    assert_eq!(problem(&send(&db, &twice)).1, "number");
    let wall = id("wall").to_string();
    let plate = op(
        "plate.add",
        "plate",
        &[
            ("name", "Plate"),
            ("week", "1"),
            ("wall", &wall),
            ("plate", "bottom"),
            ("from", "96"),
            ("to", "60"),
            ("nominal", "2x4"),
        ],
    );
    assert_eq!(problem(&send(&db, &plate)).1, "to");
}

#[test]
fn a_change_is_done_once_and_undone_before_it_is_anything_else() {
    let db = db();
    send_all(&db, &house());
    let wall = id("wall").to_string();
    send_all(
        &db,
        &[op(
            "shore.add",
            "shore",
            &[
                ("name", "Shore"),
                ("week", "1"),
                ("wall", &wall),
                ("stands_on", "ground"),
            ],
        )],
    );
    let state =
        |to: &str, base: &[(&str, i64)]| based(op("change.state", "shore", &[("state", to)]), base);
    let stands = || {
        let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
        job.get(id("shore")).unwrap().state.clone()
    };
    assert_eq!(stands(), "planned");
    send_all(&db, &[state("ready", &[("state", 0)])]);
    assert_eq!(stands(), "ready");
    let late = state("dropped", &[("state", 0)]);
    assert!(matches!(send(&db, &late), Applied::Conflict { .. }));
    assert_eq!(stands(), "ready");
    problem(&send(&db, &by(crew(), op("change.done", "shore", &[]))));
    send_all(&db, &[super::holds::engineer_on_shore()]);
    send_all(
        &db,
        &[super::holds::released(&db, "shore", "start", "signed")],
    );
    let done = op("change.done", "shore", &[("note", "up")]);
    send_all(&db, &[by(crew(), done)]);
    assert_eq!(stands(), "done");
    problem(&send(
        &db,
        &op("change.done", "shore", &[("note", "again")]),
    ));
    problem(&send(&db, &state("planned", &[])));
    send_all(
        &db,
        &[op("change.undone", "shore", &[("reason", "wrong one")])],
    );
    assert_eq!(stands(), "under_way");
}

#[test]
fn a_reading_can_not_be_changed_even_in_sql() {
    let db = db();
    send_all(&db, &house());
    for sql in [
        "UPDATE field SET typed = '9' WHERE name = 'raw'",
        "DELETE FROM field WHERE name = 'raw'",
        "INSERT INTO field (entity_id, name, position, typed, rev, seq)
         SELECT e.id, 'more', 0, 'x', 1, 1 FROM entity AS e WHERE e.kind = 'reading'",
        "UPDATE op SET fields = '{}'",
        "DELETE FROM op",
        "DELETE FROM entity",
        "INSERT OR REPLACE INTO op SELECT * FROM op WHERE seq = 1",
    ] {
        let out = db.write(move |tx| {
            tx.execute(sql, [])
                .map_err(crate::error::failed("break a rule"))
        });
        assert!(out.is_err(), "{sql}");
    }
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    assert_eq!(job.count(Kind::Reading), 2);
}

#[test]
fn a_form_goes_in_whole_or_not_at_all() {
    let db = db();
    send_all(&db, &house());
    let wall = id("wall e").to_string();
    let form = |raw: &str| {
        vec![
            op("wall.add", "wall e", &[("name", "Wall E")]),
            Op {
                op_id: id("reading of the form"),
                ..op(
                    "reading.add",
                    "of e",
                    &[
                        ("of", &wall),
                        ("what", "length"),
                        ("by", "tape"),
                        ("raw", raw),
                    ],
                )
            },
        ]
    };
    let bad = form("twelve");
    let answers = db
        .write(move |tx| apply_all(tx, &bad, &lead(), super::NOW))
        .unwrap();
    assert_eq!(answers.len(), 2);
    assert_eq!(problem(&answers[1]).1, "raw");
    assert_eq!(db.read(|tx| job_rev(tx, id("house"))).unwrap(), Some(6));
    let good = form("12");
    let answers = db
        .write(move |tx| apply_all(tx, &good, &lead(), super::NOW))
        .unwrap();
    assert!(answers.iter().all(|a| matches!(a, Applied::New { .. })));
}

#[test]
fn a_reading_counts_from_when_it_was_taken_but_never_from_the_future() {
    let db = db();
    send_all(&db, &house()[..3]);
    let wall = id("wall").to_string();
    let mut op = op(
        "reading.add",
        "fast clock",
        &[
            ("of", &wall),
            ("what", "length"),
            ("by", "tape"),
            ("raw", "12"),
        ],
    );
    op.device_time = "2031-01-01T00:00:00Z".to_owned();
    send_all(&db, &[op]);
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    assert_eq!(job.get(id("fast clock")).unwrap().at, super::NOW);
}

/// A shuffle-proof day's work: each entry stands by itself once the house is there.
fn work() -> Vec<Op> {
    let wall = id("wall").to_string();
    let mut ops = house();
    for n in 1..=4 {
        let raw = format!("{} 1/{n}", 90 + n);
        ops.push(op(
            "reading.add",
            &format!("reading {n}"),
            &[
                ("of", &wall),
                ("what", "length"),
                ("by", "tape"),
                ("raw", &raw),
            ],
        ));
        ops.push(by(
            crew(),
            based(
                op("wall.edit", "wall", &[("name", &format!("Wall {n}"))]),
                &[("name", 1)],
            ),
        ));
    }
    ops
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn sending_entries_again_in_any_pattern_changes_nothing(again in proptest::collection::vec(0_usize..14, 0..40)) {
        let (once, often) = (db(), db());
        for op in work() {
            send(&once, &op);
        }
        let ops = work();
        let mut sent = 0;
        for n in again {
            if sent < ops.len() && n % 2 == 0 {
                send(&often, &ops[sent]);
                sent += 1;
            } else if n < sent {
                let answer = send(&often, &ops[n]);
                let replayed = matches!(answer, Applied::Replayed { .. });
                prop_assert!(replayed);
            }
        }
        for op in &ops[sent..] {
            send(&often, op);
        }
        for op in &ops {
            send(&often, op);
        }
        let text = |db: &Db| {
            let file = db.read(|tx| crate::export(tx, id("house"))).unwrap().unwrap();
            to_json(&file)
        };
        prop_assert_eq!(text(&once), text(&often));
        prop_assert_eq!(
            once.read(|tx| conflicts(tx, id("house"))).unwrap(),
            often.read(|tx| conflicts(tx, id("house"))).unwrap()
        );
    }
}
