//! Counts, money, percentages and plain decimals as people type them.
//!
//! Lengths are read in `parse`, sections in `section`. A field's own range is checked where the field is; here only
//! what no field goes beyond. Commas: three digits after each are thousands (`1,234`); where decimals are meant, a
//! single comma before the last one or two digits is a decimal comma (`7,5`, `12,50`).

use std::fmt;

use super::scan::{Fault, is_space, is_unseen};
use super::{Money, Permille, TaxRate};

/// Why a text is no such number, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct NumberError {
    /// The place of the first wrong character, counted from 1 in characters; one past the end where something is missing.
    pub at: usize,
    /// The text as typed.
    pub text: String,
    /// What is wrong and what was expected.
    pub problem: String,
    /// A text that can be read.
    pub example: String,
}

impl fmt::Display for NumberError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            at,
            text,
            problem,
            example,
        } = self;
        if text.trim().is_empty() {
            return write!(f, "Nothing is entered here. Write it as in {example}");
        }
        write!(
            f,
            "Can't read this at character {at} of {text}: {problem}, as in {example}"
        )
    }
}

impl NumberError {
    pub(super) fn new(text: &str, fault: Fault) -> Self {
        Self {
            at: fault.at,
            text: text.to_owned(),
            problem: fault.problem,
            example: fault.example.to_owned(),
        }
    }
}

/// A whole count, `12` or `1,200`, of at most 1,000,000.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_count(text: &str) -> Result<u32, NumberError> {
    let form = Form {
        places: 0,
        before: None,
        after: None,
        comma_places: &[],
        most: 1_000_000,
        bound: "a count is at most 1,000,000",
        example: "12",
    };
    let n = form.read(text)?;
    Ok(u32::try_from(n).expect("the form's bound is below u32::MAX"))
}

/// Money, `12.50`, `$1,234.5` or `12,50`, of at most $10,000,000 and never below zero.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_money(text: &str) -> Result<Money, NumberError> {
    let form = Form {
        places: 2,
        before: Some('$'),
        after: None,
        comma_places: &[2],
        most: 1_000_000_000,
        bound: "an amount is at most $10,000,000",
        example: "12.50",
    };
    form.read(text).map(Money::from_cents)
}

/// A share as a percentage with up to one decimal: `10`, `7.5`, `5 %`; at most 100 %.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_permille(text: &str) -> Result<Permille, NumberError> {
    let n = percentage(1, 1_000, "7.5 %").read(text)?;
    let n = u32::try_from(n).expect("the form's bound is below u32::MAX");
    Ok(Permille(n))
}

/// A tax rate as a percentage with up to three decimals: `6.25`, `8.875 %`; at most 100 %.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_tax_rate(text: &str) -> Result<TaxRate, NumberError> {
    let n = percentage(3, 100_000, "8.875 %").read(text)?;
    let n = u32::try_from(n).expect("the form's bound is below u32::MAX");
    Ok(TaxRate(n))
}

/// A number with up to so many decimals, as a whole count of the last of them: `parse_decimal("33.6", 1)` is 336.
///
/// From 0 to 1,000,000, and `places` at most 9. For loads, weights and volumes; nothing is rounded.
///
/// # Errors
/// The place of the first wrong character, and why.
pub fn parse_decimal(text: &str, places: usize) -> Result<i64, NumberError> {
    let places = places.min(9);
    let form = Form {
        places,
        before: None,
        after: None,
        comma_places: if places == 0 { &[] } else { &[1, 2] },
        most: (0..places).fold(1_000_000, |most, _| most * 10),
        bound: "a number here is at most 1,000,000",
        example: if places == 0 { "12" } else { "12.5" },
    };
    form.read(text)
}

fn percentage(places: usize, most: i64, example: &'static str) -> Form {
    Form {
        places,
        before: None,
        after: Some('%'),
        comma_places: &[1, 2],
        most,
        bound: "a share is at most 100 %",
        example,
    }
}

/// How one kind of number is written.
struct Form {
    places: usize,
    before: Option<char>,
    after: Option<char>,
    /// After how many digits a single comma is a decimal comma.
    comma_places: &'static [usize],
    /// The most it may be, in its last place.
    most: i64,
    bound: &'static str,
    example: &'static str,
}

impl Form {
    /// The number in whole units of its last place.
    fn read(&self, text: &str) -> Result<i64, NumberError> {
        let chars: Vec<char> = text.chars().collect();
        self.number(&chars)
            .map_err(|(at, problem)| NumberError::new(text, Fault::new(at, problem, self.example)))
    }

