//! The least cost for pieces that sticks on hand and priced sticks hold, by the exact search with a small work limit.
//!
//! What it does not do: look at lengths without a price, or at pieces that only those hold; there the simple packing stays.

use super::exact::{Demand, Instance, Row, Stock, WorkLimits, solve};
use super::fill::{Kind, Stick};
use scantling_units::{Length, Money};

/// A list of a week has to come up at once, so the search ends after some fortieth of a second with what it has.
const LIMITS: WorkLimits = WorkLimits {
    steps: 10_000_000,
    steps_for_sticks: 2_000_000,
    nodes: 200,
    most_sizes: 120,
    most_kinds: 60,
};

/// What the search found.
pub(super) struct Least {
    /// For each room on hand the sizes cut from it, longest first.
    pub(super) held: Vec<Vec<Length>>,
    /// What is bought.
    pub(super) to_buy: Vec<Stick>,
    /// No plan costs less.
    pub(super) bound: Money,
}

impl Least {
    /// The longest size that a stick of it, or one on hand that is not cut, holds besides.
    pub(super) fn longest_rest(&self, rooms: &[Length], priced: &[Kind]) -> Length {
        let here = self.held.iter().zip(rooms);
        let bought = self.to_buy.iter();
        here.map(|(cut, &room)| room - sum_of(cut))
            .chain(bought.map(|stick| priced[stick.kind].room - stick.used()))
            .max()
            .unwrap_or(Length::ZERO)
    }
}

/// The cheapest plan found for `sizes` (longest first, a kerf on each) from rooms on hand and priced kinds; none where a
/// size is left over.
///
/// A size that still fits on hand is not bought for: it goes where least room is left, longest first.
pub(super) fn least_cost(sizes: &[Length], rooms: &[Length], priced: &[Kind]) -> Option<Least> {
    let mut different = sizes.to_vec();
    different.dedup();
    if different.len() > LIMITS.most_sizes || rooms.len() + priced.len() > LIMITS.most_kinds {
        return None;
    }
    // What is for sale has a trim of one here, so that it is told apart from what lies on hand at the same price.
    let on_hand = rooms.iter().map(|room| Stock {
        length: room.as_64ths().max(0),
        trim: 0,
        price: 0,
        limit: Some(1),
    });
    let for_sale = priced.iter().map(|kind| Stock {
        length: kind.room.as_64ths() + 1,
        trim: 1,
        price: kind.weight,
        limit: None,
    });
    let instance = Instance {
        stock: on_hand.chain(for_sale).collect(),
        demand: sizes
            .iter()
            .map(|size| Demand {
                length: size.as_64ths(),
                count: 1,
            })
            .collect(),
        kerf: 0,
    };
    let answer = solve(&instance, &LIMITS, &mut || false).ok()?;
    if !answer.unmet.is_empty() {
        return None;
    }
    let mut held: Vec<Vec<Length>> = vec![Vec::new(); rooms.len()];
    let mut bought: Vec<Vec<Length>> = Vec::new();
    for row in &answer.plan {
        for _ in 0..row.times {
            let cuts = row
                .cuts
                .iter()
                .map(|&cut| Length::from_64ths(cut))
                .collect();
            match room_of(row, rooms, &held) {
                Some(at) => held[at] = cuts,
                None => bought.push(cuts),
            }
        }
    }
    move_on_hand(rooms, &mut held, &mut bought);
    let to_buy: Vec<Stick> = bought
        .into_iter()
        .filter(|sizes| !sizes.is_empty())
        .map(|sizes| {
            let used: Length = sizes.iter().copied().sum();
            Stick {
                kind: priced.partition_point(|kind| kind.room < used),
                sizes,
            }
        })
        .collect();
    // Nobody cuts by a plan that a plain second look doesn't bear out.
    let is_sound = can_be_cut(sizes, rooms, priced, &held, &to_buy);
    debug_assert!(is_sound, "{sizes:?} on {rooms:?}");
    is_sound.then_some(Least {
        held,
        to_buy,
        bound: Money::from_cents(answer.lower_bound),
    })
}

/// Whether these sticks hold what is cut from them, and that is all that was asked for.
fn can_be_cut(
    sizes: &[Length],
    rooms: &[Length],
    priced: &[Kind],
    held: &[Vec<Length>],
    to_buy: &[Stick],
) -> bool {
    let mut all: Vec<Length> = held.iter().flatten().copied().collect();
    all.extend(to_buy.iter().flat_map(|stick| &stick.sizes).copied());
    all.sort_by(|a, b| b.cmp(a));
    all == sizes
        && held
            .iter()
            .zip(rooms)
            .all(|(cut, &room)| cut.is_empty() || sum_of(cut) <= room)
        && to_buy.iter().all(|stick| {
            priced
                .get(stick.kind)
                .is_some_and(|kind| stick.used() <= kind.room)
        })
}

/// The first room on hand of that length which is still whole; none for a stick that is bought.
fn room_of(row: &Row, rooms: &[Length], held: &[Vec<Length>]) -> Option<usize> {
    if row.trim != 0 {
        return None;
    }
    (0..rooms.len()).find(|&at| rooms[at].as_64ths() == row.length && held[at].is_empty())
}

fn sum_of(sizes: &[Length]) -> Length {
    sizes.iter().copied().sum()
}

/// Moves what still fits on hand from bought sticks to there.
fn move_on_hand(rooms: &[Length], held: &mut [Vec<Length>], bought: &mut [Vec<Length>]) {
    let mut left: Vec<Length> = rooms
        .iter()
        .zip(held.iter())
        .map(|(&room, sizes)| room - sum_of(sizes))
        .collect();
    let mut sizes: Vec<(Length, usize)> = bought
        .iter()
        .enumerate()
        .flat_map(|(at, sizes)| sizes.iter().map(move |&size| (size, at)))
        .collect();
    sizes.sort_by(|a, b| b.cmp(a));
    for (size, from) in sizes {
        let to = (0..left.len())
            .filter(|&at| left[at] >= size)
            .min_by_key(|&at| (left[at], held[at].is_empty(), at));
        let Some(to) = to else {
            continue;
        };
        left[to] -= size;
        held[to].push(size);
        let at = bought[from]
            .iter()
            .position(|&one| one == size)
            .expect("the size was read off this stick");
        bought[from].remove(at);
    }
    for sizes in held {
        sizes.sort_by(|a, b| b.cmp(a));
    }
}
