//! The job as read from its entries: things with their fields, readings judged, in an order that is always the same.

use std::collections::BTreeMap;

use uuid::Uuid;

use super::field::Value;
use super::kind::Kind;
use super::reading::{Measured, Spot, Taken, What, judge};
use super::registry::is_field;
use super::settings::Settings;
use crate::buy::Ledger;
use crate::units::{Length, Money};

/// A thing in the record.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Record {
    /// Its id.
    pub id: Uuid,
    /// Its kind.
    pub kind: Kind,
    /// Its fields as they stand: name → values; several for a list.
    pub fields: BTreeMap<String, Vec<Value>>,
    /// Who added it.
    pub by: Uuid,
    /// When, UTC, RFC 3339 (for a reading: when it was taken).
    pub at: String,
    /// The state of a change: `planned` until something else is said; empty for other things.
    pub state: String,
    /// Why it was taken out of the record, if it was. Such things stay readable and count for nothing.
    pub gone: Option<String>,
    /// How far the clock that `at` is from was off, in seconds, where it can't be relied on.
    pub clock_off_s: Option<i64>,
}

impl Record {
    fn value(&self, name: &str) -> Option<&Value> {
        debug_assert!(
            is_field(self.kind, name),
            "{} has no field {name}",
            self.kind
        );
        self.fields.get(name).and_then(|values| values.first())
    }

    /// The text of a field, if there is one.
    pub fn text(&self, name: &str) -> Option<&str> {
        self.value(name)
            .map(|value| value.text.as_str())
            .filter(|text| !text.is_empty())
    }

    /// The number of a field: count, cents, permille, scaled decimals.
    pub fn number(&self, name: &str) -> Option<i64> {
        self.value(name)?.number
    }

    /// The length of a field.
    pub fn length(&self, name: &str) -> Option<Length> {
        self.number(name).map(Length::from_64ths)
    }

    /// The lengths of a list field, in order.
    pub fn lengths(&self, name: &str) -> Vec<Length> {
        self.fields.get(name).map_or_else(Vec::new, |all| {
            all.iter()
                .filter_map(|v| v.number)
                .map(Length::from_64ths)
                .collect()
        })
    }

    /// The amount of a field.
    pub fn money(&self, name: &str) -> Option<Money> {
        self.number(name).map(Money::from_cents)
    }

    /// The thing that a field names.
    pub fn to(&self, name: &str) -> Option<Uuid> {
        self.value(name)?.to
    }

    /// The things that a list field names.
    pub fn all_to(&self, name: &str) -> Vec<Uuid> {
        self.fields.get(name).map_or_else(Vec::new, |all| {
            all.iter().filter_map(|value| value.to).collect()
        })
    }

    /// The texts of a list field.
    pub fn texts(&self, name: &str) -> Vec<&str> {
        self.fields.get(name).map_or_else(Vec::new, |all| {
            all.iter().map(|value| value.text.as_str()).collect()
        })
    }

    /// Whether a choice field says this word.
    pub fn says(&self, name: &str, word: &str) -> bool {
        self.text(name) == Some(word)
    }

    /// Whether it is framing of this piece: `pad`, `joist`.
    pub fn says_piece(&self, word: &str) -> bool {
        matches!(self.kind, Kind::Member | Kind::Run) && self.says("piece", word)
    }

    /// Its name, or its kind's.
    pub fn name(&self) -> &str {
        self.fields
            .get("name")
            .and_then(|values| values.first())
            .map(|value| value.text.as_str())
            .filter(|text| !text.is_empty())
            .unwrap_or(self.kind.title())
    }

    /// The work weeks that a line, an order, a list is for, each once, in order.
    pub fn weeks(&self) -> Vec<u32> {
        weeks_of(self.fields.get("weeks").map_or(&[], Vec::as_slice))
    }

    /// The work week of a change; 0 for other things.
    pub fn week(&self) -> u32 {
        self.fields
            .get("week")
            .and_then(|values| values.first())
            .and_then(|v| v.number)
            .and_then(|n| u32::try_from(n).ok())
            .unwrap_or(0)
    }
}

