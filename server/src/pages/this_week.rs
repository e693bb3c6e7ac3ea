//! This week's page: what is next, what may not be cut, the change at hand, what is missing, what is still to buy.

use std::collections::BTreeMap;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::checks::hold_points::{
    Event, Gate, Move, gates, in_the_way, standing_shores,
};
use scantling_takeoff::needs::{self, Fill, Takeoff};
use scantling_takeoff::record::{Agreement, Job, Kind, Measured, Record, Role, Spot};
use scantling_web::layout::Main;
use scantling_web::pages::this_week::{self, Cut, Hand, Next, Wanted};
use scantling_web::parts::caution::With;
use scantling_web::parts::verdict::Grave;
use time::Date;
use uuid::Uuid;

use super::{
    buy_list, change, checks, differs, holds, materials, photos, rows, shell, things, week as weeks,
};
use crate::clock;
use crate::error::{HttpError, html};
use crate::forms::compose::Posted;
use crate::forms::view;
use crate::state::State;

/// How many lines still to buy stand on this page.
const FIRST_LINES: usize = 3;
/// How many wanted readings stand on this page.
const FIRST_READINGS: usize = 8;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let job = state.job(*job).await?;
    let today = clock::today();
    let is_crew = who.role >= Role::Crew;
    let week = materials::weeks_asked(&asked, shell::week_now(&job, today))
        .first()
        .copied()
        .unwrap_or(1);
    let asked = Posted(asked.into_inner());
    let takeoffs = needs::needs(&job, &[week]);
    let here = format!("/jobs/{}", job.id);
    let buying = buy_list::first_lines(&job, week, FIRST_LINES);
    let wanted = wanted(&job, &takeoffs);
    let inputs = inputs(&job, &takeoffs);
    let changes: Vec<&Record> = job
        .changes()
        .into_iter()
        .filter(|change| change.week() == week)
        .collect();
    let gates = gates_of(&job, week);
    let at_hand = at_hand(&gates, &changes);
    let at_step = weeks::stage(&job, week, today);
    let next = week_over(&job, week, at_step).unwrap_or_else(|| {
        next(
            &job,
            &wanted,
            &inputs,
            (&buying, is_crew),
            at_hand.map(|change| (change, of(&gates, change))),
            (week, at_step),
        )
    });
    let shown = usize::from(matches!(next, Next::Reading { .. }));
    let mut shell = shell::shell(&job, "This week", "", today);
    let job_id = job.id;
    let n_open = state
        .read(move |tx| Ok(scantling_db::conflicts(tx, job_id)?.len()))
        .await?;
    shell.note = things::saved(&job, &asked)
        .or_else(|| weeks::closed_note(&job, &asked))
        .or_else(|| differs::note(n_open));
    shell.bar = shell::bar(
        vec![
            (format!("{here}/house"), "House"),
            (format!("{here}/cut-list"), "Cut list"),
            (format!("{here}/buy-list?week={week}"), "Buy list"),
        ],
        Main::No,
    );
    shell.bar.class = "hops";
    let view = this_week::View {
        when: when(&job, week, today),
        weeks: materials::week_tabs(&job, "", &[week], materials::Together::No)
            .into_iter()
            .map(|mut tab| {
                tab.href = tab.href.replace("/?", "?");
                tab
            })
            .collect(),
        cut: cut(&job, &takeoffs, &changes, &gates),
        standing: standing_shores(&job)
            .into_iter()
            .map(|shore| holds::standing_row(&job, shore))
            .collect(),
        hand: at_hand.map(|record| hand(&job, record, &here, of(&gates, record))),
        caution: at_hand.map(|record| With {
            kind: record.kind,
            year_built: things::year_built(&job),
        }),
        measure: wanted
            .iter()
            .skip(shown)
            .take(FIRST_READINGS)
            .enumerate()
            .map(|(at, w)| w.view(&job, at, &here))
            .collect(),
        inputs,
        is_crew,
        buy_count: buying.count.clone(),
        all_lines: (
            format!("{here}/buy-list?week={week}"),
            buying.all_words.clone(),
        ),
        csv: format!("{here}/buy-list.csv?week={week}"),
        buy_note: buying.note.clone(),
        buy: buying.rows,
        changes: changes
            .iter()
            .map(|record| rows::change(&job, record))
            .collect(),
        plan: format!("{here}/plan"),
        checks: checks::of_week(&job, week),
        close: closing(&job, week, today),
        next,
        shell,
    };
    Ok(html(this_week::page(&view)))
}

