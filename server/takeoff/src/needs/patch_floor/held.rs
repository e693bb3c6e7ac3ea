//! What holds a subfloor's edges where no joist does: blocks under edges across the joists, cleats along them.
//!
//! A block fills a clear bay, face to face; one row under each blocked joint and each outer edge, in every bay that the
//! edge passes. A cleat is as long as the edge.
//!
//! Source: IRC Table R602.3(1) for the nails of blocks (see `tables::fastening`); the rest is common practice, no published
//! source.

use std::collections::{BTreeMap, BTreeSet};

use uuid::Uuid;

use super::super::inputs::{fastener_class, nail};
use super::super::outline::Span;
use super::super::panels::{Edge, Laid, past};
use super::super::piece::{by_count, cut_sum, inches, jointed, stick};
use super::super::{Class, Finding, Serves, StickClass, Takeoff, Verdict, result, sum};
use super::Patch;
use super::fasten::screw;
use crate::tables::fastening::Connection;
use crate::tables::panel_fastening::FLOOR_FIELD_SPACING;
use crate::units::Length;

/// The bays under each blocked row, rows by their level, bays by the joist before them. An edge that meets in part other
/// pieces and in part the outline is each in its part.
pub(super) fn blocked_bays(patch: &Patch) -> BTreeMap<Length, BTreeSet<usize>> {
    let mut lines: BTreeMap<Length, BTreeSet<usize>> = BTreeMap::new();
    let Laid { pieces, gap, .. } = &patch.laid;
    for piece in pieces {
        for side in [0, 1] {
            let past = past(piece, side, pieces, *gap);
            let at = [piece.along.from, piece.along.to][side];
            let level = level(patch, at);
            if patch.edges.is_blocked(Edge::Outer) == Some(true) {
                let open = rest(piece.across, &past, *gap);
                let bays = open.into_iter().flat_map(|at| passed(patch, at));
                lines.entry(level).or_default().extend(bays);
            }
            // a joint counts once, from its zero side
            if side == 1 {
                let joints = past
                    .iter()
                    .filter(|(_, edge)| patch.edges.is_blocked(*edge) == Some(true));
                let level = if (level - at).abs() <= *gap * 2 {
                    level
                } else {
                    at
                };
                let bays = joints.flat_map(|(at, _)| passed(patch, *at));
                lines.entry(level).or_default().extend(bays);
            }
        }
    }
    lines.retain(|_, bays| !bays.is_empty());
    in_rows(lines, *gap * 2)
}

/// The level of the outline that is nearest.
fn level(patch: &Patch, at: Length) -> Length {
    let levels = patch
        .outline
        .bands()
        .iter()
        .flat_map(|band| [band.levels.from, band.levels.to]);
    levels.min_by_key(|level| (*level - at).abs()).unwrap_or(at)
}

/// What of a span lies past none of these, which are in order, and is wider than the gap between two pieces.
fn rest(span: Span, past: &[(Span, Edge)], gap: Length) -> Vec<Span> {
    let mut from = span.from;
    let mut all = Vec::new();
    for (part, _) in past {
        all.push(Span {
            from,
            to: part.from,
        });
        from = from.max(part.to);
    }
    all.push(Span { from, to: span.to });
    all.retain(|span| span.length() > gap);
    all
}

/// Lines this near to each other are one row of blocks.
fn in_rows(
    lines: BTreeMap<Length, BTreeSet<usize>>,
    near: Length,
) -> BTreeMap<Length, BTreeSet<usize>> {
    let mut rows: BTreeMap<Length, BTreeSet<usize>> = BTreeMap::new();
    for (level, bays) in lines {
        if let Some(mut row) = rows.last_entry()
            && level - *row.key() <= near
        {
            row.get_mut().extend(bays);
        } else {
            rows.insert(level, bays);
        }
    }
    rows
}

/// The clear bay past a joist.
fn bay(patch: &Patch, joist: usize) -> Option<Span> {
    let (from, to) = (
        patch.laid.supports[joist].far(),
        patch.laid.supports.get(joist + 1)?.near(),
    );
    (from < to).then_some(Span { from, to })
}

fn passed(patch: &Patch, at: Span) -> Vec<usize> {
    (0..patch.laid.supports.len())
        .filter(|joist| bay(patch, *joist).and_then(|bay| bay.common(at)).is_some())
        .collect()
}

/// Blocks by their length, and their nails.
pub(super) fn push_blocks(patch: &Patch, class: Option<&StickClass>, out: &mut Takeoff) {
    let lines = blocked_bays(patch);
    if lines.is_empty() {
        return;
    }
    let mut lengths: BTreeMap<Length, Vec<(Length, usize)>> = BTreeMap::new();
    for (level, bays) in &lines {
        for joist in bays {
            if let Some(bay) = bay(patch, *joist) {
                lengths
                    .entry(bay.length())
                    .or_default()
                    .push((*level, *joist));
            }
        }
    }
    for (length, blocks) in lengths.iter().rev() {
        if let Some(class) = class {
            push_like_blocks(patch, class, *length, blocks, out);
        }
    }
    let blocks: usize = lengths.values().map(Vec::len).sum();
    let blocks = i64::try_from(blocks).unwrap_or(0);
    let connection = Connection::BridgingOrBlockingToJoist;
    let (own, waits) = (Some("nail_blocking"), "Nails, blocks");
    let Patch { job, change, .. } = patch;
    let row = nail(job, change, own, "nail_blocking", connection, waits, out);
    let Some((row, each)) = row.and_then(|row| Some((row, i64::from(row.count?)))) else {
        return;
    };
    let nails = blocks * 2 * each;
    let class = Class::Fastener(fastener_class(job, &row.nail.text()));
    let mut need = by_count("nail.block", "Nail, block to joist", class, nails);
    let note = format!("{blocks} blocks × 2 ends × {each}");
    need.sums.push(result("Nails", nails.to_string(), note));
    need.readings = patch.laid.readings();
    out.needs.push(need);
}

