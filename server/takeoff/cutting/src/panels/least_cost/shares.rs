//! What each piece takes of the price of its sheet, so that no sheet is worth more than it costs: sums like those of
//! `rows.rs`, made for the very pieces asked for.
//!
//! What it does not do: rest the bound on its own arithmetic. It proposes shares; `worth.rs` works out in whole numbers
//! what they come to on each kind of sheet at most, so that any shares at all give a sum that holds.
//!
//! Source: Gilmore and Gomory, "A linear programming approach to the cutting-stock problem", Operations Research 9
//! (1961), 849 to 859. Between two sheets the shares stay near the best ones so far, as in Wentges, "Weighted
//! Dantzig-Wolfe decomposition for linear mixed-integer programming", International Transactions in Operational
//! Research 4 (1997), 151 to 162. From memory.

mod master;

use super::counts::{asked_by, rounded_up};
use super::model::Model;
use super::rows::Row;
use super::work::Work;
use super::worth::{Grid, Worths};
use master::{Master, ONE};

/// Different pieces and limits, at most.
const MOST_ROWS: usize = 160;

/// Sheets looked for, at most.
const MOST_SHEETS: usize = 400;

/// Of 100 parts, how near the shares stay to the best ones so far; this much less after a look in vain.
const STAY: i64 = 80;
const STAY_LESS: i64 = 20;

/// It ends when shares and bound are nearer than the cost over this.
const GAP: i128 = 1_000;

/// A kind of sheet, and how many of each piece one of them holds.
pub(super) type Filled = (usize, Vec<u64>);

/// The sums found, each with a better bound than the one before; none where they would take too much work.
///
/// `known` gives the first sheets and takes what is found. It ends where the bound reaches `cost` or can't be rounded up
/// further.
pub(super) fn rows(
    model: &Model,
    known: &mut Vec<Filled>,
    cost: i128,
    share: u64,
    work: &mut Work<'_>,
) -> Vec<Row> {
    let limited = model.kinds.iter().filter(|kind| kind.most.is_some());
    if model.pieces.is_empty() || model.pieces.len() + limited.count() > MOST_ROWS {
        return Vec::new();
    }
    let end = work.used().saturating_add(share);
    let mut fine = Worths::new(model, Grid::Fine);
    if fine.steps().saturating_mul(40) > share.min(work.left()) {
        return Vec::new();
    }
    let mut looking = Looking::new(model, known);
    let mut coarse = Worths::new(model, Grid::Coarse);
    let mut looks = 0;
    for (worths, least) in [(&mut coarse, ONE >> 7), (&mut fine, ONE >> 10)] {
        // Sheets of the coarse grid can be cut, but its sums do not hold.
        looking.found.clear();
        looking.bound = 0;
        looking.stay = STAY;
        while looks < MOST_SHEETS && work.goes_on() && work.used() < end {
            looks += 1;
            looking.enter_known(least, work);
            looking.settle();
            let reached = looking.rounded_bound() >= cost || looking.is_settled();
            if reached || !looking.look(worths, least, work) {
                break;
            }
        }
    }
    looking.found
}

/// Shares on their way.
struct Looking<'a> {
    model: &'a Model,
    known: &'a mut Vec<Filled>,
    /// Kinds with a row of their own.
    limited: Vec<usize>,
    /// The dearest price, which counts as one.
    one: i128,
    most: Vec<u64>,
    master: Master,
    /// The shares and prices of the best bound so far.
    centre: Option<Vec<i64>>,
    stay: i64,
    /// In parts of a cent.
    bound: i128,
    found: Vec<Row>,
}

impl<'a> Looking<'a> {
    fn new(model: &'a Model, known: &'a mut Vec<Filled>) -> Self {
        let limited: Vec<usize> = (0..model.kinds.len())
            .filter(|&kind| model.kinds[kind].most.is_some())
            .collect();
        let pieces = model.pieces.iter().map(|piece| piece.count);
        let sheets = limited
            .iter()
            .map(|&kind| model.kinds[kind].most.unwrap_or(0));
        let asked: Vec<u64> = pieces.chain(sheets).collect();
        let n = model.pieces.len();
        let costs = (0..asked.len()).map(|at| if at < n { ONE } else { 0 });
        let prices = model.kinds.iter().map(|kind| kind.price);
        Self {
            model,
            known,
            one: prices.max().unwrap_or(0).max(1),
            most: model.most(),
            master: Master::new(&asked, costs.collect()),
            limited,
            centre: None,
            stay: STAY,
            bound: 0,
            found: Vec::new(),
        }
    }

    fn price(&self, kind: usize) -> i64 {
        let price = self.model.kinds[kind].price.saturating_mul(ONE.into());
        i64::try_from(price.div_euclid(self.one)).unwrap_or(ONE)
    }

