//! Panels answered by the core's search, with its cuts as they are printed.

use std::time::{Duration, Instant};

use scantling_takeoff::cutting::panels::least_cost::{
    Job, Part, Patches, Place, Plan, Sheets, Way, least_cost,
};
use scantling_takeoff::units::{Length, Money};

use super::answer::{Axis, CutTree, PanelRow, Placed, UnmetPatch};
use super::instance::Panels;

/// No side is above this: what the search takes.
const LONGEST: i64 = 1 << 28;
/// No price is above this, in cents.
const DEAREST: i64 = 1_000_000_000;
/// There are no more patches than this.
const MOST_PATCHES: i64 = 100_000;
/// Steps of the search for each second that it may take. The steps end it before the clock does on all but slow machines,
/// so that the answer is the same each time.
const STEPS_A_SECOND: u64 = 40_000_000;

/// What came out.
pub(super) struct Cut {
    pub(super) plan: Vec<PanelRow>,
    pub(super) unmet: Vec<UnmetPatch>,
    pub(super) cost: i64,
    pub(super) lower_bound: i64,
    /// Whether cost and bound meet, or it is certain that not all patches have a place.
    pub(super) proven: bool,
}

/// Cuts one instance.
///
/// # Errors
/// Says which figure is out of its range.
pub(super) fn solve(instance: &Panels, time: Duration, begun: Instant) -> Result<Cut, String> {
    check(instance)?;
    let job = Job {
        sheets: instance
            .stock
            .iter()
            .map(|sheet| Sheets {
                along: Length::from_64ths(sheet.along),
                across: Length::from_64ths(sheet.across),
                price: Money::from_cents(sheet.price),
                // More than there are patches are never wanted.
                limit: sheet
                    .limit
                    .map(|limit| u32::try_from(limit).unwrap_or(u32::MAX)),
            })
            .collect(),
        patches: instance
            .patches
            .iter()
            .map(|patch| Patches {
                along: Length::from_64ths(patch.along),
                across: Length::from_64ths(patch.across),
                count: u32::try_from(patch.count).unwrap_or(u32::MAX),
                turn: patch.rotate,
            })
            .collect(),
        kerf: Length::from_64ths(instance.kerf),
    };
    let steps = u64::try_from(time.as_millis())
        .unwrap_or(u64::MAX)
        .saturating_mul(STEPS_A_SECOND.div_euclid(1_000));
    let plan = least_cost(&job, steps, &|| begun.elapsed() >= time);
    Ok(answer(&plan, instance.kerf))
}

fn answer(plan: &Plan, kerf: i64) -> Cut {
    Cut {
        plan: plan
            .sheets
            .iter()
            .map(|sheet| PanelRow {
                along: sheet.along.as_64ths(),
                across: sheet.across.as_64ths(),
                price: sheet.price.as_cents(),
                times: i64::try_from(sheet.times).unwrap_or(i64::MAX),
                placed: sheet.placed.iter().map(in_place).collect(),
                cuts: tree(&sheet.cuts, (0, 0), kerf),
            })
            .collect(),
        unmet: plan
            .unmet
            .iter()
            .map(|patch| UnmetPatch {
                along: patch.along.as_64ths(),
                across: patch.across.as_64ths(),
                count: i64::try_from(patch.count).unwrap_or(i64::MAX),
            })
            .collect(),
        cost: plan.cost.as_cents(),
        lower_bound: plan.lower_bound.as_cents(),
        proven: plan.proven,
    }
}

fn in_place(place: &Place) -> Placed {
    Placed {
        x: place.x.as_64ths(),
        y: place.y.as_64ths(),
        along: place.along.as_64ths(),
        across: place.across.as_64ths(),
    }
}

/// The cuts of a part whose own corner lies here on the sheet; their marks are measured from the sheet's corner. Of cuts
/// one behind another the middle one is first, so that a hundred strips nest seven deep.
fn tree(part: &Part, corner: (i64, i64), kerf: i64) -> Vec<CutTree> {
    let Part::Cut { way, .. } = part else {
        return Vec::new();
    };
    let mut row = Strips {
        way: *way,
        kerf,
        strips: Vec::new(),
        marks: Vec::new(),
    };
    row.add(part, corner);
    row.between(0, row.marks.len())
}

/// Parts one behind another, and the marks between them.
struct Strips<'a> {
    way: Way,
    kerf: i64,
    strips: Vec<(&'a Part, (i64, i64))>,
    marks: Vec<i64>,
}

impl<'a> Strips<'a> {
    fn add(&mut self, part: &'a Part, (x, y): (i64, i64)) {
        match part {
            Part::Cut { way, at, parts } if *way == self.way => {
                let at = at.as_64ths();
                let (mark, behind) = match way {
                    Way::Crosscut => (x + at, (x + at + self.kerf, y)),
                    Way::Rip => (y + at, (x, y + at + self.kerf)),
                };
                let [first, second] = &**parts;
                self.add(first, (x, y));
                self.marks.push(mark);
                self.add(second, behind);
            }
            _ => self.strips.push((part, (x, y))),
        }
    }

    /// The cuts at the marks from `from` up to `to`.
    fn between(&self, from: usize, to: usize) -> Vec<CutTree> {
        if from == to {
            let (part, corner) = self.strips[from];
            return tree(part, corner, self.kerf);
        }
        let middle = from.midpoint(to);
        vec![CutTree {
            axis: match self.way {
                Way::Crosscut => Axis::Along,
                Way::Rip => Axis::Across,
            },
            at: self.marks[middle],
            before: self.between(from, middle),
            after: self.between(middle + 1, to),
        }]
    }
}

fn check(instance: &Panels) -> Result<(), String> {
    let within = |what: &str, value: i64, least: i64, most: i64| {
        if (least..=most).contains(&value) {
            Ok(())
        } else {
            Err(format!(
                "{what} is {value}; it has to be from {least} to {most}"
            ))
        }
    };
    within("the kerf", instance.kerf, 0, LONGEST)?;
    for sheet in &instance.stock {
        within("a sheet's side", sheet.along.min(sheet.across), 1, LONGEST)?;
        within("a sheet's side", sheet.along.max(sheet.across), 1, LONGEST)?;
        within("a price", sheet.price, 0, DEAREST)?;
        within("a limit", sheet.limit.unwrap_or(0), 0, i64::MAX)?;
    }
    let mut patches: i64 = 0;
    for patch in &instance.patches {
        within("a patch's side", patch.along.min(patch.across), 1, LONGEST)?;
        within("a patch's side", patch.along.max(patch.across), 1, LONGEST)?;
        within("a count", patch.count, 0, i64::MAX)?;
        patches = patches.saturating_add(patch.count);
    }
    within("the number of patches", patches, 0, MOST_PATCHES)
}
