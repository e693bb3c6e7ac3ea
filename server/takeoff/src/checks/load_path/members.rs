//! Beams, girders, joists, posts and pads of the record as the screens take them in, with what comes down on each.
//!
//! A new beam carries the joists that a change hangs on it (or that lie on it) and the struts whose feet land on it; a member
//! as found carries the runs and walls recorded on it and the posts that land on it; a post carries its beam's reaction; a
//! pad what stands on it. Own weight is added by the screens. Source: statics; half spans and the three-moment theorem.

mod axial;
mod line;
mod shored;

use uuid::Uuid;

use super::areas;
use super::links::{changes, comes_out, hung_on, posts_under, sides, wall_of};
use crate::checks::Measurement;
use crate::checks::on_record::sizes::{
    condition, counting, field, greatest, joined, known, least, new_piece, old_wood,
};
use crate::checks::screening::Basis;
use crate::checks::screening::combination::LoadKind;
use crate::checks::screening::joist::Joist;
use crate::checks::screening::member::{
    Bearing, Carries, Condition, Known, LineLoad, Member, On, PointLoad,
};
use crate::checks::screening::wood::{Moisture, Wood};
use crate::needs::{beam_bearings, beam_long};
use crate::record::{Job, Kind, Record, What};
use crate::units::{Length, Pounds};

pub use axial::{pad, post, reaction};
use line::LoadsOn;
pub(crate) use line::{hangs_by_its_end, how_it_stands};
pub(crate) use shored::{ShoreSide, shore_sides, spacing_of, under_shore};

/// How far loads are followed: deeper than any house.
const DEEPEST: u8 = 8;

/// How loads are followed down.
#[derive(Clone, Copy)]
pub(crate) struct Follow<'a> {
    /// How much deeper.
    deep: u8,
    /// Runs and walls that something else holds up meanwhile: nothing of them comes down here.
    without: &'a [Uuid],
}

impl Follow<'_> {
    /// All that comes down.
    pub(crate) const fn all() -> Self {
        Self {
            deep: DEEPEST,
            without: &[],
        }
    }

    fn leaves_out(self, thing: Uuid) -> bool {
        self.without.contains(&thing)
    }

    /// One further down; `None` where that is deeper than any house.
    fn deeper(self) -> Option<Self> {
        Some(Self {
            deep: self.deep.checked_sub(1)?,
            ..self
        })
    }
}

/// A beam, new or as found, as a member.
pub fn beam(job: &Job, beam: &Record) -> Member {
    of(job, beam, Follow::all())
}

pub(crate) fn of(job: &Job, beam: &Record, follow: Follow<'_>) -> Member {
    match beam.kind {
        Kind::SetBeam => new_beam(job, beam, follow),
        _ => as_found(job, beam, follow),
    }
}

fn new_beam(job: &Job, beam: &Record, follow: Follow<'_>) -> Member {
    let piece = new_piece(job, beam);
    let posts = posts_under(job, beam.id);
    let runs = line::runs_on(job, beam, follow);
    let LoadsOn {
        line_loads,
        mut point_loads,
    } = line::on_new_beam(job, beam, &runs, follow);
    let from = field(beam, "from", "its start, from the zero end");
    let [start, _] = bearings_of(job, beam);
    point_loads.extend(axial::from_posts_on(job, beam, follow, |post| {
        at_centre(job, post, &[&from, &start])
    }));
    point_loads.extend(axial::from_members_on(job, beam, follow, &[&from, &start]));
    let continuous = runs.iter().any(|run| run.says("over_wall", "continuous"));
    Member {
        name: beam.name().to_owned(),
        thickness: piece.thickness,
        depth: piece.depth,
        plies: plies(beam),
        clear: clear_of_new(job, beam, &posts),
        bearings: seats_of_new(job, beam, &posts, &piece.wood),
        wood: piece.wood,
        line_loads,
        point_loads,
        repetitive: false,
        top_edge: if runs.is_empty() {
            Known::NotKnown
        } else {
            Known::Yes
        },
        carries: worst_carried(job, &runs),
        condition: Condition::Sound,
        hangers_on_one_face: beam.says("set", "flush")
            && !runs.is_empty()
            && !continuous
            && !hangs_on_both_faces(job, beam, &runs),
    }
}

/// Whether runs are known to hang on both faces of a beam: by their rooms, one on each side of its wall.
fn hangs_on_both_faces(job: &Job, beam: &Record, runs: &[&Record]) -> bool {
    let Some(wall) = beam.to("wall").and_then(|id| job.get(id)) else {
        return false;
    };
    ["room_a", "room_b"].into_iter().all(|side| {
        let room = wall.to(side);
        room.is_some() && runs.iter().any(|run| run.to("room") == room)
    })
}

