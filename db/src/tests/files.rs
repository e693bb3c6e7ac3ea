//! A job out and in again.

use scantling_takeoff::buy::{Cause, Effect, Item, Movement};
use scantling_takeoff::record::{Entry, JobFile, Op};
use uuid::Uuid;

use super::{based, by, crew, db, house, id, op, send, send_all};
use crate::{
    Applied, Db, Error, Imported, Mode, conflicts, export, from_json, import, read_job, to_json,
};

fn out(db: &Db, job: Uuid) -> String {
    to_json(&db.read(|tx| export(tx, job)).unwrap().unwrap())
}

fn into(db: &Db, file: &JobFile, mode: Mode) -> Result<Imported, Error> {
    let file = file.clone();
    db.write(move |tx| import(tx, &file, mode))
}

fn worked_on() -> Db {
    let db = db();
    send_all(&db, &house());
    send_all(
        &db,
        &[based(
            op("wall.edit", "wall", &[("name", "North")]),
            &[("name", 1)],
        )],
    );
    send(
        &db,
        &by(
            crew(),
            based(
                op("wall.edit", "wall", &[("name", "N"), ("note", "a\nb")]),
                &[("name", 1)],
            ),
        ),
    );
    send(&db, &op("wall.edit", "wall", &[("studs", "many")]));
    send_all(
        &db,
        &[op(
            "storey.add",
            "attic",
            &[("name", "Attic"), ("level", "1")],
        )],
    );
    db
}

#[test]
fn what_goes_out_comes_back_the_same_byte_for_byte() {
    let first = worked_on();
    let text = out(&first, id("house"));
    let second = Db::in_memory().unwrap();
    let came = into(&second, &from_json(&text).unwrap(), Mode::Same).unwrap();
    assert_eq!((came.n_entries, came.n_conflicts), (9, 1));
    assert_eq!(out(&second, id("house")), text);
    let read = |db: &Db| db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap().0;
    assert!(read(&first).records().eq(read(&second).records()));
    let open = |db: &Db| db.read(|tx| conflicts(tx, id("house"))).unwrap();
    assert_eq!(open(&first), open(&second));
}

#[test]
fn an_entry_of_an_imported_job_sent_again_is_known() {
    let first = worked_on();
    let file = from_json(&out(&first, id("house"))).unwrap();
    let second = Db::in_memory().unwrap();
    into(&second, &file, Mode::Same).unwrap();
    let again = send(&second, &house()[4]);
    assert!(matches!(again, Applied::Replayed { .. }));
}

#[test]
fn a_job_that_is_there_comes_in_as_a_copy_alone_and_the_copy_stands_by_itself() {
    let db = worked_on();
    let file = from_json(&out(&db, id("house"))).unwrap();
    assert_eq!(
        into(&db, &file, Mode::Same).unwrap_err().to_string(),
        format!(
            "job {} is in the record already; import it as a copy, or into an empty data folder",
            id("house")
        )
    );
    let new = id("copy");
    into(&db, &file, Mode::Copy { new }).unwrap();
    let (copy, _) = db.read(|tx| read_job(tx, new)).unwrap().unwrap();
    let wall = Uuid::new_v5(&new, id("wall").as_bytes());
    let run = Uuid::new_v5(&new, id("run").as_bytes());
    assert_eq!(copy.get(run).unwrap().to("measured_from"), Some(wall));
    assert_eq!(copy.name(wall), "North");
    let text = out(&db, new);
    for thing in ["house", "wall", "run", "first"] {
        assert!(!text.contains(&id(thing).to_string()), "{thing}");
    }
}

#[test]
fn a_file_by_hand_may_leave_out_who_and_when_and_is_filled_in_the_same_way_each_time() {
    let text = format!(
        r#"{{"format": "scantling-job", "version": 1, "job_id": "{job}", "entries": [
            {{"kind": "job.add", "entity_id": "{job}", "fields": {{"name": "Elm Street"}}}},
            {{"kind": "wall.add", "entity_id": "{wall}", "fields": {{"name": ["Wall D"]}}}}]}}"#,
        job = id("house"),
        wall = id("wall"),
    );
    let filled = || {
        let db = Db::in_memory().unwrap();
        into(&db, &from_json(&text).unwrap(), Mode::Same).unwrap();
        out(&db, id("house"))
    };
    let once = filled();
    assert_eq!(once, filled());
    assert!(
        once.contains(r#""received_at": "2000-01-01T00:00:00.001Z""#),
        "{once}"
    );
    let again = Db::in_memory().unwrap();
    into(&again, &from_json(&once).unwrap(), Mode::Same).unwrap();
    assert_eq!(out(&again, id("house")), once);
}

