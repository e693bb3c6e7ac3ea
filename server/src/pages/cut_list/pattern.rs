//! Patterns of the cut list in words and figures, for the page and for the list as text.

use scantling_takeoff::buy::{CutList, CutPiece, Item, Pattern, Run};
use scantling_takeoff::cutting::panels::SheetCut;
use scantling_takeoff::cutting::panels::least_cost::Way;
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Length;
use scantling_web::drawing::{panel, stick};
use scantling_web::pages::cut_list as view;

use super::ranges;

/// Every pattern of a list: what may be cut first, then what is held.
pub(crate) fn patterns(job: &Job, list: &CutList) -> Vec<view::Pattern> {
    drawn(job, list, &list.patterns(), 0)
}

/// These of its patterns, counted on from `from`; all of a list are drawn to one scale.
pub(super) fn drawn(
    job: &Job,
    list: &CutList,
    patterns: &[Pattern<'_>],
    from: usize,
) -> Vec<view::Pattern> {
    let of_kind = |is_panel: bool| {
        let items = list.sticks.iter().map(|stick| &stick.item);
        let sides = items.filter_map(move |item| match item {
            Item::Stick { length, .. } if !is_panel => Some(*length),
            Item::Panel { along, .. } if is_panel => Some(*along),
            _ => None,
        });
        sides.max().unwrap_or(Length::ZERO)
    };
    let longest = (of_kind(false), of_kind(true));
    patterns
        .iter()
        .enumerate()
        .map(|(at, pattern)| one(job, list.week, pattern, &format!("c{}", from + at), longest))
        .collect()
}

fn one(
    job: &Job,
    week: u32,
    pattern: &Pattern<'_>,
    id: &str,
    (longest_stick, longest_sheet): (Length, Length),
) -> view::Pattern {
    let first = pattern.first();
    let title = first.item.words(job);
    let mut held: Vec<String> = first
        .pieces
        .iter()
        .filter_map(|piece| piece.held.clone())
        .collect();
    held.sort();
    held.dedup();
    let drawing = match &first.item {
        Item::Panel { along, across, .. } => {
            let sides = (*along, *across, longest_sheet);
            view::Drawn::Panel(sheet(pattern, id, &title, sides))
        }
        Item::Stick { length, .. } => {
            view::Drawn::Stick(drawn_stick(pattern, id, &title, (*length, longest_stick)))
        }
        _ => view::Drawn::Stick(drawn_stick(pattern, id, &title, Default::default())),
    };
    view::Pattern {
        heading: format!("{} of {title}", pattern.sticks.len()),
        said: said(pattern),
        drawing,
        cuts: if pattern.is_held() {
            Vec::new()
        } else {
            cuts(pattern)
        },
        pieces: rows(job, week, pattern),
        held,
    }
}

/// Where it is, what comes off first, what is left; of one that is held nothing that a length could be read from.
fn said(pattern: &Pattern<'_>) -> String {
    let first = pattern.first();
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
    let trim = if first.trim > Length::ZERO {
        format!(" Square the end: {} in off first.", first.trim)
    } else {
        String::new()
    };
    let keep = if first.keep { "keep" } else { "scrap" };
    let left = match (&first.item, first.left) {
        _ if pattern.is_held() => String::new(),
        (Item::Panel { .. }, _) => match first.biggest_rest() {
            Some(rest) => format!(
                " Biggest drop {} × {}: {keep}.",
                rest.across.to_sixteenth_down(),
                rest.along.to_sixteenth_down()
            ),
            None => String::new(),
        },
        (_, left) if left <= Length::ZERO => " Nothing left.".to_owned(),
        (_, left) => format!(
            " Drop {}: {keep}.",
            unbroken(&left.to_sixteenth_down().feet_inches())
        ),
    };
    format!("{here}{lies}.{trim}{left}")
}

fn rows(job: &Job, week: u32, pattern: &Pattern<'_>) -> Vec<view::Piece> {
    // Behind a piece that is held no mark is known.
    let mut is_known = true;
    let runs = pattern.runs();
    runs.iter()
        .enumerate()
        .map(|(at, run)| {
            is_known &= run.pieces[0].held.is_none();
            row(
                job,
                week,
                run,
                (at == 0 && pattern.first().trim == Length::ZERO, is_known),
            )
        })
        .collect()
}

fn row(job: &Job, week: u32, run: &Run<'_>, (begins, is_known): (bool, bool)) -> view::Piece {
    let first = run.pieces[0];
    let is_panel = first.place.is_some();
    let is_held = first.held.is_some();
    let marks: Vec<&str> = run.pieces.iter().map(|piece| piece.mark.as_str()).collect();
    view::Piece {
        mark: ranges(&marks),
        length: match (is_held, is_panel) {
            (true, _) => "measure".to_owned(),
            (false, true) => size(first),
            (false, false) => first.length.to_sixteenth_down().feet_inches(),
        },
        exact: if is_held || is_panel {
            String::new()
        } else {
            first.length.to_string()
        },
        strike: if is_panel {
            String::new()
        } else {
            strike(run, begins, is_known)
        },
        what: whats(job, week, run),
    }
}

/// A panel piece's size as the takeoff has it: across × along the strength axis.
fn size(piece: &CutPiece) -> String {
    format!(
        "{} × {}",
        piece.across.to_sixteenth_down(),
        piece.length.to_sixteenth_down()
    )
}

/// `2 from each. Strike at 6' 3 5/8" and 12' 7 3/8".`
fn strike(run: &Run<'_>, begins: bool, is_known: bool) -> String {
    let several = run.pieces.len() > run.marks.len();
    let each = match run.marks.len() {
        1 => String::new(),
        n if several => format!("{n} from each."),
        n => format!("{n} of them."),
    };
    if !is_known || (begins && run.marks.len() == 1) {
        return each;
    }
    let marks: Vec<String> = run
        .marks
        .iter()
        .map(|mark| unbroken(&mark.to_sixteenth_down().feet_inches()))
        .collect();
    let space = if each.is_empty() { "" } else { " " };
    format!("{each}{space}Strike at {}.", listed(&marks))
}

/// A length that no line break parts.
fn unbroken(length: &str) -> String {
    length.replace(' ', "\u{a0}")
}

/// `a`, `a and b`, `a, b and c`.
fn listed(all: &[String]) -> String {
    match all {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What the pieces of a run are, need by need; their marks where there are several.
fn whats(job: &Job, week: u32, run: &Run<'_>) -> Vec<view::What> {
    let mut kinds: Vec<(&CutPiece, Vec<&str>)> = Vec::new();
    for piece in &run.pieces {
        let same = |(known, _): &&mut (&CutPiece, Vec<&str>)| {
            (&known.title, known.change) == (&piece.title, piece.change)
        };
        match kinds.iter_mut().find(same) {
            Some((_, marks)) => marks.push(&piece.mark),
            None => kinds.push((piece, vec![&piece.mark])),
        }
    }
    let several = kinds.len() > 1;
    kinds
        .into_iter()
        .map(|(piece, marks)| {
            let crown = if piece.crown_up { ", crown up ↑" } else { "" };
            let later = if piece.week == week {
                String::new()
            } else {
                format!(", for week {}", piece.week)
            };
            view::What {
                marks: if several {
                    ranges(&marks)
                } else {
                    String::new()
                },
                what: format!("{}{crown}{later}", piece.title),
                href: job.get(piece.change).map_or_else(String::new, |change| {
                    format!("/jobs/{}/{}/{}", job.id, change.kind, change.id)
                }),
                change: job.name(piece.change).to_owned(),
            }
        })
        .collect()
}

/// The marks at a place in cutting order, short enough for a drawing.
fn short_marks(pattern: &Pattern<'_>, at: usize) -> String {
    let marks: Vec<&str> = pattern
        .pieces_at(at)
        .map(|piece| piece.mark.as_str())
        .collect();
    let all = ranges(&marks);
    match all.split_once(", ") {
        Some((first, _)) => format!("{first} …"),
        None => all,
    }
}

fn drawn_stick(
    pattern: &Pattern<'_>,
    id: &str,
    title: &str,
    (length, longest): (Length, Length),
) -> stick::Stick {
    let first = pattern.first();
    let mut is_known = true;
    let pieces = first.pieces.iter().enumerate().map(|(at, piece)| {
        let is_held = piece.held.is_some();
        is_known &= !is_held;
        let crown = if piece.crown_up { " ↑" } else { "" };
        stick::Piece {
            mark: format!("{}{crown}", short_marks(pattern, at)),
            starts_at: piece.ends_at - piece.length,
            ends_at: piece.ends_at,
            line: match (is_held, is_known) {
                (true, _) => stick::Line::Measure,
                (false, true) => {
                    stick::Line::Strike(piece.ends_at.to_sixteenth_down().feet_inches())
                }
                (false, false) => stick::Line::Then(piece.length.to_sixteenth_down().feet_inches()),
            },
        }
    });
    let pieces = pieces.collect();
    let left = first.left.to_sixteenth_down().feet_inches();
    stick::Stick {
        id: id.to_owned(),
        title: title.to_owned(),
        length,
        longest,
        trim: first.trim,
        pieces,
        rest: match (pattern.is_held(), first.keep) {
            (true, _) => stick::Rest::Open,
            (false, true) => stick::Rest::Keep(left),
            (false, false) if first.left > Length::ZERO => stick::Rest::Scrap(left),
            (false, false) => stick::Rest::Nothing,
        },
    }
}

fn sheet(
    pattern: &Pattern<'_>,
    id: &str,
    title: &str,
    (along, across, longest): (Length, Length, Length),
) -> panel::Panel {
    let first = pattern.first();
    let pieces = first.pieces.iter().enumerate().filter_map(|(at, piece)| {
        let place = piece.place?;
        Some(panel::Piece {
            mark: short_marks(pattern, at),
            size: size(piece),
            at: [place.x, place.y, place.along, place.across],
            state: if piece.held.is_some() {
                panel::State::Held
            } else {
                panel::State::Free
            },
        })
    });
    let is_held = pattern.is_held();
    let all_cuts = first.sawing.iter().flat_map(|sawing| &sawing.cuts);
    panel::Panel {
        id: id.to_owned(),
        title: title.to_owned(),
        along,
        across,
        longest,
        pieces: pieces.collect(),
        cuts: all_cuts.filter(|_| !is_held).map(cut_line).collect(),
        keep: first
            .biggest_rest()
            .filter(|_| first.keep && !is_held)
            .map(|rest| [rest.x, rest.y, rest.along, rest.across]),
    }
}

fn cut_line(cut: &SheetCut) -> panel::Cut {
    let part = cut.part;
    match cut.way {
        Way::Crosscut => panel::Cut {
            from: [part.x + cut.at, part.y],
            to: [part.x + cut.at, part.y + part.across],
        },
        Way::Rip => panel::Cut {
            from: [part.x, part.y + cut.at],
            to: [part.x + part.along, part.y + cut.at],
        },
    }
}

/// A sheet's cuts in order, each with its mark and the pieces that it parts.
fn cuts(pattern: &Pattern<'_>) -> Vec<String> {
    let first = pattern.first();
    let marks = |pieces: &[usize]| {
        let named = pieces.iter().flat_map(|at| pattern.pieces_at(*at));
        let named: Vec<&str> = named.map(|piece| piece.mark.as_str()).collect();
        match ranges(&named) {
            _ if pieces.is_empty() => "the drop".to_owned(),
            named if named.is_empty() => "a piece".to_owned(),
            named => named,
        }
    };
    let all = first.sawing.iter().flat_map(|sawing| &sawing.cuts);
    all.map(|cut| {
        let way = match cut.way {
            Way::Crosscut => "Across",
            Way::Rip => "Lengthwise",
        };
        format!(
            "{way} at {} in: {} | {}",
            cut.at.to_sixteenth_down(),
            marks(&cut.before),
            marks(&cut.behind)
        )
    })
    .collect()
}
