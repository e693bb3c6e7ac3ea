//! The demo's weeks: each week's cut list with its whole takeoff, as its page makes it.

use std::path::Path;
use std::process::Command;
use std::time::Instant;

use scantling_db::Db;
use scantling_takeoff::buy::{Cheapness, cut_list};
use scantling_takeoff::record::Job;
use scantling_takeoff::units::Money;

use crate::Line;

/// The demo has so many work weeks.
const WEEKS: u32 = 4;

/// One line a week.
pub(crate) fn weeks() -> Vec<Line> {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("bench-demo");
    let _it_may_not_be_there = std::fs::remove_dir_all(&folder);
    let filled = Command::new(env!("CARGO_BIN_EXE_scantling"))
        .args(["demo", "--no-serve", "--data"])
        .arg(&folder)
        .output()
        .expect("the program runs");
    assert!(filled.status.success(), "the demo is written");
    let job = job(&folder);
    (1..=WEEKS).map(|week| cut(&job, week)).collect()
}

fn job(folder: &Path) -> Job {
    let db = Db::open(folder).expect("a filled folder");
    let jobs = db.read(scantling_db::jobs).expect("it can be read");
    let id = jobs.first().expect("the demo's job").id;
    let read = db.read(move |tx| scantling_db::read_job(tx, id));
    read.expect("it can be read").expect("the demo's job").0
}

fn cut(job: &Job, week: u32) -> Line {
    let begun = Instant::now();
    let list = cut_list(job, week);
    let took = begun.elapsed();
    let cheap = Cheapness::of(&list.least);
    Line {
        proven: cheap.open == Money::ZERO,
        took,
        cost: Some(cheap.cost.as_cents()),
        longest_first: Some((cheap.cost + cheap.saved).as_cents()),
        simple_took: None,
    }
}
