//! A stick to scale from its zero end: its pieces, where to strike each line, what drops.
//!
//! Marks run from the zero end with every kerf before them counted. A piece that waits for a reading bears no figure, and
//! those behind it their own length alone. Above what a stick holds of text, the list beside it tells.

use maud::Markup;
use scantling_takeoff::units::Length;

use super::svg::{Drawing, Shape};
use super::tags::{places, rows, width};

const LEFT: u32 = 16;
/// How long the longest stick of a page is drawn.
const LONGEST: i64 = 288;
const HIGH: u32 = 24;
/// From one row of texts to the next.
const ROW: u32 = 18;
/// More rows of marks than this are left to the list.
const MOST_ROWS: u32 = 7;

/// A stick.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stick {
    /// Its anchor, unique on the page.
    pub id: String,
    /// What it is: `2×4 Hem-Fir No.2, 14 ft`.
    pub title: String,
    /// Its length.
    pub length: Length,
    /// The longest stick of the page: all are drawn to its scale.
    pub longest: Length,
    /// Cut off first at the zero end.
    pub trim: Length,
    /// Its pieces, from the zero end.
    pub pieces: Vec<Piece>,
    /// What is left behind them.
    pub rest: Rest,
}

/// A piece of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Piece {
    /// What is written on it: `3-PO2`.
    pub mark: String,
    /// Where it begins on the stick.
    pub starts_at: Length,
    /// Where it ends.
    pub ends_at: Length,
    /// The line at its end.
    pub line: Line,
}

/// What stands at the line behind a piece.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Line {
    /// Strike here: `9' 7 9/16"` from the zero end.
    Strike(String),
    /// The piece is measured first.
    Measure,
    /// A piece before it is measured first, so its own length: `1' 2 1/4"`.
    Then(String),
}

/// What is left of a stick.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rest {
    /// Nothing to speak of.
    Nothing,
    /// So much is kept.
    Keep(String),
    /// So much is scrap.
    Scrap(String),
    /// Known once the pieces are measured.
    Open,
}

/// Draws it.
pub fn stick(stick: &Stick) -> Markup {
    let scale = |at: Length| {
        let longest = stick.longest.max(stick.length).as_64ths().max(1);
        let at = at.clamp(Length::ZERO, stick.length).as_64ths();
        LEFT + u32::try_from((at * LONGEST).div_euclid(longest)).unwrap_or(0)
    };
    let ends: Vec<(u32, u32)> = stick
        .pieces
        .iter()
        .map(|piece| (scale(piece.starts_at), scale(piece.ends_at)))
        .collect();
    let (above, named) = names(stick, &ends);
    let top = 8 + above * ROW;
    let (below, marks) = lines(stick, &ends, top);
    let mut shapes = marks;
    let end = scale(stick.length);
    rest(
        stick,
        ends.last().map_or(LEFT, |(_, to)| *to),
        end,
        top,
        &mut shapes,
    );
    if stick.trim > Length::ZERO {
        let to = ends.first().map_or(LEFT, |(from, _)| *from);
        shapes.push(Shape::Hatch {
            x: LEFT,
            y: top,
            width: to - LEFT,
            height: HIGH,
        });
    }
    for (piece, (from, to)) in stick.pieces.iter().zip(&ends) {
        shapes.push(Shape::Box {
            class: if matches!(piece.line, Line::Strike(_)) {
                "new"
            } else {
                "tmp"
            },
            x: *from,
            y: top,
            width: to - from,
            height: HIGH,
        });
    }
    shapes.push(Shape::Zero {
        x: LEFT - 8,
        y: top + HIGH.div_euclid(2),
    });
    shapes.extend(named.into_iter().flat_map(|name| name.shapes(top)));
    Drawing {
        id: &stick.id,
        height: top + HIGH + 8 + below * ROW,
        title: &format!("{}, to scale", stick.title),
        says: &says(stick),
        shapes,
    }
    .draw()
}

/// A piece's name: inside it, or above with a leader.
enum Name {
    Inside(u32, String),
    Above {
        leader: u32,
        row: u32,
        class: &'static str,
        x: u32,
        text: String,
    },
}

