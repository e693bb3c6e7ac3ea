//! The form of a change that is done, filled with what the ledger says.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{DoneForm, Item, done_form, struck_form};
use scantling_takeoff::record::{Job, Kind, Record};
use scantling_web::Page;
use scantling_web::pages::done as view;
use uuid::Uuid;

use super::shell;
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    path: web::Path<(Uuid, String, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = change(&job, &kind, id)?;
    Ok(html(page(&job, record, None, Vec::new())))
}

/// The change of an address.
pub(crate) fn change<'a>(job: &'a Job, kind: &str, id: Uuid) -> Result<&'a Record, HttpError> {
    let kind = Kind::named(kind)
        .filter(|kind| kind.is_change())
        .ok_or(HttpError::NotFound)?;
    job.get(id)
        .filter(|record| record.kind == kind)
        .ok_or(HttpError::NotFound)
}

/// It, as it was sent where it was refused.
pub(crate) fn page(
    job: &Job,
    record: &Record,
    sent: Option<&Posted>,
    problems: Vec<String>,
) -> Page {
    let form = done_form(job, record.id);
    let mut shell = shell::shell(job, record.name(), "/changes", clock::today());
    if !problems.is_empty() {
        shell.note = Some(shell::refused_note());
    }
    let here = format!("/jobs/{}/{}/{}", job.id, record.kind, record.id);
    let not_here = form.sticks.iter().filter(|stick| !stick.is_here).count();
    let said = match not_here {
        0 => String::new(),
        1 => "1 of these is not booked yet: what is used goes below zero until the receipt is."
            .to_owned(),
        n => format!(
            "{n} of these are not booked yet: what is used goes below zero until the receipt is."
        ),
    };
    let view = view::View {
        up: (here.clone(), record.name().to_owned()),
        does: ("change.done", "Save: done"),
        counted: ("Used", "used"),
        action: format!("{here}/done"),
        hidden: vec![("op_id".to_owned(), clock::new_id().to_string())],
        problems,
        sticks: sticks(job, &form, sent),
        counts: counts(job, &form, sent),
        back: back(job, &form, sent),
        said,
        note: note_sent(sent),
        shell,
    };
    view::page(&view)
}

/// The page of a shore that is struck.
pub(crate) async fn show_struck(
    state: web::Data<State>,
    path: web::Path<(Uuid, String, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = change(&job, &kind, id)?;
    Ok(html(struck_page(&job, record, None, Vec::new())))
}

/// It, as it was sent where it was refused: the temporary pieces, as they come back.
pub(crate) fn struck_page(
    job: &Job,
    record: &Record,
    sent: Option<&Posted>,
    problems: Vec<String>,
) -> Page {
    let mut shell = shell::shell(job, record.name(), "/changes", clock::today());
    if !problems.is_empty() {
        shell.note = Some(shell::refused_note());
    }
    let here = format!("/jobs/{}/{}/{}", job.id, record.kind, record.id);
    let counts = struck_form(job, record.id)
        .into_iter()
        .map(|(item, count)| {
            let value = item.to_key();
            view::Count {
                words: item.words(job),
                used: sent_for(sent, "item", "back", &value).unwrap_or_else(|| count.to_string()),
                value,
            }
        })
        .collect();
    let view = view::View {
        up: (here.clone(), record.name().to_owned()),
        does: ("change.struck", "Save: struck"),
        counted: ("Came back", "back"),
        action: format!("{here}/struck"),
        hidden: vec![("op_id".to_owned(), clock::new_id().to_string())],
        problems,
        sticks: Vec::new(),
        counts,
        back: Vec::new(),
        said: "Shoring is struck only once beam, posts and hangers stand and are fastened as their sheet says.".to_owned(),
        note: note_sent(sent),
        shell,
    };
    view::page(&view)
}

fn note_sent(sent: Option<&Posted>) -> String {
    sent.and_then(|sent| sent.first("note"))
        .unwrap_or("")
        .to_owned()
}

/// What was sent for the row of this value, if the form comes back.
pub(crate) fn sent_for(
    sent: Option<&Posted>,
    keys: &str,
    values: &str,
    key: &str,
) -> Option<String> {
    sent_again(sent, keys, values, key, 0)
}

/// The same for the row with this value that comes after so many like it.
fn sent_again(
    sent: Option<&Posted>,
    keys: &str,
    values: &str,
    key: &str,
    like_it: usize,
) -> Option<String> {
    let sent = sent?;
    let keys = sent.all(keys);
    let (at, _) = keys
        .iter()
        .enumerate()
        .filter(|(_, one)| *one == key)
        .nth(like_it)?;
    sent.all(values).get(at).cloned()
}

/// How many rows with this value came before, counting this one for the next.
fn like_it<'a>(seen: &mut BTreeMap<&'a str, usize>, key: &'a str) -> usize {
    let n = seen.entry(key).or_default();
    *n += 1;
    *n - 1
}

fn sticks(job: &Job, form: &DoneForm, sent: Option<&Posted>) -> Vec<view::Stick> {
    let mut seen = BTreeMap::new();
    form.sticks
        .iter()
        .map(|stick| {
            let marks: Vec<&str> = stick.pieces.iter().map(|(_, mark)| mark.as_str()).collect();
            let lies = if stick.lies.is_empty() {
                String::new()
            } else {
                format!(", {}", stick.lies)
            };
            view::Stick {
                value: stick.key.clone(),
                words: format!(
                    "{}{lies}: {}",
                    stick.item.words(job),
                    super::cut_list::ranges(&marks)
                ),
                offcut: sent_again(
                    sent,
                    "stick",
                    "offcut",
                    &stick.key,
                    like_it(&mut seen, &stick.key),
                )
                .unwrap_or_else(|| stick.offcut.clone()),
            }
        })
        .collect()
}

fn counts(job: &Job, form: &DoneForm, sent: Option<&Posted>) -> Vec<view::Count> {
    form.counts
        .iter()
        .map(|used| {
            let value = used.to_key();
            let words = used.item.words(job);
            view::Count {
                words: match &used.instead_of {
                    Some(asked) => format!("{words}, instead of {}", asked.words(job)),
                    None => words,
                },
                used: sent_for(sent, "item", "used", &value)
                    .unwrap_or_else(|| used.count.to_string()),
                value,
            }
        })
        .collect()
}

fn back(job: &Job, form: &DoneForm, sent: Option<&Posted>) -> Vec<view::Back> {
    let keys: Vec<String> = form.back.iter().map(|(item, _)| item.to_key()).collect();
    let mut seen = BTreeMap::new();
    form.back
        .iter()
        .zip(&keys)
        .map(|((item, count), key)| {
            let nth = like_it(&mut seen, key);
            let length = match item {
                Item::Stick { length, .. } => length.to_string(),
                _ => String::new(),
            };
            view::Back {
                words: format!("{}, {count} came out", item.words(job)),
                length: sent_again(sent, "back", "back_length", key, nth).unwrap_or(length),
                count: sent_again(sent, "back", "back_count", key, nth)
                    .unwrap_or_else(|| "0".to_owned()),
                value: key.clone(),
            }
        })
        .collect()
}
