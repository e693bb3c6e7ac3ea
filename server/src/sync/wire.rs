//! What goes over the wire, both ways.

use std::collections::BTreeMap;

use scantling_takeoff::record::FieldProblem;
use scantling_takeoff::record::op::{Blob, Typed, typed_json};
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// The protocol that is spoken here.
pub(super) const PROTOCOL: u32 = 1;
/// At most so many entries at once.
pub(super) const BATCH: usize = 50;

/// A batch of entries, in the order of the phone's own count.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Batch {
    pub(super) protocol: u32,
    pub(super) device_id: Uuid,
    /// The phone's clock as it sends.
    pub(super) device_time: String,
    /// The last entry whose answer the phone has.
    #[serde(default)]
    pub(super) last_ack_op: Option<Uuid>,
    /// How many entries wait on the phone, these included.
    #[serde(default)]
    pub(super) waiting: Option<u32>,
    pub(super) ops: Vec<Item>,
}

/// An entry of an outbox.
#[derive(Clone, Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Item {
    /// The form of the record on the phone.
    #[serde(default = "first")]
    pub(super) v: u32,
    pub(super) op_id: Uuid,
    #[serde(default)]
    pub(super) device_id: Option<Uuid>,
    pub(super) seq: i64,
    pub(super) author: Uuid,
    pub(super) job_id: Uuid,
    /// A form as it was submitted; else the four below say it.
    #[serde(default)]
    pub(super) form: Option<Form>,
    #[serde(default)]
    pub(super) kind: Option<String>,
    #[serde(default)]
    pub(super) entity_id: Option<Uuid>,
    #[serde(default, with = "typed_json")]
    pub(super) fields: Typed,
    #[serde(default)]
    pub(super) base: BTreeMap<String, i64>,
    #[serde(default)]
    pub(super) blobs: Vec<Blob>,
    #[serde(default)]
    pub(super) depends: Vec<Uuid>,
    #[serde(default)]
    pub(super) replaces: Option<Uuid>,
    pub(super) device_time: String,
    #[serde(default)]
    pub(super) tz_offset_min: Option<i32>,
}

const fn first() -> u32 {
    1
}

/// A form as it was submitted.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Form {
    /// Its address, a path of this server.
    pub(super) action: String,
    /// Names and texts, in order.
    pub(super) fields: Vec<(String, String)>,
}

/// The answer to a batch.
#[derive(Debug, Serialize)]
pub(super) struct Answer {
    pub(super) protocol: u32,
    pub(super) server_id: Uuid,
    pub(super) server_time: String,
    pub(super) build: &'static str,
    pub(super) results: Vec<Told>,
    /// Pictures that this phone's entries name and that are not here.
    pub(super) want_blobs: Vec<Uuid>,
    /// Jobs that these entries changed.
    pub(super) changed: Vec<Uuid>,
    pub(super) role_rev: i64,
}

/// What became of an entry.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub(super) struct Told {
    pub(super) op_id: Uuid,
    /// `applied`, `conflict`, `rejected` or `blocked`.
    pub(super) status: String,
    /// It had come before; the answer is the first one.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub(super) replayed: bool,
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    pub(super) revs: BTreeMap<String, i64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) code: Option<String>,
    /// The first problem's field.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) field: Option<String>,
    /// The first problem in words.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) message: Option<String>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) problems: Vec<FieldProblem>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub(super) conflicts: Vec<Differs>,
    /// The refused entry that it waits for.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) op: Option<Uuid>,
    /// Where a form leads once it is saved.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub(super) next: Option<String>,
}

/// A field that somebody else changed meanwhile.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub(super) struct Differs {
    pub(super) field: String,
    pub(super) base_rev: i64,
    pub(super) server_rev: i64,
    pub(super) server_value: String,
    pub(super) yours: String,
    pub(super) by: Uuid,
    pub(super) by_name: String,
    pub(super) received_at: String,
}

impl Told {
    /// A refusal in words.
    pub(super) fn rejected(op_id: Uuid, code: &str, problems: Vec<FieldProblem>) -> Self {
        let first = problems.first();
        Self {
            op_id,
            status: "rejected".to_owned(),
            code: Some(code.to_owned()),
            field: first.map(|problem| problem.field.clone()),
            message: first.map(|problem| problem.message.clone()),
            problems,
            ..Self::default()
        }
    }

    /// Its id is another entry's.
    pub(super) fn reused(op_id: Uuid) -> Self {
        Self::refused(
            op_id,
            "op_id_reused",
            "Another entry has this id. Send this one under a new id.",
        )
    }

    /// It waits for a refused entry, where it is known which.
    pub(super) fn blocked(op_id: Uuid, by: Option<Uuid>) -> Self {
        Self {
            op: by,
            status: "blocked".to_owned(),
            ..Self::refused(
                op_id,
                "depends_on_rejected",
                "This rests on an entry that was not saved. Put that one right first.",
            )
        }
    }

    /// A refusal in one sentence.
    pub(super) fn refused(op_id: Uuid, code: &str, message: &str) -> Self {
        Self::rejected(op_id, code, vec![FieldProblem::new("", message)])
    }
}
