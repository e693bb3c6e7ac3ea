//! Hold points by their own pages: what is held, signed off, skipped, and what a form that saw something else comes to.

use scantling_takeoff::record::choices::PLACES;

use super::house::reading;
use super::round::forms;
use super::{add, count_of, entries, errors, form_around, page_errors, start_job, value};
use crate::support::{Client, TestServer, form};

/// Every address of a page that holds this.
fn hrefs(page: &str, part: &str) -> Vec<String> {
    let all = page.split("href=\"").skip(1);
    let mut found: Vec<String> = all
        .map(|rest| rest.split('"').next().unwrap().replace("&amp;", "&"))
        .filter(|href| href.contains(part))
        .map(|href| href.split('#').next().unwrap().to_owned())
        .collect();
    found.dedup();
    found
}

/// The words that a page has to be ticked.
fn ticks(page: &str) -> Vec<String> {
    let all = page.split("name=\"seen\" value=\"").skip(1);
    all.map(|rest| rest.split('"').next().unwrap().to_owned())
        .collect()
}

/// Signs a hold point's page off as it stands; says whether it could be.
fn sign(client: &Client, page: &str) -> bool {
    let page = client.page(page);
    if !page.contains("id=\"hold\" data-kind") && !page.contains("data-kind=\"hold.release\"") {
        return false;
    }
    let (action, held) = form_around(&page, "id=\"hold-note\"");
    let ticks = ticks(&page);
    let seen: Vec<(&str, &str)> = ticks.iter().map(|tick| ("seen", tick.as_str())).collect();
    let answer = client.post_over(&action, held, &seen);
    assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
    true
}

/// Skips what a hold point's page offers to skip.
fn skip_all(client: &Client, page: &str) {
    for skip in hrefs(&client.page(page), "/skip?") {
        client.save(&skip, "f", &[("reason", "Said by word of mouth")]);
    }
}

/// The engineer's word on a shore whose floor the record doesn't tell enough of.
fn engineer_on_shore(client: &Client, job: &str, shore: &str) {
    let fields = [
        ("of", shore),
        ("about", "engineer"),
        ("says", "in_hand"),
        ("who", "The engineer"),
    ];
    add(client, job, "word", &fields);
}

/// Does all that a lead can do for the hold points of a change: skips what may be skipped, and signs off.
pub(super) fn sign_all(client: &Client, change: &str) {
    let asks = "nor is the engineer’s word on record";
    if let Some((job, shore)) = change.split_once("/shore/")
        && client.page(&format!("{change}/hold/start")).contains(asks)
    {
        engineer_on_shore(client, job, shore);
    }
    for hold in hrefs(&client.page(change), "/hold/") {
        skip_all(client, &hold);
        sign(client, &hold);
    }
}

/// Reads each height beside a shore again under load, as most of those before it say; where there is none before, 96 in.
pub(super) fn read_heights(client: &Client, job: &str, shore: &str) {
    let all = entries(client, job);
    let says = |entry: &serde_json::Value, field: &str, text: &str| {
        entry["fields"][field].as_str().unwrap_or("") == text
    };
    let added = all.iter().find(|entry| entry["entity_id"] == shore);
    let wall = added.unwrap()["fields"]["wall"].as_str().unwrap();
    for side in ["a", "b"] {
        for place in PLACES.iter().copied() {
            let read = |of: &str, what: &str| -> Vec<String> {
                all.iter()
                    .filter(|entry| entry["kind"] == "reading.add")
                    .filter(|entry| says(entry, "of", of) && says(entry, "what", what))
                    .filter(|entry| says(entry, "side", side) && says(entry, "place", place))
                    .map(|entry| entry["fields"]["raw"].as_str().unwrap().to_owned())
                    .collect()
            };
            if !read(shore, "under_load").is_empty() {
                continue;
            }
            let before = read(wall, "ceiling_height");
            let often = |raw: &&String| before.iter().filter(|one| one == raw).count();
            let raw = before.iter().max_by_key(often).map_or("96", |raw| &raw[..]);
            let spot = [("side", side), ("place", place), ("raw", raw)];
            let of = |what| [&[("what", what)][..], &spot].concat();
            if before.is_empty() {
                reading(client, job, wall, &of("ceiling_height"));
            }
            reading(client, job, shore, &of("under_load"));
        }
    }
}

