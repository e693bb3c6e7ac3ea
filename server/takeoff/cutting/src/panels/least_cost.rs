//! Panels at least cost: a plan, what no plan can be cheaper than, and the cuts of each sheet.
//!
//! What it does not do: labels, on-hand pieces by name, sheets without a price (`pack_panels` does). Work is counted in
//! steps, so the same job gives the same plan on every machine, whatever the order of its rows; only a caller's word to
//! stop can change that, and the plan says so.
//!
//! A kerf is added to both sides of everything, then sheets are cut without kerf. In order, until plan and bound meet:
//! sums of side values say which numbers of sheets could do (`rows`, `counts`); plain fillings give a plan
//! (`filling`); where few sets of pieces fit one sheet, all are listed and the question is answered for good (`sets`,
//! `cover`); else fillings are changed step by step (`climb`), plans that leave a few pieces over are mended (`mend`), and
//! sums are made for the very pieces asked for (`shares`, `worth`). `search` puts them together.

mod best;
mod bulk;
mod climb;
mod counts;
mod cover;
mod filling;
mod mend;
pub(super) mod model;
mod rows;
mod search;
mod sets;
mod shares;
mod table;
#[cfg(test)]
mod tests;
pub(super) mod tree;
mod work;
mod worth;

use std::collections::BTreeMap;

use model::Model;
use scantling_units::{Length, Money};
pub(super) use search::{Solved, solve};
pub use tree::{Part, Way};

/// A size of sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Sheets {
    /// Side along the strength axis, above zero, at most 2^28 64ths.
    pub along: Length,
    /// Side across it, likewise.
    pub across: Length,
    /// Price of one; zero for what is on hand. Below zero counts as zero.
    pub price: Money,
    /// How many there are; none: as many as wanted.
    pub limit: Option<u32>,
}

/// Equal patches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Patches {
    /// Side along the sheet's strength axis, above zero.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// How many.
    pub count: u32,
    /// Whether they may lie the other way round.
    pub turn: bool,
}

/// What is to be cut from what.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Job {
    /// Sizes for sale and on hand.
    pub sheets: Vec<Sheets>,
    /// What is wanted.
    pub patches: Vec<Patches>,
    /// Lost by each cut; below zero counts as zero.
    pub kerf: Length,
}

/// A patch in its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Where it begins along the strength axis.
    pub x: Length,
    /// Where it begins across the strength axis.
    pub y: Length,
    /// How far it reaches along the strength axis.
    pub along: Length,
    /// How far it reaches across it.
    pub across: Length,
}

/// Sheets that are all cut in the same way.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct CutSheet {
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// Price of one.
    pub price: Money,
    /// How many.
    pub times: u64,
    /// Where the patches of one lie, by place: along, then across.
    pub placed: Vec<Place>,
    /// The cuts of one, in order.
    pub cuts: Part,
}

/// Patches that find no place.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Unmet {
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// How many.
    pub count: u64,
}

/// The best plan found, and how good it is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Plan {
    /// Sheets to buy and on hand, dearest first.
    pub sheets: Vec<CutSheet>,
    /// Patches that find no place, biggest first.
    pub unmet: Vec<Unmet>,
    /// Price of all sheets.
    pub cost: Money,
    /// No plan that places every patch which some endless size holds costs less.
    pub lower_bound: Money,
    /// Whether the answer is for good: no plan costs less, or, where it is not possible, none places everything.
    pub proven: bool,
    /// Whether every patch has a place.
    pub feasible: bool,
    /// Steps counted.
    pub work: u64,
    /// Whether the caller's word to stop ended the search: another run may find another plan.
    pub stopped: bool,
}

/// Cuts patches from sheets: fewest unmet, then least cost, then fewest sheets, fewest cuts, and one big rest.
///
/// `most_work` limits the steps counted, some hundred million of which take a second; `stop` is asked every million
/// steps or so whether to end early. Least cost is proven where the plan says so; sheets, cuts and rests are as good as
/// the search found them.
///
/// Source: `least_cost/rows.rs` and its neighbours name the published methods; their order is Scantling's own.
pub fn least_cost(job: &Job, most_work: u64, stop: &dyn Fn() -> bool) -> Plan {
    let model = Model::of(job);
    let kerf = model::saw(job.kerf);
    let solved = solve(&model, kerf, most_work, stop);
    let real = |side: i64| Length::from_64ths(side - kerf);
    let mut sheets: Vec<CutSheet> = Vec::new();
    for ((kind, node), times) in &solved.sheets {
        let size = &model.kinds[*kind];
        let leaves = node.leaves(size).into_iter();
        let mut placed: Vec<Place> = leaves
            .filter(|(leaf, _)| leaf.is_some())
            .map(|(_, [x, y, w, h])| Place {
                x: Length::from_64ths(x),
                y: Length::from_64ths(y),
                along: real(w),
                across: real(h),
            })
            .collect();
        placed.sort_unstable();
        sheets.push(CutSheet {
            along: real(size.w),
            across: real(size.h),
            price: money(size.price),
            times: *times,
            placed,
            cuts: node.with_kerf(&model, kerf, size.w, size.h),
        });
    }
    sheets.sort_by(|a, b| {
        let key = |sheet: &CutSheet| (sheet.price, sheet.along, sheet.across);
        key(b).cmp(&key(a)).then_with(|| a.cmp(b))
    });
    let unmet = unmet(job, &model, &solved.unmet);
    let feasible = unmet.is_empty();
    let impossible = solved.impossible
        || job
            .patches
            .iter()
            .any(|row| row.count > 0 && model.normal(&model::piece_of(row, job.kerf)).is_none());
    Plan {
        sheets,
        unmet,
        cost: money(solved.cost),
        lower_bound: money(solved.least),
        proven: if feasible {
            solved.cost == solved.least
        } else {
            impossible
        },
        feasible,
        work: solved.work,
        stopped: solved.stopped,
    }
}

/// Patches without a place, in the sides asked for.
fn unmet(job: &Job, model: &Model, unmet: &[u64]) -> Vec<Unmet> {
    let places = model.places();
    let mut left = unmet.to_vec();
    let mut rows: Vec<&Patches> = job.patches.iter().collect();
    rows.sort_unstable_by(|a, b| b.cmp(a));
    let mut counted: BTreeMap<(Length, Length), u64> = BTreeMap::new();
    for row in rows {
        let normal = model.normal(&model::piece_of(row, job.kerf));
        let missing = match normal.and_then(|key| places.get(&key)) {
            Some(&at) => {
                let missing = left[at].min(row.count.into());
                left[at] -= missing;
                missing
            }
            None => row.count.into(),
        };
        if missing > 0 {
            *counted.entry((row.along, row.across)).or_default() += missing;
        }
    }
    let rows = counted.into_iter().rev();
    rows.map(|((along, across), count)| Unmet {
        along,
        across,
        count,
    })
    .collect()
}

/// Cents as money; more than money can say is the most that it can.
fn money(cents: i128) -> Money {
    Money::from_cents(i64::try_from(cents).unwrap_or(i64::MAX))
}
