//! The yard orders of a job, and the form that drafts one.

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{
    OrderLine, OrderState, buy_list, draft_lines, order_lines, order_revision, order_state,
    ordered_lines,
};
use scantling_takeoff::record::{Job, Kind, Record, registry};
use scantling_takeoff::units::Money;
use scantling_web::layout::Main;
use scantling_web::pages::list;
use scantling_web::parts::form::{Form, Input};
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::buy_list::query;
use super::{materials, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let draft = Draft {
        job: Some(&job),
        filled: filled(&job, &weeks),
        problems: Vec::new(),
        id: "f".to_owned(),
        next: String::new(),
        save: "Draft the order".to_owned(),
        main: Main::Yes,
    };
    let mut orders: Vec<&Record> = job.all(Kind::Order).collect();
    orders.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    let page = list::View {
        shell: shell::shell(&job, Kind::Order.plural(), "/order", clock::today()),
        up: (
            format!("/jobs/{}/buy-list?week={}", job.id, query(&weeks)),
            "Buy list".to_owned(),
        ),
        sub: "A list as it was sent to a yard, and what came of it.".to_owned(),
        rows: orders.into_iter().map(|order| row(&job, order)).collect(),
        empty: "No order yet.".to_owned(),
        add: "Draft an order".to_owned(),
        form: form(&job, draft)?,
        first: list::First::Things,
        caution: None,
    };
    Ok(html(list::page(&page)))
}

/// The weeks that are asked for, and the supplier of most of their lines.
fn filled(job: &Job, weeks: &[u32]) -> Posted {
    let mut filled: Vec<(String, String)> = weeks
        .iter()
        .map(|week| ("weeks".to_owned(), week.to_string()))
        .collect();
    let list = buy_list(job, weeks);
    let lines_of = |supplier: &Record| {
        let sells = |name: &Option<String>| name.as_deref() == Some(supplier.name());
        list.lines
            .iter()
            .filter(|line| line.to_buy > 0 && sells(&line.supplier))
            .count()
    };
    let most = job
        .all(Kind::Supplier)
        .map(|supplier| (lines_of(supplier), supplier))
        .filter(|(lines, _)| *lines > 0)
        .min_by_key(|(lines, _)| std::cmp::Reverse(*lines));
    if let Some((_, supplier)) = most {
        filled.push(("supplier".to_owned(), supplier.id.to_string()));
    }
    Posted(filled)
}

/// The form that drafts an order: supplier, weeks, note. What it revises is not asked for here.
pub(crate) fn form(job: &Job, draft: Draft<'_>) -> Result<Form<'static>, HttpError> {
    let adds = registry::adds(Kind::Order)
        .ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    let mut form = view::adding(adds, Some(job.id), draft);
    let weeks = shell::week_numbers(job);
    for field in &mut form.fields {
        if field.name == "weeks" {
            let mut offered = weeks.clone();
            offered.extend(
                field
                    .values
                    .iter()
                    .filter_map(|text| text.parse::<u32>().ok()),
            );
            offered.sort_unstable();
            offered.dedup();
            offered.retain(|week| (1..=99).contains(week));
            field.input = Input::Any(
                offered
                    .into_iter()
                    .map(|week| (week.to_string(), format!("Week {week}")))
                    .collect(),
            );
        }
        if matches!(field.name.as_str(), "revises" | "revision")
            && let Some(problem) = &field.problem
        {
            form.problems.push(problem.clone());
        }
    }
    form.fields
        .retain(|field| !matches!(field.name.as_str(), "revises" | "revision"));
    Ok(form)
}

/// `North Yard, week 1`.
pub(crate) fn name(job: &Job, order: &Record) -> String {
    let supplier = order
        .to("supplier")
        .map_or("No supplier", |id| job.name(id));
    format!("{supplier}, week {}", query(&order.weeks()))
}

/// How an order stands, in words.
pub(crate) fn state_words(state: OrderState) -> &'static str {
    match state {
        OrderState::Draft => "Draft",
        OrderState::Sent => "Sent",
        OrderState::Confirmed => "Confirmed",
        OrderState::PartReceived => "Part received",
        OrderState::Received => "Received",
        OrderState::NothingCame => "Nothing came",
        OrderState::CalledOff => "Called off",
        OrderState::TakenOver => "Taken over by a later revision",
    }
}

fn row(job: &Job, order: &Record) -> Row {
    let state = order_state(job, order);
    let mut second = vec![
        format!("Revision {}", order_revision(order)),
        state_words(state).to_owned(),
    ];
    if state.is_open() {
        let open = ordered_lines(job, order)
            .iter()
            .filter(|line| line.to_come_pieces > 0)
            .count();
        second.push(match open {
            1 => "1 line still to come".to_owned(),
            n => format!("{n} lines still to come"),
        });
    }
    let lines: Vec<OrderLine> = if state == OrderState::Draft {
        draft_lines(job, order).iter().map(OrderLine::of).collect()
    } else {
        order_lines(order)
    };
    Row {
        href: format!("/jobs/{}/order/{}", job.id, order.id),
        name: name(job, order),
        second: second.join(" · "),
        wrong: String::new(),
        value: with_tax(job, &lines),
        id: order.id.to_string(),
        struck: false,
    }
}

/// What lines come to, with tax where the job has a rate; nothing where no line has a price.
fn with_tax(job: &Job, lines: &[OrderLine]) -> String {
    if lines.iter().all(|line| line.extension.is_none()) {
        return String::new();
    }
    let sum: Money = lines.iter().filter_map(|line| line.extension).sum();
    let tax = job.settings.tax.map_or(Money::ZERO, |rate| rate.on(sum));
    (sum + tax).to_string()
}
