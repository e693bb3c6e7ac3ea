//! Screens a post or a stud: buckling both ways, slenderness, and what its ends bear on.
//!
//! Pinned ends (Ke 1), full length both ways unless a brace holds the weak way; solid, or nailed plies beside each other.
//! Side loads and loads off the centre aren't covered. Source: NDS 3.6, 3.7, 3.10, 15.3; own weight added.

use super::across_grain::across_grain;
use super::adjusted::{Service, adjusted, bearing_area_factor};
use super::basis::{Basis, density_figures};
use super::beam::{not_agreed, unknown_under, unknown_wood};
use super::bending::ratio_line;
use super::column::{buckling_stress, stability_factor};
use super::combination::{Combination, LoadKind, combinations, duration_figures};
use super::figure::{Figure, add};
use super::measures::{inches, pounds};
use super::member::{Condition, On};
use super::rectangle::Rectangle;
use super::screened::{Check, Gathered, Ratio, Screened, Worse, most_sensitive, names_from_memory};
use super::wood::{Design, Laid, Wood, design};
use crate::checks::{Measurement, missing};
use crate::needs::{result, sum};
use crate::tables::Confidence;
use crate::tables::adjustment_factors::{
    BUCKLING, LoadDuration, NAILED_PLIES, SAWN_COLUMN, SLENDEREST, SLENDEREST_BUILDING,
};
use crate::tables::design_values::Property;
use crate::units::{Length, Pounds, Section};

/// A post or stud as recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Post {
    /// Its name: `Post 1`.
    pub name: String,
    /// The thickness of one ply.
    pub thickness: Measurement,
    /// Its other side.
    pub depth: Measurement,
    /// Plies nailed beside each other.
    pub plies: u32,
    /// What it is made of.
    pub wood: Wood,
    /// Its full length.
    pub height: Measurement,
    /// Where a brace that runs to something fixed crosses it the weak way, from its foot.
    pub brace: Option<Measurement>,
    /// What stands on it.
    pub loads: Vec<AxialLoad>,
    /// Its bearings on wood, masonry or concrete.
    pub ends: Vec<PostEnd>,
    /// Whether it was looked at and found whole.
    pub condition: Condition,
    /// Whether it stands while building only: shoring.
    pub shoring: bool,
}

/// A load on a post.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AxialLoad {
    /// What it is: `beam 1`.
    pub what: String,
    /// Its kind.
    pub kind: LoadKind,
    /// How much; `None` where it isn't known.
    pub load: Option<Pounds>,
    /// What it was worked out from.
    pub basis: Basis,
}

impl AxialLoad {
    /// One of which nobody knows how much it is: what it takes to tell.
    pub(crate) fn unknown(what: String) -> Self {
        Self {
            what,
            kind: LoadKind::Dead,
            load: None,
            basis: Basis::default(),
        }
    }
}

/// Where a post bears.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct PostEnd {
    /// `top`, `foot`.
    pub place: String,
    /// Contact along the piece that it bears on.
    pub length: Measurement,
    /// Contact across it.
    pub width: Measurement,
    /// What it bears on.
    pub on: On,
    /// From the contact to that piece's end; `None`: not known, no area factor.
    pub from_end: Option<Measurement>,
}

/// A post in floats.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) section: Rectangle,
    pub(crate) plies: u32,
    pub(crate) height: f64,
    /// The longest piece between brace and end, for the weak way.
    pub(crate) weak_length: f64,
    pub(crate) design: Design,
    pub(crate) strength: f64,
    pub(crate) service: Service,
    pub(crate) weight: f64,
    pub(crate) loads: Vec<(LoadKind, f64)>,
    pub(crate) slenderest: f64,
    pub(crate) ends: Vec<Contact>,
}

/// An end's contact in floats.
#[derive(Clone, Debug)]
pub(crate) struct Contact {
    pub(crate) place: String,
    pub(crate) area: f64,
    pub(crate) strength: f64,
    pub(crate) seen: Confidence,
    pub(crate) area_factor: f64,
}

