//! Answers as they are printed: one JSON object a line, keys in this order.

use serde::Serialize;
use serde_json::Value;

/// One instance answered.
#[derive(Debug, Serialize)]
pub(super) struct Answer {
    /// Whose.
    pub(super) id: Value,
    /// Cents; none where it is not feasible.
    pub(super) cost: Option<i64>,
    /// No plan costs less; none where it is not feasible.
    pub(super) lower_bound: Option<i64>,
    /// Whether cost and bound meet; of what is not feasible, whether that is certain.
    pub(super) proven: bool,
    /// Whether everything is cut.
    pub(super) feasible: bool,
    /// Where each piece comes from.
    pub(super) plan: Plan,
    /// What no stick or sheet is left for.
    pub(super) unmet: Unmet,
    /// How long it took.
    pub(super) ms: f64,
}

/// Rows alike stand together.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub(super) enum Plan {
    Sticks(Vec<StickRow>),
    Panels(Vec<PanelRow>),
}

/// What is left out.
#[derive(Debug, Serialize)]
#[serde(untagged)]
pub(super) enum Unmet {
    Sticks(Vec<UnmetPiece>),
    Panels(Vec<UnmetPatch>),
}

/// Sticks cut alike.
#[derive(Debug, Serialize)]
pub(super) struct StickRow {
    pub(super) len: i64,
    pub(super) price: i64,
    pub(super) times: i64,
    /// Piece lengths, longest first.
    pub(super) cuts: Vec<i64>,
}

/// Pieces of one length.
#[derive(Debug, Serialize)]
pub(super) struct UnmetPiece {
    pub(super) len: i64,
    pub(super) count: i64,
}

/// Sheets cut alike.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(super) struct PanelRow {
    pub(super) along: i64,
    pub(super) across: i64,
    pub(super) price: i64,
    pub(super) times: i64,
    pub(super) placed: Vec<Placed>,
    /// No tree where nothing is cut, else one.
    pub(super) cuts: Vec<CutTree>,
}

/// A patch in its place; the sides have changed places where it is turned.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(super) struct Placed {
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) along: i64,
    pub(super) across: i64,
}

/// A straight cut through what is at hand, and how both parts are cut on.
#[derive(Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
pub(super) struct CutTree {
    /// Which mark it is made at: one on the along side, or one on the across side.
    pub(super) axis: Axis,
    /// The mark, from the sheet's zero corner; the kerf lies behind it.
    pub(super) at: i64,
    /// The part before the mark.
    pub(super) before: Vec<CutTree>,
    /// The part behind the kerf.
    pub(super) after: Vec<CutTree>,
}

/// A side of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub(super) enum Axis {
    Along,
    Across,
}

/// Patches of one size.
#[derive(Debug, Serialize)]
pub(super) struct UnmetPatch {
    pub(super) along: i64,
    pub(super) across: i64,
    pub(super) count: i64,
}
