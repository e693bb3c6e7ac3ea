//! Cutting against what others know: recorded instances with their best values, and a solver of another make.
//!
//! Plans are worked out again here by code that shares nothing with the solver or with `scantling cut --check`.

/// A general solver of another make on random small instances.
mod outside;
/// The recorded instances.
mod reference;

use serde_json::Value;

fn whole(value: &Value) -> i64 {
    value
        .as_i64()
        .unwrap_or_else(|| panic!("{value} is no whole number"))
}

fn rows(value: &Value) -> &[Value] {
    value.as_array().expect("a list")
}
