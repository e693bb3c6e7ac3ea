//! All sets of pieces that one sheet can hold, each with the rectangles into which it can be put together.
//!
//! What it does not do: choose among them (`cover.rs` does). It gives up where there are too many; what it gives is
//! complete, so that what is not in it can't be cut from one sheet.
//!
//! Source: the least rectangles of a set come from those of its two parts laid side by side or one above the other, as
//! in Stockmeyer, "Optimal orientations of cells in slicing floorplan designs", Information and Control 57 (1983), 91 to
//! 101; here over all ways of parting the set, so that every cutting from edge to edge is among them. Sets are built
//! from sets with one piece less, since what a sheet can't hold it can't hold with one piece more: Agrawal and Srikant,
//! "Fast algorithms for mining association rules", VLDB 1994.

use super::model::{Kind, Model};
use super::table::Table;
use super::tree::{Node, Way};
use super::work::Work;

/// Sets listed, at most.
const MOST_SETS: usize = 400_000;

/// Kinds of sheet, at most: each has a bit.
const MOST_KINDS: usize = 60;

/// A rectangle that holds a set with none to spare, and where it comes from.
#[derive(Clone, Copy, Debug)]
struct Shape {
    w: i64,
    h: i64,
    from: From,
}

#[derive(Clone, Copy, Debug)]
enum From {
    Piece(usize, bool),
    /// Two sets with one of their shapes each.
    Parts(Way, [(usize, usize); 2]),
}

/// The sets, by their number of pieces.
pub(super) struct Sets {
    n_pieces: usize,
    /// What one more of each piece adds to a key.
    steps: Vec<u128>,
    /// How often each piece may come.
    most: Vec<u8>,
    keys: Vec<u128>,
    /// `n_pieces` counts a set.
    counts: Vec<u8>,
    /// By set, the least rectangles, narrowest first.
    shapes: Vec<Vec<Shape>>,
    /// A bit for each kind that holds it.
    fits: Vec<u64>,
    place: Table,
}

impl Sets {
    /// All of them, or none where there are too many or the work runs out.
    pub(super) fn all(model: &Model, share: u64, work: &mut Work<'_>) -> Option<Self> {
        let end = work.used().saturating_add(share);
        let n = model.pieces.len();
        if model.kinds.len() > MOST_KINDS {
            return None;
        }
        let mut steps = Vec::with_capacity(n);
        let mut product: u128 = 1;
        let mut most = Vec::with_capacity(n);
        for piece in &model.pieces {
            steps.push(product);
            let count = u8::try_from(piece.count).ok()?;
            most.push(count);
            product = product
                .checked_mul(u128::from(count) + 1)
                .filter(|&product| product < 1 << 120)?;
        }
        let mut sets = Self {
            n_pieces: n,
            steps,
            most,
            keys: Vec::new(),
            counts: Vec::new(),
            shapes: Vec::new(),
            fits: Vec::new(),
            place: Table::new(),
        };
        for (at, piece) in model.pieces.iter().enumerate() {
            let mut shapes = Vec::new();
            for turned in [false, true].into_iter().take(1 + usize::from(piece.turn)) {
                let (w, h) = piece.lying(turned);
                keep(&mut shapes, w, h, &model.kinds, From::Piece(at, turned));
            }
            let mut counts = vec![0; n];
            counts[at] = 1;
            sets.add(&counts, shapes, &model.kinds);
        }
        let biggest = model.kinds.iter().map(Kind::area).max().unwrap_or(0);
        let mut level = 0..sets.keys.len();
        while !level.is_empty() {
            let from = sets.keys.len();
            for set in level {
                let counts = sets.counts(set).to_vec();
                let filled: i64 = (0..n)
                    .map(|at| i64::from(counts[at]) * model.pieces[at].area())
                    .sum();
                let last = counts.iter().rposition(|&count| count > 0).unwrap_or(0);
                for more in last..n {
                    if counts[more] >= sets.most[more]
                        || filled + model.pieces[more].area() > biggest
                    {
                        continue;
                    }
                    let mut counts = counts.clone();
                    counts[more] += 1;
                    if !work.spend(4) || work.used() > end || sets.keys.len() >= MOST_SETS {
                        return None;
                    }
                    if !sets.parts_are_there(&counts, sets.keys[set] + sets.steps[more]) {
                        continue;
                    }
                    let shapes = sets.shapes_of(
                        &counts,
                        sets.keys[set] + sets.steps[more],
                        &model.kinds,
                        work,
                    );
                    if !shapes.is_empty() {
                        sets.add(&counts, shapes, &model.kinds);
                    }
                }
            }
            level = from..sets.keys.len();
        }
        Some(sets)
    }

