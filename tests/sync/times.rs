//! Clocks of phones, right and wrong.

use serde_json::{Value, json};
use uuid::Uuid;

use super::{Phone, at};
use crate::forms::{add, start_job};
use crate::support::TestServer;

fn reading(phone: &mut Phone<'_>, of: &str, raw: &str, taken: &str) -> Value {
    let mut entry = phone.form(
        "reading",
        &[
            ("entity_id", &Uuid::now_v7().to_string()),
            ("of", of),
            ("what", "length"),
            ("by", "tape"),
            ("raw", raw),
        ],
    );
    entry["device_time"] = json!(taken);
    entry
}

#[test]
fn a_reading_of_monday_that_comes_on_wednesday_stands_at_monday() {
    let server = TestServer::start("late");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(&lead, &job);
    let new = reading(&mut phone, &wall, "12'", &at(-60));
    let old = reading(&mut phone, &wall, "11'", &at(-2 * 86_400));
    // Another phone's count: the older one is sent later, and its clock was right.
    assert_eq!(phone.one(&new)["status"], "applied");
    let other = server.lead();
    let mut second = Phone::new(&other, &job);
    let mut late = old;
    late["author"] = json!(second.person);
    late["seq"] = json!(1);
    second.seq = 1;
    assert_eq!(second.one(&late)["status"], "applied");
    let export = lead.page(&format!("{job}/job-file"));
    assert!(!export.contains("clock_off_s"), "both clocks were right");
    let taken: Vec<&str> = export
        .match_indices("\"raw\": ")
        .map(|(at, _)| &export[at + 8..at + 11])
        .collect();
    assert_eq!(taken, ["12'", "11'"], "in the order of arrival");
    // The newer one counts, though it came first.
    let page = lead.page(&format!("{job}/wall/{wall}"));
    assert!(page.contains("12' 0&quot;"), "{page}");
    assert!(
        page.to_lowercase().contains("measure again"),
        "the two differ"
    );
}

#[test]
fn a_clock_wrong_by_years_is_marked_and_never_displaces_what_counts() {
    let server = TestServer::start("years");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let wall = add(&lead, &job, "wall", &[("name", "Wall A")]);
    let mut phone = Phone::new(&lead, &job);
    let first = reading(&mut phone, &wall, "12'", &at(-3600));
    assert_eq!(phone.one(&first)["status"], "applied");
    let years = -5 * 365 * 86_400;
    let wrong = reading(&mut phone, &wall, "10'", &at(years));
    let mut batch = phone.batch(&[wrong]);
    batch["device_time"] = json!(at(years));
    let answer = phone.post(&batch);
    assert_eq!(answer.status, 200, "{}", answer.body);
    let file: Value = serde_json::from_str(&lead.page(&format!("{job}/job-file"))).unwrap();
    let readings: Vec<&Value> = file["entries"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|entry| entry["kind"] == "reading.add")
        .collect();
    assert_eq!(readings[0].get("clock_off_s"), None);
    let off = readings[1]["clock_off_s"].as_i64().unwrap();
    assert!((off + years).abs() < 60, "{off}");
    let corrected = readings[1]["device_time"].as_str().unwrap();
    assert!(
        corrected > readings[0]["device_time"].as_str().unwrap(),
        "by the server's clock it is the newer"
    );
    let page = lead.page(&format!("{job}/wall/{wall}"));
    assert!(page.to_lowercase().contains("measure again"), "{page}");
}
