//! The trip planner: by example, and its laws over random small jobs.

use proptest::prelude::*;

use super::super::trip::{Calendar, Gap, Lists, Trip, trip_of};
use super::laws::cases;
use super::site::{Site, bare, book_of, planned_change, site, stick};
use crate::units::{Length, Money};

fn calendar() -> Calendar {
    [
        (1, (Some(100), Some(104))),
        (2, (Some(120), Some(124))),
        (3, (Some(127), None)),
    ]
    .into()
}

fn trip(site: &Site, weeks: &[u32], payload: Option<i64>) -> Trip {
    trip_of(&site.basis(), weeks, &calendar(), payload)
}

#[test]
fn a_stick_that_serves_two_weeks_is_saved_and_lies_begun_through_the_gap() {
    // 60 + 1/8 + 59 = 119 1/8 in: one 10 ft stick at $6.00 instead of two. No waste is asked for.
    let changes = vec![
        planned_change(0, 1, &[(0, 1, 60, 0, 4)]),
        planned_change(1, 2, &[(0, 1, 59, 0, 4)]),
    ];
    let site = bare(changes, book_of(2, &[60; 10]));
    let trip = trip(&site, &[2, 1], None);
    assert_eq!(trip.weeks, [1, 2]);
    assert_eq!(trip.lists, Lists::Joined);
    assert_eq!(trip.apart_total(), Money::from_cents(1_200));
    assert_eq!(
        (trip.saved(), trip.fewer()),
        (Money::from_cents(600), (1, 0))
    );
    let [later] = trip.lying.as_slice() else {
        panic!("{:?}", trip.lying);
    };
    assert_eq!((later.week, later.days), (2, Some(20)));
    assert_eq!(later.whole, []);
    assert_eq!(later.begun, [(stick("2x4", Length::feet(10)), 1)]);
    let gap = Gap {
        after: 1,
        from: 105,
        days: 15,
    };
    assert_eq!(
        later.gaps,
        [gap],
        "Jan 5 to 19 of a calendar that starts at 100"
    );
}

#[test]
fn where_waste_would_make_one_list_dearer_the_lists_go_side_by_side() {
    // Two of 90 in a week ask for no waste; four together would: 4 × 90 × 1.1 = 396 in of 384.
    let changes = vec![
        planned_change(0, 1, &[(0, 2, 90, 0, 0)]),
        planned_change(1, 2, &[(0, 2, 90, 0, 0)]),
    ];
    let site = bare(changes, book_of(1, &[50; 10]));
    let trip = trip(&site, &[1, 2], Some(20));
    assert_eq!((trip.lists, trip.saved()), (Lists::SideBySide, Money::ZERO));
    assert_eq!(trip.together.sticks, 4);
    assert_eq!(trip.lying[0].whole, [(stick("2x4", Length::feet(8)), 2)]);
    // 1 1/2 × 3 1/2 × 96 ÷ 1,728 × 29.2 lb = 8.5, up: 9 lb each. Two go in 20 lb.
    assert_eq!(trip.carried.lb, 36);
    let loads: Vec<i64> = trip.carried.loads.iter().map(|load| load.lb).collect();
    assert_eq!(loads, [18, 18]);
}

#[test]
fn a_weekend_is_no_gap_and_a_week_without_days_says_nothing() {
    let changes = vec![
        planned_change(0, 2, &[(9, 1, 60, 0, 4)]),
        planned_change(1, 3, &[(7, 1, 60, 0, 4)]),
        planned_change(2, 4, &[(9, 2, 60, 0, 4)]),
    ];
    let site = bare(changes, book_of(1, &[50; 10]));
    let trip = trip(&site, &[2, 3, 4], None);
    let days: Vec<Option<i64>> = trip.lying.iter().map(|later| later.days).collect();
    assert_eq!(days, [Some(7), None]);
    assert!(trip.lying.iter().all(|later| later.gaps.is_empty()));
    // A sheet of 23/32: 32 sq ft × 46/64 in × 3 lb = 69 lb. Nails come in boxes: not weighed.
    assert_eq!((trip.lying[0].whole.len(), trip.carried.lb), (1, 69));
    // 2 × 37 nails × 1.05, up: 78 at most, for week 4.
    assert_eq!(trip.lying[1].counted.len(), 1);
    assert_eq!(trip.carried.unweighed, 1);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 48, ..cases() })]

    #[test]
    fn one_trip_is_never_dearer_and_all_that_is_bought_is_used_some_week(
        site in site(), payload in prop_oneof![Just(None), (10_i64..=400).prop_map(Some)],
    ) {
        let weeks = site.basis().weeks();
        let trip = trip(&site, &weeks, payload);
        prop_assert!(trip.saved() >= Money::ZERO, "{:?}", trip);
        prop_assert!(trip.together.unpriced <= trip.apart.iter().map(|bought| bought.unpriced).sum());
        let all = trip.together.sticks + trip.together.sheets;
        let lying: i64 = trip.lying.iter().flat_map(|later| &later.whole).map(|(_, count)| count).sum();
        prop_assert!(lying <= all);
        if trip.lists == Lists::SideBySide {
            prop_assert!(trip.lying.iter().all(|later| later.begun.is_empty()), "each list has its own sticks");
        }
        let loads = &trip.carried.loads;
        if let (false, Some(payload)) = (loads.is_empty(), payload) {
            prop_assert_eq!(loads.iter().map(|load| load.lb).sum::<i64>(), trip.carried.lb);
            let on: i64 = loads.iter().flat_map(|load| &load.items).map(|(_, count)| count).sum();
            prop_assert_eq!(on, all);
            for load in loads {
                let single = load.items.iter().map(|(_, count)| count).sum::<i64>() <= 1;
                prop_assert!(load.lb <= payload || single || load.items.is_empty() || load == &loads[0], "{:?}", load);
            }
        }
    }
}