impl Name {
    fn shapes(self, top: u32) -> Vec<Shape> {
        match self {
            Self::Inside(x, text) => vec![Shape::Label {
                class: "m tn",
                x,
                y: top + 17,
                text,
            }],
            Self::Above {
                leader,
                row,
                class,
                x,
                text,
            } => {
                let y = top - 7 - row * ROW;
                let line = Shape::Line {
                    class: "ng",
                    from: (leader, y.saturating_sub(11)),
                    to: (leader, top + 4),
                };
                vec![line, Shape::Label { class, x, y, text }]
            }
        }
    }
}

/// The names of the pieces, and how many rows they take above the stick.
fn names(stick: &Stick, ends: &[(u32, u32)]) -> (u32, Vec<Name>) {
    let mut named = Vec::new();
    let mut outside: Vec<(u32, &str)> = Vec::new();
    for (piece, (from, to)) in stick.pieces.iter().zip(ends) {
        let middle = (from + to).div_euclid(2);
        if width(&piece.mark) + 6 <= to - from {
            named.push(Name::Inside(middle, piece.mark.clone()));
        } else if !piece.mark.is_empty() {
            outside.push((middle, &piece.mark));
        }
    }
    let texts: Vec<(u32, u32)> = outside.iter().map(|(x, mark)| (*x, width(mark))).collect();
    let tags = places(&texts);
    if rows(&tags) > MOST_ROWS {
        return (0, named);
    }
    named.extend(tags.iter().zip(outside).map(|(tag, (_, mark))| {
        let is_before = tag.to <= tag.leader;
        Name::Above {
            leader: tag.leader,
            row: tag.row,
            class: if is_before { "h e tn" } else { "h tn" },
            x: if is_before { tag.to } else { tag.from },
            text: mark.to_owned(),
        }
    }));
    (rows(&tags), named)
}

/// The lines behind the pieces with their figures, and how many rows these take below the stick.
fn lines(stick: &Stick, ends: &[(u32, u32)], top: u32) -> (u32, Vec<Shape>) {
    let figures: Vec<String> = stick
        .pieces
        .iter()
        .map(|piece| match &piece.line {
            Line::Strike(mark) => mark.clone(),
            Line::Measure => "measure".to_owned(),
            Line::Then(length) => format!("then {length}"),
        })
        .collect();
    let texts: Vec<(u32, u32)> = ends
        .iter()
        .zip(&figures)
        .map(|((_, to), text)| (*to, width(text)))
        .collect();
    let tags = places(&texts);
    let fits = rows(&tags) <= MOST_ROWS;
    let mut shapes = Vec::new();
    for (tag, piece) in tags.iter().zip(&stick.pieces) {
        let class = if matches!(piece.line, Line::Strike(_)) {
            "tk"
        } else {
            "hid"
        };
        let row = if fits { tag.row + 1 } else { 0 };
        shapes.push(Shape::Line {
            class,
            from: (tag.leader, top.saturating_sub(5)),
            to: (tag.leader, top + HIGH + 6 + row * ROW),
        });
    }
    if !fits {
        return (0, shapes);
    }
    for (tag, text) in tags.iter().zip(figures) {
        shapes.push(Shape::Label {
            class: if tag.to <= tag.leader { "h e" } else { "h" },
            x: if tag.to <= tag.leader {
                tag.to
            } else {
                tag.from
            },
            y: top + HIGH + 3 + (tag.row + 1) * ROW,
            text,
        });
    }
    (rows(&tags), shapes)
}

/// What is left, between the last line and the stick's end.
fn rest(stick: &Stick, from: u32, end: u32, top: u32, shapes: &mut Vec<Shape>) {
    let wide = end.saturating_sub(from);
    if wide == 0 {
        return;
    }
    let outline = |class| Shape::Box {
        class,
        x: from,
        y: top,
        width: wide,
        height: HIGH,
    };
    shapes.push(match stick.rest {
        Rest::Nothing | Rest::Scrap(_) => Shape::Hatch {
            x: from,
            y: top,
            width: wide,
            height: HIGH,
        },
        Rest::Keep(_) => outline("old"),
        Rest::Open => outline("hid"),
    });
    if matches!(stick.rest, Rest::Keep(_)) && wide >= width("keep") {
        shapes.push(Shape::Label {
            class: "m",
            x: from + wide.div_euclid(2),
            y: top + 17,
            text: "keep".to_owned(),
        });
    }
}

