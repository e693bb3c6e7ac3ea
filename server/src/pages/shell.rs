//! What surrounds every page of a job: title block, bar and index, each with one fact.

use scantling_takeoff::record::{Job, Kind};
use scantling_web::Page;
use scantling_web::layout::{
    Bar, BarLink, Here, IndexGroup, IndexLink, JobHead, Main, Note, Shell, Wrong,
};
use scantling_web::pages::form_page;
use scantling_web::parts::form::Form;
use time::Date;

/// The work week that the page speaks of: the one whose days hold today, else the nearer one ([`nearest`]). Where
/// no week has days: the first with something not done, else 1. A closed week is passed over while another is open.
pub(crate) fn week_now(job: &Job, today: Date) -> u32 {
    let day = i64::from(today.to_julian_day());
    let mut weeks: Vec<(u32, Option<i64>, Option<i64>)> = job
        .all(Kind::Week)
        .filter_map(|week| {
            Some((
                u32::try_from(week.number("number")?).ok()?,
                week.number("start"),
                week.number("end"),
            ))
        })
        .collect();
    weeks.sort_unstable();
    let is_open = |number: u32| !job.is_closed(number);
    if weeks.iter().any(|(number, ..)| is_open(*number)) {
        weeks.retain(|(number, ..)| is_open(*number));
    }
    if let Some(number) = nearest(&weeks, day) {
        return number;
    }
    job.changes()
        .iter()
        .filter(|change| !matches!(change.state.as_str(), "done" | "dropped"))
        .map(|c| c.week())
        .filter(|week| is_open(*week))
        .min()
        .or(weeks.first().map(|(number, ..)| *number))
        .unwrap_or(1)
}

/// From Saturday to Monday.
const DAYS_OF_A_WEEKEND: i64 = 2;

/// Of weeks with their first and last days the one that holds a day; on a weekend the one that begins behind it; else the
/// nearer, of equal ones the coming: on the weekend before a gap that is still the one that was worked in. None where none
/// has a day.
fn nearest(weeks: &[(u32, Option<i64>, Option<i64>)], day: i64) -> Option<u32> {
    let dated = weeks.iter().filter_map(|(number, start, end)| {
        let start = (*start)?;
        Some((*number, start, end.unwrap_or(start).max(start)))
    });
    let away = |&(_, start, end): &(u32, i64, i64)| {
        let off = (start - day).max(day - end).max(0);
        let is_next = (1..=DAYS_OF_A_WEEKEND).contains(&(start - day));
        (off > 0, !is_next, off, start <= day, start)
    };
    dated.min_by_key(away).map(|(number, ..)| number)
}

/// Every week number that is known: recorded weeks and those of changes.
pub(crate) fn week_numbers(job: &Job) -> Vec<u32> {
    let recorded = job
        .all(Kind::Week)
        .filter_map(|week| week.number("number"))
        .filter_map(|n| u32::try_from(n).ok());
    let mut all: Vec<u32> = recorded
        .chain(job.changes().iter().map(|change| change.week()))
        .collect();
    all.sort_unstable();
    all.dedup();
    if all.is_empty() { vec![1] } else { all }
}

/// The shell of a page. `here` is the address of the index's entry that it belongs to, without the job's part.
pub(crate) fn shell<'a>(job: &'a Job, title: &'a str, here: &str, today: Date) -> Shell<'a> {
    let week = week_now(job, today);
    let of = week_numbers(job).into_iter().max().unwrap_or(week);
    Shell {
        title,
        job: Some(JobHead {
            name: name(job),
            href: format!("/jobs/{}", job.id),
            week: format!("Week {week} of {of}"),
            units: job.settings.units,
        }),
        note: None,
        after: after(job, here, week),
        bar: Bar::default(),
        index: index(job, here, week),
    }
}

/// The next step of the weekly round from a page.
fn after(job: &Job, here: &str, week: u32) -> Option<(String, String)> {
    let (path, words) = match here {
        "/house" | "/week" | "/settings" | "/checks" => ("/plan".to_owned(), "Plan a change"),
        "/changes" => (format!("/materials?week={week}"), "Materials of the week"),
        "/materials" | "/prices" | "/supplier" | "/hardware" => {
            (format!("/buy-list?week={week}"), "Buy list")
        }
        "/buy-list" => (format!("/cut-list?week={week}"), "Cut list"),
        "/cut-list" | "/on-hand" | "/note" => (String::new(), "This week’s work"),
        "/receipt" | "/order" | "/money" => ("/on-hand".to_owned(), "On hand"),
        _ => return None,
    };
    Some((format!("/jobs/{}{path}", job.id), words.to_owned()))
}

/// The job's name.
pub(crate) fn name(job: &Job) -> &str {
    job.record().map_or("Job", |record| record.name())
}

/// A bar with plain links, the last of them the page's main action where `main` says so.
pub(crate) fn bar(links: Vec<(String, &str)>, main: Main) -> Bar {
    let last = links.len();
    let links = links
        .into_iter()
        .enumerate()
        .map(|(at, (href, text))| BarLink {
            href,
            text: text.to_owned(),
            main: if at + 1 == last { main } else { Main::No },
        });
    Bar {
        class: "",
        links: links.collect(),
        more: None,
    }
}

