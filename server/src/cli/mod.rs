//! The command line: one file a command.
//!
//! Exit codes are for scripts: each stands in the help and nowhere else.

mod check;
mod cut;
mod demo;
mod export;
mod import;
mod schema;
mod serve;
mod takeoff;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use thiserror::Error;

const CODES: &str = "\
Exit codes: 0 done · 2 wrong usage · 3 a file or folder can't be read or written · 4 the data was written by a newer
version · 5 the data is damaged · 6 the port is taken · 7 a name, address or certificate for the local network can't be
used · 8 the data folder is in use · 9 a job file or instance can't be taken: the message says which and why · 10 the job
is there already · 11 an answer of cut --check is wrong · 12 a check of check stops · 13 a check of check can't be told yet · 1 anything else";

/// Field log and material takeoff for a crew that opens up an old wood-framed house.
#[derive(Debug, Parser)]
#[command(name = "scantling", version, after_help = CODES)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Serve the jobs of a data folder, on loopback or to phones in the local network, until Ctrl-C. Enter prints a fresh sign-in code.
    #[command(after_help = serve::EXAMPLES)]
    Serve(serve::Arguments),
    /// Fill a folder with an invented house, print its week's buy list, and serve it.
    #[command(after_help = demo::EXAMPLES)]
    Demo(demo::Arguments),
    /// Compute needs, cut list or buy list of a job file, with no server and no data folder.
    #[command(after_help = takeoff::EXAMPLES)]
    Takeoff(takeoff::Arguments),
    /// Check what a job file's record says: does it fit, may it be cut yet, is it roughly strong enough. Approves nothing.
    #[command(after_help = check::EXAMPLES)]
    Check(check::Arguments),
    /// Find the cheapest way to cut pieces out of sticks or panels, with a bound that no plan is below; or check answers.
    #[command(after_help = cut::EXAMPLES)]
    Cut(cut::Arguments),
    /// Write a job of a data folder as a job file, or with its pictures as a zip; a server may be running beside it.
    #[command(after_help = export::EXAMPLES)]
    Export(export::Arguments),
    /// Take a job file or a job's zip into a data folder, whole or not at all. No server may be using the folder.
    #[command(after_help = import::EXAMPLES)]
    Import(import::Arguments),
    /// Print the JSON Schema of the job file (every kind of entry, its fields, and what may be written into them), or of
    /// what check prints.
    #[command(after_help = schema::EXAMPLES)]
    Schema(schema::Arguments),
}

/// Why a command ended without doing what it was asked.
#[derive(Debug, Error)]
pub(crate) enum Failed {
    /// A file or folder.
    #[error("{path}: {why}")]
    File {
        /// Which.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// A job file that can't be taken.
    #[error("{0}")]
    JobFile(String),
    /// Instances that can't be taken.
    #[error("{0}")]
    Instances(String),
    /// Answers that are wrong.
    #[error("{0} answers are wrong, missing or too many; each is said above")]
    WrongAnswer(usize),
    /// Checks that stop.
    #[error("{0} checks stop; each is said above")]
    Stops(usize),
    /// Checks that can't be told yet.
    #[error("{0} checks can’t be told yet; what to measure or record is said above")]
    CantTell(usize),
    /// Data that is not what was kept.
    #[error("{0}")]
    Damaged(String),
    /// A job that is there already.
    #[error("{0}")]
    ThereAlready(String),
    /// The store.
    #[error(transparent)]
    Db(#[from] scantling_db::Error),
    /// Starting the server.
    #[error(transparent)]
    Start(#[from] crate::StartError),
    /// Wrong usage that clap can't see.
    #[error("{0}")]
    Usage(String),
    /// Whoever read standard output went away, as pipes do.
    #[error("nobody reads standard output any more")]
    NoReader,
}

impl Failed {
    fn code(&self) -> u8 {
        match self {
            Self::File { .. } => 3,
            Self::Damaged(_) => 5,
            Self::JobFile(_) | Self::Instances(_) => 9,
            Self::WrongAnswer(_) => 11,
            Self::Stops(_) => 12,
            Self::CantTell(_) => 13,
            Self::ThereAlready(_) => 10,
            Self::Usage(_) => 2,
            Self::Db(error) | Self::Start(crate::StartError::Data(error)) => of_store(error),
            Self::Start(crate::StartError::Port { .. }) => 6,
            Self::Start(crate::StartError::Lan(_)) => 7,
            Self::Start(_) => 1,
            Self::NoReader => 0,
        }
    }
}

fn of_store(error: &scantling_db::Error) -> u8 {
    use scantling_db::Error as E;
    match error {
        E::Newer { .. } => 4,
        E::Foreign { .. } | E::Damaged(_) | E::Stored { .. } => 5,
        E::Locked { .. } => 8,
        E::File { .. } | E::DiskFull | E::NotSaving(_) => 3,
        E::Import(scantling_db::ImportError::There(_)) => 10,
        E::Import(_) => 9,
        _ => 1,
    }
}

/// Runs the command that was asked for.
pub fn main() -> ExitCode {
    let arguments = Arguments::parse();
    tracing_subscriber::fmt()
        .with_writer(std::io::stderr)
        .with_max_level(tracing::Level::WARN)
        .init();
    let ended = match arguments.command {
        Command::Serve(arguments) => serve::run(&arguments),
        Command::Demo(arguments) => demo::run(&arguments),
        Command::Takeoff(arguments) => takeoff::run(&arguments),
        Command::Check(arguments) => check::run(&arguments),
        Command::Cut(arguments) => cut::run(&arguments),
        Command::Export(arguments) => export::run(&arguments),
        Command::Import(arguments) => import::run(&arguments),
        Command::Schema(arguments) => schema::run(&arguments),
    };
    match ended {
        Ok(()) | Err(Failed::NoReader) => ExitCode::SUCCESS,
        Err(failed) => {
            say_failed(&failed);
            ExitCode::from(failed.code())
        }
    }
}

fn say_failed(failed: &Failed) {
    let mut text = failed.to_string();
    let mut cause = std::error::Error::source(failed);
    while let Some(this) = cause {
        text.push_str(": ");
        text.push_str(&this.to_string());
        cause = this.source();
    }
    complain(&text);
}

/// Writes a line to standard error.
#[expect(
    clippy::print_stderr,
    reason = "the command line's one way to say what failed"
)]
pub(crate) fn complain(text: &str) {
    eprintln!("scantling: {text}");
}

/// Writes a line to standard output.
pub(crate) fn say(text: &str) -> Result<(), Failed> {
    write_out(format!("{text}\n").as_bytes())
}

/// Writes bytes to standard output as they are. A reader that went away is told apart from what failed.
pub(crate) fn write_out(bytes: &[u8]) -> Result<(), Failed> {
    use std::io::Write as _;
    let mut out = std::io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == std::io::ErrorKind::BrokenPipe => Err(Failed::NoReader),
        Err(error) => Err(Failed::File {
            path: "standard output".into(),
            why: error.to_string(),
        }),
    }
}

/// A whole file as text; `-` is standard input.
pub(crate) fn read_file(path: &std::path::Path) -> Result<String, Failed> {
    let read = if path == std::path::Path::new("-") {
        std::io::read_to_string(std::io::stdin())
    } else {
        std::fs::read_to_string(path)
    };
    read.map_err(|error| Failed::File {
        path: path.to_owned(),
        why: error.to_string(),
    })
}
