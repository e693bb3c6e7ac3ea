//! An entry: what every write to the record is, from a form, the command line or an import.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use time::format_description::well_known::Rfc3339;
use time::{Date, Duration, OffsetDateTime, UtcOffset};
use uuid::Uuid;

use super::field::{Field, FieldType, Value};
use super::kind::Kind;
use super::registry::OP_KINDS;
use super::role::Role;
use crate::units::Units;

/// What an entry does.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Does {
    /// Adds a thing.
    Add,
    /// Changes fields of a thing.
    Edit,
    /// Takes a thing out of the record; it stays readable (a tombstone).
    Remove,
    /// Something else that happens to a thing: its fields say what.
    Act,
}

/// A kind of entry.
#[derive(Clone, Copy, Debug)]
pub struct OpKind {
    /// Its name: `wall.add`.
    pub name: &'static str,
    /// The kind of thing; for what any change can undergo, [`Kind::Shore`] stands for all (see `any_change`).
    pub kind: Kind,
    /// Whether the entity may be any kind of change.
    pub any_change: bool,
    /// What it does.
    pub does: Does,
    /// The least role.
    pub least: Role,
    /// Its fields. For [`Does::Edit`] those that may change.
    pub fields: &'static [Field],
}

/// The day of a moment, RFC 3339, where the clock is ahead of UTC by so many minutes; none of a text that is no moment.
pub fn day_there(moment: &str, tz_offset_min: i32) -> Option<Date> {
    let at = OffsetDateTime::parse(moment, &Rfc3339).ok()?;
    let there = at
        .checked_to_offset(UtcOffset::UTC)?
        .checked_add(Duration::minutes(i64::from(tz_offset_min)))?;
    Some(there.date())
}

/// Fields as typed: each name with its texts, in order. In JSON one text stands by itself, several in a list.
pub type Typed = BTreeMap<String, Vec<String>>;

/// An entry as it is sent, stored and exported.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Op {
    /// Its own id, made where it was typed.
    pub op_id: Uuid,
    /// Who wrote it.
    pub author: Uuid,
    /// On which device.
    pub device: Uuid,
    /// In which job.
    pub job_id: Uuid,
    /// Its kind's name.
    pub kind: String,
    /// The thing that it is about, id made where it was typed.
    pub entity_id: Uuid,
    /// As typed.
    #[serde(with = "typed_json")]
    pub fields: Typed,
    /// The revision of each changed field that the form showed.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub base: BTreeMap<String, i64>,
    /// When, by the device's clock, UTC, RFC 3339 with milliseconds.
    pub device_time: String,
    /// The device's offset from UTC then, in minutes.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub tz_offset_min: Option<i32>,
    /// How far the device's clock was off, in seconds, where its time can't be relied on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub clock_off_s: Option<i64>,
    /// Pictures that come with it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub blobs: Vec<Blob>,
    /// Things and entries that it needs, as the device saw it.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub depends: Vec<Uuid>,
    /// The refused entry that it stands for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub replaces: Option<Uuid>,
}

/// A picture that an entry names; its bytes come by themselves.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Blob {
    /// Its id, made where it was taken.
    pub blob_id: Uuid,
    /// Its media type.
    pub r#type: String,
    /// Bytes.
    pub size: u64,
}

/// Fields in JSON: `"name": "Wall D"`, `"runs": ["…", "…"]`. Both forms are read everywhere.
pub mod typed_json {
    use std::collections::BTreeMap;

    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    use super::Typed;

    #[derive(Serialize, Deserialize)]
    #[serde(untagged)]
    enum Texts {
        One(String),
        Several(Vec<String>),
    }

    /// Writes them.
    ///
    /// # Errors
    /// Those of the serializer.
    pub fn serialize<S: Serializer>(typed: &Typed, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(typed.iter().map(|(name, texts)| match texts.as_slice() {
            [one] => (name, Texts::One(one.clone())),
            several => (name, Texts::Several(several.to_vec())),
        }))
    }

