//! Slips at the till: each phone's own, one a yard; what is taken back; what was bought twice. By the pages' own forms.
//!
//! Every figure is worked out by hand in a comment beside it. Week 1 wants 2 saw blades at 10.00 and 4 clamps at 2.50 of
//! North Yard, and 3 ropes at 5.00 of South Yard; the tax is 6.25 %.

use super::round::forms;
use super::{
    add, bare, body, count_of, entries, errors, form_around, jpeg, option, start_job, upload, value,
};
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

/// The page of an item's line: its address stands on the buy list.
fn line_of(client: &Client, job: &str, item: &str) -> String {
    let page = list(client, job);
    let at = page.find(&format!("where it comes from: {item}")).unwrap();
    let tag = &page[page[..at].rfind("<a ").unwrap()..at];
    let href = tag.split("href=\"").nth(1).unwrap();
    href.split('"').next().unwrap().to_owned()
}

/// The fields of the newest line that was booked.
fn newest(client: &Client, job: &str) -> serde_json::Value {
    let all = entries(client, job);
    let mut lines = all.iter().filter(|entry| entry["kind"] == "bought.add");
    lines.next_back().unwrap()["fields"].clone()
}

/// The forms that close a slip.
fn tills(page: &str) -> Vec<(String, Vec<(String, String)>)> {
    let all = forms(page).into_iter();
    all.filter(|(action, _)| action.ends_with("/buy-list/receipt"))
        .filter(|(_, held)| held.iter().any(|(name, _)| name == "receipt"))
        .collect()
}

/// What a form holds.
type Held<'a> = &'a [(String, String)];

/// A list that was saved before anything was ticked: all that is done on it away from the server comes later, in its order.
#[test]
fn a_slip_that_is_begun_away_from_the_server_takes_its_paper_and_its_total() {
    let server = TestServer::start("begun-away");
    let lead = server.lead();
    let job = start(&lead);
    let saved_page = forms(&list(&lead, &job));
    let of = |what: &dyn Fn(&str, Held<'_>) -> bool| {
        let found = saved_page.iter().find(|(action, held)| what(action, held));
        found.unwrap().clone()
    };
    let is = |held: Held<'_>, name: &str, text: &str| {
        held.iter().any(|(n, t)| n == name && t.contains(text))
    };
    let ticked = |item: &'static str| {
        of(&move |action, held| action.ends_with("/tick") && is(held, "item", item))
    };
    let closes = |yard: &'static str| {
        of(&move |action, held| action.ends_with("/receipt") && is(held, "supplier", yard))
    };
    let fresh = |mut held: Vec<(String, String)>| {
        // as the phone's script does, for what a saved page would repeat
        for (name, text) in &mut held {
            if matches!(name.as_str(), "op_id" | "entity_id" | "receipt_id") {
                *text = uuid::Uuid::now_v7().to_string();
            }
        }
        held
    };
    let photographs = || {
        let (action, held) =
            of(&|action, held| action.ends_with("/photo") && is(held, "supplier", "North Yard"));
        let held = fresh(held);
        let sent = body(&held, "image/jpeg", &jpeg());
        let answer = lead.send(&action, "multipart/form-data; boundary=edge", &sent);
        saved(&answer);
        value(&held, "entity_id")
    };
    for item in ["saw blade", "clamp"] {
        let (action, held) = ticked(item);
        saved(&lead.post_over(&action, fresh(held), &[]));
    }
    let first = photographs();
    // 2 × 10.00 + 4 × 2.50 = 30.00; with 6.25 % of tax 31.88.
    let (action, held) = closes("North Yard");
    let answer = lead.post_over(&action, fresh(held.clone()), &[("total", "")]);
    assert_eq!(answer.status, 422);
    assert!(errors(&answer.body).contains("Type the total"));
    let answer = lead.post_over(&action, fresh(held), &[("total", "31.88")]);
    saved(&answer);
    let receipt = answer.location.unwrap();
    // the slip is closed by now: the paper is of it all the same
    let second = photographs();
    assert_eq!(count_of(&lead, &job, "receipt.add"), 1);
    let page = lead.page(&receipt);
    assert!(page.contains("31.88"), "{page}");
    let all = entries(&lead, &job);
    for photo in [first, second] {
        let entry = all.iter().find(|entry| entry["entity_id"] == photo);
        let of = entry.unwrap()["fields"]["of"].to_string();
        let id = receipt.rsplit('/').next().unwrap();
        assert!(of.contains(id), "{of} is not {id}");
    }
    // A total alone begins a slip: of what was ticked nothing may have come yet.
    let (action, held) = closes("South Yard");
    saved(&lead.post_over(&action, fresh(held), &[("total", "15.94")]));
    assert_eq!(count_of(&lead, &job, "receipt.add"), 2);
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
    assert!(
        page.contains("Ticked $5.31, South Yard"),
        "the last ticked: {page}"
    );
    let both = tills(&page);
    assert_eq!(both.len(), 2);
    assert_eq!(count_of(&one, &job, "receipt.add"), 3);

    // A bad total is said beside its own slip, with what was typed.
    let (action, held) = both[0].clone();
    let refused = one.post_over(&action, held, &[("total", "much")]);
    assert_eq!(refused.status, 422);
    let again = tills(&refused.body);
    let typed: Vec<String> = again.iter().map(|(_, held)| value(held, "total")).collect();
    assert_eq!(typed, ["much", ""]);
    assert_eq!(value(&again[0].1, "receipt"), value(&both[0].1, "receipt"));
    // The total goes on the slip of its row, and that alone is closed.
    let (action, held) = again[0].clone();
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
    let href = line_of(&one, &job, "rope");
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