    fn number(&self, chars: &[char]) -> Result<i64, (usize, String)> {
        let mut start = after_spaces(chars, 0);
        if self.before.is_some() && chars.get(start).copied() == self.before {
            start = after_spaces(chars, start + 1);
        }
        let run = chars[start..].iter().take_while(|c| is_of_number(**c));
        let end = start + run.count();
        match chars.get(start) {
            Some('-' | '\u{2212}' | '\u{2013}') => {
                return Err((start + 1, "this is never below zero".to_owned()));
            }
            _ if start == end => return Err((start + 1, "a number is expected here".to_owned())),
            _ => {}
        }
        let n = self.digits(&chars[..end], start)?;
        let mut rest = after_spaces(chars, end);
        if self.after.is_some() && chars.get(rest).copied() == self.after {
            rest = after_spaces(chars, rest + 1);
        }
        if let Some(c) = chars.get(rest) {
            return Err((rest + 1, format!("{c} has no place after this number")));
        }
        if n > self.most {
            return Err((start + 1, self.bound.to_owned()));
        }
        Ok(n)
    }

    /// Digits, points and commas from `start` to the end, in whole units of the last place; huge ones stop growing.
    fn digits(&self, chars: &[char], start: usize) -> Result<i64, (usize, String)> {
        let found = |mark| (start..chars.len()).find(|&index| chars[index] == mark);
        let single_comma = found(',').filter(|&comma| {
            let after = chars.len() - comma - 1;
            let rest_is_digits = chars[comma + 1..].iter().all(char::is_ascii_digit);
            comma > start && rest_is_digits && self.comma_places.contains(&after)
        });
        let point = found('.').or(single_comma);
        let whole_end = point.unwrap_or(chars.len());
        if let Some(at) = wrong_comma(chars, start, whole_end) {
            return Err((at, "a comma stands before each three digits".to_owned()));
        }
        let mut n: i64 = 0;
        let mut push = |c: char| {
            if let Some(digit) = c.to_digit(10) {
                n = n.saturating_mul(10).saturating_add(i64::from(digit));
            }
        };
        chars[start..whole_end].iter().for_each(|&c| push(c));
        let decimals = point.map_or(&[][..], |point| &chars[point + 1..]);
        if let Some(point) = point {
            if self.places == 0 {
                return Err((point + 1, "this is a whole number".to_owned()));
            }
            if decimals.is_empty() {
                return Err((point + 2, "a digit follows the decimal point".to_owned()));
            }
            if let Some(wrong) = decimals.iter().position(|c| !c.is_ascii_digit()) {
                return Err((
                    point + 2 + wrong,
                    "there is one decimal point, and no comma after it".to_owned(),
                ));
            }
            let beyond = decimals.iter().skip(self.places).position(|&c| c != '0');
            if let Some(beyond) = beyond {
                let problem = format!(
                    "decimals go to {} {}",
                    self.places,
                    if self.places == 1 { "place" } else { "places" }
                );
                return Err((point + 2 + self.places + beyond, problem));
            }
        }
        let zeros = std::iter::repeat(&'0');
        decimals
            .iter()
            .chain(zeros)
            .take(self.places)
            .for_each(|&c| push(c));
        Ok(n)
    }
}

/// The place of a comma among whole digits that has not three digits after it, or none before it.
fn wrong_comma(chars: &[char], start: usize, end: usize) -> Option<usize> {
    let mut commas = (start..end).filter(|&index| chars[index] == ',');
    let first = commas.clone().next();
    if let Some(first) = first.filter(|first| !(1..=3).contains(&(first - start))) {
        return Some(first + 1);
    }
    commas
        .find(|comma| {
            let group = chars[comma + 1..end]
                .iter()
                .take_while(|c| c.is_ascii_digit());
            group.count() != 3
        })
        .map(|comma| comma + 1)
}

fn is_of_number(c: char) -> bool {
    c.is_ascii_digit() || matches!(c, '.' | ',')
}

fn after_spaces(chars: &[char], from: usize) -> usize {
    let spaces = chars[from..]
        .iter()
        .take_while(|c| is_space(**c) || is_unseen(**c));
    from + spaces.count()
}

