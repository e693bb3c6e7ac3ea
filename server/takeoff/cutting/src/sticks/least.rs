//! The least cost for pieces that sticks on hand and sticks for sale hold, by the exact search with a small work limit, and
//! its plan as sticks.
//!
//! What it does not do: know labels, or kerf and trim (each size and each room carries a kerf).

use std::cmp::Reverse;

use super::exact::{Demand, Instance, Row, Stock, WorkLimits, longest_first_plan, solve};
use super::shelf::Kind;
use scantling_units::Length;

/// A list of a week has to come up at once, so the search ends after some fortieth of a second with what it has.
const LIMITS: WorkLimits = WorkLimits {
    steps: 10_000_000,
    steps_for_sticks: 2_000_000,
    nodes: 200,
    most_sizes: 500,
    most_kinds: 200,
};

/// A stick to buy with the sizes cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Stick {
    /// Position among the kinds.
    pub(super) kind: usize,
    /// Longest first.
    pub(super) sizes: Vec<Length>,
}

/// What the search found.
#[derive(Default)]
pub(super) struct Least {
    /// For each room on hand the sizes cut from it, longest first.
    pub(super) held: Vec<Vec<Length>>,
    /// What is bought.
    pub(super) to_buy: Vec<Stick>,
    /// What no stick is left for, longest first.
    pub(super) unmet: Vec<Length>,
    /// No plan for all that is met weighs less.
    pub(super) bound: i64,
}

/// The plan of least weight found for `sizes` (longest first, a kerf on each) from rooms on hand and kinds for sale.
///
/// A size that still fits on hand is not bought for: it goes where least room is left, longest first.
pub(super) fn least_cost(sizes: &[Length], rooms: &[Length], kinds: &[Kind]) -> Least {
    let instance = instance_of(sizes, rooms, kinds);
    // Nobody cuts by a plan that a plain second look doesn't bear out.
    let sound = |plan: Least| {
        let is_sound = can_be_cut(sizes, rooms, kinds, &plan);
        debug_assert!(is_sound, "{sizes:?} on {rooms:?}");
        is_sound.then_some(plan)
    };
    let solved = solve(&instance, &LIMITS, &mut || false).ok();
    solved
        .and_then(|answer| {
            let plan = plan_of(sizes, rooms, kinds, &answer.plan)?;
            let bound = answer.lower_bound;
            sound(Least { bound, ..plan })
        })
        .or_else(|| {
            let rows = longest_first_plan(&instance)?;
            sound(plan_of(sizes, rooms, kinds, &rows)?)
        })
        .unwrap_or_else(|| Least {
            held: vec![Vec::new(); rooms.len()],
            unmet: sizes.to_vec(),
            ..Least::default()
        })
}

/// As the exact search takes it. What is for sale has a trim of one there, so that it is told apart from what lies on hand at
/// the same price.
pub(super) fn instance_of(sizes: &[Length], rooms: &[Length], kinds: &[Kind]) -> Instance {
    let on_hand = rooms.iter().map(|room| Stock {
        length: room.as_64ths().max(0),
        trim: 0,
        price: 0,
        limit: Some(1),
    });
    let for_sale = kinds.iter().map(|kind| Stock {
        length: kind.room.as_64ths() + 1,
        trim: 1,
        price: kind.weight,
        limit: kind.limit,
    });
    Instance {
        stock: on_hand.chain(for_sale).collect(),
        demand: sizes
            .iter()
            .map(|size| Demand {
                length: size.as_64ths(),
                count: 1,
            })
            .collect(),
        kerf: 0,
    }
}

/// Rows of the search as sticks; none where a row is of no stick known.
fn plan_of(sizes: &[Length], rooms: &[Length], kinds: &[Kind], rows: &[Row]) -> Option<Least> {
    let mut held: Vec<Vec<Length>> = vec![Vec::new(); rooms.len()];
    let mut to_buy: Vec<Stick> = Vec::new();
    for row in rows {
        for _ in 0..row.times {
            let cuts = row.cuts.iter();
            let cuts = cuts.map(|&cut| Length::from_64ths(cut)).collect();
            if row.trim == 0 {
                let is_free =
                    |&at: &usize| rooms[at].as_64ths() == row.length && held[at].is_empty();
                let at = (0..rooms.len()).find(is_free)?;
                held[at] = cuts;
            } else {
                let kind = kinds.iter().position(|kind| {
                    (kind.room.as_64ths() + 1, kind.weight) == (row.length, row.price)
                });
                to_buy.push(Stick {
                    kind: kind?,
                    sizes: cuts,
                });
            }
        }
    }
    let mut met: Vec<Length> = held.iter().flatten().copied().collect();
    met.extend(to_buy.iter().flat_map(|stick| &stick.sizes));
    met.sort_unstable_by(|a, b| b.cmp(a));
    let mut plan = Least {
        held,
        to_buy,
        unmet: without(sizes, &met),
        bound: 0,
    };
    plan.move_on_hand(rooms);
    plan.take_apart(kinds);
    plan.meet_more(kinds);
    plan.swap_for_cheaper(kinds);
    Some(plan)
}

