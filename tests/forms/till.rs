//! Slips at the till: each phone's own, one a yard; what is taken back; what was bought twice. By the pages' own forms.
//!
//! Every figure is worked out by hand in a comment beside it. Week 1 wants 2 saw blades at 10.00 and 4 clamps at 2.50 of
//! North Yard, and 3 ropes at 5.00 of South Yard; the tax is 6.25 %.

use super::round::forms;
use super::{add, count_of, entries, errors, form_around, start_job, upload, value};
use crate::support::{Answer, Client, TestServer};

const UPLOAD: &str = "0197c1f0-0000-7000-8000-000000000078";
const PRICES: &[u8] = b"\
supplier,section,name,sold_by,price
North Yard,sundry,saw blade,each,10.00
North Yard,sundry,clamp,each,2.50
South Yard,sundry,rope,each,5.00
";

fn start(client: &Client) -> String {
    let job = start_job(client, "Elm Street");
    let id = job.trim_start_matches("/jobs/").to_owned();
    client.save(&format!("{job}/job/{id}/edit"), "edit", &[("tax", "6.25")]);
    for yard in ["North Yard", "South Yard"] {
        add(client, &job, "supplier", &[("name", yard)]);
    }
    assert_eq!(upload(client, &job, UPLOAD, PRICES).status, 303);
    for (item, count) in [("saw blade", "2"), ("clamp", "4"), ("rope", "3")] {
        let wanted = [
            ("name", item),
            ("week", "1"),
            ("item", item),
            ("unit", "each"),
            ("count", count),
        ];
        add(client, &job, "sundry", &wanted);
    }
    job
}

fn list(client: &Client, job: &str) -> String {
    client.page(&format!("{job}/buy-list?week=1"))
}

/// Presses the tick of an item.
fn tick(client: &Client, job: &str, item: &str) {
    let tick = forms(&list(client, job))
        .into_iter()
        .find(|(action, held)| {
            action.ends_with("/buy-list/tick") && value(held, "item").contains(item)
        });
    let (action, held) = tick.unwrap_or_else(|| panic!("no tick for {item}"));
    saved(&client.post_over(&action, held, &[]));
}

fn saved(answer: &Answer) {
    assert_eq!(answer.status, 303, "{}", errors(&answer.body));
}

/// The forms that close a slip.
fn tills(page: &str) -> Vec<(String, Vec<(String, String)>)> {
    let all = forms(page).into_iter();
    all.filter(|(action, _)| action.ends_with("/buy-list/receipt"))
        .collect()
}

#[test]
fn a_phone_closes_its_own_slips_one_by_one_and_names_the_others() {
    let server = TestServer::start("till-slips");
    let (one, two) = (server.lead(), server.lead());
    let job = start(&one);
    tick(&one, &job, "saw blade");
    tick(&two, &job, "rope");
    // 2 × 10.00 = 20.00, tax 1.25: 21.25. 3 × 5.00 = 15.00, tax 0.9375: 15.94. Never 37.19.
    let page = list(&one, &job);
    assert!(page.contains("Ticked $21.25, North Yard"), "{page}");
    assert!(!page.contains("$15.94") && !page.contains("$37.19"));
    let other = page.split("id=\"elsewhere\"").nth(1).unwrap();
    assert!(other.contains("South Yard</a> (") && other.contains("on another phone"));
    let page = list(&two, &job);
    assert!(page.contains("Ticked $15.94, South Yard"), "{page}");

    // The first phone ticks at both yards: 4 × 2.50 = 10.00 more of North Yard: 30.00 and 1.875, 31.88.
    tick(&one, &job, "clamp");
    let more = [
        ("item", "sundry;rope;each"),
        ("weeks", "1"),
        ("count", "1"),
        ("price", "5.00"),
        ("supplier", "South Yard"),
    ];
    saved(&one.post(&format!("{job}/buy-list/tick"), &more));
    // 5.00 and 0.3125: 5.31.
    let page = list(&one, &job);
    assert!(page.contains("North Yard</b> · ticked $31.88"), "{page}");
    assert!(page.contains("South Yard</b> · ticked $5.31"), "{page}");
    let both = tills(&page);
    assert_eq!(both.len(), 2);
    assert_eq!(count_of(&one, &job, "receipt.add"), 3);

    // A bad total is said beside its own slip, with what was typed.
    let (action, held) = both[1].clone();
    let refused = one.post_over(&action, held, &[("total", "much")]);
    assert_eq!(refused.status, 422);
    let again = tills(&refused.body);
    let typed: Vec<String> = again.iter().map(|(_, held)| value(held, "total")).collect();
    assert_eq!(typed, ["", "much"]);
    assert_eq!(value(&again[1].1, "receipt"), value(&both[1].1, "receipt"));
    // The total goes on the slip of its row, and that alone is closed.
    let (action, held) = again[1].clone();
    let closed = one.post_over(&action, held.clone(), &[("total", "31.88")]);
    saved(&closed);
    let all = entries(&one, &job);
    let edits: Vec<_> = all.iter().filter(|e| e["kind"] == "receipt.edit").collect();
    assert_eq!(edits.len(), 1);
    assert_eq!(edits[0]["entity_id"], value(&held, "receipt").as_str());
    let page = list(&one, &job);
    assert!(page.contains("Ticked $5.31, South Yard"), "{page}");
    assert_eq!(tills(&list(&two, &job)).len(), 1);
}

