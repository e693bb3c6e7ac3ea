//! How panels are laid: courses from the zero edge, each piece but a course's last ending on a support.
//!
//! A panel lies with its strength axis across the supports. `u` runs across the supports, `v` along them. Half the gap
//! stands on each side of a joint's support, a whole one between courses and all round; a gap of 0 lays them tight. In an
//! outline that is no rectangle courses run through all of it and are cut where it changes; the outer gap is at the outline
//! only. What is no wider than the gap is no piece: it is left out, and a panel that would end that near to the edge runs on
//! as far as it reaches. What a piece is fastened with is not here.
//!
//! Source: common practice, no published source (the gap: APA E30, 2011).
//!
//! Example: 120 × 96, sheets of 96 × 48, joists at 0, 16 …: courses of 48 and 47 5/8. The first has pieces from 1/8 to
//! 95 15/16 and from 96 1/16 to 119 7/8; the second, a joist sooner, to 79 15/16 and from 80 1/16.

mod laid;

pub(crate) use self::laid::{Laid, supports};
use super::inputs::{miss, must_have};
use super::outline::{Band, Outline, Span, overlap};
use super::{Fill, PanelClass, Takeoff};
use crate::record::{Job, Record};
use crate::units::Length;

/// What is smaller is no panel.
const LEAST: Length = Length::inches(12);

/// The panel chosen, from its row of the price book.
#[derive(Clone, Debug)]
pub(crate) struct Sheet<'a> {
    /// Its class.
    pub(crate) class: PanelClass,
    /// What one course covers; as wide as the panel where nothing else is recorded.
    pub(crate) cover: Length,
    /// Its row.
    pub(crate) row: &'a Record,
}

impl<'a> Sheet<'a> {
    /// The panel of a change; what its row lacks is said.
    pub(crate) fn of(
        job: &'a Job,
        change: &Record,
        waits: &str,
        out: &mut Takeoff,
    ) -> Option<Self> {
        let row = change.to("panel").and_then(|row| job.get(row));
        let row = must_have(row, change.id, "panel", "the panel", waits, out)?;
        let panel = row.text("panel").map(str::to_owned);
        let panel = must_have(panel, row.id, "panel", "which panel it is", waits, out);
        let mut of = |field: &'static str, text| {
            must_have(row.length(field), row.id, field, text, waits, out)
        };
        let thickness = of("thickness", "the panel’s thickness");
        let along = of("along", "the panel’s size along its strength axis");
        let across = of("across", "the panel’s size across its strength axis");
        let class = PanelClass {
            panel: panel?,
            thickness: thickness?,
            along: along?,
            across: across?,
        };
        let cover = row.length("cover").unwrap_or(class.across);
        if cover.min(class.along) < LEAST {
            let text = format!("a panel of {LEAST} in or more each way");
            let (of, field) = (row.id, "along");
            miss(out, &text, waits, Fill::Field { of, field });
            return None;
        }
        Some(Self {
            cover: cover.min(class.across),
            class,
            row,
        })
    }
}

/// What an edge across the supports meets.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Edge {
    /// The outline alone.
    Outer,
    /// The next course, at least in part.
    Course,
    /// Another piece of its own course, at least in part: the course is cut where the outline changes.
    Cut,
}

/// A piece, cut to size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Piece {
    /// Its course, from 0.
    pub(crate) course: usize,
    /// Across the supports.
    pub(crate) across: Span,
    /// Along them.
    pub(crate) along: Span,
    /// The support that its start shares with the piece before; none at the outline.
    pub(crate) starts_on: Option<usize>,
    /// The support that its end shares with the next piece; none at the outline.
    pub(crate) ends_on: Option<usize>,
    /// Its edges across the supports, the zero side first.
    pub(crate) edges: [Edge; 2],
}

/// A stretch of a course.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Strip {
    /// Across the supports.
    pub(crate) across: Span,
    /// Along them.
    pub(crate) along: Span,
}

/// An outline, laid with panels.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Layout {
    /// The pieces, course by course.
    pub(crate) pieces: Vec<Piece>,
    /// Strips no wider than the gap: no pieces, left out.
    pub(crate) slivers: Vec<Strip>,
}

/// No support within a panel's length: from where on, in which course (from 0).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Unheld {
    /// The course.
    pub(crate) course: usize,
    /// Where its panel starts.
    pub(crate) from: Length,
}

/// The courses, from the zero edge on: each the cover width, the last the rest. The least number k of courses covers
/// v − (k + 1) gaps.
pub(crate) fn courses(along: Length, cover: Length, gap: Length) -> Vec<Span> {
    let k = (along - gap).div_up(cover + gap).max(0);
    let course = |n: i64| {
        let from = gap + (cover + gap) * n;
        let to = (from + cover).min(along - gap);
        (to > from).then_some(Span { from, to })
    };
    (0..k).filter_map(course).collect()
}

/// Lays panels of this length and cover into an outline; supports by their centres, in order.
///
/// # Errors
/// Where a panel doesn't reach the end nor a support.
pub(crate) fn lay(
    outline: &Outline,
    length: Length,
    cover: Length,
    gap: Length,
    supports: &[Length],
) -> Result<Layout, Unheld> {
    let mut layout = Layout::default();
    let courses = courses(outline.along(), cover, gap);
    for (n, course) in courses.iter().enumerate() {
        let reach = Span {
            from: match n {
                0 => Length::ZERO,
                _ => course.from - gap,
            },
            to: if n + 1 == courses.len() {
                outline.along()
            } else {
                course.to + gap
            },
        };
        for strip in strips(outline, *course, reach, gap) {
            if strip.across.length().min(strip.along.length()) <= gap {
                layout.slivers.push(strip);
            } else {
                lay_strip(n, strip, length, gap, supports, &mut layout)?;
            }
        }
    }
    let edges = |piece| [0, 1].map(|side| edge(piece, side, &layout.pieces, gap));
    let edges: Vec<_> = layout.pieces.iter().map(edges).collect();
    for (piece, edges) in layout.pieces.iter_mut().zip(edges) {
        piece.edges = edges;
    }
    Ok(layout)
}

