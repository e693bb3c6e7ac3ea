//! Bending members worked out in floats: design spans, stresses, sag and bearing under every combination of loads.
//!
//! Where a beam runs on over a middle post, each span is taken as simple for sagging moment and sag (never less than with
//! any load on one span alone), and as running on for the post's load, for shear and for bending over it.
//! Source: NDS 3.2.1, 3.3, 3.4, 3.5, 3.10; the envelope for two spans is conservative practice.

mod stresses;

use super::adjusted::{Adjusted, Service, adjusted};
use super::combination::{Combination, LoadKind, combinations};
use super::continuous::Continuous;
use super::rectangle::Rectangle;
use super::screened::Ratio;
use super::span::{Span, SpanLoad};
use super::wood::{Design, less_seen};
use crate::needs::{Sum, result};
use crate::tables::Confidence;
use crate::tables::adjustment_factors::{BEARING_ADDED, BEARING_LONG};
use crate::tables::design_values::Property;

/// A member in floats: inches, pounds, psi.
#[derive(Clone, Debug)]
pub(crate) struct Model {
    pub(crate) clear: Vec<f64>,
    pub(crate) bearings: Vec<Seat>,
    pub(crate) section: Rectangle,
    pub(crate) design: Design,
    /// 1, less for how much it matters.
    pub(crate) strength: f64,
    /// 1, less for how much it matters.
    pub(crate) stiffness: f64,
    pub(crate) service: Service,
    pub(crate) loads: Vec<Load>,
    /// 360 for L/360 under live load.
    pub(crate) sag_part: u32,
}

/// A bearing in floats.
#[derive(Clone, Debug)]
pub(crate) struct Seat {
    pub(crate) place: String,
    pub(crate) long: f64,
    /// Across, where that is less than the member's thickness.
    pub(crate) wide: Option<f64>,
    /// Fc⊥ of the weakest wood under it, adjusted for moisture, and how far it was seen.
    pub(crate) under: Option<(f64, Confidence)>,
}

/// A load in floats, from the inside face of the first support; no stretch: the whole of it.
#[derive(Clone, Debug)]
pub(crate) struct Load {
    pub(crate) kind: LoadKind,
    pub(crate) shape: Shape,
}

#[derive(Clone, Copy, Debug)]
pub(crate) enum Shape {
    Whole(f64),
    Stretch { from: f64, to: f64, load: f64 },
    Point { at: f64, load: f64 },
}

/// What one combination does to the member.
struct Acting {
    combination: &'static Combination,
    values: Adjusted,
    simple: Vec<Span>,
    /// Solved over all supports, where it runs on.
    running: Option<Continuous>,
}

impl Model {
    /// Every check, each under the combination that asks most of it.
    pub(crate) fn ratios(&self) -> Vec<Ratio> {
        let halves = self.halves();
        let all: Vec<Acting> = self
            .combinations()
            .map(|combination| self.acting(combination, &halves))
            .collect();
        let mut ratios: Vec<Ratio> = Vec::new();
        for acting in &all {
            let mut found = vec![self.bending(acting), self.shear(acting)];
            found.extend(self.bending_over_post(acting));
            found.extend(self.sags(acting, &halves));
            found.extend(self.seats(acting));
            for ratio in found {
                match ratios
                    .iter_mut()
                    .find(|known| (known.check, &known.place) == (ratio.check, &ratio.place))
                {
                    Some(known) if ratio.ratio() > known.ratio() => *known = ratio,
                    Some(_) => {}
                    None => ratios.push(ratio),
                }
            }
        }
        ratios
    }

    /// The greatest ratio of all.
    pub(crate) fn greatest(&self) -> f64 {
        self.ratios().iter().map(Ratio::ratio).fold(0.0, f64::max)
    }

    /// The reaction at a support under every combination, with its name.
    pub(crate) fn reactions(&self, support: usize) -> Vec<(&'static str, f64)> {
        let halves = self.halves();
        self.combinations()
            .map(|combination| {
                let acting = self.acting(combination, &halves);
                (combination.name, acting.reactions()[support])
            })
            .collect()
    }

    /// What each kind of load by itself brings to a support, for what stands below.
    pub(crate) fn reactions_by_kind(&self, support: usize) -> Vec<(LoadKind, f64)> {
        let halves = self.halves();
        self.kinds()
            .into_iter()
            .map(|kind| {
                let only = |one: LoadKind| if one == kind { 1.0 } else { 0.0 };
                let simple = self.spans(&halves, only);
                let running = (simple.len() > 1).then(|| Continuous::solve(simple.clone()));
                (kind, reactions_of(&simple, running.as_ref())[support])
            })
            .collect()
    }

    /// The greatest sag under dead load alone, without creep, in inches.
    pub(crate) fn dead_sag(&self) -> f64 {
        let halves = self.halves();
        let dead = |kind| if kind == LoadKind::Dead { 1.0 } else { 0.0 };
        let values = adjusted(&self.design, self.service);
        let stiffness = values.e * self.stiffness * self.section.moment_of_inertia();
        let spans = self.spans(&halves, dead);
        let sags = spans.iter().map(|span| span.greatest_sag(stiffness).1);
        sags.fold(0.0, f64::max)
    }

    fn kinds(&self) -> Vec<LoadKind> {
        LoadKind::ALL
            .into_iter()
            .filter(|kind| self.loads.iter().any(|load| load.kind == *kind))
            .collect()
    }

    /// The spans that it is worked out on: the clear span and half the bearing that is needed at each end, at most half
    /// of what is there; over a middle post to its centre.
    pub(crate) fn design_spans(&self) -> Vec<f64> {
        spans_of(&self.clear, &self.halves())
    }

