//! The record as a crew and its phones use it, against a database of its own each time.

mod apply;
mod files;
mod holds;
mod orders;
mod pairing;
mod photos;
mod store;

use std::path::PathBuf;
use std::sync::atomic::{AtomicU32, Ordering};

use scantling_takeoff::record::{Op, Role};
use uuid::Uuid;

use crate::{Applied, Db, Who, add_device, add_person};

pub(crate) const NOW: &str = "2026-11-25T07:13:30.938Z";

/// An id made from a word, the same each time.
pub(crate) fn id(word: &str) -> Uuid {
    Uuid::new_v5(&Uuid::NAMESPACE_OID, word.as_bytes())
}

pub(crate) fn lead() -> Who {
    Who {
        person: id("Ann"),
        role: Role::Lead,
        device: id("Ann's phone"),
    }
}

pub(crate) fn crew() -> Who {
    Who {
        person: id("Ben"),
        role: Role::Crew,
        device: id("Ben's phone"),
    }
}

/// A store in memory with Ann, who leads, and Ben of the crew.
pub(crate) fn db() -> Db {
    let db = Db::in_memory().unwrap();
    db.write(people).unwrap();
    db
}

pub(crate) fn people(tx: &crate::Tx<'_>) -> Result<(), crate::Error> {
    for (name, who) in [("Ann", lead()), ("Ben", crew())] {
        add_person(tx, who.person, name, who.role)?;
        add_device(tx, who.device, who.person, "Phone", None, NOW)?;
    }
    Ok(())
}

/// An entry of Ann's in the job "house"; its id is made from the kind, the thing and the fields.
pub(crate) fn op(kind: &str, thing: &str, fields: &[(&str, &str)]) -> Op {
    let mut op = Op {
        op_id: id(&format!("{kind} {thing} {fields:?}")),
        author: lead().person,
        device: lead().device,
        job_id: id("house"),
        kind: kind.to_owned(),
        entity_id: id(thing),
        device_time: NOW.to_owned(),
        ..Op::default()
    };
    for (name, text) in fields {
        let texts = op.fields.entry((*name).to_owned()).or_default();
        texts.push((*text).to_owned());
    }
    op
}

pub(crate) fn by(who: Who, op: Op) -> Op {
    Op {
        op_id: Uuid::new_v5(&op.op_id, who.person.as_bytes()),
        author: who.person,
        device: who.device,
        ..op
    }
}

pub(crate) fn based(op: Op, base: &[(&str, i64)]) -> Op {
    Op {
        op_id: Uuid::new_v5(&op.op_id, format!("{base:?}").as_bytes()),
        base: base
            .iter()
            .map(|(name, rev)| ((*name).to_owned(), *rev))
            .collect(),
        ..op
    }
}

/// Sends an entry as whoever wrote it.
pub(crate) fn send(db: &Db, op: &Op) -> Applied {
    let who = if op.author == crew().person {
        crew()
    } else {
        lead()
    };
    let op = op.clone();
    db.write(move |tx| crate::apply(tx, &op, &who, NOW))
        .unwrap()
}

/// Sends entries that must all go in as new.
pub(crate) fn send_all(db: &Db, ops: &[Op]) {
    for op in ops {
        let answer = send(db, op);
        assert!(matches!(answer, Applied::New { .. }), "{op:?}: {answer:?}");
    }
}

/// A job with a wall, a run over it and two readings.
pub(crate) fn house() -> Vec<Op> {
    let (wall, run) = (id("wall").to_string(), id("run").to_string());
    vec![
        op(
            "job.add",
            "house",
            &[("name", "Elm Street"), ("tax", "6.25")],
        ),
        op(
            "storey.add",
            "ground",
            &[("name", "Ground"), ("level", "0")],
        ),
        op(
            "wall.add",
            "wall",
            &[("name", "Wall D"), ("bearing", "yes")],
        ),
        op(
            "run.add",
            "run",
            &[
                ("name", "Ceiling joists"),
                ("piece", "ceiling_joist"),
                ("spacing", "16"),
                ("count", "9"),
                ("measured_from", &wall),
            ],
        ),
        op(
            "reading.add",
            "first",
            &[
                ("of", &wall),
                ("what", "length"),
                ("by", "tape"),
                ("raw", "144 1/2"),
            ],
        ),
        op(
            "reading.add",
            "second",
            &[
                ("of", &run),
                ("what", "depth"),
                ("by", "tape"),
                ("raw", "5 5/8"),
            ],
        ),
    ]
}

/// A folder of its own under the system's temporary one; removed when dropped.
pub(crate) struct Folder(pub(crate) PathBuf);

impl Folder {
    pub(crate) fn new() -> Self {
        static N: AtomicU32 = AtomicU32::new(0);
        let n = N.fetch_add(1, Ordering::Relaxed);
        let path = std::env::temp_dir().join(format!("scantling-db-{}-{n}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Self(path)
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        let _left_for_the_system_to_sweep = std::fs::remove_dir_all(&self.0);
    }
}
