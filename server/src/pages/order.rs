//! One yard order: a draft with its lines, or what was sent and what came of it.

use std::collections::BTreeSet;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{
    BuyLine, BuyList, Difference, OrderDifference, OrderLine, OrderState, OrderedLine, as_list,
    buy_list, draft_lines, order_differences, order_lines, order_revision, order_state,
    ordered_lines, receipt_sums, taken_over_by,
};
use scantling_takeoff::record::{FieldProblem, Job, Kind, Record, Role};
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::order as view;
use scantling_web::parts::form::{FieldView, Form, Input};
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::buy_list::{count_words, order_by, plain_money, price_words, total_words};
use super::things::{People, person};
use super::{orders, rows, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::files::takeoff_text::class_words;
use crate::forms::compose::Posted;
use crate::state::State;

/// A form of the page as it was sent, with what is wrong.
pub(crate) struct Refused<'a> {
    /// As it was sent.
    pub(crate) posted: &'a Posted,
    /// What is wrong; nothing where it only comes back with its sums.
    pub(crate) problems: Vec<FieldProblem>,
}

/// What the page shows beside the job.
pub(crate) struct Around {
    /// The role of who looks.
    role: Role,
    people: People,
    /// Who sent it, and when that arrived.
    sent: Option<(Uuid, String)>,
}

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let order = find(&job, id)?;
    let around = around(&state, &who, id).await?;
    Ok(html(page(&job, order, &around, None)))
}

/// The order of an address.
pub(crate) fn find(job: &Job, id: Uuid) -> Result<&Record, HttpError> {
    job.get(id)
        .filter(|record| record.kind == Kind::Order)
        .ok_or(HttpError::NotFound)
}

/// What the page needs beside the job.
pub(crate) async fn around(state: &State, who: &Who, id: Uuid) -> Result<Around, HttpError> {
    let (people, sent) = state
        .read(move |tx| {
            let sent = scantling_db::who_wrote(tx, id, "sent")?;
            Ok((scantling_db::people(tx)?, sent))
        })
        .await?;
    Ok(Around {
        role: who.role,
        people,
        sent,
    })
}

/// It, as it was sent where a form of it comes back.
pub(crate) fn page(
    job: &Job,
    order: &Record,
    around: &Around,
    refused: Option<&Refused<'_>>,
) -> Page {
    let state = order_state(job, order);
    let title = orders::name(job, order);
    let mut shell = shell::shell(job, &title, "/order", clock::today());
    if refused.is_some_and(|refused| !refused.problems.is_empty()) {
        shell.note = Some(shell::refused_note());
    }
    let body = if state == OrderState::Draft {
        view::Body::Draft(draft(job, order, refused))
    } else {
        view::Body::Sent(Box::new(sent(job, order, state, refused)))
    };
    let view = view::View {
        problems: of_the_whole(refused, &body),
        up: (format!("/jobs/{}/order", job.id), "Yard orders".to_owned()),
        sub: sub(order, state, around),
        kin: kin(job, order),
        body,
        folds: folds(job, order, state, around.role),
        shell,
    };
    view::page(&view)
}

fn here(job: &Job, order: &Record) -> String {
    format!("/jobs/{}/order/{}", job.id, order.id)
}

fn sub(order: &Record, state: OrderState, around: &Around) -> String {
    let mut parts = vec![
        format!("Revision {}", order_revision(order)),
        orders::state_words(state).to_owned(),
    ];
    if let (Some(day), Some((by, _))) = (order.text("sent"), &around.sent) {
        parts.push(format!("sent {day} by {}", person(&around.people, *by)));
    }
    if let Some(note) = order.text("note") {
        parts.push(note.to_owned());
    }
    parts.join(" · ")
}

/// The order that it revises, and the one that took it over.
fn kin(job: &Job, order: &Record) -> Vec<(String, String)> {
    let mut all = Vec::new();
    if let Some(old) = order.to("revises").and_then(|id| job.get(id)) {
        let words = format!("Takes the place of revision {}", order_revision(old));
        all.push((here(job, old), words));
    }
    if let Some(next) = drafted(job, order) {
        let words = format!("Revision {} is drafted", order_revision(next));
        all.push((here(job, next), words));
    }
    if let Some(later) = taken_over_by(job, order.id) {
        let words = format!("Taken over by revision {}", order_revision(later));
        all.push((here(job, later), words));
    }
    all
}

/// A draft of its next revision.
fn drafted<'a>(job: &'a Job, order: &Record) -> Option<&'a Record> {
    job.all(Kind::Order)
        .filter(|next| next.to("revises") == Some(order.id))
        .find(|next| order_state(job, next) == OrderState::Draft)
}

