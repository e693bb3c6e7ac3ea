//! The ways to a plan in their order, until plan and bound meet or the work is done.
//!
//! What it does not do: any of them itself.

use std::collections::BTreeMap;

use super::best::Best;
use super::bulk;
use super::climb::{Aim, Climb};
use super::counts::{Choices, Counts};
use super::cover::{Cover, Covers};
use super::mend::Mending;
use super::model::Model;
use super::rows::{Row, rows};
use super::sets::Sets;
use super::shares;
use super::tree::Node;
use super::work::Work;

/// Jobs up to this many patches are asked for good before plans are mended.
const FEW: u64 = 48;

/// Plans mended before the bound is looked into.
const MENDED_FIRST: usize = 4;

/// The answer for a model.
pub(in super::super) struct Solved {
    /// Kinds with their cuts, and how many are cut so.
    pub(in super::super) sheets: Vec<((usize, Node), u64)>,
    /// By piece, how many find no place.
    pub(in super::super) unmet: Vec<u64>,
    pub(in super::super) cost: i128,
    pub(in super::super) least: i128,
    /// Whether no plan places everything.
    pub(super) impossible: bool,
    pub(super) work: u64,
    pub(super) stopped: bool,
}

/// Solves a model; see [`super::least_cost`].
pub(in super::super) fn solve(
    model: &Model,
    kerf: i64,
    most_work: u64,
    stop: &dyn Fn() -> bool,
) -> Solved {
    let mut work = Work::new(most_work, stop);
    let bulk::Bulk {
        laid,
        mut unmet,
        rest,
    } = bulk::lay(model, &mut work);
    let mut search = Search::new(&rest, kerf, most_work);
    let (least, impossible) = if laid.is_empty() && unmet.iter().all(|&n| n == 0) {
        search.run(&mut work)
    } else {
        search.run_without_bound(&mut work);
        (None, false)
    };
    let mut counted: BTreeMap<(usize, Node), u64> = BTreeMap::new();
    for (sheet, times) in search
        .best
        .sheets
        .into_iter()
        .map(|sheet| (sheet, 1))
        .chain(laid)
    {
        *counted.entry(sheet).or_default() += times;
    }
    for at in search.best.unmet {
        unmet[at as usize] += 1;
    }
    let price =
        |((kind, _), times): (&(usize, Node), &u64)| model.kinds[*kind].price * i128::from(*times);
    let cost = counted.iter().map(price).sum();
    // Where something has no place, a bound on everything would not speak of this plan.
    let met = unmet.iter().all(|&n| n == 0);
    let least = least.filter(|_| met).unwrap_or_else(|| {
        let always = model.always_met();
        let rows = rows(&always, most_work.div_euclid(4));
        let choices = Choices::below(Some(cost + 1), &always, &rows);
        choices.least().unwrap_or(0).min(cost)
    });
    Solved {
        sheets: counted.into_iter().collect(),
        unmet,
        cost,
        least,
        impossible,
        work: work.used(),
        stopped: work.is_stopped(),
    }
}

/// One search through all the ways.
struct Search<'a> {
    model: &'a Model,
    climb: Climb<'a>,
    best: Best<'a>,
    /// By the sheets they are on.
    mendings: BTreeMap<Counts, Mending<'a>>,
    most_work: u64,
}

impl<'a> Search<'a> {
    fn new(model: &'a Model, kerf: i64, most_work: u64) -> Self {
        Self {
            model,
            climb: Climb::new(model),
            best: Best::new(model, kerf),
            mendings: BTreeMap::new(),
            most_work,
        }
    }

    /// A plan for a rest that has no bound of its own.
    fn run_without_bound(&mut self, work: &mut Work<'_>) {
        self.climb.start(&mut self.best, work);
        let most = self.model.most();
        let share = work.left().div_euclid(2);
        self.climb
            .search(Aim::LessCost, &most, share, &mut self.best, work);
    }

    /// Searches until plan and bound meet or the work is done: what any plan costs at least, unless nothing is known, and
    /// whether none places everything.
    fn run(&mut self, work: &mut Work<'_>) -> (Option<i128>, bool) {
        self.climb.start(&mut self.best, work);
        let mut rows = rows(self.model, self.most_work.div_euclid(4));
        let mut choices = Choices::below(self.best.cost(), self.model, &rows);
        let most = self.model.most();
        if !self.is_proven(&choices) || self.best.cost().is_none() {
            let share = self.most_work.div_euclid(40);
            self.climb
                .search(Aim::LessCost, &most, share, &mut self.best, work);
        }
        let few = self.model.n_pieces() <= FEW;
        if few && !self.is_proven(&choices) {
            self.answer_for_good(&mut choices, &rows, 2, work);
        }
        for round in 0..MENDED_FIRST {
            if self.mend(&choices, &rows, round, work) {
                break;
            }
        }
        self.raise(&mut choices, &mut rows, work);
        if !few && !self.is_proven(&choices) {
            self.answer_for_good(&mut choices, &rows, 10, work);
        }
        let until = self.most_work - self.most_work.div_euclid(8);
        let mut round: usize = 0;
        while work.goes_on() && work.used() < until && !self.is_proven(&choices) {
            let open = self.below_cost(&choices);
            let share = self.most_work.div_euclid(30);
            let climbs = round.div_euclid(2);
            if round.is_multiple_of(2) && self.best.cost().is_some() {
                self.mend(&choices, &rows, climbs, work);
            } else if climbs.is_multiple_of(3) || open.is_empty() {
                self.climb
                    .search(Aim::LessCost, &most, share, &mut self.best, work);
            } else {
                let counts = &open[climbs % open.len()];
                self.climb
                    .search(Aim::AllPlaced, counts, share, &mut self.best, work);
            }
            round += 1;
        }
        self.fewer_sheets(work);
        let used = self.used();
        let share = work.used().div_euclid(5).max(self.most_work.div_euclid(16));
        self.climb
            .search(Aim::FewerCuts, &used, share, &mut self.best, work);
        (
            choices.least().or(self.best.cost()),
            choices.is_impossible() && self.best.cost().is_none(),
        )
    }

