//! Sizes into sticks to buy, as many of each kind as wanted, without kerf (each size and each room carries one).
//!
//! What it does not do: search. It fills sticks longest size first in a few ways of choosing the next stick, then
//! tries to do without single sticks, and keeps the best of the plans. Work is limited by counted steps, so the answer
//! never depends on the machine.

use std::cmp::Reverse;
use std::collections::BTreeSet;

use scantling_units::{Length, Money};

/// Looks for a new place for a size, at most this many in one plan: some milliseconds.
const MOST_LOOKS: usize = 20_000;

/// A stick length for sale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    /// As sold.
    pub(super) length: Length,
    /// Price, if there is one.
    pub(super) price: Option<Money>,
    /// Less trim, plus one kerf.
    pub(super) room: Length,
    /// What is kept least: cents, or 64ths of length where there is no price.
    pub(super) weight: i64,
}

/// A stick to buy with the sizes cut from it.
#[derive(Clone, Debug)]
pub(super) struct Stick {
    /// Position among the kinds.
    pub(super) kind: usize,
    /// Longest first.
    pub(super) sizes: Vec<Length>,
}

impl Stick {
    /// Room taken.
    pub(super) fn used(&self) -> Length {
        self.sizes.iter().copied().sum()
    }
}

/// How the next stick is chosen among those that hold the longest size left.
#[derive(Clone, Copy)]
enum Opening {
    CheapestForItsLength,
    Shortest,
    Longest,
    CheapestForWhatItHolds,
}

/// Packs `sizes` (longest first, none over the longest kind) into `kinds` (shortest first, each dearer than the one
/// before): least weight found, then fewest sticks, then the longest leftover.
pub(super) fn cheapest(sizes: &[Length], kinds: &[Kind]) -> Vec<Stick> {
    [
        Opening::CheapestForWhatItHolds,
        Opening::CheapestForItsLength,
        Opening::Longest,
        Opening::Shortest,
    ]
    .into_iter()
    .map(|opening| {
        let mut plan = fill(sizes, kinds, opening);
        shorten(&mut plan, kinds);
        dissolve(&mut plan, kinds);
        shorten(&mut plan, kinds);
        plan
    })
    .min_by_key(|plan| {
        let weight: i64 = plan.iter().map(|stick| kinds[stick.kind].weight).sum();
        let leftover = plan
            .iter()
            .map(|stick| kinds[stick.kind].room - stick.used())
            .max();
        (weight, plan.len(), Reverse(leftover))
    })
    .unwrap_or_default()
}

/// First-fit decreasing: one stick after the other is filled, longest size first, which comes to the same.
fn fill(sizes: &[Length], kinds: &[Kind], opening: Opening) -> Vec<Stick> {
    let mut left = Left::new(sizes);
    let mut plan = Vec::new();
    while let Some(longest) = left.longest() {
        let first = kinds.partition_point(|kind| kind.room < longest);
        let holding = first..kinds.len();
        let kind = match opening {
            Opening::Shortest => Some(first),
            Opening::Longest => holding.last(),
            Opening::CheapestForItsLength => holding
                .rev()
                .min_by(|&a, &b| dearness(&kinds[a], kinds[a].room, &kinds[b], kinds[b].room)),
            Opening::CheapestForWhatItHolds => holding
                .map(|kind| (kind, left.held_by(kinds[kind].room)))
                .rev()
                .min_by(|&(a, in_a), &(b, in_b)| dearness(&kinds[a], in_a, &kinds[b], in_b))
                .map(|(kind, _)| kind),
        };
        let kind = kind.expect("the longest kind holds every size");
        plan.push(Stick {
            kind,
            sizes: left.take(kinds[kind].room),
        });
    }
    plan
}

/// Compares what two kinds weigh for each unit of the length they give.
fn dearness(a: &Kind, given_a: Length, b: &Kind, given_b: Length) -> std::cmp::Ordering {
    let across =
        |kind: &Kind, other: Length| i128::from(kind.weight) * i128::from(other.as_64ths());
    across(a, given_b).cmp(&across(b, given_a))
}

/// Puts each stick's sizes on the shortest kind that holds them, which is the cheapest.
fn shorten(plan: &mut [Stick], kinds: &[Kind]) {
    for stick in plan {
        let used = stick.used();
        stick.kind = kinds.partition_point(|kind| kind.room < used);
    }
}

