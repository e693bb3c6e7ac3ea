//! What comes down posts: a beam's reactions by kind of load, the posts that stand on a member, pads.
//!
//! Source: statics.

use super::super::links::{carriers, changes, posts_under};
use super::{DEEPEST, of, point, same_wall, side_along};
use crate::checks::Measurement;
use crate::checks::fit::landing::{Way, bears};
use crate::checks::on_record::landing_axes;
use crate::checks::on_record::sizes::{counting, greatest, joined, least, new_piece, old_wood};
use crate::checks::screening::beam::reactions_by_kind;
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::member::{Condition, On, PointLoad};
use crate::checks::screening::pad::{Pad, PadOf, Plan};
use crate::checks::screening::post::{AxialLoad, Post, PostEnd};
use crate::checks::screening::tributary::{over, weight_along};
use crate::checks::screening::wood::Wood;
use crate::record::{Job, Kind, Record, What};
use crate::tables::loads::Soil;
use crate::units::{Pounds, Section};

/// What a beam brings to one of its posts, by kind of load; nothing where it can't be told.
pub fn reaction(job: &Job, post: &Record) -> Vec<(LoadKind, Pounds)> {
    reaction_at(job, post, DEEPEST)
}

fn reaction_at(job: &Job, post: &Record, deep: u8) -> Vec<(LoadKind, Pounds)> {
    let Some(beam) = post.to("under").and_then(|id| job.get(id)) else {
        return Vec::new();
    };
    let Some(deeper) = deep.checked_sub(1) else {
        return Vec::new();
    };
    let posts = posts_under(job, beam.id);
    let Some(n) = posts.iter().position(|one| one.id == post.id) else {
        return Vec::new();
    };
    // A new beam's first post is its first support; under a member as found that is its own first end.
    let support = if beam.kind == Kind::SetBeam { n } else { n + 1 };
    let member = of(job, beam, deeper);
    let last = member.bearings.len().saturating_sub(1);
    let support = if beam.kind == Kind::SetBeam && posts.len() < 3 {
        if n == 0 { 0 } else { last }
    } else {
        support
    };
    reactions_by_kind(&member, support)
}

/// The posts that land on a member, each as loads at a place.
pub(super) fn from_posts_on(
    job: &Job,
    member: &Record,
    deep: u8,
    at: impl Fn(&Record) -> Measurement,
) -> Vec<PointLoad> {
    let mut all = Vec::new();
    let posts = changes(job, Kind::SetPost).filter(|post| {
        post.to("under") != Some(member.id)
            && carriers(job, post)
                .iter()
                .any(|(one, _)| one.id == member.id)
    });
    for post in posts {
        let place = if same_wall(job, post, member) {
            at(post)
        } else {
            Measurement::missing(format!(
                "the places of {} and {} from one wall",
                post.name(),
                member.name()
            ))
        };
        for load in standing(job, post, deep) {
            all.push(point(&load.what, load.kind, load.load, place.clone()));
        }
    }
    all
}

/// What stands on a post's foot: its beam's reaction and its own weight.
fn standing(job: &Job, post: &Record, deep: u8) -> Vec<AxialLoad> {
    let mut all = on_top(job, post, deep);
    all.push(AxialLoad {
        what: format!("own weight of {}", post.name()),
        kind: LoadKind::Dead,
        load: weight(job, post),
    });
    all
}

fn weight(job: &Job, post: &Record) -> Option<Pounds> {
    let piece = new_piece(job, post);
    let section = Section {
        thickness: piece.thickness.value?,
        depth: piece.depth.value?,
    };
    let long = greatest(job, post, 0, What::LandingToSeat).value?;
    Some(over(weight_along(section, &piece.wood), long))
}

fn on_top(job: &Job, post: &Record, deep: u8) -> Vec<AxialLoad> {
    let beam = post.to("under").map_or("its beam", |id| job.name(id));
    let loads = reaction_at(job, post, deep);
    if loads.is_empty() {
        return vec![AxialLoad {
            what: format!("{beam} on {}", post.name()),
            kind: LoadKind::Dead,
            load: None,
        }];
    }
    loads
        .into_iter()
        .map(|(kind, load)| AxialLoad {
            what: format!("{beam}, {}", kind.words()),
            kind,
            load: Some(load),
        })
        .collect()
}

