//! Screens as a crew meets them: what passes, what doesn't, what can't be told, and laws that must always hold.

mod beams;
mod laws;
mod posts;

use super::basis::Basis;
use super::combination::LoadKind;
use super::member::{Bearing, Carries, Condition, Known, LineLoad, Member, On};
use super::post::{AxialLoad, Post, PostEnd};
use super::wood::{Moisture, Wood};
use crate::checks::Measurement;
use crate::units::{Length, Plf, Pounds, Units, parse_length};

pub(super) fn length(text: &str) -> Length {
    parse_length(text, Units::Us).unwrap()
}

pub(super) fn given(what: &str, text: &str) -> Measurement {
    Measurement::agreed(what, length(text))
}

pub(super) fn hem_fir() -> Wood {
    Wood::read(Some("Hem-Fir"), Some("No.2"), Moisture::Dry)
}

pub(super) fn douglas_fir() -> Wood {
    Wood::read(Some("Douglas Fir-Larch"), Some("No.2"), Moisture::Dry)
}

fn seat(place: &str, long: &str) -> Bearing {
    Bearing {
        place: place.to_owned(),
        length: given(&format!("bearing at its {place}"), long),
        width: None,
        on: On::Wood(vec![hem_fir()]),
    }
}

pub(super) fn line(kind: LoadKind, plf: i64) -> LineLoad {
    LineLoad {
        what: kind.words().to_owned(),
        kind,
        load: Some(Plf::whole(plf)),
        at_least: None,
        stretch: None,
        basis: Basis::default(),
    }
}

/// A new beam of three 2x12 over 8 ft clear, 10 + 40 psf on 12 ft.
pub(super) fn beam() -> Member {
    Member {
        name: "Beam 1".to_owned(),
        thickness: given("thickness of a ply", "1 1/2"),
        depth: given("depth of the beam", "11 1/4"),
        plies: 3,
        wood: douglas_fir(),
        clear: vec![given("clear span", "96")],
        bearings: vec![seat("start", "3 1/2"), seat("end", "3 1/2")],
        line_loads: vec![line(LoadKind::Dead, 120), line(LoadKind::Live, 480)],
        point_loads: Vec::new(),
        repetitive: false,
        top_edge: Known::Yes,
        carries: Carries::Floor,
        condition: Condition::Sound,
        hangers_on_one_face: false,
    }
}

/// The same over two spans of 8 ft.
pub(super) fn beam_on_three_posts() -> Member {
    let mut beam = beam();
    beam.clear.push(given("second clear span", "96"));
    beam.bearings = vec![
        seat("start", "3 1/2"),
        seat("middle post", "3 1/2"),
        seat("end", "3 1/2"),
    ];
    beam
}

/// A new 4x4 of 8 ft on a plate.
pub(super) fn post(pounds: i64) -> Post {
    Post {
        name: "Post 1".to_owned(),
        thickness: given("thickness", "3 1/2"),
        depth: given("depth", "3 1/2"),
        plies: 1,
        wood: Wood::read(Some("Douglas Fir-Larch"), Some("No.1"), Moisture::Dry),
        height: given("height", "96"),
        brace: None,
        loads: vec![AxialLoad {
            what: "beam 1".to_owned(),
            kind: LoadKind::Live,
            load: Some(Pounds::whole(pounds)),
            basis: Basis::default(),
        }],
        ends: vec![PostEnd {
            place: "foot".to_owned(),
            length: given("contact along the plate", "3 1/2"),
            width: given("contact across the plate", "3 1/2"),
            on: On::Wood(vec![douglas_fir()]),
            from_end: None,
        }],
        condition: Condition::Sound,
        shoring: false,
    }
}
