//! The job and the house as found: weeks, storeys, rooms. Walls stand in `walls`, framing in `framing`, sizes in `readings`.
//!
//! Invented.

use time::Date;

use crate::row::{Part, Plain, Row, day, monday_of, row, rows};
use crate::{framing, walls};

/// Work weeks: number, first and last day from the Monday of week 2, note.
const WEEKS: &[(&str, i64, i64, &str)] = &[
    ("1", -7, -3, "Cellar first: what the posts will land on."),
    (
        "2",
        0,
        4,
        "The wall. Five of us on the day the beam goes up.",
    ),
    (
        "3",
        21,
        25,
        "After the gap: floor, plates and the pantry door.",
    ),
    ("4", 28, 32, "Ceiling and walls closed, cleaned up."),
];

const JOB: Plain = (
    "job.add",
    "job",
    &[
        ("name", "Alder Ferry, kitchen ell"),
        ("year_built", "1924"),
        ("units", "us"),
        ("species", "Douglas Fir-Larch"),
        ("grade", "No.2"),
        ("tax", "6.5"),
        ("address", "The house by the old ferry (invented)"),
        ("ground_snow", "25"),
        ("soil", "sand"),
        ("waste_stick", "10"),
        ("waste_panel", "5"),
        ("waste_fastener", "5"),
        ("waste_hardware", "0"),
        ("longest_stick", "16'"),
        ("payload_lb", "1400"),
        ("payload_cu_yd", "1.5"),
        ("shore_screw", "screw 3 in"),
        ("floor_screw", "screw 2 1/2 in"),
        ("board_screw", "screw 1 1/4 in"),
        ("sister_fastener", "10d common"),
        ("nail_builtup_lines", "10d box"),
        ("nail_builtup_ends", "10d box"),
        ("nail_stud_toe", "8d common"),
        ("nail_stud_to_stud", "16d common"),
        ("nail_top_splice", "16d common"),
        ("nail_top_to_top", "16d common"),
        ("nail_bottom", "16d common"),
        ("nail_blocking", "8d common"),
        ("nail_strut", "16d common"),
        (
            "note",
            "A demo: house, people, yards, hardware and prices are invented.",
        ),
    ],
);

const STOREYS: &[Plain] = &[
    (
        "storey.add",
        "storey.cellar",
        &[
            ("name", "Cellar"),
            ("level", "0"),
            ("datum", "Inside corner of the foundation, north-east"),
        ],
    ),
    (
        "storey.add",
        "storey.first",
        &[
            ("name", "First floor"),
            ("level", "1"),
            ("datum", "Inside corner of the Kitchen, north-east"),
            (
                "plumbed",
                "Hole drilled beside the chimney, plumb line to the cellar",
            ),
        ],
    ),
    (
        "storey.add",
        "storey.second",
        &[
            ("name", "Second floor"),
            ("level", "2"),
            ("datum", "Stair corner of the landing"),
            ("plumbed", "Stair well, down the east face of the newel"),
            ("note", "Front house only: the ell is one storey high."),
        ],
    ),
    (
        "storey.add",
        "storey.attic",
        &[
            ("name", "Attic"),
            ("level", "3"),
            (
                "datum",
                "North-east corner of the ell, on the ceiling joists",
            ),
            ("plumbed", "Same hole beside the chimney"),
        ],
    ),
];

const ROOMS: &[Plain] = &[
    (
        "room.add",
        "room.cellar",
        &[
            ("name", "Ell cellar"),
            ("storey", "@storey.cellar"),
            ("use", "cellar"),
            (
                "note",
                "Slab of the fifties, dry. Girder runs under the Middle wall.",
            ),
        ],
    ),
    (
        "room.add",
        "room.kitchen",
        &[
            ("name", "Kitchen"),
            ("storey", "@storey.first"),
            ("use", "living"),
        ],
    ),
    (
        "room.add",
        "room.sewing",
        &[
            ("name", "Sewing room"),
            ("storey", "@storey.first"),
            ("use", "living"),
        ],
    ),
    (
        "room.add",
        "room.pantry",
        &[
            ("name", "Pantry"),
            ("storey", "@storey.first"),
            ("use", "living"),
        ],
    ),
    (
        "room.add",
        "room.landing",
        &[
            ("name", "Upper landing"),
            ("storey", "@storey.second"),
            ("use", "sleeping"),
        ],
    ),
    (
        "room.add",
        "room.attic",
        &[
            ("name", "Ell attic"),
            ("storey", "@storey.attic"),
            ("use", "attic"),
            (
                "note",
                "Loose fill between the joists. No floor, 40 in clear at the ridge.",
            ),
        ],
    ),
];

/// The house, as it was typed on the first day; who looks at the demo on a weekend finds week 2 worked through it.
pub(crate) fn survey(today: Date) -> Part {
    let monday = monday_of(today);
    let is_weekend = today.weekday().number_days_from_monday() > 4;
    let mut all = vec![row(&JOB)];
    all.extend(WEEKS.iter().map(|(number, first, last, note)| Row {
        op: "week.add".to_owned(),
        word: format!("week.{number}"),
        fields: vec![
            ("number".to_owned(), (*number).to_owned()),
            ("start".to_owned(), day(monday, *first)),
            (
                "end".to_owned(),
                day(monday, if is_weekend && *last == 4 { 6 } else { *last }),
            ),
            ("note".to_owned(), (*note).to_owned()),
        ],
    }));
    all.extend(rows(STOREYS));
    all.extend(rows(ROOMS));
    all.extend(walls::rows());
    all.extend(framing::rows());
    Part {
        day: -14,
        hour: 13,
        rows: all,
    }
}
