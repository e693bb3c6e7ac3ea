//! Filler strips by the foot, and where a new plate or stud needs them: it is smaller than the old one beside it (the check
//! of old against new). Those under a patched floor are measured in `patch_floor::level`.
//!
//! As thick as the old is larger, over 1/16 in; along the whole piece; as wide as the new piece is on that face. A plate is
//! filled out in thickness, so that what stands on it or hangs from it bears, and in depth, so that the wall's face is one;
//! a stud in depth alone. A larger new piece is ripped or planed: the check says so, nothing is bought.
//! Source: common practice, no published source.
//!
//! Example: a 2×4 stud, 3 1/2 deep, 90 in long, in a wall whose studs are 3 13/16 deep: 5/16 in thick, 90 ÷ 12 = 7.5: 8 ft.

use uuid::Uuid;

use super::piece::{by_count, inches};
use super::{Class, StickClass, Sum, Takeoff, result, sum};
use crate::checks::on_record::short_side;
use crate::record::{Job, Record};
use crate::units::Length;

const FOOT: Length = Length::feet(1);

/// A filler strip.
pub(super) struct Strip<'a> {
    /// Its slot among the needs of its change.
    pub(super) slot: &'a str,
    /// What it is for.
    pub(super) title: &'a str,
    /// Its section, in words: `5/16 × 1 1/2 in`.
    pub(super) size: String,
    /// How long it is in all.
    pub(super) along: Length,
    /// How its thickness and that length come about.
    pub(super) sums: Vec<Sum>,
    /// Why nothing may be cut by it yet.
    pub(super) held: Option<String>,
    /// The readings that it rests on.
    pub(super) readings: Vec<Uuid>,
}

/// A strip by the foot, up; nothing where it has no length.
pub(super) fn push_strip(strip: Strip<'_>, out: &mut Takeoff) {
    let Strip { size, along, .. } = strip;
    if along <= Length::ZERO {
        return;
    }
    let feet = along.div_up(FOOT);
    let class = Class::Sundry {
        name: format!("filler strip {size}"),
        unit: "foot".to_owned(),
    };
    let mut need = by_count(strip.slot, strip.title, class, feet);
    need.held = strip.held;
    need.sums = strip.sums;
    let note = format!("up({along} ÷ 12), each {size}");
    need.sums.push(result("Feet", feet.to_string(), note));
    need.readings = strip.readings;
    out.needs.push(need);
}

/// Which side of the new piece is filled out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Face {
    /// Its thickness.
    Thickness,
    /// Its depth.
    Depth,
}

