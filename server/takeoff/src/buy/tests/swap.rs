//! What a swap fails, sentence by sentence: each difference alone, the rest of the class the same.

use super::super::basis::{Basis, Piece};
use super::super::swap::misfit;
use super::super::{Item, swap_problems};
use super::entries::House;
use crate::needs::{Class, Need};

fn item(key: &str) -> Item {
    Item::from_key(key).unwrap()
}

fn class(key: &str) -> Class {
    match item(key) {
        Item::Stick { class, .. } => Class::Stick(class),
        Item::Panel { class, .. } => Class::Panel(class),
        other => panic!("{other:?} is neither stick nor panel"),
    }
}

/// Whether a piece carries as beams and posts do, what is asked for, what is bought, what is said.
#[rustfmt::skip]
const CASES: [(bool, &str, &str, Option<&str>); 18] = [
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;No.2;none;6144", None),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;1x4;48x224;Hem-Fir;No.2;none;6144", Some("3/4 in is thinner than 1 1/2 in")),
    (false, "stick;2x6;96x352;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;No.2;none;6144", Some("3 1/2 in is narrower than 5 1/2 in")),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;4x6;224x352;Hem-Fir;No.2;none;6144", None),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;treated;6144", "stick;2x4;96x224;Hem-Fir;No.2;none;6144", Some("it is not treated")),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;No.2;treated;6144", None),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;No.3;none;6144", Some("No.3 is weaker than No.2")),
    (true, "stick;2x4;96x224;Hem-Fir;No.1;none;6144", "stick;2x4;96x224;Hem-Fir;No.2;none;6144", Some("No.2 is weaker than No.1")),
    (true, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;No.1 & Btr;none;6144", None),
    (false, "stick;2x4;96x224;Hem-Fir;Stud;none;6144", "stick;2x4;96x224;Hem-Fir;No.3;none;6144", None),
    (true, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;Construction;none;6144", Some("Construction and No.2 can’t be ranked: ask the engineer")),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Hem-Fir;Construction;none;6144", None),
    (true, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Southern Pine;No.2;none;6144", Some("Southern Pine is another species than Hem-Fir: it waits for the engineer’s word")),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "stick;2x4;96x224;Southern Pine;No.2;none;6144", None),
    (false, "panel;plywood subfloor;46;6144;3072;6144;3072", "panel;plywood subfloor;38;6144;3072;6144;3072", Some("19/32 in is thinner than 23/32 in")),
    (false, "panel;plywood subfloor;38;6144;3072;6144;3072", "panel;plywood subfloor;46;6144;3072;6144;3072", None),
    (false, "stick;2x4;96x224;Hem-Fir;No.2;none;6144", "panel;plywood subfloor;46;6144;3072;6144;3072", Some("it is another kind of thing")),
    (false, "panel;plywood subfloor;46;6144;3072;6144;3072", "stick;2x4;96x224;Hem-Fir;No.2;none;6144", Some("it is another kind of thing")),
];

#[test]
fn each_difference_is_said_in_its_own_words() {
    let job = House::new("1", "1").job();
    let basis = Basis::of(&job);
    let pieces = basis.pieces();
    let one = *pieces.values().next().unwrap();
    for (carries, asked, bought, said) in CASES {
        let need = Need {
            class: class(asked),
            in_waste: !carries,
            ..one.need.clone()
        };
        let piece = Piece { need: &need, ..one };
        assert_eq!(
            misfit(&piece, &item(bought)).as_deref(),
            said,
            "{bought} for {asked}"
        );
    }
}

/// Four blocks of 14 1/2 in come from one stick of 8 ft.
#[test]
fn a_swap_names_the_piece_that_it_fails_once() {
    let job = House::new("4", "1").job();
    let asked = item("stick;2x4;96x224;Hem-Fir;No.2;none;6144");
    let said = |bought: &str| swap_problems(&job, &[1], &asked, &item(bought), 1);
    // 12 in.
    assert_eq!(
        said("stick;2x4;96x224;Hem-Fir;No.2;none;768"),
        [
            "2×4 Hem-Fir No.2, 1 ft does not serve Packing, 2×4 (Blocks): it is too short for 1' 2 1/2\"."
        ]
    );
    assert_eq!(
        said("stick;2x4;96x224;Hem-Fir;No.3;none;6144"),
        ["2×4 Hem-Fir No.3, 8 ft does not serve Packing, 2×4 (Blocks): No.3 is weaker than No.2."]
    );
    assert_eq!(
        said("stick;2x4;96x224;Hem-Fir;No.2;none;7680"),
        [""; 0],
        "longer"
    );
    let nails = item("fastener;16d common;bright");
    let rope = item("sundry;rope;each");
    assert_eq!(
        swap_problems(&job, &[1], &nails, &rope, 1),
        ["rope is another kind of thing than 16d common."]
    );
}
