//! Phones that were away: entries from their outboxes, pictures after them, and what a phone asks about itself.
//!
//! Protocol 1. An entry is either an op of the record as it stands in a job file, or a **form** as it was submitted: its
//! address and its fields. A form is composed into ops here by the very code that takes it from a page, so every form of
//! the site works away from the server, and no rule is written twice. Each entry is answered once: the same again, by id,
//! gives the same answer.

mod forms;
mod ops;
mod phone;
mod pictures;
mod refusal;
mod rescue;
mod wire;

pub(crate) use forms::Outcome;
pub(crate) use ops::send as ops;
pub(crate) use phone::{me, ping};
pub(crate) use pictures::put as picture;
pub(crate) use refusal::{Refusal, is_sync};
pub(crate) use rescue::{show as rescue, take as take_file};