/// The hold points of changes, worked out once for all parts of the page.
type Gates = BTreeMap<Uuid, Vec<Gate>>;

/// Those of the week's changes, and of what is under way or done in any week: work may have gone past one there.
fn gates_of(job: &Job, week: u32) -> Gates {
    job.changes()
        .into_iter()
        .filter(|change| {
            change.week() == week || matches!(change.state.as_str(), "under_way" | "done")
        })
        .map(|change| (change.id, gates(job, change)))
        .collect()
}

fn of<'a>(gates: &'a Gates, change: &Record) -> &'a [Gate] {
    gates.get(&change.id).map_or(&[], Vec::as_slice)
}

/// The closing of this week where it is over or ends today, and of every earlier one that is over.
fn closing(job: &Job, week: u32, today: Date) -> Vec<(String, String)> {
    shell::week_numbers(job)
        .into_iter()
        .filter(|number| match weeks::stage(job, *number, today) {
            weeks::Stage::Over => *number <= week,
            weeks::Stage::LastDay => *number == week,
            weeks::Stage::Closed | weeks::Stage::Open => false,
        })
        .filter_map(|number| {
            let href = weeks::close_href(job, number)?;
            Some((href, format!("Close week {number}")))
        })
        .collect()
}

/// What is next in a week that is over: its closing; in one that is closed: the week that comes after it.
fn week_over(job: &Job, week: u32, stage: weeks::Stage) -> Option<Next> {
    let go = |heading: String, text: &str, href: String, words: String| Next::Go {
        heading,
        text: text.to_owned(),
        way: (href, words),
    };
    match stage {
        weeks::Stage::Closed => {
            let mut numbers = shell::week_numbers(job).into_iter();
            let after = numbers.find(|n| *n > week && !job.is_closed(*n));
            let (href, words) = match (after, job.week(week)) {
                (Some(after), _) => (
                    format!("/jobs/{}?week={after}", job.id),
                    format!("Go to week {after}"),
                ),
                (None, Some(record)) => (
                    format!("/jobs/{}/week/{}", job.id, record.id),
                    format!("Look at week {week}"),
                ),
                (None, None) => return None,
            };
            let text = "Its changes can still be edited and marked done.";
            Some(go(format!("Week {week} is closed"), text, href, words))
        }
        weeks::Stage::Over => Some(go(
            format!("Close week {week}"),
            "Count what is left, move on what is not done, look at what was spent.",
            weeks::close_href(job, week)?,
            "Close the week".to_owned(),
        )),
        weeks::Stage::LastDay | weeks::Stage::Open => None,
    }
}

fn when(job: &Job, week: u32, today: Date) -> String {
    let start = job.week(week).and_then(|w| w.number("start"));
    let of = start
        .and_then(|day| i32::try_from(day).ok())
        .and_then(|day| Date::from_julian_day(day).ok());
    let closed = if job.is_closed(week) {
        " · closed"
    } else {
        ""
    };
    let said = match of {
        Some(day) if (day..day + time::Duration::days(7)).contains(&today) => {
            clock::day_words(today)
        }
        Some(day) => format!(
            "{} · week of {}",
            clock::day_words(today),
            clock::day_words(day)
                .split_once(' ')
                .map_or("", |(_, day)| day)
        ),
        None => format!("{} · week {week}", clock::day_words(today)),
    };
    format!("{said}{closed}")
}

/// A reading that is wanted, and why.
struct Want {
    spot: Spot,
    heading: String,
    wrong: String,
    waits: String,
}