    /// What a limit on this kind is worth, zero or below.
    fn of_limit(&self, kind: usize, duals: &[i64]) -> i64 {
        let row = self.limited.iter().position(|&own| own == kind);
        row.map_or(0, |row| duals[self.model.pieces.len() + row])
    }

    /// What a sheet is worth beyond its price.
    fn over(&self, (kind, counts): &Filled, duals: &[i64]) -> i64 {
        let each = counts.iter().zip(duals);
        each.map(|(&n, &dual)| i64::try_from(n).unwrap_or(i64::MAX).saturating_mul(dual))
            .fold(self.of_limit(*kind, duals), i64::saturating_add)
            .saturating_sub(self.price(*kind))
    }

    /// Takes the sheets in that are known, as long as one is worth this much beyond its price.
    fn enter_known(&mut self, least: i64, work: &mut Work<'_>) {
        for _ in 0..self.known.len() {
            self.settle();
            let duals = self.master.duals();
            let steps = self.known.len().saturating_mul(duals.len()).div_euclid(8);
            work.spend(u64::try_from(steps).unwrap_or(u64::MAX));
            let best = (0..self.known.len())
                .map(|at| (self.over(&self.known[at], &duals), std::cmp::Reverse(at)))
                .max();
            let Some((_, std::cmp::Reverse(at))) = best.filter(|(over, _)| *over > least) else {
                return;
            };
            let (kind, counts) = self.known[at].clone();
            if !self.enter(kind, &counts) {
                return;
            }
        }
    }

    /// Takes a sheet in.
    fn enter(&mut self, kind: usize, counts: &[u64]) -> bool {
        let pieces = counts.iter().enumerate().filter(|&(_, &n)| n > 0);
        let mut column: Vec<(usize, i64)> = pieces
            .map(|(at, &n)| (at, i64::try_from(n).unwrap_or(i64::MAX)))
            .collect();
        let row = self.limited.iter().position(|&own| own == kind);
        column.extend(row.map(|row| (counts.len() + row, 1)));
        self.master.enter(&column, self.price(kind))
    }

    /// Lets pieces be cut in vain and sheets be left where that is cheaper.
    fn settle(&mut self) {
        let n = self.model.pieces.len();
        for _ in 0..MOST_ROWS {
            let duals = self.master.duals();
            let wrong = |&at: &usize| (if at < n { -duals[at] } else { duals[at] }) > ONE >> 16;
            let worst = (0..duals.len())
                .filter(wrong)
                .max_by_key(|&at| (duals[at].abs(), std::cmp::Reverse(at)));
            let Some(at) = worst else {
                return;
            };
            let step = if at < n { -1 } else { 1 };
            if !self.master.enter(&[(at, step)], 0) {
                return;
            }
        }
    }

    /// Whether all that the bound can still rise to is rounded up to the same cost, or is next to nothing.
    fn is_settled(&self) -> bool {
        let cost = i128::from(self.master.cost().max(0)).saturating_mul(self.one);
        let most = -(-cost).div_euclid(ONE.into());
        let gap = cost.saturating_sub(self.bound);
        rounded_up(self.model, most) <= self.rounded_bound() || gap.saturating_mul(GAP) < cost
    }

    fn rounded_bound(&self) -> i128 {
        rounded_up(self.model, -(-self.bound).div_euclid(ONE.into()))
    }

    /// Works out one set of shares and takes in the sheet that is worth most beyond its price; says whether there may be
    /// more to find.
    fn look(&mut self, worths: &mut Worths, least: i64, work: &mut Work<'_>) -> bool {
        let n = self.model.pieces.len();
        let duals = self.master.duals();
        let near = |(&own, &best): (&i64, &i64)| {
            let way = best.saturating_sub(own).saturating_mul(self.stay);
            own.saturating_add(way.div_euclid(100))
        };
        let shares: Vec<i64> = match &self.centre {
            None => duals.clone(),
            Some(centre) => duals.iter().zip(centre).map(near).collect(),
        };
        let row = worths.row(self.model, &shares[..n], work);
        let bound = asked_by(self.model, &row, &self.most, ONE.into());
        if bound > self.bound {
            self.bound = bound;
            self.centre = Some(shares);
            self.found.push(row);
        }
        let there = |&kind: &usize| self.model.kinds[kind].most != Some(0);
        let best = (0..self.model.kinds.len())
            .filter(there)
            .map(|kind| {
                let sheet = (kind, worths.counts(kind, n));
                (self.over(&sheet, &duals), std::cmp::Reverse(sheet))
            })
            .max();
        let Some((_, std::cmp::Reverse(sheet))) = best.filter(|(over, _)| *over > least) else {
            // Right at the shares of the plan so far there may still be one.
            self.stay -= STAY_LESS;
            return self.stay >= 0;
        };
        self.stay = STAY;
        let (kind, counts) = sheet.clone();
        self.known.push(sheet);
        self.enter(kind, &counts)
    }
}
