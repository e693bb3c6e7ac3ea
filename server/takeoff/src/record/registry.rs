//! The registry: every kind of entry with its fields, types, who may, and what can change later. Data, no code.
//!
//! Forms, validation, storage, roles, the job file's schema and the bad-input walk read it. A field more is a line here.
//! Defaults are not here: they stand in [`super::settings`].

use super::choices as c;
use super::field::{
    Field, between, choice, count, date, decimal, document, length, money, nail, nominal, note,
    percent, place, suggest, tax_rate, text, to,
};
use super::kind::Kind;
use super::op::{Does, OpKind};
use super::reading::What;
use super::role::Role;
use crate::tables::fastening::Connection as N;
use crate::units::Length;

const NAME: Field = text("name", "Name").required();
const NOTE: Field = note("note", "Note");
const WEEK: Field = count("week", "Work week", 1, 99).required();
const SPECIES: Field =
    suggest("species", "Species", c::SPECIES).hint("Left empty: the job’s usual one.");
const GRADE: Field = suggest("grade", "Grade", c::GRADES).hint("Left empty: the job’s usual one.");
const TREATMENT: Field = choice("treatment", "Treatment", c::TREATMENT);
const SEASONING: Field = choice("seasoning", "As sold", c::SEASONING)
    .hint("Left empty: dry to 4 in thick, green from 5 in (PS 20).");
const SPACING: Field = between(
    "spacing",
    "Spacing on centre",
    Length::inches(1),
    Length::inches(96),
);
const HALF_INCH: Length = Length::inches_64(0, 32);
const WALL_SPOT: &[Kind] = &[Kind::Wall];
const HARDWARE: &[Kind] = &[Kind::Hardware];
const FRAMING: &[Kind] = &[Kind::Member, Kind::Run];
/// What a word or a paper holds for: the whole job, a wall, or a change.
const WORD_FOR: &[Kind] = &[
    Kind::Job,
    Kind::Wall,
    Kind::Shore,
    Kind::TakeOut,
    Kind::Struts,
    Kind::SetBeam,
    Kind::SetPost,
    Kind::Pack,
    Kind::HangJoists,
    Kind::Sister,
    Kind::Plate,
    Kind::Studs,
    Kind::PatchFloor,
    Kind::Board,
];
const BEAMS: &[Kind] = &[Kind::SetBeam, Kind::Member];
/// Everything that a note or a photo can be about.
pub const ANYTHING: &[Kind] = &[
    Kind::Job,
    Kind::Week,
    Kind::Storey,
    Kind::Room,
    Kind::Wall,
    Kind::Member,
    Kind::Run,
    Kind::Supplier,
    Kind::Hardware,
    Kind::Shore,
    Kind::TakeOut,
    Kind::Struts,
    Kind::SetBeam,
    Kind::SetPost,
    Kind::Pack,
    Kind::HangJoists,
    Kind::Sister,
    Kind::Plate,
    Kind::Studs,
    Kind::PatchFloor,
    Kind::Board,
    Kind::Sundry,
    Kind::Receipt,
    Kind::Bought,
    Kind::Order,
    Kind::Layer,
    Kind::Opening,
    Kind::Stock,
    Kind::Word,
    Kind::Event,
    Kind::Hold,
];
/// Everything that a reading can be of.
pub const MEASURABLE: &[Kind] = &[
    Kind::Room,
    Kind::Wall,
    Kind::Member,
    Kind::Run,
    Kind::Stock,
    Kind::Shore,
    Kind::TakeOut,
    Kind::Struts,
    Kind::SetBeam,
    Kind::SetPost,
    Kind::Pack,
    Kind::HangJoists,
    Kind::Sister,
    Kind::Plate,
    Kind::Studs,
    Kind::PatchFloor,
    Kind::Board,
    Kind::Sundry,
];

const JOB: &[Field] = &[
    NAME,
    count("year_built", "Year built", 1600, 2100).first(),
    choice("units", "Units", c::UNITS).first(),
    suggest("species", "Usual species of new lumber", c::SPECIES).first(),
    suggest("grade", "Usual grade of new lumber", c::GRADES).first(),
    tax_rate("tax", "Sales tax, percent").first(),
    text("address", "Address"),
    decimal("ground_snow", "Ground snow load, psf", 1, 5_000),
    choice("soil", "Soil under the foundation", c::SOIL),
    percent("waste_stick", "Waste, lumber, percent"),
    percent("waste_panel", "Waste, panels, percent"),
    percent("waste_fastener", "Waste, fasteners, percent"),
    percent("waste_hardware", "Waste, hardware, percent"),
    between(
        "tolerance",
        "Two readings agree within",
        Length::from_64ths(1),
        Length::inches(1),
    ),
    between("kerf", "Saw kerf", Length::ZERO, Length::inches(1)),
    between(
        "trim",
        "Trim off each whole stick",
        Length::ZERO,
        Length::inches(12),
    ),
    length("longest_stick", "Longest stick that can be carried in"),
    count("payload_lb", "Vehicle’s payload, lb", 1, 100_000),
    decimal("payload_cu_yd", "Vehicle’s load, cu yd", 1, 10_000),
    SPACING,
    length("keep_length", "Keep an offcut from"),
    between("panel_gap", "Panel gap", Length::ZERO, Length::inches(1)),
    choice("panel_edge", "Square panel edges", c::BLOCKED),
    nominal("cleat", "Cleats and blocks"),
    length("adhesive_tube", "Adhesive: one tube serves"),
    place("shore_off", "Shoring off the wall’s face"),
    place("shore_beyond", "Shoring beyond the opening"),
    nominal("shore_stud", "Shoring stud, brace and bottom plate"),
    count("shore_top_plies", "Shoring top plates, plies", 1, 4),
    length("brace_run", "Brace run"),
    count("braces_a_side", "Braces a side", 0, 20),
    between("post_over_cut", "Post over-cut", Length::ZERO, HALF_INCH),
    between("stud_fit", "Stud fit", Length::ZERO, HALF_INCH),
    between(
        "beam_clearance",
        "Beam clearance at a cut joist",
        Length::ZERO,
        Length::inches(2),
    ),
    decimal("rubble_factor", "Loose rubble takes up", 1, 50),
    count("sister_rows", "Sister fasteners, rows", 1, 6),
    between(
        "sister_spacing",
        "Sister fasteners, spacing",
        Length::inches(1),
        Length::inches(48),
    ),
    suggest("sister_fastener", "Sister fastener", &["10d common"]),
    suggest("shore_screw", "Screw for shoring", &["screw 3 in"]),
    suggest("floor_screw", "Screw for subfloor", &["screw 2 1/2 in"]),
    suggest("board_screw", "Screw for board", &["screw 1 1/4 in"]),
    suggest("coating", "Coating of nails and screws", c::COATINGS),
    nail(
        "nail_builtup_lines",
        "Nail: beam plies, along",
        N::BuiltupBeamLines,
    ),
    nail(
        "nail_builtup_ends",
        "Nail: beam plies, ends",
        N::BuiltupBeamEnds,
    ),
    nail(
        "nail_stud_toe",
        "Nail: stud to plate, toe",
        N::StudToPlateToe,
    ),
    nail("nail_stud_to_stud", "Nail: stud to stud", N::StudToStud),
    nail(
        "nail_top_splice",
        "Nail: top plate splice",
        N::TopPlateSplice,
    ),
    nail(
        "nail_top_to_top",
        "Nail: top plate to top plate",
        N::TopPlateToTopPlate,
    ),
    nail(
        "nail_bottom",
        "Nail: bottom plate to floor",
        N::BottomPlateToFloor,
    ),
    nail(
        "nail_blocking",
        "Nail: blocking to joist",
        N::BridgingOrBlockingToJoist,
    ),
    nail(
        "nail_strut",
        "Nail: roof strut to rafter",
        N::RoofStrutToRafter,
    ),
    NOTE,
];

