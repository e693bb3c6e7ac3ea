//! Pieces of one class into sticks: those on hand first, the rest from what the yard sells.
//!
//! Least cost is searched for, and mostly proven (see [`Packing::lower_bound`]), by [`exact`]; the simple packing, longest
//! first, is what its plan is held against, and what serves lengths without a price.
//!
//! What it does not do: limit how many sticks the yard has, or spare an on-hand stick for later. First-fit decreasing and
//! best-fit decreasing are textbook methods; the order of goals (cost, sticks, longest leftover) is Scantling's own.

mod bound;
pub mod exact;
mod fill;
mod least;
#[cfg(test)]
mod tests;
mod verify;

use std::collections::{BTreeMap, BTreeSet};

use bound::lower_bound;
use fill::{Kind, Stick};
use scantling_units::{Length, Money};
pub use verify::verify_sticks;

/// One piece to be cut.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Piece<L> {
    /// What the piece is for; several pieces may bear the same label.
    pub label: L,
    /// Cut length, above zero.
    pub length: Length,
}

/// A stick, or what is left of one, that costs nothing more.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OnHand<S> {
    /// Which stick.
    pub id: S,
    /// Free length. The kerf of the cut that separates it from earlier pieces is already off.
    pub usable: Length,
    /// An uncut stick, so the end trim still comes off.
    pub whole: bool,
}

/// A length that the yard sells, as many as wanted; of several rows of one length the cheapest counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ForSale {
    /// Length as sold, trim included.
    pub length: Length,
    /// Price of one stick; a price below zero counts as none.
    pub price: Option<Money>,
}

/// How the saw and the stick ends eat length; values below zero count as zero.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Settings {
    /// Lost at every cut.
    pub kerf: Length,
    /// Lost once on each whole stick, both ends together.
    pub trim: Length,
}

/// An on-hand stick with the pieces cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cut<S, L> {
    /// Which stick.
    pub id: S,
    /// Its usable length before these cuts, trim included.
    pub length: Length,
    /// Trim taken off: zero for a stick that was cut before.
    pub trim: Length,
    /// In cutting order: longest first, then by label.
    pub pieces: Vec<Piece<L>>,
    /// What can still be used afterwards, the kerf of its cut already off.
    pub leftover: Length,
    /// A rest smaller than the kerf: the last cut eats it.
    pub dust: Length,
}

/// One stick to buy with the pieces cut from it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Bought<L> {
    /// Length as sold, trim included.
    pub length: Length,
    /// Price of this stick; none if the length has no price.
    pub price: Option<Money>,
    /// Trim taken off.
    pub trim: Length,
    /// In cutting order: longest first, then by label.
    pub pieces: Vec<Piece<L>>,
    /// What can still be used afterwards, the kerf of its cut already off.
    pub leftover: Length,
    /// A rest smaller than the kerf: the last cut eats it.
    pub dust: Length,
}

/// Where every piece goes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Packing<L, S> {
    /// The on-hand sticks that are cut, by id; the others are not listed.
    pub on_hand: Vec<Cut<S, L>>,
    /// One row a stick, longest first; like sticks stand together.
    pub to_buy: Vec<Bought<L>>,
    /// Pieces that no stick holds, longest first, then by label.
    pub unmet: Vec<(L, Length)>,
    /// Longest piece that an untouched on-hand stick could give, after trim; zero if there is none.
    pub longest_on_hand: Length,
    /// Longest piece that a stick for sale could give, after trim; zero if there is none.
    pub longest_for_sale: Length,
    /// Price of the sticks to buy, those without a price left out.
    pub cost: Money,
    /// Whether a stick to buy has no price, so that `cost` is not the whole cost.
    pub unpriced: bool,
    /// No plan that meets these needs costs less.
    pub lower_bound: Money,
    /// What the simple packing, longest first, costs, those without a price left out.
    pub longest_first: Money,
}

