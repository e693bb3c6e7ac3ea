//! A supplier's price book from a CSV: looked at, its headings matched, and saved as a whole or not at all.
//!
//! The file's text travels in the form, so that nothing is kept between the steps. A save writes only what was shown: the
//! form carries a sign of that, and where it no longer holds the page is shown again.

use std::collections::BTreeMap;

use actix_multipart::Multipart;
use actix_web::{HttpResponse, web};
use futures_util::TryStreamExt;
use scantling_db::Who;
use scantling_takeoff::record::choices::SEPARATOR;
use scantling_takeoff::record::{Job, Kind, Record};
use scantling_web::layout::{Note, Wrong};
use uuid::Uuid;

use super::compose::{Entry, Frame, PART_BYTES, Posted};
use super::save::{Saved, save};
use crate::clock;
use crate::error::{HttpError, html, refused, see};
use crate::files::dialect::{self, Table};
use crate::files::price_book::{self, LISTED, Plan, Reading};
use crate::files::price_cell::Figures;
use crate::files::price_match::{self, Column, Nth};
use crate::pages::price_import::{self, Looked};
use crate::pages::prices;
use crate::passes::{CSV_BYTES, Passes};
use crate::state::State;

/// Rows up to so many bytes come back to be put right where they stand.
const BACK: usize = 64 * 1024;
/// At most so many headings are remembered.
const REMEMBERED: usize = 100;

/// Looks at the file, or saves what was looked at.
pub(crate) async fn import(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    body: Multipart,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let (posted, file) = parts(body).await?;
    let supplier = posted
        .typed("supplier")
        .and_then(|id| Uuid::parse_str(id).ok())
        .and_then(|id| job.get(id))
        .filter(|record| record.kind == Kind::Supplier);
    let read = text_of(&posted, &file)
        .map_err(|why| vec![why])
        .and_then(|text| {
            let separator = separator(&posted, &text);
            dialect::table(&text, &separator).map(|table| (table, text, separator))
        });
    let (table, text, separator) = match read {
        Ok(read) => read,
        Err(why) => {
            let back = String::from_utf8(file)
                .ok()
                .filter(|text| !text.is_empty() && text.len() <= BACK)
                .or_else(|| posted.first("text").map(str::to_owned))
                .or_else(|| posted.first("pasted").map(str::to_owned));
            let asked = (supplier.map(|one| one.id), back.unwrap_or_default());
            return Ok(refused(prices::page(&job, first_of(why), asked)));
        }
    };
    let chosen = |at: usize| posted.first(&format!("column.{at}")).map(str::to_owned);
    let columns = price_match::columns(&table, supplier, chosen);
    let figures = price_match::figures(&table, &columns, supplier, |name| {
        posted.first(name).map(str::to_owned)
    });
    let file_name = posted.typed("file_name").unwrap_or("").to_owned();
    let mut frame = Frame::of(&posted, job.id, &who);
    let mut looked = Looked {
        supplier,
        day: posted
            .first("day")
            .map_or_else(|| clock::today().to_string(), str::to_owned),
        source: posted
            .first("source")
            .map_or_else(|| source(&file_name), str::to_owned),
        rows: table.rows.len(),
        needs_mark: price_match::needs_mark(&table, &columns, &figures),
        op_id: frame.op_id,
        seen: Uuid::nil(),
        columns,
        figures,
        separator,
        file_name,
        text,
    };
    let plan = planned(&state, &job, &table, &mut looked, &frame).await?;
    let saving = posted.first("do") == Some("save");
    let is_seen = posted.first("seen") == Some(looked.seen.to_string().as_str());
    // Sent twice, it finds nothing left to change: that is a save, too.
    let may_save = is_seen || plan.entries.is_empty();
    if !saving || !may_save || !plan.problems.is_empty() {
        let note = (saving && !may_save).then(changed_since);
        return Ok(shown(&job, &looked, &plan, note));
    }
    let remembered = memory(&state, supplier, &looked.columns, &looked.figures, &frame).await?;
    let entries: Vec<Entry> = plan.entries.iter().cloned().chain(remembered).collect();
    if entries.is_empty() {
        return Ok(see(&format!("/jobs/{}/prices", job.id)));
    }
    let (problems, again) = match save(&state, entries, &who).await? {
        Saved::Done => return Ok(see(&format!("/jobs/{}/prices", job.id))),
        Saved::Conflict(problems) | Saved::Refused(problems) => (problems, false),
        Saved::Before(problems) => (problems, true),
    };
    if again {
        frame.op_id = clock::new_id();
        looked.op_id = frame.op_id;
    }
    // What stands now, with what was in the way.
    let job = state.job(job.id).await?;
    let mut plan = planned(&state, &job, &table, &mut looked, &frame).await?;
    plan.problems
        .extend(problems.into_iter().map(|problem| problem.message));
    Ok(shown(&job, &looked, &plan, None))
}

