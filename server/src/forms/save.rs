//! Applying a form's entries: all or none, and what came of it.
//!
//! A refused form says all that is wrong with it at once, also where it means several entries.

use scantling_db::{Applied, Code, Tx};
use scantling_takeoff::record::{Does, FieldProblem, Op, OpKind, op};
use scantling_takeoff::units::Units;

use super::compose::Entry;
use crate::clock;
use crate::error::HttpError;
use crate::state::State;
use crate::sync::Outcome;

/// What came of a form.
pub(crate) enum Saved {
    /// It is on disk.
    Done,
    /// A field was changed meanwhile by somebody else: what is there, and what was typed.
    Conflict(Vec<FieldProblem>),
    /// Nothing was saved: what is wrong, by the form's own names.
    Refused(Vec<FieldProblem>),
    /// The same form was saved before, and it says something else now: nothing was saved. It needs fresh ids.
    Before(Vec<FieldProblem>),
}

impl Saved {
    /// Done, or all that was said against it: for forms that come back the same whichever it was.
    pub(crate) fn or_problems(self) -> Result<(), Vec<FieldProblem>> {
        match self {
            Self::Done => Ok(()),
            Self::Conflict(problems) | Self::Refused(problems) | Self::Before(problems) => {
                Err(problems)
            }
        }
    }
}

/// Applies them in one transaction.
pub(crate) async fn save(
    state: &State,
    entries: Vec<Entry>,
    who: &scantling_db::Who,
) -> Result<Saved, HttpError> {
    save_with(state, entries, who, |_, _| Ok(())).await
}

