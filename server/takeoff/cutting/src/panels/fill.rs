//! Rectangles into free rectangles, without kerf (each side of each patch and sheet carries one).
//!
//! What it does not do: search. It places the patches one by one, in a few orders and with a few ways of cutting up
//! what is left, and keeps the best of the plans. Work is limited by counted steps, so the answer never depends on the
//! machine.

use std::cmp::Reverse;

use super::area;
use scantling_units::{Length, Money};

/// Free rectangles looked at before no further way is tried: some tens of milliseconds.
const MOST_LOOKS: usize = 3_000_000;

/// The sides of a rectangle, a kerf on each: along the strength axis, and across it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Room {
    pub(super) w: Length,
    pub(super) h: Length,
}

/// A sheet size for sale.
#[derive(Clone, Copy, Debug)]
pub(super) struct Kind {
    pub(super) room: Room,
    pub(super) price: Option<Money>,
    /// How many there are; none: as many as wanted.
    pub(super) limit: Option<i64>,
}

/// A patch to place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Need {
    pub(super) room: Room,
    pub(super) turn: bool,
}

impl Need {
    /// Its sides as it lies.
    pub(super) fn lying(self, turned: bool) -> Room {
        if turned {
            Room {
                w: self.room.h,
                h: self.room.w,
            }
        } else {
            self.room
        }
    }

    /// The ways, unturned first, in which it goes into a room.
    pub(super) fn ways_into(self, room: Room) -> impl Iterator<Item = bool> {
        let ways: &[bool] = if self.turn { &[false, true] } else { &[false] };
        ways.iter().copied().filter(move |&turned| {
            let lying = self.lying(turned);
            lying.w <= room.w && lying.h <= room.h
        })
    }
}

/// Which sheet is cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Source {
    /// Position among the rooms on hand.
    OnHand(usize),
    /// Position among the kinds for sale.
    Kind(usize),
}

/// A patch in its place.
#[derive(Clone, Copy, Debug)]
pub(super) struct Piece {
    pub(super) need: usize,
    pub(super) corner: (Length, Length),
    pub(super) turned: bool,
}

/// A sheet that is cut.
#[derive(Clone, Debug)]
pub(super) struct Sheet {
    pub(super) source: Source,
    pub(super) placed: Vec<Piece>,
    /// What the cuts leave: corner and sides.
    pub(super) free: Vec<((Length, Length), Room)>,
}

/// Where the needs go.
#[derive(Clone, Debug, Default)]
pub(super) struct Plan {
    pub(super) sheets: Vec<Sheet>,
    /// Positions of needs that no sheet holds, in order.
    pub(super) unmet: Vec<usize>,
}

/// Which patch is placed first.
#[derive(Clone, Copy)]
enum Order {
    Area,
    LongerSide,
    Along,
    Across,
}

/// Which free rectangle takes the patch.
#[derive(Clone, Copy)]
enum Fit {
    LeastArea,
    LeastGap,
}

/// How what is left of a free rectangle, right of and above the patch, is cut in two.
#[derive(Clone, Copy)]
enum Split {
    WholeAlong,
    WholeAcross,
    OneBig,
}

/// Which sheet is bought next among those that hold the patch.
#[derive(Clone, Copy)]
enum Opening {
    CheapestForItsArea,
    Cheapest,
    Largest,
}

