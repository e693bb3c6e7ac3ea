//! Screens shoring: its studs, its top plate between them, and the studs' bearing on the plates.
//!
//! Dead and full live load of that storey and above. A joist within 1 1/2 in of a stud loads the stud; else the plate takes
//! it as a simple span at its worst place. What the shore stands on is screened by itself.
//! Source: NDS as in `post` and `beam`; Cfu for the flat plate; the worst place is conservative practice.

use super::across_grain::across_grain;
use super::adjusted::{Adjusted, Service, adjusted, bearing_area_factor};
use super::basis::{Basis, density_figures};
use super::beam::{not_agreed, unknown_wood};
use super::bending::ratio_line;
use super::combination::{Combination, LoadKind, combinations, duration_figures};
use super::figure::{Figure, add};
use super::measures::{inches, per_inch};
use super::member::{Known, LineLoad};
use super::post::{Column, Contact, weak_length};
use super::rectangle::Rectangle;
use super::screened::{Check, Gathered, Ratio, Screened, Worse, most_sensitive, names_from_memory};
use super::span::{Span, SpanLoad};
use super::wood::{Design, Laid, Wood, design, less_seen};
use crate::checks::{Measurement, missing};
use crate::needs::sum;
use crate::tables::Confidence;
use crate::tables::adjustment_factors::{
    BUCKLING, LoadDuration, RECTANGLE_SHEAR, SAWN_COLUMN, SLENDEREST_BUILDING, Thickness, flat_use,
};
use crate::tables::design_values::Property;
use crate::units::{Length, Section};

/// A joist so near to a stud loads the stud alone.
pub const OVER_STUD: Length = Length::inches_64(1, 32);

/// One side of a shoring wall.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shore {
    /// Its name: `Shore 1, first side`.
    pub name: String,
    /// A stud's thickness.
    pub stud_thickness: Measurement,
    /// A stud's depth.
    pub stud_depth: Measurement,
    /// A stud's length.
    pub height: Measurement,
    /// Where a brace that runs to something fixed crosses the studs, from their foot.
    pub brace: Option<Measurement>,
    /// The greatest distance of two studs, on centre.
    pub stud_spacing: Measurement,
    /// The joists' distance, on centre.
    pub joist_spacing: Measurement,
    /// Whether every joist stands within 1 1/2 in of a stud.
    pub joists_over_studs: Known,
    /// The plate's thickness, one ply.
    pub plate_thickness: Measurement,
    /// The plate's width.
    pub plate_width: Measurement,
    /// Top plates on each other.
    pub plate_plies: u32,
    /// How far the plates run past the end studs; `None`: not known, no area factor.
    pub past_end_stud: Option<Measurement>,
    /// What studs and plates are made of.
    pub wood: Wood,
    /// What the joists put on the line: `tributary::shore_line`, for each storey above too.
    pub line_loads: Vec<LineLoad>,
}

/// Screens one side of a shoring wall.
pub fn screen(shore: &Shore) -> Screened {
    let lengths = lengths(shore);
    let mut found = Gathered {
        measure: missing(&lengths),
        looks: unknown_wood(&shore.wood),
        readings: lengths
            .iter()
            .flat_map(|one| one.readings.iter().copied())
            .collect(),
        ..Gathered::default()
    };
    let basis = Basis::of_loads(&shore.line_loads, &[]);
    found.readings.extend(basis.readings());
    let mut all = lengths.clone();
    all.extend(basis.measurements());
    found.looks.extend(not_agreed(&all));
    for one in &lengths {
        if one.value.is_some_and(|value| value <= Length::ZERO)
            && Some(*one) != shore.brace.as_ref()
            && Some(*one) != shore.past_end_stud.as_ref()
        {
            found
                .measure
                .push(format!("{} read again: nothing is left of it", one.what));
        }
    }
    for load in shore.line_loads.iter().filter(|load| load.load.is_none()) {
        found.measure.push(format!("the load of {}", load.what));
    }
    if shore.line_loads.is_empty() {
        found.measure.push("what the joists put on it".to_owned());
    }
    if shore.plate_plies == 0 {
        found.measure.push("its top plates".to_owned());
    }
    if found.measure.is_empty() {
        match prepare(shore, &mut found.figures) {
            Ok(model) => {
                found.ratios = model.ratios();
                found.sensitivity = most_sensitive(&model, INPUTS, Model::greatest);
            }
            Err(why) => found.measure.push(why),
        }
    }
    found.conclude(&shore.name)
}

fn lengths(shore: &Shore) -> Vec<&Measurement> {
    let mut all = vec![
        &shore.stud_thickness,
        &shore.stud_depth,
        &shore.height,
        &shore.stud_spacing,
        &shore.joist_spacing,
        &shore.plate_thickness,
        &shore.plate_width,
    ];
    all.extend(&shore.brace);
    all.extend(&shore.past_end_stud);
    all
}