/// A wall that carries, with its shore and its take-out, nothing signed off: job, wall, shore, take-out.
fn walled(client: &Client) -> (String, String, String, String) {
    let job = start_job(client, "Elm Street");
    let wall = add(
        client,
        &job,
        "wall",
        &[
            ("name", "Wall A"),
            ("bearing", "yes"),
            ("electric", "safe"),
            ("water", "none"),
            ("gas", "none"),
            ("duct", "none"),
        ],
    );
    let shore = [
        ("name", "Shore it"),
        ("week", "1"),
        ("wall", wall.as_str()),
        ("sides", "both"),
        ("stands_on", "ground"),
    ];
    let shore = add(client, &job, "shore", &shore);
    let out = [
        ("name", "Take it out"),
        ("week", "1"),
        ("wall", wall.as_str()),
    ];
    let out = add(client, &job, "take_out", &out);
    (job, wall, shore, out)
}

/// Sends the form of a page that marks something done or struck: it is held, and says by what.
fn is_held(client: &Client, page: &str, by: &str) {
    let (action, fields) = form_around(&client.page(page), "id=\"done-note\"");
    let held = client.post_over(&action, fields, &[]);
    assert_eq!(held.status, 422);
    let said = errors(&held.body);
    assert!(said.contains(by), "{said}");
}

#[test]
fn a_cut_is_held_on_every_way_until_its_shore_stands_and_the_lead_signs_off() {
    let server = TestServer::start("holds-way");
    let lead = server.lead();
    let (job, _, stands, out) = walled(&lead);
    let (shore, out) = (
        format!("{job}/shore/{stands}"),
        format!("{job}/take_out/{out}"),
    );
    let page = lead.page(&out);
    assert!(page.contains("Can’t be started yet."), "{page}");
    assert!(!page.contains("id=\"to-under_way\""), "no way to start it");

    // The forms themselves, sent by hand.
    let state = format!("{out}/act/state");
    let held = lead.post(&state, &[("state", "under_way")]);
    assert_eq!(held.status, 422);
    assert!(
        errors(&held.body).contains("Take it out is held."),
        "{}",
        errors(&held.body)
    );
    is_held(&lead, &format!("{out}/done"), "First cut");

    // Finish and start can be signed off; the cut can't, and shoring is never skipped.
    sign_all(&lead, &out);
    assert!(lead.page(&out).contains("id=\"to-under_way\""));
    lead.save(&out, "to-under_way", &[]);
    let cut = format!("{out}/hold/first_cut");
    let page = lead.page(&cut);
    assert!(page.contains("Shore it does not stand yet"), "{page}");
    assert!(hrefs(&page, "condition=shoring").is_empty());
    assert!(!sign(&lead, &cut), "held");

    sign_all(&lead, &shore);
    let (action, fields) = form_around(&lead.page(&format!("{shore}/done")), "id=\"done-note\"");
    assert_eq!(lead.post_over(&action, fields, &[]).status, 303);
    assert!(lead.page(&job).contains("store nothing on its floors"));
    skip_all(&lead, &cut);
    assert!(sign(&lead, &cut));
    // The next cut waits for the heights under load.
    is_held(&lead, &format!("{out}/done"), "no height to go by");
    read_heights(&lead, &job, &stands);
    let (action, fields) = form_around(&lead.page(&format!("{out}/done")), "id=\"done-note\"");
    assert_eq!(lead.post_over(&action, fields, &[]).status, 303);

    // What is struck is asked again.
    is_held(&lead, &format!("{shore}/struck"), "Struck");
}

#[test]
fn a_form_opened_before_something_changed_does_not_sign_off_and_says_what_differs() {
    let server = TestServer::start("holds-stale");
    let lead = server.lead();
    let (job, wall, _, out) = walled(&lead);
    let start = format!("{job}/take_out/{out}/hold/start");
    let (action, held) = form_around(&lead.page(&start), "id=\"hold-note\"");
    lead.save(
        &format!("{job}/wall/{wall}/edit"),
        "edit",
        &[("bearing_why", "Joists lap on it")],
    );
    let answer = lead.post_over(&action, held.clone(), &[("note", "Go ahead")]);
    assert_eq!(answer.status, 422, "{}", answer.body);
    let said = errors(&answer.body);
    assert!(
        said.contains("Not signed off: this is not as it was seen."),
        "{said}"
    );
    assert!(said.contains("Joists lap on it"), "{said}");
    let (_, again) = form_around(&answer.body, "id=\"hold-note\"");
    assert_eq!(value(&again, "note"), "Go ahead");
    assert_ne!(value(&again, "op_id"), value(&held, "op_id"));
    let holds = lead.page(&format!("{job}/holds"));
    assert!(holds.contains("Did not count"), "{holds}");
    assert!(sign(&lead, &start), "as it stands now");
    let page = lead.page(&start);
    assert!(page.contains("Signed off"), "{page}");

    // A job file brings it back as it was: one that counts, one that doesn't.
    assert_eq!(count_of(&lead, &job, "hold.release"), 2);
    let releases = entries(&lead, &job);
    let all: Vec<_> = releases
        .iter()
        .filter(|e| e["kind"] == "hold.release")
        .collect();
    assert_ne!(all[0]["base"], all[1]["base"]);
}

