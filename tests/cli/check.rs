//! `scantling check`: text and JSON of a job file, its schema, its exit codes.

use serde_json::Value;

use super::{Folder, elm_street, run, run_with};

/// The demo's job file.
fn demo() -> String {
    let folder = Folder::new("check");
    let data = folder.at("demo");
    run(&["demo", "--no-serve", "--data", &data]).fine();
    run(&["export", "--data", &data]).fine()
}

fn checked(file: &str, arguments: &[&str]) -> (i32, String) {
    let mut all = vec!["check", "-"];
    all.extend_from_slice(arguments);
    let ended = run_with(&all, file);
    (ended.code, ended.out)
}

#[test]
fn the_demo_shows_each_verdict_and_ends_with_a_stop() {
    let file = demo();
    let (code, text) = checked(&file, &["--format", "json"]);
    assert_eq!(code, 12);
    let document: Value = serde_json::from_str(&text).unwrap();
    let checks = document["checks"].as_array().unwrap();
    let find = |kind: &str, change: &str| -> &Value {
        checks
            .iter()
            .find(|check| check["kind"] == kind && check["change"]["name"] == change)
            .unwrap_or_else(|| panic!("no {kind} of {change}"))
    };
    // Girder, west length, from 15 1/2 on; post 2 from 12 1/2 to 18: 2 1/2 in of 5 1/2 bears.
    let landing = find("landing", "Post 2");
    assert_eq!(landing["verdict"], "stop");
    assert_eq!(landing["sums"][0]["note"], "45 % of the post");
    // A trimmer 2 1/4 in thick, a seat of 1 15/16.
    let hanger = find("hanger_fit", "Hang the trimmer at the cellar stair");
    assert_eq!(hanger["verdict"], "stop");
    let says = hanger["sentence"].as_str().unwrap();
    assert!(
        says.contains("too narrow, the joist is 5/16 in thicker"),
        "{says}"
    );
    let path = find("load_path", "Take out the Middle wall");
    assert_eq!(path["verdict"], "pass", "{path}");
    assert_eq!(
        find("beam", "Ceiling beam")["verdict"],
        "pass",
        "{}",
        find("beam", "Ceiling beam")
    );
    let stair = find("beam", "Stair beam");
    assert_eq!(stair["verdict"], "stop");
    let least = stair["says"].as_array().unwrap().last().unwrap();
    assert!(
        least
            .as_str()
            .unwrap()
            .starts_with("The least depth that passes"),
        "{least}"
    );
    let gap = find("load_path", "Stair beam");
    assert_eq!(gap["verdict"], "stop");
    let says = gap["sentence"].as_str().unwrap();
    assert!(says.starts_with("The load path has a gap"), "{says}");
    for verdict in ["pass", "look", "cant_tell_yet", "stop"] {
        assert!(
            checks.iter().any(|check| check["verdict"] == verdict),
            "no {verdict}"
        );
    }
    for check in checks {
        let measure = check["measure"].as_array().unwrap();
        assert!(
            check["verdict"] != "cant_tell_yet" || !measure.is_empty(),
            "{check}"
        );
        let structural = !check["parts"].as_array().unwrap().is_empty();
        assert!(!structural || check["caution"].is_string(), "{check}");
    }
    assert_eq!(
        checked(&file, &["--format", "json"]).1,
        text,
        "the same bytes"
    );
}

#[test]
fn the_text_bears_the_caution_line_and_what_is_not_covered() {
    let file = demo();
    let (code, text) = checked(&file, &["--weeks", "2"]);
    assert_eq!(code, 12);
    let caution = "Screening only. Your engineer, your building department and the hardware maker’s sheet decide.";
    assert!(text.matches(caution).count() > 5, "{text}");
    let first = "Local code and licensed practice come first.";
    assert_eq!(text.matches(first).count(), 1, "{text}");
    // The verdict's words are the head's, and no sentence says them again.
    assert!(text.contains("CAN’T TELL YET: "), "{text}");
    assert!(!text.contains("Can’t tell yet"), "{text}");
    assert!(
        text.contains("Not covered: wind, earthquake and uplift"),
        "{text}"
    );
    assert!(!text.contains("Stair beam"), "that is week 3");
}

#[test]
fn exit_codes_tell_a_stop_from_what_cannot_be_told() {
    // Elm street's hangers and beam lack what the screens read; nothing stops but what the sums say.
    let file = elm_street();
    let ended = run(&["check", &file]);
    let stops = ended.out.contains("STOP: ");
    let waits = ended.out.contains("CAN’T TELL YET: ");
    assert_eq!(ended.code, if stops { 12 } else { 13 }, "{}", ended.out);
    assert!(waits, "{}", ended.out);
    // Nothing planned, nothing to say.
    assert_eq!(run(&["check", &file, "--weeks", "77"]).code, 0);
    assert_eq!(run(&["check", "nowhere.json"]).code, 3);
}

#[test]
fn the_committed_schema_of_checks_is_the_one_that_the_program_prints() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("checks.schema.json");
    let committed = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        committed == run(&["schema", "--of", "checks"]).fine(),
        "server/checks.schema.json is not what the program prints. Renew it: cargo run --bin scantling -- schema --of \
         checks > server/checks.schema.json"
    );
}

/// What Python's `jsonschema` says of it; needs it.
mod python {
    use super::{checked, demo, run};
    use crate::python::run as python;

    const SCRIPT: &str = "\
import json, sys
from jsonschema import Draft202012Validator
schema = json.loads(sys.stdin.readline())
Draft202012Validator.check_schema(schema)
validator = Draft202012Validator(schema)
for line in sys.stdin:
    why = [error.json_path for error in validator.iter_errors(json.loads(line))]
    print('fine' if not why else ' '.join(sorted(why)))
";

    #[test]
    fn what_check_prints_follows_its_schema() {
        let schema = run(&["schema", "--of", "checks"]).fine();
        let (_, document) = checked(&demo(), &["--format", "json"]);
        let line = |text: &str| {
            let value: serde_json::Value = serde_json::from_str(text).unwrap();
            value.to_string()
        };
        let wrong = line(&document).replacen("\"verdict\":\"stop\"", "\"verdict\":\"safe\"", 1);
        let input = [line(&schema), line(&document), wrong].join("\n");
        let said = python(SCRIPT, input.as_bytes());
        let said: Vec<&str> = said.lines().collect();
        assert_eq!(said[0], "fine");
        assert!(said[1].ends_with(".verdict"), "{said:?}");
    }
}
