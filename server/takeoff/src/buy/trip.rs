//! Several weeks bought in one trip: what that saves against a trip a week, what then lies around and for how long, and
//! whether the vehicle carries it.
//!
//! Bought together the weeks are planned as one, so that a stick may serve two of them. Where that comes out dearer (the
//! waste rule may ask more of many pieces than of a few), the lists of the single weeks are taken along side by side: one
//! trip never costs more than several. Source: common practice, no published source.

mod carried;

use std::collections::BTreeMap;

pub use carried::{Carried, Load};

use super::basis::Basis;
use super::item::Item;
use super::list::{BuyLine, BuyList, list_in};
use super::plan::{Plan, Planned};
use crate::record::{Job, Kind};
use crate::units::Money;

/// Days between two work weeks from which on it is called a gap: a weekend isn't one.
const GAP: i64 = 3;

/// Several weeks bought in one trip.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Trip {
    /// The weeks, in order.
    pub weeks: Vec<u32>,
    /// What each costs that is bought by itself.
    pub apart: Vec<Bought>,
    /// What one trip costs.
    pub together: Bought,
    /// Which lists are taken along.
    pub lists: Lists,
    /// What lies by for the weeks after the first.
    pub lying: Vec<Lying>,
    /// What it weighs, and the loads it makes.
    pub carried: Carried,
}

/// Which lists go along on the trip.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Lists {
    /// One list of all weeks, planned as one.
    Joined,
    /// The list of each week, side by side: planned as one they would cost more.
    SideBySide,
}

/// What a list comes to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bought {
    /// Its weeks.
    pub weeks: Vec<u32>,
    /// What has a price.
    pub total: Money,
    /// Lines without a price.
    pub unpriced: usize,
    /// Sticks to buy.
    pub sticks: i64,
    /// Sheets to buy.
    pub sheets: i64,
}

/// What lies by for a later week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Lying {
    /// The week.
    pub week: u32,
    /// Sticks and sheets that lie uncut until then, by item.
    pub whole: Vec<(Item, i64)>,
    /// Those that are begun before and keep pieces for it, by item.
    pub begun: Vec<(Item, i64)>,
    /// Nails, hardware and sundries bought for it: what, how many pieces.
    pub counted: Vec<(Item, i64)>,
    /// Days from the first day of the trip's first week to its own first day; none where one isn't recorded.
    pub days: Option<i64>,
    /// The gaps between work weeks that it lies through.
    pub gaps: Vec<Gap>,
}

/// Days without work between two weeks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Gap {
    /// The week before it.
    pub after: u32,
    /// Its first day, as a Julian day.
    pub from: i64,
    /// How many days it has.
    pub days: i64,
}

/// The first and last day of a work week, as Julian days, where they are recorded.
type Days = (Option<i64>, Option<i64>);

/// The days of work weeks.
pub(super) type Calendar = BTreeMap<u32, Days>;

impl Trip {
    /// What a trip a week costs, all trips together.
    pub fn apart_total(&self) -> Money {
        self.apart.iter().map(|bought| bought.total).sum()
    }

    /// So much less than that.
    pub fn saved(&self) -> Money {
        self.apart_total() - self.together.total
    }

    /// So many sticks and sheets fewer; below nothing: more.
    pub fn fewer(&self) -> (i64, i64) {
        let sum = |of: fn(&Bought) -> i64| self.apart.iter().map(of).sum::<i64>();
        (
            sum(|bought| bought.sticks) - self.together.sticks,
            sum(|bought| bought.sheets) - self.together.sheets,
        )
    }
}

/// The trip for these weeks, after all earlier ones.
pub fn trip(job: &Job, weeks: &[u32]) -> Trip {
    let number = |n: i64| u32::try_from(n).ok();
    let calendar = job
        .all(Kind::Week)
        .filter_map(|week| {
            let days = (week.number("start"), week.number("end"));
            Some((number(week.number("number")?)?, days))
        })
        .collect();
    let payload = job.record().and_then(|job| job.number("payload_lb"));
    trip_of(&Basis::of(job), weeks, &calendar, payload)
}

