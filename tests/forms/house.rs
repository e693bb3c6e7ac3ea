//! The house of the weekly round, recorded and planned through the pages' own forms.
//!
//! The lumber waste is set to 0 so that a stick is a stick; fasteners keep their 5 %.

use super::{add, count_of, form_around, page_errors, start_job, upload, value};
use crate::support::{Client, form};

/// A house with two weeks planned, nothing bought yet.
pub(super) struct House {
    pub(super) job: String,
    pub(super) shore: String,
    pub(super) beam: String,
    pub(super) posts: [String; 2],
    pub(super) jacks: String,
}

/// What the yard sells, as a file. The 2×4 of 8 ft is typed by hand.
const PRICES: &str = "\
supplier,section,nominal,species,grade,length,fastener,per_pack,hardware,name,sold_by,price,item_number
North Yard,stick,2x4,Hem-Fir,No.2,10 ft,,,,,each,4.60,24-10
North Yard,stick,2x10,Hem-Fir,No.2,8 ft,,,,,each,15.00,210-8
North Yard,stick,4x4,Hem-Fir,No.2,8 ft,,,,,each,12.00,44-8
North Yard,fastener,,,,,screw 3 in,250,,,box,12.00,S3
North Yard,fastener,,,,,20d common,,,,lb,3.00,
North Yard,fastener,,,,,8d common,,,,lb,2.80,
North Yard,fastener,,,,,16d common,,,,lb,2.60,
North Yard,fastener,,,,,10d common,,,,lb,2.70,
North Yard,hardware,,,,,,,\"Hanger, 2x6 old\",,each,1.89,
North Yard,sundry,,,,,,,,pair of shoring wedges,each,0.75,
North Yard,sundry,,,,,,,,dust mask,box,9.99,\"M \"\"fine\"\"\"
";

pub(super) fn reading(client: &Client, job: &str, of: &str, fields: &[(&str, &str)]) {
    client.save(&format!("{job}/reading?of={of}"), "f", fields);
}

/// The same twice: confirmed.
fn twice(client: &Client, job: &str, of: &str, fields: &[(&str, &str)]) {
    for _ in 0..2 {
        reading(client, job, of, fields);
    }
}

