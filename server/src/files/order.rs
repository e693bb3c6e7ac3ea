//! The papers of a yard order: CSV, text, print. They are made once, from the lines that are sent, and go out for good as
//! they were kept.

use std::collections::BTreeMap;

use actix_web::http::header;
use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{BuyList, OrderLine, as_list, order_revision};
use scantling_takeoff::record::{Entry, Job, JobFile, Kind, Record};
use scantling_web::pages::buy_list::PrintLine;
use scantling_web::pages::order::{Paper, PaperLine, paper};
use uuid::Uuid;

use super::yard_order;
use crate::error::HttpError;
use crate::pages::buy_list::{count_words, price_words, query, section_words, total_words};
use crate::pages::shell;
use crate::state::State;

/// What is kept of an order when it is sent.
pub(crate) struct Papers {
    /// As this supplier takes it.
    pub(crate) csv: String,
    /// To paste into a message.
    pub(crate) text: String,
    /// A page that needs nothing else.
    pub(crate) print: String,
}

/// Makes them. `day` is the day it is sent, as in `2026-10-14`.
///
/// # Errors
/// A CSV that can't be written, or is no text.
pub(crate) fn papers(
    job: &Job,
    order: &Record,
    lines: &[OrderLine],
    day: &str,
) -> Result<Papers, HttpError> {
    let list = as_list(job, order, lines);
    let csv = yard_order::csv_for(job, order.to("supplier"), &list)?;
    let csv = String::from_utf8(csv).map_err(|_| HttpError::Broken("the CSV is no text"))?;
    let title = format!(
        "Order to {}",
        order.to("supplier").map_or("the yard", |id| job.name(id))
    );
    let sub = format!("Revision {}, sent {day}", order_revision(order));
    let text = format!("{title}\n{sub}\n{}", yard_order::text_of(job, &list));
    let print = paper(&Paper {
        job: format!("{}, work week {}", shell::name(job), query(&list.weeks)),
        sections: sections(&list),
        total: total_words(&list),
        title,
        sub,
    });
    Ok(Papers { csv, text, print })
}

fn sections(list: &BuyList) -> Vec<(String, Vec<PaperLine>)> {
    let mut sections: Vec<(String, Vec<PaperLine>)> = Vec::new();
    for line in list.lines.iter().filter(|line| line.to_buy > 0) {
        let section = section_words(line.item.section());
        if sections.last().is_none_or(|(last, _)| last != section) {
            sections.push((section.to_owned(), Vec::new()));
        }
        if let Some((_, lines)) = sections.last_mut() {
            lines.push(PaperLine {
                line: PrintLine {
                    count: count_words(line),
                    item: line.words.clone(),
                    price: price_words(line).unwrap_or_else(|| "no price".to_owned()),
                    extension: line
                        .extension
                        .map_or_else(String::new, |extension| extension.to_string()),
                },
                number: line.item_number.clone().unwrap_or_default(),
            });
        }
    }
    sections
}

/// What a kept print page may do: nothing but be read. It may have come in with a job file.
const PAPER_POLICY: &str =
    "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'; sandbox";

/// Each paper: the field that keeps it, the end of its file's name, what it is.
const KEPT: [(&str, &str, &str); 3] = [
    ("csv", "csv", "text/csv; charset=utf-8"),
    ("text", "txt", "text/plain; charset=utf-8"),
    ("print", "html", "text/html; charset=utf-8"),
];

/// The CSV as it was sent.
pub(crate) async fn csv(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    kept(&state, path.into_inner(), "csv").await
}

/// The text as it was sent.
pub(crate) async fn text(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    kept(&state, path.into_inner(), "text").await
}

/// The print page as it was sent.
pub(crate) async fn print(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    kept(&state, path.into_inner(), "print").await
}

