//! A thing's history: its entries, a receipt's with those of its lines, in words.

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{Item, OrderLine, order_revision};
use scantling_takeoff::record::history::{Changed, Entered, Kept, Step, steps};
use scantling_takeoff::record::{Does, Field, FieldType, Job, Kind, OpKind, Record, Role, choices};
use scantling_takeoff::units::{Length, Money};
use scantling_web::pages::history;
use uuid::Uuid;

use super::{change, on_hand, rows, shell, things};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The page. Also of a thing that was taken out of the record.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let job = state.job(job_id).await?;
    // A count by hand has no thing of its own, but its entry.
    let count = on_hand::counted(id);
    let record = job
        .ever(id)
        .or(Some(&count))
        .filter(|record| record.kind.name() == kind)
        .ok_or(HttpError::NotFound)?;
    things::may_see(&job, record, &who)?;
    let lines = job
        .records()
        .filter(|line| line.kind == Kind::Bought && line.to("receipt") == Some(id));
    let of: Vec<Uuid> = std::iter::once(id)
        .chain(lines.map(|line| line.id))
        .collect();
    let (entered, names) = state
        .read(move |tx| Ok((scantling_db::entered(tx, &of)?, scantling_db::people(tx)?)))
        .await?;
    let is_count = job.ever(id).is_none();
    if is_count && !entered.iter().any(|one| one.kind == "stock.count") {
        return Err(HttpError::NotFound);
    }
    let words = Words {
        job: &job,
        who: &who,
        names: &names,
        of: id,
    };
    let name = if is_count {
        "a count by hand".to_owned()
    } else {
        rows::title(&job, record)
    };
    let base = format!("/jobs/{job_id}");
    let up = if is_count {
        (format!("{base}/on-hand"), "On hand".to_owned())
    } else if record.kind == Kind::Job {
        (format!("{base}/settings"), "Settings".to_owned())
    } else if record.gone.is_some() {
        (base, "This week".to_owned())
    } else {
        (format!("{base}/{kind}/{id}"), name.clone())
    };
    let title = format!("History of {name}");
    let view = history::View {
        shell: shell::shell(&job, &title, "", clock::today()),
        up,
        of: name,
        steps: steps(entered)
            .into_iter()
            .map(|step| words.step(step))
            .collect(),
    };
    Ok(html(history::page(&view)))
}

/// What words are made of.
struct Words<'a> {
    job: &'a Job,
    who: &'a Who,
    names: &'a things::People,
    of: Uuid,
}

