//! In which order a sheet is sawn: straight cuts from edge to edge, worked out from where its pieces lie.
//!
//! What it does not do: place the pieces. Of all orders it takes one with the fewest cuts, as far as it looks; of those
//! one that strikes a piece's own side, then one that begins across the strength axis, since shorter parts are easier to
//! turn. Source: common practice, no published source.

use std::collections::BTreeMap;

use super::Rectangle;
use super::least_cost::Way;
use scantling_units::Length;

/// Parts looked at before the first cut that does is taken: some milliseconds.
const MOST_LOOKS: usize = 20_000;

/// How a sheet comes apart.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Sawing {
    /// Its cuts, each on a part that the cuts before it have freed.
    pub cuts: Vec<SheetCut>,
    /// What is left over, in the order in which it comes off.
    pub rests: Vec<Rectangle>,
}

/// One straight cut.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SheetCut {
    /// Which way the saw runs.
    pub way: Way,
    /// The part that is cut, where it lay on the whole sheet.
    pub part: Rectangle,
    /// The mark, from the part's own edge next to the sheet's zero corner; the saw runs behind it.
    pub at: Length,
    /// The pieces before the mark, by their places among the sheet's pieces.
    pub before: Vec<usize>,
    /// The pieces behind the saw.
    pub behind: Vec<usize>,
}

/// The cuts that free these pieces of a sheet of these sides (along the strength axis, across it); none where no straight
/// cuts part them.
pub fn sawing(sheet: (Length, Length), pieces: &[Rectangle], kerf: Length) -> Option<Sawing> {
    let mut saw = Saw {
        pieces,
        kerf: kerf.max(Length::ZERO),
        known: BTreeMap::new(),
        looks: 0,
        done: Sawing::default(),
    };
    let whole = Rectangle {
        x: Length::ZERO,
        y: Length::ZERO,
        along: sheet.0,
        across: sheet.1,
    };
    let all: Vec<usize> = (0..pieces.len()).collect();
    saw.cut_up(whole, &all)?;
    Some(saw.done)
}

/// A way to cut a part in two, by the mark on the whole sheet. Of ways with as many cuts the first is taken: a piece's own
/// side is struck before sums of several.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Choice {
    is_sum: bool,
    way: Way,
    mark: Length,
}

/// Fewest cuts that a part takes, and the first of them; none where it takes none.
type Fewest = (usize, Option<Choice>);

struct Saw<'a> {
    pieces: &'a [Rectangle],
    kerf: Length,
    /// What is known of parts; nothing where straight cuts don't do.
    known: BTreeMap<Rectangle, Option<Fewest>>,
    looks: usize,
    done: Sawing,
}

