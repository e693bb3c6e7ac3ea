//! Screws of a subfloor's pieces.
//!
//! Source: IRC 2009 to 2018 Table R602.3(1), panel rows: 6 in at supported edges, 12 in between; for screws by common
//! practice.

use std::collections::BTreeMap;

use super::super::inputs::fastener;
use super::super::piece::by_count;
use super::super::{Class, FastenerClass, Takeoff, result, sum};
use super::Patch;
use crate::tables::panel_fastening::{FLOOR_EDGE_SPACING as EDGE, FLOOR_FIELD_SPACING as FIELD};
use crate::units::Length;

/// A piece as its screws see it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Fixed {
    /// Across the joists.
    pub(super) across: Length,
    /// Along them.
    pub(super) along: Length,
    /// How many joists are inside.
    pub(super) inside: i64,
    /// Which of its edges across are blocked.
    pub(super) blocked: [bool; 2],
}

impl Fixed {
    /// Its screws: edges along the joists, edges across, joists inside.
    pub(super) fn screws(self) -> i64 {
        let between = |length: Length, spacing| (length.div_up(spacing) - 1).max(0);
        let across = self.blocked.map(|blocked| {
            if blocked {
                between(self.across, EDGE)
            } else {
                self.inside
            }
        });
        2 * (self.along.div_up(EDGE) + 1)
            + across[0]
            + across[1]
            + self.inside * between(self.along, FIELD)
    }

    fn words(self) -> String {
        let (u, v, j) = (self.across, self.along, self.inside);
        let across = match self.blocked {
            [true, true] => format!("2 × (up({u} ÷ {EDGE}) − 1)"),
            [false, false] => format!("2 unblocked edges × {j}"),
            _ => format!("up({u} ÷ {EDGE}) − 1 + {j} at the unblocked edge"),
        };
        format!("2 × (up({v} ÷ {EDGE}) + 1) + {across} + {j} × (up({v} ÷ {FIELD}) − 1)")
    }
}

/// The screw of the patch.
pub(super) fn screw(patch: &Patch, out: &mut Takeoff) -> Option<FastenerClass> {
    let (text, waits) = ("screw for subfloor", "Screws, subfloor");
    let Patch { job, change, .. } = patch;
    fastener(job, change, "screw", "floor_screw", None, text, waits, out)
}

/// Screws of all pieces. They wait for what is known of the joints.
pub(super) fn push_screws(patch: &Patch, out: &mut Takeoff) {
    let mut like: BTreeMap<Fixed, i64> = BTreeMap::new();
    for piece in &patch.laid.pieces {
        let [Some(zero), Some(far)] = piece.edges.map(|edge| patch.edges.is_blocked(edge)) else {
            return;
        };
        let fixed = Fixed {
            across: piece.across.length(),
            along: piece.along.length(),
            inside: i64::try_from(patch.laid.inside_piece(piece).len()).unwrap_or(0),
            blocked: [zero, far],
        };
        *like.entry(fixed).or_default() += 1;
    }
    let Some(class) = screw(patch, out) else {
        return;
    };
    let total: i64 = like.iter().map(|(fixed, n)| fixed.screws() * n).sum();
    let mut need = by_count("screw", "Screw, subfloor", Class::Fastener(class), total);
    need.sums = like
        .iter()
        .rev()
        .map(|(fixed, n)| {
            sum(
                format!("{n} of {} × {}", fixed.across, fixed.along),
                format!("{n} × {}", fixed.screws()),
                fixed.words(),
            )
        })
        .collect();
    need.sums.push(result("Screws", total.to_string(), ""));
    need.readings = patch.laid.readings();
    out.needs.push(need);
}
