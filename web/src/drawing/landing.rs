//! A post's foot on what carries it, seen from the end of each axis, to scale, with the packing that it takes.
//!
//! What is as found is shaded; the post is new; a stretch without bearing is marked with thick red ends, hatched, and its
//! figure. One scale an axis.

use maud::{Markup, html};
use scantling_takeoff::checks::fit::landing::{Axis, Bears, Landing, Way, bears};
use scantling_takeoff::units::Length;

use super::svg::{Drawing, Shape};

const LEFT: i64 = 20;
const ROOM: i64 = 280;
const POST_HIGH: u32 = 44;
const SOLID_HIGH: u32 = 44;

/// Draws each axis that is known; nothing where none is.
pub fn landing(id: &str, landing: &Landing) -> Markup {
    html! {
        @for (n, axis) in landing.axes.iter().enumerate() {
            @if let Some(bears) = bears(axis) { (one(&format!("{id}-{n}"), &landing.post, axis, &bears)) }
        }
    }
}

/// From lengths to units across.
struct Scale {
    from: i64,
    to: i64,
}

impl Scale {
    fn x(&self, at: Length) -> u32 {
        let wide = (self.to - self.from).max(1);
        let at = at.as_64ths().clamp(self.from, self.to) - self.from;
        u32::try_from(LEFT + (at * ROOM).div_euclid(wide)).unwrap_or(0)
    }
}

fn one(id: &str, post: &str, axis: &Axis, found: &Bears) -> Markup {
    let (Some(near), Some(size)) = (axis.near.value, axis.size.value) else {
        return html! {};
    };
    // A post's size to each side, so that what lies further away is cut off at the edge.
    let scale = Scale {
        from: (near - size).as_64ths(),
        to: (near + size * 2).as_64ths(),
    };
    let mut shapes = Vec::new();
    let foot = 24 + POST_HIGH;
    let mut boxed = |class, from: Length, to: Length, y, height| {
        let (from, to) = (scale.x(from), scale.x(to));
        if to > from {
            shapes.push(Shape::Box {
                class,
                x: from,
                y,
                width: to - from,
                height,
            });
        }
    };
    for solid in &axis.solids {
        if let (Some(at), Some(wide)) = (solid.near.value, solid.size.value) {
            boxed("old", at, at + wide, foot, SOLID_HIGH);
        }
    }
    boxed("new", near, near + size, 24, POST_HIGH);
    let mut y = foot + SOLID_HIGH + 18;
    for hole in &found.gaps {
        let (from, to) = (scale.x(hole.from), scale.x(hole.to));
        shapes.push(Shape::Line {
            class: "wr",
            from: (from, foot),
            to: (from, foot + SOLID_HIGH),
        });
        shapes.push(Shape::Line {
            class: "wr",
            from: (to, foot),
            to: (to, foot + SOLID_HIGH),
        });
        let mut at = from;
        while at + 8 <= to {
            shapes.push(Shape::Line {
                class: "thin",
                from: (at, foot + SOLID_HIGH),
                to: (at + 8, foot),
            });
            at += 8;
        }
        let packing = hole.packing.map_or_else(
            || "no packing fills it".to_owned(),
            |one| format!("pack {one}"),
        );
        for text in [format!("{} in has no bearing", hole.gap), packing] {
            shapes.push(Shape::Text { x: 16, y, text });
            y += 18;
        }
    }
    shapes.push(Shape::Text {
        x: 16,
        y: 16,
        text: format!(
            "{post}, {size} in; {} in bears, {} %",
            found.overlap, found.percent
        ),
    });
    let way = match axis.way {
        Way::Across => "across what it lands on",
        Way::Along => "along what it lands on",
    };
    let title = format!("{post} lands, seen {way}, to scale");
    Drawing {
        id,
        height: y,
        title: &title,
        says: &says(post, axis, found),
        shapes,
    }
    .draw()
}

fn says(post: &str, axis: &Axis, found: &Bears) -> String {
    let solids: Vec<&str> = axis.solids.iter().map(|solid| &solid.name[..]).collect();
    let mut text = format!(
        "{post} over {}: {} in bears, {} percent.",
        solids.join(", "),
        found.overlap,
        found.percent
    );
    for hole in &found.gaps {
        let fills = match &hole.packing {
            Some(packing) => format!(": pack {packing}."),
            None => " and no packing fills it.".to_owned(),
        };
        text.push_str(&[" ", &hole.gap.to_string(), " in has no bearing", &fills].concat());
    }
    text
}
