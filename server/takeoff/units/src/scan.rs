//! A typed length cut into marks: numbers, fractions, units and signs, each with its place.
//!
//! It knows what phones make of what was typed (curly quotes, long dashes, ready-made fractions, odd spaces), and nothing
//! of how the marks go together: that is `parse`.

/// What stands at a place in the text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Mark {
    /// Digits, perhaps with decimals.
    Number(Number),
    /// A ready-made fraction such as ½, in 64ths.
    Fraction(i128),
    /// The line of a fraction.
    Slash,
    /// A hyphen, a dash or a minus: which of them, its spaces tell.
    Dash,
    /// A plus.
    Plus,
    /// Feet, as a mark or a word.
    Feet,
    /// Inches, as a mark or a word.
    Inches,
    /// A metric unit: its millimetres.
    Metric(i128),
}

/// A mark with its place, counted from 1 in characters, and whether a space stands before it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub(super) mark: Mark,
    pub(super) at: usize,
    pub(super) space_before: bool,
}

/// A number as typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Number {
    /// Its value in billionths.
    pub(super) billionths: i128,
    /// Where its decimals begin, if it has any.
    pub(super) decimals: Option<Decimals>,
}

/// How the decimals of a number were written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Decimals {
    /// The place of the point or comma.
    pub(super) at: usize,
    /// Whether it is a comma.
    pub(super) comma: bool,
    /// How many digits follow.
    pub(super) places: usize,
}

/// What is wrong at a place, and a text that can be read.
#[derive(Clone, Debug)]
pub(super) struct Fault {
    pub(super) at: usize,
    pub(super) problem: String,
    pub(super) example: &'static str,
}

impl Fault {
    pub(super) fn new(at: usize, problem: impl Into<String>, example: &'static str) -> Self {
        let problem = problem.into();
        Self {
            at,
            problem,
            example,
        }
    }
}

/// The marks of a text up to the first that is none, that fault, and the place where the next mark is missed.
#[derive(Debug)]
pub(super) struct Scanned {
    pub(super) marks: Vec<Placed>,
    pub(super) fault: Option<Fault>,
    pub(super) end: usize,
}

/// One billion: the finest decimals that are read are billionths.
pub(super) const BILLION: i128 = 1_000_000_000;

/// Digits that a number may have on either side of its decimal point.
const DIGITS: usize = 9;

/// Cuts a text into marks.
pub(super) fn scan(text: &str) -> Scanned {
    let chars: Vec<char> = text.chars().collect();
    let last = chars.iter().rposition(|&c| !is_space(c) && !is_unseen(c));
    let end = last.map_or(1, |index| index + 2);
    let mut marks = Vec::new();
    let (mut index, mut space_before) = (0, false);
    while let Some(&c) = chars.get(index) {
        if is_space(c) || is_unseen(c) {
            space_before |= is_space(c);
            index += 1;
            continue;
        }
        match mark(&chars, index) {
            Ok((mark, next)) => {
                marks.push(Placed {
                    mark,
                    at: index + 1,
                    space_before,
                });
                (index, space_before) = (next, false);
            }
            Err(fault) => {
                let (end, fault) = (fault.at, Some(fault));
                return Scanned { marks, fault, end };
            }
        }
    }
    Scanned {
        marks,
        fault: None,
        end,
    }
}