/// Does without single sticks where their sizes go on the others, some of these longer, at no more weight.
fn dissolve(plan: &mut Vec<Stick>, kinds: &[Kind]) {
    let mut used: Vec<Length> = plan.iter().map(Stick::used).collect();
    let mut hosts: Vec<BTreeSet<(Length, usize)>> = vec![BTreeSet::new(); kinds.len()];
    for (at, stick) in plan.iter().enumerate() {
        hosts[stick.kind].insert((used[at], at));
    }
    let mut order: Vec<usize> = (0..plan.len()).collect();
    order.sort_by_key(|&at| (used[at], at));
    let mut looks = 0;
    for at in order {
        if looks >= MOST_LOOKS {
            break;
        }
        let own = plan[at].kind;
        hosts[own].remove(&(used[at], at));
        let allowance = kinds[own].weight;
        let mut added = 0;
        let mut moved: Vec<(usize, usize)> = Vec::new();
        let sizes = plan[at].sizes.clone();
        for &size in &sizes {
            let place = cheapest_host(&hosts, kinds, size, &mut looks);
            let Some((more, _, kind, host)) = place.filter(|&(more, ..)| added + more <= allowance)
            else {
                break;
            };
            added += more;
            moved.push((host, plan[host].kind));
            hosts[plan[host].kind].remove(&(used[host], host));
            used[host] += size;
            plan[host].kind = kind;
            plan[host].sizes.push(size);
            hosts[kind].insert((used[host], host));
        }
        if moved.len() == sizes.len() {
            plan[at].sizes.clear();
            continue;
        }
        for (&size, &(host, kind)) in sizes.iter().zip(&moved).rev() {
            hosts[plan[host].kind].remove(&(used[host], host));
            used[host] -= size;
            plan[host].kind = kind;
            plan[host].sizes.pop();
            hosts[kind].insert((used[host], host));
        }
        hosts[own].insert((used[at], at));
    }
    plan.retain(|stick| !stick.sizes.is_empty());
    for stick in plan {
        stick.sizes.sort_by_key(|&size| Reverse(size));
    }
}

/// The stick that takes one more size for least added weight, then the fullest: added weight, fullness, new kind, stick.
fn cheapest_host(
    hosts: &[BTreeSet<(Length, usize)>],
    kinds: &[Kind],
    size: Length,
    looks: &mut usize,
) -> Option<(i64, Reverse<Length>, usize, usize)> {
    let mut best = None;
    for (kind, sticks) in hosts
        .iter()
        .enumerate()
        .filter(|(_, sticks)| !sticks.is_empty())
    {
        for longer in kind..kinds.len() {
            *looks += 1;
            let most = kinds[longer].room - size;
            if let Some(&(used, host)) = sticks.range(..=(most, usize::MAX)).next_back() {
                let more = kinds[longer].weight - kinds[kind].weight;
                let found = (more, Reverse(used), longer, host);
                best = best.into_iter().chain([found]).min();
                break;
            }
        }
    }
    best
}

/// The sizes not yet placed, equal ones counted.
struct Left {
    /// Different sizes, longest first.
    sizes: Vec<Length>,
    counts: Vec<i64>,
    /// From each position, a position at or after it before which all are used up.
    next: Vec<usize>,
}

impl Left {
    fn new(all: &[Length]) -> Self {
        let mut sizes: Vec<Length> = Vec::new();
        let mut counts: Vec<i64> = Vec::new();
        for &size in all {
            match (sizes.last(), counts.last_mut()) {
                (Some(&last), Some(count)) if last == size => *count += 1,
                _ => {
                    sizes.push(size);
                    counts.push(1);
                }
            }
        }
        let next = (0..=sizes.len()).collect();
        Self {
            sizes,
            counts,
            next,
        }
    }

    fn longest(&mut self) -> Option<Length> {
        let at = self.at_or_after(0);
        self.sizes.get(at).copied()
    }

    /// First position from `at` on with something left; the end if there is none.
    fn at_or_after(&mut self, mut at: usize) -> usize {
        while self.next[at] != at {
            self.next[at] = self.next[self.next[at]];
            at = self.next[at];
        }
        at
    }

    /// The next run that goes into `room`, longest size first, from position `from` on: position and count.
    fn run(&mut self, room: Length, from: usize) -> Option<(usize, i64)> {
        let fits = from + self.sizes[from..].partition_point(|&size| size > room);
        let at = self.at_or_after(fits);
        let size = *self.sizes.get(at)?;
        Some((at, self.counts[at].min(room.div_down(size))))
    }

    /// How much of `room` the sizes left would fill.
    fn held_by(&mut self, room: Length) -> Length {
        let (mut free, mut from) = (room, 0);
        while let Some((at, n)) = self.run(free, from) {
            free -= self.sizes[at] * n;
            from = at + 1;
        }
        room - free
    }

    /// Fills `room` and takes these sizes out.
    fn take(&mut self, room: Length) -> Vec<Length> {
        let (mut free, mut from, mut taken) = (room, 0, Vec::new());
        while let Some((at, n)) = self.run(free, from) {
            let size = self.sizes[at];
            free -= size * n;
            from = at + 1;
            taken.extend((0..n).map(|_| size));
            self.counts[at] -= n;
            if self.counts[at] == 0 {
                self.next[at] = at + 1;
            }
        }
        taken
    }
}