const WEEK_FIELDS: &[Field] = &[
    count("number", "Number", 1, 99).required(),
    date("start", "First day").first(),
    date("end", "Last day").first(),
    NOTE,
];

const STOREY: &[Field] = &[
    NAME,
    count("level", "Level, lowest is 0", 0, 9).required(),
    text("datum", "Positions are measured from"),
    text("plumbed", "Tied to the storey below by"),
    NOTE,
];

const ROOM: &[Field] = &[
    NAME,
    to("storey", "Storey", &[Kind::Storey]),
    choice("use", "Use", c::USE),
    text("corners", "Corners, where it is no rectangle"),
    choice("bare", "Bare, without any layer", c::ROOM_BARE).list(),
    NOTE,
];

const WALL: &[Field] = &[
    NAME,
    to("room_a", "Room on the first side", &[Kind::Room]).first(),
    to("room_b", "Room on the other side", &[Kind::Room]).first(),
    text("zero_end", "Zero end")
        .first()
        .hint("Where positions are measured from, as in: the porch corner."),
    choice("bearing", "Carries load", c::BEARING).first(),
    text("bearing_why", "Why we think so"),
    SPACING,
    count("studs", "Studs, counted", 1, 500),
    count("top_plates", "Top plates", 0, 4),
    count("bottom_plates", "Bottom plates", 0, 4),
    choice("bare", "Bare, without any layer", c::SIDE).list(),
    to(
        "stands_on",
        "It stands on which",
        &[Kind::Member, Kind::Run, Kind::Wall],
    ),
    choice("stands_how", "On joists: it runs", c::ON_JOISTS),
    place("stands_at", "Across joists: from their start to its middle"),
    suggest("species", "Species, if stamped or judged", c::SPECIES),
    suggest("grade", "Grade, if stamped or judged", c::GRADES),
    choice("electric", "Electric", c::SERVICE),
    choice("water", "Water", c::SERVICE),
    choice("gas", "Gas", c::SERVICE),
    choice("duct", "Duct", c::SERVICE),
    NOTE,
];

const LAYER: &[Field] = &[
    to("of", "Of", &[Kind::Wall, Kind::Room, Kind::Storey])
        .required()
        .fixed(),
    choice("on", "Where", c::LAYER_ON).required(),
    suggest("material", "What", c::LAYERS).required(),
    length("thickness", "Thickness").required(),
    decimal("psf", "Weight, psf", 2, 20_000).first(),
    NOTE,
];

const OPENING: &[Field] = &[
    to("wall", "Wall", WALL_SPOT).required().fixed(),
    text("name", "Name").first(),
    place("from", "From the zero end").first(),
    length("width", "Width").required(),
    length("height", "Height").required(),
    place("sill", "Sill above the floor"),
    NOTE,
];

const MEMBER: &[Field] = &[
    NAME,
    choice("piece", "What it is", c::MEMBER).required(),
    to("room", "Room", &[Kind::Room]),
    to("wall", "Wall", WALL_SPOT),
    to("measured_from", "Place is measured from", WALL_SPOT),
    choice("measured_to", "Measured to its", c::MEASURED_TO),
    choice("direction", "Direction", c::DIRECTION),
    choice("over_wall", "At the wall", c::OVER_WALL),
    suggest("species", "Species, if stamped or judged", c::SPECIES),
    suggest("grade", "Grade, if stamped or judged", c::GRADES),
    text("judged_by", "Grade judged by"),
    choice("moisture", "Wet or dry", c::MOISTURE),
    choice("top_held", "Top edge held", c::YES_NO),
    count("plies", "Plies beside each other", 1, 6),
    SPACING.hint("A joist by itself: to the next one on its wider side."),
    to(
        "carries",
        "Floor or attic on top: of which room",
        &[Kind::Room],
    ),
    choice("start_on", "Its start bears on", c::BEARS_ON),
    choice("end_on", "Its end bears on", c::BEARS_ON),
    to(
        "start_at",
        "Its start bears on which",
        &[Kind::Wall, Kind::Member, Kind::Run],
    ),
    to(
        "end_at",
        "Its end bears on which",
        &[Kind::Wall, Kind::Member, Kind::Run],
    ),
    choice("looked_at", "Looked at", c::LOOKED_AT),
    note(
        "condition",
        "Condition: notches, holes, splits, decay, and where",
    ),
    NOTE,
];

