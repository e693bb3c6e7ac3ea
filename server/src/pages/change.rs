//! One change: what it lacks and needs, its state, readings and notes.

use scantling_takeoff::buy::MoneyOf;
use scantling_takeoff::checks::hold_points::{Gate, Move, gates, in_the_way, stands};
use scantling_takeoff::needs::{self, Class, Fill, Need, Takeoff};
use scantling_takeoff::record::{Job, Kind, OpKind, Record, Role, Spot, registry};
use scantling_web::Page;
use scantling_web::layout::Main;
use scantling_web::pages::change;
use scantling_web::parts::ask_reading::AskReading;
use scantling_web::parts::caution::With;
use scantling_web::parts::form::Form;
use scantling_web::parts::need_row::NeedRow;
use scantling_web::parts::photo::Photos;

use super::{checks, holds, money_of, rows, shell, sources, things};
use crate::clock;
use crate::forms::compose::Posted;
use crate::forms::view::{self, Draft};

/// Its page.
pub(crate) fn page(
    job: &Job,
    record: &Record,
    names: &things::People,
    asked: &Posted,
    photos: Option<Photos>,
    role: Role,
) -> Page {
    let here = format!("/jobs/{}/{}/{}", job.id, record.kind, record.id);
    let takeoff = needs::of_change(job, record);
    let open = !matches!(record.state.as_str(), "done" | "dropped");
    let mut shell = shell::shell(job, record.name(), "/changes", clock::today());
    shell.note = things::saved(job, asked);
    shell.bar = shell::bar(
        vec![
            ("#notes".to_owned(), "Note"),
            (
                format!("/jobs/{}/materials?week={}", job.id, record.week()),
                "Materials",
            ),
        ],
        Main::No,
    );
    let measurable = scantling_takeoff::record::What::for_kind(record.kind)
        .next()
        .is_some();
    let (missing, inputs) = if open {
        lacking(job, &takeoff, &here)
    } else {
        (Vec::new(), Vec::new())
    };
    let whence = sources::of(job, record);
    let gates = gates(job, record);
    let held = held(job, record, &gates);
    let is_held = |to: Move| held.iter().any(|(of, ..)| *of == to);
    let mut checked = scantling_takeoff::checks::of_change(job, record);
    checked.sort_by_key(|check| std::cmp::Reverse(check.verdict));
    let view = change::View {
        checks: (
            checked
                .iter()
                .map(|check| checks::row(job, check, false))
                .collect(),
            format!("{here}/record"),
        ),
        up: (
            format!("/jobs/{}/changes", job.id),
            format!("Changes, week {}", record.week()),
        ),
        sub: format!("{}, work week {}.", record.kind.title(), record.week()),
        state: if record.state.is_empty() {
            "planned".to_owned()
        } else {
            record.state.clone()
        },
        caution: With {
            kind: record.kind,
            year_built: things::year_built(job),
        },
        missing,
        inputs,
        needs: takeoff
            .needs
            .iter()
            .map(|need| {
                let from = whence.get(&need.slot);
                NeedRow {
                    served: from.map(sources::in_short).unwrap_or_default(),
                    from: from.map_or_else(Vec::new, |from| sources::in_full(job, from)),
                    ..need_row(job, record, need, None)
                }
            })
            .collect(),
        facts: &takeoff.facts,
        findings: &takeoff.findings,
        salvage: &takeoff.salvage,
        asks_reading: asked.typed("what").is_some(),
        measure: measurable.then(|| {
            view::measuring(
                job,
                record,
                things::measure_draft(job, record, asked, &here),
            )
        }),
        readings: things::readings_of(job, record, names, &here),
        known: rows::known(job, record),
        money: money_of::on_page(job, MoneyOf::Change(Some(record.id)), role),
        history: format!("{here}/history"),
        edit: registry::edits(record.kind).map(|_| format!("{here}/edit")),
        holds: holds::hold_rows(job, record, &gates, names),
        stop: holds::stop(record, &gates),
        held: held
            .iter()
            .map(|(_, href, text)| (href.clone(), text.clone()))
            .collect(),
        standing: stands(record).then(|| holds::standing_row(job, record)),
        moves: moves(job, record, &here, &gates),
        done: (open && !is_held(Move::Done)).then(|| format!("{here}/done")),
        struck: (stands(record) && !is_held(Move::Struck)).then(|| format!("{here}/struck")),
        notes: things::notes(job, record.id, names),
        note: view::noting(job, record.id, things::note_draft(job, &here, "note")),
        photos,
        shell,
    };
    change::page(&view)
}