impl Saw<'_> {
    fn cut_up(&mut self, part: Rectangle, inside: &[usize]) -> Option<()> {
        let Some(choice) = self.fewest(part, inside)?.1 else {
            if inside.is_empty() && part.along > Length::ZERO && part.across > Length::ZERO {
                self.done.rests.push(part);
            }
            return Some(());
        };
        let [(first, before), (second, behind)] = self.halves(part, inside, choice)?;
        self.done.cuts.push(SheetCut {
            way: choice.way,
            part,
            at: match choice.way {
                Way::Crosscut => choice.mark - part.x,
                Way::Rip => choice.mark - part.y,
            },
            before: before.clone(),
            behind: behind.clone(),
        });
        self.cut_up(first, &before)?;
        self.cut_up(second, &behind)
    }

    fn fewest(&mut self, part: Rectangle, inside: &[usize]) -> Option<Fewest> {
        match inside {
            [] => return Some((0, None)),
            [one] if self.pieces[*one] == part => return Some((0, None)),
            _ => {}
        }
        if let Some(known) = self.known.get(&part) {
            return *known;
        }
        let mut best: Option<Fewest> = None;
        for choice in self.choices(part, inside) {
            if best.is_some() && self.looks > MOST_LOOKS {
                break;
            }
            self.looks += 1;
            let Some([(first, before), (second, behind)]) = self.halves(part, inside, choice)
            else {
                continue;
            };
            let both = self
                .fewest(first, &before)
                .zip(self.fewest(second, &behind));
            if let Some((a, b)) = both {
                let found = (1 + a.0 + b.0, Some(choice));
                best = best.into_iter().chain([found]).min();
            }
        }
        self.known.insert(part, best);
        best
    }

    /// Marks at which a cut could run: where a piece ends, and a kerf before the first piece begins.
    fn choices(&self, part: Rectangle, inside: &[usize]) -> Vec<Choice> {
        let mut all = Vec::new();
        for way in [Way::Crosscut, Way::Rip] {
            let side = |of: &Rectangle| side(of, way);
            let (start, end) = side(&part);
            let mut marks: Vec<Length> = inside
                .iter()
                .map(|at| side(&self.pieces[*at]).1)
                .filter(|mark| *mark < end)
                .collect();
            let first = inside.iter().map(|at| side(&self.pieces[*at]).0).min();
            marks.extend(
                first
                    .filter(|first| *first > start)
                    .map(|first| (first - self.kerf).max(start)),
            );
            marks.sort_unstable();
            marks.dedup();
            let is_own = |mark: Length| {
                let mut sides = inside.iter().map(|at| side(&self.pieces[*at]));
                sides.any(|own| own == (start, mark))
            };
            all.extend(marks.into_iter().map(|mark| Choice {
                is_sum: !is_own(mark),
                way,
                mark,
            }));
        }
        all
    }

    /// The two parts of a cut with their pieces; none where the saw would run through a piece.
    fn halves(
        &self,
        part: Rectangle,
        inside: &[usize],
        Choice { way, mark, .. }: Choice,
    ) -> Option<[(Rectangle, Vec<usize>); 2]> {
        let behind_saw = mark + self.kerf;
        let (before, behind): (Vec<usize>, Vec<usize>) = inside
            .iter()
            .partition(|at| side(&self.pieces[**at], way).1 <= mark);
        let parts = behind
            .iter()
            .all(|at| side(&self.pieces[*at], way).0 >= behind_saw.min(side(&part, way).1));
        if !parts {
            return None;
        }
        let (mut first, mut second) = (part, part);
        match way {
            Way::Crosscut => {
                first.along = mark - part.x;
                second.x = behind_saw;
                second.along = (part.x + part.along - behind_saw).max(Length::ZERO);
            }
            Way::Rip => {
                first.across = mark - part.y;
                second.y = behind_saw;
                second.across = (part.y + part.across - behind_saw).max(Length::ZERO);
            }
        }
        Some([(first, before), (second, behind)])
    }
}

