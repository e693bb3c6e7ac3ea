//! Shore (rule 1 of takeoff): studs, plates, braces, planks, wedges and screws, each side and each storey.
//!
//! - Run R of a side: from the opening − what goes beyond, to the opening + as much, each end at most to the side's own
//!   walls. Without a recorded place the opening is the whole wall, and the side's walls stand at its ends; where such an
//!   end cuts the run short, that is said.
//! - A stud is cut by its own reading between the shoring plates (of the change, by side and number from the zero end),
//!   else by the side's least such reading, else by the least agreed ceiling height less planks and plates; then by the
//!   fit. While another height of that side isn't agreed, such a length is to buy by, not to cut by. On a storey below,
//!   readings between the plates have the name of a room there as their place.
//! - One side alone needs the recorded word; without it that side is counted and the other waits for the word.
//! - Again on each storey below, once however many rooms of it are named: same sides, R, planks and sizes, the heights of
//!   all those rooms. `stands_on` ground: nothing below. See `below`.
//! - Plates and planks are jointed within the longest stick less the end trim; where it isn't known, they are one piece,
//!   and that is said.
//!
//! What carries the shore, and whether it is strong enough, are checks, not here.
//! Source: common practice, no published source; PS 20 for sizes (see `tables::ps20`).
//!
//! Example: R 147 1/4 in at 16: up(9.2) + 1 = 11 studs; 2 braces of 72 run: 6 × 11 + 2 × 2 × (4 + 1) = 86 screws a side.

mod below;
mod pieces;
mod run;
mod studs;

use super::heights::{Height, heights_at, heights_of, must_have_wall, side_words};
use super::inputs::{counted, fastener, longest_or_say, must_have, nominal, setting, stick_class};
use super::piece::{inches, size_of};
use super::{FastenerClass, StickClass, Takeoff, Treatment};
use crate::record::settings::{BRACE_RUN, BRACES_A_SIDE, SHORE_STUD, SHORE_TOP_PLIES, SPACING};
use crate::record::{Job, Record, Spot, What};
use crate::tables::ps20::{default_seasoning, dressed};
use crate::units::Length;
use run::{Run, run_of};

/// What a change that shores calls for.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let Some(wall) = must_have_wall(job, change, out) else {
        return;
    };
    let Some(shore) = Shore::read(job, change, wall, out) else {
        return;
    };
    let runs: Vec<(&str, Run)> = sides(change, out)
        .into_iter()
        .filter_map(|side| Some((side, run_of(&shore, side, out)?)))
        .collect();
    for (side, run) in &runs {
        let stand = Stand {
            prefix: String::new(),
            side,
            places: vec![String::new()],
            words: side_words(job, wall, side),
            at: Spot::of(wall.id, What::CeilingHeight).side(side),
            heights: heights_at(job, wall, side),
        };
        pieces::push(&shore, &stand, run, out);
    }
    for storey in below::storeys_below(job, change, wall, out) {
        let rooms = &storey.rooms;
        let Some(first) = rooms.first() else { continue };
        let names: Vec<&str> = rooms.iter().map(|room| room.name()).collect();
        for (side, run) in &runs {
            let stand = Stand {
                prefix: format!("below.{}.", storey.number),
                side,
                places: names.iter().map(|name| place_named(name)).collect(),
                words: format!(
                    "{}, below in {}",
                    side_words(job, wall, side),
                    names.join(" and ")
                ),
                at: Spot::of(first.id, What::CeilingHeight),
                heights: rooms
                    .iter()
                    .flat_map(|room| heights_of(job, room.id))
                    .collect(),
            };
            pieces::push(&shore, &stand, run, out);
        }
    }
}

/// The place that a room's name is, as a reading has it.
fn place_named(name: &str) -> String {
    name.trim().to_lowercase()
}

/// What is the same on every side and storey.
struct Shore<'a> {
    job: &'a Job,
    change: &'a Record,
    wall: &'a Record,
    /// Lumber of studs, braces and plates; `None` where species or grade isn't known.
    class: Option<StickClass>,
    /// Thickness of a stud and of a plate.
    thickness: Length,
    spacing: Length,
    top_plies: i64,
    braces: i64,
    brace_run: Length,
    screw: Option<FastenerClass>,
    planks: i64,
    plank: Option<StickClass>,
    /// One side alone is shored.
    one_side: bool,
}

/// One side on one storey.
struct Stand<'a> {
    /// Of its slots: empty, `below.1.`
    prefix: String,
    /// `a` or `b`.
    side: &'a str,
    /// The places of readings between its plates; at least one.
    places: Vec<String>,
    /// In words: `Dining room side, below in Cellar`.
    words: String,
    /// Where a missing ceiling height is to be read.
    at: Spot,
    /// The ceiling heights that count there.
    heights: Vec<Height>,
}

impl<'a> Shore<'a> {
    fn read(job: &'a Job, change: &'a Record, wall: &'a Record, out: &mut Takeoff) -> Option<Self> {
        let waits = "Shoring studs, plates and braces";
        let size = nominal(job, change, "stud", "shore_stud", SHORE_STUD);
        let text = "the size of the shoring studs";
        let size = must_have(size, change.id, "stud", text, waits, out)?;
        let class = stick_class(job, change, &size, Treatment::None, waits, out);
        let section = class
            .as_ref()
            .map(|class| class.dressed)
            .or_else(|| dressed(size, default_seasoning(size)))?;
        let screw = fastener(
            job,
            change,
            "screw",
            "shore_screw",
            None,
            "the screw for shoring",
            "Screws, shoring",
            out,
        );
        let planks = change.number("planks_a_side").unwrap_or(0);
        let shore = Self {
            job,
            change,
            wall,
            class,
            thickness: section.thickness.min(section.depth),
            spacing: setting(job, change, "spacing", "spacing", SPACING),
            top_plies: counted(job, change, "top_plies", "shore_top_plies", SHORE_TOP_PLIES),
            braces: counted(job, change, "braces_a_side", "braces_a_side", BRACES_A_SIDE),
            brace_run: setting(job, change, "brace_run", "brace_run", BRACE_RUN),
            screw,
            planks,
            plank: (planks > 0).then(|| plank(job, change, out)).flatten(),
            one_side: ["a", "b"].iter().any(|side| change.says("sides", side)),
        };
        for class in shore.class.iter().chain(&shore.plank) {
            longest_or_say(job, class, out);
        }
        Some(shore)
    }
}

fn plank(job: &Job, change: &Record, out: &mut Takeoff) -> Option<StickClass> {
    let (size, waits) = (size_of(change, "plank"), "Planks under the bottom plates");
    let text = "the size of the planks";
    let size = must_have(size, change.id, "plank", text, waits, out)?;
    stick_class(job, change, &size, Treatment::None, waits, out)
}

/// The sides that are shored. One alone counts with the recorded word only.
fn sides(change: &Record, out: &mut Takeoff) -> Vec<&'static str> {
    let side = match change.text("sides") {
        Some("a") => "a",
        Some("b") => "b",
        _ => return vec!["a", "b"],
    };
    must_have(
        change.text("one_side_word"),
        change.id,
        "one_side_word",
        "who says that the joists run through and none is cut, or both sides",
        "Shoring on the other side",
        out,
    );
    vec![side]
}

#[cfg(test)]
mod tests;
