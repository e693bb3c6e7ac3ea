//! Ceiling heights at the three points beside a shore: before, under load, and after striking.
//!
//! How far the beam is expected to sag under dead load is `screening`'s. Source: common practice, no published source.

use crate::checks::{Finding, Measurement, Verdict, missing};
use crate::needs::{Sum, sum};
use crate::units::Length;

const SOURCE: &str = "common practice, no published source";

/// The most that a ceiling may move under load.
pub(crate) const MOVED: Length = Length::from_64ths(8);

/// A point with its two heights.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Point {
    /// `zero end`, `middle`, `far end`.
    pub place: String,
    /// The height to go by.
    pub before: Measurement,
    /// The height now.
    pub now: Measurement,
}

/// Under the shore's load against before: over 1/8 in either way, stop.
pub fn under_load(points: &[Point]) -> Finding {
    compare(points, MOVED, Moved::EitherWay, |place, moved| {
        let way = if moved < Length::ZERO { "down" } else { "up" };
        format!(
            "at the {place} it went {way} by {} in under load",
            moved.abs()
        )
    })
}

/// After striking against before: lower by more than the expected sag under dead load and 1/8 in, shore again and call the
/// engineer. Without the sag it can't be told.
pub fn after_striking(points: &[Point], dead_load_sag: Option<Length>) -> Finding {
    let Some(sag) = dead_load_sag else {
        let needs = ["the screen of the beam, for its sag under dead load".to_owned()];
        return Finding::cant_tell(&needs, SOURCE);
    };
    compare(points, sag + MOVED, Moved::Down, |place, moved| {
        format!(
            "at the {place} it came down {} in, more than {} expected: shore again, call the engineer",
            moved.abs(),
            sag + MOVED
        )
    })
}

#[derive(Clone, Copy, PartialEq, Eq)]
enum Moved {
    EitherWay,
    Down,
}

fn compare(
    points: &[Point],
    most: Length,
    counts: Moved,
    says: impl Fn(&str, Length) -> String,
) -> Finding {
    let rests_on: Vec<&Measurement> = points
        .iter()
        .flat_map(|point| [&point.before, &point.now])
        .collect();
    let mut needs = missing(&rests_on);
    if points.is_empty() {
        needs.push("ceiling heights at the zero end, the middle and the far end".to_owned());
    }
    let mut moved = Vec::new();
    let mut sums: Vec<Sum> = Vec::new();
    for point in points {
        let (Some(before), Some(now)) = (point.before.value, point.now.value) else {
            continue;
        };
        let change = now - before;
        sums.push(sum(
            format!("Moved, {}", point.place),
            format!("{change} in"),
            format!("{now} − {before}"),
        ));
        let far = match counts {
            Moved::EitherWay => change.abs(),
            Moved::Down => -change,
        };
        if far > most {
            moved.push(says(&point.place, change));
        }
    }
    let found = if !moved.is_empty() {
        let mut found = Finding::new(
            Verdict::Stop,
            format!("The ceiling moved: {}.", moved.join("; ")),
            SOURCE,
        );
        found.measure = needs;
        found
    } else if !needs.is_empty() {
        Finding::cant_tell(&needs, SOURCE)
    } else {
        let sentence = format!("The ceiling moved {most} in at most at every point.");
        Finding::new(Verdict::Pass, sentence, SOURCE)
    };
    found.with_sums(sums).resting_on(&rests_on)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(moved: [i64; 3]) -> Vec<Point> {
        ["zero end", "middle", "far end"]
            .into_iter()
            .zip(moved)
            .map(|(place, moved)| Point {
                place: place.to_owned(),
                before: Measurement::agreed("before", Length::inches(96)),
                now: Measurement::agreed("now", Length::inches(96) + Length::from_64ths(moved)),
            })
            .collect()
    }

    #[test]
    fn an_eighth_either_way_is_the_most_under_load() {
        assert_eq!(under_load(&points([8, -8, 0])).verdict, Verdict::Pass);
        assert_eq!(under_load(&points([0, 9, 0])).verdict, Verdict::Stop);
        let down = under_load(&points([0, 0, -9]));
        assert!(
            down.sentence.contains("far end it went down by 9/64"),
            "{}",
            down.sentence
        );
        assert_eq!(under_load(&[]).verdict, Verdict::CantTellYet);
        let mut unread = points([0, 0, 0]);
        unread[1].now.value = None;
        assert_eq!(under_load(&unread).verdict, Verdict::CantTellYet);
        unread[0].now = Measurement::agreed("now", Length::inches(97));
        assert_eq!(under_load(&unread).verdict, Verdict::Stop);
    }

    #[test]
    fn after_striking_the_beam_may_sag_as_it_was_screened() {
        let sag = Some(Length::from_64ths(10));
        assert_eq!(
            after_striking(&points([-18, 0, 30]), sag).verdict,
            Verdict::Pass
        );
        assert_eq!(
            after_striking(&points([-19, 0, 0]), sag).verdict,
            Verdict::Stop
        );
        assert_eq!(
            after_striking(&points([0, 0, 0]), None).verdict,
            Verdict::CantTellYet
        );
    }
}
