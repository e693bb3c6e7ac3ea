//! PS 20, American Softwood Lumber Standard: nominal and least dressed sizes, dry and green.
//!
//! Source: the size table as reproduced on a public page; 63 sizes and the three rules for timbers, all seen.

use std::ops::RangeInclusive;

use scantling_takeoff::tables::ps20::{Seasoning, dressed};
use scantling_takeoff::units::{Length, Nominal, Section, Units, parse_length, parse_nominal};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/lumber_sizes.csv");

fn length(text: &str) -> Length {
    parse_length(text, Units::Us).unwrap()
}

#[test]
fn every_size_of_the_table_is_dressed_as_published() {
    let mut n_sizes = 0;
    for row in rows(COPY)
        .iter()
        .filter(|row| row["note"] != "rule" && !row["note"].starts_with("rule;"))
    {
        let nominal = parse_nominal(&row["nominal"]).unwrap();
        for (seasoning, name) in [(Seasoning::Dry, "dry"), (Seasoning::Green, "green")] {
            let published = Section {
                thickness: length(&row[&format!("{name}_thickness_in")]),
                depth: length(&row[&format!("{name}_width_in")]),
            };
            assert_eq!(
                dressed(nominal, seasoning),
                Some(published),
                "{nominal}, {name}"
            );
        }
        n_sizes += 1;
    }
    assert_eq!(n_sizes, 63);
}

#[test]
fn timbers_are_dressed_by_the_three_rules() {
    let mut n_rules = 0;
    for row in rows(COPY)
        .iter()
        .filter(|row| row["nominal"].ends_with("(timber rule)"))
    {
        for (seasoning, name) in [(Seasoning::Dry, "dry"), (Seasoning::Green, "green")] {
            let off = |side: &str| {
                let rule = &row[&format!("{name}_{side}_in")];
                length(rule.strip_prefix("nominal-").unwrap())
            };
            for n in inches_of_rule(&row["nominal"]) {
                let nominal = parse_nominal(&format!("{n}x{n}")).unwrap();
                let published = Section {
                    thickness: Length::inches(n) - off("thickness"),
                    depth: Length::inches(n) - off("width"),
                };
                assert_eq!(
                    dressed(nominal, seasoning),
                    Some(published),
                    "{nominal}, {name}"
                );
            }
        }
        n_rules += 1;
    }
    assert_eq!(n_rules, 3);
}

/// `5 and 6 thick …`, `7 to 15 …`, `16 and more …`, the last as far as a nominal size goes.
fn inches_of_rule(rule: &str) -> RangeInclusive<i64> {
    let words: Vec<_> = rule.split(' ').collect();
    let from = words[0].parse().unwrap();
    from..=words[2].parse().unwrap_or(24)
}

#[test]
fn a_nominal_size_is_stored_as_published() {
    for row in rows(COPY)
        .iter()
        .filter(|row| !row["nominal"].contains(' '))
    {
        let stored = serde_json::to_string(&row["nominal"]).unwrap();
        let nominal: Nominal = serde_json::from_str(&stored).unwrap();
        assert_eq!(serde_json::to_string(&nominal).unwrap(), stored);
    }
    assert!(serde_json::from_str::<Nominal>("\"10x2\"").is_err());
}
