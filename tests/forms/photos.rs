//! Photos over HTTP: sent by the form, shown, kept without what gives a place away, refused in words; and what guests see.

use std::io::Cursor;

use image::{ImageFormat, RgbImage};

use scantling_takeoff::record::Role;

use super::heic::{CODED, STORED, heic};
use super::{
    add, body, count_of, errors, form_around, jpeg, page_errors, photograph, start_job, value,
};
use crate::support::{Answer, Client, TestServer, form};

/// Sends a photo through a page's form, as a browser does.
fn send(client: &Client, page: &str, id: &str, media_type: &str, file: &[u8]) -> Answer {
    photograph(client, (page, id), &[], (media_type, file)).0
}

/// The addresses of a page's pictures in full size; what is shown are smaller copies.
fn pictures(page: &str) -> Vec<String> {
    page.split("<img src=\"")
        .skip(1)
        .map(|rest| rest.split('"').next().unwrap())
        .map(|shown| shown.replace("/small", "/full").replace("/screen", "/full"))
        .collect()
}

struct House {
    server: TestServer,
    lead: Client,
    job: String,
    wall: String,
}

fn house(name: &str) -> House {
    let server = TestServer::start(name);
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let id = add(&lead, &job, "wall", &[("name", "Wall D")]);
    let wall = format!("{job}/wall/{id}");
    House {
        server,
        lead,
        job,
        wall,
    }
}

#[test]
fn a_photo_of_a_wall_is_shown_on_its_page_without_where_it_was_taken() {
    let House {
        server: _server,
        lead,
        job,
        wall,
    } = house("photo");
    let sent = jpeg();
    let answer = send(&lead, &wall, "photo", "image/jpeg", &sent);
    assert_eq!(answer.status, 303, "{}", answer.body);
    assert_eq!(answer.location, Some(format!("{wall}#photos")));
    let page = lead.page(&wall);
    let [picture] = pictures(&page).try_into().unwrap();
    assert!(page.contains("alt=\"Photo of Wall D, "), "{page}");
    assert!(page.contains("width=\"40\" height=\"30\" loading=\"lazy\""));
    let (file, kept) = lead.file(&picture);
    assert_eq!(file.header("content-type"), Some("image/jpeg"));
    assert_eq!(file.header("x-content-type-options"), Some("nosniff"));
    assert_eq!(
        file.header("cross-origin-resource-policy"),
        Some("same-origin")
    );
    let decoded = |bytes: &[u8]| image::load_from_memory(bytes).unwrap();
    assert_eq!(count_of(&lead, &job, "photo.add"), 1);

    // what is shown is made anew; the file is for the record, with its picture bit for bit and nothing beside it
    let photo = picture.trim_end_matches("/full").to_owned();
    let (file, original) = lead.file(&format!("{photo}/file"));
    assert_eq!(
        file.header("content-disposition"),
        Some("attachment; filename=\"photo.jpg\"")
    );
    assert_eq!(
        file.header("content-type"),
        Some("application/octet-stream")
    );
    assert_eq!(decoded(&original), decoded(&sent));
    assert_ne!(kept, original);
    for bytes in [&kept, &original] {
        assert!(!bytes.windows(3).any(|part| part == b"GPS"));
        assert_eq!((decoded(bytes).width(), decoded(bytes).height()), (40, 30));
    }
    let here = lead.page(&photo);
    assert!(
        here.contains(&format!("href=\"{photo}/file\" download")),
        "{here}"
    );
    assert!(here.contains("<h1>Photo of Wall D</h1>"), "{here}");
    lead.save(
        &format!("{photo}/edit"),
        "edit",
        &[("caption", "Split at the sill")],
    );
    assert!(lead.page(&wall).contains("alt=\"Split at the sill\""));
    assert!(
        lead.page(&format!("{job}/photo"))
            .contains("Split at the sill")
    );

    lead.save(&photo, "remove", &[("reason", "blurred")]);
    assert!(pictures(&lead.page(&wall)).is_empty());
    assert_eq!(lead.get(&picture).status, 404);
    assert_eq!(lead.get(&photo).status, 404);
}

