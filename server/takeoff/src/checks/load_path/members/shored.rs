//! What a shore brings down: along its line on each side, and on the girder or wall below that carries it.
//!
//! While the shore stands, what it holds up comes down by it and not by the wall or the beam in its line.
//! Source: statics; three-moment theorem; that each side carries all that stands on the wall is conservative practice.

use uuid::Uuid;

use super::super::links::bears_on;
use super::{Follow, crosses, line, of, walls_on};
use crate::checks::Measurement;
use crate::checks::load_path::areas;
use crate::checks::on_record::sizes::{greatest, joined};
use crate::checks::screening::Basis;
use crate::checks::screening::member::{LineLoad, Member};
use crate::checks::screening::tributary::{at_the_shore, shore_line, shore_of_line};
use crate::record::settings::{SHORE_OFF, SPACING};
use crate::record::{Job, Kind, Record, Spot, What};
use crate::units::{Length, Plf};

/// One side of a shore: what comes along its line.
pub(crate) struct ShoreSide<'a> {
    /// `a` or `b`, of the wall.
    pub(crate) side: &'static str,
    /// The joists that it holds up.
    pub(crate) run: &'a Record,
    /// What the joists bring.
    pub(crate) joists: Vec<LineLoad>,
    /// What stands on the wall from above: all of it on each side, since nobody has said how the sides share it.
    pub(crate) above: Vec<LineLoad>,
}

impl ShoreSide<'_> {
    /// All of it.
    pub(crate) fn loads(&self) -> Vec<LineLoad> {
        self.joists.iter().chain(&self.above).cloned().collect()
    }
}

/// What comes along a shore's line, each side by itself.
pub(crate) fn shore_sides<'a>(job: &'a Job, shore: &Record) -> Vec<ShoreSide<'a>> {
    let Some(wall) = shore.to("wall").and_then(|id| job.get(id)) else {
        return Vec::new();
    };
    let side_of = |run: &Record| side_of_run(wall, run);
    let runs: Vec<&Record> = job
        .all(Kind::Run)
        .filter(|run| bears_on(run, wall.id) && side_of(run).is_some())
        .collect();
    let off = off(job, wall);
    let above = above_of(job, wall).0;
    runs.iter()
        .filter_map(|run| {
            let side = side_of(run)?;
            let shored = match shore.text("sides") {
                Some(one @ ("a" | "b")) => one == side,
                _ => true,
            };
            if !shored {
                return None;
            }
            let long = greatest(job, run, 0, What::Span);
            let beyond = runs
                .iter()
                .find(|other| side_of(other).is_some_and(|one| one != side));
            let other = beyond.map(|other| greatest(job, other, 0, What::Span));
            let mut lengths = vec![&long, &off];
            lengths.extend(&other);
            let stands = Stands {
                long: &long,
                off: &off,
                ways: ways(job, wall, run, beyond.copied()),
                basis: Basis::of(&lengths),
            };
            let mut joists = stands.joists(job, run);
            joists.extend(stands.walls(job, wall, run));
            Some(ShoreSide {
                side,
                run,
                joists,
                above: above.iter().map(|load| stands.above(load)).collect(),
            })
        })
        .collect()
}

/// How a shore may stand beside the joists of one side, by one reading of each length: some loads are greatest with the
/// shortest joists, others with the longest.
#[derive(Clone, Copy)]
struct Way {
    /// The joists.
    long: Length,
    /// From the cut to the shore.
    off: Length,
    /// The other side's joists and its shore, likewise.
    past: Option<(Length, Length)>,
}

