//! The most worth that fits a stick, in whole numbers, and every fill that is worth nearly that.
//!
//! Both keep, after each size, only the fills that are worth more than every lighter one. That takes no table as long
//! as the stick, and one list serves all kinds of sticks.
//!
//! Source: the list method for the knapsack problem (Nemhauser and Ullmann 1969), with bounded counts.

use super::budget::Budget;
use super::problem::{Counts, Problem};

/// Parts of one in which worth by length is kept.
const FINE: u32 = 20;

/// Points kept in all lists together, at most: some ten megabytes.
const MOST_POINTS: usize = 3_000_000;

/// Room taken and worth of a fill.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Point {
    used: i64,
    worth: i64,
}

/// A size in the order in which it is tried.
#[derive(Clone, Copy, Debug)]
struct Item {
    row: usize,
    size: i64,
    worth: i64,
    most: i64,
}

/// The best fill of one kind.
#[derive(Clone, Debug)]
pub(super) struct Fill {
    /// What it is worth.
    pub(super) worth: i64,
    /// What it holds.
    pub(super) counts: Counts,
}

/// For each kind the fills worth more than its target, best first, at most `each`; none at all if the best is not above the target.
///
/// No fill holds more of a size than `counts`. Nothing comes back if the budget was spent or the lists grew too long.
pub(super) fn best_fills(
    problem: &Problem,
    worths: &[i64],
    counts: &[i64],
    targets: &[i64],
    each: usize,
    budget: &mut Budget<'_>,
) -> Option<Vec<Vec<Fill>>> {
    let items = by_density(problem, worths, counts);
    let longest = problem.kinds.last().map_or(0, |kind| kind.room);
    let mut stages: Vec<Vec<Point>> = vec![vec![Point { used: 0, worth: 0 }]];
    let mut points = 0;
    for (at, item) in items.iter().enumerate() {
        let next = items.get(at + 1).map_or(0, density);
        // A fill is of use only if the rest of some stick, filled at the next size's worth, lifts it above the target.
        let needed = problem
            .kinds
            .iter()
            .zip(targets)
            .map(|(kind, &target)| (i128::from(target) << FINE) - i128::from(kind.room) * next)
            .min()
            .unwrap_or(0);
        let list = with_item(&stages[at], item, longest, budget)?;
        stages.push(lifted(list, next, needed));
        points += stages.last().map_or(0, Vec::len);
        if points > MOST_POINTS {
            return None;
        }
    }
    let last = stages.last().map_or(&[][..], Vec::as_slice);
    let fills = problem
        .kinds
        .iter()
        .zip(targets)
        .map(|(kind, &target)| {
            let end = last.partition_point(|point| point.used <= kind.room);
            last[..end]
                .iter()
                .rev()
                .take_while(|point| point.worth > target)
                .take(each)
                .map(|&point| Fill {
                    worth: point.worth,
                    counts: read_back(&items, &stages, point),
                })
                .collect()
        })
        .collect();
    Some(fills)
}

/// Those points whose worth in fine parts, less their length at `next` a unit, is above `needed`.
fn lifted(mut list: Vec<Point>, next: i128, needed: i128) -> Vec<Point> {
    if let Ok(next) = i64::try_from(next) {
        // Two factors of 64 bits make no product too large for 128, so that nothing need be checked.
        let next = i128::from(next);
        list.retain(|point| {
            let length = i128::from(point.used).wrapping_mul(next);
            (i128::from(point.worth) << FINE).wrapping_sub(length) > needed
        });
    } else {
        list.retain(|point| {
            (i128::from(point.worth) << FINE) - i128::from(point.used) * next > needed
        });
    }
    list
}

/// Every fill of a kind that cannot take one more piece and is worth at least a floor.
///
/// Gives at most `most` of each kind's floors together; nothing if there are more, if the budget was spent, or if
/// the lists grew too long.
pub(super) fn all_fills(
    problem: &Problem,
    worths: &[i64],
    floors: &[i64],
    most: usize,
    budget: &mut Budget<'_>,
) -> Option<Vec<(usize, Counts)>> {
    let mut items = by_density(problem, worths, &problem.counts);
    let worthless =
        (0..problem.sizes.len()).filter(|&row| worths[row] <= 0 && problem.counts[row] > 0);
    items.extend(worthless.map(|row| Item {
        row,
        size: problem.sizes[row],
        worth: 0,
        most: problem.counts[row],
    }));
    // Long sizes first: a stick is then full after few steps.
    items.sort_by_key(|item| item.row);
    let longest = problem.kinds.last().map_or(0, |kind| kind.room);
    let mut points = 0;
    let mut suffixes: Vec<Vec<Point>> = vec![vec![Point { used: 0, worth: 0 }]];
    for item in items.iter().rev() {
        let list = with_item(
            suffixes.last().map_or(&[], Vec::as_slice),
            item,
            longest,
            budget,
        )?;
        points += list.len();
        if points > MOST_POINTS {
            return None;
        }
        suffixes.push(list);
    }
    suffixes.reverse();
    let mut lengths: Vec<i64> = vec![0];
    for item in items.iter().rev() {
        lengths.push(lengths.last().copied().unwrap_or(0) + item.size * item.most);
    }
    lengths.reverse();
    let mut walk = Walk {
        items: &items,
        suffixes: &suffixes,
        lengths: &lengths,
        held: vec![0; items.len()],
        found: Vec::new(),
        most,
        steps: 0,
    };
    for (kind, &floor) in floors.iter().enumerate() {
        let room = problem.kinds[kind].room;
        // A fill that a cheaper or equal kind without limit holds is that kind's.
        let shorter = problem.kinds[..kind]
            .iter()
            .filter(|other| other.limit.is_none() && other.price <= problem.kinds[kind].price)
            .map(|other| other.room)
            .max()
            .unwrap_or(0);
        if !walk.from(kind, 0, room, floor, room - shorter, budget) {
            return None;
        }
    }
    Some(walk.found)
}

