//! Codes for new devices, and sessions.

use scantling_takeoff::record::Role;

use super::{NOW, db, id, lead};
use crate::{
    Db, NewCode, Paired, Pairing, add_code, forget_codes, open_codes, open_pairing, pair, revoke,
    revoke_others, sha256_hex, signed_in,
};

const LATER: &str = "2026-11-25T07:23:30.939Z";

fn code(db: &Db, word: &str) -> bool {
    let new = NewCode {
        id: id(word),
        hash: word.to_owned(),
        role: Role::Crew,
        person: None,
    };
    db.write(move |tx| add_code(tx, &new, NOW)).unwrap()
}

fn with(db: &Db, typed: &str, now: &'static str) -> Paired {
    let typed = typed.to_owned();
    let pairing = Pairing {
        person: id("Cy"),
        name: "Cy".to_owned(),
        device: id("Cy's phone"),
        device_name: "Phone".to_owned(),
        session_hash: sha256_hex(b"secret"),
    };
    db.write(move |tx| pair(tx, now, &pairing, |hash| hash == typed))
        .unwrap()
}

#[test]
fn like_devices_are_told_apart_by_a_number() {
    let db = db();
    let names = |db: &Db| {
        let read = db.read(|tx| {
            let mut all = tx.prepare("SELECT name FROM device ORDER BY name").unwrap();
            let names: Result<Vec<String>, _> =
                all.query_map([], |row| row.get(0)).unwrap().collect();
            Ok(names.unwrap())
        });
        read.unwrap()
    };
    // Ann's and Ben's.
    assert_eq!(names(&db), ["Phone", "Phone"]);
    assert!(code(&db, "11111111"));
    assert!(matches!(with(&db, "11111111", NOW), Paired::In { .. }));
    assert_eq!(names(&db), ["Phone", "Phone", "Phone 2"]);
}

#[test]
fn a_code_lets_one_device_in_and_is_spent() {
    let db = db();
    assert!(code(&db, "11111111"));
    assert_eq!(
        with(&db, "11111111", NOW),
        Paired::In {
            person: id("Cy"),
            role: Role::Crew
        }
    );
    assert_eq!(db.read(|tx| open_codes(tx, NOW)).unwrap(), []);
    assert_eq!(with(&db, "11111111", NOW), Paired::Wrong);
    let hash = sha256_hex(b"secret");
    let found = db.read(|tx| signed_in(tx, &hash)).unwrap().unwrap();
    assert_eq!((found.name.as_str(), found.who.role), ("Cy", Role::Crew));
    assert!(!found.is_revoked);
    assert!(db.write(|tx| revoke(tx, id("Cy's phone"), NOW)).unwrap());
    assert!(
        db.read(|tx| signed_in(tx, &hash))
            .unwrap()
            .unwrap()
            .is_revoked
    );
}

#[test]
fn three_codes_are_open_at_once_and_each_for_ten_minutes() {
    let db = db();
    for word in ["1", "2", "3"] {
        assert!(code(&db, word));
    }
    assert!(!code(&db, "4"));
    assert_eq!(with(&db, "1", LATER), Paired::Wrong);
    assert_eq!(db.read(|tx| open_codes(tx, LATER)).unwrap(), []);
    assert_eq!(db.write(|tx| forget_codes(tx, NOW)).unwrap(), 3);
    assert!(code(&db, "4"));
}

#[test]
fn five_wrong_tries_void_a_code() {
    let db = db();
    code(&db, "right");
    for _ in 0..4 {
        assert_eq!(with(&db, "wrong", NOW), Paired::Wrong);
    }
    assert_eq!(db.read(|tx| open_codes(tx, NOW)).unwrap()[0].wrong_count, 4);
    with(&db, "wrong", NOW);
    assert_eq!(with(&db, "right", NOW), Paired::Wrong);
}

#[test]
fn ten_wrong_tries_shut_pairing_until_it_is_opened() {
    let db = db();
    for _ in 0..9 {
        assert_eq!(with(&db, "wrong", NOW), Paired::Wrong);
    }
    assert_eq!(with(&db, "wrong", NOW), Paired::Shut);
    code(&db, "right");
    assert_eq!(with(&db, "right", NOW), Paired::Shut);
    db.write(open_pairing).unwrap();
    assert!(matches!(with(&db, "right", NOW), Paired::In { .. }));
}

#[test]
fn wrong_tries_of_more_than_ten_minutes_ago_do_not_count() {
    let db = db();
    for _ in 0..9 {
        with(&db, "wrong", NOW);
    }
    assert_eq!(with(&db, "wrong", LATER), Paired::Wrong);
}

#[test]
fn a_code_for_someone_known_adds_a_device_of_theirs() {
    let db = db();
    let new = NewCode {
        id: id("code"),
        hash: "x".to_owned(),
        role: Role::Guest,
        person: Some(lead().person),
    };
    db.write(move |tx| add_code(tx, &new, NOW)).unwrap();
    assert_eq!(
        with(&db, "x", NOW),
        Paired::In {
            person: lead().person,
            role: Role::Lead
        }
    );
    assert_eq!(
        db.write(|tx| revoke_others(tx, lead().device, NOW))
            .unwrap(),
        1
    );
}
