//! From what a form sent to the entries that it means, ids and all.
//!
//! A form may mean several entries: a run with its section as found is a run and readings, a room of four walls is a
//! room, its walls and readings. Ids of the further ones are made from the form's own, so that the same form sent twice
//! is the same entries.

use std::collections::BTreeMap;

use scantling_db::Who;
use scantling_takeoff::record::{Does, Job, Kind, Op, OpKind, Record, What, registry};
use uuid::Uuid;

use crate::clock;

/// What a part of a multipart form counts for besides its name and text: a body of empty parts comes to its limit, too.
pub(crate) const PART_BYTES: usize = 256;

/// A form's fields as sent, in order.
#[derive(Clone, Debug, Default)]
pub(crate) struct Posted(pub(crate) Vec<(String, String)>);

impl Posted {
    /// The first value of a name.
    pub(crate) fn first(&self, name: &str) -> Option<&str> {
        self.0
            .iter()
            .find(|(n, _)| n == name)
            .map(|(_, value)| value.as_str())
    }

    /// The first value of a name, if something was typed.
    pub(crate) fn typed(&self, name: &str) -> Option<&str> {
        self.first(name)
            .map(str::trim)
            .filter(|text| !text.is_empty())
    }

    /// All values of a name.
    pub(crate) fn all(&self, name: &str) -> Vec<String> {
        self.0
            .iter()
            .filter(|(n, _)| n == name)
            .map(|(_, value)| value.clone())
            .collect()
    }

    /// Without the ids that it came with: what it says becomes another thing.
    pub(crate) fn into_another(mut self) -> Self {
        self.0
            .retain(|(name, _)| !matches!(name.as_str(), "op_id" | "entity_id" | "replaces"));
        self
    }

    /// The first value of a name as a whole number, if it is one.
    fn number<N: std::str::FromStr>(&self, name: &str) -> Option<N> {
        self.typed(name).and_then(|text| text.parse().ok())
    }

    /// An id, or a new one where the form sent none.
    pub(crate) fn id(&self, name: &str) -> Uuid {
        self.first(name)
            .and_then(|text| Uuid::parse_str(text).ok())
            .unwrap_or_else(clock::new_id)
    }
}

/// An entry of a form, and the form's name for each of its fields.
#[derive(Clone, Debug)]
pub(crate) struct Entry {
    /// The entry.
    pub(crate) op: Op,
    /// What the form calls its fields, where it isn't the field's own name.
    pub(crate) names: BTreeMap<String, String>,
}

/// What the entries of one form share.
#[derive(Clone, Debug)]
pub(crate) struct Frame {
    /// The job.
    pub(crate) job_id: Uuid,
    /// Who writes.
    pub(crate) who: Who,
    /// When.
    pub(crate) now: String,
    /// The phone's offset from UTC then, in minutes, where it said it.
    pub(crate) tz_offset_min: Option<i32>,
    /// How far the phone's clock was off, in seconds, where it isn't relied on.
    pub(crate) clock_off_s: Option<i64>,
    /// The refused entry that this form stands for.
    pub(crate) replaces: Option<Uuid>,
    /// The form's own op id.
    pub(crate) op_id: Uuid,
}

impl Frame {
    /// The day on which it was written, where the phone is: `2026-10-12`.
    pub(crate) fn day(&self) -> String {
        clock::day_at(&self.now, self.tz_offset_min.unwrap_or(0))
    }

    /// The frame of a form.
    pub(crate) fn of(posted: &Posted, job_id: Uuid, who: &Who) -> Self {
        Self {
            job_id,
            who: *who,
            now: posted
                .typed("device_time")
                .map_or_else(clock::now, str::to_owned),
            tz_offset_min: posted.number("tz_offset_min"),
            clock_off_s: posted.number("clock_off_s"),
            replaces: posted
                .first("replaces")
                .and_then(|text| Uuid::parse_str(text).ok()),
            op_id: posted.id("op_id"),
        }
    }

