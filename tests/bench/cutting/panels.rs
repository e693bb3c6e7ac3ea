//! Panels at least cost: how many plans are proven, how long they take, and what they cost beside the best known plan and
//! the simple packing.
//!
//! One line a size of job: count, proven share, median and worst time, total cost in per cent of the best known and of
//! the simple packing of the same job. It prints and judges nothing; other files of the same form may be named.
//! `cargo bench -p scantling-server --bench panels`

use std::collections::BTreeMap;
use std::io::Write;
use std::time::{Duration, Instant};

use scantling_takeoff::cutting::panels::least_cost::{Job, Patches, Sheets, least_cost};
use scantling_takeoff::cutting::panels::{ForSale, OnHand, Patch, simple_panels};
use scantling_takeoff::units::{Length, Money};
use serde_json::Value;

/// Steps for one job.
const WORK: u64 = 400_000_000;

const PUBLISHED: &str = include_str!("../published/data/cutting/panels.json");

/// What one job came to.
struct Line {
    proven: bool,
    took: Duration,
    cost: i64,
    best: i64,
    simple: i64,
}

fn main() {
    let named: Vec<String> = std::env::args()
        .skip(1)
        .filter(|name| !name.starts_with("--"))
        .collect();
    let mut texts: Vec<String> = named
        .iter()
        .map(|name| std::fs::read_to_string(name).expect("the file named can be read"))
        .collect();
    if texts.is_empty() {
        texts.push(PUBLISHED.to_owned());
    }
    let mut families: BTreeMap<u64, Vec<Line>> = BTreeMap::new();
    for text in texts {
        let rows: Vec<Value> = serde_json::from_str(&text).expect("a list of instances");
        for row in &rows {
            let job = job(row);
            let n = job.patches.iter().map(|row| u64::from(row.count)).sum();
            let from = Instant::now();
            let plan = least_cost(&job, WORK, &|| false);
            families.entry(n).or_default().push(Line {
                proven: plan.proven,
                took: from.elapsed(),
                cost: plan.cost.as_cents(),
                best: row["best_cost"].as_i64().unwrap_or(plan.cost.as_cents()),
                simple: simple(&job),
            });
        }
    }
    print(&families, &mut std::io::stdout().lock()).expect("standard output can be written");
}

fn print(families: &BTreeMap<u64, Vec<Line>>, out: &mut impl Write) -> std::io::Result<()> {
    writeln!(
        out,
        "{:>8}{:>7}{:>8}{:>12}{:>12}{:>14}{:>14}",
        "patches", "jobs", "proven", "median", "worst", "% of best", "% of simple"
    )?;
    for (n, lines) in families {
        let mut took: Vec<Duration> = lines.iter().map(|line| line.took).collect();
        took.sort_unstable();
        let sum = |of: fn(&Line) -> i64| lines.iter().map(of).sum::<i64>();
        let cost = sum(|line| line.cost);
        writeln!(
            out,
            "{n:>8}{:>7}{:>8}{:>12}{:>12}{:>14}{:>14}",
            lines.len(),
            lines.iter().filter(|line| line.proven).count(),
            format!("{} ms", took[took.len() / 2].as_millis()),
            format!("{} ms", took.last().map_or(0, Duration::as_millis)),
            percent(cost, sum(|line| line.best)),
            percent(cost, sum(|line| line.simple)),
        )?;
    }
    Ok(())
}

fn percent(cost: i64, of: i64) -> String {
    if of == 0 {
        return "-".to_owned();
    }
    format!("{}.{}", cost * 100 / of, cost * 1_000 / of % 10)
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

/// What the simple packing of the same job costs; it knows no limits but those of what is on hand.
fn simple(job: &Job) -> i64 {
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
        })
        .collect();
    simple_panels(&patches, &on_hand, &for_sale, job.kerf)
        .cost
        .as_cents()
}
