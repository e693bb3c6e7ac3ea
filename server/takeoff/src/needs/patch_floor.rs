//! Patch a subfloor (rule 6 of takeoff): its pieces, screws, blocks, cleats, adhesive, and what levels it with the floor.
//!
//! How the pieces lie stands in `panels`. An edge along the joists has wood if a joist reaches from under the panel to the
//! edge itself, 1/2 in of it under the panel; else it gets a cleat. An edge across that is partly outline and partly a
//! joint is screwed as a joint; blocks stand under its outline as under an outer edge, and under its joint as under a joint.
//! Where the outline is no rectangle, adhesive and fillers follow each joist as far as the patch does. Whether the joists
//! carry the floor is not here.
//!
//! Source: IRC Table R602.3(1), panel rows, for the spacing of screws (see `tables::panel_fastening`); the rest is common
//! practice, no published source.
//!
//! Example: 120 × 96 on joists at 16, square edges blocked: pieces of 95 13/16, 79 13/16, 23 13/16 and 39 13/16 by 48 and
//! 47 5/8; the first has 5 joists inside: 2 × (8 + 1) + 2 × (16 − 1) + 5 × (4 − 1) = 63 screws.

mod fasten;
mod held;
mod level;

use super::inputs::{miss, must_have, nominal, setting, stick_class};
use super::outline::Outline;
use super::panels::{Edge, Laid, Sheet, courses, lay, supports};
use super::{Fill, StickClass, Takeoff, Treatment};
use crate::record::settings::{CLEAT, PANEL_GAP};
use crate::record::{Job, Record};
use crate::units::Length;

/// The needs of patching a floor.
pub(crate) fn takeoff(job: &Job, change: &Record, out: &mut Takeoff) {
    let waits = "Subfloor pieces";
    let sheet = Sheet::of(job, change, waits, out);
    let outline = outline_of(job, change, waits, out);
    let on_joists = "Joints, screws and blocks of the subfloor";
    let joists = supports(job, change, "the joists under it", on_joists, out);
    if let Some(sheet) = &sheet {
        level::check(job, change, sheet, out);
    }
    let (Some(sheet), Some(outline)) = (sheet, outline) else {
        return;
    };
    let gap = setting(job, change, "panel_gap", "panel_gap", PANEL_GAP);
    let has_joints = courses(outline.along(), sheet.cover, gap).len() > 1;
    let edges = Edges::of(job, change, &sheet, has_joints, out);
    let centres: Vec<Length> = joists.iter().flatten().map(|joist| joist.centre).collect();
    let layout = match lay(&outline, sheet.class.along, sheet.cover, gap, &centres) {
        Ok(layout) => layout,
        Err(unheld) => {
            if joists.is_some() {
                unheld.say(&sheet, out);
            }
            return;
        }
    };
    let patch = Patch {
        job,
        change,
        laid: Laid {
            sheet,
            along: outline.along(),
            gap,
            supports: joists.unwrap_or_default(),
            pieces: layout.pieces,
        },
        outline,
        edges,
    };
    patch.laid.push_pieces("Subfloor piece", "SF", out);
    for sliver in layout.slivers {
        sliver.say(gap, out);
    }
    if patch.laid.supports.is_empty() {
        return;
    }
    fasten::push_screws(&patch, out);
    let class = cleat_class(job, change, out);
    held::push_blocks(&patch, class.as_ref(), out);
    held::push_cleats(&patch, class.as_ref(), out);
    level::push_adhesive(&patch, out);
    level::push_filler(&patch, out);
}

/// A patch, laid out.
struct Patch<'a> {
    job: &'a Job,
    change: &'a Record,
    outline: Outline,
    laid: Laid<'a>,
    edges: Edges,
}

/// Which edges across the joists are blocked.
struct Edges {
    outer: bool,
    /// Joints of courses; `None` where that isn't known.
    course: Option<bool>,
    cut: bool,
}

impl Edges {
    fn of(job: &Job, change: &Record, sheet: &Sheet, has_joints: bool, out: &mut Takeoff) -> Self {
        let of_job = job.record().and_then(|record| record.text("panel_edge"));
        let square = change.text("joints").or(of_job) != Some("unblocked");
        let edge = sheet.row.text("edge");
        if has_joints && square {
            let text = "whether the panel’s long edges are square or tongue and groove";
            let waits = "Screws and blocks at its joints";
            must_have(edge, sheet.row.id, "edge", text, waits, out);
        }
        Self {
            outer: !change.says("outer", "unblocked"),
            course: if square {
                edge.map(|edge| edge != "tongue_and_groove")
            } else {
                Some(false)
            },
            cut: square,
        }
    }

    fn is_blocked(&self, edge: Edge) -> Option<bool> {
        match edge {
            Edge::Outer => Some(self.outer),
            Edge::Course => self.course,
            Edge::Cut => Some(self.cut),
        }
    }
}

/// The outline: its corners, where they are recorded, else a rectangle.
fn outline_of(job: &Job, change: &Record, waits: &str, out: &mut Takeoff) -> Option<Outline> {
    let (id, of) = (change.id, |field| change.length(field));
    let across = must_have(of("across"), id, "across", "across the joists", waits, out);
    let along = must_have(of("along"), id, "along", "along the joists", waits, out);
    let (across, along) = (across?, along?);
    let Some(text) = change.text("corners") else {
        return Some(Outline::rectangle(across, along));
    };
    match Outline::read(text, across, along, job.settings.units) {
        Ok(outline) => Some(outline),
        Err(problem) => {
            let (of, field) = (id, "corners");
            miss(out, &problem, waits, Fill::Field { of, field });
            None
        }
    }
}

fn cleat_class(job: &Job, change: &Record, out: &mut Takeoff) -> Option<StickClass> {
    let waits = "Blocks and cleats";
    let size = nominal(job, change, "cleat", "cleat", CLEAT);
    let size = must_have(size, change.id, "cleat", "the size of cleats", waits, out)?;
    stick_class(job, change, &size, Treatment::None, waits, out)
}

#[cfg(test)]
mod tests;
