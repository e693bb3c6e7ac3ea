//! The walls as found, their layers and openings, and the layers of rooms and roof. Sizes stand in `readings`.
//!
//! Invented. Weights of layers: common practice, no published source.

use crate::row::{self, Plain, Row, table};

const WALLS: &[Plain] = &[
    (
        "wall.add",
        "wall.middle",
        &[
            ("name", "Middle wall"),
            ("room_a", "@room.kitchen"),
            ("room_b", "@room.sewing"),
            ("zero_end", "The chimney end"),
            ("bearing", "yes"),
            (
                "bearing_why",
                "Ceiling joists of both rooms lap on it, four roof struts stand on it, girder right below",
            ),
            ("spacing", "16"),
            ("studs", "12"),
            ("top_plates", "2"),
            ("bottom_plates", "1"),
            ("electric", "safe"),
            ("water", "none"),
            ("gas", "none"),
            ("duct", "none"),
            (
                "note",
                "Two cloth-covered cables, dead, capped in the cellar.",
            ),
        ],
    ),
    (
        "wall.add",
        "wall.north",
        &[
            ("name", "North wall"),
            ("room_a", "@room.kitchen"),
            ("zero_end", "The chimney end"),
            ("bearing", "yes"),
            (
                "bearing_why",
                "Rafters and the Kitchen’s ceiling joists stand on it",
            ),
            ("spacing", "16"),
            ("top_plates", "2"),
            ("bottom_plates", "1"),
            ("electric", "live"),
            ("water", "live"),
            ("gas", "none"),
            ("duct", "none"),
        ],
    ),
    (
        "wall.add",
        "wall.south",
        &[
            ("name", "South wall"),
            ("room_a", "@room.sewing"),
            ("zero_end", "The chimney end"),
            ("bearing", "yes"),
            (
                "bearing_why",
                "Rafters and the Sewing room’s ceiling joists stand on it",
            ),
            ("spacing", "16"),
            ("top_plates", "2"),
            ("bottom_plates", "1"),
            ("electric", "live"),
            ("water", "none"),
            ("gas", "none"),
            ("duct", "none"),
            (
                "note",
                "Upper plate soft under the old gutter leak, dry now.",
            ),
        ],
    ),
    (
        "wall.add",
        "wall.pantry",
        &[
            ("name", "Pantry wall"),
            ("room_a", "@room.kitchen"),
            ("room_b", "@room.pantry"),
            ("zero_end", "The North wall"),
            ("bearing", "no"),
            (
                "bearing_why",
                "Runs along the joists, nothing stands on it in the attic",
            ),
            ("spacing", "16"),
            ("top_plates", "2"),
            ("bottom_plates", "1"),
            ("electric", "none"),
            ("water", "none"),
            ("gas", "none"),
            ("duct", "none"),
        ],
    ),
    (
        "wall.add",
        "wall.stair",
        &[
            ("name", "Cellar stair wall"),
            ("room_a", "@room.cellar"),
            ("zero_end", "The foot of the stair"),
            ("bearing", "not_known"),
            ("bearing_why", "Touches one joist, looks added later"),
            ("spacing", "24"),
            ("top_plates", "1"),
            ("bottom_plates", "1"),
            ("electric", "none"),
            ("water", "none"),
            ("gas", "not_looked"),
            ("duct", "none"),
        ],
    ),
];

/// Layers of walls, rooms and the roof.
const LAYERS: &str = "
word                  | of            | on      | material             | thickness | psf
layer.middle.a        | @wall.middle  | side_a  | plaster on wood lath | 7/8       | 8
layer.middle.b        | @wall.middle  | side_b  | plaster on wood lath | 7/8       | 8
layer.middle.tile     | @wall.middle  | side_a  | tile                 | 3/8       | 4.5
layer.pantry.a        | @wall.pantry  | side_a  | gypsum board         | 1/2       | 2.2
layer.kitchen.ceiling | @room.kitchen | ceiling | plaster on wood lath | 7/8       | 8
layer.kitchen.overlay | @room.kitchen | ceiling | gypsum board         | 3/8       | 1.7
layer.kitchen.floor   | @room.kitchen | floor   | board sheathing      | 7/8       | 2.5
layer.kitchen.finish  | @room.kitchen | floor   | wood flooring        | 3/4       | 3
layer.sewing.ceiling  | @room.sewing  | ceiling | plaster on wood lath | 7/8       | 8
layer.sewing.overlay  | @room.sewing  | ceiling | gypsum board         | 3/8       | 1.7
layer.sewing.floor    | @room.sewing  | floor   | board sheathing      | 7/8       | 2.5
layer.sewing.finish   | @room.sewing  | floor   | wood flooring        | 3/4       | 3
layer.roof            | @storey.attic | roof    | board sheathing      | 7/8       | 2.5
layer.roofing         | @storey.attic | roof    | shingles, two layers | 1/2       | 5
";

/// Doors and windows, places from each wall’s zero end.
const OPENINGS: &str = "
word            | wall         | name                    | from   | width  | height | sill
opening.middle  | @wall.middle | Door to the Sewing room | 98 1/2 | 32 1/4 | 80 1/2 | 0
opening.north.1 | @wall.north  | Window over the sink    | 62     | 30 1/4 | 42     | 40
opening.south.1 | @wall.south  | East window             | 28 1/2 | 30 1/4 | 54     | 28
opening.south.2 | @wall.south  | West window             | 112    | 30 1/4 | 54     | 28
opening.pantry  | @wall.pantry | Pantry door             | 38     | 28 1/2 | 78     | 0
";

/// Walls first, then what lies on them and goes through them.
pub(crate) fn rows() -> Vec<Row> {
    let mut all = row::rows(WALLS);
    all.extend(table("layer.add", &[], LAYERS));
    all.extend(table("opening.add", &[], OPENINGS));
    all
}