/// Confirmed, called off, dropped.
fn folds(job: &Job, order: &Record, state: OrderState, role: Role) -> Vec<(String, Form<'static>)> {
    let act = |act: &str, kind: &'static str, status: &str, save: &str| Form {
        action: format!("{}/act/{act}", here(job, order)),
        kind,
        id: act.to_owned(),
        hidden: vec![
            ("op_id".to_owned(), clock::new_id().to_string()),
            ("status".to_owned(), status.to_owned()),
            ("next".to_owned(), here(job, order)),
        ],
        fields: Vec::new(),
        problems: Vec::new(),
        save: save.to_owned(),
        main: Main::No,
    };
    let mut all = Vec::new();
    if state == OrderState::Sent {
        let form = act("status", "order.status", "confirmed", "Save: confirmed");
        all.push(("The yard confirmed it".to_owned(), form));
    }
    let (words, save) = match state {
        OrderState::Draft => ("Drop this draft", "Save: dropped"),
        state if state.is_open() => ("Call it off", "Save: called off"),
        _ => return all,
    };
    if role >= Role::Lead {
        let mut form = act("cancel", "order.cancel", "cancelled", save);
        form.fields.push(FieldView {
            required: true,
            ..FieldView::by_hand("reason", "Reason", Input::Line, String::new())
        });
        all.push((words.to_owned(), form));
    }
    all
}

/// A field as it was sent where the form comes back, with what is wrong with it.
fn as_sent(field: FieldView, refused: Option<&Refused<'_>>) -> FieldView {
    let Some(refused) = refused else { return field };
    let problem = refused
        .problems
        .iter()
        .find(|problem| problem.field == field.name)
        .map(|problem| problem.message.clone());
    let sent = refused.posted.first(&field.name).map(str::to_owned);
    FieldView {
        values: sent.map_or(field.values, |sent| vec![sent]),
        problem,
        ..field
    }
}

/// Problems of no field that the page shows.
fn of_the_whole(refused: Option<&Refused<'_>>, body: &view::Body<'_>) -> Vec<String> {
    let shown: BTreeSet<&str> = match body {
        view::Body::Draft(draft) => draft.lines.iter().map(|l| l.count.name.as_str()).collect(),
        view::Body::Sent(sent) => sent.came.iter().flat_map(fields_of).collect(),
    };
    refused.map_or_else(Vec::new, |refused| {
        refused
            .problems
            .iter()
            .filter(|problem| !shown.contains(problem.field.as_str()))
            .map(|problem| problem.message.clone())
            .collect()
    })
}

fn fields_of(came: &view::Came) -> impl Iterator<Item = &str> {
    let of_lines = came.lines.iter().flat_map(|(_, fields, _)| fields);
    of_lines
        .chain(&came.receipt)
        .map(|field| field.name.as_str())
}

fn draft(job: &Job, order: &Record, refused: Option<&Refused<'_>>) -> view::Draft {
    let lines: Vec<OrderLine> = match refused {
        Some(refused) => crate::forms::order::lines_sent(refused.posted),
        None => draft_lines(job, order).iter().map(OrderLine::of).collect(),
    };
    let list = as_list(job, order, &lines);
    let drawn: Vec<view::DraftLine> = list
        .lines
        .iter()
        .zip(&lines)
        .enumerate()
        .map(|(at, (listed, line))| draft_line(job, at, listed, line, refused))
        .collect();
    let supplier = order.to("supplier").map_or("the yard", |id| job.name(id));
    let left = left(job, order, &lines);
    view::Draft {
        left,
        action: format!("{}/send", here(job, order)),
        hidden: vec![("op_id".to_owned(), clock::new_id().to_string())],
        lines: drawn,
        total: total_words(&list),
        empty: format!(
            "Nothing that is still to buy for it has its price from {supplier}. Look at the price book, or drop the draft."
        ),
    }
}

/// Lines of its weeks' list that ask for more and are not on it: its supplier's, and those that nobody sells.
fn left(job: &Job, order: &Record, lines: &[OrderLine]) -> Vec<Row> {
    let weeks = order.weeks();
    let supplier = order.to("supplier").map_or("", |id| job.name(id));
    let is_on = |line: &BuyLine| {
        lines.iter().any(|one| {
            one.count > 0 && (&one.item, one.per_tenths) == (&line.item, line.per_tenths)
        })
    };
    buy_list(job, &weeks)
        .lines
        .into_iter()
        .filter(|line| line.to_buy > 0 && !is_on(line))
        .filter_map(|line| {
            let why = match line.supplier.as_deref() {
                None | Some("") => "Nobody in the price book sells it",
                Some(name) if name == supplier => "Left off, or new since",
                Some(_) => return None,
            };
            Some(Row {
                href: super::line::href(job, &weeks, &line.item),
                name: line.words.clone(),
                second: why.to_owned(),
                value: count_words(&line),
                ..Row::default()
            })
        })
        .collect()
}

