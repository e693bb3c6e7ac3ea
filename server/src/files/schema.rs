//! The job file's JSON Schema (draft 2020-12), made from the registry: no list of kinds or fields is here.
//!
//! It says which entries there are, which fields each may and must carry, and the words of each choice. Lengths, prices
//! and counts are texts as people write them; a schema can't read those, so their descriptions say what is read, and the
//! import checks it. Source of the form: JSON Schema 2020-12, <https://json-schema.org/draft/2020-12/schema>.

mod field;

use scantling_takeoff::record::Field;
use scantling_takeoff::record::job_file::{FORMAT, PICTURE_BYTES, PICTURE_SIDE, VERSION};
use scantling_takeoff::record::op::{Does, OpKind};
use scantling_takeoff::record::registry::OP_KINDS;
use serde_json::{Map, Value, json};

/// The schema as the committed file holds it.
pub(crate) fn text() -> String {
    format!("{:#}\n", schema())
}

/// The schema.
pub(crate) fn schema() -> Value {
    let mut defs = Map::new();
    defs.insert(
        "id".to_owned(),
        json!({
            "description": "A UUID. By hand any will do that is used for one thing alone.",
            "type": "string",
            "pattern": format!("^{UUID}$"),
        }),
    );
    defs.insert(
        "moment".to_owned(),
        json!({
            "description": "A moment, RFC 3339, as in 2026-11-25T07:13:30.938Z.",
            "type": "string",
        }),
    );
    defs.insert("entry".to_owned(), entry());
    defs.insert("picture".to_owned(), picture());
    defs.extend(field::forms());
    for kind in OP_KINDS {
        defs.insert(kind.name.to_owned(), fields_of(kind));
    }
    json!({
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": "Scantling job file",
        "description": "A whole job: every entry that made it, in the order of arrival. What is left out of an entry by \
                        hand (author, device, ids and times of entries, effects) is filled in, the same way each time.",
        "type": "object",
        "additionalProperties": false,
        "required": ["format", "version", "job_id", "entries"],
        "properties": {
            "format": {"const": FORMAT},
            "version": {"const": VERSION},
            "job_id": {"description": "The job's id.", "$ref": "#/$defs/id"},
            "people": {
                "description": "Who wrote entries. Left out: one person called Job file.",
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "required": ["id", "name"],
                    "properties": {"id": {"$ref": "#/$defs/id"}, "name": {"type": "string"}},
                },
            },
            "entries": {
                "description": "The first adds the job itself: job.add with the job's id.",
                "type": "array",
                "minItems": 1,
                "prefixItems": [{"properties": {"kind": {"const": "job.add"}}}],
                "allOf": [{"items": {"$ref": "#/$defs/entry"}}],
            },
            "pictures": {
                "description": "The pictures that entries name and whose bytes have arrived. In a job's zip they stand \
                                beside this document, each as photos/<sha256>.jpg, .png, .webp or .heic.",
                "type": "array",
                "items": {"$ref": "#/$defs/picture"},
            },
        },
        "$defs": defs,
    })
}

fn picture() -> Value {
    let pixels = json!({"type": "integer", "minimum": 1, "maximum": PICTURE_SIDE});
    json!({
        "type": "object",
        "additionalProperties": false,
        "required": ["blob_id", "sha256", "type", "size", "width", "height"],
        "properties": {
            "blob_id": {"description": "Its id, as an entry names it.", "$ref": "#/$defs/id"},
            "sha256": {"description": "The SHA-256 of its bytes.", "type": "string", "pattern": "^[0-9a-f]{64}$"},
            "type": {"description": "Media type.", "enum": ["image/jpeg", "image/png", "image/webp", "image/heic"]},
            "size": {"description": "Bytes.", "type": "integer", "minimum": 1, "maximum": PICTURE_BYTES},
            "width": pixels,
            "height": pixels,
        },
    })
}

const UUID: &str = "[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}";