impl Want {
    fn view(&self, job: &Job, at: usize, next: &str) -> Wanted {
        let ask = change::ask(
            job,
            &self.spot,
            &format!("m{at}"),
            &format!("{next}#miss"),
            Main::No,
            String::new(),
        );
        Wanted {
            heading: self.heading.clone(),
            wrong: self.wrong.clone(),
            waits: self.waits.clone(),
            ask,
        }
    }
}

/// Readings that changes of the week miss, then those that they rest on and that are single or disputed.
fn wanted(job: &Job, takeoffs: &[Takeoff]) -> Vec<Want> {
    let mut all: Vec<Want> = Vec::new();
    for takeoff in takeoffs {
        for missing in &takeoff.missing {
            if let Fill::Reading(spot) = &missing.fill
                && !all.iter().any(|want| want.spot == *spot)
            {
                all.push(Want {
                    spot: spot.clone(),
                    heading: format!("Measure {}", job.name(spot.of)),
                    wrong: String::new(),
                    waits: format!(
                        "{}. {} waits for it.",
                        change::capital(&missing.text),
                        missing.waits
                    ),
                });
            }
        }
    }
    let mut again: Vec<Want> = Vec::new();
    for takeoff in takeoffs {
        for need in takeoff.needs.iter().filter(|need| need.held.is_some()) {
            for (spot, measured) in job
                .all_measured()
                .filter(|(_, measured)| need.readings.contains(&measured.counts))
            {
                if !things::wants_again(measured.state)
                    || all.iter().chain(&again).any(|want| want.spot == *spot)
                {
                    continue;
                }
                let wrong = differ(measured);
                let waits = match measured.state {
                    Agreement::Single => format!(
                        "One reading, {}. {} waits for a second.",
                        measured.value, need.title
                    ),
                    _ => format!("{} waits for it.", need.title),
                };
                again.push(Want {
                    spot: spot.clone(),
                    heading: format!("{}: {}", job.name(spot.of), things::spot_words(job, spot)),
                    wrong,
                    waits,
                });
            }
        }
    }
    for (spot, measured) in job
        .all_measured()
        .filter(|(_, measured)| measured.state == Agreement::Disputed)
    {
        let touched = takeoffs
            .iter()
            .any(|takeoff| touches(job, takeoff.change, spot.of));
        if touched && !all.iter().chain(&again).any(|want| want.spot == *spot) {
            again.push(Want {
                spot: spot.clone(),
                heading: format!("{}: {}", job.name(spot.of), things::spot_words(job, spot)),
                wrong: differ(measured),
                waits: String::new(),
            });
        }
    }
    again.sort_by_key(|want| want.wrong.is_empty());
    all.extend(again);
    all
}

/// The two newest readings, where they differ.
fn differ(measured: &Measured) -> String {
    let values: Vec<String> = measured
        .all
        .iter()
        .rev()
        .take(2)
        .map(|one| one.value.to_string())
        .collect();
    match (measured.state, values.as_slice()) {
        (Agreement::Disputed, [newest, before]) => format!("{newest} and {before} differ."),
        _ => String::new(),
    }
}

/// Whether a change is about a thing: itself, something it names, or a room at a wall that it names.
fn touches(job: &Job, change: Uuid, of: Uuid) -> bool {
    let named = |id: Uuid| {
        job.get(id)
            .into_iter()
            .flat_map(|record| record.fields.values().flatten())
            .filter_map(|value| value.to)
    };
    change == of
        || named(change).any(|to| {
            to == of
                || (job.get(to).is_some_and(|r| r.kind == Kind::Wall)
                    && named(to).any(|room| room == of))
        })
}

fn inputs(job: &Job, takeoffs: &[Takeoff]) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = Vec::new();
    for missing in takeoffs.iter().flat_map(|takeoff| &takeoff.missing) {
        if !matches!(missing.fill, Fill::Reading(_)) {
            let line = (
                change::capital(&missing.text),
                change::fill_href(job, &missing.fill),
            );
            if !all.contains(&line) {
                all.push(line);
            }
        }
    }
    all
}