fn draft_line(
    job: &Job,
    at: usize,
    listed: &BuyLine,
    line: &OrderLine,
    refused: Option<&Refused<'_>>,
) -> view::DraftLine {
    let price = price_words(listed).map_or_else(
        || "no price".to_owned(),
        |price| format!("{} at {price}", line.unit),
    );
    let mut hint = vec![price];
    if !line.number.is_empty() {
        hint.push(line.number.clone());
    }
    let count = FieldView {
        hint: hint.join(" · "),
        ..FieldView::by_hand(
            &format!("count.{at}"),
            &line.words,
            Input::Count,
            line.count.to_string(),
        )
    };
    let names: Vec<&str> = listed.changes.iter().map(|id| job.name(*id)).collect();
    let mut said = order_by(listed).into_iter().collect::<Vec<_>>();
    if !names.is_empty() {
        said.push(format!("For {}.", names.join(", ")));
    }
    view::DraftLine {
        hidden: (format!("line.{at}"), line.to_text()),
        count: as_sent(count, refused),
        extension: line
            .extension
            .map_or_else(|| "no price".to_owned(), |extension| extension.to_string()),
        said: said.join(" "),
    }
}

fn sent<'a>(
    job: &'a Job,
    order: &Record,
    state: OrderState,
    refused: Option<&Refused<'_>>,
) -> view::Sent<'a> {
    let lines = ordered_lines(job, order);
    let list = as_list(job, order, &order_lines(order));
    let base = here(job, order);
    let differences = if state.is_open() {
        order_differences(job, order)
    } else {
        Vec::new()
    };
    view::Sent {
        lines: lines
            .iter()
            .zip(&list.lines)
            .map(|(line, listed)| sent_row(line, listed))
            .collect(),
        total: sent_total(&list),
        papers: order
            .text("csv")
            .map(|_| ["csv", "text", "print"].map(|paper| format!("{base}/{paper}"))),
        came: lines
            .iter()
            .any(|line| line.to_come_pieces > 0)
            .then(|| came(job, order, (&lines, &list), refused)),
        revise: (!differences.is_empty() && drafted(job, order).is_none())
            .then(|| revise(job, order)),
        differences: differences
            .iter()
            .map(|difference| difference_row(job, difference))
            .collect(),
        receipts: receipts(job, order),
    }
}

fn sent_total(list: &BuyList) -> String {
    if list.lines.is_empty() {
        String::new()
    } else {
        total_words(list)
    }
}

fn sent_row(line: &OrderedLine, listed: &BuyLine) -> Row {
    let mut said = vec![format!("ordered {}", count_words(listed))];
    if let Some(price) = price_words(listed) {
        said.push(format!("at {price}"));
    }
    if !line.line.number.is_empty() {
        said.push(format!("({})", line.line.number));
    }
    let mut parts = vec![said.join(" ")];
    for (word, n) in [
        ("came", line.came),
        ("to come", line.to_come),
        ("not coming", line.back),
    ] {
        if n > 0 {
            parts.push(format!("{word} {n}"));
        }
    }
    Row {
        name: line.line.words.clone(),
        second: parts.join(" · "),
        value: line
            .line
            .extension
            .map_or_else(|| "no price".to_owned(), |extension| extension.to_string()),
        ..Row::default()
    }
}

