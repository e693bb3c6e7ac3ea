//! What comes down posts: a beam's reactions by kind of load, the posts that stand on a member, pads.
//!
//! Source: statics.

use super::super::links::{bears_on, beside, carriers, changes, posts_under};
use super::line::{is_on, meets_with_its_end};
use super::{Follow, joist, of, point, same_wall, side_along, walls_on};
use crate::checks::Measurement;
use crate::checks::fit::landing::{Way, bears};
use crate::checks::on_record::landing_axes;
use crate::checks::on_record::sizes::{counting, greatest, joined, least, new_piece, old_wood};
use crate::checks::screening::Basis;
use crate::checks::screening::beam::{basis, lacks, reactions_by_kind};
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::joist::as_member;
use crate::checks::screening::member::{Condition, On, PointLoad};
use crate::checks::screening::pad::{Pad, PadOf, Plan};
use crate::checks::screening::post::{AxialLoad, Post, PostEnd};
use crate::checks::screening::tributary::{over, weight_along};
use crate::checks::screening::wood::{Moisture, Wood};
use crate::record::{Job, Kind, Record, What};
use crate::tables::loads::Soil;
use crate::units::{Length, Pounds, Section};

/// What a beam brings to one of its posts, by kind of load; nothing where it can't be told.
pub fn reaction(job: &Job, post: &Record) -> Vec<(LoadKind, Pounds)> {
    reaction_at(job, post, Follow::all())
        .map(|(loads, _)| loads)
        .unwrap_or_default()
}

type Reaction = (Vec<(LoadKind, Pounds)>, Basis);

fn reaction_at(job: &Job, post: &Record, follow: Follow<'_>) -> Option<Reaction> {
    let beam = post.to("under").and_then(|id| job.get(id))?;
    let deeper = follow.deeper()?;
    let posts = posts_under(job, beam.id);
    let n = posts.iter().position(|one| one.id == post.id)?;
    // A new beam's first post is its first support; under a member as found that is its own first end.
    let support = if beam.kind == Kind::SetBeam { n } else { n + 1 };
    let member = of(job, beam, deeper);
    let last = member.bearings.len().saturating_sub(1);
    let support = if beam.kind == Kind::SetBeam && posts.len() < 3 {
        if n == 0 { 0 } else { last }
    } else {
        support
    };
    Some((reactions_by_kind(&member, support), basis(&member)))
}

/// The posts that land on a member, each as loads at a place.
pub(super) fn from_posts_on(
    job: &Job,
    member: &Record,
    follow: Follow<'_>,
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
        for load in standing(job, post, follow) {
            all.push(point(
                &load.what,
                load.kind,
                load.load,
                place.clone(),
                load.basis,
            ));
        }
    }
    all
}

/// Pieces of a wall, and what lies in it, aren't beams that bring a load of their own.
pub(super) fn brings_a_load(piece: &Record) -> bool {
    !matches!(
        piece.text("piece"),
        Some("stud" | "plate" | "blocking" | "pad")
    )
}

/// The single members that bear on a beam or hang on it, each as loads at its place; `face` adds up to the inside face of
/// the beam's first support, in the measure of its wall.
pub(super) fn from_members_on(
    job: &Job,
    beam: &Record,
    follow: Follow<'_>,
    face: &[&Measurement],
) -> Vec<PointLoad> {
    let mut all = Vec::new();
    let others = beside(job, beam)
        .into_iter()
        .filter(|piece| piece.kind == Kind::Member && piece.id != beam.id)
        .filter(|piece| brings_a_load(piece) && is_on(job, piece, beam));
    for piece in others {
        let at_end = meets_with_its_end(piece, beam);
        let at = place_of(job, piece, beam, at_end, face);
        for load in brought_by(job, piece, at_end, follow) {
            all.push(point(
                &load.what,
                load.kind,
                load.load,
                at.clone(),
                load.basis,
            ));
        }
    }
    all
}

