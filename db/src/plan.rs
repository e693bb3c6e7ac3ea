//! What an entry would do, found by looking alone.
//!
//! References are looked up here, since SQLite doesn't say which one failed. Fields carry a revision each: an edit names
//! the one it saw; where another stands, and says something else, what stands stays and what was wanted is kept beside it.

use std::collections::BTreeMap;

use rusqlite::{OptionalExtension, Transaction};
use scantling_takeoff::buy::Values;
use scantling_takeoff::record::check::check;
use scantling_takeoff::record::op::{self, Typed};
use scantling_takeoff::record::{Does, FieldProblem, Kind, Op, OpKind, Value};
use scantling_takeoff::units::Units;
use uuid::Uuid;

use crate::change::Change;
use crate::entry::Comes;
use crate::error::{failed, uuid};
use crate::fits::{brought, measurable, pictured, references, week_is_taken};
use crate::outcome::{Code, Conflict};
use crate::standing::{Standing, Standings, Thing, is_disputed, last_act, standings, thing};
use crate::{Error, Who, held, ledger};

/// Why an entry does nothing.
#[derive(Debug)]
pub(crate) enum Stop {
    Refused(Code, Vec<FieldProblem>),
    Blocked(Uuid),
    Broken(Error),
}

impl From<Error> for Stop {
    fn from(error: Error) -> Self {
        Self::Broken(error)
    }
}

/// Works out what an entry would do.
pub(crate) fn plan(
    tx: &Transaction<'_>,
    op: &Op,
    who: &Who,
    comes: Comes<'_>,
) -> Result<Change, Stop> {
    let given = comes.effects();
    let kind = OpKind::named(&op.kind).ok_or_else(|| {
        stop(
            Code::UnknownKind,
            format!("There is no kind of entry {}. Choose a known one.", op.kind),
        )
    })?;
    if who.role < kind.least {
        return Err(stop(
            Code::NotAllowed,
            format!("Only a {} can do this. Ask one.", kind.least.name()),
        ));
    }
    let thing = target(tx, op, kind)?;
    for needed in &op.depends {
        if self::thing(tx, *needed)?.is_none() {
            blocked(tx, *needed)?;
        }
    }
    let standing = match thing {
        Some(_) => standings(tx, op.entity_id)?,
        None => BTreeMap::new(),
    };
    let typed = match kind.does {
        Does::Edit => but_what_stands(&op.fields, &standing),
        Does::Add | Does::Remove | Does::Act => op.fields.clone(),
    };
    let values = op::read(kind, &typed, units(tx, op, kind)?)
        .map_err(|problems| Stop::Refused(Code::Invalid, problems))?;
    let named = references(tx, op, kind, &values)?;
    let mut change = Change::default();
    if let Some(thing) = &thing
        && let Some(because) = &thing.gone
    {
        change.was_gone = Some(because.clone());
        if kind.does == Does::Edit {
            for (name, wanted) in &values {
                let conflict = conflict(op, name, standing.get(*name), wanted);
                change.conflicts.push(conflict);
            }
        }
        return Ok(change);
    }
    let mut problems = Vec::from_iter(pictured(op, kind));
    match (kind.does, &thing) {
        (Does::Add, _) => {
            change.adds = Some(kind.kind);
            for (name, values) in &values {
                change.revs.insert((*name).to_owned(), 1);
                change.fields.push((name, values.clone(), 1));
            }
            problems.extend(measurable(&values, &named));
            held::added(tx, op, &values, comes, &mut change)?;
        }
        (Does::Edit, _) => edit(tx, op, &mut change, &standing, &values)?,
        (Does::Remove, _) => change.removes = Some(reason(&values)),
        (Does::Act, Some(thing)) => {
            written(kind, &values, &standing, &mut change)?;
            act(tx, op, kind, thing, &values, &mut change)?;
            struck(kind, thing, &standing, &mut change);
            held::moved(tx, op, kind, thing, comes, &change)?;
        }
        (Does::Act, None) => {}
    }
    if matches!(kind.does, Does::Add | Does::Edit) {
        problems.extend(check(kind.kind, &as_it_would_stand(&change, &standing)));
        problems.extend(week_is_taken(tx, op, kind, &change)?);
    }
    if !problems.is_empty() {
        return Err(Stop::Refused(Code::Invalid, problems));
    }
    if change.conflicts.is_empty() && moves(kind) {
        let effects = match given {
            Some(given) => brought(tx, op, given)?,
            None => ledger::worked_out(tx, op, &values)
                .map_err(Stop::Broken)?
                .map_err(|problem| Stop::Refused(Code::Invalid, vec![problem]))?,
        };
        change.effects = Some(effects);
    } else if given.is_some_and(|given| !given.is_empty()) {
        return Err(stop(
            Code::Invalid,
            "This kind of entry does nothing to the ledger. Leave its effects out.".to_owned(),
        ));
    }
    Ok(change)
}

