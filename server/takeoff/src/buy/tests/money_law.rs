//! Law 5 over random paper: spent by supplier, by week and by change each comes to lines and tax, to the cent.

use proptest::prelude::*;
use uuid::Uuid;

use super::super::ledger::{Cause, Movement};
use super::super::{Item, money};
use super::entries::{YARD, uuid};
use super::laws::cases;
use super::money::{FIRST, Paper, SECOND, THIRD};
use crate::record::Kind;
use crate::units::{Money, decimal_text};

/// A line: cents, if it has a price; count; whether it goes back; weeks; weights of no change and of three; taken back.
type Line = (Option<i64>, i64, bool, Vec<u32>, [i64; 4], bool);
/// A slip: whether it has a supplier; rate in 1/1000 %, if typed; tax in cents, if typed; its lines.
type Slip = (bool, Option<i64>, Option<i64>, Vec<Line>);

fn line() -> impl Strategy<Value = Line> {
    (
        prop::option::weighted(0.85, prop_oneof![0_i64..30, 0_i64..20_000]),
        1_i64..40,
        prop::bool::weighted(0.3),
        prop::collection::vec(1_u32..4, 1..3),
        prop::array::uniform4(prop_oneof![Just(0_i64), 1_i64..5, 1_i64..1_000_000_000]),
        prop::bool::weighted(0.1),
    )
}

fn slip() -> impl Strategy<Value = Slip> {
    (
        any::<bool>(),
        prop::option::of(prop_oneof![Just(6_250_i64), Just(5_000), 0_i64..=15_000]),
        prop::option::weighted(0.2, 0_i64..5_000),
        prop::collection::vec(line(), 0..6),
    )
}

/// Half up in size, then the sign, by other arithmetic than the rule's: twice the size, and one down by half a unit.
pub(super) fn tax_on(cents: i64, rate: i64) -> i64 {
    let twice = 2 * cents.abs() * rate;
    let (whole, rest) = (twice.div_euclid(200_000), twice.rem_euclid(200_000));
    (whole + i64::from(rest >= 100_000)) * cents.signum()
}

/// The paper as records; and what all of it comes to: lines with tax.
fn write(tax: i64, slips: &[Slip]) -> (Paper, i64) {
    let mut paper = Paper::at_tax(&decimal_text(tax, 3));
    let mut all = 0;
    for (number, (at_yard, rate, typed, lines)) in (0_u128..).zip(slips) {
        let slip = 1_000 + number;
        let yard = uuid(YARD);
        let mut fields: Vec<(&str, String)> = Vec::new();
        if *at_yard {
            fields.push(("supplier", yard));
        }
        if let Some(rate) = rate {
            fields.push(("tax", decimal_text(*rate, 3)));
        }
        if let Some(typed) = typed {
            fields.push(("tax_typed", decimal_text(*typed, 2)));
        }
        let fields: Vec<(&str, &str)> = fields.iter().map(|(n, t)| (*n, t.as_str())).collect();
        paper.slip(slip, &fields);
        let mut sum = 0;
        for (at, (price, count, back, weeks, weights, is_taken_back)) in (0_u128..).zip(lines) {
            let id = 100_000 + slip * 100 + at;
            let mut typed = vec![("count", count.to_string())];
            typed.extend(weeks.iter().map(|week| ("weeks", week.to_string())));
            if let Some(price) = price {
                typed.push(("price", decimal_text(*price, 2)));
            }
            if *back {
                typed.push(("way", "returned".to_owned()));
            }
            let typed: Vec<(&str, &str)> = typed.iter().map(|(n, t)| (*n, t.as_str())).collect();
            let of = [None, Some(FIRST), Some(SECOND), Some(THIRD)];
            let shares: Vec<(Option<u128>, i64)> = of.into_iter().zip(*weights).collect();
            paper.line(slip, id, &typed, &shares);
            if *is_taken_back {
                take_back(&mut paper, id);
            } else {
                let size = price.unwrap_or(0) * count;
                sum += if *back { -size } else { size };
            }
        }
        all += sum;
        all += match typed {
            Some(typed) if sum < 0 => -typed,
            Some(typed) => *typed,
            None => tax_on(sum, rate.unwrap_or(tax)),
        };
    }
    (paper, all)
}

