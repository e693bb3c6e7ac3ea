//! `scantling serve` and its console: ready line, codes, end of input, and why it doesn't start.

use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Child, ChildStdin, ChildStdout};

use super::{Folder, command, run};

/// A serving binary; ended by its own id when this goes.
pub(crate) struct Serving {
    child: Child,
    out: BufReader<ChildStdout>,
    stdin: Option<ChildStdin>,
    pub(crate) origin: String,
    pub(crate) first_code: String,
}

impl Serving {
    /// Starts it and reads up to its ready line.
    pub(crate) fn start(data: &str) -> Self {
        let mut child = command(&["serve", "--port", "0", "--data", data])
            .spawn()
            .unwrap();
        let stdin = child.stdin.take();
        let out = BufReader::new(child.stdout.take().unwrap());
        let mut serving = Self {
            child,
            out,
            stdin,
            origin: String::new(),
            first_code: String::new(),
        };
        let first = serving.line();
        serving.origin = first
            .split_whitespace()
            .find(|word| word.starts_with("http://127.0.0.1:"))
            .unwrap_or_else(|| panic!("{first}"))
            .to_owned();
        serving.first_code = serving.code();
        while serving.line() != "Ready." {}
        serving
    }

    /// Its process.
    pub(crate) fn id(&self) -> u32 {
        self.child.id()
    }

    /// Ends it as a power cut would: no signal that it could hear.
    pub(crate) fn kill(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }

    fn line(&mut self) -> String {
        let mut line = String::new();
        assert_ne!(self.out.read_line(&mut line).unwrap(), 0, "it ended");
        line.trim_end().to_owned()
    }

    /// The code of the link that is printed next; the line for those without scripts names the same.
    fn code(&mut self) -> String {
        let (link, by_hand) = (self.line(), self.line());
        let (_, code) = link
            .split_once("/sign-in#")
            .unwrap_or_else(|| panic!("{link}"));
        assert!(by_hand.ends_with(code), "{by_hand}");
        code.to_owned()
    }

    fn status(&self, path: &str) -> u16 {
        let agent: ureq::Agent = ureq::Agent::config_builder()
            .http_status_as_error(false)
            .max_redirects(0)
            .build()
            .into();
        let answer = agent.get(format!("{}{path}", self.origin)).call();
        answer.unwrap().status().as_u16()
    }

    fn sign_in(&self, code: &str) -> u16 {
        let agent: ureq::Agent = ureq::Agent::config_builder()
            .http_status_as_error(false)
            .max_redirects(0)
            .build()
            .into();
        let answer = agent
            .post(format!("{}/sign-in", self.origin))
            .header("origin", &self.origin)
            .send_form([("code", code)]);
        answer.unwrap().status().as_u16()
    }
}

impl Drop for Serving {
    fn drop(&mut self) {
        drop(self.stdin.take());
        // It may have been killed by the test already.
        drop(self.child.kill());
        self.child.wait().unwrap();
    }
}

#[test]
fn enter_prints_a_fresh_code_that_signs_in() {
    let folder = Folder::new("enter");
    let mut serving = Serving::start(&folder.at("data"));
    serving.stdin.as_mut().unwrap().write_all(b"\n").unwrap();
    let fresh = serving.code();
    assert_ne!(fresh, serving.first_code);
    assert_eq!(serving.sign_in(&fresh), 303);
}

#[test]
fn the_end_of_its_input_does_not_end_the_server() {
    let folder = Folder::new("stdin");
    let mut serving = Serving::start(&folder.at("data"));
    drop(serving.stdin.take());
    assert_eq!(serving.status("/sign-in"), 200);
    assert_eq!(serving.sign_in(&serving.first_code.clone()), 303);
    assert_eq!(serving.child.try_wait().unwrap(), None, "it goes on");
}

#[test]
fn a_port_that_is_taken_and_a_folder_in_use_are_told_apart() {
    let folder = Folder::new("taken");
    let serving = Serving::start(&folder.at("data"));
    let port = serving.origin.rsplit(':').next().unwrap();
    let other = run(&["serve", "--port", port, "--data", &folder.at("other")]);
    assert_eq!(other.code, 6, "{}", other.err);
    assert!(other.err.contains(port), "{}", other.err);
    let same = run(&["serve", "--port", "0", "--data", &folder.at("data")]);
    assert_eq!(same.code, 8, "{}", same.err);
    let pid = serving.child.id().to_string();
    assert!(same.err.contains(&pid), "says who has it: {}", same.err);
    assert_eq!(serving.status("/sign-in"), 200);
}

#[test]
fn a_demo_without_a_server_prints_its_week_and_ends() {
    let folder = Folder::new("demo");
    let arguments = ["demo", "--no-serve", "--data", &folder.at("demo")];
    let first = run(&arguments).fine();
    assert!(first.contains("work week 2: still to buy"), "{first}");
    assert!(!first.contains("Ready."), "{first}");
    assert_eq!(run(&arguments).fine(), first, "filled once alone");
}
