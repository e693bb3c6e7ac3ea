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
    /// The joist's thickness as found, its least reading: a seat is too wide for that.
    pub thickness: Measurement,
    /// Its greatest: a seat is too narrow for that.
    pub thickest: Measurement,
    /// The joist's depth as found, its least reading.
    pub depth: Measurement,
    /// Its greatest: a hanger is too low for that.
    pub deepest: Measurement,
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
        &fit.thickest,
        &fit.depth,
        &fit.deepest,
        &fit.seat,
        &fit.height_from,
        &fit.height_to,
    ];
    let (Some(thin), Some(thick), Some(shallow), Some(deep)) = (
        fit.thickness.value,
        fit.thickest.value,
        fit.depth.value,
        fit.deepest.value,
    ) else {
        return cant_tell(&rests_on);
    };
    let (Some(seat), Some(from), Some(to)) =
        (fit.seat.value, fit.height_from.value, fit.height_to.value)
    else {
        return cant_tell(&rests_on);
    };
    // The worse of its readings: too narrow for the thickest before too wide for the thinnest.
    let worse = |one: Seat, other: Seat| if other.0 > one.0 { other } else { one };
    let (seat_verdict, seat_says) = worse(seats(fit, seat - thick), seats(fit, seat - thin));
    let (height_verdict, height_says) = heights((shallow, deep), from, to);
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
                format!("{} in", seat - thick),
                if thin == thick {
                    format!("{seat} − {thick}")
                } else {
                    format!("{seat} − {thick}, its thickest reading; its thinnest is {thin}")
                },
            ),
            sum(
                "Joist’s depth",
                if shallow == deep {
                    format!("{deep} in")
                } else {
                    format!("{shallow} to {deep} in")
                },
                format!("the hanger: {from} to {to} in"),
            ),
        ])
        .resting_on(&rests_on)
}

fn cant_tell(rests_on: &[&Measurement]) -> Finding {
    let mut needs = missing(rests_on);
    needs.dedup();
    Finding::cant_tell(&needs, SOURCE).resting_on(rests_on)
}

/// What a seat or the heights come to, with what is the matter.
type Seat = (Verdict, Option<String>);

fn seats(fit: &HangerFit, play: Length) -> Seat {
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
fn heights((shallow, deep): (Length, Length), from: Length, to: Length) -> Seat {
    if from > shallow {
        let says = format!("it is for joists from {from} in deep, and this is {shallow}");
        return (Verdict::Stop, Some(says));
    }
    if to * 5 < deep * 3 {
        let says = format!("it is {to} in high, under six tenths of the joist’s {deep}");
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
            thickest: given("thickness", Length::from_64ths(112)),
            depth: given("depth", Length::inches_64(9, 16)),
            deepest: given("depth", Length::inches_64(9, 16)),
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
    fn a_seat_takes_the_thickest_reading_and_the_heights_the_deepest() {
        // 1 13/16 seat: 1 3/4 has 1/16 of play, 2 is 3/16 thicker.
        let mut two = fit(116, false, false);
        assert_eq!(hanger(&two).verdict, Verdict::Pass);
        two.thickest = Measurement::agreed("thickness", Length::inches(2));
        let found = hanger(&two);
        assert_eq!(found.verdict, Verdict::Stop);
        let says = "too narrow, the joist is 3/16 in thicker than its seat";
        assert!(found.sentence.contains(says), "{}", found.sentence);
        // 1 5/8 and 1 3/4 in a seat of 1 13/16: 3/16 of play at the thinnest, and no shim allowed.
        let mut thin = fit(116, false, false);
        thin.thickness = Measurement::agreed("thickness", Length::from_64ths(104));
        assert_eq!(hanger(&thin).verdict, Verdict::Stop);
        // 7 in high: six tenths of 11 5/8 in, and not of 11 3/4.
        for (deep, verdict) in [(40, Verdict::Pass), (48, Verdict::Stop)] {
            let mut tall = fit(112, false, false);
            tall.deepest = Measurement::agreed("depth", Length::inches_64(11, deep));
            assert_eq!(hanger(&tall).verdict, verdict, "{deep}/64");
        }
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
