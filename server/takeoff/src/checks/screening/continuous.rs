//! A beam that runs on over several supports: moments over them by the three-moment theorem, then each span by itself.
//!
//! One section throughout, supports that don't settle. Source: Clapeyron's three-moment theorem, as in any textbook.

use super::span::{Span, SpanLoad};

/// A solved continuous beam.
#[derive(Clone, Debug, PartialEq)]
pub struct Continuous {
    /// The spans, with the moments at their ends.
    pub spans: Vec<Span>,
    /// The reaction at each support, one more than spans, lb.
    pub reactions: Vec<f64>,
}

impl Continuous {
    /// Solves it: the spans from one end to the other, loads measured from each span's own start.
    pub fn solve(mut spans: Vec<Span>) -> Self {
        let moments = support_moments(&spans);
        for (span, pair) in spans.iter_mut().zip(moments.windows(2)) {
            span.end_moments = (pair[0], pair[1]);
        }
        let mut reactions = vec![0.0; spans.len() + 1];
        for (n, span) in spans.iter().enumerate() {
            let (start, end) = span.reactions();
            reactions[n] += start;
            reactions[n + 1] += end;
        }
        Self { spans, reactions }
    }
}

/// Moments over all supports; none at the two ends. Each inner support gives
/// `M₀ L₁ + 2 M₁ (L₁ + L₂) + M₂ L₂ = −6 A₁ a₁/L₁ − 6 A₂ b₂/L₂`; solved from one end to the other and back.
fn support_moments(spans: &[Span]) -> Vec<f64> {
    let mut moments = vec![0.0; spans.len() + 1];
    let mut carried: Vec<(f64, f64)> = Vec::new();
    for pair in spans.windows(2) {
        let (left, right) = (&pair[0], &pair[1]);
        let known = -(turned(left, Side::End) + turned(right, Side::Start));
        let (ratio, rest) = carried.last().copied().unwrap_or((0.0, 0.0));
        let before = if carried.is_empty() { 0.0 } else { left.length };
        let own = 2.0 * (left.length + right.length) - before * ratio;
        carried.push((right.length / own, (known - before * rest) / own));
    }
    for (n, (ratio, rest)) in carried.iter().enumerate().rev() {
        moments[n + 1] = rest - ratio * moments[n + 2];
    }
    moments
}

/// Which support of a span an equation is for.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Start,
    End,
}

/// 6 A a ÷ L of a span's loads, a from the support across.
fn turned(span: &Span, side: Side) -> f64 {
    let length = span.length;
    let arm = |at: f64| match side {
        Side::Start => length - at,
        Side::End => at,
    };
    // Of a point load P at a: P a (L² − a²)/L; of a load w over a stretch, that integrated.
    let of_stretch = |a: f64| a * a / (4.0 * length) * (2.0 * length * length - a * a);
    span.loads
        .iter()
        .map(|load| match *load {
            SpanLoad::Point { at, load } => {
                let a = arm(at);
                load * a * (length * length - a * a) / length
            }
            SpanLoad::Uniform { from, to, load } => {
                load * (of_stretch(arm(to)) - of_stretch(arm(from))).abs()
            }
        })
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn uniform(length: f64, load: f64) -> Span {
        let whole = SpanLoad::Uniform {
            from: 0.0,
            to: length,
            load,
        };
        Span::simple(length, vec![whole])
    }

    #[test]
    fn two_equal_spans_put_ten_eighths_on_the_middle() {
        let beam = Continuous::solve(vec![uniform(168.0, 10.0), uniform(168.0, 10.0)]);
        assert!((beam.reactions[1] - 1.25 * 1680.0).abs() < 1e-9);
        assert!((beam.spans[0].end_moments.1 + 10.0 * 168.0 * 168.0 / 8.0).abs() < 1e-6);
    }

    #[test]
    fn three_equal_spans_carry_four_and_eleven_tenths() {
        // 0.4, 1.1, 1.1, 0.4 of wL, as in the tables of any handbook.
        let beam = Continuous::solve(vec![uniform(100.0, 1.0); 3]);
        for (ours, textbook) in beam.reactions.iter().zip([40.0, 110.0, 110.0, 40.0]) {
            assert!((ours - textbook).abs() < 1e-9, "{ours}");
        }
    }

    #[test]
    fn two_unequal_spans_follow_the_rule_of_the_wall_that_joists_run_over() {
        // w(a + b)/2 + w(a³ + b³)/8ab.
        let (w, a, b): (f64, f64, f64) = (4.0, 150.0, 110.0);
        let beam = Continuous::solve(vec![uniform(a, w), uniform(b, w)]);
        let rule = w * (a + b) / 2.0 + w * (a.powi(3) + b.powi(3)) / (8.0 * a * b);
        assert!((beam.reactions[1] - rule).abs() < 1e-9);
    }

    #[test]
    fn a_point_load_in_the_middle_of_two_equal_spans_puts_three_sixteenths_of_pl_over_the_post() {
        let loaded = Span::simple(
            100.0,
            vec![SpanLoad::Point {
                at: 50.0,
                load: 1000.0,
            }],
        );
        let beam = Continuous::solve(vec![loaded.clone(), loaded]);
        assert!((beam.spans[1].end_moments.0 + 3.0 / 16.0 * 100_000.0).abs() < 1e-6);
        assert!((beam.reactions[0] - 312.5).abs() < 1e-9);
    }
}
