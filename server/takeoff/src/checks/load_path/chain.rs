//! The load path as a chain, roof at the top and ground at the bottom: one for each new beam, a column for each post.
//!
//! Plain data for drawings, pages and files. Source: the links of the record (`links`).

use uuid::Uuid;

use super::links::{
    How, On, Straight, beside, carriers, changes, comes_out, posts_under, straight_below, supports,
    unplaced,
};
use super::members::{struts_on, walls_on};
use crate::record::{Job, Kind, Record};

/// How a link of the chain is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum State {
    /// It is recorded.
    Recorded,
    /// It follows from where things lie.
    Inferred,
    /// Nobody has said.
    NotKnown,
    /// It is missing.
    Missing,
}

impl State {
    /// In words.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Recorded => "on record",
            Self::Inferred => "by where it lies",
            Self::NotKnown => "not known",
            Self::Missing => "missing",
        }
    }
}

/// One link of the chain.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Step {
    /// The thing, if it is one.
    pub of: Option<Uuid>,
    /// Its name; for a link that is missing or not known what is the matter.
    pub words: String,
    /// How it is known.
    pub state: State,
}

/// What comes down on one beam, and where to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Path {
    /// The beam.
    pub beam: Uuid,
    /// Its name.
    pub name: String,
    /// What stands on it, the roof first.
    pub above: Vec<Step>,
    /// From the beam to the ground, a column for each post.
    pub columns: Vec<Vec<Step>>,
}

impl Path {
    /// Every link.
    pub fn steps(&self) -> impl Iterator<Item = &Step> {
        self.above.iter().chain(self.columns.iter().flatten())
    }
}

/// The chains of every beam that a change sets.
pub fn paths(job: &Job) -> Vec<Path> {
    changes(job, Kind::SetBeam)
        .map(|beam| path_of(job, beam))
        .collect()
}

/// The chain of one beam.
pub fn path_of(job: &Job, beam: &Record) -> Path {
    let mut columns: Vec<Vec<Step>> = posts_under(job, beam.id)
        .into_iter()
        .map(|post| down(job, post))
        .collect();
    for on in supports(job, beam) {
        if let On::NotKnown(what) = on {
            columns.push(vec![step(None, what, State::NotKnown)]);
        }
    }
    Path {
        beam: beam.id,
        name: beam.name().to_owned(),
        above: above(job, beam),
        columns,
    }
}

fn step(of: Option<Uuid>, words: impl Into<String>, state: State) -> Step {
    Step {
        of,
        words: words.into(),
        state,
    }
}

fn named(job: &Job, id: Uuid, state: State) -> Step {
    step(Some(id), job.name(id), state)
}

/// The roof that struts bring, then the joists.
fn above(job: &Job, beam: &Record) -> Vec<Step> {
    let mut all = Vec::new();
    for struts in struts_on(job, beam.id) {
        for (field, lacking) in [
            ("rafters", "the rafters on its purlin"),
            ("purlin", "the purlin that they carry"),
        ] {
            match struts.to(field) {
                Some(id) => all.push(named(job, id, State::Recorded)),
                None => all.push(step(
                    None,
                    format!("{lacking}, {}", struts.name()),
                    State::NotKnown,
                )),
            }
        }
        all.push(named(job, struts.id, State::Recorded));
    }
    // What stood on the wall that comes out for this beam, and that nothing catches.
    if let Some(wall) = beam.to("wall").filter(|wall| comes_out(job, *wall)) {
        all.extend(
            on_the_wall(job, wall)
                .into_iter()
                .filter(|step| step.state == State::Missing),
        );
    }
    for wall in job.all(Kind::Wall) {
        if bears_on_beam(job, wall, beam) {
            all.push(named(job, wall.id, State::Inferred));
        }
    }
    for piece in beside(job, beam) {
        if bears_on_beam(job, piece, beam) {
            all.push(named(job, piece.id, State::Recorded));
        }
    }
    all
}

fn bears_on_beam(job: &Job, thing: &Record, beam: &Record) -> bool {
    supports(job, thing)
        .iter()
        .any(|on| matches!(on, On::Thing(id, _) if *id == beam.id))
}

/// What bears or stands on a wall that comes out, each with what catches it.
pub(crate) fn on_the_wall(job: &Job, wall: Uuid) -> Vec<Step> {
    let mut all = Vec::new();
    for piece in job.bearing_on(wall) {
        let caught = supports(job, piece);
        let missing = caught.iter().find_map(|on| match on {
            On::Nothing(why) => Some(why.clone()),
            _ => None,
        });
        match (missing, unplaced(job, piece)) {
            (Some(why), _) => all.push(step(Some(piece.id), why, State::Missing)),
            (None, Some(what)) => all.push(step(Some(piece.id), what, State::NotKnown)),
            (None, None) => all.push(named(job, piece.id, State::Recorded)),
        }
    }
    for upper in walls_on(job, wall) {
        match supports(job, upper).into_iter().next() {
            Some(On::Nothing(why)) => all.push(step(Some(upper.id), why, State::Missing)),
            Some(On::Thing(_, How::Inferred)) => all.push(named(job, upper.id, State::Inferred)),
            _ => all.push(named(job, upper.id, State::Recorded)),
        }
    }
    for struts in changes(job, Kind::Struts).filter(|one| one.to("lands_on") == Some(wall)) {
        match supports(job, struts).into_iter().next() {
            Some(On::Nothing(why)) => all.push(step(Some(struts.id), why, State::Missing)),
            _ => all.push(named(job, struts.id, State::Recorded)),
        }
    }
    let lands = |post: &&Record| carriers(job, post).iter().any(|(on, _)| on.id == wall);
    for post in changes(job, Kind::SetPost).filter(lands) {
        let gap = supports(job, post).into_iter().find_map(|on| match on {
            On::Nothing(why) => Some(why),
            _ => None,
        });
        match gap {
            Some(why) => all.push(step(Some(post.id), why, State::Missing)),
            None => all.push(named(job, post.id, State::Recorded)),
        }
    }
    all
}

