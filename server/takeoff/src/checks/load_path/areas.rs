//! What lies on joists and roofs: layers, own weight, live load by the use of the room on top, snow.
//!
//! A layer that isn't recorded leaves the load unknown; a room's ceiling or floor without any layer counts as bare only
//! where that is recorded. Source: IRC R301.5 for live loads, R301.6 for roofs; layers as recorded.

use crate::checks::Measurement;
use crate::checks::on_record::sizes::{greatest, least, old_wood};
use crate::checks::screening::basis::entered;
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::joist::AreaLoad;
use crate::checks::screening::member::Carries;
use crate::checks::screening::tributary::{live_load, on_the_flat, own_weight};
use crate::checks::screening::{Basis, Figure};
use crate::record::{Job, Kind, Record, What};
use crate::tables::loads::{ATTIC_STORAGE, Load, ROOF};
use crate::units::{Psf, Section};

/// What stands on a run of joists: the ceiling under it, the floor or attic on top, people and storage.
pub fn on_joists(job: &Job, run: &Record) -> Vec<AreaLoad> {
    let mut all = Vec::new();
    if let Some(room) = run.to("room").and_then(|id| job.get(id)) {
        all.extend(layers(job, room, "ceiling"));
    } else {
        all.push(unknown(format!("the room under {}", run.name())));
    }
    match run.to("carries").and_then(|id| job.get(id)) {
        Some(room) => {
            all.extend(layers(job, room, "floor"));
            let (kind, load) = live_of(job, run, room);
            let height = greatest(job, room, 0, What::CeilingHeight);
            let lengths: &[&Measurement] = match kind {
                LoadKind::AtticLive => &[&height],
                _ => &[],
            };
            all.push(AreaLoad {
                what: format!("{}, {}", room.name(), load.of),
                kind,
                load: Some(load.psf),
                basis: Basis::of(lengths).with(figure(&load)),
            });
        }
        None => all.push(unknown(format!(
            "the room whose floor or attic is on top of {}",
            run.name()
        ))),
    }
    all
}

/// A load of the tables with its source.
pub(super) fn figure(load: &Load) -> Figure {
    Figure::new(load.of, load.psf.to_string(), load.source, load.confidence)
}

/// The live load on a run, by the use of the room on top; not known 40, over ceiling joists 20.
fn live_of(job: &Job, run: &Record, room: &Record) -> (LoadKind, Load) {
    let height = greatest(job, room, 0, What::CeilingHeight).value;
    match room.text("use") {
        Some("not_known") | None if run.says_piece("ceiling_joist") => {
            (LoadKind::Live, ATTIC_STORAGE)
        }
        room_use => live_load(room_use, height),
    }
}

fn unknown(what: String) -> AreaLoad {
    AreaLoad {
        what,
        kind: LoadKind::Dead,
        load: None,
        basis: Basis::default(),
    }
}

/// The layers of a room's ceiling or floor, or of a storey's roof.
fn layers(job: &Job, of: &Record, on: &str) -> Vec<AreaLoad> {
    let all: Vec<AreaLoad> = job
        .all(Kind::Layer)
        .filter(|layer| layer.to("of") == Some(of.id) && layer.says("on", on))
        .map(|layer| {
            let material = layer.text("material").unwrap_or("layer");
            let what = format!("{material}, {on} of {}", of.name());
            let load = layer.number("psf").map(Psf::from_hundredths);
            let basis = load.map_or_else(Basis::default, |load| {
                Basis::default().with(entered(format!("weight of {what}"), load.to_string()))
            });
            AreaLoad {
                what,
                kind: LoadKind::Dead,
                load,
                basis,
            }
        })
        .collect();
    let is_bare = of.kind == Kind::Room && of.texts("bare").contains(&on);
    if all.is_empty() && !is_bare {
        return vec![unknown(format!(
            "the layers of the {on} of {} with their weights",
            of.name()
        ))];
    }
    all
}

/// What the joists themselves weigh on their area; nothing known where their size or spacing isn't.
pub fn of_themselves(job: &Job, run: &Record) -> AreaLoad {
    let thickness = least(job, run, 0, What::Thickness);
    let depth = least(job, run, 0, What::Depth);
    let section = thickness.value.zip(depth.value);
    let load = section
        .zip(run.length("spacing"))
        .map(|((thickness, depth), spacing)| {
            own_weight(Section { thickness, depth }, spacing, &old_wood(run))
        });
    AreaLoad {
        what: format!("own weight of {}", run.name()),
        kind: LoadKind::Dead,
        load,
        basis: Basis::of(&[&thickness, &depth]).with_weight_of(&old_wood(run)),
    }
}

/// What mustn't crack under a run of joists.
pub fn carries(job: &Job, run: &Record) -> Carries {
    let on_top = run.to("carries").and_then(|id| job.get(id));
    if on_top.is_some_and(|room| !matches!(room.text("use"), Some("attic" | "attic_storage"))) {
        return Carries::Floor;
    }
    let Some(room) = run.to("room").and_then(|id| job.get(id)) else {
        return Carries::NotKnown;
    };
    let materials: Vec<&str> = job
        .all(Kind::Layer)
        .filter(|layer| layer.to("of") == Some(room.id) && layer.says("on", "ceiling"))
        .filter_map(|layer| layer.text("material"))
        .collect();
    if materials.iter().any(|one| one.contains("plaster")) {
        Carries::Plaster
    } else if !materials.is_empty() && materials.iter().all(|one| one.contains("gypsum")) {
        Carries::Board
    } else if materials.is_empty() && room.texts("bare").contains(&"ceiling") {
        Carries::Neither
    } else {
        Carries::NotKnown
    }
}

/// What comes down from a roof on the flat: its layers and rafters on the slope, the ground's snow unreduced, people at
/// work on it.
pub fn on_roof(job: &Job, rafters: &Record) -> Vec<AreaLoad> {
    let rise = greatest(job, rafters, 0, What::Rise);
    let flat = least(job, rafters, 0, What::Flat);
    let slope = |load: Option<Psf>| on_the_flat(load?, rise.value?, flat.value?);
    let mut all: Vec<AreaLoad> = Vec::new();
    let storey = job.all(Kind::Storey).find(|storey| {
        job.all(Kind::Layer)
            .any(|layer| layer.to("of") == Some(storey.id) && layer.says("on", "roof"))
    });
    match storey {
        Some(storey) => all.extend(layers(job, storey, "roof")),
        None => all.push(unknown(
            "the layers of the roof with their weights".to_owned(),
        )),
    }
    all.push(of_themselves(job, rafters));
    for one in &mut all {
        one.load = slope(one.load);
        one.what = format!("{}, on the flat", one.what);
        one.basis.take(&Basis::of(&[&rise, &flat]));
    }
    let snow = job.record().and_then(|job| job.number("ground_snow"));
    all.push(AreaLoad {
        what: "ground snow, unreduced".to_owned(),
        kind: LoadKind::Snow,
        load: snow.map(|tenths| Psf::from_hundredths(tenths * 10)),
        basis: snow.map_or_else(Basis::default, |tenths| {
            let load = Psf::from_hundredths(tenths * 10);
            Basis::default().with(entered("ground snow", load.to_string()))
        }),
    });
    all.push(AreaLoad {
        what: "people at work on the roof".to_owned(),
        kind: LoadKind::RoofLive,
        load: Some(ROOF.psf),
        basis: Basis::default().with(figure(&ROOF)),
    });
    all
}
