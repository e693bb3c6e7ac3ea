//! A new beam: how long it is, what of, and how thick and deep. For the change that sets it and the joists that hang on it.
//!
//! Length = clear between the posts + the bearing at each end. A bearing that isn't recorded is the smaller side of the
//! post that is set there: its larger side stands across, under the whole thickness of the beam. Whether it bears enough is
//! the checks' matter.
//!
//! Source: PS 20 for the sizes; the rest is common practice, no published source.
//!
//! Example: 139 3/4 in between two 4×6 posts (3 1/2 in each): L 146 3/4 in.

use uuid::Uuid;

use super::inputs::{miss, must_have, must_read, seasoning, treatment};
use super::piece::{inches, size_of};
use super::{Fill, Sum, Takeoff, sum};
use crate::record::{Job, Kind, Record, Spot, What};
use crate::tables::ps20::{Seasoning, dressed};
use crate::units::{Length, Nominal, Section};

/// A beam's length with what it rests on.
pub(crate) struct BeamLength {
    /// The length.
    pub(crate) value: Length,
    /// The arithmetic, without the result.
    pub(crate) sums: Vec<Sum>,
    /// The readings that it rests on.
    pub(crate) readings: Vec<Uuid>,
    /// Why not to cut by it.
    pub(crate) held: Option<String>,
}

/// The length of a beam that a change sets: clear between its posts + bearing at both ends.
///
/// Source: common practice, no published source.
pub(crate) fn length(
    job: &Job,
    beam: &Record,
    waits: &str,
    out: &mut Takeoff,
) -> Option<BeamLength> {
    let spot = Spot::of(beam.id, What::ClearBetweenPosts);
    let clear = must_read(job, spot, "clear between the posts", waits, out);
    let posts = Posts::under(job, beam, clear.as_ref().map(|read| read.value));
    let start = bearing(beam, "bearing_start", "its start", posts.start, waits, out);
    let end = bearing(beam, "bearing_end", "its end", posts.end, waits, out);
    let (clear, start, end) = (clear?, start?, end?);
    Some(BeamLength {
        value: clear.value + start.0 + end.0,
        sums: vec![
            sum(
                What::ClearBetweenPosts.title(),
                inches(clear.value),
                beam.name(),
            ),
            sum("+ bearing at its start", inches(start.0), start.1),
            sum("+ bearing at its end", inches(end.0), end.1),
        ],
        readings: vec![clear.reading],
        held: clear.held,
    })
}

/// How long a beam is that a change sets, its readings, and whether they agree; nothing is said of what is missing.
pub(crate) fn long(job: &Job, beam: &Record) -> Option<(Length, Vec<Uuid>, bool)> {
    let mut unsaid = super::of_nothing(beam);
    let length = length(job, beam, "", &mut unsaid)?;
    Some((length.value, length.readings, length.held.is_none()))
}

