//! Board with sheet goods (rule 11 of takeoff): pieces, screws, tape and compound, and furring where it is thinner than the
//! old board.
//!
//! Pieces lie as in `panels`, tight. A piece wholly in an opening of the wall falls out; one that an opening cuts is still a
//! whole piece. Supports are the joists of the run, else they stand at the spacing from the edge on, with one at each end.
//! On a wall the courses go up from the floor, and the edge is measured from the wall's zero end. A line of screws stands
//! at every support crossed, one at a piece's end among them; a support that ends two pieces counts for both. Where none is
//! recorded at an end of the board, that is said. Whether the surface is flat enough is not here.
//!
//! Source: IRC Table R702.3.5, ASTM C840, GA-216 for screws of gypsum ceilings (see `tables::panel_fastening`); the rest is
//! common practice, no published source.
//!
//! Example: a ceiling of 120 × 96, sheets of 96 × 48, supports at 16: pieces of 96, 24, 80 and 40 by 48. Screws at 12 in:
//! (7 + 3 + 6 + 4) × 5 = 100. Tape: 120 between courses, 2 × 48 between pieces, 432 round: 648 in, 54 ft.

mod finish;
mod furring;
mod openings;

use std::collections::BTreeMap;

use super::inputs::{fastener, must_have, setting};
use super::joists::Joist;
use super::outline::Outline;
use super::panels::{Laid, Sheet, lay, supports};
use super::piece::{by_count, inches};
use super::{Class, Finding, Takeoff, Verdict, result, sum};
use crate::record::settings::SPACING;
use crate::record::{Job, Record};
use crate::tables::panel_fastening::GYPSUM_SCREW_SPACING;
use crate::units::Length;

/// The needs of boarding.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let waits = "Board pieces";
    let (id, of) = (change.id, |field| change.length(field));
    let sheet = Sheet::of(job, change, waits, out);
    let text = "across the supports";
    let across = must_have(of("across"), id, "across", text, waits, out);
    let along = must_have(of("along"), id, "along", "along the supports", waits, out);
    let (Some(sheet), Some(across), Some(along)) = (sheet, across, along) else {
        return;
    };
    let supports = match change.to("run") {
        Some(_) => supports(
            job,
            change,
            "the supports",
            "Joints and screws of the board",
            out,
        ),
        None => Some(spaced(job, change, across)),
    };
    let openings = openings::of_wall(job, change, (across, along), waits, out);
    let centres: Vec<Length> = supports.iter().flatten().map(|at| at.centre).collect();
    let outline = Outline::rectangle(across, along);
    let gap = Length::ZERO;
    let mut pieces = match lay(&outline, sheet.class.along, sheet.cover, gap, &centres) {
        Ok(layout) => layout.pieces,
        Err(unheld) => {
            if supports.is_some() {
                unheld.say(&sheet, out);
            }
            return;
        }
    };
    pieces.retain(|piece| !openings.iter().any(|opening| opening.holds(piece)));
    let board = Board {
        job,
        change,
        across,
        openings,
        laid: Laid {
            sheet,
            along,
            gap,
            supports: supports.unwrap_or_default(),
            pieces,
        },
    };
    board.laid.push_pieces("Board piece", "BD", out);
    if !board.laid.supports.is_empty() {
        say_bare_ends(&board, out);
        push_screws(&board, out);
        furring::push_strips(&board, out);
    }
    finish::push_finish(&board, out);
}

/// A boarded surface, laid out.
struct Board<'a> {
    job: &'a Job,
    change: &'a Record,
    across: Length,
    openings: Vec<openings::Opening>,
    laid: Laid<'a>,
}

/// Supports at the spacing from the edge on, and at the far edge.
fn spaced(job: &Job, change: &Record, across: Length) -> Vec<Joist> {
    let spacing = setting(job, change, "spacing", "spacing", SPACING);
    let at = |centre| Joist {
        number: 0,
        centre,
        thickness: Length::ZERO,
        readings: [].into(),
        held: None,
    };
    let mut all: Vec<Joist> = (0..across.div_up(spacing))
        .map(|n| at(spacing * n))
        .collect();
    all.push(at(across));
    all
}

/// Says where no support stands at an end of the board: none reaches from under it to that end, nor has its centre there.
fn say_bare_ends(board: &Board, out: &mut Takeoff) {
    let Laid {
        supports, pieces, ..
    } = &board.laid;
    let (zero, across) = (Length::ZERO, board.across);
    let at_start = |it: &Joist| it.centre == zero || (it.near() <= zero && zero < it.far());
    let at_end = |it: &Joist| it.centre == across || (it.near() < across && across <= it.far());
    let bare_start = !supports.iter().any(at_start);
    let bare_end = !supports.iter().any(at_end);
    let starts = pieces.iter().any(|piece| piece.starts_on.is_none());
    let ends = pieces.iter().any(|piece| piece.ends_on.is_none());
    for (is_bare, which, at) in [
        (starts && bare_start, "start", zero),
        (ends && bare_end, "far end", across),
    ] {
        if is_bare {
            let text = format!(
                "No support is recorded at the {which} ({}): the board’s edge there needs one. Frame one in, or record it.",
                inches(at)
            );
            let verdict = Verdict::Said;
            out.findings.push(Finding { verdict, text });
        }
    }
}

fn push_screws(board: &Board, out: &mut Takeoff) {
    let Board {
        job, change, laid, ..
    } = board;
    let waits = "Screws, board";
    let spacing = change
        .length("screw_spacing")
        .or(by_schedule(change, &laid.sheet));
    let text =
        "how far apart the screws are; the schedule has gypsum ceilings of 1/2 and 5/8 alone";
    let spacing = must_have(spacing, change.id, "screw_spacing", text, waits, out);
    let text = "screw for board";
    let class = fastener(job, change, "screw", "board_screw", None, text, waits, out);
    let (Some(spacing), Some(class)) = (spacing, class) else {
        return;
    };
    let mut like: BTreeMap<(Length, Length, i64), i64> = BTreeMap::new();
    for piece in &laid.pieces {
        let crossed = i64::try_from(laid.crossed(piece.across).len()).unwrap_or(0);
        let size = (piece.across.length(), piece.along.length(), crossed);
        *like.entry(size).or_default() += 1;
    }
    let each = |along: Length, crossed: i64| crossed * (along.div_up(spacing) + 1);
    let total: i64 = like
        .iter()
        .map(|((_, along, crossed), n)| each(*along, *crossed) * n)
        .sum();
    if total == 0 {
        return;
    }
    let mut need = by_count("screw", "Screw, board", Class::Fastener(class), total);
    for ((across, along, crossed), n) in like.iter().rev() {
        need.sums.push(sum(
            format!("{n} of {across} × {along}"),
            format!("{n} × {}", each(*along, *crossed)),
            format!("{crossed} supports, those at ends included, × (up({along} ÷ {spacing}) + 1)"),
        ));
    }
    need.sums.push(result("Screws", total.to_string(), ""));
    need.readings = laid.readings();
    out.needs.push(need);
}

/// What the schedule says of screws: gypsum ceilings of 1/2 and 5/8.
///
/// Source: IRC Table R702.3.5, ASTM C840, GA-216.
fn by_schedule(change: &Record, sheet: &Sheet) -> Option<Length> {
    let listed = [32, 40].map(Length::from_64ths);
    let is_gypsum = sheet.class.panel.to_lowercase().contains("gypsum");
    (is_gypsum && change.says("surface", "ceiling") && listed.contains(&sheet.class.thickness))
        .then_some(GYPSUM_SCREW_SPACING)
}

#[cfg(test)]
mod tests;
