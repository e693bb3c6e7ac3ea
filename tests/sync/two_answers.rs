//! One field, two answers: both are kept, shown, and settled by whoever knows.

use serde_json::json;

use super::Phone;
use crate::forms::{add, start_job};
use crate::support::{Client, TestServer, form};

/// Wall A was renamed at once by two phones; M came first.
fn two_answers(lead: &Client, job: &str) -> String {
    let wall = add(lead, job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(lead, job);
    for (name, status) in [("Wall M", "applied"), ("Wall T", "conflict")] {
        let fields = [("was.name", "Wall A"), ("base.name", "1"), ("name", name)];
        let entry = phone.form(&format!("wall/{wall}"), &fields);
        assert_eq!(phone.one(&entry)["status"], status);
    }
    wall
}

/// The id of the form on the page that settles it so.
fn settles(page: &str, act: &str) -> String {
    let (_, rest) = page
        .split_once(&format!("id=\"{act}-"))
        .unwrap_or_else(|| panic!("no {act}: {page}"));
    format!("{act}-{}", rest.split('"').next().unwrap())
}

#[test]
fn the_page_shows_both_with_who_and_when_and_the_other_one_can_be_taken() {
    let server = TestServer::start("take");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = two_answers(&lead, &job);
    assert!(lead.page(&job).contains("Two answers"), "this week says so");
    let path = format!("{job}/differs");
    let page = lead.page(&path);
    assert!(page.contains("Wall M") && page.contains("Wall T"), "{page}");
    assert_eq!(page.matches("Lead, ").count(), 2, "who and when, twice");
    lead.save(&path, &settles(&page, "take"), &[]);
    assert!(
        lead.page(&format!("{job}/wall/{wall}"))
            .contains("<h1>Wall T")
    );
    assert!(lead.page(&path).contains("Nothing is open"));
}

#[test]
fn what_stands_can_be_kept_and_then_nothing_is_open() {
    let server = TestServer::start("keep");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = two_answers(&lead, &job);
    let path = format!("{job}/differs");
    lead.save(&path, &settles(&lead.page(&path), "keep"), &[]);
    assert!(
        lead.page(&format!("{job}/wall/{wall}"))
            .contains("<h1>Wall M")
    );
    assert!(lead.page(&path).contains("Nothing is open"));
    assert!(!lead.page(&job).contains("written by two"));
}

#[test]
fn an_answer_that_was_never_kept_is_said_as_it_was_and_not_as_taken() {
    let server = TestServer::start("unkept");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let edit = format!("{job}/wall/{wall}/edit");
    let (action, shown) = form(&lead.page(&edit), "edit");
    lead.save(&edit, "edit", &[("name", "Wall M")]);
    // A page posts it, and the answer is lost: the entry is in the record, and no phone's answer is kept for it.
    let posted = lead.post_over(&action, shown, &[("name", "Wall T")]);
    assert_eq!(posted.status, 422);
    let file = lead.page(&format!("{job}/job-file"));
    let file: serde_json::Value = serde_json::from_str(&file).unwrap();
    let posted = file["entries"].as_array().unwrap().last().unwrap();
    let mut phone = Phone::new(&lead, &job);
    let fields = [
        ("was.name", "Wall A"),
        ("base.name", "1"),
        ("name", "Wall T"),
    ];
    let mut entry = phone.form(&format!("wall/{wall}"), &fields);
    entry["op_id"] = posted["op_id"].clone();
    for _ in 0..2 {
        let told = phone.one(&entry);
        assert_eq!(
            (&told["status"], &told["replayed"]),
            (&json!("conflict"), &json!(true)),
            "{told}"
        );
        let one = &told["conflicts"][0];
        assert_eq!(
            (&one["field"], &one["server_value"], &one["yours"]),
            (&json!("name"), &json!("Wall M"), &json!("Wall T"))
        );
    }
}

#[test]
fn what_happens_to_a_thing_that_is_gone_is_refused_twice_alike_and_taking_it_out_again_is_no_fault()
{
    let server = TestServer::start("gone-act");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let week = add(&lead, &job, "week", &[("number", "1")]);
    let take_out = format!("{job}/week/{week}/act/remove");
    let removed = lead.post(&take_out, &[("reason", "counted twice")]);
    assert_eq!(removed.status, 303);
    let mut phone = Phone::new(&lead, &job);
    let entry = phone.form(&format!("week/{week}/act/afresh"), &[]);
    let first = phone.one(&entry);
    assert_eq!(first["status"], "rejected", "{first}");
    let said = first["message"].as_str().unwrap();
    assert!(said.contains("taken out of the record meanwhile (counted twice)"));
    assert_eq!(phone.one(&entry)["message"], first["message"]);
    // A page posts it, and no phone's answer is kept for it: it is answered as above.
    let op_id = uuid::Uuid::now_v7().to_string();
    let page = lead.post(
        &format!("{job}/week/{week}/act/afresh"),
        &[("op_id", &op_id)],
    );
    assert_eq!(page.status, 422);
    let mut entry = phone.form(&format!("week/{week}/act/afresh"), &[]);
    entry["op_id"] = json!(op_id);
    let told = phone.one(&entry);
    assert_eq!(
        (&told["status"], &told["message"]),
        (&json!("rejected"), &first["message"])
    );
    // Two who take it out want the same.
    let entry = phone.form(&format!("week/{week}/act/remove"), &[("reason", "gone")]);
    assert_eq!(phone.one(&entry)["status"], "applied");
}