/// Every way by the standing readings of both sides' spans and of the wall's thickness, each once.
fn ways(job: &Job, wall: &Record, run: &Record, beyond: Option<&Record>) -> Vec<Way> {
    let read = |of: &Record, what| -> Vec<Length> {
        let read = job.measured(&Spot::of(of.id, what));
        let mut all: Vec<Length> = read
            .map(|read| read.all.iter().map(|one| one.value).collect())
            .unwrap_or_default();
        all.sort_unstable();
        all.dedup();
        all
    };
    let others: Vec<Option<Length>> = match beyond.map(|other| read(other, What::Span)) {
        Some(all) if !all.is_empty() => all.into_iter().map(Some).collect(),
        _ => vec![None],
    };
    let mut all = Vec::new();
    for long in read(run, What::Span) {
        for thickness in read(wall, What::Thickness) {
            let off = off_face(job) + thickness.half_down();
            all.extend(others.iter().map(|other| Way {
                long,
                off,
                past: other.map(|other| (other, off)),
            }));
        }
    }
    all
}

/// A shore beside the joists of one side.
struct Stands<'a> {
    /// The joists, from their far bearing to the cut.
    long: &'a Measurement,
    /// From the cut to the shore.
    off: &'a Measurement,
    /// Every way that it may stand, by the readings.
    ways: Vec<Way>,
    /// What all that is worked out from.
    basis: Basis,
}

impl Stands<'_> {
    /// What the joists bring, by kind; without a length it isn't known, and says which.
    fn joists(&self, job: &Job, run: &Record) -> Vec<LineLoad> {
        let mut all = areas::on_joists(job, run);
        all.push(areas::of_themselves(job, run));
        all.into_iter()
            .map(|area| LineLoad {
                load: area.load.and_then(|load| {
                    self.greatest(|way| shore_line(way.long, way.off, way.past, load))
                }),
                what: self.or_lacks(area.what),
                kind: area.kind,
                at_least: None,
                stretch: None,
                basis: self.basis.clone().and(&area.basis),
            })
            .collect()
    }

    /// What walls bring that stand across the joists; along one of them, or not said how, it can't be told.
    fn walls(&self, job: &Job, wall: &Record, run: &Record) -> Vec<LineLoad> {
        let mut all = Vec::new();
        for upper in walls_on(job, run.id) {
            let name = upper.name();
            let Some(from_start) = crosses(upper) else {
                let what = format!("{name}: {}", line::how_it_stands(upper, run));
                all.push(LineLoad::unknown(what));
                continue;
            };
            let is_cut_at_start = run.to("start_at") == Some(wall.id);
            let at = |long| {
                let from_start = from_start.value?;
                Some(if is_cut_at_start {
                    from_start
                } else {
                    long - from_start
                })
            };
            let (loads, _) = line::along_wall(job, upper);
            all.extend(loads.into_iter().map(|load| LineLoad {
                load: load.load.and_then(|load| {
                    self.greatest(|way| {
                        let at = at(way.long)?;
                        shore_of_line(way.long, way.off, way.past, (load, at))
                    })
                }),
                what: match from_start.value {
                    Some(_) => self.or_lacks(load.what),
                    None => format!("{name}: {}", from_start.what),
                },
                basis: self.basis.clone().and(&load.basis),
                ..load
            }));
        }
        all
    }

    /// What stands on the wall, by the lever of the cut joists.
    fn above(&self, load: &LineLoad) -> LineLoad {
        LineLoad {
            load: load
                .load
                .and_then(|load| self.greatest(|way| at_the_shore(way.long, way.off, load))),
            what: self.or_lacks(load.what.clone()),
            basis: self.basis.clone().and(&load.basis),
            ..load.clone()
        }
    }

    /// The greatest load of every way; `None` where one of them isn't known.
    fn greatest(&self, load: impl Fn(Way) -> Option<Plf>) -> Option<Plf> {
        let all: Option<Vec<Plf>> = self.ways.iter().map(|way| load(*way)).collect();
        all?.into_iter().max()
    }

    /// A load's words, with the length that it lacks.
    fn or_lacks(&self, what: String) -> String {
        let lacking = [self.long, self.off];
        match lacking.into_iter().find(|one| one.value.is_none()) {
            Some(lacking) => format!("{what}: {}", lacking.what),
            None => what,
        }
    }
}

