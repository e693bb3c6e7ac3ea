//! Which loads act together, and how long the shortest of them lasts.
//!
//! Allowable stress design; no wind, no earthquake, no reduction of live load. Source: ASCE 7 and NDS 2.3.2; from memory.

use super::figure::{Figure, add};
use crate::tables::adjustment_factors::LoadDuration;

/// What kind of load it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum LoadKind {
    /// What is always there.
    Dead,
    /// People and furniture; an attic's storage.
    Live,
    /// An attic without storage: never together with a roof load.
    AtticLive,
    /// Snow on the ground taken as on the roof, not reduced.
    Snow,
    /// A roof without snow: people and material at work on it.
    RoofLive,
}

impl LoadKind {
    /// Every kind.
    pub const ALL: [Self; 5] = [
        Self::Dead,
        Self::Live,
        Self::AtticLive,
        Self::Snow,
        Self::RoofLive,
    ];

    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Dead => "dead load",
            Self::Live => "live load",
            Self::AtticLive => "attic load",
            Self::Snow => "snow",
            Self::RoofLive => "roof live load",
        }
    }
}

/// Loads that act together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Combination {
    /// As engineers write it: `D + L`.
    pub name: &'static str,
    /// The shortest-lasting of them.
    pub duration: LoadDuration,
    parts: [f64; 5],
    /// It counts only where each of these groups has a load.
    wants: &'static [&'static [LoadKind]],
}

impl Combination {
    /// How much of a kind of load is in it.
    pub fn part(&self, kind: LoadKind) -> f64 {
        self.parts[kind as usize]
    }
}

const LIVE: &[LoadKind] = &[LoadKind::Live, LoadKind::AtticLive];
const SNOW: &[LoadKind] = &[LoadKind::Snow];
const ROOF: &[LoadKind] = &[LoadKind::RoofLive];

const fn combination(
    name: &'static str,
    duration: LoadDuration,
    parts: [f64; 5],
    wants: &'static [&'static [LoadKind]],
) -> Combination {
    Combination {
        name,
        duration,
        parts,
        wants,
    }
}

/// Every combination: parts of dead, live, attic, snow and roof live load.
pub const COMBINATIONS: [Combination; 6] = [
    combination("D", LoadDuration::Permanent, [1.0, 0.0, 0.0, 0.0, 0.0], &[]),
    combination(
        "D + L",
        LoadDuration::TenYears,
        [1.0, 1.0, 1.0, 0.0, 0.0],
        &[LIVE],
    ),
    combination(
        "D + S",
        LoadDuration::TwoMonths,
        [1.0, 0.0, 0.0, 1.0, 0.0],
        &[SNOW],
    ),
    combination(
        "D + Lr",
        LoadDuration::SevenDays,
        [1.0, 0.0, 0.0, 0.0, 1.0],
        &[ROOF],
    ),
    combination(
        "D + 0.75 L + 0.75 S",
        LoadDuration::TwoMonths,
        [1.0, 0.75, 0.0, 0.75, 0.0],
        &[LIVE, SNOW],
    ),
    combination(
        "D + 0.75 L + 0.75 Lr",
        LoadDuration::SevenDays,
        [1.0, 0.75, 0.0, 0.0, 0.75],
        &[LIVE, ROOF],
    ),
];

/// The combinations that count where these kinds of load are there.
pub fn combinations(present: &[LoadKind]) -> impl Iterator<Item = &'static Combination> {
    const ALL: &[Combination] = &COMBINATIONS;
    ALL.iter().filter(move |combination| {
        combination
            .wants
            .iter()
            .all(|group| group.iter().any(|kind| present.contains(kind)))
    })
}

/// The factor CD of each of these kinds, dead load always among them, each once.
pub(crate) fn duration_figures(kinds: impl IntoIterator<Item = LoadKind>) -> Vec<Figure> {
    let mut present: Vec<LoadKind> = kinds.into_iter().chain([LoadKind::Dead]).collect();
    present.sort_unstable();
    let mut all = Vec::new();
    for kind in present {
        let (what, factor) = match kind {
            LoadKind::Dead => ("CD, dead load", LoadDuration::Permanent.factor()),
            LoadKind::Live | LoadKind::AtticLive => {
                ("CD, live load", LoadDuration::TenYears.factor())
            }
            LoadKind::Snow => ("CD, snow", LoadDuration::TwoMonths.factor()),
            LoadKind::RoofLive => ("CD, roof live load", LoadDuration::SevenDays.factor()),
        };
        let value = format!("{}", factor.value);
        add(
            &mut all,
            Figure::new(what, value, factor.source, factor.confidence),
        );
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_loads_that_are_there_are_combined_and_an_attic_never_with_the_roof() {
        let names = |present: &[LoadKind]| -> Vec<&str> {
            combinations(present).map(|one| one.name).collect()
        };
        assert_eq!(names(&[LoadKind::Dead]), ["D"]);
        assert_eq!(names(&[LoadKind::Live]), ["D", "D + L"]);
        assert_eq!(
            names(&[LoadKind::AtticLive, LoadKind::Snow]),
            ["D", "D + L", "D + S", "D + 0.75 L + 0.75 S"]
        );
        for combination in COMBINATIONS {
            let roof = combination.part(LoadKind::Snow) + combination.part(LoadKind::RoofLive);
            assert!(combination.part(LoadKind::AtticLive) * roof < 1e-12);
            assert!((combination.part(LoadKind::Dead) - 1.0).abs() < 1e-12);
        }
    }
}