/// Strips along the pieces (how many of which length), where they are short on that side.
pub(super) fn push_filler(
    job: &Job,
    change: &Record,
    class: &StickClass,
    face: Face,
    pieces: &[(i64, Length)],
    out: &mut Takeoff,
) {
    let (slot, name, width) = match face {
        Face::Thickness => ("filler.thickness", "thickness", class.dressed.depth),
        Face::Depth => ("filler.depth", "depth", class.dressed.thickness),
    };
    let Some(short) = short_side(job, change, name) else {
        return;
    };
    let mut sums = vec![sum(
        format!("Old − new, {name}"),
        inches(short.by),
        format!("{} − {}", short.old, short.new),
    )];
    sums.extend(pieces.iter().map(|(count, length)| {
        let all = inches(*length * *count);
        sum("Along", all, format!("{count} of {}", inches(*length)))
    }));
    let strip = Strip {
        slot,
        title: &format!("Filler strip, {name} of {}", change.name()),
        size: format!("{} × {width} in", short.by),
        along: pieces.iter().map(|(count, length)| *length * *count).sum(),
        sums,
        held: (!short.agreed)
            .then(|| format!("{} isn’t agreed yet. Measure again.", short.old_what)),
        readings: short.readings,
    };
    push_strip(strip, out);
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Entry, counts, id, job, need, takeoff};
    use super::super::{Class, Need};

    const JOB: Entry<'static> = ("job", "job", &[("species", "Hem-Fir"), ("grade", "No.2")]);
    const WALL: Entry<'static> = ("wall", "wall", &[]);
    const STUDS: Entry<'static> = (
        "studs",
        "studs",
        &[
            ("wall", "@wall"),
            ("stud", "plain"),
            ("count", "3"),
            ("nominal", "2x4"),
        ],
    );
    const PLATE: Entry<'static> = (
        "plate",
        "plate",
        &[
            ("wall", "@wall"),
            ("plate", "top_upper"),
            ("from", "12"),
            ("to", "72"),
            ("nominal", "2x4"),
        ],
    );

    /// A reading of a thing, taken twice, or once.
    fn read(
        of: &'static str,
        what: &'static str,
        raw: &'static str,
        times: usize,
    ) -> Vec<(String, [(&'static str, &'static str); 3])> {
        (0..times)
            .map(|n| {
                (
                    format!("{what} {n}"),
                    [("of", of), ("what", what), ("raw", raw)],
                )
            })
            .collect()
    }

    fn of(
        change: Entry<'static>,
        readings: &[(&'static str, &'static str, &'static str, usize)],
    ) -> super::Takeoff {
        let readings: Vec<_> = readings
            .iter()
            .flat_map(|(of, what, raw, times)| read(of, what, raw, *times))
            .collect();
        let mut entries = vec![JOB, WALL, change];
        for (word, fields) in &readings {
            entries.push(("reading", word, fields));
        }
        takeoff(&job(&entries), change.1)
    }

    fn filler(got: &super::Takeoff) -> Vec<(&str, i64)> {
        let mut all = counts(got);
        all.retain(|(slot, _)| slot.starts_with("filler"));
        all
    }

    fn name(need: &Need) -> &str {
        match &need.class {
            Class::Sundry { name, unit } if unit == "foot" => name,
            other => panic!("{other:?}"),
        }
    }

    #[test]
    fn studs_are_filled_out_to_the_old_ones_in_depth() {
        let height = ("@studs", "plate_to_plate", "90", 2);
        let old = |depth, times| {
            of(
                STUDS,
                &[
                    height,
                    ("@wall", "stud_depth", depth, times),
                    ("@wall", "stud_thickness", "1 3/4", 2),
                ],
            )
        };
        // 3 13/16 − 3 1/2 = 5/16; 3 × 90 = 270 in, up(270 ÷ 12) = 23 ft
        let got = old("3 13/16", 2);
        assert_eq!(filler(&got), [("filler.depth", 23)]);
        let strip = need(&got, "filler.depth");
        assert_eq!(name(strip), "filler strip 5/16 × 1 1/2 in");
        assert_eq!(strip.held, None);
        let mut readings = vec![id("stud_depth 0"), id("stud_depth 1")];
        readings.sort_unstable();
        assert_eq!(strip.readings, readings);
        assert_eq!(strip.sums[0].value, "5/16 in");
        // read once: it may be bought by, not cut by
        let once = old("3 13/16", 1);
        assert!(need(&once, "filler.depth").held.is_some());
        // a sixteenth is alike, a larger new one is ripped, and what isn't read asks for nothing
        for depth in ["3 9/16", "3 1/2", "3 1/4"] {
            assert_eq!(filler(&old(depth, 2)), []);
        }
        assert_eq!(filler(&of(STUDS, &[height])), []);
    }

    #[test]
    fn a_plate_is_filled_out_in_thickness_and_in_depth() {
        let got = of(
            PLATE,
            &[
                ("@wall", "plate_thickness", "1 13/16", 2),
                ("@wall", "plate_depth", "3 3/4", 2),
            ],
        );
        // 72 − 12 = 60 in: 5 ft each; as wide as the plate's face is
        assert_eq!(filler(&got), [("filler.thickness", 5), ("filler.depth", 5)]);
        let [thickness, depth] =
            ["filler.thickness", "filler.depth"].map(|slot| name(need(&got, slot)));
        assert_eq!(thickness, "filler strip 5/16 × 3 1/2 in");
        assert_eq!(depth, "filler strip 1/4 × 1 1/2 in");
        let thick = of(
            PLATE,
            &[
                ("@wall", "plate_thickness", "1 5/8", 2),
                ("@wall", "plate_depth", "3 1/2", 2),
            ],
        );
        assert_eq!(filler(&thick), [("filler.thickness", 5)]);
    }
}
