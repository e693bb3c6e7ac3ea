//! Fewer sticks, by packing the pieces of two sticks again and again.
//!
//! The emptiest stick of a plan of equal sticks is taken apart. Then two sticks are drawn by lot, and of what lies on them
//! and of the pieces left over as much length as possible is put on the two; of equal length one of them shall be as full as
//! can be, so that what is free comes together in few places. That soon finds room for the last pieces where the length
//! of all pieces leaves some. It proves nothing; it finds plans.
//!
//! Source: Buljubasic and Vasquez, "Consistent neighborhood search for one-dimensional bin packing and two-dimensional
//! vector packing", Computers & Operations Research 76 (2016), 12 to 21: too few bins and some pieces left over, of which
//! there shall be less. Here a neighbour is any other packing of two sticks and some of the pieces left over, and how freely
//! one is chosen falls in rounds (Kirkpatrick, Gelatt and Vecchi, "Optimization by simulated annealing", Science 220, 1983).

use std::collections::{BTreeMap, BTreeSet};

use super::budget::Budget;
use super::part::Lot;
use super::problem::{Pattern, Plan, Problem};

/// Pieces that are packed again at once, and how many of these at most are of those left over.
const MOST_FREED: usize = 9;
const MOST_LEFT_FREED: usize = 3;

/// How freely the free length may be spread, as a share of the room; it is halved so many times, each time after so many
/// draws for each stick, and then begins again.
const FREELY: i64 = 32;
const HALVINGS: u32 = 5;
const DRAWS_A_STICK: usize = 20;

/// Sticks with no more free than this share of the room are worth keeping, so many for each size at most.
const NEARLY_FULL: i64 = 200;
const MOST_KEPT: usize = 8;

/// Sticks and pieces beyond which a plan is left as it is.
const MOST_STICKS: i64 = 5_000;
const MOST_PIECES: i64 = 50_000;

/// A plan of as few sticks as were reached, down to `enough`; nothing if that is none fewer, or if not all sticks are equal.
///
/// What nearly full sticks held on the way goes into `kept`.
pub(super) fn refilled(
    problem: &Problem,
    plan: &Plan,
    enough: i64,
    lot: &mut Lot,
    kept: &mut BTreeSet<Pattern>,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    let [kind] = &problem.kinds[..] else {
        return None;
    };
    if kind.limit.is_some() || plan.count() > MOST_STICKS || problem.pieces() > MOST_PIECES {
        return None;
    }
    let mut best = None;
    let mut packed = Packed::new(problem, kind.room, plan);
    while packed.sticks.len() > 2 && i64::try_from(packed.sticks.len()).is_ok_and(|n| n > enough) {
        packed.take_apart();
        if !packed.run(lot, kept, budget) {
            break;
        }
        best = Some(packed.plan());
    }
    best
}

/// Sticks on the way to a plan, and the pieces that lie on none.
struct Packed<'a> {
    sizes: &'a [i64],
    room: i64,
    /// The row of each piece.
    sticks: Vec<Vec<usize>>,
    /// What is free on each stick.
    free: Vec<i64>,
    left: Vec<usize>,
}

/// What to put on the first and on the second of two sticks, as sets of pieces.
type TwoSets = (usize, usize);

impl<'a> Packed<'a> {
    fn new(problem: &'a Problem, room: i64, plan: &Plan) -> Self {
        let mut packed = Self {
            sizes: &problem.sizes,
            room,
            sticks: Vec::new(),
            free: Vec::new(),
            left: Vec::new(),
        };
        for (pattern, times) in &plan.sticks {
            for _ in 0..*times {
                let mut rows = Vec::new();
                for &(row, n) in &pattern.counts {
                    rows.extend((0..n).map(|_| row));
                }
                packed.sticks.push(rows);
                packed.free.push(room - problem.used(&pattern.counts));
            }
        }
        packed
    }

    /// Takes the emptiest stick apart.
    fn take_apart(&mut self) {
        if let Some(at) = (0..self.sticks.len()).max_by_key(|&at| (self.free[at], at)) {
            self.left.extend(self.sticks.swap_remove(at));
            self.free.swap_remove(at);
        }
    }

