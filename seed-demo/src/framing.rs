//! The framing as found: single members, and runs of joists, rafters and studs. Sizes stand in `readings`.
//!
//! Invented: full-size rough lumber of 1924, no two rooms quite alike.

use crate::row::{self, Plain, Row};

const MEMBERS: &[Plain] = &[
    (
        "member.add",
        "member.girder",
        &[
            ("name", "Girder"),
            ("piece", "girder"),
            ("room", "@room.cellar"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "along"),
            ("species", "Douglas Fir-Larch"),
            ("moisture", "dry"),
            ("start_on", "masonry"),
            ("end_on", "masonry"),
            (
                "condition",
                "Three rough planks spiked together, 1 1/8 in open at the west end. No decay.",
            ),
        ],
    ),
    (
        "member.add",
        "member.purlin",
        &[
            ("name", "Purlin, north slope"),
            ("piece", "beam"),
            ("room", "@room.attic"),
            ("direction", "along"),
            ("moisture", "dry"),
            ("note", "Four struts carry it to the Middle wall."),
        ],
    ),
    (
        "member.add",
        "member.pad",
        &[
            ("name", "Pad under the girder’s west end"),
            ("piece", "pad"),
            ("room", "@room.cellar"),
            ("note", "Concrete, thickness found with a rod at its edge."),
        ],
    ),
    (
        "member.add",
        "member.trimmer",
        &[
            ("name", "Trimmer at the cellar stair"),
            ("piece", "joist"),
            ("room", "@room.cellar"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "ends"),
            ("moisture", "dry"),
            ("start_on", "wood"),
            ("start_at", "@member.girder"),
            ("end_on", "masonry"),
        ],
    ),
];

const RUNS: &[Plain] = &[
    (
        "run.add",
        "run.ceiling.kitchen",
        &[
            ("name", "Ceiling joists, Kitchen"),
            ("piece", "ceiling_joist"),
            ("room", "@room.kitchen"),
            ("spacing", "16"),
            ("count", "11"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "lapped"),
            ("moisture", "dry"),
            ("top_held", "no"),
            ("start_on", "wood"),
            ("start_at", "@wall.middle"),
            ("end_on", "wood"),
            ("end_at", "@wall.north"),
            ("condition", "Sound. Number 5 is thicker than the rest."),
        ],
    ),
    (
        "run.add",
        "run.ceiling.sewing",
        &[
            ("name", "Ceiling joists, Sewing room"),
            ("piece", "ceiling_joist"),
            ("room", "@room.sewing"),
            ("spacing", "16"),
            ("count", "11"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "lapped"),
            ("moisture", "dry"),
            ("top_held", "no"),
            ("start_on", "wood"),
            ("start_at", "@wall.middle"),
            ("end_on", "wood"),
            ("end_at", "@wall.south"),
            ("condition", "Sound. Number 7 was replaced once: thinner."),
        ],
    ),
    (
        "run.add",
        "run.floor.kitchen",
        &[
            ("name", "Floor joists, Kitchen"),
            ("piece", "joist"),
            ("room", "@room.cellar"),
            ("spacing", "16"),
            ("count", "11"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "lapped"),
            ("moisture", "dry"),
            ("top_held", "yes"),
            ("start_on", "wood"),
            ("start_at", "@member.girder"),
            ("end_on", "masonry"),
            (
                "condition",
                "Numbers 4 and 5 notched 2 in deep for a drain, 40 to 58 in from the girder.",
            ),
        ],
    ),
    (
        "run.add",
        "run.floor.sewing",
        &[
            ("name", "Floor joists, Sewing room"),
            ("piece", "joist"),
            ("room", "@room.cellar"),
            ("spacing", "16"),
            ("count", "11"),
            ("measured_from", "@wall.middle"),
            ("measured_to", "near_face"),
            ("direction", "away"),
            ("over_wall", "lapped"),
            ("moisture", "dry"),
            ("top_held", "yes"),
            ("start_on", "wood"),
            ("start_at", "@member.girder"),
            ("end_on", "masonry"),
            ("condition", "Sound."),
        ],
    ),
    (
        "run.add",
        "run.rafters.north",
        &[
            ("name", "Rafters, north slope"),
            ("piece", "rafter"),
            ("room", "@room.attic"),
            ("spacing", "24"),
            ("count", "8"),
            ("measured_from", "@wall.north"),
            ("measured_to", "near_face"),
            ("direction", "sloping"),
            ("moisture", "dry"),
            ("start_on", "wood"),
            ("start_at", "@wall.north"),
        ],
    ),
    (
        "run.add",
        "run.studs.pantry",
        &[
            ("name", "Studs, Pantry wall"),
            ("piece", "stud"),
            ("room", "@room.pantry"),
            ("spacing", "16"),
            ("count", "7"),
            ("measured_from", "@wall.pantry"),
            ("measured_to", "near_face"),
            ("direction", "upright"),
            ("moisture", "dry"),
        ],
    ),
];

/// Members first: runs bear on the girder.
pub(crate) fn rows() -> Vec<Row> {
    let mut all = row::rows(MEMBERS);
    all.extend(row::rows(RUNS));
    all
}
