//! The cut list of a week.

use actix_web::{HttpResponse, web};
use scantling_takeoff::buy::{CutStick, Item, cut_list};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Length;
use scantling_web::pages::cut_list as view;
use uuid::Uuid;

use super::{materials, shell};
use crate::clock;
use crate::error::{HttpError, html};
use crate::state::State;

/// The page.
pub(crate) async fn show(
    state: web::Data<State>,
    job: web::Path<Uuid>,
    asked: web::Query<Vec<(String, String)>>,
) -> Result<HttpResponse, HttpError> {
    let (job, weeks) = materials::job_and_weeks(&state, *job, &asked).await?;
    let week = weeks.first().copied().unwrap_or(1);
    let list = cut_list(&job, week);
    let held: Vec<&str> = list
        .sticks
        .iter()
        .flat_map(|stick| &stick.pieces)
        .filter(|piece| piece.held.is_some())
        .map(|piece| piece.mark.as_str())
        .collect();
    let view = view::View {
        weeks: materials::week_tabs(&job, "cut-list", &[week], materials::Together::No),
        sub: format!(
            "Work week {week}. Write the mark on each piece. Kerf {} in.",
            job.settings.kerf
        ),
        held: if held.is_empty() {
            String::new()
        } else {
            format!(
                "{} rest on readings that are single or differ. Measure again first.",
                ranges(&held)
            )
        },
        sticks: alike(&job, &list.sticks),
        unmet: list.unmet,
        shell: shell::shell(&job, "Cut list", "/cut-list", clock::today()),
    };
    Ok(html(view::page(&view)))
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

/// Like sticks together: the same item, whether it is here, and the same cuts.
pub(crate) fn alike(job: &Job, sticks: &[CutStick]) -> Vec<view::Stick> {
    let mut groups: Vec<(&CutStick, Vec<&CutStick>)> = Vec::new();
    for stick in sticks {
        let same = |a: &CutStick, b: &CutStick| {
            a.item == b.item
                && (a.row.is_some(), a.ordered) == (b.row.is_some(), b.ordered)
                && a.left == b.left
                && a.pieces.len() == b.pieces.len()
                && a.pieces.iter().zip(&b.pieces).all(|(p, q)| {
                    p.length == q.length
                        && p.across == q.across
                        && p.title == q.title
                        && p.held.is_some() == q.held.is_some()
                })
        };
        match groups.iter_mut().find(|(first, _)| same(first, stick)) {
            Some((_, more)) => more.push(stick),
            None => groups.push((stick, vec![stick])),
        }
    }
    groups
        .into_iter()
        .map(|(first, all)| group(job, first, &all))
        .collect()
}

fn group(job: &Job, first: &CutStick, all: &[&CutStick]) -> view::Stick {
    let here = match (first.row.is_some(), first.ordered) {
        (_, true) => "Ordered",
        (true, false) => "On hand",
        (false, false) => "To buy",
    };
    let lies = if first.lies.is_empty() {
        String::new()
    } else {
        format!(", {}", first.lies)
    };
    let is_panel = matches!(first.item, Item::Panel { .. });
    let left = match (is_panel, first.left) {
        (true, _) => String::new(),
        (false, left) if left <= Length::ZERO => " Nothing left.".to_owned(),
        (false, left) => format!(
            " Left {}: {}.",
            left.feet_inches(),
            if first.keep { "keep" } else { "scrap" }
        ),
    };
    let pieces = first
        .pieces
        .iter()
        .enumerate()
        .map(|(at, piece)| {
            let marks: Vec<&str> = all
                .iter()
                .filter_map(|stick| stick.pieces.get(at))
                .map(|p| p.mark.as_str())
                .collect();
            let crown = if piece.crown_up { ", crown up ↑" } else { "" };
            let size = if is_panel {
                format!("{} × {}", piece.length, piece.across)
            } else {
                piece.length.to_sixteenth_down().feet_inches()
            };
            view::Piece {
                mark: ranges(&marks),
                length: if piece.held.is_some() {
                    "measure".to_owned()
                } else {
                    size
                },
                exact: if piece.held.is_some() || is_panel {
                    String::new()
                } else {
                    piece.length.to_string()
                },
                what: format!("{}{crown}. {}", piece.title, job.name(piece.change)),
            }
        })
        .collect();
    view::Stick {
        heading: format!("{} of {}", all.len(), first.item.words(job)),
        said: format!("{here}{lies}.{left}"),
        pieces,
    }
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
