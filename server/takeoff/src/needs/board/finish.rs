//! Tape and compound of a boarded surface.
//!
//! Tape goes over every joint between pieces and every outer edge that isn't marked as meeting new work; the sum is rounded
//! up to a foot once. Compound is counted by the square foot that it serves, less openings.
//!
//! Source: common practice, no published source.

use super::super::outline::Span;
use super::super::panels::{Edge, Piece};
use super::super::piece::{by_count, inches};
use super::super::{Class, Takeoff, result, sum};
use super::Board;
use crate::units::Length;

const FOOT: Length = Length::feet(1);
/// A square foot, in square 1/64 in.
const SQ_FT: i64 = 144 * 64 * 64;

/// Tape and compound, where they are recorded as wanted.
pub(super) fn push_finish(board: &Board, out: &mut Takeoff) {
    if !board.change.says("tape", "yes") {
        return;
    }
    push_tape(board, out);
    push_compound(board, out);
}

fn push_tape(board: &Board, out: &mut Takeoff) {
    let pieces = &board.laid.pieces;
    let mut ends = Length::ZERO;
    let mut between = Length::ZERO;
    for (n, piece) in pieces.iter().enumerate() {
        for other in &pieces[n + 1..] {
            if piece.course == other.course
                && piece.ends_on.is_some()
                && piece.ends_on == other.starts_on
            {
                ends += piece.along.length();
            }
            if other.course == piece.course + 1 {
                let shared = piece.across.common(other.across);
                between += shared.map_or(Length::ZERO, Span::length);
            }
        }
    }
    let new = board.change.texts("new_edges");
    let edge = |word: &str, length: fn(&Piece) -> Length, is_there: fn(&Piece) -> bool| {
        let at = pieces.iter().filter(|piece| is_there(piece)).map(length);
        if new.contains(&word) {
            Length::ZERO
        } else {
            at.sum()
        }
    };
    let along = |piece: &Piece| piece.along.length();
    let across = |piece: &Piece| piece.across.length();
    let edges = edge("start", along, |piece| piece.starts_on.is_none())
        + edge("end", along, |piece| piece.ends_on.is_none())
        + edge("zero", across, |piece| piece.edges[0] == Edge::Outer)
        + edge("far", across, |piece| piece.edges[1] == Edge::Outer);
    let all = ends + between + edges;
    let feet = all.div_up(FOOT);
    if feet == 0 {
        return;
    }
    let class = Class::Sundry {
        name: "joint tape".to_owned(),
        unit: "foot".to_owned(),
    };
    let mut need = by_count("tape", "Joint tape", class, feet);
    let but = if new.is_empty() {
        "all round"
    } else {
        "those that meet new work left out"
    };
    need.sums = vec![
        sum("Between courses", inches(between), ""),
        sum("+ between pieces of a course", inches(ends), ""),
        sum("+ outer edges", inches(edges), but),
        result("Feet", feet.to_string(), format!("up({all} ÷ 12)")),
    ];
    need.readings = board.laid.readings();
    out.needs.push(need);
}

fn push_compound(board: &Board, out: &mut Takeoff) {
    let area = |across: Length, along: Length| across.as_64ths() * along.as_64ths();
    let whole = area(board.across, board.laid.along);
    let openings: i64 = board
        .openings
        .iter()
        .map(|opening| area(opening.across.length(), opening.along.length()))
        .sum();
    let served = (whole - openings).max(0);
    // up: the negative rounds down
    let feet = -(-served).div_euclid(SQ_FT);
    let class = Class::Sundry {
        name: "joint compound, area served".to_owned(),
        unit: "each".to_owned(),
    };
    let mut need = by_count("compound", "Joint compound, by sq ft served", class, feet);
    let in_sq_inches = |n: i64| format!("{} sq in", n.div_euclid(64 * 64));
    need.sums = vec![
        sum(
            "Area",
            in_sq_inches(whole),
            format!("{} × {}", board.across, board.laid.along),
        ),
        sum("− openings", in_sq_inches(openings), ""),
        result("Sq ft served", feet.to_string(), "÷ 144, up"),
    ];
    out.needs.push(need);
}
