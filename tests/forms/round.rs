//! One house through the weekly round, by the pages' own forms: record, plan, look, buy, do.
//!
//! Every figure is worked out by hand in a comment beside it. The house stands in `house`.

use std::collections::BTreeMap;

use super::house::{planned, reading};
use super::{bare, count_of, errors, form_around, page_errors, value};
use crate::support::{Client, TestServer, form, read_form};

pub(super) type Filled = (String, Vec<(String, String)>);

/// Every form of a page.
pub(super) fn forms(page: &str) -> Vec<Filled> {
    page.split("<form")
        .skip(1)
        .map(|rest| read_form(&format!("<form{}", rest.split("</form>").next().unwrap())))
        .collect()
}

/// The form in which a page asks for a reading of a thing, if it does.
fn asked(page: &str, of: &str, what: &str) -> Option<Filled> {
    let says = |held: &[(String, String)], name: &str, text: &str| {
        held.iter().any(|(n, t)| n == name && t == text)
    };
    forms(page)
        .into_iter()
        .find(|(_, held)| says(held, "of", of) && says(held, "what", what) && says(held, "raw", ""))
}

/// What a materials page needs: how many of what, in its order.
fn needs(page: &str) -> Vec<String> {
    page.split("<summary class=\"need\">")
        .skip(1)
        .map(|rest| {
            let summary = rest.split("</summary>").next().unwrap();
            bare(summary).replace("&quot;", "\"")
        })
        .collect()
}

/// What a buy list ticks: count and price of each line, as its forms hold them.
pub(super) fn lines(page: &str) -> Vec<(String, String)> {
    let mut all: Vec<(String, String)> = forms(page)
        .iter()
        .filter(|(action, _)| action.ends_with("/buy-list/tick"))
        .map(|(_, held)| (value(held, "count"), value(held, "price")))
        .collect();
    all.sort();
    all
}

/// Presses every tick of a week, one after another.
pub(super) fn tick_all(client: &Client, job: &str, week: u32) -> usize {
    let page = format!("{job}/buy-list?week={week}");
    for ticked in 0..50 {
        let next = forms(&client.page(&page))
            .into_iter()
            .find(|(action, _)| action.ends_with("/buy-list/tick"));
        let Some((action, held)) = next else {
            return ticked;
        };
        let answer = client.post_over(&action, held, &[]);
        assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
    }
    panic!("more than 50 lines in week {week}");
}

/// What the page of on-hand things says: item → how many.
pub(super) fn on_hand(client: &Client, job: &str) -> BTreeMap<String, String> {
    forms(&client.page(&format!("{job}/on-hand")))
        .iter()
        .filter(|(action, _)| action.ends_with("/act/count"))
        .map(|(_, held)| (value(held, "item"), value(held, "saw")))
        .collect()
}

pub(super) fn on_hand_of(all: &BTreeMap<String, String>, words: &[&str]) -> String {
    let found: Vec<_> = all
        .iter()
        .filter(|(item, _)| words.iter().all(|word| item.contains(word)))
        .collect();
    assert!(found.len() <= 1, "{words:?}: {found:?}");
    found.first().map_or("0".to_owned(), |(_, n)| (*n).clone())
}

pub(super) fn csv_rows(text: &str) -> Vec<Vec<String>> {
    csv::Reader::from_reader(text.as_bytes())
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect()
}

/// `12.50` in cents.
fn cents(text: &str) -> i64 {
    text.replace('.', "").parse().unwrap()
}

