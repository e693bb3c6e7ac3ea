//! Status by status, code by code.

use serde_json::{Value, json};
use uuid::Uuid;

use super::{Phone, json_of, text};
use crate::forms::{add, count_of, start_job};
use crate::support::{Client, TestServer};

fn wall(phone: &mut Phone<'_>, name: &str) -> (Value, Uuid) {
    let id = Uuid::now_v7();
    let entry = phone.form("wall", &[("entity_id", &id.to_string()), ("name", name)]);
    (entry, id)
}

fn code(client: &Client, body: &[u8], media_type: &str) -> (u16, String) {
    let answer = client.send("/sync/v1/ops", media_type, body);
    (answer.status, text(&json_of(&answer)["code"]))
}

#[test]
fn anyone_may_ask_whether_the_server_is_there_and_a_phone_who_it_is() {
    let server = TestServer::start("ping");
    let answer = server.stranger().get("/sync/v1/ping");
    assert_eq!(answer.status, 200);
    assert_eq!(answer.header("cache-control"), Some("no-store"));
    assert_eq!(
        answer.header("cross-origin-resource-policy"),
        Some("cross-origin"),
        "the setup page asks from the plain port"
    );
    let ping = json_of(&answer);
    assert_eq!(ping["protocol"], json!([1]));
    let lead = server.lead();
    let me = json_of(&lead.get("/sync/v1/me"));
    assert_eq!(me["role"], "lead");
    assert_eq!(me["server_id"], ping["server_id"]);
    assert_eq!(lead.get("/").header("x-app-build"), me["build"].as_str());
}

#[test]
fn a_form_from_an_outbox_is_saved_as_from_its_page_and_once() {
    let server = TestServer::start("form");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let mut phone = Phone::new(&lead, &job);
    let (entry, id) = wall(&mut phone, "Wall A");
    let answer = phone.send(std::slice::from_ref(&entry));
    let first = &answer["results"][0];
    assert_eq!(first["status"], "applied", "{first}");
    assert_eq!(first["next"], json!(format!("{job}/wall/{id}")));
    assert_eq!(answer["changed"], json!([phone.job]));
    let again = phone.send(std::slice::from_ref(&entry));
    assert_eq!(again["results"][0]["replayed"], true);
    assert_eq!(again["results"][0]["next"], first["next"]);
    assert_eq!(again["changed"], json!([]));
    assert_eq!(count_of(&lead, &job, "wall.add"), 1);

    let mut other = entry.clone();
    other["form"]["fields"][2] = json!(["name", "Wall B"]);
    let reused = phone.one(&other);
    assert_eq!(
        (&reused["status"], &reused["code"]),
        (&json!("rejected"), &json!("op_id_reused"))
    );
    // A clock, a count or a try more is no other content.
    let mut later = entry;
    later["device_time"] = json!(super::at(5));
    later["seq"] = json!(99);
    assert_eq!(phone.one(&later)["replayed"], true);
}

#[test]
fn a_refused_form_says_where_and_why_and_what_rests_on_it_waits() {
    let server = TestServer::start("refused");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let mut phone = Phone::new(&lead, &job);
    let (nameless, id) = wall(&mut phone, " ");
    let mut reading = phone.form(
        "reading",
        &[
            ("entity_id", &Uuid::now_v7().to_string()),
            ("of", &id.to_string()),
            ("what", "length"),
            ("by", "tape"),
            ("raw", "12'"),
        ],
    );
    reading["depends"] = json!([id]);
    let answer = phone.send(&[nameless.clone(), reading.clone()]);
    let (refused, blocked) = (&answer["results"][0], &answer["results"][1]);
    assert_eq!(
        (&refused["status"], &refused["code"]),
        (&json!("rejected"), &json!("invalid"))
    );
    assert_eq!(refused["field"], "name");
    assert!(text(&refused["message"]).contains("empty"), "{refused}");
    assert_eq!(
        (&blocked["status"], &blocked["code"]),
        (&json!("blocked"), &json!("depends_on_rejected"))
    );
    assert_eq!(blocked["op"], nameless["op_id"]);
    assert_eq!(
        phone.one(&nameless)["replayed"],
        true,
        "the same answer again"
    );

    // Put right it is another entry about the same thing; then what waited goes in.
    let mut right = phone.form(
        "wall",
        &[("entity_id", &id.to_string()), ("name", "Wall A")],
    );
    right["replaces"] = nameless["op_id"].clone();
    assert_eq!(phone.one(&right)["status"], "applied");
    assert_eq!(phone.one(&reading)["status"], "applied");
    let bad = phone.form(
        "reading",
        &[
            ("of", &id.to_string()),
            ("what", "length"),
            ("by", "tape"),
            ("raw", "7' 3 3/9"),
        ],
    );
    let bad = phone.one(&bad);
    assert_eq!(bad["field"], "raw");
    assert!(text(&bad["message"]).contains("at character 8 of"), "{bad}");
}

