//! What the load path and the checks rest on: what carries what, what was looked at, and where it lies.
//!
//! Across the Middle wall all is measured from a line twelve inches off its kitchen side. Each verdict is there once: the
//! girder's west length misses most of post 2, the cellar's trimmer is too thick for the hanger chosen, the ceiling beam passes
//! its screen and the stair beam doesn't, and one of that beam's posts comes down on a plank with a hollow below. Invented.

use crate::readings;
use crate::row::{Part, Plain, rows, table};

/// Recorded on a second look at the house.
const FOUND: &[Plain] = &[
    (
        "wall.edit",
        "wall.middle",
        &[("stands_on", "@member.girder")],
    ),
    ("room.edit", "room.cellar", &[("bare", "ceiling")]),
    (
        "member.edit",
        "member.girder",
        &[("looked_at", "noted"), ("carries", "@room.kitchen")],
    ),
    (
        "member.edit",
        "member.pad",
        &[("measured_from", "@wall.middle")],
    ),
    (
        "member.add",
        "member.girder.west",
        &[
            ("name", "Girder, west length"),
            ("piece", "girder"),
            ("room", "@room.cellar"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "along"),
            ("moisture", "dry"),
            ("start_on", "wood"),
            ("start_at", "@member.girder"),
            ("end_on", "masonry"),
            ("looked_at", "sound"),
            (
                "note",
                "Spliced on when the ell was lengthened, and set to the south of the old line.",
            ),
        ],
    ),
    (
        "run.add",
        "run.floor.pantry",
        &[
            ("name", "Floor joists, Pantry"),
            ("piece", "joist"),
            ("room", "@room.cellar"),
            ("carries", "@room.pantry"),
            ("spacing", "16"),
            ("count", "6"),
            ("measured_from", "@wall.stair"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "continuous"),
            ("moisture", "dry"),
            ("top_held", "yes"),
            ("start_on", "wood"),
            ("start_at", "@wall.stair"),
            ("end_on", "masonry"),
            ("looked_at", "sound"),
        ],
    ),
    (
        "member.add",
        "member.cistern",
        &[
            ("name", "Cover of the cistern"),
            ("piece", "joist"),
            ("room", "@room.cellar"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "ends"),
            ("moisture", "wet"),
            ("start_on", "masonry"),
            ("end_on", "masonry"),
            ("end_at", "@wall.north"),
            ("looked_at", "noted"),
            (
                "note",
                "The plank over the old cistern, level with the floor. Hollow below.",
            ),
        ],
    ),
    (
        "run.edit",
        "run.ceiling.kitchen",
        &[("carries", "@room.attic"), ("looked_at", "sound")],
    ),
    (
        "run.edit",
        "run.ceiling.sewing",
        &[("carries", "@room.attic"), ("looked_at", "sound")],
    ),
    (
        "run.edit",
        "run.floor.kitchen",
        &[("carries", "@room.kitchen"), ("looked_at", "noted")],
    ),
    (
        "run.edit",
        "run.floor.sewing",
        &[("carries", "@room.sewing"), ("looked_at", "sound")],
    ),
    ("run.edit", "run.rafters.north", &[("looked_at", "sound")]),
];

/// More layers: what lies on the attic and the pantry.
const LAYERS: &str = "
word               | of           | on    | material        | thickness | psf
layer.attic.fill   | @room.attic  | floor | loose fill      | 4         | 0.8
layer.pantry.floor | @room.pantry | floor | board sheathing | 7/8       | 2.5
";

