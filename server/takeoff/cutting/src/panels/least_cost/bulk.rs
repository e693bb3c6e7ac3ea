//! Very many equal patches: sheets that are all cut in the same way, before anything is searched.
//!
//! What it does not do: find the best ways. It is for jobs far beyond a house, so that they end and take little room.

use super::filling::{Filling, Fit, Opening, Recipe, Split};
use super::model::{Model, Piece};
use super::tree::{Node, Way};
use super::work::Work;

/// Jobs up to this many patches are searched whole.
const MOST_SINGLY: u64 = 600;

/// Of a row of more patches than this, whole sheets are laid first.
const MANY: u64 = 40;

/// Rows that go onto such sheets together.
const TOGETHER: usize = 8;

/// Equal patches on one sheet, at most.
const MOST_ON_A_SHEET: i64 = 3_200;

/// What is laid so, and what is still to be done.
pub(super) struct Bulk {
    /// Kinds with their cuts, and how many are cut so.
    pub(super) laid: Vec<((usize, Node), u64)>,
    /// By piece, how many of a long row found no sheet any more.
    pub(super) unmet: Vec<u64>,
    /// The patches left, with the sheets that are still there.
    pub(super) rest: Model,
}

/// Lays whole sheets until few enough patches are left.
pub(super) fn lay(model: &Model, work: &mut Work<'_>) -> Bulk {
    let mut rest = model.clone();
    let mut laid = Vec::new();
    let mut unmet = vec![0; model.pieces.len()];
    while rest.n_pieces() > MOST_SINGLY {
        let many: Vec<usize> = (0..rest.pieces.len())
            .filter(|&at| rest.pieces[at].count > MANY)
            .take(TOGETHER)
            .collect();
        let Some(&first) = many.first() else {
            break;
        };
        let mixed = if work.goes_on() {
            mixed(&rest, &many, work)
        } else {
            None
        };
        let Some((kind, node, times)) = mixed.or_else(|| grid(&rest, first)) else {
            unmet[first] += std::mem::take(&mut rest.pieces[first].count);
            continue;
        };
        let mut counts = vec![0; rest.pieces.len()];
        node.count(&mut counts);
        for (piece, n) in rest.pieces.iter_mut().zip(counts) {
            piece.count = piece.count.saturating_sub(n.saturating_mul(times));
        }
        if let Some(most) = &mut rest.kinds[kind].most {
            *most = most.saturating_sub(times);
        }
        laid.push(((kind, node), times));
    }
    Bulk { laid, unmet, rest }
}

/// The best filled sheet of a few fillings, and how often it can be cut; none where it would be cut but a few times.
fn mixed(model: &Model, many: &[usize], work: &mut Work<'_>) -> Option<(usize, Node, u64)> {
    let biggest = |piece: &Piece| {
        model
            .kinds
            .iter()
            .map(|kind| on_one(piece, kind.w, kind.h))
            .max()
    };
    let pieces = many.iter().map(|&at| {
        let piece = model.pieces[at];
        let count = biggest(&piece).unwrap_or(1).unsigned_abs();
        Piece {
            count: count.min(piece.count),
            ..piece
        }
    });
    let sample = Model {
        kinds: model.kinds.clone(),
        pieces: pieces.collect(),
    };
    let order: Vec<u32> = (0_u32..)
        .zip(&sample.pieces)
        .flat_map(|(at, piece)| std::iter::repeat_n(at, usize::try_from(piece.count).unwrap_or(0)))
        .collect();
    let most = sample.most();
    let mut filling = Filling::new(&sample);
    let mut best: Option<((i128, i128), usize, Node, u64)> = None;
    for split in Split::ALL {
        for fit in [Fit::Area, Fit::Gap] {
            let recipe = Recipe {
                splits: vec![split; order.len()],
                order: order.clone(),
                fit,
                opening: Opening::CheapestForItsArea,
                free_first: true,
            };
            filling.fill(&recipe, &most);
            work.spend(filling.looks);
            for (kind, node) in filling.sheets() {
                let node = node.renumbered(many);
                let size = &model.kinds[kind];
                let mut counts = vec![0; model.pieces.len()];
                node.count(&mut counts);
                let uses = model.pieces.iter().zip(&counts).filter(|&(_, &n)| n > 0);
                let times = uses
                    .map(|(piece, &n)| piece.count.div_euclid(n))
                    .min()
                    .unwrap_or(0);
                let times = times.min(size.most.unwrap_or(u64::MAX));
                let filled: i128 = model
                    .pieces
                    .iter()
                    .zip(&counts)
                    .map(|(piece, &n)| i128::from(piece.area()) * i128::from(n))
                    .sum();
                // What is wasted of a thousand, and what a sheet costs for what lies on it.
                let wasted = 1_000 - (filled * 1_000).div_euclid(size.area().into());
                let dear = size
                    .price
                    .saturating_mul(1_000_000)
                    .div_euclid(filled.max(1));
                if times > 1
                    && best
                        .as_ref()
                        .is_none_or(|(known, ..)| (dear, wasted) < *known)
                {
                    best = Some(((dear, wasted), kind, node, times));
                }
            }
        }
    }
    best.map(|(_, kind, node, times)| (kind, node, times))
}