const RUN: &[Field] = &[
    NAME,
    choice("piece", "What they are", c::MEMBER).required(),
    to("room", "Room", &[Kind::Room]),
    SPACING.required(),
    count("count", "How many", 1, 500).required(),
    to("measured_from", "First place is measured from", WALL_SPOT).first(),
    choice("measured_to", "Measured to its", c::MEASURED_TO).first(),
    choice("direction", "Direction", c::DIRECTION).first(),
    choice("over_wall", "At the wall", c::OVER_WALL).first(),
    suggest("species", "Species, if stamped or judged", c::SPECIES),
    suggest("grade", "Grade, if stamped or judged", c::GRADES),
    text("judged_by", "Grade judged by"),
    choice("moisture", "Wet or dry", c::MOISTURE),
    choice("top_held", "Top edge held", c::YES_NO),
    to(
        "carries",
        "Floor or attic on top: of which room",
        &[Kind::Room],
    ),
    choice("start_on", "Their start bears on", c::BEARS_ON),
    choice("end_on", "Their end bears on", c::BEARS_ON),
    to(
        "start_at",
        "Their start bears on which",
        &[Kind::Wall, Kind::Member, Kind::Run],
    ),
    to(
        "end_at",
        "Their end bears on which",
        &[Kind::Wall, Kind::Member, Kind::Run],
    ),
    choice("looked_at", "Looked at", c::LOOKED_AT),
    note(
        "condition",
        "Condition: notches, holes, splits, decay, and where",
    ),
    NOTE,
];

const READING: &[Field] = &[
    to("of", "Of", MEASURABLE).required().fixed(),
    choice("what", "What", What::CHOICES).required().fixed(),
    choice("side", "Side", c::SIDE).fixed(),
    suggest("place", "Where along it", c::PLACES).fixed(),
    count("number", "Which one of the run", 1, 500).fixed(),
    choice("by", "Taken by", c::BY).required().fixed(),
    between("raw", "Reading", Length::ZERO, Length::feet(200))
        .required()
        .fixed(),
];

const NOTE_FIELDS: &[Field] = &[
    to("of", "About", ANYTHING).required().fixed(),
    note("text", "Note").required().fixed(),
];

const SUPPLIER: &[Field] = &[
    NAME,
    text("phone", "Phone"),
    count("lead_days", "Usual lead time, days", 0, 365),
    choice("order_columns", "Columns of its CSV", c::ORDER_COLUMNS)
        .list()
        .apart(),
    text("order_headings", "Their headings").list().apart(),
    choice("order_separator", "Between the columns", c::SEPARATOR).apart(),
    choice("order_decimal", "Decimal mark", c::DECIMAL).apart(),
    choice("order_bom", "Byte order mark at its start", c::YES_NO).apart(),
    text("csv_headings", "Headings of its price book")
        .list()
        .apart(),
    text("csv_columns", "What they are here").list().apart(),
    choice("csv_decimal", "Its decimal mark", c::DECIMAL).apart(),
    choice("csv_bare", "Lengths without a unit are in", c::BARE_LENGTH).apart(),
    NOTE,
];

const PRICE: &[Field] = &[
    to("supplier", "Supplier", &[Kind::Supplier]).required(),
    choice("section", "Section", c::SECTION).required(),
    text("name", "Name, for sundries").first(),
    nominal("nominal", "Nominal size").first(),
    suggest("species", "Species", c::SPECIES).first(),
    suggest("grade", "Grade", c::GRADES).first(),
    TREATMENT,
    SEASONING,
    length("length", "Length sold").first(),
    suggest("panel", "Panel", c::PANELS),
    length("thickness", "Thickness, panel"),
    length("along", "Panel, along its strength axis"),
    length("across", "Panel, across it"),
    choice("edge", "Long edges", c::PANEL_EDGE),
    length("cover", "Cover width"),
    suggest("fastener", "Fastener", &["16d common", "screw 3 in"]),
    suggest("coating", "Coating", c::COATINGS),
    count("per_pack", "In a pack", 1, 100_000),
    choice("pack_of", "Its pack counts in, for sundries", c::PACK_OF)
        .hint("Left empty: each. Feet for a roll of tape that is needed by the foot."),
    decimal("per_lb", "Count in a pound", 1, 100_000),
    to("hardware", "Row of the hardware table", HARDWARE),
    choice("sold_by", "Sold by", c::SOLD_BY).hint("Sticks: each or foot. Panels: each or sheet."),
    money("price", "Price").first(),
    text("item_number", "Supplier’s item number"),
    count("lead_days", "Lead time, days", 0, 365),
    count("at_yard", "At the yard for one trip", 0, 100_000)
        .hint("Sticks and panels, with those already bought for it. Left empty: as many as wanted. 0: none."),
    date("price_day", "Date of the price"),
    text("source", "Where the price is from").hint("A quote’s number, a file, or by hand."),
    NOTE,
];

const HARDWARE_FIELDS: &[Field] = &[
    NAME,
    choice("type", "What it is", c::HARDWARE).required(),
    length("seat", "Seat width").first(),
    length("height_from", "For a joist depth from").first(),
    length("height_to", "Its height, to").first(),
    text("carrying_fastener", "Fastener into the carrying member").first(),
    count(
        "carrying_count",
        "How many into the carrying member",
        0,
        200,
    )
    .first(),
    text("carried_fastener", "Fastener into the carried member").first(),
    count("carried_count", "How many into the carried member", 0, 200).first(),
    count("load_lb", "Lowest load on the sheet, lb", 1, 1_000_000),
    choice("shim_ok", "The sheet allows shims in the seat", c::YES_NO),
    choice("plane_ok", "The sheet allows planing the joist", c::YES_NO),
    place("takes_up", "Cap seat or base height").hint("What it takes off the post’s length."),
    note("sheet", "The maker’s sheet: which, of when"),
    NOTE,
];

