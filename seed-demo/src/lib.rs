//! The invented house of the demo: a bearing wall comes out of a kitchen ell of 1924, over four work weeks with a gap.
//!
//! House, people, yards, hardware and prices are invented. Everything is an entry of the registry as a person would type
//! it, in the order in which a crew would. Nothing is written past the rules; dates are counted from a Monday, and what
//! week 1 bought and used is what the core's own forms show. The same arguments give the same entries, ids included. Source of the scenario: our own; common practice.
//!
//! | file | what it holds |
//! | --- | --- |
//! | `house`, `walls`, `framing` | job, weeks, storeys, rooms; walls, layers, openings; members, runs |
//! | `readings` | what was measured, mostly twice |
//! | `yard`, `hardware` | suppliers, price book, hardware table |
//! | `changes` | what is planned, by week |
//! | `checks` | what the load path and the checks rest on |
//! | `buying` | what lies on hand, week 1's order and receipts, what was done with them |
//! | `holds` | papers, and which hold points are signed off, skipped, held |
//! | `log`, `row` | how rows become entries |

mod buying;
mod changes;
mod checks;
mod framing;
mod hardware;
mod holds;
mod house;
mod log;
mod readings;
mod row;
#[cfg(test)]
mod tests;
mod walls;
mod yard;

use scantling_takeoff::record::Op;
use time::Date;
use uuid::Uuid;

use log::Log;

/// The name of the lead, who wrote it all.
pub const LEAD: &str = "Marit";

/// An id for the lead.
pub fn lead() -> Uuid {
    row::id("lead")
}

/// An id for the lead's phone.
pub fn device() -> Uuid {
    row::id("device")
}

/// The demo job's id.
pub fn job_id() -> Uuid {
    row::id("job")
}

/// Every entry of the demo job, in order, written by `lead` on `device`.
///
/// `today` lies in work week 2, from Monday to Friday, or to Sunday where today is on a weekend: week 1 lies behind it, weeks
/// 3 and 4 come after a gap of two weeks. No entry is dated on or after that Monday. An order that is sent has its lines; its
/// papers are made of these by whoever applies it.
pub fn entries(lead: Uuid, device: Uuid, today: Date) -> Vec<Op> {
    log(lead, device, today).entries
}

fn log(lead: Uuid, device: Uuid, today: Date) -> Log {
    let monday = row::monday_of(today);
    let mut log = Log::new(lead, device, monday);
    log.write(&house::survey(today));
    log.write(&readings::survey());
    log.write(&yard::book(monday));
    log.write(&changes::plan());
    log.write(&readings::for_changes());
    log.write(&checks::second_look());
    log.write(&buying::on_hand());
    buying::week_1(&mut log);
    log.write(&changes::before_week_2());
    log.write(&holds::before_week_2(monday));
    log
}
