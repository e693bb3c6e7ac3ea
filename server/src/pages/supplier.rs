//! A supplier's ways: the first lines of its yard CSV, and the form that chooses its columns.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::buy_list;
use scantling_takeoff::record::{
    FieldProblem, FieldType, Job, Kind, Record, Role, choices, registry,
};
use scantling_web::Page;
use scantling_web::pages::order_columns as view;
use scantling_web::parts::form::{FieldView, Input};
use scantling_web::parts::yard_csv::YardCsv;
use uuid::Uuid;

use super::shell;
use crate::clock;
use crate::error::{HttpError, html};
use crate::files::ways::Ways;
use crate::files::yard_order;
use crate::forms::compose::Posted;
use crate::state::State;

/// So many lines are shown first.
const FIRST: usize = 3;
/// The place of a column that stays out.
pub(crate) const LEFT_OUT: &str = "0";
/// The fields that the form changes.
pub(crate) const FIELDS: [&str; 5] = [
    "order_columns",
    "order_headings",
    "order_separator",
    "order_decimal",
    "order_bom",
];

/// The yard CSV on the supplier's page: none for whom prices are not.
pub(crate) fn yard_csv(job: &Job, record: &Record, who: &Who) -> Option<YardCsv> {
    if record.kind != Kind::Supplier || who.role < Role::Crew {
        return None;
    }
    let week = shell::week_now(job, clock::today());
    let mut list = buy_list(job, &[week]);
    list.lines
        .retain(|line| line.to_buy > 0 && line.supplier.as_deref() == Some(record.name()));
    let ways = Ways::of(record);
    let (base, lines) = (format!("/jobs/{}", job.id), list.lines.len());
    let lead = who.role >= Role::Lead;
    Some(YardCsv {
        of: format!("week {week}"),
        rows: yard_order::rows(job, &list, &ways, FIRST),
        said: match lines {
            0 => "Nothing to buy here this week: the headings alone.".to_owned(),
            1 => "1 line.".to_owned(),
            n if n > FIRST => format!("{n} lines, the first {FIRST} shown."),
            n => format!("{n} lines."),
        },
        file: (lines > 0)
            .then(|| format!("{base}/buy-list.csv?week={week}&supplier={}", record.id)),
        columns: lead.then(|| format!("{base}/supplier/{}/columns", record.id)),
        prices: lead.then(|| format!("{base}/prices?supplier={}#csv", record.id)),
    })
}

/// The form that chooses its columns.
pub(crate) async fn columns(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job, id) = path.into_inner();
    let job = state.job(job).await?;
    let record = supplier(&job, id)?;
    Ok(html(columns_page(&state, &job, record, None, &[]).await?))
}

/// A supplier that stands in the record.
pub(crate) fn supplier(job: &Job, id: Uuid) -> Result<&Record, HttpError> {
    job.get(id)
        .filter(|record| record.kind == Kind::Supplier)
        .ok_or(HttpError::NotFound)
}

/// That form's page, as it was sent where it was refused.
pub(crate) async fn columns_page(
    state: &State,
    job: &Job,
    record: &Record,
    sent: Option<&Posted>,
    problems: &[FieldProblem],
) -> Result<Page, HttpError> {
    let id = record.id;
    let revs = state.read(move |tx| scantling_db::revs_of(tx, id)).await?;
    let mut hidden = vec![("op_id".to_owned(), clock::new_id().to_string())];
    for name in FIELDS {
        for text in record.texts(name) {
            hidden.push((format!("was.{name}"), text.to_owned()));
        }
        let rev = revs.get(name).map_or(0, |state| state.rev);
        hidden.push((format!("base.{name}"), rev.to_string()));
    }
    let home = format!("/jobs/{}/supplier/{id}", job.id);
    let title = format!("CSV columns, {}", record.name());
    let mut shell = shell::shell(job, &title, "/supplier", clock::today());
    if !problems.is_empty() {
        shell.note = Some(shell::refused_note());
    }
    let columns = choices::ORDER_COLUMNS
        .iter()
        .map(|(word, shown)| column(record, sent, problems, word, shown))
        .collect();
    let written = FIELDS
        .iter()
        .skip(2)
        .map(|name| written(record, sent, problems, name))
        .collect();
    let page = view::View {
        up: (home.clone(), record.name().to_owned()),
        action: format!("{home}/columns"),
        hidden,
        problems: problems
            .iter()
            .filter(|problem| {
                !problem.field.contains('.') && !FIELDS[2..].contains(&problem.field.as_str())
            })
            .map(|problem| problem.message.clone())
            .collect(),
        columns,
        written,
        shell,
    };
    Ok(view::page(&page))
}

fn problem_of(problems: &[FieldProblem], name: &str) -> Option<String> {
    problems
        .iter()
        .find(|problem| problem.field == name)
        .map(|problem| problem.message.clone())
}

/// A column: what it is, its place, its heading.
fn column(
    record: &Record,
    sent: Option<&Posted>,
    problems: &[FieldProblem],
    word: &str,
    shown: &str,
) -> (String, FieldView, FieldView) {
    let chosen = record.texts("order_columns");
    let at = chosen.iter().position(|column| *column == word);
    let heading = at
        .and_then(|at| record.texts("order_headings").get(at).copied())
        .unwrap_or(word);
    let (place_name, heading_name) = (format!("place.{word}"), format!("heading.{word}"));
    let sent_or =
        |name: &str, is: String| sent.map_or(is, |sent| sent.first(name).unwrap_or("").to_owned());
    let places = std::iter::once((LEFT_OUT.to_owned(), "Left out".to_owned()))
        .chain((1..=choices::ORDER_COLUMNS.len()).map(|n| (n.to_string(), format!("Column {n}"))))
        .collect();
    let view = |name: &str, label: &str, input, value| FieldView {
        problem: problem_of(problems, name),
        ..FieldView::by_hand(name, label, input, value)
    };
    let at = at.map_or_else(|| LEFT_OUT.to_owned(), |at| (at + 1).to_string());
    let mut place = view(
        &place_name,
        "Place",
        Input::One(places),
        sent_or(&place_name, at),
    );
    place.required = true;
    let heading = view(
        &heading_name,
        "Heading",
        Input::Line,
        sent_or(&heading_name, heading.to_owned()),
    );
    (shown.to_owned(), place, heading)
}

fn written(
    record: &Record,
    sent: Option<&Posted>,
    problems: &[FieldProblem],
    name: &str,
) -> FieldView {
    let field = registry::fields_of(Kind::Supplier)
        .iter()
        .find(|field| field.name == name);
    let (label, options) = match field {
        Some(field) => (
            field.label,
            match field.kind {
                FieldType::Choice(of) => of
                    .iter()
                    .map(|(stored, shown)| ((*stored).to_owned(), (*shown).to_owned()))
                    .collect(),
                _ => Vec::new(),
            },
        ),
        None => (name, Vec::new()),
    };
    let is = record.text(name).unwrap_or("").to_owned();
    FieldView {
        name: name.to_owned(),
        label: label.to_owned(),
        hint: match name {
            "order_separator" => "Left empty: a comma.",
            "order_decimal" => "Left empty: a point.",
            _ => "Left empty: none. Old spreadsheets need it to show × and ½.",
        }
        .to_owned(),
        input: Input::One(options),
        values: vec![sent.map_or(is, |sent| sent.first(name).unwrap_or("").to_owned())],
        echo: String::new(),
        problem: problem_of(problems, name),
        required: false,
        first: true,
        refers: String::new(),
    }
}
