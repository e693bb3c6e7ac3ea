//! A week's list as it was kept, against now, and what planning afresh would do.

use actix_web::{HttpResponse, web};
use scantling_db::LastAct;
use scantling_takeoff::buy::{
    AfreshPreview, Difference, KeptLine, KeptList, afresh_preview, differences,
};
use scantling_takeoff::record::{Job, Kind, OpKind, Record};
use scantling_takeoff::units::{Length, Money};
use scantling_web::layout::Main;
use scantling_web::pages::kept as view;
use scantling_web::parts::rows::Row;
use uuid::Uuid;

use super::buy_list::unpriced_words;
use super::{shell, things, week};
use crate::clock;
use crate::error::{HttpError, html};
use crate::files::takeoff_text::class_words;
use crate::forms::compose::Posted;
use crate::forms::view::{self as forms, Draft};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    path: web::Path<(Uuid, Uuid)>,
) -> Result<HttpResponse, HttpError> {
    let (job_id, id) = path.into_inner();
    let job = state.job(job_id).await?;
    let record = job
        .get(id)
        .filter(|record| record.kind == Kind::Week)
        .ok_or(HttpError::NotFound)?;
    let number = week::number_of(record);
    let mut lists: Vec<&KeptList> = Vec::new();
    for list in job.ledger.kept.iter().filter(|l| l.weeks.contains(&number)) {
        match lists.iter_mut().find(|known| known.weeks == list.weeks) {
            Some(known) => *known = list,
            None => lists.push(list),
        }
    }
    let entries: Vec<Uuid> = lists.iter().map(|list| list.entry).collect();
    let written = state
        .read(move |tx| scantling_db::written_at(tx, &entries))
        .await?;
    let names = state.read(scantling_db::people).await?;
    let title = format!("Week {number}: the list as kept");
    let view = view::View {
        up: (
            format!("/jobs/{job_id}/week/{id}"),
            format!("Week {number}"),
        ),
        lists: lists
            .into_iter()
            .map(|list| one(&job, list, written.get(&list.entry), &names))
            .collect(),
        afresh: afresh(&job, record, &afresh_preview(&job)),
        shell: shell::shell(&job, &title, "/week", clock::today()),
    };
    Ok(html(view::page(&view)))
}

fn one(
    job: &Job,
    list: &KeptList,
    written: Option<&LastAct>,
    names: &things::People,
) -> view::List {
    let weeks: Vec<String> = list.weeks.iter().map(u32::to_string).collect();
    let weeks = match weeks.as_slice() {
        [one] => format!("Week {one}"),
        several => format!("Weeks {} together", several.join(" and ")),
    };
    let sum: Money = list.lines.iter().filter_map(|line| line.extension).sum();
    let unpriced = list
        .lines
        .iter()
        .filter(|line| line.extension.is_none() && line.to_buy > 0)
        .count();
    let without = unpriced_words(unpriced).map_or_else(String::new, |words| format!(", {words}"));
    let kept = written.map_or_else(
        || "Kept".to_owned(),
        |act| {
            format!(
                "Kept {} by {}",
                clock::stamp_day(&act.at),
                things::person(names, act.by)
            )
        },
    );
    let why = match written.map(|act| act.kind.as_str()) {
        Some("week.afresh") => ", planned afresh",
        Some("order.send") => ", with the first order",
        _ => ", with the first line bought of it or of a later week",
    };
    view::List {
        heading: format!("{weeks}, revision {}", list.revision),
        said: format!("{kept}{why}. Before tax, at the prices of then{without}."),
        lines: list.lines.iter().map(|l| line(job, list, l)).collect(),
        total: sum.to_string(),
        differences: differences(job, list)
            .iter()
            .map(|one| difference(job, one))
            .collect(),
    }
}

fn line(job: &Job, list: &KeptList, line: &KeptLine) -> view::Line {
    let price = line
        .unit_price
        .filter(|_| line.to_buy > 0)
        .map_or_else(String::new, |price| format!(" at {price}"));
    let unit = if line.unit == "each" {
        String::new()
    } else {
        format!(" {}", line.unit)
    };
    view::Line {
        item: line.item.words(job),
        extension: match (line.to_buy, line.extension) {
            (0, _) => String::new(),
            (_, Some(extension)) => extension.to_string(),
            (_, None) => "no price".to_owned(),
        },
        then: format!(
            "Needed {} · on hand then {} · to buy {}{unit}{price}",
            line.needed, line.from_on_hand, line.to_buy
        ),
        since: format!(
            "Bought so far: {}",
            job.ledger.bought_for(&line.item, &list.weeks)
        ),
    }
}

/// What is needed otherwise now, by the change that causes it.
fn difference(job: &Job, one: &Difference) -> Row {
    let size =
        |size: Option<Length>| size.map_or_else(|| "no size".to_owned(), Length::feet_inches);
    let what = match (one.was, one.now) {
        (0, now) => format!("new, {now}"),
        (was, 0) => format!("gone, was {was}"),
        (was, now) if now > was => format!("more, {was} then, {now} now"),
        (was, now) if now < was => format!("fewer, {was} then, {now} now"),
        _ if one.of.is_some() && one.was_size == one.size => String::new(),
        _ if one.was_size == one.size => "another width".to_owned(),
        _ => format!("other size, {} then", size(one.was_size)),
    };
    let also = if one.was > 0 && one.now > 0 && one.was != one.now && one.was_size != one.size {
        format!("; {} then, {} now", size(one.was_size), size(one.size))
    } else {
        String::new()
    };
    let of = one.of.as_ref().map_or_else(String::new, |(was, now)| {
        let words = |class| class_words(job, class);
        let between = if what.is_empty() { "" } else { "; " };
        format!("{between}{} then, {} now", words(was), words(now))
    });
    let record = job.get(one.change);
    Row {
        href: record.map_or_else(String::new, |change| {
            format!("/jobs/{}/{}/{}", job.id, change.kind, change.id)
        }),
        name: job.name(one.change).to_owned(),
        second: format!("{}: {what}{also}{of}", one.title),
        value: match one.size {
            Some(length) if one.now > 0 => length.feet_inches(),
            _ => String::new(),
        },
        ..Row::default()
    }
}

fn afresh(job: &Job, record: &Record, preview: &AfreshPreview) -> view::Afresh<'static> {
    let saves = preview.saves();
    let said = if preview.moved.is_empty() {
        "Nothing would move: what is still to buy is the same planned afresh.".to_owned()
    } else if saves > Money::ZERO {
        format!("Planned afresh, what is still to buy costs {saves} less, before tax.")
    } else if saves < Money::ZERO {
        format!(
            "Planned afresh, what is still to buy costs {} more, before tax.",
            -saves
        )
    } else {
        "Planned afresh, what is still to buy costs the same.".to_owned()
    };
    let moved = preview.moved.iter().map(|line| Row {
        name: line.item.words(job),
        second: format!(
            "Week {}, {}: to buy {} now, {} then",
            line.week, line.unit, line.was, line.now
        ),
        ..Row::default()
    });
    let form = OpKind::named("week.afresh")
        .filter(|_| !preview.moved.is_empty())
        .map(|kind| {
            let draft = Draft {
                job: Some(job),
                filled: Posted::default(),
                problems: Vec::new(),
                id: "plan-afresh".to_owned(),
                next: format!("/jobs/{}/week/{}/kept", job.id, record.id),
                save: "Plan afresh".to_owned(),
                main: Main::Yes,
            };
            forms::acting(kind, "afresh", record, draft, job.id)
        });
    view::Afresh {
        saves: said,
        moved: moved.collect(),
        form,
    }
}