#[test]
fn a_reading_that_is_missing_single_or_disputed_is_asked_for_on_this_week_and_saved_there() {
    let server = TestServer::start("round-readings");
    let lead = server.lead();
    let house = planned(&lead);
    let week_2 = format!("{}?week=2", house.job);
    let page = lead.page(&week_2);
    let [first, second] = &house.posts;
    assert!(
        asked(&page, first, "landing_to_seat").is_none(),
        "read twice"
    );

    // Missing: asked for, and saved there.
    let (action, held) = asked(&page, second, "landing_to_seat").expect("post 2 waits");
    let answer = lead.post_over(&action, held.clone(), &[("raw", "84 1/x")]);
    assert_eq!(answer.status, 422);
    assert!(
        errors(&answer.body).contains("at character 6"),
        "{}",
        page_errors(&answer.body)
    );
    let answer = lead.post_over(&action, held, &[("raw", "84 1/8")]);
    assert_eq!(answer.status, 303);
    let to = answer.location.unwrap();
    assert!(to.starts_with(&house.job), "{to}");
    let back = to.split('#').next().unwrap();
    assert!(lead.page(back).contains("84 1/8"), "it is read back");

    // Single: asked for again.
    let page = lead.page(&week_2);
    let again = asked(&page, second, "landing_to_seat").expect("one reading alone is not cut by");
    assert!(asked(&page, &house.jacks, "plate_to_plate").is_some());
    assert!(
        asked(&page, &house.beam, "clear_between_posts").is_none(),
        "confirmed"
    );
    assert_eq!(
        lead.post_over(&again.0, again.1, &[("raw", "84 3/16")])
            .status,
        303
    );
    // 84 1/8 and 84 3/16 differ by 1/16: agreed.
    assert!(asked(&lead.page(&week_2), second, "landing_to_seat").is_none());

    // Disputed: both figures are named, and the jacks are not to be cut.
    reading(
        &lead,
        &house.job,
        &house.jacks,
        &[("what", "plate_to_plate"), ("raw", "83")],
    );
    let page = lead.page(&week_2);
    let disputed = asked(&page, &house.jacks, "plate_to_plate").expect("asked for a third time");
    assert!(page.contains("83 and 81 1/2"), "both figures");
    let cut = lead.page(&format!("{}/cut-list?week=2", house.job));
    assert!(cut.contains("measure"), "no length to cut the jacks by");
    assert_eq!(
        lead.post_over(&disputed.0, disputed.1, &[("raw", "81 1/2")])
            .status,
        303
    );
    let page = lead.page(&week_2);
    assert!(
        asked(&page, &house.jacks, "plate_to_plate").is_none(),
        "the newest agrees with another"
    );
}

#[test]
fn materials_show_what_a_carpenter_counts() {
    let server = TestServer::start("round-materials");
    let lead = server.lead();
    let house = planned(&lead);
    let page = lead.page(&format!("{}/materials?week=1", house.job));
    let found = needs(&page);
    let has = |found: &[String], count: &str, title: &str| {
        let start = format!("{count} {title}");
        assert!(
            found.iter().any(|line| line.starts_with(&start)),
            "{start}: {found:#?}"
        );
    };
    // R: 36 − 24 to 108 + 24 = 120 in. Studs: up(120 ÷ 16) + 1 = 9 a side, a pair of wedges each.
    // Plates: 1 bottom and 2 top, 120 in, under the longest stick: 3 a side. Braces: 2 a side.
    // Screws: 6 × 9 + 2 × 2 × (down(72 ÷ 16) + 1) = 54 + 20 = 74 a side.
    for side in ["Dining room side", "other side"] {
        has(&found, "9", &format!("Pair of wedges, {side}"));
        has(&found, "9", &format!("Shoring stud, {side}"));
        has(&found, "3", &format!("Shoring plate, {side}"));
        has(&found, "2", &format!("Brace, {side}"));
        has(&found, "74", &format!("Screw, shoring, {side}"));
    }
    // Dining room: 96 and 95 15/16 agree, the newest counts: 95 15/16 − 1 1/2 − 3 − 1/4 = 91 3/16 in. Its brace:
    // √(72² + 95 15/16²) = 119.95, up to 1/8: 120 in.
    // Other side: 95 3/4 − 1 1/2 − 3 − 1/4 = 91 in. Its brace: √(72² + 95 3/4²) = 119.80, up to 1/8: 119 7/8 in.
    let line = |title: &str| {
        found
            .iter()
            .find(|line| line.contains(title))
            .unwrap_or_else(|| panic!("{title}: {found:#?}"))
    };
    for (title, length) in [
        ("Shoring stud, Dining room side", "7' 7 3/16\""),
        ("Shoring stud, other side", "7' 7\""),
        ("Brace, Dining room side", "10'"),
        ("Brace, other side", "9' 11 7/8\""),
        ("Shoring plate, other side", "10'"),
    ] {
        assert!(line(title).contains(length), "{length}: {}", line(title));
    }

    let page = lead.page(&format!("{}/materials?week=2", house.job));
    let found = needs(&page);
    // Beam: 65 + 3 1/2 + 3 1/2 = 72 in, 3 plies. Nails a ply joint: 2 × (up(72 ÷ 32) − 1) + 2 × 2 = 8; two joints: 16.
    has(&found, "3", "Beam ply, 2×10");
    has(&found, "16", "Nail between the plies");
    // Post 1: 84 + 1/8 driven in = 84 1/8 in. Post 2 waits. Toe nails: 2 ends × 4 each.
    has(&found, "1", "Post 1, 4×4");
    assert!(!found.iter().any(|line| line.starts_with("1 Post 2")));
    assert_eq!(
        found
            .iter()
            .filter(|line| line.starts_with("8 Nail"))
            .count(),
        2
    );
    // Joists: near faces at 8, 24, 40 … 136. Wholly within 36 to 108: 40, 56, 72, 88 and 104 (to 105 3/4): 5 hangers,
    // each with 8 + 4 nails: 60.
    has(&found, "5", "Joist hanger, Hanger, 2x6 old");
    has(&found, "60", "Hanger fastener");
    // Jacks: 2. Toe nails 2 × 2 ends × 4 = 16. To the king: 2 × (up(81 1/2 ÷ 24) + 1) = 10.
    has(&found, "2", "Jack");
    assert!(
        found.iter().any(|line| line.starts_with("10 Nail")),
        "{found:#?}"
    );
    has(&found, "2", "dust mask");
}

