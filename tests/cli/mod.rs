//! The command line as a script sees it: the real binary, its output and its exit codes.

/// The checks of a job file.
mod check;
/// Instances of sticks and panels, and the check of answers.
mod cut;
/// Export, import, and job files that can't be taken.
mod files;
/// The job file's schema.
mod schema;
/// A server, its console and its exit codes.
mod serve;
pub(crate) use serve::Serving;
/// Needs, cut list and buy list of a job file.
mod takeoff;
/// A job in a zip, out and in, and hostile archives.
mod zip;

use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicU32, Ordering};

/// What a command printed, and how it ended.
#[derive(Debug)]
pub(crate) struct Ended {
    pub(crate) code: i32,
    pub(crate) out: String,
    pub(crate) err: String,
}

impl Ended {
    /// Its output, where it ended well.
    #[track_caller]
    pub(crate) fn fine(self) -> String {
        assert_eq!((self.code, self.err.as_str()), (0, ""));
        self.out
    }
}

pub(crate) fn command(arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_scantling"));
    command
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped());
    command
}

/// Runs a command to its end, with this on its standard input.
pub(crate) fn run_with(arguments: &[&str], input: &str) -> Ended {
    let mut child = command(arguments).spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let out = std::thread::scope(|scope| {
        // A command may end before it has read everything; its exit code tells, not this write.
        scope.spawn(move || drop(stdin.write_all(input.as_bytes())));
        child.wait_with_output().unwrap()
    });
    Ended {
        code: out.status.code().unwrap(),
        out: String::from_utf8(out.stdout).unwrap(),
        err: String::from_utf8(out.stderr).unwrap(),
    }
}

pub(crate) fn run(arguments: &[&str]) -> Ended {
    run_with(arguments, "")
}

/// A folder of its own below the machine's temporary one; it goes when this goes.
pub(crate) struct Folder(PathBuf);

impl Folder {
    pub(crate) fn new(name: &str) -> Self {
        static NUMBER: AtomicU32 = AtomicU32::new(0);
        let n = NUMBER.fetch_add(1, Ordering::Relaxed);
        let path =
            std::env::temp_dir().join(format!("scantling-cli-{}-{n}-{name}", std::process::id()));
        std::fs::create_dir(&path).unwrap();
        Self(path)
    }

    /// A path in it.
    pub(crate) fn at(&self, name: &str) -> String {
        self.0.join(name).to_str().unwrap().to_owned()
    }
}

impl Drop for Folder {
    fn drop(&mut self) {
        std::fs::remove_dir_all(&self.0).unwrap();
    }
}

/// The path of the job file by hand.
pub(crate) fn elm_street() -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../tests/job_files/elm_street.json");
    path.to_str().unwrap().to_owned()
}

/// Its text.
pub(crate) fn elm_street_text() -> String {
    std::fs::read_to_string(elm_street()).unwrap()
}

#[test]
fn every_command_has_a_help_with_an_example() {
    for name in [
        "serve", "demo", "takeoff", "check", "cut", "export", "import", "schema",
    ] {
        let help = run(&[name, "--help"]).fine();
        assert!(help.contains("Example"), "{name}: {help}");
        assert!(
            help.contains(&format!("  scantling {name}"))
                || help.contains(&format!(": scantling {name}")),
            "{name}: {help}"
        );
        assert!(!help.contains("Its arguments"), "{name}: {help}");
    }
    let all = run(&["help"]).fine();
    assert!(all.contains("Exit codes: 0 done"), "{all}");
}

#[test]
fn an_unknown_command_is_wrong_usage() {
    assert_eq!(run(&["takeof"]).code, 2);
}
