//! Any thing of the record: its list with the form that adds one, its own page, the form that changes it, its readings.

use actix_web::{HttpResponse, web};
use std::collections::BTreeMap;

use scantling_db::{PersonLine, Who};
use scantling_takeoff::record::{
    Agreement, FieldProblem, Job, Kind, OpKind, Record, Role, Spot, What, registry,
};
use scantling_takeoff::units::Length;
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::{form_page, list, thing};
use scantling_web::parts::caution::With;
use scantling_web::parts::form::Form;
use scantling_web::parts::reading_row::ReadingRow;
use uuid::Uuid;

use super::{change, line, photos, receipt, rows, shell};
use crate::clock;
use crate::error::{HttpError, html, see};
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};
use crate::state::State;

/// Everyone, by id.
pub(crate) type People = BTreeMap<Uuid, PersonLine>;
type Asked = web::Query<Vec<(String, String)>>;

fn kind_of(name: &str) -> Result<Kind, HttpError> {
    Kind::named(name)
        .filter(|kind| *kind != Kind::Job)
        .ok_or(HttpError::NotFound)
}

/// Whether a thing may be shown: what bears prices is for the crew, not for guests; and so is a photo or a note of such a thing.
pub(crate) fn may_see(job: &Job, record: &Record, who: &Who) -> Result<(), HttpError> {
    may_see_kind(record.kind, who)?;
    let of = match record.kind {
        Kind::Photo | Kind::Note => record.to("of").and_then(|id| job.ever(id)),
        _ => None,
    };
    of.map_or(Ok(()), |of| may_see_kind(of.kind, who))
}

/// Whether things of a kind may be shown.
fn may_see_kind(kind: Kind, who: &Who) -> Result<(), HttpError> {
    let priced = matches!(
        kind,
        Kind::Price | Kind::Receipt | Kind::Bought | Kind::Stock | Kind::Order
    );
    if priced && who.role < Role::Crew {
        return Err(HttpError::NotAllowed(Role::Crew));
    }
    Ok(())
}

/// Things of one kind, and the form that adds one.
pub(crate) async fn list(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String)>,
    asked: Asked,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind) = path.into_inner();
    let kind = kind_of(&kind)?;
    let adds = registry::adds(kind).ok_or(HttpError::NotFound)?;
    let job = state.job(job_id).await?;
    may_see_kind(kind, &who)?;
    if kind == Kind::Hold {
        return Ok(see(&format!("/jobs/{job_id}/holds")));
    }
    let today = clock::today();
    let asked = asked.into_inner();
    let week = shell::week_now(&job, today);
    let filled = view::prefilled(kind, &job, week, &asked);
    let next = filled.first("next").unwrap_or("").to_owned();
    let of = filled
        .typed("of")
        .and_then(|text| Uuid::parse_str(text).ok())
        .and_then(|id| job.get(id));
    let draft = Draft {
        job: Some(&job),
        problems: Vec::new(),
        id: "f".to_owned(),
        next,
        save: shell::save_words(kind),
        main: Main::Yes,
        filled,
    };
    let title = if kind.is_change() {
        kind.title()
    } else {
        kind.plural()
    };
    let heading = shell::add_words(kind);
    let form = match (kind, of) {
        (Kind::Reading, Some(of)) => view::measuring(&job, of, draft),
        _ => view::adding(adds, Some(job_id), draft),
    };
    let mut all: Vec<&Record> = job
        .all(kind)
        .filter(|record| may_see(&job, record, &who).is_ok())
        .collect();
    if kind == Kind::Receipt {
        all.sort_by_key(|receipt| std::cmp::Reverse(receipt.number("day")));
    }
    let all: Vec<_> = all
        .into_iter()
        .map(|record| rows::row(&job, record))
        .collect();
    let page = list::View {
        shell: shell::shell(&job, title, &format!("/{kind}"), today),
        up: (format!("/jobs/{job_id}"), "This week".to_owned()),
        sub: super::changes::what_for(kind).to_owned(),
        rows: if kind == Kind::Reading {
            Vec::new()
        } else {
            all
        },
        empty: if kind == Kind::Reading {
            String::new()
        } else {
            format!("No {} yet.", kind.title().to_lowercase())
        },
        add: heading,
        form,
        first: if kind.is_change() || kind == Kind::Reading {
            list::First::Form
        } else {
            list::First::Things
        },
        caution: kind.is_change().then(|| With {
            kind,
            year_built: year_built(&job),
        }),
    };
    Ok(html(list::page(&page)))
}

