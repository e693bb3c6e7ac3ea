//! IRC Table R602.3(1) and its kin: nails of connections, panels and gypsum ceilings.
//!
//! Source: as named in each row of the copy; the roof strut is a working assumption and no row of the code.

use std::collections::BTreeMap;

use scantling_takeoff::tables::fastening::{Connection, row};
use scantling_takeoff::tables::nail::{Nail, parse_nail};
use scantling_takeoff::tables::panel_fastening::{
    FLOOR_EDGE_SPACING, FLOOR_FIELD_SPACING, GYPSUM_SCREW_SPACING, PanelUse,
};
use scantling_takeoff::units::{Length, Units, parse_length};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/fastening_schedule.csv");

fn published(id: &str) -> Vec<BTreeMap<String, String>> {
    let mut all = rows(COPY);
    all.retain(|row| row["id"] == id);
    all
}

/// `16d common 3-1/2 x 0.162` or `3 x 0.131 nail`, with the size that the copy gives checked.
fn nail(option: &str) -> Nail {
    if option.ends_with(" nail") {
        return parse_nail(option).unwrap();
    }
    let mut words = option.splitn(3, ' ');
    let name = format!("{} {}", words.next().unwrap(), words.next().unwrap());
    let nail = parse_nail(&name).unwrap();
    let (length, shank) = words.next().unwrap().split_once(" x ").unwrap();
    assert_eq!(nail.length(), inches(length), "{option}");
    assert_eq!(
        format!("0.{:03}", nail.shank_thousandths()),
        shank,
        "{option}"
    );
    nail
}

fn inches(text: &str) -> Length {
    parse_length(text, Units::Us).unwrap()
}

#[test]
fn every_row_of_a_connection_is_the_published_row() {
    for connection in Connection::ALL {
        let copy = published(connection.name());
        assert!(!copy.is_empty(), "{}", connection.name());
        assert_eq!(copy.len(), connection.rows().len(), "{}", connection.name());
        for published in copy {
            let ours = row(connection, nail(&published["nail_option"])).unwrap();
            let count = ours.count.map_or(String::new(), |count| count.to_string());
            let spacing = ours
                .spacing
                .map_or(String::new(), |spacing| spacing.to_string());
            assert_eq!(count, published["count"], "{ours:?}");
            assert_eq!(spacing, published["spacing_in"], "{ours:?}");
            assert_eq!(ours.location, published["location"]);
            assert_eq!(ours.edition, published["edition"]);
            assert_eq!(ours.confidence.name(), published["confidence"]);
        }
    }
}

#[test]
fn every_row_of_a_panel_is_the_published_row() {
    for panel in PanelUse::ALL {
        let copy = published(panel.name());
        let mut n_matched = 0;
        for ours in panel.rows() {
            for line in copy
                .iter()
                .filter(|line| line["nail_option"] == ours.fastener)
            {
                let spacing = inches(&line["spacing_in"]);
                match line["location"].as_str() {
                    "panel edges (supported)" => assert_eq!(ours.edges, spacing),
                    "intermediate supports" => assert_eq!(ours.field, spacing),
                    "nails, edges and field" | "screws, edges and field" => {
                        assert_eq!((ours.edges, ours.field), (spacing, spacing));
                    }
                    other => panic!("{other} is new here"),
                }
                assert_eq!(ours.edition, line["edition"]);
                assert_eq!(ours.confidence.name(), line["confidence"]);
                n_matched += 1;
            }
        }
        assert!(
            n_matched > 0 && n_matched == copy.len(),
            "{}: {n_matched}",
            panel.name()
        );
    }
}

#[test]
fn screws_of_a_floor_stand_at_the_spacings_of_its_nails_and_those_of_a_ceiling_at_their_own() {
    let floor = PanelUse::SubfloorToOne.rows()[0];
    assert_eq!(
        (floor.edges, floor.field),
        (FLOOR_EDGE_SPACING, FLOOR_FIELD_SPACING)
    );
    let screwed = PanelUse::GypsumCeilingHalf
        .rows()
        .iter()
        .find(|row| row.fastener.contains("screw"));
    assert_eq!(screwed.unwrap().field, GYPSUM_SCREW_SPACING);
}
