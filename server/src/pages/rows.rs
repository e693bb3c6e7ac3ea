//! Things of the record as rows: a name, what is known of it, what is wrong, a value.

use scantling_takeoff::buy::{Item, extension};
use scantling_takeoff::needs;
use scantling_takeoff::record::{Agreement, Job, Kind, Record, Spot, What};
use scantling_takeoff::units::Length;
use scantling_web::parts::rows::{ChangeRow, Row};

/// A thing as a row that leads to its page.
pub(crate) fn row(job: &Job, record: &Record) -> Row {
    let (second, value) = words(job, record);
    let again = job
        .measured_of(record.id)
        .filter(|(_, measured)| measured.state == Agreement::Disputed)
        .count();
    Row {
        href: format!("/jobs/{}/{}/{}", job.id, record.kind, record.id),
        name: title(job, record),
        second,
        wrong: if again > 0 {
            format!("{again} to measure again")
        } else {
            String::new()
        },
        value,
        id: record.id.to_string(),
        struck: record.kind == Kind::Bought && job.ledger.is_taken_back(record.id),
    }
}

/// What a thing is called in a list and on its own page: a receipt by its supplier and day, a receipt line by its item.
pub(crate) fn title(job: &Job, record: &Record) -> String {
    match record.kind {
        Kind::Order => super::orders::name(job, record),
        Kind::Receipt => super::change::capital(&super::line::receipt_words(job, record)),
        Kind::Bought => record
            .text("item")
            .and_then(|key| Item::from_key(key).ok())
            .map_or_else(|| record.name().to_owned(), |item| item.words(job)),
        Kind::Photo => record
            .text("caption")
            .map_or_else(|| super::photos::of_what(job, record), str::to_owned),
        Kind::Layer => super::change::capital(record.text("material").unwrap_or("Layer")),
        Kind::Word => choice(record, "about"),
        Kind::Event | Kind::Hold => of_event(job, record, &choice(record, "event")),
        Kind::Skip => of_event(job, record, &choice(record, "condition")),
        _ => record.name().to_owned(),
    }
}

/// What an entry about an event of a change is called: `First cut, Take out the wall`.
fn of_event(job: &Job, record: &Record, event: &str) -> String {
    let of = record.to("of").map_or("", |of| job.name(of));
    format!("{event}, {of}")
}

/// An item's text in words; what names no item stays as it is.
fn item_words(job: &Job, key: &str) -> String {
    Item::from_key(key).map_or_else(|_| key.to_owned(), |item| item.words(job))
}

/// What counts of a dimension.
pub(crate) fn length_of(job: &Job, id: uuid::Uuid, what: What) -> Option<Length> {
    job.measured(&Spot::of(id, what))
        .map(|measured| measured.value)
}

fn words(job: &Job, record: &Record) -> (String, String) {
    let read = |what| length_of(job, record.id, what);
    let size = |a: Option<Length>, b: Option<Length>| match (a, b) {
        (Some(a), Some(b)) => format!("{a} × {b}"),
        (Some(one), None) | (None, Some(one)) => one.to_string(),
        (None, None) => "not measured".to_owned(),
    };
    let feet = |length: Option<Length>| {
        length.map_or_else(|| "not measured".to_owned(), Length::feet_inches)
    };
    let named = |name: &str| record.to(name).map(|id| job.name(id).to_owned());
    match record.kind {
        Kind::Room => {
            let sides = match (read(What::Length), read(What::Width)) {
                (Some(a), Some(b)) => format!("{} × {}", a.feet_inches(), b.feet_inches()),
                _ => "not measured".to_owned(),
            };
            let walls: Vec<&str> = job
                .all(Kind::Wall)
                .filter(|wall| {
                    wall.to("room_a") == Some(record.id) || wall.to("room_b") == Some(record.id)
                })
                .map(Record::name)
                .collect();
            (
                format!(
                    "{sides} · {}",
                    if walls.is_empty() {
                        "no wall yet".to_owned()
                    } else {
                        walls.join(", ")
                    }
                ),
                String::new(),
            )
        }
        Kind::Wall => {
            let rooms: Vec<String> = [named("room_a"), named("room_b")]
                .into_iter()
                .flatten()
                .collect();
            let bearing = match record.text("bearing") {
                Some("yes") => "carries load",
                Some("no") => "carries none",
                _ => "not known whether it carries",
            };
            (
                format!("{} · {bearing}", rooms.join(" | ")),
                feet(read(What::Length)),
            )
        }
        Kind::Run => {
            let n = record.number("count").unwrap_or(0);
            let spacing = record
                .length("spacing")
                .map_or_else(String::new, |s| format!(" at {s} in o.c."));
            (
                format!("{n}{spacing}"),
                size(read(What::Thickness), read(What::Depth)),
            )
        }
        Kind::Member => {
            let piece = choice(record, "piece");
            (
                format!("{piece}, {}", feet(read(What::Length))),
                size(read(What::Thickness), read(What::Depth)),
            )
        }
        Kind::Layer => (
            choice(record, "on"),
            record
                .length("thickness")
                .map_or_else(String::new, |thick| thick.to_string()),
        ),
        Kind::Opening => {
            let from = record.length("from").map_or_else(String::new, |from| {
                format!("{} from the zero end", from.feet_inches())
            });
            (from, size(record.length("width"), record.length("height")))
        }
        Kind::Hardware => {
            let seat = record
                .length("seat")
                .map_or_else(String::new, |s| format!(", seat {s}"));
            let heights = match (record.length("height_from"), record.length("height_to")) {
                (Some(a), Some(b)) => format!(", {a} to {b} high"),
                _ => String::new(),
            };
            (
                format!("{}{seat}{heights}", choice(record, "type")),
                String::new(),
            )
        }
        Kind::Supplier => (record.text("phone").unwrap_or("").to_owned(), String::new()),
        Kind::Week => {
            let days = [record.text("start"), record.text("end")]
                .into_iter()
                .flatten()
                .collect::<Vec<_>>()
                .join(" to ");
            (days, String::new())
        }
        Kind::Storey => (record.text("datum").unwrap_or("").to_owned(), String::new()),
        Kind::Note => (record.text("text").unwrap_or("").to_owned(), String::new()),
        Kind::Bought => {
            let by = if record.says("price_by", "foot") {
                " a foot"
            } else {
                ""
            };
            let price = record
                .money("price")
                .map_or_else(|| "no price".to_owned(), |price| format!("at {price}{by}"));
            let back = if job.ledger.is_taken_back(record.id) {
                ", taken back"
            } else {
                ""
            };
            let extension =
                extension(record).map_or_else(String::new, |extension| extension.to_string());
            let way = if record.says("way", "returned") {
                "returned "
            } else {
                ""
            };
            let instead = record.text("instead_of").map_or_else(String::new, |key| {
                format!(", instead of {}", item_words(job, key))
            });
            let count = record.text("count").unwrap_or("0");
            (format!("{way}{count} {price}{instead}{back}"), extension)
        }
        Kind::Receipt => super::receipt::row_words(job, record),
        Kind::Reading => (String::new(), String::new()),
        Kind::Photo => {
            let of = named("of").unwrap_or_default();
            (of, crate::clock::stamp_day(&record.at))
        }
        Kind::Stock => (record.text("lies").unwrap_or("").to_owned(), String::new()),
        Kind::Skip => (
            record.text("reason").unwrap_or("").to_owned(),
            String::new(),
        ),
        _ => (record.text("note").unwrap_or("").to_owned(), String::new()),
    }
}

