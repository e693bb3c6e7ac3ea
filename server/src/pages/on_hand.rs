//! On hand: what is here by the ledger, what it is kept for, and counting by hand.

use std::collections::BTreeMap;

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
    for ((item, salvage), of) in &rows {
        at += 1;
        let n = i64::try_from(of.len()).unwrap_or(i64::MAX);
        let not_sound = *salvage && of.iter().any(|row| !row.sound);
        push(
            buy_list::section_words(item.section()),
            view::Line {
                item: item.words(&job),
                href: line::href(&job, &[week], item),
                said: said(&job, *salvage, of),
                wrong: if not_sound {
                    "Not called sound and nail-free yet: it serves nothing.".to_owned()
                } else {
                    String::new()
                },
                count: n.to_string(),
                recount: recount(&job, count, item, n, at),
            },
        );
    }
    for item in job.ledger.items() {
        let n = job.ledger.on_hand(item);
        let missing = job.ledger.missing(item);
        if (item.has_rows() && missing == 0) || n == 0 {
            continue;
        }
        at += 1;
        push(
            buy_list::section_words(item.section()),
            view::Line {
                item: item.words(&job),
                href: line::href(&job, &[week], item),
                said: String::new(),
                wrong: if n < 0 {
                    format!("{} missing: book the receipt or count", -n)
                } else {
                    String::new()
                },
                count: n.to_string(),
                recount: recount(&job, count, item, n.max(0), at),
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
        .filter(|row| !row.pieces.is_empty() || row.waste)
        .count();
    let mut changes: Vec<&str> = of
        .iter()
        .flat_map(|row| &row.pieces)
        .map(|piece| job.name(piece.change))
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

/// The form that corrects a count. It carries the figure that it saw.
fn recount(
    job: &Job,
    kind: &'static OpKind,
    item: &Item,
    saw: i64,
    at: usize,
) -> scantling_web::parts::form::Form<'static> {
    let draft = Draft {
        job: Some(job),
        filled: Posted(vec![
            ("fixed.item".to_owned(), item.to_key()),
            ("fixed.saw".to_owned(), saw.to_string()),
            ("counted".to_owned(), saw.to_string()),
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
    }
}
