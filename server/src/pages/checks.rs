//! Checks: all of a job or of a week by change, the worst first; a change's own; and its record to print.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_takeoff::checks::fit::landing::Landing;
use scantling_takeoff::checks::hold_points::gates;
use scantling_takeoff::checks::load_path::{Path, paths};
use scantling_takeoff::checks::on_record::{CheckKind, lies};
use scantling_takeoff::checks::{self, Check, Verdict};
use scantling_takeoff::record::{Agreement, Job, Kind, Record};
use scantling_web::layout::Here;
use scantling_web::pages::checks as view;
use scantling_web::pages::record as to_print;
use scantling_web::parts::check_row::CheckRow;
use scantling_web::parts::rows::{Row, Tab};
use uuid::Uuid;

use super::{change, holds, materials, photos, rows, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// Checks of a job or a week.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let week = asked
        .iter()
        .find(|(name, _)| name == "week")
        .and_then(|(_, text)| text.parse::<u32>().ok());
    let mut all = checks::of_job(&job);
    all.retain(|check| week.is_none_or(|week| check.week == week));
    let paths = paths(&job)
        .into_iter()
        .filter(|path| {
            let beam = job.get(path.beam).map(Record::week);
            week.is_none() || beam == week
        })
        .collect();
    let view = view::View {
        weeks: tabs(&job, week),
        counts: counts(&all),
        changes: by_change(&job, &all),
        paths,
        shell: shell::shell(&job, "Checks", "/checks", clock::today()),
    };
    Ok(html(view::page(&view)))
}

/// All weeks, then each.
fn tabs(job: &Job, week: Option<u32>) -> Vec<Tab> {
    let chosen: Vec<u32> = week.into_iter().collect();
    let mut all = vec![Tab {
        href: format!("/jobs/{}/checks", job.id),
        text: "All".to_owned(),
        here: if week.is_none() { Here::Yes } else { Here::No },
    }];
    all.extend(materials::week_tabs(
        job,
        "checks",
        &chosen,
        materials::Together::No,
    ));
    all
}

/// How many of each verdict, the worst first.
pub(crate) fn counts(all: &[Check]) -> Vec<(Verdict, usize)> {
    let of = |verdict| all.iter().filter(|check| check.verdict == verdict).count();
    [
        Verdict::Stop,
        Verdict::CantTellYet,
        Verdict::Look,
        Verdict::Pass,
    ]
    .into_iter()
    .map(|verdict| (verdict, of(verdict)))
    .collect()
}

/// Changes by their worst check, each with its checks by verdict.
fn by_change<'a>(job: &'a Job, all: &'a [Check]) -> Vec<view::OfChange<'a>> {
    let mut groups: BTreeMap<Uuid, Vec<&Check>> = BTreeMap::new();
    let mut order: Vec<Uuid> = Vec::new();
    for check in all {
        if !groups.contains_key(&check.change) {
            order.push(check.change);
        }
        groups.entry(check.change).or_default().push(check);
    }
    let mut changes: Vec<view::OfChange> = order
        .into_iter()
        .filter_map(|id| {
            let change = job.get(id)?;
            let mut of_change = groups.remove(&id)?;
            of_change.sort_by_key(|check| std::cmp::Reverse(check.verdict));
            let here = format!("/jobs/{}/{}/{}", job.id, change.kind, change.id);
            Some(view::OfChange {
                name: change.name().to_owned(),
                said: format!("{}, work week {}.", change.kind.title(), change.week()),
                record: format!("{here}/record"),
                href: here,
                worst: of_change
                    .first()
                    .map_or(Verdict::Pass, |check| check.verdict),
                checks: of_change
                    .into_iter()
                    .map(|check| row(job, check, false))
                    .collect(),
            })
        })
        .collect();
    changes.sort_by_key(|change| std::cmp::Reverse(change.worst));
    changes
}

/// A check as a row.
pub(crate) fn row<'a>(job: &'a Job, check: &'a Check, open: bool) -> CheckRow<'a> {
    let of = check
        .of
        .iter()
        .filter_map(|id| job.get(*id))
        .map(|thing| {
            (
                format!("/jobs/{}/{}/{}", job.id, thing.kind, thing.id),
                rows::title(job, thing),
            )
        })
        .collect();
    let readings = check
        .readings
        .iter()
        .filter_map(|id| job.get(*id))
        .filter_map(|reading| {
            let of = job.get(reading.to("of")?)?;
            let raw = reading.text("raw").unwrap_or("");
            Some((
                format!("/jobs/{}/{}/{}#read", job.id, of.kind, of.id),
                format!("{} {raw}, {}", of.name(), clock::stamp_day(&reading.at)),
            ))
        })
        .collect();
    CheckRow {
        check,
        of,
        readings,
        // On paper nothing is pressed.
        record: check
            .fill
            .as_ref()
            .filter(|_| !open)
            .map(|fill| change::fill_href(job, fill)),
        landing: landing_of(job, check),
        open,
    }
}

/// A landing is drawn to scale.
fn landing_of(job: &Job, check: &Check) -> Option<Landing> {
    let post = job.get(check.change)?;
    (check.kind == CheckKind::Landing).then(|| lies(job, post))
}

