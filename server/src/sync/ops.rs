//! A batch of entries from an outbox.

use std::collections::{BTreeMap, BTreeSet};

use actix_web::http::header;
use actix_web::{HttpRequest, HttpResponse, web};
use futures_util::StreamExt as _;
use scantling_db::{Applied, Code, Conflict, PersonLine, Sent, Who, Written, sha256_hex};
use scantling_takeoff::record::Op;
use scantling_web::assets;
use uuid::Uuid;

use super::forms;
use super::wire::{Answer, BATCH, Batch, Differs, Form, Item, PROTOCOL, Told};
use super::{Refusal, phone};
use crate::clock;
use crate::error::HttpError;
use crate::forms::save::came_to_nothing;
use crate::passes::Passes;
use crate::session;
use crate::state::State;

/// At most so many pictures are asked for at once.
const WANTED: usize = 100;

/// Takes a batch in. Each entry is one transaction; the answer goes out after the last is on disk.
pub(crate) async fn send(
    state: web::Data<State>,
    who: web::ReqData<Who>,
    request: HttpRequest,
    body: web::Payload,
) -> Result<HttpResponse, Refusal> {
    let batch = read(&request, body).await?;
    if batch.device_id != who.device {
        return Err(Refusal::DeviceMismatch);
    }
    let (person, device) = (who.person, who.device);
    let server_time = clock::now();
    let skew_s = scantling_db::skew_s(&server_time, &batch.device_time).ok_or_else(|| {
        Refusal::BadRequest(
            "Can't read the phone's time. Write it like 2026-11-25T07:13:30.938Z.".to_owned(),
        )
    })?;
    let last_ack = batch.last_ack_op;
    let (known, before, people) = state
        .read(move |tx| {
            let known = match last_ack {
                Some(op_id) => scantling_db::is_known(tx, op_id)?,
                None => true,
            };
            Ok((
                known,
                scantling_db::clock_of(tx, device)?,
                scantling_db::people(tx)?,
            ))
        })
        .await?;
    if !known {
        return Err(Refusal::HistoryLost(before.map_or(0, |(seq, _)| seq)));
    }
    let mut clock_before = before.map(|(_, clock)| clock);
    let mut sitting = Sitting::new(&state, &who, &people);
    let mut results = Vec::new();
    let mut changed = BTreeSet::new();
    for item in &batch.ops {
        let received_at = clock::now();
        let written = scantling_db::written(
            &item.device_time,
            skew_s,
            &received_at,
            clock_before.as_ref(),
        );
        let told = match &written {
            Some(written) => sitting.take(item, written, skew_s, &received_at).await?,
            None => Told::refused(
                item.op_id,
                "invalid",
                "Can't read the time of the entry. Write it like 2026-11-25T07:13:30.938Z.",
            ),
        };
        if let Some(written) = written {
            clock_before = Some(scantling_db::Clock {
                device_time: written.device_time,
                skew_s,
            });
        }
        if matches!(told.status.as_str(), "applied" | "conflict") && !told.replayed {
            changed.insert(item.job_id);
        }
        results.push(told);
    }
    let n_kept = results
        .iter()
        .filter(|told| matches!(told.status.as_str(), "rejected" | "blocked"))
        .count();
    let n_done = batch.ops.len() - n_kept;
    let waiting = batch
        .waiting
        .map_or(0, i64::from)
        .saturating_sub(i64::try_from(n_done).unwrap_or(i64::MAX))
        .max(0);
    let now = clock::now();
    let seen_at = now.clone();
    state
        .write(move |tx| {
            scantling_db::seen(tx, device, &seen_at)?;
            scantling_db::set_waiting(tx, device, waiting)
        })
        .await?;
    let want = state
        .read(move |tx| scantling_db::wanted_pictures(tx, person, device, WANTED))
        .await?;
    let answer = Answer {
        protocol: PROTOCOL,
        server_id: state.read(scantling_db::server_id).await?,
        server_time: now,
        build: assets::build(),
        results,
        want_blobs: want.iter().map(|entry| entry.picture.blob_id).collect(),
        changed: changed.into_iter().collect(),
        role_rev: people.get(&who.person).map_or(1, |line| line.role_rev),
    };
    let body = serde_json::to_value(answer)
        .map_err(|_| HttpError::Broken("an answer could not be written"))?;
    let mut answer = phone::fresh(&body);
    session::renew(&state, &request, &mut answer)?;
    Ok(answer)
}

