//! Links of support: what a thing of the record bears on.
//!
//! Recorded links count first. Where a post's carrier isn't recorded, members one storey below that run along the same wall
//! and lie under the post are inferred. Joists that a change hangs bear on its beam; what stood on a wall that comes out
//! bears on nothing until a change catches it. Source: common practice, no published source.

use uuid::Uuid;

use crate::checks::on_record::sizes::{counting, new_piece};
use crate::needs::{beam_long, joists, of_nothing};
use crate::record::job::natural;
use crate::record::{Job, Kind, Record, What};
use crate::units::Length;

/// How a link is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// Somebody recorded it.
    Recorded,
    /// It follows from where things lie.
    Inferred,
}

/// What a thing bears on at one place.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum On {
    /// Another thing of the record.
    Thing(Uuid, How),
    /// The ground, or masonry that stands on it: in words.
    Ground(String),
    /// Nobody has said; what to record.
    NotKnown(String),
    /// Nothing: why.
    Nothing(String),
}

/// A change that counts: planned or done, not dropped.
fn counts(change: &Record) -> bool {
    change.state != "dropped"
}

/// All changes of a kind that count.
pub fn changes(job: &Job, kind: Kind) -> impl Iterator<Item = &Record> {
    job.all(kind).filter(|change| counts(change))
}

/// Whether one of its ends is recorded to bear on this.
pub fn bears_on(piece: &Record, thing: Uuid) -> bool {
    matches!(piece.kind, Kind::Member | Kind::Run)
        && (piece.to("start_at") == Some(thing) || piece.to("end_at") == Some(thing))
}

/// The beam that a change hangs these joists on, if one does.
pub fn hung_on(job: &Job, joists: Uuid) -> Option<Uuid> {
    changes(job, Kind::HangJoists)
        .find(|hang| hang.all_to("runs").contains(&joists))
        .and_then(|hang| hang.to("beam"))
}

/// What to record of joists that hang on record, but nobody has said where: whether a beam catches them can't be told.
pub fn unplaced(job: &Job, joists: &Record) -> Option<String> {
    let beam = hung_on(job, joists.id)?;
    joist_centres(job, joists).is_empty().then(|| {
        format!(
            "the place and thickness of {}, where it meets {}",
            joists.name(),
            job.name(beam)
        )
    })
}

/// Whether all or part of this wall comes out.
pub fn comes_out(job: &Job, wall: Uuid) -> bool {
    changes(job, Kind::TakeOut).any(|change| change.to("wall") == Some(wall))
}

/// Whether a wall comes out from under a post: all of it, or the part where the post stands, or it isn't known which.
pub(crate) fn goes_from_under(job: &Job, post: &Record, wall: Uuid) -> bool {
    let of_line = wall_of(job, post).is_some_and(|line| line.id == wall);
    let lies = post.length("place").zip(sides(job, post));
    changes(job, Kind::TakeOut)
        .filter(|change| change.to("wall") == Some(wall))
        .any(|change| {
            let cut = change.length("from").zip(change.length("to"));
            match (lies, cut) {
                (Some((place, (along, _))), Some((from, to))) if of_line => {
                    place < to && place + along > from
                }
                _ => true,
            }
        })
}

/// The beam that a change sets in the line of a wall.
pub fn beam_in_line(job: &Job, wall: Uuid) -> Option<&Record> {
    changes(job, Kind::SetBeam).find(|beam| beam.to("wall") == Some(wall))
}

/// The wall that a post's places are measured from: its beam's.
pub fn wall_of<'a>(job: &'a Job, post: &Record) -> Option<&'a Record> {
    let beam = post.to("under").and_then(|id| job.get(id))?;
    let wall = match beam.kind {
        Kind::SetBeam => beam.to("wall"),
        _ => beam.to("measured_from").or_else(|| beam.to("wall")),
    };
    wall.and_then(|id| job.get(id))
}

/// The posts that are set under a beam, by their place.
pub fn posts_under(job: &Job, beam: Uuid) -> Vec<&Record> {
    let mut all: Vec<&Record> = changes(job, Kind::SetPost)
        .filter(|post| post.to("under") == Some(beam))
        .collect();
    all.sort_by_key(|post| (post.length("place"), post.id));
    all
}