fn plies(of: &Record) -> u32 {
    let plies = of.number("plies").and_then(|n| u32::try_from(n).ok());
    plies.unwrap_or(1)
}

/// The clear spans: between two posts as it was read; over three, by their places.
fn clear_of_new(job: &Job, beam: &Record, posts: &[&Record]) -> Vec<Measurement> {
    if posts.len() < 3 {
        let mut clear = greatest(job, beam, 0, What::ClearBetweenPosts);
        clear.what = format!("clear span of {}", beam.name());
        return vec![clear];
    }
    posts
        .windows(2)
        .map(|pair| {
            let from = field(pair[0], "place", "its near face");
            let to = field(pair[1], "place", "its near face");
            let what = format!("clear from {} to {}", pair[0].name(), pair[1].name());
            let size = side_along(job, pair[0]);
            joined(what, &[&from, &size, &to], |all| all[2] - all[0] - all[1])
        })
        .collect()
}

/// A post's side along its wall: its smaller one.
pub(crate) fn side_along(job: &Job, post: &Record) -> Measurement {
    let what = format!("smaller side of {}", post.name());
    match sides(job, post) {
        Some((small, _)) => Measurement::agreed(what, small),
        None => Measurement::missing(what),
    }
}

/// The beam’s bearings at its start and end, as recorded or by the posts that are set under it.
pub(crate) fn bearings_of(job: &Job, beam: &Record) -> [Measurement; 2] {
    beam_bearings(job, beam).map(|(end, found)| {
        let what = format!("bearing of {} at {end}", beam.name());
        match found {
            Some((length, _)) => Measurement::agreed(what, length),
            None => Measurement::missing(what),
        }
    })
}

/// Seats on posts: end grain is stronger than the beam across its own, so the beam's wood counts. At its ends what is
/// recorded goes first.
fn seats_of_new(job: &Job, beam: &Record, posts: &[&Record], wood: &Wood) -> Vec<Bearing> {
    let [start, end] = bearings_of(job, beam);
    let seat = |place: &str, length, on| Bearing {
        place: place.to_owned(),
        length,
        width: None,
        on,
    };
    let mut all = vec![seat("start", start, bears_on(job, beam, "start"))];
    if posts.len() >= 3 {
        let middle = &posts[1..posts.len() - 1];
        all.extend(middle.iter().map(|post| {
            let on = On::Wood(vec![wood.clone()]);
            seat(post.name(), side_along(job, post), on)
        }));
    }
    all.push(seat("end", end, bears_on(job, beam, "end")));
    all
}

/// The most brittle of what sags with the runs.
fn worst_carried(job: &Job, runs: &[&Record]) -> Carries {
    let all: Vec<Carries> = runs.iter().map(|run| areas::carries(job, run)).collect();
    for one in [
        Carries::Floor,
        Carries::Plaster,
        Carries::NotKnown,
        Carries::Board,
    ] {
        if all.contains(&one) {
            return one;
        }
    }
    if all.is_empty() {
        Carries::NotKnown
    } else {
        Carries::Neither
    }
}

/// A girder or beam as found, with what is recorded on it.
fn as_found(job: &Job, member: &Record, follow: Follow<'_>) -> Member {
    let plies = plies(member);
    let thickness = least(job, member, 0, What::Thickness);
    let ply = joined(
        format!("thickness of {}", member.name()),
        &[&thickness],
        |all| Length::from_64ths(all[0].as_64ths().div_euclid(i64::from(plies.max(1)))),
    );
    let runs = line::runs_on(job, member, follow);
    let lies = Lies::of(job, member);
    let LoadsOn {
        line_loads,
        mut point_loads,
    } = line::on_found(job, member, &runs, follow);
    point_loads.extend(axial::from_posts_on(job, member, follow, |post| {
        at_centre(job, post, &[&lies.start, &lies.first])
    }));
    point_loads.extend(axial::from_members_on(
        job,
        member,
        follow,
        &[&lies.start, &lies.first],
    ));
    let posts = posts_under(job, member.id);
    Member {
        name: member.name().to_owned(),
        thickness: ply,
        depth: least(job, member, 0, What::Depth),
        plies,
        wood: old_wood(member),
        clear: lies.clear(job, member, &posts),
        bearings: lies.seats(job, member, &posts),
        line_loads,
        point_loads,
        repetitive: false,
        top_edge: if runs.is_empty() {
            known(member, "top_held")
        } else {
            Known::Yes
        },
        carries: worst_carried(job, &runs),
        condition: condition(member),
        hangers_on_one_face: false,
    }
}

