//! Yard orders by the pages' own forms: drafted, put right, sent, come short, revised, received, called off.
//!
//! Week 1 of the house asks for 17 2×4 of 8 ft at 3.50, 10 of 10 ft at 4.60, a box of screws at 12.00 and 18 pairs of
//! wedges at 0.75, all of one yard; the arithmetic stands in `round`.

use super::house::{House, planned};
use super::money::text;
use super::round::{Filled, csv_rows, forms, lines, on_hand, on_hand_of, tick_all};
use super::yard_csv::demo;
use super::{add, bare, count_of, entries, errors, form_around, option, page_errors, value};
use crate::support::{Client, TestServer, form};

/// Drafts the order of week 1; gives its address.
fn draft(client: &Client, house: &House) -> String {
    let page = format!("{}/order?week=1", house.job);
    let held = form(&client.page(&page), "f").1;
    assert_eq!(value(&held, "weeks"), "1", "the week that was asked for");
    assert!(
        !value(&held, "supplier").is_empty(),
        "the yard of its lines"
    );
    client.save(&page, "f", &[])
}

/// The counts that a draft shows.
fn counts(held: &[(String, String)]) -> Vec<String> {
    held.iter()
        .filter(|(name, _)| name.starts_with("count."))
        .map(|(_, count)| count.clone())
        .collect()
}

/// The three papers of an order.
pub(crate) fn papers(client: &Client, order: &str) -> [String; 3] {
    ["csv", "text", "print"].map(|paper| client.page(&format!("{order}/{paper}")))
}

/// Sends the draft of week 1 as it is; gives its address.
fn sent(client: &Client, house: &House) -> String {
    let order = draft(client, house);
    assert_eq!(client.save(&order, "send", &[]), order);
    order
}