#[test]
fn a_heic_is_kept_as_original_marked_so_and_handed_over_as_a_file() {
    let House {
        mut server,
        lead,
        job,
        wall,
    } = house("photo-heic");
    let answer = send(
        &lead,
        &wall,
        "photo",
        "image/heic",
        &heic(b"GPS 44 29 12 N"),
    );
    assert_eq!(answer.status, 303, "{}", answer.body);
    let page = lead.page(&wall);
    assert!(pictures(&page).is_empty(), "browsers may not show it");
    assert!(page.contains(": kept as original, HEIC"), "{page}");
    assert!(
        lead.page(&format!("{job}/photo"))
            .contains(": kept as original, HEIC")
    );
    let photo = page
        .split("class=\"shot\" href=\"")
        .nth(1)
        .and_then(|rest| rest.split('"').next())
        .unwrap();
    assert!(lead.page(photo).contains(&format!("{photo}/file\"")));
    let (file, kept) = lead.file(&format!("{photo}/file"));
    assert_eq!(
        file.header("content-type"),
        Some("application/octet-stream")
    );
    assert_eq!(
        file.header("content-disposition"),
        Some("attachment; filename=\"photo.heic\"")
    );
    let holds = |what: &[u8]| kept.windows(what.len()).any(|part| part == what);
    assert!(CODED.iter().all(|part| holds(part)));
    assert!(!holds(b"GPS"));
    for copy in ["small", "screen", "full"] {
        assert_eq!(lead.get(&format!("{photo}/{copy}")).status, 404);
    }
    let file: serde_json::Value =
        serde_json::from_str(&lead.page(&format!("{job}/job-file"))).unwrap();
    let known = &file["pictures"][0];
    assert_eq!(known["type"], "image/heic");
    // Stored lying, shown upright.
    let sides = (known["width"].as_u64(), known["height"].as_u64());
    assert_eq!(sides, (Some(STORED.1.into()), Some(STORED.0.into())));
    // In the job's zip it goes out and comes back as it is.
    let (_, zip) = lead.file(&format!("{job}/job.zip"));
    let there = std::env::temp_dir().join(format!("scantling-heic-{}", std::process::id()));
    std::fs::create_dir_all(&there).unwrap();
    std::fs::write(there.join("job.zip"), zip).unwrap();
    let came = crate::cli::command(&["import"])
        .arg("--data")
        .arg(there.join("data"))
        .arg(there.join("job.zip"))
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&came.stderr).into_owned();
    assert!(came.status.success(), "{said}");
    std::fs::remove_dir_all(there).unwrap();
    // Who may see the photo doesn't get its file by that.
    let crew = server.with_all_as(Role::Crew, &lead);
    let page = crew.page(photo);
    assert!(page.contains("Only a lead gets the file.") && !page.contains("/file\""));
    assert_eq!(crew.get(&format!("{photo}/file")).status, 403);
}

#[test]
fn a_refused_photo_comes_back_as_its_form_which_asks_for_no_picture_again() {
    let House {
        server: _server,
        lead,
        job,
        wall,
    } = house("photo-fix");
    let of = wall.rsplit('/').next().unwrap();
    let refused = "0193a1b0-0000-7000-8000-000000000001";
    let fields = [
        ("of", of),
        ("caption", "Split at the sill"),
        ("replaces", refused),
        ("kept", "Only <b>four</b> words."),
    ];
    let body: String = fields
        .iter()
        .map(|(name, text)| {
            format!("--x\r\ncontent-disposition: form-data; name=\"{name}\"\r\n\r\n{text}\r\n")
        })
        .chain(["--x--\r\n".to_owned()])
        .collect();
    let path = format!("{job}/photo");
    let answer = lead.send(&path, "multipart/form-data; boundary=x", body.as_bytes());
    assert_eq!(answer.status, 422, "{}", answer.body);
    let (_, held) = form(&answer.body, "add");
    assert_eq!(value(&held, "caption"), "Split at the sill");
    assert_eq!(
        (value(&held, "of"), value(&held, "replaces")),
        (of.to_owned(), refused.to_owned())
    );
    assert!(answer.body.contains("Only &lt;b&gt;four&lt;/b&gt; words."));
    assert!(answer.body.contains("The picture is still on this phone"));
    let input = answer.body.split("type=\"file\"").nth(1).unwrap();
    assert!(!input.split('>').next().unwrap().contains("required"));
    assert_eq!(count_of(&lead, &job, "photo.add"), 0);
}