/// The centre of a post from the inside face of a member's first support, places being measured along the same wall.
fn at_centre(job: &Job, post: &Record, face: &[&Measurement]) -> Measurement {
    let place = field(post, "place", "its near face, from the zero end");
    let size = side_along(job, post);
    let mut all = vec![&place, &size];
    all.extend(face);
    joined(format!("place of {}", post.name()), &all, |all| {
        let face: Length = all[2..].iter().copied().sum();
        all[0] + all[1].half_down() - face
    })
}

/// Where a member as found lies along its wall.
struct Lies {
    start: Measurement,
    first: Measurement,
    last: Measurement,
    length: Measurement,
}

impl Lies {
    fn of(job: &Job, member: &Record) -> Self {
        Self {
            start: counting(job, member, 0, What::Start),
            first: least(job, member, 0, What::BearingStart),
            last: least(job, member, 0, What::BearingEnd),
            length: counting(job, member, 0, What::Length),
        }
    }

    /// Without posts the span as it was read, with posts from face to face.
    fn clear(&self, job: &Job, member: &Record, posts: &[&Record]) -> Vec<Measurement> {
        if posts.is_empty() {
            return vec![greatest(job, member, 0, What::Span)];
        }
        let name = member.name();
        let face = joined(
            format!("first face under {name}"),
            &[&self.start, &self.first],
            |all| all[0] + all[1],
        );
        let mut from = (format!("the start of {name}"), face);
        let mut all = Vec::new();
        for post in posts {
            let near = field(post, "place", "its near face, from the zero end");
            let what = format!("clear from {} to {}", from.0, post.name());
            all.push(joined(what, &[&from.1, &near], |both| both[1] - both[0]));
            let size = side_along(job, post);
            let far = joined(
                format!("far face of {}", post.name()),
                &[&near, &size],
                |both| both[0] + both[1],
            );
            from = (post.name().to_owned(), far);
        }
        let far = joined(
            format!("last face under {name}"),
            &[&self.start, &self.length, &self.last],
            |all| all[0] + all[1] - all[2],
        );
        let what = format!("clear from {} to the end of {name}", from.0);
        all.push(joined(what, &[&from.1, &far], |both| both[1] - both[0]));
        all
    }

    fn seats(&self, job: &Job, member: &Record, posts: &[&Record]) -> Vec<Bearing> {
        let end = |place: &str, length: &Measurement| Bearing {
            place: place.to_owned(),
            length: length.clone(),
            width: None,
            on: bears_on(job, member, place),
        };
        let mut all = vec![end("start", &self.first)];
        all.extend(posts.iter().map(|post| Bearing {
            place: post.name().to_owned(),
            length: side_along(job, post),
            width: None,
            on: On::Wood(vec![old_wood(member)]),
        }));
        all.push(end("end", &self.last));
        all
    }
}

/// What an end of a new beam or of a piece as found bears on: as recorded. Where nothing is, a new beam's end on a post
/// that is set under it bears on that; the post's end grain is stronger than the beam across its own, which counts.
pub(crate) fn bears_on(job: &Job, piece: &Record, end: &str) -> On {
    let (at, on, bearing) = if end == "start" {
        ("start_at", "start_on", "bearing_start")
    } else {
        ("end_at", "end_on", "bearing_end")
    };
    let is_new = piece.kind == Kind::SetBeam;
    let under = (!is_new).then(|| piece.to(at)).flatten();
    let under = under.and_then(|id| job.get(id));
    match (piece.text(on), under) {
        // On wood with a bearing of its own, it may be on another piece than the posts under the beam.
        (on @ (None | Some("wood")), _)
            if is_new
                && has_post(job, piece, end)
                && (on.is_none() || piece.length(bearing).is_none()) =>
        {
            On::Wood(vec![new_piece(job, piece).wood])
        }
        (Some("masonry"), _) => On::Masonry,
        (Some("hanger"), _) => On::Hanger,
        (_, Some(under)) if under.kind == Kind::Wall => On::Wood(vec![Wood::read(
            under.text("species"),
            under.text("grade"),
            Moisture::NotKnown,
        )]),
        (_, Some(under)) => On::Wood(vec![old_wood(under)]),
        (Some("wood"), None) => On::Wood(vec![Wood::read(None, None, Moisture::NotKnown)]),
        _ => On::NotKnown,
    }
}

/// Whether a post is set under an end. One alone is under the end that its size gives the bearing of.
fn has_post(job: &Job, beam: &Record, end: &str) -> bool {
    let of_end = usize::from(end != "start");
    match posts_under(job, beam.id).len() {
        0 => false,
        1 => {
            let field = ["bearing_start", "bearing_end"][of_end];
            beam.length(field).is_none() && beam_bearings(job, beam)[of_end].1.is_some()
        }
        _ => true,
    }
}