/// The shown words of a choice field.
pub(crate) fn choice(record: &Record, field: &str) -> String {
    use scantling_takeoff::record::{FieldType, registry};
    let Some(text) = record.text(field) else {
        return String::new();
    };
    let of = registry::fields_of(record.kind)
        .iter()
        .find(|f| f.name == field)
        .map(|f| f.kind);
    match of {
        Some(FieldType::Choice(words)) => words
            .iter()
            .find(|(stored, _)| *stored == text)
            .map_or(text, |(_, shown)| shown)
            .to_owned(),
        _ => text.to_owned(),
    }
}

/// Every filled field of a thing: label, value in words.
pub(crate) fn known(job: &Job, record: &Record) -> Vec<(String, String)> {
    use scantling_takeoff::record::{FieldType, registry};
    let mut all = Vec::new();
    for field in registry::fields_of(record.kind)
        .iter()
        .filter(|field| !field.apart)
    {
        let values: Vec<String> = record
            .fields
            .get(field.name)
            .into_iter()
            .flatten()
            .filter(|value| !value.text.is_empty())
            .map(|value| match field.kind {
                FieldType::Ref(_) => value.to.map_or_else(String::new, |id| {
                    job.get(id)
                        .filter(|of| matches!(of.kind, Kind::Receipt | Kind::Bought))
                        .map_or_else(|| job.name(id).to_owned(), |of| title(job, of))
                }),
                FieldType::Choice(words) => words
                    .iter()
                    .find(|(stored, _)| *stored == value.text)
                    .map_or(value.text.as_str(), |(_, shown)| shown)
                    .to_owned(),
                FieldType::Length { .. } => value
                    .number
                    .map_or_else(String::new, |n| Length::from_64ths(n).feet_inches()),
                FieldType::Money => value.number.map_or_else(String::new, |n| {
                    scantling_takeoff::units::Money::from_cents(n).to_string()
                }),
                _ if record.kind == Kind::Bought && matches!(field.name, "item" | "instead_of") => {
                    item_words(job, &value.text)
                }
                _ => value.text.clone(),
            })
            .collect();
        if !values.is_empty() && field.name != "name" {
            all.push((field.label.to_owned(), values.join(", ")));
        }
    }
    all
}

/// A change as a row, with what is to be said of it.
pub(crate) fn change(job: &Job, record: &Record) -> ChangeRow {
    let said = match record.state.as_str() {
        "done" | "dropped" => String::new(),
        _ => {
            let takeoff = needs::of_change(job, record);
            let stop = takeoff
                .findings
                .iter()
                .find(|finding| finding.verdict == needs::Verdict::Stop);
            match (stop, takeoff.missing.as_slice()) {
                (Some(stop), _) => format!("Stop: {}", stop.text),
                (None, [one]) => format!("Needs: {}.", one.text),
                (None, [first, rest @ ..]) => {
                    format!("Needs: {}, and {} more.", first.text, rest.len())
                }
                (None, []) => match takeoff.needs.len() {
                    0 => "Nothing to buy.".to_owned(),
                    1 => "1 line of material.".to_owned(),
                    n => format!("{n} lines of material."),
                },
            }
        }
    };
    ChangeRow {
        href: format!("/jobs/{}/{}/{}", job.id, record.kind, record.id),
        name: record.name().to_owned(),
        state: if record.state.is_empty() {
            "planned".to_owned()
        } else {
            record.state.clone()
        },
        said,
    }
}