    /// An entry of this frame. `part` tells it from the others of the form; empty for the form's own.
    pub(crate) fn entry(
        &self,
        kind: &str,
        entity_id: Uuid,
        part: &str,
        fields: BTreeMap<String, Vec<String>>,
    ) -> Entry {
        let op_id = if part.is_empty() {
            self.op_id
        } else {
            Uuid::new_v5(&self.op_id, part.as_bytes())
        };
        Entry {
            op: Op {
                op_id,
                author: self.who.person,
                device: self.who.device,
                job_id: self.job_id,
                kind: kind.to_owned(),
                entity_id,
                fields,
                base: BTreeMap::new(),
                device_time: self.now.clone(),
                tz_offset_min: self.tz_offset_min,
                clock_off_s: self.clock_off_s,
                replaces: self.replaces.filter(|_| part.is_empty()),
                ..Op::default()
            },
            names: BTreeMap::new(),
        }
    }
}

/// Fields of a kind of entry as the form sent them; empty ones are left out.
pub(crate) fn fields(kind: &OpKind, posted: &Posted) -> BTreeMap<String, Vec<String>> {
    let mut out = BTreeMap::new();
    for field in kind.fields {
        let typed = posted.all(field.name);
        let filled: Vec<String> = if field.list && kind.does == Does::Act {
            typed
        } else {
            typed
                .into_iter()
                .filter(|text| !text.trim().is_empty())
                .collect()
        };
        if !filled.is_empty() {
            out.insert(field.name.to_owned(), filled);
        }
    }
    out
}

/// The entries of a form that adds a thing: the thing, readings named `reading.<what>`, and a room's four walls.
pub(crate) fn adding(
    kind: &OpKind,
    posted: &Posted,
    frame: &Frame,
    job: Option<&Job>,
) -> Vec<Entry> {
    let entity_id = if kind.kind == Kind::Job {
        frame.job_id
    } else {
        posted.id("entity_id")
    };
    let mut entries = vec![frame.entry(kind.name, entity_id, "", fields(kind, posted))];
    if kind.kind == Kind::Hold {
        entries[0].op.base = seen_revisions(posted);
    }
    for what in What::ALL {
        let name = format!("reading.{}", what.name());
        if let Some(raw) = posted.typed(&name) {
            entries.push(reading(frame, entity_id, *what, raw, posted, &name));
        }
    }
    if kind.kind == Kind::Room && posted.first("four_walls") == Some("yes") {
        entries.extend(four_walls(frame, entity_id, posted, job));
    }
    entries
}

/// The revision of each condition that the form of a hold point showed.
fn seen_revisions(posted: &Posted) -> BTreeMap<String, i64> {
    posted
        .0
        .iter()
        .filter_map(|(name, text)| {
            let rev = text.trim().parse().ok()?;
            Some((name.strip_prefix("base.")?.to_owned(), rev))
        })
        .collect()
}

/// A reading of a thing that the same form adds.
fn reading(frame: &Frame, of: Uuid, what: What, raw: &str, posted: &Posted, name: &str) -> Entry {
    let by = posted.typed("by").unwrap_or("tape");
    let fields = [
        ("of", of.to_string()),
        ("what", what.name().to_owned()),
        ("by", by.to_owned()),
        ("raw", raw.to_owned()),
    ];
    let fields = fields
        .into_iter()
        .map(|(name, text)| (name.to_owned(), vec![text]))
        .collect();
    let mut entry = frame.entry(
        "reading.add",
        Uuid::new_v5(&of, name.as_bytes()),
        name,
        fields,
    );
    entry.names.insert("raw".to_owned(), name.to_owned());
    entry
}

