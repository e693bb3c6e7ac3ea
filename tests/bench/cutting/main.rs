//! How well and how fast sticks and panels are cut: the recorded instances, one line a family.
//!
//! How many have a plan and how many are without one; of those with a plan the share proven, median and worst time, the
//! median of how many times as long the search takes as the simple packer, measured in the same go, how many are dearer than
//! the recorded best, and cost against the recorded best and against cutting longest first, summed over the family; and the
//! demo's weeks, each with its whole takeoff. With the word `general` a general solver for whole numbers from Python's package
//! index runs beside it, in the same go. It prints and judges nothing.
//! `cargo bench -p scantling-server --bench cutting [-- [general] [SECONDS] [FILE …]]`

mod demo;
mod general;
mod panels;
mod sticks;

use std::collections::BTreeMap;
use std::io::Write;
use std::path::PathBuf;
use std::time::Duration;

use serde_json::Value;

/// The recorded instances.
const RECORDED: [&str; 2] = ["sticks.json", "panels.json"];

/// What one instance came to.
pub(crate) struct Line {
    pub(crate) proven: bool,
    pub(crate) took: Duration,
    /// Cents; none where not everything is cut.
    pub(crate) cost: Option<i64>,
    /// What cutting longest first costs.
    pub(crate) longest_first: Option<i64>,
    /// How long the simple packer took, where it runs by itself.
    pub(crate) simple_took: Option<Duration>,
}

/// What a family came to.
#[derive(Default)]
struct Family {
    times: Vec<f64>,
    /// The search's time to the simple packer's.
    ratios: Vec<f64>,
    without_plan: usize,
    proven: usize,
    dearer: usize,
    cost: i64,
    best: i64,
    longest_first: i64,
    general: general::Sum,
}

fn main() {
    let words: Vec<String> = std::env::args()
        .skip(1)
        .filter(|word| !word.starts_with("--"))
        .collect();
    let beside = words.iter().any(|word| word == "general");
    let seconds = words
        .iter()
        .find_map(|word| word.parse().ok())
        .unwrap_or(10);
    let named: Vec<PathBuf> = words
        .iter()
        .filter(|word| *word != "general" && word.parse::<u64>().is_err())
        .map(PathBuf::from)
        .collect();
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/published/data/cutting");
    let files = if named.is_empty() {
        RECORDED.iter().map(|name| folder.join(name)).collect()
    } else {
        named
    };
    let mut families: BTreeMap<String, Family> = BTreeMap::new();
    for line in demo::weeks() {
        let family = families.entry("demo, by week".to_owned()).or_default();
        family.add(&Value::Null, &line);
    }
    for file in &files {
        let text = std::fs::read_to_string(file).expect("a file of instances");
        let recorded: Vec<Value> = serde_json::from_str(&text).expect("a JSON list of instances");
        let others = if beside {
            general::answers(file, seconds)
        } else {
            BTreeMap::new()
        };
        for one in &recorded {
            let line = if one["demand"].is_array() {
                sticks::cut(one, seconds)
            } else {
                panels::cut(one, seconds)
            };
            let family = families.entry(name(one)).or_default();
            family.add(one, &line);
            family.general.add(one, &line, &others);
        }
    }
    print(&families, beside).expect("standard output can be written");
}

impl Family {
    fn add(&mut self, recorded: &Value, line: &Line) {
        let Some(cost) = line.cost else {
            self.without_plan += 1;
            return;
        };
        let ratio = line
            .simple_took
            .map(|simple| line.took.as_secs_f64() / simple.as_secs_f64().max(1e-9));
        self.ratios.extend(ratio);
        let best = recorded["best_cost"].as_i64().unwrap_or(cost);
        self.times.push(line.took.as_secs_f64() * 1e3);
        self.proven += usize::from(line.proven);
        self.dearer += usize::from(cost > best);
        self.cost += cost;
        self.best += best;
        self.longest_first += line.longest_first.unwrap_or(cost);
    }
}

fn print(families: &BTreeMap<String, Family>, beside: bool) -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    write!(
        out,
        "{:14}{:>6}{:>14}{:>8}{:>11}{:>11}{:>35}{:>8}{:>11}{:>15}",
        "family",
        "count",
        "without plan",
        "proven",
        "median ms",
        "worst ms",
        "ratio to the simple packer's time",
        "dearer",
        "over best",
        "longest first"
    )?;
    let head = if beside { general::HEAD } else { "" };
    writeln!(out, "{head}")?;
    for (name, family) in families {
        let over = |cost: i64| (share(cost) / share(family.best.max(1)) - 1.0) * 100.0;
        let worst = family.times.iter().copied().max_by(f64::total_cmp);
        write!(
            out,
            "{name:14}{:>6}{:>14}{:>7.0}%{:>11}{:>11}{:>35}{:>8}{:>10.3}%{:>14.3}%",
            family.times.len(),
            family.without_plan,
            share_of(family.proven, family.times.len()),
            shown(median(&family.times), 2),
            shown(worst, 1),
            shown(median(&family.ratios), 1),
            family.dearer,
            over(family.cost),
            over(family.longest_first),
        )?;
        let other = if beside {
            family.general.line()
        } else {
            String::new()
        };
        writeln!(out, "{other}")?;
    }
    Ok(())
}

fn median(values: &[f64]) -> Option<f64> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len() >> 1).copied()
}

/// A dash where there is nothing to show.
fn shown(value: Option<f64>, places: usize) -> String {
    value.map_or_else(|| "–".to_owned(), |value| format!("{value:.places$}"))
}

/// The family; of jobs and panels, with the number of pieces.
fn name(recorded: &Value) -> String {
    let family = recorded["family"].as_str().unwrap_or("?");
    let pieces: i64 = ["demand", "patches"]
        .iter()
        .flat_map(|rows| list(&recorded[*rows]))
        .map(|row| whole(&row["count"]))
        .sum();
    match family {
        "remodel" | "panel" => format!("{family} {pieces:>4}"),
        _ => family.to_owned(),
    }
}

/// In per cent.
pub(crate) fn share_of(part: usize, of: usize) -> f64 {
    let as_share = |n: usize| share(i64::try_from(n).unwrap_or(0));
    as_share(part) * 100.0 / as_share(of.max(1))
}

#[expect(
    clippy::cast_precision_loss,
    reason = "for shares to be read by people"
)]
pub(crate) fn share(n: i64) -> f64 {
    n as f64
}

pub(crate) fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

pub(crate) fn whole(value: &Value) -> i64 {
    value.as_i64().unwrap_or(0)
}
