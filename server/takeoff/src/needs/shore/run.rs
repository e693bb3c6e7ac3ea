//! The run of a shored side: from where to where, how many studs, and where its plates are jointed.
//!
//! Places are from the wall's zero end; studs are numbered from the run's zero end.
//! Source: common practice, no published source.

use super::super::heights::{must_have_length, side_words};
use super::super::inputs::{Read, miss, setting};
use super::super::{Fill, Finding, Sum, Takeoff, Verdict, sum};
use super::{Shore, inches};
use crate::record::settings::SHORE_BEYOND;
use crate::units::Length;

/// A side's run.
pub(super) struct Run {
    /// Its length R.
    pub(super) length: Length,
    /// How many studs stand on it.
    pub(super) studs: i64,
    /// How R comes about.
    pub(super) sum: Sum,
    /// How many studs, and why.
    pub(super) studs_sum: Sum,
    /// The reading of the wall's length, where R goes by it.
    pub(super) wall: Option<Read>,
}

/// A place, and the wall's length if it goes by that.
#[derive(Clone)]
struct Place(Length, Option<Read>);

/// The run of side `a` or `b`; `None` where a place that it needs isn't recorded, or nothing is left of it.
pub(super) fn run_of(shore: &Shore, side: &str, out: &mut Takeoff) -> Option<Run> {
    let (job, change) = (shore.job, shore.change);
    let [from_field, to_field] = if side == "b" {
        ["side_b_from", "side_b_to"]
    } else {
        ["side_a_from", "side_a_to"]
    };
    let beyond = setting(job, change, "beyond", "shore_beyond", SHORE_BEYOND);
    let from = change.length("from").unwrap_or(Length::ZERO);
    let limit_from = change.length(from_field).unwrap_or(Length::ZERO);
    let mut place = |field: &str| match change.length(field) {
        Some(place) => Some(Place(place, None)),
        None => must_have_length(job, shore.wall, change.name(), out)
            .map(|read| Place(read.value, Some(read))),
    };
    let (to, limit_to) = (place("to"), place(to_field));
    let (to, limit_to) = (to?, limit_to?);

    let start = limit_from.max(from - beyond);
    let end = if limit_to.0 <= to.0 + beyond {
        limit_to.clone()
    } else {
        Place(to.0 + beyond, to.1.clone())
    };
    let length = end.0 - start;
    if to.0 <= from || length <= Length::ZERO {
        let text = format!(
            "places that leave a run (opening {from} to {} in, the room’s walls at {limit_from} and {})",
            to.0, limit_to.0
        );
        let fill = Fill::Field {
            of: change.id,
            field: if to.0 <= from { "to" } else { to_field },
        };
        miss(out, &text, change.name(), fill);
        return None;
    }
    let stops_at = [
        change.length(from_field).is_none() && from < beyond,
        change.length(to_field).is_none() && to.0 + beyond > limit_to.0,
    ];
    say_ends(shore, side, stops_at, out);
    let (opening, full) = (to.0 - from, to.0 - from + beyond * 2);
    let mut note = format!("opening {opening} + {beyond} at each end = {full}");
    if full != length {
        note = format!("{note}; at most the room, {limit_from} to {}", limit_to.0);
    }
    let (studs, studs_sum) = studs(length, shore.spacing, shore.thickness);
    Some(Run {
        length,
        studs,
        sum: sum("Run length R", inches(length), note),
        studs_sum,
        wall: end.1,
    })
}

/// Says at which ends of the wall, zero and far, a run stops for want of the place where the room's own wall stands.
fn say_ends(shore: &Shore, side: &str, stops_at: [bool; 2], out: &mut Takeoff) {
    let (end, walls) = match stops_at {
        [false, false] => return,
        [true, true] => ("both ends", "walls stand"),
        [true, false] => ("the zero end", "wall stands"),
        [false, true] => ("the far end", "wall stands"),
    };
    out.findings.push(Finding {
        verdict: Verdict::Said,
        text: format!(
            "The run on the {} ends at {end} of {}. Record where the room’s {walls} if it goes on.",
            side_words(shore.job, shore.wall, side),
            shore.wall.name()
        ),
    });
}