impl Least {
    /// Moves what still fits on hand from bought sticks, and from nowhere, to there.
    fn move_on_hand(&mut self, rooms: &[Length]) {
        let mut left: Vec<Length> = rooms
            .iter()
            .zip(&self.held)
            .map(|(&room, sizes)| room - sum_of(sizes))
            .collect();
        let bought = self.to_buy.iter().enumerate();
        let bought =
            bought.flat_map(|(at, stick)| stick.sizes.iter().map(move |&size| (size, Some(at))));
        let mut sizes: Vec<(Length, Option<usize>)> = bought
            .chain(self.unmet.iter().map(|&size| (size, None)))
            .collect();
        // What is unmet comes first, then the longest.
        sizes.sort_by_key(|&(size, from)| (from.is_some(), Reverse((size, from))));
        for (size, from) in sizes {
            let to = (0..left.len())
                .filter(|&at| left[at] >= size)
                .min_by_key(|&at| (left[at], self.held[at].is_empty(), at));
            let Some(to) = to else {
                continue;
            };
            left[to] -= size;
            self.held[to].push(size);
            let from = match from {
                Some(at) => &mut self.to_buy[at].sizes,
                None => &mut self.unmet,
            };
            let at = from.iter().position(|&one| one == size);
            from.remove(at.expect("the size was read off this stick"));
        }
        for sizes in &mut self.held {
            sizes.sort_unstable_by(|a, b| b.cmp(a));
        }
        self.to_buy.retain(|stick| !stick.sizes.is_empty());
    }

    /// Takes apart sticks without a price that, now that pieces of theirs lie on hand, are bought for nothing but pieces that
    /// priced ones hold.
    fn take_apart(&mut self, kinds: &[Kind]) {
        let endless = kinds.iter();
        let endless = endless.filter(|kind| kind.price.is_some() && kind.limit.is_none());
        let held = endless.map(|kind| kind.room).max().unwrap_or(Length::ZERO);
        let (apart, kept): (Vec<Stick>, Vec<Stick>) = std::mem::take(&mut self.to_buy)
            .into_iter()
            .partition(|stick| {
                kinds[stick.kind].price.is_none() && stick.sizes.iter().all(|&size| size <= held)
            });
        self.to_buy = kept;
        self.unmet
            .extend(apart.into_iter().flat_map(|stick| stick.sizes));
        self.unmet.sort_unstable_by(|a, b| b.cmp(a));
    }

    /// Puts what is unmet on bought sticks with room for it, or on sticks that are still for sale.
    fn meet_more(&mut self, kinds: &[Kind]) {
        let mut left = self.left_of(kinds);
        for size in std::mem::take(&mut self.unmet) {
            let room = |stick: &Stick| kinds[stick.kind].room - sum_of(&stick.sizes);
            let bought = (0..self.to_buy.len())
                .filter(|&at| room(&self.to_buy[at]) >= size)
                .min_by_key(|&at| (room(&self.to_buy[at]), at));
            if let Some(at) = bought {
                self.to_buy[at].sizes.push(size);
                self.to_buy[at].sizes.sort_unstable_by(|a, b| b.cmp(a));
            } else if let Some(kind) = cheapest(kinds, &left, size) {
                take_one(&mut left, kind);
                self.to_buy.push(Stick {
                    kind,
                    sizes: vec![size],
                });
            } else {
                self.unmet.push(size);
            }
        }
    }

    /// Puts each bought stick's sizes on the cheapest kind that holds them and is still for sale.
    fn swap_for_cheaper(&mut self, kinds: &[Kind]) {
        let mut left = self.left_of(kinds);
        for stick in &mut self.to_buy {
            left[stick.kind] = left[stick.kind].map(|n| n + 1);
            if let Some(kind) = cheapest(kinds, &left, sum_of(&stick.sizes)) {
                stick.kind = kind;
            }
            take_one(&mut left, stick.kind);
        }
    }

    /// How many of each kind are still for sale; none: as many as wanted.
    fn left_of(&self, kinds: &[Kind]) -> Vec<Option<i64>> {
        let mut left: Vec<Option<i64>> = kinds.iter().map(|kind| kind.limit).collect();
        for stick in &self.to_buy {
            take_one(&mut left, stick.kind);
        }
        left
    }

    /// What is bought weighs so much.
    pub(super) fn weight(&self, kinds: &[Kind]) -> i64 {
        self.to_buy
            .iter()
            .map(|stick| kinds[stick.kind].weight)
            .sum()
    }
}

fn take_one(left: &mut [Option<i64>], kind: usize) {
    left[kind] = left[kind].map(|n| n - 1);
}

/// The cheapest kind of that room of which one is still for sale; of equal ones the longest.
fn cheapest(kinds: &[Kind], left: &[Option<i64>], room: Length) -> Option<usize> {
    (0..kinds.len())
        .filter(|&at| kinds[at].room >= room && left[at].is_none_or(|n| n > 0))
        .min_by_key(|&at| (kinds[at].weight, Reverse(kinds[at].room)))
}

/// Whether these sticks hold what is cut from them, there are so many, and that and what is unmet is all that was asked for.
fn can_be_cut(sizes: &[Length], rooms: &[Length], kinds: &[Kind], plan: &Least) -> bool {
    let mut all: Vec<Length> = plan.held.iter().flatten().copied().collect();
    all.extend(plan.to_buy.iter().flat_map(|stick| &stick.sizes));
    all.extend(&plan.unmet);
    all.sort_unstable_by(|a, b| b.cmp(a));
    let here = plan.held.iter().zip(rooms);
    let left = plan.left_of(kinds);
    all == sizes
        && here
            .into_iter()
            .all(|(cut, &room)| cut.is_empty() || sum_of(cut) <= room)
        && plan.to_buy.iter().all(|stick| {
            let kind = kinds.get(stick.kind);
            kind.is_some_and(|kind| sum_of(&stick.sizes) <= kind.room)
        })
        && left.iter().all(|n| n.is_none_or(|n| n >= 0))
}

/// `all` less `these`, both longest first.
fn without(all: &[Length], these: &[Length]) -> Vec<Length> {
    let mut out = these.iter().peekable();
    all.iter()
        .copied()
        .filter(|size| out.next_if(|&out| out == size).is_none())
        .collect()
}

fn sum_of(sizes: &[Length]) -> Length {
    sizes.iter().copied().sum()
}