    /// Reads them.
    ///
    /// # Errors
    /// What is neither a text nor a list of texts.
    pub fn deserialize<'de, D: Deserializer<'de>>(deserializer: D) -> Result<Typed, D::Error> {
        let all = BTreeMap::<String, Texts>::deserialize(deserializer)?;
        Ok(all
            .into_iter()
            .map(|(name, texts)| match texts {
                Texts::One(one) => (name, vec![one]),
                Texts::Several(several) => (name, several),
            })
            .collect())
    }
}

/// What is wrong with an entry, and in which field.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct FieldProblem {
    /// The field's name; empty for the whole entry.
    pub field: String,
    /// Where, why, and what would do.
    pub message: String,
}

impl FieldProblem {
    /// A problem with a field; an empty name for the whole entry.
    pub fn new(field: impl Into<String>, message: impl Into<String>) -> Self {
        Self {
            field: field.into(),
            message: message.into(),
        }
    }
}

impl OpKind {
    /// The kind of entry of that name.
    pub fn named(name: &str) -> Option<&'static Self> {
        OP_KINDS.iter().find(|kind| kind.name == name)
    }

    /// The field of that name, if this kind of entry may carry it.
    pub fn field(&self, name: &str) -> Option<&'static Field> {
        self.fields
            .iter()
            .find(|field| field.name == name && (self.does != Does::Edit || field.changeable))
    }
}

/// Reads an entry's fields, each once. Empty texts are left out; in an edit they stay and clear the field.
///
/// # Errors
/// Every problem, in the order of the registry; unknown names first.
pub fn read(
    kind: &OpKind,
    typed: &Typed,
    units: Units,
) -> Result<BTreeMap<&'static str, Vec<Value>>, Vec<FieldProblem>> {
    let mut problems = Vec::new();
    let mut problem = |field: &str, message: String| {
        problems.push(FieldProblem {
            field: field.to_owned(),
            message,
        });
    };
    for name in typed.keys() {
        if kind.field(name).is_none() {
            problem(
                name,
                format!("{} has no field {name} that can be written.", kind.name),
            );
        }
    }
    let mut values = BTreeMap::new();
    for field in kind.fields {
        let texts = typed.get(field.name).map_or(&[][..], Vec::as_slice);
        let filled: Vec<&str> =
            if field.is_kept_whole() || (field.list && matches!(kind.does, Does::Act)) {
                texts.iter().map(String::as_str).collect()
            } else {
                texts
                    .iter()
                    .map(|t| t.trim())
                    .filter(|t| !t.is_empty())
                    .collect()
            };
        if filled.len() > 1 && !field.list {
            problem(field.name, format!("{} comes once.", field.label));
            continue;
        }
        let there = kind.does != Does::Edit || typed.contains_key(field.name);
        if field.required && there && filled.iter().all(|t| t.trim().is_empty()) {
            problem(
                field.name,
                format!(
                    "{} is empty. Write it like {}.",
                    field.label,
                    field.example()
                ),
            );
            continue;
        }
        let mut read = Vec::new();
        for text in filled {
            if text.trim().is_empty() {
                read.push(Value {
                    text: String::new(),
                    number: None,
                    to: None,
                });
                continue;
            }
            match field.read(text, units) {
                Ok(value) => read.push(value),
                Err(message) => problem(field.name, message),
            }
        }
        if !read.is_empty() || (kind.does == Does::Edit && typed.contains_key(field.name)) {
            values.insert(field.name, read);
        }
    }
    if problems.is_empty() {
        Ok(values)
    } else {
        Err(problems)
    }
}

/// Whether a value names another thing of these kinds.
pub fn may_name(field: &Field, kind: Kind) -> bool {
    matches!(field.kind, FieldType::Ref(kinds) if kinds.contains(&kind))
}
