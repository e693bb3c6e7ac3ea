//! The house rules of this workspace: what may depend on what, what the core may call, what no file may hold.
//!
//! It reads Cargo's own answers and the files that git knows or would add; it runs none of our code. What a crate of
//! somebody else pulls in is `deny.toml`'s business. The rules are those of `DEVELOPERS.md`.

/// What the rules look at.
mod project;
/// How they read it.
mod reading;

use std::collections::BTreeSet;

use project::{files, packages, root, rust_files, text_files};
use reading::{code, exists, paths_named, sql_in_pieces, standard_paths};

/// Each crate of ours, and which others of ours it may use.
const OURS: [(&str, &[&str]); 7] = [
    ("scantling-units", &[]),
    ("scantling-cutting", &["scantling-units"]),
    (
        "scantling-takeoff",
        &["scantling-cutting", "scantling-units"],
    ),
    ("scantling-db", &["scantling-takeoff"]),
    ("scantling-web", &["scantling-takeoff"]),
    ("scantling-seed-demo", &["scantling-takeoff"]),
    (
        "scantling-server",
        &[
            "scantling-db",
            "scantling-seed-demo",
            "scantling-takeoff",
            "scantling-web",
        ],
    ),
];

/// What one crate of ours alone may depend on.
const ONLY: [(&str, &str); 7] = [
    ("rusqlite", "scantling-db"),
    ("maud", "scantling-web"),
    ("actix-web", "scantling-server"),
    ("csv", "scantling-server"),
    ("rustls", "scantling-server"),
    ("tokio", "scantling-server"),
    ("zip", "scantling-server"),
];

/// The crates of the core, all of them below `server/takeoff`.
const CORE: [&str; 3] = ["scantling-units", "scantling-cutting", "scantling-takeoff"];

/// Everything else that the core may depend on; the last is for its tests.
const CORE_MAY_USE: [&str; 5] = ["serde", "thiserror", "time", "uuid", "proptest"];

/// What the core may name of the standard library: nothing that reads, waits, or has an order of its own.
const CORE_MAY_NAME: [&str; 24] = [
    "array",
    "borrow",
    "char",
    "cmp",
    "collections::BTreeMap",
    "collections::BTreeSet",
    "collections::VecDeque",
    "collections::btree_map",
    "collections::btree_set",
    "convert",
    "error",
    "f64::consts",
    "fmt",
    "iter",
    "marker",
    "mem",
    "num",
    "ops",
    "option",
    "result",
    "slice",
    "str",
    "string",
    "vec",
];

/// Calls that ask a clock or draw lots through a crate that the core may use otherwise.
const CORE_MAY_NOT_CALL: [&str; 6] = [
    "now_utc(",
    "now_local(",
    "new_v4(",
    "now_v1(",
    "now_v6(",
    "now_v7(",
];

#[test]
fn our_crates_depend_on_each_other_only_downwards() {
    let mut wrong = Vec::new();
    for package in packages() {
        let Some((_, allowed)) = OURS.iter().find(|(name, _)| *name == package.name) else {
            wrong.push(format!(
                "{} is not in OURS of tests/tidy.rs: say there what it may use",
                package.name
            ));
            continue;
        };
        for used in &package.dependencies {
            if used.starts_with("scantling-") && !allowed.contains(&used.as_str()) {
                wrong.push(format!("{} may not depend on {used}", package.name));
            }
        }
    }
    assert_none(
        &wrong,
        "Directions go down only; move the code to where both can see it",
    );
}

#[test]
fn each_heavy_crate_is_used_in_its_one_place() {
    let mut wrong = Vec::new();
    for package in packages() {
        for (heavy, owner) in ONLY {
            if package.dependencies.contains(heavy) && package.name != owner {
                wrong.push(format!(
                    "{} depends on {heavy}, which is {owner}'s alone",
                    package.name
                ));
            }
        }
    }
    assert_none(&wrong, "Ask the crate that owns it");
}

