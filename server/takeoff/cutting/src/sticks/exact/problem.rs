//! The problem as the search sees it: sizes into kinds of sticks, no kerf, no trim, equal ones counted.
//!
//! One kerf is added to each piece and one to each stick; n pieces then take n sizes and no cut counts, which is exact.
//! A kind that another beats is left out: one sold without limit that is no shorter and no dearer.

use std::collections::BTreeMap;

use crate::common_divisor;

/// Whole numbers that duals and fills are counted in stay below two to this.
const BITS_OF_WORTH: u32 = 44;

/// A kind of stick.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Kind {
    /// Usable length and one kerf.
    pub(super) room: i64,
    /// Cents of one.
    pub(super) price: i64,
    /// How many there are; none: as many as wanted.
    pub(super) limit: Option<i64>,
    /// Length before trim, for on-hand sticks: what is begun with one. Zero for what is bought.
    pub(super) begun: i64,
    /// Which stock this is.
    pub(super) stock: usize,
}

/// What is cut from one stick: rows of sizes and how many of each, none zero, rows ascending.
pub(super) type Counts = Vec<(usize, i64)>;

/// What cents are multiplied by for duals, where this is the dearest price.
pub(super) fn scale_for(dearest: i64) -> i64 {
    let bits = 64 - dearest.leading_zeros();
    1 << BITS_OF_WORTH.saturating_sub(bits).clamp(4, 24)
}

/// One stick, or several alike.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Pattern {
    /// Position among the kinds.
    pub(super) kind: usize,
    /// What is cut from it.
    pub(super) counts: Counts,
}

impl Pattern {
    /// A stick of the first kind, of pieces given by their rows, in any order.
    pub(super) fn of_rows(rows: impl IntoIterator<Item = usize>) -> Self {
        let mut held: BTreeMap<usize, i64> = BTreeMap::new();
        for row in rows {
            *held.entry(row).or_default() += 1;
        }
        Self {
            kind: 0,
            counts: held.into_iter().collect(),
        }
    }
}

/// Sizes into kinds.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    /// Shortest first, then cheapest.
    pub(super) kinds: Vec<Kind>,
    /// Longest first, each once, none longer than the longest kind.
    pub(super) sizes: Vec<i64>,
    /// How many of each size.
    pub(super) counts: Vec<i64>,
    /// All prices are multiples of this.
    pub(super) step: i64,
    /// Cents are multiplied by this where they are compared with duals.
    pub(super) scale: i64,
}

impl Problem {
    /// Sorted, merged and reduced.
    pub(super) fn new(mut kinds: Vec<Kind>, sizes: Vec<i64>, counts: Vec<i64>) -> Self {
        let pieces: i64 = counts.iter().sum();
        let shortest = sizes.last().copied().unwrap_or(i64::MAX);
        kinds.retain(|kind| kind.room >= shortest && kind.limit != Some(0));
        for kind in &mut kinds {
            kind.limit = kind.limit.filter(|&limit| limit < pieces);
        }
        kinds.sort_by_key(|kind| (kind.room, kind.price, kind.begun, kind.limit, kind.stock));
        let all = kinds.clone();
        kinds = Vec::new();
        for (at, &kind) in all.iter().enumerate() {
            let beaten = all.iter().enumerate().any(|(other, by)| {
                let first = (by.room, by.price) != (kind.room, kind.price)
                    || (by.begun, other) < (kind.begun, at);
                other != at
                    && first
                    && by.limit.is_none()
                    && by.room >= kind.room
                    && by.price <= kind.price
                    && by.begun <= kind.begun
            });
            if !beaten {
                kinds.push(kind);
            }
        }
        let step = kinds
            .iter()
            .fold(0, |step, kind| common_divisor(step, kind.price))
            .max(1);
        let dearest = kinds.iter().map(|kind| kind.price).max().unwrap_or(0);
        Self {
            kinds,
            sizes,
            counts,
            step,
            scale: scale_for(dearest),
        }
    }

    /// How many of a kind a plan can use at most.
    pub(super) fn most_of(&self, kind: usize) -> i64 {
        self.kinds[kind].limit.unwrap_or_else(|| self.pieces())
    }

    /// The same of every kind.
    pub(super) fn most(&self) -> Vec<i64> {
        (0..self.kinds.len())
            .map(|kind| self.most_of(kind))
            .collect()
    }

