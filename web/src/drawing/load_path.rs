//! The load path of a beam, the roof at the top and the ground at the bottom: a piece for each link.
//!
//! A link that is missing is a gap between thick red ends, hatched, with its words; one that isn't known is dashed; one that
//! follows from where things lie has a thin line. Not to scale.

use maud::Markup;
use scantling_takeoff::checks::load_path::{Path, State, Step};

use super::svg::{Drawing, Shape};

const LEFT: u32 = 16;
const WIDE: u32 = 44;
const HIGH: u32 = 26;
/// From one link to the next.
const STEP: u32 = 46;
/// Where words begin.
const WORDS: u32 = 70;
/// As many letters as a line of words holds.
const LETTERS: usize = 34;

/// Draws one beam's path.
pub fn load_path(id: &str, path: &Path) -> Markup {
    let mut shapes = Vec::new();
    let mut y = 8;
    for step in &path.above {
        y = link(&mut shapes, y, step, &step.words);
    }
    let beam = Step {
        of: Some(path.beam),
        words: path.name.clone(),
        state: State::Recorded,
    };
    y = new_piece(&mut shapes, y, &beam.words);
    for column in &path.columns {
        shapes.push(Shape::Line {
            class: "thin",
            from: (LEFT, y),
            to: (300, y),
        });
        y += 10;
        for (at, step) in column.iter().enumerate() {
            y = if at == 0 && step.of.is_some() {
                new_piece(&mut shapes, y, &step.words)
            } else {
                link(&mut shapes, y, step, &step.words)
            };
        }
    }
    Drawing {
        id,
        height: y + 8,
        title: &format!("Load path through {}, roof to ground", path.name),
        says: &says(path),
        shapes,
    }
    .draw()
}

/// What comes down where, in sentences.
fn says(path: &Path) -> String {
    let words = |step: &Step| match step.state {
        State::Recorded => step.words.clone(),
        state => format!("{} ({})", step.words, state.words()),
    };
    let list = |steps: &[Step]| steps.iter().map(words).collect::<Vec<_>>().join(", then ");
    let above: Vec<String> = path.above.iter().map(words).collect();
    let mut all = vec![if above.is_empty() {
        format!("Nothing is recorded that stands on {}.", path.name)
    } else {
        format!("On {}: {}.", path.name, above.join(", "))
    }];
    for column in &path.columns {
        all.push(format!("From {} down: {}.", path.name, list(column)));
    }
    all.join(" ")
}

fn new_piece(shapes: &mut Vec<Shape>, y: u32, text: &str) -> u32 {
    shapes.push(piece("new", y));
    words(shapes, y, text, "")
}

fn link(shapes: &mut Vec<Shape>, y: u32, step: &Step, text: &str) -> u32 {
    match step.state {
        State::Recorded => shapes.push(piece("old", y)),
        State::Inferred => shapes.push(piece("thin", y)),
        State::NotKnown => shapes.push(piece("hid", y)),
        State::Missing => gap(shapes, y),
    }
    let said = match step.state {
        State::Recorded => "",
        state => state.words(),
    };
    words(shapes, y, text, said)
}

fn piece(class: &'static str, y: u32) -> Shape {
    Shape::Box {
        class,
        x: LEFT,
        y,
        width: WIDE,
        height: HIGH,
    }
}

/// Two thick ends with nothing between, hatched.
fn gap(shapes: &mut Vec<Shape>, y: u32) {
    for at in [y, y + HIGH] {
        shapes.push(Shape::Line {
            class: "wr",
            from: (LEFT, at),
            to: (LEFT + WIDE, at),
        });
    }
    for at in [0, 9, 18] {
        shapes.push(Shape::Line {
            class: "thin",
            from: (LEFT + at, y + HIGH - 3),
            to: (LEFT + at + HIGH - 6, y + 3),
        });
    }
}

/// Words beside a piece, in as many lines as they take; the next piece's place.
fn words(shapes: &mut Vec<Shape>, y: u32, text: &str, said: &str) -> u32 {
    let mut lines = broken(text);
    if !said.is_empty() {
        lines.push(said.to_owned());
    }
    let mut at = y + 12;
    for line in lines {
        shapes.push(Shape::Text {
            x: WORDS,
            y: at,
            text: line,
        });
        at += 17;
    }
    (y + STEP).max(at)
}

/// Lines of so many letters at most, broken between words.
fn broken(text: &str) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() < LETTERS => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(words: &str, state: State) -> Step {
        Step {
            of: None,
            words: words.to_owned(),
            state,
        }
    }

    #[test]
    fn a_missing_link_is_drawn_wrong_and_said_in_words() {
        let path = Path {
            beam: uuid::Uuid::nil(),
            name: "Beam <1>".to_owned(),
            above: vec![step("Joists", State::Recorded)],
            columns: vec![vec![
                step("Post 1", State::Recorded),
                step(
                    "nothing stands straight below the floor joists here",
                    State::Missing,
                ),
            ]],
        };
        let text = load_path("path", &path).into_string();
        assert_eq!(text.matches("class=\"wr\"").count(), 2, "{text}");
        assert!(text.contains("here (missing)."), "{text}");
        assert!(!text.contains("<1>"), "{text}");
        let whole = Path {
            columns: vec![vec![step("masonry", State::Recorded)]],
            ..path
        };
        assert!(
            !load_path("path", &whole)
                .into_string()
                .contains("class=\"wr\"")
        );
    }
}
