//! A job in a zip: out and in again the same, and hostile archives that leave everything as it was.

use std::io::{Cursor, Read as _, Write as _};
use std::path::{Path, PathBuf};

use zip::write::SimpleFileOptions;
use zip::{CompressionMethod, ZipArchive, ZipWriter};

use super::{Folder, run};
use crate::forms::{add, bought_and_sent, jpeg, papers, photograph, start_job};
use crate::support::TestServer;

/// Files of a zip: name and bytes.
type Files = Vec<(String, Vec<u8>)>;

/// A server with a job of a wall and two photos of it.
fn house(name: &str) -> (TestServer, String) {
    let server = TestServer::start(name);
    let lead = server.lead();
    let job = start_job(&lead, "Elm Street");
    let wall = add(&lead, &job, "wall", &[("name", "Wall D")]);
    let page = format!("{job}/wall/{wall}");
    let mut other = jpeg();
    // As the first one, but for some data at the end of its scan, so that it has another hash.
    let end = other.len() - 2;
    other.splice(end..end, b"\x01\x02\x03".iter().copied());
    for file in [jpeg(), other] {
        let (answer, _) = photograph(&lead, (&page, "photo"), &[], ("image/jpeg", &file));
        assert_eq!(answer.status, 303, "{}", answer.body);
    }
    (server, job)
}

fn files(bytes: &[u8]) -> Files {
    let mut archive = ZipArchive::new(Cursor::new(bytes)).unwrap();
    (0..archive.len())
        .map(|at| {
            let mut entry = archive.by_index(at).unwrap();
            let name = entry.name().unwrap().into_owned();
            let mut bytes = Vec::new();
            entry.read_to_end(&mut bytes).unwrap();
            (name, bytes)
        })
        .collect()
}

fn zipped(files: &Files) -> Vec<u8> {
    let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
    let options = SimpleFileOptions::default().compression_method(CompressionMethod::Stored);
    for (name, bytes) in files {
        zip.start_file(name.as_str(), options).unwrap();
        zip.write_all(bytes).unwrap();
    }
    zip.finish().unwrap().into_inner()
}

/// Every file of a data folder's pictures.
fn pictures(folder: &Path) -> Vec<(PathBuf, Vec<u8>)> {
    let mut all = Vec::new();
    for one in std::fs::read_dir(folder).into_iter().flatten() {
        let path = one.unwrap().path();
        if path.is_dir() {
            all.extend(pictures(&path));
        } else {
            all.push((path.clone(), std::fs::read(&path).unwrap()));
        }
    }
    all.sort();
    all
}

#[test]
fn a_job_in_a_zip_comes_back_the_same_byte_for_byte_with_every_picture() {
    let (server, job) = house("zip");
    let folder = Folder::new("zip");
    let (out, again, data) = (folder.at("a.zip"), folder.at("b.ZIP"), folder.at("data"));
    let from = server.folder.to_str().unwrap();
    run(&["export", "--data", from, "--out", &out]).fine();
    let bytes = std::fs::read(&out).unwrap();
    let (answer, sent) = server.lead().file(&format!("{job}/job.zip"));
    assert_eq!(answer.status, 200);
    assert_eq!(answer.header("content-type"), Some("application/zip"));
    assert!(sent == bytes, "the page's zip is the command's");

    let names: Vec<String> = files(&bytes).into_iter().map(|(name, _)| name).collect();
    assert_eq!(names[..2], ["README.txt", "job.json"]);
    assert_eq!(names.len(), 4, "{names:?}");
    let said = run(&["import", &out, "--data", &data]).fine();
    assert!(said.starts_with("Taken: Elm Street, 4 entries"), "{said}");
    let json = |data: &str| run(&["export", "--data", data]).fine();
    assert_eq!(json(&data), json(from));
    let kept = |data: &Path| -> Vec<Vec<u8>> {
        let all = pictures(&data.join("photos"));
        all.into_iter().map(|(_, bytes)| bytes).collect()
    };
    assert_eq!(kept(Path::new(&data)), kept(&server.folder));
    assert_eq!(kept(Path::new(&data)).len(), 2);
    run(&["export", "--data", &data, "-o", &again]).fine();
    assert!(std::fs::read(&again).unwrap() == bytes, "the same bytes");
    // As a copy beside the first: the same pictures, kept once.
    run(&["import", "--copy", &again, "--data", &data]).fine();
    assert_eq!(kept(Path::new(&data)).len(), 2);
}

