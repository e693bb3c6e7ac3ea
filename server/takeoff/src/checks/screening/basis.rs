//! What a load was worked out from: the lengths, which cap what a screen may say, and the figures, which it has to name.
//!
//! It comes down with the load, from joists to beam, post, pad. Source: none; it is carried along.

use uuid::Uuid;

use super::figure::{Figure, add};
use super::member::{LineLoad, PointLoad};
use super::post::AxialLoad;
use super::wood::{Moisture, Told, Wood};
use crate::checks::Measurement;
use crate::tables::Confidence;
use crate::tables::density::WEIGHT_SOURCE;

/// What a load was worked out from.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Basis {
    /// The lengths: spans, runs on the flat, heights, sizes of what weighs on it.
    pub lengths: Vec<Measurement>,
    /// The figures: live loads, weights of layers and of wood, snow.
    pub figures: Vec<Figure>,
}

impl Basis {
    /// Of lengths alone.
    pub fn of(lengths: &[&Measurement]) -> Self {
        let mut all = Self::default();
        for one in lengths {
            all.take_length(one);
        }
        all
    }

    /// The same with this figure.
    #[must_use]
    pub fn with(mut self, figure: Figure) -> Self {
        add(&mut self.figures, figure);
        self
    }

    /// The same with what this wood weighs.
    #[must_use]
    pub(crate) fn with_weight_of(self, wood: &Wood) -> Self {
        density_figures(wood).into_iter().fold(self, Self::with)
    }

    /// Both, everything once.
    #[must_use]
    pub fn and(mut self, other: &Self) -> Self {
        self.take(other);
        self
    }

    /// Takes in another's, everything once.
    pub fn take(&mut self, other: &Self) {
        for one in &other.lengths {
            self.take_length(one);
        }
        for one in &other.figures {
            add(&mut self.figures, one.clone());
        }
    }

    fn take_length(&mut self, one: &Measurement) {
        if one.value.is_some() && !self.lengths.contains(one) {
            self.lengths.push(one.clone());
        }
    }

    /// The lengths, as checks take them in.
    pub(crate) fn measurements(&self) -> Vec<&Measurement> {
        self.lengths.iter().collect()
    }

    /// The readings that the lengths rest on.
    pub(crate) fn readings(&self) -> Vec<Uuid> {
        let all = self.lengths.iter();
        all.flat_map(|one| one.readings.iter().copied()).collect()
    }

    /// Of all loads of a member together.
    pub(crate) fn of_loads(lines: &[LineLoad], points: &[PointLoad]) -> Self {
        let points = points.iter().map(|one| &one.basis);
        Self::of_all(lines.iter().map(|one| &one.basis).chain(points))
    }

    /// Of all loads on a post or a pad.
    pub(crate) fn of_axial(loads: &[AxialLoad]) -> Self {
        Self::of_all(loads.iter().map(|one| &one.basis))
    }

    fn of_all<'a>(all: impl Iterator<Item = &'a Self>) -> Self {
        all.fold(Self::default(), Self::and).in_order()
    }

    /// In an order of their own, whatever the order of entry.
    fn in_order(mut self) -> Self {
        self.lengths
            .sort_by(|a, b| (&a.what, &a.readings).cmp(&(&b.what, &b.readings)));
        self.figures
            .sort_by(|a, b| (&a.what, &a.value, &a.source).cmp(&(&b.what, &b.value, &b.source)));
        self
    }
}

/// A figure that somebody of the job entered: a layer's weight, the ground's snow.
pub(crate) fn entered(what: impl Into<String>, value: impl Into<String>) -> Figure {
    Figure::new(what, value, "as entered in this job", Confidence::Entered)
}

/// What wood weighs: its species' weight, or the heaviest listed; green and wet wood 1.2 times as much.
pub(crate) fn density_figures(wood: &Wood) -> Vec<Figure> {
    let name = match wood.species {
        Told::Listed(species) => species.name(),
        _ => "species not known, the heaviest listed",
    };
    let tenths = wood.dry_tenths();
    let mut all = vec![Figure::new(
        format!("weight of wood, {name}"),
        format!(
            "{}.{} lb/cu ft",
            tenths.div_euclid(10),
            tenths.rem_euclid(10)
        ),
        WEIGHT_SOURCE,
        Confidence::Verified,
    )];
    if matches!(wood.moisture, Moisture::Green | Moisture::Wet) {
        all.push(Figure::new(
            "weight of green or wet wood, times",
            "1.2",
            "common practice, no published source",
            Confidence::Memory,
        ));
    }
    all
}
