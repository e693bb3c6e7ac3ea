//! A general solver on the same instances, run in the same go: OR-Tools from Python's package index (Apache 2.0).
//!
//! It is put into a Python of its own below `target/` the first time it is asked for; nothing else here uses it.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::Command;

use serde_json::Value;

use crate::{Line, share, share_of};

/// Above [`Sum::line`].
pub(crate) const HEAD: &str =
    "  |  general: proven  median ms  worst ms  without plan  its cost to ours";

/// What it came to in a family.
#[derive(Default)]
pub(crate) struct Sum {
    times: Vec<f64>,
    proven: usize,
    without_plan: usize,
    /// Of the instances where both have a plan.
    cost: i64,
    ours: i64,
}

impl Sum {
    pub(crate) fn add(&mut self, recorded: &Value, line: &Line, answers: &BTreeMap<String, Value>) {
        let Some(answer) = recorded["id"].as_str().and_then(|id| answers.get(id)) else {
            return;
        };
        self.times.extend(answer["ms"].as_f64());
        self.proven += usize::from(answer["proven"] == true);
        match (answer["cost"].as_i64(), line.cost) {
            (Some(cost), Some(ours)) => {
                self.cost += cost;
                self.ours += ours;
            }
            (None, _) => self.without_plan += 1,
            (Some(_), None) => {}
        }
    }

    pub(crate) fn line(&self) -> String {
        let mut times = self.times.clone();
        times.sort_by(f64::total_cmp);
        let (Some(worst), Some(median)) = (times.last(), times.get(times.len() >> 1)) else {
            return String::new();
        };
        let over = (share(self.cost) / share(self.ours.max(1)) - 1.0) * 100.0;
        format!(
            "  |{:>16.0}%{median:>11.1}{worst:>10.0}{:>14}{over:>17.3}%",
            share_of(self.proven, times.len()),
            self.without_plan,
        )
    }
}

/// Its answers to a file, by id.
pub(crate) fn answers(file: &Path, seconds: u64) -> BTreeMap<String, Value> {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../tests/bench/cutting");
    let python = python(&folder);
    let out = Command::new(python)
        .arg(folder.join("general.py"))
        .arg(file)
        .arg(seconds.to_string())
        .output()
        .expect("Python runs");
    assert!(
        out.status.success(),
        "{}",
        String::from_utf8_lossy(&out.stderr)
    );
    let text = String::from_utf8_lossy(&out.stdout);
    let answers = text.lines().map(|line| {
        let answer: Value = serde_json::from_str(line).expect("an answer a line");
        (answer["id"].as_str().unwrap_or_default().to_owned(), answer)
    });
    answers.collect()
}

/// The Python that has it, made if it is not there yet.
fn python(folder: &Path) -> PathBuf {
    let target = std::env::var_os("CARGO_TARGET_DIR").map_or_else(
        || PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../target"),
        PathBuf::from,
    );
    let own = target.join("general-solver");
    let python = own.join("bin/python");
    if !own.join("is-there").exists() {
        let run = |command: &mut Command| {
            let ended = command.status().expect("Python 3 with its venv is there");
            assert!(
                ended.success(),
                "the general solver can't be put below target/"
            );
        };
        run(Command::new("python3").args(["-m", "venv"]).arg(&own));
        run(Command::new(&python)
            .args([
                "-m",
                "pip",
                "install",
                "--quiet",
                "--only-binary",
                ":all:",
                "-r",
            ])
            .arg(folder.join("general.txt")));
        std::fs::write(own.join("is-there"), "").expect("target/ can be written");
    }
    python
}
