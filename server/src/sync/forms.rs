//! A form from an outbox: composed and applied by the handler that takes it from a page.
//!
//! The handler's answer is a page or a redirect, which no script reads; what its entries came to is left in a slot of
//! this task by `forms::save`.

use std::cell::RefCell;

use actix_web::http::{StatusCode, header};
use actix_web::{HttpResponse, ResponseError as _, web};
use scantling_db::{Applied, Conflict, Who};
use scantling_takeoff::record::FieldProblem;
use scantling_takeoff::record::op::Blob;
use uuid::Uuid;

use super::wire::{Form, Told};
use crate::error::HttpError;
use crate::forms as pages;
use crate::router::ROUTES;
use crate::state::State;

/// What a form's entries came to.
#[derive(Clone, Debug, Default)]
pub(crate) struct Outcome {
    /// What is wrong, by the form's own names.
    pub(crate) problems: Vec<FieldProblem>,
    /// What differs from what the form showed.
    pub(crate) conflicts: Vec<Conflict>,
    /// Whether the entries had come before, the same.
    pub(crate) replayed: bool,
    /// Whether the id is another entry's.
    pub(crate) reused: bool,
    /// The refused entry that it waits for.
    pub(crate) waits_for: Option<Uuid>,
}

tokio::task_local! {
    static SLOT: RefCell<Option<Outcome>>;
}

impl Outcome {
    /// Leaves it for whoever sent the form on; where nobody did, nowhere.
    pub(crate) fn leave(self) {
        let _nobody_asked = SLOT.try_with(|slot| slot.replace(Some(self)));
    }

    /// What the answers of the store say, problems apart.
    pub(crate) fn of(answers: &[Applied]) -> Self {
        let mut outcome = Self {
            replayed: !answers.is_empty()
                && answers
                    .iter()
                    .all(|answer| matches!(answer, Applied::Replayed { .. })),
            ..Self::default()
        };
        for answer in answers {
            let answer = match answer {
                Applied::Replayed { of } => of,
                other => other,
            };
            match answer {
                Applied::Conflict { conflicts, .. } => {
                    outcome.conflicts.extend(conflicts.iter().cloned());
                }
                Applied::Blocked { by } => outcome.waits_for = Some(*by),
                Applied::Rejected {
                    code: scantling_db::Code::OpIdReused,
                    ..
                } => outcome.reused = true,
                _ => {}
            }
        }
        outcome
    }
}

/// Submits a form as its page would.
pub(super) async fn submit(
    state: &web::Data<State>,
    who: &web::ReqData<Who>,
    op_id: Uuid,
    (job_id, form): (Uuid, &Form),
    blobs: &[Blob],
) -> Result<(Told, Outcome), HttpError> {
    let Some(address) = Address::of(&form.action) else {
        let told = Told::refused(
            op_id,
            "unknown_kind",
            "There is no form at this address that can be sent from a phone.",
        );
        return Ok((told, Outcome::default()));
    };
    if address.job() != job_id {
        let told = Told::refused(op_id, "unknown_job", "The form is of another job.");
        return Ok((told, Outcome::default()));
    }
    if who.role < address.least_role() {
        let words = format!(
            "Only a {} can do this. Ask one.",
            address.least_role().name()
        );
        return Ok((
            Told::refused(op_id, "not_allowed", &words),
            Outcome::default(),
        ));
    }
    let (answer, outcome) = SLOT
        .scope(RefCell::new(None), async {
            let answer = address.handle(state, who, form, blobs).await;
            (answer, SLOT.with(RefCell::take).unwrap_or_default())
        })
        .await;
    let told = match answer {
        Ok(answer) => told(op_id, &answer, &outcome),
        Err(error) if error.status_code().is_server_error() => return Err(error),
        Err(error) => Told::refused(
            op_id,
            match error.status_code() {
                StatusCode::FORBIDDEN => "not_allowed",
                StatusCode::NOT_FOUND => "bad_id",
                _ => "invalid",
            },
            &error.words(),
        ),
    };
    Ok((told, outcome))
}

