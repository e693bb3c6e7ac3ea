//! A post on what carries it: where both lie, in the measure of the post's wall.
//!
//! Two measures go from a wall: along it from its zero end, and across it from its first face or from any line beside it
//! that all across places there are taken from. A post stands with its
//! smaller side along the wall. A member along the wall has edges across; joists away from it have edges along; a pad has
//! both. Packing counts from the moment that its change is done, where the first gap is that takes it.
//! Source: common practice, no published source.

use super::screens;
use super::sizes::{counting, field, greatest, joined, least, new_piece};
use super::{Check, CheckKind};
use crate::checks::fit::TOUCHING;
use crate::checks::fit::landing::{
    Axis, Below, Hole, Landing, Solid, Way, bears, landing as judge,
};
use crate::checks::fit::over_cut;
use crate::checks::load_path::links::{Straight, carriers, sides, straight_below, wall_of};
use crate::checks::{Finding, Measurement, Verdict};
use crate::needs::{Fill, joists, of_nothing, size_of};
use crate::record::settings::POST_OVER_CUT;
use crate::record::{Job, Kind, Record, Spot, What};
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::Length;

/// How a post lands, and whether it is snug.
pub(super) fn checks(job: &Job, post: &Record, out: &mut Vec<Check>) {
    let found = lands_on(job, post, &is_set);
    let on = carriers(job, post).into_iter().map(|(one, _)| one.id);
    out.push(Check::of(CheckKind::Landing, post, post.name(), found).about_all(on));
    out.push(snug(job, post));
}

/// Where a post and what is under it lie, packing that is set included; what isn't recorded is missing.
pub fn lies(job: &Job, post: &Record) -> Landing {
    lies_on(job, post, &is_set)
}

/// Packing counts from the moment that its change is done.
fn is_set(pack: &Record) -> bool {
    pack.state == "done"
}

/// How a post lands on what is under it and on the packing under it that counts.
pub(crate) fn lands_on(job: &Job, post: &Record, counts: &dyn Fn(&Record) -> bool) -> Finding {
    let mut found = judge(&lies_on(job, post, counts));
    if found.verdict == Verdict::CantTellYet && found.fill.is_none() {
        found.fill = lacks(job, post);
    }
    found
}

fn lies_on(job: &Job, post: &Record, counts: &dyn Fn(&Record) -> bool) -> Landing {
    Landing {
        post: post.name().to_owned(),
        axes: axes_on(job, post, counts),
        below: below(job, post),
    }
}

/// Where what lacks is recorded, of what carries a post and of what is straight below that.
fn lacks(job: &Job, post: &Record) -> Option<Fill> {
    let of_post = |field| Fill::Field { of: post.id, field };
    if sides(job, post).is_none() {
        return Some(of_post("nominal"));
    }
    let all = carriers(job, post);
    if all.is_empty() {
        return Some(of_post("lands_on"));
    }
    let unread = |of: &Record, what| {
        let spot = Spot::of(of.id, what);
        job.measured(&spot).is_none().then_some(Fill::Reading(spot))
    };
    let mut unknown = all
        .into_iter()
        .map(|(carrier, _)| carrier)
        .filter(|carrier| straight_below(job, post, carrier) == Straight::NotKnown);
    let carrier = unknown.next()?;
    if !carrier.says("direction", "away") {
        let place = post.length("place").is_none().then(|| of_post("place"));
        return place
            .or_else(|| unread(carrier, What::Start))
            .or_else(|| unread(carrier, What::Length));
    }
    if post.length("across").is_none() {
        return Some(of_post("across"));
    }
    let ends = ["start_at", "end_at"].map(|field| carrier.to(field).and_then(|id| job.get(id)));
    if ends.iter().all(Option::is_none) {
        let (of, field) = (carrier.id, "start_at");
        return Some(Fill::Field { of, field });
    }
    ends.into_iter()
        .flatten()
        .filter(|support| support.kind != Kind::Wall)
        .find_map(|support| {
            unread(support, What::Place).or_else(|| unread(support, What::Thickness))
        })
}

/// A stretch of a post's foot that asks for packing.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// The stretch.
    pub hole: Hole,
    /// The post's side the other way: packing is not narrower.
    pub other_side: Length,
}

/// The stretches of a post's foot that still ask for packing.
pub fn packing_asked(job: &Job, post: &Record) -> Vec<Asked> {
    let Some((small, large)) = sides(job, post) else {
        return Vec::new();
    };
    axes(job, post)
        .iter()
        .filter_map(|axis| {
            let other_side = if axis.size.value == Some(large) {
                small
            } else {
                large
            };
            Some((bears(axis)?, other_side))
        })
        .flat_map(|(bears, other_side)| {
            bears
                .gaps
                .into_iter()
                .map(move |hole| Asked { hole, other_side })
        })
        .collect()
}

