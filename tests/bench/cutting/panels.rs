//! One instance of panels, cut and timed.

use std::time::{Duration, Instant};

use scantling_takeoff::cutting::panels::least_cost::{Job, Patches, Sheets, least_cost};
use scantling_takeoff::cutting::panels::{ForSale, OnHand, Patch, simple_panels};
use scantling_takeoff::units::{Length, Money};
use serde_json::Value;

use crate::Line;

/// Steps of the search for each second.
const STEPS_A_SECOND: u64 = 40_000_000;

pub(crate) fn cut(recorded: &Value, seconds: u64) -> Line {
    let job = job(recorded);
    let begun = Instant::now();
    let time = Duration::from_secs(seconds);
    let plan = least_cost(&job, seconds * STEPS_A_SECOND, &|| begun.elapsed() >= time);
    let took = begun.elapsed();
    let simple_begun = Instant::now();
    let longest_first = simple(&job);
    Line {
        proven: plan.proven,
        took,
        cost: plan.feasible.then(|| plan.cost.as_cents()),
        longest_first,
        simple_took: Some(simple_begun.elapsed()),
    }
}

fn job(row: &Value) -> Job {
    let length = |value: &Value| Length::from_64ths(value.as_i64().expect("a length"));
    let count = |value: &Value| value.as_u64().map(|n| u32::try_from(n).expect("a count"));
    let rows = |name: &str| row[name].as_array().expect("rows").clone();
    Job {
        sheets: rows("stock")
            .iter()
            .map(|row| Sheets {
                along: length(&row["along"]),
                across: length(&row["across"]),
                price: Money::from_cents(row["price"].as_i64().expect("a price")),
                limit: count(&row["limit"]),
            })
            .collect(),
        patches: rows("patches")
            .iter()
            .map(|row| Patches {
                along: length(&row["along"]),
                across: length(&row["across"]),
                count: count(&row["count"]).expect("a count"),
                turn: row["rotate"].as_bool().unwrap_or(false),
            })
            .collect(),
        kerf: length(&row["kerf"]),
    }
}

/// What the simple packing of the same job costs.
fn simple(job: &Job) -> Option<i64> {
    let patches: Vec<Patch<()>> = job
        .patches
        .iter()
        .flat_map(|row| {
            let patch = Patch {
                label: (),
                along: row.along,
                across: row.across,
                turn: row.turn,
            };
            std::iter::repeat_n(patch, row.count as usize)
        })
        .collect();
    let (here, sold): (Vec<&Sheets>, Vec<&Sheets>) =
        job.sheets.iter().partition(|row| row.price == Money::ZERO);
    let on_hand: Vec<OnHand<u32>> = (0..)
        .zip(
            here.iter()
                .flat_map(|row| std::iter::repeat_n(row, row.limit.unwrap_or(1) as usize)),
        )
        .map(|(id, row)| OnHand {
            id,
            along: row.along,
            across: row.across,
        })
        .collect();
    let for_sale: Vec<ForSale> = sold
        .iter()
        .map(|row| ForSale {
            along: row.along,
            across: row.across,
            price: Some(row.price),
            limit: row.limit.map(i64::from),
        })
        .collect();
    let packing = simple_panels(&patches, &on_hand, &for_sale, job.kerf);
    packing.unmet.is_empty().then(|| packing.cost.as_cents())
}