#[test]
fn a_photo_of_the_change_at_hand_comes_back_to_this_week() {
    let House {
        server: _server,
        lead,
        job,
        wall,
    } = house("photo-hand");
    let id = wall.rsplit('/').next().unwrap();
    add(
        &lead,
        &job,
        "shore",
        &[("name", "Shore wall D"), ("week", "1"), ("wall", id)],
    );
    let answer = send(&lead, &job, "hand-photo", "image/jpeg", &jpeg());
    assert_eq!(
        answer.location,
        Some(format!("{job}#hand")),
        "{}",
        answer.body
    );
    assert_eq!(count_of(&lead, &job, "photo.add"), 1);
}

#[test]
fn what_is_no_picture_that_can_be_kept_is_refused_in_words_and_nothing_is_written() {
    let House {
        server: _server,
        lead,
        job,
        wall,
    } = house("photo-bad");
    let whole = jpeg();
    let mut huge = b"\x89PNG\r\n\x1a\n\0\0\0\x0dIHDR\0\0\x2e\xe1\0\0\0\x01\x08\x02\0\0\0".to_vec();
    // The check of a header with 12,001 × 1 pixels, by Python's zlib.crc32.
    huge.extend_from_slice(&0x737f_fa7e_u32.to_be_bytes());
    for (media_type, file, said) in [
        ("image/jpeg", &b""[..], "No picture came"),
        (
            "image/jpeg",
            b"<script>alert(1)</script>",
            "no JPEG, PNG, WebP or HEIC",
        ),
        (
            "image/svg+xml",
            b"<svg xmlns='http://www.w3.org/2000/svg'/>",
            "no JPEG, PNG, WebP or HEIC",
        ),
        ("image/heic", b"\0\0\0\x18ftypheic\0\0\0\0", "cut off"),
        ("image/png", &whole, "holds a JPEG"),
        ("image/jpeg", &whole[..whole.len() - 40], "cut off"),
        ("image/png", &huge, "12001 × 1"),
    ] {
        let answer = send(&lead, &wall, "photo", media_type, file);
        assert_eq!(answer.status, 422, "{said}: {}", answer.body);
        assert!(
            errors(&answer.body).contains(said),
            "{said}: {}",
            page_errors(&answer.body)
        );
        let (_, held) = form(&answer.body, "add");
        assert!(!value(&held, "of").is_empty(), "it is still of the wall");
    }
    let typed = [("caption", &*"x".repeat(201))];
    let (answer, _) = photograph(&lead, (&wall, "photo"), &typed, ("image/jpeg", &whole));
    assert_eq!(answer.status, 422);
    assert!(errors(&answer.body).contains("Write it shorter"));
    let big = vec![0xff; 25_000_001];
    let answer = send(&lead, &wall, "photo", "image/jpeg", &big);
    assert_eq!(answer.status, 413);
    assert!(answer.body.contains("25 MB"), "{}", answer.body);
    let broken = lead.send(
        &format!("{job}/photo"),
        "multipart/form-data; boundary=edge",
        b"--edge\r\nContent",
    );
    assert_eq!(broken.status, 400);
    assert_eq!(count_of(&lead, &job, "photo.add"), 0);
    // Put right and sent again from the page that came back.
    let answer = send(&lead, &wall, "photo", "image/png", &whole);
    let (action, held) = form(&answer.body, "add");
    let again = lead.send(
        &action,
        "multipart/form-data; boundary=edge",
        &body(&held, "image/jpeg", &whole),
    );
    assert_eq!(
        again.location,
        Some(format!("{wall}#photos")),
        "{}",
        again.body
    );
}

