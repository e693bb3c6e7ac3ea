//! The one way in: an entry is looked up, checked, and written with everything it does, in the caller's transaction.
//!
//! Each entry has an id made where it was typed. The same one again gives the stored answer and does nothing; the hash of
//! what it says (never of clocks or devices) tells the same from another that bears its id.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Transaction};
use scantling_takeoff::buy::Effect;
use scantling_takeoff::record::op::{Typed, typed_json};
use scantling_takeoff::record::{FieldProblem, Op, Role};
use serde::Serialize;
use uuid::Uuid;

use crate::error::{failed, parse};
use crate::outcome::{Applied, Code};
use crate::plan::{Stop, plan};
use crate::{Error, moment, people};

/// The most that a clock is said to be off by, in seconds: what the schema takes.
const CLOCK_RANGE_S: i64 = 400_000_000_000;

/// Who sends an entry.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Who {
    /// The person.
    pub person: Uuid,
    /// What they may.
    pub role: Role,
    /// The device.
    pub device: Uuid,
}

/// Takes an entry in: everything it does and its answer are written, or nothing. `received_at`: UTC, RFC 3339 with
/// milliseconds and `Z`.
///
/// The answer is stored too, also of a refused entry, so that sending it again gives the same. Not stored are: what waits
/// for a refused one, another entry under a known id, and what another person or device wrote.
///
/// # Errors
/// Those of SQLite; then the caller's savepoint must be given up. Refusals and conflicts are no errors.
pub fn apply(
    tx: &Transaction<'_>,
    op: &Op,
    who: &Who,
    received_at: &str,
) -> Result<Applied, Error> {
    arrive(tx, op, who, received_at, Comes::FromAPerson)
}

/// Takes the entries of one form in, all or none: where one is refused or waits, nothing of the form is written or
/// remembered, so it can be sent again under the same ids once it is put right. The answers go as far as that one.
///
/// # Errors
/// Those of SQLite.
pub fn apply_all(
    tx: &Transaction<'_>,
    ops: &[Op],
    who: &Who,
    received_at: &str,
) -> Result<Vec<Applied>, Error> {
    let step = |sql| {
        tx.execute_batch(sql)
            .map_err(failed("write a form as a whole"))
    };
    step("SAVEPOINT form")?;
    let mut answers = Vec::new();
    for op in ops {
        let answer = apply(tx, op, who, received_at);
        if !answer.as_ref().is_ok_and(Applied::is_in) {
            step("ROLLBACK TO form; RELEASE form")?;
            answers.push(answer?);
            return Ok(answers);
        }
        answers.push(answer?);
    }
    step("RELEASE form")?;
    Ok(answers)
}

/// What became of an entry of this id, if it arrived.
///
/// # Errors
/// Those of SQLite.
pub fn stored_result(tx: &Transaction<'_>, op_id: Uuid) -> Result<Option<Applied>, Error> {
    Ok(stored(tx, op_id)?.map(|(_, result)| result))
}

/// How an entry comes.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Comes<'a> {
    /// Somebody typed it now, on a page, on a phone or in a job file by hand: hold points are asked.
    FromAPerson,
    /// With a job file, as a store wrote it: what it did to the ledger, where the file says it. Whether it could be was
    /// asked when it was written, so hold points are not asked again.
    WithAFile(Option<&'a [Effect]>),
}

impl<'a> Comes<'a> {
    /// The effects on the ledger that come with it.
    pub(crate) fn effects(self) -> Option<&'a [Effect]> {
        match self {
            Self::FromAPerson => None,
            Self::WithAFile(given) => given,
        }
    }
}

/// As [`apply`], for whichever way an entry comes.
pub(crate) fn arrive(
    tx: &Transaction<'_>,
    op: &Op,
    who: &Who,
    received_at: &str,
    comes: Comes<'_>,
) -> Result<Applied, Error> {
    let hash = hash(op);
    if let Some((known, result)) = stored(tx, op.op_id)? {
        return Ok(if known == hash {
            Applied::Replayed {
                of: Box::new(result),
            }
        } else {
            refused(
                Code::OpIdReused,
                "Another entry has this id. Send this one under a new id.",
            )
        });
    }
    if op.op_id.is_nil() {
        return Ok(refused(
            Code::BadId,
            "The entry has no id. Give it one of its own.",
        ));
    }
    if (op.author, op.device) != (who.person, who.device) {
        return Ok(refused(
            Code::NotAllowed,
            "The entry was written by someone else, or on another device. Send it from there.",
        ));
    }
    let Some(device_time) = moment::read(&op.device_time) else {
        return Ok(refused(
            Code::Invalid,
            "Can't read the time of the entry. Write it like 2026-11-25T07:13:30.938Z.",
        ));
    };
    if op
        .tz_offset_min
        .is_some_and(|min| !(-1440..=1440).contains(&min))
    {
        return Ok(refused(
            Code::Invalid,
            "The offset from UTC is more than a day. Send it in minutes, as in -300.",
        ));
    }
    if op
        .clock_off_s
        .is_some_and(|s| !(-CLOCK_RANGE_S..=CLOCK_RANGE_S).contains(&s))
    {
        return Ok(refused(
            Code::Invalid,
            "The clock can't be off by so much. Send it in seconds, as in -300.",
        ));
    }
    let seq = tx
        .query_row("SELECT coalesce(max(seq), 0) + 1 FROM op", [], |row| {
            row.get(0)
        })
        .map_err(failed("number an entry"))?;
    let (answer, change) = match plan(tx, op, who, comes) {
        Ok(change) => (change.answer(seq), Some(change)),
        Err(Stop::Refused(code, problems)) => (Applied::Rejected { code, problems }, None),
        Err(Stop::Blocked(by)) => return Ok(Applied::Blocked { by }),
        Err(Stop::Broken(error)) => return Err(error),
    };
    let row = Row {
        op,
        seq,
        hash: &hash,
        device_time: &device_time,
        received_at,
        answer: &answer,
        effects: change.as_ref().and_then(|change| change.effects.as_deref()),
    };
    row.store(tx)?;
    if let Some(change) = change {
        change.write(tx, op, seq, received_at)?;
    }
    Ok(answer)
}