#[test]
fn an_op_is_taken_as_it_stands_in_a_job_file_and_each_code_has_its_case() {
    let server = TestServer::start("ops");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let mut phone = Phone::new(&lead, &job);
    let id = Uuid::now_v7();
    let entry = phone.op("wall.add", id, &json!({"name": "Wall A"}));
    let taken = phone.one(&entry);
    assert_eq!(
        (&taken["status"], &taken["revs"]["name"]),
        (&json!("applied"), &json!(1))
    );
    assert_eq!(phone.one(&entry)["replayed"], true);
    let told = |phone: &Phone, entry: &Value| {
        let told = phone.one(entry);
        assert_eq!(told["status"], "rejected", "{told}");
        text(&told["code"])
    };
    let entry = phone.op("wall.paint", id, &json!({}));
    assert_eq!(told(&phone, &entry), "unknown_kind");
    let entry = phone.op("wall.add", id, &json!({"name": "Wall A again"}));
    assert_eq!(told(&phone, &entry), "bad_id");
    let entry = phone.op("wall.add", Uuid::now_v7(), &json!({"colour": "red"}));
    assert_eq!(told(&phone, &entry), "invalid");
    let mut entry = phone.op("wall.add", Uuid::now_v7(), &json!({"name": "B"}));
    entry["job_id"] = json!(Uuid::now_v7());
    assert_eq!(told(&phone, &entry), "unknown_job");
    let mut entry = phone.op("wall.add", Uuid::now_v7(), &json!({"name": "B"}));
    entry["author"] = json!(Uuid::now_v7());
    assert_eq!(told(&phone, &entry), "not_allowed");
    let mut entry = phone.op("wall.add", Uuid::now_v7(), &json!({"name": "B"}));
    entry["op_id"] = json!(Uuid::nil());
    assert_eq!(told(&phone, &entry), "bad_id");
    let mut entry = phone.op("wall.add", Uuid::now_v7(), &json!({"name": "B"}));
    entry["device_time"] = json!("yesterday");
    assert_eq!(told(&phone, &entry), "invalid");
    let entry = phone.form("../../sign-in", &[]);
    assert_eq!(told(&phone, &entry), "unknown_kind");
    assert_eq!(count_of(&lead, &job, "wall.add"), 1);
}

#[test]
fn two_phones_that_change_one_field_both_see_it_and_nothing_is_overwritten() {
    let server = TestServer::start("conflict");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let id = Uuid::parse_str(&add(&lead, &job, "wall", &[("name", "Wall A")])).unwrap();
    let mut phone = Phone::new(&lead, &job);
    let mut change = |name: &str, zero: Option<&str>| {
        let mut fields = vec![("was.name", "Wall A"), ("base.name", "1"), ("name", name)];
        if let Some(zero) = zero {
            fields.extend([
                ("was.zero_end", ""),
                ("base.zero_end", "0"),
                ("zero_end", zero),
            ]);
        }
        phone.form(&format!("wall/{id}"), &fields)
    };
    let (mine, theirs) = (
        change("Wall M", None),
        change("Wall T", Some("the porch corner")),
    );
    assert_eq!(phone.one(&mine)["status"], "applied");
    let told = phone.one(&theirs);
    assert_eq!(told["status"], "conflict", "{told}");
    let one = &told["conflicts"][0];
    assert_eq!(
        (
            &one["field"],
            &one["base_rev"],
            &one["server_rev"],
            &one["server_value"],
            &one["yours"]
        ),
        (
            &json!("name"),
            &json!(1),
            &json!(2),
            &json!("Wall M"),
            &json!("Wall T")
        )
    );
    assert!(!text(&one["by_name"]).is_empty() && !text(&one["received_at"]).is_empty());
    let page = lead.page(&format!("{job}/wall/{id}"));
    assert!(
        page.contains("Wall M") && page.contains("the porch corner"),
        "the other field is in"
    );
    // "Use mine" is the same form on the revision that stands.
    let again = phone.form(
        &format!("wall/{id}"),
        &[
            ("was.name", "Wall M"),
            ("base.name", "2"),
            ("name", "Wall T"),
        ],
    );
    assert_eq!(phone.one(&again)["status"], "applied");
}