/// Four walls of a rectangular room: named by the next free letters, each with its length as read for the room.
fn four_walls(frame: &Frame, room: Uuid, posted: &Posted, job: Option<&Job>) -> Vec<Entry> {
    let sides = [
        ("reading.length", 0_usize),
        ("reading.width", 1),
        ("reading.length", 2),
        ("reading.width", 3),
    ];
    let free = free_wall_names(job, sides.len());
    let mut entries = Vec::new();
    for ((length, at), free) in sides.into_iter().zip(free) {
        let part = format!("wall.{at}");
        let wall = Uuid::new_v5(&room, part.as_bytes());
        // The same form sent again means the walls that it added.
        let name = job
            .and_then(|job| job.ever(wall))
            .map_or(free, |known| known.name().to_owned());
        let fields = BTreeMap::from([
            ("name".to_owned(), vec![name]),
            ("room_a".to_owned(), vec![room.to_string()]),
        ]);
        entries.push(frame.entry("wall.add", wall, &part, fields));
        if let Some(raw) = posted.typed(length) {
            let mut entry = reading(
                frame,
                wall,
                What::Length,
                raw,
                posted,
                &format!("{part}.length"),
            );
            entry.names.insert("raw".to_owned(), length.to_owned());
            entries.push(entry);
        }
    }
    entries
}

/// `Wall A`, `Wall B` … without I and O, then `Wall A2`: the next that no wall bears.
pub(crate) fn free_wall_names(job: Option<&Job>, n: usize) -> Vec<String> {
    let taken: Vec<&str> = job.map_or_else(Vec::new, |job| {
        job.all(Kind::Wall).map(Record::name).collect()
    });
    let letters = "ABCDEFGHJKLMNPQRSTUVWXYZ";
    (1..)
        .flat_map(|round| {
            letters.chars().map(move |letter| {
                if round == 1 {
                    format!("Wall {letter}")
                } else {
                    format!("Wall {letter}{round}")
                }
            })
        })
        .filter(|name| !taken.contains(&name.as_str()))
        .take(n)
        .collect()
}

/// The entry of a form that changes a thing: only fields that differ from what the form showed, with their revisions.
pub(crate) fn editing(
    kind: &OpKind,
    entity_id: Uuid,
    posted: &Posted,
    frame: &Frame,
) -> Option<Entry> {
    let mut changed = BTreeMap::new();
    let mut base = BTreeMap::new();
    for field in kind.fields.iter().filter(|field| field.changeable) {
        let was = posted.all(&format!("was.{}", field.name));
        if was.is_empty() && posted.first(field.name).is_none() {
            continue;
        }
        let clean = |all: Vec<String>| {
            all.into_iter()
                .map(|t| t.trim().to_owned())
                .filter(|t| !t.is_empty())
                .collect::<Vec<_>>()
        };
        let (was, is) = (clean(was), clean(posted.all(field.name)));
        if was != is {
            let rev = posted
                .first(&format!("base.{}", field.name))
                .and_then(|text| text.parse().ok())
                .unwrap_or(0);
            base.insert(field.name.to_owned(), rev);
            changed.insert(
                field.name.to_owned(),
                if is.is_empty() {
                    vec![String::new()]
                } else {
                    is
                },
            );
        }
    }
    if changed.is_empty() {
        return None;
    }
    let mut entry = frame.entry(kind.name, entity_id, "", changed);
    entry.op.base = base;
    Some(entry)
}

/// The kind of entry that does `act` to a thing of this kind, as in `done` to a change.
pub(crate) fn act_kind(kind: Kind, act: &str) -> Option<&'static OpKind> {
    let of_kind = OpKind::named(&format!("{}.{act}", kind.name()));
    of_kind
        .or_else(|| {
            kind.is_change()
                .then(|| OpKind::named(&format!("change.{act}")))
                .flatten()
        })
        .filter(|kind| matches!(kind.does, Does::Act | Does::Remove))
}

/// The registry's kind of entry that adds such a thing.
pub(crate) fn add_kind(kind: Kind) -> Option<&'static OpKind> {
    registry::adds(kind)
}
