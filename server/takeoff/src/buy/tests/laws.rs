//! The laws of buying over random small jobs, each figure computed a second way.

use std::collections::BTreeMap;

use proptest::prelude::*;
use uuid::Uuid;

use super::super::counted::pieces_in;
use super::super::entries::reverse;
use super::super::item::Item;
use super::super::plan::Plan;
use super::site::{Site, planned, shown, site, to_buy};

/// A line as listed when its list was first ticked: which list, which item, how many sticks or pieces.
type Tick = (Vec<u32>, Item, i64);

/// Ticks every line of these lists, in an order that the seed says, some lines on two days.
fn tick_all(
    site: &mut Site,
    mut sets: Vec<Vec<u32>>,
    seed: u64,
    after: impl Fn(&Site, &[Vec<u32>]),
) {
    let mut seed = seed;
    let mut pick = |n: usize| {
        seed = seed
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        usize::try_from(seed >> 33).unwrap().rem_euclid(n)
    };
    let mut ticks: Vec<Tick> = Vec::new();
    let mut booked: Vec<Vec<u32>> = Vec::new();
    let mut opened: Vec<Vec<u32>> = Vec::new();
    while !sets.is_empty() || !ticks.is_empty() {
        if ticks.is_empty() || (!sets.is_empty() && pick(3) == 0) {
            let weeks = sets.remove(pick(sets.len()));
            for line in site.list(&weeks).lines {
                let pieces = pieces_in(line.per_tenths, line.to_buy);
                if line.item.has_rows() && pieces > 1 && pick(2) == 0 {
                    ticks.push((weeks.clone(), line.item.clone(), 1));
                    ticks.push((weeks.clone(), line.item.clone(), pieces - 1));
                } else if pieces > 0 {
                    ticks.push((weeks.clone(), line.item.clone(), pieces));
                }
            }
            // A list is kept from its first tick on.
            let own: Vec<usize> = (0..ticks.len())
                .filter(|at| ticks[*at].0 == weeks)
                .collect();
            if !own.is_empty() {
                let (weeks, item, pieces) = ticks.remove(own[pick(own.len())]);
                site.book(&item, pieces, &weeks);
                opened.push(weeks);
            }
        } else {
            let (weeks, item, pieces) = ticks.remove(pick(ticks.len()));
            site.book(&item, pieces, &weeks);
        }
        for weeks in &opened {
            if !booked.contains(weeks) && !ticks.iter().any(|(of, ..)| of == weeks) {
                booked.push(weeks.clone());
            }
        }
        after(site, &booked);
    }
}

/// The weeks by themselves, or the first two that there are together.
fn sets_of(site: &Site, joint: bool) -> Vec<Vec<u32>> {
    let weeks = site.basis().weeks();
    if joint && weeks.len() > 1 {
        let mut sets = vec![weeks[..2].to_vec()];
        sets.extend(weeks[2..].iter().map(|week| vec![*week]));
        sets
    } else {
        weeks.into_iter().map(|week| vec![week]).collect()
    }
}

pub(super) fn cases() -> ProptestConfig {
    ProptestConfig {
        failure_persistence: None,
        max_shrink_iters: 3000,
        ..ProptestConfig::default()
    }
}

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn a_list_that_is_booked_as_listed_leaves_nothing_to_buy(
        site in site(), joint in any::<bool>(), seed in any::<u64>(),
    ) {
        let mut site = site;
        let sets = sets_of(&site, joint);
        tick_all(&mut site, sets, seed, |site, booked| {
            site.adds_up();
            for weeks in booked {
                let left = to_buy(&site.list(weeks));
                assert!(left.values().all(|n| *n == 0), "{}",
                    planned(site, weeks));
            }
        });
    }

    #[test]
    fn done_as_its_form_shows_raises_no_line_and_undone_brings_all_back(
        site in site(), booked in 0_usize..=3, seed in any::<u64>(), order in Just((0..6).collect::<Vec<usize>>()).prop_shuffle(),
        strikes in any::<u8>(),
    ) {
        let mut site = site;
        let mut sets = sets_of(&site, false);
        sets.truncate(booked);
        tick_all(&mut site, sets, seed, |_, _| ());
        for at in order {
            let Some(change) = site.changes.get(at).map(|change| change.takeoff.change) else {
                continue;
            };
            let before = site.lists();
            let on_hand = site.tally.clone();
            let mut undone = site.clone();
            site.do_as_shown(change);
            site.adds_up();
            for (before, after) in before.iter().zip(site.lists()) {
                let was = to_buy(before);
                for (item, count) in to_buy(&after) {
                    let had = was.get(&item).copied().unwrap_or(0);
                    prop_assert!(count <= had, "{} from {} to {}, {}", item, had, count, planned(&site, &before.weeks));
                }
            }
            undone = Site { ledger: site.ledger.clone(), entries: site.entries, changes: site.changes.clone(), tally: on_hand, ..undone };
            undone.undo(change);
            undone.adds_up();
            for (before, after) in before.iter().zip(undone.lists()) {
                prop_assert_eq!(shown(before), shown(&after));
            }
            if strikes & (1 << at) != 0 {
                site.strike(change);
                site.adds_up();
            }
        }
    }

    #[test]
    fn a_line_that_is_taken_back_is_on_the_list_again(site in site(), seed in any::<u64>()) {
        let mut site = site;
        let week = site.basis().weeks()[0];
        let before = site.list(&[week]);
        let lines: Vec<_> = before.lines.iter().filter(|line| line.to_buy > 0).collect();
        if lines.is_empty() {
            return Ok(());
        }
        let line = lines[usize::try_from(seed >> 8).unwrap().rem_euclid(lines.len())];
        let booked = site.book(&line.item, pieces_in(line.per_tenths, line.to_buy), &[week]);
        let entry = site.next_entry();
        let effects = reverse(&site.ledger, entry, booked, |_| true).unwrap();
        site.ledger.apply(&effects);
        prop_assert_eq!(site.ledger.verify(), Ok(()));
        prop_assert_eq!(shown(&before), shown(&site.list(&[week])));
        prop_assert!(reverse(&site.ledger, Uuid::max(), booked, |_| true).is_err());
    }

    #[test]
    fn every_piece_has_one_stick_or_is_said(site in site(), joint in any::<bool>()) {
        let basis = site.basis();
        let together = if joint { basis.weeks() } else { Vec::new() };
        let plan = Plan::of(&basis, &together);
        let mut seen: BTreeMap<_, u32> = BTreeMap::new();
        let bought = plan.sets.iter().flat_map(|set| &set.to_buy).flat_map(|stick| &stick.pieces);
        let unmet = plan.sets.iter().flat_map(|set| &set.unmet).map(|unmet| &unmet.piece);
        for key in plan.rows.values().flat_map(|row| &row.pieces).chain(bought).chain(unmet) {
            *seen.entry(key.clone()).or_default() += 1;
        }
        let all: BTreeMap<_, u32> = basis.pieces().into_keys().map(|key| (key, 1)).collect();
        prop_assert_eq!(seen, all);
    }
}
