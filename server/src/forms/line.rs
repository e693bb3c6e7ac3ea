//! Bought from a line's page: a part of it as listed, a swap, a return; and an extra on a receipt. Each is a line on the
//! open receipt of its supplier.

use std::collections::BTreeMap;
use std::sync::Arc;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{Item, Offer, PriceBook, swap_problems, swap_problems_of_order};
use scantling_takeoff::record::{FieldProblem, Job, Kind, Record};
use scantling_takeoff::units::{Length, decimal_text, parse_count, parse_length};
use scantling_web::layout::Main;
use uuid::Uuid;

use super::buy::{self, weeks_of};
use super::compose::{Frame, Posted};
use super::save::save;
use crate::clock;
use crate::error::{HttpError, refused, see};
use crate::pages::{buy_list, line, rows, shell, slips};
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// A form of a line's page, and the line.
struct Asked {
    job: Arc<Job>,
    posted: Posted,
    weeks: Vec<u32>,
    item: Item,
}

impl Asked {
    async fn of(
        state: &State,
        path: web::Path<(Uuid, Uuid)>,
        body: Body,
    ) -> Result<Self, HttpError> {
        let (job, id) = path.into_inner();
        let job = state.job(job).await?;
        let posted = Posted(body.into_inner());
        let weeks = weeks_of(&posted);
        let item = line::find(&job, &weeks, id).ok_or(HttpError::NotFound)?;
        Ok(Self {
            job,
            posted,
            weeks,
            item,
        })
    }

    /// The order that it came with, if the form says one.
    fn order(&self) -> Option<&Record> {
        line::order_asked(&self.job, &self.posted)
    }

    /// Books these fields for these weeks, and shows the line's page again; of what came with an order, the order's.
    async fn book(
        &self,
        (state, who): (&State, &Who),
        form: &'static str,
        slip: (&[u32], Option<&str>),
        fields: BTreeMap<String, Vec<String>>,
    ) -> Result<HttpResponse, HttpError> {
        let booked = booked(state, who, &self.job, &self.posted, slip, fields).await?;
        Ok(match booked {
            Ok(()) => see(&match self.order() {
                Some(order) => format!("/jobs/{}/order/{}", self.job.id, order.id),
                None => line::href(&self.job, &self.weeks, &self.item),
            }),
            Err(problems) => self.refused(form, problems, Vec::new()),
        })
    }

    /// The line's page with this form as it was typed.
    fn refused(
        &self,
        form: &'static str,
        problems: Vec<FieldProblem>,
        said: Vec<String>,
    ) -> HttpResponse {
        let refusal = line::Refused {
            form,
            posted: &self.posted,
            problems,
            said,
        };
        refused(line::page(
            &self.job,
            &self.weeks,
            &self.item,
            self.order(),
            Some(&refusal),
        ))
    }
}

/// Another thing than the line asked for.
pub(crate) async fn swap(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let asked = Asked::of(&state, path, body).await?;
    let Asked {
        job,
        posted,
        weeks,
        item,
    } = &asked;
    let (other, offer) = match chosen(job, item, posted) {
        Ok(chosen) => chosen,
        Err(problem) => return Ok(asked.refused("swap", vec![problem], Vec::new())),
    };
    // The same form again is answered as the first time.
    let is_new = job.ever(posted.id("entity_id")).is_none();
    if let Some(Ok(count)) = posted.typed("count").map(parse_count)
        && posted.first("anyway") != Some("yes")
        && is_new
    {
        let count = i64::from(count);
        let said = match asked.order() {
            Some(order) => swap_problems_of_order(job, order.id, item, &other, count),
            None => swap_problems(job, weeks, item, &other, count),
        };
        if !said.is_empty() {
            return Ok(asked.refused("swap", Vec::new(), said));
        }
    }
    let mut fields = line_fields(posted, weeks, &other);
    if other != *item {
        fields.insert("instead_of".to_owned(), vec![item.to_key()]);
    }
    if let Some(order) = asked.order() {
        fields.insert("order".to_owned(), vec![order.id.to_string()]);
    }
    let mut supplier = posted.typed("supplier");
    if let Some(offer) = &offer {
        as_sold(offer, &mut fields);
        supplier = Some(&offer.supplier);
    }
    asked
        .book((&state, &who), "swap", (weeks, supplier), fields)
        .await
}

/// Taken back to the yard.
pub(crate) async fn back(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let asked = Asked::of(&state, path, body).await?;
    let posted = &asked.posted;
    // What goes back is of the weeks of the line that brought it.
    let of = posted
        .typed("returns")
        .and_then(|text| Uuid::parse_str(text).ok())
        .and_then(|id| asked.job.get(id))
        .filter(|line| line.kind == Kind::Bought)
        .map(Record::weeks)
        .filter(|weeks| !weeks.is_empty())
        .unwrap_or_else(|| asked.weeks.clone());
    let mut fields = line_fields(posted, &of, &asked.item);
    fields.insert("way".to_owned(), vec!["returned".to_owned()]);
    as_typed(posted, &["returns", "per", "price_by"], &mut fields);
    let slip = (&of[..], posted.typed("supplier"));
    asked.book((&state, &who), "back", slip, fields).await
}

