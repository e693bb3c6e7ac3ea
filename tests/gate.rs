//! Every row of the route table against the gate: who, from where, how large, with which headers.
//!
//! A row can't be written without a role and without what may pass; this walks them all on a running server.

use std::io::{Read as _, Write as _};
use std::net::TcpStream;

use scantling_server::Passes;
use scantling_server::router::{ROUTES, Route};
use scantling_takeoff::record::Role;

use crate::support::{Client, TestServer};

/// An id that nothing has.
const NOTHING: &str = "00000000-0000-0000-0000-000000000001";

/// A path with its holes filled by things that aren't there.
pub(crate) fn filled(path: &str) -> String {
    let nothing = NOTHING;
    let mut path = path.to_owned();
    for (hole, with) in [
        ("{job}", nothing),
        ("{id}", nothing),
        ("{kind}", "wall"),
        ("{act}", "state"),
        ("{by}", "supplier"),
        ("{of}", "none"),
        ("{item}", "none"),
        ("{build}", "none"),
        ("{file}", "style.css"),
        ("{event}", "start"),
    ] {
        path = path.replace(hole, with);
    }
    assert!(!path.contains('{'), "{path} has a hole that nothing fills");
    path
}

/// The status and head of an answer to a request written out by hand; its body never comes.
fn answer(client: &Client, route: &Route, more: &[(&str, &str)]) -> (u16, String) {
    asked(client, route.method, &filled(route.path), more)
}

/// The same, of a path as it is written.
fn asked(client: &Client, method: &str, path: &str, more: &[(&str, &str)]) -> (u16, String) {
    let host = client.origin.split_once("://").unwrap().1;
    let mut stream = TcpStream::connect(host).unwrap();
    let first = format!("{method} {path} HTTP/1.1");
    let mut lines = vec![
        first,
        format!("host: {host}"),
        "connection: close".to_owned(),
    ];
    lines.push(format!(
        "cookie: {}",
        client.cookie.as_deref().unwrap_or("")
    ));
    let is_own = more.iter().any(|(name, _)| name.starts_with("sec-fetch"));
    if method != "GET" && !is_own {
        lines.push(format!("origin: {}", client.origin));
    }
    lines.extend(more.iter().map(|(name, value)| format!("{name}: {value}")));
    let text = format!("{}\r\n\r\n", lines.join("\r\n"));
    stream.write_all(text.as_bytes()).unwrap();
    let mut answer = Vec::new();
    let mut piece = [0; 4096];
    while !answer.windows(4).any(|end| end == b"\r\n\r\n") {
        let n = stream.read(&mut piece).unwrap();
        assert!(n > 0, "{method} {path} ended early");
        answer.extend_from_slice(&piece[..n]);
    }
    let head = String::from_utf8_lossy(&answer).into_owned();
    let status = head.split(' ').nth(1).unwrap().parse().unwrap();
    (status, head)
}

fn let_in(server: &TestServer, lead: &Client, name: &str, role: &str) -> Client {
    crate::sync::crew::let_in(server, lead, name, role)
}

#[test]
fn every_route_asks_for_its_role_and_a_phone_that_is_shut_out_gets_none_but_the_open_ones() {
    let server = TestServer::start("gate-roles");
    let lead = server.lead();
    let crew = let_in(&server, &lead, "Ana", "crew");
    let guest = let_in(&server, &lead, "Engineer", "guest");
    let gone = let_in(&server, &lead, "Ben", "crew");
    let me: serde_json::Value = serde_json::from_str(&gone.page("/sync/v1/me")).unwrap();
    let path = format!("/crew/device/{}", me["device_id"].as_str().unwrap());
    assert_eq!(lead.post(&path, &[("shut_out", "yes")]).status, 303);
    let stranger = server.stranger();
    let asking = [
        (&stranger, None),
        (&guest, Some(Role::Guest)),
        (&crew, Some(Role::Crew)),
        (&gone, None),
    ];
    for route in ROUTES {
        for (client, role) in asking {
            // Signing out would end the walk.
            if route.path == "/sign-out" && role.is_some() {
                continue;
            }
            let (status, _) = answer(client, route, &[("content-length", "0")]);
            let may = route.role == Role::Stranger || role.is_some_and(|role| role >= route.role);
            let words = format!("{} {} as {role:?}: {status}", route.method, route.path);
            if may {
                assert!(!matches!(status, 401 | 403), "{words}");
            } else if std::ptr::eq(client, &raw const stranger) {
                assert_eq!(status, 401, "{words}");
            } else {
                assert_eq!(status, 403, "{words}");
            }
        }
    }
    // Who asks for what isn't theirs stands in the log, and no word of what was asked.
    let log = std::fs::read_to_string(server.folder.join("log/security.log")).unwrap();
    for line in [
        "signed in",
        "shut out phone",
        "refused: role",
        "refused: shut out",
    ] {
        assert!(log.contains(line), "{line}: {log}");
    }
    assert!(!log.contains("Ana"), "{log}");
    let requests = std::fs::read_to_string(server.folder.join("log/requests.log")).unwrap();
    assert!(
        requests.contains(" GET /jobs/{job}/house 401 "),
        "{requests}"
    );
    assert!(!requests.contains("0000-0000"), "no address with its ids");
}