/// The year that the house was built.
pub(crate) fn year_built(job: &Job) -> Option<i64> {
    job.record().and_then(|record| record.number("year_built"))
}

/// One thing.
pub(crate) async fn one(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid)>,
    asked: Asked,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let kind = kind_of(&kind)?;
    let job = state.job(job_id).await?;
    let record = job
        .get(id)
        .filter(|record| record.kind == kind)
        .ok_or(HttpError::NotFound)?;
    may_see(&job, record, &who)?;
    let (names, pictures) = state
        .read(move |tx| {
            Ok((
                scantling_db::people(tx)?,
                scantling_db::pictures(tx, job_id)?,
            ))
        })
        .await?;
    let asked = Posted(asked.into_inner());
    let photos = photos::of(&job, record, &who, (&pictures, &names));
    if kind.is_change() {
        return Ok(html(change::page(
            &job, record, &names, &asked, photos, who.role,
        )));
    }
    let title = match kind {
        Kind::Photo
        | Kind::Receipt
        | Kind::Bought
        | Kind::Word
        | Kind::Event
        | Kind::Hold
        | Kind::Skip => rows::title(&job, record),
        _ => record.name().to_owned(),
    };
    let section = match kind {
        Kind::Receipt | Kind::Bought => "/receipt",
        Kind::Word | Kind::Event | Kind::Hold | Kind::Skip => "/holds",
        _ => "/house",
    };
    let mut shell = shell::shell(&job, &title, section, clock::today());
    shell.note = saved(&job, &asked);
    let here = format!("/jobs/{job_id}/{kind}/{id}");
    let measurable = What::for_kind(kind).next().is_some();
    if measurable {
        shell.bar = shell::bar(vec![("#add".to_owned(), "Measure")], Main::No);
        shell.bar.class = "form";
    }
    let view = thing::View {
        up: up(&job, record),
        sub: sub(&job, record),
        measure: measurable
            .then(|| view::measuring(&job, record, measure_draft(&job, record, &asked, &here))),
        readings: readings_of(&job, record, &names, &here),
        facts: rows::known(&job, record),
        parts: match kind {
            Kind::Week => super::week::parts(&job, record, who.role),
            Kind::Supplier => super::money_of::parts(&job, record, who.role),
            _ => parts(&job, record),
        },
        sums: if kind == Kind::Receipt {
            receipt::sums(&job, record)
        } else {
            Vec::new()
        },
        differs: if kind == Kind::Receipt {
            receipt::differs(&job, record)
        } else {
            String::new()
        },
        csv: super::supplier::yard_csv(&job, record, &who),
        notes: notes(&job, id, &names),
        note: registry::ANYTHING
            .contains(&kind)
            .then(|| view::noting(&job, id, note_draft(&job, &here, "note"))),
        picture: (kind == Kind::Photo)
            .then(|| photos::large(&job, record, &who, (&pictures, &names))),
        photos,
        remove: removing(&job, record, &who),
        history: format!("{here}/history"),
        edit: registry::edits(kind).map(|_| format!("{here}/edit")),
        all_readings: measurable.then(|| format!("{here}/readings")),
        shell,
    };
    Ok(html(thing::page(&view)))
}

/// Kinds of entry that take a thing out of the record from its own page, with the words on the button.
const REMOVED_HERE: [(&str, &str); 5] = [
    ("photo.remove", "Take it out"),
    ("word.withdraw", "Withdraw it"),
    ("event.withdraw", "Withdraw it"),
    ("hold.undo", "Take the sign-off back"),
    ("skip.undo", "Take the skip back"),
];