/// A post as the screen takes it in: its beam's reaction on it, its head under the beam, its foot on what carries it.
pub fn post(job: &Job, post: &Record) -> Post {
    let piece = new_piece(job, post);
    let mut height = greatest(job, post, 0, What::LandingToSeat);
    height.what = format!("height of {}, what it lands on to the seat", post.name());
    Post {
        name: post.name().to_owned(),
        thickness: piece.thickness,
        depth: piece.depth,
        plies: 1,
        wood: piece.wood,
        height,
        brace: None,
        loads: on_top(job, post, DEEPEST),
        ends: vec![head(job, post), foot(job, post)],
        condition: Condition::Sound,
        shoring: false,
    }
}

fn larger_side(job: &Job, post: &Record) -> Measurement {
    let piece = new_piece(job, post);
    let what = format!("larger side of {}", post.name());
    joined(what, &[&piece.thickness, &piece.depth], |both| {
        both[0].max(both[1])
    })
}

fn head(job: &Job, post: &Record) -> PostEnd {
    let beam = post.to("under").and_then(|id| job.get(id));
    let (width, wood): (Measurement, Option<Wood>) = match beam {
        Some(beam) if beam.kind == Kind::SetBeam => {
            let piece = new_piece(job, beam);
            let plies = beam.number("plies").unwrap_or(1);
            let what = format!("thickness of {}", beam.name());
            let all = joined(what, &[&piece.thickness], |one| one[0] * plies);
            (all, Some(piece.wood))
        }
        Some(beam) => (least(job, beam, 0, What::Thickness), Some(old_wood(beam))),
        None => (Measurement::missing("the beam over it"), None),
    };
    let own = larger_side(job, post);
    PostEnd {
        place: "top".to_owned(),
        length: side_along(job, post),
        width: joined(
            format!("contact of {} under the beam", post.name()),
            &[&width, &own],
            |both| both[0].min(both[1]),
        ),
        on: wood.map_or(On::NotKnown, |wood| On::Wood(vec![wood])),
        from_end: None,
    }
}

fn foot(job: &Job, post: &Record) -> PostEnd {
    let carrier = carriers(job, post).into_iter().next().map(|(one, _)| one);
    let on = match (post.text("stands_on"), carrier) {
        (Some("concrete"), _) => On::Masonry,
        (_, Some(carrier)) if carrier.says_piece("pad") => On::Masonry,
        (_, Some(carrier)) if carrier.kind == Kind::Wall => On::Wood(vec![Wood::read(
            carrier.text("species"),
            carrier.text("grade"),
            crate::checks::screening::wood::Moisture::NotKnown,
        )]),
        (_, Some(carrier)) => On::Wood(vec![old_wood(carrier)]),
        _ => On::NotKnown,
    };
    let ways = landing_axes(job, post);
    let across = ways
        .iter()
        .filter(|axis| axis.way == Way::Across)
        .find_map(|axis| Some((axis, bears(axis)?)));
    let own = larger_side(job, post);
    let width = match (&on, across) {
        (On::Wood(_), Some((axis, bears))) => Measurement {
            what: format!("contact of {} at its foot", post.name()),
            value: Some(bears.overlap),
            agreed: axis.near.agreed && axis.size.agreed,
            readings: axis
                .solids
                .iter()
                .flat_map(|solid| solid.near.readings.iter().chain(&solid.size.readings))
                .copied()
                .collect(),
        },
        (On::Wood(_), None) => {
            Measurement::missing(format!("where {} stands on what carries it", post.name()))
        }
        _ => own,
    };
    PostEnd {
        place: "foot".to_owned(),
        length: side_along(job, post),
        width,
        on,
        from_end: None,
    }
}

/// A pad with all posts that land on it.
pub fn pad(job: &Job, pad: &Record) -> Pad {
    let standing: Vec<AxialLoad> = changes(job, Kind::SetPost)
        .filter(|post| carriers(job, post).iter().any(|(one, _)| one.id == pad.id))
        .flat_map(|post| standing(job, post, DEEPEST))
        .collect();
    let soil = job.record().and_then(|job| job.text("soil"));
    let soil = soil.and_then(Soil::from_name).unwrap_or(Soil::NotKnown);
    Pad {
        name: pad.name().to_owned(),
        plan: Plan::Rectangle {
            length: least(job, pad, 0, What::Length),
            width: least(job, pad, 0, What::Width),
        },
        thickness: counting(job, pad, 0, What::Thickness),
        of: PadOf::Concrete,
        soil,
        loads: standing,
        projection: None,
    }
}
