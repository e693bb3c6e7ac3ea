//! The words that fields offer: stored word first, shown words second.

/// Shown and stored words.
pub type Choices = &'static [(&'static str, &'static str)];

/// Yes or no.
pub const YES_NO: Choices = &[("yes", "Yes"), ("no", "No")];
/// Units of a job.
pub const UNITS: Choices = &[("us", "Feet and inches"), ("metric", "Metric")];
/// What a room is used for (live loads go by it).
pub const USE: Choices = &[
    ("living", "Living"),
    ("sleeping", "Sleeping"),
    ("attic_storage", "Attic with storage"),
    ("attic", "Attic without storage"),
    ("cellar", "Cellar or crawl space"),
    ("not_known", "Not known yet"),
];
/// Whether a wall carries load.
pub const BEARING: Choices = &[("not_known", "Not known yet"), ("yes", "Yes"), ("no", "No")];
/// Pieces of framing.
pub const MEMBER: Choices = &[
    ("joist", "Joist"),
    ("ceiling_joist", "Ceiling joist"),
    ("rafter", "Rafter"),
    ("stud", "Stud"),
    ("plate", "Plate"),
    ("beam", "Beam"),
    ("post", "Post"),
    ("girder", "Girder"),
    ("strut", "Roof strut"),
    ("blocking", "Blocking"),
    ("header", "Header"),
    ("pad", "Pad"),
];
/// Which way it runs, seen from the wall that its place is measured from.
pub const DIRECTION: Choices = &[
    ("away", "Away from the wall it is measured from"),
    ("along", "Along it"),
    ("upright", "Upright"),
    ("sloping", "Sloping"),
];
/// What a place is measured to.
pub const MEASURED_TO: Choices = &[("centre", "Centre"), ("near_face", "Near face")];
/// How joists pass a wall.
pub const OVER_WALL: Choices = &[
    ("lapped", "Lapped on it"),
    ("continuous", "Run through over it"),
    ("ends", "End on it"),
];
/// What an end bears on.
pub const BEARS_ON: Choices = &[
    ("wood", "Wood"),
    ("masonry", "Masonry or concrete"),
    ("hanger", "A hanger"),
    ("not_known", "Not known yet"),
];
/// How a wall stands on joists.
pub const ON_JOISTS: Choices = &[("across", "Across them"), ("along", "Along one of them")];
/// Whether a piece was looked at, for notches, holes, splits and decay.
pub const LOOKED_AT: Choices = &[
    ("sound", "Looked at, sound"),
    ("noted", "Looked at, something noted"),
    ("not_looked", "Not looked yet"),
];
/// Parts of a room that have no layer at all.
pub const ROOM_BARE: Choices = &[("ceiling", "Ceiling"), ("floor", "Floor")];
/// The ground that shoring stands on.
pub const SHORE_GROUND: Choices = &[("slab", "Slab"), ("soil", "Soil or crawl space")];
/// Wet or dry.
pub const MOISTURE: Choices = &[
    ("dry", "Dry"),
    ("wet", "Wet"),
    ("not_known", "Not known yet"),
];
/// How a reading was taken.
pub const BY: Choices = &[("tape", "Tape"), ("laser", "Laser"), ("eye", "By eye")];
/// A side of a wall: a is the first room's, b the second's.
pub const SIDE: Choices = &[("a", "First room's side"), ("b", "Other side")];
/// Treated or not.
pub const TREATMENT: Choices = &[("none", "Untreated"), ("treated", "Treated")];
/// Dry or green, as sold.
pub const SEASONING: Choices = &[("dry", "Dry"), ("green", "Green")];
/// States of a change that a person may set; done has its own form.
pub const STATE: Choices = &[
    ("planned", "Planned"),
    ("ready", "Ready"),
    ("under_way", "Under way"),
    ("dropped", "Dropped"),
];
/// Which way a line of a receipt goes.
pub const WAY: Choices = &[("bought", "Bought"), ("returned", "Returned")];
/// What becomes of an order that is sent.
pub const ORDER_STATE: Choices = &[("confirmed", "Confirmed"), ("received", "Received")];
/// An order goes out.
pub const ORDER_SENT: Choices = &[("sent", "Sent")];
/// An order is called off.
pub const ORDER_CANCELLED: Choices = &[("cancelled", "Cancelled")];
/// A week is closed.
pub const CLOSED: Choices = &[("yes", "Yes")];
/// A week is opened again.
pub const OPEN: Choices = &[("no", "No")];
/// How shoring studs are fitted.
pub const FIT: Choices = &[
    ("wedged", "Wedged"),
    ("driven", "Driven"),
    ("leaning", "Leaning"),
];
/// On which sides shoring stands.
pub const SIDES: Choices = &[
    ("both", "Both sides"),
    ("a", "First room's side alone"),
    ("b", "Other side alone"),
];
/// What shoring stands on.
pub const STANDS_ON: Choices = &[
    ("ground", "Slab, soil or crawl space"),
    ("floor", "A floor over another storey"),
];
/// How a beam sits against the joists.
pub const BEAM_SET: Choices = &[("flush", "Flush with the joists"), ("below", "Below them")];
/// What becomes of a joist that is partly past the beam's end.
pub const PARTLY: Choices = &[("hang", "Cut and hang it"), ("leave", "Leave it")];
/// A new hanger's way with an old joist.
pub const HANGER_FIT: Choices = &[
    ("as_is", "As it is"),
    ("shim", "Shim the joist to the seat"),
    ("plane", "Plane the joist to the seat"),
];
/// Where a post lands.
pub const LANDS: Choices = &[
    ("floor", "On the floor’s top"),
    ("through", "Through the floor, squash blocks below"),
    ("passes", "Passes the floor, on what is under it"),
];
/// What a post or plate stands on.
pub const GROUND: Choices = &[("wood", "Wood"), ("concrete", "Concrete or masonry")];
/// Which plate.
pub const PLATE: Choices = &[
    ("top_upper", "Upper top plate"),
    ("top_lower", "Lower top plate"),
    ("top_single", "Single top plate"),
    ("bottom", "Bottom plate"),
];
/// Which stud.
pub const STUD: Choices = &[
    ("king", "King"),
    ("jack", "Jack"),
    ("cripple", "Cripple"),
    ("plain", "Plain"),
];
/// Where sheet goods go.
pub const SURFACE: Choices = &[("ceiling", "Ceiling"), ("wall", "Wall")];
/// What is packed.
pub const PACK: Choices = &[
    ("packing", "Packing"),
    ("blocking", "Solid blocking between joists"),
];
/// A panel's long edges.
pub const PANEL_EDGE: Choices = &[
    ("square", "Square"),
    ("tongue_and_groove", "Tongue and groove"),
];
/// Whether square edges get blocks.
pub const BLOCKED: Choices = &[("blocked", "Blocked"), ("unblocked", "Not blocked")];
/// Sections of the price book and the lists.
pub const SECTION: Choices = &[
    ("stick", "Lumber"),
    ("panel", "Panels"),
    ("fastener", "Fasteners"),
    ("hardware", "Hardware"),
    ("sundry", "Sundries"),
];
/// Units the yard sells by.
pub const SOLD_BY: Choices = &[
    ("each", "Each"),
    ("box", "Box"),
    ("lb", "Pound"),
    ("sheet", "Sheet"),
    ("foot", "Foot"),
    ("roll", "Roll"),
    ("tube", "Tube"),
    ("bag", "Bag"),
    ("bundle", "Bundle"),
];
/// What a pack of a sundry counts in, as its needs do.
pub const PACK_OF: Choices = &[("each", "Each"), ("foot", "Feet"), ("lb", "Pounds")];
/// What a unit price is the price of.
pub const PRICE_BY: Choices = &[("each", "Each"), ("foot", "A foot of the stick")];
/// Columns of the yard CSV, with what people call them, in our own order.
pub const ORDER_COLUMNS: Choices = &[
    ("section", "Section"),
    ("item", "Item in words"),
    ("quantity", "How many"),
    ("unit", "Unit"),
    ("unit_price", "Price of one"),
    ("extension", "Price in all"),
    ("supplier", "Supplier"),
    ("item_number", "Supplier’s item number"),
    ("order_by", "Order by"),
    ("changes", "For which changes"),
];
/// What stands between the columns of a CSV.
pub const SEPARATOR: Choices = &[
    ("comma", "Comma"),
    ("semicolon", "Semicolon"),
    ("tab", "Tab"),
];
/// What stands before the cents.
pub const DECIMAL: Choices = &[("point", "Point: 12.50"), ("comma", "Comma: 12,50")];
/// What a length in a supplier's file is in where it says no unit.
pub const BARE_LENGTH: Choices = &[
    ("feet", "Feet"),
    ("inches", "Inches"),
    ("millimetres", "Millimetres"),
];
/// A column of a supplier's file that means nothing here.
pub const LEAVE_OUT: &str = "leave_out";
/// Rows of the hardware table.
pub const HARDWARE: Choices = &[
    ("hanger", "Joist hanger"),
    ("cap", "Post cap"),
    ("base", "Post base"),
    ("strap", "Strap"),
    ("splice_plate", "Splice plate"),
    ("other", "Other"),
];
/// Soil classes (loads.md, IRC R401.4.1).
pub const SOIL: Choices = &[
    ("not_known", "Not known"),
    ("rock", "Bedrock"),
    ("soft_rock", "Sedimentary or foliated rock"),
    ("gravel", "Gravel, sandy gravel"),
    ("sand", "Sand, silty or clayey sand or gravel"),
    ("clay", "Clay, silt"),
    ("fill", "Fill"),
    ("peat", "Peat"),
];
/// What was seen of services in a wall.
pub const SERVICE: Choices = &[
    ("not_looked", "Not looked yet"),
    ("none", "None found"),
    ("live", "There"),
    ("safe", "Made safe"),
];
/// Where a layer lies.
pub const LAYER_ON: Choices = &[
    ("side_a", "First room’s side"),
    ("side_b", "Other side"),
    ("ceiling", "Ceiling"),
    ("floor", "Floor"),
    ("roof", "Roof"),
];
/// What a word or a paper is about.
pub const WORD_ABOUT: Choices = &[
    ("engineer", "Engineer’s word"),
    ("permit", "Permit"),
    ("inspection", "Inspection"),
    ("lead_paint", "Lead paint"),
    ("asbestos", "Asbestos"),
    ("not_bearing", "Carries nothing: traced above and below"),
];
/// What it says.
pub const WORD_SAYS: Choices = &[
    ("in_hand", "In hand, on paper"),
    ("not_required", "None required here"),
    ("not_there", "Tested or traced: not there"),
    ("contained", "There or presumed, and contained"),
];
/// Events of a change that wait for a hold point.
pub const HOLD_EVENT: Choices = &[
    ("break_finish", "Breaking finish"),
    ("start", "Start"),
    ("first_cut", "First cut"),
    ("next_cut", "Next cut, each morning, after a gap"),
    ("out", "Out"),
    ("back", "Back"),
    ("raised", "Raised"),
    ("first_load", "First load"),
    ("struck", "Struck"),
    ("closed_up", "Closed up"),
];
/// What must stand before such an event; the words that people see are in `checks::hold_points::table`.
pub const HOLD_ASK: Choices = crate::checks::hold_points::ASKS;
/// Species with a density on record; others may be typed.
pub const SPECIES: &[&str] = &[
    "Hem-Fir",
    "Douglas Fir-Larch",
    "Spruce-Pine-Fir",
    "Southern Pine",
];
/// Grades with a place in the order; others may be typed.
pub const GRADES: &[&str] = &[
    "No.2",
    "No.1",
    "No.1 & Btr",
    "Select Structural",
    "No.3",
    "Stud",
];
/// Places along a wall for a ceiling height; others may be typed.
pub const PLACES: &[&str] = &["zero end", "middle", "far end"];
/// Coatings of fasteners; others may be typed.
pub const COATINGS: &[&str] = &["bright", "hot-dip galvanized", "stainless", "coated"];
/// Sheet goods; others may be typed.
pub const PANELS: &[&str] = &[
    "plywood subfloor",
    "strand board subfloor",
    "plywood",
    "gypsum board",
];
/// Layers of floors, ceilings and walls; others may be typed.
pub const LAYERS: &[&str] = &[
    "plaster on wood lath",
    "gypsum board",
    "board sheathing",
    "wood flooring",
    "plywood",
    "tile",
];
