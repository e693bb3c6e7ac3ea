//! The server killed in the middle of a batch, and before its answer: each entry is there once, and nothing else.

use std::collections::BTreeSet;
use std::time::Duration;

use serde_json::{Value, json};
use uuid::Uuid;

use super::Phone;
use crate::cli::Serving;
use crate::forms::start_job;
use crate::support::Client;

/// How often the server is killed.
const KILLS: u64 = 8;
/// Entries a batch.
const BATCH: usize = 50;

#[test]
fn a_server_killed_in_mid_batch_has_every_acknowledged_entry_once() {
    let folder = std::env::temp_dir().join(format!("scantling-kills-{}", std::process::id()));
    let data = folder.to_str().unwrap().to_owned();
    let mut serving = Serving::start(&data);
    let mut client = Client::of(&serving.origin);
    client.cookie = client
        .post("/sign-in", &[("code", &serving.first_code)])
        .cookie;
    let job = start_job(&client, "Elm Street 12");
    let (mut acked, mut kept): (BTreeSet<String>, Vec<Value>) = (BTreeSet::new(), Vec::new());
    let (mut seq, mut n_cut) = (0, 0);
    for kill in 0..KILLS {
        let batch = {
            let mut phone = Phone::new(&client, &job);
            phone.seq = seq;
            while kept.len() < BATCH {
                let id = Uuid::now_v7().to_string();
                let fields = [("entity_id", id.as_str()), ("name", "Wall")];
                kept.push(phone.form("wall", &fields));
            }
            seq = phone.seq;
            phone.batch(&kept).to_string()
        };
        // From at once to long after a batch is through.
        let wait = Duration::from_millis(kill * kill * 3);
        let sent = std::thread::scope(|scope| {
            let sending = scope
                .spawn(|| client.try_send("/sync/v1/ops", "application/json", batch.as_bytes()));
            std::thread::sleep(wait);
            serving.kill();
            sending.join().unwrap()
        });
        if let Some(answer) = sent.filter(|answer| answer.status == 200) {
            let body: Value = serde_json::from_str(&answer.body).unwrap();
            for told in body["results"].as_array().unwrap() {
                assert_eq!(told["status"], "applied", "{told}");
                acked.insert(told["op_id"].as_str().unwrap().to_owned());
            }
            kept.clear();
        } else {
            n_cut += 1;
        }
        serving = Serving::start(&data);
        let cookie = client.cookie.take();
        client = Client::of(&serving.origin);
        client.cookie = cookie;
    }
    // What was never answered is sent again.
    let phone = Phone::new(&client, &job);
    let last = phone.send(&kept);
    for told in last["results"].as_array().unwrap() {
        assert_eq!(told["status"], "applied", "{told}");
        acked.insert(told["op_id"].as_str().unwrap().to_owned());
    }
    let file: Value = serde_json::from_str(&client.page(&format!("{job}/job-file"))).unwrap();
    let stored: Vec<String> = file["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["kind"] == json!("wall.add"))
        .map(|entry| entry["op_id"].as_str().unwrap().to_owned())
        .collect();
    let once: BTreeSet<String> = stored.iter().cloned().collect();
    assert_eq!(once.len(), stored.len(), "none twice");
    assert_eq!(
        once, acked,
        "all that was acknowledged, and nothing that nobody sent"
    );
    assert!(n_cut > 0, "at least one kill came before the answer");
    drop(serving);
    std::fs::remove_dir_all(folder).unwrap();
}
