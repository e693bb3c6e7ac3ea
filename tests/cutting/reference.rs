//! Every recorded instance through `scantling cut`, its plan cut again piece by piece.
//!
//! Source: `tests/published/data/cutting/README.md` says how the instances were made and how their best values were
//! proven, each by a general solver, by a bound on length, by construction or by hand. Answers of the command line come from a
//! fifth of a second, in counted steps or by the clock, so some stay open here; none may be wrong.

use std::collections::BTreeMap;
use std::path::Path;

use scantling_takeoff::cutting::sticks::exact::{Demand, Instance, Stock, WorkLimits, solve};
use serde_json::Value;

use super::{rows, whole};
use crate::cli::{run, run_with};

/// Copies of the recorded instances.
const STICKS: &str = include_str!("../published/data/cutting/sticks.json");
const EDGE: &str = include_str!("../published/data/cutting/sticks_edge.json");
const PANELS: &str = include_str!("../published/data/cutting/panels.json");

fn path(name: &str) -> String {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/published/data/cutting");
    folder.join(name).display().to_string()
}

fn answers(name: &str, seconds: &str) -> (String, Vec<Value>) {
    let out = run(&["cut", &path(name), "--seconds", seconds]).fine();
    let lines = out
        .lines()
        .map(|line| serde_json::from_str(line).unwrap())
        .collect();
    (out, lines)
}

/// Cuts a plan of sticks again: counts, fit with kerf and trim, limits; gives what it costs and how many sticks it takes.
fn cut_again(instance: &Value, answer: &Value) -> (i64, i64) {
    let id = &instance["id"];
    let mut open: BTreeMap<i64, i64> = BTreeMap::new();
    for row in rows(&instance["demand"]) {
        *open.entry(whole(&row["len"])).or_default() += whole(&row["count"]);
    }
    for row in rows(&answer["unmet"]) {
        *open.entry(whole(&row["len"])).or_default() -= whole(&row["count"]);
    }
    let mut used: BTreeMap<(i64, i64), i64> = BTreeMap::new();
    let (mut cost, mut sticks) = (0, 0);
    for row in rows(&answer["plan"]) {
        let (times, price) = (whole(&row["times"]), whole(&row["price"]));
        let cuts: Vec<i64> = rows(&row["cuts"]).iter().map(whole).collect();
        let kerfs = i64::try_from(cuts.len()).unwrap() - 1;
        let taken =
            cuts.iter().sum::<i64>() + kerfs * whole(&instance["kerf"]) + whole(&instance["trim"]);
        assert!(
            !cuts.is_empty() && times > 0 && taken <= whole(&row["len"]),
            "{id}: {row}"
        );
        for cut in cuts {
            *open.entry(cut).or_default() -= times;
        }
        *used.entry((whole(&row["len"]), price)).or_default() += times;
        cost += price * times;
        sticks += times;
    }
    assert!(
        open.values().all(|&n| n == 0),
        "{id}: pieces forgotten or cut twice"
    );
    for ((len, price), n) in used {
        let mut there = rows(&instance["stock"])
            .iter()
            .filter(|row| (whole(&row["len"]), whole(&row["price"])) == (len, price))
            .map(|row| row["limit"].as_i64());
        let most = there.try_fold(0, |sum, limit| limit.map(|limit| sum + limit));
        assert!(
            most.is_none_or(|most| n <= most),
            "{id}: {n} sticks {len} long"
        );
    }
    (cost, sticks)
}

/// The recorded best holds whatever the solver says: no bound above it, no proof beside it.
fn hold_against(instance: &Value, answer: &Value) {
    let id = &instance["id"];
    assert_eq!(id, &answer["id"]);
    let (cost, sticks) = cut_again(instance, answer);
    let Some(best) = instance["best_cost"].as_i64() else {
        assert_eq!(
            (&answer["feasible"], &answer["proven"]),
            (&Value::Bool(false), &Value::Bool(true)),
            "{id}"
        );
        assert_eq!(
            (&answer["cost"], &answer["lower_bound"]),
            (&Value::Null, &Value::Null),
            "{id}"
        );
        assert!(!rows(&answer["unmet"]).is_empty(), "{id}");
        return;
    };
    assert_eq!(answer["cost"], cost, "{id}");
    let bound = whole(&answer["lower_bound"]);
    assert!(
        bound <= best,
        "{id}: the bound {bound} is above {best}, which somebody has reached"
    );
    assert!(
        cost >= whole(&instance["lower_bound"]),
        "{id}: {cost} is below what somebody has proven"
    );
    assert_eq!(answer["proven"], bound == cost, "{id}");
    if answer["proven"] == true {
        // Where nobody has proven the recorded best, ours may be cheaper.
        assert!(
            cost <= best,
            "{id}: {cost} is proven, and {best} was reached"
        );
        assert!(instance["proven"] == false || cost == best, "{id}");
        if let Some(fewest) = instance["min_sticks"].as_i64() {
            assert_eq!(
                sticks, fewest,
                "{id}: so many sticks, where {fewest} are proven to be needed and enough"
            );
        }
    }
}

