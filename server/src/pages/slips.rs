//! Slips: receipts without a printed total, still open. A phone ticks onto its own; two phones have two.

use std::cmp::Reverse;

use scantling_db::Who;
use scantling_takeoff::buy::receipt_sums;
use scantling_takeoff::record::{Job, Kind, Record};
use uuid::Uuid;

use super::things::person;
use crate::error::HttpError;
use crate::state::State;

/// The open slips of a job, told apart by whose phone they are on; the newest first.
#[derive(Clone, Debug, Default)]
pub(crate) struct Slips {
    /// Those of this phone.
    own: Vec<Uuid>,
    /// Those of other phones, and who holds them.
    others: Vec<(Uuid, String)>,
}

/// They.
pub(crate) async fn slips(state: &State, job: &Job, who: &Who) -> Result<Slips, HttpError> {
    let open: Vec<(Uuid, Uuid)> = open_receipts(job)
        .into_iter()
        .map(|receipt| (receipt.id, receipt.by))
        .collect();
    if open.is_empty() {
        return Ok(Slips::default());
    }
    let ids: Vec<Uuid> = open.iter().map(|(id, _)| *id).collect();
    let (devices, people) = state
        .read(move |tx| Ok((scantling_db::added_on(tx, &ids)?, scantling_db::people(tx)?)))
        .await?;
    let mut slips = Slips::default();
    for (id, by) in open {
        if devices.get(&id) == Some(&who.device) {
            slips.own.push(id);
        } else if by == who.person {
            let words = format!("{}, on another phone", person(&people, by));
            slips.others.push((id, words));
        } else {
            slips.others.push((id, person(&people, by)));
        }
    }
    Ok(slips)
}

/// The newest receipt of a supplier that this phone began on a day, and that has its total.
pub(crate) async fn closed_on(
    state: &State,
    (job, who): (&Job, &Who),
    supplier: Option<Uuid>,
    day: &str,
) -> Result<Option<Uuid>, HttpError> {
    let mut closed: Vec<&Record> = job
        .all(Kind::Receipt)
        .filter(|receipt| !is_open(receipt) && receipt.to("supplier") == supplier)
        .filter(|receipt| receipt.says("day", day))
        .collect();
    closed.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    let ids: Vec<Uuid> = closed.iter().map(|receipt| receipt.id).collect();
    let asked = ids.clone();
    let devices = state
        .read(move |tx| scantling_db::added_on(tx, &asked))
        .await?;
    let mut own = ids.into_iter();
    Ok(own.find(|id| devices.get(id) == Some(&who.device)))
}

impl Slips {
    /// Whether it is one of this phone's with a line on it: such a one shows with a form of its own.
    pub(crate) fn is_filled(&self, job: &Job, receipt: &Record) -> bool {
        self.is_own(receipt.id) && is_open(receipt) && is_filled(job, receipt)
    }

    /// This phone's open slip of a supplier, or of none.
    pub(crate) fn of_supplier(&self, job: &Job, supplier: Option<Uuid>) -> Option<Uuid> {
        let mut own = self.own.iter().filter_map(|id| job.get(*id));
        own.find(|receipt| receipt.to("supplier") == supplier)
            .map(|receipt| receipt.id)
    }

    /// Whether it is one of this phone's.
    pub(crate) fn is_own(&self, receipt: Uuid) -> bool {
        self.own.contains(&receipt)
    }

    /// This phone's slips with a line on them, the one that was last ticked on first.
    pub(crate) fn filled<'a>(&self, job: &'a Job) -> Vec<&'a Record> {
        let own = self.own.iter().filter_map(|id| job.get(*id));
        let mut all: Vec<&Record> = own.filter(|receipt| is_filled(job, receipt)).collect();
        all.sort_by_key(|receipt| {
            let lines = receipt_sums(job, receipt).lines;
            let newest = lines.iter().filter_map(|(id, _)| job.get(*id));
            Reverse(newest.map(|line| (line.at.as_str(), line.id)).max())
        });
        all
    }

    /// Those of other phones with a line on them, and who holds them.
    pub(crate) fn elsewhere<'a>(&'a self, job: &'a Job) -> Vec<(&'a Record, &'a str)> {
        self.others
            .iter()
            .filter_map(|(id, holder)| Some((job.get(*id)?, holder.as_str())))
            .filter(|(receipt, _)| is_filled(job, receipt))
            .collect()
    }
}

fn is_filled(job: &Job, receipt: &Record) -> bool {
    !receipt_sums(job, receipt).lines.is_empty()
}

/// Whether a receipt is a slip still: without a printed total.
pub(crate) fn is_open(receipt: &Record) -> bool {
    receipt.money("total").is_none()
}

fn open_receipts(job: &Job) -> Vec<&Record> {
    let mut open: Vec<&Record> = job
        .all(Kind::Receipt)
        .filter(|receipt| is_open(receipt))
        .collect();
    open.sort_by(|a, b| (&b.at, b.id).cmp(&(&a.at, a.id)));
    open
}
