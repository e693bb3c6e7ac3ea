//! Panels as laid on their supports: which supports are inside a piece, which hold its outer edges, and the pieces as needs.
//!
//! A support holds an outer edge if it reaches from under the panel to the edge itself, 1/2 in of it under the panel; it is
//! not inside then.
//!
//! Source: common practice, no published source.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::inputs::must_have;
use super::super::joists::{Joist, joists};
use super::super::outline::Span;
use super::super::piece::{by_count, inches};
use super::super::{Class, Finding, Need, Takeoff, Verdict, result, sum};
use super::{Edge, Piece, Sheet, Strip, Unheld, courses};
use crate::record::{Job, Record};
use crate::units::Length;

/// Panels, laid.
pub(crate) struct Laid<'a> {
    /// The panel.
    pub(crate) sheet: Sheet<'a>,
    /// How far all courses reach along the supports.
    pub(crate) along: Length,
    /// The gap at joints and all round.
    pub(crate) gap: Length,
    /// The supports by their place from the zero corner; none where they aren't known.
    pub(crate) supports: Vec<Joist>,
    /// The pieces.
    pub(crate) pieces: Vec<Piece>,
}

impl Unheld {
    /// Says that no support is in reach.
    pub(crate) fn say(self, sheet: &Sheet, out: &mut Takeoff) {
        out.findings.push(Finding {
            verdict: Verdict::Stop,
            text: format!(
                "Course {} has nothing within a panel’s length ({}) past {} to end on. Look at the places of what is under it, or frame one in.",
                self.course + 1,
                sheet.class.along,
                inches(self.from)
            ),
        });
    }
}

impl Strip {
    /// Says that it is left out, no wider than the gap.
    pub(crate) fn say(self, gap: Length, out: &mut Takeoff) {
        let Self { across, along } = self;
        out.findings.push(Finding {
            verdict: Verdict::Said,
            text: format!(
                "A strip from {} to {} in across and {} to {} in along is left out: it is no wider than the gap of {gap}. The joint there stands that much wider; move the edge if it is to close.",
                across.from, across.to, along.from, along.to
            ),
        });
    }
}

