//! Board feet as worked in a US Army course and on two public pages.
//!
//! The published 37 1/3 of eight pieces is compared before a piece is rounded to 0.01: within 0.01 a piece.

use scantling_takeoff::units::{Length, board_feet, parse_nominal};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/board_feet.csv");

#[test]
fn board_feet_agree_with_the_published_examples() {
    let examples = rows(COPY);
    for row in &examples {
        let pieces: i64 = row["pieces"].parse().unwrap();
        let feet = Length::feet(row["length_ft"].parse().unwrap());
        let nominal = parse_nominal(&row["nominal"]).unwrap();
        let published = match row["published_board_feet"].as_str() {
            "37-1/3" => 3733,
            "20" => 2000,
            "26.67" => 2667,
            other => panic!("{other} is new here"),
        };
        let computed = pieces * board_feet(nominal, feet);
        assert!(
            (computed - published).abs() < pieces,
            "{nominal}: {computed}"
        );
        // All pieces as one length: rounded once.
        assert_eq!(board_feet(nominal, feet * pieces), published, "{nominal}");
    }
    assert_eq!(examples.len(), 3);
}
