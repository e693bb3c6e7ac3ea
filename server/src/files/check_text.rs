//! The checks of a job as text, change by change, with their arithmetic. Computes nothing.

use std::fmt::Write as _;

use scantling_takeoff::checks::screening::NOT_COVERED;
use scantling_takeoff::checks::{CAUTION, COMES_FIRST, Check};
use scantling_takeoff::needs::Sum;
use scantling_takeoff::record::Job;
use uuid::Uuid;

use crate::pages::shell;

/// All of it.
pub(crate) fn text(job: &Job, all: &[Check]) -> String {
    let mut out = String::new();
    line(&mut out, 0, &format!("{}: checks", shell::name(job)));
    line(&mut out, 0, &format!("{CAUTION} {COMES_FIRST}"));
    let mut change: Option<Uuid> = None;
    for check in all {
        if change != Some(check.change) {
            change = Some(check.change);
            out.push('\n');
            let of = format!("{}, work week {}", job.name(check.change), check.week);
            line(&mut out, 0, &of);
        }
        one(&mut out, check);
    }
    if all.is_empty() {
        line(&mut out, 1, "Nothing is planned that is checked.");
    }
    out.push('\n');
    let covered = format!("Not covered: {}.", NOT_COVERED.join(", "));
    line(&mut out, 0, &covered);
    out
}

fn one(out: &mut String, check: &Check) {
    let head = format!(
        "{}: {}, {}",
        check.verdict.words().to_uppercase(),
        check.kind.title(),
        check.about
    );
    line(out, 1, &head);
    line(out, 2, &check.sentence);
    for what in &check.measure {
        line(out, 2, &format!("Measure or record: {what}"));
    }
    sums(out, 3, &check.sums);
    for part in &check.parts {
        let head = format!(
            "{} {} under {} ({})",
            part.ratio,
            part.title,
            part.under,
            part.verdict.words()
        );
        line(out, 3, &head);
        sums(out, 4, &part.sums);
    }
    for says in &check.says {
        line(out, 2, says);
    }
    for figure in &check.figures {
        let figure = format!(
            "Figure: {} {}; {}, {}",
            figure.what,
            figure.value,
            figure.source,
            figure.confidence.name()
        );
        line(out, 3, &figure);
    }
    line(out, 2, &format!("Rule: {}", check.source));
    if let Some(caution) = check.caution() {
        line(out, 2, caution);
    }
}

fn sums(out: &mut String, deep: usize, all: &[Sum]) {
    for sum in all {
        let note = if sum.note.is_empty() {
            String::new()
        } else {
            format!("  ({})", sum.note)
        };
        line(out, deep, &format!("{}: {}{note}", sum.label, sum.value));
    }
}

fn line(out: &mut String, deep: usize, text: &str) {
    let written = writeln!(out, "{}{text}", "  ".repeat(deep));
    debug_assert!(written.is_ok(), "writing to a string never fails");
}
