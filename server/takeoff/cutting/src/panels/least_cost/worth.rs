//! The most that pieces cut from one sheet can be worth, each piece with a worth of its own.
//!
//! What it does not do: ask how many there are of a piece. A piece may be cut as often as it goes in, so what is worked
//! out is never less than what a sheet really comes to.
//!
//! Source: Gilmore and Gomory, "Multistage cutting stock problems of two and more dimensions", Operations Research 13
//! (1965), 94 to 120, in the recursion for cuts of any number of stages: "The theory and computation of knapsack
//! functions", Operations Research 14 (1966), 1045 to 1074.

use super::model::Model;
use super::rows::Row;
use super::work::Work;

/// Steps along each side, at most.
const MOST_STEPS: i64 = 800;
const MOST_STEPS_COARSE: i64 = 400;

/// What one piece is worth, at most.
const MOST_WORTH: i64 = 1 << 21;

/// Cuts looked at that count as one step of work.
const CUTS_A_STEP: usize = 32;

/// What a size of rectangle takes beside its cuts, in cuts.
const LOOKS_A_PLACE: usize = 4;

/// A side in steps: rounded down, so that two parts never have more of them than the whole.
#[derive(Clone, Copy, Debug)]
struct Scale(i64);

impl Scale {
    fn of(self, side: i64) -> usize {
        usize::try_from(side.div_euclid(self.0)).unwrap_or(0)
    }

    fn up(self, side: i64) -> usize {
        self.of(side + self.0 - 1)
    }
}

/// How sides are rounded.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Grid {
    /// Down, a little: what sheets are worth is then never too low.
    Fine,
    /// The pieces up, and more: what sheets are worth is then never too high, and soon worked out.
    Coarse,
}

/// What is known of every size of rectangle.
pub(super) struct Worths {
    /// Of each kind, its sides in steps.
    kinds: Vec<(usize, usize)>,
    /// Of each way that a piece may lie, its sides in steps; and the piece.
    lying: Vec<(usize, usize, usize)>,
    /// Which pieces are not too thin to count.
    counted: Vec<bool>,
    /// Along and across, where a cut can be of use.
    marks: [Vec<usize>; 2],
    /// Whether sides of pieces add up to this much along.
    reached: Vec<bool>,
    across: usize,
    along: usize,
    /// No sheet holds more pieces.
    most_pieces: usize,
    steps: u64,
    /// By along, then across.
    most: Vec<i32>,
    /// By piece.
    worths: Vec<i32>,
}

impl Worths {
    /// For sums that hold, or for sheets that can really be cut: the latter with patches rounded up, in a coarser grid.
    pub(super) fn new(model: &Model, grid: Grid) -> Self {
        let most_steps = match grid {
            Grid::Fine => MOST_STEPS,
            Grid::Coarse => MOST_STEPS_COARSE,
        };
        let scale = |side: fn((i64, i64)) -> i64| {
            let straight = model.pieces.iter().map(|piece| (piece.w, piece.h));
            let turning = model.pieces.iter().filter(|piece| piece.turn);
            let all = straight.chain(turning.map(|piece| (piece.h, piece.w)));
            let common = all.map(side).fold(0, common_divisor).max(1);
            let kinds = model.kinds.iter().map(|kind| side((kind.w, kind.h)));
            let least = kinds.max().unwrap_or(1).div_euclid(most_steps) + 1;
            // Whole steps lose nothing.
            Scale(common * -(-least).div_euclid(common))
        };
        let (x, y) = (scale(|sides| sides.0), scale(|sides| sides.1));
        let mut lying = Vec::new();
        for (at, piece) in model.pieces.iter().enumerate() {
            for turned in [false, true].into_iter().take(1 + usize::from(piece.turn)) {
                let (w, h) = piece.lying(turned);
                lying.push(match grid {
                    Grid::Fine => (x.of(w), y.of(h), at),
                    Grid::Coarse => (x.up(w), y.up(h), at),
                });
            }
        }
        // A side of no steps would go in without end: such a piece is worth nothing.
        let mut counted = vec![true; model.pieces.len()];
        for &(w, h, at) in &lying {
            counted[at] &= w > 0 && h > 0;
        }
        lying.retain(|&(_, _, at)| counted[at]);
        let kinds = model.kinds.iter();
        let kinds: Vec<(usize, usize)> = kinds.map(|kind| (x.of(kind.w), y.of(kind.h))).collect();
        let along = kinds.iter().map(|kind| kind.0).max().unwrap_or(0);
        let across = kinds.iter().map(|kind| kind.1).max().unwrap_or(0);
        let marks = [
            sums(lying.iter().map(|row| row.0), along),
            sums(lying.iter().map(|row| row.1), across),
        ];
        let mut reached = vec![false; along + 1];
        for &mark in &marks[0] {
            reached[mark] = true;
        }
        let areas = lying.iter().map(|&(w, h, _)| w * h);
        let most_pieces = (along * across).div_euclid(areas.min().unwrap_or(1)) + 1;
        let halves = |marks: &[usize], whole: usize| -> usize {
            marks
                .iter()
                .map(|mark| (whole + 1).saturating_sub(2 * mark))
                .sum()
        };
        let cuts = halves(&marks[0], along) * across
            + halves(&marks[1], across) * along
            + LOOKS_A_PLACE * along * across;
        Self {
            kinds,
            lying,
            counted,
            marks,
            reached,
            across,
            along,
            most_pieces,
            steps: u64::try_from(cuts.div_euclid(CUTS_A_STEP)).unwrap_or(u64::MAX),
            most: vec![0; (along + 1) * (across + 1)],
            worths: Vec::new(),
        }
    }

