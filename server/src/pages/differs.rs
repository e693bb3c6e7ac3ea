//! Fields that two people wrote at once, and the forms that settle each.

use actix_web::{HttpResponse, web};
use scantling_db::{OpenConflict, Who};
use scantling_takeoff::record::{Job, Role, registry};
use scantling_web::layout::{Main, Note, Wrong};
use scantling_web::pages::differs::{self, Answer, Differs};
use scantling_web::parts::form::Form;

use super::{rows, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<uuid::Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job_id = *job;
    let job = state.job(job_id).await?;
    let (open, names, writers) = state
        .read(move |tx| {
            let open = scantling_db::conflicts(tx, job_id)?;
            let mut writers = Vec::new();
            for one in &open {
                writers.push(scantling_db::who_wrote(tx, one.entity_id, &one.field)?);
            }
            Ok((open, scantling_db::people(tx)?, writers))
        })
        .await?;
    let all = open
        .iter()
        .zip(writers)
        .filter_map(|(one, writer)| {
            let of = job.get(one.entity_id)?;
            things::may_see(&job, of, &who).ok()?;
            let stands = writer.map_or_else(String::new, |(by, at)| {
                format!(
                    "{}, {}",
                    things::person(&names, by),
                    clock::stamp_minute(&at)
                )
            });
            let wanted = format!(
                "{}, {}",
                things::person(&names, one.by),
                clock::stamp_minute(&one.at)
            );
            let may = who.role >= Role::Crew;
            Some(Differs {
                id: format!("d-{}-{}", one.op_id.simple(), one.field),
                of: (
                    format!("/jobs/{job_id}/{}/{}", of.kind, of.id),
                    rows::title(&job, of),
                ),
                field: label(&job, one),
                stands: Answer {
                    text: one.server_value.join(", "),
                    by: stands,
                },
                wanted: Answer {
                    text: one.yours.join(", "),
                    by: wanted,
                },
                keep: may.then(|| settle(&job, one, Settles::Keep)).flatten(),
                take: may.then(|| settle(&job, one, Settles::Take)).flatten(),
            })
        })
        .collect();
    let view = differs::View {
        shell: shell::shell(&job, "Two answers", "", clock::today()),
        up: (format!("/jobs/{job_id}"), "This week".to_owned()),
        all,
    };
    Ok(html(differs::page(&view)))
}

/// What other pages say where something is open; none where nothing is.
pub(crate) fn note(open: usize) -> Option<Note> {
    let text = match open {
        0 => return None,
        1 => "Two people wrote one field at once. See “Two answers” in the index.".to_owned(),
        n => format!(
            "{n} fields were written by two people at once. See “Two answers” in the index."
        ),
    };
    Some(Note {
        bad: Wrong::Yes,
        lead: "Differs.".to_owned(),
        text,
    })
}

fn label(job: &Job, one: &OpenConflict) -> String {
    let field = job.get(one.entity_id).and_then(|of| {
        let all = registry::fields_of(of.kind);
        all.iter().find(|field| field.name == one.field)
    });
    field.map_or_else(
        || {
            if one.field == "state" {
                "State".to_owned()
            } else {
                one.field.clone()
            }
        },
        |field| field.label.to_owned(),
    )
}

/// How it is settled.
#[derive(Clone, Copy)]
enum Settles {
    Keep,
    Take,
}

/// The edit form of the one field, on the revision that stands; none for a change's state, which has forms of its own.
fn settle<'a>(job: &Job, one: &OpenConflict, settles: Settles) -> Option<Form<'a>> {
    let of = job.get(one.entity_id)?;
    registry::edits(of.kind)?.field(&one.field)?;
    let (values, was, save) = match settles {
        // Said again on the revision that stands: what differs was seen, and is put aside.
        Settles::Keep => (&one.server_value, &one.yours, "Keep this"),
        Settles::Take => (&one.yours, &one.server_value, "Put this in its place"),
    };
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("next".to_owned(), format!("/jobs/{}/differs", job.id)),
        (format!("base.{}", one.field), one.server_rev.to_string()),
    ];
    hidden.extend(
        was.iter()
            .map(|text| (format!("was.{}", one.field), text.clone())),
    );
    if values.is_empty() {
        hidden.push((one.field.clone(), String::new()));
    }
    hidden.extend(values.iter().map(|text| (one.field.clone(), text.clone())));
    let act = match settles {
        Settles::Keep => "keep",
        Settles::Take => "take",
    };
    Some(Form {
        action: format!("/jobs/{}/{}/{}", job.id, of.kind, of.id),
        kind: registry::edits(of.kind)?.name,
        id: format!("{act}-{}-{}", one.op_id.simple(), one.field),
        hidden,
        fields: Vec::new(),
        problems: Vec::new(),
        save: save.to_owned(),
        main: Main::No,
    })
}