/// Packs the needs: fewest unmet, least area without a price, least cost, fewest sheets, the biggest leftover.
pub(super) fn best(needs: &[Need], on_hand: &[Room], kinds: &[Kind]) -> Plan {
    let mut looks = 0;
    let mut best: Option<(_, Plan)> = None;
    for order in [Order::Area, Order::LongerSide, Order::Along, Order::Across] {
        let order = sorted(needs, kinds, order);
        for split in [Split::OneBig, Split::WholeAlong, Split::WholeAcross] {
            for fit in [Fit::LeastArea, Fit::LeastGap] {
                for opening in [
                    Opening::CheapestForItsArea,
                    Opening::Cheapest,
                    Opening::Largest,
                ] {
                    if looks > MOST_LOOKS
                        || (kinds.len() < 2 && !matches!(opening, Opening::Cheapest))
                    {
                        continue;
                    }
                    let mut filling = Filling::new(needs, on_hand, kinds);
                    for &need in &order {
                        filling.place(need, fit, split, opening);
                    }
                    looks += filling.looks;
                    let plan = filling.into_plan();
                    let merit = merit(&plan, kinds);
                    if best.as_ref().is_none_or(|(known, _)| merit < *known) {
                        best = Some((merit, plan));
                    }
                }
            }
        }
    }
    best.map(|(_, plan)| plan).unwrap_or_default()
}

/// Less is better.
fn merit(plan: &Plan, kinds: &[Kind]) -> (usize, i128, Money, usize, Reverse<i128>) {
    let bought = || {
        plan.sheets.iter().filter_map(|sheet| match sheet.source {
            Source::Kind(at) => Some(kinds[at]),
            Source::OnHand(_) => None,
        })
    };
    let free = plan.sheets.iter().flat_map(|sheet| &sheet.free);
    (
        plan.unmet.len(),
        bought()
            .filter(|kind| kind.price.is_none())
            .map(|kind| area(kind.room.w, kind.room.h))
            .sum(),
        bought().filter_map(|kind| kind.price).sum(),
        plan.sheets.len(),
        Reverse(
            free.map(|(_, room)| area(room.w, room.h))
                .max()
                .unwrap_or(0),
        ),
    )
}

/// Those that can't be bought first, then those that fit no priced sheet, then the rest: so the first ones get what is
/// on hand, and a sheet without a price is open before the rest is placed.
fn sorted(needs: &[Need], kinds: &[Kind], order: Order) -> Vec<usize> {
    let mut all: Vec<usize> = (0..needs.len()).collect();
    all.sort_by_key(|&at| {
        let Room { w, h } = needs[at].room;
        let size = match order {
            Order::Area => area(w, h),
            Order::LongerSide => w.max(h).as_64ths().into(),
            Order::Along => w.as_64ths().into(),
            Order::Across => h.as_64ths().into(),
        };
        let holding = kinds
            .iter()
            .filter(|kind| needs[at].ways_into(kind.room).next().is_some());
        let rank = holding
            .map(|kind| if kind.price.is_some() { 2 } else { 1 })
            .max();
        (rank, Reverse((size, area(w, h))), at)
    });
    all
}

/// A plan in the making.
struct Filling<'a> {
    needs: &'a [Need],
    kinds: &'a [Kind],
    /// How many of each kind are still there; none: as many as wanted.
    left: Vec<Option<i64>>,
    sheets: Vec<Sheet>,
    /// Free rectangles that may hold a patch: sheet, corner, sides; on hand, and on sheets to buy.
    open_on_hand: Vec<Free>,
    open_bought: Vec<Free>,
    unmet: Vec<usize>,
    /// No patch has a side shorter than this.
    shortest: Length,
    looks: usize,
}

type Free = (usize, (Length, Length), Room);

impl<'a> Filling<'a> {
    fn new(needs: &'a [Need], on_hand: &'a [Room], kinds: &'a [Kind]) -> Self {
        let zero = (Length::ZERO, Length::ZERO);
        Self {
            needs,
            kinds,
            left: kinds.iter().map(|kind| kind.limit).collect(),
            sheets: (0..on_hand.len())
                .map(|at| Sheet {
                    source: Source::OnHand(at),
                    placed: Vec::new(),
                    free: Vec::new(),
                })
                .collect(),
            open_on_hand: on_hand
                .iter()
                .enumerate()
                .map(|(at, &room)| (at, zero, room))
                .collect(),
            open_bought: Vec::new(),
            unmet: Vec::new(),
            shortest: needs
                .iter()
                .map(|need| need.room.w.min(need.room.h))
                .min()
                .unwrap_or_default(),
            looks: 0,
        }
    }

