//! What the registry can't say field by field: fields of one thing that must fit each other.
//!
//! It judges no incomplete record: where one of two fields is missing there is nothing to compare.

use std::collections::BTreeMap;

use super::choices::{LEAVE_OUT, WORD_SAYS};
use super::field::Value;
use super::kind::Kind;
use super::op::FieldProblem;
use super::registry::fields_of;
use crate::checks::hold_points::About;
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
    if kind == Kind::Supplier {
        problems.extend(ways(fields));
    }
    if kind == Kind::Word {
        problems.extend(word(first));
    }
    problems
}

/// What a word says must be something that one about this can say.
fn word<'a>(first: impl Fn(&str) -> Option<&'a Value>) -> Option<FieldProblem> {
    let about = About::named(&first("about")?.text)?;
    let says = &first("says")?.text;
    if about.may_say().contains(&says.as_str()) {
        return None;
    }
    let shown = |word: &str| {
        WORD_SAYS
            .iter()
            .find(|(stored, _)| *stored == word)
            .map_or(word.to_owned(), |(_, shown)| format!("“{shown}”"))
    };
    let may: Vec<String> = about.may_say().iter().map(|word| shown(word)).collect();
    Some(FieldProblem::new(
        "says",
        format!("It says: choose {} for this.", may.join(" or ")),
    ))
}

/// A supplier's ways: as many headings as columns, no column twice, and a decimal mark that is no separator.
fn ways<K: AsRef<str> + Ord>(fields: &BTreeMap<K, Vec<Value>>) -> Vec<FieldProblem> {
    let all = |name: &str| -> Vec<&str> {
        fields
            .iter()
            .find(|(field, _)| field.as_ref() == name)
            .map_or_else(Vec::new, |(_, values)| {
                values
                    .iter()
                    .map(|value| value.text.as_str())
                    .filter(|text| !text.is_empty())
                    .collect()
            })
    };
    let mut problems = Vec::new();
    let mut problem = |field: &str, message: String| {
        problems.push(FieldProblem {
            field: field.to_owned(),
            message,
        });
    };
    for (columns, headings) in [
        ("order_columns", "order_headings"),
        ("csv_columns", "csv_headings"),
    ] {
        let (n, m) = (all(columns).len(), all(headings).len());
        if n != m {
            problem(
                headings,
                format!("{m} headings for {n} columns. Each column has one heading."),
            );
        }
    }
    let order = all("order_columns");
    if let Some(twice) = order
        .iter()
        .enumerate()
        .find(|(at, column)| order.iter().take(*at).any(|other| other == *column))
    {
        problem(
            "order_columns",
            format!("{} comes twice. Choose each column once.", twice.1),
        );
    }
    for column in all("csv_columns") {
        if column != LEAVE_OUT
            && !fields_of(Kind::Price)
                .iter()
                .any(|field| field.name == column)
        {
            problem(
                "csv_columns",
                format!("{column} is no column of the price book. Choose one, or {LEAVE_OUT}."),
            );
        }
    }
    let separator = all("order_separator");
    if all("order_decimal") == ["comma"] && (separator.is_empty() || separator == ["comma"]) {
        problem(
            "order_decimal",
            "A decimal comma needs a semicolon or a tab between the columns.".to_owned(),
        );
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

    fn texts(pairs: &[(&'static str, &[&str])]) -> BTreeMap<&'static str, Vec<Value>> {
        pairs
            .iter()
            .map(|(name, all)| {
                let values = all.iter().map(|text| Value {
                    text: (*text).to_owned(),
                    number: None,
                    to: None,
                });
                (*name, values.collect())
            })
            .collect()
    }

    #[test]
    fn a_suppliers_columns_have_a_heading_each_and_come_once() {
        let fields =
            |columns, headings| texts(&[("order_columns", columns), ("order_headings", headings)]);
        let said = |problems: Vec<FieldProblem>| {
            problems
                .into_iter()
                .map(|problem| problem.field)
                .collect::<Vec<_>>()
        };
        let fine = fields(&["item", "quantity"], &["Item", "Qty"]);
        assert_eq!(check(Kind::Supplier, &fine), []);
        let short = fields(&["item", "quantity"], &["Item"]);
        assert_eq!(said(check(Kind::Supplier, &short)), ["order_headings"]);
        let twice = fields(&["item", "item"], &["Item", "Qty"]);
        assert_eq!(said(check(Kind::Supplier, &twice)), ["order_columns"]);
    }

    #[test]
    fn a_heading_of_a_price_book_is_a_field_of_the_price_book_or_left_out() {
        let of = |column| {
            check(
                Kind::Supplier,
                &texts(&[("csv_headings", &["SKU"]), ("csv_columns", &[column])]),
            )
        };
        assert_eq!(of("item_number"), []);
        assert_eq!(of("leave_out"), []);
        assert_eq!(of("colour").len(), 1);
    }

    #[test]
    fn a_decimal_comma_stands_with_a_semicolon_or_a_tab_alone() {
        let of = |separator: &[&str]| {
            check(
                Kind::Supplier,
                &texts(&[
                    ("order_decimal", &["comma"]),
                    ("order_separator", separator),
                ]),
            )
            .len()
        };
        assert_eq!((of(&["semicolon"]), of(&["tab"])), (0, 0));
        assert_eq!((of(&["comma"]), of(&[])), (1, 1));
    }

    #[test]
    fn one_end_alone_is_not_judged() {
        assert_eq!(check(Kind::TakeOut, &lengths(&[("to", 0)])), []);
    }
}
