//! One row of the money page, told in full: the lines of receipts, the kept lists and the orders that it is made of.

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{
    Amounts, MoneyOf, SpentLine, extension, money, order_revision, order_state, ordered_on,
    planned_on, spent_on,
};
use scantling_takeoff::record::{Job, Kind, Record, Role};
use scantling_takeoff::units::Money;
use scantling_web::pages::money as view;
use scantling_web::pages::thing::Part;
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::money::{row, says_something, totals};
use super::{orders, rows, shell, week};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// What stands in an address for no week, no supplier, no change.
const NONE: &str = "none";

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    path: web::Path<(Uuid, String, String)>,
) -> Result<HttpResponse, HttpError> {
    let (job, by, of) = path.into_inner();
    let job = state.job(job).await?;
    let of = read(&job, &by, &of).ok_or(HttpError::NotFound)?;
    let title = format!("Money, {}", lower(name(&job, of)));
    let spent = spent_on(&job, of);
    let view = view::OfView {
        up: (format!("/jobs/{}/money", job.id), "Money".to_owned()),
        about: page_of(&job, of),
        total: totals(&money(&job).of(of)),
        receipts: match of {
            MoneyOf::Supplier(_) => by_receipt(&job, &spent),
            _ => spent.iter().map(|line| line_row(&job, line)).collect(),
        },
        planned: planned(&job, of),
        ordered: ordered(&job, of),
        shell: shell::shell(&job, &title, "/money", clock::today()),
    };
    Ok(html(view::of_page(&view)))
}

/// Where a row of the money page leads.
pub(crate) fn href(job: &Job, of: MoneyOf) -> String {
    let text = |id: Option<String>| id.unwrap_or_else(|| NONE.to_owned());
    let (by, id) = match of {
        MoneyOf::Week(week) => ("week", text(week.map(|number| number.to_string()))),
        MoneyOf::Supplier(id) => ("supplier", text(id.map(|id| id.to_string()))),
        MoneyOf::Change(id) => ("change", text(id.map(|id| id.to_string()))),
    };
    format!("/jobs/{}/money/{by}/{id}", job.id)
}

/// What an address asks for; none where there is no such thing.
fn read(job: &Job, by: &str, of: &str) -> Option<MoneyOf> {
    let none = of == NONE;
    let id = |is: fn(Kind) -> bool| {
        let id = Uuid::parse_str(of).ok()?;
        job.ever(id).is_some_and(|one| is(one.kind)).then_some(id)
    };
    match by {
        "week" if none => Some(MoneyOf::Week(None)),
        "supplier" if none => Some(MoneyOf::Supplier(None)),
        "change" if none => Some(MoneyOf::Change(None)),
        "week" => of
            .parse()
            .ok()
            .filter(|number| (1..=99).contains(number))
            .map(|number| MoneyOf::Week(Some(number))),
        "supplier" => Some(MoneyOf::Supplier(Some(id(|kind| kind == Kind::Supplier)?))),
        "change" => Some(MoneyOf::Change(Some(id(Kind::is_change)?))),
        _ => None,
    }
}

/// What a row is called: `Week 2`, `North Yard`, `No change`.
pub(crate) fn name(job: &Job, of: MoneyOf) -> String {
    match of {
        MoneyOf::Week(Some(number)) => format!("Week {number}"),
        MoneyOf::Supplier(Some(id)) | MoneyOf::Change(Some(id)) => job.name(id).to_owned(),
        MoneyOf::Week(None) => "No week".to_owned(),
        MoneyOf::Supplier(None) => "No supplier".to_owned(),
        MoneyOf::Change(None) => "No change".to_owned(),
    }
}

/// Behind a comma: a week and nobody without their capital.
fn lower(name: String) -> String {
    match name.split_once(' ') {
        Some((first @ ("Week" | "No"), rest)) => format!("{} {rest}", first.to_lowercase()),
        _ => name,
    }
}

/// The page of what it is about.
fn page_of(job: &Job, of: MoneyOf) -> Option<(String, String)> {
    let record = match of {
        MoneyOf::Week(number) => number.and_then(|number| job.week(number)),
        MoneyOf::Supplier(id) | MoneyOf::Change(id) => id.and_then(|id| job.get(id)),
    }?;
    let href = format!("/jobs/{}/{}/{}", job.id, record.kind, record.id);
    Some((href, name(job, of)))
}

