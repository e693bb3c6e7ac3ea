//! The money page over HTTP: what a trip as listed comes to, by week, supplier and change; figures worked by hand.

use super::house::{planned, things};
use super::round::tick_all;
use super::{add, bare, form_around};
use crate::support::TestServer;

/// The text of a page's main part.
pub(super) fn text(page: &str) -> String {
    let page = page.split("<main").nth(1).unwrap();
    bare(page.split("</main>").next().unwrap())
}

#[test]
fn a_trip_as_listed_is_planned_and_spent_by_week_supplier_and_change() {
    let server = TestServer::start("money");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let money = format!("{job}/money");
    let page = lead.page(&money);
    assert!(page.contains("Nothing planned, ordered or spent yet."));
    assert!(
        page.contains("Tax is taken once, on the sum of a receipt"),
        "the rule"
    );
    assert!(page.contains("Week 1: no list kept, $0.00 spent. Week 2: no list kept, $0.00 spent."));
    assert!(
        lead.page(job).contains(&format!("href=\"{money}\"")),
        "in the index"
    );

    tick_all(&lead, job, 1);
    // 131.00; tax 8.1875, half a cent up and more: 8.19. Both planned and spent.
    let page = lead.page(&money);
    let said = text(&page);
    assert!(said.contains("Planned, with tax $139.19"), "{said}");
    assert!(
        said.contains("Bought, before tax $131.00 Returned, before tax $0.00 Tax of both $8.19"),
        "{said}"
    );
    let row = "Planned $139.19 · ordered $0.00 · returned $0.00 spent $139.19";
    for name in ["Week 1", "North Yard", "Shore wall A"] {
        assert!(said.contains(&format!("{name} {row}")), "{name}: {said}");
    }
    assert!(
        page.contains("role=\"img\"") && said.contains("Week 1: $139.19 planned, $139.19 spent.")
    );
    let yard = things(&lead.page(&format!("{job}/supplier")), "supplier").remove(0);
    for link in [
        format!("{job}/supplier/{yard}"),
        format!("{job}/shore/{}", house.shore),
    ] {
        assert!(page.contains(&format!("href=\"{link}\"")), "{link}");
    }
    let week = page
        .split("href=\"")
        .find(|rest| rest.contains("#bought\""))
        .unwrap();
    let week = lead.page(week.split('#').next().unwrap());
    assert!(week.contains("/bought/"), "its lines");

    // Under another name it is the same yard: what was planned at its prices stays there.
    let edit = format!("{job}/supplier/{yard}/edit");
    lead.save(&edit, "edit", &[("name", "South Yard")]);
    let renamed = text(&lead.page(&money));
    assert!(renamed.contains(&format!("South Yard {row}")), "{renamed}");
    lead.save(&edit, "edit", &[("name", "North Yard")]);

    // Done moves no money.
    let done = lead.page(&format!("{job}/shore/{}/done", house.shore));
    let (action, held) = form_around(&done, "id=\"done-note\"");
    assert_eq!(lead.post_over(&action, held, &[]).status, 303);
    assert_eq!(text(&lead.page(&money)), said);
}

#[test]
fn a_line_without_a_price_is_counted_and_left_out() {
    let server = TestServer::start("money-unpriced");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let tarp = [
        ("name", "Tarp"),
        ("week", "1"),
        ("item", "tarp"),
        ("unit", "each"),
        ("count", "2"),
    ];
    add(&lead, job, "sundry", &tarp);
    tick_all(&lead, job, 1);
    let said = text(&lead.page(&format!("{job}/money")));
    assert!(
        said.contains("Planned, with tax without 1 unpriced line $139.19"),
        "{said}"
    );
    assert!(
        said.contains("Bought, before tax without 1 unpriced line $131.00"),
        "{said}"
    );
    let row = "Tarp Planned $0.00 · ordered $0.00 · returned $0.00 Lines without a price: 1 planned, 1 bought or returned spent $0.00";
    assert!(said.contains(row), "{said}");
    // Nobody sells it: it is on a slip without a supplier.
    assert!(said.contains("No supplier Planned $0.00"), "{said}");
}

#[test]
fn another_rate_of_the_job_moves_no_receipt_that_is_there() {
    let server = TestServer::start("money-rate");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let yard = things(&lead.page(&format!("{job}/supplier")), "supplier").remove(0);
    let add_receipt = |fields: &[(&str, &str)]| {
        let receipt = add(&lead, job, "receipt", fields);
        let line = [
            ("receipt", receipt.as_str()),
            ("item", "stick;2x4;96x224;Hem-Fir;No.2;none;6144"),
            ("weeks", "1"),
            ("count", "10"),
            ("price", "4.00"),
        ];
        add(&lead, job, "bought", &line);
        receipt
    };
    // 40.00 at 6.25 % is 42.50; at no rate of its own it is the job's; one that was typed stays.
    let plain = add_receipt(&[("supplier", &yard), ("week", "1")]);
    let typed = add_receipt(&[("supplier", &yard), ("week", "1"), ("tax", "5")]);
    let id = job.trim_start_matches("/jobs/");
    lead.save(&format!("{job}/job/{id}/edit"), "edit", &[("tax", "10")]);
    let later = add_receipt(&[("supplier", &yard), ("week", "1")]);
    for (receipt, total) in [(plain, "$42.50"), (typed, "$42.00"), (later, "$44.00")] {
        let page = text(&lead.page(&format!("{job}/receipt/{receipt}")));
        assert!(page.contains(total), "{total}: {page}");
    }
}