#[test]
fn a_list_is_bought_booked_done_and_undone_and_its_paper_says_the_same() {
    let server = TestServer::start("round-buy");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let list = format!("{job}/buy-list?week=1");
    let page = lead.page(&list);
    // 18 studs, each its own stick of 8 ft; 1 is on hand: 17 at 3.50 = 59.50.
    // 6 plates and 4 braces of about 10 ft, each its own stick: 10 at 4.60 = 46.00.
    // Screws: 148 × 1.05 = 155.4, up: 156: 1 box of 250 at 12.00. Wedges: 18 at 0.75 = 13.50. In all 131.00.
    let expected = [
        ("1", "12.00"),
        ("10", "4.60"),
        ("17", "3.50"),
        ("18", "0.75"),
    ];
    let expected: Vec<(String, String)> = expected
        .iter()
        .map(|(n, price)| ((*n).to_owned(), (*price).to_owned()))
        .collect();
    assert_eq!(lines(&page), expected);
    // Tax: 131.00 × 6.25 % = 8.1875, half up: 8.19.
    assert!(page.contains("$139.19"), "with tax");

    let paper = lead.get(&format!("{job}/buy-list.csv?week=1"));
    assert_eq!(
        paper.header("content-type"),
        Some("text/csv; charset=utf-8")
    );
    assert!(
        paper
            .header("content-disposition")
            .unwrap()
            .contains("attachment")
    );
    let rows = csv_rows(&paper.body);
    let mut of_csv: Vec<(String, String)> = rows
        .iter()
        .map(|row| (row[2].clone(), row[4].clone()))
        .collect();
    of_csv.sort();
    assert_eq!(of_csv, expected, "the same as the page");
    for row in &rows {
        let quantity: i64 = row[2].parse().unwrap();
        assert_eq!(quantity * cents(&row[4]), cents(&row[5]), "{row:?}");
        assert_eq!(row[6], "North Yard");
        assert_eq!(row[8], "2026-10-10", "two days before Monday the 12th");
        assert_eq!(row[9], "Shore wall A");
    }
    assert_eq!(rows.iter().map(|row| cents(&row[5])).sum::<i64>(), 13_100);
    let text = lead.page(&format!("{job}/buy-list.txt?week=1"));
    let print = lead.page(&format!("{job}/buy-list/print?week=1"));
    for row in &rows {
        for paper in [&text, &print] {
            assert!(paper.contains(&row[1]), "{} in {paper}", row[1]);
            assert!(
                paper.contains(&format!("${}", row[5])),
                "{} in {paper}",
                row[5]
            );
        }
    }

    assert_eq!(tick_all(&lead, job, 1), 4);
    let page = lead.page(&list);
    let (action, held) = form_around(&page, "name=\"total\"");
    let closed = lead.post_over(&action, held, &[("total", "139.19")]);
    assert_eq!(closed.status, 303);
    assert!(lead.page(&closed.location.unwrap()).contains("139.19"));
    let page = lead.page(&list);
    assert_eq!(lines(&page), []);
    assert!(!page.contains("name=\"total\""), "no receipt is open");
    assert_eq!(
        csv_rows(&lead.page(&format!("{job}/buy-list.csv?week=1"))).len(),
        0
    );

    // 8 ft in 1/64 in.
    let eight = ["stick;2x4;", ";6144"];
    let here = on_hand(&lead, job);
    assert_eq!(on_hand_of(&here, &eight), "18", "{here:?}");
    assert_eq!(on_hand_of(&here, &["screw 3 in"]), "250");
    assert_eq!(on_hand_of(&here, &["wedges"]), "18");

    // Done: every stick is used up, 250 − 156 = 94 screws stay.
    let done = format!("{job}/shore/{}/done", house.shore);
    let (action, held) = form_around(&lead.page(&done), "id=\"done-note\"");
    assert_eq!(held.iter().filter(|(name, _)| name == "stick").count(), 28);
    for _ in 0..2 {
        let saved = lead.post_over(&action, held.clone(), &[]);
        assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    }
    let after = on_hand(&lead, job);
    assert_eq!(on_hand_of(&after, &eight), "0");
    assert_eq!(on_hand_of(&after, &["screw 3 in"]), "94");
    assert_eq!(on_hand_of(&after, &["wedges"]), "0");
    assert_eq!(
        lines(&lead.page(&list)),
        [],
        "nothing is to be bought for it again"
    );

    lead.save(&format!("{job}/shore/{}", house.shore), "undo", &[]);
    assert_eq!(on_hand(&lead, job), here, "as it was");

    // Counted by hand: what was bought has no thing of its own, its count is saved all the same.
    let (action, held) = forms(&lead.page(&format!("{job}/on-hand")))
        .into_iter()
        .find(|(_, held)| {
            held.iter()
                .any(|(n, t)| n == "item" && t.contains("screw 3 in"))
        })
        .unwrap();
    let refused = lead.post_over(&action, held.clone(), &[("counted", "many")]);
    assert_eq!(refused.status, 422);
    assert_eq!(
        value(&form(&refused.body, "act").1, "item"),
        value(&held, "item")
    );
    let counted = [("counted", "240"), ("reason", "some bent")];
    let saved = lead.post_over(&action, held, &counted);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!(on_hand_of(&on_hand(&lead, job), &["screw 3 in"]), "240");
}

