//! From rows with labels to the search for least cost, and back.
//!
//! What it does not do: search (`least_cost.rs` does). A sheet without a price weighs more than all priced ones together, by
//! its area.

use std::collections::{BTreeMap, VecDeque};

use super::fill::{self, Need, Piece, Plan, Room, Sheet, Source};
use super::least_cost::model::{self, Model};
use super::least_cost::tree::Node;
use super::least_cost::{Solved, solve};
use scantling_units::{Length, Money};

/// Steps of a search inside a takeoff: a few hundredths of a second at most.
const MOST_WORK: u64 = 3_000_000;

/// The cheapest plan found and what no plan can be cheaper than, but one that buys more area without a price.
pub(super) fn cheapest(
    needs: &[Need],
    on_hand: &[Room],
    kinds: &[fill::Kind],
    kerf: Length,
) -> (Plan, Money) {
    let weights = weights(needs, kinds);
    let model = model(needs, on_hand, kinds, &weights);
    let solved = solve(&model, model::saw(kerf), MOST_WORK, &|| false);
    let mut laid = Laid::new(&model, on_hand, (kinds, &weights), &solved);
    laid.move_onto_hand(&model);
    laid.take_apart(&model, kinds);
    laid.meet_more(&model, (kinds, &weights));
    // What has no price weighs more than any cost, so what is proven below it says nothing of cost.
    let bought = laid
        .bought
        .iter()
        .filter(|(at, _, _)| kinds[*at].price.is_none());
    let without_price: i128 = bought.map(|(at, _, _)| weights[*at]).sum();
    let least = i64::try_from((solved.least - without_price).max(0)).unwrap_or(i64::MAX);
    (laid.plan(&model, needs, on_hand), Money::from_cents(least))
}

/// What is kept least, of each kind: cents; without a price more than all priced ones together, by area.
fn weights(needs: &[Need], kinds: &[fill::Kind]) -> Vec<i128> {
    let cents = |kind: &fill::Kind| kind.price.map(|price| i128::from(price.as_cents()));
    let dearest = kinds.iter().filter_map(cents).max().unwrap_or(0);
    // No plan has more sheets than patches.
    let above_all = i128::try_from(needs.len()).unwrap_or(i128::MAX) * dearest + 1;
    kinds
        .iter()
        .map(|kind| {
            cents(kind).unwrap_or_else(|| above_all * super::area(kind.room.w, kind.room.h))
        })
        .collect()
}

fn model(needs: &[Need], on_hand: &[Room], kinds: &[fill::Kind], weights: &[i128]) -> Model {
    let sides = |room: Room| (room.w.as_64ths(), room.h.as_64ths());
    let here = on_hand.iter().map(|&room| (room, 0, Some(1)));
    let sold = kinds.iter().zip(weights).map(|(kind, &weight)| {
        let most = kind.limit.map(|limit| u64::try_from(limit).unwrap_or(0));
        (kind.room, weight, most)
    });
    let kinds = here.chain(sold).map(|(room, price, most)| {
        let (w, h) = sides(room);
        model::Kind { w, h, price, most }
    });
    let pieces = needs.iter().map(|need| {
        let (w, h) = sides(need.room);
        let (turn, count) = (need.turn, 1);
        model::Piece { w, h, turn, count }
    });
    Model::new(kinds.collect(), &pieces.collect::<Vec<model::Piece>>())
}

/// Puts a piece on the smallest rest of these sheets that holds it.
fn put_on(mut sheets: Vec<(&model::Kind, &mut Node)>, model: &Model, at: usize) -> bool {
    let piece = &model.pieces[at];
    let mut best = None;
    for (sheet, (kind, node)) in sheets.iter().enumerate() {
        for (place, (leaf, [_, _, w, h])) in node.leaves(kind).into_iter().enumerate() {
            let way = piece.ways_into(w, h).next().filter(|_| leaf.is_none());
            let found = way.map(|turned| (w * h, sheet, place, turned, (w, h)));
            best = best.into_iter().chain(found).min();
        }
    }
    let Some((_, sheet, mut place, turned, whole)) = best else {
        return false;
    };
    let Some(leaf) = sheets[sheet].1.leaf_mut(&mut place) else {
        return false;
    };
    *leaf = Node::Piece(at, turned).within(piece.lying(turned), whole);
    true
}

