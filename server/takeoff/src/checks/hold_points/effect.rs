//! What a change does to the house: gates go by that, not by what the change is called.
//!
//! What isn't known counts as carrying. Source: common practice, no published source.

use uuid::Uuid;

use super::line::{hung_runs, stands, walls_of};
use super::papers::{About, word};
use crate::record::{Job, Kind, Record};

/// An effect that a row of the table asks for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// Whatever it does.
    Always,
    /// It breaks plaster, tile, texture, fill.
    BreaksFinish,
    /// It cuts, removes or unloads what carries, or isn't known not to.
    CutsCarrying,
    /// It opens a floor that a shore stands on.
    OpensUnderShore,
    /// It covers hangers, posts or a beam.
    CoversConnections,
}

impl Effect {
    /// Whether a change has it.
    pub(super) fn is_of(self, job: &Job, change: &Record) -> bool {
        match self {
            Self::Always => true,
            Self::BreaksFinish => breaks_finish(job, change),
            Self::CutsCarrying => cuts_carrying(job, change),
            Self::OpensUnderShore => !shores_on_floor(job, change).is_empty(),
            Self::CoversConnections => !covered(job, change).is_empty(),
        }
    }
}

/// Why a wall counts as carrying; none where the lead's word says that it carries nothing, and nothing in the record
/// bears on it.
pub fn why_it_carries(job: &Job, wall: &Record) -> Option<String> {
    if let Some(on) = bears_on(job, wall.id).first() {
        return Some(format!("{} bears on it", on.name()));
    }
    match wall.text("bearing") {
        Some("yes") => Some(
            wall.text("bearing_why")
                .unwrap_or("recorded as carrying")
                .to_owned(),
        ),
        Some("no") if word(job, About::NotBearing, &[wall.id]).is_some() => None,
        Some("no") => Some("nobody’s word that it carries nothing is on record".to_owned()),
        _ => Some("not known, so it counts as carrying".to_owned()),
    }
}

/// What bears on a wall, by the support links of the record: framing, struts, walls, posts and shores that aren't struck.
pub(super) fn bears_on(job: &Job, on: Uuid) -> Vec<&Record> {
    let is_on = |one: &&Record| match one.kind {
        Kind::Struts => [one.to("lands_on"), one.to("wall")].contains(&Some(on)),
        Kind::Wall => one.to("stands_on") == Some(on),
        Kind::SetPost => one.all_to("lands_on").contains(&on),
        Kind::Shore => one.to("over") == Some(on) && !one.says("struck", "yes"),
        _ => false,
    };
    let others = [Kind::Wall, Kind::Struts, Kind::SetPost, Kind::Shore];
    let others = others.into_iter().flat_map(|kind| job.all(kind));
    job.bearing_on(on)
        .chain(others.filter(|one| one.state != "dropped" && is_on(one)))
        .collect()
}

/// Walls that are cut: of a change without one, nothing is known. Studs and sisters are set beside old framing: unless
/// somebody said that none of it is cut, comes out or is relieved, that isn't known either.
fn cuts_carrying(job: &Job, change: &Record) -> bool {
    let wall_carries = || {
        change
            .to("wall")
            .and_then(|wall| job.get(wall))
            .is_none_or(|wall| why_it_carries(job, wall).is_some())
    };
    match change.kind {
        Kind::TakeOut | Kind::Plate => wall_carries(),
        Kind::Studs => !change.says("cuts_old", "no") && wall_carries(),
        // Joists and struts carry, whoever says what.
        Kind::HangJoists | Kind::Struts => true,
        Kind::Sister => !change.says("cuts_old", "no"),
        _ => false,
    }
}

/// Whether finish is broken. A wall side without layers that isn't called bare isn't known.
fn breaks_finish(job: &Job, change: &Record) -> bool {
    match change.kind {
        Kind::TakeOut | Kind::Plate => change
            .to("wall")
            .and_then(|wall| job.get(wall))
            .is_none_or(|wall| !is_bare(job, wall)),
        Kind::Studs => change
            .to("wall")
            .is_some_and(|wall| has_layers(job, wall, "side_a") || has_layers(job, wall, "side_b")),
        Kind::SetPost => matches!(change.text("lands"), Some("through" | "passes")),
        Kind::HangJoists | Kind::PatchFloor => true,
        _ => false,
    }
}

fn has_layers(job: &Job, wall: Uuid, side: &str) -> bool {
    job.all(Kind::Layer)
        .any(|layer| layer.to("of") == Some(wall) && layer.says("on", side))
}

/// Whether both sides of a wall are called bare, and no layer says otherwise.
fn is_bare(job: &Job, wall: &Record) -> bool {
    let bare = wall.texts("bare");
    [("a", "side_a"), ("b", "side_b")]
        .into_iter()
        .all(|(side, on)| bare.contains(&side) && !has_layers(job, wall.id, on))
}

/// Shores that stand on the floor that a change opens: those that stand on a floor and don't name their rooms below, or
/// name the room of its joists.
pub(super) fn shores_on_floor<'a>(job: &'a Job, change: &Record) -> Vec<&'a Record> {
    let room = change
        .to("run")
        .and_then(|run| job.get(run))
        .and_then(|run| run.to("room"));
    job.all(Kind::Shore)
        .filter(|shore| stands(shore) && !shore.says("stands_on", "ground"))
        .filter(|shore| {
            let below = shore.all_to("below");
            below.is_empty() || room.is_none_or(|room| below.contains(&room))
        })
        .collect()
}

/// Changes whose connections a board covers: what hangs its joists, and beams, posts and hangers of its wall.
pub(super) fn covered<'a>(job: &'a Job, change: &Record) -> Vec<&'a Record> {
    if change.kind != Kind::Board {
        return Vec::new();
    }
    let mut all: Vec<&Record> = change
        .to("run")
        .into_iter()
        .flat_map(|run| hung_runs(job, run))
        .collect();
    if let Some(wall) = change.to("wall") {
        let beams = [Kind::SetBeam, Kind::SetPost, Kind::HangJoists];
        all.extend(
            beams
                .into_iter()
                .flat_map(|kind| job.all(kind))
                .filter(|one| one.state != "dropped" && walls_of(job, one).contains(&wall)),
        );
    }
    all.sort_by_key(|one| one.id);
    all.dedup_by_key(|one| one.id);
    all
}