/// What a single member brings to what its start, or its end, bears on; where that can't be told, what it lacks.
fn brought_by(job: &Job, piece: &Record, at_end: bool, follow: Follow<'_>) -> Vec<AxialLoad> {
    let name = piece.name();
    let Some(deeper) = follow.deeper() else {
        return vec![AxialLoad::unknown(name.to_owned())];
    };
    let is_joist = matches!(
        piece.text("piece"),
        Some("joist" | "ceiling_joist" | "rafter")
    );
    let member = if is_joist {
        as_member(&joist(job, piece, 0, name))
    } else {
        of(job, piece, deeper)
    };
    let support = if at_end {
        member.bearings.len().saturating_sub(1)
    } else {
        0
    };
    let loads = reactions_by_kind(&member, support);
    if loads.is_empty() {
        return vec![AxialLoad::unknown(format!(
            "{name}, which bears on it: {}",
            lacks(&member).join("; ")
        ))];
    }
    let basis = basis(&member);
    loads
        .into_iter()
        .map(|(kind, load)| AxialLoad {
            what: format!("{name}, {}", kind.words()),
            kind,
            load: Some(load),
            basis: basis.clone(),
        })
        .collect()
}

/// Where a single member meets a beam, from the inside face of the beam's first support: at its centre where it runs away
/// from their wall, at its end where it runs on in the same line.
fn place_of(
    job: &Job,
    piece: &Record,
    beam: &Record,
    at_end: bool,
    face: &[&Measurement],
) -> Measurement {
    let name = piece.name();
    let wall = match beam.kind {
        Kind::SetBeam => beam.to("wall"),
        _ => beam.to("measured_from"),
    };
    if wall.is_none() || piece.to("measured_from") != wall {
        return Measurement::missing(format!(
            "the places of {name} and {} from one wall",
            beam.name()
        ));
    }
    let from_face = |lengths: &[Length]| lengths.iter().copied().sum::<Length>();
    let what = format!("place of {name} on {}", beam.name());
    if piece.says("direction", "along") {
        let start = counting(job, piece, 0, What::Start);
        let long = counting(job, piece, 0, What::Length);
        let mut all = vec![&start];
        let own = if at_end { 2 } else { 1 };
        if at_end {
            all.push(&long);
        }
        all.extend(face);
        return joined(what, &all, |all| {
            from_face(&all[..own]) - from_face(&all[own..])
        });
    }
    let place = counting(job, piece, 0, What::Place);
    let thickness = least(job, piece, 0, What::Thickness);
    let to_near = piece.says("measured_to", "near_face");
    let mut all = vec![&place, &thickness];
    all.extend(face);
    joined(what, &all, |all| {
        let half = if to_near {
            all[1].half_down()
        } else {
            Length::ZERO
        };
        all[0] + half - from_face(&all[2..])
    })
}

/// What stands on a post's foot: its beam's reaction and its own weight.
fn standing(job: &Job, post: &Record, follow: Follow<'_>) -> Vec<AxialLoad> {
    let mut all = on_top(job, post, follow);
    all.push(own_weight(job, post));
    all
}

fn own_weight(job: &Job, post: &Record) -> AxialLoad {
    let piece = new_piece(job, post);
    let long = greatest(job, post, 0, What::LandingToSeat);
    let section = piece.thickness.value.zip(piece.depth.value);
    let load = section.zip(long.value).map(|((thickness, depth), long)| {
        let section = Section { thickness, depth };
        over(weight_along(section, &piece.wood), long)
    });
    let lengths = [&piece.thickness, &piece.depth, &long];
    AxialLoad {
        what: format!("own weight of {}", post.name()),
        kind: LoadKind::Dead,
        load,
        basis: Basis::of(&lengths).with_weight_of(&piece.wood),
    }
}