    fn combinations(&self) -> impl Iterator<Item = &'static Combination> {
        let all: Vec<&'static Combination> = combinations(&self.kinds()).collect();
        all.into_iter()
    }

    /// Half the bearing that counts at each support. The reaction hangs on the span and the span on the reaction: a few
    /// rounds settle it far below 1/64 in.
    fn halves(&self) -> Vec<f64> {
        let mut halves = vec![0.0; self.bearings.len()];
        for _ in 0..6 {
            let mut needed = vec![0.0_f64; self.bearings.len()];
            for combination in self.combinations() {
                let acting = self.acting(combination, &halves);
                for (n, reaction) in acting.reactions().into_iter().enumerate() {
                    let strength = self.seat_strength(n, &acting.values).0;
                    needed[n] = needed[n].max(reaction / (self.seat_width(n) * strength));
                }
            }
            let last = halves.len() - 1;
            for (n, (seat, needed)) in self.bearings.iter().zip(needed).enumerate() {
                let counts = if n == 0 || n == last {
                    needed
                } else {
                    seat.long
                };
                halves[n] = 0.5 * seat.long.min(counts);
            }
        }
        halves
    }

    fn acting(&self, combination: &'static Combination, halves: &[f64]) -> Acting {
        let simple = self.spans(halves, |kind| combination.part(kind));
        let running = (simple.len() > 1).then(|| Continuous::solve(simple.clone()));
        let service = Service {
            duration: combination.duration,
            ..self.service
        };
        Acting {
            combination,
            values: adjusted(&self.design, service),
            simple,
            running,
        }
    }

    /// The spans with so much of each kind of load.
    fn spans(&self, halves: &[f64], part: impl Fn(LoadKind) -> f64) -> Vec<Span> {
        let lengths = spans_of(&self.clear, halves);
        let mut starts = Vec::new();
        let mut face = 0.0;
        for (n, clear) in self.clear.iter().enumerate() {
            starts.push(face - halves[n]);
            face += clear + self.bearings.get(n + 1).map_or(0.0, |seat| seat.long);
        }
        lengths
            .iter()
            .enumerate()
            .map(|(n, length)| {
                let last = n + 1 == lengths.len();
                let loads = self
                    .loads
                    .iter()
                    .filter(|load| part(load.kind) > 0.0)
                    .filter_map(|load| {
                        local(load.shape, part(load.kind), starts[n], *length, last)
                    });
                Span::simple(*length, loads.collect())
            })
            .collect()
    }

    fn seat_width(&self, n: usize) -> f64 {
        let own = self.section.thickness;
        self.bearings[n].wide.map_or(own, |wide| wide.min(own))
    }

    /// The least Fc⊥ at a bearing, psi; the member's own has Cb where it runs on over a short middle support.
    fn seat_strength(&self, n: usize, values: &Adjusted) -> (f64, Confidence) {
        let seat = &self.bearings[n];
        let middle = n > 0 && n + 1 < self.bearings.len();
        let short = seat.long > 0.0 && seat.long < BEARING_LONG.value;
        let factor = if middle && short {
            (seat.long + BEARING_ADDED.value) / seat.long
        } else {
            1.0
        };
        let own = values.fc_perp * factor;
        let seen = self.design.sized(Property::FcPerp).confidence;
        match seat.under {
            Some((under, confidence)) => (own.min(under), less_seen(seen, confidence)),
            None => (own, seen),
        }
    }
}

impl Acting {
    /// The reaction at each support: at a middle post as the beam runs on, at the ends as simple spans, which is more.
    fn reactions(&self) -> Vec<f64> {
        reactions_of(&self.simple, self.running.as_ref())
    }
}

fn reactions_of(simple: &[Span], running: Option<&Continuous>) -> Vec<f64> {
    let mut all = match running {
        Some(running) => running.reactions.clone(),
        None => vec![0.0; 2],
    };
    if let (Some(first), Some(span)) = (all.first_mut(), simple.first()) {
        *first = span.reactions().0;
    }
    if let (Some(last), Some(span)) = (all.last_mut(), simple.last()) {
        *last = span.reactions().1;
    }
    all
}

/// The last line of a check's arithmetic.
pub(crate) fn ratio_line(ratio: &Ratio) -> Sum {
    result(
        "Demand ÷ capacity",
        format!("{:.2}", ratio.ratio()),
        format!("{:.2} ÷ {:.2} {}", ratio.demand, ratio.capacity, ratio.unit),
    )
}

fn spans_of(clear: &[f64], halves: &[f64]) -> Vec<f64> {
    clear
        .iter()
        .zip(halves.windows(2))
        .map(|(clear, ends)| clear + ends[0] + ends[1])
        .collect()
}

/// A load's part on one span, in its own measure. What stands over a middle post goes to the span before it.
fn local(shape: Shape, part: f64, start: f64, length: f64, last: bool) -> Option<SpanLoad> {
    match shape {
        Shape::Whole(load) => Some(SpanLoad::Uniform {
            from: 0.0,
            to: length,
            load: load * part,
        }),
        Shape::Stretch { from, to, load } => {
            let (from, to) = (
                (from - start).clamp(0.0, length),
                (to - start).clamp(0.0, length),
            );
            (to > from).then_some(SpanLoad::Uniform {
                from,
                to,
                load: load * part,
            })
        }
        Shape::Point { at, load } => {
            let at = at - start;
            let first = start <= 0.0;
            let here = (at > 0.0 || first) && (at <= length || last);
            here.then_some(SpanLoad::Point {
                at: at.clamp(0.0, length),
                load: load * part,
            })
        }
    }
}
