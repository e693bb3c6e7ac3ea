//! The laws of buying with returns, swaps, orders and plans made afresh, over random small jobs.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::super::counted::pieces_in;
use super::super::entries::Doing;
use super::super::item::Item;
use super::laws::cases;
use super::site::{Site, planned, shown, site, stick, to_buy};
use crate::units::Length;

/// What is to be bought on a list, in pieces, by item.
fn wanted(site: &Site, weeks: &[u32]) -> Vec<(Item, i64)> {
    let mut all: BTreeMap<Item, i64> = BTreeMap::new();
    for line in site.list(weeks).lines {
        let pieces = if line.item.has_rows() {
            line.to_buy
        } else {
            pieces_in(line.per_tenths, line.to_buy)
        };
        if pieces > 0 {
            *all.entry(line.item).or_default() += pieces;
        }
    }
    all.into_iter().collect()
}

/// Something that people do, by a number that says what and to which.
fn act(site: &mut Site, (what, which, count): (u8, usize, i64)) {
    let weeks = site.basis().weeks();
    let week = weeks[which.rem_euclid(weeks.len())];
    let list = wanted(site, &[week]);
    let line = (!list.is_empty()).then(|| list[which.rem_euclid(list.len())].clone());
    let here: Vec<Item> = site.ledger.items().into_iter().cloned().collect();
    match (what, line) {
        (0..=2, Some((item, pieces))) => {
            site.book(&item, pieces.min(count * 3), &[week]);
        }
        (3, Some((item @ Item::Stick { .. }, pieces))) => {
            let other = match &item {
                Item::Stick { class, length } => Item::Stick {
                    class: class.clone(),
                    length: *length + Length::feet(2) * (count - 2),
                },
                other => other.clone(),
            };
            site.swap(&item, &other, pieces.min(count), &[week]);
        }
        (4, Some((item @ Item::Stick { .. }, pieces))) => {
            let other = stick("2x8", Length::feet(12));
            if item != other {
                site.swap(&item, &other, pieces.min(count), &[week]);
            }
        }
        (5, _) if !here.is_empty() => {
            let item = here[which.rem_euclid(here.len())].clone();
            let there = site.ledger.on_hand(&item);
            if there > 0 {
                site.go_back(&item, there.min(count), &[week]);
            }
        }
        (6, Some(_)) => {
            let id = site.order(&list, &[week], None);
            for (item, pieces) in &list {
                if count > 1 {
                    site.receive(id, item, (*pieces).min(count), &[week]);
                }
            }
        }
        (7, _) => site.plan_afresh(),
        (8, _) if !here.is_empty() => {
            let item = here[which.rem_euclid(here.len())].clone();
            site.count(&item, count - 2);
        }
        _ => {
            let changes = site.changes.len();
            let change = &site.changes[which.rem_euclid(changes)];
            let (id, done) = (change.takeoff.change, change.done);
            if done {
                site.may_undo(id);
            } else {
                site.do_as_shown(id);
            }
        }
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn whatever_people_do_rows_movements_and_what_was_said_agree(
        site in site(), acts in prop::collection::vec((0_u8..=11, any::<usize>(), 1_i64..=4), 1..16),
    ) {
        let mut site = site;
        for one in acts {
            act(&mut site, one);
            site.adds_up();
            for list in site.lists() {
                to_buy(&list);
            }
        }
    }

    #[test]
    fn an_order_as_listed_leaves_nothing_to_buy_and_called_off_brings_the_list_back(site in site(), seed in any::<usize>()) {
        let mut site = site;
        let weeks = site.basis().weeks();
        let week = weeks[seed.rem_euclid(weeks.len())];
        let before = site.lists();
        let lines = wanted(&site, &[week]);
        if lines.is_empty() {
            return Ok(());
        }
        let mut called_off = site.clone();
        let id = site.order(&lines, &[week], None);
        site.adds_up();
        prop_assert!(wanted(&site, &[week]).is_empty(), "{}", planned(&site, &[week]));
        for (item, pieces) in &lines {
            site.receive(id, item, *pieces, &[week]);
            site.adds_up();
            prop_assert_eq!(site.ledger.ordered_by(id, item), 0);
        }
        prop_assert!(wanted(&site, &[week]).is_empty(), "{}", planned(&site, &[week]));
        let id = called_off.order(&lines, &[week], None);
        called_off.cancel(id);
        called_off.adds_up();
        for (before, after) in before.iter().zip(called_off.lists()) {
            prop_assert_eq!(shown(before), shown(&after));
        }
    }

    #[test]
    fn a_revision_takes_over_what_the_order_still_brings(site in site()) {
        let mut site = site;
        let week = site.basis().weeks()[0];
        let lines = wanted(&site, &[week]);
        if lines.is_empty() {
            return Ok(());
        }
        let first = site.order(&lines, &[week], None);
        let mut next = lines.clone();
        let (item, pieces) = next[0].clone();
        next[0].1 = pieces + 1;
        let second = site.order(&next, &[week], Some(first));
        site.adds_up();
        prop_assert_eq!(site.ledger.ordered_by(first, &item), 0);
        prop_assert_eq!(site.ledger.ordered_by(second, &item), pieces + 1);
        prop_assert!(wanted(&site, &[week]).is_empty());
    }

    #[test]
    fn returning_all_that_was_booked_brings_the_same_list_back(site in site()) {
        let mut site = site;
        let week = site.basis().weeks()[0];
        let before = site.list(&[week]);
        let lines = wanted(&site, &[week]);
        for (item, pieces) in &lines {
            site.book(item, *pieces, &[week]);
        }
        prop_assert!(wanted(&site, &[week]).is_empty());
        for (item, pieces) in &lines {
            site.go_back(item, *pieces, &[week]);
            site.adds_up();
        }
        prop_assert_eq!(shown(&before), shown(&site.list(&[week])));
    }

    #[test]
    fn a_line_taken_back_leaves_the_list_as_it_was(site in site(), seed in any::<usize>(), way in 0_u8..=2) {
        let mut site = site;
        let week = site.basis().weeks()[0];
        let lines = wanted(&site, &[week]);
        if lines.is_empty() {
            return Ok(());
        }
        let (item, pieces) = lines[seed.rem_euclid(lines.len())].clone();
        let (before, line) = match way {
            0 => {
                let before = site.list(&[week]);
                (before, site.book(&item, pieces, &[week]))
            }
            1 => {
                site.book(&item, pieces, &[week]);
                let before = site.list(&[week]);
                (before, site.go_back(&item, pieces, &[week]))
            }
            _ => {
                let id = site.order(&lines, &[week], None);
                let before = site.list(&[week]);
                (before, site.receive(id, &item, pieces, &[week]))
            }
        };
        site.reverse(line);
        site.adds_up();
        prop_assert_eq!(shown(&before), shown(&site.list(&[week])));
    }

    #[test]
    fn lines_that_two_phones_book_may_arrive_in_any_order(
        site in site(), seed in any::<u64>(), extras in any::<bool>(),
    ) {
        let mut site = site;
        let weeks = site.basis().weeks();
        let week = weeks[0];
        let mut ops: Vec<(Item, i64)> = Vec::new();
        for (item, pieces) in wanted(&site, &[week]) {
            ops.push((item.clone(), pieces));
            if extras {
                ops.push((item, 1));
            }
        }
        // The list is kept first, as a phone that shows it has seen it.
        if ops.is_empty() {
            return Ok(());
        }
        let (item, pieces) = ops.remove(0);
        site.book(&item, pieces, &[week]);
        let mut other = site.clone();
        for (item, pieces) in &ops {
            site.book(item, *pieces, &[week]);
        }
        let start = usize::try_from(seed >> 8).unwrap().rem_euclid(ops.len().max(1));
        let turned = ops.iter().skip(start).chain(ops.iter().take(start)).rev();
        for (item, pieces) in turned {
            other.book(item, *pieces, &[week]);
        }
        other.adds_up();
        prop_assert_eq!(&site.tally, &other.tally);
        prop_assert!(wanted(&site, &[week]).is_empty(), "{}", planned(&site, &[]));
        prop_assert!(wanted(&other, &[week]).is_empty(), "{}", planned(&other, &[]));
        // Which stick a piece is on settles by arrival; what is to buy doesn't. One more than the list may stand in for
        // waste, whichever comes first, so what it leaves to later weeks settles by arrival, too.
        if !extras {
            for week in &weeks {
                prop_assert_eq!(wanted(&site, &[*week]), wanted(&other, &[*week]));
            }
        }
    }

    #[test]
    fn what_several_phones_say_of_one_day_comes_to_the_same_on_hand_in_any_order(
        site in site(), doings in any::<u8>(), some in prop::collection::vec((any::<usize>(), -2_i64..=3), 0..4),
        order in Just((0..40).collect::<Vec<usize>>()).prop_shuffle(),
    ) {
        let mut site = site;
        let week = site.basis().weeks()[0];
        let mut said: Vec<Said> = Vec::new();
        for (item, pieces) in wanted(&site, &[week]) {
            site.book(&item, pieces.min(1), &[week]);
            said.push(Said::Bought(item, pieces, week));
        }
        for at in 0..site.changes.len() {
            if doings & (1 << at) != 0 {
                let id = site.changes[at].takeoff.change;
                said.push(Said::Done(site.shown_form(id)));
            }
        }
        let here: Vec<Item> = site.ledger.items().into_iter().cloned().collect();
        for (which, count) in some {
            if !here.is_empty() {
                let item = here[which.rem_euclid(here.len())].clone();
                said.push(if count > 0 { Said::Back(item, count, week) } else { Said::Counted(item, count + 1) });
            }
        }
        let mut other = site.clone();
        for one in &said {
            one.arrives(&mut site);
            site.adds_up();
        }
        for at in order {
            if let Some(one) = said.get(at) {
                one.arrives(&mut other);
                other.adds_up();
            }
        }
        prop_assert_eq!(&site.tally, &other.tally);
        for item in site.ledger.items() {
            prop_assert_eq!(site.ledger.on_hand(item), other.ledger.on_hand(item), "{}", item);
        }
    }
}

/// Something that a phone says, with its figures as they stood on it.
#[derive(Clone, Debug)]
enum Said {
    Bought(Item, i64, u32),
    Back(Item, i64, u32),
    Counted(Item, i64),
    Done(Doing),
}

impl Said {
    fn arrives(&self, site: &mut Site) {
        match self {
            Self::Bought(item, pieces, week) => {
                site.book(item, *pieces, &[*week]);
            }
            Self::Back(item, pieces, week) => {
                site.go_back(item, *pieces, &[*week]);
            }
            Self::Counted(item, difference) => site.count(item, *difference),
            Self::Done(doing) => site.do_by(doing),
        }
    }
}
