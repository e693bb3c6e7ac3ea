//! Plans of sticks, walked along with the saw.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;

use super::{Sum, read, take};
use crate::cli::cut::instance::Sticks;

#[derive(Deserialize)]
struct Row {
    len: i64,
    price: i64,
    times: i64,
    cuts: Vec<i64>,
}

#[derive(Deserialize)]
struct Left {
    len: i64,
    count: i64,
}

/// What the plan comes to, if it can be cut and is what was asked for.
pub(super) fn sum(asked: &Sticks, plan: &Value, unmet: &Value) -> Result<Sum, String> {
    let rows: Vec<Row> = read(plan, "plan")?;
    let left: Vec<Left> = read(unmet, "unmet")?;
    let mut pieces: BTreeMap<i64, i128> = BTreeMap::new();
    for piece in &asked.demand {
        *pieces.entry(piece.len).or_default() += i128::from(piece.count);
    }
    // Without a limit there are more than anybody could ask for.
    let mut stock: BTreeMap<(i64, i64), i128> = BTreeMap::new();
    for stick in &asked.stock {
        *stock.entry((stick.len, stick.price)).or_default() +=
            stick.limit.map_or(1 << 80, i128::from);
    }
    let mut cost = 0;
    // The longest piece that a stick in use could give besides.
    let mut besides = 0;
    for row in &rows {
        if row.times < 1 || row.cuts.is_empty() {
            return Err(format!(
                "a stick {} long is used {} times for {} pieces",
                row.len,
                row.times,
                row.cuts.len()
            ));
        }
        take(&mut stock, &(row.len, row.price), i128::from(row.times))?;
        let mut at = i128::from(asked.trim);
        for (number, &piece) in row.cuts.iter().enumerate() {
            if number > 0 {
                at += i128::from(asked.kerf);
            }
            at += i128::from(piece);
            take(&mut pieces, &piece, i128::from(row.times))?;
        }
        if at > i128::from(row.len) {
            return Err(format!("a stick {} long would have to be {at}", row.len));
        }
        besides = besides.max(i128::from(row.len) - at - i128::from(asked.kerf));
        cost += i128::from(row.price) * i128::from(row.times);
    }
    for piece in &left {
        if piece.count < 1 {
            return Err(format!(
                "{} pieces {} long are unmet",
                piece.count, piece.len
            ));
        }
        take(&mut pieces, &piece.len, i128::from(piece.count))?;
    }
    if let Some((piece, n)) = pieces.iter().find(|(_, n)| **n > 0) {
        return Err(format!("{n} pieces {piece} long are forgotten"));
    }
    let unused = stock.iter().filter(|(_, left)| **left > 0);
    let alone = unused.map(|((len, _), _)| i128::from(*len) - i128::from(asked.trim));
    let most = alone.max().unwrap_or(0).max(besides);
    let fits = left.iter().find(|piece| i128::from(piece.len) <= most);
    Ok(Sum {
        cost,
        leaves_out: !left.is_empty(),
        still_fits: fits
            .map(|piece| format!("a piece {} long is unmet, and still fits", piece.len)),
    })
}
