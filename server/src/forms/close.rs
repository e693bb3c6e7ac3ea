//! A week closed by one form: counts, changes that move on or are dropped, and the closing itself, all or nothing.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{Item, on_record};
use scantling_takeoff::record::{FieldProblem, Job, OpKind, registry};
use scantling_web::parts::sign::state_word;
use uuid::Uuid;

use super::act::{again_words, is_written};
use super::compose::{self, Entry, Frame, Posted};
use super::save::{save, unreadable};
use crate::error::{HttpError, html, refused, see};
use crate::pages::{close, week};
use crate::state::State;

/// Closes it.
pub(crate) async fn save_week(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: web::Form<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = close::the_week(&job, id)?;
    let number = week::number_of(record);
    let posted = Posted(body.into_inner());
    let frame = Frame::of(&posted, job_id, &who);
    if posted.first("do") == Some("counts") {
        return save_counts(&state, &job, id, (&posted, &frame), &who).await;
    }
    let closes = OpKind::named("week.close")
        .ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    // Once it is closed, the store says whether this is the same form again.
    let mut problems = if record.says("closed", "yes") {
        Vec::new()
    } else {
        let known = close::Known::of(&state, &job, number).await?;
        changed_meanwhile(&job, &posted, &known)
    };
    let mut entries = counted(&posted, &frame);
    if !is_written(&state, &entries).await? {
        problems.extend(counted_meanwhile(&job, &posted));
    }
    entries.extend(moved_on(&job, &posted, &frame, &mut problems));
    entries.push(frame.entry(closes.name, id, "", compose::fields(closes, &posted)));
    if !problems.is_empty() {
        problems.extend(unreadable(&entries, job.settings.units));
        return again(&state, &job, id, &posted, &problems).await;
    }
    match save(&state, entries, &who).await?.or_problems() {
        Ok(()) => Ok(see(&format!("/jobs/{job_id}?closed={number}"))),
        Err(problems) => again(&state, &job, id, &posted, &problems).await,
    }
}

/// Saves the counts alone, and shows the page with what else was typed on it.
async fn save_counts(
    state: &State,
    job: &Job,
    id: Uuid,
    (posted, frame): (&Posted, &Frame),
    who: &Who,
) -> Result<HttpResponse, HttpError> {
    let entries = counted(posted, frame);
    if !is_written(state, &entries).await? {
        let problems = counted_meanwhile(job, posted);
        if !problems.is_empty() {
            return again(state, job, id, posted, &problems).await;
        }
    }
    let said = match entries.len() {
        0 => "No count differs from the record.".to_owned(),
        1 => "1 count is saved.".to_owned(),
        n => format!("{n} counts are saved."),
    };
    if let Err(problems) = save(state, entries, who).await?.or_problems() {
        return again(state, job, id, posted, &problems).await;
    }
    let job = state.job(job.id).await?;
    let record = close::the_week(&job, id)?;
    let known = close::Known::of(state, &job, week::number_of(record)).await?;
    // The counts are what the record says by now; all else is as it was typed.
    let mut rest = posted.clone();
    let of_counts = ["item", "saw", "counted", "reason", "do"];
    rest.0
        .retain(|(name, _)| !of_counts.contains(&name.as_str()));
    let asked = close::Asked {
        sent: Some(&rest),
        problems: &[],
        said,
    };
    Ok(html(close::page(&job, record, &known, &asked)))
}

/// The page as it was sent.
async fn again(
    state: &State,
    job: &Job,
    id: Uuid,
    posted: &Posted,
    problems: &[FieldProblem],
) -> Result<HttpResponse, HttpError> {
    let job = state.job(job.id).await?;
    let record = close::the_week(&job, id)?;
    let known = close::Known::of(state, &job, week::number_of(record)).await?;
    let asked = close::Asked {
        sent: Some(posted),
        problems,
        said: String::new(),
    };
    Ok(refused(close::page(&job, record, &known, &asked)))
}

fn filled(all: &[(&str, &str)]) -> BTreeMap<String, Vec<String>> {
    all.iter()
        .filter(|(_, text)| !text.is_empty())
        .map(|(name, text)| ((*name).to_owned(), vec![(*text).to_owned()]))
        .collect()
}

