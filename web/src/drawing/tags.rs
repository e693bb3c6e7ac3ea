//! Texts beside a drawing, each with a leader to its place: rows as few as keep them apart, and no leader through a text.

use super::svg::WIDTH;

/// Between two texts of a row.
const GAP: u32 = 8;
/// Between a leader and its text.
const OFF: u32 = 4;
/// Nearest to the drawing's edge.
const EDGE: u32 = 2;

/// How a text stands to its leader.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Stand {
    /// About it.
    Middle,
    /// Before it: its end is next to the leader; behind it where there is no room.
    Beside,
}

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
pub(super) fn places(all: &[(u32, u32)], stand: Stand) -> Vec<Tag> {
    let mut placed: Vec<Tag> = Vec::new();
    for &(leader, width) in all {
        let ways = ways(leader, width, stand);
        let most = u32::try_from(placed.len()).unwrap_or(u32::MAX);
        let free = (0..=most)
            .flat_map(|row| ways.iter().map(move |&(from, to)| (row, from, to)))
            .map(|(row, from, to)| Tag {
                leader,
                row,
                from,
                to,
            })
            .find(|tag| placed.iter().all(|other| are_apart(tag, other)));
        let last = placed.iter().map(|tag| tag.row + 1).max().unwrap_or(0);
        placed.push(free.unwrap_or(Tag {
            leader,
            row: last,
            from: ways[0].0,
            to: ways[0].1,
        }));
    }
    placed
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

fn ways(leader: u32, width: u32, stand: Stand) -> Vec<(u32, u32)> {
    let most = WIDTH - EDGE;
    let span = |from: u32| (from, from + width);
    let within = |from: u32| span(from.clamp(EDGE, most.saturating_sub(width).max(EDGE)));
    match stand {
        Stand::Middle => vec![within(leader.saturating_sub(width.div_euclid(2)))],
        Stand::Beside => {
            let before = leader
                .checked_sub(OFF + width)
                .filter(|from| *from >= EDGE)
                .map(span);
            let behind = Some(span(leader + OFF)).filter(|(_, to)| *to <= most);
            let ways: Vec<(u32, u32)> = before.into_iter().chain(behind).collect();
            if ways.is_empty() {
                vec![within(0)]
            } else {
                ways
            }
        }
    }
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

    #[test]
    fn marks_that_stand_close_go_into_rows_and_no_leader_runs_through_a_text() {
        // Sixteen marks 17 apart, as of blocks of 10 in from a 14 ft stick.
        let all: Vec<(u32, u32)> = (1..=16).map(|n| (16 + 17 * n, 70)).collect();
        let placed = places(&all, Stand::Beside);
        assert_eq!(placed.len(), 16);
        for (at, tag) in placed.iter().enumerate() {
            assert!(tag.to <= WIDTH && tag.to - tag.from == 70, "{tag:?}");
            for other in &placed[..at] {
                assert!(are_apart(tag, other), "{tag:?} and {other:?}");
            }
        }
        assert!(placed.iter().all(|tag| tag.row < 8), "{placed:?}");
    }

    #[test]
    fn a_text_without_room_before_its_mark_stands_behind_it() {
        assert_eq!(places(&[(20, 60)], Stand::Beside)[0].from, 24);
        assert_eq!(places(&[(300, 60)], Stand::Beside)[0].from, 236);
        assert_eq!(places(&[(10, 60)], Stand::Middle)[0].from, 2);
        assert_eq!(places(&[(316, 60)], Stand::Middle)[0].to, 318);
    }
}