/// The address of the newest receipt.
fn receipt(client: &Client, job: &str) -> String {
    let all = entries(client, job);
    let mut added = all.iter().filter(|entry| entry["kind"] == "receipt.add");
    let id = added.next_back().unwrap()["entity_id"].as_str().unwrap();
    format!("{job}/receipt/{id}")
}

#[test]
fn a_part_of_a_line_is_bought_as_listed_at_another_price_at_another_yard() {
    let server = TestServer::start("till-part");
    let lead = server.lead();
    let job = start(&lead);
    let page = line_of(&lead, &job, "clamp");
    let (action, held) = form_around(&lead.page(&page), "id=\"listed-count\"");
    let filled = ["count", "price", "supplier"].map(|name| value(&held, name));
    assert_eq!(filled, ["4", "2.50", "North Yard"]);
    let refused = lead.post_over(&action, held.clone(), &[("count", "some")]);
    assert_eq!(refused.status, 422);
    let (_, back) = form_around(&refused.body, "id=\"listed-count\"");
    assert_eq!(value(&back, "count"), "some");
    let part = [
        ("count", "3"),
        ("price", "2.25"),
        ("supplier", "South Yard"),
    ];
    saved(&lead.post_over(&action, held, &part));
    // One is left to buy. 3 × 2.25 = 6.75, tax 0.421875: 7.17 at South Yard.
    let shown = list(&lead, &job);
    assert!(shown.contains("Ticked $7.17, South Yard"), "{shown}");
    let (action, held) = form_around(&lead.page(&page), "id=\"listed-count\"");
    assert_eq!(value(&held, "count"), "1");
    saved(&lead.post_over(&action, held, &[]));
    let settled = lead.page(&page);
    assert!(settled.contains("The list asks for no more of it."));
    assert!(!settled.contains("Bought twice?"));

    // The same 4 are bought again: 8 bought, 4 asked for.
    let (action, held) = form_around(&settled, "id=\"listed-count\"");
    saved(&lead.post_over(&action, held, &[("count", "4")]));
    let words = "Bought twice? 8 bought for this, the list asked for 4.";
    assert!(lead.page(&page).contains(words), "{}", lead.page(&page));
    assert!(list(&lead, &job).contains(words));
    // 4 go back: said no more.
    let (action, held) = form_around(&lead.page(&page), "id=\"back-count\"");
    saved(&lead.post_over(&action, held, &[("count", "4")]));
    assert!(!lead.page(&page).contains("Bought twice?"));
}