    /// How many sheets of each kind the best plan cuts.
    fn used(&self) -> Counts {
        let mut used = vec![0; self.model.kinds.len()];
        for (kind, _) in &self.best.sheets {
            used[*kind] += 1;
        }
        used
    }

    /// Tries to do without one sheet that costs nothing after the other: without one that does, it would be a cheaper plan.
    fn fewer_sheets(&mut self, work: &mut Work<'_>) {
        let share = self.most_work.div_euclid(40);
        for kind in 0..self.model.kinds.len() {
            let is_free = self.model.kinds[kind].is_free() && self.best.cost().is_some();
            let mut fewer = self.used();
            while is_free && fewer[kind] > 0 && fewer.iter().sum::<u64>() > 1 && work.goes_on() {
                fewer[kind] -= 1;
                self.climb
                    .search(Aim::AllPlaced, &fewer, share, &mut self.best, work);
                if self.used() != fewer {
                    break;
                }
            }
        }
    }

    fn is_proven(&self, choices: &Choices) -> bool {
        match (self.best.cost(), choices.least()) {
            (Some(cost), Some(least)) => cost <= least,
            (Some(_), None) => true,
            (None, _) => choices.is_impossible(),
        }
    }

    /// The choices that would be cheaper than the plan.
    fn below_cost(&self, choices: &Choices) -> Vec<Counts> {
        let cost = self.best.cost();
        choices
            .open()
            .filter(|&(open, _)| cost.is_none_or(|cost| open < cost))
            .map(|(_, counts)| counts.clone())
            .take(12)
            .collect()
    }

    /// Makes sums for the very pieces asked for: for all choices, then for the cheapest ones.
    fn raise(&mut self, choices: &mut Choices, rows: &mut Vec<Row>, work: &mut Work<'_>) {
        let Some(cost) = self.best.cost().filter(|_| !self.is_proven(choices)) else {
            return;
        };
        let filled = |(kind, node): &(usize, Node)| {
            let mut counts = vec![0; self.model.pieces.len()];
            node.count(&mut counts);
            (*kind, counts)
        };
        let mut known = self.best.sheets.iter().map(filled).collect();
        let share = self.most_work.div_euclid(4);
        let end = work.used().saturating_add(share);
        let more = shares::rows(self.model, &mut known, cost, share, work);
        choices.sharpen(self.model, &more);
        rows.extend(more);
        while work.goes_on() && work.used() < end && !self.is_proven(choices) {
            let Some((fixed, cost)) = choices.cheapest_alone(self.model) else {
                return;
            };
            let (before, share) = (choices.least(), end.saturating_sub(work.used()));
            let more = shares::rows(&fixed, &mut known, cost, share, work);
            choices.sharpen(self.model, &more);
            rows.extend(more);
            let still = choices.cheapest_alone(self.model);
            if choices.least() == before && still.is_some_and(|still| still == (fixed, cost)) {
                return;
            }
        }
    }

    /// Looks for a plan on fewer or cheaper sheets by mending one that leaves a few pieces over; says whether there is
    /// nothing to be found, or it was.
    fn mend(&mut self, choices: &Choices, rows: &[Row], round: usize, work: &mut Work<'_>) -> bool {
        let Some(cost) = self.best.cost().filter(|_| !self.is_proven(choices)) else {
            return true;
        };
        let mut open = choices.cheaper_than(cost, rows);
        // The first one, then the first two, then the first three and so on.
        let mut at = round;
        let mut until = 1;
        while at >= until {
            at -= until;
            until += 1;
        }
        if open.is_empty() {
            return true;
        }
        let counts = open.swap_remove(at.min(open.len() - 1));
        let share = self.most_work.div_euclid(30);
        let filled = self.climb.filled(&counts);
        let model = self.model;
        let started = self.mendings.entry(counts.clone());
        let mending = started.or_insert_with(|| Mending::new(model, &counts, filled, 1));
        let found = mending.run(share, work);
        if let Some(sheets) = found {
            self.best.take(sheets, Vec::new());
            return true;
        }
        false
    }

    /// Where one sheet holds few enough sets of pieces: asks choice by choice whether it can be done.
    fn answer_for_good(
        &mut self,
        choices: &mut Choices,
        rows: &[Row],
        part: u64,
        work: &mut Work<'_>,
    ) {
        let share = self.most_work.div_euclid(part);
        let Some(sets) = Sets::all(self.model, share, work) else {
            return;
        };
        let covers = Covers::new(self.model, &sets, rows, work);
        let ceiling = self.best.cost();
        let mut left_open = Vec::new();
        loop {
            let next = choices
                .open()
                .find(|(_, counts)| !left_open.contains(*counts))
                .map(|(cost, counts)| (cost, counts.clone()));
            let Some((cost, counts)) = next else {
                return;
            };
            if ceiling.is_some_and(|ceiling| cost >= ceiling) || !work.goes_on() {
                return;
            }
            match covers.ask(&counts, share, work) {
                Cover::Found(sheets) => {
                    self.best.take(sheets, Vec::new());
                    return;
                }
                Cover::Impossible => choices.refute(counts),
                Cover::Unknown => left_open.push(counts),
            }
        }
    }
}
