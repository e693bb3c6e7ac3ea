//! Hanger fit: a hanger's seat and height against the joist as found.
//!
//! The same bounds as where hangers are chosen for the takeoff (`needs::hang_joists`); the load is `screening`'s.
//! Source: common practice, no published source; whether shims or planing are allowed is the maker's sheet's word.

use crate::checks::{Finding, Measurement, Verdict, missing};
use crate::needs::{SEAT_PLANE, SEAT_PLAY, SEAT_SHIM, sum};
use crate::units::Length;

const SOURCE: &str =
    "common practice, no published source; the maker’s sheet for shims and planing";

/// A hanger and its joist.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct HangerFit {
    /// Which: `Hanger on joist 4`.
    pub name: String,
    /// The joist's thickness as found.
    pub thickness: Measurement,
    /// The joist's depth as found.
    pub depth: Measurement,
    /// The hanger's seat.
    pub seat: Measurement,
    /// The least joist depth that the hanger is for.
    pub height_from: Measurement,
    /// The hanger's height.
    pub height_to: Measurement,
    /// The sheet allows shims in the seat.
    pub shim_ok: bool,
    /// The sheet allows planing the joist.
    pub plane_ok: bool,
}

/// Whether a hanger takes its joist.
pub fn hanger(fit: &HangerFit) -> Finding {
    let rests_on = [
        &fit.thickness,
        &fit.depth,
        &fit.seat,
        &fit.height_from,
        &fit.height_to,
    ];
    let (Some(thickness), Some(depth), Some(seat), Some(from), Some(to)) = (
        fit.thickness.value,
        fit.depth.value,
        fit.seat.value,
        fit.height_from.value,
        fit.height_to.value,
    ) else {
        return Finding::cant_tell(&missing(&rests_on), SOURCE).resting_on(&rests_on);
    };
    let (seat_verdict, seat_says) = seats(fit, seat - thickness);
    let (height_verdict, height_says) = heights(depth, from, to);
    let says: Vec<String> = [seat_says, height_says].into_iter().flatten().collect();
    let verdict = seat_verdict.max(height_verdict);
    let sentence = if says.is_empty() {
        format!("{} takes the joist as found.", fit.name)
    } else {
        format!("{}: {}.", fit.name, says.join("; "))
    };
    Finding::new(verdict, sentence, SOURCE)
        .with_sums(vec![
            sum(
                "Seat less joist",
                format!("{} in", seat - thickness),
                format!("{seat} − {thickness}"),
            ),
            sum(
                "Joist’s depth",
                format!("{depth} in"),
                format!("the hanger: {from} to {to} in"),
            ),
        ])
        .resting_on(&rests_on)
}

fn seats(fit: &HangerFit, play: Length) -> (Verdict, Option<String>) {
    if play < Length::ZERO {
        let off = play.abs();
        return if off <= SEAT_PLANE && fit.plane_ok {
            let says = format!(
                "the joist is {off} in thicker than the seat: plane it, as the sheet allows"
            );
            (Verdict::Look, Some(says))
        } else {
            let says = format!("too narrow, the joist is {off} in thicker than its seat");
            (Verdict::Stop, Some(says))
        };
    }
    if play <= SEAT_PLAY {
        return (Verdict::Pass, None);
    }
    if play <= SEAT_SHIM && fit.shim_ok {
        let says =
            format!("the seat is {play} in wider than the joist: shim it, as the sheet allows");
        return (Verdict::Look, Some(says));
    }
    let says = format!("too wide, its seat is {play} in wider than the joist");
    (Verdict::Stop, Some(says))
}

/// The hanger reaches at least six tenths up its joist, and isn't made for deeper ones alone.
fn heights(depth: Length, from: Length, to: Length) -> (Verdict, Option<String>) {
    if from > depth {
        let says = format!("it is for joists from {from} in deep, and this is {depth}");
        return (Verdict::Stop, Some(says));
    }
    if to * 5 < depth * 3 {
        let says = format!("it is {to} in high, under six tenths of the joist’s {depth}");
        return (Verdict::Stop, Some(says));
    }
    (Verdict::Pass, None)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn fit(seat: i64, shim_ok: bool, plane_ok: bool) -> HangerFit {
        let given = |what: &str, length| Measurement::agreed(what, length);
        HangerFit {
            name: "Hanger on joist 4".to_owned(),
            thickness: given("thickness", Length::from_64ths(112)),
            depth: given("depth", Length::inches_64(9, 16)),
            seat: given("seat", Length::from_64ths(seat)),
            height_from: given("height from", Length::inches(8)),
            height_to: given("height to", Length::inches(7)),
            shim_ok,
            plane_ok,
        }
    }

    #[test]
    fn a_new_hanger_is_too_narrow_for_an_old_joist() {
        // 1 9/16 seat, joist 1 3/4.
        let found = hanger(&fit(100, true, true));
        assert_eq!(found.verdict, Verdict::Stop);
        assert!(
            found
                .sentence
                .contains("too narrow, the joist is 3/16 in thicker"),
            "{}",
            found.sentence
        );
    }

    #[test]
    fn shims_and_planing_are_looked_at_where_the_sheet_allows_them() {
        let of = |seat, shim, plane| hanger(&fit(seat, shim, plane)).verdict;
        assert_eq!(of(112, false, false), Verdict::Pass);
        assert_eq!(of(120, false, false), Verdict::Pass);
        assert_eq!(of(121, true, false), Verdict::Look);
        assert_eq!(of(121, false, true), Verdict::Stop);
        assert_eq!(of(145, true, true), Verdict::Stop);
        assert_eq!(of(104, true, true), Verdict::Look);
        assert_eq!(of(104, true, false), Verdict::Stop);
    }

    #[test]
    fn a_hanger_reaches_six_tenths_up_its_joist() {
        let mut low = fit(112, true, true);
        low.height_to = Measurement::agreed("height to", Length::inches(5));
        assert_eq!(hanger(&low).verdict, Verdict::Stop);
        low.height_to.value = None;
        assert_eq!(hanger(&low).verdict, Verdict::CantTellYet);
        let mut deep = fit(112, true, true);
        deep.height_from = Measurement::agreed("height from", Length::inches(10));
        assert_eq!(hanger(&deep).verdict, Verdict::Stop);
    }
}