/// A total that was emptied opens the slip again; it is closed again from the list.
#[test]
fn a_slip_that_was_opened_again_is_closed_again() {
    let server = TestServer::start("till-again");
    let lead = server.lead();
    let job = start(&lead);
    tick(&lead, &job, "saw blade");
    let close = |total: &str| {
        let (action, held) = tills(&list(&lead, &job)).remove(0);
        lead.post_over(&action, held, &[("total", total)])
    };
    saved(&close("21.25"));
    let edit = format!("{}/edit", receipt(&lead, &job));
    lead.save(&edit, "edit", &[("total", "")]);
    tick(&lead, &job, "clamp");
    // 20.00 + 10.00, tax 1.875: 31.88.
    saved(&close("31.88"));
    assert_eq!(tills(&list(&lead, &job)).len(), 0);
}

#[test]
fn what_goes_back_is_of_the_weeks_of_the_line_that_brought_it() {
    let server = TestServer::start("till-weeks");
    let lead = server.lead();
    let job = start(&lead);
    tick(&lead, &job, "rope");
    // Looked at from week 2, where none is wanted.
    let page = line_of(&lead, &job, "rope").replace("week=1", "week=2");
    let (action, held) = form_around(&lead.page(&page), "id=\"back-count\"");
    assert_eq!(value(&held, "weeks"), "2");
    saved(&lead.post_over(&action, held, &[("count", "1")]));
    let line = newest(&lead, &job);
    assert_eq!(
        (&line["way"], &line["count"]),
        (&"returned".into(), &"1".into())
    );
    let weeks = |line: &serde_json::Value| line["weeks"].to_string().replace(['[', ']', '"'], "");
    assert_eq!(weeks(&line), "1");
    // More is bought for week 2: from week 1's page it is week 1's that goes back, from week 2's the newest.
    let more = [
        ("name", "More rope"),
        ("week", "2"),
        ("item", "rope"),
        ("unit", "each"),
        ("count", "5"),
    ];
    add(&lead, &job, "sundry", &more);
    let list = lead.page(&format!("{job}/buy-list?week=2"));
    let tick = forms(&list).into_iter().find(|(action, held)| {
        action.ends_with("/buy-list/tick") && value(held, "item").contains("rope")
    });
    let (action, held) = tick.unwrap();
    saved(&lead.post_over(&action, held, &[]));
    for week in ["1", "2"] {
        let page = page.replace("week=2", &format!("week={week}"));
        let (action, held) = form_around(&lead.page(&page), "id=\"back-count\"");
        saved(&lead.post_over(&action, held, &[("count", "1")]));
        assert_eq!(weeks(&newest(&lead, &job)), week);
    }
}

