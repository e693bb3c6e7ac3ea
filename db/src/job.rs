//! Reading: a job as the core wants it, the list of jobs, revisions for forms, and open conflicts.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Row, Transaction};
use scantling_takeoff::record::{Job, Kind, Record, Value};
use uuid::Uuid;

use crate::error::{failed, parse, uuid};
use crate::{Error, ledger};

/// A job in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct JobLine {
    /// Its id.
    pub id: Uuid,
    /// Its name.
    pub name: String,
    /// Its revision: the highest arrival number of its entries.
    pub rev: i64,
    /// When its last entry arrived.
    pub changed_at: String,
}

/// A field as it stands, for the form that edits it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FieldState {
    /// Its revision, for the entry's base.
    pub rev: i64,
    /// As typed; empty where it was emptied.
    pub typed: Vec<String>,
}

/// An entry, in short: what it did, who wrote it, when.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LastAct {
    /// The kind of entry.
    pub kind: String,
    /// Who wrote it.
    pub by: Uuid,
    /// When, UTC, RFC 3339.
    pub at: String,
}

/// What an entry wanted of a field that somebody else had changed, and what stands now.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenConflict {
    /// The entry.
    pub op_id: Uuid,
    /// The thing.
    pub entity_id: Uuid,
    /// The field; `state` for a change's state.
    pub field: String,
    /// What was wanted.
    pub yours: Vec<String>,
    /// By whom.
    pub by: Uuid,
    /// When that arrived.
    pub at: String,
    /// What stands.
    pub server_value: Vec<String>,
    /// The revision that stands, the base for "use mine" and for "keep theirs" (an edit that says again what stands).
    pub server_rev: i64,
}

/// A job as it stands, with its revision; none where there is no such job.
///
/// # Errors
/// Those of SQLite; a stored value that can't be read.
pub fn read_job(tx: &Transaction<'_>, job_id: Uuid) -> Result<Option<(Job, i64)>, Error> {
    let Some(rev) = job_rev(tx, job_id)? else {
        return Ok(None);
    };
    let doing = "read a job";
    let mut things = tx
        .prepare_cached(
            "SELECT e.id, e.kind, e.state, e.gone_seq IS NOT NULL, e.gone_because, o.author_id,
                    min(o.device_time, o.received_at), o.clock_off_seconds
             FROM entity AS e
             JOIN op AS o ON o.seq = e.added_seq
             WHERE e.job_id = ?1
             ORDER BY e.id",
        )
        .map_err(failed(doing))?;
    // The cross join keeps the order of the loops: along the job's things, each with its fields side by side, unsorted.
    let mut fields = tx
        .prepare_cached(
            "SELECT f.entity_id, f.name, f.typed, f.number, f.to_id
             FROM entity AS e
             CROSS JOIN field AS f ON f.entity_id = e.id
             WHERE e.job_id = ?1
             ORDER BY e.id, f.name, f.position",
        )
        .map_err(failed(doing))?;
    let mut things = things.query([job_id.to_string()]).map_err(failed(doing))?;
    let mut fields = fields.query([job_id.to_string()]).map_err(failed(doing))?;
    let mut field = fields.next().map_err(failed(doing))?;
    let mut records = Vec::new();
    while let Some(row) = things.next().map_err(failed(doing))? {
        let id = row.get_ref(0).map_err(failed(doing))?;
        let mut record = record_of(row)?;
        while let Some(next) = field {
            if next.get_ref(0).map_err(failed(doing))? != id {
                break;
            }
            take(&mut record, next)?;
            field = fields.next().map_err(failed(doing))?;
        }
        records.push(record);
    }
    let ledger = ledger::read(tx, job_id)?;
    Ok(Some((Job::new(job_id, records, ledger), rev)))
}