/// The three papers of an order in a zip, in the order of [`papers`].
fn order_files(files: &Files, order: &str) -> [(String, Vec<u8>); 3] {
    let id = order.rsplit('/').next().unwrap();
    ["csv", "txt", "html"].map(|end| {
        let name = format!("orders/{id}-r1.{end}");
        let found = files.iter().find(|(n, _)| *n == name);
        found.unwrap_or_else(|| panic!("no {name}")).clone()
    })
}

#[test]
fn what_was_bought_and_sent_comes_back_the_same_with_the_orders_papers() {
    let server = TestServer::start("zip-bought");
    let lead = server.lead();
    let (job, receipt, order) = bought_and_sent(&lead);
    let slip = photograph(&lead, (&receipt, "photo"), &[], ("image/jpeg", &jpeg())).0;
    assert_eq!(slip.status, 303, "{}", slip.body);
    let sent = papers(&lead, &order);
    let folder = Folder::new("zip-bought");
    let (out, again, data) = (folder.at("a.zip"), folder.at("b.zip"), folder.at("data"));
    let from = server.folder.to_str().unwrap();
    run(&["export", "--data", from, "--out", &out]).fine();
    let bytes = std::fs::read(&out).unwrap();
    let held = files(&bytes);
    let of_zip = order_files(&held, &order);
    for ((name, kept), paper) in of_zip.iter().zip(&sent) {
        assert!(kept == paper.as_bytes(), "{name}");
    }
    // The sentence, the job, three papers and the picture under its hash.
    assert_eq!(held.len(), 6);
    for (name, kept) in held.iter().filter(|(n, _)| n.starts_with("photos/")) {
        assert_eq!(name[7..71], scantling_db::sha256_hex(kept));
    }

    run(&["import", &out, "--data", &data]).fine();
    let json = |data: &str| run(&["export", "--data", data]).fine();
    let job_file = json(&data);
    assert!(job_file == json(from), "the same job file, byte for byte");
    for kind in ["receipt.add", "bought.add", "order.send"] {
        assert!(job_file.contains(kind), "{kind}");
    }
    run(&["export", "--data", &data, "--out", &again]).fine();
    assert!(std::fs::read(&again).unwrap() == bytes, "the same zip");
    let other = TestServer::start_in(data.into());
    let there = other.lead();
    assert_eq!(papers(&there, &order), sent);
    for week in ["1", "2"] {
        let csv = format!("{job}/buy-list.csv?week={week}");
        assert_eq!(there.page(&csv), lead.page(&csv));
    }
}

#[test]
fn a_zip_whose_order_is_not_what_was_sent_is_refused() {
    let server = TestServer::start("zip-papers");
    let (_, _, order) = bought_and_sent(&server.lead());
    let folder = Folder::new("zip-papers");
    let (out, bad, data) = (folder.at("a.zip"), folder.at("bad.zip"), folder.at("data"));
    let from = server.folder.to_str().unwrap();
    run(&["export", "--data", from, "--out", &out]).fine();
    let good = files(&std::fs::read(&out).unwrap());
    for (name, paper) in order_files(&good, &order) {
        let mut more = paper.clone();
        more.push(b'\n');
        let mut other = paper.clone();
        other[0] ^= 1;
        let cases = [
            (Some(more), "not what the job says was sent"),
            (Some(other), "not what the job says was sent"),
            (None, "doesn't hold it"),
        ];
        for (instead, said) in cases {
            let mut changed = good.clone();
            changed.retain(|(n, _)| *n != name || instead.is_some());
            for (n, held) in &mut changed {
                if let (true, Some(instead)) = (*n == name, &instead) {
                    held.clone_from(instead);
                }
            }
            std::fs::write(&bad, zipped(&changed)).unwrap();
            let ended = run(&["import", &bad, "--data", &data]);
            assert_eq!(ended.code, 9, "{name}: {}{}", ended.out, ended.err);
            for text in [name.as_str(), said] {
                assert!(ended.err.contains(text), "{text}: {}", ended.err);
            }
            assert!(!Path::new(&data).exists(), "{name}");
        }
    }
    run(&["import", &out, "--data", &data]).fine();
}