/// Sheets with their cuts, on the way to a plan.
struct Laid {
    /// By place among the rooms on hand.
    on_hand: Vec<(model::Kind, Node)>,
    /// Place among the kinds for sale.
    bought: Vec<(usize, model::Kind, Node)>,
    /// By piece.
    unmet: Vec<u64>,
}

impl Laid {
    fn new(
        model: &Model,
        on_hand: &[Room],
        (kinds, weights): (&[fill::Kind], &[i128]),
        solved: &Solved,
    ) -> Self {
        let size = |room: Room| model::Kind {
            w: room.w.as_64ths(),
            h: room.h.as_64ths(),
            price: 0,
            most: Some(1),
        };
        let mut laid = Self {
            on_hand: on_hand
                .iter()
                .map(|&room| (size(room), Node::Rest))
                .collect(),
            bought: Vec::new(),
            unmet: solved.unmet.clone(),
        };
        let mut free: BTreeMap<(i64, i64), VecDeque<usize>> = BTreeMap::new();
        for (at, (size, _)) in laid.on_hand.iter().enumerate() {
            free.entry((size.w, size.h)).or_default().push_back(at);
        }
        for ((kind, node), times) in &solved.sheets {
            let kind = model.kinds[*kind];
            for _ in 0..*times {
                let node = node.clone().tidied();
                let here = free.get_mut(&(kind.w, kind.h)).filter(|_| kind.price == 0);
                if let Some(at) = here.and_then(VecDeque::pop_front) {
                    laid.on_hand[at].1 = node;
                } else {
                    let mut sold = kinds.iter().zip(weights);
                    let at = sold.position(|(sold, &weight)| {
                        let sides = (sold.room.w.as_64ths(), sold.room.h.as_64ths());
                        (kind.w, kind.h, kind.price) == (sides.0, sides.1, weight)
                    });
                    laid.bought.extend(at.map(|at| (at, kind, node)));
                }
            }
        }
        laid
    }

    /// Moves onto rests on hand what fits there, from nowhere or from sheets to buy: what is here comes first.
    ///
    /// Rests only get smaller by it, so one look at each piece is enough.
    fn move_onto_hand(&mut self, model: &Model) {
        for at in 0..self.unmet.len() {
            while self.unmet[at] > 0 && self.put_on_hand(model, at) {
                self.unmet[at] -= 1;
            }
        }
        if self.on_hand.is_empty() {
            return;
        }
        for sheet in 0..self.bought.len() {
            let (_, kind, node) = &self.bought[sheet];
            let leaves = node.leaves(kind);
            for (place, (leaf, _)) in leaves.into_iter().enumerate() {
                let Some((piece, _)) = leaf else {
                    continue;
                };
                if self.put_on_hand(model, piece)
                    && let Some(leaf) = self.bought[sheet].2.leaf_mut(&mut place.clone())
                {
                    *leaf = Node::Rest;
                }
            }
        }
        for (_, _, node) in &mut self.bought {
            *node = std::mem::replace(node, Node::Rest).tidied();
        }
        self.bought.retain(|(_, _, node)| *node != Node::Rest);
    }

    /// Puts a piece on the smallest rest on hand that holds it.
    fn put_on_hand(&mut self, model: &Model, at: usize) -> bool {
        let sheets = self.on_hand.iter_mut();
        put_on(
            sheets.map(|(kind, node)| (&*kind, node)).collect(),
            model,
            at,
        )
    }

    /// Takes apart sheets without a price that, now that patches of theirs lie on hand, are bought for nothing but patches that
    /// priced ones hold.
    fn take_apart(&mut self, model: &Model, kinds: &[fill::Kind]) {
        let endless = kinds.iter();
        let endless = endless.filter(|kind| kind.price.is_some() && kind.limit.is_none());
        let sides = endless.map(|kind| (kind.room.w.as_64ths(), kind.room.h.as_64ths()));
        let sides: Vec<(i64, i64)> = sides.collect();
        let is_held = |piece: &model::Piece| {
            let mut sides = sides.iter();
            sides.any(|&(w, h)| piece.ways_into(w, h).next().is_some())
        };
        let unmet = &mut self.unmet;
        self.bought.retain(|(at, kind, node)| {
            let leaves = node.leaves(kind).into_iter();
            let pieces: Vec<usize> = leaves.filter_map(|(leaf, _)| Some(leaf?.0)).collect();
            let goes = kinds[*at].price.is_none()
                && pieces.iter().all(|&piece| is_held(&model.pieces[piece]));
            if goes {
                for piece in pieces {
                    unmet[piece] += 1;
                }
            }
            !goes
        });
    }

