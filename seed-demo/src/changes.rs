//! What is planned, by work week: every kind of change. Their readings stand in `readings`.
//!
//! Invented. Week 1 gets the cellar ready, week 2 is the wall, weeks 3 and 4 close floor, walls and ceiling.

mod cellar;
mod closing;
mod wall;

use crate::row::{Part, Plain, rows};

const NOTES: &[Plain] = &[
    (
        "note.add",
        "note.plaster",
        &[
            ("of", "@wall.middle"),
            (
                "text",
                "Plaster sampled at three places. Result came Thursday: no asbestos. Paint on the door casing holds lead: sheet it, wet it, no dry sanding.",
            ),
        ],
    ),
    (
        "note.add",
        "note.middle",
        &[
            ("of", "@wall.middle"),
            (
                "text",
                "Kitchen ceiling in the middle: 98 7/8 and 98 1/2. The plaster sags there. Push it up with the rod and read again.",
            ),
        ],
    ),
    (
        "note.add",
        "note.girder",
        &[
            ("of", "@member.girder"),
            (
                "text",
                "Tapped along its length, sounds even. Awl goes in 1/16 at most.",
            ),
        ],
    ),
    (
        "note.add",
        "note.post2",
        &[
            ("of", "@post.2"),
            (
                "text",
                "Floor above the girder is still closed. Open it first, then girder to the underside of the beam.",
            ),
        ],
    ),
    (
        "note.add",
        "note.way_in",
        &[
            ("of", "@beam"),
            (
                "text",
                "Plies come in through the west window, sash out: 13 ft clear to the chimney.",
            ),
        ],
    ),
    (
        "note.add",
        "note.gap",
        &[
            ("of", "@week.3"),
            (
                "text",
                "Two weeks between: plaster man away, inspection booked in the first of them.",
            ),
        ],
    ),
];

/// The plan, made in an evening.
pub(crate) fn plan() -> Part {
    let all = [
        cellar::WEEK_1,
        wall::WEEK_2,
        closing::WEEK_3,
        closing::WEEK_4,
        NOTES,
    ];
    Part {
        day: -11,
        hour: 14,
        rows: all.into_iter().flat_map(rows).collect(),
    }
}

/// What can be begun, said on the last evening before week 2.
pub(crate) fn before_week_2() -> Part {
    Part {
        day: -1,
        hour: 19,
        rows: rows(&[
            ("change.state", "struts", &[("state", "ready")]),
            ("change.state", "sundry.bags", &[("state", "ready")]),
        ]),
    }
}