async fn kept(
    state: &State,
    (job, id): (Uuid, Uuid),
    name: &'static str,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(job).await?;
    let order = job
        .get(id)
        .filter(|record| record.kind == Kind::Order)
        .ok_or(HttpError::NotFound)?;
    let (field, _, content_type) = KEPT
        .into_iter()
        .find(|(field, ..)| *field == name)
        .ok_or(HttpError::NotFound)?;
    let bytes = order.text(field).ok_or(HttpError::NotFound)?;
    let mut answer = HttpResponse::Ok();
    answer
        .content_type(content_type)
        .insert_header((header::CACHE_CONTROL, "no-store"));
    match field {
        "csv" => {
            let (name, content_type) = csv_file(&job, order, bytes);
            answer.content_type(content_type).insert_header((
                header::CONTENT_DISPOSITION,
                format!("attachment; filename=\"{name}\""),
            ));
        }
        "print" => {
            answer.insert_header((header::CONTENT_SECURITY_POLICY, PAPER_POLICY));
        }
        _ => {}
    }
    Ok(answer.body(bytes.to_owned()))
}

/// The name of the CSV's file by supplier, weeks and revision, as in `ferry-road-yard-week-2-r1.csv`, and what it is: as it
/// was written then.
fn csv_file(job: &Job, order: &Record, bytes: &str) -> (String, &'static str) {
    let of = yard_order::file_words(order.to("supplier").map_or("", |id| job.name(id)));
    let weeks = query(&order.weeks()).replace(',', "-");
    let has_tabs = bytes
        .lines()
        .next()
        .is_some_and(|heads| heads.contains('\t'));
    let (end, content_type) = if has_tabs {
        ("tsv", "text/tab-separated-values; charset=utf-8")
    } else {
        ("csv", "text/csv; charset=utf-8")
    };
    let revision = order_revision(order);
    (format!("{of}-week-{weeks}-r{revision}.{end}"), content_type)
}

/// The papers of a job's sent orders, as they were sent: `orders/<order id>-r<revision>.csv`, `.txt` and `.html`. By name.
pub(crate) fn order_files(file: &JobFile) -> Vec<(String, Vec<u8>)> {
    let first = |entry: &Entry, field: &str| entry.fields.get(field)?.first().cloned();
    let revisions: BTreeMap<Uuid, String> = file
        .entries
        .iter()
        .filter(|entry| entry.kind == "order.add")
        .filter_map(|entry| Some((entry.entity_id, first(entry, "revision")?)))
        .collect();
    let mut files = BTreeMap::new();
    for entry in file
        .entries
        .iter()
        .filter(|entry| entry.kind == "order.send")
    {
        let id = entry.entity_id;
        let revision = revisions.get(&id).map_or("1", |text| text.trim());
        for (field, end, _) in KEPT {
            if let Some(text) = first(entry, field) {
                let name = format!("orders/{id}-r{revision}.{end}");
                files.entry(name).or_insert(text.into_bytes());
            }
        }
    }
    files.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_was_sent_goes_into_the_zip_as_it_was_kept_and_a_draft_does_not() {
        let entry = |kind: &str, id: u128, fields: &[(&str, &str)]| {
            let fields: BTreeMap<&str, &str> = fields.iter().copied().collect();
            let id = Uuid::from_u128(id).to_string();
            serde_json::json!({"kind": kind, "entity_id": id, "fields": fields})
        };
        let sent = [
            ("status", "sent"),
            ("csv", "section,item\r\n\"a, b\",1\r\n"),
            ("text", "Order\n\n 5 sticks \n"),
            ("print", "<!DOCTYPE html>"),
        ];
        let entries = vec![
            entry("order.add", 7, &[("revision", "2")]),
            entry("order.send", 7, &sent),
            entry("order.add", 3, &[("revision", "1")]),
        ];
        let file = serde_json::json!({
            "format": scantling_takeoff::record::job_file::FORMAT,
            "version": scantling_takeoff::record::job_file::VERSION,
            "job_id": Uuid::from_u128(1).to_string(),
            "entries": entries,
        });
        let file: JobFile = serde_json::from_value(file).unwrap();
        let stem = "orders/00000000-0000-0000-0000-000000000007-r2";
        let expected = [
            ("csv", "section,item\r\n\"a, b\",1\r\n"),
            ("html", "<!DOCTYPE html>"),
            ("txt", "Order\n\n 5 sticks \n"),
        ];
        let expected: Vec<(String, Vec<u8>)> = expected
            .iter()
            .map(|(end, bytes)| (format!("{stem}.{end}"), bytes.as_bytes().to_vec()))
            .collect();
        assert_eq!(order_files(&file), expected);
    }
}