/// A shore in floats.
#[derive(Clone, Debug)]
struct Model {
    stud: Column,
    stud_spacing: f64,
    joist_spacing: f64,
    over_studs: bool,
    /// Plies laid on each other: width across, one ply's thickness along the load.
    ply: Rectangle,
    plies: u32,
    plate: Design,
    flat_seen: Confidence,
    service: Service,
    strength: f64,
    /// Pounds per inch of the line.
    loads: Vec<(LoadKind, f64)>,
}

fn prepare(shore: &Shore, figures: &mut Vec<Figure>) -> Result<Model, String> {
    let of = |one: &Measurement| one.value.unwrap_or(Length::ZERO);
    let stud = Section {
        thickness: of(&shore.stud_thickness),
        depth: of(&shore.stud_depth),
    };
    let ply = Section {
        thickness: of(&shore.plate_width),
        depth: of(&shore.plate_thickness),
    };
    let stud_design = design(&shore.wood, stud, Laid::OnEdge)?;
    let plate = design(&shore.wood, ply, Laid::Flat)?;
    for figure in stud_design.figures.iter().chain(&plate.figures) {
        add(figures, figure.clone());
    }
    for (what, factor) in [
        ("c of a sawn column", SAWN_COLUMN),
        ("FcE", BUCKLING),
        ("the most le/d while building", SLENDEREST_BUILDING),
    ] {
        let value = format!("{}", factor.value);
        add(
            figures,
            Figure::new(what, value, factor.source, factor.confidence),
        );
    }
    for figure in duration_figures(shore.line_loads.iter().map(|load| load.kind))
        .into_iter()
        .chain(Basis::of_loads(&shore.line_loads, &[]).figures)
        .chain(density_figures(&shore.wood))
    {
        add(figures, figure);
    }
    let flat = flat_use(Thickness::TwoOrThree, 4);
    add(
        figures,
        Figure::new(
            "Cfu, with CF in the plate’s Fb",
            "by its width",
            flat.source,
            flat.confidence,
        ),
    );
    let (across, seen) = across_grain(&shore.wood, figures)?;
    let service = Service {
        duration: LoadDuration::Permanent,
        moisture: shore.wood.moisture,
        repetitive: false,
        incised: shore.wood.incised,
    };
    let area_factor = shore
        .past_end_stud
        .as_ref()
        .and_then(|past| past.value)
        .map_or(1.0, |past| bearing_area_factor(stud.thickness, past));
    let section = Rectangle::of(stud, 1);
    let height = inches(of(&shore.height));
    let contact = Contact {
        place: "stud on plate".to_owned(),
        area: section.thickness * section.depth.min(inches(of(&shore.plate_width))),
        strength: across,
        seen,
        area_factor,
    };
    let mut loads: Vec<(LoadKind, f64)> = shore
        .line_loads
        .iter()
        .filter_map(|load| Some((load.kind, per_inch(load.load?))))
        .collect();
    loads.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    Ok(Model {
        stud: Column {
            section,
            plies: 1,
            height,
            weak_length: weak_length(height, shore.brace.as_ref()),
            design: stud_design,
            strength: 1.0,
            service,
            weight: section.weight_per_inch(shore.wood.density()) * height,
            loads: Vec::new(),
            slenderest: SLENDEREST_BUILDING.value,
            ends: vec![contact],
        },
        stud_spacing: inches(of(&shore.stud_spacing)),
        joist_spacing: inches(of(&shore.joist_spacing)),
        over_studs: shore.joists_over_studs == Known::Yes,
        ply: Rectangle::of(ply, 1),
        plies: shore.plate_plies,
        flat_seen: less_seen(flat.confidence, plate.sized(Property::Fb).confidence),
        plate,
        service,
        strength: 1.0,
        loads,
    })
}

impl Model {
    fn ratios(&self) -> Vec<Ratio> {
        let present: Vec<LoadKind> = self.loads.iter().map(|(kind, _)| *kind).collect();
        let share = self.stud_share();
        let mut column = self.stud.clone();
        column.loads = self
            .loads
            .iter()
            .map(|(kind, load)| (*kind, load * self.joist_spacing * share))
            .collect();
        let mut all = column.ratios();
        if self.over_studs {
            return all;
        }
        for combination in combinations(&present) {
            for ratio in self.plate_ratios(combination) {
                match all.iter_mut().find(|known| known.check == ratio.check) {
                    Some(known) if ratio.ratio() > known.ratio() => *known = ratio,
                    Some(_) => {}
                    None => all.push(ratio),
                }
            }
        }
        all
    }

    fn greatest(&self) -> f64 {
        self.ratios().iter().map(Ratio::ratio).fold(0.0, f64::max)
    }

