//! Pieces of one class into sticks: those on hand first, the rest from what the yard sells.
//!
//! Least cost is searched for, and mostly proven (see [`Packing::lower_bound`]), by [`exact`]; cutting longest first
//! ([`longest_first`]) is what its plan is held against.
//!
//! What it does not do: spare an on-hand stick for later. The order of goals (cost, sticks, longest leftover) is Scantling's
//! own.

pub mod exact;
mod least;
mod shelf;
#[cfg(test)]
mod tests;
mod verify;

use std::collections::BTreeMap;

use least::{Stick, instance_of, least_cost};
use scantling_units::{Length, Money};
use shelf::{Kind, Shelf};
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

/// A length that the yard sells.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct ForSale {
    /// Length as sold, trim included.
    pub length: Length,
    /// Price of one stick; a price below zero counts as none.
    pub price: Option<Money>,
    /// How many there are; none: as many as wanted.
    pub limit: Option<i64>,
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
    /// No plan that meets these needs costs less, but one that buys more length without a price.
    pub lower_bound: Money,
}

impl<L, S> Packing<L, S> {
    /// Whether no plan costs less than this one; nothing is claimed where a length without a price is bought.
    pub fn is_proven(&self) -> bool {
        !self.unpriced && self.cost == self.lower_bound
    }
}

/// Packs pieces of one class into sticks on hand, then into sticks to buy.
///
/// `n` pieces take their lengths and `n - 1` kerfs, and the trim once on a whole stick. The plan is the exact search's
/// ([`exact`]): as much met as can be, then least length bought without a price, then least cost, then fewest sticks, least
/// begun on hand, and one long rest. So a length without a price is bought only for what no priced one is left for, and what
/// is left of it serves other pieces. No piece is bought for or unmet that a leftover on hand could still hold. Of two
/// lengths at one price the longer is taken. The order of the rows changes nothing.
///
/// Source: the methods named in [`exact`]; the order of goals is takeoff's rule.
pub fn pack_sticks<L: Ord + Clone, S: Ord + Clone>(
    pieces: &[Piece<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    settings: Settings,
) -> Packing<L, S> {
    let job = Job::new(pieces, on_hand, for_sale, settings);
    let reach = job
        .rooms
        .iter()
        .copied()
        .fold(job.shelf.longest(), Length::max);
    let too_long = job.sizes.partition_point(|&size| size > reach);
    let kinds = &job.shelf.kinds;
    let found = least_cost(&job.sizes[too_long..], &job.rooms, kinds);
    let weight = found.weight(kinds);

    let mut labels = Labels::of(&job);
    let cuts: Vec<Cut<S, L>> = job
        .sticks
        .iter()
        .zip(found.held)
        .filter(|(_, sizes)| !sizes.is_empty())
        .map(|(stick, sizes)| {
            let trim = job.trim_of(stick);
            let (leftover, dust) = rest_of(stick.usable - trim, &sizes, job.saw.kerf);
            Cut {
                id: stick.id.clone(),
                length: stick.usable,
                trim,
                pieces: labels.hand_out(&sizes),
                leftover,
                dust,
            }
        })
        .collect();

    let plan = found.to_buy.into_iter();
    let mut plan: Vec<(Kind, Stick)> = plan.map(|stick| (kinds[stick.kind], stick)).collect();
    plan.sort_by(|(a, in_a), (b, in_b)| {
        (b.length, b.price, &in_b.sizes).cmp(&(a.length, a.price, &in_a.sizes))
    });
    let to_buy: Vec<Bought<L>> = plan
        .into_iter()
        .map(|(kind, stick)| {
            let trim = job.saw.trim;
            let (leftover, dust) = rest_of(kind.length - trim, &stick.sizes, job.saw.kerf);
            Bought {
                length: kind.length,
                price: kind.price,
                trim,
                pieces: labels.hand_out(&stick.sizes),
                leftover,
                dust,
            }
        })
        .collect();
    let left_over: Vec<Length> = job.sizes[..too_long]
        .iter()
        .chain(&found.unmet)
        .copied()
        .collect();
    let unmet = labels.hand_out(&left_over).into_iter();
    let unmet = unmet.chain(job.no_length.iter().map(|piece| (*piece).clone()));

    let longest_room = job.rooms.iter().copied().max().unwrap_or(Length::ZERO);
    let usable = |room: Length| (room - job.saw.kerf).max(Length::ZERO);
    let cost: Money = to_buy.iter().filter_map(|stick| stick.price).sum();
    // What has no price weighs more than any cost, so what is proven below it says nothing of cost.
    let without_price = weight - cost.as_cents();
    let packing = Packing {
        on_hand: cuts,
        unmet: unmet.map(|piece| (piece.label, piece.length)).collect(),
        longest_on_hand: usable(longest_room),
        longest_for_sale: usable(job.shelf.longest()),
        cost,
        unpriced: to_buy.iter().any(|stick| stick.price.is_none()),
        lower_bound: Money::from_cents((found.bound - without_price).max(0)),
        to_buy,
    };
    debug_assert_eq!(
        verify_sticks(pieces, on_hand, for_sale, settings, &packing),
        Ok(())
    );
    packing
}

/// The named baseline: what cutting longest first costs, and how many sticks it buys. Nothing where it leaves a piece unmet
/// or buys a length without a price.
///
/// Source: first-fit decreasing is a textbook method.
pub fn longest_first<L: Ord + Clone, S: Ord + Clone>(
    pieces: &[Piece<L>],
    on_hand: &[OnHand<S>],
    for_sale: &[ForSale],
    settings: Settings,
) -> Option<(Money, i64)> {
    let job = Job::new(pieces, on_hand, for_sale, settings);
    if !job.no_length.is_empty() {
        return None;
    }
    let instance = instance_of(&job.sizes, &job.rooms, &job.shelf.kinds);
    let rows = exact::longest_first_plan(&instance)?;
    let (mut cost, mut sticks) = (Money::ZERO, 0);
    // On hand nothing is trimmed any more in an instance.
    for row in rows.iter().filter(|row| row.trim > 0) {
        let is_it =
            |kind: &&Kind| (kind.room.as_64ths() + 1, kind.weight) == (row.length, row.price);
        let price = job.shelf.kinds.iter().find(is_it)?.price?;
        cost = cost + price * row.times;
        sticks += row.times;
    }
    Some((cost, sticks))
}

/// What is asked for, sorted, with a kerf on each piece and each stick: the rest is packing without kerf, which is exact, since
/// `n` pieces need `n - 1`.
struct Job<'a, L, S> {
    saw: Settings,
    /// Pieces that have a length, longest first, then by label.
    pieces: Vec<&'a Piece<L>>,
    /// Their sizes.
    sizes: Vec<Length>,
    /// Pieces without a length.
    no_length: Vec<&'a Piece<L>>,
    /// On hand, by id.
    sticks: Vec<&'a OnHand<S>>,
    /// What they hold.
    rooms: Vec<Length>,
    shelf: Shelf,
}