/// What carries a thing, down to the ground; of a new beam its posts' columns, and what stands on its wall that no change
/// catches.
pub(crate) fn path_below(job: &Job, thing: &Record) -> Vec<Step> {
    let mut all = Vec::new();
    lower(job, thing, &mut all, &mut Vec::new());
    all
}

fn lower(job: &Job, thing: &Record, all: &mut Vec<Step>, seen: &mut Vec<Uuid>) {
    if seen.contains(&thing.id) {
        return;
    }
    seen.push(thing.id);
    match thing.kind {
        Kind::SetBeam => {
            let path = path_of(job, thing);
            let gaps = path.above.into_iter();
            let gaps = gaps.filter(|step| step.state == State::Missing);
            for step in gaps.chain(path.columns.into_iter().flatten()) {
                add(all, step);
            }
        }
        Kind::SetPost => {
            for step in down(job, thing) {
                add(all, step);
            }
        }
        _ => {
            for on in supports(job, thing) {
                match on {
                    On::Ground(words) => add(all, step(None, words, State::Recorded)),
                    On::NotKnown(what) => add(all, step(None, what, State::NotKnown)),
                    On::Nothing(why) => add(all, step(None, why, State::Missing)),
                    On::Thing(id, how) => {
                        let state = match how {
                            How::Recorded => State::Recorded,
                            How::Inferred => State::Inferred,
                        };
                        add(all, named(job, id, state));
                        if let Some(next) = job.get(id) {
                            lower(job, next, all, seen);
                        }
                    }
                }
            }
        }
    }
}

fn add(all: &mut Vec<Step>, step: Step) {
    if !all.contains(&step) {
        all.push(step);
    }
}

/// From a post down to the ground.
fn down(job: &Job, post: &Record) -> Vec<Step> {
    let mut all = vec![named(job, post.id, State::Recorded)];
    follow(job, post, &mut all, &mut vec![post.id]);
    all
}

fn follow(job: &Job, post: &Record, all: &mut Vec<Step>, seen: &mut Vec<Uuid>) {
    for on in supports(job, post) {
        match on {
            On::Ground(words) => all.push(step(None, words, State::Recorded)),
            On::NotKnown(what) => all.push(step(None, what, State::NotKnown)),
            On::Nothing(why) => all.push(step(None, why, State::Missing)),
            On::Thing(id, how) => {
                let state = match how {
                    How::Recorded => State::Recorded,
                    How::Inferred => State::Inferred,
                };
                all.push(named(job, id, state));
                if let Some(carrier) = job.get(id) {
                    below(job, post, carrier, all, seen);
                }
            }
        }
    }
}

/// Below what carries a post: the post straight under it, else what its ends bear on.
fn below(job: &Job, post: &Record, carrier: &Record, all: &mut Vec<Step>, seen: &mut Vec<Uuid>) {
    if seen.contains(&carrier.id) {
        all.push(step(
            None,
            format!("{} bears on itself", carrier.name()),
            State::Missing,
        ));
        return;
    }
    seen.push(carrier.id);
    let straight = match straight_below(job, post, carrier) {
        Straight::Solid(name) => Some(name),
        Straight::Nothing | Straight::NotKnown => None,
    };
    let under = posts_under(job, carrier.id)
        .into_iter()
        .find(|other| straight.as_deref() == Some(other.name()));
    if let Some(next) = under {
        all.push(named(job, next.id, State::Recorded));
        seen.push(next.id);
        follow(job, next, all, seen);
        return;
    }
    let mut ends: Vec<On> = supports(job, carrier);
    ends.dedup();
    for on in ends {
        match on {
            On::Ground(words) => {
                let here = format!("{words}, under {}", carrier.name());
                if !all.iter().any(|step| step.words == here) {
                    all.push(step(None, here, State::Recorded));
                }
            }
            On::NotKnown(what) => all.push(step(None, what, State::NotKnown)),
            On::Nothing(why) => all.push(step(None, why, State::Missing)),
            On::Thing(id, _) if all.iter().any(|step| step.of == Some(id)) => {}
            On::Thing(id, how) => {
                let state = match how {
                    How::Recorded => State::Recorded,
                    How::Inferred => State::Inferred,
                };
                all.push(named(job, id, state));
                match job.get(id) {
                    Some(next) if next.kind == Kind::SetPost && seen.contains(&next.id) => {}
                    Some(next) if next.kind == Kind::SetPost => {
                        seen.push(next.id);
                        follow(job, next, all, seen);
                    }
                    Some(next) => below(job, post, next, all, seen),
                    None => {}
                }
            }
        }
    }
}