/// What carries a post: as recorded, else the floor that it lands on, else what lies under it one storey below.
pub fn carriers<'a>(job: &'a Job, post: &Record) -> Vec<(&'a Record, How)> {
    let recorded: Vec<_> = post
        .all_to("lands_on")
        .into_iter()
        .filter_map(|id| Some((job.get(id)?, How::Recorded)))
        .collect();
    if !recorded.is_empty() {
        return recorded;
    }
    if !matches!(post.text("lands"), Some("through" | "passes"))
        && let Some(floor) = post.to("floor").and_then(|id| job.get(id))
    {
        return vec![(floor, How::Recorded)];
    }
    let Some(wall) = wall_of(job, post) else {
        return Vec::new();
    };
    let all = job
        .carrying()
        .filter(|member| is_under(job, post, wall, member));
    all.map(|member| (member, How::Inferred)).collect()
}

/// Runs, then members, that may bear on a beam: with an end recorded on it or on the wall in whose line it is set, or hung on
/// it by a change.
pub(crate) fn beside<'a>(job: &'a Job, beam: &Record) -> Vec<&'a Record> {
    let wall = (beam.kind == Kind::SetBeam)
        .then(|| beam.to("wall"))
        .flatten();
    let ends = [Some(beam.id), wall].into_iter().flatten();
    let mut all: Vec<&Record> = ends.flat_map(|on| job.bearing_on(on)).collect();
    let hung = changes(job, Kind::HangJoists).filter(|hang| hang.to("beam") == Some(beam.id));
    let hung = hung.flat_map(|hang| hang.all_to("runs"));
    all.extend(hung.filter_map(|id| job.get(id)));
    all.sort_by_cached_key(|one| (one.kind != Kind::Run, natural(one.name()), one.id));
    all.dedup_by_key(|one| one.id);
    all
}

/// Whether a member runs along the post's wall one storey or more below, and lies under the post.
fn is_under(job: &Job, post: &Record, wall: &Record, member: &Record) -> bool {
    let along = member.says("direction", "along") && member.to("measured_from") == Some(wall.id);
    let own = post.to("under") == Some(member.id);
    if !along || own {
        return false;
    }
    let (Some(above), Some(below)) = (level_of(job, wall), level_of(job, member)) else {
        return false;
    };
    if below >= above {
        return false;
    }
    let thickness = counting(job, member, 0, What::Thickness);
    let near = match (
        counting(job, member, 0, What::Place).value,
        thickness.value,
        member.text("measured_to"),
    ) {
        (Some(place), Some(_), Some("near_face")) => place,
        (Some(place), Some(thickness), Some(_)) => place - thickness.half_down(),
        _ => return false,
    };
    let (Some(from), Some((_, size))) = (post.length("across"), sides(job, post)) else {
        return false;
    };
    thickness
        .value
        .is_some_and(|thickness| near < from + size && near + thickness > from)
}

/// The storey's level of a wall or member, by its room.
fn level_of(job: &Job, of: &Record) -> Option<i64> {
    let room = match of.kind {
        Kind::Wall => of.to("room_a").or_else(|| of.to("room_b")),
        _ => of.to("room"),
    };
    let room = room.and_then(|id| job.get(id))?;
    let storey = room.to("storey").and_then(|id| job.get(id))?;
    storey.number("level")
}

/// A post's sides: the smaller along its wall, the larger across.
pub fn sides(job: &Job, post: &Record) -> Option<(Length, Length)> {
    let piece = new_piece(job, post);
    let (one, other) = (piece.thickness.value?, piece.depth.value?);
    Some((one.min(other), one.max(other)))
}

/// What stands straight below the member that a post lands on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Straight {
    /// Something solid, by name.
    Solid(String),
    /// Nothing.
    Nothing,
    /// It can't be told.
    NotKnown,
}

/// What stands straight below the member that a post lands on.
pub fn straight_below(job: &Job, post: &Record, carrier: &Record) -> Straight {
    if carrier.says_piece("pad") {
        return Straight::Solid("the soil under it".to_owned());
    }
    if carrier.kind == Kind::Wall {
        return if goes_from_under(job, post, carrier.id) {
            Straight::Nothing
        } else {
            Straight::Solid(carrier.name().to_owned())
        };
    }
    let found = if carrier.says("direction", "away") {
        below_joists(job, post, carrier)
    } else {
        below_girder(job, post, carrier)
    };
    found.unwrap_or(Straight::NotKnown)
}