const SHORE: &[Field] = &[
    NAME,
    WEEK,
    to("wall", "Wall", WALL_SPOT).required(),
    choice("sides", "Which side", c::SIDES).first(),
    text(
        "one_side_word",
        "One side alone: who says the joists run through and none is cut",
    ),
    place("from", "Opening from the zero end").first(),
    place("to", "Opening to").first(),
    place(
        "side_a_from",
        "First room’s side: its wall at the zero end stands at",
    ),
    place(
        "side_a_to",
        "First room’s side: its wall at the far end stands at",
    ),
    place(
        "side_b_from",
        "Other side: its wall at the zero end stands at",
    ),
    place("side_b_to", "Other side: its wall at the far end stands at"),
    choice("fit", "Studs", c::FIT),
    between(
        "lean",
        "Leaning: longer by",
        Length::from_64ths(1),
        HALF_INCH,
    ),
    choice("stands_on", "Stands on", c::STANDS_ON),
    choice("ground", "On the ground: which", c::SHORE_GROUND),
    to("floor_joists", "Floor joists under it", FRAMING),
    choice("planked", "Planked across three joists", c::YES_NO),
    to(
        "over",
        "Girder or wall below it",
        &[Kind::Member, Kind::Wall],
    ),
    place("over_away", "From the shore’s line to that"),
    to("below", "Again below, in", &[Kind::Room]).list(),
    text(
        "below_word",
        "A storey below without a shore: who says so, and why",
    ),
    count(
        "planks_a_side",
        "Planks a side under the bottom plate",
        0,
        6,
    ),
    nominal("plank", "Plank"),
    SPACING,
    place("beyond", "Beyond the opening"),
    nominal("stud", "Stud, brace and plates"),
    count("top_plies", "Top plates, plies", 1, 4),
    length("brace_run", "Brace run"),
    count("braces_a_side", "Braces a side", 0, 20),
    suggest("screw", "Screw", &["screw 3 in"]),
    SPECIES,
    GRADE,
    text("keeper", "Kept over the gap by"),
    NOTE,
];

const TAKE_OUT: &[Field] = &[
    NAME,
    WEEK,
    to("wall", "Wall", WALL_SPOT).required(),
    place("from", "From the zero end").first(),
    place("to", "To").first(),
    count("studs", "Studs that come out, counted", 1, 500),
    count("nailed_ends", "Plate ends that are nailed", 0, 2),
    choice("salvage", "Keep the lumber", c::YES_NO),
    decimal("rubble_factor", "Loose rubble takes up", 1, 50),
    count("payload_lb", "Vehicle’s payload, lb", 1, 100_000),
    decimal("payload_cu_yd", "Vehicle’s load, cu yd", 1, 10_000),
    NOTE,
];

const STRUTS: &[Field] = &[
    NAME,
    WEEK,
    to("wall", "They stand on wall", WALL_SPOT),
    count("count", "How many", 1, 100).required(),
    nominal("nominal", "New strut, size").first(),
    nail("nail_strut", "Nail", N::RoofStrutToRafter),
    to("purlin", "Purlin that they carry", &[Kind::Member]),
    to("rafters", "Rafters on that purlin", &[Kind::Run]),
    choice("run_through", "Rafters run through over it", c::YES_NO),
    to(
        "lands_on",
        "Their feet land on",
        &[Kind::SetBeam, Kind::Member, Kind::Wall],
    ),
    place("first", "First foot, from the zero end"),
    SPACING,
    SPECIES,
    GRADE,
    text("temporary_path", "Meanwhile their load goes by"),
    NOTE,
];

const SET_BEAM: &[Field] = &[
    NAME,
    WEEK,
    to("wall", "In the line of wall", WALL_SPOT).first(),
    nominal("nominal", "Size").required(),
    count("plies", "Plies", 1, 6).required(),
    choice("set", "Set", c::BEAM_SET).first(),
    place("from", "Its start, from the zero end").first(),
    length("bearing_start", "Bearing at its start"),
    length("bearing_end", "Bearing at its end"),
    choice("start_on", "Its start bears on", c::BEARS_ON),
    choice("end_on", "Its end bears on", c::BEARS_ON),
    place("clearance", "Clearance at a cut joist"),
    choice("raised_whole", "Raised whole", c::YES_NO),
    SPECIES,
    GRADE,
    TREATMENT,
    SEASONING,
    nail("nail_lines", "Nail along the plies", N::BuiltupBeamLines),
    nail("nail_ends", "Nail at the ends", N::BuiltupBeamEnds),
    length("eng_thickness", "Engineer: thickness of a ply"),
    length("eng_depth", "Engineer: depth"),
    count("eng_plies", "Engineer: plies", 1, 12),
    suggest("eng_species", "Engineer: species", c::SPECIES),
    suggest("eng_grade", "Engineer: grade", c::GRADES),
    text("eng_word", "Engineer’s word on another species"),
    NOTE,
];

const SET_POST: &[Field] = &[
    NAME,
    WEEK,
    to("under", "Under", BEAMS).required(),
    nominal("nominal", "Size").required(),
    place("place", "Its near face, from the zero end").first(),
    choice("lands", "Lands", c::LANDS).first(),
    choice("stands_on", "Stands on", c::GROUND).first(),
    to("floor", "Floor joists that it lands on", FRAMING),
    place(
        "across",
        "Its near face, from the line that what carries it is measured from",
    ),
    to(
        "lands_on",
        "What carries it",
        &[Kind::Member, Kind::Run, Kind::Wall],
    )
    .list(),
    between("over_cut", "Over-cut", Length::ZERO, HALF_INCH),
    to("cap", "Cap", HARDWARE),
    to("base", "Base", HARDWARE),
    choice(
        "read_with_hardware",
        "The reading was taken with cap and base in place",
        c::YES_NO,
    ),
    SPECIES,
    GRADE,
    TREATMENT,
    SEASONING,
    nail("nail_toe", "Nail at a bare end", N::StudToPlateToe),
    NOTE,
];

const PACK: &[Field] = &[
    NAME,
    WEEK,
    choice("pack", "What", c::PACK).required(),
    nominal("nominal", "From").required(),
    count("count", "Pieces", 1, 500).first(),
    length("length", "Each long").first(),
    length("thickness", "Ripped or planed to"),
    choice("on_end", "On end, grain upright", c::YES_NO),
    to("landing", "Under post", &[Kind::SetPost]),
    to("run", "Between the joists of", &[Kind::Run]),
    count("first", "From joist number", 1, 500),
    count("last", "To joist number", 1, 500),
    count("rows", "Rows", 1, 20),
    nail("nail_blocking", "Nail", N::BridgingOrBlockingToJoist),
    SPECIES,
    GRADE,
    TREATMENT,
    NOTE,
];

