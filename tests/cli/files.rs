//! `scantling export` and `scantling import`: what goes out comes back the same, and a broken file changes nothing.

use super::{Ended, Folder, elm_street, elm_street_text, run, run_with};
use crate::support::TestServer;

/// A data folder that holds the job by hand.
fn imported(folder: &Folder, name: &str) -> String {
    let data = folder.at(name);
    let said = run(&["import", &elm_street(), "--data", &data]).fine();
    assert!(
        said.starts_with("Taken: Elm Street 12, 29 entries, as job "),
        "{said}"
    );
    data
}

fn export(data: &str) -> String {
    run(&["export", "--data", data]).fine()
}

#[test]
fn a_job_that_goes_out_and_comes_back_is_the_same_byte_for_byte() {
    let folder = Folder::new("round");
    let (first, second, file) = (
        imported(&folder, "first"),
        folder.at("second"),
        folder.at("job.json"),
    );
    let text = export(&first);
    assert_eq!(run(&["export", "--data", &first, "-o", &file]).fine(), "");
    assert_eq!(std::fs::read_to_string(&file).unwrap(), text);
    run(&["import", &file, "--data", &second]).fine();
    assert_eq!(export(&second), text);
    let needs = |file: &str| run(&["takeoff", file, "--format", "json"]).fine();
    assert_eq!(needs(&file), needs(&elm_street()));
}

#[test]
fn a_job_that_is_there_is_not_taken_twice_but_as_a_copy() {
    let folder = Folder::new("twice");
    let data = imported(&folder, "data");
    let before = export(&data);
    let again = run(&["import", &elm_street(), "--data", &data]);
    assert_eq!(again.code, 10, "{}", again.err);
    assert!(again.err.contains("--copy"), "{}", again.err);
    assert_eq!(export(&data), before);

    let copied = run(&["import", "--copy", "--data", &data, &elm_street()]).fine();
    let id = copied.trim().rsplit(' ').next().unwrap().to_owned();
    let which = run(&["export", "--data", &data]);
    assert_eq!(which.code, 2, "there are two now: {}", which.err);
    assert!(which.err.contains("--job"), "{}", which.err);
    let copy = run(&["export", "--data", &data, "--job", &id]).fine();
    assert!(copy.contains(&id));
    // Every id by hand begins so; the copy has none of them.
    assert!(!copy.contains("00000000-0000-4000-8000-"), "{copy}");
    let old = "00000000-0000-4000-8000-000000000001";
    assert_eq!(
        run(&["export", "--data", &data, "--job", old]).fine(),
        before
    );
    assert_eq!(
        run(&["export", "--data", &data, "--job", "Elm Street 12"]).code,
        2,
        "the name is of two"
    );
}

#[test]
fn a_server_may_run_beside_an_export_but_not_beside_an_import() {
    let server = TestServer::start("export");
    let lead = server.lead();
    lead.save("/", "add", &[("name", "Elm Street 12")]);
    let data = server.folder.to_str().unwrap().to_owned();
    let out = export(&data);
    assert!(out.contains("\"name\": \"Elm Street 12\""), "{out}");
    let shut = run(&["import", &elm_street(), "--data", &data]);
    assert_eq!(shut.code, 8, "{}", shut.err);
    let pid = std::process::id().to_string();
    assert!(shut.err.contains(&pid), "says who has it: {}", shut.err);
    assert_eq!(export(&data), out);
}

#[test]
fn a_folder_without_a_job_says_so() {
    let folder = Folder::new("none");
    let nowhere = run(&["export", "--data", &folder.at("nowhere")]);
    assert_eq!(nowhere.code, 3, "{}", nowhere.err);
    assert!(
        nowhere.err.contains("there is no such folder"),
        "{}",
        nowhere.err
    );
    let empty = folder.at("empty");
    std::fs::create_dir(&empty).unwrap();
    assert_eq!(run(&["export", "--data", &empty]).code, 3);
    let left: Vec<_> = std::fs::read_dir(&empty).unwrap().collect();
    assert!(left.is_empty(), "an export makes nothing: {left:?}");
    let data = imported(&folder, "data");
    let other = run(&["export", "--data", &data, "--job", "Oak Street 3"]);
    assert_eq!(other.code, 2);
    assert!(other.err.contains("Elm Street 12"), "{}", other.err);
}

#[test]
fn a_file_that_is_no_database_is_damaged_data_and_stays_as_it_is() {
    let folder = Folder::new("damaged");
    let (data, file) = (folder.at("data"), folder.at("data/scantling.db"));
    std::fs::create_dir(&data).unwrap();
    let no_database = "not a database\n".repeat(600);
    std::fs::write(&file, &no_database).unwrap();
    for arguments in [
        &["export", "--data", &data][..],
        &["import", &elm_street(), "--data", &data],
        &["serve", "--port", "0", "--data", &data],
    ] {
        let ended = run(arguments);
        assert_eq!(ended.code, 5, "{arguments:?}: {}", ended.err);
        assert!(ended.err.contains("damaged"), "{}", ended.err);
        assert_eq!(std::fs::read_to_string(&file).unwrap(), no_database);
    }
}

/// Breaks the job file by hand: the first `what` becomes `with`.
fn broken(what: &str, with: &str) -> String {
    let text = elm_street_text();
    assert!(text.contains(what), "{what}");
    text.replacen(what, with, 1)
}

#[test]
fn a_broken_file_changes_nothing_and_says_which_entry() {
    let folder = Folder::new("broken");
    let (data, fresh) = (imported(&folder, "data"), folder.at("fresh"));
    let before = export(&data);
    let text = elm_street_text();
    let cut_off = text[..text.find("shore.add").unwrap()].to_owned();
    let nobody = "00000000-0000-4000-8000-0000000000ff";
    let cases = [
        (cut_off, "entry 14: EOF"),
        (broken("\"version\": 1", "\"version\": 2"), "version 2"),
        (
            broken("\"kind\": \"week.add\"", "\"kind\": \"weak.add\""),
            "entry 2 (weak.add): ",
        ),
        (
            broken("\"raw\": \"5 3/4\"", "\"raw\": \"five\""),
            "entry 12 (reading.add), field raw: ",
        ),
        (
            broken(
                "\"of\": \"00000000-0000-4000-8000-000000000013\"",
                &format!("\"of\": \"{nobody}\""),
            ),
            "entry 11 (reading.add), field of: ",
        ),
        (
            broken("\"bearing\": \"yes\"", "\"bearing\": \"perhaps\""),
            "entry 5 (wall.add), field bearing: ",
        ),
        (
            broken("\"zero_end\"", "\"zero_and\""),
            "entry 5 (wall.add), field zero_and: ",
        ),
        (
            broken("\"kind\": \"room.add\", ", ""),
            "entry 3: missing field `kind`",
        ),
        (
            broken("\"kind\": \"job.add\"", "\"kind\": \"room.add\""),
            "first entry",
        ),
        ("{}".to_owned(), "missing field `format`"),
        (String::new(), "EOF"),
    ];
    for (text, says) in &cases {
        let says_why = |ended: Ended| {
            assert_eq!(
                (ended.code, ended.out.as_str()),
                (9, ""),
                "{says}: {}",
                ended.err
            );
            assert!(ended.err.contains(says), "{says}: {}", ended.err);
        };
        says_why(run_with(&["takeoff", "-"], text));
        says_why(run_with(&["import", "-", "--data", &fresh], text));
        assert!(!std::path::Path::new(&fresh).exists(), "{says}");
        says_why(run_with(&["import", "-", "--copy", "--data", &data], text));
        assert_eq!(export(&data), before, "{says}");
    }
}
