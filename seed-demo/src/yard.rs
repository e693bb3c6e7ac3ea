//! Two suppliers and the price book; the hardware table stands in `hardware`.
//!
//! All of it is invented: names, prices and numbers, and each supplier says so. Each yard takes its
//! orders in its own way.

use time::Date;

use crate::hardware;
use crate::row::{Part, Plain, Row, cells, day, row, rows, table};

const INVENTED: &str = "Invented, with all its prices.";
const SPECIES: &str = "Douglas Fir-Larch";

const SUPPLIERS: &[Plain] = &[
    (
        "supplier.add",
        "supplier.ferry",
        &[
            ("name", "Ferry Road Yard"),
            ("phone", "555-0142"),
            ("lead_days", "2"),
            ("order_columns", "item_number"),
            ("order_headings", "SKU"),
            ("order_columns", "quantity"),
            ("order_headings", "Qty"),
            ("order_columns", "unit"),
            ("order_headings", "UM"),
            ("order_columns", "item"),
            ("order_headings", "Description"),
            ("order_columns", "unit_price"),
            ("order_headings", "Price each"),
            ("note", INVENTED),
        ],
    ),
    (
        "supplier.add",
        "supplier.cobble",
        &[
            ("name", "Cobble & Daughters"),
            ("phone", "555-0187"),
            ("lead_days", "0"),
            ("order_columns", "item"),
            ("order_headings", "Article; size"),
            ("order_columns", "quantity"),
            ("order_headings", "How many"),
            ("order_columns", "unit"),
            ("order_headings", "Sold by"),
            ("order_columns", "extension"),
            ("order_headings", "In all"),
            ("order_separator", "semicolon"),
            ("order_bom", "yes"),
            ("note", INVENTED),
        ],
    ),
];

/// Lumber of the first yard: nominal size, grade, treatment, feet of each length sold with its price.
const LUMBER_FERRY: &str = "
1x3  | No.2 | none    | 8 at 2.35, 12 at 3.60
2x4  | No.2 | none    | 8 at 4.15, 10 at 5.35, 12 at 6.60, 14 at 7.95, 16 at 9.20, 18 at 11.40
2x6  | No.2 | none    | 8 at 6.30, 10 at 8.05, 12 at 9.90, 16 at 13.60
2x8  | No.2 | none    | 8 at 8.70, 10 at 11.20, 12 at 13.55, 14 at 16.10, 16 at 18.75
2x10 | No.2 | none    | 10 at 14.85, 12 at 18.10, 14 at 21.40, 16 at 24.70
2x12 | No.1 | none    | 12 at 27.90, 14 at 33.20, 16 at 38.60
4x4  | No.2 | none    | 8 at 13.80, 10 at 17.60
4x6  | No.2 | none    | 8 at 21.90, 10 at 27.80, 12 at 33.90
2x4  | No.2 | treated | 8 at 6.85, 10 at 8.60
";

/// Lumber of the second, likewise.
const LUMBER_COBBLE: &str = "
2x4  | No.2 | none    | 8 at 4.60, 10 at 5.95, 12 at 7.10
2x6  | No.2 | none    | 8 at 6.95, 12 at 10.80
2x8  | No.2 | none    | 8 at 9.40, 12 at 14.60
2x4  | No.2 | treated | 8 at 6.50
";

/// Panels, by the sheet.
const PANELS: &str = "
word          | supplier        | panel            | thickness | along | across | edge              | cover  | sold_by | price | item_number
price.plywood | @supplier.ferry | plywood subfloor | 23/32     | 96    | 48     | tongue_and_groove | 47 1/2 | sheet   | 46.80 | FR-701
price.gypsum  | @supplier.ferry | gypsum board     | 1/2       | 96    | 48     | square            |        | sheet   | 15.90 | FR-720
";

/// Nails and screws, by the box or the pound.
const FASTENERS: &str = "
word                | supplier         | fastener          | sold_by | per_pack | price | item_number
price.16d           | @supplier.ferry  | 16d common        | lb      |          | 3.45  | FR-316
price.16d.box       | @supplier.cobble | 16d common        | box     | 220      | 18.90 |
price.10d.box       | @supplier.ferry  | 10d box           | lb      |          | 3.85  | FR-310
price.10d.common    | @supplier.ferry  | 10d common        | box     | 150      | 12.40 | FR-311
price.8d.common     | @supplier.ferry  | 8d common         | lb      |          | 3.70  | FR-308
price.screw.3       | @supplier.cobble | screw 3 in        | box     | 350      | 29.50 |
price.screw.3.small | @supplier.cobble | screw 3 in        | box     | 75       | 8.90  |
price.screw.212     | @supplier.cobble | screw 2 1/2 in    | box     | 120      | 10.90 |
price.screw.114     | @supplier.cobble | screw 1 1/4 in    | box     | 200      | 7.60  |
price.anchor        | @supplier.cobble | anchor 1/2 x 4 in | each    |          | 3.15  |
";