fn take_back(paper: &mut Paper, line: u128) {
    let moved = Movement {
        item: Item::Sundry {
            name: "rope".to_owned(),
            unit: "each".to_owned(),
        },
        row: None,
        count: 1,
        cause: Cause::Bought,
        weeks: vec![1],
        change: None,
        entry: Uuid::from_u128(line * 2),
        about: Uuid::from_u128(line),
        reverses: None,
        instead_of: None,
    };
    let back = Movement {
        count: -1,
        cause: Cause::Reversed,
        entry: Uuid::from_u128(line * 2 + 1),
        reverses: Some(moved.entry),
        ..moved.clone()
    };
    paper.ledger.movements.extend([moved, back]);
}

/// Spent, bought, returned, tax.
type Four = (Money, Money, Money, Money);

proptest! {
    #![proptest_config(cases())]

    #[test]
    fn spent_by_supplier_by_week_and_by_change_each_come_to_lines_and_tax(
        tax in prop_oneof![Just(6_250_i64), Just(5_000), 0_i64..=15_000],
        slips in prop::collection::vec(slip(), 1..5),
    ) {
        let (paper, all) = write(tax, &slips);
        let job = paper.job();
        let sums = money(&job);
        prop_assert_eq!(sums.total.spent().as_cents(), all);
        let by = [
            ("supplier", sums.suppliers.values().map(|row| (row.spent(), row.bought, row.returned, row.tax)).collect::<Vec<_>>()),
            ("week", sums.weeks.values().map(|row| (row.spent(), row.bought, row.returned, row.tax)).collect()),
            ("change", sums.changes.values().map(|row| (row.spent(), row.bought, row.returned, row.tax)).collect()),
        ];
        for (what, rows) in by {
            let sum = |of: fn(&Four) -> Money| rows.iter().map(of).sum::<Money>();
            prop_assert_eq!(sum(|row| row.0).as_cents(), all, "by {}", what);
            prop_assert_eq!(sum(|row| row.1), sums.total.bought, "bought by {}", what);
            prop_assert_eq!(sum(|row| row.2), sums.total.returned, "returned by {}", what);
            prop_assert_eq!(sum(|row| row.3), sums.total.tax, "tax by {}", what);
        }
        for row in sums.weeks.values().chain(sums.suppliers.values()).chain(sums.changes.values()) {
            prop_assert!(row.bought >= Money::ZERO && row.returned >= Money::ZERO);
        }
        // Lines without a price are counted once by week and by supplier.
        let unpriced = job.all(Kind::Bought).filter(|line| line.money("price").is_none() && !job.ledger.is_taken_back(line.id)).count();
        prop_assert_eq!(sums.total.unpriced, unpriced);
        prop_assert_eq!(sums.weeks.values().map(|row| row.unpriced).sum::<usize>(), unpriced);
        prop_assert_eq!(sums.suppliers.values().map(|row| row.unpriced).sum::<usize>(), unpriced);
    }

    #[test]
    fn no_part_of_a_line_is_a_cent_away_from_the_exact_one(
        cents in 0_i64..100_000, weights in prop::array::uniform4(0_i64..1_000_000_000),
    ) {
        let mut paper = Paper::at_tax("");
        paper.slip(1_000, &[]);
        let price = decimal_text(cents, 2);
        let of = [None, Some(FIRST), Some(SECOND), Some(THIRD)];
        let shares: Vec<(Option<u128>, i64)> = of.into_iter().zip(weights).collect();
        paper.line(1_000, 2_000, &[("price", &price)], &shares);
        let sums = money(&paper.job());
        let sum: i128 = weights.iter().map(|weight| i128::from(*weight)).sum();
        for (change, weight) in shares.iter().filter(|_| sum > 0) {
            let row = sums.changes.get(&change.map(Uuid::from_u128)).copied().unwrap_or_default();
            // part − exact, times the sum of the weights, is under one sum in size.
            let off = i128::from(row.spent().as_cents()) * sum - i128::from(cents) * i128::from(*weight);
            prop_assert!(off.abs() < sum, "{:?}: {}", change, row.spent());
        }
    }
}
