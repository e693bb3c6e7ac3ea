//! Letting phones in and shutting them out, names and roles.

use super::{Phone, json_of, text};
use crate::forms::start_job;
use crate::support::{Client, TestServer, form};

/// The code on the page, digits alone.
fn digits(page: &str) -> String {
    let (_, rest) = page
        .split_once("class=\"digits\">")
        .unwrap_or_else(|| panic!("{page}"));
    rest.chars()
        .take_while(|c| *c != '<')
        .filter(char::is_ascii_digit)
        .collect()
}

pub(crate) fn let_in(server: &TestServer, lead: &Client, name: &str, role: &str) -> Client {
    let made = lead.post("/crew/code", &[("name", name), ("role", role)]);
    assert_eq!(made.status, 200, "{}", made.body);
    let mut phone = server.stranger();
    let signed = phone.post("/sign-in", &[("code", &digits(&made.body))]);
    assert_eq!(signed.status, 303, "{}", signed.body);
    phone.cookie = signed.cookie;
    phone
}

#[test]
fn a_lead_lets_crew_and_guests_in_and_a_code_is_good_once() {
    let server = TestServer::start("let-in");
    let lead = server.lead();
    let made = lead.post("/crew/code", &[("name", "Ana"), ("role", "crew")]);
    let code = digits(&made.body);
    assert!(
        made.body.contains(&format!("/sign-in#{code}")),
        "the link carries it"
    );
    let mut ana = server.stranger();
    let signed = ana.post("/sign-in", &[("code", &code)]);
    ana.cookie = signed.cookie;
    assert_eq!(
        server
            .stranger()
            .post("/sign-in", &[("code", &code)])
            .status,
        422,
        "once"
    );
    let me = json_of(&ana.get("/sync/v1/me"));
    assert_eq!(
        (text(&me["name"]), text(&me["role"])),
        ("Ana".to_owned(), "crew".to_owned())
    );

    let guest = let_in(&server, &lead, "Inspector", "guest");
    let job = start_job(&lead, "Elm Street 12");
    assert_eq!(guest.get(&job).status, 200);
    assert_eq!(guest.get(&format!("{job}/buy-list")).status, 403);
    let phone = Phone::new(&guest, &job);
    let answer = phone.post(&phone.batch(&[]));
    assert_eq!(
        (answer.status, text(&json_of(&answer)["code"])),
        (403, "not_allowed".to_owned())
    );
    // Nobody but the console makes a lead, and only a lead makes codes.
    let lead_code = lead.post("/crew/code", &[("name", "Bo"), ("role", "lead")]);
    let mut bo = server.stranger();
    bo.cookie = bo
        .post("/sign-in", &[("code", &digits(&lead_code.body))])
        .cookie;
    assert_eq!(text(&json_of(&bo.get("/sync/v1/me"))["role"]), "crew");
    assert_eq!(bo.post("/crew/code", &[("name", "Cy")]).status, 403);
}

#[test]
fn everyone_sees_their_own_phones_and_the_lead_all() {
    let server = TestServer::start("own");
    let lead = server.lead();
    let ana = let_in(&server, &lead, "Ana", "crew");
    let zeb = let_in(&server, &lead, "Zebulon", "crew");
    let (of_lead, of_ana) = (lead.page("/crew"), ana.page("/crew"));
    assert!(of_lead.contains("Ana") && of_lead.contains("Zebulon"));
    assert!(of_ana.contains("Ana") && !of_ana.contains("Zebulon"));
    assert!(
        !of_ana.contains("/crew/code"),
        "no button that Ana can't use"
    );
    let device = text(&json_of(&zeb.get("/sync/v1/me"))["device_id"]);
    let path = format!("/crew/device/{device}");
    assert_eq!(
        ana.post(&path, &[("shut_out", "yes")]).status,
        404,
        "not Ana's"
    );
    assert_eq!(zeb.post(&path, &[("name", "Zeb's old phone")]).status, 303);
    assert!(
        lead.page("/crew").contains("Zeb&#39;s old phone")
            || lead.page("/crew").contains("Zeb's old phone")
    );
    assert_eq!(zeb.post(&path, &[("name", "  ")]).status, 400);
    assert_eq!(lead.post(&path, &[("shut_out", "yes")]).status, 303);
    assert_eq!(zeb.get("/").status, 403);
    assert!(lead.page("/crew").contains("Shut out"));
}

#[test]
fn a_new_role_counts_at_once_and_the_phone_learns_of_it() {
    let server = TestServer::start("role");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let ana = let_in(&server, &lead, "Ana", "crew");
    let me = json_of(&ana.get("/sync/v1/me"));
    assert_eq!(me["role_rev"], 1);
    assert_eq!(ana.get(&format!("{job}/buy-list")).status, 200);
    let person = text(&me["person_id"]);
    let (action, _) = form(
        &lead.page("/crew"),
        &format!("person-{}", person.replace('-', "")),
    );
    assert_eq!(
        lead.post(&action, &[("name", "Ana"), ("role", "guest")])
            .status,
        303
    );
    assert_eq!(ana.get(&format!("{job}/buy-list")).status, 403);
    assert_eq!(json_of(&ana.get("/sync/v1/me"))["role_rev"], 2);
}

#[test]
fn signing_out_ends_the_session_and_clears_what_the_browser_kept() {
    let server = TestServer::start("sign-out");
    let lead = server.lead();
    let answer = lead.post("/sign-out", &[]);
    assert_eq!(answer.status, 303);
    assert_eq!(
        answer.header("clear-site-data"),
        Some("\"cache\", \"cookies\", \"storage\"")
    );
    assert_ne!(lead.get("/").status, 200);
}

#[test]
fn every_phone_but_this_one_is_shut_out_at_once() {
    let server = TestServer::start("others");
    let (lead, other) = (server.lead(), server.lead());
    assert_eq!(lead.post("/crew/shut-others", &[]).status, 303);
    assert_eq!(lead.get("/").status, 200);
    assert_ne!(other.get("/").status, 200);
}

#[test]
fn a_code_needs_a_name_and_three_are_open_at_most() {
    let server = TestServer::start("codes");
    let lead = server.lead();
    let nameless = lead.post("/crew/code", &[("name", " ")]);
    assert_eq!(nameless.status, 422);
    assert!(nameless.body.contains("Type the name"), "{}", nameless.body);
    for n in 0..3 {
        let made = lead.post("/crew/code", &[("name", &format!("Hand {n}"))]);
        assert_eq!(made.status, 200, "{}", made.body);
    }
    let fourth = lead.post("/crew/code", &[("name", "Hand 4")]);
    assert_eq!(fourth.status, 422);
    assert!(
        fourth.body.contains("Three codes are open"),
        "{}",
        fourth.body
    );
    assert!(
        !lead.page("/crew").contains("Hand 4"),
        "nobody was added for it"
    );
}