/// Reads a batch off the wire: JSON, whole, within its limits.
async fn read(request: &HttpRequest, mut body: web::Payload) -> Result<Batch, Refusal> {
    let media_type = request.headers().get(header::CONTENT_TYPE);
    let is_json = media_type
        .and_then(|value| value.to_str().ok())
        .and_then(|value| value.split(';').next())
        .is_some_and(|value| value.trim().eq_ignore_ascii_case("application/json"));
    if !is_json {
        return Err(Refusal::BadType);
    }
    let mut bytes = Vec::new();
    while let Some(chunk) = body.next().await {
        let chunk = chunk.map_err(|_| {
            Refusal::BadRequest("The batch did not arrive whole. Send it again.".to_owned())
        })?;
        if bytes.len() + chunk.len() > Passes::Batch.bytes() {
            return Err(HttpError::TooLarge(Passes::Batch.words()).into());
        }
        bytes.extend_from_slice(&chunk);
    }
    // The protocol first: a later one may have other fields.
    let value: serde_json::Value = scantling_db::read_json(&bytes)
        .map_err(|error| Refusal::BadRequest(format!("Can't read the batch: {error}.")))?;
    if value.get("protocol").and_then(serde_json::Value::as_u64) != Some(u64::from(PROTOCOL)) {
        return Err(Refusal::Protocol);
    }
    let batch: Batch = serde_json::from_value(value)
        .map_err(|error| Refusal::BadRequest(format!("Can't read the batch: {error}.")))?;
    if batch.ops.len() > BATCH {
        return Err(HttpError::TooLarge("50 entries for a batch").into());
    }
    if batch.protocol != PROTOCOL {
        return Err(Refusal::Protocol);
    }
    Ok(batch)
}

/// What the entries of one batch share.
pub(super) struct Sitting<'a> {
    state: &'a web::Data<State>,
    who: &'a web::ReqData<Who>,
    people: &'a BTreeMap<Uuid, PersonLine>,
    /// Things that refused entries of this batch would have added.
    refused: BTreeMap<Uuid, Uuid>,
}

impl<'a> Sitting<'a> {
    pub(super) fn new(
        state: &'a web::Data<State>,
        who: &'a web::ReqData<Who>,
        people: &'a BTreeMap<Uuid, PersonLine>,
    ) -> Self {
        Self {
            state,
            who,
            people,
            refused: BTreeMap::new(),
        }
    }

    /// Takes one entry in, and keeps the answer.
    pub(super) async fn take(
        &mut self,
        item: &Item,
        written: &Written,
        skew_s: i64,
        received_at: &str,
    ) -> Result<Told, Refusal> {
        let hash = hash(item);
        let op_id = item.op_id;
        if let Some(told) = self.answered(item, &hash).await? {
            return Ok(told);
        }
        let told = match self.stopped(item).await? {
            Some(told) => told,
            None => match &item.form {
                Some(form) => self.form(item, form, written).await?,
                None => self.op(item, written, received_at).await?,
            },
        };
        // The same entry may have come twice at once: the other one was written meanwhile, and its answer is this one's.
        if told.code.as_deref() == Some("op_id_reused")
            && let Some(told) = self.answered(item, &hash).await?
        {
            return Ok(told);
        }
        if told.status == "rejected" {
            for id in added(item) {
                self.refused.insert(id, op_id);
            }
        }
        if told.status != "blocked" && told.code.as_deref() != Some("op_id_reused") {
            self.keep(item, &told, hash, written, skew_s, received_at)
                .await?;
        }
        Ok(told)
    }