/// Screens a post or a stud.
pub fn screen(post: &Post) -> Screened {
    let lengths = lengths(post);
    let mut found = Gathered {
        measure: unknown(post, &lengths),
        readings: lengths
            .iter()
            .flat_map(|one| one.readings.iter().copied())
            .collect(),
        ..Gathered::default()
    };
    let basis = Basis::of_axial(&post.loads);
    found.readings.extend(basis.readings());
    found.looks = unknown_wood(&post.wood);
    let mut all = lengths.clone();
    all.extend(basis.measurements());
    found.looks.extend(not_agreed(&all));
    let under = post.ends.iter();
    let under = under.filter_map(|end| unknown_under(&end.place, &end.on, None));
    found.looks.extend(under);
    if found.measure.is_empty() {
        match prepare(post, &mut found.figures) {
            Ok(column) => {
                found.ratios = column.ratios();
                found.sums = vec![
                    sum(
                        "Section",
                        format!(
                            "{:.2} × {:.2} in",
                            column.section.thickness, column.section.depth
                        ),
                        "",
                    ),
                    sum(
                        "Height",
                        format!("{:.1} in", column.height),
                        "full length, Ke 1",
                    ),
                ];
                found.sensitivity = most_sensitive(&column, INPUTS, Column::greatest);
            }
            Err(why) => found.measure.push(why),
        }
    }
    found.conclude(&post.name)
}

fn lengths(post: &Post) -> Vec<&Measurement> {
    let mut all = vec![&post.thickness, &post.depth, &post.height];
    all.extend(&post.brace);
    for end in &post.ends {
        all.extend([&end.length, &end.width]);
        all.extend(&end.from_end);
    }
    all
}

fn unknown(post: &Post, lengths: &[&Measurement]) -> Vec<String> {
    let mut all = missing(lengths);
    for one in [&post.thickness, &post.depth, &post.height] {
        if one.value.is_some_and(|value| value <= Length::ZERO) {
            all.push(format!("{} read again: nothing is left of it", one.what));
        }
    }
    for load in post.loads.iter().filter(|load| load.load.is_none()) {
        all.push(format!("the load of {}", load.what));
    }
    if post.loads.is_empty() {
        all.push("what stands on it".to_owned());
    }
    for end in post.ends.iter().filter(|end| end.on == On::NotKnown) {
        all.push(format!("what its {} bears on", end.place));
    }
    if post.ends.is_empty() {
        all.push("what its foot bears on".to_owned());
    }
    if post.plies == 0 || post.plies > 5 {
        all.push("one to five plies".to_owned());
    }
    all.extend(post.condition.hinders());
    all
}

fn prepare(post: &Post, figures: &mut Vec<Figure>) -> Result<Column, String> {
    let of = |one: &Measurement| one.value.unwrap_or(Length::ZERO);
    let section = Section {
        thickness: of(&post.thickness),
        depth: of(&post.depth),
    };
    let design = design(&post.wood, section, Laid::OnEdge)?;
    for figure in &design.figures {
        add(figures, figure.clone());
    }
    let slenderest = if post.shoring {
        SLENDEREST_BUILDING
    } else {
        SLENDEREST
    };
    for (what, factor) in [
        ("c of a sawn column", SAWN_COLUMN),
        ("FcE", BUCKLING),
        ("the most le/d", slenderest),
    ] {
        let value = format!("{}", factor.value);
        add(
            figures,
            Figure::new(what, value, factor.source, factor.confidence),
        );
    }
    if post.plies > 1 {
        add(
            figures,
            Figure::new(
                "Kf, nailed plies",
                format!("{}", NAILED_PLIES.value),
                NAILED_PLIES.source,
                NAILED_PLIES.confidence,
            ),
        );
    }
    for figure in duration_figures(post.loads.iter().map(|load| load.kind))
        .into_iter()
        .chain(Basis::of_axial(&post.loads).figures)
        .chain(density_figures(&post.wood))
    {
        add(figures, figure);
    }
    let section = Rectangle::of(section, post.plies);
    let height = inches(of(&post.height));
    let mut ends = Vec::new();
    for end in &post.ends {
        ends.extend(contact(end, figures)?);
    }
    Ok(Column {
        section,
        plies: post.plies,
        height,
        weak_length: weak_length(height, post.brace.as_ref()),
        strength: 1.0,
        service: Service {
            duration: LoadDuration::Permanent,
            moisture: post.wood.moisture,
            repetitive: false,
            incised: post.wood.incised,
        },
        weight: section.weight_per_inch(post.wood.density()) * height,
        loads: in_order(&post.loads),
        slenderest: slenderest.value,
        ends,
        design,
    })
}

