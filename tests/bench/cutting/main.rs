//! How well and how fast sticks are cut: the recorded instances, one line a family.
//!
//! How many, the share proven, median and worst time, and cost against the recorded best and against cutting longest
//! first, both summed over the family. It prints and judges nothing.
//! `cargo bench -p scantling-server --bench cutting [-- SECONDS [FILE]]`

use std::collections::BTreeMap;
use std::io::Write;
use std::time::{Duration, Instant};

use scantling_takeoff::cutting::sticks::exact::{
    Answer, Demand, Instance, Stock, WorkLimits, longest_first, solve,
};
use serde_json::Value;

const RECORDED: &str = include_str!("../published/data/cutting/sticks.json");

/// What a family came to.
#[derive(Default)]
struct Family {
    times: Vec<Duration>,
    proven: usize,
    dearer: usize,
    cost: i64,
    best: i64,
    simple: i64,
}

fn main() {
    let arguments: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    let seconds: u64 = arguments
        .first()
        .map_or(10, |text| text.parse().expect("whole seconds"));
    let text = arguments.get(1).map_or_else(
        || RECORDED.to_owned(),
        |file| std::fs::read_to_string(file).expect("a file of instances"),
    );
    let recorded: Vec<Value> = serde_json::from_str(&text).expect("a JSON list of instances");
    let mut families: BTreeMap<String, Family> = BTreeMap::new();
    for one in &recorded {
        let instance = instance(one);
        let begun = Instant::now();
        let limits = WorkLimits::about(seconds * 1_000);
        let time = Duration::from_secs(seconds);
        let answer = solve(&instance, &limits, &mut || begun.elapsed() >= time)
            .expect("a recorded instance");
        let took = begun.elapsed();
        add(
            families.entry(name(one)).or_default(),
            one,
            &instance,
            &answer,
            took,
        );
    }
    print(&families).expect("standard output can be written");
}

fn add(
    family: &mut Family,
    recorded: &Value,
    instance: &Instance,
    answer: &Answer,
    took: Duration,
) {
    let Some(best) = recorded["best_cost"].as_i64() else {
        return;
    };
    family.times.push(took);
    family.proven += usize::from(answer.proven);
    family.dearer += usize::from(answer.cost > best);
    family.cost += answer.cost;
    family.best += best;
    family.simple += longest_first(instance).unwrap_or(answer.cost);
}

fn print(families: &BTreeMap<String, Family>) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(
        out,
        "{:14}{:>6}{:>8}{:>12}{:>12}{:>9}{:>11}{:>16}",
        "family",
        "count",
        "proven",
        "median ms",
        "worst ms",
        "dearer",
        "over best",
        "longest first"
    )?;
    for (name, family) in families {
        let mut times: Vec<f64> = family
            .times
            .iter()
            .map(|time| time.as_secs_f64() * 1e3)
            .collect();
        times.sort_by(f64::total_cmp);
        let over = |cost: i64| (share(cost) / share(family.best) - 1.0) * 100.0;
        writeln!(
            out,
            "{name:14}{:>6}{:>7.0}%{:>12.2}{:>12.1}{:>9}{:>10.3}%{:>15.3}%",
            times.len(),
            share(i64::try_from(family.proven).unwrap_or(0)) * 100.0
                / share(i64::try_from(times.len()).unwrap_or(1)),
            times[times.len() >> 1],
            times[times.len() - 1],
            family.dearer,
            over(family.cost),
            over(family.simple),
        )?;
    }
    Ok(())
}

#[expect(
    clippy::cast_precision_loss,
    reason = "for shares to be read by people"
)]
fn share(n: i64) -> f64 {
    n as f64
}

/// The family; of jobs, with the number of pieces.
fn name(recorded: &Value) -> String {
    let family = recorded["family"].as_str().unwrap_or("?");
    let pieces: i64 = list(&recorded["demand"])
        .iter()
        .map(|row| whole(&row["count"]))
        .sum();
    match family {
        "remodel" => format!("{family} {pieces:>4}"),
        _ => family.to_owned(),
    }
}

fn instance(recorded: &Value) -> Instance {
    Instance {
        stock: list(&recorded["stock"])
            .iter()
            .map(|row| Stock {
                length: whole(&row["len"]),
                trim: whole(&recorded["trim"]),
                price: whole(&row["price"]),
                limit: row["limit"].as_i64(),
            })
            .collect(),
        demand: list(&recorded["demand"])
            .iter()
            .map(|row| Demand {
                length: whole(&row["len"]),
                count: whole(&row["count"]),
            })
            .collect(),
        kerf: whole(&recorded["kerf"]),
    }
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or(0)
}