/// The same from a basis.
pub(super) fn trip_of(
    basis: &Basis<'_>,
    weeks: &[u32],
    calendar: &Calendar,
    payload_lb: Option<i64>,
) -> Trip {
    let mut weeks = weeks.to_vec();
    weeks.sort_unstable();
    weeks.dedup();
    let (single, joined) = (Plan::of(basis, &[]), Plan::of(basis, &weeks));
    let lists: Vec<BuyList> = weeks
        .iter()
        .map(|week| list_in(basis, &single, &[*week]))
        .collect();
    let apart: Vec<Bought> = lists.iter().map(bought).collect();
    let side_by_side = side_by_side(&weeks, &apart);
    let one = list_in(basis, &joined, &weeks);
    let together = bought(&one);
    // Lines without a price can't be told apart by money, nor can what the yard has too few of; and what each week finds there
    // by itself, one trip finds once.
    let unmet: usize = lists.iter().map(|list| list.unmet.len()).sum();
    let is_dearer = one.unmet.len() > unmet
        || (one.unmet.len() == unmet
            && (together.unpriced > side_by_side.unpriced || together.total > side_by_side.total));
    let is_dearer = is_dearer && is_at_yard(basis, &lists, &weeks);
    let (lists_taken, together, taken) = if is_dearer {
        let lines = lists.iter().flat_map(|list| list.lines.clone()).collect();
        (Lists::SideBySide, side_by_side, lines)
    } else {
        (Lists::Joined, together, one.lines)
    };
    let plan = if is_dearer { &single } else { &joined };
    let sticks: Vec<(u32, &Planned)> = plan
        .sets
        .iter()
        .filter(|set| set.weeks.iter().all(|week| weeks.contains(week)))
        .flat_map(|set| set.to_buy.iter().map(|stick| (set.weeks[0], stick)))
        .map(|(week, stick)| (first_used(basis, stick).unwrap_or(week), stick))
        .collect();
    let lying = weeks
        .iter()
        .zip(&lists)
        .skip(1)
        .map(|(week, list)| Lying {
            week: *week,
            whole: tally(sticks.iter().filter(|(first, _)| first == week)),
            begun: tally(
                sticks
                    .iter()
                    .filter(|(first, stick)| first < week && serves(basis, stick, *week)),
            ),
            counted: counted(list),
            days: days_between(calendar, weeks[0], *week),
            gaps: gaps(calendar, weeks[0], *week),
        })
        .collect();
    Trip {
        carried: carried::carried(&sticks, &taken, payload_lb),
        weeks,
        apart,
        together,
        lists: lists_taken,
        lying,
    }
}

/// Whether the yard has what these lists buy together.
fn is_at_yard(basis: &Basis<'_>, lists: &[BuyList], weeks: &[u32]) -> bool {
    basis.prices.offers.iter().all(|offer| {
        let there = basis.prices.at_yard(&offer.item);
        let Some(n) = basis.still_at_yard(offer, there, weeks) else {
            return true;
        };
        let lines = lists.iter().flat_map(|list| &list.lines);
        let wanted = lines.filter(|line| line.item.has_rows() && offer.sells(&line.item));
        wanted.map(|line| line.short).sum::<i64>() <= n
    })
}

fn side_by_side(weeks: &[u32], apart: &[Bought]) -> Bought {
    Bought {
        weeks: weeks.to_vec(),
        total: apart.iter().map(|bought| bought.total).sum(),
        unpriced: apart.iter().map(|bought| bought.unpriced).sum(),
        sticks: apart.iter().map(|bought| bought.sticks).sum(),
        sheets: apart.iter().map(|bought| bought.sheets).sum(),
    }
}

fn bought(list: &BuyList) -> Bought {
    let of = |section: &str| {
        let lines = list.lines.iter();
        let lines = lines.filter(|line| line.item.section() == section);
        lines.map(|line| line.short).sum()
    };
    Bought {
        weeks: list.weeks.clone(),
        total: list.total,
        unpriced: list.unpriced,
        sticks: of("stick"),
        sheets: of("panel"),
    }
}

/// The week of a stick's first piece; none of one that is bought for waste: that lies by from the first day on.
fn first_used(basis: &Basis<'_>, stick: &Planned) -> Option<u32> {
    let of = |change| basis.change(change).map(|change| change.takeoff.week);
    stick.pieces.iter().filter_map(|key| of(key.change)).min()
}

/// Whether a stick has a piece of this week.
fn serves(basis: &Basis<'_>, stick: &Planned, week: u32) -> bool {
    let of = |change| basis.change(change).map(|change| change.takeoff.week);
    stick.pieces.iter().any(|key| of(key.change) == Some(week))
}

fn tally<'a>(sticks: impl Iterator<Item = &'a (u32, &'a Planned)>) -> Vec<(Item, i64)> {
    let mut all: BTreeMap<&Item, i64> = BTreeMap::new();
    for (_, stick) in sticks {
        *all.entry(&stick.item).or_default() += 1;
    }
    let all = all.into_iter();
    all.map(|(item, count)| (item.clone(), count)).collect()
}

/// What of a week's own list is counted in pieces, each thing once.
fn counted(list: &BuyList) -> Vec<(Item, i64)> {
    let is_counted = |line: &&BuyLine| !line.item.has_rows() && line.short > 0;
    let mut all: BTreeMap<&Item, i64> = BTreeMap::new();
    for line in list.lines.iter().filter(is_counted) {
        *all.entry(&line.item).or_default() += line.short;
    }
    let all = all.into_iter();
    all.map(|(item, count)| (item.clone(), count)).collect()
}

fn days_between(calendar: &Calendar, from: u32, to: u32) -> Option<i64> {
    let start = |week: u32| calendar.get(&week)?.0;
    Some(start(to)? - start(from)?)
}

/// The gaps between recorded weeks from one to another.
fn gaps(calendar: &Calendar, from: u32, to: u32) -> Vec<Gap> {
    let weeks: Vec<(&u32, &Days)> = calendar.range(from..=to).collect();
    let pairs = weeks.iter().zip(weeks.iter().skip(1));
    pairs
        .filter_map(|((after, (_, end)), (_, (start, _)))| {
            let from = (*end)? + 1;
            let days = (*start)? - from;
            (days >= GAP).then_some(Gap {
                after: **after,
                from,
                days,
            })
        })
        .collect()
}
