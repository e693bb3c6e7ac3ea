//! Small cases of what happens meanwhile: begun sticks, what stood in and went back, orders called off. Figures by hand:
//! sticks of 12 ft, no trim, a kerf of 1/8 in.

use super::super::counted::pieces_booked;
use super::super::entries::{Counting, begun, reverse};
use super::super::item::Item;
use super::super::plan::Plan;
use super::site::{
    Site, Want, bare, book_of, lay, nails, planned, planned_change, shown, stick, to_buy,
};
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

#[test]
fn what_was_bought_for_a_change_that_is_moved_to_a_later_week_serves_it_there() {
    // 12 of 14 1/2 in, 6 from each stick of 8 ft: 174 × 1.1 = 191.4 in, and 192 are there. As many more stay in week 1.
    let blocks = [(0, 5, 14, 8, 1), (0, 5, 14, 8, 1), (0, 2, 14, 8, 1)];
    for stays in [false, true] {
        let changes: &[&[Want]] = if stays {
            &[&blocks, &blocks]
        } else {
            &[&blocks]
        };
        let mut site = site(changes);
        site.prices = book_of(1, &[50; 10]);
        let eight = stick("2x4", Length::feet(8));
        site.book(&eight, if stays { 4 } else { 2 }, &[1]);
        assert_eq!(to_buy(&site.list(&[1])).values().sum::<i64>(), 0);
        site.changes[0].takeoff.week = 2;
        for week in [1, 2] {
            let list = to_buy(&site.list(&[week]));
            assert_eq!(
                list.values().sum::<i64>(),
                0,
                "week {week}, {}",
                planned(&site, &[week])
            );
        }
    }
}

#[test]
fn what_a_dropped_change_freed_goes_back_first() {
    let mut site = site(&[&[(0, 2, 100, 0, 1)], &[(0, 2, 100, 0, 1)]]);
    let dropped = site.changes.remove(0);
    site.changes.insert(0, dropped.clone());
    site.book(&twelve(), 4, &[1]);
    site.changes
        .retain(|change| change.takeoff.change != dropped.takeoff.change);
    site.go_back(&twelve(), 2, &[1]);
    site.adds_up();
    let list = site.list(&[1]);
    assert_eq!(
        to_buy(&list).values().sum::<i64>(),
        0,
        "{}",
        planned(&site, &[1])
    );
    assert_eq!(site.ledger.on_hand(&twelve()), 2);
}

#[test]
fn a_return_that_is_taken_back_after_its_stick_was_ordered_again_is_one_more() {
    let mut site = site(&[&[(0, 1, 100, 0, 1)]]);
    site.book(&twelve(), 1, &[1]);
    let back = site.go_back(&twelve(), 1, &[1]);
    let order = site.order(&[(twelve(), 1)], &[1], None);
    site.reverse(back);
    site.adds_up();
    assert_eq!(
        (
            site.ledger.on_hand(&twelve()),
            site.ledger.here().count(),
            site.ledger.ordered(&twelve())
        ),
        (1, 1, 1)
    );
    site.receive(order, &twelve(), 1, &[1]);
    site.adds_up();
    assert_eq!(site.ledger.here().count(), 2);
}

#[test]
fn what_came_instead_of_an_ordered_stick_leaves_it_ordered_when_it_is_taken_back() {
    let mut site = site(&[&[(0, 1, 100, 0, 1)]]);
    let fourteen = stick("2x4", Length::feet(14));
    let order = site.order(&[(twelve(), 1)], &[1], None);
    let before = site.list(&[1]);
    let line = site.receive_instead(order, (&twelve(), &fourteen), 1, &[1]);
    assert_eq!(site.ledger.ordered(&twelve()), 0);
    site.reverse(line);
    site.adds_up();
    assert_eq!(site.ledger.ordered(&twelve()), 1);
    assert_eq!(shown(&before), shown(&site.list(&[1])));
}

#[test]
fn a_stick_that_was_used_and_whose_line_was_taken_back_is_on_the_list_when_the_work_is_undone() {
    let mut site = site(&[&[(0, 1, 100, 0, 1)]]);
    let before = site.list(&[1]);
    let line = site.book(&twelve(), 1, &[1]);
    let change = site.changes[0].takeoff.change;
    site.do_as_shown(change);
    site.reverse(line);
    site.adds_up();
    assert_eq!(site.ledger.missing(&twelve()), 1);
    site.undo(change);
    site.adds_up();
    assert_eq!(site.ledger.here().count(), 0);
    assert_eq!(shown(&before), shown(&site.list(&[1])));
}

