//! Whole forms over HTTP: opened, filled and sent as a browser does it, and what comes back.
//!
//! Where a form stands and what its fields are called is the contract; what pages say around them is not looked at.

mod bad_input;
mod bodies;
mod by_the_foot;
mod house;
mod once;
mod roles_in_apply;
mod round;

use crate::support::{Answer, Client, form, read_form};

/// Starts a job through the form on the page of jobs; gives its address.
fn start_job(client: &Client, name: &str) -> String {
    client.save("/", "add", &[("name", name)])
}

/// Adds a thing through the form on the page that lists its kind; gives its id.
fn add(client: &Client, job: &str, kind: &str, fields: &[(&str, &str)]) -> String {
    let (answer, id) = try_to_add(client, job, kind, fields);
    assert_eq!(
        answer.status,
        303,
        "{kind} {fields:?}: {}",
        errors(&answer.body)
    );
    id
}

/// Sends that form; gives the answer and the id of the thing that it would add.
fn try_to_add(client: &Client, job: &str, kind: &str, fields: &[(&str, &str)]) -> (Answer, String) {
    let (action, held) = form(&client.page(&format!("{job}/{kind}")), "f");
    let id = value(&held, "entity_id");
    (client.post_over(&action, held, fields), id)
}

/// A file in the multipart body of the form that takes a price book.
fn upload(client: &Client, job: &str, op_id: &str, file: &[u8]) -> Answer {
    let mut body = format!(
        "--edge\r\nContent-Disposition: form-data; name=\"op_id\"\r\n\r\n{op_id}\r\n--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"prices.csv\"\r\nContent-Type: text/csv\r\n\r\n"
    )
    .into_bytes();
    body.extend_from_slice(file);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    client.send(
        &format!("{job}/prices"),
        "multipart/form-data; boundary=edge",
        &body,
    )
}

/// The first value that a form holds under a name; the test fails where there is none.
fn value(held: &[(String, String)], name: &str) -> String {
    held.iter()
        .find(|(n, _)| n == name)
        .unwrap_or_else(|| panic!("no {name} in {held:?}"))
        .1
        .clone()
}

/// The form that holds a place of the page: its action and what it would send.
fn form_around(page: &str, place: &str) -> (String, Vec<(String, String)>) {
    let at = page
        .find(place)
        .unwrap_or_else(|| panic!("no {place} in {page}"));
    let start = page[..at].rfind("<form").unwrap();
    let end = start + page[start..].find("</form>").unwrap();
    read_form(&page[start..end])
}

/// The entries of a job in its job file, as JSON.
fn entries(client: &Client, job: &str) -> Vec<serde_json::Value> {
    let file: serde_json::Value =
        serde_json::from_str(&client.page(&format!("{job}/job-file"))).unwrap();
    file["entries"].as_array().unwrap().clone()
}

/// How many entries of a kind the job has.
fn count_of(client: &Client, job: &str, kind: &str) -> usize {
    let all = entries(client, job);
    all.iter().filter(|entry| entry["kind"] == kind).count()
}

/// The error sentences of a page, for a failing test's own message too: the whole page where there are none.
fn errors(page: &str) -> String {
    let found = crate::support::errors(page);
    if found.is_empty() {
        page.to_owned()
    } else {
        found
    }
}
