//! What the demo job must hold: entries that a person could have typed, every kind of change, and the one thing missing.

mod bought;
mod checked;

use std::collections::{BTreeMap, BTreeSet};

use scantling_takeoff::buy::{Cheapness, Ledger, buy_list, buy_list_with_least, receipt_sums};
use scantling_takeoff::needs::{self, Fill, Takeoff};
use scantling_takeoff::record::{
    Agreement, Does, FieldType, Job, Kind, Op, OpKind, Record, What, op,
};
use scantling_takeoff::units::{Money, Units};
use time::Date;
use time::macros::date;
use uuid::Uuid;

use crate::{entries, job_id, log, row};

const MONDAY: Date = date!(2026 - 03 - 16);

fn all() -> Vec<Op> {
    entries(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY)
}

fn kind_of(op: &Op) -> &'static OpKind {
    OpKind::named(&op.kind).unwrap_or_else(|| panic!("no kind of entry {}", op.kind))
}

/// The job of the entries that add things; what happens to things later is left out.
fn job() -> Job {
    let records = all()
        .iter()
        .filter(|entry| kind_of(entry).does == Does::Add)
        .map(|entry| {
            let kind = kind_of(entry);
            let fields = op::read(kind, &entry.fields, Units::Us).unwrap();
            Record {
                id: entry.entity_id,
                kind: kind.kind,
                fields: fields
                    .into_iter()
                    .map(|(name, values)| (name.to_owned(), values))
                    .collect(),
                by: entry.author,
                at: entry.device_time.clone(),
                state: if kind.kind.is_change() {
                    "planned".to_owned()
                } else {
                    String::new()
                },
                gone: None,
                clock_off_s: None,
            }
        })
        .collect();
    Job::new(job_id(), records, Ledger::default())
}

fn takeoffs(weeks: &[u32]) -> Vec<Takeoff> {
    needs::needs(&job(), weeks)
}

#[test]
fn every_entry_reads_as_typed_by_its_kind() {
    for entry in all() {
        let read = op::read(kind_of(&entry), &entry.fields, Units::Us);
        assert!(read.is_ok(), "{} {:?}: {read:?}", entry.kind, entry.fields);
    }
}

#[test]
fn every_reference_names_an_earlier_thing_of_an_allowed_kind() {
    let mut there: BTreeMap<Uuid, Kind> = BTreeMap::new();
    for entry in all() {
        let kind = kind_of(&entry);
        for field in kind.fields {
            let FieldType::Ref(allowed) = field.kind else {
                continue;
            };
            for text in entry.fields.get(field.name).into_iter().flatten() {
                let named = there.get(&Uuid::parse_str(text).unwrap());
                assert!(
                    named.is_some_and(|kind| allowed.contains(kind)),
                    "{}: {} names {named:?}, {:?}",
                    entry.kind,
                    field.name,
                    entry.fields
                );
            }
        }
        if kind.does == Does::Add {
            let before = there.insert(entry.entity_id, kind.kind);
            assert_eq!(before, None, "two things of one id: {:?}", entry.fields);
        } else {
            assert!(there.contains_key(&entry.entity_id), "{:?}", entry.fields);
        }
    }
}

#[test]
fn each_of_the_thirteen_kinds_of_change_is_planned_over_four_weeks() {
    let job = job();
    for kind in Kind::CHANGES {
        assert!(job.count(kind) > 0, "no {kind}");
    }
    let weeks: BTreeSet<u32> = job.changes().iter().map(|change| change.week()).collect();
    assert_eq!(weeks, BTreeSet::from([1, 2, 3, 4]));
    assert_eq!(job.count(Kind::Week), 4);
}

#[test]
fn one_reading_is_disputed_and_it_is_the_ceiling_in_the_middle() {
    let job = job();
    let disputed: Vec<String> = job
        .all_measured()
        .filter(|(_, measured)| measured.state == Agreement::Disputed)
        .map(|(spot, _)| format!("{}: {spot}", job.name(spot.of)))
        .collect();
    assert_eq!(disputed, ["Middle wall: Ceiling height, side a, middle"]);
    let single = job
        .all_measured()
        .filter(|(_, measured)| measured.state == Agreement::Single)
        .count();
    assert!((2..=10).contains(&single), "{single} read once");
    let two_and_more = job.all_measured().count() - single;
    assert!(two_and_more > 5 * single, "{two_and_more} read twice");
}

#[test]
fn readings_are_of_what_such_a_thing_has() {
    let job = job();
    for (spot, _) in job.all_measured() {
        let of = job.get(spot.of).unwrap();
        assert!(spot.what.of().contains(&of.kind), "{}: {spot}", of.name());
    }
}

#[test]
fn all_that_is_missing_is_what_two_posts_stand_on_to_their_seats() {
    let missing: Vec<_> = takeoffs(&[])
        .into_iter()
        .flat_map(|takeoff| takeoff.missing)
        .collect();
    let texts: Vec<String> = missing
        .iter()
        .map(|missing| format!("{}, for {}", missing.text, missing.waits))
        .collect();
    assert_eq!(
        texts,
        [
            "what it lands on to the seat, for Post 2, 4×6",
            "what it lands on to the seat, for Post at the cellar stair, 4×4"
        ]
    );
    for (missing, post) in missing.iter().zip(["post.2", "post.stair"]) {
        let Fill::Reading(spot) = &missing.fill else {
            panic!("{:?}", missing.fill);
        };
        assert_eq!((spot.of, spot.what), (row::id(post), What::LandingToSeat));
    }
}

