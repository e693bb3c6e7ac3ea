//! The line of a change: the wall that it is about, and what else is planned there. Gates look along it.

use uuid::Uuid;

use crate::record::{Job, Kind, Record};

/// What is planned along the walls of a change, dropped ones left out; each list by name.
#[derive(Clone, Debug)]
pub(super) struct Line<'a> {
    /// The walls.
    pub(super) walls: Vec<Uuid>,
    /// Shores of these walls, and the one that a change names.
    pub(super) shores: Vec<&'a Record>,
    /// Beams in their line; for what hangs on or stands under a beam, that beam.
    pub(super) beams: Vec<&'a Record>,
    /// Posts under these beams.
    pub(super) posts: Vec<&'a Record>,
    /// Joists hung on these beams.
    pub(super) hangs: Vec<&'a Record>,
    /// Packing under these posts.
    pub(super) packs: Vec<&'a Record>,
    /// Struts that stand on these walls, and those of which nobody said where they stand.
    pub(super) struts: Vec<&'a Record>,
}

impl<'a> Line<'a> {
    /// The line of a change.
    pub(super) fn of(job: &'a Job, change: &Record) -> Self {
        let walls = walls_of(job, change);
        let all = |kind: Kind| {
            job.all(kind)
                .filter(|one| one.state != "dropped")
                .collect::<Vec<&Record>>()
        };
        let on_line = |one: &&Record| one.to("wall").is_some_and(|wall| walls.contains(&wall));
        let named = beam_of(job, change);
        let beams: Vec<&Record> = all(Kind::SetBeam)
            .into_iter()
            .filter(|beam| on_line(beam) || named == Some(beam.id))
            .collect();
        let is_beam = |id: Option<Uuid>| id.is_some_and(|id| beams.iter().any(|b| b.id == id));
        let posts: Vec<&Record> = all(Kind::SetPost)
            .into_iter()
            .filter(|post| is_beam(post.to("under")))
            .collect();
        let is_post = |id: Option<Uuid>| id.is_some_and(|id| posts.iter().any(|p| p.id == id));
        Self {
            shores: all(Kind::Shore)
                .into_iter()
                .filter(|shore| on_line(shore) || carried_by(change) == Some(shore.id))
                .collect(),
            hangs: all(Kind::HangJoists)
                .into_iter()
                .filter(|hang| is_beam(hang.to("beam")) || hang.id == change.id)
                .collect(),
            packs: all(Kind::Pack)
                .into_iter()
                .filter(|pack| is_post(pack.to("landing")))
                .collect(),
            struts: all(Kind::Struts)
                .into_iter()
                .filter(|one| one.to("wall").is_none() || stand_on(one, &walls))
                .collect(),
            beams,
            posts,
            walls,
        }
    }

    /// Shores of it that stand.
    pub(super) fn standing(&self) -> impl Iterator<Item = &'a Record> {
        self.shores.iter().copied().filter(|shore| stands(shore))
    }
}

/// Whether struts are recorded to stand on one of these walls, by either of their fields.
pub(super) fn stand_on(struts: &Record, walls: &[Uuid]) -> bool {
    let on = [struts.to("wall"), struts.to("lands_on")];
    on.into_iter().flatten().any(|on| walls.contains(&on))
}

/// Whether a shore stands: it was marked done and is not struck.
pub fn stands(shore: &Record) -> bool {
    shore.kind == Kind::Shore && shore.state == "done" && !shore.says("struck", "yes")
}

/// The shore that a change names as carrying what it cuts.
pub(super) fn carried_by(change: &Record) -> Option<Uuid> {
    (change.kind == Kind::Sister)
        .then(|| change.to("shored_by"))
        .flatten()
}

/// The beam that a change is about, where it names one.
fn beam_of(job: &Job, change: &Record) -> Option<Uuid> {
    match change.kind {
        Kind::SetBeam => Some(change.id),
        Kind::SetPost => change.to("under"),
        Kind::HangJoists => change.to("beam"),
        Kind::Pack => job.get(change.to("landing")?)?.to("under"),
        _ => None,
    }
}

/// The walls that a change is about: the one that it names; else its beam's; for joists and sheet goods without either,
/// those that the joists bear on. Each once.
pub(super) fn walls_of(job: &Job, change: &Record) -> Vec<Uuid> {
    let own = match change.kind {
        Kind::SetPost | Kind::HangJoists | Kind::Pack => beam_of(job, change)
            .and_then(|beam| job.get(beam))
            .and_then(|beam| beam.to("wall")),
        Kind::Sister | Kind::PatchFloor | Kind::Sundry => None,
        _ => change.to("wall"),
    };
    let mut walls: Vec<Uuid> = own.into_iter().collect();
    if walls.is_empty() && change.kind == Kind::HangJoists {
        walls = bearing_walls(job, &change.all_to("runs"));
    }
    if change.kind == Kind::Board
        && let Some(run) = change.to("run")
    {
        for hang in hung_runs(job, run) {
            walls.extend(walls_of(job, hang));
        }
    }
    walls.retain(|wall| job.get(*wall).is_some_and(|one| one.kind == Kind::Wall));
    walls.sort_unstable();
    walls.dedup();
    walls
}

/// Changes that hang a run, dropped ones left out.
pub(super) fn hung_runs(job: &Job, run: Uuid) -> impl Iterator<Item = &Record> {
    job.all(Kind::HangJoists)
        .filter(move |hang| hang.state != "dropped" && hang.all_to("runs").contains(&run))
}

/// The walls that joists bear on.
fn bearing_walls(job: &Job, joists: &[Uuid]) -> Vec<Uuid> {
    joists
        .iter()
        .filter_map(|id| job.get(*id))
        .flat_map(|one| [one.to("start_at"), one.to("end_at")])
        .flatten()
        .collect()
}
