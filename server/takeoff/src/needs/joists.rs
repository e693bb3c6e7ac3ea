//! The joists of a run: where each stands, and how thick it is as found.
//!
//! The first stands at its recorded place, the others at the run's spacing from it; one whose own place or thickness was
//! read goes by that. A joist takes its centre ± t/2: near face + t/2 = centre, halves down to 1/64. Joists that touch
//! (1/16 apart or less) count as one. What lies between or on them is not here.
//!
//! Source: common practice, no published source.
//!
//! Example: first near face at 14 1/2, t 1 7/8, 16 on centre: centres at 15 7/16 (14 1/2 + 15/16), 31 7/16, 47 7/16 …

use std::collections::BTreeSet;

use uuid::Uuid;

use super::Takeoff;
use super::inputs::{Read, must_have, must_read, read};
use crate::record::{Job, Kind, Record, Spot, What};
use crate::units::Length;

/// Two faces this near to each other touch.
pub(crate) const TOUCHING: Length = Length::from_64ths(4);

/// A joist, or touching ones that count as one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Joist {
    /// Its number in the run, from 1; of touching ones the lowest. 0 for a member by itself.
    pub(crate) number: u32,
    /// Its centre, in the run's measure.
    pub(crate) centre: Length,
    /// Its thickness as found; of touching ones from face to face.
    pub(crate) thickness: Length,
    /// The readings that its place and thickness rest on.
    pub(crate) readings: BTreeSet<Uuid>,
    /// Why not to cut by it: a reading that is single or disputed.
    pub(crate) held: Option<String>,
}

impl Joist {
    /// Its face on the zero side.
    pub(crate) fn near(&self) -> Length {
        self.centre - self.thickness.half_down()
    }

    /// Its other face.
    pub(crate) fn far(&self) -> Length {
        self.near() + self.thickness
    }
}