/// The form that takes such a thing out of the record, for who may.
fn removing(job: &Job, record: &Record, who: &Who) -> Option<Form<'static>> {
    let (removes, save) = REMOVED_HERE
        .into_iter()
        .filter_map(|(name, save)| Some((OpKind::named(name)?, save)))
        .find(|(kind, _)| record.kind == kind.kind && who.role >= kind.least)?;
    let act = removes.name.split_once('.').map_or("", |(_, act)| act);
    let (list, place) = if record.kind == Kind::Photo {
        ("photo", "photos")
    } else {
        ("holds", "holds")
    };
    let next = record
        .to("of")
        .and_then(|id| job.get(id))
        .filter(|of| record.kind == Kind::Photo || of.kind.is_change())
        .map_or_else(
            || format!("/jobs/{}/{list}", job.id),
            |of| format!("/jobs/{}/{}/{}#{place}", job.id, of.kind, of.id),
        );
    let draft = Draft {
        job: Some(job),
        filled: Posted::default(),
        problems: Vec::new(),
        id: "remove".to_owned(),
        next,
        save: save.to_owned(),
        main: Main::No,
    };
    Some(view::acting(removes, act, record, draft, job.id))
}

/// The banner that reads a saved length back.
pub(crate) fn saved(job: &Job, asked: &Posted) -> Option<scantling_web::layout::Note> {
    let record = job.get(Uuid::parse_str(asked.typed("saved")?).ok()?)?;
    let length = record.length("raw")?;
    let of = record.to("of").map_or("", |id| job.name(id));
    Some(shell::saved_note(format!(
        "{of}: {}",
        length.echo(job.settings.units)
    )))
}

/// The draft of a form that adds a reading: what the address asks for, else the first dimension not read yet.
pub(crate) fn measure_draft<'a>(
    job: &'a Job,
    record: &Record,
    asked: &Posted,
    here: &str,
) -> Draft<'a> {
    let mut filled = asked.clone();
    filled
        .0
        .retain(|(name, _)| matches!(name.as_str(), "what" | "side" | "place" | "number" | "by"));
    if filled.typed("what").is_none() {
        let unread = What::for_kind(record.kind).find(|what| {
            !job.measured_of(record.id)
                .any(|(spot, _)| spot.what == *what)
        });
        let first = unread.or_else(|| What::for_kind(record.kind).next());
        if let Some(what) = first {
            filled.0.push(("what".to_owned(), what.name().to_owned()));
        }
    }
    if filled.typed("by").is_none() {
        filled.0.push(("by".to_owned(), "tape".to_owned()));
    }
    Draft {
        job: Some(job),
        filled,
        problems: Vec::new(),
        id: "r".to_owned(),
        next: format!("{here}#read"),
        save: "Save reading".to_owned(),
        main: Main::Yes,
    }
}

/// The draft of a form that adds a note.
pub(crate) fn note_draft<'a>(job: &'a Job, next: &str, id: &str) -> Draft<'a> {
    Draft {
        job: Some(job),
        filled: Posted::default(),
        problems: Vec::new(),
        id: id.to_owned(),
        next: format!("{next}#notes"),
        save: "Save note".to_owned(),
        main: Main::No,
    }
}

/// A thing's readings as rows.
pub(crate) fn readings_of<'a>(
    job: &'a Job,
    record: &Record,
    names: &People,
    here: &str,
) -> Vec<ReadingRow<'a>> {
    job.measured_of(record.id)
        .map(|(spot, measured)| {
            let taken = measured
                .all
                .iter()
                .map(|one| {
                    let by = job
                        .get(one.id)
                        .map(|reading| person(names, reading.by))
                        .unwrap_or_default();
                    format!("{} {by}, {}", one.value, clock::stamp_day(&one.at))
                })
                .collect();
            let number = if spot.number > 0 {
                spot.number.to_string()
            } else {
                String::new()
            };
            ReadingRow {
                what: spot_words(job, spot),
                measured,
                taken,
                measure: format!(
                    "{here}?what={}&side={}&place={}&number={number}#add",
                    spot.what.name(),
                    spot.side,
                    query(&spot.place)
                ),
                units: job.settings.units,
            }
        })
        .collect()
}

