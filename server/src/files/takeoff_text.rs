//! The takeoff of a job as text, as a carpenter's list: needs with their sums, cut lists week by week.
//!
//! The buy list's text is the yard order's (`yard_order`). Computes nothing.

use std::fmt::Write as _;

use scantling_takeoff::buy::{buy_list, cut_list};
use scantling_takeoff::needs::{Class, Need, Sum, Takeoff, Verdict};
use scantling_takeoff::record::Job;
use scantling_web::pages::cut_list as view;

use crate::pages::{cut_list as cuts, shell};

/// What each change calls for, with its arithmetic below it.
pub(crate) fn needs_text(job: &Job, weeks: &[u32], takeoffs: &[Takeoff]) -> String {
    let mut out = String::new();
    for week in weeks {
        line(
            &mut out,
            0,
            &format!("{}, work week {week}: needs", shell::name(job)),
        );
        let of_week: Vec<&Takeoff> = takeoffs.iter().filter(|t| t.week == *week).collect();
        if of_week.is_empty() {
            line(&mut out, 1, "Nothing is planned, or all is done.");
        }
        for takeoff in of_week {
            out.push('\n');
            push_change(&mut out, job, takeoff);
        }
        out.push('\n');
    }
    out
}

/// From which stick each piece comes, week by week; a held piece shows no figure to cut by.
pub(crate) fn cut_list_text(job: &Job, weeks: &[u32]) -> String {
    let mut out = String::new();
    for week in weeks {
        line(
            &mut out,
            0,
            &format!("{}, work week {week}: cut list", shell::name(job)),
        );
        let (list, bought) = (cut_list(job, *week), buy_list(job, &[*week]));
        if list.sticks.is_empty() {
            line(&mut out, 1, "Nothing to cut.");
        }
        for pattern in cuts::patterns(job, &list) {
            out.push('\n');
            push_pattern(&mut out, pattern);
        }
        if !list.spare.is_empty() {
            out.push_str("\nSpare, for waste:\n");
        }
        for spare in &list.spare {
            line(&mut out, 1, &cuts::spare_words(job, spare));
        }
        let cheap = cuts::cheap(&list.least, cuts::Prices::Shown);
        if !cheap.is_empty() {
            out.push('\n');
        }
        for said in cheap {
            line(&mut out, 0, &said);
        }
        for unmet in &bought.unmet {
            line(&mut out, 0, unmet);
        }
        let mut held: Vec<&str> = list
            .sticks
            .iter()
            .flat_map(|stick| &stick.pieces)
            .filter_map(|piece| piece.held.as_deref())
            .collect();
        held.sort_unstable();
        held.dedup();
        if !held.is_empty() {
            out.push_str("\nNot to cut yet:\n");
        }
        for held in held {
            line(&mut out, 1, held);
        }
        if !bought.missing.is_empty() {
            out.push_str("\nNot on it yet:\n");
        }
        for (_, missing) in &bought.missing {
            line(
                &mut out,
                1,
                &format!("{}: needs {}", missing.waits, missing.text),
            );
        }
        out.push('\n');
    }
    out
}

/// A class in yard words.
pub(crate) fn class_words(job: &Job, class: &Class) -> String {
    match class {
        Class::Stick(class) => class.to_string(),
        Class::Panel(class) => class.to_string(),
        Class::Fastener(class) => class.to_string(),
        Class::Hardware { row } => job.name(*row).to_owned(),
        Class::Sundry { name, unit } if unit == "each" => name.clone(),
        Class::Sundry { name, unit } => format!("{name}, {unit}"),
    }
}