fn says(stick: &Stick) -> String {
    let pieces = stick.pieces.iter().map(|piece| {
        let mark = if piece.mark.is_empty() {
            "a piece"
        } else {
            &piece.mark
        };
        match &piece.line {
            Line::Strike(at) => format!("{mark} to {at}"),
            Line::Measure => format!("{mark}, measured first"),
            Line::Then(length) => format!("then {mark}, {length}"),
        }
    });
    let rest = match &stick.rest {
        Rest::Nothing => " Nothing is left.".to_owned(),
        Rest::Keep(left) => format!(" Drop {left}, keep."),
        Rest::Scrap(left) => format!(" Drop {left}, scrap."),
        Rest::Open => String::new(),
    };
    let is_held = stick
        .pieces
        .iter()
        .any(|piece| !matches!(piece.line, Line::Strike(_)));
    let lead = if is_held {
        "Not all may be cut yet. "
    } else {
        ""
    };
    format!(
        "{lead}From the zero end: {}.{rest}",
        pieces.collect::<Vec<_>>().join("; ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn piece(mark: &str, starts: i64, ends: i64, line: Line) -> Piece {
        Piece {
            mark: mark.to_owned(),
            starts_at: Length::inches(starts),
            ends_at: Length::inches(ends),
            line,
        }
    }

    fn drawn(pieces: Vec<Piece>, rest: Rest) -> String {
        stick(&Stick {
            id: "c0".to_owned(),
            title: "2×4, 8 ft".to_owned(),
            length: Length::inches(96),
            longest: Length::inches(192),
            trim: Length::ZERO,
            pieces,
            rest,
        })
        .into_string()
    }

    #[test]
    fn pieces_lie_to_scale_from_the_zero_end_and_the_rest_is_hatched() {
        let strike = |text: &str| Line::Strike(text.to_owned());
        let pieces = vec![
            piece("3-ST1", 0, 48, strike("4' 0\"")),
            piece("3-BK1", 49, 61, strike("5' 1\"")),
        ];
        let text = drawn(pieces, Rest::Scrap("2' 11\"".to_owned()));
        // 16 ft are 288: 48 in are 72, 61 in 91.5, 96 in 144.
        assert!(
            text.contains("<rect class=\"new\" x=\"16\" y=\"26\" width=\"72\""),
            "{text}"
        );
        assert!(
            text.contains("<rect class=\"new\" x=\"89\" y=\"26\" width=\"18\""),
            "{text}"
        );
        assert!(
            text.contains("<rect class=\"out\" x=\"107\" y=\"26\" width=\"53\""),
            "{text}"
        );
        assert!(
            text.contains(">3-ST1</text>") && text.contains(">5' 1&quot;</text>"),
            "{text}"
        );
        assert!(
            text.contains("From the zero end: 3-ST1 to 4' 0&quot;; 3-BK1 to 5' 1&quot;. Drop 2' 11&quot;, scrap."),
            "{text}"
        );
    }

    #[test]
    fn a_piece_that_is_held_bears_no_figure_and_is_dashed() {
        let pieces = vec![
            piece("3-ST1", 0, 48, Line::Measure),
            piece("3-BK1", 48, 62, Line::Then("1' 2\"".to_owned())),
        ];
        let text = drawn(pieces, Rest::Open);
        assert!(
            !text.contains("class=\"new\"") && !text.contains("class=\"out\""),
            "{text}"
        );
        assert!(
            text.contains(">measure</text>") && text.contains(">then 1' 2&quot;</text>"),
            "{text}"
        );
        assert!(text.contains("Not all may be cut yet."), "{text}");
    }

    #[test]
    fn marks_without_number_are_left_to_the_list_where_they_would_hide_the_stick() {
        let pieces = (0..60)
            .map(|n| piece("", n, n + 1, Line::Strike(format!("{} 15/16\"", n + 1))))
            .collect();
        let text = drawn(pieces, Rest::Nothing);
        assert_eq!(text.matches("<rect class=\"new\"").count(), 60);
        assert!(!text.contains("15/16&quot;</text>"), "{text}");
    }
}