/// A count for each figure that is not what the record said, with the figure that was seen. An emptied field says
/// nothing.
fn counted(posted: &Posted, frame: &Frame) -> Vec<Entry> {
    let (saw, counts) = (posted.all("saw"), posted.all("counted"));
    let reason = posted.typed("reason").unwrap_or("");
    let mut entries = Vec::new();
    for (at, item) in posted.all("item").into_iter().enumerate() {
        let of = |all: &[String]| all.get(at).map_or("", |text| text.trim()).to_owned();
        let (saw, counted) = (of(&saw), of(&counts));
        if counted.is_empty() || counted == saw {
            continue;
        }
        let part = format!("count.{item}");
        let about = Uuid::new_v5(&frame.op_id, format!("about.{item}").as_bytes());
        let fields = filled(&[
            ("item", &item),
            ("saw", &saw),
            ("counted", &counted),
            ("reason", reason),
        ]);
        let mut entry = frame.entry("stock.count", about, &part, fields);
        entry
            .names
            .insert("counted".to_owned(), format!("counted.{item}"));
        entries.push(entry);
    }
    entries
}

/// Counts of what the record says another figure of by now than when the form was opened: they are asked for again.
fn counted_meanwhile(job: &Job, posted: &Posted) -> Vec<FieldProblem> {
    let (saw, counts) = (posted.all("saw"), posted.all("counted"));
    let mut problems = Vec::new();
    for (at, key) in posted.all("item").into_iter().enumerate() {
        let of = |all: &[String]| all.get(at).map_or("", |text| text.trim()).to_owned();
        let (saw, counted) = (of(&saw), of(&counts));
        let (Ok(item), Ok(then)) = (Item::from_key(&key), saw.parse::<i64>()) else {
            continue;
        };
        let now = on_record(&job.ledger, &item, None);
        if !counted.is_empty() && counted != saw && now != then {
            problems.push(FieldProblem::new(
                format!("counted.{key}"),
                again_words(now, then),
            ));
        }
    }
    problems
}

/// Whether something is to become of a change.
fn goes(to: &str) -> bool {
    !to.is_empty() && to != close::STAYS
}

/// Changes that were moved, done or dropped since the form was opened.
fn changed_meanwhile(job: &Job, posted: &Posted, known: &close::Known) -> Vec<FieldProblem> {
    let (to, revs) = (posted.all("to"), posted.all("rev"));
    let mut problems = Vec::new();
    for (at, text) in posted.all("change").into_iter().enumerate() {
        let of = |all: &[String]| all.get(at).map_or("", |text| text.trim()).to_owned();
        let Some(change) = Uuid::parse_str(&text).ok().and_then(|id| job.ever(id)) else {
            continue;
        };
        let rev: i64 = of(&revs).parse().unwrap_or(0);
        if goes(&of(&to)) && known.revs.get(&change.id) != Some(&rev) {
            problems.push(FieldProblem {
                field: format!("to.{}", change.id),
                message: format!(
                    "{} was changed meanwhile: {}, week {}. Look at it, then say again what becomes of it.",
                    change.name(),
                    state_word(&change.state).to_lowercase(),
                    change.week()
                ),
            });
        }
    }
    problems
}

/// What becomes of the changes: another week, or dropped with a reason.
fn moved_on(
    job: &Job,
    posted: &Posted,
    frame: &Frame,
    problems: &mut Vec<FieldProblem>,
) -> Vec<Entry> {
    let (to, why, revs) = (posted.all("to"), posted.all("why"), posted.all("rev"));
    let mut entries = Vec::new();
    for (at, text) in posted.all("change").into_iter().enumerate() {
        let of = |all: &[String]| all.get(at).map_or("", |text| text.trim()).to_owned();
        let (to, why) = (of(&to), of(&why));
        let known = Uuid::parse_str(&text).ok().and_then(|id| job.get(id));
        let Some(change) = known.filter(|record| record.kind.is_change() && goes(&to)) else {
            continue;
        };
        let mut problem = |field: String, message: &str| {
            problems.push(FieldProblem {
                field,
                message: message.to_owned(),
            });
        };
        let part = format!("change.{}", change.id);
        let named = |entry: &mut Entry, field: &str, name: &str| {
            entry
                .names
                .insert(field.to_owned(), format!("{name}.{}", change.id));
        };
        if to == "drop" {
            if why.is_empty() {
                problem(
                    format!("why.{}", change.id),
                    "Why it is dropped is empty. Write it, or leave it in its week.",
                );
            }
            let fields = filled(&[("state", "dropped"), ("reason", &why)]);
            let mut entry = frame.entry("change.state", change.id, &part, fields);
            named(&mut entry, "state", "to");
            named(&mut entry, "reason", "why");
            named(&mut entry, "", "to");
            entries.push(entry);
            continue;
        }
        let Some(edits) = registry::edits(change.kind) else {
            continue;
        };
        let mut entry = frame.entry(edits.name, change.id, &part, filled(&[("week", &to)]));
        let rev = of(&revs).parse().unwrap_or(0);
        entry.op.base.insert("week".to_owned(), rev);
        named(&mut entry, "week", "to");
        entries.push(entry);
    }
    entries
}
