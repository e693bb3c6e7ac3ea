//! All SQL of Scantling: the store of one server, and the one way in for every write.
//!
//! Entries arrive by [`apply`] (or [`apply_all`], [`import`]) inside a transaction that [`Db::write`] or [`Db::submit`]
//! opened; pages are made of what [`read_job`] gives. No rules of the trade are here: those are in the core.
//! Rules from: one writer thread with group commit and synced commits; each entry once, whole, never half.

mod access;
mod blob;
mod change;
mod entry;
mod error;
mod fits;
mod held;
mod history;
mod job;
mod job_file;
mod json;
mod ledger;
mod lock;
mod migrate;
mod moment;
mod outcome;
mod pairing;
mod people;
mod pictures;
mod plan;
#[cfg(test)]
mod schema_rules;
mod sent;
mod settings;
mod standing;
mod store;
#[cfg(test)]
mod tests;
mod writer;

/// A transaction, so that callers need not depend on the driver.
pub use rusqlite::Transaction as Tx;

pub use access::{Access, AccessAct, AccessLine, access_log, log_access};
pub use blob::{PhotoUse, add_picture, photo_use, pictures};
pub use entry::{Who, apply, apply_all, stored_result};
pub use error::Error;
pub use history::{added_on, entered};
pub use job::{
    FieldState, JobLine, LastAct, OpenConflict, conflicts, job_rev, jobs, last_acts, read_job,
    revs_of, written_at,
};
pub use job_file::{ImportError, Imported, Mode, export, from_json, import, to_json};
pub use json::read_json;
pub use outcome::{Applied, Code, Conflict};
pub use pairing::{
    NewCode, OPEN_CODES, OpenCode, Paired, Pairing, add_code, forget_codes, open_codes,
    open_pairing, pair, pairing_is_shut,
};
pub use people::{
    Device, PersonLine, SignedIn, add_device, add_person, devices, id, people, rename_device,
    rename_person, revoke, revoke_others, seen, server_id, set_role, set_waiting, sha256_hex,
    signed_in,
};
pub use pictures::{Found, Pictures};
pub use sent::{
    CLOCK_TOLERANCE_S, Clock, PhotoEntry, Sent, Written, clock_of, is_known, keep_sent,
    missing_things, photo_entry, sent, skew_s, wanted_pictures, written, written_as,
};
pub use standing::who_wrote;
pub use store::Db;