/// Hardware; one has no price yet.
const HARDWARE: &str = "
word                 | supplier         | hardware                 | sold_by | price | lead_days | item_number | note
price.hanger.narrow  | @supplier.ferry  | @hardware.hanger.narrow  | each    | 2.85  | 5         | FR-902      |
price.hanger.wide    | @supplier.ferry  | @hardware.hanger.wide    | each    | 2.95  | 5         | FR-903      |
price.hanger.tall    | @supplier.ferry  | @hardware.hanger.tall    | each    | 4.20  |           | FR-905      |
price.hanger.dressed | @supplier.cobble | @hardware.hanger.dressed | each    | 1.95  |           |             |
price.cap            | @supplier.ferry  | @hardware.cap            | each    | 19.40 | 5         | FR-931      |
price.base           | @supplier.ferry  | @hardware.base           | each    | 23.75 |           | FR-940      |
price.strap          | @supplier.cobble | @hardware.strap          | each    | 4.60  |           |             |
price.splice         | @supplier.cobble | @hardware.splice         | each    |       |           |             | Price to be asked.
";

/// Sundries.
const SUNDRIES: &str = "
word               | supplier         | name                        | sold_by | price
price.sheeting     | @supplier.cobble | sheeting for a dust wall    | roll    | 21.50
price.mask         | @supplier.cobble | dust mask                   | box     | 17.80
price.bag          | @supplier.cobble | rubble bag                  | each    | 0.85
price.plate.anchor | @supplier.cobble | plate anchor                | each    | 2.90
price.wedges       | @supplier.cobble | pair of shoring wedges      | each    | 0.60
price.shim         | @supplier.cobble | hanger shim 3/16 in         | each    | 0.35
price.filler       | @supplier.cobble | filler strip 5/32 in        | foot    | 0.22
price.filler.stud  | @supplier.cobble | filler strip 5/16 × 1 1/2 in | foot   | 0.25
price.filler.edge  | @supplier.cobble | filler strip 3/8 × 1 1/2 in | foot    | 0.27
price.filler.plate | @supplier.cobble | filler strip 5/16 × 3 1/2 in | foot   | 0.52
price.filler.lower | @supplier.cobble | filler strip 3/8 × 3 1/2 in | foot    | 0.58
price.adhesive     | @supplier.cobble | subfloor adhesive           | tube    | 5.40
price.tape         | @supplier.cobble | joint tape                  | foot    | 0.04
price.compound     | @supplier.cobble | joint compound, area served | each    | 0.14
price.bead         | @supplier.cobble | corner bead                 | each    | 4.25
price.primer       | @supplier.cobble | primer                      | each    | 26.40
";

fn lumber(supplier: &str, sticks: &str, numbered: bool) -> Vec<Row> {
    let mut all = Vec::new();
    for [nominal, grade, treatment, sold] in cells(sticks) {
        for one in sold.split(", ") {
            let (feet, price) = one.split_once(" at ").unwrap_or((one, ""));
            let number = match (numbered, treatment) {
                (false, _) => String::new(),
                (true, "treated") => format!("FR-{nominal}-{feet}T"),
                (true, _) => format!("FR-{nominal}-{feet}"),
            };
            let length = format!("{feet}'");
            let fields = [
                ("supplier", supplier),
                ("section", "stick"),
                ("nominal", nominal),
                ("species", SPECIES),
                ("grade", grade),
                ("treatment", treatment),
                ("length", &length),
                ("sold_by", "each"),
                ("price", price),
                ("item_number", &number),
            ];
            let word = format!("price {supplier} {nominal} {treatment} {feet}");
            all.push(row(&("price.add", &word, &fields)));
        }
    }
    all
}

/// The evening on which it was typed in, from the Monday of week 2.
const EVENING: i64 = -12;

/// Suppliers, hardware and the price book, typed in on one evening.
pub(crate) fn book(monday: Date) -> Part {
    let mut all = rows(SUPPLIERS);
    all.extend(hardware::rows());
    all.extend(lumber("@supplier.ferry", LUMBER_FERRY, true));
    all.extend(lumber("@supplier.cobble", LUMBER_COBBLE, false));
    for (section, prices) in [
        ("panel", PANELS),
        ("fastener", FASTENERS),
        ("hardware", HARDWARE),
        ("sundry", SUNDRIES),
    ] {
        all.extend(table("price.add", &[("section", section)], prices));
    }
    let priced = |row: &&mut Row| row.fields.iter().any(|(name, _)| name == "price");
    for row in all.iter_mut().filter(priced) {
        row.fields
            .push(("price_day".to_owned(), day(monday, EVENING)));
        row.fields.push(("source".to_owned(), "by hand".to_owned()));
    }
    Part {
        day: EVENING,
        hour: 14,
        rows: all,
    }
}
