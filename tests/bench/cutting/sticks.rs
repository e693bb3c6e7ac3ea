//! One instance of sticks, cut and timed.

use std::time::{Duration, Instant};

use scantling_takeoff::cutting::sticks::exact::{
    Demand, Instance, Stock, WorkLimits, longest_first, solve,
};
use serde_json::Value;

use crate::{Line, list, whole};

pub(crate) fn cut(recorded: &Value, seconds: u64) -> Line {
    let instance = instance(recorded);
    let begun = Instant::now();
    let limits = WorkLimits::about(seconds * 1_000);
    let time = Duration::from_secs(seconds);
    let answer =
        solve(&instance, &limits, &mut || begun.elapsed() >= time).expect("a recorded instance");
    let took = begun.elapsed();
    let simple_begun = Instant::now();
    let longest_first = longest_first(&instance);
    Line {
        proven: answer.proven,
        took,
        cost: answer.unmet.is_empty().then_some(answer.cost),
        longest_first,
        simple_took: Some(simple_begun.elapsed()),
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
