//! Things and fields as they stand, looked up for an entry that wants to change them.

use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

use rusqlite::{OptionalExtension, Transaction};
use scantling_takeoff::record::{Kind, Value};
use uuid::Uuid;

use crate::Error;
use crate::error::{failed, uuid};
use crate::job::kind_named;

/// A thing as it stands.
pub(crate) struct Thing {
    pub(crate) kind: Kind,
    pub(crate) job_id: Uuid,
    pub(crate) state: String,
    pub(crate) state_rev: i64,
    pub(crate) gone: Option<String>,
}

/// A field as it stands.
pub(crate) struct Standing {
    pub(crate) rev: i64,
    pub(crate) values: Vec<Value>,
    pub(crate) by: Uuid,
    pub(crate) received_at: String,
}

pub(crate) type Standings = BTreeMap<String, Standing>;

/// The thing of this id, if there is one.
pub(crate) fn thing(tx: &Transaction<'_>, id: Uuid) -> Result<Option<Thing>, Error> {
    let found: Option<(String, String, String, i64, bool, Option<String>)> = tx
        .prepare_cached(
            "SELECT kind, job_id, state, state_rev, gone_seq IS NOT NULL, gone_because FROM entity WHERE id = ?1",
        )
        .and_then(|mut statement| {
            statement
                .query_row([id.to_string()], |row| {
                    Ok((
                        row.get(0)?,
                        row.get(1)?,
                        row.get(2)?,
                        row.get(3)?,
                        row.get(4)?,
                        row.get(5)?,
                    ))
                })
                .optional()
        })
        .map_err(failed("look up a thing"))?;
    let Some((kind, job_id, state, state_rev, is_gone, because)) = found else {
        return Ok(None);
    };
    Ok(Some(Thing {
        kind: kind_named(&kind)?,
        job_id: uuid(&job_id)?,
        state,
        state_rev,
        gone: is_gone.then(|| because.unwrap_or_default()),
    }))
}

/// Every field of a thing, with who wrote it last.
pub(crate) fn standings(tx: &Transaction<'_>, entity_id: Uuid) -> Result<Standings, Error> {
    let doing = "read a thing's fields";
    let mut statement = tx
        .prepare_cached(
            "SELECT f.name, f.typed, f.number, f.to_id, f.rev, o.author_id, o.received_at
             FROM field AS f
             JOIN op AS o ON o.seq = f.seq
             WHERE f.entity_id = ?1
             ORDER BY f.name, f.position",
        )
        .map_err(failed(doing))?;
    let mut rows = statement
        .query([entity_id.to_string()])
        .map_err(failed(doing))?;
    let mut standings = Standings::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
        let text = get(1)?;
        let to: Option<String> = row.get(3).map_err(failed(doing))?;
        let standing = match standings.entry(get(0)?) {
            Entry::Occupied(there) => there.into_mut(),
            Entry::Vacant(free) => free.insert(Standing {
                rev: row.get(4).map_err(failed(doing))?,
                values: Vec::new(),
                by: uuid(&get(5)?)?,
                received_at: get(6)?,
            }),
        };
        if !text.is_empty() {
            standing.values.push(Value {
                text,
                number: row.get(2).map_err(failed(doing))?,
                to: to.as_deref().map(uuid).transpose()?,
            });
        }
    }
    Ok(standings)
}

/// Who wrote what stands in a field, and when that arrived.
///
/// # Errors
/// Those of SQLite.
pub fn who_wrote(
    tx: &Transaction<'_>,
    entity_id: Uuid,
    field: &str,
) -> Result<Option<(Uuid, String)>, Error> {
    Ok(standings(tx, entity_id)?
        .remove(field)
        .map(|standing| (standing.by, standing.received_at)))
}

/// Whether something else was wanted of a field at this revision.
pub(crate) fn is_disputed(
    tx: &Transaction<'_>,
    entity_id: Uuid,
    field: &str,
    rev: i64,
) -> Result<bool, Error> {
    tx.query_row(
        "SELECT EXISTS (SELECT 1 FROM conflict WHERE entity_id = ?1 AND field = ?2 AND server_rev = ?3)",
        (entity_id.to_string(), field, rev),
        |row| row.get(0),
    )
    .map_err(failed("look up a conflict"))
}

/// What was last done to a change, by whom, and when.
pub(crate) fn last_act(
    tx: &Transaction<'_>,
    entity_id: Uuid,
) -> Result<(String, Uuid, String), Error> {
    let found: Option<(String, String, String)> = tx
        .query_row(
            "SELECT kind, author_id, received_at FROM op
             WHERE entity_id = ?1 AND outcome = 'applied' AND kind LIKE 'change.%'
             ORDER BY seq DESC LIMIT 1",
            [entity_id.to_string()],
            |row| Ok((row.get(0)?, row.get(1)?, row.get(2)?)),
        )
        .optional()
        .map_err(failed("look up the last state"))?;
    match found {
        Some((kind, by, at)) => Ok((kind, uuid(&by)?, at)),
        None => Ok((String::new(), Uuid::nil(), String::new())),
    }
}
