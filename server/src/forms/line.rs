//! Bought otherwise than listed: a swap, a return, an extra. Each is a line on the open receipt of its supplier.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{Item, swap_problems};
use scantling_takeoff::record::{FieldProblem, Job, Kind};
use scantling_takeoff::units::{Length, decimal_text, parse_count, parse_length};
use scantling_web::layout::Main;
use uuid::Uuid;

use super::buy::{self, weeks_of};
use super::compose::{Frame, Posted};
use super::save::save;
use crate::clock;
use crate::error::{HttpError, refused, see};
use crate::pages::{buy_list, line, shell, slips};
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// Another thing than the line asked for.
pub(crate) async fn swap(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let posted = Posted(body.into_inner());
    let weeks = weeks_of(&posted);
    let asked = line::find(&job, &weeks, id).ok_or(HttpError::NotFound)?;
    let (mut problems, mut said) = (Vec::new(), Vec::new());
    let other = other(&job, &asked, &posted).map_err(|problem| problems.push(problem));
    if let (Ok(other), Some(Ok(count))) = (&other, posted.typed("count").map(parse_count))
        && posted.first("anyway") != Some("yes")
    {
        said = swap_problems(&job, &weeks, &asked, other, i64::from(count));
    }
    if problems.is_empty()
        && said.is_empty()
        && let Ok(other) = other
    {
        let mut fields = line_fields(&posted, &weeks, &other);
        by_the_book(&job, &other, &mut fields);
        fields.insert("instead_of".to_owned(), vec![asked.to_key()]);
        match booked(&state, &who, &job, &posted, &weeks, fields).await? {
            Ok(()) => return Ok(see(&line::href(&job, &weeks, &asked))),
            Err(more) => problems = more,
        }
    }
    let refusal = line::Refused {
        form: "swap",
        posted: &posted,
        problems,
        said,
    };
    Ok(refused(line::page(&job, &weeks, &asked, Some(&refusal))))
}

/// Taken back to the yard.
pub(crate) async fn back(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let posted = Posted(body.into_inner());
    let weeks = weeks_of(&posted);
    let item = line::find(&job, &weeks, id).ok_or(HttpError::NotFound)?;
    let mut fields = line_fields(&posted, &weeks, &item);
    fields.insert("way".to_owned(), vec!["returned".to_owned()]);
    for name in ["returns", "per", "price_by"] {
        if let Some(text) = posted.typed(name) {
            fields.insert(name.to_owned(), vec![text.to_owned()]);
        }
    }
    match booked(&state, &who, &job, &posted, &weeks, fields).await? {
        Ok(()) => Ok(see(&line::href(&job, &weeks, &item))),
        Err(problems) => {
            let refusal = line::Refused {
                form: "back",
                posted: &posted,
                problems,
                said: Vec::new(),
            };
            Ok(refused(line::page(&job, &weeks, &item, Some(&refusal))))
        }
    }
}

/// What was bought instead: from the book, or another length of the same.
fn other(job: &Job, asked: &Item, posted: &Posted) -> Result<Item, FieldProblem> {
    if let (Item::Stick { class, .. }, Some(text)) = (asked, posted.typed("length")) {
        let length = parse_length(text, job.settings.units)
            .map_err(|error| FieldProblem::new("length", error.to_string()))?;
        if length <= Length::ZERO || length > Length::feet(200) {
            return Err(FieldProblem::new(
                "length",
                "A length from 1/64 in to 200 ft. Write it like 12'.",
            ));
        }
        let base = match posted.typed("other") {
            Some(key) => Item::from_key(key)
                .map_err(|error| FieldProblem::new("other", error.to_string()))?,
            None => asked.clone(),
        };
        let class = match base {
            Item::Stick { class, .. } => class,
            _ => class.clone(),
        };
        return Ok(Item::Stick { class, length });
    }
    match posted.typed("other") {
        Some(key) => {
            Item::from_key(key).map_err(|error| FieldProblem::new("other", error.to_string()))
        }
        None => Err(FieldProblem::new(
            "other",
            "Choose what was bought, or write its length.",
        )),
    }
}