#[test]
fn the_same_form_sent_twice_is_one_photo_and_with_another_picture_it_is_not_lost_in_silence() {
    let House {
        server: _server,
        lead,
        job,
        wall,
    } = house("photo-twice");
    let (action, held) = form(&lead.page(&wall), "photo");
    let send = |file: &[u8]| {
        lead.send(
            &action,
            "multipart/form-data; boundary=edge",
            &body(&held, "image/jpeg", file),
        )
    };
    assert_eq!(send(&jpeg()).status, 303);
    assert_eq!(send(&jpeg()).status, 303);
    assert_eq!(count_of(&lead, &job, "photo.add"), 1);
    let mut other = Cursor::new(Vec::new());
    RgbImage::new(8, 8)
        .write_to(&mut other, ImageFormat::Jpeg)
        .unwrap();
    let answer = send(&other.into_inner());
    assert_eq!(answer.status, 422);
    assert!(errors(&answer.body).contains("Another photo"));
    assert_eq!(pictures(&lead.page(&wall)).len(), 1);
}

#[test]
fn a_picture_that_the_disk_changed_or_lost_is_said_to_be_so() {
    let House {
        server,
        lead,
        wall,
        job: _,
    } = house("photo-damaged");
    send(&lead, &wall, "photo", "image/jpeg", &jpeg());
    let [picture] = pictures(&lead.page(&wall)).try_into().unwrap();
    let mut place = server.folder.join("photos");
    while place.is_dir() {
        place = std::fs::read_dir(&place)
            .unwrap()
            .next()
            .unwrap()
            .unwrap()
            .path();
    }
    let whole = std::fs::read(&place).unwrap();
    std::fs::write(&place, &whole[..whole.len() - 1]).unwrap();
    let damaged = lead.get(&picture);
    assert_eq!(damaged.status, 500);
    assert!(
        damaged.body.contains("This picture is damaged"),
        "{}",
        damaged.body
    );
    std::fs::remove_file(&place).unwrap();
    let lost = lead.get(&picture);
    assert_eq!(lost.status, 404);
    assert!(lost.body.contains("The picture is not here"));
    assert_eq!(lead.get(&wall).status, 200);
}

#[test]
fn a_guest_sees_photos_but_none_of_a_receipt_and_adds_none() {
    let House {
        mut server,
        lead,
        job,
        wall,
    } = house("photo-guest");
    let paper = add(&lead, &job, "receipt", &[("total", "640.12")]);
    let receipt = format!("{job}/receipt/{paper}");
    assert!(lead.page(&receipt).contains("Photo of the paper"));
    for page in [&wall, &receipt] {
        assert_eq!(
            send(&lead, page, "photo", "image/jpeg", &jpeg()).status,
            303
        );
    }
    let [of_wall] = pictures(&lead.page(&wall)).try_into().unwrap();
    let [of_paper] = pictures(&lead.page(&receipt)).try_into().unwrap();
    let (action, held) = form(&lead.page(&wall), "photo");

    let guest = server.with_guests(&lead);
    assert_eq!(guest.file(&of_wall).0.status, 200);
    assert_eq!(guest.get(&of_wall.replace("/full", "/file")).status, 403);
    let page = guest.page(of_wall.trim_end_matches("/full"));
    assert!(!page.contains("/file\""), "{page}");
    for path in [
        of_paper.clone(),
        of_paper.trim_end_matches("/full").to_owned(),
        receipt.clone(),
        format!("{receipt}/history"),
        of_paper.replace("/full", "/history"),
    ] {
        assert_eq!(guest.get(&path).status, 403, "{path}");
    }
    let list = guest.page(&format!("{job}/photo"));
    assert!(list.contains(of_wall.trim_end_matches("/full")));
    assert!(!list.contains(of_paper.trim_end_matches("/full")), "{list}");
    assert!(
        !guest
            .page(&wall)
            .contains(&format!("action=\"{job}/photo\"")),
        "no form for a guest"
    );
    let refused = guest.send(
        &action,
        "multipart/form-data; boundary=edge",
        &body(&held, "image/jpeg", &jpeg()),
    );
    assert_eq!(refused.status, 403);
}