/// What and where on a thing, in words: `Ceiling height, Kitchen side, middle`.
pub(crate) fn spot_words(job: &Job, spot: &Spot) -> String {
    let mut words = vec![spot.what.title().to_owned()];
    if !spot.side.is_empty() {
        words.push(side_words(job, spot.of, &spot.side));
    }
    if !spot.place.is_empty() {
        words.push(spot.place.clone());
    }
    if spot.number > 0 {
        words.push(format!("number {}", spot.number));
    }
    words.join(", ")
}

/// A side of a wall, or of shoring along it, by the room on that side.
fn side_words(job: &Job, of: Uuid, side: &str) -> String {
    let of = job.get(of);
    let wall = match of {
        Some(shore) if shore.kind == Kind::Shore => shore.to("wall").and_then(|id| job.get(id)),
        of => of.filter(|record| record.kind == Kind::Wall),
    };
    let room = wall.and_then(|wall| wall.to(if side == "a" { "room_a" } else { "room_b" }));
    match room {
        Some(room) => format!("{} side", job.name(room)),
        None if side == "a" => "first room’s side".to_owned(),
        None => "other side".to_owned(),
    }
}

/// A text for an address's query: everything but plain letters and digits escaped.
pub(crate) fn query(text: &str) -> String {
    text.bytes()
        .map(|byte| {
            if byte.is_ascii_alphanumeric() {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}

/// A person's name.
pub(crate) fn person(names: &People, id: Uuid) -> String {
    names
        .get(&id)
        .map_or_else(|| "somebody".to_owned(), |person| person.name.clone())
}

/// Notes about a thing, newest first.
pub(crate) fn notes(job: &Job, of: Uuid, names: &People) -> Vec<thing::NoteRow> {
    let mut all: Vec<&Record> = job
        .all(Kind::Note)
        .filter(|note| note.to("of") == Some(of))
        .collect();
    all.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    all.into_iter()
        .map(|note| thing::NoteRow {
            text: note.text("text").unwrap_or("").to_owned(),
            by: format!("{}, {}", person(names, note.by), clock::stamp_day(&note.at)),
        })
        .collect()
}

fn up(job: &Job, record: &Record) -> (String, String) {
    let base = format!("/jobs/{}", job.id);
    match record.kind {
        Kind::Room
        | Kind::Wall
        | Kind::Member
        | Kind::Run
        | Kind::Storey
        | Kind::Layer
        | Kind::Opening => (format!("{base}/house"), "House".to_owned()),
        Kind::Price => (format!("{base}/prices"), "Price book".to_owned()),
        Kind::Photo => {
            let of = record.to("of").and_then(|id| job.get(id));
            of.map_or((format!("{base}/photo"), "Photos".to_owned()), |of| {
                let href = format!("{base}/{}/{}", of.kind, of.id);
                (href, rows::title(job, of))
            })
        }
        Kind::Stock => (format!("{base}/on-hand"), "On hand".to_owned()),
        Kind::Word | Kind::Event | Kind::Hold | Kind::Skip => {
            (format!("{base}/holds"), "Hold points".to_owned())
        }
        kind => (format!("{base}/{kind}"), kind.plural().to_owned()),
    }
}

fn sub(job: &Job, record: &Record) -> String {
    match record.kind {
        Kind::Wall => {
            let rooms: Vec<&str> = ["room_a", "room_b"]
                .iter()
                .filter_map(|side| record.to(side))
                .map(|id| job.name(id))
                .collect();
            let zero = record
                .text("zero_end")
                .map_or_else(|| "not said yet".to_owned(), str::to_owned);
            let bearing = match (record.text("bearing"), record.text("bearing_why")) {
                (Some("yes"), why) => format!("Carries load: yes. {}", why.unwrap_or("")),
                (Some("no"), why) => format!("Carries load: no. {}", why.unwrap_or("")),
                _ => "Carries load: not known yet, so it counts as carrying.".to_owned(),
            };
            format!("{}. Zero end: {zero}. {bearing}", rooms.join(" | "))
        }
        Kind::Run | Kind::Member => rows::choice(record, "piece"),
        Kind::Week => super::week::sub(record),
        _ => String::new(),
    }
}

/// Lines of a receipt in the order in which they were booked.
fn as_booked<'a>(job: &Job, mut lines: Vec<&'a Record>) -> Vec<&'a Record> {
    let moved = &job.ledger.movements;
    lines.sort_by_key(|line| moved.iter().position(|m| m.about == line.id));
    lines
}

/// Other things that belong to this one, with the forms that add them.
fn parts(job: &Job, record: &Record) -> Vec<thing::Part<'static>> {
    let of_field = |kind: Kind, field: &str| -> Vec<&Record> {
        job.all(kind)
            .filter(|other| other.to(field) == Some(record.id))
            .collect()
    };
    let part = |heading: &str, kind: Kind, rows: Vec<&Record>, fixed: &str| thing::Part {
        heading: heading.to_owned(),
        anchor: kind.name().to_owned(),
        rows: rows.into_iter().map(|r| rows::row(job, r)).collect(),
        acts: BTreeMap::new(),
        empty: format!("No {} yet.", kind.title().to_lowercase()),
        form: registry::adds(kind).map(|adds| {
            let week = shell::week_now(job, clock::today());
            let mut filled = view::prefilled(
                kind,
                job,
                week,
                &[(fixed.to_owned(), record.id.to_string())],
            );
            filled
                .0
                .retain(|(name, text)| name != fixed || *text == record.id.to_string());
            let draft = Draft {
                job: Some(job),
                filled,
                problems: Vec::new(),
                id: kind.name().to_owned(),
                next: format!(
                    "/jobs/{}/{}/{}#{}",
                    job.id,
                    record.kind,
                    record.id,
                    kind.name()
                ),
                save: shell::save_words(kind),
                main: Main::No,
            };
            view::adding(adds, Some(job.id), draft)
        }),
        add: shell::add_words(kind),
    };
    match record.kind {
        Kind::Room => {
            let walls = job
                .all(Kind::Wall)
                .filter(|w| w.to("room_a") == Some(record.id) || w.to("room_b") == Some(record.id))
                .collect();
            vec![
                part("Runs", Kind::Run, of_field(Kind::Run, "room"), "room"),
                part("Walls", Kind::Wall, walls, "room_a"),
                part(
                    "Members",
                    Kind::Member,
                    of_field(Kind::Member, "room"),
                    "room",
                ),
                part("Layers", Kind::Layer, of_field(Kind::Layer, "of"), "of"),
            ]
        }
        Kind::Wall => vec![
            part("Layers", Kind::Layer, of_field(Kind::Layer, "of"), "of"),
            part(
                "Openings",
                Kind::Opening,
                of_field(Kind::Opening, "wall"),
                "wall",
            ),
            part(
                "Members",
                Kind::Member,
                of_field(Kind::Member, "wall"),
                "wall",
            ),
        ],
        Kind::Receipt => vec![thing::Part {
            form: Some(line::extra_form(job, record)),
            acts: receipt::take_back(job, record),
            ..part(
                "Lines",
                Kind::Bought,
                as_booked(job, of_field(Kind::Bought, "receipt")),
                "receipt",
            )
        }],
        _ => Vec::new(),
    }
}

