//! One span between two supports, with uniform loads, point loads and a moment at either end: reactions, shear, moment,
//! sag. Inches, pounds, pounds per inch.
//!
//! Exact, by integrating the moment twice (Macaulay's brackets); spans that run on over supports are in `continuous`.
//! Source: beam theory, as in any textbook of strength of materials.

/// A load on a span.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SpanLoad {
    /// Pounds per inch, between two places.
    Uniform {
        /// Where it begins.
        from: f64,
        /// Where it ends.
        to: f64,
        /// Pounds per inch.
        load: f64,
    },
    /// Pounds at a place.
    Point {
        /// Where.
        at: f64,
        /// Pounds.
        load: f64,
    },
}

impl SpanLoad {
    /// Its weight, lb.
    pub fn weight(self) -> f64 {
        match self {
            Self::Uniform { from, to, load } => (to - from) * load,
            Self::Point { load, .. } => load,
        }
    }

    fn centre(self) -> f64 {
        match self {
            Self::Uniform { from, to, .. } => 0.5 * (from + to),
            Self::Point { at, .. } => at,
        }
    }

    /// The load's sum over ⟨x − a⟩ raised to `degree` (1 for the moment, 3 for the sag), divided by its factorial.
    fn bracket(self, x: f64, degree: u8) -> f64 {
        let power = |from: f64, degree: u8| {
            let arm = (x - from).max(0.0);
            (1..=degree).fold(1.0, |sum, n| sum * arm / f64::from(n))
        };
        match self {
            Self::Uniform { from, to, load } => {
                load * (power(from, degree + 1) - power(to, degree + 1))
            }
            Self::Point { at, load } => load * power(at, degree),
        }
    }

    /// How much of it stands before x, lb.
    fn before(self, x: f64) -> f64 {
        match self {
            Self::Uniform { from, to, load } => load * ((x - from).max(0.0) - (x - to).max(0.0)),
            Self::Point { at, load } => {
                if at < x {
                    load
                } else {
                    0.0
                }
            }
        }
    }
}

/// A span on two supports. Moments at its ends are positive where they sag it; a beam that runs on has them below zero.
#[derive(Clone, Debug, PartialEq)]
pub struct Span {
    /// From support to support.
    pub length: f64,
    /// What stands on it, downwards.
    pub loads: Vec<SpanLoad>,
    /// The moments at its start and end, lb-in.
    pub end_moments: (f64, f64),
}

impl Span {
    /// A span that ends at its supports.
    pub fn simple(length: f64, loads: Vec<SpanLoad>) -> Self {
        Self {
            length,
            loads,
            end_moments: (0.0, 0.0),
        }
    }

    /// The reactions at its start and end, lb.
    pub fn reactions(&self) -> (f64, f64) {
        let weight: f64 = self.loads.iter().map(|load| load.weight()).sum();
        let turning: f64 = self
            .loads
            .iter()
            .map(|load| load.weight() * load.centre())
            .sum();
        let (start, end) = self.end_moments;
        let far = (turning - end + start) / self.length;
        (weight - far, far)
    }

    /// The moment at x, lb-in.
    pub fn moment(&self, x: f64) -> f64 {
        let lost: f64 = self.loads.iter().map(|load| load.bracket(x, 1)).sum();
        self.end_moments.0 + self.reactions().0 * x - lost
    }

    /// The shear just before x, lb.
    pub fn shear(&self, x: f64) -> f64 {
        let before: f64 = self.loads.iter().map(|load| load.before(x)).sum();
        self.reactions().0 - before
    }

    /// The greatest sagging moment and where it is; 0 at the start where none sags.
    pub fn greatest_moment(&self) -> (f64, f64) {
        let places = self.places();
        let mut best = (0.0, 0.0);
        let mut take = |x: f64| {
            let moment = self.moment(x);
            if moment > best.1 {
                best = (x, moment);
            }
        };
        for pair in places.windows(2) {
            take(pair[0]);
            take(pair[1]);
            // Between two places the shear runs straight: where it is zero, the moment is greatest.
            let (from, to) = (self.shear_after(pair[0]), self.shear(pair[1]));
            if from > 0.0 && to < 0.0 {
                take(pair[0] + (pair[1] - pair[0]) * from / (from - to));
            }
        }
        best
    }

    /// The shears that count at its start and end: uniform load within `depth` of a support is left out, point loads never.
    ///
    /// Source: NDS 3.4.3.1, for uniform loads alone.
    pub fn design_shears(&self, depth: f64) -> (f64, f64) {
        let near = depth.min(0.5 * self.length);
        let far = self.length - near;
        let left_out = |from: f64, to: f64| -> f64 {
            let uniform = self
                .loads
                .iter()
                .filter(|load| matches!(load, SpanLoad::Uniform { .. }));
            uniform
                .map(|load| load.before(to) - load.before(from))
                .sum()
        };
        let (start, end) = self.reactions();
        (
            (start - left_out(0.0, near)).max(0.0),
            (end - left_out(far, self.length)).max(0.0),
        )
    }

