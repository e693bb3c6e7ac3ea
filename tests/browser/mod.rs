//! Whole walks in a real Chromium at the size of a small phone: taps counted, nothing sideways, axe.
//!
//! `tests/run` finds or installs Chromium, Node and the packages of `package-lock.json`, and names them in
//! `SCANTLING_CHROMIUM` and `SCANTLING_NODE`. A test that calls [`walk`] has `browser::` in its path, so that
//! `--without chromium` can leave it out; what needs WebKit stands in `webkit`, for `--without webkit`. The walks themselves are the `.mjs` files here, on top of `lib.mjs`; each is
//! run as `node tests/browser/<script> ORIGIN CODE [on|off]`: with scripts, or without. With `SCANTLING_SHOTS` set, they leave their pictures there.

/// Phones with WebKit, which stands in for Safari's engine.
mod webkit;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::sync::LazyLock;

use scantling_server::router::ROUTES;
use scantling_takeoff::units::{Length, Units};
use scantling_web::assets::ASSETS;

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

/// A folder for what a test hands to a script.
fn folder(name: &str) -> PathBuf {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(name);
    std::fs::create_dir_all(&folder).unwrap();
    folder
}

/// Such a folder with nothing in it, for a walk that starts the program itself.
fn empty(name: &str) -> String {
    std::fs::remove_dir_all(folder(name)).unwrap();
    folder(name).to_string_lossy().into_owned()
}

#[test]
fn the_scripts_of_pages_are_typed_linted_and_sent_as_they_were_written() {
    let sent = folder("scripts-as-sent");
    for asset in ASSETS.iter() {
        std::fs::write(sent.join(asset.name), asset.bytes).unwrap();
    }
    let said = walk("check.mjs", &[&sent.to_string_lossy()]);
    assert!(said.trim_end().ends_with("8 scripts hold"), "{said}");
}

#[test]
fn the_scripts_reader_of_lengths_reads_and_says_them_as_the_core_does() {
    // A prime apart, both ways from zero: every 64th, feet and no feet.
    let mut echoes = String::new();
    for n in (-800..800).chain((-7_680_000..=7_680_000).step_by(99_991)) {
        let length = Length::from_64ths(n);
        let (us, metric) = (length.echo(Units::Us), length.echo(Units::Metric));
        writeln!(echoes, "{n}\t{length}\t{us}\t{metric}").unwrap();
    }
    let table = folder("lengths").join("echoes.tsv");
    std::fs::write(&table, echoes).unwrap();
    let cases =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../server/takeoff/units/src/lengths.tsv");
    let said = walk(
        "lengths.mjs",
        &[&cases.to_string_lossy(), &table.to_string_lossy()],
    );
    assert!(
        said.trim_end()
            .ends_with("the script reads as the core does"),
        "{said}"
    );
}

#[test]
fn the_outbox_sends_each_entry_once_whatever_happens_on_the_way() {
    let said = walk("outbox.mjs", &[]);
    assert!(said.trim_end().ends_with("all kept"), "{said}");
    tell(&said);
}

/// Runs a script that starts servers and browsers of its own, in a folder whose `data` is what the demo fills; its last line
/// says what held.
fn alone(script: &str, closing: &str) {
    static FILLED: LazyLock<PathBuf> = LazyLock::new(|| {
        let data = folder("filled").join("data");
        if !data.exists() {
            let filled = Command::new(env!("CARGO_BIN_EXE_scantling"))
                .args(["demo", "--no-serve", "--data"])
                .arg(&data)
                .output()
                .unwrap();
            assert!(filled.status.success(), "{}", said(&filled));
        }
        data
    });
    let at = folder(script);
    std::fs::remove_dir_all(&at).unwrap();
    std::fs::create_dir_all(at.join("data")).unwrap();
    for file in std::fs::read_dir(&*FILLED).unwrap() {
        let file = file.unwrap().path();
        std::fs::copy(&file, at.join("data").join(file.file_name().unwrap())).unwrap();
    }
    let program = env!("CARGO_BIN_EXE_scantling");
    let said = walk(script, &[program, &at.to_string_lossy()]);
    assert!(said.trim_end().ends_with(closing), "{said}");
    tell(&said);
}

#[test]
fn two_hundred_sessions_of_two_phones_and_a_server_that_is_killed_end_with_each_entry_once() {
    let program = env!("CARGO_BIN_EXE_scantling");
    let said = walk("sessions.mjs", &[program, &empty("sessions")]);
    assert!(
        said.trim_end().ends_with("each entry is there once"),
        "{said}"
    );
    tell(&said);
}

#[test]
fn a_phone_away_from_the_server_keeps_what_is_entered_and_sends_it_once() {
    alone("offline.mjs", "a phone away from the server holds");
}

#[test]
fn pages_are_kept_where_a_certificate_is_trusted_and_nowhere_else() {
    alone(
        "secure.mjs",
        "pages are kept where they may be, and nowhere else",
    );
}

#[test]
fn the_code_for_cameras_leads_to_a_first_reading_by_what_the_screens_say() {
    alone("first_reading.mjs", "from the console to a first reading");
}

#[test]
fn a_server_that_dies_or_is_put_back_has_each_entry_once() {
    alone("server_dies.mjs", "whatever dies, each entry is there once");
}

#[test]
fn a_newer_build_is_taken_over_whole_or_not_at_all() {
    alone("new_build.mjs", "one build at a time");
}

#[test]
fn what_is_refused_late_stays_until_a_person_decides() {
    alone(
        "refused.mjs",
        "refused, put right and given up: as a person decided",
    );
}

#[test]
fn two_phones_and_two_tabs_keep_both_answers_and_one_count() {
    alone("two_phones.mjs", "two phones and two tabs agree");
}

#[test]
fn a_phone_out_of_room_says_so_and_loses_nothing() {
    alone("full.mjs", "nothing is said to be saved that is not");
}

#[test]
fn signing_out_and_being_shut_out_lose_nothing_unasked() {
    alone(
        "sign_out.mjs",
        "out means out, and nothing unsent is lost unasked",
    );
}

#[test]
fn the_first_pages_are_light_on_a_slow_line() {
    alone("slow_line.mjs", "the first pages are light");
}

#[test]
fn every_task_stays_within_its_taps_away_from_the_server() {
    alone(
        "budgets_away.mjs",
        "every task within its budget, away from the server",
    );
}

#[test]
fn random_sessions_of_two_phones_in_chromium_leave_each_entry_there_once() {
    alone(
        "sessions_in_chromium.mjs",
        "every saved entry is there once",
    );
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
    // What scripts and the browser itself ask for are no pages.
    let is_page = |path: &str| {
        ![
            "/a/",
            "/sync/",
            "/sw.js",
            "/manifest",
            "/offline-set",
            "/ca.cer",
            "/setup/check",
        ]
        .iter()
        .any(|no_page| path.starts_with(no_page))
            // Copies stand in pages as pictures.
            && !path.ends_with("/small")
            && !path.ends_with("/screen")
    };
    for route in ROUTES
        .iter()
        .filter(|r| r.method == "GET" && is_page(r.path))
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
        .map_or_else(|| server.folder.join("tour"), PathBuf::from);
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
