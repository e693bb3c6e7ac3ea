//! Closing a week, step by step: what is left, what moves on, what stands, what was spent.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::LastAct;
use scantling_takeoff::buy::{buy_list, left_over, money, order_state};
use scantling_takeoff::record::{Field, FieldProblem, Job, Kind, OpKind, Record};
use scantling_web::Page;
use scantling_web::layout::{Note, Wrong};
use scantling_web::pages::close as view;
use scantling_web::parts::form::{FieldView, Input};
use scantling_web::parts::rows::Row;
use scantling_web::parts::sign::state_word;
use uuid::Uuid;

use super::done::sent_for;
use super::{line, money as sums, orders, shell, things, week};
use crate::clock;
use crate::error::{HttpError, html, see};
use crate::forms::compose::Posted;
use crate::state::State;

/// What is written as the reason of a count, where nothing else is typed.
const COUNTED: &str = "counted at the week’s end";

/// What a change's list says where it stays in its week.
pub(crate) const STAYS: &str = "stays";

/// What the page asks the store besides the job.
pub(crate) struct Known {
    /// The revision of each open change's week.
    pub(crate) revs: BTreeMap<Uuid, i64>,
    acts: BTreeMap<Uuid, LastAct>,
    names: things::People,
}

impl Known {
    /// Reads it.
    pub(crate) async fn of(state: &State, job: &Job, number: u32) -> Result<Self, HttpError> {
        let (job_id, changes) = (job.id, ids(&open_changes(job, number)));
        let (revs, acts, names) = state
            .read(move |tx| {
                let mut revs = BTreeMap::new();
                for change in changes {
                    let fields = scantling_db::revs_of(tx, change)?;
                    revs.insert(change, fields.get("week").map_or(0, |field| field.rev));
                }
                let acts = scantling_db::last_acts(tx, job_id)?;
                Ok((revs, acts, scantling_db::people(tx)?))
            })
            .await?;
        Ok(Self { revs, acts, names })
    }
}

fn ids(records: &[&Record]) -> Vec<Uuid> {
    records.iter().map(|record| record.id).collect()
}

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = the_week(&job, id)?;
    if record.says("closed", "yes") {
        return Ok(see(&format!("/jobs/{job_id}/week/{id}")));
    }
    let known = Known::of(&state, &job, week::number_of(record)).await?;
    Ok(html(page(&job, record, &known, &Asked::default())))
}

/// The week of an address.
pub(crate) fn the_week(job: &Job, id: Uuid) -> Result<&Record, HttpError> {
    job.get(id)
        .filter(|record| record.kind == Kind::Week)
        .ok_or(HttpError::NotFound)
}

/// Changes of a week that are neither done nor dropped, in working order.
pub(crate) fn open_changes(job: &Job, number: u32) -> Vec<&Record> {
    job.changes()
        .into_iter()
        .filter(|change| change.week() == number)
        .filter(|change| !matches!(change.state.as_str(), "done" | "dropped"))
        .collect()
}

