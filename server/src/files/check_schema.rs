//! The JSON Schema (draft 2020-12) of what `scantling check --format json` prints.

use scantling_takeoff::checks::CheckKind;
use scantling_takeoff::tables::Confidence;
use serde_json::{Value, json};

use super::check_json::word;

/// The schema as the committed file holds it.
pub(crate) fn text() -> String {
    format!("{:#}\n", schema())
}

fn object(properties: &Value) -> Value {
    let required: Vec<&String> = properties
        .as_object()
        .map_or_else(Vec::new, |all| all.keys().collect());
    json!({
        "type": "object",
        "additionalProperties": false,
        "required": required,
        "properties": properties,
    })
}

fn list_of(items: &Value) -> Value {
    json!({"type": "array", "items": items})
}

/// The schema.
fn schema() -> Value {
    use scantling_takeoff::checks::Verdict as V;
    let text = json!({"type": "string"});
    let texts = list_of(&text);
    let id = json!({"type": "string", "format": "uuid"});
    let named = object(&json!({"id": id, "name": text}));
    let verdicts = [V::Pass, V::Look, V::CantTellYet, V::Stop].map(word);
    let verdict = json!({
        "description": "pass, look, cant_tell_yet (measure lists what to measure or record), stop. No verdict approves anything.",
        "enum": verdicts,
    });
    let sums = json!({
        "description": "The arithmetic, line by line.",
        "type": "array",
        "items": object(&json!({"label": text, "value": text, "note": text})),
    });
    let kinds: Vec<&str> = CheckKind::ALL.iter().map(|kind| kind.name()).collect();
    let confidences = [
        Confidence::Verified,
        Confidence::Partial,
        Confidence::Computed,
        Confidence::Memory,
        Confidence::Entered,
    ]
    .map(Confidence::name);
    let part = object(&json!({
        "title": text,
        "ratio": {"description": "Demand over capacity, two decimals; words where nothing takes it.", "type": "string"},
        "verdict": verdict,
        "under": {"description": "Under which loads, as D + L.", "type": "string"},
        "from_memory": texts,
        "sums": sums,
    }));
    let figure = object(&json!({
        "what": text,
        "value": text,
        "source": {"description": "Standard, table and edition.", "type": "string"},
        "confidence": {"description": "How far the figure was seen.", "enum": confidences},
    }));
    let check = object(&json!({
        "kind": {"enum": kinds},
        "change": named,
        "week": {"type": "integer", "minimum": 0},
        "about": text,
        "of": list_of(&named),
        "verdict": verdict,
        "sentence": text,
        "caution": {"description": "Stands on every check that says something of strength.", "type": ["string", "null"]},
        "measure": texts,
        "sums": sums,
        "parts": list_of(&part),
        "says": {"description": "Which inputs matter most, and the least depth that passes.", "type": "array", "items": text},
        "figures": list_of(&figure),
        "readings": {"description": "Ids of the readings that it rests on.", "type": "array", "items": id},
        "source": {"description": "Where the rule is from.", "type": "string"},
    }));
    let mut whole = object(&json!({
        "format": {"const": "scantling-checks"},
        "version": {"const": 1},
        "job": named,
        "caution": text,
        "not_covered": texts,
        "checks": list_of(&check),
    }));
    if let Some(all) = whole.as_object_mut() {
        all.insert(
            "$schema".to_owned(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        all.insert("title".to_owned(), json!("Scantling checks"));
        all.insert(
            "description".to_owned(),
            json!("What scantling check --format json prints: every check of a job's changes, in working order."),
        );
    }
    whole
}
