//! Photos: their rows, and their files in the data folder.

use std::path::PathBuf;
use std::time::{Duration, SystemTime};

use scantling_takeoff::record::op::Blob;
use scantling_takeoff::record::{Op, Picture};

use super::{Folder, db, house, id, lead, op, people, send, send_all};
use crate::{
    Applied, Db, Error, Found, Mode, PhotoUse, add_picture, apply, export, from_json, import,
    photo_use, pictures, sha256_hex, to_json,
};

/// A photo's entry that names the picture "front".
fn photo(of: &str) -> Op {
    Op {
        blobs: vec![Blob {
            blob_id: id("front"),
            r#type: "image/jpeg".to_owned(),
            size: 9,
        }],
        ..op("photo.add", "photo", &[("of", &id(of).to_string())])
    }
}

fn front() -> Picture {
    Picture {
        blob_id: id("front"),
        sha256: sha256_hex(b"a picture"),
        r#type: "image/jpeg".to_owned(),
        size: 9,
        width: 640,
        height: 480,
    }
}

/// A photo of the wall, with its picture.
fn photographed(db: &Db) {
    send_all(db, &house());
    send_all(db, &[photo("wall")]);
    db.write(|tx| add_picture(tx, &photo("wall"), &front()))
        .unwrap();
}

#[test]
fn a_photo_names_one_picture_and_nothing_else_names_any() {
    let db = db();
    send_all(&db, &house());
    let bare = Op {
        blobs: Vec::new(),
        ..photo("wall")
    };
    let mut tiff = Op {
        op_id: id("tiff"),
        ..photo("wall")
    };
    tiff.blobs[0].r#type = "image/tiff".to_owned();
    let note = Op {
        blobs: photo("wall").blobs,
        ..op(
            "note.add",
            "note",
            &[("of", &id("wall").to_string()), ("text", "Split")],
        )
    };
    for (op, says) in [
        (bare, "one picture"),
        (tiff, "JPEG, PNG, WebP or HEIC"),
        (note, "Only a photo"),
    ] {
        let Applied::Rejected { problems, .. } = send(&db, &op) else {
            panic!("{says}");
        };
        assert!(problems[0].message.contains(says), "{problems:?}");
    }
}

#[test]
fn a_picture_is_known_once_its_photo_is_and_never_becomes_another() {
    let db = db();
    photographed(&db);
    let known = db.read(|tx| pictures(tx, id("house"))).unwrap();
    assert_eq!(known.get(&id("photo")), Some(&front()));
    db.write(|tx| add_picture(tx, &photo("wall"), &front()))
        .unwrap();
    let another = Picture {
        sha256: sha256_hex(b"another"),
        ..front()
    };
    let unnamed = Picture {
        blob_id: id("back"),
        ..front()
    };
    let huge = Picture {
        blob_id: id("front"),
        width: 12_001,
        ..front()
    };
    for wrong in [another, unnamed, huge] {
        let refused = db.write(move |tx| add_picture(tx, &photo("wall"), &wrong));
        assert!(matches!(refused, Err(Error::Stored { .. })), "{refused:?}");
    }
    assert_eq!(db.read(|tx| pictures(tx, id("house"))).unwrap(), known);
}

#[test]
fn a_job_with_photos_goes_out_and_comes_back_the_same_also_as_a_copy() {
    let first = db();
    photographed(&first);
    let out = |db: &Db, job| to_json(&db.read(|tx| export(tx, job)).unwrap().unwrap());
    let text = out(&first, id("house"));
    assert!(text.contains(&front().sha256), "{text}");
    let second = Db::in_memory().unwrap();
    let file = from_json(&text).unwrap();
    second
        .write(move |tx| import(tx, &file, Mode::Same))
        .unwrap();
    assert_eq!(out(&second, id("house")), text);
    let file = from_json(&text).unwrap();
    let new = id("copy");
    second
        .write(move |tx| import(tx, &file, Mode::Copy { new }))
        .unwrap();
    let copied = second.read(|tx| pictures(tx, id("copy"))).unwrap();
    let copied: Vec<&str> = copied.values().map(|p| p.sha256.as_str()).collect();
    assert_eq!(copied, [front().sha256]);
}

#[test]
fn a_file_that_describes_a_picture_wrongly_is_refused() {
    let first = db();
    photographed(&first);
    let file = first.read(|tx| export(tx, id("house"))).unwrap().unwrap();
    let words = |pictures: Vec<Picture>| {
        let mut file = file.clone();
        file.pictures = pictures;
        let db = Db::in_memory().unwrap();
        db.write(move |tx| import(tx, &file, Mode::Same))
            .unwrap_err()
            .to_string()
    };
    let up = Picture {
        sha256: format!("../{}", &front().sha256[3..]),
        ..front()
    };
    let unnamed = Picture {
        blob_id: id("back"),
        ..front()
    };
    assert!(words(vec![up]).contains("no picture that is kept"));
    assert!(words(vec![front(), front()]).contains("described twice"));
    assert!(words(vec![front(), unnamed]).contains("no photo names it"));
}

