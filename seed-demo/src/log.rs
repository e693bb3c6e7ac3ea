//! The entries written so far, and the job as it stands after them.
//!
//! Receipts and changes done are filled in as the forms of the core show them, so that the demo books what its own buy list
//! asks for. What an entry does to the ledger is the core's matter; conflicts and phones are not here.

use std::collections::BTreeMap;

use scantling_takeoff::buy::{Ledger, effects};
use scantling_takeoff::checks::hold_points::{Event, seen, stood};
use scantling_takeoff::record::{Does, Job, Kind, Op, OpKind, Record, Value, op};
use scantling_takeoff::units::Units;
use time::Date;
use uuid::Uuid;

use crate::row::{Part, Row, id, stamp, typed};

/// Entries in order, with what they made.
pub(crate) struct Log {
    /// The entries.
    pub(crate) entries: Vec<Op>,
    /// The Monday of week 2.
    pub(crate) monday: Date,
    author: Uuid,
    device: Uuid,
    records: BTreeMap<Uuid, Record>,
    ledger: Ledger,
}

impl Log {
    /// An empty one.
    pub(crate) fn new(author: Uuid, device: Uuid, monday: Date) -> Self {
        Self {
            entries: Vec::new(),
            monday,
            author,
            device,
            records: BTreeMap::new(),
            ledger: Ledger::default(),
        }
    }

    /// The job as it stands.
    pub(crate) fn job(&self) -> Job {
        let records = self.records.values().cloned().collect();
        Job::new(id("job"), records, self.ledger.clone())
    }

    /// Writes the rows of a part, a minute apart.
    pub(crate) fn write(&mut self, part: &Part) {
        for (minute, row) in part.rows.iter().enumerate() {
            let at = stamp(self.monday, part.day, part.hour * 60 + minute);
            self.write_row(row, at);
        }
    }

    fn write_row(&mut self, row: &Row, at: String) {
        let entry = Op {
            op_id: id(&format!(
                "entry {}: {} {}",
                self.entries.len(),
                row.op,
                row.word
            )),
            author: self.author,
            device: self.device,
            job_id: id("job"),
            kind: row.op.clone(),
            entity_id: id(&row.word),
            fields: typed(row),
            device_time: at,
            ..Op::default()
        };
        let entry = Op {
            base: self.seen(&entry),
            ..entry
        };
        self.apply(&entry);
        self.entries.push(entry);
    }

    /// What the form of a hold point would have shown, for a release.
    fn seen(&self, entry: &Op) -> BTreeMap<String, i64> {
        if entry.kind != "hold.release" {
            return BTreeMap::new();
        }
        let text = |name: &str| entry.fields.get(name).and_then(|texts| texts.first());
        let of = text("of").and_then(|text| Uuid::parse_str(text).ok());
        let event = text("event").and_then(|text| Event::named(text));
        let job = self.job();
        of.and_then(|of| job.get(of))
            .zip(event)
            .map_or_else(BTreeMap::new, |(change, event)| seen(&job, change, event))
    }

    /// A release with what stood then, as the store writes it.
    fn stood(entry: &Op, mut record: Record) -> Record {
        if entry.kind == "hold.release" {
            let texts = stood(&entry.base).into_iter().map(|text| Value {
                text,
                number: None,
                to: None,
            });
            record.fields.insert("stood".to_owned(), texts.collect());
        }
        record
    }

    fn apply(&mut self, entry: &Op) {
        let kind = OpKind::named(&entry.kind).expect("the scenario uses kinds of the registry");
        let values = op::read(kind, &entry.fields, Units::Us)
            .expect("every row of the scenario can be read: a test reads them all");
        if matches!(kind.kind, Kind::Stock | Kind::Bought) || kind.does == Does::Act {
            let moved = effects(&self.job(), entry, &values)
                .expect("the scenario books nothing twice: a test books it all");
            self.ledger.apply(&moved);
        }
        let fields = values
            .into_iter()
            .map(|(name, values)| (name.to_owned(), values));
        match (kind.does, self.records.get_mut(&entry.entity_id)) {
            (Does::Add, _) => {
                let record = Record {
                    id: entry.entity_id,
                    kind: kind.kind,
                    fields: fields.collect(),
                    by: entry.author,
                    at: entry.device_time.clone(),
                    state: if kind.kind.is_change() {
                        "planned".to_owned()
                    } else {
                        String::new()
                    },
                    gone: None,
                    clock_off_s: None,
                };
                self.records.insert(record.id, Self::stood(entry, record));
            }
            (Does::Edit, Some(record)) => record.fields.extend(fields),
            (Does::Act, Some(record)) if entry.kind == "change.done" => {
                "done".clone_into(&mut record.state);
            }
            // What is written on an order: all that it was sent with, then how it stands.
            (Does::Act, Some(record)) if entry.kind == "order.send" => record.fields.extend(fields),
            (Does::Act, Some(record)) if entry.kind == "order.status" => {
                let status = fields.filter(|(name, _)| name == "status");
                record.fields.extend(status);
            }
            (Does::Act, Some(record)) if entry.kind == "change.state" => {
                let state = entry.fields.get("state").and_then(|texts| texts.first());
                record.state = state.cloned().unwrap_or_default();
            }
            _ => {}
        }
    }
}
