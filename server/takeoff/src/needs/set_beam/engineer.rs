//! A beam against the engineer's section: each of thickness, depth, plies, grade and species on its own.
//!
//! It compares what is recorded and computes no strength. Source: the order of grades is that of `tables::density`; the
//! rest is common practice, no published source.

use std::cmp::Ordering;

use super::super::beam::grade;
use super::super::piece::inches;
use super::super::{Finding, Takeoff, Verdict};
use crate::record::{Job, Record};
use crate::tables::density::Grade;
use crate::units::Section;

/// The engineer's section is the least, each of thickness, depth, plies and grade on its own; the species is the same.
pub(super) fn compare(job: &Job, change: &Record, plies: i64, ply: Section, out: &mut Takeoff) {
    let lengths = [
        ("plies", "eng_thickness", ply.thickness, "thick"),
        ("beam", "eng_depth", ply.depth, "deep"),
    ];
    for (what, field, ours, word) in lengths {
        if let Some(theirs) = change.length(field) {
            let (ours_in, theirs_in) = (inches(ours), inches(theirs));
            at_least(
                ours.cmp(&theirs),
                &format!("The {what}: {ours_in} {word}, the engineer’s {theirs_in}."),
                out,
            );
        }
    }
    if let Some(theirs) = change.number("eng_plies") {
        let text = format!("The beam has {plies} plies, the engineer’s {theirs}.");
        at_least(plies.cmp(&theirs), &text, out);
    }
    if let (Some(theirs), Some(ours)) = (change.text("eng_grade"), grade(job, change)) {
        let text = format!("The grade is {ours}, the engineer’s {theirs}.");
        match compare_grades(&ours, theirs) {
            Some(order) => at_least(order, &text, out),
            None => out.findings.push(Finding {
                verdict: Verdict::Look,
                text: format!("{text} These two can’t be ranked. Ask the engineer."),
            }),
        }
    }
    let own = change.text("species").map(str::to_owned);
    let ours = own.or_else(|| job.settings.species.clone());
    if let (Some(theirs), Some(ours)) = (change.text("eng_species"), ours)
        && theirs != ours
    {
        let text = format!("The species is {ours}, the engineer’s {theirs}.");
        out.findings.push(match change.text("eng_word") {
            Some(word) => Finding {
                verdict: Verdict::Said,
                text: format!("{text} The engineer’s word: {word}"),
            },
            None => Finding {
                verdict: Verdict::Stop,
                text: format!(
                    "{text} Another species waits for the engineer’s word: ask, and record it."
                ),
            },
        });
    }
}

/// Less is a stop, more is said, equal is nothing.
fn at_least(ours: Ordering, text: &str, out: &mut Takeoff) {
    let (verdict, then) = match ours {
        Ordering::Less => (Verdict::Stop, "That is less. Take what the engineer says."),
        Ordering::Greater => (Verdict::Said, "That is more."),
        Ordering::Equal => return,
    };
    let text = format!("{text} {then}");
    out.findings.push(Finding { verdict, text });
}

/// Source: `tables::density`.
fn compare_grades(ours: &str, theirs: &str) -> Option<Ordering> {
    if ours == theirs {
        return Some(Ordering::Equal);
    }
    Grade::from_name(ours)?.compare(Grade::from_name(theirs)?)
}