/// Something on a receipt that is on no list.
pub(crate) async fn extra(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let receipt = job
        .get(id)
        .filter(|record| record.kind == Kind::Receipt)
        .ok_or(HttpError::NotFound)?;
    let posted = Posted(body.into_inner());
    let item = posted.typed("item").map(Item::from_key);
    let problems = match item {
        Some(Ok(item)) => {
            let weeks: Vec<u32> = receipt
                .number("week")
                .and_then(|n| u32::try_from(n).ok())
                .or_else(|| Some(shell::week_now(&job, clock::today())))
                .into_iter()
                .collect();
            let mut fields = line_fields(&posted, &weeks, &item);
            by_the_book(&job, &item, &mut fields);
            fields.insert("receipt".to_owned(), vec![receipt.id.to_string()]);
            let frame = Frame::of(&posted, job.id, &who);
            let entry = frame.entry("bought.add", posted.id("entity_id"), "", fields);
            match save(&state, vec![entry], &who).await?.or_problems() {
                Ok(()) => {
                    return Ok(see(&format!("/jobs/{}/receipt/{}", job.id, receipt.id)));
                }
                Err(problems) => problems,
            }
        }
        Some(Err(error)) => vec![FieldProblem::new("item", error.to_string())],
        None => vec![FieldProblem::new(
            "item",
            "Choose what was bought. What no one sells goes into the price book first.",
        )],
    };
    let mut form = line::extra_form(&job, receipt);
    form.main = Main::Yes;
    for field in &mut form.fields {
        field.values = posted.all(&field.name);
        field.problem = problems
            .iter()
            .find(|problem| problem.field == field.name)
            .map(|problem| problem.message.clone());
    }
    form.problems = problems
        .into_iter()
        .filter(|problem| form.fields.iter().all(|field| field.name != problem.field))
        .map(|problem| problem.message)
        .collect();
    Ok(refused(shell::form_page(
        &job,
        receipt.name(),
        "",
        form,
        Some(shell::refused_note()),
        clock::today(),
    )))
}

/// What the book says of an item: how many pieces come in one, and its price where none was typed (of a foot, where it is
/// sold so).
fn by_the_book(job: &Job, item: &Item, fields: &mut BTreeMap<String, Vec<String>>) {
    let Some(offer) = line::offer(job, item) else {
        return;
    };
    if let Some(per) = offer.per_tenths.filter(|_| !item.has_rows()) {
        fields.insert("per".to_owned(), vec![decimal_text(per, 1)]);
    }
    if fields.contains_key("price") {
        return;
    }
    if let Some(price) = offer.unit_price() {
        let text = buy_list::plain_money(price.as_cents());
        fields.insert("price".to_owned(), vec![text]);
    }
    if offer.is_by_the_foot() {
        fields.insert("price_by".to_owned(), vec!["foot".to_owned()]);
    }
}

fn line_fields(posted: &Posted, weeks: &[u32], item: &Item) -> BTreeMap<String, Vec<String>> {
    let mut fields = BTreeMap::from([
        ("item".to_owned(), vec![item.to_key()]),
        (
            "weeks".to_owned(),
            weeks.iter().map(u32::to_string).collect(),
        ),
        (
            "count".to_owned(),
            vec![posted.typed("count").unwrap_or("").to_owned()],
        ),
    ]);
    if let Some(price) = posted.typed("price") {
        fields.insert("price".to_owned(), vec![price.to_owned()]);
    }
    fields
}

/// Books a line on the open receipt of its supplier, or on a new one.
async fn booked(
    state: &State,
    who: &Who,
    job: &Job,
    posted: &Posted,
    weeks: &[u32],
    mut fields: BTreeMap<String, Vec<String>>,
) -> Result<Result<(), Vec<FieldProblem>>, HttpError> {
    let frame = Frame::of(posted, job.id, who);
    let mut entries = Vec::new();
    let slips = slips::slips(state, job, who).await?;
    let receipt = buy::receipt_for(job, &slips, posted, weeks, &frame, &mut entries);
    fields.insert("receipt".to_owned(), vec![receipt.to_string()]);
    entries.push(frame.entry("bought.add", posted.id("entity_id"), "", fields));
    Ok(save(state, entries, who).await?.or_problems())
}