/// What stands on a wall from above, along it: walls with all that is on them, and what bears on it from neither of its
/// rooms, such as rafters. Besides, what all that is.
fn above_of(job: &Job, wall: &Record) -> (Vec<LineLoad>, Vec<Uuid>) {
    let mut lines = Vec::new();
    let mut ids = Vec::new();
    for upper in walls_on(job, wall.id) {
        let (of_upper, those) = line::along_wall(job, upper);
        lines.extend(of_upper);
        ids.extend(those);
    }
    let others = job.all(Kind::Run).filter(|run| {
        bears_on(run, wall.id) && side_of_run(wall, run).is_none() && !run.says("piece", "stud")
    });
    for run in others {
        lines.extend(line::along_of_run(job, run));
        ids.push(run.id);
    }
    lines.extend(line::untold_while_it_stands(job, wall));
    (lines, ids)
}

/// The girder or beam below as it is loaded while a shore stands on it: both sides' lines over the whole of it, and
/// nothing of what the shore holds up besides. `None` where what is below isn't a bending member.
pub(crate) fn under_shore(job: &Job, shore: &Record, below: &Record) -> Option<Member> {
    if below.kind == Kind::Wall {
        let next = below.to("stands_on").and_then(|id| job.get(id))?;
        // A wall on itself is a slip of the record; it carries nothing.
        return (next.id != below.id && next.kind == Kind::Member)
            .then(|| under_shore(job, shore, next))
            .flatten();
    }
    if below.kind != Kind::Member
        || below.says_piece("pad")
        || matches!(
            below.text("direction"),
            Some("away" | "upright" | "sloping")
        )
    {
        return None;
    }
    let wall = shore.to("wall").and_then(|id| job.get(id))?;
    let sides = shore_sides(job, shore);
    let (_, mut held) = above_of(job, wall);
    held.extend(sides.iter().map(|side| side.run.id));
    let follow = Follow {
        without: &held,
        ..Follow::all()
    };
    let mut member = of(job, below, follow);
    let name = shore.name();
    if sides.is_empty() {
        let what = format!("{name}: the joists that it holds up");
        member.line_loads.push(LineLoad::unknown(what));
    }
    // What stands on the wall comes down once, by the side that brings the more of it.
    let longest = sides
        .iter()
        .enumerate()
        .max_by_key(|(_, side)| side.above.iter().map(|one| one.load).max())
        .map(|(n, _)| n);
    let lines = sides.iter().enumerate().flat_map(|(n, side)| {
        let above = side.above.iter().filter(move |_| Some(n) == longest);
        side.joists.iter().chain(above)
    });
    member.line_loads.extend(lines.map(|load| LineLoad {
        what: format!("{name}: {}", load.what),
        ..load.clone()
    }));
    Some(member)
}

/// On which side of a wall a run lies: by the room under it.
fn side_of_run(wall: &Record, run: &Record) -> Option<&'static str> {
    let room: Uuid = run.to("room")?;
    if wall.to("room_a") == Some(room) {
        Some("a")
    } else if wall.to("room_b") == Some(room) {
        Some("b")
    } else {
        None
    }
}

/// From the joists' cut end to the shore: off the wall's face, and half the wall's thickness.
fn off(job: &Job, wall: &Record) -> Measurement {
    let face = off_face(job);
    let thickness = greatest(job, wall, 0, What::Thickness);
    let what = format!("half the thickness of {}", wall.name());
    joined(what, &[&thickness], |one| face + one[0].half_down())
}

fn off_face(job: &Job) -> Length {
    let own = job.record().and_then(|job| job.length("shore_off"));
    own.unwrap_or(SHORE_OFF)
}

/// The distance of the joists under a shore, else the usual one.
pub(crate) fn spacing_of(run: &Record) -> Length {
    run.length("spacing").unwrap_or(SPACING)
}
