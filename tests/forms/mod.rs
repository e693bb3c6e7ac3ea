//! Whole forms over HTTP: opened, filled and sent as a browser does it, and what comes back.
//!
//! Where a form stands and what its fields are called is the contract; what pages say around them is not looked at.

mod bad_input;
mod bodies;
mod by_the_foot;
mod checks;
mod close;
mod cuts;
mod four_weeks;
mod gallery;
/// A HEIC made here.
mod heic;
mod holds;
mod house;
mod money;
mod once;
mod orders;
mod photos;
mod price_books;
mod roles_in_apply;
mod round;
mod swaps;
mod till;
mod yard_csv;

pub(crate) use orders::{bought_and_sent, papers};

use std::io::Cursor;

use image::{ImageFormat, RgbImage};

use crate::support::{Answer, Client, form, read_form};

/// What a page says is wrong; empty where it says nothing.
use crate::support::errors;

/// Starts a job through the form on the page of jobs; gives its address.
pub(crate) fn start_job(client: &Client, name: &str) -> String {
    client.save("/", "add", &[("name", name)])
}

/// Adds a thing through the form on the page that lists its kind; gives its id.
pub(crate) fn add(client: &Client, job: &str, kind: &str, fields: &[(&str, &str)]) -> String {
    let (answer, id) = try_to_add(client, job, kind, fields);
    assert_eq!(
        answer.status,
        303,
        "{kind} {fields:?}: {}",
        page_errors(&answer.body)
    );
    id
}

/// Sends that form; gives the answer and the id of the thing that it would add.
fn try_to_add(client: &Client, job: &str, kind: &str, fields: &[(&str, &str)]) -> (Answer, String) {
    let (action, held) = form(&client.page(&format!("{job}/{kind}")), "f");
    let id = value(&held, "entity_id");
    (client.post_over(&action, held, fields), id)
}

/// A price book sent as a file and, where nothing is wrong with it, saved as it was shown: the last answer.
fn upload(client: &Client, job: &str, op_id: &str, file: &[u8]) -> Answer {
    let looked = look(client, job, &[("op_id", op_id)], file);
    if looked.status == 200 {
        save_prices(client, &looked.body, &[])
    } else {
        looked
    }
}

/// A price book sent as a file, to be looked at.
fn look(client: &Client, job: &str, fields: &[(&str, &str)], file: &[u8]) -> Answer {
    let fields: Vec<(String, String)> = fields
        .iter()
        .map(|(name, text)| ((*name).to_owned(), (*text).to_owned()))
        .collect();
    post_parts(client, &format!("{job}/prices"), &fields, Some(file))
}

/// Sends the page that shows what a price book would change, with `fields` in the place of what it held.
fn save_prices(client: &Client, page: &str, fields: &[(&str, &str)]) -> Answer {
    let (action, mut held) = form(page, "match");
    held.push(("do".to_owned(), "save".to_owned()));
    held.retain(|(name, _)| !fields.iter().any(|(n, _)| n == name));
    held.extend(
        fields
            .iter()
            .map(|(name, text)| ((*name).to_owned(), (*text).to_owned())),
    );
    post_parts(client, &action, &held, None)
}