/// The revision of a job: the highest arrival number of its entries; none where there is no such job.
///
/// # Errors
/// Those of SQLite.
pub fn job_rev(tx: &Transaction<'_>, job_id: Uuid) -> Result<Option<i64>, Error> {
    tx.prepare_cached(
        "SELECT (SELECT max(seq) FROM op WHERE op.job_id = entity.id) FROM entity WHERE id = ?1 AND kind = 'job'",
    )
    .and_then(|mut statement| {
        statement
            .query_row([job_id.to_string()], |row| row.get(0))
            .optional()
    })
    .map_err(failed("read a job's revision"))
}

/// Every job, by name.
///
/// # Errors
/// Those of SQLite.
pub fn jobs(tx: &Transaction<'_>) -> Result<Vec<JobLine>, Error> {
    let doing = "read the list of jobs";
    let mut statement = tx
        .prepare_cached(
            "SELECT e.id, f.typed, o.seq, o.received_at
             FROM entity AS e
             JOIN field AS f ON f.entity_id = e.id AND f.name = 'name'
             JOIN op AS o ON o.seq = (SELECT max(seq) FROM op WHERE job_id = e.id)
             WHERE e.kind = 'job'
             ORDER BY f.typed, e.id",
        )
        .map_err(failed(doing))?;
    let rows = statement
        .query_map([], |row| {
            Ok((
                row.get::<_, String>(0)?,
                row.get(1)?,
                row.get(2)?,
                row.get(3)?,
            ))
        })
        .map_err(failed(doing))?;
    let mut jobs = Vec::new();
    for row in rows {
        let (id, name, rev, changed_at) = row.map_err(failed(doing))?;
        jobs.push(JobLine {
            id: uuid(&id)?,
            name,
            rev,
            changed_at,
        });
    }
    Ok(jobs)
}

/// Every field of a thing with its revision, for the form that edits it. A change's state is among them as `state`.
///
/// # Errors
/// Those of SQLite.
pub fn revs_of(
    tx: &Transaction<'_>,
    entity_id: Uuid,
) -> Result<BTreeMap<String, FieldState>, Error> {
    let doing = "read the fields of a thing";
    let mut statement = tx
        .prepare_cached(
            "SELECT name, typed, rev, position FROM field WHERE entity_id = ?1
             UNION ALL
             SELECT 'state', state, state_rev, 0 FROM entity WHERE id = ?1 AND state <> ''
             ORDER BY name, position",
        )
        .map_err(failed(doing))?;
    let mut rows = statement
        .query([entity_id.to_string()])
        .map_err(failed(doing))?;
    let mut fields: BTreeMap<String, FieldState> = BTreeMap::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let rev = row.get(2).map_err(failed(doing))?;
        let state = fields
            .entry(row.get(0).map_err(failed(doing))?)
            .or_insert(FieldState {
                rev,
                typed: Vec::new(),
            });
        let typed: String = row.get(1).map_err(failed(doing))?;
        if !typed.is_empty() {
            state.typed.push(typed);
        }
    }
    Ok(fields)
}

/// The conflicts of a job that nobody has settled: the field still stands as it stood then.
///
/// # Errors
/// Those of SQLite.
pub fn conflicts(tx: &Transaction<'_>, job_id: Uuid) -> Result<Vec<OpenConflict>, Error> {
    let doing = "read the conflicts";
    let mut statement = tx
        .prepare_cached(
            "SELECT o.op_id, c.entity_id, c.field, c.yours, o.author_id, c.at, c.server_rev
             FROM conflict AS c
             JOIN entity AS e ON e.id = c.entity_id
             JOIN op AS o ON o.seq = c.seq
             WHERE e.job_id = ?1 AND e.gone_seq IS NULL
             ORDER BY o.seq, c.field",
        )
        .map_err(failed(doing))?;
    let mut rows = statement
        .query([job_id.to_string()])
        .map_err(failed(doing))?;
    let mut open = Vec::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
        let (entity_id, field) = (uuid(&get(1)?)?, get(2)?);
        let server_rev: i64 = row.get(6).map_err(failed(doing))?;
        let stands = revs_of(tx, entity_id)?.remove(&field);
        if stands.as_ref().map_or(0, |stands| stands.rev) != server_rev {
            continue;
        }
        open.push(OpenConflict {
            op_id: uuid(&get(0)?)?,
            entity_id,
            field,
            yours: parse("conflict", &get(3)?)?,
            by: uuid(&get(4)?)?,
            at: get(5)?,
            server_value: stands.map_or_else(Vec::new, |stands| stands.typed),
            server_rev,
        });
    }
    Ok(open)
}

