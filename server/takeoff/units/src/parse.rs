//! Lengths as people type them on a phone.
//!
//! It reads one text into one length, exactly, and rounds once, at the end. It does not ask whether the length makes
//! sense in its field: ranges are checked where a field is. The forms come from the product's own list ("Entering a
//! length on a phone"); `lengths.tsv` beside this file holds the cases, and the script in the page must pass them too.
//!
//! | typed | read as |
//! | --- | --- |
//! | `7' 3 3/8"`, `7 ft 3 3/8 in`, `7'-3 3/8"`, `7-3-3/8` | feet, inches, fraction |
//! | `7-3`, `7'` | feet and inches; feet |
//! | `3 1/2`, `3-1/2`, `3½` | inches and fraction, in a US job; a metric job wants the inch mark |
//! | `83.625` | inches, or millimetres in a metric job |
//! | `2124mm`, `212.4 cm`, `2,124 m` | metric |
//! | `83 5/8 + 1/4`, `144 - 3 1/2` | a sum, a difference |
//!
//! Hyphen or minus: without spaces it joins feet, inches and fraction, so `144-3` is 144 ft 3 in; with a space on both
//! sides it takes away, so `144 - 3` is 141 in, also after a foot mark; with a space on one side only it is refused.
//! That holds for every dash that a phone may put there. At the beginning it makes the first length negative.
//!
//! Refused, because it is more likely a slip: inches of 12 or more beside feet, a fraction whose top isn't under its
//! bottom (`33/8`), and a comma before just three digits of millimetres or centimetres (`2,124 mm`: thousands or
//! decimals?).

use std::fmt;

use super::Length;
use super::scan::{BILLION, Decimals, Fault, Mark, Number, Placed, Scanned, scan};

/// What a bare number means, and what is echoed first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Units {
    /// Feet and inches; a bare number is inches.
    #[default]
    Us,
    /// Metric; a bare number is millimetres.
    Metric,
}

/// Why a text is no length, and where.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct LengthError {
    /// The place of the first wrong character, counted from 1 in characters; one past the end where something is missing.
    pub at: usize,
    /// The text as typed.
    pub text: String,
    /// What is wrong and what was expected.
    pub problem: String,
    /// A text that can be read.
    pub example: String,
}

impl fmt::Display for LengthError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self {
            at,
            text,
            problem,
            example,
        } = self;
        if text.trim().is_empty() {
            return write!(f, "No length is entered. Type one, as in {example}");
        }
        write!(
            f,
            "Can't read this length at character {at} of {text}: {problem}, as in {example}"
        )
    }
}

/// The longest length that is read, either way from zero: 10,000 ft.
const LONGEST: Length = Length::feet(10_000);

/// Reads a length.
///
/// Decimals and metric lengths go to the nearest 1/64 in, halves up in size (−1/128 in becomes −1/64 in); a sum is added
/// up exactly and rounded once. At most 10,000 ft either way.
///
/// # Errors
/// The place of the first wrong character, and why.
///
/// ```
/// use scantling_units::{Length, Units, parse_length};
/// assert_eq!(parse_length("7' 3 3/8\"", Units::Us)?, Length::inches_64(87, 24));
/// assert_eq!(parse_length("144 - 3 1/2", Units::Us)?, Length::inches_64(140, 32));
/// # Ok::<(), scantling_units::LengthError>(())
/// ```
pub fn parse_length(text: &str, units: Units) -> Result<Length, LengthError> {
    let Scanned { marks, fault, end } = scan(text);
    let mut reader = Reader {
        marks: &marks,
        next: 0,
        end,
        units,
    };
    let read = match (reader.sum(), fault) {
        (Err(grammar), Some(scanned)) if grammar.at < scanned.at => Err(grammar),
        (_, Some(scanned)) => Err(scanned),
        (read, None) => read,
    };
    read.map_err(
        |Fault {
             at,
             problem,
             example,
         }| LengthError {
            at,
            text: text.to_owned(),
            problem,
            example: example.to_owned(),
        },
    )
}