/// It, as it was sent where it was refused. Problems are by the form's names: `counted.<item>`, `to.<change>`,
/// `why.<change>`, and the plain names of its other fields.
pub(crate) fn page(job: &Job, record: &Record, known: &Known, asked: &Asked<'_>) -> Page {
    let problems = asked.problems;
    let number = week::number_of(record);
    let here = format!("/jobs/{}/week/{}", job.id, record.id);
    let title = format!("Close week {number}");
    let mut shell = shell::shell(job, &title, "/week", clock::today());
    if !problems.is_empty() {
        shell.note = Some(shell::refused_note());
    } else if !asked.said.is_empty() {
        shell.note = Some(Note {
            bad: Wrong::No,
            lead: asked.said.clone(),
            text: "The week is open still. What else you typed is below, not saved yet.".to_owned(),
        });
    }
    let counts = counts(job, asked);
    let changes: Vec<view::Change> = open_changes(job, number)
        .into_iter()
        .map(|change| change_row(job, change, number, known, asked))
        .collect();
    let shown: Vec<&str> = counts
        .iter()
        .map(|count| &count.field)
        .chain(changes.iter().flat_map(|change| [&change.to, &change.why]))
        .filter_map(|field| field.problem.as_deref())
        .collect();
    let own = ["reason", "keeper", "note"];
    let rest = problems
        .iter()
        .filter(|p| !own.contains(&p.field.as_str()))
        .filter(|p| !shown.contains(&p.message.as_str()))
        .map(|p| p.message.clone())
        .collect();
    let all = money(job);
    let of_week = all.weeks.get(&Some(number)).copied().unwrap_or_default();
    let view = view::View {
        up: (here.clone(), format!("Week {number}")),
        week: format!("Week {number}"),
        action: format!("{here}/close"),
        hidden: vec![
            ("op_id".to_owned(), clock::new_id().to_string()),
            ("closed".to_owned(), "yes".to_owned()),
        ],
        problems: rest,
        counts,
        reason: asked.own("stock.count", "reason", COUNTED),
        changes,
        shores: shores(job, known),
        keeper: asked.own("week.close", "keeper", record.text("keeper").unwrap_or("")),
        orders: open_orders(job),
        money: sums::totals(&of_week),
        over: left_over(job, number)
            .into_iter()
            .map(|(item, count)| Row {
                href: line::href(job, &[number], &item),
                name: item.words(job),
                value: count.to_string(),
                ..Row::default()
            })
            .collect(),
        next: next_week(job, number),
        note: asked.own("week.close", "note", ""),
        shell,
    };
    view::page(&view)
}

/// What was sent, and what is wrong with it or was saved of it.
#[derive(Default)]
pub(crate) struct Asked<'a> {
    /// The form as it was sent.
    pub(crate) sent: Option<&'a Posted>,
    /// What is wrong.
    pub(crate) problems: &'a [FieldProblem],
    /// What was saved of it, in a sentence; else empty.
    pub(crate) said: String,
}

impl Asked<'_> {
    fn problem(&self, name: &str) -> Option<String> {
        let mut found = self.problems.iter().filter(|p| p.field == name);
        found.next().map(|p| p.message.clone())
    }

    /// A field of the form's own, from the registry.
    fn own(&self, kind: &str, name: &str, usual: &str) -> FieldView {
        let text = self
            .sent
            .and_then(|sent| sent.first(name))
            .unwrap_or(usual)
            .to_owned();
        let field = OpKind::named(kind).and_then(|kind| kind.field(name));
        let mut view = field.map_or_else(
            || FieldView::by_hand(name, name, Input::Line, String::new()),
            |field: &Field| FieldView::of(field, Vec::new(), Vec::new()),
        );
        view.values = vec![text];
        view.required = false;
        view.problem = self.problem(name);
        view
    }
}

/// Everything that is here or missing, each once, filled with what the record says.
fn counts(job: &Job, asked: &Asked<'_>) -> Vec<view::Count> {
    let ledger = &job.ledger;
    ledger
        .items()
        .into_iter()
        .map(|item| (item, ledger.on_hand(item)))
        .filter(|(item, n)| {
            let is_asked = asked.problem(&format!("counted.{}", item.to_key()));
            *n != 0 || ledger.missing(item) > 0 || is_asked.is_some()
        })
        .map(|(item, n)| {
            let key = item.to_key();
            let saw = if n < 0 { String::new() } else { n.to_string() };
            let mut field =
                FieldView::by_hand("counted", &item.words(job), Input::Count, String::new());
            field.values =
                vec![sent_for(asked.sent, "item", "counted", &key).unwrap_or_else(|| saw.clone())];
            field.problem = asked.problem(&format!("counted.{key}"));
            view::Count {
                // What was seen when the form was opened stays what was seen, unless the record moved, which is said.
                saw: sent_for(asked.sent, "item", "saw", &key)
                    .filter(|_| field.problem.is_none())
                    .unwrap_or(saw),
                wrong: if n < 0 {
                    format!("{} missing: book the receipt, or write what is here.", -n)
                } else {
                    String::new()
                },
                item: key,
                field,
            }
        })
        .collect()
}

