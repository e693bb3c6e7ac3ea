//! The cut list of a week.

mod cheap;
mod pattern;

use actix_web::{HttpResponse, web};
use scantling_db::Who;
use scantling_takeoff::buy::{CutList, Pattern, Spare, cut_list};
use scantling_takeoff::record::{Job, Role};
use scantling_web::pages::cut_list as view;
use uuid::Uuid;

use super::{materials, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

pub(crate) use cheap::{Prices, cheap};
pub(crate) use pattern::patterns;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let week = weeks.first().copied().unwrap_or(1);
    let list = cut_list(&job, week);
    let prices = if who.role >= Role::Crew {
        Prices::Shown
    } else {
        Prices::Hidden
    };
    let view = view::View {
        weeks: materials::week_tabs(&job, "cut-list", &[week], materials::Together::No),
        sub: format!(
            "Work week {week}. Write the mark on each piece. Kerf {} in.",
            job.settings.kerf
        ),
        held: held(&list),
        sections: sections(&job, &list),
        spare: list
            .spare
            .iter()
            .map(|spare| spare_words(&job, spare))
            .collect(),
        cost: cheap(&list.least, prices),
        unmet: list.unmet,
        shell: shell::shell(&job, "Cut list", "/cut-list", clock::today()),
    };
    Ok(html(view::page(&view)))
}

/// Which pieces may not be cut yet.
fn held(list: &CutList) -> String {
    let held: Vec<&str> = list
        .sticks
        .iter()
        .flat_map(|stick| &stick.pieces)
        .filter(|piece| piece.held.is_some())
        .map(|piece| piece.mark.as_str())
        .collect();
    if held.is_empty() {
        return String::new();
    }
    format!(
        "{} rest on readings that are single or differ. Measure again first.",
        ranges(&held)
    )
}

/// What may be cut, and what waits; a section with nothing in it is left out.
fn sections(job: &Job, list: &CutList) -> Vec<view::Section> {
    let all = list.patterns();
    let (held, free): (Vec<Pattern<'_>>, Vec<Pattern<'_>>) =
        all.into_iter().partition(Pattern::is_held);
    let section = |title, patterns: Vec<Pattern<'_>>, from: usize| {
        let sticks: usize = patterns.iter().map(|pattern| pattern.sticks.len()).sum();
        view::Section {
            title,
            count: format!("{sticks} in all"),
            patterns: pattern::drawn(job, list, &patterns, from),
        }
    };
    let after = free.len();
    [
        section("May be cut when here", free, 0),
        section("Hold", held, after),
    ]
    .into_iter()
    .filter(|section| !section.patterns.is_empty())
    .collect()
}

/// `1 of 2×4 Hem-Fir No.2, 10 ft, to buy`.
pub(crate) fn spare_words(job: &Job, spare: &Spare) -> String {
    let from = match (spare.here, spare.to_buy) {
        (_, 0) => "here or ordered".to_owned(),
        (0, _) => "to buy".to_owned(),
        (here, to_buy) => format!("{here} here or ordered, {to_buy} to buy"),
    };
    let count = spare.here + spare.to_buy;
    format!("{count} of {}, {from}", spare.item.words(job))
}

/// Marks as ranges: `3-ST1 … 11, 3-PL1`. Marks that follow one another by number are joined.
pub(crate) fn ranges(marks: &[&str]) -> String {
    let split = |mark: &str| {
        let at = mark.trim_end_matches(|c: char| c.is_ascii_digit()).len();
        (
            mark.get(..at).unwrap_or("").to_owned(),
            mark.get(at..)
                .and_then(|n| n.parse::<u32>().ok())
                .unwrap_or(0),
        )
    };
    let mut all: Vec<(String, u32)> = marks
        .iter()
        .filter(|mark| !mark.is_empty())
        .map(|mark| split(mark))
        .collect();
    all.sort();
    all.dedup();
    let mut out: Vec<(String, u32, u32)> = Vec::new();
    for (head, n) in all {
        match out.last_mut() {
            Some((last, _, to)) if *last == head && *to + 1 == n => *to = n,
            _ => out.push((head, n, n)),
        }
    }
    let word = |(head, from, to): &(String, u32, u32)| {
        if from == to {
            format!("{head}{from}")
        } else {
            format!("{head}{from} … {to}")
        }
    };
    out.iter().map(word).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::ranges;

    #[test]
    fn marks_that_follow_one_another_are_joined() {
        assert_eq!(
            ranges(&["3-ST2", "3-ST1", "3-ST3", "3-PL1", "", "3-ST7"]),
            "3-PL1, 3-ST1 … 3, 3-ST7"
        );
    }
}
