//! Instances as the file has them. It only reads; which figures are sensible is for who solves.

use serde::Deserialize;
use serde_json::Value;

/// A place in the list.
pub(super) struct Entry {
    /// The instance's name; where it has none, its number.
    pub(super) name: String,
    /// Its place, from 1.
    pub(super) number: usize,
    /// It, or why it can't be read.
    pub(super) instance: Result<Instance, String>,
}

impl Entry {
    /// Its name and place, as in "joists (number 3 in the list)".
    pub(super) fn place(&self) -> String {
        let number = format!("number {}", self.number);
        if self.name == number {
            format!("{number} in the list")
        } else {
            format!("{} ({number} in the list)", self.name)
        }
    }
}

/// One problem: sticks where it has `demand`, panels where it has `patches`.
#[derive(Debug, Deserialize)]
pub(super) struct Instance {
    /// Its name.
    pub(super) id: Value,
    /// Sticks or panels.
    #[serde(flatten)]
    pub(super) what: What,
    /// The best cost that somebody knows, where the file tells it.
    #[serde(default)]
    pub(super) best_cost: Option<i64>,
}

/// What is to be cut.
#[derive(Debug, Deserialize)]
#[serde(untagged)]
pub(super) enum What {
    /// Lengths.
    Sticks(Sticks),
    /// Rectangles.
    Panels(Panels),
}

/// Sticks.
#[derive(Debug, Deserialize)]
pub(super) struct Sticks {
    /// Lost by each cut.
    #[serde(default)]
    pub(super) kerf: i64,
    /// Lost once per stick.
    #[serde(default)]
    pub(super) trim: i64,
    /// What can be had.
    pub(super) stock: Vec<Stick>,
    /// What is wanted.
    pub(super) demand: Vec<Piece>,
}

/// A stick length.
#[derive(Debug, Deserialize)]
pub(super) struct Stick {
    pub(super) len: i64,
    pub(super) price: i64,
    #[serde(default)]
    pub(super) limit: Option<i64>,
}

/// Pieces of one length.
#[derive(Debug, Deserialize)]
pub(super) struct Piece {
    pub(super) len: i64,
    pub(super) count: i64,
}

/// Panels.
#[derive(Debug, Deserialize)]
pub(super) struct Panels {
    /// Lost by each cut.
    #[serde(default)]
    pub(super) kerf: i64,
    /// What can be had.
    pub(super) stock: Vec<Sheet>,
    /// What is wanted.
    pub(super) patches: Vec<Patch>,
}

/// A sheet size.
#[derive(Debug, Deserialize)]
pub(super) struct Sheet {
    pub(super) along: i64,
    pub(super) across: i64,
    pub(super) price: i64,
    #[serde(default)]
    pub(super) limit: Option<i64>,
}

/// Patches of one size.
#[derive(Debug, Deserialize)]
pub(super) struct Patch {
    pub(super) along: i64,
    pub(super) across: i64,
    #[serde(default)]
    pub(super) rotate: bool,
    pub(super) count: i64,
}

/// Every entry of a JSON list, whether it can be read or not.
pub(super) fn entries(text: &str) -> serde_json::Result<Vec<Entry>> {
    let list: Vec<Value> = serde_json::from_str(text)?;
    Ok((1..)
        .zip(list)
        .map(|(number, value)| Entry {
            name: value
                .get("id")
                .map_or_else(|| format!("number {number}"), name),
            number,
            instance: serde_json::from_value(value.clone()).map_err(|_| why_not(value)),
        })
        .collect())
}

/// What keeps a value from being an instance.
fn why_not(value: Value) -> String {
    let what = if value.get("id").is_none() {
        Some("it has no id".to_owned())
    } else if value.get("demand").is_some() {
        serde_json::from_value::<Sticks>(value)
            .err()
            .map(|error| error.to_string())
    } else if value.get("patches").is_some() {
        serde_json::from_value::<Panels>(value)
            .err()
            .map(|error| error.to_string())
    } else {
        Some("it has neither".to_owned())
    };
    let needs = "it needs an id, a stock, and either demand or patches, with whole numbers as scantling cut --help lists them";
    what.map_or_else(|| needs.to_owned(), |what| format!("{needs} ({what})"))
}

/// A name as it is shown.
pub(super) fn name(id: &Value) -> String {
    id.as_str().map_or_else(|| id.to_string(), str::to_owned)
}