/// A joist of a run on its span, as one of several, with its area's loads; where a change hangs it, the end at the beam
/// hangs.
pub fn joist(job: &Job, run: &Record, number: u32, name: &str) -> Joist {
    let hangs = hung_on(job, run.id).is_some();
    let by_its_end = hangs_by_its_end(job, run);
    let hanger = || Bearing {
        place: "hanger".to_owned(),
        length: Measurement::agreed(
            "bearing in the hanger",
            crate::tables::loads::BEARING_ON_WOOD,
        ),
        width: None,
        on: On::Hanger,
    };
    let own = |place: &str, what| Bearing {
        place: place.to_owned(),
        length: least(job, run, number, what),
        width: None,
        on: bears_on(job, run, place),
    };
    let start = if hangs && !by_its_end {
        hanger()
    } else {
        own("start", What::BearingStart)
    };
    let end = if hangs && by_its_end {
        hanger()
    } else {
        own("end", What::BearingEnd)
    };
    // A member is one by itself.
    let count = (run.kind == Kind::Run)
        .then(|| run.number("count").and_then(|n| u32::try_from(n).ok()))
        .flatten();
    Joist {
        member: Member {
            name: name.to_owned(),
            thickness: least(job, run, number, What::Thickness),
            depth: least(job, run, number, What::Depth),
            plies: 1,
            wood: old_wood(run),
            clear: vec![greatest(job, run, number, What::Span)],
            bearings: vec![start, end],
            line_loads: Vec::new(),
            point_loads: Vec::new(),
            repetitive: false,
            top_edge: known(run, "top_held"),
            carries: areas::carries(job, run),
            condition: condition(run),
            hangers_on_one_face: false,
        },
        spacing: field(run, "spacing", "spacing on centre"),
        count: count.unwrap_or(1),
        sheathed: known(run, "top_held"),
        area_loads: areas::on_joists(job, run),
    }
}

/// A load at a place.
pub(crate) fn point(
    what: &str,
    kind: LoadKind,
    load: Option<Pounds>,
    at: Measurement,
    basis: Basis,
) -> PointLoad {
    PointLoad {
        what: what.to_owned(),
        kind,
        load,
        at,
        basis,
    }
}

/// The walls that stand on this and stay, all of them.
pub(crate) fn walls_on(job: &Job, of: Uuid) -> impl Iterator<Item = &Record> {
    job.all(Kind::Wall)
        .filter(move |wall| wall.to("stands_on") == Some(of))
}

/// Whether joists that end at a wall still bear on it: it stays, or no change hangs them.
pub(crate) fn still_bears(job: &Job, run: &Record, wall: Uuid) -> bool {
    !comes_out(job, wall) || hung_on(job, run.id).is_none()
}

/// A wall with all that stands and bears on it, along what carries it.
pub(crate) fn wall_line(job: &Job, wall: &Record) -> Vec<LineLoad> {
    line::along_wall(job, wall).0
}

/// A wall's own weight along what it stands on.
pub(crate) fn wall_itself(job: &Job, wall: &Record) -> LineLoad {
    line::of_wall(job, wall)
}

/// Where a wall crosses the joists that it stands on, from the inside face of their first support; `None` where nobody has
/// said that it runs across them.
pub(crate) fn crosses(wall: &Record) -> Option<Measurement> {
    let at = "from the joists’ start to its middle";
    wall.says("stands_how", "across")
        .then(|| field(wall, "stands_at", at))
}

/// Struts whose feet land on this.
pub(crate) fn struts_on(job: &Job, of: Uuid) -> impl Iterator<Item = &Record> {
    changes(job, Kind::Struts).filter(move |struts| struts.to("lands_on") == Some(of))
}

/// The length of a new beam with its readings.
pub(crate) fn long_of(job: &Job, beam: &Record) -> Measurement {
    let what = format!("length of {}", beam.name());
    match beam_long(job, beam) {
        Some((value, readings, agreed)) => Measurement {
            what,
            value: Some(value),
            agreed,
            readings,
            fill: None,
        },
        None => Measurement::missing(what),
    }
}

/// Whether two things are measured from the same wall.
pub(crate) fn same_wall(job: &Job, post: &Record, member: &Record) -> bool {
    let wall = wall_of(job, post).map(|wall| wall.id);
    let own = match member.kind {
        Kind::SetBeam => member.to("wall"),
        _ => member.to("measured_from"),
    };
    wall.is_some() && own == wall
}
