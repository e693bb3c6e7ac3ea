//! Screens a pad, or a plank on soil: pressure on the soil under all that stands on it, its own weight added.
//!
//! The pad's own strength, frost and settling aren't covered. Source: IRC R401.4.1, R403.1.1; the rule for soil that isn't
//! known is conservative practice.

use std::f64::consts::FRAC_PI_4;

use super::basis::{Basis, density_figures};
use super::beam::not_agreed;
use super::bending::ratio_line;
use super::combination::{Combination, LoadKind, combinations};
use super::figure::{Figure, add};
use super::measures::{inches, psf, whole};
use super::post::{AxialLoad, in_order};
use super::screened::{Check, Gathered, Ratio, Screened, Worse, most_sensitive};
use super::wood::{Moisture, Wood};
use crate::checks::{Measurement, missing};
use crate::needs::sum;
use crate::tables::Confidence;
use crate::tables::loads::{
    CONCRETE_LB_PER_CU_FT, FOOTING_PROJECTION, FOOTING_THICKNESS, SOIL_SOURCE, Soil,
    WOOD_TENTHS_LB_PER_CU_FT,
};
use crate::units::{Length, Psf};

/// A pad as recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pad {
    /// Its name: `Pad under post 1`.
    pub name: String,
    /// Its plan.
    pub plan: Plan,
    /// How thick it is.
    pub thickness: Measurement,
    /// What it is made of.
    pub of: PadOf,
    /// The soil under it.
    pub soil: Soil,
    /// What stands on it.
    pub loads: Vec<AxialLoad>,
    /// How far it sticks out beside what stands on it, the least and the most of all sides; `None`: not recorded.
    pub projection: Option<[Length; 2]>,
}

/// The plan of a pad.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Plan {
    /// Round.
    Round {
        /// Across.
        diameter: Measurement,
    },
    /// Square or longer than wide.
    Rectangle {
        /// One side.
        length: Measurement,
        /// The other.
        width: Measurement,
    },
}

/// What a pad is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PadOf {
    /// Concrete.
    Concrete,
    /// Planks.
    Wood,
}

/// Screens a pad.
pub fn screen(pad: &Pad) -> Screened {
    let lengths = pad.lengths();
    let mut found = Gathered {
        measure: missing(&lengths),
        looks: not_agreed(&lengths),
        readings: lengths
            .iter()
            .flat_map(|one| one.readings.iter().copied())
            .collect(),
        ..Gathered::default()
    };
    let basis = Basis::of_axial(&pad.loads);
    found.readings.extend(basis.readings());
    found.looks.extend(not_agreed(&basis.measurements()));
    for load in pad.loads.iter().filter(|load| load.load.is_none()) {
        found.measure.push(format!("the load of {}", load.what));
    }
    if pad.loads.is_empty() {
        found.measure.push("what stands on it".to_owned());
    }
    found.looks.extend(footing(pad));
    let Some(bearing) = pad.soil.bearing() else {
        let why = "an engineer’s word on the soil: fill and peat are not in the table";
        found.measure.push(why.to_owned());
        return found.conclude(&pad.name);
    };
    if pad.soil == Soil::NotKnown {
        let why = format!("the soil is not known, and {bearing} was taken");
        found.looks.push(why);
    }
    found.figures = figures(pad, bearing);
    for figure in basis.figures {
        add(&mut found.figures, figure);
    }
    if found.measure.is_empty() {
        let model = pad.model(bearing);
        found.ratios = model.ratios();
        found.sensitivity = most_sensitive(&model, INPUTS, Model::greatest);
        let load = model.greatest_load();
        found.sums = vec![
            sum("Area", format!("{:.2} sq ft", model.area), ""),
            sum(
                "Least square pad for this load",
                format!("{:.1} in", least_square(load, bearing)),
                "its own weight not counted",
            ),
        ];
    }
    found.conclude(&pad.name)
}

/// What a plan of so many square inches carries on a soil, in pounds, own weight not taken off.
pub fn soil_capacity(area_sq_in: f64, bearing: Psf) -> f64 {
    area_sq_in / 144.0 * psf(bearing)
}

/// The area of a round pad, in².
pub fn round_area(diameter: Length) -> f64 {
    FRAC_PI_4 * inches(diameter) * inches(diameter)
}

/// The side of the least square pad for a load in pounds, in inches, own weight not counted.
pub fn least_square(load: f64, bearing: Psf) -> f64 {
    (load / psf(bearing)).sqrt() * 12.0
}

/// The diameter of the least round pad for a load in pounds, in inches, own weight not counted.
pub fn least_round(load: f64, bearing: Psf) -> f64 {
    (load / psf(bearing) / FRAC_PI_4).sqrt() * 12.0
}

