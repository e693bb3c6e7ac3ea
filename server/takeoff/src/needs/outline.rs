//! A right-angled outline: a rectangle or what its corners say, in bands between the levels at which it changes.
//!
//! `u` runs across the supports, `v` along them, both from the zero corner. Panels are laid into it in `panels`.
//!
//! Source: common practice, no published source.
//!
//! Example: corners 0,0; 96,0; 96,48; 40,48; 40,72; 0,72: from 0 to 48 it spans 0 to 96, from 48 to 72 it spans 0 to 40.

use std::collections::BTreeSet;

use crate::units::{Length, Units, parse_length};

/// A stretch, its end past its start.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Span {
    /// Where it starts.
    pub(crate) from: Length,
    /// Where it ends.
    pub(crate) to: Length,
}

impl Span {
    /// How long it is.
    pub(crate) fn length(self) -> Length {
        self.to - self.from
    }

    /// What it has in common with another, if that has a length.
    pub(crate) fn common(self, other: Self) -> Option<Self> {
        let (from, to) = (self.from.max(other.from), self.to.min(other.to));
        (from < to).then_some(Self { from, to })
    }
}

/// Between two levels the outline is the same: these spans.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Band {
    /// From which level to which.
    pub(crate) levels: Span,
    /// Where it is, in order; they don't touch.
    pub(crate) spans: Vec<Span>,
}

/// An edge of the outline along the supports.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Upright {
    /// Where it stands.
    pub(crate) at: Length,
    /// From which level to which.
    pub(crate) levels: Span,
    /// Whether the inside lies past it; else before it.
    pub(crate) starts: bool,
}

/// A right-angled outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Outline {
    bands: Vec<Band>,
}

impl Outline {
    /// A rectangle from the zero corner.
    pub(crate) fn rectangle(across: Length, along: Length) -> Self {
        let span = |to| Span {
            from: Length::ZERO,
            to,
        };
        let band = Band {
            levels: span(along),
            spans: vec![span(across)],
        };
        Self { bands: vec![band] }
    }

    /// From corners as typed, `across,along; across,along; …`, all around, within a rectangle that they fill from side to
    /// side.
    ///
    /// # Errors
    /// What is wrong with them, to stand after "needs: ".
    pub(crate) fn read(
        text: &str,
        across: Length,
        along: Length,
        units: Units,
    ) -> Result<Self, String> {
        let mut corners = Vec::new();
        for corner in text.split(';').filter(|corner| !corner.trim().is_empty()) {
            let [u, v] = corner.split(',').collect::<Vec<_>>()[..] else {
                return Err(format!("each corner as across,along ({corner} is not)"));
            };
            let read = |text: &str| parse_length(text.trim(), units).map_err(|e| e.to_string());
            corners.push((read(u)?, read(v)?));
        }
        let edges: Vec<_> = corners
            .iter()
            .copied()
            .zip(corners.iter().copied().cycle().skip(1))
            .collect();
        if corners.len() < 4 || edges.iter().any(|(a, b)| (a.0 == b.0) == (a.1 == b.1)) {
            return Err("four corners or more, with edges across or along alone".to_owned());
        }
        if cross(&edges) {
            return Err("corners of an outline that doesn’t cross or touch itself".to_owned());
        }
        let (us, vs): (BTreeSet<_>, BTreeSet<_>) = corners.into_iter().unzip();
        let ends = |all: &BTreeSet<Length>| (all.first().copied(), all.last().copied());
        let zero = Some(Length::ZERO);
        if ends(&us) != (zero, Some(across)) || ends(&vs) != (zero, Some(along)) {
            let text =
                format!("corners that reach from 0 to {across} across and 0 to {along} along");
            return Err(text);
        }
        let levels: Vec<Length> = vs.into_iter().collect();
        let bands = levels.windows(2).map(|pair| {
            let levels = Span {
                from: pair[0],
                to: pair[1],
            };
            let mut at: Vec<Length> = edges
                .iter()
                .filter(|(a, b)| a.0 == b.0 && a.1.min(b.1) <= pair[0] && a.1.max(b.1) >= pair[1])
                .map(|(a, _)| a.0)
                .collect();
            at.sort();
            let spans = at.chunks_exact(2).map(|pair| Span {
                from: pair[0],
                to: pair[1],
            });
            Band {
                levels,
                spans: spans.collect(),
            }
        });
        Ok(Self {
            bands: bands.collect(),
        })
    }

    /// Its bands, from the zero edge on.
    pub(crate) fn bands(&self) -> &[Band] {
        &self.bands
    }

    /// How far it reaches along the supports.
    pub(crate) fn along(&self) -> Length {
        self.bands
            .last()
            .map_or(Length::ZERO, |band| band.levels.to)
    }

