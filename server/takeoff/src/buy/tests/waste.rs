//! The waste rule's two figures by example: what was struck and is used again.

use super::site::{Site, bare, book_of, planned_change, stick, to_buy};
use crate::units::Length;

/// A shore of four 2×4 of 90 in in week 1, bought as listed, done and struck; then four 2×4 of so many inches in that
/// week. Only 8 ft sticks are sold.
fn shore_struck_then_four_of(inches: i64) -> Site {
    let shore = planned_change(0, 1, &[(0, 4, 90, 0, 8)]);
    let id = shore.takeoff.change;
    let mut site = bare(vec![shore], book_of(1, &[50; 10]));
    let eight = stick("2x4", Length::feet(8));
    // 4 × 90 × 1.1 = 396 in, four sticks are 384 in: one more for waste.
    assert_eq!(to_buy(&site.list(&[1]))[&eight], 5);
    site.book(&eight, 5, &[1]);
    site.do_as_shown(id);
    site.strike(id);
    site.adds_up();
    site.changes
        .push(planned_change(1, 1, &[(0, 4, inches, 0, 0)]));
    site
}

#[test]
fn struck_pieces_that_are_used_again_the_same_week_count_in_what_there_is() {
    // N = 4 × 90 + 4 × 88 = 712 in, × 1.1 = 783 1/5 in. B = the five sticks of 96 in and the four struck pieces of 90 in
    // that hold the new ones: 840 in.
    let site = shore_struck_then_four_of(88);
    let list = site.list(&[1]);
    assert!(
        to_buy(&list).values().all(|n| *n == 0),
        "{:?}",
        to_buy(&list)
    );
    assert_eq!(to_buy(&list)[&stick("2x4", Length::inches(90))], 0);
}

#[test]
fn struck_pieces_that_lie_unused_do_not() {
    // 95 in doesn't come from 90: one lies on the waste stick, three are bought. N = 4 × 90 + 4 × 95 = 740 in,
    // × 1.1 = 814 in; B = (5 + 3) × 96 = 768 in: one more. With the struck pieces there would be 1,128 in.
    let site = shore_struck_then_four_of(95);
    assert_eq!(to_buy(&site.list(&[1]))[&stick("2x4", Length::feet(8))], 4);
}

#[test]
fn a_change_done_on_struck_pieces_leaves_the_weeks_waste_as_it_was() {
    // As above with 88 in; a third change wants four of 40 in. Two come from each new 8 ft stick:
    // N = 712 + 160 = 872 in, × 1.1 = 959 1/5 in; the waste stick holds two and one is bought: B = 840 + 96 = 936 in,
    // so one more.
    let mut site = shore_struck_then_four_of(88);
    site.changes.push(planned_change(2, 1, &[(0, 4, 40, 0, 0)]));
    let eight = stick("2x4", Length::feet(8));
    assert_eq!(to_buy(&site.list(&[1]))[&eight], 2);
    let second = site.changes[1].takeoff.change;
    site.do_as_shown(second);
    site.adds_up();
    assert_eq!(to_buy(&site.list(&[1]))[&eight], 2);
    site.undo(second);
    assert_eq!(to_buy(&site.list(&[1]))[&eight], 2);
}