/// The form that changes a thing.
pub(crate) async fn edit(
    state: web::Data<State>,
    path: web::Path<(Uuid, String, Uuid)>,
    asked: Asked,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let kind = Kind::named(&kind).ok_or(HttpError::NotFound)?;
    let job = state.job(job_id).await?;
    let record = job
        .get(id)
        .filter(|record| record.kind == kind)
        .ok_or(HttpError::NotFound)?;
    Ok(html(
        edit_page(
            &state,
            &job,
            record,
            (&Posted(asked.into_inner()), None),
            Vec::new(),
        )
        .await?,
    ))
}

/// That form's page, as it was sent where it was refused.
pub(crate) async fn edit_page(
    state: &State,
    job: &Job,
    record: &Record,
    (asked, sent): (&Posted, Option<&Posted>),
    problems: Vec<FieldProblem>,
) -> Result<Page, HttpError> {
    let edits = registry::edits(record.kind).ok_or(HttpError::NotFound)?;
    let id = record.id;
    let revs = state
        .read(move |tx| scantling_db::revs_of(tx, id))
        .await?
        .into_iter()
        .map(|(field, state)| (field, state.rev))
        .collect();
    let note = if problems.is_empty() {
        None
    } else {
        Some(shell::refused_note())
    };
    let next = if let Some(next) = asked.typed("next") {
        next.to_owned()
    } else if record.kind == Kind::Job {
        format!("/jobs/{}", job.id)
    } else {
        format!("/jobs/{}/{}/{id}", job.id, record.kind)
    };
    let title = match record.kind {
        Kind::Receipt => rows::title(job, record),
        _ => record.name().to_owned(),
    };
    let draft = Draft {
        job: Some(job),
        filled: Posted::default(),
        problems,
        id: "edit".to_owned(),
        next,
        save: format!("Save {title}"),
        main: Main::Yes,
    };
    let form = view::editing(edits, record, &revs, sent, draft, job.id);
    let mut shell = shell::shell(job, &title, "", clock::today());
    shell.note = note;
    Ok(form_page::page(&form_page::View {
        up: (format!("/jobs/{}", job.id), "This week".to_owned()),
        sub: "Only what you change is written.".to_owned(),
        caution: None,
        form,
        history: Some(format!("/jobs/{}/{}/{id}/history", job.id, record.kind)),
        shell,
    }))
}

