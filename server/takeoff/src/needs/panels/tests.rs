//! Where a carpenter would cut, drawn by hand; and what holds of any patch.

use proptest::prelude::*;

use super::super::outline::{Outline, Span};
use super::super::testing::inches;
use super::{Edge, Layout, Piece, Strip, Unheld, courses, lay};
use crate::units::{Length, Units};

mod outlines;

const SHEET: Length = Length::feet(8);
const COVER: Length = Length::feet(4);
const GAP: Length = Length::from_64ths(8);

fn at_sixteen(first: &str, count: i64) -> Vec<Length> {
    (0..count)
        .map(|n| inches(first) + Length::inches(16) * n)
        .collect()
}

fn rectangle(across: &str, along: &str) -> Outline {
    Outline::rectangle(inches(across), inches(along))
}

fn lines(pieces: &[Piece]) -> Vec<String> {
    let line = |piece: &Piece| {
        format!(
            "{}: {} to {} | {} to {}",
            piece.course, piece.across.from, piece.across.to, piece.along.from, piece.along.to
        )
    };
    pieces.iter().map(line).collect()
}

#[test]
fn every_second_course_breaks_its_joint_a_joist_sooner() {
    let pieces = lay(
        &rectangle("120", "96"),
        SHEET,
        COVER,
        GAP,
        &at_sixteen("0", 9),
    )
    .unwrap()
    .pieces;
    let want = [
        "0: 1/8 to 95 15/16 | 1/8 to 48 1/8",
        "0: 96 1/16 to 119 7/8 | 1/8 to 48 1/8",
        "1: 1/8 to 79 15/16 | 48 1/4 to 95 7/8",
        "1: 80 1/16 to 119 7/8 | 48 1/4 to 95 7/8",
    ];
    assert_eq!(lines(&pieces), want);
    assert_eq!(pieces[0].edges, [Edge::Outer, Edge::Course]);
    assert_eq!(pieces[3].edges, [Edge::Course, Edge::Outer]);
    assert_eq!((pieces[0].starts_on, pieces[0].ends_on), (None, Some(6)));
    assert_eq!((pieces[3].starts_on, pieces[3].ends_on), (Some(5), None));
}

#[test]
fn a_panel_reaches_the_joist_whose_centre_it_passes_by_a_sixteenth_less() {
    // 1/8 + 96 = 96 1/8: a joist at 96 3/16 is reached, one at 96 13/64 is not
    let ends = |joist| {
        let joists = [inches("50"), inches(joist)];
        lay(&rectangle("140", "48"), SHEET, COVER, GAP, &joists)
            .unwrap()
            .pieces[0]
            .ends_on
    };
    assert_eq!((ends("96 3/16"), ends("96 13/64")), (Some(1), Some(0)));
}

#[test]
fn a_patch_no_longer_than_a_panel_is_one_piece_in_every_course() {
    // 96 1/4 less a gap at each end is a whole panel
    let pieces = lay(&rectangle("96 1/4", "60"), SHEET, COVER, GAP, &[])
        .unwrap()
        .pieces;
    let want = [
        "0: 1/8 to 96 1/8 | 1/8 to 48 1/8",
        "1: 1/8 to 96 1/8 | 48 1/4 to 59 7/8",
    ];
    assert_eq!(lines(&pieces), want);
}

#[test]
fn courses_are_the_least_number_that_covers_with_a_gap_beside_each() {
    let of = |along: &str| -> Vec<String> {
        let all = courses(inches(along), COVER, GAP);
        all.into_iter()
            .map(|course| course.length().to_string())
            .collect()
    };
    assert_eq!(of("48 1/4"), ["48"]);
    assert_eq!(of("48 1/2"), ["48", "1/8"]);
    // 1/16 is left past two gaps: no piece is that thin
    assert_eq!(of("48 5/16"), ["48"]);
    assert_eq!(of("96 3/8"), ["48", "48"]);
}

#[test]
fn without_a_joist_in_reach_it_says_from_where() {
    let joists = [inches("16"), inches("120")];
    let found = lay(&rectangle("140", "48"), SHEET, COVER, GAP, &joists);
    let from = inches("16 1/16");
    assert_eq!(found, Err(Unheld { course: 0, from }));
}

/// Laid over joists at 16 from the zero corner on.
fn laid(corners: &str, across: &str, along: &str) -> Layout {
    let outline = Outline::read(corners, inches(across), inches(along), Units::Us).unwrap();
    lay(&outline, SHEET, COVER, GAP, &at_sixteen("0", 7)).unwrap()
}

fn edges(layout: &Layout) -> Vec<[Edge; 2]> {
    layout.pieces.iter().map(|piece| piece.edges).collect()
}

