//! What can be recorded: kinds of things, their fields, the entries that write them, and the job read from them.
//!
//! The registry ([`registry`]) is the only list of kinds and fields: forms, validation, storage, roles, the job file's
//! schema and the tests read it. An entry ([`op::Op`]) holds fields as typed; [`op::read`] parses each once.

pub mod check;
pub mod choices;
pub mod field;
pub mod history;
pub mod job;
pub mod job_file;
pub mod kind;
pub mod op;
pub mod reading;
pub mod registry;
pub mod role;
pub mod settings;

pub use field::{Field, FieldType, Value};
pub use job::{Job, Record};
pub use job_file::{Entry, JobFile, Picture};
pub use kind::Kind;
pub use op::{Does, FieldProblem, Op, OpKind, day_there};
pub use reading::{Agreement, Measured, Spot, What};
pub use role::Role;
pub use settings::Settings;
