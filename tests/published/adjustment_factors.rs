//! NDS adjustment factors.
//!
//! Source: as named in each row of the copy. Every row is found in the tables, or it is a rule that the screening's own
//! tests hold (three rows: how a wide stud is taken, the formula of Cb, that of CF of timbers).

use std::collections::BTreeMap;

use scantling_takeoff::checks::screening::adjusted::bearing_area_factor;
use scantling_takeoff::checks::screening::wood::timber_size_factor;
use scantling_takeoff::tables::Confidence;
use scantling_takeoff::tables::adjustment_factors::{
    BUCKLING, Factor, LoadDuration, NAILED_PLIES, ON_EDGE, RECTANGLE_SHEAR, REPETITIVE,
    SAWN_COLUMN, SLENDEREST, SLENDEREST_BUILDING, SizeGroup, TEMPERATURE, TIMBER_FULL_DEPTH,
    Thickness, WET_FB_FROM, WET_FC_FROM, flat_use, incised, size_factor, wet_dimension, wet_timber,
};
use scantling_takeoff::tables::design_values::Property;
use scantling_takeoff::units::{Length, Units, parse_length};

use super::rows;

pub(crate) const COPY: &str = include_str!("data/adjustment_factors.csv");

type Row = BTreeMap<String, String>;

#[test]
fn every_factor_is_the_published_row() {
    let published = rows(COPY);
    assert_eq!(published.len(), 83);
    let mut n_compared = 0;
    for row in &published {
        let ours = ours(row);
        assert!(!ours.is_empty(), "{row:?}");
        for factor in ours {
            assert_eq!(factor.confidence.name(), row["confidence"], "{row:?}");
            let Ok(value) = row["value"].parse::<f64>() else {
                assert!(
                    ["(12/d)^(1/9)", "use No.3 values and factors"]
                        .contains(&row["value"].as_str()),
                    "{row:?}"
                );
                continue;
            };
            // Cb is printed to a hundredth, 1.10 for 1.094 as its note says; all others are exact.
            let within = if row["factor"] == "Cb" { 0.0063 } else { 1e-12 };
            assert!((factor.value - value).abs() <= within, "{factor:?} {row:?}");
            n_compared += 1;
        }
    }
    assert!(n_compared >= 83, "{n_compared}");
}

/// Our factors for a row: one for each width and property that it names.
fn ours(row: &Row) -> Vec<Factor> {
    let properties = properties(&row["affects"]);
    match row["factor"].as_str() {
        "CF" => size_factors(row, &properties),
        "Cr" => vec![REPETITIVE],
        "CD" => vec![duration(&row["condition"]).factor()],
        "CM" if row["group"].starts_with("timbers") => {
            properties.iter().map(|one| wet_timber(*one)).collect()
        }
        "CM" => properties.iter().map(|one| wet_dimension(*one)).collect(),
        "Cfu" if row["condition"] == "any" => vec![ON_EDGE],
        "Cfu" => widths(&row["size"])
            .into_iter()
            .map(|width| flat_use(thicknesses(&row["condition"])[0], width))
            .collect(),
        "Cb" => vec![area_factor(&row["size"])],
        "Ci" => properties.iter().map(|one| incised(*one)).collect(),
        "Ct" => vec![TEMPERATURE],
        "c (Cp formula)" => vec![SAWN_COLUMN],
        "FcE constant" => vec![BUCKLING],
        "Kf" => vec![NAILED_PLIES],
        "Fv shear" => vec![RECTANGLE_SHEAR],
        other => panic!("{other} is new here"),
    }
}

fn size_factors(row: &Row, properties: &[Property]) -> Vec<Factor> {
    if row["value"].starts_with('(') {
        return vec![TIMBER_FULL_DEPTH];
    }
    let group = match row["group"].as_str() {
        "Table 4A species: SS, No.1 & Btr, No.1, No.2, No.3" => SizeGroup::Common,
        "Table 4A species: Stud" => SizeGroup::Stud,
        "Table 4A species: Construction, Standard" => SizeGroup::Construction,
        "Southern Pine (Table 4B)" => SizeGroup::SouthernPine,
        other => panic!("{other} is new here"),
    };
    if row["value"].starts_with("use") {
        // Held by `wood`'s own test: a wide stud goes by No.3.
        let memory = size_factor(group, Thickness::TwoOrThree, 6, Property::Fb);
        return vec![memory];
    }
    let mut all = Vec::new();
    for thickness in thicknesses(&row["condition"]) {
        for width in widths(&row["size"]) {
            for property in properties {
                all.push(size_factor(group, thickness, width, *property));
            }
        }
    }
    all
}