/// The joists of a run, or the one joist that a member is, from the zero end on; what isn't recorded is said.
pub(crate) fn joists(
    job: &Job,
    run: &Record,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Vec<Joist>> {
    let name = run.name();
    let text = format!("the thickness of {name} as found");
    let thickness = must_read(job, Spot::of(run.id, What::Thickness), &text, waits, out);
    let text = format!("the place of the first of {name}");
    let place = must_read(job, Spot::of(run.id, What::Place), &text, waits, out);
    let to = must_have(
        run.text("measured_to"),
        run.id,
        "measured_to",
        &format!("what the place of {name} is measured to"),
        waits,
        out,
    );
    let of_run = (run.kind == Kind::Run).then(|| Row::of(run, waits, out));
    let row = match of_run {
        Some(row) => row?,
        None => Row {
            spacing: Length::ZERO,
            count: 0,
        },
    };
    let (thickness, place, to) = (thickness?, place?, to?);
    let half = |t: Length| match to {
        "near_face" => t.half_down(),
        _ => Length::ZERO,
    };
    let numbered = |what, number| read(job, &Spot::of(run.id, what).number(number));
    let one = |number: u32| {
        let own_t = numbered(What::Thickness, number).unwrap_or_else(|| thickness.clone());
        let own_place = numbered(What::Place, number);
        let first_t = numbered(What::Thickness, 1).unwrap_or_else(|| thickness.clone());
        let first = numbered(What::Place, 1).unwrap_or_else(|| place.clone());
        let (centre, reads): (Length, Vec<Read>) = match own_place {
            Some(own) => (own.value + half(own_t.value), vec![own, own_t.clone()]),
            None => (
                first.value
                    + half(first_t.value)
                    + row.spacing * i64::from(number.saturating_sub(1)),
                vec![first, first_t, own_t.clone()],
            ),
        };
        Joist {
            number,
            centre,
            thickness: own_t.value,
            held: reads.iter().find_map(|read| read.held.clone()),
            readings: reads.iter().map(|read| read.reading).collect(),
        }
    };
    let mut all: Vec<Joist> = if row.count == 0 {
        vec![one(0)]
    } else {
        (1..=row.count).map(one).collect()
    };
    all.sort_by_key(|joist| (joist.near(), joist.number));
    Some(as_one(all))
}

/// A joist's depth as found: its own reading, else the run's; what isn't recorded is said.
pub(crate) fn depth(
    job: &Job,
    run: &Record,
    number: u32,
    waits: &str,
    out: &mut Takeoff,
) -> Option<Read> {
    let spot = Spot::of(run.id, What::Depth);
    let text = format!("the depth of {} as found", run.name());
    read(job, &spot.clone().number(number)).or_else(|| must_read(job, spot, &text, waits, out))
}

struct Row {
    spacing: Length,
    count: u32,
}

impl Row {
    fn of(run: &Record, waits: &str, out: &mut Takeoff) -> Option<Self> {
        let name = run.name();
        let spacing = run.length("spacing");
        let text = format!("the spacing of {name}");
        let spacing = must_have(spacing, run.id, "spacing", &text, waits, out);
        let count = run.number("count").and_then(|n| u32::try_from(n).ok());
        let text = format!("how many {name} has");
        let count = must_have(count, run.id, "count", &text, waits, out);
        Some(Self {
            spacing: spacing?,
            count: count?,
        })
    }
}

/// Joins those that touch; they stand in order of their near faces.
fn as_one(all: Vec<Joist>) -> Vec<Joist> {
    let mut joined: Vec<Joist> = Vec::new();
    for joist in all {
        match joined.last_mut() {
            Some(last) if joist.near() - last.far() <= TOUCHING => {
                let (near, far) = (last.near(), last.far().max(joist.far()));
                last.thickness = far - near;
                last.centre = near + last.thickness.half_down();
                last.number = last.number.min(joist.number);
                last.readings.extend(joist.readings);
                last.held = last.held.take().or(joist.held);
            }
            _ => joined.push(joist),
        }
    }
    joined
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Entry, id, inches, job, reversed};
    use super::super::{Takeoff, of_change};
    use super::{Joist, joists};
    use crate::record::Job;

    const RUN: Entry<'static> = (
        "run",
        "kitchen",
        &[
            ("piece", "joist"),
            ("spacing", "16"),
            ("count", "3"),
            ("measured_to", "near_face"),
        ],
    );
    const THICK: &[(&str, &str)] = &[("of", "@kitchen"), ("what", "thickness"), ("raw", "1 7/8")];
    const PLACE: &[(&str, &str)] = &[("of", "@kitchen"), ("what", "place"), ("raw", "14 1/2")];

    fn of(job: &Job) -> (Option<Vec<Joist>>, Takeoff) {
        let mut out = of_change(job, job.get(id("kitchen")).unwrap());
        let found = joists(job, job.get(id("kitchen")).unwrap(), "Hangers", &mut out);
        (found, out)
    }

    fn centres(others: &[Entry]) -> Vec<(u32, String, String)> {
        let mut all = vec![
            RUN,
            ("reading", "t1", THICK),
            ("reading", "t2", THICK),
            ("reading", "p1", PLACE),
            ("reading", "p2", PLACE),
        ];
        all.extend_from_slice(others);
        let built = job(&all);
        let found = of(&built).0.unwrap();
        assert_eq!(Some(&found), of(&reversed(&built)).0.as_ref());
        found
            .iter()
            .map(|j| (j.number, j.centre.to_string(), j.thickness.to_string()))
            .collect()
    }

    fn joist(number: u32, centre: &str, thickness: &str) -> (u32, String, String) {
        (number, centre.to_owned(), thickness.to_owned())
    }

    #[test]
    fn joists_stand_at_their_spacing_from_the_first() {
        let want = [
            joist(1, "15 7/16", "1 7/8"),
            joist(2, "31 7/16", "1 7/8"),
            joist(3, "47 7/16", "1 7/8"),
        ];
        assert_eq!(centres(&[]), want);
    }

    #[test]
    fn a_joist_that_was_read_itself_goes_by_that_and_its_half_goes_down() {
        let place: &[(&str, &str)] = &[
            ("of", "@kitchen"),
            ("what", "place"),
            ("number", "2"),
            ("raw", "30"),
        ];
        let thick: &[(&str, &str)] = &[
            ("of", "@kitchen"),
            ("what", "thickness"),
            ("number", "2"),
            ("raw", "1 45/64"),
        ];
        let found = centres(&[("reading", "a", place), ("reading", "b", thick)]);
        // 30 + 109/64 ÷ 2, down: 54/64
        assert_eq!(found[1], joist(2, "30 27/32", "1 45/64"));
        assert_eq!(found[2], joist(3, "47 7/16", "1 7/8"));
    }

    #[test]
    fn joists_that_touch_count_as_one() {
        let second: &[(&str, &str)] = &[
            ("of", "@kitchen"),
            ("what", "place"),
            ("number", "2"),
            ("raw", "16 7/16"),
        ];
        // near faces 14 1/2 and 16 7/16: 1/16 apart; from 14 1/2 to 18 5/16
        let found = centres(&[("reading", "a", second)]);
        let want = [
            joist(1, "16 13/32", "3 13/16"),
            joist(3, "47 7/16", "1 7/8"),
        ];
        assert_eq!(found, want);
    }

    #[test]
    fn without_a_thickness_or_a_place_nothing_is_guessed() {
        let (found, out) = of(&job(&[RUN]));
        assert_eq!(found, None);
        let texts: Vec<&str> = out.missing.iter().map(|m| &m.text[..]).collect();
        assert_eq!(
            texts,
            [
                "the thickness of kitchen as found",
                "the place of the first of kitchen"
            ]
        );
        let (_, out) = of(&job(&[(
            "run",
            "kitchen",
            &[("piece", "joist"), ("spacing", "16"), ("count", "3")],
        )]));
        assert_eq!(
            out.missing[2].text,
            "what the place of kitchen is measured to"
        );
    }

    #[test]
    fn a_place_that_was_read_once_holds_the_joist() {
        let built = job(&[
            RUN,
            ("reading", "t1", THICK),
            ("reading", "t2", THICK),
            ("reading", "p1", PLACE),
        ]);
        let found = of(&built).0.unwrap();
        assert!(found.iter().all(|joist| joist.held.is_some()));
        assert_eq!(found[0].far() - found[0].near(), inches("1 7/8"));
    }
}
