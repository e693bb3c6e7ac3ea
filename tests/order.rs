//! The answer never depends on the order of entry: the demo's record in any order, and its readings in any order that
//! leaves the same newest ones, give the same needs, cut list and buy list.

use std::collections::BTreeMap;

use proptest::prelude::*;
use scantling_db::{Db, Who};
use scantling_takeoff::buy::{buy_list, cut_list};
use scantling_takeoff::needs::needs;
use scantling_takeoff::record::{Job, Kind, Record, Role};
use time::macros::date;
use uuid::Uuid;

/// The demo's job, read from a store in memory.
fn demo() -> Job {
    let (person, device) = (scantling_seed_demo::lead(), scantling_seed_demo::device());
    let ops = scantling_seed_demo::entries(person, device, date!(2026 - 11 - 23));
    let db = Db::in_memory().unwrap();
    db.write(move |tx| {
        let who = Who {
            person,
            role: Role::Lead,
            device,
        };
        scantling_db::add_person(tx, person, scantling_seed_demo::LEAD, Role::Lead)?;
        scantling_db::add_device(tx, device, person, "Demo", None, "2026-11-01T00:00:00.000Z")?;
        for op in &ops {
            scantling_db::apply(tx, op, &who, &op.device_time)?;
        }
        Ok(())
    })
    .unwrap();
    let (job, _) = db
        .read(|tx| scantling_db::read_job(tx, scantling_seed_demo::job_id()))
        .unwrap()
        .unwrap();
    job
}

/// What is computed from a job, as text.
fn answer(job: &Job) -> String {
    let lists: Vec<_> = [1, 2, 3, 4]
        .iter()
        .map(|week| (cut_list(job, *week), buy_list(job, &[*week])))
        .collect();
    format!(
        "{:?}\n{lists:?}\n{:?}",
        needs(job, &[]),
        buy_list(job, &[2, 3])
    )
}

/// A spot, as the fields of a reading say it.
fn spot(reading: &Record) -> Vec<String> {
    ["of", "what", "side", "place", "number"]
        .iter()
        .map(|field| reading.text(field).unwrap_or("").to_owned())
        .collect()
}

/// Two more readings of every third spot, older than all others and far off, so that there is an order to change.
fn with_older(records: &mut Vec<Record>) {
    let mut spots: BTreeMap<Vec<String>, Record> = BTreeMap::new();
    for record in records.iter().filter(|record| record.kind == Kind::Reading) {
        spots.insert(spot(record), record.clone());
    }
    for (n, mut record) in spots.into_values().enumerate().filter(|(n, _)| n % 3 == 0) {
        for (at, off) in [
            ("2026-01-01T08:00:00.000Z", 640),
            ("2026-01-02T08:00:00.000Z", 1_280),
        ] {
            record.id = Uuid::from_u128(
                u128::from(u64::MAX) + u128::from(n as u64 * 10 + u64::from(off > 640)),
            );
            at.clone_into(&mut record.at);
            if let Some(value) = record
                .fields
                .get_mut("raw")
                .and_then(|values| values.first_mut())
            {
                value.number = value.number.map(|n| n + off);
            }
            records.push(record.clone());
        }
    }
}

/// Gives the readings of each spot but its newest each other's times, turned round `by` places.
fn turned(records: &mut [Record], by: usize) {
    let mut spots: BTreeMap<Vec<String>, Vec<usize>> = BTreeMap::new();
    for (n, record) in records
        .iter()
        .enumerate()
        .filter(|(_, record)| record.kind == Kind::Reading)
    {
        spots.entry(spot(record)).or_default().push(n);
    }
    for mut of in spots.into_values() {
        of.sort_by_key(|n| (records[*n].at.clone(), records[*n].id));
        // The two newest agree in the demo or are all there is: what counts and the state hang on them alone.
        of.truncate(of.len().saturating_sub(2));
        let times: Vec<String> = of.iter().map(|n| records[*n].at.clone()).collect();
        for (place, n) in of.iter().enumerate() {
            records[*n]
                .at
                .clone_from(&times[(place + by) % times.len()]);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]

    #[test]
    fn any_order_of_entry_gives_the_same_needs_cuts_and_lists(seed in prop::collection::vec(any::<u32>(), 64), by in 1_usize..4) {
        let job = demo();
        let mut records: Vec<Record> = job.records().cloned().collect();
        with_older(&mut records);
        let plain = answer(&Job::new(job.id, records.clone(), job.ledger.clone()));
        turned(&mut records, by);
        for (at, n) in (1..records.len()).rev().zip(seed.iter().cycle()) {
            records.swap(at, *n as usize % (at + 1));
        }
        let shuffled = answer(&Job::new(job.id, records, job.ledger.clone()));
        prop_assert!(plain == shuffled, "another order, another answer");
    }
}
