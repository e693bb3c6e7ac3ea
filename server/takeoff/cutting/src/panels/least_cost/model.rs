//! The job in plain whole numbers: a kerf on both sides of everything, equal rows as one, in an order of its own.
//!
//! What it does not do: decide anything but which rows can never help.

use std::collections::BTreeMap;

use super::{Job, Patches};
use scantling_units::Length;

/// Sides above this, in 64ths, are not served (over four million inches): areas then stay below 2^58.
pub(super) const LONGEST: i64 = 1 << 28;

/// A size of sheet, a kerf added to both sides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) struct Kind {
    pub(in super::super) w: i64,
    pub(in super::super) h: i64,
    /// What one costs, in cents or in any other whole unit.
    pub(in super::super) price: i128,
    /// How many there are.
    pub(in super::super) most: Option<u64>,
}

impl Kind {
    pub(super) fn area(&self) -> i64 {
        self.w * self.h
    }

    pub(super) fn is_free(&self) -> bool {
        self.price == 0
    }
}

/// Equal patches, a kerf added to both sides; where they may turn, the longer side stands first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(in super::super) struct Piece {
    pub(in super::super) w: i64,
    pub(in super::super) h: i64,
    pub(in super::super) turn: bool,
    pub(in super::super) count: u64,
}

impl Piece {
    pub(super) fn area(&self) -> i64 {
        self.w * self.h
    }

    /// Its sides as it lies.
    pub(in super::super) fn lying(&self, turned: bool) -> (i64, i64) {
        if turned {
            (self.h, self.w)
        } else {
            (self.w, self.h)
        }
    }

    /// The ways, unturned first, in which it goes into a room.
    pub(in super::super) fn ways_into(&self, w: i64, h: i64) -> impl Iterator<Item = bool> + use<> {
        let Self {
            w: own_w, h: own_h, ..
        } = *self;
        let straight = own_w <= w && own_h <= h;
        let turned = self.turn && own_h <= w && own_w <= h;
        [(straight, false), (turned, true)]
            .into_iter()
            .filter_map(|(fits, way)| fits.then_some(way))
    }

    pub(super) fn fits(&self, kind: &Kind) -> bool {
        self.ways_into(kind.w, kind.h).next().is_some()
    }
}

/// The job without kerf.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in super::super) struct Model {
    /// By price, then biggest first.
    pub(in super::super) kinds: Vec<Kind>,
    /// Biggest first; each fits some kind.
    pub(in super::super) pieces: Vec<Piece>,
}

impl Model {
    /// Merges and sorts; pieces that fit no kind stay out.
    pub(in super::super) fn new(kinds: Vec<Kind>, pieces: &[Piece]) -> Self {
        let served =
            |w: i64, h: i64| (1..=2 * LONGEST).contains(&w.min(h)) && w.max(h) <= 2 * LONGEST;
        let mut sizes: BTreeMap<(i64, i64, i128), Option<u64>> = BTreeMap::new();
        for kind in kinds.into_iter().filter(|kind| served(kind.w, kind.h)) {
            sizes
                .entry((kind.w, kind.h, kind.price.max(0)))
                .and_modify(|most| {
                    *most = most
                        .zip(kind.most)
                        .map(|(known, more)| known.saturating_add(more));
                })
                .or_insert(kind.most);
        }
        let all: Vec<Kind> = sizes
            .into_iter()
            .map(|((w, h, price), most)| Kind { w, h, price, most })
            .filter(|kind| kind.most != Some(0))
            .collect();
        let mut kinds: Vec<Kind> = all
            .iter()
            .filter(|kind| !all.iter().any(|other| beats(other, kind)))
            .copied()
            .collect();
        kinds.sort_by_key(|kind| (kind.price, -kind.area(), -kind.w, kind.most));
        let mut model = Self {
            kinds,
            pieces: Vec::new(),
        };
        let mut counts: BTreeMap<(i64, i64, bool), u64> = BTreeMap::new();
        for piece in pieces.iter().filter(|piece| piece.count > 0) {
            if let Some(key) = model.normal(piece) {
                let known = counts.entry(key).or_default();
                *known = known.saturating_add(piece.count);
            }
        }
        model.pieces = counts
            .into_iter()
            .map(|((w, h, turn), count)| Piece { w, h, turn, count })
            .collect();
        model
            .pieces
            .sort_by_key(|piece| (-piece.area(), -piece.w, piece.turn));
        model
    }