// A length is added up in shares so fine that every term is a whole number of them: 127 for the inch of 25.4 mm, a
// billion for the decimals.
const SHARES_IN_64TH: i128 = 127 * BILLION;
const SHARES_IN_BILLIONTH_INCH: i128 = 64 * 127;
const SHARES_IN_BILLIONTH_FOOT: i128 = 12 * SHARES_IN_BILLIONTH_INCH;
const SHARES_IN_BILLIONTH_MM: i128 = 64 * 5;

/// A whole or decimal number with, perhaps, a fraction; the unit is not known yet.
struct Quantity {
    at: usize,
    number: Option<Number>,
    fraction: Option<Fraction>,
}

struct Fraction {
    at: usize,
    in_64ths: i128,
}

struct Reader<'a> {
    marks: &'a [Placed],
    next: usize,
    end: usize,
    units: Units,
}

impl Reader<'_> {
    /// The whole text: lengths with a sign between.
    fn sum(&mut self) -> Result<Length, Fault> {
        if self.marks.is_empty() {
            return Err(Fault::new(self.end, "a length is missing", self.example()));
        }
        let mut total = if self.take(Mark::Dash) {
            -self.term()?
        } else {
            self.term()?
        };
        while let Some(placed) = self.peek(0) {
            match placed.mark {
                Mark::Plus => {
                    self.next += 1;
                    total += self.term()?;
                }
                Mark::Dash if placed.space_before && self.space_after(0) => {
                    self.next += 1;
                    total -= self.term()?;
                }
                _ => return Err(out_of_place(placed)),
            }
        }
        let size = (2 * total.abs() + SHARES_IN_64TH).div_euclid(2 * SHARES_IN_64TH);
        let size = i64::try_from(size).ok().map(Length::from_64ths);
        match size.filter(|size| *size <= LONGEST) {
            Some(size) if total < 0 => Ok(-size),
            Some(size) => Ok(size),
            None => Err(self.too_long()),
        }
    }

    /// One length, in shares.
    fn term(&mut self) -> Result<i128, Fault> {
        let quantity = self.quantity()?;
        if self.take(Mark::Feet) {
            let hyphen = self.take_hyphen();
            if !hyphen && !self.at_number() {
                return quantity.shares(SHARES_IN_BILLIONTH_FOOT);
            }
            return self.inches_beside(&quantity);
        }
        if self.take(Mark::Inches) {
            return quantity.shares(SHARES_IN_BILLIONTH_INCH);
        }
        if let Some(Placed {
            mark: Mark::Metric(mm),
            ..
        }) = self.peek(0)
        {
            self.next += 1;
            return quantity.metric(mm);
        }
        if quantity.is_whole() && self.take_hyphen() {
            return self.inches_beside(&quantity);
        }
        match self.units {
            Units::Us => quantity.shares(SHARES_IN_BILLIONTH_INCH),
            Units::Metric if quantity.fraction.is_none() => quantity.metric(1),
            Units::Metric => Err(Fault::new(
                self.peek(0).map_or(self.end, |placed| placed.at),
                "in a metric job a fraction wants its inch mark",
                "83 5/8\"",
            )),
        }
    }

    /// The inches after feet, and both together in shares.
    fn inches_beside(&mut self, feet: &Quantity) -> Result<i128, Fault> {
        let inches = self.quantity()?;
        if !feet.is_whole() {
            let problem = "before inches the feet are a whole number";
            return Err(Fault::new(inches.at, problem, "7' 6\""));
        }
        let beside = inches.shares(SHARES_IN_BILLIONTH_INCH)?;
        if beside >= SHARES_IN_BILLIONTH_FOOT * BILLION {
            let problem = "inches beside feet are less than 12, and a difference has a space on both sides of its minus";
            return Err(Fault::new(inches.at, problem, "7' 3 3/8\" or 144 - 96"));
        }
        self.take(Mark::Inches);
        Ok(feet.shares(SHARES_IN_BILLIONTH_FOOT)? + beside)
    }

    /// A number, a number with a fraction, or a fraction.
    fn quantity(&mut self) -> Result<Quantity, Fault> {
        let Some(first) = self.peek(0) else {
            return Err(Fault::new(self.end, "a number is missing", self.example()));
        };
        let at = first.at;
        let Mark::Number(number) = first.mark else {
            let fraction = Some(self.fraction()?);
            return Ok(Quantity {
                at,
                number: None,
                fraction,
            });
        };
        if self.is_fraction(0) {
            let fraction = Some(self.fraction()?);
            return Ok(Quantity {
                at,
                number: None,
                fraction,
            });
        }
        self.next += 1;
        let hyphen = usize::from(self.is_hyphen());
        let fraction = if self.is_fraction(hyphen) {
            self.next += hyphen;
            Some(self.fraction()?)
        } else {
            None
        };
        if let (Some(fraction), Some(_)) = (&fraction, number.decimals) {
            let problem = "decimals or a fraction, not both";
            return Err(Fault::new(fraction.at, problem, "3 3/8\" or 3.375"));
        }
        Ok(Quantity {
            at,
            number: Some(number),
            fraction,
        })
    }

    /// A fraction: ready-made, or top, line and bottom.
    fn fraction(&mut self) -> Result<Fraction, Fault> {
        const BOTTOM: &str = "the bottom of a fraction is 2, 4, 8, 16, 32 or 64";
        const EXAMPLE: &str = "7' 3 3/8\"";
        let Some(Placed { mark, at, .. }) = self.peek(0) else {
            return Err(Fault::new(self.end, "a fraction is missing", EXAMPLE));
        };
        let top = match mark {
            Mark::Fraction(in_64ths) => {
                self.next += 1;
                return Ok(Fraction { at, in_64ths });
            }
            Mark::Number(top) => top,
            _ => return Err(Fault::new(at, "a number is expected here", EXAMPLE)),
        };
        if let Some(decimals) = top.decimals {
            let problem = "the top of a fraction is a whole number";
            return Err(Fault::new(decimals.at, problem, EXAMPLE));
        }
        self.next += 2;
        let Some(under) = self.peek(0) else {
            return Err(Fault::new(self.end, BOTTOM, EXAMPLE));
        };
        let bottom = match under.mark {
            Mark::Number(bottom) => bottom.billionths.div_euclid(BILLION),
            _ => return Err(Fault::new(under.at, BOTTOM, EXAMPLE)),
        };
        if !matches!(bottom, 2 | 4 | 8 | 16 | 32 | 64) {
            return Err(Fault::new(under.at, BOTTOM, EXAMPLE));
        }
        if let Mark::Number(Number {
            decimals: Some(decimals),
            ..
        }) = under.mark
        {
            return Err(Fault::new(decimals.at, BOTTOM, EXAMPLE));
        }
        let in_64ths = top.billionths.div_euclid(BILLION) * 64_i128.div_euclid(bottom);
        if in_64ths >= 64 {
            let problem = "the top of a fraction is less than its bottom, and a space stands before the fraction";
            return Err(Fault::new(at, problem, "3 3/8\""));
        }
        self.next += 1;
        Ok(Fraction { at, in_64ths })
    }

    fn peek(&self, ahead: usize) -> Option<Placed> {
        self.marks.get(self.next + ahead).copied()
    }

    /// Whether a space, or nothing, follows the mark that many ahead.
    fn space_after(&self, ahead: usize) -> bool {
        self.peek(ahead + 1).is_none_or(|next| next.space_before)
    }

    fn take(&mut self, mark: Mark) -> bool {
        let is_here = self.peek(0).is_some_and(|placed| placed.mark == mark);
        self.next += usize::from(is_here);
        is_here
    }

    fn take_hyphen(&mut self) -> bool {
        let is_here = self.is_hyphen();
        self.next += usize::from(is_here);
        is_here
    }

    /// A dash that joins: no space on either side.
    fn is_hyphen(&self) -> bool {
        let after = self.peek(1).is_none_or(|next| !next.space_before);
        self.peek(0)
            .is_some_and(|placed| placed.mark == Mark::Dash && !placed.space_before && after)
    }

    fn at_number(&self) -> bool {
        let here = self.peek(0).map(|placed| placed.mark);
        matches!(here, Some(Mark::Number(_) | Mark::Fraction(_)))
    }

    fn is_fraction(&self, ahead: usize) -> bool {
        match self.peek(ahead).map(|placed| placed.mark) {
            Some(Mark::Fraction(_)) => true,
            Some(Mark::Number(_)) => {
                let line = self.peek(ahead + 1).map(|placed| placed.mark);
                line == Some(Mark::Slash)
            }
            _ => false,
        }
    }

    fn example(&self) -> &'static str {
        match self.units {
            Units::Us => "7' 3 3/8\"",
            Units::Metric => "2124 mm",
        }
    }

    fn too_long(&self) -> Fault {
        let at = self.marks.first().map_or(self.end, |placed| placed.at);
        Fault::new(at, "a length is at most 10,000 ft", self.example())
    }
}