/// Under a girder or beam: a post under it, or what its ends bear on. `None` where something isn't recorded.
fn below_girder(job: &Job, post: &Record, carrier: &Record) -> Option<Straight> {
    let (along, _) = sides(job, post)?;
    let from = post.length("place")?;
    let under = |near: Length, size: Length| near < from + along && near + size > from;
    for other in posts_under(job, carrier.id) {
        if let (Some(place), Some((size, _))) = (other.length("place"), sides(job, other))
            && under(place, size)
        {
            return Some(Straight::Solid(other.name().to_owned()));
        }
    }
    let of = |what| counting(job, carrier, 0, what).value;
    let start = of(What::Start)?;
    let (length, first, last) = (
        of(What::Length)?,
        of(What::BearingStart).unwrap_or(Length::ZERO),
        of(What::BearingEnd).unwrap_or(Length::ZERO),
    );
    let ends = [
        (start, first, "start_on", "start"),
        (start + length - last, last, "end_on", "end"),
    ];
    for (near, size, field, end) in ends {
        // An end in a hanger hangs: nothing solid is below it.
        if matches!(carrier.text(field), Some("wood" | "masonry")) && under(near, size) {
            let words = format!("what the {end} of {} bears on", carrier.name());
            return Some(Straight::Solid(words));
        }
    }
    Some(Straight::Nothing)
}

/// Under floor joists: a girder that they bear on and that lies under the post. `None` where it isn't recorded.
fn below_joists(job: &Job, post: &Record, joists: &Record) -> Option<Straight> {
    let ends: Vec<Uuid> = ["start_at", "end_at"]
        .into_iter()
        .filter_map(|field| joists.to(field))
        .collect();
    if ends.is_empty() {
        return None;
    }
    let (from, (_, size)) = (post.length("across")?, sides(job, post)?);
    let mut known = true;
    for support in ends.into_iter().filter_map(|id| job.get(id)) {
        if support.kind == Kind::Wall {
            continue; // the far wall: a post under a beam doesn't stand there
        }
        let of = |what| counting(job, support, 0, what).value;
        match (of(What::Place), of(What::Thickness)) {
            (Some(place), Some(thickness)) => {
                let near = match support.text("measured_to") {
                    Some("near_face") => place,
                    _ => place - thickness.half_down(),
                };
                if near < from + size && near + thickness > from {
                    return Some(Straight::Solid(support.name().to_owned()));
                }
            }
            _ => known = false,
        }
    }
    known.then_some(Straight::Nothing)
}

/// Everything that a thing bears on.
pub fn supports(job: &Job, of: &Record) -> Vec<On> {
    match of.kind {
        Kind::Member | Kind::Run => of_framing(job, of),
        Kind::SetBeam => of_beam(job, of),
        Kind::SetPost => of_post(job, of),
        Kind::Struts => vec![of_struts(job, of)],
        Kind::Wall => vec![of_wall(job, of)],
        _ => Vec::new(),
    }
}

fn of_framing(job: &Job, of: &Record) -> Vec<On> {
    if of.says("piece", "pad") {
        return vec![On::Ground("the soil".to_owned())];
    }
    let mut all = Vec::new();
    for change in changes(job, Kind::Struts) {
        if change.to("purlin") == Some(of.id) {
            all.push(On::Thing(change.id, How::Recorded));
        }
    }
    for post in posts_under(job, of.id) {
        all.push(On::Thing(post.id, How::Recorded));
    }
    let carried = !all.is_empty();
    for (at, on, end) in [
        ("start_at", "start_on", "start"),
        ("end_at", "end_on", "end"),
    ] {
        match (of.to(at), of.text(on)) {
            (Some(thing), _) => all.push(at_wall(job, of, thing)),
            (None, Some("masonry")) => all.push(On::Ground("masonry".to_owned())),
            (None, _) if carried => {}
            (None, _) if of.says("piece", "rafter") && end == "end" => {}
            (None, _) => all.push(On::NotKnown(format!(
                "what the {end} of {} bears on",
                of.name()
            ))),
        }
    }
    all
}

/// A thing that an end is recorded to bear on; where that is a wall that comes out, the beam that its joists hang on.
fn at_wall(job: &Job, of: &Record, thing: Uuid) -> On {
    let is_wall = job.get(thing).is_some_and(|one| one.kind == Kind::Wall);
    if !is_wall || !comes_out(job, thing) {
        return On::Thing(thing, How::Recorded);
    }
    if let Some(beam) = hung_on(job, of.id) {
        return match unplaced(job, of) {
            Some(what) => On::NotKnown(what),
            None => On::Thing(beam, How::Recorded),
        };
    }
    let under_slung = changes(job, Kind::SetBeam)
        .find(|beam| beam.to("wall") == Some(thing) && beam.says("set", "below"));
    match under_slung {
        Some(beam) => On::Thing(beam.id, How::Inferred),
        None => On::Nothing(format!(
            "{} bears on {}, which comes out, and no change catches it",
            of.name(),
            job.name(thing)
        )),
    }
}

