//! The store: the lock, re-opening, groups of writes, readers.

use std::sync::mpsc::channel;

use scantling_takeoff::record::Role;

use super::{Folder, house, id, lead, people, send_all};
use crate::error::failed;
use crate::writer::{Waiting, Write, write_group};
use crate::{Db, Error, add_person, apply, job_rev, jobs, server_id};

#[test]
fn a_folder_that_is_opened_again_has_everything_and_the_same_id() {
    let folder = Folder::new();
    let first = Db::open(&folder.0).unwrap();
    first.write(people).unwrap();
    send_all(&first, &house());
    let server = first.read(server_id).unwrap();
    drop(first);
    let again = Db::open(&folder.0).unwrap();
    assert_eq!(again.read(server_id).unwrap(), server);
    assert_eq!(again.read(|tx| job_rev(tx, id("house"))).unwrap(), Some(6));
}

#[test]
fn a_second_server_is_told_who_holds_the_folder_and_a_reader_is_let_in() {
    let folder = Folder::new();
    let first = Db::open(&folder.0).unwrap();
    first.write(people).unwrap();
    send_all(&first, &house());
    assert_eq!(
        Db::open(&folder.0).unwrap_err().to_string(),
        format!(
            "the data folder is in use by process {}; stop that one first",
            std::process::id()
        )
    );
    let reader = Db::open_reader(&folder.0).unwrap();
    assert_eq!(reader.read(jobs).unwrap().len(), 1);
    assert!(matches!(reader.write(people), Err(Error::ReadsOnly)));
    drop(first);
    Db::open(&folder.0).unwrap();
}

#[test]
fn a_reader_of_an_empty_folder_makes_nothing() {
    let folder = Folder::new();
    assert!(Db::open_reader(&folder.0).is_err());
    assert_eq!(std::fs::read_dir(&folder.0).unwrap().count(), 0);
}

#[test]
fn a_file_that_is_no_database_is_refused_and_left_as_it_is() {
    let folder = Folder::new();
    let path = folder.0.join("scantling.db");
    std::fs::write(&path, "a letter, not a database, and long enough to look").unwrap();
    assert!(matches!(Db::open(&folder.0), Err(Error::Damaged(_))));
    assert!(
        std::fs::read_to_string(&path)
            .unwrap()
            .starts_with("a letter")
    );
}

#[test]
fn readers_can_not_write() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    let out = db.read(|tx| {
        tx.execute("DELETE FROM wrong_code", [])
            .map_err(failed("write while reading"))
    });
    assert!(matches!(out, Err(Error::NotSaving(_))), "{out:?}");
}

#[test]
fn many_writers_share_commits_and_each_gets_its_own_answer() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    db.write(people).unwrap();
    send_all(&db, &house());
    let (answers, answered) = channel();
    for n in 0..300 {
        let op = super::op(
            "note.add",
            &format!("note {n}"),
            &[
                ("of", &id("wall").to_string()),
                ("text", &format!("Note {n}")),
            ],
        );
        let answers = answers.clone();
        db.submit(
            move |tx| {
                if n % 10 == 9 {
                    // Half done, then broken: nothing of it may stay.
                    apply(tx, &op, &lead(), super::NOW)?;
                    return Err(Error::Stopped);
                }
                apply(tx, &op, &lead(), super::NOW)
            },
            move |out| answers.send((n, out.is_ok())).unwrap(),
        )
        .unwrap();
    }
    let mut all: Vec<(i32, bool)> = answered.iter().take(300).collect();
    all.sort_unstable();
    assert!(all.iter().all(|(n, ok)| *ok == (n % 10 != 9)));
    let stored: i64 = db
        .read(|tx| {
            tx.query_row(
                "SELECT count(*) FROM entity WHERE kind = 'note'",
                [],
                |row| row.get(0),
            )
            .map_err(failed("count"))
        })
        .unwrap();
    assert_eq!(stored, 270);
}

#[test]
fn more_readers_than_connections_wait_and_all_are_served() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    std::thread::scope(|scope| {
        for _ in 0..12 {
            scope.spawn(|| assert_eq!(db.read(jobs).unwrap(), []));
        }
    });
}

#[test]
fn a_full_disk_is_said_and_what_was_answered_as_saved_is_there() {
    let folder = Folder::new();
    let path = folder.0.join("full.db");
    let mut connection = rusqlite::Connection::open(&path).unwrap();
    crate::settings::writer(&connection, "wal").unwrap();
    crate::migrate::run(&mut connection).unwrap();
    let pages: i64 = connection
        .pragma_query_value(None, "page_count", |row| row.get(0))
        .unwrap();
    connection
        .pragma_update(None, "max_page_count", pages)
        .unwrap();
    let (answers, answered) = channel();
    let person = |name: &'static str| -> Box<dyn Waiting> {
        let answers = answers.clone();
        Box::new(Write::new(
            move |tx: &crate::Tx<'_>| add_person(tx, id(name), name, Role::Crew),
            move |out: Result<(), Error>| answers.send((name, out)).unwrap(),
        ))
    };
    let filler = {
        let answers = answers.clone();
        Box::new(Write::new(
            |tx: &crate::Tx<'_>| {
                tx.execute(
                    "INSERT INTO wrong_code (at) SELECT hex(randomblob(1000000))",
                    [],
                )
                .map(|_| ())
                .map_err(failed("fill the disk"))
            },
            move |out| answers.send(("filler", out)).unwrap(),
        ))
    };
    write_group(&mut connection, vec![person("Ann"), filler, person("Ben")]);
    let mut n_full = 0;
    for (name, out) in answered.try_iter() {
        let stored: bool = connection
            .query_row(
                "SELECT EXISTS (SELECT 1 FROM person WHERE name = ?1)",
                [name],
                |row| row.get(0),
            )
            .unwrap();
        assert_eq!(out.is_ok(), stored, "{name}: {out:?}");
        n_full += u32::from(matches!(out, Err(Error::DiskFull)));
    }
    assert!(n_full >= 1);
}