#[test]
fn an_edit_by_hand_has_seen_what_stands() {
    let text = format!(
        r#"{{"format": "scantling-job", "version": 1, "job_id": "{job}", "entries": [
            {{"kind": "job.add", "entity_id": "{job}", "fields": {{"name": "Elm Street"}}}},
            {{"kind": "wall.add", "entity_id": "{wall}", "fields": {{"name": "Wall D", "studs": "9"}}}},
            {{"kind": "wall.edit", "entity_id": "{wall}", "fields": {{"name": "Wall E", "note": "brick"}}}}]}}"#,
        job = id("house"),
        wall = id("wall"),
    );
    let db = Db::in_memory().unwrap();
    let came = into(&db, &from_json(&text).unwrap(), Mode::Same).unwrap();
    assert_eq!((came.n_entries, came.n_conflicts), (3, 0));
    let (job, _) = db.read(|tx| read_job(tx, id("house"))).unwrap().unwrap();
    let wall = job.get(id("wall")).unwrap();
    assert_eq!(
        (wall.name(), wall.text("note"), wall.number("studs")),
        ("Wall E", Some("brick"), Some(9))
    );
    let text = out(&db, id("house"));
    let again = Db::in_memory().unwrap();
    into(&again, &from_json(&text).unwrap(), Mode::Same).unwrap();
    assert_eq!(out(&again, id("house")), text);
}

#[test]
fn a_bad_entry_is_named_by_number_kind_and_field_and_nothing_comes_in() {
    let first = worked_on();
    let mut file = from_json(&out(&first, id("house"))).unwrap();
    file.entries[3]
        .fields
        .insert("spacing".to_owned(), vec!["sixteen".to_owned()]);
    let db = Db::in_memory().unwrap();
    let error = into(&db, &file, Mode::Same).unwrap_err().to_string();
    assert!(
        error.starts_with("entry 4 (run.add), field spacing: "),
        "{error}"
    );
    assert_eq!(db.read(crate::jobs).unwrap(), []);
    assert!(db.read(crate::people).unwrap().is_empty());
}

#[test]
fn other_formats_other_first_entries_and_strangers_are_refused() {
    let first = worked_on();
    let file = from_json(&out(&first, id("house"))).unwrap();
    let words = |file: &JobFile| {
        let db = Db::in_memory().unwrap();
        into(&db, file, Mode::Same).unwrap_err().to_string()
    };
    let later = JobFile {
        version: 2,
        ..file.clone()
    };
    assert!(words(&later).contains("version 2"));
    let mut headless = file.clone();
    headless.entries.remove(0);
    assert!(words(&headless).contains("job.add"));
    let mut strange = file.clone();
    strange.people.remove(0);
    assert!(words(&strange).contains("field author"));
    assert!(from_json("{\"format\": 3}").is_err());
}

#[test]
fn a_field_in_a_list_and_a_field_by_itself_are_the_same_entry() {
    let one: Op = serde_json::from_value(serde_json::to_value(&house()[2]).unwrap()).unwrap();
    assert_eq!(one, house()[2]);
}

/// The house with a hanger in the table and two boxes of it on hand, effects and all.
fn with_hangers() -> JobFile {
    let db = worked_on();
    send_all(
        &db,
        &[op(
            "hardware.add",
            "hanger",
            &[("name", "U-hanger"), ("type", "hanger")],
        )],
    );
    let mut file = from_json(&out(&db, id("house"))).unwrap();
    let stock = op(
        "stock.add",
        "on hand",
        &[
            ("section", "hardware"),
            ("hardware", &id("hanger").to_string()),
            ("count", "20"),
        ],
    );
    let moved = Movement {
        item: Item::Hardware { row: id("hanger") },
        row: None,
        count: 20,
        cause: Cause::Counted,
        weeks: Vec::new(),
        change: None,
        entry: stock.op_id,
        about: id("on hand"),
        reverses: None,
        instead_of: None,
    };
    let effects = Some(vec![Effect::Move(moved)]);
    file.entries
        .push(Entry::of(stock, super::NOW.to_owned(), effects));
    file
}

