//! What the planner starts from: every change that counts with its takeoff, the ledger, the price book, the settings.
//!
//! The job is read here once; the planner itself sees takeoffs only. Dropped changes are not among them.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::item::Item;
use super::ledger::{Ledger, PieceKey, StockRow};
use super::prices::{Offer, PriceBook};
use crate::needs::{self, Class, Need, Serves, StickClass, Takeoff, Treatment};
use crate::record::{Job, Settings};
use crate::units::Length;

/// A change with what it calls for.
#[derive(Clone, Debug)]
pub struct Counted {
    /// Its name.
    pub name: String,
    /// What it calls for.
    pub takeoff: Takeoff,
    /// Whether it is marked done.
    pub done: bool,
}

/// What a plan is made from.
#[derive(Clone, Debug)]
pub struct Basis<'a> {
    /// Every change that is not dropped, in working order.
    pub changes: Vec<Counted>,
    /// The ledger.
    pub ledger: &'a Ledger,
    /// The job's settings.
    pub settings: &'a Settings,
    /// The price book.
    pub prices: PriceBook,
}

impl<'a> Basis<'a> {
    /// How many of what an offer sells are bought for these weeks, or on order for them: they come off what the yard has for
    /// the trip.
    pub(super) fn had_of(&self, offer: &Offer, weeks: &[u32]) -> i64 {
        let items = self.ledger.items().into_iter();
        let items = items.filter(|item| offer.sells(item));
        let bought: i64 = items.map(|item| self.ledger.bought_for(item, weeks)).sum();
        let rows = self.ledger.rows.values();
        let ordered = rows.filter(|row| {
            row.ordered.is_some()
                && row.stands()
                && offer.sells(&row.item)
                && row.weeks.iter().any(|week| weeks.contains(week))
        });
        bought + i64::try_from(ordered.count()).unwrap_or(i64::MAX)
    }

    /// How many of what an offer sells these weeks can still have, of so many at the yard.
    pub(super) fn still_at_yard(
        &self,
        offer: &Offer,
        there: Option<i64>,
        weeks: &[u32],
    ) -> Option<i64> {
        there.map(|there| (there - self.had_of(offer, weeks)).max(0))
    }

    /// Reads it from the job.
    pub fn of(job: &'a Job) -> Self {
        let changes = job
            .changes()
            .into_iter()
            .filter(|change| change.state != "dropped")
            .map(|change| Counted {
                name: change.name().to_owned(),
                takeoff: needs::of_change(job, change),
                done: change.state == "done",
            })
            .collect();
        Self {
            changes,
            ledger: &job.ledger,
            settings: &job.settings,
            prices: PriceBook::of(job),
        }
    }

    /// The same on another ledger: what if.
    pub(super) fn on<'b>(&'b self, ledger: &'b Ledger) -> Basis<'b> {
        Basis {
            ledger,
            ..self.clone()
        }
    }

    /// The weeks that have a change, in order.
    pub fn weeks(&self) -> Vec<u32> {
        let mut weeks: Vec<u32> = self.changes.iter().map(|c| c.takeoff.week).collect();
        weeks.sort_unstable();
        weeks.dedup();
        weeks
    }

    /// A change by its id.
    pub(super) fn change(&self, id: Uuid) -> Option<&Counted> {
        self.changes
            .iter()
            .find(|change| change.takeoff.change == id)
    }

    /// Every piece of sticks and panels, done ones too.
    pub(super) fn pieces(&self) -> BTreeMap<PieceKey, Piece<'_>> {
        let mut pieces = BTreeMap::new();
        for change in &self.changes {
            for need in &change.takeoff.needs {
                let (Class::Stick(_) | Class::Panel(_), Some(length)) = (&need.class, need.cut)
                else {
                    continue;
                };
                for index in 0..u32::try_from(need.count).unwrap_or(0) {
                    let key = PieceKey {
                        change: change.takeoff.change,
                        slot: need.slot.clone(),
                        index,
                    };
                    let piece = Piece {
                        order: pieces.len(),
                        need,
                        change,
                        length,
                        across: need.across.unwrap_or(Length::ZERO),
                    };
                    pieces.insert(key, piece);
                }
            }
        }
        pieces
    }
}

/// A piece to be cut.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece<'a> {
    /// Its place in working order.
    pub(super) order: usize,
    /// The need that it is of.
    pub(super) need: &'a Need,
    /// The change that it is of.
    pub(super) change: &'a Counted,
    /// Its cut length; a panel piece's side along the strength axis.
    pub(super) length: Length,
    /// A panel piece's side across it.
    pub(super) across: Length,
}

impl Piece<'_> {
    /// Its work week.
    pub(super) fn week(&self) -> u32 {
        self.change.takeoff.week
    }

    /// Whether other sizes and salvage may serve it.
    pub(super) fn is_flexible(&self) -> bool {
        self.need.serves == Serves::NotThinnerNorNarrower
    }

    /// How well a row serves it, whatever its length: 0 the same class, 1 salvage, 2 another class; none not at all.
    pub(super) fn served_by(&self, row: &StockRow) -> Option<u8> {
        if row.salvage && !(row.sound && self.is_flexible()) {
            return None;
        }
        match (&self.need.class, &row.item) {
            (Class::Stick(wanted), Item::Stick { class, .. }) => {
                if wanted == class {
                    Some(u8::from(row.salvage))
                } else if self.is_flexible() && is_not_less(class, wanted) {
                    Some(if row.salvage { 1 } else { 2 })
                } else {
                    None
                }
            }
            (Class::Panel(wanted), Item::Panel { class, .. }) => {
                let same = (&wanted.panel, wanted.thickness) == (&class.panel, class.thickness);
                same.then_some(u8::from(row.salvage))
            }
            _ => None,
        }
    }
}

/// Not thinner nor narrower, and treated where treated is asked for.
fn is_not_less(row: &StickClass, wanted: &StickClass) -> bool {
    row.dressed.thickness >= wanted.dressed.thickness
        && row.dressed.depth >= wanted.dressed.depth
        && (wanted.treatment == Treatment::None || row.treatment == Treatment::Treated)
}
