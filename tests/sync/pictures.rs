//! Pictures that come after their entries.

use serde_json::{Value, json};
use uuid::Uuid;

use super::{Phone, json_of, text};
use crate::forms::{add, jpeg, start_job};
use crate::support::TestServer;

#[test]
fn a_picture_follows_its_entry_once_and_only_as_what_it_is() {
    let server = TestServer::start("pictures");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(&lead, &job);
    let (photo, blob) = (Uuid::now_v7().to_string(), Uuid::now_v7().to_string());
    let put = |id: &str, media_type: &str, bytes: &[u8]| {
        lead.put(&format!("/sync/v1/blobs/{id}"), media_type, bytes)
    };
    let early = put(&blob, "image/jpeg", &jpeg());
    assert_eq!(
        (early.status, text(&json_of(&early)["code"])),
        (404, "unknown_blob".to_owned())
    );

    let mut entry = phone.form("photo", &[("entity_id", &photo), ("of", &wall)]);
    entry["blobs"] = json!([{"blob_id": blob, "type": "image/jpeg", "size": jpeg().len()}]);
    let answer = phone.send(std::slice::from_ref(&entry));
    assert_eq!(answer["results"][0]["status"], "applied", "{answer}");
    assert_eq!(answer["want_blobs"], json!([blob]));
    let waiting = lead.get(&format!("{job}/photo/{photo}"));
    assert_eq!(waiting.status, 200, "{}", waiting.body);

    let wrong = put(&blob, "text/plain", &jpeg());
    assert_eq!(
        (wrong.status, text(&json_of(&wrong)["code"])),
        (415, "bad_type".to_owned())
    );
    let wrong = put(&blob, "image/jpeg", b"no picture");
    assert_eq!(
        (wrong.status, text(&json_of(&wrong)["code"])),
        (415, "bad_picture".to_owned())
    );
    let first = put(&blob, "image/jpeg", &jpeg());
    assert_eq!(first.status, 201, "{}", first.body);
    let again = put(&blob, "image/jpeg", &jpeg());
    assert_eq!((again.status, json_of(&again)), (200, json_of(&first)));
    let mut other = jpeg();
    let last = other.len() - 3;
    other[last] ^= 1;
    let differs = put(&blob, "image/jpeg", &other);
    assert_eq!(
        (differs.status, text(&json_of(&differs)["code"])),
        (409, "blob_differs".to_owned())
    );
    assert_eq!(phone.send(&[])["want_blobs"], json!([]));
    assert_eq!(
        lead.file(&format!("{job}/photo/{photo}/file")).0.status,
        200
    );
}

#[test]
fn a_photo_without_its_picture_is_refused() {
    let server = TestServer::start("no-picture");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let mut phone = Phone::new(&lead, &job);
    let entry = phone.form("photo", &[]);
    let told: Value = phone.one(&entry);
    assert_eq!(told["status"], "rejected", "{told}");
}
