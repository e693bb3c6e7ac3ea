//! What the house rules look at: the members of the workspace, and the files that git has or would add.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Command;

/// A member of the workspace.
pub(crate) struct Package {
    pub(crate) name: String,
    pub(crate) manifest: PathBuf,
    pub(crate) dependencies: BTreeSet<String>,
}

pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .parent()
        .expect("server/ is a folder of the project")
}

/// The members of the workspace with what each declares: for use, for tests and for building alike.
pub(crate) fn packages() -> Vec<Package> {
    let answer = output(Command::new(env!("CARGO")).args([
        "metadata",
        "--format-version=1",
        "--no-deps",
        "--offline",
    ]));
    let metadata: serde_json::Value = serde_json::from_str(&answer).unwrap();
    let names = |list: &serde_json::Value| {
        list.as_array()
            .unwrap()
            .iter()
            .map(|one| one["name"].as_str().unwrap().to_owned())
            .collect()
    };
    metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .map(|package| Package {
            name: package["name"].as_str().unwrap().to_owned(),
            manifest: PathBuf::from(package["manifest_path"].as_str().unwrap()),
            dependencies: names(&package["dependencies"]),
        })
        .collect()
}

/// Paths from the root of the files that git has, and of new ones that it doesn't ignore.
pub(crate) fn files() -> Vec<String> {
    output(Command::new("git").args([
        "-c",
        "safe.directory=*",
        "ls-files",
        "-z",
        "--cached",
        "--others",
        "--exclude-standard",
    ]))
    .split('\0')
    .filter(|path| root().join(path).is_file())
    .map(str::to_owned)
    .collect()
}

pub(crate) fn text_files() -> Vec<(String, String)> {
    files()
        .into_iter()
        .filter_map(|path| {
            let text = String::from_utf8(std::fs::read(root().join(&path)).unwrap()).ok()?;
            Some((path, text))
        })
        .collect()
}

pub(crate) fn rust_files(below: &str) -> Vec<(String, String)> {
    let rust: Vec<(String, String)> = text_files()
        .into_iter()
        .filter(|(path, _)| {
            path.starts_with(below) && Path::new(path).extension().is_some_and(|ext| ext == "rs")
        })
        .collect();
    assert!(!rust.is_empty(), "no Rust file below {below:?}");
    rust
}

fn output(command: &mut Command) -> String {
    let out = command
        .current_dir(root())
        .output()
        .expect("cargo and git are on PATH");
    assert!(
        out.status.success(),
        "{command:?}: {}",
        String::from_utf8_lossy(&out.stderr)
    );
    String::from_utf8(out.stdout).unwrap()
}
