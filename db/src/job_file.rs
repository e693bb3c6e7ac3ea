//! A job out to a job file, and in again: what goes out comes back the same, byte for byte.
//!
//! The file's form is in the core ([`scantling_takeoff::record::job_file`]). Entries go in by the one way in, so a file by
//! hand is checked like a form; all of it, or nothing.

use std::collections::{BTreeMap, BTreeSet};

use rusqlite::Transaction;
use scantling_takeoff::record::job_file::{FORMAT, Person, VERSION};
use scantling_takeoff::record::op::{Typed, typed_json};
use scantling_takeoff::record::{Does, Entry, JobFile, Op, OpKind, Picture, Role};
use serde::Deserialize;
use thiserror::Error as Cause;
use uuid::Uuid;

use crate::entry::{Comes, arrive};
use crate::error::{failed, parse, uuid};
use crate::json::read_json;
use crate::outcome::Applied;
use crate::people::{add_device, add_person, people};
use crate::{Error, Who, blob, moment, revs_of};

/// When the first entry arrived, where a file says nothing.
const LONG_AGO: &str = "2000-01-01T00:00:00.000Z";

/// Under which ids a job comes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mode {
    /// Under its own.
    Same,
    /// As another job of this id; every id in it is made anew from the old one.
    Copy {
        /// The new job's id.
        new: Uuid,
    },
}

/// What came in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Imported {
    /// The job's id here.
    pub job_id: Uuid,
    /// How many entries.
    pub n_entries: usize,
    /// How many of them met another edit of the same field, as when they first arrived.
    pub n_conflicts: usize,
}

/// Why a job file was refused; nothing of it came in.
#[derive(Clone, Debug, PartialEq, Eq, Cause)]
pub enum ImportError {
    /// It is no such document.
    #[error("the job file can't be read: {0}")]
    Unreadable(String),
    /// Another format, or a later version.
    #[error(
        "the file says format {format}, version {version}; this program reads {FORMAT}, version {VERSION}"
    )]
    Format {
        /// What it says.
        format: String,
        /// What it says.
        version: u32,
    },
    /// The job is in the record already.
    #[error("job {0} is in the record already; import it as a copy, or into an empty data folder")]
    There(Uuid),
    /// It doesn't begin with the job itself.
    #[error("the first entry is not job.add with the job's own id")]
    NoJob,
    /// An entry is refused.
    #[error("entry {number} ({kind}){}: {message}", field_words(.field))]
    Entry {
        /// Which, from 1.
        number: usize,
        /// Its kind.
        kind: String,
        /// In which field; empty for the whole entry.
        field: String,
        /// Where, why, and what would do.
        message: String,
    },
    /// A picture is not one that an entry names, or can't be as it is described.
    #[error("picture {0}: {1}")]
    Picture(Uuid, &'static str),
    /// The ledger doesn't come out.
    #[error("the ledger does not come out: {0}")]
    Ledger(String),
}

