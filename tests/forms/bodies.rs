//! Bodies, files, paths and queries that mean nothing: refused with a page of our own, and nothing is written.

use super::{add, count_of, errors, page_errors, start_job, upload};
use crate::support::{Answer, TestServer};

const NOBODY: &str = "0199a3c0-0000-7000-8000-000000000000";

/// A page of our own, whatever went wrong.
fn own_page(answer: &Answer, status: u16, what: &str) {
    assert_eq!(answer.status, status, "{what}: {}", answer.body);
    assert!(
        answer
            .header("content-type")
            .unwrap()
            .starts_with("text/html"),
        "{what}"
    );
    assert!(
        answer.body.starts_with("<!DOCTYPE html>") && answer.body.contains("<h1"),
        "{what}: {}",
        answer.body
    );
}

#[test]
fn a_body_that_is_no_form_is_refused_with_a_page_and_one_that_is_too_big_with_413() {
    let server = TestServer::start("bodies");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let walls = format!("{job}/wall");
    let urlencoded = "application/x-www-form-urlencoded";
    for (content_type, body) in [
        ("text/plain", "name=Wall D"),
        ("application/json", "{\"name\": \"Wall D\"}"),
        ("multipart/form-data; boundary=x", "--x--"),
    ] {
        let answer = lead.send(&walls, content_type, body.as_bytes());
        own_page(&answer, 400, content_type);
    }
    for body in ["%%%", "&&&==&", "name", "%ff%fe=%ff", "", "name=%00"] {
        let answer = lead.send(&walls, urlencoded, body.as_bytes());
        assert!(
            matches!(answer.status, 400 | 422),
            "{body}: {}",
            answer.status
        );
    }
    let big = format!("name={}", "x".repeat(70_000));
    own_page(&lead.send(&walls, urlencoded, big.as_bytes()), 413, "64 kB");
    assert_eq!(count_of(&lead, &job, "wall.add"), 0);
}

/// 45,000 parts without a byte of text: each counts for more than its name.
#[test]
fn a_body_of_empty_parts_comes_to_its_limit() {
    let server = TestServer::start("bodies-parts");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let part = "--edge\r\nContent-Disposition: form-data; name=\"x\"\r\n\r\n\r\n";
    let body = part.repeat(45_000) + "--edge--\r\n";
    for (page, limit) in [("prices", "5 MB"), ("photo", "64 kB")] {
        let answer = lead.send(
            &format!("{job}/{page}"),
            "multipart/form-data; boundary=edge",
            body.as_bytes(),
        );
        own_page(&answer, 413, page);
        assert!(answer.body.contains(limit), "{}", answer.body);
    }
}

#[test]
fn a_price_book_that_cannot_be_read_is_refused_as_a_whole_with_row_and_column() {
    let server = TestServer::start("bad-csv");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    add(&lead, &job, "supplier", &[("name", "North Yard")]);
    for (file, said) in [
        (&b"supplier,section\nNorth Yard,stick\xff\n"[..], "Byte"),
        (b"", "no rows"),
        (b"supplier,section\n", "no rows"),
        (
            b"supplier,section,colour\nNorth Yard,stick,red\n",
            "Row 1, column 3",
        ),
        (
            b"supplier,section,price\nNorth Yard,stick,7.98\nNorth Yard,stick,cheap\n",
            "Row 3, column 3",
        ),
        (b"supplier,section\nNowhere Yard,stick\n", "Row 2, column 1"),
        (b"supplier,section\nNorth Yard\n", "Row 2"),
        (
            b"supplier,section,length\nNorth Yard,stick,7 1/x\n",
            "at character 5",
        ),
        (
            b"supplier,section,nominal,length,per_pack,sold_by,price\nNorth Yard,stick,2x4,8 ft,10,bundle,42.50\n",
            "Row 2, column 6 (sold_by): A stick is sold each or by the foot. Choose each, and write the price of one: $4.25",
        ),
    ] {
        let answer = upload(&lead, &job, NOBODY, file);
        assert_eq!(answer.status, 422, "{said}");
        assert!(
            errors(&answer.body).contains(said),
            "{said}: {}",
            page_errors(&answer.body)
        );
    }
    assert_eq!(count_of(&lead, &job, "price.add"), 0);
    let no_parts = lead.send(
        &format!("{job}/prices"),
        "multipart/form-data; boundary=edge",
        b"nothing of the kind",
    );
    own_page(&no_parts, 400, "no parts");
    let no_boundary = lead.send(&format!("{job}/prices"), "multipart/form-data", b"--x--");
    own_page(&no_boundary, 400, "no boundary");
    let big = vec![b'x'; 5 * 1024 * 1024 + 1];
    own_page(&upload(&lead, &job, NOBODY, &big), 413, "5 MB");
}

#[test]
fn a_path_or_a_query_that_means_nothing_is_answered_with_a_page() {
    let server = TestServer::start("paths");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let wall = add(&lead, &job, "wall", &[("name", "Wall D")]);
    for path in [
        "/nothing".to_owned(),
        "/jobs/not-an-id".to_owned(),
        "/jobs/%FF%FE".to_owned(),
        format!("/jobs/{NOBODY}"),
        format!("/jobs/{NOBODY}/house"),
        format!("{job}/nothing"),
        format!("{job}/wall/{NOBODY}"),
        format!("{job}/wall/1"),
        format!("{job}/room/{wall}"),
        format!("{job}/wall/{wall}/done"),
        format!("{job}/wall/{NOBODY}/edit"),
        format!("{job}/wall/{wall}/nothing"),
        format!("{job}/{}", "x".repeat(2000)),
    ] {
        own_page(&lead.get(&path), 404, &path);
    }
    for path in [
        format!("{job}/wall/{wall}/act/nothing"),
        format!("{job}/wall/{NOBODY}/act/remove"),
        format!("{job}/nothing"),
        format!("/jobs/{NOBODY}/wall"),
        format!("{job}/wall/{NOBODY}"),
    ] {
        own_page(&lead.post(&path, &[("name", "x")]), 404, &path);
    }
    for query in [
        "week=abc",
        "week=0",
        "week=99999999999999999999",
        "week=1,2,x",
        "week=%FF",
        "saved=nothing",
        "of=nothing",
        "what=nothing&side=q&place=%00&number=-4",
        "%%%",
        "=&=&=",
    ] {
        for page in [
            "",
            "/house",
            "/materials",
            "/buy-list",
            "/buy-list.csv",
            "/cut-list",
            "/wall",
            "/reading",
            "/shore",
            &format!("/wall/{wall}"),
        ] {
            let path = format!("{job}{page}?{query}");
            let answer = lead.get(&path);
            assert!(
                matches!(answer.status, 200 | 400 | 404),
                "{path}: {}",
                answer.status
            );
        }
    }
}
