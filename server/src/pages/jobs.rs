//! The jobs, and the form for a new one.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::record::{FieldProblem, Kind, Role, registry};
use scantling_web::layout::Main;
use scantling_web::pages::jobs;
use scantling_web::parts::form::{FieldView, Input};
use scantling_web::parts::rows::Row;

use super::shell;
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
) -> Result<HttpResponse, HttpError> {
    let mut view = view(&state, started(), Vec::new()).await?;
    if who.role < Role::Lead {
        view.add = None;
    }
    Ok(html(jobs::page(&view)))
}

/// What a new job's form holds at first.
fn started() -> Posted {
    Posted(vec![("units".to_owned(), "us".to_owned())])
}

/// Its view, with the form as it was sent where it was refused.
pub(crate) async fn view(
    state: &State,
    posted: Posted,
    problems: Vec<FieldProblem>,
) -> Result<jobs::View<'static>, HttpError> {
    let all = state.read(scantling_db::jobs).await?;
    let rows = all
        .iter()
        .map(|job| Row {
            href: format!("/jobs/{}", job.id),
            name: job.name.clone(),
            second: format!("Last entry {}", clock::stamp_day(&job.changed_at)),
            id: job.id.to_string(),
            ..Row::default()
        })
        .collect();
    let kind = registry::adds(Kind::Job).ok_or(HttpError::Broken("the registry has no job"))?;
    let note = if problems.is_empty() {
        None
    } else {
        Some(shell::refused_note())
    };
    let chosen = posted.all("copy_from");
    let draft = Draft {
        job: None,
        filled: posted,
        problems,
        id: "add".to_owned(),
        next: String::new(),
        save: "Start the job".to_owned(),
        main: Main::Yes,
    };
    let mut add = view::adding(kind, None, draft);
    if !all.is_empty() {
        add.fields.push(FieldView {
            name: "copy_from".to_owned(),
            label: "Copy suppliers, price book and hardware table from".to_owned(),
            hint: String::new(),
            input: Input::One(
                all.iter()
                    .map(|job| (job.id.to_string(), job.name.clone()))
                    .collect(),
            ),
            values: chosen,
            echo: String::new(),
            problem: None,
            required: false,
            first: true,
            refers: String::new(),
        });
    }
    Ok(jobs::View {
        jobs: rows,
        add: Some(add),
        note,
    })
}