/// The work weeks of a list field, each once, in order.
pub(crate) fn weeks_of(values: &[Value]) -> Vec<u32> {
    let mut weeks: Vec<u32> = values
        .iter()
        .filter_map(|value| u32::try_from(value.number?).ok())
        .collect();
    weeks.sort_unstable();
    weeks.dedup();
    weeks
}

/// A job: everything in its record.
#[derive(Clone, Debug)]
pub struct Job {
    /// Its id.
    pub id: Uuid,
    /// Its settings, defaults filled in.
    pub settings: Settings,
    /// The ledger: what is on hand, what was bought, and the standing plan.
    pub ledger: Ledger,
    records: BTreeMap<Uuid, Record>,
    by_kind: BTreeMap<Kind, Vec<Uuid>>,
    /// What bears on a thing with one of its ends: runs, then members, in the order of their kind.
    bearing_on: BTreeMap<Uuid, Vec<Uuid>>,
    /// Members that may carry others: girders, beams, headers.
    carrying: Vec<Uuid>,
    measured: BTreeMap<Spot, Measured>,
}

/// Pieces that carry others.
const CARRYING: [&str; 3] = ["girder", "beam", "header"];

impl Job {
    /// Builds the job from its records, in any order, and its ledger. Without a job record all settings are the defaults.
    pub fn new(id: Uuid, records: Vec<Record>, ledger: Ledger) -> Self {
        let records: BTreeMap<Uuid, Record> = records
            .into_iter()
            .map(|record| (record.id, record))
            .collect();
        let empty = Record {
            id,
            kind: Kind::Job,
            fields: BTreeMap::new(),
            by: Uuid::nil(),
            at: String::new(),
            state: String::new(),
            gone: None,
            clock_off_s: None,
        };
        let settings = Settings::read(records.get(&id).unwrap_or(&empty));
        let mut by_kind: BTreeMap<Kind, Vec<Uuid>> = BTreeMap::new();
        let mut taken: BTreeMap<Spot, Vec<Taken>> = BTreeMap::new();
        for record in records.values().filter(|record| record.gone.is_none()) {
            by_kind.entry(record.kind).or_default().push(record.id);
            if record.kind == Kind::Reading
                && let Some((spot, reading)) = taken_of(record)
            {
                taken.entry(spot).or_default().push(reading);
            }
        }
        for ids in by_kind.values_mut() {
            ids.sort_by_cached_key(|id| (natural(records[id].name()), *id));
        }
        let of = |kind| {
            by_kind
                .get(&kind)
                .into_iter()
                .flatten()
                .map(|id| &records[id])
        };
        let mut bearing_on: BTreeMap<Uuid, Vec<Uuid>> = BTreeMap::new();
        for piece in of(Kind::Run).chain(of(Kind::Member)) {
            let (start, end) = (piece.to("start_at"), piece.to("end_at"));
            for on in [start, end.filter(|end| Some(*end) != start)]
                .into_iter()
                .flatten()
            {
                bearing_on.entry(on).or_default().push(piece.id);
            }
        }
        let carrying =
            of(Kind::Member).filter(|one| CARRYING.iter().any(|piece| one.says("piece", piece)));
        let carrying = carrying.map(|one| one.id).collect();
        let measured = taken
            .into_iter()
            .filter_map(|(spot, all)| Some((spot, judge(all, settings.tolerance)?)))
            .collect();
        Self {
            id,
            settings,
            ledger,
            records,
            by_kind,
            bearing_on,
            carrying,
            measured,
        }
    }

    /// The job's own record, if there is one.
    pub fn record(&self) -> Option<&Record> {
        self.records.get(&self.id)
    }

    /// A thing that stands in the record.
    pub fn get(&self, id: Uuid) -> Option<&Record> {
        self.records.get(&id).filter(|record| record.gone.is_none())
    }

    /// A thing, also one that was taken out.
    pub fn ever(&self, id: Uuid) -> Option<&Record> {
        self.records.get(&id)
    }

    /// Everything ever recorded, by id.
    pub fn records(&self) -> impl Iterator<Item = &Record> {
        self.records.values()
    }

