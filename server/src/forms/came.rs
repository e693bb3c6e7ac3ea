//! What came with a yard order: a receipt with its lines, what is short, and the order's end, in one transaction.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{Item, OrderLine, OrderedLine, ordered_lines};
use scantling_takeoff::record::{FieldProblem, Record};
use scantling_takeoff::units::{decimal_text, parse_count};
use uuid::Uuid;

use super::compose::{Entry, Frame, Posted};
use super::save::save;
use crate::error::{HttpError, refused, see};
use crate::pages::order::{Refused, around, find, page};
use crate::state::State;

/// What tells the entry of what is short from the others of the form.
const SHORT: &str = "short";

/// A line of the form.
struct Came {
    /// Which line of the order.
    at: usize,
    line: OrderLine,
    /// How many sticks, sheets or pieces were still to come as the form was made.
    seen: i64,
    /// As typed; empty counts as none.
    typed: String,
    /// What is short goes back to the list.
    back: bool,
}

impl Came {
    /// How many came, in the unit sold; none where that can't be read.
    fn count(&self) -> i64 {
        parse_count(&self.typed).map_or(0, i64::from)
    }

    /// Whether nothing came. What can't be read is no nothing: its entry says what is wrong.
    fn is_none(&self) -> bool {
        self.typed.is_empty() || parse_count(&self.typed) == Ok(0)
    }

    /// How many pieces did not come.
    fn short(&self) -> i64 {
        let came = self.line.clone().with_count(self.count().min(100_000));
        (self.seen - came.pieces()).max(0)
    }
}

/// Books what came.
pub(crate) async fn save_came(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
    body: web::Form<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let order = find(&job, id)?;
    let posted = Posted(body.into_inner());
    let receipt = posted.id("receipt_id");
    let lines = ordered_lines(&job, order);
    let came = read(&posted, &lines);
    let mut problems = Vec::new();
    let frame = Frame::of(&posted, job.id, &who);
    // The same form pressed twice is what it was.
    let short = frame
        .entry("order.short", id, SHORT, BTreeMap::new())
        .op
        .op_id;
    let known = state
        .read(move |tx| scantling_db::stored_result(tx, short))
        .await?;
    if job.ever(receipt).is_none() && known.is_none() {
        problems.extend(came.iter().filter_map(|one| meanwhile(one, &lines)));
    }
    if came.iter().all(|one| one.is_none() && !one.back) {
        problems.push(FieldProblem::new(
            "",
            "Nothing came, and nothing goes back to the list. Write how many came of at least one line.",
        ));
    }
    if problems.is_empty() {
        let entries = entries(order, &posted, receipt, &came, &frame);
        match save(&state, entries, &who).await?.or_problems() {
            Ok(()) => return Ok(see(&format!("/jobs/{}/order/{id}", job.id))),
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

/// The lines that the form shows.
fn read(posted: &Posted, lines: &[OrderedLine]) -> Vec<Came> {
    lines
        .iter()
        .enumerate()
        .filter_map(|(at, line)| {
            let seen = posted.first(&format!("open.{at}"))?.parse::<u32>().ok()?;
            Some(Came {
                at,
                line: line.line.clone(),
                seen: i64::from(seen),
                typed: posted.typed(&format!("came.{at}")).unwrap_or("").to_owned(),
                back: posted.first(&format!("rest.{at}")) == Some("back"),
            })
        })
        .collect()
}

/// Something came or went back since the form was made.
fn meanwhile(one: &Came, lines: &[OrderedLine]) -> Option<FieldProblem> {
    let now = lines.get(one.at)?;
    (now.to_come_pieces != one.seen).then(|| {
        FieldProblem::new(
            format!("came.{}", one.at),
            format!(
                "{} still to come by now: something was booked meanwhile. Look again.",
                now.to_come
            ),
        )
    })
}

fn entries(
    order: &Record,
    posted: &Posted,
    receipt: Uuid,
    came: &[Came],
    frame: &Frame,
) -> Vec<Entry> {
    let weeks: Vec<String> = order.weeks().iter().map(u32::to_string).collect();
    let mut all = Vec::new();
    if came.iter().any(|one| !one.is_none()) {
        all.push(receipt_entry(order, posted, receipt, &weeks, frame));
    }
    for one in came.iter().filter(|one| !one.is_none()) {
        all.push(line_entry(order, posted, receipt, &weeks, one, frame));
    }
    let mut back: BTreeMap<Item, i64> = BTreeMap::new();
    for one in came.iter().filter(|one| one.back && one.short() > 0) {
        *back.entry(one.line.item.clone()).or_default() += one.short();
    }
    if !back.is_empty() {
        let fields = BTreeMap::from([
            ("item".to_owned(), back.keys().map(Item::to_key).collect()),
            (
                "back".to_owned(),
                back.values().map(i64::to_string).collect(),
            ),
        ]);
        let mut entry = frame.entry("order.short", order.id, SHORT, fields);
        // Where the form says it: at no field of its own.
        entry.names.insert("back".to_owned(), String::new());
        all.push(entry);
    }
    let is_out = matches!(order.text("status"), Some("sent" | "confirmed"));
    if is_out && came.iter().all(|one| one.back || one.short() == 0) {
        let fields = BTreeMap::from([("status".to_owned(), vec!["received".to_owned()])]);
        all.push(frame.entry("order.status", order.id, "status", fields));
    }
    all
}

fn receipt_entry(
    order: &Record,
    posted: &Posted,
    receipt: Uuid,
    weeks: &[String],
    frame: &Frame,
) -> Entry {
    let mut fields = BTreeMap::from([("order".to_owned(), vec![order.id.to_string()])]);
    let mut put = |name: &str, text: Option<String>| {
        if let Some(text) = text {
            fields.insert(name.to_owned(), vec![text]);
        }
    };
    put("supplier", order.to("supplier").map(|id| id.to_string()));
    put("week", weeks.first().cloned());
    for name in ["day", "total"] {
        put(name, posted.typed(name).map(str::to_owned));
    }
    frame.entry("receipt.add", receipt, "receipt", fields)
}

fn line_entry(
    order: &Record,
    posted: &Posted,
    receipt: Uuid,
    weeks: &[String],
    one: &Came,
    frame: &Frame,
) -> Entry {
    let part = format!("line.{}", one.at);
    let mut fields = BTreeMap::from([
        ("receipt".to_owned(), vec![receipt.to_string()]),
        ("order".to_owned(), vec![order.id.to_string()]),
        ("item".to_owned(), vec![one.line.item.to_key()]),
        ("weeks".to_owned(), weeks.to_vec()),
        ("count".to_owned(), vec![one.typed.clone()]),
    ]);
    if !one.line.item.has_rows() {
        let per = decimal_text(one.line.per_tenths, 1);
        fields.insert("per".to_owned(), vec![per]);
    }
    if let Some(price) = posted.typed(&format!("price.{}", one.at)) {
        fields.insert("price".to_owned(), vec![price.to_owned()]);
        if one.line.length_sold().is_some() {
            fields.insert("price_by".to_owned(), vec!["foot".to_owned()]);
        }
    }
    let mut entry = frame.entry(
        "bought.add",
        Uuid::new_v5(&receipt, part.as_bytes()),
        &part,
        fields,
    );
    for (name, form) in [("count", "came"), ("price", "price"), ("item", "came")] {
        entry
            .names
            .insert(name.to_owned(), format!("{form}.{}", one.at));
    }
    entry
}
