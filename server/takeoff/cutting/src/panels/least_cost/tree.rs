//! How a sheet comes apart, cut by cut.
//!
//! What it does not do: choose the cuts.

use super::model::{Kind, Model};
use scantling_units::Length;

/// What becomes of a rectangle, from the whole sheet down to patches and rests.
///
/// The marks of a part start anew at its own corner, the one nearest the corner of the sheet where both marks are zero.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Part {
    /// A patch, as it lies: its sides are those of this rectangle.
    Patch {
        /// Side along the sheet's strength axis.
        along: Length,
        /// Side across it.
        across: Length,
    },
    /// What is left over, uncut.
    Rest {
        /// Side along the sheet's strength axis.
        along: Length,
        /// Side across it.
        across: Length,
    },
    /// Nothing: the kerf of the last cut takes all that was there.
    Dust,
    /// A straight cut from edge to edge of the rectangle.
    Cut {
        /// Which way the saw runs.
        way: Way,
        /// How much of the rectangle lies before the kerf: the first part's side. The second part begins one kerf further.
        at: Length,
        /// The part before the kerf, and the part behind it.
        parts: Box<[Self; 2]>,
    },
}

/// Which way the saw runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    /// Across the strength axis; its mark is measured along the axis.
    Crosscut,
    /// Along the strength axis; its mark is measured across the axis.
    Rip,
}

/// A part without kerf: each side of each part carries one.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) enum Node {
    Rest,
    /// Position among the pieces, and whether it lies turned.
    Piece(usize, bool),
    Cut(Way, i64, Box<[Self; 2]>),
}

impl Node {
    pub(in super::super) fn cut(way: Way, at: i64, first: Self, second: Self) -> Self {
        Self::Cut(way, at, Box::new([first, second]))
    }

    /// This part, which is `own` big, at the corner of a bigger rectangle: what is too much is cut off first.
    pub(in super::super) fn within(self, own: (i64, i64), whole: (i64, i64)) -> Self {
        let ripped = if own.1 < whole.1 {
            Self::cut(Way::Rip, own.1, self, Self::Rest)
        } else {
            self
        };
        if own.0 < whole.0 {
            Self::cut(Way::Crosscut, own.0, ripped, Self::Rest)
        } else {
            ripped
        }
    }

    /// The same cuts on a rectangle that ends earlier; nothing but rests may lie beyond its end.
    pub(super) fn clipped(self, w: i64, h: i64) -> Self {
        match self {
            Self::Cut(way, at, parts) => {
                let [first, second] = *parts;
                let side = if way == Way::Crosscut { w } else { h };
                if at >= side {
                    return first.clipped(w, h);
                }
                let [one, two] = sides_of_parts(way, at, w, h);
                Self::cut(
                    way,
                    at,
                    first.clipped(one.0, one.1),
                    second.clipped(two.0, two.1),
                )
            }
            other => other,
        }
    }

    /// The same patches without cuts between rests.
    pub(in super::super) fn tidied(self) -> Self {
        match self {
            Self::Cut(way, at, parts) => {
                let [first, second] = *parts;
                match (first.tidied(), second.tidied()) {
                    (Self::Rest, Self::Rest) => Self::Rest,
                    (first, second) => Self::cut(way, at, first, second),
                }
            }
            other => other,
        }
    }

    /// The same cuts, each piece by the number that it has elsewhere.
    pub(super) fn renumbered(self, numbers: &[usize]) -> Self {
        match self {
            Self::Piece(at, turned) => Self::Piece(numbers[at], turned),
            Self::Cut(way, at, parts) => {
                let [first, second] = *parts;
                Self::cut(
                    way,
                    at,
                    first.renumbered(numbers),
                    second.renumbered(numbers),
                )
            }
            Self::Rest => Self::Rest,
        }
    }

