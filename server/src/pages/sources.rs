//! Where each piece of a change comes from: the stick or panel that holds it, and whether that is here.

use std::collections::BTreeMap;

use scantling_takeoff::buy::{Item, StockRow, cut_list};
use scantling_takeoff::record::{Job, Record};

/// Whether the stick of a piece is here.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Whence {
    Used,
    Here,
    Ordered,
    ToBuy,
}

impl Whence {
    fn words(self) -> &'static str {
        match self {
            Self::Used => "used",
            Self::Here => "here",
            Self::Ordered => "ordered",
            Self::ToBuy => "to buy",
        }
    }
}

/// The marks of one need's pieces, blank where a piece has none; by state, item and where its sticks lie.
pub(crate) type Sources = BTreeMap<(Whence, Item, String), Vec<String>>;

/// The sources of a change's sticks and panels, by need: what a done one took, else what the standing plan has for it.
pub(crate) fn of(job: &Job, change: &Record) -> BTreeMap<String, Sources> {
    let mut all: BTreeMap<String, Sources> = BTreeMap::new();
    let mut put = |slot: &str, state, item: &Item, lies: &str, mark: &str| {
        all.entry(slot.to_owned())
            .or_default()
            .entry((state, item.clone(), lies.to_owned()))
            .or_default()
            .push(mark.to_owned());
    };
    if change.state == "done" {
        let rows = job.ledger.rows.values();
        for row in rows.filter(|row| row.taken_by == Some(change.id)) {
            for key in row.pieces.iter().filter(|key| key.change == change.id) {
                put(&key.slot, Whence::Used, &row.item, "", "");
            }
        }
        return all;
    }
    for stick in cut_list(job, change.week()).sticks {
        let row = stick.row.and_then(|id| job.ledger.rows.get(&id));
        let state = match row.map(StockRow::is_here) {
            None => Whence::ToBuy,
            Some(true) => Whence::Here,
            Some(false) => Whence::Ordered,
        };
        for piece in stick
            .pieces
            .iter()
            .filter(|piece| piece.change == change.id)
        {
            put(
                &piece.key.slot,
                state,
                &stick.item,
                &stick.lies,
                &piece.mark,
            );
        }
    }
    all
}

/// `4 here, 2 to buy`.
pub(crate) fn in_short(sources: &Sources) -> String {
    let mut counts: BTreeMap<Whence, usize> = BTreeMap::new();
    for ((state, ..), marks) in sources {
        *counts.entry(*state).or_default() += marks.len();
    }
    counts
        .into_iter()
        .map(|(state, count)| format!("{count} {}", state.words()))
        .collect::<Vec<_>>()
        .join(", ")
}

/// `2 from 2×4 Hem-Fir No.2, 12 ft, here, garage: 1-ST1, 1-ST2`, each.
pub(crate) fn in_full(job: &Job, sources: &Sources) -> Vec<String> {
    sources
        .iter()
        .map(|((state, item, lies), marks)| {
            let mut words = format!(
                "{} from {}, {}",
                marks.len(),
                item.words(job),
                state.words()
            );
            if !lies.is_empty() {
                words.push_str(", ");
                words.push_str(lies);
            }
            let marks: Vec<&str> = marks
                .iter()
                .map(String::as_str)
                .filter(|mark| !mark.is_empty())
                .collect();
            if !marks.is_empty() {
                words.push_str(": ");
                words.push_str(&marks.join(", "));
            }
            words
        })
        .collect()
}