    /// How many pieces there are.
    pub(super) fn pieces(&self) -> i64 {
        self.counts.iter().sum()
    }

    /// Length of all pieces, a kerf on each.
    pub(super) fn length(&self) -> i128 {
        let rows = self.sizes.iter().zip(&self.counts);
        rows.map(|(&size, &n)| i128::from(size) * i128::from(n))
            .sum()
    }

    /// How many sticks the length of all pieces takes at least.
    pub(super) fn fewest_by_length(&self) -> i64 {
        let longest = self.kinds.last().map_or(1, |kind| kind.room);
        let sticks = -(-self.length()).div_euclid(i128::from(longest));
        i64::try_from(sticks).unwrap_or(0)
    }

    /// What the length of all pieces costs at least, as if sticks were sold by the inch: cheapest inches first.
    pub(super) fn cost_by_length(&self) -> i64 {
        let mut kinds: Vec<(i128, i128, i128)> = self
            .kinds
            .iter()
            .zip(self.most())
            .map(|(kind, most)| (kind.price.into(), kind.room.into(), most.into()))
            .collect();
        kinds.sort_by(|a, b| (a.0 * b.1, a).cmp(&(b.0 * a.1, b)));
        let (mut cents, mut left) = (0, self.length());
        for (price, room, most) in kinds {
            if left > most * room {
                cents += most * price;
                left -= most * room;
            } else {
                cents -= (-left * price).div_euclid(room);
                break;
            }
        }
        let step = i128::from(self.step);
        i64::try_from(-(-cents).div_euclid(step) * step).unwrap_or(i64::MAX)
    }

    /// The dearest price.
    pub(super) fn dearest(&self) -> i64 {
        self.kinds.iter().map(|kind| kind.price).max().unwrap_or(0)
    }

    /// Room that these counts take.
    pub(super) fn used(&self, counts: &Counts) -> i64 {
        counts.iter().map(|&(row, n)| self.sizes[row] * n).sum()
    }

    /// Whether some kind without limit holds every size, so that there is always a plan.
    pub(super) fn is_always_possible(&self) -> bool {
        let longest = self.sizes.first().copied().unwrap_or(0);
        self.kinds
            .iter()
            .any(|kind| kind.limit.is_none() && kind.room >= longest)
    }

    /// Rounds a bound, in cents times scale, up to what sums of these prices can come to.
    pub(super) fn cents_at_least(&self, scaled: i128) -> i64 {
        let unit = i128::from(self.scale) * i128::from(self.step);
        let cents = -(-scaled).div_euclid(unit) * i128::from(self.step);
        i64::try_from(cents.max(0)).unwrap_or(i64::MAX)
    }
}

/// Sticks with what is cut from each, like ones counted.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Plan {
    /// Patterns and how many of each.
    pub(super) sticks: Vec<(Pattern, i64)>,
}

impl Plan {
    /// Price of all sticks.
    pub(super) fn cost(&self, problem: &Problem) -> i64 {
        self.sticks
            .iter()
            .map(|(pattern, n)| problem.kinds[pattern.kind].price * n)
            .sum()
    }

    /// How many sticks.
    pub(super) fn count(&self) -> i64 {
        self.sticks.iter().map(|(_, n)| n).sum()
    }

    /// The same sticks with kinds and rows called otherwise; rows have to stay in their order.
    pub(super) fn renamed(
        self,
        kind: impl Fn(usize) -> usize,
        row: impl Fn(usize) -> usize,
    ) -> Self {
        let renamed = |(pattern, n): (Pattern, i64)| {
            let counts = pattern.counts.into_iter();
            let pattern = Pattern {
                kind: kind(pattern.kind),
                counts: counts.map(|(at, each)| (row(at), each)).collect(),
            };
            (pattern, n)
        };
        Self {
            sticks: self.sticks.into_iter().map(renamed).collect(),
        }
    }

    /// What is wanted least: cost, sticks, on-hand length begun.
    pub(super) fn rank(&self, problem: &Problem) -> (i64, i64, i64) {
        let begun = self
            .sticks
            .iter()
            .map(|(pattern, n)| problem.kinds[pattern.kind].begun * n)
            .sum();
        (self.cost(problem), self.count(), begun)
    }
}