/// The first of them, and how many more there are.
fn first_of(mut wrong: Vec<String>) -> Vec<String> {
    let more = wrong.len().saturating_sub(LISTED);
    wrong.truncate(LISTED);
    if more > 0 {
        wrong.push(format!("… and {more} more. The first {LISTED} are listed."));
    }
    wrong
}

/// The form's fields and the file in it. The file's own name is a field too: `file_name`.
async fn parts(mut body: Multipart) -> Result<(Posted, Vec<u8>), HttpError> {
    let broken = |_| {
        HttpError::BadInput(
            "The file did not arrive whole. Choose it again and send it.".to_owned(),
        )
    };
    let (mut posted, mut file) = (Posted::default(), Vec::new());
    let mut size = 0;
    while let Some(mut part) = body.try_next().await.map_err(broken)? {
        let name = part.name().unwrap_or("").to_owned();
        size += PART_BYTES + name.len();
        if size > 2 * CSV_BYTES {
            return Err(HttpError::TooLarge(Passes::Csv.words()));
        }
        let file_name = part
            .content_disposition()
            .and_then(|said| said.get_filename())
            .map(plain_name);
        let mut bytes = Vec::new();
        while let Some(chunk) = part.try_next().await.map_err(broken)? {
            size += chunk.len();
            // The second step sends the text with a line end of two bytes, and its fields.
            if bytes.len() + chunk.len() > CSV_BYTES || size > 2 * CSV_BYTES {
                return Err(HttpError::TooLarge(Passes::Csv.words()));
            }
            bytes.extend_from_slice(&chunk);
        }
        if name == "file" {
            file = bytes;
            posted
                .0
                .extend(file_name.map(|name| ("file_name".to_owned(), name)));
        } else {
            let text = String::from_utf8_lossy(&bytes).into_owned();
            posted.0.push((name, text));
        }
    }
    Ok((posted, file))
}

/// A file's name without its folders and without what can't be shown, at most 100 characters.
fn plain_name(name: &str) -> String {
    let last = name.rsplit(['/', '\\']).next().unwrap_or("");
    last.chars().filter(|c| !c.is_control()).take(100).collect()
}

fn text_of(posted: &Posted, file: &[u8]) -> Result<String, String> {
    if !file.is_empty() {
        return dialect::text_of(file);
    }
    let text = posted.first("text").or_else(|| posted.first("pasted"));
    dialect::text_of(text.unwrap_or("").as_bytes())
}

fn separator(posted: &Posted, text: &str) -> String {
    posted
        .first("separator")
        .filter(|word| SEPARATOR.iter().any(|(known, _)| known == word))
        .unwrap_or_else(|| dialect::separator_of(text))
        .to_owned()
}

fn source(file_name: &str) -> String {
    if file_name.is_empty() {
        "pasted".to_owned()
    } else {
        file_name.to_owned()
    }
}

fn changed_since() -> Note {
    Note {
        bad: Wrong::Yes,
        lead: "Not saved.".to_owned(),
        text: "Something was chosen anew, or the price book changed. Look at what would change now, then save.".to_owned(),
    }
}

fn shown(job: &Job, looked: &Looked<'_>, plan: &Plan, note: Option<Note>) -> HttpResponse {
    let page = price_import::page(job, looked, plan, note);
    if plan.problems.is_empty() {
        html(page)
    } else {
        refused(page)
    }
}

