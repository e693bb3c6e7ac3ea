//! A sheet to scale: its pieces, its straight cuts numbered in order, what is left of it.
//!
//! The strength axis lies across the page. A cut is drawn where its mark lies; the list beside it tells each mark as it is
//! measured, from the edge of the part that is cut.

use maud::Markup;
use scantling_takeoff::units::Length;

use super::svg::{Drawing, Shape};
use super::tags::width;

const LEFT: u32 = 16;
const TOP: u32 = 8;
/// How long the longest sheet of a page is drawn.
const LONGEST: i64 = 288;

/// A sheet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Panel {
    /// Its anchor, unique on the page.
    pub id: String,
    /// What it is.
    pub title: String,
    /// Side along the strength axis.
    pub along: Length,
    /// Side across it.
    pub across: Length,
    /// The longest side along the strength axis of all sheets of the page: all are drawn to its scale.
    pub longest: Length,
    /// Its pieces.
    pub pieces: Vec<Piece>,
    /// Its cuts in order; none where a piece is held.
    pub cuts: Vec<Cut>,
    /// The rest that is kept, as x, y, along, across.
    pub keep: Option<[Length; 4]>,
}

/// A piece of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What is written on it: `3-SF2`.
    pub mark: String,
    /// Its size in words.
    pub size: String,
    /// Where it lies: x, y, along, across.
    pub at: [Length; 4],
    /// Whether it may be cut.
    pub state: State,
}

/// Whether a piece may be cut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// It may.
    Free,
    /// It waits for a reading.
    Held,
}

/// A straight cut, where its mark lies on the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cut {
    /// Where it begins: x, y.
    pub from: [Length; 2],
    /// Where it ends.
    pub to: [Length; 2],
}

/// Draws it.
pub fn panel(panel: &Panel) -> Markup {
    let scale = |at: Length| {
        let longest = panel.longest.max(panel.along).as_64ths().max(1);
        u32::try_from((at.max(Length::ZERO).as_64ths() * LONGEST).div_euclid(longest)).unwrap_or(0)
    };
    let corners = |[x, y, along, across]: [Length; 4]| {
        let (left, top) = (LEFT + scale(x), TOP + scale(y));
        let (right, bottom) = (LEFT + scale(x + along), TOP + scale(y + across));
        (left, top, right - left, bottom - top)
    };
    let (x, y, wide, high) = corners([Length::ZERO, Length::ZERO, panel.along, panel.across]);
    let mut shapes = vec![Shape::Hatch {
        x,
        y,
        width: wide,
        height: high,
    }];
    if let Some(keep) = panel.keep {
        shapes.extend(boxed("old", corners(keep)));
        shapes.extend(centred("m", corners(keep), "keep"));
    }
    for piece in &panel.pieces {
        let class = match piece.state {
            State::Free => "new",
            State::Held => "bg tmp",
        };
        shapes.extend(boxed(class, corners(piece.at)));
    }
    for cut in &panel.cuts {
        let place = |[x, y]: [Length; 2]| (LEFT + scale(x), TOP + scale(y));
        shapes.push(Shape::Line {
            class: "tk",
            from: place(cut.from),
            to: place(cut.to),
        });
    }
    for piece in &panel.pieces {
        shapes.extend(name(piece, corners(piece.at)));
    }
    for (number, cut) in (1_u32..).zip(&panel.cuts) {
        shapes.push(number_of(number, cut, scale));
    }
    Drawing {
        id: &panel.id,
        height: TOP + high + 8,
        title: &format!("{}, to scale", panel.title),
        says: &says(panel),
        shapes,
    }
    .draw()
}

type Corners = (u32, u32, u32, u32);

fn boxed(class: &'static str, (x, y, width, height): Corners) -> Option<Shape> {
    (width > 0 && height > 0).then_some(Shape::Box {
        class,
        x,
        y,
        width,
        height,
    })
}

/// A text in the middle of a box, if it has room there.
fn centred(class: &'static str, (x, y, wide, high): Corners, text: &str) -> Option<Shape> {
    (width(text) + 4 <= wide && high >= 16).then(|| Shape::Label {
        class,
        x: x + wide.div_euclid(2),
        y: y + high.div_euclid(2) + 5,
        text: text.to_owned(),
    })
}

