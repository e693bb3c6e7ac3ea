//! Whole walks in a real Chromium at the size of a small phone: taps counted, nothing sideways, axe.
//!
//! `tests/run` finds or installs Chromium, Node and the packages of `package-lock.json`, and names them in
//! `SCANTLING_CHROMIUM` and `SCANTLING_NODE`. A test that calls [`walk`] has `browser::` in its path, so that
//! `--without chromium` can leave it out. The walks themselves are the `.mjs` files here, on top of `lib.mjs`; each is
//! run as `node tests/browser/<script> ORIGIN CODE [on|off]`: with scripts, or without. With `SCANTLING_SHOTS` set, they leave their pictures there.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};

use scantling_server::router::ROUTES;

use crate::support::TestServer;

/// Runs one of this folder's scripts, and returns what it printed; fails the test with its words where it fails.
pub(crate) fn walk(script: &str, arguments: &[&str]) -> String {
    let out = node(script).args(arguments).output().unwrap();
    let said = said(&out);
    assert!(out.status.success(), "{script}: {}\n{said}", out.status);
    said
}

fn node(script: &str) -> Command {
    let node = std::env::var("SCANTLING_NODE")
        .expect("run the tests by `sh tests/run`, which finds a Node and a Chromium");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/browser");
    let mut command = Command::new(node);
    command.arg(folder.join(script));
    command
}

fn said(out: &Output) -> String {
    format!(
        "{}{}",
        String::from_utf8_lossy(&out.stdout),
        String::from_utf8_lossy(&out.stderr)
    )
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
fn a_job_of_four_weeks_is_measured_bought_done_and_closed() {
    let server = TestServer::start_demo("four-weeks-walk");
    let said = walk("four_weeks.mjs", &[&server.origin, &server.code()]);
    assert!(said.trim_end().ends_with("four weeks are closed"), "{said}");
    tell(&said);
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

#[test]
fn the_tour_takes_a_small_picture_of_each_page_that_readme_shows() {
    let server = TestServer::start_demo("tour");
    let folder = std::env::var_os("SCANTLING_TOUR")
        .map_or_else(|| server.folder.join("tour"), std::path::PathBuf::from);
    let out = node("tour.mjs")
        .args([&server.origin, &server.code()])
        .env("SCANTLING_TOUR", &folder)
        .output()
        .unwrap();
    let said = said(&out);
    assert!(out.status.success(), "tour.mjs: {}\n{said}", out.status);
    let taken: BTreeSet<String> = said
        .lines()
        .filter_map(|line| line.strip_prefix("picture "))
        .map(str::to_owned)
        .collect();
    for name in &taken {
        let picture = std::fs::read(folder.join(format!("{name}.png"))).unwrap();
        let width = picture.get(16..20).unwrap();
        assert_eq!(picture.get(1..4), Some(&b"PNG"[..]), "{name}");
        assert_eq!(width, 320_u32.to_be_bytes(), "{name}");
        assert!(picture.len() <= 60_000, "{name}: {} bytes", picture.len());
    }
    let readme = Path::new(env!("CARGO_MANIFEST_DIR")).join("../README.md");
    let readme = std::fs::read_to_string(readme).unwrap();
    let shown: BTreeSet<String> = readme
        .split("](seed-demo/tour/")
        .skip(1)
        .filter_map(|rest| Some(rest.split_once(".png)")?.0.to_owned()))
        .collect();
    assert_eq!(
        taken, shown,
        "pictures taken, and pictures that README shows"
    );
}

/// A walk's own lines, for whoever reads the test's output.
#[expect(clippy::print_stdout, reason = "a walk prints its taps and fields")]
fn tell(said: &str) {
    print!("{said}");
}