#[test]
fn a_picture_that_is_lost_or_damaged_makes_no_zip_and_is_named_by_what_it_is_of() {
    let (server, job) = house("zip-lost");
    let folder = Folder::new("zip-lost");
    let (out, from) = (folder.at("a.zip"), server.folder.to_str().unwrap());
    let (place, whole) = pictures(&server.folder.join("photos")).remove(0);
    let name = place.file_name().unwrap().to_str().unwrap();
    let mut changed = whole.clone();
    changed[20] ^= 1;
    let lead = server.lead();
    // Found right once by the server: that is not taken for granted afterwards.
    assert_eq!(lead.file(&format!("{job}/job.zip")).0.status, 200);
    for broken in [Some(changed), Some(whole[1..].to_vec()), None] {
        match broken {
            Some(bytes) => std::fs::write(&place, bytes).unwrap(),
            None => std::fs::remove_file(&place).unwrap(),
        }
        let ended = run(&["export", "--data", from, "--out", &out]);
        assert_eq!(ended.code, 5, "{}", ended.err);
        assert_eq!(std::fs::read_dir(folder.at("")).unwrap().count(), 0);
        let page = lead.get(&format!("{job}/job.zip"));
        assert_eq!(page.status, 404);
        for said in [name, "he photo of Wall D of 20", "import FILE.zip"] {
            assert!(ended.err.contains(said), "{said}: {}", ended.err);
            assert!(page.body.contains(said), "{said}: {}", page.body);
        }
    }
}

#[test]
fn a_job_that_came_without_its_pictures_says_so_and_gets_them_from_a_zip_later() {
    let (server, _) = house("zip-later");
    let folder = Folder::new("zip-later");
    let (json, out, again) = (folder.at("a.json"), folder.at("a.zip"), folder.at("b.zip"));
    let (data, from) = (folder.at("data"), server.folder.to_str().unwrap());
    run(&["export", "--data", from, "--out", &json]).fine();
    run(&["export", "--data", from, "--out", &out]).fine();
    let said = run(&["import", &json, "--data", &data]).fine();
    for text in ["Pictures that are not here: 2", "import FILE.zip"] {
        assert!(said.contains(text), "{text}: {said}");
    }
    let ended = run(&["export", "--data", &data, "--out", &again]);
    assert_eq!(ended.code, 5, "{}", ended.err);
    // The job there stays as it is and gets what it lacks.
    let record = run(&["export", "--data", &data]).fine();
    let said = run(&["import", &out, "--data", &data]).fine();
    assert!(said.contains("pictures brought back: 2"), "{said}");
    assert!(!said.contains("not here"), "{said}");
    assert!(run(&["export", "--data", &data]).fine() == record);
    run(&["export", "--data", &data, "--out", &again]).fine();
    assert!(std::fs::read(&again).unwrap() == std::fs::read(&out).unwrap());
    // One that is damaged is brought back too; where nothing is lacking, the job is there already.
    let (place, whole) = pictures(&Path::new(&data).join("photos")).remove(0);
    std::fs::write(&place, &whole[1..]).unwrap();
    let said = run(&["import", &out, "--data", &data]).fine();
    assert!(said.contains("pictures brought back: 1"), "{said}");
    assert!(std::fs::read(&place).unwrap() == whole);
    assert_eq!(run(&["import", &out, "--data", &data]).code, 10);
    assert_eq!(run(&["import", &json, "--data", &data]).code, 10);
}

/// An archive that must be refused, and what must be said of it.
struct Hostile {
    bytes: Vec<u8>,
    said: Vec<String>,
}

fn hostile(bytes: Vec<u8>, said: &[&str]) -> Hostile {
    Hostile {
        bytes,
        said: said.iter().map(|text| (*text).to_owned()).collect(),
    }
}

