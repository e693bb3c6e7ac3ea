//! Several weeks in one trip.

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{Bought, Carried, Gap, Lists, Lying, Trip, trip};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Money;
use scantling_web::layout::Here;
use scantling_web::pages::trip as view;
use time::Date;
use uuid::Uuid;

use super::{buy_list, materials, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let now = shell::week_now(&job, clock::today());
    let weeks = chosen(&job, &asked, now);
    let base = format!("/jobs/{}", job.id);
    let answer = (weeks.len() > 1).then(|| answer(&job, &trip(&job, &weeks)));
    let view = view::View {
        up: (format!("{base}/buy-list?week={now}"), "Buy list".to_owned()),
        action: format!("{base}/trip"),
        weeks: shell::week_numbers(&job)
            .into_iter()
            .map(|week| {
                let here = if weeks.contains(&week) {
                    Here::Yes
                } else {
                    Here::No
                };
                (week, week_words(&job, week), here)
            })
            .collect(),
        answer,
        shell: shell::shell(&job, "One trip", "/buy-list", clock::today()),
    };
    Ok(html(view::page(&view)))
}

/// The weeks asked for; where none are, this one and those after it that aren't closed.
fn chosen(job: &Job, asked: &[(String, String)], now: u32) -> Vec<u32> {
    if asked.iter().any(|(name, _)| name == "week") {
        let all: Vec<&str> = asked
            .iter()
            .filter(|(name, _)| name == "week")
            .map(|(_, text)| text.as_str())
            .collect();
        let all = [("week".to_owned(), all.join(","))];
        return materials::weeks_asked(&all, now);
    }
    let mut weeks = shell::week_numbers(job);
    weeks.retain(|week| *week >= now && !job.is_closed(*week));
    weeks
}

/// `Week 3 · Mon Oct 27 to Fri Oct 31`.
fn week_words(job: &Job, week: u32) -> String {
    let day = |name: &str| job.week(week)?.number(name).and_then(day_words);
    match (day("start"), day("end")) {
        (Some(from), Some(to)) => format!("Week {week} · {from} to {to}"),
        (Some(from), None) => format!("Week {week} · from {from}"),
        _ => format!("Week {week}"),
    }
}

fn day_words(julian: i64) -> Option<String> {
    let day = Date::from_julian_day(i32::try_from(julian).ok()?).ok()?;
    Some(clock::day_words(day))
}

fn answer(job: &Job, trip: &Trip) -> view::Answer {
    let mut sums: Vec<[String; 4]> = trip
        .apart
        .iter()
        .map(|bought| sum(format!("Week {} alone", list_of(&bought.weeks)), bought))
        .collect();
    sums.push(sum("All in one trip".to_owned(), &trip.together));
    view::Answer {
        word: match trip.saved() {
            saved if saved > Money::ZERO => format!("{saved} less"),
            saved if saved < Money::ZERO => format!("{} more", Money::ZERO - saved),
            _ => "Costs the same".to_owned(),
        },
        said: said(trip),
        sums,
        notes: notes(job, trip),
        lists: lists(job, trip),
        lying: trip
            .lying
            .iter()
            .map(|later| lying(job, trip, later))
            .collect(),
        weight: weight(&trip.carried),
        loads: trip
            .carried
            .loads
            .iter()
            .enumerate()
            .map(|(at, load)| {
                let items = load.items.iter();
                (
                    format!("Load {}, {} lb", at + 1, load.lb),
                    items
                        .map(|(item, count)| format!("{count} of {}", item.words(job)))
                        .collect(),
                )
            })
            .collect(),
    }
}