#[test]
fn the_core_depends_on_four_crates_and_no_more() {
    let core: Vec<_> = packages()
        .into_iter()
        .filter(|package| CORE.contains(&package.name.as_str()))
        .collect();
    assert_eq!(core.len(), CORE.len(), "the workspace has the core");
    let wrong: Vec<String> = core
        .iter()
        .flat_map(|part| part.dependencies.iter().map(|used| (&part.name, used)))
        .filter(|(_, used)| {
            !CORE.contains(&used.as_str()) && !CORE_MAY_USE.contains(&used.as_str())
        })
        .map(|(part, used)| format!("{part} depends on {used}"))
        .collect();
    assert_none(&wrong, "The core computes; the rim reads, writes and shows");
}

#[test]
fn the_core_names_only_what_is_pure_in_the_standard_library() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files("server/takeoff/") {
        for named in standard_paths(&text) {
            let allowed = CORE_MAY_NAME.iter().any(|may| {
                named
                    .strip_prefix(may)
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with("::"))
            });
            if !allowed {
                wrong.push(format!("{path} names std::{named}"));
            }
        }
        for call in CORE_MAY_NOT_CALL {
            if code(&text).contains(call) {
                wrong.push(format!("{path} calls {call})"));
            }
        }
    }
    assert_none(
        &wrong,
        "The core has no files, network, clock, threads or hash order: take it in as data, or use a BTreeMap",
    );
}

#[test]
fn every_member_takes_the_lints_of_the_workspace() {
    let mut wrong = Vec::new();
    for package in packages() {
        let manifest = std::fs::read_to_string(&package.manifest).unwrap();
        let lints = manifest
            .split("\n[")
            .find(|section| section.starts_with("lints]"));
        if !lints.is_some_and(|section| {
            section
                .lines()
                .any(|line| line.trim() == "workspace = true")
        }) {
            wrong.push(package.manifest.display().to_string());
        }
    }
    assert_none(&wrong, "Write [lints] and workspace = true below it");
}

#[test]
fn every_rust_file_begins_with_what_it_is_for() {
    let wrong: Vec<String> = rust_files("")
        .into_iter()
        .filter(|(_, text)| !text.starts_with("//!"))
        .map(|(path, _)| path)
        .collect();
    assert_none(
        &wrong,
        "Begin with //! and say what the file is for, what it does not do, where its rules come from",
    );
}

#[test]
fn lints_are_expected_with_a_reason_and_never_allowed() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files("") {
        for (number, line) in text.lines().enumerate() {
            if [concat!("#[all", "ow("), concat!("#![all", "ow(")]
                .iter()
                .any(|attribute| line.contains(attribute))
            {
                wrong.push(format!("{path}:{}", number + 1));
            }
        }
    }
    assert_none(
        &wrong,
        "Mend what the lint found, or write #[expect(…, reason = \"…\")]",
    );
}

#[test]
fn floats_of_the_core_stay_in_two_places() {
    let heads = [
        "server/takeoff/src/checks/screening/mod.rs",
        "server/takeoff/cutting/src/sticks/exact/simplex.rs",
    ];
    let lint = concat!("clippy::float", "_arithmetic");
    let wrong: Vec<String> = rust_files("server/takeoff/")
        .into_iter()
        .filter(|(path, text)| {
            let expected = code(text).matches(lint).count();
            match path.as_str() {
                "server/takeoff/src/lib.rs"
                | "server/takeoff/cutting/src/lib.rs"
                | "server/takeoff/units/src/lib.rs" => !text.contains(&format!("#![deny({lint}")),
                path if heads.contains(&path) => expected != 1,
                _ => expected != 0,
            }
        })
        .map(|(path, _)| path)
        .collect();
    assert_none(
        &wrong,
        "Floats are for strength and for the relaxation: lib.rs denies them, checks/screening/mod.rs and cutting/sticks/exact/simplex.rs expect them once",
    );
}

