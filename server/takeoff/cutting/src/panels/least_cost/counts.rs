//! Which numbers of sheets could hold everything, cheapest first.
//!
//! What it does not do: fill them. It lists every choice that no row refutes, so that what is cheaper than the first of
//! them can't be done. Integers only, so the bound holds exactly.

use std::collections::BTreeSet;

use super::model::Model;
use super::rows::Row;

/// Choices of all kinds but one that are listed, at most.
const MOST_CHOICES: usize = 20_000;

/// Priced kinds beside the growing one, at most.
const MOST_OTHERS: usize = 12;

/// How many of each kind, on hand included.
pub(super) type Counts = Vec<u64>;

/// Choices of sheets to buy, cheapest first; all that costs nothing is always taken.
pub(super) struct Choices {
    waiting: BTreeSet<(i128, u64, Counts)>,
    /// Choices that cost as much or more may be missing.
    ceiling: Option<i128>,
    /// What any plan costs at least, whatever is listed.
    floor: i128,
    /// Whether every choice below the ceiling is listed.
    complete: bool,
    /// The kind whose number grows when a choice turns out too small.
    growing: Option<usize>,
    most: Counts,
    prices: Vec<i128>,
}

impl Choices {
    /// The choices that cost less than `ceiling`, if any.
    pub(super) fn below(ceiling: Option<i128>, model: &Model, rows: &[Row]) -> Self {
        let most = model.most();
        let prices: Vec<i128> = model.kinds.iter().map(|kind| kind.price).collect();
        let mut choices = Self {
            waiting: BTreeSet::new(),
            ceiling,
            floor: floor(model, rows, &most),
            complete: true,
            growing: growing(model),
            most,
            prices,
        };
        let start: Counts = (0..model.kinds.len())
            .map(|kind| {
                if choices.prices[kind] == 0 {
                    choices.most[kind]
                } else {
                    0
                }
            })
            .collect();
        let Some(growing) = choices.growing else {
            if rows.iter().all(|row| short(row, &start) <= 0) {
                choices.waiting.insert((0, sheets(&start), start));
            }
            return choices;
        };
        let others: Vec<usize> = (0..model.kinds.len())
            .filter(|&kind| choices.prices[kind] > 0 && kind != growing)
            .collect();
        let mut left = if others.len() > MOST_OTHERS {
            0
        } else {
            MOST_CHOICES
        };
        choices.list(&others, start, 0, rows, &mut left);
        if left == 0 {
            choices.complete = false;
            choices.waiting.clear();
        }
        choices
    }

    /// Lists the choices of the other kinds from here on, each with the fewest of the growing kind that do.
    fn list(
        &mut self,
        others: &[usize],
        counts: Counts,
        cost: i128,
        rows: &[Row],
        left: &mut usize,
    ) {
        if *left == 0 || self.is_too_dear(cost) {
            return;
        }
        let Some((&kind, others)) = others.split_first() else {
            *left -= 1;
            self.complete_with_growing(counts, cost, rows);
            return;
        };
        for n in 0..=self.most[kind] {
            let cost = cost + self.prices[kind] * i128::from(n);
            if *left == 0 || self.is_too_dear(cost) {
                return;
            }
            let mut counts = counts.clone();
            counts[kind] = n;
            self.list(others, counts, cost, rows, left);
        }
    }

    fn is_too_dear(&self, cost: i128) -> bool {
        self.ceiling.is_some_and(|ceiling| cost >= ceiling)
    }

    fn complete_with_growing(&mut self, mut counts: Counts, cost: i128, rows: &[Row]) {
        let Some(growing) = self.growing else {
            return;
        };
        let mut more = 0;
        for row in rows {
            let rest = short(row, &counts);
            if rest > 0 {
                let holds = i128::from(row.holds[growing]);
                if holds == 0 {
                    return;
                }
                more = more.max(-(-rest).div_euclid(holds));
            }
        }
        let n = more.saturating_add(counts[growing].into());
        if n > i128::from(self.most[growing]) {
            return;
        }
        counts[growing] = u64::try_from(n).unwrap_or(u64::MAX);
        let cost = cost + self.prices[growing] * more;
        if cost < self.floor {
            // The rows taken one by one already refute what costs less than the floor.
            self.refute(counts);
        } else if !self.is_too_dear(cost) {
            self.waiting.insert((cost, sheets(&counts), counts));
        }
    }

    /// Goes by more rows.
    pub(super) fn sharpen(&mut self, model: &Model, rows: &[Row]) {
        self.floor = self.floor.max(floor(model, rows, &self.most));
        for (cost, n_sheets, counts) in std::mem::take(&mut self.waiting) {
            if self.growing.is_some() {
                self.complete_with_growing(counts, cost, rows);
            } else if rows.iter().all(|row| short(row, &counts) <= 0) {
                self.waiting.insert((cost, n_sheets, counts));
            }
        }
    }

    /// All that are not refuted yet, cheapest first.
    pub(super) fn open(&self) -> impl Iterator<Item = (i128, &Counts)> {
        self.waiting.iter().map(|(cost, _, counts)| (*cost, counts))
    }

    /// The cheapest choice by itself: a job where the growing kind alone costs anything and the others are there in these
    /// numbers, with what one sheet more than these would cost there. None where there is but one priced kind.
    pub(super) fn cheapest_alone(&self, model: &Model) -> Option<(Model, i128)> {
        let growing = self.growing?;
        let (_, _, counts) = self.waiting.first()?;
        let mut fixed = model.clone();
        let mut others = 0;
        for (at, kind) in fixed.kinds.iter_mut().enumerate() {
            if at != growing && !kind.is_free() {
                kind.price = 0;
                kind.most = Some(counts[at]);
                others += 1;
            }
        }
        let more = i128::from(counts[growing]) + 1;
        (others > 0).then(|| (fixed, self.prices[growing] * more))
    }

