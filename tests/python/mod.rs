//! What other programs make of our files: Python's own `csv` and a validator of JSON schemas, as outsiders.
//!
//! `tests/run` finds or makes the Python and names it in `SCANTLING_PYTHON`. A test that calls [`run`] has `python::`
//! in its path, so that `--without python` can leave it out. No number is worked out here that the core works out.

use std::io::Write;
use std::process::{Command, Stdio};

/// Runs a Python script with `input` on its standard input, and returns what it printed.
///
/// The script sees neither the environment's `PYTHON…` variables nor this folder's modules. Fails the test with the
/// script's own words where it fails.
pub(crate) fn run(script: &str, input: &[u8]) -> String {
    run_or_why(script, input).unwrap_or_else(|why| panic!("{why}"))
}

fn run_or_why(script: &str, input: &[u8]) -> Result<String, String> {
    let python = std::env::var("SCANTLING_PYTHON")
        .expect("run the tests by `sh tests/run`, which finds a Python");
    let mut child = Command::new(&python)
        .args(["-I", "-c", script])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|why| panic!("{python}: {why}"));
    let mut stdin = child.stdin.take().expect("stdin was asked for");
    let out = std::thread::scope(|scope| {
        // A script may stop before it has read everything; then its exit status tells, not this write.
        scope.spawn(move || drop(stdin.write_all(input)));
        child.wait_with_output().unwrap()
    });
    if out.status.success() {
        Ok(String::from_utf8(out.stdout).unwrap())
    } else {
        Err(String::from_utf8_lossy(&out.stderr).into_owned())
    }
}

#[test]
fn a_comma_a_quote_and_a_line_end_in_a_field_come_back_from_csv_whole() {
    let read_back = run(
        "import csv, io, sys\n\
         rows = list(csv.reader(io.TextIOWrapper(sys.stdin.buffer, 'utf-8', newline=''), strict=True))\n\
         print(rows)",
        b"what,note\r\n\"2x8, 12'\",\"6\"\" off\r\nthe wall\"\r\n",
    );
    assert_eq!(
        read_back.trim_end(),
        r#"[['what', 'note'], ["2x8, 12'", '6" off\r\nthe wall']]"#
    );
}

#[test]
fn a_document_that_breaks_its_schema_is_refused_with_the_place() {
    let script = "import json, sys, jsonschema\n\
                  schema = {'type': 'object', 'properties': {'depth_64': {'type': 'integer'}}}\n\
                  jsonschema.Draft202012Validator.check_schema(schema)\n\
                  jsonschema.validate(json.load(sys.stdin), schema)";
    assert_eq!(run(script, br#"{"depth_64": 464}"#), "");
    let why = run_or_why(script, br#"{"depth_64": "7 1/4"}"#).unwrap_err();
    assert!(why.contains("'7 1/4' is not of type 'integer'"), "{why}");
}