/// Studs on a run: the end ones flush inside it, the others centred at s, 2s, …; one that would overlap the stud before it
/// or the end one is left out. A run shorter than two thicknesses has one.
fn studs(run: Length, spacing: Length, thickness: Length) -> (i64, Sum) {
    let steps = run.div_up(spacing);
    let rule = format!("up({run} ÷ {spacing}) + 1 = {steps} + 1");
    if run < thickness * 2 {
        let note = format!("{rule}; there is no room for two");
        return (1, sum("Studs, one side", "1", note));
    }
    // Twice each place, so that half a thickness is whole.
    let last = (run - thickness) * 2;
    let (mut taken_to, mut middle) = (thickness * 2, 0);
    for n in 1..steps {
        let centre = spacing * n * 2;
        if centre - thickness >= taken_to && centre + thickness <= last {
            middle += 1;
            taken_to = centre + thickness;
        }
    }
    let studs = middle + 2;
    let left_out = steps + 1 - studs;
    let note = match left_out {
        0 => rule,
        1 => format!("{rule}; − 1 that would overlap the end one"),
        n => format!("{rule}; − {n} that would overlap"),
    };
    (studs, sum("Studs, one side", studs.to_string(), note))
}

/// How plates of length R are pieced: so many of a joint length, then the rest.
pub(super) struct Jointed {
    /// How many pieces of the joint length, in each plate.
    pub(super) whole: i64,
    /// The joint length.
    pub(super) joint: Length,
    /// The last piece, in each plate.
    pub(super) rest: Length,
}

/// Joined at s·down(M/s), until the rest is no longer than M, `longest`. One piece where it isn't known, or is less than
/// s.
pub(super) fn jointed(run: Length, longest: Option<Length>, spacing: Length) -> Jointed {
    let one = Jointed {
        whole: 0,
        joint: Length::ZERO,
        rest: run,
    };
    let Some(most) = longest.filter(|most| run > *most && *most >= spacing) else {
        return one;
    };
    let joint = spacing * most.div_down(spacing);
    let whole = (run - most).div_up(joint);
    Jointed {
        whole,
        joint,
        rest: run - joint * whole,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::super::testing::inches;
    use super::*;

    fn count(run: &str, spacing: &str, thickness: &str) -> i64 {
        studs(inches(run), inches(spacing), inches(thickness)).0
    }

    #[test]
    fn studs_stand_at_the_spacing_with_the_end_ones_flush() {
        for (run, n) in [
            ("147 1/4", 11), // 10 + 1; the last at 144, its edge 144 3/4 before 145 3/4
            ("144", 10),     // on a multiple: 9 + 1, the end one is the ninth step
            ("145", 10),     // 10 + 1, but one at 144 would overlap the one at 143 1/2
            ("146 1/4", 11), // touches the end one at 144 3/4: stays
            ("146 15/64", 10),
            ("16", 2),
            ("3", 2),
            ("2 63/64", 1),
            ("1", 1),
        ] {
            assert_eq!(count(run, "16", "1 1/2"), n, "R {run}");
        }
    }

    #[test]
    fn studs_closer_than_their_thickness_do_not_overlap() {
        assert_eq!(count("12", "1", "1 1/2"), 6); // centred at 3, 5, 7, 9; one at 11 overlaps the end one
    }

    #[test]
    fn a_plate_longer_than_the_longest_stick_is_joined_over_a_stud() {
        let pieces = |run, most, spacing| {
            let jointed = jointed(inches(run), Some(inches(most)), inches(spacing));
            let (joint, rest) = (jointed.joint.to_string(), jointed.rest.to_string());
            (jointed.whole, joint, rest)
        };
        let text = |n, joint: &str, rest: &str| (n, joint.to_owned(), rest.to_owned());
        assert_eq!(pieces("192", "192", "16"), text(0, "0", "192"));
        assert_eq!(pieces("192 1/64", "192", "16"), text(1, "192", "1/64"));
        assert_eq!(pieces("250", "120", "16"), text(2, "112", "26")); // 16 × 7; 138 is over 120 yet
        assert_eq!(pieces("30", "12", "16"), text(0, "0", "30")); // shorter than s: nowhere to join
        assert_eq!(jointed(inches("999"), None, inches("16")).whole, 0);
    }

    proptest! {
        #[test]
        fn pieces_add_up_to_the_run_and_none_is_longer_than_the_longest(
            run in 1_i64..20_000, most in 64_i64..20_000, spacing in 64_i64..2_000
        ) {
            prop_assume!(most >= spacing);
            let [run, most, spacing] = [run, most, spacing].map(Length::from_64ths);
            let got = jointed(run, Some(most), spacing);
            prop_assert_eq!(got.joint * got.whole + got.rest, run);
            prop_assert!(got.rest > Length::ZERO && got.rest <= most && got.joint <= most);
            prop_assert_eq!(got.joint.div_up(spacing), got.joint.div_down(spacing));
        }
    }
}
