//! Drafts of yard orders: made, sent with the counts as the person leaves them, and made anew as the next revision.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{
    OrderLine, OrderState, order_lines, order_revision, order_state, taken_over_by,
};
use scantling_takeoff::record::{FieldProblem, Job, Kind, Record};
use scantling_takeoff::units::parse_count;
use scantling_web::layout::Main;
use uuid::Uuid;

use super::compose::{self, Entry, Frame, Posted};
use super::save::{Saved, save};
use super::view::Draft;
use crate::clock;
use crate::error::{HttpError, html, refused, see};
use crate::files::order::papers;
use crate::pages::order::{Refused, around, find, page};
use crate::pages::{orders, shell};
use crate::state::State;

type Body = web::Form<Vec<(String, String)>>;

/// The most lines of an order, and the most of one line.
const MOST_LINES: usize = 500;
const MOST: u32 = 100_000;

/// A draft.
pub(crate) async fn add(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let adds = compose::add_kind(Kind::Order)
        .ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    let mut posted = Posted(body.into_inner());
    let frame = Frame::of(&posted, job.id, &who);
    let entries = compose::adding(adds, &posted, &frame, Some(&job));
    let id = entries
        .first()
        .map_or(frame.op_id, |entry| entry.op.entity_id);
    let problems = match save(&state, entries, &who).await? {
        Saved::Done => return Ok(see(&format!("/jobs/{}/order/{id}", job.id))),
        Saved::Conflict(problems) | Saved::Refused(problems) => problems,
        Saved::Before(problems) => {
            posted = posted.into_another();
            problems
        }
    };
    let draft = Draft {
        job: Some(&job),
        problems,
        id: "add".to_owned(),
        next: String::new(),
        save: "Draft the order".to_owned(),
        main: Main::Yes,
        filled: posted,
    };
    Ok(refused(shell::form_page(
        &job,
        "Draft an order",
        "",
        orders::form(&job, draft)?,
        Some(shell::refused_note()),
        clock::today(),
    )))
}

/// The lines of a form that sends a draft, as it was sent: with their counts where these can be read.
pub(crate) fn lines_sent(posted: &Posted) -> Vec<OrderLine> {
    (0..MOST_LINES)
        .map_while(|at| posted.first(&format!("line.{at}")).map(|text| (at, text)))
        .filter_map(|(at, text)| {
            let line = OrderLine::from_text(text).ok()?;
            let count = count(posted, at).map_or(line.count, i64::from);
            Some(line.with_count(count))
        })
        .collect()
}

fn count(posted: &Posted, at: usize) -> Option<u32> {
    let text = posted.typed(&format!("count.{at}")).unwrap_or("0");
    parse_count(text).ok().filter(|n| *n <= MOST)
}

/// What is wrong with the lines: a line that can't be read, a count that is none.
fn problems_of(posted: &Posted) -> Vec<FieldProblem> {
    let mut problems = Vec::new();
    for at in 0..MOST_LINES {
        let Some(text) = posted.first(&format!("line.{at}")) else {
            break;
        };
        if OrderLine::from_text(text).is_err() {
            problems.push(FieldProblem::new(
                "",
                format!(
                    "Line {} can’t be read. Open the draft again and send it from there.",
                    at + 1
                ),
            ));
        }
        let typed = posted.typed(&format!("count.{at}")).unwrap_or("0");
        let message = match parse_count(typed) {
            Err(error) => error.to_string(),
            Ok(n) if n > MOST => {
                format!("How many is {n}: it goes from 0 to {MOST}, as in 9")
            }
            Ok(_) => continue,
        };
        problems.push(FieldProblem {
            field: format!("count.{at}"),
            message,
        });
    }
    problems
}

