//! One plan, piece by piece: each goes into the free rectangle that suits it best, at the corner, and what is left is
//! cut in two.
//!
//! What it does not do: choose the order (`climb.rs` does). One filling takes some microseconds, so that very many can
//! be tried.
//!
//! Source: best fit into free rectangles cut from edge to edge is a textbook method; the scores are common practice, no
//! published source.

use super::model::Model;
use super::tree::{Node, Way};

/// Free rectangles that are looked at; older ones are closed.
const MOST_OPEN: usize = 256;

/// Pieces on one sheet, at most: trees of cuts are walked down part by part, and no deeper than this.
const MOST_ON_A_SHEET: u32 = 3_200;

/// What a filling goes by.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Recipe {
    /// Positions among the pieces, each as often as it is wanted.
    pub(super) order: Vec<u32>,
    /// How the rectangle around each piece is cut up, by place in the order.
    pub(super) splits: Vec<Split>,
    pub(super) fit: Fit,
    pub(super) opening: Opening,
    /// Whether sheets that cost nothing go before rests of others.
    pub(super) free_first: bool,
}

/// Which free rectangle takes the piece: the one with the least of this.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fit {
    Area,
    Gap,
    GreaterGap,
    GapAcross,
}

impl Fit {
    pub(super) const ALL: [Self; 4] = [Self::Area, Self::Gap, Self::GreaterGap, Self::GapAcross];
}

/// How what is left of a free rectangle, right of and above the piece, is cut in two.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Split {
    OneBig,
    WholeAlong,
    WholeAcross,
    Even,
}

impl Split {
    pub(super) const ALL: [Self; 4] = [
        Self::OneBig,
        Self::WholeAlong,
        Self::WholeAcross,
        Self::Even,
    ];
}

/// Which kind is opened next among those that hold the piece.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Opening {
    CheapestForItsArea,
    Cheapest,
    Largest,
}

impl Opening {
    pub(super) const ALL: [Self; 3] = [Self::CheapestForItsArea, Self::Cheapest, Self::Largest];
}

#[derive(Clone, Copy)]
struct Free {
    w: i64,
    h: i64,
    x: i64,
    y: i64,
    sheet: usize,
    node: usize,
}

#[derive(Clone, Copy)]
enum Raw {
    Rest,
    Piece(usize, bool),
    Cut(Way, i64, usize, usize),
}

/// A sheet in the making.
#[derive(Clone, Copy)]
struct Sheet {
    kind: usize,
    root: usize,
    /// The cheapest kind that holds what lies on it.
    bought_as: usize,
    n_pieces: u32,
    /// Area of its pieces.
    filled: i64,
    /// How far its pieces reach along and across.
    reach: (i64, i64),
}

/// The memory that fillings share, and the result of the last one.
pub(super) struct Filling<'a> {
    model: &'a Model,
    /// The kinds by each way of opening, the first that holds a piece is taken.
    openings: [Vec<usize>; 3],
    /// No piece lies with sides below these.
    least: (i64, i64),
    nodes: Vec<Raw>,
    free: Vec<Free>,
    sheets: Vec<Sheet>,
    left: Vec<u64>,
    /// Pieces that went nowhere.
    pub(super) unmet: Vec<u32>,
    pub(super) looks: u64,
}

/// What a filling comes to: less is better, from left to right.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Score {
    pub(super) unmet: i128,
    pub(super) cost: i128,
    pub(super) sheets: usize,
    /// What lies on the emptiest sheet that was bought: the less, the nearer to a sheet saved.
    pub(super) emptiest: i64,
}

impl<'a> Filling<'a> {
    pub(super) fn new(model: &'a Model) -> Self {
        let sorted = |opening: Opening| {
            let mut all: Vec<usize> = (0..model.kinds.len()).collect();
            all.sort_by(|&a, &b| {
                let (one, two) = (&model.kinds[a], &model.kinds[b]);
                match opening {
                    Opening::CheapestForItsArea => {
                        let ours = one.price.saturating_mul(two.area().into());
                        let theirs = two.price.saturating_mul(one.area().into());
                        ours.cmp(&theirs).then(two.area().cmp(&one.area()))
                    }
                    Opening::Cheapest => (one.price, two.area()).cmp(&(two.price, one.area())),
                    Opening::Largest => (two.area(), one.price).cmp(&(one.area(), two.price)),
                }
                .then(a.cmp(&b))
            });
            all
        };
        let turning = |piece: &&super::model::Piece| piece.turn;
        let least_turned = model
            .pieces
            .iter()
            .filter(turning)
            .map(|piece| piece.w.min(piece.h))
            .min();
        let along = model
            .pieces
            .iter()
            .map(|piece| piece.w)
            .chain(least_turned)
            .min();
        let across = model
            .pieces
            .iter()
            .map(|piece| piece.h)
            .chain(least_turned)
            .min();
        Self {
            model,
            openings: Opening::ALL.map(sorted),
            least: (along.unwrap_or(1), across.unwrap_or(1)),
            nodes: Vec::new(),
            free: Vec::new(),
            sheets: Vec::new(),
            left: Vec::new(),
            unmet: Vec::new(),
            looks: 0,
        }
    }