#[test]
fn the_same_arguments_give_the_same_entries_and_no_id_twice() {
    let all = all();
    assert_eq!(all, entries(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY));
    let ids: BTreeSet<Uuid> = all.iter().map(|entry| entry.op_id).collect();
    assert_eq!(ids.len(), all.len());
    assert!(all.iter().all(|entry| entry.job_id == job_id()));
    let thursday = date!(2026 - 03 - 19);
    assert_eq!(
        all,
        entries(Uuid::from_u128(1), Uuid::from_u128(2), thursday)
    );
}

#[test]
fn entries_are_dated_in_order_and_before_week_2() {
    let all = all();
    for pair in all.windows(2) {
        assert!(
            pair[0].device_time < pair[1].device_time,
            "{} {} then {} {}",
            pair[0].kind,
            pair[0].device_time,
            pair[1].kind,
            pair[1].device_time
        );
    }
    assert!(
        all.iter()
            .all(|entry| &entry.device_time[..] < "2026-03-16")
    );
    assert!(
        all.iter()
            .all(|entry| entry.device_time.ends_with(":00.000Z"))
    );
}

#[test]
fn week_1_is_done_and_bought_and_its_ledger_adds_up() {
    let log = log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY);
    let job = log.job();
    for change in job.changes() {
        assert_eq!(
            change.state == "done",
            change.week() == 1,
            "{}",
            change.name()
        );
    }
    let list = buy_list(&job, &[1]);
    let left: Vec<&str> = list
        .lines
        .iter()
        .filter(|line| line.to_buy > 0 || line.missing > 0)
        .map(|line| &line.words[..])
        .collect();
    assert_eq!(left, [""; 0]);
    assert_eq!(job.ledger.verify(), Ok(()));
    assert_eq!(job.count(Kind::Receipt), 3);
    for receipt in job.all(Kind::Receipt) {
        let sums = receipt_sums(&job, receipt);
        assert_eq!((sums.unpriced, sums.difference), (0, Some(Money::ZERO)));
    }
}

#[test]
fn week_2_takes_salvage_and_leftovers_first_and_buys_the_rest_from_both_yards() {
    let job = log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY).job();
    let list = buy_list(&job, &[2]);
    let kept = list
        .lines
        .iter()
        .any(|line| line.from_on_hand > 0 && line.words.contains("not graded") && line.to_buy == 0);
    assert!(kept, "no salvage serves the shore");
    let suppliers: BTreeSet<&str> = list
        .lines
        .iter()
        .filter(|line| line.to_buy > 0)
        .filter_map(|line| line.supplier.as_deref())
        .collect();
    assert_eq!(suppliers.len(), 2, "{suppliers:?}");
    assert_eq!(list.missing.len(), 1, "{:?}", list.missing);
}

/// Class by class: what the list costs, and what no way of cutting is below, are one figure.
#[test]
fn the_list_of_no_week_leaves_anything_to_save() {
    let job = log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY).job();
    let mut bought = Vec::new();
    for week in [1, 2, 3, 4] {
        let (_, classes) = buy_list_with_least(&job, &[week]);
        let cheap = Cheapness::of(&classes);
        assert_eq!(cheap.open, Money::ZERO, "week {week}: {classes:?}");
        bought.push(cheap.cost > Money::ZERO);
    }
    assert_eq!(bought, [false, true, true, true]);
}

#[test]
fn every_need_is_sold_long_enough_and_one_row_of_the_book_has_no_price() {
    let job = log(Uuid::from_u128(1), Uuid::from_u128(2), MONDAY).job();
    let mut unpriced = Vec::new();
    for week in [1, 2, 3, 4] {
        let list = buy_list(&job, &[week]);
        assert_eq!(list.unmet, Vec::<String>::new(), "week {week}");
        let lines = list
            .lines
            .into_iter()
            .filter(|line| line.note == "no price");
        unpriced.extend(lines.map(|line| line.words));
    }
    assert_eq!(unpriced, ["Splice plate, 3 x 12"]);
    let rows = job.all(Kind::Price);
    assert_eq!(rows.filter(|row| row.money("price").is_none()).count(), 1);
}

#[test]
fn the_demo_starts_on_any_day_of_the_calendar() {
    for monday in [
        date!(2024 - 02 - 26),
        date!(2027 - 01 - 04),
        date!(2099 - 12 - 28),
    ] {
        let log = log(Uuid::from_u128(1), Uuid::from_u128(2), monday);
        let week_2 = log
            .job()
            .get(row::id("week.2"))
            .and_then(|week| week.number("start"));
        assert_eq!(week_2, Some(i64::from(monday.to_julian_day())), "{monday}");
    }
}

#[test]
fn every_day_on_which_the_demo_begins_lies_in_its_second_week() {
    let mut today = date!(2026 - 11 - 23);
    for _ in 0..7 {
        let log = log(Uuid::from_u128(1), Uuid::from_u128(2), today);
        let job = log.job();
        let week = job.get(row::id("week.2")).unwrap();
        let day = i64::from(today.to_julian_day());
        let [first, last] = ["start", "end"].map(|name| week.number(name).unwrap());
        assert!(first <= day && day <= last, "{today}");
        assert!(last - first == 4 || today.weekday().number_days_from_monday() > 4);
        today = today.next_day().unwrap();
    }
}