/// Said of the plan, once that was known.
const PLANNED: &[Plain] = &[
    (
        "set_post.edit",
        "post.cellar",
        &[("across", "12"), ("lands_on", "@member.pad")],
    ),
    (
        "set_post.edit",
        "post.1",
        &[("across", "12 1/2"), ("lands_on", "@member.girder")],
    ),
    (
        "set_post.edit",
        "post.2",
        &[("across", "12 1/2"), ("lands_on", "@member.girder.west")],
    ),
    (
        "struts.edit",
        "struts",
        &[
            ("purlin", "@member.purlin"),
            ("rafters", "@run.rafters.north"),
            ("run_through", "no"),
            ("lands_on", "@beam"),
            ("first", "30"),
            ("spacing", "36"),
        ],
    ),
    (
        "shore.edit",
        "shore",
        &[
            ("floor_joists", "@run.floor.kitchen"),
            ("over", "@member.girder"),
            ("over_away", "26"),
        ],
    ),
    (
        "hang_joists.add",
        "hang.trimmer",
        &[
            ("name", "Hang the trimmer at the cellar stair"),
            ("week", "3"),
            ("beam", "@member.girder"),
            ("runs", "@member.trimmer"),
            ("hanger", "@hardware.hanger.tall"),
            ("hanger_fit", "as_is"),
        ],
    ),
    (
        "set_beam.add",
        "beam.stair",
        &[
            ("name", "Stair beam"),
            ("week", "3"),
            ("wall", "@wall.stair"),
            ("nominal", "2x6"),
            ("plies", "2"),
            ("set", "below"),
            ("from", "0"),
            ("bearing_start", "3 1/2"),
            ("bearing_end", "3 1/2"),
            ("start_on", "wood"),
            ("end_on", "wood"),
            (
                "note",
                "The stair wall carries the pantry’s floor after all. First guess at a size.",
            ),
        ],
    ),
    (
        "set_post.add",
        "post.stair",
        &[
            ("name", "Post at the cellar stair"),
            ("week", "3"),
            ("nominal", "4x4"),
            ("under", "@beam.stair"),
            ("place", "0"),
            ("across", "6"),
            ("lands", "floor"),
            ("lands_on", "@member.cistern"),
            ("stands_on", "wood"),
        ],
    ),
];

/// Taken for these.
const READINGS: &str = "
@member.girder       | place               |   |   |   | 12 & 12
@member.girder       | start               |   |   |   | 0 & 0
@member.girder       | bearing_start       |   |   |   | 4 & 4
@member.girder       | bearing_end         |   |   |   | 4 & 4
@member.girder.west  | thickness           |   |   |   | 4 1/2 & 4 1/2
@member.girder.west  | depth               |   |   |   | 9 5/8 & 9 5/8
@member.girder.west  | place               |   |   |   | 15 1/2 & 15 1/2
@member.pad          | place               |   |   |   | 146 & 146
@member.pad          | place_across        |   |   |   | 3 1/8 & 3 1/8
@member.purlin       | flat                |   |   |   | 62 & 62
@room.attic          | ceiling_height      |   |   |   | 40 & 40
@run.ceiling.kitchen | bearing_end         |   |   |   | 3 3/4 & 3 3/4
@run.ceiling.sewing  | bearing_end         |   |   |   | 3 3/4 & 3 3/4
@run.floor.pantry    | thickness           |   |   |   | 1 7/8 & 1 7/8
@run.floor.pantry    | depth               |   |   |   | 7 5/8 & 7 5/8
@run.floor.pantry    | span                |   |   |   | 110 & 110
@run.floor.pantry    | span                | b |   |   | 92 1/2 & 92 1/2
@beam                | clear_at_floor      |   |   |   | 13' 4 & 160
@beam                | clear_at_seat       |   |   |   | 150 & 150
@beam.stair          | clear_between_posts |   |   |   | 81 3/8 & 81 3/8
";

/// On the second look, and with the plan.
pub(crate) fn second_look() -> Part {
    let mut all = rows(FOUND);
    all.extend(table("layer.add", &[], LAYERS));
    all.extend(rows(PLANNED));
    all.extend(readings::entries(READINGS));
    Part {
        day: -10,
        hour: 15,
        rows: all,
    }
}