    /// How far it sags at x, in; `stiffness` is E × I, lb-in².
    pub fn sag(&self, x: f64, stiffness: f64) -> f64 {
        let slope = self.bent(self.length) / self.length;
        (slope * x - self.bent(x)) / stiffness
    }

    /// The greatest sag and where it is.
    pub fn greatest_sag(&self, stiffness: f64) -> (f64, f64) {
        const PARTS: i32 = 32;
        let step = self.length / f64::from(PARTS);
        let mut best = (0.0, 0.0);
        for part in 0..=PARTS {
            let x = step * f64::from(part);
            let sag = self.sag(x, stiffness);
            if sag > best.1 {
                best = (x, sag);
            }
        }
        // The sag has one top between the neighbours of the best place: thirds of the rest close in on it.
        let (mut from, mut to) = ((best.0 - step).max(0.0), (best.0 + step).min(self.length));
        for _ in 0..40 {
            let third = (to - from) / 3.0;
            if self.sag(from + third, stiffness) < self.sag(to - third, stiffness) {
                from += third;
            } else {
                to -= third;
            }
        }
        let x = 0.5 * (from + to);
        let sag = self.sag(x, stiffness);
        if sag > best.1 { (x, sag) } else { best }
    }

    /// The moment integrated twice from the start.
    fn bent(&self, x: f64) -> f64 {
        let lost: f64 = self.loads.iter().map(|load| load.bracket(x, 3)).sum();
        self.end_moments.0 * x * x / 2.0 + self.reactions().0 * x * x * x / 6.0 - lost
    }

    fn shear_after(&self, x: f64) -> f64 {
        let points = self.loads.iter().filter_map(|load| match load {
            SpanLoad::Point { at, load } if at.total_cmp(&x).is_eq() => Some(*load),
            _ => None,
        });
        self.shear(x) - points.sum::<f64>()
    }

    /// Its ends and every place where a load begins, ends or stands, in order.
    fn places(&self) -> Vec<f64> {
        let mut places = vec![0.0, self.length];
        for load in &self.loads {
            match *load {
                SpanLoad::Uniform { from, to, .. } => places.extend([from, to]),
                SpanLoad::Point { at, .. } => places.push(at),
            }
        }
        places.retain(|place| (0.0..=self.length).contains(place));
        places.sort_by(f64::total_cmp);
        places
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(ours: f64, textbook: f64) {
        assert!(
            (ours - textbook).abs() <= 1e-9 * textbook.abs().max(1.0),
            "{ours} {textbook}"
        );
    }

    #[test]
    fn a_uniform_load_bends_and_sags_as_the_closed_forms_say() {
        // wL/2, wL²/8, 5wL⁴/384EI.
        let (w, l, ei) = (5.0, 160.0, 1.4e8);
        let whole = SpanLoad::Uniform {
            from: 0.0,
            to: l,
            load: w,
        };
        let span = Span::simple(l, vec![whole]);
        close(span.reactions().0, w * l / 2.0);
        close(span.greatest_moment().1, w * l * l / 8.0);
        close(span.greatest_sag(ei).1, 5.0 * w * l.powi(4) / (384.0 * ei));
        close(span.design_shears(9.25).0, w * (l / 2.0 - 9.25));
    }

    #[test]
    fn a_point_load_off_centre_bends_and_sags_as_the_closed_forms_say() {
        // Pab/L; with a over b, Pb(L² − b²)^1.5 ÷ (9√3 L EI).
        let (p, l, a, ei) = (1000.0, 120.0, 80.0, 1.4e8);
        let b = l - a;
        let span = Span::simple(l, vec![SpanLoad::Point { at: a, load: p }]);
        close(span.greatest_moment().1, p * a * b / l);
        let sag = p * b * (l * l - b * b).powf(1.5) / (9.0 * 3.0_f64.sqrt() * l * ei);
        close(span.greatest_sag(ei).1, sag);
        close(span.design_shears(90.0).1, p * a / l);
    }

    #[test]
    fn a_load_on_a_part_of_the_span_turns_about_its_own_centre() {
        // w over c from a: R = wc(L − a − c/2)/L, greatest moment R(a + R/2w).
        let (w, length, a, c) = (7.0, 200.0, 30.0, 60.0);
        let part = SpanLoad::Uniform {
            from: a,
            to: a + c,
            load: w,
        };
        let span = Span::simple(length, vec![part]);
        let r = w * c * (length - a - c / 2.0) / length;
        close(span.reactions().0, r);
        close(span.greatest_moment().0, a + r / w);
        close(span.greatest_moment().1, r * (a + r / (2.0 * w)));
    }
}