/// As listed, but a part of it, at another price or from another yard.
pub(crate) async fn listed(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let asked = Asked::of(&state, path, body).await?;
    let posted = &asked.posted;
    let mut fields = line_fields(posted, &asked.weeks, &asked.item);
    as_typed(posted, &["per", "price_by"], &mut fields);
    let slip = (&asked.weeks[..], posted.typed("supplier"));
    asked.book((&state, &who), "listed", slip, fields).await
}

/// The row of the price book that a form names.
fn named(book: &PriceBook, field: &str, text: &str) -> Result<Offer, FieldProblem> {
    let row = Uuid::parse_str(text).ok();
    let mut offers = book.offers.iter();
    offers
        .find(|offer| Some(offer.row) == row)
        .cloned()
        .ok_or_else(|| {
            FieldProblem::new(
                field,
                "No such row is in the price book by now. Choose another.",
            )
        })
}

/// What was bought instead, and the row of the price book that sold it: the one that was chosen; of another length of the
/// same that yard's, else the cheapest.
fn chosen(job: &Job, asked: &Item, posted: &Posted) -> Result<(Item, Option<Offer>), FieldProblem> {
    let book = PriceBook::of(job);
    let other = posted
        .typed("other")
        .map(|text| named(&book, "other", text))
        .transpose()?;
    if let (Item::Stick { class, .. }, Some(text)) = (asked, posted.typed("length")) {
        let length = parse_length(text, job.settings.units)
            .map_err(|error| FieldProblem::new("length", error.to_string()))?;
        if length <= Length::ZERO || length > Length::feet(200) {
            return Err(FieldProblem::new(
                "length",
                "A length from 1/64 in to 200 ft. Write it like 12'.",
            ));
        }
        let class = match other.as_ref().map(|offer| &offer.item) {
            Some(Item::Stick { class, .. }) => class,
            _ => class,
        };
        let item = Item::Stick {
            class: class.clone(),
            length,
        };
        let yard = other.as_ref().map(|offer| offer.supplier.as_str());
        let yard = yard.or(posted.typed("supplier")).unwrap_or("");
        let offer = line::offer(&book, &item, yard);
        return Ok((item, offer));
    }
    match other {
        Some(offer) => Ok((offer.item.clone(), Some(offer))),
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
    let book = line::book_of(&job, receipt);
    let chosen = posted.typed("item").map(|text| named(&book, "item", text));
    let problems = match chosen {
        Some(Ok(offer)) => {
            let weeks: Vec<u32> = receipt
                .number("week")
                .and_then(|n| u32::try_from(n).ok())
                .or_else(|| Some(shell::week_now(&job, clock::today())))
                .into_iter()
                .collect();
            let mut fields = line_fields(&posted, &weeks, &offer.item);
            as_sold(&offer, &mut fields);
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
        Some(Err(problem)) => vec![problem],
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
        &rows::title(&job, receipt),
        "",
        form,
        Some(shell::refused_note()),
        clock::today(),
    )))
}

/// What a row of the price book says of what it sells: how many pieces come in one, its price where none was typed, and
/// whether the price is for a foot.
fn as_sold(offer: &Offer, fields: &mut BTreeMap<String, Vec<String>>) {
    if let Some(per) = offer.per_tenths.filter(|_| !offer.item.has_rows()) {
        fields.insert("per".to_owned(), vec![decimal_text(per, 1)]);
    }
    if let Some(price) = offer.unit_price() {
        let text = buy_list::plain_money(price.as_cents());
        fields
            .entry("price".to_owned())
            .or_insert_with(|| vec![text]);
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
    as_typed(posted, &["price"], &mut fields);
    fields
}

/// What was typed into these, where anything was.
fn as_typed(posted: &Posted, names: &[&str], fields: &mut BTreeMap<String, Vec<String>>) {
    for name in names {
        if let Some(text) = posted.typed(name) {
            fields.insert((*name).to_owned(), vec![text.to_owned()]);
        }
    }
}

/// Books a line on this phone's open receipt of its supplier, or on a new one.
async fn booked(
    state: &State,
    who: &Who,
    job: &Job,
    posted: &Posted,
    (weeks, supplier): (&[u32], Option<&str>),
    mut fields: BTreeMap<String, Vec<String>>,
) -> Result<Result<(), Vec<FieldProblem>>, HttpError> {
    let frame = Frame::of(posted, job.id, who);
    let mut entries = Vec::new();
    let slips = slips::slips(state, job, who).await?;
    let to = buy::Slip {
        supplier,
        id: posted.id("receipt_id"),
    };
    let receipt = buy::receipt_for(job, &slips, &to, weeks, &frame, &mut entries);
    fields.insert("receipt".to_owned(), vec![receipt.to_string()]);
    entries.push(frame.entry("bought.add", posted.id("entity_id"), "", fields));
    Ok(save(state, entries, who).await?.or_problems())
}
