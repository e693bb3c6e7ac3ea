//! Checks through the record: a small house with a wall that comes out, as a crew would have typed it.

mod bears_on_walls;
mod fed;
mod fits;
mod gaps;
mod laws;
mod loads;
mod pieces;
mod stacked;

use uuid::Uuid;

use super::{Check, CheckKind, of_change};
use crate::needs::testing::{Entry, id, job};
use crate::record::{Job, Record};

type Fields = &'static [(&'static str, &'static str)];

/// The house: a ceiling on each side of the middle wall, an attic on top, a girder with a post on a pad below.
const HOUSE: &[(&str, &str, Fields)] = &[
    (
        "job",
        "job",
        &[
            ("species", "Douglas Fir-Larch"),
            ("grade", "No.2"),
            ("ground_snow", "25"),
            ("soil", "sand"),
            // And half the wall’s 4 in: 2 1/2 ft off the joists’ cut end.
            ("shore_off", "28"),
        ],
    ),
    ("storey", "cellar", &[("level", "0")]),
    ("storey", "first", &[("level", "1")]),
    ("storey", "top", &[("level", "2")]),
    (
        "room",
        "under",
        &[
            ("storey", "@cellar"),
            ("use", "cellar"),
            ("bare", "ceiling"),
        ],
    ),
    (
        "room",
        "kitchen",
        &[("storey", "@first"), ("use", "living")],
    ),
    ("room", "sewing", &[("storey", "@first"), ("use", "living")]),
    (
        "room",
        "attic",
        &[
            ("storey", "@top"),
            ("use", "attic_storage"),
            ("bare", "floor"),
        ],
    ),
    (
        "layer",
        "plaster a",
        &[
            ("of", "@kitchen"),
            ("on", "ceiling"),
            ("material", "plaster on wood lath"),
            ("thickness", "7/8"),
            ("psf", "8"),
        ],
    ),
    (
        "layer",
        "plaster b",
        &[
            ("of", "@sewing"),
            ("on", "ceiling"),
            ("material", "plaster on wood lath"),
            ("thickness", "7/8"),
            ("psf", "8"),
        ],
    ),
    (
        "layer",
        "boards a",
        &[
            ("of", "@kitchen"),
            ("on", "floor"),
            ("material", "board sheathing"),
            ("thickness", "7/8"),
            ("psf", "5"),
        ],
    ),
    (
        "wall",
        "middle",
        &[
            ("room_a", "@kitchen"),
            ("room_b", "@sewing"),
            ("bearing", "yes"),
            ("stands_on", "@girder"),
        ],
    ),
    (
        "run",
        "ceiling a",
        &[
            ("piece", "ceiling_joist"),
            ("room", "@kitchen"),
            ("carries", "@attic"),
            ("spacing", "16"),
            ("count", "9"),
            ("measured_from", "@middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "lapped"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "No.2"),
            ("judged_by", "stamp"),
            ("moisture", "dry"),
            ("top_held", "yes"),
            ("start_on", "wood"),
            ("start_at", "@middle"),
            ("end_on", "wood"),
            ("looked_at", "sound"),
        ],
    ),
    (
        "run",
        "ceiling b",
        &[
            ("piece", "ceiling_joist"),
            ("room", "@sewing"),
            ("carries", "@attic"),
            ("spacing", "16"),
            ("count", "9"),
            ("measured_from", "@middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "lapped"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "No.2"),
            ("judged_by", "stamp"),
            ("moisture", "dry"),
            ("top_held", "yes"),
            ("start_on", "wood"),
            ("start_at", "@middle"),
            ("end_on", "wood"),
            ("looked_at", "sound"),
        ],
    ),
    (
        "member",
        "girder",
        &[
            ("piece", "girder"),
            ("room", "@under"),
            ("measured_from", "@middle"),
            ("measured_to", "near_face"),
            ("direction", "along"),
            ("species", "Douglas Fir-Larch"),
            ("grade", "No.1"),
            ("judged_by", "the engineer"),
            ("moisture", "dry"),
            ("start_on", "masonry"),
            ("end_on", "masonry"),
            ("looked_at", "sound"),
        ],
    ),
    (
        "member",
        "pad",
        &[
            ("piece", "pad"),
            ("room", "@under"),
            ("measured_from", "@middle"),
        ],
    ),
    (
        "hardware",
        "hanger",
        &[
            ("type", "hanger"),
            ("seat", "1 13/16"),
            ("height_from", "4 1/2"),
            ("height_to", "5 1/4"),
            ("load_lb", "900"),
            ("sheet", "invented"),
        ],
    ),
    (
        "take_out",
        "take out",
        &[("wall", "@middle"), ("from", "12"), ("to", "120")],
    ),
    (
        "set_beam",
        "beam",
        &[
            ("wall", "@middle"),
            ("nominal", "2x12"),
            ("plies", "3"),
            ("set", "flush"),
            ("from", "12"),
        ],
    ),
    (
        "set_post",
        "post 1",
        &[
            ("under", "@beam"),
            ("nominal", "4x6"),
            ("place", "12"),
            ("across", "1/2"),
            ("lands", "through"),
            ("stands_on", "wood"),
            ("lands_on", "@girder"),
        ],
    ),
    (
        "set_post",
        "post 2",
        &[
            ("under", "@beam"),
            ("nominal", "4x6"),
            ("place", "112"),
            ("across", "1/2"),
            ("lands", "through"),
            ("stands_on", "wood"),
            ("lands_on", "@girder"),
        ],
    ),
    (
        "set_post",
        "low post",
        &[
            ("under", "@girder"),
            ("nominal", "6x6"),
            ("place", "12"),
            ("across", "9 1/4"),
            ("lands", "floor"),
            ("stands_on", "concrete"),
            ("lands_on", "@pad"),
        ],
    ),
    (
        "hang_joists",
        "hang",
        &[
            ("beam", "@beam"),
            ("runs", "@ceiling a"),
            ("runs", "@ceiling b"),
        ],
    ),
];

/// Of what, which dimension, how long; each read twice.
const READINGS: &[(&str, &str, &str)] = &[
    ("@ceiling a", "thickness", "1 3/4"),
    ("@ceiling a", "depth", "5 3/4"),
    ("@ceiling a", "place", "14"),
    ("@ceiling a", "span", "96"),
    ("@ceiling a", "bearing_end", "3 1/2"),
    ("@ceiling b", "thickness", "1 3/4"),
    ("@ceiling b", "depth", "5 3/4"),
    ("@ceiling b", "place", "16"),
    ("@ceiling b", "span", "84"),
    ("@ceiling b", "bearing_end", "3 1/2"),
    ("@girder", "thickness", "6 3/4"),
    ("@girder", "depth", "9 5/8"),
    ("@girder", "place", "0"),
    ("@girder", "length", "170"),
    ("@girder", "start", "0"),
    ("@girder", "bearing_start", "4"),
    ("@girder", "bearing_end", "4"),
    ("@pad", "length", "24"),
    ("@pad", "width", "24"),
    ("@pad", "thickness", "10"),
    ("@pad", "place", "3"),
    ("@pad", "place_across", "0"),
    ("@middle", "stud_length", "92"),
    ("@middle", "thickness", "4"),
    ("@beam", "clear_between_posts", "96 1/2"),
    ("@post 1", "landing_to_seat", "96"),
    ("@post 2", "landing_to_seat", "96"),
    ("@low post", "landing_to_seat", "72"),
];

/// A reading as a record has it.
type Reading = (String, Vec<(&'static str, String)>);

fn readings(but: &[(&str, &str)], more: &[(&'static str, &'static str, &str)]) -> Vec<Reading> {
    let kept = READINGS
        .iter()
        .filter(|(of, what, _)| !but.contains(&(*of, *what)))
        .map(|(of, what, raw)| (*of, *what, *raw));
    let mut all = Vec::new();
    for (of, what, raw) in kept.chain(more.iter().copied()) {
        for n in 0..2 {
            let fields = vec![
                ("of", of.to_owned()),
                ("what", what.to_owned()),
                ("raw", raw.to_owned()),
            ];
            all.push((format!("{of} {what} {n}"), fields));
        }
    }
    all
}

/// Its kind, its word, its fields.
type Thing<'a> = (&'a str, &'a str, Vec<(&'a str, &'a str)>);

/// The house, with some fields otherwise, some readings left out and some more.
fn house(
    otherwise: &[(&str, &str, &str)],
    but: &[(&str, &str)],
    more: &[(&'static str, &'static str, &str)],
    besides: &[Entry],
) -> Job {
    let mut things: Vec<Thing<'_>> = HOUSE
        .iter()
        .map(|(kind, word, fields)| (*kind, *word, fields.to_vec()))
        .collect();
    for (word, field, text) in otherwise {
        let thing = things.iter_mut().find(|(_, one, _)| one == word).unwrap();
        thing.2.retain(|(name, _)| name != field);
        if !text.is_empty() {
            thing.2.push((field, text));
        }
    }
    let taken = readings(but, more);
    let taken: Vec<(&str, Vec<(&str, &str)>)> = taken
        .iter()
        .map(|(word, fields)| {
            let fields = fields.iter().map(|(name, text)| (*name, &text[..]));
            (&word[..], fields.collect())
        })
        .collect();
    let mut all: Vec<Entry> = things
        .iter()
        .map(|(kind, word, fields)| (*kind, *word, &fields[..]))
        .collect();
    all.extend(
        taken
            .iter()
            .map(|(word, fields)| ("reading", *word, &fields[..])),
    );
    all.extend_from_slice(besides);
    job(&all)
}

fn change<'a>(job: &'a Job, word: &str) -> &'a Record {
    job.get(id(word)).unwrap()
}

/// The checks of a kind that a change has.
fn of_kind(job: &Job, word: &str, kind: CheckKind) -> Vec<Check> {
    let mut all = of_change(job, change(job, word));
    all.retain(|check| check.kind == kind);
    all
}

/// The only check of a kind that a change has.
fn the(job: &Job, word: &str, kind: CheckKind) -> Check {
    let mut all = of_kind(job, word, kind);
    assert_eq!(all.len(), 1, "{all:#?}");
    all.remove(0)
}

fn readings_of(job: &Job, of: &str, what: crate::record::What) -> Vec<Uuid> {
    job.measured_of(id(of))
        .filter(|(spot, _)| spot.what == what)
        .flat_map(|(_, measured)| measured.all.iter().map(|taken| taken.id))
        .collect()
}
