//! Bought otherwise than listed: swaps that serve and swaps that don't, returns, extras; by the pages' own forms.
//!
//! Every figure is worked out by hand in a comment beside it. The house stands in `house`; its first week's list is 17
//! sticks of 8 ft at 3.50 (1 is on hand), 10 of 10 ft at 4.60, a box of screws at 12.00 and 18 wedges at 0.75.

use super::house::{House, planned};
use super::round::{on_hand, on_hand_of, tick_all};
use super::{bare, errors, form_around, option, page_errors, value};
use crate::support::{Client, TestServer, read_form};

/// A line still to buy: its item, how many, and what its tick holds.
type Line = (String, String, Vec<(String, String)>);

fn lines(client: &Client, house: &House) -> Vec<Line> {
    let page = client.page(&format!("{}/buy-list?week=1", house.job));
    let mut all: Vec<_> = page
        .split("<form")
        .skip(1)
        .map(|rest| read_form(&format!("<form{}", rest.split("</form>").next().unwrap())))
        .filter(|(action, _)| action.ends_with("/buy-list/tick"))
        .map(|(_, held)| (value(&held, "item"), value(&held, "count"), held))
        .collect();
    all.sort();
    all
}

/// How many of a stick of this length, in feet, are still to buy.
fn to_buy(client: &Client, house: &House, feet: i64) -> String {
    let key = format!(";{}", feet * 12 * 64);
    lines(client, house)
        .into_iter()
        .find(|(item, ..)| item.starts_with("stick;2x4;") && item.ends_with(&key))
        .map_or("0".to_owned(), |(_, count, _)| count)
}

/// The page of the line of a stick of this length.
fn line_page(client: &Client, house: &House, feet: i64) -> String {
    page_of(client, house, &format!("2×4 Hem-Fir No.2, {feet} ft"))
}

/// The page of a line of week 1.
fn page_of(client: &Client, house: &House, line: &str) -> String {
    line_at(client, &format!("{}/buy-list?week=1", house.job), line)
}

/// The page of a line: its address stands on the buy list.
pub(super) fn line_at(client: &Client, list: &str, line: &str) -> String {
    let page = client.page(list);
    let words = format!("Swap, return, or where it comes from: {line}");
    let at = page.find(&words).unwrap_or_else(|| panic!("no {words}"));
    let tag = &page[page[..at].rfind("<a ").unwrap()..at];
    let href = tag.split("href=\"").nth(1).unwrap();
    href.split('"').next().unwrap().to_owned()
}

