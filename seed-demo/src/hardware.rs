//! The hardware table: hangers, cap, base, strap and splice plate.
//!
//! All of it is invented: names, sizes, fasteners and loads. No maker’s sheet stands behind a row, and each row says so.

use crate::row::{self, Plain, Row};

/// Said on every row of hardware.
const SHEET: (&str, &str) = (
    "sheet",
    "Invented for the demo. Fill in your own maker’s sheet before you buy.",
);

const HARDWARE: &[Plain] = &[
    (
        "hardware.add",
        "hardware.hanger.narrow",
        &[
            ("name", "Hanger 1 13/16, low"),
            ("type", "hanger"),
            ("seat", "1 13/16"),
            ("height_from", "4 1/2"),
            ("height_to", "5 1/4"),
            ("carrying_fastener", "10d common"),
            ("carrying_count", "8"),
            ("carried_fastener", "10d common"),
            ("carried_count", "4"),
            ("load_lb", "720"),
            ("shim_ok", "yes"),
            ("plane_ok", "no"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.hanger.wide",
        &[
            ("name", "Hanger 1 15/16, low"),
            ("type", "hanger"),
            ("seat", "1 15/16"),
            ("height_from", "4 1/2"),
            ("height_to", "5 1/4"),
            ("carrying_fastener", "10d common"),
            ("carrying_count", "8"),
            ("carried_fastener", "10d common"),
            ("carried_count", "4"),
            ("load_lb", "720"),
            ("shim_ok", "yes"),
            ("plane_ok", "no"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.hanger.tall",
        &[
            ("name", "Hanger 1 15/16, tall"),
            ("type", "hanger"),
            ("seat", "1 15/16"),
            ("height_from", "6 3/4"),
            ("height_to", "7 1/4"),
            ("carrying_fastener", "16d common"),
            ("carrying_count", "10"),
            ("carried_fastener", "10d common"),
            ("carried_count", "6"),
            ("load_lb", "1150"),
            ("shim_ok", "yes"),
            ("plane_ok", "no"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.hanger.dressed",
        &[
            ("name", "Hanger 1 9/16, low"),
            ("type", "hanger"),
            ("seat", "1 9/16"),
            ("height_from", "4 1/2"),
            ("height_to", "5"),
            ("carrying_fastener", "10d common"),
            ("carrying_count", "6"),
            ("carried_fastener", "10d common"),
            ("carried_count", "4"),
            ("load_lb", "640"),
            ("shim_ok", "no"),
            ("plane_ok", "no"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.cap",
        &[
            ("name", "Cap 4x6, under three plies"),
            ("type", "cap"),
            ("seat", "4 9/16"),
            ("takes_up", "1/8"),
            ("carrying_fastener", "16d common"),
            ("carrying_count", "8"),
            ("carried_fastener", "16d common"),
            ("carried_count", "8"),
            ("load_lb", "9800"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.base",
        &[
            ("name", "Base 4x6, stand-off"),
            ("type", "base"),
            ("seat", "3 9/16"),
            ("takes_up", "1"),
            ("carrying_fastener", "anchor 1/2 x 4 in"),
            ("carrying_count", "1"),
            ("carried_fastener", "16d common"),
            ("carried_count", "8"),
            ("load_lb", "8200"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.strap",
        &[
            ("name", "Flat strap, 24 in"),
            ("type", "strap"),
            ("carrying_fastener", "10d common"),
            ("carrying_count", "16"),
            SHEET,
        ],
    ),
    (
        "hardware.add",
        "hardware.splice",
        &[
            ("name", "Splice plate, 3 x 12"),
            ("type", "splice_plate"),
            ("carrying_fastener", "8d common"),
            ("carrying_count", "12"),
            SHEET,
        ],
    ),
];

/// The rows of the table.
pub(crate) fn rows() -> Vec<Row> {
    row::rows(HARDWARE)
}
