//! Plans that leave a few pieces over, mended a few sheets at a time: what lies on them and what is left over goes onto
//! the same sheets anew, and what leaves no more over, or not much more, is kept.
//!
//! What it does not do: choose the sheets, or prove anything. What is taken out is drawn by lot from a seed.
//!
//! Source: Shaw, "Using constraint programming and local search methods to solve vehicle routing problems", CP 1998, for
//! search among large neighbourhoods; from memory.

use super::counts::Counts;
use super::filling::{Filling, Fit, Opening, Recipe, Split};
use super::model::{Model, Piece};
use super::tree::Node;
use super::work::{Lots, Work};

/// Fillings of the sheets that were taken out.
const FILLINGS: usize = 150;

/// How many sheets are taken out, by lot.
const TAKEN: [usize; 4] = [2, 2, 2, 3];

/// Of a thousand parts of a sheet's area, what may be left over more than before, at most, by lot.
const WORSE: usize = 20;

/// A plan on given sheets, in the making.
pub(super) struct Mending<'a> {
    model: &'a Model,
    lots: Lots,
    /// Kinds with their cuts; all sheets there are, used or not.
    sheets: Vec<(usize, Node)>,
    /// What is left over.
    unmet: Vec<u32>,
}

impl<'a> Mending<'a> {
    /// A plan that uses no more sheets than these.
    pub(super) fn new(
        model: &'a Model,
        counts: &Counts,
        (sheets, unmet): (Vec<(usize, Node)>, Vec<u32>),
        seed: u64,
    ) -> Self {
        let mut mending = Self {
            model,
            lots: Lots::new(seed),
            sheets,
            unmet,
        };
        let mut left = counts.clone();
        for (kind, _) in &mending.sheets {
            left[*kind] = left[*kind].saturating_sub(1);
        }
        mending.add_unused(&left);
        mending
    }

    fn add_unused(&mut self, counts: &[u64]) {
        for (kind, &n) in counts.iter().enumerate() {
            let n = usize::try_from(n).unwrap_or(usize::MAX);
            let unused = std::iter::repeat_n((kind, Node::Rest), n);
            self.sheets.extend(unused);
        }
    }

    /// Mends until nothing is left over, which gives the plan, or until the work of this share is done.
    pub(super) fn run(&mut self, share: u64, work: &mut Work<'_>) -> Option<Vec<(usize, Node)>> {
        let end = work.used().saturating_add(share);
        while !self.unmet.is_empty() {
            if self.sheets.is_empty() || !work.goes_on() || work.used() >= end {
                return None;
            }
            self.mend(work);
        }
        let used = self.sheets.iter().filter(|(_, node)| *node != Node::Rest);
        Some(used.cloned().collect())
    }

    /// Fills some of the sheets anew.
    fn mend(&mut self, work: &mut Work<'_>) {
        let n = self.sheets.len();
        let taken = TAKEN[self.lots.below(TAKEN.len())].min(n);
        for last in (n - taken..n).rev() {
            let with = self.lots.below(last + 1);
            self.sheets.swap(last, with);
        }
        let from = n - taken;
        let mut counts = vec![0; self.model.pieces.len()];
        let mut most = vec![0; self.model.kinds.len()];
        for (kind, node) in &self.sheets[from..] {
            node.count(&mut counts);
            most[*kind] += 1;
        }
        for &at in &self.unmet {
            counts[at as usize] += 1;
        }
        let pieces: Vec<usize> = (0..counts.len()).filter(|&at| counts[at] > 0).collect();
        let part = Model {
            kinds: self.model.kinds.clone(),
            pieces: pieces
                .iter()
                .map(|&at| Piece {
                    count: counts[at],
                    ..self.model.pieces[at]
                })
                .collect(),
        };
        let known = left_over(self.model, &self.unmet);
        let areas = self
            .sheets
            .iter()
            .map(|&(kind, _)| self.model.kinds[kind].area());
        let part_of_it = areas.max().unwrap_or(0).div_euclid(1_000);
        let worse = i64::try_from(self.lots.below(WORSE)).unwrap_or(0);
        let allowed = known.saturating_add(part_of_it.saturating_mul(worse));
        let mut filling = Filling::new(&part);
        let Some(recipe) = self.recipe(&part, &mut filling, &most, allowed, work) else {
            return;
        };
        filling.fill(&recipe, &most);
        let filled = filling.whole_sheets();
        self.sheets.truncate(from);
        for (kind, node) in filled {
            most[kind] -= 1;
            self.sheets.push((kind, node.renumbered(&pieces)));
        }
        self.add_unused(&most);
        let all = filling.unmet.iter().map(|&at| pieces[at as usize]);
        self.unmet = all.filter_map(|at| u32::try_from(at).ok()).collect();
    }

    /// A recipe that leaves no more over than this, if one was found.
    fn recipe(
        &mut self,
        part: &Model,
        filling: &mut Filling<'_>,
        most: &[u64],
        allowed: i64,
        work: &mut Work<'_>,
    ) -> Option<Recipe> {
        // Biggest first, as the pieces stand.
        let each = (0_u32..).zip(&part.pieces);
        let order: Vec<u32> = each
            .flat_map(|(at, piece)| {
                std::iter::repeat_n(at, usize::try_from(piece.count).unwrap_or(usize::MAX))
            })
            .collect();
        let mut recipe = Recipe {
            splits: vec![Split::ALL[self.lots.below(4)]; order.len()],
            order,
            fit: Fit::ALL[self.lots.below(4)],
            opening: Opening::ALL[self.lots.below(3)],
            free_first: self.lots.below(2) == 0,
        };
        let mut try_out = |recipe: &Recipe| {
            filling.fill(recipe, most);
            work.spend(filling.looks);
            left_over(part, &filling.unmet)
        };
        let mut least = try_out(&recipe);
        let mut next = recipe.clone();
        for _ in 0..FILLINGS {
            if least == 0 {
                break;
            }
            next.clone_from(&recipe);
            next.change(&mut self.lots);
            let left = try_out(&next);
            if left <= least {
                least = left;
                std::mem::swap(&mut recipe, &mut next);
            }
        }
        (least <= allowed).then_some(recipe)
    }
}

/// Area of pieces without a place.
fn left_over(model: &Model, unmet: &[u32]) -> i64 {
    let each = unmet.iter().map(|&at| model.pieces[at as usize].area());
    each.fold(0, i64::saturating_add)
}
