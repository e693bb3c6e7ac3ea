//! Week 2: the wall comes out, and beam, posts and hangers take its place. Readings stand in `readings`.
//!
//! Invented.

use crate::row::Plain;

/// Planned for week 2.
pub(super) const WEEK_2: &[Plain] = &[
    (
        "shore.add",
        "shore",
        &[
            ("name", "Shore the Middle wall"),
            ("week", "2"),
            ("wall", "@wall.middle"),
            ("sides", "both"),
            ("from", "12"),
            ("to", "160 5/8"),
            ("side_b_to", "166 3/4"),
            ("fit", "wedged"),
            ("stands_on", "floor"),
            ("below", "@room.cellar"),
            ("planks_a_side", "1"),
            ("plank", "2x10"),
            (
                "keeper",
                "Odell, every second evening, if the cellar side has to stay",
            ),
        ],
    ),
    (
        "take_out.add",
        "take_out",
        &[
            ("name", "Take out the Middle wall"),
            ("week", "2"),
            ("wall", "@wall.middle"),
            ("from", "12"),
            ("to", "160 5/8"),
            ("studs", "10"),
            ("nailed_ends", "0"),
            ("salvage", "yes"),
        ],
    ),
    (
        "struts.add",
        "struts",
        &[
            ("name", "Struts of the north purlin"),
            ("week", "2"),
            ("count", "4"),
            ("nominal", "2x4"),
            (
                "temporary_path",
                "Two doubled planks on edge across the North wall and the chimney breast, screwed to the purlin",
            ),
        ],
    ),
    (
        "set_beam.add",
        "beam",
        &[
            ("name", "Ceiling beam"),
            ("week", "2"),
            ("wall", "@wall.middle"),
            ("nominal", "2x12"),
            ("plies", "3"),
            ("set", "flush"),
            ("from", "12"),
            ("grade", "No.1"),
            ("raised_whole", "no"),
            ("eng_thickness", "1 1/2"),
            ("eng_depth", "11 1/4"),
            ("eng_plies", "3"),
            ("eng_species", "Douglas Fir-Larch"),
            ("eng_grade", "No.1"),
            (
                "note",
                "The engineer’s letter counts the four struts on it.",
            ),
        ],
    ),
    (
        "set_post.add",
        "post.1",
        &[
            ("name", "Post 1"),
            ("week", "2"),
            ("under", "@beam"),
            ("nominal", "4x6"),
            ("place", "12"),
            ("lands", "through"),
            ("stands_on", "wood"),
            ("floor", "@run.floor.kitchen"),
            ("cap", "@hardware.cap"),
        ],
    ),
    (
        "set_post.add",
        "post.2",
        &[
            ("name", "Post 2"),
            ("week", "2"),
            ("under", "@beam"),
            ("nominal", "4x6"),
            ("place", "157 1/8"),
            ("lands", "passes"),
            ("stands_on", "wood"),
            ("cap", "@hardware.cap"),
            (
                "note",
                "Stands on the girder itself: measure once the floor is open.",
            ),
        ],
    ),
    (
        "pack.add",
        "pack.2",
        &[
            ("name", "Packing under post 2"),
            ("week", "2"),
            ("pack", "packing"),
            ("nominal", "2x10"),
            ("count", "1"),
            ("length", "16"),
            ("thickness", "1 1/8"),
            ("landing", "@post.2"),
            ("note", "Fills the gap between the girder’s planks."),
        ],
    ),
    (
        "hang_joists.add",
        "hang",
        &[
            ("name", "Hang the ceiling joists"),
            ("week", "2"),
            ("beam", "@beam"),
            ("runs", "@run.ceiling.kitchen"),
            ("runs", "@run.ceiling.sewing"),
            ("hanger", "@hardware.hanger.narrow"),
            ("hanger_fit", "shim"),
            (
                "note",
                "Joist 7 of the Sewing room is the thin one: shim it in the seat.",
            ),
        ],
    ),
    (
        "sundry.add",
        "sundry.masks",
        &[
            ("name", "Masks for the wall"),
            ("week", "2"),
            ("item", "dust mask"),
            ("unit", "box"),
            ("count", "1"),
            ("for", "@take_out"),
        ],
    ),
    (
        "sundry.add",
        "sundry.bags",
        &[
            ("name", "Bags for the plaster"),
            ("week", "2"),
            ("item", "rubble bag"),
            ("unit", "each"),
            ("count", "40"),
            ("for", "@take_out"),
        ],
    ),
];