/// Prints a whole number of 10^-places as a decimal number, without needless zeros: 85 of tenths is `8.5`.
pub fn decimal_text(number: i64, places: usize) -> String {
    let digits = format!("{:0>width$}", number.unsigned_abs(), width = places + 1);
    let (whole, part) = digits.split_at(digits.len() - places);
    let part = part.trim_end_matches('0');
    let sign = if number < 0 { "-" } else { "" };
    if part.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{part}")
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[track_caller]
    fn check<T: PartialEq + fmt::Debug>(got: Result<T, NumberError>, expected: &Result<T, usize>) {
        let text = got.as_ref().err().map(ToString::to_string);
        assert_eq!(&got.map_err(|error| error.at), expected, "{text:?}");
    }

    #[test]
    fn a_count_is_whole_and_may_have_thousands() {
        for (text, expected) in [
            ("12", Ok(12)),
            (" 1,200 ", Ok(1200)),
            ("1,000,000", Ok(1_000_000)),
            ("0", Ok(0)),
            ("", Err(1)),
            ("12.5", Err(3)),
            ("12,50", Err(3)),
            (",500", Err(1)),
            ("1234,567", Err(5)),
            ("12 pcs", Err(4)),
            ("-3", Err(1)),
            ("1,000,001", Err(1)),
            ("99999999999999999999999", Err(1)),
        ] {
            check(parse_count(text), &expected);
        }
    }

    #[test]
    fn money_is_read_with_a_sign_thousands_or_a_decimal_comma() {
        for (text, expected) in [
            ("12.50", Ok(1250)),
            ("$1,234.5", Ok(123_450)),
            ("$ 7", Ok(700)),
            ("12,50", Ok(1250)),
            ("1,250", Ok(125_000)),
            (".5", Ok(50)),
            ("12.500", Ok(1250)),
            ("12.505", Err(6)),
            ("12,5", Err(3)),
            ("1,2,34", Err(2)),
            ("12.", Err(4)),
            ("1.2.3", Err(4)),
            ("1.234,50", Err(6)),
            ("-5", Err(1)),
            ("$", Err(2)),
            ("12 €", Err(4)),
            ("10000000.01", Err(1)),
        ] {
            check(parse_money(text), &expected.map(Money::from_cents));
        }
    }

    #[test]
    fn a_share_is_a_percentage_to_one_decimal() {
        for (text, expected) in [
            ("10", Ok(100)),
            ("7.5", Ok(75)),
            ("7,5 %", Ok(75)),
            ("5%", Ok(50)),
            ("100 %", Ok(1000)),
            ("7.25", Err(4)),
            ("100.1", Err(1)),
            ("5 % %", Err(5)),
        ] {
            check(parse_permille(text), &expected.map(Permille));
        }
    }

    #[test]
    fn a_tax_rate_is_a_percentage_to_three_decimals() {
        for (text, expected) in [
            ("6.25", Ok(6250)),
            ("8.875 %", Ok(8875)),
            ("6,25", Ok(6250)),
            ("8.8755", Err(6)),
            ("6,250", Err(1)),
        ] {
            check(parse_tax_rate(text), &expected.map(TaxRate));
        }
    }

    #[test]
    fn a_decimal_comes_in_its_last_place() {
        for (text, places, expected) in [
            ("33.6", 1, Ok(336)),
            ("1.5", 3, Ok(1500)),
            ("40", 0, Ok(40)),
            ("40.5", 0, Err(3)),
            ("1,500", 1, Ok(15_000)),
            ("1000000", 9, Ok(1_000_000_000_000_000)),
            ("1000001", 9, Err(1)),
        ] {
            check(parse_decimal(text, places), &expected);
        }
    }

    #[test]
    fn a_message_says_where_why_and_what_would_do() {
        assert_eq!(
            parse_money("12.505").unwrap_err().to_string(),
            "Can't read this at character 6 of 12.505: decimals go to 2 places, as in 12.50"
        );
        assert_eq!(
            parse_tax_rate("625").unwrap_err().to_string(),
            "Can't read this at character 1 of 625: a share is at most 100 %, as in 8.875 %"
        );
        assert_eq!(
            parse_count(" ").unwrap_err().to_string(),
            "Nothing is entered here. Write it as in 12"
        );
    }

    proptest! {
        #[test]
        fn money_reads_back_as_the_amount_it_was_printed_from(cents in 0_i64..=1_000_000_000) {
            let amount = Money::from_cents(cents);
            prop_assert_eq!(parse_money(&amount.to_string()), Ok(amount));
        }

        #[test]
        fn no_text_panics_a_reader_and_the_place_is_inside_it_or_one_past(text in "[0-9., $%€-]{0,24}|.*", places in 0_usize..12) {
            let last = text.chars().count() + 1;
            let places = [
                parse_count(&text).err(),
                parse_money(&text).err(),
                parse_permille(&text).err(),
                parse_tax_rate(&text).err(),
                parse_decimal(&text, places).err(),
            ];
            for error in places.into_iter().flatten() {
                prop_assert!((1..=last).contains(&error.at), "{:?}", error);
            }
        }
    }
}