/// The mark that begins at `index`, and where the next may begin.
fn mark(chars: &[char], index: usize) -> Result<(Mark, usize), Fault> {
    let c = chars[index];
    let one = |mark| Ok((mark, index + 1));
    match c {
        '0'..='9' | '.' | ',' => number(chars, index),
        '/' | '\u{2044}' | '\u{2215}' => one(Mark::Slash),
        '-' | '\u{2010}'..='\u{2015}' | '\u{2212}' => one(Mark::Dash),
        '+' => one(Mark::Plus),
        '"' | '\u{201C}'..='\u{201F}' | '\u{2033}' => one(Mark::Inches),
        _ if is_single_quote(c) => match chars.get(index + 1) {
            Some(&next) if is_single_quote(next) => Ok((Mark::Inches, index + 2)),
            _ => one(Mark::Feet),
        },
        '½' => one(Mark::Fraction(32)),
        '¼' => one(Mark::Fraction(16)),
        '¾' => one(Mark::Fraction(48)),
        '⅛' => one(Mark::Fraction(8)),
        '⅜' => one(Mark::Fraction(24)),
        '⅝' => one(Mark::Fraction(40)),
        '⅞' => one(Mark::Fraction(56)),
        '⅐'..='⅞' => Err(Fault::new(
            index + 1,
            "a fraction of an inch counts halves, quarters, eighths, sixteenths, 32nds or 64ths",
            "3 3/8\"",
        )),
        _ if c.is_alphabetic() => word(chars, index),
        _ => Err(Fault::new(
            index + 1,
            format!("{c} has no place in a length"),
            "7' 3 3/8\"",
        )),
    }
}

fn number(chars: &[char], start: usize) -> Result<(Mark, usize), Fault> {
    let digits = |from: usize| {
        let run = chars[from..].iter().take_while(|c| c.is_ascii_digit());
        from + run.count()
    };
    let point = digits(start);
    let whole = value(&chars[start..point])
        .ok_or_else(|| Fault::new(start + 1, "a length is at most 10,000 ft", "12' 3 1/4\""))?;
    if !matches!(chars.get(point), Some('.' | ',')) {
        let number = Number {
            billionths: whole * BILLION,
            decimals: None,
        };
        return Ok((Mark::Number(number), point));
    }
    let next = digits(point + 1);
    let places = next - point - 1;
    if places == 0 {
        let problem = "a digit follows the decimal point";
        return Err(Fault::new(point + 2, problem, "83.625"));
    }
    let fine = value(&chars[point + 1..next]).filter(|_| places <= DIGITS);
    let Some(fine) = fine else {
        let problem = format!("decimals are read to {DIGITS} places");
        return Err(Fault::new(point + 2 + DIGITS, problem, "83.625"));
    };
    let scale = (places..DIGITS).fold(1, |scale, _| scale * 10);
    let number = Number {
        billionths: whole * BILLION + fine * scale,
        decimals: Some(Decimals {
            at: point + 1,
            comma: chars[point] == ',',
            places,
        }),
    };
    Ok((Mark::Number(number), next))
}

/// The value of up to nine digits, leading zeros not counted; none is zero.
fn value(digits: &[char]) -> Option<i128> {
    let mut n = 0;
    for digit in digits.iter().filter_map(|c| c.to_digit(10)) {
        n = n * 10 + i128::from(digit);
        if n >= BILLION {
            return None;
        }
    }
    Some(n)
}

fn word(chars: &[char], start: usize) -> Result<(Mark, usize), Fault> {
    let run = chars[start..].iter().take_while(|c| c.is_alphabetic());
    let end = start + run.count();
    let word: String = chars[start..end]
        .iter()
        .flat_map(|c| c.to_lowercase())
        .collect();
    let mark = match word.as_str() {
        "ft" | "foot" | "feet" => Mark::Feet,
        "in" | "inch" | "inches" => Mark::Inches,
        "mm" => Mark::Metric(1),
        "cm" => Mark::Metric(10),
        "m" => Mark::Metric(1000),
        _ => {
            let problem = "a unit is ft, in, mm, cm or m";
            return Err(Fault::new(start + 1, problem, "7 ft 3 3/8 in"));
        }
    };
    let abbreviated = matches!(word.as_str(), "ft" | "in") && chars.get(end) == Some(&'.');
    Ok((mark, end + usize::from(abbreviated)))
}

pub(super) fn is_space(c: char) -> bool {
    c.is_whitespace()
}

/// Characters that a paste brings along and nobody sees.
pub(super) fn is_unseen(c: char) -> bool {
    matches!(
        c,
        '\u{200B}'..='\u{200F}' | '\u{2060}' | '\u{FEFF}' | '\u{AD}'
    )
}

fn is_single_quote(c: char) -> bool {
    matches!(c, '\'' | '`' | '´' | '\u{2018}'..='\u{201B}' | '\u{2032}')
}