    /// How many joists' loads the worst stud takes: one straight over it, and of those beside it what the plate brings.
    fn stud_share(&self) -> f64 {
        if self.over_studs {
            // Each stud has its own joists; where studs stand further apart than joists, several.
            return (self.stud_spacing / self.joist_spacing).ceil().max(1.0);
        }
        let mut share = 1.0;
        let mut away = self.joist_spacing;
        while away < self.stud_spacing {
            share += 2.0 * (1.0 - away / self.stud_spacing);
            away += self.joist_spacing;
        }
        share
    }

    fn plate_ratios(&self, combination: &'static Combination) -> Vec<Ratio> {
        let joist: f64 = self
            .loads
            .iter()
            .map(|(kind, load)| combination.part(*kind) * load * self.joist_spacing)
            .sum();
        let values = adjusted(
            &self.plate,
            Service {
                duration: combination.duration,
                ..self.service
            },
        );
        let (moment, shear) = self.worst_place(joist);
        vec![
            self.plate_bending(combination, &values, moment),
            self.plate_shear(combination, &values, shear),
        ]
    }

    /// The greatest moment and shear of the plate between two studs, wherever the joists stand.
    fn worst_place(&self, joist: f64) -> (f64, f64) {
        const PLACES: i32 = 48;
        let step = self.joist_spacing.min(self.stud_spacing) / f64::from(PLACES);
        let mut worst = (0.0_f64, 0.0_f64);
        for place in 0..=PLACES {
            let mut loads = Vec::new();
            let mut at = step * f64::from(place);
            while at <= self.stud_spacing {
                loads.push(SpanLoad::Point { at, load: joist });
                at += self.joist_spacing;
            }
            let span = Span::simple(self.stud_spacing, loads);
            worst.0 = worst.0.max(span.greatest_moment().1);
            worst.1 = worst.1.max(span.reactions().0);
        }
        // A single joist in the middle, whatever the steps.
        worst.0 = worst.0.max(joist * self.stud_spacing / 4.0);
        worst
    }

    fn plate_bending(
        &self,
        combination: &'static Combination,
        values: &Adjusted,
        moment: f64,
    ) -> Ratio {
        let modulus = self.ply.section_modulus() * f64::from(self.plies);
        let mut ratio = Ratio {
            check: Check::PlateBending,
            place: String::new(),
            demand: moment / modulus,
            capacity: values.fb * self.strength,
            unit: "psi",
            under: combination.name,
            sums: vec![
                sum(
                    "Greatest moment M",
                    format!("{moment:.0} lb-in"),
                    "a joist at its worst place between two studs",
                ),
                sum(
                    "Section modulus S",
                    format!("{modulus:.2} in³"),
                    format!("{} plies laid flat", self.plies),
                ),
            ],
            from_memory: names_from_memory(&[("Fb and Cfu", self.flat_seen)]),
        };
        ratio.sums.push(ratio_line(&ratio));
        ratio
    }

    fn plate_shear(
        &self,
        combination: &'static Combination,
        values: &Adjusted,
        shear: f64,
    ) -> Ratio {
        let area = self.ply.area() * f64::from(self.plies);
        let seen = self.plate.sized(Property::Fv).confidence;
        let mut ratio = Ratio {
            check: Check::PlateShear,
            place: String::new(),
            demand: RECTANGLE_SHEAR.value * shear / area,
            capacity: values.fv * self.strength,
            unit: "psi",
            under: combination.name,
            sums: vec![sum(
                "Greatest shear V",
                format!("{shear:.0} lb"),
                "a joist beside a stud: point loads count wherever they stand",
            )],
            from_memory: names_from_memory(&[("Fv", seen)]),
        };
        ratio.sums.push(ratio_line(&ratio));
        ratio
    }
}

/// How each input is made a tenth worse.
const INPUTS: &[Worse<Model>] = &[
    ("studs a tenth longer", |model| {
        model.stud.height *= 1.1;
        model.stud.weak_length *= 1.1;
    }),
    ("studs a tenth thinner", |model| {
        model.stud.section.thickness *= 0.9;
    }),
    ("studs a tenth further apart", |model| {
        model.stud_spacing *= 1.1;
    }),
    ("joists a tenth further apart", |model| {
        model.joist_spacing *= 1.1;
    }),
    ("plate a tenth thinner", |model| model.ply.depth *= 0.9),
    ("contact of the studs on the plates a tenth less", |model| {
        for end in &mut model.stud.ends {
            end.area *= 0.9;
        }
    }),
    ("load a tenth more", |model| {
        for (_, load) in &mut model.loads {
            *load *= 1.1;
        }
    }),
    ("strength of the wood a tenth less", |model| {
        model.strength *= 0.9;
        model.stud.strength *= 0.9;
    }),
];