#[test]
fn the_second_week_is_priced_as_the_yard_sells_it() {
    let server = TestServer::start("round-two");
    let lead = server.lead();
    let house = planned(&lead);
    for raw in ["84", "84"] {
        let typed = [("what", "landing_to_seat"), ("raw", raw)];
        reading(&lead, &house.job, &house.posts[1], &typed);
    }
    // Jacks 2 × 8 ft at 3.50; plies 3 × 8 ft at 15.00 (two of 72 in and a kerf don't fit 12 ft); posts 2 at 12.00;
    // a pound each of 20d (17), 8d (34), 16d (11), 10d (63 of 63.5); 5 hangers at 1.89; 2 boxes of masks at 9.99.
    let mut expected: Vec<(String, String)> = [
        ("2", "3.50"),
        ("3", "15.00"),
        ("2", "12.00"),
        ("1", "3.00"),
        ("1", "2.80"),
        ("1", "2.60"),
        ("1", "2.70"),
        ("5", "1.89"),
        ("2", "9.99"),
    ]
    .iter()
    .map(|(n, price)| ((*n).to_owned(), (*price).to_owned()))
    .collect();
    expected.sort();
    let job = house.job.as_str();
    let page = lead.page(&format!("{job}/buy-list?week=2"));
    assert_eq!(lines(&page), expected);
    // 7.00 + 45.00 + 24.00 + 3.00 + 2.80 + 2.60 + 2.70 + 9.45 + 19.98 = 116.53; tax 7.283: 7.28.
    assert!(page.contains("$123.81"), "with tax");
    // Bought the other way round: the second week first, then the first: nothing is left of either.
    assert_eq!(tick_all(&lead, job, 2), 9);
    assert_eq!(tick_all(&lead, job, 1), 4);
    for week in ["1", "2", "1,2"] {
        let page = lead.page(&format!("{job}/buy-list?week={week}"));
        assert_eq!(lines(&page), [], "week {week}");
    }
    let held = form_around(
        &lead.page(&format!("{job}/buy-list?week=2")),
        "name=\"total\"",
    )
    .1;
    let receipt = value(&held, "receipt");
    // Both weeks on one slip: 131.00 + 116.53 = 247.53 and tax once, 15.470…: 15.47.
    assert!(
        lead.page(&format!("{job}/buy-list?week=2"))
            .contains("$263.00")
    );
    assert_eq!(
        count_of(&lead, job, "receipt.add"),
        1,
        "one supplier, one open receipt: {receipt}"
    );
}