fn properties(affects: &str) -> Vec<Property> {
    affects
        .split(';')
        .filter_map(|name| match name {
            "Fb" => Some(Property::Fb),
            "Ft" => Some(Property::Ft),
            "Fv" => Some(Property::Fv),
            "Fc_perp" => Some(Property::FcPerp),
            "Fc" => Some(Property::Fc),
            "E" => Some(Property::E),
            "Emin" => Some(Property::Emin),
            _ => None,
        })
        .collect()
}

fn thicknesses(condition: &str) -> Vec<Thickness> {
    match condition {
        "any thickness" | "wider than 12 in" => vec![Thickness::TwoOrThree, Thickness::Four],
        "thickness 4 in" | "4 in thick, 8 in and wider" => vec![Thickness::Four],
        "thickness 2 and 3 in" | "2 and 3 in thick, up to 12 in wide" => {
            vec![Thickness::TwoOrThree]
        }
        other => panic!("{other} is new here"),
    }
}

/// `width 2,3,4`, `width 8-12`, `width 14 and wider`, `width over 12`, `all`.
fn widths(size: &str) -> Vec<i64> {
    match size {
        "all" => vec![2, 4, 6, 8, 10, 12],
        "width over 12" | "width 14 and wider" => vec![14, 16],
        "width 8-12" => vec![8, 10, 12],
        "width 10 and wider" => vec![10, 12, 14, 16],
        _ => size
            .strip_prefix("width ")
            .unwrap()
            .split(',')
            .map(|one| one.parse().unwrap())
            .collect(),
    }
}

fn duration(condition: &str) -> LoadDuration {
    match condition.split([' ', ',']).next().unwrap() {
        "permanent" => LoadDuration::Permanent,
        "ten" if condition.starts_with("ten years") => LoadDuration::TenYears,
        "two" => LoadDuration::TwoMonths,
        "seven" => LoadDuration::SevenDays,
        "ten" => LoadDuration::TenMinutes,
        "impact" => LoadDuration::Impact,
        other => panic!("{other} is new here"),
    }
}

/// `lb = 1.5 in`, `lb = 6 or more in`.
fn area_factor(size: &str) -> Factor {
    let text = size.strip_prefix("lb = ").unwrap();
    let number = text.split(' ').next().unwrap();
    let length = parse_length(number, Units::Us).unwrap();
    Factor {
        value: bearing_area_factor(length, Length::inches(3)),
        source: "NDS 3.10.4",
        confidence: Confidence::Computed,
    }
}

#[test]
fn a_bearing_near_the_end_has_no_area_factor() {
    let short = Length::inches_64(1, 32);
    let near = bearing_area_factor(short, Length::inches_64(2, 63));
    assert!((near - 1.0).abs() < 1e-12);
}

#[test]
fn the_rules_in_the_notes_are_kept() {
    let note = |factor: &str, affects: &str| {
        let all = rows(COPY);
        let row = all
            .iter()
            .find(|row| row["factor"] == factor && row["affects"] == affects);
        row.unwrap()["note"].clone()
    };
    assert!(note("CM", "Fb").contains(&format!("Fb x CF is {} psi", WET_FB_FROM.value)));
    assert!(note("CM", "Fc").contains(&format!("Fc x CF is {} psi", WET_FC_FROM.value)));
    let slender = rows(COPY)
        .into_iter()
        .find(|row| row["factor"] == "FcE constant")
        .unwrap();
    let words = format!(
        "le/d not over {} in service, {} while building",
        SLENDEREST.value, SLENDEREST_BUILDING.value
    );
    assert_eq!(slender["note"], words);
    // 1.0 up to 12 in, and the 6x14 of the course page.
    assert!((timber_size_factor(12.0).value - 1.0).abs() < 1e-12);
    assert!((timber_size_factor(13.5).value - 0.9870).abs() < 5e-5);
}