/// All readings of a thing, one by one, each with the form that withdraws it.
pub(crate) async fn readings(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    path: web::Path<(Uuid, String, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, kind, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = job
        .get(id)
        .filter(|record| record.kind.name() == kind)
        .ok_or(HttpError::NotFound)?;
    may_see(&job, record, &who)?;
    let names = state.read(scantling_db::people).await?;
    let mut all: Vec<&Record> = job
        .records()
        .filter(|r| r.kind == Kind::Reading && r.to("of") == Some(id))
        .collect();
    all.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    let withdraws = OpKind::named("reading.withdraw")
        .ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    let rows = all
        .into_iter()
        .map(|reading| {
            let what = reading
                .text("what")
                .and_then(What::named)
                .map_or("", What::title);
            let place = [
                reading.text("side").map(|side| side_words(&job, id, side)),
                reading.text("place").map(str::to_owned),
                reading.text("number").map(|n| format!("number {n}")),
            ];
            let place = place.into_iter().flatten().collect::<Vec<_>>().join(", ");
            scantling_web::pages::readings::ReadingOne {
                what: if place.is_empty() {
                    what.to_owned()
                } else {
                    format!("{what}, {place}")
                },
                length: reading
                    .length("raw")
                    .map_or_else(String::new, Length::feet_inches),
                typed: reading.text("raw").unwrap_or("").to_owned(),
                by: format!(
                    "{}, {}, {}{}",
                    rows::choice(reading, "by"),
                    person(&names, reading.by),
                    clock::stamp_day(&reading.at),
                    reading.clock_off_s.map_or_else(String::new, clock_off)
                ),
                gone: reading.gone.clone(),
                withdraw: reading.gone.is_none().then(|| {
                    let draft = Draft {
                        job: Some(&*job),
                        filled: Posted::default(),
                        problems: Vec::new(),
                        id: format!("w-{}", reading.id),
                        next: format!("/jobs/{job_id}/{kind}/{id}/readings"),
                        save: "Withdraw it".to_owned(),
                        main: Main::No,
                    };
                    view::acting(withdraws, "withdraw", reading, draft, job_id)
                }),
            }
        })
        .collect();
    let view = scantling_web::pages::readings::View {
        shell: shell::shell(&job, "Readings", "/house", clock::today()),
        up: (
            format!("/jobs/{job_id}/{kind}/{id}"),
            record.name().to_owned(),
        ),
        rows,
    };
    Ok(html(scantling_web::pages::readings::page(&view)))
}

/// That a reading's time can't be relied on, and why.
fn clock_off(seconds: i64) -> String {
    let off = seconds.unsigned_abs();
    let words = match off {
        0..=5_400 => format!("{} min", off.div_ceil(60)),
        5_401..=172_799 => format!("{} h", (off + 1_800).div_euclid(3_600)),
        _ => format!("{} days", (off + 43_200).div_euclid(86_400)),
    };
    format!(" · when is not certain: this phone’s clock was off by {words}")
}

/// Whether a spot's readings want another: disputed or single.
pub(crate) fn wants_again(state: Agreement) -> bool {
    state != Agreement::Agreed
}