/// The joists of a change's run, by their place from its edge; what isn't recorded is said.
pub(crate) fn supports(
    job: &Job,
    change: &Record,
    what: &str,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Vec<Joist>> {
    let id = change.id;
    let run = change.to("run").and_then(|run| job.get(run));
    let run = must_have(run, id, "run", what, waits, out);
    let text = "where its edge is, in the measure of what is under it";
    let start = change.length("starts_at");
    let start = must_have(start, id, "starts_at", text, waits, out);
    let all = run.and_then(|run| joists(job, run, waits, out));
    let (all, start) = (all?, start?);
    let moved = all.into_iter().map(|joist| Joist {
        centre: joist.centre - start,
        ..joist
    });
    Some(moved.collect())
}

impl Laid<'_> {
    /// The joist that holds an edge along the joists: `at` is the panel's edge, after the gap.
    pub(crate) fn holds(&self, at: Length, starts: bool) -> Option<usize> {
        const LEAST: Length = Length::from_64ths(32);
        self.supports.iter().position(|joist| {
            let (near, far) = (joist.near(), joist.far());
            near <= at && at <= far && LEAST <= if starts { far - at } else { at - near }
        })
    }

    /// The joists inside a stretch of panel, those that hold its outer ends left out.
    pub(crate) fn inside(&self, across: Span, outer: [bool; 2]) -> Vec<usize> {
        let ends = [
            outer[0].then(|| self.holds(across.from, true)).flatten(),
            outer[1].then(|| self.holds(across.to, false)).flatten(),
        ];
        (0..self.supports.len())
            .filter(|n| {
                let centre = self.supports[*n].centre;
                across.from < centre && centre < across.to && !ends.contains(&Some(*n))
            })
            .collect()
    }

    /// The supports that a stretch of panel crosses: those inside, and one at an end if some of it is under the panel or its
    /// centre is at that end. A joint's support is at the end of both pieces.
    pub(crate) fn crossed(&self, across: Span) -> Vec<usize> {
        (0..self.supports.len())
            .filter(|n| {
                let (near, far) = (self.supports[*n].near(), self.supports[*n].far());
                let centre = self.supports[*n].centre;
                (near < across.to && across.from < far)
                    || (across.from <= centre && centre <= across.to)
            })
            .collect()
    }

    pub(crate) fn inside_piece(&self, piece: &Piece) -> Vec<usize> {
        let outer = [piece.starts_on.is_none(), piece.ends_on.is_none()];
        self.inside(piece.across, outer)
    }

    /// What the places of joists rest on.
    pub(crate) fn readings(&self) -> Vec<Uuid> {
        let all = self.supports.iter().flat_map(|joist| &joist.readings);
        all.copied().collect::<BTreeSet<_>>().into_iter().collect()
    }

    /// Like pieces together, the longest first.
    pub(crate) fn push_pieces(&self, title: &str, mark: &'static str, out: &mut Takeoff) {
        let mut sizes: BTreeMap<(Length, Length), Vec<&Piece>> = BTreeMap::new();
        for piece in &self.pieces {
            let size = (piece.across.length(), piece.along.length());
            sizes.entry(size).or_default().push(piece);
        }
        for ((across, along), pieces) in sizes.into_iter().rev() {
            out.needs
                .push(self.like_pieces((title, mark), across, along, &pieces));
        }
    }

    fn like_pieces(
        &self,
        (title, mark): (&str, &'static str),
        across: Length,
        along: Length,
        pieces: &[&Piece],
    ) -> Need {
        let slot = format!("piece.{}x{}", across.as_64ths(), along.as_64ths());
        let class = Class::Panel(self.sheet.class.clone());
        let count = i64::try_from(pieces.len()).unwrap_or(0);
        let mut need = by_count(&slot, title, class, count);
        need.cut = Some(across);
        need.across = Some(along);
        need.mark = Some(mark);
        let on = |piece: &Piece| [piece.starts_on, piece.ends_on].into_iter().flatten();
        let joists = || {
            pieces
                .iter()
                .flat_map(|piece| on(piece))
                .map(|n| &self.supports[n])
        };
        need.held = joists().find_map(|joist| joist.held.clone());
        let readings: BTreeSet<Uuid> = joists().flat_map(|j| j.readings.iter().copied()).collect();
        need.readings = readings.into_iter().collect();
        let (cover, gap) = (self.sheet.cover, self.gap);
        let k = courses(self.along, cover, gap).len();
        let gaps = if gap > Length::ZERO {
            format!(" and {} gaps of {gap}", k + 1)
        } else {
            String::new()
        };
        let note = format!("{k} × {cover}{gaps} cover {}", self.along);
        need.sums.push(sum("Courses", k.to_string(), note));
        for piece in pieces {
            let note = format!("{}, {}", self.end(piece, true), self.end(piece, false));
            need.sums.push(sum(
                format!("Course {}, across", piece.course + 1),
                format!("{} to {} in", piece.across.from, piece.across.to),
                note,
            ));
            let what = piece.edges.map(|edge| match edge {
                Edge::Outer => "edge",
                Edge::Course => "next course",
                Edge::Cut => "cut where the outline changes",
            });
            need.sums.push(sum(
                format!("Course {}, along", piece.course + 1),
                format!("{} to {} in", piece.along.from, piece.along.to),
                format!("{} to {}", what[0], what[1]),
            ));
        }
        let label = if need.held.is_some() {
            "To buy by"
        } else {
            "Cut"
        };
        need.sums.push(result(
            label,
            format!("{across} × {along} in"),
            "strength axis first",
        ));
        need
    }

    /// What a piece's end stands at: `joist 7 at 96`.
    fn end(&self, piece: &Piece, starts: bool) -> String {
        let on = if starts {
            piece.starts_on
        } else {
            piece.ends_on
        };
        match on.map(|on| &self.supports[on]) {
            Some(joist) => {
                let sign = if starts { "+" } else { "−" };
                let half = (piece_end(piece, starts) - joist.centre).abs();
                let which = match joist.number {
                    0 => "support".to_owned(),
                    number => format!("joist {number}"),
                };
                let gap = if half > Length::ZERO {
                    format!(" {sign} {half}")
                } else {
                    String::new()
                };
                format!("{which} at {}{gap}", joist.centre)
            }
            None if self.gap > Length::ZERO => format!("the gap of {} at the edge", self.gap),
            None => "the edge".to_owned(),
        }
    }
}

fn piece_end(piece: &Piece, starts: bool) -> Length {
    if starts {
        piece.across.from
    } else {
        piece.across.to
    }
}
