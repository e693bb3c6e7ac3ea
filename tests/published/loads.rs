//! Loads, limits and soil of the IRC and its kin.
//!
//! Source: as named in each row of the copy of `loads.md`; "seen" there is "verified" here.

use scantling_takeoff::tables::Confidence;
use scantling_takeoff::tables::loads::{
    BEARING_ON_MASONRY, BEARING_ON_WOOD, LIVE_LOADS, PARTITION, PLASTERED_PARTITION, SAG_LIMITS,
    Soil,
};
use scantling_takeoff::units::{Psf, Units, parse_length};

use super::markdown::{section, table_rows};

const COPY: &str = include_str!("data/loads.md");

fn row(heading: &str, first: &str) -> Vec<String> {
    table_rows(section(COPY, heading))
        .into_iter()
        .find(|row| row[0] == first)
        .unwrap_or_else(|| panic!("no row {first} under {heading}"))
}

/// The first whole number of a cell.
fn first_number(cell: &str) -> i64 {
    let digits: String = cell
        .replace(',', "")
        .chars()
        .take_while(char::is_ascii_digit)
        .collect();
    digits.parse().unwrap()
}

fn confidence(word: &str) -> Confidence {
    match word {
        "seen" => Confidence::Verified,
        "memory" => Confidence::Memory,
        other => panic!("{other} is new here"),
    }
}

#[test]
fn every_live_load_is_the_published_row() {
    for load in LIVE_LOADS {
        let row = row("## Live loads", load.of);
        assert_eq!(load.psf, Psf::whole(first_number(&row[1])), "{row:?}");
        assert_eq!(load.confidence, confidence(&row[3]), "{row:?}");
    }
}

#[test]
fn partitions_weigh_what_their_sources_say() {
    for load in [PARTITION, PLASTERED_PARTITION] {
        let row = row("## Dead loads", load.of);
        assert_eq!(load.psf, Psf::whole(first_number(&row[1])), "{row:?}");
        assert_eq!(load.confidence, confidence(&row[3]), "{row:?}");
    }
}

#[test]
fn every_limit_on_sag_is_the_published_row() {
    for limit in SAG_LIMITS {
        let row = row("## Deflection limits", limit.of);
        assert_eq!(format!("L/{}", limit.part), row[1]);
        assert_eq!(limit.confidence, Confidence::Verified);
        assert!(row[2].starts_with("seen"), "{row:?}");
    }
}

#[test]
fn bearing_lengths_and_soil_are_the_published_rows() {
    let heading = "## Bearing";
    let least = |first: &str| {
        let cell = &row(heading, first)[1];
        parse_length(cell.strip_suffix(" in").unwrap(), Units::Us).unwrap()
    };
    assert_eq!(
        least("end of joist, beam or girder on wood or metal"),
        BEARING_ON_WOOD
    );
    let masonry = "on masonry or concrete, also where a sill plate lies between";
    assert_eq!(least(masonry), BEARING_ON_MASONRY);
    for (soil, published) in [
        (Soil::Rock, "crystalline bedrock"),
        (Soil::SoftRock, "sedimentary and foliated rock"),
        (Soil::Gravel, "sandy gravel, gravel (GW, GP)"),
        (
            Soil::Sand,
            "sand, silty or clayey sand, silty or clayey gravel (SW, SP, SM, SC, GM, GC)",
        ),
        (
            Soil::Clay,
            "clay, sandy or silty clay, clayey silt, silt (CL, ML, MH, CH)",
        ),
    ] {
        let row = row("## Posts, foundation", published);
        assert_eq!(soil.bearing(), Some(Psf::whole(first_number(&row[1]))));
        assert_eq!(Soil::from_name(soil.name()), Some(soil));
    }
    assert_eq!(Soil::NotKnown.bearing(), Soil::Clay.bearing());
    assert_eq!((Soil::Fill.bearing(), Soil::Peat.bearing()), (None, None));
}