/// Applies them in one transaction, and in the same one what goes with them, if all of them are in.
pub(crate) async fn save_with(
    state: &State,
    mut entries: Vec<Entry>,
    who: &scantling_db::Who,
    with: impl FnOnce(&Tx<'_>, &[Op]) -> Result<(), scantling_db::Error> + Send + 'static,
) -> Result<Saved, HttpError> {
    fill_rates(state, &mut entries).await?;
    let ops: Vec<Op> = entries.iter().map(|entry| entry.op.clone()).collect();
    let (who, now) = (*who, clock::now());
    let outcomes = state
        .write(move |tx| {
            let outcomes = scantling_db::apply_all(tx, &ops, &who, &now)?;
            if outcomes.iter().all(Applied::is_in) {
                with(tx, &ops)?;
            }
            Ok(outcomes)
        })
        .await?;
    let mut left = Outcome::of(&outcomes);
    let mut refused = Vec::new();
    let mut conflicts = Vec::new();
    let arrived = outcomes.len();
    for (entry, outcome) in entries.iter().zip(outcomes) {
        // One that came before, the same, is answered as it was then.
        let outcome = match outcome {
            Applied::Replayed { of } => *of,
            other => other,
        };
        match outcome {
            Applied::New { .. } | Applied::Replayed { .. } => {}
            Applied::Conflict {
                conflicts: found,
                entity_deleted: Some(because),
                ..
            } if found.is_empty() => {
                refused.extend(came_to_nothing(&entry.op.kind, &because));
            }
            Applied::Conflict {
                conflicts: found, ..
            } => {
                let releases = entry.op.kind == "hold.release";
                conflicts.extend(found.into_iter().map(|c| FieldProblem {
                    message: if releases {
                        format!(
                            "Not signed off: this is not as it was seen. {}.",
                            c.server_value.join(", ")
                        )
                    } else {
                        changed_meanwhile(&c.server_value.join(", "), &c.yours.join(", "))
                    },
                    field: c.field,
                }));
            }
            Applied::Rejected {
                code: Code::OpIdReused,
                ..
            } => {
                let problem = FieldProblem {
                    field: String::new(),
                    message: "Saved before; Save keeps this as another.".to_owned(),
                };
                left.problems.push(problem.clone());
                left.leave();
                return Ok(Saved::Before(vec![problem]));
            }
            Applied::Rejected { problems, .. } => refused.extend(named(entry, problems)),
            Applied::Blocked { .. } => refused.push(FieldProblem {
                field: String::new(),
                message: "This rests on an entry that was not saved. Save that one first."
                    .to_owned(),
            }),
        }
    }
    if !refused.is_empty() {
        // The rest of the form was not tried: what can't be read of it is said now.
        let rest = entries.get(arrived..).unwrap_or_default();
        for problem in unreadable(rest, units(state, &entries).await) {
            if !refused.contains(&problem) {
                refused.push(problem);
            }
        }
    }
    left.problems.extend(refused.iter().cloned());
    left.leave();
    Ok(if !refused.is_empty() {
        Saved::Refused(refused)
    } else if !conflicts.is_empty() {
        Saved::Conflict(conflicts)
    } else {
        Saved::Done
    })
}

/// What a field says by now that a form would write over, and what would do.
pub(super) fn changed_meanwhile(stands: &str, typed: &str) -> String {
    format!("Changed meanwhile to “{stands}”. Save again to put “{typed}” in its place.")
}

/// That a thing was taken out of the record before this arrived.
pub(super) fn gone(because: &str) -> FieldProblem {
    let reason = if because.is_empty() {
        String::new()
    } else {
        format!(" ({because})")
    };
    FieldProblem::new(
        "",
        format!(
            "It was taken out of the record meanwhile{reason}: nothing can be changed in it. Add it anew if it stands."
        ),
    )
}

/// What is wrong with an entry that did nothing, as its thing was gone; nothing where it would have taken it out itself.
pub(crate) fn came_to_nothing(kind: &str, because: &str) -> Option<FieldProblem> {
    let removes = OpKind::named(kind).is_some_and(|kind| kind.does == Does::Remove);
    (!removes).then(|| gone(because))
}

/// Gives each receipt that is added the tax rate of its job as it is now, where the form says none: another rate later is
/// for later receipts. One that is there already, from the same form sent before, has the rate that it got then.
async fn fill_rates(state: &State, entries: &mut [Entry]) -> Result<(), HttpError> {
    let bare = |op: &Op| op.kind == "receipt.add" && !op.fields.contains_key("tax");
    for entry in entries.iter_mut().filter(|entry| bare(&entry.op)) {
        let job = state.job(entry.op.job_id).await?;
        let from = job.ever(entry.op.entity_id).or_else(|| job.record());
        if let Some(rate) = from.and_then(|record| record.text("tax")) {
            let fields = &mut entry.op.fields;
            fields.insert("tax".to_owned(), vec![rate.to_owned()]);
        }
    }
    Ok(())
}

/// What can't be read of a form's entries, by the form's own names, each once. Edits are not looked at: what they leave as
/// it stands is not read again.
pub(crate) fn unreadable(entries: &[Entry], units: Units) -> Vec<FieldProblem> {
    let mut all = Vec::new();
    for entry in entries {
        let kind = OpKind::named(&entry.op.kind);
        if let Some(kind) = kind.filter(|kind| kind.does != Does::Edit)
            && let Err(problems) = op::read(kind, &entry.op.fields, units)
        {
            for problem in named(entry, problems) {
                if !all.contains(&problem) {
                    all.push(problem);
                }
            }
        }
    }
    all
}

/// Problems of an entry by the form's own names.
fn named(entry: &Entry, problems: Vec<FieldProblem>) -> impl Iterator<Item = FieldProblem> {
    problems.into_iter().map(|problem| FieldProblem {
        field: entry
            .names
            .get(&problem.field)
            .cloned()
            .unwrap_or(problem.field),
        message: problem.message,
    })
}

/// The units that a form's lengths are in: the job's, or those that the form of a new job says.
async fn units(state: &State, entries: &[Entry]) -> Units {
    let Some(first) = entries.first() else {
        return Units::default();
    };
    if let Ok(job) = state.job(first.op.job_id).await {
        return job.settings.units;
    }
    match first.op.fields.get("units").map(Vec::as_slice) {
        Some([units]) if units == "metric" => Units::Metric,
        _ => Units::Us,
    }
}

/// Where to go after saving: the form's `next` if it is a path of this server, else `otherwise`.
pub(crate) fn next_of(posted: &super::compose::Posted, otherwise: &str) -> String {
    match posted.typed("next") {
        Some(next)
            if next.starts_with("/jobs/")
                && !next.contains("//")
                && !next.contains('\\')
                && next.is_ascii() =>
        {
            next.to_owned()
        }
        _ => otherwise.to_owned(),
    }
}