#[test]
fn a_swap_takes_the_lines_pieces_as_far_as_they_fit_and_says_what_it_fails() {
    let server = TestServer::start("swaps-fit");
    let lead = server.lead();
    let house = planned(&lead);
    assert_eq!(to_buy(&lead, &house, 10), "10");
    let page = line_page(&lead, &house, 10);
    let eight = ["2×4 Hem-Fir No.2, 8 ft"];
    let eight = option(&lead.page(&page), "swap-other", &eight).unwrap();
    let (action, held) = form_around(&lead.page(&page), "id=\"swap-other\"");
    assert_eq!(value(&held, "count"), "10");

    // Too short for plates and braces of about 10 ft: said, with the piece, and nothing is booked.
    let short = [("other", eight.as_str()), ("count", "4")];
    let refused = lead.post_over(&action, held.clone(), &short);
    assert_eq!(refused.status, 422);
    assert!(
        errors(&refused.body).contains("it is too short for"),
        "{}",
        page_errors(&refused.body)
    );
    assert_eq!(to_buy(&lead, &house, 10), "10");
    // Recorded all the same: four 8 ft are here, the pieces stay on the list.
    let (again, filled) = form_around(&refused.body, "id=\"swap-other\"");
    assert_eq!(value(&filled, "count"), "4", "what was typed is there");
    let mut filled = filled;
    filled.push(("anyway".to_owned(), "yes".to_owned()));
    let saved = lead.post_over(&again, filled, &[]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!(to_buy(&lead, &house, 10), "10");
    // They are free 2×4 of 8 ft now: the kept list stays, and says which of its studs could come from them (the plan of
    // week 2 has the other two); planned afresh, week 1 comes first and takes all four.
    assert_eq!(to_buy(&lead, &house, 8), "17");
    let list = lead.page(&format!("{}/buy-list?week=1", house.job));
    assert!(
        list.contains("What is free here holds the pieces of 2 × 2×4 Hem-Fir No.2, 8 ft."),
        "{list}"
    );
    let week = list.split("/week/").nth(1).unwrap();
    let kept = format!("{}/week/{}/kept", house.job, &week[..36]);
    let (action, held) = form_around(&lead.page(&kept), "id=\"plan-afresh\"");
    let saved = lead.post_over(&action, held, &[]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!(to_buy(&lead, &house, 8), "13");

    // Longer serves: six 12 ft for six of the ten, each with its piece.
    let (action, held) = form_around(&lead.page(&page), "id=\"swap-other\"");
    let longer = [("length", "12'"), ("count", "6"), ("price", "5.75")];
    let saved = lead.post_over(&action, held, &longer);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!(to_buy(&lead, &house, 10), "4");
    let told = lead.page(&page);
    assert!(told.contains("2×4 Hem-Fir No.2, 12 ft instead"), "{told}");

    // Bad input: place and reason, what was typed stays.
    let (action, held) = form_around(&lead.page(&page), "id=\"swap-other\"");
    for (field, text, says) in [
        ("length", "12 feed", "character"),
        ("count", "some", "at character 1 of some"),
        ("count", "", "empty"),
        ("price", "x", "at character 1 of x"),
    ] {
        let mut typed = vec![("length", "12'"), ("count", "1"), ("price", "5")];
        typed.retain(|(name, _)| *name != field);
        typed.push((field, text));
        let refused = lead.post_over(&action, held.clone(), &typed);
        assert_eq!(refused.status, 422, "{field} {text}");
        let said = errors(&refused.body);
        assert!(said.contains(says), "{field} {text}: {says}: {said}");
        let (_, filled) = form_around(&refused.body, "id=\"swap-other\"");
        assert_eq!(value(&filled, field), text);
    }
}

/// Pieces in a pound: tests/published/data/nails.csv, common 16d, count from shank and head (45.5).
#[test]
fn what_is_bought_by_the_pound_instead_is_here_in_pieces() {
    let server = TestServer::start("swaps-pound");
    let lead = server.lead();
    let house = planned(&lead);
    let page = page_of(&lead, &house, "screw 3 in");
    let (action, held) = form_around(&lead.page(&page), "id=\"swap-other\"");
    let nails = option(&lead.page(&page), "swap-other", &["16d common, by the lb"]).unwrap();
    let nails = [("other", nails.as_str()), ("count", "4")];
    let refused = lead.post_over(&action, held, &nails);
    assert_eq!(refused.status, 422);
    assert!(errors(&refused.body).contains("holds otherwise than"));
    let (action, mut held) = form_around(&refused.body, "id=\"swap-other\"");
    held.push(("anyway".to_owned(), "yes".to_owned()));
    let saved = lead.post_over(&action, held, &nails);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    // 4 × 45.5 = 182.
    assert_eq!(
        on_hand_of(&on_hand(&lead, &house.job), &["16d common"]),
        "182"
    );
    // 4 × 2.60 = 10.40; tax 6.25 %: 0.65; in all 11.05.
    let list = lead.page(&format!("{}/buy-list?week=1", house.job));
    assert!(list.contains("$11.05"), "{list}");
}

/// Nine studs a side; one stick of 8 ft is here, seventeen are to buy; then all are bought; then the shore stands.
#[test]
fn a_change_says_of_each_piece_which_stick_it_comes_from() {
    let server = TestServer::start("swaps-whence");
    let lead = server.lead();
    let house = planned(&lead);
    let page = format!("{}/shore/{}", house.job, house.shore);
    let lines = |said: &str| {
        let shown = lead.page(&page);
        let counts = shown.split("<li>").filter_map(|line| {
            let (count, _) = line.split_once(&format!(" from 2×4 Hem-Fir No.2, 8 ft, {said}"))?;
            count.parse::<i64>().ok()
        });
        counts.sum::<i64>()
    };
    assert_eq!((lines("here"), lines("to buy"), lines("used")), (1, 17, 0));
    for (_, _, held) in self::lines(&lead, &house) {
        let answer = lead.post_over(&format!("{}/buy-list/tick", house.job), held, &[]);
        assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
    }
    assert_eq!((lines("here"), lines("to buy"), lines("used")), (18, 0, 0));
    let done = format!("{page}/done");
    let (action, held) = form_around(&lead.page(&done), "id=\"done-note\"");
    let saved = lead.post_over(&action, held, &[]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!((lines("here"), lines("to buy"), lines("used")), (0, 0, 18));
}

#[test]
fn what_goes_back_leaves_on_hand_is_paid_back_and_is_on_the_list_again() {
    let server = TestServer::start("swaps-back");
    let lead = server.lead();
    let house = planned(&lead);
    for _ in 0..4 {
        let (_, _, held) = lines(&lead, &house).into_iter().next().unwrap();
        let answer = lead.post_over(&format!("{}/buy-list/tick", house.job), held, &[]);
        assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
    }
    assert!(lines(&lead, &house).is_empty());
    let page = line_page(&lead, &house, 8);
    let (action, held) = form_around(&lead.page(&page), "id=\"back-count\"");
    assert_eq!(value(&held, "price"), "3.50", "the last price paid");
    let refused = lead.post_over(&action, held.clone(), &[("count", "0")]);
    assert_eq!(refused.status, 422);
    assert!(
        errors(&refused.body).contains("from 1 to"),
        "{}",
        page_errors(&refused.body)
    );
    let saved = lead.post_over(&action, held, &[("count", "2")]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    assert_eq!(to_buy(&lead, &house, 8), "2");
    // 131.00 − 2 × 3.50 = 124.00; tax 6.25 %: 7.75; in all 131.75.
    let list = lead.page(&format!("{}/buy-list?week=1", house.job));
    assert!(list.contains("$131.75"), "{list}");

    // An extra on the same slip: a 10 ft stick at the book's 4.60: 128.60 and 8.0375, half up 8.04.
    let (_, receipt) = form_around(&list, "name=\"total\"");
    let receipt = format!("{}/receipt/{}", house.job, value(&receipt, "receipt"));
    let (action, held) = form_around(&lead.page(&receipt), "id=\"extra-item\"");
    let refused = lead.post_over(&action, held.clone(), &[("count", "1")]);
    assert_eq!(refused.status, 422);
    assert!(errors(&refused.body).contains("Choose what was bought"));
    let ten = ["2×4 Hem-Fir No.2, 10 ft", "$4.60"];
    let ten = option(&lead.page(&receipt), "extra-item", &ten).unwrap();
    let saved = lead.post_over(&action, held, &[("item", &ten), ("count", "1")]);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    let list = lead.page(&format!("{}/buy-list?week=1", house.job));
    assert!(list.contains("$136.64"), "{list}");
}

/// Twenty-eight sticks and 156 screws used before any was booked: 1 and 0 are here.
#[test]
fn a_count_starts_from_what_the_record_says_below_zero_too() {
    let server = TestServer::start("swaps-below");
    let lead = server.lead();
    let house = planned(&lead);
    let done = format!("{}/shore/{}/done", house.job, house.shore);
    let (action, held) = form_around(&lead.page(&done), "id=\"done-note\"");
    let saved = lead.post_over(&action, held, &[]);
    assert_eq!(saved.status, 303, "{}", errors(&saved.body));
    let page = format!("{}/on-hand", house.job);
    let shown = lead.page(&page);
    assert!(
        shown.contains("156 missing: book the receipt or count."),
        "{shown}"
    );
    let form = |words: &str| count_form(&lead, &house.job, words);
    let (action, held) = form("screw 3 in");
    let counted = [("counted", "94"), ("reason", "counted")];
    let saved = lead.post_over(&action, held, &counted);
    assert_eq!(saved.status, 303, "{}", errors(&saved.body));
    assert_eq!(
        on_hand_of(&on_hand(&lead, &house.job), &["screw 3 in"]),
        "94"
    );
    // Ten of ten feet are missing: three are found. They fill the gap first; three are here then, and none is missing.
    let (action, held) = form(";7680");
    let counted = [("counted", "3"), ("reason", "behind the door")];
    let saved = lead.post_over(&action, held, &counted);
    assert_eq!(saved.status, 303, "{}", errors(&saved.body));
    assert_eq!(on_hand_of(&on_hand(&lead, &house.job), &[";7680"]), "3");
    // A slip of the finger is said, not taken.
    let (action, held) = form(";7680");
    let counted = [("counted", "303030"), ("reason", "slip")];
    let refused = lead.post_over(&action, held, &counted);
    assert_eq!(refused.status, 422);
    assert!(
        errors(&refused.body).contains("more than the 2000"),
        "{}",
        errors(&refused.body)
    );
}

/// The form that counts an item on On hand.
fn count_form(client: &Client, job: &str, words: &str) -> (String, Vec<(String, String)>) {
    let shown = client.page(&format!("{job}/on-hand"));
    shown
        .split("<form")
        .skip(1)
        .map(|rest| read_form(&format!("<form{}", rest.split("</form>").next().unwrap())))
        .find(|(_, held)| value(held, "item").contains(words))
        .unwrap()
}

/// 250 screws were bought, 156 are used while the form that says 250 is open: 94 by the record.
#[test]
fn a_count_of_what_moved_meanwhile_is_asked_for_again_and_tells_who_and_why() {
    let server = TestServer::start("swaps-again");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    tick_all(&lead, job, 1);
    let (action, held) = count_form(&lead, job, "screw 3 in");
    assert_eq!(value(&held, "saw"), "250");
    let done = format!("{job}/shore/{}/done", house.shore);
    let (form, filled) = form_around(&lead.page(&done), "id=\"done-note\"");
    assert_eq!(lead.post_over(&form, filled, &[]).status, 303);
    let typed = [("counted", "90"), ("reason", "box fell")];
    let again = lead.post_over(&action, held, &typed);
    assert_eq!(again.status, 422);
    assert!(
        errors(&again.body).contains("The record says 94 by now; this form was opened at 250."),
        "{}",
        page_errors(&again.body)
    );
    let (action, held) = form_around(&again.body, "box fell");
    assert_eq!(
        (value(&held, "saw"), value(&held, "counted")),
        ("94".to_owned(), "90".to_owned())
    );
    // Pressed twice: the second says the same.
    for _ in 0..2 {
        let saved = lead.post_over(&action, held.clone(), &[]);
        assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    }
    assert_eq!(on_hand_of(&on_hand(&lead, job), &["screw 3 in"]), "90");
    // The item's page tells what moved it: used by the shore, then counted; the count says by whom and why.
    let list = lead.page(&format!("{job}/on-hand"));
    let mut links = list.split("href=\"").filter(|link| link.contains("/line/"));
    let line = links.find(|link| link.split("</a>").next().unwrap().contains("screw 3 in"));
    let page = lead.page(line.unwrap().split('"').next().unwrap());
    let told = bare(&page);
    assert!(told.contains("−156") && told.contains("−4"), "{told}");
    let history = page.find("/history\"").unwrap();
    let start = page[..history].rfind("href=\"").unwrap() + 6;
    let history = bare(&lead.page(page[start..].split('"').next().unwrap()));
    for said in ["box fell", "90", "Lead"] {
        assert!(history.contains(said), "{said}: {history}");
    }
    let unknown = format!("{job}/stock/0197c1f0-0000-7000-8000-000000000099/history");
    assert_eq!(lead.get(&unknown).status, 404);
}