impl Quantity {
    fn is_whole(&self) -> bool {
        self.fraction.is_none() && self.number.is_some_and(|number| number.decimals.is_none())
    }

    /// In feet or inches.
    fn shares(&self, in_billionth: i128) -> Result<i128, Fault> {
        let billionths = match self.number {
            Some(number) => {
                if let Some(decimals) = number.decimals.filter(|decimals| decimals.comma) {
                    let problem = "feet and inches have a decimal point, and no comma";
                    return Err(Fault::new(decimals.at, problem, "83.625"));
                }
                number.billionths
            }
            None => 0,
        };
        let in_64ths = self
            .fraction
            .as_ref()
            .map_or(0, |fraction| fraction.in_64ths);
        Ok(billionths * in_billionth + in_64ths * (in_billionth * BILLION).div_euclid(64))
    }

    /// In a metric unit of so many millimetres.
    fn metric(&self, mm: i128) -> Result<i128, Fault> {
        if let Some(fraction) = &self.fraction {
            let problem = "metric lengths have decimals, and no fraction";
            return Err(Fault::new(fraction.at, problem, "2124.5 mm"));
        }
        let Some(number) = self.number else {
            return Ok(0);
        };
        let thousands = |d: &Decimals| d.comma && d.places == 3 && mm < 1000;
        if let Some(decimals) = number.decimals.filter(thousands) {
            let problem = "this comma may stand for thousands or for decimals; write it without";
            return Err(Fault::new(decimals.at, problem, "2124 mm or 2.124 m"));
        }
        Ok(number.billionths * mm * SHARES_IN_BILLIONTH_MM)
    }
}

/// What is wrong with a mark after a length that was whole.
fn out_of_place(placed: Placed) -> Fault {
    let (problem, example) = match placed.mark {
        Mark::Dash => (
            "a minus has a space on both sides, and a hyphen joins only feet, inches and fraction",
            "144 - 3 1/2 or 7-3-3/8",
        ),
        Mark::Number(_) | Mark::Fraction(_) => (
            "two numbers want a unit or a sign between them",
            "7' 3 3/8\" or 83 5/8 + 1/4",
        ),
        Mark::Slash => ("a fraction is a top, a line and a bottom", "3 3/8\""),
        Mark::Feet => ("feet come first, and once", "7' 3 3/8\""),
        Mark::Inches | Mark::Metric(_) | Mark::Plus => (
            "a length has one unit, or feet and then inches",
            "7' 3 3/8\" or 2124 mm",
        ),
    };
    Fault::new(placed.at, problem, example)
}

#[cfg(test)]
mod tests;