/// Markup without its tags, blanks made one.
fn bare(markup: &str) -> String {
    let mut text = String::new();
    let mut in_tag = false;
    for c in markup.chars() {
        match c {
            '<' => in_tag = true,
            '>' => {
                in_tag = false;
                text.push(' ');
            }
            c if !in_tag => text.push(c),
            _ => {}
        }
    }
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A multipart body as a browser writes it: its line ends in fields are two bytes.
fn post_parts(
    client: &Client,
    path: &str,
    fields: &[(String, String)],
    file: Option<&[u8]>,
) -> Answer {
    let mut body = Vec::new();
    for (name, text) in fields {
        let text = text.replace("\r\n", "\n").replace('\n', "\r\n");
        body.extend_from_slice(
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
                .as_bytes(),
        );
    }
    if let Some(file) = file {
        body.extend_from_slice(b"--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"prices.csv\"\r\nContent-Type: text/csv\r\n\r\n");
        body.extend_from_slice(file);
        body.extend_from_slice(b"\r\n");
    }
    body.extend_from_slice(b"--edge--\r\n");
    client.send(path, "multipart/form-data; boundary=edge", &body)
}

/// A JPEG with an EXIF block that says where it was taken.
pub(crate) fn jpeg() -> Vec<u8> {
    let mut plain = Cursor::new(Vec::new());
    RgbImage::from_fn(40, 30, |x, y| {
        image::Rgb([x, y, 9].map(|n| u8::try_from(n).unwrap()))
    })
    .write_to(&mut plain, ImageFormat::Jpeg)
    .unwrap();
    let plain = plain.into_inner();
    let exif = b"Exif\0\0II*\0\x08\0\0\0\0\0 GPS 44 29 12 N";
    let long = u16::try_from(exif.len() + 2).unwrap().to_be_bytes();
    [&plain[..2], &[0xff, 0xe1], &long, exif, &plain[2..]].concat()
}

/// A multipart body: what a form holds, then a file.
fn body(held: &[(String, String)], media_type: &str, file: &[u8]) -> Vec<u8> {
    let mut body = Vec::new();
    for (name, text) in held.iter().filter(|(name, _)| name != "file") {
        body.extend_from_slice(
            format!("--edge\r\nContent-Disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
                .as_bytes(),
        );
    }
    body.extend_from_slice(
        format!(
            "--edge\r\nContent-Disposition: form-data; name=\"file\"; filename=\"../../x.php\"\r\nContent-Type: {media_type}\r\n\r\n"
        )
        .as_bytes(),
    );
    body.extend_from_slice(file);
    body.extend_from_slice(b"\r\n--edge--\r\n");
    body
}

/// Sends a photo through a form of a page, as a browser does, with `typed` in place of what the form holds; gives the
/// answer and the id of the photo.
pub(crate) fn photograph(
    client: &Client,
    (page, id): (&str, &str),
    typed: &[(&str, &str)],
    (media_type, file): (&str, &[u8]),
) -> (Answer, String) {
    let (action, mut held) = form(&client.page(page), id);
    held.retain(|(name, _)| !typed.iter().any(|(n, _)| n == name));
    held.extend(
        typed
            .iter()
            .map(|(n, t)| ((*n).to_owned(), (*t).to_owned())),
    );
    let sent = body(&held, media_type, file);
    let answer = client.send(&action, "multipart/form-data; boundary=edge", &sent);
    (answer, value(&held, "entity_id"))
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

/// The value of the option of a select whose words hold all of these.
fn option(page: &str, select: &str, words: &[&str]) -> Option<String> {
    let at = page.find(&format!("id=\"{select}\"")).unwrap();
    let select = page[at..].split("</select>").next().unwrap();
    let found = select.split("<option ").find(|option| {
        let words = words.iter().all(|word| option.contains(word));
        words && option.starts_with("value=")
    })?;
    found.split('"').nth(1).map(str::to_owned)
}

/// The entries of a job in its job file, as JSON.
fn entries(client: &Client, job: &str) -> Vec<serde_json::Value> {
    let file: serde_json::Value =
        serde_json::from_str(&client.page(&format!("{job}/job-file"))).unwrap();
    file["entries"].as_array().unwrap().clone()
}

/// How many entries of a kind the job has.
pub(crate) fn count_of(client: &Client, job: &str, kind: &str) -> usize {
    let all = entries(client, job);
    all.iter().filter(|entry| entry["kind"] == kind).count()
}

/// What a page says is wrong, for a failing test's own message: the whole page where it says nothing.
fn page_errors(page: &str) -> String {
    let found = errors(page);
    if found.is_empty() {
        page.to_owned()
    } else {
        found
    }
}