/// The thing that the entry is about; none for one that it adds.
fn target(tx: &Transaction<'_>, op: &Op, kind: &OpKind) -> Result<Option<Thing>, Stop> {
    let adds_job = kind.kind == Kind::Job && kind.does == Does::Add;
    if !adds_job && thing(tx, op.job_id)?.is_none_or(|job| job.kind != Kind::Job) {
        blocked(tx, op.job_id)?;
        return Err(stop(
            Code::UnknownJob,
            "The job is not in the record. Open it from the list of jobs.".to_owned(),
        ));
    }
    let found = thing(tx, op.entity_id)?;
    if kind.does == Does::Add {
        let fits = !op.entity_id.is_nil() && adds_job == (op.entity_id == op.job_id);
        if found.is_some() || !fits {
            return Err(stop(
                Code::BadId,
                "The id of the new thing is taken or can't be used. Send it under a new one."
                    .to_owned(),
            ));
        }
        return Ok(None);
    }
    if found.is_none() {
        blocked(tx, op.entity_id)?;
        // What was bought has no thing of its own: a count names its item, and may be about a fresh id.
        if kind.name == "stock.count" && !op.entity_id.is_nil() {
            return Ok(None);
        }
    }
    let fits = |thing: &Thing| {
        thing.job_id == op.job_id
            && if kind.any_change {
                thing.kind.is_change()
            } else {
                thing.kind == kind.kind
            }
    };
    found.filter(fits).map(Some).ok_or_else(|| {
        let what = if kind.any_change {
            "change"
        } else {
            kind.kind.title()
        };
        stop(
            Code::BadId,
            format!(
                "There is no {} of this id in the job. Open it from its list.",
                what.to_lowercase()
            ),
        )
    })
}

/// Stops an entry that waits for a refused one, which would have added this thing.
pub(crate) fn blocked(tx: &Transaction<'_>, entity_id: Uuid) -> Result<(), Stop> {
    let by: Option<String> = tx
        .prepare_cached(
            "SELECT op_id FROM op WHERE entity_id = ?1 AND outcome = 'rejected' ORDER BY seq DESC LIMIT 1",
        )
        .and_then(|mut statement| {
            statement
                .query_row([entity_id.to_string()], |row| row.get(0))
                .optional()
        })
        .map_err(failed("look up a refused entry"))?;
    match by {
        Some(by) => Err(Stop::Blocked(uuid(&by)?)),
        None => Ok(()),
    }
}

/// Fields of an edit, less those that say what stands already: they are not read again, in other units perhaps.
fn but_what_stands(typed: &Typed, standing: &Standings) -> Typed {
    typed
        .iter()
        .filter(|(name, texts)| {
            !standing
                .get(*name)
                .is_some_and(|standing| says(&standing.values, texts))
        })
        .map(|(name, texts)| (name.clone(), texts.clone()))
        .collect()
}

fn says(values: &[Value], texts: &[String]) -> bool {
    let texts = texts.iter().map(|text| text.trim());
    texts
        .filter(|text| !text.is_empty())
        .eq(values.iter().map(|value| value.text.as_str()))
}