/// What a handler's answer means.
fn told(op_id: Uuid, answer: &HttpResponse, outcome: &Outcome) -> Told {
    if answer.status() == StatusCode::SEE_OTHER {
        let next = answer.headers().get(header::LOCATION);
        return Told {
            op_id,
            status: "applied".to_owned(),
            replayed: outcome.replayed,
            next: next.and_then(|next| next.to_str().ok()).map(str::to_owned),
            ..Told::default()
        };
    }
    if let Some(by) = outcome.waits_for {
        return Told::blocked(op_id, Some(by));
    }
    if !outcome.conflicts.is_empty() {
        return Told {
            op_id,
            status: "conflict".to_owned(),
            replayed: outcome.replayed,
            ..Told::default()
        };
    }
    let problems = if outcome.problems.is_empty() {
        vec![FieldProblem::new(
            "",
            "The server asks something about this. Open it with “Fix it” to see what.",
        )]
    } else {
        outcome.problems.clone()
    };
    let code = if outcome.reused {
        "op_id_reused"
    } else {
        "invalid"
    };
    Told::rejected(op_id, code, problems)
}

/// The forms that can be sent from a phone that was away: the address's pattern, with what is in its holes.
enum Address {
    Tick(Uuid),
    CloseReceipt(Uuid),
    Swap(Uuid, Uuid),
    Back(Uuid, Uuid),
    Listed(Uuid, Uuid),
    Extra(Uuid, Uuid),
    Came(Uuid, Uuid),
    Photo(Uuid),
    Add(Uuid, String),
    Edit(Uuid, String, Uuid),
    Done(Uuid, String, Uuid),
    Struck(Uuid, String, Uuid),
    Act(Uuid, String, Uuid, String),
}

impl Address {
    /// The form at this path; none where there is none, or where it isn't one for phones that are away.
    fn of(action: &str) -> Option<Self> {
        let path = action.split(['?', '#']).next().unwrap_or("");
        let mut parts = path.strip_prefix("/jobs/")?.split('/');
        let id = |text: &str| Uuid::try_parse(text).ok();
        let job = id(parts.next()?)?;
        let rest: Vec<&str> = parts.collect();
        Some(match rest.as_slice() {
            ["buy-list", "tick"] => Self::Tick(job),
            ["buy-list", "receipt"] => Self::CloseReceipt(job),
            ["line", item, "swap"] => Self::Swap(job, id(item)?),
            ["line", item, "back"] => Self::Back(job, id(item)?),
            ["line", item, "listed"] => Self::Listed(job, id(item)?),
            ["receipt", receipt, "line"] => Self::Extra(job, id(receipt)?),
            ["order", order, "came"] => Self::Came(job, id(order)?),
            ["photo"] => Self::Photo(job),
            // These have addresses of their own and are made where there is a server.
            ["order" | "prices", ..] | ["week", _, "close"] => return None,
            [kind] => Self::Add(job, (*kind).to_owned()),
            [kind, thing] => Self::Edit(job, (*kind).to_owned(), id(thing)?),
            [kind, thing, "done"] => Self::Done(job, (*kind).to_owned(), id(thing)?),
            [kind, thing, "struck"] => Self::Struck(job, (*kind).to_owned(), id(thing)?),
            [kind, thing, "act", act] => {
                Self::Act(job, (*kind).to_owned(), id(thing)?, (*act).to_owned())
            }
            _ => return None,
        })
    }

