//! What phones send that were away: the contract of `/sync/v1`, status by status and code by code.
//!
//! A `Phone` here is an outbox without a browser: it keeps its count, and says what it is told to say.

mod anew;
mod contract;
pub(crate) mod crew;
mod kills;
mod lan;
mod limits;
mod pictures;
mod rescue;
mod splits;
mod times;
mod two_answers;

use serde_json::{Value, json};
use uuid::Uuid;

use crate::support::{Answer, Client};

/// A phone's outbox.
pub(crate) struct Phone<'a> {
    pub(crate) client: &'a Client,
    pub(crate) device: String,
    pub(crate) person: String,
    pub(crate) job: Uuid,
    pub(crate) seq: i64,
}

impl<'a> Phone<'a> {
    pub(crate) fn new(client: &'a Client, job: &str) -> Self {
        let me = json_of(&client.get("/sync/v1/me"));
        Self {
            client,
            device: text(&me["device_id"]),
            person: text(&me["person_id"]),
            job: Uuid::parse_str(job.trim_start_matches("/jobs/")).unwrap(),
            seq: 0,
        }
    }

    /// An entry of its next number that holds a form.
    pub(crate) fn form(&mut self, path: &str, fields: &[(&str, &str)]) -> Value {
        let op_id = Uuid::now_v7().to_string();
        let mut all = vec![json!(["op_id", op_id])];
        all.extend(fields.iter().map(|(name, text)| json!([name, text])));
        let mut entry = self.entry(&op_id);
        entry["form"] = json!({"action": format!("/jobs/{}/{path}", self.job), "fields": all});
        entry
    }

    /// An entry of its next number that is an op.
    pub(crate) fn op(&mut self, kind: &str, entity: Uuid, fields: &Value) -> Value {
        let mut entry = self.entry(&Uuid::now_v7().to_string());
        entry["kind"] = json!(kind);
        entry["entity_id"] = json!(entity);
        entry["fields"] = fields.clone();
        entry
    }

    fn entry(&mut self, op_id: &str) -> Value {
        self.seq += 1;
        json!({
            "v": 1,
            "op_id": op_id,
            "seq": self.seq,
            "author": self.person,
            "job_id": self.job,
            "device_time": now(),
            "tz_offset_min": -300,
        })
    }

    pub(crate) fn batch(&self, entries: &[Value]) -> Value {
        json!({
            "protocol": 1,
            "device_id": self.device,
            "device_time": now(),
            "ops": entries,
        })
    }

    pub(crate) fn post(&self, body: &Value) -> Answer {
        self.client.send(
            "/sync/v1/ops",
            "application/json",
            body.to_string().as_bytes(),
        )
    }

    /// Sends entries, which must be taken as a batch, and gives the answer.
    pub(crate) fn send(&self, entries: &[Value]) -> Value {
        let answer = self.post(&self.batch(entries));
        assert_eq!(answer.status, 200, "{}", answer.body);
        json_of(&answer)
    }

    /// Sends one entry and gives its result.
    pub(crate) fn one(&self, entry: &Value) -> Value {
        self.send(std::slice::from_ref(entry))["results"][0].clone()
    }
}

pub(crate) fn json_of(answer: &Answer) -> Value {
    serde_json::from_str(&answer.body)
        .unwrap_or_else(|_| panic!("{}: {}", answer.status, answer.body))
}

pub(crate) fn text(value: &Value) -> String {
    value
        .as_str()
        .unwrap_or_else(|| panic!("{value}"))
        .to_owned()
}

/// Now, by this machine's clock.
pub(crate) fn now() -> String {
    at(0)
}

/// So many seconds from now.
pub(crate) fn at(seconds: i64) -> String {
    let there = time::OffsetDateTime::now_utc() + time::Duration::seconds(seconds);
    there
        .format(&time::format_description::well_known::Rfc3339)
        .unwrap()
}
