//! The beam solver against one of another kind: finite elements, their equations solved by a general library of linear
//! algebra.
//!
//! Source: the cubic beam element of any finite-element textbook, exact at its nodes for loads that begin, end and stand at
//! nodes; `nalgebra` solves. Our solver integrates moments, this one inverts stiffness: they share nothing.

use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use scantling_takeoff::checks::screening::continuous::Continuous;
use scantling_takeoff::checks::screening::span::{Span, SpanLoad};

/// E × I of every case, lb-in².
const STIFFNESS: f64 = 1.4e8;

/// A beam by finite elements: sag and slope at every node, reactions at the supports.
struct Elements {
    nodes: Vec<f64>,
    sags: Vec<f64>,
    reactions: Vec<f64>,
}

impl Elements {
    /// Spans one after another, with their loads in each span's own measure.
    fn solve(spans: &[Span]) -> Self {
        let mut supports = vec![0.0];
        let mut loads = Vec::new();
        for span in spans {
            let start = *supports.last().unwrap();
            supports.push(start + span.length);
            loads.extend(span.loads.iter().map(|load| moved(*load, start)));
        }
        let nodes = nodes(&supports, &loads);
        let n = nodes.len();
        let mut stiffness = DMatrix::<f64>::zeros(2 * n, 2 * n);
        let mut forces = DVector::<f64>::zeros(2 * n);
        for (first, pair) in nodes.windows(2).enumerate() {
            let l = pair[1] - pair[0];
            let element = element(l);
            for row in 0..4 {
                for column in 0..4 {
                    stiffness[(2 * first + row, 2 * first + column)] += element[row][column];
                }
            }
            let w: f64 = loads
                .iter()
                .map(|load| uniform_on(*load, pair[0], pair[1]))
                .sum();
            let uniform = [
                w * l / 2.0,
                w * l * l / 12.0,
                w * l / 2.0,
                -w * l * l / 12.0,
            ];
            for (row, force) in uniform.into_iter().enumerate() {
                forces[2 * first + row] += force;
            }
        }
        for load in &loads {
            if let SpanLoad::Point { at, load } = load {
                let node = nodes
                    .iter()
                    .position(|node| (node - at).abs() < 1e-9)
                    .unwrap();
                forces[2 * node] += load;
            }
        }
        let held: Vec<usize> = supports
            .iter()
            .map(|at| {
                2 * nodes
                    .iter()
                    .position(|node| (node - at).abs() < 1e-9)
                    .unwrap()
            })
            .collect();
        let free: Vec<usize> = (0..2 * n).filter(|row| !held.contains(row)).collect();
        let inner = DMatrix::from_fn(free.len(), free.len(), |r, c| stiffness[(free[r], free[c])]);
        let pushed = DVector::from_fn(free.len(), |r, _| forces[free[r]]);
        let solved = inner
            .cholesky()
            .expect("a held beam is stiff")
            .solve(&pushed);
        let mut moved = DVector::<f64>::zeros(2 * n);
        for (row, value) in free.iter().zip(solved.iter()) {
            moved[*row] = *value;
        }
        let residual = &forces - &stiffness * &moved;
        Self {
            sags: (0..n).map(|node| moved[2 * node]).collect(),
            reactions: held.iter().map(|row| residual[*row]).collect(),
            nodes,
        }
    }
}

/// The stiffness of a cubic element of this length, downwards positive.
fn element(length: f64) -> [[f64; 4]; 4] {
    let (force, arm) = (12.0, 6.0 * length);
    let (near, far) = (4.0 * length * length, 2.0 * length * length);
    let stiffness = STIFFNESS / length.powi(3);
    [
        [force, arm, -force, arm],
        [arm, near, -arm, far],
        [-force, -arm, force, -arm],
        [arm, far, -arm, near],
    ]
    .map(|row| row.map(|one| stiffness * one))
}