    /// The answer that an entry of this id got before, on whichever device of its author: a phone that was let in anew is
    /// another device, and has the same entries.
    async fn answered(&self, item: &Item, hash: &str) -> Result<Option<Told>, Refusal> {
        let op_id = item.op_id;
        if item.author != self.who.person {
            return Ok(None);
        }
        let (sent, written) = self
            .state
            .read(move |tx| {
                let sent = scantling_db::sent(tx, op_id)?;
                let written = match sent {
                    Some(_) => None,
                    None => scantling_db::written_as(tx, op_id)?,
                };
                let result = match written {
                    Some(_) => scantling_db::stored_result(tx, op_id)?,
                    None => None,
                };
                Ok((sent, written.zip(result)))
            })
            .await?;
        if let Some(sent) = sent {
            if sent.hash != hash {
                return Ok(Some(Told::reused(op_id)));
            }
            let told: Told = serde_json::from_str(&sent.answer)
                .map_err(|_| HttpError::Broken("a stored answer can't be read"))?;
            return Ok(Some(Told {
                replayed: true,
                ..told
            }));
        }
        // Written, but no answer is kept: it is just being written, the server ended between, or a page posted it. A form is
        // not composed anew, as the record has moved: its answer is what became of it then.
        Ok(match (written, &item.form) {
            (Some(((author, kind), result)), Some(_)) => Some(if author == self.who.person {
                Told {
                    replayed: true,
                    ..self.of_form(op_id, &kind, result)
                }
            } else {
                Told::reused(op_id)
            }),
            _ => None,
        })
    }

    /// What a form's entry is told, from what became of it.
    fn of_form(&self, op_id: Uuid, kind: &str, result: Applied) -> Told {
        let applied = Told {
            op_id,
            status: "applied".to_owned(),
            ..Told::default()
        };
        match result {
            Applied::New { .. } => applied,
            Applied::Conflict {
                conflicts,
                entity_deleted: Some(because),
                ..
            } if conflicts.is_empty() => came_to_nothing(kind, &because)
                .map_or(applied, |problem| {
                    Told::rejected(op_id, "invalid", vec![problem])
                }),
            Applied::Conflict { conflicts, .. } => Told {
                status: "conflict".to_owned(),
                conflicts: self.differs(&conflicts),
                ..applied
            },
            other => self.of_store(op_id, other),
        }
    }

    /// Why an entry isn't tried.
    async fn stopped(&self, item: &Item) -> Result<Option<Told>, Refusal> {
        let op_id = item.op_id;
        if item.op_id.is_nil() || item.seq < 1 {
            return Ok(Some(Told::refused(
                op_id,
                "bad_id",
                "The entry has no id or no number of its own.",
            )));
        }
        if item.v != 1 {
            return Ok(Some(Told::refused(
                op_id,
                "invalid",
                "The entry is of a later version of this program. Open a page of the server anew, then send it again.",
            )));
        }
        if item.author != self.who.person
            || item
                .device_id
                .is_some_and(|device| device != self.who.device)
        {
            return Ok(Some(Told::refused(
                op_id,
                "not_allowed",
                "The entry was written by someone else, or on another device. Send it from there.",
            )));
        }
        if item.depends.is_empty() {
            return Ok(None);
        }
        let depends = item.depends.clone();
        let missing = self
            .state
            .read(move |tx| scantling_db::missing_things(tx, &depends))
            .await?;
        let first = missing.first();
        Ok(first.map(|thing| Told::blocked(op_id, self.refused.get(thing).copied())))
    }

    async fn form(&self, item: &Item, form: &Form, written: &Written) -> Result<Told, Refusal> {
        let mut form = form.clone();
        // What the entry itself says stands before what its form holds.
        let own = [
            "op_id",
            "device_time",
            "tz_offset_min",
            "clock_off_s",
            "replaces",
        ];
        form.fields
            .retain(|(name, _)| !own.contains(&name.as_str()));
        let mut put = |name: &str, text: Option<String>| {
            form.fields.extend(text.map(|text| (name.to_owned(), text)));
        };
        put("op_id", Some(item.op_id.to_string()));
        put("device_time", Some(written.taken_at.clone()));
        put(
            "tz_offset_min",
            item.tz_offset_min.map(|min| min.to_string()),
        );
        put("clock_off_s", written.clock_off_s.map(|s| s.to_string()));
        put("replaces", item.replaces.map(|id| id.to_string()));
        let (mut told, outcome) = forms::submit(
            self.state,
            self.who,
            item.op_id,
            (item.job_id, &form),
            &item.blobs,
        )
        .await?;
        told.conflicts = self.differs(&outcome.conflicts);
        Ok(told)
    }

