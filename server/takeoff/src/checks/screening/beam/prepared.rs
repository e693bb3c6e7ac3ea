//! A beam or joist turned into floats, with the figures that it rests on.

use std::cmp::Ordering;

use super::super::across_grain::across_grain;
use super::super::adjusted::Service;
use super::super::basis::{Basis, density_figures};
use super::super::bending::{Load, Model, Seat, Shape};
use super::super::combination::{LoadKind, duration_figures};
use super::super::figure::{Figure, add};
use super::super::measures::{inches, per_inch, pounds};
use super::super::member::{Bearing, Member, On};
use super::super::rectangle::Rectangle;
use super::super::wood::{Design, Laid, Moisture, design};
use crate::tables::Confidence;
use crate::tables::adjustment_factors::{
    CREEP_SEASONED, CREEP_UNSEASONED, Factor, LoadDuration, REPETITIVE, wet_dimension, wet_timber,
};
use crate::tables::design_values::Property;
use crate::tables::loads::{SAG_SOURCE, TOTAL_SAG};
use crate::units::Section;

pub(super) type Prepared = Result<(Model, Vec<Figure>), String>;

/// The member in floats with the figures that it rests on; `None` where a length is missing.
pub(super) fn prepare(member: &Member) -> Option<Prepared> {
    let section = Section {
        thickness: member.thickness.value?,
        depth: member.depth.value?,
    };
    let clear: Option<Vec<f64>> = member
        .clear
        .iter()
        .map(|one| one.value.map(inches))
        .collect();
    let clear = clear?;
    Some(
        design(&member.wood, section, Laid::OnEdge).and_then(|design| {
            let mut figures = design.figures.clone();
            add_figures(member, &design, &mut figures);
            let seats: Result<Vec<Seat>, String> = member
                .bearings
                .iter()
                .map(|bearing| seat(bearing, &mut figures))
                .collect();
            let section = Rectangle::of(section, member.plies);
            let mut loads = loads(member);
            let weight = section.weight_per_inch(member.wood.density());
            loads.push(Load {
                kind: LoadKind::Dead,
                shape: Shape::Whole(weight),
            });
            let model = Model {
                clear,
                bearings: seats?,
                section,
                design,
                strength: 1.0,
                stiffness: 1.0,
                service: Service {
                    duration: LoadDuration::Permanent,
                    moisture: member.wood.moisture,
                    repetitive: member.repetitive,
                    incised: member.wood.incised,
                },
                loads,
                sag_part: member.carries.limit().part,
            };
            Ok((model, figures))
        }),
    )
}

/// In an order of their own, so that sums come to the same bits whatever the order of entry.
fn loads(member: &Member) -> Vec<Load> {
    let line = member.line_loads.iter().filter_map(|line| {
        let load = per_inch(line.load.or(line.at_least)?);
        Some(Load {
            kind: line.kind,
            shape: line
                .stretch
                .map_or(Shape::Whole(load), |(from, to)| Shape::Stretch {
                    from: inches(from),
                    to: inches(to),
                    load,
                }),
        })
    });
    let points = member.point_loads.iter().filter_map(|point| {
        Some(Load {
            kind: point.kind,
            shape: Shape::Point {
                at: inches(point.at.value?),
                load: pounds(point.load?),
            },
        })
    });
    let mut all: Vec<Load> = line.chain(points).collect();
    all.sort_by(|a, b| {
        let figures = |load: &Load| match load.shape {
            Shape::Whole(load) => [0.0, 0.0, load],
            Shape::Stretch { from, to, load } => [from, to, load],
            Shape::Point { at, load } => [at, at, load],
        };
        let pairs = figures(a).into_iter().zip(figures(b));
        let by_figures = pairs.map(|(a, b)| a.total_cmp(&b));
        by_figures.fold(a.kind.cmp(&b.kind), Ordering::then)
    });
    all
}

fn seat(bearing: &Bearing, figures: &mut Vec<Figure>) -> Result<Seat, String> {
    let mut under: Option<(f64, Confidence)> = None;
    if let On::Wood(pieces) = &bearing.on {
        for piece in pieces {
            let (psi, confidence) = across_grain(piece, figures)?;
            let weaker = under.is_none_or(|(least, _)| psi < least);
            if weaker {
                under = Some((psi, confidence));
            }
        }
    }
    Ok(Seat {
        place: bearing.place.clone(),
        long: bearing.length.value.map_or(0.0, inches),
        wide: bearing.width.as_ref().and_then(|one| one.value).map(inches),
        under,
    })
}

fn add_figures(member: &Member, design: &Design, figures: &mut Vec<Figure>) {
    let kinds = member.line_loads.iter().map(|line| line.kind);
    let of_points = member.point_loads.iter().map(|point| point.kind);
    for figure in duration_figures(kinds.chain(of_points))
        .into_iter()
        .chain(Basis::of_loads(&member.line_loads, &member.point_loads).figures)
        .chain(density_figures(&member.wood))
    {
        add(figures, figure);
    }
    let mut factor = |what: &str, factor: Factor| {
        let value = format!("{}", factor.value);
        add(
            figures,
            Figure::new(what, value, factor.source, factor.confidence),
        );
    };
    let sized = design.sized(Property::Fb);
    factor(
        "CF on Fb, with the value it goes with",
        Factor {
            value: sized.factor,
            source: "NDS Supplement (2005 cycle and later)",
            confidence: sized.confidence,
        },
    );
    if member.repetitive {
        factor("Cr", REPETITIVE);
    }
    if member.wood.moisture == Moisture::Wet {
        let wet = if design.timber {
            wet_timber
        } else {
            wet_dimension
        };
        factor("CM on Fb", wet(Property::Fb));
        factor("CM on Fc⊥", wet(Property::FcPerp));
    }
    factor(
        "creep",
        match member.wood.moisture {
            Moisture::Dry => CREEP_SEASONED,
            _ => CREEP_UNSEASONED,
        },
    );
    let limit = member.carries.limit();
    add(
        figures,
        Figure::new(
            format!("sag under live load, {}", limit.of),
            format!("L/{}", limit.part),
            SAG_SOURCE,
            limit.confidence,
        ),
    );
    add(
        figures,
        Figure::new(
            "sag under all load",
            format!("L/{}", TOTAL_SAG.part),
            "IBC 2018 Table 1604.3",
            TOTAL_SAG.confidence,
        ),
    );
}
