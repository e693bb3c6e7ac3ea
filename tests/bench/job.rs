//! The large job: twelve weeks, 2,000 members, 4,000 readings and 300 changes, every kind in turn.
//!
//! The house is invented; what matters is that every kind of change has what it needs to be counted.

use scantling_db::{Applied, Db, Who, add_device, add_person, apply};
use scantling_takeoff::record::{Kind, Op, Role};
use uuid::Uuid;

/// The job.
pub(crate) const JOB: Uuid = Uuid::from_u128(0x0199_a3c0_0000_7000_8000_0000_0000_0001);
/// The last of its weeks.
pub(crate) const LAST_WEEK: u32 = 12;

const NOW: &str = "2026-11-25T07:13:30.938Z";
const WHO: Who = Who {
    person: Uuid::from_u128(2),
    role: Role::Lead,
    device: Uuid::from_u128(3),
};
const MEMBERS: usize = 2_000;
const READINGS: usize = 4_000;
const CHANGES: u32 = 300;
const A_WEEK: u32 = CHANGES / LAST_WEEK;
const WALLS: usize = 40;
const RUNS: usize = 20;

/// Applies it all in one transaction; gives how many entries it is.
pub(crate) fn fill(db: &Db) -> usize {
    let ops = entries();
    let count = ops.len();
    db.write(move |tx| {
        add_person(tx, WHO.person, "Ann", WHO.role)?;
        add_device(tx, WHO.device, WHO.person, "Phone", None, NOW)?;
        for op in &ops {
            let answer = apply(tx, op, &WHO, NOW)?;
            assert!(matches!(answer, Applied::New { .. }), "{op:?}: {answer:?}");
        }
        Ok(())
    })
    .expect("every entry can be written");
    count
}

/// Entries as they are made, and how many are readings.
#[derive(Default)]
struct Book {
    ops: Vec<Op>,
    readings: usize,
}

impl Book {
    /// Adds a thing under an id made from its number among all entries.
    fn add(&mut self, kind: &str, fields: &[(&str, &str)]) -> String {
        let n = u128::try_from(self.ops.len()).expect("a few thousand entries");
        let id = Uuid::from_u128((0x51 << 120) + n);
        self.add_as(id, kind, fields)
    }

    fn add_as(&mut self, id: Uuid, kind: &str, fields: &[(&str, &str)]) -> String {
        let n = u128::try_from(self.ops.len()).expect("a few thousand entries");
        let mut op = Op {
            op_id: Uuid::from_u128((0x52 << 120) + n),
            author: WHO.person,
            device: WHO.device,
            job_id: JOB,
            kind: format!("{kind}.add"),
            entity_id: id,
            device_time: NOW.to_owned(),
            ..Op::default()
        };
        for (name, text) in fields {
            op.fields
                .entry((*name).to_owned())
                .or_default()
                .push((*text).to_owned());
        }
        self.ops.push(op);
        id.to_string()
    }

    fn read(&mut self, of: &str, what: &str, raw: &str, number: &str) {
        let mut fields = vec![("of", of), ("what", what), ("by", "tape"), ("raw", raw)];
        if !number.is_empty() {
            fields.push(("number", number));
        }
        self.add("reading", &fields);
        self.readings += 1;
    }

    fn twice(&mut self, of: &str, what: &str, raw: &str) {
        self.read(of, what, raw, "");
        self.read(of, what, raw, "");
    }
}

/// What changes are about.
struct House {
    walls: Vec<String>,
    runs: Vec<String>,
    floor_panel: String,
    board_panel: String,
    beam: String,
}

