//! A phone's entries by file: as if it had sent them, and harmless twice.

use data_encoding::BASE64;
use serde_json::{Value, json};
use uuid::Uuid;

use super::crew::let_in;
use super::{Phone, text};
use crate::forms::{add, count_of, jpeg, start_job};
use crate::support::{Answer, Client, TestServer};

fn take_in(client: &Client, file: &[u8]) -> Answer {
    let mut body = b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"x.json\"\r\nContent-Type: application/json\r\n\r\n".to_vec();
    body.extend_from_slice(file);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    client.send("/import", "multipart/form-data; boundary=edge", &body)
}

/// As the phone's page writes it.
fn file(device: &str, mut entries: Vec<Value>, blobs: &Value) -> Vec<u8> {
    for entry in &mut entries {
        entry["state"] = json!("queued");
        entry["tries"] = json!(3);
        entry["result"] = Value::Null;
    }
    json!({"protocol": 1, "device_id": device, "device_time": super::now(), "ops": entries, "blobs": blobs})
        .to_string()
        .into_bytes()
}

#[test]
fn a_file_of_entries_comes_in_once_with_its_pictures() {
    let server = TestServer::start("rescue");
    let (lead, other) = (server.lead(), server.lead());
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(&other, &job);
    let good = phone.form(
        "wall",
        &[
            ("entity_id", &Uuid::now_v7().to_string()),
            ("name", "Wall B"),
        ],
    );
    let bad = phone.form("wall", &[("name", " ")]);
    let (photo, blob) = (Uuid::now_v7().to_string(), text(&json!(Uuid::now_v7())));
    let mut shot = phone.form("photo", &[("entity_id", &photo), ("of", &wall)]);
    shot["blobs"] = json!([{"blob_id": blob, "type": "image/jpeg", "size": jpeg().len()}]);
    let blobs = json!({&blob: {"type": "image/jpeg", "base64": BASE64.encode(&jpeg())}});
    let bytes = file(&phone.device, vec![good, bad, shot], &blobs);
    let first = take_in(&lead, &bytes);
    assert_eq!(first.status, 200, "{}", first.body);
    assert!(
        first
            .body
            .contains("<b>2</b> taken in, <b>0</b> were here already, <b>1</b> pictures"),
        "{}",
        first.body
    );
    assert!(first.body.contains("1 not taken"), "{}", first.body);
    let again = take_in(&lead, &bytes);
    assert!(
        again
            .body
            .contains("<b>0</b> taken in, <b>2</b> were here already, <b>0</b> pictures"),
        "{}",
        again.body
    );
    assert_eq!(count_of(&lead, &job, "wall.add"), 2);
    assert_eq!(
        lead.file(&format!("{job}/photo/{photo}/file")).0.status,
        200
    );
    assert!(
        lead.page(&format!("{job}/job-file"))
            .contains(&phone.device),
        "under the phone's own name"
    );
}

#[test]
fn nobody_but_a_lead_brings_the_picture_of_somebody_elses_photo() {
    let server = TestServer::start("rescue-other");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let mut phone = Phone::new(&lead, &job);
    let (photo, blob) = (Uuid::now_v7().to_string(), text(&json!(Uuid::now_v7())));
    let mut shot = phone.form("photo", &[("entity_id", &photo)]);
    let room = add(&lead, &job, "room", &[("name", "Hall")]);
    shot["form"]["fields"]
        .as_array_mut()
        .unwrap()
        .push(json!(["of", room]));
    shot["blobs"] = json!([{"blob_id": blob, "type": "image/jpeg", "size": jpeg().len()}]);
    assert_eq!(phone.one(&shot)["status"], "applied");
    let blobs = json!({&blob: {"type": "image/jpeg", "base64": BASE64.encode(&jpeg())}});
    let bytes = file(&phone.device, Vec::new(), &blobs);
    let ana = let_in(&server, &lead, "Ana", "crew");
    let by_crew = take_in(&ana, &bytes);
    assert!(
        by_crew.body.contains("<b>0</b> pictures"),
        "{}",
        by_crew.body
    );
    assert_eq!(
        phone.send(&[])["want_blobs"],
        json!([blob]),
        "it still waits"
    );
    let by_lead = take_in(&lead, &bytes);
    assert!(
        by_lead.body.contains("<b>1</b> pictures"),
        "{}",
        by_lead.body
    );
}

#[test]
fn a_file_of_strangers_or_no_file_of_entries_is_refused_in_words() {
    let server = TestServer::start("rescue-strange");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let none = take_in(&lead, b"{\"hello\": 1}");
    assert_eq!(none.status, 422);
    assert!(none.body.contains("no file that a phone"), "{}", none.body);
    let mut phone = Phone::new(&lead, &job);
    let mut entry = phone.form("wall", &[("name", "Wall B")]);
    entry["author"] = json!(Uuid::now_v7());
    let answer = take_in(&lead, &file(&phone.device, vec![entry], &json!({})));
    assert!(answer.body.contains("not known here"), "{}", answer.body);
    assert_eq!(count_of(&lead, &job, "wall.add"), 0);
}
