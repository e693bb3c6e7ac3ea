//! Openings of the wall that is boarded, in the board's measure.
//!
//! Source: common practice, no published source.

use super::super::inputs::must_have;
use super::super::outline::Span;
use super::super::panels::Piece;
use super::super::{Finding, Takeoff, Verdict};
use crate::record::{Job, Kind, Record};
use crate::units::Length;

/// An opening, as far as it lies in the board.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Opening {
    /// Across the supports.
    pub(super) across: Span,
    /// Along them.
    pub(super) along: Span,
}

impl Opening {
    /// Whether a piece lies wholly in it.
    pub(super) fn holds(self, piece: &Piece) -> bool {
        self.across.common(piece.across) == Some(piece.across)
            && self.along.common(piece.along) == Some(piece.along)
    }
}

/// The openings of the change's wall within the board; one whose place isn't recorded stays board, and that is said.
pub(super) fn of_wall(
    job: &Job,
    change: &Record,
    (across, along): (Length, Length),
    waits: &str,
    out: &mut Takeoff,
) -> Vec<Opening> {
    if !change.says("surface", "wall") {
        return Vec::new();
    }
    let Some(wall) = change.to("wall") else {
        let text = "No wall is named: no opening comes off the board. Name the wall.".to_owned();
        let verdict = Verdict::Said;
        out.findings.push(Finding { verdict, text });
        return Vec::new();
    };
    let mut openings: Vec<&Record> = job
        .all(Kind::Opening)
        .filter(|opening| opening.to("wall") == Some(wall))
        .collect();
    openings.sort_by_key(|opening| (opening.length("from"), opening.id));
    if openings.is_empty() {
        return Vec::new();
    }
    let text = "where its edge is, from the wall’s zero end";
    let start = change.length("starts_at");
    let start = must_have(start, change.id, "starts_at", text, waits, out);
    let board = |to| Span {
        from: Length::ZERO,
        to,
    };
    let mut all = Vec::new();
    for opening in openings {
        let mut of = |field: &'static str, what: &str| {
            let text = format!("{what} of {}", opening.name());
            let found = opening.length(field);
            must_have(found, opening.id, field, &text, waits, out)
        };
        let from = of("from", "the place");
        let sill = of("sill", "the sill above the floor (0 for a door)");
        let width = of("width", "the width");
        let height = of("height", "the height");
        let (Some(start), Some(from), Some(sill), Some(width), Some(height)) =
            (start, from, sill, width, height)
        else {
            continue;
        };
        let span = |from, length| Span {
            from,
            to: from + length,
        };
        let at = span(from - start, width).common(board(across));
        let up = span(sill, height).common(board(along));
        if let (Some(across), Some(along)) = (at, up) {
            all.push(Opening { across, along });
        }
    }
    all
}