    fn pattern(&self) -> &'static str {
        match self {
            Self::Tick(_) => "/jobs/{job}/buy-list/tick",
            Self::CloseReceipt(_) => "/jobs/{job}/buy-list/receipt",
            Self::Swap(..) => "/jobs/{job}/line/{item}/swap",
            Self::Back(..) => "/jobs/{job}/line/{item}/back",
            Self::Listed(..) => "/jobs/{job}/line/{item}/listed",
            Self::Extra(..) => "/jobs/{job}/receipt/{id}/line",
            Self::Came(..) => "/jobs/{job}/order/{id}/came",
            Self::Photo(_) => "/jobs/{job}/photo",
            Self::Add(..) => "/jobs/{job}/{kind}",
            Self::Edit(..) => "/jobs/{job}/{kind}/{id}",
            Self::Done(..) => "/jobs/{job}/{kind}/{id}/done",
            Self::Struck(..) => "/jobs/{job}/{kind}/{id}/struck",
            Self::Act(..) => "/jobs/{job}/{kind}/{id}/act/{act}",
        }
    }

    fn least_role(&self) -> scantling_takeoff::record::Role {
        let row = ROUTES
            .iter()
            .find(|row| row.method == "POST" && row.path == self.pattern());
        row.map_or(scantling_takeoff::record::Role::Lead, |row| row.role)
    }

    fn job(&self) -> Uuid {
        match self {
            Self::Tick(job)
            | Self::CloseReceipt(job)
            | Self::Photo(job)
            | Self::Swap(job, _)
            | Self::Back(job, _)
            | Self::Listed(job, _)
            | Self::Extra(job, _)
            | Self::Came(job, _)
            | Self::Add(job, _)
            | Self::Edit(job, ..)
            | Self::Done(job, ..)
            | Self::Struck(job, ..)
            | Self::Act(job, ..) => *job,
        }
    }

    async fn handle(
        self,
        state: &web::Data<State>,
        who: &web::ReqData<Who>,
        form: &Form,
        blobs: &[Blob],
    ) -> Result<HttpResponse, HttpError> {
        let (state, who) = (state.clone(), who.clone());
        let body = web::Form(form.fields.clone());
        match self {
            Self::Tick(job) => pages::buy::tick(state, who, job.into(), body).await,
            Self::CloseReceipt(job) => {
                pages::buy::close_receipt(state, who, job.into(), body).await
            }
            Self::Swap(job, item) => pages::line::swap(state, who, (job, item).into(), body).await,
            Self::Back(job, item) => pages::line::back(state, who, (job, item).into(), body).await,
            Self::Listed(job, item) => {
                pages::line::listed(state, who, (job, item).into(), body).await
            }
            Self::Extra(job, id) => pages::line::extra(state, who, (job, id).into(), body).await,
            Self::Came(job, id) => pages::came::save_came(state, who, (job, id).into(), body).await,
            Self::Photo(job) => {
                pages::photo::announce(&state, &who, job, form.fields.clone(), blobs).await
            }
            Self::Add(job, kind) => pages::add::thing(state, who, (job, kind).into(), body).await,
            Self::Edit(job, kind, id) => {
                pages::edit::thing(state, who, (job, kind, id).into(), body).await
            }
            Self::Done(job, kind, id) => {
                pages::done::save_done(state, who, (job, kind, id).into(), body).await
            }
            Self::Struck(job, kind, id) => {
                pages::done::save_struck(state, who, (job, kind, id).into(), body).await
            }
            Self::Act(job, kind, id, act) => {
                pages::act::thing(state, who, (job, kind, id, act).into(), body).await
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const JOB: &str = "0193a1b0-0000-7000-8000-000000000001";

    #[test]
    fn every_form_for_a_phone_has_a_row_in_the_table_of_routes() {
        for path in [
            "buy-list/tick",
            "buy-list/receipt",
            "photo",
            "wall",
            "line/0193a1b0-0000-7000-8000-000000000002/swap",
            "line/0193a1b0-0000-7000-8000-000000000002/back",
            "line/0193a1b0-0000-7000-8000-000000000002/listed",
            "receipt/0193a1b0-0000-7000-8000-000000000002/line",
            "order/0193a1b0-0000-7000-8000-000000000002/came",
            "wall/0193a1b0-0000-7000-8000-000000000002",
            "shore/0193a1b0-0000-7000-8000-000000000002/done",
            "shore/0193a1b0-0000-7000-8000-000000000002/struck",
            "shore/0193a1b0-0000-7000-8000-000000000002/act/state",
        ] {
            let address = Address::of(&format!("/jobs/{JOB}/{path}?week=1#x")).unwrap();
            assert_eq!(address.job().to_string(), JOB);
            let row = ROUTES
                .iter()
                .find(|row| row.method == "POST" && row.path == address.pattern());
            assert!(row.is_some(), "{path}: {}", address.pattern());
        }
    }

    #[test]
    fn what_needs_a_server_and_what_is_elsewhere_is_no_form_for_a_phone() {
        for action in [
            "/jobs",
            "/sign-in",
            "https://elsewhere.example/jobs/x",
            &format!("/jobs/{JOB}/prices"),
            &format!("/jobs/{JOB}/order"),
            &format!("/jobs/{JOB}/order/{JOB}/send"),
            &format!("/jobs/{JOB}/week/{JOB}/close"),
            &format!("/jobs/{JOB}/a/b/c/d/e"),
        ] {
            assert!(Address::of(action).is_none(), "{action}");
        }
    }
}