/// Week 1 wants 130 screws and ten sticks; two yards sell boxes of two sizes, and one of them sticks by the foot.
fn boxes(client: &Client) -> String {
    let job = start(client);
    let file = b"\
supplier,section,nominal,species,grade,length,fastener,per_pack,sold_by,price
North Yard,fastener,,,,,screw 3 in,250,box,12.00
South Yard,fastener,,,,,screw 3 in,100,box,6.50
South Yard,fastener,,,,,screw 2 in,100,box,5.00
North Yard,fastener,,,,,screw 2 in,200,box,4.50
North Yard,stick,2x4,Hem-Fir,No.2,8 ft,,,each,3.50
South Yard,stick,2x4,Hem-Fir,No.2,10 ft,,,foot,0.58
";
    let second = "0197c1f0-0000-7000-8000-000000000079";
    assert_eq!(upload(client, &job, second, file).status, 303);
    let blocks = [
        ("name", "Blocks"),
        ("week", "1"),
        ("pack", "packing"),
        ("nominal", "2x4"),
        ("count", "4"),
        ("length", "90"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
    ];
    add(client, &job, "pack", &blocks);
    job
}

#[test]
fn a_swap_and_an_extra_take_count_price_and_yard_of_the_row_that_was_chosen() {
    let server = TestServer::start("till-rows");
    let lead = server.lead();
    let job = boxes(&lead);
    let page = line_of(&lead, &job, "2×4 Hem-Fir No.2, 8 ft");
    let shown = lead.page(&page);
    let by_foot = ["10 ft", "South Yard", "$0.58 a foot"];
    let row = option(&shown, "swap-other", &by_foot).unwrap();
    let (action, held) = form_around(&shown, "id=\"swap-other\"");
    assert_eq!(value(&held, "supplier"), "North Yard", "the line's own");
    let dearer = [("other", row.as_str()), ("count", "2"), ("price", "0.60")];
    saved(&lead.post_over(&action, held, &dearer));
    // A typed price is for a foot as the row's is: 2 × 10 ft × 0.60 = 12.00, tax 0.75: 12.75 at South Yard.
    let line = newest(&lead, &job);
    assert_eq!(
        (&line["price"], &line["price_by"]),
        (&"0.60".into(), &"foot".into())
    );
    let shown = list(&lead, &job);
    assert!(shown.contains("Ticked $12.75, South Yard"), "{shown}");
    let slip = receipt(&lead, &job);
    let shown = lead.page(&slip);
    assert!(
        shown.contains("2 at $0.60 a foot, instead of 2×4 Hem-Fir No.2, 8 ft"),
        "{shown}"
    );
    assert!(!shown.contains("stick;2x4"), "no item's text is shown");

    // An extra on this slip: only South Yard's rows; the box of 100 at 5.00, not North Yard's cheaper 200.
    assert_eq!(option(&shown, "extra-item", &["North Yard"]), None);
    let row = option(&shown, "extra-item", &["screw 2 in, box of 100", "$5.00"]).unwrap();
    let (action, held) = form_around(&shown, "id=\"extra-item\"");
    saved(&lead.post_over(&action, held, &[("item", &row), ("count", "2")]));
    let line = newest(&lead, &job);
    assert_eq!(
        (&line["per"], &line["price"]),
        (&"100".into(), &"5.00".into())
    );
    // 12.00 + 10.00 = 22.00, tax 1.375, half up 1.38: 23.38.
    let shown = lead.page(&slip);
    for words in ["$22.00", "$1.38", "$23.38", "6.25 % of the lines together"] {
        assert!(shown.contains(words), "{words}: {shown}");
    }
    assert!(lead.page(&format!("{job}/receipt")).contains("$23.38"));

    // The paper says 25.00: 1.62 more.
    let (action, held) = tills(&list(&lead, &job)).remove(0);
    saved(&lead.post_over(&action, held, &[("total", "25.00")]));
    let differs = "The paper says $25.00, the lines and tax come to $23.38: $1.62 more.";
    assert!(lead.page(&slip).contains(differs));

    // The extra is taken back there, with a reason: struck, and 12.00 + 0.75 = 12.75 is left, 12.25 less than printed.
    let all = entries(&lead, &job);
    let extra = all.iter().rfind(|e| e["kind"] == "bought.add").unwrap();
    let extra = extra["entity_id"].as_str().unwrap();
    let mut all = forms(&lead.page(&slip)).into_iter();
    let back = format!("/bought/{extra}/act/reverse");
    let (action, held) = all.find(|(action, _)| action.ends_with(&back)).unwrap();
    let answer = lead.post_over(&action, held, &[("reason", "not ours")]);
    saved(&answer);
    assert_eq!(answer.location.unwrap(), format!("{slip}#bought"));
    let shown = lead.page(&slip);
    assert!(
        shown.contains("<s>screw 2 in</s>") && shown.contains("taken back"),
        "{shown}"
    );
    assert!(shown.contains("come to $12.75: $12.25 more."), "{shown}");
    let left = forms(&shown).into_iter();
    assert_eq!(
        left.filter(|(action, _)| action.ends_with("/act/reverse"))
            .count(),
        1
    );
}

#[test]
fn a_receipt_is_called_by_its_yard_and_day() {
    let server = TestServer::start("till-name");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let yard = add(&lead, &job, "supplier", &[("name", "Ferry Street Lumber")]);
    let of_yard = [("supplier", yard.as_str()), ("day", "2026-11-16")];
    let slip = add(&lead, &job, "receipt", &of_yard);
    let page = lead.page(&format!("{job}/receipt/{slip}"));
    assert!(
        page.contains("<h1>Ferry Street Lumber, Nov 16</h1>"),
        "{page}"
    );
    assert!(
        page.contains("<title>Ferry Street Lumber, Nov 16 · "),
        "{page}"
    );
    let list = bare(&lead.page(&format!("{job}/receipt")));
    assert!(list.contains("Ferry Street Lumber, Nov 16 open"), "{list}");
    // Without a yard and a day.
    let slip = add(&lead, &job, "receipt", &[("supplier", ""), ("day", "")]);
    let page = lead.page(&format!("{job}/receipt/{slip}"));
    assert!(page.contains("<h1>No supplier"), "{page}");
}