/// What was last done to each change of a job (the kind of entry), by whom, and when it was written.
///
/// # Errors
/// Those of SQLite.
pub fn last_acts(tx: &Transaction<'_>, job_id: Uuid) -> Result<BTreeMap<Uuid, LastAct>, Error> {
    let doing = "read what was last done to changes";
    let mut statement = tx
        .prepare_cached(
            "SELECT entity_id, kind, author_id, min(device_time, received_at)
             FROM op
             WHERE job_id = ?1 AND outcome = 'applied' AND kind LIKE 'change.%'
             ORDER BY seq",
        )
        .map_err(failed(doing))?;
    let mut rows = statement
        .query([job_id.to_string()])
        .map_err(failed(doing))?;
    let mut acts = BTreeMap::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
        let act = LastAct {
            kind: get(1)?,
            by: uuid(&get(2)?)?,
            at: get(3)?,
        };
        acts.insert(uuid(&get(0)?)?, act);
    }
    Ok(acts)
}

/// When these entries were written, and by whom; what is not an entry is left out.
///
/// # Errors
/// Those of SQLite.
pub fn written_at(
    tx: &Transaction<'_>,
    entries: &[Uuid],
) -> Result<BTreeMap<Uuid, LastAct>, Error> {
    let doing = "read when entries were written";
    let mut statement = tx
        .prepare_cached(
            "SELECT kind, author_id, min(device_time, received_at) FROM op WHERE op_id = ?1",
        )
        .map_err(failed(doing))?;
    let mut found = BTreeMap::new();
    for entry in entries {
        let mut rows = statement
            .query([entry.to_string()])
            .map_err(failed(doing))?;
        if let Some(row) = rows.next().map_err(failed(doing))? {
            let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
            let act = LastAct {
                kind: get(0)?,
                by: uuid(&get(1)?)?,
                at: get(2)?,
            };
            found.insert(*entry, act);
        }
    }
    Ok(found)
}

/// A stored kind.
pub(crate) fn kind_named(name: &str) -> Result<Kind, Error> {
    Kind::named(name).ok_or_else(|| Error::Stored {
        what: "kind",
        value: name.to_owned(),
    })
}

fn record_of(row: &Row<'_>) -> Result<Record, Error> {
    let doing = "read a thing";
    let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
    let is_gone: bool = row.get(3).map_err(failed(doing))?;
    let because: Option<String> = row.get(4).map_err(failed(doing))?;
    Ok(Record {
        id: uuid(&get(0)?)?,
        kind: kind_named(&get(1)?)?,
        fields: BTreeMap::new(),
        by: uuid(&get(5)?)?,
        at: get(6)?,
        state: get(2)?,
        gone: is_gone.then(|| because.unwrap_or_default()),
        clock_off_s: row.get(7).map_err(failed(doing))?,
    })
}

/// Puts a row's value into its record; an emptied field has none.
fn take(record: &mut Record, row: &Row<'_>) -> Result<(), Error> {
    let doing = "read a field";
    let text: String = row.get(2).map_err(failed(doing))?;
    if text.is_empty() {
        return Ok(());
    }
    let to = match row.get_ref(4).map_err(failed(doing))?.as_str_or_null() {
        Ok(to) => to.map(uuid).transpose()?,
        Err(error) => return Err(failed(doing)(error.into())),
    };
    record
        .fields
        .entry(row.get(1).map_err(failed(doing))?)
        .or_default()
        .push(Value {
            text,
            number: row.get(3).map_err(failed(doing))?,
            to,
        });
    Ok(())
}
