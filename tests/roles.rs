//! Every route × role: a route without an expectation fails.

use scantling_server::router::ROUTES;
use scantling_takeoff::record::Role;

use crate::support::TestServer;

/// A path with its holes filled by things that aren't there.
fn filled(path: &str) -> String {
    path.replace("{job}", "00000000-0000-0000-0000-000000000000")
        .replace("{kind}", "wall")
        .replace("{id}", "00000000-0000-0000-0000-000000000001")
        .replace("{act}", "state")
        .replace("{build}", "none")
        .replace("{file}", "style.css")
}

#[test]
fn a_stranger_gets_only_the_sign_in_page_help_and_assets() {
    let server = TestServer::start("roles");
    let stranger = server.stranger();
    for route in ROUTES {
        let path = filled(route.path);
        let answer = if route.method == "GET" {
            stranger.get(&path)
        } else {
            stranger.post(&path, &[("code", "1")])
        };
        let expected = match (route.role, route.method, route.path) {
            (Role::Stranger, _, "/a/{build}/{file}") => 404,
            (Role::Stranger, "GET", _) => 200,
            (Role::Stranger, ..) => 422,
            _ => 401,
        };
        assert_eq!(answer.status, expected, "{} {path}", route.method);
    }
}

#[test]
fn every_answer_has_its_headers_errors_too() {
    let server = TestServer::start("headers");
    for (client, path) in [
        (server.stranger(), "/"),
        (server.lead(), "/"),
        (server.lead(), "/nothing-here"),
        (server.stranger(), "/sign-in"),
    ] {
        let answer = client.get(path);
        for (name, value) in [
            ("x-content-type-options", "nosniff"),
            ("referrer-policy", "same-origin"),
            ("cross-origin-opener-policy", "same-origin"),
            ("cross-origin-resource-policy", "same-origin"),
            ("cache-control", "no-cache"),
        ] {
            assert_eq!(answer.header(name), Some(value), "{name} of {path}");
        }
        assert!(
            answer
                .header("content-security-policy")
                .unwrap()
                .starts_with("default-src 'self';")
        );
        assert_eq!(answer.header("server"), None);
    }
}

#[test]
fn a_lead_reaches_every_route_and_a_thing_that_is_not_there_is_a_404() {
    let server = TestServer::start("lead");
    let lead = server.lead();
    for route in ROUTES
        .iter()
        .filter(|route| route.method == "GET" && route.path.contains("{job}"))
    {
        assert_eq!(lead.get(&filled(route.path)).status, 404, "{}", route.path);
    }
}

#[test]
fn a_post_from_another_site_is_refused_and_a_known_path_with_another_method_gets_405() {
    let server = TestServer::start("site");
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .http_status_as_error(false)
        .build()
        .into();
    for site in ["cross-site", "same-site", "none"] {
        let answer = agent
            .post(format!("{}/sign-in", server.origin))
            .header("sec-fetch-site", site)
            .send_form([("code", "1")])
            .unwrap();
        assert_eq!(answer.status(), 403, "{site}");
    }
    let answer = agent
        .post(format!("{}/sign-in", server.origin))
        .send_form([("code", "1")])
        .unwrap();
    assert_eq!(answer.status(), 403, "neither header");
    let answer = agent
        .delete(format!("{}/sign-in", server.origin))
        .header("origin", &server.origin)
        .call()
        .unwrap();
    assert_eq!(answer.status(), 405);
}

#[test]
fn another_host_gets_421_and_an_encoded_body_415() {
    let server = TestServer::start("host");
    let agent: ureq::Agent = ureq::Agent::config_builder()
        .http_status_as_error(false)
        .build()
        .into();
    let answer = agent
        .get(format!("{}/sign-in", server.origin))
        .header("host", "evil.example")
        .call()
        .unwrap();
    assert_eq!(answer.status(), 421);
    let answer = agent
        .post(format!("{}/sign-in", server.origin))
        .header("origin", &server.origin)
        .header("content-encoding", "gzip")
        .send("code=1")
        .unwrap();
    assert_eq!(answer.status(), 415);
}

#[test]
fn a_code_is_good_once_and_wrong_ones_are_refused_with_what_was_typed() {
    let server = TestServer::start("code");
    let code = server.code();
    let first = server.stranger().post("/sign-in", &[("code", &code)]);
    assert_eq!(first.status, 303);
    let again = server.stranger().post("/sign-in", &[("code", &code)]);
    assert_eq!(again.status, 422);
    assert!(
        again.body.contains(&format!("value=\"{code}\"")),
        "{}",
        again.body
    );
    assert!(again.body.contains("This code is not open."));
}
