//! Equal sticks that hold three pieces at most, filled one by one.
//!
//! Where no piece is shorter than a quarter of the stick and the fewest sticks leave next to nothing over, dives end a
//! few sticks short of a plan. Here the longest piece left is completed by two others, all ways in turn; a way is given
//! up as soon as more length is wasted than the sticks have over. It proves nothing; it finds plans.
//!
//! Source: Korf, "A new algorithm for optimal bin packing", AAAI 2002, 731 to 736: completions of a bin, of which only
//! those count that no other beats piece by piece. Here for three pieces, and without a proof at the end.

use std::collections::BTreeMap;

use super::budget::Budget;
use super::problem::{Pattern, Plan, Problem};

/// Which completion is tried first, of those that waste as little.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Order {
    /// The one with the longest second piece, and so with the shortest third.
    Apart,
    /// The one whose two pieces are alike.
    Alike,
}

/// What completes the longest piece of a stick: no, one or two rows, and what the stick wastes then.
#[derive(Clone, Copy, Debug)]
struct Completion {
    rows: [Option<usize>; 2],
    waste: i64,
}

/// One stick on the way to a plan.
struct Stick {
    longest: usize,
    ways: Vec<Completion>,
    /// How many of them were tried; the last of these is the one taken.
    tried: usize,
}

/// Whether this is such a problem: one kind of stick without limit, and no piece below a quarter of it.
pub(super) fn is_of_threes(problem: &Problem) -> bool {
    let [kind] = &problem.kinds[..] else {
        return false;
    };
    let shortest = problem.sizes.last().copied().unwrap_or(0);
    kind.limit.is_none() && shortest.saturating_mul(4) >= kind.room
}

/// A plan of so many sticks; nothing if none was found in about so many steps.
pub(super) fn by_threes(
    problem: &Problem,
    sticks: i64,
    most_steps: u64,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    if !is_of_threes(problem) {
        return None;
    }
    let room = i128::from(problem.kinds[0].room);
    let over = room * i128::from(sticks) - problem.length();
    let over = i64::try_from(over).ok().filter(|&over| over >= 0)?;
    // Short tries first: a way that goes wrong at its beginning is not put right at its end.
    let mut share = most_steps.div_euclid(32).max(1);
    while share <= most_steps {
        for order in [Order::Apart, Order::Alike] {
            let old = budget.lower_to(share.div_euclid(4).max(1));
            let found = fill(problem, sticks, over, order, budget);
            budget.restore(old);
            if found.is_some() || !budget.goes_on() {
                return found;
            }
        }
        share = share.saturating_mul(2);
    }
    None
}

fn fill(
    problem: &Problem,
    sticks: i64,
    over: i64,
    order: Order,
    budget: &mut Budget<'_>,
) -> Option<Plan> {
    let mut open = problem.counts.clone();
    let mut over = over;
    let mut filled: Vec<Stick> = Vec::new();
    loop {
        let Some(longest) = open.iter().position(|&n| n > 0) else {
            return Some(plan_of(&filled));
        };
        let mut ways = Vec::new();
        if i64::try_from(filled.len()).is_ok_and(|n| n < sticks) {
            open[longest] -= 1;
            ways = completions(problem, &open, longest, over, order);
            open[longest] += 1;
        }
        filled.push(Stick {
            longest,
            ways,
            tried: 0,
        });
        // Back to the last stick that has another way.
        loop {
            if !budget.spend(problem.sizes.len()) {
                return None;
            }
            let stick = filled.last_mut()?;
            if stick.tried > 0 {
                put(&mut open, stick, 1);
                over += stick.ways[stick.tried - 1].waste;
            }
            if stick.tried < stick.ways.len() {
                stick.tried += 1;
                put(&mut open, stick, -1);
                over -= stick.ways[stick.tried - 1].waste;
                break;
            }
            filled.pop();
        }
    }
}

/// Adds so many of what lies on a stick to what is open.
fn put(open: &mut [i64], stick: &Stick, n: i64) {
    open[stick.longest] += n;
    for row in stick.ways[stick.tried - 1].rows.into_iter().flatten() {
        open[row] += n;
    }
}

/// The completions that waste no more than is over, of which none beats another piece by piece; best first.
fn completions(
    problem: &Problem,
    open: &[i64],
    longest: usize,
    over: i64,
    order: Order,
) -> Vec<Completion> {
    let sizes = &problem.sizes;
    let space = problem.kinds[0].room - sizes[longest];
    let mut ways: Vec<Completion> = Vec::new();
    // As the second piece gets shorter the third gets longer.
    let mut third_from = sizes.len();
    let mut last_third = None;
    for second in longest..sizes.len() {
        if open[second] <= 0 || sizes[second] > space {
            continue;
        }
        let left = space - sizes[second];
        while third_from > second && sizes[third_from - 1] <= left {
            third_from -= 1;
        }
        let third =
            (third_from.max(second)..sizes.len()).find(|&row| open[row] > i64::from(row == second));
        if !ways.is_empty() && third == last_third {
            continue;
        }
        let waste = left - third.map_or(0, |row| sizes[row]);
        if waste <= over {
            ways.push(Completion {
                rows: [Some(second), third],
                waste,
            });
            last_third = third;
        }
    }
    if ways.is_empty() && space <= over && open.iter().all(|&n| n <= 0) {
        ways.push(Completion {
            rows: [None, None],
            waste: space,
        });
    }
    match order {
        Order::Apart => ways.sort_by_key(|way| (way.waste, way.rows)),
        Order::Alike => ways.sort_by_key(|way| (way.waste, std::cmp::Reverse(way.rows))),
    }
    ways
}

fn plan_of(filled: &[Stick]) -> Plan {
    let mut sticks: BTreeMap<Pattern, i64> = BTreeMap::new();
    for stick in filled {
        let others = stick.ways[stick.tried - 1].rows.into_iter().flatten();
        let pattern = Pattern::of_rows(std::iter::once(stick.longest).chain(others));
        *sticks.entry(pattern).or_default() += 1;
    }
    Plan {
        sticks: sticks.into_iter().collect(),
    }
}