    /// Puts what is unmet on rests of sheets to buy, or on sheets that are still for sale, cheapest first.
    fn meet_more(&mut self, model: &Model, (kinds, weights): (&[fill::Kind], &[i128])) {
        for at in 0..self.unmet.len() {
            while self.unmet[at] > 0 {
                let bought = self.bought.iter_mut();
                let bought = bought.map(|(_, kind, node)| (&*kind, node)).collect();
                if !put_on(bought, model, at) {
                    let Some(sheet) = self.one_more(&model.pieces[at], kinds, weights) else {
                        break;
                    };
                    self.bought.push(sheet);
                    continue;
                }
                self.unmet[at] -= 1;
            }
        }
    }

    /// The cheapest sheet still for sale that holds a piece.
    fn one_more(
        &self,
        piece: &model::Piece,
        kinds: &[fill::Kind],
        weights: &[i128],
    ) -> Option<(usize, model::Kind, Node)> {
        let taken = |at: usize| {
            self.bought
                .iter()
                .filter(|(kind, _, _)| *kind == at)
                .count()
        };
        let is_left = |at: usize| {
            let limit = kinds[at].limit;
            limit.is_none_or(|limit| i64::try_from(taken(at)).is_ok_and(|n| n < limit))
        };
        let size = |at: usize| (kinds[at].room.w.as_64ths(), kinds[at].room.h.as_64ths());
        let at = (0..kinds.len())
            .filter(|&at| piece.ways_into(size(at).0, size(at).1).next().is_some() && is_left(at))
            .min_by_key(|&at| (weights[at], at))?;
        let (w, h) = size(at);
        let kind = model::Kind {
            w,
            h,
            price: weights[at],
            most: None,
        };
        Some((at, kind, Node::Rest))
    }

    /// With the needs in their places: of equal ones the first lies on the first sheet.
    fn plan(mut self, model: &Model, needs: &[Need], on_hand: &[Room]) -> Plan {
        let places = model.places();
        let mut waiting: Vec<VecDeque<usize>> = vec![VecDeque::new(); model.pieces.len()];
        let mut unmet = Vec::new();
        for (at, need) in needs.iter().enumerate() {
            let piece = model::Piece {
                w: need.room.w.as_64ths(),
                h: need.room.h.as_64ths(),
                turn: need.turn,
                count: 1,
            };
            match model.normal(&piece).and_then(|key| places.get(&key)) {
                Some(&kind) => waiting[kind].push_back(at),
                None => unmet.push(at),
            }
        }
        self.bought.sort_by(|a, b| (a.0, &a.2).cmp(&(b.0, &b.2)));
        let here = self.on_hand.into_iter().take(on_hand.len());
        let here = here
            .enumerate()
            .map(|(at, (kind, node))| (Source::OnHand(at), kind, node));
        let bought = self.bought.into_iter();
        let bought = bought.map(|(at, kind, node)| (Source::Kind(at), kind, node));
        let mut sheets = Vec::new();
        for (source, kind, node) in here
            .chain(bought)
            .filter(|(_, _, node)| *node != Node::Rest)
        {
            let mut sheet = Sheet {
                source,
                placed: Vec::new(),
                free: Vec::new(),
            };
            for (leaf, [x, y, w, h]) in node.leaves(&kind) {
                let corner = (Length::from_64ths(x), Length::from_64ths(y));
                let room = Room {
                    w: Length::from_64ths(w),
                    h: Length::from_64ths(h),
                };
                match leaf {
                    None => sheet.free.push((corner, room)),
                    Some((piece, _)) => {
                        let need = waiting[piece].pop_front();
                        sheet.placed.extend(need.map(|need| Piece {
                            need,
                            corner,
                            turned: needs[need].room != room,
                        }));
                    }
                }
            }
            sheets.push(sheet);
        }
        unmet.extend(waiting.into_iter().flatten());
        unmet.sort_unstable();
        Plan { sheets, unmet }
    }
}