    /// All things of a kind that stand, by name and then id.
    pub fn all(&self, kind: Kind) -> impl Iterator<Item = &Record> {
        self.by_kind
            .get(&kind)
            .into_iter()
            .flatten()
            .filter_map(|id| self.records.get(id))
    }

    /// Runs, then members, that are recorded to bear on this with one of their ends, each kind by name.
    pub fn bearing_on(&self, on: Uuid) -> impl Iterator<Item = &Record> {
        let ids = self.bearing_on.get(&on);
        ids.into_iter().flatten().filter_map(|id| self.get(*id))
    }

    /// Members that may carry others: girders, beams, headers, by name.
    pub fn carrying(&self) -> impl Iterator<Item = &Record> {
        self.carrying.iter().filter_map(|id| self.get(*id))
    }

    /// How many things of a kind stand.
    pub fn count(&self, kind: Kind) -> usize {
        self.by_kind.get(&kind).map_or(0, Vec::len)
    }

    /// All changes in working order: by week, kind, name, id. Dropped ones are among them.
    pub fn changes(&self) -> Vec<&Record> {
        let mut all: Vec<&Record> = Kind::CHANGES
            .iter()
            .flat_map(|kind| self.all(*kind))
            .collect();
        all.sort_by_cached_key(|r| (r.week(), r.kind, natural(r.name()), r.id));
        all
    }

    /// The work week of this number, where it is recorded.
    pub fn week(&self, number: u32) -> Option<&Record> {
        let number = i64::from(number);
        self.all(Kind::Week)
            .find(|week| week.number("number") == Some(number))
    }

    /// Whether the work week of this number is closed.
    pub fn is_closed(&self, number: u32) -> bool {
        self.week(number)
            .is_some_and(|week| week.says("closed", "yes"))
    }

    /// The name of a thing, or `not in the record`.
    pub fn name(&self, id: Uuid) -> &str {
        self.ever(id).map_or("not in the record", Record::name)
    }

    /// What counts of the readings of a spot.
    pub fn measured(&self, spot: &Spot) -> Option<&Measured> {
        self.measured.get(spot)
    }

    /// All spots of a thing with what counts, in the order of the list of dimensions.
    pub fn measured_of(&self, of: Uuid) -> impl Iterator<Item = (&Spot, &Measured)> {
        let from = Spot {
            of,
            what: What::ALL[0],
            side: String::new(),
            place: String::new(),
            number: 0,
        };
        self.measured
            .range(from..)
            .take_while(move |(spot, _)| spot.of == of)
    }

    /// All spots with what counts.
    pub fn all_measured(&self) -> impl Iterator<Item = (&Spot, &Measured)> {
        self.measured.iter()
    }
}

/// The spot and the reading of a reading's record.
fn taken_of(record: &Record) -> Option<(Spot, Taken)> {
    let what = What::named(record.text("what")?)?;
    let number = record
        .number("number")
        .and_then(|n| u32::try_from(n).ok())
        .unwrap_or(0);
    let spot = Spot::of(record.to("of")?, what)
        .number(number)
        .side(record.text("side").unwrap_or(""))
        .place(record.text("place").unwrap_or(""));
    let value = record.length("raw")?;
    let by_tape = !record.says("by", "eye");
    Some((
        spot,
        Taken {
            id: record.id,
            at: record.at.clone(),
            clock_off_s: record.clock_off_s,
            by_tape,
            value,
        },
    ))
}

/// A key that sorts `Post 2` before `Post 10`: runs of digits as numbers, the rest in lower case.
pub fn natural(name: &str) -> Vec<(String, u64)> {
    let mut key = Vec::new();
    let (mut word, mut digits) = (String::new(), String::new());
    for c in name.chars() {
        if c.is_ascii_digit() {
            digits.push(c);
        } else {
            if !digits.is_empty() {
                key.push((
                    std::mem::take(&mut word),
                    digits.parse().unwrap_or(u64::MAX),
                ));
                digits.clear();
            }
            word.extend(c.to_lowercase());
        }
    }
    key.push((word, digits.parse().unwrap_or(0)));
    key
}
