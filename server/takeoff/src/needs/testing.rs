//! A job for a test, from a few words; only for tests.
//!
//! Fields go through the registry, as typed. What a test leaves out is filled in: a name is the id's word, the week is 1,
//! a reading is by tape. Readings are taken one after the other, in the order of the list.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::{Need, Takeoff, of_change};
use crate::buy::Ledger;
use crate::record::registry::{adds, fields_of};
use crate::record::{Job, Kind, Record, op};
use crate::units::{Length, Units, parse_length};

/// A record: its kind, the word of its id, its fields as typed; `@wall` names the record with that word.
pub(crate) type Entry<'a> = (&'a str, &'a str, &'a [(&'a str, &'a str)]);

/// The id of a word.
pub(crate) fn id(word: &str) -> Uuid {
    Uuid::new_v5(&Uuid::NAMESPACE_OID, word.as_bytes())
}

/// The job of these records; its own record, if any, has the kind and the word `job`.
pub(crate) fn job(entries: &[Entry]) -> Job {
    let records = entries
        .iter()
        .enumerate()
        .map(|(n, entry)| record(n, entry))
        .collect();
    Job::new(id("job"), records, Ledger::default())
}

/// The same job, its records handed over in reverse.
pub(crate) fn reversed(job: &Job) -> Job {
    let mut records: Vec<Record> = job.records().cloned().collect();
    records.reverse();
    Job::new(job.id, records, Ledger::default())
}

/// The takeoff of the change with that word.
pub(crate) fn takeoff(job: &Job, word: &str) -> Takeoff {
    of_change(job, job.get(id(word)).unwrap())
}

/// The need of a slot.
pub(crate) fn need<'a>(takeoff: &'a Takeoff, slot: &str) -> &'a Need {
    let slots: Vec<&str> = takeoff.needs.iter().map(|need| &need.slot[..]).collect();
    takeoff
        .needs
        .iter()
        .find(|need| need.slot == slot)
        .unwrap_or_else(|| panic!("no {slot} among {slots:?}; missing {:?}", takeoff.missing))
}

/// Count and cut of every stick, by slot.
pub(crate) fn cuts(takeoff: &Takeoff) -> Vec<(&str, i64, String)> {
    let sticks = takeoff.needs.iter().filter_map(|need| {
        let cut = need.cut?;
        Some((&need.slot[..], need.count, cut.to_string()))
    });
    sticks.collect()
}

/// Count of everything bought by the count, by slot.
pub(crate) fn counts(takeoff: &Takeoff) -> Vec<(&str, i64)> {
    let others = takeoff.needs.iter().filter(|need| need.cut.is_none());
    others.map(|need| (&need.slot[..], need.count)).collect()
}

/// What is missing, and what waits for it.
pub(crate) fn missing(takeoff: &Takeoff) -> Vec<(&str, &str)> {
    let all = takeoff.missing.iter();
    all.map(|missing| (&missing.text[..], &missing.waits[..]))
        .collect()
}

/// A length as typed.
pub(crate) fn inches(text: &str) -> Length {
    parse_length(text, Units::Us).unwrap()
}

fn record(n: usize, (kind, word, fields): &Entry) -> Record {
    let kind = Kind::named(kind).unwrap();
    let mut typed: BTreeMap<String, Vec<String>> = BTreeMap::new();
    for (name, text) in *fields {
        let text = match text.strip_prefix('@') {
            Some(word) => id(word).to_string(),
            None => (*text).to_owned(),
        };
        typed.entry((*name).to_owned()).or_default().push(text);
    }
    for (name, text) in [("name", *word), ("week", "1"), ("by", "tape")] {
        if fields_of(kind).iter().any(|field| field.name == name) {
            typed
                .entry(name.to_owned())
                .or_insert_with(|| vec![text.to_owned()]);
        }
    }
    let fields = op::read(adds(kind).unwrap(), &typed, Units::Us).unwrap();
    Record {
        id: id(word),
        kind,
        fields: fields
            .into_iter()
            .map(|(name, values)| (name.to_owned(), values))
            .collect(),
        by: id("lead"),
        at: format!(
            "2026-10-13T08:{:02}:{:02}.000Z",
            n.div_euclid(60),
            n.rem_euclid(60)
        ),
        state: if kind.is_change() {
            "planned".to_owned()
        } else {
            String::new()
        },
        gone: None,
        clock_off_s: None,
    }
}
