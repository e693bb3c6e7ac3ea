//! Like sticks together: one stop on the saw, one pattern, so many sticks.
//!
//! Sticks go together if they are the same thing, come from the same place and are cut at the same marks, whatever change
//! each piece is for: its mark says that. Source: common practice, no published source.

use super::{CutList, CutPiece, CutStick};
use crate::units::Length;

/// Sticks or sheets that are all cut alike.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pattern<'a> {
    /// They, in the order of the list.
    pub sticks: Vec<&'a CutStick>,
}

/// Equal pieces one behind the other, the same on each stick of a pattern.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Run<'a> {
    /// The pieces of all its sticks, stick by stick.
    pub pieces: Vec<&'a CutPiece>,
    /// Where on each stick they end, from the zero end.
    pub marks: Vec<Length>,
}

impl<'a> Pattern<'a> {
    /// One of them: they are all cut alike.
    pub fn first(&self) -> &'a CutStick {
        self.sticks[0]
    }

    /// Whether a piece of it may not be cut yet.
    pub fn is_held(&self) -> bool {
        self.first().pieces.iter().any(|piece| piece.held.is_some())
    }

    /// The pieces at a place in cutting order, one a stick.
    pub fn pieces_at(&self, at: usize) -> impl Iterator<Item = &'a CutPiece> {
        self.sticks
            .iter()
            .filter_map(move |stick| stick.pieces.get(at))
    }

    /// Its pieces, equal neighbours together; on a panel each by itself.
    pub fn runs(&self) -> Vec<Run<'a>> {
        let mut runs: Vec<Run<'a>> = Vec::new();
        for (at, piece) in self.first().pieces.iter().enumerate() {
            let with = runs.last_mut().filter(|run| {
                let before = run.pieces[0];
                piece.place.is_none()
                    && piece.length == before.length
                    && piece.crown_up == before.crown_up
                    && piece.held.is_some() == before.held.is_some()
            });
            match with {
                Some(run) => {
                    run.pieces.extend(self.pieces_at(at));
                    run.marks.push(piece.ends_at);
                }
                None => runs.push(Run {
                    pieces: self.pieces_at(at).collect(),
                    marks: vec![piece.ends_at],
                }),
            }
        }
        runs
    }
}

impl CutList {
    /// Its sticks and sheets by pattern: those that may be cut first, then those with a piece that is held; item by item,
    /// what is here before what is to come, the longest cut first.
    pub fn patterns(&self) -> Vec<Pattern<'_>> {
        let mut patterns: Vec<Pattern<'_>> = Vec::new();
        for stick in &self.sticks {
            match patterns
                .iter_mut()
                .find(|pattern| is_alike(pattern.first(), stick))
            {
                Some(pattern) => pattern.sticks.push(stick),
                None => patterns.push(Pattern {
                    sticks: vec![stick],
                }),
            }
        }
        patterns.sort_by_cached_key(|pattern| {
            let first = pattern.first();
            let cuts = first.pieces.iter().map(|piece| -piece.length.as_64ths());
            (
                pattern.is_held(),
                first.item.class(),
                (first.row.is_none(), first.ordered),
                first.item.clone(),
                cuts.collect::<Vec<i64>>(),
            )
        });
        patterns
    }
}

fn is_alike(a: &CutStick, b: &CutStick) -> bool {
    let from = |stick: &CutStick| (stick.row.is_some(), stick.ordered, stick.trim, stick.left);
    a.item == b.item
        && from(a) == from(b)
        && a.lies == b.lies
        && a.pieces.len() == b.pieces.len()
        && a.pieces.iter().zip(&b.pieces).all(|(p, q)| {
            (p.length, p.across, p.place, p.crown_up) == (q.length, q.across, q.place, q.crown_up)
                && p.held.is_some() == q.held.is_some()
        })
}
