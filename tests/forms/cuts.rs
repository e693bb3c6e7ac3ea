//! The cut list as it is drawn, and the page that joins weeks into one trip, on the demo's job.

use super::bare;
use crate::support::{Client, TestServer};

/// The address of the only job.
fn job(client: &Client) -> String {
    let page = client.page("/");
    let mut links = page.split("href=\"");
    let link = links.find(|rest| rest.starts_with("/jobs/")).unwrap();
    link.split('"').next().unwrap().to_owned()
}

/// What an attribute of a tag says.
fn attribute<'a>(tag: &'a str, name: &str) -> &'a str {
    let from = tag.split(&format!(" {name}=\"")).nth(1).unwrap_or("");
    from.split('"').next().unwrap()
}

/// Class and corners (left, top, right, bottom) of each box of a drawing.
fn boxes(svg: &str) -> Vec<(String, [u32; 4])> {
    svg.split("<rect")
        .skip(1)
        .map(|rest| {
            let tag = rest.split('>').next().unwrap();
            let [x, y, width, height] = ["x", "y", "width", "height"]
                .map(|name| attribute(tag, name).parse::<u32>().unwrap());
            (
                attribute(tag, "class").to_owned(),
                [x, y, x + width, y + height],
            )
        })
        .collect()
}

/// The drawings of a page.
fn drawings(page: &str) -> Vec<&str> {
    page.split("<svg class=\"ink dwg\"")
        .skip(1)
        .map(|rest| rest.split("</svg>").next().unwrap())
        .collect()
}

#[test]
fn every_stick_and_sheet_of_the_demo_is_drawn_with_its_pieces_inside_and_apart() {
    let server = TestServer::start_demo("cuts-drawn");
    let lead = server.lead();
    let job = job(&lead);
    let (mut sticks, mut sheets) = (0, 0);
    for week in 1..=4 {
        let page = lead.page(&format!("{job}/cut-list?week={week}"));
        let patterns = page.matches("<ul class=\"pc\">").count();
        let drawn = drawings(&page);
        assert_eq!(drawn.len(), patterns, "week {week}");
        for svg in drawn {
            let view: Vec<u32> = attribute(svg, "viewBox")
                .split(' ')
                .map(|n| n.parse().unwrap())
                .collect();
            let is_piece = |class: &str| class == "new" || class.ends_with("tmp");
            let all = boxes(svg);
            let pieces: Vec<[u32; 4]> = all
                .iter()
                .filter(|(class, _)| is_piece(class))
                .map(|(_, corners)| *corners)
                .collect();
            assert!(!pieces.is_empty(), "{svg}");
            for (at, [left, top, right, bottom]) in pieces.iter().copied().enumerate() {
                assert!(right <= view[2] && bottom <= view[3], "{svg}");
                for other in &pieces[..at] {
                    let apart = left >= other[2]
                        || other[0] >= right
                        || top >= other[3]
                        || other[1] >= bottom;
                    assert!(apart, "{other:?} under a piece of {svg}");
                }
            }
            let is_sheet = svg.contains("<desc") && svg.contains("On the sheet: ");
            if is_sheet {
                let (_, whole) = all.first().unwrap();
                assert!(
                    pieces.iter().all(|p| p[2] <= whole[2] && p[3] <= whole[3]),
                    "{svg}"
                );
                sheets += 1;
            } else {
                assert!(svg.contains("From the zero end: "), "{svg}");
                sticks += 1;
            }
        }
    }
    assert!(
        sticks >= 10 && sheets >= 1,
        "{sticks} sticks, {sheets} sheets"
    );
}

#[test]
fn a_pattern_that_is_held_bears_no_figure_to_strike_by_and_stands_last() {
    let server = TestServer::start_demo("cuts-held");
    let lead = server.lead();
    let page = lead.page(&format!("{}/cut-list?week=2", job(&lead)));
    let (free, held) = page.split_once("<h2>Hold").expect("the demo holds some");
    assert!(!free.contains("<p class=\"held\">"));
    assert!(free.contains("Strike at "), "{free}");
    let held = held.split("<h2").next().unwrap();
    assert!(
        held.contains("<p class=\"held\">") && held.contains(">measure<"),
        "{held}"
    );
    assert!(
        !held.contains("Drop "),
        "the drop would tell the length: {held}"
    );
    for pattern in held.split("<h3>").skip(1) {
        let first = pattern.split("<li>").nth(1).unwrap();
        if first.contains(">measure<") {
            assert!(!first.contains("Strike at"), "{first}");
        }
    }
}

/// The cells of the table of a trip, row by row.
fn sums(page: &str) -> Vec<Vec<String>> {
    let table = page.split("<tbody>").nth(1).unwrap();
    let table = table.split("</tbody>").next().unwrap();
    table
        .split("<tr>")
        .skip(1)
        .map(|row| {
            let cells = row.split("</t").filter(|cell| cell.contains("<t"));
            cells.map(|cell| bare(&format!("{cell}</i>"))).collect()
        })
        .collect()
}

fn cents(text: &str) -> i64 {
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    digits.parse().unwrap()
}

#[test]
fn one_trip_is_reached_from_the_buy_list_and_costs_no_more_than_one_a_week() {
    let server = TestServer::start_demo("trip");
    let lead = server.lead();
    let job = job(&lead);
    let list = lead.page(&format!("{job}/buy-list?week=2"));
    assert!(list.contains(&format!("href=\"{job}/trip\"")));
    let page = lead.page(&format!("{job}/trip?week=2&week=3"));
    let rows = sums(&page);
    assert_eq!(rows.len(), 3, "{rows:?}");
    let costs: Vec<i64> = rows.iter().map(|row| cents(&row[1])).collect();
    assert!(costs[2] <= costs[0] + costs[1], "{rows:?}");
    assert!(page.contains("For week 3"));
    // A form without script sends each ticked week, a link all of them in one.
    assert_eq!(page, lead.page(&format!("{job}/trip?week=2,3")));
    assert_eq!(page.matches(" checked").count(), 2);
    assert!(
        lead.page(&format!("{job}/trip?week=2"))
            .contains("Choose two weeks or more.")
    );
    let set = lead.page("/offline-set.json");
    assert!(set.contains(&format!("\"{job}/trip\"")), "{set}");
}
