//! The price book.

use actix_web::{HttpResponse, web};
use scantling_takeoff::record::{Job, Kind, Record, registry};
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::prices as view;
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::price_import::pick_supplier;
use super::{rows, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::view::{self as forms, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let supplier = asked
        .iter()
        .find(|(name, _)| name == "supplier")
        .and_then(|(_, id)| Uuid::parse_str(id).ok());
    Ok(html(page(&job, Vec::new(), (supplier, String::new()))))
}

/// It, with what was wrong with a CSV, whose it is said to be, and its rows to be put right.
pub(crate) fn page(
    job: &Job,
    problems: Vec<String>,
    (supplier, pasted): (Option<Uuid>, String),
) -> Page {
    let mut sections: Vec<(String, Vec<Row>)> = Vec::new();
    for (section, shown) in scantling_takeoff::record::choices::SECTION {
        let mut all: Vec<&Record> = job
            .all(Kind::Price)
            .filter(|row| row.says("section", section))
            .collect();
        all.sort_by_key(|record| (forms::label(record), record.length("length"), record.id));
        if !all.is_empty() {
            sections.push((
                (*shown).to_owned(),
                all.into_iter().map(|record| row(job, record)).collect(),
            ));
        }
    }
    let filled = forms::prefilled(Kind::Price, job, 1, &[]);
    let draft = Draft {
        job: Some(job),
        filled,
        problems: Vec::new(),
        id: "price".to_owned(),
        next: format!("/jobs/{}/prices", job.id),
        save: "Save price".to_owned(),
        main: Main::Yes,
    };
    let mut shell = shell::shell(job, "Price book", "/prices", clock::today());
    if !problems.is_empty() {
        shell.note = Some(shell::refused_note());
    }
    let only = match job.all(Kind::Supplier).collect::<Vec<_>>().as_slice() {
        [one] => Some(one.id),
        _ => None,
    };
    let form = registry::adds(Kind::Price).map(|adds| forms::adding(adds, Some(job.id), draft));
    let view = view::View {
        sections,
        form,
        upload: format!("/jobs/{}/prices", job.id),
        supplier: (job.count(Kind::Supplier) > 0).then(|| pick_supplier(job, supplier.or(only))),
        pasted,
        problems,
        hidden: vec![("op_id".to_owned(), clock::new_id().to_string())],
        shell,
    };
    view::page(&view)
}

/// A row of it: what is sold, whose, by what unit, and of when and where from its price is.
pub(crate) fn row(job: &Job, record: &Record) -> Row {
    let words = |name: &str| record.text(name).unwrap_or("").to_owned();
    let hardware = record
        .to("hardware")
        .map_or_else(String::new, |id| job.name(id).to_owned());
    let length = record.length("length").map_or_else(String::new, |length| {
        let feet = length.as_64ths().rem_euclid(768) == 0;
        if feet {
            format!("{} ft", length.as_64ths().div_euclid(768))
        } else {
            length.feet_inches()
        }
    });
    let nominal = record
        .text("nominal")
        .map_or_else(String::new, |text| text.replace('x', "×"));
    let thickness = record
        .length("thickness")
        .map_or_else(String::new, |t| format!("{t} in"));
    let treated = if record.says("treatment", "treated") {
        "treated".to_owned()
    } else {
        String::new()
    };
    let name = [
        words("name"),
        nominal,
        words("species"),
        words("grade"),
        treated,
        words("panel"),
        thickness,
        words("fastener"),
        hardware,
        length,
    ]
    .into_iter()
    .filter(|word| !word.is_empty())
    .collect::<Vec<_>>()
    .join(" ");
    let supplier = record.to("supplier").map_or("", |id| job.name(id));
    let sold = rows::choice(record, "sold_by");
    let is_whole = record.says("section", "stick") || record.says("section", "panel");
    let of = match record.text("pack_of") {
        Some("foot") => " ft",
        Some("lb") => " lb",
        _ => "",
    };
    let pack = record
        .number("per_pack")
        .map_or_else(String::new, |n| format!(" of {n}{of}"));
    Row {
        href: format!("/jobs/{}/price/{}", job.id, record.id),
        name: if name.is_empty() {
            "Price".to_owned()
        } else {
            name
        },
        second: [
            supplier.to_owned(),
            format!("{sold}{pack}"),
            words("item_number"),
            match record.number("at_yard").filter(|_| is_whole) {
                None => String::new(),
                Some(0) => "none at the yard".to_owned(),
                Some(n) => format!("{n} at the yard"),
            },
            of_when(record),
        ]
        .into_iter()
        .filter(|w| !w.is_empty())
        .collect::<Vec<_>>()
        .join(" · "),
        value: record
            .money("price")
            .map_or_else(|| "no price".to_owned(), |price| price.to_string()),
        id: record.id.to_string(),
        ..Row::default()
    }
}

/// `Oct 14, by hand`: the date of a price and where it is from.
fn of_when(record: &Record) -> String {
    let day = record
        .text("price_day")
        .map_or_else(String::new, clock::stamp_day);
    [day.as_str(), record.text("source").unwrap_or("")]
        .into_iter()
        .filter(|word| !word.is_empty())
        .collect::<Vec<_>>()
        .join(", ")
}
