//! Instances as the file has them. It only reads; which figures are sensible is for who solves.

use serde::Deserialize;
use serde_json::Value;

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

/// A name as it is shown.
pub(super) fn name(id: &Value) -> String {
    id.as_str().map_or_else(|| id.to_string(), str::to_owned)
}