fn with(files: &Files, name: &str, bytes: &[u8]) -> Vec<u8> {
    let mut files = files.clone();
    files.push((name.to_owned(), bytes.to_vec()));
    zipped(&files)
}

/// A zip in which a name of the same length stands in place of one.
fn renamed(bytes: &[u8], from: &str, to: &str) -> Vec<u8> {
    assert_eq!(from.len(), to.len());
    let mut out = bytes.to_vec();
    let mut n = 0;
    for at in 0..out.len() - from.len() {
        if out[at..].starts_with(from.as_bytes()) {
            out[at..at + to.len()].copy_from_slice(to.as_bytes());
            n += 1;
        }
    }
    assert_eq!(n, 2, "before the file and in the directory");
    out
}

fn hostiles(good: &[u8]) -> Vec<Hostile> {
    let files = files(good);
    let picture = files[2].0.clone();
    let sha256 = picture[7..71].to_owned();
    let without = |name: &str| {
        let kept = files.iter().filter(|(n, _)| n != name);
        zipped(&kept.cloned().collect())
    };
    let replaced = |name: &str, bytes: &[u8]| {
        let change = |(n, b): &(String, Vec<u8>)| {
            let bytes = if n == name { bytes.to_vec() } else { b.clone() };
            (n.clone(), bytes)
        };
        zipped(&files.iter().map(change).collect())
    };
    let mut all = Vec::new();
    for (name, why) in [
        ("../evil.txt", "leads out"),
        ("photos/../../evil.txt", "leads out"),
        ("/evil.txt", "root of a disk"),
        ("C:/evil.txt", "root of a disk"),
        ("photos\\evil.txt", "backslash"),
        ("evil.txt", "no file of such a name"),
    ] {
        // Written under an innocent name, since a writer might put it right.
        let innocent = "e".repeat(name.len());
        let bytes = renamed(&with(&files, &innocent, b"evil"), &innocent, name);
        let shown = name.escape_debug().to_string();
        all.push(hostile(bytes, &[&shown, why]));
    }
    let hash = "ab".repeat(32);
    let link = {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        let name = format!("photos/{hash}.jpg");
        zip.add_symlink(name, "../../secret", SimpleFileOptions::default())
            .unwrap();
        zip.finish().unwrap().into_inner()
    };
    all.push(hostile(link, &[&hash, "link"]));
    let twice = with(&files, "READMF.txt", b"again");
    let twice = renamed(&twice, "READMF.txt", "README.txt");
    all.push(hostile(twice, &["README.txt", "twice"]));
    let bomb = {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        let options = SimpleFileOptions::default().compression_method(CompressionMethod::Deflated);
        zip.start_file("job.json", options).unwrap();
        zip.write_all(&vec![b' '; 30_000_000]).unwrap();
        zip.finish().unwrap().into_inner()
    };
    assert!(bomb.len() < 100_000, "{}", bomb.len());
    all.push(hostile(bomb, &["job.json", "100 times"]));
    // Nothing at all isn't taken for a zip.
    all.push(hostile(Vec::new(), &["the job file can't be read"]));
    all.extend(cut_off(good, &files));
    all.extend(patched(good, &files));
    // One bit of a stored picture: its check fails.
    let mut flipped = good.to_vec();
    let middle = flipped
        .windows(71)
        .position(|part| part == &picture.as_bytes()[..71]);
    flipped[middle.unwrap() + 71 + 200] ^= 1;
    all.push(hostile(flipped, &[&picture, "damaged"]));
    all.push(hostile(replaced(&picture, &jpeg()), &[&picture, "hash"]));
    all.push(hostile(without(&picture), &[&picture, "doesn't hold it"]));
    all.push(hostile(
        without("job.json"),
        &["job.json", "doesn't hold it"],
    ));
    all.push(hostile(
        replaced("job.json", b"{}"),
        &["job.json", "missing field"],
    ));
    all.push(hostile(
        replaced("job.json", b"\xff"),
        &["job.json", "plain text"],
    ));
    let readme = with(&files, "readme.txt", b"again");
    all.push(hostile(readme, &["readme.txt", "no file of such a name"]));
    let loud = picture.replace(&sha256, &sha256.to_uppercase());
    let twice = with(&files, &loud, &files[2].1);
    all.push(hostile(twice, &[&loud, "no file of such a name"]));
    // Once more under the other ending.
    let other = picture.replace(".jpg", ".png");
    let twice = with(&files, &other, &files[2].1);
    all.push(hostile(twice, &[&other, "holds a JPEG"]));
    let folder = {
        let mut zip = ZipWriter::new(Cursor::new(Vec::new()));
        zip.add_directory("photos/", SimpleFileOptions::default())
            .unwrap();
        zip.finish().unwrap().into_inner()
    };
    all.push(hostile(folder, &["photos/", "no file of such a name"]));
    // Where it was taken stands in it, though its name is right.
    let located = jpeg();
    let name = format!("photos/{}.jpg", scantling_db::sha256_hex(&located));
    all.push(hostile(
        with(&files, &name, &located),
        &[&name, "holds more"],
    ));
    // A third picture, right in itself.
    let kept = &files[2].1;
    let mut third = kept[..kept.len() - 2].to_vec();
    third.extend_from_slice(b"\x07\x07\xff\xd9");
    let name = format!("photos/{}.jpg", scantling_db::sha256_hex(&third));
    all.push(hostile(
        with(&files, &name, &third),
        &[&name, "doesn't name it"],
    ));
    let order = "orders/00000000-0000-4000-8000-000000000001-r1.csv";
    all.push(hostile(
        with(&files, order, b"a,b"),
        &[order, "doesn't name it"],
    ));
    // The job says another size of a picture.
    let job = String::from_utf8(files[1].1.clone()).unwrap();
    let job = job.replace("\"width\": 40", "\"width\": 41");
    all.push(hostile(
        replaced("job.json", job.as_bytes()),
        &["photos/", "not what the job says"],
    ));
    // A picture under an extension that it isn't.
    let as_png = picture.replace(".jpg", ".png");
    let bytes = renamed(good, &picture, &as_png);
    all.push(hostile(bytes, &[&as_png, "holds a JPEG"]));
    all
}

