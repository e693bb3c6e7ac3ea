//! The storeys below on which it is shored again: which rooms count together, and which storeys are still asked for.
//!
//! Rooms named that lie on storeys of one level are one shore; a room without a storey is one by itself. Where the wall's
//! own storey is known (of its two rooms, the higher), each recorded level below it without a room named is asked for by
//! its storey's name, unless somebody's word is recorded that none stands there: that is said. Where it isn't known, a
//! room is asked for only while none is named. Whether a floor carries the shore is a check, not here.
//!
//! Source: common practice, no published source.

use std::collections::BTreeSet;

use super::super::inputs::miss;
use super::super::{Fill, Finding, Takeoff, Verdict};
use crate::record::{Job, Kind, Record};

/// What waits for a room below.
const WAITS: &str = "Shoring below";

/// One storey on which it is shored again.
pub(super) struct Below<'a> {
    /// Which one down, from 1: the levels below the wall and those of the rooms named, from the top, then each room without
    /// a storey. A level without a room keeps its number, so that naming one later moves no other.
    pub(super) number: usize,
    /// The rooms named on it, by name; at least one.
    pub(super) rooms: Vec<&'a Record>,
}

/// The storeys below on which it is shored again, from the top down.
pub(super) fn storeys_below<'a>(
    job: &'a Job,
    change: &Record,
    wall: &Record,
    out: &mut Takeoff,
) -> Vec<Below<'a>> {
    if change.says("stands_on", "ground") {
        return Vec::new();
    }
    let named = change.all_to("below");
    let rooms: Vec<&Record> = job
        .all(Kind::Room)
        .filter(|room| named.contains(&room.id))
        .collect();
    let own = level_of_wall(job, wall);
    let mut levels: BTreeSet<i64> = rooms.iter().filter_map(|room| level(job, room)).collect();
    levels.extend(own.iter().flat_map(|own| {
        let storeys = job.all(Kind::Storey);
        storeys
            .filter_map(|storey| storey.number("level"))
            .filter(move |level| level < own)
    }));

    let (mut below, mut unnamed) = (Vec::new(), Vec::new());
    let (placed, loose): (Vec<&Record>, Vec<&Record>) = rooms
        .into_iter()
        .partition(|room| level(job, room).is_some());
    for (at, here) in levels.iter().rev().enumerate() {
        let mut rooms = placed.clone();
        rooms.retain(|room| level(job, room) == Some(*here));
        if rooms.is_empty() {
            unnamed.push(storeys_at(job, *here));
        } else {
            let number = at + 1;
            below.push(Below { number, rooms });
        }
    }
    below.extend(loose.iter().enumerate().map(|(at, room)| Below {
        number: levels.len() + at + 1,
        rooms: vec![*room],
    }));

    if !unnamed.is_empty() {
        ask_storeys(change, &unnamed, &loose, below.is_empty(), out);
    } else if below.is_empty() && (change.says("stands_on", "floor") || may_be_over(job, own)) {
        ask_any(change, out);
    }
    below
}

/// The level of a room's storey.
fn level(job: &Job, room: &Record) -> Option<i64> {
    job.get(room.to("storey")?)?.number("level")
}

/// The level that a wall stands on: of its two rooms, the higher.
fn level_of_wall(job: &Job, wall: &Record) -> Option<i64> {
    ["room_a", "room_b"]
        .into_iter()
        .filter_map(|side| level(job, job.get(wall.to(side)?)?))
        .max()
}

/// The storeys of a level in words: `Cellar`, `Cellar or Crawl space`.
fn storeys_at(job: &Job, level: i64) -> String {
    let names: Vec<&str> = job
        .all(Kind::Storey)
        .filter(|storey| storey.number("level") == Some(level))
        .map(Record::name)
        .collect();
    names.join(" or ")
}

/// Not knowing the wall's own storey: whether there are several.
fn may_be_over(job: &Job, own: Option<i64>) -> bool {
    own.is_none() && job.count(Kind::Storey) > 1
}

/// Asks for what stands on storeys without a room named. While a room named has no storey, that is asked for first: it
/// may be on one of them.
fn ask_storeys(
    change: &Record,
    unnamed: &[String],
    loose: &[&Record],
    none_named: bool,
    out: &mut Takeoff,
) {
    for room in loose {
        let text = format!("the storey of {}", room.name());
        let (of, field) = (room.id, "storey");
        miss(out, &text, WAITS, Fill::Field { of, field });
    }
    if !loose.is_empty() {
        return;
    }
    if let Some(word) = change.text("below_word") {
        say(&format!("below in {}", unnamed.join(", ")), word, out);
        return;
    }
    let or = if none_named && !change.says("stands_on", "floor") {
        "that it stands on the ground"
    } else {
        "who says that it isn’t"
    };
    for storey in unnamed {
        let text = format!("the room below in {storey}, where it is shored again, or {or}");
        ask(change, &text, out);
    }
}

/// Asks for a room below, whichever storey it is on.
fn ask_any(change: &Record, out: &mut Takeoff) {
    match change.text("below_word") {
        Some(word) => say("below", word, out),
        None => ask(
            change,
            "the room below, where it is shored again, or that it stands on the ground",
            out,
        ),
    }
}

fn ask(change: &Record, text: &str, out: &mut Takeoff) {
    let (of, field) = (change.id, "below");
    miss(out, text, WAITS, Fill::Field { of, field });
}

/// Says where it isn't shored again, and by whose word.
fn say(place: &str, word: &str, out: &mut Takeoff) {
    let end = if word.ends_with('.') { "" } else { "." };
    out.findings.push(Finding {
        verdict: Verdict::Said,
        text: format!("Not shored again {place}: {word}{end}"),
    });
}