/// Every file below a folder.
fn files(folder: &std::path::Path) -> Vec<PathBuf> {
    let mut all = Vec::new();
    for one in std::fs::read_dir(folder).into_iter().flatten() {
        let path = one.unwrap().path();
        if path.is_dir() {
            all.extend(files(&path));
        } else {
            all.push(path);
        }
    }
    all
}

#[test]
fn a_picture_lies_under_its_hash_for_its_owner_alone_and_is_kept_once() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    let kept = db.pictures().unwrap();
    let sha256 = kept.keep(b"a picture").unwrap();
    assert_eq!(kept.keep(b"a picture").unwrap(), sha256);
    let place = folder
        .0
        .join("photos")
        .join(&sha256[..2])
        .join(&sha256[2..4])
        .join(&sha256);
    assert_eq!(
        files(&folder.0.join("photos")),
        std::slice::from_ref(&place)
    );
    assert_eq!(
        kept.read(&sha256).unwrap(),
        Found::Whole(b"a picture".to_vec())
    );
    assert_eq!(kept.read(&sha256_hex(b"none")).unwrap(), Found::Missing);
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        let mode = |path: &std::path::Path| std::fs::metadata(path).unwrap().permissions().mode();
        assert_eq!(mode(&place) & 0o777, 0o600);
        assert_eq!(mode(place.parent().unwrap()) & 0o777, 0o700);
    }
}

#[test]
fn a_picture_that_the_disk_changed_is_damaged_and_keeping_it_again_heals_it() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    let sha256 = db.pictures().unwrap().keep(b"a picture").unwrap();
    let place = files(&folder.0.join("photos")).remove(0);
    std::fs::write(&place, b"a pictur").unwrap();
    let kept = db.pictures().unwrap();
    assert_eq!(kept.read(&sha256).unwrap(), Found::Damaged);
    kept.keep(b"a picture").unwrap();
    assert_eq!(
        kept.read(&sha256).unwrap(),
        Found::Whole(b"a picture".to_vec())
    );
    // Changed after it was found right: reading it anew sees it, and so does every reading after that.
    std::fs::write(&place, b"a pictura").unwrap();
    assert_eq!(kept.read_anew(&sha256).unwrap(), Found::Damaged);
    assert_eq!(kept.read(&sha256).unwrap(), Found::Damaged);
}

#[test]
fn what_a_kill_left_is_swept_and_whole_pictures_stay() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    let kept = db.pictures().unwrap();
    assert_eq!(kept.sweep(SystemTime::now()).unwrap(), 0);
    let sha256 = kept.keep(b"a picture").unwrap();
    let place = files(&folder.0.join("photos")).remove(0);
    // As a kill before the rename leaves it.
    let left = place.with_extension("77-0.part");
    std::fs::write(&left, b"a pic").unwrap();
    let hour = Duration::from_secs(3600);
    assert_eq!(kept.sweep(SystemTime::now() - hour).unwrap(), 0);
    assert!(left.exists(), "it may be on its way still");
    assert_eq!(kept.sweep(SystemTime::now() + hour).unwrap(), 1);
    assert_eq!(files(&folder.0.join("photos")), [place]);
    assert_eq!(
        kept.read(&sha256).unwrap(),
        Found::Whole(b"a picture".to_vec())
    );
}

#[test]
fn a_photo_and_its_picture_are_written_together_or_not_at_all() {
    let folder = Folder::new();
    let db = Db::open(&folder.0).unwrap();
    db.write(people).unwrap();
    send_all(&db, &house());
    let wrong = Picture {
        height: 0,
        ..front()
    };
    let refused = db.write(move |tx| {
        apply(tx, &photo("wall"), &lead(), super::NOW)?;
        add_picture(tx, &photo("wall"), &wrong)
    });
    assert!(refused.is_err());
    assert!(matches!(send(&db, &photo("wall")), Applied::New { .. }));
}

/// One photo of 9 bytes by Ann's phone; the day is that of `NOW`.
#[test]
fn what_photos_take_is_added_up_by_phone_and_day_and_by_job() {
    let db = db();
    photographed(&db);
    let used = |job: &str, phone: &str, day: &str| {
        let (job, phone, day) = (id(job), id(phone), day.to_owned());
        db.read(move |tx| photo_use(tx, job, phone, &day)).unwrap()
    };
    let day = &super::NOW[..10];
    let figures = |of_day, n_of_job, of_job| PhotoUse {
        of_day,
        n_of_job,
        of_job,
    };
    assert_eq!(used("house", "Ann's phone", day), figures(1, 1, 9));
    assert_eq!(used("house", "Ben's phone", day), figures(0, 1, 9));
    assert_eq!(used("house", "Ann's phone", "2020-01-01"), figures(0, 1, 9));
    assert_eq!(used("other", "Ann's phone", day), figures(1, 0, 0));
}
