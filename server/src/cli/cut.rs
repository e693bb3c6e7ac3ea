//! `scantling cut`: the cheapest way to get pieces out of what can be had, instance by instance, and a check of answers.

mod answer;
mod check;
mod instance;
mod panels;

use std::path::PathBuf;
use std::time::{Duration, Instant};

use scantling_takeoff::cutting::sticks::exact;

use super::{Failed, complain, read_file, say, write_out};
use answer::{Answer, Plan, StickRow, Unmet, UnmetPiece};
use instance::{Instance, Sticks, What};

/// What its help ends with.
pub(super) const EXAMPLES: &str = "\
Examples:
  scantling cut jobs.json > answers.jsonl
  scantling cut jobs.json --seconds 2 | scantling cut --check jobs.json -

FILE is a JSON list of instances; lengths are whole numbers in one unit, prices whole cents, a limit of null is none:
  sticks  {\"id\", \"kerf\", \"trim\", \"stock\": [{\"len\", \"price\", \"limit\"}], \"demand\": [{\"len\", \"count\"}]}
  panels  {\"id\", \"kerf\", \"stock\": [{\"along\", \"across\", \"price\", \"limit\"}],
           \"patches\": [{\"along\", \"across\", \"rotate\", \"count\"}]}
n pieces of a stick take their lengths and n - 1 kerfs; the trim comes off once.

One JSON object a line comes out: id, cost and lower_bound (both null where feasible is false; the plan then packs what
can be), proven, feasible, plan, unmet, ms. Proven says that no plan is cheaper, or that there is none.
An instance that makes no sense gets no line: standard error says which one, why and what would do, the others are answered,
and the exit code is 9; --check says that it is not answered. A file that is no JSON list ends it at once.
Of plans that cost the same it looks for one of fewest sticks, then one long rest; or of fewest sheets, then fewest cuts,
then one big rest. Of these it proves none.
  plan of sticks  [{\"len\", \"price\", \"times\", \"cuts\": [lengths]}]
  plan of panels  [{\"along\", \"across\", \"price\", \"times\", \"placed\": [{\"x\", \"y\", \"along\", \"across\"}], \"cuts\": [tree]}]
  unmet           [{\"len\", \"count\"}] or [{\"along\", \"across\", \"count\"}]
x is measured on the along side and y on the across side, from the sheet's zero corner. A tree is a straight cut through
what is at hand, first the whole sheet: {\"axis\", \"at\", \"before\": [tree], \"after\": [tree]}. axis is the side that the mark
`at` is made on, \"along\" or \"across\", and the cut runs square to it; at is measured from the sheet's zero corner, and the
kerf lies behind it. before is how the part up to the mark is cut on, after the part behind the kerf: a list of one tree,
or of none where that part is a patch or a rest.";

/// Its arguments.
#[derive(Debug, clap::Args)]
pub(super) struct Arguments {
    /// The instances; `-` is standard input.
    file: PathBuf,
    /// Answers to be checked with --check, one JSON object a line; `-` is standard input.
    #[arg(requires = "check")]
    answers: Option<PathBuf>,
    /// How long to look for a better plan or a proof, for each instance.
    #[arg(long, default_value_t = 10.0, value_parser = seconds)]
    seconds: f64,
    /// Check answers by working them out again; solves nothing.
    #[arg(long, requires = "answers")]
    check: bool,
}

fn seconds(text: &str) -> Result<f64, String> {
    text.parse()
        .ok()
        .filter(|seconds| (0.001..=86_400.0).contains(seconds))
        .ok_or_else(|| "a number of seconds from 0.001 to 86400, as in 2.5".to_owned())
}

/// Runs it.
pub(super) fn run(arguments: &Arguments) -> Result<(), Failed> {
    let entries = instance::entries(&read_file(&arguments.file)?).map_err(|error| {
        Failed::Instances(format!("the file is no JSON list of instances: {error}"))
    })?;
    if let Some(answers) = &arguments.answers {
        let wrong = check::wrong_answers(&entries, &read_file(answers)?);
        for fault in &wrong {
            say(fault)?;
        }
        return if wrong.is_empty() {
            say(&format!("{} answers are right.", entries.len()))
        } else {
            Err(Failed::WrongAnswer(wrong.len()))
        };
    }
    let mut refused = 0;
    for entry in &entries {
        let answer = match &entry.instance {
            Ok(instance) => {
                solve(instance, arguments.seconds).map_err(|why| format!("can't be taken: {why}"))
            }
            Err(why) => Err(format!("can't be read: {why}")),
        };
        match answer {
            Ok(answer) => {
                let mut line = serde_json::to_vec(&answer)
                    .expect("an answer of names, numbers and lists is JSON");
                line.push(b'\n');
                write_out(&line)?;
            }
            Err(why) => {
                refused += 1;
                complain(&format!("instance {} {why}", entry.place()));
            }
        }
    }
    if refused == 0 {
        Ok(())
    } else {
        Err(Failed::Instances(format!(
            "{refused} of {} instances get no answer; each is said above",
            entries.len()
        )))
    }
}

fn solve(instance: &Instance, seconds: f64) -> Result<Answer, String> {
    let begun = Instant::now();
    let (cost, lower_bound, proven, feasible, plan, unmet) = match &instance.what {
        What::Sticks(sticks) => {
            let found = sticks_cut(sticks, seconds, begun)?;
            let plan = found.plan.into_iter().map(|row| StickRow {
                len: row.length,
                price: row.price,
                times: row.times,
                cuts: row.cuts,
            });
            let unmet: Vec<UnmetPiece> = found
                .unmet
                .iter()
                .map(|piece| UnmetPiece {
                    len: piece.length,
                    count: piece.count,
                })
                .collect();
            (
                found.cost,
                found.lower_bound,
                found.proven,
                unmet.is_empty(),
                Plan::Sticks(plan.collect()),
                Unmet::Sticks(unmet),
            )
        }
        What::Panels(panels) => {
            let cut = panels::solve(panels, Duration::from_secs_f64(seconds), begun)?;
            (
                cut.cost,
                cut.lower_bound,
                cut.proven,
                cut.unmet.is_empty(),
                Plan::Panels(cut.plan),
                Unmet::Panels(cut.unmet),
            )
        }
    };
    Ok(Answer {
        id: instance.id.clone(),
        cost: feasible.then_some(cost),
        lower_bound: feasible.then_some(lower_bound),
        proven,
        feasible,
        plan,
        unmet,
        ms: (begun.elapsed().as_secs_f64() * 1e6).round() / 1e3,
    })
}

fn sticks_cut(sticks: &Sticks, seconds: f64, begun: Instant) -> Result<exact::Answer, String> {
    let instance = exact::Instance {
        stock: sticks
            .stock
            .iter()
            .map(|stick| exact::Stock {
                length: stick.len,
                trim: sticks.trim,
                price: stick.price,
                limit: stick.limit,
            })
            .collect(),
        demand: sticks
            .demand
            .iter()
            .map(|piece| exact::Demand {
                length: piece.len,
                count: piece.count,
            })
            .collect(),
        kerf: sticks.kerf,
    };
    let time = Duration::from_secs_f64(seconds);
    let limits = exact::WorkLimits::about(u64::try_from(time.as_millis()).unwrap_or(u64::MAX));
    exact::solve(&instance, &limits, &mut || begun.elapsed() >= time)
        .map_err(|refused| refused.to_string())
}