    /// An op as it stands in a job file.
    async fn op(&self, item: &Item, written: &Written, received_at: &str) -> Result<Told, Refusal> {
        let (Some(kind), Some(entity_id)) = (&item.kind, item.entity_id) else {
            return Ok(Told::refused(
                item.op_id,
                "unknown_kind",
                "The entry is neither a form nor of a kind.",
            ));
        };
        let op = Op {
            op_id: item.op_id,
            author: item.author,
            device: self.who.device,
            job_id: item.job_id,
            kind: kind.clone(),
            entity_id,
            fields: item.fields.clone(),
            base: item.base.clone(),
            device_time: written.taken_at.clone(),
            tz_offset_min: item.tz_offset_min,
            clock_off_s: written.clock_off_s,
            blobs: item.blobs.clone(),
            depends: item.depends.clone(),
            replaces: item.replaces,
        };
        let (who, at) = (**self.who, received_at.to_owned());
        let applied = self
            .state
            .write(move |tx| scantling_db::apply(tx, &op, &who, &at))
            .await?;
        Ok(self.of_store(item.op_id, applied))
    }

    fn of_store(&self, op_id: Uuid, applied: Applied) -> Told {
        match applied {
            Applied::New { revs, .. } => Told {
                op_id,
                status: "applied".to_owned(),
                revs,
                ..Told::default()
            },
            Applied::Replayed { of } => Told {
                replayed: true,
                ..self.of_store(op_id, *of)
            },
            Applied::Conflict {
                revs,
                entity_deleted,
                conflicts,
                ..
            } => Told {
                op_id,
                status: "conflict".to_owned(),
                revs,
                code: entity_deleted.as_ref().map(|_| "entity_deleted".to_owned()),
                message: entity_deleted,
                conflicts: self.differs(&conflicts),
                ..Told::default()
            },
            Applied::Rejected { code, problems } => {
                Told::rejected(op_id, code_word(code), problems)
            }
            Applied::Blocked { by } => Told::blocked(op_id, Some(by)),
        }
    }

    fn differs(&self, conflicts: &[Conflict]) -> Vec<Differs> {
        conflicts
            .iter()
            .map(|conflict| Differs {
                field: conflict.field.clone(),
                base_rev: conflict.base_rev,
                server_rev: conflict.server_rev,
                server_value: conflict.server_value.join(", "),
                yours: conflict.yours.join(", "),
                by: conflict.by,
                by_name: self
                    .people
                    .get(&conflict.by)
                    .map_or_else(String::new, |line| line.name.clone()),
                received_at: conflict.received_at.clone(),
            })
            .collect()
    }

    async fn keep(
        &self,
        item: &Item,
        told: &Told,
        hash: String,
        written: &Written,
        skew_s: i64,
        received_at: &str,
    ) -> Result<(), Refusal> {
        let answer = serde_json::to_string(told)
            .map_err(|_| HttpError::Broken("an answer could not be written"))?;
        let sent = Sent {
            op_id: item.op_id,
            device: self.who.device,
            device_seq: item.seq,
            hash,
            status: told.status.clone(),
            answer,
            device_time: written.device_time.clone(),
            clock_skew_s: skew_s,
            received_at: received_at.to_owned(),
        };
        self.state
            .write(move |tx| {
                // Two tabs may send the same at once.
                match scantling_db::sent(tx, sent.op_id)? {
                    Some(_) => Ok(()),
                    None => scantling_db::keep_sent(tx, &sent),
                }
            })
            .await?;
        Ok(())
    }
}

/// The things that an entry would add.
fn added(item: &Item) -> Vec<Uuid> {
    let of_form = item.form.iter().flat_map(|form| &form.fields);
    of_form
        .filter(|(name, _)| matches!(name.as_str(), "entity_id" | "receipt_id"))
        .filter_map(|(_, text)| Uuid::try_parse(text).ok())
        .chain(item.entity_id)
        .chain([item.op_id])
        .collect()
}

/// What tells an entry from another: what it says, never clocks, the phone's count, or how often it was tried.
fn hash(item: &Item) -> String {
    let said = serde_json::json!({
        "author": item.author,
        "job_id": item.job_id,
        "form": item.form,
        "kind": item.kind,
        "entity_id": item.entity_id,
        "fields": item.fields,
        "base": item.base,
    });
    sha256_hex(said.to_string().as_bytes())
}

fn code_word(code: Code) -> &'static str {
    match code {
        Code::Invalid => "invalid",
        Code::BadId => "bad_id",
        Code::UnknownKind => "unknown_kind",
        Code::UnknownJob => "unknown_job",
        Code::NotAllowed => "not_allowed",
        Code::OpIdReused => "op_id_reused",
    }
}

impl From<scantling_db::Error> for Refusal {
    fn from(error: scantling_db::Error) -> Self {
        Self::Http(error.into())
    }
}
