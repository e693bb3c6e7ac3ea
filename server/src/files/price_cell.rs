//! A cell of a supplier's price book as the registry's field reads it: its decimal mark, thousands, currency sign and
//! bare lengths put the way people here type them.
//!
//! What can't be put so is left as it is, and the field says what is wrong with it. Nothing is guessed: a figure that
//! could be two things is refused with both.

use scantling_takeoff::record::{Field, FieldType, Job, choices};
use scantling_takeoff::units::{Length, Units, parse_length};
use uuid::Uuid;

/// How the file writes its figures.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(crate) struct Figures {
    /// Whether a comma stands before the decimals; none where nobody said and no figure shows it.
    pub(crate) decimal_comma: Option<bool>,
    /// A word of `BARE_LENGTH`: what a length without a unit is in; empty where nobody said.
    pub(crate) bare: String,
}

/// A cell as its field takes it.
///
/// # Errors
/// What it may mean, and what would do.
pub(crate) fn plain(
    field: &Field,
    cell: &str,
    figures: &Figures,
    job: &Job,
) -> Result<String, String> {
    match field.kind {
        FieldType::Ref(_) => named(job, field, cell),
        FieldType::Choice(of) => Ok(word(field.name, of, cell)),
        FieldType::Money => number(without_currency(cell), figures.decimal_comma),
        FieldType::Count { .. } | FieldType::Decimal { .. } => number(cell, figures.decimal_comma),
        FieldType::Length { .. } => length(field, cell, figures, job.settings.units),
        _ => Ok(cell.replace('\n', " ")),
    }
}

/// A word of a choice by its stored or shown words, or as the trade writes it.
fn word(name: &str, of: choices::Choices, cell: &str) -> String {
    let said = cell.to_lowercase();
    let known = of
        .iter()
        .find(|(stored, shown)| *stored == said || shown.to_lowercase() == said)
        .map(|(stored, _)| *stored);
    let trade = (name == "sold_by")
        .then(|| match said.trim_end_matches('.') {
            "ea" | "pc" | "pcs" | "piece" | "pieces" => Some("each"),
            "lbs" | "pounds" | "#" => Some("lb"),
            "ft" | "lf" | "feet" | "lin ft" => Some("foot"),
            "sht" | "shts" | "sheets" => Some("sheet"),
            "bx" | "boxes" => Some("box"),
            "rl" | "rolls" => Some("roll"),
            "tb" | "tubes" => Some("tube"),
            _ => None,
        })
        .flatten();
    known.or(trade).unwrap_or(cell).to_owned()
}

/// The decimal mark that a figure itself shows, by the one way in which it can be read; none where it shows none.
pub(crate) fn mark_of(cell: &str) -> Option<char> {
    let cell = without_currency(cell);
    let last = cell.rfind(['.', ','])?;
    let of_figure = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',');
    if !cell.chars().all(of_figure) {
        return None;
    }
    let (whole, decimals) = (cell.get(..last)?, cell.get(last + 1..)?);
    let mark = if cell.get(last..)?.starts_with(',') {
        ','
    } else {
        '.'
    };
    if whole.contains(mark) {
        // Twice the same one: thousands, where all groups have three digits.
        let other = if mark == ',' { '.' } else { ',' };
        return (!whole.contains(other) && by_threes(cell, &|c| c == mark)).then_some(other);
    }
    let is_decimal = !decimals.is_empty() && !could_be_two(cell);
    is_decimal.then_some(mark)
}

/// Whether a figure can be thousands and decimals: `1,250`.
pub(crate) fn could_be_two(cell: &str) -> bool {
    let mut marks = cell.chars().filter(|c| matches!(c, '.' | ','));
    match (marks.next(), marks.next()) {
        (Some(mark), None) => by_threes(cell, &|c| c == mark),
        _ => false,
    }
}

/// Whether a figure is in groups of three digits, the first of one to three that don't begin with 0.
fn by_threes(whole: &str, apart: &dyn Fn(char) -> bool) -> bool {
    let groups: Vec<&str> = whole.split(apart).collect();
    groups
        .iter()
        .all(|group| group.bytes().all(|b| b.is_ascii_digit()))
        && groups
            .first()
            .is_some_and(|first| (1..=3).contains(&first.len()) && !first.starts_with('0'))
        && groups.iter().skip(1).all(|group| group.len() == 3)
}

pub(crate) fn without_currency(cell: &str) -> &str {
    let bare = ["US$", "USD", "$"]
        .iter()
        .find_map(|sign| cell.strip_prefix(sign).or_else(|| cell.strip_suffix(sign)));
    bare.unwrap_or(cell).trim()
}

