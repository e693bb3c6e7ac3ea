//! The ledger's rows and movements: what an entry does to them comes from the core, or from a job file.

use rusqlite::Transaction;
use scantling_takeoff::buy::{Effect, Ledger, Values, effects};
use scantling_takeoff::record::{FieldProblem, Op};
use uuid::Uuid;

use crate::error::{failed, parse};
use crate::{Error, read_job};

/// Reads the ledger of a job; movements in the order of arrival.
pub(crate) fn read(tx: &Transaction<'_>, job_id: Uuid) -> Result<Ledger, Error> {
    let mut ledger = Ledger::default();
    let rows = bodies(
        tx,
        "SELECT body FROM stock_row WHERE job_id = ?1 ORDER BY id",
        job_id,
    )?;
    for body in rows {
        ledger.apply(&[Effect::Put(parse("row of the ledger", &body)?)]);
    }
    let movements = bodies(
        tx,
        "SELECT body FROM movement WHERE job_id = ?1 ORDER BY seq, position",
        job_id,
    )?;
    for body in movements {
        ledger.apply(&[Effect::Move(parse("movement", &body)?)]);
    }
    let facts = bodies(
        tx,
        "SELECT body FROM ledger_fact WHERE job_id = ?1 ORDER BY seq, position",
        job_id,
    )?;
    for body in facts {
        ledger.apply(&[parse::<Effect>("fact of the ledger", &body)?]);
    }
    Ok(ledger)
}

/// Stores what an entry does: rows first, since movements name them.
pub(crate) fn store(
    tx: &Transaction<'_>,
    job_id: Uuid,
    seq: i64,
    effects: &[Effect],
) -> Result<(), Error> {
    for effect in effects {
        let Effect::Put(row) = effect else { continue };
        tx.prepare_cached(
            "INSERT INTO stock_row (id, job_id, item, is_here, body) VALUES (?1, ?2, ?3, ?4, ?5)
             ON CONFLICT (id) DO UPDATE SET item = ?3, is_here = ?4, body = ?5",
        )
        .and_then(|mut statement| {
            statement.execute((
                row.id.to_string(),
                job_id.to_string(),
                row.item.to_key(),
                if row.is_here() { "yes" } else { "no" },
                json(row),
            ))
        })
        .map_err(failed("store a row of the ledger"))?;
    }
    for (position, effect) in (0_i64..).zip(effects) {
        let Effect::Move(movement) = effect else {
            continue;
        };
        tx.prepare_cached(
            "INSERT INTO movement (seq, position, job_id, item, row_id, item_count, cause, body)
             VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
        )
        .and_then(|mut statement| {
            statement.execute((
                seq,
                position,
                job_id.to_string(),
                movement.item.to_key(),
                movement.row.map(|id| id.to_string()),
                movement.count,
                json(&movement.cause).trim_matches('"'),
                json(movement),
            ))
        })
        .map_err(failed("store a movement"))?;
    }
    for (position, effect) in (0_i64..).zip(effects) {
        let fact = match effect {
            Effect::Put(_) | Effect::Move(_) => continue,
            Effect::Order(_) => "order",
            Effect::Keep(_) => "keep",
            Effect::Share(_) => "share",
        };
        tx.prepare_cached(
            "INSERT INTO ledger_fact (seq, position, job_id, fact, body) VALUES (?1, ?2, ?3, ?4, ?5)",
        )
        .and_then(|mut statement| {
            statement.execute((seq, position, job_id.to_string(), fact, json(effect)))
        })
        .map_err(failed("store a fact of the ledger"))?;
    }
    Ok(())
}

/// What an entry does to the ledger of its job, by the core; or why it can't be.
pub(crate) fn worked_out(
    tx: &Transaction<'_>,
    op: &Op,
    values: &Values,
) -> Result<Result<Vec<Effect>, FieldProblem>, Error> {
    let job = read_job(tx, op.job_id)?;
    Ok(job.map_or_else(|| Ok(Vec::new()), |(job, _)| effects(&job, op, values)))
}

/// Whether a row of this id belongs to another job.
pub(crate) fn is_of_another_job(
    tx: &Transaction<'_>,
    row: Uuid,
    job_id: Uuid,
) -> Result<bool, Error> {
    tx.query_row(
        "SELECT EXISTS (SELECT 1 FROM stock_row WHERE id = ?1 AND job_id <> ?2)",
        (row.to_string(), job_id.to_string()),
        |row| row.get(0),
    )
    .map_err(failed("look up a row of the ledger"))
}

fn bodies(tx: &Transaction<'_>, sql: &'static str, job_id: Uuid) -> Result<Vec<String>, Error> {
    tx.prepare_cached(sql)
        .and_then(|mut statement| {
            statement
                .query_map([job_id.to_string()], |row| row.get(0))?
                .collect()
        })
        .map_err(failed("read the ledger"))
}

fn json<T: serde::Serialize>(value: &T) -> String {
    serde_json::to_string(value).expect("the ledger's types have text keys and no floats")
}