/// The form that books what came: how many, at what price, what becomes of the rest, and the receipt.
fn came(
    job: &Job,
    order: &Record,
    (lines, list): (&[OrderedLine], &BuyList),
    refused: Option<&Refused<'_>>,
) -> view::Came {
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        (
            "receipt_id".to_owned(),
            refused
                .map_or_else(clock::new_id, |refused| refused.posted.id("receipt_id"))
                .to_string(),
        ),
    ];
    let mut drawn = Vec::new();
    for (at, (line, listed)) in lines.iter().zip(&list.lines).enumerate() {
        if line.to_come_pieces == 0 {
            continue;
        }
        hidden.push((format!("open.{at}"), line.to_come_pieces.to_string()));
        let price = line
            .line
            .price
            .map_or_else(String::new, |price| plain_money(price.as_cents()));
        let each = if line.line.length_sold().is_some() {
            "Price of a foot"
        } else {
            "Price of one"
        };
        let rest = [("stays", "Stays ordered"), ("back", "Back to the list")];
        let rest = rest.map(|(stored, said)| (stored.to_owned(), said.to_owned()));
        let fields = vec![
            FieldView {
                hint: format!(
                    "{} still to come",
                    count_words(&still_to_come(listed, line))
                ),
                ..FieldView::by_hand(
                    &format!("came.{at}"),
                    "How many came",
                    Input::Count,
                    line.to_come.to_string(),
                )
            },
            FieldView::by_hand(&format!("price.{at}"), each, Input::Decimal, price),
            FieldView {
                required: true,
                ..FieldView::by_hand(
                    &format!("rest.{at}"),
                    "What did not come",
                    Input::One(rest.to_vec()),
                    "stays".to_owned(),
                )
            },
        ];
        let fields: Vec<FieldView> = fields
            .into_iter()
            .map(|field| as_sent(field, refused))
            .collect();
        let swap = super::line::swap_href(job, order, &line.line.item);
        drawn.push((line.line.words.clone(), fields, swap));
    }
    let today = clock::now().get(..10).unwrap_or("").to_owned();
    let receipt: Vec<FieldView> = [
        FieldView::by_hand("day", "Date", Input::Day, today),
        FieldView {
            hint: "Left empty: the receipt stays open.".to_owned(),
            ..FieldView::by_hand("total", "Total as printed", Input::Decimal, String::new())
        },
    ]
    .into_iter()
    .map(|field| as_sent(field, refused))
    .collect();
    view::Came {
        action: format!("{}/came", here(job, order)),
        hidden,
        lines: drawn,
        receipt,
    }
}

/// A line of an order with as many as it still brings.
pub(crate) fn still_to_come(listed: &BuyLine, line: &OrderedLine) -> BuyLine {
    BuyLine {
        to_buy: line.to_come,
        ..listed.clone()
    }
}

fn difference_row(job: &Job, difference: &OrderDifference) -> Row {
    let unit = &difference.unit;
    let what = match (difference.was, difference.now) {
        (0, now) => format!("New: {now} {unit}"),
        (was, 0) => format!("Gone: {was} {unit} still to come, none wanted"),
        (was, now) if now > was => format!("More: {was} still to come, {now} wanted"),
        (was, now) => format!("Fewer: {was} still to come, {now} wanted"),
    };
    let because: Vec<String> = difference
        .because
        .iter()
        .map(|because| because_words(job, because))
        .collect();
    Row {
        name: difference.words.clone(),
        second: if because.is_empty() {
            format!("{what}. The plan is as it was: look at what was ordered, counted and priced.")
        } else {
            format!("{what}. {}", because.join(" "))
        },
        value: format!("{} → {}", difference.was, difference.now),
        ..Row::default()
    }
}

/// `Shore wall A: Shoring stud, 18 were listed, 20 now.`
fn because_words(job: &Job, because: &Difference) -> String {
    let name = job.name(because.change);
    let what = match (because.was, because.now) {
        (0, now) => format!("{now}, new"),
        (was, 0) => format!("{was}, gone"),
        (was, now) if was != now => format!("{was} were listed, {now} now"),
        _ if because.of.is_some() => String::new(),
        _ => match (because.was_size, because.size) {
            (Some(was), Some(now)) => {
                format!(
                    "{} was listed, {} now",
                    was.feet_inches(),
                    now.feet_inches()
                )
            }
            _ => "another size".to_owned(),
        },
    };
    let of = because.of.as_ref().map_or_else(String::new, |(was, now)| {
        let words = |class| class_words(job, class);
        format!(", {} was listed, {} now", words(was), words(now))
    });
    let what = if what.is_empty() {
        what
    } else {
        format!(", {what}")
    };
    format!("{name}: {}{what}{of}.", because.title)
}

fn revise(job: &Job, order: &Record) -> Form<'static> {
    Form {
        action: format!("{}/revise", here(job, order)),
        kind: "order.add",
        id: "revise".to_owned(),
        hidden: vec![
            ("op_id".to_owned(), clock::new_id().to_string()),
            ("entity_id".to_owned(), clock::new_id().to_string()),
        ],
        fields: Vec::new(),
        problems: Vec::new(),
        save: format!("Make revision {}", order_revision(order) + 1),
        main: Main::No,
    }
}

/// The receipts that name it, or that a line of it stands on.
fn receipts(job: &Job, order: &Record) -> Vec<Row> {
    let lines = job
        .all(Kind::Bought)
        .filter(|line| line.to("order") == Some(order.id));
    let of_lines: BTreeSet<Uuid> = lines.filter_map(|line| line.to("receipt")).collect();
    job.all(Kind::Receipt)
        .filter(|receipt| receipt.to("order") == Some(order.id) || of_lines.contains(&receipt.id))
        .map(|receipt| Row {
            value: receipt_sums(job, receipt).total.to_string(),
            ..rows::row(job, receipt)
        })
        .collect()
}
