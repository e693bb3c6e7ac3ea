//! Buying as listed: a tick books a line on the open receipt of its supplier; the receipt is closed with its total.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::Item;
use scantling_takeoff::record::{FieldProblem, Job, Kind, registry};
use scantling_takeoff::units::decimal_text;
use uuid::Uuid;

use super::compose::{Entry, Frame, Posted};
use super::save::save;
use crate::error::{HttpError, refused, see};
use crate::pages::slips::{self, Slips};
use crate::pages::{buy_list, materials};
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// A line bought as listed.
pub(crate) async fn tick(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let posted = Posted(body.into_inner());
    let frame = Frame::of(&posted, job.id, &who);
    let weeks = weeks_of(&posted);
    let mut entries = Vec::new();
    let slips = slips::slips(&state, &job, &who).await?;
    let to = Slip {
        supplier: posted.typed("supplier"),
        id: posted.id("receipt_id"),
    };
    let receipt = receipt_for(&job, &slips, &to, &weeks, &frame, &mut entries);
    let mut fields = BTreeMap::new();
    let mut put = |name: &str, values: Vec<String>| {
        fields.insert(name.to_owned(), values);
    };
    put("receipt", vec![receipt.to_string()]);
    put("item", posted.all("item"));
    put("weeks", weeks.iter().map(u32::to_string).collect());
    put("count", posted.all("count"));
    if let Some(per) = posted
        .typed("per_tenths")
        .and_then(|text| text.parse().ok())
    {
        put("per", vec![decimal_text(per, 1)]);
    }
    for name in ["price", "price_by"] {
        if let Some(typed) = posted.typed(name) {
            put(name, vec![typed.to_owned()]);
        }
    }
    entries.push(frame.entry("bought.add", posted.id("entity_id"), "", fields));
    match save(&state, entries, &who).await?.or_problems() {
        Ok(()) => {
            let anchor: String = posted
                .typed("anchor")
                .unwrap_or("")
                .chars()
                .filter(char::is_ascii_alphanumeric)
                .collect();
            Ok(see(&format!(
                "/jobs/{}/buy-list?week={}#{anchor}",
                job.id,
                buy_list::query(&weeks)
            )))
        }
        Err(problems) => {
            let of = posted
                .typed("item")
                .and_then(|key| Item::from_key(key).ok())
                .map_or_else(|| "That line".to_owned(), |item| item.words(&job));
            let words = format!("Not booked: {of}. {}", first_of(problems).message);
            let refusal = buy_list::Refused::Tick(words);
            Ok(refused(buy_list::page(
                &job,
                &weeks,
                &slips,
                Some(&refusal),
            )))
        }
    }
}

/// What the page says: the first problem.
fn first_of(problems: Vec<FieldProblem>) -> FieldProblem {
    let mut problems = problems.into_iter();
    problems
        .next()
        .unwrap_or_else(|| FieldProblem::new("", "Not saved."))
}

/// Where a line goes.
pub(crate) struct Slip<'a> {
    /// The supplier's name; none, or one that nobody bears: a slip of no supplier.
    pub(crate) supplier: Option<&'a str>,
    /// The id of a slip that is begun for it.
    pub(crate) id: Uuid,
}

/// This phone's open receipt for a supplier; else a new one, as an entry more.
pub(crate) fn receipt_for(
    job: &Job,
    slips: &Slips,
    to: &Slip<'_>,
    weeks: &[u32],
    frame: &Frame,
    entries: &mut Vec<Entry>,
) -> Uuid {
    let supplier = supplier_named(job, to.supplier);
    slips.of_supplier(job, supplier).unwrap_or_else(|| {
        entries.push(new_receipt(frame, to.id, supplier, weeks));
        to.id
    })
}

fn supplier_named(job: &Job, name: Option<&str>) -> Option<Uuid> {
    let name = name?;
    let mut all = job.all(Kind::Supplier);
    all.find(|one| one.name() == name).map(|one| one.id)
}

/// The receipt that a photo of paper is of: this phone's slip of the supplier that the form names; where that is closed
/// already, the last one of the day; else a new one, as an entry more.
pub(crate) async fn receipt_of_paper(
    state: &State,
    (job, who): (&Job, &Who),
    posted: &Posted,
    frame: &Frame,
    entries: &mut Vec<Entry>,
) -> Result<Uuid, HttpError> {
    let to = Slip {
        supplier: posted.typed("supplier"),
        id: posted.id("receipt_id"),
    };
    let supplier = supplier_named(job, to.supplier);
    let slips = slips::slips(state, job, who).await?;
    if slips.of_supplier(job, supplier).is_none()
        && let Some(closed) = slips::closed_on(state, (job, who), supplier, &frame.day()).await?
    {
        return Ok(closed);
    }
    Ok(receipt_for(
        job,
        &slips,
        &to,
        &weeks_of(posted),
        frame,
        entries,
    ))
}

