//! What the registry can't say field by field: fields of one thing that must fit each other.
//!
//! It judges no incomplete record: where one of two fields is missing there is nothing to compare.

use std::collections::BTreeMap;

use super::field::Value;
use super::kind::Kind;
use super::op::FieldProblem;
use super::registry::fields_of;

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
    problems
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

    #[test]
    fn one_end_alone_is_not_judged() {
        assert_eq!(check(Kind::TakeOut, &lengths(&[("to", 0)])), []);
    }
}