/// The money on the page of a supplier or a change: a row that leads to what it is made of; none where there is nothing,
/// and for whom prices are not.
pub(crate) fn on_page(job: &Job, of: MoneyOf, role: Role) -> Vec<Row> {
    if role < Role::Crew {
        return Vec::new();
    }
    let amounts = money(job).of(of);
    let one =
        says_something(&amounts).then(|| row(job, "What it is made of".to_owned(), of, &amounts));
    one.into_iter().collect()
}

/// The same as a part of a supplier's page.
pub(crate) fn parts(job: &Job, supplier: &Record, role: Role) -> Vec<Part<'static>> {
    let rows = on_page(job, MoneyOf::Supplier(Some(supplier.id)), role);
    if rows.is_empty() {
        return Vec::new();
    }
    vec![Part {
        heading: "Money".to_owned(),
        anchor: "money".to_owned(),
        rows,
        acts: std::collections::BTreeMap::new(),
        empty: String::new(),
        form: None,
        add: String::new(),
    }]
}

fn receipt_href(job: &Job, receipt: Uuid) -> String {
    format!("/jobs/{}/receipt/{receipt}#bought", job.id)
}

fn receipt_title(job: &Job, receipt: Uuid) -> String {
    job.get(receipt)
        .map_or_else(String::new, |receipt| rows::title(job, receipt))
}

/// A line of a receipt: what, on which receipt, how many, its tax; with its tax at the right.
fn line_row(job: &Job, spent: &SpentLine) -> Row {
    let line = spent.line.and_then(|id| job.get(id));
    let mut second = vec![receipt_title(job, spent.receipt)];
    if let Some(line) = line {
        let way = if line.says("way", "returned") {
            "returned"
        } else {
            "bought"
        };
        second.push(format!("{way} {}", line.text("count").unwrap_or("0")));
        let own = spent.of.bought - spent.of.returned;
        if let Some(all) = extension(line).filter(|all| *all != own) {
            second.push(format!("{own} of {all} before tax"));
        }
    }
    if spent.of.tax != Money::ZERO {
        second.push(format!("tax {}", spent.of.tax));
    }
    Row {
        href: receipt_href(job, spent.receipt),
        name: line.map_or_else(|| "Tax alone".to_owned(), |line| rows::title(job, line)),
        second: second.join(" · "),
        wrong: without_price(spent.of.unpriced),
        value: spent.of.spent().to_string(),
        ..Row::default()
    }
}

/// The same, a receipt a row.
fn by_receipt(job: &Job, spent: &[SpentLine]) -> Vec<Row> {
    spent
        .chunk_by(|a, b| a.receipt == b.receipt)
        .filter_map(|lines| {
            let receipt = lines.first()?.receipt;
            let sum =
                |of: fn(&Amounts) -> Money| lines.iter().map(|line| of(&line.of)).sum::<Money>();
            let n = lines.iter().filter(|line| line.line.is_some()).count();
            let lines_words = if n == 1 {
                "1 line".to_owned()
            } else {
                format!("{n} lines")
            };
            Some(Row {
                href: receipt_href(job, receipt),
                name: receipt_title(job, receipt),
                second: format!("{lines_words} · tax {}", sum(|of| of.tax)),
                wrong: without_price(lines.iter().map(|line| line.of.unpriced).sum()),
                value: sum(Amounts::spent).to_string(),
                ..Row::default()
            })
        })
        .collect()
}

fn without_price(lines: usize) -> String {
    match lines {
        0 => String::new(),
        1 => "1 line without a price".to_owned(),
        n => format!("{n} lines without a price"),
    }
}

fn planned(job: &Job, of: MoneyOf) -> Vec<Row> {
    let all = planned_on(job, of).into_iter();
    all.map(|(list, amounts)| Row {
        href: week::kept_link(job, &list.weeks).map_or_else(String::new, |(href, _)| href),
        name: format!("The list of week {}", super::buy_list::query(&list.weeks)),
        second: format!("As it was kept, revision {}", list.revision),
        wrong: without_price(amounts.planned_unpriced),
        value: amounts.planned.to_string(),
        ..Row::default()
    })
    .collect()
}

fn ordered(job: &Job, of: MoneyOf) -> Vec<Row> {
    let all = ordered_on(job, of).into_iter();
    all.map(|(order, amounts)| Row {
        href: format!("/jobs/{}/order/{}", job.id, order.id),
        name: orders::name(job, order),
        second: format!(
            "Revision {} · {}",
            order_revision(order),
            orders::state_words(order_state(job, order))
        ),
        wrong: without_price(amounts.ordered_unpriced),
        value: amounts.ordered.to_string(),
        ..Row::default()
    })
    .collect()
}
