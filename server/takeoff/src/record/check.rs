//! What the registry can't say field by field: fields of one thing that must fit each other.
//!
//! It judges no incomplete record: where one of two fields is missing there is nothing to compare.

use std::collections::BTreeMap;

use super::field::Value;
use super::kind::Kind;
use super::op::FieldProblem;
use super::registry::fields_of;
use crate::units::Money;

/// Pairs of which the second lies beyond the first; the flag says whether both may be the same.
const BEYOND: &[(&str, &str, bool)] = &[
    ("from", "to", false),
    ("damage_from", "damage_to", false),
    ("side_a_from", "side_a_to", false),
    ("side_b_from", "side_b_to", false),
    ("height_from", "height_to", true),
    ("first", "last", true),
    ("start", "end", true),
];

/// Checks the fields of a thing against each other, as they would stand.
pub fn check<K: AsRef<str> + Ord>(
    kind: Kind,
    fields: &BTreeMap<K, Vec<Value>>,
) -> Vec<FieldProblem> {
    let first = |name: &str| {
        fields
            .iter()
            .find(|(field, _)| field.as_ref() == name)
            .and_then(|(_, values)| values.first())
    };
    let label = |name: &str| {
        fields_of(kind)
            .iter()
            .find(|field| field.name == name)
            .map_or(name.to_owned(), |field| field.label.to_owned())
    };
    let mut problems = Vec::new();
    for (low, high, same_is_fine) in BEYOND {
        let (Some(from), Some(to)) = (first(low), first(high)) else {
            continue;
        };
        let (Some(a), Some(b)) = (from.number, to.number) else {
            continue;
        };
        if b < a || (b == a && !same_is_fine) {
            problems.push(FieldProblem {
                field: (*high).to_owned(),
                message: format!(
                    "{}: {} does not lie beyond {} ({}). Write the greater one here.",
                    label(high),
                    to.text,
                    from.text,
                    label(low)
                ),
            });
        }
    }
    if kind == Kind::Price {
        problems.extend(sold_one_by_one(first));
    }
    problems
}

/// A stick or a panel is planned and booked one by one, so it is sold so; a stick by the foot too.
fn sold_one_by_one<'a>(first: impl Fn(&str) -> Option<&'a Value>) -> Option<FieldProblem> {
    let text = |name: &str| first(name).map_or("", |value| value.text.as_str());
    let (what, other) = match text("section") {
        "stick" => ("A stick", "foot"),
        "panel" => ("A panel", "sheet"),
        _ => return None,
    };
    if ["", "each", other].contains(&text("sold_by")) {
        return None;
    }
    let number = |name: &str| first(name).and_then(|value| value.number);
    let price = match (number("price"), number("per_pack")) {
        (Some(cents), Some(pack)) if pack > 0 => {
            // half a cent up
            let one = (2 * cents + pack).div_euclid(2 * pack);
            format!("{}, this price divided by {pack}", Money::from_cents(one))
        }
        _ => "this price divided by how many come together".to_owned(),
    };
    Some(FieldProblem {
        field: "sold_by".to_owned(),
        message: format!(
            "{what} is sold each or by the {other}. Choose each, and write the price of one: {price}."
        ),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lengths(pairs: &[(&'static str, i64)]) -> BTreeMap<&'static str, Vec<Value>> {
        pairs
            .iter()
            .map(|(name, number)| {
                let value = Value {
                    text: number.to_string(),
                    number: Some(*number),
                    to: None,
                };
                (*name, vec![value])
            })
            .collect()
    }

    #[test]
    fn a_plate_that_ends_where_it_begins_is_named_at_its_end() {
        let problems = check(Kind::Plate, &lengths(&[("from", 640), ("to", 640)]));
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].field, "to");
        assert!(problems[0].message.starts_with("To: 640"));
    }

    #[test]
    fn a_plate_that_goes_on_is_fine_and_so_is_blocking_between_one_pair_of_joists() {
        assert_eq!(
            check(Kind::Plate, &lengths(&[("from", 640), ("to", 641)])),
            []
        );
        assert_eq!(
            check(Kind::Pack, &lengths(&[("first", 3), ("last", 3)])),
            []
        );
    }

    fn sold(section: &str, by: &str, numbers: &[(&'static str, i64)]) -> Vec<FieldProblem> {
        let mut fields = lengths(numbers);
        for (name, word) in [("section", section), ("sold_by", by)] {
            let value = Value {
                text: word.to_owned(),
                number: None,
                to: None,
            };
            fields.insert(name, vec![value]);
        }
        check(Kind::Price, &fields)
    }

    #[test]
    fn a_stick_by_the_bundle_is_refused_with_the_price_of_one() {
        // 47.55 for ten: 4.755, half a cent up 4.76.
        let problems = sold("stick", "bundle", &[("price", 4_755), ("per_pack", 10)]);
        assert_eq!(problems.len(), 1);
        assert_eq!(problems[0].field, "sold_by");
        assert_eq!(
            problems[0].message,
            "A stick is sold each or by the foot. Choose each, and write the price of one: $4.76, this price divided by 10."
        );
        assert_eq!(
            sold("panel", "bundle", &[])[0].message,
            "A panel is sold each or by the sheet. Choose each, and write the price of one: this price divided by how many come together."
        );
    }

    #[test]
    fn sticks_go_by_the_foot_panels_by_the_sheet_and_the_rest_by_any_pack() {
        for (section, by) in [
            ("stick", "each"),
            ("stick", "foot"),
            ("stick", ""),
            ("panel", "each"),
            ("panel", "sheet"),
            ("fastener", "box"),
            ("sundry", "bundle"),
        ] {
            assert_eq!(sold(section, by, &[("price", 100)]), [], "{section} {by}");
        }
        assert_eq!(sold("panel", "foot", &[]).len(), 1);
    }

    #[test]
    fn one_end_alone_is_not_judged() {
        assert_eq!(check(Kind::TakeOut, &lengths(&[("to", 0)])), []);
    }
}
