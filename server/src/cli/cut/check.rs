//! A check of answers that shares no code with what made them: it reads what was printed and works it out again.
//!
//! It sees whether a plan can be cut, is what was asked for and costs what it says, and where something is left out, whether
//! that still fits; a bound it can only hold against the cost, and against the best cost that the file tells.

mod panels;
mod sticks;

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;

use super::instance::{Entry, Instance, What, name};

/// The parts of an answer that are alike for sticks and panels.
#[derive(Deserialize)]
struct Printed {
    id: Value,
    cost: Option<i64>,
    lower_bound: Option<i64>,
    proven: bool,
    feasible: bool,
    plan: Value,
    unmet: Value,
    ms: f64,
}

/// What a plan comes to.
struct Sum {
    /// Cents.
    cost: i128,
    /// Whether anything is left out.
    leaves_out: bool,
    /// What is left out though the plan has room for it.
    still_fits: Option<String>,
}

/// One sentence for each answer that is wrong, missing or there twice.
pub(super) fn wrong_answers(entries: &[Entry], text: &str) -> Vec<String> {
    let mut wrong = Vec::new();
    let mut answers: BTreeMap<String, Printed> = BTreeMap::new();
    for (number, line) in text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.trim().is_empty())
    {
        match serde_json::from_str::<Printed>(line) {
            Ok(answer) => {
                let id = name(&answer.id);
                if answers.insert(id.clone(), answer).is_some() {
                    wrong.push(format!("{id}: answered twice"));
                }
            }
            Err(error) => wrong.push(format!("line {}: no answer: {error}", number + 1)),
        }
    }
    for Entry { name, instance, .. } in entries {
        let why = match (instance, answers.remove(name)) {
            (Ok(_), None) => Err("not answered".to_owned()),
            (Err(why), None) => Err(format!("not answered; it can't be read: {why}")),
            (Err(why), Some(_)) => Err(format!("answered, and it can't be read: {why}")),
            (Ok(instance), Some(answer)) => look_at(instance, &answer),
        };
        wrong.extend(why.err().map(|why| format!("{name}: {why}")));
    }
    wrong.extend(answers.keys().map(|id| format!("{id}: not asked for")));
    wrong
}

fn look_at(instance: &Instance, answer: &Printed) -> Result<(), String> {
    let sum = match &instance.what {
        What::Sticks(sticks) => sticks::sum(sticks, &answer.plan, &answer.unmet)?,
        What::Panels(panels) => panels::sum(panels, &answer.plan, &answer.unmet)?,
    };
    if answer.ms.is_nan() || answer.ms < 0.0 {
        return Err("it took less than no time".to_owned());
    }
    if sum.leaves_out == answer.feasible {
        return Err(format!(
            "feasible is {}, and the plan says otherwise",
            answer.feasible
        ));
    }
    let (cost, bound) = match (answer.feasible, answer.cost, answer.lower_bound) {
        (false, None, None) => {
            if let Some(best) = instance.best_cost {
                return Err(format!("not feasible, and somebody has reached {best}"));
            }
            return sum.still_fits.map_or(Ok(()), Err);
        }
        (true, Some(cost), Some(bound)) => (cost, bound),
        _ => {
            return Err(
                "cost and lower_bound are null if and only if it is not feasible".to_owned(),
            );
        }
    };
    if i128::from(cost) != sum.cost {
        return Err(format!("the plan costs {} and not {cost}", sum.cost));
    }
    if bound > cost || bound < 0 {
        return Err(format!(
            "the bound {bound} is above the cost {cost}, or below nothing"
        ));
    }
    if answer.proven != (bound == cost) {
        return Err(format!(
            "proven is {}, with cost {cost} and bound {bound}",
            answer.proven
        ));
    }
    if let Some(best) = instance.best_cost
        && bound > best
    {
        return Err(format!(
            "the bound {bound} is above {best}, which somebody has reached"
        ));
    }
    Ok(())
}

/// Takes `n` of what is counted; says what is missing where there are not so many.
fn take<K: Ord + std::fmt::Debug>(
    counts: &mut BTreeMap<K, i128>,
    key: &K,
    n: i128,
) -> Result<(), String> {
    match counts.get_mut(key) {
        Some(left) if *left >= n => {
            *left -= n;
            Ok(())
        }
        left => Err(format!(
            "{n} of {key:?} where {} are left",
            left.map_or(0, |left| *left)
        )),
    }
}

/// A value as what it should be.
fn read<T: serde::de::DeserializeOwned>(value: &Value, what: &str) -> Result<T, String> {
    serde_json::from_value(value.clone())
        .map_err(|error| format!("its {what} can't be read: {error}"))
}
