//! Papers and hold points, on the last evening before week 2: two signed off, one of them with something skipped, the cut
//! held until the shore stands.
//!
//! Invented. The South wall's plate in week 3 is held, too: nobody has planned the shore that it needs.

use time::Date;

use crate::row::{Part, Row, day, row, rows};

/// What the lead entered and signed off.
pub(crate) fn before_week_2(monday: Date) -> Part {
    let mut all = rows(&[
        (
            "word.add",
            "word.asbestos",
            &[
                ("of", "@job"),
                ("about", "asbestos"),
                ("says", "not_there"),
                ("who", "Brook Street laboratory (invented)"),
                (
                    "paper",
                    "Three samples of plaster and tile, report of Thursday",
                ),
            ],
        ),
        (
            "word.add",
            "word.lead",
            &[
                ("of", "@job"),
                ("about", "lead_paint"),
                ("says", "contained"),
                ("who", "Marit"),
                (
                    "paper",
                    "Test of the door casing: sheeted, wetted, no dry sanding",
                ),
            ],
        ),
        (
            "word.add",
            "word.engineer",
            &[
                ("of", "@wall.middle"),
                ("about", "engineer"),
                ("says", "in_hand"),
                ("who", "The engineer (invented)"),
                (
                    "paper",
                    "Letter with the beam’s section and the four struts on it",
                ),
            ],
        ),
        (
            "word.add",
            "word.shore",
            &[
                ("of", "@shore"),
                ("about", "engineer"),
                ("says", "in_hand"),
                ("who", "The engineer (invented)"),
                ("paper", "The same letter: shoring over the cellar girder"),
            ],
        ),
        (
            "word.add",
            "word.permit",
            &[
                ("of", "@job"),
                ("about", "permit"),
                ("says", "in_hand"),
                ("who", "Building department (invented)"),
                ("paper", "Card on the kitchen window"),
            ],
        ),
        (
            "word.add",
            "word.pantry",
            &[
                ("of", "@wall.pantry"),
                ("about", "not_bearing"),
                ("says", "not_there"),
                ("who", "Marit"),
                (
                    "paper",
                    "Traced in the attic and in the cellar: nothing above, nothing below",
                ),
            ],
        ),
    ]);
    all.push(cellar_event(monday));
    all.extend(rows(&[
        (
            "hold.release",
            "hold.finish",
            &[
                ("of", "@take_out"),
                ("event", "break_finish"),
                ("note", "Cables dead and capped, dust wall up."),
            ],
        ),
        (
            "hold.release",
            "hold.start",
            &[
                ("of", "@take_out"),
                ("event", "start"),
                ("note", "Finish may come off. No stud is cut before the shore stands."),
            ],
        ),
        (
            "hold.skip",
            "skip.beam",
            &[
                ("of", "@shore"),
                ("event", "start"),
                ("condition", "beam_on_site"),
                (
                    "reason",
                    "The plies lie paid at the yard and come Tuesday at seven; the shore holds the plaster back meanwhile",
                ),
            ],
        ),
        (
            "hold.release",
            "hold.shore",
            &[
                ("of", "@shore"),
                ("event", "start"),
                ("note", "On the girder below, and shored again in the cellar."),
            ],
        ),
    ]));
    Part {
        day: -1,
        hour: 20,
        rows: all,
    }
}

/// The girder took load on the cellar post in week 1.
fn cellar_event(monday: Date) -> Row {
    row(&(
        "event.add",
        "event.cellar",
        &[
            ("of", "@post.cellar"),
            ("event", "first_load"),
            ("day", &day(monday, -6)),
            ("who", "Marit, Odell"),
            ("note", "Girder down on the post, wedges out."),
        ],
    ))
}