#[test]
fn only_the_shell_and_the_drawings_print_markup_unescaped() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files("") {
        let may = path == "web/src/layout.rs"
            || path == "web/src/drawing.rs"
            || path.starts_with("web/src/drawing/")
            || path == "tests/tidy.rs";
        if !may && text.contains("PreEscaped") {
            wrong.push(path);
        }
    }
    assert_none(
        &wrong,
        "PreEscaped belongs in web/src/layout.rs and web/src/drawing/ alone; let maud escape it",
    );
}

#[test]
fn no_sql_is_put_together_from_pieces() {
    let mut wrong = Vec::new();
    for (path, text) in rust_files("db/src/") {
        // Rules asked of the schema, and tests, name tables that come from the schema itself.
        if path.ends_with("schema_rules.rs") || path.ends_with("tests.rs") {
            continue;
        }
        let shipped = text.split("#[cfg(test)]").next().unwrap_or_default();
        wrong.extend(
            sql_in_pieces(shipped)
                .into_iter()
                .map(|line| format!("{path}:{line}")),
        );
    }
    assert_none(
        &wrong,
        "Write the whole query as one string, and hand values over as ?1 parameters",
    );
}

#[test]
fn no_file_names_a_path_of_one_machine() {
    // Put together so that this file passes its own rule.
    let folders = ["work", "root", "home", "tmp", "Users"].map(|folder| format!("/{folder}/"));
    let mut wrong = Vec::new();
    for (path, text) in text_files() {
        for (number, line) in text.lines().enumerate() {
            for folder in &folders {
                let absolute = line.match_indices(folder.as_str()).any(|(at, _)| {
                    !line[..at].ends_with(|before: char| {
                        before.is_alphanumeric() || "._-/~}$<>*)".contains(before)
                    })
                });
                if absolute {
                    wrong.push(format!("{path}:{} holds {folder}", number + 1));
                }
            }
        }
    }
    assert_none(
        &wrong,
        "Name paths from the root of the project, or by an environment variable",
    );
}

#[test]
fn no_file_names_the_host_of_a_package_registry() {
    let hosts = [
        ["npmjs", "org"],
        ["npmjs", "com"],
        ["pypi", "org"],
        ["pythonhosted", "org"],
        ["deb.debian", "org"],
        ["index.crates", "io"],
        ["static.crates", "io"],
        ["//crates", "io"],
    ]
    .map(|[name, top]| format!("{name}.{top}"));
    let mut wrong = Vec::new();
    for (path, text) in text_files() {
        for (number, line) in text.lines().enumerate() {
            if hosts.iter().any(|host| line.contains(host.as_str())) {
                wrong.push(format!("{path}:{}", number + 1));
            }
        }
        if path.ends_with("package-lock.json") && text.contains("\"resolved\"") {
            wrong.push(format!(
                "{path} says where its packages were downloaded from"
            ));
        }
    }
    assert_none(
        &wrong,
        "Name the package, and let each machine find it where it finds packages",
    );
}

#[test]
fn developers_md_names_only_paths_that_exist() {
    let Ok(text) = std::fs::read_to_string(root().join("DEVELOPERS.md")) else {
        return;
    };
    let files = files();
    let wrong: Vec<String> = paths_named(&text, &files)
        .into_iter()
        .filter(|path| !exists(path, &files))
        .collect();
    assert_none(
        &wrong,
        "DEVELOPERS.md sends the reader to something that isn't there",
    );
}

#[test]
fn every_crate_from_outside_has_its_line_in_developers_md() {
    let Ok(text) = std::fs::read_to_string(root().join("DEVELOPERS.md")) else {
        return;
    };
    let used: BTreeSet<String> = packages()
        .into_iter()
        .flat_map(|package| package.dependencies)
        .filter(|name| !name.starts_with("scantling-") && !text.contains(&format!("`{name}`")))
        .collect();
    assert_none(
        &used.into_iter().collect::<Vec<_>>(),
        "Say in DEVELOPERS.md what each crate is for, its name between backticks",
    );
}

/// Fails with one wrong thing a line, and with what would do instead.
#[track_caller]
fn assert_none(wrong: &[String], instead: &str) {
    assert!(wrong.is_empty(), "{}\n{instead}.", wrong.join("\n"));
}