/// The zip cut off at several places, each with the last entry that is begun by then.
fn cut_off(good: &[u8], files: &Files) -> Vec<Hostile> {
    let lengths = [2, 30, good.len() / 2, good.len() - 30, good.len() - 1];
    let cut = |length: usize| {
        let begun = |name: &str| {
            let named = good.windows(name.len()).position(|w| w == name.as_bytes());
            named.unwrap() + name.len() <= length
        };
        let last = files.iter().rfind(|(name, _)| begun(name));
        let said = last.map_or_else(
            || "no entry is begun".to_owned(),
            |(name, _)| format!("the last entry that is begun is {name}"),
        );
        let cut = "the zip can't be read; it is cut off or damaged";
        hostile(good[..length].to_vec(), &[cut, &said])
    };
    lengths.map(cut).into()
}

/// The zip with a few bytes changed before an entry or in its line of the list of contents.
fn patched(good: &[u8], files: &Files) -> Vec<Hostile> {
    let (job, picture) = (files[1].0.as_str(), files[2].0.as_str());
    let place = |mark: &[u8], before: usize, name: &str| {
        let is_it = |at: &usize| {
            let rest = &good[*at..];
            rest.starts_with(mark)
                && rest.len() > before
                && rest[before..].starts_with(name.as_bytes())
        };
        (0..good.len()).find(is_it).unwrap()
    };
    // Its header has 30 bytes before the name, its line in the list 46.
    let places = |name: &str| {
        (
            place(b"PK\x03\x04", 30, name),
            place(b"PK\x01\x02", 46, name),
        )
    };
    let change = |name: &str, patches: &[(bool, usize, &[u8])]| {
        let (header, line) = places(name);
        let mut bytes = good.to_vec();
        for (in_list, offset, new) in patches {
            let from = if *in_list { line } else { header } + offset;
            bytes[from..from + new.len()].copy_from_slice(new);
        }
        bytes
    };
    let size = u32::try_from(files[1].1.len() + 1).unwrap().to_le_bytes();
    vec![
        hostile(
            change(picture, &[(false, 6, &[9]), (true, 8, &[9])]),
            &[picture, "it is encrypted"],
        ),
        hostile(
            change(picture, &[(false, 8, &[12]), (true, 10, &[12])]),
            &[picture, "in another way than by deflate"],
        ),
        // The job's entry begins where the first one does.
        hostile(
            change(job, &[(true, 42, &[0; 4])]),
            &[job, "lie over those of README.txt"],
        ),
        hostile(
            change(job, &[(false, 0, b"XX")]),
            &[job, "its header in the zip is damaged"],
        ),
        hostile(change(job, &[(true, 24, &size)]), &[job]),
    ]
}

