//! Rectangles of one kind of panel into sheets by straight cuts from edge to edge.
//!
//! What it does not do: lay out joints and supports (they arrive here as patches). The order of cuts is worked out from
//! the places by [`sawing`]. Least cost is proven where [`Packing::is_proven`] says so. The order of goals (cost, sheets,
//! cuts, one big leftover) is Scantling's own.

mod bound;
mod cheapest;
mod fill;
pub mod least_cost;
mod order;
#[cfg(test)]
mod tests;
mod verify;

use std::cmp::Reverse;

use crate::sale::{Sold, together};
use bound::lower_bound;
use cheapest::cheapest;
use fill::{Kind, Room, Source};
pub use order::{Sawing, SheetCut, sawing};
use scantling_units::{Length, Money};
pub use verify::verify_panels;

/// One rectangle to be cut.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Patch<L> {
    /// What the patch is for; several may bear the same label.
    pub label: L,
    /// Side along the sheet's strength axis, above zero.
    pub along: Length,
    /// Side across the strength axis, above zero.
    pub across: Length,
    /// Whether the patch may lie the other way round.
    pub turn: bool,
}

/// A sheet, or a rectangle left of one, that costs nothing more.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OnHand<S> {
    /// Which sheet.
    pub id: S,
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
}

/// A sheet that the yard sells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ForSale {
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// Price of one sheet; a price below zero counts as none.
    pub price: Option<Money>,
    /// How many there are; none: as many as wanted.
    pub limit: Option<i64>,
}

/// A rectangle on a sheet, from the corner where both marks are zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Rectangle {
    /// Where it begins along the strength axis.
    pub x: Length,
    /// Where it begins across the strength axis.
    pub y: Length,
    /// How far it reaches along the strength axis.
    pub along: Length,
    /// How far it reaches across it.
    pub across: Length,
}

/// A patch in its place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Placed<L> {
    /// Where it lies; its sides have changed places if it is turned.
    pub at: Rectangle,
    /// The patch as it was asked for.
    pub patch: Patch<L>,
    /// Whether it lies the other way round.
    pub turned: bool,
}

/// An on-hand sheet with the patches cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut<S, L> {
    /// Which sheet.
    pub id: S,
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// By place: along, then across.
    pub placed: Vec<Placed<L>>,
    /// The biggest rectangle that these cuts leave.
    pub leftover: Option<Rectangle>,
}

/// One sheet to buy with the patches cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bought<L> {
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// Price of this sheet; none if the size has no price.
    pub price: Option<Money>,
    /// By place: along, then across.
    pub placed: Vec<Placed<L>>,
    /// The biggest rectangle that these cuts leave.
    pub leftover: Option<Rectangle>,
}

/// Where every patch goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Packing<L, S> {
    /// The on-hand sheets that are cut, by id; the others are not listed.
    pub on_hand: Vec<Cut<S, L>>,
    /// One row a sheet, longest first.
    pub to_buy: Vec<Bought<L>>,
    /// Patches that no sheet holds, by sides, biggest first, then by label.
    pub unmet: Vec<Patch<L>>,
    /// Price of the sheets to buy, those without a price left out.
    pub cost: Money,
    /// Whether a sheet to buy has no price, so that `cost` is not the whole cost.
    pub unpriced: bool,
    /// No plan that meets these needs costs less, but one that buys more area without a price.
    pub lower_bound: Money,
}

impl<L, S> Packing<L, S> {
    /// Whether no plan costs less than this one; nothing is claimed where a sheet without a price is bought.
    pub fn is_proven(&self) -> bool {
        !self.unpriced && self.cost == self.lower_bound
    }

    /// What is wanted least: patches unmet, area bought without a price, cost.
    fn rank(&self) -> (usize, i128, Money) {
        let unpriced = self.to_buy.iter().filter(|sheet| sheet.price.is_none());
        let area = unpriced.map(|sheet| area(sheet.along, sheet.across)).sum();
        (self.unmet.len(), area, self.cost)
    }
}