/// What tells an entry from another: author, job, kind, thing, fields and base.
fn hash(op: &Op) -> String {
    #[derive(Serialize)]
    struct Said<'a> {
        author: Uuid,
        job_id: Uuid,
        kind: &'a str,
        entity_id: Uuid,
        #[serde(serialize_with = "typed_json::serialize")]
        fields: &'a Typed,
        base: &'a BTreeMap<String, i64>,
    }
    people::sha256_hex(
        json(&Said {
            author: op.author,
            job_id: op.job_id,
            kind: &op.kind,
            entity_id: op.entity_id,
            fields: &op.fields,
            base: &op.base,
        })
        .as_bytes(),
    )
}

fn stored(tx: &Transaction<'_>, op_id: Uuid) -> Result<Option<(String, Applied)>, Error> {
    let found: Option<(String, String)> = tx
        .prepare_cached("SELECT hash, result FROM op WHERE op_id = ?1")
        .and_then(|mut statement| {
            statement
                .query_row([op_id.to_string()], |row| Ok((row.get(0)?, row.get(1)?)))
                .optional()
        })
        .map_err(failed("look up an entry"))?;
    found
        .map(|(hash, result)| Ok((hash, parse("result of an entry", &result)?)))
        .transpose()
}

fn refused(code: Code, message: &str) -> Applied {
    Applied::Rejected {
        code,
        problems: vec![FieldProblem {
            field: String::new(),
            message: message.to_owned(),
        }],
    }
}

/// An entry on its way into its row.
struct Row<'a> {
    op: &'a Op,
    seq: i64,
    hash: &'a str,
    device_time: &'a str,
    received_at: &'a str,
    answer: &'a Applied,
    effects: Option<&'a [Effect]>,
}

impl Row<'_> {
    fn store(&self, tx: &Transaction<'_>) -> Result<(), Error> {
        #[derive(Serialize)]
        struct Fields<'a>(#[serde(serialize_with = "typed_json::serialize")] &'a Typed);
        let op = self.op;
        tx.prepare_cached(
            "INSERT INTO op (seq, op_id, job_id, author_id, device_id, kind, entity_id, fields, base, blobs, depends,
               replaces, device_time, tz_offset_min, received_at, hash, outcome, result, effects, clock_off_seconds)
             VALUES (:seq, :op_id, :job_id, :author_id, :device_id, :kind, :entity_id, :fields, :base, :blobs, :depends,
               :replaces, :device_time, :tz_offset_min, :received_at, :hash, :outcome, :result, :effects,
               :clock_off_seconds)",
        )
        .and_then(|mut statement| {
            statement.execute(rusqlite::named_params! {
                ":seq": self.seq,
                ":op_id": op.op_id.to_string(),
                ":job_id": op.job_id.to_string(),
                ":author_id": op.author.to_string(),
                ":device_id": op.device.to_string(),
                ":kind": op.kind,
                ":entity_id": op.entity_id.to_string(),
                ":fields": json(&Fields(&op.fields)),
                ":base": json(&op.base),
                ":blobs": (!op.blobs.is_empty()).then(|| json(&op.blobs)),
                ":depends": (!op.depends.is_empty()).then(|| json(&op.depends)),
                ":replaces": op.replaces.map(|id| id.to_string()),
                ":device_time": self.device_time,
                ":tz_offset_min": op.tz_offset_min,
                ":clock_off_seconds": op.clock_off_s,
                ":received_at": self.received_at,
                ":hash": self.hash,
                ":outcome": self.answer.stored_word(),
                ":result": json(self.answer),
                ":effects": self.effects.map(json),
            })
        })
        .map_err(failed("store an entry"))?;
        Ok(())
    }
}

fn json<T: Serialize + ?Sized>(value: &T) -> String {
    serde_json::to_string(value).expect("these types have text keys and no floats")
}