/// What may not be cut yet: by a figure that doesn't stand, or at a hold point that isn't released.
fn cut(job: &Job, takeoffs: &[Takeoff], changes: &[&Record], gates: &Gates) -> Cut {
    let mut all = job.changes().into_iter();
    if let Some(stop) = all.find_map(|change| holds::stop(change, of(gates, change))) {
        return Cut {
            grave: Grave::Stop,
            word: "Stop. Shore it, call the lead".to_owned(),
            text: stop,
            more: Some((format!("/jobs/{}/holds", job.id), "Hold points".to_owned())),
        };
    }
    let closed: Vec<String> = changes
        .iter()
        .filter(|change| change.state != "dropped")
        .flat_map(|change| {
            let all = of(gates, change).iter();
            all.filter(|gate| matches!(gate.event, Event::FirstCut | Event::Out) && !gate.is_open())
                .map(|_| change.name().to_owned())
        })
        .collect();
    let held_cut = match closed.as_slice() {
        [] => String::new(),
        [one] => format!("Not signed off: {one}."),
        all => format!("{} changes are not signed off.", all.len()),
    };
    let held: Vec<String> = takeoffs
        .iter()
        .flat_map(|t| &t.needs)
        .filter(|need| need.held.is_some())
        .map(|need| need.title.clone())
        .collect();
    let waiting: Vec<String> = takeoffs
        .iter()
        .filter(|t| t.missing.iter().any(|m| matches!(m.fill, Fill::Reading(_))))
        .map(|t| job.name(t.change).to_owned())
        .collect();
    let names: Vec<String> = held.into_iter().chain(waiting).collect();
    if names.is_empty() && held_cut.is_empty() {
        return Cut {
            grave: Grave::Look,
            word: "Ask before you cut".to_owned(),
            text:
                "Every length here rests on readings that agree, and no cut of this week is held."
                    .to_owned(),
            more: None,
        };
    }
    if names.is_empty() {
        return Cut {
            grave: Grave::Stop,
            word: "Don’t cut yet".to_owned(),
            text: held_cut,
            more: Some((format!("/jobs/{}/holds", job.id), "Hold points".to_owned())),
        };
    }
    let mut first: Vec<String> = names.clone();
    first.dedup();
    let n = first.len();
    let shown = if held_cut.is_empty() { 3 } else { 1 };
    first.truncate(shown);
    let rest = if n > shown {
        format!(" and {} more", n - shown)
    } else {
        String::new()
    };
    Cut {
        grave: Grave::Stop,
        word: "Don’t cut yet".to_owned(),
        text: format!("{}{rest}. {held_cut}", first.join(", "))
            .trim_end()
            .to_owned(),
        more: Some(if held_cut.is_empty() {
            ("#miss".to_owned(), "Measure first".to_owned())
        } else {
            (format!("/jobs/{}/holds", job.id), "Hold points".to_owned())
        }),
    }
}

/// The change at hand: under way, else ready and not held, else ready, else the first planned, in working order.
fn at_hand<'a>(gates: &Gates, changes: &[&'a Record]) -> Option<&'a Record> {
    let in_state = |state: &str| changes.iter().copied().find(|change| change.state == state);
    let free = |change: &&&Record| {
        change.state == "ready" && in_the_way(of(gates, change), Move::UnderWay).is_empty()
    };
    in_state("under_way")
        .or_else(|| changes.iter().find(free).copied())
        .or_else(|| in_state("ready"))
        .or_else(|| in_state("planned"))
        .or_else(|| in_state(""))
}

