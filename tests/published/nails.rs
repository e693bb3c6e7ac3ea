//! Nails: sizes of the Wood Handbook's table and the code's call-outs, and handbook counts per pound.
//!
//! Handbook counts match the bare shank. The table's own counts take the head in and are 7 to 11 % lower; that is on
//! purpose, so that a purchase errs towards a nail too many.

use std::f64::consts::FRAC_PI_4;

use scantling_takeoff::tables::nail::{NailType, parse_nail};
use scantling_takeoff::tables::nails::{NAILS, NailRow, nail_row};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/nails.csv");

/// Steel, lb a cubic inch.
const STEEL: f64 = 0.2836;

/// How thick a head is taken, in shank diameters.
const HEAD: f64 = 0.35;

#[test]
fn every_nail_has_the_published_length_shank_and_confidence() {
    let published = rows(COPY);
    assert_eq!(published.len(), NAILS.len());
    for row in &published {
        let ours = table_row(&row["type"], &row["penny"]);
        let nail = ours.nail;
        let length = f64::from(i32::try_from(nail.length().as_64ths()).unwrap()) / 64.0;
        assert_close(length, number(&row["length_in"]), 1e-9);
        assert_close(
            f64::from(nail.shank_thousandths()) / 1000.0,
            number(&row["shank_dia_in"]),
            1e-9,
        );
        assert_eq!(ours.confidence.name(), row["confidence"]);
    }
}

#[test]
fn counts_with_a_head_are_those_of_steel() {
    for row in rows(COPY) {
        let ours = table_row(&row["type"], &row["penny"]);
        let counted = f64::from(i32::try_from(ours.tenths_per_lb).unwrap()) / 10.0;
        assert_close(
            counted,
            number(&row["computed_count_per_lb_with_head"]),
            1e-9,
        );
        let shank = number(&row["shank_dia_in"]);
        let head = FRAC_PI_4 * number(&row["head_dia_in"]).powi(2) * HEAD * shank;
        assert_close(counted, 1.0 / ((shank_volume(ours) + head) * STEEL), 0.06);
    }
}

#[test]
fn counts_of_bare_shanks_are_within_five_percent_of_the_handbook() {
    let mut n_compared = 0;
    for row in rows(COPY)
        .iter()
        .filter(|row| !row["published_count_per_lb"].is_empty())
    {
        let ours = table_row(&row["type"], &row["penny"]);
        let handbook = number(&row["published_count_per_lb"]);
        let shank_only = 1.0 / (shank_volume(ours) * STEEL);
        assert_close(shank_only / handbook, 1.0, 0.05);
        let with_head = f64::from(i32::try_from(ours.tenths_per_lb).unwrap()) / 10.0;
        assert!(with_head < shank_only, "{}: a head adds weight", ours.nail);
        n_compared += 1;
    }
    assert_eq!(n_compared, 21, "only the 7d sinker has no handbook count");
}

fn table_row(kind: &str, penny: &str) -> &'static NailRow {
    let kind = NailType::ALL
        .into_iter()
        .find(|known| known.name() == kind)
        .unwrap();
    let penny = penny.strip_suffix('d').unwrap().parse().unwrap();
    let found = nail_row(kind, penny).unwrap();
    assert_eq!(
        parse_nail(&format!("{penny}d {}", kind.name())),
        Ok(found.nail)
    );
    found
}

/// In cubic inches.
fn shank_volume(row: &NailRow) -> f64 {
    let length = f64::from(i32::try_from(row.nail.length().as_64ths()).unwrap()) / 64.0;
    let shank = f64::from(row.nail.shank_thousandths()) / 1000.0;
    FRAC_PI_4 * shank * shank * length
}

fn number(text: &str) -> f64 {
    text.parse().unwrap()
}

#[track_caller]
fn assert_close(got: f64, published: f64, within: f64) {
    assert!(
        (got - published).abs() <= within,
        "{got}, published {published}"
    );
}
