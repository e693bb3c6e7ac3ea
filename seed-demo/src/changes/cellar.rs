//! Week 1: the cellar is made ready for what the posts will bring down. Readings stand in `readings`.
//!
//! Invented.

use crate::row::Plain;

/// Planned for week 1.
pub(super) const WEEK_1: &[Plain] = &[
    (
        "sundry.add",
        "sundry.sheeting",
        &[
            ("name", "Dust wall"),
            ("week", "1"),
            ("item", "sheeting for a dust wall"),
            ("unit", "roll"),
            ("count", "2"),
        ],
    ),
    (
        "set_post.add",
        "post.cellar",
        &[
            ("name", "Cellar post"),
            ("week", "1"),
            ("under", "@member.girder"),
            ("nominal", "4x6"),
            ("place", "156"),
            ("lands", "floor"),
            ("stands_on", "concrete"),
            ("base", "@hardware.base"),
            (
                "note",
                "On the pad, under the girder where post 2 will stand.",
            ),
        ],
    ),
    (
        "pack.add",
        "block.1",
        &[
            ("name", "Blocking beside post 1"),
            ("week", "1"),
            ("pack", "blocking"),
            ("nominal", "2x8"),
            ("run", "@run.floor.kitchen"),
            ("first", "1"),
            ("last", "3"),
            ("rows", "2"),
        ],
    ),
    (
        "sister.add",
        "sister",
        &[
            ("name", "Sister to floor joist 4"),
            ("week", "1"),
            ("member", "@run.floor.kitchen"),
            ("number", "4"),
            ("nominal", "2x8"),
            ("length", "9' 4"),
            ("from", "0"),
            ("damage_from", "40"),
            ("damage_to", "58"),
            ("cuts_old", "no"),
            ("bearings", "1"),
        ],
    ),
    (
        "sister.add",
        "sister.5",
        &[
            ("name", "Sister to floor joist 5"),
            ("week", "1"),
            ("member", "@run.floor.kitchen"),
            ("number", "5"),
            ("nominal", "2x8"),
            ("length", "9' 4"),
            ("from", "0"),
            ("damage_from", "40"),
            ("damage_to", "58"),
            ("cuts_old", "no"),
            ("bearings", "1"),
        ],
    ),
];
