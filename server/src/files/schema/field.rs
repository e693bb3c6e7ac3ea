//! A field in the schema: the forms that its text may have, the words of a choice, and what is read, in words.
//!
//! What a text is read as is the registry's matter; this says it. No bounds are checked here.

use scantling_takeoff::record::op::OpKind;
use scantling_takeoff::record::{Field, FieldType, Kind};
use scantling_takeoff::units::{Money, decimal_text};
use serde_json::{Value, json};

use super::UUID;

/// A field where a thing is added or something happens to it: its form, what a schema can say of its text, and words.
pub(super) fn property(kind: &OpKind, field: &Field) -> Value {
    let mut all = json!({"title": field.label, "description": description(field)});
    if let Some(all) = all.as_object_mut() {
        let form = format!("#/$defs/{}", form_name(field));
        all.insert("$ref".to_owned(), json!(form));
        if let Some(words) = words_of(field) {
            let own = format!("#/$defs/{}/properties/{}/anyOf/0", kind.name, field.name);
            let in_list = json!({"type": "array", "items": {"$ref": own}});
            all.insert("anyOf".to_owned(), json!([{"enum": words}, in_list]));
        } else if let Some(pattern) = pattern_of(field) {
            all.insert("pattern".to_owned(), json!(pattern));
            all.insert("items".to_owned(), json!({"pattern": pattern}));
        }
    }
    all
}

/// The words of a choice; the empty text is none.
fn words_of(field: &Field) -> Option<Vec<String>> {
    let words: Vec<String> = match field.kind {
        FieldType::Choice(of) => of.iter().map(|(word, _)| (*word).to_owned()).collect(),
        FieldType::Nail(connection) => connection
            .rows()
            .iter()
            .map(|row| row.nail.text())
            .collect(),
        _ => return None,
    };
    let none = (!field.required).then(String::new);
    Some(none.into_iter().chain(words).collect())
}

fn pattern_of(field: &Field) -> Option<String> {
    match field.kind {
        FieldType::Date => Some("^\\s*([0-9]{4}-[0-9]{2}-[0-9]{2})?\\s*$".to_owned()),
        FieldType::Ref(_) => Some(format!("^\\s*({UUID})?\\s*$")),
        _ => None,
    }
}

/// Which of [`forms`] a field has.
fn form_name(field: &Field) -> String {
    let must = if field.required { "must_" } else { "" };
    let what = match (field.kind, field.list) {
        (FieldType::Note | FieldType::Document, false) => "note",
        (FieldType::Note | FieldType::Document, true) => "notes",
        (_, false) => "line",
        (_, true) => "lines",
    };
    format!("{must}{what}")
}

/// One text by itself, or a list of texts. An empty text is nothing written; where something must be there, one text isn't
/// empty; a field that comes once has at most one such.
pub(super) fn forms() -> impl Iterator<Item = (String, Value)> {
    let filled = || json!({"type": "string", "pattern": "\\S"});
    [("line", 200), ("note", 16_384)]
        .into_iter()
        .flat_map(|form| [(form, false), (form, true)])
        .flat_map(|form| [(form, false), (form, true)])
        .map(move |(((name, longest), several), must)| {
            let text = json!({"type": "string", "maxLength": longest});
            let one = if must {
                json!({"type": "string", "maxLength": longest, "pattern": "\\S"})
            } else {
                text.clone()
            };
            let mut list = json!({"type": "array", "items": text});
            if let Some(list) = list.as_object_mut()
                && (must || !several)
            {
                list.insert("contains".to_owned(), filled());
                list.insert("minContains".to_owned(), json!(u8::from(must)));
                if !several {
                    list.insert("maxContains".to_owned(), json!(1));
                }
            }
            let name = format!(
                "{}{name}{}",
                if must { "must_" } else { "" },
                if several { "s" } else { "" }
            );
            (name, json!({"anyOf": [one, list]}))
        })
}

/// In words: what is read, its bounds, an example, and the form's own hint.
fn description(field: &Field) -> String {
    let example = || field.example();
    let read = match field.kind {
        FieldType::Text | FieldType::Suggest([]) => "A line of text.".to_owned(),
        FieldType::Suggest(words) => format!("A line of text, such as {}.", words.join(", ")),
        FieldType::Note | FieldType::Document => "A text, also of several lines.".to_owned(),
        FieldType::Length { least, most } => format!(
            "A length from {} to {}, as in {} (bare numbers are inches, in a metric job millimetres).",
            least.feet_inches(),
            most.feet_inches(),
            example()
        ),
        FieldType::Count { least, most } => {
            format!(
                "A whole number from {least} to {most}, as in {}.",
                example()
            )
        }
        FieldType::Decimal { places, most } => format!(
            "A number from 0 to {} with at most {places} decimals, as in {}.",
            decimal_text(most, places),
            example()
        ),
        FieldType::Money => format!("An amount from {} on, as in {}.", Money::ZERO, example()),
        FieldType::Percent | FieldType::TaxRate => {
            format!("A percentage, as in {}.", example())
        }
        FieldType::Choice(of) => {
            let words: Vec<String> = of
                .iter()
                .map(|(word, shown)| format!("{word}: {shown}"))
                .collect();
            format!("One of these. {}.", words.join("; "))
        }
        FieldType::Date => format!("A day, as in {}.", example()),
        FieldType::Ref(kinds) => format!(
            "The id of another thing: {}.",
            kinds
                .iter()
                .map(|kind: &Kind| kind.title().to_lowercase())
                .collect::<Vec<_>>()
                .join(", ")
        ),
        FieldType::Nominal => format!("A nominal size, as in {}.", example()),
        FieldType::Nail(connection) => format!(
            "A nail that the fastening schedule has for {}.",
            connection.title()
        ),
    };
    let several = if field.list {
        " May come several times."
    } else {
        ""
    };
    let hint = if field.hint.is_empty() { "" } else { " " };
    format!("{read}{several}{hint}{}", field.hint)
}