/// Axial loads in pounds, in an order of their own: sums come to the same bits whatever the order of entry.
pub(crate) fn in_order(loads: &[AxialLoad]) -> Vec<(LoadKind, f64)> {
    let known = loads.iter();
    let mut all: Vec<(LoadKind, f64)> = known
        .filter_map(|load| Some((load.kind, pounds(load.load?))))
        .collect();
    all.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)));
    all
}

/// The length that buckles the weak way: the longer piece beside a brace within the middle half, else all of it.
pub(crate) fn weak_length(height: f64, brace: Option<&Measurement>) -> f64 {
    let at = brace.and_then(|brace| brace.value).map(inches);
    match at {
        Some(at) if (0.25 * height..=0.75 * height).contains(&at) => at.max(height - at),
        _ => height,
    }
}

fn contact(end: &PostEnd, figures: &mut Vec<Figure>) -> Result<Option<Contact>, String> {
    let On::Wood(pieces) = &end.on else {
        return Ok(None);
    };
    let (long, wide) = (
        end.length.value.unwrap_or(Length::ZERO),
        end.width.value.unwrap_or(Length::ZERO),
    );
    let from_end = end.from_end.as_ref().and_then(|one| one.value);
    let mut weakest: Option<(f64, Confidence)> = None;
    for piece in pieces {
        let one = across_grain(piece, figures)?;
        if weakest.is_none_or(|least| one.0 < least.0) {
            weakest = Some(one);
        }
    }
    let Some((strength, seen)) = weakest else {
        return Err(format!("the wood that its {} bears on", end.place));
    };
    Ok(Some(Contact {
        place: end.place.clone(),
        area: inches(long) * inches(wide),
        strength,
        seen,
        area_factor: from_end.map_or(1.0, |from_end| bearing_area_factor(long, from_end)),
    }))
}

