//! Small cases of what happens meanwhile: begun sticks, what stood in and went back, orders called off. Figures by hand:
//! sticks of 12 ft, no trim, a kerf of 1/8 in.

use super::super::entries::{begun, reverse};
use super::super::item::Item;
use super::site::{Site, Want, bare, book_of, nails, planned_change, shown, stick};
use crate::needs::FastenerClass;
use crate::units::Length;

/// A book that sells 2×4 of 12 ft, and no trim.
fn site(changes: &[&[Want]]) -> Site {
    let changes = changes
        .iter()
        .enumerate()
        .map(|(at, wants)| planned_change(at, 1, wants))
        .collect();
    let mut site = bare(changes, book_of(1 << 2, &[50; 10]));
    site.settings.trim = Length::ZERO;
    site
}

fn twelve() -> Item {
    stick("2x4", Length::feet(12))
}

#[test]
fn a_stick_that_another_change_began_gives_its_offcut_instead() {
    let mut site = site(&[&[(0, 1, 60, 0, 1)], &[(0, 1, 40, 0, 1)]]);
    site.book(&twelve(), 1, &[1]);
    let whole = site.ledger.here().next().unwrap().id;
    let (first, second) = (
        site.changes[0].takeoff.change,
        site.changes[1].takeoff.change,
    );
    assert!(
        begun(&site.ledger, whole, second).is_none(),
        "nobody cut it"
    );
    site.do_as_shown(first);
    // 144 − 60 − 1/8.
    let left = begun(&site.ledger, whole, second).map(|row| row.item.clone());
    assert_eq!(left, Some(stick("2x4", Length::inches_64(83, 56))));
    assert!(
        begun(&site.ledger, whole, first).is_none(),
        "none of its pieces is left"
    );
}

#[test]
fn what_stood_in_for_something_counted_and_went_back_serves_it_no_more() {
    let sinkers = Item::Fastener {
        class: FastenerClass::new("16d sinker", ""),
    };
    let mut site = site(&[&[(9, 5, 6, 0, 1)]]);
    let before = site.list(&[1]);
    site.swap(&nails(), &sinkers, 500, &[1]);
    assert_eq!(site.ledger.serving(&nails()), 500);
    site.go_back(&sinkers, 200, &[1]);
    assert_eq!(site.ledger.serving(&nails()), 300);
    site.count(&sinkers, -300);
    assert_eq!(
        (site.ledger.serving(&nails()), site.ledger.serving(&sinkers)),
        (0, 0)
    );
    site.adds_up();
    assert_eq!(shown(&before), shown(&site.list(&[1])));
    // More than there is went back: that much is missing of the thing itself.
    site.go_back(&sinkers, 7, &[1]);
    assert_eq!(
        (site.ledger.serving(&nails()), site.ledger.missing(&sinkers)),
        (0, 7)
    );
}

#[test]
fn a_line_of_an_order_that_was_called_off_goes_back_to_the_list_when_it_is_taken_back() {
    let mut site = site(&[&[(0, 3, 100, 0, 1), (9, 1, 6, 0, 1)]]);
    let before = site.list(&[1]);
    let order = site.order(&[(twelve(), 3), (nails(), 60)], &[1], None);
    let sticks = site.receive(order, &twelve(), 1, &[1]);
    let pieces = site.receive(order, &nails(), 20, &[1]);
    site.cancel(order);
    for line in [sticks, pieces] {
        let entry = site.next_entry();
        let effects = reverse(&site.ledger, entry, line, |_| false).unwrap();
        site.ledger.apply(&effects);
    }
    assert_eq!(site.ledger.verify(), Ok(()));
    assert_eq!(
        site.ledger.ordered(&twelve()) + site.ledger.ordered(&nails()),
        0
    );
    assert_eq!(shown(&before), shown(&site.list(&[1])));
}

#[test]
fn an_order_that_came_whole_brings_nothing_more_where_some_of_it_filled_a_gap() {
    let mut site = site(&[&[(0, 2, 100, 0, 1)], &[(0, 4, 100, 0, 1)]]);
    let first = site.changes[0].takeoff.change;
    site.do_as_shown(first);
    assert_eq!(site.ledger.missing(&twelve()), 2);
    let order = site.order(&[(twelve(), 4)], &[1], None);
    site.receive(order, &twelve(), 4, &[1]);
    site.adds_up();
    // Two of the four fill the gap, two are here, two of the second change's pieces are on the list again.
    assert_eq!(
        (
            site.ledger.missing(&twelve()),
            site.ledger.ordered(&twelve())
        ),
        (0, 0)
    );
    assert_eq!(site.ledger.on_hand(&twelve()), 2);
    let list = site.list(&[1]);
    let line = list
        .lines
        .iter()
        .find(|line| line.item == twelve())
        .unwrap();
    assert_eq!(
        (line.from_on_hand, line.from_ordered, line.to_buy),
        (2, 0, 2)
    );
}