#[test]
fn the_ledger_comes_in_as_it_went_out_and_a_copy_names_its_own_hardware() {
    let file = with_hangers();
    let db = Db::in_memory().unwrap();
    into(&db, &file, Mode::Same).unwrap();
    assert_eq!(out(&db, id("house")), to_json(&file));
    let new = id("copy");
    into(&db, &file, Mode::Copy { new }).unwrap();
    for (job, row) in [
        (id("house"), id("hanger")),
        (new, Uuid::new_v5(&new, id("hanger").as_bytes())),
    ] {
        let (job, _) = db.read(|tx| read_job(tx, job)).unwrap().unwrap();
        assert_eq!(job.ledger.on_hand(&Item::Hardware { row }), 20);
    }
}

#[test]
fn what_was_bought_counted_and_taken_back_is_the_same_when_it_is_worked_out_anew() {
    let first = db();
    send_all(&first, &house());
    let joist = "stick;2x10;96x592;Hem-Fir;No.2;none;10752";
    let nails = "fastener;16d common;bright";
    let receipt = id("receipt").to_string();
    send_all(
        &first,
        &[
            op(
                "stock.add",
                "joists",
                &[
                    ("section", "stick"),
                    ("nominal", "2x10"),
                    ("species", "Hem-Fir"),
                    ("grade", "No.2"),
                    ("length", "14'"),
                    ("count", "3"),
                ],
            ),
            op("stock.edit", "joists", &[("lies", "porch")]),
            op(
                "stock.count",
                "a fresh id",
                &[
                    ("item", joist),
                    ("saw", "3"),
                    ("counted", "2"),
                    ("reason", "one is split"),
                ],
            ),
            op("supplier.add", "yard", &[("name", "Yard")]),
            op(
                "receipt.add",
                "receipt",
                &[("supplier", &id("yard").to_string()), ("week", "1")],
            ),
        ],
    );
    let line = |thing: &str, count: &str| {
        op(
            "bought.add",
            thing,
            &[
                ("receipt", &receipt),
                ("item", nails),
                ("weeks", "1"),
                ("count", count),
            ],
        )
    };
    send_all(&first, &[line("line", "100"), line("slip", "40")]);
    send_all(
        &first,
        &[op("bought.reverse", "slip", &[("reason", "typed twice")])],
    );
    let twice = op("bought.reverse", "slip", &[("reason", "again")]);
    assert!(matches!(send(&first, &twice), Applied::Rejected { .. }));

    let text = out(&first, id("house"));
    let mut file = from_json(&text).unwrap();
    assert!(file.entries.iter().any(|entry| entry.effects.is_some()));
    for entry in &mut file.entries {
        entry.effects = None;
    }
    let second = Db::in_memory().unwrap();
    into(&second, &file, Mode::Same).unwrap();
    assert_eq!(out(&second, id("house")), text);
    let (job, _) = second
        .read(|tx| read_job(tx, id("house")))
        .unwrap()
        .unwrap();
    let on_hand = |key: &str| job.ledger.on_hand(&Item::from_key(key).unwrap());
    assert_eq!((on_hand(joist), on_hand(nails)), (2, 100));
    assert!(job.ledger.rows.values().all(|row| row.lies == "porch"));
}

#[test]
fn a_movement_stays_and_belongs_to_its_own_entry() {
    let file = with_hangers();
    let db = Db::in_memory().unwrap();
    into(&db, &file, Mode::Same).unwrap();
    for sql in ["UPDATE movement SET item_count = 1", "DELETE FROM movement"] {
        let out = db.write(move |tx| {
            tx.execute(sql, [])
                .map_err(crate::error::failed("break a rule"))
        });
        assert!(out.is_err(), "{sql}");
    }
    let mut strange = with_hangers();
    if let Some(Effect::Move(movement)) = strange
        .entries
        .last_mut()
        .and_then(|entry| entry.effects.as_mut()?.first_mut())
    {
        movement.entry = id("another");
    }
    let error = into(&Db::in_memory().unwrap(), &strange, Mode::Same).unwrap_err();
    assert!(
        error.to_string().contains("belongs to another entry"),
        "{error}"
    );
}

#[test]
fn a_stick_that_moved_without_a_row_of_its_own_does_not_come_in() {
    let mut file = with_hangers();
    if let Some(effects) = file.entries.last_mut().and_then(|e| e.effects.as_mut()) {
        for effect in effects {
            let Effect::Move(movement) = effect else {
                continue;
            };
            movement.item = Item::from_key("stick;2x10;96x592;Hem-Fir;No.2;none;10752").unwrap();
        }
    }
    let error = into(&Db::in_memory().unwrap(), &file, Mode::Same).unwrap_err();
    assert!(
        error
            .to_string()
            .starts_with("the ledger does not come out"),
        "{error}"
    );
}
