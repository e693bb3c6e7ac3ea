//! The best plan so far.
//!
//! What it does not do: look for a better one.

use std::cmp::Reverse;

use super::filling::{Filling, Score};
use super::model::Model;
use super::tree::Node;

/// Fewest pieces unmet, least cost, fewest sheets, fewest cuts, biggest single rest.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Merit {
    pub(super) n_unmet: usize,
    pub(super) cost: i128,
    pub(super) n_sheets: usize,
    pub(super) n_cuts: u64,
    pub(super) rest: Reverse<i64>,
}

/// The best plan of those offered; of equal ones the first.
pub(super) struct Best<'a> {
    model: &'a Model,
    kerf: i64,
    pub(super) merit: Option<Merit>,
    /// Kinds with their cuts.
    pub(super) sheets: Vec<(usize, Node)>,
    pub(super) unmet: Vec<u32>,
}

impl<'a> Best<'a> {
    pub(super) fn new(model: &'a Model, kerf: i64) -> Self {
        Self {
            model,
            kerf,
            merit: None,
            sheets: Vec::new(),
            unmet: Vec::new(),
        }
    }

    /// Looks at the plan of a filling.
    pub(super) fn offer(&mut self, filling: &Filling<'_>, score: &Score) {
        if let Some(known) = &self.merit {
            let ours = (filling.unmet.len(), score.cost, score.sheets);
            let theirs = (known.n_unmet, known.cost, known.n_sheets);
            if ours > theirs || (ours == theirs && filling.n_cuts() > known.n_cuts) {
                return;
            }
        }
        self.take(filling.sheets(), filling.unmet.clone());
    }

    /// Looks at a whole plan.
    pub(super) fn take(&mut self, sheets: Vec<(usize, Node)>, unmet: Vec<u32>) {
        let rests = sheets
            .iter()
            .map(|(kind, node)| node.biggest_rest(&self.model.kinds[*kind], self.kerf));
        let merit = Merit {
            n_unmet: unmet.len(),
            cost: sheets
                .iter()
                .map(|&(kind, _)| self.model.kinds[kind].price)
                .sum(),
            n_sheets: sheets.len(),
            n_cuts: sheets.iter().map(|(_, node)| node.n_cuts()).sum(),
            rest: Reverse(rests.max().unwrap_or(0)),
        };
        if self.merit.is_none_or(|known| merit < known) {
            self.merit = Some(merit);
            self.sheets = sheets;
            self.unmet = unmet;
        }
    }

    /// What it costs, if it places everything.
    pub(super) fn cost(&self) -> Option<i128> {
        self.merit
            .filter(|merit| merit.n_unmet == 0)
            .map(|merit| merit.cost)
    }
}