/// A job whose first week's order is sent and whose second week is bought, its receipt closed; gives its address, the
/// receipt's and the order's.
pub(crate) fn bought_and_sent(client: &Client) -> (String, String, String) {
    let house = planned(client);
    let order = sent(client, &house);
    assert!(tick_all(client, &house.job, 2) > 1);
    let page = client.page(&format!("{}/buy-list?week=2", house.job));
    let (action, held) = form_around(&page, "name=\"total\"");
    let receipt = format!("{}/receipt/{}", house.job, value(&held, "receipt"));
    let saved = client.post_over(&action, held, &[("total", "99.00")]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    (house.job, receipt, order)
}

fn still_to_buy(client: &Client, house: &House) -> Vec<(String, String)> {
    lines(&client.page(&format!("{}/buy-list?week=1", house.job)))
}

fn pairs(all: &[(&str, &str)]) -> Vec<(String, String)> {
    all.iter()
        .map(|(a, b)| ((*a).to_owned(), (*b).to_owned()))
        .collect()
}

#[expect(
    clippy::too_many_lines,
    reason = "one order, from its draft to its papers, step by step"
)]
#[test]
fn a_draft_is_added_up_and_sent_with_its_counts_put_right_and_never_changes_again() {
    let server = TestServer::start("order-send");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let list = lead.page(&format!("{job}/buy-list?week=1"));
    assert!(list.contains(&format!("href=\"{job}/order?week=1\"")));
    let order = draft(&lead, &house);
    let (action, held) = form(&lead.page(&order), "send");
    assert_eq!(counts(&held), ["17", "10", "1", "18"]);
    for paper in ["csv", "text", "print"] {
        assert_eq!(lead.get(&format!("{order}/{paper}")).status, 404, "{paper}");
    }

    // What is no count is said at its line; nothing typed is lost, nothing is sent.
    for at in 0..4 {
        let field = format!("count.{at}");
        for (text, said) in [
            ("a dozen", "at character 1 of a dozen"),
            ("-1", "at character 1"),
            ("1.5", "at character 2"),
            ("100001", "it goes from 0 to 100000"),
            ("99999999999999999999", "as in"),
        ] {
            let other = format!("count.{}", (at + 1) % 4);
            let typed = [(field.as_str(), text), (other.as_str(), "7")];
            let back = lead.post_over(&action, held.clone(), &typed);
            assert_eq!(back.status, 422, "{field} {text}");
            let place = format!("id=\"send-count-{at}-e\"");
            let from = back
                .body
                .find(&place)
                .unwrap_or_else(|| panic!("{field}: {}", back.body));
            assert!(
                errors(&back.body[from - 20..]).contains(said),
                "{field} {text}: {}",
                page_errors(&back.body)
            );
            let again = form(&back.body, "send").1;
            assert_eq!(
                (value(&again, &field), value(&again, &other)),
                (text.to_owned(), "7".to_owned())
            );
        }
    }
    let none = [
        ("count.0", "0"),
        ("count.1", ""),
        ("count.2", "0"),
        ("count.3", "0"),
    ];
    let back = lead.post_over(&action, held.clone(), &none);
    assert_eq!(back.status, 422);
    assert!(
        errors(&back.body).contains("Nothing is on the order"),
        "{}",
        page_errors(&back.body)
    );
    let odd = lead.post_over(&action, held.clone(), &[("line.0", "a few boards")]);
    assert_eq!(odd.status, 422, "{}", odd.body);

    // 59.50 + 12 × 4.60 = 55.20 + 12.00 + 13.50 = 140.20, tax 8.7625: 8.76.
    let added = lead.post_over(
        &action,
        held.clone(),
        &[("count.1", "12"), ("add_up", "yes")],
    );
    assert_eq!(added.status, 200);
    assert!(added.body.contains("$148.96 with tax"), "{}", added.body);
    assert_eq!(
        counts(&form(&added.body, "send").1),
        ["17", "12", "1", "18"]
    );
    assert_eq!(
        count_of(&lead, job, "order.send"),
        0,
        "adding up sends nothing"
    );

    // 59.50 + 11 × 4.60 = 50.60 + 12.00 + 13.50 = 135.60, tax 8.475, half up: 8.48.
    let typed = [("count.1", "11")];
    for _ in 0..2 {
        let saved = lead.post_over(&action, held.clone(), &typed);
        assert_eq!(
            saved.status,
            303,
            "pressed twice: {}",
            page_errors(&saved.body)
        );
    }
    assert_eq!(count_of(&lead, job, "order.send"), 1);
    assert!(lead.page(&order).contains("$144.08 with tax"));
    assert_eq!(still_to_buy(&lead, &house), [], "all of it is on its way");
    assert_eq!(
        lead.post_over(&action, held.clone(), &[]).status,
        422,
        "other counts are another order"
    );

    // The papers say what was sent.
    let kept = papers(&lead, &order);
    let rows = csv_rows(&kept[0]);
    let said: Vec<(&str, &str)> = rows
        .iter()
        .map(|row| (row[2].as_str(), row[5].as_str()))
        .collect();
    assert_eq!(
        said,
        [
            ("17", "59.50"),
            ("11", "50.60"),
            ("1", "12.00"),
            ("18", "13.50")
        ]
    );
    assert_eq!(rows[1][7], "24-10", "the yard's own number");
    // The week begins on October 12, the yard takes 2 days.
    assert_eq!(
        (rows[0][8].as_str(), rows[0][9].as_str()),
        ("2026-10-10", "Shore wall A")
    );
    for paper in &kept[1..] {
        assert!(
            paper.contains("North Yard") && paper.contains("$144.08"),
            "{paper}"
        );
    }
    for (paper, of) in [
        ("csv", "text/csv; charset=utf-8"),
        ("text", "text/plain; charset=utf-8"),
        ("print", "text/html; charset=utf-8"),
    ] {
        let answer = lead.get(&format!("{order}/{paper}"));
        assert_eq!(answer.header("content-type"), Some(of));
        let policy = answer.header("content-security-policy").unwrap();
        let narrow = policy.contains("default-src 'none'") && policy.ends_with("; sandbox");
        assert_eq!(narrow, paper == "print", "{paper}: {policy}");
        let named = (paper == "csv").then_some("attachment; filename=\"north-yard-week-1-r1.csv\"");
        assert_eq!(answer.header("content-disposition"), named);
    }

    // It can't be sent again, nor edited.
    let op = entries(&lead, job)
        .into_iter()
        .find(|entry| entry["kind"] == "order.send")
        .unwrap();
    assert_eq!(op["fields"]["csv"], kept[0], "the job file has the bytes");
    let line = op["fields"]["line"][0].as_str().unwrap();
    let again = [
        ("weeks", "1"),
        ("status", "sent"),
        ("sent", "2026-10-01"),
        ("line", line),
        ("csv", "other"),
    ];
    let by_act = format!("{order}/act/send");
    assert_eq!(lead.post(&by_act, &again).status, 404);
    assert_eq!(lead.get(&format!("{order}/edit")).status, 404);
    assert_eq!(lead.post(&order, &[("note", "x")]).status, 405);

    // Whatever else changes, the papers stay.
    let prices = lead.page(&format!("{job}/prices"));
    let price = prices
        .split("/price/")
        .nth(1)
        .unwrap()
        .get(..36)
        .unwrap()
        .to_owned();
    lead.save(
        &format!("{job}/price/{price}/edit"),
        "edit",
        &[("price", "99.99")],
    );
    let yards = lead.page(&format!("{job}/supplier"));
    let yard = yards
        .split("/supplier/")
        .nth(1)
        .unwrap()
        .get(..36)
        .unwrap()
        .to_owned();
    lead.save(
        &format!("{job}/supplier/{yard}/edit"),
        "edit",
        &[("name", "South Yard"), ("lead_days", "9")],
    );
    lead.save(
        &format!("{job}/shore/{}/edit", house.shore),
        "edit",
        &[("name", "Props"), ("to", "92")],
    );
    let id = job.trim_start_matches("/jobs/");
    lead.save(
        &format!("{job}/job/{id}/edit"),
        "edit",
        &[("name", "Oak Street"), ("tax", "5")],
    );
    assert_eq!(papers(&lead, &order), kept);
    lead.save(&order, "status", &[]);
    assert_eq!(papers(&lead, &order), kept);
}