fn footing(pad: &Pad) -> Vec<String> {
    let mut all = Vec::new();
    if pad.of == PadOf::Wood {
        return all;
    }
    let Some(thickness) = pad.thickness.value else {
        return all;
    };
    if thickness < FOOTING_THICKNESS {
        all.push(format!(
            "it is {thickness} in thick, and a footing is {FOOTING_THICKNESS} in or more (IRC R403.1.1)"
        ));
    }
    if let Some([least, most]) = pad.projection {
        if most > thickness {
            all.push(format!(
                "it sticks out {most} in, more than its thickness (IRC R403.1.1)"
            ));
        }
        if least < FOOTING_PROJECTION {
            all.push(format!(
                "it sticks out {least} in, less than {FOOTING_PROJECTION} in (IRC R403.1.1)"
            ));
        }
    }
    all
}

fn figures(pad: &Pad, bearing: Psf) -> Vec<Figure> {
    let mut all = vec![Figure::new(
        "what the soil carries",
        bearing.to_string(),
        SOIL_SOURCE,
        Confidence::Verified,
    )];
    if pad.of == PadOf::Concrete {
        all.push(Figure::new(
            "weight of concrete",
            format!("{CONCRETE_LB_PER_CU_FT} lb/cu ft"),
            "common practice, no published source",
            Confidence::Memory,
        ));
    } else {
        let unknown = Wood::read(None, None, Moisture::NotKnown);
        all.extend(density_figures(&unknown));
    }
    all
}

/// A pad in floats: square feet, pounds, pounds a square foot.
#[derive(Clone, Debug)]
struct Model {
    area: f64,
    weight: f64,
    loads: Vec<(LoadKind, f64)>,
    bearing: f64,
}

impl Pad {
    fn lengths(&self) -> Vec<&Measurement> {
        let mut all = match &self.plan {
            Plan::Round { diameter } => vec![diameter],
            Plan::Rectangle { length, width } => vec![length, width],
        };
        all.push(&self.thickness);
        all
    }

    fn model(&self, bearing: Psf) -> Model {
        let of = |one: &Measurement| one.value.unwrap_or(Length::ZERO);
        let area = match &self.plan {
            Plan::Round { diameter } => round_area(of(diameter)),
            Plan::Rectangle { length, width } => inches(of(length)) * inches(of(width)),
        } / 144.0;
        let density = match self.of {
            PadOf::Concrete => whole(CONCRETE_LB_PER_CU_FT),
            PadOf::Wood => whole(WOOD_TENTHS_LB_PER_CU_FT) / 10.0,
        };
        Model {
            area,
            weight: area * inches(of(&self.thickness)) / 12.0 * density,
            loads: in_order(&self.loads),
            bearing: psf(bearing),
        }
    }
}

impl Model {
    fn load(&self, combination: &Combination) -> f64 {
        let loads = self.loads.iter();
        loads
            .map(|(kind, load)| combination.part(*kind) * load)
            .sum()
    }

    fn combinations(&self) -> impl Iterator<Item = &'static Combination> {
        let present: Vec<LoadKind> = self.loads.iter().map(|(kind, _)| *kind).collect();
        let all: Vec<&'static Combination> = combinations(&present).collect();
        all.into_iter()
    }

    fn greatest_load(&self) -> f64 {
        self.combinations()
            .map(|one| self.load(one))
            .fold(0.0, f64::max)
    }

    fn greatest(&self) -> f64 {
        self.ratios().iter().map(Ratio::ratio).fold(0.0, f64::max)
    }

    /// Soil has no factor for how long a load lasts: the greatest of all combinations counts.
    fn ratios(&self) -> Vec<Ratio> {
        let worst = self
            .combinations()
            .max_by(|a, b| self.load(a).total_cmp(&self.load(b)));
        let worst = worst.expect("dead load alone is always a combination");
        let all = self.load(worst) + self.weight;
        let mut ratio = Ratio {
            check: Check::Soil,
            place: String::new(),
            demand: all,
            capacity: self.area * self.bearing,
            unit: "lb",
            under: worst.name,
            sums: vec![
                sum("Load", format!("{:.0} lb", self.load(worst)), worst.name),
                sum("Its own weight", format!("{:.0} lb", self.weight), ""),
                sum(
                    "The soil carries",
                    format!("{:.0} lb", self.area * self.bearing),
                    format!("{:.2} sq ft × {:.0} psf", self.area, self.bearing),
                ),
            ],
            from_memory: Vec::new(),
        };
        ratio.sums.push(ratio_line(&ratio));
        vec![ratio]
    }
}

/// How each input is made a tenth worse.
const INPUTS: &[Worse<Model>] = &[
    ("sides of the pad a tenth shorter", |model| {
        model.area *= 0.81;
        model.weight *= 0.81;
    }),
    ("load a tenth more", |model| {
        for (_, load) in &mut model.loads {
            *load *= 1.1;
        }
    }),
    ("soil a tenth weaker", |model| model.bearing *= 0.9),
];