/// A job as a job file: what counts of its entries, in the order of arrival; none where there is no such job. Refused
/// entries stay out.
///
/// # Errors
/// Those of SQLite.
pub fn export(tx: &Transaction<'_>, job_id: Uuid) -> Result<Option<JobFile>, Error> {
    if crate::job_rev(tx, job_id)?.is_none() {
        return Ok(None);
    }
    let doing = "export a job";
    let mut statement = tx
        .prepare_cached(
            "SELECT op_id, author_id, device_id, kind, entity_id, fields, base, blobs, depends, replaces, device_time,
                    tz_offset_min, received_at, effects, clock_off_seconds
             FROM op
             WHERE job_id = ?1 AND outcome <> 'rejected'
             ORDER BY seq",
        )
        .map_err(failed(doing))?;
    let mut rows = statement
        .query([job_id.to_string()])
        .map_err(failed(doing))?;
    let mut entries = Vec::new();
    let mut authors = BTreeSet::new();
    while let Some(row) = rows.next().map_err(failed(doing))? {
        #[derive(Deserialize)]
        struct Fields(#[serde(with = "typed_json")] Typed);
        let get = |column: usize| row.get::<_, String>(column).map_err(failed(doing));
        let maybe = |column: usize| row.get::<_, Option<String>>(column).map_err(failed(doing));
        let op = Op {
            op_id: uuid(&get(0)?)?,
            author: uuid(&get(1)?)?,
            device: uuid(&get(2)?)?,
            job_id,
            kind: get(3)?,
            entity_id: uuid(&get(4)?)?,
            fields: parse::<Fields>("entry's fields", &get(5)?)?.0,
            base: parse("entry's base", &get(6)?)?,
            blobs: maybe(7)?.map_or(Ok(Vec::new()), |text| parse("entry's pictures", &text))?,
            depends: maybe(8)?.map_or(Ok(Vec::new()), |text| parse("entry's needs", &text))?,
            replaces: maybe(9)?.as_deref().map(uuid).transpose()?,
            device_time: get(10)?,
            tz_offset_min: row.get(11).map_err(failed(doing))?,
            clock_off_s: row.get(14).map_err(failed(doing))?,
        };
        let effects = maybe(13)?
            .map(|text| parse("entry's effects", &text))
            .transpose()?;
        authors.insert(op.author);
        entries.push(Entry::of(op, get(12)?, effects));
    }
    let people = people(tx)?
        .into_values()
        .filter(|person| authors.contains(&person.id))
        .map(|person| Person {
            id: person.id,
            name: person.name,
        })
        .collect();
    let mut pictures: Vec<Picture> = blob::pictures(tx, job_id)?.into_values().collect();
    pictures.sort_by_key(|picture| picture.blob_id);
    Ok(Some(JobFile {
        format: FORMAT.to_owned(),
        version: VERSION,
        job_id,
        people,
        entries,
        pictures,
    }))
}

/// A job file as text: the same job gives the same bytes.
pub fn to_json(file: &JobFile) -> String {
    let mut text =
        serde_json::to_string_pretty(file).expect("a job file has text keys and no floats");
    text.push('\n');
    text
}

/// Reads the text of a job file; what it says is checked by [`import`].
///
/// # Errors
/// What is no such document, with line and column.
pub fn from_json(text: &str) -> Result<JobFile, ImportError> {
    read_json(text.as_bytes()).map_err(ImportError::Unreadable)
}

/// Takes a job file in, all of it or nothing: on an error the caller's transaction must be given up. People and devices
/// that are not known are added; they can't sign in.
///
/// # Errors
/// [`Error::Import`] says which entry is refused and why; else those of SQLite.
pub fn import(tx: &Transaction<'_>, file: &JobFile, mode: Mode) -> Result<Imported, Error> {
    if (file.format.as_str(), file.version) != (FORMAT, VERSION) {
        return Err(ImportError::Format {
            format: file.format.clone(),
            version: file.version,
        }
        .into());
    }
    let by_hand: Vec<bool> = file
        .entries
        .iter()
        .map(|entry| entry.op_id.is_none() && entry.base.is_empty())
        .collect();
    let mut file = filled(file)?;
    if let Mode::Copy { new } = mode {
        file = copied(&file, new)?;
    }
    if crate::job_rev(tx, file.job_id)?.is_some() {
        return Err(ImportError::There(file.job_id).into());
    }
    if file
        .entries
        .first()
        .is_none_or(|first| first.kind != "job.add" || first.entity_id != file.job_id)
    {
        return Err(ImportError::NoJob.into());
    }
    let mut pictures = described(&file)?;
    for id in pictures.keys() {
        if blob::find(tx, *id)?.is_some() {
            return Err(ImportError::Picture(*id, "another picture has its id").into());
        }
    }
    let mut n_conflicts = 0;
    let mut known = people(tx)?;
    let mut devices = BTreeSet::new();
    for ((number, entry), by_hand) in (1..).zip(&file.entries).zip(by_hand) {
        let refused = |field: &str, message: String| {
            Error::Import(ImportError::Entry {
                number,
                kind: entry.kind.clone(),
                field: field.to_owned(),
                message,
            })
        };
        let (mut op, received_at) = op_of(entry, file.job_id);
        if by_hand && op.kind == "hold.release" {
            op.base = crate::held::revisions(tx, &op)?;
        }
        if by_hand && OpKind::named(&op.kind).is_some_and(|kind| kind.does == Does::Edit) {
            op.base = revs_of(tx, op.entity_id)?
                .into_iter()
                .filter(|(name, _)| op.fields.contains_key(name))
                .map(|(name, stands)| (name, stands.rev))
                .collect();
        }
        if !known.contains_key(&op.author) {
            let Some(person) = file.people.iter().find(|person| person.id == op.author) else {
                return Err(refused(
                    "author",
                    "nobody of this id is among the file's people. Add them there.".to_owned(),
                ));
            };
            add_person(tx, person.id, &person.name, Role::Guest)?;
            known = people(tx)?;
        }
        if devices.insert(op.device) && !device_is_there(tx, op.device)? {
            add_device(tx, op.device, op.author, "Job file", None, &received_at)?;
        }
        let who = Who {
            person: op.author,
            role: Role::Lead,
            device: op.device,
        };
        let comes = match (by_hand, entry.effects.as_deref()) {
            (true, None) => Comes::FromAPerson,
            (_, effects) => Comes::WithAFile(effects),
        };
        match arrive(tx, &op, &who, &received_at, comes)? {
            Applied::New { .. } => {
                for picture in op.blobs.iter().filter_map(|b| pictures.remove(&b.blob_id)) {
                    blob::add_picture(tx, &op, picture)?;
                }
            }
            Applied::Conflict { .. } => n_conflicts += 1,
            Applied::Replayed { .. } => {
                return Err(refused(
                    "op_id",
                    "the entry is in the record already.".to_owned(),
                ));
            }
            Applied::Blocked { by } => {
                return Err(refused("", format!("it waits for the refused entry {by}.")));
            }
            Applied::Rejected { problems, .. } => {
                let first = problems.into_iter().next();
                let (field, message) =
                    first.map_or_else(Default::default, |p| (p.field, p.message));
                return Err(refused(&field, message));
            }
        }
    }
    if let Some(id) = pictures.keys().next() {
        return Err(ImportError::Picture(*id, "no photo names it").into());
    }
    crate::ledger::read(tx, file.job_id)?
        .verify()
        .map_err(|problems| ImportError::Ledger(problems.join(" ")))?;
    Ok(Imported {
        job_id: file.job_id,
        n_entries: file.entries.len(),
        n_conflicts,
    })
}

/// The pictures that a file describes, by id.
fn described(file: &JobFile) -> Result<BTreeMap<Uuid, &Picture>, ImportError> {
    let mut pictures = BTreeMap::new();
    for picture in &file.pictures {
        if !picture.is_sound() {
            return Err(ImportError::Picture(
                picture.blob_id,
                "no picture that is kept can have this type, hash or size",
            ));
        }
        if pictures.insert(picture.blob_id, picture).is_some() {
            return Err(ImportError::Picture(
                picture.blob_id,
                "it is described twice",
            ));
        }
    }
    Ok(pictures)
}

/// Fills in what a file by hand left out, as the core's `record::job_file` says, and brings every moment into one form.
fn filled(file: &JobFile) -> Result<JobFile, ImportError> {
    let mut file = file.clone();
    let by_hand = Uuid::new_v5(&file.job_id, b"author");
    if file.people.is_empty() {
        file.people.push(Person {
            id: by_hand,
            name: "Job file".to_owned(),
        });
    }
    let first = file.people.first().map_or(by_hand, |person| person.id);
    let mut before: Option<String> = None;
    for (number, entry) in (1..).zip(&mut file.entries) {
        let kind = entry.kind.clone();
        let time = |field: &str, text: &Option<String>| {
            text.as_deref()
                .map(|text| {
                    moment::read(text).ok_or_else(|| ImportError::Entry {
                        number,
                        kind: kind.clone(),
                        field: field.to_owned(),
                        message: format!(
                            "can't read {text}. Write it like 2026-11-25T07:13:30.938Z"
                        ),
                    })
                })
                .transpose()
        };
        let received_at = time("received_at", &entry.received_at)?;
        let device_time = time("device_time", &entry.device_time)?;
        let next = before
            .as_deref()
            .and_then(|before| moment::after(before, 1))
            .unwrap_or_else(|| LONG_AGO.to_owned());
        let received_at = received_at.or_else(|| device_time.clone()).unwrap_or(next);
        entry.device_time = Some(device_time.unwrap_or_else(|| received_at.clone()));
        entry.received_at = Some(received_at.clone());
        before = Some(received_at);
        let author = *entry.author.get_or_insert(first);
        entry
            .device
            .get_or_insert_with(|| Uuid::new_v5(&author, b"device"));
        entry.op_id.get_or_insert_with(|| {
            Uuid::new_v5(&file.job_id, format!("entry {number}").as_bytes())
        });
    }
    Ok(file)
}

/// The same job with every id made anew, but for those of people and devices.
fn copied(file: &JobFile, new: Uuid) -> Result<JobFile, ImportError> {
    let kept: BTreeSet<Uuid> = file
        .people
        .iter()
        .map(|person| person.id)
        .chain(file.entries.iter().filter_map(|entry| entry.author))
        .chain(file.entries.iter().filter_map(|entry| entry.device))
        .collect();
    let map = |old: Uuid| {
        if old == file.job_id {
            new
        } else if kept.contains(&old) {
            old
        } else {
            Uuid::new_v5(&new, old.as_bytes())
        }
    };
    let unreadable = |error: serde_json::Error| ImportError::Unreadable(error.to_string());
    let value = serde_json::to_value(file).map_err(unreadable)?;
    serde_json::from_value(with_ids(value, &map)).map_err(unreadable)
}

/// Replaces every id in every text, also inside a longer one, as in the text of an item.
fn with_ids(value: serde_json::Value, map: &impl Fn(Uuid) -> Uuid) -> serde_json::Value {
    use serde_json::Value as Json;
    match value {
        Json::String(text) => Json::String(text_with_ids(&text, map)),
        Json::Array(all) => all.into_iter().map(|one| with_ids(one, map)).collect(),
        Json::Object(all) => all
            .into_iter()
            .map(|(name, one)| (name, with_ids(one, map)))
            .collect(),
        other => other,
    }
}

fn text_with_ids(text: &str, map: &impl Fn(Uuid) -> Uuid) -> String {
    /// Letters of an id.
    const LONG: usize = 36;
    let mut out = String::with_capacity(text.len());
    let mut rest = text;
    while let Some(c) = rest.chars().next() {
        let id = rest
            .get(..LONG)
            .filter(|part| part.as_bytes().get(8) == Some(&b'-'))
            .and_then(|part| Uuid::try_parse(part).ok());
        let n = if let Some(id) = id {
            out.push_str(&map(id).to_string());
            LONG
        } else {
            out.push(c);
            c.len_utf8()
        };
        rest = rest.get(n..).unwrap_or("");
    }
    out
}

/// A filled entry as an op, with its arrival.
fn op_of(entry: &Entry, job_id: Uuid) -> (Op, String) {
    let entry = entry.clone();
    let op = Op {
        op_id: entry.op_id.unwrap_or_default(),
        author: entry.author.unwrap_or_default(),
        device: entry.device.unwrap_or_default(),
        job_id,
        kind: entry.kind,
        entity_id: entry.entity_id,
        fields: entry.fields,
        base: entry.base,
        device_time: entry.device_time.unwrap_or_default(),
        tz_offset_min: entry.tz_offset_min,
        clock_off_s: entry.clock_off_s,
        blobs: entry.blobs,
        depends: entry.depends,
        replaces: entry.replaces,
    };
    (op, entry.received_at.unwrap_or_default())
}

fn device_is_there(tx: &Transaction<'_>, device: Uuid) -> Result<bool, Error> {
    tx.query_row(
        "SELECT EXISTS (SELECT 1 FROM device WHERE id = ?1)",
        [device.to_string()],
        |row| row.get(0),
    )
    .map_err(failed("look up a device"))
}

fn field_words(field: &str) -> String {
    if field.is_empty() {
        String::new()
    } else {
        format!(", field {field}")
    }
}