impl Column {
    /// Every check, each under the combination that asks most of it.
    pub(crate) fn ratios(&self) -> Vec<Ratio> {
        let present: Vec<LoadKind> = self.loads.iter().map(|(kind, _)| *kind).collect();
        let mut all = vec![self.slenderness()];
        for combination in combinations(&present) {
            let load = self.load(combination);
            let mut found = vec![self.buckling(combination, load)];
            found.extend(
                self.ends
                    .iter()
                    .map(|end| crushing(end, combination.name, load)),
            );
            for ratio in found {
                let known = all
                    .iter_mut()
                    .find(|known| (known.check, &known.place) == (ratio.check, &ratio.place));
                match known {
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

    fn load(&self, combination: &Combination) -> f64 {
        let loads = self.loads.iter();
        self.weight
            + loads
                .map(|(kind, load)| combination.part(*kind) * load)
                .sum::<f64>()
    }

    /// le/d each way: across the plies (or the thickness), and over the depth; a brace holds the thinner side.
    fn slendernesses(&self) -> [f64; 2] {
        let (thickness, depth) = (self.section.thickness, self.section.depth);
        if thickness <= depth {
            [self.weak_length / thickness, self.height / depth]
        } else {
            [self.height / thickness, self.weak_length / depth]
        }
    }

    fn slenderness(&self) -> Ratio {
        let [across, along] = self.slendernesses();
        let most = across.max(along);
        Ratio {
            check: Check::Slenderness,
            place: String::new(),
            demand: most,
            capacity: self.slenderest,
            unit: "le/d",
            under: "any load",
            sums: vec![
                sum(
                    "le/d",
                    format!("{across:.1} and {along:.1}"),
                    "full length over thickness, over depth",
                ),
                result(
                    "le/d, the most",
                    format!("{most:.1}"),
                    format!("at most {}", self.slenderest),
                ),
            ],
            from_memory: Vec::new(),
        }
    }

    fn buckling(&self, combination: &'static Combination, load: f64) -> Ratio {
        let service = Service {
            duration: combination.duration,
            ..self.service
        };
        let values = adjusted(&self.design, service);
        let star = values.fc_star * self.strength;
        let emin = values.emin * self.strength;
        let [across, along] = self.slendernesses();
        let plies = if self.plies > 1 {
            NAILED_PLIES.value
        } else {
            1.0
        };
        let ways = [(across, plies), (along, 1.0)].map(|(slenderness, kept)| {
            let factor = stability_factor(buckling_stress(emin, slenderness), star);
            (slenderness, factor * kept)
        });
        let worst = if ways[0].1 <= ways[1].1 {
            ways[0]
        } else {
            ways[1]
        };
        let stress = load / self.section.area();
        let allowed = star * worst.1;
        let seen = |property| self.design.sized(property).confidence;
        let mut from_memory =
            names_from_memory(&[("Fc", seen(Property::Fc)), ("Emin", seen(Property::Emin))]);
        if self.plies > 1 {
            from_memory.extend(names_from_memory(&[("Kf", NAILED_PLIES.confidence)]));
        }
        let mut ratio = Ratio {
            check: Check::Buckling,
            place: String::new(),
            demand: load,
            capacity: allowed * self.section.area(),
            unit: "lb",
            under: combination.name,
            sums: vec![
                sum("Load", format!("{load:.0} lb"), combination.name),
                sum("Stress fc", format!("{stress:.0} psi"), "load ÷ area"),
                sum(
                    "Fc*",
                    format!("{star:.0} psi"),
                    format!("CD {}, CF, moisture", combination.duration.factor().value),
                ),
                sum(
                    "Cp",
                    format!("{:.3}", worst.1),
                    format!("le/d {:.1}, Emin′ {emin:.0} psi", worst.0),
                ),
            ],
            from_memory,
        };
        ratio.sums.push(ratio_line(&ratio));
        ratio
    }
}

pub(crate) fn crushing(end: &Contact, under: &'static str, load: f64) -> Ratio {
    let mut ratio = Ratio {
        check: Check::Bearing,
        place: end.place.clone(),
        demand: load,
        capacity: end.area * end.strength * end.area_factor,
        unit: "lb",
        under,
        sums: vec![
            sum("Load", format!("{load:.0} lb"), under),
            sum("Contact", format!("{:.2} in²", end.area), ""),
            sum(
                "Allowed",
                format!("{:.0} lb", end.area * end.strength * end.area_factor),
                format!(
                    "× {:.0} psi, the weakest wood there, × Cb {:.3}",
                    end.strength, end.area_factor
                ),
            ),
        ],
        from_memory: names_from_memory(&[("Fc⊥", end.seen)]),
    };
    ratio.sums.push(ratio_line(&ratio));
    ratio
}

/// How each input is made a tenth worse.
const INPUTS: &[Worse<Column>] = &[
    ("height a tenth more", |column| {
        column.height *= 1.1;
        column.weak_length *= 1.1;
    }),
    ("thickness a tenth less", |column| {
        column.section.thickness *= 0.9;
    }),
    ("depth a tenth less", |column| column.section.depth *= 0.9),
    ("load a tenth more", |column| {
        for (_, load) in &mut column.loads {
            *load *= 1.1;
        }
    }),
    ("strength of the wood a tenth less", |column| {
        column.strength *= 0.9;
    }),
    ("contact at its ends a tenth less", |column| {
        for end in &mut column.ends {
            end.area *= 0.9;
        }
    }),
];