/// Packs patches of one kind of panel into sheets on hand, then into sheets to buy.
///
/// All cuts go from edge to edge of what is being cut, a kerf lies between neighbours, and a patch is turned only where
/// it may be. Sheets without a price are bought only for patches that no priced one is left for, least total area first; what
/// is left of them serves other patches. What is on hand comes before what is bought. Of equal cost, fewer sheets, fewer
/// cuts, then the biggest leftover. A kerf below zero counts as zero. The order of the rows changes nothing.
///
/// Source: the methods named in [`least_cost`].
pub fn pack_panels<L: Ord + Clone, S: Ord + Clone>(
    patches: &[Patch<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    kerf: Length,
) -> Packing<L, S> {
    let packing = pack(patches, on_hand, for_sale, kerf, |needs, rooms, kinds| {
        cheapest(needs, rooms, kinds, kerf)
    });
    // Nobody cuts by a plan that a plain second look doesn't bear out.
    let looked = verify_panels(patches, on_hand, for_sale, kerf, &packing);
    debug_assert_eq!(looked, Ok(()));
    // Where not all is met, or not by priced sheets alone, a search this short may end above what plain packing finds.
    if looked.is_err() || packing.unpriced || !packing.unmet.is_empty() {
        let simple = simple_panels(patches, on_hand, for_sale, kerf);
        if looked.is_err() || simple.rank() < packing.rank() {
            return simple;
        }
    }
    packing
}

/// The named baseline: the same by the simple packing alone, to compare with. A few orders and ways of cutting, the best of
/// them kept.
///
/// Source: common practice, no published source.
pub fn simple_panels<L: Ord + Clone, S: Ord + Clone>(
    patches: &[Patch<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    kerf: Length,
) -> Packing<L, S> {
    pack(patches, on_hand, for_sale, kerf, simple)
}

fn simple(needs: &[fill::Need], rooms: &[Room], kinds: &[Kind]) -> (fill::Plan, Money) {
    (
        fill::best(needs, rooms, kinds),
        lower_bound(needs, rooms, kinds),
    )
}

/// Packs by one way or another: a plan for the needs, and what no plan is cheaper than.
fn pack<L: Ord + Clone, S: Ord + Clone>(
    patches: &[Patch<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    kerf: Length,
    plan_for: impl Fn(&[fill::Need], &[Room], &[Kind]) -> (fill::Plan, Money),
) -> Packing<L, S> {
    let saw = kerf.max(Length::ZERO);
    let room = |along: Length, across: Length| Room {
        w: along + saw,
        h: across + saw,
    };
    let mut sheets: Vec<&OnHand<S>> = on_hand.iter().collect();
    sheets.sort();
    let mut sorted: Vec<&Patch<L>> = patches.iter().collect();
    sorted.sort_by(|a, b| {
        let sides = |patch: &Patch<L>| (patch.along, patch.across, patch.turn);
        sides(b).cmp(&sides(a)).then_with(|| a.label.cmp(&b.label))
    });
    let (sound, no_area): (Vec<&Patch<L>>, Vec<&Patch<L>>) = sorted
        .into_iter()
        .partition(|patch| patch.along > Length::ZERO && patch.across > Length::ZERO);

    // With a kerf added to both sides of each patch and each sheet the rest is packing without kerf.
    let sold = |row: &ForSale| Sold {
        price: row.price,
        limit: row.limit,
    };
    let rows = for_sale
        .iter()
        .map(|row| ((row.along, row.across), sold(row)));
    let kinds: Vec<Kind> = together(rows)
        .into_iter()
        .map(|((along, across), Sold { price, limit })| Kind {
            room: room(along, across),
            price,
            limit,
        })
        .collect();
    let rooms: Vec<Room> = sheets
        .iter()
        .map(|sheet| room(sheet.along, sheet.across))
        .collect();
    let needs: Vec<fill::Need> = sound
        .iter()
        .map(|patch| fill::Need {
            room: room(patch.along, patch.across),
            turn: patch.turn,
        })
        .collect();
    let (plan, lower_bound) = plan_for(&needs, &rooms, &kinds);

    let real = |corner: (Length, Length), room: Room| Rectangle {
        x: corner.0,
        y: corner.1,
        along: room.w - saw,
        across: room.h - saw,
    };
    let mut cuts: Vec<(usize, Cut<S, L>)> = Vec::new();
    let mut to_buy: Vec<Bought<L>> = Vec::new();
    for sheet in &plan.sheets {
        let mut placed: Vec<Placed<L>> = sheet
            .placed
            .iter()
            .map(|piece| {
                let (patch, lying) = (
                    sound[piece.need].clone(),
                    needs[piece.need].lying(piece.turned),
                );
                Placed {
                    at: real(piece.corner, lying),
                    patch,
                    turned: piece.turned,
                }
            })
            .collect();
        placed.sort();
        let leftover = sheet
            .free
            .iter()
            .map(|&(corner, room)| real(corner, room))
            .filter(|rest| rest.along > Length::ZERO && rest.across > Length::ZERO)
            .max_by_key(|rest| (area(rest.along, rest.across), Reverse((rest.x, rest.y))));
        match sheet.source {
            Source::OnHand(at) => {
                let &OnHand {
                    ref id,
                    along,
                    across,
                } = sheets[at];
                cuts.push((
                    at,
                    Cut {
                        id: id.clone(),
                        along,
                        across,
                        placed,
                        leftover,
                    },
                ));
            }
            Source::Kind(at) => {
                let (along, across) = (kinds[at].room.w - saw, kinds[at].room.h - saw);
                to_buy.push(Bought {
                    along,
                    across,
                    price: kinds[at].price,
                    placed,
                    leftover,
                });
            }
        }
    }
    cuts.sort_by_key(|&(at, _)| at);
    to_buy.sort_by_key(|sheet| Reverse((sheet.along, sheet.across)));
    let cost: Money = to_buy.iter().filter_map(|sheet| sheet.price).sum();
    let missing = plan.unmet.iter().map(|&need| sound[need].clone());
    Packing {
        on_hand: cuts.into_iter().map(|(_, cut)| cut).collect(),
        unmet: missing.chain(no_area.into_iter().cloned()).collect(),
        unpriced: to_buy.iter().any(|sheet| sheet.price.is_none()),
        // One on everything says nothing of a plan that leaves some out.
        lower_bound: lower_bound.min(cost),
        cost,
        to_buy,
    }
}

/// Square 64ths of an inch.
fn area(along: Length, across: Length) -> i128 {
    i128::from(along.as_64ths()) * i128::from(across.as_64ths())
}