    /// The choices that cost less than this, each with as many of the growing kind as that allows, most room first.
    pub(super) fn cheaper_than(&self, cost: i128, rows: &[Row]) -> Vec<Counts> {
        let mut found = BTreeSet::new();
        for (own, _, counts) in self.waiting.iter().take_while(|(own, ..)| *own < cost) {
            let mut counts = counts.clone();
            if let Some(growing) = self.growing {
                let more = (cost - 1 - own).div_euclid(self.prices[growing]);
                let n = more.saturating_add(counts[growing].into());
                let n = n.min(self.most[growing].into());
                counts[growing] = u64::try_from(n).unwrap_or(u64::MAX);
            }
            let room = |row: &Row| {
                let room = -short(row, &counts);
                room.saturating_mul(1 << 20).div_euclid(row.asked.max(1))
            };
            let room = rows.iter().map(room).min().unwrap_or(0);
            found.insert((std::cmp::Reverse(room), counts));
        }
        found.into_iter().map(|(_, counts)| counts).collect()
    }

    /// Takes out a choice that can't hold everything; the same with one more takes its place, whatever that costs: dearer
    /// ones may wait already, and the bound is what the cheapest of all costs.
    pub(super) fn refute(&mut self, mut counts: Counts) {
        let cost = |counts: &Counts| -> i128 {
            let each = counts.iter().zip(&self.prices);
            each.map(|(&n, &price)| i128::from(n) * price).sum()
        };
        self.waiting
            .remove(&(cost(&counts), sheets(&counts), counts.clone()));
        let Some(growing) = self.growing else {
            return;
        };
        let price = self.prices[growing];
        let missing = self.floor - cost(&counts);
        let step = (-(-missing).div_euclid(price)).max(1);
        let n = i128::from(counts[growing]).saturating_add(step);
        if n > i128::from(self.most[growing]) {
            return;
        }
        counts[growing] = u64::try_from(n).unwrap_or(u64::MAX);
        self.waiting
            .insert((cost(&counts), sheets(&counts), counts));
    }

    /// Whether no choice of sheets can hold everything; only where no ceiling was given.
    pub(super) fn is_impossible(&self) -> bool {
        self.complete && self.waiting.is_empty()
    }

    /// What any plan costs at least, as far as is known; none if no choice is left and no ceiling was given.
    pub(super) fn least(&self) -> Option<i128> {
        if !self.complete {
            return Some(self.floor);
        }
        let first = self.waiting.first().map(|(cost, ..)| *cost);
        let least = first.into_iter().chain(self.ceiling).min();
        least.map(|least| least.max(self.floor))
    }
}

fn sheets(counts: &Counts) -> u64 {
    counts.iter().fold(0, |sum, &n| sum.saturating_add(n))
}

/// What a row asks beyond what these sheets hold.
fn short(row: &Row, counts: &Counts) -> i128 {
    let held: i128 = row
        .holds
        .iter()
        .zip(counts)
        .map(|(&holds, &n)| i128::from(holds) * i128::from(n))
        .sum();
    row.asked - held
}

/// The priced kind with the most area for its price, an endless one if there is one.
fn growing(model: &Model) -> Option<usize> {
    (0..model.kinds.len())
        .filter(|&at| !model.kinds[at].is_free())
        .min_by(|&a, &b| {
            let (one, two) = (&model.kinds[a], &model.kinds[b]);
            let ours = one.price.saturating_mul(two.area().into());
            let theirs = two.price.saturating_mul(one.area().into());
            one.most
                .is_some()
                .cmp(&two.most.is_some())
                .then(ours.cmp(&theirs))
                .then(a.cmp(&b))
        })
}

/// What the rows ask, one by one, bought where it costs least; up to a sum that prices can come to.
fn floor(model: &Model, rows: &[Row], most: &Counts) -> i128 {
    let asked = rows.iter().map(|row| asked_by(model, row, most, 1));
    rounded_up(model, asked.max().unwrap_or(0).max(0))
}

/// What one row asks, bought where it costs least, in so many parts of a cent.
pub(super) fn asked_by(model: &Model, row: &Row, most: &Counts, parts: i128) -> i128 {
    let free: Counts = (0..model.kinds.len())
        .map(|kind| {
            if model.kinds[kind].is_free() {
                most[kind]
            } else {
                0
            }
        })
        .collect();
    let rest = short(row, &free);
    if rest <= 0 {
        return 0;
    }
    let priced = (0..model.kinds.len()).filter(|&kind| !model.kinds[kind].is_free());
    let by_kind = priced.filter(|&kind| row.holds[kind] > 0).map(|kind| {
        rest.checked_mul(model.kinds[kind].price)
            .and_then(|top| top.checked_mul(parts))
            .map_or(0, |top| -(-top).div_euclid(row.holds[kind].into()))
    });
    by_kind.min().unwrap_or(0)
}

/// Up to a sum that prices can come to.
pub(super) fn rounded_up(model: &Model, cost: i128) -> i128 {
    let prices = model.kinds.iter().map(|kind| kind.price);
    let divisor = prices.fold(0, common_divisor).max(1);
    -(-cost).div_euclid(divisor) * divisor
}

fn common_divisor(mut a: i128, mut b: i128) -> i128 {
    while b != 0 {
        (a, b) = (b, a.rem_euclid(b));
    }
    a
}