/// What would change, its edits resting on the revisions that stand, and the sign of it.
async fn planned(
    state: &State,
    job: &Job,
    table: &Table,
    looked: &mut Looked<'_>,
    frame: &Frame,
) -> Result<Plan, HttpError> {
    let reading = Reading {
        supplier: looked.supplier,
        columns: &looked.columns,
        figures: &looked.figures,
        day: looked.day.trim(),
        source: looked.source.trim(),
    };
    let mut plan = price_book::plan(table, &reading, job, frame);
    rest_on(state, &mut plan.entries).await?;
    let written: Vec<String> = plan
        .entries
        .iter()
        .map(|Entry { op, .. }| {
            format!("{} {} {:?} {:?}", op.kind, op.entity_id, op.fields, op.base)
        })
        .collect();
    let all = format!(
        "{:?} {:?} {} {}",
        looked.columns,
        looked.figures,
        looked.separator,
        written.join(" ")
    );
    looked.seen = Uuid::new_v5(&frame.op_id, all.as_bytes());
    Ok(plan)
}

/// Fills in the revisions that edits rest on.
async fn rest_on(state: &State, entries: &mut [Entry]) -> Result<(), HttpError> {
    let is_edit =
        |entry: &&mut Entry| matches!(entry.op.kind.as_str(), "price.edit" | "supplier.edit");
    let edited: Vec<Uuid> = entries
        .iter_mut()
        .filter(is_edit)
        .map(|entry| entry.op.entity_id)
        .collect();
    let revs = state
        .read(move |tx| {
            edited
                .into_iter()
                .map(|id| Ok((id, scantling_db::revs_of(tx, id)?)))
                .collect::<Result<BTreeMap<_, _>, _>>()
        })
        .await?;
    for entry in entries.iter_mut().filter(is_edit) {
        let names: Vec<String> = entry.op.fields.keys().cloned().collect();
        for name in names {
            let rev = revs
                .get(&entry.op.entity_id)
                .and_then(|fields| fields.get(&name))
                .map_or(0, |field| field.rev);
            entry.op.base.insert(name, rev);
        }
    }
    Ok(())
}

/// Headings with what they are: those of this file, then those of files before, two of the same in their order.
fn headings_known(supplier: &Record, columns: &[Column]) -> (Vec<String>, Vec<String>) {
    let of_file = price_match::numbered(columns.iter().map(|column| column.heading.as_str()));
    let mut known: BTreeMap<Nth, (String, String)> = of_file
        .into_iter()
        .zip(columns)
        .filter(|(_, column)| {
            column.heading.len() <= 200 && !column.heading.chars().any(char::is_control)
        })
        .take(REMEMBERED)
        .map(|(nth, column)| (nth, (column.heading.clone(), column.is.clone())))
        .collect();
    for (nth, (heading, column)) in price_match::known_of(supplier) {
        if known.len() < REMEMBERED {
            known
                .entry(nth)
                .or_insert_with(|| (heading.to_owned(), column.to_owned()));
        }
    }
    known.into_values().unzip()
}

/// What was chosen, kept as fields of the supplier for the next file; nothing where it is known already.
async fn memory(
    state: &State,
    supplier: Option<&Record>,
    columns: &[Column],
    figures: &Figures,
    frame: &Frame,
) -> Result<Option<Entry>, HttpError> {
    let Some(supplier) = supplier else {
        return Ok(None);
    };
    let (headings, is) = headings_known(supplier, columns);
    let decimal = figures.decimal_comma.map(price_match::decimal_word);
    let fields: BTreeMap<String, Vec<String>> = [
        ("csv_headings", headings),
        ("csv_columns", is),
        (
            "csv_decimal",
            vec![decimal.map_or_else(
                || supplier.text("csv_decimal").unwrap_or("").to_owned(),
                str::to_owned,
            )],
        ),
        ("csv_bare", vec![figures.bare.clone()]),
    ]
    .into_iter()
    .filter(|(name, texts)| {
        let filled: Vec<&str> = texts
            .iter()
            .map(String::as_str)
            .filter(|text| !text.is_empty())
            .collect();
        supplier.texts(name) != filled
    })
    .map(|(name, texts)| (name.to_owned(), texts))
    .collect();
    if fields.is_empty() {
        return Ok(None);
    }
    let mut entries = [frame.entry("supplier.edit", supplier.id, "ways", fields)];
    rest_on(state, &mut entries).await?;
    Ok(entries.into_iter().next())
}