#[test]
fn a_refused_tick_is_said_at_the_top_and_not_in_the_total() {
    let server = TestServer::start("till-refused");
    let lead = server.lead();
    let job = start(&lead);
    tick(&lead, &job, "clamp");
    let bad = [
        ("item", "sundry;rope;each"),
        ("weeks", "1"),
        ("count", "0"),
        ("price", "5.00"),
    ];
    let refused = lead.post(&format!("{job}/buy-list/tick"), &bad);
    assert_eq!(refused.status, 422);
    assert!(
        errors(&refused.body).starts_with("Not booked: rope."),
        "{}",
        errors(&refused.body)
    );
    assert!(!refused.body.contains("aria-invalid"), "the total is fine");
}

/// The form behind a pressed tick of an item, if there is one.
fn untick(page: &str, item: &str) -> Option<(String, Vec<(String, String)>)> {
    let row = page.split("<li id=").find(|row| row.contains(item))?;
    let mut all = forms(row).into_iter();
    all.find(|(action, _)| action.ends_with("/act/reverse"))
}

#[test]
fn a_tick_pressed_again_takes_back_what_this_phone_bought_and_no_return() {
    let server = TestServer::start("till-untick");
    let (one, two) = (server.lead(), server.lead());
    let job = start(&one);
    let book = |client: &Client, count: &str| {
        let line = [
            ("item", "sundry;rope;each"),
            ("weeks", "1"),
            ("count", count),
            ("price", "5.00"),
            ("supplier", "South Yard"),
        ];
        saved(&client.post(&format!("{job}/buy-list/tick"), &line));
    };
    // One phone buys 4, the other 1 more; 1 goes back: 4 are here, 3 are wanted.
    book(&one, "4");
    book(&two, "1");
    let line = list(&one, &job);
    let at = line.find("where it comes from: rope").unwrap();
    let tag = &line[line[..at].rfind("<a ").unwrap()..at];
    let href = tag.split("href=\"").nth(1).unwrap();
    let href = href.split('"').next().unwrap().to_owned();
    let (action, held) = form_around(&one.page(&href), "id=\"back-count\"");
    saved(&one.post_over(&action, held, &[("count", "1")]));

    let all = entries(&one, &job);
    let id_of = |count: &str, returned: bool| {
        let found = all.iter().find(|entry| {
            entry["kind"] == "bought.add"
                && entry["fields"]["count"] == count
                && (entry["fields"]["way"] == "returned") == returned
        });
        found.unwrap()["entity_id"].as_str().unwrap().to_owned()
    };
    let (first, second) = (id_of("4", false), id_of("1", false));
    let (action, _) = untick(&list(&one, &job), "rope").unwrap();
    assert!(action.contains(&first), "its own, not the newest: {action}");
    let (action, _) = untick(&list(&two, &job), "rope").unwrap();
    assert!(action.contains(&second), "{action}");

    // With both slips closed the list takes nothing back; it leads to the line.
    for client in [&one, &two] {
        let (action, held) = tills(&list(client, &job)).remove(0);
        saved(&client.post_over(&action, held, &[("total", "15.94")]));
    }
    let page = list(&one, &job);
    assert_eq!(untick(&page, "rope"), None);
    assert!(page.contains(&format!("class=\"tick got\" href=\"{href}#receipts\"")));
    assert!(one.page(&href).contains("id=\"receipts\""));
}
