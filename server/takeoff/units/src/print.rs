//! Lengths as they are printed: feet and inches, millimetres, the echo below a field, the cut list's sixteenths.
//!
//! Bare inches are the `Display` of a length. It does not read (that is `parse`), nor choose units for a page.

use super::{Length, Units};

impl Length {
    /// Feet and inches: `12' 3 1/4"` from a foot up, bare inches with their mark below (`3 1/4"`).
    ///
    /// Exact to 1/64 in. The sign comes first and stays on values under one: `-1/4"`.
    ///
    /// ```
    /// use scantling_units::Length;
    /// assert_eq!(Length::inches_64(147, 16).feet_inches(), "12' 3 1/4\"");
    /// assert_eq!(Length::feet(12).feet_inches(), "12' 0\"");
    /// assert_eq!(Length::inches_64(3, 16).feet_inches(), "3 1/4\"");
    /// ```
    pub fn feet_inches(self) -> String {
        let size = self.abs();
        if size < Self::feet(1) {
            return format!("{self}\"");
        }
        let sign = if self < Self::ZERO { "-" } else { "" };
        let feet = size.div_down(Self::feet(1));
        format!("{sign}{feet}' {}\"", size - Self::feet(feet))
    }

    /// The nearest millimetre, halves up in size (away from zero).
    pub fn millimetres(self) -> i64 {
        // 1/64 in is 127/320 mm.
        let size = (2 * 127 * self.as_64ths().abs() + 320).div_euclid(640);
        size * self.as_64ths().signum()
    }

    /// A reading said back both ways: `6' 11 5/8" · 83 5/8 in · 2124 mm`, millimetres first in a metric job.
    ///
    /// Below a foot the inches are said once: `3 1/4" · 83 mm`.
    pub fn echo(self, units: Units) -> String {
        let mm = format!("{} mm", self.millimetres());
        let inches = if self.abs() < Self::feet(1) {
            self.feet_inches()
        } else {
            format!("{} · {self} in", self.feet_inches())
        };
        match units {
            Units::Us => format!("{inches} · {mm}"),
            Units::Metric => format!("{mm} · {inches}"),
        }
    }

    /// The nearest 1/16 in, halves down, as a cut list shows it beside the exact 1/64.
    ///
    /// Source: common practice, no published source.
    #[must_use]
    pub fn to_sixteenth_down(self) -> Self {
        Self::from_64ths((self.as_64ths() + 1).div_euclid(4) * 4)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::parse_length;
    use super::*;

    fn length(text: &str) -> Length {
        parse_length(text, Units::Us).unwrap()
    }

    #[test]
    fn a_length_has_feet_from_a_foot_up() {
        for (inches, printed) in [
            ("0", "0\""),
            ("1/64", "1/64\""),
            ("-1/4", "-1/4\""),
            ("11 63/64", "11 63/64\""),
            ("12", "1' 0\""),
            ("12 1/2", "1' 1/2\""),
            ("147 1/4", "12' 3 1/4\""),
            ("-147 1/4", "-12' 3 1/4\""),
        ] {
            assert_eq!(length(inches).feet_inches(), printed);
        }
    }

    #[test]
    fn the_echo_says_a_reading_both_ways() {
        let reading = length("83 5/8");
        assert_eq!(reading.echo(Units::Us), "6' 11 5/8\" · 83 5/8 in · 2124 mm");
        assert_eq!(
            reading.echo(Units::Metric),
            "2124 mm · 6' 11 5/8\" · 83 5/8 in"
        );
        assert_eq!(length("3 1/4").echo(Units::Us), "3 1/4\" · 83 mm");
        assert_eq!(length("-1/4").echo(Units::Us), "-1/4\" · -6 mm");
    }

    #[test]
    fn millimetres_go_to_the_nearest_and_halves_away_from_zero() {
        for (inches, mm) in [
            ("1", 25),
            ("5", 127),
            ("2 1/2", 64), // 63.5
            ("-2 1/2", -64),
            ("83 5/8", 2124),
            ("1/64", 0),
            ("1/32", 1),
        ] {
            assert_eq!(length(inches).millimetres(), mm, "{inches}");
        }
    }

    #[test]
    fn a_cut_list_shows_the_nearest_sixteenth_and_halves_down() {
        for (inches, shown) in [
            ("9 1/16", "9 1/16"),
            ("9 5/64", "9 1/16"),
            ("9 3/32", "9 1/16"), // half way
            ("9 7/64", "9 1/8"),
            ("1/32", "0"),
            ("63/64", "1"),
        ] {
            assert_eq!(length(inches).to_sixteenth_down().to_string(), shown);
        }
    }

    proptest! {
        #[test]
        fn feet_and_inches_read_back_as_the_length_they_were_printed_from(n in -7_680_000_i64..=7_680_000) {
            reads_back(Length::from_64ths(n))?;
        }

        #[test]
        fn so_do_lengths_near_a_foot_and_under_an_inch(n in -800_i64..=800) {
            reads_back(Length::from_64ths(n))?;
        }

        #[test]
        fn a_whole_millimetre_comes_back_as_it_was_typed(mm in -3_048_000_i64..=3_048_000) {
            let length = parse_length(&mm.to_string(), Units::Metric).unwrap();
            prop_assert_eq!(length.millimetres(), mm);
        }

        #[test]
        fn a_shown_sixteenth_is_within_a_thirty_second(n in -100_000_i64..100_000) {
            let (exact, shown) = (Length::from_64ths(n), Length::from_64ths(n).to_sixteenth_down());
            prop_assert!((exact - shown).abs() <= Length::from_64ths(2));
            prop_assert_eq!(shown.up_to(Length::from_64ths(4)), shown);
        }
    }

    /// Both printed forms, and each part of the echo: exact in inches, within half a millimetre in metric.
    fn reads_back(length: Length) -> Result<(), TestCaseError> {
        prop_assert_eq!(parse_length(&length.feet_inches(), Units::Us), Ok(length));
        for units in [Units::Us, Units::Metric] {
            for part in length.echo(units).split(" · ") {
                let read = parse_length(part, units).unwrap();
                if part.ends_with("mm") {
                    // Half a millimetre is 1.26 of 1/64 in, and reading it back rounds by at most 0.5 more: 1 in whole 64ths.
                    prop_assert!((read - length).abs() <= Length::from_64ths(1), "{}", part);
                } else {
                    prop_assert_eq!(read, length);
                }
            }
        }
        Ok(())
    }
}