#[test]
fn whole_requests_are_refused_each_with_its_code() {
    let server = TestServer::start("whole");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let mut phone = Phone::new(&lead, &job);
    let (entry, _) = wall(&mut phone, "Wall A");
    let one = phone.batch(std::slice::from_ref(&entry));
    let json_type = "application/json";
    let send = |body: &Value| code(&lead, body.to_string().as_bytes(), json_type);

    assert_eq!(
        code(&lead, b"{\"protocol\":1", json_type),
        (400, "bad_request".to_owned())
    );
    let mut unknown = one.clone();
    unknown["colour"] = json!("red");
    assert_eq!(send(&unknown), (400, "bad_request".to_owned()));
    assert_eq!(
        code(&lead, one.to_string().as_bytes(), "text/plain"),
        (415, "bad_type".to_owned())
    );
    let mut next = one.clone();
    next["protocol"] = json!(2);
    let answer = phone.post(&next);
    assert_eq!(answer.status, 426);
    assert_eq!(json_of(&answer)["protocol"], json!([1]));
    let mut elsewhere = one.clone();
    elsewhere["device_id"] = json!(Uuid::now_v7());
    assert_eq!(send(&elsewhere), (403, "device_mismatch".to_owned()));
    let many = phone.batch(&vec![entry.clone(); 51]);
    assert_eq!(send(&many), (413, "too_large".to_owned()));
    let mut long = one.clone();
    long["ops"][0]["form"]["fields"][2][1] = json!("x".repeat(256 * 1024));
    assert_eq!(send(&long), (413, "too_large".to_owned()));
    let mut lost = one.clone();
    lost["last_ack_op"] = json!(Uuid::now_v7());
    assert_eq!(send(&lost), (409, "history_lost".to_owned()));
    assert_eq!(
        count_of(&lead, &job, "wall.add"),
        0,
        "nothing of these came in"
    );

    let stranger = server.stranger();
    assert_eq!(
        code(&stranger, one.to_string().as_bytes(), json_type),
        (401, "sign_in".to_owned())
    );
    assert_eq!(phone.one(&entry)["status"], "applied");
    let mut known = one;
    known["last_ack_op"] = entry["op_id"].clone();
    assert_eq!(phone.post(&known).status, 200);
    let mut lost = known;
    lost["last_ack_op"] = json!(Uuid::now_v7());
    assert_eq!(json_of(&phone.post(&lost))["known_seq"], 1);
}

#[test]
fn a_phone_that_was_shut_out_is_told_so_at_its_next_request() {
    let server = TestServer::start("revoked");
    let (lead, other) = (server.lead(), server.lead());
    let job = start_job(&lead, "Elm Street 12");
    let phone = Phone::new(&other, &job);
    let empty = phone.batch(&[]);
    assert_eq!(phone.post(&empty).status, 200);
    let device = phone.device.clone();
    let shut = lead.post(&format!("/crew/device/{device}"), &[("shut_out", "yes")]);
    assert_eq!(shut.status, 303, "{}", shut.body);
    let answer = phone.post(&empty);
    assert_eq!(
        (answer.status, text(&json_of(&answer)["code"])),
        (403, "device_revoked".to_owned())
    );
    assert_eq!(other.get("/sync/v1/me").status, 403);
    assert!(
        other.get("/").body.contains("Sign in"),
        "a page asks to sign in"
    );
}