    /// Sides and turning as equal pieces share them; none for a piece that fits no kind. One that goes only one way into
    /// any sheet is one that does not turn.
    pub(in super::super) fn normal(&self, piece: &Piece) -> Option<(i64, i64, bool)> {
        if piece.w < 1 || piece.h < 1 {
            return None;
        }
        let fits = |turned: bool| {
            let (w, h) = piece.lying(turned);
            self.kinds.iter().any(|kind| w <= kind.w && h <= kind.h)
        };
        match (fits(false), piece.turn && piece.w != piece.h && fits(true)) {
            (true, true) => Some((piece.w.max(piece.h), piece.w.min(piece.h), true)),
            (true, false) => Some((piece.w, piece.h, false)),
            (false, true) => Some((piece.h, piece.w, false)),
            (false, false) => None,
        }
    }

    /// Where to find a piece among the pieces, by its sides and turning.
    pub(in super::super) fn places(&self) -> BTreeMap<(i64, i64, bool), usize> {
        let keys = self
            .pieces
            .iter()
            .map(|piece| (piece.w, piece.h, piece.turn));
        keys.zip(0..).collect()
    }

    /// From rows with lengths; a kerf is added here.
    pub(super) fn of(job: &Job) -> Self {
        let side = |length: Length| with_kerf(length, job.kerf);
        let kinds = job.sheets.iter().map(|sheet| Kind {
            w: side(sheet.along),
            h: side(sheet.across),
            price: i128::from(sheet.price.as_cents()).max(0),
            most: sheet.limit.map(u64::from),
        });
        let pieces = job.patches.iter().map(|row| piece_of(row, job.kerf));
        Self::new(kinds.collect(), &pieces.collect::<Vec<Piece>>())
    }

    /// All pieces, each equal one counted.
    pub(super) fn n_pieces(&self) -> u64 {
        self.pieces
            .iter()
            .fold(0, |sum, piece| sum.saturating_add(piece.count))
    }

    /// How many of each kind any plan could use.
    pub(super) fn most(&self) -> Vec<u64> {
        let n = self.n_pieces();
        self.kinds
            .iter()
            .map(|kind| kind.most.unwrap_or(n).min(n))
            .collect()
    }

    /// The pieces that an endless kind holds, so that they can always be met.
    pub(super) fn always_met(&self) -> Self {
        let endless = |piece: &Piece| {
            self.kinds
                .iter()
                .any(|kind| kind.most.is_none() && piece.fits(kind))
        };
        Self {
            kinds: self.kinds.clone(),
            pieces: self.pieces.iter().copied().filter(endless).collect(),
        }
    }
}

/// A row as a piece.
pub(super) fn piece_of(row: &Patches, kerf: Length) -> Piece {
    Piece {
        w: with_kerf(row.along, kerf),
        h: with_kerf(row.across, kerf),
        turn: row.turn,
        count: row.count.into(),
    }
}

/// The kerf in 64ths, never below zero; a wider one than any side served is as good as that side.
pub(in super::super) fn saw(kerf: Length) -> i64 {
    kerf.as_64ths().clamp(0, LONGEST)
}

/// A side with its kerf; zero for one that is not served.
pub(in super::super) fn with_kerf(side: Length, kerf: Length) -> i64 {
    let length = side.as_64ths();
    if (1..=LONGEST).contains(&length) {
        length + saw(kerf)
    } else {
        0
    }
}

/// Whether a kind without limit makes another one useless: no smaller, no dearer.
fn beats(other: &Kind, kind: &Kind) -> bool {
    let no_worse = other.w >= kind.w && other.h >= kind.h && other.price <= kind.price;
    let same = (other.w, other.h, other.price) == (kind.w, kind.h, kind.price);
    other.most.is_none() && no_worse && !same
}