fn entry() -> Value {
    let names: Vec<&str> = OP_KINDS.iter().map(|kind| kind.name).collect();
    let by_kind: Vec<Value> = OP_KINDS
        .iter()
        .map(|kind| {
            let fields = json!({"fields": {"$ref": format!("#/$defs/{}", kind.name)}});
            let then = if must_have_fields(kind) {
                json!({"properties": fields, "required": ["fields"]})
            } else {
                json!({"properties": fields})
            };
            json!({"if": {"properties": {"kind": {"const": kind.name}}, "required": ["kind"]}, "then": then})
        })
        .collect();
    let id = |says: &str| json!({"description": says, "$ref": "#/$defs/id"});
    json!({
        "description": "Something that was written into the record.",
        "type": "object",
        "additionalProperties": false,
        "required": ["kind", "entity_id"],
        "properties": {
            "kind": {"description": "What it does to what.", "enum": names},
            "entity_id": id("The thing that it is about; a new one where it adds a thing."),
            "fields": {
                "description": "As typed: one text by itself, several in a list.",
                "type": "object",
            },
            "base": {
                "description": "In an edit: the revision of each changed field that was seen, 1 as added, one more with \
                                each change. Left out by hand, with op_id: what stands then.",
                "type": "object",
                "additionalProperties": {"type": "integer", "minimum": 0},
            },
            "op_id": id("Its own id."),
            "author": id("Who wrote it, one of the people."),
            "device": id("On which device."),
            "device_time": {"description": "When, by the device's clock.", "$ref": "#/$defs/moment"},
            "received_at": {"description": "When the server got it.", "$ref": "#/$defs/moment"},
            "tz_offset_min": {
                "description": "The device's offset from UTC then, in minutes.",
                "type": "integer",
            },
            "blobs": {
                "description": "Pictures that came with it.",
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "required": ["blob_id", "type", "size"],
                    "properties": {
                        "blob_id": {"$ref": "#/$defs/id"},
                        "type": {"description": "Media type.", "type": "string"},
                        "size": {"description": "Bytes.", "type": "integer", "minimum": 0},
                    },
                },
            },
            "depends": {
                "description": "Things and entries that it needed.",
                "type": "array",
                "items": {"$ref": "#/$defs/id"},
            },
            "clock_off_s": {
                "description": "How far the device's clock was off, in seconds, where its time can't be relied on.",
                "type": "integer",
            },
            "replaces": id("The refused entry that it stands for."),
            "effects": {
                "description": "What it did to the ledger: a row on hand as it is now, a movement, what is on order, a \
                                list kept, the changes that a line is for. Left out: worked \
                                out when the file is read in.",
                "type": "array",
                "items": {
                    "type": "object",
                    "additionalProperties": false,
                    "minProperties": 1,
                    "maxProperties": 1,
                    "properties": {
                        "put": {"type": "object"},
                        "move": {"type": "object"},
                        "order": {"type": "object"},
                        "keep": {"type": "object"},
                        "share": {"type": "object"},
                    },
                },
            },
        },
        "allOf": by_kind,
    })
}

/// The fields that an entry of this kind may carry.
fn fields_of(kind: &OpKind) -> Value {
    let fields: Vec<&Field> = kind
        .fields
        .iter()
        .filter(|field| kind.field(field.name).is_some())
        .collect();
    let required: Vec<&str> = fields
        .iter()
        .filter(|field| field.required && kind.does != Does::Edit)
        .map(|field| field.name)
        .collect();
    let adds = OP_KINDS
        .iter()
        .find(|other| other.kind == kind.kind && other.does == Does::Add);
    let properties: Map<String, Value> = fields
        .iter()
        .map(|field| {
            let says = match adds {
                Some(adds) if kind.does == Does::Edit => {
                    json!({"$ref": format!("#/$defs/{}/properties/{}", adds.name, field.name)})
                }
                _ => field::property(kind, field),
            };
            (field.name.to_owned(), says)
        })
        .collect();
    let thing = if kind.any_change {
        "Any kind of change"
    } else {
        kind.kind.title()
    };
    let does = match kind.does {
        Does::Add => "added",
        Does::Edit => "changed; an empty text empties the field",
        Does::Remove => "taken out of the record",
        Does::Act => "something happens to it",
    };
    json!({
        "description": format!("{thing}: {does}."),
        "type": "object",
        "additionalProperties": false,
        "required": required,
        "properties": properties,
    })
}

fn must_have_fields(kind: &OpKind) -> bool {
    kind.does != Does::Edit && kind.fields.iter().any(|field| field.required)
}
