//! Plans of panels, cut as their trees say.

use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::Value;

use super::{Sum, read, take};
use crate::cli::cut::instance::Panels;

#[derive(Deserialize)]
struct Row {
    along: i64,
    across: i64,
    price: i64,
    times: i64,
    placed: Vec<Rectangle>,
    cuts: Vec<Tree>,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Deserialize)]
struct Rectangle {
    x: i64,
    y: i64,
    along: i64,
    across: i64,
}

#[derive(Deserialize)]
struct Tree {
    axis: String,
    at: i64,
    before: Vec<Tree>,
    after: Vec<Tree>,
}

#[derive(Deserialize)]
struct Left {
    along: i64,
    across: i64,
    count: i64,
}

/// What the plan comes to, if it can be cut and is what was asked for.
pub(super) fn sum(asked: &Panels, plan: &Value, unmet: &Value) -> Result<Sum, String> {
    let rows: Vec<Row> = read(plan, "plan")?;
    let left: Vec<Left> = read(unmet, "unmet")?;
    // Patches that may lie either way are looked for by their sides in order, the others as they are.
    let mut fixed: BTreeMap<(i64, i64), i128> = BTreeMap::new();
    let mut free: BTreeMap<(i64, i64), i128> = BTreeMap::new();
    for patch in &asked.patches {
        let (along, across, n) = (patch.along, patch.across, i128::from(patch.count));
        if patch.rotate {
            *free
                .entry((along.min(across), along.max(across)))
                .or_default() += n;
        } else {
            *fixed.entry((along, across)).or_default() += n;
        }
    }
    let mut stock: BTreeMap<(i64, i64, i64), i128> = BTreeMap::new();
    for sheet in &asked.stock {
        *stock
            .entry((sheet.along, sheet.across, sheet.price))
            .or_default() += sheet.limit.map_or(1 << 80, i128::from);
    }
    let mut take_patch = |along: i64, across: i64, n: i128| {
        let here = fixed.get_mut(&(along, across)).map_or(0, |left| {
            let here = n.min(*left);
            *left -= here;
            here
        });
        take(&mut free, &(along.min(across), along.max(across)), n - here)
            .or_else(|why| if n == here { Ok(()) } else { Err(why) })
    };
    let mut cost = 0;
    for row in &rows {
        if row.times < 1 || row.placed.is_empty() {
            return Err(format!(
                "a sheet {} by {} is used for nothing",
                row.along, row.across
            ));
        }
        take(
            &mut stock,
            &(row.along, row.across, row.price),
            i128::from(row.times),
        )?;
        let sheet = Rectangle {
            x: 0,
            y: 0,
            along: row.along,
            across: row.across,
        };
        let mut pieces = Vec::new();
        cut(sheet, &row.cuts, asked.kerf, &mut pieces)?;
        pieces.sort_unstable();
        for patch in &row.placed {
            // No two patches are the same piece: found ones are taken out.
            match pieces.binary_search(patch) {
                Ok(at) => drop(pieces.remove(at)),
                Err(_) => return Err(format!("{patch:?} is not what its cuts leave")),
            }
            take_patch(patch.along, patch.across, i128::from(row.times))?;
        }
        cost += i128::from(row.price) * i128::from(row.times);
    }
    for patch in &left {
        if patch.count < 1 {
            return Err(format!("{} patches are unmet", patch.count));
        }
        take_patch(patch.along, patch.across, i128::from(patch.count))?;
    }
    let forgotten: i128 = fixed.values().chain(free.values()).sum();
    if forgotten > 0 {
        return Err(format!("{forgotten} patches are forgotten"));
    }
    let turns = |a: i64, b: i64| {
        let sides = (a.min(b), a.max(b));
        let mut rows = asked.patches.iter().filter(|patch| patch.rotate);
        rows.any(|patch| (patch.along.min(patch.across), patch.along.max(patch.across)) == sides)
    };
    let unused = || stock.iter().filter(|(_, left)| **left > 0);
    let fits = left.iter().find(|patch| {
        let (a, b) = (patch.along, patch.across);
        unused().any(|(&(along, across, _), _)| {
            (a <= along && b <= across) || (b <= along && a <= across && turns(a, b))
        })
    });
    Ok(Sum {
        cost,
        leaves_out: !left.is_empty(),
        still_fits: fits.map(|patch| {
            format!(
                "a patch {} by {} is unmet, and a sheet that holds it is not used",
                patch.along, patch.across
            )
        }),
    })
}

/// Cuts what is at hand; the pieces go to `pieces`.
fn cut(
    hand: Rectangle,
    cuts: &[Tree],
    kerf: i64,
    pieces: &mut Vec<Rectangle>,
) -> Result<(), String> {
    let tree = match cuts {
        [] => {
            pieces.push(hand);
            return Ok(());
        }
        [tree] => tree,
        _ => return Err("a part is cut by two trees".to_owned()),
    };
    // Figures of the answer and of the instance may be anything.
    let outside = || format!("a cut at {} is outside {hand:?}", tree.at);
    let minus = |a: i64, b: i64| a.checked_sub(b).ok_or_else(outside);
    let behind = tree.at.checked_add(kerf).ok_or_else(outside)?;
    let (mut before, mut after) = (hand, hand);
    match tree.axis.as_str() {
        "along" => {
            before.along = minus(tree.at, hand.x)?;
            after.x = behind;
            after.along = minus(hand.x + hand.along, behind)?;
        }
        "across" => {
            before.across = minus(tree.at, hand.y)?;
            after.y = behind;
            after.across = minus(hand.y + hand.across, behind)?;
        }
        other => return Err(format!("there is no side {other}")),
    }
    let inside = before.along > 0
        && before.across > 0
        && before.along <= hand.along
        && before.across <= hand.across;
    if !inside {
        return Err(outside());
    }
    cut(before, &tree.before, kerf, pieces)?;
    if after.along > 0 && after.across > 0 {
        cut(after, &tree.after, kerf, pieces)
    } else if tree.after.is_empty() {
        Ok(())
    } else {
        Err("what the kerf has eaten is cut on".to_owned())
    }
}