fn hand(job: &Job, record: &Record, here: &str, gates: &[Gate]) -> Hand<'static> {
    Hand {
        row: rows::change(job, record),
        photo: photos::button(job, record.id, "hand-photo", &format!("{here}#hand")),
        note: view::noting(job, record.id, things::note_draft(job, here, "hand-note")),
        done: in_the_way(gates, Move::Done)
            .is_empty()
            .then(|| format!("/jobs/{}/{}/{}/done", job.id, record.kind, record.id)),
        held: holds::next_of(gates).map(|gate| {
            (
                holds::gate_href(job, record, gate.event),
                format!("{}: {}", gate.event.title(), holds::in_short(gate)),
            )
        }),
        start: change::start(job, record, &format!("{here}#hand"), gates),
    }
}

/// An address whose form leads back to this page once it is saved: here stands what comes after.
fn and_back(href: &str, base: &str) -> String {
    let (path, anchor) = href.split_once('#').unwrap_or((href, ""));
    if anchor.is_empty() {
        return href.to_owned();
    }
    let joint = if path.contains('?') { '&' } else { '?' };
    format!("{path}{joint}next={}#{anchor}", things::query(base))
}

/// The next step of the weekly round.
fn next(
    job: &Job,
    wanted: &[Want],
    inputs: &[(String, String)],
    (buying, is_crew): (&buy_list::FirstLines, bool),
    at_hand: Option<(&Record, &[Gate])>,
    (week, stage): (u32, weeks::Stage),
) -> Next {
    let base = format!("/jobs/{}", job.id);
    let go = |heading: &str, text: &str, href: String, words: &str| Next::Go {
        heading: heading.to_owned(),
        text: text.to_owned(),
        way: (and_back(&href, &base), words.to_owned()),
    };
    if job.count(Kind::Room) == 0 {
        return go(
            "Add the first room",
            "Its four walls come with it.",
            format!("{base}/house#add"),
            "Add a room",
        );
    }
    if job.count(Kind::Run) + job.count(Kind::Member) == 0 {
        return go(
            "Record the joists",
            "A run: size as found, spacing, first place, how many.",
            format!("{base}/run#add"),
            "Add a run",
        );
    }
    if job.changes().is_empty() {
        return go(
            "Plan the first change",
            "What comes out, what holds it, what replaces it.",
            format!("{base}/plan"),
            "Plan a change",
        );
    }
    if let Some(first) = wanted.first() {
        let hint = if first.wrong.is_empty() {
            first.waits.clone()
        } else {
            format!("{} {}", first.wrong, first.waits)
        };
        let mut ask = change::ask(job, &first.spot, "r1", &base, Main::Yes, hint);
        "nx".clone_into(&mut ask.labelled_by);
        return Next::Reading {
            heading: first.heading.clone(),
            ask,
        };
    }
    if let Some((text, href)) = inputs.first() {
        return go(
            text,
            "A change of this week needs it.",
            href.clone(),
            "Record it",
        );
    }
    if buying.to_buy > 0 && is_crew {
        let text = format!("{} still to buy for week {week}.", buying.count);
        return go(
            "Buy",
            &text,
            format!("{base}/buy-list?week={week}"),
            "Go to the buy list",
        );
    }
    if stage == weeks::Stage::LastDay
        && let Some(href) = weeks::close_href(job, week)
    {
        let text = "Today is its last day.";
        return go(&format!("Close week {week}"), text, href, "Close the week");
    }
    let held = at_hand.and_then(|(change, gates)| {
        let gate = holds::next_of(gates)?;
        Some((change, gate.event, holds::in_short(gate)))
    });
    if let Some((change, event, lacks)) = held {
        return go(
            &format!("{}: {}", event.title(), change.name()),
            &lacks,
            holds::gate_href(job, change, event),
            "Open the hold point",
        );
    }
    match at_hand {
        Some((change, _)) => go(
            change.name(),
            match (buying.to_buy > 0, buying.is_ordered) {
                (true, _) => "Something of this week is still to buy.",
                (false, true) => "Something of this week is ordered, and not here yet.",
                (false, false) => "Everything for it is here.",
            },
            format!("{base}/{}/{}", change.kind, change.id),
            "Open it",
        ),
        None => go(
            "Plan what comes next",
            "Everything of this week is done.",
            format!("{base}/plan"),
            "Plan a change",
        ),
    }
}