/// `2, 3 and 4`.
fn list_of(weeks: &[u32]) -> String {
    let all: Vec<String> = weeks.iter().map(u32::to_string).collect();
    match all.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn sum(name: String, bought: &Bought) -> [String; 4] {
    [
        name,
        bought.total.to_string(),
        bought.sticks.to_string(),
        bought.sheets.to_string(),
    ]
}

/// `One trip for weeks 2 and 3, not 2 trips: $612.40, 3 sticks fewer.`
fn said(trip: &Trip) -> String {
    let (sticks, sheets) = trip.fewer();
    let fewer = |n: i64, one: &str| match n {
        0 => String::new(),
        1 => format!(", 1 {one} fewer"),
        2.. => format!(", {n} {one}s fewer"),
        -1 => format!(", 1 {one} more"),
        _ => format!(", {} {one}s more", -n),
    };
    format!(
        "One trip for weeks {}, not {} trips: {}{}{}.",
        list_of(&trip.weeks),
        trip.weeks.len(),
        trip.together.total,
        fewer(sticks, "stick"),
        fewer(sheets, "sheet"),
    )
}

fn notes(job: &Job, trip: &Trip) -> Vec<String> {
    let mut notes = Vec::new();
    if trip.lists == Lists::SideBySide {
        notes.push(
            "Planned as one list it would cost more, so take the list of each week along: waste is asked for from four pieces of a class on."
                .to_owned(),
        );
    }
    if trip.saved() < Money::ZERO {
        notes.push(
            "One trip finds only so much at the yard, where a trip a week finds that each time."
                .to_owned(),
        );
    }
    notes.extend(
        buy_list::unpriced_words(trip.together.unpriced)
            .map(|without| format!("The sums are {without}.")),
    );
    if job.settings.tax.is_some() {
        notes.push("Tax comes on top.".to_owned());
    }
    notes
}

fn lists(job: &Job, trip: &Trip) -> Vec<(String, String)> {
    let href = |weeks: &[u32]| format!("/jobs/{}/buy-list?week={}", job.id, buy_list::query(weeks));
    match trip.lists {
        Lists::Joined => vec![(
            href(&trip.weeks),
            format!("Buy list of weeks {}", list_of(&trip.weeks)),
        )],
        Lists::SideBySide => trip
            .weeks
            .iter()
            .map(|week| (href(&[*week]), format!("Buy list of week {week}")))
            .collect(),
    }
}

fn lying(job: &Job, trip: &Trip, later: &Lying) -> view::Lying {
    let of = |items: &[(scantling_takeoff::buy::Item, i64)], how: &'static str| {
        let items = items.iter();
        items
            .map(|(item, count)| (format!("{count} of {}", item.words(job)), how))
            .collect::<Vec<_>>()
    };
    let mut what = of(&later.whole, "whole");
    what.extend(of(&later.begun, "begun"));
    what.extend(of(&later.counted, "pieces"));
    view::Lying {
        title: format!("For week {}", later.week),
        days: later.days.map_or_else(String::new, days_words),
        said: how_long(trip, later),
        what,
    }
}

fn days_words(days: i64) -> String {
    if days == 1 {
        "1 day".to_owned()
    } else {
        format!("{days} days")
    }
}

/// From when, and through which gaps.
fn how_long(trip: &Trip, later: &Lying) -> String {
    let first = trip.weeks.first().copied().unwrap_or(later.week);
    if later.days.is_none() {
        return format!(
            "For how long isn’t known: the first day of week {first} or of week {} isn’t recorded.",
            later.week
        );
    }
    let gaps: Vec<String> = later.gaps.iter().map(gap_words).collect();
    let through = match gaps.as_slice() {
        [] => "no gap between the weeks".to_owned(),
        some => some.join("; "),
    };
    format!(
        "From the first day of week {first} to that of week {}: {through}.",
        later.week
    )
}

/// `through the gap after week 2, Sat Oct 18 to Sun Nov 2, 16 days`.
fn gap_words(gap: &Gap) -> String {
    let days = day_words(gap.from).zip(day_words(gap.from + gap.days - 1));
    let when = days.map_or_else(String::new, |(from, to)| format!(", {from} to {to}"));
    format!(
        "through the gap after week {}{when}, {}",
        gap.after,
        days_words(gap.days)
    )
}

fn weight(carried: &Carried) -> String {
    let without = match carried.unweighed {
        0 => String::new(),
        1 => ", without 1 line of small things".to_owned(),
        n => format!(", without {n} lines of small things"),
    };
    let payload = match (carried.payload_lb, carried.loads.len()) {
        (None, _) => "The vehicle’s payload isn’t recorded (Settings).".to_owned(),
        (Some(payload), 0) => format!("It goes in one load: the vehicle carries {payload} lb."),
        (Some(payload), n) => {
            format!("The vehicle carries {payload} lb: {n} loads, what is used first on the first.")
        }
    };
    format!(
        "Lumber and panels weigh about {} lb{without}. Treated wood often comes wet and weighs more. {payload}",
        carried.lb
    )
}