fn change_row(
    job: &Job,
    change: &Record,
    number: u32,
    known: &Known,
    asked: &Asked<'_>,
) -> view::Change {
    let id = change.id.to_string();
    let sent = |name: &str| sent_for(asked.sent, "change", name, &id).unwrap_or_default();
    let mut options = vec![(STAYS.to_owned(), format!("Leave it in week {number}"))];
    for week in open_weeks(job, number) {
        options.push((week.to_string(), format!("To week {week}")));
    }
    options.push(("drop".to_owned(), "Drop it".to_owned()));
    let mut to = FieldView::by_hand(
        "to",
        "What becomes of it",
        Input::One(options),
        String::new(),
    );
    // One of them is always chosen: the list needs no empty one.
    to.required = true;
    let said = sent("to");
    to.values = vec![if said.is_empty() {
        STAYS.to_owned()
    } else {
        said
    }];
    to.problem = asked.problem(&format!("to.{id}"));
    let mut why = FieldView::by_hand("why", "Why it is dropped", Input::Line, String::new());
    why.values = vec![sent("why")];
    why.problem = asked.problem(&format!("why.{id}"));
    view::Change {
        rev: known.revs.get(&change.id).copied().unwrap_or(0).to_string(),
        href: format!("/jobs/{}/{}/{id}", job.id, change.kind),
        name: change.name().to_owned(),
        state: state_word(&change.state),
        to,
        why,
        id,
    }
}

/// The other weeks that are open, and the one after the last.
fn open_weeks(job: &Job, number: u32) -> Vec<u32> {
    let mut weeks = shell::week_numbers(job);
    let last = weeks.last().copied().unwrap_or(number);
    if last < 99 {
        weeks.push(last + 1);
    }
    weeks.retain(|week| *week != number && !job.is_closed(*week));
    weeks
}

/// Shoring that is done and not struck: since when, by whom; its link leads to striking it.
fn shores(job: &Job, known: &Known) -> Vec<Row> {
    job.all(Kind::Shore)
        .filter(|shore| shore.state == "done")
        .filter_map(|shore| {
            let act = known.acts.get(&shore.id);
            if act.is_some_and(|act| act.kind == "change.struck") {
                return None;
            }
            let since = act.map_or_else(String::new, |act| {
                let by = things::person(&known.names, act.by);
                format!("Stands since {}, done by {by}. ", clock::stamp_day(&act.at))
            });
            Some(Row {
                href: format!("/jobs/{}/shore/{}/struck", job.id, shore.id),
                name: shore.name().to_owned(),
                second: format!("{since}Strike it"),
                ..Row::default()
            })
        })
        .collect()
}

/// Orders that may still bring something.
fn open_orders(job: &Job) -> Vec<Row> {
    job.all(Kind::Order)
        .filter_map(|order| {
            let state = order_state(job, order);
            state.is_open().then(|| Row {
                href: format!("/jobs/{}/order/{}", job.id, order.id),
                name: orders::name(job, order),
                second: orders::state_words(state).to_owned(),
                ..Row::default()
            })
        })
        .collect()
}

/// The next open week, and which of its lines are here in part or in full.
fn next_week(job: &Job, number: u32) -> Option<(String, Vec<Row>)> {
    let next = shell::week_numbers(job)
        .into_iter()
        .find(|week| *week > number && !job.is_closed(*week))?;
    let finds = buy_list(job, &[next])
        .lines
        .into_iter()
        .filter(|line| line.from_on_hand > 0)
        .map(|of: scantling_takeoff::buy::BuyLine| Row {
            href: line::href(job, &[next], &of.item),
            value: format!("{} of {}", of.from_on_hand, of.needed),
            name: of.words,
            ..Row::default()
        })
        .collect();
    Some((format!("week {next}"), finds))
}
