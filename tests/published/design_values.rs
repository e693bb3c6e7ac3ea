//! NDS Supplement design values: Tables 4A, 4B and 4D.
//!
//! Source: as named in each row of the copy. Which values of a row were seen stands in its `verified_fields`.

use scantling_takeoff::tables::Confidence;
use scantling_takeoff::tables::density::Grade;
use scantling_takeoff::tables::design_values::{DESIGN_VALUES, Property};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/design_values.csv");

/// A property, its column, and its word among the fields seen.
const COLUMNS: [(Property, &str, &str); 7] = [
    (Property::Fb, "Fb_psi", "Fb"),
    (Property::Ft, "Ft_psi", "Ft"),
    (Property::Fv, "Fv_psi", "Fv"),
    (Property::FcPerp, "Fc_perp_psi", "Fc_perp"),
    (Property::Fc, "Fc_psi", "Fc"),
    (Property::E, "E_psi", "E"),
    (Property::Emin, "Emin_psi", "Emin"),
];

#[test]
fn every_line_of_design_values_is_the_published_row() {
    let published = rows(COPY);
    assert_eq!(published.len(), 45);
    assert_eq!(published.len(), DESIGN_VALUES.len());
    for row in &published {
        let ours = DESIGN_VALUES
            .iter()
            .find(|line| {
                line.species.name() == row["species"]
                    && line.grade_name() == row["grade"]
                    && line.size_class.name() == row["size_class"]
            })
            .unwrap_or_else(|| panic!("no line for {row:?}"));
        assert_eq!(ours.table(), row["table"]);
        assert_eq!(ours.confidence.name(), row["confidence"], "{row:?}");
        for (property, column, _) in COLUMNS {
            assert_eq!(
                ours.psi(property).to_string(),
                row[column],
                "{row:?} {column}"
            );
        }
    }
}

#[test]
fn only_what_a_row_says_was_seen_counts_as_seen() {
    for row in rows(COPY) {
        let ours = DESIGN_VALUES
            .iter()
            .find(|line| {
                line.species.name() == row["species"]
                    && line.grade_name() == row["grade"]
                    && line.size_class.name() == row["size_class"]
            })
            .unwrap();
        let fields: Vec<&str> = row["verified_fields"].split(';').collect();
        let in_list = |name: &str| fields == ["all"] || fields.contains(&name);
        for (property, column, name) in COLUMNS {
            let seen = in_list(name);
            assert_eq!(ours.seen().contains(&property), seen, "{row:?} {column}");
            // Emin is worked out from E, by the formula that the reference's own check applies to every row.
            let seen = seen || (property == Property::Emin && in_list("E"));
            let is_memory = ours.confidence_of(property) == Confidence::Memory;
            assert_eq!(is_memory, !seen, "{row:?} {column}");
        }
    }
}

#[test]
fn emin_is_that_of_the_formula_to_the_nearest_ten_thousand_or_the_next() {
    // NDS Supplement: Emin = E (1 − 1.645 × 0.25) × 1.03 ÷ 1.66.
    for line in DESIGN_VALUES {
        let e = f64::from(line.psi(Property::E));
        let formula = e * (1.0 - 1.645 * 0.25) * 1.03 / 1.66;
        assert!(
            (f64::from(line.psi(Property::Emin)) - formula).abs() <= 10_001.0,
            "{line:?}"
        );
    }
}

#[test]
fn every_grade_of_the_table_is_a_grade_of_the_record() {
    for line in DESIGN_VALUES {
        for grade in line.grades {
            assert_eq!(Grade::from_name(grade.name()), Some(*grade));
        }
    }
}