fn index(job: &Job, here: &str, week: u32) -> Vec<IndexGroup> {
    let link = |path: &str, name: &'static str, fact: String| IndexLink {
        href: format!("/jobs/{}{path}", job.id),
        name,
        fact,
        here: if path == here { Here::Yes } else { Here::No },
    };
    let n = |kind: Kind| job.count(kind);
    let changes = job.changes();
    let open = changes
        .iter()
        .filter(|change| !matches!(change.state.as_str(), "done" | "dropped"))
        .count();
    let this_week = changes
        .iter()
        .filter(|change| change.week() == week)
        .count();
    vec![
        IndexGroup {
            name: "Work",
            links: vec![
                link("", "This week", format!("week {week}")),
                link("/holds", "Hold points", "may it be cut yet".to_owned()),
                link(
                    "/house",
                    "House",
                    format!("{} rooms, {} walls", n(Kind::Room), n(Kind::Wall)),
                ),
                link(
                    "/changes",
                    "Changes",
                    format!("{this_week} this week, {open} open"),
                ),
                link("/checks", "Checks", "fit and strength".to_owned()),
            ],
        },
        IndexGroup {
            name: "Buy and cut",
            links: vec![
                link("/materials", "Materials", "with the sums".to_owned()),
                link("/buy-list", "Buy list", "by week".to_owned()),
                link("/cut-list", "Cut list", "marks and lengths".to_owned()),
                link("/order", "Yard orders", n(Kind::Order).to_string()),
                link("/on-hand", "On hand", "what is here".to_owned()),
                link("/receipt", "Receipts", n(Kind::Receipt).to_string()),
                link("/money", "Money", "planned and spent".to_owned()),
            ],
        },
        IndexGroup {
            name: "Record",
            links: vec![
                link(
                    "/hardware",
                    "Hardware table",
                    format!("{} rows", n(Kind::Hardware)),
                ),
                link(
                    "/prices",
                    "Price book",
                    format!("{} prices", n(Kind::Price)),
                ),
                link("/supplier", "Suppliers", n(Kind::Supplier).to_string()),
                link("/differs", "Two answers", "written at once".to_owned()),
                IndexLink {
                    href: "/crew".to_owned(),
                    name: "Crew and phones",
                    fact: "who may, which phones".to_owned(),
                    here: Here::No,
                },
                link("/note", "Notes", n(Kind::Note).to_string()),
                link("/photo", "Photos", n(Kind::Photo).to_string()),
                link("/week", "Weeks", n(Kind::Week).to_string()),
                link("/settings", "Settings", "job and rules".to_owned()),
                link("/job-file", "Job file", "all of it, to keep".to_owned()),
                link("/job.zip", "Job in a zip", "with its photos".to_owned()),
            ],
        },
    ]
}

/// A form on a page of its own.
pub(crate) fn form_page(
    job: &Job,
    title: &str,
    sub: &str,
    form: Form<'_>,
    note: Option<Note>,
    today: Date,
) -> Page {
    let mut shell = shell(job, title, "", today);
    shell.note = note;
    form_page::page(&form_page::View {
        up: (format!("/jobs/{}", job.id), "This week".to_owned()),
        sub: sub.to_owned(),
        caution: None,
        form,
        history: None,
        shell,
    })
}

/// The banner over a form that was refused.
pub(crate) fn refused_note() -> Note {
    Note {
        bad: Wrong::Yes,
        lead: "Not saved.".to_owned(),
        text: "What you typed is below. Put right what is marked, then save.".to_owned(),
    }
}

/// The banner after a save.
pub(crate) fn saved_note(text: String) -> Note {
    Note {
        bad: Wrong::No,
        lead: "Saved.".to_owned(),
        text,
    }
}

/// What a button says that adds a thing of this kind.
pub(crate) fn save_words(kind: Kind) -> String {
    if kind.is_change() {
        "Save change".to_owned()
    } else {
        format!("Save {}", kind.title().to_lowercase())
    }
}

/// What a page is called that adds a thing of this kind.
pub(crate) fn add_words(kind: Kind) -> String {
    if kind.is_change() {
        return kind.title().to_owned();
    }
    let title = kind.title().to_lowercase();
    let article = if title.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("Add {article} {title}")
}

#[cfg(test)]
mod tests {
    use super::nearest;

    #[test]
    fn the_week_now_holds_today_or_is_the_nearer_one() {
        // Mon to Fri, the next Mon to Fri, then a gap of two weeks; one without an end, one without days.
        let weeks = [
            (1, Some(0), Some(4)),
            (2, Some(7), Some(11)),
            (3, Some(28), Some(32)),
            (4, Some(35), None),
            (5, None, None),
        ];
        for (day, week) in [
            (-9, 1),
            (0, 1),
            (4, 1),
            (5, 2),
            (6, 2),
            (7, 2),
            (12, 2),
            (13, 2),
            (19, 2),
            (20, 3),
            (30, 3),
            (33, 4),
            (34, 4),
            (35, 4),
            (90, 4),
        ] {
            assert_eq!(nearest(&weeks, day), Some(week), "on day {day}");
        }
        assert_eq!(nearest(&[(5, None, None)], 3), None);
    }
}
