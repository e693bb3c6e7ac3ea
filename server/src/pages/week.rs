//! What belongs to a work week: its page's parts, whether it is over, and the ways to its kept list and its closing.

use scantling_takeoff::buy::MoneyOf;
use scantling_takeoff::record::{Job, Kind, OpKind, Record, Role};
use scantling_web::layout::{Main, Note};
use scantling_web::pages::thing::Part;
use scantling_web::parts::rows::Row;
use time::Date;

use super::{rows, shell};
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};

/// The number of a week's record.
pub(crate) fn number_of(week: &Record) -> u32 {
    let number = week.number("number");
    number.and_then(|n| u32::try_from(n).ok()).unwrap_or(0)
}

/// The address of a week's record, with more behind it.
fn path(job: &Job, week: &Record, more: &str) -> String {
    format!("/jobs/{}/week/{}{more}", job.id, week.id)
}

/// Where a week is closed, if it is recorded and open.
pub(crate) fn close_href(job: &Job, number: u32) -> Option<String> {
    let week = job.week(number).filter(|_| !job.is_closed(number))?;
    Some(path(job, week, "/close"))
}

/// Where a week has got to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stage {
    /// Closed.
    Closed,
    /// Its last day is past, or every one of its changes is done.
    Over,
    /// Today is its last day.
    LastDay,
    /// Neither.
    Open,
}

/// Where a week has got to, by today.
pub(crate) fn stage(job: &Job, number: u32, today: Date) -> Stage {
    if job.is_closed(number) {
        return Stage::Closed;
    }
    let day = i64::from(today.to_julian_day());
    let last = job
        .week(number)
        .and_then(|week| week.number("end").or(week.number("start")));
    let of_week = job.changes().into_iter().filter(|c| c.week() == number);
    let (mut any, mut all_done) = (false, true);
    for change in of_week.filter(|change| change.state != "dropped") {
        any = true;
        all_done &= change.state == "done";
    }
    match last {
        Some(last) if last < day => Stage::Over,
        _ if any && all_done => Stage::Over,
        Some(last) if last == day => Stage::LastDay,
        _ => Stage::Open,
    }
}

/// Where the kept list of the first of these weeks is, and its words; none where none is kept.
pub(crate) fn kept_link(job: &Job, weeks: &[u32]) -> Option<(String, String)> {
    let week = weeks.iter().find(|week| {
        let mut lists = job.ledger.kept.iter();
        lists.any(|list| list.weeks.contains(week))
    })?;
    let record = job.week(*week)?;
    Some((
        path(job, record, "/kept"),
        "The list as it was kept".to_owned(),
    ))
}

/// The banner after a week was closed.
pub(crate) fn closed_note(job: &Job, asked: &Posted) -> Option<Note> {
    let number: u32 = asked.typed("closed")?.parse().ok()?;
    job.is_closed(number).then(|| {
        shell::saved_note(format!(
            "Week {number} is closed. Here is what comes after it."
        ))
    })
}

/// What is said under a week's heading.
pub(crate) fn sub(week: &Record) -> String {
    let number = number_of(week);
    let keeper = week.text("keeper").map_or_else(String::new, |name| {
        format!(" {name} looks after the shoring.")
    });
    if week.says("closed", "yes") {
        format!(
            "Work week {number}. Closed. Its changes can still be edited and marked done.{keeper}"
        )
    } else {
        format!("Work week {number}.")
    }
}

/// The parts of a week's page: the round, and what was bought for it, for who sees prices.
pub(crate) fn parts(job: &Job, week: &Record, role: Role) -> Vec<Part<'static>> {
    let mut all = vec![round(job, week)];
    if role >= Role::Crew {
        all.push(bought(job, week));
    }
    all
}

fn round(job: &Job, week: &Record) -> Part<'static> {
    let number = number_of(week);
    let to = |href: String, name: &str, second: &str| Row {
        href,
        name: name.to_owned(),
        second: second.to_owned(),
        ..Row::default()
    };
    let base = format!("/jobs/{}", job.id);
    let mut rows = vec![
        to(
            format!("{base}?week={number}"),
            "The week’s page",
            "what is next, what is missing",
        ),
        to(
            path(job, week, "/kept"),
            "The list as it was kept",
            "against now; plan afresh",
        ),
        to(
            super::money_of::href(job, MoneyOf::Week(Some(number))),
            "Money",
            "planned, ordered and spent, receipt by receipt",
        ),
    ];
    let is_closed = week.says("closed", "yes");
    if !is_closed {
        let what = "count, move on, planned against spent";
        rows.push(to(path(job, week, "/close"), "Close the week", what));
    }
    Part {
        heading: "The round".to_owned(),
        anchor: "round".to_owned(),
        rows,
        acts: std::collections::BTreeMap::new(),
        empty: String::new(),
        form: is_closed.then(|| reopening(job, week)).flatten(),
        add: "Open the week again".to_owned(),
    }
}

fn reopening(job: &Job, week: &Record) -> Option<scantling_web::parts::form::Form<'static>> {
    let kind = OpKind::named("week.reopen")?;
    let draft = Draft {
        job: Some(job),
        filled: Posted(vec![("fixed.closed".to_owned(), "no".to_owned())]),
        problems: Vec::new(),
        id: "reopen".to_owned(),
        next: path(job, week, ""),
        save: "Open week again".to_owned(),
        main: Main::No,
    };
    Some(view::acting(kind, "reopen", week, draft, job.id))
}

/// The lines of receipts that count for this week: the first of the weeks that they answer.
fn bought(job: &Job, week: &Record) -> Part<'static> {
    let number = number_of(week);
    let first = |line: &&Record| line.weeks().first() == Some(&number);
    Part {
        heading: "Bought for it".to_owned(),
        anchor: "bought".to_owned(),
        rows: job
            .all(Kind::Bought)
            .filter(first)
            .map(|line| rows::row(job, line))
            .collect(),
        acts: std::collections::BTreeMap::new(),
        empty: "Nothing was bought for this week yet.".to_owned(),
        form: None,
        add: String::new(),
    }
}