    /// Fills sheets, at most so many of each kind; looks are counted.
    pub(super) fn fill(&mut self, recipe: &Recipe, most: &[u64]) -> Score {
        self.nodes.clear();
        self.free.clear();
        self.sheets.clear();
        self.unmet.clear();
        self.left.clear();
        self.left.extend_from_slice(most);
        self.looks = 0;
        for (place, &at) in recipe.order.iter().enumerate() {
            self.place(at, recipe.splits[place], recipe);
        }
        self.score()
    }

    fn place(&mut self, at: u32, split: Split, recipe: &Recipe) {
        let piece = self.model.pieces[at as usize];
        let mut best: Option<((bool, i64, i64), usize, bool)> = None;
        self.looks += u64::try_from(self.free.len() + 2).unwrap_or(u64::MAX);
        for (place, room) in self.free.iter().enumerate() {
            let late =
                recipe.free_first && !self.model.kinds[self.sheets[room.sheet].kind].is_free();
            for turned in piece.ways_into(room.w, room.h) {
                let (w, h) = piece.lying(turned);
                let (rank, tie) = rank(recipe.fit, room.w - w, room.h - h, room.w * room.h);
                if best.is_none_or(|(known, ..)| (late, rank, tie) < known) {
                    best = Some(((late, rank, tie), place, turned));
                }
            }
        }
        // A sheet that costs nothing and is not begun yet vies with the rests.
        let mut fresh: Option<((bool, i64, i64), usize, bool)> = None;
        for kind in 0..self.model.kinds.len() {
            let size = self.model.kinds[kind];
            if !size.is_free() {
                break;
            }
            self.looks += 1;
            if self.left[kind] == 0 {
                continue;
            }
            for turned in piece.ways_into(size.w, size.h) {
                let (w, h) = piece.lying(turned);
                let (rank, tie) = rank(recipe.fit, size.w - w, size.h - h, size.area());
                if fresh.is_none_or(|(known, ..)| (false, rank, tie) < known) {
                    fresh = Some(((false, rank, tie), kind, turned));
                }
            }
        }
        if let Some((_, kind, turned)) = fresh.filter(|new| best.is_none_or(|old| new.0 < old.0)) {
            let room = self.open(kind);
            self.cut(at, turned, room, split);
        } else if let Some((_, place, turned)) = best {
            let room = self.free.swap_remove(place);
            self.cut(at, turned, room, split);
        } else if let Some(kind) = self.kind_for(piece, recipe.opening) {
            let room = self.open(kind);
            let ways = piece.ways_into(room.w, room.h);
            let turned = ways.min_by_key(|&turned| {
                let (w, h) = piece.lying(turned);
                rank(recipe.fit, room.w - w, room.h - h, 0)
            });
            self.cut(at, turned.unwrap_or(false), room, split);
        } else {
            self.unmet.push(at);
        }
    }

    fn kind_for(&self, piece: super::model::Piece, opening: Opening) -> Option<usize> {
        let order = match opening {
            Opening::CheapestForItsArea => &self.openings[0],
            Opening::Cheapest => &self.openings[1],
            Opening::Largest => &self.openings[2],
        };
        let holds = |&&kind: &&usize| self.left[kind] > 0 && piece.fits(&self.model.kinds[kind]);
        order.iter().find(holds).copied()
    }

    fn open(&mut self, kind: usize) -> Free {
        self.left[kind] -= 1;
        let root = self.nodes.len();
        self.nodes.push(Raw::Rest);
        self.sheets.push(Sheet {
            kind,
            root,
            bought_as: kind,
            n_pieces: 0,
            filled: 0,
            reach: (0, 0),
        });
        let size = self.model.kinds[kind];
        Free {
            w: size.w,
            h: size.h,
            x: 0,
            y: 0,
            sheet: self.sheets.len() - 1,
            node: root,
        }
    }

