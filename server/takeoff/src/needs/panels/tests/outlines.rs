//! What holds of the pieces in any right-angled outline, its steps often at or beside a joint of courses.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::super::super::outline::{Outline, Span};
use super::super::{Edge, Layout, lay, past};
use super::{COVER, SHEET, in_64ths};
use crate::units::{Length, Units};

/// A rectangle in 64ths: across from, to; along from, to.
type Area = [i64; 4];
type Corner = (i64, i64);

fn overlaps(a: Area, b: Area) -> bool {
    a[0] < b[1] && b[0] < a[1] && a[2] < b[3] && b[2] < a[3]
}

fn holds(a: Area, b: Area) -> bool {
    a[0] <= b[0] && b[1] <= a[1] && a[2] <= b[2] && b[3] <= a[3]
}

fn wider(a: Area, by: i64) -> Area {
    [a[0] - by, a[1] + by, a[2] - by, a[3] + by]
}

fn area(across: Span, along: Span) -> Area {
    [across.from, across.to, along.from, along.to].map(Length::as_64ths)
}

/// Where a step lies: anywhere, or within 1/2 in of the joints of 4 ft courses with a gap of 1/8.
fn level() -> impl Strategy<Value = i64> {
    let near = (1_i64..4, -32_i64..=32).prop_map(|(n, off)| n * (3_072 + 8) + off);
    prop_oneof![64_i64..12_000, near]
}

/// Up to four stretches on top of each other, each with an inch or more in common with the next.
fn corners() -> impl Strategy<Value = Vec<Corner>> {
    let levels = prop::collection::btree_set(level(), 1..5);
    let shared = prop::collection::vec(0_i64..8_000, 6);
    let sides = prop::collection::vec((32_i64..4_000, 32_i64..4_000), 5);
    (levels, shared, sides, any::<bool>()).prop_map(|(levels, shared, sides, is_turned)| {
        let spans: Vec<(i64, i64)> = (0..levels.len())
            .map(|n| {
                let (one, other) = (shared[n], shared[n + 1]);
                (one.min(other) - sides[n].0, one.max(other) + sides[n].1)
            })
            .collect();
        let zero = spans.iter().map(|span| span.0).min().unwrap();
        let mut level = 0;
        let (mut right, mut left) = (Vec::new(), Vec::new());
        for (to, (from_u, to_u)) in levels.into_iter().zip(spans) {
            right.extend([(to_u - zero, level), (to_u - zero, to)]);
            left.extend([(from_u - zero, level), (from_u - zero, to)]);
            level = to;
        }
        right.extend(left.into_iter().rev());
        right.dedup();
        if is_turned {
            for corner in &mut right {
                *corner = (corner.1, corner.0);
            }
        }
        right
    })
}

fn read(corners: &[Corner], across: i64, along: i64) -> Outline {
    let text: Vec<String> = corners
        .iter()
        .map(|corner| format!("{},{}", in_64ths(corner.0), in_64ths(corner.1)))
        .collect();
    let (across, along) = (in_64ths(across), in_64ths(along));
    Outline::read(&text.join(";"), across, along, Units::Us).unwrap()
}

/// The outline's edges, as rectangles without a width.
fn lines(corners: &[Corner]) -> Vec<Area> {
    let next = corners.iter().cycle().skip(1);
    let line = |((a, b), (c, d)): (&Corner, &Corner)| [*a.min(c), *a.max(c), *b.min(d), *b.max(d)];
    corners.iter().zip(next).map(line).collect()
}

/// The rectangles between all lines at which something of these starts or ends.
fn cells(all: &[Area]) -> Vec<Area> {
    let at = |n: usize| -> Vec<i64> {
        let ends: BTreeSet<i64> = all.iter().flat_map(|area| [area[n], area[n + 1]]).collect();
        ends.into_iter().collect()
    };
    let (us, vs) = (at(0), at(2));
    let pairs = |all: &[i64]| -> Vec<(i64, i64)> { all.windows(2).map(|p| (p[0], p[1])).collect() };
    let rows = pairs(&vs);
    pairs(&us)
        .into_iter()
        .flat_map(|(from, to)| rows.iter().map(move |(low, high)| [from, to, *low, *high]))
        .collect()
}