    /// Steps that one row is counted as.
    pub(super) fn steps(&self) -> u64 {
        self.steps
    }

    /// A sum with weights like these shares, none below zero, and the most that each kind of sheet comes to.
    pub(super) fn row(&mut self, model: &Model, shares: &[i64], work: &mut Work<'_>) -> Row {
        let top = shares.iter().copied().max().unwrap_or(0).max(1);
        let room =
            i64::from(i32::MAX).div_euclid(i64::try_from(self.most_pieces).unwrap_or(i64::MAX));
        let room = room.min(MOST_WORTH);
        let of = |(&share, &counted): (&i64, &bool)| {
            let worth = (i128::from(share.max(0)) * i128::from(room)).div_euclid(top.into());
            i32::try_from(worth).unwrap_or(0) * i32::from(counted)
        };
        self.set(shares.iter().zip(&self.counted).map(of).collect());
        work.spend(self.steps);
        let weights: Vec<i64> = self.worths.iter().map(|&worth| worth.into()).collect();
        let each = model.pieces.iter().zip(&weights);
        Row {
            holds: (0..self.kinds.len())
                .map(|kind| self.of_kind(kind).into())
                .collect(),
            asked: each
                .map(|(piece, &weight)| i128::from(piece.count.min(1 << 40)) * i128::from(weight))
                .sum(),
            weights,
        }
    }

    /// Works everything out anew.
    fn set(&mut self, worths: Vec<i32>) {
        let row = self.across + 1;
        self.most.fill(0);
        for w in 1..=self.along {
            let (before, now) = self.most.split_at_mut(w * row);
            let now = &mut now[..row];
            now.copy_from_slice(&before[(w - 1) * row..]);
            if !self.reached[w] {
                continue;
            }
            for &mark in self.marks[0].iter().take_while(|&&mark| 2 * mark <= w) {
                let one = &before[mark * row..(mark + 1) * row];
                let two = &before[(w - mark) * row..(w - mark + 1) * row];
                for ((known, one), two) in now.iter_mut().zip(one).zip(two) {
                    *known = (*known).max(one.wrapping_add(*two));
                }
            }
            for &(_, own_h, at) in self.lying.iter().filter(|&&(own_w, ..)| own_w == w) {
                if let Some(known) = now.get_mut(own_h) {
                    *known = (*known).max(worths[at]);
                }
            }
            for h in 1..row {
                let mut best = now[h].max(now[h - 1]);
                for &mark in self.marks[1].iter().take_while(|&&mark| 2 * mark <= h) {
                    best = best.max(now[mark].wrapping_add(now[h - mark]));
                }
                now[h] = best;
            }
        }
        self.worths = worths;
    }

    fn of_kind(&self, kind: usize) -> i32 {
        let (w, h) = self.kinds[kind];
        self.at(w, h)
    }

    fn at(&self, w: usize, h: usize) -> i32 {
        self.most[w * (self.across + 1) + h]
    }

    /// How many of each piece lie on a sheet of this kind that is worth the most.
    pub(super) fn counts(&self, kind: usize, n: usize) -> Vec<u64> {
        let mut counts = vec![0; n];
        let (w, h) = self.kinds[kind];
        self.count(w, h, &mut counts);
        counts
    }