    /// How many of each piece it holds.
    pub(super) fn count(&self, counts: &mut [u64]) {
        match self {
            Self::Piece(at, _) => counts[*at] += 1,
            Self::Cut(_, _, parts) => {
                parts[0].count(counts);
                parts[1].count(counts);
            }
            Self::Rest => {}
        }
    }

    pub(super) fn n_cuts(&self) -> u64 {
        match self {
            Self::Cut(_, _, parts) => 1 + parts[0].n_cuts() + parts[1].n_cuts(),
            _ => 0,
        }
    }

    /// Each leaf with its corner and sides.
    pub(in super::super) fn leaves(&self, kind: &Kind) -> Vec<(Leaf, [i64; 4])> {
        let mut found = Vec::new();
        self.collect([0, 0, kind.w, kind.h], &mut found);
        found
    }

    fn collect(&self, [x, y, w, h]: [i64; 4], found: &mut Vec<(Leaf, [i64; 4])>) {
        match self {
            Self::Rest => found.push((None, [x, y, w, h])),
            Self::Piece(at, turned) => found.push((Some((*at, *turned)), [x, y, w, h])),
            Self::Cut(way, at, parts) => {
                let [one, two] = sides_of_parts(*way, *at, w, h);
                let behind = if *way == Way::Crosscut {
                    (x + at, y)
                } else {
                    (x, y + at)
                };
                parts[0].collect([x, y, one.0, one.1], found);
                parts[1].collect([behind.0, behind.1, two.0, two.1], found);
            }
        }
    }

    /// The leaf at this place among the leaves.
    pub(in super::super) fn leaf_mut(&mut self, place: &mut usize) -> Option<&mut Self> {
        match self {
            Self::Cut(_, _, parts) => {
                let [first, second] = &mut **parts;
                match first.leaf_mut(place) {
                    Some(leaf) => Some(leaf),
                    None => second.leaf_mut(place),
                }
            }
            leaf if *place == 0 => Some(leaf),
            _ => {
                *place -= 1;
                None
            }
        }
    }

    /// Area of the biggest rest, as it lies on the sheet with the kerf taken off again.
    pub(super) fn biggest_rest(&self, kind: &Kind, kerf: i64) -> i64 {
        let rests = self
            .leaves(kind)
            .into_iter()
            .filter(|(leaf, _)| leaf.is_none());
        rests
            .map(|(_, [_, _, w, h])| (w - kerf).max(0) * (h - kerf).max(0))
            .max()
            .unwrap_or(0)
    }

    /// With kerf and lengths again; `w` and `h` as this part has them without.
    pub(super) fn with_kerf(&self, model: &Model, kerf: i64, w: i64, h: i64) -> Part {
        let (along, across) = (Length::from_64ths(w - kerf), Length::from_64ths(h - kerf));
        match self {
            Self::Rest if w <= kerf || h <= kerf => Part::Dust,
            Self::Rest => Part::Rest { along, across },
            Self::Piece(at, turned) => {
                let (w, h) = model.pieces[*at].lying(*turned);
                Part::Patch {
                    along: Length::from_64ths(w - kerf),
                    across: Length::from_64ths(h - kerf),
                }
            }
            Self::Cut(way, at, parts) => {
                let [one, two] = sides_of_parts(*way, *at, w, h);
                Part::Cut {
                    way: *way,
                    at: Length::from_64ths(at - kerf),
                    parts: Box::new([
                        parts[0].with_kerf(model, kerf, one.0, one.1),
                        parts[1].with_kerf(model, kerf, two.0, two.1),
                    ]),
                }
            }
        }
    }
}

/// A piece and whether it is turned, or a rest.
pub(in super::super) type Leaf = Option<(usize, bool)>;

fn sides_of_parts(way: Way, at: i64, w: i64, h: i64) -> [(i64, i64); 2] {
    match way {
        Way::Crosscut => [(at, h), (w - at, h)],
        Way::Rip => [(w, at), (w, h - at)],
    }
}
