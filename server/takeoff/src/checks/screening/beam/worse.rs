//! How each input of a beam is made a tenth worse, to see which matter most.
//!
//! Places of loads go with the span. Source: working assumption, no published source.

use super::super::bending::{Model, Shape};
use super::super::combination::LoadKind;
use super::super::screened::Worse;

/// How each input is made a tenth worse.
pub(super) const INPUTS: &[Worse<Model>] = &[
    ("clear span a tenth longer", |model| {
        for clear in &mut model.clear {
            *clear *= 1.1;
        }
        for load in &mut model.loads {
            match &mut load.shape {
                Shape::Whole(_) => {}
                Shape::Stretch { from, to, .. } => {
                    *from *= 1.1;
                    *to *= 1.1;
                }
                Shape::Point { at, .. } => *at *= 1.1,
            }
        }
    }),
    ("depth a tenth less", |model| model.section.depth *= 0.9),
    ("thickness a tenth less", |model| {
        model.section.thickness *= 0.9;
    }),
    ("bearings a tenth shorter", |model| {
        for seat in &mut model.bearings {
            seat.long *= 0.9;
        }
    }),
    ("dead load a tenth more", |model| {
        more(model, &[LoadKind::Dead]);
    }),
    ("live load a tenth more", |model| {
        more(model, &[LoadKind::Live, LoadKind::AtticLive]);
    }),
    ("roof load a tenth more", |model| {
        more(model, &[LoadKind::Snow, LoadKind::RoofLive]);
    }),
    ("strength of the wood a tenth less", |model| {
        model.strength *= 0.9;
    }),
    ("stiffness of the wood a tenth less", |model| {
        model.stiffness *= 0.9;
    }),
];

fn more(model: &mut Model, kinds: &[LoadKind]) {
    let some = model
        .loads
        .iter_mut()
        .filter(|load| kinds.contains(&load.kind));
    for load in some {
        match &mut load.shape {
            Shape::Whole(load) | Shape::Stretch { load, .. } | Shape::Point { load, .. } => {
                *load *= 1.1;
            }
        }
    }
}