/// Equal pieces in rows on the kind that costs least for each.
fn grid(model: &Model, at: usize) -> Option<(usize, Node, u64)> {
    let piece = &model.pieces[at];
    let held = |kind: usize| on_one(piece, model.kinds[kind].w, model.kinds[kind].h);
    let there = |&kind: &usize| held(kind) > 0 && model.kinds[kind].most != Some(0);
    let kind = (0..model.kinds.len()).filter(there).min_by(|&a, &b| {
        let ours = model.kinds[a].price.saturating_mul(held(b).into());
        let theirs = model.kinds[b].price.saturating_mul(held(a).into());
        ours.cmp(&theirs)
            .then(held(b).cmp(&held(a)))
            .then(a.cmp(&b))
    })?;
    let size = &model.kinds[kind];
    let on_it = held(kind);
    let full = piece.count.div_euclid(on_it.unsigned_abs());
    let times = full.max(1).min(size.most.unwrap_or(u64::MAX));
    let n = if full == 0 {
        i64::try_from(piece.count).unwrap_or(on_it)
    } else {
        on_it
    };
    let turned = piece
        .ways_into(size.w, size.h)
        .max_by_key(|&turned| (in_rows(piece.lying(turned), size.w, size.h), !turned))?;
    Some((
        kind,
        rows_of(n, at, turned, piece.lying(turned), (size.w, size.h)),
        times,
    ))
}

/// How many equal pieces lie in rows on a sheet, the better way round.
fn on_one(piece: &Piece, w: i64, h: i64) -> i64 {
    let ways = piece.ways_into(w, h);
    ways.map(|turned| in_rows(piece.lying(turned), w, h))
        .max()
        .unwrap_or(0)
}

fn in_rows((own_w, own_h): (i64, i64), w: i64, h: i64) -> i64 {
    (w.div_euclid(own_w) * h.div_euclid(own_h)).min(MOST_ON_A_SHEET)
}

/// So many equal pieces in rows along the sheet, from the corner on.
fn rows_of(
    n: i64,
    at: usize,
    turned: bool,
    (w, h): (i64, i64),
    (whole_w, whole_h): (i64, i64),
) -> Node {
    let in_row = whole_w.div_euclid(w);
    if n <= 0 {
        return Node::Rest;
    }
    let row = row_of(n.min(in_row), at, turned, (w, h), whole_w);
    if whole_h == h {
        return row;
    }
    let above = rows_of(n - in_row, at, turned, (w, h), (whole_w, whole_h - h));
    Node::cut(Way::Rip, h, row, above)
}

fn row_of(n: i64, at: usize, turned: bool, (w, h): (i64, i64), whole: i64) -> Node {
    let piece = Node::Piece(at, turned);
    if n <= 0 {
        return Node::Rest;
    }
    if whole == w {
        return piece;
    }
    Node::cut(
        Way::Crosscut,
        w,
        piece,
        row_of(n - 1, at, turned, (w, h), whole - w),
    )
}