/// Field by field: the revision that was seen stands, or the same is said, or both are kept.
fn edit(
    tx: &Transaction<'_>,
    op: &Op,
    change: &mut Change,
    standing: &Standings,
    values: &Values,
) -> Result<(), Error> {
    for (name, stands) in standing {
        let base = op.base.get(name).copied().unwrap_or(0);
        if !op.fields.contains_key(name) || values.contains_key(name.as_str()) {
            continue;
        }
        change.revs.insert(name.clone(), stands.rev);
        // Said again on the revision that stands: settles what was kept beside it.
        if base == stands.rev
            && is_disputed(tx, op.entity_id, name, stands.rev)?
            && let Some(field) = OpKind::named(&op.kind).and_then(|kind| kind.field(name))
        {
            change.revs.insert(name.clone(), stands.rev + 1);
            let same = stands.values.clone();
            change.fields.push((field.name, same, stands.rev + 1));
        }
    }
    for (name, wanted) in values {
        let stands = standing.get(*name);
        let rev = stands.map_or(0, |stands| stands.rev);
        if stands.is_none() && wanted.is_empty() {
            change.revs.insert((*name).to_owned(), 0);
        } else if op.base.get(*name).copied().unwrap_or(0) == rev {
            change.revs.insert((*name).to_owned(), rev + 1);
            change.fields.push((name, wanted.clone(), rev + 1));
        } else if stands.is_some_and(|stands| stands.values == *wanted) {
            change.revs.insert((*name).to_owned(), rev);
        } else {
            change.conflicts.push(conflict(op, name, stands, wanted));
        }
    }
    Ok(())
}

fn conflict(op: &Op, name: &str, stands: Option<&Standing>, wanted: &[Value]) -> Conflict {
    let texts = |values: &[Value]| values.iter().map(|value| value.text.clone()).collect();
    Conflict {
        field: name.to_owned(),
        base_rev: op
            .base
            .get(name)
            .copied()
            .unwrap_or(0)
            .clamp(0, 1_000_000_000),
        server_rev: stands.map_or(0, |stands| stands.rev),
        server_value: stands.map_or_else(Vec::new, |stands| texts(&stands.values)),
        yours: texts(wanted),
        by: stands.map_or(Uuid::nil(), |stands| stands.by),
        received_at: stands.map_or_else(String::new, |stands| stands.received_at.clone()),
    }
}

fn refuse(field: &str, message: &str) -> Result<(), Stop> {
    let problem = FieldProblem::new(field, message);
    Err(Stop::Refused(Code::Invalid, vec![problem]))
}

/// What an entry about an order or a week writes on it: an order is sent once, and stays as it was sent.
fn written(
    kind: &OpKind,
    values: &Values,
    standing: &Standings,
    change: &mut Change,
) -> Result<(), Stop> {
    let stands = |name: &str| {
        standing
            .get(name)
            .and_then(|standing| standing.values.first())
            .map(|value| value.text.as_str())
    };
    let is_out = matches!(stands("status"), Some("sent" | "confirmed"));
    match kind.name {
        "order.send" if stands("status") == Some("cancelled") => {
            return refuse("", "It was called off. Make another order.");
        }
        "order.send" if stands("status").is_some() => {
            return refuse(
                "",
                "It was sent already, and stays as it was. Make the next revision.",
            );
        }
        // A draft can be dropped; what is left of a received one, as a receipt taken back leaves it, can go to the list.
        "order.cancel" if stands("status").is_none() => {}
        "order.short" if stands("status") == Some("received") => {}
        "order.status" | "order.short" | "order.cancel" if !is_out => {
            return refuse(
                "",
                "It is not out: send it first, or look at what became of it.",
            );
        }
        "week.close" if stands("closed") == Some("yes") => {
            return refuse("", "The week is closed already.");
        }
        "week.reopen" if stands("closed") != Some("yes") => {
            return refuse("", "The week is not closed.");
        }
        _ => {}
    }
    let all = kind.name == "order.send";
    for (name, wanted) in values {
        if all || matches!(*name, "status" | "closed" | "keeper") {
            let rev = standing.get(*name).map_or(0, |standing| standing.rev) + 1;
            change.revs.insert((*name).to_owned(), rev);
            change.fields.push((name, wanted.clone(), rev));
        }
    }
    Ok(())
}