#[test]
fn what_came_short_stays_ordered_or_goes_back_and_the_next_revision_brings_the_rest() {
    let server = TestServer::start("order-came");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let order = sent(&lead, &house);
    let kept = papers(&lead, &order);
    lead.save(&order, "status", &[]);
    assert!(lead.page(&order).contains("Confirmed"));

    let (action, held) = form(&lead.page(&order), "came");
    let seen: Vec<String> = (0..4)
        .map(|at| value(&held, &format!("came.{at}")))
        .collect();
    assert_eq!(
        seen,
        ["17", "10", "1", "18"],
        "filled with what is still to come"
    );
    assert_eq!(value(&held, "price.1"), "4.60");
    let good = [("came.0", "15"), ("came.3", "16"), ("rest.3", "back")];
    let mut bad = vec![("day", "yesterday"), ("total", "much"), ("total", "-5")];
    let fields: Vec<(String, String)> = (0..4)
        .map(|at| (format!("came.{at}"), format!("price.{at}")))
        .collect();
    for (came, price) in &fields {
        let (came, price) = (came.as_str(), price.as_str());
        bad.extend([
            (came, "many"),
            (came, "-1"),
            (came, "100001"),
            (price, "dear"),
            (price, "1.234"),
        ]);
    }
    for (field, text) in bad {
        let mut typed: Vec<(&str, &str)> = good
            .iter()
            .filter(|(name, _)| *name != field)
            .copied()
            .collect();
        typed.push((field, text));
        let back = lead.post_over(&action, held.clone(), &typed);
        assert_eq!(back.status, 422, "{field} {text}");
        let place = format!("id=\"came-{}-e\"", field.replace('.', "-"));
        assert!(
            back.body.contains(&place),
            "{field} {text}: {}",
            page_errors(&back.body)
        );
        let again = form(&back.body, "came").1;
        for (name, text) in typed {
            assert_eq!(value(&again, name), text, "{field}: {name}");
        }
    }
    let none = [
        ("came.0", ""),
        ("came.1", "0"),
        ("came.2", ""),
        ("came.3", ""),
    ];
    assert_eq!(lead.post_over(&action, held.clone(), &none).status, 422);
    for kind in ["receipt.add", "bought.add", "order.short"] {
        assert_eq!(count_of(&lead, job, kind), 0, "{kind}");
    }

    for _ in 0..2 {
        let saved = lead.post_over(&action, held.clone(), &good);
        assert_eq!(
            saved.status,
            303,
            "pressed twice: {}",
            page_errors(&saved.body)
        );
    }
    for (kind, n) in [
        ("receipt.add", 1),
        ("bought.add", 4),
        ("order.short", 1),
        ("order.status", 1),
    ] {
        assert_eq!(count_of(&lead, job, kind), n, "{kind}");
    }
    assert_eq!(papers(&lead, &order), kept);
    // 2 pairs of wedges went back to the list; the 2 studs are still ordered.
    assert_eq!(still_to_buy(&lead, &house), pairs(&[("2", "0.75")]));
    let page = lead.page(&order);
    assert!(page.contains("Part received"));
    assert!(
        lead.page(&format!("{job}/order"))
            .contains("1 line still to come")
    );
    // 15 × 3.50 = 52.50, 46.00, 12.00, 16 × 0.75 = 12.00: 122.50, tax 7.65625: 7.66.
    assert!(page.contains("$130.16"), "its receipt");
    // A form of before: two more phones can't book the same boards.
    let stale: Vec<(String, String)> = held
        .into_iter()
        .filter(|(name, _)| name != "receipt_id" && name != "op_id")
        .collect();
    let stale = lead.post_over(&action, stale, &[]);
    assert_eq!(stale.status, 422);
    assert!(
        errors(&stale.body).contains("booked meanwhile"),
        "{}",
        page_errors(&stale.body)
    );

    // The next revision takes over the 2 studs and asks for the 2 pairs of wedges.
    let next = lead.save(&order, "revise", &[]);
    let (_, held) = form(&lead.page(&next), "send");
    assert_eq!(counts(&held), ["2", "2"]);
    assert_eq!(lead.save(&next, "send", &[]), next);
    assert_eq!(still_to_buy(&lead, &house), []);
    let old = lead.page(&order);
    assert!(old.contains("Taken over by revision 2") && old.contains(&format!("href=\"{next}\"")));
    assert!(!old.contains("id=\"came\""), "nothing more comes with it");
    assert_eq!(papers(&lead, &order), kept);
    let kept_next = papers(&lead, &next);
    assert!(kept_next[1].contains("Revision 2"));

    assert_eq!(lead.save(&next, "came", &[("total", "9.03")]), next);
    assert!(lead.page(&next).contains("Received"));
    assert_eq!(
        count_of(&lead, job, "order.status"),
        2,
        "received, said by the form"
    );
    assert_eq!(still_to_buy(&lead, &house), []);
    let here = on_hand(&lead, job);
    // 1 + 15 + 2 studs of 8 ft; 16 + 2 pairs of wedges.
    assert_eq!(on_hand_of(&here, &["stick;2x4;", ";6144"]), "18");
    assert_eq!(on_hand_of(&here, &["wedges"]), "18");
    assert_eq!(
        (papers(&lead, &order), papers(&lead, &next)),
        (kept, kept_next)
    );
}