/// A number with its thousands taken out and a decimal point.
fn number(cell: &str, decimal_comma: Option<bool>) -> Result<String, String> {
    if decimal_comma.is_none() && could_be_two(cell) {
        let (thousands, decimals) = (cell.replace(['.', ','], ""), cell.replace(',', "."));
        return Err(format!(
            "{cell} can be {thousands} or {decimals}. Choose the decimal mark."
        ));
    }
    let decimal_comma = decimal_comma.unwrap_or(false);
    let (mark, other) = if decimal_comma {
        (',', '.')
    } else {
        ('.', ',')
    };
    let is_space = |c: char| matches!(c, ' ' | '\u{a0}' | '\u{202f}' | '\'');
    let of_number = |c: char| c.is_ascii_digit() || c == mark || c == other || is_space(c);
    if cell.is_empty() || !cell.chars().all(of_number) {
        return Ok(cell.to_owned());
    }
    let (whole, decimals) = cell.split_once(mark).unwrap_or((cell, ""));
    let plain_whole = whole.bytes().all(|b| b.is_ascii_digit());
    let grouped = by_threes(whole, &|c| c == other) || by_threes(whole, &is_space);
    let fine = (plain_whole || grouped) && decimals.bytes().all(|b| b.is_ascii_digit());
    if !fine {
        let (is, not) = if decimal_comma {
            ("comma", "point")
        } else {
            ("point", "comma")
        };
        return Err(format!(
            "{cell} does not fit a decimal {is}. Write it like 1234{mark}50, or choose the {not} as its decimal mark."
        ));
    }
    let digits: String = whole.chars().filter(char::is_ascii_digit).collect();
    let digits = if digits.is_empty() {
        "0".to_owned()
    } else {
        digits
    };
    Ok(if decimals.is_empty() {
        digits
    } else {
        format!("{digits}.{decimals}")
    })
}

/// A length; where it says no unit, in the unit that was said for such.
fn length(field: &Field, cell: &str, figures: &Figures, units: Units) -> Result<String, String> {
    let text = if figures.decimal_comma == Some(true) {
        if has_decimal_point(cell) {
            return Err(format!(
                "{cell} does not fit a decimal comma. Write it without thousands, or choose the point as its decimal mark."
            ));
        }
        cell.replace(',', ".")
    } else {
        cell.to_owned()
    };
    let is_bare = text
        .chars()
        .all(|c| c.is_ascii_digit() || matches!(c, '.' | '/' | ' '));
    if field.name != "length" || !is_bare {
        return Ok(text);
    }
    match figures.bare.as_str() {
        "feet" => Ok(format!("{text} ft")),
        "inches" => Ok(format!("{text} in")),
        "millimetres" => Ok(format!("{text} mm")),
        _ => match parse_length(&text, units) {
            Ok(read) if read < Length::feet(4) => Err(format!(
                "{cell} says no unit, and is short for a stick. Choose what such lengths are in, feet or another, or write it like {cell} ft."
            )),
            _ => Ok(text),
        },
    }
}

/// Whether a point stands between two digits.
fn has_decimal_point(cell: &str) -> bool {
    let bytes = cell.as_bytes();
    bytes
        .windows(3)
        .any(|part| matches!(part, [a, b'.', b] if a.is_ascii_digit() && b.is_ascii_digit()))
}