    fn count(&self, mut w: usize, mut h: usize, counts: &mut [u64]) {
        let most = self.at(w, h);
        if most == 0 {
            return;
        }
        while w > 0 && self.at(w - 1, h) == most {
            w -= 1;
        }
        while h > 0 && self.at(w, h - 1) == most {
            h -= 1;
        }
        if let Some(&(_, _, at)) = self
            .lying
            .iter()
            .find(|&&(own_w, own_h, at)| own_w == w && own_h == h && self.worths[at] == most)
        {
            counts[at] += 1;
            return;
        }
        for &mark in self.marks[0].iter().take_while(|&&mark| 2 * mark <= w) {
            if self.at(mark, h) + self.at(w - mark, h) == most {
                self.count(mark, h, counts);
                self.count(w - mark, h, counts);
                return;
            }
        }
        for &mark in self.marks[1].iter().take_while(|&&mark| 2 * mark <= h) {
            if self.at(w, mark) + self.at(w, h - mark) == most {
                self.count(w, mark, counts);
                self.count(w, h - mark, counts);
                return;
            }
        }
    }
}

/// All sums of sides up to the whole.
fn sums(sides: impl Iterator<Item = usize>, whole: usize) -> Vec<usize> {
    let mut sides: Vec<usize> = sides.collect();
    sides.sort_unstable();
    sides.dedup();
    let mut reached = vec![false; whole + 1];
    reached[0] = true;
    for at in 1..=whole {
        reached[at] = sides.iter().any(|&side| side <= at && reached[at - side]);
    }
    (1..=whole).filter(|&at| reached[at]).collect()
}

fn common_divisor(mut a: i64, mut b: i64) -> i64 {
    while b != 0 {
        (a, b) = (b, a.rem_euclid(b));
    }
    a
}

#[cfg(test)]
mod tests {
    use super::super::model::{Kind, Model, Piece};
    use super::super::sets::Sets;
    use super::super::work::{Lots, Work};
    use super::{Grid, Worths};

    /// A small job; `unit` is what its sides are multiples of, but for a few.
    fn model(lots: &mut Lots, unit: i64) -> Model {
        let mut side = |least: i64, n: usize| {
            let steps = least + i64::try_from(lots.below(n)).expect("small");
            steps * unit + i64::try_from(lots.below(3)).expect("small")
        };
        let most = Some(1);
        let mut kinds = vec![];
        for price in [7, 9] {
            let (w, h) = (side(12, 20), side(9, 12));
            kinds.push(Kind { w, h, price, most });
        }
        let count = 3;
        let mut pieces = vec![];
        for turn in [false, true, false, true] {
            let (w, h) = (side(3, 11), side(2, 9));
            pieces.push(Piece { w, h, turn, count });
        }
        Model::new(kinds, &pieces)
    }

    /// What is cut from a sheet, told by all sets that it holds, and what the two grids say of it.
    fn compare(lots: &mut Lots, unit: i64) {
        let model = model(lots, unit);
        let n = model.pieces.len();
        let mut work = Work::new(u64::MAX, &|| false);
        let sets = Sets::all(&model, u64::MAX, &mut work).expect("few sets");
        let shares: Vec<i64> = (0..n)
            .map(|_| i64::try_from(lots.below(1 << 30)).expect("small") - (1 << 20))
            .collect();
        let row = Worths::new(&model, Grid::Fine).row(&model, &shares, &mut work);
        for set in 0..sets.len() {
            let counts = sets.counts(set).iter().zip(&row.weights);
            let sum: i64 = counts.map(|(&n, &weight)| i64::from(n) * weight).sum();
            for kind in (0..model.kinds.len()).filter(|&kind| sets.fits(set, kind)) {
                assert!(sum <= row.holds[kind], "{model:?} {shares:?} {set} {kind}");
            }
        }
        let mut coarse = Worths::new(&model, Grid::Coarse);
        coarse.row(&model, &shares, &mut work);
        for kind in 0..model.kinds.len() {
            let counts = coarse.counts(kind, n);
            if counts.iter().any(|&n| n > 3) || counts.iter().all(|&n| n == 0) {
                continue;
            }
            let each = (0..n).flat_map(|at| (0..counts[at]).map(move |_| at));
            let set = each.fold(None, |set, at| {
                Some(sets.with(set, at).expect("some sheet holds it"))
            });
            assert!(set.is_some_and(|set| sets.fits(set, kind)), "{model:?}");
        }
    }

    #[test]
    fn no_sheet_is_worth_more_than_a_row_says_and_coarse_sheets_can_be_cut() {
        let mut lots = Lots::new(3);
        for unit in [1, 8, 97, 1_000] {
            for _ in 0..60 {
                compare(&mut lots, unit);
            }
        }
    }
}