const HANG_JOISTS: &[Field] = &[
    NAME,
    WEEK,
    to("beam", "On beam", BEAMS).required(),
    to("runs", "Joists", FRAMING).list().required(),
    choice("partly", "A joist partly past the beam’s end", c::PARTLY),
    place(
        "runs_zero",
        "Where the joists’ wall stands, from the beam’s zero end",
    ),
    to("hanger", "Hanger, if chosen by hand", HARDWARE),
    choice("hanger_fit", "Chosen hanger", c::HANGER_FIT),
    NOTE,
];

const SISTER: &[Field] = &[
    NAME,
    WEEK,
    to("member", "Beside", FRAMING).required(),
    count("number", "Which one of the run", 1, 500).first(),
    nominal("nominal", "Size").required(),
    length("length", "Length").required(),
    place("from", "Its start, from the member’s start"),
    place("damage_from", "Damage from, from the member’s start"),
    place("damage_to", "Damage to"),
    choice(
        "cuts_old",
        "Old framing is cut, comes out or is relieved for it",
        c::YES_NO,
    ),
    to(
        "shored_by",
        "Old framing is carried meanwhile by which shore",
        &[Kind::Shore],
    ),
    count("bearings", "Ends that bear", 0, 2),
    count("rows", "Rows of fasteners", 1, 6),
    SPACING,
    suggest("fastener", "Fastener", &["10d common"]),
    SPECIES,
    GRADE,
    TREATMENT,
    NOTE,
];

const PLATE: &[Field] = &[
    NAME,
    WEEK,
    to("wall", "Wall", WALL_SPOT).required(),
    choice("plate", "Which", c::PLATE).required(),
    place("from", "From the zero end").required(),
    length("to", "To").required(),
    nominal("nominal", "Size").required(),
    place(
        "other_joints",
        "Joints of the other plate, from the zero end",
    )
    .list()
    .first(),
    choice("stands_on", "Stands on", c::GROUND),
    count("cuts", "Places cut more than half through", 0, 50),
    to("strap", "Strap over such a cut", HARDWARE),
    to("splice_plate", "Splice plate for a near joint", HARDWARE),
    nail("nail_splice", "Nail: splice", N::TopPlateSplice),
    nail("nail_plate", "Nail: plate to plate", N::TopPlateToTopPlate),
    nail("nail_bottom", "Nail: bottom plate", N::BottomPlateToFloor),
    suggest("strap_nail", "Nail: strap", &["10d common"]),
    suggest("splice_nail", "Nail: splice plate", &["8d common"]),
    SPECIES,
    GRADE,
    TREATMENT,
    NOTE,
];

const STUDS: &[Field] = &[
    NAME,
    WEEK,
    choice("stud", "Which", c::STUD).required(),
    count("count", "How many", 1, 200).required(),
    to("wall", "Wall", WALL_SPOT).first(),
    nominal("nominal", "Size").required(),
    choice(
        "cuts_old",
        "Old framing is cut, comes out or is relieved for it",
        c::YES_NO,
    ),
    between("fit", "Shorter by, to fit", Length::ZERO, HALF_INCH),
    nail("nail_toe", "Nail: ends", N::StudToPlateToe),
    nail("nail_king", "Nail: jack to king", N::StudToStud),
    SPECIES,
    GRADE,
    TREATMENT,
    NOTE,
];

const PATCH_FLOOR: &[Field] = &[
    NAME,
    WEEK,
    length("across", "Across the joists").required(),
    length("along", "Along the joists").required(),
    to("panel", "Panel", &[Kind::Price]).required(),
    to("run", "Joists under it", &[Kind::Run]).required(),
    place("starts_at", "Its edge, in the joists’ measure")
        .first()
        .hint("Where the patch begins, measured as the run’s first place is."),
    text("corners", "Corners, where it is no rectangle")
        .hint("Right-angled, from the zero corner: across,along; across,along; …"),
    choice("joints", "Square joints", c::BLOCKED),
    choice("outer", "Outer edges across the joists", c::BLOCKED),
    choice("adhesive", "Adhesive", c::YES_NO),
    suggest("screw", "Screw", &["screw 2 1/2 in"]),
    between("panel_gap", "Panel gap", Length::ZERO, Length::inches(1)),
    length("adhesive_tube", "Adhesive: one tube serves"),
    nominal("cleat", "Cleats and blocks"),
    nail(
        "nail_blocking",
        "Nail: blocks",
        N::BridgingOrBlockingToJoist,
    ),
    SPECIES,
    GRADE,
    NOTE,
];

const BOARD: &[Field] = &[
    NAME,
    WEEK,
    choice("surface", "Surface", c::SURFACE).required(),
    to("wall", "Wall, for its openings", WALL_SPOT),
    length("across", "Across the supports").required(),
    length("along", "Along the supports").required(),
    to("panel", "Panel", &[Kind::Price]).required(),
    to("run", "Supports", &[Kind::Run]).first(),
    place("starts_at", "Its edge, in the supports’ measure"),
    SPACING,
    between(
        "screw_spacing",
        "Screws at",
        Length::inches(1),
        Length::inches(24),
    ),
    choice(
        "new_edges",
        "Edges that meet new work",
        &[
            ("start", "Start"),
            ("end", "End"),
            ("zero", "Zero side"),
            ("far", "Far side"),
        ],
    )
    .list(),
    choice("tape", "Tape and compound", c::YES_NO),
    suggest("screw", "Screw", &["screw 1 1/4 in"]),
    nominal("strip", "Furring strip"),
    SPECIES,
    GRADE,
    NOTE,
];

const SUNDRY: &[Field] = &[
    NAME,
    WEEK,
    text("item", "What").required(),
    choice("unit", "Unit", c::SOLD_BY).required(),
    count("count", "How many", 1, 100_000).required(),
    to("for", "For", &Kind::CHANGES),
    NOTE,
];

