//! Sticks that are sold by the foot, from the price book to the receipt; and one by the bundle, which is refused.

use super::{add, entries, errors, form_around, page_errors, start_job, try_to_add, upload};
use crate::support::TestServer;

const UPLOAD: &str = "0197c1f0-0000-7000-8000-000000000077";

#[test]
fn a_stick_by_the_foot_costs_the_same_on_the_list_the_csv_and_the_receipt() {
    let server = TestServer::start("by-the-foot");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    add(&lead, &job, "supplier", &[("name", "North Yard")]);
    let file = b"supplier,section,nominal,species,grade,length,sold_by,price\n\
                 North Yard,stick,2x4,Hem-Fir,No.2,92 5/8,foot,0.58\n";
    assert_eq!(upload(&lead, &job, UPLOAD, file).status, 303);
    let blocks = [
        ("name", "Blocks"),
        ("week", "1"),
        ("pack", "packing"),
        ("nominal", "2x4"),
        ("count", "10"),
        ("length", "90"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
    ];
    add(&lead, &job, "pack", &blocks);
    // Eleven with one for waste, 84.90625 ft × 0.58 = 49.245625: 49.25.
    let paper = lead.page(&format!("{job}/buy-list.csv?week=1"));
    assert!(
        paper.contains(",84.906,\"ft, 11 sticks\",0.58,49.25,"),
        "{paper}"
    );
    let list = format!("{job}/buy-list?week=1");
    let page = lead.page(&list);
    assert!(page.contains("11 sticks at $0.58 a foot"), "{page}");
    let (action, held) = form_around(&page, "name=\"price_by\"");
    let answer = lead.post_over(&action, held, &[]);
    assert_eq!(answer.status, 303, "{}", page_errors(&answer.body));
    let all = entries(&lead, &job);
    let booked = all.iter().find(|entry| entry["kind"] == "bought.add");
    let fields = &booked.unwrap()["fields"];
    assert_eq!(
        (&fields["count"], &fields["price"]),
        (&"11".into(), &"0.58".into())
    );
    assert_eq!(fields["price_by"], "foot");
    // What the open receipt comes to; nothing is left to buy.
    assert!(lead.page(&list).contains("$49.25"));
}

#[test]
fn a_stick_by_the_bundle_is_refused_in_the_form_too() {
    let server = TestServer::start("by-the-bundle");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let yard = add(&lead, &job, "supplier", &[("name", "North Yard")]);
    let bundle = [
        ("supplier", yard.as_str()),
        ("section", "stick"),
        ("nominal", "2x4"),
        ("length", "8 ft"),
        ("per_pack", "10"),
        ("sold_by", "bundle"),
        ("price", "42.50"),
    ];
    let (answer, _) = try_to_add(&lead, &job, "price", &bundle);
    assert_eq!(answer.status, 422);
    assert!(
        errors(&answer.body).contains("$4.25"),
        "{}",
        page_errors(&answer.body)
    );
}