/// A change's state: what may follow what. Everything else that is done to a thing is the ledger's.
fn act(
    tx: &Transaction<'_>,
    op: &Op,
    kind: &OpKind,
    thing: &Thing,
    values: &Values,
    change: &mut Change,
) -> Result<(), Stop> {
    let to = match kind.name {
        "change.state" if thing.state == "done" => {
            return refuse("state", "It is done. Mark it not done first.");
        }
        "change.state" => {
            let wanted = values
                .get("state")
                .and_then(|all| all.first())
                .map_or("", |value| value.text.as_str());
            if wanted == thing.state {
                change.revs.insert("state".to_owned(), thing.state_rev);
                return Ok(());
            }
            if let Some(base) = op.base.get("state")
                && *base != thing.state_rev
            {
                let (_, by, received_at) = last_act(tx, op.entity_id)?;
                change.conflicts.push(Conflict {
                    field: "state".to_owned(),
                    base_rev: (*base).clamp(0, 1_000_000_000),
                    server_rev: thing.state_rev,
                    server_value: vec![thing.state.clone()],
                    yours: vec![wanted.to_owned()],
                    by,
                    received_at,
                });
                return Ok(());
            }
            wanted.to_owned()
        }
        "change.done" if thing.state == "done" => {
            return refuse("", "It is done already. Mark it not done first.");
        }
        "change.done" if thing.state == "dropped" => {
            return refuse("", "It was dropped. Plan it again first.");
        }
        "change.done" => "done".to_owned(),
        "change.undone" if thing.state != "done" => {
            return refuse("", "It is not marked done.");
        }
        "change.undone" => "under_way".to_owned(),
        "change.struck" if thing.kind != Kind::Shore => {
            return refuse(
                "",
                "Only a shore is struck. Mark this one done or not done.",
            );
        }
        "change.struck" if thing.state != "done" => {
            return refuse("", "The shore is not marked done. Mark it done first.");
        }
        "change.struck" if last_act(tx, op.entity_id)?.0 == "change.struck" => {
            return refuse(
                "",
                "The shore was struck already. Nothing is left to strike.",
            );
        }
        _ => return Ok(()),
    };
    change.revs.insert("state".to_owned(), thing.state_rev + 1);
    change.state = Some(to);
    Ok(())
}

/// That a shore is struck stands on it, until it is called not done.
fn struck(kind: &OpKind, thing: &Thing, standing: &Standings, change: &mut Change) {
    let rev = standing.get("struck").map_or(0, |standing| standing.rev) + 1;
    if kind.name == "change.struck" {
        let yes = Value {
            text: "yes".to_owned(),
            number: None,
            to: None,
        };
        change.fields.push(("struck", vec![yes], rev));
    } else if kind.name == "change.undone" && thing.kind == Kind::Shore && rev > 1 {
        change.fields.push(("struck", Vec::new(), rev));
    }
}

/// Whether an entry of this kind can do something to the ledger.
fn moves(kind: &OpKind) -> bool {
    matches!(kind.kind, Kind::Bought | Kind::Stock)
        || (matches!(kind.kind, Kind::Order | Kind::Week) && kind.does == Does::Act)
        || (kind.any_change && kind.does == Does::Act)
}

fn as_it_would_stand(change: &Change, standing: &Standings) -> BTreeMap<String, Vec<Value>> {
    let mut fields: BTreeMap<String, Vec<Value>> = standing
        .iter()
        .map(|(name, standing)| (name.clone(), standing.values.clone()))
        .collect();
    for (name, values, _) in &change.fields {
        fields.insert((*name).to_owned(), values.clone());
    }
    fields
}

fn reason(values: &Values) -> String {
    values
        .get("reason")
        .and_then(|all| all.first())
        .map_or_else(String::new, |value| value.text.clone())
}

/// Refuses the whole entry.
pub(crate) fn stop(code: Code, message: String) -> Stop {
    Stop::Refused(
        code,
        vec![FieldProblem {
            field: String::new(),
            message,
        }],
    )
}

/// The units that lengths are read in: the job's, or those that the new job says.
fn units(tx: &Transaction<'_>, op: &Op, kind: &OpKind) -> Result<Units, Error> {
    let said = if kind.kind == Kind::Job && kind.does == Does::Add {
        op.fields
            .get("units")
            .and_then(|texts| texts.first())
            .map(|text| text.trim().to_owned())
    } else {
        tx.prepare_cached("SELECT typed FROM field WHERE entity_id = ?1 AND name = 'units'")
            .and_then(|mut statement| {
                statement
                    .query_row([op.job_id.to_string()], |row| row.get(0))
                    .optional()
            })
            .map_err(failed("read the job's units"))?
    };
    Ok(if said.as_deref() == Some("metric") {
        Units::Metric
    } else {
        Units::Us
    })
}