    /// Its edges along the supports.
    pub(crate) fn uprights(&self) -> Vec<Upright> {
        let mut all: Vec<Upright> = Vec::new();
        for band in &self.bands {
            for (at, starts) in band
                .spans
                .iter()
                .flat_map(|span| [(span.from, true), (span.to, false)])
            {
                let below = all.iter_mut().find(|edge| {
                    edge.at == at && edge.starts == starts && edge.levels.to == band.levels.from
                });
                match below {
                    Some(edge) => edge.levels.to = band.levels.to,
                    None => all.push(Upright {
                        at,
                        levels: band.levels,
                        starts,
                    }),
                }
            }
        }
        all
    }

    /// How long its edges across the supports are together.
    pub(crate) fn flats(&self) -> Length {
        let none = Vec::new();
        let spans = |n: Option<usize>| n.and_then(|n| self.bands.get(n)).map(|band| &band.spans);
        (0..=self.bands.len())
            .map(|n| {
                let below = spans(n.checked_sub(1)).unwrap_or(&none);
                let above = spans(Some(n)).unwrap_or(&none);
                let both: Length = below.iter().map(|span| overlap(*span, above)).sum();
                let each = |all: &[Span]| all.iter().map(|span| span.length()).sum::<Length>();
                each(below) + each(above) - both * 2
            })
            .sum()
    }
}

/// How much of a span lies in others.
pub(crate) fn overlap(span: Span, others: &[Span]) -> Length {
    others
        .iter()
        .filter_map(|other| span.common(*other))
        .map(Span::length)
        .sum()
}

type Corner = (Length, Length);

/// Whether two edges that aren't neighbours meet.
fn cross(edges: &[(Corner, Corner)]) -> bool {
    let meet = |a: &(Corner, Corner), b: &(Corner, Corner)| {
        let apart = |a: (Length, Length), b: (Length, Length)| {
            a.0.max(a.1) < b.0.min(b.1) || b.0.max(b.1) < a.0.min(a.1)
        };
        !apart((a.0.0, a.1.0), (b.0.0, b.1.0)) && !apart((a.0.1, a.1.1), (b.0.1, b.1.1))
    };
    let last = edges.len() - 1;
    edges.iter().enumerate().any(|(n, edge)| {
        edges
            .iter()
            .enumerate()
            .skip(n + 2)
            .any(|(m, other)| !(n == 0 && m == last) && meet(edge, other))
    })
}

#[cfg(test)]
mod tests {
    use super::super::testing::inches;
    use super::{Outline, Span, Upright};
    use crate::units::Units;

    fn span(from: &str, to: &str) -> Span {
        Span {
            from: inches(from),
            to: inches(to),
        }
    }

    fn read(text: &str) -> Result<Outline, String> {
        Outline::read(text, inches("96"), inches("72"), Units::Us)
    }

    const STEP: &str = "0,0; 96,0; 96,48; 40,48; 40,72; 0,72";

    #[test]
    fn a_stepped_outline_has_a_band_for_each_width() {
        let step = read(STEP).unwrap();
        let bands: Vec<_> = step
            .bands()
            .iter()
            .map(|band| (band.levels, band.spans.clone()))
            .collect();
        let want = [
            (span("0", "48"), vec![span("0", "96")]),
            (span("48", "72"), vec![span("0", "40")]),
        ];
        assert_eq!(bands, want);
        // 96 at the bottom, 56 at the step, 40 at the top
        assert_eq!(step.flats(), inches("192"));
        let mut uprights = step.uprights();
        uprights.sort();
        let edge = |at, from, to, starts| Upright {
            at: inches(at),
            levels: span(from, to),
            starts,
        };
        let want = [
            edge("0", "0", "72", true),
            edge("40", "48", "72", false),
            edge("96", "0", "48", false),
        ];
        assert_eq!(uprights, want);
    }

    #[test]
    fn corners_may_begin_anywhere_and_run_either_way() {
        let turned = "40,48; 96,48; 96,0; 0,0; 0,72; 40,72";
        assert_eq!(read(turned), read(STEP));
        let rectangle = Outline::rectangle(inches("96"), inches("72"));
        assert_eq!(read("0,0;8',0;8',6';0,6'"), Ok(rectangle));
    }

    #[test]
    fn corners_that_make_no_right_angled_outline_say_what_is_wrong() {
        for (text, part) in [
            ("0,0; 96,0; 96,72", "four corners or more"),
            ("0,0; 96,0; 90,72; 0,72", "four corners or more"),
            ("0,0; 96; 96,72; 0,72", "each corner as across,along"),
            ("0,0; 90,0; 90,72; 0,72", "from 0 to 96 across"),
            (
                "0,0; 96,0; 96,48; 20,48; 20,24; 40,24; 40,72; 0,72",
                "doesn’t cross",
            ),
        ] {
            let problem = read(text).unwrap_err();
            assert!(problem.contains(part), "{text}: {problem}");
        }
        assert!(read("0,0; x,0; 96,72; 0,72").is_err());
    }
}
