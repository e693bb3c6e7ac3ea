//! A beam's bearings, its way in, and what green timber loses as it dries.
//!
//! Strength of bearings is `screening`'s. Source: IRC R502.6 for the least bearing; PS 20 for green and dry sizes; the way in
//! is common practice, no published source.

use crate::checks::{Finding, Measurement, Verdict, missing};
use crate::needs::sum;
use crate::tables::loads::{BEARING_ON_MASONRY, BEARING_ON_WOOD};
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::{Length, Nominal};

/// What a beam's end bears on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BearsOn {
    /// Wood or metal.
    Wood,
    /// Masonry or concrete.
    Masonry,
    /// Nobody has said.
    NotKnown,
}

/// Whether an end bears long enough.
pub fn bearing(end: &str, length: &Measurement, on: BearsOn) -> Finding {
    const SOURCE: &str = "IRC R502.6; verified";
    let mut needs = missing(&[length]);
    let least = match on {
        BearsOn::Wood => BEARING_ON_WOOD,
        BearsOn::Masonry => BEARING_ON_MASONRY,
        BearsOn::NotKnown => {
            needs.push(format!("what {end} bears on"));
            BEARING_ON_MASONRY
        }
    };
    let Some(value) = length.value.filter(|_| on != BearsOn::NotKnown) else {
        return Finding::cant_tell(&needs, SOURCE).resting_on(&[length]);
    };
    let (verdict, says) = if value >= least {
        (Verdict::Pass, "enough")
    } else {
        (Verdict::Stop, "too short")
    };
    let sentence = format!("{end} bears {value} in, {says}: {least} in is the least there.");
    Finding::new(verdict, sentence, SOURCE).resting_on(&[length])
}

/// The way in for a beam that is raised whole, between what stands at its ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WayIn {
    /// The beam's name.
    pub beam: String,
    /// Clear at the floor.
    pub at_floor: Measurement,
    /// Clear at the height of the seats.
    pub at_seat: Measurement,
    /// The beam's length.
    pub length: Measurement,
    /// Its depth.
    pub depth: Measurement,
}

/// Whether a beam can be raised: tilted where √(L² + D²) is at most the clear, level where L is, else not whole.
pub fn way_in(way: &WayIn) -> Finding {
    const SOURCE: &str = "common practice, no published source";
    let rests_on = [&way.at_floor, &way.at_seat, &way.length, &way.depth];
    let (Some(floor), Some(seat), Some(length), Some(depth)) = (
        way.at_floor.value,
        way.at_seat.value,
        way.length.value,
        way.depth.value,
    ) else {
        return Finding::cant_tell(&missing(&rests_on), SOURCE).resting_on(&rests_on);
    };
    let clear = floor.min(seat);
    let square = |one: Length| i128::from(one.as_64ths()) * i128::from(one.as_64ths());
    let beam = &way.beam;
    let (verdict, sentence) = if clear >= length && square(length) + square(depth) <= square(clear)
    {
        (
            Verdict::Pass,
            format!("{beam} can be tilted up between its ends."),
        )
    } else if length <= clear {
        let sentence = format!("{beam} goes up level only: tilted it jams at {clear} in.");
        (Verdict::Look, sentence)
    } else {
        let sentence = format!(
            "{beam} is {} in longer than the clear between its ends: leave one end out, or stage it first.",
            length - clear
        );
        (Verdict::Stop, sentence)
    };
    Finding::new(verdict, sentence, SOURCE)
        .with_sums(vec![
            sum(
                "Clear",
                format!("{clear} in"),
                "the less of at the floor and at the seats",
            ),
            sum(
                "Length",
                format!("{length} in"),
                format!("depth {depth} in"),
            ),
        ])
        .resting_on(&rests_on)
}

/// What a green timber loses in depth as it dries; over 1/8 in is to be looked at. `None` where PS 20 has no such size.
pub fn shrinkage(nominal: Nominal) -> Option<Finding> {
    const SOURCE: &str = "PS 20, green and dry sizes; verified";
    let green = dressed(nominal, Seasoning::Green)?.depth;
    let dry = dressed(nominal, Seasoning::Dry)?.depth;
    let loss = green - dry;
    let (verdict, then) = if loss > Length::from_64ths(8) {
        (
            Verdict::Look,
            "leave room for it, and look again when it is dry",
        )
    } else {
        (Verdict::Pass, "little enough")
    };
    let sentence = format!("Set green, {nominal} loses about {loss} in of its depth: {then}.");
    let sums = vec![sum(
        "Green less dry",
        format!("{loss} in"),
        format!("{green} − {dry}"),
    )];
    Some(Finding::new(verdict, sentence, SOURCE).with_sums(sums))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::parse_nominal;

    fn given(n_64: i64) -> Measurement {
        Measurement::agreed("a length", Length::from_64ths(n_64))
    }

    #[test]
    fn an_end_bears_an_inch_and_a_half_on_wood_and_three_on_masonry() {
        let of = |n_64, on| bearing("Beam 1’s start", &given(n_64), on).verdict;
        assert_eq!(of(96, BearsOn::Wood), Verdict::Pass);
        assert_eq!(of(95, BearsOn::Wood), Verdict::Stop);
        assert_eq!(of(191, BearsOn::Masonry), Verdict::Stop);
        assert_eq!(of(192, BearsOn::Masonry), Verdict::Pass);
        assert_eq!(of(192, BearsOn::NotKnown), Verdict::CantTellYet);
    }

    #[test]
    fn a_beam_is_tilted_raised_level_or_not_whole() {
        let of = |clear_inches, seat_inches| {
            way_in(&WayIn {
                beam: "Beam 1".to_owned(),
                at_floor: Measurement::agreed("clear at the floor", Length::inches(clear_inches)),
                at_seat: Measurement::agreed("clear at the seat", Length::inches(seat_inches)),
                length: Measurement::agreed("length", Length::inches(40)),
                depth: Measurement::agreed("depth", Length::inches(9)),
            })
            .verdict
        };
        // 9, 40, 41 is a right triangle.
        assert_eq!(of(41, 50), Verdict::Pass);
        assert_eq!(of(50, 40), Verdict::Look);
        assert_eq!(of(39, 50), Verdict::Stop);
    }

    #[test]
    fn green_timber_of_eight_inches_loses_a_quarter() {
        let of = |text| shrinkage(parse_nominal(text).unwrap()).unwrap();
        assert_eq!(of("6x8").verdict, Verdict::Look);
        assert!(of("6x8").sentence.contains("1/4 in of its depth"));
        assert_eq!(of("6x6").verdict, Verdict::Pass);
        assert_eq!(shrinkage(parse_nominal("2x7").unwrap()), None);
    }
}