/// The bearing at its start and at its end, each with where it comes from; nothing is said of what is missing.
pub(crate) fn bearings(job: &Job, beam: &Record) -> [(&'static str, Option<(Length, String)>); 2] {
    let clear = super::inputs::read(job, &Spot::of(beam.id, What::ClearBetweenPosts));
    let posts = Posts::under(job, beam, clear.map(|read| read.value));
    let of = |field: &str, post: Option<(Length, String)>| {
        let recorded = beam.length(field);
        recorded
            .map(|length| (length, "as recorded".to_owned()))
            .or(post)
    };
    [
        ("its start", of("bearing_start", posts.start)),
        ("its end", of("bearing_end", posts.end)),
    ]
}

/// The thickness of all plies together and the depth, dressed; what isn't known is said.
pub(crate) fn section(job: &Job, beam: &Record, waits: &str, out: &mut Takeoff) -> Option<Section> {
    let found = size_of(beam, "nominal")
        .and_then(|size| lumber(job, beam, size))
        .zip(plies(beam))
        .map(|(lumber, plies)| Section {
            thickness: lumber.section.thickness * plies,
            depth: lumber.section.depth,
        });
    if found.is_none() {
        miss_size(beam, waits, out);
    }
    found
}

/// Says that the beam's size is missing.
pub(crate) fn miss_size(beam: &Record, waits: &str, out: &mut Takeoff) {
    let (of, field) = (beam.id, "nominal");
    miss(out, "the beam’s size", waits, Fill::Field { of, field });
}

/// How many plies.
pub(crate) fn plies(beam: &Record) -> Option<i64> {
    beam.number("plies").filter(|plies| *plies > 0)
}

/// The bearing that is recorded, else the post's; with where it comes from.
fn bearing(
    beam: &Record,
    field: &'static str,
    end: &str,
    post: Option<(Length, String)>,
    waits: &str,
    out: &mut Takeoff,
) -> Option<(Length, String)> {
    let recorded = beam
        .length(field)
        .map(|length| (length, "as recorded".to_owned()));
    must_have(
        recorded.or(post),
        beam.id,
        field,
        &format!("the bearing at {end}, or the post under it"),
        waits,
        out,
    )
}

/// The posts' sizes along the beam, each with its words.
struct Posts {
    start: Option<(Length, String)>,
    end: Option<(Length, String)>,
}

impl Posts {
    /// Of the posts that are set under a beam: the first and the last by their place. Posts of one size need no place if
    /// there are two and more; a post alone is at the end that it is nearer to, if that can be told.
    fn under(job: &Job, beam: &Record, clear: Option<Length>) -> Self {
        let mut all: Vec<(Option<Length>, Length, String)> = job
            .all(Kind::SetPost)
            .filter(|post| post.to("under") == Some(beam.id) && post.state != "dropped")
            .filter_map(|post| {
                let lumber = lumber(job, post, size_of(post, "nominal")?)?;
                let words = format!("smaller side of {}", post.name());
                Some((post.length("place"), lumber.section.thickness, words))
            })
            .collect();
        let placed = all.iter().all(|(place, ..)| place.is_some());
        let alike = all.windows(2).all(|pair| pair[0].1 == pair[1].1);
        if placed {
            all.sort_by_key(|(place, ..)| *place);
        }
        let of = |post: &(Option<Length>, Length, String)| Some((post.1, post.2.clone()));
        match &all[..] {
            [first, .., last] if placed || alike => Self {
                start: of(first),
                end: of(last),
            },
            [post] => match (post.0, beam.length("from"), clear) {
                (Some(place), Some(from), Some(clear)) if place < from + clear.half_down() => {
                    Self {
                        start: of(post),
                        end: None,
                    }
                }
                (Some(_), Some(_), Some(_)) => Self {
                    start: None,
                    end: of(post),
                },
                _ => Self::unknown(),
            },
            _ => Self::unknown(),
        }
    }

    fn unknown() -> Self {
        Self {
            start: None,
            end: None,
        }
    }
}

/// What a new piece is made of, as far as it is known.
pub(crate) struct Lumber {
    /// Dressed section of a ply.
    pub(crate) section: Section,
    /// Dry or green.
    pub(crate) seasoning: Seasoning,
    /// Species, if it is recorded for the change or the job.
    pub(crate) species: Option<String>,
}

/// `None` where PS 20 has no such size.
pub(crate) fn lumber(job: &Job, change: &Record, size: Nominal) -> Option<Lumber> {
    let of_change = |field| change.text(field).map(str::to_owned);
    let species = of_change("species").or_else(|| job.settings.species.clone());
    let grade = grade(job, change).unwrap_or_default();
    let seasoning = seasoning(
        job,
        change,
        size,
        species.as_deref().unwrap_or_default(),
        &grade,
        treatment(change),
    );
    Some(Lumber {
        section: dressed(size, seasoning)?,
        seasoning,
        species,
    })
}

/// The grade of the change, else the job's usual one.
pub(crate) fn grade(job: &Job, change: &Record) -> Option<String> {
    let own = change.text("grade").map(str::to_owned);
    own.or_else(|| job.settings.grade.clone())
}
