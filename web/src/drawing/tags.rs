//! Texts beside a drawing, each with a leader to its place: rows as few as keep them apart, and no leader through a text.
//!
//! Texts that stand close make a stair: down to the right with each text before its leader, or down to the left with each
//! behind it, whichever comes out better.

use super::svg::WIDTH;

/// Between two texts of a row.
const GAP: u32 = 8;
/// Between a leader and its text.
const OFF: u32 = 4;
/// Nearest to the drawing's edge.
const EDGE: u32 = 2;

/// Where a text went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Tag {
    /// Its leader, from the left.
    pub(super) leader: u32,
    /// Its row, counted from the thing that is named.
    pub(super) row: u32,
    /// Where it begins.
    pub(super) from: u32,
    /// Where it ends.
    pub(super) to: u32,
}

/// Gives every text a place; `all` has each text's leader and width, from the left to the right.
pub(super) fn places(all: &[(u32, u32)]) -> Vec<Tag> {
    let sides = [Side::Before, Side::Behind];
    let tries = sides.iter().flat_map(|&side| {
        [Turn::WhereFree, Turn::Never].map(|turn| match side {
            Side::Before => stair(all.iter(), side, turn),
            Side::Behind => {
                let mut placed = stair(all.iter().rev(), side, turn);
                placed.reverse();
                placed
            }
        })
    });
    tries.min_by_key(|tags| merit(tags)).unwrap_or_default()
}

/// How many rows they take.
pub(super) fn rows(tags: &[Tag]) -> u32 {
    tags.iter().map(|tag| tag.row + 1).max().unwrap_or(0)
}

/// About how wide a text of the drawing's lettering is; rather more than less.
pub(super) fn width(text: &str) -> u32 {
    text.chars()
        .map(|c| match c {
            '\'' | '"' | ' ' | '.' | ',' | ';' | '…' => 5,
            _ => 8,
        })
        .sum()
}

/// Which side of its leader a text stands on where there is room.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Before,
    Behind,
}

/// Whether a text may turn to the other side of its leader.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Turn {
    /// Where that is free.
    WhereFree,
    /// Only where its own side has no room at all.
    Never,
}

fn stair<'a>(all: impl Iterator<Item = &'a (u32, u32)>, side: Side, turn: Turn) -> Vec<Tag> {
    let mut placed: Vec<Tag> = Vec::new();
    for &(leader, width) in all {
        let mut ways = ways(leader, width, side);
        if turn == Turn::Never {
            ways.truncate(1);
        }
        let free = (0..=rows(&placed))
            .flat_map(|row| ways.iter().map(move |&(from, to)| (row, from, to)))
            .map(|(row, from, to)| Tag {
                leader,
                row,
                from,
                to,
            })
            .find(|tag| placed.iter().all(|other| are_apart(tag, other)));
        let (from, to) = ways[0];
        placed.push(free.unwrap_or(Tag {
            leader,
            row: rows(&placed),
            from,
            to,
        }));
    }
    placed
}

/// Where a text may stand in its row, the better first.
fn ways(leader: u32, width: u32, side: Side) -> Vec<(u32, u32)> {
    let most = WIDTH - EDGE;
    let span = |from: u32| (from, from + width);
    let before = leader
        .checked_sub(OFF + width)
        .filter(|from| *from >= EDGE)
        .map(span);
    let behind = Some(span(leader + OFF)).filter(|(_, to)| *to <= most);
    let mut ways: Vec<(u32, u32)> = before.into_iter().chain(behind).collect();
    if side == Side::Behind {
        ways.reverse();
    }
    if ways.is_empty() {
        ways.push(span(EDGE));
    }
    ways
}

/// Less is better: leaders through texts, then rows.
fn merit(tags: &[Tag]) -> (usize, u32) {
    let pairs = tags
        .iter()
        .enumerate()
        .flat_map(|(at, tag)| tags[..at].iter().map(move |other| (tag, other)));
    let bad = pairs.filter(|(a, b)| !are_apart(a, b)).count();
    (bad, rows(tags))
}

/// Whether two texts don't touch, nor a leader the other's text on its way.
fn are_apart(a: &Tag, b: &Tag) -> bool {
    let crosses =
        |near: &Tag, far: &Tag| near.row < far.row && (near.from..=near.to).contains(&far.leader);
    let touch = a.row == b.row && a.from < b.to + GAP && b.from < a.to + GAP;
    !touch && !crosses(a, b) && !crosses(b, a)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn keep_apart(all: &[(u32, u32)]) -> Vec<Tag> {
        let placed = places(all);
        assert_eq!(placed.len(), all.len());
        for (at, tag) in placed.iter().enumerate() {
            assert_eq!((tag.leader, tag.to - tag.from), all[at]);
            assert!(tag.to <= WIDTH, "{tag:?}");
            for other in &placed[..at] {
                assert!(are_apart(tag, other), "{tag:?} and {other:?}");
            }
        }
        placed
    }

    #[test]
    fn marks_that_stand_close_make_a_stair_and_no_leader_runs_through_a_text() {
        // Seven marks near the zero end, as of blocks of 8 in: down to the left, each text behind its leader.
        let near: Vec<(u32, u32)> = (1..=7).map(|n| (16 + 12 * n, 70)).collect();
        let placed = keep_apart(&near);
        assert!(placed.iter().all(|tag| tag.from > tag.leader), "{placed:?}");
        // The same at the far end: down to the right.
        let far: Vec<(u32, u32)> = (1..=7).map(|n| (216 + 12 * n, 70)).collect();
        let placed = keep_apart(&far);
        assert!(placed.iter().all(|tag| tag.to < tag.leader), "{placed:?}");
    }

    #[test]
    fn marks_that_stand_apart_share_a_row() {
        let placed = keep_apart(&[(100, 70), (200, 70), (300, 70)]);
        assert_eq!(rows(&placed), 1);
    }

    #[test]
    fn a_text_without_room_before_its_mark_stands_behind_it() {
        assert_eq!(places(&[(20, 60)])[0].from, 24);
        assert_eq!(places(&[(300, 60)])[0].from, 236);
    }
}