#[test]
fn a_sign_off_is_taken_back_and_a_paper_that_is_withdrawn_reopens() {
    let server = TestServer::start("holds-back");
    let lead = server.lead();
    let (job, _, _, out) = walled(&lead);
    let out = format!("{job}/take_out/{out}");
    let finish = format!("{out}/hold/break_finish");
    let paper = |about: &str| {
        let of = job.trim_start_matches("/jobs/");
        let fields = [
            ("of", of),
            ("about", about),
            ("says", "not_there"),
            ("who", "Lab"),
        ];
        add(&lead, &job, "word", &fields)
    };
    paper("lead_paint");
    let asbestos = paper("asbestos");
    assert!(sign(&lead, &finish));
    lead.save(
        &format!("{job}/word/{asbestos}"),
        "remove",
        &[("reason", "Wrong house")],
    );
    let page = lead.page(&finish);
    assert!(page.contains("Reopened: stop"), "{page}");
    paper("asbestos");
    assert!(sign(&lead, &finish));
    lead.save(&finish, "undo", &[("reason", "Too early")]);
    assert!(lead.page(&finish).contains("Not signed off yet"));
}

#[test]
fn only_the_lead_signs_off_and_what_must_be_seen_is_ticked() {
    let mut server = TestServer::start("holds-role");
    let lead = server.lead();
    let (job, wall, _, out) = walled(&lead);
    let beam = [
        ("name", "Beam"),
        ("week", "1"),
        ("wall", wall.as_str()),
        ("nominal", "2x10"),
        ("plies", "3"),
    ];
    let beam = add(&lead, &job, "set_beam", &beam);
    let raised = format!("{job}/set_beam/{beam}/hold/raised");
    let (action, held) = form_around(&lead.page(&raised), "id=\"hold-note\"");
    let answer = lead.post_over(&action, held, &[]);
    assert_eq!(answer.status, 422);
    assert!(
        errors(&answer.body).contains("Not ticked: People enough"),
        "{}",
        errors(&answer.body)
    );

    let start = format!("{job}/take_out/{out}/hold/start");
    let (action, held) = form_around(&lead.page(&start), "id=\"hold-note\"");
    let crew = server.with_all_as(scantling_takeoff::record::Role::Crew, &lead);
    let page = crew.page(&start);
    assert!(
        forms(&page)
            .iter()
            .all(|(action, _)| !action.ends_with("/hold")),
        "{page}"
    );
    let answer = crew.post_over(&action, held, &[]);
    assert_eq!(answer.status, 422);
    assert!(
        answer.body.contains("Only a lead can do this"),
        "{}",
        errors(&answer.body)
    );
    let guest = server.with_guests(&crew);
    assert!(guest.page(&start).contains("What must stand"));
    assert!(guest.page(&format!("{job}/holds")).contains("Hold points"));
}

#[test]
fn a_word_says_only_what_one_about_this_can_say() {
    let server = TestServer::start("holds-word");
    let lead = server.lead();
    let (job, ..) = walled(&lead);
    let (action, held) = form(&lead.page(&format!("{job}/word")), "f");
    let of = job.trim_start_matches("/jobs/");
    let typed = [
        ("of", of),
        ("about", "permit"),
        ("says", "not_there"),
        ("who", "Ann"),
    ];
    let answer = lead.post_over(&action, held, &typed);
    assert_eq!(answer.status, 422);
    let said = errors(&answer.body);
    assert!(
        said.contains("choose “In hand, on paper” or “None required here” for this"),
        "{said}"
    );
}
