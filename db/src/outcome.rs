//! What becomes of an entry: a value, not an error. Stored as JSON beside the entry, sent as it is to the device.

use std::collections::BTreeMap;

use scantling_takeoff::record::FieldProblem;
use serde::{Deserialize, Serialize};
use uuid::Uuid;

/// What became of an entry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "status", rename_all = "snake_case")]
pub enum Applied {
    /// It counts.
    #[serde(rename = "applied")]
    New {
        /// Its arrival number.
        seq: i64,
        /// The revision at which each of its fields stands now.
        revs: BTreeMap<String, i64>,
    },
    /// It had arrived before, the same; nothing was done. Inside: what became of it then.
    Replayed {
        /// What became of it then.
        of: Box<Applied>,
    },
    /// Some of its fields had changed meanwhile, or the thing is gone. The other fields were applied.
    Conflict {
        /// Its arrival number.
        seq: i64,
        /// The revision at which each applied field stands now.
        revs: BTreeMap<String, i64>,
        /// Why the thing is gone, where it is; then nothing was applied.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        entity_deleted: Option<String>,
        /// What was wanted and what stands.
        conflicts: Vec<Conflict>,
    },
    /// It can't be taken as it is. A fix is another entry with another id.
    Rejected {
        /// Which rule.
        code: Code,
        /// Where, why, and what would do.
        problems: Vec<FieldProblem>,
    },
    /// It names something that an entry would have added that was refused. Not stored: it may be sent again.
    Blocked {
        /// The refused entry.
        by: Uuid,
    },
}

impl Applied {
    /// Whether the entry is in the record now, wholly or in part, by this try or an earlier one.
    pub fn is_in(&self) -> bool {
        match self {
            Self::New { .. } | Self::Conflict { .. } => true,
            Self::Replayed { of } => of.is_in(),
            Self::Rejected { .. } | Self::Blocked { .. } => false,
        }
    }

    /// The word under which it is stored; none for what isn't.
    pub(crate) fn stored_word(&self) -> Option<&'static str> {
        match self {
            Self::New { .. } => Some("applied"),
            Self::Conflict { .. } => Some("conflict"),
            Self::Rejected { .. } => Some("rejected"),
            Self::Replayed { .. } | Self::Blocked { .. } => None,
        }
    }
}

/// A field that somebody else had changed meanwhile.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Conflict {
    /// The field's name; `state` for a change's state.
    pub field: String,
    /// The revision that the form showed.
    pub base_rev: i64,
    /// The revision that stands.
    pub server_rev: i64,
    /// What stands.
    pub server_value: Vec<String>,
    /// What was wanted.
    pub yours: Vec<String>,
    /// Who wrote what stands.
    pub by: Uuid,
    /// When that arrived.
    pub received_at: String,
}

/// The rule by which an entry was refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Code {
    /// A field can't be read, or doesn't fit.
    Invalid,
    /// An id that is taken, or names nothing of this kind here.
    BadId,
    /// No such kind of entry.
    UnknownKind,
    /// No such job.
    UnknownJob,
    /// The role doesn't allow it.
    NotAllowed,
    /// Another entry has this id.
    OpIdReused,
}