mod python {
    use super::*;

    #[test]
    fn the_yards_csv_read_by_python_has_the_same_cells_and_adds_up() {
        let server = TestServer::start("round-python");
        let lead = server.lead();
        let house = planned(&lead);
        let paper = lead.page(&format!("{}/buy-list.csv?week=1,2", house.job));
        let script = "import csv, io, json, sys\n\
                      from decimal import Decimal\n\
                      text = io.TextIOWrapper(sys.stdin.buffer, 'utf-8', newline='')\n\
                      rows = list(csv.DictReader(text, strict=True))\n\
                      for row in rows:\n\
                      \x20   assert int(row['quantity']) * Decimal(row['unit_price']) == Decimal(row['extension']), row\n\
                      total = sum(Decimal(row['extension']) for row in rows)\n\
                      print(json.dumps({'rows': [list(row.values()) for row in rows], 'total': str(total)}))";
        let read = crate::python::run(script, paper.as_bytes());
        let read: serde_json::Value = serde_json::from_str(&read).unwrap();
        let rows: Vec<Vec<String>> = serde_json::from_value(read["rows"].clone()).unwrap();
        assert_eq!(rows, csv_rows(&paper));
        // 131.00 and 116.53 less what post 2 would add: it waits for its reading, 12.00.
        assert_eq!(read["total"], "235.53");
        assert!(
            paper.contains("\"M \"\"fine\"\"\""),
            "a quote in an item number is doubled"
        );
    }
}

#[test]
fn pieces_that_nothing_sold_holds_are_said_where_the_list_starts() {
    let server = TestServer::start("round-unmet");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let list = format!("{job}/buy-list?week=1");
    let page = lead.page(&list);
    assert!(!page.contains("on no line"));
    assert!(page.contains(">Weeks 1 and 2</a>"), "both in one trip");
    let id = job.trim_start_matches("/jobs/");
    let short = [("longest_stick", "9 ft")];
    lead.save(&format!("{job}/job/{id}/edit"), "edit", &short);
    let page = lead.page(&list);
    let said = page.find("pieces are on no line").unwrap();
    assert!(said < page.find("Still to buy").unwrap());
    assert!(page[said - 400..said].contains("class=\"v look\""));
    let said = bare(&page[said..]);
    assert!(said.contains("longer than anything known"), "{said}");
}

#[test]
fn help_tells_the_buying_round() {
    let server = TestServer::start("round-help");
    let page = bare(&server.stranger().page("/help"));
    let mut from = page.find("The buying round").unwrap();
    for step in [
        "Tick",
        "Save receipt",
        "Swap, return",
        "Order",
        "What came",
        "Close the week",
        "Money",
    ] {
        from += page[from..]
            .find(step)
            .unwrap_or_else(|| panic!("no {step} in its place"));
    }
}
