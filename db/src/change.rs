//! What an entry would do, and the writing of it.

use std::collections::BTreeMap;

use rusqlite::Transaction;
use scantling_takeoff::buy::Effect;
use scantling_takeoff::record::{Kind, Op, Value};

use crate::error::failed;
use crate::outcome::{Applied, Conflict};
use crate::{Error, ledger};

/// What an entry would do.
#[derive(Debug, Default)]
pub(crate) struct Change {
    pub(crate) adds: Option<Kind>,
    pub(crate) fields: Vec<(&'static str, Vec<Value>, i64)>,
    pub(crate) state: Option<String>,
    pub(crate) removes: Option<String>,
    pub(crate) revs: BTreeMap<String, i64>,
    pub(crate) conflicts: Vec<Conflict>,
    pub(crate) was_gone: Option<String>,
    /// None where an entry of this kind moves nothing ever.
    pub(crate) effects: Option<Vec<Effect>>,
}

impl Change {
    /// What its sender is told.
    pub(crate) fn answer(&self, seq: i64) -> Applied {
        if self.conflicts.is_empty() && self.was_gone.is_none() {
            return Applied::New {
                seq,
                revs: self.revs.clone(),
            };
        }
        Applied::Conflict {
            seq,
            revs: self.revs.clone(),
            entity_deleted: self.was_gone.clone(),
            conflicts: self.conflicts.clone(),
        }
    }

    /// Writes it; the entry's own row is there already.
    pub(crate) fn write(
        &self,
        tx: &Transaction<'_>,
        op: &Op,
        seq: i64,
        received_at: &str,
    ) -> Result<(), Error> {
        let entity_id = op.entity_id.to_string();
        if let Some(kind) = self.adds {
            tx.prepare_cached(
                "INSERT INTO entity (id, job_id, kind, added_seq, state, state_rev) VALUES (?1, ?2, ?3, ?4, ?5, 0)",
            )
            .and_then(|mut statement| {
                statement.execute((
                    &entity_id,
                    op.job_id.to_string(),
                    kind.name(),
                    seq,
                    if kind.is_change() { "planned" } else { "" },
                ))
            })
            .map_err(failed("add a thing"))?;
        }
        for (name, values, rev) in &self.fields {
            self.write_field(tx, (&entity_id, seq), name, values, *rev)?;
        }
        if let Some(state) = &self.state {
            tx.execute(
                "UPDATE entity SET state = ?2, state_rev = state_rev + 1 WHERE id = ?1",
                (&entity_id, state),
            )
            .map_err(failed("change a state"))?;
        }
        if let Some(because) = &self.removes {
            tx.execute(
                "UPDATE entity SET gone_seq = ?2, gone_because = ?3 WHERE id = ?1",
                (&entity_id, seq, because),
            )
            .map_err(failed("take a thing out of the record"))?;
        }
        for conflict in &self.conflicts {
            let yours = serde_json::to_string(&conflict.yours).expect("texts are JSON");
            tx.execute(
                "INSERT INTO conflict (seq, entity_id, field, yours, base_rev, server_rev, at)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)",
                (
                    seq,
                    &entity_id,
                    &conflict.field,
                    yours,
                    conflict.base_rev,
                    conflict.server_rev,
                    received_at,
                ),
            )
            .map_err(failed("keep what was wanted"))?;
        }
        ledger::store(
            tx,
            op.job_id,
            seq,
            self.effects.as_deref().unwrap_or_default(),
        )
    }

    fn write_field(
        &self,
        tx: &Transaction<'_>,
        (entity_id, seq): (&str, i64),
        name: &str,
        values: &[Value],
        rev: i64,
    ) -> Result<(), Error> {
        if self.adds.is_none() {
            tx.prepare_cached("DELETE FROM field WHERE entity_id = ?1 AND name = ?2")
                .and_then(|mut statement| statement.execute((entity_id, name)))
                .map_err(failed("change a field"))?;
        }
        let nothing = [Value {
            text: String::new(),
            number: None,
            to: None,
        }];
        let values = if values.is_empty() { &nothing } else { values };
        let mut statement = tx
            .prepare_cached(
                "INSERT INTO field (entity_id, name, position, typed, number, to_id, rev, seq)
                 VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8)",
            )
            .map_err(failed("write a field"))?;
        for (position, value) in (0_i64..).zip(values) {
            statement
                .execute((
                    entity_id,
                    name,
                    position,
                    &value.text,
                    value.number,
                    value.to.map(|id| id.to_string()),
                    rev,
                    seq,
                ))
                .map_err(failed("write a field"))?;
        }
        Ok(())
    }
}