/// Where a rectangle begins and ends, the way in which a cut's mark is measured.
fn side(of: &Rectangle, way: Way) -> (Length, Length) {
    match way {
        Way::Crosscut => (of.x, of.x + of.along),
        Way::Rip => (of.y, of.y + of.across),
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::{ForSale, Patch, pack_panels};
    use super::*;

    fn inches(x: i64, y: i64, along: i64, across: i64) -> Rectangle {
        Rectangle {
            x: Length::inches(x),
            y: Length::inches(y),
            along: Length::inches(along),
            across: Length::inches(across),
        }
    }

    /// The cuts as way and mark in inches.
    fn marks(sawing: &Sawing) -> Vec<(Way, i64)> {
        sawing
            .cuts
            .iter()
            .map(|cut| (cut.way, cut.at.div_down(Length::inches(1))))
            .collect()
    }

    #[test]
    fn two_strips_come_off_at_their_own_width_each() {
        // A 96 × 48 sheet, two pieces 96 × 20 with an inch of kerf: rip at 20, then the other at 20, 6 left.
        let sheet = (Length::inches(96), Length::inches(48));
        let pieces = [inches(0, 0, 96, 20), inches(0, 21, 96, 20)];
        let sawing = sawing(sheet, &pieces, Length::inches(1)).unwrap();
        assert_eq!(marks(&sawing), [(Way::Rip, 20), (Way::Rip, 20)]);
        assert_eq!(sawing.cuts[0].before, [0]);
        assert_eq!(sawing.cuts[0].behind, [1]);
        assert_eq!(sawing.rests, [inches(0, 42, 96, 6)]);
    }

    #[test]
    fn equal_widths_are_ripped_once_and_then_crosscut() {
        // Two pieces 40 × 20 end to end: one rip at 20 and two crosscuts at 40 do; one each would be two rips more.
        let sheet = (Length::inches(96), Length::inches(48));
        let pieces = [inches(0, 0, 40, 20), inches(41, 0, 40, 20)];
        let sawing = sawing(sheet, &pieces, Length::inches(1)).unwrap();
        assert_eq!(
            marks(&sawing),
            [(Way::Rip, 20), (Way::Crosscut, 40), (Way::Crosscut, 40)]
        );
        assert_eq!(sawing.rests, [inches(82, 0, 14, 20), inches(0, 21, 96, 27)]);
    }

    #[test]
    fn a_piece_that_is_the_sheet_takes_no_cut_and_a_pinwheel_none_that_runs_through() {
        let sheet = (Length::inches(3), Length::inches(3));
        let whole = sawing(sheet, &[inches(0, 0, 3, 3)], Length::ZERO).unwrap();
        assert_eq!(whole, Sawing::default());
        // Four pieces around a middle one: every straight cut hits one.
        let pinwheel = [
            inches(0, 0, 2, 1),
            inches(2, 0, 1, 2),
            inches(1, 2, 2, 1),
            inches(0, 1, 1, 2),
        ];
        assert_eq!(sawing(sheet, &pinwheel, Length::ZERO), None);
    }

    #[test]
    fn a_strip_before_the_first_piece_is_cut_off_too() {
        let sheet = (Length::inches(10), Length::inches(4));
        let sawing = sawing(sheet, &[inches(3, 0, 7, 4)], Length::inches(1)).unwrap();
        assert_eq!(marks(&sawing), [(Way::Crosscut, 2)]);
        assert_eq!(sawing.rests, [inches(0, 0, 2, 4)]);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 64, failure_persistence: None, ..ProptestConfig::default() })]

        /// Sawn as told, every piece comes off alone and whole, and no saw runs through another.
        #[test]
        fn sawn_in_that_order_every_piece_of_a_packed_sheet_is_free(
            sides in prop::collection::vec((4_i64..=60, 4_i64..=40, any::<bool>()), 1..=12),
            kerf in 0_i64..=2,
        ) {
            let kerf = Length::inches(kerf);
            let patches: Vec<Patch<usize>> = sides.iter().enumerate().map(|(label, (along, across, turn))| Patch {
                label, along: Length::inches(*along), across: Length::inches(*across), turn: *turn,
            }).collect();
            let sold = ForSale { along: Length::inches(96), across: Length::inches(48), price: None, limit: None };
            let packing = pack_panels::<_, ()>(&patches, &[], &[sold], kerf);
            prop_assert!(packing.unmet.is_empty());
            for sheet in &packing.to_buy {
                let pieces: Vec<Rectangle> = sheet.placed.iter().map(|placed| placed.at).collect();
                let sawing = sawing((sheet.along, sheet.across), &pieces, kerf).unwrap();
                let whole = Rectangle { x: Length::ZERO, y: Length::ZERO, along: sheet.along, across: sheet.across };
                let mut parts = vec![whole];
                for cut in &sawing.cuts {
                    // Only a part that is there can be cut, and it is one no longer.
                    let at = parts.iter().position(|part| *part == cut.part);
                    prop_assert!(at.is_some(), "{cut:?} of {parts:?}");
                    let part = parts.remove(at.unwrap());
                    let (mut first, mut second) = (part, part);
                    if cut.way == Way::Crosscut {
                        first.along = cut.at;
                        second.x = part.x + cut.at + kerf;
                        second.along = part.along - cut.at - kerf;
                    } else {
                        first.across = cut.at;
                        second.y = part.y + cut.at + kerf;
                        second.across = part.across - cut.at - kerf;
                    }
                    let is_there = |part: &Rectangle| part.along > Length::ZERO && part.across > Length::ZERO;
                    parts.extend([first, second].into_iter().filter(is_there));
                }
                let mut wanted = pieces.clone();
                wanted.extend(&sawing.rests);
                wanted.sort();
                parts.sort();
                prop_assert_eq!(parts, wanted);
            }
        }
    }
}