/// What hold points keep a change from, the first of them for each move: the move, where it is, a sentence.
fn held(job: &Job, record: &Record, gates: &[Gate]) -> Vec<(Move, String, String)> {
    let moves: &[(Move, &str)] = match record.state.as_str() {
        "done" if stands(record) => &[(Move::Struck, "Not to be struck yet.")],
        "done" | "dropped" => &[],
        "under_way" => &[(Move::Done, "Can’t be marked done yet.")],
        _ => &[
            (Move::UnderWay, "Can’t be started yet."),
            (Move::Done, "Can’t be marked done yet."),
        ],
    };
    moves
        .iter()
        .filter_map(|(to, lead)| {
            let all = in_the_way(gates, *to);
            let first = all.first()?;
            let more = match all.len() {
                1 => String::new(),
                n => format!(" and {} more", n - 1),
            };
            Some((
                *to,
                holds::gate_href(job, record, first.event),
                format!(
                    "{lead} Not signed off: {}{more}.",
                    first.event.title().to_lowercase()
                ),
            ))
        })
        .collect()
}

/// A reading that is lacking: heading, what waits, its field.
type Lacking = (String, String, AskReading);

/// What a change lacks: readings, each with its field; and other inputs, each with where it is filled.
pub(crate) fn lacking(
    job: &Job,
    takeoff: &Takeoff,
    next: &str,
) -> (Vec<Lacking>, Vec<(String, String)>) {
    let (mut readings, mut inputs) = (Vec::new(), Vec::new());
    for (at, missing) in takeoff.missing.iter().enumerate() {
        match &missing.fill {
            Fill::Reading(spot) => {
                let id = format!("m{at}");
                let heading = capital(&missing.text);
                readings.push((
                    heading,
                    format!("{} waits for it.", missing.waits),
                    ask(job, spot, &id, next, Main::No, String::new()),
                ));
            }
            fill => inputs.push((
                format!("{}: needs {}", missing.waits, missing.text),
                fill_href(job, fill),
            )),
        }
    }
    (readings, inputs)
}

/// Where something missing is filled in.
pub(crate) fn fill_href(job: &Job, fill: &Fill) -> String {
    match fill {
        Fill::Reading(spot) => {
            let kind = job.get(spot.of).map_or("wall", |record| record.kind.name());
            let number = if spot.number > 0 {
                spot.number.to_string()
            } else {
                String::new()
            };
            format!(
                "/jobs/{}/{kind}/{}?what={}&side={}&place={}&number={number}#add",
                job.id,
                spot.of,
                spot.what.name(),
                spot.side,
                things::query(&spot.place)
            )
        }
        Fill::Field { of, field } if *of == job.id => {
            format!("/jobs/{}/job/{of}/edit#edit-{field}", job.id)
        }
        Fill::Field { of, field } => {
            let kind = job.get(*of).map_or("wall", |record| record.kind.name());
            format!("/jobs/{}/{kind}/{of}/edit#edit-{field}", job.id)
        }
        Fill::Thing(Kind::Price) => format!("/jobs/{}/prices#add", job.id),
        Fill::Thing(kind) => format!("/jobs/{}/{kind}#add", job.id),
    }
}

/// The field for one reading.
pub(crate) fn ask(
    job: &Job,
    spot: &Spot,
    id: &str,
    next: &str,
    main: Main,
    hint: String,
) -> AskReading {
    let mut hidden = vec![
        ("op_id".to_owned(), clock::new_id().to_string()),
        ("entity_id".to_owned(), clock::new_id().to_string()),
        ("of".to_owned(), spot.of.to_string()),
        ("what".to_owned(), spot.what.name().to_owned()),
        ("by".to_owned(), "tape".to_owned()),
        ("next".to_owned(), next.to_owned()),
    ];
    if !spot.side.is_empty() {
        hidden.push(("side".to_owned(), spot.side.clone()));
    }
    if !spot.place.is_empty() {
        hidden.push(("place".to_owned(), spot.place.clone()));
    }
    if spot.number > 0 {
        hidden.push(("number".to_owned(), spot.number.to_string()));
    }
    AskReading {
        id: id.to_owned(),
        labelled_by: format!("{id}-t"),
        action: format!("/jobs/{}/reading", job.id),
        hidden,
        hint,
        main,
    }
}

