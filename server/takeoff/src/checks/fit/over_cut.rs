//! Over-cut: a post or a shoring stud that is longer than its place, and how far a leaning stud leans.
//!
//! Snug, not jacked. Source: common practice, no published source.

use super::TOUCHING;
use crate::checks::{Finding, Measurement, Verdict, missing};
use crate::needs::sum;
use crate::units::Length;

const SOURCE: &str = "common practice, no published source";

/// The most that a post is cut over.
const POST_OVER: Length = Length::from_64ths(8);
/// The most that a driven stud is cut over.
const DRIVEN_OVER: Length = Length::from_64ths(4);
/// The most that a leaning stud is longer than its place.
const LEANING_OVER: Length = Length::from_64ths(32);

/// How a shoring stud is fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fit {
    /// Short, on wedges.
    Wedged,
    /// Driven plumb.
    Driven,
    /// Longer than its place, it leans.
    Leaning,
}

/// A post cut to go into its place.
pub fn post(name: &str, cut: &Measurement, clear: &Measurement) -> Finding {
    let (Some(cut_long), Some(place)) = (cut.value, clear.value) else {
        return Finding::cant_tell(&missing(&[cut, clear]), SOURCE).resting_on(&[cut, clear]);
    };
    let over = cut_long - place;
    let (verdict, sentence) = if over > POST_OVER {
        let sentence = format!(
            "{name} is {over} in longer than its place: it would jack the beam. Cut it again."
        );
        (Verdict::Stop, sentence)
    } else if over < -TOUCHING {
        let sentence = format!(
            "{name} is {} in shorter than its place: it doesn’t touch. Shim it tight, or cut it again.",
            over.abs()
        );
        (Verdict::Look, sentence)
    } else {
        (
            Verdict::Pass,
            format!("{name} is snug: {over} in over its place."),
        )
    };
    Finding::new(verdict, sentence, SOURCE)
        .with_sums(vec![sum(
            "Over",
            format!("{over} in"),
            format!("{cut_long} − {place}"),
        )])
        .resting_on(&[cut, clear])
}

/// A shoring stud as it is fitted.
pub fn shoring_stud(name: &str, fit: Fit, cut: &Measurement, clear: &Measurement) -> Finding {
    let (Some(cut_long), Some(place)) = (cut.value, clear.value) else {
        return Finding::cant_tell(&missing(&[cut, clear]), SOURCE).resting_on(&[cut, clear]);
    };
    let over = cut_long - place;
    let over_sum = sum(
        "Over",
        format!("{over} in"),
        format!("{cut_long} − {place}"),
    );
    let (verdict, sentence, more) = match fit {
        // Longer than its place, no wedge goes in: it would be driven.
        Fit::Wedged if over > DRIVEN_OVER => (
            Verdict::Stop,
            format!("{name} is {over} in longer than its place: no wedge goes in. Cut it again."),
            None,
        ),
        Fit::Wedged => (
            Verdict::Pass,
            format!("{name} is wedged: snug, not jacked."),
            None,
        ),
        Fit::Driven if over > DRIVEN_OVER => (
            Verdict::Stop,
            format!(
                "{name} is {over} in longer than its place: driven, it lifts the floor. Cut it again."
            ),
            None,
        ),
        Fit::Driven => (
            Verdict::Pass,
            format!("{name} is driven: {over} in over its place."),
            None,
        ),
        Fit::Leaning if over > LEANING_OVER => (
            Verdict::Stop,
            format!("{name} is {over} in longer than its place, over 1/2 in: cut it again."),
            None,
        ),
        Fit::Leaning => {
            let lean = lean(cut_long, place);
            (
                Verdict::Look,
                format!("{name} leans {lean} in out of plumb."),
                Some(sum("Lean", format!("{lean} in"), "√(cut² − clear²)")),
            )
        }
    };
    let sums = [Some(over_sum), more].into_iter().flatten().collect();
    Finding::new(verdict, sentence, SOURCE)
        .with_sums(sums)
        .resting_on(&[cut, clear])
}

/// How far the head of a stud stands from plumb over its foot, √(cut² − clear²), up to 1/64 in; zero where it isn't longer.
pub fn lean(cut: Length, clear: Length) -> Length {
    let square = |one: Length| i128::from(one.as_64ths()) * i128::from(one.as_64ths());
    let rest = u128::try_from(square(cut) - square(clear)).unwrap_or(0);
    let root = rest.isqrt();
    let up = root + u128::from(root * root < rest);
    Length::from_64ths(i64::try_from(up).unwrap_or(i64::MAX))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(n_64: i64) -> Measurement {
        Measurement::agreed("a length", Length::from_64ths(n_64))
    }

    #[test]
    fn a_stud_half_an_inch_over_ninety_leans_nine_and_a_half() {
        let ninety = Length::inches(90);
        assert_eq!(
            lean(Length::inches_64(90, 32), ninety),
            Length::inches_64(9, 32)
        );
        assert_eq!(lean(ninety, Length::inches_64(90, 32)), Length::ZERO);
    }

    #[test]
    fn snug_is_not_jacked() {
        let stud =
            |fit, over: i64| shoring_stud("Stud 1", fit, &given(5760 + over), &given(5760)).verdict;
        assert_eq!(stud(Fit::Wedged, -96), Verdict::Pass);
        assert_eq!(stud(Fit::Wedged, 5), Verdict::Stop);
        assert_eq!(stud(Fit::Driven, 4), Verdict::Pass);
        assert_eq!(stud(Fit::Driven, 5), Verdict::Stop);
        assert_eq!(stud(Fit::Leaning, 32), Verdict::Look);
        assert_eq!(stud(Fit::Leaning, 33), Verdict::Stop);
        let of = |over: i64| post("Post 1", &given(5760 + over), &given(5760)).verdict;
        assert_eq!(of(8), Verdict::Pass);
        assert_eq!(of(9), Verdict::Stop);
        assert_eq!(of(-4), Verdict::Pass);
        assert_eq!(of(-5), Verdict::Look);
        assert_eq!(
            post("Post 1", &given(5760), &Measurement::missing("its place")).verdict,
            Verdict::CantTellYet
        );
    }
}
