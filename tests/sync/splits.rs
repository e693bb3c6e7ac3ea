//! However a phone's entries are split into batches, repeated, or cut off before the answer: the same record.

use proptest::prelude::*;
use serde_json::{Value, json};
use uuid::Uuid;

use super::Phone;
use crate::forms::start_job;
use crate::support::{Client, TestServer};

/// What counts of the record: kinds, things and texts, in the order of arrival.
fn record(client: &Client, job: &str) -> Vec<(Value, Value, Value)> {
    let file: Value = serde_json::from_str(&client.page(&format!("{job}/job-file"))).unwrap();
    file["entries"]
        .as_array()
        .unwrap()
        .iter()
        .skip(1)
        .map(|entry| {
            (
                entry["kind"].clone(),
                entry["entity_id"].clone(),
                entry["fields"].clone(),
            )
        })
        .collect()
}

/// A phone's day: walls, readings of them, a slip that is refused, an edit, a note.
fn day(phone: &mut Phone<'_>) -> Vec<Value> {
    let mut all = Vec::new();
    for n in 0..4 {
        let wall = Uuid::now_v7().to_string();
        let name = format!("Wall {n}");
        all.push(phone.form("wall", &[("entity_id", &wall), ("name", &name)]));
        for raw in ["12'", "7' 3 3/9"] {
            let id = Uuid::now_v7().to_string();
            let fields = [
                ("entity_id", id.as_str()),
                ("of", &wall),
                ("what", "length"),
                ("by", "tape"),
                ("raw", raw),
            ];
            let mut entry = phone.form("reading", &fields);
            entry["depends"] = json!([wall]);
            all.push(entry);
        }
        let edit = [
            ("was.zero_end", ""),
            ("base.zero_end", "0"),
            ("zero_end", "door"),
        ];
        all.push(phone.form(&format!("wall/{wall}"), &edit));
        let note = Uuid::now_v7().to_string();
        all.push(phone.form(
            "note",
            &[("entity_id", &note), ("of", &wall), ("text", "dry rot")],
        ));
    }
    all
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 12, ..ProptestConfig::default() })]
    #[test]
    fn any_split_and_any_repeat_come_to_the_same_record(
        cuts in prop::collection::vec(1_usize..8, 1..20),
        repeats in prop::collection::vec(any::<bool>(), 20),
    ) {
        let server = TestServer::start("splits");
        let lead = server.lead();
        let job = start_job(&lead, "Elm Street 12");
        let mut phone = Phone::new(&lead, &job);
        let entries = day(&mut phone);
        let mut from = 0;
        for (cut, twice) in cuts.iter().cycle().zip(repeats.iter().cycle()) {
            if from >= entries.len() {
                break;
            }
            let until = (from + cut).min(entries.len());
            let first = phone.send(&entries[from..until]);
            if *twice {
                let again = phone.send(&entries[from.saturating_sub(3)..until]);
                for (at, told) in again["results"].as_array().unwrap().iter().rev().enumerate() {
                    let number = until - 1 - at;
                    prop_assert!(told["replayed"] == json!(true), "{number}: {told}");
                    if number >= from {
                        prop_assert_eq!(&told["status"], &first["results"][number - from]["status"]);
                    }
                }
            }
            from = until;
        }
        let got = record(&lead, &job);
        // Four walls, their good readings, edits and notes; the bad readings stay on the phone.
        let mut wanted = Vec::new();
        for entry in entries.iter().filter(|entry| !entry["form"]["fields"].to_string().contains("3/9")) {
            let fields = &entry["form"]["fields"];
            let id = fields.as_array().unwrap().iter().find(|pair| pair[0] == "entity_id");
            wanted.push(id.map_or_else(
                || json!(entry["form"]["action"].as_str().unwrap().rsplit('/').next().unwrap()),
                |pair| pair[1].clone(),
            ));
        }
        let got: Vec<Value> = got.into_iter().map(|(_, thing, _)| thing).collect();
        prop_assert_eq!(got, wanted);
    }
}
