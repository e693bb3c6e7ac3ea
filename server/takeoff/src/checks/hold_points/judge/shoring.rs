//! Shoring: what it stands on, whether it stands where a cut needs it, and when it may come down.

use super::{About, Asked, Fix, Found, in_words, measured, of_word, said, says, word};
use crate::checks::hold_points::effect::{Effect, shores_on_floor};
use crate::checks::hold_points::line::{carried_by, stands, walls_of};
use crate::checks::load_path::links;
use crate::checks::on_record::heights::{self, HeightAt};
use crate::checks::{CheckKind, Verdict, on_record};
use crate::needs::{self, Fill};
use crate::record::{Job, Kind, Record, What};

const SHORE_FIELDS: [&str; 18] = [
    "ground",
    "over",
    "over_away",
    "floor_joists",
    "planked",
    "wall",
    "sides",
    "from",
    "to",
    "fit",
    "stands_on",
    "below",
    "below_word",
    "one_side_word",
    "planks_a_side",
    "plank",
    "stud",
    "spacing",
];

impl Asked<'_> {
    /// What carries the shore: recorded, on every storey down, without a stop of its own takeoff, nor of its studs and
    /// plates.
    pub(super) fn carries_shore(&self) -> Found {
        if self.change.text("stands_on").is_none() {
            return Found::no("what it stands on is not recorded", self.field("stands_on"));
        }
        let takeoff = needs::of_change(self.job, self.change);
        let below = takeoff.missing.iter().find(|missing| {
            matches!(
                &missing.fill,
                Fill::Field {
                    field: "below" | "storey" | "stands_on",
                    ..
                }
            )
        });
        if let Some(missing) = below {
            return Found::no(
                format!("not recorded: {}", missing.text),
                Fix::Fill(missing.fill.clone()),
            );
        }
        let mut facts = vec![said(self.job, self.change, &SHORE_FIELDS)];
        let asks = match self.not_cleared(self.change, CheckKind::ShoreFooting) {
            Some((Verdict::Stop, stop)) => {
                return Found::no(stop, self.field("stands_on")).on(facts);
            }
            Some((_, what)) => Some(what),
            None => self.studs_stop(),
        };
        // What can't be told from the record, or studs that don't pass a rough screen, the engineer can say, of this very
        // shore.
        match (asks, self.engineer_says(self.change)) {
            (None, _) => Found::yes("recorded down to the ground").on(facts),
            (Some(_), Some(word)) => {
                facts.push(of_word(word));
                Found::yes(format!("by the engineer’s word, {}", in_words(word))).on(facts)
            }
            (Some(what), None) => Found::no(
                format!("{what}, nor is the engineer’s word on record"),
                Fix::Paper(About::Engineer, self.change.id),
            )
            .on(facts),
        }
    }

    /// What the screens of the shore's own studs and plates say where one says stop.
    fn studs_stop(&self) -> Option<String> {
        let all = on_record::shore_screens(self.job, self.change);
        let stop = all.into_iter().find(|one| one.verdict == Verdict::Stop)?;
        Some(says(stop.verdict, &stop.sentence, &stop.measure))
    }

    /// No floor that it stands on is open.
    pub(super) fn floor_closed(&self) -> Found {
        let below = self.change.all_to("below");
        let open = self.job.all(Kind::PatchFloor).find(|patch| {
            let room = patch
                .to("run")
                .and_then(|run| self.job.get(run))
                .and_then(|run| run.to("room"));
            patch.state == "under_way"
                && !self.change.says("stands_on", "ground")
                && (below.is_empty() || room.is_none_or(|room| below.contains(&room)))
        });
        match open {
            Some(patch) => Found::no(format!("{} is open", patch.name()), Fix::Finish(patch.id)),
            None => Found::yes("none is open"),
        }
    }

    /// No shore stands on the floor that is opened.
    pub(super) fn under_shore(&self) -> Found {
        match shores_on_floor(self.job, self.change).first() {
            Some(shore) => Found::no(
                format!("{} stands on it", shore.name()),
                Fix::Strike(shore.id),
            ),
            None => Found::yes("none does"),
        }
    }

    /// A shore stands along every wall of the line, beside a sister the one that it names: on both sides, or on one by
    /// somebody's word; and no height beside it says that the ceiling moved.
    pub(super) fn shoring(&self) -> Found {
        if self.change.kind == Kind::Sister {
            return self.shored_by();
        }
        if self.line.walls.is_empty() {
            let fix = Fix::Fill(Fill::Thing(Kind::Wall));
            return Found::no("the wall that they bear on is not recorded", fix);
        }
        let mut facts = Vec::new();
        for wall in &self.line.walls {
            let of_wall = |one: &&&Record| one.to("wall") == Some(*wall);
            let here: Vec<&Record> = self.line.shores.iter().filter(of_wall).copied().collect();
            let name = self.job.name(*wall);
            let none = Found::no(
                format!("no shore stands along {name}"),
                Fix::PlanShore(*wall),
            );
            match self.one_stands(&here, none) {
                Ok(more) => facts.extend(more),
                Err(lacks) => return *lacks,
            }
        }
        Found::yes("marked done, and not struck").on(facts)
    }

    /// The shore that a sister names stands, along a wall that the old framing bears on, else by the engineer's word.
    fn shored_by(&self) -> Found {
        let named = carried_by(self.change);
        let shores = &self.line.shores;
        let Some(shore) = shores.iter().find(|shore| Some(shore.id) == named) else {
            let mut all = self.job.all(Kind::Shore);
            let is_left = |shore: &Record| shore.state != "dropped" && !shore.says("struck", "yes");
            let fix = if all.any(is_left) {
                self.field("shored_by")
            } else {
                Fix::Fill(Fill::Thing(Kind::Shore))
            };
            return Found::no("which shore carries it meanwhile is not recorded", fix);
        };
        let name = shore.name();
        let struck = Found::no(format!("{name} is struck"), self.field("shored_by"));
        let mut facts = match self.one_stands(&[*shore], struck) {
            Ok(facts) => facts,
            Err(lacks) => return *lacks,
        };
        let member = self.change.to("member").and_then(|id| self.job.get(id));
        let wall = shore.to("wall");
        let bears = member
            .zip(wall)
            .is_some_and(|(member, wall)| links::bears_on(member, wall));
        facts.extend(member.map(|one| said(self.job, one, &["start_at", "end_at"])));
        if bears {
            return Found::yes(format!("{name} stands")).on(facts);
        }
        if let Some(word) = self.engineer_says(self.change) {
            facts.push(of_word(word));
            let by = in_words(word);
            return Found::yes(format!("{name} stands, by the engineer’s word, {by}")).on(facts);
        }
        let member = member.map_or("what it is set beside", Record::name);
        let wall = wall.map_or("its wall", |wall| self.job.name(wall));
        let why = format!(
            "{name} is along {wall}, and {member} isn’t recorded to bear on that; nor is the engineer’s word on this sister on record"
        );
        Found::no(why, Fix::Paper(About::Engineer, self.change.id)).on(facts)
    }

    /// The engineer's word on this very change, where it is in hand.
    fn engineer_says(&self, change: &Record) -> Option<&Record> {
        word(self.job, About::Engineer, &[change.id]).filter(|word| word.says("says", "in_hand"))
    }

    /// That one of these shores stands, as facts; else what lacks, `none` where none is left to stand.
    fn one_stands(&self, shores: &[&Record], none: Found) -> Result<Vec<String>, Box<Found>> {
        let Some(shore) = shores.iter().find(|shore| stands(shore)) else {
            let planned = shores.iter().find(|shore| shore.state != "done");
            let lacks = planned.map_or(none, |shore| {
                let why = format!("{} does not stand yet", shore.name());
                Found::no(why, Fix::Finish(shore.id))
            });
            return Err(Box::new(lacks));
        };
        let both = matches!(shore.text("sides"), Some("both") | None);
        if !both && shore.text("one_side_word").is_none() {
            let fix = Fix::Fill(Fill::Field {
                of: shore.id,
                field: "one_side_word",
            });
            let why = format!("{} stands on one side alone", shore.name());
            return Err(Box::new(Found::no(why, fix)));
        }
        for shore in shores.iter().filter(|shore| stands(shore)) {
            if let Some(moved) = moved(self.job, shore) {
                return Err(Box::new(moved));
            }
        }
        let mut facts = vec![said(self.job, shore, &SHORE_FIELDS)];
        let cut_by = self
            .job
            .measured_of(shore.id)
            .filter(|(spot, _)| spot.what == What::BetweenPlates)
            .map(|(spot, _)| measured(self.job, spot));
        facts.extend(cut_by);
        Ok(facts)
    }

    /// Heights under load against those before, at points 1 to 3 of each side of every shore that stands: within 1/8 in.
    pub(super) fn heights_under_load(&self) -> Found {
        let mut read = 0;
        for shore in self.line.standing() {
            if let Some(moved) = moved(self.job, shore) {
                return moved;
            }
            let points = heights::points(self.job, shore, What::UnderLoad);
            if let Some(spot) = points.iter().find_map(HeightAt::lacks) {
                let why = if spot.what == What::CeilingHeight {
                    // Once it stands, the height to go by is that of now.
                    format!(
                        "no height to go by at {}: {spot}, as it stands now",
                        self.job.name(spot.of)
                    )
                } else {
                    format!("not read again yet at {}: {spot}", shore.name())
                };
                return Found::no(why, Fix::Fill(Fill::Reading(spot.clone())));
            }
            read += points.len();
        }
        match read {
            0 => Found::yes("no shore stands in its line"),
            n => Found::yes(format!("moved 1/8 in at most at {n} points")),
        }
    }

    /// Heights after striking, at every point: lower by no more than the beam was screened to sag and 1/8 in.
    pub(super) fn heights_after(&self) -> Found {
        for shore in &self.line.shores {
            if stands(shore) {
                return Found::no(
                    format!("{} still stands", shore.name()),
                    Fix::Strike(shore.id),
                );
            }
            if !shore.says("struck", "yes") {
                continue;
            }
            let found = heights::of_shore_after_striking(self.job, shore);
            if found.verdict < Verdict::CantTellYet {
                continue;
            }
            let points = heights::points(self.job, shore, What::AfterStriking);
            let spot = points
                .iter()
                .find_map(HeightAt::lacks)
                .or_else(|| points.first().map(|point| &point.now));
            let says = says(found.verdict, &found.sentence, &found.measure);
            return Found {
                stands: false,
                why: format!("where {} stood: {says}", shore.name()),
                facts: Vec::new(),
                fix: spot.map(|spot| Fix::Fill(Fill::Reading(spot.clone()))),
            };
        }
        Found::yes("read, or no shore stood here")
    }

    /// Nothing of the line is open.
    pub(super) fn nothing_leans(&self) -> Found {
        let cuts = [Kind::TakeOut, Kind::Plate, Kind::Studs, Kind::Sister]
            .into_iter()
            .flat_map(|kind| self.job.all(kind))
            .filter(|one| {
                let is_beside = matches!(one.kind, Kind::Studs | Kind::Sister);
                !is_beside || Effect::CutsCarrying.is_of(self.job, one)
            })
            .filter(|one| {
                let walls = walls_of(self.job, one);
                let is_here = walls.iter().any(|wall| self.line.walls.contains(wall));
                is_here || carried_by(one) == Some(self.change.id)
            });
        let hangs = self.line.hangs.iter().copied();
        let mut open = cuts.chain(hangs).filter(|one| one.state == "under_way");
        match open.next() {
            Some(one) => Found::no(format!("{} is under way", one.name()), Fix::Finish(one.id)),
            None => Found::yes("nothing of this line is under way"),
        }
    }

    /// No shore stands on a higher storey that names a room of this one's wall as below.
    pub(super) fn top_down(&self) -> Found {
        let Some(own) = self
            .line
            .walls
            .first()
            .and_then(|wall| level(self.job, *wall))
        else {
            return Found::yes("its storey is not recorded: by the tick below");
        };
        let above: Vec<&Record> = self
            .job
            .all(Kind::Shore)
            .filter(|shore| stands(shore) && shore.id != self.change.id)
            .filter(|shore| {
                let wall = shore.to("wall").and_then(|wall| level(self.job, wall));
                wall.is_some_and(|level| level > own)
            })
            .collect();
        match above.first() {
            Some(shore) => Found::no(
                format!("{} stands above it", shore.name()),
                Fix::Strike(shore.id),
            ),
            None => Found::yes("none stands above it"),
        }
    }
}

/// The level that a wall stands on: of its two rooms, the higher.
fn level(job: &Job, wall: uuid::Uuid) -> Option<i64> {
    let wall = job.get(wall)?;
    let of_room = |side| {
        job.get(job.get(wall.to(side)?)?.to("storey")?)?
            .number("level")
    };
    ["room_a", "room_b"].into_iter().filter_map(of_room).max()
}

/// That the ceiling beside a shore moved by more than 1/8 in under load, where one of its heights says so.
fn moved(job: &Job, shore: &Record) -> Option<Found> {
    let points = heights::points(job, shore, What::UnderLoad);
    let point = points.iter().find(|point| point.moved_under_load())?;
    let found = heights::of_shore_under_load(job, shore);
    let says = says(found.verdict, &found.sentence, &found.measure);
    Some(Found::no(
        format!("{}: {says}", shore.name()),
        Fix::Fill(Fill::Reading(point.now.clone())),
    ))
}
