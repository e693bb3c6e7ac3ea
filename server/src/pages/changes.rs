//! The list of changes, and the kinds that can be planned.

use actix_web::{HttpResponse, web};
use scantling_takeoff::record::Kind;
use scantling_web::pages::changes;
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::{rows, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The list, week by week.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let all = job.changes();
    let mut weeks: Vec<(String, Vec<_>)> = Vec::new();
    for change in all {
        let week = format!("Week {}", change.week());
        if weeks.last().is_none_or(|(last, _)| *last != week) {
            weeks.push((week, Vec::new()));
        }
        if let Some((_, rows)) = weeks.last_mut() {
            rows.push(rows::change(&job, change));
        }
    }
    let shell = shell::shell(&job, "Changes", "/changes", clock::today());
    Ok(html(changes::page(&changes::View {
        shell,
        weeks,
        plan: format!("/jobs/{}/plan", job.id),
    })))
}

/// The thirteen kinds.
pub(crate) async fn plan(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let kinds = Kind::CHANGES
        .iter()
        .map(|kind| Row {
            href: format!("/jobs/{}/{kind}", job.id),
            name: kind.title().to_owned(),
            second: what_for(*kind).to_owned(),
            value: match job.count(*kind) {
                0 => String::new(),
                n => n.to_string(),
            },
            ..Row::default()
        })
        .collect();
    let shell = shell::shell(&job, "Plan a change", "/changes", clock::today());
    Ok(html(changes::plan_page(&changes::PlanView {
        shell,
        kinds,
    })))
}

/// What a kind of change is for, in one line.
pub(crate) const fn what_for(kind: Kind) -> &'static str {
    match kind {
        Kind::Shore => "Studs, plates and braces that hold the joists meanwhile",
        Kind::TakeOut => "A wall or part of it: rubble, trips, lumber to keep",
        Kind::Struts => "Out of the way, and back at their length",
        Kind::SetBeam => "Plies, nails, weight, people",
        Kind::SetPost => "Its cut, cap and base, squash blocks",
        Kind::Pack => "Packing pieces, or solid blocking between joists",
        Kind::HangJoists => "A hanger for each cut end, by the size as found",
        Kind::Sister => "A new member beside an old one",
        Kind::Plate => "From here to there, joints and splices",
        Kind::Studs => "King, jack, cripple, plain",
        Kind::PatchFloor => "Panels on joists, blocks, screws, adhesive",
        Kind::Board => "Ceiling or wall: sheets, screws, tape",
        Kind::Sundry => "Blades, masks, sheeting",
        _ => "",
    }
}
