//! Furring where the board is thinner than the old one: a strip on every support that the board crosses.
//!
//! Source: common practice, no published source.

use super::super::inputs::{must_have, read, stick_class};
use super::super::outline::Span;
use super::super::piece::{cut_sum, inches, jointed, size_of, stick};
use super::super::{Finding, Takeoff, Treatment, Verdict, sum};
use super::Board;
use crate::record::{Spot, What};
use crate::units::Length;

/// Strips along the supports crossed, those at the ends among them.
pub(super) fn push_strips(board: &Board, out: &mut Takeoff) {
    let Board {
        job, change, laid, ..
    } = board;
    let Some(old) = read(job, &Spot::of(change.id, What::OldThickness)) else {
        let text = "The old board’s thickness isn’t read: no furring is counted. Read it where the new board meets old.";
        let (verdict, text) = (Verdict::Said, text.to_owned());
        out.findings.push(Finding { verdict, text });
        return;
    };
    let short = old.value - laid.sheet.class.thickness;
    if short <= Length::ZERO {
        return;
    }
    let waits = "Furring strips";
    let size = size_of(change, "strip");
    let text = "the size of the furring strips";
    let Some(size) = must_have(size, change.id, "strip", text, waits, out) else {
        return;
    };
    let Some(class) = stick_class(job, change, &size, Treatment::None, waits, out) else {
        return;
    };
    let thick = class.dressed.thickness.min(class.dressed.depth);
    if thick != short {
        let text = format!(
            "The board is {} thinner than the old, the furring {thick}. Pack or plane the difference.",
            inches(short)
        );
        let verdict = Verdict::Look;
        out.findings.push(Finding { verdict, text });
    }
    let whole = Span {
        from: Length::ZERO,
        to: board.across,
    };
    let strips = i64::try_from(laid.crossed(whole).len()).unwrap_or(0);
    let (full, most, rest) = jointed(job, &class, laid.along, out);
    for (slot, pieces, cut) in [("strip.whole", full, most), ("strip", 1, rest)] {
        if pieces == 0 {
            continue;
        }
        let title = format!("Furring strip, {size}");
        let mut need = stick(slot, &title, &class, strips * pieces, cut, "FS");
        need.readings = laid.readings();
        need.readings.push(old.reading);
        need.sums = vec![
            sum(
                "Old board − new",
                inches(short),
                format!("{} − {}", old.value, laid.sheet.class.thickness),
            ),
            sum(
                "Supports",
                strips.to_string(),
                "crossed, those at the ends included",
            ),
            sum("Along them", inches(laid.along), ""),
        ];
        need.sums.push(cut_sum(job, cut, None));
        out.needs.push(need);
    }
}