/// A supplier or a row of the hardware table by its name, as an id.
fn named(job: &Job, field: &Field, cell: &str) -> Result<String, String> {
    let FieldType::Ref(kinds) = field.kind else {
        return Ok(cell.to_owned());
    };
    if Uuid::parse_str(cell).is_ok() {
        return Ok(cell.to_owned());
    }
    let mut found = kinds
        .iter()
        .flat_map(|kind| job.all(*kind))
        .filter(|record| record.name().eq_ignore_ascii_case(cell));
    match (found.next(), found.next()) {
        (Some(one), None) => Ok(one.id.to_string()),
        (Some(_), Some(_)) => Err(format!("{cell} is the name of several. Rename one.")),
        (None, _) => {
            let word = kinds
                .first()
                .map_or("thing", |kind| kind.title())
                .to_lowercase();
            Err(format!("there is no {word} {cell}. Add it first."))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_price_is_read_with_its_sign_and_its_thousands() {
        for (cell, decimal_comma, is) in [
            ("4.15", false, "4.15"),
            ("$4.15", false, "4.15"),
            ("$ 1,234.50", false, "1234.50"),
            ("1,234", false, "1234"),
            ("12.50 USD", false, "12.50"),
            ("4,15", true, "4.15"),
            ("1.234,50", true, "1234.50"),
            ("1 234,50", true, "1234.50"),
            ("1.234", true, "1234"),
            ("cheap", false, "cheap"),
            ("-4.15", false, "-4.15"),
            ("€4.15", false, "€4.15"),
        ] {
            let read = number(without_currency(cell), Some(decimal_comma));
            assert_eq!(read.as_deref(), Ok(is), "{cell}");
        }
    }

    #[test]
    fn what_can_be_thousands_and_decimals_waits_for_the_mark_and_a_leading_0_is_no_thousand() {
        for (cell, mark, is) in [
            ("1,250", Some(false), "1250"),
            ("1,250", Some(true), "1.250"),
            ("0,625", Some(true), "0.625"),
            ("0.625", None, "0.625"),
            ("1,234,567", None, "1234567"),
            ("1250", None, "1250"),
        ] {
            assert_eq!(number(cell, mark).as_deref(), Ok(is), "{cell}");
        }
        for (cell, mark, said) in [
            (
                "1,250",
                None,
                "1,250 can be 1250 or 1.250. Choose the decimal mark.",
            ),
            (
                "1.250",
                None,
                "1.250 can be 1250 or 1.250. Choose the decimal mark.",
            ),
            ("0,625", Some(false), "0,625 does not fit a decimal point."),
            ("0.625", Some(true), "0.625 does not fit a decimal comma."),
            ("0 625", Some(false), "0 625 does not fit a decimal point."),
        ] {
            let why = number(cell, mark).unwrap_err();
            assert!(why.starts_with(said), "{cell}: {why}");
        }
    }

    #[test]
    fn a_figure_shows_its_mark_where_it_can_be_read_in_one_way_alone() {
        for (cell, mark) in [
            ("4,15", Some(',')),
            ("$4.1", Some('.')),
            ("0,625", Some(',')),
            (",625", Some(',')),
            ("1250,500", Some(',')),
            ("1,234.500", Some('.')),
            ("1.234.567", Some(',')),
            ("1,250", None),
            ("1.250", None),
            ("1250", None),
            ("12.05.2026", None),
            ("1,2.3,4", None),
            ("4,15 m", None),
            ("4,", None),
        ] {
            assert_eq!(mark_of(cell), mark, "{cell}");
        }
    }

    #[test]
    fn a_figure_of_the_other_decimal_mark_is_refused() {
        for (cell, decimal_comma) in [
            ("4,15", false),
            ("1.234,50", false),
            ("12,3456", false),
            ("4.15", true),
            ("1,234.50", true),
            (".,", false),
        ] {
            let why = number(cell, Some(decimal_comma)).unwrap_err();
            assert!(why.contains("decimal"), "{cell}: {why}");
        }
    }

    #[test]
    fn a_unit_is_known_as_the_trade_writes_it() {
        for (cell, is) in [
            ("each", "each"),
            ("EA", "each"),
            ("Pcs.", "each"),
            ("LBS", "lb"),
            ("Pound", "lb"),
            ("LF", "foot"),
            ("MBF", "MBF"),
        ] {
            assert_eq!(word("sold_by", choices::SOLD_BY, cell), is, "{cell}");
        }
    }

    #[test]
    fn a_length_without_a_unit_is_in_what_was_said_and_a_short_one_is_asked_about() {
        let sold = scantling_takeoff::record::field::length("length", "Length sold");
        let of = |cell: &str, bare: &str, decimal_comma| {
            let figures = Figures {
                decimal_comma: Some(decimal_comma),
                bare: bare.to_owned(),
            };
            length(&sold, cell, &figures, Units::Us)
        };
        assert_eq!(of("14", "feet", false).as_deref(), Ok("14 ft"));
        assert_eq!(of("92 5/8", "inches", false).as_deref(), Ok("92 5/8 in"));
        assert_eq!(of("2,4 m", "", true).as_deref(), Ok("2.4 m"));
        assert_eq!(of("14'", "inches", false).as_deref(), Ok("14'"));
        assert_eq!(of("96", "", false).as_deref(), Ok("96"));
        assert!(of("14", "", false).unwrap_err().contains("no unit"));
        let thousands = of("2.400 mm", "", true).unwrap_err();
        assert!(thousands.contains("decimal comma"), "{thousands}");
        assert_eq!(of("8 ft.", "", true).as_deref(), Ok("8 ft."));
    }
}