#[test]
fn a_things_history_says_who_did_what_and_what_it_was_before() {
    let House {
        mut server,
        lead,
        job,
        wall,
    } = house("history");
    let before = form(&lead.page(&format!("{wall}/edit")), "edit");
    lead.save(
        &format!("{wall}/edit"),
        "edit",
        &[("name", "North wall"), ("bearing", "yes")],
    );
    // Another had the form open all the while.
    let (action, held) = before;
    let late = lead.post_over(&action, held, &[("name", "Wall N")]);
    assert_eq!(late.status, 422);
    let page = lead.page(&format!("{wall}/history"));
    for said in [
        "History of North wall",
        "<td>Name</td>",
        "<b>North wall</b>",
        "before: Wall D",
        "<td>Carries load</td>",
        "wanted <q>Wall N</q>",
        "changed it to <q>North wall</q>",
        ", from ",
    ] {
        assert!(page.contains(said), "{said}: {page}");
    }
    let (newest, oldest) = (
        page.find(">Changed<").unwrap(),
        page.find(">Added<").unwrap(),
    );
    assert!(newest < oldest, "newest first");
    assert!(lead.page(&wall).contains(&format!("{wall}/history")));

    let supplier = add(&lead, &job, "supplier", &[("name", "North Yard")]);
    let receipt = add(&lead, &job, "receipt", &[("supplier", &supplier)]);
    let rope = scantling_takeoff::buy::Item::Sundry {
        name: "rope".to_owned(),
        unit: "each".to_owned(),
    };
    let line = add(
        &lead,
        &job,
        "bought",
        &[
            ("receipt", &receipt),
            ("item", &rope.to_key()),
            ("weeks", "1"),
            ("count", "2"),
            ("price", "12.50"),
        ],
    );
    let of_receipt = lead.page(&format!("{job}/receipt/{receipt}/history"));
    for said in ["<b>North Yard</b>", "rope", "<td>Unit price</td>", "12.50"] {
        assert!(of_receipt.contains(said), "{said}: {of_receipt}");
    }
    assert_eq!(
        lead.get(&format!("{job}/bought/{line}/history")).status,
        200
    );
    // A thing that was taken out keeps its history.
    let (action, held) = form_around(&lead.page(&wall), "data-kind=\"note.add\"");
    lead.post_over(&action, held, &[("text", "Plaster is loose")]);
    lead.post(
        &format!("{wall}/act/remove"),
        &[("reason", "counted twice")],
    );
    assert_eq!(lead.get(&wall).status, 404);
    let gone = lead.page(&format!("{wall}/history"));
    for said in ["Taken out of the record", "counted twice"] {
        assert!(gone.contains(said), "{said}: {gone}");
    }

    let guest = server.with_guests(&lead);
    assert_eq!(guest.get(&format!("{wall}/history")).status, 200);
    let priced = format!("{job}/bought/{line}/history");
    assert_eq!(guest.get(&priced).status, 403);
    // The week is a guest's to read, what it costs is not.
    let week = guest.page(&job);
    assert!(week.contains("Changes this week"), "{week}");
    assert!(
        !week.contains('$') && !week.contains("name=\"price\""),
        "{week}"
    );
}