    pub(super) fn len(&self) -> usize {
        self.keys.len()
    }

    pub(super) fn counts(&self, set: usize) -> &[u8] {
        &self.counts[set * self.n_pieces..(set + 1) * self.n_pieces]
    }

    /// The set with one piece more, if some sheet holds that.
    pub(super) fn with(&self, set: Option<usize>, piece: usize) -> Option<usize> {
        let key = set.map_or(0, |set| self.keys[set]);
        self.place.get(key + self.steps[piece])
    }

    /// Whether a kind holds a set.
    pub(super) fn fits(&self, set: usize, kind: usize) -> bool {
        (self.fits[set] >> kind) & 1 == 1
    }

    /// A bit for each kind that holds a set.
    pub(super) fn kinds_that_hold(&self, set: usize) -> u64 {
        self.fits[set]
    }

    /// What one more of each piece adds to the key of what is still to be placed.
    pub(super) fn step(&self, piece: usize) -> u128 {
        self.steps[piece]
    }

    pub(super) fn key(&self, set: usize) -> u128 {
        self.keys[set]
    }

    /// The cuts that take a set from a sheet of a kind that holds it.
    pub(super) fn node(&self, set: usize, kind: &Kind) -> Node {
        let held = |shape: &&Shape| shape.w <= kind.w && shape.h <= kind.h;
        let rest = |shape: &Shape| ((kind.w - shape.w) * kind.h).max((kind.h - shape.h) * kind.w);
        let shapes = &self.shapes[set];
        let best = (0..shapes.len())
            .filter(|&at| held(&&shapes[at]))
            .max_by_key(|&at| (rest(&shapes[at]), std::cmp::Reverse(at)))
            .unwrap_or(0);
        let shape = &shapes[best];
        self.put_together(set, best)
            .within((shape.w, shape.h), (kind.w, kind.h))
    }

    fn put_together(&self, set: usize, at: usize) -> Node {
        let shape = self.shapes[set][at];
        match shape.from {
            From::Piece(piece, turned) => Node::Piece(piece, turned),
            From::Parts(way, parts) => {
                let [(w, h), _] =
                    parts.map(|(set, at)| (self.shapes[set][at].w, self.shapes[set][at].h));
                let [first, second] = parts.map(|(set, at)| {
                    let own = &self.shapes[set][at];
                    let whole = match way {
                        Way::Crosscut => (own.w, shape.h),
                        Way::Rip => (shape.w, own.h),
                    };
                    self.put_together(set, at).within((own.w, own.h), whole)
                });
                let mark = if way == Way::Crosscut { w } else { h };
                Node::cut(way, mark, first, second)
            }
        }
    }

    fn add(&mut self, counts: &[u8], shapes: Vec<Shape>, kinds: &[Kind]) {
        let key = (0..self.n_pieces)
            .map(|at| u128::from(counts[at]) * self.steps[at])
            .sum();
        let holds = |kind: &Kind| {
            shapes
                .iter()
                .any(|shape| shape.w <= kind.w && shape.h <= kind.h)
        };
        let bits = kinds
            .iter()
            .enumerate()
            .map(|(at, kind)| u64::from(holds(kind)) << at);
        self.fits.push(bits.fold(0, |known, bit| known | bit));
        self.place.insert(key, self.keys.len());
        self.keys.push(key);
        self.counts.extend_from_slice(counts);
        self.shapes.push(shapes);
    }