/// The strips of a course: it runs through where the outline stays the same, and is cut where it changes.
fn strips(outline: &Outline, course: Span, reach: Span, gap: Length) -> Vec<Strip> {
    let bands = outline.bands();
    let mut columns: Vec<(Span, usize, usize)> = Vec::new();
    for (n, band) in bands.iter().enumerate() {
        if band.levels.common(course).is_none() {
            continue;
        }
        for span in &band.spans {
            let below = columns
                .iter_mut()
                .find(|(across, _, last)| across == span && last + 1 == n);
            match below {
                Some((_, _, last)) => *last = n,
                None => columns.push((*span, n, n)),
            }
        }
    }
    let none = Vec::new();
    let inset = |across: Span, beyond: Option<&Band>| {
        // a piece whose edge is the outline, if only in part, keeps the outline's gap
        let beyond = beyond.map_or(&none, |band| &band.spans);
        if overlap(across, beyond) < across.length() {
            gap
        } else {
            Length::ZERO
        }
    };
    let strip = |(across, first, last): (Span, usize, usize)| {
        let (low, high) = (bands[first].levels.from, bands[last].levels.to);
        let below = first.checked_sub(1).and_then(|n| bands.get(n));
        // past the next course's edge the outline is that course's matter
        let from = if low < reach.from {
            course.from
        } else {
            course.from.max(low + inset(across, below))
        };
        let to = if high > reach.to {
            course.to
        } else {
            course.to.min(high - inset(across, bands.get(last + 1)))
        };
        Strip {
            across: Span {
                from: across.from + gap,
                to: across.to - gap,
            },
            along: Span { from, to },
        }
    };
    let has_size =
        |strip: &Strip| strip.across.from < strip.across.to && strip.along.from < strip.along.to;
    columns.into_iter().map(strip).filter(has_size).collect()
}

fn lay_strip(
    course: usize,
    strip: Strip,
    length: Length,
    gap: Length,
    supports: &[Length],
    layout: &mut Layout,
) -> Result<(), Unheld> {
    let (before, after) = (gap.half_down(), gap - gap.half_down());
    let end = strip.across.to;
    let (mut from, mut starts_on) = (strip.across.from, None);
    loop {
        let is_last = from + length >= end;
        let on = if is_last {
            None
        } else {
            let sooner = starts_on.is_none() && course.rem_euclid(2) == 1;
            let least = from + before + gap;
            let on = support(supports, least, from + length + before, end - after);
            Some(on.map_or(Err(Unheld { course, from }), |far| {
                let near = far.checked_sub(1);
                Ok(near
                    .filter(|near| sooner && supports[*near] > least)
                    .unwrap_or(far))
            })?)
        };
        // no more than the gap past that support is no piece: this one is the last
        let ends_on = on.filter(|on| end - (supports[*on] + after) > gap);
        let to = ends_on.map_or(end.min(from + length), |on| supports[on] - before);
        layout.pieces.push(Piece {
            course,
            across: Span { from, to },
            along: strip.along,
            starts_on,
            ends_on,
            edges: [Edge::Outer; 2],
        });
        let Some(next) = ends_on else {
            layout.slivers.extend(on.map(|on| Strip {
                across: Span {
                    from: to.max(supports[on] + after),
                    to: end,
                },
                along: strip.along,
            }));
            return Ok(());
        };
        (from, starts_on) = (supports[next] + after, Some(next));
    }
}

/// The farthest support past `from`, at most at `to`, before `end`.
fn support(supports: &[Length], from: Length, to: Length, end: Length) -> Option<usize> {
    supports
        .iter()
        .rposition(|centre| *centre > from && *centre <= to && *centre < end)
}

/// What a piece's edge across meets: a cut before a joint of courses before the outline.
fn edge(piece: &Piece, side: usize, pieces: &[Piece], gap: Length) -> Edge {
    let past = past(piece, side, pieces, gap);
    if past.is_empty() {
        Edge::Outer
    } else if past.iter().any(|(_, edge)| *edge == Edge::Cut) {
        Edge::Cut
    } else {
        Edge::Course
    }
}

/// What a piece's edge across (0: the zero side, 1: the other) shares with the pieces past it, in order; each is a joint of
/// courses or a cut. What no piece is past is the outline.
pub(crate) fn past(piece: &Piece, side: usize, pieces: &[Piece], gap: Length) -> Vec<(Span, Edge)> {
    // at most: a strip left out, the gap of the courses, and the outline's on both sides of a step
    let most = gap * 4;
    let mut all: Vec<_> = pieces
        .iter()
        .filter(|other| {
            let apart = match side {
                0 => piece.along.from - other.along.to,
                _ => other.along.from - piece.along.to,
            };
            (Length::ZERO..=most).contains(&apart)
        })
        .filter_map(|other| {
            let edge = if other.course == piece.course {
                Edge::Cut
            } else {
                Edge::Course
            };
            Some((other.across.common(piece.across)?, edge))
        })
        .collect();
    all.sort();
    all
}

#[cfg(test)]
mod tests;
