//! The cases of `lengths.tsv`, the messages, and the laws of reading and printing a length.

use proptest::prelude::*;

use super::*;

fn units(name: &str) -> Units {
    match name {
        "us" => Units::Us,
        "metric" => Units::Metric,
        other => panic!("{other} are no units"),
    }
}

#[test]
fn every_form_that_people_type_is_read_or_refused_as_the_case_file_says() {
    let cases = include_str!("../lengths.tsv");
    let mut n_cases = 0;
    let mut wrong = Vec::new();
    for line in cases
        .lines()
        .filter(|l| !l.is_empty() && !l.starts_with('#'))
    {
        let [job, text, expected] = line.split('\t').collect::<Vec<_>>()[..] else {
            panic!("three columns in {line:?}");
        };
        let got = match parse_length(text, units(job)) {
            Ok(length) => length.to_string(),
            Err(error) => format!("at {}", error.at),
        };
        if got != expected {
            wrong.push(format!("{job} {text:?}: {got}, not {expected}"));
        }
        n_cases += 1;
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(n_cases > 150, "only {n_cases} cases");
}

#[track_caller]
fn refused(text: &str, units: Units, message: &str) {
    let error = parse_length(text, units).expect_err("refused");
    assert_eq!(error.to_string(), message);
    assert_eq!(error.text, text, "nothing typed is lost");
}

#[test]
fn a_message_says_where_why_and_what_would_do() {
    let us = |text, message| refused(text, Units::Us, message);
    us(
        "7' 3 3/9",
        "Can't read this length at character 8 of 7' 3 3/9: the bottom of a fraction is 2, 4, 8, 16, 32 or 64, \
         as in 7' 3 3/8\"",
    );
    us("", "No length is entered. Type one, as in 7' 3 3/8\"");
    us(
        "7 yards",
        "Can't read this length at character 3 of 7 yards: a unit is ft, in, mm, cm or m, as in 7 ft 3 3/8 in",
    );
    us(
        "144 + x",
        "Can't read this length at character 7 of 144 + x: a unit is ft, in, mm, cm or m, as in 7 ft 3 3/8 in",
    );
    us(
        "144 -3",
        "Can't read this length at character 5 of 144 -3: a minus has a space on both sides, and a hyphen joins only \
         feet, inches and fraction, as in 144 - 3 1/2 or 7-3-3/8",
    );
    us(
        "12000 ft",
        "Can't read this length at character 1 of 12000 ft: a length is at most 10,000 ft, as in 7' 3 3/8\"",
    );
    refused(
        " ",
        Units::Metric,
        "No length is entered. Type one, as in 2124 mm",
    );
    refused(
        "83 5/8",
        Units::Metric,
        "Can't read this length at character 7 of 83 5/8: in a metric job a fraction wants its inch mark, as in 83 5/8\"",
    );
}

#[test]
fn every_example_in_a_message_can_be_read() {
    let cases = include_str!("../lengths.tsv").lines();
    let mut n_examples = 0;
    for line in cases.filter(|line| line.contains("\tat ")) {
        let (job, text) = line.split_once('\t').unwrap();
        let (text, _) = text.split_once('\t').unwrap();
        let error = parse_length(text, units(job)).expect_err("refused");
        for example in error.example.split(" or ") {
            assert!(
                parse_length(example, units(job)).is_ok(),
                "{example} of {text:?}"
            );
            n_examples += 1;
        }
    }
    assert!(n_examples > 50, "only {n_examples} examples");
}

proptest! {
    #[test]
    fn bare_inches_read_back_as_the_length_they_were_printed_from(n in -7_680_000_i64..=7_680_000) {
        let length = Length::from_64ths(n);
        prop_assert_eq!(parse_length(&length.to_string(), Units::Us), Ok(length));
    }

    #[test]
    fn lengths_under_an_inch_keep_their_sign(n in -64_i64..=64) {
        let length = Length::from_64ths(n);
        prop_assert_eq!(parse_length(&length.to_string(), Units::Us), Ok(length));
    }

    #[test]
    fn no_text_panics_the_reader_and_the_place_is_inside_it_or_one_past(text in ".*") {
        place_is_inside(&text)?;
    }

    #[test]
    fn no_text_of_the_marks_of_a_length_panics_the_reader(text in "[0-9'\"/ .,+½⅓′”’ftincm–-]{0,24}") {
        place_is_inside(&text)?;
    }

    #[test]
    fn a_difference_is_the_first_less_the_second(a in 0_i64..3_000_000, b in 0_i64..3_000_000) {
        let (a, b) = (Length::from_64ths(a), Length::from_64ths(b));
        prop_assert_eq!(parse_length(&format!("{a} - {b}"), Units::Us), Ok(a - b));
        prop_assert_eq!(parse_length(&format!("{a} + {b}"), Units::Us), Ok(a + b));
    }
}

fn place_is_inside(text: &str) -> Result<(), TestCaseError> {
    for units in [Units::Us, Units::Metric] {
        if let Err(error) = parse_length(text, units) {
            prop_assert!(
                (1..=text.chars().count() + 1).contains(&error.at),
                "{error:?}"
            );
        }
    }
    Ok(())
}
