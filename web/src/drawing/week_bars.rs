//! Planned against spent, a pair of bars a week: planned an outline, spent filled; the figures beside them.

use maud::Markup;
use scantling_takeoff::units::Money;

use super::svg::{Drawing, Shape};

/// The longest bar: the figure beside it still fits.
const LONGEST: i64 = 140;
const LEFT: u32 = 16;
const BAR: u32 = 12;
/// From one week to the next.
const STEP: u32 = 68;

/// A week.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WeekBar {
    /// `Week 2`.
    pub name: String,
    /// What was planned; none where no list was kept.
    pub planned: Option<Money>,
    /// What was spent, less what went back.
    pub spent: Money,
}

/// Draws the weeks, one scale for all.
pub fn week_bars(weeks: &[WeekBar]) -> Markup {
    let sizes = weeks
        .iter()
        .flat_map(|week| [week.planned, Some(week.spent)]);
    let most = sizes
        .flatten()
        .max()
        .unwrap_or(Money::ZERO)
        .as_cents()
        .max(1);
    let mut shapes = Vec::new();
    let mut y = 0;
    for week in weeks {
        shapes.push(text(LEFT, y + 16, week.name.clone()));
        let planned = week
            .planned
            .map_or_else(|| "no list kept".to_owned(), |of| format!("planned {of}"));
        bar(
            &mut shapes,
            "",
            length(week.planned.unwrap_or(Money::ZERO), most),
            y + 24,
            planned,
        );
        bar(
            &mut shapes,
            "dot",
            length(week.spent, most),
            y + 42,
            format!("spent {}", week.spent),
        );
        y += STEP;
    }
    shapes.push(Shape::Line {
        class: "tk",
        from: (LEFT, 20),
        to: (LEFT, y.saturating_sub(STEP - 58)),
    });
    Drawing {
        id: "week-bars",
        height: y.max(1),
        title: "Planned and spent by week",
        says: &says(weeks),
        shapes,
    }
    .draw()
}

fn bar(shapes: &mut Vec<Shape>, class: &'static str, width: u32, y: u32, figure: String) {
    if width > 0 {
        shapes.push(Shape::Box {
            class,
            x: LEFT,
            y,
            width,
            height: BAR,
        });
    }
    shapes.push(text(LEFT + width + 8, y + BAR, figure));
}

fn text(x: u32, y: u32, text: String) -> Shape {
    Shape::Text { x, y, text }
}

/// How long the bar of an amount is; nothing for what is not above nothing.
fn length(of: Money, most: i64) -> u32 {
    let long = i128::from(of.as_cents().max(0)) * i128::from(LONGEST);
    u32::try_from(long.div_euclid(i128::from(most))).unwrap_or(0)
}

fn says(weeks: &[WeekBar]) -> String {
    let each = weeks.iter().map(|week| {
        let planned = week
            .planned
            .map_or_else(|| "no list kept".to_owned(), |of| format!("{of} planned"));
        format!("{}: {planned}, {} spent.", week.name, week.spent)
    });
    each.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn week(name: &str, planned: Option<i64>, spent: i64) -> WeekBar {
        WeekBar {
            name: name.to_owned(),
            planned: planned.map(Money::from_cents),
            spent: Money::from_cents(spent),
        }
    }

    #[test]
    fn bars_are_to_one_scale_and_said_in_words() {
        let drawn = week_bars(&[
            week("Week 1", Some(20_000), 10_000),
            week("Week 2", None, -500),
        ])
        .into_string();
        // 200.00 is the longest: 140; 100.00 is half of it. What is below nothing has no bar.
        assert!(
            drawn.contains("<rect x=\"16\" y=\"24\" width=\"140\""),
            "{drawn}"
        );
        assert!(
            drawn.contains("<rect class=\"dot\" x=\"16\" y=\"42\" width=\"70\""),
            "{drawn}"
        );
        assert_eq!(drawn.matches("<rect").count(), 2);
        assert!(
            drawn.contains(
                "Week 1: $200.00 planned, $100.00 spent. Week 2: no list kept, -$5.00 spent."
            ),
            "{drawn}"
        );
    }

    #[test]
    fn a_job_that_spent_nothing_has_no_bar() {
        assert_eq!(
            week_bars(&[week("Week 1", None, 0)])
                .into_string()
                .matches("<rect")
                .count(),
            0
        );
    }
}