#[test]
fn recorded_instances_are_never_proven_wrong() {
    let recorded: Vec<Value> = serde_json::from_str(STICKS).unwrap();
    let (out, answers) = answers("sticks.json", "0.2");
    assert_eq!(recorded.len(), answers.len());
    for (instance, answer) in recorded.iter().zip(&answers) {
        hold_against(instance, answer);
    }
    let checked = run_with(&["cut", "--check", &path("sticks.json"), "-"], &out).fine();
    assert_eq!(checked, format!("{} answers are right.\n", recorded.len()));
}

/// A recorded instance as the core takes it.
fn instance(recorded: &Value) -> Instance {
    let stock = rows(&recorded["stock"]).iter().map(|row| Stock {
        length: whole(&row["len"]),
        trim: whole(&recorded["trim"]),
        price: whole(&row["price"]),
        limit: row["limit"].as_i64(),
    });
    let demand = rows(&recorded["demand"]).iter().map(|row| Demand {
        length: whole(&row["len"]),
        count: whole(&row["count"]),
    });
    Instance {
        stock: stock.collect(),
        demand: demand.collect(),
        kerf: whole(&recorded["kerf"]),
    }
}

/// With the steps counted and no clock, so that it comes out the same on every machine: as many steps as the command line has
/// for a third of a second. It proves 129 of 130; one of these takes nine tenths of the steps, and any change of the search
/// may lose it, so two may stay open.
#[test]
fn all_recorded_instances_but_two_are_proven_by_counted_work() {
    let recorded: Vec<Value> = serde_json::from_str(STICKS).unwrap();
    let open: Vec<&Value> = recorded
        .iter()
        .filter(|one| {
            let found = solve(&instance(one), &WorkLimits::about(340), &mut || false).unwrap();
            assert!(!found.stopped);
            // What is proven to be least is what somebody has reached and proven, too.
            let best = one["best_cost"].as_i64();
            assert!(!found.proven || one["proven"] == false || best == Some(found.cost));
            !found.proven
        })
        .map(|one| &one["id"])
        .collect();
    assert!(
        recorded.len() == 130 && open.len() <= 2,
        "{open:?} are open"
    );
}

#[test]
fn each_edge_has_the_value_worked_by_hand() {
    let recorded: Vec<Value> = serde_json::from_str(EDGE).unwrap();
    let (out, answers) = answers("sticks_edge.json", "1");
    for (instance, answer) in recorded.iter().zip(&answers) {
        hold_against(instance, answer);
        assert_eq!(answer["proven"], true, "{}", instance["id"]);
    }
    assert_eq!(recorded.len(), answers.len());
    run_with(&["cut", "--check", &path("sticks_edge.json"), "-"], &out).fine();
}

#[test]
fn panels_are_cut_as_their_trees_say_and_no_bound_is_above_the_best() {
    let recorded: Vec<Value> = serde_json::from_str(PANELS).unwrap();
    let (out, answers) = answers("panels.json", "1");
    for (instance, answer) in recorded.iter().zip(&answers) {
        let (best, id) = (whole(&instance["best_cost"]), &instance["id"]);
        assert!(whole(&answer["lower_bound"]) <= best, "{id}");
        assert!(
            whole(&answer["cost"]) >= whole(&instance["lower_bound"]),
            "{id}"
        );
    }
    let checked = run_with(&["cut", "--check", &path("panels.json"), "-"], &out).fine();
    assert_eq!(checked, format!("{} answers are right.\n", recorded.len()));
}