fn on_top(job: &Job, post: &Record, follow: Follow<'_>) -> Vec<AxialLoad> {
    let beam = post.to("under").map_or("its beam", |id| job.name(id));
    let (loads, basis) = reaction_at(job, post, follow).unwrap_or_default();
    if loads.is_empty() {
        return vec![AxialLoad::unknown(format!("{beam} on {}", post.name()))];
    }
    loads
        .into_iter()
        .map(|(kind, load)| AxialLoad {
            what: format!("{beam}, {}", kind.words()),
            kind,
            load: Some(load),
            basis: basis.clone(),
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
        loads: on_top(job, post, Follow::all()),
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

/// Every piece of wood between a post's foot and what carries it: each carrier, and the floor that it stands on the top of.
/// What a floor is made of isn't in the record by species: the weakest listed is taken.
fn under_foot(job: &Job, post: &Record) -> On {
    if post.says("stands_on", "concrete") {
        return On::Masonry;
    }
    let not_known = || Wood::read(None, None, Moisture::NotKnown);
    let carriers = carriers(job, post);
    let mut pieces: Vec<Wood> = carriers
        .iter()
        .filter(|(one, _)| !one.says_piece("pad"))
        .map(|(one, _)| {
            if one.kind == Kind::Wall {
                Wood::read(one.text("species"), one.text("grade"), Moisture::NotKnown)
            } else {
                old_wood(one)
            }
        })
        .collect();
    if pieces.is_empty() {
        return if carriers.is_empty() {
            On::NotKnown
        } else {
            On::Masonry
        };
    }
    let floor = post.to("floor").and_then(|id| job.get(id));
    let room = floor
        .and_then(|joists| joists.to("carries"))
        .and_then(|id| job.get(id));
    let bare = room.is_some_and(|room| room.texts("bare").contains(&"floor"));
    if post.says("lands", "floor") && !bare {
        pieces.push(not_known());
    }
    On::Wood(pieces)
}

fn foot(job: &Job, post: &Record) -> PostEnd {
    let on = under_foot(job, post);
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
            fill: None,
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

/// A pad with all that stands on it: posts, and members whose ends are recorded on it. What runs or walls on it bring
/// can't be told.
pub fn pad(job: &Job, pad: &Record) -> Pad {
    let posts: Vec<&Record> = changes(job, Kind::SetPost)
        .filter(|post| carriers(job, post).iter().any(|(one, _)| one.id == pad.id))
        .collect();
    let mut loads: Vec<AxialLoad> = posts
        .iter()
        .flat_map(|post| standing(job, post, Follow::all()))
        .collect();
    let pieces = job.bearing_on(pad.id);
    for piece in pieces.filter(|piece| piece.kind == Kind::Member && piece.id != pad.id) {
        for (end, at_end) in [("start_at", false), ("end_at", true)] {
            if piece.to(end) == Some(pad.id) && brings_a_load(piece) {
                loads.extend(brought_by(job, piece, at_end, Follow::all()));
            }
        }
    }
    let runs = job.all(Kind::Run).filter(|run| bears_on(run, pad.id));
    for other in runs.chain(walls_on(job, pad.id)) {
        let what = format!("{}, which stands on it", other.name());
        loads.push(AxialLoad::unknown(what));
    }
    let soil = job.record().and_then(|job| job.text("soil"));
    let soil = soil.and_then(Soil::from_name).unwrap_or(Soil::NotKnown);
    Pad {
        name: pad.name().to_owned(),
        plan: Plan::Rectangle {
            length: least(job, pad, 0, What::Length),
            width: least(job, pad, 0, What::Width),
        },
        thickness: least(job, pad, 0, What::Thickness),
        of: PadOf::Concrete,
        soil,
        loads,
        projection: projection(job, pad, &posts),
    }
}

/// How far a pad sticks out beside the posts on it, the least and the most of its sides; `None` where their places aren't
/// recorded, or no post is on it.
fn projection(job: &Job, pad: &Record, posts: &[&Record]) -> Option<[Length; 2]> {
    let mut all = Vec::new();
    for axis in posts.iter().flat_map(|post| landing_axes(job, post)) {
        let (near, size) = (axis.near.value?, axis.size.value?);
        for solid in axis.solids.iter().filter(|one| one.name == pad.name()) {
            let (from, long) = (solid.near.value?, solid.size.value?);
            all.extend([near - from, from + long - near - size]);
        }
    }
    Some([*all.iter().min()?, *all.iter().max()?])
}
