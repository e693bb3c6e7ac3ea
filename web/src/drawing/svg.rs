//! The kit: a drawing as a list of shapes, written with every text escaped.

use maud::{Markup, html};

/// How wide every drawing is, in its own units.
pub(super) const WIDTH: u32 = 320;

/// A drawing.
#[derive(Clone, Debug)]
pub struct Drawing<'a> {
    /// Its anchor, unique on the page.
    pub id: &'a str,
    /// How high it is.
    pub height: u32,
    /// What it is a picture of.
    pub title: &'a str,
    /// What it shows, in sentences.
    pub says: &'a str,
    /// Its shapes, the hindmost first.
    pub shapes: Vec<Shape>,
}

/// A shape, in a class of the stylesheet; none: a plain outline.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Shape {
    /// A box from its upper left corner.
    Box {
        /// Its class.
        class: &'static str,
        /// From the left.
        x: u32,
        /// From the top.
        y: u32,
        /// How wide.
        width: u32,
        /// How high.
        height: u32,
    },
    /// A straight line.
    Line {
        /// Its class.
        class: &'static str,
        /// Where it begins.
        from: (u32, u32),
        /// Where it ends.
        to: (u32, u32),
    },
    /// A text from its left end, on its base line.
    Text {
        /// From the left.
        x: u32,
        /// Its base line, from the top.
        y: u32,
        /// What it says.
        text: String,
    },
    /// A text in classes of the stylesheet: `m` is about its middle, `e` runs up to its end, `h` keeps a halo.
    Label {
        /// Its classes.
        class: &'static str,
        /// From the left.
        x: u32,
        /// Its base line, from the top.
        y: u32,
        /// What it says.
        text: String,
    },
    /// A box of what comes out or is left over: hatched, a dashed outline.
    Hatch {
        /// From the left.
        x: u32,
        /// From the top.
        y: u32,
        /// How wide.
        width: u32,
        /// How high.
        height: u32,
    },
    /// The sign of a zero end: a black diamond about this place.
    Zero {
        /// From the left.
        x: u32,
        /// From the top.
        y: u32,
    },
}

impl Drawing<'_> {
    /// Draws it.
    pub fn draw(&self) -> Markup {
        let (title, says) = (format!("{}-t", self.id), format!("{}-d", self.id));
        html! {
            svg class="ink dwg" id=(self.id) viewBox={ "0 0 " (WIDTH) " " (self.height) } role="img" aria-labelledby=(title) aria-describedby=(says) {
                title id=(title) { (self.title) }
                desc id=(says) { (self.says) }
                @if self.shapes.iter().any(|shape| matches!(shape, Shape::Hatch { .. })) {
                    defs { pattern id={ (self.id) "-h" } width="5" height="5" patternUnits="userSpaceOnUse" patternTransform="rotate(45)" { path class="hl" d="M0 0V5" {} } }
                }
                @for shape in &self.shapes { (one(shape, self.id)) }
            }
        }
    }
}

fn one(shape: &Shape, drawing: &str) -> Markup {
    let named = |class: &'static str| (!class.is_empty()).then_some(class);
    match shape {
        Shape::Box {
            class,
            x,
            y,
            width,
            height,
        } => {
            html! { rect class=[named(class)] x=(x) y=(y) width=(width) height=(height) {} }
        }
        Shape::Line { class, from, to } => {
            html! { path class=[named(class)] d={ "M" (from.0) " " (from.1) "L" (to.0) " " (to.1) } {} }
        }
        Shape::Text { x, y, text } => html! { text x=(x) y=(y) { (text) } },
        Shape::Label { class, x, y, text } => {
            html! { text class=(class) x=(x) y=(y) { (text) } }
        }
        Shape::Hatch {
            x,
            y,
            width,
            height,
        } => {
            html! { rect class="out" x=(x) y=(y) width=(width) height=(height) fill={ "url(#" (drawing) "-h)" } {} }
        }
        Shape::Zero { x, y } => {
            html! { path class="dot" d={ "M" (x) " " (y) "m0 -5l5 5l-5 5l-5 -5z" } {} }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_people_typed_is_escaped_and_said() {
        let drawing = Drawing {
            id: "bars",
            height: 40,
            title: "Beam \"A\" <left>",
            says: "One & two.",
            shapes: vec![
                Shape::Text {
                    x: 1,
                    y: 2,
                    text: "</svg><b>".to_owned(),
                },
                Shape::Box {
                    class: "",
                    x: 0,
                    y: 0,
                    width: 3,
                    height: 4,
                },
            ],
        };
        let text = drawing.draw().into_string();
        assert!(
            text.contains("viewBox=\"0 0 320 40\" role=\"img\""),
            "{text}"
        );
        assert!(
            text.contains("<title id=\"bars-t\">Beam &quot;A&quot; &lt;left&gt;</title>"),
            "{text}"
        );
        assert!(
            text.contains("<desc id=\"bars-d\">One &amp; two.</desc>"),
            "{text}"
        );
        assert!(
            text.contains("<text x=\"1\" y=\"2\">&lt;/svg&gt;&lt;b&gt;</text>"),
            "{text}"
        );
        assert!(text.contains("<rect x=\"0\""), "no empty class: {text}");
        assert_eq!(text.matches("</svg>").count(), 1);
    }
}
