//! The job file's schema: the committed file is what the program prints, and an outsider's validator agrees with it.

use super::run;

#[test]
fn the_committed_schema_is_the_one_that_the_program_prints() {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("job-file.schema.json");
    let committed = std::fs::read_to_string(path).unwrap_or_default();
    assert!(
        committed == run(&["schema"]).fine(),
        "server/job-file.schema.json is not what the registry says. Renew it: cargo run --bin scantling -- schema > \
         server/job-file.schema.json"
    );
}

/// What Python's `jsonschema` says of job files; needs it.
mod python {
    use super::super::{Folder, elm_street, elm_street_text, run};
    use crate::python::run as python;

    /// Each document on a line of its own: prints `fine`, or where and why not.
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

    fn one_line(json: &str) -> String {
        let value: serde_json::Value = serde_json::from_str(json).unwrap();
        value.to_string()
    }

    fn validate(documents: &[String]) -> Vec<String> {
        let mut input = one_line(&run(&["schema"]).fine());
        for document in documents {
            input.push('\n');
            input.push_str(&one_line(document));
        }
        python(SCRIPT, input.as_bytes())
            .lines()
            .map(str::to_owned)
            .collect()
    }

    #[test]
    fn a_file_by_hand_an_export_and_the_demo_are_valid() {
        let folder = Folder::new("schema");
        let (data, demo) = (folder.at("data"), folder.at("demo"));
        run(&["import", &elm_street(), "--data", &data]).fine();
        run(&["demo", "--no-serve", "--data", &demo]).fine();
        let export = |data: &str| run(&["export", "--data", data]).fine();
        assert_eq!(
            validate(&[elm_street_text(), export(&data), export(&demo)]),
            ["fine", "fine", "fine"]
        );
    }

    #[test]
    fn what_an_import_refuses_by_its_form_the_schema_refuses_at_the_place() {
        let broken = |what: &str, with: &str| {
            let text = elm_street_text();
            assert!(text.contains(what), "{what}");
            text.replacen(what, with, 1)
        };
        let at = |documents: &[String]| validate(documents);
        assert_eq!(
            at(&[
                broken("\"version\": 1", "\"version\": 2"),
                broken("\"kind\": \"week.add\"", "\"kind\": \"weak.add\""),
                broken("\"bearing\": \"yes\"", "\"bearing\": \"perhaps\""),
                broken("\"zero_end\"", "\"zero_and\""),
                broken("\"spacing\": \"16\", ", ""),
                broken("\"name\": \"Kitchen\"", "\"name\": \" \""),
                broken(
                    "\"name\": \"Kitchen\"",
                    "\"name\": [\"Kitchen\", \"Pantry\"]"
                ),
                broken("\"start\": \"2026-10-12\"", "\"start\": \"12.10.2026\""),
                broken("\"kind\": \"job.add\"", "\"kind\": \"job.edit\""),
                broken("\"name\": \"Kitchen\"", "\"name\": 3"),
            ]),
            [
                "$.version",
                "$.entries[1].kind",
                "$.entries[4].fields.bearing",
                "$.entries[4].fields",
                "$.entries[5].fields",
                "$.entries[2].fields.name",
                "$.entries[2].fields.name",
                "$.entries[1].fields.start",
                "$.entries[0].kind",
                "$.entries[2].fields.name",
            ]
        );
    }
}