/// Sends a draft: its lines, with the papers made of them.
pub(crate) async fn send(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let order = find(&job, id)?;
    let posted = Posted(body.into_inner());
    let mut problems = problems_of(&posted);
    let lines: Vec<OrderLine> = lines_sent(&posted)
        .into_iter()
        .filter(|line| line.count > 0)
        .collect();
    let adds_up = posted.first("add_up").is_some();
    if !adds_up {
        // The same form pressed twice.
        if order_state(&job, order) != OrderState::Draft && lines == order_lines(order) {
            return Ok(see(&format!("/jobs/{}/order/{id}", job.id)));
        }
        problems.extend(taken_over(&job, order));
        if lines.is_empty() && problems.is_empty() {
            problems.push(FieldProblem::new(
                "",
                "Nothing is on the order. Write how many of at least one line.",
            ));
        }
        if problems.is_empty() {
            let entry = sending(&job, order, &lines, &Frame::of(&posted, job.id, &who))?;
            match save(&state, vec![entry], &who).await?.or_problems() {
                Ok(()) => return Ok(see(&format!("/jobs/{}/order/{id}", job.id))),
                Err(found) => problems = found,
            }
        }
    }
    // What stands may have been sent meanwhile by another.
    let job = state.job(job.id).await?;
    let order = find(&job, id)?;
    let around = around(&state, &who, id).await?;
    let is_well = problems.is_empty();
    let back = Refused {
        posted: &posted,
        problems,
    };
    let drawn = page(&job, order, &around, Some(&back));
    Ok(if is_well { html(drawn) } else { refused(drawn) })
}

/// Another revision took over what this one was to take over.
fn taken_over(job: &Job, order: &Record) -> Option<FieldProblem> {
    let by = taken_over_by(job, order.to("revises")?)?;
    (by.id != order.id).then(|| {
        FieldProblem::new(
            "",
            format!(
                "Revision {} was sent in its place meanwhile. Revise that one.",
                order_revision(by)
            ),
        )
    })
}

/// The entry that sends an order.
fn sending(
    job: &Job,
    order: &Record,
    lines: &[OrderLine],
    frame: &Frame,
) -> Result<Entry, HttpError> {
    let day = frame.now.get(..10).unwrap_or("").to_owned();
    let papers = papers(job, order, lines, &day)?;
    let mut fields = BTreeMap::from([
        (
            "weeks".to_owned(),
            order.weeks().iter().map(u32::to_string).collect(),
        ),
        ("status".to_owned(), vec!["sent".to_owned()]),
        ("sent".to_owned(), vec![day]),
        (
            "line".to_owned(),
            lines.iter().map(OrderLine::to_text).collect(),
        ),
        ("csv".to_owned(), vec![papers.csv]),
        ("text".to_owned(), vec![papers.text]),
        ("print".to_owned(), vec![papers.print]),
    ]);
    if let Some(old) = order.to("revises") {
        fields.insert("revises".to_owned(), vec![old.to_string()]);
    }
    Ok(frame.entry("order.send", order.id, "", fields))
}

/// A draft of the next revision.
pub(crate) async fn revise(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: Body,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let order = find(&job, id)?;
    let posted = Posted(body.into_inner());
    let draft = posted.id("entity_id");
    let mut problems = Vec::new();
    if !order_state(&job, order).is_open() && job.get(draft).is_none() {
        problems.push(FieldProblem::new(
            "",
            "Nothing is still to come with it. Draft a new order.",
        ));
    }
    if problems.is_empty() {
        let mut fields = BTreeMap::from([
            (
                "weeks".to_owned(),
                order.weeks().iter().map(u32::to_string).collect(),
            ),
            ("revises".to_owned(), vec![order.id.to_string()]),
            (
                "revision".to_owned(),
                vec![(order_revision(order) + 1).to_string()],
            ),
        ]);
        if let Some(supplier) = order.to("supplier") {
            fields.insert("supplier".to_owned(), vec![supplier.to_string()]);
        }
        let entry = Frame::of(&posted, job.id, &who).entry("order.add", draft, "", fields);
        match save(&state, vec![entry], &who).await?.or_problems() {
            Ok(()) => return Ok(see(&format!("/jobs/{}/order/{draft}", job.id))),
            Err(found) => problems = found,
        }
    }
    let around = around(&state, &who, id).await?;
    let back = Refused {
        posted: &posted,
        problems,
    };
    Ok(refused(page(&job, order, &around, Some(&back))))
}