impl<L, S> Packing<L, S> {
    /// Whether no plan costs less than this one.
    pub fn is_proven(&self) -> bool {
        self.cost == self.lower_bound
    }
}

/// Packs pieces of one class into sticks on hand, then into sticks to buy.
///
/// `n` pieces take their lengths and `n - 1` kerfs, and the trim once on a whole stick. The plan is the exact search's
/// (`sticks/exact`): most pieces met, least cost, then fewest sticks, least begun on hand, and one long rest. No piece is
/// bought for or unmet that a leftover on hand could still hold. Where a length without a price is needed, or there are more
/// sizes than the search takes, it is the simple packing's: on hand first, longest piece first, onto the stick with least left
/// that holds it. Lengths without a price are bought only for pieces that fit no priced one, least total length first; what is
/// left of them serves other pieces. Of two lengths at one price the longer is taken. The order of the rows changes nothing.
///
/// Source: common practice, no published source.
pub fn pack_sticks<L: Ord + Clone, S: Ord + Clone>(
    pieces: &[Piece<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    settings: Settings,
) -> Packing<L, S> {
    let saw = Settings {
        kerf: settings.kerf.max(Length::ZERO),
        trim: settings.trim.max(Length::ZERO),
    };
    let (priced, unpriced) = kinds_for_sale(for_sale, saw);
    let longest = |kinds: &[Kind]| kinds.last().map_or(Length::ZERO, |kind| kind.room);

    let mut sorted: Vec<&Piece<L>> = pieces.iter().collect();
    sorted.sort_by(|a, b| (b.length, &a.label).cmp(&(a.length, &b.label)));
    let (sound, no_length) =
        sorted.split_at(sorted.partition_point(|piece| piece.length > Length::ZERO));
    let mut labels: BTreeMap<Length, Vec<L>> = BTreeMap::new();
    for piece in sound.iter().rev() {
        labels
            .entry(piece.length)
            .or_default()
            .push(piece.label.clone());
    }
    let sizes: Vec<Length> = sound.iter().map(|piece| piece.length + saw.kerf).collect();

    // With a kerf added to each piece and each stick the rest is packing without kerf: exact, since n pieces need n - 1.
    let mut sticks: Vec<&OnHand<S>> = on_hand.iter().collect();
    sticks.sort();
    let trim_of = |stick: &OnHand<S>| if stick.whole { saw.trim } else { Length::ZERO };
    let rooms: Vec<Length> = sticks
        .iter()
        .map(|stick| stick.usable - trim_of(stick) + saw.kerf)
        .collect();
    let (held, left) = best_fit(&sizes, &rooms);

    let (buyable, no_stick): (Vec<Length>, Vec<Length>) = left
        .into_iter()
        .partition(|&size| size <= longest(&priced).max(longest(&unpriced)));
    let (for_unpriced, rest): (Vec<Length>, Vec<Length>) = buyable
        .into_iter()
        .partition(|&size| size > longest(&priced));
    let mut without_price = fill::cheapest(&for_unpriced, &unpriced);
    let spare: Vec<Length> = without_price
        .iter()
        .map(|stick| unpriced[stick.kind].room - stick.used())
        .collect();
    let (extra, for_priced) = best_fit(&rest, &spare);
    for (stick, more) in without_price.iter_mut().zip(extra) {
        stick.sizes.extend(more);
    }
    let with_price = fill::cheapest(&for_priced, &priced);
    let longest_first = cost_of(&with_price, &priced);
    let mut bound = lower_bound(&sizes, &rooms, &priced, longest(&unpriced));
    // The exact search knows no lengths without a price; where one is needed, the simple packing stays.
    let mut filled = Filled {
        held,
        with_price,
        no_stick,
    };
    if without_price.is_empty() {
        let reach = longest(&priced).max(longest(&unpriced));
        bound = bound.max(filled.search(&sizes, &rooms, &priced, reach));
    }
    let Filled {
        held,
        with_price,
        no_stick,
    } = filled;

    let mut hand_out = |sizes: &[Length]| -> Vec<Piece<L>> {
        let lengths = sizes.iter().map(|&size| size - saw.kerf);
        let mut cut: Vec<Piece<L>> = lengths
            .map(|length| Piece {
                label: labels
                    .get_mut(&length)
                    .and_then(Vec::pop)
                    .expect("each size was made from one piece and is placed once"),
                length,
            })
            .collect();
        cut.sort_by(|a, b| (b.length, &a.label).cmp(&(a.length, &b.label)));
        cut
    };
    let cuts: Vec<Cut<S, L>> = sticks
        .iter()
        .zip(held)
        .filter(|(_, sizes)| !sizes.is_empty())
        .map(|(stick, sizes)| {
            let (trim, pieces) = (trim_of(stick), hand_out(&sizes));
            let (leftover, dust) = rest_of(stick.usable - trim, &sizes, saw.kerf);
            Cut {
                id: stick.id.clone(),
                length: stick.usable,
                trim,
                pieces,
                leftover,
                dust,
            }
        })
        .collect();

    let mut plan: Vec<(Kind, Stick)> = without_price
        .into_iter()
        .map(|stick| (unpriced[stick.kind], stick))
        .chain(
            with_price
                .into_iter()
                .map(|stick| (priced[stick.kind], stick)),
        )
        .collect();
    plan.sort_by(|(a, in_a), (b, in_b)| {
        (b.length, b.price, &in_b.sizes).cmp(&(a.length, a.price, &in_a.sizes))
    });
    let to_buy: Vec<Bought<L>> = plan
        .into_iter()
        .map(|(kind, stick)| {
            let (leftover, dust) = rest_of(kind.length - saw.trim, &stick.sizes, saw.kerf);
            let pieces = hand_out(&stick.sizes);
            Bought {
                length: kind.length,
                price: kind.price,
                trim: saw.trim,
                pieces,
                leftover,
                dust,
            }
        })
        .collect();
    let mut unmet: Vec<(L, Length)> = hand_out(&no_stick)
        .into_iter()
        .map(|piece| (piece.label, piece.length))
        .collect();
    unmet.extend(
        no_length
            .iter()
            .map(|piece| (piece.label.clone(), piece.length)),
    );

    let longest_room = rooms.iter().copied().max().unwrap_or(Length::ZERO);
    let usable = |room: Length| (room - saw.kerf).max(Length::ZERO);
    let packing = Packing {
        on_hand: cuts,
        unmet,
        longest_on_hand: usable(longest_room),
        longest_for_sale: usable(longest(&priced).max(longest(&unpriced))),
        cost: to_buy.iter().filter_map(|stick| stick.price).sum(),
        unpriced: to_buy.iter().any(|stick| stick.price.is_none()),
        lower_bound: bound,
        longest_first,
        to_buy,
    };
    debug_assert_eq!(
        verify_sticks(pieces, on_hand, for_sale, settings, &packing),
        Ok(())
    );
    packing
}

/// What is cut from sticks on hand and from priced ones, and what no stick holds.
struct Filled {
    held: Vec<Vec<Length>>,
    with_price: Vec<Stick>,
    /// Longest first.
    no_stick: Vec<Length>,
}

impl Filled {
    /// Takes the exact search's plan where that meets more, or is no dearer: of equal cost it has fewer sticks, less begun and
    /// one long rest. Gives what no plan costs less than. Sizes above `reach` and every room are left out.
    fn search(
        &mut self,
        sizes: &[Length],
        rooms: &[Length],
        priced: &[Kind],
        reach: Length,
    ) -> Money {
        let cost = cost_of(&self.with_price, priced);
        let reach = rooms.iter().copied().fold(reach, Length::max);
        let too_long = sizes.partition_point(|&size| size > reach);
        let is_more = self.no_stick.len() > too_long;
        if let Some(least) = least::least_cost(&sizes[too_long..], rooms, priced) {
            if is_more || cost_of(&least.to_buy, priced) <= cost {
                self.held = least.held;
                self.with_price = least.to_buy;
                self.no_stick = sizes[..too_long].to_vec();
            }
            return least.bound;
        }
        let met = without(sizes, &self.no_stick);
        let least = is_more.then(|| least::least_cost(&met, rooms, priced));
        let Some(least) = least.flatten() else {
            return Money::ZERO;
        };
        let leaves = least.longest_rest(rooms, priced);
        let still_fits = self.no_stick.iter().any(|&size| size <= leaves);
        if cost_of(&least.to_buy, priced) < cost && !still_fits {
            self.held = least.held;
            self.with_price = least.to_buy;
        }
        least.bound
    }
}

/// `all` less `these`, both longest first.
fn without(all: &[Length], these: &[Length]) -> Vec<Length> {
    let mut out = these.iter().peekable();
    all.iter()
        .copied()
        .filter(|size| out.next_if(|&out| out == size).is_none())
        .collect()
}

/// Price of sticks to buy.
fn cost_of(sticks: &[Stick], kinds: &[Kind]) -> Money {
    sticks
        .iter()
        .map(|stick| Money::from_cents(kinds[stick.kind].weight))
        .sum()
}

/// What can be bought, shortest first: with a price, and without one. A length that a no shorter one beats or equals
/// in price is left out.
fn kinds_for_sale(for_sale: &[ForSale], saw: Settings) -> (Vec<Kind>, Vec<Kind>) {
    let mut known: BTreeMap<Length, Option<Money>> = BTreeMap::new();
    for row in for_sale.iter().filter(|row| row.length > saw.trim) {
        let price = row.price.filter(|&price| price >= Money::ZERO);
        let least = known.entry(row.length).or_default();
        *least = (*least).into_iter().chain(price).min();
    }
    let kind = |length: Length, price: Option<Money>| Kind {
        length,
        price,
        room: length - saw.trim + saw.kerf,
        weight: price.map_or(length.as_64ths(), Money::as_cents),
    };
    let mut priced: Vec<Kind> = Vec::new();
    let mut unpriced: Vec<Kind> = Vec::new();
    for (length, price) in known {
        let next = kind(length, price);
        let shelf = if price.is_some() {
            &mut priced
        } else {
            &mut unpriced
        };
        while shelf
            .pop_if(|shorter| shorter.weight >= next.weight)
            .is_some()
        {}
        shelf.push(next);
    }
    (priced, unpriced)
}

/// Puts each size, longest first as given, into the room with least left that holds it; gives each room's sizes, and
/// the sizes that no room holds. Of equal rooms one already begun goes first, then the first.
fn best_fit(sizes: &[Length], rooms: &[Length]) -> (Vec<Vec<Length>>, Vec<Length>) {
    let mut held: Vec<Vec<Length>> = vec![Vec::new(); rooms.len()];
    let mut left = Vec::new();
    let mut free: BTreeSet<(Length, bool, usize)> = rooms
        .iter()
        .enumerate()
        .map(|(at, &room)| (room, true, at))
        .collect();
    for &size in sizes {
        let Some(&(room, untouched, at)) = free.range((size, false, 0)..).next() else {
            left.push(size);
            continue;
        };
        free.remove(&(room, untouched, at));
        free.insert((room - size, false, at));
        held[at].push(size);
    }
    (held, left)
}

/// Leftover and dust of a stick with this much length for its pieces.
fn rest_of(length: Length, sizes: &[Length], kerf: Length) -> (Length, Length) {
    // Each size carries the kerf behind its piece; behind the last piece it's needed only if something is left.
    let rest = length - sizes.iter().copied().sum();
    if rest >= Length::ZERO {
        (rest, Length::ZERO)
    } else {
        (Length::ZERO, rest + kerf)
    }
}