#[test]
fn a_change_after_it_was_sent_shows_as_a_difference_with_its_cause() {
    let server = TestServer::start("order-differs");
    let lead = server.lead();
    let house = planned(&lead);
    let order = sent(&lead, &house);
    assert!(
        !lead.page(&order).contains("id=\"revise\""),
        "the list asks for nothing else"
    );
    // R: 36 − 24 to 92 + 24 = 104 in. Studs: up(104 ÷ 16) + 1 = 8 a side, 16; 1 is on hand: 15. Wedges: 16.
    // Plates of 104 in and braces still take 10 ft. Screws: 6 × 8 + 4 × (down(56 ÷ 16) + 1) = 64 a side: 1 box.
    lead.save(
        &format!("{}/shore/{}/edit", house.job, house.shore),
        "edit",
        &[("to", "92")],
    );
    let page = lead.page(&order);
    for said in [
        "17 → 15",
        "18 → 16",
        "Shore wall A: Shoring stud",
        "9 were listed, 8 now",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    let next = lead.save(&order, "revise", &[]);
    let form: Filled = form(&lead.page(&next), "send");
    assert_eq!(counts(&form.1), ["15", "10", "1", "16"]);
    lead.save(&next, "send", &[]);
    assert_eq!(still_to_buy(&lead, &house), []);
    assert!(!lead.page(&next).contains("id=\"revise\""));
}

#[test]
fn papers_are_made_here_and_none_can_be_sent_in() {
    let server = TestServer::start("order-forged");
    let lead = server.lead();
    let house = planned(&lead);
    let order = draft(&lead, &house);
    let line = value(&form(&lead.page(&order), "send").1, "line.0");
    let forged = [
        ("weeks", "1"),
        ("status", "sent"),
        ("sent", "2026-10-01"),
        ("line", line.as_str()),
        ("csv", "forged"),
        ("text", "forged"),
        ("print", "<!DOCTYPE html><p>forged<script src=/x></script>"),
    ];
    let refused = lead.post(&format!("{order}/act/send"), &forged);
    assert_eq!(refused.status, 404);
    // Beside what its own form holds, they are not looked at either.
    let (action, held) = form(&lead.page(&order), "send");
    assert_eq!(lead.post_over(&action, held, &forged[4..]).status, 303);
    for paper in papers(&lead, &order) {
        assert!(!paper.contains("forged"), "{paper}");
    }
    assert_eq!(count_of(&lead, &house.job, "order.send"), 1);
}

#[test]
fn a_csv_that_was_sent_with_tabs_is_named_so_with_its_revision() {
    let server = TestServer::start("order-tabs");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let yards = lead.page(&format!("{job}/supplier"));
    let at = yards.find("/supplier/").unwrap() + 10;
    let yard = format!("{job}/supplier/{}", &yards[at..at + 36]);
    lead.save(
        &format!("{yard}/columns"),
        "columns",
        &[("order_separator", "tab")],
    );
    let order = sent(&lead, &house);
    // As it was sent, whatever the yard wants now.
    lead.save(
        &format!("{yard}/columns"),
        "columns",
        &[("order_separator", "comma")],
    );
    let revised = lead.post(&format!("{order}/revise"), &[]);
    let next = revised.header("location").unwrap().to_owned();
    lead.save(&next, "send", &[]);
    for (order, name, of) in [
        (
            &order,
            "north-yard-week-1-r1.tsv",
            "text/tab-separated-values; charset=utf-8",
        ),
        (&next, "north-yard-week-1-r2.csv", "text/csv; charset=utf-8"),
    ] {
        let answer = lead.get(&format!("{order}/csv"));
        let named = format!("attachment; filename=\"{name}\"");
        assert_eq!(answer.header("content-disposition"), Some(named.as_str()));
        assert_eq!(answer.header("content-type"), Some(of));
    }
}

#[test]
fn an_order_that_is_called_off_brings_its_list_back_and_is_never_sent_again() {
    let server = TestServer::start("order-off");
    let lead = server.lead();
    let house = planned(&lead);
    let before = still_to_buy(&lead, &house);
    let order = sent(&lead, &house);
    let kept = papers(&lead, &order);
    assert_eq!(lead.fill(&order, "cancel", &[("reason", "")]).status, 422);
    assert_eq!(
        lead.save(&order, "cancel", &[("reason", "yard is shut")]),
        order
    );
    assert_eq!(still_to_buy(&lead, &house), before);
    assert_eq!(papers(&lead, &order), kept);
    let page = lead.page(&order);
    assert!(page.contains("Called off"));
    for id in ["came", "revise", "send", "cancel", "status"] {
        assert!(
            forms(&page)
                .iter()
                .all(|(action, _)| !action.ends_with(&format!("/{id}"))),
            "{id}"
        );
    }

    // A draft is dropped, and can't be sent any more.
    let order = draft(&lead, &house);
    let (action, held) = form(&lead.page(&order), "send");
    lead.save(&order, "cancel", &[("reason", "wrong yard")]);
    let refused = lead.post_over(&action, held, &[]);
    assert_eq!(refused.status, 422);
    assert!(
        errors(&refused.body).contains("called off"),
        "{}",
        page_errors(&refused.body)
    );
    assert_eq!(still_to_buy(&lead, &house), before);
}

#[test]
fn orders_that_are_not_there_are_answered_with_a_page() {
    let server = TestServer::start("order-none");
    let lead = server.lead();
    let house = planned(&lead);
    let nobody = format!("{}/order/0199a3c0-0000-7000-8000-000000000000", house.job);
    for page in ["", "/csv", "/text", "/print"] {
        assert_eq!(lead.get(&format!("{nobody}{page}")).status, 404, "{page}");
    }
    for form in ["/send", "/came", "/revise"] {
        assert_eq!(
            lead.post(&format!("{nobody}{form}"), &[("count.0", "1")])
                .status,
            404,
            "{form}"
        );
    }
    let order = draft(&lead, &house);
    for form in ["/send", "/came", "/revise"] {
        let answer = lead.post(
            &format!("{order}{form}"),
            &[("open.0", "x"), ("count.0", "1")],
        );
        assert_eq!(answer.status, 422, "{form}");
        assert!(!errors(&answer.body).is_empty(), "{form}");
    }
    for query in ["week=abc", "week=0", "week=1,2", "%%%"] {
        let answer = lead.get(&format!("{}/order?{query}", house.job));
        assert!(matches!(answer.status, 200 | 400), "{query}");
    }
}

#[test]
fn a_draft_names_the_lines_of_the_list_that_are_not_on_it() {
    let server = TestServer::start("order-left");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let order = draft(&lead, &house);
    assert!(
        !lead.page(&order).contains("id=\"left\""),
        "all of it is on"
    );
    let tarp = [
        ("name", "Tarp"),
        ("week", "1"),
        ("item", "tarp"),
        ("unit", "each"),
        ("count", "2"),
    ];
    add(&lead, job, "sundry", &tarp);
    let left = |page: &str| {
        let at = page.find("id=\"left\"").unwrap();
        bare(page[at..].split("</ul>").next().unwrap())
    };
    let page = lead.page(&order);
    let said = left(&page);
    assert!(
        said.contains("not on this order 1 tarp Nobody in the price book sells it 2 each"),
        "{said}"
    );
    // A line that is put to nothing is named, too.
    let (action, held) = form(&page, "send");
    let added = lead.post_over(&action, held, &[("count.1", "0"), ("add_up", "yes")]);
    assert_eq!(added.status, 200);
    let said = left(&added.body);
    assert!(
        said.contains("2×4 Hem-Fir No.2, 10 ft Left off, or new since 10 sticks"),
        "{said}"
    );
}

#[test]
fn something_else_that_came_with_an_order_is_booked_as_a_swap_of_its_line() {
    let server = TestServer::start("order-swap");
    let lead = server.lead();
    let house = planned(&lead);
    let order = sent(&lead, &house);
    let page = lead.page(&order);
    assert!(page.contains("17 sticks still to come"), "{page}");
    let of_line = |words: &str| {
        let at = page.find(&format!("<legend>{words}</legend>")).unwrap();
        let href = page[at..].split("href=\"").nth(1).unwrap();
        let href = href.split('#').next().unwrap().replace("&amp;", "&");
        assert!(href.contains("&order="), "{href}");
        href
    };
    let studs = of_line("2×4 Hem-Fir No.2, 8 ft");
    let shown = lead.page(&studs);
    assert!(shown.contains(&format!("href=\"{order}\"")), "the way back");
    let (action, held) = form(&shown, "swap");
    assert_eq!(value(&held, "count"), "17");
    let ten = option(&shown, "swap-other", &["2×4 Hem-Fir No.2, 10 ft"]).unwrap();
    let typed = [("other", ten.as_str()), ("count", "2")];
    let saved = lead.post_over(&action, held, &typed);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!(saved.location.as_deref(), Some(order.as_str()));
    let after = bare(&lead.page(&order));
    assert!(after.contains("came 2 · to come 15"), "{after}");
    assert!(after.contains("15 sticks still to come"), "{after}");
    // 2 × 4.60 = 9.20, tax 0.575, half up: 0.58.
    assert!(after.contains("$9.78"), "its receipt: {after}");
    assert_eq!(still_to_buy(&lead, &house), [], "their pieces lie on them");

    // Too short for a plate: said first, and nothing is booked.
    let plates = of_line("2×4 Hem-Fir No.2, 10 ft");
    let shown = lead.page(&plates);
    let (action, held) = form(&shown, "swap");
    let eight = option(&shown, "swap-other", &["2×4 Hem-Fir No.2, 8 ft"]).unwrap();
    let typed = [("other", eight.as_str()), ("count", "1")];
    let refused = lead.post_over(&action, held, &typed);
    assert_eq!(refused.status, 422);
    assert!(
        errors(&refused.body).contains("it is too short for"),
        "{}",
        page_errors(&refused.body)
    );
    let (_, again) = form(&refused.body, "swap");
    assert!(order.ends_with(&value(&again, "order")));
    assert_eq!(count_of(&lead, &house.job, "bought.add"), 1);
}

#[test]
fn an_orders_history_names_its_papers_and_leaves_their_bytes_out() {
    let server = TestServer::start("order-history");
    let lead = server.lead();
    let house = planned(&lead);
    let order = sent(&lead, &house);
    let page = lead.page(&format!("{order}/history"));
    let [csv, text, print] = papers(&lead, &order);
    assert!(page.contains("Papers of revision 1"), "{page}");
    for (paper, words) in [("csv", "CSV, "), ("text", "text, "), ("print", "print, ")] {
        let link = format!("href=\"{order}/{paper}\">{words}");
        assert!(page.contains(&link), "{link}: {page}");
    }
    assert!(page.contains(" bytes</a>"), "{page}");
    // Its lines as a person reads them, without their keys.
    assert!(page.contains("<h1>History of North Yard, week 1</h1>"));
    let said = bare(&page);
    assert!(said.contains("17 × 2×4 Hem-Fir No.2, 8 ft"), "{said}");
    assert!(!said.contains("96x224"), "{said}");
    for bytes in [csv.lines().next().unwrap(), text.lines().next().unwrap()] {
        assert!(!page.contains(bytes), "{bytes}");
    }
    assert!(!page.contains("&lt;html") && print.contains("<html"));
}

#[test]
fn a_receipt_lines_form_shows_what_a_person_reads_and_keeps_the_key() {
    let server = TestServer::start("bought-words");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    tick_all(&lead, job, 1);
    let path = format!("{job}/bought");
    let page = lead.page(&path);
    let eight = option(&page, "f-item", &["2×4 Hem-Fir No.2, 8 ft"]).unwrap();
    assert!(eight.starts_with("stick;"), "{eight}");
    let (action, held) = form(&page, "f");
    let typed = [("item", eight.as_str()), ("count", "many")];
    let back = lead.post_over(&action, held, &typed);
    assert_eq!(back.status, 422);
    assert_eq!(value(&form(&back.body, "add").1, "item"), eight);
    let said = bare(&back.body);
    assert!(said.contains("2×4 Hem-Fir No.2, 8 ft"), "{said}");
    for page in [page, back.body] {
        let said = bare(&page);
        assert!(!said.contains("stick;2x4"), "{said}");
    }
}

#[test]
fn the_demo_s_order_has_its_papers_and_came_one_stick_short() {
    let server = TestServer::start_demo("demo-order");
    let lead = server.lead();
    let (job, ..) = demo(&lead);
    let list = lead.page(&format!("{job}/order"));
    let at = list.find(&format!("href=\"{job}/order/")).unwrap() + 6;
    let order = &list[at..at + list[at..].find('"').unwrap()];
    let [csv, message, print] = papers(&lead, order);
    let rows = csv_rows(&csv);
    let counts: Vec<(&str, &str)> = rows
        .iter()
        .map(|row| (row[0].as_str(), row[1].as_str()))
        .collect();
    let two_and_ones = [
        ("FR-2x8-10", "2"),
        ("FR-2x8-12", "1"),
        ("FR-4x6-8", "1"),
        ("FR-311", "1"),
        ("FR-308", "1"),
        ("FR-940", "1"),
    ];
    assert_eq!(counts, two_and_ones);
    for paper in [&message, &print] {
        assert!(paper.contains("Order to Ferry Road Yard"), "{paper}");
        assert!(paper.contains("$104.05"), "{paper}");
    }
    let said = text(&lead.page(order));
    assert!(said.contains("Revision 1 · Received · sent "), "{said}");
    assert!(said.contains("came 1 · not coming 1"), "{said}");
}