pub(crate) fn weeks_of(posted: &Posted) -> Vec<u32> {
    let asked = [(
        "week".to_owned(),
        posted.typed("weeks").unwrap_or("").to_owned(),
    )];
    materials::weeks_asked(&asked, 1)
}

fn new_receipt(frame: &Frame, id: Uuid, supplier: Option<Uuid>, weeks: &[u32]) -> Entry {
    let mut fields = BTreeMap::from([("day".to_owned(), vec![frame.day()])]);
    if let Some(supplier) = supplier {
        fields.insert("supplier".to_owned(), vec![supplier.to_string()]);
    }
    if let Some(week) = weeks.first() {
        fields.insert("week".to_owned(), vec![week.to_string()]);
    }
    frame.entry("receipt.add", id, "receipt", fields)
}

/// The open receipt with its printed total: it is closed. A form that names a supplier alone means this phone's slip of it:
/// written away from the server it may be on its way, or be begun by this.
pub(crate) async fn close_receipt(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let posted = Posted(body.into_inner());
    let weeks = weeks_of(&posted);
    let frame = Frame::of(&posted, job.id, &who);
    let slips = slips::slips(&state, &job, &who).await?;
    let mut entries = Vec::new();
    let named = posted.typed("supplier");
    let id = match posted.typed("receipt") {
        Some(text) => Uuid::parse_str(text).map_err(|_| HttpError::NotFound)?,
        None if posted.first("supplier").is_some() => {
            let to = Slip {
                supplier: named,
                id: posted.id("receipt_id"),
            };
            receipt_for(&job, &slips, &to, &weeks, &frame, &mut entries)
        }
        None => return Err(HttpError::NotFound),
    };
    let receipt = job.get(id).filter(|record| record.kind == Kind::Receipt);
    if receipt.is_none() && entries.is_empty() {
        return Err(HttpError::NotFound);
    }
    let refusal = |words: String, typed: String| match receipt {
        Some(receipt) if slips.is_filled(&job, receipt) => {
            buy_list::Refused::Total(id, words, typed)
        }
        _ => buy_list::Refused::NewTotal(named.unwrap_or("").to_owned(), words, typed),
    };
    let typed = posted.typed("total").unwrap_or("").to_owned();
    if typed.is_empty() {
        let words = "Type the total as printed, as in 150.79.".to_owned();
        let refusal = refusal(words, typed);
        return Ok(refused(buy_list::page(
            &job,
            &weeks,
            &slips,
            Some(&refusal),
        )));
    }
    let mut entry = frame.entry(
        "receipt.edit",
        id,
        "",
        BTreeMap::from([("total".to_owned(), vec![typed.clone()])]),
    );
    // One that is open, for the first time or again; a total that somebody else wrote meanwhile is said.
    let is_open = receipt.is_none_or(|receipt| receipt.text("total").is_none());
    let revs = state.read(move |tx| scantling_db::revs_of(tx, id)).await?;
    let stands = revs.get("total").filter(|_| is_open);
    let base = stands.map_or(0, |total| total.rev);
    entry.op.base.insert("total".to_owned(), base);
    entries.push(entry);
    match save(&state, entries, &who).await?.or_problems() {
        Ok(()) => Ok(see(&format!("/jobs/{}/receipt/{id}", job.id))),
        Err(problems) => {
            let refusal = refusal(first_of(problems).message, typed);
            Ok(refused(buy_list::page(
                &job,
                &weeks,
                &slips,
                Some(&refusal),
            )))
        }
    }
}

/// Another job's suppliers, hardware table and price book as entries of a new job.
pub(crate) fn copied_book(from: &Job, frame: &Frame) -> Vec<Entry> {
    let mut entries = Vec::new();
    let own = |id: Uuid| Uuid::new_v5(&frame.op_id, id.as_bytes());
    for kind in [Kind::Supplier, Kind::Hardware, Kind::Price] {
        let Some(adds) = registry::adds(kind) else {
            continue;
        };
        for record in from.all(kind) {
            let mut fields: BTreeMap<String, Vec<String>> = BTreeMap::new();
            for field in adds.fields {
                let values: Vec<String> = record
                    .fields
                    .get(field.name)
                    .into_iter()
                    .flatten()
                    .filter(|value| !value.text.is_empty())
                    .map(|value| {
                        value
                            .to
                            .map_or_else(|| value.text.clone(), |to| own(to).to_string())
                    })
                    .collect();
                if !values.is_empty() {
                    fields.insert(field.name.to_owned(), values);
                }
            }
            entries.push(frame.entry(
                adds.name,
                own(record.id),
                &format!("copy.{}", record.id),
                fields,
            ));
        }
    }
    entries
}
