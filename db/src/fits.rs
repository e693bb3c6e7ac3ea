//! Whether what an entry says fits what is there: references, dimensions, weeks, effects.

use std::collections::BTreeMap;

use rusqlite::Transaction;
use scantling_takeoff::buy::{Effect, Values};
use scantling_takeoff::record::{Does, Field, FieldProblem, FieldType, Kind, Op, OpKind, What};
use uuid::Uuid;

use crate::change::Change;
use crate::error::failed;
use crate::outcome::Code;
use crate::plan::{Stop, blocked, stop};
use crate::standing::thing;
use crate::{Error, ledger};

/// Looks every reference up; gives the kinds of what was found.
pub(crate) fn references(
    tx: &Transaction<'_>,
    op: &Op,
    kind: &OpKind,
    values: &Values,
) -> Result<BTreeMap<Uuid, Kind>, Stop> {
    let mut named = BTreeMap::new();
    let mut problems = Vec::new();
    for field in kind.fields {
        let FieldType::Ref(kinds) = field.kind else {
            continue;
        };
        for to in values
            .get(field.name)
            .into_iter()
            .flatten()
            .filter_map(|v| v.to)
        {
            match thing(tx, to)? {
                None => {
                    blocked(tx, to)?;
                    problems.push(problem(field, "it is not in the record"));
                }
                Some(thing) if thing.job_id != op.job_id => {
                    problems.push(problem(field, "it is in another job"));
                }
                Some(thing) if !kinds.contains(&thing.kind) => {
                    problems.push(problem(
                        field,
                        &format!("it can't be a {}", thing.kind.title().to_lowercase()),
                    ));
                }
                Some(thing) if thing.gone.is_some() => {
                    problems.push(problem(field, "it was taken out of the record"));
                }
                Some(thing) => {
                    named.insert(to, thing.kind);
                }
            }
        }
    }
    if problems.is_empty() {
        Ok(named)
    } else {
        Err(Stop::Refused(Code::Invalid, problems))
    }
}

fn problem(field: &Field, why: &str) -> FieldProblem {
    FieldProblem {
        field: field.name.to_owned(),
        message: format!("{}: {why}. Choose {}.", field.label, field.example()),
    }
}

/// Whether the thing has the dimension that a reading says.
pub(crate) fn measurable(values: &Values, named: &BTreeMap<Uuid, Kind>) -> Option<FieldProblem> {
    let first = |name| values.get(name).and_then(|all| all.first());
    let what = What::named(&first("what")?.text)?;
    let kind = *named.get(&first("of")?.to?)?;
    if what.of().contains(&kind) {
        return None;
    }
    let has: Vec<&str> = What::for_kind(kind).map(What::name).collect();
    Some(FieldProblem {
        field: "what".to_owned(),
        message: format!(
            "A {} has no {} to measure. It has {}.",
            kind.title().to_lowercase(),
            what.name(),
            if has.is_empty() {
                "none".to_owned()
            } else {
                has.join(", ")
            }
        ),
    })
}

/// A week's number comes once in a job.
pub(crate) fn week_is_taken(
    tx: &Transaction<'_>,
    op: &Op,
    kind: &OpKind,
    change: &Change,
) -> Result<Option<FieldProblem>, Error> {
    let number = change
        .fields
        .iter()
        .find(|(name, _, _)| *name == "number")
        .and_then(|(_, values, _)| values.first()?.number);
    let (Kind::Week, Some(number)) = (kind.kind, number) else {
        return Ok(None);
    };
    let taken: bool = tx
        .query_row(
            "SELECT EXISTS (
               SELECT 1 FROM entity AS e
               JOIN field AS f ON f.entity_id = e.id AND f.name = 'number'
               WHERE e.job_id = ?1 AND e.kind = 'week' AND e.gone_seq IS NULL AND e.id <> ?2 AND f.number = ?3)",
            (op.job_id.to_string(), op.entity_id.to_string(), number),
            |row| row.get(0),
        )
        .map_err(failed("look for a week"))?;
    Ok(taken.then(|| FieldProblem {
        field: "number".to_owned(),
        message: format!(
            "Week {number} is in the record already. Write another number, or edit that week."
        ),
    }))
}

/// A photo comes with one picture of a type that is kept; nothing else comes with any.
pub(crate) fn pictured(op: &Op, kind: &OpKind) -> Option<FieldProblem> {
    let is_photo = kind.kind == Kind::Photo && kind.does == Does::Add;
    let message = match (is_photo, op.blobs.as_slice()) {
        (false, []) => return None,
        (false, _) => "Only a photo comes with a picture. Send the picture as one.",
        (true, [one])
            if matches!(
                one.r#type.as_str(),
                "image/jpeg" | "image/png" | "image/webp" | "image/heic" | "image/heif"
            ) =>
        {
            return None;
        }
        (true, [_]) => "A picture is kept as JPEG, PNG, WebP or HEIC. Send it as one of these.",
        (true, _) => "A photo comes with one picture. Choose it, then save.",
    };
    Some(FieldProblem {
        field: String::new(),
        message: message.to_owned(),
    })
}

/// Effects that a job file brings: of this entry, and on no other job's rows.
pub(crate) fn brought(
    tx: &Transaction<'_>,
    op: &Op,
    given: &[Effect],
) -> Result<Vec<Effect>, Stop> {
    for effect in given {
        let (fits, row) = match effect {
            Effect::Put(row) => (true, Some(row.id)),
            Effect::Move(movement) => (movement.entry == op.op_id, movement.row),
            Effect::Order(ordered) => (ordered.entry == op.op_id, ordered.row),
            Effect::Keep(list) => (list.entry == op.op_id, None),
            Effect::Share(share) => (share.line == op.entity_id, None),
        };
        let elsewhere = match row {
            Some(row) => ledger::is_of_another_job(tx, row, op.job_id)?,
            None => false,
        };
        if !fits || elsewhere {
            return Err(stop(
                Code::Invalid,
                "An effect belongs to another entry or another job. Leave the effects out."
                    .to_owned(),
            ));
        }
    }
    Ok(given.to_vec())
}
