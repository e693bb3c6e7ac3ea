//! The same entry from another device of its author, and twice at once.

use serde_json::{Value, json};
use uuid::Uuid;

use super::crew::let_in;
use super::{Phone, json_of};
use crate::forms::{add, jpeg, start_job};
use crate::support::TestServer;

/// How often an entry of this id stands in the job's record.
fn times(lead: &crate::support::Client, job: &str, entry: &Value) -> usize {
    let file = json_of(&lead.get(&format!("{job}/job-file")));
    let entries = file["entries"].as_array().unwrap();
    entries
        .iter()
        .filter(|one| one["op_id"] == entry["op_id"])
        .count()
}

#[test]
fn a_phone_that_is_let_in_anew_is_told_the_same_and_may_bring_its_picture() {
    let server = TestServer::start("let-in-anew");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(&lead, &job);
    let (photo, blob) = (Uuid::now_v7().to_string(), Uuid::now_v7().to_string());
    let note = phone.form("note", &[("of", &wall), ("text", "Sent, and never told")]);
    let mut picture = phone.form("photo", &[("entity_id", &photo), ("of", &wall)]);
    picture["blobs"] = json!([{"blob_id": blob, "type": "image/jpeg", "size": jpeg().len()}]);
    let both = [note, picture];
    for result in phone.send(&both)["results"].as_array().unwrap() {
        assert_eq!(result["status"], "applied", "{result}");
    }

    let again = server.lead();
    let anew = Phone::new(&again, &job);
    assert_ne!(anew.device, phone.device);
    assert_eq!(anew.person, phone.person);
    let told = anew.send(&both);
    for result in told["results"].as_array().unwrap() {
        assert_eq!(
            (&result["status"], &result["replayed"]),
            (&json!("applied"), &json!(true)),
            "{result}"
        );
    }
    assert_eq!(told["want_blobs"], json!([blob]));
    let put = again.put(&format!("/sync/v1/blobs/{blob}"), "image/jpeg", &jpeg());
    assert_eq!(put.status, 201, "{}", put.body);
    assert_eq!(anew.send(&[])["want_blobs"], json!([]));
    for entry in &both {
        assert_eq!(times(&lead, &job, entry), 1);
    }

    // Somebody else's is still somebody else's, entry and picture.
    let ana = let_in(&server, &lead, "Ana", "crew");
    let anas = Phone::new(&ana, &job);
    assert_eq!(anas.one(&both[0])["code"], "not_allowed");
    let put = ana.put(&format!("/sync/v1/blobs/{blob}"), "image/jpeg", &jpeg());
    assert_eq!(put.status, 404, "{}", put.body);
}

#[test]
fn an_entry_that_comes_twice_at_once_is_there_once_and_both_are_told_so() {
    let server = TestServer::start("twice-at-once");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(&lead, &job);
    for n in 0..30 {
        let text = format!("Note {n}");
        let entry = phone.form("note", &[("of", &wall), ("text", &text)]);
        let phone = &phone;
        let told = std::thread::scope(|threads| {
            let asked = [(); 3].map(|()| threads.spawn(|| phone.one(&entry)));
            asked.map(|one| one.join().unwrap())
        });
        for result in told {
            assert_eq!(result["status"], "applied", "{result}");
        }
        assert_eq!(times(&lead, &job, &entry), 1);
    }
}