fn entries() -> Vec<Op> {
    let mut book = Book::default();
    let job = [
        ("name", "Long Row"),
        ("year_built", "1924"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("tax", "6.25"),
        ("longest_stick", "16 ft"),
        ("shore_screw", "screw 3 in"),
        ("floor_screw", "screw 2 1/2 in"),
        ("board_screw", "screw 1 1/4 in"),
        ("nail_builtup_lines", "20d common"),
        ("nail_builtup_ends", "20d common"),
        ("nail_stud_toe", "8d common"),
        ("nail_stud_to_stud", "16d common"),
        ("nail_top_splice", "16d common"),
        ("nail_top_to_top", "16d common"),
        ("nail_bottom", "16d common"),
        ("nail_blocking", "8d common"),
        ("nail_strut", "16d common"),
    ];
    book.add_as(JOB, "job", &job);
    for week in 1..=LAST_WEEK {
        book.add("week", &[("number", &week.to_string())]);
    }
    let (floor_panel, board_panel) = yard(&mut book);
    let (walls, runs) = framing(&mut book);
    let mut house = House {
        walls,
        runs,
        floor_panel,
        board_panel,
        beam: String::new(),
    };
    let members: Vec<String> = (1..=MEMBERS)
        .map(|n| {
            let wall = &house.walls[n % WALLS];
            let name = format!("Member {n}");
            book.add(
                "member",
                &[("name", &name), ("piece", "stud"), ("wall", wall)],
            )
        })
        .collect();
    for n in 0..CHANGES {
        change(&mut book, &mut house, n);
    }
    for n in 0..READINGS - book.readings {
        let what = ["length", "thickness", "depth"][n / MEMBERS % 3];
        book.read(&members[n % MEMBERS], what, "91 1/2", "");
    }
    book.ops
}

/// A supplier, hangers, and prices of all that is asked for. The panels for floor and board.
fn yard(book: &mut Book) -> (String, String) {
    let yard = book.add("supplier", &[("name", "North Yard"), ("lead_days", "2")]);
    let hanger = [
        ("name", "Hanger, 2x6 old"),
        ("type", "hanger"),
        ("seat", "1 13/16"),
        ("height_from", "3"),
        ("height_to", "5"),
        ("carrying_fastener", "10d common"),
        ("carrying_count", "8"),
        ("carried_fastener", "10d common"),
        ("carried_count", "4"),
    ];
    let hanger = book.add("hardware", &hanger);
    for (nominal, per_foot) in [
        ("2x4", 45),
        ("2x6", 70),
        ("2x8", 95),
        ("2x10", 130),
        ("4x4", 150),
    ] {
        for feet in [8, 10, 12, 14, 16] {
            let (length, cents) = (format!("{feet} ft"), per_foot * feet + feet);
            let price = format!("{}.{:02}", cents / 100, cents % 100);
            book.add(
                "price",
                &[
                    ("supplier", &yard),
                    ("section", "stick"),
                    ("nominal", nominal),
                    ("species", "Hem-Fir"),
                    ("grade", "No.2"),
                    ("length", &length),
                    ("sold_by", "each"),
                    ("price", &price),
                ],
            );
        }
    }
    let mut fastener = |what: &str, sold_by: &str, per_pack: &str| {
        let mut fields = vec![
            ("supplier", yard.as_str()),
            ("section", "fastener"),
            ("fastener", what),
            ("sold_by", sold_by),
            ("price", "4.50"),
        ];
        if !per_pack.is_empty() {
            fields.push(("per_pack", per_pack));
        }
        book.add("price", &fields);
    };
    for nail in ["8d common", "10d common", "16d common", "20d common"] {
        fastener(nail, "lb", "");
    }
    for screw in ["screw 3 in", "screw 2 1/2 in", "screw 1 1/4 in"] {
        fastener(screw, "box", "250");
        fastener(screw, "box", "1000");
    }
    book.add(
        "price",
        &[
            ("supplier", &yard),
            ("section", "hardware"),
            ("hardware", &hanger),
            ("price", "1.89"),
        ],
    );
    let mut panel = |what: &str, thickness: &str, edge: &str| {
        book.add(
            "price",
            &[
                ("supplier", &yard),
                ("section", "panel"),
                ("panel", what),
                ("thickness", thickness),
                ("along", "96"),
                ("across", "48"),
                ("edge", edge),
                ("sold_by", "sheet"),
                ("price", "38.00"),
            ],
        )
    };
    (
        panel("plywood subfloor", "23/32", "tongue_and_groove"),
        panel("gypsum board", "1/2", "square"),
    )
}

/// Rooms with walls, and runs of joists over them.
fn framing(book: &mut Book) -> (Vec<String>, Vec<String>) {
    let (mut walls, mut runs) = (Vec::new(), Vec::new());
    let mut room = String::new();
    for n in 0..WALLS {
        if n % 4 == 0 {
            room = book.add("room", &[("name", &format!("Room {n}"))]);
            book.twice(&room, "ceiling_height", "96");
        }
        let name = format!("Wall {n}");
        let fields = [
            ("name", name.as_str()),
            ("room_a", &room),
            ("room_b", &room),
        ];
        let wall = book.add("wall", &fields);
        book.twice(&wall, "length", "168");
        walls.push(wall);
    }
    for n in 0..RUNS {
        let name = format!("Run {n}");
        let wall = walls[n % WALLS].clone();
        let run = book.add(
            "run",
            &[
                ("name", name.as_str()),
                ("piece", "joist"),
                ("spacing", "16"),
                ("count", "9"),
                ("measured_from", &wall),
                ("measured_to", "near_face"),
                ("over_wall", "lapped"),
            ],
        );
        for (what, raw) in [("thickness", "1 3/4"), ("depth", "5 3/4"), ("place", "8")] {
            book.twice(&run, what, raw);
        }
        runs.push(run);
    }
    (walls, runs)
}

/// The n-th change: every kind in turn, so many a week.
fn change(book: &mut Book, house: &mut House, n: u32) {
    let kinds = Kind::CHANGES;
    let at = usize::try_from(n).expect("300 changes");
    let kind = kinds[at % kinds.len()];
    let (week, name) = (
        (n / A_WEEK + 1).to_string(),
        format!("{} {n}", kind.title()),
    );
    let place = at / kinds.len();
    let (wall, run) = (
        house.walls[place % RUNS].clone(),
        house.runs[place % RUNS].clone(),
    );
    let mut fields = vec![("name", name.as_str()), ("week", week.as_str())];
    let raw = format!("{} 1/4", 80 + n % 9);
    match kind {
        Kind::Shore => fields.extend([
            ("wall", wall.as_str()),
            ("from", "36"),
            ("to", "108"),
            ("stands_on", "ground"),
        ]),
        Kind::TakeOut => fields.extend([
            ("wall", wall.as_str()),
            ("from", "36"),
            ("to", "108"),
            ("studs", "5"),
        ]),
        Kind::Struts => fields.extend([("count", "3"), ("nominal", "2x4")]),
        Kind::SetBeam => fields.extend([
            ("wall", wall.as_str()),
            ("nominal", "2x10"),
            ("plies", "3"),
            ("set", "flush"),
            ("from", "36"),
            ("bearing_start", "3 1/2"),
            ("bearing_end", "3 1/2"),
        ]),
        Kind::SetPost => fields.extend([
            ("under", house.beam.as_str()),
            ("nominal", "4x4"),
            ("stands_on", "wood"),
            ("place", "36"),
        ]),
        Kind::Pack => fields.extend([
            ("pack", "packing"),
            ("nominal", "2x6"),
            ("count", "6"),
            ("length", "14 1/2"),
        ]),
        Kind::HangJoists => fields.extend([("beam", house.beam.as_str()), ("runs", run.as_str())]),
        Kind::Sister => fields.extend([
            ("member", run.as_str()),
            ("nominal", "2x8"),
            ("length", "120"),
        ]),
        Kind::Plate => fields.extend([
            ("wall", wall.as_str()),
            ("plate", "top_upper"),
            ("from", "0"),
            ("to", "168"),
            ("nominal", "2x4"),
        ]),
        Kind::Studs => fields.extend([
            ("stud", "jack"),
            ("count", "4"),
            ("wall", wall.as_str()),
            ("nominal", "2x4"),
        ]),
        Kind::PatchFloor => fields.extend([
            ("across", "96"),
            ("along", "72"),
            ("panel", house.floor_panel.as_str()),
            ("run", run.as_str()),
            ("starts_at", "8"),
        ]),
        Kind::Board => fields.extend([
            ("surface", "ceiling"),
            ("across", "120"),
            ("along", "96"),
            ("panel", house.board_panel.as_str()),
            ("run", run.as_str()),
            ("starts_at", "8"),
        ]),
        _ => fields.extend([("item", "dust mask"), ("unit", "box"), ("count", "2")]),
    }
    let id = book.add(kind.name(), &fields);
    match kind {
        Kind::Struts => {
            for number in ["1", "2", "3"] {
                book.read(&id, "strut_length", &raw, number);
                book.read(&id, "strut_length", &raw, number);
            }
        }
        Kind::SetBeam => {
            book.twice(&id, "clear_between_posts", "101 1/2");
            house.beam = id;
        }
        Kind::SetPost => book.twice(&id, "landing_to_seat", &raw),
        Kind::Studs => book.twice(&id, "plate_to_plate", &raw),
        Kind::PatchFloor => book.twice(&id, "floor_thickness", "7/8"),
        _ => {}
    }
}