/// Every file of a data folder's pictures, and its one job: what a refused zip leaves as it is.
fn all_of(data: &str) -> (Vec<(PathBuf, Vec<u8>)>, String) {
    let record = run(&["export", "--data", data]).fine();
    (pictures(&Path::new(data).join("photos")), record)
}

#[test]
fn a_hostile_or_broken_zip_changes_nothing_and_says_which_entry() {
    let (server, _) = house("zip-hostile");
    let folder = Folder::new("zip-hostile");
    let (out, data, fresh) = (folder.at("a.zip"), folder.at("data"), folder.at("fresh"));
    let from = server.folder.to_str().unwrap();
    run(&["export", "--data", from, "--out", &out]).fine();
    // A copy of the job is there, with its pictures: one of them damaged, so that it is seen whether it is touched.
    run(&["import", "--copy", &out, "--data", &data]).fine();
    let (place, whole) = pictures(&Path::new(&data).join("photos")).remove(0);
    std::fs::write(&place, &whole[1..]).unwrap();
    let before = all_of(&data);
    assert_eq!(before.0.len(), 2);
    let good = std::fs::read(&out).unwrap();
    let bad = folder.at("bad.zip");
    for (at, Hostile { bytes, said }) in hostiles(&good).into_iter().enumerate() {
        std::fs::write(&bad, &bytes).unwrap();
        for (into, is_there) in [(&fresh, false), (&data, true)] {
            let ended = run(&["import", &bad, "--data", into]);
            assert_eq!(ended.code, 9, "{at} {said:?}: {}{}", ended.out, ended.err);
            for text in &said {
                assert!(
                    ended.err.contains(text.as_str()),
                    "{at} {text}: {}",
                    ended.err
                );
            }
            assert_eq!(Path::new(into).exists(), is_there, "{said:?}");
        }
        assert!(all_of(&data) == before, "{said:?}");
    }
    // And the good one still comes in.
    run(&["import", &out, "--data", &data]).fine();
    assert_eq!(std::fs::read(&place).unwrap(), whole);
}

/// What Python's `zipfile` makes of our zip, and we of its.
mod python {
    use super::*;
    use crate::python::run as python;

    #[test]
    fn our_zip_is_whole_for_another_program_and_one_by_it_comes_in() {
        let (server, _) = house("zip-python");
        let folder = Folder::new("zip-python");
        let (out, again, data) = (folder.at("a.zip"), folder.at("b.zip"), folder.at("data"));
        let from = server.folder.to_str().unwrap();
        run(&["export", "--data", from, "--out", &out]).fine();
        let script = format!(
            "import hashlib, zipfile\n\
             ours = zipfile.ZipFile({out:?})\n\
             assert ours.testzip() is None\n\
             with zipfile.ZipFile({again:?}, 'w', zipfile.ZIP_DEFLATED) as theirs:\n\
             \x20   for info in ours.infolist():\n\
             \x20       held = ours.read(info)\n\
             \x20       if info.filename.startswith('photos/'):\n\
             \x20           assert hashlib.sha256(held).hexdigest() == info.filename[7:71]\n\
             \x20       theirs.writestr(info.filename, held)\n\
             print(len(ours.infolist()))"
        );
        assert_eq!(python(&script, b"").trim(), "4");
        run(&["import", &again, "--data", &data]).fine();
        let json = |data: &str| run(&["export", "--data", data]).fine();
        assert_eq!(json(&data), json(from));
    }
}