const RECEIPT: &[Field] = &[
    to("supplier", "Supplier", &[Kind::Supplier]),
    date("day", "Date"),
    count("week", "Work week", 1, 99),
    to("order", "Came with the order", &[Kind::Order]),
    tax_rate("tax", "Tax, percent"),
    money("tax_typed", "Tax as printed"),
    money("total", "Total as printed"),
    NOTE,
];

const BOUGHT: &[Field] = &[
    to("receipt", "Receipt", &[Kind::Receipt]).required(),
    note("item", "Item").required(),
    count("weeks", "Work weeks that it answers", 1, 99)
        .list()
        .required(),
    count("count", "How many", 1, 100_000).required(),
    decimal("per", "Pieces in each one", 1, 1_000_000).hint("Left empty: one."),
    money("price", "Unit price"),
    choice("price_by", "The price is for", c::PRICE_BY).hint("Left empty: each."),
    choice("way", "Bought or returned", c::WAY),
    note("instead_of", "Instead of"),
    to("order", "Came with the order", &[Kind::Order]),
    to("returns", "Goes back from the line", &[Kind::Bought]),
    note("rows", "Which sticks go back").list(),
];

const ORDER: &[Field] = &[
    to("supplier", "Supplier", &[Kind::Supplier]).required(),
    count("weeks", "Work weeks", 1, 99).list().required(),
    to("revises", "Takes the place of", &[Kind::Order]),
    count("revision", "Revision", 1, 99),
    NOTE,
];
const ORDER_SEND: &[Field] = &[
    count("weeks", "Work weeks", 1, 99).list().required(),
    to("revises", "Takes the place of", &[Kind::Order]),
    choice("status", "State", c::ORDER_SENT).required(),
    date("sent", "Sent on").required(),
    note("line", "Line").list().required(),
    document("csv", "The order as CSV"),
    document("text", "The order as text"),
    document("print", "The order as printed"),
];
const ORDER_STATUS: &[Field] = &[choice("status", "State", c::ORDER_STATE).required(), NOTE];
const ORDER_SHORT: &[Field] = &[
    note("item", "Item").list(),
    text("back", "Not coming: back on the list").list(),
    NOTE,
];
const ORDER_CANCEL: &[Field] = &[
    choice("status", "State", c::ORDER_CANCELLED).required(),
    text("reason", "Reason").required(),
];
const WEEK_AFRESH: &[Field] = &[NOTE];
const WEEK_CLOSE: &[Field] = &[
    choice("closed", "Closed", c::CLOSED).required(),
    text("keeper", "Looks after the shoring over the gap")
        .hint("Who looks at it between the weeks: wedges tight, nothing moved."),
    NOTE,
];
const WEEK_REOPEN: &[Field] = &[
    choice("closed", "Closed", c::OPEN).required(),
    text("reason", "Reason").required(),
];

/// What a thing on hand is and how many there are stays as it was written: a count by hand corrects that, as a movement.
const STOCK: &[Field] = &[
    choice("section", "Section", c::SECTION).required().fixed(),
    nominal("nominal", "Nominal size").first().fixed(),
    length("thickness", "Thickness").first().fixed(),
    length("depth", "Depth").first().fixed(),
    suggest("species", "Species", c::SPECIES).fixed(),
    suggest("grade", "Grade", c::GRADES).fixed(),
    TREATMENT.fixed(),
    length("length", "Length").first().fixed(),
    suggest("panel", "Panel", c::PANELS).fixed(),
    length("along", "Panel, along its strength axis").fixed(),
    length("across", "Panel, across it").fixed(),
    suggest("fastener", "Fastener", &["16d common", "screw 3 in"]).fixed(),
    suggest("coating", "Coating", c::COATINGS).fixed(),
    to("hardware", "Row of the hardware table", HARDWARE).fixed(),
    text("name", "Name, for sundries").fixed(),
    choice("unit", "Unit, for sundries", c::SOLD_BY).fixed(),
    count("count", "How many", 1, 100_000).required().fixed(),
    choice("salvage", "Salvage", c::YES_NO).first(),
    choice("sound", "Called sound and nail-free", c::YES_NO).first(),
    text("lies", "Where it lies"),
    text("reason", "Where it comes from"),
];

const PHOTO: &[Field] = &[
    to("of", "Of", ANYTHING).required().fixed(),
    text("caption", "Caption").first(),
];

const WITHDRAW: &[Field] = &[text("reason", "Reason").required()];
const REASON: &[Field] = &[text("reason", "Reason")];
const STATE: &[Field] = &[
    choice("state", "State", c::STATE).required(),
    text("reason", "Reason"),
];
const DONE: &[Field] = &[
    note("stick", "Stick or panel that was taken").list(),
    text("offcut", "What was left of it").list(),
    note("item", "Item that was used").list(),
    text("used", "How many").list(),
    note("back", "Lumber that came out, kept").list(),
    text("back_length", "Each long").list(),
    text("back_count", "How many").list(),
    NOTE,
];
/// `struck` is written by the store itself, so that the record says whether a shore still stands.
const STRUCK: &[Field] = &[
    note("item", "Piece that came back").list(),
    text("back", "How many").list(),
    choice("struck", "Struck", c::CLOSED),
    NOTE,
];
const WORD: &[Field] = &[
    to("of", "For", WORD_FOR).required().fixed(),
    choice("about", "About", c::WORD_ABOUT).required().fixed(),
    choice("says", "It says", c::WORD_SAYS).required().fixed(),
    text("who", "Who says so").required().fixed(),
    text("paper", "Which paper, of which day").first().fixed(),
    note("note", "Note").fixed(),
];
const EVENT: &[Field] = &[
    to("of", "Change", &Kind::CHANGES).required().fixed(),
    choice("event", "What happened", c::HOLD_EVENT)
        .required()
        .fixed(),
    date("day", "Day").required().fixed(),
    text("who", "Who was there").first().fixed(),
    note("note", "Note").fixed(),
];
const HOLD: &[Field] = &[
    to("of", "Change", &Kind::CHANGES).required().fixed(),
    choice("event", "Before which event", c::HOLD_EVENT)
        .required()
        .fixed(),
    choice("seen", "Looked at", c::HOLD_ASK).list().fixed(),
    to("photo", "Photo", &[Kind::Photo]).fixed(),
    note("note", "Note").first().fixed(),
    text("stood", "What stood then").list().apart().fixed(),
];
const SKIP: &[Field] = &[
    to("of", "Change", &Kind::CHANGES).required().fixed(),
    choice("event", "Before which event", c::HOLD_EVENT)
        .required()
        .fixed(),
    choice("condition", "What is skipped", c::HOLD_ASK)
        .required()
        .fixed(),
    text("reason", "Why").required().fixed(),
];
const COUNT: &[Field] = &[
    note("item", "Item").required(),
    count("saw", "The record said", 0, 1_000_000),
    count("counted", "Counted", 0, 1_000_000).required(),
    choice("salvage", "Salvage", c::YES_NO)
        .hint("Which of the like ones were counted; empty: all of them."),
    text("reason", "Reason").required(),
];