#[test]
fn where_the_outline_steps_a_course_is_cut_with_the_gap_at_the_step_alone() {
    let got = laid("0,0; 96,0; 96,30; 40,30; 40,60; 0,60", "96", "60");
    let want = [
        "0: 1/8 to 95 7/8 | 1/8 to 29 7/8",
        "0: 1/8 to 39 7/8 | 30 to 48 1/8",
        "1: 1/8 to 39 7/8 | 48 1/4 to 59 7/8",
    ];
    assert_eq!(lines(&got.pieces), want);
    let want = [
        [Edge::Outer, Edge::Cut],
        [Edge::Cut, Edge::Course],
        [Edge::Course, Edge::Outer],
    ];
    assert_eq!(edges(&got), want);
}

#[test]
fn a_step_on_a_joint_of_courses_needs_no_cut() {
    let courses = [[Edge::Outer, Edge::Course], [Edge::Course, Edge::Outer]];
    // the wide course ends a gap before its outline, the narrow one starts where courses do
    let got = laid("0,0; 96,0; 96,48 1/8; 40,48 1/8; 40,60; 0,60", "96", "60");
    let want = [
        "0: 1/8 to 95 7/8 | 1/8 to 48",
        "1: 1/8 to 39 7/8 | 48 1/4 to 59 7/8",
    ];
    assert_eq!(
        (lines(&got.pieces), edges(&got)),
        (to_owned(want), courses.into())
    );
    // the narrow course first: the wide one starts a gap past its outline, 48 1/8 + 1/8
    let got = laid("0,0; 40,0; 40,48 1/8; 96,48 1/8; 96,60; 0,60", "96", "60");
    let want = [
        "0: 1/8 to 39 7/8 | 1/8 to 48 1/8",
        "1: 1/8 to 95 7/8 | 48 1/4 to 59 7/8",
    ];
    assert_eq!(
        (lines(&got.pieces), edges(&got)),
        (to_owned(want), courses.into())
    );
}

fn to_owned<const N: usize>(lines: [&str; N]) -> Vec<String> {
    lines.map(str::to_owned).into()
}

#[test]
fn a_strip_no_wider_than_the_gap_is_left_out() {
    // the first course reaches to 48 1/8, the outline steps at 48
    let got = laid("0,0; 96,0; 96,48; 40,48; 40,60; 0,60", "96", "60");
    let want = [
        "0: 1/8 to 95 7/8 | 1/8 to 47 7/8",
        "1: 1/8 to 39 7/8 | 48 1/4 to 59 7/8",
    ];
    let courses = [[Edge::Outer, Edge::Course], [Edge::Course, Edge::Outer]];
    assert_eq!(
        (lines(&got.pieces), edges(&got)),
        (to_owned(want), courses.into())
    );
    let span = |from, to| Span {
        from: inches(from),
        to: inches(to),
    };
    let sliver = Strip {
        across: span("1/8", "39 7/8"),
        along: span("48", "48 1/8"),
    };
    assert_eq!(got.slivers, [sliver]);
    // 1/64 more is a strip
    let got = laid(
        "0,0; 96,0; 96,47 63/64; 40,47 63/64; 40,60; 0,60",
        "96",
        "60",
    );
    assert_eq!(
        lines(&got.pieces)[1],
        "0: 1/8 to 39 7/8 | 47 63/64 to 48 1/8"
    );
    assert_eq!(got.slivers, []);
    // a last course of 48 1/2 − 3/8 − 48 = 1/8 neither: the first one ends at the outline
    let got = lay(&rectangle("60", "48 1/2"), SHEET, COVER, GAP, &[]).unwrap();
    assert_eq!(lines(&got.pieces), ["0: 1/8 to 59 7/8 | 1/8 to 48 1/8"]);
    assert_eq!(edges(&got), [[Edge::Outer; 2]]);
    let sliver = Strip {
        across: span("1/8", "59 7/8"),
        along: span("48 1/4", "48 3/8"),
    };
    assert_eq!(got.slivers, [sliver]);
}

#[test]
fn a_panel_that_would_end_a_gap_before_the_edge_runs_on() {
    // 96 1/2 ends at 96 3/8; a joint at 96 3/16 would leave 96 1/4 to 96 3/8: the panel runs to 1/8 + 96
    let joists = [inches("80"), inches("96 3/16")];
    let got = lay(&rectangle("96 1/2", "40"), SHEET, COVER, GAP, &joists).unwrap();
    assert_eq!(lines(&got.pieces), ["0: 1/8 to 96 1/8 | 1/8 to 39 7/8"]);
    assert_eq!(got.slivers.len(), 1);
    assert_eq!(got.slivers[0].across.length(), inches("1/8"));
    // 1/64 sooner it is a joint
    let joists = [inches("80"), inches("96 11/64")];
    let got = lay(&rectangle("96 1/2", "40"), SHEET, COVER, GAP, &joists).unwrap();
    assert_eq!((got.pieces.len(), got.slivers.len()), (2, 0));
}