/// A need as a row.
pub(crate) fn need_row<'a>(
    job: &Job,
    change: &Record,
    need: &'a Need,
    marks: Option<String>,
) -> NeedRow<'a> {
    let readings = need
        .readings
        .iter()
        .filter_map(|id| job.get(*id))
        .filter_map(|reading| {
            let of = job.get(reading.to("of")?)?;
            let what = reading.text("raw").unwrap_or("");
            Some((
                format!("/jobs/{}/{}/{}#read", job.id, of.kind, of.id),
                format!("{} {what}, {}", of.name(), clock::stamp_day(&reading.at)),
            ))
        })
        .collect();
    let hardware = match &need.class {
        Class::Hardware { row } => job.name(*row).to_owned(),
        _ => String::new(),
    };
    NeedRow {
        need,
        served: String::new(),
        from: Vec::new(),
        marks: marks.unwrap_or_default(),
        readings,
        change: Some((
            format!("/jobs/{}/{}/{}", job.id, change.kind, change.id),
            change.name().to_owned(),
            format!("The change that wants it. Work week {}.", change.week()),
        )),
        hardware,
    }
}

fn moves(job: &Job, record: &Record, here: &str, gates: &[Gate]) -> Vec<Form<'static>> {
    let state = if record.state.is_empty() {
        "planned"
    } else {
        record.state.as_str()
    };
    let Some(kind) = OpKind::named("change.state") else {
        return Vec::new();
    };
    let step = |to: &str, words: &str, main: Main| {
        let draft = Draft {
            job: Some(job),
            filled: Posted(vec![
                ("fixed.state".to_owned(), to.to_owned()),
                ("fixed.reason".to_owned(), String::new()),
            ]),
            problems: Vec::new(),
            id: format!("to-{to}"),
            next: here.to_owned(),
            save: words.to_owned(),
            main,
        };
        view::acting(kind, "state", record, draft, job.id)
    };
    let start = in_the_way(gates, Move::UnderWay)
        .is_empty()
        .then(|| step("under_way", "Start it", Main::Yes));
    match state {
        "planned" => [Some(step("ready", "Ready", Main::No)), start]
            .into_iter()
            .flatten()
            .chain([step("dropped", "Drop it", Main::No)])
            .collect(),
        "ready" => start
            .into_iter()
            .chain([
                step("planned", "Back to planned", Main::No),
                step("dropped", "Drop it", Main::No),
            ])
            .collect(),
        "under_way" => vec![step("planned", "Back to planned", Main::No)],
        "dropped" => vec![step("planned", "Plan it again", Main::Yes)],
        "done" => undo(job, record, here).into_iter().collect(),
        _ => Vec::new(),
    }
}

fn undo(job: &Job, record: &Record, here: &str) -> Option<Form<'static>> {
    let kind = OpKind::named("change.undone")?;
    let draft = Draft {
        job: Some(job),
        filled: Posted::default(),
        problems: Vec::new(),
        id: "undo".to_owned(),
        next: here.to_owned(),
        save: "Undo done".to_owned(),
        main: Main::No,
    };
    Some(view::acting(kind, "undone", record, draft, job.id))
}

/// The form that starts a change from this week's page.
pub(crate) fn start(
    job: &Job,
    record: &Record,
    next: &str,
    gates: &[Gate],
) -> Option<Form<'static>> {
    let kind = OpKind::named("change.state")?;
    let draft = Draft {
        job: Some(job),
        filled: Posted(vec![
            ("fixed.state".to_owned(), "under_way".to_owned()),
            ("fixed.reason".to_owned(), String::new()),
        ]),
        problems: Vec::new(),
        id: "start".to_owned(),
        next: next.to_owned(),
        save: "Start it".to_owned(),
        main: Main::No,
    };
    let may = record.state != "under_way" && in_the_way(gates, Move::UnderWay).is_empty();
    may.then(|| view::acting(kind, "state", record, draft, job.id))
}

/// With a capital first letter.
pub(crate) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| {
        first.to_uppercase().chain(letters).collect()
    })
}
