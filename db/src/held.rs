//! Hold points at the one way in: moves and events that they hold are refused, and a release counts only on what it saw.
//!
//! What holds what is the core's (`checks::hold_points`); here it is asked, in the transaction that would write the entry,
//! on every way in. A job file that a store wrote loads as it is: its moves were asked when they were written.

use std::collections::BTreeMap;

use rusqlite::Transaction;
use scantling_takeoff::buy::Values;
use scantling_takeoff::checks::hold_points::{
    self, Ask, Event, Move, Releasing, gates, looked_at_that_day, may_happen, may_move, may_skip,
    releasing,
};
use scantling_takeoff::record::{FieldProblem, Job, Op, OpKind, Record, Value};
use uuid::Uuid;

use crate::change::Change;
use crate::entry::Comes;
use crate::outcome::{Code, Conflict};
use crate::plan::{Stop, stop};
use crate::standing::Thing;
use crate::{Error, read_job};

/// Refuses a move into under way or done, and a strike, past a hold point.
pub(crate) fn moved(
    tx: &Transaction<'_>,
    op: &Op,
    kind: &OpKind,
    thing: &Thing,
    comes: Comes<'_>,
    change: &Change,
) -> Result<(), Stop> {
    let to = match (kind.name, change.state.as_deref()) {
        ("change.struck", _) => Move::Struck,
        ("change.state", Some("under_way")) => Move::UnderWay,
        ("change.done", Some("done")) => Move::Done,
        _ => return Ok(()),
    };
    if matches!(comes, Comes::WithAFile(_)) || !thing.kind.is_change() {
        return Ok(());
    }
    let job = the_job(tx, op)?;
    let one = the_change(&job, op.entity_id)?;
    let all = gates(&job, one);
    let when = (&op.device_time[..], op.tz_offset_min.unwrap_or(0));
    may_move(one, &all, to)
        .and_then(|()| match to {
            Move::Struck | Move::EachTime => Ok(()),
            Move::UnderWay | Move::Done => looked_at_that_day(&job, one, &all, when),
        })
        .map_err(|message| stop(Code::Invalid, message))
}

/// What an entry that adds something is to hold points: an event, a release, a skip; nothing else is looked at.
pub(crate) fn added(
    tx: &Transaction<'_>,
    op: &Op,
    values: &Values,
    comes: Comes<'_>,
    change: &mut Change,
) -> Result<(), Stop> {
    if !matches!(op.kind.as_str(), "event.add" | "hold.release" | "hold.skip") {
        return Ok(());
    }
    let event = first(values, "event").and_then(|value| Event::named(&value.text));
    let of = first(values, "of").and_then(|value| value.to);
    let (Some(event), Some(of)) = (event, of) else {
        return Ok(());
    };
    let is_file = matches!(comes, Comes::WithAFile(_));
    let job = the_job(tx, op)?;
    let record = the_change(&job, of)?;
    match op.kind.as_str() {
        "event.add" if !is_file => match may_happen(&job, record, event) {
            Ok(()) => Ok(()),
            Err(message) => Err(stop(Code::Invalid, message)),
        },
        "hold.skip" if !is_file => {
            let ask = first(values, "condition").and_then(|value| Ask::named(&value.text));
            match ask.map(|ask| may_skip(&job, record, event, ask)) {
                Some(Err(problem)) => Err(Stop::Refused(Code::Invalid, vec![problem])),
                _ => Ok(()),
            }
        }
        "hold.release" => release(&job, record, event, (op, values), is_file, change),
        _ => Ok(()),
    }
}

/// A release keeps what stood. One that saw something else is kept as not released, with what differs.
fn release(
    job: &Job,
    record: &Record,
    event: Event,
    (op, values): (&Op, &Values),
    is_file: bool,
    change: &mut Change,
) -> Result<(), Stop> {
    if values.get("stood").is_some_and(|all| !all.is_empty()) {
        let problem = FieldProblem::new(
            "stood",
            "What stood is written by the record itself. Leave it out.",
        );
        return Err(Stop::Refused(Code::Invalid, vec![problem]));
    }
    let ticked: Vec<Ask> = values
        .get("seen")
        .into_iter()
        .flatten()
        .filter_map(|value| Ask::named(&value.text))
        .collect();
    let differs = match releasing(job, record, event, &ticked, &op.base) {
        Releasing::Released => {
            let stood = hold_points::stood(&op.base).into_iter().map(|text| Value {
                text,
                number: None,
                to: None,
            });
            change.revs.insert("stood".to_owned(), 1);
            change.fields.push(("stood", stood.collect(), 1));
            return Ok(());
        }
        Releasing::Refused(problem) if !is_file => {
            return Err(Stop::Refused(Code::Invalid, vec![problem]));
        }
        Releasing::Refused(problem) => vec![("event", 0, problem.message)],
        Releasing::Differs(differs) => differs
            .into_iter()
            .map(|(ask, rev, why)| (ask.name(), rev, format!("{}: {why}", ask.title())))
            .collect(),
    };
    let words: Vec<&str> = differs.iter().map(|(_, _, now)| now.as_str()).collect();
    change.removes = Some(format!("Not released. {}.", words.join("; ")));
    change.conflicts = differs
        .into_iter()
        .map(|(field, rev, now)| Conflict {
            field: field.to_owned(),
            base_rev: op
                .base
                .get(field)
                .copied()
                .unwrap_or(0)
                .clamp(0, 1_000_000_000),
            server_rev: rev,
            server_value: vec![now],
            yours: vec!["as it was seen".to_owned()],
            by: Uuid::nil(),
            received_at: String::new(),
        })
        .collect();
    Ok(())
}

/// The revisions of what stands before the event that a release names, for a job file by hand.
pub(crate) fn revisions(tx: &Transaction<'_>, op: &Op) -> Result<BTreeMap<String, i64>, Error> {
    let text = |name: &str| op.fields.get(name).and_then(|texts| texts.first());
    let of = text("of").and_then(|text| Uuid::parse_str(text.trim()).ok());
    let event = text("event").and_then(|text| Event::named(text.trim()));
    let Some((job, _)) = read_job(tx, op.job_id)? else {
        return Ok(BTreeMap::new());
    };
    Ok(of
        .and_then(|of| job.get(of))
        .zip(event)
        .map_or_else(BTreeMap::new, |(change, event)| {
            hold_points::seen(&job, change, event)
        }))
}

fn first<'a>(values: &'a Values, name: &str) -> Option<&'a Value> {
    values.get(name)?.first()
}

fn the_job(tx: &Transaction<'_>, op: &Op) -> Result<Job, Stop> {
    let found = read_job(tx, op.job_id)?;
    found
        .map(|(job, _)| job)
        .ok_or_else(|| stop(Code::UnknownJob, "The job is not in the record.".to_owned()))
}

fn the_change(job: &Job, id: Uuid) -> Result<&Record, Stop> {
    job.get(id).ok_or_else(|| {
        stop(
            Code::BadId,
            "There is no change of this id in the job. Open it from its list.".to_owned(),
        )
    })
}