#[test]
fn what_is_counted_of_salvage_is_salvage() {
    let mut site = site(&[&[(0, 1, 100, 0, 1)]]);
    // Two of a length of their own: bought ones with a sound look, salvage that nobody called sound.
    let item = stick("2x4", Length::inches(110));
    lay(&mut site, (0, 2, 110, true));
    for row in site.ledger.rows.values_mut() {
        row.sound = false;
    }
    lay(&mut site, (0, 1, 110, false));
    let flags = |site: &Site| {
        let mut all: Vec<(bool, bool)> = site
            .ledger
            .here()
            .map(|row| (row.salvage, row.sound))
            .collect();
        all.sort_unstable();
        all
    };
    site.count_of(&item, Counting::Salvage, 1);
    assert_eq!(
        flags(&site),
        [(false, true), (true, false), (true, false), (true, false)]
    );
    site.count_of(&item, Counting::Salvage, -2);
    assert_eq!(flags(&site), [(false, true), (true, false)]);
    site.count_of(&item, Counting::Bought, -1);
    assert_eq!(flags(&site), [(true, false)]);
    site.count_of(&item, Counting::All, 1);
    assert_eq!(flags(&site), [(true, false), (true, false)]);
    site.adds_up();
    // A stick off the shelf is what the piece is cut from.
    assert_eq!(to_buy(&site.list(&[1])).values().sum::<i64>(), 1);
}

#[test]
fn pounds_that_are_bought_one_by_one_are_enough() {
    // 4 × 37 × 1.05, up, is 156; 20 are here: 136. A pound is 45 1/2: three pounds are the cheapest, 3 × 3.50.
    let mut site = site(&[&[(9, 4, 6, 0, 1)]]);
    lay(&mut site, (6, 1, 20, false));
    let pound = |site: &Site| {
        let list = site.list(&[1]);
        let line = list
            .lines
            .iter()
            .find(|line| line.item == nails() && line.to_buy > 0);
        line.map(|line| (line.per_tenths, line.to_buy))
    };
    for left in (1..=3).rev() {
        assert_eq!(pound(&site), Some((455, left)));
        site.book(&nails(), pieces_booked(455, 1), &[1]);
    }
    assert_eq!(pound(&site), None);
}

#[test]
fn a_return_that_is_taken_back_after_its_stick_was_bought_again_and_used_is_one_more() {
    let mut site = site(&[&[(0, 1, 100, 0, 1)]]);
    let change = site.changes[0].takeoff.change;
    site.book(&twelve(), 1, &[1]);
    let back = site.go_back(&twelve(), 1, &[1]);
    site.book(&twelve(), 1, &[1]);
    site.do_as_shown(change);
    site.reverse(back);
    site.adds_up();
    site.undo(change);
    site.adds_up();
    assert_eq!(site.ledger.on_hand(&twelve()), 2);
}

#[test]
fn what_came_instead_and_went_back_was_not_bought() {
    let mut site = site(&[&[(0, 1, 100, 0, 1)]]);
    let fourteen = stick("2x4", Length::feet(14));
    site.swap(&twelve(), &fourteen, 1, &[1]);
    assert_eq!(site.ledger.bought_as(&twelve(), &[1]), 1);
    site.go_back(&fourteen, 1, &[1]);
    assert_eq!(
        [&twelve(), &fourteen].map(|item| site.ledger.bought_as(item, &[1])),
        [0, 0]
    );
    site.adds_up();
}

#[test]
fn a_stick_whose_first_piece_was_moved_is_for_the_weeks_of_all_of_its_pieces() {
    // One of 8 ft holds 60 in of week 2's first change and 30 in of its second; the first moves to week 1.
    let mut site = site(&[&[(0, 1, 60, 0, 5)], &[(0, 1, 30, 0, 5)]]);
    site.prices = book_of(1, &[50; 10]);
    for change in &mut site.changes {
        change.takeoff.week = 2;
    }
    site.book(&stick("2x4", Length::feet(8)), 1, &[2]);
    site.changes[0].takeoff.week = 1;
    let plan = Plan::of(&site.basis(), &[]);
    let weeks: Vec<Vec<u32>> = plan.rows.values().map(|row| row.weeks.clone()).collect();
    assert_eq!(weeks, [vec![1, 2]]);
}
