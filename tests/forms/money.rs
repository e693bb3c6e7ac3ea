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
        "week/1".to_owned(),
        format!("supplier/{yard}"),
        format!("change/{}", house.shore),
    ] {
        assert!(page.contains(&format!("href=\"{money}/{link}\"")), "{link}");
    }

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

/// The amounts at the right of the rows of a section, in cents, and where the rows lead.
fn rows_of(page: &str, section: &str) -> Vec<(i64, String)> {
    let at = page.find(&format!("<h2 id=\"{section}\"")).unwrap();
    let rows = page[at..].split("</ul>").next().unwrap();
    rows.split("<li")
        .skip(1)
        .map(|row| {
            let value = row.split("class=\"val\">").nth(1).unwrap();
            let value = value.split('<').next().unwrap();
            let digits = value.replace(['$', '.', ','], "");
            let href = row.split("href=\"").nth(1).unwrap();
            (
                digits.parse().unwrap(),
                href.split('"').next().unwrap().to_owned(),
            )
        })
        .collect()
}

fn sum(rows: &[(i64, String)]) -> i64 {
    rows.iter().map(|(cents, _)| cents).sum()
}

#[test]
fn each_row_leads_to_the_receipts_lists_and_orders_that_it_is_made_of() {
    let mut server = TestServer::start("money-of");
    let lead = server.lead();
    let house = planned(&lead);
    let job = house.job.as_str();
    let order = lead.save(&format!("{job}/order?week=1"), "f", &[]);
    lead.save(&order, "send", &[]);
    lead.save(&order, "came", &[("day", "2026-11-16"), ("came.1", "6")]);
    let receipt = things(&lead.page(&format!("{job}/receipt")), "receipt").remove(0);
    let receipt = format!("{job}/receipt/{receipt}#bought");
    let yard = things(&lead.page(&format!("{job}/supplier")), "supplier").remove(0);

    // 59.50 + 6 × 4.60 = 27.60 + 12.00 + 13.50 = 112.60, tax 7.0375: 7.04. By line, largest remainder: 3.72, 1.73, 0.75,
    // 0.84.
    let by_change = format!("{job}/money/change/{}", house.shore);
    let page = lead.page(&by_change);
    let mut lines = rows_of(&page, "receipts");
    assert!(lines.iter().all(|(_, href)| *href == receipt), "{lines:?}");
    lines.sort_unstable();
    let cents: Vec<i64> = lines.iter().map(|(cents, _)| *cents).collect();
    assert_eq!(cents, [1275, 1434, 2933, 6322]);
    let said = text(&page);
    assert!(
        said.contains("North Yard, Nov 16 · bought 6 · tax $1.73 $29.33"),
        "{said}"
    );
    assert!(
        said.contains("Spent: bought, less returned, with tax $119.64"),
        "{said}"
    );
    assert_eq!(sum(&rows_of(&page, "ordered")), 13919);
    assert_eq!(rows_of(&page, "ordered")[0].1, order);
    assert_eq!(sum(&rows_of(&page, "planned")), 13919);
    assert!(rows_of(&page, "planned")[0].1.ends_with("/kept"));

    // A supplier’s by receipt, a week’s by line: the same to the cent.
    let by_supplier = lead.page(&format!("{job}/money/supplier/{yard}"));
    assert_eq!(
        rows_of(&by_supplier, "receipts"),
        [(11964, receipt.clone())]
    );
    let by_week = lead.page(&format!("{job}/money/week/1"));
    assert_eq!(sum(&rows_of(&by_week, "receipts")), 11964);

    // Something on no list is no change’s: that row leads to it too.
    let (action, held) = form_around(
        &lead.page(receipt.trim_end_matches("#bought")),
        "id=\"extra-item\"",
    );
    let item = super::option(
        &lead.page(receipt.trim_end_matches("#bought")),
        "extra-item",
        &["dust mask"],
    )
    .unwrap();
    let extra = [("item", item.as_str()), ("count", "1"), ("price", "9.99")];
    assert_eq!(lead.post_over(&action, held, &extra).status, 303);
    let none = format!("{job}/money/change/none");
    assert!(
        lead.page(&format!("{job}/money"))
            .contains(&format!("href=\"{none}\""))
    );
    // 9.99 and its part of the tax on 122.59, 7.661875: 7.66; 0.62.
    assert_eq!(
        rows_of(&lead.page(&none), "receipts"),
        [(1061, receipt.clone())]
    );

    // The supplier’s and the change’s own pages lead there, but for guests.
    let pages = [
        (
            format!("{job}/supplier/{yard}"),
            format!("{job}/money/supplier/{yard}"),
        ),
        (format!("{job}/shore/{}", house.shore), by_change.clone()),
    ];
    let leading = |page: &str, leads: &str| page.contains(&format!("href=\"{leads}\""));
    for (page, leads) in &pages {
        assert!(leading(&lead.page(page), leads), "{page}");
    }
    let guest = server.with_guests(&lead);
    for (page, leads) in &pages {
        let seen = guest.page(page);
        assert!(!leading(&seen, leads) && !seen.contains('$'), "{page}");
    }
    assert_eq!(guest.get(&by_change).status, 403);
    assert_eq!(guest.get(&none).status, 403);
}

#[test]
fn what_is_not_there_has_no_money() {
    let server = TestServer::start("money-none");
    let lead = server.lead();
    let house = planned(&lead);
    let nobody = "0199a3c0-0000-7000-8000-000000000000";
    for nothing in [
        "week/0".to_owned(),
        "week/two".to_owned(),
        "house/none".to_owned(),
        format!("change/{nobody}"),
        format!("supplier/{}", house.shore),
    ] {
        let answer = lead.get(&format!("{}/money/{nothing}", house.job));
        assert_eq!(answer.status, 404, "{nothing}");
    }
    let page = lead.page(&format!("{}/money/week/none", house.job));
    assert!(text(&page).contains("Nothing was bought for it yet."));
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