fn push_like_blocks(
    patch: &Patch,
    class: &StickClass,
    length: Length,
    blocks: &[(Length, usize)],
    out: &mut Takeoff,
) {
    let title = format!("Block, {}", class.nominal);
    let slot = format!("block.{}", length.as_64ths());
    let count = i64::try_from(blocks.len()).unwrap_or(0);
    let mut need = stick(&slot, &title, class, count, length, "BK");
    need.serves = Serves::NotThinnerNorNarrower;
    let joists: BTreeSet<usize> = blocks.iter().flat_map(|(_, n)| [*n, n + 1]).collect();
    let of = || joists.iter().map(|n| &patch.laid.supports[*n]);
    need.held = of().find_map(|joist| joist.held.clone());
    let readings: BTreeSet<Uuid> = of()
        .flat_map(|joist| joist.readings.iter().copied())
        .collect();
    need.readings = readings.into_iter().collect();
    let mut rows: BTreeMap<Length, i64> = BTreeMap::new();
    for (level, _) in blocks {
        *rows.entry(*level).or_default() += 1;
    }
    need.sums = rows
        .into_iter()
        .map(|(level, bays)| {
            sum(
                format!("Row at {}", inches(level)),
                bays.to_string(),
                "bays",
            )
        })
        .collect();
    need.sums
        .push(sum("Clear bay", inches(length), "face to face"));
    need.sums
        .push(cut_sum(patch.job, length, need.held.as_ref()));
    out.needs.push(need);
}

/// Cleats along outer edges that have too little wood, and their screws.
pub(super) fn push_cleats(patch: &Patch, class: Option<&StickClass>, out: &mut Takeoff) {
    let mut lengths: BTreeMap<Length, Vec<Length>> = BTreeMap::new();
    for edge in patch.outline.uprights() {
        let at = if edge.starts {
            edge.at + patch.laid.gap
        } else {
            edge.at - patch.laid.gap
        };
        if patch.laid.holds(at, edge.starts).is_some() {
            continue;
        }
        lengths
            .entry(edge.levels.length())
            .or_default()
            .push(edge.at);
        let near = patch
            .laid
            .supports
            .iter()
            .any(|joist| at >= joist.near() - REACH && at <= joist.far() + REACH);
        if !near {
            let text = format!(
                "No joist is within {} of the edge at {}: a cleat there has nothing along it to hold to. Frame a joist in, or move the edge.",
                inches(REACH),
                inches(edge.at)
            );
            let verdict = Verdict::Look;
            out.findings.push(Finding { verdict, text });
        }
    }
    if lengths.is_empty() {
        return;
    }
    let mut screws = Vec::new();
    for (length, edges) in lengths.iter().rev() {
        let each = 2 * length.div_up(FLOOR_FIELD_SPACING);
        let count = i64::try_from(edges.len()).unwrap_or(0);
        screws.push((count, *length, each));
        if let Some(class) = class {
            push_like_cleats(patch, class, *length, edges, out);
        }
    }
    let Some(class) = screw(patch, out) else {
        return;
    };
    let total = screws.iter().map(|(count, _, each)| count * each).sum();
    let mut need = by_count(
        "screw.cleat",
        "Screw, cleats",
        Class::Fastener(class),
        total,
    );
    need.sums = screws
        .iter()
        .map(|(count, length, each)| {
            let note = format!("2 × up({length} ÷ {FLOOR_FIELD_SPACING})");
            sum(
                format!("{count} of {}", inches(*length)),
                format!("{count} × {each}"),
                note,
            )
        })
        .collect();
    need.sums.push(result("Screws", total.to_string(), ""));
    need.readings = patch.laid.readings();
    out.needs.push(need);
}

/// A cleat on a joist's face reaches so far.
///
/// Source: common practice, no published source (a 2× on its face).
const REACH: Length = Length::inches_64(1, 32);

fn push_like_cleats(
    patch: &Patch,
    class: &StickClass,
    length: Length,
    edges: &[Length],
    out: &mut Takeoff,
) {
    let title = format!("Cleat, {}", class.nominal);
    let count = i64::try_from(edges.len()).unwrap_or(0);
    let (whole, most, rest) = jointed(patch.job, class, length, out);
    for (part, pieces, cut) in [("whole.", whole, most), ("", 1, rest)] {
        if pieces == 0 {
            continue;
        }
        let slot = format!("cleat.{part}{}", length.as_64ths());
        let mut need = stick(&slot, &title, class, count * pieces, cut, "BK");
        need.serves = Serves::NotThinnerNorNarrower;
        need.readings = patch.laid.readings();
        for edge in edges {
            let note = "less than 1/2 on wood after the gap";
            need.sums.push(sum(
                format!("Edge at {}", inches(*edge)),
                inches(length),
                note,
            ));
        }
        if whole > 0 {
            let note = format!("the longest is {most}");
            need.sums.push(sum("Pieces", (whole + 1).to_string(), note));
        }
        need.sums.push(cut_sum(patch.job, cut, None));
        out.needs.push(need);
    }
}