/// The path with the first letter of each of its words written as its code, and with all of one word so: a router that
/// decodes reads the same path.
fn otherwise_written(path: &str) -> Vec<String> {
    let coded = |letter: char| format!("%{:02x}", letter as u32);
    let words: Vec<&str> = path.split('/').collect();
    let mut all = Vec::new();
    for (at, word) in words.iter().enumerate() {
        for n in [1, word.len()] {
            let (first, rest) = word.split_at(n.min(word.len()));
            if first.is_empty() {
                continue;
            }
            let mut other: Vec<String> = words.iter().map(ToString::to_string).collect();
            other[at] = first.chars().map(coded).collect::<String>() + rest;
            all.push(other.join("/"));
        }
    }
    if let Some((before, after)) = path.rsplit_once('.') {
        all.push(format!("{before}%2e{after}"));
    }
    all
}

#[test]
fn no_route_is_reached_by_its_path_written_otherwise() {
    let server = TestServer::start("gate-codes");
    let lead = server.lead();
    let guest = let_in(&server, &lead, "Engineer", "guest");
    let stranger = server.stranger();
    // A job that is there, so that a row which is reached would answer.
    let job = crate::forms::start_job(&lead, "Elm Street 12");
    assert_eq!(guest.get(&format!("{job}/house")).status, 200);
    assert_eq!(guest.get(&format!("{job}/money")).status, 403);
    for route in ROUTES {
        let path = filled(route.path).replacen(&format!("/jobs/{NOTHING}"), &job, 1);
        for path in otherwise_written(&path) {
            for client in [&stranger, &guest, &lead] {
                let (status, _) = asked(client, route.method, &path, &[("content-length", "0")]);
                assert_eq!(status, 404, "{} {path}", route.method);
            }
        }
    }
}

#[test]
fn every_route_refuses_a_body_one_byte_over_its_limit_before_it_comes() {
    let server = TestServer::start("gate-bodies");
    let lead = server.lead();
    for route in ROUTES {
        let over = (route.passes.bytes() + 1).to_string();
        let (status, _) = answer(&lead, route, &[("content-length", &over)]);
        assert_eq!(status, 413, "{} {}", route.method, route.path);
        if route.passes.bytes() == 0 {
            let (status, _) = answer(&lead, route, &[("transfer-encoding", "chunked")]);
            assert_eq!(status, 413, "{} {}, chunked", route.method, route.path);
        }
        let takes = matches!(route.method, "POST" | "PUT");
        assert_eq!(
            takes,
            route.passes.bytes() > 0,
            "{} {}: a row that takes a body lets one pass, and no other does",
            route.method,
            route.path
        );
    }
    // The figures are those of the limits' own list.
    assert_eq!(Passes::Form.bytes(), 65_536);
    assert_eq!(Passes::Batch.bytes(), 262_144);
    assert_eq!(Passes::Picture.bytes(), 25_000_000);
}

#[test]
fn another_site_may_lead_to_a_page_and_gets_no_picture_no_export_and_no_data() {
    let server = TestServer::start("gate-sites");
    let lead = server.lead();
    let link = [
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-mode", "navigate"),
        ("sec-fetch-dest", "document"),
    ];
    let frame = [
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-mode", "navigate"),
        ("sec-fetch-dest", "iframe"),
    ];
    let picture = [
        ("sec-fetch-site", "cross-site"),
        ("sec-fetch-mode", "no-cors"),
        ("sec-fetch-dest", "image"),
    ];
    for route in ROUTES {
        for (how, by_link) in [(link, true), (frame, false), (picture, false)] {
            let mut headers = how.to_vec();
            headers.push(("content-length", "0"));
            let (status, _) = answer(&lead, route, &headers);
            let words = format!("{} {} by {how:?}: {status}", route.method, route.path);
            let may = route.passes == Passes::Anyone || route.passes == Passes::Page && by_link;
            assert_eq!(status != 403, may, "{words}");
        }
        if route.method == "GET" {
            let (status, _) = answer(&lead, route, &[("sec-fetch-site", "none")]);
            assert_ne!(status, 403, "{} typed", route.path);
        }
    }
}

#[test]
fn every_answer_of_every_route_has_its_headers() {
    let server = TestServer::start("gate-headers");
    let lead = server.lead();
    let stranger = server.stranger();
    for route in ROUTES.iter().filter(|route| route.path != "/sign-out") {
        for client in [&lead, &stranger] {
            let (status, head) = answer(client, route, &[("content-length", "0")]);
            let words = format!("{} {} ({status}): {head}", route.method, route.path);
            let head = head.to_ascii_lowercase();
            for header in [
                "content-security-policy: default-src 'self'",
                "x-content-type-options: nosniff",
                "referrer-policy: same-origin",
                "cross-origin-opener-policy: same-origin",
                "permissions-policy: camera=(self), geolocation=(), microphone=()",
                "cache-control: ",
                "x-app-build: ",
            ] {
                assert!(head.contains(&format!("\r\n{header}")), "{header}: {words}");
            }
            let shared = route.path == "/sync/v1/ping";
            let policy = if shared {
                "cross-origin"
            } else {
                "same-origin"
            };
            assert!(
                head.contains(&format!("\r\ncross-origin-resource-policy: {policy}\r\n")),
                "{words}"
            );
            for absent in ["\r\nserver:", "strict-transport", "access-control"] {
                assert!(!head.contains(absent), "{absent}: {words}");
            }
        }
    }
}