/// Whether no two edges of the outline that run alike are nearer to each other than this.
fn is_plain(corners: &[Corner], least: i64) -> bool {
    let apart = |all: BTreeSet<i64>| {
        let all: Vec<i64> = all.into_iter().collect();
        all.windows(2).all(|pair| pair[1] - pair[0] >= least)
    };
    let (us, vs) = corners.iter().copied().unzip();
    apart(us) && apart(vs)
}

fn check(corners: &[Corner], gap: i64, joists: &[Length]) -> Result<(), TestCaseError> {
    let across = corners.iter().map(|corner| corner.0).max().unwrap();
    let along = corners.iter().map(|corner| corner.1).max().unwrap();
    let outline = read(corners, across, along);
    let wide = in_64ths(gap);
    let Layout { pieces, slivers } = lay(&outline, SHEET, COVER, wide, joists).unwrap();
    let within: Vec<Area> = outline
        .bands()
        .iter()
        .flat_map(|band| band.spans.iter().map(|span| area(*span, band.levels)))
        .collect();
    let laid: Vec<Area> = pieces.iter().map(|p| area(p.across, p.along)).collect();
    let left: Vec<Area> = slivers.iter().map(|s| area(s.across, s.along)).collect();
    let edges = lines(corners);
    let is_plain = is_plain(corners, gap * 5);
    for (n, piece) in laid.iter().enumerate() {
        let narrow = (piece[1] - piece[0]).min(piece[3] - piece[2]);
        prop_assert!(narrow > gap, "{piece:?} is no wider than the gap");
        prop_assert!(!laid[n + 1..].iter().any(|other| overlaps(*piece, *other)));
        // past the outline, or nearer to it than the gap
        let keeps = if is_plain { gap } else { 0 };
        let near = edges
            .iter()
            .find(|edge| overlaps(wider(*piece, keeps), **edge));
        prop_assert_eq!(near, None, "{:?}", piece);
        // a piece is seen by what it sees, and an edge past which there is nothing is the outline’s
        for side in [0, 1] {
            let past = past(&pieces[n], side, &pieces, wide);
            prop_assert_eq!(past.is_empty(), pieces[n].edges[side] == Edge::Outer);
        }
    }
    prop_assert!(left.iter().all(|s| (s[1] - s[0]).min(s[3] - s[2]) <= gap));
    if !is_plain {
        return Ok(());
    }
    let near = |gaps: i64| -> Vec<Area> {
        let all = laid.iter().chain(&edges);
        all.map(|area| wider(*area, gap * gaps)).collect()
    };
    let (near, nearly) = (near(1), near(2));
    // where the outline steps a gap stands on both sides of its level, and courses may have one beside it
    let steps: Vec<Area> = edges
        .iter()
        .filter(|edge| edge[2] == edge[3])
        .map(|edge| [0, across, edge[2] - gap * 2, edge[2] + gap * 2])
        .collect();
    let all = [&within[..], &laid, &left, &near, &nearly, &steps].concat();
    let mut open = 0;
    for cell in cells(&all) {
        let one_holds = |all: &[Area]| all.iter().any(|area| holds(*area, cell));
        if !one_holds(&within) || one_holds(&laid) {
            continue;
        }
        let is_gap = one_holds(&near) || one_holds(&left) || one_holds(&steps);
        prop_assert!(is_gap && one_holds(&nearly), "{cell:?} is not covered");
        open += (cell[1] - cell[0]) * (cell[3] - cell[2]);
    }
    let total = |all: &[Area]| -> i64 { all.iter().map(|a| (a[1] - a[0]) * (a[3] - a[2])).sum() };
    prop_assert_eq!(total(&laid) + open, total(&within));
    Ok(())
}

proptest! {
    #[test]
    fn pieces_are_wider_than_the_gap_and_fill_any_outline_up_to_it(
        corners in corners(), gap in 0_i64..=16, first in 0_i64..1_024, spacing in 640_i64..1_600,
    ) {
        let joists: Vec<Length> = (0..60).map(|n| in_64ths(first + spacing * n)).collect();
        check(&corners, gap, &joists)?;
        // the courses from the other side
        let along = corners.iter().map(|corner| corner.1).max().unwrap();
        let turned: Vec<Corner> = corners.iter().map(|(u, v)| (*u, along - v)).collect();
        check(&turned, gap, &joists)?;
        // and with the gap that the steps above lie beside
        check(&turned, 8, &joists)?;
        check(&corners, 8, &joists)?;
    }
}