fn moved(load: SpanLoad, by: f64) -> SpanLoad {
    match load {
        SpanLoad::Uniform { from, to, load } => SpanLoad::Uniform {
            from: from + by,
            to: to + by,
            load,
        },
        SpanLoad::Point { at, load } => SpanLoad::Point { at: at + by, load },
    }
}

fn uniform_on(load: SpanLoad, from: f64, to: f64) -> f64 {
    match load {
        SpanLoad::Uniform {
            from: a,
            to: b,
            load,
        } if a <= from + 1e-9 && b >= to - 1e-9 => load,
        _ => 0.0,
    }
}

/// Supports, places of loads, and a few between.
fn nodes(supports: &[f64], loads: &[SpanLoad]) -> Vec<f64> {
    let mut all = supports.to_vec();
    for load in loads {
        match *load {
            SpanLoad::Uniform { from, to, .. } => all.extend([from, to]),
            SpanLoad::Point { at, .. } => all.push(at),
        }
    }
    for pair in supports.windows(2) {
        all.extend((1..8).map(|part| pair[0] + (pair[1] - pair[0]) * f64::from(part) / 8.0));
    }
    all.sort_by(f64::total_cmp);
    all.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    all
}

fn close(ours: f64, theirs: f64, scale: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        (ours - theirs).abs() <= 1e-6 * scale.max(1e-3),
        "{} {}",
        ours,
        theirs
    );
    Ok(())
}

/// A load on a span, its places in hundredths of the span so that none falls almost on another.
fn load() -> impl Strategy<Value = (bool, u32, u32, u32)> {
    (any::<bool>(), 1_u32..99, 1_u32..99, 1_u32..2_000)
}

fn span(length: u32, loads: &[(bool, u32, u32, u32)]) -> Span {
    let length = f64::from(length);
    let at = |hundredths: u32| length * f64::from(hundredths) / 100.0;
    let loads = loads.iter().map(|(point, a, b, load)| {
        if *point {
            return SpanLoad::Point {
                at: at(*a),
                load: f64::from(*load),
            };
        }
        SpanLoad::Uniform {
            from: at(*a.min(b)),
            to: at(*a.max(b)),
            load: f64::from(*load) / 100.0,
        }
    });
    Span::simple(length, loads.collect())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn sag_and_reactions_are_those_of_finite_elements(
        spans in prop::collection::vec((48_u32..240, prop::collection::vec(load(), 1..4)), 1..4),
    ) {
        let spans: Vec<Span> = spans.iter().map(|(length, loads)| span(*length, loads)).collect();
        let theirs = Elements::solve(&spans);
        let ours = Continuous::solve(spans);
        let weight: f64 = ours.reactions.iter().sum::<f64>().abs().max(1.0);
        for (ours, theirs) in ours.reactions.iter().zip(&theirs.reactions) {
            close(*ours, *theirs, weight)?;
        }
        let most = theirs.sags.iter().map(|sag| sag.abs()).fold(0.0, f64::max);
        let mut start = 0.0;
        for span in &ours.spans {
            for (node, sag) in theirs.nodes.iter().zip(&theirs.sags) {
                let x = node - start;
                if (0.0..=span.length).contains(&x) {
                    close(span.sag(x, STIFFNESS), *sag, most)?;
                }
            }
            start += span.length;
        }
    }

    #[test]
    fn the_greatest_moment_and_sag_are_not_passed_anywhere(
        length in 48_u32..240,
        loads in prop::collection::vec(load(), 1..5),
    ) {
        let span = span(length, &loads);
        let (_, moment) = span.greatest_moment();
        let (_, sag) = span.greatest_sag(STIFFNESS);
        let theirs = Elements::solve(std::slice::from_ref(&span));
        for part in 0..=200 {
            let x = f64::from(length) * f64::from(part) / 200.0;
            prop_assert!(span.moment(x) <= moment * (1.0 + 1e-9));
        }
        for theirs in &theirs.sags {
            prop_assert!(*theirs <= sag * (1.0 + 1e-6));
        }
    }
}
