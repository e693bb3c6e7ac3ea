//! The entries about things as they arrived, for the core to say what each changed.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Transaction};
use scantling_takeoff::record::history::{Entered, Kept};
use scantling_takeoff::record::op::{Typed, typed_json};
use serde::Deserialize;
use uuid::Uuid;

use crate::error::{failed, parse, uuid};
use crate::{Applied, Error};

/// Every entry about these things that counts, in the order of arrival.
///
/// # Errors
/// Those of SQLite; a stored value that can't be read.
pub fn entered(tx: &Transaction<'_>, things: &[Uuid]) -> Result<Vec<Entered>, Error> {
    #[derive(Deserialize)]
    struct Fields(#[serde(with = "typed_json")] Typed);
    let doing = "read the entries about a thing";
    let mut statement = tx
        .prepare_cached(
            "SELECT o.seq, o.op_id, o.entity_id, o.kind, o.fields, o.result, o.author_id, d.name,
                    min(o.device_time, o.received_at)
             FROM op AS o
             JOIN device AS d ON d.id = o.device_id
             WHERE o.entity_id = ?1 AND o.outcome <> 'rejected'
             ORDER BY o.seq",
        )
        .map_err(failed(doing))?;
    let mut all: Vec<(i64, Entered)> = Vec::new();
    for thing in things {
        let mut rows = statement
            .query([thing.to_string()])
            .map_err(failed(doing))?;
        while let Some(row) = rows.next().map_err(failed(doing))? {
            let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
            let (too_late, kept) = kept(parse("result of an entry", &get(5)?)?);
            let entered = Entered {
                op_id: uuid(&get(1)?)?,
                entity_id: uuid(&get(2)?)?,
                kind: get(3)?,
                fields: parse::<Fields>("entry's fields", &get(4)?)?.0,
                kept,
                too_late,
                by: uuid(&get(6)?)?,
                device: get(7)?,
                at: get(8)?,
            };
            all.push((row.get(0).map_err(failed(doing))?, entered));
        }
    }
    all.sort_by_key(|(seq, _)| *seq);
    Ok(all.into_iter().map(|(_, entered)| entered).collect())
}

/// The devices that added these things; what nobody added is left out.
///
/// # Errors
/// Those of SQLite; a stored value that can't be read.
pub fn added_on(tx: &Transaction<'_>, things: &[Uuid]) -> Result<BTreeMap<Uuid, Uuid>, Error> {
    let doing = "read on which device a thing was added";
    let mut statement = tx
        .prepare_cached(
            "SELECT device_id FROM op WHERE entity_id = ?1 AND outcome <> 'rejected' ORDER BY seq LIMIT 1",
        )
        .map_err(failed(doing))?;
    let mut all = BTreeMap::new();
    for thing in things {
        let device: Option<String> = statement
            .query_row([thing.to_string()], |row| row.get(0))
            .optional()
            .map_err(failed(doing))?;
        if let Some(device) = device {
            all.insert(*thing, uuid(&device)?);
        }
    }
    Ok(all)
}

/// Whether an entry came too late, and what of it was kept beside.
fn kept(answer: Applied) -> (bool, Vec<Kept>) {
    let Applied::Conflict {
        entity_deleted,
        conflicts,
        ..
    } = answer
    else {
        return (false, Vec::new());
    };
    let kept = conflicts
        .into_iter()
        .map(|conflict| Kept {
            field: conflict.field,
            yours: conflict.yours,
            stood: conflict.server_value,
        })
        .collect();
    (entity_deleted.is_some(), kept)
}