pub(crate) fn axes(job: &Job, post: &Record) -> Vec<Axis> {
    axes_on(job, post, &is_set)
}

fn axes_on(job: &Job, post: &Record, counts: &dyn Fn(&Record) -> bool) -> Vec<Axis> {
    let wall = wall_of(job, post);
    let piece = new_piece(job, post);
    let side = |what: &str, take: fn(Length, Length) -> Length| {
        let what = format!("{what} side of {}", post.name());
        joined(what, &[&piece.thickness, &piece.depth], |both| {
            take(both[0], both[1])
        })
    };
    let (mut along, mut across) = (Vec::new(), Vec::new());
    for (carrier, _) in carriers(job, post) {
        solids(job, post, (wall, carrier), &mut along, &mut across);
    }
    let mut all = Vec::new();
    if !across.is_empty() {
        all.push(Axis {
            way: Way::Across,
            near: field(
                post,
                "across",
                "its near face, from the line that the girder is measured from",
            ),
            size: side("larger", Length::max),
            solids: across,
        });
    }
    if !along.is_empty() {
        // Across joists is along the wall; a pad counts both ways.
        all.push(Axis {
            way: Way::Across,
            near: field(post, "place", "its near face, from the zero end"),
            size: side("smaller", Length::min),
            solids: along,
        });
    }
    for (size, name) in packing(job, post, counts) {
        put_in(&mut all, size, &name);
    }
    all
}

/// The edges of what carries a post, in its wall's measure.
fn solids(
    job: &Job,
    post: &Record,
    (wall, carrier): (Option<&Record>, &Record),
    along: &mut Vec<Solid>,
    across: &mut Vec<Solid>,
) {
    let solid = |near, size| Solid {
        name: carrier.name().to_owned(),
        near,
        size,
    };
    if carrier.kind == Kind::Wall {
        if wall.is_some_and(|wall| wall.id == carrier.id) {
            let face = Measurement::agreed(format!("face of {}", carrier.name()), Length::ZERO);
            across.push(solid(face, least(job, carrier, 0, What::PlateDepth)));
        } else {
            across.push(solid(
                Measurement::missing(format!("where {} stands", carrier.name())).filled_by(
                    Fill::Field {
                        of: post.id,
                        field: "lands_on",
                    },
                ),
                least(job, carrier, 0, What::PlateDepth),
            ));
        }
        return;
    }
    if carrier.to("measured_from") != wall.map(|wall| wall.id) {
        let from = wall.map_or("the post’s wall", |wall| wall.name());
        let place = format!("the place of {} measured from {from}", carrier.name());
        across.push(solid(
            Measurement::missing(place).filled_by(Fill::Field {
                of: carrier.id,
                field: "measured_from",
            }),
            least(job, carrier, 0, What::Thickness),
        ));
        return;
    }
    if carrier.says("piece", "pad") {
        along.push(solid(
            counting(job, carrier, 0, What::Place),
            least(job, carrier, 0, What::Length),
        ));
        across.push(solid(
            counting(job, carrier, 0, What::PlaceAcross),
            least(job, carrier, 0, What::Width),
        ));
    } else if carrier.says("direction", "away") {
        along.extend(joist_solids(job, carrier));
    } else {
        let size = least(job, carrier, 0, What::Thickness);
        let near = near_face(job, carrier, &size);
        across.push(solid(near, size));
    }
}

/// Joists by their edges along the wall; one that says what is missing where they can't be placed.
fn joist_solids(job: &Job, run: &Record) -> Vec<Solid> {
    let mut lacking = of_nothing(run);
    let Some(all) = joists(job, run, "", &mut lacking) else {
        let missing: Vec<&str> = lacking.missing.iter().map(|one| &one.text[..]).collect();
        let mut what = Measurement::missing(missing.join(", "));
        what.fill = lacking.missing.first().map(|one| one.fill.clone());
        return vec![Solid {
            name: run.name().to_owned(),
            near: what.clone(),
            size: what,
        }];
    };
    all.into_iter()
        .map(|joist| {
            let name = match joist.number {
                0 => run.name().to_owned(),
                number => format!("number {number} of {}", run.name()),
            };
            let of = |what: &str, value| Measurement {
                what: format!("{what} of {name}"),
                value: Some(value),
                agreed: joist.held.is_none(),
                readings: joist.readings.iter().copied().collect(),
                fill: None,
            };
            Solid {
                near: of("place", joist.near()),
                size: of("thickness", joist.thickness),
                name,
            }
        })
        .collect()
}

