//! Pages of the checks, on the demo: all of a job, a week's, a change's, its record to print; for a guest too.

use crate::support::TestServer;

const CAUTION: &str = "Screening only. Your engineer, your building department and the hardware maker’s sheet decide.";

fn demo_job() -> String {
    format!("/jobs/{}", scantling_seed_demo::job_id())
}

const COMES_FIRST: &str = "Local code and licensed practice come first.";

/// That a page says once what comes first.
fn says_once(body: &str) {
    assert_eq!(body.matches(COMES_FIRST).count(), 1, "{body}");
}

/// The address of the page that a link with this text leads to.
fn link(body: &str, text: &str) -> String {
    let (before, _) = body
        .split_once(&format!(">{text}</a>"))
        .unwrap_or_else(|| panic!("no link {text}"));
    let (_, href) = before.rsplit_once("href=\"").unwrap();
    href.split('"').next().unwrap().to_owned()
}

#[test]
fn the_page_of_checks_shows_the_worst_change_first_and_the_load_path() {
    let server = TestServer::start_demo("checks");
    let lead = server.lead();
    let all = lead.get(&format!("{}/checks", demo_job()));
    assert_eq!(all.status, 200);
    let body = &all.body;
    assert!(body.matches(CAUTION).count() > 5);
    says_once(body);
    // The verdict's word stands before the sentence, once.
    assert!(body.contains("Can’t tell yet. </b>"), "{body}");
    assert!(!body.contains("Can’t tell yet. </b>Can’t tell"));
    for says in [
        "2 1/2 in bears, 45 %",
        "too narrow, the joist is 5/16 in thicker than its seat",
        "Every link of it is on record: Ceiling joists, Kitchen",
        "Ceiling beam passes this screen",
        "Stair beam does not pass this screen",
        "The least depth that passes this screen is",
        "IRC 2018 Table R301.5, verified",
        "Load path through Ceiling beam, roof to ground",
        "lands on Cover of the cistern, and nothing stands straight below",
        "wind, earthquake and uplift",
    ] {
        assert!(body.contains(says), "{says}");
    }
    let stop = body.find(">Stop</span>").unwrap();
    let pass = body.rfind(">Passes this check</span>").unwrap();
    assert!(stop < pass, "the worst change first");
    let week_4 = lead.get(&format!("{}/checks?week=4", demo_job()));
    assert!(!week_4.body.contains("Stair beam does not pass"));
    assert!(week_4.body.contains("Kitchen ceiling along the beam"));
}

#[test]
fn a_change_shows_its_checks_and_its_record_is_for_guests_too() {
    let mut server = TestServer::start_demo("checks-record");
    let lead = server.lead();
    let all = lead.get(&format!("{}/checks", demo_job()));
    let post = link(&all.body, "Post 2");
    let page = lead.get(&post);
    assert!(
        page.body.contains("What it lands on: Post 2"),
        "{}",
        page.body
    );
    assert!(
        page.body
            .contains("Post 2 lands, seen across what it lands on, to scale")
    );
    assert!(page.body.contains(CAUTION), "{}", page.body);
    says_once(&page.body);
    let week = lead.get(&demo_job());
    says_once(&week.body);
    assert!(week.body.contains("All checks of the week"));
    assert!(
        week.body.contains("Post 2 lands on Girder, west length"),
        "a stop stands on this week"
    );
    let guest = server.with_guests(&lead);
    let record = guest.get(&format!("{post}/record"));
    assert_eq!(record.status, 200);
    says_once(&record.body);
    for says in [
        "Post 2: record",
        "To be signed",
        "Engineer",
        "Inspector",
        "What it lands on: Post 2",
        "<details open",
        "Girder, west length: Thickness",
        CAUTION,
    ] {
        assert!(record.body.contains(says), "{says}");
    }
    assert!(!record.body.contains('$'), "no prices for a guest");
    assert_eq!(guest.get(&format!("{}/checks", demo_job())).status, 200);
    // Only a change has one.
    let wall = format!("{}/wall/{}/record", demo_job(), uuid::Uuid::nil());
    assert_eq!(guest.get(&wall).status, 404);
}