    /// Packs pairs until nothing is left over; says whether that was reached.
    fn run(
        &mut self,
        lot: &mut Lot,
        kept: &mut BTreeSet<Pattern>,
        budget: &mut Budget<'_>,
    ) -> bool {
        let all = self.sticks.len();
        let most_kept = MOST_KEPT * self.sizes.len();
        for halvings in (0..HALVINGS).cycle() {
            let freely = (self.room.div_euclid(FREELY) >> halvings).max(1);
            for _ in 0..DRAWS_A_STICK * all {
                if self.left.is_empty() {
                    return true;
                }
                let (one, other) = (lot.one_of(all), lot.one_of(all));
                let first = if self.free[one] < self.free[other] {
                    other
                } else {
                    one
                };
                let second = lot.one_of(all);
                if first != second {
                    let steps = self.pack_two_again(first, second, freely, lot);
                    if !budget.spend(steps) {
                        return false;
                    }
                }
            }
            for (rows, &free) in self.sticks.iter().zip(&self.free) {
                if free.saturating_mul(NEARLY_FULL) <= self.room && kept.len() < most_kept {
                    kept.insert(Pattern::of_rows(rows.iter().copied()));
                }
            }
        }
        false
    }

    /// Packs two sticks again with some of what is left over; gives about how many steps that took.
    fn pack_two_again(&mut self, first: usize, second: usize, freely: i64, lot: &mut Lot) -> usize {
        let mut freed: Vec<usize> = Vec::with_capacity(MOST_FREED);
        for _ in 0..self.left.len().min(MOST_LEFT_FREED) {
            freed.push(drawn(&mut self.left, lot));
        }
        for (at, sticks_left) in [(first, 2), (second, 1)] {
            let share = (MOST_FREED - freed.len()).div_euclid(sticks_left);
            for _ in 0..share.min(self.sticks[at].len()) {
                let row = drawn(&mut self.sticks[at], lot);
                self.free[at] += self.sizes[row];
                freed.push(row);
            }
        }
        let sizes: Vec<i64> = freed.iter().map(|&row| self.sizes[row]).collect();
        let rooms = (self.free[first], self.free[second]);
        let (on_first, on_second) = fullest_pair(&sizes, rooms, freely, lot);
        for (at, row) in freed.into_iter().enumerate() {
            let stick = if (on_first >> at) & 1 == 1 {
                first
            } else if (on_second >> at) & 1 == 1 {
                second
            } else {
                self.left.push(row);
                continue;
            };
            self.free[stick] -= self.sizes[row];
            self.sticks[stick].push(row);
        }
        6 << sizes.len()
    }

    fn plan(&self) -> Plan {
        let mut sticks: BTreeMap<Pattern, i64> = BTreeMap::new();
        for rows in self.sticks.iter().filter(|rows| !rows.is_empty()) {
            *sticks
                .entry(Pattern::of_rows(rows.iter().copied()))
                .or_default() += 1;
        }
        Plan {
            sticks: sticks.into_iter().collect(),
        }
    }
}

/// As much length as two sticks with so much room can hold of these sizes. Of equal length the free length shall lie on one
/// of the two, or nearly so: its square, in which `freely` counts for nothing, shall be large.
fn fullest_pair(sizes: &[i64], rooms: (i64, i64), freely: i64, lot: &mut Lot) -> TwoSets {
    let sets = 1_usize << sizes.len();
    let mut lengths: Vec<i64> = Vec::with_capacity(sets);
    // The most length of each set that goes on the second stick, and which part of the set that is.
    let mut most: Vec<(i64, usize)> = Vec::with_capacity(sets);
    lengths.push(0);
    most.push((0, 0));
    for set in 1..sets {
        let without_lowest = set & (set - 1);
        let lowest = (set ^ without_lowest).trailing_zeros();
        let length = lengths[without_lowest] + sizes[lowest as usize];
        lengths.push(length);
        if length <= rooms.1 {
            most.push((length, set));
            continue;
        }
        let mut best = (0, 0);
        let mut rest = set;
        while rest != 0 {
            let without = most[set ^ (rest & rest.wrapping_neg())];
            if without.0 > best.0 {
                best = without;
            }
            rest &= rest - 1;
        }
        most.push(best);
    }
    let mut best: Option<((i64, i64), TwoSets)> = None;
    for (set, &length) in lengths.iter().enumerate() {
        let (other, on_second) = most[(sets - 1) ^ set];
        if length > rooms.0 || best.is_some_and(|(key, _)| key.0 > length + other) {
            continue;
        }
        let apart = (rooms.0 - length) - (rooms.1 - other);
        let key = (
            length + other,
            apart.saturating_mul(apart) + lot.below(freely * freely),
        );
        if best.is_none_or(|(known, _)| known < key) {
            best = Some((key, (set, on_second)));
        }
    }
    best.map(|(_, two)| two).unwrap_or_default()
}

/// One of these, taken out.
fn drawn(rows: &mut Vec<usize>, lot: &mut Lot) -> usize {
    rows.swap_remove(lot.one_of(rows.len()))
}
