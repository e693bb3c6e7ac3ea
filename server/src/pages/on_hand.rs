//! On hand: what is here by the ledger, what it is kept for, and counting by hand.

use std::collections::{BTreeMap, BTreeSet};

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{Item, StockRow};
use scantling_takeoff::record::{Job, Kind, OpKind, Record, registry};
use scantling_web::layout::Main;
use scantling_web::pages::on_hand as view;
use uuid::Uuid;

use super::{buy_list, line, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view::{self as forms, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let count = OpKind::named("stock.count")
        .ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    let adds = registry::adds(Kind::Stock)
        .ok_or(HttpError::Broken("the registry lost a kind of entry"))?;
    let week = shell::week_now(&job, clock::today());
    let mut rows: BTreeMap<(Item, bool), Vec<&StockRow>> = BTreeMap::new();
    for row in job.ledger.here() {
        rows.entry((row.item.clone(), row.salvage))
            .or_default()
            .push(row);
    }
    let mut sections: Vec<(String, Vec<view::Line<'static>>)> = Vec::new();
    let mut at = 0;
    let mut push = |section: &str, line: view::Line<'static>| match sections
        .iter_mut()
        .find(|(name, _)| name == section)
    {
        Some((_, lines)) => lines.push(line),
        None => sections.push((section.to_owned(), vec![line])),
    };
    let mut seen: BTreeSet<&Item> = BTreeSet::new();
    for ((item, salvage), of) in &rows {
        at += 1;
        let n = i64::try_from(of.len()).unwrap_or(i64::MAX);
        // What is missing is missing of what was bought: filled first by what is counted.
        let missing = if *salvage {
            0
        } else {
            seen.insert(item);
            job.ledger.missing(item)
        };
        let mut wrong = missing_words(missing);
        if *salvage && of.iter().any(|row| !row.sound) {
            wrong.push_str("Not called sound and nail-free yet: it serves nothing.");
        }
        push(
            buy_list::section_words(item.section()),
            view::Line {
                item: item.words(&job),
                href: line::href(&job, &[week], item),
                said: said(&job, *salvage, of),
                wrong,
                more: written(&job, of),
                count: n.to_string(),
                recount: recount(&job, count, (item, *salvage), (n - missing, n), at),
            },
        );
    }
    for item in job.ledger.items() {
        let n = if item.has_rows() {
            -job.ledger.missing(item)
        } else {
            job.ledger.on_hand(item)
        };
        if n == 0 || seen.contains(item) {
            continue;
        }
        at += 1;
        push(
            buy_list::section_words(item.section()),
            view::Line {
                item: item.words(&job),
                href: line::href(&job, &[week], item),
                said: lies_of(&job, item),
                wrong: missing_words(job.ledger.missing(item)),
                more: None,
                count: n.to_string(),
                recount: recount(&job, count, (item, false), (n, n.max(0)), at),
            },
        );
    }
    let filled = forms::prefilled(Kind::Stock, &job, 1, &[]);
    let draft = Draft {
        job: Some(&job),
        filled,
        problems: Vec::new(),
        id: "add-stock".to_owned(),
        next: format!("/jobs/{}/on-hand", job.id),
        save: "Save on hand".to_owned(),
        main: Main::Yes,
    };
    let view = view::View {
        add: forms::adding(adds, Some(job.id), draft),
        sections,
        shell: shell::shell(&job, "On hand", "/on-hand", clock::today()),
    };
    Ok(html(view::page(&view)))
}

fn missing_words(missing: i64) -> String {
    if missing > 0 {
        format!("{missing} missing: book the receipt or count. ")
    } else {
        String::new()
    }
}

/// Where what is written of these is changed: whether they are sound, where they lie.
fn written(job: &Job, of: &[&StockRow]) -> Option<(String, &'static str)> {
    let about = of.iter().find_map(|row| {
        let of_row = |m: &&scantling_takeoff::buy::Movement| m.row == Some(row.id) && m.count > 0;
        let about = job.ledger.movements.iter().find(of_row)?.about;
        job.get(about).filter(|record| record.kind == Kind::Stock)
    })?;
    let words = if of.iter().any(|row| row.salvage && !row.sound) {
        "Call it sound, or say where it lies"
    } else {
        "Say where it lies"
    };
    Some((format!("/jobs/{}/stock/{}/edit", job.id, about.id), words))
}

/// Where what is counted lies, as it was written when it was added.
fn lies_of(job: &Job, item: &Item) -> String {
    let mut lies: Vec<&str> = job
        .ledger
        .movements
        .iter()
        .filter(|m| m.item == *item && m.count > 0)
        .filter_map(|m| job.get(m.about))
        .filter(|record| record.kind == Kind::Stock)
        .filter_map(|record| record.text("lies"))
        .collect();
    lies.sort_unstable();
    lies.dedup();
    lies.join(" · ")
}

fn said(job: &Job, salvage: bool, of: &[&StockRow]) -> String {
    let mut parts: Vec<String> = Vec::new();
    if salvage {
        parts.push("salvage".to_owned());
    }
    let mut lies: Vec<&str> = of
        .iter()
        .map(|row| row.lies.as_str())
        .filter(|lies| !lies.is_empty())
        .collect();
    lies.sort_unstable();
    lies.dedup();
    parts.extend(lies.into_iter().map(str::to_owned));
    let kept = of
        .iter()
        .filter(|row| !line::changes_of(job, row).is_empty() || row.waste)
        .count();
    let mut changes: Vec<&str> = of
        .iter()
        .flat_map(|row| line::changes_of(job, row))
        .collect();
    changes.sort_unstable();
    changes.dedup();
    match (kept, changes.as_slice()) {
        (0, _) => parts.push("free".to_owned()),
        (n, []) => parts.push(format!("{n} kept as spare")),
        (n, names) => parts.push(format!("{n} kept for {}", names.join(", "))),
    }
    parts.join(" · ")
}

/// The form that corrects a count, filled with what is here. It carries the figure that the record says; below zero none,
/// and the record's own figure counts when it is saved.
fn recount(
    job: &Job,
    kind: &'static OpKind,
    (item, salvage): (&Item, bool),
    (says, here): (i64, i64),
    at: usize,
) -> scantling_web::parts::form::Form<'static> {
    let draft = Draft {
        job: Some(job),
        filled: Posted(vec![
            ("fixed.item".to_owned(), item.to_key()),
            (
                "fixed.saw".to_owned(),
                if says < 0 {
                    String::new()
                } else {
                    says.to_string()
                },
            ),
            ("counted".to_owned(), here.to_string()),
            (
                "fixed.salvage".to_owned(),
                match (item.has_rows(), salvage) {
                    (false, _) => "",
                    (true, true) => "yes",
                    (true, false) => "no",
                }
                .to_owned(),
            ),
        ]),
        problems: Vec::new(),
        id: format!("n{at}"),
        next: format!("/jobs/{}/on-hand", job.id),
        save: "Save count".to_owned(),
        main: Main::No,
    };
    forms::acting(kind, "count", &counted(clock::new_id()), draft, job.id)
}

/// What a count is about that names its item alone: what was bought has no thing of its own.
pub(crate) fn counted(id: Uuid) -> Record {
    Record {
        id,
        kind: Kind::Stock,
        fields: BTreeMap::new(),
        by: Uuid::nil(),
        at: String::new(),
        state: String::new(),
        gone: None,
        clock_off_s: None,
    }
}