fn of_beam(job: &Job, beam: &Record) -> Vec<On> {
    let posts = posts_under(job, beam.id);
    let mut all: Vec<On> = posts
        .iter()
        .map(|post| On::Thing(post.id, How::Recorded))
        .collect();
    if posts.len() < 2 {
        all.push(On::NotKnown(format!(
            "the post at the other end of {}",
            beam.name()
        )));
    }
    all
}

fn of_post(job: &Job, post: &Record) -> Vec<On> {
    let on = carriers(job, post);
    if on.is_empty() {
        return vec![On::NotKnown(format!("what carries {}", post.name()))];
    }
    on.into_iter()
        .map(|(carrier, how)| {
            if carrier.kind == Kind::Wall && goes_from_under(job, post, carrier.id) {
                return On::Nothing(format!(
                    "{} lands on {}, which comes out",
                    post.name(),
                    carrier.name()
                ));
            }
            let on_joists = carrier.says_piece("joist") && !post.says("lands", "through");
            match straight_below(job, post, carrier) {
                Straight::Nothing if on_joists => On::Nothing(format!(
                    "{} lands on {}, and nothing stands straight below",
                    post.name(),
                    carrier.name()
                )),
                _ => On::Thing(carrier.id, how),
            }
        })
        .collect()
}

fn of_struts(job: &Job, struts: &Record) -> On {
    match struts.to("lands_on") {
        None => On::NotKnown(format!("what the feet of {} land on", struts.name())),
        Some(wall)
            if job.get(wall).is_some_and(|one| one.kind == Kind::Wall) && comes_out(job, wall) =>
        {
            On::Nothing(format!(
                "{} land on {}, which comes out",
                struts.name(),
                job.name(wall)
            ))
        }
        Some(thing) => On::Thing(thing, How::Recorded),
    }
}

fn of_wall(job: &Job, wall: &Record) -> On {
    match wall.to("stands_on") {
        Some(other)
            if job.get(other).is_some_and(|one| one.kind == Kind::Wall)
                && comes_out(job, other) =>
        {
            match beam_in_line(job, other) {
                Some(beam) => On::Thing(beam.id, How::Inferred),
                None => On::Nothing(format!(
                    "{} stands on {}, which comes out, and no change catches it",
                    wall.name(),
                    job.name(other)
                )),
            }
        }
        Some(thing) => On::Thing(thing, How::Recorded),
        None if level_of(job, wall) == Some(0) => On::Ground("the ground".to_owned()),
        None => On::NotKnown(format!("what {} stands on", wall.name())),
    }
}

/// Whether its supports reach the ground, each of them; `None` where it can't be told.
pub fn reaches_ground(job: &Job, of: Uuid) -> Option<bool> {
    reach(job, of, &mut Vec::new())
}

fn reach(job: &Job, of: Uuid, on_the_way: &mut Vec<Uuid>) -> Option<bool> {
    if on_the_way.contains(&of) {
        return Some(false); // it bears on itself
    }
    let thing = job.get(of)?;
    on_the_way.push(of);
    let mut all = Some(true);
    for on in supports(job, thing) {
        let one = match on {
            On::Ground(_) => Some(true),
            On::Nothing(_) => Some(false),
            On::NotKnown(_) => None,
            On::Thing(next, _) => reach(job, next, on_the_way),
        };
        all = match (all, one) {
            (Some(false), _) | (_, Some(false)) => Some(false),
            (None, _) | (_, None) => None,
            _ => Some(true),
        };
    }
    on_the_way.pop();
    all
}

/// Where the joists of a run stand along their wall; nothing where that isn't known.
pub fn joist_centres(job: &Job, run: &Record) -> Vec<(u32, Length)> {
    let mut unsaid = of_nothing(run);
    joists(job, run, "", &mut unsaid)
        .unwrap_or_default()
        .into_iter()
        .map(|joist| (joist.number, joist.centre))
        .collect()
}

/// Where a new beam lies along its wall: from and to.
pub fn beam_lies(job: &Job, beam: &Record) -> Option<(Length, Length)> {
    let from = beam.length("from")?;
    Some((from, from + beam_long(job, beam)?.0))
}