#[test]
fn each_piece_of_a_course_meets_its_own_part_of_a_step() {
    // 140 wide to 30, then 40 wide: the joint at 96; past the step the second piece meets the outline alone
    let corners = "0,0; 140,0; 140,30; 40,30; 40,60; 0,60";
    let outline = Outline::read(corners, inches("140"), inches("60"), Units::Us).unwrap();
    let got = lay(&outline, SHEET, COVER, GAP, &at_sixteen("0", 10)).unwrap();
    assert_eq!(
        lines(&got.pieces)[1],
        "0: 96 1/16 to 139 7/8 | 1/8 to 29 7/8"
    );
    let first = [[Edge::Outer, Edge::Cut], [Edge::Outer, Edge::Outer]];
    assert_eq!(edges(&got)[..2], first);
}

fn in_64ths(n: i64) -> Length {
    Length::from_64ths(n)
}

fn area(span: Span, other: Span) -> i64 {
    span.length().as_64ths() * other.length().as_64ths()
}

proptest! {
    #[test]
    fn pieces_and_gaps_fill_the_patch_and_inner_joints_lie_on_joists(
        across in 64_i64..20_000, along in 64_i64..12_000, first in 0_i64..1_024,
        spacing in 640_i64..1_600, gap in 0_i64..16,
    ) {
        let gap = in_64ths(gap);
        let joists: Vec<Length> = (0..40).map(|n| in_64ths(first + spacing * n)).collect();
        let outline = Outline::rectangle(in_64ths(across), in_64ths(along));
        let Layout { pieces, slivers } = lay(&outline, SHEET, COVER, gap, &joists).unwrap();
        let all = courses(in_64ths(along), COVER, gap);
        let k = i64::try_from(all.len()).unwrap();
        let wide: Length = all.iter().map(|course| course.length()).sum();
        let left = in_64ths(along) - wide - gap * (k + 1);
        prop_assert!(left == Length::ZERO || (left > Length::ZERO && left <= gap));
        for n in 0..all.len() {
            let row: Vec<&Piece> = pieces.iter().filter(|piece| piece.course == n).collect();
            if row.is_empty() {
                prop_assert!(n + 1 == all.len() && all[n].length() <= gap);
                continue;
            }
            let long: Length = row.iter().map(|piece| piece.across.length()).sum();
            let gaps = gap * (i64::try_from(row.len()).unwrap() + 1);
            let open = in_64ths(across) - long - gaps;
            let short = slivers.iter().any(|sliver| sliver.along == row[0].along);
            prop_assert!(open == Length::ZERO || (short && open > Length::ZERO && open <= gap * 2));
            prop_assert_eq!(row[row.len() - 1].ends_on, None);
            for pair in row.windows(2) {
                let on = pair[0].ends_on.unwrap();
                prop_assert_eq!(pair[1].starts_on, Some(on));
                prop_assert!(pair[0].across.to <= joists[on] && joists[on] <= pair[1].across.from);
            }
        }
        for piece in &pieces {
            prop_assert!(piece.across.length() <= SHEET && piece.across.length() > Length::ZERO);
            prop_assert!(piece.along.length() <= COVER);
        }
    }

    #[test]
    fn in_a_stepped_outline_no_piece_leaves_it_and_laid_tight_they_fill_it(
        across in 1_000_i64..16_000, along in 1_000_i64..10_000,
        step_u in 1_i64..1_000, step_v in 1_i64..1_000, gap in 0_i64..16,
    ) {
        let part = |whole: i64, step: i64| (whole * step).div_euclid(1_001);
        let (u, v) = (part(across, step_u), part(along, step_v));
        prop_assume!(u > 40 && v > 40 && across - u > 40 && along - v > 40);
        let text = |n: i64| in_64ths(n).to_string();
        let (a, b, u, v) = (text(across), text(along), text(u), text(v));
        let corners = format!("0,0;{a},0;{a},{v};{u},{v};{u},{b};0,{b}");
        let outline =
            Outline::read(&corners, in_64ths(across), in_64ths(along), Units::Us).unwrap();
        let joists: Vec<Length> = (0..40).map(|n| in_64ths(1_024 * n)).collect();
        let pieces = lay(&outline, SHEET, COVER, in_64ths(gap), &joists).unwrap().pieces;
        let (u, v) = (inches(&u), inches(&v));
        for (n, piece) in pieces.iter().enumerate() {
            prop_assert!(piece.across.to <= u || piece.along.to <= v);
            prop_assert!(piece.along.length() <= COVER && piece.across.length() <= SHEET);
            for other in &pieces[n + 1..] {
                let meet = piece.across.common(other.across).zip(piece.along.common(other.along));
                prop_assert_eq!(meet, None);
            }
        }
        if gap == 0 {
            let filled: i64 = pieces.iter().map(|piece| area(piece.across, piece.along)).sum();
            let (a, b) = (in_64ths(across), in_64ths(along));
            let whole = a.as_64ths() * v.as_64ths() + u.as_64ths() * (b - v).as_64ths();
            prop_assert_eq!(filled, whole);
        }
    }
}
