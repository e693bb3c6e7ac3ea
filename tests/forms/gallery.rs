//! The gallery, and the copies that it shows.

use super::{add, jpeg, photograph, start_job};
use crate::support::TestServer;

#[test]
fn photos_stand_by_week_room_and_change_and_their_copies_are_small_and_upright() {
    let server = TestServer::start("gallery");
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street 12");
    let room = add(&lead, &job, "room", &[("name", "Dining room")]);
    let wall = add(
        &lead,
        &job,
        "wall",
        &[("name", "Wall A"), ("room_a", &room)],
    );
    let shore = add(
        &lead,
        &job,
        "shore",
        &[("name", "Shore A"), ("week", "3"), ("wall", &wall)],
    );
    for (of, kind, picture) in [
        (&room, "image/jpeg", jpeg()),
        (&wall, "image/webp", webp()),
        (&shore, "image/jpeg", jpeg()),
    ] {
        let page = format!("{job}/photo?of={of}");
        let (saved, _) = photograph(&lead, (&page, "f"), &[], (kind, &picture));
        assert_eq!(saved.status, 303, "{}", saved.body);
    }
    let by = |way: &str| lead.page(&format!("{job}/photo?by={way}"));
    let under = |page: &str, heading: &str| {
        let (_, rest) = page
            .split_once(&format!("<h2>{heading}"))
            .unwrap_or_else(|| panic!("{heading}: {page}"));
        rest.split("<h2>").next().unwrap().matches("<img").count()
    };
    let week = by("week");
    assert_eq!(
        (
            under(&week, "Week 3"),
            under(&week, "Between the work weeks")
        ),
        (1, 2)
    );
    assert_eq!(under(&by("room"), "Dining room"), 3);
    let change = by("change");
    assert_eq!(
        (under(&change, "Shore A"), under(&change, "Of no change")),
        (1, 2)
    );
    let shown: Vec<&str> = week
        .split("<img src=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .collect();
    assert_eq!(shown.len(), 3);
    let all = shown
        .iter()
        .flat_map(|src| ["/small", "/screen", "/full"].map(|size| src.replace("/small", size)));
    for path in all {
        // Once made, then kept.
        for _ in 0..2 {
            let (answer, bytes) = lead.file(&path);
            assert_eq!(answer.status, 200, "{path}");
            assert_eq!(answer.header("content-type"), Some("image/jpeg"));
            let picture = image::load_from_memory(&bytes).unwrap();
            assert!(picture.width() <= 2_048 && picture.height() <= 2_048);
        }
    }
    assert_ne!(server.stranger().get(shown[0]).status, 200);
}

/// A picture as WebP.
fn webp() -> Vec<u8> {
    let mut bytes = std::io::Cursor::new(Vec::new());
    image::RgbImage::from_pixel(60, 40, image::Rgb([90, 120, 30]))
        .write_to(&mut bytes, image::ImageFormat::WebP)
        .unwrap();
    bytes.into_inner()
}