    /// Places one patch: on hand if it fits there, else on a sheet to buy, else on a new one.
    fn place(&mut self, need: usize, fit: Fit, split: Split, opening: Opening) {
        self.looks += self.open_on_hand.len() + self.open_bought.len();
        let patch = self.needs[need];
        if let Some((at, turned)) = closest(&self.open_on_hand, patch, fit) {
            let free = self.open_on_hand.swap_remove(at);
            let rests = self.cut(need, turned, free, split);
            self.open_on_hand.extend(rests);
        } else if let Some((at, turned)) = closest(&self.open_bought, patch, fit) {
            let free = self.open_bought.swap_remove(at);
            let rests = self.cut(need, turned, free, split);
            self.open_bought.extend(rests);
        } else if let Some(kind) = self.kind_for(patch, opening) {
            let free = (
                self.sheets.len(),
                (Length::ZERO, Length::ZERO),
                self.kinds[kind].room,
            );
            let source = Source::Kind(kind);
            self.left[kind] = self.left[kind].map(|n| n - 1);
            self.sheets.push(Sheet {
                source,
                placed: Vec::new(),
                free: Vec::new(),
            });
            let (_, turned) = closest(&[free], patch, fit).expect("this kind holds the patch");
            let rests = self.cut(need, turned, free, split);
            self.open_bought.extend(rests);
        } else {
            self.unmet.push(need);
        }
    }

    /// The kind to open for a patch: a priced one if any holds it.
    fn kind_for(&self, patch: Need, opening: Opening) -> Option<usize> {
        let weight = |kind: &Kind| kind.price.map(|price| i128::from(price.as_cents()));
        (0..self.kinds.len())
            .filter(|&at| self.left[at] != Some(0))
            .filter(|&at| patch.ways_into(self.kinds[at].room).next().is_some())
            .min_by(|&a, &b| {
                let (a, b) = (&self.kinds[a], &self.kinds[b]);
                let (size_a, size_b) = (area(a.room.w, a.room.h), area(b.room.w, b.room.h));
                match (weight(a), weight(b)) {
                    (None, None) => size_a.cmp(&size_b),
                    (None, Some(_)) => std::cmp::Ordering::Greater,
                    (Some(_), None) => std::cmp::Ordering::Less,
                    (Some(cost_a), Some(cost_b)) => match opening {
                        Opening::CheapestForItsArea => (cost_a * size_b)
                            .cmp(&(cost_b * size_a))
                            .then(size_b.cmp(&size_a)),
                        Opening::Cheapest => cost_a.cmp(&cost_b).then(size_b.cmp(&size_a)),
                        Opening::Largest => size_b.cmp(&size_a).then(cost_a.cmp(&cost_b)),
                    },
                }
            })
    }

    /// Puts a patch into the corner of a free rectangle; gives the rests that may hold another.
    fn cut(&mut self, need: usize, turned: bool, free: Free, split: Split) -> Vec<Free> {
        let (sheet, (x, y), room) = free;
        let lying = self.needs[need].lying(turned);
        self.sheets[sheet].placed.push(Piece {
            need,
            corner: (x, y),
            turned,
        });
        let (right, above) = (room.w - lying.w, room.h - lying.h);
        let whole_across = match split {
            Split::WholeAlong => false,
            Split::WholeAcross => true,
            Split::OneBig => area(right, room.h) >= area(room.w, above),
        };
        let (right_h, above_w) = if whole_across {
            (room.h, lying.w)
        } else {
            (lying.h, room.w)
        };
        let rests = [
            (
                (x + lying.w, y),
                Room {
                    w: right,
                    h: right_h,
                },
            ),
            (
                (x, y + lying.h),
                Room {
                    w: above_w,
                    h: above,
                },
            ),
        ];
        let mut open = Vec::new();
        for (corner, rest) in rests {
            if rest.w >= self.shortest && rest.h >= self.shortest {
                open.push((sheet, corner, rest));
            } else if rest.w > Length::ZERO && rest.h > Length::ZERO {
                self.sheets[sheet].free.push((corner, rest));
            }
        }
        open
    }