impl<'a, L: Ord, S: Ord> Job<'a, L, S> {
    fn new(
        pieces: &'a [Piece<L>],
        on_hand: &'a [OnHand<S>],
        for_sale: &[ForSale],
        settings: Settings,
    ) -> Self {
        let saw = Settings {
            kerf: settings.kerf.max(Length::ZERO),
            trim: settings.trim.max(Length::ZERO),
        };
        let mut pieces: Vec<&Piece<L>> = pieces.iter().collect();
        pieces.sort_by(|a, b| (b.length, &a.label).cmp(&(a.length, &b.label)));
        let no_length =
            pieces.split_off(pieces.partition_point(|piece| piece.length > Length::ZERO));
        let mut sticks: Vec<&OnHand<S>> = on_hand.iter().collect();
        sticks.sort();
        let mut job = Self {
            saw,
            sizes: pieces.iter().map(|piece| piece.length + saw.kerf).collect(),
            shelf: Shelf::new(for_sale, saw, pieces.len()),
            pieces,
            no_length,
            sticks,
            rooms: Vec::new(),
        };
        let room = |stick: &&OnHand<S>| stick.usable - job.trim_of(stick) + saw.kerf;
        job.rooms = job.sticks.iter().map(room).collect();
        job
    }

    fn trim_of(&self, stick: &OnHand<S>) -> Length {
        if stick.whole {
            self.saw.trim
        } else {
            Length::ZERO
        }
    }
}

/// The labels of each length that are not handed out yet.
struct Labels<L> {
    kerf: Length,
    waiting: BTreeMap<Length, Vec<L>>,
}

impl<L: Ord + Clone> Labels<L> {
    fn of<S>(job: &Job<'_, L, S>) -> Self {
        let mut waiting: BTreeMap<Length, Vec<L>> = BTreeMap::new();
        for piece in job.pieces.iter().rev() {
            let labels = waiting.entry(piece.length).or_default();
            labels.push(piece.label.clone());
        }
        Self {
            kerf: job.saw.kerf,
            waiting,
        }
    }

    /// Pieces of these sizes, in cutting order; of equal ones the lowest label first.
    fn hand_out(&mut self, sizes: &[Length]) -> Vec<Piece<L>> {
        let lengths = sizes.iter().map(|&size| size - self.kerf);
        let mut cut: Vec<Piece<L>> = lengths
            .map(|length| Piece {
                label: self
                    .waiting
                    .get_mut(&length)
                    .and_then(Vec::pop)
                    .expect("each size was made from one piece and is placed once"),
                length,
            })
            .collect();
        cut.sort_by(|a, b| (b.length, &a.label).cmp(&(a.length, &b.label)));
        cut
    }
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