fn push_pattern(out: &mut String, pattern: view::Pattern) {
    line(out, 0, &format!("{}. {}", pattern.heading, pattern.said));
    for (number, cut) in (1_u32..).zip(pattern.cuts) {
        line(out, 1, &format!("cut {number}  {cut}"));
    }
    for piece in pattern.pieces {
        let exact = if piece.exact.is_empty() {
            String::new()
        } else {
            format!(" ({} in)", piece.exact)
        };
        let mut kinds = piece.what.iter().map(|what| {
            let marks = if what.marks.is_empty() {
                String::new()
            } else {
                format!("{}  ", what.marks)
            };
            format!("{marks}{}. {}", what.what, what.change)
        });
        let lone = if piece.what.len() == 1 {
            kinds.next().unwrap_or_default()
        } else {
            String::new()
        };
        let text = format!("{}  {}{exact}  {lone}", piece.mark, piece.length);
        line(out, 1, text.trim_end());
        for kind in kinds {
            line(out, 3, &kind);
        }
        if !piece.strike.is_empty() {
            line(out, 3, &piece.strike);
        }
    }
}

fn push_change(out: &mut String, job: &Job, takeoff: &Takeoff) {
    let (name, title) = (job.name(takeoff.change), takeoff.kind.title());
    if name == title {
        line(out, 0, name);
    } else {
        line(out, 0, &format!("{name} ({title})"));
    }
    for need in &takeoff.needs {
        push_need(out, job, need);
    }
    for missing in &takeoff.missing {
        line(
            out,
            1,
            &format!("needs: {} (for {})", missing.text, missing.waits),
        );
    }
    for fact in &takeoff.facts {
        line(out, 1, &format!("{}: {}", fact.title, fact.value));
        push_sums(out, &fact.sums);
    }
    for salvage in &takeoff.salvage {
        line(
            out,
            1,
            &format!(
                "Comes out, can be kept: {} {}, {} × {} in, {}",
                salvage.count,
                salvage.title,
                salvage.thickness,
                salvage.depth,
                salvage.length.feet_inches()
            ),
        );
        push_sums(out, &salvage.sums);
    }
    for finding in &takeoff.findings {
        let grave = match finding.verdict {
            Verdict::Said => "Note",
            Verdict::Look => "Look",
            Verdict::Stop => "Stop",
        };
        line(out, 1, &format!("{grave}: {}", finding.text));
    }
}

fn push_need(out: &mut String, job: &Job, need: &Need) {
    let class = class_words(job, &need.class);
    let size = match (need.cut, need.across) {
        (Some(along), Some(across)) => format!(", {along} × {across} in"),
        (Some(cut), None) => format!(", {} ({cut} in)", cut.feet_inches()),
        _ => String::new(),
    };
    line(
        out,
        1,
        &format!("{} × {class}{size}: {}", need.count, need.title),
    );
    push_sums(out, &need.sums);
    if let Some(held) = &need.held {
        line(out, 3, &format!("Not to cut by yet. {held}"));
    }
    if need.crown_up {
        line(out, 3, "Crown up.");
    }
    if need.temporary {
        line(out, 3, "Comes back when it is struck.");
    }
}

/// Arithmetic, labels and figures in columns, a rule above each result but a lone one. A result that is said in several
/// units runs over its column.
fn push_sums(out: &mut String, sums: &[Sum]) {
    let wide = |texts: &mut dyn Iterator<Item = &String>| {
        texts.map(|text| text.chars().count()).max().unwrap_or(0)
    };
    let label = wide(&mut sums.iter().map(|sum| &sum.label));
    let value = wide(&mut sums.iter().filter(|s| !s.result).map(|sum| &sum.value));
    for (at, sum) in sums.iter().enumerate() {
        if sum.result && at > 0 {
            line(out, 3, &"-".repeat(label + 2 + value));
        }
        let text = format!("{:<label$}  {:>value$}  {}", sum.label, sum.value, sum.note);
        line(out, 3, text.trim_end());
    }
}

fn line(out: &mut String, depth: usize, text: &str) {
    let _writing_to_a_string_cannot_fail =
        writeln!(out, "{:indent$}{text}", "", indent = depth * 2);
}
