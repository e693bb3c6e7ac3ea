//! The job file: a whole job as one open document, entry by entry in the order in which the server got them.
//!
//! Here are its types alone. Reading it into a record, checking it and writing it out is the matter of storage.
//!
//! A file written by hand may leave out what people seldom care about; it is filled in the same way each time:
//! `author` by the first of `people` (where there is none, by a person called "Job file" with an id made from the job's),
//! `device` by an id made from the author's, `op_id` by an id made from the job's and the entry's number, `received_at` by
//! `device_time`, else by the entry before plus 1 ms (the first: 2000-01-01), and `device_time` by `received_at`. `base` of
//! an edit without an `op_id` is what stands when it is read in.

use std::collections::BTreeMap;
use std::fmt;

use serde::de::{Error as _, SeqAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use uuid::Uuid;

use super::op::{Blob, Op, Typed, typed_json};
use crate::buy::Effect;

/// What `format` says.
pub const FORMAT: &str = "scantling-job";
/// What `version` says.
pub const VERSION: u32 = 1;

/// A whole job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct JobFile {
    /// [`FORMAT`].
    pub format: String,
    /// [`VERSION`].
    pub version: u32,
    /// The job's id.
    pub job_id: Uuid,
    /// Who wrote its entries, by id.
    #[serde(default)]
    pub people: Vec<Person>,
    /// Every entry that counts, in the order of arrival; the first adds the job.
    #[serde(deserialize_with = "numbered")]
    pub entries: Vec<Entry>,
    /// What is known of the pictures that entries name, by id: those whose bytes have arrived. The bytes stand beside this
    /// document, each under its hash.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub pictures: Vec<Picture>,
}

/// A picture whose bytes have arrived.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Picture {
    /// Its id, as an entry names it.
    pub blob_id: Uuid,
    /// The SHA-256 of its bytes as kept, 64 hex digits in lower case.
    pub sha256: String,
    /// Its media type: `image/jpeg`, `image/png`, `image/webp` or `image/heic`.
    pub r#type: String,
    /// Bytes as kept.
    pub size: u32,
    /// Pixels across as it is shown, upright.
    pub width: u32,
    /// Pixels down as it is shown.
    pub height: u32,
}

/// The most bytes of a picture.
pub const PICTURE_BYTES: u32 = 25_000_000;
/// The most pictures of a job.
pub const JOB_PICTURES: u32 = 50_000;
/// The most bytes of all pictures of a job.
pub const JOB_PICTURE_BYTES: u64 = 20_000_000_000;
/// The most pixels of a picture's side.
pub const PICTURE_SIDE: u32 = 12_000;
/// The most pixels of a picture.
pub const PICTURE_PIXELS: u64 = 50_000_000;

impl Picture {
    /// Whether its figures can be those of a picture that is kept.
    pub fn is_sound(&self) -> bool {
        let hex = |byte: u8| matches!(byte, b'0'..=b'9' | b'a'..=b'f');
        self.extension().is_some()
            && self.sha256.len() == 64
            && self.sha256.bytes().all(hex)
            && (1..=PICTURE_BYTES).contains(&self.size)
            && (1..=PICTURE_SIDE).contains(&self.width)
            && (1..=PICTURE_SIDE).contains(&self.height)
            && u64::from(self.width) * u64::from(self.height) <= PICTURE_PIXELS
    }

    /// Whether it is kept as the phone made it: not every browser shows it, and no smaller copy of it can be made here.
    pub fn is_original(&self) -> bool {
        self.r#type == "image/heic"
    }

    /// What a file of its type ends in; none for a type that is not kept.
    pub fn extension(&self) -> Option<&'static str> {
        match self.r#type.as_str() {
            "image/jpeg" => Some("jpg"),
            "image/png" => Some("png"),
            "image/webp" => Some("webp"),
            "image/heic" => Some("heic"),
            _ => None,
        }
    }
}

/// Someone who wrote entries.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Person {
    /// Their id.
    pub id: Uuid,
    /// Their name.
    pub name: String,
}

/// An entry with its arrival and what it did to the ledger.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Entry {
    /// Its kind's name, `wall.add`.
    pub kind: String,
    /// The thing that it is about.
    pub entity_id: Uuid,
    /// As typed: one text by itself, several in a list.
    #[serde(default, with = "typed_json")]
    pub fields: Typed,
    /// The revision of each changed field that was seen: 1 as added, one more with each change.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub base: BTreeMap<String, i64>,
    /// Its own id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub op_id: Option<Uuid>,
    /// Who wrote it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub author: Option<Uuid>,
    /// On which device.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device: Option<Uuid>,
    /// When, by the device's clock, RFC 3339.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub device_time: Option<String>,
    /// When the server got it, RFC 3339.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub received_at: Option<String>,
    /// The device's offset from UTC then, in minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tz_offset_min: Option<i32>,
    /// How far the device's clock was off, in seconds, where its time can't be relied on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock_off_s: Option<i64>,
    /// Pictures that came with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub blobs: Vec<Blob>,
    /// Things and entries that it needed.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub depends: Vec<Uuid>,
    /// The refused entry that it stands for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replaces: Option<Uuid>,
    /// What it did to the ledger. Left out: worked out when it is read in.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub effects: Option<Vec<Effect>>,
}

impl Entry {
    /// The entry of an op.
    pub fn of(op: Op, received_at: String, effects: Option<Vec<Effect>>) -> Self {
        Self {
            kind: op.kind,
            entity_id: op.entity_id,
            fields: op.fields,
            base: op.base,
            op_id: Some(op.op_id),
            author: Some(op.author),
            device: Some(op.device),
            device_time: Some(op.device_time),
            received_at: Some(received_at),
            tz_offset_min: op.tz_offset_min,
            clock_off_s: op.clock_off_s,
            blobs: op.blobs,
            depends: op.depends,
            replaces: op.replaces,
            effects,
        }
    }
}

/// Reads entries one by one, so that what can't be read is said with the number of its entry, from 1.
fn numbered<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Vec<Entry>, D::Error> {
    struct Entries;
    impl<'de> Visitor<'de> for Entries {
        type Value = Vec<Entry>;

        fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
            f.write_str("a list of entries")
        }

        fn visit_seq<A: SeqAccess<'de>>(self, mut all: A) -> Result<Vec<Entry>, A::Error> {
            let mut entries = Vec::new();
            loop {
                match all.next_element() {
                    Ok(Some(entry)) => entries.push(entry),
                    Ok(None) => return Ok(entries),
                    Err(error) => {
                        let number = entries.len() + 1;
                        return Err(A::Error::custom(format_args!("entry {number}: {error}")));
                    }
                }
            }
        }
    }
    deserializer.deserialize_seq(Entries)
}
