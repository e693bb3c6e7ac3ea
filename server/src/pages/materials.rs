//! Materials of a week.

use std::collections::BTreeMap;
use std::sync::Arc;

use actix_web::{HttpResponse, web};
use scantling_takeoff::needs;
use scantling_takeoff::record::Job;
use scantling_web::layout::{Here, Main};
use scantling_web::pages::materials;
use scantling_web::parts::rows::Tab;
use uuid::Uuid;

use super::{change, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The job of an address, and the weeks that it asks for.
pub(crate) async fn job_and_weeks(
    state: &State,
    job: Uuid,
    asked: &[(String, String)],
) -> Result<(Arc<Job>, Vec<u32>), HttpError> {
    let job = state.job(job).await?;
    let weeks = weeks_asked(asked, shell::week_now(&job, clock::today()));
    Ok((job, weeks))
}

/// Which weeks the address asks for: `?week=3`, `?week=3,4`; else the current one.
pub(crate) fn weeks_asked(asked: &[(String, String)], now: u32) -> Vec<u32> {
    let text = asked
        .iter()
        .find(|(name, _)| name == "week")
        .map_or("", |(_, text)| text.as_str());
    let mut weeks: Vec<u32> = text
        .split(',')
        .filter_map(|one| one.trim().parse().ok())
        .filter(|n| (1..=99).contains(n))
        .collect();
    weeks.sort_unstable();
    weeks.dedup();
    if weeks.is_empty() { vec![now] } else { weeks }
}

/// Whether a page can show two weeks at once.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Together {
    /// One more tab: the chosen week and the next.
    Yes,
    /// A tab a week.
    No,
}

/// A tab for each week; and one for the chosen and the next together, where a page shows two.
pub(crate) fn week_tabs(job: &Job, page: &str, chosen: &[u32], together: Together) -> Vec<Tab> {
    let numbers = shell::week_numbers(job);
    let tab = |text: String, weeks: Vec<u32>| {
        let list = weeks
            .iter()
            .map(u32::to_string)
            .collect::<Vec<_>>()
            .join(",");
        Tab {
            href: format!("/jobs/{}/{page}?week={list}", job.id),
            text,
            here: if weeks == chosen { Here::Yes } else { Here::No },
        }
    };
    let mut tabs: Vec<Tab> = numbers
        .iter()
        .map(|n| tab(format!("Week {n}"), vec![*n]))
        .collect();
    let from = chosen.first().copied().unwrap_or(1);
    let next = numbers.iter().find(|n| **n > from);
    if let Some(next) = next.filter(|_| together == Together::Yes) {
        tabs.push(tab(format!("Weeks {from} and {next}"), vec![from, *next]));
    }
    tabs
}

/// The marks of each need's pieces, as ranges.
fn marks(job: &Job, weeks: &[u32]) -> BTreeMap<(Uuid, String), String> {
    scantling_takeoff::buy::marks_of(job, weeks)
        .into_iter()
        .map(|(of, marks)| {
            let marks: Vec<&str> = marks.iter().map(String::as_str).collect();
            (of, super::cut_list::ranges(&marks))
        })
        .collect()
}

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = job_and_weeks(&state, *job, &asked).await?;
    let takeoffs = needs::needs(&job, &weeks);
    let marks = marks(&job, &weeks);
    let mut shell = shell::shell(&job, "Materials", "/materials", clock::today());
    let list = weeks
        .iter()
        .map(u32::to_string)
        .collect::<Vec<_>>()
        .join(",");
    shell.bar = shell::bar(
        vec![(
            format!("/jobs/{}/buy-list?week={list}", job.id),
            "Go to the buy list",
        )],
        Main::Yes,
    );
    let changes = takeoffs
        .iter()
        .filter_map(|takeoff| {
            let record = job.get(takeoff.change)?;
            Some(materials::OfChange {
                href: format!("/jobs/{}/{}/{}", job.id, record.kind, record.id),
                name: record.name().to_owned(),
                needs: takeoff
                    .needs
                    .iter()
                    .map(|need| {
                        change::need_row(
                            &job,
                            record,
                            need,
                            marks.get(&(takeoff.change, need.slot.clone())).cloned(),
                        )
                    })
                    .collect(),
                missing: takeoff
                    .missing
                    .iter()
                    .map(|missing| {
                        (
                            missing.waits.clone(),
                            missing.text.clone(),
                            change::fill_href(&job, &missing.fill),
                        )
                    })
                    .collect(),
            })
        })
        .collect();
    let view = materials::View {
        weeks: week_tabs(&job, "materials", &weeks, Together::No),
        changes,
        shell,
    };
    Ok(html(materials::page(&view)))
}