/// What the checks of a week say, as a row that leads to them; and a row for each that stops.
pub(crate) fn of_week(job: &Job, week: u32) -> Vec<Row> {
    let all: Vec<Check> = job
        .changes()
        .into_iter()
        .filter(|change| change.week() == week && change.state != "dropped")
        .flat_map(|change| checks::of_change(job, change))
        .collect();
    if all.is_empty() {
        return Vec::new();
    }
    let words: Vec<String> = counts(&all)
        .into_iter()
        .map(|(verdict, n)| format!("{n} {}", verdict.words()))
        .collect();
    let href = format!("/jobs/{}/checks?week={week}", job.id);
    let mut out = vec![Row {
        href,
        name: "All checks of the week".to_owned(),
        second: words.join(" · "),
        ..Row::default()
    }];
    out.extend(
        all.iter()
            .filter(|check| check.verdict == Verdict::Stop)
            .filter_map(|check| {
                let change = job.get(check.change)?;
                Some(Row {
                    href: format!("/jobs/{}/{}/{}#checks", job.id, change.kind, change.id),
                    name: check.about.clone(),
                    wrong: format!("Stop. {}", check.sentence),
                    ..Row::default()
                })
            }),
    );
    out
}

/// The record of a change, to print.
pub(crate) async fn record(
    state: web::Data<State>,
    path: web::Path<(Uuid, String, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let change = job
        .get(id)
        .filter(|change| change.kind.is_change() && change.kind.name() == kind)
        .ok_or(HttpError::NotFound)?;
    let (pictures, names) = state
        .read(move |tx| {
            Ok((
                scantling_db::pictures(tx, job_id)?,
                scantling_db::people(tx)?,
            ))
        })
        .await?;
    let all = checks::of_change(&job, change);
    let title = format!("{}: record", change.name());
    let address = job.record().and_then(|job| job.text("address"));
    let year = job.record().and_then(|job| job.number("year_built"));
    let view = to_print::View {
        up: (
            format!("/jobs/{job_id}/{kind}/{id}"),
            change.name().to_owned(),
        ),
        said: vec![
            ("Job".to_owned(), shell::name(&job).to_owned()),
            ("Address".to_owned(), address.unwrap_or("").to_owned()),
            (
                "Year built".to_owned(),
                year.map_or_else(String::new, |year| year.to_string()),
            ),
            (
                "Change".to_owned(),
                format!("{}, work week {}", change.kind.title(), change.week()),
            ),
            ("Printed".to_owned(), clock::today().to_string()),
        ],
        state: change.state.clone(),
        known: rows::known(&job, change),
        holds: gates(&job, change)
            .iter()
            .map(|gate| {
                let word = holds::is(gate).word();
                let said = holds::said(gate, &names);
                (gate.event.title().to_owned(), format!("{word}. {said}"))
            })
            .collect(),
        path: path_of(&job, change),
        readings: readings(&job, change, &all, &names),
        photos: job
            .all(Kind::Photo)
            .filter(|photo| photo.to("of") == Some(change.id))
            .map(|photo| {
                let one = photos::one(&job, photo, &pictures, &names);
                (one.picture, one.alt, one.by)
            })
            .collect(),
        notes: things::notes(&job, change.id, &names)
            .into_iter()
            .map(|note| (note.text, note.by))
            .collect(),
        checks: all.iter().map(|check| row(&job, check, true)).collect(),
        shell: shell::shell(&job, &title, "/checks", clock::today()),
    };
    Ok(html(to_print::page(&view)))
}

/// The load path that a change belongs to.
fn path_of(job: &Job, change: &Record) -> Option<Path> {
    let beam = match change.kind {
        Kind::SetBeam => Some(change.id),
        Kind::SetPost => change.to("under"),
        Kind::HangJoists => change.to("beam"),
        Kind::Struts => change.to("lands_on"),
        _ => None,
    }?;
    paths(job).into_iter().find(|path| path.beam == beam)
}

/// Every reading that the change and its checks rest on.
fn readings(
    job: &Job,
    change: &Record,
    all: &[Check],
    names: &things::People,
) -> Vec<to_print::ReadingLine> {
    let mut ids: Vec<Uuid> = all
        .iter()
        .flat_map(|check| check.readings.iter().copied())
        .collect();
    ids.extend(
        job.measured_of(change.id)
            .flat_map(|(_, measured)| measured.all.iter().map(|taken| taken.id)),
    );
    ids.sort_unstable();
    ids.dedup();
    let mut out: Vec<(String, to_print::ReadingLine)> = Vec::new();
    for (spot, measured) in job.all_measured() {
        for taken in measured.all.iter().filter(|one| ids.contains(&one.id)) {
            let Some(reading) = job.get(taken.id) else {
                continue;
            };
            let state = match measured.state {
                Agreement::Agreed => "agreed",
                Agreement::Single => "read once",
                Agreement::Disputed => "readings differ",
            };
            let what = format!("{}: {}", job.name(spot.of), things::spot_words(job, spot));
            out.push((
                format!("{what} {}", taken.at),
                to_print::ReadingLine {
                    what,
                    typed: reading.text("raw").unwrap_or("").to_owned(),
                    by: format!(
                        "{}, {}",
                        things::person(names, reading.by),
                        clock::stamp_day(&taken.at)
                    ),
                    state: state.to_owned(),
                },
            ));
        }
    }
    out.sort_by(|a, b| a.0.cmp(&b.0));
    out.into_iter().map(|(_, line)| line).collect()
}