    /// Puts a piece into the corner of a free rectangle.
    fn cut(&mut self, at: u32, turned: bool, room: Free, split: Split) {
        let piece = self.model.pieces[at as usize];
        let (w, h) = piece.lying(turned);
        let sheet = &mut self.sheets[room.sheet];
        sheet.filled += piece.area();
        sheet.n_pieces += 1;
        let closed = sheet.n_pieces >= MOST_ON_A_SHEET;
        sheet.reach.0 = sheet.reach.0.max(room.x + w);
        sheet.reach.1 = sheet.reach.1.max(room.y + h);
        let (right, above) = (room.w - w, room.h - h);
        let across_first = match split {
            Split::WholeAlong => false,
            Split::WholeAcross => true,
            Split::OneBig => right * room.h >= above * room.w,
            Split::Even => right * room.h < above * room.w,
        };
        let mut node = room.node;
        let order = if across_first {
            [Way::Crosscut, Way::Rip]
        } else {
            [Way::Rip, Way::Crosscut]
        };
        let mut own = (room.w, room.h);
        for way in order {
            let (mark, rest) = match way {
                Way::Crosscut => (
                    w,
                    Free {
                        w: right,
                        h: own.1,
                        x: room.x + w,
                        ..room
                    },
                ),
                Way::Rip => (
                    h,
                    Free {
                        w: own.0,
                        h: above,
                        y: room.y + h,
                        ..room
                    },
                ),
            };
            if rest.w == 0 || rest.h == 0 {
                continue;
            }
            let first = self.nodes.len();
            self.nodes.extend([Raw::Rest, Raw::Rest]);
            self.nodes[node] = Raw::Cut(way, mark, first, first + 1);
            if !closed && rest.w >= self.least.0 && rest.h >= self.least.1 {
                self.free.push(Free {
                    node: first + 1,
                    ..rest
                });
            }
            node = first;
            match way {
                Way::Crosscut => own.0 = w,
                Way::Rip => own.1 = h,
            }
        }
        self.nodes[node] = Raw::Piece(at as usize, turned);
        if self.free.len() > MOST_OPEN {
            self.free.remove(0);
        }
    }

    /// The cheapest kind that holds what is on a sheet, of equal price the biggest; its own is one of them.
    fn cheapest(&self, sheet: &Sheet, left: &[u64]) -> usize {
        let own = sheet.kind;
        if self.model.kinds[own].is_free() {
            return own;
        }
        let holds = |&kind: &usize| {
            let size = &self.model.kinds[kind];
            let (w, h) = sheet.reach;
            !size.is_free() && size.w >= w && size.h >= h && (kind == own || left[kind] > 0)
        };
        let all = (0..self.model.kinds.len()).filter(holds);
        all.min_by_key(|&kind| {
            let size = &self.model.kinds[kind];
            (size.price, -size.area(), kind != own)
        })
        .unwrap_or(own)
    }

    fn score(&mut self) -> Score {
        let mut score = Score {
            unmet: 0,
            cost: 0,
            sheets: self.sheets.len(),
            emptiest: i64::MAX,
        };
        for &at in &self.unmet {
            score.unmet += i128::from(self.model.pieces[at as usize].area());
        }
        let several = self.model.kinds.len() > 1;
        for at in 0..self.sheets.len() {
            let sheet = self.sheets[at];
            let kind = if several {
                self.cheapest(&sheet, &self.left)
            } else {
                sheet.kind
            };
            if kind != sheet.kind {
                self.left[kind] -= 1;
                self.left[sheet.kind] += 1;
            }
            score.cost += self.model.kinds[kind].price;
            if !self.model.kinds[kind].is_free() {
                score.emptiest = score.emptiest.min(sheet.filled);
            }
            self.sheets[at].bought_as = kind;
        }
        score
    }

    /// The sheets of the last filling, each with its kind.
    pub(super) fn sheets(&self) -> Vec<(usize, Node)> {
        let of = |sheet: &Sheet| {
            let kind = sheet.bought_as;
            let (own, new) = (&self.model.kinds[sheet.kind], &self.model.kinds[kind]);
            let node = self.node(sheet.root);
            if kind == sheet.kind {
                return (kind, node);
            }
            let common = (own.w.min(new.w), own.h.min(new.h));
            let node = node.clipped(common.0, common.1);
            (kind, node.within(common, (new.w, new.h)).tidied())
        };
        self.sheets.iter().map(of).collect()
    }

    /// The sheets of the last filling as they were opened.
    pub(super) fn whole_sheets(&self) -> Vec<(usize, Node)> {
        let sheets = self.sheets.iter();
        sheets
            .map(|sheet| (sheet.kind, self.node(sheet.root)))
            .collect()
    }

    /// Cuts of the last filling, before any sheet became a cheaper one.
    pub(super) fn n_cuts(&self) -> u64 {
        let cuts = self
            .nodes
            .iter()
            .filter(|node| matches!(node, Raw::Cut(..)));
        u64::try_from(cuts.count()).unwrap_or(u64::MAX)
    }

    fn node(&self, at: usize) -> Node {
        match self.nodes[at] {
            Raw::Rest => Node::Rest,
            Raw::Piece(piece, turned) => Node::Piece(piece, turned),
            Raw::Cut(way, mark, first, second) => {
                Node::cut(way, mark, self.node(first), self.node(second))
            }
        }
    }
}

/// How well a piece suits a free rectangle: less is better.
fn rank(fit: Fit, right: i64, above: i64, area: i64) -> (i64, i64) {
    match fit {
        Fit::Area => (area, right.min(above)),
        Fit::Gap => (right.min(above), area),
        Fit::GreaterGap => (right.max(above), area),
        Fit::GapAcross => (above, right),
    }
}