    /// Closes the plan: each sheet to buy becomes the cheapest that still holds its patches.
    fn into_plan(self) -> Plan {
        let Self {
            needs,
            kinds,
            mut left,
            mut sheets,
            mut unmet,
            ..
        } = self;
        for (sheet, corner, room) in self.open_on_hand.into_iter().chain(self.open_bought) {
            sheets[sheet].free.push((corner, room));
        }
        sheets.retain(|sheet| !sheet.placed.is_empty());
        for sheet in &mut sheets {
            let Source::Kind(own) = sheet.source else {
                continue;
            };
            let reach = |side: fn(&Piece, Room) -> Length| {
                let ends = sheet
                    .placed
                    .iter()
                    .map(|piece| side(piece, needs[piece.need].lying(piece.turned)));
                ends.max().unwrap_or_default()
            };
            let w = reach(|piece, lying| piece.corner.0 + lying.w);
            let h = reach(|piece, lying| piece.corner.1 + lying.h);
            let best = (0..kinds.len())
                .filter(|&at| kinds[at].room.w >= w && kinds[at].room.h >= h)
                .filter(|&at| at == own || left[at] != Some(0))
                .filter(|&at| kinds[at].price.is_some() == kinds[own].price.is_some())
                .min_by_key(|&at| {
                    let size = area(kinds[at].room.w, kinds[at].room.h);
                    (
                        kinds[at].price,
                        if kinds[at].price.is_some() {
                            -size
                        } else {
                            size
                        },
                        at != own,
                    )
                })
                .unwrap_or(own);
            if best != own {
                sheet.source = Source::Kind(best);
                left[own] = left[own].map(|n| n + 1);
                left[best] = left[best].map(|n| n - 1);
                sheet.free = rests_of(sheet, kinds[own].room, kinds[best].room);
            }
        }
        unmet.sort_unstable();
        Plan { sheets, unmet }
    }
}

/// The rests of a sheet after it has become another one: a smaller one clips them, a bigger one adds a strip that is cut
/// off first.
fn rests_of(sheet: &Sheet, own: Room, new: Room) -> Vec<((Length, Length), Room)> {
    let clipped = sheet.free.iter().map(|&((x, y), room)| {
        let (w, h) = (room.w.min(new.w - x), room.h.min(new.h - y));
        ((x, y), Room { w, h })
    });
    let right = (
        (own.w, Length::ZERO),
        Room {
            w: new.w - own.w,
            h: new.h,
        },
    );
    let above = (
        (Length::ZERO, own.h),
        Room {
            w: own.w.min(new.w),
            h: new.h - own.h,
        },
    );
    clipped
        .chain([right, above])
        .filter(|(_, room)| room.w > Length::ZERO && room.h > Length::ZERO)
        .collect()
}

/// The free rectangle that the patch fits best, and whether it lies turned there.
fn closest(open: &[Free], patch: Need, fit: Fit) -> Option<(usize, bool)> {
    let mut best = None;
    for (at, &(sheet, corner, room)) in open.iter().enumerate() {
        for turned in patch.ways_into(room) {
            let lying = patch.lying(turned);
            let gap = (room.w - lying.w).min(room.h - lying.h);
            let spare = area(room.w, room.h);
            let score = match fit {
                Fit::LeastArea => (spare, i128::from(gap.as_64ths())),
                Fit::LeastGap => (gap.as_64ths().into(), spare),
            };
            let found = (score, sheet, corner, turned, at);
            best = best.into_iter().chain([found]).min();
        }
    }
    best.map(|(.., turned, at)| (at, turned))
}