/// The walk through all fills of one kind.
struct Walk<'a> {
    items: &'a [Item],
    suffixes: &'a [Vec<Point>],
    /// Length of all pieces from each item on.
    lengths: &'a [i64],
    held: Vec<i64>,
    found: Vec<(usize, Counts)>,
    most: usize,
    steps: usize,
}

impl Walk<'_> {
    /// Goes on from item `at` with so much room left, so much worth still needed, and less than `most_left` to be left
    /// at the end. Says whether it came to its end.
    fn from(
        &mut self,
        kind: usize,
        at: usize,
        room: i64,
        needed: i64,
        most_left: i64,
        budget: &mut Budget<'_>,
    ) -> bool {
        self.steps += 1;
        if self.steps >= 256 {
            if !budget.spend(self.steps * 16) {
                return false;
            }
            self.steps = 0;
        }
        let suffix = &self.suffixes[at];
        let end = suffix.partition_point(|point| point.used <= room);
        if suffix[end - 1].worth < needed {
            return true;
        }
        if room - self.lengths[at] >= most_left {
            return true;
        }
        let Some(&item) = self.items.get(at) else {
            if self.found.len() >= self.most {
                return false;
            }
            let held = self.items.iter().zip(&self.held).filter(|&(_, &n)| n > 0);
            let counts = held.map(|(item, &n)| (item.row, n)).collect();
            self.found.push((kind, counts));
            return true;
        };
        for n in (0..=item.most.min(room.div_euclid(item.size))).rev() {
            self.held[at] = n;
            // A fill that leaves room for one more of these could take it.
            let most_left = if n < item.most {
                most_left.min(item.size)
            } else {
                most_left
            };
            if !self.from(
                kind,
                at + 1,
                room - n * item.size,
                needed - n * item.worth,
                most_left,
                budget,
            ) {
                return false;
            }
        }
        self.held[at] = 0;
        true
    }
}

/// Sizes that are worth something, most worth by length first.
fn by_density(problem: &Problem, worths: &[i64], counts: &[i64]) -> Vec<Item> {
    let longest = problem.kinds.last().map_or(0, |kind| kind.room);
    let mut items: Vec<Item> = (0..problem.sizes.len())
        .map(|row| Item {
            row,
            size: problem.sizes[row],
            worth: worths[row],
            most: counts[row].min(longest.div_euclid(problem.sizes[row])),
        })
        .filter(|item| item.worth > 0 && item.most > 0)
        .collect();
    items.sort_by(|a, b| {
        let across = |x: &Item, y: &Item| i128::from(x.worth) * i128::from(y.size);
        across(b, a).cmp(&across(a, b)).then(a.row.cmp(&b.row))
    });
    items
}

/// Worth of one unit of length, rounded up, in fine parts.
fn density(item: &Item) -> i128 {
    -(-(i128::from(item.worth) << FINE)).div_euclid(i128::from(item.size))
}

/// The best fills after up to `item.most` of an item are added to those of `list`: one, two, four and so on at once, and what
/// is left of them, so that every number up to all comes of some of these.
fn with_item(
    list: &[Point],
    item: &Item,
    longest: i64,
    budget: &mut Budget<'_>,
) -> Option<Vec<Point>> {
    let mut now: Option<Vec<Point>> = None;
    let mut left = item.most.min(longest.div_euclid(item.size));
    let mut at_once = 1;
    while left > 0 {
        let list = now.as_deref().unwrap_or(list);
        if !budget.spend(3 * list.len()) {
            return None;
        }
        let copies = at_once.min(left);
        let (next, grew) = merged(list, item.size * copies, item.worth * copies, longest);
        now = Some(next);
        if !grew && copies == 1 {
            break;
        }
        left -= copies;
        at_once *= 2;
    }
    Some(now.unwrap_or_else(|| list.to_vec()))
}

/// `list`, and the same with so much more used and worth on top of each; of both only what is worth more than all lighter
/// ones. Says whether anything of the latter was kept.
fn merged(list: &[Point], size: i64, worth: i64, longest: i64) -> (Vec<Point>, bool) {
    let fits = list.partition_point(|point| point.used <= longest - size);
    let mut out = Vec::with_capacity(list.len() + fits);
    let (mut best, mut grew) = (-1, false);
    let mut old = list.iter().copied().peekable();
    for point in &list[..fits] {
        let point = Point {
            used: point.used + size,
            worth: point.worth + worth,
        };
        while let Some(lighter) = old.next_if(|old| {
            old.used < point.used || (old.used == point.used && old.worth >= point.worth)
        }) {
            if lighter.worth > best {
                best = lighter.worth;
                out.push(lighter);
            }
        }
        if point.worth > best {
            best = point.worth;
            out.push(point);
            grew = true;
        }
    }
    for point in old {
        if point.worth > best {
            best = point.worth;
            out.push(point);
        }
    }
    (out, grew)
}

/// What a fill of the last stage holds.
fn read_back(items: &[Item], stages: &[Vec<Point>], mut point: Point) -> Counts {
    let mut counts = Counts::new();
    for (item, stage) in items.iter().zip(stages).rev() {
        for n in 0..=item.most {
            let before = Point {
                used: point.used - n * item.size,
                worth: point.worth - n * item.worth,
            };
            let there = stage.binary_search_by_key(&before.used, |point| point.used);
            if there.is_ok_and(|at| stage[at] == before) {
                if n > 0 {
                    counts.push((item.row, n));
                }
                point = before;
                break;
            }
        }
    }
    counts.sort_unstable();
    counts
}