/// The near face of a member along the wall, from the wall's face.
pub(super) fn near_face(job: &Job, member: &Record, size: &Measurement) -> Measurement {
    let place = counting(job, member, 0, What::Place);
    match member.text("measured_to") {
        Some("near_face") => place,
        Some(_) => {
            let what = format!("near face of {}", member.name());
            joined(what, &[&place, size], |both| both[0] - both[1].half_down())
        }
        None => {
            let (of, field) = (member.id, "measured_to");
            let what = format!("what the place of {} is measured to", member.name());
            Measurement::missing(what).filled_by(Fill::Field { of, field })
        }
    }
}

/// The changes that pack under a post, dropped ones left out.
pub(crate) fn packs_under<'a>(job: &'a Job, post: &Record) -> impl Iterator<Item = &'a Record> {
    let post = post.id;
    job.all(Kind::Pack)
        .filter(move |pack| pack.state != "dropped" && pack.to("landing") == Some(post))
        .filter(|pack| !pack.says("pack", "blocking"))
}

/// Packing that counts, each with its thickness in all.
fn packing(job: &Job, post: &Record, counts: &dyn Fn(&Record) -> bool) -> Vec<(Length, String)> {
    packs_under(job, post)
        .filter(|pack| counts(pack))
        .filter_map(|pack| {
            let one = pack.length("thickness").or_else(|| {
                let size = size_of(pack, "nominal")?;
                Some(dressed(size, default_seasoning(size))?.thickness)
            })?;
            Some((one * pack.number("count")?, pack.name().to_owned()))
        })
        .collect()
}

/// Puts packing into the first gap that takes it; where none does, it is nowhere under this post.
fn put_in(axes: &mut [Axis], size: Length, name: &str) {
    for axis in axes {
        let Some(hole) = bears(axis).and_then(|bears| {
            let mut gaps = bears.gaps.into_iter();
            gaps.find(|hole| hole.packing.is_some() && size <= hole.gap + TOUCHING)
        }) else {
            continue;
        };
        let near = if hole.held_by_far {
            hole.to - size
        } else {
            hole.from
        };
        axis.solids.push(Solid {
            name: name.to_owned(),
            near: Measurement::agreed(format!("place of {name}"), near),
            size: Measurement::agreed(format!("thickness of {name}"), size),
        });
        return;
    }
}

/// What is straight below what carries a post: solid only where it is below each of them, else the worst of the others.
fn below(job: &Job, post: &Record) -> Below {
    let all = carriers(job, post).into_iter().map(|(carrier, _)| {
        match straight_below(job, post, carrier) {
            Straight::Solid(name) => Below::Solid(name),
            Straight::Nothing => Below::Nothing(screens::carrier_verdict(job, carrier)),
            Straight::NotKnown => Below::NotKnown,
        }
    });
    let bad = |one: &Below| match one {
        Below::Solid(_) => Verdict::Pass,
        Below::Nothing(Some(Verdict::Pass)) => Verdict::Look,
        Below::Nothing(None | Some(Verdict::CantTellYet)) | Below::NotKnown => Verdict::CantTellYet,
        Below::Nothing(Some(_)) => Verdict::Stop,
    };
    all.max_by_key(bad).unwrap_or(Below::NotKnown)
}

/// A post is as long as its place less what cap and base take up, and driven in by an eighth at most: its longest reading as
/// cut counts, and the least of its place. One with hardware isn't driven.
fn snug(job: &Job, post: &Record) -> Check {
    let as_cut = greatest(job, post, 0, What::AsCut);
    let place = place_of(job, post, least);
    let has_hardware = post.to("cap").is_some() || post.to("base").is_some();
    let over = match post.length("over_cut") {
        _ if has_hardware => Length::ZERO,
        Some(over) => over,
        None => job
            .record()
            .and_then(|job| job.length("post_over_cut"))
            .unwrap_or(POST_OVER_CUT),
    };
    let cut = if as_cut.value.is_some() {
        as_cut
    } else {
        let what = format!("cut length of {}", post.name());
        joined(what, &[&place_of(job, post, counting)], |one| one[0] + over)
    };
    let found = over_cut::post(post.name(), &cut, &place);
    Check::of(CheckKind::OverCut, post, post.name(), found)
}

/// What a post is cut to fill: the reading to the seat less what cap and base take up, unless it was taken with them.
fn place_of(
    job: &Job,
    post: &Record,
    take: fn(&Job, &Record, u32, What) -> Measurement,
) -> Measurement {
    let clear = take(job, post, 0, What::LandingToSeat);
    if post.says("read_with_hardware", "yes") {
        return clear;
    }
    let hardware = ["cap", "base"].map(|field| post.to(field).and_then(|id| job.get(id)));
    let taken: Vec<Measurement> = hardware
        .into_iter()
        .flatten()
        .map(|row| field(row, "takes_up", "cap seat or base height"))
        .collect();
    let all: Vec<&Measurement> = std::iter::once(&clear).chain(&taken).collect();
    joined(clear.what.clone(), &all, |all| {
        all[0] - all[1..].iter().copied().sum()
    })
}