const fn row(
    name: &'static str,
    kind: Kind,
    does: Does,
    least: Role,
    fields: &'static [Field],
) -> OpKind {
    OpKind {
        name,
        kind,
        any_change: false,
        does,
        least,
        fields,
    }
}

const fn any(name: &'static str, does: Does, least: Role, fields: &'static [Field]) -> OpKind {
    OpKind {
        name,
        kind: Kind::Shore,
        any_change: true,
        does,
        least,
        fields,
    }
}

/// Every kind of entry.
pub const OP_KINDS: &[OpKind] = &[
    row("job.add", Kind::Job, Does::Add, Role::Lead, JOB),
    row("job.edit", Kind::Job, Does::Edit, Role::Lead, JOB),
    row("week.add", Kind::Week, Does::Add, Role::Lead, WEEK_FIELDS),
    row("week.edit", Kind::Week, Does::Edit, Role::Lead, WEEK_FIELDS),
    row("week.remove", Kind::Week, Does::Remove, Role::Lead, REASON),
    row("storey.add", Kind::Storey, Does::Add, Role::Crew, STOREY),
    row("storey.edit", Kind::Storey, Does::Edit, Role::Crew, STOREY),
    row("room.add", Kind::Room, Does::Add, Role::Crew, ROOM),
    row("room.edit", Kind::Room, Does::Edit, Role::Crew, ROOM),
    row("room.remove", Kind::Room, Does::Remove, Role::Lead, REASON),
    row("wall.add", Kind::Wall, Does::Add, Role::Crew, WALL),
    row("wall.edit", Kind::Wall, Does::Edit, Role::Crew, WALL),
    row("wall.remove", Kind::Wall, Does::Remove, Role::Lead, REASON),
    row("layer.add", Kind::Layer, Does::Add, Role::Crew, LAYER),
    row("layer.edit", Kind::Layer, Does::Edit, Role::Crew, LAYER),
    row(
        "layer.remove",
        Kind::Layer,
        Does::Remove,
        Role::Crew,
        REASON,
    ),
    row("opening.add", Kind::Opening, Does::Add, Role::Crew, OPENING),
    row(
        "opening.edit",
        Kind::Opening,
        Does::Edit,
        Role::Crew,
        OPENING,
    ),
    row(
        "opening.remove",
        Kind::Opening,
        Does::Remove,
        Role::Crew,
        REASON,
    ),
    row("member.add", Kind::Member, Does::Add, Role::Crew, MEMBER),
    row("member.edit", Kind::Member, Does::Edit, Role::Crew, MEMBER),
    row(
        "member.remove",
        Kind::Member,
        Does::Remove,
        Role::Lead,
        REASON,
    ),
    row("run.add", Kind::Run, Does::Add, Role::Crew, RUN),
    row("run.edit", Kind::Run, Does::Edit, Role::Crew, RUN),
    row("run.remove", Kind::Run, Does::Remove, Role::Lead, REASON),
    row("reading.add", Kind::Reading, Does::Add, Role::Crew, READING),
    row(
        "reading.withdraw",
        Kind::Reading,
        Does::Remove,
        Role::Crew,
        WITHDRAW,
    ),
    row("note.add", Kind::Note, Does::Add, Role::Crew, NOTE_FIELDS),
    row(
        "note.withdraw",
        Kind::Note,
        Does::Remove,
        Role::Crew,
        WITHDRAW,
    ),
    row(
        "supplier.add",
        Kind::Supplier,
        Does::Add,
        Role::Lead,
        SUPPLIER,
    ),
    row(
        "supplier.edit",
        Kind::Supplier,
        Does::Edit,
        Role::Lead,
        SUPPLIER,
    ),
    row(
        "supplier.remove",
        Kind::Supplier,
        Does::Remove,
        Role::Lead,
        REASON,
    ),
    row("price.add", Kind::Price, Does::Add, Role::Lead, PRICE),
    row("price.edit", Kind::Price, Does::Edit, Role::Lead, PRICE),
    row(
        "price.remove",
        Kind::Price,
        Does::Remove,
        Role::Lead,
        REASON,
    ),
    row(
        "hardware.add",
        Kind::Hardware,
        Does::Add,
        Role::Lead,
        HARDWARE_FIELDS,
    ),
    row(
        "hardware.edit",
        Kind::Hardware,
        Does::Edit,
        Role::Lead,
        HARDWARE_FIELDS,
    ),
    row(
        "hardware.remove",
        Kind::Hardware,
        Does::Remove,
        Role::Lead,
        REASON,
    ),
    row("shore.add", Kind::Shore, Does::Add, Role::Lead, SHORE),
    row("shore.edit", Kind::Shore, Does::Edit, Role::Lead, SHORE),
    row(
        "take_out.add",
        Kind::TakeOut,
        Does::Add,
        Role::Lead,
        TAKE_OUT,
    ),
    row(
        "take_out.edit",
        Kind::TakeOut,
        Does::Edit,
        Role::Lead,
        TAKE_OUT,
    ),
    row("struts.add", Kind::Struts, Does::Add, Role::Lead, STRUTS),
    row("struts.edit", Kind::Struts, Does::Edit, Role::Lead, STRUTS),
    row(
        "set_beam.add",
        Kind::SetBeam,
        Does::Add,
        Role::Lead,
        SET_BEAM,
    ),
    row(
        "set_beam.edit",
        Kind::SetBeam,
        Does::Edit,
        Role::Lead,
        SET_BEAM,
    ),
    row(
        "set_post.add",
        Kind::SetPost,
        Does::Add,
        Role::Lead,
        SET_POST,
    ),
    row(
        "set_post.edit",
        Kind::SetPost,
        Does::Edit,
        Role::Lead,
        SET_POST,
    ),
    row("pack.add", Kind::Pack, Does::Add, Role::Lead, PACK),
    row("pack.edit", Kind::Pack, Does::Edit, Role::Lead, PACK),
    row(
        "hang_joists.add",
        Kind::HangJoists,
        Does::Add,
        Role::Lead,
        HANG_JOISTS,
    ),
    row(
        "hang_joists.edit",
        Kind::HangJoists,
        Does::Edit,
        Role::Lead,
        HANG_JOISTS,
    ),
    row("sister.add", Kind::Sister, Does::Add, Role::Lead, SISTER),
    row("sister.edit", Kind::Sister, Does::Edit, Role::Lead, SISTER),
    row("plate.add", Kind::Plate, Does::Add, Role::Lead, PLATE),
    row("plate.edit", Kind::Plate, Does::Edit, Role::Lead, PLATE),
    row("studs.add", Kind::Studs, Does::Add, Role::Lead, STUDS),
    row("studs.edit", Kind::Studs, Does::Edit, Role::Lead, STUDS),
    row(
        "patch_floor.add",
        Kind::PatchFloor,
        Does::Add,
        Role::Lead,
        PATCH_FLOOR,
    ),
    row(
        "patch_floor.edit",
        Kind::PatchFloor,
        Does::Edit,
        Role::Lead,
        PATCH_FLOOR,
    ),
    row("board.add", Kind::Board, Does::Add, Role::Lead, BOARD),
    row("board.edit", Kind::Board, Does::Edit, Role::Lead, BOARD),
    row("sundry.add", Kind::Sundry, Does::Add, Role::Lead, SUNDRY),
    row("sundry.edit", Kind::Sundry, Does::Edit, Role::Lead, SUNDRY),
    any("change.state", Does::Act, Role::Crew, STATE),
    any("change.done", Does::Act, Role::Crew, DONE),
    any("change.undone", Does::Act, Role::Crew, REASON),
    any("change.struck", Does::Act, Role::Crew, STRUCK),
    row("receipt.add", Kind::Receipt, Does::Add, Role::Crew, RECEIPT),
    row(
        "receipt.edit",
        Kind::Receipt,
        Does::Edit,
        Role::Crew,
        RECEIPT,
    ),
    row("bought.add", Kind::Bought, Does::Add, Role::Crew, BOUGHT),
    row(
        "bought.reverse",
        Kind::Bought,
        Does::Act,
        Role::Crew,
        REASON,
    ),
    row("order.add", Kind::Order, Does::Add, Role::Crew, ORDER),
    row("order.send", Kind::Order, Does::Act, Role::Crew, ORDER_SEND),
    row(
        "order.status",
        Kind::Order,
        Does::Act,
        Role::Crew,
        ORDER_STATUS,
    ),
    row(
        "order.short",
        Kind::Order,
        Does::Act,
        Role::Crew,
        ORDER_SHORT,
    ),
    row(
        "order.cancel",
        Kind::Order,
        Does::Act,
        Role::Lead,
        ORDER_CANCEL,
    ),
    row(
        "week.afresh",
        Kind::Week,
        Does::Act,
        Role::Lead,
        WEEK_AFRESH,
    ),
    row("week.close", Kind::Week, Does::Act, Role::Lead, WEEK_CLOSE),
    row(
        "week.reopen",
        Kind::Week,
        Does::Act,
        Role::Lead,
        WEEK_REOPEN,
    ),
    row("stock.add", Kind::Stock, Does::Add, Role::Crew, STOCK),
    row("stock.edit", Kind::Stock, Does::Edit, Role::Crew, STOCK),
    row("stock.count", Kind::Stock, Does::Act, Role::Crew, COUNT),
    row("photo.add", Kind::Photo, Does::Add, Role::Crew, PHOTO),
    row("photo.edit", Kind::Photo, Does::Edit, Role::Crew, PHOTO),
    row(
        "photo.remove",
        Kind::Photo,
        Does::Remove,
        Role::Crew,
        WITHDRAW,
    ),
    row("word.add", Kind::Word, Does::Add, Role::Lead, WORD),
    row(
        "word.withdraw",
        Kind::Word,
        Does::Remove,
        Role::Lead,
        WITHDRAW,
    ),
    row("event.add", Kind::Event, Does::Add, Role::Crew, EVENT),
    row(
        "event.withdraw",
        Kind::Event,
        Does::Remove,
        Role::Lead,
        WITHDRAW,
    ),
    row("hold.release", Kind::Hold, Does::Add, Role::Lead, HOLD),
    row("hold.undo", Kind::Hold, Does::Remove, Role::Lead, WITHDRAW),
    row("hold.skip", Kind::Skip, Does::Add, Role::Lead, SKIP),
    row("skip.undo", Kind::Skip, Does::Remove, Role::Lead, WITHDRAW),
];

/// The fields that a thing of this kind has, from its kind of entry that adds it.
pub fn fields_of(kind: Kind) -> &'static [Field] {
    OP_KINDS
        .iter()
        .find(|op| op.kind == kind && op.does == Does::Add)
        .map_or(&[], |op| op.fields)
}

/// Whether some kind of entry writes a field of this name on such a thing.
pub fn is_field(kind: Kind, name: &str) -> bool {
    OP_KINDS
        .iter()
        .filter(|op| op.kind == kind || (op.any_change && kind.is_change()))
        .any(|op| op.fields.iter().any(|field| field.name == name))
}

/// The kind of entry that adds such a thing.
pub fn adds(kind: Kind) -> Option<&'static OpKind> {
    OP_KINDS
        .iter()
        .find(|op| op.kind == kind && op.does == Does::Add)
}

/// The kind of entry that changes such a thing.
pub fn edits(kind: Kind) -> Option<&'static OpKind> {
    OP_KINDS
        .iter()
        .find(|op| op.kind == kind && op.does == Does::Edit)
}