impl Words<'_> {
    fn step(&self, step: Step) -> history::Step {
        let Step { entered, changed } = step;
        let kind = OpKind::named(&entered.kind);
        let papers = self.papers(kind, &changed);
        let to = self
            .job
            .ever(entered.entity_id)
            .filter(|record| record.id != self.of)
            .map_or_else(String::new, |record| rows::title(self.job, record));
        let said = if entered.too_late {
            "It was out of the record by then: nothing was done.".to_owned()
        } else if changed.is_empty() && entered.kept.is_empty() && what_is_edited(kind) {
            "It says what stood already.".to_owned()
        } else {
            String::new()
        };
        history::Step {
            what: done(&entered, kind),
            to,
            by: format!(
                "{}, {}, from {}",
                things::person(self.names, entered.by),
                clock::stamp_minute(&entered.at),
                entered.device
            ),
            changed: changed
                .iter()
                .filter(|changed| !is_paper(kind, &changed.field))
                .filter_map(|changed| self.changed(kind, changed))
                .collect(),
            kept: entered
                .kept
                .iter()
                .filter_map(|kept| self.kept(kind, kept))
                .collect(),
            papers,
            said,
        }
    }

    /// An order's papers: their words, and each with its size and where it is.
    fn papers(&self, kind: Option<&OpKind>, changed: &[Changed]) -> Option<history::Papers> {
        let order = self.job.ever(self.of).filter(|of| of.kind == Kind::Order)?;
        let base = format!("/jobs/{}/order/{}", self.job.id, order.id);
        let all: Vec<(String, String)> = changed
            .iter()
            .filter(|one| is_paper(kind, &one.field))
            .map(|one| {
                let bytes = order.text(&one.field).map_or(0, str::len);
                let name = match one.field.as_str() {
                    "csv" => "CSV",
                    "text" => "text",
                    _ => "print",
                };
                (
                    format!("{base}/{}", one.field),
                    format!("{name}, {}", size_words(bytes)),
                )
            })
            .collect();
        let words = format!("Papers of revision {}", order_revision(order));
        (!all.is_empty()).then_some(history::Papers { words, all })
    }

    fn changed(&self, kind: Option<&OpKind>, changed: &Changed) -> Option<history::Changed> {
        let label = self.label(kind, &changed.field)?;
        Some(history::Changed {
            label,
            now: self.texts(kind, &changed.field, &changed.now),
            before: self.texts(kind, &changed.field, &changed.before),
        })
    }

    fn kept(&self, kind: Option<&OpKind>, kept: &Kept) -> Option<(String, String, String)> {
        Some((
            self.label(kind, &kept.field)?,
            self.texts(kind, &kept.field, &kept.yours),
            self.texts(kind, &kept.field, &kept.stood),
        ))
    }

    /// A field's label; none for a price where the reader may see none.
    fn label(&self, kind: Option<&OpKind>, name: &str) -> Option<String> {
        match field(kind, name) {
            Some(field) if field.kind == FieldType::Money && self.who.role < Role::Crew => None,
            Some(field) => Some(field.label.to_owned()),
            None => Some(change::capital(name)),
        }
    }

    fn texts(&self, kind: Option<&OpKind>, name: &str, texts: &[String]) -> String {
        let of = field(kind, name);
        texts
            .iter()
            .map(|text| self.text(of, name, text))
            .collect::<Vec<_>>()
            .join(if name == "line" { " · " } else { ", " })
    }

    /// A text as the thing's own page shows it.
    fn text(&self, field: Option<&Field>, name: &str, text: &str) -> String {
        if name == "state" {
            return chosen(choices::STATE, text)
                .unwrap_or(if text == "done" { "Done" } else { text })
                .to_owned();
        }
        let Some(field) = field else {
            return text.to_owned();
        };
        if name == "line"
            && let Ok(line) = OrderLine::from_text(text)
        {
            return format!("{} × {}", line.count, line.words);
        }
        let taken = Uuid::parse_str(text).ok().filter(|_| name == "stick");
        if let Some(row) = taken.and_then(|id| self.job.ledger.rows.get(&id)) {
            return row.item.words(self.job);
        }
        let read = field.read(text, self.job.settings.units).ok();
        let number = read.as_ref().and_then(|value| value.number);
        match (field.kind, number) {
            (FieldType::Ref(_), _) => read
                .and_then(|value| value.to)
                .and_then(|id| self.job.ever(id))
                .map_or_else(|| text.to_owned(), |to| self.name_of(to)),
            (FieldType::Choice(words), _) => chosen(words, text).unwrap_or(text).to_owned(),
            (FieldType::Length { .. }, Some(n)) => Length::from_64ths(n).feet_inches(),
            (FieldType::Money, Some(n)) => Money::from_cents(n).to_string(),
            _ => Item::from_key(text)
                .ok()
                .filter(|_| matches!(name, "item" | "stick" | "back"))
                .map_or_else(|| text.to_owned(), |item| item.words(self.job)),
        }
    }

    fn name_of(&self, record: &Record) -> String {
        rows::title(self.job, record)
    }
}

/// Whether a field is a paper that the server made, kept to the byte.
fn is_paper(kind: Option<&OpKind>, name: &str) -> bool {
    field(kind, name).is_some_and(|field| field.kind == FieldType::Document)
}

/// `812 bytes`, `14 kB`.
fn size_words(bytes: usize) -> String {
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        more => format!("{} kB", more.div_ceil(1_000)),
    }
}

fn what_is_edited(kind: Option<&OpKind>) -> bool {
    kind.is_some_and(|kind| kind.does == Does::Edit)
}

/// The field that an entry calls so: its own, else one of the thing's.
fn field(kind: Option<&OpKind>, name: &str) -> Option<&'static Field> {
    let kind = kind?;
    kind.fields.iter().find(|field| field.name == name)
}

fn chosen(words: &[(&str, &'static str)], text: &str) -> Option<&'static str> {
    words
        .iter()
        .find(|(stored, _)| *stored == text)
        .map(|(_, shown)| *shown)
}

/// What an entry did, in words.
fn done(entered: &Entered, kind: Option<&OpKind>) -> String {
    let act = entered.kind.split('.').next_back().unwrap_or("");
    match (kind.map(|kind| kind.does), act) {
        (Some(Does::Add), _) => "Added".to_owned(),
        (Some(Does::Edit), _) => "Changed".to_owned(),
        (Some(Does::Remove), "withdraw") => "Withdrawn".to_owned(),
        (Some(Does::Remove), _) => "Taken out of the record".to_owned(),
        (_, "done") => "Marked done".to_owned(),
        (_, "undone") => "Marked not done".to_owned(),
        (_, "reverse") => "Taken back".to_owned(),
        (_, "count") => "Counted".to_owned(),
        (_, act) => change::capital(&act.replace('_', " ")),
    }
}