/// A piece's name: its mark with its size below, its mark, or the number of the mark.
fn name(piece: &Piece, corners: Corners) -> Vec<Shape> {
    let (x, y, wide, high) = corners;
    if high >= 40 && width(&piece.size) + 4 <= wide && piece.state == State::Free {
        let upper = centred("h m tn", (x, y, wide, high - 18), &piece.mark);
        let lower = centred("h m", (x, y + 18, wide, high - 18), &piece.size);
        return upper.into_iter().chain(lower).collect();
    }
    let short = piece.mark.rsplit(|c: char| !c.is_ascii_digit()).next();
    let texts = [Some(piece.mark.as_str()), short];
    let named = texts
        .into_iter()
        .flatten()
        .find_map(|text| centred("h m tn", corners, text));
    named.into_iter().collect()
}

/// The number of a cut, at the end of its line that is farthest from the zero corner: there is drop rather than names.
fn number_of(number: u32, cut: &Cut, scale: impl Fn(Length) -> u32) -> Shape {
    let (x, y) = (LEFT + scale(cut.to[0]), TOP + scale(cut.to[1]));
    let upright = cut.from[0] == cut.to[0];
    Shape::Label {
        class: "h m",
        x: if upright { x } else { x.saturating_sub(8) },
        y: if upright { y.saturating_sub(4) } else { y + 5 },
        text: number.to_string(),
    }
}

fn says(panel: &Panel) -> String {
    let pieces = panel.pieces.iter().map(|piece| {
        let mark = if piece.mark.is_empty() {
            "a piece"
        } else {
            &piece.mark
        };
        match piece.state {
            State::Free => format!("{mark}, {}", piece.size),
            State::Held => format!("{mark}, measured first"),
        }
    });
    let pieces = pieces.collect::<Vec<_>>().join("; ");
    let cuts = match panel.cuts.len() {
        0 => String::new(),
        1 => " One straight cut.".to_owned(),
        n => format!(" {n} straight cuts in the order of the list."),
    };
    let keep = if panel.keep.is_some() {
        " A part is kept."
    } else {
        ""
    };
    format!("On the sheet: {pieces}.{cuts}{keep}")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn inches(all: [i64; 4]) -> [Length; 4] {
        all.map(Length::inches)
    }

    fn sheet(state: State) -> Panel {
        Panel {
            id: "c1".to_owned(),
            title: "plywood, 48 × 96".to_owned(),
            along: Length::inches(96),
            across: Length::inches(48),
            longest: Length::inches(96),
            pieces: vec![
                Piece {
                    mark: "2-SF1".to_owned(),
                    size: "24 × 40".to_owned(),
                    at: inches([0, 0, 40, 24]),
                    state,
                },
                Piece {
                    mark: "2-SF12".to_owned(),
                    size: "8 × 8".to_owned(),
                    at: inches([41, 0, 8, 8]),
                    state,
                },
            ],
            cuts: vec![Cut {
                from: [Length::inches(0), Length::inches(24)],
                to: [Length::inches(96), Length::inches(24)],
            }],
            keep: Some(inches([0, 25, 96, 23])),
        }
    }

    #[test]
    fn pieces_lie_on_the_sheet_to_scale_and_cuts_are_numbered() {
        let text = panel(&sheet(State::Free)).into_string();
        // 96 in are 288: 3 to the inch.
        assert!(
            text.contains("<rect class=\"out\" x=\"16\" y=\"8\" width=\"288\" height=\"144\""),
            "{text}"
        );
        assert!(
            text.contains("<rect class=\"new\" x=\"16\" y=\"8\" width=\"120\" height=\"72\""),
            "{text}"
        );
        assert!(
            text.contains("<rect class=\"new\" x=\"139\" y=\"8\" width=\"24\" height=\"24\""),
            "{text}"
        );
        assert!(
            text.contains("<rect class=\"old\" x=\"16\" y=\"83\""),
            "{text}"
        );
        assert!(text.contains("d=\"M16 80L304 80\""), "{text}");
        assert!(
            text.contains(">24 × 40</text>") && text.contains(">12</text>"),
            "{text}"
        );
        assert!(
            text.contains("2-SF1, 24 × 40; 2-SF12, 8 × 8. One straight cut. A part is kept."),
            "{text}"
        );
    }

    #[test]
    fn a_piece_that_is_held_bears_no_size() {
        let text = panel(&sheet(State::Held)).into_string();
        assert!(!text.contains("24 × 40"), "{text}");
        assert!(text.contains("2-SF1, measured first"), "{text}");
    }
}