    /// Whether each set with one piece less fits some sheet.
    fn parts_are_there(&self, counts: &[u8], key: u128) -> bool {
        (0..self.n_pieces)
            .filter(|&at| counts[at] > 0)
            .all(|at| self.place.get(key - self.steps[at]).is_some())
    }

    /// The least rectangles of a set, over all ways of parting it in two.
    fn shapes_of(
        &self,
        counts: &[u8],
        key: u128,
        kinds: &[Kind],
        work: &mut Work<'_>,
    ) -> Vec<Shape> {
        let held: Vec<usize> = (0..self.n_pieces).filter(|&at| counts[at] > 0).collect();
        let mut part = vec![0_u8; held.len()];
        let mut part_key = 0;
        let mut shapes = Vec::new();
        loop {
            // The next part, counted up like the figures of a number.
            let mut place = 0;
            while place < held.len() && part[place] == counts[held[place]] {
                part_key -= u128::from(part[place]) * self.steps[held[place]];
                part[place] = 0;
                place += 1;
            }
            if place == held.len() {
                return shapes;
            }
            part[place] += 1;
            part_key += self.steps[held[place]];
            let other_key = key - part_key;
            if part_key > other_key || other_key == 0 {
                continue;
            }
            let (Some(one), Some(two)) = (self.place.get(part_key), self.place.get(other_key))
            else {
                continue;
            };
            let pairs = self.shapes[one].len() + self.shapes[two].len();
            work.spend(u64::try_from(4 + 2 * pairs).unwrap_or(u64::MAX));
            self.side_by_side(one, two, kinds, &mut shapes);
            self.side_by_side(two, one, kinds, &mut shapes);
            self.one_above_the_other(one, two, kinds, &mut shapes);
            self.one_above_the_other(two, one, kinds, &mut shapes);
        }
    }

    /// Each shape of the first set beside the narrowest of the second that is no higher.
    fn side_by_side(&self, one: usize, two: usize, kinds: &[Kind], found: &mut Vec<Shape>) {
        let others = &self.shapes[two];
        let mut with = 0;
        for (at, shape) in self.shapes[one].iter().enumerate() {
            while with < others.len() && others[with].h > shape.h {
                with += 1;
            }
            let Some(other) = others.get(with) else {
                return;
            };
            let from = From::Parts(Way::Crosscut, [(one, at), (two, with)]);
            keep(found, shape.w + other.w, shape.h, kinds, from);
        }
    }

    /// Each shape of the first set below the lowest of the second that is no wider.
    fn one_above_the_other(&self, one: usize, two: usize, kinds: &[Kind], found: &mut Vec<Shape>) {
        let others = &self.shapes[two];
        let mut with = 0;
        for (at, shape) in self.shapes[one].iter().enumerate() {
            while with < others.len() && others[with].w <= shape.w {
                with += 1;
            }
            let Some(before) = with.checked_sub(1) else {
                continue;
            };
            let from = From::Parts(Way::Rip, [(one, at), (two, before)]);
            keep(found, shape.w, shape.h + others[before].h, kinds, from);
        }
    }
}

/// Keeps a rectangle if some kind holds it and none that is kept is as small both ways; throws out what it makes useless.
fn keep(shapes: &mut Vec<Shape>, w: i64, h: i64, kinds: &[Kind], from: From) {
    if !kinds.iter().any(|kind| w <= kind.w && h <= kind.h) {
        return;
    }
    // Widths rise and heights fall, so the one before is the lowest of those no wider.
    let at = shapes.partition_point(|shape| shape.w <= w);
    if at > 0 && shapes[at - 1].h <= h {
        return;
    }
    let from_here = shapes.partition_point(|shape| shape.w < w);
    let until = shapes[from_here..]
        .iter()
        .take_while(|shape| shape.h >= h)
        .count();
    shapes.splice(from_here..from_here + until, [Shape { w, h, from }]);
}