/// Job, weeks, yard and prices.
fn start(client: &Client) -> String {
    let job = start_job(client, "Elm Street 12");
    let id = job.trim_start_matches("/jobs/").to_owned();
    let settings = [
        ("year_built", "1924"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("tax", "6.25"),
        ("waste_stick", "0"),
        ("longest_stick", "12 ft"),
        ("shore_screw", "screw 3 in"),
        ("nail_stud_toe", "8d common"),
        ("nail_stud_to_stud", "16d common"),
        ("nail_builtup_lines", "20d common"),
        ("nail_builtup_ends", "20d common"),
    ];
    client.save(&format!("{job}/job/{id}/edit"), "edit", &settings);
    for (number, start, end) in [
        ("1", "2026-10-12", "2026-10-16"),
        ("2", "2026-10-19", "2026-10-23"),
    ] {
        let week = [("number", number), ("start", start), ("end", end)];
        add(client, &job, "week", &week);
    }
    let yard = [("name", "North Yard"), ("lead_days", "2")];
    let yard = add(client, &job, "supplier", &yard);
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
    add(client, &job, "hardware", &hanger);
    let by_hand = [
        ("supplier", yard.as_str()),
        ("section", "stick"),
        ("nominal", "2x4"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("length", "8'"),
        ("sold_by", "each"),
        ("price", "3.50"),
    ];
    client.save(&format!("{job}/prices"), "price", &by_hand);
    let (_, held) = form_around(&client.page(&format!("{job}/prices")), "name=\"file\"");
    for _ in 0..2 {
        let taken = upload(client, &job, &value(&held, "op_id"), PRICES.as_bytes());
        assert_eq!(taken.status, 303, "{}", page_errors(&taken.body));
    }
    assert_eq!(count_of(client, &job, "price.add"), 1 + 11);
    job
}

/// A room of four walls, wall A confirmed, and the joists over it.
fn record(client: &Client, job: &str) -> (String, String) {
    let room = [
        ("name", "Dining room"),
        ("reading.length", "12'"),
        ("reading.width", "10'"),
        ("reading.ceiling_height", "8'"),
    ];
    let (action, held) = form(&client.page(&format!("{job}/house")), "room");
    let dining = value(&held, "entity_id");
    let saved = client.post_over(&action, held, &room);
    assert_eq!(saved.status, 303, "{}", page_errors(&saved.body));
    let walls = things(&client.page(&format!("{job}/house")), "wall");
    assert_eq!(walls.len(), 4);
    let wall = walls
        .into_iter()
        .find(|id| {
            let page = client.page(&format!("{job}/wall/{id}/edit"));
            value(&form(&page, "edit").1, "name") == "Wall A"
        })
        .unwrap();
    reading(client, job, &wall, &[("what", "length"), ("raw", "144")]);
    reading(
        client,
        job,
        &dining,
        &[("what", "ceiling_height"), ("raw", "95 15/16")],
    );
    let other = [("what", "ceiling_height"), ("side", "b"), ("raw", "95 3/4")];
    twice(client, job, &wall, &other);
    let joists = [
        ("name", "Ceiling joists"),
        ("piece", "ceiling_joist"),
        ("room", dining.as_str()),
        ("spacing", "16"),
        ("count", "9"),
        ("measured_from", wall.as_str()),
        ("measured_to", "near_face"),
        ("over_wall", "lapped"),
        ("reading.thickness", "1 3/4"),
        ("reading.depth", "5 3/4"),
        ("reading.place", "8"),
    ];
    let run = add(client, job, "run", &joists);
    for (what, raw) in [("thickness", "1 3/4"), ("depth", "5 3/4"), ("place", "8")] {
        reading(client, job, &run, &[("what", what), ("raw", raw)]);
    }
    (wall, run)
}

/// Six kinds of change over two weeks. Post 2 has no reading yet; the jacks' is single.
pub(super) fn planned(client: &Client) -> House {
    let job = start(client);
    let (wall, run) = record(client, &job);
    let shore = [
        ("name", "Shore wall A"),
        ("week", "1"),
        ("wall", wall.as_str()),
        ("sides", "both"),
        ("from", "36"),
        ("to", "108"),
        ("stands_on", "ground"),
    ];
    let shore = add(client, &job, "shore", &shore);
    let shore_page = format!("{job}/shore/{shore}");
    let beam = [
        ("name", "Beam"),
        ("week", "2"),
        ("wall", wall.as_str()),
        ("nominal", "2x10"),
        ("plies", "3"),
        ("set", "flush"),
        ("from", "36"),
        ("bearing_start", "3 1/2"),
        ("bearing_end", "3 1/2"),
    ];
    let beam = add(client, &job, "set_beam", &beam);
    let clear = [("what", "clear_between_posts"), ("raw", "65")];
    twice(client, &job, &beam, &clear);
    let posts = [("Post 1", "36"), ("Post 2", "104 1/2")].map(|(name, place)| {
        let post = [
            ("name", name),
            ("week", "2"),
            ("under", beam.as_str()),
            ("nominal", "4x4"),
            ("place", place),
            ("stands_on", "wood"),
        ];
        add(client, &job, "set_post", &post)
    });
    twice(
        client,
        &job,
        &posts[0],
        &[("what", "landing_to_seat"), ("raw", "84")],
    );
    let hang = [
        ("name", "Hang joists"),
        ("week", "2"),
        ("beam", beam.as_str()),
        ("runs", run.as_str()),
    ];
    add(client, &job, "hang_joists", &hang);
    let jacks = [
        ("name", "Jacks"),
        ("week", "2"),
        ("stud", "jack"),
        ("count", "2"),
        ("wall", wall.as_str()),
        ("nominal", "2x4"),
    ];
    let jacks = add(client, &job, "studs", &jacks);
    reading(
        client,
        &job,
        &jacks,
        &[("what", "plate_to_plate"), ("raw", "81 1/2")],
    );
    let masks = [
        ("name", "Masks"),
        ("week", "2"),
        ("item", "dust mask"),
        ("unit", "box"),
        ("count", "2"),
    ];
    add(client, &job, "sundry", &masks);
    let here = [
        ("section", "stick"),
        ("nominal", "2x4"),
        ("species", "Hem-Fir"),
        ("grade", "No.2"),
        ("length", "8'"),
        ("count", "1"),
    ];
    client.save(&format!("{job}/on-hand"), "add-stock", &here);
    super::holds::sign_all(client, &shore_page);
    House {
        job,
        shore,
        beam,
        posts,
        jacks,
    }
}

/// The ids of things of a kind that a page leads to, each once, in order.
pub(super) fn things(page: &str, kind: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for rest in page.split(&format!("/{kind}/")).skip(1) {
        let id = rest.get(..36).unwrap_or("");
        let ends = rest.get(36..37) == Some("\"");
        if ends && !found.iter().any(|known| known == id) {
            found.push(id.to_owned());
        }
    }
    found
}
