//! Agreement with published figures: one file a source, each with its own copy of the figures under `data/`.
//!
//! The copies hold facts and figures as gathered, a source and a confidence on every row: *verified* was read in a
//! publication, *partial* in part, *computed* is worked out from what was read, *memory* was not seen. What differs from
//! the publication is named in the test and argued there. The core's arithmetic is called, not repeated.

mod adjustment_factors;
mod board_feet;
mod design_values;
mod fastening;
mod loads;
mod markdown;
mod nails;
mod panels;
mod ps20;
mod span_cells;
mod worked_examples;

use std::collections::BTreeMap;

/// The rows of a copy, each a map from column to text.
pub(crate) fn rows(copy: &str) -> Vec<BTreeMap<String, String>> {
    let mut reader = csv::Reader::from_reader(copy.as_bytes());
    reader
        .deserialize()
        .map(|row| row.expect("a row of the copy"))
        .collect()
}

/// Every row says where it comes from and how far it was seen.
#[test]
fn every_published_row_keeps_its_source_and_confidence() {
    for copy in [
        ps20::COPY,
        board_feet::COPY,
        nails::COPY,
        fastening::COPY,
        design_values::COPY,
        adjustment_factors::COPY,
        span_cells::COPY,
    ] {
        for row in rows(copy) {
            assert!(!row["source"].is_empty(), "{row:?}");
            let known = ["verified", "partial", "computed", "memory"];
            assert!(known.contains(&row["confidence"].as_str()), "{row:?}");
        }
    }
}
