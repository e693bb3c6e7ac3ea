//! Screens floor joists between two shores, one straight above the other: they pass the load across their grain, in bearing
//! alone.
//!
//! A joist takes its distance of the line; the contact is its thickness times the plate's width, the weakest wood there
//! counts, no area factor. Source: NDS 3.10; that every joist passes its own share is conservative practice.

use super::across_grain::across_grain;
use super::basis::Basis;
use super::beam::not_agreed;
use super::combination::{LoadKind, combinations};
use super::measures::{inches, per_inch};
use super::member::{Condition, LineLoad};
use super::post::{Contact, crushing};
use super::screened::{Gathered, Ratio, Screened};
use super::wood::{Told, Wood};
use crate::checks::{Measurement, missing};
use crate::tables::Confidence;
use crate::units::Length;

/// Joists between two shores.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Between {
    /// Their name.
    pub name: String,
    /// A joist's thickness.
    pub thickness: Measurement,
    /// The width of the plates on them and under them.
    pub plate_width: Measurement,
    /// Their distance on centre.
    pub spacing: Measurement,
    /// Their wood and the plates'.
    pub woods: Vec<Wood>,
    /// Whether they were looked at and found whole.
    pub condition: Condition,
    /// What comes down along the line.
    pub line_loads: Vec<LineLoad>,
}

/// Screens joists between two shores.
pub fn screen(joists: &Between) -> Screened {
    let lengths = [&joists.thickness, &joists.plate_width, &joists.spacing];
    let basis = Basis::of(&lengths).and(&Basis::of_loads(&joists.line_loads, &[]));
    let mut found = Gathered {
        measure: missing(&lengths),
        looks: not_agreed(&basis.measurements()),
        readings: basis.readings(),
        figures: basis.figures.clone(),
        ..Gathered::default()
    };
    if joists.woods.iter().any(|one| one.species == Told::NotKnown) {
        let says = "the species of a piece there is not known, and the weakest listed was taken";
        found.looks.push(says.to_owned());
    }
    found.measure.extend(joists.condition.hinders());
    for load in joists.line_loads.iter().filter(|load| load.load.is_none()) {
        found.measure.push(format!("the load of {}", load.what));
    }
    if joists.line_loads.is_empty() {
        found.measure.push("what comes down on them".to_owned());
    }
    if found.measure.is_empty() {
        match worst(joists, &mut found) {
            Ok(ratio) => found.ratios.extend(ratio),
            Err(why) => found.measure.push(why),
        }
    }
    found.conclude(&joists.name)
}

/// The greatest ratio under any combination.
fn worst(joists: &Between, found: &mut Gathered) -> Result<Option<Ratio>, String> {
    let of = |one: &Measurement| inches(one.value.unwrap_or(Length::ZERO));
    let mut weakest: Option<(f64, Confidence)> = None;
    for wood in &joists.woods {
        let one = across_grain(wood, &mut found.figures)?;
        if weakest.is_none_or(|least| one.0 < least.0) {
            weakest = Some(one);
        }
    }
    let (strength, seen) = weakest.ok_or("the wood of the joists and the plates")?;
    let contact = Contact {
        place: "joist between plates".to_owned(),
        area: of(&joists.thickness) * of(&joists.plate_width),
        strength,
        seen,
        area_factor: 1.0,
    };
    let loads: Vec<(LoadKind, f64)> = joists
        .line_loads
        .iter()
        .filter_map(|load| Some((load.kind, per_inch(load.load?) * of(&joists.spacing))))
        .collect();
    let present: Vec<LoadKind> = loads.iter().map(|(kind, _)| *kind).collect();
    let all = combinations(&present).map(|combination| {
        let load = loads
            .iter()
            .map(|(kind, load)| combination.part(*kind) * load)
            .sum();
        crushing(&contact, combination.name, load)
    });
    Ok(all.max_by(|a, b| a.ratio().total_cmp(&b.ratio())))
}
