//! The hold points of a change as a story pole: a notch each, from the first event down, with the initials of who released.
//!
//! Empty: not released. A wedge points to the next one. Crossed: it was released, and reopened. A stroke through the pole:
//! something of it was skipped.

use maud::Markup;

use super::svg::{Drawing, Shape};

const POLE_LEFT: u32 = 56;
const POLE_WIDTH: u32 = 20;
/// From one notch to the next.
const STEP: u32 = 36;
const TOP: u32 = 8;
const TEXT_LEFT: u32 = 92;

/// A notch.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notch {
    /// `First cut`.
    pub name: String,
    /// How it stands.
    pub is: NotchIs,
    /// The initials of who released; empty where nobody did.
    pub initials: String,
    /// Whether something of it was skipped.
    pub skipped: bool,
}

/// How a notch stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotchIs {
    /// Not released.
    Closed,
    /// Not released, and the next one.
    Next,
    /// Released.
    Released,
    /// Released once, and reopened.
    Reopened,
    /// Behind the change.
    Past,
}

impl NotchIs {
    const fn words(self) -> &'static str {
        match self {
            Self::Closed => "not released",
            Self::Next => "next, not released",
            Self::Released => "released",
            Self::Reopened => "reopened: stop",
            Self::Past => "behind us",
        }
    }
}

/// Draws the chain of a change; `at` tells it from the others of the page.
pub fn hold_chain(at: usize, of: &str, notches: &[Notch]) -> Markup {
    let steps = u32::try_from(notches.len()).unwrap_or(1).max(1);
    let bottom = TOP + steps * STEP;
    let mut shapes = vec![Shape::Box {
        class: "old",
        x: POLE_LEFT,
        y: TOP,
        width: POLE_WIDTH,
        height: bottom - TOP,
    }];
    let mut y = TOP + STEP.div_euclid(2);
    for notch in notches {
        one(&mut shapes, notch, y);
        y += STEP;
    }
    Drawing {
        id: &format!("chain-{at}"),
        height: bottom + 8,
        title: &format!("Hold points of {of}"),
        says: &says(notches),
        shapes,
    }
    .draw()
}

fn one(shapes: &mut Vec<Shape>, notch: &Notch, y: u32) {
    let line = |class, from, to| Shape::Line { class, from, to };
    let right = POLE_LEFT + POLE_WIDTH;
    shapes.push(line("tk", (POLE_LEFT, y), (right, y)));
    match notch.is {
        NotchIs::Next => {
            shapes.push(line("nl", (POLE_LEFT - 22, y - 8), (POLE_LEFT - 4, y)));
            shapes.push(line("nl", (POLE_LEFT - 22, y + 8), (POLE_LEFT - 4, y)));
            shapes.push(line("nl", (POLE_LEFT - 22, y - 8), (POLE_LEFT - 22, y + 8)));
        }
        NotchIs::Reopened => {
            shapes.push(line("wr", (POLE_LEFT, y - 10), (right, y + 10)));
            shapes.push(line("wr", (right, y - 10), (POLE_LEFT, y + 10)));
        }
        NotchIs::Closed | NotchIs::Released | NotchIs::Past => {}
    }
    if notch.skipped {
        shapes.push(line("tk", (POLE_LEFT - 6, y + 12), (right + 6, y + 4)));
    }
    if !notch.initials.is_empty() && notch.is != NotchIs::Next {
        shapes.push(Shape::Text {
            x: POLE_LEFT - 36,
            y: y + 5,
            text: notch.initials.clone(),
        });
    }
    shapes.push(Shape::Text {
        x: TEXT_LEFT,
        y: y + 5,
        text: format!("{}: {}", notch.name, notch.is.words()),
    });
}

fn says(notches: &[Notch]) -> String {
    let each = notches.iter().map(|notch| {
        let by = if notch.initials.is_empty() {
            String::new()
        } else {
            format!(" by {}", notch.initials)
        };
        let skipped = if notch.skipped {
            ", something skipped"
        } else {
            ""
        };
        format!("{}: {}{by}{skipped}.", notch.name, notch.is.words())
    });
    each.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn notch(name: &str, is: NotchIs, initials: &str) -> Notch {
        Notch {
            name: name.to_owned(),
            is,
            initials: initials.to_owned(),
            skipped: false,
        }
    }

    #[test]
    fn a_notch_each_with_who_released_and_a_wedge_at_the_next() {
        let drawn = hold_chain(
            0,
            "Wall <D>",
            &[
                notch("Start", NotchIs::Released, "MK"),
                notch("First cut", NotchIs::Next, ""),
            ],
        )
        .into_string();
        // 8 above, two steps of 36, 8 below.
        assert!(drawn.contains("viewBox=\"0 0 320 88\""), "{drawn}");
        assert_eq!(drawn.matches("class=\"nl\"").count(), 3, "one wedge");
        assert!(drawn.contains(">MK</text>"), "{drawn}");
        assert!(
            drawn.contains("Start: released by MK. First cut: next, not released."),
            "{drawn}"
        );
        assert!(drawn.contains("Hold points of Wall &lt;D&gt;"), "{drawn}");
    }

    #[test]
    fn what_reopened_is_crossed_and_what_was_skipped_has_a_stroke() {
        let mut skipped = notch("Start", NotchIs::Released, "MK");
        skipped.skipped = true;
        let drawn = hold_chain(
            1,
            "Shore",
            &[skipped, notch("Struck", NotchIs::Reopened, "MK")],
        );
        let drawn = drawn.into_string();
        assert_eq!(drawn.matches("class=\"wr\"").count(), 2);
        // Two notches and one stroke.
        assert_eq!(drawn.matches("class=\"tk\"").count(), 3);
        assert!(drawn.contains("something skipped"), "{drawn}");
    }
}
