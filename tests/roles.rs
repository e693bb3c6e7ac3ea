//! Every route × role: a route without an expectation fails.

use std::collections::{BTreeMap, BTreeSet};

use scantling_server::router::{ROUTES, Route};
use scantling_takeoff::record::Role;

use crate::forms::{jpeg, photograph};
use crate::gate::filled;
use crate::support::{Client, TestServer};

/// Kinds that bear prices: a guest sees none of them.
const PRICED: [&str; 5] = ["price", "receipt", "bought", "stock", "order"];

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
            // Another build; and on loopback there is no authority.
            (Role::Stranger, _, "/a/{build}/{file}" | "/ca.cer") => 404,
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

/// A page of the demo's job: its route, its address, the kind of thing where the route has one of any kind.
struct Place {
    route: &'static Route,
    path: String,
    kind: Option<String>,
}

/// The first thing of each kind of a job.
fn first_of_each(client: &Client, job: &str) -> BTreeMap<String, String> {
    let file: serde_json::Value =
        serde_json::from_str(&client.page(&format!("{job}/job-file"))).unwrap();
    let mut first = BTreeMap::new();
    for entry in file["entries"].as_array().unwrap() {
        if let Some(kind) = entry["kind"].as_str().unwrap().strip_suffix(".add") {
            let id = entry["entity_id"].as_str().unwrap();
            first.entry(kind.to_owned()).or_insert(id.to_owned());
        }
    }
    first
}

/// The demo's job with a sent order and photos of a wall and of a receipt: every page that there is, of every GET route
/// and kind.
fn places(lead: &Client) -> Vec<Place> {
    let page = lead.page("/");
    let job = page
        .split("href=\"")
        .find(|rest| rest.starts_with("/jobs/"));
    let job = job.unwrap().split('"').next().unwrap().to_owned();
    let order = lead.save(&format!("{job}/order?week=2"), "f", &[]);
    lead.save(&order, "send", &[]);
    let first = first_of_each(lead, &job);
    let pictures = ["wall", "receipt"].map(|kind| {
        let page = format!("{job}/{kind}/{}", first[kind]);
        let (answer, id) = photograph(lead, (&page, "photo"), &[], ("image/jpeg", &jpeg()));
        assert_eq!(answer.status, 303, "{}", answer.body);
        (kind, id)
    });
    let list = lead.page(&format!("{job}/buy-list?week=2"));
    let line = list.split("href=\"").find(|rest| rest.contains("/line/"));
    let line = line.unwrap().split('"').next().unwrap().to_owned();
    let mut all = Vec::new();
    for route in ROUTES.iter().filter(|route| route.method == "GET") {
        let path = route
            .path
            .replace("/jobs/{job}", &job)
            .replace("/week/{id}", &format!("/week/{}", first["week"]))
            .replace(
                "/supplier/{id}",
                &format!("/supplier/{}", first["supplier"]),
            );
        let mut put = |path: String, kind: Option<&str>| {
            let kind = kind.map(str::to_owned);
            all.push(Place { route, path, kind });
        };
        if path.contains("/order/{id}") {
            put(path.replace(&format!("{job}/order/{{id}}"), &order), None);
        } else if path.ends_with("/money/{by}/{of}") {
            for of in [
                "week/1".to_owned(),
                "change/none".to_owned(),
                format!("supplier/{}", first["supplier"]),
            ] {
                put(path.replace("{by}/{of}", &of), None);
            }
        } else if path.ends_with("/line/{item}") {
            put(line.clone(), None);
        } else if path.contains("/photo/{id}/") {
            for (of, id) in &pictures {
                put(path.replace("{id}", id), Some(of));
            }
        } else if path.contains("{kind}") {
            let path = path.replace("{event}", "start");
            let own = |kind: &str| {
                let own = route.path.replace("{kind}", kind);
                ROUTES.iter().any(|other| other.path == own)
            };
            for (kind, id) in first.iter().filter(|(kind, _)| !own(kind)) {
                put(path.replace("{kind}", kind).replace("{id}", id), Some(kind));
            }
            for (of, id) in pictures.iter().filter(|_| path.contains("{id}")) {
                put(
                    path.replace("{kind}", "photo").replace("{id}", id),
                    Some(of),
                );
            }
        } else if !path.starts_with("/a/") {
            put(path, None);
        }
    }
    // What a kind of thing doesn't have, a lead doesn't find either.
    all.retain(|place| status(lead, &place.path) != 404);
    all
}

/// How an address is answered; its body may be a file.
fn status(client: &Client, path: &str) -> u16 {
    client.file(path).0.status
}

/// Whether the last text before, tags left out, is this one.
fn said_before(texts: &[&str], ends: &[&str]) -> bool {
    let is_tag =
        |text: &&&str| text.starts_with('/') || text.starts_with(|c: char| c.is_ascii_lowercase());
    let said = texts.iter().rev().find(|text| !is_tag(text));
    said.is_some_and(|text| ends.iter().any(|end| text.ends_with(end)))
}

/// Amounts of money on a page: `$4.28`, or a cell or field with `4.28` alone.
fn amounts(page: &str) -> Vec<&str> {
    let is_plain = |text: &&str| {
        text.split_once('.').is_some_and(|(whole, cents)| {
            let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
            !whole.is_empty() && cents.len() == 2 && digits(whole) && digits(cents)
        })
    };
    let dollars = page
        .split('$')
        .skip(1)
        .filter(|rest| rest.starts_with(|c: char| c.is_ascii_digit()))
        .map(|rest| rest.split(['<', ' ', '"']).next().unwrap());
    let texts: Vec<&str> = page
        .split(['<', '>', '"'])
        .map(str::trim)
        .filter(|text| !text.is_empty())
        .collect();
    // What a screen divides is no money, nor is a figure that it uses, which says how sure it is.
    let no_money = ["Demand ÷ capacity", ", verified", ", computed", ", memory"];
    let plain = texts
        .iter()
        .enumerate()
        .filter(|(at, text)| is_plain(text) && !said_before(&texts[..*at], &no_money))
        .map(|(_, text)| *text);
    dollars.chain(plain).collect()
}

#[test]
fn every_page_of_a_real_job_is_for_whom_the_table_says_and_a_guest_sees_no_money() {
    let mut server = TestServer::start_demo("roles-real");
    let lead = server.lead();
    let places = places(&lead);
    let reached: BTreeSet<&str> = places.iter().map(|place| place.route.path).collect();
    for route in ROUTES.iter().filter(|route| route.method == "GET") {
        assert!(
            reached.contains(route.path)
                || route.path.starts_with("/a/")
                || route.path == "/ca.cer",
            "{}",
            route.path
        );
    }
    for place in &places {
        assert_eq!(status(&lead, &place.path), 200, "{}", place.path);
    }

    let crew = server.with_all_as(Role::Crew, &lead);
    for place in &places {
        let expected = if place.route.role <= Role::Crew {
            200
        } else {
            403
        };
        assert_eq!(status(&crew, &place.path), expected, "{}", place.path);
    }

    let guest = server.with_guests(&lead);
    for place in &places {
        let priced = place
            .kind
            .as_deref()
            .is_some_and(|kind| PRICED.contains(&kind));
        let expected = if place.route.role <= Role::Guest && !priced {
            200
        } else {
            403
        };
        let found = status(&guest, &place.path);
        assert!(found == expected, "{}: {found}", place.path);
        if !place.route.path.contains("/photo/{id}/") {
            let page = guest.get(&place.path).body;
            assert_eq!(amounts(&page), [""; 0], "{}", place.path);
        }
    }
}
