//! Whole walks in a real Chromium at the size of a small phone: taps counted, nothing sideways, axe.
//!
//! `tests/run` finds or installs Chromium, Node and the packages of `package-lock.json`, and names them in
//! `SCANTLING_CHROMIUM` and `SCANTLING_NODE`. A test that calls [`walk`] has `browser::` in its path, so that
//! `--without chromium` can leave it out. The walks themselves are the `.mjs` files here, on top of `lib.mjs`; each is
//! run as `node tests/browser/<script> ORIGIN CODE [on|off]`: with scripts, or without. With `SCANTLING_SHOTS` set, they leave their pictures there.

use std::path::Path;
use std::process::Command;

use scantling_server::router::ROUTES;

use crate::support::TestServer;

/// Runs one of this folder's scripts, and returns what it printed; fails the test with its words where it fails.
pub(crate) fn walk(script: &str, arguments: &[&str]) -> String {
    let node = std::env::var("SCANTLING_NODE")
        .expect("run the tests by `sh tests/run`, which finds a Node and a Chromium");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/browser");
    let out = Command::new(&node)
        .arg(folder.join(script))
        .args(arguments)
        .output()
        .unwrap_or_else(|why| panic!("{node}: {why}"));
    let said = format!(
        "{}{}",
        String::from_utf8_lossy(&out.stdout),
        String::from_utf8_lossy(&out.stderr)
    );
    assert!(out.status.success(), "{script}: {}\n{said}", out.status);
    said
}

#[test]
fn the_harness_counts_taps_and_catches_what_a_phone_can_not_use() {
    let said = walk("selftest.mjs", &[]);
    assert!(
        said.contains("two taps and two fields: 2 taps of 2, 2 fields of 2"),
        "{said}"
    );
    assert!(said.trim_end().ends_with("all caught"), "{said}");
}

fn first_run(scripts: &str) {
    let server = TestServer::start(&format!("first-run-{scripts}"));
    let said = walk("first_run.mjs", &[&server.origin, &server.code(), scripts]);
    assert!(
        said.contains(&format!("first run, scripts {scripts}: ")),
        "{said}"
    );
    tell(&said);
}

#[test]
fn an_empty_folder_leads_to_a_csv_for_the_yard_by_what_the_screens_say() {
    first_run("on");
}

#[test]
fn it_does_without_scripts_too() {
    first_run("off");
}

fn budgets(scripts: &str) {
    let server = TestServer::start_demo(&format!("budgets-{scripts}"));
    let said = walk("budgets.mjs", &[&server.origin, &server.code(), scripts]);
    assert!(
        said.trim_end().ends_with("every task within its budget"),
        "{said}"
    );
    tell(&said);
}

#[test]
fn every_task_stays_within_its_taps() {
    budgets("on");
}

#[test]
fn every_task_stays_within_its_taps_without_scripts() {
    budgets("off");
}

#[test]
fn every_page_holds_on_a_small_phone_and_on_a_desk() {
    let server = TestServer::start_demo("pages");
    let said = walk("pages.mjs", &[&server.origin, &server.code()]);
    assert!(said.trim_end().ends_with("every page holds"), "{said}");
    let seen: Vec<Vec<&str>> = said
        .lines()
        .filter_map(|line| line.strip_prefix("saw "))
        .map(|path| path.split('/').collect())
        .collect();
    let holes = |path: &str| -> Vec<Option<String>> {
        path.split('/')
            .map(|part| (!part.starts_with('{')).then(|| part.to_owned()))
            .collect()
    };
    // The assets are no pages; every page asked for them.
    for route in ROUTES
        .iter()
        .filter(|r| r.method == "GET" && !r.path.starts_with("/a/"))
    {
        let wanted = holes(route.path);
        let found = seen.iter().any(|path| {
            path.len() == wanted.len()
                && path
                    .iter()
                    .zip(&wanted)
                    .all(|(part, want)| want.as_deref().is_none_or(|want| want == *part))
        });
        assert!(found, "no page leads to {}", route.path);
    }
}

/// A walk's own lines, for whoever reads the test's output.
#[expect(clippy::print_stdout, reason = "a walk prints its taps and fields")]
fn tell(said: &str) {
    print!("{said}");
}
